// SPDX-License-Identifier: MIT
#include "sky_support.h"

static void out_of_range_is_nan(void **state) {
    (void)state;
    const struct {
        const char *name;
        double got;
    } cases[] = {
        {"day 0", pn_sky_inverse_distance(0)},
        {"day 367", pn_sky_declination_rad(367)},
        {"beyond the pole", pn_sky_sunset_angle_rad(1.6, 100)},
        {"no latitude", pn_sky_extraterrestrial_mj_m2(NAN, 100)},
        {"no daylight", pn_sky_solar_from_sunshine_mj_m2(0.0, 0.0, 10.0)},
        {"25 h of sun", pn_sky_solar_from_sunshine_mj_m2(25.0, 12.0, 10.0)},
        {"too much radiation", pn_sky_net_shortwave_mj_m2(51.0)},
        {"crossed extremes", pn_sky_solar_from_range_mj_m2(2, 1, 0.16, 10)},
        {"odd coefficient", pn_sky_solar_from_range_mj_m2(1, 2, 0.3, 10)},
        {"height", pn_sky_clear_sky_mj_m2(9001.0, 10.0)},
        {"clearness", pn_sky_net_longwave_mj_m2(1, 2, 1.0, 0.29)},
        {"ground", pn_sky_ground_heat_around_mj_m2(NAN, 3.0)},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        assert_near(cases[i].name, cases[i].got, NAN, 0.0);
    }
}

static void polar_day_and_night(void **state) {
    (void)state;
    double north_cape = 71.2 * acos(-1.0) / 180.0;
    assert_near("midnight sun", pn_sky_daylight_h(north_cape, 172), 24.0,
                1e-12);
    assert_near("polar night", pn_sky_daylight_h(north_cape, 355), 0.0, 1e-12);
    assert_near("no radiation", pn_sky_extraterrestrial_mj_m2(north_cape, 355),
                0.0, 1e-12);
}

static void radiation_is_bounded_everywhere(void **state) {
    (void)state;
    for (int lat = -90; lat <= 90; lat++) {
        for (int day = 1; day <= 366; day++) {
            double ra =
                pn_sky_extraterrestrial_mj_m2(lat * acos(-1.0) / 180.0, day);
            assert_true(ra >= -1e-12 && ra < 49.0);
        }
    }
}

static void day_and_night_share_the_year_at_any_latitude(void **state) {
    (void)state;
    for (int lat = -66; lat <= 66; lat += 6) {
        double sum_h = 0.0;
        for (int day = 1; day <= 365; day++) {
            sum_h += pn_sky_daylight_h(lat * acos(-1.0) / 180.0, day);
        }
        assert_near("mean", sum_h / 365.0, 12.0, 0.06);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(out_of_range_is_nan),
        cmocka_unit_test(polar_day_and_night),
        cmocka_unit_test(radiation_is_bounded_everywhere),
        cmocka_unit_test(day_and_night_share_the_year_at_any_latitude),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
