/** @file season_support.h
 * Invented drivers for the season tests: a year's wave with noise, different
 * in every cell.
 */
#ifndef PN_TESTS_SEASON_SUPPORT_H
#define PN_TESTS_SEASON_SUPPORT_H

#include "support/check.h"
#include "support/failing.h"

#include <stdlib.h>
#include <string.h>

#include "pannage/season.h"

typedef struct invented {
    pn_season_drivers drivers;
    int32_t *epoch_day;
    double *water, *soil, *tmin, *tmax, *hours;
} invented;

static inline double *doubles(size_t count) {
    double *block = calloc(count, sizeof *block);
    assert_non_null(block);
    return block;
}

static inline void invented_fill(invented *in, size_t i, double wave,
                                 pn_random *random) {
    double noise = pn_random_normal(random);
    in->soil[i] = 10.0 + 7.0 * wave + noise;
    in->tmin[i] = 5.0 + 7.0 * wave + 3.0 * noise;
    in->tmax[i] = in->tmin[i] + 8.0 * pn_random_uniform(random);
    in->water[i] = pn_logistic(1.5 * pn_random_normal(random) - wave);
    in->hours[i] = 12.0 + 4.5 * wave;
}

/** From 1 January 2025. */
static inline invented invent(size_t days, size_t cells, uint64_t seed) {
    invented in = {.epoch_day = calloc(days, sizeof(int32_t)),
                   .water = doubles(days * cells),
                   .soil = doubles(days * cells),
                   .tmin = doubles(days * cells),
                   .tmax = doubles(days * cells),
                   .hours = doubles(days * cells)};
    assert_non_null(in.epoch_day);
    pn_random random = pn_random_seeded(seed);
    int32_t first = pn_date_to_epoch_day((pn_date){2025, 1, 1});
    for (size_t d = 0; d < days; d++) {
        double wave = cos(((double)d - 200.0) / 58.13);
        in.epoch_day[d] = first + (int32_t)d;
        for (size_t c = 0; c < cells; c++) {
            invented_fill(&in, d * cells + c, wave, &random);
        }
    }
    in.drivers = (pn_season_drivers){days,     cells,   in.epoch_day, in.hours,
                                     in.water, in.soil, in.tmin,      in.tmax};
    return in;
}

static inline void invented_free(invented *in) {
    free(in->epoch_day);
    free(in->water);
    free(in->soil);
    free(in->tmin);
    free(in->tmax);
    free(in->hours);
}

/** The same drivers from day `from` on. */
static inline pn_season_drivers days_from(const pn_season_drivers *all,
                                          size_t from, size_t count) {
    size_t at = from * all->cell_count;
    return (pn_season_drivers){count,
                               all->cell_count,
                               all->epoch_day + from,
                               all->day_length_h + at,
                               all->water_frac + at,
                               all->soil_degc + at,
                               all->tmin_degc + at,
                               all->tmax_degc + at};
}

static inline pn_season_state *fresh(size_t cells) {
    pn_season_state *state = NULL;
    assert_int_equal(pn_season_state_new(&pn_alloc_libc, cells, &state, NULL),
                     PN_OK);
    return state;
}

static inline const pn_kind *kind_of(const char *id) {
    const pn_kind *kind = pn_kind_find(pn_text_of(id));
    assert_non_null(kind);
    return kind;
}

/** Bitwise, so that NaN equals NaN and -0 is not 0. */
static inline void assert_same_bits(const char *name, const double *a,
                                    const double *b, size_t count) {
    for (size_t i = 0; i < count; i++) {
        if (memcmp(&a[i], &b[i], sizeof a[i]) != 0) {
            print_error("%s: item %zu: %.17g against %.17g\n", name, i, a[i],
                        b[i]);
            fail();
        }
    }
}

#endif
