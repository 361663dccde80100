/* Spore statistics: a classic sample, and everything that is no sample. The
 * printed tables of Student's t stand in tests/ref/test_ref_check.c. */
#include "pannage/check.h"
#include "support/check.h"

/* Student 1908, "The probable error of a mean", Biometrika 6:20: additional
 * hours of sleep of ten patients, second drug less first (data and the mean of
 * 1.58 as printed there; the 95 % interval 0.7001 .. 2.4599 is what textbooks
 * give for the paired test; both from memory). One hour is added to each, as a
 * size must be above 0. */
static void test_student_slept(void **state) {
    (void)state;
    double hours[] = {2.2, 3.4, 2.3, 2.3, 1.0, 2.0, 2.8, 1.8, 5.6, 2.4};
    pn_spores got = pn_spores_of(hours, COUNT_OF(hours));
    assert_int_equal(got.count, 10);
    assert_near("mean", got.mean, 2.58, 1e-12);
    assert_near("sd", got.sd, 1.2300, 5e-5);
    assert_near("low", got.mean_low, 1.7001, 2e-4);
    assert_near("high", got.mean_high, 3.4599, 2e-4);
    assert_near("least", got.least, 1.0, 0.0);
    assert_near("most", got.most, 5.6, 0.0);
}

/* Hyndman & Fan 1996, type 7: h = (n - 1) p; of 1 .. 21 the 5th percentile is
 * the 2nd value, the 95th the 20th. */
static void test_percentiles_fall_on_values(void **state) {
    (void)state;
    double values[21];
    for (size_t i = 0; i < COUNT_OF(values); i++) {
        values[i] = (double)(21 - i); /* sorted in place */
    }
    pn_spores got = pn_spores_of(values, COUNT_OF(values));
    assert_near("low", got.low, 2.0, 1e-12);
    assert_near("high", got.high, 20.0, 1e-12);
    for (size_t i = 1; i < COUNT_OF(values); i++) {
        assert_true(values[i] > values[i - 1]);
    }
}

static void test_no_sample_is_not_known(void **state) {
    (void)state;
    static const struct {
        const char *name;
        double values[3];
        size_t count;
    } rows[] = {
        {"none", {0.0}, 0},
        {"one", {8.0}, 1},
        {"zero", {8.0, 0.0, 8.2}, 3},
        {"negative", {8.0, -8.1, 8.2}, 3},
        {"NaN first", {NAN, 8.1, 8.2}, 3},
        {"NaN last", {8.0, 8.1, NAN}, 3},
        {"no end", {8.0, INFINITY, 8.2}, 3},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        double values[3] = {rows[i].values[0], rows[i].values[1],
                            rows[i].values[2]};
        pn_spores got = pn_spores_of(values, rows[i].count);
        const double all[] = {got.mean,  got.sd,   got.low,      got.high,
                              got.least, got.most, got.mean_low, got.mean_high};
        assert_int_equal(got.count, rows[i].count);
        for (size_t j = 0; j < COUNT_OF(all); j++) {
            assert_near(rows[i].name, all[j], NAN, 0.0);
        }
    }
}

static void test_the_same_size_over_and_over(void **state) {
    (void)state;
    double values[] = {8.0, 8.0, 8.0, 8.0};
    pn_spores got = pn_spores_of(values, COUNT_OF(values));
    assert_near("sd", got.sd, 0.0, 0.0);
    assert_near("low", got.mean_low, 8.0, 0.0);
    assert_near("high", got.mean_high, 8.0, 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_student_slept),
        cmocka_unit_test(test_percentiles_fall_on_values),
        cmocka_unit_test(test_no_sample_is_not_known),
        cmocka_unit_test(test_the_same_size_over_and_over),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
