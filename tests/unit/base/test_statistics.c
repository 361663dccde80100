#include "support/check.h"

#include "pannage/base.h"

static void normal_distribution(void **state) {
    (void)state;
    /* Quantiles as printed in the tables of every textbook, here to the
     * digits that the C library's erfc() confirms below. */
    static const struct {
        double p, z;
    } cases[] = {{0.5, 0.0},
                 {0.975, 1.959963984540054},
                 {0.9, 1.2815515655446004},
                 {1e-10, -6.361340902404056}};
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        assert_near("quantile", pn_normal_quantile(cases[i].p), cases[i].z,
                    1e-14 * (1.0 + fabs(cases[i].z)));
    }
    for (double p = 1e-12; p < 1.0; p = p < 0.5 ? p * 1.7 : p + 0.003) {
        double back = pn_normal_cdf(pn_normal_quantile(p));
        assert_near("round trip", back, p, 1e-13 * p + 1e-15);
    }
    assert_near("p = 0", pn_normal_quantile(0.0), NAN, 0.0);
    assert_near("p = 1", pn_normal_quantile(1.0), NAN, 0.0);
    assert_near("missing", pn_normal_quantile(NAN), NAN, 0.0);
}

static void log_gamma(void **state) {
    (void)state;
    double factorial = 1.0;
    for (int n = 1; n <= 20; n++) {
        assert_near("(n-1)!", pn_log_gamma(n), log(factorial),
                    1e-14 * (1.0 + log(factorial)));
        factorial *= n;
    }
    assert_near("half", pn_log_gamma(0.5), 0.57236494292470009, 1e-14);
    assert_near("tiny", pn_log_gamma(1e-10), -log(1e-10), 1e-9);
    assert_near("zero", pn_log_gamma(0.0), NAN, 0.0);
    assert_near("missing", pn_log_gamma(NAN), NAN, 0.0);
    assert_true(isinf(pn_log_gamma(INFINITY)));
}

static void logistic_and_log_sum(void **state) {
    (void)state;
    assert_near("half", pn_logistic(0.0), 0.5, 0.0);
    assert_near("far up", pn_logistic(1000.0), 1.0, 0.0);
    assert_near("far down", pn_logistic(-1000.0), 0.0, 0.0);
    assert_near("symmetry", pn_logistic(2.0) + pn_logistic(-2.0), 1.0, 3e-16);
    double x[] = {-1000.0, -1000.0};
    assert_near("sum", pn_log_sum_exp(x, 2), -1000.0 + log(2.0), 1e-12);
    assert_true(pn_log_sum_exp(x, 0) < -1e300);
}

static void negative_binomial(void **state) {
    (void)state;
    /* size 1 is the geometric distribution: P(0) = 1 / (1 + mean) */
    assert_near("geometric", pn_negbin_cdf(0, 3.0, 1.0), 0.25, 1e-14);
    assert_near("geometric", pn_negbin_cdf(2, 3.0, 1.0),
                1.0 - 0.75 * 0.75 * 0.75, 1e-14);
    assert_near("poisson", pn_negbin_cdf(1, 2.0, INFINITY), 3.0 * exp(-2.0),
                1e-14);
    assert_near("nothing there", pn_negbin_cdf(0, 0.0, 2.0), 1.0, 0.0);
    assert_near("domain", pn_negbin_cdf(0, -1.0, 2.0), NAN, 0.0);
    assert_int_equal(pn_negbin_quantile(0.5, NAN, 1.0), -1);
    static const double means[] = {1e-6, 0.3, 4.0, 60.0, 2000.0, 9e4};
    static const double sizes[] = {0.05, 0.8, 10.0, 1e6, INFINITY};
    for (size_t m = 0; m < COUNT_OF(means); m++) {
        for (size_t s = 0; s < COUNT_OF(sizes); s++) {
            for (double p = 0.05; p < 1.0; p += 0.15) {
                int64_t n = pn_negbin_quantile(p, means[m], sizes[s]);
                double at = pn_negbin_cdf(n, means[m], sizes[s]);
                double below = pn_negbin_cdf(n - 1, means[m], sizes[s]);
                assert_true(at >= p - 1e-9 && below < p + 1e-9);
            }
        }
    }
}

/* The moments of the probabilities are those asked for. */
static void negative_binomial_moments(void **state) {
    (void)state;
    double mean = 7.0;
    double size = 1.5;
    double sum = 0.0;
    double first = 0.0;
    double second = 0.0;
    for (int64_t n = 0; n < 2000; n++) {
        double p = exp(pn_negbin_log_pmf(n, mean, size));
        double x = (double)n;
        sum += p;
        first += p * x;
        second += p * x * x;
    }
    assert_near("sum", sum, 1.0, 1e-12);
    assert_near("mean", first, mean, 1e-10);
    assert_near("variance", second - first * first, mean + mean * mean / size,
                1e-8);
}

static void pairs(void **state) {
    (void)state;
    double want[] = {1.0, 2.0, NAN, 3.0, 4.0};
    double got[] = {1.5, 2.5, 9.0, 3.5, 4.5};
    assert_near("rmse", pn_rmse(got, want, 5), 0.5, 1e-15);
    assert_near("bias", pn_bias(got, want, 5), 0.5, 1e-15);
    assert_near("r", pn_pearson(got, want, 5), 1.0, 1e-15);
    assert_near("nse", pn_nse(got, want, 5), 1.0 - 0.25 * 4.0 / 5.0, 1e-15);
    assert_near("perfect", pn_nse(want, want, 5), 1.0, 0.0);
    assert_near("one pair", pn_rmse(got, want, 1), NAN, 0.0);
    double flat[] = {2.0, 2.0, 2.0, 2.0, 2.0};
    assert_near("no variance", pn_nse(got, flat, 5), NAN, 0.0);
    double values[] = {4.0, 1.0, 3.0, 2.0};
    /* type 7 of 1..4: 1 + 3p */
    assert_near("median", pn_quantile(values, 4, 0.5), 2.5, 1e-15);
    assert_near("tenth", pn_quantile(values, 4, 0.1), 1.3, 1e-15);
    assert_near("top", pn_quantile(values, 4, 1.0), 4.0, 0.0);
    assert_near("none", pn_quantile(values, 0, 0.5), NAN, 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(normal_distribution),
        cmocka_unit_test(log_gamma),
        cmocka_unit_test(logistic_and_log_sum),
        cmocka_unit_test(negative_binomial),
        cmocka_unit_test(negative_binomial_moments),
        cmocka_unit_test(pairs),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
