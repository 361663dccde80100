// SPDX-License-Identifier: MIT
/* Bringing older files up to date: a copy first, then one transaction for
 * each version. */
#include "notebook_internal.h"

#include <sys/stat.h>

enum { COPIES_MAX = 1000 };

/* migrations[v] leads from version v to v + 1; the guards are rebuilt after
 * each. */
static const char *const migrations[PN_NOTEBOOK_VERSION] = {
    [1] = "ALTER TABLE visit ADD COLUMN minutes REAL"
          " CHECK (minutes > 0 AND minutes <= 1440);"
          /* of old visits it is not known what else was looked for */
          "ALTER TABLE visit ADD COLUMN looked_for TEXT NOT NULL"
          " DEFAULT 'listed' CHECK (looked_for IN ('listed', 'all'));"
          "ALTER TABLE weather_import ADD COLUMN forecast INTEGER NOT NULL"
          " DEFAULT 0 CHECK (forecast IN (0, 1));",
};

static pn_status step_up(const pn_alloc *alloc, sqlite3 *db, int64_t version,
                         pn_error *err) {
    pn_status status = nb_exec(db, migrations[version], "upgrading", err);
    if (status == PN_OK) {
        status = nb_schema_rebuild_guards(alloc, db, err);
    }
    if (status == PN_OK) {
        char set[64];
        pn_str sql = pn_str_in(set, sizeof set);
        pn_str_addf(&sql, "PRAGMA user_version = %d", (int)version + 1);
        status = nb_exec(db, set, "upgrading", err);
    }
    return status;
}

/* The version is read again inside the transaction: another program may have
 * upgraded the file meanwhile. */
static pn_status upgrade_once(const pn_alloc *alloc, sqlite3 *db,
                              const char *path, int64_t *version,
                              pn_error *err) {
    pn_status status = nb_exec(db, "BEGIN IMMEDIATE", "upgrading", err);
    if (status != PN_OK) {
        return status;
    }
    status = nb_read_version(db, path, version, err);
    if (status == PN_OK && *version < PN_NOTEBOOK_VERSION) {
        status = step_up(alloc, db, *version, err);
        *version += 1;
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
    while (status == PN_OK && version < PN_NOTEBOOK_VERSION) {
        status = upgrade_once(alloc, db, path, &version, err);
    }
    return status;
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
