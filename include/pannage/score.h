/** @file score.h
 * How far the models are right: fitted on some years of a monitored place and
 * judged on others, beside simple methods fitted and judged the same way.
 */
#ifndef PN_SCORE_H
#define PN_SCORE_H

#include "pannage/base.h"
#include "pannage/paper.h"
#include "pannage/soil.h"

/* ---- a monitored station ---------------------------------------------- */

typedef enum pn_score_column {
    PN_SCORE_RAIN_MM,
    PN_SCORE_TMIN_DEGC,
    PN_SCORE_TMAX_DEGC,
    PN_SCORE_TMEAN_DEGC,
    PN_SCORE_HUMIDITY_FRAC,
    PN_SCORE_WIND_M_S,
    PN_SCORE_NET_RADIATION_MJ_M2,
    PN_SCORE_PE_MM,
    PN_SCORE_SOIL_WATER_FRAC, /**< cosmic-ray, else mean of the probes */
    PN_SCORE_SOIL_DEGC,       /**< mean of the probes at 10 cm */
    PN_SCORE_COLUMN_COUNT
} pn_score_column;

/** A run of consecutive days; a missing value is NaN. */
typedef struct pn_score_station {
    pn_alloc alloc;
    int32_t first_epoch_day;
    size_t day_count;
    double *value[PN_SCORE_COLUMN_COUNT];
    bool has[PN_SCORE_COLUMN_COUNT]; /**< the table has such a column */
    bool water_from_probes;          /**< it has no cosmic-ray column */
    size_t implausible_count;        /**< values taken as missing because no
                                          weather and no soil can have them */
} pn_score_station;

/** Read the daily table of a soil moisture network: comma-separated, first
 *  line names, DATE_TIME as YYYY-MM-DD (a time after it is not used); known
 *  names (with or without _LEVEL2): COSMOS_VWC, PRECIPITATION_TOTAL, RH_MEAN,
 *  TA_MEAN, TA_MIN, TA_MAX, RN_TOTAL, WS_MEAN, PE, TDT1_TSOIL_MEAN,
 *  TDT2_TSOIL_MEAN, TDT1_VWC_MEAN, TDT2_VWC_MEAN; others are not used. Empty,
 *  -9999 and NaN are missing. Days may stand in any order; days not in the
 *  table are missing. The caller frees with pn_score_station_free().
 *  @param csv_name  for messages
 *  @return PN_OK, PN_EPARSE (the message names file, line, column, value and
 *          remedy), PN_ENOMEM */
PN_MUST_CHECK pn_status pn_score_station_parse(const pn_alloc *alloc,
                                               pn_text csv,
                                               const char *csv_name,
                                               pn_score_station **out,
                                               pn_error *err);
/** NULL is fine. */
void pn_score_station_free(pn_score_station *station);

/* ---- the soil model on a station -------------------------------------- */

typedef struct pn_score_soil_opts {
    pn_text csv;
    const char *csv_name;                  /**< for messages; NULL: "table" */
    int fit_first_year, fit_last_year;     /**< both included */
    int judge_first_year, judge_last_year; /**< both included */
    double latitude_rad;     /**< NaN: 54 degrees north, and a note says so */
    double elevation_m;      /**< NaN: 100 m, and a note says so */
    pn_soil_texture texture; /**< of the model as shipped, before any fit */
    pn_soil_cover cover;
    /** Use only minimum, maximum and rain, as a person without a station
     *  would. */
    bool air_only;
} pn_score_soil_opts;

#define PN_SCORE_SOIL_OPTS_INIT                                                \
    {                                                                          \
        .latitude_rad = __builtin_nan(""), .elevation_m = __builtin_nan(""),   \
        .texture = PN_SOIL_LOAM, .cover = PN_SOIL_OPEN                         \
    }

typedef enum pn_score_target {
    PN_SCORE_WATER,  /**< m3/m3 */
    PN_SCORE_WARMTH, /**< degC at 10 cm */
    PN_SCORE_TARGET_COUNT
} pn_score_target;

/** All NaN when fewer than 10 days could be compared. */
typedef struct pn_score_skill {
    size_t day_count;
    double rmse, bias, pearson, nse;
} pn_score_skill;

/** One method on one target. */
typedef struct pn_score_method {
    const char *name;
    pn_score_target target;
    bool is_ours;
    size_t parameter_count; /**< fitted here; 0: as shipped */
    pn_score_skill fit;
    pn_score_skill judge;
    /** Judged days but those within a stretch of more than 3 days whose rain
     *  was not measured, and the 60 days after it. */
    pn_score_skill judge_rain_known;
} pn_score_method;

/** One parameter of our model, in its own unit; low .. high is one standard
 *  deviation either side. */
typedef struct pn_score_parameter {
    const char *name;
    pn_score_target target;
    double prior, prior_low, prior_high;
    double fitted, fitted_low, fitted_high;
} pn_score_parameter;

enum {
    PN_SCORE_METHODS_MAX = 9,
    PN_SCORE_PARAMETERS_MAX = 16,
    PN_SCORE_NOTES_MAX = 10,
    PN_SCORE_NOTE_SIZE = 200
};

typedef struct pn_score_soil {
    pn_alloc alloc;
    char csv_name[96]; /**< the last part of the name given */
    int fit_first_year, fit_last_year, judge_first_year, judge_last_year;
    pn_score_method methods[PN_SCORE_METHODS_MAX];
    size_t method_count;
    pn_score_parameter parameters[PN_SCORE_PARAMETERS_MAX];
    size_t parameter_count;
    pn_soil_ground ground;   /**< as fitted */
    double sensing_top_frac; /**< the sensor's weight of the top layer */
    size_t et0_days[4];      /**< by pn_sky_et0_method, over the judged years */
    char notes[PN_SCORE_NOTES_MAX]
              [PN_SCORE_NOTE_SIZE]; /**< what was doubtful */
    size_t note_count;
    /* day by day */
    int32_t first_epoch_day;
    size_t day_count;
    double *observed[PN_SCORE_TARGET_COUNT]; /**< NaN: missing */
    double *modelled[PN_SCORE_TARGET_COUNT]; /**< fitted */
    double *air_degc;
    double *rain_mm;
} pn_score_soil;

/** Fit on some years and judge on others. Deterministic. A target with fewer
 *  than 60 observed days in the years of the fit keeps the priors, and a note
 *  says so. Missing weather is filled (means of the season and of what the
 *  other columns say) and noted; days in or soon after a stretch of unmeasured
 *  rain are left out of the fit while 60 others remain. The caller frees with
 * pn_score_soil_free().
 *  @return PN_OK; PN_EPARSE (the table); PN_EDOMAIN (years that overlap, are
 *          the wrong way round or not in the table; no rain or no temperature
 *          at all; nothing to compare with); PN_ENOMEM; PN_ENOCONV */
PN_MUST_CHECK pn_status pn_score_soil_run(const pn_alloc *alloc,
                                          const pn_score_soil_opts *opts,
                                          pn_score_soil **out, pn_error *err);
/** NULL is fine. */
void pn_score_soil_free(pn_score_soil *score);

/** Add tables of methods and parameters, then the notes, as plain text. */
PN_MUST_CHECK pn_status pn_score_soil_text(const pn_score_soil *score,
                                           pn_buffer *buffer, pn_error *err);
/** Add one JSON object; what is not a number becomes null. */
PN_MUST_CHECK pn_status pn_score_soil_json(const pn_score_soil *score,
                                           pn_buffer *buffer, pn_error *err);
/** Add an SVG chart of both targets, observed and modelled, over the days of
 *  the fit and of the judged years. */
PN_MUST_CHECK pn_status pn_score_soil_svg(const pn_score_soil *score,
                                          pn_buffer *buffer, pn_error *err);

#endif
