/* Tables for the notebook. All rows here are invented. */
#include "unit/exchange/exchange_support.h"

static pn_status read_table(const pn_alloc *alloc, const char *text,
                            pn_exchange_table **out, pn_error *err) {
    pn_exchange_memory memory = {text, strlen(text), 0};
    pn_exchange_source source = pn_exchange_memory_source(&memory, "v.csv");
    return pn_exchange_table_read(alloc, &source, out, err);
}

static const char visits[] =
    "# invented\n"
    "date,Patch,minutes,kind,count,fresh_g,stage,note\r\n"
    "2026-09-14,Bell Wood,45,cep,3,420.5,button,\"wet, \"\"cold\"\"\"\r\n"
    "\r\n"
    "2026-09-15,Bell Wood,30,,,NA,,\"two\nlines\"\r\n"
    "2026-09-31,,x,cep,-1,1e9,old,'=SUM(A1)\r\n";

static pn_text text_at(const pn_exchange_table *t, size_t row,
                       const char *name) {
    pn_exchange_cell cell = {row, pn_exchange_table_column(t, name)};
    return pn_exchange_table_text(t, cell);
}

static void holds_rows_and_lines(void **state) {
    (void)state;
    pn_exchange_table *t = NULL;
    assert_int_equal(read_table(&pn_alloc_libc, visits, &t, NULL), PN_OK);
    assert_int_equal(pn_exchange_table_row_count(t), 3);
    assert_int_equal(pn_exchange_table_column_count(t), 8);
    assert_int_equal(pn_exchange_table_line(t, 0), 3);
    assert_int_equal(pn_exchange_table_line(t, 1), 5);
    assert_int_equal(pn_exchange_table_line(t, 2), 7);
    assert_int_equal(pn_exchange_table_line(t, 3), 0);
    assert_int_equal(pn_exchange_table_column(t, "PATCH"), 1);
    assert_int_equal(pn_exchange_table_column(t, "fresh g"), 5);
    assert_int_equal(pn_exchange_table_column(t, "grams"),
                     PN_EXCHANGE_NO_COLUMN);
    assert_true(
        pn_text_equal(text_at(t, 0, "note"), pn_text_of("wet, \"cold\"")));
    assert_true(pn_text_equal(text_at(t, 1, "note"), pn_text_of("two\nlines")));
    assert_true(pn_text_equal(text_at(t, 2, "note"), pn_text_of("=SUM(A1)")));
    assert_int_equal(text_at(t, 9, "note").len, 0);
    assert_int_equal(text_at(t, 0, "grams").len, 0);
    assert_int_equal(pn_exchange_table_column_name(t, 8).len, 0);
    pn_exchange_table_free(t);
    pn_exchange_table_free(NULL);
}

static void gives_typed_values(void **state) {
    (void)state;
    static const pn_exchange_range grams = {0.0, 1e6, "g"};
    static const char *const stages[] = {"button", "open", "old"};
    pn_exchange_table *t = NULL;
    double number = 0.0;
    int64_t count = 0;
    int32_t day = 0;
    size_t choice = 0;
    bool given = false;
    pn_text text;
    assert_int_equal(read_table(&pn_alloc_libc, visits, &t, NULL), PN_OK);
    assert_int_equal(pn_exchange_table_number(t, (pn_exchange_cell){0, 5},
                                              &grams, &number, NULL),
                     PN_OK);
    assert_near("grams", number, 420.5, 0.0);
    assert_int_equal(pn_exchange_table_number(t, (pn_exchange_cell){1, 5},
                                              &grams, &number, NULL),
                     PN_OK);
    assert_near("NA", number, NAN, 0.0);
    assert_int_equal(pn_exchange_table_count(t, (pn_exchange_cell){0, 4}, 1000,
                                             &given, &count, NULL),
                     PN_OK);
    assert_true(given && count == 3);
    assert_int_equal(pn_exchange_table_count(t, (pn_exchange_cell){1, 4}, 1000,
                                             &given, &count, NULL),
                     PN_OK);
    assert_false(given);
    assert_int_equal(
        pn_exchange_table_date(t, (pn_exchange_cell){0, 0}, &given, &day, NULL),
        PN_OK);
    assert_int_equal(day, 20710);
    assert_int_equal(pn_exchange_table_choice(t, (pn_exchange_cell){2, 6},
                                              stages, 3, &choice, NULL),
                     PN_OK);
    assert_int_equal(choice, 2);
    assert_int_equal(pn_exchange_table_choice(t, (pn_exchange_cell){1, 6},
                                              stages, 3, &choice, NULL),
                     PN_OK);
    assert_int_equal(choice, 3);
    assert_int_equal(
        pn_exchange_table_need_text(t, (pn_exchange_cell){0, 1}, &text, NULL),
        PN_OK);
    assert_true(pn_text_equal(text, pn_text_of("Bell Wood")));
    pn_exchange_table_free(t);
}

static void failures_name_their_place(void **state) {
    (void)state;
    static const pn_exchange_range grams = {0.0, 1e6, "g"};
    static const char *const stages[] = {"button", "open"};
    pn_exchange_table *t = NULL;
    pn_error err;
    double number = 7.0;
    int64_t count = 7;
    int32_t day = 7;
    size_t choice = 7;
    size_t column = 7;
    bool given = false;
    pn_text text;
    assert_int_equal(read_table(&pn_alloc_libc, visits, &t, NULL), PN_OK);
    assert_int_equal(pn_exchange_table_number(t, (pn_exchange_cell){2, 5},
                                              &grams, &number, &err),
                     PN_EPARSE);
    assert_string_equal(err.message,
                        "v.csv:7: column \"fresh_g\" (field 6): value '1e9': "
                        "expected a number of g, 0 to 1e+06");
    assert_int_equal(pn_exchange_table_count(t, (pn_exchange_cell){2, 4}, 1000,
                                             &given, &count, &err),
                     PN_EPARSE);
    assert_non_null(strstr(err.message, "'-1': expected a whole number, 0 to "
                                        "1000"));
    assert_int_equal(
        pn_exchange_table_date(t, (pn_exchange_cell){2, 0}, &given, &day, &err),
        PN_EPARSE);
    assert_non_null(strstr(err.message, "v.csv:7: column \"date\" (field 1): "
                                        "value '2026-09-31'"));
    assert_int_equal(pn_exchange_table_choice(t, (pn_exchange_cell){2, 6},
                                              stages, 2, &choice, &err),
                     PN_EPARSE);
    assert_non_null(strstr(err.message, "expected one of: button, open"));
    assert_int_equal(
        pn_exchange_table_need_text(t, (pn_exchange_cell){2, 1}, &text, &err),
        PN_EPARSE);
    assert_non_null(strstr(err.message, "must not be empty"));
    assert_int_equal(
        pn_exchange_table_need_column(t, "grid_ref", &column, &err), PN_EPARSE);
    assert_non_null(strstr(err.message, "v.csv: no column \"grid_ref\": add it "
                                        "to the header, which has: date, "
                                        "Patch, minutes"));
    assert_int_equal(pn_exchange_table_need_column(t, "kind", &column, NULL),
                     PN_OK);
    assert_int_equal(column, 3);
    assert_near("untouched", number, 7.0, 0.0);
    assert_true(count == 7 && day == 7 && choice == 7);
    pn_exchange_table_free(t);
}

static void refuses_what_is_no_table(void **state) {
    (void)state;
    static const refusal rows[] = {
        {"empty", "", {"v.csv:1: ", "empty"}},
        {"remarks only", "# a\n", {"v.csv:1: ", "empty"}},
        {"nameless column", "a,,b\n", {"v.csv:1: ", "field 2", "needs a name"}},
        {"same name",
         "fresh_g,b,Fresh g\n",
         {"v.csv:1: ", "twice", "fields 1 and 3"}},
        {"short row", "a,b\n1,2\n3\n", {"v.csv:3: ", "1 fields"}},
        {"cut", "a,b\n1,2\n3", {"v.csv:3: ", "truncated"}},
        {"open quote", "a,b\n1,\"2\n3,4\n", {"v.csv:2: ", "never closed"}},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        pn_exchange_table *t = NULL;
        pn_error err;
        assert_int_equal(read_table(&pn_alloc_libc, rows[i].text, &t, &err),
                         PN_EPARSE);
        assert_null(t);
        check_pieces(rows[i].name, &err, rows[i].pieces);
    }
}

static void a_header_alone_is_an_empty_table(void **state) {
    (void)state;
    pn_exchange_table *t = NULL;
    assert_int_equal(read_table(&pn_alloc_libc, "a,b", &t, NULL), PN_OK);
    assert_int_equal(pn_exchange_table_row_count(t), 0);
    pn_exchange_table_free(t);
}

static void survives_every_failed_allocation(void **state) {
    (void)state;
    pn_status status = PN_ENOMEM;
    int permitted = 0;
    for (; status != PN_OK && permitted < 100; permitted++) {
        failing limit = {permitted};
        pn_alloc alloc = failing_alloc(&limit);
        pn_exchange_table *t = NULL;
        status = read_table(&alloc, visits, &t, NULL);
        assert_true(status == PN_OK || status == PN_ENOMEM);
        pn_exchange_table_free(t);
    }
    assert_int_equal(status, PN_OK);
    assert_true(permitted > 6);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(holds_rows_and_lines),
        cmocka_unit_test(gives_typed_values),
        cmocka_unit_test(failures_name_their_place),
        cmocka_unit_test(refuses_what_is_no_table),
        cmocka_unit_test(a_header_alone_is_an_empty_table),
        cmocka_unit_test(survives_every_failed_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
