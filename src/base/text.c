#include "pannage/base.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

pn_text pn_text_of(const char *string) {
    return (pn_text){string, strlen(string)};
}

bool pn_text_equal(pn_text a, pn_text b) {
    return a.len == b.len && (a.len == 0 || memcmp(a.at, b.at, a.len) == 0);
}

static int lower(char c) {
    return (c >= 'A' && c <= 'Z') ? c - 'A' + 'a' : c;
}

bool pn_text_equal_nocase(pn_text a, pn_text b) {
    if (a.len != b.len) {
        return false;
    }
    for (size_t i = 0; i < a.len; i++) {
        if (lower(a.at[i]) != lower(b.at[i])) {
            return false;
        }
    }
    return true;
}

static bool is_blank(char c) {
    return c == ' ' || c == '\t';
}

pn_text pn_text_trim(pn_text text) {
    while (text.len > 0 && is_blank(text.at[0])) {
        text.at++;
        text.len--;
    }
    while (text.len > 0 && is_blank(text.at[text.len - 1])) {
        text.len--;
    }
    return text;
}

pn_text pn_text_cut(pn_text text, char separator, pn_text *rest) {
    const char *found =
        text.len > 0 ? memchr(text.at, separator, text.len) : NULL;
    if (found == NULL) {
        *rest = (pn_text){NULL, 0};
        return text;
    }
    size_t before = (size_t)(found - text.at);
    *rest = (pn_text){found + 1, text.len - before - 1};
    return (pn_text){text.at, before};
}

static bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

enum { NUMBER_MAX_BYTES = 400, EXPONENT_MAX = 100000 };

/* A decimal number taken apart: all its digits as one integer, and the power
 * of ten that puts the point back. */
typedef struct decimal {
    char digits[NUMBER_MAX_BYTES + 1];
    size_t digit_count;
    long exponent10;
    bool negative;
} decimal;

static size_t take_digits(pn_text text, size_t at, decimal *number) {
    for (; at < text.len && is_digit(text.at[at]); at++) {
        number->digits[number->digit_count++] = text.at[at];
    }
    return at;
}

static bool take_exponent(pn_text text, size_t at, long *out) {
    bool negative = at < text.len && text.at[at] == '-';
    at += at < text.len && (text.at[at] == '-' || text.at[at] == '+');
    if (at == text.len) {
        return false;
    }
    long value = 0;
    for (; at < text.len; at++) {
        if (!is_digit(text.at[at])) {
            return false;
        }
        value = value * 10 + (text.at[at] - '0');
        value = value > EXPONENT_MAX ? EXPONENT_MAX : value;
    }
    *out = negative ? -value : value;
    return true;
}

static bool take_apart(pn_text text, decimal *number) {
    size_t at = 0;
    number->digit_count = 0;
    number->exponent10 = 0;
    number->negative = text.len > 0 && text.at[0] == '-';
    at += text.len > 0 && (text.at[0] == '-' || text.at[0] == '+');
    at = take_digits(text, at, number);
    size_t whole = number->digit_count;
    if (at < text.len && text.at[at] == '.') {
        at = take_digits(text, at + 1, number);
        number->exponent10 = -(long)(number->digit_count - whole);
    }
    if (number->digit_count == 0) {
        return false;
    }
    if (at < text.len && (text.at[at] == 'e' || text.at[at] == 'E')) {
        long exponent = 0;
        if (!take_exponent(text, at + 1, &exponent)) {
            return false;
        }
        number->exponent10 += exponent;
        return true;
    }
    return at == text.len;
}

bool pn_text_to_double(pn_text text, double *out) {
    static const double ten_to[] = {
        1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11,
        1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
    if (text.len == 0 || text.len > NUMBER_MAX_BYTES) {
        return false;
    }
    decimal number;
    if (!take_apart(text, &number)) {
        return false;
    }
    /* Up to 15 digits and 22 powers of ten both parts are exact doubles, so
     * one multiplication or division rounds correctly (Clinger 1990). */
    if (number.digit_count <= 15 && labs(number.exponent10) <= 22) {
        double value = 0.0;
        for (size_t i = 0; i < number.digit_count; i++) {
            value = value * 10.0 + (number.digits[i] - '0');
        }
        value = number.exponent10 < 0 ? value / ten_to[-number.exponent10]
                                      : value * ten_to[number.exponent10];
        *out = number.negative ? -value : value;
        return true;
    }
    /* "12345e-7" holds no decimal point, so strtod asks no locale. */
    char plain[NUMBER_MAX_BYTES + 32];
    snprintf(plain, sizeof plain, "%.*se%ld", (int)number.digit_count,
             number.digits, number.exponent10);
    double value = strtod(plain, NULL);
    if (!isfinite(value)) {
        return false;
    }
    *out = number.negative ? -value : value;
    return true;
}

bool pn_text_to_int(pn_text text, int64_t *out) {
    size_t at = 0;
    bool negative = text.len > 0 && text.at[0] == '-';
    at += text.len > 0 && (text.at[0] == '-' || text.at[0] == '+');
    if (at == text.len) {
        return false;
    }
    int64_t value = 0; /* kept negative: its range is one wider */
    for (; at < text.len; at++) {
        if (!is_digit(text.at[at]) ||
            __builtin_mul_overflow(value, 10, &value) ||
            __builtin_sub_overflow(value, text.at[at] - '0', &value)) {
            return false;
        }
    }
    if (!negative && value == INT64_MIN) {
        return false;
    }
    *out = negative ? value : -value;
    return true;
}

pn_str pn_str_in(char *buf, size_t size) {
    buf[0] = '\0';
    return (pn_str){.buf = buf, .size = size};
}

static bool is_continuation(char c) {
    return ((unsigned char)c & 0xC0U) == 0x80U;
}

void pn_str_addf(pn_str *str, const char *fmt, ...) {
    if (str->cut) {
        return;
    }
    va_list args;
    va_start(args, fmt);
    int wanted =
        vsnprintf(str->buf + str->len, str->size - str->len, fmt, args);
    va_end(args);
    if (wanted < 0) {
        str->buf[str->len] = '\0';
        str->cut = true;
        return;
    }
    if ((size_t)wanted < str->size - str->len) {
        str->len += (size_t)wanted;
        return;
    }
    str->cut = true;
    size_t end = str->size - 1;
    size_t start = end; /* the last character that begins in the buffer */
    while (start > str->len && is_continuation(str->buf[start - 1])) {
        start--;
    }
    if (start > str->len && (unsigned char)str->buf[start - 1] >= 0xC0U) {
        unsigned char lead = (unsigned char)str->buf[start - 1];
        size_t needs = lead >= 0xF0U ? 4 : lead >= 0xE0U ? 3 : 2;
        end = start - 1 + needs <= end ? end : start - 1;
    }
    str->buf[end] = '\0';
    str->len = end;
}

size_t pn_text_columns(pn_text text) {
    size_t columns = 0;
    for (size_t i = 0; i < text.len; i++) {
        unsigned char c = (unsigned char)text.at[i];
        bool combining =
            (c == 0xCCU || (c == 0xCDU && i + 1 < text.len &&
                            (unsigned char)text.at[i + 1] < 0xB0U));
        columns += !is_continuation(text.at[i]) && !combining;
    }
    return columns;
}
