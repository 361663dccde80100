/* The gate. It opens on evidence only: what was not seen, or not surely, or
 * could be the slip of a finger, leaves it shut. */
#include "check_internal.h"

#include <math.h>

static const double DANGER_LIMIT = 0.02;
/* A must-see answer agrees when its likelihood is at least this. */
static const double AGREES = 0.05;
/* How odd the answers may be taken together: the mean of ln(p / p best), and
 * how many may be rare by themselves. */
static const double ODD_MEAN = -1.0;
static const double RARE = 0.08;
enum { RARE_MAX = 1, RARE_EACH = 8 };

const char *pn_gate_reason_name(pn_gate_reason reason) {
    switch (reason) {
    case PN_GATE_NOT_GATHERED:
        return "not a kind to gather";
    case PN_GATE_EXPERT_ONLY:
        return "for experts only";
    case PN_GATE_INSEPARABLE:
        return "cannot be told apart";
    case PN_GATE_DISAGREES:
        return "disagrees";
    case PN_GATE_MUST_SEE:
        return "must be seen";
    case PN_GATE_NOT_TYPICAL:
        return "not typical";
    case PN_GATE_NOT_RULED_OUT:
        return "not ruled out";
    case PN_GATE_DANGER_LEFT:
        return "danger left";
    default:
        return "unknown";
    }
}

typedef struct gate {
    const pn_check_session *session;
    size_t sheet;
    pn_gate_open *out;
    size_t max;
    size_t count;
} gate;

static void shut(gate *g, pn_gate_reason reason, size_t feature, size_t sheet) {
    if (g->count < g->max) {
        g->out[g->count] = (pn_gate_open){
            .reason = reason, .feature = feature, .sheet = sheet};
    }
    g->count++;
}

/* A grown one's measure: size is what tells a parasol from a deadly small
 * cousin. */
static bool measures_up(const gate *g, const pn_answer *answer) {
    const check_limits *limits =
        &g->session->check->tables[answer->feature].limits[g->sheet];
    double x = log(answer->value);
    return x >= limits->grown && x <= limits->high;
}

/* At that stage, and not by the slip of an observer alone. */
static bool agrees_at(const gate *g, const pn_answer *answer, size_t stage) {
    const pn_check *check = g->session->check;
    if (check->guide->features[answer->feature].is_range) {
        return measures_up(g, answer);
    }
    const pn_trait *trait =
        pn_sheet_trait(&check->guide->sheets[g->sheet], answer->feature);
    return trait->share[stage * PN_GUIDE_STATES_MAX + answer->state] > 0.0 &&
           check_likelihood(check, g->sheet, stage, answer) >= AGREES;
}

/* The certain answer to a must-see feature; NULL when there is none. */
static const pn_answer *seen(const gate *g, size_t feature) {
    const pn_answer *answer = check_answer_of(g->session, feature);
    bool is_sure = answer != NULL && answer->certainty == PN_CERTAIN;
    return is_sure ? answer : NULL;
}

/* All must agree at one stage: a stem without its bands, as the young have, is
 * no excuse under an open cap. The stage at which fewest disagree. */
static size_t fitting_stage(const gate *g) {
    const pn_sheet *sheet = &g->session->check->guide->sheets[g->sheet];
    const double *posterior =
        g->session->posterior + check_hypothesis(g->sheet, 0);
    size_t best = 0;
    size_t fewest = SIZE_MAX;
    for (size_t stage = 0; stage < PN_GUIDE_STAGE_COUNT; stage++) {
        size_t count = 0;
        for (size_t i = 0; i < sheet->must_see_count; i++) {
            const pn_answer *answer = seen(g, sheet->must_see[i]);
            count += answer != NULL && !agrees_at(g, answer, stage);
        }
        if (count < fewest ||
            (count == fewest && posterior[stage] > posterior[best])) {
            best = stage;
            fewest = count;
        }
    }
    return best;
}

static void check_must_see(gate *g) {
    const pn_sheet *sheet = &g->session->check->guide->sheets[g->sheet];
    size_t stage = fitting_stage(g);
    for (size_t i = 0; i < sheet->must_see_count; i++) {
        const pn_answer *answer = seen(g, sheet->must_see[i]);
        if (answer == NULL) {
            shut(g, PN_GATE_MUST_SEE, sheet->must_see[i], PN_GUIDE_NONE);
        } else if (!agrees_at(g, answer, stage)) {
            shut(g, PN_GATE_DISAGREES, sheet->must_see[i], PN_GUIDE_NONE);
        }
    }
}

/* By feature, not as they came: the order of answers must not matter. */
static void check_contradicting_answers(gate *g) {
    const pn_check *check = g->session->check;
    const pn_sheet *sheet = &check->guide->sheets[g->sheet];
    for (size_t f = 0; f < check->guide->feature_count; f++) {
        const pn_answer *given = check_answer_of(g->session, f);
        if (given == NULL || given->certainty == PN_UNSURE ||
            pn_sheet_must_see(sheet, f)) {
            continue;
        }
        pn_answer answer = *given;
        answer.certainty = PN_CERTAIN; /* a doubtful "no" still shuts it */
        if (check_contradicts(check, g->sheet, &answer)) {
            shut(g, PN_GATE_DISAGREES, f, PN_GUIDE_NONE);
        }
    }
}

static double best_possible(const pn_check *check, size_t sheet,
                            size_t feature) {
    float best = 0.0F;
    for (size_t stage = 0; stage < PN_GUIDE_STAGE_COUNT; stage++) {
        const float *probs =
            check_probs(check, feature, check_hypothesis(sheet, stage));
        for (size_t a = 0; a < check->tables[feature].answer_count; a++) {
            best = probs[a] > best ? probs[a] : best;
        }
    }
    return (double)best;
}

static void check_typical(gate *g) {
    const pn_check *check = g->session->check;
    const pn_sheet *sheet = &check->guide->sheets[g->sheet];
    double sum = 0.0;
    int rare = 0;
    int count = 0;
    for (size_t f = 0; f < check->guide->feature_count; f++) {
        const pn_answer *a = check_answer_of(g->session, f);
        if (a == NULL || a->certainty == PN_UNSURE ||
            pn_sheet_trait(sheet, f) == NULL) {
            continue;
        }
        double ratio = check_best_likelihood(check, g->sheet, a) /
                       best_possible(check, g->sheet, f);
        sum += log(ratio);
        rare += ratio < RARE;
        count++;
    }
    if (!(sum >= ODD_MEAN * count) || rare > RARE_MAX + count / RARE_EACH) {
        shut(g, PN_GATE_NOT_TYPICAL, PN_GUIDE_NONE, PN_GUIDE_NONE);
    }
}

static void check_dangers(gate *g) {
    const pn_guide *guide = g->session->check->guide;
    for (size_t k = 0; k < guide->sheet_count; k++) {
        if (k != g->sheet && pn_guide_is_danger(guide->sheets[k].status) &&
            !check_ruled_out(g->session, k, g->sheet)) {
            shut(g, PN_GATE_NOT_RULED_OUT, PN_GUIDE_NONE, k);
        }
    }
}

static bool calls_inseparable(const pn_sheet *sheet, size_t other) {
    for (size_t i = 0; i < sheet->lookalike_count; i++) {
        if (sheet->lookalikes[i].inseparable &&
            sheet->lookalikes[i].sheet == other) {
            return true;
        }
    }
    return false;
}

/* On whichever of the two sheets it stands. */
static void check_inseparable(gate *g) {
    const pn_guide *guide = g->session->check->guide;
    for (size_t k = 0; k < guide->sheet_count; k++) {
        const pn_sheet *other = &guide->sheets[k];
        if (calls_inseparable(&guide->sheets[g->sheet], k) ||
            (pn_guide_is_danger(other->status) &&
             calls_inseparable(other, g->sheet))) {
            shut(g, PN_GATE_INSEPARABLE, PN_GUIDE_NONE, k);
        }
    }
}

size_t pn_check_gate(const pn_check_session *session, size_t sheet,
                     pn_gate_open *out, size_t max) {
    const pn_guide *guide = session->check->guide;
    gate g = {.session = session, .sheet = sheet, .out = out, .max = max};
    if (sheet >= guide->sheet_count) {
        shut(&g, PN_GATE_NOT_GATHERED, PN_GUIDE_NONE, PN_GUIDE_NONE);
        return g.count;
    }
    const pn_sheet *s = &guide->sheets[sheet];
    if (!pn_guide_is_gathered(s->status)) {
        shut(&g, PN_GATE_NOT_GATHERED, PN_GUIDE_NONE, PN_GUIDE_NONE);
    }
    if (s->expert_only && session->context.beginner) {
        shut(&g, PN_GATE_EXPERT_ONLY, PN_GUIDE_NONE, PN_GUIDE_NONE);
    }
    check_inseparable(&g);
    check_must_see(&g);
    check_contradicting_answers(&g);
    check_dangers(&g);
    check_typical(&g);
    /* nor may month or place bring it below the limit */
    bool is_little = pn_check_danger(session) <= DANGER_LIMIT &&
                     check_danger_anywhere(session) <= DANGER_LIMIT;
    if (!is_little) {
        shut(&g, PN_GATE_DANGER_LEFT, PN_GUIDE_NONE, PN_GUIDE_NONE);
    }
    return g.count;
}
