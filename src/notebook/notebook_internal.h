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
    NB_SELECT_DAYS,  /**< source, forecast, first, last -> day, values... */
    NB_FIND_STATE,   /**< origin -> last row, stands */
    NB_KEPT_STATE,   /**< origin -> last row of its find, stands */
    NB_KEPT_ROW,     /**< row -> find, source, find_row */
    NB_KEPT_RELIED,  /**< origin -> version of the find to rely on */
    NB_KEPT_REACHES, /**< source, origin -> 1: the source came from it */
    NB_REVIEW_ROW,   /**< row -> kept, find_row, find_stood */
    NB_HAS_BYTES,    /**< sha256 -> 1 */
    NB_INSERT_BYTES, /**< sha256, bytes */
    NB_PHOTO_BYTES,  /**< photo -> sha256, bytes */
    NB_PHOTO_ROW,    /**< row -> sha256, first bytes */
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

/* ---- values ----------------------------------------------------------- */

typedef struct nb_text_rule {
    const char *what; /**< "name of a place" */
    size_t at_least;
    size_t at_most;
} nb_text_rule;

typedef struct nb_checked_text {
    pn_text text;
    nb_text_rule rule;
} nb_checked_text;

typedef struct nb_number_rule {
    const char *what; /**< "latitude of a place" */
    double low;
    double high;
    bool may_be_unknown;
} nb_number_rule;

/** The smallest positive number stands for "greater than 0". */
#define NB_ABOVE_ZERO 1e-300

/** Long enough, not too long, UTF-8 without a zero byte. */
PN_MUST_CHECK pn_status nb_check_texts(const nb_checked_text *texts,
                                       size_t count, pn_error *err);
PN_MUST_CHECK pn_status nb_check_number(double value, nb_number_rule rule,
                                        pn_error *err);

/* ---- lists ------------------------------------------------------------ */

/* The columns every list begins with; f is the fact's table or view. Only a
 * list of every version (:all) can hold a row that is superseded. */
#define NB_FACT_COLUMNS(table)                                                 \
    "f.origin, f.id, coalesce(f.corrects, 0), f.recorded_unix_s, "             \
    "f.retracted, :all AND EXISTS (SELECT 1 FROM " table                       \
    " AS n WHERE n.corrects = f.id)"

enum { NB_COLUMN_OWN = 6 }; /**< where a table's own columns begin */

typedef struct nb_list_plan {
    const char *select; /**< columns */
    size_t item_size;
    /** false: out of memory */
    bool (*read)(sqlite3_stmt *stmt, pn_arena *arena, void *item);
} nb_list_plan;

typedef struct nb_list_items {
    char *at;
    size_t count;
    size_t capacity;
} nb_list_items;

typedef struct nb_list_query {
    const pn_notebook_filter *filter;
    const nb_list_plan *plan;
    const char *sql;
} nb_list_query;

extern const pn_notebook_filter nb_everything;

/** false: out of memory */
bool nb_column_text(sqlite3_stmt *stmt, int at, pn_arena *arena, pn_text *out);
pn_fact nb_column_fact(sqlite3_stmt *stmt);
PN_MUST_CHECK pn_status nb_run_list(pn_notebook *nb, nb_list_query query,
                                    pn_arena *arena, nb_list_items *items,
                                    pn_error *err);
/** The piece when it is wanted. */
void nb_add_if(pn_str *sql, bool wanted, const char *piece);
bool nb_has_days(const pn_notebook_filter *filter);

/* ---- versions of facts ------------------------------------------------ */

/** One row to be: which fact, which version. */
typedef struct nb_version {
    pn_fact_table table;
    int64_t origin;   /**< 0: a new fact */
    int64_t corrects; /**< 0: its first version */
    int64_t recorded_unix_s;
} nb_version;

/** Check and write one row, within a change. */
PN_MUST_CHECK pn_status nb_put(pn_notebook *nb, nb_version version,
                               const void *item, int64_t *id, pn_error *err);
/** The row must be there and the last of its line. */
PN_MUST_CHECK pn_status nb_origin_of(pn_notebook *nb, pn_fact_table table,
                                     int64_t row, int64_t *origin,
                                     pn_error *err);
/** A new fact, or a correction, as a change of its own. */
PN_MUST_CHECK pn_status nb_add(pn_notebook *nb, nb_version version,
                               const void *item, int64_t *id, pn_error *err);
PN_MUST_CHECK pn_status nb_correct(pn_notebook *nb, nb_version version,
                                   const void *item, pn_error *err);

/* ---- sessions, photos, what was kept (kept_tables.c) ------------------- */

/** A photo with its digest. */
typedef struct nb_photo {
    const pn_photo *photo;
    const char *media_type;
    unsigned char sha256[PN_SHA256_BYTES];
} nb_photo;

/** Something kept, with the version of the find that it rests on. */
typedef struct nb_kept {
    const pn_kept *kept;
    int64_t find_row;
} nb_kept;

typedef struct nb_review {
    const pn_review *review;
    int64_t find_row;
    bool find_stood;
} nb_review;

#define NB_WRITER(name)                                                        \
    pn_status nb_check_##name##_values(const void *item, pn_error *err);       \
    pn_status nb_##name##_fits(pn_notebook *nb, const void *item,              \
                               int64_t own_id, pn_error *err);                 \
    void nb_bind_##name(sqlite3_stmt *stmt, const void *item)
NB_WRITER(session);
NB_WRITER(photo);
NB_WRITER(kept);
NB_WRITER(review);

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
typedef struct nb_sql_lines {
    const char *const *at;
    size_t count;
} nb_sql_lines;

PN_MUST_CHECK pn_status nb_run_lines(const pn_alloc *alloc, sqlite3 *db,
                                     nb_sql_lines lines, pn_error *err);
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
