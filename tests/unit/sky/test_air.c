// SPDX-License-Identifier: MIT
#include "sky_support.h"

static void domains(void **state) {
    (void)state;
    const struct {
        const char *name;
        double got;
        double want;
    } cases[] = {
        {"sea level is the leading constant", pn_sky_pressure_kpa(0.0), 101.3},
        {"too high", pn_sky_pressure_kpa(9001.0), NAN},
        {"no height", pn_sky_pressure_kpa(NAN), NAN},
        {"thin air", pn_sky_psychrometric_kpa_k(19.0), NAN},
        {"freezing point", pn_sky_saturation_kpa(0.0), 0.6108},
        {"too cold", pn_sky_saturation_kpa(-90.1), NAN},
        {"too hot", pn_sky_saturation_slope_kpa_k(60.1), NAN},
        {"infinite", pn_sky_saturation_kpa(INFINITY), NAN},
        {"crossed extremes", pn_sky_mean_saturation_kpa(2.0, 1.0), NAN},
        {"wet above dry", pn_sky_vapour_psychrometer_kpa(2, 1, 100), NAN},
        {"crossed humidity", pn_sky_vapour_extremes_kpa(1, 2, .5, .6), NAN},
        {"percent", pn_sky_vapour_mean_kpa(1.0, 2.0, 84.0), NAN},
        {"saturated", pn_sky_vapour_mean_kpa(0.0, 0.0, 1.0), 0.6108},
        {"wind at the ground", pn_sky_wind_at_2m_m_s(2.0, 0.05), NAN},
        {"wind at 2 m stays", pn_sky_wind_at_2m_m_s(2.0, 2.0), 2.0},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        /* 0.002: the published wind constant is rounded */
        assert_near(cases[i].name, cases[i].got, cases[i].want, 0.002);
    }
}

static void saturation_rises_and_its_slope_is_its_derivative(void **state) {
    (void)state;
    for (int tenth = -899; tenth < 600; tenth++) {
        double t = tenth / 10.0;
        double below = pn_sky_saturation_kpa(t - 0.001);
        double above = pn_sky_saturation_kpa(t < 59.999 ? t + 0.001 : t);
        double numeric = (above - below) / 0.002;
        assert_true(above > below);
        /* 4098 is 17.27 x 237.3 rounded: 5 parts in 1e5 */
        assert_near("slope", pn_sky_saturation_slope_kpa_k(t) / numeric, 1.0,
                    1e-4);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(domains),
        cmocka_unit_test(saturation_rises_and_its_slope_is_its_derivative),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
