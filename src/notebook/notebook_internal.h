// SPDX-License-Identifier: MIT
/* What the files of the notebook share: the open file, its prepared
 * statements, and how SQLite's results become ours. */
#ifndef PN_NOTEBOOK_INTERNAL_H
#define PN_NOTEBOOK_INTERNAL_H

#include <sqlite3.h>

#include "pannage/notebook.h"

enum { NB_APPLICATION_ID = 0x706e6767, NB_BUSY_MS = 5000, NB_SQL_SIZE = 4096 };

/** Recorded times: 1970-01-01 .. 9999-12-31. */
#define NB_UNIX_S_MAX INT64_C(253402300799)

/** Statements every fact table has; their text is made from the table's name
 *  and columns, both constants of this program. */
typedef enum nb_op {
    NB_NEXT_ID,    /**< -> id */
    NB_INSERT,     /**< id, origin, corrects, recorded, columns... */
    NB_STATE,      /**< row -> origin, retracted, superseded */
    NB_COPY,       /**< id, recorded, row: retract */
    NB_IS_CURRENT, /**< origin -> 1 */
    NB_OP_COUNT
} nb_op;

/** Statements that belong to no one table. */
typedef enum nb_query {
    NB_PLACE_NAMED, /**< name, other than origin -> origin */
    NB_PATCH_NAMED,
    NB_SOURCE_NAMED,
    NB_KIND_AT_PATCH, /**< patch, kind, other than origin -> origin */
    NB_SOURCE_PLACE,  /**< origin -> latitude, longitude, elevation */
    NB_SOURCE_SPAN,   /**< origin, forecast -> first day, last day */
    NB_NEXT_IMPORT,   /**< -> id */
    NB_INSERT_IMPORT,
    NB_INSERT_DAY,
    NB_SELECT_DAYS, /**< source, forecast, first, last -> day, values... */
    NB_QUERY_COUNT
} nb_query;

struct pn_notebook {
    pn_alloc alloc;
    sqlite3 *db;
    bool writable;
    bool begun; /**< by pn_notebook_begin() */
    sqlite3_stmt *op[PN_FACT_TABLE_COUNT][NB_OP_COUNT];
    sqlite3_stmt *query[NB_QUERY_COUNT];
};

typedef struct nb_table {
    const char *name;
    const char *label; /**< for messages */
    const char *columns;
    int column_count;
} nb_table;

extern const nb_table nb_tables[PN_FACT_TABLE_COUNT];

/** How one table's facts are looked at and written. */
typedef struct nb_writer {
    pn_status (*check)(const void *item, pn_error *err);
    /** own_id is 0 for a new fact */
    pn_status (*fits)(pn_notebook *nb, const void *item, int64_t own_id,
                      pn_error *err);
    void (*bind)(sqlite3_stmt *stmt, const void *item);
} nb_writer;

extern const nb_writer nb_writers[PN_FACT_TABLE_COUNT];

/** Where the columns of a fact begin in NB_INSERT. */
enum { NB_FIRST_COLUMN = 5 };

/* ---- SQLite's results ------------------------------------------------- */

/** Say what failed. doing: "saving a visit", for the message. */
pn_status nb_fail(sqlite3 *db, int rc, const char *doing, pn_error *err);
PN_MUST_CHECK pn_status nb_exec(sqlite3 *db, const char *sql, const char *doing,
                                pn_error *err);
/** As nb_exec() for a failure nobody can do anything about. */
void nb_exec_quietly(sqlite3 *db, const char *sql);
/** First column of the first row, 0 without a row. */
PN_MUST_CHECK pn_status nb_exec_int(sqlite3 *db, const char *sql, int64_t *out,
                                    pn_error *err);

/** The prepared statement, made at first use; reset and without values. */
PN_MUST_CHECK pn_status nb_op_statement(pn_notebook *nb, pn_fact_table table,
                                        nb_op op, sqlite3_stmt **out,
                                        pn_error *err);
PN_MUST_CHECK pn_status nb_query_statement(pn_notebook *nb, nb_query query,
                                           sqlite3_stmt **out, pn_error *err);
/** Run a statement that returns no rows; resets it, forgets its values. */
PN_MUST_CHECK pn_status nb_run(pn_notebook *nb, sqlite3_stmt *stmt,
                               const char *doing, pn_error *err);
/** *row says whether there is a row to read; reset with nb_reset(). */
PN_MUST_CHECK pn_status nb_row(pn_notebook *nb, sqlite3_stmt *stmt, bool *row,
                               pn_error *err);
void nb_reset(sqlite3_stmt *stmt);

void nb_bind_text(sqlite3_stmt *stmt, int at, pn_text text);
/** NaN becomes NULL. */
void nb_bind_real(sqlite3_stmt *stmt, int at, double value);
/** NULL becomes NaN. */
double nb_column_real(sqlite3_stmt *stmt, int at);
/** Clamped: a damaged file may hold anything. */
int32_t nb_column_day(sqlite3_stmt *stmt, int at);

/** PN_ENOTFOUND unless the fact stands. */
PN_MUST_CHECK pn_status nb_must_be_current(pn_notebook *nb, pn_fact_table table,
                                           int64_t id, pn_error *err);
PN_MUST_CHECK pn_status nb_check_import(const pn_weather_import *import,
                                        pn_error *err);
PN_MUST_CHECK pn_status nb_check_time(int64_t recorded_unix_s, pn_error *err);

typedef struct nb_days {
    int32_t first_epoch_day;
    int32_t last_epoch_day;
} nb_days;

/** The days a source has; INT32_MAX .. INT32_MIN when it has none. */
PN_MUST_CHECK pn_status nb_source_days(pn_notebook *nb, int64_t source,
                                       bool forecast, nb_days *out,
                                       pn_error *err);

/* ---- changes ---------------------------------------------------------- */

/** Every change runs between these: a transaction of its own, or a savepoint
 *  within pn_notebook_begin(). nb_end_change() undoes it unless status is
 *  PN_OK, and returns status or the failure of the commit. */
PN_MUST_CHECK pn_status nb_begin_change(pn_notebook *nb, pn_error *err);
PN_MUST_CHECK pn_status nb_end_change(pn_notebook *nb, pn_status status,
                                      pn_error *err);

/* ---- the schema ------------------------------------------------------- */

/** All tables and guards, in an empty file, within a transaction. */
PN_MUST_CHECK pn_status nb_schema_create(const pn_alloc *alloc, sqlite3 *db,
                                         pn_error *err);
/** Drop what holds no data and make it again. */
PN_MUST_CHECK pn_status nb_schema_rebuild_guards(const pn_alloc *alloc,
                                                 sqlite3 *db, pn_error *err);

/* ---- the file --------------------------------------------------------- */

/** Open and make safe; whose file it is has not been looked at yet. */
PN_MUST_CHECK pn_status nb_open_raw(const char *path, bool writable,
                                    sqlite3 **out, pn_error *err);
/** Is it ours, and of which version? */
PN_MUST_CHECK pn_status nb_read_version(sqlite3 *db, const char *path,
                                        int64_t *version, pn_error *err);
PN_MUST_CHECK pn_status nb_copy_to_new_file(sqlite3 *db, const char *path,
                                            pn_error *err);

#endif
