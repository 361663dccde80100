/** @file paper_support.h
 * A season with a gap, a band and visits, for every test of this folder.
 */
#ifndef PN_TESTS_PAPER_SUPPORT_H
#define PN_TESTS_PAPER_SUPPORT_H

#include "support/check.h"

#include <string.h>

#include "pannage/paper.h"

enum { SEASON_DAYS = 122, SEASON_FIRST = 20636 /* 2026-07-02 */ };

typedef struct season {
    double expected[SEASON_DAYS], low[SEASON_DAYS], high[SEASON_DAYS];
    double rain[SEASON_DAYS];
    pn_paper_mark marks[4];
} season;

static inline void season_fill(season *s) {
    for (int i = 0; i < SEASON_DAYS; i++) {
        double away = (i - 70) / 14.0;
        s->expected[i] = 1.9 * exp(-away * away);
        s->low[i] = 0.4 * s->expected[i];
        s->high[i] = 2.0 * s->expected[i] + 0.1;
        s->rain[i] = i % 5 == 0 ? 6.0 : 0.0;
    }
    s->expected[30] = NAN;
    s->low[40] = NAN;
    s->marks[0] = (pn_paper_mark){SEASON_FIRST + 10, NAN, false};
    s->marks[1] = (pn_paper_mark){SEASON_FIRST + 66, 1.2, true};
    s->marks[2] = (pn_paper_mark){SEASON_FIRST + 66, NAN, false};
    s->marks[3] = (pn_paper_mark){SEASON_FIRST - 1, 3.0, true}; /* outside */
}

static inline size_t count_of(const char *text, const char *word) {
    size_t count = 0;
    const char *at = strstr(text, word);
    for (; at != NULL; at = strstr(at + strlen(word), word)) {
        count++;
    }
    return count;
}

/** The next line of *rest without its '\n'; at NULL after the last. */
static inline pn_text next_line(pn_text *rest) {
    if (rest->len == 0) {
        return (pn_text){NULL, 0};
    }
    return pn_text_cut(*rest, '\n', rest);
}

#endif
