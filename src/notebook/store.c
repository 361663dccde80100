// SPDX-License-Identifier: MIT
/* Statements, transactions, and what SQLite's results mean to a person. */
#include "notebook_internal.h"

#include <math.h>

const nb_table nb_tables[PN_FACT_TABLE_COUNT] = {
    [PN_FACT_PLACE] = {"place", "place",
                       "name, latitude_deg, longitude_deg, elevation_m, note",
                       5},
    [PN_FACT_PATCH] = {"patch", "patch",
                       "place, name, latitude_deg, longitude_deg, "
                       "elevation_m, area_m2, texture, cover, hosts, access, "
                       "note",
                       11},
    [PN_FACT_PATCH_KIND] = {"patch_kind", "kind of a patch",
                            "patch, kind, productivity, note", 4},
    [PN_FACT_VISIT] = {"visit", "visit",
                       "patch, day, minutes, looked_for, observer, note", 6},
    [PN_FACT_FIND] = {"find", "find",
                      "visit, kind, count, fresh_g, stage, part, note", 7},
    [PN_FACT_WEATHER_SOURCE] = {"weather_source", "weather source",
                                "name, latitude_deg, longitude_deg, "
                                "elevation_m, licence, note",
                                6},
    [PN_FACT_CHECK_SESSION] = {"check_session", "kept session of the check",
                               "find, day, kind, tried, month, habitat, host, "
                               "expert, answers, open_count, not_ruled_out, "
                               "guide, note",
                               13},
    [PN_FACT_PHOTO] = {"photo", "photo",
                       "find, check_session, file_name, media_type, sha256, "
                       "note",
                       6},
    [PN_FACT_KEPT] = {"kept", "jar, meal or other thing kept",
                      "sort, find, source, find_row, name, day, eaters, note",
                      8},
    [PN_FACT_REVIEW] = {"review", "review",
                        "kept, find_row, find_stood, outcome, note", 5},
};

#define WEATHER_COLUMNS                                                        \
    "tmin_degc, tmax_degc, rain_mm, humidity_frac, wind_m_s, solar_mj_m2, "    \
    "sunshine_h, tmin_quality, tmax_quality, rain_quality, "                   \
    "humidity_quality, wind_quality, solar_quality, sunshine_quality"

static const char *const query_texts[NB_QUERY_COUNT] = {
    [NB_PLACE_NAMED] = "SELECT origin FROM place_now"
                       " WHERE name = ?1 AND origin <> ?2",
    [NB_PATCH_NAMED] = "SELECT origin FROM patch_now"
                       " WHERE name = ?1 AND origin <> ?2",
    [NB_SOURCE_NAMED] = "SELECT origin FROM weather_source_now"
                        " WHERE name = ?1 AND origin <> ?2",
    [NB_KIND_AT_PATCH] = "SELECT origin FROM patch_kind_now"
                         " WHERE kind = ?1 AND origin <> ?2 AND patch = ?3",
    [NB_SOURCE_PLACE] = "SELECT latitude_deg, longitude_deg, elevation_m"
                        " FROM weather_source_now WHERE origin = ?1",
    [NB_SOURCE_SPAN] =
        "SELECT min((SELECT min(day) FROM weather_day WHERE import = i.id)),"
        " max((SELECT max(day) FROM weather_day WHERE import = i.id))"
        " FROM weather_import AS i WHERE source = ?1 AND forecast = ?2",
    [NB_NEXT_IMPORT] = "SELECT coalesce(max(id), 0) + 1 FROM weather_import",
    [NB_INSERT_IMPORT] =
        "INSERT INTO weather_import (id, source, recorded_unix_s, file_names,"
        " report, forecast) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
    [NB_INSERT_DAY] = "INSERT INTO weather_day (import, day, " WEATHER_COLUMNS
                      ") VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10,"
                      " ?11, ?12, ?13, ?14, ?15, ?16)",
    [NB_SELECT_DAYS] =
        "SELECT day, " WEATHER_COLUMNS
        " FROM weather_import AS i CROSS JOIN weather_day AS d"
        " ON d.import = i.id WHERE i.source = ?1 AND i.forecast = ?2"
        " AND d.day BETWEEN ?3 AND ?4 ORDER BY i.id",
    [NB_FIND_STATE] =
        "SELECT l.id, l.retracted = 0 AND EXISTS (SELECT 1 FROM visit_now AS v"
        " WHERE v.origin = l.visit) FROM find AS l WHERE l.id = coalesce("
        "(SELECT max(id) FROM find WHERE origin = ?1 AND corrects IS NOT NULL),"
        " (SELECT id FROM find WHERE id = ?1 AND origin = ?1))",
    [NB_KEPT_STATE] = "SELECT last_row, stands FROM kept_basis WHERE kept = ?1",
    [NB_KEPT_ROW] = "SELECT coalesce(find, 0), coalesce(source, 0), find_row"
                    " FROM kept WHERE id = ?1",
    [NB_KEPT_RELIED] =
        "SELECT coalesce((SELECT max(w.find_row) FROM review_now AS w"
        " JOIN find AS j ON j.id = w.find_row WHERE w.kept = b.kept AND"
        " w.outcome = 'still_right' AND j.origin = b.find), b.find_row)"
        " FROM kept_basis AS b WHERE b.kept = ?1",
    [NB_KEPT_REACHES] =
        "WITH RECURSIVE up (at) AS (VALUES (?1) UNION SELECT k.source FROM up"
        " JOIN kept_last AS k ON k.origin = up.at WHERE k.source IS NOT NULL)"
        " SELECT 1 FROM up WHERE at = ?2",
    [NB_REVIEW_ROW] = "SELECT kept, find_row, find_stood FROM review"
                      " WHERE id = ?1",
    [NB_HAS_BYTES] = "SELECT 1 FROM photo_bytes WHERE sha256 = ?1",
    [NB_INSERT_BYTES] =
        "INSERT INTO photo_bytes (sha256, bytes) VALUES (?1, ?2)",
    [NB_PHOTO_BYTES] = "SELECT b.sha256, b.bytes FROM photo_now AS p"
                       " JOIN photo_bytes AS b ON b.sha256 = p.sha256"
                       " WHERE p.origin = ?1",
    [NB_PHOTO_ROW] = "SELECT p.sha256, substr(b.bytes, 1, 12) FROM photo AS p"
                     " JOIN photo_bytes AS b ON b.sha256 = p.sha256"
                     " WHERE p.id = ?1",
};

/* ---- results ---------------------------------------------------------- */

pn_status nb_fail(sqlite3 *db, int rc, const char *doing, pn_error *err) {
    const char *why = db != NULL ? sqlite3_errmsg(db) : sqlite3_errstr(rc);
    switch (rc & 0xff) {
    case SQLITE_NOMEM:
        return pn_fail(err, PN_ENOMEM, "out of memory");
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        return pn_fail(err, PN_EIO,
                       "%s: another program is writing to the notebook; try "
                       "again when it has finished",
                       doing);
    case SQLITE_FULL:
        return pn_fail(err, PN_EIO, "%s: the disk is full; nothing was changed",
                       doing);
    case SQLITE_READONLY:
        return pn_fail(err, PN_EIO,
                       "%s: the notebook or its folder may not be written; "
                       "check the permissions",
                       doing);
    case SQLITE_CANTOPEN:
        return pn_fail(err, PN_EIO,
                       "%s: the notebook, or the log beside it, cannot be "
                       "opened; check the permissions of file and folder",
                       doing);
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
        return pn_fail(err, PN_EPARSE,
                       "%s: the notebook file is damaged (%s); keep it, and "
                       "work on from the latest backup",
                       doing, why);
    case SQLITE_CONSTRAINT:
        return pn_fail(err, PN_EDOMAIN, "%s: refused by the notebook: %s",
                       doing, why);
    default:
        return pn_fail(err, PN_EIO, "%s: %s", doing, why);
    }
}

pn_status nb_exec(sqlite3 *db, const char *sql, const char *doing,
                  pn_error *err) {
    int rc = sqlite3_exec(db, sql, NULL, NULL, NULL);
    return rc == SQLITE_OK ? PN_OK : nb_fail(db, rc, doing, err);
}

void nb_exec_quietly(sqlite3 *db, const char *sql) {
    (void)sqlite3_exec(db, sql, NULL, NULL, NULL);
}

pn_status nb_exec_int(sqlite3 *db, const char *sql, int64_t *out,
                      pn_error *err) {
    sqlite3_stmt *stmt = NULL;
    int rc = sqlite3_prepare_v2(db, sql, -1, &stmt, NULL);
    if (rc == SQLITE_OK) {
        rc = sqlite3_step(stmt);
    }
    pn_status status = PN_OK;
    *out = 0;
    if (rc == SQLITE_ROW) {
        *out = sqlite3_column_int64(stmt, 0);
    } else if (rc != SQLITE_DONE) {
        status = nb_fail(db, rc, "reading the notebook", err);
    }
    sqlite3_finalize(stmt);
    return status;
}

/* ---- statements ------------------------------------------------------- */

static void op_text(const nb_table *table, nb_op op, pn_str *sql) {
    const char *name = table->name;
    switch (op) {
    case NB_NEXT_ID:
        pn_str_addf(sql, "SELECT coalesce(max(id), 0) + 1 FROM %s", name);
        break;
    case NB_INSERT:
        pn_str_addf(sql,
                    "INSERT INTO %s (id, origin, corrects, recorded_unix_s, "
                    "%s) VALUES (?, ?, ?, ?",
                    name, table->columns);
        for (int i = 0; i < table->column_count; i++) {
            pn_str_addf(sql, ", ?");
        }
        pn_str_addf(sql, ")");
        break;
    case NB_STATE:
        pn_str_addf(sql,
                    "SELECT origin, retracted, EXISTS (SELECT 1 FROM %s AS n "
                    "WHERE n.corrects = f.id) FROM %s AS f WHERE id = ?1",
                    name, name);
        break;
    case NB_COPY:
        pn_str_addf(sql,
                    "INSERT INTO %s (id, origin, corrects, retracted, "
                    "recorded_unix_s, %s) SELECT ?1, origin, id, 1, ?2, %s "
                    "FROM %s WHERE id = ?3",
                    name, table->columns, table->columns, name);
        break;
    case NB_IS_CURRENT:
        pn_str_addf(sql, "SELECT 1 FROM %s_now WHERE origin = ?1", name);
        break;
    case NB_OP_COUNT:
        break;
    }
}

static pn_status prepare_once(pn_notebook *nb, const char *sql,
                              sqlite3_stmt **slot, pn_error *err) {
    int rc = sqlite3_prepare_v3(nb->db, sql, -1, SQLITE_PREPARE_PERSISTENT,
                                slot, NULL);
    return rc == SQLITE_OK ? PN_OK
                           : nb_fail(nb->db, rc, "reading the notebook", err);
}

pn_status nb_op_statement(pn_notebook *nb, pn_fact_table table, nb_op op,
                          sqlite3_stmt **out, pn_error *err) {
    sqlite3_stmt **slot = &nb->op[table][op];
    pn_status status = PN_OK;
    if (*slot == NULL) {
        char buf[NB_SQL_SIZE];
        pn_str sql = pn_str_in(buf, sizeof buf);
        op_text(&nb_tables[table], op, &sql);
        status = prepare_once(nb, buf, slot, err);
    }
    *out = *slot;
    return status;
}

pn_status nb_query_statement(pn_notebook *nb, nb_query query,
                             sqlite3_stmt **out, pn_error *err) {
    sqlite3_stmt **slot = &nb->query[query];
    pn_status status = PN_OK;
    if (*slot == NULL) {
        status = prepare_once(nb, query_texts[query], slot, err);
    }
    *out = *slot;
    return status;
}

void nb_reset(sqlite3_stmt *stmt) {
    (void)sqlite3_reset(stmt);
    (void)sqlite3_clear_bindings(stmt);
}

pn_status nb_run(pn_notebook *nb, sqlite3_stmt *stmt, const char *doing,
                 pn_error *err) {
    int rc = sqlite3_step(stmt);
    pn_status status =
        rc == SQLITE_DONE ? PN_OK : nb_fail(nb->db, rc, doing, err);
    nb_reset(stmt);
    return status;
}

pn_status nb_row(pn_notebook *nb, sqlite3_stmt *stmt, bool *row,
                 pn_error *err) {
    int rc = sqlite3_step(stmt);
    *row = rc == SQLITE_ROW;
    if (rc == SQLITE_ROW || rc == SQLITE_DONE) {
        return PN_OK;
    }
    return nb_fail(nb->db, rc, "reading the notebook", err);
}

/* A failed bind leaves NULL, which the NOT NULL of the columns refuses; the
 * only causes are a text beyond 1 GB and no memory. */
void nb_bind_text(sqlite3_stmt *stmt, int at, pn_text text) {
    const char *start = text.at != NULL ? text.at : "";
    (void)sqlite3_bind_text64(stmt, at, start, text.len, SQLITE_STATIC,
                              SQLITE_UTF8);
}

void nb_bind_real(sqlite3_stmt *stmt, int at, double value) {
    if (isnan(value)) {
        (void)sqlite3_bind_null(stmt, at);
    } else {
        (void)sqlite3_bind_double(stmt, at, value);
    }
}

double nb_column_real(sqlite3_stmt *stmt, int at) {
    if (sqlite3_column_type(stmt, at) == SQLITE_NULL) {
        return NAN;
    }
    return sqlite3_column_double(stmt, at);
}

int32_t nb_column_day(sqlite3_stmt *stmt, int at) {
    int64_t day = sqlite3_column_int64(stmt, at);
    if (day < INT32_MIN) {
        return INT32_MIN;
    }
    return day > INT32_MAX ? INT32_MAX : (int32_t)day;
}

/* ---- transactions ----------------------------------------------------- */

static pn_status may_write(const pn_notebook *nb, pn_error *err) {
    if (nb->writable) {
        return PN_OK;
    }
    return pn_fail(err, PN_EIO, "the notebook is open for reading only");
}

pn_status nb_begin_change(pn_notebook *nb, pn_error *err) {
    pn_status status = may_write(nb, err);
    if (status != PN_OK) {
        return status;
    }
    if (nb->begun && sqlite3_get_autocommit(nb->db)) {
        return pn_fail(err, PN_EIO,
                       "an earlier failure has undone the whole change; "
                       "nothing was saved");
    }
    return nb_exec(nb->db, nb->begun ? "SAVEPOINT change" : "BEGIN IMMEDIATE",
                   "beginning a change", err);
}

/* Some failures (disk full) make SQLite undo everything by itself. */
static void undo(pn_notebook *nb) {
    if (sqlite3_get_autocommit(nb->db)) {
        return;
    }
    nb_exec_quietly(nb->db, nb->begun ? "ROLLBACK TO change; RELEASE change"
                                      : "ROLLBACK");
}

pn_status nb_end_change(pn_notebook *nb, pn_status status, pn_error *err) {
    if (status == PN_OK) {
        status = nb_exec(nb->db, nb->begun ? "RELEASE change" : "COMMIT",
                         "saving", err);
    }
    if (status != PN_OK) {
        undo(nb);
    }
    return status;
}

pn_status pn_notebook_begin(pn_notebook *nb, pn_error *err) {
    if (nb->begun) {
        return pn_fail(err, PN_EEXISTS, "a change has already been begun");
    }
    pn_status status = may_write(nb, err);
    if (status == PN_OK) {
        status = nb_exec(nb->db, "BEGIN IMMEDIATE", "beginning a change", err);
    }
    nb->begun = status == PN_OK;
    return status;
}

pn_status pn_notebook_commit(pn_notebook *nb, pn_error *err) {
    if (!nb->begun) {
        return pn_fail(err, PN_ENOTFOUND, "no change has been begun");
    }
    nb->begun = false;
    if (sqlite3_get_autocommit(nb->db)) {
        return pn_fail(err, PN_ENOTFOUND,
                       "an earlier failure has undone the whole change; "
                       "nothing was saved");
    }
    return nb_end_change(nb, PN_OK, err);
}

void pn_notebook_rollback(pn_notebook *nb) {
    nb->begun = false;
    undo(nb);
}
