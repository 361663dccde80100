/* The national archive's files: rules and refusals. All values here are
 * invented; the real station year is in tests/ref. */
#include <stdlib.h>

#include "exchange/badc_internal.h"
#include "unit/exchange/exchange_support.h"

#define HEAD                                                                   \
    "Conventions,G,BADC-CSV,1\r\ntitle,G,uk-test\r\n"                          \
    "observation_station,G,inventon\r\nlocation,G,52.5,-1.25\r\n"              \
    "height,G,80,m\r\nmissing_value,G,NA\r\n"
#define TEMP_COLUMNS                                                           \
    "data\r\nob_end_time,id,ob_hour_count,version_num,met_domain_name,"        \
    "src_id,max_air_temp,min_air_temp,max_air_temp_q,min_air_temp_q\r\n"
#define TEMP HEAD TEMP_COLUMNS
#define RAIN                                                                   \
    HEAD "long_name,prcp_amt,Precipitation amount,mm\r\ndata\r\n"              \
         "ob_date,id,version_num,met_domain_name,ob_end_ctime,ob_day_cnt,"     \
         "src_id,prcp_amt,prcp_amt_q\r\n"
#define END "end data\r\n"

typedef struct expected {
    const char *name;
    const char *text;
    pn_sky_var var;
    const char *date;
    double want;
    unsigned flags;
} expected;

static void check_days(const expected *rows, size_t count) {
    for (size_t i = 0; i < count; i++) {
        got g = read_text(rows[i].text);
        if (g.status != PN_OK) {
            print_error("%s: %s\n", rows[i].name, g.err.message);
        }
        assert_int_equal(g.status, PN_OK);
        assert_near(rows[i].name,
                    value_on(g.weather, rows[i].var, rows[i].date),
                    rows[i].want, 1e-12);
        if (quality_on(g.weather, rows[i].var, rows[i].date) != rows[i].flags) {
            print_error("%s: wrong flags\n", rows[i].name);
            fail();
        }
        got_free(&g);
    }
}

/* A 24-hour reading on 2 May at 09:00 stands in every text, so that the day
 * asked for is always in the record. */
static void temperature_goes_to_its_day(void **state) {
    (void)state;
    static const expected rows[] = {
        {"maximum of a morning reading: the day before",
         TEMP "2020-05-02 09:00:00,1,24,1,NCM,7,18,6,9,9\r\n" END,
         PN_SKY_TMAX_DEGC, "2020-05-01", 18.0, 0},
        {"minimum of a morning reading: its day",
         TEMP "2020-05-02 09:00:00,1,24,1,NCM,7,18,6,9,9\r\n" END,
         PN_SKY_TMIN_DEGC, "2020-05-02", 6.0, 0},
        {"evening reading: maximum of its day",
         TEMP "2020-05-02 21:00:00,1,24,1,NCM,7,18,6,9,9\r\n" END,
         PN_SKY_TMAX_DEGC, "2020-05-02", 18.0, 0},
        {"midnight reading: the day it ends",
         TEMP "2020-05-03 00:00:00,1,24,1,NCM,7,18,6,9,9\r\n" END,
         PN_SKY_TMIN_DEGC, "2020-05-02", 6.0, 0},
        {"two halves: the higher maximum, never their mean",
         TEMP "2020-05-01 21:00:00,1,12,1,NCM,7,18,9,9,9\r\n"
              "2020-05-02 09:00:00,1,12,1,NCM,7,11,6,9,9\r\n" END,
         PN_SKY_TMAX_DEGC, "2020-05-01", 18.0, 0},
        {"two halves: a warm night counts",
         TEMP "2020-05-01 21:00:00,1,12,1,NCM,7,8,5,9,9\r\n"
              "2020-05-02 09:00:00,1,12,1,NCM,7,11,6,9,9\r\n" END,
         PN_SKY_TMAX_DEGC, "2020-05-01", 11.0, 0},
        {"two halves: the lower minimum",
         TEMP "2020-05-01 21:00:00,1,12,1,NCM,7,8,5,9,9\r\n"
              "2020-05-02 09:00:00,1,12,1,NCM,7,11,6,9,9\r\n" END,
         PN_SKY_TMIN_DEGC, "2020-05-02", 5.0, 0},
        {"one half alone is estimated",
         TEMP "2020-05-01 21:00:00,1,12,1,NCM,7,18,9,9,9\r\n" END,
         PN_SKY_TMAX_DEGC, "2020-05-01", 18.0, PN_SKY_ESTIMATED},
        {"the wrong half alone is no maximum",
         TEMP "2020-05-02 09:00:00,1,12,1,NCM,7,11,6,9,9\r\n"
              "2020-05-01 09:00:00,1,24,1,NCM,7,9,2,9,9\r\n" END,
         PN_SKY_TMAX_DEGC, "2020-05-01", NAN, 0},
        {"24 hours beat two halves",
         TEMP "2020-05-01 21:00:00,1,12,1,NCM,7,18,9,9,9\r\n"
              "2020-05-02 09:00:00,1,12,1,NCM,7,11,6,9,9\r\n"
              "2020-05-02 09:00:00,2,24,1,NCM,7,17.5,6,9,9\r\n" END,
         PN_SKY_TMAX_DEGC, "2020-05-01", 17.5, 0},
        {"a 24-hour reading that is NA leaves it to the halves",
         TEMP "2020-05-01 21:00:00,1,12,1,NCM,7,18,9,9,9\r\n"
              "2020-05-02 09:00:00,1,12,1,NCM,7,11,6,9,9\r\n"
              "2020-05-02 09:00:00,2,24,1,NCM,7,NA,6,9,9\r\n" END,
         PN_SKY_TMAX_DEGC, "2020-05-01", 18.0, 0},
        {"other periods are passed over",
         TEMP "2020-05-02 09:00:00,1,24,1,NCM,7,18,6,9,9\r\n"
              "2020-05-03 09:00:00,1,72,1,NCM,7,25,6,9,9\r\n" END,
         PN_SKY_TMAX_DEGC, "2020-05-02", NAN, 0},
    };
    check_days(rows, COUNT_OF(rows));
}

static void rain_goes_to_its_day(void **state) {
    (void)state;
    static const expected rows[] = {
        {"the day before the reading",
         RAIN "2020-05-02 00:00:00,1,1,NCM,900,1,7,4.5,9\r\n" END,
         PN_SKY_RAIN_MM, "2020-05-01", 4.5, 0},
        {"midnight to midnight: its own day",
         RAIN "2020-05-02 00:00:00,1,1,NCM,2400,1,7,4.5,9\r\n" END,
         PN_SKY_RAIN_MM, "2020-05-02", 4.5, 0},
        {"several days: spread evenly, estimated",
         RAIN "2020-05-04 00:00:00,1,1,NCM,900,3,7,4.5,9\r\n" END,
         PN_SKY_RAIN_MM, "2020-05-01", 1.5, PN_SKY_ESTIMATED},
        {"several days: none after the reading",
         RAIN "2020-05-04 00:00:00,1,1,NCM,900,3,7,4.5,9\r\n"
              "2020-05-05 00:00:00,1,1,NCM,900,1,7,NA,0\r\n"
              "2020-05-06 00:00:00,1,1,NCM,900,1,7,1,9\r\n" END,
         PN_SKY_RAIN_MM, "2020-05-04", NAN, 0},
        {"a gauge read on the day beats the spread amount",
         RAIN "2020-05-04 00:00:00,1,1,NCM,900,3,7,4.5,9\r\n"
              "2020-05-03 00:00:00,2,1,SSER,900,1,7,4,9\r\n" END,
         PN_SKY_RAIN_MM, "2020-05-02", 4.0, 0},
        {"the climate return beats an automatic gauge",
         RAIN "2020-05-02 00:00:00,1,1,SSER,900,1,7,4.4,9\r\n"
              "2020-05-02 00:00:00,2,1,NCM,900,1,7,4.5,9\r\n" END,
         PN_SKY_RAIN_MM, "2020-05-01", 4.5, 0},
        {"a sound reading beats a doubted climate return",
         RAIN "2020-05-02 00:00:00,1,1,SSER,900,1,7,4.4,9\r\n"
              "2020-05-02 00:00:00,2,1,NCM,900,1,7,4.5,1009\r\n" END,
         PN_SKY_RAIN_MM, "2020-05-01", 4.4, 0},
        {"the checked version beats the message as received",
         RAIN "2020-05-02 00:00:00,1,0,NCM,900,1,7,4.4,9\r\n"
              "2020-05-02 00:00:00,2,1,SSER,900,1,7,4.5,1209\r\n" END,
         PN_SKY_RAIN_MM, "2020-05-01", 4.5, PN_SKY_ESTIMATED | PN_SKY_SUSPECT},
        {"a tie goes to the lower identifier",
         RAIN "2020-05-02 00:00:00,9,1,NCM,900,1,7,4.4,9\r\n"
              "2020-05-02 00:00:00,8,1,NCM,900,1,7,4.5,9\r\n" END,
         PN_SKY_RAIN_MM, "2020-05-01", 4.5, 0},
        {"a trace is nothing",
         RAIN "2020-05-02 00:00:00,9,1,NCM,900,1,7,0,10009\r\n" END,
         PN_SKY_RAIN_MM, "2020-05-01", 0.0, 0},
    };
    check_days(rows, COUNT_OF(rows));
}

static void quality_codes_become_flags(void **state) {
    (void)state;
    static const struct {
        int64_t code;
        unsigned want;
    } rows[] = {
        {0, 0},
        {9, 0},
        {10009, 0},
        {109, PN_SKY_ESTIMATED},
        {1009, PN_SKY_SUSPECT},
        {1209, PN_SKY_SUSPECT | PN_SKY_ESTIMATED},
        {19, PN_SKY_SUSPECT},
        {6, PN_SKY_SUSPECT},
        {20009, PN_SKY_SUSPECT},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        assert_int_equal(px_badc_quality(rows[i].code), rows[i].want);
    }
}

static void an_impossible_value_needs_a_flag_to_be_dropped(void **state) {
    (void)state;
    got g = read_text(TEMP "2020-05-01 09:00:00,1,24,1,NCM,7,18,6,9,9\r\n"
                           "2020-05-02 09:00:00,1,24,1,NCM,7,188,6,1006,0\r\n"
                           "2020-05-03 09:00:00,1,24,1,NCM,7,18,6,9,9\r\n" END);
    assert_int_equal(g.status, PN_OK);
    assert_near("dropped", value_on(g.weather, PN_SKY_TMAX_DEGC, "2020-05-01"),
                NAN, 0.0);
    assert_int_equal(g.report.dropped_count, 1);
    assert_int_equal(g.report.unchecked_count, 1);
    got_free(&g);
}

static void a_minimum_above_the_maximum_drops_both(void **state) {
    (void)state;
    got g = read_text(TEMP "2020-05-02 09:00:00,1,24,1,NCM,7,12,14,9,9\r\n"
                           "2020-05-03 09:00:00,1,24,1,NCM,7,13,8,9,9\r\n" END);
    assert_int_equal(g.status, PN_OK);
    assert_near("tmin", value_on(g.weather, PN_SKY_TMIN_DEGC, "2020-05-02"),
                NAN, 0.0);
    assert_near("tmax", value_on(g.weather, PN_SKY_TMAX_DEGC, "2020-05-02"),
                NAN, 0.0);
    assert_int_equal(g.report.dropped_count, 2);
    assert_true(has_note(&g.report, "1 days had their minimum above"));
    got_free(&g);
}

/* A file of hourly wind and radiation over 1 May 2020, without the hours of
 * which the mask has a bit (bit 0: the hour ending 01:00). */
static got read_hours(uint32_t missing_mask, uint32_t lit_mask) {
    static const char head[] =
        HEAD "data\r\nob_end_time,ob_hour_count,mean_wind_speed,"
             "mean_wind_speed_q,glbl_irad_amt,glbl_irad_amt_q\r\n";
    char text[4096];
    size_t len = (size_t)snprintf(text, sizeof text, "%s", head);
    for (unsigned hour = 0; hour < 24; hour++) {
        if ((missing_mask >> hour & 1U) != 0) {
            continue;
        }
        len += (size_t)snprintf(
            text + len, sizeof text - len,
            "2020-05-%02u %02u:00:00,1,%u,9,%u,%u\r\n", hour == 23 ? 2U : 1U,
            (hour + 1) % 24, hour % 2 == 0 ? 10U : 20U,
            (lit_mask >> hour & 1U) != 0 ? 500U : 0U, hour == 12 ? 109U : 9U);
    }
    snprintf(text + len, sizeof text - len,
             "2020-05-03 12:00:00,1,1,9,1,9\r\n" END);
    return read_text(text);
}

static void hours_become_days(void **state) {
    (void)state;
    const double mean_m_s =
        15.0 * 1852.0 / 3600.0 * 4.87 / log(67.8 * 10.0 - 5.42);
    const uint32_t day = 0x03FFC0U; /* hours 6 .. 17: twelve lit ones */
    static const unsigned est = PN_SKY_ESTIMATED;
    const struct {
        const char *name;
        uint32_t missing, lit;
        double wind_m_s, solar_mj_m2;
        unsigned wind_flags, solar_flags;
    } rows[] = {
        {"whole day", 0, day, mean_m_s, 6.0, 0, est},
        {"a dark hour lacks", 0x000006U, day, mean_m_s, 6.0, est, est},
        {"the last hour lacks", 0xC00000U, day, mean_m_s, 6.0, est, est},
        {"a lit hour lacks", 0x000C00U, day, mean_m_s, NAN, est, 0},
        {"an hour at dusk lacks", 0x0C0000U, day, mean_m_s, NAN, est, 0},
        {"an hour at dawn lacks", 0x000030U, day, mean_m_s, NAN, est, 0},
        {"too many lack", 0xFC0003U, day, NAN, NAN, 0, 0},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        got g = read_hours(rows[i].missing, rows[i].lit);
        if (i == COUNT_OF(rows) - 1) {
            assert_int_equal(g.status, PN_EPARSE); /* nothing is left */
            continue;
        }
        assert_int_equal(g.status, PN_OK);
        assert_near(rows[i].name,
                    value_on(g.weather, PN_SKY_WIND_M_S, "2020-05-01"),
                    rows[i].wind_m_s, 1e-12);
        assert_int_equal(quality_on(g.weather, PN_SKY_WIND_M_S, "2020-05-01"),
                         rows[i].wind_flags);
        assert_near(rows[i].name,
                    value_on(g.weather, PN_SKY_SOLAR_MJ_M2, "2020-05-01"),
                    rows[i].solar_mj_m2, 1e-12);
        assert_int_equal(
            quality_on(g.weather, PN_SKY_SOLAR_MJ_M2, "2020-05-01"),
            rows[i].solar_flags);
        got_free(&g);
    }
}

static void place_and_station_come_with_it(void **state) {
    (void)state;
    static const char text[] =
        TEMP "2020-05-02 09:00:00,1,24,1,NCM,7,18,6,9,9\r\n" END;
    pn_exchange_weather_opts opts = PN_EXCHANGE_WEATHER_OPTS_INIT;
    opts.elevation_m = 300.0;
    got g = read_bytes(&pn_alloc_libc, text, sizeof text - 1, &opts);
    assert_int_equal(g.status, PN_OK);
    assert_near("latitude", g.weather->latitude_rad, 52.5 * 3.14159265 / 180.0,
                1e-8);
    assert_near("longitude", g.weather->longitude_rad,
                -1.25 * 3.14159265 / 180.0, 1e-8);
    assert_near("the caller's height wins", g.weather->elevation_m, 300.0, 0.0);
    assert_string_equal(g.report.station, "inventon");
    got_free(&g);
}

static void refuses_damaged_files(void **state) {
    (void)state;
    static const refusal rows[] = {
        {"no end data",
         TEMP "2020-05-02 09:00:00,1,24,1,NCM,7,18,6,9,9\r\n",
         {"w.csv:10: ", "\"end data\"", "truncated", "copy it again"}},
        {"cut in mid-line",
         TEMP "2020-05-02 09:00:00,1,24,1,N",
         {"w.csv:9: ", "middle of line 9", "truncated"}},
        {"cut in the header", HEAD, {"w.csv:7: ", "truncated"}},
        {"text after the end",
         TEMP "2020-05-02 09:00:00,1,24,1,NCM,7,18,6,9,9\r\n" END "more\r\n",
         {"w.csv:11: ", "after \"end data\""}},
        {"a word for a value",
         TEMP "2020-05-02 09:00:00,1,24,1,NCM,7,warm,6,9,9\r\n" END,
         {"w.csv:9: column \"max_air_temp\" (field 7): value 'warm'",
          "copy it again"}},
        {"an impossible value that is not flagged",
         TEMP "2020-05-02 09:00:00,1,24,1,NCM,7,188,6,9,9\r\n" END,
         {"w.csv:9: column \"max_air_temp\" (field 7): value '188'"}},
        {"a bad quality code",
         TEMP "2020-05-02 09:00:00,1,24,1,NCM,7,18,6,x,9\r\n" END,
         {"column \"max_air_temp_q\" (field 9): value 'x'"}},
        {"a bad time",
         TEMP "2020-05-02 25:00:00,1,24,1,NCM,7,18,6,9,9\r\n" END,
         {"w.csv:9: column \"ob_end_time\" (field 1): value '2020-05-02 25"}},
        {"two stations",
         TEMP "2020-05-02 09:00:00,1,24,1,NCM,7,18,6,9,9\r\n"
              "2020-05-03 09:00:00,1,24,1,NCM,8,18,6,9,9\r\n" END,
         {"w.csv:10: column \"src_id\" (field 6): value '8'", "(7 came before)",
          "one station"}},
        {"another unit",
         HEAD "long_name,max_air_temp,maximum,degF\r\n" TEMP_COLUMNS END,
         {"w.csv:7: ", "'degF'", "expected degC"}},
        {"another missing value",
         "Conventions,G,BADC-CSV,1\nmissing_value,G,-999\n" TEMP_COLUMNS END,
         {"w.csv:2: ", "'-999'", "expected NA"}},
        {"no such place",
         "Conventions,G,BADC-CSV,1\nlocation,G,95,0\n",
         {"w.csv:2: ", "'95'"}},
        {"a column twice",
         HEAD "data\nob_end_time,ob_hour_count,max_air_temp,max_air_temp\n" END,
         {"w.csv:8: column \"max_air_temp\" (field 4)", "twice"}},
        {"no time column",
         HEAD "data\nmax_air_temp\n" END,
         {"w.csv:8: ", "ob_end_time and ob_hour_count"}},
        {"nothing to use",
         HEAD "data\nob_time,q10cm_soil_temp\n" END,
         {"no usable weather"}},
        {"rain over no days",
         RAIN "2020-05-04 00:00:00,1,1,NCM,900,400,7,4.5,9\r\n" END,
         {"column \"ob_day_cnt\" (field 6): value '400'"}},
    };
    check_refusals(rows, COUNT_OF(rows));
}

static void kinds_of_file_do_not_mix(void **state) {
    (void)state;
    static const char *const texts[] = {
        TEMP "2020-05-02 09:00:00,1,24,1,NCM,7,18,6,9,9\r\n" END,
        "date,rain (mm)\n2020-05-01,3\n"};
    pn_exchange_memory memory[2];
    pn_exchange_source sources[2];
    for (size_t i = 0; i < 2; i++) {
        memory[i] = (pn_exchange_memory){texts[i], strlen(texts[i]), 0};
        sources[i] = pn_exchange_memory_source(&memory[i], "x");
    }
    pn_exchange_weather_opts opts = PN_EXCHANGE_WEATHER_OPTS_INIT;
    pn_weather *weather = NULL;
    pn_error err;
    assert_int_equal(pn_exchange_weather_read(&pn_alloc_libc, sources, 2, &opts,
                                              &weather, NULL, &err),
                     PN_EPARSE);
    assert_non_null(strstr(err.message, "plain CSV, the file before it "
                                        "BADC-CSV"));
}

static void survives_every_failed_allocation(void **state) {
    (void)state;
    static const char text[] =
        TEMP "2020-05-01 21:00:00,1,12,1,NCM,7,18,9,9,9\r\n"
             "2020-05-02 09:00:00,1,12,1,NCM,7,11,6,9,9\r\n" END;
    pn_exchange_weather_opts opts = PN_EXCHANGE_WEATHER_OPTS_INIT;
    pn_status status = PN_ENOMEM;
    int permitted = 0;
    for (; status != PN_OK && permitted < 100; permitted++) {
        failing limit = {permitted};
        pn_alloc alloc = failing_alloc(&limit);
        got g = read_bytes(&alloc, text, sizeof text - 1, &opts);
        status = g.status;
        assert_true(status == PN_OK || status == PN_ENOMEM);
        got_free(&g);
    }
    assert_int_equal(status, PN_OK);
    assert_true(permitted > 10);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(temperature_goes_to_its_day),
        cmocka_unit_test(rain_goes_to_its_day),
        cmocka_unit_test(quality_codes_become_flags),
        cmocka_unit_test(an_impossible_value_needs_a_flag_to_be_dropped),
        cmocka_unit_test(a_minimum_above_the_maximum_drops_both),
        cmocka_unit_test(hours_become_days),
        cmocka_unit_test(place_and_station_come_with_it),
        cmocka_unit_test(refuses_damaged_files),
        cmocka_unit_test(kinds_of_file_do_not_mix),
        cmocka_unit_test(survives_every_failed_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
