// SPDX-License-Identifier: MIT
#include <stdio.h>
#include <string.h>

#include "support/check.h"

#include "pannage/soil.h"

enum { COLUMNS = 8 };

typedef void row_check(const char *name, const double *value, size_t count);

/* Every row that is no comment; an empty table fails. The first field is the
 * row's name (also tried as a number: value[0]); an empty field is NaN. */
static void each_row(const char *file_name, row_check *check) {
    char path[512], line[256];
    (void)snprintf(path, sizeof path, "%s/ref/soil/%s", PN_TEST_DATA,
                   file_name);
    FILE *file = fopen(path, "r");
    assert_non_null(file);
    size_t rows = 0;
    while (fgets(line, sizeof line, file) != NULL) {
        if (line[0] == '#') {
            continue;
        }
        line[strcspn(line, "\r\n")] = '\0';
        pn_text rest = pn_text_of(line);
        double value[COLUMNS];
        char name[64] = "";
        size_t count = 0;
        while (rest.at != NULL && count < COLUMNS) {
            pn_text field = pn_text_cut(rest, ',', &rest);
            if (count == 0) {
                (void)snprintf(name, sizeof name, "%.*s", (int)field.len,
                               field.at);
            }
            if (!pn_text_to_double(field, &value[count])) {
                value[count] = NAN;
            }
            count++;
        }
        check(name, value, count);
        rows++;
    }
    assert_int_equal(fclose(file), 0);
    assert_true(rows > 0);
}

/* half a unit of the printed digit, and what rounding to binary adds */
#define HALF(unit) (0.5 * (unit) + 1e-9)

static void check_36(const char *name, const double *v, size_t count) {
    assert_int_equal(count, 7);
    double taw = pn_soil_taw_mm(v[1], v[2], v[3]);
    assert_near(name, taw, v[5], HALF(1));
    assert_near(name, pn_soil_raw_mm(taw, v[4]), v[6], HALF(1));
}

static void example_36(void **state) {
    (void)state;
    each_row("fao56_example_36.csv", check_36);
}

static double example_37_depletion_mm;

static void check_37(const char *name, const double *v, size_t count) {
    assert_int_equal(count, 4);
    double taw = pn_soil_taw_mm(0.32, 0.12, 0.8);
    double Ks = pn_soil_stress_frac(example_37_depletion_mm, taw, 0.4);
    pn_soil_balance after =
        pn_soil_balance_step(example_37_depletion_mm, taw, 0, Ks * 1.2 * 5);
    assert_near(name, Ks, v[1], HALF(0.01));
    assert_near(name, Ks * 6, v[2], HALF(0.1));
    assert_near(name, after.depletion_mm, v[3], HALF(0.1));
    example_37_depletion_mm = after.depletion_mm;
}

static void example_37_by_the_formulas(void **state) {
    (void)state;
    example_37_depletion_mm = 55;
    each_row("fao56_example_37.csv", check_37);
}

/* The whole daily model, with one layer, is FAO-56. */
static pn_soil_ground tomato;
static pn_soil_state tomato_soil;

static void check_37_step(const char *name, const double *v, size_t count) {
    assert_int_equal(count, 4);
    pn_soil_forcing forcing = {
        .mean_degc = 20, .et0_mm = 5, .wind_m_s = 2, .summer_frac = 1};
    pn_soil_day day = pn_soil_step(&tomato, &forcing, &tomato_soil);
    assert_near(name, day.et_actual_mm, v[2], HALF(0.1));
    assert_near(name, 160 - tomato_soil.top_mm, v[3], HALF(0.1));
    assert_near(name, day.water_frac, 1 - v[3] / 160, HALF(0.1) / 160);
}

static void example_37_by_the_daily_model(void **state) {
    (void)state;
    tomato = pn_soil_ground_default(PN_SOIL_LOAM, PN_SOIL_OPEN);
    tomato.theta_fc_frac = 0.32;
    tomato.theta_wp_frac = 0.12;
    tomato.root_depth_m = 0.8;
    tomato.top_depth_m = 0.8;
    tomato.depletion_frac = 0.4;
    tomato.kc_summer = 1.2;
    tomato_soil = pn_soil_start(&tomato);
    tomato_soil.top_mm = 160 - 55;
    each_row("fao56_example_37.csv", check_37_step);
}

static double soil_degc;

static void check_ka(const char *name, const double *v, size_t count) {
    assert_int_equal(count, 6);
    if (v[3] < 0.5) { /* step 0: the start */
        soil_degc = v[5];
        return;
    }
    soil_degc = pn_soil_katterer_andren_degc(soil_degc, v[4], v[1], v[2]);
    assert_near(name, soil_degc, v[5], HALF(0.0001));
}

static void katterer_andren(void **state) {
    (void)state;
    each_row("katterer_andren.csv", check_ka);
}

static void check_damping(const char *name, const double *v, size_t count) {
    assert_int_equal(count, 5);
    assert_near(name, pn_soil_damping_depth_m(v[1], v[2] * 86400), v[3], v[4]);
}

static void damping_depth(void **state) {
    (void)state;
    each_row("damping_depth.csv", check_damping);
}

static void check_runoff(const char *name, const double *v, size_t count) {
    assert_int_equal(count, 5);
    assert_near(name, pn_soil_runoff_mm(v[1], v[2]), v[3], v[4]);
}

static void curve_number(void **state) {
    (void)state;
    each_row("curve_number.csv", check_runoff);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(example_36),
        cmocka_unit_test(example_37_by_the_formulas),
        cmocka_unit_test(example_37_by_the_daily_model),
        cmocka_unit_test(katterer_andren),
        cmocka_unit_test(damping_depth),
        cmocka_unit_test(curve_number),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
