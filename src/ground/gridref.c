// SPDX-License-Identifier: MIT
/* Grid references as text, and places as people type them. */
#include "pannage/ground.h"

#include <math.h>
#include <string.h>

enum { LETTERS = 2, DIGITS_MAX = 10, HALF_MAX = 5 };

static const double big_square_m = 100000.0;
static const double powers_of_ten[HALF_MAX + 1] = {1.0,    10.0,    100.0,
                                                   1000.0, 10000.0, 100000.0};

/* The alphabet without I, as the grid uses it: A = 0 .. Z = 24; -1 = none. */
static int letter_index(char c) {
    if (c >= 'a' && c <= 'z') {
        c = (char)(c - 'a' + 'A');
    }
    if (c < 'A' || c > 'Z' || c == 'I') {
        return -1;
    }
    return c < 'I' ? c - 'A' : c - 'A' - 1;
}

static char letter_of(int index) {
    return (char)('A' + index + (index >= 8 ? 1 : 0));
}

/* Letters run west to east and north to south in 5 x 5; the first names a
 * square of 500 km, the second one of 100 km within it. The grid's origin is
 * the south-west corner of S (column 2, row 1 from the south) of the first
 * letters: V would be the south-west corner of all. */
static pn_grid big_square(int first, int second) {
    int column = (first % 5 - 2) * 5 + second % 5;
    int row = (3 - first / 5) * 5 + (4 - second / 5);
    return (pn_grid){column * big_square_m, row * big_square_m};
}

static bool is_on_grid(pn_grid corner) {
    return corner.easting_m >= 0.0 && corner.easting_m < 700000.0 &&
           corner.northing_m >= 0.0 && corner.northing_m < 1300000.0;
}

static pn_status not_a_reference(pn_error *err) {
    return pn_fail(err, PN_EPARSE,
                   "not a grid reference: expected two letters and 0 to 10 "
                   "digits in two equal halves, such as SU 123 456");
}

typedef struct packed_ref {
    char at[LETTERS + DIGITS_MAX];
    size_t len;
} packed_ref;

static bool pack(pn_text text, packed_ref *out) {
    out->len = 0;
    for (size_t i = 0; i < text.len; i++) {
        if (text.at[i] == ' ' || text.at[i] == '\t') {
            continue;
        }
        if (out->len == sizeof out->at) {
            return false;
        }
        out->at[out->len++] = text.at[i];
    }
    return out->len >= LETTERS && out->len % 2 == 0;
}

/* The digits of one half, as metres when the half names squares of side_m. */
static bool half_m(const char *digits, size_t count, double side_m,
                   double *out) {
    double value = 0.0;
    for (size_t i = 0; i < count; i++) {
        if (digits[i] < '0' || digits[i] > '9') {
            return false;
        }
        value = value * 10.0 + (digits[i] - '0');
    }
    *out = value * side_m;
    return true;
}

/* Spaces may only stand where they separate: "SU 1 2" is SU12, but "SU 1 23"
 * is a slip of the pen and must not become SU 12 3. */
static bool halves_match(pn_text text, size_t half) {
    size_t digits = 0;
    bool after_space = false;
    for (size_t i = 0; i < text.len; i++) {
        bool space = text.at[i] == ' ' || text.at[i] == '\t';
        bool digit = text.at[i] >= '0' && text.at[i] <= '9';
        if (digit && after_space && digits != 0 && digits != half) {
            return false;
        }
        digits += digit ? 1 : 0;
        after_space = space;
    }
    return true;
}

pn_status pn_grid_parse(pn_text text, pn_grid_square *out, pn_error *err) {
    packed_ref ref = {0};
    if (!pack(text, &ref)) {
        return not_a_reference(err);
    }
    int first = letter_index(ref.at[0]);
    int second = letter_index(ref.at[1]);
    size_t half = (ref.len - LETTERS) / 2;
    double side_m = powers_of_ten[HALF_MAX - half];
    double east_m = 0.0;
    double north_m = 0.0;
    if (first < 0 || second < 0 || !halves_match(text, half) ||
        !half_m(ref.at + LETTERS, half, side_m, &east_m) ||
        !half_m(ref.at + LETTERS + half, half, side_m, &north_m)) {
        return not_a_reference(err);
    }
    pn_grid corner = big_square(first, second);
    if (!is_on_grid(corner)) {
        return pn_fail(err, PN_EDOMAIN,
                       "square %c%c is not on the British National Grid",
                       letter_of(first), letter_of(second));
    }
    corner.easting_m += east_m;
    corner.northing_m += north_m;
    *out = (pn_grid_square){.south_west = corner, .side_m = side_m};
    return PN_OK;
}

pn_status pn_grid_format(pn_grid grid, int digits, char buf[PN_GRID_TEXT_SIZE],
                         pn_error *err) {
    if (digits < 0 || digits > DIGITS_MAX || digits % 2 != 0) {
        return pn_fail(err, PN_EDOMAIN,
                       "a grid reference has 0, 2, 4, 6, 8 or 10 digits, "
                       "not %d",
                       digits);
    }
    if (!is_on_grid(grid)) {
        return pn_fail(err, PN_EDOMAIN,
                       "%.0f m east, %.0f m north is not on the British "
                       "National Grid (0-700 km east, 0-1300 km north)",
                       grid.easting_m, grid.northing_m);
    }
    int column = (int)(grid.easting_m / big_square_m);
    int row = (int)(grid.northing_m / big_square_m);
    char first = letter_of((3 - row / 5) * 5 + column / 5 + 2);
    char second = letter_of((4 - row % 5) * 5 + column % 5);
    int half = digits / 2;
    double side_m = powers_of_ten[HALF_MAX - half];
    int east = (int)((grid.easting_m - column * big_square_m) / side_m);
    int north = (int)((grid.northing_m - row * big_square_m) / side_m);
    pn_str str = pn_str_in(buf, PN_GRID_TEXT_SIZE);
    pn_str_addf(&str, "%c%c", first, second);
    if (half > 0) {
        pn_str_addf(&str, " %0*d %0*d", half, east, half, north);
    }
    return PN_OK;
}

/* ---- places as typed -------------------------------------------------- */

/* "52.1, -1.2" or "52.1 -1.2" */
static bool degrees_pair(pn_text text, double *lat_deg, double *lon_deg) {
    pn_text rest = {0};
    bool comma = text.len > 0 && memchr(text.at, ',', text.len) != NULL;
    pn_text first = pn_text_cut(text, comma ? ',' : ' ', &rest);
    return rest.at != NULL && pn_text_to_double(pn_text_trim(first), lat_deg) &&
           pn_text_to_double(pn_text_trim(rest), lon_deg);
}

static pn_status square_middle(pn_grid_square square, pn_latlon *out,
                               pn_error *err) {
    pn_grid middle = square.south_west;
    middle.easting_m += square.side_m / 2.0;
    middle.northing_m += square.side_m / 2.0;
    return pn_grid_to_latlon(middle, out, err);
}

pn_status pn_position_parse(pn_text text, pn_latlon *out, double *side_m,
                            pn_error *err) {
    pn_text trimmed = pn_text_trim(text);
    if (trimmed.len > 0 && letter_index(trimmed.at[0]) >= 0) {
        pn_grid_square square = {0};
        pn_status status = pn_grid_parse(trimmed, &square, err);
        if (status == PN_OK) {
            status = square_middle(square, out, err);
        }
        if (status == PN_OK && side_m != NULL) {
            *side_m = square.side_m;
        }
        return status;
    }
    double lat_deg = NAN;
    double lon_deg = NAN;
    if (!degrees_pair(trimmed, &lat_deg, &lon_deg)) {
        return pn_fail(err, PN_EPARSE,
                       "not a place: expected a grid reference such as "
                       "SU 123 456, or latitude and longitude in degrees "
                       "such as 51.2345, -1.2345");
    }
    pn_status status = pn_latlon_from_degrees(lat_deg, lon_deg, out, err);
    if (status == PN_OK && side_m != NULL) {
        *side_m = 0.0;
    }
    return status;
}
