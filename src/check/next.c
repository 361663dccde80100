/* Which observation next: the one whose answers would leave least doubt about
 * danger, for its effort.
 *
 * The expected danger mass after an answer is the danger mass before it: that
 * is what an expectation is. What an observation removes is doubt, so the
 * measure is D (1 - D), the chance that two draws from the posterior disagree
 * on whether it is dangerous; "danger after" is its expectation. */
#include "check_internal.h"

#include <math.h>
#include <stdlib.h>

/* Hypotheses below this share of the posterior cannot change the order. */
static const double NEGLIGIBLE = 1e-6;
/* More features than any guide has. */
enum { NEXT_MAX = 256 };
/* How much sooner an open must-see feature of the kind in mind is asked. */
static const double MUST_SEE_FIRST = 20.0;
/* A little interest in which kind it is, beside whether it is dangerous. */
static const double WHICH_KIND = 0.05;

/* The hypotheses that matter, packed: the dangerous ones first. */
typedef struct active {
    const uint32_t *hypothesis;
    const float *mass;
    size_t dangerous;
    size_t count;
    double unlisted;
} active;

static size_t pack(const pn_check_session *session, bool dangerous,
                   size_t count) {
    const pn_check *check = session->check;
    for (size_t k = 0; k < check->guide->sheet_count; k++) {
        if (pn_guide_is_danger(check->guide->sheets[k].status) != dangerous) {
            continue;
        }
        for (size_t stage = 0; stage < PN_GUIDE_STAGE_COUNT; stage++) {
            size_t h = check_hypothesis(k, stage);
            if (session->posterior[h] >= NEGLIGIBLE) {
                session->active[count] = (uint32_t)h;
                session->mass[count++] = (float)session->posterior[h];
            }
        }
    }
    return count;
}

/* Sums over hypotheses, one an answer; padding adds nothing. */
typedef struct sums {
    float bad[PN_GUIDE_STATES_MAX];
    float good[PN_GUIDE_STATES_MAX];
    float top[PN_GUIDE_STATES_MAX];
} sums;

static void add_up(const check_table *table, const active *set, size_t from,
                   size_t to, float *restrict sum, float *restrict top) {
    size_t stride = table->stride;
    for (size_t i = from; i < to; i++) {
        const float *prob = table->prob + set->hypothesis[i] * stride;
        float mass = set->mass[i];
        for (size_t a = 0; a < stride; a++) {
            float joint = mass * prob[a];
            sum[a] += joint;
            top[a] = joint > top[a] ? joint : top[a];
        }
    }
}

/* Expected D (1 - D), and the expected share of the likeliest hypothesis. */
static double doubt_after(const pn_check *check, const active *set,
                          size_t feature, double *leading) {
    const check_table *table = &check->tables[feature];
    sums s = {.bad = {0.0F}};
    double doubt = 0.0;
    add_up(table, set, 0, set->dangerous, s.bad, s.top);
    add_up(table, set, set->dangerous, set->count, s.good, s.top);
    *leading = 0.0;
    for (size_t a = 0; a < table->answer_count; a++) {
        double bad = (double)s.bad[a] + set->unlisted * table->base[a];
        double whole = bad + (double)s.good[a];
        doubt += whole > 0.0 ? bad * (1.0 - bad / whole) : 0.0;
        *leading += (double)s.top[a];
    }
    return doubt;
}

/* Asked only when what it needs has been seen. */
static bool askable(const pn_check_session *session, size_t feature) {
    const pn_feature *f = &session->check->guide->features[feature];
    if (check_answer_of(session, feature) != NULL) {
        return false;
    }
    if (f->need_feature == PN_GUIDE_NONE) {
        return true;
    }
    const pn_answer *need = check_answer_of(session, f->need_feature);
    return need != NULL && need->certainty != PN_UNSURE &&
           (f->need_states >> need->state & 1U) != 0;
}

static bool must_see(const pn_guide *guide, size_t focus, size_t feature) {
    if (focus >= guide->sheet_count) {
        return false;
    }
    const pn_sheet *sheet = &guide->sheets[focus];
    for (size_t i = 0; i < sheet->must_see_count; i++) {
        if (sheet->must_see[i] == feature) {
            return true;
        }
    }
    return false;
}

static int worthier(const void *a, const void *b) {
    const pn_next *x = a;
    const pn_next *y = b;
    if (x->worth > y->worth || x->worth < y->worth) {
        return x->worth > y->worth ? -1 : 1;
    }
    return (x->feature > y->feature) - (x->feature < y->feature);
}

static pn_next weigh(const pn_check_session *session, const active *set,
                     size_t feature, size_t focus, double doubt_now,
                     double leading_now) {
    const pn_guide *guide = session->check->guide;
    double leading = 0.0;
    double after = doubt_after(session->check, set, feature, &leading);
    double gain = fmax(doubt_now - after, 0.0) +
                  WHICH_KIND * fmax(leading - leading_now, 0.0);
    double worth =
        (gain + 1e-9) / pn_effort_cost(guide->features[feature].effort);
    if (must_see(guide, focus, feature)) {
        worth *= MUST_SEE_FIRST;
    }
    return (pn_next){.feature = feature, .danger_after = after, .worth = worth};
}

size_t pn_check_next(const pn_check_session *session, size_t focus,
                     pn_next *out, size_t max) {
    const pn_check *check = session->check;
    pn_next all[NEXT_MAX];
    size_t count = 0;
    active set = {.hypothesis = session->active, .mass = session->mass};
    set.unlisted = session->posterior[check->hypothesis_count];
    set.dangerous = pack(session, true, 0);
    set.count = pack(session, false, set.dangerous);
    double danger = pn_check_danger(session);
    double leading = 0.0;
    for (size_t i = 0; i < set.count; i++) {
        leading = fmax(leading, (double)set.mass[i]);
    }
    for (size_t f = 0; f < check->guide->feature_count && count < NEXT_MAX;
         f++) {
        if (askable(session, f)) {
            all[count++] = weigh(session, &set, f, focus,
                                 danger * (1.0 - danger), leading);
        }
    }
    qsort(all, count, sizeof *all, worthier);
    for (size_t i = 0; i < count && i < max; i++) {
        out[i] = all[i];
    }
    return count < max ? count : max;
}
