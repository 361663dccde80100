/* Contradictions: what rules a kind out. Counted by organ, because features of
 * one organ are not independent, and by certain answers only. */
#include "check_internal.h"

#include <math.h>
#include <string.h>

/* A certain answer that fewer than so many specimens of a kind would give, at
 * any stage and with every slip of the observer counted in, contradicts it. */
static const double HARDLY_EVER = 0.03;
/* The same for a measurement: normal in the logarithm, one tail of 3 %. */
static const double TAIL_SD = 1.8807936081512509;
static const double SD_OF_RANGE = 2.0 * 1.959963984540054;
/* low 0: a young one may be a fifth of the least grown one. */
static const double YOUNG_SIZE = 0.2;

static check_limits limits_of(const pn_feature *feature,
                              const pn_trait *trait) {
    double low = log(trait->low);
    double high = log(trait->high);
    double young =
        trait->young_low > 0.0 ? log(trait->young_low) : low + log(YOUNG_SIZE);
    double spread = (high - low) / SD_OF_RANGE;
    double reach = TAIL_SD * sqrt(spread * spread +
                                  feature->error_frac * feature->error_frac);
    double middle = 0.5 * (low + high);
    return (check_limits){.young = fmin(young, low) - low + middle - reach,
                          .grown = middle - reach,
                          .high = middle + reach};
}

static void fill_limits(const pn_check *check, size_t feature) {
    const pn_guide *guide = check->guide;
    for (size_t k = 0; k < guide->sheet_count; k++) {
        const pn_sheet *sheet = &guide->sheets[k];
        const pn_trait *trait = pn_sheet_trait(sheet, feature);
        bool applies = pn_sheet_applies(guide, sheet, feature);
        check_limits silent = {.young = -INFINITY,
                               .grown = -INFINITY,
                               .high = applies ? INFINITY : -INFINITY};
        check->tables[feature].limits[k] =
            trait == NULL ? silent
                          : limits_of(&guide->features[feature], trait);
    }
}

static bool hardly_ever(const pn_check *check, size_t feature, size_t sheet,
                        size_t state) {
    pn_answer answer = {.feature = feature, .state = state};
    return check_best_likelihood(check, sheet, &answer) <= HARDLY_EVER;
}

static void fill_against(const pn_check *check, size_t feature) {
    const pn_guide *guide = check->guide;
    check_table *table = &check->tables[feature];
    for (size_t k = 0; k < guide->sheet_count; k++) {
        const pn_sheet *sheet = &guide->sheets[k];
        bool silent = pn_sheet_trait(sheet, feature) == NULL;
        bool applies = pn_sheet_applies(guide, sheet, feature);
        for (size_t a = 0; a < table->answer_count; a++) {
            table->against[a * guide->sheet_count + k] =
                silent ? !applies : hardly_ever(check, feature, k, a);
        }
    }
}

void check_fill_contradictions(const pn_check *check, size_t feature) {
    if (check->guide->features[feature].is_range) {
        fill_limits(check, feature);
    } else {
        fill_against(check, feature);
    }
}

bool check_contradicts(const pn_check *check, size_t sheet,
                       const pn_answer *answer) {
    const check_table *table = &check->tables[answer->feature];
    if (answer->certainty != PN_CERTAIN) {
        return false;
    }
    if (check->guide->features[answer->feature].is_range) {
        double x = log(answer->value);
        return x < table->limits[sheet].young || x > table->limits[sheet].high;
    }
    return table->against[answer->state * check->guide->sheet_count + sheet] !=
           0;
}

static void hit_by(pn_check_session *session, const pn_answer *answer) {
    size_t count = session->check->guide->sheet_count;
    const check_table *table = &session->check->tables[answer->feature];
    if (session->check->guide->features[answer->feature].is_range) {
        double x = log(answer->value);
        for (size_t k = 0; k < count; k++) {
            session->organ_hit[k] |= (uint8_t)(x < table->limits[k].young ||
                                               x > table->limits[k].high);
        }
        return;
    }
    const uint8_t *row = table->against + answer->state * count;
    for (size_t k = 0; k < count; k++) {
        session->organ_hit[k] |= row[k];
    }
}

static void close_organ(pn_check_session *session) {
    size_t count = session->check->guide->sheet_count;
    for (size_t k = 0; k < count; k++) {
        session->contradicted[k] =
            (uint8_t)(session->contradicted[k] + session->organ_hit[k]);
    }
    memset(session->organ_hit, 0, count);
}

void check_count_contradictions(pn_check_session *session) {
    const pn_check *check = session->check;
    const pn_guide *guide = check->guide;
    bool open = false;
    memset(session->contradicted, 0, guide->sheet_count);
    memset(session->organ_hit, 0, guide->sheet_count);
    for (size_t i = 0; i < guide->feature_count; i++) {
        size_t feature = check->by_organ[i];
        const pn_answer *answer = check_answer_of(session, feature);
        if (answer != NULL && answer->certainty == PN_CERTAIN) {
            hit_by(session, answer);
            open = true;
        }
        bool last = i + 1 == guide->feature_count ||
                    guide->features[check->by_organ[i + 1]].organ !=
                        guide->features[feature].organ;
        if (last && open) {
            close_organ(session);
            open = false;
        }
    }
}
