/** @file exchange_support.h
 * Reads weather from texts in memory; compares failures word by word.
 */
#ifndef PN_TESTS_EXCHANGE_SUPPORT_H
#define PN_TESTS_EXCHANGE_SUPPORT_H

#include <stdio.h>
#include <string.h>

#include "pannage/exchange.h"
#include "support/check.h"
#include "support/failing.h"

/** What one reading gave; free with got_free(). */
typedef struct got {
    pn_status status;
    pn_weather *weather;
    pn_exchange_report report;
    pn_error err;
} got;

static inline void got_free(got *g) {
    pn_weather_free(g->weather);
    g->weather = NULL;
}

static inline got read_bytes(const pn_alloc *alloc, const char *data,
                             size_t size,
                             const pn_exchange_weather_opts *opts) {
    got g = {.weather = NULL};
    pn_exchange_memory memory = {data, size, 0};
    pn_exchange_source source = pn_exchange_memory_source(&memory, "w.csv");
    g.status = pn_exchange_weather_read(alloc, &source, 1, opts, &g.weather,
                                        &g.report, &g.err);
    if (g.status != PN_OK) {
        assert_null(g.weather);
    }
    return g;
}

static inline got read_text(const char *text) {
    pn_exchange_weather_opts opts = PN_EXCHANGE_WEATHER_OPTS_INIT;
    return read_bytes(&pn_alloc_libc, text, strlen(text), &opts);
}

static inline double value_on(const pn_weather *weather, pn_sky_var var,
                              const char *date) {
    int32_t day = 0;
    size_t at = 0;
    assert_true(pn_date_parse_iso(pn_text_of(date), &day));
    assert_true(pn_weather_index_of(weather, day, &at));
    return weather->value[var][at];
}

static inline unsigned quality_on(const pn_weather *weather, pn_sky_var var,
                                  const char *date) {
    int32_t day = 0;
    size_t at = 0;
    assert_true(pn_date_parse_iso(pn_text_of(date), &day));
    assert_true(pn_weather_index_of(weather, day, &at));
    return weather->quality[var][at];
}

/** A text that must be refused, and pieces its message must hold. */
typedef struct refusal {
    const char *name;
    const char *text;
    const char *pieces[5];
} refusal;

static inline void check_pieces(const char *name, const pn_error *err,
                                const char *const pieces[5]) {
    assert_int_equal(err->status, PN_EPARSE);
    assert_null(strchr(err->message, '\n'));
    for (size_t i = 0; i < 5 && pieces[i] != NULL; i++) {
        if (strstr(err->message, pieces[i]) == NULL) {
            print_error("%s: \"%s\" lacks \"%s\"\n", name, err->message,
                        pieces[i]);
            fail();
        }
    }
}

static inline void check_refusals(const refusal *rows, size_t count) {
    for (size_t i = 0; i < count; i++) {
        got g = read_text(rows[i].text);
        if (g.status == PN_OK) {
            print_error("%s: was accepted\n", rows[i].name);
            got_free(&g);
            fail();
        }
        check_pieces(rows[i].name, &g.err, rows[i].pieces);
    }
}

/** Some note of the report holds the words. */
static inline bool has_note(const pn_exchange_report *report,
                            const char *words) {
    for (size_t i = 0; i < report->note_count; i++) {
        if (strstr(report->note[i], words) != NULL) {
            return true;
        }
    }
    return false;
}

#endif
