// SPDX-License-Identifier: MIT
#include "sky_support.h"

static void out_of_range_is_nan(void **state) {
    (void)state;
    static const struct {
        const char *name;
        pn_sky_swing swing;
        double lower;
        double upper;
        double want_single;
        double want_double;
    } cases[] = {
        {"fine", {15, 15, 15}, 10, 30, 5, 5},
        {"no cutoff", {15, 25, 15}, 10, INFINITY, 10, 10},
        {"thresholds meet", {5, 25, 5}, 10, 10, 0, 0},
        {"next night is warmer than the day", {15, 17, 19}, 10, 30, 6, 7},
        {"crossed extremes", {16, 15, 15}, 10, 30, NAN, NAN},
        {"crossed thresholds", {15, 25, 15}, 30, 10, NAN, NAN},
        {"no minimum", {NAN, 25, 15}, 10, 30, NAN, NAN},
        {"infinite maximum", {15, INFINITY, 15}, 10, 30, NAN, NAN},
        {"no threshold", {15, 25, 15}, NAN, 30, NAN, NAN},
        {"next night unknown", {15, 25, NAN}, 10, 30, 10, NAN},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        assert_near(cases[i].name,
                    pn_sky_degree_days(PN_SKY_SINGLE_SINE, cases[i].swing,
                                       cases[i].lower, cases[i].upper),
                    cases[i].want_single, 1e-12);
        assert_near(cases[i].name,
                    pn_sky_degree_days(PN_SKY_DOUBLE_SINE, cases[i].swing,
                                       cases[i].lower, cases[i].upper),
                    cases[i].want_double, 1e-12);
    }
    assert_near("mean", pn_sky_degree_days_of_mean(2, 1, 0), NAN, 0.0);
    assert_near("raised", pn_sky_degree_days_of_raised(NAN, 1, 0), NAN, 0.0);
}

/* The area under the curve, summed in small steps instead of by formula. */
static double summed(const pn_sky_swing *swing, bool is_sine, double lower,
                     double upper) {
    enum { STEPS = 20000 };
    double sum = 0.0;
    for (int i = 0; i < STEPS; i++) {
        double part = (i + 0.5) / STEPS; /* of the way from low to high */
        double rise = is_sine ? 0.5 - 0.5 * cos(part * acos(-1.0)) : part;
        double t =
            swing->tmin_degc + (swing->tmax_degc - swing->tmin_degc) * rise;
        sum += fmin(fmax(t, lower), upper) - lower;
    }
    return sum / STEPS;
}

static void formula_is_the_area_under_the_curve(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(83);
    for (int round = 0; round < 200; round++) {
        double low = -10.0 + 40.0 * pn_random_uniform(&random);
        pn_sky_swing swing = {low, low + 25.0 * pn_random_uniform(&random),
                              low};
        double lower = -5.0 + 25.0 * pn_random_uniform(&random);
        double upper = lower + 20.0 * pn_random_uniform(&random);
        assert_near(
            "triangle",
            pn_sky_degree_days(PN_SKY_SINGLE_TRIANGLE, swing, lower, upper),
            summed(&swing, false, lower, upper), 1e-4);
        assert_near("sine",
                    pn_sky_degree_days(PN_SKY_SINGLE_SINE, swing, lower, upper),
                    summed(&swing, true, lower, upper), 1e-4);
    }
}

static void warmer_days_never_count_less(void **state) {
    (void)state;
    for (int m = 0; m <= PN_SKY_DOUBLE_SINE; m++) {
        double last = 0.0;
        for (int tenth = -200; tenth <= 400; tenth++) {
            pn_sky_swing swing = {tenth / 10.0, tenth / 10.0 + 9.0,
                                  tenth / 10.0 + 1.0};
            double now =
                pn_sky_degree_days((pn_sky_degree_method)m, swing, 5.0, 25.0);
            assert_true(now >= last - 1e-12 && now <= 20.0 + 1e-12);
            last = now;
        }
        assert_near("at the top", last, 20.0, 1e-12);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(out_of_range_is_nan),
        cmocka_unit_test(formula_is_the_area_under_the_curve),
        cmocka_unit_test(warmer_days_never_count_less),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
