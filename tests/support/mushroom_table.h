/** @file mushroom_table.h
 * The open table of 173 mushrooms (Wagner, Heider & Hattab 2021, CC BY 4.0;
 * tests/ref/SOURCES.md) as a guide, and its simulated specimens as
 * answers. How the table is mapped is told in docs/check-proof.md. Nothing
 * here looks at the class of a specimen.
 */
#ifndef PN_TESTS_MUSHROOM_TABLE_H
#define PN_TESTS_MUSHROOM_TABLE_H

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "pannage/check.h"

enum {
    MUSHROOM_FEATURES = 18,
    MUSHROOM_COLUMNS = 20, /**< and habitat, season */
    MUSHROOM_HABITAT = 18,
    MUSHROOM_SEASON = 19,
    MUSHROOM_EACH = 353, /**< specimens of a species, in its order */
    MUSHROOM_SPECIES_MAX = 200,
    MUSHROOM_SHARES = PN_GUIDE_STAGE_COUNT * PN_GUIDE_STATES_MAX,
};

/** Organs as in the project's own guide. */
enum {
    ORGAN_SIZE,
    ORGAN_STEM_WIDTH,
    ORGAN_CAP_SHAPE,
    ORGAN_CAP_SKIN,
    ORGAN_CAP,
    ORGAN_BRUISE,
    ORGAN_GILLS,
    ORGAN_GILL_COLOUR,
    ORGAN_STEM_BASE,
    ORGAN_STEM_SKIN,
    ORGAN_STEM,
    ORGAN_VEIL,
    ORGAN_RING,
    ORGAN_SPORES,
    ORGAN_COUNT
};

#define MUSHROOM_COLOURS "nbgrpuewylok"
#define MUSHROOM_SURFACES "igyshdlktwe"

typedef struct mushroom_column {
    const char *id;
    const char *states; /**< one letter each; NULL: a measurement */
    size_t organ;
    pn_effort effort;
    int need;           /**< column it needs, -1: none */
    const char *needed; /**< states of it */
} mushroom_column;

/* A letter that is no state here ("f" where something is missing) means that
 * the feature does not apply. */
static const mushroom_column mushroom_columns[MUSHROOM_FEATURES] = {
    {"cap-diameter", NULL, ORGAN_SIZE, PN_EFFORT_LOOK, -1, NULL},
    {"cap-shape", "bcxfspo", ORGAN_CAP_SHAPE, PN_EFFORT_LOOK, -1, NULL},
    {"cap-surface", MUSHROOM_SURFACES, ORGAN_CAP_SKIN, PN_EFFORT_TOUCH, -1,
     NULL},
    {"cap-color", MUSHROOM_COLOURS, ORGAN_CAP, PN_EFFORT_LOOK, -1, NULL},
    {"does-bruise-or-bleed", "tf", ORGAN_BRUISE, PN_EFFORT_CUT, -1, NULL},
    {"gill-attachment", "axdespf", ORGAN_GILLS, PN_EFFORT_CUT, -1, NULL},
    {"gill-spacing", "cd", ORGAN_GILLS, PN_EFFORT_LOOK, 5, "axdesp"},
    {"gill-color", MUSHROOM_COLOURS, ORGAN_GILL_COLOUR, PN_EFFORT_LOOK, 5,
     "axdesp"},
    {"stem-height", NULL, ORGAN_SIZE, PN_EFFORT_LOOK, 12, MUSHROOM_COLOURS},
    {"stem-width", NULL, ORGAN_STEM_WIDTH, PN_EFFORT_LOOK, 12,
     MUSHROOM_COLOURS},
    {"stem-root", "bscuezr", ORGAN_STEM_BASE, PN_EFFORT_CUT, 12,
     MUSHROOM_COLOURS},
    {"stem-surface", MUSHROOM_SURFACES, ORGAN_STEM_SKIN, PN_EFFORT_TOUCH, 12,
     MUSHROOM_COLOURS},
    {"stem-color", MUSHROOM_COLOURS "f", ORGAN_STEM, PN_EFFORT_LOOK, -1, NULL},
    {"veil-type", "pu", ORGAN_VEIL, PN_EFFORT_LOOK, -1, NULL},
    {"veil-color", MUSHROOM_COLOURS, ORGAN_VEIL, PN_EFFORT_LOOK, -1, NULL},
    {"has-ring", "tf", ORGAN_RING, PN_EFFORT_LOOK, -1, NULL},
    {"ring-type", "cerglpszymf", ORGAN_RING, PN_EFFORT_LOOK, 15, "t"},
    {"spore-print-color", MUSHROOM_COLOURS, ORGAN_SPORES, PN_EFFORT_PRINT, -1,
     NULL},
};

/* A person takes one state for another in two cases of a hundred. */
static const double MUSHROOM_SLIP = 0.02;
static const double MUSHROOM_ERROR_FRAC = 0.05;
/* A single measure is the mean: this much to either side. */
static const double MUSHROOM_SINGLE = 0.25;

typedef struct mushroom_species {
    char name[48];
    char id[8];
    bool edible;
    pn_sheet sheet;
    pn_trait traits[MUSHROOM_FEATURES];
    double share[MUSHROOM_FEATURES][MUSHROOM_SHARES];
    const char *habitats[16];
} mushroom_species;

typedef struct mushroom_specimen {
    char letter[MUSHROOM_COLUMNS]; /**< 0: not known */
    float value[MUSHROOM_FEATURES];
    bool edible; /**< only ever compared with the outcome */
} mushroom_specimen;

typedef struct mushroom_table {
    mushroom_species species[MUSHROOM_SPECIES_MAX];
    size_t species_count;
    mushroom_specimen *specimens;
    size_t specimen_count;
    pn_feature features[MUSHROOM_FEATURES];
    const char *states[MUSHROOM_FEATURES][PN_GUIDE_STATES_MAX];
    double slip[MUSHROOM_FEATURES][PN_GUIDE_STATES_MAX * PN_GUIDE_STATES_MAX];
    pn_sheet sheets[MUSHROOM_SPECIES_MAX]; /**< of the guide made last */
} mushroom_table;

/** A name for a letter that lives as long as the program. */
static inline const char *mushroom_letter(char letter) {
    static const char names[] =
        "a\0b\0c\0d\0e\0f\0g\0h\0i\0j\0k\0l\0m\0n\0o\0p\0q\0r\0s\0t\0u\0v\0w\0"
        "x\0y\0z";
    return islower((unsigned char)letter) ? names + 2 * (letter - 'a') : "";
}

static inline uint32_t mushroom_mask(const char *states, const char *wanted) {
    uint32_t mask = 0;
    for (const char *w = wanted; *w != '\0'; w++) {
        const char *at = strchr(states, *w);
        mask |= at != NULL ? UINT32_C(1) << (at - states) : 0;
    }
    return mask;
}

static inline void mushroom_make_feature(mushroom_table *table, size_t f) {
    const mushroom_column *column = &mushroom_columns[f];
    pn_feature *feature = &table->features[f];
    *feature = (pn_feature){.id = column->id,
                            .ask = column->id,
                            .organ = column->organ,
                            .effort = column->effort,
                            .is_range = column->states == NULL,
                            .unit = f == 9 ? "mm" : "cm",
                            .error_frac = MUSHROOM_ERROR_FRAC,
                            .need_feature = PN_GUIDE_NONE};
    if (column->need >= 0) {
        feature->need_feature = (size_t)column->need;
        feature->need_states = mushroom_mask(
            mushroom_columns[column->need].states, column->needed);
    }
    if (column->states == NULL) {
        return;
    }
    feature->state_count = strlen(column->states);
    feature->states = table->states[f];
    feature->slip = table->slip[f];
    for (size_t s = 0; s < feature->state_count; s++) {
        table->states[f][s] = mushroom_letter(column->states[s]);
        for (size_t a = 0; a < feature->state_count; a++) {
            table->slip[f][s * PN_GUIDE_STATES_MAX + a] =
                a == s ? 1.0 - MUSHROOM_SLIP
                       : MUSHROOM_SLIP / (double)(feature->state_count - 1);
        }
    }
}

/** Letters of "[x, f]" that are states; returns how many. */
static inline size_t mushroom_letters(const char *field, const char *states,
                                      size_t out[PN_GUIDE_STATES_MAX]) {
    size_t count = 0;
    for (const char *at = field; *at != '\0'; at++) {
        const char *state =
            islower((unsigned char)*at) ? strchr(states, *at) : NULL;
        if (state != NULL) {
            out[count++] = (size_t)(state - states);
        }
    }
    return count;
}

/** "[5, 10]" or "[10]"; false when nothing above 0 is given. */
static inline bool mushroom_range(const char *field, pn_trait *trait) {
    double low = 0.0;
    double high = 0.0;
    int count = sscanf(field, "[%lf, %lf]", &low, &high);
    if (count < 1 || !(low > 0.0)) {
        return false;
    }
    trait->low = count == 2 ? low : low * (1.0 - MUSHROOM_SINGLE);
    trait->high = count == 2 ? high : low * (1.0 + MUSHROOM_SINGLE);
    trait->young_low = trait->low; /* the table knows no stages */
    return true;
}

static inline bool mushroom_trait(mushroom_species *s, size_t f,
                                  const char *field, pn_trait *trait) {
    const char *states = mushroom_columns[f].states;
    size_t listed[PN_GUIDE_STATES_MAX];
    *trait = (pn_trait){.feature = f, .source = "[WHH21]"};
    if (states == NULL) {
        return mushroom_range(field, trait);
    }
    size_t count = mushroom_letters(field, states, listed);
    for (size_t stage = 0; stage < PN_GUIDE_STAGE_COUNT; stage++) {
        for (size_t i = 0; i < count; i++) {
            s->share[f][stage * PN_GUIDE_STATES_MAX + listed[i]] =
                1.0 / (double)count;
        }
    }
    trait->share = s->share[f];
    return count > 0;
}

/** Months from the first of the seasons to the last, the long way never. */
static inline void mushroom_months(const char *field, pn_sheet *sheet) {
    bool in[4] = {strchr(field, 's') != NULL, strchr(field, 'u') != NULL,
                  strchr(field, 'a') != NULL, strchr(field, 'w') != NULL};
    int longest = 0; /* gap of seasons in which it does not grow */
    int after = 0;
    for (int start = 0; start < 4; start++) {
        int gap = 0;
        while (gap < 4 && !in[(start + gap) % 4]) {
            gap++;
        }
        if (gap > longest) {
            longest = gap;
            after = start;
        }
    }
    int first = (after + longest) % 4; /* 0: spring, from March on */
    sheet->season_from = 3 + 3 * first > 12 ? 3 * first - 9 : 3 + 3 * first;
    int last = sheet->season_from + 3 * (4 - longest) - 1;
    sheet->season_to = last > 12 ? last - 12 : last;
}

/** Cut one line at its separators, in place. */
static inline size_t mushroom_cut(char *line, char separator, char **fields,
                                  size_t max) {
    size_t count = 0;
    line[strcspn(line, "\r\n")] = '\0';
    for (char *at = line; at != NULL && count < max;) {
        fields[count++] = at;
        at = strchr(at, separator);
        if (at != NULL) {
            *at++ = '\0';
        }
    }
    return count;
}

/** Traits that the other traits rule out are left out: pn_guide_check() would
 *  refuse them. */
static inline void mushroom_traits(mushroom_table *table, mushroom_species *s,
                                   char **fields) {
    pn_guide guide = {.features = table->features,
                      .feature_count = MUSHROOM_FEATURES};
    pn_trait all[MUSHROOM_FEATURES];
    bool known[MUSHROOM_FEATURES];
    pn_sheet draft = {.traits = s->traits};
    for (size_t f = 0; f < MUSHROOM_FEATURES; f++) {
        known[f] = mushroom_trait(s, f, fields[f], &all[f]);
        if (known[f]) {
            s->traits[draft.trait_count++] = all[f];
        }
    }
    size_t kept = 0;
    for (size_t f = 0; f < MUSHROOM_FEATURES; f++) {
        all[f].feature = f;
        known[f] = known[f] && pn_sheet_applies(&guide, &draft, f);
    }
    for (size_t f = 0; f < MUSHROOM_FEATURES; f++) {
        if (known[f]) {
            s->traits[kept++] = all[f];
        }
    }
    s->sheet.trait_count = kept;
}

static inline void mushroom_add_species(mushroom_table *table, char *line) {
    char *fields[MUSHROOM_COLUMNS + 3];
    mushroom_species *s = &table->species[table->species_count];
    size_t count = mushroom_cut(line, ';', fields, MUSHROOM_COLUMNS + 3);
    if (count != MUSHROOM_COLUMNS + 3) {
        return;
    }
    snprintf(s->name, sizeof s->name, "%s", fields[1]);
    snprintf(s->id, sizeof s->id, "s%zu", table->species_count % 1000);
    s->edible = fields[2][0] == 'e';
    s->sheet =
        (pn_sheet){.id = s->id,
                   .english = s->name,
                   .scientific = s->id,
                   .traits = s->traits,
                   .status = s->edible ? PN_GUIDE_GATHERED : PN_GUIDE_DEADLY};
    mushroom_traits(table, s, fields + 3);
    for (size_t t = 0; t < s->sheet.trait_count; t++) {
        s->sheet.must_see[s->sheet.must_see_count++] = s->traits[t].feature;
    }
    mushroom_months(fields[3 + MUSHROOM_SEASON], &s->sheet);
    for (const char *at = fields[3 + MUSHROOM_HABITAT]; *at != '\0'; at++) {
        if (islower((unsigned char)*at) && s->sheet.habitats.count < 16) {
            s->habitats[s->sheet.habitats.count++] = mushroom_letter(*at);
        }
    }
    s->sheet.habitats.at = s->habitats;
    table->species_count++;
}

static inline void mushroom_add_specimen(mushroom_table *table, char *line) {
    char *fields[MUSHROOM_COLUMNS + 1];
    if (mushroom_cut(line, ';', fields, MUSHROOM_COLUMNS + 1) !=
        MUSHROOM_COLUMNS + 1) {
        return;
    }
    mushroom_specimen *s = &table->specimens[table->specimen_count++];
    *s = (mushroom_specimen){.edible = fields[0][0] == 'e'};
    for (size_t c = 0; c < MUSHROOM_COLUMNS; c++) {
        s->letter[c] = fields[c + 1][0];
        if (c < MUSHROOM_FEATURES && mushroom_columns[c].states == NULL) {
            s->value[c] = strtof(fields[c + 1], NULL);
        }
    }
}

static inline bool mushroom_read(mushroom_table *table, const char *path,
                                 void (*add)(mushroom_table *, char *)) {
    char line[1024];
    FILE *file = fopen(path, "r");
    if (file == NULL) {
        return false;
    }
    bool header = fgets(line, sizeof line, file) != NULL;
    while (header && fgets(line, sizeof line, file) != NULL) {
        add(table, line);
    }
    fclose(file);
    return header;
}

/** Read both files from a folder; NULL if something is missing. */
static inline mushroom_table *mushroom_load(const char *folder) {
    enum { MOST = MUSHROOM_SPECIES_MAX * MUSHROOM_EACH };
    char path[512];
    mushroom_table *table = calloc(1, sizeof *table);
    if (table == NULL) {
        return NULL;
    }
    table->specimens = calloc(MOST, sizeof *table->specimens);
    for (size_t f = 0; f < MUSHROOM_FEATURES; f++) {
        mushroom_make_feature(table, f);
    }
    snprintf(path, sizeof path, "%s/mushrooms_173_primary.csv", folder);
    bool read = table->specimens != NULL &&
                mushroom_read(table, path, mushroom_add_species);
    snprintf(path, sizeof path, "%s/mushrooms_173_secondary.csv", folder);
    read = read && mushroom_read(table, path, mushroom_add_specimen);
    if (!read ||
        table->specimen_count != table->species_count * MUSHROOM_EACH) {
        free(table->specimens);
        free(table);
        return NULL;
    }
    return table;
}

static inline void mushroom_free(mushroom_table *table) {
    if (table != NULL) {
        free(table->specimens);
        free(table);
    }
}

/** The guide of all species but one (PN_GUIDE_NONE: of all). It borrows from
 *  the table and stands until the next call. */
static inline pn_guide mushroom_guide(mushroom_table *table, size_t left_out) {
    size_t count = 0;
    for (size_t k = 0; k < table->species_count; k++) {
        if (k != left_out) {
            table->sheets[count++] = table->species[k].sheet;
        }
    }
    return (pn_guide){.features = table->features,
                      .feature_count = MUSHROOM_FEATURES,
                      .organ_count = ORGAN_COUNT,
                      .sheets = table->sheets,
                      .sheet_count = count};
}

static inline bool mushroom_answer(const mushroom_specimen *specimen, size_t f,
                                   pn_answer *out) {
    const mushroom_column *column = &mushroom_columns[f];
    *out = (pn_answer){.feature = f, .certainty = PN_CERTAIN};
    if (specimen->letter[f] == '\0' ||
        (column->need >= 0 && specimen->letter[column->need] != '\0' &&
         strchr(column->needed, specimen->letter[column->need]) == NULL)) {
        return false;
    }
    if (column->states == NULL) {
        out->value = (double)specimen->value[f];
        return out->value > 0.0;
    }
    const char *state = strchr(column->states, specimen->letter[f]);
    out->state = state != NULL ? (size_t)(state - column->states) : 0;
    return state != NULL;
}

/** Everything that is known of a specimen, as certain answers. */
static inline size_t mushroom_answers(const mushroom_specimen *specimen,
                                      pn_answer out[MUSHROOM_FEATURES]) {
    size_t count = 0;
    for (size_t f = 0; f < MUSHROOM_FEATURES; f++) {
        count += mushroom_answer(specimen, f, &out[count]) ? 1 : 0;
    }
    return count;
}

/** Where and when it stood; nobody who asks is a beginner. */
static inline pn_check_context
mushroom_context(const mushroom_specimen *specimen) {
    const char *seasons = "suaw";
    const char *season = strchr(seasons, specimen->letter[MUSHROOM_SEASON]);
    const char *habitat = mushroom_letter(specimen->letter[MUSHROOM_HABITAT]);
    int month =
        season == NULL || *season == '\0' ? 0 : (int)(season - seasons) * 3 + 4;
    return (pn_check_context){.month = month > 12 ? 1 : month,
                              .habitat = *habitat == '\0' ? NULL : habitat,
                              .beginner = false};
}

#endif
