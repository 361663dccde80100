#include "support/check.h"

#include "pannage/base.h"
#include "pannage/vmath.h"

enum { TRIES = 400000 };

/* distance in units of the last place of the double nearest to want */
static double ulps(double got, long double want) {
    int exponent = 0;
    (void)frexp((double)want, &exponent);
    return (double)(fabsl((long double)got - want) /
                    ldexpl(1.0L, exponent - 53));
}

static void exp_is_within_its_stated_error(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(1);
    double worst = 0.0;
    for (int i = 0; i < TRIES; i++) {
        double u = pn_random_uniform(&random);
        double x = i % 2 == 0 ? -708.0 + 1417.0 * u : 4.0 * u - 2.0;
        worst = fmax(worst, ulps(pn_vexp(x), expl((long double)x)));
    }
    assert_true(worst <= 1.1);
    assert_true(worst > 0.4); /* the yardstick itself works */
}

static void log_is_within_its_stated_error(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(2);
    double worst = 0.0;
    for (int i = 0; i < TRIES; i++) {
        double u = pn_random_uniform(&random);
        int exponent = (int)(pn_random_u64(&random) % 2040) - 1020;
        double x = i % 2 == 0 ? ldexp(1.0 + u, exponent) : 0.5 + 2.0 * u;
        worst = fmax(worst, ulps(pn_vlog(x), logl((long double)x)));
    }
    assert_true(worst <= 0.9);
    assert_true(worst > 0.4);
}

static void asin_is_within_its_stated_error(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(3);
    double worst = 0.0;
    for (int i = 0; i < TRIES; i++) {
        double x = 2.0 * pn_random_uniform(&random) - 1.0;
        worst = fmax(worst, ulps(pn_vasin(x), asinl((long double)x)));
    }
    assert_true(worst <= 2.2);
    assert_true(worst > 0.4);
}

static void the_quick_ones_have_twelve_digits(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(7);
    double worst_exp = 0.0;
    double worst_log = 0.0;
    for (int i = 0; i < TRIES; i++) {
        double u = pn_random_uniform(&random);
        double x = i % 2 == 0 ? -1021.0 + 2043.0 * u : 8.0 * u - 4.0;
        worst_exp = fmax(worst_exp, fabs(pn_vexp2_quick(x) / exp2(x) - 1.0));
        double y = i % 2 == 0 ? exp2(x / 2.0) : 0.5 + 2.0 * u;
        double want = log2(y);
        worst_log = fmax(worst_log, fabs(pn_vlog2_quick(y) - want) /
                                        fmax(1.0, fabs(want)));
    }
    assert_true(worst_exp <= 2.5e-12);
    assert_true(worst_log <= 2e-14);
    assert_near("2^0", pn_vexp2_quick(0.0), 1.0, 0.0);
    assert_near("2^10", pn_vexp2_quick(10.0), 1024.0, 0.0);
    assert_near("log2 1", pn_vlog2_quick(1.0), 0.0, 0.0);
    assert_near("log2 8", pn_vlog2_quick(8.0), 3.0, 0.0);
    assert_near("NaN", pn_vexp2_quick(NAN), NAN, 0.0);
}

static void edges(void **state) {
    (void)state;
    assert_near("exp 0", pn_vexp(0.0), 1.0, 0.0);
    assert_near("exp -0", pn_vexp(-0.0), 1.0, 0.0);
    assert_near("exp below the bound", pn_vexp(-1e300), exp(-708.0), 1e-320);
    assert_near("exp of -inf", pn_vexp(-INFINITY), exp(-708.0), 1e-320);
    assert_near("exp above the bound", pn_vexp(INFINITY) / exp(709.0), 1.0,
                1e-15);
    assert_near("exp of NaN", pn_vexp(NAN), NAN, 0.0);
    assert_near("log 1", pn_vlog(1.0), 0.0, 0.0);
    assert_near("log 0", pn_vlog(0.0), NAN, 0.0);
    assert_near("log of a negative", pn_vlog(-1.0), NAN, 0.0);
    assert_near("log of a subnormal", pn_vlog(5e-324), NAN, 0.0);
    assert_near("log of infinity", pn_vlog(INFINITY), NAN, 0.0);
    assert_near("log of NaN", pn_vlog(NAN), NAN, 0.0);
    assert_near("log of the smallest", pn_vlog(0x1p-1022), -1022.0 * log(2.0),
                1e-12);
    assert_near("asin 1", pn_vasin(1.0), asin(1.0), 0.0);
    assert_near("asin -1", pn_vasin(-1.0), -asin(1.0), 0.0);
    assert_near("asin 0", pn_vasin(0.0), 0.0, 0.0);
    assert_near("asin 1/2", pn_vasin(0.5), asin(0.5), 3e-16);
    assert_near("asin outside", pn_vasin(1.0000001), NAN, 0.0);
    assert_near("asin of NaN", pn_vasin(NAN), NAN, 0.0);
    assert_near("clamp keeps NaN", pn_vclamp(NAN, 0.0, 1.0), NAN, 0.0);
    assert_near("clamp low", pn_vclamp(-3.0, 0.0, 1.0), 0.0, 0.0);
    assert_near("clamp high", pn_vclamp(3.0, 0.0, 1.0), 1.0, 0.0);
}

/* A change of one bit in any of these is a change for every compiler. */
static void bits_are_pinned(void **state) {
    (void)state;
    uint64_t hash = 1469598103934665603u;
    pn_random random = pn_random_seeded(4);
    for (int i = 0; i < 20000; i++) {
        double u = pn_random_uniform(&random);
        uint64_t bits = pn_vbits(pn_vexp(40.0 * u - 20.0)) ^
                        (pn_vbits(pn_vlog(1e-3 + u)) << 1) ^
                        (pn_vbits(pn_vasin(2.0 * u - 1.0)) << 2);
        hash = (hash ^ bits) * 1099511628211u;
    }
    assert_int_equal(hash, UINT64_C(0x1347cc1f5ad6d9b8));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(exp_is_within_its_stated_error),
        cmocka_unit_test(log_is_within_its_stated_error),
        cmocka_unit_test(asin_is_within_its_stated_error),
        cmocka_unit_test(the_quick_ones_have_twelve_digits),
        cmocka_unit_test(edges),
        cmocka_unit_test(bits_are_pinned),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
