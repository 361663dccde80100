// SPDX-License-Identifier: MIT
#include "support/check.h"
#include "support/station.h"

static char *real_table;

static int read_table(void **state) {
    (void)state;
    real_table = station_read();
    return 0;
}

static int free_table(void **state) {
    (void)state;
    free(real_table);
    return 0;
}

static bool has_note(const pn_score_soil *score, const char *words) {
    for (size_t i = 0; i < score->note_count; i++) {
        if (strstr(score->notes[i], words) != NULL) {
            return true;
        }
    }
    return false;
}

/* A skill is a number, or the notes say why not. */
static void check_told(const pn_score_soil *score) {
    for (size_t i = 0; i < score->method_count; i++) {
        const pn_score_skill *judge = &score->methods[i].judge;
        bool is_water = score->methods[i].target == PN_SCORE_WATER;
        if (!isfinite(judge->rmse)) {
            assert_true(
                has_note(score, is_water ? "soil water" : "soil temperature"));
        }
    }
    for (size_t i = 0; i < score->day_count; i++) {
        assert_true(isfinite(score->modelled[PN_SCORE_WATER][i]));
        assert_true(isfinite(score->modelled[PN_SCORE_WARMTH][i]));
    }
    pn_error err = {0};
    assert_int_equal(pn_soil_ground_check(&score->ground, &err), PN_OK);
}

static pn_score_soil *run_opts(const pn_score_soil_opts *opts) {
    pn_score_soil *score = NULL;
    pn_error err = {0};
    if (pn_score_soil_run(&pn_alloc_libc, opts, &score, &err) != PN_OK) {
        fail_msg("%s", err.message);
    }
    check_told(score);
    return score;
}

static pn_score_soil *run(const char *text) {
    pn_score_soil_opts opts = station_opts(text);
    return run_opts(&opts);
}

static double judged(const pn_score_soil *score, pn_score_target target) {
    const pn_score_method *m = station_method(score, target, "pannage, fitted");
    return target == PN_SCORE_WATER ? m->judge.nse : m->judge.rmse;
}

/* With rain missing nothing is good, but ours degrades no faster. */
static void assert_beats_bucket(const pn_score_soil *score) {
    const pn_score_method *bucket =
        station_method(score, PN_SCORE_WATER, "bucket on rain and PE");
    assert_true(judged(score, PN_SCORE_WATER) > bucket->judge.nse);
}

/* ---- spoilt tables ---------------------------------------------------- */

static bool drop_days(const char *name, const char *date, char *field,
                      void *ctx) {
    (void)date;
    (void)field;
    return strcmp(name, "COSMOS_VWC") != 0 || pn_random_uniform(ctx) >= 0.3;
}

static void a_third_of_the_days_missing(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(30);
    char *text = station_edited(real_table, drop_days, &random);
    pn_score_soil *score = run(text);
    assert_true(has_note(score, "rain missing"));
    assert_true(has_note(score, "temperature missing"));
    assert_true(judged(score, PN_SCORE_WATER) > 0.4);
    assert_beats_bucket(score);
    assert_true(judged(score, PN_SCORE_WARMTH) < 1.6);
    pn_score_soil_free(score);
    free(text);
}

static bool blank_values(const char *name, const char *date, char *field,
                         void *ctx) {
    (void)name;
    (void)date;
    if (pn_random_uniform(ctx) < 0.3) {
        (void)snprintf(field, 32, "-9999");
    }
    return true;
}

static void a_third_of_the_values_missing(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(31);
    char *text = station_edited(real_table, blank_values, &random);
    pn_score_soil *score = run(text);
    assert_true(judged(score, PN_SCORE_WATER) > 0.4);
    assert_beats_bucket(score);
    assert_true(judged(score, PN_SCORE_WARMTH) < 1.7);
    pn_score_soil_free(score);
    free(text);
}

typedef struct rescale {
    double factor, plus;
} rescale;

static bool rescale_water(const char *name, const char *date, char *field,
                          void *ctx) {
    (void)date;
    const rescale *r = ctx;
    double value = 0;
    if (strcmp(name, "COSMOS_VWC") == 0 &&
        pn_text_to_double(pn_text_of(field), &value)) {
        (void)snprintf(field, 32, "%.3f", value * r->factor + r->plus);
    }
    return true;
}

static void other_soils(void **state) {
    (void)state;
    rescale rows[] = {{0.6, -6} /* sand */, {1.3, 20} /* peat */};
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        char *text = station_edited(real_table, rescale_water, &rows[i]);
        pn_score_soil *score = run(text);
        assert_true(judged(score, PN_SCORE_WATER) > 0.75);
        assert_true(judged(score, PN_SCORE_WARMTH) < 1.5);
        pn_score_soil_free(score);
        free(text);
    }
}

static bool blank_radiation(const char *name, const char *date, char *field,
                            void *ctx) {
    (void)date;
    (void)ctx;
    if (strncmp(name, "RN_", 3) == 0 || strncmp(name, "RH_", 3) == 0 ||
        strncmp(name, "WS_", 3) == 0 || strcmp(name, "PE_LEVEL2") == 0) {
        field[0] = '\0';
    }
    return true;
}

static void without_radiation_it_falls_back(void **state) {
    (void)state;
    char *text = station_edited(real_table, blank_radiation, NULL);
    pn_score_soil *score = run(text);
    assert_int_equal(score->et0_days[PN_SKY_ET0_HARGREAVES], 730);
    assert_true(judged(score, PN_SCORE_WATER) > 0.75);
    assert_true(judged(score, PN_SCORE_WARMTH) < 1.5);
    pn_score_soil_free(score);
    free(text);
}

static bool winter_only(const char *name, const char *date, char *field,
                        void *ctx) {
    (void)name;
    (void)field;
    (void)ctx;
    int month = atoi(date + 5);
    return month <= 2 || month >= 11;
}

static void winters_alone(void **state) {
    (void)state;
    char *text = station_edited(real_table, winter_only, NULL);
    pn_score_soil *score = run(text);
    assert_true(judged(score, PN_SCORE_WARMTH) < 1.5);
    pn_score_soil_free(score);
    free(text);
}

static bool blank_column(const char *name, const char *date, char *field,
                         void *ctx) {
    (void)date;
    if (strstr(name, ctx) != NULL) {
        field[0] = '\0';
    }
    return true;
}

static void a_missing_target_is_told(void **state) {
    (void)state;
    char water[] = "VWC", warmth[] = "TSOIL";
    char *text = station_edited(real_table, blank_column, water);
    pn_score_soil *score = run(text);
    assert_true(has_note(score, "soil water"));
    assert_true(isnan(judged(score, PN_SCORE_WATER)));
    assert_true(judged(score, PN_SCORE_WARMTH) < 1.5);
    pn_score_soil_free(score);
    free(text);
    text = station_edited(real_table, blank_column, warmth);
    score = run(text);
    assert_true(has_note(score, "soil temperature"));
    assert_true(judged(score, PN_SCORE_WATER) > 0.8);
    pn_buffer svg;
    pn_buffer_init(&svg, &pn_alloc_libc);
    assert_int_equal(pn_score_soil_svg(score, &svg, NULL), PN_OK);
    assert_null(strstr(pn_buffer_text(&svg), "Soil temperature at 10 cm"));
    pn_buffer_deinit(&svg);
    pn_score_soil_free(score);
    free(text);
}

static void missing_weather_is_refused(void **state) {
    (void)state;
    static const struct {
        char column[16];
        const char *says;
    } rows[] = {{"PRECIPITATION", "PRECIPITATION_TOTAL"}, {"TA_", "TA_MIN"}};
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        char column[16];
        memcpy(column, rows[i].column, sizeof column);
        char *text = station_edited(real_table, blank_column, column);
        pn_score_soil_opts opts = station_opts(text);
        pn_score_soil *score = NULL;
        pn_error err = {0};
        assert_int_equal(pn_score_soil_run(&pn_alloc_libc, &opts, &score, &err),
                         PN_EDOMAIN);
        assert_non_null(strstr(err.message, rows[i].says));
        assert_null(score);
        free(text);
    }
}

static void mean_air_alone_will_do(void **state) {
    (void)state;
    char min[] = "TA_LEVEL2_MIN", max[] = "TA_LEVEL2_MAX";
    char *half = station_edited(real_table, blank_column, min);
    char *text = station_edited(half, blank_column, max);
    pn_score_soil *score = run(text);
    assert_true(judged(score, PN_SCORE_WATER) > 0.7);
    assert_true(judged(score, PN_SCORE_WARMTH) < 1.7);
    pn_score_soil_free(score);
    free(half);
    free(text);
}

/* Soil as under a dense wood: the air, damped, without sun. */
static bool woodland_soil(const char *name, const char *date, char *field,
                          void *ctx) {
    (void)date;
    double *soil = ctx, value = 0;
    if (strcmp(name, "TA_LEVEL2_MEAN") == 0 &&
        pn_text_to_double(pn_text_of(field), &value)) {
        *soil += 0.25 * (0.9 * value + 0.6 - *soil);
    }
    if (strstr(name, "TSOIL") != NULL) {
        (void)snprintf(field, 32, "%.2f", *soil);
    }
    return true;
}

static void under_trees(void **state) {
    (void)state;
    static const pn_soil_cover covers[] = {PN_SOIL_OPEN, PN_SOIL_BROADLEAF,
                                           PN_SOIL_CONIFER};
    double soil = 5;
    char *text = station_edited(real_table, woodland_soil, &soil);
    for (size_t i = 0; i < COUNT_OF(covers); i++) {
        pn_score_soil_opts opts = station_opts(text);
        opts.cover = covers[i];
        pn_score_soil *score = run_opts(&opts);
        assert_true(judged(score, PN_SCORE_WARMTH) < 1.0);
        assert_true(judged(score, PN_SCORE_WATER) > 0.8);
        pn_score_soil_free(score);
    }
    free(text);
}

/* ---- the door --------------------------------------------------------- */

static void years_are_checked(void **state) {
    (void)state;
    static const struct {
        const char *name;
        int fit_first, fit_last, judge_first, judge_last;
        const char *says;
    } rows[] = {
        {"judged on the fit", 2017, 2018, 2018, 2019, "share a year"},
        {"backwards", 2018, 2017, 2019, 2019, "comes first"},
        {"not in the table", 1990, 1990, 2018, 2019,
         "no day of the years to "
         "fit"},
        {"nothing to judge", 2017, 2017, 2025, 2026, "judge"},
        {"no years given", 0, 0, 0, 0, "1800"},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        pn_score_soil_opts opts = station_opts(real_table);
        opts.fit_first_year = rows[i].fit_first;
        opts.fit_last_year = rows[i].fit_last;
        opts.judge_first_year = rows[i].judge_first;
        opts.judge_last_year = rows[i].judge_last;
        pn_score_soil *score = NULL;
        pn_error err = {0};
        pn_status status =
            pn_score_soil_run(&pn_alloc_libc, &opts, &score, &err);
        if (status != PN_EDOMAIN || strstr(err.message, rows[i].says) == NULL) {
            fail_msg("%s: %d '%s'", rows[i].name, (int)status, err.message);
        }
    }
}

static void too_short_a_fit_keeps_the_priors(void **state) {
    (void)state;
    pn_score_soil_opts opts = station_opts(real_table);
    opts.fit_first_year = 2016; /* 38 days */
    opts.fit_last_year = 2016;
    pn_score_soil *score = run_opts(&opts);
    assert_true(has_note(score, "priors stand"));
    for (size_t i = 0; i < score->parameter_count; i++) {
        assert_near(score->parameters[i].name, score->parameters[i].fitted,
                    score->parameters[i].prior, 1e-9);
    }
    pn_score_soil_free(score);
}

static void an_unknown_place_is_noted(void **state) {
    (void)state;
    pn_score_soil_opts opts = station_opts(real_table);
    opts.latitude_rad = NAN;
    opts.elevation_m = NAN;
    pn_score_soil *score = run_opts(&opts);
    assert_true(has_note(score, "54 degrees"));
    assert_true(has_note(score, "100 m"));
    assert_true(judged(score, PN_SCORE_WARMTH) < 1.5);
    pn_score_soil_free(score);
}

static void the_same_every_time(void **state) {
    (void)state;
    pn_score_soil *a = run(real_table), *b = run(real_table);
    for (size_t i = 0; i < a->parameter_count; i++) {
        assert_near(a->parameters[i].name, b->parameters[i].fitted,
                    a->parameters[i].fitted, 0);
    }
    pn_score_soil_free(a);
    pn_score_soil_free(b);
}

static void the_fit_tells_how_sure_it_is(void **state) {
    (void)state;
    pn_score_soil *score = run(real_table);
    assert_int_equal(score->parameter_count, 16);
    for (size_t i = 0; i < score->parameter_count; i++) {
        const pn_score_parameter *p = &score->parameters[i];
        assert_true(p->prior_low < p->prior && p->prior < p->prior_high);
        assert_true(p->fitted_low < p->fitted && p->fitted < p->fitted_high);
        /* data never make it less sure than the prior was (by a ratio) */
        assert_true(p->fitted_high / p->fitted_low <
                    1.02 * p->prior_high / p->prior_low);
    }
    pn_score_soil_free(score);
}

static void reports_are_written(void **state) {
    (void)state;
    pn_score_soil *score = run(real_table);
    pn_buffer text, json, svg;
    pn_buffer_init(&text, &pn_alloc_libc);
    pn_buffer_init(&json, &pn_alloc_libc);
    pn_buffer_init(&svg, &pn_alloc_libc);
    assert_int_equal(pn_score_soil_text(score, &text, NULL), PN_OK);
    assert_int_equal(pn_score_soil_json(score, &json, NULL), PN_OK);
    assert_int_equal(pn_score_soil_svg(score, &svg, NULL), PN_OK);
    assert_non_null(strstr(pn_buffer_text(&text), "fitted on 2017, judged on "
                                                  "2018-2019"));
    assert_non_null(strstr(pn_buffer_text(&text), "bucket on rain and PE"));
    assert_null(strstr(pn_buffer_text(&text), "nan"));
    assert_null(strstr(pn_buffer_text(&json), "nan"));
    assert_non_null(strstr(pn_buffer_text(&json), "\"rmse\":"));
    assert_non_null(strstr(pn_buffer_text(&svg), "</svg>"));
    pn_buffer_deinit(&text);
    pn_buffer_deinit(&json);
    pn_buffer_deinit(&svg);
    pn_score_soil_free(score);
}

/* ---- memory ----------------------------------------------------------- */

typedef struct failing {
    size_t calls, fail_at; /* fail_at 0: never */
} failing;

static void *failing_resize(void *ctx, void *block, size_t new_size) {
    failing *f = ctx;
    if (new_size > 0 && ++f->calls == f->fail_at) {
        return NULL;
    }
    return pn_alloc_libc.resize(pn_alloc_libc.ctx, block, new_size);
}

static void every_allocation_may_fail(void **state) {
    (void)state;
    char *text = station_edited(real_table, winter_only, NULL); /* shorter */
    failing f = {0, 0};
    pn_alloc alloc = {failing_resize, &f};
    pn_score_soil_opts opts = station_opts(text);
    pn_score_soil *score = NULL;
    assert_int_equal(pn_score_soil_run(&alloc, &opts, &score, NULL), PN_OK);
    pn_score_soil_free(score);
    size_t calls = f.calls;
    assert_true(calls > 20);
    for (size_t k = 1; k <= calls; k++) {
        f = (failing){0, k};
        score = NULL;
        pn_error err = {0};
        assert_int_equal(pn_score_soil_run(&alloc, &opts, &score, &err),
                         PN_ENOMEM);
        assert_null(score);
        assert_true(err.message[0] != '\0');
    }
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_third_of_the_days_missing),
        cmocka_unit_test(a_third_of_the_values_missing),
        cmocka_unit_test(other_soils),
        cmocka_unit_test(without_radiation_it_falls_back),
        cmocka_unit_test(winters_alone),
        cmocka_unit_test(a_missing_target_is_told),
        cmocka_unit_test(missing_weather_is_refused),
        cmocka_unit_test(mean_air_alone_will_do),
        cmocka_unit_test(under_trees),
        cmocka_unit_test(years_are_checked),
        cmocka_unit_test(too_short_a_fit_keeps_the_priors),
        cmocka_unit_test(an_unknown_place_is_noted),
        cmocka_unit_test(the_same_every_time),
        cmocka_unit_test(the_fit_tells_how_sure_it_is),
        cmocka_unit_test(reports_are_written),
        cmocka_unit_test(every_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, read_table, free_table);
}
