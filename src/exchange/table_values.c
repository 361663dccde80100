// SPDX-License-Identifier: MIT
/* Typed values of a table's fields; each failure names its place. */
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "exchange_internal.h"

bool pn_exchange_table_is_missing(const pn_exchange_table *table,
                                  pn_exchange_cell cell) {
    return px_is_missing(pn_exchange_table_text(table, cell));
}

pn_status pn_exchange_table_fail(const pn_exchange_table *table,
                                 pn_exchange_cell cell, pn_error *err,
                                 const char *fmt, ...) {
    char rest[256];
    va_list args;
    va_start(args, fmt);
    vsnprintf(rest, sizeof rest, fmt, args);
    va_end(args);
    px_place place = {.file = px_table_name(table),
                      .line = pn_exchange_table_line(table, cell.row),
                      .column =
                          pn_exchange_table_column_name(table, cell.column),
                      .field = cell.column,
                      .value = pn_exchange_table_text(table, cell)};
    return px_fail_at(&place, err, "%s", rest);
}

pn_status pn_exchange_table_need_column(const pn_exchange_table *table,
                                        const char *name, size_t *column,
                                        pn_error *err) {
    size_t found = pn_exchange_table_column(table, name);
    if (found != PN_EXCHANGE_NO_COLUMN) {
        *column = found;
        return PN_OK;
    }
    char buf[200];
    char shown[PX_VALUE_SIZE];
    char file[PX_NAME_SIZE];
    pn_str columns = pn_str_in(buf, sizeof buf);
    for (size_t i = 0; i < pn_exchange_table_column_count(table); i++) {
        pn_text text = pn_exchange_table_column_name(table, i);
        pn_str_addf(&columns, "%s%s", i == 0 ? "" : ", ",
                    px_shown(text, shown));
    }
    return pn_fail(err, PN_EPARSE,
                   "%s: no column \"%s\": add it to the header, which has: %s",
                   px_shown_name(px_table_name(table), file), name, buf);
}

pn_status pn_exchange_table_number(const pn_exchange_table *table,
                                   pn_exchange_cell cell,
                                   const pn_exchange_range *range, double *out,
                                   pn_error *err) {
    double value = 0.0;
    if (pn_exchange_table_is_missing(table, cell)) {
        *out = NAN;
        return PN_OK;
    }
    bool good =
        pn_text_to_double(pn_exchange_table_text(table, cell), &value) &&
        value >= range->low && value <= range->high;
    if (!good) {
        return pn_exchange_table_fail(table, cell, err,
                                      "expected a number of %s, %g to %g",
                                      range->what, range->low, range->high);
    }
    *out = value;
    return PN_OK;
}

pn_status pn_exchange_table_count(const pn_exchange_table *table,
                                  pn_exchange_cell cell, int64_t high,
                                  bool *given, int64_t *out, pn_error *err) {
    int64_t value = 0;
    if (pn_exchange_table_is_missing(table, cell)) {
        *given = false;
        return PN_OK;
    }
    bool good = pn_text_to_int(pn_exchange_table_text(table, cell), &value) &&
                value >= 0 && value <= high;
    if (!good) {
        return pn_exchange_table_fail(table, cell, err,
                                      "expected a whole number, 0 to %lld",
                                      (long long)high);
    }
    *given = true;
    *out = value;
    return PN_OK;
}

pn_status pn_exchange_table_date(const pn_exchange_table *table,
                                 pn_exchange_cell cell, bool *given,
                                 int32_t *epoch_day, pn_error *err) {
    if (pn_exchange_table_is_missing(table, cell)) {
        *given = false;
        return PN_OK;
    }
    if (!pn_date_parse_iso(pn_exchange_table_text(table, cell), epoch_day)) {
        return pn_exchange_table_fail(
            table, cell, err, "expected a date that exists as YYYY-MM-DD");
    }
    *given = true;
    return PN_OK;
}

pn_status pn_exchange_table_choice(const pn_exchange_table *table,
                                   pn_exchange_cell cell,
                                   const char *const *words, size_t count,
                                   size_t *out, pn_error *err) {
    pn_text text = pn_exchange_table_text(table, cell);
    if (px_is_missing(text)) {
        *out = count;
        return PN_OK;
    }
    char buf[200];
    pn_str list = pn_str_in(buf, sizeof buf);
    for (size_t i = 0; i < count; i++) {
        if (pn_text_equal_nocase(text, pn_text_of(words[i]))) {
            *out = i;
            return PN_OK;
        }
        pn_str_addf(&list, "%s%s", i == 0 ? "" : ", ", words[i]);
    }
    return pn_exchange_table_fail(table, cell, err, "expected one of: %s", buf);
}

pn_status pn_exchange_table_need_text(const pn_exchange_table *table,
                                      pn_exchange_cell cell, pn_text *out,
                                      pn_error *err) {
    pn_text text = pn_exchange_table_text(table, cell);
    if (px_is_missing(text)) {
        return pn_exchange_table_fail(table, cell, err,
                                      "this field must not be empty");
    }
    *out = text;
    return PN_OK;
}
