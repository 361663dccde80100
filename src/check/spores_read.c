/* Spore sizes as one writes them down at the microscope. */
#include <string.h>

#include "pannage/check.h"

/* No spore of a larger fungus is smaller or larger. From memory. */
static const double least_um = 0.5;
static const double most_um = 200.0;

/* Bytes of the sign between length and width at the start of the text; 0:
 * none. */
static size_t separator_len(pn_text text) {
    static const char times[] = "\xC3\x97"; /* the multiplication sign */
    if (text.len >= 2 && memcmp(text.at, times, 2) == 0) {
        return 2;
    }
    if (text.len == 0 || text.at[0] == '\0') {
        return 0;
    }
    return strchr("xX*,;\t ", text.at[0]) != NULL ? 1 : 0;
}

static pn_text cut_size(pn_text *rest) {
    pn_text word = *rest;
    size_t len = 0;
    while (len < rest->len &&
           separator_len((pn_text){rest->at + len, rest->len - len}) == 0) {
        len++;
    }
    word.len = len;
    rest->at += len;
    rest->len -= len;
    for (size_t skip = 0; (skip = separator_len(*rest)) > 0;) {
        rest->at += skip;
        rest->len -= skip;
    }
    return word;
}

static bool read_um(pn_text word, double *out) {
    return pn_text_to_double(word, out) && *out >= least_um && *out <= most_um;
}

static pn_status read_spore(pn_text line, size_t number, pn_spore_sizes *out,
                            pn_error *err) {
    pn_text rest = line;
    double length = 0.0;
    double width = 0.0;
    pn_text first = cut_size(&rest);
    bool has_width = rest.len > 0;
    bool unfinished = separator_len((pn_text){line.at + line.len - 1, 1}) > 0;
    pn_text second = has_width ? cut_size(&rest) : rest;
    if (!read_um(first, &length) || (has_width && !read_um(second, &width)) ||
        rest.len > 0 || unfinished) {
        return pn_fail(err, PN_EPARSE,
                       "line %zu: write one spore a line, in micrometres, as "
                       "'8.1 x 5.2' or '8.1'",
                       number);
    }
    if (out->count > 0 && has_width != out->has_width) {
        return pn_fail(err, PN_EPARSE,
                       "line %zu: give a width for all spores or for none",
                       number);
    }
    if (has_width && width > length) {
        return pn_fail(err, PN_EPARSE,
                       "line %zu: the length comes first, and is the longer",
                       number);
    }
    if (out->count == out->room) {
        return pn_fail(err, PN_EDOMAIN, "line %zu: more than %zu spores",
                       number, out->room);
    }
    out->has_width = has_width;
    out->width_um[out->count] = width;
    out->length_um[out->count++] = length;
    return PN_OK;
}

pn_status pn_spores_read(pn_text text, pn_spore_sizes *out, pn_error *err) {
    pn_text rest = text;
    pn_status status = PN_OK;
    out->count = 0;
    out->has_width = false;
    for (size_t line = 1; status == PN_OK && rest.len > 0; line++) {
        pn_text one = pn_text_cut(rest, '\n', &rest);
        if (one.len > 0 && one.at[one.len - 1] == '\r') {
            one.len--;
        }
        one = pn_text_trim(one);
        if (one.len > 0 && one.at[0] != '#') {
            status = read_spore(one, line, out, err);
        }
    }
    if (status == PN_OK && out->count < 2) {
        status = pn_fail(err, PN_EDOMAIN,
                         "%zu spore%s: measure at least two, better thirty",
                         out->count, out->count == 1 ? "" : "s");
    }
    return status;
}
