/* GHCN-Daily in both forms. All values here are invented; the layout is from
 * memory of the published readme. */
#include <stdio.h>

#include "unit/exchange/exchange_support.h"

/* One .dly line: the given days, -9999 elsewhere. */
static size_t add_line(char *to, size_t size, const char *month_element,
                       const char *days[31]) {
    size_t len = (size_t)snprintf(to, size, "UKE00000001%s", month_element);
    for (size_t i = 0; i < 31; i++) {
        len += (size_t)snprintf(to + len, size - len, "%s",
                                days[i] != NULL ? days[i] : "-9999   ");
    }
    len += (size_t)snprintf(to + len, size - len, "\n");
    return len;
}

static got read_dly(size_t cut) {
    char text[4096];
    const char *tmax[31] = {
        [0] = "  123  E", [1] = "  150 GE", [3] = "   -5  E"};
    const char *tmin[31] = {
        [0] = "  -12  E", [1] = "   40  E", [3] = "   30  E"};
    const char *rain[31] = {
        [0] = "    0T E", [1] = "  254  E", [27] = "    7  E"};
    const char *wind[31] = {[0] = "   50  E"};
    const char *sun[31] = {[0] = "  330  E"};
    const char *mean[31] = {[0] = "   50  E"};
    size_t len = add_line(text, sizeof text, "202302TMAX", tmax);
    len += add_line(text + len, sizeof text - len, "202302TMIN", tmin);
    len += add_line(text + len, sizeof text - len, "202302PRCP", rain);
    len += add_line(text + len, sizeof text - len, "202302AWND", wind);
    len += add_line(text + len, sizeof text - len, "202302TSUN", sun);
    len += add_line(text + len, sizeof text - len, "202302TAVG", mean);
    pn_exchange_weather_opts opts = PN_EXCHANGE_WEATHER_OPTS_INIT;
    return read_bytes(&pn_alloc_libc, text, len - cut, &opts);
}

static void reads_fixed_width(void **state) {
    (void)state;
    got g = read_dly(0);
    if (g.status != PN_OK) {
        print_error("%s\n", g.err.message);
    }
    assert_int_equal(g.status, PN_OK);
    const pn_weather *w = g.weather;
    assert_int_equal(g.report.format, PN_EXCHANGE_GHCN_DLY);
    assert_int_equal(w->day_count, 28);
    assert_near("tmax", value_on(w, PN_SKY_TMAX_DEGC, "2023-02-01"), 12.3, 0.0);
    assert_near("tmin", value_on(w, PN_SKY_TMIN_DEGC, "2023-02-01"), -1.2, 0.0);
    assert_near("failed a check", value_on(w, PN_SKY_TMAX_DEGC, "2023-02-02"),
                NAN, 0.0);
    assert_near("its fellow stays", value_on(w, PN_SKY_TMIN_DEGC, "2023-02-02"),
                4.0, 0.0);
    assert_near("inverted", value_on(w, PN_SKY_TMIN_DEGC, "2023-02-04"), NAN,
                0.0);
    assert_near("trace", value_on(w, PN_SKY_RAIN_MM, "2023-02-01"), 0.0, 0.0);
    assert_near("rain", value_on(w, PN_SKY_RAIN_MM, "2023-02-02"), 25.4, 0.0);
    assert_near("last day", value_on(w, PN_SKY_RAIN_MM, "2023-02-28"), 0.7,
                0.0);
    assert_near("sun", value_on(w, PN_SKY_SUNSHINE_H, "2023-02-01"), 5.5,
                1e-12);
    assert_near("wind", value_on(w, PN_SKY_WIND_M_S, "2023-02-01"),
                5.0 * 4.87 / log(672.58), 1e-12);
    assert_int_equal(g.report.dropped_count, 3);
    assert_int_equal(g.report.row_count, 6);
    assert_string_equal(g.report.station, "UKE00000001");
    assert_true(has_note(&g.report, "element TAVG ignored"));
    got_free(&g);
}

static void accepts_cut_blanks_but_no_cut_days(void **state) {
    (void)state;
    got g = read_dly(4); /* the line end and the last day's blank flags */
    assert_int_equal(g.status, PN_OK);
    got_free(&g);
    static const char line[] = "UKE00000001202302TMAX  123  E  150  E";
    pn_exchange_weather_opts opts = PN_EXCHANGE_WEATHER_OPTS_INIT;
    g = read_bytes(&pn_alloc_libc, line, sizeof line - 1, &opts);
    assert_int_equal(g.status, PN_EPARSE);
    const char *const pieces[5] = {"w.csv:1: ", "truncated", "copy it again"};
    check_pieces("cut in mid-line", &g.err, pieces);
}

#define ID "UKE00000001,"

static void reads_comma_separated(void **state) {
    (void)state;
    static const char *const texts[] = {
        ID "20230201,TMAX,123,,,E,\n" ID "20230201,TMIN,-12,,,E,\n" ID
           "20230202,TMAX,150,,G,E,\n" ID "20230202,PRCP,254,,,E,0900\n" ID
           "20230202,SNWD,0,,,E,\n",
        "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n" ID
        "20230201,TMAX,123,,,E,\n" ID "20230201,TMIN,-12,,,E,\n" ID
        "20230202,TMAX,150,,G,E,\n" ID "20230202,PRCP,254,,,E,0900\n" ID
        "20230202,SNWD,0,,,E,\n"};
    for (size_t i = 0; i < 2; i++) {
        got g = read_text(texts[i]);
        assert_int_equal(g.status, PN_OK);
        assert_int_equal(g.report.format, PN_EXCHANGE_GHCN_CSV);
        assert_int_equal(g.report.row_count, 5);
        assert_int_equal(g.report.dropped_count, 1);
        assert_int_equal(g.weather->day_count, 2);
        assert_near("tmax", value_on(g.weather, PN_SKY_TMAX_DEGC, "2023-02-01"),
                    12.3, 0.0);
        assert_near("failed",
                    value_on(g.weather, PN_SKY_TMAX_DEGC, "2023-02-02"), NAN,
                    0.0);
        assert_near("rain", value_on(g.weather, PN_SKY_RAIN_MM, "2023-02-02"),
                    25.4, 0.0);
        assert_true(has_note(&g.report, "element SNWD ignored"));
        got_free(&g);
    }
}

static void refuses_damaged_files(void **state) {
    (void)state;
    static const refusal rows[] = {
        {"word",
         ID "20230201,TMAX,warm,,,E,\n",
         {"w.csv:1: column \"TMAX\" (field 4): value 'warm'"}},
        {"impossible",
         ID "20230201,TMAX,999,,,E,\n",
         {"w.csv:1: column \"TMAX\" (field 4): value '999'", "-90 to 60"}},
        {"no such day",
         ID "20230229,TMAX,99,,,E,\n",
         {"w.csv:1: column \"DATE\" (field 2): value '20230229'"}},
        {"twice",
         ID "20230201,TMAX,99,,,E,\n" ID "20230201,TMAX,98,,,E,\n",
         {"w.csv:2: column \"tmax_degc\"", "w.csv:1", "2023-02-01"}},
        {"two stations",
         ID "20230201,TMAX,99,,,E,\nUKE00000002,20230202,TMAX,98,,,E,\n",
         {"w.csv:2: column \"ID\"", "'UKE00000002'", "one station"}},
        {"cut in mid-line",
         ID "20230201,TMAX,99,,,E,\n" ID "20230202,TM",
         {"w.csv:2: ", "truncated"}},
        {"all failed", ID "20230201,TMAX,99,,X,E,\n", {"no usable weather"}},
        {"fixed width, bad month",
         "UKE00000001202313TMAX  123  E  150  E\n",
         {"w.csv:1: column \"YEAR MONTH\"", "'202313'"}},
        {"fixed width, damaged value",
         "UKE00000001202302TMAX  1x3  E  150  E\n",
         {"w.csv:1: column \"TMAX\"", "'1x3'"}},
    };
    check_refusals(rows, COUNT_OF(rows));
}

static void a_month_has_only_its_days(void **state) {
    (void)state;
    char text[400];
    const char *rain[31] = {[0] = "    0  E", [28] = "    5  E"};
    size_t len = add_line(text, sizeof text, "202302PRCP", rain);
    pn_exchange_weather_opts opts = PN_EXCHANGE_WEATHER_OPTS_INIT;
    got g = read_bytes(&pn_alloc_libc, text, len, &opts);
    assert_int_equal(g.status, PN_EPARSE);
    const char *const pieces[5] = {"w.csv:1: column \"PRCP\"", "value '5'",
                                   "no day 29"};
    check_pieces("29 February 2023", &g.err, pieces);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_fixed_width),
        cmocka_unit_test(accepts_cut_blanks_but_no_cut_days),
        cmocka_unit_test(reads_comma_separated),
        cmocka_unit_test(refuses_damaged_files),
        cmocka_unit_test(a_month_has_only_its_days),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
