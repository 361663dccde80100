// SPDX-License-Identifier: MIT
#include <math.h>
#include <stdarg.h>
#include <stdio.h>

#include "score_internal.h"

static const double two_pi = 6.28318530717958647693;
static const size_t short_gap_days = 3;     /* as sky's own rule */
static const size_t gap_shadow_days = 60;   /* soil remembers about so long */
static const double usual_half_range = 4.0; /* K; from memory */

void pn_score_note(pn_score_soil *score, const char *fmt, ...) {
    if (score->note_count == PN_SCORE_NOTES_MAX) {
        return;
    }
    va_list args;
    va_start(args, fmt);
    (void)vsnprintf(score->notes[score->note_count++], PN_SCORE_NOTE_SIZE, fmt,
                    args);
    va_end(args);
}

/* ---- small least squares ---------------------------------------------- */

enum { TERMS = 3 };

typedef struct normal_equations {
    double a[TERMS][TERMS];
    double b[TERMS];
    size_t count;
} normal_equations;

static void add_row(normal_equations *eq, const double x[TERMS], double y) {
    for (int i = 0; i < TERMS; i++) {
        for (int j = 0; j < TERMS; j++) {
            eq->a[i][j] += x[i] * x[j];
        }
        eq->b[i] += x[i] * y;
    }
    eq->count++;
}

/* All terms but the first are held towards 0 by one row's worth, which also
 * keeps the matrix positive definite. */
static void solve(normal_equations *eq, double out[TERMS]) {
    for (int i = 0; i < TERMS; i++) {
        eq->a[i][i] += i > 0 ? 1 : 1e-9;
    }
    for (int k = 0; k < TERMS; k++) {
        for (int i = k + 1; i < TERMS; i++) {
            double f = eq->a[i][k] / eq->a[k][k];
            for (int j = k; j < TERMS; j++) {
                eq->a[i][j] -= f * eq->a[k][j];
            }
            eq->b[i] -= f * eq->b[k];
        }
    }
    for (int i = TERMS - 1; i >= 0; i--) {
        double sum = eq->b[i];
        for (int j = i + 1; j < TERMS; j++) {
            sum -= eq->a[i][j] * out[j];
        }
        out[i] = sum / eq->a[i][i];
    }
}

static double dot(const double a[TERMS], const double b[TERMS]) {
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

/* ---- temperature ------------------------------------------------------ */

static void year_wave(int32_t epoch_day, double x[TERMS]) {
    double angle = two_pi * pn_date_day_of_year(epoch_day) / 365.25;
    x[0] = 1;
    x[1] = cos(angle);
    x[2] = sin(angle);
}

/* Fill a gap of deviations from the year's course: on the straight line, but
 * dying away from both sides, so that a long gap shows the season. */
static double deviation(const double *dev, size_t count, size_t i) {
    static const double fade_days = 5;
    double value[2] = {0, 0}, distance[2] = {INFINITY, INFINITY};
    for (size_t back = 1; back <= i && !isfinite(distance[0]); back++) {
        if (!isnan(dev[i - back])) {
            value[0] = dev[i - back];
            distance[0] = (double)back;
        }
    }
    for (size_t on = 1; i + on < count && !isfinite(distance[1]); on++) {
        if (!isnan(dev[i + on])) {
            value[1] = dev[i + on];
            distance[1] = (double)on;
        }
    }
    double w0 = isfinite(distance[0]) ? exp(-distance[0] / fade_days) : 0;
    double w1 = isfinite(distance[1]) ? exp(-distance[1] / fade_days) : 0;
    double total = w0 + w1;
    return total > 1 ? (w0 * value[0] + w1 * value[1]) / total
                     : w0 * value[0] + w1 * value[1];
}

/* The season's course with fading deviations; `dev` is scratch of as many. */
static size_t fill_temperature(pn_weather *weather, pn_sky_var var,
                               double *dev) {
    double *value = weather->value[var];
    normal_equations eq = {.count = 0};
    double x[TERMS], course[TERMS];
    for (size_t i = 0; i < weather->day_count; i++) {
        if (!isnan(value[i])) {
            year_wave(weather->first_epoch_day + (int32_t)i, x);
            add_row(&eq, x, value[i]);
        }
    }
    solve(&eq, course);
    for (size_t i = 0; i < weather->day_count; i++) {
        year_wave(weather->first_epoch_day + (int32_t)i, x);
        dev[i] = value[i] - dot(course, x);
    }
    size_t filled = 0;
    for (size_t i = 0; i < weather->day_count; i++) {
        if (isnan(value[i])) {
            year_wave(weather->first_epoch_day + (int32_t)i, x);
            value[i] = dot(course, x) + deviation(dev, weather->day_count, i);
            weather->quality[var][i] |= PN_SKY_FILLED;
            filled++;
        }
    }
    return filled;
}

/* A day with only a mean, or one of the two extremes and the mean. */
static void complete_extremes(const pn_score_station *station, size_t i,
                              double *tmin, double *tmax) {
    *tmin = station->value[PN_SCORE_TMIN_DEGC][i];
    *tmax = station->value[PN_SCORE_TMAX_DEGC][i];
    double mean = station->value[PN_SCORE_TMEAN_DEGC][i];
    if (*tmin > *tmax) { /* one is wrong: trust neither */
        *tmin = NAN;
        *tmax = NAN;
    }
    if (isnan(mean)) {
        return;
    }
    double half = !isnan(*tmin)   ? fmax(0, mean - *tmin)
                  : !isnan(*tmax) ? fmax(0, *tmax - mean)
                                  : usual_half_range;
    *tmin = isnan(*tmin) ? mean - half : *tmin;
    *tmax = isnan(*tmax) ? mean + half : *tmax;
}

/* ---- radiation -------------------------------------------------------- */

/* Global radiation behind the measured net radiation: [FAO56] eqs. 38 to 40
 * solved for Rs (they are linear in it), kept between a dark overcast and a
 * clear sky. NaN when net radiation or humidity is missing. */
static double solar_from_net_mj_m2(const pn_weather *weather, size_t i,
                                   double net_mj_m2) {
    double tmin = weather->value[PN_SKY_TMIN_DEGC][i];
    double tmax = weather->value[PN_SKY_TMAX_DEGC][i];
    double humidity = weather->value[PN_SKY_HUMIDITY_FRAC][i];
    double vapour = isnan(humidity)
                        ? pn_sky_saturation_kpa(tmin)
                        : pn_sky_vapour_mean_kpa(tmin, tmax, humidity);
    double top = pn_sky_extraterrestrial_mj_m2(
        weather->latitude_rad,
        pn_date_day_of_year(weather->first_epoch_day + (int32_t)i));
    double clear = pn_sky_clear_sky_mj_m2(weather->elevation_m, top);
    if (!(clear > 0.1)) {
        return NAN;
    }
    /* loss(f) = l1 + slope (f - 1), f = Rs / Rso */
    double l1 = pn_sky_net_longwave_mj_m2(tmin, tmax, vapour, 1);
    double slope = l1 * 1.35; /* eq. 39 is l1 (1.35 f - 0.35) */
    double solar = (net_mj_m2 + l1 - slope) / (0.77 - slope / clear);
    double dark = 0.05 * top;
    bool solvable = 0.77 - slope / clear > 0.1;
    return solvable ? fmin(fmax(solar, dark), clear)
                    : fmin(fmax((net_mj_m2 + l1 * 0.4) / 0.77, dark), clear);
}

/* ---- rain ------------------------------------------------------------- */

static void rain_terms(const pn_weather *weather, size_t i, double x[TERMS]) {
    double humidity = weather->value[PN_SKY_HUMIDITY_FRAC][i];
    double range = weather->value[PN_SKY_TMAX_DEGC][i] -
                   weather->value[PN_SKY_TMIN_DEGC][i];
    x[0] = 1;
    x[1] = isnan(humidity) ? 0 : log(fmax(1 - humidity, 0.01)) + 1.6;
    x[2] = log(fmax(range, 0.5)) - 1.9;
}

/* Missing rain: the mean that humid days of small range bring, by least
 * squares on the root of rain over the measured days. */
static size_t fill_rain(pn_weather *weather) {
    double *rain = weather->value[PN_SKY_RAIN_MM];
    normal_equations eq = {.count = 0};
    double x[TERMS], on_root[TERMS];
    for (size_t i = 0; i < weather->day_count; i++) {
        if (!isnan(rain[i])) {
            rain_terms(weather, i, x);
            add_row(&eq, x, sqrt(rain[i]));
        }
    }
    solve(&eq, on_root);
    /* scaled so that the measured days keep their total */
    double measured = 0, guessed = 0;
    for (size_t i = 0; i < weather->day_count; i++) {
        if (!isnan(rain[i])) {
            rain_terms(weather, i, x);
            measured += rain[i];
            guessed += pow(fmax(0, dot(on_root, x)), 2);
        }
    }
    double scale = guessed > 0 ? measured / guessed : 0;
    size_t filled = 0;
    for (size_t i = 0; i < weather->day_count; i++) {
        if (isnan(rain[i])) {
            rain_terms(weather, i, x);
            rain[i] = fmin(100, scale * pow(fmax(0, dot(on_root, x)), 2));
            weather->quality[PN_SKY_RAIN_MM][i] |= PN_SKY_FILLED;
            filled++;
        }
    }
    return filled;
}

static void mark_rain_gaps(const pn_score_station *station, bool *rain_gap) {
    const double *rain = station->value[PN_SCORE_RAIN_MM];
    size_t run = 0, shadow = 0;
    for (size_t i = 0; i < station->day_count; i++) {
        run = isnan(rain[i]) ? run + 1 : 0;
        if (run > short_gap_days) {
            shadow = gap_shadow_days;
            for (size_t back = 0; back < run; back++) {
                rain_gap[i - back] = true;
            }
        } else if (shadow > 0) {
            rain_gap[i] = true;
            shadow--;
        }
    }
}

/* ---- together --------------------------------------------------------- */

static void copy_day(const pn_score_station *station, bool air_only,
                     pn_weather *weather, size_t i) {
    double tmin, tmax;
    complete_extremes(station, i, &tmin, &tmax);
    weather->value[PN_SKY_TMIN_DEGC][i] = tmin;
    weather->value[PN_SKY_TMAX_DEGC][i] = tmax;
    weather->value[PN_SKY_RAIN_MM][i] = station->value[PN_SCORE_RAIN_MM][i];
    if (!air_only) {
        double humidity = station->value[PN_SCORE_HUMIDITY_FRAC][i];
        weather->value[PN_SKY_HUMIDITY_FRAC][i] = humidity > 1 ? 1 : humidity;
        weather->value[PN_SKY_WIND_M_S][i] =
            station->value[PN_SCORE_WIND_M_S][i];
    }
}

static size_t count_known(const double *value, size_t count) {
    size_t known = 0;
    for (size_t i = 0; i < count; i++) {
        known += isnan(value[i]) ? 0U : 1U;
    }
    return known;
}

static pn_status check_known(const pn_weather *weather,
                             const pn_score_soil_opts *opts, pn_error *err) {
    static const struct {
        pn_sky_var var;
        const char *columns;
    } needed[] = {{PN_SKY_TMIN_DEGC, "TA_MIN or TA_MEAN"},
                  {PN_SKY_TMAX_DEGC, "TA_MAX or TA_MEAN"},
                  {PN_SKY_RAIN_MM, "PRECIPITATION_TOTAL"}};
    for (size_t k = 0; k < sizeof needed / sizeof needed[0]; k++) {
        size_t known =
            count_known(weather->value[needed[k].var], weather->day_count);
        if (known < 30) {
            return pn_fail(err, PN_EDOMAIN,
                           "%s: only %zu days of %s are known (column %s); "
                           "the soil model needs at least 30",
                           opts->csv_name, known,
                           pn_sky_var_name(needed[k].var), needed[k].columns);
        }
    }
    return PN_OK;
}

static void set_place(pn_weather *weather, const pn_score_soil_opts *opts,
                      pn_score_soil *score) {
    weather->latitude_rad = opts->latitude_rad;
    weather->elevation_m = opts->elevation_m;
    weather->longitude_rad = 0;
    if (isnan(opts->latitude_rad)) {
        weather->latitude_rad = 54.0 / 360 * two_pi;
        pn_score_note(score, "latitude not given: 54 degrees north assumed");
    }
    if (isnan(opts->elevation_m)) {
        weather->elevation_m = 100;
        pn_score_note(score, "height not given: 100 m assumed");
    }
}

static void add_solar(const pn_score_station *station, pn_weather *weather) {
    const double *net = station->value[PN_SCORE_NET_RADIATION_MJ_M2];
    for (size_t i = 0; i < weather->day_count; i++) {
        if (!isnan(net[i])) {
            weather->value[PN_SKY_SOLAR_MJ_M2][i] =
                solar_from_net_mj_m2(weather, i, net[i]);
            weather->quality[PN_SKY_SOLAR_MJ_M2][i] |= PN_SKY_ESTIMATED;
        }
    }
}

static void order_extremes(pn_weather *weather) {
    for (size_t i = 0; i < weather->day_count; i++) {
        double *tmin = &weather->value[PN_SKY_TMIN_DEGC][i];
        double *tmax = &weather->value[PN_SKY_TMAX_DEGC][i];
        if (*tmin > *tmax) { /* only where one of them was filled */
            double mean = (*tmin + *tmax) / 2;
            *tmin = mean;
            *tmax = mean;
        }
    }
}

static pn_status fill(const pn_score_station *station,
                      const pn_score_soil_opts *opts, pn_score_soil *score,
                      pn_weather *weather, pn_error *err) {
    pn_status status = check_known(weather, opts, err);
    if (status != PN_OK) {
        return status;
    }
    double *scratch = pn_alloc_array(&weather->alloc, NULL, weather->day_count,
                                     sizeof *scratch);
    if (scratch == NULL) {
        return pn_fail(err, PN_ENOMEM, "weather of the station");
    }
    size_t cold = fill_temperature(weather, PN_SKY_TMIN_DEGC, scratch);
    size_t warm = fill_temperature(weather, PN_SKY_TMAX_DEGC, scratch);
    pn_alloc_free(&weather->alloc, scratch);
    order_extremes(weather);
    size_t wet = fill_rain(weather);
    if (cold + warm > 0) {
        pn_score_note(score,
                      "temperature missing on %zu days: the season's course, "
                      "drawn to the days beside the gap, stands for it",
                      cold > warm ? cold : warm);
    }
    if (wet > 0) {
        pn_score_note(score,
                      "rain missing on %zu days: the mean rain of days as "
                      "humid and with such a range stands for it",
                      wet);
    }
    if (!opts->air_only) {
        add_solar(station, weather);
    }
    return PN_OK;
}

pn_status pn_score_weather(const pn_score_station *station,
                           const pn_score_soil_opts *opts, pn_score_soil *score,
                           bool *rain_gap, pn_weather **out, pn_error *err) {
    pn_weather *weather = NULL;
    pn_status status = pn_weather_new(&station->alloc, station->first_epoch_day,
                                      station->day_count, &weather, err);
    if (status != PN_OK) {
        return status;
    }
    set_place(weather, opts, score);
    for (size_t i = 0; i < station->day_count; i++) {
        copy_day(station, opts->air_only, weather, i);
    }
    mark_rain_gaps(station, rain_gap);
    status = fill(station, opts, score, weather, err);
    if (status != PN_OK) {
        pn_weather_free(weather);
        return status;
    }
    *out = weather;
    return PN_OK;
}
