#include "outlook_internal.h"

#include <math.h>

void pn_outlook_season_deinit(pn_outlook_season *season) {
    pn_alloc alloc = season->alloc;
    pn_alloc_free(&alloc, season->kg); /* one block holds all arrays */
    *season = (pn_outlook_season){.alloc = alloc};
}

static pn_status season_new(const pn_outlook *outlook, int32_t first,
                            pn_outlook_season *out, pn_error *err) {
    int32_t past_first = outlook->past.epoch_day[0];
    first = first < past_first ? past_first : first;
    int32_t end = outlook->in.issue_epoch_day + outlook->in.horizon_days;
    *out =
        (pn_outlook_season){.alloc = outlook->alloc, .first_epoch_day = first};
    if (first >= outlook->in.issue_epoch_day) {
        return pn_fail(err, PN_EDOMAIN,
                       "the season must begin before the outlook does");
    }
    size_t days = (size_t)(end - first);
    double **arrays[] = {&out->kg,          &out->kg_low,     &out->kg_high,
                         &out->chance_prob, &out->water_frac, &out->soil_degc,
                         &out->air_degc,    &out->rain_mm};
    size_t count = sizeof arrays / sizeof *arrays;
    double *block =
        pn_alloc_array(&out->alloc, NULL, days * count, sizeof *block);
    if (block == NULL) {
        return pn_fail(err, PN_ENOMEM, "out of memory: %zu days", days);
    }
    for (size_t i = 0; i < count; i++) {
        *arrays[i] = block + i * days;
    }
    out->day_count = days;
    return PN_OK;
}

static void fill_weather(const pn_outlook *outlook, size_t patch,
                         pn_outlook_season *out) {
    size_t past_at =
        (size_t)(out->first_epoch_day - outlook->past.epoch_day[0]);
    for (size_t d = 0; d < out->day_count; d++) {
        size_t day = past_at + d;
        bool past = day < outlook->past.day_count;
        const outlook_grid *grid = past ? &outlook->past : &outlook->future;
        size_t at =
            outlook_at(grid, past ? day : day - outlook->past.day_count, patch);
        out->water_frac[d] = grid->water_frac[at];
        out->soil_degc[d] = grid->soil_degc[at];
        out->air_degc[d] = 0.5 * (grid->tmin_degc[at] + grid->tmax_degc[at]);
        out->rain_mm[d] = past ? outlook->rain_mm[day] : NAN;
    }
}

static void fill_day(pn_outlook_season *out, size_t d,
                     const pn_outlook_day *day) {
    out->kg[d] = day->kg;
    out->kg_low[d] = day->kg_low;
    out->kg_high[d] = day->kg_high;
    out->chance_prob[d] = day->chance_prob;
}

static pn_status run_past(const pn_outlook *outlook, const pn_kind *kind,
                          pn_season_state *state, double *density,
                          pn_error *err) {
    double params[PN_SEASON_PARAM_COUNT];
    pn_season_params_median(kind, params);
    pn_season_drivers past = outlook_drivers(&outlook->past);
    return pn_season_run(params, kind->model, &past, state, density, err);
}

pn_status pn_outlook_season_of(const pn_outlook *outlook,
                               const pn_outlook_row *row,
                               int32_t first_epoch_day, pn_outlook_season *out,
                               pn_error *err) {
    pn_season_state *state = NULL;
    *out = (pn_outlook_season){.alloc = outlook->alloc};
    const outlook_grid *past = &outlook->past;
    double *density = pn_alloc_array(&outlook->alloc, NULL, past->day_count,
                                     past->cell_count * sizeof *density);
    pn_status status = density != NULL
                           ? season_new(outlook, first_epoch_day, out, err)
                           : pn_fail(err, PN_ENOMEM, "out of memory");
    if (status == PN_OK) {
        status =
            pn_season_state_new(&outlook->alloc, past->cell_count, &state, err);
    }
    if (status == PN_OK) {
        status = run_past(outlook, row->kind, state, density, err);
    }
    if (status == PN_OK) {
        size_t past_at = (size_t)(out->first_epoch_day - past->epoch_day[0]);
        for (size_t d = 0; d < out->day_count; d++) {
            size_t day = past_at + d;
            pn_outlook_day one;
            if (day < past->day_count) {
                size_t at = outlook_at(past, day, row->patch);
                /* NOLINTNEXTLINE(clang-analyzer-core.NullDereference) */
                double n = density[at];
                pn_outlook_predict(row->kind, &row->memory, n, 0.0, &one);
            } else {
                one = row->day[day - past->day_count];
            }
            fill_day(out, d, &one);
        }
        fill_weather(outlook, row->patch, out);
    }
    if (status != PN_OK) {
        pn_outlook_season_deinit(out);
    }
    pn_season_state_free(state);
    pn_alloc_free(&outlook->alloc, density);
    return status;
}
