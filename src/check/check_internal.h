/** @file check_internal.h
 * A hypothesis is a kind at a stage; the last one is "not in the guide". An
 * answer to a measurement is put into one of a few bins, so that every feature
 * has a table of P(answer | hypothesis). Whether an answer contradicts a kind,
 * or agrees with it, is told from the measured value itself.
 */
#ifndef PN_CHECK_INTERNAL_H
#define PN_CHECK_INTERNAL_H

#include "pannage/check.h"

enum { CHECK_BINS = 16 };

/** Of a measurement, natural logarithms. A value below young or above high
 *  contradicts the kind; one in grown .. high is a grown one's. */
typedef struct check_limits {
    double young, grown, high;
} check_limits;

/** Answers a feature can get: its states, or the bins of a measurement. */
typedef struct check_table {
    size_t answer_count;
    size_t stride;        /**< answer_count, made a multiple of 8 */
    size_t offset;        /**< of its answers in the profile of a hypothesis */
    float *log_prob;      /**< [answer][hypothesis] */
    uint8_t *against;     /**< [answer][sheet]: contradicts; not of ranges */
    check_limits *limits; /**< [sheet], of ranges */
    double base[PN_GUIDE_STATES_MAX]; /**< P(answer | not in the guide) */
    double edges[CHECK_BINS - 1];     /**< of the bins of a measurement */
} check_table;

struct pn_check {
    pn_alloc alloc;
    const pn_guide *guide;
    size_t hypothesis_count; /**< sheets x stages */
    double *log_prior;       /**< [hypothesis + 1], without context */
    check_table *tables;     /**< [feature] */
    uint8_t *danger;         /**< [hypothesis]: 1 if harmful or deadly */
    /** P(answer | hypothesis), [hypothesis][profile_len], answers of all
     *  features one after the other; padding is 0. */
    float *profiles;
    size_t profile_len;
    size_t *by_organ; /**< features, those of one organ side by side */
};

/** In posterior and start the unlisted stands last. */
struct pn_check_session {
    const pn_check *check;
    pn_check_context context;
    pn_answer *answers; /**< in the order given; room for every feature */
    size_t answer_count;
    size_t *slot;          /**< [feature]: index of its answer + 1, 0: none */
    double *start;         /**< [hypothesis + 1]: ln prior in this context */
    double *posterior;     /**< [hypothesis + 1], adds up to 1 */
    uint8_t *contradicted; /**< [sheet]: in so many organs */
    uint8_t *organ_hit;    /**< [sheet] scratch */
    uint32_t *active;      /**< [2 x hypothesis] scratch of pn_check_next() */
    float *mass;           /**< [2 x hypothesis] scratch of pn_check_next() */
};

static inline size_t check_hypothesis(size_t sheet, size_t stage) {
    return sheet * PN_GUIDE_STAGE_COUNT + stage;
}

/** P(answer | hypothesis), one an answer of the feature. */
static inline float *check_probs(const pn_check *check, size_t feature,
                                 size_t hypothesis) {
    return check->profiles + hypothesis * check->profile_len +
           check->tables[feature].offset;
}

/** Row of an answer in the tables of its feature. */
size_t check_row(const pn_check *check, const pn_answer *answer);
/** P(answer | kind at stage): 1 is never reached, 0 never. */
double check_likelihood(const pn_check *check, size_t sheet, size_t stage,
                        const pn_answer *answer);
/** The same at the stage that fits best. */
double check_best_likelihood(const pn_check *check, size_t sheet,
                             const pn_answer *answer);
/** P(answer | not in the guide). */
double check_base(const pn_check *check, const pn_answer *answer);
/** The answer to the feature; NULL when it was not asked. */
const pn_answer *check_answer_of(const pn_check_session *session,
                                 size_t feature);

/** Fill against and limits of one feature. */
void check_fill_contradictions(const pn_check *check, size_t feature);
/** A certain answer that a kind hardly ever gives, at any stage. */
bool check_contradicts(const pn_check *check, size_t sheet,
                       const pn_answer *answer);
/** Count for every sheet the organs whose certain answers contradict it. */
void check_count_contradictions(pn_check_session *session);

/** As pn_check_danger(), had nobody said when and where. */
double check_danger_anywhere(const pn_check_session *session);

/** A dangerous kind needs no more thought when the other is asked for. */
bool check_ruled_out(const pn_check_session *session, size_t danger,
                     size_t kind);

/** Make posterior and contradictions anew from all answers, in an order that
 *  does not depend on the order in which they were given. */
void check_update(pn_check_session *session);

#endif
