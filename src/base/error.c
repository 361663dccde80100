#include "pannage/base.h"

#include <stdarg.h>
#include <stdio.h>

static const char *const status_names[PN_STATUS_COUNT] = {
    [PN_OK] = "ok",          [PN_EDOMAIN] = "domain",
    [PN_EPARSE] = "parse",   [PN_ENOTFOUND] = "not found",
    [PN_EEXISTS] = "exists", [PN_ENOMEM] = "no memory",
    [PN_EIO] = "i/o",        [PN_ENOCONV] = "no convergence",
};

const char *pn_status_name(pn_status status) {
    if ((size_t)status >= PN_STATUS_COUNT) {
        return "unknown";
    }
    return status_names[status];
}

pn_status pn_fail(pn_error *err, pn_status status, const char *fmt, ...) {
    if (err == NULL) {
        return status;
    }
    err->status = status;
    va_list args;
    va_start(args, fmt);
    vsnprintf(err->message, sizeof err->message, fmt, args);
    va_end(args);
    for (char *c = err->message; *c != '\0'; c++) {
        if ((unsigned char)*c < ' ' || *c == 0x7f) {
            *c = '?';
        }
    }
    return status;
}
