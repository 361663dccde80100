// SPDX-License-Identifier: MIT
#include <string.h>

#include "support/check.h"

#include "pannage/soil.h"

static void stress_rows(void **state) {
    (void)state;
    static const struct {
        const char *name;
        double depletion, taw, p, want;
    } rows[] = {
        {"wet soil has no stress", 0, 100, 0.5, 1},
        {"at RAW none yet", 50, 100, 0.5, 1},
        {"half way from RAW to TAW", 75, 100, 0.5, 0.5},
        {"at TAW nothing left", 100, 100, 0.5, 0},
        {"more than TAW is outside", 101, 100, 0.5, NAN},
        {"p of 1 is outside", 50, 100, 1, NAN},
        {"missing depletion", NAN, 100, 0.5, NAN},
        {"no soil", 0, 0, 0.5, NAN},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        assert_near(
            rows[i].name,
            pn_soil_stress_frac(rows[i].depletion, rows[i].taw, rows[i].p),
            rows[i].want, 1e-15);
    }
}

/* [FAO56] Table 22 footnote: p rises 0.04 for each mm below 5 mm/d. */
static void depletion_fraction_follows_demand(void **state) {
    (void)state;
    assert_near("at 5 mm the table", pn_soil_depletion_frac(0.5, 5), 0.5, 0);
    assert_near("at 3 mm", pn_soil_depletion_frac(0.5, 3), 0.58, 1e-15);
    assert_near("never below 0.1", pn_soil_depletion_frac(0.3, 12), 0.1, 0);
    assert_near("never above 0.8", pn_soil_depletion_frac(0.75, 0), 0.8, 0);
    assert_near("missing", pn_soil_depletion_frac(0.5, NAN), NAN, 0);
}

static void balance_rows(void **state) {
    (void)state;
    static const struct {
        const char *name;
        double depletion, inflow, et, after, drainage;
    } rows[] = {
        {"dry day", 10, 0, 3, 13, 0},
        {"rain fills without surplus", 10, 8, 3, 5, 0},
        {"surplus drains", 10, 20, 3, 0, 7},
        {"cannot fall below empty", 98, 0, 5, 100, 0},
        {"negative rain is outside", 10, -1, 3, NAN, NAN},
        {"missing", NAN, 1, 3, NAN, NAN},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        pn_soil_balance got = pn_soil_balance_step(rows[i].depletion, 100,
                                                   rows[i].inflow, rows[i].et);
        assert_near(rows[i].name, got.depletion_mm, rows[i].after, 1e-12);
        assert_near(rows[i].name, got.drainage_mm, rows[i].drainage, 1e-12);
    }
}

static void interception_has_its_bounds(void **state) {
    (void)state;
    assert_near("no rain", pn_soil_interception_mm(0, 0.8, 2), 0, 0);
    assert_near("no trees", pn_soil_interception_mm(9, 0, 2), 0, 0);
    assert_near("a storm fills the canopy", pn_soil_interception_mm(200, 1, 2),
                2, 1e-12);
    assert_near("a drop is caught whole", pn_soil_interception_mm(1e-6, 1, 2),
                1e-6, 1e-12);
    assert_near("cover above 1", pn_soil_interception_mm(5, 1.1, 2), NAN, 0);
    double last = 0;
    for (double rain = 0.1; rain < 60; rain += 0.1) {
        double caught = pn_soil_interception_mm(rain, 0.7, 1.5);
        assert_true(caught >= last && caught <= rain);
        last = caught;
    }
}

static void out_of_range_is_nan(void **state) {
    (void)state;
    const double got[] = {
        pn_soil_taw_mm(0.1, 0.2, 1),
        pn_soil_taw_mm(0.3, 0.1, -1),
        pn_soil_taw_mm(NAN, 0.1, 1),
        pn_soil_raw_mm(100, 1.5),
        pn_soil_raw_mm(NAN, 0.5),
        pn_soil_runoff_mm(-1, 70),
        pn_soil_runoff_mm(10, 0),
        pn_soil_katterer_andren_degc(NAN, 10, 10, 0),
        pn_soil_katterer_andren_degc(5, 99, 10, 0),
        pn_soil_damping_depth_m(0, 86400),
        pn_soil_damping_depth_m(5e-7, NAN),
    };
    for (size_t i = 0; i < COUNT_OF(got); i++) {
        assert_true(isnan(got[i]));
    }
}

static void textures_are_found(void **state) {
    (void)state;
    for (int i = 0; i < PN_SOIL_TEXTURE_COUNT; i++) {
        const pn_soil_texture_info *info =
            pn_soil_texture_get((pn_soil_texture)i);
        assert_non_null(info);
        assert_true(info->theta_wp_frac > 0 &&
                    info->theta_fc_frac > info->theta_wp_frac + 0.05 &&
                    info->theta_fc_frac < 0.9);
        assert_true(info->source[0] != '\0');
        pn_soil_texture found = PN_SOIL_TEXTURE_COUNT;
        assert_true(pn_soil_texture_find(pn_text_of(info->id), &found));
        assert_int_equal(found, i);
        assert_true(pn_soil_texture_find(pn_text_of(info->english), &found));
        assert_int_equal(found, i);
    }
    pn_soil_texture found = PN_SOIL_CLAY;
    assert_true(pn_soil_texture_find(pn_text_of("Silt Loam"), &found));
    assert_int_equal(found, PN_SOIL_SILT_LOAM);
    assert_false(pn_soil_texture_find(pn_text_of("gravel"), &found));
    assert_false(pn_soil_texture_find(pn_text_of(""), &found));
    assert_null(pn_soil_texture_get(PN_SOIL_TEXTURE_COUNT));
}

static void covers_are_found(void **state) {
    (void)state;
    for (int i = 0; i < PN_SOIL_COVER_COUNT; i++) {
        pn_soil_cover found = PN_SOIL_COVER_COUNT;
        const char *id = pn_soil_cover_id((pn_soil_cover)i);
        assert_true(pn_soil_cover_find(pn_text_of(id), &found));
        assert_int_equal(found, i);
    }
    pn_soil_cover found = PN_SOIL_OPEN;
    assert_false(pn_soil_cover_find(pn_text_of("lawnmower"), &found));
    assert_null(pn_soil_cover_id(PN_SOIL_COVER_COUNT));
}

static void every_default_ground_is_sound(void **state) {
    (void)state;
    for (int t = 0; t <= PN_SOIL_TEXTURE_COUNT; t++) {
        for (int c = 0; c <= PN_SOIL_COVER_COUNT; c++) {
            pn_soil_ground ground =
                pn_soil_ground_default((pn_soil_texture)t, (pn_soil_cover)c);
            pn_error err = {0};
            assert_int_equal(pn_soil_ground_check(&ground, &err), PN_OK);
        }
    }
}

static void a_wrong_ground_is_named(void **state) {
    (void)state;
    pn_soil_ground ground = pn_soil_ground_default(PN_SOIL_LOAM, PN_SOIL_OPEN);
    pn_error err = {0};
    ground.root_depth_m = 0.05; /* less than the top layer */
    assert_int_equal(pn_soil_ground_check(&ground, &err), PN_EDOMAIN);
    assert_non_null(strstr(err.message, "top_depth_m"));
    ground = pn_soil_ground_default(PN_SOIL_LOAM, PN_SOIL_OPEN);
    ground.theta_fc_frac = NAN;
    assert_int_equal(pn_soil_ground_check(&ground, &err), PN_EDOMAIN);
    assert_non_null(strstr(err.message, "theta_fc_frac"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(stress_rows),
        cmocka_unit_test(depletion_fraction_follows_demand),
        cmocka_unit_test(balance_rows),
        cmocka_unit_test(interception_has_its_bounds),
        cmocka_unit_test(out_of_range_is_nan),
        cmocka_unit_test(textures_are_found),
        cmocka_unit_test(covers_are_found),
        cmocka_unit_test(every_default_ground_is_sound),
        cmocka_unit_test(a_wrong_ground_is_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
