/** @file season.h
 * When things stand in the wood: from the daily state of the soil and the air
 * to N, the standing usable density of a kind relative to its best.
 *
 * Two models. A fungus starts fruit bodies when season, soil water, soil
 * temperature and a trigger (the soil cooling or warming) agree; they ripen
 * in thermal time through four stages and wear out, sooner when it is warm or
 * dry; frost ends them. A plant reaches its stage in thermal time, weighted
 * by day length where that rules, and its usable share wears out.
 *
 * N is a forecast of stage, never of safety: it says nothing about what is
 * standing there. Every density is relative and uncalibrated until visits
 * have been learned from.
 */
#ifndef PN_SEASON_H
#define PN_SEASON_H

#include "pannage/base.h"

/* ---- parameters ------------------------------------------------------- */

typedef enum pn_season_model {
    PN_SEASON_FUNGUS,
    PN_SEASON_PLANT,
    PN_SEASON_NOT_FORECAST /**< ruled by something we do not model (tides) */
} pn_season_model;

/** One list for both models; a kind's prior for a parameter its model does
 *  not use has source "not used". */
typedef enum pn_season_param {
    /* fungus: initiation */
    PN_SEASON_GATE_START_DOY, /**< day of year the gate is half open */
    PN_SEASON_GATE_END_DOY,   /**< half closed; below start: over New Year */
    PN_SEASON_GATE_SCALE_D,   /**< softness of both ends */
    PN_SEASON_WATER_HALF_FRAC,
    PN_SEASON_WATER_SCALE_FRAC,
    PN_SEASON_SOIL_MIN_DEGC, /**< cardinal temperatures of the 10 cm soil */
    PN_SEASON_SOIL_BEST_DEGC,
    PN_SEASON_SOIL_MAX_DEGC,
    PN_SEASON_TRIGGER_DIRECTION, /**< 1 cooling, -1 warming, 0 none */
    PN_SEASON_TRIGGER_DEGC,      /**< smoothed soil temperature, half effect */
    PN_SEASON_TRIGGER_SCALE_K,
    PN_SEASON_TRIGGER_CHANGE_K, /**< fall below the recent high (rise above
                                     the recent low), half effect */
    PN_SEASON_TRIGGER_CHANGE_SCALE_K,
    /* fungus: ripening and wear */
    PN_SEASON_RIPEN_BASE_DEGC,
    PN_SEASON_RIPEN_DD, /**< mean thermal time from start to usable, K d */
    PN_SEASON_LIFE_Q10,
    PN_SEASON_LIFE_DROUGHT, /**< wear is 1 + this times faster in dry soil */
    /* both */
    PN_SEASON_LIFE_D, /**< mean usable life (fungus: at the best temperature) */
    PN_SEASON_FROST_DEGC, /**< air minimum of half the full loss */
    PN_SEASON_FROST_SCALE_K,
    PN_SEASON_FROST_RATE_PER_D, /**< loss rate in hard frost */
    /* plant */
    PN_SEASON_START_DOY, /**< thermal time counts from here, N restarts */
    PN_SEASON_BASE_DEGC,
    PN_SEASON_UPPER_DEGC,     /**< no further gain above (horizontal cut-off) */
    PN_SEASON_STAGE_START_DD, /**< half of the crop has reached its stage */
    PN_SEASON_STAGE_START_SPREAD_DD, /**< logistic scale */
    PN_SEASON_STAGE_END_DD,          /**< half of it has passed */
    PN_SEASON_STAGE_END_SPREAD_DD,
    PN_SEASON_PHOTO_DIRECTION, /**< 1 short days, -1 long days, 0 none */
    PN_SEASON_PHOTO_H,         /**< day length of half effect */
    PN_SEASON_PHOTO_SCALE_H,
    PN_SEASON_PARAM_COUNT
} pn_season_param;

/** How a prior's spread is meant and how to draw or learn the parameter. */
typedef enum pn_season_scale {
    PN_SEASON_SCALE_FIXED,  /**< structural: never drawn, never learned */
    PN_SEASON_SCALE_LINEAR, /**< normal, spread = standard deviation */
    PN_SEASON_SCALE_LOG     /**< log-normal, spread = sd of the logarithm */
} pn_season_scale;

typedef struct pn_season_prior {
    double median;
    double spread;      /**< as pn_season_param_scale() says */
    const char *source; /**< a key of docs/REFERENCES.md, "from memory",
                             "common practice, no source", "not used", ... */
} pn_season_prior;

/** "gate_start_doy", ...; never NULL. */
const char *pn_season_param_name(pn_season_param param);
/** "day of year", "degC", "K d", "" for a pure number; never NULL. */
const char *pn_season_param_unit(pn_season_param param);
pn_season_scale pn_season_param_scale(pn_season_param param);
/** True if the model reads the parameter. */
bool pn_season_param_used(pn_season_model model, pn_season_param param);

/* ---- kinds ------------------------------------------------------------ */

typedef struct pn_kind {
    const char *id; /**< "penny_bun" */
    const char *english;
    const char *scientific;
    const char *group; /**< "wood fungus", "meadow fungus", "nut", "leaf",
                            "flower", "berry", "seaweed", ... */
    const char *where; /**< habitat and hosts in a few words */
    pn_season_model model;
    const char *item; /**< what one counts: "cap", "handful of nuts" */
    const char *item_plural;
    double item_g;            /**< fresh usable mass of one item */
    double item_cv;           /**< its coefficient of variation */
    int64_t worthwhile_count; /**< items that make the walk worth it */
    double rate_shape;        /**< Gamma prior of lambda, the items standing on
                                   a typical suitable patch at N = 1 */
    double rate_mean;
    double visit_dispersion; /**< phi: variance = m + phi m^2 */
    double density_log_sd;   /**< model uncertainty of log N */
    pn_season_prior prior[PN_SEASON_PARAM_COUNT];
    const char *caution; /**< what to rule out first; never permission to eat */
    const char *not_forecast_why; /**< NULL unless PN_SEASON_NOT_FORECAST */
} pn_kind;

/** Kinds in the order of the year's handbook: fungi, then plants, then the
 *  shore. The pointers live as long as the program. */
size_t pn_kind_count(void);
/** NULL past the end. */
const pn_kind *pn_kind_at(size_t index);
/** By id, English or scientific name, letters' case ignored; else NULL. Where
 *  two kinds share a scientific name (elder, hop) it finds the first. */
const pn_kind *pn_kind_find(pn_text name);

/** The prior medians as one parameter set; NaN where not used. */
void pn_season_params_median(const pn_kind *kind,
                             double params[PN_SEASON_PARAM_COUNT]);
/** One draw from the prior, kept inside the model's domain.
 *  @return PN_OK; PN_ENOCONV if no valid draw in 100 tries (params are then
 *          the medians) */
PN_MUST_CHECK pn_status
pn_season_params_draw(const pn_kind *kind, pn_random *random,
                      double params[PN_SEASON_PARAM_COUNT], pn_error *err);
/** PN_EDOMAIN names the parameter that is not finite or out of range, or the
 *  pair out of order. */
PN_MUST_CHECK pn_status pn_season_params_check(
    pn_season_model model, const double params[PN_SEASON_PARAM_COUNT],
    pn_error *err);

/* ---- the run ---------------------------------------------------------- */

/** A cell is a patch (or a patch of one ensemble member). Arrays marked [d][c]
 *  are day-major: value[day * cell_count + cell]. All values must be finite;
 *  a model reads only what it needs, and the rest may be NULL. */
typedef struct pn_season_drivers {
    size_t day_count;
    size_t cell_count;
    const int32_t *epoch_day;   /**< [day_count], each the last plus one */
    const double *day_length_h; /**< [d][c]; plants ruled by day length */
    const double *water_frac;   /**< [d][c] 0 .. 1, of the top layer, where
                                     the mycelium is: pn_soil_day.top_frac;
                                     fungi */
    const double *soil_degc;    /**< [d][c] 10 cm daily mean; fungi */
    const double *tmin_degc;    /**< [d][c] air; both */
    const double *tmax_degc;    /**< [d][c] air; plants */
} pn_season_drivers;

/** What one kind carries from day to day in every cell. A fresh state knows
 *  nothing of the days before: a fungus needs about PN_SEASON_WARMUP_DAYS to
 *  forget that; a plant's density stays NaN (not known) until the first
 *  PN_SEASON_START_DOY comes past. */
typedef struct pn_season_state pn_season_state;

enum { PN_SEASON_WARMUP_DAYS = 60 };

/** @return PN_OK, PN_EDOMAIN (no cells), PN_ENOMEM; *out untouched on
 *  failure, else the caller frees with pn_season_state_free() */
PN_MUST_CHECK pn_status pn_season_state_new(const pn_alloc *alloc,
                                            size_t cell_count,
                                            pn_season_state **out,
                                            pn_error *err);
/** NULL is fine. */
void pn_season_state_free(pn_season_state *state);
/** Back to knowing nothing. */
void pn_season_state_reset(pn_season_state *state);
size_t pn_season_state_cells(const pn_season_state *state);
/** Days run so far, 0 for a fresh state. */
int64_t pn_season_state_days(const pn_season_state *state);
/** Cell j of `to` becomes cell j % cells of `from`: one past for a whole
 *  ensemble of futures. @return PN_OK, PN_EDOMAIN (cells of `to` are not a
 *  multiple of those of `from`) */
PN_MUST_CHECK pn_status pn_season_state_copy(const pn_season_state *from,
                                             pn_season_state *to,
                                             pn_error *err);

/** Run every day of the drivers. Running 0..n and then n..m gives the same
 *  bits as running 0..m. On failure the state is untouched and density is not
 *  to be read.
 *  @param[in,out] state    same cell_count; its next day, if it has run
 *                          before, is epoch_day[0]
 *  @param[out]    density  [d][c] N >= 0, 1 in steady ideal conditions
 *  @return PN_OK, PN_EDOMAIN (message names the parameter or the day, cell
 *          and driver) */
PN_MUST_CHECK pn_status
pn_season_run(const double params[PN_SEASON_PARAM_COUNT], pn_season_model model,
              const pn_season_drivers *drivers, pn_season_state *state,
              double *density, pn_error *err);

/** Every factor of one day in one cell; NaN where the model has none. */
typedef struct pn_season_factors {
    double gate;            /**< S, 0 .. 1 */
    double water;           /**< g, 0 .. 1 */
    double temperature;     /**< h, 0 .. 1 */
    double trigger;         /**< C, 0 .. 1 */
    double smoothed_degc;   /**< the trigger's smoothed soil temperature */
    double recent_degc;     /**< its recent high (cooling) or low (warming) */
    double initiation;      /**< share of the best standing crop started, 1/d */
    double ripening_dd;     /**< thermal time gained today, K d */
    double primordia;       /**< not yet usable, same unit as N */
    double life_d;          /**< mean usable life in today's conditions */
    double frost_loss;      /**< share lost to frost today */
    double thermal_time_dd; /**< plant: weighted sum since START_DOY */
    double photoperiod;     /**< plant: weight of today's thermal time */
    double reached_frac;    /**< plant: share that has reached the stage */
    double passed_frac;     /**< plant: share that has passed it */
    double density;         /**< N, the very bits of pn_season_run() */
} pn_season_factors;

typedef struct pn_season_query {
    size_t day_index; /**< of the drivers */
    size_t cell;
} pn_season_query;

/** Recompute one cell from the state before drivers day 0 up to the day asked
 *  for. @param start  the state as it was before day 0, or NULL for a fresh
 *  one. @return as pn_season_run() */
PN_MUST_CHECK pn_status pn_season_explain(
    const double params[PN_SEASON_PARAM_COUNT], pn_season_model model,
    const pn_season_drivers *drivers, const pn_season_state *start,
    pn_season_query query, pn_season_factors *out, pn_error *err);

/* ---- formulas --------------------------------------------------------- */

/** Soft season gate.   S = 1 / [(1 + e^-(x + L/2)/s) (1 + e^(x - L/2)/s)],
 *  x the day's distance from mid-season on the circle of the year, L its
 *  length.
 *  @param day_of_year  1 .. 366   @param start_doy, end_doy  1 .. 366; end
 *  before start spans New Year    @param scale_d  > 0      @return 0 .. 1
 *  Source:   own form, product of two logistics
 *  Validity: scale_d well below the season's length
 *  Accuracy: exact
 *  Checked:  tests/unit/season/test_season_formulas.c */
double pn_season_gate_frac(double day_of_year, double start_doy, double end_doy,
                           double scale_d);

/** Cardinal-temperature response.
 *  h = (Tx - T)/(Tx - To) [(T - Tn)/(To - Tn)]^((To - Tn)/(Tx - To)),
 *  0 outside Tn .. Tx, 1 at To.
 *  @param degc  -60 .. 70; min < best < max     @return 0 .. 1
 *  Source:   [YANHUNT1999] Eq. 1 with a minimum temperature as in its
 *            generalised form (from memory)
 *  Validity: shape only; the cardinal temperatures carry the science
 *  Accuracy: 1e-11 of the formula by the C library's pow
 *  Checked:  tests/unit/season/test_season_formulas.c */
double pn_season_cardinal_frac(double degc, double min_degc, double best_degc,
                               double max_degc);

/** Thermal time of one day, single sine, horizontal cut-off, through the
 *  branch-free arcsine of vmath.h.
 *  @param tmin_degc <= tmax_degc, base_degc < upper_degc    @return K d
 *  Source:   [BaskervilleEmin69]; six cases written as D(base) - D(upper)
 *  Validity: any temperature in -90 .. 60 degC
 *  Accuracy: 1e-12 K d of the six-case textbook form
 *  Checked:  tests/ref/season/zalom_single_sine.csv */
double pn_season_degree_days(double tmin_degc, double tmax_degc,
                             double base_degc, double upper_degc);

#endif
