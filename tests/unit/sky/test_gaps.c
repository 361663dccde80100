// SPDX-License-Identifier: MIT
#include "sky_support.h"

#include <string.h>

enum { DAYS = 40 };

static void lose(pn_weather *weather, pn_sky_var var, size_t first,
                 size_t last) {
    for (size_t i = first; i <= last; i++) {
        weather->value[var][i] = NAN;
    }
}

static pn_status fill_all(pn_weather *weather, pn_error *err) {
    return pn_weather_fill_gaps(
        weather, weather->first_epoch_day,
        weather->first_epoch_day + (int32_t)weather->day_count - 1, err);
}

static void short_temperature_gap_is_a_straight_line(void **state) {
    (void)state;
    pn_weather *weather = plain_record(1000, DAYS);
    lose(weather, PN_SKY_TMIN_DEGC, 10, 12);
    lose(weather, PN_SKY_TMIN_DEGC, 0, 1);
    lose(weather, PN_SKY_TMAX_DEGC, DAYS - 3, DAYS - 1);
    assert_int_equal(fill_all(weather, NULL), PN_OK);
    const double *tmin = weather->value[PN_SKY_TMIN_DEGC];
    assert_near("inside", tmin[11], 11.0, 1e-12);
    assert_near("start holds the nearest", tmin[0], 2.0, 0.0);
    assert_near("end holds the nearest",
                weather->value[PN_SKY_TMAX_DEGC][DAYS - 1], DAYS - 4 + 10.0,
                0.0);
    for (size_t i = 0; i < DAYS; i++) {
        bool filled = i <= 1 || (i >= 10 && i <= 12);
        assert_int_equal(weather->quality[PN_SKY_TMIN_DEGC][i],
                         filled ? PN_SKY_FILLED : 0);
    }
    pn_weather_free(weather);
}

/* 15 measured days either side: as many even (2 mm) as odd days but one. */
static void rain_gap_takes_the_mean_of_the_month_around(void **state) {
    (void)state;
    pn_weather *weather = plain_record(1000, DAYS);
    lose(weather, PN_SKY_RAIN_MM, 20, 22);
    assert_int_equal(fill_all(weather, NULL), PN_OK);
    /* days 5..19 hold 7 wet days, days 23..37 hold 7 */
    assert_near("mean", weather->value[PN_SKY_RAIN_MM][21],
                (7.0 + 7.0) * 2.0 / 30.0, 1e-12);
    pn_weather_free(weather);
}

static void filling_one_gap_does_not_feed_another(void **state) {
    (void)state;
    pn_weather *weather = plain_record(1000, DAYS);
    lose(weather, PN_SKY_RAIN_MM, 10, 10);
    lose(weather, PN_SKY_RAIN_MM, 14, 14);
    assert_int_equal(fill_all(weather, NULL), PN_OK);
    /* days 0..29 without 10 and 14: 13 wet of 28 */
    assert_near("mean", weather->value[PN_SKY_RAIN_MM][14], 13.0 * 2.0 / 28.0,
                1e-12);
    pn_weather_free(weather);
}

static void long_gap_is_named(void **state) {
    (void)state;
    static const struct {
        pn_sky_var var;
        size_t first;
        size_t last;
        const char *want;
    } cases[] = {
        {PN_SKY_TMIN_DEGC, 10, 13,
         "tmin_degc is missing from 2018-07-11 to 2018-07-14 (4 days)"},
        {PN_SKY_RAIN_MM, 0, 3,
         "rain_mm is missing from 2018-07-01 to 2018-07-04 (4 days)"},
        {PN_SKY_TMAX_DEGC, 36, 39,
         "tmax_degc is missing from 2018-08-06 to 2018-08-09 (4 days)"},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        pn_weather *weather = plain_record(day_of(2018, 7, 1), DAYS);
        lose(weather, cases[i].var, cases[i].first, cases[i].last);
        pn_error err = {0};
        assert_int_equal(fill_all(weather, &err), PN_EDOMAIN);
        if (strstr(err.message, cases[i].want) == NULL) {
            fail_msg("got: %s", err.message);
        }
        assert_non_null(strstr(err.message, "import another station"));
        pn_weather_free(weather);
    }
}

/* Asking for the last two days of a four-day gap does not make it short. */
static void gap_is_measured_beyond_the_days_asked(void **state) {
    (void)state;
    pn_weather *weather = plain_record(1000, DAYS);
    lose(weather, PN_SKY_TMAX_DEGC, 10, 13);
    assert_int_equal(pn_weather_fill_gaps(weather, 1012, 1020, NULL),
                     PN_EDOMAIN);
    assert_int_equal(pn_weather_fill_gaps(weather, 1014, 1020, NULL), PN_OK);
    assert_true(isnan(weather->value[PN_SKY_TMAX_DEGC][12]));
    pn_weather_free(weather);
}

static void optional_variables_may_stay_missing(void **state) {
    (void)state;
    pn_weather *weather = plain_record(1000, DAYS);
    for (size_t i = 0; i < DAYS; i++) {
        weather->value[PN_SKY_WIND_M_S][i] = 2.0;
    }
    lose(weather, PN_SKY_WIND_M_S, 5, 7);
    lose(weather, PN_SKY_WIND_M_S, 20, 23);
    assert_int_equal(fill_all(weather, NULL), PN_OK);
    assert_near("short", weather->value[PN_SKY_WIND_M_S][6], 2.0, 1e-15);
    assert_near("long", weather->value[PN_SKY_WIND_M_S][21], NAN, 0.0);
    assert_int_equal(weather->quality[PN_SKY_WIND_M_S][21], 0);
    assert_near("none at all", weather->value[PN_SKY_SOLAR_MJ_M2][3], NAN, 0.0);
    pn_weather_free(weather);
}

static void contradicting_extremes_are_named(void **state) {
    (void)state;
    pn_weather *weather = plain_record(day_of(2018, 7, 1), DAYS);
    weather->value[PN_SKY_TMAX_DEGC][4] = 3.0;
    pn_error err = {0};
    assert_int_equal(fill_all(weather, &err), PN_EDOMAIN);
    assert_non_null(strstr(err.message, "on 2018-07-05 tmax_degc 3.0"));
    pn_weather_free(weather);
}

static void filled_extreme_yields_to_the_measured(void **state) {
    (void)state;
    pn_weather *weather = plain_record(1000, DAYS);
    weather->value[PN_SKY_TMAX_DEGC][4] = 1.0; /* a sudden cold day */
    lose(weather, PN_SKY_TMIN_DEGC, 4, 4);
    weather->value[PN_SKY_TMIN_DEGC][20] = 45.0; /* a sudden hot one */
    lose(weather, PN_SKY_TMAX_DEGC, 20, 20);
    assert_int_equal(fill_all(weather, NULL), PN_OK);
    assert_near("tmin", weather->value[PN_SKY_TMIN_DEGC][4], 1.0, 0.0);
    assert_near("tmax", weather->value[PN_SKY_TMAX_DEGC][20], 45.0, 0.0);
    pn_weather_free(weather);
}

static void days_outside_the_record_are_refused(void **state) {
    (void)state;
    pn_weather *weather = plain_record(day_of(2018, 7, 1), DAYS);
    int32_t first = weather->first_epoch_day;
    pn_error err = {0};
    assert_int_equal(pn_weather_fill_gaps(weather, first - 1, first, &err),
                     PN_EDOMAIN);
    assert_non_null(strstr(err.message, "from 2018-07-01 to 2018-08-09"));
    assert_int_equal(pn_weather_fill_gaps(weather, first, first + DAYS, NULL),
                     PN_EDOMAIN);
    assert_int_equal(pn_weather_fill_gaps(weather, first + 2, first, NULL),
                     PN_EDOMAIN);
    pn_weather_free(weather);
}

/* Random holes of at most three days: everything is filled with a plausible
 * value, and a second filling changes nothing. */
static void filling_is_complete_and_idempotent(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(7);
    for (int round = 0; round < 50; round++) {
        pn_weather *weather = plain_record(1000, DAYS);
        for (size_t i = 0; i + 6 < DAYS; i += 4 + pn_random_u64(&random) % 5) {
            pn_sky_var var = (pn_sky_var)(pn_random_u64(&random) % 3);
            lose(weather, var, i, i + pn_random_u64(&random) % 3);
        }
        assert_int_equal(fill_all(weather, NULL), PN_OK);
        pn_weather *again = NULL;
        assert_int_equal(pn_weather_copy(&pn_alloc_libc, weather, &again, NULL),
                         PN_OK);
        assert_int_equal(fill_all(again, NULL), PN_OK);
        for (int v = 0; v < 3; v++) {
            for (size_t i = 0; i < DAYS; i++) {
                double value = weather->value[v][i];
                assert_true(
                    pn_sky_var_plausible((pn_sky_var)v, value, NULL, NULL));
                assert_near("again", again->value[v][i], value, 0.0);
            }
        }
        pn_weather_free(again);
        pn_weather_free(weather);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(short_temperature_gap_is_a_straight_line),
        cmocka_unit_test(rain_gap_takes_the_mean_of_the_month_around),
        cmocka_unit_test(filling_one_gap_does_not_feed_another),
        cmocka_unit_test(long_gap_is_named),
        cmocka_unit_test(gap_is_measured_beyond_the_days_asked),
        cmocka_unit_test(optional_variables_may_stay_missing),
        cmocka_unit_test(contradicting_extremes_are_named),
        cmocka_unit_test(filled_extreme_yields_to_the_measured),
        cmocka_unit_test(days_outside_the_record_are_refused),
        cmocka_unit_test(filling_is_complete_and_idempotent),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
