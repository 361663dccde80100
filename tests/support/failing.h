/** @file failing.h
 * An allocator that permits a given number of allocations and then fails, so
 * that a test can fail every one in turn; the sanitizers prove no leak.
 */
#ifndef PN_TESTS_FAILING_H
#define PN_TESTS_FAILING_H

#include <stdlib.h>

#include "pannage/base.h"

typedef struct failing {
    int calls_left;
} failing;

static inline void *failing_resize(void *ctx, void *block, size_t new_size) {
    failing *limit = ctx;
    if (new_size == 0) {
        free(block);
        return NULL;
    }
    if (limit->calls_left-- <= 0) {
        return NULL;
    }
    return realloc(block, new_size);
}

static inline pn_alloc failing_alloc(failing *limit) {
    return (pn_alloc){.resize = failing_resize, .ctx = limit};
}

#endif
