/* Import of weather files held in memory: ten years of invented daily CSV,
 * and the real station year of hourly and daily archive files. Best of several
 * rounds, one JSON line. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "pannage/exchange.h"

enum { ROUNDS = 25, DAYS = 3653, CSV_SIZE = 64 * DAYS, FILES = 5 };

typedef struct input {
    char *data[FILES];
    size_t size[FILES];
    size_t count;
} input;

typedef struct result {
    double best_s;
    double bytes;
    double checksum;
    size_t days;
} result;

static double now_s(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

static void *must(void *block) {
    if (block == NULL) {
        fprintf(stderr, "bench_import: out of memory or no such file\n");
        exit(4);
    }
    return block;
}

static void invent_csv(input *in) {
    pn_random random = pn_random_seeded(1);
    char *text = must(malloc(CSV_SIZE));
    size_t len = (size_t)snprintf(text, CSV_SIZE,
                                  "date,tmin (degC),tmax (degC),rain (mm),"
                                  "humidity (%%),wind (m/s),sun (h)\n");
    for (int32_t day = 0; day < DAYS; day++) {
        char date[PN_DATE_ISO_SIZE];
        double tmin = 6.0 + 4.0 * pn_random_normal(&random);
        len += (size_t)snprintf(
            text + len, CSV_SIZE - len, "%s,%.1f,%.1f,%.1f,%.0f,%.1f,%.1f\n",
            pn_date_iso(16071 + day, date), tmin,
            tmin + 8.0 * pn_random_uniform(&random),
            pn_random_gamma(&random, 0.5, 4.0),
            60.0 + 40.0 * pn_random_uniform(&random),
            8.0 * pn_random_uniform(&random), 8.0 * pn_random_uniform(&random));
    }
    *in = (input){.data = {text}, .size = {len}, .count = 1};
}

static void load(input *in, size_t i, const char *what) {
    enum { ROOM = 1 << 20 };
    char path[512];
    snprintf(path, sizeof path,
             "%s/examples/bracknell_1991/midas-open_uk-%s_dv-201908_berkshire_"
             "00838_bracknell-beaufort-park_qcv-1_1991.csv",
             PN_SOURCE_DIR, what);
    FILE *f = must(fopen(path, "rb"));
    in->data[i] = must(malloc(ROOM));
    in->size[i] = fread(in->data[i], 1, ROOM, f);
    fclose(f);
}

static void load_station_year(input *in) {
    static const char *const what[FILES] = {
        "daily-rain-obs", "daily-temperature-obs", "mean-wind-obs",
        "radiation-obs", "soil-temperature-obs"};
    for (size_t i = 0; i < FILES; i++) {
        load(in, i, what[i]);
    }
    in->count = FILES;
}

static void read_once(const input *in, result *r) {
    pn_exchange_memory memory[FILES];
    pn_exchange_source sources[FILES];
    pn_exchange_weather_opts opts = PN_EXCHANGE_WEATHER_OPTS_INIT;
    pn_weather *weather = NULL;
    pn_error err;
    for (size_t i = 0; i < in->count; i++) {
        memory[i] = (pn_exchange_memory){in->data[i], in->size[i], 0};
        sources[i] = pn_exchange_memory_source(&memory[i], "bench");
    }
    double start_s = now_s();
    if (pn_exchange_weather_read(&pn_alloc_libc, sources, in->count, &opts,
                                 &weather, NULL, &err) != PN_OK) {
        fprintf(stderr, "bench_import: %s\n", err.message);
        exit(4);
    }
    double took_s = now_s() - start_s;
    r->best_s = took_s < r->best_s ? took_s : r->best_s;
    r->days = weather->day_count;
    r->checksum = 0.0;
    for (size_t i = 0; i < weather->day_count; i++) {
        double rain_mm = weather->value[PN_SKY_RAIN_MM][i];
        r->checksum += isnan(rain_mm) ? 0.0 : rain_mm;
    }
    pn_weather_free(weather);
}

static result measure(const input *in) {
    result r = {.best_s = 1e9};
    for (size_t i = 0; i < in->count; i++) {
        r.bytes += (double)in->size[i];
    }
    for (int round = 0; round < ROUNDS; round++) {
        read_once(in, &r);
    }
    return r;
}

int main(void) {
    input csv;
    input archive = {0};
    invent_csv(&csv);
    load_station_year(&archive);
    result a = measure(&csv);
    result b = measure(&archive);
    printf("{\"bench\":\"import\",\"rounds\":%d,"
           "\"csv_days\":%zu,\"csv_ms\":%.3f,\"csv_mb_s\":%.1f,"
           "\"archive_days\":%zu,\"archive_ms\":%.3f,\"archive_mb_s\":%.1f,"
           "\"checksum\":%.6f}\n",
           ROUNDS, a.days, a.best_s * 1e3, a.bytes / a.best_s * 1e-6, b.days,
           b.best_s * 1e3, b.bytes / b.best_s * 1e-6, a.checksum + b.checksum);
    for (size_t i = 0; i < FILES; i++) {
        free(archive.data[i]);
    }
    free(csv.data[0]);
    return 0;
}
