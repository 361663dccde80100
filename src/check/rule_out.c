/* When is a dangerous kind ruled out in favour of another? When two organs
 * contradict it. For one that neither sheet names as a look-alike of the other,
 * also when one organ does, and the odds against it stay long even if the organ
 * that speaks loudest was misread altogether. */
#include "check_internal.h"

#include <math.h>

enum { CONTRADICTIONS = 2, CONTRADICTED_ONCE = 1 };
/* Own judgement: such odds are what a second contradiction is worth, a slip
 * in fifty against an answer that half of the specimens give. */
static const double LONG_ODDS = 25.0;

static size_t likeliest_stage(const pn_check_session *session, size_t sheet) {
    const double *posterior = session->posterior + check_hypothesis(sheet, 0);
    size_t best = 0;
    for (size_t stage = 1; stage < PN_GUIDE_STAGE_COUNT; stage++) {
        best = posterior[stage] > posterior[best] ? stage : best;
    }
    return check_hypothesis(sheet, best);
}

/* ln P(answer | danger) / P(answer | kind). */
static double log_ratio(const pn_check *check, const pn_answer *answer,
                        size_t danger, size_t kind) {
    const float *row = check->tables[answer->feature].log_prob +
                       check_row(check, answer) * check->hypothesis_count;
    return (double)row[danger] - (double)row[kind];
}

/* Total of the log ratios without the organ that speaks most against the
 * danger. Answers of one organ are averaged, not summed: they tell the same
 * thing again. Only certain answers count. */
static double log_odds_but_one(const pn_check_session *session, size_t danger,
                               size_t kind) {
    const pn_check *check = session->check;
    const pn_guide *guide = check->guide;
    double total = 0.0;
    double loudest = 0.0;
    double organ = 0.0;
    int in_organ = 0;
    for (size_t i = 0; i < guide->feature_count; i++) {
        size_t feature = check->by_organ[i];
        const pn_answer *answer = check_answer_of(session, feature);
        if (answer != NULL && answer->certainty == PN_CERTAIN) {
            organ += log_ratio(check, answer, danger, kind);
            in_organ++;
        }
        bool last = i + 1 == guide->feature_count ||
                    guide->features[check->by_organ[i + 1]].organ !=
                        guide->features[feature].organ;
        if (last && in_organ > 0) {
            organ /= (double)in_organ;
            total += organ;
            loudest = fmin(loudest, organ);
            organ = 0.0;
            in_organ = 0;
        }
    }
    return total - loudest;
}

static bool lists(const pn_sheet *sheet, size_t other) {
    for (size_t i = 0; i < sheet->lookalike_count; i++) {
        if (sheet->lookalikes[i].sheet == other) {
            return true;
        }
    }
    return false;
}

static bool are_lookalikes(const pn_guide *guide, size_t a, size_t b) {
    return lists(&guide->sheets[a], b) || lists(&guide->sheets[b], a);
}

/* Against the danger at every stage: a posterior that has sunk to 0 at all of
 * them no longer tells which fits best. */
static bool has_long_odds(const pn_check_session *session, size_t danger,
                          size_t kind) {
    size_t against = likeliest_stage(session, kind);
    bool is_long = true;
    for (size_t stage = 0; is_long && stage < PN_GUIDE_STAGE_COUNT; stage++) {
        is_long = log_odds_but_one(session, check_hypothesis(danger, stage),
                                   against) <= -log(LONG_ODDS);
    }
    return is_long;
}

/* Organs whose certain answers contradict what the sheet says. "Such a kind has
 * no gills" is left out: that is its form told again, and who takes its form
 * for another answers all that follows from it. */
static int organs_against(const pn_check_session *session, size_t danger) {
    const pn_check *check = session->check;
    const pn_guide *guide = check->guide;
    const pn_sheet *sheet = &guide->sheets[danger];
    size_t last = PN_GUIDE_NONE;
    int count = 0;
    for (size_t i = 0; i < guide->feature_count; i++) {
        size_t feature = check->by_organ[i];
        const pn_answer *answer = check_answer_of(session, feature);
        if (answer != NULL && guide->features[feature].organ != last &&
            pn_sheet_trait(sheet, feature) != NULL &&
            check_contradicts(check, danger, answer)) {
            last = guide->features[feature].organ;
            count++;
        }
    }
    return count;
}

bool check_ruled_out(const pn_check_session *session, size_t danger,
                     size_t kind) {
    if (are_lookalikes(session->check->guide, danger, kind)) {
        return organs_against(session, danger) >= CONTRADICTIONS;
    }
    int count = session->contradicted[danger];
    return count >= CONTRADICTIONS ||
           (count == CONTRADICTED_ONCE && has_long_odds(session, danger, kind));
}
