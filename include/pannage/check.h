/** @file check.h
 * What is it, and what dangerous thing could it be instead?
 *
 * Bayes over every kind of the guide at every stage, and over "something that
 * is not in the guide". Answers may be wrong: each is weighed by how easily
 * people slip. Missing answers are never evidence. The gate is a rule on top:
 * it opens only when everything that must be seen was seen and agrees, every
 * dangerous kind is contradicted in two organs (or in one, and the odds against
 * it stay long were any one organ misread), and little danger is left. An
 * open gate means "no listed check fails". It never means safe.
 */
#ifndef PN_CHECK_H
#define PN_CHECK_H

#include "pannage/base.h"
#include "pannage/guide.h"

/* ---- the engine --------------------------------------------------------- */

typedef struct pn_check pn_check; /* tables made from a guide; read-only */

/** @return PN_OK, PN_EDOMAIN (pn_guide_check()), PN_ENOMEM. The guide must
 *  outlive it; the caller frees with pn_check_free() */
PN_MUST_CHECK pn_status pn_check_new(const pn_alloc *alloc,
                                     const pn_guide *guide, pn_check **out,
                                     pn_error *err);
/** NULL is fine. */
void pn_check_free(pn_check *check);
const pn_guide *pn_check_guide(const pn_check *check);

/* ---- a session ----------------------------------------------------------- */

typedef enum pn_certainty {
    PN_CERTAIN,
    PN_PROBABLE, /**< counts for less, and never towards the gate */
    PN_UNSURE,   /**< asked and not known: no evidence, not asked again */
} pn_certainty;

typedef struct pn_answer {
    size_t feature;
    size_t state; /**< of a feature with states */
    double value; /**< of a range */
    pn_certainty certainty;
} pn_answer;

/** Where and when, and who asks. Season and place shift the odds a little;
 *  they can never rule out anything harmful. */
typedef struct pn_check_context {
    int month;           /**< 1 .. 12; 0: not known */
    const char *habitat; /**< a word of the guide; NULL: not known */
    const char *host;    /**< likewise */
    bool beginner;       /**< no kind marked expert-only passes */
} pn_check_context;

#define PN_CHECK_CONTEXT_INIT                                                  \
    { .beginner = true }

typedef struct pn_check_session pn_check_session;

PN_MUST_CHECK pn_status pn_check_session_new(const pn_check *check,
                                             const pn_check_context *context,
                                             pn_check_session **out,
                                             pn_error *err);
/** NULL is fine. */
void pn_check_session_free(pn_check_session *session);

/** Take an answer in; a feature answered before gets the new answer.
 *  @return PN_OK, PN_EDOMAIN (no such feature or state, a value not above 0),
 *          PN_ENOMEM */
PN_MUST_CHECK pn_status pn_check_answer(pn_check_session *session,
                                        const pn_answer *answer, pn_error *err);
/** All of them or, when one is at fault, none: posterior and contradictions
 *  are made anew once only.
 *  @return as pn_check_answer() */
PN_MUST_CHECK pn_status pn_check_answer_all(pn_check_session *session,
                                            const pn_answer *answers,
                                            size_t count, pn_error *err);
/** "cap_colour=olive", "cap_width=7.5", "ring=unsure", "smell=meal?" (the
 *  question mark: probable).
 *  @return PN_OK, PN_EPARSE naming what is known */
PN_MUST_CHECK pn_status pn_check_answer_parse(const pn_check *check,
                                              pn_text text, pn_answer *out,
                                              pn_error *err);
/** Take the latest answer back; false when there is none. */
bool pn_check_undo(pn_check_session *session);
/** In the order given; borrowed until the next change. */
const pn_answer *pn_check_answers(const pn_check_session *session,
                                  size_t *count);

/* ---- where it stands ------------------------------------------------------
 */

typedef struct pn_suspect {
    size_t sheet;     /**< PN_GUIDE_NONE: something not in the guide */
    double posterior; /**< 0 .. 1 */
    int contradicted; /**< in so many organs, by certain answers */
} pn_suspect;

/** Every kind and the unlisted, likeliest first.
 *  @param out  sheet_count + 1 suspects; returns how many were written */
size_t pn_check_suspects(const pn_check_session *session, pn_suspect *out);
/** If it is that kind, how young or old it seems: adds up to 1. */
void pn_check_stages(const pn_check_session *session, size_t sheet,
                     double out[PN_GUIDE_STAGE_COUNT]);
/** Posterior of everything harmful and of what is not in the guide. */
double pn_check_danger(const pn_check_session *session);

/** What speaks for one kind against another. */
typedef struct pn_check_evidence {
    size_t feature;
    double log_ratio; /**< ln P(answer | a) / P(answer | b) */
    bool contradicts_a, contradicts_b;
} pn_check_evidence;

/** One for every answer that is not unsure; returns how many. */
size_t pn_check_compare(const pn_check_session *session, size_t sheet_a,
                        size_t sheet_b, pn_check_evidence *out, size_t max);

typedef struct pn_next {
    size_t feature;
    double danger_after; /**< expected danger mass once it is answered */
    double worth;        /**< expected fall of danger per effort */
} pn_next;

/** The observations that would remove most danger for their effort, best
 *  first; those that do not apply, or were asked, are left out.
 *  @param focus  PN_GUIDE_NONE, or the kind in mind: its open must-see
 *                features, and what has to be known before them, weigh twenty
 *                times
 *  @return how many were written, at most max */
size_t pn_check_next(const pn_check_session *session, size_t focus,
                     pn_next *out, size_t max);

/* ---- the gate --------------------------------------------------------------
 */

typedef enum pn_gate_reason {
    PN_GATE_NOT_GATHERED,  /**< the kind is not one to gather */
    PN_GATE_EXPERT_ONLY,   /**< and a beginner asks */
    PN_GATE_INSEPARABLE,   /**< a danger that nothing in the field parts */
    PN_GATE_DISAGREES,     /**< an answer contradicts the kind */
    PN_GATE_MUST_SEE,      /**< a must-see feature is not (surely) seen */
    PN_GATE_NOT_TYPICAL,   /**< agrees, but oddly in too many things at once */
    PN_GATE_NOT_RULED_OUT, /**< a dangerous kind could still be it */
    PN_GATE_DANGER_LEFT,   /**< danger mass above the limit */
} pn_gate_reason;

const char *pn_gate_reason_name(pn_gate_reason reason);

typedef struct pn_gate_open {
    pn_gate_reason reason;
    size_t feature; /**< of MUST_SEE and DISAGREES, else PN_GUIDE_NONE */
    size_t sheet;   /**< of NOT_RULED_OUT and INSEPARABLE, else PN_GUIDE_NONE */
} pn_gate_open;

/** What is still open before the kind may be called "consistent, no listed
 *  check fails", weightiest first.
 *  @param out   at most max of them
 *  @return how many there are, also beyond max; 0: the gate is open */
size_t pn_check_gate(const pn_check_session *session, size_t sheet,
                     pn_gate_open *out, size_t max);

/* ---- spores ----------------------------------------------------------------
 */

typedef struct pn_spores {
    size_t count;
    double mean, sd, low, high; /**< low, high: 5th and 95th percentile */
    double least, most;
    double mean_low, mean_high; /**< 95 % interval of the mean */
} pn_spores;

/** Statistics of one dimension, or of Q = length / width.
 *  @param values  sorted in place; count >= 2 and all above 0, else all NaN
 *  Source: percentiles of Hyndman & Fan type 7; interval by Student's t */
pn_spores pn_spores_of(double *values, size_t count);

/** Sizes of spores; the caller's arrays of `room` each. */
typedef struct pn_spore_sizes {
    double *length_um;
    double *width_um; /**< all 0 without has_width */
    size_t room;
    size_t count;
    bool has_width;
} pn_spore_sizes;

/** One spore a line: "8.1 x 5.2", "8.1,5.2" or "8.1"; '#' begins a remark.
 *  @return PN_OK, PN_EPARSE naming the line, PN_EDOMAIN (fewer than two, more
 *          than there is room for) */
PN_MUST_CHECK pn_status pn_spores_read(pn_text text, pn_spore_sizes *out,
                                       pn_error *err);

/** "(4.8-) 5.1 - 6.2 (-6.9)": extremes, 5th to 95th percentile. Lengths and
 *  widths have one decimal, Q has two.
 *  Source: [Tulloss2005] notation */
void pn_spores_notation(const pn_spores *spores, int decimals, pn_str *out);

/* ---- information, as in textbooks ------------------------------------------
 */

/** Entropy of counts, bits; NaN when all are 0. */
double pn_entropy_bits(const double *counts, size_t count);
/** H(class) - H(class | attribute), bits. counts[value * classes + class]. */
double pn_information_gain_bits(const double *counts, size_t values,
                                size_t classes);

#endif
