#include "support/check.h"

#include "pannage/season.h"
#include "pannage/sky.h"

static void gate_rows(void **state) {
    (void)state;
    static const struct {
        const char *name;
        double day, start, end, scale, want, tol;
    } cases[] = {
        {"half at the start", 200, 200, 300, 5, 0.5, 1e-8},
        {"half at the end", 300, 200, 300, 5, 0.5, 1e-8},
        {"open in the middle", 250, 200, 300, 5, 1.0, 1e-4},
        {"shut half a year off", 70, 200, 300, 5, 0.0, 1e-8},
        {"over New Year: open on 1 January", 1, 305, 70, 7, 1.0, 1e-3},
        {"over New Year: open on 31 December", 365, 305, 70, 7, 1.0, 1e-3},
        {"over New Year: half at the end", 70, 305, 70, 7, 0.5, 1e-6},
        {"over New Year: shut in July", 190, 305, 70, 7, 0.0, 1e-6},
        {"one scale before the start", 195, 200, 300, 5, 0.268941421369995,
         1e-7},
        {"a learned start before 1 January", 360, -5, 60, 5, 0.5, 0.02},
        {"day missing", NAN, 200, 300, 5, NAN, 0},
        {"no such day", 367, 200, 300, 5, NAN, 0},
        {"no softness", 250, 200, 300, 0, NAN, 0},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        assert_near(cases[i].name,
                    pn_season_gate_frac(cases[i].day, cases[i].start,
                                        cases[i].end, cases[i].scale),
                    cases[i].want, cases[i].tol);
    }
}

/* the formula again, with the C library's pow */
static double cardinal_by_pow(double t, double lo, double best, double hi) {
    if (t <= lo || t >= hi) {
        return 0.0;
    }
    return (hi - t) / (hi - best) *
           pow((t - lo) / (best - lo), (best - lo) / (hi - best));
}

static void cardinal_agrees_with_pow(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(5);
    for (int i = 0; i < 20000; i++) {
        double lo = -5.0 + 10.0 * pn_random_uniform(&random);
        double best = lo + 2.0 + 15.0 * pn_random_uniform(&random);
        double hi = best + 2.0 + 15.0 * pn_random_uniform(&random);
        double t = -10.0 + 50.0 * pn_random_uniform(&random);
        double got = pn_season_cardinal_frac(t, lo, best, hi);
        assert_near("cardinal", got, cardinal_by_pow(t, lo, best, hi), 1e-11);
        assert_true(got >= 0.0 && got <= 1.0 + 1e-11);
    }
}

static void cardinal_rows(void **state) {
    (void)state;
    assert_near("best", pn_season_cardinal_frac(13, 3, 13, 22), 1.0, 1e-15);
    assert_near("min", pn_season_cardinal_frac(3, 3, 13, 22), 0.0, 1e-30);
    assert_near("max", pn_season_cardinal_frac(22, 3, 13, 22), 0.0, 0.0);
    assert_near("colder", pn_season_cardinal_frac(-40, 3, 13, 22), 0.0, 1e-30);
    assert_near("hotter", pn_season_cardinal_frac(60, 3, 13, 22), 0.0, 0.0);
    /* symmetric when min, best and max are evenly spaced: a parabola */
    assert_near("parabola", pn_season_cardinal_frac(5, 0, 10, 20), 0.75, 1e-11);
    assert_near("missing", pn_season_cardinal_frac(NAN, 3, 13, 22), NAN, 0.0);
    assert_near("order", pn_season_cardinal_frac(9, 13, 3, 22), NAN, 0.0);
    assert_near("impossible", pn_season_cardinal_frac(1e6, 3, 13, 22), NAN, 0);
}

static void degree_days_agree_with_the_six_case_form(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(6);
    for (int i = 0; i < 50000; i++) {
        double low = -20.0 + 50.0 * pn_random_uniform(&random);
        double high = low + 25.0 * pn_random_uniform(&random);
        double base = -5.0 + 20.0 * pn_random_uniform(&random);
        double upper = base + 1.0 + 25.0 * pn_random_uniform(&random);
        pn_sky_swing swing = {
            .tmin_degc = low, .tmax_degc = high, .next_tmin_degc = low};
        double want =
            pn_sky_degree_days(PN_SKY_SINGLE_SINE, swing, base, upper);
        assert_near("single sine",
                    pn_season_degree_days(low, high, base, upper), want, 1e-12);
    }
}

static void degree_days_edges(void **state) {
    (void)state;
    assert_near("level day", pn_season_degree_days(10, 10, 0, 30), 10, 1e-8);
    assert_near("level day at the base", pn_season_degree_days(5, 5, 5, 30), 0,
                1e-8);
    assert_near("below", pn_season_degree_days(-9, -1, 0, 30), 0.0, 0.0);
    assert_near("above both", pn_season_degree_days(35, 45, 0, 30), 30, 1e-13);
    assert_near("tmin above tmax", pn_season_degree_days(9, 8, 0, 30), NAN, 0);
    assert_near("missing", pn_season_degree_days(NAN, 8, 0, 30), NAN, 0);
    assert_near("base above upper", pn_season_degree_days(1, 8, 9, 3), NAN, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(gate_rows),
        cmocka_unit_test(cardinal_agrees_with_pow),
        cmocka_unit_test(cardinal_rows),
        cmocka_unit_test(degree_days_agree_with_the_six_case_form),
        cmocka_unit_test(degree_days_edges),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
