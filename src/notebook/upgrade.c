// SPDX-License-Identifier: MIT
/* Bringing older files up to date: a copy first, then one transaction for
 * all versions in between. */
#include "notebook_internal.h"

#include <sys/stat.h>

#include "migration_3.h"

enum { COPIES_MAX = 1000 };

static const char *const migration_2[] = {
    "ALTER TABLE visit ADD COLUMN minutes REAL"
    " CHECK (minutes > 0 AND minutes <= 1440);",
    /* of old visits it is not known what else was looked for */
    "ALTER TABLE visit ADD COLUMN looked_for TEXT NOT NULL"
    " DEFAULT 'listed' CHECK (looked_for IN ('listed', 'all'));",
    "ALTER TABLE weather_import ADD COLUMN forecast INTEGER NOT NULL"
    " DEFAULT 0 CHECK (forecast IN (0, 1));",
};

#define LINES(array)                                                           \
    { (array), sizeof(array) / sizeof(array)[0] }

/* migrations[v] leads from version v to v + 1. */
static const nb_sql_lines migrations[PN_NOTEBOOK_VERSION] = {
    [1] = LINES(migration_2),
    [2] = LINES(migration_3),
};

static pn_status set_version(sqlite3 *db, pn_error *err) {
    char set[64];
    pn_str sql = pn_str_in(set, sizeof set);
    pn_str_addf(&sql, "PRAGMA user_version = %d", PN_NOTEBOOK_VERSION);
    return nb_exec(db, set, "upgrading", err);
}

/* The guards are of the last version: they can be made when its tables are
 * there. */
static pn_status step_up(const pn_alloc *alloc, sqlite3 *db, int64_t version,
                         pn_error *err) {
    pn_status status = PN_OK;
    for (; status == PN_OK && version < PN_NOTEBOOK_VERSION; version++) {
        status = nb_run_lines(alloc, db, migrations[version], err);
    }
    if (status == PN_OK) {
        status = nb_schema_rebuild_guards(alloc, db, err);
    }
    return status == PN_OK ? set_version(db, err) : status;
}

/* The version is read again inside the transaction: another program may have
 * upgraded the file meanwhile. */
static pn_status upgrade_all(const pn_alloc *alloc, sqlite3 *db,
                             const char *path, pn_error *err) {
    int64_t version = 0;
    pn_status status = nb_exec(db, "BEGIN IMMEDIATE", "upgrading", err);
    if (status != PN_OK) {
        return status;
    }
    status = nb_read_version(db, path, &version, err);
    if (status == PN_OK && version < PN_NOTEBOOK_VERSION) {
        status = step_up(alloc, db, version, err);
    }
    if (status == PN_OK) {
        status = nb_exec(db, "COMMIT", "upgrading", err);
    }
    if (status != PN_OK && !sqlite3_get_autocommit(db)) {
        nb_exec_quietly(db, "ROLLBACK");
    }
    return status;
}

/* notebook.pannage -> notebook.pannage.version-1, or .version-1.2, ... */
static pn_status keep_copy(sqlite3 *db, const char *path, int64_t version,
                           char *backup, pn_error *err) {
    struct stat info = {0};
    for (int i = 1; i < COPIES_MAX; i++) {
        pn_str name = pn_str_in(backup, PN_NOTEBOOK_PATH_SIZE);
        pn_str_addf(&name, "%s.version-%d", path, (int)version);
        if (i > 1) {
            pn_str_addf(&name, ".%d", i);
        }
        if (name.cut) {
            return pn_fail(err, PN_EIO, "%s: the name is too long", path);
        }
        if (lstat(backup, &info) != 0) {
            return nb_copy_to_new_file(db, backup, err);
        }
    }
    return pn_fail(err, PN_EIO, "%s: there are too many copies beside it",
                   path);
}

static pn_status upgrade(const pn_alloc *alloc, sqlite3 *db, const char *path,
                         char *backup, pn_error *err) {
    int64_t version = 0;
    pn_status status = nb_read_version(db, path, &version, err);
    if (status != PN_OK || version == PN_NOTEBOOK_VERSION) {
        return status;
    }
    status = keep_copy(db, path, version, backup, err);
    return status == PN_OK ? upgrade_all(alloc, db, path, err) : status;
}

pn_status pn_notebook_upgrade(const pn_alloc *alloc, const char *path,
                              char *backup, pn_error *err) {
    sqlite3 *db = NULL;
    backup[0] = '\0';
    pn_status status = nb_open_raw(path, true, &db, err);
    if (status == PN_OK) {
        status = upgrade(alloc, db, path, backup, err);
    }
    sqlite3_close(db);
    return status;
}
