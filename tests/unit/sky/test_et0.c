// SPDX-License-Identifier: MIT
#include "sky_support.h"

#include <string.h>

/* One day at a place; missing values NaN. */
struct day {
    double lat_deg;
    double elevation_m;
    int year;
    int month;
    int day;
    double value[PN_SKY_VAR_COUNT];
};

static const struct day lyon =
    {/* Example 20: day 196 is 15 July */
     45.7166666667, 200.0, 2019, 7, 15, {14.8, 26.6, 0.0, NAN, NAN, NAN, NAN}};
static const struct day uccle =
    {/* Example 18: day 187 is 6 July */
     50.8, 100.0, 2019,
     7,    6,     {12.3, 21.5, 0.0, 1.409 / 1.997, 2.078, NAN, 9.25}};

static pn_weather *record_of(const struct day *day) {
    pn_weather *weather =
        plain_record(day_of(day->year, day->month, day->day), 1);
    weather->latitude_rad = day->lat_deg * acos(-1.0) / 180.0;
    weather->elevation_m = day->elevation_m;
    for (int v = 0; v < PN_SKY_VAR_COUNT; v++) {
        weather->value[v][0] = day->value[v];
    }
    return weather;
}

static pn_sky_et0_day et0_of(const struct day *day) {
    pn_weather *weather = record_of(day);
    pn_sky_et0_day out = pn_sky_et0(weather, 0);
    pn_weather_free(weather);
    return out;
}

/* The values are the worked examples', within their printed digits. */
static void best_method_the_values_allow(void **state) {
    (void)state;
    struct day with_radiation = lyon;
    with_radiation.value[PN_SKY_SOLAR_MJ_M2] = 22.29;
    struct day no_wind = uccle;
    no_wind.value[PN_SKY_WIND_M_S] = NAN; /* 2 m/s is near enough to 2.078 */
    struct day sunshine_only = uccle;
    sunshine_only.value[PN_SKY_HUMIDITY_FRAC] = NAN;
    struct day no_sun = uccle;
    no_sun.value[PN_SKY_SUNSHINE_H] = NAN;
    struct day radiation_before_sunshine = uccle;
    radiation_before_sunshine.value[PN_SKY_SOLAR_MJ_M2] = 22.07;
    radiation_before_sunshine.value[PN_SKY_SUNSHINE_H] = 0.0;
    struct day no_height = uccle;
    no_height.elevation_m = NAN;
    struct day no_place = lyon;
    no_place.lat_deg = NAN;
    struct day no_tmin = uccle;
    no_tmin.value[PN_SKY_TMIN_DEGC] = NAN;
    const struct {
        const char *name;
        const struct day *day;
        double want_mm;
        double tol_mm;
        pn_sky_et0_method want;
    } cases[] = {
        {"Example 20, temperature", &lyon, 5.03, 0.005, PN_SKY_ET0_HARGREAVES},
        {"Example 20, radiation", &with_radiation, 4.56, 0.005,
         PN_SKY_ET0_PENMAN_MONTEITH_ESTIMATED},
        {"Example 18", &uccle, 3.88, 0.005, PN_SKY_ET0_PENMAN_MONTEITH},
        {"Example 18 by its radiation", &radiation_before_sunshine, 3.88, 0.005,
         PN_SKY_ET0_PENMAN_MONTEITH},
        {"without wind", &no_wind, 3.88, 0.02,
         PN_SKY_ET0_PENMAN_MONTEITH_ESTIMATED},
        {"without humidity", &sunshine_only, 3.88, 0.10,
         PN_SKY_ET0_PENMAN_MONTEITH_ESTIMATED},
        {"without sun", &no_sun, 4.0, 0.5, PN_SKY_ET0_HARGREAVES},
        {"without height", &no_height, 4.0, 0.5, PN_SKY_ET0_HARGREAVES},
        {"without latitude", &no_place, NAN, 0.0, PN_SKY_ET0_UNKNOWN},
        {"without tmin", &no_tmin, NAN, 0.0, PN_SKY_ET0_UNKNOWN},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        pn_sky_et0_day got = et0_of(cases[i].day);
        assert_near(cases[i].name, got.et0_mm, cases[i].want_mm,
                    cases[i].tol_mm);
        assert_near(cases[i].name, got.method, cases[i].want, 0.0);
    }
}

static void quality_is_that_of_the_values_used(void **state) {
    (void)state;
    pn_weather *weather = record_of(&uccle);
    weather->quality[PN_SKY_TMIN_DEGC][0] = PN_SKY_FILLED;
    weather->quality[PN_SKY_WIND_M_S][0] = PN_SKY_FORECAST;
    weather->quality[PN_SKY_RAIN_MM][0] = PN_SKY_SUSPECT;
    assert_int_equal(pn_sky_et0(weather, 0).quality,
                     PN_SKY_FILLED | PN_SKY_FORECAST);
    weather->value[PN_SKY_SUNSHINE_H][0] = NAN; /* now temperature alone */
    assert_int_equal(pn_sky_et0(weather, 0).quality, PN_SKY_FILLED);
    assert_int_equal(pn_sky_et0(weather, 1).method, PN_SKY_ET0_UNKNOWN);
    pn_weather_free(weather);
}

static void dew_counts_as_nothing(void **state) {
    (void)state;
    struct day damp = {57.0, 50.0, 2020,
                       12,   21,   {2.0, 3.0, 0.0, 1.0, 1.0, 0.1, NAN}};
    pn_sky_et0_day got = et0_of(&damp);
    assert_near("a dull damp day", got.et0_mm, 0.0, 1e-12);
    assert_int_equal(got.method, PN_SKY_ET0_PENMAN_MONTEITH);
}

static double with_solar(double solar_mj_m2) {
    struct day day = uccle;
    day.value[PN_SKY_SOLAR_MJ_M2] = solar_mj_m2;
    return et0_of(&day).et0_mm;
}

/* The clear sky of that day gives 30.9 MJ/m2. Within 0.3 .. 1 of it more sun
 * also means more heat lost; outside the loss stands still, so that ET0 rises
 * faster with the sun: by all of 0.408 D 0.77 / (D + g (1 + 0.34 u2)). */
static void long_wave_loss_is_held_at_its_limits(void **state) {
    (void)state;
    double slope = 0.12212;
    double gamma = 0.06658;
    double full = 0.408 * slope * 0.77 / (slope + gamma * (1.0 + 0.34 * 2.078));
    assert_near("above a clear sky", with_solar(34.0) - with_solar(32.0),
                2.0 * full, 2e-4);
    assert_near("under thick cloud", with_solar(8.0) - with_solar(6.0),
                2.0 * full, 2e-4);
    assert_true(with_solar(30.8) - with_solar(29.8) < full - 0.02);
    assert_true(with_solar(10.4) - with_solar(9.4) < full - 0.02);
}

static void polar_night_has_an_answer(void **state) {
    (void)state;
    struct day night = {78.0, 10.0, 2020,
                        12,   21,   {-20.0, -10.0, 0.0, 0.8, 3.0, NAN, 0.0}};
    pn_sky_et0_day got = et0_of(&night);
    assert_int_equal(got.method, PN_SKY_ET0_PENMAN_MONTEITH);
    assert_true(got.et0_mm >= 0.0 && got.et0_mm < 1.0);
}

/* Any plausible day gives a number or says it cannot. */
static void every_plausible_day_has_an_answer(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(20);
    for (int round = 0; round < 5000; round++) {
        struct day day = {.year = 2020, .month = 1, .day = 1};
        day.lat_deg = -90.0 + 180.0 * pn_random_uniform(&random);
        day.month = 1 + (int)(pn_random_u64(&random) % 12);
        for (int v = 0; v < PN_SKY_VAR_COUNT; v++) {
            double low = 0.0;
            double high = 0.0;
            (void)pn_sky_var_plausible((pn_sky_var)v, 0.0, &low, &high);
            day.value[v] = low + (high - low) * pn_random_uniform(&random);
            if (v > PN_SKY_RAIN_MM && pn_random_uniform(&random) < 0.3) {
                day.value[v] = NAN;
            }
        }
        pn_sky_et0_day got = et0_of(&day);
        bool crossed =
            day.value[PN_SKY_TMAX_DEGC] < day.value[PN_SKY_TMIN_DEGC];
        assert_int_equal(isnan(got.et0_mm), crossed);
        assert_int_equal(got.method == PN_SKY_ET0_UNKNOWN, crossed);
        assert_true(crossed || (got.et0_mm >= 0.0 && got.et0_mm < 1000.0));
    }
}

static void methods_have_names(void **state) {
    (void)state;
    for (int m = 0; m <= PN_SKY_ET0_UNKNOWN + 1; m++) {
        const char *name = pn_sky_et0_method_name((pn_sky_et0_method)m);
        assert_true(strlen(name) > 3);
        assert_int_equal(strcmp(name, "unknown") == 0, m >= PN_SKY_ET0_UNKNOWN);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(best_method_the_values_allow),
        cmocka_unit_test(quality_is_that_of_the_values_used),
        cmocka_unit_test(dew_counts_as_nothing),
        cmocka_unit_test(long_wave_loss_is_held_at_its_limits),
        cmocka_unit_test(polar_night_has_an_answer),
        cmocka_unit_test(every_plausible_day_has_an_answer),
        cmocka_unit_test(methods_have_names),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
