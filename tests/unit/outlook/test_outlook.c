#include "support/check.h"
#include "support/failing.h"

#include <string.h>

#include "pannage/outlook.h"

/* An invented place in the south: round numbers, no source. */
static const pn_sky_normals normals = {
    .tmax_degc = {8, 8, 11, 14, 17, 20, 23, 22, 19, 15, 11, 8},
    .tmin_degc = {2, 2, 3, 5, 8, 11, 13, 13, 10, 8, 5, 2},
    .rain_mm = {60, 45, 45, 50, 55, 50, 50, 60, 60, 70, 70, 65},
    .sun_h = {60, 80, 120, 160, 195, 195, 210, 190, 145, 110, 70, 55},
    .wet_day_frac = {NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN,
                     NAN},
};

enum { PATCHES = 3, PAIRS = 6, VISITS = 4 };

typedef struct parish {
    pn_weather *record;
    pn_outlook_patch patches[PATCHES];
    pn_outlook_pair pairs[PAIRS];
    pn_outlook_visit visits[VISITS];
    pn_outlook_input input;
} parish;

static int32_t day_of(int year, int month, int day) {
    return pn_date_to_epoch_day((pn_date){year, month, day});
}

static const pn_kind *kind_of(const char *id) {
    const pn_kind *kind = pn_kind_find(pn_text_of(id));
    assert_non_null(kind);
    return kind;
}

static void make_parish(parish *p, int32_t first, int32_t issue) {
    *p = (parish){.input = PN_OUTLOOK_INPUT_INIT};
    const pn_sky_generate_opts opts = {
        .latitude_rad = 0.9,
        .elevation_m = 50.0,
        .first_epoch_day = first,
        .day_count = (size_t)(day_of(2026, 12, 31) - first),
        .seed = 42,
    };
    assert_int_equal(
        pn_weather_generate(&pn_alloc_libc, &normals, &opts, &p->record, NULL),
        PN_OK);
    const pn_soil_cover covers[PATCHES] = {PN_SOIL_BROADLEAF, PN_SOIL_OPEN,
                                           PN_SOIL_CONIFER};
    for (size_t i = 0; i < PATCHES; i++) {
        p->patches[i] = (pn_outlook_patch){
            .id = (int64_t)i + 1,
            .name = "patch",
            .ground = pn_soil_ground_default(PN_SOIL_LOAM, covers[i]),
            .elevation_m = i == 0 ? NAN : 100.0 * (double)i,
        };
    }
    const char *kinds[PAIRS] = {"penny_bun",      "beech_nuts",
                                "meadow_parasol", "field_mushroom",
                                "penny_bun",      "dulse"};
    const size_t at[PAIRS] = {0, 0, 1, 1, 2, 2};
    for (size_t i = 0; i < PAIRS; i++) {
        p->pairs[i] = (pn_outlook_pair){
            .patch = at[i], .kind = kind_of(kinds[i]), .productivity = NAN};
    }
    for (int i = 0; i < VISITS; i++) {
        p->visits[i] =
            (pn_outlook_visit){.patch = 0,
                               .kind = p->pairs[0].kind,
                               .epoch_day = day_of(2024 + i / 2, 9, 28) + i,
                               .minutes = 40.0,
                               .count = i % 2 == 0 ? 9 : 0};
    }
    p->input.record = p->record;
    p->input.issue_epoch_day = issue;
    p->input.patches = p->patches;
    p->input.patch_count = PATCHES;
    p->input.pairs = p->pairs;
    p->input.pair_count = PAIRS;
    p->input.visits = p->visits;
    p->input.visit_count = VISITS;
}

static pn_outlook *run(const parish *p) {
    pn_outlook *outlook = NULL;
    pn_error err = {0};
    pn_status status =
        pn_outlook_run(&pn_alloc_libc, &p->input, &outlook, &err);
    if (status != PN_OK) {
        print_error("%s\n", err.message);
    }
    assert_int_equal(status, PN_OK);
    return outlook;
}

static void rows_hold_together(void **state) {
    (void)state;
    parish p;
    make_parish(&p, day_of(2023, 1, 1), day_of(2026, 9, 24));
    pn_outlook *outlook = run(&p);
    size_t count = 0;
    const pn_outlook_row *rows = pn_outlook_rows(outlook, &count);
    assert_int_equal(count, PAIRS - 1); /* dulse is not forecast */
    double last = 2.0;
    for (size_t r = 0; r < count; r++) {
        assert_true(rows[r].best_day >= 0);
        double best = rows[r].day[rows[r].best_day].chance_prob;
        assert_true(best <= last);
        last = best;
        for (int h = 0; h < 14; h++) {
            const pn_outlook_day *d = &rows[r].day[h];
            assert_true(d->chance_prob >= 0.0 && d->chance_prob <= best);
            assert_true(d->kg_low <= d->kg_high && d->kg >= 0.0);
        }
        pn_outlook_reasons why;
        assert_int_equal(pn_outlook_why(outlook, &rows[r], &why, NULL), PN_OK);
        assert_true(why.count >= 2);
    }
    pn_outlook_made made = pn_outlook_how_made(outlook);
    assert_int_equal(made.other_years, 3);
    assert_int_equal(made.forecast_days, 0);
    assert_int_equal(pn_outlook_bases(outlook)[0], PN_OUTLOOK_CLIMATOLOGY);
    assert_int_equal(made.record_last, day_of(2026, 9, 23));
    pn_outlook_free(outlook);
    pn_weather_free(p.record);
}

static const pn_outlook_row *row_of(const pn_outlook *outlook, size_t pair) {
    size_t count = 0;
    const pn_outlook_row *rows = pn_outlook_rows(outlook, &count);
    for (size_t r = 0; r < count; r++) {
        if (rows[r].pair == pair) {
            return &rows[r];
        }
    }
    fail_msg("no row of pair %zu", pair);
    return NULL;
}

static void visits_reach_their_row_only(void **state) {
    (void)state;
    parish p;
    make_parish(&p, day_of(2023, 1, 1), day_of(2026, 9, 24));
    pn_outlook *outlook = run(&p);
    const pn_outlook_memory *with = &row_of(outlook, 0)->memory;
    const pn_outlook_memory *without = &row_of(outlook, 4)->memory;
    assert_int_equal(with->visits, VISITS);
    assert_int_equal(with->last_found, day_of(2025, 9, 28) + 2);
    assert_int_equal(without->visits, 0);
    assert_near("untouched", without->shape / without->rate_per_n,
                without->prior_mean, 1e-9);
    assert_true(with->shape > without->shape);
    pn_outlook_free(outlook);

    p.visits[0].epoch_day = day_of(2020, 9, 28); /* before the record */
    outlook = run(&p);
    assert_int_equal(row_of(outlook, 0)->memory.unknown, 1);
    assert_int_equal(row_of(outlook, 0)->memory.visits, VISITS - 1);
    pn_outlook_free(outlook);
    pn_weather_free(p.record);
}

/* What was measured after the issue day must not be seen before it. */
static void never_looks_ahead(void **state) {
    (void)state;
    parish p;
    make_parish(&p, day_of(2023, 1, 1), day_of(2026, 9, 24));
    pn_outlook *before = run(&p);
    size_t at = (size_t)(p.input.issue_epoch_day - p.record->first_epoch_day);
    for (size_t d = at; d < p.record->day_count; d++) {
        p.record->value[PN_SKY_RAIN_MM][d] = 80.0;
        p.record->value[PN_SKY_TMAX_DEGC][d] = 30.0;
    }
    pn_outlook *after = run(&p);
    size_t count = 0;
    size_t count_after = 0;
    const pn_outlook_row *a = pn_outlook_rows(before, &count);
    const pn_outlook_row *b = pn_outlook_rows(after, &count_after);
    assert_int_equal(count, count_after);
    for (size_t r = 0; r < count; r++) {
        assert_int_equal(a[r].pair, b[r].pair);
        assert_memory_equal(a[r].day, b[r].day, sizeof a[r].day);
    }
    pn_outlook_free(before);
    pn_outlook_free(after);
    pn_weather_free(p.record);
}

/* A forecast takes the place of other years, day by day, and a fortnight of
 * it leaves one future only. */
static void forecast_is_used(void **state) {
    (void)state;
    parish p;
    make_parish(&p, day_of(2023, 1, 1), day_of(2026, 9, 24));
    pn_weather *forecast = NULL;
    assert_int_equal(pn_weather_copy(&pn_alloc_libc, p.record, &forecast, NULL),
                     PN_OK);
    p.input.forecast = forecast;
    for (int days = 0; days <= 14; days += 7) {
        int32_t last = p.input.issue_epoch_day + days - 1;
        assert_int_equal(pn_weather_resize_to(
                             forecast, p.record->first_epoch_day, last, NULL),
                         PN_OK);
        pn_outlook *outlook = run(&p);
        pn_outlook_made made = pn_outlook_how_made(outlook);
        assert_int_equal(made.forecast_days, days);
        for (int h = 0; h < 14; h++) {
            assert_int_equal(pn_outlook_bases(outlook)[h],
                             h < days ? PN_OUTLOOK_FORECAST
                                      : PN_OUTLOOK_CLIMATOLOGY);
            double cv = row_of(outlook, 0)->day[h].density_cv;
            assert_true(h >= days || cv < 1e-6);
        }
        assert_int_equal(made.member_count == 1, days == 14);
        pn_outlook_free(outlook);
        pn_weather_free(forecast);
        assert_int_equal(
            pn_weather_copy(&pn_alloc_libc, p.record, &forecast, NULL), PN_OK);
        p.input.forecast = forecast;
    }
    pn_weather_free(forecast);
    pn_weather_free(p.record);
}

/* With a single future the explanation meets the very N of the row. */
static void explanation_is_of_the_row(void **state) {
    (void)state;
    parish p;
    make_parish(&p, day_of(2025, 11, 1), day_of(2026, 9, 24));
    p.input.forecast = p.record;
    pn_outlook *outlook = run(&p);
    for (size_t pair = 0; pair + 1 < PAIRS; pair++) {
        const pn_outlook_row *row = row_of(outlook, pair);
        pn_outlook_factors f;
        assert_int_equal(pn_outlook_explain(outlook, row, 9, &f, NULL), PN_OK);
        assert_near(row->kind->id, f.season.density, row->day[9].density,
                    1e-12);
        assert_int_equal(pn_outlook_explain(outlook, row, 14, &f, NULL),
                         PN_EDOMAIN);
    }
    pn_outlook_free(outlook);
    pn_weather_free(p.record);
}

static void season_ends_in_the_outlook(void **state) {
    (void)state;
    parish p;
    make_parish(&p, day_of(2023, 1, 1), day_of(2026, 9, 24));
    pn_outlook *outlook = run(&p);
    const pn_outlook_row *row = row_of(outlook, 0);
    pn_outlook_season season;
    assert_int_equal(
        pn_outlook_season_of(outlook, row, day_of(2026, 3, 1), &season, NULL),
        PN_OK);
    assert_int_equal(season.first_epoch_day, day_of(2026, 3, 1));
    assert_int_equal(season.first_epoch_day + (int32_t)season.day_count,
                     p.input.issue_epoch_day + 14);
    size_t today = season.day_count - 14;
    assert_near("first day", season.kg[today], row->day[0].kg, 0.0);
    assert_near("last day", season.kg_high[today + 13], row->day[13].kg_high,
                0.0);
    assert_near("no rain known ahead", season.rain_mm[today], NAN, 0.0);
    pn_outlook_season_deinit(&season);
    assert_int_equal(
        pn_outlook_season_of(outlook, row, day_of(2026, 10, 1), &season, NULL),
        PN_EDOMAIN);
    pn_outlook_free(outlook);
    pn_weather_free(p.record);
}

static void thin_records(void **state) {
    (void)state;
    static const struct {
        const char *name;
        int32_t first_days_before;
        pn_status want;
        int other_years;
        bool short_record;
    } cases[] = {
        {"a day", 1, PN_EDOMAIN, 0, true},
        {"a fortnight", 14, PN_OK, 0, true},
        {"a summer", 120, PN_OK, 0, false},
        {"a year and a month", 400, PN_OK, 1, false},
        {"none", 0, PN_EDOMAIN, 0, true},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        parish p;
        int32_t issue = day_of(2026, 9, 24);
        make_parish(&p, issue - cases[i].first_days_before, issue);
        pn_outlook *outlook = NULL;
        pn_error err = {0};
        pn_status status =
            pn_outlook_run(&pn_alloc_libc, &p.input, &outlook, &err);
        if (status != cases[i].want) {
            print_error("%s: %s\n", cases[i].name, err.message);
        }
        assert_int_equal(status, cases[i].want);
        if (status == PN_OK) {
            pn_outlook_made made = pn_outlook_how_made(outlook);
            assert_int_equal(made.other_years, cases[i].other_years);
            assert_int_equal(made.short_record, cases[i].short_record);
        } else {
            assert_true(strlen(err.message) > 20);
        }
        pn_outlook_free(outlook);
        pn_weather_free(p.record);
    }
}

/* A record that begins after a plant's year has: not known, and said. */
static void unknown_is_not_zero(void **state) {
    (void)state;
    parish p;
    make_parish(&p, day_of(2026, 8, 1), day_of(2026, 9, 24));
    pn_outlook *outlook = run(&p);
    const pn_outlook_row *row = row_of(outlook, 1); /* beech nuts */
    assert_int_equal(row->best_day, -1);
    assert_int_equal(row->rank, 0);
    assert_near("chance", row->day[0].chance_prob, NAN, 0.0);
    pn_outlook_reasons why;
    assert_int_equal(pn_outlook_why(outlook, row, &why, NULL), PN_OK);
    assert_non_null(strstr(why.text[0], "not known"));
    pn_outlook_free(outlook);
    pn_weather_free(p.record);
}

static bool gives(const pn_outlook_reasons *why, const char *words) {
    for (size_t i = 0; i < why->count; i++) {
        if (strstr(why->text[i], words) != NULL) {
            return true;
        }
    }
    return false;
}

/* No reason belies the chance beside it: every week of two years. */
static void reasons_agree_with_numbers(void **state) {
    (void)state;
    int late = 0;
    int early = 0;
    int out = 0;
    for (int32_t issue = day_of(2025, 1, 1); issue < day_of(2026, 12, 1);
         issue += 7) {
        parish p;
        make_parish(&p, day_of(2023, 1, 1), issue);
        pn_outlook *outlook = run(&p);
        size_t count = 0;
        const pn_outlook_row *rows = pn_outlook_rows(outlook, &count);
        for (size_t r = 0; r < count; r++) {
            pn_outlook_reasons why;
            assert_int_equal(pn_outlook_why(outlook, &rows[r], &why, NULL),
                             PN_OK);
            bool chance = rows[r].day[rows[r].best_day].chance_prob >= 0.01;
            assert_false(gives(&why, "out of its season") && chance);
            assert_false(gives(&why, "building up") && !chance);
            assert_false(gives(&why, "going over") && !chance);
            int month = pn_date_from_epoch_day(issue).month;
            assert_false(gives(&why, "late in its season") && month < 9);
            assert_false(gives(&why, "early in its season") && month > 8);
            late += gives(&why, "late in its season");
            early += gives(&why, "early in its season");
            out += gives(&why, "out of its season");
        }
        pn_outlook_free(outlook);
        pn_weather_free(p.record);
    }
    assert_true(late > 0 && early > 0 && out > 0);
}

static void bad_input(void **state) {
    (void)state;
    parish p;
    pn_outlook *outlook = NULL;
    make_parish(&p, day_of(2026, 1, 1), day_of(2026, 9, 24));
    p.input.horizon_days = 29;
    assert_int_equal(pn_outlook_run(&pn_alloc_libc, &p.input, &outlook, NULL),
                     PN_EDOMAIN);
    p.input.horizon_days = 14;
    p.visits[2].count = -1;
    assert_int_equal(pn_outlook_run(&pn_alloc_libc, &p.input, &outlook, NULL),
                     PN_EDOMAIN);
    p.visits[2].count = 1;
    p.pairs[1].patch = PATCHES;
    assert_int_equal(pn_outlook_run(&pn_alloc_libc, &p.input, &outlook, NULL),
                     PN_EDOMAIN);
    p.pairs[1].patch = 0;
    p.record->value[PN_SKY_RAIN_MM][100] = NAN;
    pn_error err = {0};
    assert_int_equal(pn_outlook_run(&pn_alloc_libc, &p.input, &outlook, &err),
                     PN_EDOMAIN);
    assert_non_null(strstr(err.message, "2026-04-11"));
    assert_null(outlook);
    pn_weather_free(p.record);
}

static void survives_every_failed_allocation(void **state) {
    (void)state;
    parish p;
    make_parish(&p, day_of(2026, 6, 1), day_of(2026, 9, 24));
    pn_status status = PN_ENOMEM;
    int permitted = 0;
    for (; status == PN_ENOMEM; permitted++) {
        failing limit = {.calls_left = permitted};
        pn_alloc alloc = failing_alloc(&limit);
        pn_outlook *outlook = NULL;
        pn_outlook_season season = {.day_count = 0};
        status = pn_outlook_run(&alloc, &p.input, &outlook, NULL);
        if (status == PN_OK) {
            status = pn_outlook_season_of(outlook, row_of(outlook, 0), 0,
                                          &season, NULL);
        }
        if (status == PN_OK) {
            pn_outlook_reasons why;
            status = pn_outlook_why(outlook, row_of(outlook, 0), &why, NULL);
            pn_outlook_season_deinit(&season);
        }
        pn_outlook_free(outlook);
    }
    assert_int_equal(status, PN_OK);
    assert_true(permitted > 20);
    pn_weather_free(p.record);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rows_hold_together),
        cmocka_unit_test(visits_reach_their_row_only),
        cmocka_unit_test(never_looks_ahead),
        cmocka_unit_test(forecast_is_used),
        cmocka_unit_test(explanation_is_of_the_row),
        cmocka_unit_test(season_ends_in_the_outlook),
        cmocka_unit_test(thin_records),
        cmocka_unit_test(unknown_is_not_zero),
        cmocka_unit_test(reasons_agree_with_numbers),
        cmocka_unit_test(bad_input),
        cmocka_unit_test(survives_every_failed_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
