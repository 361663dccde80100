// SPDX-License-Identifier: MIT
/* Records of a text file through a window of bounded size: a record longer
 * than PX_RECORD_MAX fails as soon as that many bytes were seen, so that a
 * line of 2 GB costs no more than a short one. */
#include <errno.h>
#include <stdio.h>
#include <string.h>

#include "exchange_internal.h"

enum { WINDOW = 2 * PX_RECORD_MAX, LINE_COUNT_MAX = 2000000000 };

pn_status px_lines_init(const pn_alloc *alloc, pn_exchange_source *source,
                        px_lines *out, pn_error *err) {
    char *buf = pn_alloc_array(alloc, NULL, WINDOW, 1);
    if (buf == NULL) {
        return pn_fail(err, PN_ENOMEM, "reading %s", source->name);
    }
    *out = (px_lines){.alloc = *alloc, .source = source, .buf = buf, .line = 1};
    return PN_OK;
}

void px_lines_deinit(px_lines *lines) {
    if (lines->buf != NULL) {
        pn_alloc_free(&lines->alloc, lines->buf);
        lines->buf = NULL;
    }
}

static pn_status read_more(px_lines *lines, pn_error *err) {
    if (lines->begin > 0) {
        memmove(lines->buf, lines->buf + lines->begin,
                lines->end - lines->begin);
        lines->end -= lines->begin;
        lines->begin = 0;
    }
    pn_exchange_source *source = lines->source;
    size_t room = WINDOW - lines->end;
    ptrdiff_t got = source->read(source->ctx, lines->buf + lines->end, room);
    if (got < 0 || (size_t)got > room) {
        char why[128] = "";
        char name[PX_NAME_SIZE];
        (void)strerror_r(errno, why, sizeof why);
        return pn_fail(err, PN_EIO, "%s:%zu: cannot be read further: %s",
                       px_shown_name(source->name, name), lines->line, why);
    }
    lines->end += (size_t)got;
    lines->at_end = got == 0;
    return PN_OK;
}

static pn_status not_utf8(const px_lines *lines, pn_error *err) {
    return px_fail_line(lines, lines->line, err,
                        "the file is UTF-16 or no text at all: save it as "
                        "\"CSV UTF-8\" and try again");
}

/* Byte order marks: UTF-8's is skipped, UTF-16's is refused; so is UTF-16
 * without one, which shows as a NUL beside the first letter. */
static pn_status start(px_lines *lines, pn_error *err) {
    lines->started = true;
    while (!lines->at_end && lines->end < 4) {
        pn_status status = read_more(lines, err);
        if (status != PN_OK) {
            return status;
        }
    }
    const char *at = lines->buf;
    size_t len = lines->end;
    bool wide = len >= 2 && (memcmp(at, "\xFF\xFE", 2) == 0 ||
                             memcmp(at, "\xFE\xFF", 2) == 0 || at[0] == '\0' ||
                             at[1] == '\0');
    if (wide) {
        return not_utf8(lines, err);
    }
    lines->begin = len >= 3 && memcmp(at, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
    return PN_OK;
}

/* How far the scan for the end of a record has come. */
typedef struct scan {
    size_t len;        /* bytes seen, from begin */
    size_t extra;      /* line ends inside quotes */
    size_t quote_line; /* where the open quote stands; 0: none is open */
} scan;

static void scan_quotes(scan *s, const char *at, size_t len, size_t line) {
    const char *end = at + len;
    while ((at = memchr(at, '"', (size_t)(end - at))) != NULL) {
        s->quote_line = s->quote_line == 0 ? line : 0;
        at++;
    }
}

/* Moves on to the next line end outside quotes.
 * @return true if it was found, false if more bytes are needed */
static bool scan_on(const px_lines *lines, scan *s) {
    const char *base = lines->buf + lines->begin;
    size_t have = lines->end - lines->begin;
    while (s->len < have) {
        const char *from = base + s->len;
        const char *newline = memchr(from, '\n', have - s->len);
        size_t len =
            newline != NULL ? (size_t)(newline - from) + 1 : have - s->len;
        scan_quotes(s, from, len, lines->line + s->extra);
        s->len += len;
        if (newline == NULL) {
            return false;
        }
        if (s->quote_line == 0) {
            return true;
        }
        s->extra++;
    }
    return false;
}

static pn_status lone_cr(const px_lines *lines, size_t line, pn_error *err) {
    return px_fail_line(lines, line, err,
                        "a carriage return that ends no line: the file has "
                        "line ends of an old kind; save it with LF or CRLF "
                        "line ends");
}

static pn_status open_quote(const px_lines *lines, size_t line, pn_error *err) {
    return px_fail_line(lines, line, err,
                        "the quotation mark opened here is never closed: "
                        "close it, or double it (\"\") if it belongs to the "
                        "text");
}

static pn_status too_long(const px_lines *lines, const scan *s, pn_error *err) {
    const char *at = lines->buf + lines->begin;
    if (s->quote_line != 0) {
        return open_quote(lines, s->quote_line, err);
    }
    const char *cr = memchr(at, '\r', PX_RECORD_MAX);
    if (cr != NULL && cr[1] != '\n') {
        return lone_cr(lines, lines->line, err);
    }
    return px_fail_line(lines, lines->line + s->extra, err,
                        "line longer than %d bytes: this is not a table of "
                        "the kind expected; check that it is the right file",
                        PX_RECORD_MAX);
}

/* Finds the record at begin, reading on as needed; 0 length: no more. */
static pn_status find_record(px_lines *lines, scan *s, bool *complete,
                             pn_error *err) {
    *complete = true;
    while (!scan_on(lines, s)) {
        if (s->len > PX_RECORD_MAX) {
            return too_long(lines, s, err);
        }
        if (lines->at_end) {
            *complete = false;
            return s->quote_line != 0 ? open_quote(lines, s->quote_line, err)
                                      : PN_OK;
        }
        pn_status status = read_more(lines, err);
        if (status != PN_OK) {
            return status;
        }
    }
    return s->len > PX_RECORD_MAX ? too_long(lines, s, err) : PN_OK;
}

/* Outside quotes a carriage return may only stand before a line feed. */
static bool has_lone_cr(pn_text text) {
    bool quoted = false;
    if (memchr(text.at, '\r', text.len) == NULL) {
        return false;
    }
    for (size_t i = 0; i < text.len; i++) {
        bool before_lf = i + 1 < text.len && text.at[i + 1] == '\n';
        quoted ^= text.at[i] == '"';
        if (text.at[i] == '\r' && !quoted && !before_lf) {
            return true;
        }
    }
    return false;
}

static pn_status check_bytes(const px_lines *lines, const px_record *record,
                             pn_error *err) {
    pn_text text = {record->at, record->len};
    if (memchr(text.at, '\0', text.len) != NULL) {
        return px_fail_line(lines, record->line, err,
                            "a NUL byte: the file is damaged or UTF-16; copy "
                            "it again or save it as \"CSV UTF-8\"");
    }
    if (has_lone_cr(text)) {
        return lone_cr(lines, record->line, err);
    }
    if (!px_is_utf8(text)) {
        char shown[PX_VALUE_SIZE];
        return px_fail_line(lines, record->line, err,
                            "bytes that are not UTF-8 in '%s': save the file "
                            "as \"CSV UTF-8\"",
                            px_shown(text, shown));
    }
    return PN_OK;
}

/* The bytes of the record without its line end. */
static void take_record(px_lines *lines, const scan *s, bool complete,
                        px_record *out) {
    size_t len = s->len - (complete ? 1 : 0);
    char *at = lines->buf + lines->begin;
    len -= len > 0 && at[len - 1] == '\r';
    *out = (px_record){
        .at = at, .len = len, .line = lines->line, .complete = complete};
    lines->begin += s->len;
    lines->line += s->extra + 1;
}

pn_status px_next(px_lines *lines, px_record *out, pn_error *err) {
    pn_status status = lines->started ? PN_OK : start(lines, err);
    while (status == PN_OK) {
        scan s = {0};
        bool complete = false;
        status = find_record(lines, &s, &complete, err);
        if (status != PN_OK) {
            return status;
        }
        if (s.len == 0) {
            *out = (px_record){.line = lines->line};
            return PN_OK;
        }
        if (lines->line > LINE_COUNT_MAX) {
            return px_fail_line(lines, lines->line, err, "too many lines");
        }
        take_record(lines, &s, complete, out);
        if (out->len > 0) {
            return check_bytes(lines, out, err);
        }
    }
    return status;
}

pn_status px_truncated(const px_lines *lines, size_t line, pn_error *err) {
    return px_fail_line(lines, line, err,
                        "the file ends in the middle of line %zu: it looks "
                        "truncated; copy it again",
                        line);
}
