// SPDX-License-Identifier: MIT
#include <math.h>

#include "score_internal.h"

/* ---- ours ------------------------------------------------------------- */

/* Spreads: how far ground of a kind differs from place to place; common
 * practice, no source. */
void pn_score_water_priors(const pn_soil_ground *ground, double wet_frac,
                           pn_score_prior out[PN_SCORE_WATER_PARAMETERS]) {
    double deep_m = ground->root_depth_m - ground->top_depth_m;
    const pn_score_prior priors[PN_SCORE_WATER_PARAMETERS] = {
        {"field capacity", PN_SCORE_LOG, wet_frac, 0.15},
        {"wilting point / field capacity", PN_SCORE_LOGIT, 0.40, 0.40},
        {"top layer, m", PN_SCORE_LOG, ground->top_depth_m, 0.40},
        {"roots below it, m", PN_SCORE_LOG, fmax(deep_m, 0.05), 0.30},
        {"crop coefficient, winter", PN_SCORE_LOG, ground->kc_winter, 0.25},
        {"crop coefficient, summer", PN_SCORE_LOG, ground->kc_summer, 0.20},
        {"depletion without stress", PN_SCORE_LOGIT, ground->depletion_frac,
         0.30},
        {"share drawn from the top", PN_SCORE_LOGIT, ground->top_share_frac,
         0.40},
        {"released a day", PN_SCORE_LOGIT, ground->release_frac_d, 0.70},
        {"sensor's weight of the top", PN_SCORE_LOGIT, 0.60, 0.50},
    };
    for (size_t k = 0; k < PN_SCORE_WATER_PARAMETERS; k++) {
        out[k] = priors[k];
    }
}

void pn_score_water_set(pn_score_drivers *drivers, const double *parameter) {
    pn_soil_ground *ground = &drivers->ground;
    /* inside what pn_soil_ground_check() allows, whatever the table holds */
    ground->theta_fc_frac = fmin(fmax(parameter[0], 0.02), 0.98);
    ground->theta_wp_frac = fmin(parameter[1] * ground->theta_fc_frac,
                                 ground->theta_fc_frac - 0.01);
    ground->top_depth_m = fmax(parameter[2], 0.01);
    ground->root_depth_m = fmin(ground->top_depth_m + parameter[3], 10);
    ground->kc_winter = fmin(parameter[4], 3);
    ground->kc_summer = fmin(parameter[5], 3);
    ground->depletion_frac = fmin(fmax(parameter[6], 0.05), 0.95);
    ground->top_share_frac = parameter[7];
    ground->release_frac_d = fmax(parameter[8], 0.001);
    drivers->sensing_top_frac = parameter[9];
}

void pn_score_warmth_priors(const pn_soil_ground *ground,
                            pn_score_prior out[PN_SCORE_WARMTH_PARAMETERS]) {
    const pn_score_prior priors[PN_SCORE_WARMTH_PARAMETERS] = {
        {"lag, per day", PN_SCORE_LOG, ground->lag_per_d, 0.40},
        {"lift, K per MJ/m2", PN_SCORE_LOG, ground->lift_k_per_mj, 0.50},
        {"latent share", PN_SCORE_LOG, ground->latent_share, 0.20},
        {"summer shade", PN_SCORE_LOG, ground->shade_summer, 0.60},
        {"wind power", PN_SCORE_LOGIT, ground->wind_power, 0.60},
        {"pull from below", PN_SCORE_LOGIT, ground->deep_pull, 0.50},
    };
    for (size_t k = 0; k < PN_SCORE_WARMTH_PARAMETERS; k++) {
        out[k] = priors[k];
    }
}

void pn_score_warmth_set(pn_score_drivers *drivers, const double *parameter) {
    pn_soil_ground *ground = &drivers->ground;
    ground->lag_per_d = fmin(fmax(parameter[0], 0.001), 20);
    ground->lift_k_per_mj = fmin(parameter[1], 10);
    ground->latent_share = fmin(parameter[2], 2);
    ground->shade_summer = fmin(parameter[3], 10);
    ground->wind_power = parameter[4];
    ground->deep_pull = parameter[5];
}

/* A sensor sees the top layer, and through it some of what lies below. */
static double sensed_frac(const pn_score_drivers *drivers,
                          const pn_soil_state *soil) {
    const pn_soil_ground *g = &drivers->ground;
    double deep_m = g->root_depth_m - g->top_depth_m;
    double top = g->theta_wp_frac +
                 (soil->top_mm + soil->excess_mm) / (1000 * g->top_depth_m);
    double deep =
        deep_m > 0 ? g->theta_wp_frac + soil->deep_mm / (1000 * deep_m) : top;
    double a = drivers->sensing_top_frac;
    return a * top + (1 - a) * deep;
}

void pn_score_both(const pn_score_drivers *drivers, size_t day_count,
                   double *water_frac, double *soil_degc) {
    pn_soil_state soil = pn_soil_start(&drivers->ground);
    for (size_t i = 0; i < day_count; i++) {
        (void)pn_soil_step(&drivers->ground, &drivers->forcing[i], &soil);
        if (water_frac != NULL) {
            water_frac[i] = sensed_frac(drivers, &soil);
        }
        if (soil_degc != NULL) {
            soil_degc[i] = soil.soil_degc;
        }
    }
}

void pn_score_water_model(const void *ctx, const double *parameter,
                          size_t day_count, double *out) {
    pn_score_drivers drivers = *(const pn_score_drivers *)ctx;
    pn_score_water_set(&drivers, parameter);
    pn_score_both(&drivers, day_count, out, NULL);
}

void pn_score_warmth_model(const void *ctx, const double *parameter,
                           size_t day_count, double *out) {
    pn_score_drivers drivers = *(const pn_score_drivers *)ctx;
    pn_score_warmth_set(&drivers, parameter);
    pn_score_both(&drivers, day_count, NULL, out);
}

/* ---- simple methods to beat ------------------------------------------- */

/* Parameters: smoothing a day, then (when the caller has them) the solar
 * factor and a constant. */
static void smoothed(const pn_score_drivers *drivers, const double p[3],
                     size_t day_count, double *out) {
    double soil = drivers->forcing[0].mean_degc;
    for (size_t i = 0; i < day_count; i++) {
        double aim = drivers->forcing[i].mean_degc +
                     p[1] * drivers->solar_mj_m2[i] + p[2];
        soil += p[0] * (aim - soil);
        out[i] = soil;
    }
}

static void air_model(const void *ctx, const double *p, size_t day_count,
                      double *out) {
    smoothed(ctx, (const double[]){p[0], 0, 0}, day_count, out);
}

static void air_solar_model(const void *ctx, const double *p, size_t day_count,
                            double *out) {
    smoothed(ctx, (const double[]){p[0], p[1], 0}, day_count, out);
}

static void air_solar_constant_model(const void *ctx, const double *p,
                                     size_t day_count, double *out) {
    smoothed(ctx, p, day_count, out);
}

static void katterer_andren_model(const void *ctx, const double *p,
                                  size_t day_count, double *out) {
    const pn_score_drivers *drivers = ctx;
    double soil = drivers->forcing[0].mean_degc;
    for (size_t i = 0; i < day_count; i++) {
        soil = pn_soil_katterer_andren_degc(soil, drivers->forcing[i].mean_degc,
                                            10, fmin(p[0], 15));
        out[i] = soil;
    }
}

/* One store: lowest water, capacity (mm), depth (mm), demand / PE, share of
 * the surplus that leaves a day. Stress below half the capacity. */
static void bucket_model(const void *ctx, const double *p, size_t day_count,
                         double *out) {
    const pn_score_drivers *drivers = ctx;
    double store = p[1];
    for (size_t i = 0; i < day_count; i++) {
        store += drivers->forcing[i].rain_mm;
        double stress = fmin(1, store / (0.5 * p[1]));
        store -= fmin(store, p[3] * drivers->pe_mm[i] * stress);
        store -= p[4] * fmax(0, store - p[1]);
        out[i] = p[0] + store / p[2];
    }
}

static const pn_score_prior smoothed_priors[] = {
    {"smoothing", PN_SCORE_LOGIT, 0.25, 1.0},
    {"solar factor", PN_SCORE_LINEAR, 0.1, 0.15},
    {"constant", PN_SCORE_LINEAR, 0, 1.5},
};

static const pn_score_prior leaf_priors[] = {
    {"green area index", PN_SCORE_LOG, 0.5, 1.0},
};

static const pn_score_prior bucket_priors[] = {
    {"lowest water", PN_SCORE_LOG, 0.10, 0.5},
    {"capacity, mm", PN_SCORE_LOG, 100, 0.5},
    {"depth, mm", PN_SCORE_LOG, 450, 0.5},
    {"demand / PE", PN_SCORE_LOG, 1, 0.3},
    {"leaves a day", PN_SCORE_LOGIT, 0.4, 1},
};

static const pn_score_baseline baselines[PN_SCORE_BASELINE_COUNT] = {
    {"bucket on rain and PE", PN_SCORE_WATER, bucket_priors, 5, bucket_model},
    {"smoothed air", PN_SCORE_WARMTH, smoothed_priors, 1, air_model},
    {"smoothed air + solar term", PN_SCORE_WARMTH, smoothed_priors, 2,
     air_solar_model},
    {"smoothed air + solar + constant", PN_SCORE_WARMTH, smoothed_priors, 3,
     air_solar_constant_model},
    {"Katterer & Andren, leaf area fitted", PN_SCORE_WARMTH, leaf_priors, 1,
     katterer_andren_model},
};

const pn_score_baseline *pn_score_baseline_get(size_t i) {
    return &baselines[i];
}
