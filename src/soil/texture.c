// SPDX-License-Identifier: MIT
#include "pannage/soil.h"

#define FAO "[FAO56] Table 19, middle of the range, from memory"
#define SAXTON "[SR06] Table 3, from memory"

/* Peat and chalk are rough: both differ more from place to place than these
 * two figures can say. */
static const pn_soil_texture_info textures[PN_SOIL_TEXTURE_COUNT] = {
    [PN_SOIL_SAND] = {"sand", "sand", 0.12, 0.045, FAO},
    [PN_SOIL_LOAMY_SAND] = {"loamy_sand", "loamy sand", 0.15, 0.065, FAO},
    [PN_SOIL_SANDY_LOAM] = {"sandy_loam", "sandy loam", 0.23, 0.11, FAO},
    [PN_SOIL_LOAM] = {"loam", "loam", 0.25, 0.12, FAO},
    [PN_SOIL_SILT_LOAM] = {"silt_loam", "silt loam", 0.29, 0.15, FAO},
    [PN_SOIL_SILT] = {"silt", "silt", 0.32, 0.17, FAO},
    [PN_SOIL_SANDY_CLAY_LOAM] = {"sandy_clay_loam", "sandy clay loam", 0.27,
                                 0.17, SAXTON},
    [PN_SOIL_CLAY_LOAM] = {"clay_loam", "clay loam", 0.36, 0.22, SAXTON},
    [PN_SOIL_SILTY_CLAY_LOAM] = {"silty_clay_loam", "silty clay loam", 0.335,
                                 0.205, FAO},
    [PN_SOIL_SILTY_CLAY] = {"silty_clay", "silty clay", 0.36, 0.23, FAO},
    [PN_SOIL_CLAY] = {"clay", "clay", 0.36, 0.22, FAO},
    [PN_SOIL_PEAT] = {"peat", "peat", 0.60, 0.20, "common practice, no source"},
    [PN_SOIL_CHALK] = {"chalk", "thin soil over chalk", 0.35, 0.17,
                       "common practice, no source"},
};

const pn_soil_texture_info *pn_soil_texture_get(pn_soil_texture texture) {
    return (unsigned)texture < PN_SOIL_TEXTURE_COUNT ? &textures[texture]
                                                     : NULL;
}

bool pn_soil_texture_find(pn_text id, pn_soil_texture *out) {
    for (int i = 0; i < PN_SOIL_TEXTURE_COUNT; i++) {
        if (pn_text_equal_nocase(id, pn_text_of(textures[i].id)) ||
            pn_text_equal_nocase(id, pn_text_of(textures[i].english))) {
            *out = (pn_soil_texture)i;
            return true;
        }
    }
    return false;
}
