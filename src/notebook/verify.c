// SPDX-License-Identifier: MIT
/* Is everything as it must be? Each check adds lines to the report; only a
 * file that cannot be read at all stops it. */
#include "notebook_internal.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

enum { PROBLEMS_MAX = 100, LINE_SIZE = 400 };

typedef struct checker {
    sqlite3 *db;
    pn_arena *arena;
    const char **lines; /**< PROBLEMS_MAX of them */
    size_t count;
    bool out_of_memory;
} checker;

static void tell(checker *c, const char *fmt, ...) PN_PRINTF(2, 3);

static void tell(checker *c, const char *fmt, ...) {
    if (c->count == PROBLEMS_MAX) {
        return;
    }
    char line[LINE_SIZE];
    va_list args;
    va_start(args, fmt);
    vsnprintf(line, sizeof line, fmt, args);
    va_end(args);
    const char *copy = pn_arena_copy(c->arena, line, strlen(line));
    if (copy == NULL) {
        c->out_of_memory = true;
        return;
    }
    c->lines[c->count++] = copy;
}

static const char *text_or(sqlite3_stmt *stmt, int at, const char *other) {
    const char *text = (const char *)sqlite3_column_text(stmt, at);
    return text != NULL ? text : other;
}

/* Every row of the query is a problem; a query that fails is one too. */
typedef void row_teller(checker *c, sqlite3_stmt *stmt, const char *what);

static void each_problem(checker *c, const char *sql, const char *what,
                         row_teller *say) {
    sqlite3_stmt *stmt = NULL;
    int rc = sqlite3_prepare_v2(c->db, sql, -1, &stmt, NULL);
    rc = rc == SQLITE_OK ? SQLITE_ROW : rc;
    while (rc == SQLITE_ROW && c->count < PROBLEMS_MAX) {
        rc = sqlite3_step(stmt);
        if (rc == SQLITE_ROW) {
            say(c, stmt, what);
        }
    }
    if (rc != SQLITE_ROW && rc != SQLITE_DONE) {
        tell(c, "%s: cannot be checked: %s", what, sqlite3_errmsg(c->db));
    }
    sqlite3_finalize(stmt);
}

/* ---- pages and references --------------------------------------------- */

static void say_integrity(checker *c, sqlite3_stmt *stmt, const char *what) {
    const char *text = text_or(stmt, 0, "?");
    if (strcmp(text, "ok") != 0) {
        tell(c, "%s: %s", what, text);
    }
}

static void say_reference(checker *c, sqlite3_stmt *stmt, const char *what) {
    tell(c, "%s: row %lld of %s points to a row of %s that is not there", what,
         (long long)sqlite3_column_int64(stmt, 1), text_or(stmt, 0, "?"),
         text_or(stmt, 2, "?"));
}

/* ---- the schema ------------------------------------------------------- */

/* Objects by name, with the text that made them; tables by their columns,
 * because an upgraded table has another text than a new one. */
#define OBJECTS_SQL                                                            \
    "SELECT type, name, CASE type WHEN 'table' THEN (SELECT "                  \
    "group_concat(x.name || ' ' || x.type || ' ' || x.\"notnull\" || ' ' || "  \
    "coalesce(x.dflt_value, '-') || ' ' || x.pk) FROM (SELECT * FROM "         \
    "pragma_table_info(s.name) ORDER BY name) AS x) ELSE sql END "             \
    "FROM sqlite_schema AS s WHERE name NOT LIKE 'sqlite_%'"

static bool find_object(sqlite3 *db, sqlite3_stmt *want, const char **found,
                        sqlite3_stmt **stmt) {
    *found = NULL;
    if (sqlite3_prepare_v2(db, OBJECTS_SQL " AND type = ?1 AND name = ?2", -1,
                           stmt, NULL) != SQLITE_OK) {
        return false;
    }
    sqlite3_bind_value(*stmt, 1, sqlite3_column_value(want, 0));
    sqlite3_bind_value(*stmt, 2, sqlite3_column_value(want, 1));
    if (sqlite3_step(*stmt) != SQLITE_ROW) {
        return false;
    }
    *found = text_or(*stmt, 2, "");
    return true;
}

/* Everything of one schema that is not, or not the same, in the other. */
static void compare_objects(checker *c, sqlite3 *from, sqlite3 *to,
                            const char *missing) {
    sqlite3_stmt *want = NULL;
    int rc = sqlite3_prepare_v2(from, OBJECTS_SQL, -1, &want, NULL);
    while (rc == SQLITE_OK && sqlite3_step(want) == SQLITE_ROW) {
        sqlite3_stmt *have = NULL;
        const char *found = NULL;
        if (!find_object(to, want, &found, &have)) {
            tell(c, "schema: %s %s %s", text_or(want, 0, "?"),
                 text_or(want, 1, "?"), missing);
        } else if (strcmp(found, text_or(want, 2, "")) != 0 && to == c->db) {
            tell(c, "schema: %s %s has been changed", text_or(want, 0, "?"),
                 text_or(want, 1, "?"));
        }
        sqlite3_finalize(have);
    }
    if (rc != SQLITE_OK) {
        tell(c, "schema: cannot be checked: %s", sqlite3_errmsg(from));
    }
    sqlite3_finalize(want);
}

static pn_status check_schema(checker *c, const pn_alloc *alloc,
                              pn_error *err) {
    sqlite3 *model = NULL;
    int rc = sqlite3_open_v2(":memory:", &model,
                             SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, NULL);
    pn_status status = rc == SQLITE_OK
                           ? nb_schema_create(alloc, model, err)
                           : nb_fail(model, rc, "checking the schema", err);
    if (status == PN_OK) {
        compare_objects(c, model, c->db, "is missing");
        compare_objects(c, c->db, model, "does not belong here");
    }
    sqlite3_close(model);
    return status;
}

/* ---- facts ------------------------------------------------------------ */

static void say_row(checker *c, sqlite3_stmt *stmt, const char *what) {
    tell(c, "%s: row %lld", what, (long long)sqlite3_column_int64(stmt, 0));
}

static void check_rows(checker *c, const char *table, const char *what,
                       const char *condition) {
    char sql_buf[NB_SQL_SIZE];
    char what_buf[LINE_SIZE];
    pn_str sql = pn_str_in(sql_buf, sizeof sql_buf);
    pn_str label = pn_str_in(what_buf, sizeof what_buf);
    pn_str_addf(&sql, "SELECT f.id FROM %s AS f WHERE %s", table, condition);
    pn_str_addf(&label, "%s: %s", table, what);
    each_problem(c, sql_buf, what_buf, say_row);
}

/* One line of versions for each fact: it begins with itself, each version
 * corrects the one before, and none is corrected twice. */
static void check_chains(checker *c, const char *table) {
    char condition[NB_SQL_SIZE];
    pn_str sql = pn_str_in(condition, sizeof condition);
    pn_str_addf(&sql,
                "corrects IS NOT NULL AND NOT EXISTS (SELECT 1 FROM %s AS p "
                "WHERE p.id = f.corrects AND p.origin = f.origin "
                "AND p.id < f.id)",
                table);
    check_rows(c, table, "corrects no version of the same fact", condition);
    check_rows(c, table, "is a first version but not its own origin",
               "corrects IS NULL AND origin <> id");
}

/* Looked up in the table itself, not through the index that forbids it. */
static void check_single(checker *c, const char *table, const char *column,
                         const char *what) {
    char condition[NB_SQL_SIZE];
    pn_str sql = pn_str_in(condition, sizeof condition);
    pn_str_addf(&sql,
                "%s IN (SELECT +%s FROM %s WHERE +%s IS NOT NULL GROUP BY 1 "
                "HAVING count(*) > 1)",
                column, column, table, column);
    check_rows(c, table, what, condition);
}

/* A column that points to facts points to their first versions. */
typedef struct reference {
    const char *table, *column, *to;
} reference;

static void check_parent(checker *c, const reference *r) {
    char condition[NB_SQL_SIZE];
    pn_str sql = pn_str_in(condition, sizeof condition);
    pn_str_addf(&sql,
                "f.%s IS NOT NULL AND NOT EXISTS (SELECT 1 FROM %s AS p "
                "WHERE p.id = f.%s AND p.origin = p.id)",
                r->column, r->to, r->column);
    check_rows(c, r->table, "hangs on nothing", condition);
}

static void check_facts(checker *c) {
    static const reference references[] = {
        {"patch", "place", "place"},
        {"patch_kind", "patch", "patch"},
        {"visit", "patch", "patch"},
        {"find", "visit", "visit"},
        {"check_session", "find", "find"},
        {"photo", "find", "find"},
        {"photo", "check_session", "check_session"},
        {"kept", "find", "find"},
        {"kept", "source", "kept"},
        {"review", "kept", "kept"},
    };
    for (size_t t = 0; t < PN_FACT_TABLE_COUNT; t++) {
        const char *name = nb_tables[t].name;
        check_chains(c, name);
        check_single(c, name, "corrects",
                     "corrects a row that another corrects too");
        check_single(c, name, "uid", "has the uid of another row");
    }
    for (size_t i = 0; i < sizeof references / sizeof *references; i++) {
        check_parent(c, &references[i]);
    }
    check_rows(c, "kept", "leads to no find",
               "NOT EXISTS (SELECT 1 FROM kept_root AS r "
               "WHERE r.kept = f.origin)");
}

/* ---- weather ---------------------------------------------------------- */

static void say_impossible(checker *c, sqlite3_stmt *stmt, const char *what) {
    for (int v = 0; v < PN_SKY_VAR_COUNT; v++) {
        double value = nb_column_real(stmt, 2 + v);
        if (isnan(value) ||
            pn_sky_var_plausible((pn_sky_var)v, value, NULL, NULL)) {
            continue;
        }
        tell(c, "%s: import %lld, day %lld: %s of %g is impossible", what,
             (long long)sqlite3_column_int64(stmt, 0),
             (long long)sqlite3_column_int64(stmt, 1),
             pn_sky_var_name((pn_sky_var)v), value);
    }
}

/* ---- photos ----------------------------------------------------------- */

/* The name of the bytes is their digest: a changed byte shows. */
static void say_changed(checker *c, sqlite3_stmt *stmt, const char *what) {
    unsigned char sha256[PN_SHA256_BYTES];
    char hex[PN_SHA256_HEX_SIZE] = "?";
    const void *name = sqlite3_column_blob(stmt, 0);
    const void *bytes = sqlite3_column_blob(stmt, 1);
    bool named = sqlite3_column_bytes(stmt, 0) == PN_SHA256_BYTES;
    pn_sha256 digest = pn_sha256_begin();
    pn_sha256_add(&digest, bytes, (size_t)sqlite3_column_bytes(stmt, 1));
    pn_sha256_end(&digest, sha256);
    if (named && memcmp(name, sha256, sizeof sha256) == 0) {
        return;
    }
    tell(c, "%s: the bytes of %.16s have changed", what,
         named ? pn_sha256_hex(name, hex) : hex);
}

/* ---- all of it -------------------------------------------------------- */

static pn_status check_all(checker *c, const pn_alloc *alloc, pn_error *err) {
    each_problem(c, "PRAGMA integrity_check(100)", "file", say_integrity);
    each_problem(c, "PRAGMA foreign_key_check", "reference", say_reference);
    pn_status status = check_schema(c, alloc, err);
    if (status != PN_OK) {
        return status;
    }
    check_facts(c);
    each_problem(c,
                 "SELECT import, day, tmin_degc, tmax_degc, rain_mm, "
                 "humidity_frac, wind_m_s, solar_mj_m2, sunshine_h "
                 "FROM weather_day",
                 "weather", say_impossible);
    each_problem(c, "SELECT sha256, bytes FROM photo_bytes", "photo",
                 say_changed);
    return PN_OK;
}

pn_status pn_notebook_verify(pn_notebook *nb, pn_arena *arena,
                             pn_notebook_report *out, pn_error *err) {
    checker c = {.db = nb->db, .arena = arena};
    c.lines = pn_arena_array(arena, PROBLEMS_MAX, sizeof *c.lines);
    if (c.lines == NULL) {
        return pn_fail(err, PN_ENOMEM, "out of memory");
    }
    /* one view of the file for all the checks; if even this fails, the
     * checks below say why */
    nb_exec_quietly(nb->db, "SAVEPOINT checking");
    pn_status status = check_all(&c, &nb->alloc, err);
    nb_exec_quietly(nb->db, "RELEASE checking");
    if (status == PN_OK && c.out_of_memory) {
        return pn_fail(err, PN_ENOMEM, "out of memory");
    }
    if (status == PN_OK) {
        *out = (pn_notebook_report){c.lines, c.count};
    }
    return status;
}
