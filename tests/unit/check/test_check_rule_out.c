/* When a danger counts as ruled out: contradicted in two organs, or in one with
 * long odds, unless the two are known look-alikes. */
#include "gate_support.h"

static const pn_lookalike is_like_mild = {.sheet = MILD};

/* hidden as the case wants it; must see of mild only what was answered */
static void keep_two(small_guide *g, const answers *a) {
    pn_sheet *mild = &g->sheets[MILD];
    mild->must_see_count = a->count;
    for (size_t i = 0; i < a->count; i++) {
        mild->must_see[i] = a->at[i].feature;
    }
}

static void say_of_hidden(small_guide *g, size_t f, size_t stage, double share,
                          size_t rest) {
    if (pn_sheet_trait(&g->sheets[HIDDEN], f) == NULL) {
        small_trait(g, HIDDEN, f, rest);
    }
    small_share(g, HIDDEN, f, stage, 0, share, rest);
}

static bool stays(const small_guide *g, const answers *a) {
    items open = items_of(g, MILD, a, false);
    return has(&open, PN_GATE_NOT_RULED_OUT, PN_GUIDE_NONE, HIDDEN);
}

static void test_what_says_nothing_stays(void **state) {
    (void)state;
    small_guide g;
    answers a = perfect();
    small_make(&g);
    small_silence(&g, HIDDEN);
    assert_true(stays(&g, &a));
}

static void test_two_organs_rule_it_out(void **state) {
    (void)state;
    for (int listed = 0; listed < 2; listed++) {
        small_guide g;
        answers a = perfect();
        small_make(&g);
        say_of_hidden(&g, CAP, PN_GUIDE_STAGE_COUNT, 0.05, 1);
        g.sheets[HIDDEN].lookalikes = &is_like_mild;
        g.sheets[HIDDEN].lookalike_count = (size_t)listed;
        assert_false(stays(&g, &a));
        a.at[RING].certainty = PN_PROBABLE; /* one organ is left: the flesh */
        assert_int_equal(stays(&g, &a), listed);
    }
}

/* Cap and skin of the cap are one organ: contradicted twice there is once. */
static void test_one_organ_twice_is_once(void **state) {
    (void)state;
    small_guide g;
    answers a = perfect();
    small_make(&g);
    small_silence(&g, HIDDEN);
    small_trait(&g, HIDDEN, CAP, 1);
    small_trait(&g, HIDDEN, CAP_SKIN, 1);
    g.sheets[HIDDEN].lookalikes = &is_like_mild;
    g.sheets[HIDDEN].lookalike_count = 1;
    assert_true(stays(&g, &a));
    small_trait(&g, HIDDEN, FLESH, 1);
    assert_false(stays(&g, &a));
}

/* hidden has pores, so it has no gills: of a known look-alike that is the same
 * thing told twice. */
static void test_what_follows_from_the_form_is_once(void **state) {
    (void)state;
    for (int listed = 0; listed < 2; listed++) {
        small_guide g;
        answers a = perfect();
        small_make(&g);
        small_silence(&g, HIDDEN);
        small_trait(&g, HIDDEN, UNDER, 1);
        g.sheets[HIDDEN].lookalikes = &is_like_mild;
        g.sheets[HIDDEN].lookalike_count = (size_t)listed;
        assert_int_equal(stays(&g, &a), listed);
        small_trait(&g, HIDDEN, FLESH, 1);
        assert_false(stays(&g, &a));
    }
}

/* hidden has blue flesh: once contradicted. The odds of the ring, with slips of
 * 2 in 100: (0.02 + 0.96 share) / 0.98 against 1 in 25; at the edge lies a
 * share of 0.02. */
static void test_long_odds_by_hand(void **state) {
    (void)state;
    static const struct {
        const char *name;
        double grown, young;
        bool listed, stays;
    } rows[] = {
        {"a little longer than 25 to 1", 0.0195, 0.0195, false, false},
        {"a little shorter", 0.0205, 0.0205, false, true},
        {"shorter, were it a young one", 0.0195, 0.0205, false, true},
        {"long, but a known look-alike", 0.0195, 0.0195, true, true},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        small_guide g;
        answers a = {.at = {small_perfect(RING), small_perfect(FLESH)},
                     .count = 2};
        small_make(&g);
        keep_two(&g, &a);
        say_of_hidden(&g, RING, PN_GUIDE_STAGE_COUNT, rows[i].grown, 1);
        say_of_hidden(&g, RING, PN_GUIDE_YOUNG, rows[i].young, 1);
        g.sheets[HIDDEN].lookalikes = &is_like_mild;
        g.sheets[HIDDEN].lookalike_count = rows[i].listed;
        if (stays(&g, &a) != rows[i].stays) {
            fail_msg("%s: %s", rows[i].name,
                     rows[i].stays ? "was ruled out" : "stayed");
        }
    }
}

/* Without a single contradiction the odds do not matter. */
static void test_odds_alone_rule_nothing_out(void **state) {
    (void)state;
    small_guide g;
    answers a = perfect();
    small_make(&g);
    small_silence(&g, HIDDEN);
    for (size_t f = 0; f < WIDTH; f++) {
        say_of_hidden(&g, f, PN_GUIDE_STAGE_COUNT, 0.05, 1);
    }
    items open = items_of(&g, MILD, &a, false);
    assert_true(open.posterior[HIDDEN] < 1e-4 * open.posterior[MILD]);
    assert_true(has(&open, PN_GATE_NOT_RULED_OUT, PN_GUIDE_NONE, HIDDEN));
}

/* The organ that speaks loudest may have been misread. */
static void test_the_loudest_organ_does_not_count(void **state) {
    (void)state;
    small_guide g;
    answers a = {.at = {small_perfect(FLESH)}, .count = 1};
    small_make(&g);
    keep_two(&g, &a);
    assert_true(stays(&g, &a)); /* 98 to 1, but by the flesh alone */
}

/* A ratio of 0.1 twice in one organ is 0.1, in two organs 0.01. */
static void test_one_organ_is_averaged(void **state) {
    (void)state;
    for (int two_organs = 0; two_organs < 2; two_organs++) {
        small_guide g;
        answers a = {.at = {small_perfect(CAP), small_perfect(CAP_SKIN),
                            small_perfect(FLESH)},
                     .count = 3};
        small_make(&g);
        keep_two(&g, &a);
        g.features[CAP_SKIN].organ = two_organs ? CAP_SKIN : CAP;
        say_of_hidden(&g, CAP, PN_GUIDE_STAGE_COUNT, 0.0907, 1);
        say_of_hidden(&g, CAP_SKIN, PN_GUIDE_STAGE_COUNT, 0.0907, 1);
        assert_int_equal(stays(&g, &a), !two_organs);
    }
}

/* However long a person probably saw this and that, it is not certain. */
static void test_probable_answers_do_not_count(void **state) {
    (void)state;
    small_guide g;
    answers a = perfect();
    small_make(&g);
    say_of_hidden(&g, CAP, PN_GUIDE_STAGE_COUNT, 0.05, 1);
    for (size_t f = 0; f < SMALL_FEATURES; f++) {
        a.at[f].certainty = f == FLESH ? PN_CERTAIN : PN_PROBABLE;
    }
    assert_true(stays(&g, &a));
    a = perfect();
    a.at[RING].certainty = PN_PROBABLE;
    assert_false(stays(&g, &a)); /* the certain ones have long odds */
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_what_says_nothing_stays),
        cmocka_unit_test(test_two_organs_rule_it_out),
        cmocka_unit_test(test_one_organ_twice_is_once),
        cmocka_unit_test(test_what_follows_from_the_form_is_once),
        cmocka_unit_test(test_long_odds_by_hand),
        cmocka_unit_test(test_odds_alone_rule_nothing_out),
        cmocka_unit_test(test_the_loudest_organ_does_not_count),
        cmocka_unit_test(test_one_organ_is_averaged),
        cmocka_unit_test(test_probable_answers_do_not_count),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
