/** @file outlook.h
 * The week's answer: for every kind looked for at every patch, on each of
 * the next days, the chance of a worthwhile find, the usable weight with its
 * 80 % interval, and the reasons in words.
 *
 * weather -> soil -> season gives N(d), the standing usable density; the
 * patch's own history gives lambda, the items that stand there at N = 1;
 * a visit then meets a negative binomial number of items of mean lambda N.
 *
 * What is not known widens the answer and is said: days past the forecast
 * are played with the same weeks of other years, all of them.
 * It is a planning aid, not a promise, and never a word on safety.
 */
#ifndef PN_OUTLOOK_H
#define PN_OUTLOOK_H

#include "pannage/base.h"
#include "pannage/season.h"
#include "pannage/sky.h"
#include "pannage/soil.h"

/* ---- what goes in ------------------------------------------------------ */

typedef struct pn_outlook_patch {
    int64_t id;
    const char *name;
    pn_soil_ground ground;
    double elevation_m; /**< NaN: as the weather station */
} pn_outlook_patch;

/** A kind that is looked for at a patch. */
typedef struct pn_outlook_pair {
    size_t patch;        /**< index into patches */
    const pn_kind *kind; /**< from pn_kind_at() */
    double productivity; /**< > 0, the gatherer's guess, 1 = usual; or NaN */
} pn_outlook_pair;

/** What one visit says of one kind. */
typedef struct pn_outlook_visit {
    size_t patch;
    const pn_kind *kind;
    int32_t epoch_day;
    double minutes; /**< NaN: a usual search */
    int64_t count;  /**< 0: looked for and not found */
} pn_outlook_visit;

typedef struct pn_outlook_input {
    /** Measured days; tmin, tmax and rain without gaps from its first day to
     *  the day before the issue day (pn_weather_fill_gaps()). Later days are
     *  not looked at. */
    const pn_weather *record;
    const pn_weather *forecast; /**< NULL, or days from the issue day on */
    int32_t issue_epoch_day;    /**< the outlook's first day */
    const pn_outlook_patch *patches;
    size_t patch_count;
    const pn_outlook_pair *pairs;
    size_t pair_count;
    const pn_outlook_visit *visits;
    size_t visit_count;
    int horizon_days; /**< 1 .. 28 */
    void (*progress)(void *ctx, const char *what, size_t done, size_t total);
    void *progress_ctx;
} pn_outlook_input;

#define PN_OUTLOOK_INPUT_INIT                                                  \
    { .horizon_days = 14 }

/* ---- what comes out ---------------------------------------------------- */

enum { PN_OUTLOOK_HORIZON_MAX = 28, PN_OUTLOOK_MEMBERS_MAX = 30 };

typedef enum pn_outlook_basis {
    PN_OUTLOOK_FORECAST,    /**< that day's weather is from the forecast */
    PN_OUTLOOK_CLIMATOLOGY, /**< from the same weeks of other years */
    PN_OUTLOOK_RECENT,      /**< no other year on record: recent weeks */
} pn_outlook_basis;

/** "forecast", "other years", "recent weeks"; never NULL. */
const char *pn_outlook_basis_name(pn_outlook_basis basis);

/** One day of one row. */
typedef struct pn_outlook_day {
    double density;     /**< N, mean over the futures */
    double density_cv;  /**< spread of N between them / mean */
    double chance_prob; /**< of at least the kind's worthwhile count */
    double count_mean;  /**< usable items met */
    double kg;          /**< usable, fresh: its mean */
    double kg_low;      /**< the 10 % ... */
    double kg_high;     /**< ... and 90 % quantiles */
} pn_outlook_day;

/** What the patch's history says of the kind. */
typedef struct pn_outlook_memory {
    double shape;       /**< Gamma posterior of lambda */
    double rate_per_n;  /**< its rate: mean = shape / rate */
    double prior_mean;  /**< lambda before any visit */
    int visits;         /**< counted, N known on that day */
    int in_season;      /**< of these, with N >= 0.05 */
    int found;          /**< of those in season */
    int recent;         /**< the last in-season visits, at most 5 */
    int recent_found;   /**< of these */
    double recent_mean; /**< items a visit, over these; NaN: none */
    int unknown;        /**< left out: N not known on that day */
    int32_t last_found; /**< epoch day, INT32_MIN: never */
} pn_outlook_memory;

typedef struct pn_outlook_row {
    size_t pair;  /**< index into the input's pairs */
    size_t patch; /**< index into the input's patches */
    const pn_kind *kind;
    int rank;     /**< 1 = first to go for; 0: nothing known or to be had */
    int best_day; /**< index of the best day; -1 when N is not known */
    pn_outlook_memory memory;
    pn_outlook_day day[PN_OUTLOOK_HORIZON_MAX];
} pn_outlook_row;

typedef struct pn_outlook pn_outlook;

/** Compute everything. Pairs whose kind is not forecast get no row.
 *  @param[out] out  freed by the caller with pn_outlook_free(); the input's
 *                   arrays must outlive it
 *  @return PN_OK, PN_EDOMAIN (no record before the issue day; a gap; a
 *          number outside its range: message names it), PN_ENOMEM */
PN_MUST_CHECK pn_status pn_outlook_run(const pn_alloc *alloc,
                                       const pn_outlook_input *input,
                                       pn_outlook **out, pn_error *err);
/** NULL is fine. */
void pn_outlook_free(pn_outlook *outlook);

/** Best first: by chance on the best day, then weight, then names. Borrowed. */
const pn_outlook_row *pn_outlook_rows(const pn_outlook *outlook, size_t *count);
/** [horizon_days], borrowed. */
const pn_outlook_basis *pn_outlook_bases(const pn_outlook *outlook);

/** How the outlook was made, for its one quiet line. */
typedef struct pn_outlook_made {
    int32_t record_first, record_last; /**< the measured days used */
    size_t filled_days;                /**< among them, with a filled value */
    int forecast_days;
    int other_years;  /**< of the record, behind the climatology */
    int member_count; /**< futures played */
    size_t et0_days[PN_SKY_ET0_UNKNOWN + 1]; /**< days by method */
    bool short_record; /**< under PN_SEASON_WARMUP_DAYS before the issue day */
} pn_outlook_made;
pn_outlook_made pn_outlook_how_made(const pn_outlook *outlook);

/* ---- why ---------------------------------------------------------------- */

enum { PN_OUTLOOK_REASONS_MAX = 6, PN_OUTLOOK_REASON_SIZE = 112 };

typedef struct pn_outlook_reasons {
    char text[PN_OUTLOOK_REASONS_MAX][PN_OUTLOOK_REASON_SIZE];
    size_t count;
} pn_outlook_reasons;

/** The reasons behind a row, weightiest first, as a person says them.
 *  @return PN_OK, PN_ENOMEM, PN_EDOMAIN */
PN_MUST_CHECK pn_status pn_outlook_why(const pn_outlook *outlook,
                                       const pn_outlook_row *row,
                                       pn_outlook_reasons *out, pn_error *err);

/** Every factor on one of the row's days, in the middle future. */
typedef struct pn_outlook_factors {
    pn_season_factors season;
    double water_frac, soil_degc, rain_30d_mm;
    double lambda_mean;
    double spread_patch;   /**< the parts of the relative variance: lambda, */
    double spread_visit;   /**< chance of the day, */
    double spread_model;   /**< the model of N, */
    double spread_weather; /**< and weather not yet known */
} pn_outlook_factors;
PN_MUST_CHECK pn_status pn_outlook_explain(const pn_outlook *outlook,
                                           const pn_outlook_row *row,
                                           int day_index,
                                           pn_outlook_factors *out,
                                           pn_error *err);

/* ---- the season at a patch --------------------------------------------- */

/** Day by day from first_epoch_day: the past as it was, then the outlook. All
 *  arrays hold day_count values, NaN where not known. */
typedef struct pn_outlook_season {
    int32_t first_epoch_day;
    size_t day_count;
    double *kg, *kg_low, *kg_high; /**< usable at a visit, mean and 80 % */
    double *chance_prob;
    double *water_frac, *soil_degc, *air_degc, *rain_mm;
    pn_alloc alloc;
} pn_outlook_season;

/** From first_epoch_day (or the record's first day, if later) to the end of
 *  the outlook, with lambda as it is known today.
 *  @param[out] out  the caller ends it with pn_outlook_season_deinit(); empty
 *                   on failure */
PN_MUST_CHECK pn_status pn_outlook_season_of(const pn_outlook *outlook,
                                             const pn_outlook_row *row,
                                             int32_t first_epoch_day,
                                             pn_outlook_season *out,
                                             pn_error *err);
void pn_outlook_season_deinit(pn_outlook_season *season);

/* ---- patch memory -------------------------------------------------------- */

/** One visit as the memory sees it. */
typedef struct pn_outlook_exposure {
    double density; /**< N on the day of the visit */
    double effort;  /**< share of what stood there that was searched, > 0 */
    double years;   /**< ago */
    int64_t count;
} pn_outlook_exposure;

/** Gamma posterior of lambda from visits, blank ones too.
 *      a = a0 + sum w y      b = a0 / mean0 + sum w e (N + 0.05)
 *      w = 0.85^years / (1 + (phi + exp(sigma^2) - 1) m),  m = e (N + 0.05) a/b
 *  w is the Fisher information of a negative binomial count over that of a
 *  Poisson one, so that one enormous day does not outweigh ten visits; it is
 *  iterated to its fixed point. 0.05 stands for what the model of N misses,
 *  0.85 a year for a patch that changes: both own choices, to be learned.
 *  Writes memory->shape, rate_per_n and prior_mean.
 *  Source:   own form; conjugate Gamma-Poisson with a power likelihood
 *  Validity: mean0 > 0, shape0 > 0
 *  Accuracy: fixed point to 1e-10
 *  Checked:  tests/unit/outlook/test_memory.c */
void pn_outlook_remember(const pn_kind *kind, double productivity,
                         const pn_outlook_exposure *exposures, size_t count,
                         pn_outlook_memory *memory);

/** Share of what stands that a search of so many minutes meets.
 *      e = (1 - exp(-t / 20)) / (1 - exp(-30 / 20)), NaN minutes: 1
 *  Source: own choice: half an hour is a usual search of a patch */
double pn_outlook_effort(double minutes);

/** One day's forecast from the memory and the density.
 *  @param density_cv  spread of N between futures / mean
 *  mean m = lambda N;  1/size = 1/a + phi + exp(sigma^2) - 1 + density_cv^2 */
void pn_outlook_predict(const pn_kind *kind, const pn_outlook_memory *memory,
                        double density, double density_cv, pn_outlook_day *out);

#endif
