/* Writing CSV, and reading it back. */
#include "unit/exchange/exchange_support.h"

typedef struct page {
    char text[65536];
    size_t len;
    size_t room;
} page;

static bool write_page(void *ctx, const char *data, size_t size) {
    page *p = ctx;
    if (size > p->room - p->len) {
        return false;
    }
    memcpy(p->text + p->len, data, size);
    p->len += size;
    return true;
}

static void writes_what_rfc_4180_asks_for(void **state) {
    (void)state;
    page p = {.len = 0, .room = sizeof p.text};
    pn_exchange_csv csv = {.sink = {write_page, &p}};
    pn_exchange_csv_text(&csv, pn_text_of("name"));
    pn_exchange_csv_text(&csv, pn_text_of("a, b"));
    pn_exchange_csv_text(&csv, pn_text_of("say \"x\""));
    pn_exchange_csv_text(&csv, pn_text_of("two\nlines"));
    pn_exchange_csv_text(&csv, (pn_text){NULL, 0});
    pn_exchange_csv_end_record(&csv);
    pn_exchange_csv_number(&csv, NAN);
    pn_exchange_csv_number(&csv, -0.1);
    pn_exchange_csv_number(&csv, 1.0 / 3.0);
    pn_exchange_csv_int(&csv, -5);
    pn_exchange_csv_date(&csv, 0);
    pn_exchange_csv_end_record(&csv);
    pn_exchange_csv_number(&csv, 1.5);
    pn_exchange_csv_number(&csv, NAN);
    pn_exchange_csv_text(&csv, pn_text_of("=1+1"));
    pn_exchange_csv_text(&csv, pn_text_of("'@x"));
    pn_exchange_csv_text(&csv, pn_text_of("it's"));
    pn_exchange_csv_end_record(&csv);
    assert_int_equal(pn_exchange_csv_finish(&csv, NULL), PN_OK);
    p.text[p.len] = '\0';
    assert_string_equal(
        p.text, "name,\"a, b\",\"say \"\"x\"\"\",\"two\nlines\",\"\"\r\n"
                "\"\",-0.1,0.3333333333333333,-5,1970-01-01\r\n"
                "1.5,,'=1+1,''@x,it's\r\n");
}

/* A mark or a remark at the start of a file is passed over by the reader. */
static void a_first_name_is_never_lost(void **state) {
    (void)state;
    static const char *const names[] = {"\xEF\xBB\xBF", "\xEF\xBB\xBFname",
                                        "# of caps", "#"};
    for (size_t i = 0; i < COUNT_OF(names); i++) {
        page p = {.len = 0, .room = sizeof p.text};
        pn_exchange_csv csv = {.sink = {write_page, &p}};
        pn_exchange_csv_text(&csv, pn_text_of(names[i]));
        pn_exchange_csv_end_record(&csv);
        assert_int_equal(pn_exchange_csv_finish(&csv, NULL), PN_OK);
        pn_exchange_memory memory = {p.text, p.len, 0};
        pn_exchange_source source = pn_exchange_memory_source(&memory, "back");
        pn_exchange_table *t = NULL;
        assert_int_equal(
            pn_exchange_table_read(&pn_alloc_libc, &source, &t, NULL), PN_OK);
        assert_true(pn_text_equal(pn_exchange_table_column_name(t, 0),
                                  pn_text_of(names[i])));
        pn_exchange_table_free(t);
    }
}

static void a_full_disk_is_told(void **state) {
    (void)state;
    for (size_t room = 0; room < 8; room++) {
        page p = {.len = 0, .room = room};
        pn_error err;
        pn_exchange_csv csv = {.sink = {write_page, &p}};
        pn_exchange_csv_text(&csv, pn_text_of("ab"));
        pn_exchange_csv_text(&csv, pn_text_of("cd"));
        pn_exchange_csv_end_record(&csv);
        assert_int_equal(pn_exchange_csv_finish(&csv, &err),
                         room < 7 ? PN_EIO : PN_OK);
    }
}

/* Texts of the characters that need care come back as they went, and no
 * field begins with what a spreadsheet would run. */
static void any_text_comes_back(void **state) {
    (void)state;
    static const char letters[] = "ab,\"\n\r\t'=+-@ ";
    enum { ROWS = 400, COLUMNS = 3, LEN = 6 };
    static char sent[ROWS][COLUMNS][LEN + 1];
    static page p;
    pn_random random = pn_random_seeded(20260914);
    pn_exchange_csv csv = {.sink = {write_page, &p}};
    p = (page){.len = 0, .room = sizeof p.text};
    for (size_t c = 0; c < COLUMNS; c++) {
        const char name[2] = {(char)('a' + c), '\0'};
        pn_exchange_csv_text(&csv, pn_text_of(name));
    }
    pn_exchange_csv_end_record(&csv);
    for (size_t r = 0; r < ROWS; r++) {
        for (size_t c = 0; c < COLUMNS; c++) {
            size_t len = (size_t)(pn_random_u64(&random) % (LEN + 1));
            for (size_t i = 0; i < len; i++) {
                sent[r][c][i] =
                    letters[pn_random_u64(&random) % (sizeof letters - 1)];
            }
            pn_exchange_csv_text(&csv, pn_text_of(sent[r][c]));
        }
        pn_exchange_csv_end_record(&csv);
    }
    assert_int_equal(pn_exchange_csv_finish(&csv, NULL), PN_OK);
    pn_exchange_memory memory = {p.text, p.len, 0};
    pn_exchange_source source = pn_exchange_memory_source(&memory, "back");
    pn_exchange_table *t = NULL;
    pn_error err;
    if (pn_exchange_table_read(&pn_alloc_libc, &source, &t, &err) != PN_OK) {
        print_error("%s\n", err.message);
        fail();
    }
    assert_int_equal(pn_exchange_table_row_count(t), ROWS);
    for (size_t r = 0; r < ROWS; r++) {
        for (size_t c = 0; c < COLUMNS; c++) {
            pn_text got_text =
                pn_exchange_table_text(t, (pn_exchange_cell){r, c});
            /* tables trim; nothing else may be lost */
            assert_true(pn_text_equal(pn_text_trim(got_text),
                                      pn_text_trim(pn_text_of(sent[r][c]))));
        }
    }
    pn_exchange_table_free(t);
}

static void any_number_comes_back(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(7);
    for (size_t i = 0; i < 20000; i++) {
        page p = {.len = 0, .room = sizeof p.text};
        pn_exchange_csv csv = {.sink = {write_page, &p}};
        double sent =
            pn_random_normal(&random) * exp(40.0 * pn_random_normal(&random));
        double back = NAN;
        pn_exchange_csv_number(&csv, sent);
        assert_true(pn_text_to_double((pn_text){p.text, p.len}, &back));
        assert_near("number", back, sent, 0.0);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(writes_what_rfc_4180_asks_for),
        cmocka_unit_test(a_first_name_is_never_lost),
        cmocka_unit_test(a_full_disk_is_told),
        cmocka_unit_test(any_text_comes_back),
        cmocka_unit_test(any_number_comes_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
