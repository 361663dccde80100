/* The daily run over many cells. A block of cells is carried through all days
 * with its state in the first-level cache; the loop over the cells of a block
 * is straight-line code that the compiler turns into SIMD. */
#include "season/season_internal.h"

/* GCC on x86-64 Linux picks the widest version at load time. All versions do
 * the same IEEE operations in the same order, so the bits agree; a test
 * compares them. Sanitizers start before such a choice can be made. */
#if defined(__x86_64__) && defined(__gnu_linux__) && defined(__GNUC__) &&      \
    !defined(__clang__) && !defined(__SANITIZE_ADDRESS__) &&                   \
    !defined(__SANITIZE_THREAD__) && !defined(PN_SEASON_ONE_TARGET)
#define WIDEST __attribute__((target_clones("avx512f", "avx2", "default")))
#else
#define WIDEST
#endif

typedef struct block {
    double v[LANE_COUNT][BLOCK_CELLS];
} block;

/* One day's rows of the drivers, already at the block's first cell. */
typedef struct block_day {
    const double *water_frac;
    const double *soil_degc;
    const double *tmin_degc;
    const double *tmax_degc;
    const double *photoperiod;
    double *density;
    size_t count;
} block_day;

WIDEST static void fungus_cells(const fungus_consts *consts, double gate,
                                const block_day *day, block *restrict state) {
    const fungus_consts c = *consts;
    const double *restrict water = day->water_frac;
    const double *restrict soil = day->soil_degc;
    const double *restrict tmin = day->tmin_degc;
    double *restrict density = day->density;
    for (size_t i = 0; i < day->count; i++) {
        cell_state cell;
        for (int k = 0; k < LANE_COUNT; k++) {
            cell.v[k] = state->v[k][i];
        }
        cell_day today = {water[i], soil[i], tmin[i], 0.0, 0.0};
        density[i] = fungus_step(&c, gate, &today, &cell, NULL);
        for (int k = 0; k < LANE_COUNT; k++) {
            state->v[k][i] = cell.v[k];
        }
    }
}

WIDEST static void plant_cells(const plant_consts *consts, const block_day *day,
                               block *restrict state) {
    const plant_consts c = *consts;
    const double *restrict tmin = day->tmin_degc;
    const double *restrict tmax = day->tmax_degc;
    const double *restrict photoperiod = day->photoperiod;
    double *restrict density = day->density;
    for (size_t i = 0; i < day->count; i++) {
        cell_state cell = {{0}};
        cell.v[LANE_SMOOTHED] = state->v[LANE_SMOOTHED][i];
        cell.v[LANE_EXTREME] = state->v[LANE_EXTREME][i];
        cell.v[LANE_STANDING] = state->v[LANE_STANDING][i];
        cell_day today = {0.0, 0.0, tmin[i], tmax[i], 0.0};
        density[i] = plant_step(&c, photoperiod[i], &today, &cell, NULL);
        state->v[LANE_SMOOTHED][i] = cell.v[LANE_SMOOTHED];
        state->v[LANE_EXTREME][i] = cell.v[LANE_EXTREME];
        state->v[LANE_STANDING][i] = cell.v[LANE_STANDING];
    }
}

WIDEST static void photoperiod_cells(const plant_consts *consts,
                                     const double *restrict day_length_h,
                                     double *restrict out, size_t count) {
    const plant_consts c = *consts;
    for (size_t i = 0; i < count; i++) {
        out[i] = photoperiod_of(&c, day_length_h[i]);
    }
}

/* False if any value is NaN or outside low .. high. */
WIDEST static bool row_within(const double *values, size_t count, double low,
                              double high) {
    uint64_t bad = 0;
    for (size_t i = 0; i < count; i++) {
        bad |= (uint64_t)(values[i] >= low ? 0 : 1) |
               (uint64_t)(values[i] <= high ? 0 : 1);
    }
    return bad == 0;
}

WIDEST static bool rows_ordered(const double *low, const double *high,
                                size_t count) {
    uint64_t bad = 0;
    for (size_t i = 0; i < count; i++) {
        bad |= (uint64_t)(low[i] <= high[i] ? 0 : 1);
    }
    return bad == 0;
}

static void block_load(const pn_season_state *state, size_t first, size_t count,
                       block *to) {
    for (int k = 0; k < LANE_COUNT; k++) {
        memcpy(to->v[k], state->lane[k] + first, count * sizeof(double));
    }
}

static void block_store(const block *from, size_t first, size_t count,
                        pn_season_state *state) {
    for (int k = 0; k < LANE_COUNT; k++) {
        memcpy(state->next[k] + first, from->v[k], count * sizeof(double));
    }
}

static void block_fill(block *to, size_t count, double value) {
    for (int k = 0; k < LANE_COUNT; k++) {
        for (size_t i = 0; i < count; i++) {
            to->v[k][i] = value;
        }
    }
}

static void block_begin(const fungus_consts *c, const double *soil_degc,
                        size_t count, block *to) {
    for (size_t i = 0; i < count; i++) {
        cell_state cell;
        fungus_begin(c, soil_degc[i], &cell);
        for (int k = 0; k < LANE_COUNT; k++) {
            to->v[k][i] = cell.v[k];
        }
    }
}

static block_day rows_of(const pn_season_drivers *drivers, size_t day,
                         size_t first, size_t count) {
    size_t at = day * drivers->cell_count + first;
    block_day rows = {.count = count, .tmin_degc = drivers->tmin_degc + at};
    if (drivers->water_frac != NULL && drivers->soil_degc != NULL) {
        rows.water_frac = drivers->water_frac + at;
        rows.soil_degc = drivers->soil_degc + at;
    }
    if (drivers->tmax_degc != NULL) {
        rows.tmax_degc = drivers->tmax_degc + at;
    }
    return rows;
}

/* A job is one block of cells through all days. */
typedef struct job {
    const double *params;
    const pn_season_drivers *drivers;
    size_t first;
    size_t count;
} job;

static bool fungus_day_fit(const block_day *day) {
    return row_within(day->water_frac, day->count, WATER_LOW, WATER_HIGH) &&
           row_within(day->soil_degc, day->count, SOIL_LOW, SOIL_HIGH) &&
           row_within(day->tmin_degc, day->count, AIR_LOW, AIR_HIGH);
}

/* False if a driver value was not fit; the state's lanes are untouched. */
static bool fungus_block(const job *work, pn_season_state *state,
                         double *density) {
    const pn_season_drivers *drivers = work->drivers;
    const double *p = work->params;
    fungus_consts c = season_fungus_consts(p);
    block cells;
    if (state->days_run == 0) {
        block_begin(&c, drivers->soil_degc + work->first, work->count, &cells);
    } else {
        block_load(state, work->first, work->count, &cells);
    }
    for (size_t d = 0; d < drivers->day_count; d++) {
        double gate = pn_season_gate_frac(
            pn_date_day_of_year(drivers->epoch_day[d]),
            p[PN_SEASON_GATE_START_DOY], p[PN_SEASON_GATE_END_DOY],
            p[PN_SEASON_GATE_SCALE_D]);
        block_day day = rows_of(drivers, d, work->first, work->count);
        if (!fungus_day_fit(&day)) {
            return false;
        }
        day.density = density + d * drivers->cell_count + work->first;
        fungus_cells(&c, gate, &day, &cells);
    }
    block_store(&cells, work->first, work->count, state);
    return true;
}

static bool plant_day_fit(const block_day *day, const double *day_length_h) {
    return row_within(day->tmin_degc, day->count, AIR_LOW, AIR_HIGH) &&
           row_within(day->tmax_degc, day->count, AIR_LOW, AIR_HIGH) &&
           rows_ordered(day->tmin_degc, day->tmax_degc, day->count) &&
           (day_length_h == NULL ||
            row_within(day_length_h, day->count, 0.0, DAY_HIGH));
}

static bool plant_block(const job *work, pn_season_state *state,
                        double *density) {
    const pn_season_drivers *drivers = work->drivers;
    plant_consts c = season_plant_consts(work->params);
    bool by_day_length = season_needs_day_length(PN_SEASON_PLANT, work->params);
    int start_doy = (int)work->params[PN_SEASON_START_DOY];
    double photoperiod[BLOCK_CELLS];
    block cells;
    block_fill(&cells, work->count, NAN);
    if (state->days_run > 0) {
        block_load(state, work->first, work->count, &cells);
    }
    for (size_t i = 0; i < work->count; i++) {
        photoperiod[i] = 1.0;
    }
    for (size_t d = 0; d < drivers->day_count; d++) {
        if (pn_date_day_of_year(drivers->epoch_day[d]) == start_doy) {
            block_fill(&cells, work->count, 0.0);
        }
        size_t at = d * drivers->cell_count + work->first;
        const double *hours = by_day_length ? drivers->day_length_h + at : NULL;
        block_day day = rows_of(drivers, d, work->first, work->count);
        day.photoperiod = photoperiod;
        day.density = density + at;
        if (!plant_day_fit(&day, hours)) {
            return false;
        }
        if (hours != NULL) {
            photoperiod_cells(&c, hours, photoperiod, work->count);
        }
        plant_cells(&c, &day, &cells);
    }
    block_store(&cells, work->first, work->count, state);
    return true;
}

static pn_status run_check(const double params[PN_SEASON_PARAM_COUNT],
                           pn_season_model model,
                           const pn_season_drivers *drivers,
                           const pn_season_state *state, pn_error *err) {
    pn_status status = pn_season_params_check(model, params, err);
    if (status != PN_OK) {
        return status;
    }
    if (state->cell_count != drivers->cell_count) {
        return pn_fail(err, PN_EDOMAIN,
                       "season: the state has %zu cells, the drivers %zu",
                       state->cell_count, drivers->cell_count);
    }
    status = season_shape_check(model, drivers,
                                season_needs_day_length(model, params), err);
    if (status != PN_OK) {
        return status;
    }
    if (state->days_run > 0 && drivers->day_count > 0 &&
        drivers->epoch_day[0] != state->next_epoch_day) {
        char got[PN_DATE_ISO_SIZE];
        char want[PN_DATE_ISO_SIZE];
        return pn_fail(err, PN_EDOMAIN,
                       "season: the run stopped before %s and cannot go on "
                       "from %s",
                       pn_date_iso(state->next_epoch_day, want),
                       pn_date_iso(drivers->epoch_day[0], got));
    }
    return PN_OK;
}

static bool all_blocks(const double *params, pn_season_model model,
                       const pn_season_drivers *drivers, pn_season_state *state,
                       double *density) {
    for (size_t first = 0; first < drivers->cell_count; first += BLOCK_CELLS) {
        size_t left = drivers->cell_count - first;
        job work = {params, drivers, first,
                    left < BLOCK_CELLS ? left : BLOCK_CELLS};
        bool fit = model == PN_SEASON_FUNGUS
                       ? fungus_block(&work, state, density)
                       : plant_block(&work, state, density);
        if (!fit) {
            return false;
        }
    }
    return true;
}

static void state_commit(pn_season_state *state,
                         const pn_season_drivers *drivers) {
    for (int k = 0; k < LANE_COUNT; k++) {
        double *now = state->next[k];
        state->next[k] = state->lane[k];
        state->lane[k] = now;
    }
    state->days_run += (int64_t)drivers->day_count;
    state->next_epoch_day = drivers->epoch_day[drivers->day_count - 1] + 1;
}

pn_status pn_season_run(const double params[PN_SEASON_PARAM_COUNT],
                        pn_season_model model, const pn_season_drivers *drivers,
                        pn_season_state *state, double *density,
                        pn_error *err) {
    pn_status status = run_check(params, model, drivers, state, err);
    if (status != PN_OK || drivers->day_count == 0) {
        return status;
    }
    if (!all_blocks(params, model, drivers, state, density)) {
        /* the slow way finds which value, to name it */
        return season_values_check(model, drivers,
                                   season_needs_day_length(model, params), err);
    }
    state_commit(state, drivers);
    return PN_OK;
}
