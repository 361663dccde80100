// SPDX-License-Identifier: MIT
/* Are texts and numbers such as a notebook can hold? */
#include "notebook_internal.h"

#include <math.h>

/* Length of the UTF-8 character at the start of text, 0 if it is none. */
static size_t utf8_length(const unsigned char *at, size_t left) {
    static const struct {
        unsigned char mask, lead, second_low, second_high;
        size_t len;
    } forms[] = {
        {0x80, 0x00, 0x00, 0x00, 1}, {0xff, 0xe0, 0xa0, 0xbf, 3},
        {0xff, 0xed, 0x80, 0x9f, 3}, {0xf0, 0xe0, 0x80, 0xbf, 3},
        {0xff, 0xf0, 0x90, 0xbf, 4}, {0xff, 0xf4, 0x80, 0x8f, 4},
        {0xf8, 0xf0, 0x80, 0xbf, 4}, {0xe0, 0xc0, 0x80, 0xbf, 2},
    };
    if (at[0] == 0xc0 || at[0] == 0xc1 || at[0] > 0xf4) {
        return 0;
    }
    size_t form = 0;
    while (form < sizeof forms / sizeof forms[0] &&
           (at[0] & forms[form].mask) != forms[form].lead) {
        form++;
    }
    if (form == sizeof forms / sizeof forms[0] || forms[form].len > left) {
        return 0;
    }
    for (size_t i = 1; i < forms[form].len; i++) {
        unsigned char low = i == 1 ? forms[form].second_low : 0x80;
        unsigned char high = i == 1 ? forms[form].second_high : 0xbf;
        if (at[i] < low || at[i] > high) {
            return 0;
        }
    }
    return forms[form].len;
}

static bool is_plain_text(pn_text text) {
    const unsigned char *at = (const unsigned char *)text.at;
    for (size_t i = 0; i < text.len;) {
        size_t len = at[i] == 0 ? 0 : utf8_length(at + i, text.len - i);
        if (len == 0) {
            return false;
        }
        i += len;
    }
    return true;
}

static pn_status check_text(pn_text text, nb_text_rule rule, pn_error *err) {
    if (text.len < rule.at_least) {
        return pn_fail(err, PN_EDOMAIN, "the %s is empty", rule.what);
    }
    if (text.len > rule.at_most) {
        return pn_fail(err, PN_EDOMAIN,
                       "the %s has %zu bytes; at most %zu are kept", rule.what,
                       text.len, rule.at_most);
    }
    if (!is_plain_text(text)) {
        return pn_fail(err, PN_EDOMAIN, "the %s is not UTF-8 text", rule.what);
    }
    return PN_OK;
}

pn_status nb_check_number(double value, nb_number_rule rule, pn_error *err) {
    if ((isnan(value) && rule.may_be_unknown) ||
        (value >= rule.low && value <= rule.high)) {
        return PN_OK;
    }
    return pn_fail(err, PN_EDOMAIN, "the %s, %g, is not within %g .. %g",
                   rule.what, value, rule.low, rule.high);
}

pn_status nb_check_texts(const nb_checked_text *texts, size_t count,
                         pn_error *err) {
    for (size_t i = 0; i < count; i++) {
        pn_status status = check_text(texts[i].text, texts[i].rule, err);
        if (status != PN_OK) {
            return status;
        }
    }
    return PN_OK;
}
