// SPDX-License-Identifier: MIT
/* From the archive's readings to one value a day: rivals are settled by rank,
 * half days joined, hours summed or averaged.
 *
 * Temperature: a 24-hour reading; else the two 12-hour ones (the higher
 * maximum, the lower minimum: their mean would flatten the day); else the one
 * half in which the extreme falls as a rule, flagged as estimated; else
 * nothing. Wind: mean of at least 18 hours, flagged as estimated below 24.
 * Radiation: sum of at least 18 hours, where every hour that lacks must stand
 * between dark hours or the ends of the day; then flagged as estimated. The 18
 * hours are common practice (three quarters of a day), no source. */
#include <math.h>
#include <string.h>

#include "exchange_internal.h"

enum { HOURS = 24, HOURS_NEEDED = 18, SLOT_COUNT = PX_SLOT_DARK_HALF + 1 };

/* Readings of one variable on one day. */
typedef struct day {
    const px_obs *slot[SLOT_COUNT]; /* NULL: none */
} day;

static int compare(const px_obs *a, const px_obs *b) {
    if (a->var != b->var) {
        return a->var < b->var ? -1 : 1;
    }
    if (a->epoch_day != b->epoch_day) {
        return a->epoch_day < b->epoch_day ? -1 : 1;
    }
    if (a->slot != b->slot) {
        return a->slot < b->slot ? -1 : 1;
    }
    return a->rank == b->rank ? 0 : a->rank < b->rank ? -1 : 1;
}

static void merge(const px_obs *from, size_t half, size_t count, px_obs *to) {
    size_t a = 0;
    size_t b = half;
    for (size_t i = 0; i < count; i++) {
        bool first =
            a < half && (b == count || compare(&from[a], &from[b]) <= 0);
        to[i] = first ? from[a++] : from[b++];
    }
}

/* Stable bottom-up merge sort; the library's qsort may use the heap behind
 * the allocator's back. @return whichever of the two arrays holds the result */
static px_obs *sort(px_obs *at, px_obs *spare, size_t count) {
    for (size_t width = 1; width < count; width *= 2) {
        for (size_t from = 0; from < count; from += 2 * width) {
            size_t left = count - from;
            size_t both = left < 2 * width ? left : 2 * width;
            size_t half = left < width ? left : width;
            merge(at + from, half, both, spare + from);
        }
        px_obs *sorted = spare;
        spare = at;
        at = sorted;
    }
    return at;
}

static bool day_temperature(const day *d, bool is_max, px_obs *out) {
    const px_obs *usual =
        d->slot[is_max ? PX_SLOT_LIGHT_HALF : PX_SLOT_DARK_HALF];
    const px_obs *other =
        d->slot[is_max ? PX_SLOT_DARK_HALF : PX_SLOT_LIGHT_HALF];
    if (d->slot[PX_SLOT_DAY] != NULL) {
        *out = *d->slot[PX_SLOT_DAY];
        return true;
    }
    if (usual == NULL) {
        return false;
    }
    *out = *usual;
    if (other == NULL) {
        out->flags |= PN_SKY_ESTIMATED;
        return true;
    }
    out->value = is_max ? fmax(usual->value, other->value)
                        : fmin(usual->value, other->value);
    out->flags |= other->flags;
    return true;
}

/* @return number of hours there; *sum and out->flags over them */
static size_t add_hours(const day *d, double *sum, px_obs *out) {
    size_t count = 0;
    *sum = 0.0;
    *out = (px_obs){0};
    for (size_t h = 0; h < HOURS; h++) {
        const px_obs *hour = d->slot[h];
        if (hour == NULL) {
            continue;
        }
        uint8_t flags = out->flags;
        *out = *hour;
        out->flags |= flags;
        *sum += hour->value;
        count++;
    }
    if (count < HOURS) {
        out->flags |= PN_SKY_ESTIMATED;
    }
    return count;
}

static bool day_wind(const day *d, px_obs *out) {
    double sum = 0.0;
    size_t count = add_hours(d, &sum, out);
    if (count < HOURS_NEEDED) {
        return false;
    }
    out->value = sum / (double)count;
    return true;
}

/* The nearest hour there is, going by step, gave radiation. */
static bool lit_beside(const day *d, size_t hour, int step) {
    for (int h = (int)hour; h >= 0 && h < HOURS; h += step) {
        if (d->slot[h] != NULL) {
            return d->slot[h]->value > 0.0;
        }
    }
    return false;
}

static bool day_solar(const day *d, px_obs *out) {
    double sum = 0.0;
    size_t count = add_hours(d, &sum, out);
    if (count < HOURS_NEEDED) {
        return false;
    }
    for (size_t h = 0; h < HOURS; h++) {
        if (d->slot[h] == NULL &&
            (lit_beside(d, h, -1) || lit_beside(d, h, 1))) {
            return false;
        }
    }
    out->value = sum;
    return true;
}

static bool day_rain(const day *d, px_obs *out) {
    if (d->slot[PX_SLOT_DAY] == NULL) {
        return false;
    }
    *out = *d->slot[PX_SLOT_DAY];
    return true;
}

static bool day_value(const day *d, uint8_t var, px_obs *out) {
    switch ((pn_sky_var)var) {
    case PN_SKY_TMIN_DEGC:
        return day_temperature(d, false, out);
    case PN_SKY_TMAX_DEGC:
        return day_temperature(d, true, out);
    case PN_SKY_RAIN_MM:
        return day_rain(d, out);
    case PN_SKY_WIND_M_S:
        return day_wind(d, out);
    case PN_SKY_SOLAR_MJ_M2:
        return day_solar(d, out);
    case PN_SKY_HUMIDITY_FRAC:
    case PN_SKY_SUNSHINE_H:
    case PN_SKY_VAR_COUNT:
        break;
    }
    return false;
}

/* The readings from at on that share variable and day. @return their number */
static size_t gather(const px_obs *at, size_t count, day *d, size_t *rivals) {
    size_t n = 0;
    *d = (day){0};
    for (; n < count && at[n].var == at[0].var &&
           at[n].epoch_day == at[0].epoch_day;
         n++) {
        if (d->slot[at[n].slot] == NULL) {
            d->slot[at[n].slot] = &at[n];
        } else {
            (*rivals)++;
        }
    }
    return n;
}

pn_status px_badc_resolve(px_obs_list *list, pn_exchange_report *report,
                          pn_error *err) {
    if (list->count == 0) {
        return PN_OK;
    }
    px_obs_list days = {.alloc = list->alloc};
    pn_status status = PN_OK;
    px_obs *spare =
        pn_alloc_array(&list->alloc, NULL, list->count, sizeof *spare);
    if (spare == NULL) {
        return pn_fail(err, PN_ENOMEM, "%zu readings", list->count);
    }
    const px_obs *at = sort(list->at, spare, list->count);
    for (size_t i = 0; i < list->count && status == PN_OK;) {
        day d;
        px_obs obs;
        i += gather(at + i, list->count - i, &d, &report->duplicate_count);
        if (!day_value(&d, at[i - 1].var, &obs)) {
            continue;
        }
        if (!pn_sky_var_plausible((pn_sky_var)obs.var, obs.value, NULL, NULL)) {
            report->dropped_count++;
            continue;
        }
        obs.slot = PX_SLOT_DAY;
        status = px_obs_add(&days, &obs, err);
    }
    pn_alloc_free(&list->alloc, spare);
    if (status != PN_OK) {
        px_obs_deinit(&days);
        return status;
    }
    px_obs_deinit(list);
    *list = days;
    return PN_OK;
}
