// SPDX-License-Identifier: MIT
#include <string.h>
#include <time.h>

#include "support/check.h"

#include "pannage/soil.h"

enum { DAYS = 1461 };

/* A British-looking record with a fixed seed: cold snaps with snow, a dry
 * summer, downpours. */
static pn_weather *invented_weather(uint64_t seed) {
    pn_weather *weather = NULL;
    pn_date first = {2021, 1, 1};
    assert_int_equal(pn_weather_new(&pn_alloc_libc, pn_date_to_epoch_day(first),
                                    DAYS, &weather, NULL),
                     PN_OK);
    weather->latitude_rad = 0.94;
    weather->elevation_m = 120;
    pn_random random = pn_random_seeded(seed);
    for (size_t i = 0; i < DAYS; i++) {
        double season = -cos(6.2831853 * ((double)i - 20) / 365.25);
        double mean = 9 + 7 * season + 4 * pn_random_normal(&random);
        double range = 3 + 10 * pn_random_uniform(&random);
        bool wet = pn_random_uniform(&random) < 0.45 - 0.2 * season;
        weather->value[PN_SKY_TMIN_DEGC][i] = mean - range / 2;
        weather->value[PN_SKY_TMAX_DEGC][i] = mean + range / 2;
        weather->value[PN_SKY_RAIN_MM][i] =
            wet ? pn_random_gamma(&random, 0.7, 7) : 0;
        if (i % 3 == 0) {
            weather->value[PN_SKY_WIND_M_S][i] = 6 * pn_random_uniform(&random);
            weather->value[PN_SKY_HUMIDITY_FRAC][i] =
                0.5 + 0.5 * pn_random_uniform(&random);
        }
    }
    return weather;
}

static pn_soil_ground ground_of(int i) {
    return pn_soil_ground_default((pn_soil_texture)(i % PN_SOIL_TEXTURE_COUNT),
                                  (pn_soil_cover)(i % PN_SOIL_COVER_COUNT));
}

static void water_is_neither_made_nor_lost(void **state) {
    (void)state;
    for (int k = 0; k < 52; k++) {
        pn_weather *weather = invented_weather((uint64_t)k + 1);
        pn_soil_ground ground = ground_of(k);
        pn_soil_state soil = pn_soil_start(&ground);
        for (size_t i = 0; i < DAYS; i++) {
            double before = pn_soil_stored_mm(&soil);
            pn_soil_forcing forcing;
            assert_int_equal(pn_soil_forcing_of(weather, i, &forcing, NULL),
                             PN_OK);
            pn_soil_day day = pn_soil_step(&ground, &forcing, &soil);
            double caught = forcing.rain_mm - day.throughfall_mm;
            double out = caught + day.et_actual_mm + day.drainage_mm;
            double gained = pn_soil_stored_mm(&soil) - before;
            assert_near("rain = out + gained", out + gained, forcing.rain_mm,
                        1e-9);
            assert_true(caught >= 0 && day.et_actual_mm >= 0 &&
                        day.drainage_mm >= 0);
            assert_true(day.water_frac >= 0 && day.water_frac <= 1);
            assert_true(day.top_frac >= 0 && day.top_frac <= 1);
            assert_true(day.soil_degc > -25 && day.soil_degc < 45);
        }
        pn_weather_free(weather);
    }
}

static void a_run_in_pieces_gives_the_same_bits(void **state) {
    (void)state;
    static pn_soil_day whole[DAYS], pieces[DAYS];
    pn_weather *weather = invented_weather(7);
    pn_soil_ground ground =
        pn_soil_ground_default(PN_SOIL_SILT_LOAM, PN_SOIL_BROADLEAF);
    pn_soil_state a = pn_soil_start(&ground), b = a;
    assert_int_equal(pn_soil_run(&ground, weather, 0, DAYS, &a, whole, NULL),
                     PN_OK);
    size_t at = 0;
    pn_random random = pn_random_seeded(3);
    while (at < DAYS) {
        size_t step = (size_t)(pn_random_u64(&random) % 40);
        size_t to = at + step > DAYS ? DAYS : at + step;
        assert_int_equal(
            pn_soil_run(&ground, weather, at, to, &b, pieces + at, NULL),
            PN_OK);
        at = to;
    }
    for (size_t i = 0; i < DAYS; i++) {
        assert_near("water", pieces[i].water_frac, whole[i].water_frac, 0);
        assert_near("warmth", pieces[i].soil_degc, whole[i].soil_degc, 0);
        assert_near("drainage", pieces[i].drainage_mm, whole[i].drainage_mm, 0);
    }
    assert_near("slow warmth", b.slow_degc, a.slow_degc, 0);
    static pn_soil_forcing forcing[DAYS];
    pn_soil_state c = pn_soil_start(&ground);
    assert_int_equal(pn_soil_force(weather, 0, DAYS, forcing, NULL), PN_OK);
    assert_int_equal(
        pn_soil_run_forced(&ground, forcing, DAYS, &c, pieces, NULL), PN_OK);
    for (size_t i = 0; i < DAYS; i++) {
        assert_near("forced water", pieces[i].water_frac, whole[i].water_frac,
                    0);
        assert_near("forced warmth", pieces[i].soil_degc, whole[i].soil_degc,
                    0);
    }
    assert_int_equal(pn_soil_force(weather, 0, DAYS + 1, forcing, NULL),
                     PN_EDOMAIN);
    pn_weather_free(weather);
}

static void a_missing_day_is_named(void **state) {
    (void)state;
    static const struct {
        pn_sky_var var;
        const char *word;
    } rows[] = {{PN_SKY_TMIN_DEGC, "tmin"},
                {PN_SKY_TMAX_DEGC, "tmax"},
                {PN_SKY_RAIN_MM, "rain"}};
    static pn_soil_day out[DAYS];
    for (size_t k = 0; k < COUNT_OF(rows); k++) {
        pn_weather *weather = invented_weather(9);
        weather->value[rows[k].var][59] = NAN; /* 1 March 2021 */
        pn_soil_ground ground = ground_of(3);
        pn_soil_state soil = pn_soil_start(&ground);
        pn_error err = {0};
        assert_int_equal(
            pn_soil_run(&ground, weather, 0, DAYS, &soil, out, &err),
            PN_EDOMAIN);
        assert_non_null(strstr(err.message, "2021-03-01"));
        assert_non_null(strstr(err.message, rows[k].word));
        assert_int_equal(
            pn_soil_run(&ground, weather, 60, DAYS, &soil, out, &err), PN_OK);
        pn_weather_free(weather);
    }
}

static void a_wrong_range_is_refused(void **state) {
    (void)state;
    static pn_soil_day out[DAYS];
    pn_weather *weather = invented_weather(9);
    pn_soil_ground ground = ground_of(3);
    pn_soil_state soil = pn_soil_start(&ground);
    pn_error err = {0};
    assert_int_equal(
        pn_soil_run(&ground, weather, 0, DAYS + 1, &soil, out, &err),
        PN_EDOMAIN);
    assert_int_equal(pn_soil_run(&ground, weather, 5, 4, &soil, out, &err),
                     PN_EDOMAIN);
    assert_int_equal(pn_soil_run(&ground, weather, 5, 5, &soil, out, &err),
                     PN_OK);
    ground.depletion_frac = 2;
    assert_int_equal(pn_soil_run(&ground, weather, 0, 1, &soil, out, &err),
                     PN_EDOMAIN);
    weather->latitude_rad = NAN;
    ground = ground_of(3);
    assert_int_equal(pn_soil_run(&ground, weather, 0, 1, &soil, out, &err),
                     PN_EDOMAIN);
    assert_non_null(strstr(err.message, "latitude"));
    pn_weather_free(weather);
}

static void quality_is_handed_on(void **state) {
    (void)state;
    static pn_soil_day out[2];
    pn_weather *weather = invented_weather(9);
    weather->quality[PN_SKY_RAIN_MM][0] = PN_SKY_FILLED;
    weather->quality[PN_SKY_TMAX_DEGC][1] = PN_SKY_FORECAST;
    pn_soil_ground ground = ground_of(3);
    pn_soil_state soil = pn_soil_start(&ground);
    assert_int_equal(pn_soil_run(&ground, weather, 0, 2, &soil, out, NULL),
                     PN_OK);
    assert_int_equal(out[0].quality, PN_SKY_FILLED);
    assert_int_equal(out[1].quality, PN_SKY_FORECAST);
    assert_int_equal(out[0].et0_method, PN_SKY_ET0_HARGREAVES);
    pn_weather_free(weather);
}

/* July of the record, mean soil temperature. */
static double july_degc(const pn_soil_ground *ground,
                        const pn_weather *weather) {
    static pn_soil_day out[DAYS];
    pn_soil_state soil = pn_soil_start(ground);
    assert_int_equal(pn_soil_run(ground, weather, 0, DAYS, &soil, out, NULL),
                     PN_OK);
    double sum = 0;
    for (size_t i = 181; i < 212; i++) {
        sum += out[i].soil_degc / 31;
    }
    return sum;
}

static void trees_cool_and_drought_heats(void **state) {
    (void)state;
    pn_weather *weather = invented_weather(11);
    pn_soil_ground open = pn_soil_ground_default(PN_SOIL_LOAM, PN_SOIL_OPEN);
    pn_soil_ground wood =
        pn_soil_ground_default(PN_SOIL_LOAM, PN_SOIL_BROADLEAF);
    double open_degc = july_degc(&open, weather);
    assert_true(july_degc(&wood, weather) < open_degc - 0.2);
    for (size_t i = 90; i < 212; i++) {
        weather->value[PN_SKY_RAIN_MM][i] = 0;
    }
    assert_true(july_degc(&open, weather) > open_degc + 1);
    pn_weather_free(weather);
}

static void snow_waits_and_then_melts(void **state) {
    (void)state;
    pn_soil_ground ground = pn_soil_ground_default(PN_SOIL_LOAM, PN_SOIL_OPEN);
    pn_soil_state soil = pn_soil_start(&ground);
    pn_soil_forcing forcing = {.rain_mm = 12,
                               .mean_degc = -3,
                               .net_radiation_mj_m2 = -2,
                               .wind_m_s = NAN};
    pn_soil_day day = pn_soil_step(&ground, &forcing, &soil);
    assert_near("lies", soil.snow_mm, 12, 0);
    assert_near("nothing drains", day.drainage_mm, 0, 0);
    forcing.rain_mm = 0;
    for (int i = 0; i < 30; i++) {
        day = pn_soil_step(&ground, &forcing, &soil);
    }
    /* [KA09]: surface at a fifth of the frost */
    assert_near("frost hardly enters", day.soil_degc, -0.6, 1.5);
    forcing.mean_degc = 4;
    day = pn_soil_step(&ground, &forcing, &soil);
    assert_near("gone in a day of 4 degC", soil.snow_mm, 0, 0);
    assert_true(day.drainage_mm > 0);
}

static void fast_enough_for_the_outlook(void **state) {
    (void)state;
    static pn_soil_day out[DAYS];
    pn_weather *weather = invented_weather(5);
    pn_soil_ground ground = ground_of(3);
    clock_t start = clock();
    enum { RUNS = 100 };
    double sum = 0;
    for (int k = 0; k < RUNS; k++) {
        pn_soil_state soil = pn_soil_start(&ground);
        assert_int_equal(
            pn_soil_run(&ground, weather, 0, DAYS, &soil, out, NULL), PN_OK);
        sum += out[DAYS - 1].soil_degc;
    }
    double ns = (double)(clock() - start) / CLOCKS_PER_SEC * 1e9 /
                (RUNS * (double)DAYS);
    print_message("soil: %.0f ns a patch-day (checksum %.6f)\n", ns, sum);
    assert_true(ns < 20000); /* loose: sanitizers, shared machine */
    pn_weather_free(weather);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(water_is_neither_made_nor_lost),
        cmocka_unit_test(a_run_in_pieces_gives_the_same_bits),
        cmocka_unit_test(a_missing_day_is_named),
        cmocka_unit_test(a_wrong_range_is_refused),
        cmocka_unit_test(quality_is_handed_on),
        cmocka_unit_test(trees_cool_and_drought_heats),
        cmocka_unit_test(snow_waits_and_then_melts),
        cmocka_unit_test(fast_enough_for_the_outlook),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
