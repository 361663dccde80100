// SPDX-License-Identifier: MIT
#include "sky/sky_table.h"

#include "pannage/sky.h"

static double rad(double deg) {
    return deg * acos(-1.0) / 180.0;
}

static double deg(double radians) {
    return radians * 180.0 / acos(-1.0);
}

static pn_sky_spa example(void) {
    pn_sky_spa_in in = {
        .julian_day_ut =
            pn_sky_julian_day(pn_date_to_epoch_day((pn_date){2003, 10, 17})) +
            (19.0 + 30.0 / 60.0 + 30.0 / 3600.0) / 24.0,
        .delta_t_s = 67.0,
        .latitude_rad = rad(39.742476),
        .longitude_rad = rad(-105.1786),
        .elevation_m = 1830.14,
        .pressure_hpa = 820.0,
        .air_degc = 11.0,
    };
    pn_sky_spa spa;
    assert_near("JD", in.julian_day_ut, 2452930.312847, 5e-7);
    assert_true(pn_sky_spa_at(&in, &spa));
    return spa;
}

static double quantity_of(const char *name, const pn_sky_spa *spa) {
    const struct {
        const char *name;
        double value;
    } values[] = {
        {"earth_longitude", deg(spa->earth_longitude_rad)},
        {"earth_latitude", deg(spa->earth_latitude_rad)},
        {"distance", spa->distance_au},
        {"nutation_longitude", deg(spa->nutation_longitude_rad)},
        {"nutation_obliquity", deg(spa->nutation_obliquity_rad)},
        {"obliquity", deg(spa->obliquity_rad)},
        {"apparent_longitude", deg(spa->apparent_longitude_rad)},
        {"sidereal", deg(spa->sidereal_rad)},
        {"right_ascension", deg(spa->right_ascension_rad)},
        {"declination", deg(spa->declination_rad)},
        {"hour_angle", deg(spa->hour_angle_rad)},
        {"local_hour_angle", deg(spa->local_hour_angle_rad)},
        {"local_right_ascension", deg(spa->local_right_ascension_rad)},
        {"local_declination", deg(spa->local_declination_rad)},
        {"true_altitude", deg(spa->true_altitude_rad)},
        {"zenith", deg(spa->zenith_rad)},
        {"azimuth", deg(spa->azimuth_rad)},
        {"incidence",
         deg(pn_sky_incidence_rad(spa->zenith_rad, spa->azimuth_rad, rad(30.0),
                                  rad(170.0)))},
        {"equation_of_time", 4.0 * deg(spa->equation_of_time_rad)},
    };
    for (size_t i = 0; i < COUNT_OF(values); i++) {
        if (strcmp(values[i].name, name) == 0) {
            return values[i].value;
        }
    }
    fail_msg("no such quantity: %s", name);
    return NAN;
}

static void worked_example(void **state) {
    (void)state;
    pn_sky_spa spa = example();
    FILE *f = open_table(PN_TEST_DATA "/ref/sky/spa_example.csv");
    table_row row;
    int rows = 0;
    for (; read_named_row(f, 1, &row); rows++) {
        assert_near(row.line, quantity_of(row.word[0], &spa), row.number[0],
                    row.number[1]);
    }
    fclose(f);
    assert_int_equal(rows, 19);
}

/* [Meeus98] Example 28.a: 13 m 42.6 s at 1992 October 13, 0 h dynamical time
 * (from memory of the book). */
static void equation_of_time_of_another_author(void **state) {
    (void)state;
    pn_sky_spa_in in = {.julian_day_ut = 2448908.5, .latitude_rad = 0.9};
    pn_sky_spa spa;
    assert_true(pn_sky_spa_at(&in, &spa));
    assert_near("seconds", deg(spa.equation_of_time_rad) * 240.0,
                13 * 60 + 42.6, 0.06);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_example),
        cmocka_unit_test(equation_of_time_of_another_author),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
