// SPDX-License-Identifier: MIT
/* A small CSV table held whole: all text in one block, a span per field. */
#include <string.h>

#include "exchange_internal.h"

enum { TEXT_MAX = 1 << 30, ROW_MAX = 10000000 };

typedef struct span {
    uint32_t at;
    uint32_t len;
} span;

struct pn_exchange_table {
    pn_alloc alloc;
    char *name; /* of the source */
    char *text;
    size_t text_len;
    size_t text_capacity;
    span *fields; /* column_count for the header, then for each row */
    size_t field_count;
    size_t field_capacity;
    uint32_t *lines; /* of the header, then of each row */
    size_t line_count;
    size_t line_capacity;
    size_t column_count;
};

/* Room for count items more in a growing block. */
static bool reserve(const pn_alloc *alloc, void **block, size_t *capacity,
                    size_t need, size_t item_size) {
    if (need <= *capacity) {
        return true;
    }
    size_t grown = *capacity < 256 ? 256 : *capacity * 2;
    grown = grown < need ? need : grown;
    void *bigger = pn_alloc_array(alloc, *block, grown, item_size);
    if (bigger == NULL) {
        return false;
    }
    *block = bigger;
    *capacity = grown;
    return true;
}

static bool reserve_record(pn_exchange_table *t, size_t bytes, size_t fields) {
    void *text = t->text;
    void *spans = t->fields;
    void *lines = t->lines;
    bool good = reserve(&t->alloc, &text, &t->text_capacity,
                        t->text_len + bytes + 1, 1);
    t->text = text;
    good = good && reserve(&t->alloc, &spans, &t->field_capacity,
                           t->field_count + fields, sizeof *t->fields);
    t->fields = spans;
    good = good && reserve(&t->alloc, &lines, &t->line_capacity,
                           t->line_count + 1, sizeof *t->lines);
    t->lines = lines;
    return good;
}

static pn_status add_record(pn_exchange_table *t, const px_fields *fields,
                            size_t line, pn_error *err) {
    size_t bytes = 0;
    for (size_t i = 0; i < fields->count; i++) {
        bytes += fields->at[i].len;
    }
    bool fits = t->text_len + bytes <= TEXT_MAX && t->line_count <= ROW_MAX;
    if (!fits || !reserve_record(t, bytes, fields->count)) {
        return pn_fail(err, PN_ENOMEM, "table %s, line %zu", t->name, line);
    }
    for (size_t i = 0; i < fields->count; i++) {
        pn_text text = pn_text_trim(fields->at[i]);
        t->fields[t->field_count++] =
            (span){(uint32_t)t->text_len, (uint32_t)text.len};
        if (text.len > 0) {
            memcpy(t->text + t->text_len, text.at, text.len);
        }
        t->text_len += text.len;
    }
    t->lines[t->line_count++] = (uint32_t)line;
    return PN_OK;
}

static pn_text field_text(const pn_exchange_table *t, size_t record,
                          size_t column) {
    span s = t->fields[record * t->column_count + column];
    return (pn_text){t->text + s.at, s.len};
}

static char plain(char c) {
    if (c == ' ' || c == '-') {
        return '_';
    }
    if (c >= 'A' && c <= 'Z') {
        return (char)(c - 'A' + 'a');
    }
    return c;
}

static bool same_name(pn_text a, pn_text b) {
    if (a.len != b.len) {
        return false;
    }
    for (size_t i = 0; i < a.len; i++) {
        if (plain(a.at[i]) != plain(b.at[i])) {
            return false;
        }
    }
    return true;
}

static pn_status check_header(const pn_exchange_table *t, const px_lines *lines,
                              pn_error *err) {
    char shown[PX_VALUE_SIZE];
    for (size_t i = 0; i < t->column_count; i++) {
        pn_text name = field_text(t, 0, i);
        if (name.len == 0) {
            return px_fail_line(lines, t->lines[0], err,
                                "field %zu of the header is empty: every "
                                "column needs a name",
                                i + 1);
        }
        for (size_t j = 0; j < i; j++) {
            if (same_name(name, field_text(t, 0, j))) {
                return px_fail_line(lines, t->lines[0], err,
                                    "column \"%s\" stands twice in the header "
                                    "(fields %zu and %zu): rename or delete "
                                    "one",
                                    px_shown(name, shown), j + 1, i + 1);
            }
        }
    }
    return PN_OK;
}

static pn_status read_records(pn_exchange_table *t, px_lines *lines,
                              px_fields *fields, pn_error *err) {
    for (;;) {
        px_record record;
        pn_status status = px_next(lines, &record, err);
        if (status != PN_OK || record.at == NULL) {
            return status;
        }
        if (t->line_count == 0 && record.at[0] == '#') {
            continue;
        }
        status = px_split(lines, &record, fields, err);
        if (status == PN_OK && t->line_count > 0) {
            status =
                px_check_count(lines, &record, fields, t->column_count, err);
        }
        if (status == PN_OK) {
            status = add_record(t, fields, record.line, err);
        }
        if (status == PN_OK && t->line_count == 1) {
            t->column_count = fields->count;
            status = check_header(t, lines, err);
        }
        if (status != PN_OK) {
            return status;
        }
    }
}

static pn_exchange_table *new_table(const pn_alloc *alloc, const char *name) {
    size_t len = strlen(name);
    pn_exchange_table *t = pn_alloc_zeroed(alloc, 1, sizeof *t);
    if (t == NULL) {
        return NULL;
    }
    t->alloc = *alloc;
    t->name = pn_alloc_array(alloc, NULL, len + 1, 1);
    if (t->name == NULL) {
        pn_exchange_table_free(t);
        return NULL;
    }
    memcpy(t->name, name, len + 1);
    return t;
}

pn_status pn_exchange_table_read(const pn_alloc *alloc,
                                 pn_exchange_source *source,
                                 pn_exchange_table **out, pn_error *err) {
    px_lines lines = {0};
    px_fields *fields = NULL;
    pn_exchange_table *table = new_table(alloc, source->name);
    pn_status status = PN_OK;
    if (table == NULL) {
        return pn_fail(err, PN_ENOMEM, "table %s", source->name);
    }
    status = px_lines_init(alloc, source, &lines, err);
    if (status != PN_OK) {
        goto done;
    }
    fields = pn_alloc_array(alloc, NULL, 1, sizeof *fields);
    if (fields == NULL) {
        status = pn_fail(err, PN_ENOMEM, "table %s", source->name);
        goto done;
    }
    status = read_records(table, &lines, fields, err);
    if (status == PN_OK && table->line_count == 0) {
        status = px_fail_line(&lines, 1, err,
                              "the file is empty: a line with the names of "
                              "the columns was expected");
    }
    if (status != PN_OK) {
        goto done;
    }
    *out = table;
    table = NULL;
done:
    pn_alloc_free(alloc, fields);
    px_lines_deinit(&lines);
    pn_exchange_table_free(table);
    return status;
}

void pn_exchange_table_free(pn_exchange_table *table) {
    if (table == NULL) {
        return;
    }
    pn_alloc alloc = table->alloc;
    pn_alloc_free(&alloc, table->name);
    pn_alloc_free(&alloc, table->text);
    pn_alloc_free(&alloc, table->fields);
    pn_alloc_free(&alloc, table->lines);
    pn_alloc_free(&alloc, table);
}

const char *px_table_name(const pn_exchange_table *table) {
    return table->name;
}

size_t pn_exchange_table_row_count(const pn_exchange_table *table) {
    return table->line_count - 1;
}

size_t pn_exchange_table_column_count(const pn_exchange_table *table) {
    return table->column_count;
}

pn_text pn_exchange_table_column_name(const pn_exchange_table *table,
                                      size_t column) {
    return column < table->column_count ? field_text(table, 0, column)
                                        : (pn_text){"", 0};
}

size_t pn_exchange_table_column(const pn_exchange_table *table,
                                const char *name) {
    for (size_t i = 0; i < table->column_count; i++) {
        if (same_name(field_text(table, 0, i), pn_text_of(name))) {
            return i;
        }
    }
    return PN_EXCHANGE_NO_COLUMN;
}

size_t pn_exchange_table_line(const pn_exchange_table *table, size_t row) {
    return row < table->line_count - 1 ? table->lines[row + 1] : 0;
}

/* The writer's guard: an apostrophe before a text that a spreadsheet would
 * run. */
static pn_text unguarded(pn_text text) {
    if (text.len == 0 || text.at[0] != '\'') {
        return text;
    }
    pn_text rest = {text.at + 1, text.len - 1};
    return px_runs_as_formula(rest) ? rest : text;
}

pn_text pn_exchange_table_text(const pn_exchange_table *table,
                               pn_exchange_cell cell) {
    if (cell.row >= table->line_count - 1 ||
        cell.column >= table->column_count) {
        return (pn_text){"", 0};
    }
    return unguarded(field_text(table, cell.row + 1, cell.column));
}
