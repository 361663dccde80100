/** @file sky.h
 * The sky over a place: the daily weather record and its quality, the sun,
 * reference evapotranspiration and degree days.
 */
#ifndef PN_SKY_H
#define PN_SKY_H

#include "pannage/base.h"

/* ---- the daily weather record ----------------------------------------- */

typedef enum pn_sky_var {
    PN_SKY_TMIN_DEGC,
    PN_SKY_TMAX_DEGC,
    PN_SKY_RAIN_MM,
    PN_SKY_HUMIDITY_FRAC, /**< mean relative humidity, 0 .. 1 */
    PN_SKY_WIND_M_S,      /**< mean speed at 2 m above the ground */
    PN_SKY_SOLAR_MJ_M2,   /**< global radiation over the day */
    PN_SKY_SUNSHINE_H,    /**< bright sunshine */
    PN_SKY_VAR_COUNT
} pn_sky_var;

/** "tmin_degc", ...; never NULL. */
const char *pn_sky_var_name(pn_sky_var var);
/** True if the value can be weather at all (finite and inside the widest
 *  range ever measured anywhere); *low and *high are set when not NULL. */
bool pn_sky_var_plausible(pn_sky_var var, double value, double *low,
                          double *high);

/** What is known of one value: bits, 0 = measured. */
typedef enum pn_sky_quality {
    PN_SKY_FILLED = 1,      /**< a gap of at most 3 days was filled */
    PN_SKY_SUSPECT = 2,     /**< the archive's own checks doubt it */
    PN_SKY_ESTIMATED = 4,   /**< the archive estimated it */
    PN_SKY_FORECAST = 8,    /**< from a forecast file */
    PN_SKY_CLIMATOLOGY = 16 /**< from other years of the same record */
} pn_sky_quality;

/** A run of consecutive days, structure of arrays. value[v][i] and
 *  quality[v][i] belong to day first_epoch_day + i; a missing value is NaN.
 *  Open data: whoever fills it keeps every value NaN or plausible. */
typedef struct pn_weather {
    pn_alloc alloc;
    int32_t first_epoch_day;
    size_t day_count;
    double *value[PN_SKY_VAR_COUNT];
    uint8_t *quality[PN_SKY_VAR_COUNT];
    double latitude_rad;
    double longitude_rad;
    double elevation_m;
} pn_weather;

/** All values missing. The caller frees with pn_weather_free().
 *  @return PN_OK, PN_EDOMAIN (no days, or more than 200 years), PN_ENOMEM */
PN_MUST_CHECK pn_status pn_weather_new(const pn_alloc *alloc,
                                       int32_t first_epoch_day,
                                       size_t day_count, pn_weather **out,
                                       pn_error *err);
/** NULL is fine. */
void pn_weather_free(pn_weather *weather);
