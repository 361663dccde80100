/* Which observation next: what is asked at all, in which order, and that what
 * it says it expects is what comes. */
#include "pannage/sheets.h"
#include "random_guide.h"

enum { NEXT_MAX = PN_GUIDE_FEATURES_MAX };

static const pn_check_context expert_anywhere = {.beginner = false};
static const answers none = {.count = 0};

static const pn_next *find(const pn_next *list, size_t count, size_t feature) {
    for (size_t i = 0; i < count; i++) {
        if (list[i].feature == feature) {
            return &list[i];
        }
    }
    return NULL;
}

static void test_only_what_can_be_asked(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(21);
    for (int i = 0; i < 200; i++) {
        small_guide g;
        random_guide(&g, &random);
        g.features[GILLS].need_feature = UNDER;
        for (size_t k = 0; k < SMALL_SHEETS; k++) { /* gills apply to all */
            small_share(&g, k, UNDER, PN_GUIDE_STAGE_COUNT, 0, 1.0, 1);
        }
        pn_check *check = check_of(&g);
        answers a = random_answers(&g, &random);
        pn_check_session *session = session_of(check, &a, expert_anywhere);
        pn_next out[NEXT_MAX];
        size_t focus = random_below(&random, SMALL_SHEETS + 1);
        size_t count = pn_check_next(session, focus, out, NEXT_MAX);
        bool answered[SMALL_FEATURES] = {false};
        bool has_gills = false;
        for (size_t j = 0; j < a.count; j++) {
            answered[a.at[j].feature] = true;
            has_gills =
                has_gills || (a.at[j].feature == UNDER && a.at[j].state == 0 &&
                              a.at[j].certainty != PN_UNSURE);
        }
        for (size_t f = 0; f < SMALL_FEATURES; f++) {
            bool want = !answered[f] && (f != GILLS || has_gills);
            assert_int_equal(find(out, count, f) != NULL, want);
        }
        for (size_t j = 0; j < count; j++) {
            assert_true(out[j].worth >= 0.0);
            assert_true(out[j].danger_after >= 0.0);
            assert_true(j == 0 || out[j].worth <= out[j - 1].worth);
        }
        pn_check_session_free(session);
        pn_check_free(check);
    }
}

/* The best of a short list are the best of the long one. */
static void test_the_room_may_be_short(void **state) {
    (void)state;
    small_guide g;
    pn_next all[NEXT_MAX];
    pn_next few[2] = {{.feature = 99}, {.feature = 99}};
    small_make(&g);
    pn_check *check = check_of(&g);
    pn_check_session *session = session_of(check, &none, expert_anywhere);
    size_t count = pn_check_next(session, PN_GUIDE_NONE, all, NEXT_MAX);
    assert_int_equal(count, SMALL_FEATURES - 1); /* not the gills */
    assert_int_equal(pn_check_next(session, PN_GUIDE_NONE, few, 1), 1);
    assert_int_equal(few[0].feature, all[0].feature);
    assert_int_equal(few[1].feature, 99);
    assert_int_equal(pn_check_next(session, PN_GUIDE_NONE, few, 0), 0);
    pn_check_session_free(session);
    pn_check_free(check);
}

/* Two features of the same shares: the cheaper one, or else the first. */
static void test_a_look_before_a_print(void **state) {
    (void)state;
    static const pn_effort dear[] = {PN_EFFORT_SMELL, PN_EFFORT_TOUCH,
                                     PN_EFFORT_CUT, PN_EFFORT_PRINT,
                                     PN_EFFORT_BENCH};
    for (size_t i = 0; i < COUNT_OF(dear); i++) {
        for (int first_is_dear = 0; first_is_dear < 2; first_is_dear++) {
            small_guide g;
            pn_next out[NEXT_MAX];
            small_make(&g);
            for (size_t k = 0; k < SMALL_SHEETS; k++) {
                g.sheets[k].must_see[0] = k == HIDDEN ? RING : CAP;
                g.sheets[k].must_see_count = 1;
                memcpy(g.share[k][CAP_SKIN], g.share[k][FLESH],
                       sizeof g.share[k][FLESH]);
            }
            small_silence(&g, HIDDEN);
            g.features[FLESH].effort = first_is_dear ? PN_EFFORT_LOOK : dear[i];
            g.features[CAP_SKIN].effort =
                first_is_dear ? dear[i] : PN_EFFORT_LOOK;
            pn_check *check = check_of(&g);
            pn_check_session *session =
                session_of(check, &none, expert_anywhere);
            size_t count = pn_check_next(session, PN_GUIDE_NONE, out, NEXT_MAX);
            const pn_next *flesh = find(out, count, FLESH);
            const pn_next *skin = find(out, count, CAP_SKIN);
            assert_near("same information", flesh->danger_after,
                        skin->danger_after, 0.0);
            assert_true(first_is_dear ? flesh < skin : skin < flesh);
            pn_check_session_free(session);
            pn_check_free(check);
        }
    }
}

/* Of a kind in mind what must be seen comes sooner, here before all else, and
 * what has to be known before it can be asked. */
static void test_must_see_of_the_kind_in_mind(void **state) {
    (void)state;
    static const struct {
        const char *name;
        size_t must_see, first;
    } rows[] = {{"the skin of the cap", CAP_SKIN, CAP_SKIN},
                {"the ring", RING, RING},
                {"the flesh, to be cut", FLESH, FLESH},
                {"the gills: what is underneath", GILLS, UNDER}};
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        small_guide g;
        pn_next out[NEXT_MAX];
        small_make(&g);
        g.sheets[MILD].must_see[0] = rows[i].must_see;
        g.sheets[MILD].must_see_count = 1;
        pn_check *check = check_of(&g);
        pn_check_session *session = session_of(check, &none, expert_anywhere);
        size_t count = pn_check_next(session, MILD, out, NEXT_MAX);
        if (count == 0 || out[0].feature != rows[i].first) {
            fail_msg("%s: feature %zu came first", rows[i].name,
                     out[0].feature);
        }
        pn_check_session_free(session);
        pn_check_free(check);
    }
}

/* ---- against a reference of its own ----------------------------------------
 * Sums over all kinds, stages and answers from the guide's own numbers, in
 * double. Sheets that say nothing answer like the unlisted. */

static double shown(const small_guide *g, size_t k, size_t stage, size_t f,
                    size_t a) {
    double sum = 0.0;
    for (size_t s = 0; s < g->features[f].state_count; s++) {
        sum += g->share[k][f][stage * PN_GUIDE_STATES_MAX + s] *
               g->slip[f][s * PN_GUIDE_STATES_MAX + a];
    }
    return sum > 0.001 ? sum : 0.001;
}

static double base_rate(const small_guide *g, size_t f, size_t a) {
    double sum = 0.0;
    double count = 0.0;
    for (size_t k = 0; k < SMALL_SHEETS; k++) {
        if (pn_sheet_trait(&g->sheets[k], f) != NULL) {
            sum += shown(g, k, PN_GUIDE_MATURE, f, a);
            count += 1.0;
        }
    }
    return 0.35 / (double)g->features[f].state_count + 0.65 * sum / count;
}

/* Expected D (1 - D) of the first answer; the priors are 0.9 over the kinds,
 * 0.25, 0.6 and 0.15 over the stages, and 0.1 for the unlisted. */
static double doubt_by_force(const small_guide *g, size_t f) {
    static const double stages[PN_GUIDE_STAGE_COUNT] = {0.25, 0.6, 0.15};
    double doubt = 0.0;
    for (size_t a = 0; a < g->features[f].state_count; a++) {
        double base = base_rate(g, f, a);
        double bad = 0.1 * base;
        double whole = bad;
        for (size_t k = 0; k < SMALL_SHEETS; k++) {
            bool silent = pn_sheet_trait(&g->sheets[k], f) == NULL;
            for (size_t stage = 0; stage < PN_GUIDE_STAGE_COUNT; stage++) {
                double p = 0.9 / SMALL_SHEETS * stages[stage] *
                           (silent ? base : shown(g, k, stage, f, a));
                whole += p;
                bad += pn_guide_is_danger(g->sheets[k].status) ? p : 0.0;
            }
        }
        doubt += bad * (1.0 - bad / whole);
    }
    return doubt;
}

static void test_expected_doubt_by_force(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(22);
    for (int i = 0; i < 100; i++) {
        small_guide g;
        pn_next out[NEXT_MAX];
        random_guide(&g, &random);
        pn_check *check = check_of(&g);
        pn_check_session *session = session_of(check, &none, expert_anywhere);
        size_t count = pn_check_next(session, PN_GUIDE_NONE, out, NEXT_MAX);
        for (size_t f = 0; f < WIDTH; f++) {
            assert_near(g.features[f].id, find(out, count, f)->danger_after,
                        doubt_by_force(&g, f), 1e-5); /* sums in float */
        }
        pn_check_session_free(session);
        pn_check_free(check);
    }
}

/* Once a few are answered, the least likely are left out of the sum, but never
 * more than a hundredth of the danger and of the rest: each moves the sum of
 * bad x good / whole by no more than itself, both together by 0.01.
 * The reference answers the question every way in sessions of its own; every
 * feature an organ of its own, so that an answer has its full weight. */
static void test_expected_doubt_by_trying(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(23);
    for (int i = 0; i < 60; i++) {
        small_guide g;
        pn_next out[NEXT_MAX];
        random_guide(&g, &random);
        g.features[CAP_SKIN].organ = CAP_SKIN;
        pn_check *check = check_of(&g);
        answers a = {.at = {random_answer(&g, CAP, &random),
                            random_answer(&g, WIDTH, &random)},
                     .count = 2};
        pn_check_session *session = session_of(check, &a, expert_anywhere);
        size_t count = pn_check_next(session, PN_GUIDE_NONE, out, NEXT_MAX);
        items now = items_in(check, MILD, &a, expert_anywhere);
        double doubt = 0.0;
        for (size_t s = 0; s < g.features[RING].state_count; s++) {
            answers more = a;
            more.at[more.count++] = (pn_answer){.feature = RING, .state = s};
            items then = items_in(check, MILD, &more, expert_anywhere);
            /* P(answer) from the unlisted: p then = p now base / P */
            double chance = now.posterior[SMALL_SHEETS] *
                            base_rate(&g, RING, s) /
                            then.posterior[SMALL_SHEETS];
            doubt += chance * then.danger * (1.0 - then.danger);
        }
        assert_near("ring", find(out, count, RING)->danger_after, doubt,
                    0.01 + 1e-5);
        pn_check_session_free(session);
        pn_check_free(check);
    }
}

/* ---- the guide that ships --------------------------------------------------
 */

static void test_form_comes_first(void **state) {
    (void)state;
    size_t sheet_count = 0;
    const pn_sheets_file *files = pn_sheets_embedded(&sheet_count);
    pn_sheets *sheets = NULL;
    pn_check *check = NULL;
    pn_check_session *session = NULL;
    pn_next out[3];
    pn_error err = {PN_OK, ""};
    if (pn_sheets_read(&pn_alloc_libc, pn_sheets_embedded_features(), files,
                       sheet_count, &sheets, &err) != PN_OK ||
        pn_check_new(&pn_alloc_libc, pn_sheets_guide(sheets), &check, &err) !=
            PN_OK ||
        pn_check_session_new(check, &expert_anywhere, &session, &err) !=
            PN_OK) {
        fail_msg("%s", err.message);
    }
    size_t form = pn_guide_feature(pn_sheets_guide(sheets), pn_text_of("form"));
    assert_int_equal(pn_check_next(session, PN_GUIDE_NONE, out, 3), 3);
    assert_int_equal(out[0].feature, form);
    pn_check_session_free(session);
    pn_check_free(check);
    pn_sheets_free(sheets);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_only_what_can_be_asked),
        cmocka_unit_test(test_the_room_may_be_short),
        cmocka_unit_test(test_a_look_before_a_print),
        cmocka_unit_test(test_must_see_of_the_kind_in_mind),
        cmocka_unit_test(test_expected_doubt_by_force),
        cmocka_unit_test(test_expected_doubt_by_trying),
        cmocka_unit_test(test_form_comes_first),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
