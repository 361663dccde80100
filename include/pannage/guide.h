/** @file guide.h
 * The guide: what the kinds look like, what they are for, and what they may
 * be mistaken for. One sheet a kind, in words that features.yaml lays down.
 *
 * A sheet never says that a kind is safe to eat. It says what a kind shows,
 * what must be seen, and what has to be ruled out.
 */
#ifndef PN_GUIDE_H
#define PN_GUIDE_H

#include "pannage/base.h"

enum {
    PN_GUIDE_STATES_MAX = 32, /**< states of one feature */
    PN_GUIDE_LIST_MAX = 24,   /**< must-see features, deciding features, ... */
    PN_GUIDE_FEATURES_MAX = 256,
    PN_GUIDE_ORGANS_MAX = 255,
};

#define PN_GUIDE_NONE SIZE_MAX

/* ---- features ---------------------------------------------------------- */

/** What it costs to look: each step is dearer than the one before. */
typedef enum pn_effort {
    PN_EFFORT_LOOK,
    PN_EFFORT_SMELL,
    PN_EFFORT_TOUCH,
    PN_EFFORT_CUT,
    PN_EFFORT_PRINT, /**< a spore print, overnight */
    PN_EFFORT_BENCH, /**< at home: microscope, chemicals */
    PN_EFFORT_COUNT
} pn_effort;

/** "look", "smell", ...; never NULL. */
const char *pn_effort_name(pn_effort effort);
/** Relative cost of one observation, 1 for a look (own judgement). */
double pn_effort_cost(pn_effort effort);

typedef struct pn_feature {
    const char *id;
    const char *ask; /**< the question, as one asks a person */
    size_t organ;    /**< features of one organ are not independent */
    pn_effort effort;
    bool is_range;    /**< a measurement; else one of the states */
    const char *unit; /**< of a range */
    const char *const *states;
    size_t state_count; /**< 0 for a range */
    double error_frac;  /**< of a measurement, one standard deviation */
    /** P(answered a | is s) = slip[s * PN_GUIDE_STATES_MAX + a]; rows add up
     *  to 1; NULL for a range. */
    const double *slip;
    size_t need_feature;  /**< PN_GUIDE_NONE: applies to everything */
    uint32_t need_states; /**< bit s: applies when that feature has state s */
} pn_feature;

/* ---- sheets ------------------------------------------------------------ */

typedef enum pn_guide_status {
    PN_GUIDE_GATHERED,
    PN_GUIDE_CAUTION, /**< gathered by some, with conditions */
    PN_GUIDE_HARMFUL,
    PN_GUIDE_DEADLY,
    PN_GUIDE_PROTECTED, /**< not to be picked */
    PN_GUIDE_STATUS_COUNT
} pn_guide_status;

const char *pn_guide_status_name(pn_guide_status status);
/** True for what must be ruled out: harmful and deadly. */
bool pn_guide_is_danger(pn_guide_status status);
/** True for what people gather: gathered, and with caution. */
bool pn_guide_is_gathered(pn_guide_status status);

typedef enum pn_guide_stage {
    PN_GUIDE_YOUNG,
    PN_GUIDE_MATURE,
    PN_GUIDE_OLD,
    PN_GUIDE_STAGE_COUNT
} pn_guide_stage;

const char *pn_guide_stage_name(pn_guide_stage stage);

/** What a kind shows of one feature. */
typedef struct pn_trait {
    size_t feature;
    /** Shares that add up to 1 at each stage; NULL for a range. [stage][state]
     *  with PN_GUIDE_STATES_MAX states a stage. */
    const double *share;
    double low, high; /**< of a range: nineteen of twenty grown ones */
    /** Of a range: the low end of young ones; 0: a fifth of low. A guide
     *  without stages sets it to low. */
    double young_low;
    const char *source;
} pn_trait;

typedef struct pn_lookalike {
    size_t sheet;
    size_t deciding[PN_GUIDE_LIST_MAX]; /**< features */
    size_t deciding_count;
    /** Nothing that can be seen in the field parts the two surely: the gate of
     *  this kind never opens, for anybody. */
    bool inseparable;
    const char *words;
} pn_lookalike;

/** A sentence about something: a caution, a part's use, a stage's advice. */
typedef struct pn_guide_words {
    const char *about; /**< "raw", "cap", "young", ... */
    const char *what;  /**< use or advice: "cook", "leave"; "" if none */
    const char *stage; /**< "" if any */
    const char *words;
    const char *source;
} pn_guide_words;

typedef struct pn_guide_list {
    const pn_guide_words *at;
    size_t count;
} pn_guide_list;

typedef struct pn_guide_names {
    const char *const *at;
    size_t count;
} pn_guide_names;

typedef struct pn_sheet {
    const char *id, *english, *scientific, *author, *group;
    pn_guide_names welsh, gaelic, other;
    pn_guide_status status;
    bool expert_only;
    const char *source, *about, *harm, *take;
    int season_from, season_to; /**< months; from after to spans New Year */
    int peak_from, peak_to;     /**< 0: not given */
    pn_guide_names habitats, hosts;
    const pn_trait *traits;
    size_t trait_count;
    size_t must_see[PN_GUIDE_LIST_MAX];
    size_t must_see_count;
    const pn_lookalike *lookalikes;
    size_t lookalike_count;
    pn_guide_list stages, parts, cautions;
    pn_guide_names law;
    double fresh_days; /**< NaN: not given */
    const char *keeps;
} pn_sheet;

/** Open data; everything borrowed from whoever built it. */
typedef struct pn_guide {
    const pn_feature *features;
    size_t feature_count;
    size_t organ_count;
    const pn_sheet *sheets;
    size_t sheet_count;
} pn_guide;

/** PN_GUIDE_NONE when there is none of that id. */
size_t pn_guide_feature(const pn_guide *guide, pn_text id);
/** State of a feature by name, or PN_GUIDE_NONE. */
size_t pn_guide_state(const pn_feature *feature, pn_text name);
/** By id, English or scientific name, else by another name that no second
 *  kind bears; case and '_' for a space ignored. Or PN_GUIDE_NONE. */
size_t pn_guide_sheet(const pn_guide *guide, pn_text name);
/** What the sheet says of the feature; NULL when it says nothing. */
const pn_trait *pn_sheet_trait(const pn_sheet *sheet, size_t feature);
/** True when the feature must be seen before the check says more. */
bool pn_sheet_must_see(const pn_sheet *sheet, size_t feature);
/** False when the sheet's own states rule out what the feature needs: a
 *  bolete has no gills to look at. */
bool pn_sheet_applies(const pn_guide *guide, const pn_sheet *sheet,
                      size_t feature);
bool pn_sheet_in_season(const pn_sheet *sheet, int month);

/** How much two kinds look alike in one feature: sum of the smaller shares
 *  (grown), or the overlap of the ranges' soft edges; 1 when either says
 *  nothing, 0 when the feature does not apply to one of the two. */
double pn_guide_overlap(const pn_guide *guide, const pn_sheet *a,
                        const pn_sheet *b, size_t feature);

/** Check everything the check relies on: no list is longer than its room, what
 *  a feature needs is a state of another one and never comes back to itself,
 *  shares and slips add up, ranges are the right way round, must-see features
 *  are described and can be seen in the field, every index exists, every
 *  gathered kind differs from each of its dangerous look-alikes in features of
 *  two organs, or is for experts only and one of the two names the other as
 *  inseparable.
 *  @return PN_OK, PN_EDOMAIN naming sheet, feature and fault */
PN_MUST_CHECK pn_status pn_guide_check(const pn_guide *guide, pn_error *err);

#endif
