/* The tables: what each kind at each stage would answer to each question. */
#include "check_internal.h"

#include <math.h>
#include <string.h>

/* Own judgement, stated: how often specimens are young, grown, old. */
static const double stage_prior[PN_GUIDE_STAGE_COUNT] = {0.25, 0.6, 0.15};
/* Prior of "something that is not in the guide": high on purpose. */
static const double UNLISTED_PRIOR = 0.10;
/* Nothing a person reports is impossible. */
static const double FLOOR = 0.001;
/* A feature that the kind cannot have, yet somebody saw it. */
static const double INAPPLICABLE = 0.002;
/* Of the unlisted, how much is spread evenly rather than as the guide's. */
static const double UNLISTED_EVEN = 0.35;

/* ---- measurements -----------------------------------------------------------
 */

/* Nineteen of twenty lie in low .. high: +-1.96 of a normal in the logarithm,
 * widened by the error of measuring. Young ones are smaller, so the young
 * curve reaches down to a fifth. */
typedef struct log_range {
    double mean, sd;
} log_range;

static log_range range_of(const pn_feature *feature, const pn_trait *trait,
                          size_t stage) {
    bool young = stage == PN_GUIDE_YOUNG;
    bool staged = !(trait->young_low >= trait->low);
    double least = trait->young_low > 0.0 ? trait->young_low : 0.2 * trait->low;
    double low = young ? fmin(least, trait->low) : trait->low;
    double high = young && staged ? 0.8 * trait->high : trait->high;
    double spread = (log(high) - log(low)) / (2.0 * 1.959963984540054);
    double error = feature->error_frac;
    return (log_range){.mean = 0.5 * (log(low) + log(high)),
                       .sd = sqrt(spread * spread + error * error)};
}

static double bin_prob(log_range range, const check_table *table, size_t bin) {
    double below =
        bin == 0
            ? 0.0
            : pn_normal_cdf((table->edges[bin - 1] - range.mean) / range.sd);
    double above =
        bin + 1 == CHECK_BINS
            ? 1.0
            : pn_normal_cdf((table->edges[bin] - range.mean) / range.sd);
    return fmax(above - below, FLOOR);
}

static size_t bin_of(const check_table *table, double value) {
    double x = log(value);
    size_t bin = 0;
    while (bin + 1 < CHECK_BINS && x >= table->edges[bin]) {
        bin++;
    }
    return bin;
}

static void place_edges(const pn_guide *guide, size_t feature,
                        check_table *table) {
    double low = INFINITY;
    double high = 0.0;
    for (size_t k = 0; k < guide->sheet_count; k++) {
        const pn_trait *trait = pn_sheet_trait(&guide->sheets[k], feature);
        if (trait != NULL) {
            low = fmin(low, trait->low);
            high = fmax(high, trait->high);
        }
    }
    low = high > 0.0 ? log(low) : 0.0;
    high = high > 0.0 ? log(high) : 1.0;
    for (size_t b = 0; b + 1 < CHECK_BINS; b++) {
        table->edges[b] =
            low + (high - low) * (double)(b + 1) / (double)CHECK_BINS;
    }
}

/* ---- one feature
 * ---------------------------------------------------------------- */

static double state_prob(const pn_feature *feature, const pn_trait *trait,
                         size_t stage, size_t answer) {
    double sum = 0.0;
    for (size_t s = 0; s < feature->state_count; s++) {
        sum += trait->share[stage * PN_GUIDE_STATES_MAX + s] *
               feature->slip[s * PN_GUIDE_STATES_MAX + answer];
    }
    return fmax(sum, FLOOR);
}

/* Base rates: what kinds of the guide that have the feature would answer,
 * mixed with an even spread, because the unlisted may be anything. */
static void fill_base(const pn_check *check, size_t feature) {
    check_table *table = &check->tables[feature];
    const pn_guide *guide = check->guide;
    double even = 1.0 / (double)table->answer_count;
    for (size_t a = 0; a < table->answer_count; a++) {
        double sum = 0.0;
        double count = 0.0;
        for (size_t k = 0; k < guide->sheet_count; k++) {
            if (pn_sheet_trait(&guide->sheets[k], feature) != NULL) {
                size_t h = check_hypothesis(k, PN_GUIDE_MATURE);
                sum += (double)check_probs(check, feature, h)[a];
                count += 1.0;
            }
        }
        double seen = count > 0.0 ? sum / count : even;
        table->base[a] = UNLISTED_EVEN * even + (1.0 - UNLISTED_EVEN) * seen;
    }
}

static void fill_kind(const pn_check *check, size_t feature, size_t sheet) {
    check_table *table = &check->tables[feature];
    const pn_guide *guide = check->guide;
    const pn_feature *f = &guide->features[feature];
    const pn_trait *trait = pn_sheet_trait(&guide->sheets[sheet], feature);
    for (size_t stage = 0; trait != NULL && stage < PN_GUIDE_STAGE_COUNT;
         stage++) {
        size_t h = check_hypothesis(sheet, stage);
        for (size_t a = 0; a < table->answer_count; a++) {
            double p = f->is_range
                           ? bin_prob(range_of(f, trait, stage), table, a)
                           : state_prob(f, trait, stage, a);
            check_probs(check, feature, h)[a] = (float)p;
        }
    }
}

/* Kinds that say nothing get the base rates, so that silence is no evidence;
 * kinds to which the feature cannot apply get next to nothing. */
static void fill_silent(const pn_check *check, size_t feature, size_t sheet) {
    check_table *table = &check->tables[feature];
    const pn_guide *guide = check->guide;
    if (pn_sheet_trait(&guide->sheets[sheet], feature) != NULL) {
        return;
    }
    bool applies = pn_sheet_applies(guide, &guide->sheets[sheet], feature);
    for (size_t stage = 0; stage < PN_GUIDE_STAGE_COUNT; stage++) {
        size_t h = check_hypothesis(sheet, stage);
        for (size_t a = 0; a < table->answer_count; a++) {
            check_probs(check, feature, h)[a] =
                (float)(applies ? table->base[a] : INAPPLICABLE);
        }
    }
}

static void fill_logs(const pn_check *check, size_t feature) {
    check_table *table = &check->tables[feature];
    for (size_t a = 0; a < table->answer_count; a++) {
        for (size_t h = 0; h < check->hypothesis_count; h++) {
            table->log_prob[a * check->hypothesis_count + h] =
                logf(check_probs(check, feature, h)[a]);
        }
    }
}

static bool make_room(pn_check *check, size_t feature) {
    check_table *table = &check->tables[feature];
    const pn_alloc *alloc = &check->alloc;
    const pn_feature *f = &check->guide->features[feature];
    size_t sheets = check->guide->sheet_count;
    table->answer_count = f->is_range ? CHECK_BINS : f->state_count;
    table->stride = (table->answer_count + 7) / 8 * 8;
    table->offset = check->profile_len;
    check->profile_len += table->stride;
    table->log_prob =
        pn_alloc_array(alloc, NULL, check->hypothesis_count,
                       table->answer_count * sizeof *table->log_prob);
    if (f->is_range) {
        table->limits =
            pn_alloc_array(alloc, NULL, sheets, sizeof *table->limits);
    } else {
        table->against = pn_alloc_array(
            alloc, NULL, sheets, table->answer_count * sizeof *table->against);
    }
    return table->log_prob != NULL &&
           (f->is_range ? table->limits != NULL : table->against != NULL);
}

static void fill_table(const pn_check *check, size_t feature) {
    check_table *table = &check->tables[feature];
    if (check->guide->features[feature].is_range) {
        place_edges(check->guide, feature, table);
    }
    for (size_t k = 0; k < check->guide->sheet_count; k++) {
        fill_kind(check, feature, k);
    }
    fill_base(check, feature);
    for (size_t k = 0; k < check->guide->sheet_count; k++) {
        fill_silent(check, feature, k);
    }
    fill_logs(check, feature);
    check_fill_contradictions(check, feature);
}

/* ---- the whole ---------------------------------------------------------- */

/* By insertion: stable, and features are few. */
static void sort_by_organ(const pn_check *check) {
    const pn_feature *features = check->guide->features;
    for (size_t f = 0; f < check->guide->feature_count; f++) {
        size_t at = f;
        while (at > 0 &&
               features[check->by_organ[at - 1]].organ > features[f].organ) {
            check->by_organ[at] = check->by_organ[at - 1];
            at--;
        }
        check->by_organ[at] = f;
    }
}

static void fill_prior(const pn_check *check) {
    double each = (1.0 - UNLISTED_PRIOR) / (double)check->guide->sheet_count;
    for (size_t h = 0; h < check->hypothesis_count; h++) {
        check->log_prior[h] = log(each * stage_prior[h % PN_GUIDE_STAGE_COUNT]);
        check->danger[h] =
            pn_guide_is_danger(
                check->guide->sheets[h / PN_GUIDE_STAGE_COUNT].status)
                ? 1
                : 0;
    }
    check->log_prior[check->hypothesis_count] = log(UNLISTED_PRIOR);
}

static bool make_all_room(pn_check *check) {
    const pn_guide *guide = check->guide;
    const pn_alloc *alloc = &check->alloc;
    check->log_prior = pn_alloc_array(alloc, NULL, check->hypothesis_count + 1,
                                      sizeof *check->log_prior);
    check->danger = pn_alloc_zeroed(alloc, check->hypothesis_count, 1);
    check->by_organ = pn_alloc_array(alloc, NULL, guide->feature_count,
                                     sizeof *check->by_organ);
    check->tables =
        pn_alloc_zeroed(alloc, guide->feature_count, sizeof *check->tables);
    bool room = check->log_prior != NULL && check->danger != NULL &&
                check->by_organ != NULL && check->tables != NULL;
    for (size_t f = 0; room && f < guide->feature_count; f++) {
        room = make_room(check, f);
    }
    check->profiles =
        pn_alloc_zeroed(alloc, check->hypothesis_count,
                        check->profile_len * sizeof *check->profiles);
    return room && check->profiles != NULL;
}

pn_status pn_check_new(const pn_alloc *alloc, const pn_guide *guide,
                       pn_check **out, pn_error *err) {
    pn_status status = pn_guide_check(guide, err);
    if (status != PN_OK) {
        return status;
    }
    pn_check *check = pn_alloc_zeroed(alloc, 1, sizeof *check);
    if (check == NULL) {
        return pn_fail(err, PN_ENOMEM, "out of memory");
    }
    check->alloc = *alloc;
    check->guide = guide;
    check->hypothesis_count = guide->sheet_count * PN_GUIDE_STAGE_COUNT;
    if (!make_all_room(check)) {
        pn_check_free(check);
        return pn_fail(err, PN_ENOMEM, "out of memory: %zu kinds",
                       guide->sheet_count);
    }
    for (size_t f = 0; f < guide->feature_count; f++) {
        fill_table(check, f);
    }
    sort_by_organ(check);
    fill_prior(check);
    *out = check;
    return PN_OK;
}

void pn_check_free(pn_check *check) {
    if (check == NULL) {
        return;
    }
    pn_alloc alloc = check->alloc;
    for (size_t f = 0; check->tables != NULL && f < check->guide->feature_count;
         f++) {
        pn_alloc_free(&alloc, check->tables[f].log_prob);
        pn_alloc_free(&alloc, check->tables[f].against);
        pn_alloc_free(&alloc, check->tables[f].limits);
    }
    pn_alloc_free(&alloc, check->tables);
    pn_alloc_free(&alloc, check->by_organ);
    pn_alloc_free(&alloc, check->profiles);
    pn_alloc_free(&alloc, check->danger);
    pn_alloc_free(&alloc, check->log_prior);
    pn_alloc_free(&alloc, check);
}

const pn_guide *pn_check_guide(const pn_check *check) {
    return check->guide;
}

/* ---- one answer --------------------------------------------------------- */

size_t check_row(const pn_check *check, const pn_answer *answer) {
    return check->guide->features[answer->feature].is_range
               ? bin_of(&check->tables[answer->feature], answer->value)
               : answer->state;
}

double check_base(const pn_check *check, const pn_answer *answer) {
    return check->tables[answer->feature].base[check_row(check, answer)];
}

double check_likelihood(const pn_check *check, size_t sheet, size_t stage,
                        const pn_answer *answer) {
    size_t h = check_hypothesis(sheet, stage);
    return (double)check_probs(check, answer->feature,
                               h)[check_row(check, answer)];
}

double check_best_likelihood(const pn_check *check, size_t sheet,
                             const pn_answer *answer) {
    double best = 0.0;
    for (size_t stage = 0; stage < PN_GUIDE_STAGE_COUNT; stage++) {
        best = fmax(best, check_likelihood(check, sheet, stage, answer));
    }
    return best;
}
