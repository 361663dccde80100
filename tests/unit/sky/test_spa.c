// SPDX-License-Identifier: MIT
#include "sky_support.h"

static double rad(double deg) {
    return deg * acos(-1.0) / 180.0;
}

static double apart_deg(double a_rad, double b_rad) {
    return fabs(remainder(a_rad - b_rad, 2.0 * acos(-1.0))) * 180.0 /
           acos(-1.0);
}

/* Two theories of the sun, a simple one and a full one, written apart. The
 * simple one knows no parallax (0.0024 degree) and no delta T. */
static void both_theories_agree_for_a_century(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(1950);
    double first = pn_sky_julian_day(day_of(1950, 1, 1));
    double last = pn_sky_julian_day(day_of(2050, 1, 1));
    double worst_deg = 0.0;
    for (int round = 0; round < 3000; round++) {
        pn_sky_spa_in in = {
            .julian_day_ut =
                first + (last - first) * pn_random_uniform(&random),
            .delta_t_s = 69.0,
            .latitude_rad = rad(-80.0 + 160.0 * pn_random_uniform(&random)),
            .longitude_rad = rad(-180.0 + 360.0 * pn_random_uniform(&random)),
        };
        pn_sky_spa spa;
        assert_true(pn_sky_spa_at(&in, &spa));
        pn_sky_sun sun = pn_sky_sun_at(in.julian_day_ut);
        double altitude = pn_sky_sun_altitude_rad(
            in.julian_day_ut, in.latitude_rad, in.longitude_rad);
        double azimuth = pn_sky_sun_azimuth_rad(
            in.julian_day_ut, in.latitude_rad, in.longitude_rad);
        double off_deg[] = {
            apart_deg(sun.right_ascension_rad, spa.right_ascension_rad),
            apart_deg(sun.declination_rad, spa.declination_rad),
            apart_deg(sun.equation_of_time_rad, spa.equation_of_time_rad),
            apart_deg(altitude, spa.true_altitude_rad),
            /* azimuth counts for less as the sun nears the zenith */
            apart_deg(azimuth, spa.azimuth_rad) * cos(altitude),
        };
        for (size_t i = 0; i < COUNT_OF(off_deg); i++) {
            worst_deg = fmax(worst_deg, off_deg[i]);
        }
        assert_near("distance", sun.distance_au, spa.distance_au, 1e-4);
    }
    assert_near("worst, degrees", worst_deg, 0.0, 0.02);
    assert_true(worst_deg > 0.0);
}

static void refraction_lifts_the_sun(void **state) {
    (void)state;
    pn_sky_spa_in in = {.julian_day_ut = 2451545.0,
                        .latitude_rad = 0.9,
                        .pressure_hpa = 1013.0,
                        .air_degc = 10.0};
    for (int step = 0; step < 100; step++) {
        pn_sky_spa air;
        pn_sky_spa vacuum;
        assert_true(pn_sky_spa_at(&in, &air));
        pn_sky_spa_in without = in;
        without.pressure_hpa = 0.0;
        assert_true(pn_sky_spa_at(&without, &vacuum));
        double lift_deg =
            (vacuum.zenith_rad - air.zenith_rad) * 180.0 / acos(-1.0);
        bool is_up = air.true_altitude_rad > rad(-0.8);
        assert_true(is_up ? lift_deg > 0.0 && lift_deg < 0.9
                          : fabs(lift_deg) < 0.9);
        in.julian_day_ut += 0.01;
    }
}

static void out_of_range_is_refused(void **state) {
    (void)state;
    const pn_sky_spa_in fine = {.julian_day_ut = 2451545.0};
    pn_sky_spa_in bad[] = {fine, fine, fine, fine, fine, fine, fine};
    bad[0].julian_day_ut = NAN;
    bad[1].julian_day_ut = 4e6;
    bad[2].latitude_rad = 1.6;
    bad[3].longitude_rad = INFINITY;
    bad[4].elevation_m = 1e5;
    bad[5].pressure_hpa = -1.0;
    bad[6].air_degc = 61.0;
    pn_sky_spa spa;
    assert_true(pn_sky_spa_at(&fine, &spa));
    for (size_t i = 0; i < COUNT_OF(bad); i++) {
        assert_false(pn_sky_spa_at(&bad[i], &spa));
        assert_true(isnan(spa.zenith_rad) && isnan(spa.earth_longitude_rad));
    }
    assert_true(isnan(pn_sky_sun_at(NAN).declination_rad));
    assert_true(isnan(pn_sky_sun_altitude_rad(2451545.0, 1.6, 0.0)));
    assert_true(isnan(pn_sky_sun_azimuth_rad(2451545.0, 0.9, 4.0)));
    assert_true(isnan(pn_sky_incidence_rad(NAN, 0.0, 0.0, 0.0)));
}

static void incidence_geometry(void **state) {
    (void)state;
    static const struct {
        const char *name;
        double zenith_deg;
        double azimuth_deg;
        double slope_deg;
        double aspect_deg;
        double want_deg;
    } cases[] = {
        {"level ground", 50, 200, 0, 10, 50},
        {"slope faces the sun", 50, 180, 50, 180, 0},
        {"slope faces away", 50, 180, 40, 0, 90},
        {"wall, sun on the horizon beside it", 90, 90, 90, 180, 90},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        double got = pn_sky_incidence_rad(
            rad(cases[i].zenith_deg), rad(cases[i].azimuth_deg),
            rad(cases[i].slope_deg), rad(cases[i].aspect_deg));
        assert_near(cases[i].name, got, rad(cases[i].want_deg), 1e-7);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(both_theories_agree_for_a_century),
        cmocka_unit_test(refraction_lifts_the_sun),
        cmocka_unit_test(out_of_range_is_refused),
        cmocka_unit_test(incidence_geometry),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
