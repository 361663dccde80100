/* How a kind's row is written. Every number in the tables is a prior median
 * with a spread; the spreads are set here, once, for all kinds, and are wide:
 * no daily British record was there to narrow them.
 *
 * Where a number comes from:
 * HANDBOOK  months as British field guides give them, from memory
 * TUNED     set so that generated weather of 1991-2020 normals gives the dates
 *           the trade names (tests/ref/season/); the trade has no source
 * GUESS     our own judgement, to be learned from visits */
#ifndef PN_KINDS_INTERNAL_H
#define PN_KINDS_INTERNAL_H

#include "pannage/season.h"

#include <math.h>

#define HANDBOOK "from memory ([PHILLIPS2006], [SPOONER2005])"
#define MEMORY "from memory"
#define TUNED "tuned to common practice, no source"
#define GUESS "own judgement, no source"
#define UNUSED                                                                 \
    { NAN, 0.0, "not used" }

/* ---- fungi ---- */

#define GATE(start, end, scale)                                                \
    [PN_SEASON_GATE_START_DOY] = {start, 10.0, HANDBOOK},                      \
    [PN_SEASON_GATE_END_DOY] = {end, 10.0, HANDBOOK},                          \
    [PN_SEASON_GATE_SCALE_D] = {scale, 0.3, GUESS}

#define WATER(half, scale)                                                     \
    [PN_SEASON_WATER_HALF_FRAC] = {half, 0.08, GUESS},                         \
    [PN_SEASON_WATER_SCALE_FRAC] = {scale, 0.3, GUESS}

#define SOIL(min, best, max)                                                   \
    [PN_SEASON_SOIL_MIN_DEGC] = {min, 1.5, GUESS},                             \
    [PN_SEASON_SOIL_BEST_DEGC] = {best, 1.5, GUESS},                           \
    [PN_SEASON_SOIL_MAX_DEGC] = {max, 1.5, GUESS}

#define TRIGGER(direction, degc, scale, change, change_scale)                  \
    [PN_SEASON_TRIGGER_DIRECTION] = {direction, 0.0, GUESS},                   \
    [PN_SEASON_TRIGGER_DEGC] = {degc, 1.0, TUNED},                             \
    [PN_SEASON_TRIGGER_SCALE_K] = {scale, 0.3, GUESS},                         \
    [PN_SEASON_TRIGGER_CHANGE_K] = {change, 0.5, TUNED},                       \
    [PN_SEASON_TRIGGER_CHANGE_SCALE_K] = {change_scale, 0.3, GUESS}
#define COOLING(degc, scale, fall, fall_scale)                                 \
    TRIGGER(1.0, degc, scale, fall, fall_scale)
#define WARMING(degc, scale, rise, rise_scale)                                 \
    TRIGGER(-1.0, degc, scale, rise, rise_scale)
/* the run does not look at the four numbers */
#define NO_TRIGGER TRIGGER(0.0, 10.0, 1.0, 0.0, 1.0)

#define RIPENING(base, dd)                                                     \
    [PN_SEASON_RIPEN_BASE_DEGC] = {base, 1.0, GUESS}, [PN_SEASON_RIPEN_DD] = { \
                                                          dd, 0.3, GUESS}

#define WEAR(life_d, q10, drought)                                             \
    [PN_SEASON_LIFE_D] = {life_d, 0.35, GUESS},                                \
    [PN_SEASON_LIFE_Q10] = {q10, 0.2, GUESS},                                  \
    [PN_SEASON_LIFE_DROUGHT] = {drought, 0.5, GUESS}

#define FROST(degc, scale, rate)                                               \
    [PN_SEASON_FROST_DEGC] = {degc, 1.0, GUESS},                               \
    [PN_SEASON_FROST_SCALE_K] = {scale, 0.3, GUESS},                           \
    [PN_SEASON_FROST_RATE_PER_D] = {rate, 0.5, GUESS}

#define FUNGUS_ONLY                                                            \
    [PN_SEASON_START_DOY] = UNUSED, [PN_SEASON_BASE_DEGC] = UNUSED,            \
    [PN_SEASON_UPPER_DEGC] = UNUSED, [PN_SEASON_STAGE_START_DD] = UNUSED,      \
    [PN_SEASON_STAGE_START_SPREAD_DD] = UNUSED,                                \
    [PN_SEASON_STAGE_END_DD] = UNUSED,                                         \
    [PN_SEASON_STAGE_END_SPREAD_DD] = UNUSED,                                  \
    [PN_SEASON_PHOTO_DIRECTION] = UNUSED, [PN_SEASON_PHOTO_H] = UNUSED,        \
    [PN_SEASON_PHOTO_SCALE_H] = UNUSED

/* ---- plants ---- */

/* Thermal time above freezing: the low base keeps north and south as close
 * together as they are in fact. */
#define COUNTS_FROM(start_doy)                                                 \
    [PN_SEASON_START_DOY] = {start_doy, 0.0, GUESS},                           \
    [PN_SEASON_BASE_DEGC] = {0.0, 1.0, GUESS},                                 \
    [PN_SEASON_UPPER_DEGC] = {30.0, 2.0, GUESS}

#define STAGE(start, start_spread, end, end_spread)                            \
    [PN_SEASON_STAGE_START_DD] = {start, 0.06, TUNED},                         \
    [PN_SEASON_STAGE_START_SPREAD_DD] = {start_spread, 0.3, GUESS},            \
    [PN_SEASON_STAGE_END_DD] = {end, 0.06, TUNED},                             \
    [PN_SEASON_STAGE_END_SPREAD_DD] = {end_spread, 0.3, GUESS}

#define KEEPS(life_d) [PN_SEASON_LIFE_D] = {life_d, 0.35, GUESS}

#define SHORT_DAYS(hours, scale)                                               \
    [PN_SEASON_PHOTO_DIRECTION] = {1.0, 0.0, MEMORY},                          \
    [PN_SEASON_PHOTO_H] = {hours, 0.3, TUNED},                                 \
    [PN_SEASON_PHOTO_SCALE_H] = {scale, 0.3, GUESS}
/* the run does not look at the two numbers */
#define ANY_DAY_LENGTH                                                         \
    [PN_SEASON_PHOTO_DIRECTION] = {0.0, 0.0, GUESS},                           \
    [PN_SEASON_PHOTO_H] = {12.0, 0.3, GUESS},                                  \
    [PN_SEASON_PHOTO_SCALE_H] = {1.0, 0.3, GUESS}

#define PLANT_ONLY                                                             \
    [PN_SEASON_GATE_START_DOY] = UNUSED, [PN_SEASON_GATE_END_DOY] = UNUSED,    \
    [PN_SEASON_GATE_SCALE_D] = UNUSED, [PN_SEASON_WATER_HALF_FRAC] = UNUSED,   \
    [PN_SEASON_WATER_SCALE_FRAC] = UNUSED, [PN_SEASON_SOIL_MIN_DEGC] = UNUSED, \
    [PN_SEASON_SOIL_BEST_DEGC] = UNUSED, [PN_SEASON_SOIL_MAX_DEGC] = UNUSED,   \
    [PN_SEASON_TRIGGER_DIRECTION] = UNUSED, [PN_SEASON_TRIGGER_DEGC] = UNUSED, \
    [PN_SEASON_TRIGGER_SCALE_K] = UNUSED,                                      \
    [PN_SEASON_TRIGGER_CHANGE_K] = UNUSED,                                     \
    [PN_SEASON_TRIGGER_CHANGE_SCALE_K] = UNUSED,                               \
    [PN_SEASON_RIPEN_BASE_DEGC] = UNUSED, [PN_SEASON_RIPEN_DD] = UNUSED,       \
    [PN_SEASON_LIFE_Q10] = UNUSED, [PN_SEASON_LIFE_DROUGHT] = UNUSED

/* ---- all ---- */

#define ITEM(one, many, grams, cv, worth)                                      \
    .item = (one), .item_plural = (many), .item_g = (grams), .item_cv = (cv),  \
    .worthwhile_count = (worth)

/* Gamma prior of what stands on a typical suitable patch at N = 1, the
 * dispersion of one visit, the model's own uncertainty of log N: own
 * judgement, no source; the notebook's visits correct the first two. */
#define STANDING(shape, mean, phi, log_sd)                                     \
    .rate_shape = (shape), .rate_mean = (mean), .visit_dispersion = (phi),     \
    .density_log_sd = (log_sd)

typedef struct kind_table {
    const pn_kind *kinds;
    size_t count;
} kind_table;

kind_table season_wood_fungi(void);
kind_table season_meadow_fungi(void);
kind_table season_leaves_and_flowers(void);
kind_table season_fruits_and_nuts(void);
kind_table season_shore(void);

#endif
