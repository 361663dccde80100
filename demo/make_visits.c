/* The stated generator of demo/visits.csv: three invented seasons of visits
 * to an invented parish, simulated with the season model itself. It shows how
 * the program works and nothing about how good it is.
 *
 *   demo_visits demo/normals.csv demo/patches.csv > demo/visits.csv
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "pannage/exchange.h"
#include "pannage/outlook.h"

enum { WEATHER_SEED = 1847, VISIT_SEED = 1848, PATCHES_MAX = 32 };

typedef struct parish {
    pn_sky_normals normals;
    pn_weather *weather;
    size_t patch_count;
    char name[PATCHES_MAX][64];
    char kinds[PATCHES_MAX][256];
    double elevation_m[PATCHES_MAX];
    pn_soil_ground ground[PATCHES_MAX];
} parish;

static void check(pn_status status, const pn_error *err) {
    if (status != PN_OK) {
        fprintf(stderr, "demo_visits: %s\n", err->message);
        exit(EXIT_FAILURE);
    }
}

static pn_exchange_table *open_table(const char *path) {
    pn_exchange_source source = {0};
    pn_exchange_table *table = NULL;
    pn_error err = {0};
    check(pn_exchange_open_file(path, &source, &err), &err);
    check(pn_exchange_table_read(&pn_alloc_libc, &source, &table, &err), &err);
    pn_exchange_close_file(&source);
    return table;
}

static double number(const pn_exchange_table *table, size_t row,
                     const char *column) {
    const pn_exchange_range any = {-1e9, 1e9, "a number"};
    pn_error err = {0};
    double value = NAN;
    check(pn_exchange_table_number(
              table,
              (pn_exchange_cell){row, pn_exchange_table_column(table, column)},
              &any, &value, &err),
          &err);
    return value;
}

static pn_text text(const pn_exchange_table *table, size_t row,
                    const char *column) {
    return pn_exchange_table_text(
        table,
        (pn_exchange_cell){row, pn_exchange_table_column(table, column)});
}

static void copy(char *to, size_t size, pn_text from) {
    pn_str str = pn_str_in(to, size);
    pn_str_addf(&str, "%.*s", (int)from.len, from.len > 0 ? from.at : "");
}

static void read_parish(parish *p, const char *normals, const char *patches) {
    pn_exchange_table *table = open_table(normals);
    for (size_t m = 0; m < 12; m++) {
        p->normals.tmax_degc[m] = number(table, m, "tmax_degc");
        p->normals.tmin_degc[m] = number(table, m, "tmin_degc");
        p->normals.rain_mm[m] = number(table, m, "rain_mm");
        p->normals.sun_h[m] = number(table, m, "sun_h");
        p->normals.wet_day_frac[m] = NAN;
    }
    pn_exchange_table_free(table);
    table = open_table(patches);
    p->patch_count = pn_exchange_table_row_count(table);
    for (size_t i = 0; i < p->patch_count && i < PATCHES_MAX; i++) {
        pn_soil_texture texture = PN_SOIL_LOAM;
        pn_soil_cover cover = PN_SOIL_OPEN;
        if (!pn_soil_texture_find(text(table, i, "texture"), &texture) ||
            !pn_soil_cover_find(text(table, i, "cover"), &cover)) {
            fprintf(stderr, "demo_visits: row %zu of the patches\n", i);
            exit(EXIT_FAILURE);
        }
        copy(p->name[i], sizeof p->name[i], text(table, i, "name"));
        copy(p->kinds[i], sizeof p->kinds[i], text(table, i, "kinds"));
        p->elevation_m[i] = number(table, i, "elevation_m");
        p->ground[i] = pn_soil_ground_default(texture, cover);
    }
    pn_exchange_table_free(table);
}

static int32_t day_of(int year, int month, int day) {
    return pn_date_to_epoch_day((pn_date){year, month, day});
}

static void make_weather(parish *p) {
    pn_error err = {0};
    const pn_sky_generate_opts opts = {
        .latitude_rad = 50.7 / 57.29577951308232,
        .elevation_m = 50.0,
        .first_epoch_day = day_of(2022, 1, 1),
        .day_count = 365 * 4 + 1,
        .seed = WEATHER_SEED,
    };
    check(pn_weather_generate(&pn_alloc_libc, &p->normals, &opts, &p->weather,
                              &err),
          &err);
}

/* N of every kind at every patch comes from the outlook's own season. */
static void density_of(const parish *p, size_t patch, const pn_kind *kind,
                       pn_outlook_season *out) {
    pn_error err = {0};
    pn_outlook *outlook = NULL;
    size_t count = 0;
    const pn_outlook_patch one = {.name = p->name[patch],
                                  .ground = p->ground[patch],
                                  .elevation_m = p->elevation_m[patch]};
    const pn_outlook_pair pair = {.kind = kind, .productivity = NAN};
    pn_outlook_input input = PN_OUTLOOK_INPUT_INIT;
    input.record = p->weather;
    input.issue_epoch_day = day_of(2025, 12, 15);
    input.patches = &one;
    input.patch_count = 1;
    input.pairs = &pair;
    input.pair_count = 1;
    check(pn_outlook_run(&pn_alloc_libc, &input, &outlook, &err), &err);
    const pn_outlook_row *row = pn_outlook_rows(outlook, &count);
    check(pn_outlook_season_of(outlook, row, p->weather->first_epoch_day, out,
                               &err),
          &err);
    pn_outlook_free(outlook);
}

typedef struct series {
    const pn_kind *kind;
    double lambda; /* this patch's own productivity */
    pn_outlook_season season;
} series;

/* The season's kg is lambda0 N item_g / 1000, so N comes back by division. */
static double density_on(const series *s, int32_t day) {
    double kg = s->season.kg[day - s->season.first_epoch_day];
    return kg * 1000.0 / s->kind->item_g / s->kind->rate_mean;
}

static void print_find(const char *date, const char *patch, double minutes,
                       const series *s, const char *who, pn_random *random,
                       int32_t day) {
    double n = density_on(s, day);
    double sigma = s->kind->density_log_sd;
    double noise = exp(0.5 * sigma * pn_random_normal(random));
    double mean = s->lambda * fmax(n, 0.0) * noise * pn_outlook_effort(minutes);
    int64_t count = isfinite(mean) ? pn_random_poisson(random, mean) : 0;
    if (count == 0) {
        return;
    }
    double spread = s->kind->item_cv / sqrt((double)count);
    double grams = (double)count * s->kind->item_g *
                   exp(spread * pn_random_normal(random));
    printf("%s,%s,%.0f,%s,%lld,%.0f,%s\n", date, patch, minutes, s->kind->id,
           (long long)count, grams, who);
}

enum { KINDS_MAX = 8 };

static size_t read_series(const parish *p, size_t patch, pn_random *random,
                          series out[KINDS_MAX]) {
    size_t count = 0;
    pn_text rest = pn_text_of(p->kinds[patch]);
    while (rest.at != NULL && count < KINDS_MAX) {
        const pn_kind *kind = pn_kind_find(pn_text_cut(rest, ';', &rest));
        if (kind == NULL || kind->model == PN_SEASON_NOT_FORECAST) {
            continue;
        }
        out[count].kind = kind;
        out[count].lambda = pn_random_gamma(random, kind->rate_shape,
                                            kind->rate_mean / kind->rate_shape);
        density_of(p, patch, kind, &out[count].season);
        count++;
    }
    return count;
}

int main(int argc, char **argv) {
    static parish p;
    if (argc != 3) {
        fprintf(stderr, "usage: demo_visits NORMALS PATCHES\n");
        return EXIT_FAILURE;
    }
    read_parish(&p, argv[1], argv[2]);
    make_weather(&p);
    pn_random random = pn_random_seeded(VISIT_SEED);
    printf("# Invented visits to an invented parish; see README.md beside this "
           "file.\ndate,patch,minutes,kind,count,fresh_g,observer\n");
    for (size_t i = 0; i < p.patch_count; i++) {
        series all[KINDS_MAX] = {{0}};
        size_t count = read_series(&p, i, &random, all);
        if (count == 0) {
            continue;
        }
        for (int32_t day = day_of(2023, 2, 1) + (int32_t)(7 * i) % 23;
             day < day_of(2025, 12, 10);) {
            char iso[PN_DATE_ISO_SIZE];
            char patch[80];
            const char *who = pn_random_uniform(&random) < 0.6 ? "Wren" : "Ivo";
            double minutes =
                10.0 + 5.0 * floor(10.0 * pn_random_uniform(&random));
            pn_date_iso(day, iso);
            snprintf(patch, sizeof patch, "%s", p.name[i]);
            /* the visit itself, in case nothing was found */
            printf("%s,%s,%.0f,,,,%s\n", iso, patch, minutes, who);
            for (size_t k = 0; k < count; k++) {
                print_find(iso, patch, minutes, &all[k], who, &random, day);
            }
            /* about every four weeks; oftener in autumn */
            int doy = pn_date_day_of_year(day);
            double gap = doy > 235 && doy < 330 ? 15.0 : 47.0;
            day += 4 + (int32_t)(gap * pn_random_uniform(&random));
        }
        for (size_t k = 0; k < count; k++) {
            pn_outlook_season_deinit(&all[k].season);
        }
    }
    pn_weather_free(p.weather);
    return EXIT_SUCCESS;
}
