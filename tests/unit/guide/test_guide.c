/* What a guide answers about itself, and every fault that makes it unsound. */
#include <stdlib.h>

#include "support/check.h"
#include "support/small_guide.h"

typedef void spoil(small_guide *g);

static void nothing(small_guide *g) {
    (void)g;
}
static void no_sheets(small_guide *g) {
    g->guide.sheet_count = 0;
}
static void no_features(small_guide *g) {
    g->guide.feature_count = 0;
}
static void needs_itself(small_guide *g) {
    g->features[UNDER].need_feature = UNDER;
    g->features[UNDER].need_states = 1;
}
static void needs_in_a_circle(small_guide *g) {
    g->features[UNDER].need_feature = GILLS;
    g->features[UNDER].need_states = 1;
}
static void needs_a_long_circle(small_guide *g) {
    static const size_t next[] = {CAP_SKIN, UNDER, RING, FLESH, GILLS, CAP};
    static const size_t from[] = {CAP, CAP_SKIN, UNDER, RING, FLESH, GILLS};
    for (size_t i = 0; i < COUNT_OF(from); i++) {
        g->features[from[i]].need_feature = next[i];
        g->features[from[i]].need_states = 1;
    }
}
static void needs_nothing_that_is(small_guide *g) {
    g->features[GILLS].need_feature = SMALL_FEATURES;
}
static void needs_a_measure(small_guide *g) {
    g->features[GILLS].need_feature = WIDTH;
}
static void needs_no_state(small_guide *g) {
    g->features[GILLS].need_states = 0;
}
static void needs_a_state_beyond(small_guide *g) {
    g->features[GILLS].need_states = 1 | 4;
}
static void one_state(small_guide *g) {
    g->features[RING].state_count = 1;
}
static void too_many_states(small_guide *g) {
    g->features[RING].state_count = PN_GUIDE_STATES_MAX + 1;
}
static void no_slips(small_guide *g) {
    g->features[RING].slip = NULL;
}
static void slips_short(small_guide *g) {
    g->slip[RING][PN_GUIDE_STATES_MAX] = 0.0;
}
static void slips_negative(small_guide *g) {
    g->slip[RING][PN_GUIDE_STATES_MAX] = -0.02;
    g->slip[RING][PN_GUIDE_STATES_MAX + 1] = 1.02;
}
static void slips_not_a_number(small_guide *g) {
    g->slip[RING][0] = NAN;
}
static void no_error(small_guide *g) {
    g->features[WIDTH].error_frac = 0.0;
}
static void error_not_a_number(small_guide *g) {
    g->features[WIDTH].error_frac = NAN;
}
static void organ_beyond(small_guide *g) {
    g->features[RING].organ = PN_GUIDE_ORGANS_MAX;
}
static void effort_beyond(small_guide *g) {
    g->features[RING].effort = PN_EFFORT_COUNT;
}
static void status_beyond(small_guide *g) {
    g->sheets[DEADLY].status = PN_GUIDE_STATUS_COUNT;
}
static void share_negative(small_guide *g) {
    g->share[DEADLY][RING][0] = -0.1;
    g->share[DEADLY][RING][1] = 1.1;
}
static void share_not_a_number(small_guide *g) {
    g->share[DEADLY][RING][1] = NAN;
}
static void shares_short_in_age(small_guide *g) {
    g->share[DEADLY][RING][PN_GUIDE_OLD * PN_GUIDE_STATES_MAX + 1] = 0.9;
}
static void no_shares(small_guide *g) {
    g->traits[DEADLY][0].share = NULL;
}
static void described_twice(small_guide *g) {
    g->traits[DEADLY][1].feature = g->traits[DEADLY][0].feature;
}
static void of_no_feature(small_guide *g) {
    g->traits[DEADLY][1].feature = PN_GUIDE_NONE;
}
static pn_trait *width_of(small_guide *g, size_t k) {
    pn_trait *at = g->traits[k];
    while (at->feature != WIDTH) {
        at++;
    }
    return at;
}
static void range_turned(small_guide *g) {
    width_of(g, DEADLY)->low = 6.0;
}
static void range_from_nothing(small_guide *g) {
    width_of(g, DEADLY)->low = 0.0;
}
static void range_without_end(small_guide *g) {
    width_of(g, DEADLY)->high = INFINITY;
}
static void range_not_a_number(small_guide *g) {
    width_of(g, DEADLY)->low = NAN;
}
static void young_larger(small_guide *g) {
    width_of(g, DEADLY)->young_low = 3.0;
}
static void young_not_a_number(small_guide *g) {
    width_of(g, DEADLY)->young_low = NAN;
}
static void does_not_apply(small_guide *g) {
    small_trait(g, PLAIN, GILLS, 0);
}
static void season_zero(small_guide *g) {
    g->sheets[DEADLY].season_from = 0;
}
static void season_beyond(small_guide *g) {
    g->sheets[DEADLY].season_to = 13;
}
static void nothing_to_see(small_guide *g) {
    g->sheets[MILD].must_see_count = 0;
}
static void must_see_beyond(small_guide *g) {
    g->sheets[MILD].must_see[0] = SMALL_FEATURES;
}
static void must_see_undescribed(small_guide *g) {
    g->sheets[PLAIN].must_see[0] = GILLS;
}
static void must_see_on_the_bench(small_guide *g) {
    g->features[FLESH].effort = PN_EFFORT_BENCH;
}
static void too_much_to_see(small_guide *g) {
    g->sheets[MILD].must_see_count = PN_GUIDE_LIST_MAX + 1;
}
static void like(small_guide *g, size_t k, const pn_lookalike *look) {
    g->sheets[k].lookalikes = look;
    g->sheets[k].lookalike_count = 1;
}
static void like_nothing(small_guide *g) {
    static const pn_lookalike look = {.sheet = SMALL_SHEETS};
    like(g, MILD, &look);
}
static void decided_by_too_many(small_guide *g) {
    static const pn_lookalike look = {.sheet = DEADLY,
                                      .deciding_count = PN_GUIDE_LIST_MAX + 1};
    like(g, MILD, &look);
}
static const pn_lookalike like_hidden = {.sheet = HIDDEN};
static void apart_in_two_organs(small_guide *g) {
    like(g, MILD, &like_hidden);
}
static void apart_in_one_organ(small_guide *g) {
    like(g, MILD, &like_hidden);
    g->features[FLESH].organ = RING;
}
static void apart_on_the_bench_only(small_guide *g) {
    like(g, MILD, &like_hidden);
    g->features[FLESH].effort = PN_EFFORT_BENCH;
    g->sheets[MILD].must_see_count = 1; /* flesh is none of them any more */
    for (size_t k = 0; k < SMALL_SHEETS; k++) {
        g->sheets[k].must_see[0] = k == HIDDEN ? RING : CAP;
        g->sheets[k].must_see_count = 1;
    }
}
static const pn_lookalike never_told = {.sheet = HIDDEN, .inseparable = true};
static const pn_lookalike never_told_mild = {.sheet = MILD,
                                             .inseparable = true};
static void inseparable_for_all(small_guide *g) {
    like(g, MILD, &never_told);
}
static void inseparable_for_all_on_the_other(small_guide *g) {
    like(g, HIDDEN, &never_told_mild);
}
static void inseparable_for_experts(small_guide *g) {
    like(g, MILD, &never_told);
    g->sheets[MILD].expert_only = true;
}
static void inseparable_for_experts_on_the_other(small_guide *g) {
    like(g, HIDDEN, &never_told_mild);
    g->sheets[MILD].expert_only = true;
}

static void test_what_is_unsound(void **state) {
    (void)state;
    static const struct {
        const char *name;
        spoil *spoil;
        const char *want; /* part of the message; NULL: sound */
    } rows[] = {
        {"as it is", nothing, NULL},
        {"no sheets", no_sheets, "empty"},
        {"no features", no_features, "empty"},
        {"needs itself", needs_itself, "under: what it needs comes back"},
        {"circle of two", needs_in_a_circle, "comes back to itself"},
        {"circle of six", needs_a_long_circle, "comes back to itself"},
        {"need beyond", needs_nothing_that_is, "gills: what it needs is no"},
        {"need of a measure", needs_a_measure, "gills: what it needs is no"},
        {"need of no state", needs_no_state, "gills: what it needs is no"},
        {"need beyond states", needs_a_state_beyond, "gills: what it needs"},
        {"one state", one_state, "ring: it needs slips and 2 to 32 states"},
        {"33 states", too_many_states, "ring: it needs slips and 2 to 32"},
        {"no slips", no_slips, "ring: it needs slips"},
        {"slips short", slips_short, "ring: what is answered for none adds up"},
        {"slips negative", slips_negative, "ring: what is answered for none"},
        {"slips NaN", slips_not_a_number, "ring: what is answered for ring"},
        {"no error", no_error, "width: error_frac"},
        {"error NaN", error_not_a_number, "width: error_frac"},
        {"organ beyond", organ_beyond, "ring: no such effort, or organ"},
        {"effort beyond", effort_beyond, "ring: no such effort, or organ"},
        {"status beyond", status_beyond, "deadly: no such status"},
        {"negative share", share_negative, "deadly: ring, ring: a share"},
        {"share NaN", share_not_a_number, "deadly: ring, none: a share"},
        {"old shares", shares_short_in_age, "ring, old: the shares add up to"},
        {"no shares", no_shares, "deadly: cap has no shares"},
        {"twice", described_twice, "deadly: cap is described twice"},
        {"no feature", of_no_feature, "deadly: a feature that is none"},
        {"range turned", range_turned, "deadly: width: low must be"},
        {"range from 0", range_from_nothing, "deadly: width: low must be"},
        {"range to inf", range_without_end, "deadly: width: low must be"},
        {"range NaN", range_not_a_number, "deadly: width: low must be"},
        {"young larger", young_larger, "deadly: width: low must be"},
        {"young NaN", young_not_a_number, "deadly: width: low must be"},
        {"not applying", does_not_apply, "plain: gills does not apply"},
        {"month 0", season_zero, "deadly: season"},
        {"month 13", season_beyond, "deadly: season"},
        {"no must-see", nothing_to_see, "mild: a kind that is gathered needs"},
        {"must-see beyond", must_see_beyond, "mild: must_see names nothing"},
        {"must-see silent", must_see_undescribed,
         "plain: must_see names gills"},
        {"on the bench", must_see_on_the_bench, "must_see names flesh"},
        {"25 must-sees", too_much_to_see, "mild: no such status, or more than"},
        {"like nothing", like_nothing, "mild: a look-alike without a sheet"},
        {"25 deciding", decided_by_too_many, "mild: a look-alike without a"},
        {"two organs", apart_in_two_organs, NULL},
        {"one organ", apart_in_one_organ, "mild: nothing tells it from hidden"},
        {"bench only", apart_on_the_bench_only, "nothing tells it from hidden"},
        {"for all", inseparable_for_all, "yet mild is not expert_only"},
        {"for all, other sheet", inseparable_for_all_on_the_other,
         "yet mild is not expert_only"},
        {"for experts", inseparable_for_experts, NULL},
        {"for experts, other", inseparable_for_experts_on_the_other, NULL},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        small_guide g;
        pn_error err = {PN_OK, ""};
        small_make(&g);
        rows[i].spoil(&g);
        pn_status status = pn_guide_check(&g.guide, &err);
        pn_status want = rows[i].want == NULL ? PN_OK : PN_EDOMAIN;
        if (status != want ||
            (want != PN_OK && strstr(err.message, rows[i].want) == NULL)) {
            fail_msg("%s: '%s'", rows[i].name, err.message);
        }
    }
}

/* Beyond the room of those who work on it: refused, not cut. */
static void test_no_feature_is_dropped(void **state) {
    (void)state;
    small_guide g;
    pn_error err = {PN_OK, ""};
    pn_feature *many = calloc(PN_GUIDE_FEATURES_MAX + 1, sizeof *many);
    assert_non_null(many);
    small_make(&g);
    for (size_t f = 0; f <= PN_GUIDE_FEATURES_MAX; f++) {
        many[f] = f < SMALL_FEATURES ? g.features[f] : g.features[RING];
    }
    g.guide.features = many;
    g.guide.feature_count = PN_GUIDE_FEATURES_MAX;
    assert_int_equal(pn_guide_check(&g.guide, &err), PN_OK);
    g.guide.feature_count++;
    assert_int_equal(pn_guide_check(&g.guide, &err), PN_EDOMAIN);
    assert_non_null(strstr(err.message, "more than 256 features"));
    free(many);
}

static void test_looking_up(void **state) {
    (void)state;
    small_guide g;
    small_make(&g);
    g.sheets[MILD].english = "Mild bell";
    g.sheets[MILD].scientific = "Campanula mitis";
    static const struct {
        const char *name;
        size_t want;
    } sheets[] = {{"mild", MILD},
                  {"MILD", MILD},
                  {"mild bell", MILD},
                  {"campanula mitis", MILD},
                  {"hidden", HIDDEN},
                  {"mil", PN_GUIDE_NONE},
                  {"mildew", PN_GUIDE_NONE},
                  {"", PN_GUIDE_NONE}};
    for (size_t i = 0; i < COUNT_OF(sheets); i++) {
        assert_int_equal(pn_guide_sheet(&g.guide, pn_text_of(sheets[i].name)),
                         sheets[i].want);
    }
    assert_int_equal(pn_guide_feature(&g.guide, pn_text_of("Ring")), RING);
    assert_int_equal(pn_guide_feature(&g.guide, pn_text_of("rin")),
                     PN_GUIDE_NONE);
    assert_int_equal(pn_guide_state(&g.features[CAP], pn_text_of("White")), 1);
    assert_int_equal(pn_guide_state(&g.features[CAP], pn_text_of("")),
                     PN_GUIDE_NONE);
    assert_int_equal(pn_guide_state(&g.features[WIDTH], pn_text_of("white")),
                     PN_GUIDE_NONE);
    assert_null(pn_sheet_trait(&g.sheets[PLAIN], GILLS));
    assert_int_equal(pn_sheet_trait(&g.sheets[MILD], GILLS)->feature, GILLS);
}

static void test_what_applies(void **state) {
    (void)state;
    small_guide g;
    small_make(&g);
    assert_true(pn_sheet_applies(&g.guide, &g.sheets[MILD], GILLS));
    assert_false(pn_sheet_applies(&g.guide, &g.sheets[PLAIN], GILLS));
    assert_true(pn_sheet_applies(&g.guide, &g.sheets[HIDDEN], GILLS));
    /* one in a hundred young ones has gills: it may have them */
    small_make(&g);
    g.share[PLAIN][UNDER][0] = 0.01;
    g.share[PLAIN][UNDER][1] = 0.99;
    assert_true(pn_sheet_applies(&g.guide, &g.sheets[PLAIN], GILLS));
    /* the ring needs gills, which plain cannot have */
    small_make(&g);
    g.features[RING].need_feature = GILLS;
    g.features[RING].need_states = 3;
    assert_true(pn_sheet_applies(&g.guide, &g.sheets[MILD], RING));
    assert_false(pn_sheet_applies(&g.guide, &g.sheets[PLAIN], RING));
}

static void test_seasons(void **state) {
    (void)state;
    static const struct {
        int from, to;
        const char *in; /* of twelve months */
    } rows[] = {
        {8, 10, ".......xxx.."}, {11, 2, "xx........xx"},
        {5, 5, "....x......."},  {1, 12, "xxxxxxxxxxxx"},
        {6, 5, "xxxxxxxxxxxx"},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        pn_sheet sheet = {.season_from = rows[i].from, .season_to = rows[i].to};
        for (int month = 1; month <= 12; month++) {
            assert_int_equal(pn_sheet_in_season(&sheet, month),
                             rows[i].in[month - 1] == 'x');
        }
    }
}

static void test_overlap(void **state) {
    (void)state;
    small_guide g;
    small_make(&g);
    const pn_sheet *s = g.sheets;
    assert_near("nothing in common",
                pn_guide_overlap(&g.guide, &s[MILD], &s[DEADLY], CAP), 0.0,
                1e-15);
    assert_near("the same",
                pn_guide_overlap(&g.guide, &s[MILD], &s[PLAIN], RING), 1.0,
                1e-15);
    assert_near("silent", pn_guide_overlap(&g.guide, &s[MILD], &s[HIDDEN], CAP),
                1.0, 1e-15);
    assert_near("no gills at all",
                pn_guide_overlap(&g.guide, &s[MILD], &s[PLAIN], GILLS), 0.0,
                1e-15);
    /* 8 .. 20 and 6 .. 18: 10 of 12; 8 .. 20 and 2 .. 5: none */
    assert_near("widths",
                pn_guide_overlap(&g.guide, &s[MILD], &s[PLAIN], WIDTH),
                10.0 / 12.0, 1e-12);
    assert_near("apart",
                pn_guide_overlap(&g.guide, &s[MILD], &s[DEADLY], WIDTH), 0.0,
                1e-15);
    double *row = &g.share[MILD][CAP][PN_GUIDE_MATURE * PN_GUIDE_STATES_MAX];
    row[0] = 0.7;
    row[1] = 0.3;
    assert_near("three in ten",
                pn_guide_overlap(&g.guide, &s[MILD], &s[DEADLY], CAP), 0.3,
                1e-15);
}

static void test_words(void **state) {
    (void)state;
    double last = 0.0;
    for (int e = 0; e < PN_EFFORT_COUNT; e++) {
        assert_true(pn_effort_cost((pn_effort)e) > last);
        last = pn_effort_cost((pn_effort)e);
        assert_string_not_equal(pn_effort_name((pn_effort)e), "unknown");
    }
    assert_near("a look", pn_effort_cost(PN_EFFORT_LOOK), 1.0, 0.0);
    assert_near("no effort", pn_effort_cost(PN_EFFORT_COUNT), NAN, 0.0);
    assert_string_equal(pn_effort_name(PN_EFFORT_COUNT), "unknown");
    assert_string_equal(pn_guide_status_name(PN_GUIDE_DEADLY), "deadly");
    assert_string_equal(pn_guide_status_name((pn_guide_status)-1), "unknown");
    assert_string_equal(pn_guide_stage_name(PN_GUIDE_OLD), "old");
    assert_string_equal(pn_guide_stage_name((pn_guide_stage)9), "unknown");
    static const bool danger[PN_GUIDE_STATUS_COUNT] = {false, false, true, true,
                                                       false};
    for (int s = 0; s < PN_GUIDE_STATUS_COUNT; s++) {
        assert_int_equal(pn_guide_is_danger((pn_guide_status)s), danger[s]);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_what_is_unsound),
        cmocka_unit_test(test_no_feature_is_dropped),
        cmocka_unit_test(test_looking_up),
        cmocka_unit_test(test_what_applies),
        cmocka_unit_test(test_seasons),
        cmocka_unit_test(test_overlap),
        cmocka_unit_test(test_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
