// SPDX-License-Identifier: MIT
#include "sky_support.h"

#include <string.h>

static void names_are_the_column_names(void **state) {
    (void)state;
    assert_string_equal(pn_sky_var_name(PN_SKY_TMIN_DEGC), "tmin_degc");
    assert_string_equal(pn_sky_var_name(PN_SKY_SUNSHINE_H), "sunshine_h");
    assert_string_equal(pn_sky_var_name(PN_SKY_VAR_COUNT), "unknown");
}

static void plausible_ranges(void **state) {
    (void)state;
    static const struct {
        const char *name;
        pn_sky_var var;
        double value;
        bool want;
    } cases[] = {
        {"coldest ever", PN_SKY_TMIN_DEGC, -89.2, true},
        {"Fahrenheit in a Celsius column", PN_SKY_TMAX_DEGC, 72.0, false},
        {"wettest day ever", PN_SKY_RAIN_MM, 1825.0, true},
        {"negative rain", PN_SKY_RAIN_MM, -0.1, false},
        {"percent in a fraction column", PN_SKY_HUMIDITY_FRAC, 84.0, false},
        {"saturated air", PN_SKY_HUMIDITY_FRAC, 1.0, true},
        {"calm", PN_SKY_WIND_M_S, 0.0, true},
        {"watts in a megajoule column", PN_SKY_SOLAR_MJ_M2, 180.0, false},
        {"midsummer in the far north", PN_SKY_SUNSHINE_H, 24.0, true},
        {"more than a day of sun", PN_SKY_SUNSHINE_H, 24.1, false},
        {"missing", PN_SKY_RAIN_MM, NAN, false},
        {"infinite", PN_SKY_RAIN_MM, INFINITY, false},
        {"no such variable", PN_SKY_VAR_COUNT, 1.0, false},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        bool got =
            pn_sky_var_plausible(cases[i].var, cases[i].value, NULL, NULL);
        assert_near(cases[i].name, got, cases[i].want, 0.0);
    }
    double low = 1.0;
    double high = 1.0;
    assert_true(pn_sky_var_plausible(PN_SKY_RAIN_MM, 3.0, &low, &high));
    assert_near("low", low, 0.0, 0.0);
    assert_near("high", high, 1900.0, 0.0);
}

static void new_record_is_all_missing(void **state) {
    (void)state;
    pn_weather *weather = NULL;
    assert_int_equal(pn_weather_new(&pn_alloc_libc, 100, 3, &weather, NULL),
                     PN_OK);
    for (int v = 0; v < PN_SKY_VAR_COUNT; v++) {
        for (size_t i = 0; i < 3; i++) {
            assert_true(isnan(weather->value[v][i]));
            assert_int_equal(weather->quality[v][i], 0);
        }
    }
    assert_true(isnan(weather->elevation_m));
    pn_weather_free(weather);
    pn_weather_free(NULL);
}

static void impossible_lengths_are_refused(void **state) {
    (void)state;
    static const struct {
        int32_t first_epoch_day;
        size_t day_count;
    } cases[] = {
        {0, 0},         {0, 73051},   {0, SIZE_MAX}, {INT32_MAX, 1},
        {INT32_MIN, 1}, {2932896, 2}, /* 9999-12-31 and one more */
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        pn_weather *weather = NULL;
        pn_error err = {0};
        assert_int_equal(pn_weather_new(&pn_alloc_libc,
                                        cases[i].first_epoch_day,
                                        cases[i].day_count, &weather, &err),
                         PN_EDOMAIN);
        assert_null(weather);
        assert_non_null(strstr(err.message, "1583"));
    }
}

static void resize_keeps_days_in_both(void **state) {
    (void)state;
    static const struct {
        const char *name;
        int32_t first;
        int32_t last;
    } cases[] = {
        {"same", 1000, 1009},
        {"inside", 1003, 1005},
        {"longer at both ends", 995, 1020},
        {"shifted later", 1005, 1020},
        {"shifted earlier", 990, 1003},
        {"apart, later", 1010, 1012},
        {"apart, earlier", 990, 999},
    };
    for (size_t c = 0; c < COUNT_OF(cases); c++) {
        pn_weather *weather = plain_record(1000, 10);
        weather->quality[PN_SKY_RAIN_MM][4] = PN_SKY_SUSPECT;
        assert_int_equal(
            pn_weather_resize_to(weather, cases[c].first, cases[c].last, NULL),
            PN_OK);
        assert_int_equal(weather->first_epoch_day, cases[c].first);
        assert_near(cases[c].name, weather->elevation_m, 100.0, 0.0);
        for (int32_t day = cases[c].first; day <= cases[c].last; day++) {
            size_t at = 0;
            assert_true(pn_weather_index_of(weather, day, &at));
            bool known = day >= 1000 && day <= 1009;
            assert_near(cases[c].name, weather->value[PN_SKY_TMIN_DEGC][at],
                        known ? day - 1000.0 : NAN, 0.0);
            assert_int_equal(weather->quality[PN_SKY_RAIN_MM][at],
                             day == 1004 ? PN_SKY_SUSPECT : 0);
        }
        size_t at = 0;
        assert_false(pn_weather_index_of(weather, cases[c].first - 1, &at));
        assert_false(pn_weather_index_of(weather, cases[c].last + 1, &at));
        pn_weather_free(weather);
    }
}

static void resize_refuses_nonsense(void **state) {
    (void)state;
    pn_weather *weather = plain_record(1000, 10);
    assert_int_equal(pn_weather_resize_to(weather, 5, 4, NULL), PN_EDOMAIN);
    assert_int_equal(pn_weather_resize_to(weather, INT32_MIN, INT32_MAX, NULL),
                     PN_EDOMAIN);
    assert_int_equal(weather->day_count, 10);
    pn_weather_free(weather);
}

static void elevation_shifts_temperature_only(void **state) {
    (void)state;
    pn_weather *weather = plain_record(1000, 5);
    weather->value[PN_SKY_TMIN_DEGC][2] = NAN;
    assert_int_equal(pn_weather_to_elevation(weather, 400.0, NULL), PN_OK);
    assert_near("300 m up is 1.95 K colder",
                weather->value[PN_SKY_TMAX_DEGC][1], 11.0 - 1.95, 1e-12);
    assert_near("missing stays missing", weather->value[PN_SKY_TMIN_DEGC][2],
                NAN, 0.0);
    assert_near("rain", weather->value[PN_SKY_RAIN_MM][0], 2.0, 0.0);
    assert_near("height", weather->elevation_m, 400.0, 0.0);
    assert_int_equal(pn_weather_to_elevation(weather, 100.0, NULL), PN_OK);
    assert_near("and back", weather->value[PN_SKY_TMAX_DEGC][1], 11.0, 1e-12);
    pn_weather_free(weather);
}

static void elevation_must_be_known(void **state) {
    (void)state;
    static const double bad_m[] = {NAN, INFINITY, -431.0, 9001.0};
    pn_weather *weather = plain_record(day_of(2020, 5, 1), 5);
    for (size_t i = 0; i < COUNT_OF(bad_m); i++) {
        assert_int_equal(pn_weather_to_elevation(weather, bad_m[i], NULL),
                         PN_EDOMAIN);
    }
    weather->value[PN_SKY_TMAX_DEGC][3] = 59.9;
    pn_error err = {0};
    assert_int_equal(pn_weather_to_elevation(weather, -400.0, &err),
                     PN_EDOMAIN);
    assert_non_null(strstr(err.message, "2020-05-04"));
    assert_near("untouched on failure", weather->value[PN_SKY_TMAX_DEGC][0],
                10.0, 0.0);
    weather->elevation_m = NAN;
    assert_int_equal(pn_weather_to_elevation(weather, 100.0, NULL), PN_EDOMAIN);
    pn_weather_free(weather);
}

static pn_status build_all(const pn_alloc *alloc) {
    pn_weather *weather = NULL;
    pn_weather *copy = NULL;
    pn_status status = pn_weather_new(alloc, 1000, 10, &weather, NULL);
    if (status == PN_OK) {
        status = pn_weather_copy(alloc, weather, &copy, NULL);
    }
    if (status == PN_OK) {
        status = pn_weather_resize_to(copy, 990, 1020, NULL);
    }
    pn_weather_free(copy);
    pn_weather_free(weather);
    return status;
}

/* Every allocation fails once; the sanitizer proves that nothing leaks. */
static void survives_every_failed_allocation(void **state) {
    (void)state;
    pn_status status = PN_ENOMEM;
    int permitted = 0;
    for (; status == PN_ENOMEM && permitted < 1000; permitted++) {
        failing limit = {.calls_left = permitted};
        pn_alloc alloc = failing_alloc(&limit);
        status = build_all(&alloc);
    }
    assert_int_equal(status, PN_OK);
    assert_int_equal(permitted, 3 * 15 + 1); /* three records, then none */
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_are_the_column_names),
        cmocka_unit_test(plausible_ranges),
        cmocka_unit_test(new_record_is_all_missing),
        cmocka_unit_test(impossible_lengths_are_refused),
        cmocka_unit_test(resize_keeps_days_in_both),
        cmocka_unit_test(resize_refuses_nonsense),
        cmocka_unit_test(elevation_shifts_temperature_only),
        cmocka_unit_test(elevation_must_be_known),
        cmocka_unit_test(survives_every_failed_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
