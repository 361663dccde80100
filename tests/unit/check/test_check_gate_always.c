/* What holds of the gate whatever the guide and the answers: properties over
 * random ones, with fixed seeds. */
#include "random_guide.h"

enum { GUIDES = 300, SESSIONS = 20 };

static const pn_check_context expert_anywhere = {.beginner = false};

/* Runs a property over every guide and session; how often the gate was open
 * is told, so that none holds for want of cases. */
typedef bool property(const small_guide *g, const pn_check *check,
                      const answers *a, pn_random *random);

static void holds(uint64_t seed, property *p) {
    pn_random random = pn_random_seeded(seed);
    int open = 0;
    for (int i = 0; i < GUIDES; i++) {
        small_guide g;
        random_guide(&g, &random);
        pn_check *check = check_of(&g);
        for (int j = 0; j < SESSIONS; j++) {
            answers a = random_answers(&g, &random);
            open += p(&g, check, &a, &random);
        }
        pn_check_free(check);
    }
    print_message("open in %d of %d\n", open, GUIDES * SESSIONS);
    assert_in_range(open, 100, GUIDES * SESSIONS - 100);
}

static void assert_same(const items *a, const items *b) {
    assert_int_equal(a->count, b->count);
    for (size_t i = 0; i < a->count; i++) {
        assert_int_equal(a->at[i].reason, b->at[i].reason);
        assert_int_equal(a->at[i].feature, b->at[i].feature);
        assert_int_equal(a->at[i].sheet, b->at[i].sheet);
    }
    for (size_t k = 0; k <= SMALL_SHEETS; k++) {
        assert_near("posterior", a->posterior[k], b->posterior[k], 0.0);
    }
    assert_near("danger", a->danger, b->danger, 0.0);
}

/* Bit for bit. */
static bool any_order(const small_guide *g, const pn_check *check,
                      const answers *a, pn_random *random) {
    (void)g;
    answers mixed = *a;
    for (size_t i = mixed.count; i > 1; i--) {
        size_t j = random_below(random, i);
        pn_answer kept = mixed.at[i - 1];
        mixed.at[i - 1] = mixed.at[j];
        mixed.at[j] = kept;
    }
    items one = items_in(check, MILD, a, expert_anywhere);
    items other = items_in(check, MILD, &mixed, expert_anywhere);
    assert_same(&one, &other);
    return one.count == 0;
}

static void test_order_does_not_matter(void **state) {
    (void)state;
    holds(11, any_order);
}

/* More answers, others in place of those, all taken back: as before. */
static bool undone(const small_guide *g, const pn_check *check,
                   const answers *a, pn_random *random) {
    items before = items_in(check, MILD, a, expert_anywhere);
    pn_check_session *session = session_of(check, a, expert_anywhere);
    items after = {.danger = NAN};
    size_t given = 0;
    (void)pn_check_answers(session, &given);
    for (size_t f = 0; f < SMALL_FEATURES; f++) {
        bool is_new = true;
        for (size_t i = 0; i < a->count; i++) {
            is_new = is_new && a->at[i].feature != f;
        }
        if (is_new) {
            pn_answer more = random_answer(g, f, random);
            assert_int_equal(pn_check_answer(session, &more, NULL), PN_OK);
        }
    }
    for (size_t now = SMALL_FEATURES; now > given; now--) {
        assert_true(pn_check_undo(session));
    }
    after.count = pn_check_gate(session, MILD, after.at, ITEMS_MAX);
    assert_int_equal(after.count, before.count);
    for (size_t i = 0; i < after.count; i++) {
        assert_int_equal(after.at[i].reason, before.at[i].reason);
        assert_int_equal(after.at[i].feature, before.at[i].feature);
        assert_int_equal(after.at[i].sheet, before.at[i].sheet);
    }
    assert_near("danger", pn_check_danger(session), before.danger, 0.0);
    pn_check_session_free(session);
    return before.count == 0;
}

static void test_undo_restores(void **state) {
    (void)state;
    holds(12, undone);
}

/* Which dangers are not ruled out does not depend on when and where; and what
 * is shut when nobody says when and where is shut whatever they say. */
static bool in_any_context(const small_guide *g, const pn_check *check,
                           const answers *a, pn_random *random) {
    pn_check_context context = random_context(random);
    context.beginner = false;
    items anywhere = items_in(check, MILD, a, expert_anywhere);
    items here = items_in(check, MILD, a, context);
    for (size_t k = 0; k < SMALL_SHEETS; k++) {
        assert_int_equal(
            has(&anywhere, PN_GATE_NOT_RULED_OUT, PN_GUIDE_NONE, k),
            has(&here, PN_GATE_NOT_RULED_OUT, PN_GUIDE_NONE, k));
        double factor = here.posterior[k] / anywhere.posterior[k];
        double mild = here.posterior[MILD] / anywhere.posterior[MILD];
        if (pn_guide_is_danger(g->sheets[k].status) &&
            !(factor >= 0.299 * mild)) {
            fail_msg("the context takes %g of a danger", factor / mild);
        }
    }
    assert_true(anywhere.count <= here.count);
    for (size_t i = 0; i < anywhere.count; i++) {
        assert_true(has(&here, anywhere.at[i].reason, anywhere.at[i].feature,
                        anywhere.at[i].sheet));
    }
    return here.count == 0;
}

static void test_no_context_opens_it(void **state) {
    (void)state;
    holds(13, in_any_context);
}

/* "Unsure" of what was not asked is nothing at all. */
static bool unsure_is_nothing(const small_guide *g, const pn_check *check,
                              const answers *a, pn_random *random) {
    (void)g;
    (void)random;
    answers more = *a;
    bool asked[SMALL_FEATURES] = {false};
    for (size_t i = 0; i < a->count; i++) {
        asked[a->at[i].feature] = true;
    }
    for (size_t f = 0; f < SMALL_FEATURES; f++) {
        if (!asked[f]) {
            more.at[more.count++] =
                (pn_answer){.feature = f, .certainty = PN_UNSURE};
        }
    }
    items before = items_in(check, MILD, a, expert_anywhere);
    items after = items_in(check, MILD, &more, expert_anywhere);
    assert_same(&before, &after);
    return before.count == 0;
}

static void test_unsure_opens_nothing(void **state) {
    (void)state;
    holds(14, unsure_is_nothing);
}

/* Reasons that no answer left out can take away. Not so those that weigh the
 * answers against each other: what speaks for a danger, or is odd, shuts the
 * gate, and who keeps it back is not told. */
static bool is_firm(const small_guide *g, const pn_gate_open *open) {
    switch (open->reason) {
    case PN_GATE_NOT_RULED_OUT:
        return g->sheets[open->sheet].lookalike_count > 0;
    case PN_GATE_DISAGREES:
    case PN_GATE_NOT_TYPICAL:
    case PN_GATE_DANGER_LEFT:
        return false;
    case PN_GATE_NOT_GATHERED:
    case PN_GATE_EXPERT_ONLY:
    case PN_GATE_INSEPARABLE:
    case PN_GATE_MUST_SEE:
    default:
        return true;
    }
}

static bool fewer_answers(const small_guide *g, const pn_check *check,
                          const answers *a, pn_random *random) {
    if (a->count == 0) {
        return false;
    }
    answers fewer = *a;
    size_t at = random_below(random, a->count);
    fewer.at[at] = fewer.at[--fewer.count];
    items all = items_in(check, MILD, a, expert_anywhere);
    items less = items_in(check, MILD, &fewer, expert_anywhere);
    for (size_t i = 0; i < all.count; i++) {
        if (is_firm(g, &all.at[i])) {
            assert_true(has(&less, all.at[i].reason, all.at[i].feature,
                            all.at[i].sheet));
        }
        bool of_dropped = all.at[i].reason == PN_GATE_DISAGREES &&
                          all.at[i].feature == a->at[at].feature;
        if (all.at[i].reason == PN_GATE_DISAGREES && !of_dropped) {
            assert_true(has(&less, PN_GATE_DISAGREES, all.at[i].feature,
                            PN_GUIDE_NONE));
        }
    }
    return less.count == 0;
}

static void test_fewer_answers_take_no_firm_reason_away(void **state) {
    (void)state;
    holds(15, fewer_answers);
}

/* A must-see left out shuts it, whatever else is so. */
static bool without_a_must_see(const small_guide *g, const pn_check *check,
                               const answers *a, pn_random *random) {
    const pn_sheet *mild = &g->sheets[MILD];
    items whole = items_in(check, MILD, a, expert_anywhere);
    size_t f = mild->must_see[random_below(random, mild->must_see_count)];
    answers fewer = {.count = 0};
    for (size_t i = 0; i < a->count; i++) {
        if (a->at[i].feature != f) {
            fewer.at[fewer.count++] = a->at[i];
        }
    }
    items less = items_in(check, MILD, &fewer, expert_anywhere);
    assert_true(has(&less, PN_GATE_MUST_SEE, f, PN_GUIDE_NONE));
    return whole.count == 0;
}

static void test_every_must_see_counts(void **state) {
    (void)state;
    holds(16, without_a_must_see);
}

/* deadly, hidden and, where it is harmful, plain. */
static bool dangers_never_open(const small_guide *g, const pn_check *check,
                               const answers *a, pn_random *random) {
    pn_check_context context = random_context(random);
    for (size_t k = 0; k < SMALL_SHEETS; k++) {
        if (pn_guide_is_danger(g->sheets[k].status)) {
            items open = items_in(check, k, a, context);
            assert_true(has_reason(&open, PN_GATE_NOT_GATHERED));
        }
    }
    return items_in(check, MILD, a, context).count == 0;
}

static void test_dangers_never_open(void **state) {
    (void)state;
    holds(17, dangers_never_open);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_order_does_not_matter),
        cmocka_unit_test(test_undo_restores),
        cmocka_unit_test(test_no_context_opens_it),
        cmocka_unit_test(test_unsure_opens_nothing),
        cmocka_unit_test(test_fewer_answers_take_no_firm_reason_away),
        cmocka_unit_test(test_every_must_see_counts),
        cmocka_unit_test(test_dangers_never_open),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
