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

/* ---- reference evapotranspiration [FAO56] ------------------------------ */
/* Formulas: pure; NaN in gives NaN out, and so does an argument outside its
 * range. Angles in radians. Shared lines of the docstrings:
 *   Validity: daily means over level open ground unless said otherwise
 *   Accuracy: the worked examples of [FAO56] to their last printed digit
 *   Checked:  tests/ref/sky/fao56_examples.csv */

/** Air pressure, kPa.   P = 101.3 ((293 - 0.0065 z) / 293)^5.26
 *  @param elevation_m  -430 .. 9000
 *  Source: [FAO56] eq. 7 */
double pn_sky_pressure_kpa(double elevation_m);

/** Psychrometric constant, kPa/K.   gamma = 0.000665 P
 *  @param pressure_kpa  20 .. 120
 *  Source: [FAO56] eq. 8 */
double pn_sky_psychrometric_kpa_k(double pressure_kpa);

/** Saturation vapour pressure, kPa.   e = 0.6108 exp(17.27 T / (T + 237.3))
 *  @param air_degc  -90 .. 60
 *  Source: [FAO56] eq. 11.   Validity: over water; too high over ice */
double pn_sky_saturation_kpa(double air_degc);

/** Slope of the saturation curve, kPa/K.   4098 e(T) / (T + 237.3)^2
 *  @param air_degc  -90 .. 60
 *  Source: [FAO56] eq. 13 */
double pn_sky_saturation_slope_kpa_k(double air_degc);

/** Mean saturation vapour pressure of a day, kPa: (e(tmax) + e(tmin)) / 2.
 *  Source: [FAO56] eq. 12 */
double pn_sky_mean_saturation_kpa(double tmin_degc, double tmax_degc);

/** Vapour pressure, kPa, by a ventilated psychrometer.
 *      ea = e(Twet) - 0.000662 P (Tdry - Twet)
 *  Source: [FAO56] eq. 15 */
double pn_sky_vapour_psychrometer_kpa(double wet_degc, double dry_degc,
                                      double pressure_kpa);

/** Vapour pressure, kPa, from the extremes of relative humidity (0 .. 1).
 *      ea = (e(tmin) RHmax + e(tmax) RHmin) / 2
 *  Source: [FAO56] eq. 17 */
double pn_sky_vapour_extremes_kpa(double tmin_degc, double tmax_degc,
                                  double humidity_max_frac,
                                  double humidity_min_frac);

/** Vapour pressure, kPa, from mean relative humidity (0 .. 1).
 *      ea = RHmean (e(tmax) + e(tmin)) / 2
 *  Source: [FAO56] eq. 19 */
double pn_sky_vapour_mean_kpa(double tmin_degc, double tmax_degc,
                              double humidity_frac);

/** Inverse relative distance from the sun.   1 + 0.033 cos(2 pi J / 365)
 *  @param day_of_year  1 .. 366
 *  Source: [FAO56] eq. 23 */
double pn_sky_inverse_distance(int day_of_year);

/** Declination.   0.409 sin(2 pi J / 365 - 1.39)
 *  @param day_of_year  1 .. 366
 *  Source: [FAO56] eq. 24.   Accuracy: within about half a degree */
double pn_sky_declination_rad(int day_of_year);

/** Hour angle of sunset.   acos(-tan(lat) tan(decl)), 0 in the polar night,
 *  pi in the midnight sun.
 *  @param latitude_rad  -pi/2 .. pi/2
 *  Source: [FAO56] eq. 25 */
double pn_sky_sunset_angle_rad(double latitude_rad, int day_of_year);

/** Radiation at the top of the air, MJ/m2/day.
 *      (24 60 / pi) 0.0820 dr (ws sin(lat) sin(decl)
 *                              + cos(lat) cos(decl) sin(ws))
 *  Source: [FAO56] eq. 21 */
double pn_sky_extraterrestrial_mj_m2(double latitude_rad, int day_of_year);

/** Hours of daylight.   24 ws / pi
 *  Source: [FAO56] eq. 34.   Accuracy: geometric; refraction and the sun's
 *  disc add some 10 minutes in Britain, see pn_sky_day_length_h() */
double pn_sky_daylight_h(double latitude_rad, int day_of_year);

/** Global radiation from sunshine, MJ/m2/day.   (0.25 + 0.50 n / N) Ra
 *  @param sunshine_h  0 .. 24; above daylight_h it counts as daylight_h
 *  @param daylight_h  above 0, at most 24
 *  Source: [FAO56] eq. 35 with its default coefficients */
double pn_sky_solar_from_sunshine_mj_m2(double sunshine_h, double daylight_h,
                                        double extraterrestrial_mj_m2);

/** Global radiation from the day's range, MJ/m2/day.   k sqrt(tmax-tmin) Ra
 *  @param k  0.10 .. 0.25; 0.16 inland, 0.19 at the coast
 *  Source: [FAO56] eq. 50 */
double pn_sky_solar_from_range_mj_m2(double tmin_degc, double tmax_degc,
                                     double k, double extraterrestrial_mj_m2);

/** Radiation under a clear sky, MJ/m2/day.   (0.75 + 2e-5 z) Ra
 *  Source: [FAO56] eq. 37 */
double pn_sky_clear_sky_mj_m2(double elevation_m,
                              double extraterrestrial_mj_m2);

/** Net short-wave radiation of grass, MJ/m2/day.   0.77 Rs
 *  Source: [FAO56] eq. 38 */
double pn_sky_net_shortwave_mj_m2(double solar_mj_m2);

/** Net long-wave loss, MJ/m2/day.
 *      4.903e-9 ((tmax+273.16)^4 + (tmin+273.16)^4) / 2
 *          (0.34 - 0.14 sqrt(ea)) (1.35 Rs/Rso - 0.35)
 *  @param clearness_frac  Rs/Rso, 0.3 .. 1 (lower limit from memory of
 *                         [ASCE05]; at less the formula loses its sense)
 *  Source: [FAO56] eq. 39 */
double pn_sky_net_longwave_mj_m2(double tmin_degc, double tmax_degc,
                                 double vapour_kpa, double clearness_frac);

/** Wind at 2 m from wind at another height.   u 4.87 / ln(67.8 z - 5.42)
 *  @param wind_m_s  0 .. 115
 *  @param height_m  0.5 .. 200
 *  Source: [FAO56] eq. 47.   Validity: over short grass */
double pn_sky_wind_at_2m_m_s(double wind_m_s, double height_m);

/** Heat into the ground between two times, MJ/m2/day.   c (T_end - T_start)
 *  Source: [FAO56] eq. 43 (c = 0.07, month before to month after) and 44
 *  (c = 0.14, month before to this month) */
double pn_sky_ground_heat_around_mj_m2(double before_degc, double after_degc);
double pn_sky_ground_heat_since_mj_m2(double before_degc, double month_degc);

typedef struct pn_sky_grass_day {
    double air_degc;       /**< mean, -90 .. 60 */
    double net_mj_m2;      /**< net radiation */
    double ground_mj_m2;   /**< heat into the ground; 0 for a day */
    double wind_m_s;       /**< at 2 m, 0 .. 115 */
    double saturation_kpa; /**< mean saturation vapour pressure */
    double vapour_kpa;     /**< 0 or more */
    double pressure_kpa;   /**< 20 .. 120 */
} pn_sky_grass_day;

/** Evapotranspiration of well-watered short grass, mm/day.
 *      (0.408 D (Rn - G) + g 900/(T+273) u2 (es - ea)) / (D + g (1 + 0.34 u2))
 *  May be negative (dew). The wind below 0.5 m/s counts as it is.
 *  Source: [FAO56] eq. 6 */
double pn_sky_penman_monteith_mm(const pn_sky_grass_day *day);

/** The same from temperature alone, mm/day.
 *      0.0023 (tmean + 17.8) sqrt(tmax - tmin) 0.408 Ra
 *  Source: [FAO56] eq. 52.   Accuracy: tends too high in humid places; the
 *  year's course is better than single days */
double pn_sky_hargreaves_mm(double tmin_degc, double tmax_degc,
                            double extraterrestrial_mj_m2);

/** From the surest to the least. */
typedef enum pn_sky_et0_method {
    PN_SKY_ET0_PENMAN_MONTEITH, /**< radiation or sunshine, humidity, wind */
    PN_SKY_ET0_PENMAN_MONTEITH_ESTIMATED, /**< radiation or sunshine; humidity
                                               from the minimum temperature
                                               and/or wind taken as 2 m/s */
    PN_SKY_ET0_HARGREAVES,                /**< temperature alone */
    PN_SKY_ET0_UNKNOWN                    /**< not even that */
} pn_sky_et0_method;

/** "Penman-Monteith", ...; never NULL. */
const char *pn_sky_et0_method_name(pn_sky_et0_method method);

typedef struct pn_sky_et0_day {
    double et0_mm; /**< 0 or more; NaN with PN_SKY_ET0_UNKNOWN */
    pn_sky_et0_method method;
    uint8_t quality; /**< of every value used, pn_sky_quality bits together */
} pn_sky_et0_day;

/** Reference evapotranspiration of one day of a record by the best method its
 *  values allow. Negative results (dew) count as 0. Penman-Monteith needs the
 *  place's height, every method its latitude.
 *  Source: [FAO56] ch. 3 and 4 with its advice for missing data (dew point =
 *  minimum temperature, wind 2 m/s); Rs/Rso is kept within 0.3 .. 1.
 *  Checked: tests/unit/sky/test_et0.c against Examples 18 and 20 */
pn_sky_et0_day pn_sky_et0(const pn_weather *weather, size_t day_index);

/* ---- degree days ------------------------------------------------------- */

typedef enum pn_sky_degree_method {
    PN_SKY_SINGLE_TRIANGLE,
    PN_SKY_DOUBLE_TRIANGLE,
    PN_SKY_SINGLE_SINE,
    PN_SKY_DOUBLE_SINE
} pn_sky_degree_method;

/** The two extremes of a day and the next night's minimum, which only the
 *  double methods read. */
typedef struct pn_sky_swing {
    double tmin_degc;
    double tmax_degc; /**< tmin_degc or more */
    double next_tmin_degc;
} pn_sky_swing;

/** Degree days of one day above lower, with a horizontal cutoff at upper: the
 *  area between the two thresholds under a temperature curve through the
 *  extremes, per day. Single: one curve for the day. Double: half a day up
 *  from tmin, half a day down to the next minimum.
 *  @param lower  finite      @param upper  lower or more; INFINITY: no cutoff
 *  @return K day (or degF day for Fahrenheit throughout), 0 or more
 *  Source:   [Zalom83]; single sine [BaskervilleEmin69]
 *  Validity: air that swings once a day; not days when a front passes
 *  Accuracy: every cell of the published tables but one known misprint
 *  Checked:  tests/ref/sky/degree_days_*.csv */
double pn_sky_degree_days(pn_sky_degree_method method, pn_sky_swing swing,
                          double lower, double upper);

/** Growing degree days of the mean: max(0, (tmin + tmax) / 2 - base).
 *  Source: [McMasterWilhelm97] method 1 */
double pn_sky_degree_days_of_mean(double tmin_degc, double tmax_degc,
                                  double base_degc);

/** The same with each extreme first raised to the base.
 *  Source: [McMasterWilhelm97] method 2 */
double pn_sky_degree_days_of_raised(double tmin_degc, double tmax_degc,
                                    double base_degc);

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
 *  normal, held within 2.2 standard deviations, smaller on wet days;
 *  sunshine: a beta share of the day length, smaller on wet days. Each
 *  month's expectation equals its normal; the mean curves are straight
 *  between mid-months and keep each month's mean [Killworth96]. The
 *  variability is British, fitted once on open records, see generate.c; that
 *  of sunshine is from memory. Years differ less than real inland ones (July
 *  maximum at Oxford: 1.1 K between years, really 1.8), because nothing
 *  lasts longer than the daily memory. Invented weather must be called so
 *  wherever it is shown.
 *
 *  The same seed and first day give the same days, and a longer series begins
 *  with the shorter one.
 *  @return PN_OK, PN_EDOMAIN (the message names month and value), PN_ENOMEM */
PN_MUST_CHECK pn_status pn_weather_generate(const pn_alloc *alloc,
                                            const pn_sky_normals *normals,
                                            const pn_sky_generate_opts *opts,
                                            pn_weather **out, pn_error *err);

/* ---- where the sun is -------------------------------------------------- */

/** Days since noon of 1 January 4713 BC, of 0 h of a civil date. */
double pn_sky_julian_day(int32_t epoch_day);

typedef struct pn_sky_sun {
    double right_ascension_rad; /**< apparent, 0 .. 2 pi */
    double declination_rad;     /**< apparent */
    double distance_au;
    double equation_of_time_rad; /**< apparent minus mean solar time */
} pn_sky_sun;

/** The sun from the centre of the earth, low-accuracy series.
 *  @param julian_day  2378496.5 .. 2524593.5 (years 1800 to 2200); dynamical
 *                     time, but a minute of it moves the sun by 0.001 degree
 *  @return all NaN outside
 *  Source:   [Meeus98] ch. 25 (low accuracy), ch. 28 for the equation of time
 *  Accuracy: 0.01 degree; Examples 25.a and 28.a to the printed digit
 *  Checked:  tests/ref/sky/sun_position.csv */
pn_sky_sun pn_sky_sun_at(double julian_day);

/** Altitude of the sun's centre above the horizon without refraction, seen
 *  from the earth's centre.
 *  @param julian_day_ut  as pn_sky_sun_at(), universal time
 *  @param latitude_rad   -pi/2 .. pi/2
 *  @param longitude_rad  east positive, -pi .. pi
 *  Source: [Meeus98] eq. 12.4 (sidereal time) and 13.6 */
double pn_sky_sun_altitude_rad(double julian_day_ut, double latitude_rad,
                               double longitude_rad);

/** Azimuth of the sun's centre, clockwise from north, 0 .. 2 pi.
 *  Source: [Meeus98] eq. 13.5 */
double pn_sky_sun_azimuth_rad(double julian_day_ut, double latitude_rad,
                              double longitude_rad);

/** What the solar position algorithm needs to know. */
typedef struct pn_sky_spa_in {
    double julian_day_ut;
    double delta_t_s;     /**< dynamical less universal time; 69 in 2020 */
    double latitude_rad;  /**< -pi/2 .. pi/2 */
    double longitude_rad; /**< east positive, -pi .. pi */
    double elevation_m;   /**< -430 .. 9000 */
    double pressure_hpa;  /**< mean of the year, 0 .. 1100; 0: no refraction */
    double air_degc;      /**< mean of the year, -90 .. 60 */
} pn_sky_spa_in;

/** Angles in radians. The first part is seen from the earth's centre. */
typedef struct pn_sky_spa {
    double earth_longitude_rad; /**< heliocentric, 0 .. 2 pi */
    double earth_latitude_rad;  /**< heliocentric */
    double distance_au;
    double nutation_longitude_rad;
    double nutation_obliquity_rad;
    double obliquity_rad; /**< true, of the ecliptic */
    double apparent_longitude_rad;
    double sidereal_rad; /**< apparent, at Greenwich */
    double right_ascension_rad;
    double declination_rad;
    double hour_angle_rad;       /**< 0 .. 2 pi */
    double equation_of_time_rad; /**< apparent less mean solar time */
    /* seen from the place */
    double local_right_ascension_rad;
    double local_declination_rad;
    double local_hour_angle_rad;
    double true_altitude_rad; /**< without refraction */
    double zenith_rad;        /**< with refraction near the horizon and above */
    double azimuth_rad;       /**< clockwise from north, 0 .. 2 pi */
} pn_sky_spa;

/** The sun to 0.0003 degree. Slower by far than pn_sky_sun_at() and here to
 *  check it and for work that needs the precision.
 *  @return false (and *out all NaN) for input outside its range or the years
 *          -2000 to 6000
 *  Source:   [Reda04] sections 3.1 to 3.14 and appendix A.1
 *  Accuracy: the published worked example to its last printed digit
 *  Checked:  tests/ref/sky/spa_example.csv */
bool pn_sky_spa_at(const pn_sky_spa_in *in, pn_sky_spa *out);

/** Angle between the sun and the upright of a slope.
 *  @param zenith_rad, azimuth_rad  of the sun
 *  @param slope_rad   0 (level) .. pi
 *  @param aspect_rad  the way the slope faces, clockwise from north
 *  Source: [Reda04] eq. 47 */
double pn_sky_incidence_rad(double zenith_rad, double azimuth_rad,
                            double slope_rad, double aspect_rad);

/** Hours between the two times the sun stands below_horizon_deg under the
 *  horizon; 0 when it never comes up to it, 24 when it never goes down.
 *      theta = 0.2163108 + 2 atan(0.9671396 tan(0.00860 (J - 186)))
 *      decl = asin(0.39795 cos(theta))
 *      D = 24 - (24/pi) acos((sin(b) + sin(lat) sin(decl))
 *                            / (cos(lat) cos(decl)))
 *  @param day_of_year        1 .. 366
 *  @param below_horizon_deg  0 (centre), 0.8333 (upper limb with refraction),
 *                            6 (civil twilight) .. 18
 *  Source:   [Forsythe95] eq. 1 to 3, CBM model
 *  Accuracy: a few minutes in Britain, by [Forsythe95] (from memory)
 *  Checked:  tests/ref/sky/day_length.csv */
double pn_sky_day_length_h(double latitude_rad, int day_of_year,
                           double below_horizon_deg);

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
