// SPDX-License-Identifier: MIT
/* Sessions of the check, photos, and what was kept. */
#include "notebook_fixture.h"

#include <sqlite3.h>

/* ---- sessions ----------------------------------------------------------- */

static void sessions_come_back(void **state) {
    fixture *f = *state;
    int64_t find = add_a_find(f->nb, add_a_patch(f, "Ride"), "meadow_parasol");
    pn_check_record check = a_check(find);
    pn_check_record bare = {.epoch_day = 20699};
    int64_t id = 0;
    pn_check_record_list got = {0};
    check.host = pn_text_of("oak");
    check.expert = true;
    check.note = pn_text_of("by the gate");
    assert_ok(pn_notebook_add_check(f->nb, &check, NOW, &id, e));
    assert_ok(pn_notebook_add_check(f->nb, &bare, NOW, NULL, e));
    assert_ok(pn_notebook_list_checks(f->nb, NULL, f->arena, &got, e));
    assert_int_equal(got.count, 2);
    assert_int_equal(got.at[0].epoch_day, 20699); /* by day */
    assert_int_equal(got.at[0].find, 0);
    assert_int_equal(got.at[0].month, 0);
    assert_int_equal(got.at[0].answers.len, 0);
    pn_check_record *c = &got.at[1];
    assert_int_equal(c->fact.id, id);
    assert_int_equal(c->find, find);
    assert_int_equal(c->month, 9);
    assert_int_equal(c->open_count, 2);
    assert_true(c->expert);
    assert_true(text_is(c->kind, "meadow_parasol"));
    assert_true(text_is(c->tried, "meadow_parasol"));
    assert_true(text_is(c->habitat, "pasture"));
    assert_true(text_is(c->host, "oak"));
    assert_true(text_is(c->answers, "ring=movable\nsmell=mild?\n"));
    assert_true(text_is(c->not_ruled_out, "death_cap\n"));
    assert_true(text_is(c->guide, "pannage 0.1.0"));
    assert_true(text_is(c->note, "by the gate"));

    /* a find is written down later; the first version stays */
    got.at[0].find = find;
    assert_ok(pn_notebook_correct_check(f->nb, got.at[0].fact.row, &got.at[0],
                                        NOW, e));
    pn_notebook_filter by = PN_NOTEBOOK_FILTER_INIT;
    by.find = find;
    assert_ok(pn_notebook_list_checks(f->nb, &by, f->arena, &got, e));
    assert_int_equal(got.count, 2);
    by = (pn_notebook_filter)PN_NOTEBOOK_FILTER_INIT;
    by.every_version = true;
    assert_ok(pn_notebook_list_checks(f->nb, &by, f->arena, &got, e));
    assert_int_equal(got.count, 3);
    assert_sound(f->nb);
}

static void impossible_sessions_are_refused(void **state) {
    fixture *f = *state;
    static char long_text[PN_CHECK_TEXT_MAX + 2];
    memset(long_text, 'a', sizeof long_text);
    long_text[1] = '=';
    pn_text too_long = {long_text, PN_CHECK_TEXT_MAX + 1};
    const struct {
        const char *name;
        pn_status want;
        const char *message;
        pn_check_record check;
    } cases[] = {
        {"no such find",
         PN_ENOTFOUND,
         "there is no find 99",
         {.epoch_day = 20700, .find = 99}},
        {"no such day", PN_EDOMAIN, "day", {.epoch_day = 200000}},
        {"month 13", PN_EDOMAIN, "month", {.epoch_day = 20700, .month = 13}},
        {"open below 0",
         PN_EDOMAIN,
         "open items",
         {.epoch_day = 20700, .open_count = -1}},
        {"no equals sign",
         PN_EDOMAIN,
         "line 2 of the answers",
         {.epoch_day = 20700, .answers = pn_text_of("a=b\nring\n")}},
        {"escape sequence",
         PN_EDOMAIN,
         "none of a text",
         {.epoch_day = 20700, .answers = pn_text_of("a=\033[31m\n")}},
        {"not UTF-8",
         PN_EDOMAIN,
         "is not UTF-8",
         {.epoch_day = 20700, .answers = pn_text_of("a=\xff\n")}},
        {"answers too long",
         PN_EDOMAIN,
         "65537 bytes; at most 65536",
         {.epoch_day = 20700, .answers = too_long}},
        {"as long as may be",
         PN_OK,
         "",
         {.epoch_day = 20700, .answers = {long_text, PN_CHECK_TEXT_MAX}}},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        pn_error err = {0};
        pn_status got =
            pn_notebook_add_check(f->nb, &cases[i].check, NOW, NULL, &err);
        if (got != cases[i].want ||
            strstr(err.message, cases[i].message) == NULL) {
            fail_msg("%s: %s: %s", cases[i].name, pn_status_name(got),
                     err.message);
        }
    }
}

/* ---- photos ------------------------------------------------------------- */

static void photos_come_back_byte_by_byte(void **state) {
    fixture *f = *state;
    int64_t find = add_a_find(f->nb, add_a_patch(f, "Ride"), "meadow_parasol");
    pn_check_record check = a_check(find);
    int64_t check_id = 0;
    int64_t first = 0;
    int64_t second = 0;
    char bytes[16];
    pn_text got = {NULL, 0};
    pn_photo_list list = {0};
    assert_ok(pn_notebook_add_check(f->nb, &check, NOW, &check_id, e));
    pn_photo photo = {.find = find,
                      .file_name = pn_text_of("cap.png"),
                      .note = pn_text_of("from above"),
                      .bytes = a_png(bytes, '\0')};
    assert_ok(pn_notebook_add_photo(f->nb, &photo, NOW, &first, e));
    photo = (pn_photo){.check = check_id,
                       .file_name = pn_text_of("again.png"),
                       .bytes = a_png(bytes, '\0')};
    assert_ok(pn_notebook_add_photo(f->nb, &photo, NOW, &second, e));
    assert_ok(pn_notebook_list_photos(f->nb, NULL, f->arena, &list, e));
    assert_int_equal(list.count, 2);
    assert_int_equal(list.at[0].find, find);
    assert_int_equal(list.at[0].check, 0);
    assert_int_equal(list.at[1].check, check_id);
    assert_int_equal(list.at[0].size_bytes, 16);
    assert_true(text_is(list.at[0].file_name, "cap.png"));
    assert_true(text_is(list.at[0].media_type, "image/png"));
    assert_true(text_is(list.at[0].note, "from above"));
    assert_memory_equal(list.at[0].sha256, list.at[1].sha256, PN_SHA256_BYTES);
    assert_ok(pn_notebook_load_photo(f->nb, second, f->arena, &got, e));
    assert_int_equal(got.len, 16);
    assert_memory_equal(got.at, bytes, 16);

    /* a correction is of the words; retracting hides and keeps */
    list.at[1].note = pn_text_of("gills");
    list.at[1].bytes = (pn_text){"nonsense", 8};
    assert_ok(pn_notebook_correct_photo(f->nb, list.at[1].fact.row, &list.at[1],
                                        NOW, e));
    assert_ok(pn_notebook_load_photo(f->nb, second, f->arena, &got, e));
    assert_memory_equal(got.at, bytes, 16);
    assert_ok(pn_notebook_retract(f->nb, PN_FACT_PHOTO, first, NOW, e));
    assert_int_equal(pn_notebook_load_photo(f->nb, first, f->arena, &got, NULL),
                     PN_ENOTFOUND);
    pn_notebook_filter by = PN_NOTEBOOK_FILTER_INIT;
    by.find = find; /* also through the session */
    assert_ok(pn_notebook_list_photos(f->nb, &by, f->arena, &list, e));
    assert_int_equal(list.count, 1);
    assert_true(text_is(list.at[0].note, "gills"));
    assert_sound(f->nb);
}

static void the_same_bytes_are_stored_once(void **state) {
    fixture *f = *state;
    static char big[1 << 20];
    int64_t find = add_a_find(f->nb, add_a_patch(f, "Ride"), "meadow_parasol");
    struct stat once = {0};
    struct stat often = {0};
    memcpy(big, "\xff\xd8\xff", 3);
    pn_photo photo = {.find = find,
                      .file_name = pn_text_of("a.jpg"),
                      .bytes = {big, sizeof big}};
    char copy[200];
    assert_ok(pn_notebook_add_photo(f->nb, &photo, NOW, NULL, e));
    snprintf(copy, sizeof copy, "%s/once", f->folder);
    assert_ok(pn_notebook_backup(f->nb, copy, e));
    assert_int_equal(stat(copy, &once), 0);
    assert_true(once.st_size > (off_t)sizeof big);
    for (int i = 0; i < 5; i++) {
        assert_ok(pn_notebook_add_photo(f->nb, &photo, NOW, NULL, e));
    }
    snprintf(copy, sizeof copy, "%s/often", f->folder);
    assert_ok(pn_notebook_backup(f->nb, copy, e));
    assert_int_equal(stat(copy, &often), 0);
    assert_true(often.st_size < once.st_size + 20000);
    /* the copy holds them too */
    pn_notebook *other = NULL;
    pn_text got = {NULL, 0};
    assert_ok(
        pn_notebook_open(&pn_alloc_libc, copy, PN_NOTEBOOK_READ, &other, e));
    assert_sound(other);
    assert_ok(pn_notebook_load_photo(other, 6, f->arena, &got, e));
    assert_int_equal(got.len, sizeof big);
    assert_memory_equal(got.at, big, sizeof big);
    pn_notebook_close(other);
}

static void only_photos_are_taken(void **state) {
    fixture *f = *state;
    int64_t find = add_a_find(f->nb, add_a_patch(f, "Ride"), "meadow_parasol");
    char *huge = calloc(1, PN_PHOTO_BYTES_MAX + 1);
    assert_non_null(huge);
    memcpy(huge, "\xff\xd8\xff", 3);
    const struct {
        const char *name;
        pn_text bytes;
        const char *media_type; /* NULL: refused */
    } cases[] = {
        {"JPEG", {"\xff\xd8\xff\xe0", 4}, "image/jpeg"},
        {"PNG", {"\x89PNG\r\n\x1a\n", 8}, "image/png"},
        {"WebP", {"RIFF\x04\0\0\0WEBP", 12}, "image/webp"},
        {"as large as may be", {huge, PN_PHOTO_BYTES_MAX}, "image/jpeg"},
        {"one byte more", {huge, PN_PHOTO_BYTES_MAX + 1}, NULL},
        {"empty", {"", 0}, NULL},
        {"text", {"a photo", 7}, NULL},
        {"PNG with a line end changed", {"\x89PNG\n\x1a\n", 7}, NULL},
        {"cut PNG", {"\x89PNG\r\n\x1a", 7}, NULL},
        {"RIFF of sound", {"RIFF\x04\0\0\0WAVE", 12}, NULL},
        {"cut WebP", {"RIFF\x04\0\0\0WEB", 11}, NULL},
        {"GIF", {"GIF89a", 6}, NULL},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        pn_photo photo = {.find = find,
                          .file_name = pn_text_of(cases[i].name),
                          .bytes = cases[i].bytes};
        pn_error err = {0};
        pn_photo_list list = {0};
        pn_notebook_filter by = PN_NOTEBOOK_FILTER_INIT;
        pn_status got =
            pn_notebook_add_photo(f->nb, &photo, NOW, &by.fact, &err);
        if ((got == PN_OK) != (cases[i].media_type != NULL)) {
            fail_msg("%s: %s", cases[i].name, err.message);
        }
        if (got == PN_OK) {
            assert_ok(pn_notebook_list_photos(f->nb, &by, f->arena, &list, e));
            assert_true(text_is(list.at[0].media_type, cases[i].media_type));
        } else {
            assert_int_equal(got, PN_EDOMAIN);
        }
    }
    pn_photo nowhere = {.file_name = pn_text_of("a.jpg"),
                        .bytes = {"\xff\xd8\xff\xe0", 4}};
    assert_int_equal(pn_notebook_add_photo(f->nb, &nowhere, NOW, NULL, NULL),
                     PN_EDOMAIN);
    nowhere.check = 7;
    assert_int_equal(pn_notebook_add_photo(f->nb, &nowhere, NOW, NULL, NULL),
                     PN_ENOTFOUND);
    nowhere.check = 0;
    nowhere.find = 7;
    assert_int_equal(pn_notebook_add_photo(f->nb, &nowhere, NOW, NULL, NULL),
                     PN_ENOTFOUND);
    free(huge);
    assert_sound(f->nb);
}

/* ---- what was kept ------------------------------------------------------ */

static void kept_things_come_back(void **state) {
    fixture *f = *state;
    int64_t find = add_a_find(f->nb, add_a_patch(f, "Ride"), "meadow_parasol");
    pn_kept jar = a_kept(PN_KEPT_JAR, find, 0);
    int64_t jar_id = 0;
    pn_kept_list got = {0};
    assert_ok(pn_notebook_add_kept(f->nb, &jar, NOW, &jar_id, e));
    pn_kept meal = a_kept(PN_KEPT_MEAL, 0, jar_id);
    meal.eaters = pn_text_of("R., S.");
    meal.note = pn_text_of("soup");
    assert_ok(pn_notebook_add_kept(f->nb, &meal, NOW, NULL, e));
    pn_kept gift = a_kept(PN_KEPT_OTHER, find, 0);
    assert_ok(pn_notebook_add_kept(f->nb, &gift, NOW, NULL, e));
    assert_ok(pn_notebook_list_kept(f->nb, NULL, f->arena, &got, e));
    assert_int_equal(got.count, 3);
    assert_int_equal(got.at[0].sort, PN_KEPT_JAR);
    assert_int_equal(got.at[1].sort, PN_KEPT_MEAL);
    assert_int_equal(got.at[2].sort, PN_KEPT_OTHER);
    assert_int_equal(got.at[1].source, jar_id);
    assert_int_equal(got.at[1].find, 0);
    assert_int_equal(got.at[1].root_find, find);
    assert_true(text_is(got.at[1].name, "dried"));
    assert_true(text_is(got.at[1].eaters, "R., S."));
    assert_true(text_is(got.at[1].note, "soup"));
    pn_notebook_filter by = PN_NOTEBOOK_FILTER_INIT;
    by.find = find;
    assert_ok(pn_notebook_list_kept(f->nb, &by, f->arena, &got, e));
    assert_int_equal(got.count, 3);
    by.find = find + 1;
    assert_ok(pn_notebook_list_kept(f->nb, &by, f->arena, &got, e));
    assert_int_equal(got.count, 0);
    assert_sound(f->nb);
}

static void impossible_things_are_not_kept(void **state) {
    fixture *f = *state;
    int64_t find = add_a_find(f->nb, add_a_patch(f, "Ride"), "meadow_parasol");
    pn_kept jar = a_kept(PN_KEPT_JAR, find, 0);
    assert_ok(pn_notebook_add_kept(f->nb, &jar, NOW, NULL, e));
    pn_kept second = a_kept(PN_KEPT_JAR, 0, 1);
    assert_ok(pn_notebook_add_kept(f->nb, &second, NOW, NULL, e));
    const struct {
        const char *name;
        pn_status want;
        pn_kept kept;
    } cases[] = {
        {"of nothing", PN_EDOMAIN, a_kept(PN_KEPT_JAR, 0, 0)},
        {"of both", PN_EDOMAIN, a_kept(PN_KEPT_JAR, find, 1)},
        {"no such find", PN_ENOTFOUND, a_kept(PN_KEPT_JAR, 99, 0)},
        {"no such jar", PN_ENOTFOUND, a_kept(PN_KEPT_MEAL, 0, 99)},
        {"no such sort", PN_EDOMAIN, a_kept(PN_KEPT_SORT_COUNT, find, 0)},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        if (pn_notebook_add_kept(f->nb, &cases[i].kept, NOW, NULL, NULL) !=
            cases[i].want) {
            fail_msg("%s", cases[i].name);
        }
    }
    pn_kept nameless = a_kept(PN_KEPT_JAR, find, 0);
    nameless.name = pn_text_of("");
    assert_int_equal(pn_notebook_add_kept(f->nb, &nameless, NOW, NULL, NULL),
                     PN_EDOMAIN);
    /* a chain that came back to itself */
    pn_kept loop = a_kept(PN_KEPT_JAR, 0, 2);
    assert_int_equal(pn_notebook_correct_kept(f->nb, 1, &loop, NOW, NULL),
                     PN_EDOMAIN);
    loop.source = 1;
    assert_int_equal(pn_notebook_correct_kept(f->nb, 1, &loop, NOW, NULL),
                     PN_EDOMAIN);
    assert_sound(f->nb);
}

static void the_file_keeps_them(void **state) {
    fixture *f = *state;
    int64_t find = add_a_find(f->nb, add_a_patch(f, "Ride"), "meadow_parasol");
    pn_kept jar = a_kept(PN_KEPT_JAR, find, 0);
    pn_review review = {.kept = 1, .outcome = PN_REVIEW_OTHER};
    char bytes[16];
    pn_check_record check = a_check(find);
    pn_photo photo = {.find = find,
                      .file_name = pn_text_of("a.png"),
                      .bytes = a_png(bytes, 'x')};
    assert_ok(pn_notebook_add_check(f->nb, &check, NOW, NULL, e));
    assert_ok(pn_notebook_add_photo(f->nb, &photo, NOW, NULL, e));
    assert_ok(pn_notebook_add_kept(f->nb, &jar, NOW, NULL, e));
    assert_ok(pn_notebook_add_review(f->nb, &review, NOW, NULL, e));
    static const char *const attempts[] = {
        "UPDATE check_session SET open_count = 0",
        "DELETE FROM check_session",
        "UPDATE photo SET note = 'x'",
        "DELETE FROM photo",
        "UPDATE photo_bytes SET bytes = x'00'",
        "DELETE FROM photo_bytes",
        "INSERT OR REPLACE INTO photo_bytes SELECT sha256, x'00' FROM "
        "photo_bytes",
        "INSERT INTO photo_bytes VALUES (x'00', x'00')",
        "UPDATE kept SET find_row = 2",
        "DELETE FROM kept",
        "INSERT INTO kept (id, origin, recorded_unix_s, sort, find, source, "
        "find_row, name, day) VALUES (9, 9, 5, 'jar', 1, 1, 1, 'x', 5)",
        "UPDATE review SET find_row = 1",
        "DELETE FROM review",
        "INSERT INTO review (id, origin, recorded_unix_s, kept, find_row, "
        "find_stood, outcome) VALUES (9, 9, 5, 1, 1, 1, 'fine')",
        "INSERT INTO photo (id, origin, recorded_unix_s, file_name, "
        "media_type, sha256, find) VALUES (9, 9, 5, 'x', 'image/gif', (SELECT "
        "sha256 FROM photo_bytes), 1)",
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

int main(void) {
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(sessions_come_back),
        TEST(impossible_sessions_are_refused),
        TEST(photos_come_back_byte_by_byte),
        TEST(the_same_bytes_are_stored_once),
        TEST(only_photos_are_taken),
        TEST(kept_things_come_back),
        TEST(impossible_things_are_not_kept),
        TEST(the_file_keeps_them),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
