// SPDX-License-Identifier: MIT
#include "notebook_fixture.h"

enum { FIRST_DAY = 20000 };

static pn_weather *ten_days(int32_t first, double tmin_degc) {
    pn_weather *w = NULL;
    assert_ok(pn_weather_new(&pn_alloc_libc, first, 10, &w, e));
    for (size_t i = 0; i < 10; i++) {
        w->value[PN_SKY_TMIN_DEGC][i] = tmin_degc;
        w->value[PN_SKY_TMAX_DEGC][i] = tmin_degc + 7.0;
        w->value[PN_SKY_RAIN_MM][i] = (double)i;
    }
    return w;
}

static pn_weather_import_result import_it(fixture *f, int64_t source,
                                          const pn_weather *w, bool forecast) {
    pn_weather_import import = {.source = source,
                                .recorded_unix_s = NOW,
                                .forecast = forecast,
                                .file_names = pn_text_of("a.csv"),
                                .report = pn_text_of("fine")};
    pn_weather_import_result result = {0};
    assert_ok(pn_notebook_import_weather(f->nb, &import, w, &result, e));
    return result;
}

static void what_goes_in_comes_out(void **state) {
    fixture *f = *state;
    int64_t source = add_a_source(f, "Station");
    pn_weather *w = ten_days(FIRST_DAY, 4.25);
    w->quality[PN_SKY_RAIN_MM][3] = PN_SKY_SUSPECT;
    w->value[PN_SKY_RAIN_MM][4] = NAN;
    w->quality[PN_SKY_TMAX_DEGC][5] = PN_SKY_FILLED;
    w->quality[PN_SKY_TMAX_DEGC][6] = PN_SKY_CLIMATOLOGY;
    pn_weather_import_result r = import_it(f, source, w, false);
    assert_int_equal(r.days_new, 10);
    pn_weather_query query = PN_WEATHER_QUERY_INIT;
    query.source = source;
    pn_weather *got = NULL;
    assert_ok(pn_notebook_load_weather(f->nb, &query, &pn_alloc_libc, &got, e));
    assert_int_equal(got->first_epoch_day, FIRST_DAY);
    assert_int_equal(got->day_count, 10);
    assert_near("latitude", got->latitude_rad, 51.4 * 3.14159265358979 / 180,
                1e-14);
    assert_near("elevation", got->elevation_m, 73.0, 0.0);
    assert_near("tmin", got->value[PN_SKY_TMIN_DEGC][9], 4.25, 0.0);
    assert_near("rain", got->value[PN_SKY_RAIN_MM][9], 9.0, 0.0);
    assert_int_equal(got->quality[PN_SKY_RAIN_MM][3], PN_SKY_SUSPECT);
    assert_near("missing", got->value[PN_SKY_RAIN_MM][4], NAN, 0.0);
    assert_near("filled is not stored", got->value[PN_SKY_TMAX_DEGC][5], NAN,
                0.0);
    assert_near("climatology is not stored", got->value[PN_SKY_TMAX_DEGC][6],
                NAN, 0.0);
    assert_near("no wind", got->value[PN_SKY_WIND_M_S][0], NAN, 0.0);
    pn_weather_free(got);
    pn_weather_free(w);
}

static void the_latest_import_wins_value_by_value(void **state) {
    fixture *f = *state;
    int64_t source = add_a_source(f, "Station");
    pn_weather *old = ten_days(FIRST_DAY, 4.0);
    pn_weather *newer = ten_days(FIRST_DAY + 5, 5.0);
    newer->value[PN_SKY_TMIN_DEGC][0] = NAN; /* says nothing about it */
    import_it(f, source, old, false);
    pn_weather_import_result r = import_it(f, source, newer, false);
    assert_int_equal(r.days_new, 5);
    assert_int_equal(r.days_changed, 5);
    r = import_it(f, source, newer, false);
    assert_int_equal(r.days_unchanged, 10);
    assert_int_equal(r.import, 0);
    pn_weather_query query = PN_WEATHER_QUERY_INIT;
    query.source = source;
    pn_weather *got = NULL;
    assert_ok(pn_notebook_load_weather(f->nb, &query, &pn_alloc_libc, &got, e));
    assert_int_equal(got->day_count, 15);
    assert_near("before", got->value[PN_SKY_TMIN_DEGC][4], 4.0, 0.0);
    assert_near("silence supersedes nothing", got->value[PN_SKY_TMIN_DEGC][5],
                4.0, 0.0);
    assert_near("changed", got->value[PN_SKY_TMIN_DEGC][6], 5.0, 0.0);
    assert_near("changed rain", got->value[PN_SKY_RAIN_MM][5], 0.0, 0.0);
    pn_weather_free(got);

    /* an older value read in again is the latest word again */
    r = import_it(f, source, old, false);
    assert_int_equal(r.days_changed, 5);
    assert_ok(pn_notebook_load_weather(f->nb, &query, &pn_alloc_libc, &got, e));
    assert_near("back", got->value[PN_SKY_TMIN_DEGC][6], 4.0, 0.0);
    assert_near("later day stays", got->value[PN_SKY_TMIN_DEGC][10], 5.0, 0.0);
    pn_weather_free(got);
    pn_weather_free(old);
    pn_weather_free(newer);
    assert_sound(f->nb);
}

static void forecasts_stay_apart(void **state) {
    fixture *f = *state;
    int64_t source = add_a_source(f, "Station");
    pn_weather *measured = ten_days(FIRST_DAY, 4.0);
    pn_weather *first = ten_days(FIRST_DAY + 8, 6.0);
    pn_weather *second = ten_days(FIRST_DAY + 9, 7.0);
    import_it(f, source, measured, false);
    import_it(f, source, first, true);
    import_it(f, source, second, true);
    pn_weather_query query = PN_WEATHER_QUERY_INIT;
    query.source = source;
    pn_weather *got = NULL;
    assert_ok(pn_notebook_load_weather(f->nb, &query, &pn_alloc_libc, &got, e));
    assert_int_equal(got->day_count, 10);
    pn_weather_free(got);
    query.with_forecast = true;
    assert_ok(pn_notebook_load_weather(f->nb, &query, &pn_alloc_libc, &got, e));
    assert_int_equal(got->day_count, 19);
    assert_near("measured wins", got->value[PN_SKY_TMIN_DEGC][9], 4.0, 0.0);
    assert_int_equal(got->quality[PN_SKY_TMIN_DEGC][9], 0);
    assert_near("latest forecast", got->value[PN_SKY_TMIN_DEGC][10], 7.0, 0.0);
    assert_int_equal(got->quality[PN_SKY_TMIN_DEGC][10], PN_SKY_FORECAST);
    pn_weather_free(got);

    pn_weather_source_list sources = {0};
    assert_ok(
        pn_notebook_list_weather_sources(f->nb, NULL, f->arena, &sources, e));
    assert_int_equal(sources.count, 1);
    assert_true(text_is(sources.at[0].licence, "open"));
    assert_int_equal(sources.at[0].first_epoch_day, FIRST_DAY);
    assert_int_equal(sources.at[0].last_epoch_day, FIRST_DAY + 9);
    assert_int_equal(sources.at[0].last_forecast_epoch_day, FIRST_DAY + 18);
    pn_weather_free(measured);
    pn_weather_free(first);
    pn_weather_free(second);
}

static void what_cannot_be_is_refused(void **state) {
    fixture *f = *state;
    int64_t source = add_a_source(f, "Station");
    pn_weather *w = ten_days(FIRST_DAY, 4.0);
    pn_weather_import import = {.source = source, .recorded_unix_s = NOW};
    pn_weather_import_result r = {0};
    pn_error err = {0};
    w->value[PN_SKY_RAIN_MM][2] = -3.0;
    assert_int_equal(pn_notebook_import_weather(f->nb, &import, w, &r, &err),
                     PN_EDOMAIN);
    assert_string_equal(err.message, "2024-10-06: rain_mm of -3 is impossible");
    w->value[PN_SKY_RAIN_MM][2] = 0.0;
    import.source = 12;
    assert_int_equal(pn_notebook_import_weather(f->nb, &import, w, &r, &err),
                     PN_ENOTFOUND);
    import.source = source;
    import.recorded_unix_s = -1;
    assert_int_equal(pn_notebook_import_weather(f->nb, &import, w, &r, NULL),
                     PN_EDOMAIN);
    pn_weather_free(w);

    pn_weather_query query = PN_WEATHER_QUERY_INIT;
    query.source = source;
    assert_int_equal(
        pn_notebook_load_weather(f->nb, &query, &pn_alloc_libc, &w, &err),
        PN_ENOTFOUND);
    query.first_epoch_day = 10;
    query.last_epoch_day = 9;
    assert_int_equal(
        pn_notebook_load_weather(f->nb, &query, &pn_alloc_libc, &w, &err),
        PN_EDOMAIN);
    query.first_epoch_day = INT32_MIN + 1;
    query.last_epoch_day = INT32_MAX - 1;
    assert_int_equal(
        pn_notebook_load_weather(f->nb, &query, &pn_alloc_libc, &w, &err),
        PN_EDOMAIN);
    query = (pn_weather_query){
        .source = source, .first_epoch_day = 100, .last_epoch_day = 101};
    assert_ok(pn_notebook_load_weather(f->nb, &query, &pn_alloc_libc, &w, e));
    assert_int_equal(w->day_count, 2);
    assert_near("nothing known", w->value[PN_SKY_RAIN_MM][1], NAN, 0.0);
    pn_weather_free(w);
    pn_weather_source_list sources = {0};
    assert_ok(
        pn_notebook_list_weather_sources(f->nb, NULL, f->arena, &sources, e));
    assert_true(sources.at[0].first_epoch_day > sources.at[0].last_epoch_day);
    assert_int_equal(sources.at[0].last_forecast_epoch_day, INT32_MIN);
}

static void count_calls(void *ctx, size_t done, size_t days) {
    size_t *calls = ctx;
    assert_true(done <= days);
    (*calls)++;
}

static void long_records_tell_how_far_they_are(void **state) {
    fixture *f = *state;
    int64_t source = add_a_source(f, "Station");
    pn_weather *w = NULL;
    assert_ok(pn_weather_new(&pn_alloc_libc, 10000, 3653, &w, e));
    for (size_t i = 0; i < w->day_count; i++) {
        w->value[PN_SKY_TMIN_DEGC][i] = 1.0;
    }
    size_t calls = 0;
    pn_weather_import import = {.source = source,
                                .recorded_unix_s = NOW,
                                .progress = count_calls,
                                .progress_ctx = &calls};
    pn_weather_import_result r = {0};
    assert_ok(pn_notebook_import_weather(f->nb, &import, w, &r, e));
    assert_int_equal(calls, 4); /* each 1024 days, and the end */
    pn_weather_free(w);
}

int main(void) {
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(what_goes_in_comes_out),
        TEST(the_latest_import_wins_value_by_value),
        TEST(forecasts_stay_apart),
        TEST(what_cannot_be_is_refused),
        TEST(long_records_tell_how_far_they_are),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
