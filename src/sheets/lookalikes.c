#include <string.h>

#include "sheets/sheets_internal.h"

#define COUNT(a) (sizeof(a) / sizeof *(a))

static size_t sheet_of(sheets_reader *r, const sheets_node *node) {
    const char *id = sheets_id(r, node);
    for (size_t k = 0; k < r->sheet_count && r->status == PN_OK; k++) {
        if (strcmp(r->sheets[k].id, id) == 0) {
            return k;
        }
    }
    sheets_fail(r, node,
                "look-alike '%.40s' has no sheet; write "
                "guide/sheets/%.40s.yaml",
                id, id);
    return PN_GUIDE_NONE;
}

/* A feature decides when each of the two sheets says something of it, be it
 * only that such a kind has none, and one of them describes it. */
static void check_deciding(sheets_reader *r, const sheets_node *node, size_t f,
                           const pn_sheet *const *pair) {
    pn_guide guide = sheets_guide_of(r);
    bool described = false;
    for (size_t i = 0; i < 2; i++) {
        bool here = pn_sheet_trait(pair[i], f) != NULL;
        described = described || here;
        if (!here && pn_sheet_applies(&guide, pair[i], f)) {
            sheets_fail(r, node,
                        "%s cannot decide between %s and %s: %s does "
                        "not describe it",
                        r->features[f].id, pair[0]->id, pair[1]->id,
                        pair[i]->id);
        }
    }
    if (!described) {
        sheets_fail(r, node,
                    "%s cannot decide between %s and %s: it applies "
                    "to neither",
                    r->features[f].id, pair[0]->id, pair[1]->id);
    }
}

static void read_lookalike(sheets_reader *r, const sheets_node *map, size_t k,
                           pn_lookalike *look) {
    static const sheets_key keys[] = {{"kind", true},
                                      {"deciding", true},
                                      {"words", true},
                                      {"inseparable", false}};
    if (!sheets_map(r, map, keys, COUNT(keys))) {
        return;
    }
    const sheets_node *list = sheets_entry(map, "deciding");
    look->sheet = sheet_of(r, sheets_entry(map, "kind"));
    look->words = sheets_prose(r, sheets_entry(map, "words"));
    const sheets_node *inseparable = sheets_entry(map, "inseparable");
    look->inseparable = inseparable != NULL && sheets_bool(r, inseparable);
    look->deciding_count = sheets_read_feature_list(r, list, look->deciding);
    if (r->status != PN_OK) {
        return;
    }
    if (look->sheet == k) {
        sheets_fail(r, map, "a kind is no look-alike of itself; leave it out");
    }
    if (look->deciding_count == 0) {
        sheets_fail(r, list, "'deciding' names no feature; name two or three");
    }
    const pn_sheet *pair[2] = {&r->sheets[k], &r->sheets[look->sheet]};
    const sheets_node *e = list->first;
    bool both_read = r->drafts[look->sheet].tree != NULL;
    for (size_t i = 0; both_read && i < look->deciding_count; i++) {
        check_deciding(r, e, look->deciding[i], pair);
        e = e->next;
    }
}

void sheets_read_lookalikes(sheets_reader *r, size_t k) {
    const sheets_node *list = sheets_entry(r->drafts[k].tree, "lookalikes");
    r->file = r->drafts[k].file;
    if (!sheets_list(r, list)) {
        return;
    }
    pn_lookalike *looks = sheets_array(r, r->keep, list->count, sizeof *looks);
    size_t count = 0;
    for (const sheets_node *e = list->first; e != NULL && r->status == PN_OK;
         e = e->next) {
        read_lookalike(r, e, k, &looks[count]);
        for (size_t i = 0; i < count && r->status == PN_OK; i++) {
            if (looks[i].sheet == looks[count].sheet) {
                sheets_fail(r, e, "look-alike '%s' stands here twice; keep one",
                            r->sheets[looks[i].sheet].id);
            }
        }
        count++;
    }
    r->sheets[k].lookalikes = looks;
    r->sheets[k].lookalike_count = r->status == PN_OK ? count : 0;
}

void sheets_check_pair(sheets_reader *r, size_t k, size_t i) {
    const sheets_node *node =
        sheets_entry(r->drafts[k].tree, "lookalikes")->first;
    for (size_t skip = i; skip > 0; skip--) {
        node = node->next;
    }
    pn_lookalike look = r->sheets[k].lookalikes[i];
    if (r->drafts[look.sheet].tree == NULL) {
        return;
    }
    pn_sheet pair[2] = {r->sheets[k], r->sheets[look.sheet]};
    look.sheet = 1;
    pair[0].lookalikes = &look;
    pair[0].lookalike_count = 1;
    pair[1].lookalike_count = 0;
    pn_guide guide = sheets_guide_of(r);
    guide.sheets = pair;
    guide.sheet_count = 2;
    pn_error fault;
    if (pn_guide_check(&guide, &fault) != PN_OK) {
        r->file = r->drafts[k].file;
        sheets_fail(r, node, "%s", fault.message);
    }
}
