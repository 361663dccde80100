// SPDX-License-Identifier: MIT
#include "support/check.h"

#include <string.h>

#include "pannage/ground.h"

/* Squares as printed on the published diagram of the grid, from memory:
 * SV at the origin, HP in the far north, TG at Caister (worked example:
 * 651409, 313177 = TG 51409 13177). */
static void parses(void **state) {
    (void)state;
    static const struct {
        const char *text;
        pn_status want;
        double east_m, north_m, side_m;
    } cases[] = {
        {"SV", PN_OK, 0, 0, 100000},
        {"SV00", PN_OK, 0, 0, 10000},
        {"HP", PN_OK, 400000, 1200000, 100000},
        {"TG 51409 13177", PN_OK, 651409, 313177, 1},
        {"TG5140913177", PN_OK, 651409, 313177, 1},
        {"tg 5140 1317", PN_OK, 651400, 313170, 10},
        {" TG\t514 131 ", PN_OK, 651400, 313100, 100},
        {"TG 51 13", PN_OK, 651000, 313000, 1000},
        {"TG 5 1", PN_OK, 650000, 310000, 10000},
        {"SU 387 148", PN_OK, 438700, 114800, 100},
        {"NN 166 712", PN_OK, 216600, 771200, 100},
        {"", PN_EPARSE, 0, 0, 0},
        {"S", PN_EPARSE, 0, 0, 0},
        {"SI 12", PN_EPARSE, 0, 0, 0},
        {"SU 123", PN_EPARSE, 0, 0, 0},
        {"SU 1 234", PN_EPARSE, 0, 0, 0},
        {"SU 12 3456", PN_EPARSE, 0, 0, 0},
        {"SU 123456 123456", PN_EPARSE, 0, 0, 0},
        {"SU 12a 456", PN_EPARSE, 0, 0, 0},
        {"S1 12 34", PN_EPARSE, 0, 0, 0},
        {"SU-12-34", PN_EPARSE, 0, 0, 0},
        {"AA 12 34", PN_EDOMAIN, 0, 0, 0},
        {"WA 12 34", PN_EDOMAIN, 0, 0, 0},
        {"TF5\xc3\xa9", PN_EPARSE, 0, 0, 0},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        pn_grid_square got = {0};
        pn_status status = pn_grid_parse(pn_text_of(cases[i].text), &got, NULL);
        if (status != cases[i].want) {
            fail_msg("\"%s\": %s", cases[i].text, pn_status_name(status));
        }
        assert_near(cases[i].text, got.south_west.easting_m, cases[i].east_m,
                    0);
        assert_near(cases[i].text, got.south_west.northing_m, cases[i].north_m,
                    0);
        assert_near(cases[i].text, got.side_m, cases[i].side_m, 0);
    }
}

static void formats(void **state) {
    (void)state;
    pn_grid caister = {651409.903, 313177.270};
    static const struct {
        int digits;
        const char *want;
    } cases[] = {{0, "TG"},           {2, "TG 5 1"},
                 {4, "TG 51 13"},     {6, "TG 514 131"},
                 {8, "TG 5140 1317"}, {10, "TG 51409 13177"}};
    char buf[PN_GRID_TEXT_SIZE];
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        assert_int_equal(pn_grid_format(caister, cases[i].digits, buf, NULL),
                         PN_OK);
        assert_string_equal(buf, cases[i].want);
    }
    pn_error err = {0};
    assert_int_equal(pn_grid_format(caister, 5, buf, &err), PN_EDOMAIN);
    assert_string_equal(err.message, "a grid reference has 0, 2, 4, 6, 8 or "
                                     "10 digits, not 5");
    pn_grid sea = {-1.0, 5.0};
    pn_grid nan_grid = {NAN, 5.0};
    assert_int_equal(pn_grid_format(sea, 6, buf, NULL), PN_EDOMAIN);
    assert_int_equal(pn_grid_format(nan_grid, 6, buf, NULL), PN_EDOMAIN);
}

/* Text -> square -> text, and the middle of a square names that square. */
static void round_trips(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(99);
    for (int i = 0; i < 5000; i++) {
        pn_grid at = {pn_random_uniform(&random) * 700000.0,
                      pn_random_uniform(&random) * 1300000.0};
        int digits = 2 * (int)(pn_random_u64(&random) % 6);
        char text[PN_GRID_TEXT_SIZE];
        char again[PN_GRID_TEXT_SIZE];
        pn_grid_square square = {0};
        assert_int_equal(pn_grid_format(at, digits, text, NULL), PN_OK);
        assert_int_equal(pn_grid_parse(pn_text_of(text), &square, NULL), PN_OK);
        pn_grid corner = square.south_west;
        assert_true(at.easting_m >= corner.easting_m &&
                    at.easting_m < corner.easting_m + square.side_m);
        assert_true(at.northing_m >= corner.northing_m &&
                    at.northing_m < corner.northing_m + square.side_m);
        pn_latlon middle = {0};
        pn_grid back = {0};
        assert_int_equal(
            pn_position_parse(pn_text_of(text), &middle, NULL, NULL), PN_OK);
        assert_int_equal(pn_grid_from_latlon(middle, &back, NULL), PN_OK);
        assert_int_equal(pn_grid_format(back, digits, again, NULL), PN_OK);
        assert_string_equal(again, text);
    }
}

static void positions(void **state) {
    (void)state;
    static const struct {
        const char *text;
        pn_status want;
        double lat_deg, lon_deg, side_m;
    } cases[] = {
        {"52.5, -1.25", PN_OK, 52.5, -1.25, 0},
        {" 52.5  -1.25 ", PN_OK, 52.5, -1.25, 0},
        {"52.5,-1.25", PN_OK, 52.5, -1.25, 0},
        {"52.5", PN_EPARSE, 0, 0, -1},
        {"", PN_EPARSE, 0, 0, -1},
        {"52.5, nan", PN_EPARSE, 0, 0, -1},
        {"95, 1", PN_EDOMAIN, 0, 0, -1},
        {"the big oak", PN_EPARSE, 0, 0, -1},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        pn_latlon at = {0};
        double side_m = -1.0;
        pn_status status =
            pn_position_parse(pn_text_of(cases[i].text), &at, &side_m, NULL);
        if (status != cases[i].want) {
            fail_msg("\"%s\": %s", cases[i].text, pn_status_name(status));
        }
        assert_near(cases[i].text, pn_degrees(at.latitude_rad),
                    cases[i].lat_deg, 1e-12);
        assert_near(cases[i].text, pn_degrees(at.longitude_rad),
                    cases[i].lon_deg, 1e-12);
        assert_near(cases[i].text, side_m, cases[i].side_m, 0);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(parses),
        cmocka_unit_test(formats),
        cmocka_unit_test(round_trips),
        cmocka_unit_test(positions),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
