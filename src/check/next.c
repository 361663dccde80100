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
#include <string.h>

/* The least likely hypotheses are left out, but never more than this share of
 * the danger mass nor of the rest: roughly to find the worthiest few, then
 * finely to weigh those. */
static const double ROUGH = 0.1;
static const double FINE = 0.01;
/* Not even looked at. */
static const double NEGLIGIBLE = 1e-9;
enum { FINALISTS = 5 };
/* Needs of needs: form, underside, gills. */
enum { FEATURES_DEEP = 8 };
/* How much sooner an open must-see feature of the kind in mind is asked. */
static const double MUST_SEE_FIRST = 20.0;
/* A little interest in which kind it is, beside whether it is dangerous. */
static const double WHICH_KIND = 0.05;

/* Binary exponent of a probability, 0 for 0.5 .. 1, up to EXPONENTS - 1. */
enum { EXPONENTS = 64 };

static size_t exponent_of(float p) {
    uint32_t bits = 0;
    memcpy(&bits, &p, sizeof bits);
    uint32_t biased = bits >> 23;
    uint32_t below = biased < 126 ? 126 - biased : 0;
    return below < EXPONENTS ? below : EXPONENTS - 1;
}

/* The dangerous hypotheses, or the others; the weighty ones come first. */
typedef struct half {
    uint32_t *hypothesis;
    float *mass;
    size_t count;
    double total;
    double of_exponent[EXPONENTS];
} half;

typedef struct active {
    half good, bad;
    double unlisted;
    double danger;  /* mass, all of it */
    double leading; /* mass of the likeliest */
} active;

static void take_in(half *set, size_t hypothesis, double p) {
    set->hypothesis[set->count] = (uint32_t)hypothesis;
    set->mass[set->count++] = (float)p;
    set->total += p;
    set->of_exponent[exponent_of((float)p)] += p;
}

static active collect(const pn_check_session *session) {
    const pn_check *check = session->check;
    size_t count = check->hypothesis_count;
    active set = {
        .good = {.hypothesis = session->active, .mass = session->mass},
        .bad = {.hypothesis = session->active + count,
                .mass = session->mass + count},
        .unlisted = session->posterior[count]};
    for (size_t h = 0; h < count; h++) {
        double p = session->posterior[h];
        if (p > NEGLIGIBLE) {
            take_in(check->danger[h] != 0 ? &set.bad : &set.good, h, p);
            set.leading = p > set.leading ? p : set.leading;
        }
    }
    set.bad.total += set.unlisted;
    set.danger = set.bad.total;
    return set;
}

/* Leave out from the least exponents on while they fit into the share. */
static void cut(half *set, double share) {
    size_t from = EXPONENTS;
    size_t kept = 0;
    double left_out = 0.0;
    while (from > 0 &&
           left_out + set->of_exponent[from - 1] <= share * set->total) {
        left_out += set->of_exponent[--from];
    }
    for (size_t i = 0; i < set->count; i++) {
        float mass = set->mass[i];
        uint32_t hypothesis = set->hypothesis[i];
        if (exponent_of(mass) < from) {
            set->mass[i] = set->mass[kept];
            set->hypothesis[i] = set->hypothesis[kept];
            set->mass[kept] = mass;
            set->hypothesis[kept++] = hypothesis;
        }
    }
    set->count = kept;
}

/* Sums over hypotheses, one an answer; padding adds nothing. */
typedef struct sums {
    float bad[PN_GUIDE_STATES_MAX];
    float good[PN_GUIDE_STATES_MAX];
    float top[PN_GUIDE_STATES_MAX];
} sums;

/* Answers go eight at a time, so that the sums stay in registers. */
enum { LANES = 8 };

static void add_up(const pn_check *check, size_t feature, const half *set,
                   float *sum, float *top) {
    for (size_t first = 0; first < check->tables[feature].stride;
         first += LANES) {
        const float *column = check_probs(check, feature, 0) + first;
        float s[LANES] = {0.0F};
        float t[LANES];
        memcpy(t, top + first, sizeof t);
        for (size_t i = 0; i < set->count; i++) {
            const float *prob =
                column + set->hypothesis[i] * check->profile_len;
            float mass = set->mass[i];
            for (size_t a = 0; a < LANES; a++) {
                float joint = mass * prob[a];
                s[a] += joint;
                t[a] = joint > t[a] ? joint : t[a];
            }
        }
        memcpy(sum + first, s, sizeof s);
        memcpy(top + first, t, sizeof t);
    }
}

/* Expected D (1 - D), and the expected share of the likeliest hypothesis. */
static double doubt_after(const pn_check *check, const active *set,
                          size_t feature, double *leading) {
    const check_table *table = &check->tables[feature];
    sums s = {.bad = {0.0F}};
    double doubt = 0.0;
    add_up(check, feature, &set->bad, s.bad, s.top);
    add_up(check, feature, &set->good, s.good, s.top);
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

/* The feature is the other, or has to be known before it can be asked. */
static bool leads_to(const pn_guide *guide, size_t feature, size_t other) {
    for (size_t steps = 0; other != PN_GUIDE_NONE && steps <= FEATURES_DEEP;
         steps++) {
        if (other == feature) {
            return true;
        }
        other = guide->features[other].need_feature;
    }
    return false;
}

static bool must_see(const pn_guide *guide, size_t focus, size_t feature) {
    if (focus >= guide->sheet_count) {
        return false;
    }
    const pn_sheet *sheet = &guide->sheets[focus];
    for (size_t i = 0; i < sheet->must_see_count; i++) {
        if (leads_to(guide, feature, sheet->must_see[i])) {
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
                     size_t feature, size_t focus) {
    const pn_guide *guide = session->check->guide;
    double leading = 0.0;
    double after = doubt_after(session->check, set, feature, &leading);
    double gain = fmax(set->danger * (1.0 - set->danger) - after, 0.0) +
                  WHICH_KIND * fmax(leading - set->leading, 0.0);
    double worth =
        (gain + 1e-9) / pn_effort_cost(guide->features[feature].effort);
    if (must_see(guide, focus, feature)) {
        worth *= MUST_SEE_FIRST;
    }
    return (pn_next){.feature = feature, .danger_after = after, .worth = worth};
}

size_t pn_check_next(const pn_check_session *session, size_t focus,
                     pn_next *out, size_t max) {
    const pn_guide *guide = session->check->guide;
    pn_next all[PN_GUIDE_FEATURES_MAX];
    active fine = collect(session);
    size_t count = 0;
    cut(&fine.good, FINE);
    cut(&fine.bad, FINE);
    active rough = fine; /* the first of the same */
    cut(&rough.good, ROUGH);
    cut(&rough.bad, ROUGH);
    for (size_t f = 0; f < guide->feature_count; f++) {
        if (askable(session, f)) {
            all[count++] = weigh(session, &rough, f, focus);
        }
    }
    qsort(all, count, sizeof *all, worthier);
    size_t finalists =
        max < count && max + FINALISTS < count ? max + FINALISTS : count;
    for (size_t i = 0; i < finalists; i++) {
        all[i] = weigh(session, &fine, all[i].feature, focus);
    }
    qsort(all, finalists, sizeof *all, worthier);
    size_t written = finalists < max ? finalists : max;
    for (size_t i = 0; i < written; i++) {
        out[i] = all[i];
    }
    return written;
}
