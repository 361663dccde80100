/* What each parameter is called, how it may be drawn and where it may lie. */
#include "season/season_internal.h"

enum { FUNGUS = 1, PLANT = 2, BOTH = 3 };

#define FIXED PN_SEASON_SCALE_FIXED
#define LINEAR PN_SEASON_SCALE_LINEAR
#define LOG PN_SEASON_SCALE_LOG

/* Bounds are those of sense, wide enough for learning to move in. */
static const struct param_fact {
    const char *name;
    const char *unit;
    pn_season_scale scale;
    int models;
    double low, high;
} facts[PN_SEASON_PARAM_COUNT] = {
    [PN_SEASON_GATE_START_DOY] = {"gate_start_doy", "day of year", LINEAR,
                                  FUNGUS, -100.0, 500.0},
    [PN_SEASON_GATE_END_DOY] = {"gate_end_doy", "day of year", LINEAR, FUNGUS,
                                -100.0, 500.0},
    [PN_SEASON_GATE_SCALE_D] = {"gate_scale_d", "d", LOG, FUNGUS, 0.5, 60.0},
    [PN_SEASON_WATER_HALF_FRAC] = {"water_half_frac", "", LINEAR, FUNGUS, -1.0,
                                   2.0},
    [PN_SEASON_WATER_SCALE_FRAC] = {"water_scale_frac", "", LOG, FUNGUS, 0.005,
                                    2.0},
    [PN_SEASON_SOIL_MIN_DEGC] = {"soil_min_degc", "degC", LINEAR, FUNGUS, -20.0,
                                 30.0},
    [PN_SEASON_SOIL_BEST_DEGC] = {"soil_best_degc", "degC", LINEAR, FUNGUS,
                                  -10.0, 40.0},
    [PN_SEASON_SOIL_MAX_DEGC] = {"soil_max_degc", "degC", LINEAR, FUNGUS, 0.0,
                                 60.0},
    [PN_SEASON_TRIGGER_DIRECTION] = {"trigger_direction", "", FIXED, FUNGUS,
                                     -1.0, 1.0},
    [PN_SEASON_TRIGGER_DEGC] = {"trigger_degc", "degC", LINEAR, FUNGUS, -20.0,
                                40.0},
    [PN_SEASON_TRIGGER_SCALE_K] = {"trigger_scale_k", "K", LOG, FUNGUS, 0.2,
                                   20.0},
    [PN_SEASON_TRIGGER_CHANGE_K] = {"trigger_change_k", "K", LINEAR, FUNGUS,
                                    -20.0, 20.0},
    [PN_SEASON_TRIGGER_CHANGE_SCALE_K] = {"trigger_change_scale_k", "K", LOG,
                                          FUNGUS, 0.25, 20.0},
    [PN_SEASON_RIPEN_BASE_DEGC] = {"ripen_base_degc", "degC", LINEAR, FUNGUS,
                                   -15.0, 20.0},
    [PN_SEASON_RIPEN_DD] = {"ripen_dd", "K d", LOG, FUNGUS, 1.0, 5000.0},
    [PN_SEASON_LIFE_Q10] = {"life_q10", "", LOG, FUNGUS, 0.5, 10.0},
    [PN_SEASON_LIFE_DROUGHT] = {"life_drought", "", LOG, FUNGUS, 0.0, 20.0},
    [PN_SEASON_LIFE_D] = {"life_d", "d", LOG, BOTH, 0.5, 5000.0},
    [PN_SEASON_FROST_DEGC] = {"frost_degc", "degC", LINEAR, BOTH, -60.0, 10.0},
    [PN_SEASON_FROST_SCALE_K] = {"frost_scale_k", "K", LOG, BOTH, 0.25, 10.0},
    [PN_SEASON_FROST_RATE_PER_D] = {"frost_rate_per_d", "1/d", LOG, BOTH, 0.0,
                                    20.0},
    [PN_SEASON_START_DOY] = {"start_doy", "day of year", FIXED, PLANT, 1.0,
                             365.0},
    [PN_SEASON_BASE_DEGC] = {"base_degc", "degC", LINEAR, PLANT, -15.0, 25.0},
    [PN_SEASON_UPPER_DEGC] = {"upper_degc", "degC", LINEAR, PLANT, 5.0, 60.0},
    [PN_SEASON_STAGE_START_DD] = {"stage_start_dd", "K d", LOG, PLANT, 1.0,
                                  1e4},
    [PN_SEASON_STAGE_START_SPREAD_DD] = {"stage_start_spread_dd", "K d", LOG,
                                         PLANT, 0.5, 5000.0},
    [PN_SEASON_STAGE_END_DD] = {"stage_end_dd", "K d", LOG, PLANT, 1.0, 1e5},
    [PN_SEASON_STAGE_END_SPREAD_DD] = {"stage_end_spread_dd", "K d", LOG, PLANT,
                                       0.5, 5000.0},
    [PN_SEASON_PHOTO_DIRECTION] = {"photo_direction", "", FIXED, PLANT, -1.0,
                                   1.0},
    [PN_SEASON_PHOTO_H] = {"photo_h", "h", LINEAR, PLANT, 0.0, 24.0},
    [PN_SEASON_PHOTO_SCALE_H] = {"photo_scale_h", "h", LOG, PLANT, 0.01, 12.0},
};

static bool known(pn_season_param param) {
    return (unsigned)param < PN_SEASON_PARAM_COUNT;
}

const char *pn_season_param_name(pn_season_param param) {
    return known(param) ? facts[param].name : "?";
}

const char *pn_season_param_unit(pn_season_param param) {
    return known(param) ? facts[param].unit : "";
}

pn_season_scale pn_season_param_scale(pn_season_param param) {
    return known(param) ? facts[param].scale : PN_SEASON_SCALE_FIXED;
}

bool pn_season_param_used(pn_season_model model, pn_season_param param) {
    if (!known(param) || model == PN_SEASON_NOT_FORECAST) {
        return false;
    }
    return (facts[param].models &
            (model == PN_SEASON_PLANT ? PLANT : FUNGUS)) != 0;
}

void pn_season_params_median(const pn_kind *kind,
                             double params[PN_SEASON_PARAM_COUNT]) {
    for (int i = 0; i < PN_SEASON_PARAM_COUNT; i++) {
        bool used = pn_season_param_used(kind->model, (pn_season_param)i);
        params[i] = used ? kind->prior[i].median : NAN;
    }
}

static double draw_one(const pn_season_prior *prior, pn_season_scale scale,
                       pn_random *random) {
    double z = pn_random_normal(random);
    switch (scale) {
    case PN_SEASON_SCALE_LINEAR:
        return prior->median + prior->spread * z;
    case PN_SEASON_SCALE_LOG:
        return prior->median * exp(prior->spread * z);
    case PN_SEASON_SCALE_FIXED:
        break;
    }
    return prior->median;
}

pn_status pn_season_params_draw(const pn_kind *kind, pn_random *random,
                                double params[PN_SEASON_PARAM_COUNT],
                                pn_error *err) {
    for (int attempt = 0; attempt < 100; attempt++) {
        pn_season_params_median(kind, params);
        for (int i = 0; i < PN_SEASON_PARAM_COUNT; i++) {
            if (pn_season_param_used(kind->model, (pn_season_param)i)) {
                params[i] = draw_one(&kind->prior[i], facts[i].scale, random);
            }
        }
        if (pn_season_params_check(kind->model, params, NULL) == PN_OK) {
            return PN_OK;
        }
    }
    pn_season_params_median(kind, params);
    return pn_fail(err, PN_ENOCONV,
                   "season: no valid draw from the priors of %s in 100 tries",
                   kind->id);
}

static pn_status range_check(pn_season_model model, const double *params,
                             pn_error *err) {
    for (int i = 0; i < PN_SEASON_PARAM_COUNT; i++) {
        if (!pn_season_param_used(model, (pn_season_param)i)) {
            continue;
        }
        if (!(params[i] >= facts[i].low && params[i] <= facts[i].high)) {
            return pn_fail(err, PN_EDOMAIN,
                           "season: parameter %s is %g, expected %g .. %g",
                           facts[i].name, params[i], facts[i].low,
                           facts[i].high);
        }
    }
    return PN_OK;
}

/* the lower one must be below the higher one by at least gap */
static pn_status order_check(const double *params, pn_season_param lower,
                             pn_season_param higher, double gap,
                             pn_error *err) {
    if (params[higher] - params[lower] >= gap) {
        return PN_OK;
    }
    return pn_fail(err, PN_EDOMAIN,
                   "season: %s (%g) must be at least %g below %s (%g)",
                   facts[lower].name, params[lower], gap, facts[higher].name,
                   params[higher]);
}

pn_status pn_season_params_check(pn_season_model model,
                                 const double params[PN_SEASON_PARAM_COUNT],
                                 pn_error *err) {
    if (model != PN_SEASON_FUNGUS && model != PN_SEASON_PLANT) {
        return pn_fail(err, PN_EDOMAIN,
                       "season: this kind is not forecast, so there is "
                       "nothing to run");
    }
    pn_status status = range_check(model, params, err);
    if (status != PN_OK) {
        return status;
    }
    if (model == PN_SEASON_PLANT) {
        status = order_check(params, PN_SEASON_BASE_DEGC, PN_SEASON_UPPER_DEGC,
                             0.5, err);
        if (status != PN_OK) {
            return status;
        }
        return order_check(params, PN_SEASON_STAGE_START_DD,
                           PN_SEASON_STAGE_END_DD, 0.0, err);
    }
    status = order_check(params, PN_SEASON_SOIL_MIN_DEGC,
                         PN_SEASON_SOIL_BEST_DEGC, 0.5, err);
    if (status != PN_OK) {
        return status;
    }
    return order_check(params, PN_SEASON_SOIL_BEST_DEGC,
                       PN_SEASON_SOIL_MAX_DEGC, 0.5, err);
}
