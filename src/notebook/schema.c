// SPDX-License-Identifier: MIT
/* Makes the schema; its text is schema.sql, brought here by embed.sh. */
#include "notebook_internal.h"

#include <string.h>

#include "schema_text.h"

pn_status nb_run_lines(const pn_alloc *alloc, sqlite3 *db, nb_sql_lines lines,
                       pn_error *err) {
    size_t size = 1;
    for (size_t i = 0; i < lines.count; i++) {
        size += strlen(lines.at[i]);
    }
    char *sql = pn_alloc_array(alloc, NULL, size, 1);
    if (sql == NULL) {
        return pn_fail(err, PN_ENOMEM, "out of memory");
    }
    char *end = sql;
    for (size_t i = 0; i < lines.count; i++) {
        size_t len = strlen(lines.at[i]);
        memcpy(end, lines.at[i], len);
        end += len;
    }
    *end = '\0';
    pn_status status = nb_exec(db, sql, "making the tables", err);
    pn_alloc_free(alloc, sql);
    return status;
}

static const nb_sql_lines tables = {schema_tables, sizeof schema_tables /
                                                       sizeof schema_tables[0]};
static const nb_sql_lines guards = {schema_guards, sizeof schema_guards /
                                                       sizeof schema_guards[0]};

pn_status nb_schema_create(const pn_alloc *alloc, sqlite3 *db, pn_error *err) {
    pn_status status = nb_run_lines(alloc, db, tables, err);
    return status == PN_OK ? nb_run_lines(alloc, db, guards, err) : status;
}

/* Drop one object of the old guards; *more says whether there was one. */
static pn_status drop_one(sqlite3 *db, bool *more, pn_error *err) {
    sqlite3_stmt *stmt = NULL;
    char *drop = NULL;
    int rc = sqlite3_prepare_v2(db,
                                "SELECT type, name FROM sqlite_schema WHERE "
                                "type IN ('trigger', 'view') LIMIT 1",
                                -1, &stmt, NULL);
    rc = rc == SQLITE_OK ? sqlite3_step(stmt) : rc;
    *more = rc == SQLITE_ROW;
    if (*more) {
        drop = sqlite3_mprintf("DROP %s \"%w\"", sqlite3_column_text(stmt, 0),
                               sqlite3_column_text(stmt, 1));
        rc = drop == NULL ? SQLITE_NOMEM : SQLITE_OK;
    }
    sqlite3_finalize(stmt);
    if (drop != NULL) {
        rc = sqlite3_exec(db, drop, NULL, NULL, NULL);
        sqlite3_free(drop);
    }
    return rc == SQLITE_OK || rc == SQLITE_DONE
               ? PN_OK
               : nb_fail(db, rc, "rebuilding the guards", err);
}

pn_status nb_schema_rebuild_guards(const pn_alloc *alloc, sqlite3 *db,
                                   pn_error *err) {
    for (bool more = true; more;) {
        pn_status status = drop_one(db, &more, err);
        if (status != PN_OK) {
            return status;
        }
    }
    return nb_run_lines(alloc, db, guards, err);
}
