/* The guide that is built in never sends anybody to dig without the owner's
 * word, nor to pick what the law protects: Wildlife and Countryside Act 1981,
 * section 13. */
#include "sheets_support.h"

static pn_sheets *read_shipped(void) {
    size_t count = 0;
    const pn_sheets_file *files = pn_sheets_embedded(&count);
    pn_sheets *sheets = NULL;
    pn_error err;
    if (pn_sheets_read(&pn_alloc_libc, pn_sheets_embedded_features(), files,
                       count, &sheets, &err) != PN_OK) {
        fail_msg("%s", err.message);
    }
    return sheets;
}

static bool says(const pn_sheet *sheet, const char *law) {
    for (size_t i = 0; i < sheet->law.count; i++) {
        if (strcmp(sheet->law.at[i], law) == 0) {
            return true;
        }
    }
    return false;
}

static bool is_gathered(const pn_sheet *sheet) {
    return sheet->status == PN_GUIDE_GATHERED ||
           sheet->status == PN_GUIDE_CAUTION;
}

static bool is_dug(const pn_sheet *sheet) {
    bool dug = strcmp(sheet->group, "root") == 0;
    for (size_t i = 0; i < sheet->parts.count; i++) {
        dug = dug || strcmp(sheet->parts.at[i].about, "root") == 0;
    }
    return dug;
}

static bool is_left_whole(const pn_sheet *sheet) {
    for (size_t i = 0; i < sheet->parts.count; i++) {
        if (strcmp(sheet->parts.at[i].what, "leave") != 0) {
            return false;
        }
    }
    return !is_gathered(sheet);
}

static void expect_consent(const pn_sheet *sheet) {
    if (is_dug(sheet) && !says(sheet, "uproot_consent")) {
        fail_msg("%s: a root without uproot_consent", sheet->id);
    }
}

static void expect_left(const pn_sheet *sheet) {
    if (says(sheet, "schedule_8") && !is_left_whole(sheet)) {
        fail_msg("%s: schedule 8, yet taken", sheet->id);
    }
}

static void roots_need_consent(void **state) {
    (void)state;
    pn_sheets *sheets = read_shipped();
    const pn_guide *guide = pn_sheets_guide(sheets);
    size_t dug = 0;
    for (size_t k = 0; k < guide->sheet_count; k++) {
        dug += is_dug(&guide->sheets[k]);
        expect_consent(&guide->sheets[k]);
    }
    assert_true(dug >= 10);
    pn_sheets_free(sheets);
}

static void the_protected_are_left(void **state) {
    (void)state;
    pn_sheets *sheets = read_shipped();
    const pn_guide *guide = pn_sheets_guide(sheets);
    size_t found = 0;
    for (size_t k = 0; k < guide->sheet_count; k++) {
        found += says(&guide->sheets[k], "schedule_8");
        expect_left(&guide->sheets[k]);
    }
    assert_true(found >= 2);
    pn_sheets_free(sheets);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(roots_need_consent),
        cmocka_unit_test(the_protected_are_left),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
