/** @file specimens.h
 * Specimens of a kind, drawn from its own sheet, as answers of somebody who
 * looks at everything the sheet describes.
 */
#ifndef PN_TESTS_SPECIMENS_H
#define PN_TESTS_SPECIMENS_H

#include <math.h>

#include "pannage/check.h"

enum { ANSWERS_MAX = 128 };

typedef struct answers {
    pn_answer at[ANSWERS_MAX];
    size_t count;
} answers;

static inline const pn_answer *answer_of(const answers *set, size_t feature) {
    for (size_t i = 0; i < set->count; i++) {
        if (set->at[i].feature == feature) {
            return &set->at[i];
        }
    }
    return NULL;
}

/* Nobody is asked for the gills of a bolete. */
static inline bool can_be_asked(const pn_guide *guide, const answers *set,
                                size_t feature) {
    const pn_feature *f = &guide->features[feature];
    if (f->effort == PN_EFFORT_BENCH) {
        return false;
    }
    if (f->need_feature == PN_GUIDE_NONE) {
        return true;
    }
    const pn_answer *need = answer_of(set, f->need_feature);
    return need != NULL && (f->need_states >> need->state & 1U) != 0;
}

static inline pn_answer commonest(const pn_guide *guide,
                                  const pn_trait *trait) {
    const pn_feature *f = &guide->features[trait->feature];
    pn_answer a = {.feature = trait->feature, .certainty = PN_CERTAIN};
    if (f->is_range) {
        a.value = sqrt(trait->low * trait->high);
        return a;
    }
    const double *share =
        trait->share + (size_t)PN_GUIDE_MATURE * PN_GUIDE_STATES_MAX;
    for (size_t s = 1; s < f->state_count; s++) {
        a.state = share[s] > share[a.state] ? s : a.state;
    }
    return a;
}

static inline pn_answer drawn(const pn_guide *guide, const pn_trait *trait,
                              pn_guide_stage stage, pn_random *random) {
    const pn_feature *f = &guide->features[trait->feature];
    pn_answer a = {.feature = trait->feature, .certainty = PN_CERTAIN};
    if (f->is_range) {
        double sd = (log(trait->high) - log(trait->low)) / (2.0 * 1.959964);
        double young = stage == PN_GUIDE_YOUNG
                           ? log(0.2 + 0.8 * pn_random_uniform(random))
                           : 0.0;
        a.value = exp(0.5 * log(trait->low * trait->high) + young +
                      sd * pn_random_normal(random));
        return a;
    }
    const double *share = trait->share + (size_t)stage * PN_GUIDE_STATES_MAX;
    double left = pn_random_uniform(random);
    while (a.state + 1 < f->state_count && left >= share[a.state]) {
        left -= share[a.state++];
    }
    return a;
}

/* All of a sheet; random NULL: the commonest. Needed features stand before
 * those that need them in features.yaml. */
static inline void observe(const pn_guide *guide, const pn_sheet *sheet,
                           pn_random *random, answers *out) {
    pn_guide_stage stage = PN_GUIDE_MATURE;
    out->count = 0;
    if (random != NULL) {
        double u = pn_random_uniform(random);
        stage = u < 0.25   ? PN_GUIDE_YOUNG
                : u < 0.85 ? PN_GUIDE_MATURE
                           : PN_GUIDE_OLD;
    }
    for (size_t f = 0; f < guide->feature_count; f++) {
        const pn_trait *trait = pn_sheet_trait(sheet, f);
        if (trait != NULL && can_be_asked(guide, out, f)) {
            out->at[out->count++] = random == NULL
                                        ? commonest(guide, trait)
                                        : drawn(guide, trait, stage, random);
        }
    }
}

static inline void make_wrong(const pn_guide *guide, answers *set, double frac,
                              pn_random *random) {
    for (size_t i = 0; i < set->count; i++) {
        pn_answer *a = &set->at[i];
        const pn_feature *f = &guide->features[a->feature];
        bool wrong = pn_random_uniform(random) < frac;
        double by = pn_random_uniform(random);
        if (wrong && f->is_range) {
            a->value *= 0.6 + by;
        } else if (wrong) {
            size_t shift = 1 + (size_t)(by * (double)(f->state_count - 1));
            a->state = (a->state + shift) % f->state_count;
        }
    }
}

static inline void add_silent(const pn_guide *guide, answers *set,
                              const pn_sheet *of, const pn_sheet *want) {
    for (size_t f = 0; f < guide->feature_count; f++) {
        const pn_trait *trait = pn_sheet_trait(want, f);
        if (trait != NULL && pn_sheet_trait(of, f) == NULL &&
            pn_sheet_applies(guide, of, f) && answer_of(set, f) == NULL &&
            can_be_asked(guide, set, f) && set->count < ANSWERS_MAX) {
            set->at[set->count++] = commonest(guide, trait);
        }
    }
}

#endif
