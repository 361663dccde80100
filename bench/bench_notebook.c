/* The notebook on this machine's disk: a million finds in transactions of
 * 1000 visits, lists of them, ten years of weather in and out, opening and
 * checking the file. One JSON line.
 *
 * usage: bench_notebook [finds]   (1000000) */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "pannage/notebook.h"

enum {
    PATCHES = 200,
    KINDS = 24,
    FINDS_PER_VISIT = 5,
    VISITS_PER_CHANGE = 1000,
    ROUNDS = 20,
    DAYS = 3653
};

static double now_s(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

static pn_error err;

static void must(pn_status status) {
    if (status != PN_OK) {
        fprintf(stderr, "bench_notebook: %s\n", err.message);
        exit(4);
    }
}

static void add_patches(pn_notebook *nb) {
    char name[32];
    pn_place place = {.name = pn_text_of("Parish")};
    must(pn_notebook_begin(nb, &err));
    must(pn_notebook_add_place(nb, &place, 1, NULL, &err));
    for (int i = 0; i < PATCHES; i++) {
        snprintf(name, sizeof name, "Patch %d", i);
        pn_patch patch = {
            .place = 1, .name = pn_text_of(name), .area_m2 = 100.0};
        must(pn_notebook_add_patch(nb, &patch, 1, NULL, &err));
    }
    must(pn_notebook_commit(nb, &err));
}

static double add_finds_s(pn_notebook *nb, long finds) {
    pn_random random = pn_random_seeded(1);
    char kinds[KINDS][16];
    for (int k = 0; k < KINDS; k++) {
        snprintf(kinds[k], sizeof kinds[k], "kind_%d", k);
    }
    double start = now_s();
    for (long done = 0; done < finds;) {
        must(pn_notebook_begin(nb, &err));
        for (int v = 0; v < VISITS_PER_CHANGE && done < finds; v++) {
            pn_find found[FINDS_PER_VISIT] = {0};
            for (int i = 0; i < FINDS_PER_VISIT; i++) {
                found[i].kind =
                    pn_text_of(kinds[pn_random_u64(&random) % KINDS]);
                found[i].count = (int64_t)(pn_random_u64(&random) % 5);
            }
            pn_visit visit = {
                .patch = 1 + (int64_t)(pn_random_u64(&random) % PATCHES),
                .epoch_day = 10000 + (int32_t)(pn_random_u64(&random) % 10000),
                .minutes = 30.0};
            must(pn_notebook_add_visit(nb, &visit,
                                       (pn_find_list){found, FINDS_PER_VISIT},
                                       1, NULL, &err));
            done += FINDS_PER_VISIT;
        }
        must(pn_notebook_commit(nb, &err));
    }
    return now_s() - start;
}

/* The best of several: the machine is shared. */
static double list_s(pn_notebook *nb, pn_notebook_filter filter, int rounds,
                     size_t *count) {
    double best = 1e9;
    for (int i = 0; i < rounds; i++) {
        pn_arena *arena = NULL;
        pn_find_list list = {0};
        must(pn_arena_new(&pn_alloc_libc, &arena, &err));
        double start = now_s();
        must(pn_notebook_list_finds(nb, &filter, arena, &list, &err));
        double took = now_s() - start;
        best = took < best ? took : best;
        *count = list.count;
        pn_arena_free(arena);
    }
    return best;
}

static double import_s(pn_notebook *nb) {
    pn_weather *w = NULL;
    pn_random random = pn_random_seeded(2);
    pn_weather_source source = {.name = pn_text_of("Station")};
    pn_weather_import import = {.source = 1};
    pn_weather_import_result result = {0};
    must(pn_notebook_add_weather_source(nb, &source, 1, NULL, &err));
    must(pn_weather_new(&pn_alloc_libc, 15000, DAYS, &w, &err));
    for (size_t i = 0; i < DAYS; i++) {
        w->value[PN_SKY_TMIN_DEGC][i] = 10.0 * pn_random_uniform(&random);
        w->value[PN_SKY_TMAX_DEGC][i] = 10.0 + w->value[PN_SKY_TMIN_DEGC][i];
        w->value[PN_SKY_RAIN_MM][i] = 5.0 * pn_random_uniform(&random);
        w->value[PN_SKY_WIND_M_S][i] = 5.0 * pn_random_uniform(&random);
    }
    double start = now_s();
    must(pn_notebook_import_weather(nb, &import, w, &result, &err));
    double took = now_s() - start;
    pn_weather_free(w);
    return took;
}

static double load_s(pn_notebook *nb) {
    double best = 1e9;
    pn_weather_query query = PN_WEATHER_QUERY_INIT;
    query.source = 1;
    for (int i = 0; i < ROUNDS; i++) {
        pn_weather *w = NULL;
        double start = now_s();
        must(pn_notebook_load_weather(nb, &query, &pn_alloc_libc, &w, &err));
        double took = now_s() - start;
        best = took < best ? took : best;
        pn_weather_free(w);
    }
    return best;
}

static double open_s(const char *path, pn_notebook_mode mode) {
    double best = 1e9;
    for (int i = 0; i < ROUNDS; i++) {
        pn_notebook *nb = NULL;
        double start = now_s();
        must(pn_notebook_open(&pn_alloc_libc, path, mode, &nb, &err));
        double took = now_s() - start;
        best = took < best ? took : best;
        pn_notebook_close(nb);
    }
    return best;
}

static double verify_s(pn_notebook *nb) {
    pn_arena *arena = NULL;
    pn_notebook_report report = {0};
    must(pn_arena_new(&pn_alloc_libc, &arena, &err));
    double start = now_s();
    must(pn_notebook_verify(nb, arena, &report, &err));
    double took = now_s() - start;
    for (size_t i = 0; i < report.count; i++) {
        fprintf(stderr, "bench_notebook: %s\n", report.at[i]);
    }
    pn_arena_free(arena);
    return took;
}

int main(int argc, char **argv) {
    long finds = argc > 1 ? strtol(argv[1], NULL, 10) : 1000000;
    char folder[] = "/tmp/pannage-bench-XXXXXX";
    char path[64];
    pn_notebook *nb = NULL;
    if (mkdtemp(folder) == NULL) {
        return 4;
    }
    snprintf(path, sizeof path, "%s/n", folder);
    must(pn_notebook_create(&pn_alloc_libc, path, &nb, &err));
    add_patches(nb);
    double add = add_finds_s(nb, finds);
    pn_notebook_filter all = PN_NOTEBOOK_FILTER_INIT;
    pn_notebook_filter patch = all;
    pn_notebook_filter kind = all;
    patch.patch = 7;
    kind.kind = pn_text_of("kind_3");
    size_t all_count = 0;
    size_t patch_count = 0;
    size_t kind_count = 0;
    double patch_s = list_s(nb, patch, ROUNDS, &patch_count);
    double kind_s = list_s(nb, kind, 3, &kind_count);
    double all_s = list_s(nb, all, 2, &all_count);
    double import = import_s(nb);
    double load = load_s(nb);
    double check = verify_s(nb);
    pn_notebook_close(nb);
    printf("{\"bench\":\"notebook\",\"finds\":%ld,\"finds_per_s\":%.0f,"
           "\"list_patch_ms\":%.2f,\"list_patch_finds\":%zu,"
           "\"list_kind_ms\":%.1f,\"list_kind_finds\":%zu,"
           "\"list_all_ms\":%.0f,\"list_all_finds\":%zu,"
           "\"import_10_years_ms\":%.2f,\"load_10_years_ms\":%.2f,"
           "\"open_read_ms\":%.3f,\"open_write_ms\":%.3f,\"verify_s\":%.2f}\n",
           finds, (double)finds / add, patch_s * 1e3, patch_count, kind_s * 1e3,
           kind_count, all_s * 1e3, all_count, import * 1e3, load * 1e3,
           open_s(path, PN_NOTEBOOK_READ) * 1e3,
           open_s(path, PN_NOTEBOOK_WRITE) * 1e3, check);
    /* the log that the last reader left */
    static const char *const ends[] = {"", "-wal", "-shm"};
    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) {
        char beside[80];
        snprintf(beside, sizeof beside, "%s%s", path, ends[i]);
        unlink(beside);
    }
    return rmdir(folder) == 0 ? 0 : 4;
}
