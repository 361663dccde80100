// SPDX-License-Identifier: MIT
/* What all lists share: columns, filter, and rows into the arena. */
#include "notebook_internal.h"

#include <string.h>

enum { FIRST_CAPACITY = 64 };

const pn_notebook_filter nb_everything = PN_NOTEBOOK_FILTER_INIT;

bool nb_column_text(sqlite3_stmt *stmt, int at, pn_arena *arena, pn_text *out) {
    const char *text = (const char *)sqlite3_column_text(stmt, at);
    size_t len = text != NULL ? (size_t)sqlite3_column_bytes(stmt, at) : 0;
    out->at = pn_arena_copy(arena, text, len);
    out->len = len;
    return out->at != NULL;
}

pn_fact nb_column_fact(sqlite3_stmt *stmt) {
    return (pn_fact){
        .id = sqlite3_column_int64(stmt, 0),
        .row = sqlite3_column_int64(stmt, 1),
        .corrects = sqlite3_column_int64(stmt, 2),
        .recorded_unix_s = sqlite3_column_int64(stmt, 3),
        .retracted = sqlite3_column_int(stmt, 4) != 0,
        .superseded = sqlite3_column_int(stmt, 5) != 0,
    };
}

/* ---- running a query -------------------------------------------------- */

static void bind_named_int(sqlite3_stmt *stmt, const char *name,
                           int64_t value) {
    int at = sqlite3_bind_parameter_index(stmt, name);
    if (at != 0) {
        sqlite3_bind_int64(stmt, at, value);
    }
}

static void bind_filter(sqlite3_stmt *stmt, const pn_notebook_filter *filter) {
    bind_named_int(stmt, ":all", filter->every_version ? 1 : 0);
    bind_named_int(stmt, ":fact", filter->fact);
    bind_named_int(stmt, ":place", filter->place);
    bind_named_int(stmt, ":patch", filter->patch);
    bind_named_int(stmt, ":visit", filter->visit);
    bind_named_int(stmt, ":find", filter->find);
    bind_named_int(stmt, ":check", filter->check);
    bind_named_int(stmt, ":kept", filter->kept);
    bind_named_int(stmt, ":first", filter->first_epoch_day);
    bind_named_int(stmt, ":last", filter->last_epoch_day);
    int kind = sqlite3_bind_parameter_index(stmt, ":kind");
    if (kind != 0) {
        nb_bind_text(stmt, kind, filter->kind);
    }
}

static bool add_item(sqlite3_stmt *stmt, const nb_list_plan *plan,
                     pn_arena *arena, nb_list_items *items) {
    if (items->count == items->capacity) {
        size_t grown =
            items->capacity == 0 ? FIRST_CAPACITY : items->capacity * 2;
        char *bigger = pn_arena_array(arena, grown, plan->item_size);
        if (bigger == NULL) {
            return false;
        }
        if (items->count > 0) {
            memcpy(bigger, items->at, items->count * plan->item_size);
        }
        items->at = bigger;
        items->capacity = grown;
    }
    void *item = items->at + items->count * plan->item_size;
    items->count++;
    return plan->read(stmt, arena, item);
}

static pn_status collect(pn_notebook *nb, sqlite3_stmt *stmt,
                         const nb_list_plan *plan, pn_arena *arena,
                         nb_list_items *items) {
    for (;;) {
        int rc = sqlite3_step(stmt);
        if (rc == SQLITE_DONE) {
            return PN_OK;
        }
        if (rc != SQLITE_ROW) {
            return nb_fail(nb->db, rc, "reading the notebook", NULL);
        }
        if (!add_item(stmt, plan, arena, items)) {
            return PN_ENOMEM;
        }
    }
}

pn_status nb_run_list(pn_notebook *nb, nb_list_query query, pn_arena *arena,
                      nb_list_items *items, pn_error *err) {
    sqlite3_stmt *stmt = NULL;
    int rc = sqlite3_prepare_v2(nb->db, query.sql, -1, &stmt, NULL);
    if (rc != SQLITE_OK) {
        return nb_fail(nb->db, rc, "reading the notebook", err);
    }
    bind_filter(stmt, query.filter);
    pn_status status = collect(nb, stmt, query.plan, arena, items);
    if (status == PN_ENOMEM) {
        pn_fail(err, status, "out of memory");
    } else if (status != PN_OK) {
        nb_fail(nb->db, sqlite3_errcode(nb->db), "reading the notebook", err);
    }
    sqlite3_finalize(stmt);
    return status;
}

/* The piece when it is wanted. */
void nb_add_if(pn_str *sql, bool wanted, const char *piece) {
    if (wanted) {
        pn_str_addf(sql, "%s", piece);
    }
}

bool nb_has_days(const pn_notebook_filter *filter) {
    return filter->first_epoch_day != INT32_MIN ||
           filter->last_epoch_day != INT32_MAX;
}
