#include "support/check.h"

#include <float.h>
#include <locale.h>
#include <stdio.h>
#include <string.h>

#include "pannage/base.h"

static void numbers(void **state) {
    (void)state;
    static const struct {
        const char *text;
        bool good;
        double want;
    } cases[] = {
        {"0", true, 0.0},
        {"-0.5", true, -0.5},
        {"+12.25", true, 12.25},
        {".5", true, 0.5},
        {"5.", true, 5.0},
        {"1e3", true, 1000.0},
        {"1.5E-2", true, 0.015},
        {"0.1", true, 0.1},
        {"123456789012345678901234567890", true, 1.2345678901234568e29},
        {"2.2250738585072011e-308", true, 2.2250738585072011e-308},
        {"9007199254740993", true, 9007199254740992.0}, /* ties to even */
        {"1e-400", true, 0.0},
        {"1e400", false, 0.0},
        {"1e99999999999", false, 0.0},
        {"", false, 0.0},
        {"-", false, 0.0},
        {".", false, 0.0},
        {"e5", false, 0.0},
        {"1e", false, 0.0},
        {"1e+", false, 0.0},
        {"nan", false, 0.0},
        {"inf", false, 0.0},
        {"0x10", false, 0.0},
        {"1,5", false, 0.0},
        {"1 ", false, 0.0},
        {" 1", false, 0.0},
        {"1.2.3", false, 0.0},
        {"--1", false, 0.0},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        double got = 0.0;
        bool good = pn_text_to_double(pn_text_of(cases[i].text), &got);
        if (good != cases[i].good) {
            print_error("\"%s\": accepted %d\n", cases[i].text, good);
        }
        assert_int_equal(good, cases[i].good);
        assert_near(cases[i].text, got, cases[i].want, 0.0);
    }
}

/* Seventeen digits bring every double back: the slow road too. */
static void numbers_round_trip(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(7);
    for (int i = 0; i < 20000; i++) {
        uint64_t bits = pn_random_u64(&random);
        double want = 0.0;
        memcpy(&want, &bits, sizeof want);
        if (!isfinite(want)) {
            continue;
        }
        char text[40];
        snprintf(text, sizeof text, i % 2 == 0 ? "%.17g" : "%.20e", want);
        double got = 0.0;
        assert_true(pn_text_to_double(pn_text_of(text), &got));
        assert_near(text, got, want, 0.0);
    }
}

/* A locale with a decimal comma, where the machine has one. */
static void numbers_ask_no_locale(void **state) {
    (void)state;
    const char *names[] = {"de_DE.UTF-8", "fr_FR.UTF-8", "C"};
    for (size_t i = 0; i < COUNT_OF(names); i++) {
        if (setlocale(LC_ALL, names[i]) != NULL) {
            break;
        }
    }
    double got = 0.0;
    assert_true(pn_text_to_double(pn_text_of("1234567.12345678912345"), &got));
    setlocale(LC_ALL, "C");
    assert_near("long number", got, 1234567.12345678912345, 0.0);
}

static void integers(void **state) {
    (void)state;
    static const struct {
        const char *text;
        bool good;
        int64_t want;
    } cases[] = {
        {"0", true, 0},
        {"-12", true, -12},
        {"+7", true, 7},
        {"9223372036854775807", true, INT64_MAX},
        {"-9223372036854775808", true, INT64_MIN},
        {"9223372036854775808", false, 0},
        {"-9223372036854775809", false, 0},
        {"", false, 0},
        {"+", false, 0},
        {"1.0", false, 0},
        {"1e3", false, 0},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        int64_t got = 0;
        bool good = pn_text_to_int(pn_text_of(cases[i].text), &got);
        assert_int_equal(good, cases[i].good);
        assert_true(got == cases[i].want);
    }
}

static void cutting(void **state) {
    (void)state;
    pn_text rest = pn_text_of(" a ,b,,c");
    const char *want[] = {"a", "b", "", "c"};
    for (size_t i = 0; i < COUNT_OF(want); i++) {
        assert_non_null(rest.at);
        pn_text part = pn_text_trim(pn_text_cut(rest, ',', &rest));
        assert_true(pn_text_equal(part, pn_text_of(want[i])));
    }
    assert_null(rest.at);
    assert_true(pn_text_equal_nocase(pn_text_of("TMin"), pn_text_of("tmIN")));
    assert_false(pn_text_equal_nocase(pn_text_of("tmin"), pn_text_of("tmax")));
}

static void growing(void **state) {
    (void)state;
    char buf[8];
    pn_str str = pn_str_in(buf, sizeof buf);
    pn_str_addf(&str, "%d", 12);
    pn_str_addf(&str, "-%s", "ab");
    assert_string_equal(buf, "12-ab");
    assert_false(str.cut);
    pn_str_addf(&str, "%s", "c\xC2\xB0"); /* 8 bytes: the degree won't fit */
    assert_string_equal(buf, "12-abc");
    assert_true(str.cut);
    pn_str_addf(&str, "x");
    assert_string_equal(buf, "12-abc");

    str = pn_str_in(buf, sizeof buf); /* exactly full, whole character */
    pn_str_addf(&str, "%s", "12345\xC2\xB0xyz");
    assert_string_equal(buf, "12345\xC2\xB0");
}

static void columns(void **state) {
    (void)state;
    assert_int_equal(pn_text_columns(pn_text_of("abc")), 3);
    assert_int_equal(pn_text_columns(pn_text_of("12 \xC2\xB0"
                                                "C")),
                     5);
    assert_int_equal(pn_text_columns(pn_text_of("e\xCC\x81")), 1);
    assert_int_equal(pn_text_columns(pn_text_of("\xCE\x98")), 1);
}

static void statuses(void **state) {
    (void)state;
    for (int s = 0; s < PN_STATUS_COUNT; s++) {
        assert_true(strlen(pn_status_name((pn_status)s)) > 1);
    }
    assert_string_equal(pn_status_name(PN_STATUS_COUNT), "unknown");
    assert_int_equal(pn_fail(NULL, PN_EIO, "unheard"), PN_EIO);
    pn_error err = {0};
    assert_int_equal(pn_fail(&err, PN_EPARSE, "a\nb\x1b[31m %d", 3), PN_EPARSE);
    assert_string_equal(err.message, "a?b?[31m 3");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers),
        cmocka_unit_test(numbers_round_trip),
        cmocka_unit_test(numbers_ask_no_locale),
        cmocka_unit_test(integers),
        cmocka_unit_test(cutting),
        cmocka_unit_test(growing),
        cmocka_unit_test(columns),
        cmocka_unit_test(statuses),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
