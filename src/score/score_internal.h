/** @file score_internal.h
 * What the files of score share.
 */
#ifndef PN_SCORE_INTERNAL_H
#define PN_SCORE_INTERNAL_H

#include "pannage/score.h"

/* ---- weather from a station ------------------------------------------- */

/** Notes a caller's run collects; those beyond the limit are dropped. */
void pn_score_note(pn_score_soil *score, const char *fmt, ...) PN_PRINTF(2, 3);

/** Weather without gaps in tmin, tmax and rain; rain_gap[i] is set where rain
 *  was unknown for more than 3 days running, or was within 60 days before. */
PN_MUST_CHECK pn_status pn_score_weather(const pn_score_station *station,
                                         const pn_score_soil_opts *opts,
                                         pn_score_soil *score, bool *rain_gap,
                                         pn_weather **out, pn_error *err);

/* ---- fitting ---------------------------------------------------------- */

typedef enum pn_score_scale {
    PN_SCORE_LOG,   /**< above 0 */
    PN_SCORE_LOGIT, /**< 0 .. 1 */
    PN_SCORE_LINEAR
} pn_score_scale;

typedef struct pn_score_prior {
    const char *name;
    pn_score_scale scale;
    double median;
    double sd; /**< on the scale */
} pn_score_prior;

enum { PN_SCORE_FIT_MAX = 10 };

/** The model's values of the first day_count days, from its parameters. */
typedef void pn_score_model(const void *ctx, const double *parameter,
                            size_t day_count, double *out);

typedef struct pn_score_problem {
    const pn_score_prior *prior;
    size_t parameter_count; /**< 1 .. PN_SCORE_FIT_MAX */
    bool prior_counts;      /**< false: least squares within 3.5 sd */
    double error_sd;        /**< of one day, widened because days are alike */
    pn_score_model *model;
    const void *ctx;
    const double *observed; /**< NaN: no observation */
    size_t first, end;      /**< days compared */
    double *scratch;        /**< (1 + parameter_count) * end values */
} pn_score_problem;

typedef struct pn_score_fit {
    double value[PN_SCORE_FIT_MAX];
    double low[PN_SCORE_FIT_MAX];
    double high[PN_SCORE_FIT_MAX];
} pn_score_fit;

/** The parameters at z standard deviations from their medians. */
double pn_score_at(const pn_score_prior *prior, double z);

/** The parameters of greatest posterior density. Deterministic. */
PN_MUST_CHECK pn_status pn_score_fit_map(const pn_score_problem *problem,
                                         pn_score_fit *out, pn_error *err);
/** The priors themselves, for a target without observations. */
void pn_score_fit_prior(const pn_score_problem *problem, pn_score_fit *out);

/* ---- the models ------------------------------------------------------- */

/** What every model may read. */
typedef struct pn_score_drivers {
    const pn_soil_forcing *forcing;
    const double *pe_mm;       /**< the table's, else our ET0 */
    const double *solar_mj_m2; /**< 0.16 sqrt(range) Ra */
    pn_soil_ground ground;     /**< what the fit does not touch */
    double sensing_top_frac;
} pn_score_drivers;

enum { PN_SCORE_WATER_PARAMETERS = 10, PN_SCORE_WARMTH_PARAMETERS = 6 };

/** Priors of our water model: the shipped ground, its water level from a high
 *  quantile of what was observed. */
void pn_score_water_priors(const pn_soil_ground *ground, double wet_frac,
                           pn_score_prior out[PN_SCORE_WATER_PARAMETERS]);
void pn_score_warmth_priors(const pn_soil_ground *ground,
                            pn_score_prior out[PN_SCORE_WARMTH_PARAMETERS]);
/** Put fitted parameters into the drivers' ground. */
void pn_score_water_set(pn_score_drivers *drivers, const double *parameter);
void pn_score_warmth_set(pn_score_drivers *drivers, const double *parameter);

/* ctx of all: a pn_score_drivers */
void pn_score_water_model(const void *ctx, const double *parameter,
                          size_t day_count, double *out);
void pn_score_warmth_model(const void *ctx, const double *parameter,
                           size_t day_count, double *out);
/** Water as the sensor sees it and warmth, by the drivers' own ground. */
void pn_score_both(const pn_score_drivers *drivers, size_t day_count,
                   double *water_frac, double *soil_degc);

/** A simple method to beat. */
typedef struct pn_score_baseline {
    const char *name;
    pn_score_target target;
    const pn_score_prior *prior;
    size_t parameter_count;
    pn_score_model *model;
} pn_score_baseline;

enum { PN_SCORE_BASELINE_COUNT = 5 };
/** Static; i below PN_SCORE_BASELINE_COUNT. */
const pn_score_baseline *pn_score_baseline_get(size_t i);

#endif
