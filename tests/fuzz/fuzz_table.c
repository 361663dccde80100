/* A table: any bytes either fail cleanly or give rows of as many fields as the
 * header, which come back the same when they are written and read again. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "pannage/exchange.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

typedef struct page {
    char *text;
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

static pn_exchange_table *read_table(const char *text, size_t size) {
    pn_exchange_memory memory = {text, size, 0};
    pn_exchange_source source = pn_exchange_memory_source(&memory, "fuzz");
    pn_exchange_table *table = NULL;
    pn_error err = {PN_OK, ""};
    pn_status status =
        pn_exchange_table_read(&pn_alloc_libc, &source, &table, &err);
    if ((status == PN_OK) != (table != NULL) || strchr(err.message, '\n')) {
        abort();
    }
    return table;
}

static void write_table(const pn_exchange_table *t, page *p) {
    pn_exchange_csv csv = {.sink = {write_page, p}};
    size_t columns = pn_exchange_table_column_count(t);
    for (size_t c = 0; c < columns; c++) {
        pn_exchange_csv_text(&csv, pn_exchange_table_column_name(t, c));
    }
    pn_exchange_csv_end_record(&csv);
    for (size_t r = 0; r < pn_exchange_table_row_count(t); r++) {
        for (size_t c = 0; c < columns; c++) {
            pn_exchange_csv_text(
                &csv, pn_exchange_table_text(t, (pn_exchange_cell){r, c}));
        }
        pn_exchange_csv_end_record(&csv);
    }
    if (pn_exchange_csv_finish(&csv, NULL) != PN_OK) {
        abort();
    }
}

static void use_getters(const pn_exchange_table *t, pn_exchange_cell cell) {
    static const pn_exchange_range range = {-10.0, 10.0, "x"};
    static const char *const words[] = {"cep", "blank"};
    double number = 0.0;
    int64_t count = 0;
    int32_t day = 0;
    size_t choice = 0;
    bool given = false;
    pn_error err;
    pn_status statuses[] = {
        pn_exchange_table_number(t, cell, &range, &number, &err),
        pn_exchange_table_count(t, cell, 99, &given, &count, &err),
        pn_exchange_table_date(t, cell, &given, &day, &err),
        pn_exchange_table_choice(t, cell, words, 2, &choice, &err)};
    for (size_t i = 0; i < sizeof statuses / sizeof statuses[0]; i++) {
        if (statuses[i] != PN_OK && statuses[i] != PN_EPARSE) {
            abort();
        }
    }
    if (number < -10.0 || number > 10.0 || count < 0 || count > 99) {
        abort();
    }
}

static void compare(const pn_exchange_table *a, const pn_exchange_table *b) {
    size_t rows = pn_exchange_table_row_count(a);
    size_t columns = pn_exchange_table_column_count(a);
    if (rows != pn_exchange_table_row_count(b) ||
        columns != pn_exchange_table_column_count(b)) {
        abort();
    }
    for (size_t i = 0; i < rows * columns; i++) {
        pn_exchange_cell cell = {i / columns, i % columns};
        pn_text sent = pn_exchange_table_text(a, cell);
        pn_text back = pn_exchange_table_text(b, cell);
        if (!pn_text_equal(pn_text_trim(sent), pn_text_trim(back))) {
            abort();
        }
        use_getters(a, cell);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    char *text = malloc(size + 1);
    pn_exchange_table *table = NULL;
    if (text == NULL) {
        return 0;
    }
    if (size > 0) {
        memcpy(text, data, size);
    }
    table = read_table(text, size);
    bool guarded_header = table == NULL;
    for (size_t c = 0;
         table != NULL && c < pn_exchange_table_column_count(table);
         c++) { /* names are compared as they stand, guard and all */
        const char *first = pn_exchange_table_column_name(table, c).at;
        guarded_header = guarded_header || strchr("'=+-@\r \t", *first);
    }
    if (!guarded_header) {
        page p = {.room = 4 * size + 64};
        p.text = malloc(p.room);
        if (p.text == NULL) {
            abort();
        }
        write_table(table, &p);
        pn_exchange_table *back = read_table(p.text, p.len);
        if (back == NULL) {
            abort();
        }
        compare(table, back);
        pn_exchange_table_free(back);
        free(p.text);
    }
    pn_exchange_table_free(table);
    free(text);
    return 0;
}
