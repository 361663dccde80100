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
    double
        inverse_trigger[BLOCK_CELLS]; /* from one loop of a day to the next */
    double start[BLOCK_CELLS];
    double ripe[BLOCK_CELLS];
    double gain[BLOCK_CELLS];
} block;

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
                              bool upper_reached, block *restrict at) {
    const double base = consts->base_degc;
    const double upper = consts->upper_degc;
    const double *restrict tmin = day->tmin_degc;
    const double *restrict tmax = day->tmax_degc;
    for (size_t i = 0; i < day->count; i++) {
        double mean = 0.5 * (tmax[i] + tmin[i]);
        double half = half_range(tmin[i], tmax[i]);
        at->gain[i] = sine_above(mean, half, base);
    }
    for (size_t i = 0; upper_reached && i < day->count; i++) {
        double mean = 0.5 * (tmax[i] + tmin[i]);
        double half = half_range(tmin[i], tmax[i]);
        at->gain[i] -= sine_above(mean, half, upper);
    }
}

WIDEST static void photoperiod_cells(const plant_consts *consts,
                                     const block_day *day, block *restrict at) {
    const plant_consts c = *consts;
    const double *restrict hours = day->day_length_h;
    for (size_t i = 0; i < day->count; i++) {
        at->gain[i] = photoperiod_of(&c, hours[i]) * at->gain[i];
    }
}

WIDEST static void plant_cells(const plant_consts *consts, const block_day *day,
                               block *restrict at) {
    const plant_consts c = *consts;
    const double *restrict tmin = day->tmin_degc;
    double *restrict density = day->density;
    for (size_t i = 0; i < day->count; i++) {
        cell_state cell = {{0}};
        cell.v[LANE_SMOOTHED] = at->v[LANE_SMOOTHED][i];
        cell.v[LANE_EXTREME] = at->v[LANE_EXTREME][i];
        cell.v[LANE_STANDING] = at->v[LANE_STANDING][i];
        density[i] = plant_step(&c, at->gain[i], tmin[i], &cell, NULL);
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
    if (drivers->day_length_h != NULL) {
        rows.day_length_h = drivers->day_length_h + at;
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

/* The next day's rows are a whole row of cells away, too far for the
 * processor to guess: ask for them while today's are worked on. */
static void fetch_row(const double *row, size_t count) {
#if defined(__GNUC__)
    for (size_t i = 0; row != NULL && i < count; i += 8) {
        __builtin_prefetch(row + i, 0, 3);
    }
#else
    (void)row;
    (void)count;
#endif
}

static void fetch_next_day(const block_day *day, size_t cell_count) {
    const double *rows[] = {day->water_frac, day->soil_degc, day->tmin_degc,
                            day->tmax_degc, day->density};
    for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++) {
        fetch_row(rows[k] == NULL ? NULL : rows[k] + cell_count, day->count);
    }
}

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
        block_day day = rows_of(drivers, d, work->first, work->count);
        day.density = density + d * drivers->cell_count + work->first;
        day.gate = season_gate(p, drivers->epoch_day[d]);
        if (!fungus_day_fit(&day)) {
            return false;
        }
        if (d + 1 < drivers->day_count) {
            fetch_next_day(&day, drivers->cell_count);
        }
        if (has_trigger_of(&c)) {
            fungus_cells(&c, &day, &cells);
        } else {
            fungus_cells_untriggered(&c, &day, &cells);
        }
    }
    block_store(&cells, work->first, work->count, state);
    return true;
}

static bool plant_day_fit(const block_day *day, bool by_day_length) {
    return row_within(day->tmin_degc, day->count, AIR_LOW, AIR_HIGH) &&
           row_within(day->tmax_degc, day->count, AIR_LOW, AIR_HIGH) &&
           rows_ordered(day->tmin_degc, day->tmax_degc, day->count) &&
           (!by_day_length ||
            row_within(day->day_length_h, day->count, 0.0, DAY_HIGH));
}

static void plant_day(const plant_consts *c, const block_day *day,
                      bool by_day_length, block *cells) {
    /* where no cell gets to the cut-off, what it takes away is exactly 0 */
    bool upper_reached =
        !row_within(day->tmax_degc, day->count, AIR_LOW, c->upper_degc);
    gain_cells(c, day, upper_reached, cells);
    if (by_day_length) {
        photoperiod_cells(c, day, cells);
    }
    plant_cells(c, day, cells);
}

static bool plant_block(const job *work, pn_season_state *state,
                        double *density) {
    const pn_season_drivers *drivers = work->drivers;
    plant_consts c = season_plant_consts(work->params);
    bool by_day_length = season_needs_day_length(PN_SEASON_PLANT, work->params);
    int start_doy = (int)work->params[PN_SEASON_START_DOY];
    block cells;
    block_fill(&cells, work->count, NAN);
    if (state->days_run > 0) {
        block_load(state, work->first, work->count, &cells);
    }
    for (size_t d = 0; d < drivers->day_count; d++) {
        if (pn_date_day_of_year(drivers->epoch_day[d]) == start_doy) {
            block_fill(&cells, work->count, 0.0);
        }
        block_day day = rows_of(drivers, d, work->first, work->count);
        day.density = density + d * drivers->cell_count + work->first;
        if (!plant_day_fit(&day, by_day_length)) {
            return false;
        }
        if (d + 1 < drivers->day_count) {
            fetch_next_day(&day, drivers->cell_count);
        }
        plant_day(&c, &day, by_day_length, &cells);
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
