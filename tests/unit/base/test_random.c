#include "support/check.h"

#include "pannage/base.h"

/* First outputs from the state 1, 2, 3, 4: the vector that the generator's
 * authors' C code gives (from memory). */
static void published_vector(void **state) {
    (void)state;
    static const uint64_t want[] = {11520U,
                                    0U,
                                    1509978240U,
                                    1215971899390074240U,
                                    1216172134540287360U,
                                    607988272756665600U};
    pn_random random = {{1, 2, 3, 4}};
    for (size_t i = 0; i < COUNT_OF(want); i++) {
        assert_true(pn_random_u64(&random) == want[i]);
    }
}

enum { DRAWS = 200000 };

typedef double (*draw)(pn_random *);

static double normal(pn_random *random) {
    return pn_random_normal(random);
}
static double gamma_small(pn_random *random) {
    return pn_random_gamma(random, 0.5, 2.0);
}
static double gamma_large(pn_random *random) {
    return pn_random_gamma(random, 7.5, 0.4);
}
static double poisson_small(pn_random *random) {
    return (double)pn_random_poisson(random, 0.7);
}
static double poisson_large(pn_random *random) {
    return (double)pn_random_poisson(random, 75.0);
}

/* Means within five standard errors, variances within 3 %. */
static void moments(void **state) {
    (void)state;
    static const struct {
        const char *name;
        draw draw;
        double mean, variance;
    } cases[] = {
        {"uniform", pn_random_uniform, 0.5, 1.0 / 12.0},
        {"normal", normal, 0.0, 1.0},
        {"gamma 0.5 x 2", gamma_small, 1.0, 2.0},
        {"gamma 7.5 x 0.4", gamma_large, 3.0, 1.2},
        {"poisson 0.7", poisson_small, 0.7, 0.7},
        {"poisson 75", poisson_large, 75.0, 75.0},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        pn_random random = pn_random_seeded(20260914);
        double sum = 0.0;
        double squares = 0.0;
        for (int n = 0; n < DRAWS; n++) {
            double x = cases[i].draw(&random) - cases[i].mean;
            sum += x;
            squares += x * x;
        }
        double standard_error = sqrt(cases[i].variance / DRAWS);
        assert_near(cases[i].name, sum / DRAWS, 0.0, 5.0 * standard_error);
        assert_near(cases[i].name, squares / DRAWS, cases[i].variance,
                    0.03 * cases[i].variance);
    }
}

static void outside_the_domain(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(1);
    assert_near("shape", pn_random_gamma(&random, 0.0, 1.0), NAN, 0.0);
    assert_near("scale", pn_random_gamma(&random, 1.0, NAN), NAN, 0.0);
    assert_int_equal(pn_random_poisson(&random, -1.0), -1);
    assert_int_equal(pn_random_poisson(&random, NAN), -1);
    assert_int_equal(pn_random_poisson(&random, 0.0), 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(published_vector),
        cmocka_unit_test(moments),
        cmocka_unit_test(outside_the_domain),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
