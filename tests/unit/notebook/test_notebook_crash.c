// SPDX-License-Identifier: MIT
/* A program killed in the middle, and a disk that fills up: what was saved
 * stays saved, what was half done is gone. (A kill leaves what the system has
 * taken over; that the disk really holds it is SQLite's synchronous = FULL,
 * which no test here can pull the plug on.) */
#include "notebook_fixture.h"

#include <signal.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>

#include "notebook/notebook_internal.h"

enum { KILLS = 60, FINDS_PER_VISIT = 3, DAYS_PER_IMPORT = 20, FIRST_DAY = 0 };

static void must(pn_status status, int code) {
    if (status != PN_OK) {
        _exit(code);
    }
}

static pn_weather *some_days(int32_t first) {
    pn_weather *w = NULL;
    must(pn_weather_new(&pn_alloc_libc, first, DAYS_PER_IMPORT, &w, NULL), 21);
    for (size_t i = 0; i < DAYS_PER_IMPORT; i++) {
        w->value[PN_SKY_RAIN_MM][i] = 1.0;
        w->value[PN_SKY_TMIN_DEGC][i] = 5.0;
    }
    return w;
}

/* Visits and imports in turn, each a transaction of its own; after each that
 * is saved one letter goes up the pipe. visits and imports: saved so far. */
static void write_for_ever(const char *path, int64_t visits, int64_t imports,
                           int pipe_end) {
    pn_notebook *nb = NULL;
    must(pn_notebook_open(&pn_alloc_libc, path, PN_NOTEBOOK_WRITE, &nb, NULL),
         22);
    for (;;) {
        pn_find finds[FINDS_PER_VISIT] = {a_find("parasol", 1, 10.0),
                                          a_find("oak", 0, NAN),
                                          a_find("hazel", -1, NAN)};
        pn_visit visit = {
            .patch = 1, .epoch_day = (int32_t)(visits % 50000), .minutes = NAN};
        must(pn_notebook_add_visit(nb, &visit,
                                   (pn_find_list){finds, FINDS_PER_VISIT}, NOW,
                                   NULL, NULL),
             23);
        visits++;
        must(write(pipe_end, "v", 1) == 1 ? PN_OK : PN_EIO, 24);

        pn_weather *w =
            some_days(FIRST_DAY + (int32_t)imports * DAYS_PER_IMPORT);
        pn_weather_import import = {.source = 1, .recorded_unix_s = NOW};
        pn_weather_import_result result = {0};
        must(pn_notebook_import_weather(nb, &import, w, &result, NULL), 25);
        pn_weather_free(w);
        imports++;
        must(write(pipe_end, "w", 1) == 1 ? PN_OK : PN_EIO, 26);
    }
}

typedef struct saved {
    int64_t visits;
    int64_t imports;
} saved;

static void count_letter(char letter, saved *sure) {
    sure->visits += letter == 'v' ? 1 : 0;
    sure->imports += letter == 'w' ? 1 : 0;
}

/* Reports of the child, added to what there was: at most `most` of them, or
 * all until the pipe ends. */
static void read_reports(int pipe_end, int most, saved *sure) {
    char letter = 0;
    for (int i = 0; i < most && read(pipe_end, &letter, 1) == 1; i++) {
        count_letter(letter, sure);
    }
}

/* Killed 0 to 15 ms after its 0th to 3rd transaction: that is anywhere in
 * opening, writing, saving or between two. */
static void one_kill(const char *path, saved *sure, pn_random *random) {
    int ends[2];
    assert_int_equal(pipe(ends), 0);
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        close(ends[0]);
        write_for_ever(path, sure->visits, sure->imports, ends[1]);
    }
    close(ends[1]);
    read_reports(ends[0], (int)(pn_random_uniform(random) * 4.0), sure);
    struct timespec delay = {.tv_nsec =
                                 (long)(pn_random_uniform(random) * 15e6)};
    nanosleep(&delay, NULL);
    assert_int_equal(kill(child, SIGKILL), 0);
    int result = 0;
    assert_int_equal(waitpid(child, &result, 0), child);
    assert_true(WIFSIGNALED(result)); /* it had no failure of its own */
    read_reports(ends[0], INT32_MAX, sure);
    close(ends[0]);
}

/* All that was reported is there, at most one more of it, and all whole. */
static void check_after_kill(const char *path, saved *sure) {
    pn_notebook *nb = NULL;
    pn_arena *arena = NULL;
    pn_visit_list visits = {0};
    pn_find_list finds = {0};
    pn_weather_source_list sources = {0};
    assert_ok(pn_arena_new(&pn_alloc_libc, &arena, e));
    assert_ok(
        pn_notebook_open(&pn_alloc_libc, path, PN_NOTEBOOK_WRITE, &nb, e));
    assert_sound(nb);
    assert_ok(pn_notebook_list_visits(nb, NULL, arena, &visits, e));
    assert_ok(pn_notebook_list_finds(nb, NULL, arena, &finds, e));
    assert_ok(pn_notebook_list_weather_sources(nb, NULL, arena, &sources, e));
    int64_t days = (int64_t)sources.at[0].last_epoch_day -
                   sources.at[0].first_epoch_day + 1;
    int64_t imports =
        sources.at[0].last_epoch_day == INT32_MIN ? 0 : days / DAYS_PER_IMPORT;
    int64_t count = (int64_t)visits.count;
    assert_int_equal(finds.count, visits.count * FINDS_PER_VISIT);
    assert_true(imports == 0 || days % DAYS_PER_IMPORT == 0);
    assert_in_range(count - sure->visits, 0, 1);
    assert_in_range(imports - sure->imports, 0, 1);
    sure->visits = count;
    sure->imports = imports;
    pn_notebook_close(nb);
    pn_arena_free(arena);
}

static void kill_9_loses_nothing_saved(void **state) {
    fixture *f = *state;
    add_a_patch(f, "Ride");
    add_a_source(f, "Station");
    pn_notebook_close(f->nb);
    f->nb = NULL;
    pn_random random = pn_random_seeded(909);
    saved sure = {0};
    for (int i = 0; i < KILLS; i++) {
        one_kill(f->path, &sure, &random);
        check_after_kill(f->path, &sure);
    }
    print_message("%d kills; %d visits and %d imports saved and found\n", KILLS,
                  (int)sure.visits, (int)sure.imports);
    assert_true(sure.visits > 20 && sure.imports > 10);
}

/* ---- a full disk ------------------------------------------------------ */

/* In a child whose files may not grow beyond a limit, until it is reached.
 * @return 0, or the number of the step that went wrong */
static int fill_the_disk(const char *path) {
    struct stat info = {0};
    if (stat(path, &info) != 0) {
        return 1;
    }
    struct rlimit limit = {.rlim_cur = (rlim_t)info.st_size + 300000,
                           .rlim_max = RLIM_INFINITY};
    if (signal(SIGXFSZ, SIG_IGN) == SIG_ERR ||
        setrlimit(RLIMIT_FSIZE, &limit) != 0) {
        return 2;
    }
    pn_notebook *nb = NULL;
    pn_error err = {0};
    if (pn_notebook_open(&pn_alloc_libc, path, PN_NOTEBOOK_WRITE, &nb, &err) !=
        PN_OK) {
        return 3;
    }
    static char note[9000];
    memset(note, 'n', sizeof note);
    pn_visit visit = {.patch = 1,
                      .epoch_day = 20000,
                      .minutes = NAN,
                      .note = {note, sizeof note}};
    pn_status status = PN_OK;
    for (int i = 0; i < 1000 && status == PN_OK; i++) {
        status = pn_notebook_add_visit(nb, &visit, (pn_find_list){0}, NOW, NULL,
                                       &err);
    }
    if (status != PN_EIO) {
        return 4;
    }
    pn_arena *arena = NULL;
    pn_notebook_report report = {0};
    if (pn_arena_new(&pn_alloc_libc, &arena, NULL) != PN_OK ||
        pn_notebook_verify(nb, arena, &report, NULL) != PN_OK ||
        report.count != 0) {
        return 5;
    }
    pn_arena_free(arena);
    pn_notebook_close(nb);
    return 0;
}

static void a_file_that_may_not_grow(void **state) {
    fixture *f = *state;
    add_a_patch(f, "Ride");
    pn_notebook_close(f->nb);
    f->nb = NULL;
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        _exit(fill_the_disk(f->path));
    }
    int result = 0;
    assert_int_equal(waitpid(child, &result, 0), child);
    assert_true(WIFEXITED(result));
    assert_int_equal(WEXITSTATUS(result), 0);
    assert_ok(pn_notebook_open(&pn_alloc_libc, f->path, PN_NOTEBOOK_WRITE,
                               &f->nb, e));
    assert_sound(f->nb);
    pn_visit_list visits = {0};
    assert_ok(pn_notebook_list_visits(f->nb, NULL, f->arena, &visits, e));
    assert_true(visits.count > 5);
    for (size_t i = 0; i < visits.count; i++) {
        assert_int_equal(visits.at[i].note.len, 9000);
    }
}

/* SQLite itself says "full": also within a change of many. */
static void a_full_database(void **state) {
    fixture *f = *state;
    int64_t patch = add_a_patch(f, "Ride");
    static char note[9000];
    memset(note, 'n', sizeof note);
    pn_visit visit = {.patch = patch,
                      .epoch_day = 20000,
                      .minutes = NAN,
                      .note = {note, sizeof note}};
    assert_ok(
        pn_notebook_add_visit(f->nb, &visit, (pn_find_list){0}, NOW, NULL, e));
    assert_ok(nb_exec(f->nb->db, "PRAGMA max_page_count = 120", "", e));
    pn_error err = {0};
    assert_ok(pn_notebook_begin(f->nb, e));
    pn_status status = PN_OK;
    int added = 0;
    for (; added < 1000 && status == PN_OK; added++) {
        status = pn_notebook_add_visit(f->nb, &visit, (pn_find_list){0}, NOW,
                                       NULL, &err);
    }
    assert_int_equal(status, PN_EIO);
    assert_non_null(strstr(err.message, "the disk is full"));
    pn_notebook_rollback(f->nb);
    assert_sound(f->nb);
    pn_visit_list visits = {0};
    assert_ok(pn_notebook_list_visits(f->nb, NULL, f->arena, &visits, e));
    assert_int_equal(visits.count, 1);
}

/* A session with photos is all there or not at all. */
static void a_full_database_takes_no_half_session(void **state) {
    fixture *f = *state;
    static char jpeg[200000];
    int64_t find = add_a_find(f->nb, add_a_patch(f, "Ride"), "meadow_parasol");
    pn_check_record check = a_check(find);
    pn_photo photo = {.find = find, .file_name = pn_text_of("a.jpg")};
    pn_error err = {0};
    pn_status status = PN_OK;
    size_t whole = 0;
    memcpy(jpeg, "\xff\xd8\xff", 3);
    assert_ok(nb_exec(f->nb->db, "PRAGMA max_page_count = 400", "", e));
    for (int i = 0; i < 20 && status == PN_OK; i++) {
        assert_ok(pn_notebook_begin(f->nb, e));
        status = pn_notebook_add_check(f->nb, &check, NOW, &photo.check, &err);
        for (int k = 0; k < 2 && status == PN_OK; k++) {
            jpeg[3]++; /* another photo */
            photo.bytes = (pn_text){jpeg, sizeof jpeg};
            status = pn_notebook_add_photo(f->nb, &photo, NOW, NULL, &err);
        }
        if (status == PN_OK) {
            status = pn_notebook_commit(f->nb, &err);
            whole++;
        } else {
            pn_notebook_rollback(f->nb);
        }
    }
    assert_int_equal(status, PN_EIO);
    assert_non_null(strstr(err.message, "the disk is full"));
    assert_true(whole >= 2);
    pn_check_record_list checks = {0};
    pn_photo_list photos = {0};
    assert_ok(pn_notebook_list_checks(f->nb, NULL, f->arena, &checks, e));
    assert_ok(pn_notebook_list_photos(f->nb, NULL, f->arena, &photos, e));
    assert_int_equal(checks.count, whole);
    assert_int_equal(photos.count, 2 * whole);
    assert_sound(f->nb);
}

static void keep_for_ever(const char *path, int pipe_end) {
    static char jpeg[300000];
    pn_notebook *nb = NULL;
    must(pn_notebook_open(&pn_alloc_libc, path, PN_NOTEBOOK_WRITE, &nb, NULL),
         22);
    memcpy(jpeg, "\xff\xd8\xff", 3);
    snprintf(jpeg + 3, 20, "%ld", (long)getpid());
    for (uint32_t i = 0;; i++) {
        pn_check_record check = a_check(1);
        pn_photo photo = {.find = 1, .file_name = pn_text_of("a.jpg")};
        memcpy(jpeg + 100, &i, sizeof i);
        photo.bytes = (pn_text){jpeg, sizeof jpeg};
        must(pn_notebook_begin(nb, NULL), 23);
        must(pn_notebook_add_check(nb, &check, NOW, &photo.check, NULL), 24);
        must(pn_notebook_add_photo(nb, &photo, NOW, NULL, NULL), 25);
        must(pn_notebook_commit(nb, NULL), 26);
        must(write(pipe_end, "k", 1) == 1 ? PN_OK : PN_EIO, 27);
    }
}

static size_t kept_sessions(fixture *f) {
    pn_check_record_list checks = {0};
    pn_photo_list photos = {0};
    assert_ok(pn_notebook_open(&pn_alloc_libc, f->path, PN_NOTEBOOK_WRITE,
                               &f->nb, e));
    assert_sound(f->nb); /* every byte of every photo with it */
    assert_ok(pn_notebook_list_checks(f->nb, NULL, f->arena, &checks, e));
    assert_ok(pn_notebook_list_photos(f->nb, NULL, f->arena, &photos, e));
    assert_int_equal(checks.count, photos.count);
    pn_notebook_close(f->nb);
    f->nb = NULL;
    return checks.count;
}

static void kill_9_leaves_no_half_session(void **state) {
    fixture *f = *state;
    size_t sure = 0;
    pn_random random = pn_random_seeded(17);
    add_a_find(f->nb, add_a_patch(f, "Ride"), "meadow_parasol");
    pn_notebook_close(f->nb);
    f->nb = NULL;
    for (int i = 0; i < 25; i++) {
        int ends[2];
        int result = 0;
        char letter = 0;
        assert_int_equal(pipe(ends), 0);
        pid_t child = fork();
        assert_true(child >= 0);
        if (child == 0) {
            close(ends[0]);
            keep_for_ever(f->path, ends[1]);
        }
        close(ends[1]);
        for (int k = (int)(pn_random_uniform(&random) * 3.0);
             k > 0 && read(ends[0], &letter, 1) == 1; k--) {
            sure++;
        }
        struct timespec delay = {.tv_nsec =
                                     (long)(pn_random_uniform(&random) * 15e6)};
        nanosleep(&delay, NULL);
        assert_int_equal(kill(child, SIGKILL), 0);
        assert_int_equal(waitpid(child, &result, 0), child);
        assert_int_equal(WTERMSIG(result), SIGKILL);
        while (read(ends[0], &letter, 1) == 1) {
            sure++;
        }
        close(ends[0]);
        size_t there = kept_sessions(f);
        assert_in_range(there - sure, 0, 1);
        sure = there;
    }
    print_message("25 kills; %zu sessions with their photos saved and found\n",
                  sure);
    assert_true(sure > 5);
}

/* ---- two at once ------------------------------------------------------ */

/* Both write as fast as they can; busy waiting must let all through. */
static void two_programs_at_once(void **state) {
    enum { EACH = 60 };
    fixture *f = *state;
    int64_t patch = add_a_patch(f, "Ride");
    pn_notebook_close(f->nb);
    f->nb = NULL;
    pid_t children[2];
    for (int c = 0; c < 2; c++) {
        children[c] = fork();
        assert_true(children[c] >= 0);
        if (children[c] == 0) {
            pn_notebook *nb = NULL;
            must(pn_notebook_open(&pn_alloc_libc, f->path, PN_NOTEBOOK_WRITE,
                                  &nb, NULL),
                 31);
            for (int i = 0; i < EACH; i++) {
                pn_visit visit = {
                    .patch = patch, .epoch_day = 100 * c + i, .minutes = NAN};
                must(pn_notebook_add_visit(nb, &visit, (pn_find_list){0}, NOW,
                                           NULL, NULL),
                     32);
            }
            pn_notebook_close(nb);
            _exit(0);
        }
    }
    for (int c = 0; c < 2; c++) {
        int result = 0;
        assert_int_equal(waitpid(children[c], &result, 0), children[c]);
        assert_true(WIFEXITED(result) && WEXITSTATUS(result) == 0);
    }
    assert_ok(
        pn_notebook_open(&pn_alloc_libc, f->path, PN_NOTEBOOK_READ, &f->nb, e));
    pn_visit_list visits = {0};
    assert_ok(pn_notebook_list_visits(f->nb, NULL, f->arena, &visits, e));
    assert_int_equal(visits.count, 2 * EACH);
    assert_sound(f->nb);
}

/* Somebody holds the pen for too long: said, and nothing is lost. */
static void waiting_ends(void **state) {
    fixture *f = *state;
    int64_t patch = add_a_patch(f, "Ride");
    pn_visit visit = {.patch = patch, .epoch_day = 5, .minutes = NAN};
    pn_notebook *other = NULL;
    pn_error err = {0};
    assert_ok(pn_notebook_open(&pn_alloc_libc, f->path, PN_NOTEBOOK_WRITE,
                               &other, e));
    assert_int_equal(sqlite3_busy_timeout(other->db, 20), SQLITE_OK);
    assert_ok(pn_notebook_begin(f->nb, e));
    assert_ok(
        pn_notebook_add_visit(f->nb, &visit, (pn_find_list){0}, NOW, NULL, e));
    assert_int_equal(pn_notebook_add_visit(other, &visit, (pn_find_list){0},
                                           NOW, NULL, &err),
                     PN_EIO);
    assert_non_null(strstr(err.message, "another program is writing"));
    pn_visit_list visits = {0};
    assert_ok(pn_notebook_list_visits(other, NULL, f->arena, &visits, e));
    assert_int_equal(visits.count, 0); /* what is not saved is not seen */
    assert_ok(pn_notebook_commit(f->nb, e));
    assert_ok(
        pn_notebook_add_visit(other, &visit, (pn_find_list){0}, NOW, NULL, e));
    assert_ok(pn_notebook_list_visits(other, NULL, f->arena, &visits, e));
    assert_int_equal(visits.count, 2);
    pn_notebook_close(other);
}

int main(void) {
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(kill_9_loses_nothing_saved),
        TEST(a_file_that_may_not_grow),
        TEST(a_full_database),
        TEST(a_full_database_takes_no_half_session),
        TEST(kill_9_leaves_no_half_session),
        TEST(two_programs_at_once),
        TEST(waiting_ends),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
