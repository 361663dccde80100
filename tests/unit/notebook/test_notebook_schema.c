// SPDX-License-Identifier: MIT
#include "notebook_fixture.h"

#include "notebook/schema_text.h"

/* schema.sql is what people read, schema_text.h what the program runs. */
static void schema_text_is_schema_sql(void **state) {
    (void)state;
    FILE *f = fopen(PN_SOURCE_DIR "/src/notebook/schema.sql", "r");
    assert_non_null(f);
    char line[512];
    size_t tables = COUNT_OF(schema_tables);
    size_t total = tables + COUNT_OF(schema_guards);
    size_t i = 0;
    while (fgets(line, sizeof line, f) != NULL) {
        assert_true(i < total);
        assert_string_equal(line, i < tables ? schema_tables[i]
                                             : schema_guards[i - tables]);
        i++;
    }
    assert_int_equal(i, total);
    fclose(f);
}

static void a_new_notebook_is_sound(void **state) {
    fixture *f = *state;
    assert_sound(f->nb);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(schema_text_is_schema_sql),
        cmocka_unit_test_setup_teardown(a_new_notebook_is_sound, set_up,
                                        tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
