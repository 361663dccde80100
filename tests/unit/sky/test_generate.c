// SPDX-License-Identifier: MIT
#include "sky_support.h"

#include <string.h>

static const pn_sky_normals lowland = {
    .tmax_degc = {8, 9, 11, 14, 18, 21, 23, 22, 19, 15, 11, 8},
    .tmin_degc = {2, 2, 4, 5, 8, 11, 13, 13, 11, 8, 5, 3},
    .rain_mm = {59, 47, 43, 49, 57, 50, 53, 62, 52, 73, 72, 66},
    .sun_h = {64, 82, 118, 165, 200, 197, 212, 193, 145, 110, 71, 57},
    .wet_day_frac = {NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN,
                     NAN},
};

static pn_sky_generate_opts opts_from(int year, size_t days, uint64_t seed) {
    return (pn_sky_generate_opts){
        .latitude_rad = 0.9,
        .longitude_rad = -0.02,
        .elevation_m = 60.0,
        .first_epoch_day = day_of(year, 1, 1),
        .day_count = days,
        .seed = seed,
    };
}

static pn_weather *made(const pn_sky_normals *normals,
                        const pn_sky_generate_opts *opts) {
    pn_weather *weather = NULL;
    pn_error err = {0};
    if (pn_weather_generate(&pn_alloc_libc, normals, opts, &weather, &err) !=
        PN_OK) {
        fail_msg("%s", err.message);
    }
    return weather;
}

static void same_seed_same_days_longer_begins_with_shorter(void **state) {
    (void)state;
    pn_sky_generate_opts opts = opts_from(2019, 400, 11);
    pn_weather *shorter = made(&lowland, &opts);
    opts.day_count = 2000;
    pn_weather *longer = made(&lowland, &opts);
    opts.seed = 12;
    pn_weather *other = made(&lowland, &opts);
    int differing = 0;
    for (int v = 0; v < PN_SKY_VAR_COUNT; v++) {
        for (size_t i = 0; i < 400; i++) {
            assert_near("prefix", longer->value[v][i], shorter->value[v][i],
                        0.0);
            differing += fabs(longer->value[v][i] - other->value[v][i]) > 0.0;
        }
    }
    assert_true(differing > 1000);
    pn_weather_free(other);
    pn_weather_free(longer);
    pn_weather_free(shorter);
}

static void every_day_is_whole_and_plausible(void **state) {
    (void)state;
    pn_sky_generate_opts opts = opts_from(1850, 73050, 3);
    pn_weather *weather = made(&lowland, &opts);
    for (size_t i = 0; i < weather->day_count; i++) {
        double tmin = weather->value[PN_SKY_TMIN_DEGC][i];
        double tmax = weather->value[PN_SKY_TMAX_DEGC][i];
        double rain = weather->value[PN_SKY_RAIN_MM][i];
        double sun = weather->value[PN_SKY_SUNSHINE_H][i];
        int day_of_year = pn_date_day_of_year(opts.first_epoch_day + (int)i);
        assert_true(tmax > tmin);
        assert_true(tmin > -25.0 && tmax < 45.0);
        assert_true(rain >= 0.0 && rain < 150.0);
        assert_true(sun >= 0.0 &&
                    sun <= pn_sky_daylight_h(opts.latitude_rad, day_of_year));
        assert_true(isnan(weather->value[PN_SKY_WIND_M_S][i]));
    }
    pn_weather_free(weather);
}

/* The chain's long run and its memory come back. */
static void wet_days_cluster_as_asked(void **state) {
    (void)state;
    pn_sky_normals normals = lowland;
    for (int month = 0; month < 12; month++) {
        normals.wet_day_frac[month] = 0.40;
    }
    pn_sky_generate_opts opts = opts_from(1900, 73000, 5);
    pn_weather *weather = made(&normals, &opts);
    const double *rain = weather->value[PN_SKY_RAIN_MM];
    double wet = 0.0;
    double wet_after_wet = 0.0;
    for (size_t i = 1; i < weather->day_count; i++) {
        wet += rain[i - 1] > 0.0;
        wet_after_wet += rain[i - 1] > 0.0 && rain[i] > 0.0;
    }
    /* 3 standard errors over 73000 days */
    assert_near("share", wet / 73000.0, 0.40, 0.008);
    assert_near("wet after wet", wet_after_wet / wet, 0.40 + 0.31 * 0.60,
                0.010);
    pn_weather_free(weather);
}

/* Dry and wet months in turn: on the first day of a wet one the chain still
 * remembers the dry one, yet the rain to be expected is the month's. */
static void first_of_the_month_gets_its_due(void **state) {
    (void)state;
    pn_sky_normals normals = lowland;
    for (int month = 0; month < 12; month++) {
        normals.wet_day_frac[month] = month % 2 == 0 ? 0.10 : 0.80;
        normals.rain_mm[month] = 60.0;
    }
    pn_sky_generate_opts opts = opts_from(1801, 73000, 8);
    pn_weather *weather = made(&normals, &opts);
    double sum_mm = 0.0;
    double days = 0.0;
    for (size_t i = 0; i < weather->day_count; i++) {
        pn_date date =
            pn_date_from_epoch_day(opts.first_epoch_day + (int32_t)i);
        if (date.day == 1 && date.month % 2 == 0) {
            sum_mm += weather->value[PN_SKY_RAIN_MM][i];
            days += 1.0;
        }
    }
    /* 1200 days of coefficient of variation 1.7: 5 % standard error; without
     * the memory in the amounts it would be 27 % too little */
    assert_near("mm", sum_mm / days, 2.0, 0.3);
    pn_weather_free(weather);
}

static void wet_days_are_duller_with_less_range(void **state) {
    (void)state;
    pn_sky_generate_opts opts = opts_from(1900, 36500, 6);
    pn_weather *weather = made(&lowland, &opts);
    double sum[2][2] = {{0}};
    double count[2] = {0};
    for (size_t i = 0; i < weather->day_count; i++) {
        bool wet = weather->value[PN_SKY_RAIN_MM][i] > 0.0;
        sum[wet][0] += weather->value[PN_SKY_TMAX_DEGC][i] -
                       weather->value[PN_SKY_TMIN_DEGC][i];
        sum[wet][1] += weather->value[PN_SKY_SUNSHINE_H][i];
        count[wet] += 1.0;
    }
    assert_near("range, wet over dry",
                sum[1][0] / count[1] / (sum[0][0] / count[0]), 0.83, 0.02);
    assert_near("sun, wet over dry",
                sum[1][1] / count[1] / (sum[0][1] / count[0]), 0.5, 0.03);
    pn_weather_free(weather);
}

static void month_sums(const pn_weather *weather, double sum[12][4],
                       double days[12]) {
    static const pn_sky_var vars[] = {PN_SKY_TMAX_DEGC, PN_SKY_TMIN_DEGC,
                                      PN_SKY_RAIN_MM, PN_SKY_SUNSHINE_H};
    for (size_t i = 0; i < weather->day_count; i++) {
        pn_date date =
            pn_date_from_epoch_day(weather->first_epoch_day + (int32_t)i);
        days[date.month - 1] += 1.0;
        for (size_t v = 0; v < COUNT_OF(vars); v++) {
            sum[date.month - 1][v] += weather->value[vars[v]][i];
        }
    }
}

/* Without chance the months of a common year are the normals themselves. */
static void smooth_year_is_the_normals(void **state) {
    (void)state;
    pn_sky_generate_opts opts = opts_from(2019, 365, 1);
    opts.smooth = true;
    pn_weather *weather = made(&lowland, &opts);
    double sum[12][4] = {{0}};
    double days[12] = {0};
    month_sums(weather, sum, days);
    for (int m = 0; m < 12; m++) {
        const char *name = pn_month_name(m + 1);
        assert_near(name, sum[m][0] / days[m], lowland.tmax_degc[m], 1e-9);
        assert_near(name, sum[m][1] / days[m], lowland.tmin_degc[m], 1e-9);
        assert_near(name, sum[m][2], lowland.rain_mm[m], 1e-9);
        assert_near(name, sum[m][3], lowland.sun_h[m], 1e-9);
    }
    for (size_t i = 1; i < 365; i++) {
        assert_true(fabs(weather->value[PN_SKY_TMAX_DEGC][i] -
                         weather->value[PN_SKY_TMAX_DEGC][i - 1]) < 0.25);
    }
    pn_weather_free(weather);
}

static void unknown_sunshine_stays_missing(void **state) {
    (void)state;
    pn_sky_normals normals = lowland;
    normals.sun_h[6] = NAN;
    for (int smooth = 0; smooth < 2; smooth++) {
        pn_sky_generate_opts opts = opts_from(2019, 365, 1);
        opts.smooth = smooth == 1;
        pn_weather *weather = made(&normals, &opts);
        for (size_t i = 0; i < 365; i++) {
            bool is_july = i >= 181 && i < 212;
            assert_int_equal(isnan(weather->value[PN_SKY_SUNSHINE_H][i]),
                             is_july);
        }
        pn_weather_free(weather);
    }
}

static void impossible_normals_are_named(void **state) {
    (void)state;
    pn_sky_normals cold = lowland;
    pn_sky_normals crossed = lowland;
    pn_sky_normals dry = lowland;
    pn_sky_normals sunny = lowland;
    pn_sky_normals missing = lowland;
    cold.tmin_degc[0] = -31.0;
    crossed.tmax_degc[1] = 1.0;
    dry.rain_mm[2] = -1.0;
    sunny.sun_h[11] = 300.0;
    missing.tmax_degc[4] = NAN;
    const struct {
        const pn_sky_normals *normals;
        const char *want;
    } cases[] = {
        {&cold, "Jan: tmin_degc is -31"},    {&crossed, "Feb: tmax_degc is 1"},
        {&dry, "Mar: rain_mm is -1"},        {&sunny, "Dec: sun_h is 300"},
        {&missing, "May: tmax_degc is nan"},
    };
    pn_sky_generate_opts opts = opts_from(2019, 10, 1);
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        pn_weather *weather = NULL;
        pn_error err = {0};
        assert_int_equal(pn_weather_generate(&pn_alloc_libc, cases[i].normals,
                                             &opts, &weather, &err),
                         PN_EDOMAIN);
        assert_null(weather);
        if (strstr(err.message, cases[i].want) == NULL) {
            fail_msg("got: %s", err.message);
        }
    }
    pn_weather *weather = NULL;
    opts.latitude_rad = 2.0;
    assert_int_equal(
        pn_weather_generate(&pn_alloc_libc, &lowland, &opts, &weather, NULL),
        PN_EDOMAIN);
    opts = opts_from(2019, 0, 1);
    assert_int_equal(
        pn_weather_generate(&pn_alloc_libc, &lowland, &opts, &weather, NULL),
        PN_EDOMAIN);
}

static void survives_every_failed_allocation(void **state) {
    (void)state;
    pn_sky_generate_opts opts = opts_from(2019, 10, 1);
    pn_status status = PN_ENOMEM;
    int permitted = 0;
    for (; status == PN_ENOMEM && permitted < 1000; permitted++) {
        failing limit = {.calls_left = permitted};
        pn_alloc alloc = failing_alloc(&limit);
        pn_weather *weather = NULL;
        status = pn_weather_generate(&alloc, &lowland, &opts, &weather, NULL);
        pn_weather_free(weather);
    }
    assert_int_equal(status, PN_OK);
    assert_int_equal(permitted, 15 + 1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(same_seed_same_days_longer_begins_with_shorter),
        cmocka_unit_test(every_day_is_whole_and_plausible),
        cmocka_unit_test(wet_days_cluster_as_asked),
        cmocka_unit_test(first_of_the_month_gets_its_due),
        cmocka_unit_test(wet_days_are_duller_with_less_range),
        cmocka_unit_test(smooth_year_is_the_normals),
        cmocka_unit_test(unknown_sunshine_stays_missing),
        cmocka_unit_test(impossible_normals_are_named),
        cmocka_unit_test(survives_every_failed_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
