// SPDX-License-Identifier: MIT
/* The measured promise: on a real monitored farm, fitted on 2017 only and
 * judged on 2018-19 with the drought of 2018 in it. Observations: COSMOS-UK,
 * UK Centre for Ecology & Hydrology, Open Government Licence v3. */
#include "support/check.h"
#include "support/station.h"

#include <time.h>

static void report(const pn_score_method *m) {
    print_message("%s: judged %zu days, RMSE %.4f, bias %+.4f, r %.3f, "
                  "NSE %.3f\n",
                  m->name, m->judge.day_count, m->judge.rmse, m->judge.bias,
                  m->judge.pearson, m->judge.nse);
}

static void spen_farm_reaches_its_marks(void **state) {
    (void)state;
    char *text = station_read();
    pn_score_soil_opts opts = station_opts(text);
    pn_score_soil *score = NULL;
    pn_error err = {0};
    clock_t start = clock();
    if (pn_score_soil_run(&pn_alloc_libc, &opts, &score, &err) != PN_OK) {
        fail_msg("%s", err.message);
    }
    double seconds = (double)(clock() - start) / CLOCKS_PER_SEC;
    const pn_score_method *water =
        station_method(score, PN_SCORE_WATER, "pannage, fitted");
    const pn_score_method *warmth =
        station_method(score, PN_SCORE_WARMTH, "pannage, fitted");
    report(water);
    report(warmth);
    assert_int_equal(water->judge.day_count, 730);
    assert_int_equal(warmth->judge.day_count, 730);
    assert_true(warmth->judge.rmse <= 1.5);
    assert_true(water->judge.nse >= 0.80);
    assert_true(seconds < 20);

    /* every simple method is beaten on the judged years */
    for (size_t i = 0; i < score->method_count; i++) {
        const pn_score_method *m = &score->methods[i];
        const pn_score_method *ours =
            m->target == PN_SCORE_WATER ? water : warmth;
        assert_true(m->is_ours || m->judge.rmse > ours->judge.rmse);
    }
    pn_score_soil_free(score);
    free(text);
}

/* The simple methods, fitted here, must come out where others measured them
 * on the same file (with other code, before this was written: 2.18, 1.74,
 * 1.51 and 2.18 degC); so the comparison is fair to them. */
static void simple_methods_match_independent_figures(void **state) {
    (void)state;
    static const struct {
        const char *name;
        double rmse_degc, tol_degc;
    } rows[] = {
        {"smoothed air", 2.18, 0.03},
        {"smoothed air + solar term", 1.74, 0.03},
        {"smoothed air + solar + constant", 1.51, 0.03},
        {"Katterer & Andren, leaf area fitted", 2.18, 0.03},
    };
    char *text = station_read();
    pn_score_soil_opts opts = station_opts(text);
    pn_score_soil *score = NULL;
    assert_int_equal(pn_score_soil_run(&pn_alloc_libc, &opts, &score, NULL),
                     PN_OK);
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        const pn_score_method *m =
            station_method(score, PN_SCORE_WARMTH, rows[i].name);
        report(m);
        assert_near(rows[i].name, m->judge.rmse, rows[i].rmse_degc,
                    rows[i].tol_degc);
    }
    pn_score_soil_free(score);
    free(text);
}

/* What a person without a station would have: minimum, maximum, rain. */
static void air_and_rain_alone_still_reach_them(void **state) {
    (void)state;
    char *text = station_read();
    pn_score_soil_opts opts = station_opts(text);
    opts.air_only = true;
    pn_score_soil *score = NULL;
    assert_int_equal(pn_score_soil_run(&pn_alloc_libc, &opts, &score, NULL),
                     PN_OK);
    const pn_score_method *water =
        station_method(score, PN_SCORE_WATER, "pannage, fitted");
    const pn_score_method *warmth =
        station_method(score, PN_SCORE_WARMTH, "pannage, fitted");
    report(water);
    report(warmth);
    assert_true(warmth->judge.rmse <= 1.5);
    assert_true(water->judge.nse >= 0.80);
    pn_score_soil_free(score);
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(spen_farm_reaches_its_marks),
        cmocka_unit_test(simple_methods_match_independent_figures),
        cmocka_unit_test(air_and_rain_alone_still_reach_them),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
