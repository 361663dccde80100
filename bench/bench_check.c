/* An interview of twelve answers with an invented guide of 60 features:
 * microseconds of processor time, one core, for one answer (posterior,
 * contradictions) and for the next observation after it. Every interview is
 * held five times and the best time of each answer counts, because the machine
 * has other work; then the median over all answers of all interviews. One JSON
 * line a guide size.
 *   bench_check [KINDS ...]    default 1000 10000 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "pannage/check.h"

enum {
    FEATURES = 60,
    RANGES = 8,
    ORGANS = 24,
    ANSWERS = 12,
    INTERVIEWS = 60,
    ROUNDS = 5,
    SHARES = PN_GUIDE_STAGE_COUNT * PN_GUIDE_STATES_MAX,
    SLIPS = PN_GUIDE_STATES_MAX * PN_GUIDE_STATES_MAX
};

typedef struct invented {
    pn_guide guide;
    pn_feature features[FEATURES];
    char ids[FEATURES][8];
    double slip[FEATURES][SLIPS];
    const char *states[PN_GUIDE_STATES_MAX];
    pn_sheet *sheets;
    pn_trait *traits; /* [kind][feature] */
    double *shares;   /* [kind][feature][SHARES] */
} invented;

static double now_us(void) {
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec * 1e6 + (double)t.tv_nsec * 1e-3;
}

static void *must(void *block) {
    if (block == NULL) {
        fprintf(stderr, "bench_check: out of memory\n");
        exit(4);
    }
    return block;
}

static void must_work(pn_status status, const pn_error *err) {
    if (status != PN_OK) {
        fprintf(stderr, "bench_check: %s\n", err->message);
        exit(4);
    }
}

static size_t below(pn_random *random, size_t count) {
    return (size_t)(pn_random_uniform(random) * (double)count);
}

static void invent_feature(invented *in, size_t f, pn_random *random) {
    pn_feature *feature = &in->features[f];
    snprintf(in->ids[f], sizeof in->ids[f], "f%zu", f % 1000);
    *feature = (pn_feature){.id = in->ids[f],
                            .ask = in->ids[f],
                            .organ = f % ORGANS,
                            .effort = (pn_effort)below(random, PN_EFFORT_PRINT),
                            .is_range = f < RANGES,
                            .unit = "cm",
                            .error_frac = 0.08,
                            .need_feature = PN_GUIDE_NONE};
    if (feature->is_range) {
        return;
    }
    feature->states = in->states;
    feature->state_count = 3 + below(random, 10);
    feature->slip = in->slip[f];
    for (size_t s = 0; s < feature->state_count; s++) {
        for (size_t a = 0; a < feature->state_count; a++) {
            in->slip[f][s * PN_GUIDE_STATES_MAX + a] =
                a == s ? 0.95 : 0.05 / (double)(feature->state_count - 1);
        }
    }
}

/* One or two states at every stage, or a range; one feature in five is left
 * out. */
static void invent_sheet(invented *in, size_t k, pn_random *random) {
    pn_sheet *sheet = &in->sheets[k];
    *sheet =
        (pn_sheet){.id = "kind",
                   .english = "kind",
                   .scientific = "kind",
                   .status = k % 3 == 0 ? PN_GUIDE_DEADLY : PN_GUIDE_GATHERED,
                   .season_from = 1,
                   .season_to = 12,
                   .traits = in->traits + k * FEATURES,
                   .must_see_count = 1};
    for (size_t f = 0; f < FEATURES; f++) {
        if (f > 0 && pn_random_uniform(random) < 0.2) {
            continue;
        }
        pn_trait *trait = &in->traits[k * FEATURES + sheet->trait_count++];
        double *share = in->shares + (k * FEATURES + f) * SHARES;
        double low = exp(2.0 * pn_random_uniform(random));
        *trait = (pn_trait){.feature = f, .low = low, .high = 2.0 * low};
        if (in->features[f].is_range) {
            continue;
        }
        trait->share = share;
        size_t first = below(random, in->features[f].state_count);
        size_t second = below(random, in->features[f].state_count);
        for (size_t stage = 0; stage < PN_GUIDE_STAGE_COUNT; stage++) {
            share[stage * PN_GUIDE_STATES_MAX + first] += 0.7;
            share[stage * PN_GUIDE_STATES_MAX + second] += 0.3;
        }
    }
}

static void invent(invented *in, size_t kinds, pn_random *random) {
    in->sheets = must(calloc(kinds, sizeof *in->sheets));
    in->traits = must(calloc(kinds * FEATURES, sizeof *in->traits));
    in->shares = must(calloc(kinds * FEATURES * SHARES, sizeof *in->shares));
    for (size_t s = 0; s < PN_GUIDE_STATES_MAX; s++) {
        in->states[s] = "state";
    }
    for (size_t f = 0; f < FEATURES; f++) {
        invent_feature(in, f, random);
    }
    for (size_t k = 0; k < kinds; k++) {
        invent_sheet(in, k, random);
    }
    in->guide = (pn_guide){.features = in->features,
                           .feature_count = FEATURES,
                           .organ_count = ORGANS,
                           .sheets = in->sheets,
                           .sheet_count = kinds};
}

/* What a specimen of the kind would show, now and then misread. */
static pn_answer look(const invented *in, size_t kind, size_t f,
                      pn_random *random) {
    const pn_trait *trait = pn_sheet_trait(&in->sheets[kind], f);
    pn_answer answer = {.feature = f, .certainty = PN_CERTAIN};
    if (in->features[f].is_range) {
        answer.value = trait != NULL
                           ? trait->low * (1.0 + pn_random_uniform(random))
                           : 3.0;
        return answer;
    }
    answer.state = below(random, in->features[f].state_count);
    if (trait != NULL && pn_random_uniform(random) > 0.05) {
        double u = pn_random_uniform(random);
        size_t s = 0;
        while (s + 1 < in->features[f].state_count && u >= trait->share[s]) {
            u -= trait->share[s++];
        }
        answer.state = s;
    }
    return answer;
}

typedef struct times {
    double answer_us[INTERVIEWS * ANSWERS];
    double next_us[INTERVIEWS * ANSWERS];
    double both_us[INTERVIEWS * ANSWERS];
    size_t count;
    double check; /* so that nothing is left out */
} times;

/* 0: not measured before. */
static void keep_best(double *best_us, double us) {
    *best_us = *best_us > 0.0 ? fmin(*best_us, us) : us;
}

static void interview(const invented *in, const pn_check *check,
                      pn_random *random, times *t) {
    pn_check_context context = PN_CHECK_CONTEXT_INIT;
    pn_check_session *session = NULL;
    pn_error err;
    pn_next next[3];
    size_t kind = below(random, in->guide.sheet_count);
    must_work(pn_check_session_new(check, &context, &session, &err), &err);
    size_t f = below(random, FEATURES);
    for (size_t i = 0; i < ANSWERS; i++) {
        pn_answer answer = look(in, kind, f, random);
        double start = now_us();
        must_work(pn_check_answer(session, &answer, &err), &err);
        double between = now_us();
        size_t got = pn_check_next(session, PN_GUIDE_NONE, next, 3);
        double end = now_us();
        keep_best(&t->answer_us[t->count], between - start);
        keep_best(&t->next_us[t->count], end - between);
        keep_best(&t->both_us[t->count++], end - start);
        t->check += next[0].worth;
        f = got > 0 ? next[0].feature : 0;
    }
    pn_check_session_free(session);
}

static void measure(size_t kinds) {
    pn_random random = pn_random_seeded(20260914);
    invented *in = must(calloc(1, sizeof *in));
    times *t = must(calloc(1, sizeof *t));
    pn_check *check = NULL;
    pn_error err;
    invent(in, kinds, &random);
    must_work(pn_check_new(&pn_alloc_libc, &in->guide, &check, &err), &err);
    for (size_t round = 0; round < ROUNDS; round++) {
        pn_random same = random;
        t->count = 0;
        t->check = 0.0;
        for (size_t i = 0; i < INTERVIEWS; i++) {
            interview(in, check, &same, t);
        }
    }
    printf("{\"bench\":\"check\",\"kinds\":%zu,\"features\":%d,\"answers\":%zu,"
           "\"median_us\":%.1f,\"p90_us\":%.1f,\"answer_median_us\":%.1f,"
           "\"next_median_us\":%.1f,\"checksum\":%.9g}\n",
           kinds, FEATURES, t->count, pn_quantile(t->both_us, t->count, 0.5),
           pn_quantile(t->both_us, t->count, 0.9),
           pn_quantile(t->answer_us, t->count, 0.5),
           pn_quantile(t->next_us, t->count, 0.5), t->check);
    pn_check_free(check);
    free(in->sheets);
    free(in->traits);
    free(in->shares);
    free(in);
    free(t);
}

int main(int argc, char **argv) {
    if (argc < 2) {
        measure(1000);
        measure(10000);
    }
    for (int i = 1; i < argc; i++) {
        size_t kinds = (size_t)strtoul(argv[i], NULL, 10);
        if (kinds < 1 || kinds > 100000) {
            fprintf(stderr, "bench_check: kinds: 1 .. 100000\n");
            return 2;
        }
        measure(kinds);
    }
    return 0;
}
