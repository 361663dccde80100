#include "season/season_internal.h"

pn_status pn_season_state_new(const pn_alloc *alloc, size_t cell_count,
                              pn_season_state **out, pn_error *err) {
    if (cell_count == 0) {
        return pn_fail(err, PN_EDOMAIN, "season state: there are no cells");
    }
    size_t block_count = (cell_count - 1) / BLOCK_CELLS + 1;
    pn_season_state *state = pn_alloc_zeroed(alloc, 1, sizeof *state);
    block *blocks = pn_alloc_zeroed(alloc, block_count, 2 * sizeof *blocks);
    if (state == NULL || blocks == NULL) {
        pn_alloc_free(alloc, state);
        pn_alloc_free(alloc, blocks);
        return pn_fail(err, PN_ENOMEM, "season state of %zu cells", cell_count);
    }
    state->alloc = *alloc;
    state->cell_count = cell_count;
    state->block_count = block_count;
    state->now = blocks;
    state->next = blocks + block_count;
    *out = state;
    return PN_OK;
}

void pn_season_state_free(pn_season_state *state) {
    if (state == NULL) {
        return;
    }
    pn_alloc alloc = state->alloc;
    /* the two halves change places; the memory begins at the lower one */
    pn_alloc_free(&alloc, state->now < state->next ? state->now : state->next);
    pn_alloc_free(&alloc, state);
}

void pn_season_state_reset(pn_season_state *state) {
    state->days_run = 0; /* the next run then starts every lane afresh */
    state->next_epoch_day = 0;
}

size_t pn_season_state_cells(const pn_season_state *state) {
    return state->cell_count;
}

int64_t pn_season_state_days(const pn_season_state *state) {
    return state->days_run;
}

pn_status pn_season_state_copy(const pn_season_state *from, pn_season_state *to,
                               pn_error *err) {
    if (to->cell_count % from->cell_count != 0) {
        return pn_fail(err, PN_EDOMAIN,
                       "season state: %zu cells are not a whole number of "
                       "copies of %zu",
                       to->cell_count, from->cell_count);
    }
    for (size_t cell = 0; cell < to->cell_count && to != from; cell++) {
        size_t twin = cell % from->cell_count;
        const block *source = &from->now[twin / BLOCK_CELLS];
        block *target = &to->now[cell / BLOCK_CELLS];
        for (int k = 0; k < LANE_COUNT; k++) {
            target->v[k][cell % BLOCK_CELLS] = source->v[k][twin % BLOCK_CELLS];
        }
    }
    to->days_run = from->days_run;
    to->next_epoch_day = from->next_epoch_day;
    return PN_OK;
}
