#include "season/season_internal.h"

pn_status pn_season_state_new(const pn_alloc *alloc, size_t cell_count,
                              pn_season_state **out, pn_error *err) {
    if (cell_count == 0) {
        return pn_fail(err, PN_EDOMAIN, "season state: there are no cells");
    }
    if (cell_count > SIZE_MAX / sizeof(double) / (size_t)2 / LANE_COUNT) {
        return pn_fail(err, PN_ENOMEM, "season state of %zu cells", cell_count);
    }
    pn_season_state *state = pn_alloc_zeroed(alloc, 1, sizeof *state);
    double *block =
        pn_alloc_zeroed(alloc, cell_count * LANE_COUNT, 2 * sizeof *block);
    if (state == NULL || block == NULL) {
        pn_alloc_free(alloc, state);
        pn_alloc_free(alloc, block);
        return pn_fail(err, PN_ENOMEM, "season state of %zu cells", cell_count);
    }
    state->alloc = *alloc;
    state->cell_count = cell_count;
    for (size_t k = 0; k < LANE_COUNT; k++) {
        state->lane[k] = block + k * cell_count;
        state->next[k] = block + (LANE_COUNT + k) * cell_count;
    }
    *out = state;
    return PN_OK;
}

void pn_season_state_free(pn_season_state *state) {
    if (state == NULL) {
        return;
    }
    pn_alloc alloc = state->alloc;
    /* the two halves change places; the block begins at the lower one */
    pn_alloc_free(&alloc, state->lane[0] < state->next[0] ? state->lane[0]
                                                          : state->next[0]);
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
    for (int k = 0; k < LANE_COUNT; k++) {
        for (size_t at = 0; at < to->cell_count; at += from->cell_count) {
            memmove(to->lane[k] + at, from->lane[k],
                    from->cell_count * sizeof(double));
        }
    }
    to->days_run = from->days_run;
    to->next_epoch_day = from->next_epoch_day;
    return PN_OK;
}
