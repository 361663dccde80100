// SPDX-License-Identifier: MIT
/* Failures that name file, line, column and value, always in one shape. */
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "exchange_internal.h"

/* Length of the UTF-8 character at the start of text, or 0 if there is none:
 * overlong forms, surrogates and code points beyond U+10FFFF are refused. */
static size_t character_length(pn_text text) {
    unsigned char lead = (unsigned char)text.at[0];
    if (lead < 0x80U) {
        return 1;
    }
    size_t length = lead >= 0xF0U ? 4 : lead >= 0xE0U ? 3 : 2;
    if (lead < 0xC2U || lead > 0xF4U || text.len < length) {
        return 0;
    }
    for (size_t i = 1; i < length; i++) {
        if (((unsigned char)text.at[i] & 0xC0U) != 0x80U) {
            return 0;
        }
    }
    unsigned char second = (unsigned char)text.at[1];
    bool wrong = (lead == 0xE0U && second < 0xA0U) ||
                 (lead == 0xEDU && second > 0x9FU) ||
                 (lead == 0xF0U && second < 0x90U) ||
                 (lead == 0xF4U && second > 0x8FU);
    return wrong ? 0 : length;
}

static bool is_ascii(pn_text text) {
    static const uint64_t high_bits = 0x8080808080808080U;
    size_t i = 0;
    for (; i + 8 <= text.len; i += 8) {
        uint64_t eight;
        memcpy(&eight, text.at + i, 8);
        if ((eight & high_bits) != 0) {
            return false;
        }
    }
    for (; i < text.len; i++) {
        if ((unsigned char)text.at[i] >= 0x80U) {
            return false;
        }
    }
    return true;
}

bool px_is_utf8(pn_text text) {
    if (is_ascii(text)) {
        return true;
    }
    while (text.len > 0) {
        size_t length = character_length(text);
        if (length == 0) {
            return false;
        }
        text.at += length;
        text.len -= length;
    }
    return true;
}

char *px_shown(pn_text text, char buf[PX_VALUE_SIZE]) {
    enum { SHOWN_BYTES = 40 };
    size_t out = 0;
    while (text.len > 0) {
        size_t length = character_length(text);
        size_t take = length == 0 ? 1 : length;
        if (out + take > SHOWN_BYTES) {
            memcpy(buf + out, "...", 3);
            out += 3;
            break;
        }
        memcpy(buf + out, length == 0 ? "?" : text.at, take);
        out += take;
        text.at += take;
        text.len -= take;
    }
    buf[out] = '\0';
    return buf;
}

char *px_shown_name(const char *name, char buf[PX_NAME_SIZE]) {
    size_t len = strlen(name);
    size_t room = PX_NAME_SIZE - 1;
    bool fits = len <= room;
    snprintf(buf, PX_NAME_SIZE, "%s%s", fits ? "" : "...",
             fits ? name : name + len - (room - 3));
    return buf;
}

pn_status px_fail_at(const px_place *place, pn_error *err, const char *fmt,
                     ...) {
    char name[PX_NAME_SIZE];
    char column[PX_VALUE_SIZE];
    char value[PX_VALUE_SIZE];
    char rest[256];
    va_list args;
    va_start(args, fmt);
    vsnprintf(rest, sizeof rest, fmt, args);
    va_end(args);
    return pn_fail(err, PN_EPARSE,
                   "%s:%zu: column \"%s\" (field %zu): value '%s': %s",
                   px_shown_name(place->file, name), place->line,
                   px_shown(place->column, column), place->field + 1,
                   px_shown(place->value, value), rest);
}

pn_status px_fail_line(const px_lines *lines, size_t line, pn_error *err,
                       const char *fmt, ...) {
    char name[PX_NAME_SIZE];
    char rest[320];
    va_list args;
    va_start(args, fmt);
    vsnprintf(rest, sizeof rest, fmt, args);
    va_end(args);
    return pn_fail(err, PN_EPARSE, "%s:%zu: %s",
                   px_shown_name(lines->source->name, name), line, rest);
}

bool px_is_missing(pn_text text) {
    text = pn_text_trim(text);
    return text.len == 0 ||
           (text.len == 2 && text.at[0] == 'N' && text.at[1] == 'A');
}

void px_note(pn_exchange_report *report, const char *fmt, ...) {
    if (report->note_count == PN_EXCHANGE_NOTE_MAX) {
        report->notes_lost++;
        return;
    }
    char whole[2 * PN_EXCHANGE_NOTE_SIZE];
    va_list args;
    va_start(args, fmt);
    vsnprintf(whole, sizeof whole, fmt, args);
    va_end(args);
    for (char *c = whole; *c != '\0'; c++) {
        if ((unsigned char)*c < ' ' || *c == 0x7f) {
            *c = '?';
        }
    }
    pn_str note =
        pn_str_in(report->note[report->note_count++], PN_EXCHANGE_NOTE_SIZE);
    pn_str_addf(&note, "%s", whole);
}
