// SPDX-License-Identifier: MIT
#include "sky/sky_table.h"

#include "pannage/sky.h"

static double rad(double deg) {
    return deg * acos(-1.0) / 180.0;
}

static double deg(double radians) {
    return radians * 180.0 / acos(-1.0);
}

static double position_of(const char *quantity, double julian_day) {
    pn_sky_sun sun = pn_sky_sun_at(julian_day);
    if (strcmp(quantity, "right_ascension_deg") == 0) {
        return deg(sun.right_ascension_rad);
    }
    if (strcmp(quantity, "declination_deg") == 0) {
        return deg(sun.declination_rad);
    }
    if (strcmp(quantity, "distance_au") == 0) {
        return sun.distance_au;
    }
    assert_string_equal(quantity, "equation_of_time_min");
    return deg(sun.equation_of_time_rad) * 4.0;
}

static void position_examples(void **state) {
    (void)state;
    FILE *f = open_table(PN_TEST_DATA "/ref/sky/sun_position.csv");
    table_row row;
    int rows = 0;
    for (; read_named_row(f, 1, &row); rows++) {
        assert_near(row.line, position_of(row.word[0], row.number[0]),
                    row.number[1], row.number[2]);
    }
    fclose(f);
    assert_int_equal(rows, 4);
}

static double hour_of(const char *quantity, const pn_sky_sun_times *times) {
    const struct {
        const char *name;
        double hour;
    } hours[] = {
        {"noon", times->noon_h},
        {"sunrise", times->day.rise_h},
        {"sunset", times->day.set_h},
        {"civil_dawn", times->civil.rise_h},
        {"civil_dusk", times->civil.set_h},
        {"nautical_dawn", times->nautical.rise_h},
        {"nautical_dusk", times->nautical.set_h},
        {"astronomical_dawn", times->astronomical.rise_h},
    };
    for (size_t i = 0; i < COUNT_OF(hours); i++) {
        if (strcmp(hours[i].name, quantity) == 0) {
            return hours[i].hour;
        }
    }
    fail_msg("no such time: %s", quantity);
    return NAN;
}

static void london_times(void **state) {
    (void)state;
    FILE *f = open_table(PN_TEST_DATA "/ref/sky/london_sun_times.csv");
    table_row row;
    int rows = 0;
    for (; read_named_row(f, 1, &row); rows++) {
        const double *n = row.number;
        pn_sky_sun_times times;
        int32_t day =
            pn_date_to_epoch_day((pn_date){(int)n[0], (int)n[1], (int)n[2]});
        assert_true(pn_sky_sun_times_of(day, rad(51.51), rad(-0.13), &times));
        /* in minutes; a printed minute and the other rounding */
        assert_near(row.line, hour_of(row.word[0], &times) * 60.0,
                    n[3] * 60.0 + n[4], 1.0);
    }
    fclose(f);
    assert_int_equal(rows, 27);
}

/* Printed beside the London times: 14.38 and 166.97 degrees at 11:00. */
static void london_position(void **state) {
    (void)state;
    double jd =
        pn_sky_julian_day(pn_date_to_epoch_day((pn_date){2015, 12, 14})) +
        11.0 / 24.0;
    assert_near("altitude",
                deg(pn_sky_sun_altitude_rad(jd, rad(51.51), rad(-0.13))), 14.38,
                0.5);
    assert_near("azimuth",
                deg(pn_sky_sun_azimuth_rad(jd, rad(51.51), rad(-0.13))), 166.97,
                0.5);
}

static void day_length_points(void **state) {
    (void)state;
    FILE *f = open_table(PN_TEST_DATA "/ref/sky/day_length.csv");
    table_row row;
    int rows = 0;
    for (; read_named_row(f, 0, &row); rows++) {
        const double *n = row.number;
        assert_near(row.line, pn_sky_day_length_h(rad(n[0]), (int)n[1], n[2]),
                    n[3], 0.0006);
    }
    fclose(f);
    assert_int_equal(rows, 18);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(position_examples),
        cmocka_unit_test(london_times),
        cmocka_unit_test(london_position),
        cmocka_unit_test(day_length_points),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
