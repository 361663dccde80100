// SPDX-License-Identifier: MIT
#include <string.h>

#include "support/check.h"

#include "pannage/score.h"

static pn_status parse(const char *csv, pn_score_station **out, pn_error *err) {
    return pn_score_station_parse(&pn_alloc_libc, pn_text_of(csv), "x.csv", out,
                                  err);
}

static void columns_are_found_and_scaled(void **state) {
    (void)state;
    pn_score_station *s = NULL;
    pn_error err = {0};
    const char *csv =
        "\xEF\xBB\xBF"
        "DATE_TIME,COSMOS_VWC,PRECIPITATION_LEVEL2_TOTAL,RH_LEVEL2_MEAN,"
        "TA_LEVEL2_MIN,TA_LEVEL2_MAX,TDT1_TSOIL_LEVEL2_MEAN,"
        "TDT2_TSOIL_LEVEL2_MEAN,SOMETHING_ELSE\r\n"
        "2018-01-03,30.5,1.2,80,1,5,4,6,word\r\n"
        "2018-01-01 00:00:00,-9999,,nan,-9999.000,7,,3,\r\n";
    assert_int_equal(parse(csv, &s, &err), PN_OK);
    assert_int_equal(s->day_count, 3);
    pn_date first = {2018, 1, 1};
    assert_int_equal(s->first_epoch_day, pn_date_to_epoch_day(first));
    assert_near("water as a fraction", s->value[PN_SCORE_SOIL_WATER_FRAC][2],
                0.305, 1e-15);
    assert_near("humidity as a fraction", s->value[PN_SCORE_HUMIDITY_FRAC][2],
                0.8, 1e-15);
    assert_near("mean of two probes", s->value[PN_SCORE_SOIL_DEGC][2], 5, 0);
    assert_near("the one probe there is", s->value[PN_SCORE_SOIL_DEGC][0], 3,
                0);
    assert_near("-9999 is missing", s->value[PN_SCORE_TMIN_DEGC][0], NAN, 0);
    assert_near("empty is missing", s->value[PN_SCORE_RAIN_MM][0], NAN, 0);
    assert_near("a day not there", s->value[PN_SCORE_TMAX_DEGC][1], NAN, 0);
    assert_true(s->has[PN_SCORE_RAIN_MM]);
    assert_false(s->has[PN_SCORE_PE_MM]);
    assert_int_equal(s->implausible_count, 0);
    pn_score_station_free(s);
}

static void probes_stand_in_for_neutrons(void **state) {
    (void)state;
    pn_score_station *s = NULL;
    pn_error err = {0};
    assert_int_equal(parse("TDT1_VWC_LEVEL2_MEAN,DATE_TIME,TDT2_VWC_MEAN\n"
                           "20,2018-01-03,30\n",
                           &s, &err),
                     PN_OK);
    assert_true(s->water_from_probes);
    assert_near("mean", s->value[PN_SCORE_SOIL_WATER_FRAC][0], 0.25, 1e-15);
    pn_score_station_free(s);
    assert_int_equal(parse("TDT1_VWC_MEAN,DATE_TIME,COSMOS_VWC\n"
                           "20,2018-01-03,30\n",
                           &s, &err),
                     PN_OK);
    assert_false(s->water_from_probes);
    assert_near("neutrons first", s->value[PN_SCORE_SOIL_WATER_FRAC][0], 0.30,
                1e-15);
    pn_score_station_free(s);
}

static void impossible_values_are_missing_and_counted(void **state) {
    (void)state;
    pn_score_station *s = NULL;
    assert_int_equal(parse("DATE_TIME,TA_MIN,COSMOS_VWC\n"
                           "2018-01-03,-300,30\n2018-01-04,3,900\n",
                           &s, NULL),
                     PN_OK);
    assert_int_equal(s->implausible_count, 2);
    assert_near("cold", s->value[PN_SCORE_TMIN_DEGC][0], NAN, 0);
    assert_near("wet", s->value[PN_SCORE_SOIL_WATER_FRAC][1], NAN, 0);
    pn_score_station_free(s);
}

static void bad_tables_are_told_with_their_place(void **state) {
    (void)state;
    static const struct {
        const char *name, *csv, *says;
    } rows[] = {
        {"empty", "", "empty"},
        {"names only", "DATE_TIME,PE\n", "no days"},
        {"no date column", "DAY,PE\n2018-01-01,1\n", "DATE_TIME"},
        {"a date that is none", "DATE_TIME,PE\n2018-02-30,1\n", "line 2"},
        {"a date with a tail", "DATE_TIME,PE\n2018-02-20x,1\n", "2018-02-20x"},
        {"a word for a number", "DATE_TIME,PE\n2018-02-20,1\n2018-02-21,abc\n",
         "line 3, column PE: 'abc'"},
        {"a day twice", "DATE_TIME,PE\n2018-02-20,1\n2018-02-20,2\n",
         "stands twice"},
        {"cut short", "DATE_TIME,PE,TA_MIN\n2018-02-20,1\n", "cut short"},
        {"a mistyped year", "DATE_TIME,PE\n2018-02-20,1\n9018-02-21,1\n",
         "200 years"},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        pn_score_station *s = NULL;
        pn_error err = {0};
        pn_status status = parse(rows[i].csv, &s, &err);
        if (status != PN_EPARSE || strstr(err.message, rows[i].says) == NULL ||
            strstr(err.message, "x.csv") == NULL) {
            fail_msg("%s: status %d, '%s'", rows[i].name, (int)status,
                     err.message);
        }
        assert_null(s);
    }
}

static void utf16_is_recognised(void **state) {
    (void)state;
    static const char utf16[] = "\xFF\xFE"
                                "D\0A\0T\0E\0";
    pn_score_station *s = NULL;
    pn_error err = {0};
    assert_int_equal(pn_score_station_parse(&pn_alloc_libc,
                                            (pn_text){utf16, sizeof utf16},
                                            "x.csv", &s, &err),
                     PN_EPARSE);
    assert_non_null(strstr(err.message, "UTF-8"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(columns_are_found_and_scaled),
        cmocka_unit_test(probes_stand_in_for_neutrons),
        cmocka_unit_test(impossible_values_are_missing_and_counted),
        cmocka_unit_test(bad_tables_are_told_with_their_place),
        cmocka_unit_test(utf16_is_recognised),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
