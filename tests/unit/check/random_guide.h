/** @file random_guide.h
 * Guides and answers drawn at random, for what must hold of all of them. Half
 * of the answers are what the first kind commonly shows, so that its gate does
 * open now and then.
 */
#ifndef PN_TESTS_RANDOM_GUIDE_H
#define PN_TESTS_RANDOM_GUIDE_H

#include "gate_support.h"

static const char *const random_places[] = {"wood", "meadow", "garden"};
static const pn_lookalike random_look[] = {{.sheet = MILD}};

static inline size_t random_below(pn_random *random, size_t count) {
    return (size_t)(pn_random_u64(random) % count);
}

/* One state is common, another rare; now and then a danger looks like mild. */
static inline void random_shares(small_guide *g, size_t k, size_t f,
                                 pn_random *random) {
    size_t count = g->features[f].state_count;
    bool is_alike = k == MILD || random_below(random, 8) == 0;
    for (size_t stage = 0; stage < PN_GUIDE_STAGE_COUNT; stage++) {
        double *row = &g->share[k][f][stage * PN_GUIDE_STATES_MAX];
        double rare = 0.1 * pn_random_uniform(random);
        memset(row, 0, PN_GUIDE_STATES_MAX * sizeof *row);
        row[is_alike ? 0 : count - 1] += 1.0 - rare;
        row[random_below(random, count)] += rare;
    }
}

static inline void random_kind(small_guide *g, size_t k, pn_random *random) {
    pn_sheet *sheet = &g->sheets[k];
    small_silence(g, k);
    for (size_t f = 0; f < WIDTH; f++) {
        bool silent = k != MILD && random_below(random, 8) == 0;
        if (!silent) {
            small_trait(g, k, f, 0);
            random_shares(g, k, f, random);
        }
    }
    double low = k == MILD ? 8.0 : 1.0 + 10.0 * pn_random_uniform(random);
    small_width(g, k, low, 2.5 * low);
    sheet->must_see_count = 1 + random_below(random, 3);
    sheet->season_from = 1 + (int)random_below(random, 12);
    sheet->season_to = 1 + (int)random_below(random, 12);
    sheet->habitats = (pn_guide_names){random_places, random_below(random, 3)};
    sheet->hosts = (pn_guide_names){random_places, random_below(random, 3)};
    if (pn_guide_is_danger(sheet->status)) {
        sheet->lookalikes = random_look;
        sheet->lookalike_count = random_below(random, 2);
    }
}

/** mild is gathered, deadly and hidden deadly, plain harmful or gathered. Each
 *  may be a known look-alike of mild, each may be silent on this and that. */
static inline void random_guide(small_guide *g, pn_random *random) {
    small_make(g);
    g->features[GILLS].need_feature = PN_GUIDE_NONE;
    if (random_below(random, 2) == 0) {
        g->sheets[PLAIN].status = PN_GUIDE_HARMFUL;
    }
    for (size_t k = 0; k < SMALL_SHEETS; k++) {
        random_kind(g, k, random);
    }
}

static inline pn_answer random_answer(const small_guide *g, size_t f,
                                      pn_random *random) {
    pn_answer a = small_perfect(f);
    if (random_below(random, 20) == 0) {
        a.state =
            f == WIDTH ? 0 : random_below(random, g->features[f].state_count);
        a.value = f == WIDTH ? 30.0 * pn_random_uniform(random) + 0.1 : 0.0;
    }
    size_t sure = random_below(random, 20);
    a.certainty = sure == 0 ? PN_UNSURE : sure == 1 ? PN_PROBABLE : PN_CERTAIN;
    return a;
}

static inline answers random_answers(const small_guide *g, pn_random *random) {
    answers a = {.count = 0};
    size_t left_out = random_below(random, 2);
    for (size_t f = 0; f < SMALL_FEATURES; f++) {
        if (random_below(random, SMALL_FEATURES) >= left_out) {
            a.at[a.count++] = random_answer(g, f, random);
        }
    }
    return a;
}

static inline pn_check_context random_context(pn_random *random) {
    static const char *const words[] = {"wood", "meadow", "garden", "moon",
                                        NULL};
    return (pn_check_context){
        .month = (int)random_below(random, 14),
        .habitat = words[random_below(random, COUNT_OF(words))],
        .host = words[random_below(random, COUNT_OF(words))],
        .beginner = random_below(random, 2) == 0};
}

#endif
