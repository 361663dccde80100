/* What the files of season share: the state's layout, a kind's constants, and
 * the one day's step that both the kernel and the explanation are made of. */
#ifndef PN_SEASON_INTERNAL_H
#define PN_SEASON_INTERNAL_H

#include "pannage/season.h"
#include "pannage/vmath.h"

/* Lanes of the state, each cell_count long. The two models share them. */
enum {
    LANE_SMOOTHED, /* fungus: smoothed soil temperature; plant: K d so far */
    LANE_EXTREME,  /* fungus: leaky high of direction * smoothed;
                      plant: share that has reached the stage */
    LANE_STAGE_0,
    LANE_STAGE_1,
    LANE_STAGE_2,
    LANE_STAGE_3,
    LANE_STANDING, /* usable bodies, or usable share before passing */
    LANE_COUNT
};

/* Cells side by side, each lane of them together, so that a loop over the
 * cells is SIMD and stays in the first-level cache. */
enum { BLOCK_CELLS = 512 };
typedef struct block {
    double v[LANE_COUNT][BLOCK_CELLS];
} block;

struct pn_season_state {
    pn_alloc alloc;
    size_t cell_count;
    size_t block_count; /* the last one may be part empty */
    int64_t days_run;
    int32_t next_epoch_day;
    block *now;
    block *next; /* filled by a run that may yet fail, then exchanged */
};

/* One cell's part of the state, in registers. */
typedef struct cell_state {
    double v[LANE_COUNT];
} cell_state;

/* One cell's weather on one day. */
typedef struct cell_day {
    double water_frac;
    double soil_degc;
    double tmin_degc;
    double gate; /* of the season, the same in every cell */
} cell_day;

/* The fungus parameters turned into what the step multiplies by. */
typedef struct fungus_consts {
    double direction;
    double water_a, water_b;     /* exponent a + b w */
    double trigger_a, trigger_b; /* a + b u, u = direction * smoothed */
    double change_a, change_b;   /* a + b (high - u) */
    double soil_min, soil_max, inv_rise, inv_fall, power;
    double start_rate; /* 1/L over g(1), so that ideal conditions give 1 */
    double ripen_base, ripen_rate;
    double wear_rate, wear_a, wear_b, drought; /* wear e^(a + b T) (1+d(1-w)) */
    double frost_a, frost_b, frost_rate;
} fungus_consts;

typedef struct plant_consts {
    double base_degc, upper_degc;
    double reach_a, reach_b, pass_a, pass_b;
    double photo_a, photo_b;
    double wear_rate;
    double frost_a, frost_b, frost_rate;
} plant_consts;

enum { STAGES = 4 };

/* e-folding times of the trigger's memory, from memory of the trade's talk of
 * "a cold week" and "since the summer"; not learned. */
#define SMOOTHING_D 7.0
#define EXTREME_D 30.0

PN_INLINE bool has_trigger_of(const fungus_consts *c) {
    return c->direction > 0.0 || c->direction < 0.0;
}

/* The season gate of a date. */
double season_gate(const double params[PN_SEASON_PARAM_COUNT],
                   int32_t epoch_day);
fungus_consts season_fungus_consts(const double params[PN_SEASON_PARAM_COUNT]);
plant_consts season_plant_consts(const double params[PN_SEASON_PARAM_COUNT]);

/* Widest range of each driver; values outside it or NaN are refused. Water a
 * hair beyond 0 .. 1 is a soil model's rounding. */
#define WATER_LOW (-1e-9)
#define WATER_HIGH (1.0 + 1e-9)
#define SOIL_LOW (-60.0)
#define SOIL_HIGH 70.0
#define AIR_LOW (-90.0)
#define AIR_HIGH 60.0
#define DAY_HIGH 24.0

/* PN_EDOMAIN unless the sizes and days fit and no needed driver is NULL. */
PN_MUST_CHECK pn_status season_shape_check(pn_season_model model,
                                           const pn_season_drivers *drivers,
                                           bool needs_day_length,
                                           pn_error *err);
/* PN_EDOMAIN naming the first driver value that is not fit, its day and its
 * cell. */
PN_MUST_CHECK pn_status season_values_check(pn_season_model model,
                                            const pn_season_drivers *drivers,
                                            bool needs_day_length,
                                            pn_error *err);
bool season_needs_day_length(pn_season_model model,
                             const double params[PN_SEASON_PARAM_COUNT]);

/* Exponents of the daily step are in base 2: 1 / ln 2 is in their constants.
 * Those of the fungus step need no clamp: pn_season_params_check() and the
 * drivers' ranges bound every one of them within +-700 / ln 2 (the worst:
 * frost, 150 K over a scale of 0.25 K). A product of such terms may overflow to
 * infinity, and dividing by it then gives the right 0. Driven to every corner
 * in tests/unit/season/test_season_kernel.c. */
#define LOG2_E 1.4426950408889634

/* For the plants' sums, which have no such bound. */
PN_INLINE double bounded_exp2(double exponent) {
    return pn_vexp2_quick(pn_vclamp(exponent, -220.0, 220.0));
}

/* [(T - Tn)/(To - Tn)]^p (Tx - T)/(Tx - To), 0 outside Tn .. Tx */
PN_INLINE double cardinal(double degc, const fungus_consts *c) {
    double rise = (degc - c->soil_min) * c->inv_rise;
    double fall = (c->soil_max - degc) * c->inv_fall;
    double inside = rise > 1e-30 ? rise : 1e-30;
    double below_max = fall > 0.0 ? fall : 0.0;
    double exponent = c->power * pn_vlog2_quick(inside);
    exponent = exponent > -1000.0 ? exponent : -1000.0;
    double h = below_max * pn_vexp2_quick(exponent);
    return rise > 0.0 ? h : 0.0;
}

/* Exact step of an Erlang delay: in one day of rate r a body moves on m
 * stages with the Poisson chance of m events. Returns what leaves the last. */
PN_INLINE double ripen(double v[LANE_COUNT], double rate) {
    double p0 = pn_vexp2_quick(-LOG2_E * rate);
    double p1 = rate * p0;
    double p2 = rate * 0.5 * p1;
    double p3 = rate * (1.0 / 3.0) * p2;
    double a = v[LANE_STAGE_0];
    double b = v[LANE_STAGE_1];
    double c = v[LANE_STAGE_2];
    double d = v[LANE_STAGE_3];
    double before = (a + b) + (c + d);
    double a1 = p0 * a;
    double b1 = p0 * b + p1 * a;
    double c1 = (p0 * c + p1 * b) + p2 * a;
    double d1 = (p0 * d + p1 * c) + (p2 * b + p3 * a);
    double left = before - ((a1 + b1) + (c1 + d1));
    v[LANE_STAGE_0] = a1;
    v[LANE_STAGE_1] = b1;
    v[LANE_STAGE_2] = c1;
    v[LANE_STAGE_3] = d1;
    return left > 0.0 ? left : 0.0;
}

/* The smoothed soil temperature and its leaky high move on a day; returns the
 * reciprocal of the trigger C. */
PN_INLINE double trigger_step(const fungus_consts *c, bool has_trigger,
                              double soil_degc, double *smoothed,
                              double *high) {
    const double smooth = 1.0 - 0.8668778997501816;  /* 1 - e^(-1/7) */
    const double forget = 1.0 - 0.96721610048320047; /* 1 - e^(-1/30) */
    double s = *smoothed + (soil_degc - *smoothed) * smooth;
    double u = c->direction * s;
    double h = *high + (u - *high) * forget;
    h = u > h ? u : h;
    *smoothed = s;
    *high = h;
    if (!has_trigger) {
        return 1.0;
    }
    double level = 1.0 + pn_vexp2_quick(c->trigger_a + c->trigger_b * u);
    double change = 1.0 + pn_vexp2_quick(c->change_a + c->change_b * (h - u));
    return level * change;
}

/* Initiation, the product of all factors. */
PN_INLINE double start_of(const fungus_consts *c, const cell_day *day,
                          double inverse_trigger, pn_season_factors *out) {
    double water =
        1.0 + pn_vexp2_quick(c->water_a + c->water_b * day->water_frac);
    double temperature = cardinal(day->soil_degc, c);
    double start = day->gate * c->start_rate * temperature;
    start = start / (water * inverse_trigger);
    if (out != NULL) {
        out->gate = day->gate;
        out->water = 1.0 / water;
        out->temperature = temperature;
        out->trigger = 1.0 / inverse_trigger;
        out->initiation = start;
    }
    return start;
}

/* Thermal time gained today. */
PN_INLINE double ripening_dd(const fungus_consts *c, double soil_degc) {
    double above = soil_degc - c->ripen_base;
    return above > 0.0 ? above : 0.0;
}

/* What stands: yesterday's less wear and frost, more what ripened through the
 * day. Returns N. */
PN_INLINE double wear_step(const fungus_consts *c, const cell_day *day,
                           double ripe, double standing,
                           pn_season_factors *out) {
    double dry = 1.0 + c->drought * (1.0 - day->water_frac);
    double wear = c->wear_rate * dry *
                  pn_vexp2_quick(c->wear_a + c->wear_b * day->soil_degc);
    double frost =
        c->frost_rate /
        (1.0 + pn_vexp2_quick(c->frost_a + c->frost_b * day->tmin_degc));
    double loss = wear + frost;
    double much = loss < 700.0 ? loss : 700.0;
    double kept = pn_vexp2_quick(-LOG2_E * much);
    if (out != NULL) {
        out->life_d = 1.0 / wear;
        out->frost_loss = 1.0 - pn_vexp(-frost);
    }
    return standing * kept + ripe * ((1.0 - kept) / loss);
}

/* One fungus day: advances the cell, returns N. out may be NULL; has_trigger
 * is a constant where this is inlined. */
PN_INLINE double fungus_step(const fungus_consts *c, bool has_trigger,
                             const cell_day *day, cell_state *cell,
                             pn_season_factors *out) {
    double *v = cell->v;
    double inverse_trigger = trigger_step(c, has_trigger, day->soil_degc,
                                          &v[LANE_SMOOTHED], &v[LANE_EXTREME]);
    double start = start_of(c, day, inverse_trigger, out);
    double above = ripening_dd(c, day->soil_degc);
    double ripe = ripen(v, above * c->ripen_rate);
    v[LANE_STAGE_0] += start;
    v[LANE_STANDING] = wear_step(c, day, ripe, v[LANE_STANDING], out);
    if (out != NULL) {
        out->smoothed_degc = v[LANE_SMOOTHED];
        out->ripening_dd = above;
    }
    return v[LANE_STANDING];
}

/* Degree days above one threshold, single sine: theta = arcsin of where the
 * threshold cuts, held to -1 .. 1, covers all three cases. */
PN_INLINE double sine_above(double mean, double half_range, double threshold) {
    double cut = pn_vclamp((threshold - mean) / half_range, -1.0, 1.0);
    double theta = pn_vasin(cut);
    double area = (mean - threshold) * (1.5707963267948966 - theta) +
                  half_range * sqrt(1.0 - cut * cut);
    return area * 0.31830988618379067;
}

PN_INLINE double half_range(double tmin_degc, double tmax_degc) {
    double half = 0.5 * (tmax_degc - tmin_degc);
    return half < 1e-9 ? 1e-9 : half; /* a level day: the limit, no 0/0 */
}

PN_INLINE double single_sine(double tmin_degc, double tmax_degc,
                             double base_degc, double upper_degc) {
    double mean = 0.5 * (tmax_degc + tmin_degc);
    double half = half_range(tmin_degc, tmax_degc);
    return sine_above(mean, half, base_degc) -
           sine_above(mean, half, upper_degc);
}

/* One plant day; gain is the weighted thermal time of the day. Returns N. */
PN_INLINE double plant_step(const plant_consts *c, double gain,
                            double tmin_degc, cell_state *cell,
                            pn_season_factors *out) {
    double *v = cell->v;
    double sum = v[LANE_SMOOTHED] + gain;
    double reached = 1.0 / (1.0 + bounded_exp2(c->reach_a + c->reach_b * sum));
    double passed = 1.0 / (1.0 + bounded_exp2(c->pass_a + c->pass_b * sum));
    double ripe = reached - v[LANE_EXTREME];
    double frost = c->frost_rate /
                   (1.0 + pn_vexp2_quick(c->frost_a + c->frost_b * tmin_degc));
    double kept = pn_vexp2_quick(-LOG2_E * (c->wear_rate + frost));
    double standing = v[LANE_STANDING] * kept + ripe;
    v[LANE_SMOOTHED] = sum;
    v[LANE_EXTREME] = reached;
    v[LANE_STANDING] = standing;
    if (out != NULL) {
        out->ripening_dd = gain;
        out->thermal_time_dd = sum;
        out->reached_frac = reached;
        out->passed_frac = passed;
        out->life_d = 1.0 / c->wear_rate;
        out->frost_loss = 1.0 - pn_vexp(-frost);
    }
    return standing * (1.0 - passed);
}

PN_INLINE double photoperiod_of(const plant_consts *c, double day_length_h) {
    return 1.0 / (1.0 + bounded_exp2(c->photo_a + c->photo_b * day_length_h));
}

/* The first day a state ever sees: a fungus's memory starts at that day's
 * temperature. A plant knows nothing (NaN) until its start day. */
PN_INLINE void fungus_begin(const fungus_consts *c, double soil_degc,
                            cell_state *cell) {
    for (int i = 0; i < LANE_COUNT; i++) {
        cell->v[i] = 0.0;
    }
    cell->v[LANE_SMOOTHED] = soil_degc;
    cell->v[LANE_EXTREME] = c->direction * soil_degc;
}

#endif
