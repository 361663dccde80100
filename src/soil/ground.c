// SPDX-License-Identifier: MIT
#include "pannage/soil.h"

#include <math.h>

static const char *const cover_ids[PN_SOIL_COVER_COUNT] = {
    [PN_SOIL_OPEN] = "open",
    [PN_SOIL_BROADLEAF] = "broadleaf",
    [PN_SOIL_CONIFER] = "conifer",
    [PN_SOIL_HEDGE_OR_EDGE] = "edge",
};

const char *pn_soil_cover_id(pn_soil_cover cover) {
    return (unsigned)cover < PN_SOIL_COVER_COUNT ? cover_ids[cover] : NULL;
}

bool pn_soil_cover_find(pn_text id, pn_soil_cover *out) {
    for (int i = 0; i < PN_SOIL_COVER_COUNT; i++) {
        if (pn_text_equal_nocase(id, pn_text_of(cover_ids[i]))) {
            *out = (pn_soil_cover)i;
            return true;
        }
    }
    return false;
}

/* Open ground: the fit on Spen Farm 2017, rounded (docs/soil-score.md). */
static const pn_soil_ground open_ground = {
    .top_depth_m = 0.10,
    .root_depth_m = 1.0,
    .top_share_frac = 0.43,
    .depletion_frac = 0.50,
    .kc_summer = 1.0,
    .kc_winter = 1.2,
    .release_frac_d = 0.8,
    .interception_mm = 1.0,
    .lag_per_d = 0.60,
    .lift_k_per_mj = 0.85,
    .latent_share = 0.83,
    .shade_summer = 0.28,
    .wind_power = 0.40,
    .deep_pull = 0.11,
};

/* Trees: common practice, no source. Interception comes out near 15 % of the
 * year's rain under broadleaves and 30 % under conifers. */
static void add_trees(pn_soil_ground *ground, pn_soil_cover cover) {
    switch (cover) {
    case PN_SOIL_BROADLEAF:
        ground->root_depth_m = 1.2;
        ground->kc_winter = 0.6;
        ground->cover_summer_frac = 0.85;
        ground->cover_winter_frac = 0.25;
        ground->interception_mm = 1.2;
        break;
    case PN_SOIL_CONIFER:
        ground->root_depth_m = 1.0;
        ground->kc_summer = 0.9;
        ground->kc_winter = 0.8;
        ground->cover_summer_frac = 0.80;
        ground->cover_winter_frac = 0.80;
        ground->interception_mm = 2.0;
        break;
    case PN_SOIL_HEDGE_OR_EDGE:
        ground->root_depth_m = 1.1;
        ground->kc_winter = 0.9;
        ground->cover_summer_frac = 0.45;
        ground->cover_winter_frac = 0.15;
        break;
    case PN_SOIL_OPEN:
    case PN_SOIL_COVER_COUNT:
        break;
    }
}

pn_soil_ground pn_soil_ground_default(pn_soil_texture texture,
                                      pn_soil_cover cover) {
    const pn_soil_texture_info *info = pn_soil_texture_get(texture);
    if (info == NULL) {
        info = pn_soil_texture_get(PN_SOIL_LOAM);
    }
    pn_soil_ground ground = open_ground;
    ground.theta_fc_frac = info->theta_fc_frac;
    ground.theta_wp_frac = info->theta_wp_frac;
    add_trees(&ground, cover);
    return ground;
}

typedef struct limit {
    const char *name;
    double value, low, high;
} limit;

pn_status pn_soil_ground_check(const pn_soil_ground *ground, pn_error *err) {
    const limit limits[] = {
        {"theta_wp_frac", ground->theta_wp_frac, 0, 0.95},
        {"theta_fc_frac", ground->theta_fc_frac, ground->theta_wp_frac + 0.005,
         1},
        {"root_depth_m", ground->root_depth_m, 0.01, 10},
        {"top_depth_m", ground->top_depth_m, 0.01, ground->root_depth_m},
        {"top_share_frac", ground->top_share_frac, 0, 1},
        {"depletion_frac", ground->depletion_frac, 0.05, 0.95},
        {"kc_summer", ground->kc_summer, 0, 3},
        {"kc_winter", ground->kc_winter, 0, 3},
        {"release_frac_d", ground->release_frac_d, 0.001, 1},
        {"cover_summer_frac", ground->cover_summer_frac, 0, 1},
        {"cover_winter_frac", ground->cover_winter_frac, 0, 1},
        {"interception_mm", ground->interception_mm, 0.01, 20},
        {"lag_per_d", ground->lag_per_d, 0.001, 20},
        {"lift_k_per_mj", ground->lift_k_per_mj, 0, 10},
        {"latent_share", ground->latent_share, 0, 2},
        {"shade_summer", ground->shade_summer, 0, 10},
        {"wind_power", ground->wind_power, 0, 1},
        {"deep_pull", ground->deep_pull, 0, 1},
    };
    for (size_t i = 0; i < sizeof limits / sizeof limits[0]; i++) {
        const limit *l = &limits[i];
        if (!(l->value >= l->low && l->value <= l->high)) {
            return pn_fail(err, PN_EDOMAIN,
                           "ground: %s is %g; it must be %g to %g", l->name,
                           l->value, l->low, l->high);
        }
    }
    return PN_OK;
}
