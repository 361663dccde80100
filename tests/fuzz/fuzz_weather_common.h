/** @file fuzz_weather_common.h
 * What must hold of a weather record whatever bytes it was read from. The
 * first two bytes of the input choose the size of the reads and the options.
 */
#ifndef PN_FUZZ_WEATHER_COMMON_H
#define PN_FUZZ_WEATHER_COMMON_H

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "pannage/exchange.h"

static inline void must(bool holds) {
    if (!holds) {
        abort();
    }
}

/** Hands the bytes out in pieces of at most `piece`. */
typedef struct fuzz_pieces {
    const uint8_t *data;
    size_t size;
    size_t piece;
} fuzz_pieces;

static inline ptrdiff_t fuzz_read(void *ctx, char *buf, size_t size) {
    fuzz_pieces *p = ctx;
    size_t take = size < p->piece ? size : p->piece;
    take = take < p->size ? take : p->size;
    if (take > 0) {
        memcpy(buf, p->data, take);
    }
    p->data += take;
    p->size -= take;
    return (ptrdiff_t)take;
}

static inline void check_value(const pn_weather *w, size_t v, size_t day) {
    double value = w->value[v][day];
    bool plausible = pn_sky_var_plausible((pn_sky_var)v, value, NULL, NULL);
    must(isnan(value) || plausible);
    must(!isnan(value) || w->quality[v][day] == 0);
}

static inline void check_weather(const pn_weather *w,
                                 const pn_exchange_report *r) {
    size_t missing[PN_SKY_VAR_COUNT] = {0};
    size_t held = 0;
    must(w->day_count >= 1 && w->day_count == r->day_count);
    must(w->first_epoch_day == r->first_epoch_day);
    must(r->last_epoch_day - r->first_epoch_day + 1 == (int32_t)r->day_count);
    for (size_t day = 0; day < w->day_count; day++) {
        for (size_t v = 0; v < PN_SKY_VAR_COUNT; v++) {
            check_value(w, v, day);
            missing[v] += isnan(w->value[v][day]) != 0;
        }
        must(!(w->value[PN_SKY_TMIN_DEGC][day] >
               w->value[PN_SKY_TMAX_DEGC][day]));
    }
    for (size_t v = 0; v < PN_SKY_VAR_COUNT; v++) {
        must(missing[v] == r->missing_count[v]);
        held += w->day_count - missing[v];
    }
    must(held > 0 || r->dropped_count > 0);
    must(r->note_count <= PN_EXCHANGE_NOTE_MAX);
}

static inline int fuzz_weather(const uint8_t *data, size_t size) {
    pn_exchange_weather_opts opts = PN_EXCHANGE_WEATHER_OPTS_INIT;
    pn_exchange_report report;
    pn_weather *weather = NULL;
    pn_error err = {PN_OK, ""};
    if (size < 2) {
        return 0;
    }
    opts.forecast = (data[1] & 1U) != 0;
    fuzz_pieces pieces = {data + 2, size - 2, 1 + (size_t)data[0] * 16};
    pn_exchange_source source = {fuzz_read, &pieces, "fuzz"};
    pn_status status = pn_exchange_weather_read(&pn_alloc_libc, &source, 1,
                                                &opts, &weather, &report, &err);
    if (status == PN_OK) {
        check_weather(weather, &report);
    } else {
        must(weather == NULL && err.status == status);
        must(strchr(err.message, '\n') == NULL && err.message[0] != '\0');
    }
    pn_weather_free(weather);
    return 0;
}

#endif
