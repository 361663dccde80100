#include "sheets/sheets_internal.h"

/* Own judgement: nobody is never wrong, and someone who is wrong more often
 * than this has not been asked a question. */
static const double SLIP_LEAST = 0.0005, SLIP_MOST = 0.3;
static const double ERROR_LEAST = 0.005, ERROR_MOST = 0.5;

static const char *const kinds[] = {"states", "range"};
static const sheets_words kind_words = {"a kind of feature", kinds, 2};

static const sheets_key state_keys[] = {
    {"id", true},    {"organ", true},  {"effort", true},    {"ask", true},
    {"slip", true},  {"states", true}, {"slip_near", true}, {"near", false},
    {"kind", false}, {"needs", false}};
static const sheets_key range_keys[] = {
    {"id", true},   {"organ", true}, {"effort", true},     {"ask", true},
    {"kind", true}, {"unit", true},  {"error_frac", true}, {"needs", false}};
static const sheets_key top_keys[] = {
    {"source", true}, {"required", true}, {"features", true}};

#define COUNT(a) (sizeof(a) / sizeof *(a))

static size_t organ_of(sheets_reader *r, const sheets_node *node) {
    const char *id = sheets_id(r, node);
    sheets_words known = {"an organ", r->organs, r->organ_count};
    size_t organ = sheets_find(&known, pn_text_of(id));
    if (organ != PN_GUIDE_NONE || r->status != PN_OK) {
        return r->status == PN_OK ? organ : 0;
    }
    if (r->organ_count >= PN_GUIDE_ORGANS_MAX) {
        sheets_fail(r, node, "more than %d organs; let features share some",
                    PN_GUIDE_ORGANS_MAX);
        return 0;
    }
    r->organs[r->organ_count] = id;
    return r->organ_count++;
}

size_t sheets_state(sheets_reader *r, const sheets_node *node,
                    const pn_feature *feature, pn_text name) {
    sheets_words states = {"a state", feature->states, feature->state_count};
    size_t state = sheets_find(&states, name);
    if (state != PN_GUIDE_NONE || r->status != PN_OK) {
        return state;
    }
    char buf[380];
    pn_str list = pn_str_in(buf, sizeof buf);
    for (size_t s = 0; s < feature->state_count; s++) {
        pn_str_addf(&list, "%s%s", s > 0 ? ", " : "", feature->states[s]);
    }
    sheets_fail(r, node, "'%.40s' is not a state of %s; known: %s", name.at,
                feature->id, buf);
    return PN_GUIDE_NONE;
}

/* ---- slips -----------------------------------------------------------------
 */

/* Bit a of near[s]: s and a are easily taken for each other. */
static void read_near(sheets_reader *r, const sheets_node *list,
                      const pn_feature *feature, uint32_t *near) {
    if (!sheets_list(r, list)) {
        return;
    }
    for (const sheets_node *e = list->first; e != NULL; e = e->next) {
        if (!sheets_list(r, e) || e->count != 2 ||
            e->first->kind != SHEETS_SCALAR || e->last->kind != SHEETS_SCALAR) {
            sheets_fail(r, e, "'near' is a list of pairs: [[a, b], [b, c]]");
            return;
        }
        size_t a = sheets_state(r, e, feature, e->first->text);
        size_t b = sheets_state(r, e, feature, e->last->text);
        if (r->status != PN_OK) {
            return;
        }
        if (a == b || (near[a] >> b & 1U) != 0) {
            sheets_fail(r, e, "'near' pairs %s with %s twice, or with itself",
                        feature->states[a], feature->states[b]);
        }
        near[a] |= (uint32_t)1 << b;
        near[b] |= (uint32_t)1 << a;
    }
}

static size_t bits_of(uint32_t mask) {
    size_t count = 0;
    for (; mask != 0; mask &= mask - 1) {
        count++;
    }
    return count;
}

/* What a person answers who has state s in hand. */
static void fill_slips(const pn_feature *feature, const uint32_t *near,
                       const double *slips, double *out) {
    for (size_t s = 0; s < feature->state_count; s++) {
        double *row = &out[s * PN_GUIDE_STATES_MAX];
        size_t near_count = bits_of(near[s]);
        size_t other_count = feature->state_count - 1 - near_count;
        double right = 1.0;
        for (size_t a = 0; a < feature->state_count; a++) {
            if (a != s) {
                bool is_near = (near[s] >> a & 1U) != 0;
                row[a] = is_near ? slips[1] / (double)near_count
                                 : slips[0] / (double)other_count;
                right -= row[a];
            }
        }
        row[s] = right;
    }
}

static void read_states(sheets_reader *r, const sheets_node *map,
                        pn_feature *feature) {
    const sheets_node *list = sheets_entry(map, "states");
    pn_guide_names states = sheets_names(r, list, NULL);
    if (r->status == PN_OK &&
        (states.count < 2 || states.count > PN_GUIDE_STATES_MAX)) {
        sheets_fail(r, list, "%zu states; a feature has 2 to %d", states.count,
                    PN_GUIDE_STATES_MAX);
    }
    for (const sheets_node *e = list->first; e != NULL; e = e->next) {
        (void)sheets_id(r, e);
    }
    feature->states = states.at;
    feature->state_count = states.count;
    uint32_t near[PN_GUIDE_STATES_MAX] = {0};
    double slips[2] = {
        sheets_number(r, sheets_entry(map, "slip"), SLIP_LEAST, SLIP_MOST),
        sheets_number(r, sheets_entry(map, "slip_near"), SLIP_LEAST,
                      SLIP_MOST)};
    read_near(r, sheets_entry(map, "near"), feature, near);
    double *slip = sheets_array(
        r, r->keep, (size_t)PN_GUIDE_STATES_MAX * states.count, sizeof *slip);
    if (slip != NULL) {
        fill_slips(feature, near, slips, slip);
    }
    feature->slip = slip;
}

static void read_range(sheets_reader *r, const sheets_node *map,
                       pn_feature *feature) {
    feature->is_range = true;
    feature->unit = sheets_prose(r, sheets_entry(map, "unit"));
    feature->error_frac = sheets_number(r, sheets_entry(map, "error_frac"),
                                        ERROR_LEAST, ERROR_MOST);
}

/* ---- features
 * ---------------------------------------------------------------- */

static void read_feature(sheets_reader *r, const sheets_node *map,
                         pn_feature *feature) {
    const sheets_node *kind = sheets_entry(map, "kind");
    bool is_range = sheets_word(r, kind, &kind_words) == 1;
    if (!sheets_map(r, map, is_range ? range_keys : state_keys,
                    is_range ? COUNT(range_keys) : COUNT(state_keys))) {
        return;
    }
    const sheets_node *id = sheets_entry(map, "id");
    feature->id = sheets_id(r, id);
    for (size_t f = 0; f < r->feature_count; f++) {
        if (pn_text_equal(id->text, pn_text_of(r->features[f].id))) {
            sheets_fail(r, id, "feature '%.40s' stands here twice; keep one",
                        feature->id);
        }
    }
    feature->organ = organ_of(r, sheets_entry(map, "organ"));
    feature->effort = (pn_effort)sheets_word(
        r, sheets_entry(map, "effort"), sheets_vocabulary_of(SHEETS_EFFORTS));
    feature->ask = sheets_prose(r, sheets_entry(map, "ask"));
    feature->need_feature = PN_GUIDE_NONE;
    if (is_range) {
        read_range(r, map, feature);
    } else if (r->status == PN_OK) {
        read_states(r, map, feature);
    }
}

size_t sheets_feature(sheets_reader *r, const sheets_node *node, pn_text id) {
    for (size_t f = 0; f < r->feature_count; f++) {
        if (pn_text_equal(id, pn_text_of(r->features[f].id))) {
            return f;
        }
    }
    sheets_fail(r, node,
                "'%.40s' is not a feature; take one of guide/features.yaml",
                id.at);
    return PN_GUIDE_NONE;
}

/* needs: {form: [gilled, boletoid]} */
static void read_needs(sheets_reader *r, const sheets_node *needs,
                       pn_feature *feature) {
    if (needs->kind != SHEETS_MAP || needs->count != 1) {
        sheets_fail(r, needs, "'needs' names one feature: {form: [gilled]}");
        return;
    }
    const sheets_node *list = needs->first;
    size_t need = sheets_feature(r, list, list->key);
    if (!sheets_list(r, list)) {
        return;
    }
    if (r->features[need].is_range || list->count == 0) {
        sheets_fail(r, list, "'needs' must list states of '%s'", list->key.at);
        return;
    }
    for (const sheets_node *e = list->first; e != NULL; e = e->next) {
        const char *name = sheets_id(r, e);
        size_t state = sheets_state(r, e, &r->features[need], pn_text_of(name));
        if (r->status != PN_OK || state == PN_GUIDE_NONE) {
            return;
        }
        feature->need_states |= (uint32_t)1 << state;
    }
    feature->need_feature = need;
}

/* Is there an end to what this one needs? */
static void check_cycle(sheets_reader *r, const sheets_node *node, size_t f) {
    size_t steps = 0;
    for (size_t at = f; at != PN_GUIDE_NONE && steps <= r->feature_count;
         at = r->features[at].need_feature) {
        steps++;
    }
    if (steps > r->feature_count) {
        sheets_fail(r, node,
                    "what %s needs comes back to itself; break the "
                    "circle",
                    r->features[f].id);
    }
}

static void read_all(sheets_reader *r, const sheets_node *list) {
    r->features = sheets_array(r, r->keep, list->count, sizeof *r->features);
    r->organs =
        sheets_array(r, r->scratch, PN_GUIDE_ORGANS_MAX, sizeof *r->organs);
    for (const sheets_node *e = list->first; e != NULL && r->status == PN_OK;
         e = e->next) {
        read_feature(r, e, &r->features[r->feature_count]);
        r->feature_count++;
    }
    size_t f = 0;
    for (const sheets_node *e = list->first; e != NULL && r->status == PN_OK;
         e = e->next) {
        const sheets_node *needs = sheets_entry(e, "needs");
        if (needs != NULL) {
            read_needs(r, needs, &r->features[f]);
        }
        f++;
    }
    f = 0;
    for (const sheets_node *e = list->first; e != NULL && r->status == PN_OK;
         e = e->next) {
        check_cycle(r, e, f++);
    }
}

void sheets_read_features(sheets_reader *r, const pn_sheets_file *file) {
    const sheets_node *tree = sheets_tree(r, file);
    if (!sheets_map(r, tree, top_keys, COUNT(top_keys))) {
        return;
    }
    (void)sheets_prose(r, sheets_entry(tree, "source"));
    r->required = sheets_entry(tree, "required");
    (void)sheets_list(r, r->required);
    const sheets_node *list = sheets_entry(tree, "features");
    if (sheets_list(r, list) && list->count == 0) {
        sheets_fail(r, list, "no features; the check has nothing to ask");
    }
    if (r->status == PN_OK && list->count > PN_GUIDE_FEATURES_MAX) {
        sheets_fail(r, list, "%zu features; a guide has %d at most",
                    list->count, PN_GUIDE_FEATURES_MAX);
    }
    if (r->status == PN_OK) {
        read_all(r, list);
    }
}
