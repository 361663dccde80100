/* Cell-days per second of the season kernel on invented weather, in processor
 * time of one core: best of several rounds, one JSON line.
 *   bench_season [KIND [CELLS [DAYS [FOLDER]]]]
 * With a FOLDER (which must exist) the drivers, the parameters and the result
 * are written there, so that bench/peers/season_numpy.py computes the same. */
/* madvise:
 * NOLINTNEXTLINE(bugprone-reserved-identifier,cert-dcl37-c,cert-dcl51-cpp) */
#define _DEFAULT_SOURCE
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/mman.h>
#include <time.h>

#include "pannage/season.h"

enum { ROUNDS = 15, DRIVERS = 5 };

typedef struct bench {
    const pn_kind *kind;
    size_t cells, days;
    double params[PN_SEASON_PARAM_COUNT];
    int32_t *epoch_day;
    double *driver[DRIVERS]; /* water, soil, tmin, tmax, day length */
    double *density;
} bench;

static const char *const driver_names[DRIVERS] = {"water", "soil", "tmin",
                                                  "tmax", "day_length"};

/* processor time, so that a busy machine does not count against either side */
static double now_s(void) {
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

static void *must(void *block) {
    if (block == NULL) {
        fprintf(stderr, "bench_season: out of memory\n");
        exit(4);
    }
    return block;
}

/* numpy asks for huge pages for its large arrays; so do we, on both sides the
 * same */
static double *huge_doubles(size_t count) {
    const size_t huge = (size_t)2 << 20;
    size_t size = (count * sizeof(double) + huge - 1) / huge * huge;
    double *block = must(aligned_alloc(huge, size));
    (void)madvise(block, size, MADV_HUGEPAGE);
    return block;
}

/* a year's wave about each cell's own mean, with noise; water the drier the
 * warmer */
static void invent(bench *b) {
    pn_random random = pn_random_seeded(20260914);
    for (size_t d = 0; d < b->days; d++) {
        double season = cos(6.283185307179586 * ((double)d - 200.0) / 365.25);
        b->epoch_day[d] = 20454 + (int32_t)d; /* from 2026-01-01 */
        for (size_t c = 0; c < b->cells; c++) {
            size_t i = d * b->cells + c;
            double place = (double)(c % 97) / 97.0;
            double mean = 9.0 + 2.0 * place + 7.0 * season;
            double noise = 2.0 * pn_random_normal(&random);
            b->driver[0][i] = pn_logistic(0.8 - 1.5 * season + noise);
            b->driver[1][i] = mean + 0.4 * noise;
            b->driver[2][i] = mean - 4.0 + noise;
            b->driver[3][i] = mean + 4.0 + noise + pn_random_uniform(&random);
            b->driver[4][i] = 12.0 + 4.5 * season;
        }
    }
}

static void allocate(bench *b) {
    const pn_alloc *alloc = &pn_alloc_libc;
    size_t count = b->cells * b->days;
    b->epoch_day = must(pn_alloc_array(alloc, NULL, b->days, sizeof(int32_t)));
    b->density = huge_doubles(count);
    for (int k = 0; k < DRIVERS; k++) {
        b->driver[k] = huge_doubles(count);
    }
}

static void release(bench *b) {
    pn_alloc_free(&pn_alloc_libc, b->epoch_day);
    free(b->density);
    for (int k = 0; k < DRIVERS; k++) {
        free(b->driver[k]);
    }
}

static double run_once(bench *b) {
    const pn_season_drivers drivers = {
        .day_count = b->days,
        .cell_count = b->cells,
        .epoch_day = b->epoch_day,
        .water_frac = b->driver[0],
        .soil_degc = b->driver[1],
        .tmin_degc = b->driver[2],
        .tmax_degc = b->driver[3],
        .day_length_h = b->driver[4],
    };
    pn_season_state *state = NULL;
    pn_error err = {0};
    if (pn_season_state_new(&pn_alloc_libc, b->cells, &state, &err) != PN_OK) {
        must(NULL);
    }
    double start = now_s();
    pn_status status = pn_season_run(b->params, b->kind->model, &drivers, state,
                                     b->density, &err);
    double took = now_s() - start;
    pn_season_state_free(state);
    if (status != PN_OK) {
        fprintf(stderr, "%s\n", err.message);
        exit(3);
    }
    return took;
}

static void write_doubles(const char *folder, const char *name,
                          const double *values, size_t count) {
    char path[512];
    snprintf(path, sizeof path, "%s/%s.f64", folder, name);
    FILE *f = fopen(path, "wb");
    bool ok = f != NULL && fwrite(values, sizeof *values, count, f) == count;
    if (f == NULL || fclose(f) != 0 || !ok) {
        fprintf(stderr, "bench_season: cannot write %s\n", path);
        exit(4);
    }
}

static void write_all(const bench *b, const char *folder) {
    size_t count = b->cells * b->days;
    for (int k = 0; k < DRIVERS; k++) {
        write_doubles(folder, driver_names[k], b->driver[k], count);
    }
    write_doubles(folder, "density", b->density, count);
    double day_of_year[4000];
    for (size_t d = 0; d < b->days; d++) {
        day_of_year[d] = pn_date_day_of_year(b->epoch_day[d]);
    }
    write_doubles(folder, "day_of_year", day_of_year, b->days);
    char path[512];
    snprintf(path, sizeof path, "%s/params.txt", folder);
    FILE *f = fopen(path, "w");
    if (f == NULL) {
        fprintf(stderr, "bench_season: cannot write %s\n", path);
        exit(4);
    }
    fprintf(f, "model %d\ncells %zu\ndays %zu\n", (int)b->kind->model, b->cells,
            b->days);
    for (int i = 0; i < PN_SEASON_PARAM_COUNT; i++) {
        fprintf(f, "%s %.17g\n", pn_season_param_name((pn_season_param)i),
                b->params[i]);
    }
    fclose(f);
}

static size_t size_arg(const char *text, size_t most) {
    int64_t value = 0;
    if (!pn_text_to_int(pn_text_of(text), &value) || value < 1 ||
        (uint64_t)value > most) {
        fprintf(stderr, "bench_season: expected 1 .. %zu, not %s\n", most,
                text);
        exit(2);
    }
    return (size_t)value;
}

int main(int argc, char **argv) {
    const char *id = argc > 1 ? argv[1] : "penny_bun";
    bench b = {.kind = pn_kind_find(pn_text_of(id)),
               .cells = argc > 2 ? size_arg(argv[2], 1000000) : 4096,
               .days = argc > 3 ? size_arg(argv[3], 4000) : 365};
    if (b.kind == NULL || b.kind->model == PN_SEASON_NOT_FORECAST) {
        fprintf(stderr, "bench_season: no model for kind %s\n", id);
        return 2;
    }
    pn_season_params_median(b.kind, b.params);
    allocate(&b);
    invent(&b);
    double best_s = 1e300;
    for (int round = 0; round < ROUNDS; round++) {
        best_s = fmin(best_s, run_once(&b));
    }
    double checksum = 0.0;
    for (size_t i = 0; i < b.cells * b.days; i++) {
        checksum += isnan(b.density[i]) ? 0.0 : b.density[i];
    }
    if (argc > 4) {
        write_all(&b, argv[4]);
    }
    double cell_days = (double)(b.cells * b.days);
    printf("{\"bench\":\"season\",\"kind\":\"%s\",\"cells\":%zu,\"days\":%zu,"
           "\"best_cpu_s\":%.6f,\"cell_days_per_s\":%.4g,\"rounds\":%d,"
           "\"checksum\":%.9g}\n",
           b.kind->id, b.cells, b.days, best_s, cell_days / best_s, ROUNDS,
           checksum);
    release(&b);
    return 0;
}
