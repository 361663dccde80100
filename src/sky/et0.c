// SPDX-License-Identifier: MIT
#include "pannage/sky.h"

#include <math.h>

#include "sky_internal.h"

/* [FAO56] ch. 3: where no wind is measured, 2 m/s stands for it (the mean of
 * over 2000 stations round the world). */
static const double usual_wind_m_s = 2.0;
/* mm of water that 1 MJ/m2 evaporates, [FAO56] eq. 20 */
static const double mm_per_mj_m2 = 0.408;

double pn_sky_penman_monteith_mm(const pn_sky_grass_day *day) {
    double slope = pn_sky_saturation_slope_kpa_k(day->air_degc);
    double gamma = pn_sky_psychrometric_kpa_k(day->pressure_kpa);
    double wind = day->wind_m_s;
    bool is_stated = within(day->net_mj_m2, -50.0, 50.0) &&
                     within(day->ground_mj_m2, -50.0, 50.0) &&
                     within(wind, 0.0, 115.0) &&
                     within(day->saturation_kpa, 0.0, 20.0) &&
                     within(day->vapour_kpa, 0.0, 20.0);
    if (!is_stated) {
        return NAN;
    }
    double energy = mm_per_mj_m2 * slope * (day->net_mj_m2 - day->ground_mj_m2);
    double drying = gamma * 900.0 / (day->air_degc + 273.0) * wind *
                    (day->saturation_kpa - day->vapour_kpa);
    return (energy + drying) / (slope + gamma * (1.0 + 0.34 * wind));
}

double pn_sky_hargreaves_mm(double tmin_degc, double tmax_degc,
                            double extraterrestrial_mj_m2) {
    if (!(tmin_degc <= tmax_degc && within(tmin_degc, -90.0, 60.0) &&
          within(tmax_degc, -90.0, 60.0) &&
          within(extraterrestrial_mj_m2, 0.0, 50.0))) {
        return NAN;
    }
    double mean_degc = 0.5 * (tmin_degc + tmax_degc);
    return 0.0023 * (mean_degc + 17.8) * sqrt(tmax_degc - tmin_degc) *
           mm_per_mj_m2 * extraterrestrial_mj_m2;
}

const char *pn_sky_et0_method_name(pn_sky_et0_method method) {
    switch (method) {
    case PN_SKY_ET0_PENMAN_MONTEITH:
        return "Penman-Monteith";
    case PN_SKY_ET0_PENMAN_MONTEITH_ESTIMATED:
        return "Penman-Monteith, humidity or wind estimated";
    case PN_SKY_ET0_HARGREAVES:
        return "Hargreaves, temperature only";
    case PN_SKY_ET0_UNKNOWN:
        break;
    }
    return "unknown";
}

/* One value of the day; its quality joins the day's when it is used. */
static double use(const pn_weather *weather, pn_sky_var var, size_t day_index,
                  uint8_t *quality) {
    double value = weather->value[var][day_index];
    if (!isnan(value)) {
        *quality |= weather->quality[var][day_index];
    }
    return value;
}

static int day_of_year_of(const pn_weather *weather, size_t day_index) {
    return pn_date_day_of_year(weather->first_epoch_day + (int32_t)day_index);
}

/* Measured global radiation, or that which the sunshine stands for; NaN when
 * neither was recorded. */
static double recorded_solar(const pn_weather *weather, size_t day_index,
                             uint8_t *quality) {
    double solar_mj_m2 = use(weather, PN_SKY_SOLAR_MJ_M2, day_index, quality);
    if (!isnan(solar_mj_m2)) {
        return solar_mj_m2;
    }
    int day_of_year = day_of_year_of(weather, day_index);
    double sunshine_h = use(weather, PN_SKY_SUNSHINE_H, day_index, quality);
    double daylight_h = pn_sky_daylight_h(weather->latitude_rad, day_of_year);
    if (daylight_h <= 0.0) { /* the polar night */
        return isnan(sunshine_h) ? NAN : 0.0;
    }
    return pn_sky_solar_from_sunshine_mj_m2(
        sunshine_h, daylight_h,
        pn_sky_extraterrestrial_mj_m2(weather->latitude_rad, day_of_year));
}

static double net_radiation(const pn_sky_grass_day *day, double tmin_degc,
                            double tmax_degc, double solar_mj_m2,
                            double clear_mj_m2) {
    double clearness_frac = clear_mj_m2 > 0.0 ? solar_mj_m2 / clear_mj_m2 : 0.3;
    return pn_sky_net_shortwave_mj_m2(solar_mj_m2) -
           pn_sky_net_longwave_mj_m2(tmin_degc, tmax_degc, day->vapour_kpa,
                                     held(clearness_frac, 0.3, 1.0));
}

static pn_sky_et0_day penman_monteith(const pn_weather *weather,
                                      size_t day_index) {
    pn_sky_et0_day out = {NAN, PN_SKY_ET0_PENMAN_MONTEITH, 0};
    double tmin = use(weather, PN_SKY_TMIN_DEGC, day_index, &out.quality);
    double tmax = use(weather, PN_SKY_TMAX_DEGC, day_index, &out.quality);
    double solar = recorded_solar(weather, day_index, &out.quality);
    double humidity =
        use(weather, PN_SKY_HUMIDITY_FRAC, day_index, &out.quality);
    double wind = use(weather, PN_SKY_WIND_M_S, day_index, &out.quality);
    if (isnan(humidity) || isnan(wind)) {
        out.method = PN_SKY_ET0_PENMAN_MONTEITH_ESTIMATED;
    }
    pn_sky_grass_day day = {
        .air_degc = 0.5 * (tmin + tmax),
        .wind_m_s = isnan(wind) ? usual_wind_m_s : wind,
        .saturation_kpa = pn_sky_mean_saturation_kpa(tmin, tmax),
        .vapour_kpa = isnan(humidity)
                          ? pn_sky_saturation_kpa(tmin)
                          : pn_sky_vapour_mean_kpa(tmin, tmax, humidity),
        .pressure_kpa = pn_sky_pressure_kpa(weather->elevation_m),
    };
    double clear = pn_sky_clear_sky_mj_m2(
        weather->elevation_m,
        pn_sky_extraterrestrial_mj_m2(weather->latitude_rad,
                                      day_of_year_of(weather, day_index)));
    day.net_mj_m2 = net_radiation(&day, tmin, tmax, solar, clear);
    out.et0_mm = pn_sky_penman_monteith_mm(&day);
    return out;
}

static pn_sky_et0_day hargreaves(const pn_weather *weather, size_t day_index) {
    pn_sky_et0_day out = {NAN, PN_SKY_ET0_HARGREAVES, 0};
    double tmin = use(weather, PN_SKY_TMIN_DEGC, day_index, &out.quality);
    double tmax = use(weather, PN_SKY_TMAX_DEGC, day_index, &out.quality);
    out.et0_mm = pn_sky_hargreaves_mm(
        tmin, tmax,
        pn_sky_extraterrestrial_mj_m2(weather->latitude_rad,
                                      day_of_year_of(weather, day_index)));
    return out;
}

pn_sky_et0_day pn_sky_et0(const pn_weather *weather, size_t day_index) {
    if (day_index >= weather->day_count) {
        return (pn_sky_et0_day){NAN, PN_SKY_ET0_UNKNOWN, 0};
    }
    pn_sky_et0_day out = penman_monteith(weather, day_index);
    if (isnan(out.et0_mm)) {
        out = hargreaves(weather, day_index);
    }
    if (isnan(out.et0_mm)) {
        return (pn_sky_et0_day){NAN, PN_SKY_ET0_UNKNOWN, 0};
    }
    out.et0_mm = fmax(out.et0_mm, 0.0);
    return out;
}
