#include "season_support.h"

static void every_allocation_may_fail(void **state) {
    (void)state;
    for (int permitted = 0; permitted < 2; permitted++) {
        failing limit = {permitted};
        pn_alloc alloc = failing_alloc(&limit);
        pn_season_state *out = NULL;
        pn_error err = {0};
        assert_int_equal(pn_season_state_new(&alloc, 10, &out, &err),
                         PN_ENOMEM);
        assert_null(out);
    }
    pn_season_state *out = NULL;
    assert_int_equal(
        pn_season_state_new(&pn_alloc_libc, SIZE_MAX / 4, &out, NULL),
        PN_ENOMEM);
    assert_int_equal(pn_season_state_new(&pn_alloc_libc, 0, &out, NULL),
                     PN_EDOMAIN);
    assert_null(out);
    pn_season_state_free(NULL);
}

/* one past, many futures: copies go on alike, and apart from the original */
static void a_copy_spreads_over_an_ensemble(void **state) {
    (void)state;
    const pn_kind *kind = kind_of("bay_bolete");
    double params[PN_SEASON_PARAM_COUNT];
    pn_season_params_median(kind, params);
    invented past = invent(260, 2, 31);
    invented next = invent(280, 6, 31);
    double *density = doubles(280 * 6);
    pn_season_state *small = fresh(2);
    pn_season_state *wide = fresh(6);
    assert_int_equal(
        pn_season_run(params, kind->model, &past.drivers, small, density, NULL),
        PN_OK);
    assert_int_equal(pn_season_state_copy(small, wide, NULL), PN_OK);
    assert_int_equal(pn_season_state_days(wide), 260);
    pn_season_drivers future = days_from(&next.drivers, 260, 20);
    for (size_t d = 260; d < 280; d++) { /* the members share cell weather */
        for (size_t c = 2; c < 6; c++) {
            next.water[d * 6 + c] = next.water[d * 6 + c % 2];
            next.soil[d * 6 + c] = next.soil[d * 6 + c % 2];
            next.tmin[d * 6 + c] = next.tmin[d * 6 + c % 2];
        }
    }
    assert_int_equal(
        pn_season_run(params, kind->model, &future, wide, density, NULL),
        PN_OK);
    for (size_t i = 0; i < 20 * 6; i++) {
        size_t twin = i / 6 * 6 + i % 6 % 2;
        assert_same_bits("member", &density[i], &density[twin], 1);
    }
    assert_int_equal(pn_season_state_days(small), 260); /* untouched */
    pn_season_state_free(small);
    pn_season_state_free(wide);
    free(density);
    invented_free(&past);
    invented_free(&next);
}

static void what_does_not_fit_is_refused(void **state) {
    (void)state;
    const pn_kind *kind = kind_of("bay_bolete");
    double params[PN_SEASON_PARAM_COUNT];
    pn_season_params_median(kind, params);
    invented in = invent(10, 3, 32);
    double density[30];
    pn_error err = {0};
    pn_season_state *three = fresh(3);
    pn_season_state *four = fresh(4);
    assert_int_equal(pn_season_state_copy(three, four, &err), PN_EDOMAIN);
    assert_int_equal(pn_season_state_cells(four), 4);
    assert_int_equal(
        pn_season_run(params, kind->model, &in.drivers, four, density, &err),
        PN_EDOMAIN);
    assert_non_null(strstr(err.message, "4 cells, the drivers 3"));
    pn_season_drivers first = days_from(&in.drivers, 0, 4);
    pn_season_drivers gap = days_from(&in.drivers, 5, 5);
    assert_int_equal(
        pn_season_run(params, kind->model, &first, three, density, &err),
        PN_OK);
    assert_int_equal(
        pn_season_run(params, kind->model, &gap, three, density, &err),
        PN_EDOMAIN);
    assert_non_null(strstr(err.message, "2025-01-05"));
    pn_season_drivers none = days_from(&in.drivers, 4, 0);
    assert_int_equal(
        pn_season_run(params, kind->model, &none, three, density, &err), PN_OK);
    assert_int_equal(pn_season_state_days(three), 4);
    pn_season_state_free(three);
    pn_season_state_free(four);
    invented_free(&in);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_allocation_may_fail),
        cmocka_unit_test(a_copy_spreads_over_an_ensemble),
        cmocka_unit_test(what_does_not_fit_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
