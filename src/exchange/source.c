// SPDX-License-Identifier: MIT
#include "pannage/exchange.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

#include "exchange_internal.h"

static ptrdiff_t read_file(void *ctx, char *buf, size_t size) {
    FILE *file = ctx;
    size_t got = fread(buf, 1, size, file);
    if (got == 0 && ferror(file)) {
        return -1;
    }
    return (ptrdiff_t)got;
}

pn_status pn_exchange_open_file(const char *path, pn_exchange_source *out,
                                pn_error *err) {
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        char why[128] = "";
        char name[PX_NAME_SIZE];
        pn_status status = errno == ENOENT ? PN_ENOTFOUND : PN_EIO;
        (void)strerror_r(errno, why, sizeof why);
        return pn_fail(err, status, "%s: cannot be opened: %s",
                       px_shown_name(path, name), why);
    }
    *out = (pn_exchange_source){.read = read_file, .ctx = file, .name = path};
    return PN_OK;
}

void pn_exchange_close_file(pn_exchange_source *source) {
    if (source->ctx != NULL) {
        (void)fclose(source->ctx); /* read only: nothing can be lost */
        source->ctx = NULL;
    }
}

static ptrdiff_t read_memory(void *ctx, char *buf, size_t size) {
    pn_exchange_memory *memory = ctx;
    size_t left = memory->size - memory->at;
    size_t take = size < left ? size : left;
    if (take > 0) {
        memcpy(buf, memory->data + memory->at, take);
        memory->at += take;
    }
    return (ptrdiff_t)take;
}

pn_exchange_source pn_exchange_memory_source(pn_exchange_memory *memory,
                                             const char *name) {
    return (pn_exchange_source){
        .read = read_memory, .ctx = memory, .name = name};
}
