/* The importer against a real station year and published examples. */
#include <stdio.h>

#include "unit/exchange/exchange_support.h"

static const char *const files[] = {"daily-rain-obs", "daily-temperature-obs",
                                    "mean-wind-obs", "radiation-obs",
                                    "soil-temperature-obs"};

/* All five files of the station, in the given order. */
static pn_status read_bracknell(const size_t *order, got *g) {
    pn_exchange_source sources[COUNT_OF(files)] = {{0}};
    char paths[COUNT_OF(files)][512];
    pn_exchange_weather_opts opts = PN_EXCHANGE_WEATHER_OPTS_INIT;
    for (size_t i = 0; i < COUNT_OF(files); i++) {
        snprintf(paths[i], sizeof paths[i],
                 "%s/examples/bracknell_1991/midas-open_uk-%s_dv-201908_"
                 "berkshire_00838_bracknell-beaufort-park_qcv-1_1991.csv",
                 PN_SOURCE_DIR, files[order[i]]);
        assert_int_equal(pn_exchange_open_file(paths[i], &sources[i], NULL),
                         PN_OK);
    }
    *g = (got){.weather = NULL};
    g->status =
        pn_exchange_weather_read(&pn_alloc_libc, sources, COUNT_OF(files),
                                 &opts, &g->weather, &g->report, &g->err);
    for (size_t i = 0; i < COUNT_OF(files); i++) {
        pn_exchange_close_file(&sources[i]);
    }
    return g->status;
}

static void check_day(const pn_weather *w, pn_text line) {
    static const pn_sky_var vars[] = {PN_SKY_TMIN_DEGC, PN_SKY_TMAX_DEGC,
                                      PN_SKY_RAIN_MM, PN_SKY_WIND_M_S,
                                      PN_SKY_SOLAR_MJ_M2};
    static const double tol[] = {0.0, 0.0, 0.0, 5e-5, 1e-9};
    char date[PN_DATE_ISO_SIZE] = "";
    char name[64];
    pn_text rest;
    pn_text first = pn_text_cut(line, ',', &rest);
    assert_int_equal(first.len, 10);
    memcpy(date, first.at, 10);
    for (size_t i = 0; i < COUNT_OF(vars); i++) {
        double want = NAN;
        pn_text field = pn_text_cut(rest, ',', &rest);
        assert_true(field.len == 0 || pn_text_to_double(field, &want));
        snprintf(name, sizeof name, "%s %s", date, pn_sky_var_name(vars[i]));
        assert_near(name, value_on(w, vars[i], date), want, tol[i]);
    }
}

static void a_real_station_year(void **state) {
    (void)state;
    static const size_t order[] = {0, 1, 2, 3, 4};
    char line[256];
    size_t rows = 0;
    got g;
    assert_int_equal(read_bracknell(order, &g), PN_OK);
    FILE *f = fopen(PN_TEST_DATA "/ref/exchange/bracknell_1991_days.csv", "r");
    assert_non_null(f);
    while (fgets(line, sizeof line, f) != NULL) {
        if (line[0] != '#') {
            line[strcspn(line, "\n")] = '\0';
            check_day(g.weather, pn_text_of(line));
            rows++;
        }
    }
    fclose(f);
    assert_int_equal(rows, 17);
    got_free(&g);
}

static double total(const pn_weather *w, pn_sky_var var, size_t *count) {
    double sum = 0.0;
    *count = 0;
    for (size_t i = 0; i < w->day_count; i++) {
        if (!isnan(w->value[var][i])) {
            sum += w->value[var][i];
            (*count)++;
        }
    }
    return sum;
}

/* Sums and counts found in the files by the same independent script. */
static void its_sums_and_counts(void **state) {
    (void)state;
    static const size_t order[] = {0, 1, 2, 3, 4};
    size_t count = 0;
    got g;
    assert_int_equal(read_bracknell(order, &g), PN_OK);
    const pn_weather *w = g.weather;
    const pn_exchange_report *r = &g.report;
    assert_int_equal(w->day_count, 366);
    assert_near("rain", total(w, PN_SKY_RAIN_MM, &count), 546.9, 1e-9);
    assert_int_equal(count, 365);
    assert_near("minima", total(w, PN_SKY_TMIN_DEGC, &count) / 365.0,
                5.516438356, 1e-9);
    assert_int_equal(count, 365);
    /* the 24-hour maxima and, for the last day, the half-day one, 7.2 */
    assert_near("maxima", total(w, PN_SKY_TMAX_DEGC, &count),
                13.703561643835611 * 365.0 + 7.2, 1e-9);
    assert_int_equal(count, 366);
    assert_near("radiation", total(w, PN_SKY_SOLAR_MJ_M2, &count), 3432.866,
                1e-9);
    assert_int_equal(count, 365);
    assert_near("wind", total(w, PN_SKY_WIND_M_S, &count) / 30.0, 1.1103466,
                1e-7);
    assert_int_equal(count, 30);
    assert_near("latitude", w->latitude_rad * 57.29577951308232, 51.39, 1e-12);
    assert_near("longitude", w->longitude_rad * 57.29577951308232, -0.786,
                1e-12);
    assert_near("height", w->elevation_m, 74.0, 0.0);
    assert_int_equal(r->format, PN_EXCHANGE_BADC);
    assert_string_equal(r->station, "bracknell-beaufort-park");
    assert_int_equal(r->row_count, 730 + 425 + 704 + 8760 + 365);
    assert_int_equal(r->duplicate_count, 365); /* the SSER gauge */
    assert_int_equal(r->dropped_count + r->skipped_count, 0);
    assert_true(has_note(r, "uk-soil-temperature-obs ignored"));
    got_free(&g);
}

static void the_order_of_files_makes_no_difference(void **state) {
    (void)state;
    static const size_t one[] = {0, 1, 2, 3, 4};
    static const size_t other[] = {4, 3, 1, 2, 0};
    got a;
    got b;
    assert_int_equal(read_bracknell(one, &a), PN_OK);
    assert_int_equal(read_bracknell(other, &b), PN_OK);
    assert_int_equal(a.weather->day_count, b.weather->day_count);
    for (size_t v = 0; v < PN_SKY_VAR_COUNT; v++) {
        size_t count = a.weather->day_count;
        assert_memory_equal(a.weather->value[v], b.weather->value[v],
                            count * sizeof(double));
        assert_memory_equal(a.weather->quality[v], b.weather->quality[v],
                            count);
    }
    got_free(&a);
    got_free(&b);
}

/* The attribution of rain to the day before the reading, seen in the data:
 * rain comes with little radiation on its own day. */
static void rain_darkens_its_own_day(void **state) {
    (void)state;
    static const size_t order[] = {0, 1, 2, 3, 4};
    enum { DAYS = 300 };
    double rain[DAYS];
    double sun[3][DAYS];
    got g;
    assert_int_equal(read_bracknell(order, &g), PN_OK);
    const double *solar = g.weather->value[PN_SKY_SOLAR_MJ_M2];
    for (size_t i = 0; i < DAYS; i++) {
        rain[i] = sqrt(g.weather->value[PN_SKY_RAIN_MM][i + 30]);
        for (size_t lag = 0; lag < 3; lag++) {
            size_t day = i + 29 + lag;
            double clear = 0.0;
            for (size_t j = day - 14; j <= day + 14; j++) {
                clear = fmax(clear, solar[j]);
            }
            sun[lag][i] = solar[day] / clear;
        }
    }
    double own = pn_pearson(rain, sun[1], DAYS);
    assert_true(own < -0.2);
    assert_true(own < pn_pearson(rain, sun[0], DAYS) - 0.1);
    assert_true(own < pn_pearson(rain, sun[2], DAYS) - 0.1);
    got_free(&g);
}

static void wind_at_two_metres(void **state) {
    (void)state;
    char line[256];
    size_t rows = 0;
    FILE *f = fopen(PN_TEST_DATA "/ref/exchange/wind_2m.csv", "r");
    assert_non_null(f);
    while (fgets(line, sizeof line, f) != NULL) {
        double v[4];
        if (line[0] == '#') {
            continue;
        }
        assert_int_equal(
            sscanf(line, "%lf,%lf,%lf,%lf", &v[0], &v[1], &v[2], &v[3]), 4);
        assert_near(line, pn_sky_wind_at_2m_m_s(v[1], v[0]), v[2], v[3]);
        rows++;
    }
    fclose(f);
    assert_int_equal(rows, 2);
    assert_near("below the ground", pn_sky_wind_at_2m_m_s(3.0, 0.0), NAN, 0.0);
    assert_near("NaN", pn_sky_wind_at_2m_m_s(NAN, 10.0), NAN, 0.0);
    assert_near("negative", pn_sky_wind_at_2m_m_s(-1.0, 10.0), NAN, 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_real_station_year),
        cmocka_unit_test(its_sums_and_counts),
        cmocka_unit_test(the_order_of_files_makes_no_difference),
        cmocka_unit_test(rain_darkens_its_own_day),
        cmocka_unit_test(wind_at_two_metres),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
