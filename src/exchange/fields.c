// SPDX-License-Identifier: MIT
/* Fields of one record, RFC 4180. */
#include <string.h>

#include "exchange_internal.h"

/* A record being taken apart; at <= end. */
typedef struct cutter {
    const px_lines *lines;
    const px_record *record;
    char *at;
    char *end;
} cutter;

static pn_status stray_quote(const cutter *c, size_t field, pn_error *err) {
    return px_fail_line(c->lines, c->record->line, err,
                        "field %zu: a quotation mark in the wrong place: put "
                        "the whole field in quotation marks and double those "
                        "inside it (\"\")",
                        field + 1);
}

/* Up to the next comma; a quotation mark has no business in it. */
static pn_status cut_plain(cutter *c, size_t field, pn_text *out,
                           pn_error *err) {
    size_t left = (size_t)(c->end - c->at);
    char *comma = memchr(c->at, ',', left);
    size_t len = comma != NULL ? (size_t)(comma - c->at) : left;
    if (len > 0 && memchr(c->at, '"', len) != NULL) {
        return stray_quote(c, field, err);
    }
    *out = (pn_text){c->at, len};
    c->at += len;
    return PN_OK;
}

/* From a quotation mark to its partner; doubled ones are halved in place. */
static pn_status cut_quoted(cutter *c, size_t field, pn_text *out,
                            pn_error *err) {
    char *to = ++c->at;
    *out = (pn_text){to, 0};
    while (c->at < c->end) {
        if (*c->at == '"') {
            if (c->at + 1 == c->end || c->at[1] != '"') {
                break;
            }
            c->at++;
        }
        *to++ = *c->at++;
    }
    if (c->at == c->end) {
        return stray_quote(c, field, err);
    }
    out->len = (size_t)(to - out->at);
    c->at++;
    return c->at == c->end || *c->at == ',' ? PN_OK
                                            : stray_quote(c, field, err);
}

pn_status px_split(const px_lines *lines, px_record *record, px_fields *out,
                   pn_error *err) {
    cutter c = {lines, record, record->at, record->at + record->len};
    out->count = 0;
    for (;;) {
        if (out->count == PX_FIELD_MAX) {
            return px_fail_line(lines, record->line, err,
                                "more than %d fields: check that it is the "
                                "right file",
                                PX_FIELD_MAX);
        }
        size_t field = out->count++;
        bool quoted = c.at < c.end && *c.at == '"';
        pn_status status = quoted ? cut_quoted(&c, field, &out->at[field], err)
                                  : cut_plain(&c, field, &out->at[field], err);
        if (status != PN_OK || c.at == c.end) {
            return status;
        }
        c.at++; /* the comma */
    }
}

pn_status px_check_count(const px_lines *lines, const px_record *record,
                         const px_fields *fields, size_t want, pn_error *err) {
    if (fields->count == want) {
        return PN_OK;
    }
    if (fields->count < want && !record->complete) {
        return px_truncated(lines, record->line, err);
    }
    return px_fail_line(lines, record->line, err,
                        "%zu fields where the header has %zu: put quotation "
                        "marks around a field that holds a comma, and give "
                        "every column a field, empty if need be",
                        fields->count, want);
}
