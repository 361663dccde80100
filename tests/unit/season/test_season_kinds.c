#include "season_support.h"

static bool has_word(const char *text, const char *word) {
    return strstr(text, word) != NULL;
}

static void every_row_is_whole(void **state) {
    (void)state;
    assert_true(pn_kind_count() >= 26);
    for (size_t i = 0; i < pn_kind_count(); i++) {
        const pn_kind *k = pn_kind_at(i);
        bool ok = k->id != NULL && k->english != NULL &&
                  k->scientific != NULL && k->group != NULL &&
                  k->where != NULL && k->item != NULL &&
                  k->item_plural != NULL && k->caution != NULL &&
                  k->item_g > 0.0 && k->item_cv > 0.0 && k->item_cv < 2.0 &&
                  k->worthwhile_count > 0 && k->rate_shape > 0.0 &&
                  k->rate_mean > 0.0 && k->visit_dispersion > 0.0 &&
                  k->density_log_sd > 0.0 && k->density_log_sd < 2.0;
        if (!ok) {
            print_error("row %zu (%s) is not whole\n", i, k->id);
            fail();
        }
        for (const char *c = k->id; *c != '\0'; c++) {
            assert_true((*c >= 'a' && *c <= 'z') || *c == '_');
        }
        bool not_forecast = k->model == PN_SEASON_NOT_FORECAST;
        assert_int_equal(k->not_forecast_why != NULL, not_forecast);
    }
    assert_null(pn_kind_at(pn_kind_count()));
}

static void every_prior_has_a_source(void **state) {
    (void)state;
    for (size_t i = 0; i < pn_kind_count(); i++) {
        const pn_kind *k = pn_kind_at(i);
        for (int p = 0; p < PN_SEASON_PARAM_COUNT; p++) {
            const pn_season_prior *prior = &k->prior[p];
            bool used = pn_season_param_used(k->model, (pn_season_param)p);
            bool fixed = pn_season_param_scale((pn_season_param)p) ==
                         PN_SEASON_SCALE_FIXED;
            bool sourced = prior->source != NULL && strlen(prior->source) > 5;
            bool said_unused =
                sourced && strcmp(prior->source, "not used") == 0;
            if (!sourced || said_unused == used) {
                print_error("%s: prior %s\n", k->id,
                            pn_season_param_name((pn_season_param)p));
                fail();
            }
            assert_int_equal(used, isfinite(prior->median));
            assert_int_equal(used && !fixed, prior->spread > 0.0);
        }
        if (k->model != PN_SEASON_NOT_FORECAST) {
            double params[PN_SEASON_PARAM_COUNT];
            pn_season_params_median(k, params);
            assert_int_equal(pn_season_params_check(k->model, params, NULL),
                             PN_OK);
        }
    }
}

/* a caution rules out; it never gives leave */
static void no_caution_permits(void **state) {
    (void)state;
    static const char *const leave[] = {
        "edible",    "safe",     "Edible",       "Safe",
        "delicious", "harmless", "can be eaten", "good to eat"};
    for (size_t i = 0; i < pn_kind_count(); i++) {
        const pn_kind *k = pn_kind_at(i);
        if (!has_word(k->caution, "Rule out")) {
            print_error("%s: %s\n", k->id, k->caution);
            fail();
        }
        assert_true(strlen(k->caution) < 220);
        assert_null(strchr(k->caution, '\n'));
        for (size_t w = 0; w < COUNT_OF(leave); w++) {
            if (has_word(k->caution, leave[w]) ||
                has_word(k->where, leave[w])) {
                print_error("%s says \"%s\"\n", k->id, leave[w]);
                fail();
            }
        }
    }
}

/* the look-alike that kills is named where it matters; from handbooks, from
 * memory */
static void the_deadly_ones_are_named(void **state) {
    (void)state;
    static const struct {
        const char *id, *names;
    } cases[] = {
        {"field_mushroom", "yellow stainer"},
        {"field_mushroom", "destroying angel"},
        {"field_mushroom", "death cap"},
        {"horse_mushroom", "destroying angel"},
        {"giant_puffball", "death cap"},
        {"meadow_parasol", "dapperlings"},
        {"chanterelle", "webcaps"},
        {"winter_chanterelle", "webcaps"},
        {"wood_blewit", "webcaps"},
        {"velvet_shank", "funeral bell"},
        {"morel", "false morel"},
        {"st_georges_mushroom", "deadly fibrecap"},
        {"fairy_ring_champignon", "fool's funnel"},
        {"oyster_mushroom", "angel's wings"},
        {"shaggy_inkcap", "alcohol"},
        {"wild_garlic_leaves", "lords-and-ladies"},
        {"wild_garlic_leaves", "lily of the valley"},
        {"sorrel_leaves", "lords-and-ladies"},
        {"elderflower", "hemlock"},
        {"bilberry", "deadly nightshade"},
        {"sweet_chestnuts", "horse chestnut"},
        {"hazel_nuts", "allergy"},
        {"hop_shoots", "bryony"},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        const pn_kind *kind = kind_of(cases[i].id);
        if (!has_word(kind->caution, cases[i].names)) {
            print_error("%s does not name %s\n", cases[i].id, cases[i].names);
            fail();
        }
    }
}

static void names_find_their_kind(void **state) {
    (void)state;
    static const struct {
        const char *name, *id;
    } cases[] = {
        {"penny_bun", "penny_bun"},
        {"PENNY BUN", "penny_bun"},
        {"boletus Edulis", "penny_bun"},
        {"  Hop cones ", "hop_cones"},
        {"dulse", "dulse"},
        {"penny", NULL},
        {"", NULL},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        const pn_kind *kind = pn_kind_find(pn_text_of(cases[i].name));
        if (cases[i].id == NULL) {
            assert_null(kind);
        } else {
            assert_non_null(kind);
            assert_string_equal(kind->id, cases[i].id);
        }
    }
    assert_null(pn_kind_find((pn_text){NULL, 0}));
    for (size_t i = 0; i < pn_kind_count(); i++) {
        const pn_kind *k = pn_kind_at(i);
        assert_ptr_equal(pn_kind_find(pn_text_of(k->id)), k);
        assert_ptr_equal(pn_kind_find(pn_text_of(k->english)), k);
        assert_non_null(pn_kind_find(pn_text_of(k->scientific)));
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_row_is_whole),
        cmocka_unit_test(every_prior_has_a_source),
        cmocka_unit_test(no_caution_permits),
        cmocka_unit_test(the_deadly_ones_are_named),
        cmocka_unit_test(names_find_their_kind),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
