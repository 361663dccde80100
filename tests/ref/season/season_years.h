/** @file season_years.h
 * Sixty generated years at a station, and what a kind does in them. The
 * weather is invented from real normals (tests/ref/sky/normals_1991_2020.csv)
 * by pn_weather_generate(); the ground is loam.
 */
#ifndef PN_TESTS_SEASON_YEARS_H
#define PN_TESTS_SEASON_YEARS_H

#include "support/check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "pannage/season.h"
#include "pannage/sky.h"
#include "pannage/soil.h"

enum { YEARS = 60, STATIONS = 4, COVERS = 2, SEASON_DAYS = 365 };

static const char *const station_names[STATIONS] = {"lerwick", "durham",
                                                    "oxford", "cardiff"};

typedef struct station {
    const char *name;
    pn_sky_normals normals;
    double latitude_rad, longitude_rad, elevation_m;
    size_t day_count;
    int32_t *epoch_day;
    double *water[COVERS], *soil[COVERS]; /* open, broadleaf */
    double *tmin, *tmax, *rain, *hours;
} station;

/* one season of each year; days count from season_start_doy */
typedef struct season_years {
    int season_start_doy;
    double onset[YEARS], peak[YEARS], highest[YEARS], total[YEARS];
    size_t first_day[YEARS]; /* index into the station's days */
    double mean[SEASON_DAYS];
} season_years;

static inline double *season_doubles(size_t count) {
    double *block = calloc(count, sizeof *block);
    assert_non_null(block);
    return block;
}

/* name,lat,lon,elevation,month,tmax,tmin,rain,sun; sun may be empty */
static inline void station_row(station *at, char *line) {
    char *field[9] = {NULL};
    for (int i = 0; i < 9; i++) {
        field[i] = line;
        line += strcspn(line, ",\n");
        *line++ = '\0';
    }
    if (strcmp(field[0], at->name) != 0) {
        return;
    }
    int month = atoi(field[4]) - 1;
    assert_true(month >= 0 && month < 12);
    const double rad = acos(-1.0) / 180.0;
    at->latitude_rad = atof(field[1]) * rad;
    at->longitude_rad = atof(field[2]) * rad;
    at->elevation_m = atof(field[3]);
    at->normals.tmax_degc[month] = atof(field[5]);
    at->normals.tmin_degc[month] = atof(field[6]);
    at->normals.rain_mm[month] = atof(field[7]);
    at->normals.sun_h[month] = field[8][0] == '\0' ? NAN : atof(field[8]);
    at->normals.wet_day_frac[month] = NAN;
}

static inline void station_normals(station *at) {
    FILE *f = fopen(PN_TEST_DATA "/ref/sky/normals_1991_2020.csv", "r");
    assert_non_null(f);
    char line[256];
    while (fgets(line, sizeof line, f) != NULL) {
        if (line[0] != '#') {
            station_row(at, line);
        }
    }
    fclose(f);
    assert_true(at->normals.rain_mm[0] > 0.0 && at->normals.rain_mm[11] > 0.0);
}

static inline void station_ground(station *at, const pn_weather *weather,
                                  int cover) {
    pn_soil_ground ground = pn_soil_ground_default(
        PN_SOIL_LOAM, cover == 0 ? PN_SOIL_OPEN : PN_SOIL_BROADLEAF);
    pn_soil_state state = pn_soil_start(&ground);
    pn_soil_day *out = calloc(at->day_count, sizeof *out);
    assert_non_null(out);
    assert_int_equal(
        pn_soil_run(&ground, weather, 0, at->day_count, &state, out, NULL),
        PN_OK);
    for (size_t i = 0; i < at->day_count; i++) {
        at->water[cover][i] = out[i].top_frac;
        at->soil[cover][i] = out[i].soil_degc;
    }
    free(out);
}

static inline void station_weather(station *at, const pn_weather *weather) {
    for (size_t i = 0; i < at->day_count; i++) {
        int32_t day = weather->first_epoch_day + (int32_t)i;
        at->epoch_day[i] = day;
        at->tmin[i] = weather->value[PN_SKY_TMIN_DEGC][i];
        at->tmax[i] = weather->value[PN_SKY_TMAX_DEGC][i];
        at->rain[i] = weather->value[PN_SKY_RAIN_MM][i];
        at->hours[i] = pn_sky_day_length_h(at->latitude_rad,
                                           pn_date_day_of_year(day), 0.8333);
    }
}

/** Two years more than the seasons, so that every kind's year fits. */
static inline station station_years(const char *name, uint64_t seed) {
    station at = {.name = name};
    station_normals(&at);
    int32_t first = pn_date_to_epoch_day((pn_date){2001, 1, 1});
    int32_t last = pn_date_to_epoch_day((pn_date){2001 + YEARS + 2, 1, 1});
    at.day_count = (size_t)(last - first);
    pn_sky_generate_opts opts = {.latitude_rad = at.latitude_rad,
                                 .longitude_rad = at.longitude_rad,
                                 .elevation_m = at.elevation_m,
                                 .first_epoch_day = first,
                                 .day_count = at.day_count,
                                 .seed = seed};
    pn_weather *weather = NULL;
    assert_int_equal(
        pn_weather_generate(&pn_alloc_libc, &at.normals, &opts, &weather, NULL),
        PN_OK);
    at.epoch_day = calloc(at.day_count, sizeof(int32_t));
    assert_non_null(at.epoch_day);
    double **columns[] = {&at.tmin, &at.tmax, &at.rain, &at.hours};
    for (size_t k = 0; k < COUNT_OF(columns); k++) {
        *columns[k] = season_doubles(at.day_count);
    }
    station_weather(&at, weather);
    for (int cover = 0; cover < COVERS; cover++) {
        at.water[cover] = season_doubles(at.day_count);
        at.soil[cover] = season_doubles(at.day_count);
        station_ground(&at, weather, cover);
    }
    pn_weather_free(weather);
    return at;
}

static inline void station_free(station *at) {
    for (int cover = 0; cover < COVERS; cover++) {
        free(at->water[cover]);
        free(at->soil[cover]);
    }
    free(at->epoch_day);
    free(at->tmin);
    free(at->tmax);
    free(at->rain);
    free(at->hours);
}

/** N of every day; the caller frees. */
static inline double *density_of(const station *at, const pn_kind *kind,
                                 int cover) {
    const pn_season_drivers drivers = {
        at->day_count,   1,        at->epoch_day, at->hours, at->water[cover],
        at->soil[cover], at->tmin, at->tmax};
    double params[PN_SEASON_PARAM_COUNT];
    pn_season_params_median(kind, params);
    double *density = season_doubles(at->day_count);
    pn_season_state *state = NULL;
    assert_int_equal(pn_season_state_new(&pn_alloc_libc, 1, &state, NULL),
                     PN_OK);
    assert_int_equal(
        pn_season_run(params, kind->model, &drivers, state, density, NULL),
        PN_OK);
    pn_season_state_free(state);
    return density;
}

static inline void season_of_year(const double *density, season_years *out,
                                  int year) {
    size_t top = 0;
    for (size_t d = 0; d < SEASON_DAYS; d++) {
        top = density[d] > density[top] ? d : top;
        out->mean[d] += density[d] / YEARS;
        out->total[year] += density[d];
    }
    size_t onset = 0;
    while (density[onset] < 0.3 * density[top]) {
        onset++;
    }
    out->onset[year] = (double)onset;
    out->peak[year] = (double)top;
    out->highest[year] = density[top];
}

/** The kind's seasons, each cut out half a year around mid_doy. */
static inline season_years seasons_of(const station *at, const pn_kind *kind,
                                      int cover, int mid_doy) {
    season_years out = {.season_start_doy = (mid_doy + 182) % 365 + 1};
    double *density = density_of(at, kind, cover);
    size_t i = 200; /* past the warm-up, and past any plant's first start */
    for (int year = 0; year < YEARS; year++) {
        while (pn_date_day_of_year(at->epoch_day[i]) != out.season_start_doy ||
               isnan(density[i])) {
            i++;
        }
        assert_true(i + SEASON_DAYS <= at->day_count);
        out.first_day[year] = i;
        season_of_year(density + i, &out, year);
        i += 300;
    }
    free(density);
    return out;
}

static inline double median_of(const double *values) {
    double copy[YEARS];
    memcpy(copy, values, sizeof copy);
    return pn_quantile(copy, YEARS, 0.5);
}

/** Day of year of a day of the season. */
static inline double season_doy(const season_years *years, double day) {
    return fmod((double)years->season_start_doy - 1.0 + day, 365.0) + 1.0;
}

/** "MM-DD" as day of a common year. */
static inline int doy_of(const char *text) {
    int month = 0;
    int day = 0;
    assert_int_equal(sscanf(text, "%d-%d", &month, &day), 2);
    return pn_date_day_of_year(
        pn_date_to_epoch_day((pn_date){2023, month, day}));
}

/** Days from a to b, -182 .. 182. */
static inline double days_between(double a, double b) {
    return remainder(b - a, 365.0);
}

#endif
