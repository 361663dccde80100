#include <math.h>

#include "sheets/sheets_internal.h"

#define COUNT(a) (sizeof(a) / sizeof *(a))

/* Shares are written with two or three decimals: thirds may miss 1 by so much.
 * What is left over is spread in proportion. */
static const double SUM_TOLERANCE = 0.0015;
/* Of a measurement, in its unit: from a spore's width to a tree's height. */
static const double RANGE_LEAST = 0.01, RANGE_MOST = 10000.0;

static const sheets_key state_keys[] = {
    {"states", true}, {"young", false}, {"old", false}, {"source", false}};
static const sheets_key range_keys[] = {
    {"low", true}, {"high", true}, {"source", false}};

/* {gilled: 0.6, ball: 0.4} */
static void read_shares(sheets_reader *r, const sheets_node *map,
                        const pn_feature *feature, double *row) {
    double sum = 0.0;
    if (map->kind != SHEETS_MAP || map->count == 0) {
        sheets_fail(r, map, "%s: shares are written {state: 0.7, other: 0.3}",
                    feature->id);
    }
    for (const sheets_node *e = map->first; e != NULL && r->status == PN_OK;
         e = e->next) {
        size_t state = sheets_state(r, e, feature, e->key);
        double share = sheets_number(r, e, 0.0, 1.0);
        if (r->status == PN_OK) {
            row[state] = share;
            sum += share;
        }
    }
    if (r->status == PN_OK && fabs(sum - 1.0) > SUM_TOLERANCE) {
        sheets_fail(r, map, "the shares of %s add up to %.4g, not 1; mend them",
                    feature->id, sum);
    }
    for (size_t s = 0; r->status == PN_OK && s < feature->state_count; s++) {
        row[s] /= sum;
    }
}

static void read_states(sheets_reader *r, const sheets_node *map,
                        const pn_feature *feature, pn_trait *trait) {
    static const char *const names[PN_GUIDE_STAGE_COUNT] = {"young", "states",
                                                            "old"};
    if (!sheets_map(r, map, state_keys, COUNT(state_keys))) {
        return;
    }
    double *share = sheets_array(
        r, r->keep, (size_t)PN_GUIDE_STAGE_COUNT * PN_GUIDE_STATES_MAX,
        sizeof *share);
    for (size_t stage = 0; share != NULL && stage < COUNT(names); stage++) {
        const sheets_node *shares = sheets_entry(map, names[stage]);
        if (shares == NULL) {
            shares = sheets_entry(map, "states");
        }
        read_shares(r, shares, feature, &share[stage * PN_GUIDE_STATES_MAX]);
    }
    trait->share = share;
}

static void read_range(sheets_reader *r, const sheets_node *map,
                       const pn_feature *feature, pn_trait *trait) {
    if (!sheets_map(r, map, range_keys, COUNT(range_keys))) {
        return;
    }
    trait->low =
        sheets_number(r, sheets_entry(map, "low"), RANGE_LEAST, RANGE_MOST);
    trait->high =
        sheets_number(r, sheets_entry(map, "high"), RANGE_LEAST, RANGE_MOST);
    if (r->status == PN_OK && !(trait->low < trait->high)) {
        sheets_fail(r, map, "%s: low must be below high", feature->id);
    }
}

static void read_trait(sheets_reader *r, const sheets_node *map,
                       const pn_sheet *sheet, pn_trait *trait) {
    trait->feature = sheets_feature(r, map, map->key);
    if (r->status != PN_OK) {
        return;
    }
    const pn_feature *feature = &r->features[trait->feature];
    const sheets_node *source = sheets_entry(map, "source");
    trait->source = source == NULL ? sheet->source : sheets_prose(r, source);
    if (feature->is_range) {
        read_range(r, map, feature, trait);
    } else {
        read_states(r, map, feature, trait);
    }
}

/* Gills on a bolete: one of the two facts is wrong. */
static void check_applies(sheets_reader *r, const sheets_node *map,
                          const pn_sheet *sheet) {
    pn_guide guide = sheets_guide_of(r);
    for (const sheets_node *e = map->first; e != NULL && r->status == PN_OK;
         e = e->next) {
        size_t f = sheets_feature(r, e, e->key);
        if (r->status == PN_OK && !pn_sheet_applies(&guide, sheet, f)) {
            const pn_feature *need = &r->features[r->features[f].need_feature];
            sheets_fail(r, e,
                        "%s does not apply to what the sheet says of %s; leave "
                        "it out, or mend %s",
                        r->features[f].id, need->id, need->id);
        }
    }
}

void sheets_read_traits(sheets_reader *r, const sheets_node *map,
                        pn_sheet *sheet) {
    if (map == NULL || r->status != PN_OK) {
        return;
    }
    if (map->kind != SHEETS_MAP || map->count == 0) {
        sheets_fail(r, map,
                    "'features' must be {feature: {states: ...}, ...}, "
                    "and not empty");
        return;
    }
    pn_trait *traits = sheets_array(r, r->keep, map->count, sizeof *traits);
    size_t count = 0;
    for (const sheets_node *e = map->first; e != NULL && r->status == PN_OK;
         e = e->next) {
        read_trait(r, e, sheet, &traits[count++]);
    }
    sheet->traits = traits;
    sheet->trait_count = count;
    check_applies(r, map, sheet);
}
