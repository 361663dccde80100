// SPDX-License-Identifier: MIT
/* Writing facts down, correcting and retracting them: one way for all
 * tables. */
#include "notebook_internal.h"

pn_status nb_check_time(int64_t recorded_unix_s, pn_error *err) {
    if (recorded_unix_s < 0 || recorded_unix_s > NB_UNIX_S_MAX) {
        return pn_fail(err, PN_EDOMAIN,
                       "the time of recording, %lld s since 1970, is not "
                       "within the years 1970 .. 9999",
                       (long long)recorded_unix_s);
    }
    return PN_OK;
}

static pn_status next_id(pn_notebook *nb, pn_fact_table table, int64_t *id,
                         pn_error *err) {
    sqlite3_stmt *stmt = NULL;
    pn_status status = nb_op_statement(nb, table, NB_NEXT_ID, &stmt, err);
    if (status != PN_OK) {
        return status;
    }
    bool row = false;
    status = nb_row(nb, stmt, &row, err);
    *id = row ? sqlite3_column_int64(stmt, 0) : 0;
    nb_reset(stmt);
    return status;
}

static pn_status insert(pn_notebook *nb, nb_version v, const void *item,
                        int64_t *id, pn_error *err) {
    sqlite3_stmt *stmt = NULL;
    int64_t row = 0;
    pn_status status = next_id(nb, v.table, &row, err);
    if (status == PN_OK) {
        status = nb_op_statement(nb, v.table, NB_INSERT, &stmt, err);
    }
    if (status != PN_OK) {
        return status;
    }
    sqlite3_bind_int64(stmt, 1, row);
    sqlite3_bind_int64(stmt, 2, v.origin != 0 ? v.origin : row);
    if (v.corrects != 0) {
        sqlite3_bind_int64(stmt, 3, v.corrects);
    }
    sqlite3_bind_int64(stmt, 4, v.recorded_unix_s);
    nb_writers[v.table].bind(stmt, item);
    *id = row;
    return nb_run(nb, stmt, "saving", err);
}

pn_status nb_put(pn_notebook *nb, nb_version v, const void *item, int64_t *id,
                 pn_error *err) {
    const nb_writer *writer = &nb_writers[v.table];
    pn_status status = nb_check_time(v.recorded_unix_s, err);
    if (status == PN_OK) {
        status = writer->check(item, err);
    }
    if (status == PN_OK) {
        status = writer->fits(nb, item, v.origin, err);
    }
    return status == PN_OK ? insert(nb, v, item, id, err) : status;
}

pn_status nb_add(pn_notebook *nb, nb_version v, const void *item, int64_t *id,
                 pn_error *err) {
    int64_t made = 0;
    pn_status status = nb_begin_change(nb, err);
    if (status != PN_OK) {
        return status;
    }
    status = nb_end_change(nb, nb_put(nb, v, item, &made, err), err);
    if (status == PN_OK && id != NULL) {
        *id = made;
    }
    return status;
}

/* ---- corrections ------------------------------------------------------ */

typedef struct row_state {
    int64_t origin;
    bool retracted;
} row_state;

static pn_status look_up(pn_notebook *nb, pn_fact_table table, int64_t row,
                         row_state *out, pn_error *err) {
    sqlite3_stmt *stmt = NULL;
    pn_status status = nb_op_statement(nb, table, NB_STATE, &stmt, err);
    if (status != PN_OK) {
        return status;
    }
    bool there = false;
    bool superseded = false;
    sqlite3_bind_int64(stmt, 1, row);
    status = nb_row(nb, stmt, &there, err);
    if (there) {
        out->origin = sqlite3_column_int64(stmt, 0);
        out->retracted = sqlite3_column_int(stmt, 1) != 0;
        superseded = sqlite3_column_int(stmt, 2) != 0;
    }
    nb_reset(stmt);
    if (status == PN_OK && !there) {
        return pn_fail(err, PN_ENOTFOUND, "there is no %s in row %lld",
                       nb_tables[table].label, (long long)row);
    }
    if (superseded) {
        return pn_fail(err, PN_EEXISTS,
                       "row %lld of %s %lld has been corrected meanwhile: "
                       "list it again and decide anew",
                       (long long)row, nb_tables[table].label,
                       (long long)out->origin);
    }
    return status;
}

pn_status nb_origin_of(pn_notebook *nb, pn_fact_table table, int64_t row,
                       int64_t *origin, pn_error *err) {
    row_state was = {0};
    pn_status status = look_up(nb, table, row, &was, err);
    *origin = was.origin;
    return status;
}

pn_status nb_correct(pn_notebook *nb, nb_version v, const void *item,
                     pn_error *err) {
    row_state was = {0};
    int64_t made = 0;
    pn_status status = nb_begin_change(nb, err);
    if (status != PN_OK) {
        return status;
    }
    status = look_up(nb, v.table, v.corrects, &was, err);
    if (status == PN_OK) {
        v.origin = was.origin;
        status = nb_put(nb, v, item, &made, err);
    }
    return nb_end_change(nb, status, err);
}

static pn_status insert_retraction(pn_notebook *nb, nb_version v,
                                   pn_error *err) {
    sqlite3_stmt *stmt = NULL;
    int64_t id = 0;
    pn_status status = next_id(nb, v.table, &id, err);
    if (status == PN_OK) {
        status = nb_op_statement(nb, v.table, NB_COPY, &stmt, err);
    }
    if (status != PN_OK) {
        return status;
    }
    sqlite3_bind_int64(stmt, 1, id);
    sqlite3_bind_int64(stmt, 2, v.recorded_unix_s);
    sqlite3_bind_int64(stmt, 3, v.corrects);
    return nb_run(nb, stmt, "retracting", err);
}

static pn_status retract(pn_notebook *nb, nb_version v, pn_error *err) {
    row_state was = {0};
    pn_status status = nb_check_time(v.recorded_unix_s, err);
    if (status == PN_OK) {
        status = look_up(nb, v.table, v.corrects, &was, err);
    }
    if (status == PN_OK && was.retracted) {
        return pn_fail(err, PN_EEXISTS, "%s %lld is already retracted",
                       nb_tables[v.table].label, (long long)was.origin);
    }
    return status == PN_OK ? insert_retraction(nb, v, err) : status;
}

pn_status pn_notebook_retract(pn_notebook *nb, pn_fact_table table, int64_t row,
                              int64_t recorded_unix_s, pn_error *err) {
    nb_version v = {table, 0, row, recorded_unix_s};
    if ((size_t)table >= PN_FACT_TABLE_COUNT) {
        return pn_fail(err, PN_EDOMAIN, "no such table of facts");
    }
    pn_status status = nb_begin_change(nb, err);
    if (status != PN_OK) {
        return status;
    }
    return nb_end_change(nb, retract(nb, v, err), err);
}

/* ---- the doors of each table ------------------------------------------ */

pn_status pn_notebook_add_place(pn_notebook *nb, const pn_place *place,
                                int64_t recorded_unix_s, int64_t *id,
                                pn_error *err) {
    nb_version v = {PN_FACT_PLACE, 0, 0, recorded_unix_s};
    return nb_add(nb, v, place, id, err);
}

pn_status pn_notebook_correct_place(pn_notebook *nb, int64_t row,
                                    const pn_place *place,
                                    int64_t recorded_unix_s, pn_error *err) {
    nb_version v = {PN_FACT_PLACE, 0, row, recorded_unix_s};
    return nb_correct(nb, v, place, err);
}

pn_status pn_notebook_add_patch(pn_notebook *nb, const pn_patch *patch,
                                int64_t recorded_unix_s, int64_t *id,
                                pn_error *err) {
    nb_version v = {PN_FACT_PATCH, 0, 0, recorded_unix_s};
    return nb_add(nb, v, patch, id, err);
}

pn_status pn_notebook_correct_patch(pn_notebook *nb, int64_t row,
                                    const pn_patch *patch,
                                    int64_t recorded_unix_s, pn_error *err) {
    nb_version v = {PN_FACT_PATCH, 0, row, recorded_unix_s};
    return nb_correct(nb, v, patch, err);
}

pn_status pn_notebook_add_patch_kind(pn_notebook *nb, const pn_patch_kind *kind,
                                     int64_t recorded_unix_s, int64_t *id,
                                     pn_error *err) {
    nb_version v = {PN_FACT_PATCH_KIND, 0, 0, recorded_unix_s};
    return nb_add(nb, v, kind, id, err);
}

pn_status pn_notebook_correct_patch_kind(pn_notebook *nb, int64_t row,
                                         const pn_patch_kind *kind,
                                         int64_t recorded_unix_s,
                                         pn_error *err) {
    nb_version v = {PN_FACT_PATCH_KIND, 0, row, recorded_unix_s};
    return nb_correct(nb, v, kind, err);
}

static pn_status put_finds(pn_notebook *nb, int64_t visit, pn_find_list finds,
                           int64_t recorded_unix_s, pn_error *err) {
    nb_version v = {PN_FACT_FIND, 0, 0, recorded_unix_s};
    for (size_t i = 0; i < finds.count; i++) {
        pn_find find = finds.at[i];
        int64_t made = 0;
        find.visit = visit;
        pn_status status = nb_writers[PN_FACT_FIND].check(&find, err);
        if (status == PN_OK) { /* it fits: its visit has just been made */
            status = insert(nb, v, &find, &made, err);
        }
        if (status != PN_OK) {
            return status;
        }
    }
    return PN_OK;
}

pn_status pn_notebook_add_visit(pn_notebook *nb, const pn_visit *visit,
                                pn_find_list finds, int64_t recorded_unix_s,
                                int64_t *id, pn_error *err) {
    nb_version v = {PN_FACT_VISIT, 0, 0, recorded_unix_s};
    int64_t made = 0;
    pn_status status = nb_begin_change(nb, err);
    if (status != PN_OK) {
        return status;
    }
    status = nb_put(nb, v, visit, &made, err);
    if (status == PN_OK) {
        status = put_finds(nb, made, finds, recorded_unix_s, err);
    }
    status = nb_end_change(nb, status, err);
    if (status == PN_OK && id != NULL) {
        *id = made;
    }
    return status;
}

pn_status pn_notebook_correct_visit(pn_notebook *nb, int64_t row,
                                    const pn_visit *visit,
                                    int64_t recorded_unix_s, pn_error *err) {
    nb_version v = {PN_FACT_VISIT, 0, row, recorded_unix_s};
    return nb_correct(nb, v, visit, err);
}

pn_status pn_notebook_add_find(pn_notebook *nb, const pn_find *find,
                               int64_t recorded_unix_s, int64_t *id,
                               pn_error *err) {
    nb_version v = {PN_FACT_FIND, 0, 0, recorded_unix_s};
    return nb_add(nb, v, find, id, err);
}

pn_status pn_notebook_correct_find(pn_notebook *nb, int64_t row,
                                   const pn_find *find, int64_t recorded_unix_s,
                                   pn_error *err) {
    nb_version v = {PN_FACT_FIND, 0, row, recorded_unix_s};
    return nb_correct(nb, v, find, err);
}

pn_status pn_notebook_add_weather_source(pn_notebook *nb,
                                         const pn_weather_source *source,
                                         int64_t recorded_unix_s, int64_t *id,
                                         pn_error *err) {
    nb_version v = {PN_FACT_WEATHER_SOURCE, 0, 0, recorded_unix_s};
    return nb_add(nb, v, source, id, err);
}

pn_status pn_notebook_correct_weather_source(pn_notebook *nb, int64_t row,
                                             const pn_weather_source *source,
                                             int64_t recorded_unix_s,
                                             pn_error *err) {
    nb_version v = {PN_FACT_WEATHER_SOURCE, 0, row, recorded_unix_s};
    return nb_correct(nb, v, source, err);
}
