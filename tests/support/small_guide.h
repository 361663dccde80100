/** @file small_guide.h
 * An invented guide of four kinds and seven features, small enough to reckon
 * by hand: two are gathered, two deadly.
 */
#ifndef PN_TESTS_SMALL_GUIDE_H
#define PN_TESTS_SMALL_GUIDE_H

#include <string.h>

#include "pannage/check.h"

enum { CAP, CAP_SKIN, UNDER, GILLS, RING, FLESH, WIDTH, SMALL_FEATURES };
enum { MILD, DEADLY, PLAIN, HIDDEN, SMALL_SHEETS };
enum { SMALL_SHARES = PN_GUIDE_STAGE_COUNT * PN_GUIDE_STATES_MAX };

typedef struct small_guide {
    pn_guide guide;
    pn_feature features[SMALL_FEATURES];
    double slip[SMALL_FEATURES][PN_GUIDE_STATES_MAX * PN_GUIDE_STATES_MAX];
    pn_sheet sheets[SMALL_SHEETS];
    pn_trait traits[SMALL_SHEETS][SMALL_FEATURES];
    double share[SMALL_SHEETS][SMALL_FEATURES][SMALL_SHARES];
} small_guide;

static inline void small_feature(small_guide *g, size_t f, const char *id,
                                 const char *const *states, size_t count) {
    g->features[f] = (pn_feature){.id = id,
                                  .ask = id,
                                  .organ = f == CAP_SKIN ? CAP : f,
                                  .unit = "cm",
                                  .error_frac = 0.08,
                                  .is_range = states == NULL,
                                  .states = states,
                                  .state_count = count,
                                  .slip = states == NULL ? NULL : g->slip[f],
                                  .need_feature = PN_GUIDE_NONE};
    for (size_t s = 0; s < count; s++) {
        for (size_t a = 0; a < count; a++) {
            g->slip[f][s * PN_GUIDE_STATES_MAX + a] =
                a == s ? 0.98 : 0.02 / (double)(count - 1);
        }
    }
}

static inline void small_trait(small_guide *g, size_t k, size_t f,
                               size_t state) {
    pn_sheet *sheet = &g->sheets[k];
    pn_trait *trait = &g->traits[k][sheet->trait_count++];
    *trait = (pn_trait){.feature = f, .share = g->share[k][f]};
    for (size_t stage = 0; stage < PN_GUIDE_STAGE_COUNT; stage++) {
        g->share[k][f][stage * PN_GUIDE_STATES_MAX + state] = 1.0;
    }
    sheet->must_see[sheet->must_see_count++] = f;
}

static inline void small_width(small_guide *g, size_t k, double low,
                               double high) {
    pn_sheet *sheet = &g->sheets[k];
    pn_trait *trait = &g->traits[k][sheet->trait_count++];
    *trait = (pn_trait){.feature = WIDTH, .low = low, .high = high};
    sheet->must_see[sheet->must_see_count++] = WIDTH;
}

static inline void small_sheet(small_guide *g, size_t k, const char *id,
                               pn_guide_status status) {
    g->sheets[k] = (pn_sheet){.id = id,
                              .english = id,
                              .scientific = id,
                              .status = status,
                              .season_from = 8,
                              .season_to = 10,
                              .traits = g->traits[k]};
}

/** mild: brown cap, smooth, gills, free, ring, white flesh, 8 .. 20 cm. deadly:
 *  white cap, silky, gills, notched, no ring, red flesh, 2 .. 5 cm. plain: as
 *  mild with a yellow, scaly cap over pores. hidden: deadly, only the colour of
 *  its flesh and its ring are known. */
static inline void small_make(small_guide *g) {
    static const char *const colours[] = {"brown", "white", "yellow"};
    static const char *const skins[] = {"smooth", "silky", "scaly"};
    static const char *const unders[] = {"gills", "pores"};
    static const char *const gills[] = {"free", "notched"};
    static const char *const rings[] = {"ring", "none"};
    static const char *const fleshes[] = {"white", "red", "blue"};
    memset(g, 0, sizeof *g);
    small_feature(g, CAP, "cap", colours, 3);
    small_feature(g, CAP_SKIN, "cap_skin", skins, 3);
    small_feature(g, UNDER, "under", unders, 2);
    small_feature(g, GILLS, "gills", gills, 2);
    small_feature(g, RING, "ring", rings, 2);
    small_feature(g, FLESH, "flesh", fleshes, 3);
    small_feature(g, WIDTH, "width", NULL, 0);
    g->features[FLESH].effort = PN_EFFORT_CUT;
    g->features[GILLS].need_feature = UNDER;
    g->features[GILLS].need_states = 1;
    small_sheet(g, MILD, "mild", PN_GUIDE_GATHERED);
    small_sheet(g, DEADLY, "deadly", PN_GUIDE_DEADLY);
    small_sheet(g, PLAIN, "plain", PN_GUIDE_GATHERED);
    small_sheet(g, HIDDEN, "hidden", PN_GUIDE_DEADLY);
    static const size_t states[SMALL_SHEETS][WIDTH] = {
        {0, 0, 0, 0, 0, 0}, {1, 1, 0, 1, 1, 1}, {2, 2, 1, 9, 0, 0}};
    for (size_t k = 0; k < HIDDEN; k++) {
        for (size_t f = 0; f < WIDTH; f++) {
            if (states[k][f] != 9) {
                small_trait(g, k, f, states[k][f]);
            }
        }
    }
    small_width(g, MILD, 8.0, 20.0);
    small_width(g, DEADLY, 2.0, 5.0);
    small_width(g, PLAIN, 6.0, 18.0);
    small_trait(g, HIDDEN, RING, 1);
    small_trait(g, HIDDEN, FLESH, 2);
    g->guide = (pn_guide){.features = g->features,
                          .feature_count = SMALL_FEATURES,
                          .organ_count = SMALL_FEATURES,
                          .sheets = g->sheets,
                          .sheet_count = SMALL_SHEETS};
}

/** A perfect specimen of mild. */
static inline pn_answer small_perfect(size_t f) {
    return (pn_answer){.feature = f,
                       .value = f == WIDTH ? 12.0 : 0.0,
                       .certainty = PN_CERTAIN};
}

#endif
