#include "pannage/paper.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

enum { FIRST_CAPACITY = 256 };

void pn_buffer_init(pn_buffer *buffer, const pn_alloc *alloc) {
    *buffer = (pn_buffer){.alloc = *alloc};
}

void pn_buffer_deinit(pn_buffer *buffer) {
    pn_alloc_free(&buffer->alloc, buffer->text);
    pn_alloc alloc = buffer->alloc;
    pn_buffer_init(buffer, &alloc);
}

void pn_buffer_clear(pn_buffer *buffer) {
    buffer->len = 0;
    buffer->failed = false;
    if (buffer->text != NULL) {
        buffer->text[0] = '\0';
    }
}

/* Room for more bytes and the NUL. */
static bool reserve(pn_buffer *buffer, size_t more) {
    if (buffer->failed) {
        return false;
    }
    if (more < buffer->cap - buffer->len) {
        return true;
    }
    buffer->failed = more > SIZE_MAX / 4 - buffer->len;
    if (buffer->failed) {
        return false;
    }
    size_t cap = buffer->cap < FIRST_CAPACITY ? FIRST_CAPACITY : buffer->cap;
    while (cap - buffer->len <= more) {
        cap *= 2;
    }
    char *text = pn_alloc_array(&buffer->alloc, buffer->text, cap, 1);
    if (text == NULL) {
        buffer->failed = true;
        return false;
    }
    buffer->text = text;
    buffer->cap = cap;
    return true;
}

void pn_buffer_add(pn_buffer *buffer, pn_text text) {
    if (text.len == 0 || !reserve(buffer, text.len)) {
        return;
    }
    memcpy(buffer->text + buffer->len, text.at, text.len);
    buffer->len += text.len;
    buffer->text[buffer->len] = '\0';
}

void pn_buffer_addf(pn_buffer *buffer, const char *fmt, ...) {
    va_list args;
    va_start(args, fmt);
    va_list again;
    va_copy(again, args);
    int wanted = vsnprintf(NULL, 0, fmt, args);
    if (wanted < 0) {
        buffer->failed = true;
    } else if (reserve(buffer, (size_t)wanted)) {
        vsnprintf(buffer->text + buffer->len, (size_t)wanted + 1, fmt, again);
        buffer->len += (size_t)wanted;
    }
    va_end(again);
    va_end(args);
}

const char *pn_buffer_text(const pn_buffer *buffer) {
    return buffer->text == NULL ? "" : buffer->text;
}

pn_status pn_buffer_status(const pn_buffer *buffer, pn_error *err) {
    return buffer->failed ? pn_fail(err, PN_ENOMEM, "out of memory") : PN_OK;
}
