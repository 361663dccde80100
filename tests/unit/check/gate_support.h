/** @file gate_support.h
 * Sessions over the small guide, and what its gate says.
 */
#ifndef PN_TESTS_GATE_SUPPORT_H
#define PN_TESTS_GATE_SUPPORT_H

#include <stdlib.h>

#include "pannage/check.h"
#include "support/check.h"
#include "support/failing.h"
#include "support/small_guide.h"

enum { ITEMS_MAX = 64 };

typedef struct items {
    pn_gate_open at[ITEMS_MAX];
    size_t count;
    double danger;
    double posterior[SMALL_SHEETS + 1]; /* the unlisted last */
} items;

typedef struct answers {
    pn_answer at[SMALL_FEATURES];
    size_t count;
} answers;

static inline pn_check *check_of(const small_guide *g) {
    pn_check *check = NULL;
    pn_error err;
    if (pn_check_new(&pn_alloc_libc, &g->guide, &check, &err) != PN_OK) {
        fail_msg("%s", err.message);
    }
    return check;
}

static inline pn_check_session *
session_of(const pn_check *check, const answers *a, pn_check_context context) {
    pn_check_session *session = NULL;
    assert_int_equal(pn_check_session_new(check, &context, &session, NULL),
                     PN_OK);
    for (size_t i = 0; i < a->count; i++) {
        assert_int_equal(pn_check_answer(session, &a->at[i], NULL), PN_OK);
    }
    return session;
}

/** What the gate of the kind says after these answers. */
static inline items items_in(const pn_check *check, size_t kind,
                             const answers *a, pn_check_context context) {
    pn_suspect suspects[SMALL_SHEETS + 1];
    pn_check_session *session = session_of(check, a, context);
    items out = {.danger = pn_check_danger(session)};
    out.count = pn_check_gate(session, kind, out.at, ITEMS_MAX);
    assert_in_range(out.count, 0, ITEMS_MAX);
    size_t count = pn_check_suspects(session, suspects);
    for (size_t i = 0; i < count; i++) {
        size_t k = suspects[i].sheet;
        out.posterior[k == PN_GUIDE_NONE ? SMALL_SHEETS : k] =
            suspects[i].posterior;
    }
    pn_check_session_free(session);
    return out;
}

static inline items items_of(const small_guide *g, size_t kind,
                             const answers *a, bool beginner) {
    pn_check_context context = {.beginner = beginner};
    pn_check *check = check_of(g);
    items out = items_in(check, kind, a, context);
    pn_check_free(check);
    return out;
}

static inline bool has(const items *list, pn_gate_reason reason, size_t feature,
                       size_t sheet) {
    for (size_t i = 0; i < list->count; i++) {
        if (list->at[i].reason == reason && list->at[i].feature == feature &&
            list->at[i].sheet == sheet) {
            return true;
        }
    }
    return false;
}

static inline bool has_reason(const items *list, pn_gate_reason reason) {
    for (size_t i = 0; i < list->count; i++) {
        if (list->at[i].reason == reason) {
            return true;
        }
    }
    return false;
}

/** Everything about mild, as it should be. */
static inline answers perfect(void) {
    answers a = {.count = SMALL_FEATURES};
    for (size_t f = 0; f < SMALL_FEATURES; f++) {
        a.at[f] = small_perfect(f);
    }
    return a;
}

/** The shares of one state, at one stage or, with PN_GUIDE_STAGE_COUNT, at all;
 *  what is left goes to another state. */
static inline void small_share(small_guide *g, size_t k, size_t f, size_t stage,
                               size_t state, double share, size_t rest) {
    for (size_t s = 0; s < PN_GUIDE_STAGE_COUNT; s++) {
        if (stage == PN_GUIDE_STAGE_COUNT || stage == s) {
            double *row = &g->share[k][f][s * PN_GUIDE_STATES_MAX];
            memset(row, 0, PN_GUIDE_STATES_MAX * sizeof *row);
            row[rest] = 1.0 - share;
            row[state] = share;
        }
    }
}

/** Let a kind say nothing any more. */
static inline void small_silence(small_guide *g, size_t k) {
    g->sheets[k].trait_count = 0;
    g->sheets[k].must_see_count = 0;
    memset(g->share[k], 0, sizeof g->share[k]);
}

#endif
