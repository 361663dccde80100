// SPDX-License-Identifier: MIT
/* Headings of a plain weather table: which variable, in which unit. */
#include <math.h>
#include <string.h>

#include "exchange_internal.h"

enum { PLAIN_SIZE = 64 };

/* Names as they stand after plain(): lower case, one space between words. */
static const struct {
    const char *name;
    pn_sky_var var;
} names[] = {
    {"tmin", PN_SKY_TMIN_DEGC},
    {"t min", PN_SKY_TMIN_DEGC},
    {"min temp", PN_SKY_TMIN_DEGC},
    {"temp min", PN_SKY_TMIN_DEGC},
    {"min temperature", PN_SKY_TMIN_DEGC},
    {"minimum temperature", PN_SKY_TMIN_DEGC},
    {"temperature min", PN_SKY_TMIN_DEGC},
    {"tmax", PN_SKY_TMAX_DEGC},
    {"t max", PN_SKY_TMAX_DEGC},
    {"max temp", PN_SKY_TMAX_DEGC},
    {"temp max", PN_SKY_TMAX_DEGC},
    {"max temperature", PN_SKY_TMAX_DEGC},
    {"maximum temperature", PN_SKY_TMAX_DEGC},
    {"temperature max", PN_SKY_TMAX_DEGC},
    {"rain", PN_SKY_RAIN_MM},
    {"rainfall", PN_SKY_RAIN_MM},
    {"precip", PN_SKY_RAIN_MM},
    {"precipitation", PN_SKY_RAIN_MM},
    {"humidity", PN_SKY_HUMIDITY_FRAC},
    {"rh", PN_SKY_HUMIDITY_FRAC},
    {"relative humidity", PN_SKY_HUMIDITY_FRAC},
    {"wind", PN_SKY_WIND_M_S},
    {"wind speed", PN_SKY_WIND_M_S},
    {"mean wind speed", PN_SKY_WIND_M_S},
    {"solar", PN_SKY_SOLAR_MJ_M2},
    {"radiation", PN_SKY_SOLAR_MJ_M2},
    {"solar radiation", PN_SKY_SOLAR_MJ_M2},
    {"global radiation", PN_SKY_SOLAR_MJ_M2},
    {"sun", PN_SKY_SUNSHINE_H},
    {"sunshine", PN_SKY_SUNSHINE_H},
    {"sunshine duration", PN_SKY_SUNSHINE_H},
};

/* Units as they stand after squeeze(): letters, digits and '%' only. A mean
 * power over the day: 1 W/m2 x 86400 s = 0.0864 MJ/m2. The inch, foot,
 * nautical mile and Fahrenheit degree are exact by definition. */
static const struct {
    const char *name;
    pn_sky_var var;
    px_unit unit;
} units[] = {
    {"c", PN_SKY_TMIN_DEGC, {1.0, 0.0}},
    {"celsius", PN_SKY_TMIN_DEGC, {1.0, 0.0}},
    {"f", PN_SKY_TMIN_DEGC, {5.0 / 9.0, -160.0 / 9.0}},
    {"fahrenheit", PN_SKY_TMIN_DEGC, {5.0 / 9.0, -160.0 / 9.0}},
    {"k", PN_SKY_TMIN_DEGC, {1.0, -273.15}},
    {"kelvin", PN_SKY_TMIN_DEGC, {1.0, -273.15}},
    {"mm", PN_SKY_RAIN_MM, {1.0, 0.0}},
    {"cm", PN_SKY_RAIN_MM, {10.0, 0.0}},
    {"in", PN_SKY_RAIN_MM, {25.4, 0.0}},
    {"inch", PN_SKY_RAIN_MM, {25.4, 0.0}},
    {"inches", PN_SKY_RAIN_MM, {25.4, 0.0}},
    {"%", PN_SKY_HUMIDITY_FRAC, {0.01, 0.0}},
    {"percent", PN_SKY_HUMIDITY_FRAC, {0.01, 0.0}},
    {"pct", PN_SKY_HUMIDITY_FRAC, {0.01, 0.0}},
    {"frac", PN_SKY_HUMIDITY_FRAC, {1.0, 0.0}},
    {"fraction", PN_SKY_HUMIDITY_FRAC, {1.0, 0.0}},
    {"ms", PN_SKY_WIND_M_S, {1.0, 0.0}},
    {"ms1", PN_SKY_WIND_M_S, {1.0, 0.0}},
    {"kn", PN_SKY_WIND_M_S, {1852.0 / 3600.0, 0.0}},
    {"kt", PN_SKY_WIND_M_S, {1852.0 / 3600.0, 0.0}},
    {"kts", PN_SKY_WIND_M_S, {1852.0 / 3600.0, 0.0}},
    {"knots", PN_SKY_WIND_M_S, {1852.0 / 3600.0, 0.0}},
    {"mph", PN_SKY_WIND_M_S, {0.44704, 0.0}},
    {"kmh", PN_SKY_WIND_M_S, {1.0 / 3.6, 0.0}},
    {"kmh1", PN_SKY_WIND_M_S, {1.0 / 3.6, 0.0}},
    {"kph", PN_SKY_WIND_M_S, {1.0 / 3.6, 0.0}},
    {"mjm2", PN_SKY_SOLAR_MJ_M2, {1.0, 0.0}},
    {"mjm2d", PN_SKY_SOLAR_MJ_M2, {1.0, 0.0}},
    {"mjm2day", PN_SKY_SOLAR_MJ_M2, {1.0, 0.0}},
    {"kjm2", PN_SKY_SOLAR_MJ_M2, {0.001, 0.0}},
    {"jcm2", PN_SKY_SOLAR_MJ_M2, {0.01, 0.0}},
    {"whm2", PN_SKY_SOLAR_MJ_M2, {0.0036, 0.0}},
    {"kwhm2", PN_SKY_SOLAR_MJ_M2, {3.6, 0.0}},
    {"wm2", PN_SKY_SOLAR_MJ_M2, {0.0864, 0.0}},
    {"wm2mean", PN_SKY_SOLAR_MJ_M2, {0.0864, 0.0}},
    {"h", PN_SKY_SUNSHINE_H, {1.0, 0.0}},
    {"hours", PN_SKY_SUNSHINE_H, {1.0, 0.0}},
    {"hrs", PN_SKY_SUNSHINE_H, {1.0, 0.0}},
    {"min", PN_SKY_SUNSHINE_H, {1.0 / 60.0, 0.0}},
    {"minutes", PN_SKY_SUNSHINE_H, {1.0 / 60.0, 0.0}},
    {"s", PN_SKY_SUNSHINE_H, {1.0 / 3600.0, 0.0}},
};

const char *px_heading_example(pn_sky_var var) {
    static const char *const examples[PN_SKY_VAR_COUNT] = {
        [PN_SKY_TMIN_DEGC] = "tmin (degC) or tmin (degF)",
        [PN_SKY_TMAX_DEGC] = "tmax (degC) or tmax (degF)",
        [PN_SKY_RAIN_MM] = "rain (mm) or rain (in)",
        [PN_SKY_HUMIDITY_FRAC] = "humidity (%) or humidity (frac)",
        [PN_SKY_WIND_M_S] = "wind (m/s), wind (kn), wind (mph) or wind (km/h)",
        [PN_SKY_SOLAR_MJ_M2] =
            ("radiation (MJ/m2), radiation (kJ/m2) or radiation (W/m2 mean)"),
        [PN_SKY_SUNSHINE_H] = "sun (h) or sun (min)",
    };
    return (size_t)var < PN_SKY_VAR_COUNT ? examples[var] : "";
}

static bool is_letter_or_digit(char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
}

static char lower_or_blank(char c) {
    if (c == '_' || c == '-' || c == '\t') {
        return ' ';
    }
    if (c >= 'A' && c <= 'Z') {
        return (char)(c - 'A' + 'a');
    }
    return c;
}

/* Lower case; degree signs dropped; superscript 2 as '2'; '_' and '-' as
 * spaces; runs of spaces as one. What does not fit is cut: no known name is
 * that long. */
static pn_text plain(pn_text text, char buf[PLAIN_SIZE]) {
    static const char latin1_lead = (char)0xC2;
    static const char superscript_2 = (char)0xB2;
    size_t len = 0;
    for (size_t i = 0; i < text.len && len < PLAIN_SIZE; i++) {
        char c = lower_or_blank(text.at[i]);
        if (c == latin1_lead) { /* of two bytes, in UTF-8 */
            i++;
            if (i < text.len && text.at[i] == superscript_2) {
                buf[len++] = '2';
            }
        } else if (c != ' ' || (len > 0 && buf[len - 1] != ' ')) {
            buf[len++] = c;
        }
    }
    return pn_text_trim((pn_text){buf, len});
}

/* Letters, digits and '%' only, without a leading "deg" or "degrees". */
static pn_text squeeze(pn_text text, char buf[PLAIN_SIZE]) {
    static const char *const degrees[] = {"degrees", "deg"};
    size_t len = 0;
    for (size_t i = 0; i < text.len && len < PLAIN_SIZE; i++) {
        if (is_letter_or_digit(text.at[i]) || text.at[i] == '%') {
            buf[len++] = text.at[i];
        }
    }
    for (size_t i = 0; i < 2; i++) {
        size_t n = strlen(degrees[i]);
        if (len > n && memcmp(buf, degrees[i], n) == 0) {
            return (pn_text){buf + n, len - n};
        }
    }
    return (pn_text){buf, len};
}

bool px_unit_of(pn_sky_var var, pn_text name, px_unit *out) {
    char plain_buf[PLAIN_SIZE];
    char buf[PLAIN_SIZE];
    pn_text unit = squeeze(plain(name, plain_buf), buf);
    pn_sky_var group = var == PN_SKY_TMAX_DEGC ? PN_SKY_TMIN_DEGC : var;
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++) {
        if (units[i].var == group &&
            pn_text_equal(unit, pn_text_of(units[i].name))) {
            *out = units[i].unit;
            return true;
        }
    }
    return false;
}

/* The longest known name at the start of text, ending at a word's end. */
static bool find_name(pn_text text, pn_sky_var *var, pn_text *rest) {
    size_t best = 0;
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        size_t n = strlen(names[i].name);
        bool fits = text.len >= n && memcmp(text.at, names[i].name, n) == 0 &&
                    (text.len == n || text.at[n] == ' ');
        if (fits && n > best) {
            best = n;
            *var = names[i].var;
        }
    }
    *rest = (pn_text){text.at + best, text.len - best};
    *rest = pn_text_trim(*rest);
    return best > 0;
}

/* "2m", "10 m", "at 10 m" in front of the unit: the height of the sensor.
 * @return what follows it */
static pn_text take_height(pn_text rest, double *height_m) {
    pn_text at = rest;
    if (at.len > 3 && memcmp(at.at, "at ", 3) == 0) {
        at = pn_text_trim((pn_text){at.at + 3, at.len - 3});
    }
    size_t digits = 0;
    while (digits < at.len && at.at[digits] >= '0' && at.at[digits] <= '9') {
        digits++;
    }
    double value = 0.0;
    if (!pn_text_to_double((pn_text){at.at, digits}, &value)) {
        return rest;
    }
    pn_text unit = pn_text_trim((pn_text){at.at + digits, at.len - digits});
    bool is_metre = unit.len >= 1 && unit.at[0] == 'm' &&
                    (unit.len == 1 || unit.at[1] == ' ');
    if (!is_metre) {
        return rest;
    }
    *height_m = value;
    return pn_text_trim((pn_text){unit.at + 1, unit.len - 1});
}

/* What stands before and inside the first pair of brackets. */
static bool cut_brackets(pn_text text, pn_text *name, pn_text *inside) {
    for (size_t i = 0; i < text.len; i++) {
        if (text.at[i] == '(' || text.at[i] == '[') {
            char close = text.at[i] == '(' ? ')' : ']';
            pn_text after = {text.at + i + 1, text.len - i - 1};
            pn_text rest;
            *name = (pn_text){text.at, i};
            *inside = pn_text_cut(after, close, &rest);
            return rest.at != NULL;
        }
    }
    *name = text;
    *inside = (pn_text){NULL, 0};
    return true;
}

static px_heading date_heading(pn_text inside) {
    bool dmy =
        pn_text_equal_nocase(pn_text_trim(inside), pn_text_of("DD/MM/YYYY"));
    bool iso =
        inside.len == 0 ||
        pn_text_equal_nocase(pn_text_trim(inside), pn_text_of("YYYY-MM-DD"));
    return (px_heading){.kind = dmy   ? PX_HEADING_DATE_DMY
                                : iso ? PX_HEADING_DATE_ISO
                                      : PX_HEADING_UNKNOWN};
}

px_heading px_heading_of(pn_text text) {
    px_heading heading = {.kind = PX_HEADING_UNKNOWN, .wind_height_m = NAN};
    char buf[PLAIN_SIZE];
    pn_text before;
    pn_text inside;
    pn_text rest;
    if (!cut_brackets(pn_text_trim(text), &before, &inside)) {
        return heading;
    }
    pn_text name = plain(before, buf);
    if (pn_text_equal(name, pn_text_of("date"))) {
        return date_heading(inside);
    }
    if (!find_name(name, &heading.var, &rest)) {
        return heading;
    }
    if (heading.var == PN_SKY_WIND_M_S) {
        rest = take_height(rest, &heading.wind_height_m);
    }
    bool in_brackets = inside.at != NULL;
    if (in_brackets && rest.len > 0) {
        return heading; /* "rain gauge (mm)": some other thing */
    }
    pn_text unit = in_brackets ? inside : rest;
    if (pn_text_trim(unit).len == 0) {
        heading.kind = PX_HEADING_NO_UNIT;
    } else {
        heading.kind = px_unit_of(heading.var, unit, &heading.unit)
                           ? PX_HEADING_VAR
                           : PX_HEADING_BAD_UNIT;
    }
    return heading;
}
