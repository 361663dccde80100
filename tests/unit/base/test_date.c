#include "support/check.h"

#include <string.h>
#include <time.h>

#include "pannage/base.h"

static void known_days(void **state) {
    (void)state;
    static const struct {
        pn_date date;
        int32_t epoch_day;
        int weekday; /* 0 = Monday */
        int day_of_year;
        const char *human;
    } cases[] = {
        {{1970, 1, 1}, 0, 3, 1, "Thu 1 Jan"},
        {{1969, 12, 31}, -1, 2, 365, "Wed 31 Dec"},
        {{2000, 2, 29}, 11016, 1, 60, "Tue 29 Feb"},
        {{2000, 12, 31}, 11322, 6, 366, "Sun 31 Dec"},
        {{1900, 3, 1}, -25508, 3, 60, "Thu 1 Mar"},
        {{2026, 9, 14}, 20710, 0, 257, "Mon 14 Sep"},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        char human[PN_DATE_HUMAN_SIZE];
        int32_t day = cases[i].epoch_day;
        assert_int_equal(pn_date_to_epoch_day(cases[i].date), day);
        assert_int_equal(pn_date_weekday(day), cases[i].weekday);
        assert_int_equal(pn_date_day_of_year(day), cases[i].day_of_year);
        assert_string_equal(pn_date_human(day, human), cases[i].human);
    }
}

/* Every day of 1600-2400 against the C library's own calendar. */
static void agrees_with_the_c_library(void **state) {
    (void)state;
    int32_t first = pn_date_to_epoch_day((pn_date){1600, 1, 1});
    int32_t last = pn_date_to_epoch_day((pn_date){2400, 12, 31});
    for (int32_t day = first; day <= last; day++) {
        time_t seconds = (time_t)day * 86400;
        struct tm tm;
        assert_non_null(gmtime_r(&seconds, &tm));
        pn_date date = pn_date_from_epoch_day(day);
        assert_int_equal(date.year, tm.tm_year + 1900);
        assert_int_equal(date.month, tm.tm_mon + 1);
        assert_int_equal(date.day, tm.tm_mday);
        assert_int_equal(pn_date_day_of_year(day), tm.tm_yday + 1);
        assert_int_equal((pn_date_weekday(day) + 1) % 7, tm.tm_wday);
        assert_int_equal(pn_date_to_epoch_day(date), day);
    }
}

static void iso_dates(void **state) {
    (void)state;
    static const struct {
        const char *text;
        bool good;
    } cases[] = {
        {"2026-09-14", true},   {"2024-02-29", true},  {"2026-02-29", false},
        {"2026-13-01", false},  {"2026-00-10", false}, {"2026-9-14", false},
        {"2026/09/14", false},  {"+026-09-14", false}, {"2026--9-14", false},
        {"2026-09-14T", false}, {"1500-01-01", false}, {"", false},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        int32_t day = 0;
        char iso[PN_DATE_ISO_SIZE];
        assert_int_equal(pn_date_parse_iso(pn_text_of(cases[i].text), &day),
                         cases[i].good);
        if (cases[i].good) {
            assert_string_equal(pn_date_iso(day, iso), cases[i].text);
        }
    }
    char iso[PN_DATE_ISO_SIZE];
    assert_string_equal(pn_date_iso(INT32_MAX / 2, iso), "no date");
    assert_string_equal(pn_month_name(9), "Sep");
    assert_string_equal(pn_month_name(0), "???");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(known_days),
        cmocka_unit_test(agrees_with_the_c_library),
        cmocka_unit_test(iso_dates),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
