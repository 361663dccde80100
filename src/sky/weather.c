// SPDX-License-Identifier: MIT
#include "pannage/sky.h"

#include <math.h>
#include <string.h>

enum { LONGEST_DAYS = 73050 }; /* 200 years */

/* [ICAO93] tropospheric lapse of the standard atmosphere. */
static const double lapse_k_per_m = 0.0065;

/* Every range holds the widest value measured anywhere, with a little room;
 * the records are from memory of the WMO archive of extremes: -89.2 and 56.7
 * degC, 1825 mm in a day, 113 m/s gust. No place gets more than about 45 MJ
 * at the top of the air in a day. */
static const struct {
    const char *name;
    double low;
    double high;
} vars[PN_SKY_VAR_COUNT] = {
    [PN_SKY_TMIN_DEGC] = {"tmin_degc", -90.0, 60.0},
    [PN_SKY_TMAX_DEGC] = {"tmax_degc", -90.0, 60.0},
    [PN_SKY_RAIN_MM] = {"rain_mm", 0.0, 1900.0},
    [PN_SKY_HUMIDITY_FRAC] = {"humidity_frac", 0.0, 1.0},
    [PN_SKY_WIND_M_S] = {"wind_m_s", 0.0, 115.0},
    [PN_SKY_SOLAR_MJ_M2] = {"solar_mj_m2", 0.0, 50.0},
    [PN_SKY_SUNSHINE_H] = {"sunshine_h", 0.0, 24.0},
};

const char *pn_sky_var_name(pn_sky_var var) {
    return (size_t)var < PN_SKY_VAR_COUNT ? vars[var].name : "unknown";
}

bool pn_sky_var_plausible(pn_sky_var var, double value, double *low,
                          double *high) {
    if ((size_t)var >= PN_SKY_VAR_COUNT) {
        return false;
    }
    if (low != NULL) {
        *low = vars[var].low;
    }
    if (high != NULL) {
        *high = vars[var].high;
    }
    return value >= vars[var].low && value <= vars[var].high;
}

static void free_columns(pn_weather *weather) {
    for (size_t v = 0; v < PN_SKY_VAR_COUNT; v++) {
        pn_alloc_free(&weather->alloc, weather->value[v]);
        pn_alloc_free(&weather->alloc, weather->quality[v]);
    }
}

static bool make_columns(pn_weather *weather) {
    size_t count = weather->day_count;
    for (size_t v = 0; v < PN_SKY_VAR_COUNT; v++) {
        double *value =
            pn_alloc_array(&weather->alloc, NULL, count, sizeof *value);
        weather->value[v] = value;
        weather->quality[v] = pn_alloc_zeroed(&weather->alloc, count, 1);
        if (value == NULL || weather->quality[v] == NULL) {
            return false;
        }
        for (size_t i = 0; i < count; i++) {
            value[i] = NAN;
        }
    }
    return true;
}

/* First to last day must lie within the years that pn_date knows. */
static bool days_fit(int32_t first_epoch_day, size_t day_count) {
    int32_t lowest = pn_date_to_epoch_day((pn_date){1583, 1, 1});
    int32_t highest = pn_date_to_epoch_day((pn_date){9999, 12, 31});
    return day_count >= 1 && day_count <= LONGEST_DAYS &&
           first_epoch_day >= lowest &&
           first_epoch_day <= highest - (int32_t)day_count + 1;
}

pn_status pn_weather_new(const pn_alloc *alloc, int32_t first_epoch_day,
                         size_t day_count, pn_weather **out, pn_error *err) {
    if (!days_fit(first_epoch_day, day_count)) {
        return pn_fail(err, PN_EDOMAIN,
                       "a weather record of %zu days: it must hold 1 to %d "
                       "days between the years 1583 and 9999",
                       day_count, LONGEST_DAYS);
    }
    pn_weather *weather = pn_alloc_zeroed(alloc, 1, sizeof *weather);
    if (weather == NULL) {
        return pn_fail(err, PN_ENOMEM, "weather record");
    }
    weather->alloc = *alloc;
    weather->first_epoch_day = first_epoch_day;
    weather->day_count = day_count;
    weather->latitude_rad = NAN;
    weather->longitude_rad = NAN;
    weather->elevation_m = NAN;
    if (!make_columns(weather)) {
        pn_weather_free(weather);
        return pn_fail(err, PN_ENOMEM, "weather record of %zu days", day_count);
    }
    *out = weather;
    return PN_OK;
}

void pn_weather_free(pn_weather *weather) {
    if (weather == NULL) {
        return;
    }
    pn_alloc alloc = weather->alloc;
    free_columns(weather);
    pn_alloc_free(&alloc, weather);
}

/* The days that both records hold. */
static void copy_common_days(pn_weather *to, const pn_weather *from) {
    int32_t shift = to->first_epoch_day - from->first_epoch_day;
    size_t skip_from = shift > 0 ? (size_t)shift : 0;
    size_t skip_to = shift < 0 ? (size_t)-shift : 0;
    if (skip_from >= from->day_count || skip_to >= to->day_count) {
        return;
    }
    size_t left_from = from->day_count - skip_from;
    size_t left_to = to->day_count - skip_to;
    size_t count = left_from < left_to ? left_from : left_to;
    for (size_t v = 0; v < PN_SKY_VAR_COUNT; v++) {
        memcpy(to->value[v] + skip_to, from->value[v] + skip_from,
               count * sizeof(double));
        memcpy(to->quality[v] + skip_to, from->quality[v] + skip_from, count);
    }
}

static void copy_place(pn_weather *to, const pn_weather *from) {
    to->latitude_rad = from->latitude_rad;
    to->longitude_rad = from->longitude_rad;
    to->elevation_m = from->elevation_m;
}

pn_status pn_weather_copy(const pn_alloc *alloc, const pn_weather *weather,
                          pn_weather **out, pn_error *err) {
    pn_weather *copy = NULL;
    pn_status status = pn_weather_new(alloc, weather->first_epoch_day,
                                      weather->day_count, &copy, err);
    if (copy == NULL) {
        return status;
    }
    copy_place(copy, weather);
    copy_common_days(copy, weather);
    *out = copy;
    return PN_OK;
}

bool pn_weather_index_of(const pn_weather *weather, int32_t epoch_day,
                         size_t *index) {
    int64_t at = (int64_t)epoch_day - weather->first_epoch_day;
    if (at < 0 || (uint64_t)at >= weather->day_count) {
        return false;
    }
    *index = (size_t)at;
    return true;
}

pn_status pn_weather_resize_to(pn_weather *weather, int32_t first_epoch_day,
                               int32_t last_epoch_day, pn_error *err) {
    if (last_epoch_day < first_epoch_day) {
        return pn_fail(err, PN_EDOMAIN,
                       "a weather record cannot end before it begins; give "
                       "the earlier day first");
    }
    size_t day_count = (size_t)((int64_t)last_epoch_day - first_epoch_day) + 1;
    pn_weather *resized = NULL;
    pn_status status = pn_weather_new(&weather->alloc, first_epoch_day,
                                      day_count, &resized, err);
    if (resized == NULL) {
        return status;
    }
    copy_place(resized, weather);
    copy_common_days(resized, weather);
    pn_weather old = *weather; /* the columns change hands */
    *weather = *resized;
    *resized = old;
    pn_weather_free(resized);
    return PN_OK;
}

static bool height_known(double elevation_m) {
    return elevation_m >= -430.0 && elevation_m <= 9000.0;
}

static pn_status check_shift(const pn_weather *weather, pn_sky_var var,
                             double shift_k, pn_error *err) {
    for (size_t i = 0; i < weather->day_count; i++) {
        double value = weather->value[var][i] + shift_k;
        if (isnan(value) || pn_sky_var_plausible(var, value, NULL, NULL)) {
            continue;
        }
        char day[PN_DATE_ISO_SIZE];
        return pn_fail(err, PN_EDOMAIN,
                       "%s would be %.1f on %s after a move by %.1f K; check "
                       "the height of the station and of the patch",
                       pn_sky_var_name(var), value,
                       pn_date_iso(weather->first_epoch_day + (int32_t)i, day),
                       shift_k);
    }
    return PN_OK;
}

pn_status pn_weather_to_elevation(pn_weather *weather, double elevation_m,
                                  pn_error *err) {
    static const pn_sky_var moved[] = {PN_SKY_TMIN_DEGC, PN_SKY_TMAX_DEGC};
    if (!height_known(weather->elevation_m) || !height_known(elevation_m)) {
        return pn_fail(err, PN_EDOMAIN,
                       "cannot move weather from %.0f m to %.0f m: both "
                       "heights must be known, between -430 and 9000 m",
                       weather->elevation_m, elevation_m);
    }
    double shift_k = lapse_k_per_m * (weather->elevation_m - elevation_m);
    for (size_t m = 0; m < 2; m++) {
        pn_status status = check_shift(weather, moved[m], shift_k, err);
        if (status != PN_OK) {
            return status;
        }
    }
    for (size_t i = 0; i < weather->day_count; i++) {
        weather->value[PN_SKY_TMIN_DEGC][i] += shift_k;
        weather->value[PN_SKY_TMAX_DEGC][i] += shift_k;
    }
    weather->elevation_m = elevation_m;
    return PN_OK;
}
