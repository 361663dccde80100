/** @file outlook_internal.h
 * What the files of the outlook share: the prepared past and futures.
 */
#ifndef PN_OUTLOOK_INTERNAL_H
#define PN_OUTLOOK_INTERNAL_H

#include "pannage/outlook.h"

/** Days by cells, day-major, as the season kernel wants them. In the past a
 *  cell is a patch; in the future cell m * patch_count + p is patch p in
 *  future m. */
typedef struct outlook_grid {
    size_t day_count;
    size_t cell_count;
    int32_t *epoch_day;
    double *day_length_h;
    double *water_frac;
    double *soil_degc;
    double *tmin_degc;
    double *tmax_degc;
} outlook_grid;

/** Where the weather of a future comes from: days from `start` on, first
 *  those of the forecast. */
typedef struct outlook_member {
    int32_t start_epoch_day; /**< of the stand-in for the first day after the
                                  forecast */
} outlook_member;

struct pn_outlook {
    pn_alloc alloc;
    pn_outlook_input in;
    outlook_grid past;
    outlook_grid future;
    double *rain_mm;         /**< [past days] at the station */
    pn_soil_state *soil_now; /**< [patch] at the end of the past */
    outlook_member members[PN_OUTLOOK_MEMBERS_MAX];
    size_t member_count;
    pn_outlook_basis basis[PN_OUTLOOK_HORIZON_MAX];
    pn_outlook_row *rows;
    size_t row_count;
    pn_outlook_made made;
};

static inline size_t outlook_at(const outlook_grid *grid, size_t day,
                                size_t cell) {
    return day * grid->cell_count + cell;
}

pn_season_drivers outlook_drivers(const outlook_grid *grid);
pn_status outlook_grid_new(const pn_alloc *alloc, outlook_grid *grid,
                           pn_error *err);
void outlook_grid_free(const pn_alloc *alloc, outlook_grid *grid);

/** past.c: soil and weather of every patch up to the day before the issue. */
pn_status outlook_prepare_past(pn_outlook *outlook, pn_error *err);
/** future.c: the same for every future. */
pn_status outlook_choose_futures(pn_outlook *outlook, pn_error *err);
pn_status outlook_prepare_future(pn_outlook *outlook, pn_error *err);

#endif
