#include "season_support.h"

static void names_and_units_are_whole(void **state) {
    (void)state;
    for (int i = 0; i < PN_SEASON_PARAM_COUNT; i++) {
        pn_season_param a = (pn_season_param)i;
        assert_true(strlen(pn_season_param_name(a)) > 2);
        assert_non_null(pn_season_param_unit(a));
        for (int k = 0; k < i; k++) {
            assert_string_not_equal(pn_season_param_name(a),
                                    pn_season_param_name((pn_season_param)k));
        }
        assert_true(pn_season_param_used(PN_SEASON_FUNGUS, a) ||
                    pn_season_param_used(PN_SEASON_PLANT, a));
        assert_false(pn_season_param_used(PN_SEASON_NOT_FORECAST, a));
    }
    assert_string_equal(pn_season_param_name(PN_SEASON_PARAM_COUNT), "?");
    assert_string_equal(pn_season_param_unit(PN_SEASON_PARAM_COUNT), "");
}

static void bad_sets_are_refused_by_name(void **state) {
    (void)state;
    static const struct {
        const char *kind;
        pn_season_param param;
        double value;
        const char *says;
    } cases[] = {
        {"penny_bun", PN_SEASON_LIFE_D, NAN, "life_d"},
        {"penny_bun", PN_SEASON_LIFE_D, 0.0, "life_d"},
        {"penny_bun", PN_SEASON_TRIGGER_DIRECTION, 2.0, "trigger_direction"},
        {"penny_bun", PN_SEASON_SOIL_BEST_DEGC, 4.2, "soil_min_degc"},
        {"penny_bun", PN_SEASON_SOIL_MAX_DEGC, 14.2, "soil_best_degc"},
        {"penny_bun", PN_SEASON_GATE_SCALE_D, -3.0, "gate_scale_d"},
        {"penny_bun", PN_SEASON_FROST_SCALE_K, 0.01, "frost_scale_k"},
        {"beech_nuts", PN_SEASON_UPPER_DEGC, INFINITY, "upper_degc"},
        {"beech_nuts", PN_SEASON_BASE_DEGC, 25.0, NULL},
        {"beech_nuts", PN_SEASON_STAGE_END_DD, 100.0, "stage_start_dd"},
        {"beech_nuts", PN_SEASON_START_DOY, 366.0, "start_doy"},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        const pn_kind *kind = kind_of(cases[i].kind);
        double p[PN_SEASON_PARAM_COUNT];
        pn_season_params_median(kind, p);
        assert_int_equal(pn_season_params_check(kind->model, p, NULL), PN_OK);
        p[cases[i].param] = cases[i].value;
        pn_error err = {0};
        pn_status want = cases[i].says == NULL ? PN_OK : PN_EDOMAIN;
        assert_int_equal(pn_season_params_check(kind->model, p, &err), want);
        if (cases[i].says != NULL) {
            assert_non_null(strstr(err.message, cases[i].says));
        }
    }
    double p[PN_SEASON_PARAM_COUNT] = {0};
    assert_int_equal(pn_season_params_check(PN_SEASON_NOT_FORECAST, p, NULL),
                     PN_EDOMAIN);
}

static void draws_follow_the_prior(void **state) {
    (void)state;
    const pn_kind *kind = kind_of("penny_bun");
    pn_random random = pn_random_seeded(51);
    enum { DRAWS = 4000 };
    double *life = doubles(DRAWS);
    double sum = 0.0;
    for (int i = 0; i < DRAWS; i++) {
        double p[PN_SEASON_PARAM_COUNT];
        assert_int_equal(pn_season_params_draw(kind, &random, p, NULL), PN_OK);
        life[i] = p[PN_SEASON_LIFE_D];
        sum += p[PN_SEASON_TRIGGER_DEGC];
        assert_near("fixed stays", p[PN_SEASON_TRIGGER_DIRECTION], 1.0, 0.0);
        assert_true(isnan(p[PN_SEASON_START_DOY]));
    }
    /* four standard errors */
    double centre = kind->prior[PN_SEASON_LIFE_D].median;
    assert_near("median life", pn_quantile(life, DRAWS, 0.5) / centre, 1.0,
                0.04);
    assert_near("mean trigger", sum / DRAWS,
                kind->prior[PN_SEASON_TRIGGER_DEGC].median, 0.07);
    free(life);
}

static void a_hopeless_prior_says_so(void **state) {
    (void)state;
    pn_kind broken = *kind_of("penny_bun");
    broken.prior[PN_SEASON_LIFE_D].median = 1e9;
    pn_random random = pn_random_seeded(52);
    double p[PN_SEASON_PARAM_COUNT];
    pn_error err = {0};
    assert_int_equal(pn_season_params_draw(&broken, &random, p, &err),
                     PN_ENOCONV);
    assert_non_null(strstr(err.message, "penny_bun"));
    assert_near("medians", p[PN_SEASON_LIFE_D], 1e9, 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_and_units_are_whole),
        cmocka_unit_test(bad_sets_are_refused_by_name),
        cmocka_unit_test(draws_follow_the_prior),
        cmocka_unit_test(a_hopeless_prior_says_so),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
