/* A guide that holds comes out as it was written. */
#include "sheets_support.h"

static void read_or_fail(const small *s, pn_sheets **out) {
    pn_error err;
    if (small_read(&pn_alloc_libc, s, out, &err) != PN_OK) {
        fail_msg("%s", err.message);
    }
}

static void features_come_out(void **state) {
    (void)state;
    small s = small_guide();
    pn_sheets *sheets = NULL;
    read_or_fail(&s, &sheets);
    const pn_guide *guide = pn_sheets_guide(sheets);
    assert_int_equal(guide->feature_count, 6);
    assert_int_equal(guide->organ_count, 6);
    const pn_feature *form = &guide->features[0];
    assert_string_equal(form->id, "form");
    assert_string_equal(form->states[3], "ball");
    assert_int_equal(form->state_count, 4);
    assert_true(form->need_feature == PN_GUIDE_NONE);
    const pn_feature *gills = &guide->features[1];
    assert_int_equal(gills->need_feature, 0);
    assert_int_equal(gills->need_states, 1);
    const pn_feature *width = &guide->features[2];
    assert_true(width->is_range && width->slip == NULL);
    assert_string_equal(width->unit, "cm");
    assert_near("error", width->error_frac, 0.1, 0.0);
    assert_int_equal(guide->features[3].effort, PN_EFFORT_TOUCH);
    pn_sheets_free(sheets);
}

/* By hand, from near = gilled-pored and pored-ball, slip 0.01, near 0.04. */
static void slips_are_shared_out(void **state) {
    (void)state;
    static const struct {
        const char *name;
        size_t is, answered;
        double want;
    } cases[] = {
        {"gilled for pored: the only near one", 0, 1, 0.04},
        {"gilled for herb: one of two others", 0, 2, 0.005},
        {"gilled right", 0, 0, 0.95},
        {"pored for gilled: one of two near ones", 1, 0, 0.02},
        {"pored for ball", 1, 3, 0.02},
        {"pored for herb: the only other", 1, 2, 0.01},
        {"pored right", 1, 1, 0.95},
        {"herb has no near ones", 2, 0, 0.01 / 3},
        {"herb right", 2, 2, 0.99},
    };
    small s = small_guide();
    pn_sheets *sheets = NULL;
    read_or_fail(&s, &sheets);
    const double *slip = pn_sheets_guide(sheets)->features[0].slip;
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        size_t at = cases[i].is * PN_GUIDE_STATES_MAX + cases[i].answered;
        assert_near(cases[i].name, slip[at], cases[i].want, 1e-15);
    }
    pn_sheets_free(sheets);
}

static void check_shares(const pn_sheet *sheet) {
    const pn_trait *form = &sheet->traits[0];
    const pn_trait *gills = &sheet->traits[1];
    const size_t young = PN_GUIDE_YOUNG * PN_GUIDE_STATES_MAX;
    const size_t mature = PN_GUIDE_MATURE * PN_GUIDE_STATES_MAX;
    const size_t old = PN_GUIDE_OLD * PN_GUIDE_STATES_MAX;
    assert_near("young ball", form->share[young + 3], 0.75, 0.0);
    assert_near("grown gilled", form->share[mature], 1.0, 0.0);
    assert_near("old as grown", form->share[old], 1.0, 0.0);
    /* 0.333 + 0.666 = 0.999 is taken for thirds */
    assert_near("third", gills->share[mature], 1.0 / 3, 1e-15);
    assert_near("thirds add up",
                gills->share[mature] + gills->share[mature + 1], 1.0, 1e-15);
    assert_string_equal(form->source, "from memory");
    assert_string_equal(gills->source, "a book");
    assert_near("low", sheet->traits[2].low, 3.0, 0.0);
    assert_near("high", sheet->traits[2].high, 8.5, 0.0);
}

static void sheets_come_out(void **state) {
    (void)state;
    small s = small_guide();
    pn_sheets *sheets = NULL;
    read_or_fail(&s, &sheets);
    const pn_guide *guide = pn_sheets_guide(sheets);
    assert_int_equal(guide->sheet_count, 2);
    const pn_sheet *good = &guide->sheets[0];
    assert_string_equal(good->id, "white_bell");
    assert_string_equal(good->about, "A made-up kind for tests.");
    assert_string_equal(good->welsh.at[0], "cloch wen");
    assert_int_equal(good->status, PN_GUIDE_GATHERED);
    assert_int_equal(good->season_from, 11);
    assert_int_equal(good->season_to, 2);
    assert_int_equal(good->peak_to, 1);
    assert_string_equal(good->habitats.at[1], "edge");
    assert_int_equal(good->trait_count, 6);
    check_shares(good);
    assert_int_equal(good->must_see_count, 4);
    assert_int_equal(good->must_see[3], 4);
    assert_int_equal(good->lookalike_count, 1);
    assert_int_equal(good->lookalikes[0].sheet, 1);
    assert_int_equal(good->lookalikes[0].deciding[1], 4);
    assert_true(isnan(good->fresh_days));
    assert_string_equal(good->harm, "");
    const pn_sheet *bad = &guide->sheets[1];
    assert_int_equal(bad->status, PN_GUIDE_DEADLY);
    assert_int_equal(bad->peak_from, 0);
    assert_near("days", bad->fresh_days, 2.0, 0.0);
    assert_string_equal(bad->harm, "Death in a day.");
    pn_sheets_free(sheets);
}

static void sentences_come_out(void **state) {
    (void)state;
    small s = small_guide();
    pn_sheets *sheets = NULL;
    read_or_fail(&s, &sheets);
    const pn_sheet *good = &pn_sheets_guide(sheets)->sheets[0];
    assert_int_equal(good->stages.count, 2);
    assert_string_equal(good->stages.at[0].about, "young");
    assert_string_equal(good->stages.at[0].stage, "young");
    assert_string_equal(good->stages.at[0].what, "later");
    assert_int_equal(good->parts.count, 2);
    assert_string_equal(good->parts.at[0].what, "cook");
    assert_string_equal(good->parts.at[0].stage, "mature");
    assert_string_equal(good->parts.at[1].stage, "");
    assert_string_equal(good->cautions.at[0].about, "raw");
    assert_string_equal(good->cautions.at[0].what, "");
    assert_string_equal(good->cautions.at[0].words, "Not raw.");
    assert_string_equal(good->cautions.at[0].source, "another book");
    assert_string_equal(good->parts.at[0].source, "from memory");
    pn_sheets_free(sheets);
}

static void out_of_memory_is_told(void **state) {
    (void)state;
    small s = small_guide();
    int calls = 0;
    for (pn_status status = PN_ENOMEM; status != PN_OK; calls++) {
        failing limit = {calls};
        pn_alloc alloc = failing_alloc(&limit);
        pn_sheets *sheets = NULL;
        pn_error err;
        status = small_read(&alloc, &s, &sheets, &err);
        assert_true(status == PN_OK || status == PN_ENOMEM);
        assert_true((status == PN_OK) == (sheets != NULL));
        pn_sheets_free(sheets);
    }
    assert_true(calls > 3);
}

static void count_fault(void *ctx, const pn_error *fault) {
    int *count = ctx;
    assert_true(strstr(fault->message, "guide/") == fault->message);
    ++*count;
}

static void lint_goes_on(void **state) {
    (void)state;
    small s = small_guide();
    pn_sheets_file features = {"guide/features.yaml", pn_text_of(s.features)};
    small_replace(s.good, "park", "moon");
    small_replace(s.bad, "park", "moon");
    pn_sheets_file sheets[] = {
        {"guide/sheets/white_bell.yaml", pn_text_of(s.good)},
        {"guide/sheets/red_bell.yaml", pn_text_of(s.bad)}};
    int count = 0;
    pn_sheets_listener listener = {count_fault, &count};
    pn_error err;
    assert_int_equal(
        pn_sheets_lint(&pn_alloc_libc, &features, sheets, 2, &listener, &err),
        PN_EDOMAIN);
    assert_int_equal(count, 2);
    assert_string_equal(err.message, "the guide has 2 faults");
    features.text = pn_text_of("source: x");
    count = 0;
    assert_int_equal(
        pn_sheets_lint(&pn_alloc_libc, &features, sheets, 2, &listener, &err),
        PN_EDOMAIN);
    assert_int_equal(count, 1);
}

static void lint_is_content(void **state) {
    (void)state;
    small s = small_guide();
    pn_sheets_file features = {"guide/features.yaml", pn_text_of(s.features)};
    pn_sheets_file sheets[] = {
        {"guide/sheets/white_bell.yaml", pn_text_of(s.good)},
        {"guide/sheets/red_bell.yaml", pn_text_of(s.bad)}};
    int count = 0;
    pn_sheets_listener listener = {count_fault, &count};
    pn_error err;
    assert_int_equal(
        pn_sheets_lint(&pn_alloc_libc, &features, sheets, 2, &listener, &err),
        PN_OK);
    assert_int_equal(count, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(features_come_out),
        cmocka_unit_test(slips_are_shared_out),
        cmocka_unit_test(sheets_come_out),
        cmocka_unit_test(sentences_come_out),
        cmocka_unit_test(out_of_memory_is_told),
        cmocka_unit_test(lint_goes_on),
        cmocka_unit_test(lint_is_content),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
