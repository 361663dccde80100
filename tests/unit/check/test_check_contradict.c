/* Contradictions: which answers, by which shares and slips, in which organs. */
#include "gate_support.h"

static int against(const small_guide *g, size_t kind, const answers *a) {
    pn_suspect out[SMALL_SHEETS + 1];
    pn_check *check = check_of(g);
    pn_check_session *session =
        session_of(check, a, (pn_check_context){.beginner = false});
    size_t count = pn_check_suspects(session, out);
    int got = -1;
    for (size_t i = 0; i < count; i++) {
        got = out[i].sheet == kind ? out[i].contradicted : got;
    }
    pn_check_session_free(session);
    pn_check_free(check);
    return got;
}

static int against_one(const small_guide *g, size_t kind, size_t f,
                       size_t state) {
    answers a = {.at = {{.feature = f, .state = state}}, .count = 1};
    return against(g, kind, &a);
}

/* Of deadly, in the ring (slips of 2 in 100): P(ring) = 0.02 + 0.96 share. */
static void test_three_in_a_hundred(void **state) {
    (void)state;
    static const struct {
        const char *name;
        double young, grown, old;
        int want;
    } rows[] = {
        {"never: 2 in 100 by slips", 0.0, 0.0, 0.0, 1},
        {"hardly ever: 2.96 in 100", 0.01, 0.01, 0.01, 1},
        {"seldom: 3.06 in 100", 0.011, 0.011, 0.011, 0},
        {"young ones do", 0.3, 0.0, 0.0, 0},
        {"old ones do", 0.0, 0.0, 0.3, 0},
        {"common", 0.9, 0.9, 0.9, 0},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        small_guide g;
        small_make(&g);
        small_share(&g, DEADLY, RING, PN_GUIDE_YOUNG, 0, rows[i].young, 1);
        small_share(&g, DEADLY, RING, PN_GUIDE_MATURE, 0, rows[i].grown, 1);
        small_share(&g, DEADLY, RING, PN_GUIDE_OLD, 0, rows[i].old, 1);
        assert_near(rows[i].name, against_one(&g, DEADLY, RING, 0),
                    rows[i].want, 0.0);
    }
}

/* What people take for each other contradicts nothing. */
static void test_slips_are_counted_in(void **state) {
    (void)state;
    small_guide g;
    small_make(&g);
    assert_int_equal(against_one(&g, DEADLY, RING, 0), 1);
    g.slip[RING][PN_GUIDE_STATES_MAX] = 0.05; /* none, yet a ring is said */
    g.slip[RING][PN_GUIDE_STATES_MAX + 1] = 0.95;
    assert_int_equal(against_one(&g, DEADLY, RING, 0), 0);
}

/* Of a measure: normal in the logarithm, 19 of 20 in low .. high, with the
 * error of measuring; one tail of 3 in 100 is 1.8808 (tables of the normal
 * distribution). deadly: 2 .. 5 cm, error 8 in 100:
 * sd = sqrt((ln 2.5 / 3.92)^2 + 0.08^2) = 0.2471; the middle is 3.162;
 * upper limit 3.162 exp(1.8808 x 0.2471) = 5.033; young ones a fifth of the
 * lower, 1.987 / 5 = 0.397. */
static void test_measures(void **state) {
    (void)state;
    static const struct {
        const char *name;
        double young_low_cm, width_cm;
        int want;
    } rows[] = {
        {"below the upper limit", 0.0, 5.02, 0},
        {"above it", 0.0, 5.05, 1},
        {"above the lower, a young one", 0.0, 0.40, 0},
        {"below it", 0.0, 0.39, 1},
        {"no smaller young ones: above", 2.0, 2.00, 0},
        {"no smaller young ones: below", 2.0, 1.97, 1},
        {"young ones from 1 cm: above", 1.0, 1.00, 0},
        {"young ones from 1 cm: below", 1.0, 0.98, 1},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        small_guide g;
        answers a = {.at = {{.feature = WIDTH, .value = rows[i].width_cm}},
                     .count = 1};
        small_make(&g);
        for (size_t t = 0; t < g.sheets[DEADLY].trait_count; t++) {
            if (g.traits[DEADLY][t].feature == WIDTH) {
                g.traits[DEADLY][t].young_low = rows[i].young_low_cm;
            }
        }
        assert_near(rows[i].name, against(&g, DEADLY, &a), rows[i].want, 0.0);
    }
}

static void test_silence_contradicts_nothing(void **state) {
    (void)state;
    small_guide g;
    small_make(&g);
    small_silence(&g, HIDDEN);
    answers a = perfect();
    assert_int_equal(against(&g, HIDDEN, &a), 0);
}

/* plain has pores, so no gills; what it needs may itself need something. */
static void test_what_cannot_be_there(void **state) {
    (void)state;
    small_guide g;
    small_make(&g);
    assert_int_equal(against_one(&g, PLAIN, GILLS, 0), 1);
    assert_int_equal(against_one(&g, MILD, GILLS, 0), 0);
    assert_int_equal(against_one(&g, HIDDEN, GILLS, 0), 0);
    g.features[WIDTH].need_feature = UNDER;
    g.features[WIDTH].need_states = 1;
    small_silence(&g, PLAIN);
    small_trait(&g, PLAIN, UNDER, 1);
    answers wide = {.at = {{.feature = WIDTH, .value = 12.0}}, .count = 1};
    assert_int_equal(against(&g, PLAIN, &wide), 1);
    assert_int_equal(against(&g, HIDDEN, &wide), 0);
}

static void test_organs_are_counted_once(void **state) {
    (void)state;
    small_guide g;
    answers a = perfect();
    small_make(&g);
    /* deadly disagrees in cap and its skin, gills, ring, flesh and width */
    assert_int_equal(against(&g, DEADLY, &a), 5);
    g.features[CAP_SKIN].organ = 6000 % PN_GUIDE_ORGANS_MAX;
    assert_int_equal(against(&g, DEADLY, &a), 6);
    for (size_t f = 0; f < SMALL_FEATURES; f++) {
        g.features[f].organ = 0;
    }
    assert_int_equal(against(&g, DEADLY, &a), 1);
    for (size_t f = 0; f < SMALL_FEATURES; f++) {
        a.at[f].certainty = f % 2 == 0 ? PN_PROBABLE : PN_UNSURE;
    }
    assert_int_equal(against(&g, DEADLY, &a), 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_three_in_a_hundred),
        cmocka_unit_test(test_slips_are_counted_in),
        cmocka_unit_test(test_measures),
        cmocka_unit_test(test_silence_contradicts_nothing),
        cmocka_unit_test(test_what_cannot_be_there),
        cmocka_unit_test(test_organs_are_counted_once),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
