// SPDX-License-Identifier: MIT
/* Information and naive Bayes of the textbooks, and spore statistics, against
 * printed numbers. The table of the fourteen days stands in
 * tests/ref/check/play_tennis.csv. */
#include "support/check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "pannage/check.h"

/* ---- the fourteen days -----------------------------------------------------
 */

enum { ATTRIBUTES = 4, DAYS = 14, VALUES = 3, CLASSES = 2 };
enum { SHARES = PN_GUIDE_STAGE_COUNT * PN_GUIDE_STATES_MAX };
enum { NO, YES };

static const char *const attribute_ids[ATTRIBUTES] = {"outlook", "temperature",
                                                      "humidity", "wind"};
static const char *const values[ATTRIBUTES][VALUES] = {
    {"sunny", "overcast", "rain"},
    {"hot", "mild", "cool"},
    {"high", "normal", NULL},
    {"weak", "strong", NULL},
};

typedef struct tennis {
    double counts[ATTRIBUTES][VALUES][CLASSES];
    double classes[CLASSES];
    int days[DAYS]; /* the class of each */
    size_t day_count;
} tennis;

static size_t value_of(size_t attribute, const char *word) {
    for (size_t v = 0; v < VALUES && values[attribute][v] != NULL; v++) {
        if (strcmp(values[attribute][v], word) == 0) {
            return v;
        }
    }
    fail_msg("%s is no value of %s", word, attribute_ids[attribute]);
    return 0;
}

static void add_day(tennis *t, char *line) {
    char *rest = NULL;
    size_t of[ATTRIBUTES];
    for (size_t a = 0; a < ATTRIBUTES; a++) {
        char *word = strtok_r(a == 0 ? line : NULL, ",\n", &rest);
        assert_non_null(word);
        of[a] = value_of(a, word);
    }
    const char *play = strtok_r(NULL, ",\n", &rest);
    assert_non_null(play);
    int class = strcmp(play, "yes") == 0 ? YES : NO;
    for (size_t a = 0; a < ATTRIBUTES; a++) {
        t->counts[a][of[a]][class] += 1.0;
    }
    t->classes[class] += 1.0;
    t->days[t->day_count++] = class;
}

static tennis read_tennis(void) {
    char line[256];
    tennis t = {0};
    bool header = true;
    FILE *file = fopen(PN_TEST_DATA "/ref/check/play_tennis.csv", "r");
    assert_non_null(file);
    while (fgets(line, sizeof line, file) != NULL) {
        if (line[0] == '#') {
            continue;
        }
        if (!header) {
            assert_true(t.day_count < DAYS);
            add_day(&t, line);
        }
        header = false;
    }
    fclose(file);
    assert_int_equal(t.day_count, DAYS);
    return t;
}

/* Source: Quinlan 1986 prints 0.940 and gains 0.246, 0.029, 0.151, 0.048;
 * the further digits were computed by others. */
static void entropy_and_gains(void **state) {
    (void)state;
    static const double gains_bits[ATTRIBUTES] = {0.2467, 0.0292, 0.1518,
                                                  0.0481};
    tennis t = read_tennis();
    assert_near("entropy", pn_entropy_bits(t.classes, CLASSES), 0.940286,
                5.1e-7);
    for (size_t a = 0; a < ATTRIBUTES; a++) {
        assert_near(
            attribute_ids[a],
            pn_information_gain_bits(&t.counts[a][0][0], VALUES, CLASSES),
            gains_bits[a], 5.1e-5);
    }
    double nothing[2] = {0.0, 0.0};
    assert_true(isnan(pn_entropy_bits(nothing, 2)));
}

/* ---- naive Bayes by the engine of the check --------------------------------
 * Every day is a kind with the frequencies of its class, so that the even prior
 * over kinds is the prior over classes, 9 to 5. No slips, every feature an
 * organ of its own (weight 1), the same at every stage. "Not in the guide" is
 * left out of the sum; the floor of 0.001 stands in for the one empty cell
 * (overcast, no), which the example does not use. */

typedef struct bayes {
    pn_feature features[ATTRIBUTES];
    double slip[PN_GUIDE_STATES_MAX * PN_GUIDE_STATES_MAX];
    double share[CLASSES][ATTRIBUTES]
                [PN_GUIDE_STAGE_COUNT * PN_GUIDE_STATES_MAX];
    pn_trait traits[CLASSES][ATTRIBUTES];
    pn_sheet sheets[DAYS];
    pn_guide guide;
} bayes;

static void make_shares(bayes *b, const tennis *t, int class) {
    for (size_t a = 0; a < ATTRIBUTES; a++) {
        double *share = b->share[class][a];
        for (size_t i = 0; i < SHARES; i++) {
            size_t v = i % PN_GUIDE_STATES_MAX;
            share[i] =
                v < VALUES ? t->counts[a][v][class] / t->classes[class] : 0.0;
        }
        b->traits[class][a] = (pn_trait){.feature = a, .share = share};
    }
}

static void make_bayes(bayes *b, const tennis *t) {
    memset(b, 0, sizeof *b);
    for (size_t s = 0; s < VALUES; s++) {
        b->slip[s * PN_GUIDE_STATES_MAX + s] = 1.0;
    }
    for (size_t a = 0; a < ATTRIBUTES; a++) {
        b->features[a] = (pn_feature){.id = attribute_ids[a],
                                      .ask = attribute_ids[a],
                                      .organ = a,
                                      .states = values[a],
                                      .state_count = a < 2 ? 3 : 2,
                                      .slip = b->slip,
                                      .need_feature = PN_GUIDE_NONE};
    }
    make_shares(b, t, NO);
    make_shares(b, t, YES);
    for (size_t d = 0; d < DAYS; d++) {
        b->sheets[d] = (pn_sheet){.id = "day",
                                  .english = "day",
                                  .scientific = "day",
                                  .status = PN_GUIDE_HARMFUL,
                                  .season_from = 1,
                                  .season_to = 12,
                                  .traits = b->traits[t->days[d]],
                                  .trait_count = ATTRIBUTES};
    }
    b->guide = (pn_guide){.features = b->features,
                          .feature_count = ATTRIBUTES,
                          .organ_count = ATTRIBUTES,
                          .sheets = b->sheets,
                          .sheet_count = DAYS};
}

static size_t day_of_class(const tennis *t, int class) {
    size_t d = 0;
    while (t->days[d] != class) {
        d++;
    }
    return d;
}

static double share_of_no(const pn_check_session *session, const tennis *t) {
    pn_suspect suspects[DAYS + 1];
    double of[CLASSES] = {0.0};
    size_t count = pn_check_suspects(session, suspects);
    for (size_t i = 0; i < count; i++) {
        if (suspects[i].sheet != PN_GUIDE_NONE) {
            of[t->days[suspects[i].sheet]] += suspects[i].posterior;
        }
    }
    return of[NO] / (of[NO] + of[YES]);
}

static double likelihood_ratio(const pn_check_session *session,
                               const tennis *t) {
    pn_check_evidence evidence[ATTRIBUTES];
    double sum = 0.0;
    size_t count = pn_check_compare(session, day_of_class(t, NO),
                                    day_of_class(t, YES), evidence, ATTRIBUTES);
    assert_int_equal(count, ATTRIBUTES);
    for (size_t i = 0; i < count; i++) {
        sum += evidence[i].log_ratio;
    }
    return exp(sum);
}

/* Source: Mitchell 1997, section 6.9.1: a sunny, cool, humid, windy day.
 * P(yes) P(day | yes) = .0053, P(no) P(day | no) = .0206, P(no | day) = .795;
 * the further digits were computed by others. The engine keeps logarithms in
 * single precision, hence 1e-6. */
static void naive_bayes(void **state) {
    (void)state;
    static bayes b;
    static const char *const today[ATTRIBUTES] = {
        "outlook=sunny", "temperature=cool", "humidity=high", "wind=strong"};
    tennis t = read_tennis();
    pn_check *check = NULL;
    pn_check_session *session = NULL;
    pn_check_context context = PN_CHECK_CONTEXT_INIT;
    make_bayes(&b, &t);
    assert_int_equal(pn_check_new(&pn_alloc_libc, &b.guide, &check, NULL),
                     PN_OK);
    assert_int_equal(pn_check_session_new(check, &context, &session, NULL),
                     PN_OK);
    assert_near("nothing seen", share_of_no(session, &t), 5.0 / 14.0, 1e-12);
    for (size_t a = 0; a < ATTRIBUTES; a++) {
        pn_answer answer = {0};
        assert_int_equal(
            pn_check_answer_parse(check, pn_text_of(today[a]), &answer, NULL),
            PN_OK);
        assert_int_equal(pn_check_answer(session, &answer, NULL), PN_OK);
    }
    assert_near("P(no | day)", share_of_no(session, &t), 0.7954, 5.1e-5);
    assert_near("likelihoods", likelihood_ratio(session, &t),
                (0.020571 / 5.0) / (0.005291 / 9.0),
                2e-4 * 7.0); /* the printed digits: 1 in 10 000 */
    assert_near("the same by both ways", share_of_no(session, &t),
                1.0 / (1.0 + 9.0 / (5.0 * likelihood_ratio(session, &t))),
                1e-6);
    pn_check_session_free(session);
    pn_check_free(check);
}

/* ---- spores ----------------------------------------------------------------
 */

/* Percentiles of Hyndman & Fan 1996 type 7, (n - 1) p + 1: of 1 .. n they are
 * just that. Type 6, (n + 1) p, would give the last column, so that the rows
 * tell the two apart. */
static void percentiles(void **state) {
    (void)state;
    static const struct {
        const char *name;
        size_t count;
        double low, high, low_of_type_6;
    } cases[] = {
        {"1 .. 10", 10, 1.45, 9.55, 1.0},
        {"1 .. 21", 21, 2.0, 20.0, 1.1},
        {"1 .. 30", 30, 2.45, 28.55, 1.55},
        {"1 .. 101", 101, 6.0, 96.0, 5.1},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        double sizes[101];
        for (size_t v = 0; v < cases[i].count; v++) {
            sizes[v] = (double)(cases[i].count - v); /* not in order */
        }
        pn_spores got = pn_spores_of(sizes, cases[i].count);
        assert_near(cases[i].name, got.low, cases[i].low, 1e-12);
        assert_near(cases[i].name, got.high, cases[i].high, 1e-12);
        assert_true(got.low - cases[i].low_of_type_6 > 0.4);
        assert_near(cases[i].name, got.least, 1.0, 0.0);
        assert_near(cases[i].name, got.most, (double)cases[i].count, 0.0);
    }
}

/* Source: Tulloss & Lindgren 2005, Mycotaxon 91:193-194: (k-) m - n (-p), with
 * m, n the 5th and 95th percentile and k, p the extremes. */
static void notation(void **state) {
    (void)state;
    double sizes[21];
    char text[64];
    pn_str str = pn_str_in(text, sizeof text);
    for (size_t v = 0; v < 21; v++) {
        sizes[v] = 5.0 + 0.1 * (double)v; /* 5.0 .. 7.0 */
    }
    pn_spores got = pn_spores_of(sizes, 21);
    pn_spores_notation(&got, 1, &str);
    assert_string_equal(text, "(5.0-) 5.1 - 6.9 (-7.0)");
}

/* Source: the printed table of Student's t, two-sided 95 % ([AS65] table
 * 26.10; from memory): the mean is known to +- t s / sqrt(n). */
static void interval_of_mean(void **state) {
    (void)state;
    static const struct {
        const char *name;
        size_t count;
        double t;
    } cases[] = {
        {"2 spores", 2, 12.706},  {"3 spores", 3, 4.303},
        {"6 spores", 6, 2.571},   {"11 spores", 11, 2.228},
        {"12 spores", 12, 2.201}, {"16 spores", 16, 2.131},
        {"21 spores", 21, 2.086}, {"31 spores", 31, 2.042},
        {"61 spores", 61, 2.000}, {"121 spores", 121, 1.980},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        double sizes[121];
        double n = (double)cases[i].count;
        for (size_t v = 0; v < cases[i].count; v++) {
            sizes[v] = 5.0 + (double)(v % 7);
        }
        pn_spores got = pn_spores_of(sizes, cases[i].count);
        double half = 0.5 * (got.mean_high - got.mean_low);
        assert_near(cases[i].name, half / (got.sd / sqrt(n)), cases[i].t,
                    0.0006);
        assert_near(cases[i].name, 0.5 * (got.mean_high + got.mean_low),
                    got.mean, 1e-12);
    }
}

enum { EACH = 200 };

/* Half a little below, half a little above: mean and sd as wanted. */
static void make_sample(double mean, double sd, double *sizes) {
    double off = sd * sqrt((EACH - 1.0) / EACH);
    for (size_t i = 0; i < EACH; i++) {
        sizes[i] = mean + (i % 2 == 0 ? off : -off);
    }
}

/* Source (weak): an amateur's notebook of 2007, a brown-spored lawn agaric in
 * dry and in wet weather, micrometres: 4.74 (s .41) and 5.60 (s .30) long, 3.67
 * (s .30) and 4.15 (s .26) wide; it prints the length as .86 +- .51 longer and
 * the spread in width as .40. The spread of a difference is that of the sum,
 * which is never below 0. */
static void two_samples(void **state) {
    (void)state;
    static const struct {
        const char *name;
        double dry, dry_sd, wet, wet_sd, more, spread;
    } cases[] = {
        {"length", 4.74, 0.41, 5.60, 0.30, 0.86, 0.51},
        {"width", 3.67, 0.30, 4.15, 0.26, 0.48, 0.40},
    };
    static double both[(size_t)EACH * EACH];
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        double dry[EACH];
        double wet[EACH];
        make_sample(cases[i].dry, cases[i].dry_sd, dry);
        make_sample(cases[i].wet, cases[i].wet_sd, wet);
        for (size_t j = 0; j < COUNT_OF(both); j++) {
            both[j] = dry[j / EACH] + wet[j % EACH];
        }
        pn_spores of_dry = pn_spores_of(dry, EACH);
        pn_spores of_wet = pn_spores_of(wet, EACH);
        pn_spores of_both = pn_spores_of(both, COUNT_OF(both));
        assert_near(cases[i].name, of_dry.sd, cases[i].dry_sd, 1e-9);
        assert_near(cases[i].name, of_wet.mean - of_dry.mean, cases[i].more,
                    1e-9);
        assert_near(cases[i].name, of_both.sd, cases[i].spread, 0.005);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(entropy_and_gains), cmocka_unit_test(naive_bayes),
        cmocka_unit_test(percentiles),       cmocka_unit_test(notation),
        cmocka_unit_test(interval_of_mean),  cmocka_unit_test(two_samples),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
