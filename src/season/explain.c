/* One cell again, one day at a time, with every factor kept: the same step
 * functions as the kernel, so the density has the same bits. */
#include "season/season_internal.h"

static pn_season_factors no_factors(void) {
    return (pn_season_factors){NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN,
                               NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN};
}

static double value_at(const double *values, const pn_season_drivers *drivers,
                       size_t day, size_t cell) {
    return values == NULL ? NAN : values[day * drivers->cell_count + cell];
}

static void explain_fungus(const double *p, const pn_season_drivers *drivers,
                           pn_season_query query, cell_state *cell,
                           pn_season_factors *out) {
    fungus_consts c = season_fungus_consts(p);
    bool has_trigger = has_trigger_of(&c);
    for (size_t d = 0; d <= query.day_index; d++) {
        cell_day day = {value_at(drivers->water_frac, drivers, d, query.cell),
                        value_at(drivers->soil_degc, drivers, d, query.cell),
                        value_at(drivers->tmin_degc, drivers, d, query.cell),
                        season_gate(p, drivers->epoch_day[d])};
        out->density = fungus_step(&c, has_trigger, &day, cell, out);
    }
    double *v = cell->v;
    out->primordia = (v[LANE_STAGE_0] + v[LANE_STAGE_1]) +
                     (v[LANE_STAGE_2] + v[LANE_STAGE_3]);
    out->recent_degc = has_trigger ? c.direction * v[LANE_EXTREME] : NAN;
}

static void explain_plant(const double *p, const pn_season_drivers *drivers,
                          pn_season_query query, cell_state *cell,
                          pn_season_factors *out) {
    plant_consts c = season_plant_consts(p);
    bool by_day_length = season_needs_day_length(PN_SEASON_PLANT, p);
    int start_doy = (int)p[PN_SEASON_START_DOY];
    for (size_t d = 0; d <= query.day_index; d++) {
        if (pn_date_day_of_year(drivers->epoch_day[d]) == start_doy) {
            *cell = (cell_state){{0}};
        }
        double tmin = value_at(drivers->tmin_degc, drivers, d, query.cell);
        double tmax = value_at(drivers->tmax_degc, drivers, d, query.cell);
        double hours = value_at(drivers->day_length_h, drivers, d, query.cell);
        out->photoperiod = by_day_length ? photoperiod_of(&c, hours) : 1.0;
        double gain = out->photoperiod *
                      single_sine(tmin, tmax, c.base_degc, c.upper_degc);
        out->density = plant_step(&c, gain, tmin, cell, out);
    }
}

static pn_status query_check(const pn_season_drivers *drivers,
                             const pn_season_state *start,
                             pn_season_query query, pn_error *err) {
    if (query.day_index >= drivers->day_count ||
        query.cell >= drivers->cell_count) {
        return pn_fail(err, PN_EDOMAIN,
                       "season: day %zu of cell %zu is outside the %zu days of "
                       "%zu cells",
                       query.day_index, query.cell, drivers->day_count,
                       drivers->cell_count);
    }
    if (start != NULL && start->cell_count != drivers->cell_count) {
        return pn_fail(err, PN_EDOMAIN,
                       "season: the state has %zu cells, the drivers %zu",
                       start->cell_count, drivers->cell_count);
    }
    if (start != NULL && start->days_run > 0 &&
        start->next_epoch_day != drivers->epoch_day[0]) {
        char want[PN_DATE_ISO_SIZE];
        return pn_fail(err, PN_EDOMAIN,
                       "season: the drivers must begin on %s, the state's next "
                       "day",
                       pn_date_iso(start->next_epoch_day, want));
    }
    return PN_OK;
}

static void cell_begin(const double *params, pn_season_model model,
                       const pn_season_drivers *drivers, size_t index,
                       cell_state *cell) {
    if (model == PN_SEASON_FUNGUS) {
        fungus_consts c = season_fungus_consts(params);
        fungus_begin(&c, drivers->soil_degc[index], cell);
        return;
    }
    for (int k = 0; k < LANE_COUNT; k++) {
        cell->v[k] = NAN;
    }
}

pn_status pn_season_explain(const double params[PN_SEASON_PARAM_COUNT],
                            pn_season_model model,
                            const pn_season_drivers *drivers,
                            const pn_season_state *start, pn_season_query query,
                            pn_season_factors *out, pn_error *err) {
    pn_status status = pn_season_params_check(model, params, err);
    bool by_day_length = season_needs_day_length(model, params);
    if (status == PN_OK) {
        status = season_shape_check(model, drivers, by_day_length, err);
    }
    if (status == PN_OK) {
        status = season_values_check(model, drivers, by_day_length, err);
    }
    if (status == PN_OK) {
        status = query_check(drivers, start, query, err);
    }
    if (status != PN_OK) {
        return status;
    }
    cell_state cell;
    if (start != NULL && start->days_run > 0) {
        for (int k = 0; k < LANE_COUNT; k++) {
            cell.v[k] = start->now[query.cell / BLOCK_CELLS]
                            .v[k][query.cell % BLOCK_CELLS];
        }
    } else {
        cell_begin(params, model, drivers, query.cell, &cell);
    }
    pn_season_factors factors = no_factors();
    if (model == PN_SEASON_FUNGUS) {
        explain_fungus(params, drivers, query, &cell, &factors);
    } else {
        explain_plant(params, drivers, query, &cell, &factors);
    }
    *out = factors;
    return PN_OK;
}
