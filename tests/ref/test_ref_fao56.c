// SPDX-License-Identifier: MIT
#include "sky/sky_table.h"

#include "pannage/sky.h"

static double rad(double deg) {
    return deg * acos(-1.0) / 180.0;
}

static double pressure(const double *a) {
    return pn_sky_pressure_kpa(a[0]);
}

static double psychrometric(const double *a) {
    return pn_sky_psychrometric_kpa_k(pn_sky_pressure_kpa(a[0]));
}

static double saturation(const double *a) {
    return pn_sky_saturation_kpa(a[0]);
}

static double slope(const double *a) {
    return pn_sky_saturation_slope_kpa_k(a[0]);
}

static double mean_saturation(const double *a) {
    return pn_sky_mean_saturation_kpa(a[0], a[1]);
}

static double vapour_psychrometer(const double *a) {
    return pn_sky_vapour_psychrometer_kpa(a[0], a[1], a[2]);
}

static double vapour_extremes(const double *a) {
    return pn_sky_vapour_extremes_kpa(a[0], a[1], a[2] / 100.0, a[3] / 100.0);
}

static double vapour_mean(const double *a) {
    return pn_sky_vapour_mean_kpa(a[0], a[1], a[2] / 100.0);
}

static double inverse_distance(const double *a) {
    return pn_sky_inverse_distance((int)a[0]);
}

static double declination(const double *a) {
    return pn_sky_declination_rad((int)a[0]);
}

static double sunset_angle(const double *a) {
    return pn_sky_sunset_angle_rad(rad(a[0]), (int)a[1]);
}

static double extraterrestrial(const double *a) {
    return pn_sky_extraterrestrial_mj_m2(rad(a[0]), (int)a[1]);
}

static double daylight(const double *a) {
    return pn_sky_daylight_h(rad(a[0]), (int)a[1]);
}

static double solar_from_sunshine(const double *a) {
    return pn_sky_solar_from_sunshine_mj_m2(a[0], a[1], a[2]);
}

static double solar_at(const double *a) {
    return pn_sky_solar_from_sunshine_mj_m2(a[2], daylight(a),
                                            extraterrestrial(a));
}

static double solar_from_range(const double *a) {
    return pn_sky_solar_from_range_mj_m2(a[0], a[1], a[2], a[3]);
}

static double clear_sky_at(const double *a) {
    return pn_sky_clear_sky_mj_m2(a[2], extraterrestrial(a));
}

static double net_shortwave(const double *a) {
    return pn_sky_net_shortwave_mj_m2(a[0]);
}

static double net_longwave(const double *a) {
    return pn_sky_net_longwave_mj_m2(a[0], a[1], a[2], a[3] / a[4]);
}

static double wind_at_2m(const double *a) {
    return pn_sky_wind_at_2m_m_s(a[0], a[1]);
}

static double ground_around(const double *a) {
    return pn_sky_ground_heat_around_mj_m2(a[0], a[1]);
}

static double ground_around_mm(const double *a) {
    return 0.408 * ground_around(a);
}

static double ground_since(const double *a) {
    return pn_sky_ground_heat_since_mj_m2(a[0], a[1]);
}

static double penman_monteith(const double *a) {
    pn_sky_grass_day day = {
        .air_degc = a[0],
        .net_mj_m2 = a[1],
        .ground_mj_m2 = a[2],
        .wind_m_s = a[3],
        .saturation_kpa = a[4],
        .vapour_kpa = a[5],
        .pressure_kpa = pn_sky_pressure_kpa(a[6]),
    };
    return pn_sky_penman_monteith_mm(&day);
}

/* ET0 from a = lat_deg, day_of_year, elevation_m, tmin, tmax. */
static double chain(const double *a, double vapour_kpa, double wind_m_s,
                    double solar_mj_m2, double ground_mj_m2) {
    double clear = pn_sky_clear_sky_mj_m2(a[2], extraterrestrial(a));
    double loss =
        pn_sky_net_longwave_mj_m2(a[3], a[4], vapour_kpa, solar_mj_m2 / clear);
    pn_sky_grass_day day = {
        .air_degc = 0.5 * (a[3] + a[4]),
        .net_mj_m2 = pn_sky_net_shortwave_mj_m2(solar_mj_m2) - loss,
        .ground_mj_m2 = ground_mj_m2,
        .wind_m_s = wind_m_s,
        .saturation_kpa = pn_sky_mean_saturation_kpa(a[3], a[4]),
        .vapour_kpa = vapour_kpa,
        .pressure_kpa = pn_sky_pressure_kpa(a[2]),
    };
    return pn_sky_penman_monteith_mm(&day);
}

static double solar_of(const double *a, double sunshine_h) {
    return pn_sky_solar_from_sunshine_mj_m2(sunshine_h, daylight(a),
                                            extraterrestrial(a));
}

static double month_chain(const double *a) {
    return chain(a, a[5], a[6], solar_of(a, a[7]),
                 pn_sky_ground_heat_since_mj_m2(a[8], a[9]));
}

static double day_chain(const double *a) {
    double vapour_kpa =
        pn_sky_vapour_extremes_kpa(a[3], a[4], a[5] / 100.0, a[6] / 100.0);
    return chain(a, vapour_kpa, pn_sky_wind_at_2m_m_s(a[7], 10.0),
                 solar_of(a, a[8]), 0.0);
}

static double temperature_chain(const double *a) {
    double solar_mj_m2 =
        pn_sky_solar_from_range_mj_m2(a[3], a[4], a[5], extraterrestrial(a));
    return chain(a, pn_sky_saturation_kpa(a[3]), 2.0, solar_mj_m2, 0.0);
}

static double hargreaves(const double *a) {
    return pn_sky_hargreaves_mm(a[2], a[3], extraterrestrial(a));
}

static const struct {
    const char *name;
    size_t arguments;
    double (*calc)(const double *arguments);
} quantities[] = {
    {"pressure_kpa", 1, pressure},
    {"psychrometric_kpa_k", 1, psychrometric},
    {"saturation_kpa", 1, saturation},
    {"slope_kpa_k", 1, slope},
    {"mean_saturation_kpa", 2, mean_saturation},
    {"vapour_psychrometer_kpa", 3, vapour_psychrometer},
    {"vapour_extremes_kpa", 4, vapour_extremes},
    {"vapour_mean_kpa", 3, vapour_mean},
    {"inverse_distance", 1, inverse_distance},
    {"declination_rad", 1, declination},
    {"sunset_angle_rad", 2, sunset_angle},
    {"extraterrestrial_mj_m2", 2, extraterrestrial},
    {"daylight_h", 2, daylight},
    {"solar_from_sunshine_mj_m2", 3, solar_from_sunshine},
    {"solar_at_mj_m2", 3, solar_at},
    {"solar_from_range_mj_m2", 4, solar_from_range},
    {"clear_sky_at_mj_m2", 3, clear_sky_at},
    {"net_shortwave_mj_m2", 1, net_shortwave},
    {"net_longwave_mj_m2", 5, net_longwave},
    {"wind_at_2m_m_s", 2, wind_at_2m},
    {"ground_around_mj_m2", 2, ground_around},
    {"ground_around_mm", 2, ground_around_mm},
    {"ground_since_mj_m2", 2, ground_since},
    {"penman_monteith_mm", 7, penman_monteith},
    {"hargreaves_mm", 4, hargreaves},
    {"month_chain_mm", 10, month_chain},
    {"day_chain_mm", 9, day_chain},
    {"temperature_chain_mm", 6, temperature_chain},
};

static size_t find_quantity(const char *name) {
    for (size_t i = 0; i < COUNT_OF(quantities); i++) {
        if (strcmp(quantities[i].name, name) == 0) {
            return i;
        }
    }
    fail_msg("no such quantity: %s", name);
    return 0;
}

static void examples_match_the_printed_digit(void **state) {
    (void)state;
    FILE *f = open_table(PN_TEST_DATA "/ref/sky/fao56_examples.csv");
    table_row row;
    bool used[COUNT_OF(quantities)] = {false};
    while (read_named_row(f, 2, &row)) {
        size_t which = find_quantity(row.word[1]);
        assert_int_equal(row.number_count, 2 + quantities[which].arguments);
        assert_near(row.line, quantities[which].calc(row.number + 2),
                    row.number[0], row.number[1]);
        used[which] = true;
    }
    fclose(f);
    for (size_t i = 0; i < COUNT_OF(quantities); i++) {
        assert_near(quantities[i].name, used[i], true, 0.0);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(examples_match_the_printed_digit),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
