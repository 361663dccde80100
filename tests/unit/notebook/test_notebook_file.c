// SPDX-License-Identifier: MIT
#include "notebook_fixture.h"

#include <sqlite3.h>
#include <sys/wait.h>

static void write_file(const char *path, const char *bytes, size_t len) {
    FILE *f = fopen(path, "wb");
    assert_non_null(f);
    assert_int_equal(fwrite(bytes, 1, len, f), len);
    fclose(f);
}

static void check_open(const char *name, const char *path, pn_status want,
                       const char *message) {
    for (int mode = 0; mode < 2; mode++) {
        pn_notebook *nb = NULL;
        pn_error err = {0};
        pn_status got = pn_notebook_open(&pn_alloc_libc, path,
                                         (pn_notebook_mode)mode, &nb, &err);
        if (got != want || strstr(err.message, message) == NULL) {
            fail_msg("%s: %s: %s", name, pn_status_name(got), err.message);
        }
        assert_true((nb != NULL) == (got == PN_OK));
        pn_notebook_close(nb);
    }
}

static void what_is_not_a_notebook_is_said_clearly(void **state) {
    fixture *f = *state;
    char path[200];
    check_open("folder", f->folder, PN_EIO, "is a folder, not a notebook");
    check_open("nothing", "/nowhere/at/all", PN_ENOTFOUND, "no such notebook");
    check_open("device", "/dev/null", PN_EIO, "is not a plain file");
    snprintf(path, sizeof path, "%s/under", f->path);
    check_open("file as folder", path, PN_EIO, "Not a directory");
    snprintf(path, sizeof path, "%s/text", f->folder);
    write_file(path, "", 0);
    check_open("empty file", path, PN_EPARSE, "is not a pannage notebook");
    static const char letter[] = "Dear all, this is a letter. It is longer "
                                 "than the hundred bytes of the header that "
                                 "a database file must begin with, no more.";
    write_file(path, letter, sizeof letter);
    check_open("letter", path, PN_EPARSE, "is not a pannage notebook");
    write_file(path, "SQLite format 3\0abc", 19);
    check_open("cut header", path, PN_EPARSE, "is not a pannage notebook");

    snprintf(path, sizeof path, "%s/other.db", f->folder);
    sqlite3 *db = NULL;
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    sqlite3_exec(db, "CREATE TABLE t (x)", NULL, NULL, NULL);
    check_open("another database", path, PN_EPARSE,
               "is not a pannage notebook");
    sqlite3_exec(db,
                 "PRAGMA application_id = 1886283623;"
                 "PRAGMA user_version = 99",
                 NULL, NULL, NULL);
    sqlite3_close(db);
    check_open("newer", path, PN_EDOMAIN, "of version 99");
    check_open("the real one", f->path, PN_OK, "");
}

static void links_are_followed_but_never_replaced(void **state) {
    fixture *f = *state;
    char link_path[200];
    char dangling[200];
    snprintf(link_path, sizeof link_path, "%s/link", f->folder);
    snprintf(dangling, sizeof dangling, "%s/dangling", f->folder);
    assert_int_equal(symlink(f->path, link_path), 0);
    assert_int_equal(symlink("/nowhere/x", dangling), 0);
    check_open("link", link_path, PN_OK, "");
    check_open("dangling link", dangling, PN_ENOTFOUND, "no such notebook");
    const char *taken[] = {f->path, link_path, dangling, f->folder};
    for (size_t i = 0; i < COUNT_OF(taken); i++) {
        pn_notebook *nb = NULL;
        pn_error err = {0};
        assert_int_equal(
            pn_notebook_create(&pn_alloc_libc, taken[i], &nb, &err),
            PN_EEXISTS);
        assert_non_null(strstr(err.message, "is already there"));
        assert_int_equal(pn_notebook_backup(f->nb, taken[i], &err), PN_EEXISTS);
    }
    pn_notebook *nb = NULL;
    assert_int_equal(
        pn_notebook_create(&pn_alloc_libc, "/nowhere/n", &nb, NULL), PN_EIO);
    assert_int_equal(pn_notebook_backup(f->nb, "/nowhere/n", NULL), PN_EIO);
}

/* Root may do everything, so the trying is done in a child that is nobody.
 * @return the number of the step that went wrong, 0 for none */
static int try_permissions(const char *folder, const char *path) {
    pn_notebook *nb = NULL;
    pn_error err = {0};
    if (pn_notebook_open(&pn_alloc_libc, path, PN_NOTEBOOK_WRITE, &nb, &err) !=
            PN_EIO ||
        strstr(err.message, "may not be written") == NULL) {
        return 1;
    }
    if (pn_notebook_open(&pn_alloc_libc, path, PN_NOTEBOOK_READ, &nb, &err) !=
        PN_OK) {
        return 2;
    }
    pn_visit_list visits = {0};
    pn_arena *arena = NULL;
    if (pn_arena_new(&pn_alloc_libc, &arena, NULL) != PN_OK ||
        pn_notebook_list_visits(nb, NULL, arena, &visits, &err) != PN_OK) {
        return 3;
    }
    char backup[200];
    snprintf(backup, sizeof backup, "%s/backup", folder);
    if (pn_notebook_backup(nb, backup, &err) != PN_EIO ||
        strstr(err.message, "Permission denied") == NULL) {
        return 4;
    }
    pn_notebook_close(nb);
    pn_arena_free(arena);
    if (pn_notebook_create(&pn_alloc_libc, backup, &nb, &err) != PN_EIO) {
        return 5;
    }
    snprintf(backup, sizeof backup, "%s/secret", folder);
    if (pn_notebook_open(&pn_alloc_libc, backup, PN_NOTEBOOK_READ, &nb, &err) !=
            PN_EIO ||
        strstr(err.message, "may not be read") == NULL) {
        return 6;
    }
    return 0;
}

/* A notebook in a folder that may only be read, as on a disk given away. */
static void permissions_are_named(void **state) {
    fixture *f = *state;
    pn_notebook_close(f->nb);
    f->nb = NULL;
    char secret[200];
    snprintf(secret, sizeof secret, "%s/secret", f->folder);
    write_file(secret, "x", 1);
    assert_int_equal(chmod(secret, 0), 0);
    assert_int_equal(chmod(f->path, 0444), 0);
    assert_int_equal(chmod(f->folder, 0555), 0);
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        int step = 99;
        if (geteuid() != 0 || setuid(65534) == 0) {
            step = try_permissions(f->folder, f->path);
        }
        _exit(step);
    }
    int result = 0;
    assert_int_equal(waitpid(child, &result, 0), child);
    assert_int_equal(chmod(f->folder, 0755), 0);
    assert_true(WIFEXITED(result));
    assert_int_equal(WEXITSTATUS(result), 0);
}

static void reading_changes_nothing(void **state) {
    fixture *f = *state;
    add_a_patch(f, "Ride");
    pn_notebook *reader = NULL;
    pn_error err = {0};
    assert_ok(pn_notebook_open(&pn_alloc_libc, f->path, PN_NOTEBOOK_READ,
                               &reader, e));
    pn_place place = a_place("New");
    assert_int_equal(pn_notebook_add_place(reader, &place, NOW, NULL, &err),
                     PN_EIO);
    assert_string_equal(err.message, "the notebook is open for reading only");
    assert_int_equal(pn_notebook_begin(reader, NULL), PN_EIO);
    pn_patch_list patches = {0};
    assert_ok(pn_notebook_list_patches(reader, NULL, f->arena, &patches, e));
    assert_int_equal(patches.count, 1);
    assert_sound(reader);
    pn_notebook_close(reader);
}

static void a_backup_is_the_whole_notebook(void **state) {
    fixture *f = *state;
    int64_t patch = add_a_patch(f, "Ride");
    pn_visit visit = {.patch = patch, .epoch_day = 20700, .minutes = NAN};
    assert_ok(
        pn_notebook_add_visit(f->nb, &visit, (pn_find_list){0}, NOW, NULL, e));
    char path[200];
    snprintf(path, sizeof path, "%s/copy", f->folder);
    assert_ok(pn_notebook_begin(f->nb, e));
    assert_int_equal(pn_notebook_backup(f->nb, path, NULL), PN_EEXISTS);
    pn_notebook_rollback(f->nb);
    assert_ok(pn_notebook_backup(f->nb, path, e));
    /* one file, no more, and none half-made */
    char command[400];
    snprintf(command, sizeof command,
             "test \"$(cd '%s' && ls copy* | wc -l)\" = 1", f->folder);
    assert_int_equal(system(command), 0);
    pn_notebook *copy = NULL;
    assert_ok(
        pn_notebook_open(&pn_alloc_libc, path, PN_NOTEBOOK_READ, &copy, e));
    assert_sound(copy);
    pn_visit_list visits = {0};
    assert_ok(pn_notebook_list_visits(copy, NULL, f->arena, &visits, e));
    assert_int_equal(visits.count, 1);
    pn_notebook_close(copy);
    /* and it can be worked on */
    assert_ok(
        pn_notebook_open(&pn_alloc_libc, path, PN_NOTEBOOK_WRITE, &copy, e));
    assert_ok(
        pn_notebook_add_visit(copy, &visit, (pn_find_list){0}, NOW, NULL, e));
    pn_notebook_close(copy);
}

/* ---- failing memory --------------------------------------------------- */

struct failing {
    int calls_left;
};

static void *failing_resize(void *ctx, void *block, size_t new_size) {
    struct failing *failing = ctx;
    if (new_size == 0) {
        free(block);
        return NULL;
    }
    if (failing->calls_left-- <= 0) {
        return NULL;
    }
    return realloc(block, new_size);
}

/* Session, photo, jar, review: written and read again. */
static pn_status keep_things(pn_notebook *nb, pn_arena *arena) {
    char bytes[16];
    pn_check_record check = a_check(0);
    pn_photo photo = {.check = 1,
                      .file_name = pn_text_of("a.png"),
                      .bytes = a_png(bytes, 'x')};
    pn_check_record_list checks = {0};
    pn_photo_list photos = {0};
    pn_kept_list kept = {0};
    pn_review_list reviews = {0};
    pn_doubt_list doubts = {0};
    pn_text got = {NULL, 0};
    pn_status status = pn_notebook_add_check(nb, &check, NOW, NULL, NULL);
    if (status == PN_OK) {
        status = pn_notebook_add_photo(nb, &photo, NOW, NULL, NULL);
    }
    if (status == PN_OK) {
        status = pn_notebook_list_checks(nb, NULL, arena, &checks, NULL);
    }
    if (status == PN_OK) {
        status = pn_notebook_list_photos(nb, NULL, arena, &photos, NULL);
    }
    if (status == PN_OK) {
        status = pn_notebook_load_photo(nb, 1, arena, &got, NULL);
    }
    if (status == PN_OK) {
        status = pn_notebook_list_kept(nb, NULL, arena, &kept, NULL);
    }
    if (status == PN_OK) {
        status = pn_notebook_list_reviews(nb, NULL, arena, &reviews, NULL);
    }
    if (status == PN_OK) {
        status = pn_notebook_list_doubts(nb, NULL, arena, &doubts, NULL);
    }
    if (status == PN_OK) {
        assert_int_equal(checks.count, 1);
        assert_int_equal(photos.count, 1);
        assert_memory_equal(got.at, bytes, 16);
    }
    return status;
}

/* Make, write, import, load, list, verify: all that takes our memory. */
static pn_status a_whole_day(const pn_alloc *alloc, const char *path) {
    pn_notebook *nb = NULL;
    pn_arena *arena = NULL;
    pn_weather *w = NULL;
    pn_weather *loaded = NULL;
    pn_place place = a_place("Wood");
    pn_weather_source source = {.name = pn_text_of("Station")};
    pn_weather_import import = {.source = 1};
    pn_weather_import_result result = {0};
    pn_weather_query query = PN_WEATHER_QUERY_INIT;
    pn_place_list places = {0};
    pn_notebook_report report = {0};
    query.source = 1;
    pn_status status = pn_notebook_create(alloc, path, &nb, NULL);
    if (status == PN_OK) {
        status = pn_arena_new(alloc, &arena, NULL);
    }
    if (status == PN_OK) {
        status = pn_notebook_add_place(nb, &place, NOW, NULL, NULL);
    }
    if (status == PN_OK) {
        status = pn_notebook_add_weather_source(nb, &source, NOW, NULL, NULL);
    }
    if (status == PN_OK) {
        status = pn_weather_new(alloc, 20000, 2, &w, NULL);
    }
    if (status == PN_OK) {
        w->value[PN_SKY_RAIN_MM][1] = 3.0;
        status = pn_notebook_import_weather(nb, &import, w, &result, NULL);
    }
    if (status == PN_OK) {
        status = pn_notebook_load_weather(nb, &query, alloc, &loaded, NULL);
    }
    if (status == PN_OK) {
        status = pn_notebook_list_places(nb, NULL, arena, &places, NULL);
    }
    if (status == PN_OK) {
        status = keep_things(nb, arena);
    }
    if (status == PN_OK) {
        status = pn_notebook_verify(nb, arena, &report, NULL);
    }
    if (status == PN_OK) {
        assert_int_equal(report.count, 0);
        assert_int_equal(places.count, 1);
        assert_near("rain", loaded->value[PN_SKY_RAIN_MM][0], 3.0, 0.0);
    }
    pn_weather_free(loaded);
    pn_weather_free(w);
    pn_arena_free(arena);
    pn_notebook_close(nb);
    return status;
}

/* Every allocation of ours fails once; the sanitizer proves no leak. SQLite
 * has its own heap, which this does not reach. */
static void survives_every_failed_allocation(void **state) {
    fixture *f = *state;
    pn_status status = PN_ENOMEM;
    int permitted = 0;
    for (; status == PN_ENOMEM && permitted < 1000; permitted++) {
        struct failing failing = {.calls_left = permitted};
        pn_alloc alloc = {.resize = failing_resize, .ctx = &failing};
        char path[200];
        snprintf(path, sizeof path, "%s/n%d", f->folder, permitted);
        status = a_whole_day(&alloc, path);
    }
    assert_int_equal(status, PN_OK);
    assert_true(permitted > 40);
}

int main(void) {
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(what_is_not_a_notebook_is_said_clearly),
        TEST(links_are_followed_but_never_replaced),
        TEST(permissions_are_named),
        TEST(reading_changes_nothing),
        TEST(a_backup_is_the_whole_notebook),
        TEST(survives_every_failed_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
