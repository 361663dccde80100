#include "pannage/base.h"

#include <stdlib.h>
#include <string.h>

static void *libc_resize(void *ctx, void *block, size_t new_size) {
    (void)ctx;
    if (new_size == 0) {
        free(block);
        return NULL;
    }
    return realloc(block, new_size);
}

const pn_alloc pn_alloc_libc = {.resize = libc_resize, .ctx = NULL};

void *pn_alloc_array(const pn_alloc *alloc, void *block, size_t count,
                     size_t item_size) {
    if (count == 0 || item_size == 0 || count > SIZE_MAX / item_size) {
        return NULL;
    }
    return alloc->resize(alloc->ctx, block, count * item_size);
}

void *pn_alloc_zeroed(const pn_alloc *alloc, size_t count, size_t item_size) {
    void *block = pn_alloc_array(alloc, NULL, count, item_size);
    if (block != NULL) {
        memset(block, 0, count * item_size);
    }
    return block;
}

void pn_alloc_free(const pn_alloc *alloc, void *block) {
    if (block != NULL) {
        alloc->resize(alloc->ctx, block, 0);
    }
}

/* Blocks hang on a list and are handed out from the newest; a thing larger
 * than a block gets a block of its own. Each thing remembers its size, so
 * that the arena can also serve as a pn_alloc. */
typedef struct arena_block {
    struct arena_block *older;
    size_t used;
    size_t size;
    max_align_t bytes[];
} arena_block;

struct pn_arena {
    pn_alloc alloc;
    arena_block *newest;
};

enum { ARENA_BLOCK_BYTES = 1 << 16, ARENA_ALIGN = _Alignof(max_align_t) };

pn_status pn_arena_new(const pn_alloc *alloc, pn_arena **out, pn_error *err) {
    pn_arena *arena = pn_alloc_zeroed(alloc, 1, sizeof *arena);
    if (arena == NULL) {
        return pn_fail(err, PN_ENOMEM, "out of memory");
    }
    arena->alloc = *alloc;
    *out = arena;
    return PN_OK;
}

static arena_block *add_block(pn_arena *arena, size_t at_least) {
    size_t size = at_least > ARENA_BLOCK_BYTES ? at_least : ARENA_BLOCK_BYTES;
    arena_block *block =
        arena->alloc.resize(arena->alloc.ctx, NULL, sizeof *block + size);
    if (block == NULL) {
        return NULL;
    }
    *block = (arena_block){.older = arena->newest, .size = size};
    arena->newest = block;
    return block;
}

static void *arena_take(pn_arena *arena, size_t bytes) {
    if (bytes > SIZE_MAX / 2) {
        return NULL;
    }
    size_t whole = (bytes + ARENA_ALIGN - 1) / ARENA_ALIGN * ARENA_ALIGN;
    arena_block *block = arena->newest;
    if (block == NULL || block->size - block->used < whole) {
        block = add_block(arena, whole);
        if (block == NULL) {
            return NULL;
        }
    }
    void *thing = (char *)block->bytes + block->used;
    block->used += whole;
    return thing;
}

void *pn_arena_array(pn_arena *arena, size_t count, size_t item_size) {
    if (item_size != 0 && count > SIZE_MAX / item_size) {
        return NULL;
    }
    void *thing = arena_take(arena, count * item_size);
    if (thing != NULL) {
        memset(thing, 0, count * item_size);
    }
    return thing;
}

char *pn_arena_copy(pn_arena *arena, const char *text, size_t text_len) {
    char *copy = pn_arena_array(arena, text_len + 1, 1);
    if (copy != NULL && text_len > 0) {
        memcpy(copy, text, text_len);
    }
    return copy;
}

/* As a pn_alloc: a header before each thing holds its size for resizing. */
static void *arena_resize(void *ctx, void *block, size_t new_size) {
    if (new_size == 0 || new_size > SIZE_MAX / 4) {
        return NULL;
    }
    char *bigger = arena_take(ctx, new_size + ARENA_ALIGN);
    if (bigger == NULL) {
        return NULL;
    }
    memcpy(bigger, &new_size, sizeof new_size);
    if (block != NULL) {
        size_t old_size = 0;
        memcpy(&old_size, (char *)block - ARENA_ALIGN, sizeof old_size);
        memcpy(bigger + ARENA_ALIGN, block,
               old_size < new_size ? old_size : new_size);
    }
    return bigger + ARENA_ALIGN;
}

pn_alloc pn_arena_alloc(pn_arena *arena) {
    return (pn_alloc){.resize = arena_resize, .ctx = arena};
}

void pn_arena_free(pn_arena *arena) {
    if (arena == NULL) {
        return;
    }
    pn_alloc alloc = arena->alloc;
    for (arena_block *block = arena->newest; block != NULL;) {
        arena_block *older = block->older;
        pn_alloc_free(&alloc, block);
        block = older;
    }
    pn_alloc_free(&alloc, arena);
}
