// SPDX-License-Identifier: MIT
#include "pannage/sky.h"

#include <math.h>

enum { LONGEST_GAP_DAYS = 3, RAIN_WINDOW_DAYS = 15 };

/* A run of missing days, first to last, both included. */
struct gap {
    size_t first;
    size_t last;
};

static bool is_missing(const pn_weather *weather, pn_sky_var var, size_t day) {
    return isnan(weather->value[var][day]);
}

/* The whole run around a missing day, whatever days were asked for. */
static struct gap gap_around(const pn_weather *weather, pn_sky_var var,
                             size_t day) {
    struct gap gap = {day, day};
    while (gap.first > 0 && is_missing(weather, var, gap.first - 1)) {
        gap.first--;
    }
    while (gap.last + 1 < weather->day_count &&
           is_missing(weather, var, gap.last + 1)) {
        gap.last++;
    }
    return gap;
}

/* Mean over the measured days within the window; NaN when there are none. */
static double measured_mean(const pn_weather *weather, pn_sky_var var,
                            struct gap gap) {
    size_t from =
        gap.first > RAIN_WINDOW_DAYS ? gap.first - RAIN_WINDOW_DAYS : 0;
    size_t past = gap.last + RAIN_WINDOW_DAYS + 1;
    size_t to = past < weather->day_count ? past : weather->day_count;
    double sum = 0.0;
    double count = 0.0;
    for (size_t i = from; i < to; i++) {
        bool filled = (weather->quality[var][i] & PN_SKY_FILLED) != 0;
        if (filled || is_missing(weather, var, i)) {
            continue;
        }
        sum += weather->value[var][i];
        count += 1.0;
    }
    return sum / count; /* 0/0 is the NaN promised */
}

/* On the line between the days beside the gap, or the one there is. */
static double between_neighbours(const pn_weather *weather, pn_sky_var var,
                                 struct gap gap, size_t day) {
    const double *value = weather->value[var];
    bool has_before = gap.first > 0;
    bool has_after = gap.last + 1 < weather->day_count;
    if (!has_before && !has_after) {
        return NAN;
    }
    double before = value[has_before ? gap.first - 1 : gap.last + 1];
    double after = value[has_after ? gap.last + 1 : gap.first - 1];
    double part =
        (double)(day - gap.first + 1) / (double)(gap.last - gap.first + 2);
    return before + (after - before) * part;
}

/* False when there is nothing to fill it from. */
static bool fill(pn_weather *weather, pn_sky_var var, struct gap gap) {
    double filled[LONGEST_GAP_DAYS] = {NAN};
    double mean = measured_mean(weather, var, gap);
    for (size_t day = gap.first; day <= gap.last; day++) {
        filled[day - gap.first] =
            var == PN_SKY_RAIN_MM ? mean
                                  : between_neighbours(weather, var, gap, day);
    }
    if (isnan(filled[0])) {
        return false;
    }
    for (size_t day = gap.first; day <= gap.last; day++) {
        weather->value[var][day] = filled[day - gap.first];
        weather->quality[var][day] |= PN_SKY_FILLED;
    }
    return true;
}

static pn_status tell_gap(const pn_weather *weather, pn_sky_var var,
                          struct gap gap, pn_error *err) {
    char first[PN_DATE_ISO_SIZE];
    char last[PN_DATE_ISO_SIZE];
    pn_date_iso(weather->first_epoch_day + (int32_t)gap.first, first);
    pn_date_iso(weather->first_epoch_day + (int32_t)gap.last, last);
    return pn_fail(err, PN_EDOMAIN,
                   "%s is missing from %s to %s (%zu day%s); only gaps of at "
                   "most %d days are filled: import another station for these "
                   "days or choose a date whose season lies outside them",
                   pn_sky_var_name(var), first, last, gap.last - gap.first + 1,
                   gap.last == gap.first ? "" : "s", LONGEST_GAP_DAYS);
}

static bool is_required(pn_sky_var var) {
    return var == PN_SKY_TMIN_DEGC || var == PN_SKY_TMAX_DEGC ||
           var == PN_SKY_RAIN_MM;
}

static pn_status fill_variable(pn_weather *weather, pn_sky_var var,
                               struct gap asked, pn_error *err) {
    for (size_t day = asked.first; day <= asked.last; day++) {
        if (!is_missing(weather, var, day)) {
            continue;
        }
        struct gap gap = gap_around(weather, var, day);
        bool is_short = gap.last - gap.first < LONGEST_GAP_DAYS;
        bool filled = is_short && fill(weather, var, gap);
        if (!filled && is_required(var)) {
            return tell_gap(weather, var, gap, err);
        }
        day = gap.last; /* nothing more to do inside this run */
    }
    return PN_OK;
}

/* A filled extreme yields to the one measured that day; two measured ones
 * that contradict each other are an error. */
static pn_status reconcile_extremes(pn_weather *weather, struct gap asked,
                                    pn_error *err) {
    double *tmin = weather->value[PN_SKY_TMIN_DEGC];
    double *tmax = weather->value[PN_SKY_TMAX_DEGC];
    for (size_t day = asked.first; day <= asked.last; day++) {
        if (tmax[day] >= tmin[day]) {
            continue;
        }
        char text[PN_DATE_ISO_SIZE];
        if (weather->quality[PN_SKY_TMIN_DEGC][day] & PN_SKY_FILLED) {
            tmin[day] = tmax[day];
        } else if (weather->quality[PN_SKY_TMAX_DEGC][day] & PN_SKY_FILLED) {
            tmax[day] = tmin[day];
        } else {
            return pn_fail(
                err, PN_EDOMAIN,
                "on %s tmax_degc %.1f is below tmin_degc %.1f; correct the "
                "record or leave both values of that day empty",
                pn_date_iso(weather->first_epoch_day + (int32_t)day, text),
                tmax[day], tmin[day]);
        }
    }
    return PN_OK;
}

static pn_status find_days(const pn_weather *weather, int32_t from_epoch_day,
                           int32_t to_epoch_day, struct gap *asked,
                           pn_error *err) {
    if (from_epoch_day <= to_epoch_day &&
        pn_weather_index_of(weather, from_epoch_day, &asked->first) &&
        pn_weather_index_of(weather, to_epoch_day, &asked->last)) {
        return PN_OK;
    }
    char first[PN_DATE_ISO_SIZE];
    char last[PN_DATE_ISO_SIZE];
    pn_date_iso(weather->first_epoch_day, first);
    pn_date_iso(weather->first_epoch_day + (int32_t)weather->day_count - 1,
                last);
    return pn_fail(err, PN_EDOMAIN,
                   "the weather record runs from %s to %s, but days outside "
                   "it are needed; import more weather or choose another date",
                   first, last);
}

pn_status pn_weather_fill_gaps(pn_weather *weather, int32_t from_epoch_day,
                               int32_t to_epoch_day, pn_error *err) {
    struct gap asked = {0, 0};
    pn_status status =
        find_days(weather, from_epoch_day, to_epoch_day, &asked, err);
    for (int var = 0; status == PN_OK && var < PN_SKY_VAR_COUNT; var++) {
        status = fill_variable(weather, (pn_sky_var)var, asked, err);
    }
    return status == PN_OK ? reconcile_extremes(weather, asked, err) : status;
}
