#include "outlook_internal.h"

#include <math.h>
#include <string.h>

pn_season_drivers outlook_drivers(const outlook_grid *grid) {
    return (pn_season_drivers){
        .day_count = grid->day_count,
        .cell_count = grid->cell_count,
        .epoch_day = grid->epoch_day,
        .day_length_h = grid->day_length_h,
        .water_frac = grid->water_frac,
        .soil_degc = grid->soil_degc,
        .tmin_degc = grid->tmin_degc,
        .tmax_degc = grid->tmax_degc,
    };
}

pn_status outlook_grid_new(const pn_alloc *alloc, outlook_grid *grid,
                           pn_error *err) {
    double **columns[] = {&grid->day_length_h, &grid->water_frac,
                          &grid->soil_degc, &grid->tmin_degc, &grid->tmax_degc};
    grid->epoch_day =
        pn_alloc_array(alloc, NULL, grid->day_count, sizeof *grid->epoch_day);
    bool whole = grid->epoch_day != NULL;
    for (size_t i = 0; i < sizeof columns / sizeof *columns; i++) {
        *columns[i] = pn_alloc_array(alloc, NULL, grid->day_count,
                                     grid->cell_count * sizeof(double));
        whole = whole && *columns[i] != NULL;
    }
    return whole ? PN_OK
                 : pn_fail(err, PN_ENOMEM,
                           "out of memory: %zu days of %zu "
                           "patches",
                           grid->day_count, grid->cell_count);
}

void outlook_grid_free(const pn_alloc *alloc, outlook_grid *grid) {
    pn_alloc_free(alloc, grid->epoch_day);
    pn_alloc_free(alloc, grid->day_length_h);
    pn_alloc_free(alloc, grid->water_frac);
    pn_alloc_free(alloc, grid->soil_degc);
    pn_alloc_free(alloc, grid->tmin_degc);
    pn_alloc_free(alloc, grid->tmax_degc);
}

/* ---- soil, patch by patch --------------------------------------------- */

/* Patches within one step of height share their weather: 5 m are 0.03 K, less
 * than a thermometer tells, and evapotranspiration is what costs. */
static const double HEIGHT_STEP_M = 10.0;

static double step_of(const pn_outlook *outlook, size_t patch) {
    double elevation_m = outlook->in.patches[patch].elevation_m;
    if (isnan(elevation_m)) {
        elevation_m = outlook->in.record->elevation_m;
    }
    return isnan(elevation_m) ? NAN : round(elevation_m / HEIGHT_STEP_M);
}

static bool same_step(double a, double b) {
    return (isnan(a) && isnan(b)) || fabs(a - b) < 0.5;
}

/* One stretch of weather at one height, and room for a patch's days. */
typedef struct weather_stretch {
    pn_weather *weather;
    pn_soil_forcing *forcing;
    pn_soil_day *days;
} weather_stretch;

static pn_status stretch_new(const pn_alloc *alloc, const pn_weather *weather,
                             size_t day_count, double step,
                             weather_stretch *out, pn_error *err) {
    *out = (weather_stretch){.weather = NULL};
    out->forcing = pn_alloc_array(alloc, NULL, day_count, sizeof *out->forcing);
    out->days = pn_alloc_array(alloc, NULL, day_count, sizeof *out->days);
    if (out->forcing == NULL || out->days == NULL) {
        return pn_fail(err, PN_ENOMEM, "out of memory: soil of %zu days",
                       day_count);
    }
    pn_status status = pn_weather_copy(alloc, weather, &out->weather, err);
    if (status == PN_OK && !isnan(step)) {
        status =
            pn_weather_to_elevation(out->weather, step * HEIGHT_STEP_M, err);
    }
    return status == PN_OK
               ? pn_soil_force(out->weather, 0, day_count, out->forcing, err)
               : status;
}

static void stretch_free(const pn_alloc *alloc, weather_stretch *stretch) {
    pn_weather_free(stretch->weather);
    pn_alloc_free(alloc, stretch->forcing);
    pn_alloc_free(alloc, stretch->days);
}

static pn_status fill_column(const pn_outlook *outlook,
                             const weather_stretch *stretch, size_t patch,
                             outlook_grid *grid, size_t cell,
                             pn_soil_state *state, pn_error *err) {
    pn_status status =
        pn_soil_run_forced(&outlook->in.patches[patch].ground, stretch->forcing,
                           grid->day_count, state, stretch->days, err);
    const pn_weather *weather = stretch->weather;
    for (size_t d = 0; status == PN_OK && d < grid->day_count; d++) {
        size_t at = outlook_at(grid, d, cell);
        grid->water_frac[at] = stretch->days[d].top_frac;
        grid->soil_degc[at] = stretch->days[d].soil_degc;
        /* The analyser does not know that a failure is never PN_OK. */
        /* NOLINTNEXTLINE(clang-analyzer-core.NullDereference) */
        grid->tmin_degc[at] = weather->value[PN_SKY_TMIN_DEGC][d];
        grid->tmax_degc[at] = weather->value[PN_SKY_TMAX_DEGC][d];
    }
    return status;
}

/* Columns first_cell + patch of the grid, for every patch; states go on from
 * where they stand. */
static pn_status fill_columns(const pn_outlook *outlook,
                              const pn_weather *weather, outlook_grid *grid,
                              size_t first_cell, pn_soil_state *states,
                              pn_error *err) {
    pn_status status = PN_OK;
    size_t count = outlook->in.patch_count;
    for (size_t p = 0; status == PN_OK && p < count; p++) {
        double step = step_of(outlook, p);
        bool seen = false;
        for (size_t q = 0; q < p && !seen; q++) {
            seen = same_step(step, step_of(outlook, q));
        }
        if (seen) {
            continue;
        }
        weather_stretch stretch;
        status = stretch_new(&outlook->alloc, weather, grid->day_count, step,
                             &stretch, err);
        for (size_t q = p; status == PN_OK && q < count; q++) {
            if (same_step(step, step_of(outlook, q))) {
                status = fill_column(outlook, &stretch, q, grid, first_cell + q,
                                     &states[q], err);
            }
        }
        stretch_free(&outlook->alloc, &stretch);
    }
    return status;
}

/* Sunrise and sunset as almanacs print them, refraction included. */
static const double UPPER_LIMB_DEG = 0.8333;

/* Day length differs by seconds within a day's walk: one for all patches. */
static void fill_days(const pn_outlook *outlook, outlook_grid *grid,
                      int32_t first_epoch_day) {
    for (size_t d = 0; d < grid->day_count; d++) {
        int32_t day = first_epoch_day + (int32_t)d;
        double hours =
            pn_sky_day_length_h(outlook->in.record->latitude_rad,
                                pn_date_day_of_year(day), UPPER_LIMB_DEG);
        grid->epoch_day[d] = day;
        for (size_t c = 0; c < grid->cell_count; c++) {
            grid->day_length_h[outlook_at(grid, d, c)] = hours;
        }
    }
}

static void count_methods(pn_outlook *outlook) {
    const pn_weather *record = outlook->in.record;
    for (size_t d = 0; d < outlook->past.day_count; d++) {
        pn_sky_et0_method method = pn_sky_et0(record, d).method;
        outlook->made.et0_days[method]++;
        uint8_t quality = record->quality[PN_SKY_TMIN_DEGC][d] |
                          record->quality[PN_SKY_TMAX_DEGC][d] |
                          record->quality[PN_SKY_RAIN_MM][d];
        outlook->made.filled_days += (quality & PN_SKY_FILLED) != 0;
    }
}

pn_status outlook_prepare_past(pn_outlook *outlook, pn_error *err) {
    const pn_outlook_input *in = &outlook->in;
    int32_t first = in->record->first_epoch_day;
    int64_t days = (int64_t)in->issue_epoch_day - first;
    char iso[PN_DATE_ISO_SIZE];
    if (days < 1 || days > (int64_t)in->record->day_count) {
        return pn_fail(
            err, PN_EDOMAIN,
            "the weather record %s %s, so there is no outlook for the day "
            "asked; import the days between, or ask for another date",
            days < 1 ? "begins only on" : "ends on",
            pn_date_iso(days < 1 ? first
                                 : first + (int32_t)in->record->day_count - 1,
                        iso));
    }
    outlook->past.day_count = (size_t)days;
    outlook->past.cell_count = in->patch_count;
    outlook->soil_now = pn_alloc_zeroed(&outlook->alloc, in->patch_count,
                                        sizeof *outlook->soil_now);
    outlook->rain_mm = in->record->value[PN_SKY_RAIN_MM];
    if (outlook->soil_now == NULL) {
        return pn_fail(err, PN_ENOMEM, "out of memory: %zu patches",
                       in->patch_count);
    }
    pn_status status = outlook_grid_new(&outlook->alloc, &outlook->past, err);
    if (status != PN_OK) {
        return status;
    }
    fill_days(outlook, &outlook->past, first);
    for (size_t p = 0; p < in->patch_count; p++) {
        outlook->soil_now[p] = pn_soil_start(&in->patches[p].ground);
    }
    status = fill_columns(outlook, in->record, &outlook->past, 0,
                          outlook->soil_now, err);
    outlook->made.record_first = first;
    outlook->made.record_last = in->issue_epoch_day - 1;
    outlook->made.short_record = days < PN_SEASON_WARMUP_DAYS;
    count_methods(outlook);
    return status;
}

/* ---- futures ----------------------------------------------------------- */

static void copy_day(const pn_weather *from, int32_t from_day, pn_weather *to,
                     size_t to_index, uint8_t quality) {
    size_t at = (size_t)(from_day - from->first_epoch_day);
    for (int v = 0; v < PN_SKY_VAR_COUNT; v++) {
        to->value[v][to_index] = from->value[v][at];
        to->quality[v][to_index] = from->quality[v][at] | quality;
    }
}

static void compose_member(const pn_outlook *outlook, size_t member,
                           pn_weather *weather) {
    const pn_outlook_input *in = &outlook->in;
    int forecast_days = outlook->made.forecast_days;
    for (int h = 0; h < in->horizon_days; h++) {
        if (h < forecast_days) {
            copy_day(in->forecast, in->issue_epoch_day + h, weather, (size_t)h,
                     PN_SKY_FORECAST);
        } else {
            copy_day(in->record,
                     outlook->members[member].start_epoch_day + h -
                         forecast_days,
                     weather, (size_t)h, PN_SKY_CLIMATOLOGY);
        }
    }
}

static pn_status prepare_member(pn_outlook *outlook, size_t member,
                                pn_error *err) {
    const pn_outlook_input *in = &outlook->in;
    pn_weather *weather = NULL;
    pn_soil_state *states =
        pn_alloc_array(&outlook->alloc, NULL, in->patch_count, sizeof *states);
    pn_status status =
        states == NULL
            ? pn_fail(err, PN_ENOMEM, "out of memory: %zu patches",
                      in->patch_count)
            : pn_weather_new(&outlook->alloc, in->issue_epoch_day,
                             (size_t)in->horizon_days, &weather, err);
    if (status == PN_OK) {
        /* NOLINTNEXTLINE(clang-analyzer-core.NonNullParamChecker) */
        memcpy(states, outlook->soil_now, in->patch_count * sizeof *states);
        weather->latitude_rad = in->record->latitude_rad;
        weather->longitude_rad = in->record->longitude_rad;
        weather->elevation_m = in->record->elevation_m;
        compose_member(outlook, member, weather);
        status = fill_columns(outlook, weather, &outlook->future,
                              member * in->patch_count, states, err);
    }
    pn_weather_free(weather);
    pn_alloc_free(&outlook->alloc, states);
    return status;
}

pn_status outlook_prepare_future(pn_outlook *outlook, pn_error *err) {
    const pn_outlook_input *in = &outlook->in;
    outlook->future.day_count = (size_t)in->horizon_days;
    outlook->future.cell_count = in->patch_count * outlook->member_count;
    pn_status status = outlook_grid_new(&outlook->alloc, &outlook->future, err);
    if (status != PN_OK) {
        return status;
    }
    fill_days(outlook, &outlook->future, in->issue_epoch_day);
    for (size_t m = 0; status == PN_OK && m < outlook->member_count; m++) {
        status = prepare_member(outlook, m, err);
    }
    return status;
}
