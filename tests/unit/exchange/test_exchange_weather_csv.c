/* Plain CSV weather. All values here are invented. */
#include "unit/exchange/exchange_support.h"

#define HEAD "date,tmin (degC),tmax (degC),rain (mm)\n"

static void reads_values_units_and_gaps(void **state) {
    (void)state;
    got g = read_text("date,tmin_f,tmax (degC),rain_in,wind_2m (kn),"
                      "remark,rh (%)\n"
                      "2024-03-04,41,12.5,0.5,10,fine,80\n"
                      "2024-03-01,32,8,NA,,\"wet, cold\",\n"
                      "2024-03-05,NA,NA,,NA,,NA\n");
    assert_int_equal(g.status, PN_OK);
    const pn_weather *w = g.weather;
    assert_int_equal(w->day_count, 5);
    assert_near("41 F", value_on(w, PN_SKY_TMIN_DEGC, "2024-03-04"), 5.0,
                1e-12);
    assert_near("32 F", value_on(w, PN_SKY_TMIN_DEGC, "2024-03-01"), 0.0,
                1e-12);
    assert_near("inch", value_on(w, PN_SKY_RAIN_MM, "2024-03-04"), 12.7, 1e-12);
    assert_near("NA", value_on(w, PN_SKY_RAIN_MM, "2024-03-01"), NAN, 0.0);
    assert_near("knots", value_on(w, PN_SKY_WIND_M_S, "2024-03-04"),
                5.14444 * 4.87 / log(67.8 * 2.0 - 5.42), 1e-4);
    assert_near("percent", value_on(w, PN_SKY_HUMIDITY_FRAC, "2024-03-04"), 0.8,
                1e-12);
    assert_near("no row", value_on(w, PN_SKY_TMAX_DEGC, "2024-03-02"), NAN,
                0.0);
    assert_near("place unknown", w->latitude_rad, NAN, 0.0);
    const pn_exchange_report *r = &g.report;
    assert_int_equal(r->format, PN_EXCHANGE_CSV);
    assert_int_equal(r->row_count, 3);
    assert_int_equal(r->day_count, 5);
    assert_int_equal(r->empty_day_count, 3);
    assert_int_equal(r->longest_empty_days, 2);
    assert_int_equal(r->missing_count[PN_SKY_TMIN_DEGC], 3);
    assert_int_equal(r->missing_count[PN_SKY_RAIN_MM], 4);
    assert_int_equal(r->longest_missing_days[PN_SKY_RAIN_MM], 3);
    assert_true(r->understood[PN_SKY_WIND_M_S]);
    assert_false(r->understood[PN_SKY_SUNSHINE_H]);
    assert_true(has_note(r, "column \"remark\" (field 6) ignored"));
    got_free(&g);
}

static void reads_british_dates_when_told(void **state) {
    (void)state;
    got g = read_text("date (DD/MM/YYYY),rain (mm)\n03/11/2023,4\n");
    assert_int_equal(g.status, PN_OK);
    assert_near("3 November", value_on(g.weather, PN_SKY_RAIN_MM, "2023-11-03"),
                4.0, 0.0);
    got_free(&g);
}

static void refuses_wrong_headers(void **state) {
    (void)state;
    static const refusal rows[] = {
        {"no unit",
         "date,tmin,tmax (degC)\n2024-05-01,1,2\n",
         {"w.csv:1: column \"tmin\" (field 2): value 'tmin': no unit",
          "tmin (degC) or tmin (degF)"}},
        {"wrong unit",
         "date,rain (m/s)\n2024-05-01,1\n",
         {"w.csv:1: column \"rain (m/s)\" (field 2)", "unit not known",
          "rain (mm) or rain (in)"}},
        {"semicolons",
         "date;rain (mm)\n2024-05-01;1\n",
         {"w.csv:1: ", "semicolons or tabs", "with commas"}},
        {"no date",
         "day,rain (mm)\n1,1\n",
         {"w.csv:1: ", "no column \"date\""}},
        {"no weather",
         "date,fish\n2024-05-01,1\n",
         {"w.csv:1: ", "no weather variable", "tmin (degC)"}},
        {"twice the same",
         "date,rain (mm),rain_in\n2024-05-01,1,1\n",
         {"w.csv:1: column \"rain_in\" (field 3)", "field 2", "delete one"}},
        {"two dates",
         "date,date,rain (mm)\n2024-05-01,2024-05-01,1\n",
         {"w.csv:1: column \"date\" (field 2)", "delete one"}},
        {"wind sensor in a cloud",
         "date,wind at 900 m (m/s)\n2024-05-01,1\n",
         {"w.csv:1: ", "0.5 to 200 m"}},
    };
    check_refusals(rows, COUNT_OF(rows));
}

static void refuses_wrong_values(void **state) {
    (void)state;
    static const refusal rows[] = {
        {"word",
         HEAD "2024-05-01,4,12,0\n2024-05-02,4,12,wet\n",
         {"w.csv:3: column \"rain (mm)\" (field 4): value 'wet': expected a "
          "number",
          "0 to 1900", "leave it empty or write NA"}},
        {"NaN",
         HEAD "2024-05-01,nan,12,0\n",
         {"w.csv:2: column \"tmin (degC)\" (field 2): value 'nan'"}},
        {"infinity", HEAD "2024-05-01,4,inf,0\n", {"(field 3): value 'inf'"}},
        {"decimal comma", HEAD "2024-05-01,\"4,5\",12,0\n", {"value '4,5'"}},
        {"hexadecimal", HEAD "2024-05-01,0x4,12,0\n", {"value '0x4'"}},
        {"negative rain",
         HEAD "2024-05-01,4,12,-0.1\n",
         {"w.csv:2: column \"rain (mm)\" (field 4): value '-0.1'",
          "no weather can be so", "0 to 1900"}},
        {"degF called degC",
         HEAD "2024-05-01,41,75,0\n",
         {"(field 3): value '75'", "its unit in the header"}},
        {"minus 9999", HEAD "2024-05-01,-9999,12,0\n", {"value '-9999'"}},
        {"humidity above 100 %",
         "date,rh (%)\n2024-05-01,101\n",
         {"value '101'"}},
        {"tmin above tmax",
         HEAD "2024-05-01,14,12,0\n",
         {"w.csv:2: column \"tmin (degC)\" (field 2): value '14'",
          "above the maximum ('12', field 3)"}},
        {"American date",
         HEAD "05/13/2024,4,12,0\n",
         {"w.csv:2: column \"date\" (field 1): value '05/13/2024'",
          "YYYY-MM-DD", "DD/MM/YYYY"}},
        {"no such day", HEAD "2023-02-29,4,12,0\n", {"value '2023-02-29'"}},
        {"no such day in British",
         "date (DD/MM/YYYY),rain_mm\n31/04/2023,1\n",
         {"value '31/04/2023'", "DD/MM/YYYY"}},
        {"empty date", HEAD ",4,12,0\n", {"w.csv:2: column \"date\"", "''"}},
        {"a date twice",
         HEAD "2024-05-01,4,12,0\n2024-05-02,4,12,0\n2024-05-01,5,13,1\n",
         {"w.csv:4: column \"date\": value '2024-05-01'", "w.csv:2", "delete"}},
        {"a date twice, both empty",
         HEAD "2024-05-01,4,12,0\n2024-05-02,,,\n2024-05-02,,,\n",
         {"w.csv:4: ", "w.csv:3"}},
        {"a slip of the century",
         HEAD "2024-05-01,4,12,0\n1624-05-02,4,12,0\n",
         {"w.csv:3", "1624-05-02", "w.csv:2", "200 years"}},
        {"nothing measured", HEAD "2024-05-01,,,\n", {"no usable weather"}},
        {"a long value is cut",
         HEAD "2024-05-01,4,12,xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx\n",
         {"'xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx...'"}},
    };
    check_refusals(rows, COUNT_OF(rows));
}

static void several_files_make_one_record(void **state) {
    (void)state;
    const char *texts[] = {HEAD "2024-05-01,4,12,0\n",
                           "date,tmin_c,tmax_c\n2024-05-03,5,14\n",
                           HEAD "2024-05-03,4,12,0\n"};
    pn_exchange_memory memory[3];
    pn_exchange_source sources[3];
    static const char *const names[] = {"a.csv", "b.csv", "c.csv"};
    pn_exchange_weather_opts opts = PN_EXCHANGE_WEATHER_OPTS_INIT;
    for (size_t count = 2; count <= 3; count++) {
        pn_weather *weather = NULL;
        pn_error err;
        for (size_t i = 0; i < count; i++) {
            memory[i] = (pn_exchange_memory){texts[i], strlen(texts[i]), 0};
            sources[i] = pn_exchange_memory_source(&memory[i], names[i]);
        }
        pn_status status = pn_exchange_weather_read(
            &pn_alloc_libc, sources, count, &opts, &weather, NULL, &err);
        if (count == 2) {
            assert_int_equal(status, PN_OK);
            assert_int_equal(weather->day_count, 3);
            pn_weather_free(weather);
        } else {
            assert_int_equal(status, PN_EPARSE);
            assert_non_null(strstr(err.message, "c.csv:2"));
            assert_non_null(strstr(err.message, "b.csv:2"));
        }
    }
}

static void a_last_line_without_its_end_is_noted(void **state) {
    (void)state;
    got g = read_text(HEAD "2024-05-01,4,12,1");
    assert_int_equal(g.status, PN_OK);
    assert_true(has_note(&g.report, "last line has no line end"));
    got_free(&g);
    g = read_text(HEAD "2024-05-01,4,12,1\n");
    assert_int_equal(g.report.note_count, 0);
    got_free(&g);
}

static void many_columns_and_notes_are_bounded(void **state) {
    (void)state;
    enum { EXTRA = 40, TOO_MANY = 600 };
    char text[8000] = "date,rain_mm";
    size_t len = strlen(text);
    for (int i = 0; i < EXTRA; i++) {
        len += (size_t)snprintf(text + len, sizeof text - len, ",x%d", i);
    }
    len += (size_t)snprintf(text + len, sizeof text - len, "\n2024-05-01,1");
    for (int i = 0; i < EXTRA; i++) {
        len += (size_t)snprintf(text + len, sizeof text - len, ",");
    }
    snprintf(text + len, sizeof text - len, "\n");
    got g = read_text(text);
    assert_int_equal(g.status, PN_OK);
    assert_int_equal(g.report.note_count, PN_EXCHANGE_NOTE_MAX);
    assert_int_equal(g.report.notes_lost, EXTRA - PN_EXCHANGE_NOTE_MAX);
    got_free(&g);
    len = (size_t)snprintf(text, sizeof text, "date,rain_mm");
    for (int i = 0; i < TOO_MANY; i++) {
        len += (size_t)snprintf(text + len, sizeof text - len, ",x%d", i);
    }
    g = read_text(text);
    assert_int_equal(g.status, PN_EPARSE);
    assert_non_null(strstr(g.err.message, "more than 512 fields"));
}

static void a_forecast_is_flagged(void **state) {
    (void)state;
    const char *text = HEAD "2024-05-01,4,12,\n";
    pn_exchange_weather_opts opts = PN_EXCHANGE_WEATHER_OPTS_INIT;
    opts.forecast = true;
    opts.latitude_deg = 45.0;
    opts.longitude_deg = -3.0;
    opts.elevation_m = 120.0;
    got g = read_bytes(&pn_alloc_libc, text, strlen(text), &opts);
    assert_int_equal(g.status, PN_OK);
    assert_int_equal(quality_on(g.weather, PN_SKY_TMAX_DEGC, "2024-05-01"),
                     PN_SKY_FORECAST);
    assert_int_equal(quality_on(g.weather, PN_SKY_RAIN_MM, "2024-05-01"), 0);
    assert_near("latitude", g.weather->latitude_rad, 0.785398163, 1e-9);
    assert_near("height", g.weather->elevation_m, 120.0, 0.0);
    got_free(&g);
}

static void refuses_impossible_options(void **state) {
    (void)state;
    const char *text = HEAD "2024-05-01,4,12,\n";
    static const struct {
        const char *name;
        double latitude_deg, longitude_deg, elevation_m, wind_height_m;
    } rows[] = {
        {"latitude", 91.0, 0.0, 0.0, 10.0},
        {"longitude", 50.0, 181.0, 0.0, 10.0},
        {"height", 50.0, 0.0, 9001.0, 10.0},
        {"wind height", 50.0, 0.0, 0.0, 0.1},
        {"wind height unknown", 50.0, 0.0, 0.0, NAN},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        pn_exchange_weather_opts opts = {.latitude_deg = rows[i].latitude_deg,
                                         .longitude_deg = rows[i].longitude_deg,
                                         .elevation_m = rows[i].elevation_m,
                                         .wind_height_m =
                                             rows[i].wind_height_m};
        got g = read_bytes(&pn_alloc_libc, text, strlen(text), &opts);
        assert_int_equal(g.status, PN_EDOMAIN);
    }
    pn_weather *weather = NULL;
    pn_exchange_weather_opts opts = PN_EXCHANGE_WEATHER_OPTS_INIT;
    assert_int_equal(pn_exchange_weather_read(&pn_alloc_libc, NULL, 0, &opts,
                                              &weather, NULL, NULL),
                     PN_EDOMAIN);
}

static void survives_every_failed_allocation(void **state) {
    (void)state;
    char text[20000] = HEAD;
    size_t len = strlen(text);
    for (int32_t day = 0; len + 40 < sizeof text; day++) {
        char date[PN_DATE_ISO_SIZE];
        pn_date_iso(day, date);
        len +=
            (size_t)snprintf(text + len, sizeof text - len, "%s,1,2,3\n", date);
    }
    pn_exchange_weather_opts opts = PN_EXCHANGE_WEATHER_OPTS_INIT;
    pn_status status = PN_ENOMEM;
    int permitted = 0;
    for (; status != PN_OK && permitted < 100; permitted++) {
        failing limit = {permitted};
        pn_alloc alloc = failing_alloc(&limit);
        got g = read_bytes(&alloc, text, len, &opts);
        status = g.status;
        assert_true(status == PN_OK || status == PN_ENOMEM);
        got_free(&g);
    }
    assert_int_equal(status, PN_OK);
    assert_true(permitted > 10);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_values_units_and_gaps),
        cmocka_unit_test(reads_british_dates_when_told),
        cmocka_unit_test(refuses_wrong_headers),
        cmocka_unit_test(refuses_wrong_values),
        cmocka_unit_test(several_files_make_one_record),
        cmocka_unit_test(a_last_line_without_its_end_is_noted),
        cmocka_unit_test(many_columns_and_notes_are_bounded),
        cmocka_unit_test(a_forecast_is_flagged),
        cmocka_unit_test(refuses_impossible_options),
        cmocka_unit_test(survives_every_failed_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
