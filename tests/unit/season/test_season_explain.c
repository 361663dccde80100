#include "season_support.h"

enum { DAYS = 400, CELLS = 3 };

static void factors_multiply_to_the_initiation(void **state) {
    (void)state;
    const pn_kind *kind = kind_of("penny_bun");
    double p[PN_SEASON_PARAM_COUNT];
    pn_season_params_median(kind, p);
    invented in = invent(DAYS, CELLS, 41);
    double soaked = pn_logistic((1.0 - p[PN_SEASON_WATER_HALF_FRAC]) /
                                p[PN_SEASON_WATER_SCALE_FRAC]);
    for (size_t d = 200; d < 330; d += 7) {
        pn_season_factors f;
        assert_int_equal(pn_season_explain(p, kind->model, &in.drivers, NULL,
                                           (pn_season_query){d, 1}, &f, NULL),
                         PN_OK);
        size_t i = d * CELLS + 1;
        double water =
            pn_logistic((in.water[i] - p[PN_SEASON_WATER_HALF_FRAC]) /
                        p[PN_SEASON_WATER_SCALE_FRAC]);
        double level =
            pn_logistic((p[PN_SEASON_TRIGGER_DEGC] - f.smoothed_degc) /
                        p[PN_SEASON_TRIGGER_SCALE_K]);
        double change = pn_logistic(
            (f.recent_degc - f.smoothed_degc - p[PN_SEASON_TRIGGER_CHANGE_K]) /
            p[PN_SEASON_TRIGGER_CHANGE_SCALE_K]);
        assert_near("g", f.water, water, 1e-10);
        assert_near("C", f.trigger, level * change, 1e-10);
        assert_near("h", f.temperature,
                    pn_season_cardinal_frac(in.soil[i],
                                            p[PN_SEASON_SOIL_MIN_DEGC],
                                            p[PN_SEASON_SOIL_BEST_DEGC],
                                            p[PN_SEASON_SOIL_MAX_DEGC]),
                    1e-10);
        assert_near("i", f.initiation,
                    f.gate * f.water * f.temperature * f.trigger / soaked /
                        p[PN_SEASON_LIFE_D],
                    1e-10);
        assert_near("no plant factor", f.thermal_time_dd, NAN, 0.0);
        assert_true(f.life_d > 0.0 && f.frost_loss >= 0.0 &&
                    f.frost_loss <= 1.0 && f.primordia >= 0.0);
        assert_true(f.recent_degc >= f.smoothed_degc); /* cooling kind */
    }
    invented_free(&in);
}

static void a_warming_kind_shows_its_recent_low(void **state) {
    (void)state;
    const pn_kind *kind = kind_of("st_georges_mushroom");
    double p[PN_SEASON_PARAM_COUNT];
    pn_season_params_median(kind, p);
    invented in = invent(DAYS, CELLS, 42);
    double spring = 0.0;
    for (size_t d = 60; d < 150; d++) {
        pn_season_factors f;
        assert_int_equal(pn_season_explain(p, kind->model, &in.drivers, NULL,
                                           (pn_season_query){d, 0}, &f, NULL),
                         PN_OK);
        assert_true(f.recent_degc <= f.smoothed_degc);
        double level =
            pn_logistic((f.smoothed_degc - p[PN_SEASON_TRIGGER_DEGC]) /
                        p[PN_SEASON_TRIGGER_SCALE_K]);
        double change = pn_logistic(
            (f.smoothed_degc - f.recent_degc - p[PN_SEASON_TRIGGER_CHANGE_K]) /
            p[PN_SEASON_TRIGGER_CHANGE_SCALE_K]);
        assert_near("C", f.trigger, level * change, 1e-10);
        spring = fmax(spring, f.trigger);
    }
    assert_true(spring > 0.8);
    invented_free(&in);
}

static void thermal_time_adds_up(void **state) {
    (void)state;
    const pn_kind *kind = kind_of("elderflower");
    double p[PN_SEASON_PARAM_COUNT];
    pn_season_params_median(kind, p);
    invented in = invent(DAYS, CELLS, 43);
    double sum = 0.0;
    for (size_t d = 0; d < 160; d++) {
        size_t i = d * CELLS + 2;
        sum += pn_season_degree_days(in.tmin[i], in.tmax[i],
                                     p[PN_SEASON_BASE_DEGC],
                                     p[PN_SEASON_UPPER_DEGC]);
    }
    pn_season_factors f;
    assert_int_equal(pn_season_explain(p, kind->model, &in.drivers, NULL,
                                       (pn_season_query){159, 2}, &f, NULL),
                     PN_OK);
    assert_near("sum", f.thermal_time_dd, sum, 1e-9);
    assert_near("reached", f.reached_frac,
                pn_logistic((sum - p[PN_SEASON_STAGE_START_DD]) /
                            p[PN_SEASON_STAGE_START_SPREAD_DD]),
                1e-10);
    assert_near("day length does not rule", f.photoperiod, 1.0, 0.0);
    assert_near("no fungus factor", f.water, NAN, 0.0);
    invented_free(&in);
}

static void it_goes_on_from_a_state(void **state) {
    (void)state;
    invented in = invent(DAYS, CELLS, 44);
    static const char *const ids[] = {"penny_bun", "hop_cones"};
    for (size_t k = 0; k < COUNT_OF(ids); k++) {
        const pn_kind *kind = kind_of(ids[k]);
        double p[PN_SEASON_PARAM_COUNT];
        pn_season_params_median(kind, p);
        double *density = doubles(DAYS * CELLS);
        pn_season_state *run = fresh(CELLS);
        pn_season_drivers past = days_from(&in.drivers, 0, 250);
        pn_season_drivers rest = days_from(&in.drivers, 250, 100);
        assert_int_equal(
            pn_season_run(p, kind->model, &past, run, density, NULL), PN_OK);
        pn_season_factors whole;
        pn_season_factors part;
        assert_int_equal(pn_season_explain(p, kind->model, &in.drivers, NULL,
                                           (pn_season_query){290, 1}, &whole,
                                           NULL),
                         PN_OK);
        assert_int_equal(pn_season_explain(p, kind->model, &rest, run,
                                           (pn_season_query){40, 1}, &part,
                                           NULL),
                         PN_OK);
        assert_same_bits(ids[k], &whole.density, &part.density, 1);
        assert_int_equal(pn_season_explain(p, kind->model, &past, run,
                                           (pn_season_query){1, 1}, &part,
                                           NULL),
                         PN_EDOMAIN); /* not the state's next day */
        assert_int_equal(pn_season_explain(p, kind->model, &rest, run,
                                           (pn_season_query){100, 1}, &part,
                                           NULL),
                         PN_EDOMAIN);
        assert_int_equal(pn_season_explain(p, kind->model, &rest, run,
                                           (pn_season_query){1, CELLS}, &part,
                                           NULL),
                         PN_EDOMAIN);
        pn_season_state_free(run);
        free(density);
    }
    invented_free(&in);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(factors_multiply_to_the_initiation),
        cmocka_unit_test(a_warming_kind_shows_its_recent_low),
        cmocka_unit_test(thermal_time_adds_up),
        cmocka_unit_test(it_goes_on_from_a_state),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
