#include "paper_support.h"

#include "support/failing.h"

static const pn_paper_column columns[] = {
    {"kind", PN_PAPER_LEFT}, {"kg", PN_PAPER_RIGHT}, {"why", PN_PAPER_LEFT}};
static const char *const cells[] = {
    "penny bun", "1.4", "31 mm fell; 12 \u00b0C", "c\u00e8pe", "0.05", NULL,
};

static pn_paper_table_opts table(void) {
    return (pn_paper_table_opts){.columns = columns,
                                 .column_count = 3,
                                 .cells = cells,
                                 .row_count = 2,
                                 .ascii = true};
}

static void rows_line_up(void **state) {
    (void)state;
    pn_paper_table_opts narrow = table();
    narrow.width = 31;
    pn_paper_table_opts wrapped = narrow;
    wrapped.wrap = true;
    wrapped.indent = 2;
    wrapped.no_header = true;
    pn_paper_table_opts none = table();
    none.row_count = 0;
    const struct {
        const char *name;
        pn_paper_table_opts opts;
        const char *want;
    } cases[] = {
        {"as wide as it needs", table(),
         "kind         kg  why\n"
         "---------  ----  -----------------\n"
         "penny bun   1.4  31 mm fell; 12 \u00b0C\n"
         "c\u00e8pe       0.05\n"},
        {"last column cut", narrow,
         "kind         kg  why\n"
         "---------  ----  --------------\n"
         "penny bun   1.4  31 mm fell;...\n"
         "c\u00e8pe       0.05\n"},
        {"last column wrapped, indented, no header", wrapped,
         "  penny bun   1.4  31 mm fell;\n"
         "                   12 \u00b0C\n"
         "  c\u00e8pe       0.05\n"},
        {"no rows", none, "kind  kg  why\n----  --  ---\n"},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        print_message("%s\n", cases[i].name);
        pn_buffer buffer;
        pn_buffer_init(&buffer, &pn_alloc_libc);
        assert_int_equal(pn_paper_table(&cases[i].opts, &buffer, NULL), PN_OK);
        assert_string_equal(pn_buffer_text(&buffer), cases[i].want);
        pn_buffer_deinit(&buffer);
    }
}

/* Hostile bytes in a cell neither move the columns nor reach a terminal. */
static void no_line_is_wider_than_asked(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(31);
    for (int round = 0; round < 300; round++) {
        char noise[2][40];
        for (size_t i = 0; i < 78; i++) {
            uint64_t draw = pn_random_u64(&random);
            noise[i % 2][i / 2] =
                (char)(draw % 4 == 0 ? ' ' : 1 + (draw >> 8U) % 255);
        }
        noise[0][39] = noise[1][39] = '\0';
        const char *const row[] = {"a", "b", noise[0], "c", "d", noise[1]};
        pn_paper_table_opts opts = table();
        opts.cells = row;
        opts.wrap = round % 2 == 0;
        opts.ascii = round % 3 == 0;
        opts.width = 24 + (size_t)round % 40;
        pn_buffer buffer;
        pn_buffer_init(&buffer, &pn_alloc_libc);
        assert_int_equal(pn_paper_table(&opts, &buffer, NULL), PN_OK);
        assert_null(strpbrk(pn_buffer_text(&buffer), "\033\r\t\x7f"));
        pn_text rest = pn_text_of(pn_buffer_text(&buffer));
        pn_text line = next_line(&rest);
        for (; line.at != NULL; line = next_line(&rest)) {
            assert_true(pn_text_columns(line) <= opts.width);
            assert_true(line.len == 0 || line.at[line.len - 1] != ' ');
        }
        pn_buffer_deinit(&buffer);
    }
}

static void impossible_tables_are_refused(void **state) {
    (void)state;
    pn_buffer buffer;
    pn_buffer_init(&buffer, &pn_alloc_libc);
    pn_buffer_addf(&buffer, "before");
    pn_error err = {0};
    pn_paper_table_opts opts = table();
    opts.column_count = 0;
    assert_int_equal(pn_paper_table(&opts, &buffer, &err), PN_EDOMAIN);
    assert_string_equal(err.message, "a table of 0 columns: expected 1..24");
    opts.column_count = 25;
    assert_int_equal(pn_paper_table(&opts, &buffer, NULL), PN_EDOMAIN);
    assert_string_equal(pn_buffer_text(&buffer), "before");
    pn_buffer_deinit(&buffer);
}

static void survives_every_failed_allocation(void **state) {
    (void)state;
    pn_status status = PN_ENOMEM;
    int permitted = 0;
    for (; status == PN_ENOMEM; permitted++) {
        failing limit = {.calls_left = permitted};
        pn_alloc alloc = failing_alloc(&limit);
        pn_buffer buffer;
        pn_buffer_init(&buffer, &alloc);
        pn_paper_table_opts opts = table();
        opts.indent = 150; /* grows past the first block */
        status = pn_paper_table(&opts, &buffer, NULL);
        assert_int_equal(buffer.len > 0, status == PN_OK);
        pn_buffer_deinit(&buffer);
    }
    assert_int_equal(status, PN_OK);
    assert_true(permitted > 2);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rows_line_up),
        cmocka_unit_test(no_line_is_wider_than_asked),
        cmocka_unit_test(impossible_tables_are_refused),
        cmocka_unit_test(survives_every_failed_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
