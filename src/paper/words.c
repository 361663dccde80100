/* Text made safe to print, cut and broken into lines. */
#include "paper_internal.h"

#include <string.h>

static bool continues(pn_text text, size_t at) {
    return at < text.len && ((unsigned char)text.at[at] & 0xC0U) == 0x80U;
}

/* Bytes of the UTF-8 sequence that the first byte promises; 0 if none. */
static size_t promised_bytes(unsigned char lead) {
    if (lead < 0x80U) {
        return 1;
    }
    if (lead < 0xC2U || lead > 0xF4U) {
        return 0;
    }
    return lead < 0xE0U ? 2 : lead < 0xF0U ? 3 : 4;
}

static uint32_t code_point(pn_text text, size_t at, size_t bytes) {
    static const unsigned lead_mask[] = {0, 0x7FU, 0x1FU, 0x0FU, 0x07U};
    uint32_t code = (unsigned char)text.at[at] & lead_mask[bytes];
    for (size_t i = 1; i < bytes; i++) {
        code = code << 6U | ((unsigned char)text.at[at + i] & 0x3FU);
    }
    return code;
}

/* Neither a control character, a direction override, nor a code point that
 * XML forbids. */
static bool is_printable(uint32_t code) {
    bool control = code < 0x20 || (code >= 0x7F && code < 0xA0);
    bool line_end = code == 0x2028 || code == 0x2029;
    bool direction = (code >= 0x202A && code <= 0x202E) ||
                     (code >= 0x2066 && code <= 0x2069);
    bool not_xml = code == 0xFFFE || code == 0xFFFF;
    return !control && !line_end && !direction && !not_xml;
}

/* A character as it stands in the text: 1 byte if it is not UTF-8. */
typedef struct character {
    size_t bytes;
    bool printable;
} character;

static character character_at(pn_text text, size_t at) {
    static const uint32_t smallest[] = {0, 0, 0x80, 0x800, 0x10000};
    const character broken = {1, false};
    size_t bytes = promised_bytes((unsigned char)text.at[at]);
    for (size_t i = 1; i < bytes; i++) {
        if (!continues(text, at + i)) {
            return broken;
        }
    }
    if (bytes == 0) {
        return broken;
    }
    uint32_t code = code_point(text, at, bytes);
    bool surrogate = code >= 0xD800 && code <= 0xDFFF;
    if (code < smallest[bytes] || code > 0x10FFFF || surrogate) {
        return broken;
    }
    return (character){bytes, is_printable(code)};
}

static const char *xml_escape(char c) {
    switch (c) {
    case '&':
        return "&amp;";
    case '<':
        return "&lt;";
    case '>':
        return "&gt;";
    case '"':
        return "&quot;";
    default:
        return NULL;
    }
}

static void add_text(pn_buffer *buffer, pn_text text, bool xml) {
    for (size_t at = 0; at < text.len;) {
        character here = character_at(text, at);
        const char *escaped = xml ? xml_escape(text.at[at]) : NULL;
        if (!here.printable) {
            pn_buffer_add(buffer, pn_text_of("\xEF\xBF\xBD"));
        } else if (escaped != NULL) {
            pn_buffer_add(buffer, pn_text_of(escaped));
        } else {
            pn_buffer_add(buffer, (pn_text){text.at + at, here.bytes});
        }
        at += here.bytes;
    }
}

void paper_add_clean(pn_buffer *buffer, pn_text text) {
    add_text(buffer, text, false);
}

void paper_add_xml(pn_buffer *buffer, pn_text text) {
    add_text(buffer, text, true);
}

void paper_add_xml_string(pn_buffer *buffer, const char *text) {
    add_text(buffer, pn_text_of(text), true);
}

void paper_add_times(pn_buffer *buffer, const char *text, size_t count) {
    for (size_t i = 0; i < count; i++) {
        pn_buffer_add(buffer, pn_text_of(text));
    }
}

/* Bytes of the character at `at` and the columns it prints as. */
static size_t next_character(pn_text text, size_t at, size_t *columns) {
    character here = character_at(text, at);
    pn_text bytes = {text.at + at, here.bytes};
    *columns = here.printable ? pn_text_columns(bytes) : 1;
    return here.bytes;
}

size_t paper_columns(pn_text text) {
    size_t total = 0;
    size_t columns = 0;
    for (size_t at = 0; at < text.len;) {
        at += next_character(text, at, &columns);
        total += columns;
    }
    return total;
}

pn_text paper_head(pn_text text, size_t columns) {
    size_t end = 0;
    size_t used = 0;
    while (end < text.len) {
        size_t needs = 0;
        size_t bytes = next_character(text, end, &needs);
        if (used + needs > columns) {
            break;
        }
        used += needs;
        end += bytes;
    }
    return (pn_text){text.at, end};
}

static pn_text without_end_blanks(pn_text text) {
    while (text.len > 0 && text.at[text.len - 1] == ' ') {
        text.len--;
    }
    return text;
}

pn_text paper_take_line(pn_text *rest, size_t columns) {
    pn_text line = paper_head(*rest, columns);
    size_t taken = line.len;
    if (taken < rest->len && rest->at[taken] != ' ') {
        size_t cut = taken;
        while (cut > 0 && rest->at[cut - 1] != ' ') {
            cut--;
        }
        taken = cut > 0 ? cut : taken;
    }
    line.len = taken;
    while (taken < rest->len && rest->at[taken] == ' ') {
        taken++;
    }
    *rest = (pn_text){rest->at + taken, rest->len - taken};
    return without_end_blanks(line);
}

void paper_trim_line(pn_buffer *buffer, size_t start) {
    if (buffer->failed) {
        return;
    }
    while (buffer->len > start && buffer->text[buffer->len - 1] == ' ') {
        buffer->text[--buffer->len] = '\0';
    }
}

void paper_drop_since(pn_buffer *buffer, size_t start) {
    if (buffer->text != NULL) {
        buffer->len = start;
        buffer->text[start] = '\0';
    }
}
