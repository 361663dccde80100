#include "season_support.h"

typedef void spoil(invented *in, pn_season_drivers *drivers);

static void no_water(invented *in, pn_season_drivers *drivers) {
    (void)in;
    drivers->water_frac = NULL;
}
static void water_missing(invented *in, pn_season_drivers *drivers) {
    (void)drivers;
    in->water[2 * 3 + 1] = NAN;
}
static void water_above_one(invented *in, pn_season_drivers *drivers) {
    (void)drivers;
    in->water[2 * 3 + 1] = 1.5;
}
static void soil_in_fahrenheit(invented *in, pn_season_drivers *drivers) {
    (void)drivers;
    in->soil[9 * 3 + 2] = 77.0;
}
static void air_infinite(invented *in, pn_season_drivers *drivers) {
    (void)drivers;
    in->tmin[0] = -INFINITY;
}
static void day_missing(invented *in, pn_season_drivers *drivers) {
    (void)drivers;
    for (size_t d = 5; d < 10; d++) {
        in->epoch_day[d]++;
    }
}
static void day_twice(invented *in, pn_season_drivers *drivers) {
    (void)drivers;
    in->epoch_day[4] = in->epoch_day[3];
}
static void no_dates(invented *in, pn_season_drivers *drivers) {
    (void)in;
    drivers->epoch_day = NULL;
}
static void swapped(invented *in, pn_season_drivers *drivers) {
    (void)drivers;
    in->tmin[4 * 3] = in->tmax[4 * 3] + 1.0;
}
static void no_hours(invented *in, pn_season_drivers *drivers) {
    (void)in;
    drivers->day_length_h = NULL;
}
static void hours_over(invented *in, pn_season_drivers *drivers) {
    (void)drivers;
    in->hours[29] = 24.5;
}
static void too_many(invented *in, pn_season_drivers *drivers) {
    (void)in;
    drivers->day_count = SIZE_MAX / 8;
}

static void each_fault_is_named_and_nothing_changes(void **state) {
    (void)state;
    static const struct {
        const char *kind, *says;
        spoil *how;
    } cases[] = {
        {"penny_bun", "needs water_frac", no_water},
        {"penny_bun", "water_frac is nan on 2025-01-03 in cell 1",
         water_missing},
        {"penny_bun", "water_frac is 1.5 on 2025-01-03", water_above_one},
        {"penny_bun", "soil_degc is 77 on 2025-01-10 in cell 2",
         soil_in_fahrenheit},
        {"penny_bun", "tmin_degc is -inf on 2025-01-01 in cell 0",
         air_infinite},
        {"penny_bun", "the day after 2025-01-05 is missing", day_missing},
        {"beech_nuts", "the day after 2025-01-04 is missing", day_twice},
        {"beech_nuts", "no dates", no_dates},
        {"beech_nuts", "above tmax_degc", swapped},
        {"hop_cones", "needs day_length_h", no_hours},
        {"hop_cones", "day_length_h is 24.5 on 2025-01-10 in cell 2",
         hours_over},
        {"hop_cones", "more than memory", too_many},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        const pn_kind *kind = kind_of(cases[i].kind);
        double params[PN_SEASON_PARAM_COUNT];
        pn_season_params_median(kind, params);
        invented in = invent(10, 3, 21);
        pn_season_drivers drivers = in.drivers;
        cases[i].how(&in, &drivers);
        double *density = doubles(30);
        pn_season_state *run = fresh(3);
        pn_error err = {0};
        pn_status status =
            pn_season_run(params, kind->model, &drivers, run, density, &err);
        if (status != PN_EDOMAIN ||
            strstr(err.message, cases[i].says) == NULL) {
            print_error("want \"%s\", got \"%s\"\n", cases[i].says,
                        err.message);
            fail();
        }
        assert_int_equal(pn_season_state_days(run), 0);
        pn_season_factors factors;
        assert_int_equal(pn_season_explain(params, kind->model, &drivers, NULL,
                                           (pn_season_query){1, 0}, &factors,
                                           NULL),
                         PN_EDOMAIN);
        pn_season_state_free(run);
        free(density);
        invented_free(&in);
    }
}

/* a failure in the last cell leaves the state of the first ones alone too */
static void a_failed_run_leaves_the_state(void **state) {
    (void)state;
    enum { CELLS = 1500, DAYS = 6 };
    const pn_kind *kind = kind_of("chanterelle");
    double params[PN_SEASON_PARAM_COUNT];
    pn_season_params_median(kind, params);
    invented in = invent(2 * DAYS, CELLS, 22);
    pn_season_drivers early = days_from(&in.drivers, 0, DAYS);
    pn_season_drivers late = days_from(&in.drivers, DAYS, DAYS);
    double *want = doubles(DAYS * CELLS);
    double *got = doubles(DAYS * CELLS);
    pn_season_state *clean = fresh(CELLS);
    pn_season_state *tried = fresh(CELLS);
    assert_int_equal(
        pn_season_run(params, kind->model, &early, clean, want, NULL), PN_OK);
    assert_int_equal(
        pn_season_run(params, kind->model, &early, tried, want, NULL), PN_OK);
    double *last = &in.soil[2 * DAYS * CELLS - 1];
    double keep = *last;
    *last = NAN;
    assert_int_equal(
        pn_season_run(params, kind->model, &late, tried, got, NULL),
        PN_EDOMAIN);
    assert_int_equal(pn_season_state_days(tried), DAYS);
    *last = keep;
    assert_int_equal(
        pn_season_run(params, kind->model, &late, clean, want, NULL), PN_OK);
    assert_int_equal(
        pn_season_run(params, kind->model, &late, tried, got, NULL), PN_OK);
    assert_same_bits("after the failure", got, want, DAYS * CELLS);
    pn_season_state_free(clean);
    pn_season_state_free(tried);
    free(want);
    free(got);
    invented_free(&in);
}

static void unread_drivers_may_be_missing(void **state) {
    (void)state;
    invented in = invent(10, 3, 23);
    double density[30];
    double params[PN_SEASON_PARAM_COUNT];
    pn_season_drivers fungus = in.drivers;
    fungus.tmax_degc = NULL;
    fungus.day_length_h = NULL;
    pn_season_params_median(kind_of("penny_bun"), params);
    pn_season_state *run = fresh(3);
    assert_int_equal(
        pn_season_run(params, PN_SEASON_FUNGUS, &fungus, run, density, NULL),
        PN_OK);
    pn_season_drivers plant = in.drivers;
    plant.water_frac = NULL;
    plant.soil_degc = NULL;
    plant.day_length_h = NULL;
    pn_season_params_median(kind_of("elderflower"), params);
    pn_season_state_reset(run);
    assert_int_equal(
        pn_season_run(params, PN_SEASON_PLANT, &plant, run, density, NULL),
        PN_OK);
    pn_season_state_free(run);
    invented_free(&in);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_fault_is_named_and_nothing_changes),
        cmocka_unit_test(a_failed_run_leaves_the_state),
        cmocka_unit_test(unread_drivers_may_be_missing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
