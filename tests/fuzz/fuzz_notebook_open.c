// SPDX-License-Identifier: MIT
/* A file that claims to be a notebook. First byte even: the rest is the file.
 * Odd: the rest are changes to a good notebook, each of 4 bytes: where (two
 * bytes, in steps of 8), which byte of the eight, and the new value. Whatever
 * it holds: no crash, and every call ends in a status of its contract. */
#include <fcntl.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "pannage/notebook.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void require(bool holds) {
    if (!holds) {
        abort();
    }
}

static void fill_kept(pn_notebook *nb) {
    pn_check_record check = {.find = 1, .answers = pn_text_of("ring=none\n")};
    pn_photo photo = {.check = 1,
                      .file_name = pn_text_of("a.jpg"),
                      .bytes = {"\xff\xd8\xff\xe0 a photo", 12}};
    pn_kept jar = {.find = 1, .name = pn_text_of("dried")};
    pn_kept meal = {
        .sort = PN_KEPT_MEAL, .source = 1, .name = pn_text_of("soup")};
    pn_find other = {.visit = 1, .kind = pn_text_of("death_cap"), .count = 2};
    pn_review review = {.kept = 1, .outcome = PN_REVIEW_THROWN_AWAY};
    require(pn_notebook_add_check(nb, &check, 1, NULL, NULL) == PN_OK);
    require(pn_notebook_add_photo(nb, &photo, 1, NULL, NULL) == PN_OK);
    require(pn_notebook_add_kept(nb, &jar, 1, NULL, NULL) == PN_OK);
    require(pn_notebook_add_kept(nb, &meal, 1, NULL, NULL) == PN_OK);
    require(pn_notebook_correct_find(nb, 1, &other, 1, NULL) == PN_OK);
    require(pn_notebook_add_review(nb, &review, 1, NULL, NULL) == PN_OK);
}

static void fill(pn_notebook *nb) {
    pn_place place = {.name = pn_text_of("Wood")};
    pn_patch patch = {.place = 1, .name = pn_text_of("Ride"), .area_m2 = 4.0};
    pn_visit visit = {.patch = 1, .epoch_day = 20000, .minutes = 5.0};
    pn_find find = {.kind = pn_text_of("parasol"), .count = 2};
    pn_weather_source source = {.name = pn_text_of("Station")};
    pn_weather_import import = {.source = 1};
    pn_weather_import_result result = {0};
    pn_weather *w = NULL;
    require(pn_notebook_add_place(nb, &place, 1, NULL, NULL) == PN_OK);
    require(pn_notebook_add_patch(nb, &patch, 1, NULL, NULL) == PN_OK);
    require(pn_notebook_correct_patch(nb, 1, &patch, 2, NULL) == PN_OK);
    require(pn_notebook_add_visit(nb, &visit, (pn_find_list){&find, 1}, 1, NULL,
                                  NULL) == PN_OK);
    require(pn_notebook_add_weather_source(nb, &source, 1, NULL, NULL) ==
            PN_OK);
    require(pn_weather_new(&pn_alloc_libc, 20000, 5, &w, NULL) == PN_OK);
    w->value[PN_SKY_RAIN_MM][2] = 3.0;
    require(pn_notebook_import_weather(nb, &import, w, &result, NULL) == PN_OK);
    pn_weather_free(w);
    fill_kept(nb);
}

/* The good notebook, made once a run. */
static size_t good_bytes(uint8_t *out, size_t size, const char *path) {
    pn_notebook *nb = NULL;
    unlink(path);
    require(pn_notebook_create(&pn_alloc_libc, path, &nb, NULL) == PN_OK);
    fill(nb);
    pn_notebook_close(nb);
    FILE *f = fopen(path, "rb");
    require(f != NULL);
    size_t len = fread(out, 1, size, f);
    fclose(f);
    unlink(path);
    return len;
}

static void write_file(const char *path, const uint8_t *bytes, size_t len) {
    FILE *f = fopen(path, "wb");
    require(f != NULL);
    require(fwrite(bytes, 1, len, f) == len);
    fclose(f);
}

static void use_kept(pn_notebook *nb, pn_arena *arena) {
    pn_check_record_list checks = {0};
    pn_photo_list photos = {0};
    pn_kept_list kept = {0};
    pn_review_list reviews = {0};
    pn_doubt_list doubts = {0};
    (void)!pn_notebook_list_checks(nb, NULL, arena, &checks, NULL);
    (void)!pn_notebook_list_photos(nb, NULL, arena, &photos, NULL);
    (void)!pn_notebook_list_kept(nb, NULL, arena, &kept, NULL);
    (void)!pn_notebook_list_reviews(nb, NULL, arena, &reviews, NULL);
    (void)!pn_notebook_list_doubts(nb, NULL, arena, &doubts, NULL);
    for (size_t i = 0; i < photos.count; i++) {
        pn_text bytes = {NULL, 0};
        if (pn_notebook_load_photo(nb, photos.at[i].fact.id, arena, &bytes,
                                   NULL) == PN_OK) {
            require(bytes.at != NULL);
        }
    }
    for (size_t i = 0; i < kept.count; i++) {
        require((size_t)kept.at[i].sort < PN_KEPT_SORT_COUNT);
    }
    for (size_t i = 0; i < reviews.count; i++) {
        require((size_t)reviews.at[i].outcome < PN_REVIEW_OUTCOME_COUNT);
    }
}

static void use(const char *path) {
    pn_notebook *nb = NULL;
    pn_arena *arena = NULL;
    pn_notebook_report report = {0};
    pn_visit_list visits = {0};
    pn_find_list finds = {0};
    pn_patch_list patches = {0};
    pn_weather *w = NULL;
    pn_weather_query query = PN_WEATHER_QUERY_INIT;
    pn_visit visit = {.patch = 1, .epoch_day = 20001, .minutes = 5.0};
    query.source = 1;
    pn_error err = {0};
    if (pn_notebook_open(&pn_alloc_libc, path, PN_NOTEBOOK_WRITE, &nb, &err) !=
        PN_OK) {
        require(nb == NULL && err.message[0] != '\0');
        return;
    }
    require(pn_arena_new(&pn_alloc_libc, &arena, NULL) == PN_OK);
    (void)!pn_notebook_verify(nb, arena, &report, NULL);
    (void)!pn_notebook_list_visits(nb, NULL, arena, &visits, NULL);
    (void)!pn_notebook_list_finds(nb, NULL, arena, &finds, NULL);
    (void)!pn_notebook_list_patches(nb, NULL, arena, &patches, NULL);
    for (size_t i = 0; i < patches.count; i++) {
        pn_text name = patches.at[i].name;
        require(name.at != NULL && name.at[name.len] == '\0');
    }
    if (pn_notebook_load_weather(nb, &query, &pn_alloc_libc, &w, NULL) ==
        PN_OK) {
        for (size_t i = 0; i < w->day_count; i++) {
            double rain_mm = w->value[PN_SKY_RAIN_MM][i];
            require(!(rain_mm < 0.0) && !(rain_mm > 1900.0));
        }
    }
    pn_weather_free(w);
    use_kept(nb, arena);
    (void)!pn_notebook_add_visit(nb, &visit, (pn_find_list){0}, 1, NULL, NULL);
    pn_notebook_close(nb);
    pn_arena_free(arena);
}

static void remove_all(const char *path) {
    char beside[80];
    unlink(path);
    snprintf(beside, sizeof beside, "%s-wal", path);
    unlink(beside);
    snprintf(beside, sizeof beside, "%s-shm", path);
    unlink(beside);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static uint8_t good[1 << 19];
    static uint8_t changed[sizeof good];
    static size_t good_len;
    char path[64];
    if (size == 0) {
        return 0;
    }
    const char *folder = access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp";
    snprintf(path, sizeof path, "%s/pannage-fuzz-%ld", folder, (long)getpid());
    if (good_len == 0) {
        good_len = good_bytes(good, sizeof good, path);
    }
    if (data[0] % 2 == 0) {
        write_file(path, data + 1, size - 1);
    } else {
        memcpy(changed, good, good_len);
        for (size_t i = 1; i + 4 <= size; i += 4) {
            size_t at =
                ((size_t)data[i] << 8 | data[i + 1]) * 8 + (data[i + 2] & 7);
            changed[at % good_len] = data[i + 3];
        }
        write_file(path, changed, good_len);
    }
    use(path);
    remove_all(path);
    return 0;
}
