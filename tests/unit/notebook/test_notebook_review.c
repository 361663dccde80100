// SPDX-License-Identifier: MIT
/* What a correction of a find brings up for review, and what settles it. */
#include "notebook_fixture.h"

static pn_find current_find(fixture *f, int64_t id) {
    pn_notebook_filter by = PN_NOTEBOOK_FILTER_INIT;
    pn_find_list list = {0};
    by.fact = id;
    by.every_version = true;
    assert_ok(pn_notebook_list_finds(f->nb, &by, f->arena, &list, e));
    assert_true(list.count > 0);
    return list.at[list.count - 1];
}

static void is_now(fixture *f, int64_t id, const char *kind) {
    pn_find find = current_find(f, id);
    find.kind = pn_text_of(kind);
    assert_ok(pn_notebook_correct_find(f->nb, find.fact.row, &find, NOW, e));
}

static size_t doubts_of(fixture *f, pn_notebook_filter by, pn_doubt *first) {
    pn_doubt_list list = {0};
    assert_ok(pn_notebook_list_doubts(f->nb, &by, f->arena, &list, e));
    if (first != NULL && list.count > 0) {
        *first = list.at[0];
    }
    return list.count;
}

static size_t doubts(fixture *f) {
    pn_notebook_filter all = PN_NOTEBOOK_FILTER_INIT;
    return doubts_of(f, all, NULL);
}

static bool in_doubt(fixture *f, int64_t kept) {
    pn_notebook_filter by = PN_NOTEBOOK_FILTER_INIT;
    by.fact = kept;
    return doubts_of(f, by, NULL) == 1;
}

static void close_review(fixture *f, int64_t kept, pn_review_outcome outcome) {
    pn_review review = {.kept = kept, .outcome = outcome};
    assert_ok(pn_notebook_add_review(f->nb, &review, NOW, NULL, e));
}

/* find, a jar of it, a meal from the jar */
typedef struct larder {
    int64_t find, jar, meal;
} larder;

static larder a_larder(fixture *f) {
    larder l = {0};
    l.find = add_a_find(f->nb, add_a_patch(f, "Ride"), "meadow_parasol");
    pn_kept jar = a_kept(PN_KEPT_JAR, l.find, 0);
    assert_ok(pn_notebook_add_kept(f->nb, &jar, NOW, &l.jar, e));
    pn_kept meal = a_kept(PN_KEPT_MEAL, 0, l.jar);
    meal.eaters = pn_text_of("R.");
    assert_ok(pn_notebook_add_kept(f->nb, &meal, NOW, &l.meal, e));
    return l;
}

static void another_kind_brings_up_jar_and_meal(void **state) {
    fixture *f = *state;
    larder l = a_larder(f);
    pn_notebook_filter all = PN_NOTEBOOK_FILTER_INIT;
    pn_doubt first = {0};
    assert_int_equal(doubts(f), 0);
    is_now(f, l.find, "fatal_dapperling");
    assert_int_equal(doubts_of(f, all, &first), 2);
    assert_int_equal(first.kept, l.meal); /* what was eaten comes first */
    assert_int_equal(first.sort, PN_KEPT_MEAL);
    assert_int_equal(first.find, l.find);
    assert_int_equal(first.epoch_day, 20701);
    assert_true(first.find_stands);
    assert_true(text_is(first.name, "dried"));
    assert_true(text_is(first.eaters, "R."));
    assert_true(text_is(first.kind_then, "meadow_parasol"));
    assert_true(text_is(first.kind_now, "fatal_dapperling"));
    close_review(f, l.jar, PN_REVIEW_THROWN_AWAY);
    assert_false(in_doubt(f, l.jar));
    assert_true(in_doubt(f, l.meal)); /* throwing away un-eats nothing */
    close_review(f, l.meal, PN_REVIEW_NOBODY_ILL);
    assert_int_equal(doubts(f), 0);
    /* yet another kind: both again */
    is_now(f, l.find, "death_cap");
    assert_int_equal(doubts(f), 2);
    assert_sound(f->nb);
}

static void only_the_kind_counts(void **state) {
    fixture *f = *state;
    larder l = a_larder(f);
    pn_find find = current_find(f, l.find);
    find.count = 5;
    assert_ok(
        pn_notebook_correct_find(f->nb, find.fact.row, &find, NOW + 1, e));
    assert_int_equal(doubts(f), 0);
    is_now(f, l.find, "fatal_dapperling");
    close_review(f, l.jar, PN_REVIEW_THROWN_AWAY);
    close_review(f, l.meal, PN_REVIEW_NOBODY_ILL);
    find = current_find(f, l.find);
    find.count = 6;
    assert_ok(
        pn_notebook_correct_find(f->nb, find.fact.row, &find, NOW + 1, e));
    assert_int_equal(doubts(f), 0);
}

/* Changed and changed back is a change: somebody was not sure. */
static void back_again_is_a_change_too(void **state) {
    fixture *f = *state;
    larder l = a_larder(f);
    is_now(f, l.find, "fatal_dapperling");
    is_now(f, l.find, "meadow_parasol");
    assert_int_equal(doubts(f), 2);
    close_review(f, l.jar, PN_REVIEW_STILL_RIGHT);
    close_review(f, l.meal, PN_REVIEW_STILL_RIGHT);
    assert_int_equal(doubts(f), 0);
}

/* In any way: the find, its visit, or the patch taken back. */
static void a_find_taken_back_brings_them_up(void **state) {
    (void)state;
    static const struct {
        const char *name;
        pn_fact_table table;
    } cases[] = {{"find", PN_FACT_FIND},
                 {"visit", PN_FACT_VISIT},
                 {"patch", PN_FACT_PATCH},
                 {"place", PN_FACT_PLACE}};
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        void *one = NULL;
        pn_doubt first = {0};
        pn_notebook_filter all = PN_NOTEBOOK_FILTER_INIT;
        set_up(&one);
        fixture *f = one;
        larder l = a_larder(f);
        assert_ok(pn_notebook_retract(f->nb, cases[i].table, 1, NOW, e));
        if (doubts_of(f, all, &first) != 2 || first.find_stands) {
            fail_msg("%s taken back", cases[i].name);
        }
        close_review(f, l.jar, PN_REVIEW_OTHER);
        close_review(f, l.meal, PN_REVIEW_NOBODY_ILL);
        assert_int_equal(doubts(f), 0);
        /* what is kept stays in the list all the same */
        pn_kept_list kept = {0};
        assert_ok(pn_notebook_list_kept(f->nb, NULL, f->arena, &kept, e));
        assert_int_equal(kept.count, 2);
        assert_sound(f->nb);
        tear_down(&one);
    }
}

/* A review before the find was taken back does not count for it. */
static void each_change_wants_its_own_review(void **state) {
    fixture *f = *state;
    larder l = a_larder(f);
    is_now(f, l.find, "shaggy_parasol");
    close_review(f, l.jar, PN_REVIEW_STILL_RIGHT);
    close_review(f, l.meal, PN_REVIEW_NOBODY_ILL);
    assert_int_equal(doubts(f), 0);
    assert_ok(pn_notebook_retract(f->nb, PN_FACT_VISIT, 1, NOW, e));
    assert_int_equal(doubts(f), 2);
}

/* Written down after the correction: the find's new kind was known, but what
 * the jar is was not. */
static void doubt_goes_on_from_jar_to_meal(void **state) {
    fixture *f = *state;
    larder l = a_larder(f);
    int64_t fresh = 0;
    int64_t late = 0;
    int64_t vouched = 0;
    is_now(f, l.find, "shaggy_parasol");
    pn_kept meal = a_kept(PN_KEPT_MEAL, l.find, 0);
    assert_ok(pn_notebook_add_kept(f->nb, &meal, NOW, &fresh, e));
    assert_false(in_doubt(f, fresh));
    meal = a_kept(PN_KEPT_MEAL, 0, l.jar);
    assert_ok(pn_notebook_add_kept(f->nb, &meal, NOW, &late, e));
    assert_true(in_doubt(f, late));
    close_review(f, l.jar, PN_REVIEW_STILL_RIGHT);
    assert_true(in_doubt(f, late)); /* it had been eaten in doubt */
    assert_ok(pn_notebook_add_kept(f->nb, &meal, NOW, &vouched, e));
    assert_false(in_doubt(f, vouched));
    is_now(f, l.find, "death_cap");
    assert_true(in_doubt(f, vouched));
    assert_true(in_doubt(f, fresh));
    /* also from a jar that was taken back as never having been */
    assert_ok(pn_notebook_retract(f->nb, PN_FACT_KEPT, l.jar, NOW, e));
    assert_true(in_doubt(f, vouched));
    assert_true(in_doubt(f, l.meal));
    assert_false(in_doubt(f, l.jar));
    assert_sound(f->nb);
}

/* Jar, smaller jar, meal: the one in the middle "never was". */
static void a_missing_link_hides_nothing(void **state) {
    fixture *f = *state;
    larder l = a_larder(f);
    int64_t small = 0;
    int64_t meal_id = 0;
    pn_kept jar = a_kept(PN_KEPT_JAR, 0, l.jar);
    assert_ok(pn_notebook_add_kept(f->nb, &jar, NOW, &small, e));
    pn_kept meal = a_kept(PN_KEPT_MEAL, 0, small);
    assert_ok(pn_notebook_add_kept(f->nb, &meal, NOW, &meal_id, e));
    assert_ok(pn_notebook_retract(f->nb, PN_FACT_KEPT, small, NOW, e));
    assert_false(in_doubt(f, meal_id));
    is_now(f, l.find, "death_cap");
    assert_true(in_doubt(f, meal_id));
    assert_sound(f->nb);
}

/* A jar whose find was taken back may still have been eaten from. */
static void a_meal_from_a_jar_of_nothing(void **state) {
    fixture *f = *state;
    larder l = a_larder(f);
    int64_t late = 0;
    assert_ok(pn_notebook_retract(f->nb, PN_FACT_FIND, l.find, NOW, e));
    pn_kept meal = a_kept(PN_KEPT_MEAL, 0, l.jar);
    assert_ok(pn_notebook_add_kept(f->nb, &meal, NOW, &late, e));
    assert_true(in_doubt(f, late));
    meal = a_kept(PN_KEPT_MEAL, l.find, 0);
    assert_int_equal(pn_notebook_add_kept(f->nb, &meal, NOW, NULL, NULL),
                     PN_ENOTFOUND);
}

/* Only a review settles a doubt; no correction of words does. */
static void corrections_settle_no_doubt(void **state) {
    fixture *f = *state;
    larder l = a_larder(f);
    pn_kept_list list = {0};
    pn_review_list reviews = {0};
    is_now(f, l.find, "shaggy_parasol");
    assert_ok(pn_notebook_list_kept(f->nb, NULL, f->arena, &list, e));
    for (size_t i = 0; i < list.count; i++) {
        pn_kept kept = list.at[i];
        kept.eaters = pn_text_of("nobody yet");
        assert_ok(
            pn_notebook_correct_kept(f->nb, kept.fact.row, &kept, NOW, e));
    }
    assert_int_equal(doubts(f), 2);
    close_review(f, l.jar, PN_REVIEW_STILL_RIGHT);
    is_now(f, l.find, "death_cap");
    assert_ok(pn_notebook_list_reviews(f->nb, NULL, f->arena, &reviews, e));
    assert_int_equal(reviews.count, 1);
    reviews.at[0].note = pn_text_of("a slip put right");
    assert_ok(pn_notebook_correct_review(f->nb, reviews.at[0].fact.row,
                                         &reviews.at[0], NOW, e));
    assert_true(in_doubt(f, l.jar));
    reviews.at[0].kept = l.meal;
    assert_int_equal(
        pn_notebook_correct_review(f->nb, 2, &reviews.at[0], NOW, NULL),
        PN_EDOMAIN);
    /* a review taken back settles nothing any more */
    close_review(f, l.jar, PN_REVIEW_THROWN_AWAY);
    assert_false(in_doubt(f, l.jar));
    assert_ok(pn_notebook_list_reviews(f->nb, NULL, f->arena, &reviews, e));
    assert_int_equal(reviews.at[1].outcome, PN_REVIEW_THROWN_AWAY);
    assert_ok(pn_notebook_retract(f->nb, PN_FACT_REVIEW, reviews.at[1].fact.row,
                                  NOW, e));
    assert_true(in_doubt(f, l.jar));
    assert_sound(f->nb);
}

/* "It was of the other find": whatever that one ever became counts. */
static void another_find_said_later(void **state) {
    fixture *f = *state;
    larder l = a_larder(f);
    int64_t other = add_a_find(f->nb, 1, "penny_bun");
    int64_t changed = add_a_find(f->nb, 1, "meadow_parasol");
    is_now(f, changed, "death_cap");
    pn_kept jar = a_kept(PN_KEPT_JAR, changed, 0);
    assert_ok(pn_notebook_correct_kept(f->nb, l.jar, &jar, NOW, e));
    assert_true(in_doubt(f, l.jar));
    assert_true(in_doubt(f, l.meal));
    close_review(f, l.meal, PN_REVIEW_NOBODY_ILL);
    assert_false(in_doubt(f, l.meal));
    /* another kind than the meal was thought to be is a doubt for the meal */
    pn_notebook_filter by = PN_NOTEBOOK_FILTER_INIT;
    pn_kept_list list = {0};
    by.fact = l.jar;
    assert_ok(pn_notebook_list_kept(f->nb, &by, f->arena, &list, e));
    jar.find = other;
    assert_ok(
        pn_notebook_correct_kept(f->nb, list.at[0].fact.row, &jar, NOW, e));
    assert_true(in_doubt(f, l.meal));
    assert_false(in_doubt(f, l.jar)); /* says itself that it is penny bun */
    assert_sound(f->nb);
}

static void doubts_by_find_visit_and_patch(void **state) {
    fixture *f = *state;
    larder l = a_larder(f);
    int64_t far = add_a_find(f->nb, add_a_patch(f, "Far"), "chanterelle");
    pn_kept jar = a_kept(PN_KEPT_JAR, far, 0);
    assert_ok(pn_notebook_add_kept(f->nb, &jar, NOW, NULL, e));
    is_now(f, l.find, "death_cap");
    is_now(f, far, "jack_o_lantern");
    const struct {
        const char *name;
        int64_t find, visit, patch;
        size_t want;
    } cases[] = {
        {"all", 0, 0, 0, 3},        {"first find", l.find, 0, 0, 2},
        {"far find", far, 0, 0, 1}, {"first visit", 0, 1, 0, 2},
        {"far visit", 0, 2, 0, 1},  {"first patch", 0, 0, 1, 2},
        {"far patch", 0, 0, 2, 1},  {"no patch", 0, 0, 3, 0},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        pn_notebook_filter by = PN_NOTEBOOK_FILTER_INIT;
        by.find = cases[i].find;
        by.visit = cases[i].visit;
        by.patch = cases[i].patch;
        if (doubts_of(f, by, NULL) != cases[i].want) {
            fail_msg("%s", cases[i].name);
        }
    }
}

static void reviews_of_nothing(void **state) {
    fixture *f = *state;
    larder l = a_larder(f);
    pn_review review = {.kept = 99};
    assert_int_equal(pn_notebook_add_review(f->nb, &review, NOW, NULL, NULL),
                     PN_ENOTFOUND);
    review.kept = l.jar;
    review.outcome = PN_REVIEW_OUTCOME_COUNT;
    assert_int_equal(pn_notebook_add_review(f->nb, &review, NOW, NULL, NULL),
                     PN_EDOMAIN);
    /* before any doubt a review settles none that comes later */
    close_review(f, l.jar, PN_REVIEW_STILL_RIGHT);
    is_now(f, l.find, "death_cap");
    assert_true(in_doubt(f, l.jar));
    pn_review_list list = {0};
    pn_notebook_filter by = PN_NOTEBOOK_FILTER_INIT;
    by.kept = l.jar;
    assert_ok(pn_notebook_list_reviews(f->nb, &by, f->arena, &list, e));
    assert_int_equal(list.count, 1);
    assert_int_equal(list.at[0].find_row, l.find);
    assert_true(list.at[0].find_stood);
    by.kept = l.meal;
    assert_ok(pn_notebook_list_reviews(f->nb, &by, f->arena, &list, e));
    assert_int_equal(list.count, 0);
}

/* Random corrections, retractions, jars and meals, against a model that knows
 * only the rule in words: something is up when, after it was written down, the
 * kind changed or the find went, and no review came after the latest such
 * change. Jars and meals are made before any doubt, so that the two agree. */
static void random_histories_agree_with_a_plain_model(void **state) {
    enum { FINDS = 6, STEPS = 300, KEPT_MAX = STEPS };
    static const char *const kinds[] = {"a", "b", "c"};
    fixture *f = *state;
    int64_t patch = add_a_patch(f, "Ride");
    pn_random random = pn_random_seeded(20260914);
    struct {
        int64_t id;
        int kind, changed_at;
        bool gone;
    } finds[FINDS];
    struct {
        int64_t id;
        int find, made_at, reviewed_at;
    } kept[KEPT_MAX];
    int kept_count = 0;
    for (int i = 0; i < FINDS; i++) {
        finds[i].id = add_a_find(f->nb, patch, kinds[0]);
        finds[i].kind = finds[i].changed_at = 0;
        finds[i].gone = false;
    }
    for (int step = 1; step <= STEPS; step++) {
        int i = (int)(pn_random_uniform(&random) * FINDS);
        double what = pn_random_uniform(&random);
        if (what < 0.25) { /* corrected; brings a lost one back */
            int kind = (int)(pn_random_uniform(&random) * 3);
            bool changes = kind != finds[i].kind || finds[i].gone;
            is_now(f, finds[i].id, kinds[kind]);
            finds[i].kind = kind;
            finds[i].gone = false;
            finds[i].changed_at = changes ? step : finds[i].changed_at;
        } else if (what < 0.32 && !finds[i].gone) {
            assert_ok(pn_notebook_retract(f->nb, PN_FACT_FIND,
                                          current_find(f, finds[i].id).fact.row,
                                          NOW, e));
            finds[i].gone = true;
            finds[i].changed_at = step;
        } else if (what < 0.65 && !finds[i].gone) {
            pn_kept jar = a_kept(PN_KEPT_JAR, finds[i].id, 0);
            kept[kept_count].find = i;
            kept[kept_count].made_at = step;
            kept[kept_count].reviewed_at = -1;
            assert_ok(pn_notebook_add_kept(f->nb, &jar, NOW,
                                           &kept[kept_count++].id, e));
        } else if (kept_count > 0) {
            int k = (int)(pn_random_uniform(&random) * kept_count);
            close_review(f, kept[k].id, PN_REVIEW_NOBODY_ILL);
            kept[k].reviewed_at = step;
        }
        size_t want = 0;
        for (int k = 0; k < kept_count; k++) {
            int at = finds[kept[k].find].changed_at;
            want += at > kept[k].made_at && kept[k].reviewed_at < at ? 1 : 0;
        }
        if (doubts(f) != want) {
            fail_msg("step %d: %zu up for review, not %zu", step, doubts(f),
                     want);
        }
    }
    assert_true(kept_count > 50);
    assert_sound(f->nb);
}

int main(void) {
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(another_kind_brings_up_jar_and_meal),
        TEST(only_the_kind_counts),
        TEST(back_again_is_a_change_too),
        cmocka_unit_test(a_find_taken_back_brings_them_up),
        TEST(each_change_wants_its_own_review),
        TEST(doubt_goes_on_from_jar_to_meal),
        TEST(a_missing_link_hides_nothing),
        TEST(a_meal_from_a_jar_of_nothing),
        TEST(corrections_settle_no_doubt),
        TEST(another_find_said_later),
        TEST(doubts_by_find_visit_and_patch),
        TEST(reviews_of_nothing),
        TEST(random_histories_agree_with_a_plain_model),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
