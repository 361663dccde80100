/* Tables whose columns line up. */
#include "paper_internal.h"

#include <string.h>

enum { GAP = 2, LAST_LEAST = 12 };

typedef struct table {
    const pn_paper_table_opts *opts;
    pn_buffer *out;
    size_t widths[PN_PAPER_COLUMNS_MAX];
    bool limited; /* the last column has to give way */
} table;

static pn_text cell(const table *t, size_t row, size_t column) {
    const char *text = t->opts->cells[row * t->opts->column_count + column];
    return pn_text_of(text == NULL ? "" : text);
}

static pn_text header(const table *t, size_t column) {
    return pn_text_of(t->opts->columns[column].header);
}

static size_t widest(const table *t, size_t column) {
    size_t width = t->opts->no_header ? 0 : paper_columns(header(t, column));
    for (size_t row = 0; row < t->opts->row_count; row++) {
        size_t needs = paper_columns(cell(t, row, column));
        width = needs > width ? needs : width;
    }
    return width;
}

static void measure(table *t) {
    size_t last = t->opts->column_count - 1;
    size_t before = t->opts->indent + GAP * last;
    for (size_t column = 0; column <= last; column++) {
        t->widths[column] = widest(t, column);
        before += column < last ? t->widths[column] : 0;
    }
    if (t->opts->width == 0 || before + t->widths[last] <= t->opts->width) {
        return;
    }
    size_t room = t->opts->width > before ? t->opts->width - before : 0;
    room = room < LAST_LEAST ? LAST_LEAST : room;
    if (room < t->widths[last]) {
        t->widths[last] = room;
        t->limited = true;
    }
}

static void add_cell(table *t, pn_text text, size_t column) {
    size_t width = t->widths[column];
    size_t used = paper_columns(text);
    size_t pad = width > used ? width - used : 0;
    bool right = t->opts->columns[column].align == PN_PAPER_RIGHT;
    paper_add_times(t->out, " ", right ? pad : 0);
    paper_add_clean(t->out, text);
    paper_add_times(t->out, " ", right ? 0 : pad);
}

static void add_cut(table *t, pn_text text, size_t column) {
    const char *dots = t->opts->ascii ? "..." : "\u2026";
    size_t room = t->widths[column] - pn_text_columns(pn_text_of(dots));
    size_t start = t->out->len;
    paper_add_clean(t->out, paper_head(text, room));
    paper_trim_line(t->out, start);
    pn_buffer_add(t->out, pn_text_of(dots));
}

/* The rest of a wrapped last cell, under its own column. */
static void add_wrapped(table *t, pn_text rest) {
    size_t last = t->opts->column_count - 1;
    size_t before = t->opts->indent + GAP * last;
    for (size_t column = 0; column < last; column++) {
        before += t->widths[column];
    }
    while (rest.len > 0) {
        size_t start = t->out->len;
        pn_text line = paper_take_line(&rest, t->widths[last]);
        paper_add_times(t->out, " ", before);
        add_cell(t, line, last);
        paper_trim_line(t->out, start);
        pn_buffer_add(t->out, pn_text_of("\n"));
    }
}

static void add_last(table *t, pn_text text, pn_text *rest) {
    size_t last = t->opts->column_count - 1;
    bool fits = paper_columns(text) <= t->widths[last];
    if (fits) {
        add_cell(t, text, last);
    } else if (t->opts->wrap) {
        *rest = text;
        add_cell(t, paper_take_line(rest, t->widths[last]), last);
    } else {
        add_cut(t, text, last);
    }
}

typedef pn_text text_of_fn(const table *t, size_t row, size_t column);

static void add_row(table *t, text_of_fn *text_of, size_t row) {
    size_t start = t->out->len;
    size_t last = t->opts->column_count - 1;
    pn_text rest = {NULL, 0};
    paper_add_times(t->out, " ", t->opts->indent);
    for (size_t column = 0; column < last; column++) {
        add_cell(t, text_of(t, row, column), column);
        paper_add_times(t->out, " ", GAP);
    }
    add_last(t, text_of(t, row, last), &rest);
    paper_trim_line(t->out, start);
    pn_buffer_add(t->out, pn_text_of("\n"));
    add_wrapped(t, rest);
}

static pn_text header_of_row(const table *t, size_t row, size_t column) {
    (void)row;
    return header(t, column);
}

static void add_header(table *t) {
    pn_buffer_add(t->out, pn_text_of(t->opts->bold_header ? "\033[1m" : ""));
    add_row(t, header_of_row, 0);
    pn_buffer_add(t->out, pn_text_of(t->opts->bold_header ? "\033[22m" : ""));
    paper_add_times(t->out, " ", t->opts->indent);
    for (size_t column = 0; column < t->opts->column_count; column++) {
        paper_add_times(t->out, " ", column > 0 ? GAP : 0);
        paper_add_times(t->out, t->opts->ascii ? "-" : "\u2500",
                        t->widths[column]);
    }
    pn_buffer_add(t->out, pn_text_of("\n"));
}

pn_status pn_paper_table(const pn_paper_table_opts *opts, pn_buffer *buffer,
                         pn_error *err) {
    if (opts->column_count < 1 || opts->column_count > PN_PAPER_COLUMNS_MAX) {
        return pn_fail(err, PN_EDOMAIN,
                       "a table of %zu columns: expected 1..%d",
                       opts->column_count, PN_PAPER_COLUMNS_MAX);
    }
    size_t start = buffer->len;
    table t = {.opts = opts, .out = buffer};
    measure(&t);
    if (!opts->no_header) {
        add_header(&t);
    }
    for (size_t row = 0; row < opts->row_count; row++) {
        add_row(&t, cell, row);
    }
    pn_status status = pn_buffer_status(buffer, err);
    if (status != PN_OK) {
        paper_drop_since(buffer, start);
    }
    return status;
}
