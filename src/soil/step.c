// SPDX-License-Identifier: MIT
#include "pannage/soil.h"

#include <math.h>

/* Snow: common practice, no source. */
static const double snow_below_degc = 0.5;
static const double melt_mm_per_degc = 3.0;
/* Snow lying hinders the flow of heat; half gone at 7 mm of water. Common
 * practice, no source. */
static const double snow_hinders_per_mm = 0.1;
static const double snow_hinders_least = 0.2;
/* [FAO56]: heat to evaporate 1 mm of water, MJ/m2. */
static const double latent_mj_per_mm = 2.45;
/* Radiation kept off the ground by a full canopy: common practice, no
 * source. */
static const double canopy_keeps_frac = 0.85;
/* The warmth below remembers about 100 days. */
static const double slow_per_d = 0.01;
/* Mean of British lowland ground; only the first months feel it. From
 * memory. */
static const double first_slow_degc = 10.0;

static double capacity_mm(const pn_soil_ground *ground, double depth_m) {
    return 1000 * (ground->theta_fc_frac - ground->theta_wp_frac) * depth_m;
}

static double between(double winter, double summer, double summer_frac) {
    return winter + (summer - winter) * summer_frac;
}

pn_soil_state pn_soil_start(const pn_soil_ground *ground) {
    double top_depth_m = ground->top_depth_m;
    return (pn_soil_state){
        .top_mm = capacity_mm(ground, top_depth_m),
        .deep_mm = capacity_mm(ground, ground->root_depth_m - top_depth_m),
        .soil_degc = NAN,
        .slow_degc = first_slow_degc,
    };
}

double pn_soil_stored_mm(const pn_soil_state *state) {
    return state->top_mm + state->deep_mm + state->excess_mm + state->snow_mm;
}

/* Rain or snow that passed the canopy, in; water that reaches the soil, out. */
static double pass_snow(double throughfall_mm, double mean_degc,
                        pn_soil_state *state) {
    if (mean_degc < snow_below_degc) {
        state->snow_mm += throughfall_mm;
        return 0;
    }
    double melt_mm = fmin(state->snow_mm, melt_mm_per_degc * mean_degc);
    state->snow_mm -= melt_mm;
    return throughfall_mm + melt_mm;
}

/* What one layer gives of the demand: [FAO56] Eq. 84 on its own store. */
static double draw_mm(double *store_mm, double taw_mm, double depletion_frac,
                      double demand_mm) {
    if (!(taw_mm > 0)) {
        return 0;
    }
    double Ks = fmin(1, *store_mm / ((1 - depletion_frac) * taw_mm));
    double drawn_mm = fmin(demand_mm * Ks, *store_mm);
    *store_mm -= drawn_mm;
    return drawn_mm;
}

/* Evaporation and transpiration: first from water on its way down, then each
 * layer its share. */
static double draw_et_mm(const pn_soil_ground *ground, double demand_mm,
                         pn_soil_state *state) {
    double top_taw = capacity_mm(ground, ground->top_depth_m);
    double deep_taw =
        capacity_mm(ground, ground->root_depth_m - ground->top_depth_m);
    double p = ground->depletion_frac;
    double share = deep_taw > 0 ? ground->top_share_frac : 1;
    double free_mm = fmin(state->excess_mm, demand_mm);
    state->excess_mm -= free_mm;
    double rest_mm = demand_mm - free_mm;
    double top_mm = draw_mm(&state->top_mm, top_taw, p, rest_mm * share);
    double deep_mm =
        draw_mm(&state->deep_mm, deep_taw, p, rest_mm * (1 - share));
    return free_mm + top_mm + deep_mm;
}

static void fill(double *store_mm, double taw_mm, double *water_mm) {
    double taken_mm = fmin(*water_mm, fmax(0, taw_mm - *store_mm));
    *store_mm += taken_mm;
    *water_mm -= taken_mm;
}

/* Water on its way down fills the top, then part of the rest leaves for the
 * layer below and beyond. Returns drainage below the roots. */
static double percolate_mm(const pn_soil_ground *ground, pn_soil_state *state) {
    double deep_depth_m = ground->root_depth_m - ground->top_depth_m;
    fill(&state->top_mm, capacity_mm(ground, ground->top_depth_m),
         &state->excess_mm);
    double leaving_mm = state->excess_mm * ground->release_frac_d;
    state->excess_mm -= leaving_mm;
    fill(&state->deep_mm, capacity_mm(ground, deep_depth_m), &leaving_mm);
    return leaving_mm;
}

static double canopy_frac(const pn_soil_ground *ground,
                          const pn_soil_forcing *forcing) {
    return between(ground->cover_winter_frac, ground->cover_summer_frac,
                   forcing->leaf_frac);
}

/* Where the temperature at 10 cm would settle under today's weather. */
static double settled_degc(const pn_soil_ground *ground,
                           const pn_soil_forcing *forcing, double et_mm,
                           double snow_mm) {
    double settled = forcing->mean_degc;
    if (!(snow_mm > 0)) {
        double herbs = exp(-ground->shade_summer * forcing->summer_frac);
        double canopy = 1 - canopy_keeps_frac * canopy_frac(ground, forcing);
        double wind =
            isnan(forcing->wind_m_s)
                ? 1
                : pow(3 / fmax(forcing->wind_m_s, 0.5), ground->wind_power);
        double heat_mj = forcing->net_radiation_mj_m2 * herbs -
                         latent_mj_per_mm * ground->latent_share * et_mm;
        settled += ground->lift_k_per_mj * wind * canopy * heat_mj;
    }
    return settled < 0 ? 0.20 * settled : settled; /* [KA09], frost */
}

static void warm(const pn_soil_ground *ground, const pn_soil_forcing *forcing,
                 double et_mm, pn_soil_state *state) {
    double settled = settled_degc(ground, forcing, et_mm, state->snow_mm);
    state->slow_degc += slow_per_d * (settled - state->slow_degc);
    settled += ground->deep_pull * (state->slow_degc - settled);
    double follow = -expm1(-ground->lag_per_d);
    if (state->snow_mm > 0) {
        follow *= fmax(snow_hinders_least,
                       exp(-snow_hinders_per_mm * state->snow_mm));
    }
    if (isnan(state->soil_degc)) {
        state->soil_degc = forcing->mean_degc;
    }
    state->soil_degc += follow * (settled - state->soil_degc);
}

pn_soil_day pn_soil_step(const pn_soil_ground *ground,
                         const pn_soil_forcing *forcing, pn_soil_state *state) {
    double caught_mm =
        pn_soil_interception_mm(forcing->rain_mm, canopy_frac(ground, forcing),
                                ground->interception_mm);
    double throughfall_mm = forcing->rain_mm - caught_mm;
    double kc =
        between(ground->kc_winter, ground->kc_summer, forcing->summer_frac);
    double wanted_mm = kc * forcing->et0_mm;
    /* Wet leaves use the energy first. */
    double demand_mm = wanted_mm - fmin(wanted_mm, caught_mm);
    state->excess_mm += pass_snow(throughfall_mm, forcing->mean_degc, state);
    double et_mm = draw_et_mm(ground, demand_mm, state);
    double drainage_mm = percolate_mm(ground, state);
    warm(ground, forcing, et_mm + caught_mm, state);
    double held_mm = state->top_mm + state->deep_mm;
    double top_taw = capacity_mm(ground, ground->top_depth_m);
    return (pn_soil_day){
        .water_frac =
            fmin(1, held_mm / capacity_mm(ground, ground->root_depth_m)),
        .top_frac = fmin(1, state->top_mm / top_taw),
        .soil_degc = state->soil_degc,
        .et0_mm = forcing->et0_mm,
        .et_actual_mm = et_mm,
        .throughfall_mm = throughfall_mm,
        .drainage_mm = drainage_mm,
        .et0_method = forcing->et0_method,
        .quality = forcing->quality,
    };
}
