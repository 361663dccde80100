/** @file mushroom_outcome.h
 * What truth_mushrooms counts, and how it tells it.
 */
#ifndef PN_TESTS_MUSHROOM_OUTCOME_H
#define PN_TESTS_MUSHROOM_OUTCOME_H

#include "support/mushroom_table.h"

#include <math.h>

enum { REASONS = PN_GATE_DANGER_LEFT + 1 };

typedef struct outcome {
    size_t specimens, top_1, top_3;
    size_t edible, own_gate, any_gate;
    size_t poisonous, passed;
    size_t open, unsound; /* gates, and those that break a rule */
    size_t of_species[MUSHROOM_SPECIES_MAX];        /* tried */
    size_t passed_of_species[MUSHROOM_SPECIES_MAX]; /* some gate open */
    size_t of_pair[MUSHROOM_SPECIES_MAX][MUSHROOM_SPECIES_MAX];
    size_t reasons[REASONS]; /* why the own gate stayed shut */
} outcome;

/* Two sheets that overlap no more than this in a feature are parted by it. */
static const double MUSHROOM_PARTED = 0.06;

static inline double percent(size_t part, size_t whole) {
    return whole > 0 ? 100.0 * (double)part / (double)whole : NAN;
}

/** Species called edible: some gate opens for more than half of them. */
static inline size_t mushroom_majorities(const mushroom_table *table,
                                         const outcome *o) {
    size_t count = 0;
    for (size_t k = 0; k < table->species_count; k++) {
        count += !table->species[k].edible &&
                 2 * o->passed_of_species[k] > o->of_species[k];
    }
    return count;
}

/** The feature in which two sheets overlap least, if both describe it. */
static inline double mushroom_least_overlap(const pn_guide *guide,
                                            const pn_sheet *a,
                                            const pn_sheet *b, size_t *best) {
    double least = 2.0;
    *best = 0;
    for (size_t f = 0; f < MUSHROOM_FEATURES; f++) {
        double overlap = pn_guide_overlap(guide, a, b, f);
        if (pn_sheet_trait(b, f) != NULL && overlap < least) {
            least = overlap;
            *best = f;
        }
    }
    return least;
}

static inline void mushroom_print_pair(const mushroom_table *table, size_t a,
                                       size_t b, const outcome *o) {
    pn_guide guide = {.features = table->features,
                      .feature_count = MUSHROOM_FEATURES};
    size_t best = 0;
    double least = mushroom_least_overlap(&guide, &table->species[a].sheet,
                                          &table->species[b].sheet, &best);
    printf("  %-22s as %-26s %4zu of %zu  ", table->species[a].name,
           table->species[b].name, o->of_pair[a][b], o->of_species[a]);
    printf(least <= MUSHROOM_PARTED
               ? "told by %s\n"
               : "nothing parts them surely; best %s, overlap %.2f\n",
           guide.features[best].id, least);
}

static inline void mushroom_print_pairs(const mushroom_table *table,
                                        const outcome *o) {
    enum { MOST = MUSHROOM_SPECIES_MAX * MUSHROOM_SPECIES_MAX };
    for (size_t i = 0; i < MOST; i++) {
        size_t a = i / MUSHROOM_SPECIES_MAX;
        size_t b = i % MUSHROOM_SPECIES_MAX;
        if (a < table->species_count && !table->species[a].edible &&
            o->of_pair[a][b] > 0) {
            mushroom_print_pair(table, a, b, o);
        }
    }
}

static inline void mushroom_print_listed(const mushroom_table *table,
                                         const outcome *o) {
    printf("  right species first       %6.2f %%\n",
           percent(o->top_1, o->specimens));
    printf("  among the first three     %6.2f %%\n",
           percent(o->top_3, o->specimens));
    printf("  edible, own gate open     %6.2f %% of %zu\n",
           percent(o->own_gate, o->edible), o->edible);
    printf("  edible, some gate open    %6.2f %%\n",
           percent(o->any_gate, o->edible));
    for (size_t i = 0; i < REASONS; i++) {
        if (o->reasons[i] > 0) {
            printf("    shut: %-20s %zu\n",
                   pn_gate_reason_name((pn_gate_reason)i), o->reasons[i]);
        }
    }
    printf("  poisonous passed          %6zu of %zu\n", o->passed,
           o->poisonous);
    mushroom_print_pairs(table, o);
}

static inline void mushroom_print_held(const mushroom_table *table,
                                       const outcome *o) {
    if (o->edible > 0) {
        printf("  edible, own gate open     %6.2f %% of %zu\n",
               percent(o->own_gate, o->edible), o->edible);
    }
    printf("  poisonous passed          %6zu of %zu (%.3f %%)\n", o->passed,
           o->poisonous, percent(o->passed, o->poisonous));
    printf("  species called edible     %6zu\n", mushroom_majorities(table, o));
    mushroom_print_pairs(table, o);
}

/** Kinds the check seldom or never lets through. */
static inline void mushroom_print_seldom(const mushroom_table *table,
                                         const outcome *o) {
    printf("edible species of which fewer than half pass their own gate\n");
    for (size_t k = 0; k < table->species_count; k++) {
        if (table->species[k].edible &&
            2 * o->of_pair[k][k] < o->of_species[k]) {
            printf("  %-26s %4zu of %zu\n", table->species[k].name,
                   o->of_pair[k][k], o->of_species[k]);
        }
    }
}

/** Pairs of an edible and a poisonous species no feature parts for certain. */
static inline size_t mushroom_print_inseparable(const mushroom_table *table) {
    enum { MOST = MUSHROOM_SPECIES_MAX * MUSHROOM_SPECIES_MAX };
    pn_guide guide = {.features = table->features,
                      .feature_count = MUSHROOM_FEATURES};
    size_t count = 0;
    printf("pairs that no feature of the table parts for certain\n");
    for (size_t i = 0; i < MOST; i++) {
        size_t best = 0;
        const mushroom_species *a = &table->species[i / MUSHROOM_SPECIES_MAX];
        const mushroom_species *b = &table->species[i % MUSHROOM_SPECIES_MAX];
        if (a->name[0] == '\0' || b->name[0] == '\0' || a->edible ||
            !b->edible) {
            continue;
        }
        double least =
            mushroom_least_overlap(&guide, &a->sheet, &b->sheet, &best);
        if (least > MUSHROOM_PARTED) {
            printf("  %-26s and %-26s best %s, overlap %.2f\n", a->name,
                   b->name, guide.features[best].id, least);
            count++;
        }
    }
    return count;
}

#endif
