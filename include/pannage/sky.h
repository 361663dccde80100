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

PN_MUST_CHECK pn_status pn_weather_copy(const pn_alloc *alloc,
                                        const pn_weather *weather,
                                        pn_weather **out, pn_error *err);

/** Where a day stands in the record; false when it is outside. */
bool pn_weather_index_of(const pn_weather *weather, int32_t epoch_day,
                         size_t *index);

/** Make the record run from first to last (both included): days in both keep
 *  their values, new days are missing, others are dropped. On failure the
 *  record is as it was.
 *  @return PN_OK, PN_EDOMAIN (last before first, or more than 200 years),
 *          PN_ENOMEM */
PN_MUST_CHECK pn_status pn_weather_resize_to(pn_weather *weather,
                                             int32_t first_epoch_day,
                                             int32_t last_epoch_day,
                                             pn_error *err);

/** Move the record to another height: both temperatures fall by 6.5 K for
 *  each km up; everything else stays. On failure the record is as it was.
 *  Source: [ICAO93] standard atmosphere, 6.5 K/km (from memory); on a single
 *  day the real lapse may be far from it, even of the other sign.
 *  @return PN_OK, PN_EDOMAIN (height unknown or outside -430 .. 9000 m, or
 *          the move would make a temperature no weather can have) */
PN_MUST_CHECK pn_status pn_weather_to_elevation(pn_weather *weather,
                                                double elevation_m,
                                                pn_error *err);

/** Make the days from..to (both included) fit for use.
 *
 *  Gaps of at most 3 days are filled and flagged PN_SKY_FILLED: temperature,
 *  humidity, wind, radiation and sunshine on the straight line between the
 *  days beside the gap (at an end of the record: the nearest day held); rain
 *  by the mean of the measured days within 15 days of the gap, because that
 *  adds neither water nor drought to the soil on average, which zero or the
 *  neighbours' rain would. A filled minimum never stands above the maximum
 *  measured that day, nor a filled maximum below the minimum.
 *
 *  A longer gap in tmin, tmax or rain fails, naming dates and variable; in an
 *  optional variable it stays missing, and the day gets a poorer ET0 method.
 *  On failure some gaps may already be filled.
 *
 *  @return PN_OK, PN_EDOMAIN (days outside the record, a gap too long, or
 *          tmax below tmin; the message names the days) */
PN_MUST_CHECK pn_status pn_weather_fill_gaps(pn_weather *weather,
                                             int32_t from_epoch_day,
                                             int32_t to_epoch_day,
                                             pn_error *err);

/* ---- a weather generator ---------------------------------------------- */

/** What a place gets month by month, January first. */
typedef struct pn_sky_normals {
    double tmax_degc[12];    /**< mean daily maximum, -30 .. 40 */
    double tmin_degc[12];    /**< mean daily minimum, -30 .. 40, below tmax */
    double rain_mm[12];      /**< total of the month, 0 .. 2000 */
    double sun_h[12];        /**< total of the month; NaN: not known */
    double wet_day_frac[12]; /**< share of days with rain, 0.02 .. 0.95; NaN:
                                  taken from the amount of rain */
} pn_sky_normals;

typedef struct pn_sky_generate_opts {
    double latitude_rad; /**< -pi/2 .. pi/2 */
    double longitude_rad;
    double elevation_m;
    int32_t first_epoch_day;
    size_t day_count;
    uint64_t seed;
    /** No chance at all: the normals as smooth curves, the rain of each month
     *  shared over every third day, sunshine by day length. */
    bool smooth;
} pn_sky_generate_opts;

/** Daily weather invented from monthly normals: tmin, tmax, rain and (where
 *  the normals have it) sunshine; humidity, wind and radiation stay missing.
 *
 *  Wet and dry days: first-order two-state Markov chain, gamma amounts
 *  [Richardson81]; the day's mean temperature: AR(1) about the normals, a
 *  little milder on wet days in winter, cooler in summer; the day's range:
 *  log-normal, smaller on wet days; sunshine: a beta share of the day length,
 *  smaller on wet days. Each month's expectation equals its normal; the mean
 *  curves are straight between mid-months and keep each month's mean
 *  [Killworth96]. Variability parameters are British, from memory; see
 *  generate.c. Invented weather must be called so wherever it is shown.
 *
 *  The same seed and first day give the same days, and a longer series begins
 *  with the shorter one.
 *  @return PN_OK, PN_EDOMAIN (the message names month and value), PN_ENOMEM */
PN_MUST_CHECK pn_status pn_weather_generate(const pn_alloc *alloc,
                                            const pn_sky_normals *normals,
                                            const pn_sky_generate_opts *opts,
                                            pn_weather **out, pn_error *err);

/* ---- the sun seen from a place ---------------------------------------- */

typedef enum pn_sky_outcome {
    PN_SKY_RISES_AND_SETS,
    PN_SKY_NEVER_RISES, /**< stays below all day */
    PN_SKY_NEVER_SETS   /**< stays above all day */
} pn_sky_outcome;

/** The two times the sun's centre passes one zenith distance, around the noon
 *  of the date: hours UTC from 00:00 of the date; below 0 is the day before,
 *  24 or more the day after. NaN unless PN_SKY_RISES_AND_SETS. */
typedef struct pn_sky_passage {
    pn_sky_outcome outcome;
    double rise_h;
    double set_h;
} pn_sky_passage;

typedef struct pn_sky_sun_times {
    double noon_h;               /**< the sun is due south (or north) */
    pn_sky_passage day;          /**< upper limb on the horizon, 90.833 deg */
    pn_sky_passage civil;        /**< 96 deg */
    pn_sky_passage nautical;     /**< 102 deg */
    pn_sky_passage astronomical; /**< 108 deg */
} pn_sky_sun_times;

/** Rise, set and the three twilights of a date.
 *  @param latitude_rad   -pi/2 .. pi/2
 *  @param longitude_rad  east positive, -pi .. pi
 *  @return false (and *out all NaN) outside these ranges or the years 1800 to
 *          2200
 *  Source:   [Meeus98] ch. 25 (low accuracy); zeniths of common almanacs
 *            (34' refraction + 16' semidiameter; 6, 12, 18 degrees)
 *  Validity: sea horizon; hills and woods take light away; within a degree of
 *            a pole the times are meaningless
 *  Accuracy: within 1 minute of printed London times
 *  Checked:  tests/ref/sky/london_sun_times.csv */
bool pn_sky_sun_times_of(int32_t epoch_day, double latitude_rad,
                         double longitude_rad, pn_sky_sun_times *out);

#endif
