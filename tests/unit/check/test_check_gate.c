/* The gate: every way in which it is shut, and that it is shut by each. */
#include "gate_support.h"

/* Without its must-see features, but for the first few named here. */
static void must_see_only(small_guide *g, const size_t *features,
                          size_t count) {
    for (size_t i = 0; i < count; i++) {
        g->sheets[MILD].must_see[i] = features[i];
    }
    g->sheets[MILD].must_see_count = count;
}

static void test_a_perfect_specimen_opens_it(void **state) {
    (void)state;
    small_guide g;
    answers a = perfect();
    small_make(&g);
    assert_int_equal(items_of(&g, MILD, &a, true).count, 0);
    assert_int_equal(items_of(&g, MILD, &a, false).count, 0);
}

static void test_nothing_seen_opens_nothing(void **state) {
    (void)state;
    small_guide g;
    answers none = {.count = 0};
    small_make(&g);
    for (size_t k = 0; k < SMALL_SHEETS; k++) {
        assert_true(items_of(&g, k, &none, false).count > 0);
    }
    assert_true(items_of(&g, PN_GUIDE_NONE, &none, false).count == 1);
    assert_true(items_of(&g, SMALL_SHEETS, &none, false).count == 1);
}

static void test_every_must_see_counts(void **state) {
    (void)state;
    small_guide g;
    small_make(&g);
    for (size_t f = 0; f < SMALL_FEATURES; f++) {
        answers without = perfect();
        answers probable = perfect();
        answers unsure = perfect();
        without.at[f] = without.at[--without.count];
        probable.at[f].certainty = PN_PROBABLE;
        unsure.at[f].certainty = PN_UNSURE;
        const answers *tried[] = {&without, &probable, &unsure};
        for (size_t i = 0; i < COUNT_OF(tried); i++) {
            items open = items_of(&g, MILD, tried[i], false);
            if (!has(&open, PN_GATE_MUST_SEE, f, PN_GUIDE_NONE)) {
                fail_msg("feature %zu, way %zu: not asked for", f, i);
            }
        }
    }
}

static void test_a_must_see_that_disagrees(void **state) {
    (void)state;
    static const size_t other[SMALL_FEATURES] = {1, 1, 1, 1, 1, 1, 0};
    small_guide g;
    small_make(&g);
    for (size_t f = 0; f < SMALL_FEATURES; f++) {
        answers a = perfect();
        a.at[f].state = other[f];
        a.at[f].value = 7.0; /* a young mild may be so small: not grown */
        items open = items_of(&g, MILD, &a, false);
        if (!has(&open, PN_GATE_DISAGREES, f, PN_GUIDE_NONE)) {
            fail_msg("feature %zu disagrees, and nothing says so", f);
        }
    }
}

/* A beginner says "scaly" of a smooth cap once in ten times; that is no reason
 * to take a scaly one for smooth. */
static void test_a_slip_is_no_agreement(void **state) {
    (void)state;
    small_guide g;
    answers a = perfect();
    small_make(&g);
    double *slip = &g.slip[CAP_SKIN][0];
    slip[0] = 0.85;
    slip[1] = 0.05;
    slip[2] = 0.10;
    a.at[CAP_SKIN].state = 2;
    items open = items_of(&g, MILD, &a, false);
    assert_true(has(&open, PN_GATE_DISAGREES, CAP_SKIN, PN_GUIDE_NONE));
    small_share(&g, MILD, CAP_SKIN, PN_GUIDE_OLD, 2, 0.3, 0);
    open = items_of(&g, MILD, &a, false); /* old ones do crack */
    assert_false(has_reason(&open, PN_GATE_DISAGREES));
}

/* A young one's cap, or an old one's flesh, but not both on one. */
static void test_all_must_agree_at_one_stage(void **state) {
    (void)state;
    small_guide g;
    small_make(&g);
    small_share(&g, MILD, CAP, PN_GUIDE_YOUNG, 1, 0.5, 0);
    small_share(&g, MILD, FLESH, PN_GUIDE_OLD, 1, 0.5, 0);
    answers a = perfect();
    a.at[CAP].state = 1;
    items open = items_of(&g, MILD, &a, false);
    assert_false(has_reason(&open, PN_GATE_DISAGREES));
    a.at[FLESH].state = 1;
    open = items_of(&g, MILD, &a, false);
    assert_int_equal(has(&open, PN_GATE_DISAGREES, CAP, PN_GUIDE_NONE) +
                         has(&open, PN_GATE_DISAGREES, FLESH, PN_GUIDE_NONE),
                     1);
    a.at[CAP].state = 0;
    open = items_of(&g, MILD, &a, false);
    assert_false(has_reason(&open, PN_GATE_DISAGREES));
}

/* Features that need not be seen: a plain "no" shuts it, even a doubtful one,
 * even of something that such a kind cannot have. */
static void test_any_contradiction_shuts_it(void **state) {
    (void)state;
    static const size_t seen[] = {CAP, RING, FLESH, WIDTH};
    static const pn_certainty how[] = {PN_CERTAIN, PN_PROBABLE};
    small_guide g;
    small_make(&g);
    must_see_only(&g, seen, COUNT_OF(seen));
    answers a = perfect();
    assert_int_equal(items_of(&g, MILD, &a, false).count, 0);
    for (size_t i = 0; i < COUNT_OF(how); i++) {
        a = perfect();
        a.at[CAP_SKIN].state = 1;
        a.at[CAP_SKIN].certainty = how[i];
        items open = items_of(&g, MILD, &a, false);
        assert_true(has(&open, PN_GATE_DISAGREES, CAP_SKIN, PN_GUIDE_NONE));
    }
    a.at[CAP_SKIN].certainty = PN_UNSURE;
    assert_int_equal(items_of(&g, MILD, &a, false).count, 0);
    /* plain has pores: gills are against it */
    a = perfect();
    items open = items_of(&g, PLAIN, &a, false);
    assert_true(has(&open, PN_GATE_DISAGREES, GILLS, PN_GUIDE_NONE));
}

static void test_beginners_and_experts(void **state) {
    (void)state;
    small_guide g;
    answers a = perfect();
    small_make(&g);
    g.sheets[MILD].expert_only = true;
    items open = items_of(&g, MILD, &a, true);
    assert_int_equal(open.count, 1);
    assert_int_equal(open.at[0].reason, PN_GATE_EXPERT_ONLY);
    assert_int_equal(items_of(&g, MILD, &a, false).count, 0);
}

/* On either sheet, for experts too, at any stage of the looking. */
static void test_the_inseparable_never_open(void **state) {
    (void)state;
    static const pn_lookalike on_mild = {.sheet = HIDDEN, .inseparable = true};
    static const pn_lookalike on_hidden = {.sheet = MILD, .inseparable = true};
    answers a = perfect();
    for (int side = 0; side < 2; side++) {
        small_guide g;
        small_make(&g);
        pn_sheet *sheet = &g.sheets[side == 0 ? MILD : HIDDEN];
        sheet->lookalikes = side == 0 ? &on_mild : &on_hidden;
        sheet->lookalike_count = 1;
        g.sheets[MILD].expert_only = true;
        items open = items_of(&g, MILD, &a, false);
        assert_true(has(&open, PN_GATE_INSEPARABLE, PN_GUIDE_NONE, HIDDEN));
        assert_int_equal(open.count, 1); /* nothing else is wrong with it */
    }
}

static void test_only_what_is_gathered_opens(void **state) {
    (void)state;
    static const pn_guide_status shut[] = {PN_GUIDE_HARMFUL, PN_GUIDE_DEADLY,
                                           PN_GUIDE_PROTECTED};
    static const pn_guide_status may_open[] = {PN_GUIDE_GATHERED,
                                               PN_GUIDE_CAUTION};
    answers a = perfect();
    small_guide g;
    small_make(&g);
    for (size_t i = 0; i < COUNT_OF(shut); i++) {
        g.sheets[MILD].status = shut[i];
        items open = items_of(&g, MILD, &a, false);
        assert_true(has_reason(&open, PN_GATE_NOT_GATHERED));
    }
    for (size_t i = 0; i < COUNT_OF(may_open); i++) {
        g.sheets[MILD].status = may_open[i];
        assert_int_equal(items_of(&g, MILD, &a, false).count, 0);
    }
}

/* Two of the rarest at once, or rather odd in everything. */
static void test_too_odd_at_once(void **state) {
    (void)state;
    small_guide g;
    answers a = perfect();
    small_make(&g);
    small_share(&g, MILD, CAP, PN_GUIDE_STAGE_COUNT, 0, 0.055, 2);
    assert_int_equal(items_of(&g, MILD, &a, false).count, 0); /* one */
    small_share(&g, MILD, FLESH, PN_GUIDE_STAGE_COUNT, 0, 0.055, 1);
    items open = items_of(&g, MILD, &a, false);
    assert_true(has_reason(&open, PN_GATE_NOT_TYPICAL));
    assert_false(has_reason(&open, PN_GATE_DISAGREES));
    small_make(&g);
    for (size_t f = 0; f < WIDTH; f++) {
        size_t rest = f == UNDER || f == GILLS || f == RING ? 1 : 2;
        small_share(&g, MILD, f, PN_GUIDE_STAGE_COUNT, 0, 0.2, rest);
    }
    open = items_of(&g, MILD, &a, false);
    assert_true(has_reason(&open, PN_GATE_NOT_TYPICAL));
    assert_false(has_reason(&open, PN_GATE_DISAGREES));
}

/* Both dangers are contradicted in two organs by what must be seen, but two
 * answers fit too much of what stands in no guide. */
static void test_the_unlisted_keep_it_shut(void **state) {
    (void)state;
    static const size_t seen[] = {RING, FLESH};
    small_guide g;
    answers a = {.at = {small_perfect(RING), small_perfect(FLESH)}, .count = 2};
    small_make(&g);
    must_see_only(&g, seen, 2);
    items open = items_of(&g, MILD, &a, false);
    assert_int_equal(open.count, 1);
    assert_int_equal(open.at[0].reason, PN_GATE_DANGER_LEFT);
    assert_true(open.posterior[SMALL_SHEETS] > 0.02);
    a = perfect();
    open = items_of(&g, MILD, &a, false);
    assert_int_equal(open.count, 0);
    assert_true(open.danger <= 0.02 && open.posterior[SMALL_SHEETS] > 0.0);
}

static void test_measures_that_are_none_are_refused(void **state) {
    (void)state;
    static const double values[] = {NAN,  INFINITY, -INFINITY, 0.0,
                                    -0.0, -12.0,    1e6,       1e300};
    small_guide g;
    small_make(&g);
    pn_check *check = check_of(&g);
    answers a = perfect();
    a.count = WIDTH; /* all but the width */
    for (size_t i = 0; i < COUNT_OF(values); i++) {
        pn_check_session *session =
            session_of(check, &a, (pn_check_context){.beginner = false});
        pn_answer wrong = {.feature = WIDTH, .value = values[i]};
        pn_answer many[] = {small_perfect(WIDTH), wrong};
        assert_int_equal(pn_check_answer(session, &wrong, NULL), PN_EDOMAIN);
        assert_true(pn_check_gate(session, MILD, NULL, 0) > 0);
        /* with a sound one before it, neither is taken */
        assert_int_equal(pn_check_answer_all(session, many, 2, NULL),
                         PN_EDOMAIN);
        assert_true(pn_check_gate(session, MILD, NULL, 0) > 0);
        pn_check_session_free(session);
    }
    pn_check_free(check);
}

static void test_small_and_large_ones_are_shut_out(void **state) {
    (void)state;
    static const double values[] = {1e-300, 0.01, 3.0, 6.0, 30.0, 999999.0};
    small_guide g;
    small_make(&g);
    for (size_t i = 0; i < COUNT_OF(values); i++) {
        answers a = perfect();
        a.at[WIDTH].value = values[i];
        items open = items_of(&g, MILD, &a, false);
        assert_true(has(&open, PN_GATE_DISAGREES, WIDTH, PN_GUIDE_NONE));
    }
}

static void test_it_counts_beyond_the_room(void **state) {
    (void)state;
    small_guide g;
    answers none = {.count = 0};
    pn_gate_open two[3] = {{PN_GATE_DISAGREES, 99, 99},
                           {PN_GATE_DISAGREES, 99, 99},
                           {PN_GATE_DISAGREES, 99, 99}};
    small_make(&g);
    items all = items_of(&g, MILD, &none, false);
    pn_check *check = check_of(&g);
    pn_check_session *session =
        session_of(check, &none, (pn_check_context){.beginner = false});
    assert_int_equal(pn_check_gate(session, MILD, two, 2), all.count);
    assert_int_equal(pn_check_gate(session, MILD, NULL, 0), all.count);
    assert_int_equal(two[1].feature, all.at[1].feature);
    assert_int_equal(two[2].feature, 99);
    pn_check_session_free(session);
    pn_check_free(check);
}

static void test_every_reason_has_words(void **state) {
    (void)state;
    for (int i = 0; i <= (int)PN_GATE_DANGER_LEFT; i++) {
        for (int j = 0; j < i; j++) {
            assert_string_not_equal(pn_gate_reason_name((pn_gate_reason)i),
                                    pn_gate_reason_name((pn_gate_reason)j));
        }
    }
    assert_string_equal(pn_gate_reason_name((pn_gate_reason)99), "unknown");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_perfect_specimen_opens_it),
        cmocka_unit_test(test_nothing_seen_opens_nothing),
        cmocka_unit_test(test_every_must_see_counts),
        cmocka_unit_test(test_a_must_see_that_disagrees),
        cmocka_unit_test(test_a_slip_is_no_agreement),
        cmocka_unit_test(test_all_must_agree_at_one_stage),
        cmocka_unit_test(test_any_contradiction_shuts_it),
        cmocka_unit_test(test_beginners_and_experts),
        cmocka_unit_test(test_the_inseparable_never_open),
        cmocka_unit_test(test_only_what_is_gathered_opens),
        cmocka_unit_test(test_too_odd_at_once),
        cmocka_unit_test(test_the_unlisted_keep_it_shut),
        cmocka_unit_test(test_measures_that_are_none_are_refused),
        cmocka_unit_test(test_small_and_large_ones_are_shut_out),
        cmocka_unit_test(test_it_counts_beyond_the_room),
        cmocka_unit_test(test_every_reason_has_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
