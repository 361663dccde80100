/* What the tests of the notebook share: a file of their own, and facts to put
 * into it. */
#ifndef PN_TESTS_NOTEBOOK_FIXTURE_H
#define PN_TESTS_NOTEBOOK_FIXTURE_H

#include "support/check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "pannage/notebook.h"

enum { NOW = 1790000000 }; /* a time to record at: September 2026 */

typedef struct fixture {
    char folder[64];
    char path[128];
    pn_arena *arena;
    pn_notebook *nb;
} fixture;

/** The call takes e as its last argument, so that a failure can be shown. */
#define assert_ok(call)                                                        \
    do {                                                                       \
        pn_error told_ = {0};                                                  \
        pn_error *e = &told_;                                                  \
        pn_status got_ = (call);                                               \
        (void)e;                                                               \
        if (got_ != PN_OK) {                                                   \
            print_error("%s: %s\n", pn_status_name(got_), told_.message);      \
            _fail(__FILE__, __LINE__);                                         \
        }                                                                      \
    } while (0)

static inline void remove_folder(const char *folder) {
    char command[160];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    assert_int_equal(system(command), 0);
}

static inline int set_up(void **state) {
    fixture *f = calloc(1, sizeof *f);
    assert_non_null(f);
    strcpy(f->folder, "/tmp/pannage-test-XXXXXX");
    assert_non_null(mkdtemp(f->folder));
    snprintf(f->path, sizeof f->path, "%s/n.pannage", f->folder);
    assert_ok(pn_arena_new(&pn_alloc_libc, &f->arena, e));
    assert_ok(pn_notebook_create(&pn_alloc_libc, f->path, &f->nb, e));
    *state = f;
    return 0;
}

static inline int tear_down(void **state) {
    fixture *f = *state;
    pn_notebook_close(f->nb);
    pn_arena_free(f->arena);
    remove_folder(f->folder);
    free(f);
    return 0;
}

static inline pn_place a_place(const char *name) {
    return (pn_place){.name = pn_text_of(name),
                      .latitude_deg = 51.5,
                      .longitude_deg = -1.25,
                      .elevation_m = 120.0};
}

static inline pn_patch a_patch(int64_t place, const char *name) {
    return (pn_patch){.place = place,
                      .name = pn_text_of(name),
                      .latitude_deg = 51.501,
                      .longitude_deg = -1.251,
                      .elevation_m = NAN,
                      .area_m2 = 400.0,
                      .texture = pn_text_of("loam"),
                      .cover = pn_text_of("wood"),
                      .hosts = pn_text_of("beech, oak")};
}

static inline pn_find a_find(const char *kind, int64_t count, double fresh_g) {
    return (pn_find){
        .kind = pn_text_of(kind), .count = count, .fresh_g = fresh_g};
}

static inline int64_t add_a_patch(fixture *f, const char *name) {
    pn_place place = a_place(name);
    int64_t place_id = 0;
    int64_t patch_id = 0;
    assert_ok(pn_notebook_add_place(f->nb, &place, NOW, &place_id, e));
    pn_patch patch = a_patch(place_id, name);
    assert_ok(pn_notebook_add_patch(f->nb, &patch, NOW, &patch_id, e));
    return patch_id;
}

static inline int64_t add_a_source(fixture *f, const char *name) {
    pn_weather_source source = {.name = pn_text_of(name),
                                .latitude_deg = 51.4,
                                .longitude_deg = -0.8,
                                .elevation_m = 73.0,
                                .licence = pn_text_of("open")};
    int64_t id = 0;
    assert_ok(pn_notebook_add_weather_source(f->nb, &source, NOW, &id, e));
    return id;
}

/** One visit with one find of that kind; the find's id. */
static inline int64_t add_a_find(pn_notebook *nb, int64_t patch,
                                 const char *kind) {
    pn_visit visit = {.patch = patch, .epoch_day = 20700, .minutes = NAN};
    pn_find find = a_find(kind, 3, 120.0);
    int64_t id = 0;
    assert_ok(pn_notebook_add_visit(nb, &visit, (pn_find_list){0}, NOW,
                                    &find.visit, e));
    assert_ok(pn_notebook_add_find(nb, &find, NOW, &id, e));
    return id;
}

static inline pn_check_record a_check(int64_t find) {
    return (pn_check_record){.find = find,
                             .epoch_day = 20700,
                             .kind = pn_text_of("meadow_parasol"),
                             .tried = pn_text_of("meadow_parasol"),
                             .month = 9,
                             .habitat = pn_text_of("pasture"),
                             .answers = pn_text_of("ring=movable\n"
                                                   "smell=mild?\n"),
                             .open_count = 2,
                             .not_ruled_out = pn_text_of("death_cap\n"),
                             .guide = pn_text_of("pannage 0.1.0")};
}

static inline pn_kept a_kept(pn_kept_sort sort, int64_t find, int64_t source) {
    return (pn_kept){.sort = sort,
                     .find = find,
                     .source = source,
                     .name = pn_text_of("dried"),
                     .epoch_day = 20701};
}

/** The smallest thing that passes for a PNG, and differs by its last byte. */
static inline pn_text a_png(char bytes[16], char last) {
    memcpy(bytes, "\x89PNG\r\n\x1a\n1234567", 16);
    bytes[15] = last;
    return (pn_text){bytes, 16};
}

/** Fails unless the notebook verifies. */
static inline void assert_sound(pn_notebook *nb) {
    pn_arena *arena = NULL;
    pn_notebook_report report = {0};
    assert_ok(pn_arena_new(&pn_alloc_libc, &arena, e));
    assert_ok(pn_notebook_verify(nb, arena, &report, e));
    for (size_t i = 0; i < report.count; i++) {
        print_error("%s\n", report.at[i]);
    }
    assert_int_equal(report.count, 0);
    pn_arena_free(arena);
}

static inline bool text_is(pn_text text, const char *want) {
    return pn_text_equal(text, pn_text_of(want));
}

#endif
