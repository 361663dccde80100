#include "pannage/guide.h"

#include <math.h>
#include <string.h>

/* Relative effort of one observation: own judgement, to be told by use. */
static const double effort_costs[PN_EFFORT_COUNT] = {1.0, 1.2,  1.5,
                                                     2.5, 12.0, 30.0};

const char *pn_effort_name(pn_effort effort) {
    static const char *const names[PN_EFFORT_COUNT] = {
        "look", "smell", "touch", "cut", "print", "bench"};
    return (size_t)effort < PN_EFFORT_COUNT ? names[effort] : "unknown";
}

double pn_effort_cost(pn_effort effort) {
    return (size_t)effort < PN_EFFORT_COUNT ? effort_costs[effort] : NAN;
}

const char *pn_guide_status_name(pn_guide_status status) {
    static const char *const names[PN_GUIDE_STATUS_COUNT] = {
        "gathered", "caution", "harmful", "deadly", "protected"};
    return (size_t)status < PN_GUIDE_STATUS_COUNT ? names[status] : "unknown";
}

bool pn_guide_is_danger(pn_guide_status status) {
    return status == PN_GUIDE_HARMFUL || status == PN_GUIDE_DEADLY;
}

bool pn_guide_is_gathered(pn_guide_status status) {
    return status == PN_GUIDE_GATHERED || status == PN_GUIDE_CAUTION;
}

const char *pn_guide_stage_name(pn_guide_stage stage) {
    static const char *const names[PN_GUIDE_STAGE_COUNT] = {"young", "mature",
                                                            "old"};
    return (size_t)stage < PN_GUIDE_STAGE_COUNT ? names[stage] : "unknown";
}

size_t pn_guide_feature(const pn_guide *guide, pn_text id) {
    for (size_t f = 0; f < guide->feature_count; f++) {
        if (pn_text_equal_nocase(id, pn_text_of(guide->features[f].id))) {
            return f;
        }
    }
    return PN_GUIDE_NONE;
}

size_t pn_guide_state(const pn_feature *feature, pn_text name) {
    for (size_t s = 0; s < feature->state_count; s++) {
        if (pn_text_equal_nocase(name, pn_text_of(feature->states[s]))) {
            return s;
        }
    }
    return PN_GUIDE_NONE;
}

/* Case counts for nothing, and '_' is a space. */
static bool is_called(pn_text name, const char *called) {
    size_t len = strlen(called);
    if (len != name.len) {
        return false;
    }
    for (size_t i = 0; i < len; i++) {
        bool space = name.at[i] == '_' || name.at[i] == ' ';
        bool expected = called[i] == '_' || called[i] == ' ';
        if (space != expected ||
            (!space && !pn_text_equal_nocase((pn_text){name.at + i, 1},
                                             (pn_text){called + i, 1}))) {
            return false;
        }
    }
    return true;
}

static bool is_one_of(pn_text name, const pn_guide_names *names) {
    for (size_t i = 0; i < names->count; i++) {
        if (is_called(name, names->at[i])) {
            return true;
        }
    }
    return false;
}

/* Folk names and those of other tongues may be borne by several kinds. */
static size_t only_sheet_called(const pn_guide *guide, pn_text name) {
    size_t found = PN_GUIDE_NONE;
    for (size_t k = 0; k < guide->sheet_count; k++) {
        const pn_sheet *sheet = &guide->sheets[k];
        if (is_one_of(name, &sheet->other) || is_one_of(name, &sheet->welsh) ||
            is_one_of(name, &sheet->gaelic)) {
            if (found != PN_GUIDE_NONE) {
                return PN_GUIDE_NONE;
            }
            found = k;
        }
    }
    return found;
}

size_t pn_guide_sheet(const pn_guide *guide, pn_text name) {
    for (size_t k = 0; k < guide->sheet_count; k++) {
        const pn_sheet *sheet = &guide->sheets[k];
        if (is_called(name, sheet->id) || is_called(name, sheet->english) ||
            is_called(name, sheet->scientific)) {
            return k;
        }
    }
    return only_sheet_called(guide, name);
}

bool pn_sheet_must_see(const pn_sheet *sheet, size_t feature) {
    for (size_t i = 0; i < sheet->must_see_count; i++) {
        if (sheet->must_see[i] == feature) {
            return true;
        }
    }
    return false;
}

const pn_trait *pn_sheet_trait(const pn_sheet *sheet, size_t feature) {
    for (size_t t = 0; t < sheet->trait_count; t++) {
        if (sheet->traits[t].feature == feature) {
            return &sheet->traits[t];
        }
    }
    return NULL;
}

static double share_of(const pn_trait *trait, pn_guide_stage stage,
                       size_t state) {
    return trait->share[(size_t)stage * PN_GUIDE_STATES_MAX + state];
}

/* At any stage. */
static bool shows_one_of(const pn_trait *trait, uint32_t states,
                         size_t state_count) {
    for (size_t s = 0; s < state_count; s++) {
        bool wanted = (states >> s & 1U) != 0;
        if (wanted && (share_of(trait, PN_GUIDE_YOUNG, s) > 0.0 ||
                       share_of(trait, PN_GUIDE_MATURE, s) > 0.0 ||
                       share_of(trait, PN_GUIDE_OLD, s) > 0.0)) {
            return true;
        }
    }
    return false;
}

bool pn_sheet_applies(const pn_guide *guide, const pn_sheet *sheet,
                      size_t feature) {
    const pn_feature *f = &guide->features[feature];
    for (size_t steps = 0; steps < guide->feature_count; steps++) {
        if (f->need_feature == PN_GUIDE_NONE) {
            return true;
        }
        const pn_trait *need = pn_sheet_trait(sheet, f->need_feature);
        const pn_feature *of = &guide->features[f->need_feature];
        if (need != NULL) {
            return shows_one_of(need, f->need_states, of->state_count);
        }
        f = of; /* which may itself not apply: no gills on a herb */
    }
    return true; /* a circle, which pn_guide_check() refuses */
}

bool pn_sheet_in_season(const pn_sheet *sheet, int month) {
    if (sheet->season_from <= sheet->season_to) {
        return month >= sheet->season_from && month <= sheet->season_to;
    }
    return month >= sheet->season_from || month <= sheet->season_to;
}

static double range_overlap(const pn_trait *a, const pn_trait *b) {
    double low = fmax(a->low, b->low);
    double high = fmin(a->high, b->high);
    double narrower = fmin(a->high - a->low, b->high - b->low);
    return high <= low ? 0.0 : narrower > 0.0 ? (high - low) / narrower : 1.0;
}

double pn_guide_overlap(const pn_guide *guide, const pn_sheet *a,
                        const pn_sheet *b, size_t feature) {
    const pn_feature *f = &guide->features[feature];
    const pn_trait *ta = pn_sheet_trait(a, feature);
    const pn_trait *tb = pn_sheet_trait(b, feature);
    if (!pn_sheet_applies(guide, a, feature) ||
        !pn_sheet_applies(guide, b, feature)) {
        return 0.0;
    }
    if (ta == NULL || tb == NULL) {
        return 1.0;
    }
    if (f->is_range) {
        return range_overlap(ta, tb);
    }
    double overlap = 0.0;
    for (size_t s = 0; s < f->state_count; s++) {
        overlap += fmin(share_of(ta, PN_GUIDE_MATURE, s),
                        share_of(tb, PN_GUIDE_MATURE, s));
    }
    return overlap;
}

/* ---- soundness of the features ------------------------------------------ */

static pn_status check_slips(const pn_feature *feature, pn_error *err) {
    static const double TOLERANCE = 1e-6;
    for (size_t s = 0; s < feature->state_count; s++) {
        double sum = 0.0;
        for (size_t a = 0; a < feature->state_count; a++) {
            double slip = feature->slip[s * PN_GUIDE_STATES_MAX + a];
            sum += slip >= 0.0 ? slip : (double)NAN;
        }
        if (!(fabs(sum - 1.0) <= TOLERANCE)) {
            return pn_fail(err, PN_EDOMAIN,
                           "feature %s: what is answered for %s adds up to "
                           "%.6f, not 1",
                           feature->id, feature->states[s], sum);
        }
    }
    return PN_OK;
}

static pn_status check_answers(const pn_feature *feature, pn_error *err) {
    if (feature->is_range) {
        return feature->error_frac > 0.0 && isfinite(feature->error_frac)
                   ? PN_OK
                   : pn_fail(err, PN_EDOMAIN,
                             "feature %s: error_frac must be above 0",
                             feature->id);
    }
    if (feature->state_count < 2 ||
        feature->state_count > PN_GUIDE_STATES_MAX || feature->slip == NULL) {
        return pn_fail(err, PN_EDOMAIN,
                       "feature %s: it needs slips and 2 to %d states, not %zu",
                       feature->id, PN_GUIDE_STATES_MAX, feature->state_count);
    }
    return check_slips(feature, err);
}

/* The states that open it must be states, of a feature that has some. */
static pn_status check_need(const pn_guide *guide, const pn_feature *feature,
                            pn_error *err) {
    if (feature->need_feature == PN_GUIDE_NONE) {
        return PN_OK;
    }
    bool exists = feature->need_feature < guide->feature_count &&
                  !guide->features[feature->need_feature].is_range;
    size_t count =
        exists ? guide->features[feature->need_feature].state_count : 0;
    uint64_t beyond = count > 0 && count <= PN_GUIDE_STATES_MAX
                          ? (uint64_t)feature->need_states >> count
                          : 1;
    return beyond == 0 && feature->need_states != 0
               ? PN_OK
               : pn_fail(err, PN_EDOMAIN,
                         "feature %s: what it needs is no state of another",
                         feature->id);
}

/* In a circle nothing could ever be asked. */
static pn_status check_circle(const pn_guide *guide, size_t f, pn_error *err) {
    size_t at = f;
    for (size_t steps = 0; steps <= guide->feature_count; steps++) {
        if (at == PN_GUIDE_NONE) {
            return PN_OK;
        }
        at = guide->features[at].need_feature;
    }
    return pn_fail(err, PN_EDOMAIN,
                   "feature %s: what it needs comes back to itself",
                   guide->features[f].id);
}

static pn_status check_feature(const pn_guide *guide, size_t f, pn_error *err) {
    const pn_feature *feature = &guide->features[f];
    if ((size_t)feature->effort >= PN_EFFORT_COUNT ||
        feature->organ >= PN_GUIDE_ORGANS_MAX) {
        return pn_fail(err, PN_EDOMAIN,
                       "feature %s: no such effort, or organ beyond %d",
                       feature->id, PN_GUIDE_ORGANS_MAX - 1);
    }
    pn_status status = check_answers(feature, err);
    return status == PN_OK ? check_need(guide, feature, err) : status;
}

static pn_status check_features(const pn_guide *guide, pn_error *err) {
    pn_status status = PN_OK;
    for (size_t f = 0; status == PN_OK && f < guide->feature_count; f++) {
        status = check_feature(guide, f, err);
    }
    for (size_t f = 0; status == PN_OK && f < guide->feature_count; f++) {
        status = check_circle(guide, f, err);
    }
    return status;
}

/* ---- soundness of the sheets -------------------------------------------- */

static pn_status check_shares(const pn_sheet *sheet, const pn_feature *feature,
                              const pn_trait *trait, pn_error *err) {
    for (int stage = 0; stage < PN_GUIDE_STAGE_COUNT; stage++) {
        double sum = 0.0;
        for (size_t s = 0; s < feature->state_count; s++) {
            double share = share_of(trait, (pn_guide_stage)stage, s);
            if (!(share >= 0.0 && share <= 1.0)) {
                return pn_fail(err, PN_EDOMAIN,
                               "sheet %s: %s, %s: a share outside 0..1",
                               sheet->id, feature->id, feature->states[s]);
            }
            sum += share;
        }
        if (!(fabs(sum - 1.0) <= 0.002)) {
            return pn_fail(err, PN_EDOMAIN,
                           "sheet %s: %s, %s: the shares add up to %.3f, not 1",
                           sheet->id, feature->id,
                           pn_guide_stage_name((pn_guide_stage)stage), sum);
        }
    }
    return PN_OK;
}

static pn_status check_range(const pn_sheet *sheet, const pn_feature *feature,
                             const pn_trait *trait, pn_error *err) {
    bool grown =
        trait->low > 0.0 && trait->high > trait->low && isfinite(trait->high);
    bool young = trait->young_low >= 0.0 && trait->young_low <= trait->low;
    return grown && young
               ? PN_OK
               : pn_fail(err, PN_EDOMAIN,
                         "sheet %s: %s: low must be above 0 and below high, "
                         "and no young one larger",
                         sheet->id, feature->id);
}

static pn_status check_trait(const pn_guide *guide, const pn_sheet *sheet,
                             const pn_trait *trait, pn_error *err) {
    if (trait->feature >= guide->feature_count) {
        return pn_fail(err, PN_EDOMAIN, "sheet %s: a feature that is none",
                       sheet->id);
    }
    const pn_feature *feature = &guide->features[trait->feature];
    if (pn_sheet_trait(sheet, trait->feature) != trait) {
        return pn_fail(err, PN_EDOMAIN, "sheet %s: %s is described twice",
                       sheet->id, feature->id);
    }
    if (!pn_sheet_applies(guide, sheet, trait->feature)) {
        return pn_fail(err, PN_EDOMAIN,
                       "sheet %s: %s does not apply to such a kind; leave it "
                       "out",
                       sheet->id, feature->id);
    }
    if (feature->is_range) {
        return check_range(sheet, feature, trait, err);
    }
    return trait->share != NULL
               ? check_shares(sheet, feature, trait, err)
               : pn_fail(err, PN_EDOMAIN, "sheet %s: %s has no shares",
                         sheet->id, feature->id);
}

static pn_status check_must_see(const pn_guide *guide, const pn_sheet *sheet,
                                pn_error *err) {
    if (pn_guide_is_gathered(sheet->status) && sheet->must_see_count == 0) {
        return pn_fail(err, PN_EDOMAIN,
                       "sheet %s: a kind that is gathered needs must_see",
                       sheet->id);
    }
    for (size_t i = 0; i < sheet->must_see_count; i++) {
        size_t f = sheet->must_see[i];
        if (f >= guide->feature_count || pn_sheet_trait(sheet, f) == NULL ||
            guide->features[f].effort == PN_EFFORT_BENCH) {
            return pn_fail(err, PN_EDOMAIN,
                           "sheet %s: must_see names %s, which the sheet does "
                           "not describe or the field cannot show",
                           sheet->id,
                           f < guide->feature_count ? guide->features[f].id
                                                    : "nothing");
        }
    }
    return PN_OK;
}

/* Organs in which the two hardly overlap, field-observable ones only. */
static int organs_apart(const pn_guide *guide, const pn_sheet *a,
                        const pn_sheet *b) {
    static const double HARDLY = 0.061;
    bool apart[PN_GUIDE_ORGANS_MAX] = {false};
    int count = 0;
    for (size_t f = 0; f < guide->feature_count; f++) {
        const pn_feature *feature = &guide->features[f];
        bool described = pn_sheet_trait(a, f) != NULL;
        if (feature->effort == PN_EFFORT_BENCH || !described ||
            apart[feature->organ]) {
            continue;
        }
        if (pn_guide_overlap(guide, a, b, f) <= HARDLY) {
            apart[feature->organ] = true;
            count++;
        }
    }
    return count;
}

/* Whoever names the other: what cannot be told apart is for experts at most.
 */
static pn_status check_apart(const pn_guide *guide, const pn_sheet *sheet,
                             const pn_lookalike *look, pn_error *err) {
    const pn_sheet *other = &guide->sheets[look->sheet];
    const pn_sheet *kind = pn_guide_is_gathered(sheet->status) ? sheet : other;
    if (look->inseparable) {
        return kind->expert_only || !pn_guide_is_gathered(kind->status)
                   ? PN_OK
                   : pn_fail(err, PN_EDOMAIN,
                             "sheet %s: inseparable from %s, yet %s is not "
                             "expert_only: true; no beginner may rely on it",
                             sheet->id, other->id, kind->id);
    }
    if (kind == sheet && pn_guide_is_danger(other->status) &&
        organs_apart(guide, sheet, other) < 2) {
        return pn_fail(err, PN_EDOMAIN,
                       "sheet %s: nothing tells it from %s in two organs; "
                       "describe more features on both sheets, or mark the "
                       "look-alike 'inseparable: true'",
                       sheet->id, other->id);
    }
    return PN_OK;
}

static pn_status check_lookalikes(const pn_guide *guide, const pn_sheet *sheet,
                                  pn_error *err) {
    for (size_t i = 0; i < sheet->lookalike_count; i++) {
        const pn_lookalike *look = &sheet->lookalikes[i];
        if (look->sheet >= guide->sheet_count ||
            look->deciding_count > PN_GUIDE_LIST_MAX) {
            return pn_fail(err, PN_EDOMAIN,
                           "sheet %s: a look-alike without a sheet, or with "
                           "more than %d deciding features",
                           sheet->id, PN_GUIDE_LIST_MAX);
        }
        pn_status status = check_apart(guide, sheet, look, err);
        if (status != PN_OK) {
            return status;
        }
    }
    return PN_OK;
}

static pn_status check_sheet(const pn_guide *guide, const pn_sheet *sheet,
                             pn_error *err) {
    pn_status status = PN_OK;
    if ((size_t)sheet->status >= PN_GUIDE_STATUS_COUNT ||
        sheet->must_see_count > PN_GUIDE_LIST_MAX) {
        return pn_fail(err, PN_EDOMAIN,
                       "sheet %s: no such status, or more than %d must-see "
                       "features",
                       sheet->id, PN_GUIDE_LIST_MAX);
    }
    for (size_t t = 0; status == PN_OK && t < sheet->trait_count; t++) {
        status = check_trait(guide, sheet, &sheet->traits[t], err);
    }
    if (status == PN_OK && (sheet->season_from < 1 || sheet->season_from > 12 ||
                            sheet->season_to < 1 || sheet->season_to > 12)) {
        status = pn_fail(err, PN_EDOMAIN, "sheet %s: season: months are 1..12",
                         sheet->id);
    }
    if (status == PN_OK) {
        status = check_must_see(guide, sheet, err);
    }
    return status == PN_OK ? check_lookalikes(guide, sheet, err) : status;
}

pn_status pn_guide_check(const pn_guide *guide, pn_error *err) {
    if (guide->sheet_count == 0 || guide->feature_count == 0 ||
        guide->feature_count > PN_GUIDE_FEATURES_MAX) {
        return pn_fail(err, PN_EDOMAIN,
                       "the guide is empty, or has more than %d features",
                       PN_GUIDE_FEATURES_MAX);
    }
    pn_status status = check_features(guide, err);
    for (size_t k = 0; status == PN_OK && k < guide->sheet_count; k++) {
        status = check_sheet(guide, &guide->sheets[k], err);
    }
    return status;
}
