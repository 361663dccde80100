#include "season_support.h"

#include "season/season_internal.h"

enum {
    DAYS = 420,
    CELLS = 1100,
    LANE_DAYS = 230
}; /* more than two blocks, and a rest */

static const char *const models[] = {
    "penny_bun",  "st_georges_mushroom", "velvet_shank",      "jelly_ear",
    "beech_nuts", "hop_cones",           "wild_garlic_leaves"};

static void run_days(const pn_kind *kind, const pn_season_drivers *drivers,
                     pn_season_state *state, double *density) {
    double params[PN_SEASON_PARAM_COUNT];
    pn_season_params_median(kind, params);
    pn_error err = {0};
    pn_status status =
        pn_season_run(params, kind->model, drivers, state, density, &err);
    if (status != PN_OK) {
        print_error("%s\n", err.message);
    }
    assert_int_equal(status, PN_OK);
}

static void a_run_cut_in_pieces_has_the_same_bits(void **state) {
    (void)state;
    static const size_t cuts[] = {0, 1, 2, 59, 60, 181, 182, 300, DAYS};
    invented in = invent(DAYS, 37, 11);
    double *whole = doubles(DAYS * 37);
    double *pieces = doubles(DAYS * 37);
    for (size_t k = 0; k < COUNT_OF(models); k++) {
        const pn_kind *kind = kind_of(models[k]);
        pn_season_state *one = fresh(37);
        pn_season_state *many = fresh(37);
        run_days(kind, &in.drivers, one, whole);
        for (size_t c = 0; c + 1 < COUNT_OF(cuts); c++) {
            pn_season_drivers part =
                days_from(&in.drivers, cuts[c], cuts[c + 1] - cuts[c]);
            run_days(kind, &part, many, pieces + cuts[c] * 37);
        }
        assert_same_bits(models[k], whole, pieces, DAYS * 37);
        assert_int_equal(pn_season_state_days(many), DAYS);
        pn_season_state_free(one);
        pn_season_state_free(many);
    }
    free(whole);
    free(pieces);
    invented_free(&in);
}

/* SIMD lanes, the rest of a block and the scalar explanation agree bit by
 * bit, whichever version of the kernel this processor was given */
static void every_lane_has_the_bits_of_the_scalar_step(void **state) {
    (void)state;
    invented in = invent(LANE_DAYS, CELLS, 12);
    for (size_t i = 0; i < LANE_DAYS * CELLS; i++) {
        in.tmax[i] += 12.0; /* so that summer passes the plants' cut-off */
    }
    double *density = doubles(LANE_DAYS * CELLS);
    static const size_t cells[] = {0, 1, 7, 8, 511, 512, 1023, 1096, 1099};
    for (size_t k = 0; k < COUNT_OF(models); k++) {
        const pn_kind *kind = kind_of(models[k]);
        double params[PN_SEASON_PARAM_COUNT];
        pn_season_params_median(kind, params);
        pn_season_state *run = fresh(CELLS);
        run_days(kind, &in.drivers, run, density);
        for (size_t c = 0; c < COUNT_OF(cells); c++) {
            pn_season_factors factors;
            pn_season_query query = {LANE_DAYS - 1, cells[c]};
            assert_int_equal(pn_season_explain(params, kind->model, &in.drivers,
                                               NULL, query, &factors, NULL),
                             PN_OK);
            assert_same_bits(models[k], &factors.density,
                             &density[(LANE_DAYS - 1) * CELLS + cells[c]], 1);
        }
        pn_season_state_free(run);
    }
    free(density);
    invented_free(&in);
}

static void cells_do_not_touch_each_other(void **state) {
    (void)state;
    invented in = invent(200, 3, 13);
    double *three = doubles(200 * 3);
    double *one = doubles(200);
    pn_season_state *all = fresh(3);
    run_days(kind_of("penny_bun"), &in.drivers, all, three);
    invented alone = invent(200, 1, 99);
    for (size_t d = 0; d < 200; d++) {
        alone.water[d] = in.water[d * 3 + 1];
        alone.soil[d] = in.soil[d * 3 + 1];
        alone.tmin[d] = in.tmin[d * 3 + 1];
    }
    pn_season_state *single = fresh(1);
    run_days(kind_of("penny_bun"), &alone.drivers, single, one);
    for (size_t d = 0; d < 200; d++) {
        assert_same_bits("middle cell", &one[d], &three[d * 3 + 1], 1);
    }
    pn_season_state_free(all);
    pn_season_state_free(single);
    free(three);
    free(one);
    invented_free(&in);
    invented_free(&alone);
}

/* steady ideal conditions: always open, soaked, at the best temperature */
static void ideal_conditions_give_one(void **state) {
    (void)state;
    const pn_kind *kind = kind_of("penny_bun");
    double p[PN_SEASON_PARAM_COUNT];
    pn_season_params_median(kind, p);
    p[PN_SEASON_GATE_START_DOY] = 1.0; /* the widest gate: open in midsummer */
    p[PN_SEASON_GATE_END_DOY] = 365.0;
    p[PN_SEASON_GATE_SCALE_D] = 0.5;
    p[PN_SEASON_TRIGGER_DIRECTION] = 0.0;
    p[PN_SEASON_FROST_RATE_PER_D] = 0.0;
    invented in = invent(300, 2, 14);
    for (size_t i = 0; i < 600; i++) {
        in.water[i] = 1.0;
        in.soil[i] = p[PN_SEASON_SOIL_BEST_DEGC];
    }
    double *density = doubles(600);
    pn_season_state *run = fresh(2);
    assert_int_equal(
        pn_season_run(p, PN_SEASON_FUNGUS, &in.drivers, run, density, NULL),
        PN_OK);
    assert_near("N", density[599], 1.0, 1e-9);
    /* half the water: less, but not nothing; and never above ideal */
    for (size_t i = 0; i < 600; i++) {
        assert_true(density[i] >= 0.0 && density[i] <= 1.0 + 1e-9);
        in.water[i] = 0.42;
    }
    pn_season_state_reset(run);
    assert_int_equal(
        pn_season_run(p, PN_SEASON_FUNGUS, &in.drivers, run, density, NULL),
        PN_OK);
    assert_true(density[599] > 0.1 && density[599] < 0.6);
    pn_season_state_free(run);
    free(density);
    invented_free(&in);
}

/* One pulse through the four stages: nothing is lost, and the mean thermal
 * time to leave them is RIPEN_DD, however warm the days are. */
static void ripening_conserves_and_keeps_its_thermal_time(void **state) {
    (void)state;
    for (double rate = 0.05; rate < 3.0; rate *= 2.0) {
        double v[LANE_COUNT] = {0};
        v[LANE_STAGE_0] = 1.0;
        double left = 0.0;
        double moment = 0.0;
        double second = 0.0;
        for (int day = 1; day < 4000; day++) {
            double out = ripen(v, rate);
            double at = rate * ((double)day - 0.5); /* leaves within the day */
            left += out;
            moment += out * at;
            second += out * at * at;
        }
        double sum = v[LANE_STAGE_0] + v[LANE_STAGE_1] + v[LANE_STAGE_2] +
                     v[LANE_STAGE_3];
        assert_near("mass", left + sum, 1.0, 1e-12);
        assert_near("mean of Erlang-4", moment, 4.0, 0.01 + 0.02 * rate * rate);
        assert_near("variance of Erlang-4", second - moment * moment, 4.0,
                    0.1 + 0.15 * rate * rate);
    }
}

static void plants_are_not_known_before_their_start(void **state) {
    (void)state;
    invented in = invent(DAYS, 2, 15);
    double *density = doubles(DAYS * 2);
    pn_season_state *run = fresh(2);
    run_days(kind_of("beech_nuts"), &in.drivers, run, density);
    for (size_t d = 0; d < DAYS; d++) {
        bool known = !isnan(density[d * 2]);
        assert_int_equal(known, d >= 181); /* 1 July is day 182 */
    }
    pn_season_state_reset(run);
    run_days(kind_of("elderflower"), &in.drivers, run, density);
    for (size_t i = 0; i < DAYS * 2; i++) {
        assert_true(density[i] >= 0.0 && density[i] <= 1.0);
    }
    /* the second year starts again from nothing */
    assert_true(density[366 * 2] < 1e-6);
    pn_season_state_free(run);
    free(density);
    invented_free(&in);
}

static void densities_are_sane_for_every_kind_and_draw(void **state) {
    (void)state;
    invented in = invent(DAYS, 5, 16);
    double *density = doubles(DAYS * 5);
    pn_random random = pn_random_seeded(17);
    for (size_t k = 0; k < pn_kind_count(); k++) {
        const pn_kind *kind = pn_kind_at(k);
        for (int draw = 0; draw < 20 && kind->model != PN_SEASON_NOT_FORECAST;
             draw++) {
            double p[PN_SEASON_PARAM_COUNT];
            assert_int_equal(pn_season_params_draw(kind, &random, p, NULL),
                             PN_OK);
            pn_season_state *run = fresh(5);
            assert_int_equal(
                pn_season_run(p, kind->model, &in.drivers, run, density, NULL),
                PN_OK);
            for (size_t i = 0; i < DAYS * 5; i++) {
                bool fine = density[i] >= 0.0 && density[i] < 20.0;
                bool unknown = isnan(density[i]) && i < 185 * 5 &&
                               kind->model == PN_SEASON_PLANT;
                if (!fine && !unknown) {
                    print_error("%s item %zu: %g\n", kind->id, i, density[i]);
                    fail();
                }
            }
            pn_season_state_free(run);
        }
    }
    free(density);
    invented_free(&in);
}

/* every exponent of the step at the corners that the checks still let in */
static void extremes_stay_finite(void **state) {
    (void)state;
    static const double soils[] = {-60.0, -5.0, 12.0, 70.0};
    static const double airs[] = {-90.0, 0.0, 60.0};
    invented in = invent(60, 24, 18);
    for (size_t i = 0; i < 60 * 24; i++) {
        in.water[i] = i % 2 == 0 ? 0.0 : 1.0;
        in.soil[i] = soils[(i / 2 + i / 240) % 4];
        in.tmin[i] = airs[(i / 3) % 3];
    }
    double *density = doubles(60 * 24);
    pn_random random = pn_random_seeded(19);
    for (int k = 0; k < 200; k++) {
        double p[PN_SEASON_PARAM_COUNT];
        pn_season_params_median(kind_of("penny_bun"), p);
        bool low = pn_random_uniform(&random) < 0.5;
        p[PN_SEASON_WATER_SCALE_FRAC] = low ? 0.005 : 2.0;
        p[PN_SEASON_WATER_HALF_FRAC] = k % 2 == 0 ? -1.0 : 2.0;
        p[PN_SEASON_TRIGGER_SCALE_K] = k % 3 == 0 ? 0.2 : 20.0;
        p[PN_SEASON_TRIGGER_DEGC] = k % 5 < 2 ? -20.0 : 40.0;
        p[PN_SEASON_TRIGGER_CHANGE_SCALE_K] = k % 7 < 3 ? 0.25 : 20.0;
        p[PN_SEASON_TRIGGER_CHANGE_K] = k % 11 < 5 ? -20.0 : 20.0;
        p[PN_SEASON_TRIGGER_DIRECTION] = (double)(k % 3 - 1);
        p[PN_SEASON_FROST_SCALE_K] = k % 4 < 2 ? 0.25 : 10.0;
        p[PN_SEASON_FROST_DEGC] = k % 6 < 3 ? -60.0 : 10.0;
        p[PN_SEASON_FROST_RATE_PER_D] = k % 8 < 4 ? 0.0 : 20.0;
        p[PN_SEASON_LIFE_Q10] = k % 9 < 4 ? 0.5 : 10.0;
        p[PN_SEASON_LIFE_D] = k % 10 < 5 ? 0.5 : 5000.0;
        p[PN_SEASON_LIFE_DROUGHT] = k % 12 < 6 ? 0.0 : 20.0;
        p[PN_SEASON_RIPEN_DD] = k % 13 < 6 ? 1.0 : 5000.0;
        p[PN_SEASON_SOIL_BEST_DEGC] = 14.0;
        p[PN_SEASON_SOIL_MIN_DEGC] = k % 14 < 7 ? -20.0 : 13.4;
        p[PN_SEASON_SOIL_MAX_DEGC] = k % 15 < 7 ? 14.6 : 60.0;
        pn_season_state *run = fresh(24);
        assert_int_equal(
            pn_season_run(p, PN_SEASON_FUNGUS, &in.drivers, run, density, NULL),
            PN_OK);
        for (size_t i = 0; i < 60 * 24; i++) {
            assert_true(isfinite(density[i]) && density[i] >= 0.0);
        }
        pn_season_state_free(run);
    }
    free(density);
    invented_free(&in);
}

static void frost_and_drought_only_take(void **state) {
    (void)state;
    const pn_kind *kind = kind_of("penny_bun");
    invented mild = invent(DAYS, 8, 20);
    invented hard = invent(DAYS, 8, 20);
    for (size_t i = 280 * 8; i < 290 * 8; i++) {
        hard.tmin[i] = -8.0;
    }
    double *a = doubles(DAYS * 8);
    double *b = doubles(DAYS * 8);
    pn_season_state *one = fresh(8);
    pn_season_state *two = fresh(8);
    run_days(kind, &mild.drivers, one, a);
    run_days(kind, &hard.drivers, two, b);
    assert_same_bits("before the frost", a, b, 280 * 8);
    for (size_t i = 280 * 8; i < 290 * 8; i++) {
        assert_true(b[i] <= a[i] + 1e-15);
    }
    /* what ripens on keeps a little standing: about 1/0.8 days' worth */
    assert_true(b[289 * 8] < 0.3 * a[289 * 8]);
    pn_season_state_free(one);
    pn_season_state_free(two);
    free(a);
    free(b);
    invented_free(&mild);
    invented_free(&hard);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_run_cut_in_pieces_has_the_same_bits),
        cmocka_unit_test(every_lane_has_the_bits_of_the_scalar_step),
        cmocka_unit_test(cells_do_not_touch_each_other),
        cmocka_unit_test(ideal_conditions_give_one),
        cmocka_unit_test(ripening_conserves_and_keeps_its_thermal_time),
        cmocka_unit_test(plants_are_not_known_before_their_start),
        cmocka_unit_test(densities_are_sane_for_every_kind_and_draw),
        cmocka_unit_test(extremes_stay_finite),
        cmocka_unit_test(frost_and_drought_only_take),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
