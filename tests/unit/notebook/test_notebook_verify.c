// SPDX-License-Identifier: MIT
/* Damage of every sort, made behind the program's back, must be reported. */
#include "notebook_fixture.h"

#include <fcntl.h>
#include <sqlite3.h>

static void fill_kept(fixture *f) {
    pn_kept jar = a_kept(PN_KEPT_JAR, 1, 0);
    pn_kept meal = a_kept(PN_KEPT_MEAL, 0, 1);
    pn_check_record check = a_check(1);
    pn_review review = {.kept = 1, .outcome = PN_REVIEW_OTHER};
    static char jpeg[9000];
    memcpy(jpeg, "\xff\xd8\xff", 3);
    pn_photo photo = {.check = 1,
                      .file_name = pn_text_of("a.jpg"),
                      .bytes = {jpeg, sizeof jpeg}};
    assert_ok(pn_notebook_add_check(f->nb, &check, NOW, NULL, e));
    assert_ok(pn_notebook_add_photo(f->nb, &photo, NOW, NULL, e));
    assert_ok(pn_notebook_add_kept(f->nb, &jar, NOW, NULL, e));
    assert_ok(pn_notebook_add_kept(f->nb, &meal, NOW, NULL, e));
    assert_ok(pn_notebook_add_review(f->nb, &review, NOW, NULL, e));
}

static void fill(fixture *f) {
    int64_t patch = add_a_patch(f, "Ride");
    int64_t source = add_a_source(f, "Station");
    pn_find finds[] = {a_find("parasol", 1, 80.0), a_find("oak", 0, NAN)};
    pn_weather *w = NULL;
    pn_weather_import import = {.source = source, .recorded_unix_s = NOW};
    pn_weather_import_result r = {0};
    assert_ok(pn_notebook_begin(f->nb, e));
    for (int i = 0; i < 200; i++) {
        pn_visit visit = {
            .patch = patch, .epoch_day = 20700 + i, .minutes = 10.0};
        assert_ok(pn_notebook_add_visit(f->nb, &visit, (pn_find_list){finds, 2},
                                        NOW, NULL, e));
    }
    assert_ok(pn_weather_new(&pn_alloc_libc, 20000, 100, &w, e));
    for (size_t i = 0; i < 100; i++) {
        w->value[PN_SKY_RAIN_MM][i] = 1.0;
    }
    assert_ok(pn_notebook_import_weather(f->nb, &import, w, &r, e));
    fill_kept(f);
    assert_ok(pn_notebook_commit(f->nb, e));
    pn_weather_free(w);
}

static bool reported(fixture *f, const char *want) {
    pn_notebook_report report = {0};
    assert_ok(pn_notebook_verify(f->nb, f->arena, &report, e));
    bool found = false;
    for (size_t i = 0; i < report.count; i++) {
        found = found || strstr(report.at[i], want) != NULL;
    }
    for (size_t i = 0; !found && i < report.count && i < 5; i++) {
        print_error("reported only: %s\n", report.at[i]);
    }
    return found;
}

/* With a guard named: the guard off, the damage done, the guard on again, so
 * that only the damage is left. */
static const struct damage {
    const char *name;
    const char *sql;
    const char *guard; /* made again afterwards from its old text */
    const char *want;
} damages[] = {
    {"guard removed", "DROP TRIGGER find_stays", NULL,
     "schema: trigger find_stays is missing"},
    {"guard weakened",
     "DROP TRIGGER find_keeps; CREATE TRIGGER find_keeps BEFORE UPDATE ON "
     "find WHEN 0 BEGIN SELECT 1; END",
     NULL, "schema: trigger find_keeps has been changed"},
    {"foreign trigger",
     "CREATE TRIGGER spy AFTER INSERT ON find BEGIN SELECT 1; END", NULL,
     "schema: trigger spy does not belong here"},
    {"view changed",
     "DROP VIEW find_now; CREATE VIEW find_now AS SELECT * FROM find", NULL,
     "schema: view find_now has been changed"},
    {"index removed", "DROP INDEX visit_corrects", NULL,
     "schema: index visit_corrects is missing"},
    {"column added", "ALTER TABLE find ADD COLUMN extra TEXT", NULL,
     "schema: table find has been changed"},
    {"table removed", "PRAGMA foreign_keys = OFF; DROP TABLE weather_day", NULL,
     "schema: table weather_day is missing"},
    {"reference to nothing",
     "PRAGMA foreign_keys = OFF; UPDATE find SET visit = 9999 WHERE id = 3",
     "find_keeps", "reference: row 3 of find points to a row of visit"},
    {"hangs on a correction",
     "INSERT INTO visit (id, origin, corrects, patch, day, recorded_unix_s) "
     "SELECT 900, origin, id, patch, day, 5 FROM visit WHERE id = 7; "
     "UPDATE find SET visit = 900 WHERE id = 3",
     "find_keeps", "find: hangs on nothing: row 3"},
    {"chain to another fact",
     "UPDATE visit SET corrects = 2, origin = 1 WHERE id = 5", "visit_keeps",
     "visit: corrects no version of the same fact: row 5"},
    {"fork",
     "DROP INDEX visit_corrects;"
     "UPDATE visit SET corrects = 2, origin = 2 WHERE id IN (5, 6)",
     "visit_keeps", "visit: corrects a row that another corrects too: row 5"},
    {"uid twice",
     "UPDATE find SET uid = (SELECT uid FROM find WHERE id = 1) "
     "WHERE id = 2",
     "find_keeps", "find: has the uid of another row: row 1"},
    {"value out of range",
     "PRAGMA ignore_check_constraints = ON; UPDATE find SET count = -4 "
     "WHERE id = 1",
     "find_keeps", "file: CHECK constraint failed in find"},
    {"impossible weather",
     "UPDATE weather_day SET rain_mm = -1 WHERE day = "
     "20005",
     "weather_day_keeps", "day 20005: rain_mm of -1 is impossible"},
    {"a byte of a photo",
     "UPDATE photo_bytes SET bytes = CAST(substr(bytes, 1, 100) || x'01' || "
     "substr(bytes, 102) AS BLOB)",
     "photo_bytes_keeps", "photo: the bytes of "},
    {"bytes of a photo gone",
     "PRAGMA foreign_keys = OFF; DELETE FROM photo_bytes", "photo_bytes_stays",
     "reference: row 1 of photo points to a row of photo_bytes"},
    {"photo of a version",
     "INSERT INTO check_session (id, origin, corrects, recorded_unix_s, day, "
     "open_count) VALUES (2, 1, 1, 5, 5, 0); UPDATE photo SET check_session = "
     "2",
     "photo_keeps", "photo: hangs on nothing: row 1"},
    {"session of nothing",
     "PRAGMA foreign_keys = OFF; UPDATE check_session SET find = 99999",
     "check_session_keeps", "check_session: hangs on nothing: row 1"},
    {"jar of itself", "UPDATE kept SET find = NULL, source = 2 WHERE id = 1",
     "kept_keeps", "kept: leads to no find: row 1"},
    {"jar of no find",
     "PRAGMA foreign_keys = OFF; UPDATE kept SET find = 99999 WHERE id = 1",
     "kept_keeps", "kept: hangs on nothing: row 1"},
    {"review of nothing",
     "PRAGMA foreign_keys = OFF; UPDATE review SET kept = 99", "review_keeps",
     "review: hangs on nothing: row 1"},
    {"no such outcome",
     "PRAGMA ignore_check_constraints = ON; UPDATE review SET outcome = "
     "'fine'",
     "review_keeps", "file: CHECK constraint failed in review"},
    {"what is up is hidden",
     "DROP VIEW review_due; CREATE VIEW review_due AS SELECT * FROM "
     "kept_change WHERE 0",
     NULL, "schema: view review_due has been changed"},
};

static void do_damage(const char *path, const struct damage *d) {
    sqlite3 *db = NULL;
    sqlite3_stmt *stmt = NULL;
    char guard[1024] = "";
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    if (d->guard != NULL) {
        char drop[100];
        sqlite3_prepare_v2(db, "SELECT sql FROM sqlite_schema WHERE name = ?1",
                           -1, &stmt, NULL);
        sqlite3_bind_text(stmt, 1, d->guard, -1, SQLITE_STATIC);
        assert_int_equal(sqlite3_step(stmt), SQLITE_ROW);
        snprintf(guard, sizeof guard, "%s",
                 (const char *)sqlite3_column_text(stmt, 0));
        sqlite3_finalize(stmt);
        snprintf(drop, sizeof drop, "DROP TRIGGER %s", d->guard);
        assert_int_equal(sqlite3_exec(db, drop, NULL, NULL, NULL), SQLITE_OK);
    }
    if (sqlite3_exec(db, d->sql, NULL, NULL, NULL) != SQLITE_OK ||
        sqlite3_exec(db, guard, NULL, NULL, NULL) != SQLITE_OK) {
        fail_msg("%s: %s", d->name, sqlite3_errmsg(db));
    }
    sqlite3_close(db);
}

static void every_damage_is_reported(void **state) {
    (void)state;
    for (size_t i = 0; i < COUNT_OF(damages); i++) {
        void *one = NULL;
        set_up(&one);
        fixture *f = one;
        fill(f);
        assert_sound(f->nb);
        do_damage(f->path, &damages[i]);
        if (!reported(f, damages[i].want)) {
            fail_msg("%s: not reported: %s", damages[i].name, damages[i].want);
        }
        tear_down(&one);
    }
}

static void overwrite(const char *path, long offset, const void *bytes,
                      size_t len) {
    int fd = open(path, O_RDWR);
    assert_true(fd >= 0);
    assert_int_equal(pwrite(fd, bytes, len, offset), len);
    close(fd);
}

/* Bytes flipped anywhere: no crash, and a changed page is either reported,
 * or the file is not opened, or the bytes were unused or a plain value. */
static void flipped_bytes_never_crash(void **state) {
    fixture *f = *state;
    fill(f);
    pn_notebook_close(f->nb); /* brings all into the one file */
    f->nb = NULL;
    struct stat info = {0};
    assert_int_equal(stat(f->path, &info), 0);
    pn_random random = pn_random_seeded(11);
    char copy[200];
    char command[500];
    int refused = 0;
    int unsound = 0;
    snprintf(copy, sizeof copy, "%s/copy", f->folder);
    snprintf(command, sizeof command, "cp '%s' '%s'", f->path, copy);
    enum { ROUNDS = 100 };
    for (int i = 0; i < ROUNDS; i++) {
        assert_int_equal(system(command), 0);
        long at = (long)(pn_random_uniform(&random) * (double)info.st_size);
        uint64_t junk[4] = {pn_random_u64(&random), pn_random_u64(&random),
                            pn_random_u64(&random), pn_random_u64(&random)};
        overwrite(copy, at, junk, 1 + (size_t)i % sizeof junk);
        pn_notebook *nb = NULL;
        pn_arena *arena = NULL;
        pn_notebook_report report = {0};
        pn_find_list finds = {0};
        pn_weather *w = NULL;
        pn_weather_query query = PN_WEATHER_QUERY_INIT;
        query.source = 1;
        assert_ok(pn_arena_new(&pn_alloc_libc, &arena, e));
        if (pn_notebook_open(&pn_alloc_libc, copy, PN_NOTEBOOK_WRITE, &nb,
                             NULL) != PN_OK) {
            refused++;
        } else {
            pn_status status = pn_notebook_verify(nb, arena, &report, NULL);
            unsound += status != PN_OK || report.count > 0 ? 1 : 0;
            status = pn_notebook_list_finds(nb, NULL, arena, &finds, NULL);
            assert_true(status == PN_OK || status == PN_EPARSE ||
                        status == PN_EIO);
            status =
                pn_notebook_load_weather(nb, &query, &pn_alloc_libc, &w, NULL);
            if (status == PN_OK) {
                pn_weather_free(w);
            }
        }
        pn_notebook_close(nb);
        pn_arena_free(arena);
    }
    print_message("%d of %d not opened, %d reported, the rest hit text, "
                  "numbers or unused bytes\n",
                  refused, ROUNDS, unsound);
    assert_true(refused + unsound > ROUNDS / 6);
}

/* The head of a page destroyed, each page in turn: always noticed. */
static void a_destroyed_page_is_always_noticed(void **state) {
    fixture *f = *state;
    fill(f);
    pn_notebook_close(f->nb);
    f->nb = NULL;
    struct stat info = {0};
    assert_int_equal(stat(f->path, &info), 0);
    char copy[200];
    char command[500];
    snprintf(copy, sizeof copy, "%s/copy", f->folder);
    snprintf(command, sizeof command, "cp '%s' '%s'", f->path, copy);
    const long page = 4096;
    for (long at = 0; at < info.st_size; at += page) {
        assert_int_equal(system(command), 0);
        char junk[16];
        memset(junk, 0x5a, sizeof junk);
        overwrite(copy, at, junk, sizeof junk);
        if (pn_notebook_open(&pn_alloc_libc, copy, PN_NOTEBOOK_READ, &f->nb,
                             NULL) != PN_OK) {
            continue;
        }
        pn_notebook_report report = {0};
        pn_status status = pn_notebook_verify(f->nb, f->arena, &report, NULL);
        if (status == PN_OK && report.count == 0) {
            fail_msg("page %ld destroyed and nothing said", at / page);
        }
        pn_notebook_close(f->nb);
        f->nb = NULL;
    }
}

int main(void) {
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_damage_is_reported),
        TEST(flipped_bytes_never_crash),
        TEST(a_destroyed_page_is_always_noticed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
