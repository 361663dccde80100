// SPDX-License-Identifier: MIT
#include "pannage/soil.h"

#include <math.h>

static const double two_pi = 6.28318530717958647693;
/* Leaf-out and leaf fall of British broadleaves, day of year, and how many
 * days their logistic takes: common practice, no source. */
static const double leaf_out_day = 125, leaf_out_days = 5;
static const double leaf_fall_day = 308, leaf_fall_days = 6;
/* [FAO56] eq. 50, inland. */
static const double range_coefficient = 0.16;

static double summer_frac(int day_of_year) {
    return 0.5 - 0.5 * cos(two_pi * (day_of_year - 15) / 365.25);
}

static double leaf_frac(int day_of_year) {
    return pn_logistic((day_of_year - leaf_out_day) / leaf_out_days) *
           pn_logistic((leaf_fall_day - day_of_year) / leaf_fall_days);
}

/* Global radiation: measured, else from sunshine, else from the day's range
 * of temperature. */
static double solar_mj_m2(const pn_weather *weather, size_t i, int day_of_year,
                          double top_mj_m2) {
    double measured = weather->value[PN_SKY_SOLAR_MJ_M2][i];
    if (!isnan(measured)) {
        return measured;
    }
    double from_sun = pn_sky_solar_from_sunshine_mj_m2(
        weather->value[PN_SKY_SUNSHINE_H][i],
        pn_sky_daylight_h(weather->latitude_rad, day_of_year), top_mj_m2);
    if (!isnan(from_sun)) {
        return from_sun;
    }
    return pn_sky_solar_from_range_mj_m2(weather->value[PN_SKY_TMIN_DEGC][i],
                                         weather->value[PN_SKY_TMAX_DEGC][i],
                                         range_coefficient, top_mj_m2);
}

/* [FAO56] eqs. 38 to 40, as for its reference grass. */
static double net_radiation_mj_m2(const pn_weather *weather, size_t i,
                                  int day_of_year) {
    double tmin = weather->value[PN_SKY_TMIN_DEGC][i];
    double tmax = weather->value[PN_SKY_TMAX_DEGC][i];
    double humidity = weather->value[PN_SKY_HUMIDITY_FRAC][i];
    double top =
        pn_sky_extraterrestrial_mj_m2(weather->latitude_rad, day_of_year);
    double solar = solar_mj_m2(weather, i, day_of_year, top);
    double height_m = isnan(weather->elevation_m) ? 0 : weather->elevation_m;
    double clear = pn_sky_clear_sky_mj_m2(height_m, top);
    double clearness = clear > 0 ? fmin(fmax(solar / clear, 0.3), 1) : 0.3;
    double vapour = isnan(humidity)
                        ? pn_sky_saturation_kpa(tmin)
                        : pn_sky_vapour_mean_kpa(tmin, tmax, humidity);
    return pn_sky_net_shortwave_mj_m2(solar) -
           pn_sky_net_longwave_mj_m2(tmin, tmax, vapour, clearness);
}

static pn_status fail_missing(const pn_weather *weather, size_t i,
                              pn_error *err) {
    static const pn_sky_var needed[] = {PN_SKY_TMIN_DEGC, PN_SKY_TMAX_DEGC,
                                        PN_SKY_RAIN_MM};
    char date[PN_DATE_ISO_SIZE];
    (void)pn_date_iso(weather->first_epoch_day + (int32_t)i, date);
    for (size_t k = 0; k < sizeof needed / sizeof needed[0]; k++) {
        if (isnan(weather->value[needed[k]][i])) {
            return pn_fail(err, PN_EDOMAIN,
                           "%s: no %s; soil water needs it every day: import "
                           "the missing days or fill the gap",
                           date, pn_sky_var_name(needed[k]));
        }
    }
    return pn_fail(err, PN_EDOMAIN,
                   "%s: evapotranspiration cannot be worked out (minimum %g, "
                   "maximum %g degC): check the temperatures and the place's "
                   "latitude",
                   date, weather->value[PN_SKY_TMIN_DEGC][i],
                   weather->value[PN_SKY_TMAX_DEGC][i]);
}

pn_status pn_soil_forcing_of(const pn_weather *weather, size_t i,
                             pn_soil_forcing *out, pn_error *err) {
    if (i >= weather->day_count) {
        return pn_fail(err, PN_EDOMAIN,
                       "day %zu of a weather record of %zu days", i,
                       weather->day_count);
    }
    int day_of_year =
        pn_date_day_of_year(weather->first_epoch_day + (int32_t)i);
    pn_sky_et0_day et0 = pn_sky_et0(weather, i);
    pn_soil_forcing forcing = {
        .rain_mm = weather->value[PN_SKY_RAIN_MM][i],
        .mean_degc = (weather->value[PN_SKY_TMIN_DEGC][i] +
                      weather->value[PN_SKY_TMAX_DEGC][i]) /
                     2,
        .et0_mm = et0.et0_mm,
        .net_radiation_mj_m2 = net_radiation_mj_m2(weather, i, day_of_year),
        .wind_m_s = weather->value[PN_SKY_WIND_M_S][i],
        .summer_frac = summer_frac(day_of_year),
        .leaf_frac = leaf_frac(day_of_year),
        .et0_method = (uint8_t)et0.method,
        .quality = (uint8_t)(et0.quality | weather->quality[PN_SKY_RAIN_MM][i]),
    };
    if (!isfinite(forcing.rain_mm + forcing.mean_degc + forcing.et0_mm +
                  forcing.net_radiation_mj_m2)) {
        return fail_missing(weather, i, err);
    }
    *out = forcing;
    return PN_OK;
}

pn_status pn_soil_force(const pn_weather *weather, size_t from, size_t to,
                        pn_soil_forcing *out, pn_error *err) {
    if (from > to || to > weather->day_count) {
        return pn_fail(err, PN_EDOMAIN,
                       "soil days %zu to %zu of a weather record of %zu days",
                       from, to, weather->day_count);
    }
    for (size_t i = from; i < to; i++) {
        pn_status status = pn_soil_forcing_of(weather, i, &out[i - from], err);
        if (status != PN_OK) {
            return status;
        }
    }
    return PN_OK;
}

pn_status pn_soil_run_forced(const pn_soil_ground *ground,
                             const pn_soil_forcing *forcing, size_t count,
                             pn_soil_state *state, pn_soil_day *out,
                             pn_error *err) {
    pn_status status = pn_soil_ground_check(ground, err);
    if (status != PN_OK) {
        return status;
    }
    for (size_t i = 0; i < count; i++) {
        out[i] = pn_soil_step(ground, &forcing[i], state);
    }
    return PN_OK;
}

pn_status pn_soil_run(const pn_soil_ground *ground, const pn_weather *weather,
                      size_t from, size_t to, pn_soil_state *state,
                      pn_soil_day *out, pn_error *err) {
    pn_status status = pn_soil_ground_check(ground, err);
    if (status != PN_OK) {
        return status;
    }
    if (from > to || to > weather->day_count) {
        return pn_fail(err, PN_EDOMAIN,
                       "soil days %zu to %zu of a weather record of %zu days",
                       from, to, weather->day_count);
    }
    for (size_t i = from; i < to; i++) {
        pn_soil_forcing forcing;
        status = pn_soil_forcing_of(weather, i, &forcing, err);
        if (status != PN_OK) {
            return status;
        }
        out[i - from] = pn_soil_step(ground, &forcing, state);
    }
    return PN_OK;
}
