/* The daily run over many cells. The loop over the cells of a block is
 * straight-line code that the compiler turns into SIMD. */
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

/* One day's rows of the drivers, already at the block's first cell. */
typedef struct block_day {
    const double *water_frac;
    const double *soil_degc;
    const double *tmin_degc;
    const double *tmax_degc;
    const double *day_length_h;
    double *density;
    size_t count;
    double gate;
} block_day;

PN_INLINE void fungus_loop(const fungus_consts *consts, bool has_trigger,
                           const block_day *day, block *restrict at) {
    const fungus_consts c = *consts;
    const double gate = day->gate;
    const double *restrict water = day->water_frac;
    const double *restrict soil = day->soil_degc;
    const double *restrict tmin = day->tmin_degc;
    double *restrict density = day->density;
    for (size_t i = 0; i < day->count; i++) {
        cell_state cell;
        for (int k = 0; k < LANE_COUNT; k++) {
            cell.v[k] = at->v[k][i];
        }
        cell_day today = {water[i], soil[i], tmin[i], gate};
        density[i] = fungus_step(&c, has_trigger, &today, &cell, NULL);
        for (int k = 0; k < LANE_COUNT; k++) {
            at->v[k][i] = cell.v[k];
        }
    }
}

WIDEST static void fungus_cells(const fungus_consts *consts,
                                const block_day *day, block *restrict at) {
    fungus_loop(consts, true, day, at);
}

WIDEST static void fungus_cells_untriggered(const fungus_consts *consts,
                                            const block_day *day,
                                            block *restrict at) {
    fungus_loop(consts, false, day, at);
}

WIDEST static void gain_cells(const plant_consts *consts, const block_day *day,
                              bool upper_reached, double *restrict gain) {
    const double base = consts->base_degc;
    const double upper = consts->upper_degc;
    const double *restrict tmin = day->tmin_degc;
    const double *restrict tmax = day->tmax_degc;
    for (size_t i = 0; i < day->count; i++) {
        double mean = 0.5 * (tmax[i] + tmin[i]);
        double half = half_range(tmin[i], tmax[i]);
        gain[i] = sine_above(mean, half, base);
    }
    for (size_t i = 0; upper_reached && i < day->count; i++) {
        double mean = 0.5 * (tmax[i] + tmin[i]);
        double half = half_range(tmin[i], tmax[i]);
        gain[i] -= sine_above(mean, half, upper);
    }
}

WIDEST static void photoperiod_cells(const plant_consts *consts,
                                     const block_day *day,
                                     double *restrict gain) {
    const plant_consts c = *consts;
    const double *restrict hours = day->day_length_h;
    for (size_t i = 0; i < day->count; i++) {
        gain[i] = photoperiod_of(&c, hours[i]) * gain[i];
    }
}

WIDEST static void plant_cells(const plant_consts *consts, const block_day *day,
                               const double *restrict gain,
                               block *restrict at) {
    const plant_consts c = *consts;
    const double *restrict tmin = day->tmin_degc;
    double *restrict density = day->density;
    for (size_t i = 0; i < day->count; i++) {
        cell_state cell = {{0}};
        cell.v[LANE_SMOOTHED] = at->v[LANE_SMOOTHED][i];
        cell.v[LANE_EXTREME] = at->v[LANE_EXTREME][i];
        cell.v[LANE_STANDING] = at->v[LANE_STANDING][i];
        density[i] = plant_step(&c, gain[i], tmin[i], &cell, NULL);
        at->v[LANE_SMOOTHED][i] = cell.v[LANE_SMOOTHED];
        at->v[LANE_EXTREME][i] = cell.v[LANE_EXTREME];
        at->v[LANE_STANDING][i] = cell.v[LANE_STANDING];
    }
}

/* False if any value is NaN or outside low .. high, or there are none. */
WIDEST static bool row_within(const double *values, size_t count, double low,
                              double high) {
    if (values == NULL) {
        return false;
    }
    uint64_t bad = 0;
    for (size_t i = 0; i < count; i++) {
        bad |= (uint64_t)(values[i] >= low ? 0 : 1) |
               (uint64_t)(values[i] <= high ? 0 : 1);
    }
    return bad == 0;
}

WIDEST static bool rows_ordered(const double *low, const double *high,
                                size_t count) {
    if (low == NULL || high == NULL) {
        return false;
    }
    uint64_t bad = 0;
    for (size_t i = 0; i < count; i++) {
        bad |= (uint64_t)(low[i] <= high[i] ? 0 : 1);
    }
    return bad == 0;
}

static void block_fill(block *to, double value) {
    for (int k = 0; k < LANE_COUNT; k++) {
        for (size_t i = 0; i < BLOCK_CELLS; i++) {
            to->v[k][i] = value;
        }
    }
}

static void block_begin(const fungus_consts *c, const double *soil_degc,
                        size_t count, block *to) {
    block_fill(to, 0.0);
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
    if (drivers->day_length_h != NULL) {
        rows.day_length_h = drivers->day_length_h + at;
    }
    return rows;
}

static bool fungus_day_fit(const block_day *day) {
    return row_within(day->water_frac, day->count, WATER_LOW, WATER_HIGH) &&
           row_within(day->soil_degc, day->count, SOIL_LOW, SOIL_HIGH) &&
           row_within(day->tmin_degc, day->count, AIR_LOW, AIR_HIGH);
}

/* What stays the same through a run. */
typedef struct job {
    const double *params;
    pn_season_model model;
    const pn_season_drivers *drivers;
    fungus_consts fungus;
    plant_consts plant;
    bool by_day_length;
    bool fresh; /* the state knows of no day yet */
} job;

/* What all cells share on a day; the gate is not cheap. */
typedef struct shared_day {
    size_t index;
    double gate;    /* fungi */
    bool starts_dd; /* plants: thermal time begins at 0 */
} shared_day;

static shared_day shared_day_of(const job *work, size_t index) {
    int32_t epoch_day = work->drivers->epoch_day[index];
    shared_day shared = {.index = index};
    if (work->model == PN_SEASON_FUNGUS) {
        shared.gate = season_gate(work->params, epoch_day);
    } else {
        shared.starts_dd = pn_date_day_of_year(epoch_day) ==
                           (int)work->params[PN_SEASON_START_DOY];
    }
    return shared;
}

/* False if a driver value was not fit. */
static bool fungus_day(const job *work, const block_day *day, block *cells) {
    if (!fungus_day_fit(day)) {
        return false;
    }
    if (has_trigger_of(&work->fungus)) {
        fungus_cells(&work->fungus, day, cells);
    } else {
        fungus_cells_untriggered(&work->fungus, day, cells);
    }
    return true;
}

static bool plant_day_fit(const block_day *day, bool by_day_length) {
    return row_within(day->tmin_degc, day->count, AIR_LOW, AIR_HIGH) &&
           row_within(day->tmax_degc, day->count, AIR_LOW, AIR_HIGH) &&
           rows_ordered(day->tmin_degc, day->tmax_degc, day->count) &&
           (!by_day_length ||
            row_within(day->day_length_h, day->count, 0.0, DAY_HIGH));
}

static bool plant_day(const job *work, bool starts_dd, const block_day *day,
                      block *cells) {
    if (!plant_day_fit(day, work->by_day_length)) {
        return false;
    }
    if (starts_dd) {
        block_fill(cells, 0.0);
    }
    /* where no cell gets to the cut-off, what it takes away is exactly 0 */
    bool upper_reached = !row_within(day->tmax_degc, day->count, AIR_LOW,
                                     work->plant.upper_degc);
    double gain[BLOCK_CELLS];
    gain_cells(&work->plant, day, upper_reached, gain);
    if (work->by_day_length) {
        photoperiod_cells(&work->plant, day, gain);
    }
    plant_cells(&work->plant, day, gain, cells);
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

static size_t block_size(const pn_season_state *state, size_t index) {
    size_t left = state->cell_count - index * BLOCK_CELLS;
    return left < BLOCK_CELLS ? left : BLOCK_CELLS;
}

static void blocks_begin(const job *work, size_t first, size_t last,
                         pn_season_state *state) {
    for (size_t b = first; b < last; b++) {
        if (!work->fresh) {
            state->next[b] = state->now[b];
        } else if (work->model == PN_SEASON_FUNGUS) {
            block_begin(&work->fungus,
                        work->drivers->soil_degc + b * BLOCK_CELLS,
                        block_size(state, b), &state->next[b]);
        } else {
            block_fill(&state->next[b], NAN);
        }
    }
}

static bool block_run_day(const job *work, const shared_day *shared,
                          size_t index, pn_season_state *state,
                          double *density) {
    const pn_season_drivers *drivers = work->drivers;
    size_t cell = index * BLOCK_CELLS;
    block_day day =
        rows_of(drivers, shared->index, cell, block_size(state, index));
    day.density = density + shared->index * drivers->cell_count + cell;
    day.gate = shared->gate;
    block *cells = &state->next[index];
    return work->model == PN_SEASON_FUNGUS
               ? fungus_day(work, &day, cells)
               : plant_day(work, shared->starts_dd, &day, cells);
}

/* A group of blocks goes through all days together: small enough for the
 * second-level cache, wide enough for the drivers to be read in long runs. */
enum { GROUP_BLOCKS = 8 };

static bool group_run(const job *work, size_t first, size_t last,
                      pn_season_state *state, double *density) {
    blocks_begin(work, first, last, state);
    for (size_t d = 0; d < work->drivers->day_count; d++) {
        shared_day shared = shared_day_of(work, d);
        for (size_t b = first; b < last; b++) {
            if (!block_run_day(work, &shared, b, state, density)) {
                return false;
            }
        }
    }
    return true;
}

static bool all_blocks(const job *work, pn_season_state *state,
                       double *density) {
    for (size_t first = 0; first < state->block_count; first += GROUP_BLOCKS) {
        size_t left = state->block_count - first;
        size_t last = first + (left < GROUP_BLOCKS ? left : GROUP_BLOCKS);
        if (!group_run(work, first, last, state, density)) {
            return false;
        }
    }
    return true;
}

static job job_of(const double *params, pn_season_model model,
                  const pn_season_drivers *drivers,
                  const pn_season_state *state) {
    job work = {.params = params,
                .model = model,
                .drivers = drivers,
                .by_day_length = season_needs_day_length(model, params),
                .fresh = state->days_run == 0};
    if (model == PN_SEASON_FUNGUS) {
        work.fungus = season_fungus_consts(params);
    } else {
        work.plant = season_plant_consts(params);
    }
    return work;
}

static void state_commit(pn_season_state *state,
                         const pn_season_drivers *drivers) {
    block *now = state->next;
    state->next = state->now;
    state->now = now;
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
    job work = job_of(params, model, drivers, state);
    if (!all_blocks(&work, state, density)) {
        /* the slow way finds which value, to name it */
        return season_values_check(model, drivers, work.by_day_length, err);
    }
    state_commit(state, drivers);
    return PN_OK;
}
