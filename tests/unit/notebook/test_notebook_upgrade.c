// SPDX-License-Identifier: MIT
/* v1.sql and v2.sql are notebooks that the program wrote when 1 and 2 were its
 * version. */
#include "notebook_fixture.h"

#include <signal.h>
#include <sqlite3.h>
#include <sys/wait.h>
#include <time.h>

static void run_sql(const char *path, const char *sql) {
    sqlite3 *db = NULL;
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    if (sqlite3_exec(db, sql, NULL, NULL, NULL) != SQLITE_OK) {
        fail_msg("%s", sqlite3_errmsg(db));
    }
    sqlite3_close(db);
}

static void make_old(fixture *f, int version) {
    static char sql[1 << 16];
    char path[256];
    snprintf(path, sizeof path, PN_TEST_DATA "/unit/notebook/v%d.sql", version);
    FILE *dump = fopen(path, "r");
    assert_non_null(dump);
    size_t len = fread(sql, 1, sizeof sql - 1, dump);
    assert_true(len > 0 && len < sizeof sql - 1);
    sql[len] = '\0';
    fclose(dump);
    pn_notebook_close(f->nb);
    f->nb = NULL;
    assert_int_equal(unlink(f->path), 0);
    run_sql(f->path, sql);
}

static void make_v1(fixture *f) {
    make_old(f, 1);
}

static int64_t ask(sqlite3 *db, const char *sql) {
    sqlite3_stmt *stmt = NULL;
    if (sqlite3_prepare_v2(db, sql, -1, &stmt, NULL) != SQLITE_OK) {
        fail_msg("%s: %s", sql, sqlite3_errmsg(db));
    }
    assert_int_equal(sqlite3_step(stmt), SQLITE_ROW);
    int64_t answer = sqlite3_column_int64(stmt, 0);
    sqlite3_finalize(stmt);
    return answer;
}

/* Every row of the old table, column by column, is in the new one, and the
 * new one has no other. */
static void assert_same_rows(sqlite3 *db, const char *table) {
    sqlite3_stmt *stmt = NULL;
    char sql[2048];
    char columns[512];
    snprintf(sql, sizeof sql,
             "SELECT group_concat(name) FROM pragma_table_info('%s', 'old')",
             table);
    assert_int_equal(sqlite3_prepare_v2(db, sql, -1, &stmt, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_step(stmt), SQLITE_ROW);
    snprintf(columns, sizeof columns, "%s",
             (const char *)sqlite3_column_text(stmt, 0));
    sqlite3_finalize(stmt);
    snprintf(sql, sizeof sql,
             "SELECT count(*) FROM (SELECT %s FROM old.%s EXCEPT "
             "SELECT %s FROM main.%s)",
             columns, table, columns, table);
    assert_int_equal(ask(db, sql), 0);
    snprintf(sql, sizeof sql,
             "SELECT (SELECT count(*) FROM main.%s) = "
             "(SELECT count(*) FROM old.%s) AND "
             "(SELECT count(*) FROM old.%s) > 0",
             table, table, table);
    assert_int_equal(ask(db, sql), 1);
}

static void an_old_file_is_not_opened(void **state) {
    fixture *f = *state;
    make_v1(f);
    pn_error err = {0};
    assert_int_equal(pn_notebook_open(&pn_alloc_libc, f->path, PN_NOTEBOOK_READ,
                                      &f->nb, &err),
                     PN_EDOMAIN);
    assert_non_null(strstr(err.message, "older version 1"));
    assert_non_null(strstr(err.message, "pannage notebook upgrade"));
}

static void assert_facts_survive(const char *path, const char *backup,
                                 int version) {
    static const char *const tables[] = {
        "place", "patch",          "patch_kind",     "visit",
        "find",  "weather_source", "weather_import", "weather_day"};
    char attach[PN_NOTEBOOK_PATH_SIZE + 32];
    snprintf(attach, sizeof attach, "ATTACH '%s' AS old", backup);
    sqlite3 *db = NULL;
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, attach, NULL, NULL, NULL), SQLITE_OK);
    assert_int_equal(ask(db, "PRAGMA old.user_version"), version);
    assert_int_equal(ask(db, "PRAGMA main.user_version"), PN_NOTEBOOK_VERSION);
    for (size_t i = 0; i < COUNT_OF(tables); i++) {
        assert_same_rows(db, tables[i]);
    }
    sqlite3_close(db);
}

static void every_fact_survives(void **state) {
    fixture *f = *state;
    for (int version = 1; version < PN_NOTEBOOK_VERSION; version++) {
        char backup[PN_NOTEBOOK_PATH_SIZE];
        char suffix[32];
        make_old(f, version);
        assert_ok(pn_notebook_upgrade(&pn_alloc_libc, f->path, backup, e));
        snprintf(suffix, sizeof suffix, ".version-%d", version);
        assert_non_null(strstr(backup, suffix));
        assert_facts_survive(f->path, backup, version);
        assert_ok(pn_notebook_open(&pn_alloc_libc, f->path, PN_NOTEBOOK_WRITE,
                                   &f->nb, e));
        assert_sound(f->nb);
    }
}

/* Rules inside the tables too, which verify cannot compare: word for word. */
static void new_tables_are_those_of_a_new_notebook(void **state) {
    static const char *const tables[] = {"check_session", "photo",
                                         "photo_bytes", "kept", "review"};
    fixture *f = *state;
    char fresh[200];
    char attach[PN_NOTEBOOK_PATH_SIZE + 32];
    char backup[PN_NOTEBOOK_PATH_SIZE];
    snprintf(fresh, sizeof fresh, "%s/fresh", f->folder);
    assert_ok(pn_notebook_backup(f->nb, fresh, e));
    make_old(f, 2);
    assert_ok(pn_notebook_upgrade(&pn_alloc_libc, f->path, backup, e));
    snprintf(attach, sizeof attach, "ATTACH '%s' AS fresh", fresh);
    sqlite3 *db = NULL;
    assert_int_equal(sqlite3_open(f->path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, attach, NULL, NULL, NULL), SQLITE_OK);
    for (size_t i = 0; i < COUNT_OF(tables); i++) {
        char sql[500];
        snprintf(sql, sizeof sql,
                 "SELECT (SELECT sql FROM main.sqlite_schema WHERE name = '%s')"
                 " = (SELECT sql FROM fresh.sqlite_schema WHERE name = '%s')",
                 tables[i], tables[i]);
        if (ask(db, sql) != 1) {
            fail_msg("the table %s differs", tables[i]);
        }
    }
    sqlite3_close(db);
}

/* The numbers are those that were put into the version 2 notebook. */
static void an_upgraded_version_2_works(void **state) {
    fixture *f = *state;
    char backup[PN_NOTEBOOK_PATH_SIZE];
    pn_find_list finds = {0};
    pn_doubt_list doubts = {0};
    char bytes[16];
    make_old(f, 2);
    assert_ok(pn_notebook_upgrade(&pn_alloc_libc, f->path, backup, e));
    assert_ok(pn_notebook_open(&pn_alloc_libc, f->path, PN_NOTEBOOK_WRITE,
                               &f->nb, e));
    assert_ok(pn_notebook_list_finds(f->nb, NULL, f->arena, &finds, e));
    assert_int_equal(finds.count, 3);
    assert_true(text_is(finds.at[0].kind, "meadow_parasol"));
    assert_int_equal(finds.at[0].count, 4);
    assert_true(text_is(finds.at[2].kind, "bay_bolete"));
    pn_kept jar = a_kept(PN_KEPT_JAR, finds.at[2].fact.id, 0);
    pn_check_record check = a_check(finds.at[2].fact.id);
    pn_photo photo = {.find = finds.at[2].fact.id,
                      .file_name = pn_text_of("a.png"),
                      .bytes = a_png(bytes, 'x')};
    assert_ok(pn_notebook_add_check(f->nb, &check, NOW, NULL, e));
    assert_ok(pn_notebook_add_photo(f->nb, &photo, NOW, NULL, e));
    assert_ok(pn_notebook_add_kept(f->nb, &jar, NOW, NULL, e));
    /* it had become bay bolete before the jar was written down */
    assert_ok(pn_notebook_list_doubts(f->nb, NULL, f->arena, &doubts, e));
    assert_int_equal(doubts.count, 0);
    finds.at[2].kind = pn_text_of("bitter_bolete");
    assert_ok(pn_notebook_correct_find(f->nb, finds.at[2].fact.row,
                                       &finds.at[2], NOW, e));
    assert_ok(pn_notebook_list_doubts(f->nb, NULL, f->arena, &doubts, e));
    assert_int_equal(doubts.count, 1);
    assert_true(text_is(doubts.at[0].kind_then, "bay_bolete"));
    assert_sound(f->nb);
}

/* The numbers are those that were put into the version 1 notebook. */
static void the_upgraded_notebook_works(void **state) {
    fixture *f = *state;
    make_v1(f);
    char backup[PN_NOTEBOOK_PATH_SIZE];
    assert_ok(pn_notebook_upgrade(&pn_alloc_libc, f->path, backup, e));
    assert_ok(pn_notebook_open(&pn_alloc_libc, f->path, PN_NOTEBOOK_WRITE,
                               &f->nb, e));
    assert_sound(f->nb);
    pn_patch_list patches = {0};
    pn_visit_list visits = {0};
    pn_find_list finds = {0};
    assert_ok(pn_notebook_list_patches(f->nb, NULL, f->arena, &patches, e));
    assert_ok(pn_notebook_list_visits(f->nb, NULL, f->arena, &visits, e));
    assert_ok(pn_notebook_list_finds(f->nb, NULL, f->arena, &finds, e));
    assert_int_equal(patches.count, 2);
    assert_near("corrected area", patches.at[0].area_m2, 650.0, 0.0);
    assert_int_equal(visits.count, 6);
    assert_int_equal(visits.at[0].looked_for, PN_LOOKED_LISTED);
    assert_near("minutes unknown", visits.at[0].minutes, NAN, 0.0);
    assert_int_equal(finds.count, 8);
    assert_int_equal(finds.at[1].count, 7);
    pn_weather_query query = PN_WEATHER_QUERY_INIT;
    query.source = 1;
    query.with_forecast = true;
    pn_weather *w = NULL;
    assert_ok(pn_notebook_load_weather(f->nb, &query, &pn_alloc_libc, &w, e));
    assert_int_equal(w->day_count, 15);
    assert_near("second import", w->value[PN_SKY_TMIN_DEGC][5], 5.25, 0.0);
    pn_weather_free(w);
    visits.at[0].minutes = 20.0;
    visits.at[0].looked_for = PN_LOOKED_ALL;
    assert_ok(pn_notebook_correct_visit(f->nb, visits.at[0].fact.row,
                                        &visits.at[0], NOW, e));
    assert_sound(f->nb);
}

static void a_second_upgrade_does_nothing(void **state) {
    fixture *f = *state;
    make_v1(f);
    char backup[PN_NOTEBOOK_PATH_SIZE];
    assert_ok(pn_notebook_upgrade(&pn_alloc_libc, f->path, backup, e));
    assert_ok(pn_notebook_upgrade(&pn_alloc_libc, f->path, backup, e));
    assert_string_equal(backup, "");
}

static void a_copy_never_replaces_another(void **state) {
    fixture *f = *state;
    make_v1(f);
    char taken[PN_NOTEBOOK_PATH_SIZE];
    char backup[PN_NOTEBOOK_PATH_SIZE];
    snprintf(taken, sizeof taken, "%s.version-1", f->path);
    FILE *precious = fopen(taken, "w");
    assert_non_null(precious);
    fputs("precious", precious);
    fclose(precious);
    assert_ok(pn_notebook_upgrade(&pn_alloc_libc, f->path, backup, e));
    assert_non_null(strstr(backup, ".version-1.2"));
    struct stat info = {0};
    assert_int_equal(stat(taken, &info), 0);
    assert_int_equal(info.st_size, 8);
}

static void a_failed_upgrade_changes_nothing(void **state) {
    fixture *f = *state;
    make_v1(f);
    /* stands in the way of the last step of the migration */
    run_sql(f->path, "ALTER TABLE weather_import ADD COLUMN forecast TEXT");
    char backup[PN_NOTEBOOK_PATH_SIZE];
    assert_int_equal(pn_notebook_upgrade(&pn_alloc_libc, f->path, backup, NULL),
                     PN_EIO);
    sqlite3 *db = NULL;
    assert_int_equal(sqlite3_open(f->path, &db), SQLITE_OK);
    assert_int_equal(ask(db, "PRAGMA user_version"), 1);
    assert_int_equal(ask(db, "SELECT count(*) FROM pragma_table_info('visit') "
                             "WHERE name = 'minutes'"),
                     0);
    assert_int_equal(ask(db, "SELECT count(*) > 0 FROM sqlite_schema WHERE "
                             "type = 'trigger'"),
                     1);
    sqlite3_close(db);
}

/* The last table of the migration is there already: nothing of it stays. */
static void a_failed_upgrade_to_3_changes_nothing(void **state) {
    fixture *f = *state;
    char backup[PN_NOTEBOOK_PATH_SIZE];
    make_old(f, 2);
    run_sql(f->path, "CREATE TABLE review (id INTEGER)");
    assert_int_equal(pn_notebook_upgrade(&pn_alloc_libc, f->path, backup, NULL),
                     PN_EIO);
    sqlite3 *db = NULL;
    assert_int_equal(sqlite3_open(f->path, &db), SQLITE_OK);
    assert_int_equal(ask(db, "PRAGMA user_version"), 2);
    assert_int_equal(ask(db, "SELECT count(*) FROM sqlite_schema WHERE name IN "
                             "('check_session', 'photo', 'kept')"),
                     0);
    assert_int_equal(ask(db, "SELECT count(*) > 0 FROM sqlite_schema WHERE "
                             "type = 'trigger'"),
                     1);
    sqlite3_close(db);
}

static double now_s(void) {
    struct timespec t;
    assert_int_equal(clock_gettime(CLOCK_MONOTONIC, &t), 0);
    return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

static void sleep_s(double s) {
    struct timespec t = {.tv_sec = (time_t)s,
                         .tv_nsec = (long)((s - floor(s)) * 1e9)};
    nanosleep(&t, NULL);
}

/* How long one takes on this machine, as it is loaded now. */
static double upgrade_s(fixture *f) {
    char backup[PN_NOTEBOOK_PATH_SIZE];
    make_old(f, 1);
    double began = now_s();
    assert_ok(pn_notebook_upgrade(&pn_alloc_libc, f->path, backup, e));
    assert_int_equal(unlink(backup), 0);
    return now_s() - began;
}

/* Killed before, in or after the copy or the change. Whatever is there then is
 * whole, of the old version or the new, and goes on. */
static void a_killed_upgrade_goes_on(void **state) {
    enum { KILLS = 60 };
    fixture *f = *state;
    pn_random random = pn_random_seeded(23);
    double usual_s = upgrade_s(f);
    int at_version[PN_NOTEBOOK_VERSION + 1] = {0};
    for (int i = 0; i < KILLS; i++) {
        int from = 1 + i % 2;
        char backup[PN_NOTEBOOK_PATH_SIZE];
        char command[200];
        make_old(f, from);
        pid_t child = fork();
        assert_true(child >= 0);
        if (child == 0) {
            _exit(pn_notebook_upgrade(&pn_alloc_libc, f->path, backup, NULL) ==
                          PN_OK
                      ? 0
                      : 1);
        }
        sleep_s(pn_random_uniform(&random) * 3.0 * usual_s);
        kill(child, SIGKILL);
        int result = 0;
        assert_int_equal(waitpid(child, &result, 0), child);
        assert_true(WIFSIGNALED(result) || WEXITSTATUS(result) == 0);
        sqlite3 *db = NULL;
        assert_int_equal(sqlite3_open(f->path, &db), SQLITE_OK);
        int version = (int)ask(db, "PRAGMA user_version");
        assert_true(version == from || version == PN_NOTEBOOK_VERSION);
        at_version[version]++;
        sqlite3_close(db);
        assert_ok(pn_notebook_upgrade(&pn_alloc_libc, f->path, backup, e));
        assert_ok(pn_notebook_open(&pn_alloc_libc, f->path, PN_NOTEBOOK_WRITE,
                                   &f->nb, e));
        assert_sound(f->nb);
        pn_notebook_close(f->nb);
        f->nb = NULL;
        /* the copy made first is what there was, whichever one it is */
        snprintf(backup, sizeof backup, "%s.version-%d", f->path, from);
        if (access(backup, F_OK) == 0) {
            assert_facts_survive(f->path, backup, from);
        }
        snprintf(command, sizeof command, "rm -f '%s'.*", f->path);
        assert_int_equal(system(command), 0);
    }
    print_message("%d kills left version 1 %d, 2 %d, 3 %d times\n", KILLS,
                  at_version[1], at_version[2], at_version[3]);
    assert_true(at_version[1] > 0 && at_version[2] > 0);
}

static void newer_and_foreign_files_are_left_alone(void **state) {
    fixture *f = *state;
    char backup[PN_NOTEBOOK_PATH_SIZE];
    pn_error err = {0};
    make_v1(f);
    run_sql(f->path, "PRAGMA user_version = 4");
    assert_int_equal(pn_notebook_upgrade(&pn_alloc_libc, f->path, backup, &err),
                     PN_EDOMAIN);
    assert_non_null(strstr(err.message, "update pannage"));
    run_sql(f->path, "PRAGMA user_version = 1; PRAGMA application_id = 7");
    assert_int_equal(pn_notebook_upgrade(&pn_alloc_libc, f->path, backup, &err),
                     PN_EPARSE);
    assert_non_null(strstr(err.message, "is not a pannage notebook"));
    assert_int_equal(
        pn_notebook_upgrade(&pn_alloc_libc, "/nowhere/n", backup, &err),
        PN_ENOTFOUND);
}

int main(void) {
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(an_old_file_is_not_opened),
        TEST(every_fact_survives),
        TEST(new_tables_are_those_of_a_new_notebook),
        TEST(an_upgraded_version_2_works),
        TEST(the_upgraded_notebook_works),
        TEST(a_second_upgrade_does_nothing),
        TEST(a_copy_never_replaces_another),
        TEST(a_failed_upgrade_changes_nothing),
        TEST(a_failed_upgrade_to_3_changes_nothing),
        TEST(a_killed_upgrade_goes_on),
        TEST(newer_and_foreign_files_are_left_alone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
