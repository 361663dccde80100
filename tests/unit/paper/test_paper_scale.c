#include "support/check.h"

#include <stdio.h>

#include "paper/paper_internal.h"

static void limits_are_round(void **state) {
    (void)state;
    static const struct {
        const char *name;
        double low, high;
        int wanted;
        double want_low, want_step;
        int want_intervals, want_decimals;
    } cases[] = {
        {"0 to 4 in fours", 0.0, 4.0, 4, 0.0, 1.0, 4, 0},
        {"steps of 5", 1.0, 19.0, 4, 0.0, 5.0, 4, 0},
        {"steps of 2.5 show one digit", 0.0, 10.0, 4, 0.0, 2.5, 4, 1},
        {"a quarter shows two digits", 0.0, 1.0, 4, 0.0, 0.25, 4, 2},
        {"below zero", -6.0, 25.0, 4, -10.0, 10.0, 4, 0},
        {"small", 0.0, 0.003, 3, 0.0, 0.001, 3, 3},
        {"large", 0.0, 1e9, 4, 0.0, 2.5e8, 4, 0},
        {"not one rounding too far", 0.0, 0.3, 3, 0.0, 0.1, 3, 1},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        paper_scale got =
            paper_scale_for(cases[i].low, cases[i].high, cases[i].wanted);
        assert_near(cases[i].name, got.low, cases[i].want_low, 0.0);
        assert_near(cases[i].name, got.step, cases[i].want_step,
                    1e-15 * cases[i].want_step);
        assert_int_equal(got.intervals, cases[i].want_intervals);
        assert_int_equal(got.decimals, cases[i].want_decimals);
    }
}

/* Any range fits its axis, and the axis is not much too long. */
static void any_range_fits(void **state) {
    (void)state;
    pn_random random = pn_random_seeded(7);
    for (int i = 0; i < 20000; i++) {
        double size = pow(10.0, 20.0 * pn_random_uniform(&random) - 8.0);
        double low = size * (pn_random_uniform(&random) - 0.5);
        double high =
            low + size * pn_random_uniform(&random) * (i % 7 == 0 ? 0.0 : 1.0);
        int wanted = 2 + (int)(pn_random_u64(&random) % 8);
        paper_scale axis = paper_scale_for(low, high, wanted);
        paper_scale other = paper_scale_with(low, high, wanted);
        double slack = 1e-8 * fmax(axis.step, other.step);
        assert_true(axis.low <= low + slack);
        assert_true(paper_scale_high(&axis) >= high - slack);
        assert_true(axis.intervals >= 1 && axis.intervals <= wanted + 2);
        assert_true(other.low <= low + slack);
        assert_true(paper_scale_high(&other) >= high - slack);
        assert_int_equal(other.intervals, wanted);
    }
}

static void ticks_read_well(void **state) {
    (void)state;
    static const struct {
        double low, high;
        int tick;
        bool ascii;
        const char *want;
    } cases[] = {
        {-10.0, 30.0, 0, false, "\u221210"}, {-10.0, 30.0, 0, true, "-10"},
        {-10.0, 30.0, 1, false, "0"},        {-0.3, 0.3, 3, true, "0.0"},
        {0.0, 1.0, 1, false, "0.25"},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        paper_scale axis =
            paper_scale_for(cases[i].low, cases[i].high, i == 3 ? 6 : 4);
        pn_buffer buffer;
        pn_buffer_init(&buffer, &pn_alloc_libc);
        paper_add_tick(&buffer, &axis, cases[i].tick, cases[i].ascii);
        assert_string_equal(pn_buffer_text(&buffer), cases[i].want);
        pn_buffer_deinit(&buffer);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(limits_are_round),
        cmocka_unit_test(any_range_fits),
        cmocka_unit_test(ticks_read_well),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
