// SPDX-License-Identifier: MIT
#include "support/check.h"

#include "pannage/ground.h"

static void there_and_back(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(20260914);
    for (int i = 0; i < 20000; i++) {
        pn_grid want = {pn_random_uniform(&random) * 700000.0,
                        pn_random_uniform(&random) * 1300000.0};
        pn_latlon at = {0};
        pn_grid got = {0};
        assert_int_equal(pn_grid_to_latlon(want, &at, NULL), PN_OK);
        if (pn_grid_from_latlon(at, &got, NULL) != PN_OK) {
            continue; /* a hair off the edge */
        }
        /* heights are taken as 0 on both sides, which costs 1 mm; the series
         * are cut after the 7th power, which costs 11 mm at the west edge */
        bool far = fabs(want.easting_m - 400000.0) > 300000.0;
        double tol_m = far ? 0.012 : 0.002;
        assert_near("easting", got.easting_m, want.easting_m, tol_m);
        assert_near("northing", got.northing_m, want.northing_m, tol_m);
    }
}

static void refuses_places_off_the_grid(void **state) {
    (void)state;
    static const struct {
        const char *name;
        double lat_deg, lon_deg;
    } cases[] = {{"equator", 0.0, 0.0},       {"paris", 48.85, 2.35},
                 {"north pole", 90.0, 0.0},   {"reykjavik", 64.1, -21.9},
                 {"hamburg", 53.55, 10.0},    {"sydney", -33.9, 151.2},
                 {"far west", 52.0, -11.9},   {"not a number", NAN, -1.0},
                 {"infinite", 52.0, INFINITY}};
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        pn_latlon at = {pn_radians(cases[i].lat_deg),
                        pn_radians(cases[i].lon_deg)};
        pn_grid grid = {-1.0, -1.0};
        pn_error err = {0};
        if (pn_grid_from_latlon(at, &grid, &err) != PN_EDOMAIN ||
            pn_grid_project(at, &grid, &err) != PN_EDOMAIN) {
            fail_msg("%s was accepted", cases[i].name);
        }
        assert_near(cases[i].name, grid.easting_m, -1.0, 0.0);
    }
    pn_latlon at = {0};
    pn_grid bad[] = {{-1.0, 0.0}, {700000.0, 0.0}, {0.0, 1300000.0}, {NAN, 0}};
    for (size_t i = 0; i < COUNT_OF(bad); i++) {
        assert_int_equal(pn_grid_to_latlon(bad[i], &at, NULL), PN_EDOMAIN);
    }
}

static void degrees_are_checked(void **state) {
    (void)state;
    pn_latlon at = {0};
    pn_error err = {0};
    assert_int_equal(pn_latlon_from_degrees(90.1, 0.0, &at, &err), PN_EDOMAIN);
    assert_string_equal(err.message,
                        "latitude 90.1 is not within -90 .. 90 degrees");
    assert_int_equal(pn_latlon_from_degrees(0.0, -180.5, &at, &err),
                     PN_EDOMAIN);
    assert_int_equal(pn_latlon_from_degrees(NAN, 0.0, &at, NULL), PN_EDOMAIN);
    assert_int_equal(pn_latlon_from_degrees(-90.0, 180.0, &at, NULL), PN_OK);
}

static void distance_properties(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(7);
    for (int i = 0; i < 2000; i++) {
        pn_latlon p[3];
        for (int k = 0; k < 3; k++) {
            p[k].latitude_rad =
                pn_radians(180.0 * pn_random_uniform(&random) - 90.0);
            p[k].longitude_rad =
                pn_radians(360.0 * pn_random_uniform(&random) - 180.0);
        }
        double ab = pn_distance_m(p[0], p[1]);
        assert_near("symmetry", pn_distance_m(p[1], p[0]), ab, 1e-6);
        assert_near("itself", pn_distance_m(p[0], p[0]), 0.0, 0.0);
        double ac = pn_distance_m(p[0], p[2]);
        double cb = pn_distance_m(p[2], p[1]);
        assert_true(ab <= ac + cb + 1e-3); /* 1 mm for rounding */
    }
    pn_latlon nowhere = {NAN, 0.0};
    assert_true(isnan(pn_distance_m(nowhere, nowhere)));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(there_and_back),
        cmocka_unit_test(refuses_places_off_the_grid),
        cmocka_unit_test(degrees_are_checked),
        cmocka_unit_test(distance_properties),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
