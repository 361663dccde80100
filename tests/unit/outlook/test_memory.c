#include "support/check.h"

#include "pannage/outlook.h"

static pn_kind plain_kind(void) {
    return (pn_kind){.id = "test",
                     .item_g = 100.0,
                     .item_cv = 0.5,
                     .worthwhile_count = 3,
                     .rate_shape = 2.0,
                     .rate_mean = 4.0,
                     .visit_dispersion = 0.6,
                     .density_log_sd = 0.7};
}

static double lambda_of(const pn_kind *kind, const pn_outlook_exposure *visits,
                        size_t count) {
    pn_outlook_memory memory = {0};
    pn_outlook_remember(kind, NAN, visits, count, &memory);
    return memory.shape / memory.rate_per_n;
}

/* Without extra variance and this year: the conjugate update by hand. */
static void textbook_update(void **state) {
    (void)state;
    pn_kind kind = plain_kind();
    kind.visit_dispersion = 0.0;
    kind.density_log_sd = 0.0;
    const pn_outlook_exposure visits[] = {{0.95, 1.0, 0.0, 3},
                                          {0.95, 1.0, 0.0, 5}};
    pn_outlook_memory memory = {0};
    pn_outlook_remember(&kind, NAN, visits, 2, &memory);
    assert_near("prior mean", memory.prior_mean, 4.0, 0.0);
    assert_near("shape", memory.shape, 2.0 + 8.0, 1e-12);
    assert_near("rate", memory.rate_per_n, 0.5 + 2.0, 1e-12);
    pn_outlook_remember(&kind, 2.0, visits, 0, &memory);
    assert_near("the gatherer's guess", memory.shape / memory.rate_per_n, 8.0,
                1e-12);
}

static void visits_teach(void **state) {
    (void)state;
    pn_kind kind = plain_kind();
    const pn_outlook_exposure blank = {0.8, 1.0, 0.0, 0};
    const pn_outlook_exposure full = {0.8, 1.0, 0.0, 20};
    const pn_outlook_exposure old_blank = {0.8, 1.0, 6.0, 0};
    const pn_outlook_exposure off_season = {0.0, 1.0, 0.0, 0};
    double prior = lambda_of(&kind, NULL, 0);
    assert_near("prior", prior, 4.0, 1e-12);
    assert_true(lambda_of(&kind, &blank, 1) < 0.9 * prior);
    assert_true(lambda_of(&kind, &full, 1) > 1.3 * prior);
    assert_true(lambda_of(&kind, &old_blank, 1) > lambda_of(&kind, &blank, 1));
    assert_true(lambda_of(&kind, &off_season, 1) > 0.85 * prior);
}

/* One enormous day counts for no more than a few ordinary visits. */
static void one_day_does_not_rule(void **state) {
    (void)state;
    pn_kind kind = plain_kind();
    pn_outlook_exposure visits[11];
    for (int i = 0; i < 10; i++) {
        visits[i] = (pn_outlook_exposure){0.8, 1.0, 0.0, 3};
    }
    double ordinary = lambda_of(&kind, visits, 10);
    visits[10] = (pn_outlook_exposure){0.8, 1.0, 0.0, 300};
    double with_one = lambda_of(&kind, visits, 11);
    double plain_mean = (10 * 3 + 300) / (11 * 0.85);
    assert_true(with_one > ordinary);
    assert_true(with_one < plain_mean);
}

static void order_does_not_matter(void **state) {
    (void)state;
    pn_kind kind = plain_kind();
    pn_random random = pn_random_seeded(5);
    pn_outlook_exposure there[20];
    pn_outlook_exposure back[20];
    for (size_t i = 0; i < 20; i++) {
        there[i] = (pn_outlook_exposure){
            .density = pn_random_uniform(&random),
            .effort = 0.2 + pn_random_uniform(&random),
            .years = 5.0 * pn_random_uniform(&random),
            .count = pn_random_poisson(&random, 4.0),
        };
        back[19 - i] = there[i];
    }
    double want = lambda_of(&kind, there, 20);
    assert_near("reversed", lambda_of(&kind, back, 20), want, 1e-8 * want);
}

static void effort(void **state) {
    (void)state;
    assert_near("usual", pn_outlook_effort(30.0), 1.0, 1e-15);
    assert_near("not known", pn_outlook_effort(NAN), 1.0, 0.0);
    assert_near("none", pn_outlook_effort(0.0), NAN, 0.0);
    double last = 0.0;
    for (double minutes = 1.0; minutes <= 240.0; minutes += 1.0) {
        double now = pn_outlook_effort(minutes);
        assert_true(now > last && now < 1.3);
        last = now;
    }
}

static void predictions_are_bounded_and_monotone(void **state) {
    (void)state;
    pn_kind kind = plain_kind();
    pn_outlook_memory memory = {.shape = 3.0, .rate_per_n = 0.5};
    double last = -1.0;
    for (double n = 0.0; n < 3.0; n += 0.02) {
        pn_outlook_day sure;
        pn_outlook_day unsure;
        pn_outlook_predict(&kind, &memory, n, 0.0, &sure);
        pn_outlook_predict(&kind, &memory, n, 1.0, &unsure);
        assert_true(sure.chance_prob >= 0.0 && sure.chance_prob <= 1.0);
        assert_true(sure.chance_prob > last || n <= 0.0);
        assert_true(sure.kg_low <= sure.kg_high);
        assert_near("mean", sure.count_mean, 6.0 * n, 1e-12);
        assert_near("weight", sure.kg, 0.6 * n, 1e-12);
        assert_true(unsure.kg_low <= sure.kg_low + 1e-12);
        last = sure.chance_prob;
    }
    pn_outlook_day none;
    pn_outlook_predict(&kind, &memory, 0.0, 0.0, &none);
    assert_near("nothing stands", none.chance_prob, 0.0, 0.0);
    assert_near("nothing stands", none.kg_high, 0.0, 0.0);
    pn_outlook_predict(&kind, &memory, NAN, 0.0, &none);
    assert_near("not known", none.chance_prob, NAN, 0.0);
    assert_near("not known", none.kg, NAN, 0.0);
}

/* The chance and the interval against a simulation of the same story: a
 * Gamma lambda, Gamma noise of the day, Poisson counts. */
static void agrees_with_simulation(void **state) {
    (void)state;
    enum { DRAWS = 200000 };
    pn_kind kind = plain_kind();
    kind.density_log_sd = 0.0;
    kind.item_cv = 0.0;
    pn_outlook_memory memory = {.shape = 1e9, .rate_per_n = 1e9 / 5.0};
    pn_outlook_day day;
    pn_outlook_predict(&kind, &memory, 0.7, 0.0, &day);
    pn_random random = pn_random_seeded(11);
    int worth = 0;
    int at_most_low = 0;
    int at_most_high = 0;
    for (int i = 0; i < DRAWS; i++) {
        double noise = pn_random_gamma(&random, 1.0 / 0.6, 0.6);
        double kg = 0.1 * (double)pn_random_poisson(&random, 3.5 * noise);
        worth += kg > 0.25;
        at_most_low += kg <= day.kg_low + 1e-9;
        at_most_high += kg <= day.kg_high + 1e-9;
    }
    assert_near("chance", (double)worth / DRAWS, day.chance_prob, 0.005);
    assert_true(at_most_low >= DRAWS / 10);
    assert_true(at_most_high >= DRAWS * 9 / 10 - DRAWS / 200);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(textbook_update),
        cmocka_unit_test(visits_teach),
        cmocka_unit_test(one_day_does_not_rule),
        cmocka_unit_test(order_does_not_matter),
        cmocka_unit_test(effort),
        cmocka_unit_test(predictions_are_bounded_and_monotone),
        cmocka_unit_test(agrees_with_simulation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
