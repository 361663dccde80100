// SPDX-License-Identifier: MIT
#include "sky_support.h"

static double rad(double deg) {
    return deg * acos(-1.0) / 180.0;
}

static double clock_h(int hour, int minute) {
    return hour + minute / 60.0;
}

/* Times computed once with another implementation of the same series (not
 * published): a guard for the code, not outside truth. */
static void british_solstices(void **state) {
    (void)state;
    static const struct {
        const char *name;
        double lat_deg;
        double lon_deg;
        int month;
        int rise[2];
        int set[2];
        pn_sky_outcome civil;
        pn_sky_outcome nautical;
        pn_sky_outcome astronomical;
    } cases[] = {
        {"Lerwick, June",
         60.155,
         -1.145,
         6,
         {2, 38},
         {21, 34},
         PN_SKY_RISES_AND_SETS,
         PN_SKY_NEVER_SETS,
         PN_SKY_NEVER_SETS},
        {"Lerwick, December",
         60.155,
         -1.145,
         12,
         {9, 8},
         {14, 57},
         PN_SKY_RISES_AND_SETS,
         PN_SKY_RISES_AND_SETS,
         PN_SKY_RISES_AND_SETS},
        {"Edinburgh, December",
         55.95,
         -3.19,
         12,
         {8, 42},
         {15, 40},
         PN_SKY_RISES_AND_SETS,
         PN_SKY_RISES_AND_SETS,
         PN_SKY_RISES_AND_SETS},
        {"Greenwich, December",
         51.48,
         0.0,
         12,
         {8, 3},
         {15, 53},
         PN_SKY_RISES_AND_SETS,
         PN_SKY_RISES_AND_SETS,
         PN_SKY_RISES_AND_SETS},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        pn_sky_sun_times times;
        int32_t day =
            day_of(2024, cases[i].month, cases[i].month == 6 ? 20 : 21);
        assert_true(pn_sky_sun_times_of(day, rad(cases[i].lat_deg),
                                        rad(cases[i].lon_deg), &times));
        assert_near(cases[i].name, times.day.rise_h,
                    clock_h(cases[i].rise[0], cases[i].rise[1]), 1.0 / 60.0);
        assert_near(cases[i].name, times.day.set_h,
                    clock_h(cases[i].set[0], cases[i].set[1]), 1.0 / 60.0);
        assert_int_equal(times.civil.outcome, cases[i].civil);
        assert_int_equal(times.nautical.outcome, cases[i].nautical);
        assert_int_equal(times.astronomical.outcome, cases[i].astronomical);
    }
}

/* 39.742476 N, 105.1786 W: the worked example of the solar position algorithm
 * gives a sunset of the evening before, because its day is a UT day. Ours is
 * the evening of the date asked. MST is UTC - 7. */
static void sunset_belongs_to_the_date(void **state) {
    (void)state;
    pn_sky_sun_times times;
    assert_true(pn_sky_sun_times_of(day_of(2003, 10, 17), rad(39.742476),
                                    rad(-105.1786), &times));
    double second = 1.0 / 3600.0;
    assert_near("rise 06:12:43", times.day.rise_h - 7.0,
                clock_h(6, 12) + 43 * second, 3 * second);
    assert_near("set 17:18:51", times.day.set_h - 7.0,
                clock_h(17, 18) + 51 * second, 3 * second);
    assert_true(pn_sky_sun_times_of(day_of(2003, 10, 16), rad(39.742476),
                                    rad(-105.1786), &times));
    assert_near("set 17:20:19 the evening before", times.day.set_h - 7.0,
                clock_h(17, 20) + 19 * second, 3 * second);
}

/* At the solstice the sun stands 90 - lat - 23.44 degrees under the northern
 * horizon at midnight: 6.4 in Lerwick, which has a short civil night, 5.7 at
 * the north end of Unst, which has none. */
static void civil_night_ends_in_shetland(void **state) {
    (void)state;
    pn_sky_sun_times times;
    int32_t day = day_of(2024, 6, 20);
    assert_true(pn_sky_sun_times_of(day, rad(60.155), rad(-1.145), &times));
    assert_int_equal(times.civil.outcome, PN_SKY_RISES_AND_SETS);
    assert_true(times.civil.set_h > times.day.set_h + 1.0);
    assert_true(times.civil.rise_h < times.day.rise_h - 1.0);
    assert_true(pn_sky_sun_times_of(day, rad(60.85), rad(-0.88), &times));
    assert_int_equal(times.day.outcome, PN_SKY_RISES_AND_SETS);
    assert_int_equal(times.civil.outcome, PN_SKY_NEVER_SETS);
    assert_true(isnan(times.civil.rise_h) && isnan(times.civil.set_h));
}

static void polar_outcomes(void **state) {
    (void)state;
    pn_sky_sun_times times;
    assert_true(
        pn_sky_sun_times_of(day_of(2024, 12, 21), rad(75.0), 0.0, &times));
    assert_int_equal(times.day.outcome, PN_SKY_NEVER_RISES);
    assert_int_equal(times.civil.outcome, PN_SKY_NEVER_RISES);
    assert_int_equal(times.nautical.outcome, PN_SKY_RISES_AND_SETS);
    assert_true(isnan(times.day.rise_h) && isnan(times.day.set_h));
    assert_true(
        pn_sky_sun_times_of(day_of(2024, 6, 21), rad(75.0), 0.0, &times));
    assert_int_equal(times.day.outcome, PN_SKY_NEVER_SETS);
    assert_true(isnan(times.day.rise_h) && isnan(times.day.set_h));
}

static void nonsense_is_refused(void **state) {
    (void)state;
    static const struct {
        const char *name;
        int32_t epoch_day;
        double latitude_rad;
        double longitude_rad;
    } cases[] = {
        {"no latitude", 0, NAN, 0.0},
        {"beyond the pole", 0, 1.6, 0.0},
        {"no longitude", 0, 0.9, NAN},
        {"beyond the date line", 0, 0.9, 3.2},
        {"before 1800", -70000, 0.9, 0.0},
        {"after 2200", 84100, 0.9, 0.0},
        {"the end of time", INT32_MAX, 0.9, 0.0},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        pn_sky_sun_times times;
        assert_near(cases[i].name,
                    pn_sky_sun_times_of(cases[i].epoch_day,
                                        cases[i].latitude_rad,
                                        cases[i].longitude_rad, &times),
                    false, 0.0);
        assert_true(isnan(times.noon_h) && isnan(times.day.set_h));
    }
}

/* Every passage lies on its zenith distance, and the wider the twilight the
 * earlier it begins and the later it ends. */
static void passages_are_ordered_and_on_the_mark(void **state) {
    (void)state;
    for (int lat = -60; lat <= 60; lat += 15) {
        for (int32_t day = day_of(2023, 1, 1); day < day_of(2024, 1, 1);
             day += 9) {
            pn_sky_sun_times t;
            assert_true(pn_sky_sun_times_of(day, rad(lat), rad(-3.0), &t));
            assert_near("noon", t.noon_h, 12.2, 0.3);
            if (t.astronomical.outcome != PN_SKY_RISES_AND_SETS) {
                continue;
            }
            double jd = pn_sky_julian_day(day);
            assert_near("rise",
                        pn_sky_sun_altitude_rad(jd + t.day.rise_h / 24.0,
                                                rad(lat), rad(-3.0)),
                        rad(-50.0 / 60.0), 1e-6);
            assert_near("dusk",
                        pn_sky_sun_altitude_rad(jd + t.nautical.set_h / 24.0,
                                                rad(lat), rad(-3.0)),
                        rad(-12.0), 1e-6);
            assert_true(t.astronomical.rise_h < t.nautical.rise_h &&
                        t.nautical.rise_h < t.civil.rise_h &&
                        t.civil.rise_h < t.day.rise_h &&
                        t.day.rise_h < t.noon_h && t.noon_h < t.day.set_h &&
                        t.day.set_h < t.civil.set_h &&
                        t.civil.set_h < t.nautical.set_h &&
                        t.nautical.set_h < t.astronomical.set_h);
        }
    }
}

/* Two models by different people: within 10 minutes at British latitudes. */
static void day_length_agrees_with_the_times(void **state) {
    (void)state;
    double worst_h = 0.0;
    for (int lat = 50; lat <= 61; lat++) {
        for (int n = 1; n <= 365; n++) {
            pn_sky_sun_times t;
            int32_t day = day_of(2023, 1, 1) + n - 1;
            assert_true(pn_sky_sun_times_of(day, rad(lat), 0.0, &t));
            double h = pn_sky_day_length_h(rad(lat), n, 0.8333);
            worst_h = fmax(worst_h, fabs(h - (t.day.set_h - t.day.rise_h)));
        }
    }
    assert_near("worst", worst_h, 0.0, 10.0 / 60.0);
    assert_near("beyond the pole", pn_sky_day_length_h(1.6, 1, 0.0), NAN, 0.0);
    assert_near("day 0", pn_sky_day_length_h(0.9, 0, 0.0), NAN, 0.0);
    assert_near("midnight sun", pn_sky_day_length_h(rad(75.0), 172, 0.0), 24.0,
                0.0);
    assert_near("polar night", pn_sky_day_length_h(rad(75.0), 355, 0.0), 0.0,
                0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(british_solstices),
        cmocka_unit_test(sunset_belongs_to_the_date),
        cmocka_unit_test(civil_night_ends_in_shetland),
        cmocka_unit_test(polar_outcomes),
        cmocka_unit_test(nonsense_is_refused),
        cmocka_unit_test(passages_are_ordered_and_on_the_mark),
        cmocka_unit_test(day_length_agrees_with_the_times),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
