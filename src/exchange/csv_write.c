// SPDX-License-Identifier: MIT
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "exchange_internal.h"

static bool is_blank(char c) {
    return c == ' ' || c == '\t';
}

static bool starts_formula(char c) {
    return c == '=' || c == '+' || c == '-' || c == '@' || c == '\r';
}

bool px_runs_as_formula(pn_text text) {
    bool tab = false;
    size_t at = 0;
    size_t end = text.len; /* blanks at the end start nothing */
    while (end > 0 && is_blank(text.at[end - 1])) {
        end--;
    }
    while (at < end && (is_blank(text.at[at]) || text.at[at] == '\'')) {
        tab = tab || text.at[at] == '\t';
        at++;
    }
    return at < end && (tab || starts_formula(text.at[at]));
}

static void put(pn_exchange_csv *csv, const char *data, size_t size) {
    if (!csv->failed && size > 0) {
        csv->failed = !csv->sink.write(csv->sink.ctx, data, size);
    }
}

static void begin_field(pn_exchange_csv *csv) {
    if (csv->in_record) {
        put(csv, ",", 1);
    }
    csv->in_record = true;
}

/* Also a text with spaces or tabs at an end, which readers may trim; the empty
 * text, which alone on a line would be no record; and one that begins like a
 * byte order mark or a remark, which at the start of a file would be lost. */
static bool needs_quotes(pn_text text) {
    for (size_t i = 0; i < text.len; i++) {
        char c = text.at[i];
        if (c == ',' || c == '"' || c == '\n' || c == '\r') {
            return true;
        }
    }
    bool mark = text.len >= 3 && memcmp(text.at, "\xEF\xBB\xBF", 3) == 0;
    return text.len == 0 || mark || text.at[0] == '#' ||
           pn_text_trim(text).len != text.len;
}

void pn_exchange_csv_text(pn_exchange_csv *csv, pn_text text) {
    bool quotes = needs_quotes(text);
    text.at = text.len > 0 ? text.at : "";
    begin_field(csv);
    put(csv, "\"", quotes ? 1 : 0);
    put(csv, "'", px_runs_as_formula(text) ? 1 : 0);
    size_t from = 0;
    for (size_t i = 0; i < text.len; i++) {
        if (text.at[i] == '"') {
            put(csv, text.at + from, i + 1 - from);
            from = i; /* so that it is written twice */
        }
    }
    put(csv, text.at + from, text.len - from);
    put(csv, "\"", quotes ? 1 : 0);
}

void pn_exchange_csv_number(pn_exchange_csv *csv, double value) {
    char buf[40];
    bool first = !csv->in_record;
    begin_field(csv);
    if (isnan(value)) { /* a line with nothing on it would be no record */
        put(csv, "\"\"", first ? 2 : 0);
        return;
    }
    for (int digits = 15; digits <= 17; digits++) {
        double back = 0.0;
        int len = snprintf(buf, sizeof buf, "%.*g", digits, value);
        bool same = len > 0 &&
                    pn_text_to_double((pn_text){buf, (size_t)len}, &back) &&
                    !(back < value) && !(back > value);
        if (same) {
            break;
        }
    }
    put(csv, buf, strlen(buf));
}

void pn_exchange_csv_int(pn_exchange_csv *csv, int64_t value) {
    char buf[24];
    int len = snprintf(buf, sizeof buf, "%lld", (long long)value);
    begin_field(csv);
    put(csv, buf, len > 0 ? (size_t)len : 0);
}

void pn_exchange_csv_date(pn_exchange_csv *csv, int32_t epoch_day) {
    char buf[PN_DATE_ISO_SIZE];
    begin_field(csv);
    pn_date_iso(epoch_day, buf);
    put(csv, buf, strlen(buf));
}

void pn_exchange_csv_end_record(pn_exchange_csv *csv) {
    put(csv, "\r\n", 2);
    csv->in_record = false;
}

pn_status pn_exchange_csv_finish(const pn_exchange_csv *csv, pn_error *err) {
    return csv->failed ? pn_fail(err, PN_EIO,
                                 "the table could not be written to its end: "
                                 "is the disk full?")
                       : PN_OK;
}
