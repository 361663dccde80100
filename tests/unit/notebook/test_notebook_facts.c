// SPDX-License-Identifier: MIT
#include "notebook_fixture.h"

#include <sqlite3.h>

static void what_goes_in_comes_out(void **state) {
    fixture *f = *state;
    pn_place place = a_place("Hill Wood");
    place.note = pn_text_of("two gates; \"the\" bull\xe2\x80\x99s field");
    int64_t place_id = 0;
    int64_t patch_id = 0;
    assert_ok(pn_notebook_add_place(f->nb, &place, NOW, &place_id, e));
    pn_patch patch = a_patch(place_id, "North edge");
    patch.access = pn_text_of("common");
    assert_ok(pn_notebook_add_patch(f->nb, &patch, NOW + 1, &patch_id, e));

    pn_place_list places = {0};
    pn_patch_list patches = {0};
    assert_ok(pn_notebook_list_places(f->nb, NULL, f->arena, &places, e));
    assert_ok(pn_notebook_list_patches(f->nb, NULL, f->arena, &patches, e));
    assert_int_equal(places.count, 1);
    assert_int_equal(patches.count, 1);
    assert_true(pn_text_equal(places.at[0].name, place.name));
    assert_true(pn_text_equal(places.at[0].note, place.note));
    assert_near("latitude", places.at[0].latitude_deg, 51.5, 0.0);
    assert_near("longitude", places.at[0].longitude_deg, -1.25, 0.0);
    assert_near("elevation", places.at[0].elevation_m, 120.0, 0.0);
    pn_patch got = patches.at[0];
    assert_int_equal(got.place, place_id);
    assert_true(text_is(got.name, "North edge"));
    assert_near("unknown stays unknown", got.elevation_m, NAN, 0.0);
    assert_near("area", got.area_m2, 400.0, 0.0);
    assert_true(text_is(got.texture, "loam"));
    assert_true(text_is(got.cover, "wood"));
    assert_true(text_is(got.hosts, "beech, oak"));
    assert_true(text_is(got.access, "common"));
    assert_true(text_is(got.note, ""));
    assert_int_equal(got.fact.id, patch_id);
    assert_int_equal(got.fact.recorded_unix_s, NOW + 1);
    assert_int_equal(got.fact.corrects, 0);
    assert_false(got.fact.retracted);
    assert_false(got.fact.superseded);
}

static void visits_carry_their_finds(void **state) {
    fixture *f = *state;
    int64_t patch = add_a_patch(f, "Ride");
    pn_find finds[] = {a_find("parasol", 4, 350.5), a_find("penny_bun", 0, NAN),
                       a_find("hazel_nut", -1, NAN)};
    finds[0].stage = pn_text_of("open");
    finds[0].part = pn_text_of("cap");
    pn_visit visit = {.patch = patch,
                      .epoch_day = 20700,
                      .minutes = 35.0,
                      .looked_for = PN_LOOKED_ALL,
                      .observer = pn_text_of("R."),
                      .note = pn_text_of("wet")};
    int64_t id = 0;
    assert_ok(pn_notebook_add_visit(f->nb, &visit, (pn_find_list){finds, 3},
                                    NOW, &id, e));
    pn_visit_list visits = {0};
    pn_find_list got = {0};
    assert_ok(pn_notebook_list_visits(f->nb, NULL, f->arena, &visits, e));
    assert_ok(pn_notebook_list_finds(f->nb, NULL, f->arena, &got, e));
    assert_int_equal(visits.count, 1);
    assert_int_equal(visits.at[0].fact.id, id);
    assert_int_equal(visits.at[0].epoch_day, 20700);
    assert_int_equal(visits.at[0].looked_for, PN_LOOKED_ALL);
    assert_near("minutes", visits.at[0].minutes, 35.0, 0.0);
    assert_true(text_is(visits.at[0].observer, "R."));
    assert_int_equal(got.count, 3);
    assert_true(text_is(got.at[0].kind, "parasol"));
    assert_int_equal(got.at[0].count, 4);
    assert_near("fresh", got.at[0].fresh_g, 350.5, 0.0);
    assert_true(text_is(got.at[0].stage, "open"));
    assert_true(text_is(got.at[0].part, "cap"));
    assert_int_equal(got.at[1].count, 0);
    assert_int_equal(got.at[2].count, -1);
    assert_int_equal(got.at[2].epoch_day, 20700);
    assert_int_equal(got.at[2].patch, patch);
    assert_int_equal(got.at[2].visit, id);
    assert_sound(f->nb);
}

/* One bad find, and nothing of the visit is there. */
static void a_visit_is_whole_or_not_there(void **state) {
    fixture *f = *state;
    int64_t patch = add_a_patch(f, "Ride");
    pn_find finds[] = {a_find("parasol", 4, 350.0), a_find("oak", 0, 12.0)};
    pn_visit visit = {.patch = patch, .epoch_day = 20700, .minutes = NAN};
    pn_error err = {0};
    int64_t id = -5;
    assert_int_equal(pn_notebook_add_visit(f->nb, &visit,
                                           (pn_find_list){finds, 2}, NOW, &id,
                                           &err),
                     PN_EDOMAIN);
    assert_string_equal(err.message, "a find of count 0 (looked for and not "
                                     "found) cannot weigh 12 g");
    assert_int_equal(id, -5);
    pn_visit_list visits = {0};
    assert_ok(pn_notebook_list_visits(f->nb, NULL, f->arena, &visits, e));
    assert_int_equal(visits.count, 0);
}

static void corrections_form_a_line(void **state) {
    fixture *f = *state;
    int64_t id = add_a_patch(f, "Ride");
    pn_notebook_filter filter = PN_NOTEBOOK_FILTER_INIT;
    filter.fact = id;
    pn_patch_list now = {0};
    for (int i = 0; i < 4; i++) {
        assert_ok(pn_notebook_list_patches(f->nb, &filter, f->arena, &now, e));
        assert_int_equal(now.count, 1);
        pn_patch better = now.at[0];
        better.area_m2 = 1000.0 + i;
        assert_ok(pn_notebook_correct_patch(f->nb, now.at[0].fact.row, &better,
                                            NOW + i, e));
    }
    pn_patch_list all = {0};
    filter.every_version = true;
    assert_ok(pn_notebook_list_patches(f->nb, &filter, f->arena, &all, e));
    assert_int_equal(all.count, 5);
    for (size_t i = 1; i < all.count; i++) {
        assert_int_equal(all.at[i].fact.id, id);
        assert_int_equal(all.at[i].fact.corrects, all.at[i - 1].fact.row);
        assert_true(all.at[i - 1].fact.superseded);
        assert_near("area", all.at[i].area_m2, 999.0 + (double)i, 0.0);
    }
    assert_near("first version", all.at[0].area_m2, 400.0, 0.0);
    assert_false(all.at[4].fact.superseded);
    assert_sound(f->nb);
}

/* Two programs list the same row; the second correction must not win. */
static void lost_updates_are_impossible(void **state) {
    fixture *f = *state;
    int64_t id = add_a_patch(f, "Ride");
    pn_notebook *other = NULL;
    assert_ok(pn_notebook_open(&pn_alloc_libc, f->path, PN_NOTEBOOK_WRITE,
                               &other, e));
    pn_notebook_filter filter = PN_NOTEBOOK_FILTER_INIT;
    filter.fact = id;
    pn_patch_list mine = {0};
    pn_patch_list theirs = {0};
    assert_ok(pn_notebook_list_patches(f->nb, &filter, f->arena, &mine, e));
    assert_ok(pn_notebook_list_patches(other, &filter, f->arena, &theirs, e));
    int64_t row = theirs.at[0].fact.row;
    theirs.at[0].area_m2 = 1.0;
    mine.at[0].area_m2 = 2.0;
    assert_ok(pn_notebook_correct_patch(other, row, &theirs.at[0], NOW + 1, e));
    pn_error err = {0};
    assert_int_equal(pn_notebook_correct_patch(f->nb, mine.at[0].fact.row,
                                               &mine.at[0], NOW + 2, &err),
                     PN_EEXISTS);
    assert_non_null(strstr(err.message, "has been corrected meanwhile"));
    assert_int_equal(
        pn_notebook_retract(f->nb, PN_FACT_PATCH, row, NOW + 3, &err),
        PN_EEXISTS);
    pn_notebook_close(other);
}

static void retraction_hides_and_keeps(void **state) {
    fixture *f = *state;
    int64_t patch = add_a_patch(f, "Ride");
    pn_find find = a_find("parasol", 1, 80.0);
    pn_visit visit = {.patch = patch, .epoch_day = 20700, .minutes = NAN};
    assert_ok(pn_notebook_add_visit(f->nb, &visit, (pn_find_list){&find, 1},
                                    NOW, NULL, e));
    pn_patch_list patches = {0};
    assert_ok(pn_notebook_list_patches(f->nb, NULL, f->arena, &patches, e));
    pn_patch kept = patches.at[0];
    assert_ok(pn_notebook_retract(f->nb, PN_FACT_PATCH, kept.fact.row, NOW, e));

    pn_visit_list visits = {0};
    pn_find_list finds = {0};
    assert_ok(pn_notebook_list_patches(f->nb, NULL, f->arena, &patches, e));
    assert_ok(pn_notebook_list_visits(f->nb, NULL, f->arena, &visits, e));
    assert_ok(pn_notebook_list_finds(f->nb, NULL, f->arena, &finds, e));
    assert_int_equal(patches.count + visits.count + finds.count, 0);
    assert_int_equal(pn_notebook_add_visit(f->nb, &visit, (pn_find_list){0},
                                           NOW, NULL, NULL),
                     PN_ENOTFOUND);

    pn_notebook_filter all = PN_NOTEBOOK_FILTER_INIT;
    all.every_version = true;
    assert_ok(pn_notebook_list_patches(f->nb, &all, f->arena, &patches, e));
    assert_ok(pn_notebook_list_finds(f->nb, &all, f->arena, &finds, e));
    assert_int_equal(patches.count, 2);
    assert_true(patches.at[1].fact.retracted);
    assert_int_equal(finds.count, 1);
    int64_t last = patches.at[1].fact.row;
    assert_int_equal(pn_notebook_retract(f->nb, PN_FACT_PATCH, last, NOW, NULL),
                     PN_EEXISTS);

    assert_ok(pn_notebook_correct_patch(f->nb, last, &kept, NOW + 9, e));
    assert_ok(pn_notebook_list_finds(f->nb, NULL, f->arena, &finds, e));
    assert_int_equal(finds.count, 1);
    assert_sound(f->nb);
}

static void a_find_can_be_corrected_and_taken_back(void **state) {
    fixture *f = *state;
    int64_t patch = add_a_patch(f, "Ride");
    pn_visit visit = {.patch = patch, .epoch_day = 20700, .minutes = NAN};
    int64_t visit_id = 0;
    int64_t find_id = 0;
    assert_ok(pn_notebook_add_visit(f->nb, &visit, (pn_find_list){0}, NOW,
                                    &visit_id, e));
    pn_find find = a_find("parasol", 1, 80.0);
    find.visit = visit_id;
    assert_ok(pn_notebook_add_find(f->nb, &find, NOW, &find_id, e));
    find.count = 2;
    assert_ok(pn_notebook_correct_find(f->nb, find_id, &find, NOW, e));
    pn_notebook_filter by = PN_NOTEBOOK_FILTER_INIT;
    by.fact = find_id;
    pn_find_list finds = {0};
    assert_ok(pn_notebook_list_finds(f->nb, &by, f->arena, &finds, e));
    assert_int_equal(finds.count, 1);
    assert_int_equal(finds.at[0].count, 2);
    assert_ok(
        pn_notebook_retract(f->nb, PN_FACT_FIND, finds.at[0].fact.row, NOW, e));
    assert_ok(pn_notebook_list_finds(f->nb, &by, f->arena, &finds, e));
    assert_int_equal(finds.count, 0);
    by.every_version = true;
    assert_ok(pn_notebook_list_finds(f->nb, &by, f->arena, &finds, e));
    assert_int_equal(finds.count, 3);
    /* moving the visit to another day moves what it found */
    pn_visit_list visits = {0};
    assert_ok(pn_notebook_list_visits(f->nb, NULL, f->arena, &visits, e));
    visits.at[0].epoch_day = 20701;
    assert_ok(pn_notebook_correct_visit(f->nb, visits.at[0].fact.row,
                                        &visits.at[0], NOW, e));
    assert_ok(pn_notebook_list_finds(f->nb, &by, f->arena, &finds, e));
    assert_int_equal(finds.count, 3);
    assert_int_equal(finds.at[0].epoch_day, 20701);
}

static void names_are_taken_once(void **state) {
    fixture *f = *state;
    int64_t patch = add_a_patch(f, "Ride");
    pn_place place = a_place("Ride");
    pn_error err = {0};
    assert_int_equal(pn_notebook_add_place(f->nb, &place, NOW, NULL, &err),
                     PN_EEXISTS);
    assert_string_equal(err.message, "there is already a place \"Ride\" (1)");
    pn_patch again = a_patch(1, "Ride");
    assert_int_equal(pn_notebook_add_patch(f->nb, &again, NOW, NULL, &err),
                     PN_EEXISTS);
    pn_patch_kind kind = {
        .patch = patch, .kind = pn_text_of("parasol"), .productivity = NAN};
    assert_ok(pn_notebook_add_patch_kind(f->nb, &kind, NOW, NULL, e));
    assert_int_equal(pn_notebook_add_patch_kind(f->nb, &kind, NOW, NULL, &err),
                     PN_EEXISTS);
    /* its own name does not stand in a correction's way, and a name is free
     * again when its fact is retracted */
    assert_ok(pn_notebook_correct_patch_kind(f->nb, 1, &kind, NOW, e));
    assert_ok(pn_notebook_retract(f->nb, PN_FACT_PATCH_KIND, 2, NOW, e));
    assert_ok(pn_notebook_add_patch_kind(f->nb, &kind, NOW, NULL, e));
    pn_patch_kind_list kinds = {0};
    assert_ok(pn_notebook_list_patch_kinds(f->nb, NULL, f->arena, &kinds, e));
    assert_int_equal(kinds.count, 1);
    assert_int_equal(kinds.at[0].patch, patch);
    assert_near("productivity", kinds.at[0].productivity, NAN, 0.0);
}

static void impossible_patches_are_refused(void **state) {
    fixture *f = *state;
    int64_t ok_id = add_a_patch(f, "Ride");
    char long_name[202];
    memset(long_name, 'x', sizeof long_name);
    long_name[201] = '\0';
    const struct {
        const char *name;
        pn_status want;
        const char *message; /* part of it */
        pn_patch patch;
    } cases[] = {
        {"empty name", PN_EDOMAIN, "the name of a patch is empty",
         a_patch(1, "")},
        {"long name", PN_EDOMAIN, "201 bytes; at most 200",
         a_patch(1, long_name)},
        {"not UTF-8", PN_EDOMAIN, "name of a patch is not UTF-8",
         a_patch(1, "a\xff")},
        {"overlong UTF-8", PN_EDOMAIN, "is not UTF-8", a_patch(1, "\xc0\xaf")},
        {"surrogate", PN_EDOMAIN, "is not UTF-8", a_patch(1, "\xed\xa0\x80")},
        {"cut UTF-8", PN_EDOMAIN, "is not UTF-8", a_patch(1, "\xe2\x80")},
        {"no such place", PN_ENOTFOUND, "there is no place 99",
         a_patch(99, "A")},
        {"good UTF-8", PN_OK, "", a_patch(1, "\xe2\x80\x99\xf0\x9f\x8d\x84")},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        pn_error err = {0};
        pn_status got =
            pn_notebook_add_patch(f->nb, &cases[i].patch, NOW, NULL, &err);
        if (got != cases[i].want ||
            strstr(err.message, cases[i].message) == NULL) {
            fail_msg("%s: %s: %s", cases[i].name, pn_status_name(got),
                     err.message);
        }
    }
    pn_patch bad = a_patch(1, "B");
    const double nonsense[] = {NAN, INFINITY, 90.01, -91.0};
    for (size_t i = 0; i < COUNT_OF(nonsense); i++) {
        bad.latitude_deg = nonsense[i];
        assert_int_equal(pn_notebook_add_patch(f->nb, &bad, NOW, NULL, NULL),
                         PN_EDOMAIN);
    }
    bad = a_patch(1, "B");
    bad.area_m2 = 0.0;
    assert_int_equal(pn_notebook_add_patch(f->nb, &bad, NOW, NULL, NULL),
                     PN_EDOMAIN);
    assert_int_equal(pn_notebook_correct_patch(f->nb, ok_id, &bad, NOW, NULL),
                     PN_EDOMAIN);
    bad = a_patch(1, "B");
    assert_int_equal(pn_notebook_add_patch(f->nb, &bad, -1, NULL, NULL),
                     PN_EDOMAIN);
    assert_int_equal(pn_notebook_correct_patch(f->nb, 77, &bad, NOW, NULL),
                     PN_ENOTFOUND);
}

static void impossible_visits_are_refused(void **state) {
    fixture *f = *state;
    int64_t patch = add_a_patch(f, "Ride");
    const pn_visit visits[] = {
        {.patch = 9, .epoch_day = 20700, .minutes = NAN},
        {.patch = patch, .epoch_day = -30000, .minutes = NAN},
        {.patch = patch, .epoch_day = 20700, .minutes = 0.0},
        {.patch = patch, .epoch_day = 20700, .minutes = 1441.0},
        {.patch = patch,
         .epoch_day = 20700,
         .minutes = NAN,
         .looked_for = (pn_looked_for)7},
    };
    for (size_t i = 0; i < COUNT_OF(visits); i++) {
        assert_int_not_equal(pn_notebook_add_visit(f->nb, &visits[i],
                                                   (pn_find_list){0}, NOW, NULL,
                                                   NULL),
                             PN_OK);
    }
    pn_visit fine = {.patch = patch, .epoch_day = 20700, .minutes = NAN};
    const pn_find finds[] = {a_find("", 1, 1.0), a_find("a", -2, 1.0),
                             a_find("a", 1, -1.0), a_find("a", 1, INFINITY)};
    for (size_t i = 0; i < COUNT_OF(finds); i++) {
        pn_find find = finds[i];
        assert_int_equal(pn_notebook_add_visit(f->nb, &fine,
                                               (pn_find_list){&find, 1}, NOW,
                                               NULL, NULL),
                         PN_EDOMAIN);
    }
    pn_visit_list none = {0};
    assert_ok(pn_notebook_list_visits(f->nb, NULL, f->arena, &none, e));
    assert_int_equal(none.count, 0);
}

static void filters(void **state) {
    fixture *f = *state;
    int64_t a = add_a_patch(f, "A");
    int64_t b = add_a_patch(f, "B");
    int64_t last_visit = 0;
    for (int i = 0; i < 20; i++) {
        pn_visit visit = {.patch = i % 2 == 0 ? a : b,
                          .epoch_day = 20600 + i,
                          .minutes = NAN};
        pn_find find = a_find(i % 4 == 0 ? "parasol" : "oak", i, NAN);
        assert_ok(pn_notebook_add_visit(f->nb, &visit, (pn_find_list){&find, 1},
                                        NOW, &last_visit, e));
    }
    static const struct {
        const char *name;
        int64_t patch; /* 1 = A, 2 = B */
        const char *kind;
        int32_t first, last;
        size_t want;
    } cases[] = {
        {"all", 0, "", INT32_MIN, INT32_MAX, 20},
        {"one patch", 1, "", INT32_MIN, INT32_MAX, 10},
        {"one kind", 0, "parasol", INT32_MIN, INT32_MAX, 5},
        {"kind not at patch", 2, "parasol", INT32_MIN, INT32_MAX, 0},
        {"days", 0, "", 20603, 20606, 4},
        {"one open end", 0, "", 20618, INT32_MAX, 2},
        {"all three", 1, "oak", 20600, 20606, 2},
        {"unknown kind", 0, "'; DROP TABLE find; --", INT32_MIN, INT32_MAX, 0},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        pn_notebook_filter by = {.patch = cases[i].patch == 0   ? 0
                                          : cases[i].patch == 1 ? a
                                                                : b,
                                 .kind = pn_text_of(cases[i].kind),
                                 .first_epoch_day = cases[i].first,
                                 .last_epoch_day = cases[i].last};
        pn_find_list finds = {0};
        pn_visit_list visits = {0};
        assert_ok(pn_notebook_list_finds(f->nb, &by, f->arena, &finds, e));
        assert_ok(pn_notebook_list_visits(f->nb, &by, f->arena, &visits, e));
        if (finds.count != cases[i].want || visits.count != cases[i].want) {
            fail_msg("%s: %zu finds, %zu visits", cases[i].name, finds.count,
                     visits.count);
        }
        for (size_t k = 1; k < finds.count; k++) {
            assert_true(finds.at[k - 1].epoch_day <= finds.at[k].epoch_day);
        }
    }
    pn_notebook_filter by = PN_NOTEBOOK_FILTER_INIT;
    by.visit = last_visit;
    pn_find_list finds = {0};
    assert_ok(pn_notebook_list_finds(f->nb, &by, f->arena, &finds, e));
    assert_int_equal(finds.count, 1);
}

/* The file itself refuses, whoever opens it. */
static void the_file_refuses_rewriting(void **state) {
    fixture *f = *state;
    int64_t patch = add_a_patch(f, "Ride");
    pn_visit visit = {.patch = patch, .epoch_day = 20700, .minutes = NAN};
    pn_find find = a_find("parasol", 1, 80.0);
    assert_ok(pn_notebook_add_visit(f->nb, &visit, (pn_find_list){&find, 1},
                                    NOW, NULL, e));
    static const char *const attempts[] = {
        "UPDATE find SET count = 100",
        "DELETE FROM find",
        "UPDATE patch SET note = 'x' WHERE id = 1",
        "DELETE FROM visit",
        "INSERT OR REPLACE INTO find (id, origin, visit, kind, "
        "recorded_unix_s) VALUES (1, 1, 1, 'oak', 5)",
        "INSERT INTO find (id, origin, corrects, visit, kind, "
        "recorded_unix_s) VALUES (7, 2, 1, 1, 'oak', 5)",
        "INSERT INTO visit (id, origin, patch, day, recorded_unix_s) "
        "VALUES (9, 9, 1, 'yesterday', 5)",
    };
    sqlite3 *db = NULL;
    assert_int_equal(sqlite3_open(f->path, &db), SQLITE_OK);
    for (size_t i = 0; i < COUNT_OF(attempts); i++) {
        if (sqlite3_exec(db, attempts[i], NULL, NULL, NULL) == SQLITE_OK) {
            fail_msg("accepted: %s", attempts[i]);
        }
    }
    sqlite3_close(db);
    assert_sound(f->nb);
}

static void many_changes_as_one(void **state) {
    fixture *f = *state;
    int64_t patch = add_a_patch(f, "Ride");
    pn_visit visit = {.patch = patch, .epoch_day = 20700, .minutes = NAN};
    pn_visit bad = {.patch = 99, .epoch_day = 20700, .minutes = NAN};
    pn_visit_list visits = {0};
    assert_ok(pn_notebook_begin(f->nb, e));
    assert_int_equal(pn_notebook_begin(f->nb, NULL), PN_EEXISTS);
    for (int i = 0; i < 5; i++) {
        assert_ok(pn_notebook_add_visit(f->nb, &visit, (pn_find_list){0}, NOW,
                                        NULL, e));
        assert_int_equal(pn_notebook_add_visit(f->nb, &bad, (pn_find_list){0},
                                               NOW, NULL, NULL),
                         PN_ENOTFOUND);
    }
    pn_notebook_rollback(f->nb);
    assert_ok(pn_notebook_list_visits(f->nb, NULL, f->arena, &visits, e));
    assert_int_equal(visits.count, 0);
    assert_ok(pn_notebook_begin(f->nb, e));
    assert_ok(
        pn_notebook_add_visit(f->nb, &visit, (pn_find_list){0}, NOW, NULL, e));
    assert_ok(pn_notebook_commit(f->nb, e));
    assert_int_equal(pn_notebook_commit(f->nb, NULL), PN_ENOTFOUND);
    assert_ok(pn_notebook_list_visits(f->nb, NULL, f->arena, &visits, e));
    assert_int_equal(visits.count, 1);
    pn_notebook_rollback(f->nb);
}

int main(void) {
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(what_goes_in_comes_out),
        TEST(visits_carry_their_finds),
        TEST(a_visit_is_whole_or_not_there),
        TEST(corrections_form_a_line),
        TEST(lost_updates_are_impossible),
        TEST(retraction_hides_and_keeps),
        TEST(a_find_can_be_corrected_and_taken_back),
        TEST(names_are_taken_once),
        TEST(impossible_patches_are_refused),
        TEST(impossible_visits_are_refused),
        TEST(filters),
        TEST(the_file_refuses_rewriting),
        TEST(many_changes_as_one),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
