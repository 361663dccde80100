/* Whatever the outlook sends a person out for has a sheet to check it by. */
#include "pannage/season.h"
#include "sheets_support.h"

static void every_kind_of_the_outlook_has_a_sheet(void **state) {
    (void)state;
    size_t count = 0;
    const pn_sheets_file *files = pn_sheets_embedded(&count);
    pn_sheets *sheets = NULL;
    pn_error err;
    assert_int_equal(pn_sheets_read(&pn_alloc_libc,
                                    pn_sheets_embedded_features(), files, count,
                                    &sheets, &err),
                     PN_OK);
    const pn_guide *guide = pn_sheets_guide(sheets);
    for (size_t i = 0; i < pn_kind_count(); i++) {
        const pn_kind *kind = pn_kind_at(i);
        if (pn_guide_sheet(guide, pn_text_of(kind->id)) == PN_GUIDE_NONE) {
            fail_msg("no sheet is called '%s'", kind->id);
        }
    }
    assert_true(pn_kind_count() >= 40);
    assert_true(pn_guide_sheet(guide, pn_text_of("beech leaf soup")) ==
                PN_GUIDE_NONE);
    /* borne by the shoot and the cone: neither is meant more than the other */
    assert_true(pn_guide_sheet(guide, pn_text_of("hopys")) == PN_GUIDE_NONE);
    pn_sheets_free(sheets);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_kind_of_the_outlook_has_a_sheet)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
