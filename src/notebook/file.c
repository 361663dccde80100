// SPDX-License-Identifier: MIT
/* Opening, making and copying the file. */
#include "notebook_internal.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { REASON_SIZE = 128 };

/* strerror() may use memory that other threads share. */
static const char *reason(int error, char why[REASON_SIZE]) {
    if (strerror_r(error, why, REASON_SIZE) != 0) {
        return "unknown failure of the system";
    }
    return why;
}

/* SQLite would only say "unable to open database file". */
static pn_status look_at(const char *path, bool writable, pn_error *err) {
    struct stat info = {0};
    char why[REASON_SIZE];
    if (stat(path, &info) != 0) {
        if (errno == ENOENT) {
            return pn_fail(err, PN_ENOTFOUND, "%s: there is no such notebook",
                           path);
        }
        return pn_fail(err, PN_EIO, "%s: %s", path, reason(errno, why));
    }
    if (S_ISDIR(info.st_mode)) {
        return pn_fail(err, PN_EIO, "%s is a folder, not a notebook", path);
    }
    if (!S_ISREG(info.st_mode)) {
        return pn_fail(err, PN_EIO, "%s is not a plain file", path);
    }
    if (access(path, writable ? R_OK | W_OK : R_OK) != 0) {
        return pn_fail(err, PN_EIO, "%s may not be %s: %s", path,
                       writable ? "written" : "read", reason(errno, why));
    }
    return PN_OK;
}

/* A file that came from elsewhere must not be able to run functions or write
 * to its own schema. */
static void make_safe(sqlite3 *db) {
    (void)sqlite3_busy_timeout(db, NB_BUSY_MS);
    (void)sqlite3_db_config(db, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
    (void)sqlite3_db_config(db, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, NULL);
    (void)sqlite3_db_config(db, SQLITE_DBCONFIG_ENABLE_FKEY, 1, NULL);
    (void)sqlite3_db_config(db, SQLITE_DBCONFIG_DQS_DML, 0, NULL);
    (void)sqlite3_db_config(db, SQLITE_DBCONFIG_DQS_DDL, 0, NULL);
    /* Savepoints and triggers keep small undo logs: in memory, not in /tmp,
     * finds are added nearly 3 times as fast. Cache in KiB. */
    nb_exec_quietly(db, "PRAGMA temp_store = MEMORY; PRAGMA cache_size = "
                        "-16000");
}

static pn_status open_flags(const char *path, int flags, sqlite3 **out,
                            pn_error *err) {
    int rc = sqlite3_open_v2(
        path, out, flags | SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_EXRESCODE, NULL);
    if (rc != SQLITE_OK) {
        pn_status status = nb_fail(*out, rc, path, err);
        sqlite3_close(*out);
        *out = NULL;
        return status;
    }
    make_safe(*out);
    return PN_OK;
}

/* Readers of a WAL file must write beside it, which they cannot on a disk or
 * in a folder that may only be read. Nobody else can there either, so the
 * file may be read as one that never changes, unless a log is left over. */
static bool never_changes(const char *path) {
    char beside[PN_NOTEBOOK_PATH_SIZE];
    struct stat info = {0};
    pn_str name = pn_str_in(beside, sizeof beside);
    pn_str_addf(&name, "%s-wal", path);
    if (name.cut || stat(beside, &info) == 0) {
        return false;
    }
    char *slash = strrchr(beside, '/');
    if (slash == NULL) {
        return access(".", W_OK) != 0;
    }
    slash[slash == beside ? 1 : 0] = '\0';
    return access(beside, W_OK) != 0;
}

/* Three bytes for each of the path, and what stands around it. */
enum { URI_SIZE = 3 * PN_NOTEBOOK_PATH_SIZE + 32 };

static bool immutable_uri(const char *path, char uri[URI_SIZE]) {
    static const char plain[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
                                "abcdefghijklmnopqrstuvwxyz0123456789-._/";
    pn_str str = pn_str_in(uri, URI_SIZE);
    pn_str_addf(&str, "file:%s", path[0] == '/' ? "//" : "");
    for (const char *c = path; *c != '\0'; c++) {
        if (strchr(plain, *c) != NULL) {
            pn_str_addf(&str, "%c", *c);
        } else {
            pn_str_addf(&str, "%%%02X", (unsigned)(unsigned char)*c);
        }
    }
    pn_str_addf(&str, "?immutable=1");
    return !str.cut;
}

pn_status nb_open_raw(const char *path, bool writable, sqlite3 **out,
                      pn_error *err) {
    pn_status status = look_at(path, writable, err);
    if (status != PN_OK) {
        return status;
    }
    if (writable) {
        return open_flags(path, SQLITE_OPEN_READWRITE, out, err);
    }
    char uri[URI_SIZE];
    if (never_changes(path) && immutable_uri(path, uri)) {
        return open_flags(uri, SQLITE_OPEN_READONLY | SQLITE_OPEN_URI, out,
                          err);
    }
    return open_flags(path, SQLITE_OPEN_READONLY, out, err);
}

pn_status nb_read_version(sqlite3 *db, const char *path, int64_t *version,
                          pn_error *err) {
    int64_t application = 0;
    pn_error why = {0};
    pn_status status =
        nb_exec_int(db, "PRAGMA application_id", &application, &why);
    if (status == PN_OK) {
        status = nb_exec_int(db, "PRAGMA user_version", version, &why);
    }
    if (status == PN_EPARSE ||
        (status == PN_OK && application != NB_APPLICATION_ID)) {
        return pn_fail(err, PN_EPARSE, "%s is not a pannage notebook", path);
    }
    if (status != PN_OK) {
        return pn_fail(err, status, "%s: %s", path, why.message);
    }
    if (*version < 1 || *version > PN_NOTEBOOK_VERSION) {
        return pn_fail(err, PN_EDOMAIN,
                       "%s is a notebook of version %lld; this pannage knows "
                       "versions up to %d: update pannage",
                       path, (long long)*version, PN_NOTEBOOK_VERSION);
    }
    return PN_OK;
}

static pn_status check_version(sqlite3 *db, const char *path, pn_error *err) {
    int64_t version = 0;
    pn_status status = nb_read_version(db, path, &version, err);
    if (status == PN_OK && version < PN_NOTEBOOK_VERSION) {
        return pn_fail(err, PN_EDOMAIN,
                       "%s is a notebook of the older version %d: run "
                       "`pannage notebook upgrade` (it keeps a copy)",
                       path, (int)version);
    }
    return status;
}

static pn_status set_up_writing(sqlite3 *db, pn_error *err) {
    return nb_exec(db, "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL",
                   "opening the notebook", err);
}

static pn_status wrap(const pn_alloc *alloc, sqlite3 *db, bool writable,
                      pn_notebook **out, pn_error *err) {
    pn_notebook *nb = pn_alloc_zeroed(alloc, 1, sizeof *nb);
    if (nb == NULL) {
        return pn_fail(err, PN_ENOMEM, "out of memory");
    }
    nb->alloc = *alloc;
    nb->db = db;
    nb->writable = writable;
    *out = nb;
    return PN_OK;
}

pn_status pn_notebook_open(const pn_alloc *alloc, const char *path,
                           pn_notebook_mode mode, pn_notebook **out,
                           pn_error *err) {
    bool writable = mode == PN_NOTEBOOK_WRITE;
    sqlite3 *db = NULL;
    pn_status status = nb_open_raw(path, writable, &db, err);
    if (status == PN_OK) {
        status = check_version(db, path, err);
    }
    if (status == PN_OK && writable) {
        status = set_up_writing(db, err);
    }
    if (status == PN_OK) {
        status = wrap(alloc, db, writable, out, err);
    }
    if (status != PN_OK) {
        sqlite3_close(db);
    }
    return status;
}

void pn_notebook_close(pn_notebook *nb) {
    if (nb == NULL) {
        return;
    }
    for (size_t t = 0; t < PN_FACT_TABLE_COUNT; t++) {
        for (size_t i = 0; i < NB_OP_COUNT; i++) {
            sqlite3_finalize(nb->op[t][i]);
        }
    }
    for (size_t i = 0; i < NB_QUERY_COUNT; i++) {
        sqlite3_finalize(nb->query[i]);
    }
    sqlite3_close(nb->db);
    pn_alloc alloc = nb->alloc;
    pn_alloc_free(&alloc, nb);
}

/* ---- making ----------------------------------------------------------- */

/* The name is taken here, before SQLite sees it, so that two programs cannot
 * make the same notebook; O_EXCL also refuses a dangling link. */
static pn_status claim(const char *path, pn_error *err) {
    char why[REASON_SIZE];
    int fd = open(path, O_RDWR | O_CREAT | O_EXCL, 0666);
    if (fd >= 0) {
        close(fd);
        return PN_OK;
    }
    if (errno == EEXIST) {
        return pn_fail(err, PN_EEXISTS,
                       "%s is already there; choose another name", path);
    }
    return pn_fail(err, PN_EIO, "%s cannot be made: %s", path,
                   reason(errno, why));
}

static pn_status fill_new(const pn_alloc *alloc, sqlite3 *db, pn_error *err) {
    pn_status status = set_up_writing(db, err);
    if (status == PN_OK) {
        status = nb_exec(db, "BEGIN IMMEDIATE", "making the notebook", err);
    }
    if (status == PN_OK) {
        status = nb_schema_create(alloc, db, err);
    }
    if (status == PN_OK) {
        status = nb_exec(db, "COMMIT", "making the notebook", err);
    }
    return status;
}

pn_status pn_notebook_create(const pn_alloc *alloc, const char *path,
                             pn_notebook **out, pn_error *err) {
    sqlite3 *db = NULL;
    pn_status status = claim(path, err);
    if (status != PN_OK) {
        return status;
    }
    status = open_flags(path, SQLITE_OPEN_READWRITE, &db, err);
    if (status == PN_OK) {
        status = fill_new(alloc, db, err);
    }
    if (status == PN_OK) {
        status = wrap(alloc, db, true, out, err);
    }
    if (status != PN_OK) {
        sqlite3_close(db);
        unlink(path);
    }
    return status;
}

/* ---- copying ---------------------------------------------------------- */

static pn_status copy_pages(sqlite3 *from, sqlite3 *to, pn_error *err) {
    sqlite3_backup *copy = sqlite3_backup_init(to, "main", from, "main");
    if (copy == NULL) {
        return nb_fail(to, sqlite3_errcode(to), "copying the notebook", err);
    }
    int step = sqlite3_backup_step(copy, -1);
    int rc = sqlite3_backup_finish(copy);
    if (step == SQLITE_DONE && rc == SQLITE_OK) {
        return PN_OK;
    }
    return nb_fail(to, rc != SQLITE_OK ? rc : step, "copying the notebook",
                   err);
}

static pn_status copy_into(sqlite3 *from, const char *path, pn_error *err) {
    sqlite3 *to = NULL;
    pn_status status = open_flags(path, SQLITE_OPEN_READWRITE, &to, err);
    if (status == PN_OK) {
        status = copy_pages(from, to, err);
    }
    if (status == PN_OK) {
        /* one file, readable also from a disk that cannot be written */
        status = nb_exec(to, "PRAGMA journal_mode = DELETE",
                         "copying the notebook", err);
    }
    sqlite3_close(to);
    return status;
}

static pn_status sync_file(const char *path, pn_error *err) {
    int fd = open(path, O_RDONLY);
    bool done = fd >= 0 && fsync(fd) == 0;
    int error = errno;
    char why[REASON_SIZE];
    if (fd >= 0) {
        close(fd);
    }
    return done ? PN_OK
                : pn_fail(err, PN_EIO, "%s: %s", path, reason(error, why));
}

/* A link never replaces what is there. Some memory sticks know no links:
 * there the name is looked at first. */
static pn_status give_name(const char *from, const char *to, pn_error *err) {
    struct stat info = {0};
    char why[REASON_SIZE];
    if (link(from, to) == 0) {
        unlink(from);
        return PN_OK;
    }
    if (errno == EEXIST || lstat(to, &info) == 0) {
        return pn_fail(err, PN_EEXISTS,
                       "%s is already there; choose another name", to);
    }
    if (rename(from, to) != 0) {
        return pn_fail(err, PN_EIO, "%s cannot be made: %s", to,
                       reason(errno, why));
    }
    return PN_OK;
}

pn_status nb_copy_to_new_file(sqlite3 *db, const char *path, pn_error *err) {
    char partial[PN_NOTEBOOK_PATH_SIZE + 16];
    struct stat info = {0};
    char why[REASON_SIZE];
    if (lstat(path, &info) == 0) {
        return pn_fail(err, PN_EEXISTS,
                       "%s is already there; choose another name", path);
    }
    pn_str name = pn_str_in(partial, sizeof partial);
    pn_str_addf(&name, "%s.XXXXXX", path);
    int fd = name.cut ? -1 : mkstemp(partial);
    if (fd < 0) {
        return pn_fail(err, PN_EIO, "%s cannot be made: %s", path,
                       name.cut ? "the name is too long" : reason(errno, why));
    }
    close(fd);
    pn_status status = copy_into(db, partial, err);
    if (status == PN_OK) {
        status = sync_file(partial, err);
    }
    if (status == PN_OK) {
        status = give_name(partial, path, err);
    }
    if (status != PN_OK) {
        unlink(partial);
    }
    return status;
}

pn_status pn_notebook_backup(pn_notebook *nb, const char *path, pn_error *err) {
    if (nb->begun) {
        return pn_fail(err, PN_EEXISTS,
                       "a change has been begun: commit it before the backup");
    }
    return nb_copy_to_new_file(nb->db, path, err);
}
