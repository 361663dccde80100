// SPDX-License-Identifier: MIT
#include "pannage/sky.h"

#include <math.h>

#include "sky_internal.h"

/* Variability of British days. Found once by moments from open records and
 * rounded: [HadCET] daily means 1991-2020 (T), four years at Spen Farm,
 * Yorkshire, [COSMOS-UK] (S), one year at Bracknell, [MIDAS] (B). A wet day
 * has at least 0.2 mm. */
static const double wet_lag1 = 0.31;         /* S 0.31, B 0.31 */
static const double wet_amount_shape = 0.75; /* gamma; S 0.82, B 0.71 */
static const double mean_ar1 = 0.75;         /* T 0.78, S 0.68 */
static const double mean_sd_k = 2.6;         /* T 2.2 .. 3.3 by month */
static const double mean_sd_season_k = 0.4;
static const double wet_minus_dry_k = -0.1; /* S +0.7 winter, -1.0 summer */
static const double wet_minus_dry_season_k = 0.8;
static const double wet_range_ratio = 0.83; /* S, wet day over dry day */
static const double range_cv = 0.38;        /* S, within wet or dry days */
static const double range_held_sd = 2.2;    /* keeps the range above zero */
/* Share of wet days for r mm/day over the month: 0.29 r^0.8, through B (1.5:
 * 0.39) and S (1.8: 0.46); about 0.75 at 3.3, Shetland (from memory). */
static const double wet_frac_at_1mm = 0.29;
static const double wet_frac_power = 0.8;
static const double least_wet_frac = 0.02;
static const double most_wet_frac = 0.95;
/* Sunshine, from memory: a wet day has half the share of a dry one, and the
 * share is U-shaped (beta with a + b = 1.5). */
static const double wet_sun_ratio = 0.5;
static const double sun_precision = 1.5;
static const double held_sd = 3.0; /* no draw beyond: symmetric, so unbiased */

/* Mid-month nodes of a curve that is straight between them. */
struct curve {
    double node[12];
};

struct climate {
    struct curve mean_degc;
    struct curve range_k;
    double rain_mm_d[12];
    double wet_frac[12];
    double sun_share[12]; /* of the day length; NaN: not known */
};

/* Where a day is: month 0..11, part 0..1 of the month at its noon. */
struct when {
    int month;
    double part;
    double year_rad; /* 0 in mid-January, the coldest time */
    int day_of_year;
};

/* What one day hands to the next. */
struct weather_state {
    pn_random random;
    double wet_prob; /* unconditional: what the chain would show on average */
    bool is_wet;
    double anomaly_sd; /* AR(1) in units of its standard deviation */
};

static const int month_days[] = {31, 28, 31, 30, 31, 30,
                                 31, 31, 30, 31, 30, 31};

static double curve_at(const struct curve *curve, int month, double part) {
    int neighbour = (month + (part < 0.5 ? 11 : 1)) % 12;
    double here = curve->node[month];
    return here + (curve->node[neighbour] - here) * fabs(part - 0.5);
}

static double curve_month_mean(const struct curve *curve, int month) {
    double sum = 0.0;
    for (int day = 0; day < month_days[month]; day++) {
        sum += curve_at(curve, month, (day + 0.5) / month_days[month]);
    }
    return sum / month_days[month];
}

/* Nodes such that every month's mean is the one given. Each round halves the
 * error at least (a node weighs 3/4 of its month), so 60 reach rounding. */
static struct curve curve_through(const double mean[12]) {
    struct curve curve;
    for (int month = 0; month < 12; month++) {
        curve.node[month] = mean[month];
    }
    for (int round = 0; round < 60; round++) {
        for (int month = 0; month < 12; month++) {
            curve.node[month] += mean[month] - curve_month_mean(&curve, month);
        }
    }
    return curve;
}

static struct when when_of(int32_t epoch_day) {
    pn_date date = pn_date_from_epoch_day(epoch_day);
    int32_t first = pn_date_to_epoch_day((pn_date){date.year, date.month, 1});
    bool is_december = date.month == 12;
    int32_t next = pn_date_to_epoch_day((pn_date){
        date.year + is_december, is_december ? 1 : date.month + 1, 1});
    int day_of_year = pn_date_day_of_year(epoch_day);
    return (struct when){
        .month = date.month - 1,
        .part = (epoch_day - first + 0.5) / (next - first),
        .year_rad = 2.0 * pi * (day_of_year - 15) / 365.0,
        .day_of_year = day_of_year,
    };
}

static double month_daylight_h(double latitude_rad, int month) {
    double sum_h = 0.0;
    int day_of_year = 1;
    for (int m = 0; m < month; m++) {
        day_of_year += month_days[m];
    }
    for (int day = 0; day < month_days[month]; day++) {
        sum_h += pn_sky_daylight_h(latitude_rad, day_of_year + day);
    }
    return sum_h;
}

static double wet_frac_of(const pn_sky_normals *normals, int month) {
    if (!isnan(normals->wet_day_frac[month])) {
        return normals->wet_day_frac[month];
    }
    double rain_mm_d = normals->rain_mm[month] / month_days[month];
    return held(wet_frac_at_1mm * pow(rain_mm_d, wet_frac_power),
                least_wet_frac, most_wet_frac);
}

static double sun_share_of(const pn_sky_normals *normals, double latitude_rad,
                           int month) {
    double daylight_h = month_daylight_h(latitude_rad, month);
    if (daylight_h <= 0.0) {
        return isnan(normals->sun_h[month]) ? NAN : 0.0;
    }
    return normals->sun_h[month] / daylight_h;
}

static pn_status refuse(pn_error *err, int month, const char *what,
                        double value) {
    return pn_fail(err, PN_EDOMAIN,
                   "monthly normals, %s: %s is %g, which cannot be; check the "
                   "table and its units",
                   pn_month_name(month + 1), what, value);
}

static pn_status check_month(const pn_sky_normals *normals, double latitude_rad,
                             int month, pn_error *err) {
    double tmin = normals->tmin_degc[month];
    double tmax = normals->tmax_degc[month];
    double wet = normals->wet_day_frac[month];
    if (!within(tmin, -30.0, 40.0)) {
        return refuse(err, month, "tmin_degc", tmin);
    }
    if (!within(tmax, tmin + 0.5, 40.0)) {
        return refuse(err, month, "tmax_degc", tmax);
    }
    if (!within(normals->rain_mm[month], 0.0, 2000.0)) {
        return refuse(err, month, "rain_mm", normals->rain_mm[month]);
    }
    if (!isnan(wet) && !within(wet, least_wet_frac, most_wet_frac)) {
        return refuse(err, month, "wet_day_frac", wet);
    }
    double sun_h = normals->sun_h[month];
    double daylight_h = month_daylight_h(latitude_rad, month);
    if (!isnan(sun_h) && !within(sun_h, 0.0, 0.95 * daylight_h)) {
        return refuse(err, month, "sun_h", sun_h);
    }
    return PN_OK;
}

static pn_status check_input(const pn_sky_normals *normals,
                             const pn_sky_generate_opts *opts, pn_error *err) {
    if (!(within(opts->latitude_rad, -pi / 2.0, pi / 2.0) &&
          within(opts->longitude_rad, -pi, pi) &&
          within(opts->elevation_m, -430.0, 9000.0))) {
        return pn_fail(err, PN_EDOMAIN,
                       "weather cannot be made for latitude %.3f, longitude "
                       "%.3f degrees, height %.0f m: no such place",
                       deg_of_rad(opts->latitude_rad),
                       deg_of_rad(opts->longitude_rad), opts->elevation_m);
    }
    pn_status status = PN_OK;
    for (int month = 0; status == PN_OK && month < 12; month++) {
        status = check_month(normals, opts->latitude_rad, month, err);
    }
    return status;
}

static struct climate climate_of(const pn_sky_normals *normals,
                                 double latitude_rad) {
    struct climate climate;
    double mean_degc[12];
    double range_k[12];
    for (int month = 0; month < 12; month++) {
        double tmin = normals->tmin_degc[month];
        double tmax = normals->tmax_degc[month];
        mean_degc[month] = 0.5 * (tmin + tmax);
        range_k[month] = tmax - tmin;
        climate.rain_mm_d[month] = normals->rain_mm[month] / month_days[month];
        climate.wet_frac[month] = wet_frac_of(normals, month);
        climate.sun_share[month] = sun_share_of(normals, latitude_rad, month);
    }
    climate.mean_degc = curve_through(mean_degc);
    climate.range_k = curve_through(range_k);
    return climate;
}

/* Invented values stay within what weather can be, whatever the normals. */
static void put(pn_weather *weather, pn_sky_var var, size_t day, double value) {
    double low = 0.0;
    double high = 0.0;
    (void)pn_sky_var_plausible(var, value, &low, &high);
    weather->value[var][day] = held(value, low, high);
}

static double held_normal(pn_random *random, double limit_sd) {
    return held(pn_random_normal(random), -limit_sd, limit_sd);
}

/* Markov chain with the share of wet days of the month as its long-run mean:
 * p(wet|wet) = f + d(1-f), p(wet|dry) = f(1-d). */
static void step_wetness(struct weather_state *state, double wet_frac) {
    double after_wet = wet_frac + wet_lag1 * (1.0 - wet_frac);
    double after_dry = wet_frac * (1.0 - wet_lag1);
    double chance = state->is_wet ? after_wet : after_dry;
    state->is_wet = pn_random_uniform(&state->random) < chance;
    state->wet_prob = wet_frac + wet_lag1 * (state->wet_prob - wet_frac);
}

static double draw_rain_mm(struct weather_state *state, double rain_mm_d) {
    double mean_mm = rain_mm_d / state->wet_prob;
    double share = pn_random_gamma(&state->random, wet_amount_shape,
                                   1.0 / wet_amount_shape);
    return state->is_wet ? mean_mm * share : 0.0;
}

/* A factor for wet or dry days whose mean over both is 1. */
static double wet_or_dry(const struct weather_state *state, double wet_ratio) {
    double dry = 1.0 / (1.0 - (1.0 - wet_ratio) * state->wet_prob);
    return state->is_wet ? wet_ratio * dry : dry;
}

static double draw_anomaly_k(struct weather_state *state, double year_rad) {
    double fresh = held_normal(&state->random, held_sd);
    state->anomaly_sd =
        mean_ar1 * state->anomaly_sd + sqrt(1.0 - mean_ar1 * mean_ar1) * fresh;
    double sd_k = mean_sd_k + mean_sd_season_k * cos(year_rad);
    double wet_k = wet_minus_dry_k + wet_minus_dry_season_k * cos(year_rad);
    double wetness = (state->is_wet ? 1.0 : 0.0) - state->wet_prob;
    return sd_k * state->anomaly_sd + wet_k * wetness;
}

static double draw_sun_share(struct weather_state *state, double mean_share) {
    double share =
        held(mean_share * wet_or_dry(state, wet_sun_ratio), 0.0, 1.0);
    double a = pn_random_gamma(&state->random, sun_precision * share, 1.0);
    double b =
        pn_random_gamma(&state->random, sun_precision * (1.0 - share), 1.0);
    if (isnan(a) || isnan(b) ||
        a + b <= 0.0) { /* all cloud, all sun, unknown */
        return share;
    }
    return a / (a + b);
}

static void generate_day(struct weather_state *state,
                         const struct climate *climate, pn_weather *weather,
                         size_t day) {
    struct when when = when_of(weather->first_epoch_day + (int32_t)day);
    step_wetness(state, climate->wet_frac[when.month]);
    put(weather, PN_SKY_RAIN_MM, day,
        draw_rain_mm(state, climate->rain_mm_d[when.month]));
    double mean_degc = curve_at(&climate->mean_degc, when.month, when.part) +
                       draw_anomaly_k(state, when.year_rad);
    double range_k =
        curve_at(&climate->range_k, when.month, when.part) *
        wet_or_dry(state, wet_range_ratio) *
        (1.0 + range_cv * held_normal(&state->random, range_held_sd));
    put(weather, PN_SKY_TMIN_DEGC, day, mean_degc - 0.5 * range_k);
    put(weather, PN_SKY_TMAX_DEGC, day, mean_degc + 0.5 * range_k);
    put(weather, PN_SKY_SUNSHINE_H, day,
        draw_sun_share(state, climate->sun_share[when.month]) *
            pn_sky_daylight_h(weather->latitude_rad, when.day_of_year));
}

static bool rains_in_smooth(int32_t epoch_day) {
    return epoch_day % 3 == 0;
}

/* Rain of a month shared over its days that are a multiple of 3. */
static double smooth_rain_mm(int32_t epoch_day, double month_mm) {
    if (!rains_in_smooth(epoch_day)) {
        return 0.0;
    }
    pn_date date = pn_date_from_epoch_day(epoch_day);
    int32_t first = pn_date_to_epoch_day((pn_date){date.year, date.month, 1});
    int rainy_days = 0;
    for (int day = 1; pn_date_exists(date.year, date.month, day); day++) {
        rainy_days += rains_in_smooth(first + day - 1);
    }
    return month_mm / rainy_days;
}

static void smooth_day(const pn_sky_normals *normals,
                       const struct climate *climate, pn_weather *weather,
                       size_t day) {
    int32_t epoch_day = weather->first_epoch_day + (int32_t)day;
    struct when when = when_of(epoch_day);
    double mean_degc = curve_at(&climate->mean_degc, when.month, when.part);
    double range_k = curve_at(&climate->range_k, when.month, when.part);
    put(weather, PN_SKY_RAIN_MM, day,
        smooth_rain_mm(epoch_day, normals->rain_mm[when.month]));
    put(weather, PN_SKY_TMIN_DEGC, day, mean_degc - 0.5 * range_k);
    put(weather, PN_SKY_TMAX_DEGC, day, mean_degc + 0.5 * range_k);
    put(weather, PN_SKY_SUNSHINE_H, day,
        climate->sun_share[when.month] *
            pn_sky_daylight_h(weather->latitude_rad, when.day_of_year));
}

/* The day before the first is drawn from the long run of its month. */
static struct weather_state state_before(const struct climate *climate,
                                         const pn_sky_generate_opts *opts) {
    struct weather_state state = {.random = pn_random_seeded(opts->seed)};
    struct when when = when_of(opts->first_epoch_day);
    state.wet_prob = climate->wet_frac[when.month];
    state.is_wet = pn_random_uniform(&state.random) < state.wet_prob;
    state.anomaly_sd = held_normal(&state.random, held_sd);
    return state;
}

static void generate_days(const struct climate *climate,
                          const pn_sky_generate_opts *opts,
                          pn_weather *weather) {
    struct weather_state state = state_before(climate, opts);
    for (size_t day = 0; day < weather->day_count; day++) {
        generate_day(&state, climate, weather, day);
    }
}

pn_status pn_weather_generate(const pn_alloc *alloc,
                              const pn_sky_normals *normals,
                              const pn_sky_generate_opts *opts,
                              pn_weather **out, pn_error *err) {
    pn_status status = check_input(normals, opts, err);
    if (status != PN_OK) {
        return status;
    }
    pn_weather *weather = NULL;
    status = pn_weather_new(alloc, opts->first_epoch_day, opts->day_count,
                            &weather, err);
    if (status != PN_OK) {
        return status;
    }
    weather->latitude_rad = opts->latitude_rad;
    weather->longitude_rad = opts->longitude_rad;
    weather->elevation_m = opts->elevation_m;
    struct climate climate = climate_of(normals, opts->latitude_rad);
    if (opts->smooth) {
        for (size_t day = 0; day < weather->day_count; day++) {
            smooth_day(normals, &climate, weather, day);
        }
    } else {
        generate_days(&climate, opts, weather);
    }
    *out = weather;
    return PN_OK;
}
