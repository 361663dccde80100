/* The whole outlook: 10 years of weather, 200 patches, 24 kinds at each, 14
 * days ahead, 6000 visits. Prints the fastest of several rounds. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "pannage/outlook.h"

enum {
    ROUNDS = 5,
    PATCHES = 200,
    KINDS = 24,
    PAIRS = PATCHES * KINDS,
    YEARS = 10,
    VISITS = 6000
};

static const pn_sky_normals normals = {
    .tmax_degc = {8, 8, 11, 14, 17, 20, 23, 22, 19, 15, 11, 8},
    .tmin_degc = {2, 2, 3, 5, 8, 11, 13, 13, 10, 8, 5, 2},
    .rain_mm = {60, 45, 45, 50, 55, 50, 50, 60, 60, 70, 70, 65},
    .sun_h = {60, 80, 120, 160, 195, 195, 210, 190, 145, 110, 70, 55},
    .wet_day_frac = {NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN,
                     NAN},
};

static double now_s(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

static void check(pn_status status, const pn_error *err) {
    if (status != PN_OK) {
        fprintf(stderr, "bench_outlook: %s\n", err->message);
        exit(EXIT_FAILURE);
    }
}

static void make_patches(pn_outlook_patch *patches) {
    for (size_t i = 0; i < PATCHES; i++) {
        patches[i] = (pn_outlook_patch){
            .id = (int64_t)i + 1,
            .name = "patch",
            .ground = pn_soil_ground_default(
                (pn_soil_texture)(i % PN_SOIL_TEXTURE_COUNT),
                (pn_soil_cover)(i % PN_SOIL_COVER_COUNT)),
            .elevation_m = (double)i,
        };
    }
}

static size_t make_pairs(pn_outlook_pair *pairs) {
    size_t count = 0;
    for (size_t k = 0; k < pn_kind_count() && count < PAIRS; k++) {
        const pn_kind *kind = pn_kind_at(k);
        for (size_t p = 0; kind->model != PN_SEASON_NOT_FORECAST && p < PATCHES;
             p++) {
            pairs[count++] = (pn_outlook_pair){
                .patch = p, .kind = kind, .productivity = NAN};
        }
    }
    return count;
}

static void make_visits(const pn_outlook_pair *pairs, int32_t first,
                        pn_outlook_visit *visits) {
    pn_random random = pn_random_seeded(4);
    for (size_t v = 0; v < VISITS; v++) {
        const pn_outlook_pair *pair = &pairs[pn_random_u64(&random) % PAIRS];
        visits[v] = (pn_outlook_visit){
            .patch = pair->patch,
            .kind = pair->kind,
            .epoch_day =
                first + (int32_t)(pn_random_uniform(&random) * 365 * YEARS),
            .minutes = NAN,
            .count = pn_random_poisson(&random, 2.0),
        };
    }
}

int main(void) {
    static pn_outlook_patch patches[PATCHES];
    static pn_outlook_pair pairs[PAIRS];
    static pn_outlook_visit visits[VISITS];
    pn_error err = {0};
    pn_weather *record = NULL;
    int32_t first = pn_date_to_epoch_day((pn_date){2016, 9, 24});
    int32_t issue = pn_date_to_epoch_day((pn_date){2026, 9, 24});
    const pn_sky_generate_opts opts = {.latitude_rad = 0.9,
                                       .elevation_m = 50.0,
                                       .first_epoch_day = first,
                                       .day_count = (size_t)(issue - first),
                                       .seed = 1};
    check(pn_weather_generate(&pn_alloc_libc, &normals, &opts, &record, &err),
          &err);
    make_patches(patches);
    pn_outlook_input input = PN_OUTLOOK_INPUT_INIT;
    input.pair_count = make_pairs(pairs);
    make_visits(pairs, first, visits);
    input.record = record;
    input.issue_epoch_day = issue;
    input.patches = patches;
    input.patch_count = PATCHES;
    input.pairs = pairs;
    input.visits = visits;
    input.visit_count = VISITS;
    double best_s = 1e300;
    double checksum = 0.0;
    for (int round = 0; round < ROUNDS; round++) {
        pn_outlook *outlook = NULL;
        size_t count = 0;
        double start_s = now_s();
        check(pn_outlook_run(&pn_alloc_libc, &input, &outlook, &err), &err);
        double took_s = now_s() - start_s;
        best_s = took_s < best_s ? took_s : best_s;
        const pn_outlook_row *rows = pn_outlook_rows(outlook, &count);
        checksum += rows[0].day[rows[0].best_day].chance_prob;
        pn_outlook_free(outlook);
    }
    printf("{\"bench\":\"outlook\",\"best_s\":%.3f,\"rounds\":%d,\"days\":%zu,"
           "\"patches\":%d,\"kinds\":%d,\"rows\":%zu,\"checksum\":%.6f}\n",
           best_s, ROUNDS, record->day_count, PATCHES, KINDS, input.pair_count,
           checksum);
    pn_weather_free(record);
    return EXIT_SUCCESS;
}
