#include "check_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Own judgement. Season and place only lean: a kind out of its month or its
 * wood keeps this share of its odds, and a harmful one never less than the
 * last. */
static const double OUT_OF_SEASON = 0.25;
static const double OTHER_HABITAT = 0.4;
static const double OTHER_HOST = 0.5;
static const double DANGER_KEEPS = 0.3;
/* Features of one organ tell the same thing again: two of them count 1.33,
 * three 1.5. */
static const double SAME_ORGAN = 0.5;
/* A probable answer is taken for a guess in three cases of ten. */
static const double GUESSED = 0.3;
/* e to this power below the likeliest adds nothing to a double near 1. */
static const double NOTHING = -37.0;

/* ---- life --------------------------------------------------------------- */

static bool make_room(pn_check_session *session) {
    const pn_check *check = session->check;
    const pn_alloc *alloc = &check->alloc;
    size_t features = check->guide->feature_count;
    size_t sheets = check->guide->sheet_count;
    size_t count = check->hypothesis_count + 1;
    session->answers =
        pn_alloc_array(alloc, NULL, features, sizeof *session->answers);
    session->slot = pn_alloc_zeroed(alloc, features, sizeof *session->slot);
    session->start = pn_alloc_array(alloc, NULL, count, sizeof *session->start);
    session->posterior =
        pn_alloc_array(alloc, NULL, count, sizeof *session->posterior);
    session->contradicted = pn_alloc_zeroed(alloc, sheets, 1);
    session->organ_hit = pn_alloc_zeroed(alloc, sheets, 1);
    session->active =
        pn_alloc_array(alloc, NULL, 2 * count, sizeof *session->active);
    session->mass =
        pn_alloc_array(alloc, NULL, 2 * count, sizeof *session->mass);
    return session->answers != NULL && session->slot != NULL &&
           session->start != NULL && session->posterior != NULL &&
           session->contradicted != NULL && session->organ_hit != NULL &&
           session->active != NULL && session->mass != NULL;
}

void pn_check_session_free(pn_check_session *session) {
    if (session == NULL) {
        return;
    }
    const pn_alloc *alloc = &session->check->alloc;
    pn_alloc_free(alloc, session->answers);
    pn_alloc_free(alloc, session->slot);
    pn_alloc_free(alloc, session->start);
    pn_alloc_free(alloc, session->posterior);
    pn_alloc_free(alloc, session->contradicted);
    pn_alloc_free(alloc, session->organ_hit);
    pn_alloc_free(alloc, session->active);
    pn_alloc_free(alloc, session->mass);
    pn_alloc_free(alloc, session);
}

/* ---- the posterior ---------------------------------------------------------
 */

static bool named_in(const pn_guide_names *names, const char *word) {
    for (size_t i = 0; i < names->count; i++) {
        if (strcmp(names->at[i], word) == 0) {
            return true;
        }
    }
    return false;
}

static double context_factor(const pn_check_context *context,
                             const pn_sheet *sheet) {
    double factor = 1.0;
    if (context->month > 0 && !pn_sheet_in_season(sheet, context->month)) {
        factor *= OUT_OF_SEASON;
    }
    if (context->habitat != NULL && sheet->habitats.count > 0 &&
        !named_in(&sheet->habitats, context->habitat)) {
        factor *= OTHER_HABITAT;
    }
    if (context->host != NULL && sheet->hosts.count > 0 &&
        !named_in(&sheet->hosts, context->host)) {
        factor *= OTHER_HOST;
    }
    return pn_guide_is_danger(sheet->status) ? fmax(factor, DANGER_KEEPS)
                                             : factor;
}

static void start_from_context(pn_check_session *session) {
    const pn_check *check = session->check;
    for (size_t k = 0; k < check->guide->sheet_count; k++) {
        double lean =
            log(context_factor(&session->context, &check->guide->sheets[k]));
        for (size_t stage = 0; stage < PN_GUIDE_STAGE_COUNT; stage++) {
            size_t h = check_hypothesis(k, stage);
            session->start[h] = check->log_prior[h] + lean;
        }
    }
    session->start[check->hypothesis_count] =
        check->log_prior[check->hypothesis_count];
}

pn_status pn_check_session_new(const pn_check *check,
                               const pn_check_context *context,
                               pn_check_session **out, pn_error *err) {
    pn_check_session *session =
        pn_alloc_zeroed(&check->alloc, 1, sizeof *session);
    if (session == NULL) {
        return pn_fail(err, PN_ENOMEM, "out of memory");
    }
    session->check = check;
    session->context = *context;
    if (!make_room(session)) {
        pn_check_session_free(session);
        return pn_fail(err, PN_ENOMEM, "out of memory");
    }
    start_from_context(session);
    check_update(session);
    *out = session;
    return PN_OK;
}

const pn_answer *check_answer_of(const pn_check_session *session,
                                 size_t feature) {
    size_t slot = session->slot[feature];
    return slot == 0 ? NULL : &session->answers[slot - 1];
}

/* What a single answer counts when so many of its organ are known. */
static double organ_weight(const pn_check_session *session, size_t feature) {
    const pn_feature *features = session->check->guide->features;
    int same = 0;
    for (size_t i = 0; i < session->answer_count; i++) {
        const pn_answer *a = &session->answers[i];
        same += a->certainty != PN_UNSURE &&
                features[a->feature].organ == features[feature].organ;
    }
    return 1.0 / (1.0 + SAME_ORGAN * (double)(same - 1));
}

static void add_probable(pn_check_session *session, const pn_answer *answer,
                         double weight) {
    const pn_check *check = session->check;
    const float *column =
        check_probs(check, answer->feature, 0) + check_row(check, answer);
    double guess = GUESSED * check_base(check, answer);
    for (size_t h = 0; h < check->hypothesis_count; h++) {
        double p = (double)column[h * check->profile_len];
        session->posterior[h] += weight * log((1.0 - GUESSED) * p + guess);
    }
}

static void add_answer(pn_check_session *session, const pn_answer *answer) {
    const pn_check *check = session->check;
    double weight = organ_weight(session, answer->feature);
    double *posterior = session->posterior;
    size_t count = check->hypothesis_count;
    if (answer->certainty == PN_PROBABLE) {
        add_probable(session, answer, weight);
    } else {
        const float *row = check->tables[answer->feature].log_prob +
                           check_row(check, answer) * count;
        for (size_t h = 0; h < count; h++) {
            posterior[h] += weight * (double)row[h];
        }
    }
    posterior[count] += weight * log(check_base(check, answer));
}

static void normalise(pn_check_session *session) {
    size_t count = session->check->hypothesis_count + 1;
    double *p = session->posterior;
    double most = p[0];
    double sum = 0.0;
    for (size_t h = 1; h < count; h++) {
        most = p[h] > most ? p[h] : most;
    }
    for (size_t h = 0; h < count; h++) {
        double below = p[h] - most;
        p[h] = below > NOTHING ? exp(below) : 0.0;
        sum += p[h];
    }
    double scale = 1.0 / sum;
    for (size_t h = 0; h < count; h++) {
        p[h] *= scale;
    }
}

void check_update(pn_check_session *session) {
    const pn_check *check = session->check;
    memcpy(session->posterior, session->start,
           (check->hypothesis_count + 1) * sizeof *session->posterior);
    for (size_t f = 0; f < check->guide->feature_count; f++) {
        const pn_answer *answer = check_answer_of(session, f);
        if (answer != NULL && answer->certainty != PN_UNSURE) {
            add_answer(session, answer);
        }
    }
    normalise(session);
    check_count_contradictions(session);
}

/* ---- answers
 * ------------------------------------------------------------------ */

static pn_status check_the_answer(const pn_check *check,
                                  const pn_answer *answer, pn_error *err) {
    if (answer->feature >= check->guide->feature_count) {
        return pn_fail(err, PN_EDOMAIN, "there is no such feature");
    }
    if (answer->certainty != PN_CERTAIN && answer->certainty != PN_PROBABLE &&
        answer->certainty != PN_UNSURE) {
        return pn_fail(err, PN_EDOMAIN, "there is no such certainty");
    }
    const pn_feature *f = &check->guide->features[answer->feature];
    if (answer->certainty == PN_UNSURE) {
        return PN_OK;
    }
    if (f->is_range) {
        return answer->value > 0.0 && answer->value < 1e6
                   ? PN_OK
                   : pn_fail(err, PN_EDOMAIN,
                             "%s: a measurement above 0, in %s", f->id,
                             f->unit);
    }
    return answer->state < f->state_count
               ? PN_OK
               : pn_fail(err, PN_EDOMAIN, "%s has no such state", f->id);
}

static void forget(pn_check_session *session, size_t feature) {
    size_t slot = session->slot[feature];
    if (slot == 0) {
        return;
    }
    session->slot[feature] = 0;
    for (size_t i = slot; i < session->answer_count; i++) {
        session->answers[i - 1] = session->answers[i];
        session->slot[session->answers[i].feature]--;
    }
    session->answer_count--;
}

pn_status pn_check_answer_all(pn_check_session *session,
                              const pn_answer *answers, size_t count,
                              pn_error *err) {
    for (size_t i = 0; i < count; i++) {
        pn_status status = check_the_answer(session->check, &answers[i], err);
        if (status != PN_OK) {
            return status;
        }
    }
    for (size_t i = 0; i < count; i++) {
        forget(session, answers[i].feature);
        session->answers[session->answer_count++] = answers[i];
        session->slot[answers[i].feature] = session->answer_count;
    }
    check_update(session);
    return PN_OK;
}

pn_status pn_check_answer(pn_check_session *session, const pn_answer *answer,
                          pn_error *err) {
    return pn_check_answer_all(session, answer, 1, err);
}

bool pn_check_undo(pn_check_session *session) {
    if (session->answer_count == 0) {
        return false;
    }
    forget(session, session->answers[session->answer_count - 1].feature);
    check_update(session);
    return true;
}

const pn_answer *pn_check_answers(const pn_check_session *session,
                                  size_t *count) {
    *count = session->answer_count;
    return session->answers;
}

static pn_status unknown_state(const pn_feature *f, pn_text word,
                               pn_error *err) {
    char known[380];
    pn_str str = pn_str_in(known, sizeof known);
    for (size_t s = 0; s < f->state_count; s++) {
        pn_str_addf(&str, "%s%s", s > 0 ? ", " : "", f->states[s]);
    }
    return pn_fail(err, PN_EPARSE, "%s is not '%.*s'; it is one of: %s", f->id,
                   (int)word.len, word.at, known);
}

pn_status pn_check_answer_parse(const pn_check *check, pn_text text,
                                pn_answer *out, pn_error *err) {
    pn_text value = {NULL, 0};
    pn_text name = pn_text_trim(pn_text_cut(text, '=', &value));
    value = pn_text_trim(value);
    pn_answer answer = {.feature = pn_guide_feature(check->guide, name)};
    if (answer.feature == PN_GUIDE_NONE || value.len == 0) {
        return pn_fail(err, PN_EPARSE,
                       "'%.*s' is not an observation; write feature=state, as "
                       "ring=none ('pannage guide features' lists them)",
                       (int)text.len, text.len > 0 ? text.at : "");
    }
    const pn_feature *f = &check->guide->features[answer.feature];
    if (value.at[value.len - 1] == '?') {
        answer.certainty = PN_PROBABLE;
        value.len--;
    }
    if (pn_text_equal_nocase(value, pn_text_of("unsure"))) {
        answer.certainty = PN_UNSURE;
    } else if (f->is_range) {
        if (!pn_text_to_double(value, &answer.value) ||
            !(answer.value > 0.0 && answer.value < 1e6)) {
            return pn_fail(err, PN_EPARSE,
                           "%s is a measurement in %s, not '%.*s'", f->id,
                           f->unit, (int)value.len, value.at);
        }
    } else {
        answer.state = pn_guide_state(f, value);
        if (answer.state == PN_GUIDE_NONE) {
            return unknown_state(f, value, err);
        }
    }
    *out = answer;
    return PN_OK;
}

/* ---- where it stands
 * ------------------------------------------------------------- */

static double of_sheet(const pn_check_session *session, size_t sheet) {
    double sum = 0.0;
    for (size_t stage = 0; stage < PN_GUIDE_STAGE_COUNT; stage++) {
        sum += session->posterior[check_hypothesis(sheet, stage)];
    }
    return sum;
}

static int likelier(const void *a, const void *b) {
    const pn_suspect *x = a;
    const pn_suspect *y = b;
    if (x->posterior > y->posterior || x->posterior < y->posterior) {
        return x->posterior > y->posterior ? -1 : 1;
    }
    return (x->sheet > y->sheet) - (x->sheet < y->sheet);
}

size_t pn_check_suspects(const pn_check_session *session, pn_suspect *out) {
    const pn_check *check = session->check;
    size_t count = check->guide->sheet_count;
    for (size_t k = 0; k < count; k++) {
        out[k] = (pn_suspect){.sheet = k,
                              .posterior = of_sheet(session, k),
                              .contradicted = session->contradicted[k]};
    }
    out[count] =
        (pn_suspect){.sheet = PN_GUIDE_NONE,
                     .posterior = session->posterior[check->hypothesis_count]};
    qsort(out, count + 1, sizeof *out, likelier);
    return count + 1;
}

double pn_check_danger(const pn_check_session *session) {
    const pn_check *check = session->check;
    double danger = session->posterior[check->hypothesis_count];
    for (size_t k = 0; k < check->guide->sheet_count; k++) {
        if (pn_guide_is_danger(check->guide->sheets[k].status)) {
            danger += of_sheet(session, k);
        }
    }
    return danger;
}

double check_danger_anywhere(const pn_check_session *session) {
    const pn_check *check = session->check;
    double danger = session->posterior[check->hypothesis_count];
    double whole = danger;
    for (size_t h = 0; h < check->hypothesis_count; h++) {
        double lean = exp(check->log_prior[h] - session->start[h]);
        double mass = session->posterior[h] * lean;
        whole += mass;
        danger += check->danger[h] != 0 ? mass : 0.0;
    }
    return danger / whole;
}

size_t pn_check_compare(const pn_check_session *session, size_t sheet_a,
                        size_t sheet_b, pn_check_evidence *out, size_t max) {
    const pn_check *check = session->check;
    size_t count = 0;
    for (size_t i = 0; i < session->answer_count && count < max; i++) {
        const pn_answer *a = &session->answers[i];
        if (a->certainty == PN_UNSURE) {
            continue;
        }
        out[count++] = (pn_check_evidence){
            .feature = a->feature,
            .log_ratio = log(check_best_likelihood(check, sheet_a, a) /
                             check_best_likelihood(check, sheet_b, a)),
            .contradicts_a = check_contradicts(check, sheet_a, a),
            .contradicts_b = check_contradicts(check, sheet_b, a),
        };
    }
    return count;
}
