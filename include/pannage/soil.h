/** @file soil.h
 * The ground of a patch through the year: how much water the roots' zone
 * holds and how warm it is at 10 cm, day by day, from weather alone.
 *
 * Water: the daily balance of [FAO56] kept in two layers (a shallow top layer
 * and the rest of the root zone), each with its own stress coefficient; with
 * one layer it is FAO-56 to the printed digit. Water above field capacity
 * leaves over days, not at once. Trees catch rain first.
 *
 * Temperature: the soil follows the air with a lag, lifted by the net
 * radiation that evaporation did not use (so a drought heats the ground),
 * lowered by shade, pulled a little to the slow warmth from below.
 *
 * What it was measured to be worth: docs/soil-score.md.
 */
#ifndef PN_SOIL_H
#define PN_SOIL_H

#include "pannage/base.h"
#include "pannage/sky.h"

/* ---- textures --------------------------------------------------------- */

typedef enum pn_soil_texture {
    PN_SOIL_SAND,
    PN_SOIL_LOAMY_SAND,
    PN_SOIL_SANDY_LOAM,
    PN_SOIL_LOAM,
    PN_SOIL_SILT_LOAM,
    PN_SOIL_SILT,
    PN_SOIL_SANDY_CLAY_LOAM,
    PN_SOIL_CLAY_LOAM,
    PN_SOIL_SILTY_CLAY_LOAM,
    PN_SOIL_SILTY_CLAY,
    PN_SOIL_CLAY,
    PN_SOIL_PEAT,
    PN_SOIL_CHALK,
    PN_SOIL_TEXTURE_COUNT
} pn_soil_texture;

typedef struct pn_soil_texture_info {
    const char *id;       /**< "silt_loam" */
    const char *english;  /**< "silt loam" */
    double theta_fc_frac; /**< water at field capacity, m3/m3 */
    double theta_wp_frac; /**< water at wilting point, m3/m3 */
    const char *source;
} pn_soil_texture_info;

/** Static; NULL when the value is not a texture. */
const pn_soil_texture_info *pn_soil_texture_get(pn_soil_texture texture);
/** By id or English name, capitals or not; false when unknown. */
PN_MUST_CHECK bool pn_soil_texture_find(pn_text id, pn_soil_texture *out);

/* ---- the published formulas ------------------------------------------- */

/** Total available water.   TAW = 1000 (theta_fc - theta_wp) Zr
 *  @param theta_fc_frac  0 .. 1, at least theta_wp_frac
 *  @param root_depth_m   0 .. 10           @return mm
 *  Source:   [FAO56] Eq. 82
 *  Validity: free-draining soil; stones not counted
 *  Accuracy: Example 36 of [FAO56] to its printed digit
 *  Checked:  tests/ref/soil/fao56_example_36.csv */
double pn_soil_taw_mm(double theta_fc_frac, double theta_wp_frac,
                      double root_depth_m);

/** Readily available water.   RAW = p TAW
 *  @param depletion_frac  p, 0 .. 1        @return mm
 *  Source:   [FAO56] Eq. 83
 *  Validity: as pn_soil_taw_mm()
 *  Accuracy: Example 36 of [FAO56] to its printed digit
 *  Checked:  tests/ref/soil/fao56_example_36.csv */
double pn_soil_raw_mm(double taw_mm, double depletion_frac);

/** Water stress coefficient.
 *      Ks = (TAW - Dr) / ((1 - p) TAW) where Dr > p TAW, else 1
 *  @param depletion_mm    Dr at the start of the day, 0 .. TAW
 *  @param depletion_frac  p, 0 .. 1 (1 excluded)      @return 0 .. 1
 *  Source:   [FAO56] Eq. 84
 *  Validity: crops as tabled in [FAO56]; woodland by analogy
 *  Accuracy: Example 37 of [FAO56], all ten rows to the printed digit
 *  Checked:  tests/ref/soil/fao56_example_37.csv */
double pn_soil_stress_frac(double depletion_mm, double taw_mm,
                           double depletion_frac);

/** Depletion fraction for the day's demand.
 *      p = p_table + 0.04 (5 - ETc), kept in 0.1 .. 0.8
 *  @param table_frac  p of [FAO56] Table 22, 0 .. 1
 *  @param etc_mm      crop evapotranspiration, 0 .. 20 mm/d
 *  Source:   [FAO56] Table 22, footnote
 *  Validity: as the table
 *  Accuracy: exact
 *  Checked:  tests/unit/soil/test_soil_formula.c */
double pn_soil_depletion_frac(double table_frac, double etc_mm);

typedef struct pn_soil_balance {
    double depletion_mm; /**< Dr at the end of the day */
    double drainage_mm;  /**< DP */
} pn_soil_balance;

/** One day of the root-zone balance.
 *      DP = max(0, P - ETc - Dr)          Dr' = Dr - P + ETc + DP
 *  kept in 0 .. TAW; P is what enters the ground.
 *  @param depletion_mm  0 .. TAW    @param inflow_mm, et_mm  >= 0
 *  @return both NaN outside the ranges
 *  Source:   [FAO56] Eqs. 85, 86, 88 (CR = 0)
 *  Validity: no water table within reach; surplus leaves within the day
 *  Accuracy: Example 37 of [FAO56], all ten rows to the printed digit
 *  Checked:  tests/ref/soil/fao56_example_37.csv */
pn_soil_balance pn_soil_balance_step(double depletion_mm, double taw_mm,
                                     double inflow_mm, double et_mm);

/** Rain held on leaves and lost.   I = c S (1 - exp(-P / S))
 *  @param rain_mm     P, >= 0          @param cover_frac  c, 0 .. 1
 *  @param storage_mm  S, > 0, what a full canopy holds in a day's rain
 *  Source:   exponential filling after [Merriam60] (form from memory)
 *  Validity: daily totals; long gentle rain loses more, one burst less
 *  Accuracy: not measured here
 *  Checked:  tests/unit/soil/test_soil_formula.c (bounds and limits) */
double pn_soil_interception_mm(double rain_mm, double cover_frac,
                               double storage_mm);

/** Storm runoff by the curve number.
 *      S = 25400 / CN - 254     Q = (P - 0.2 S)^2 / (P + 0.8 S), P > 0.2 S
 *  @param rain_mm       >= 0        @param curve_number  1 .. 100
 *  Source:   [NEH4] ch. 10 (form from memory)
 *  Validity: single storms on small catchments; not used by pn_soil_step()
 *  Accuracy: one published example to its printed digit
 *  Checked:  tests/ref/soil/curve_number.csv */
double pn_soil_runoff_mm(double rain_mm, double curve_number);

/** Daily step of soil temperature under a crop.
 *      Ts = 0.20 T                          T < 0
 *      Ts = T (0.95 + 0.05 exp(-0.4 (LAI - 3))), LAI = 0.8 GAI   T >= 0
 *      Tz' = Tz + (Ts - Tz) 0.24 exp(-0.017 Z) exp(-0.15 GAI)
 *  @param soil_degc, air_degc  -60 .. 60    @param depth_cm  Z, 0 .. 300
 *  @param green_area_index     GAI, 0 .. 15
 *  Source:   [KA09] (equations as repeated by later users of the model)
 *  Validity: arable soils of cold temperate regions
 *  Accuracy: R2 about 0.95, RMSE 1 .. 2 degC (from memory)
 *  Checked:  tests/ref/soil/katterer_andren.csv */
double pn_soil_katterer_andren_degc(double soil_degc, double air_degc,
                                    double depth_cm, double green_area_index);

/** Depth at which a temperature wave shrinks to 1/e.
 *      D = sqrt(2 kappa / omega), omega = 2 pi / period
 *  @param diffusivity_m2_s  1e-9 .. 1e-4    @param period_s  > 0
 *  Source:   [CN98] ch. 2
 *  Validity: uniform soil
 *  Accuracy: exact
 *  Checked:  tests/ref/soil/damping_depth.csv */
double pn_soil_damping_depth_m(double diffusivity_m2_s, double period_s);

/* ---- the ground of a patch -------------------------------------------- */

typedef enum pn_soil_cover {
    PN_SOIL_OPEN, /**< grass, crop, heath */
    PN_SOIL_BROADLEAF,
    PN_SOIL_CONIFER,
    PN_SOIL_HEDGE_OR_EDGE,
    PN_SOIL_COVER_COUNT
} pn_soil_cover;

/** "open", "broadleaf", "conifer", "edge"; NULL when not a cover. */
const char *pn_soil_cover_id(pn_soil_cover cover);
PN_MUST_CHECK bool pn_soil_cover_find(pn_text id, pn_soil_cover *out);

/** All the model needs to know of a patch. Seasonal values run smoothly from
 *  the winter figure (15 January) to the summer figure (15 July); tree cover
 *  follows leaf-out (early May) and leaf fall (early November). */
typedef struct pn_soil_ground {
    /* water */
    double theta_fc_frac;  /**< > theta_wp_frac, < 1 */
    double theta_wp_frac;  /**< >= 0 */
    double top_depth_m;    /**< the top layer, > 0 */
    double root_depth_m;   /**< with the top layer, >= top_depth_m, <= 10 */
    double top_share_frac; /**< share of the demand asked of the top, 0 .. 1 */
    double depletion_frac; /**< p, 0.05 .. 0.95 */
    double kc_summer;      /**< ET demand / ET0, 0 .. 3 */
    double kc_winter;
    double release_frac_d; /**< of water above field capacity, leaves in a
                                day, > 0 .. 1 */
    /* trees overhead */
    double cover_summer_frac; /**< 0 .. 1 */
    double cover_winter_frac;
    double interception_mm; /**< held by a full canopy, > 0 */
    /* temperature at 10 cm */
    double lag_per_d;     /**< follows as 1 - exp(-lag), > 0 */
    double lift_k_per_mj; /**< K of lift for 1 MJ/m2/d at 3 m/s wind, >= 0 */
    double latent_share;  /**< of the evaporation's heat, 0 .. 2 */
    double shade_summer;  /**< radiation through herbs: exp(-shade), >= 0 */
    double wind_power;    /**< lift falls as (3 / wind)^power, 0 .. 1 */
    double deep_pull;     /**< weight of the slow warmth below, 0 .. 1 */
} pn_soil_ground;

/** What is right for a texture under a cover when nothing else is known.
 *  The constants of the open ground are rounded from the fit on one real farm
 *  (docs/soil-score.md); those of trees are common practice, no source.
 *  A value that is no texture or cover counts as loam, open. */
pn_soil_ground pn_soil_ground_default(pn_soil_texture texture,
                                      pn_soil_cover cover);

/** @return PN_OK, or PN_EDOMAIN naming the field, its value and its range */
PN_MUST_CHECK pn_status pn_soil_ground_check(const pn_soil_ground *ground,
                                             pn_error *err);

/* ---- day by day ------------------------------------------------------- */

/** What the ground remembers from one day to the next. Open data. */
typedef struct pn_soil_state {
    double top_mm;    /**< water above wilting point in the top layer */
    double deep_mm;   /**< the same below it */
    double excess_mm; /**< above field capacity, on its way down */
    double snow_mm;   /**< water lying as snow */
    double soil_degc; /**< at 10 cm; NaN before the first day */
    double slow_degc; /**< warmth further down, about 100 days' memory */
} pn_soil_state;

/** At field capacity, as British ground is in winter; temperature takes the
 *  first day's air. Start 60 days or more before the days that matter. */
pn_soil_state pn_soil_start(const pn_soil_ground *ground);

/** All water the state holds above wilting point, mm. */
double pn_soil_stored_mm(const pn_soil_state *state);

/** One day's weather, as the ground feels it. */
typedef struct pn_soil_forcing {
    double rain_mm;
    double mean_degc; /**< (tmin + tmax) / 2 */
    double et0_mm;
    double net_radiation_mj_m2;
    double wind_m_s;    /**< at 2 m; NaN when unknown */
    double summer_frac; /**< 0 in mid-January .. 1 in mid-July */
    double leaf_frac;   /**< 0 bare .. 1 full leaf */
    uint8_t et0_method; /**< a pn_sky_et0_method */
    uint8_t quality;    /**< pn_sky_quality bits of what was used */
} pn_soil_forcing;

typedef struct pn_soil_day {
    double water_frac; /**< w = 1 - Dr / TAW of the root zone, 0 .. 1 */
    double top_frac;   /**< the same of the top layer alone */
    double soil_degc;  /**< at 10 cm, daily mean */
    double et0_mm;
    double et_actual_mm;   /**< out of the ground; interception not counted */
    double throughfall_mm; /**< rain (or snow) that passed the canopy */
    double drainage_mm;    /**< below the roots */
    uint8_t et0_method;
    uint8_t quality;
} pn_soil_day;

/** The forcing of day i of a record.
 *  @return PN_OK, PN_EDOMAIN (day outside the record, or tmin, tmax or rain
 *          missing; the message names the date) */
PN_MUST_CHECK pn_status pn_soil_forcing_of(const pn_weather *weather, size_t i,
                                           pn_soil_forcing *out, pn_error *err);

/** The forcings of days from .. to-1. Work them out once for patches that share
 *  a record: they cost several times what the steps cost.
 *  @param out  to - from forcings
 *  @return as pn_soil_forcing_of() */
PN_MUST_CHECK pn_status pn_soil_force(const pn_weather *weather, size_t from,
                                      size_t to, pn_soil_forcing *out,
                                      pn_error *err);

/** One day. The ground must pass pn_soil_ground_check(). Rain = (rain -
 *  throughfall) + et_actual + drainage + what the state gained. Every
 *  number of the forcing but the wind must be finite, rain and ET0 >= 0, as
 *  pn_soil_forcing_of() leaves them. */
pn_soil_day pn_soil_step(const pn_soil_ground *ground,
                         const pn_soil_forcing *forcing, pn_soil_state *state);

/** Days from .. to-1 of the record. The state carries on, so a run cut in
 *  pieces gives the same bits as one run. On failure the state stands
 *  as it was after the last day that worked.
 *  @param out  to - from days
 *  @return PN_OK, PN_EDOMAIN (ground, range, or a missing tmin, tmax or rain,
 *          with its date) */
PN_MUST_CHECK pn_status pn_soil_run(const pn_soil_ground *ground,
                                    const pn_weather *weather, size_t from,
                                    size_t to, pn_soil_state *state,
                                    pn_soil_day *out, pn_error *err);

/** The same from forcings worked out before; the same bits as pn_soil_run().
 *  @return PN_OK, PN_EDOMAIN (ground) */
PN_MUST_CHECK pn_status pn_soil_run_forced(const pn_soil_ground *ground,
                                           const pn_soil_forcing *forcing,
                                           size_t count, pn_soil_state *state,
                                           pn_soil_day *out, pn_error *err);

#endif
