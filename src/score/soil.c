// SPDX-License-Identifier: MIT
#include <math.h>
#include <string.h>

#include "score_internal.h"

/* What one day's error is taken to be. The errors of neighbouring days are
 * alike, so these are wider than the spread seen (about 0.015 and 0.7): each
 * day counts for less. Found by trial: from 0.02 to 0.05 and from 1.2 to 3
 * the judged figures moved little (NSE 0.855 to 0.870, RMSE 1.10 to 1.16 in the
 * first sketch of the model). */
static const double water_error_frac = 0.03;
static const double warmth_error_degc = 2.0;
static const size_t fit_days_least = 60;
static const size_t skill_days_least = 10;
static const double range_coefficient = 0.16; /* [FAO56] eq. 50 */

/* Everything one run works with. */
typedef struct bench {
    const pn_score_soil_opts *opts;
    pn_score_station *station;
    pn_weather *weather;
    pn_soil_forcing *forcing;
    double *pe_mm, *solar_mj_m2, *scratch, *got, *known_rain, *fit_to_these;
    bool *rain_gap;
    size_t fit_from, fit_to, judge_from, judge_to; /* to: not included */
    pn_score_drivers drivers;
    pn_score_soil *score;
} bench;

/* ---- the years -------------------------------------------------------- */

static void year_span(const pn_score_station *station, int first_year,
                      int last_year, size_t *from, size_t *to) {
    int64_t start = station->first_epoch_day;
    int64_t count = (int64_t)station->day_count;
    int64_t a = pn_date_to_epoch_day((pn_date){first_year, 1, 1}) - start;
    int64_t b = pn_date_to_epoch_day((pn_date){last_year, 12, 31}) - start + 1;
    *from = (size_t)(a < 0 ? 0 : a > count ? count : a);
    *to = (size_t)(b < 0 ? 0 : b > count ? count : b);
}

static pn_status check_years(const pn_score_soil_opts *o, pn_error *err) {
    const int years[] = {o->fit_first_year, o->fit_last_year,
                         o->judge_first_year, o->judge_last_year};
    for (size_t i = 0; i < 4; i++) {
        if (years[i] < 1800 || years[i] > 2200) {
            return pn_fail(err, PN_EDOMAIN,
                           "year %d: give years from 1800 to 2200 to fit and "
                           "to judge",
                           years[i]);
        }
    }
    if (years[0] > years[1] || years[2] > years[3]) {
        return pn_fail(err, PN_EDOMAIN,
                       "years %d-%d to fit, %d-%d to judge: the earlier year "
                       "comes first",
                       years[0], years[1], years[2], years[3]);
    }
    if (years[0] <= years[3] && years[2] <= years[1]) {
        return pn_fail(err, PN_EDOMAIN,
                       "fit on %d-%d and judge on %d-%d share a year; a model "
                       "cannot be judged on what it was fitted to",
                       years[0], years[1], years[2], years[3]);
    }
    return PN_OK;
}

static pn_status set_years(bench *b, pn_error *err) {
    const pn_score_soil_opts *o = b->opts;
    year_span(b->station, o->fit_first_year, o->fit_last_year, &b->fit_from,
              &b->fit_to);
    year_span(b->station, o->judge_first_year, o->judge_last_year,
              &b->judge_from, &b->judge_to);
    if (b->fit_from >= b->fit_to || b->judge_from >= b->judge_to) {
        char first[PN_DATE_ISO_SIZE], last[PN_DATE_ISO_SIZE];
        int32_t start = b->station->first_epoch_day;
        return pn_fail(
            err, PN_EDOMAIN,
            "%s runs from %s to %s: it has no day of the years to "
            "%s",
            o->csv_name, pn_date_iso(start, first),
            pn_date_iso(start + (int32_t)b->station->day_count - 1, last),
            b->fit_from >= b->fit_to ? "fit" : "judge");
    }
    return PN_OK;
}

/* ---- skill ------------------------------------------------------------ */

static pn_score_skill skill_of(const double *got, const double *want,
                               size_t from, size_t to) {
    pn_score_skill skill = {0, NAN, NAN, NAN, NAN};
    for (size_t i = from; i < to; i++) {
        skill.day_count += isfinite(got[i]) && isfinite(want[i]) ? 1U : 0U;
    }
    if (skill.day_count >= skill_days_least) {
        skill.rmse = pn_rmse(got + from, want + from, to - from);
        skill.bias = pn_bias(got + from, want + from, to - from);
        skill.pearson = pn_pearson(got + from, want + from, to - from);
        skill.nse = pn_nse(got + from, want + from, to - from);
    }
    return skill;
}

static void add_method(bench *b, const char *name, pn_score_target target,
                       size_t parameter_count, const double *got) {
    pn_score_method *m = &b->score->methods[b->score->method_count++];
    const double *want = b->score->observed[target];
    for (size_t i = 0; i < b->station->day_count; i++) {
        b->known_rain[i] = b->rain_gap[i] ? NAN : want[i];
    }
    *m = (pn_score_method){
        .name = name,
        .target = target,
        .parameter_count = parameter_count,
        .fit = skill_of(got, want, b->fit_from, b->fit_to),
        .judge = skill_of(got, want, b->judge_from, b->judge_to),
        .judge_rain_known =
            skill_of(got, b->known_rain, b->judge_from, b->judge_to),
    };
}

/* ---- fits ------------------------------------------------------------- */

static size_t observed_days(const bench *b, pn_score_target target, size_t from,
                            size_t to) {
    size_t count = 0;
    for (size_t i = from; i < to; i++) {
        count += isnan(b->score->observed[target][i]) ? 0U : 1U;
    }
    return count;
}

/* What a fit is held against: days whose rain was long unmeasured would teach
 * it the wrong soil, so they are left out, unless too few others remain. */
static void choose_fit_days(const bench *b, pn_score_target target) {
    const double *observed = b->score->observed[target];
    size_t kept = 0;
    for (size_t i = b->fit_from; i < b->fit_to; i++) {
        b->fit_to_these[i] = b->rain_gap[i] ? NAN : observed[i];
        kept += isnan(b->fit_to_these[i]) ? 0U : 1U;
    }
    for (size_t i = b->fit_from; kept < fit_days_least && i < b->fit_to; i++) {
        b->fit_to_these[i] = observed[i];
    }
}

static pn_score_problem problem_of(const bench *b, pn_score_target target) {
    choose_fit_days(b, target);
    return (pn_score_problem){
        .prior_counts = true,
        .error_sd =
            target == PN_SCORE_WATER ? water_error_frac : warmth_error_degc,
        .ctx = &b->drivers,
        .observed = b->fit_to_these,
        .first = b->fit_from,
        .end = b->fit_to,
        .scratch = b->scratch,
    };
}

static void keep_parameters(bench *b, pn_score_target target,
                            const pn_score_problem *problem,
                            const pn_score_fit *fit) {
    for (size_t k = 0; k < problem->parameter_count; k++) {
        const pn_score_prior *prior = &problem->prior[k];
        b->score->parameters[b->score->parameter_count++] =
            (pn_score_parameter){.name = prior->name,
                                 .target = target,
                                 .prior = prior->median,
                                 .prior_low = pn_score_at(prior, -1),
                                 .prior_high = pn_score_at(prior, 1),
                                 .fitted = fit->value[k],
                                 .fitted_low = fit->low[k],
                                 .fitted_high = fit->high[k]};
    }
}

/* Fitted, or its priors where there is too little to fit to. */
static pn_status fit_ours(bench *b, pn_score_target target,
                          const pn_score_problem *problem, pn_score_fit *fit,
                          pn_error *err) {
    size_t days = observed_days(b, target, b->fit_from, b->fit_to);
    if (days < fit_days_least) {
        pn_score_note(b->score,
                      "soil %s: only %zu observed days in the years of the "
                      "fit; the priors stand as they are",
                      target == PN_SCORE_WATER ? "water" : "temperature", days);
        pn_score_fit_prior(problem, fit);
        return PN_OK;
    }
    pn_status status = pn_score_fit_map(problem, fit, err);
    return status;
}

/* A high quantile of what the sensor saw in the years of the fit stands for
 * field capacity; without any, the texture's. */
static double wet_frac(bench *b) {
    const double *water = b->score->observed[PN_SCORE_WATER];
    size_t count = 0;
    for (size_t i = b->fit_from; i < b->fit_to; i++) {
        if (!isnan(water[i])) {
            b->scratch[count++] = water[i];
        }
    }
    return count < fit_days_least ? b->drivers.ground.theta_fc_frac
                                  : pn_quantile(b->scratch, count, 0.9);
}

static pn_status fit_water(bench *b, pn_error *err) {
    pn_score_prior prior[PN_SCORE_WATER_PARAMETERS];
    pn_score_water_priors(&b->drivers.ground, wet_frac(b), prior);
    pn_score_problem problem = problem_of(b, PN_SCORE_WATER);
    problem.prior = prior;
    problem.parameter_count = PN_SCORE_WATER_PARAMETERS;
    problem.model = pn_score_water_model;
    pn_score_fit fit;
    pn_status status = fit_ours(b, PN_SCORE_WATER, &problem, &fit, err);
    if (status == PN_OK) {
        pn_score_water_set(&b->drivers, fit.value);
        keep_parameters(b, PN_SCORE_WATER, &problem, &fit);
    }
    return status;
}

static pn_status fit_warmth(bench *b, pn_error *err) {
    pn_score_prior prior[PN_SCORE_WARMTH_PARAMETERS];
    pn_score_warmth_priors(&b->drivers.ground, prior);
    pn_score_problem problem = problem_of(b, PN_SCORE_WARMTH);
    problem.prior = prior;
    problem.parameter_count = PN_SCORE_WARMTH_PARAMETERS;
    problem.model = pn_score_warmth_model;
    pn_score_fit fit;
    pn_status status = fit_ours(b, PN_SCORE_WARMTH, &problem, &fit, err);
    if (status == PN_OK) {
        pn_score_warmth_set(&b->drivers, fit.value);
        keep_parameters(b, PN_SCORE_WARMTH, &problem, &fit);
    }
    return status;
}

static pn_status run_baseline(bench *b, size_t i, pn_error *err) {
    const pn_score_baseline *base = pn_score_baseline_get(i);
    if (observed_days(b, base->target, b->fit_from, b->fit_to) <
        fit_days_least) {
        return PN_OK;
    }
    pn_score_problem problem = problem_of(b, base->target);
    problem.prior = base->prior;
    problem.parameter_count = base->parameter_count;
    problem.prior_counts = false;
    problem.model = base->model;
    pn_score_fit fit;
    pn_status status = pn_score_fit_map(&problem, &fit, err);
    if (status == PN_OK) {
        base->model(&b->drivers, fit.value, b->station->day_count, b->got);
        add_method(b, base->name, base->target, base->parameter_count, b->got);
    }
    return status;
}

/* ---- setting up ------------------------------------------------------- */

static double *series(bench *b, size_t count) {
    return pn_alloc_array(&b->station->alloc, NULL, count, sizeof(double));
}

static pn_status make_room(bench *b, pn_error *err) {
    size_t n = b->station->day_count;
    pn_score_soil *score = b->score;
    score->day_count = n;
    score->first_epoch_day = b->station->first_epoch_day;
    bool has_room = true;
    double **const wanted[] = {
        &b->pe_mm,           &b->solar_mj_m2,     &b->got,
        &b->known_rain,      &b->fit_to_these,    &score->observed[0],
        &score->observed[1], &score->modelled[0], &score->modelled[1],
        &score->air_degc,    &score->rain_mm};
    for (size_t i = 0; i < sizeof wanted / sizeof wanted[0]; i++) {
        *wanted[i] = series(b, n);
        has_room = has_room && *wanted[i] != NULL;
    }
    b->scratch = series(b, n * (1 + PN_SCORE_FIT_MAX));
    b->forcing =
        pn_alloc_array(&b->station->alloc, NULL, n, sizeof *b->forcing);
    b->rain_gap = pn_alloc_zeroed(&b->station->alloc, n, sizeof(bool));
    has_room = has_room && b->scratch != NULL && b->forcing != NULL &&
               b->rain_gap != NULL;
    return has_room ? PN_OK : pn_fail(err, PN_ENOMEM, "score of %zu days", n);
}

static void copy_series(bench *b) {
    pn_score_soil *score = b->score;
    const pn_score_station *station = b->station;
    for (size_t i = 0; i < station->day_count; i++) {
        const pn_soil_forcing *f = &b->forcing[i];
        double pe = station->value[PN_SCORE_PE_MM][i];
        b->pe_mm[i] = isnan(pe) || b->opts->air_only ? f->et0_mm : fmax(pe, 0);
        double top = pn_sky_extraterrestrial_mj_m2(
            b->weather->latitude_rad,
            pn_date_day_of_year(station->first_epoch_day + (int32_t)i));
        b->solar_mj_m2[i] = pn_sky_solar_from_range_mj_m2(
            b->weather->value[PN_SKY_TMIN_DEGC][i],
            b->weather->value[PN_SKY_TMAX_DEGC][i], range_coefficient, top);
        score->observed[PN_SCORE_WATER][i] =
            station->value[PN_SCORE_SOIL_WATER_FRAC][i];
        score->observed[PN_SCORE_WARMTH][i] =
            station->value[PN_SCORE_SOIL_DEGC][i];
        score->air_degc[i] = f->mean_degc;
        score->rain_mm[i] = f->rain_mm;
    }
}

static void note_methods(bench *b) {
    for (size_t i = b->judge_from; i < b->judge_to; i++) {
        b->score->et0_days[b->forcing[i].et0_method]++;
    }
    if (b->station->implausible_count > 0) {
        pn_score_note(b->score,
                      "%zu values no weather and no soil can have are taken "
                      "as missing",
                      b->station->implausible_count);
    }
    if (b->station->water_from_probes) {
        pn_score_note(b->score, "no cosmic-ray column: soil water is the mean "
                                "of the buried probes");
    }
}

static pn_status check_observed(const bench *b, pn_error *err) {
    size_t water = observed_days(b, PN_SCORE_WATER, b->judge_from, b->judge_to);
    size_t warmth =
        observed_days(b, PN_SCORE_WARMTH, b->judge_from, b->judge_to);
    if (water < skill_days_least && warmth < skill_days_least) {
        return pn_fail(err, PN_EDOMAIN,
                       "%s: %zu days of soil water and %zu of soil temperature "
                       "in the years to judge; at least %zu of one are needed",
                       b->opts->csv_name, water, warmth, skill_days_least);
    }
    if (water < skill_days_least) {
        pn_score_note(b->score, "soil water: too few observed days to judge");
    }
    if (warmth < skill_days_least) {
        pn_score_note(b->score,
                      "soil temperature: too few observed days to judge");
    }
    return PN_OK;
}

static pn_status set_up(bench *b, pn_error *err) {
    pn_status status = set_years(b, err);
    if (status != PN_OK) {
        return status;
    }
    status = make_room(b, err);
    if (status != PN_OK) {
        return status;
    }
    status = pn_score_weather(b->station, b->opts, b->score, b->rain_gap,
                              &b->weather, err);
    if (status != PN_OK) {
        return status;
    }
    status =
        pn_soil_force(b->weather, 0, b->weather->day_count, b->forcing, err);
    if (status != PN_OK) {
        return status;
    }
    copy_series(b);
    note_methods(b);
    b->drivers = (pn_score_drivers){
        .forcing = b->forcing,
        .pe_mm = b->pe_mm,
        .solar_mj_m2 = b->solar_mj_m2,
        .ground = pn_soil_ground_default(b->opts->texture, b->opts->cover),
        .sensing_top_frac = 0.60,
    };
    return check_observed(b, err);
}

/* ---- the run ---------------------------------------------------------- */

static void score_as_shipped(bench *b) {
    size_t n = b->station->day_count;
    pn_score_both(&b->drivers, n, b->got, NULL);
    add_method(b, "pannage, as shipped", PN_SCORE_WATER, 0, b->got);
    pn_score_both(&b->drivers, n, NULL, b->got);
    add_method(b, "pannage, as shipped", PN_SCORE_WARMTH, 0, b->got);
}

static void score_fitted(bench *b) {
    pn_score_soil *score = b->score;
    pn_score_both(&b->drivers, score->day_count, score->modelled[0],
                  score->modelled[1]);
    add_method(b, "pannage, fitted", PN_SCORE_WATER, PN_SCORE_WATER_PARAMETERS,
               score->modelled[0]);
    add_method(b, "pannage, fitted", PN_SCORE_WARMTH,
               PN_SCORE_WARMTH_PARAMETERS, score->modelled[1]);
    score->ground = b->drivers.ground;
    score->sensing_top_frac = b->drivers.sensing_top_frac;
}

static pn_status run(bench *b, pn_error *err) {
    pn_status status = set_up(b, err);
    for (size_t i = 0; status == PN_OK && i < PN_SCORE_BASELINE_COUNT; i++) {
        status = run_baseline(b, i, err);
    }
    if (status != PN_OK) {
        return status;
    }
    score_as_shipped(b);
    status = fit_water(b, err);
    if (status != PN_OK) {
        return status;
    }
    status = fit_warmth(b, err);
    if (status != PN_OK) {
        return status;
    }
    score_fitted(b);
    for (size_t i = 0; i < b->score->method_count; i++) {
        const char *name = b->score->methods[i].name;
        b->score->methods[i].is_ours = strncmp(name, "pannage", 7) == 0;
    }
    return PN_OK;
}

static void tear_down(bench *b) {
    if (b->station == NULL) {
        return;
    }
    pn_alloc alloc = b->station->alloc;
    pn_alloc_free(&alloc, b->pe_mm);
    pn_alloc_free(&alloc, b->solar_mj_m2);
    pn_alloc_free(&alloc, b->scratch);
    pn_alloc_free(&alloc, b->got);
    pn_alloc_free(&alloc, b->known_rain);
    pn_alloc_free(&alloc, b->fit_to_these);
    pn_alloc_free(&alloc, b->rain_gap);
    pn_alloc_free(&alloc, b->forcing);
    pn_weather_free(b->weather);
    pn_score_station_free(b->station);
}

static void set_identity(pn_score_soil *score, const pn_score_soil_opts *opts) {
    const char *slash = strrchr(opts->csv_name, '/');
    pn_str name = pn_str_in(score->csv_name, sizeof score->csv_name);
    pn_str_addf(&name, "%s", slash != NULL ? slash + 1 : opts->csv_name);
    score->fit_first_year = opts->fit_first_year;
    score->fit_last_year = opts->fit_last_year;
    score->judge_first_year = opts->judge_first_year;
    score->judge_last_year = opts->judge_last_year;
}

pn_status pn_score_soil_run(const pn_alloc *alloc,
                            const pn_score_soil_opts *opts, pn_score_soil **out,
                            pn_error *err) {
    pn_score_soil_opts named = *opts;
    named.csv_name = opts->csv_name != NULL ? opts->csv_name : "table";
    pn_status status = check_years(&named, err);
    if (status != PN_OK) {
        return status;
    }
    bench b = {.opts = &named};
    b.score = pn_alloc_zeroed(alloc, 1, sizeof *b.score);
    if (b.score == NULL) {
        return pn_fail(err, PN_ENOMEM, "score");
    }
    b.score->alloc = *alloc;
    set_identity(b.score, &named);
    status = pn_score_station_parse(alloc, named.csv, named.csv_name,
                                    &b.station, err);
    if (status != PN_OK) {
        goto done;
    }
    status = run(&b, err);
    if (status != PN_OK) {
        goto done;
    }
    *out = b.score;
    b.score = NULL;
done:
    tear_down(&b);
    pn_score_soil_free(b.score);
    return status;
}

void pn_score_soil_free(pn_score_soil *score) {
    if (score == NULL) {
        return;
    }
    pn_alloc alloc = score->alloc;
    for (int t = 0; t < PN_SCORE_TARGET_COUNT; t++) {
        pn_alloc_free(&alloc, score->observed[t]);
        pn_alloc_free(&alloc, score->modelled[t]);
    }
    pn_alloc_free(&alloc, score->air_degc);
    pn_alloc_free(&alloc, score->rain_mm);
    pn_alloc_free(&alloc, score);
}
