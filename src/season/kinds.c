/* The shore, and finding a kind among all of them. */
#include "season/kinds_internal.h"

#define ALL_UNUSED FUNGUS_ONLY, PLANT_ONLY, SHARED_UNUSED
#define SHARED_UNUSED                                                          \
    [PN_SEASON_LIFE_D] = UNUSED, [PN_SEASON_FROST_DEGC] = UNUSED,              \
    [PN_SEASON_FROST_SCALE_K] = UNUSED, [PN_SEASON_FROST_RATE_PER_D] = UNUSED

#define TIDES                                                                  \
    "not forecast: what can be reached is ruled by the tides. Look in the "    \
    "tide tables for a low spring tide in daylight, and be off the rocks "     \
    "before it turns"

static const pn_kind shore[] = {
    {.id = "dulse",
     .english = "Dulse",
     .scientific = "Palmaria palmata",
     .group = "seaweed",
     .where = "lower shore, on rock and on stalks of kelp",
     .model = PN_SEASON_NOT_FORECAST,
     ITEM("handful", "handfuls", 40.0, 0.4, 4),
     STANDING(1.0, 20.0, 0.6, 0.5),
     .prior = {ALL_UNUSED},
     .not_forecast_why = TIDES,
     .caution = "Rule out first: foul water (sewage outfalls, blooms, "
                "harbours) and weed cast up loose; seaweeds gather iodine and "
                "arsenic."},
    {.id = "laver",
     .english = "Laver",
     .scientific = "Porphyra umbilicalis",
     .group = "seaweed",
     .where = "middle and upper shore, rocks among sand",
     .model = PN_SEASON_NOT_FORECAST,
     ITEM("handful", "handfuls", 40.0, 0.4, 4),
     STANDING(1.0, 20.0, 0.6, 0.5),
     .prior = {ALL_UNUSED},
     .not_forecast_why = TIDES,
     .caution = "Rule out first: foul water (sewage outfalls, blooms, "
                "harbours) and weed cast up loose; seaweeds gather iodine and "
                "arsenic."},
};

kind_table season_shore(void) {
    return (kind_table){shore, sizeof shore / sizeof shore[0]};
}

enum { TABLE_COUNT = 5 };

static kind_table table_at(int index) {
    switch (index) {
    case 0:
        return season_wood_fungi();
    case 1:
        return season_meadow_fungi();
    case 2:
        return season_leaves_and_flowers();
    case 3:
        return season_fruits_and_nuts();
    default:
        return season_shore();
    }
}

size_t pn_kind_count(void) {
    size_t count = 0;
    for (int i = 0; i < TABLE_COUNT; i++) {
        count += table_at(i).count;
    }
    return count;
}

const pn_kind *pn_kind_at(size_t index) {
    for (int i = 0; i < TABLE_COUNT; i++) {
        kind_table table = table_at(i);
        if (index < table.count) {
            return &table.kinds[index];
        }
        index -= table.count;
    }
    return NULL;
}

static const pn_kind *find_by(pn_text name, int field) {
    size_t count = pn_kind_count();
    for (size_t i = 0; i < count; i++) {
        const pn_kind *kind = pn_kind_at(i);
        const char *names[] = {kind->id, kind->english, kind->scientific};
        if (pn_text_equal_nocase(name, pn_text_of(names[field]))) {
            return kind;
        }
    }
    return NULL;
}

const pn_kind *pn_kind_find(pn_text name) {
    pn_text trimmed = pn_text_trim(name);
    const pn_kind *kind = NULL;
    for (int field = 0; field < 3 && kind == NULL; field++) {
        kind = find_by(trimmed, field);
    }
    return kind;
}
