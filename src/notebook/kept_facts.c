// SPDX-License-Identifier: MIT
/* Writing down sessions of the check, photos, what was kept, and reviews. The
 * last two remember the version of the find that they rest on. */
#include "notebook_internal.h"

#include <string.h>

/* ---- sessions ----------------------------------------------------------- */

pn_status pn_notebook_add_check(pn_notebook *nb, const pn_check_record *check,
                                int64_t recorded_unix_s, int64_t *id,
                                pn_error *err) {
    nb_version v = {PN_FACT_CHECK_SESSION, 0, 0, recorded_unix_s};
    return nb_add(nb, v, check, id, err);
}

pn_status pn_notebook_correct_check(pn_notebook *nb, int64_t row,
                                    const pn_check_record *check,
                                    int64_t recorded_unix_s, pn_error *err) {
    nb_version v = {PN_FACT_CHECK_SESSION, 0, row, recorded_unix_s};
    return nb_correct(nb, v, check, err);
}

/* ---- photos ------------------------------------------------------------- */

static pn_status look_at_bytes(pn_text bytes, nb_photo *out, pn_error *err) {
    if (bytes.len > PN_PHOTO_BYTES_MAX) {
        return pn_fail(err, PN_EDOMAIN,
                       "the photo has %zu bytes; at most %d (16 MiB) are kept: "
                       "make it smaller first",
                       bytes.len, PN_PHOTO_BYTES_MAX);
    }
    out->media_type = pn_photo_media_type(bytes);
    if (out->media_type == NULL) {
        return pn_fail(err, PN_EDOMAIN,
                       "the photo is neither JPEG, PNG nor WebP by its first "
                       "bytes");
    }
    pn_sha256 digest = pn_sha256_begin();
    pn_sha256_add(&digest, bytes.at, bytes.len);
    pn_sha256_end(&digest, out->sha256);
    return PN_OK;
}

static void bind_sha256(sqlite3_stmt *stmt, const unsigned char *sha256) {
    (void)sqlite3_bind_blob(stmt, 1, sha256, PN_SHA256_BYTES, SQLITE_STATIC);
}

static pn_status put_bytes(pn_notebook *nb, const nb_photo *photo,
                           pn_error *err) {
    sqlite3_stmt *stmt = NULL;
    bool there = false;
    pn_status status = nb_query_statement(nb, NB_HAS_BYTES, &stmt, err);
    if (status != PN_OK) {
        return status;
    }
    bind_sha256(stmt, photo->sha256);
    status = nb_row(nb, stmt, &there, err);
    nb_reset(stmt);
    if (status == PN_OK && !there) {
        status = nb_query_statement(nb, NB_INSERT_BYTES, &stmt, err);
    }
    if (status != PN_OK || there) {
        return status;
    }
    bind_sha256(stmt, photo->sha256);
    (void)sqlite3_bind_blob64(stmt, 2, photo->photo->bytes.at,
                              photo->photo->bytes.len, SQLITE_STATIC);
    return nb_run(nb, stmt, "saving a photo", err);
}

pn_status pn_notebook_add_photo(pn_notebook *nb, const pn_photo *photo,
                                int64_t recorded_unix_s, int64_t *id,
                                pn_error *err) {
    nb_version v = {PN_FACT_PHOTO, 0, 0, recorded_unix_s};
    nb_photo item = {.photo = photo};
    int64_t made = 0;
    pn_status status = look_at_bytes(photo->bytes, &item, err);
    if (status != PN_OK) {
        return status;
    }
    status = nb_begin_change(nb, err);
    if (status != PN_OK) {
        return status;
    }
    status = put_bytes(nb, &item, err);
    if (status == PN_OK) {
        status = nb_put(nb, v, &item, &made, err);
    }
    status = nb_end_change(nb, status, err);
    if (status == PN_OK && id != NULL) {
        *id = made;
    }
    return status;
}

/* The bytes of a photo stay those of the row that is corrected. */
pn_status pn_notebook_correct_photo(pn_notebook *nb, int64_t row,
                                    const pn_photo *photo,
                                    int64_t recorded_unix_s, pn_error *err) {
    nb_version v = {PN_FACT_PHOTO, 0, row, recorded_unix_s};
    nb_photo item = {.photo = photo};
    sqlite3_stmt *stmt = NULL;
    bool there = false;
    pn_status status = nb_query_statement(nb, NB_PHOTO_ROW, &stmt, err);
    if (status != PN_OK) {
        return status;
    }
    sqlite3_bind_int64(stmt, 1, row);
    status = nb_row(nb, stmt, &there, err);
    if (there) {
        const void *sha256 = sqlite3_column_blob(stmt, 0);
        int len = sqlite3_column_bytes(stmt, 0);
        memcpy(item.sha256, sha256, len == PN_SHA256_BYTES ? (size_t)len : 0);
        item.media_type = pn_photo_media_type(
            (pn_text){sqlite3_column_blob(stmt, 1),
                      (size_t)sqlite3_column_bytes(stmt, 1)});
    }
    nb_reset(stmt);
    if (status == PN_OK && (!there || item.media_type == NULL)) {
        return pn_fail(err, PN_ENOTFOUND, "there is no photo in row %lld",
                       (long long)row);
    }
    return status == PN_OK ? nb_correct(nb, v, &item, err) : status;
}

/* Bytes that have changed in the file are not handed out as the photo. */
static pn_status copy_whole(sqlite3_stmt *stmt, pn_arena *arena, pn_text *out,
                            pn_error *err) {
    unsigned char sha256[PN_SHA256_BYTES];
    const void *want = sqlite3_column_blob(stmt, 0);
    const void *bytes = sqlite3_column_blob(stmt, 1);
    bool whole = sqlite3_column_bytes(stmt, 0) == PN_SHA256_BYTES;
    size_t len = (size_t)sqlite3_column_bytes(stmt, 1);
    pn_sha256 digest = pn_sha256_begin();
    pn_sha256_add(&digest, bytes, len);
    pn_sha256_end(&digest, sha256);
    if (!whole || memcmp(want, sha256, sizeof sha256) != 0) {
        return pn_fail(err, PN_EPARSE,
                       "the photo has changed in the notebook file; keep the "
                       "file, and look in the latest backup");
    }
    const char *copy = pn_arena_copy(arena, bytes, len);
    if (copy == NULL) {
        return pn_fail(err, PN_ENOMEM, "out of memory");
    }
    *out = (pn_text){copy, len};
    return PN_OK;
}

pn_status pn_notebook_load_photo(pn_notebook *nb, int64_t id, pn_arena *arena,
                                 pn_text *out, pn_error *err) {
    sqlite3_stmt *stmt = NULL;
    bool there = false;
    pn_status status = nb_query_statement(nb, NB_PHOTO_BYTES, &stmt, err);
    if (status != PN_OK) {
        return status;
    }
    sqlite3_bind_int64(stmt, 1, id);
    status = nb_row(nb, stmt, &there, err);
    if (status == PN_OK && !there) {
        status =
            pn_fail(err, PN_ENOTFOUND, "there is no photo %lld", (long long)id);
    }
    if (status == PN_OK) {
        status = copy_whole(stmt, arena, out, err);
    }
    nb_reset(stmt);
    return status;
}

/* ---- what was kept ------------------------------------------------------ */

/* A row of up to three numbers; PN_ENOTFOUND without one. */
static pn_status ask(pn_notebook *nb, nb_query query, int64_t about,
                     int64_t answer[3], pn_error *err) {
    sqlite3_stmt *stmt = NULL;
    bool there = false;
    pn_status status = nb_query_statement(nb, query, &stmt, err);
    if (status != PN_OK) {
        return status;
    }
    sqlite3_bind_int64(stmt, 1, about);
    status = nb_row(nb, stmt, &there, err);
    for (int i = 0; there && i < 3; i++) {
        answer[i] = sqlite3_column_int64(stmt, i);
    }
    nb_reset(stmt);
    return status == PN_OK && !there ? PN_ENOTFOUND : status;
}

/* The version that a new record from a jar rests on. */
static pn_status relied_on(pn_notebook *nb, int64_t source, int64_t *row,
                           pn_error *err) {
    int64_t answer[3] = {0};
    pn_status status = ask(nb, NB_KEPT_RELIED, source, answer, err);
    *row = answer[0];
    return status == PN_ENOTFOUND
               ? pn_fail(err, status, "there is nothing kept of number %lld",
                         (long long)source)
               : status;
}

static pn_status rests_on(pn_notebook *nb, nb_kept *item, pn_error *err) {
    int64_t answer[3] = {0};
    if (item->kept->source != 0) {
        return relied_on(nb, item->kept->source, &item->find_row, err);
    }
    pn_status status = ask(nb, NB_FIND_STATE, item->kept->find, answer, err);
    item->find_row = answer[0];
    if (status == PN_ENOTFOUND || (status == PN_OK && answer[1] == 0)) {
        return pn_fail(err, PN_ENOTFOUND, "there is no find %lld",
                       (long long)item->kept->find);
    }
    return status;
}

/* A record put right rests on what it rested on, else its doubt would be
 * gone; of another find on that one's first version, whatever it became. */
static pn_status rested_on(pn_notebook *nb, int64_t row, nb_kept *item,
                           pn_error *err) {
    int64_t was[3] = {0};
    int64_t state[3] = {0};
    pn_status status = ask(nb, NB_KEPT_ROW, row, was, err);
    if (status != PN_OK) {
        return status;
    }
    if (item->kept->find == was[0] && item->kept->source == was[1]) {
        item->find_row = was[2];
        return PN_OK;
    }
    if (item->kept->source != 0) {
        return relied_on(nb, item->kept->source, &item->find_row, err);
    }
    status = ask(nb, NB_FIND_STATE, item->kept->find, state, err);
    item->find_row = item->kept->find;
    return status == PN_ENOTFOUND
               ? pn_fail(err, status, "there is no find %lld",
                         (long long)item->kept->find)
               : status;
}

static pn_status check_kept(pn_notebook *nb, const nb_kept *item,
                            pn_error *err) {
    pn_status status = nb_check_kept_values(item, err);
    return status == PN_OK ? nb_begin_change(nb, err) : status;
}

pn_status pn_notebook_add_kept(pn_notebook *nb, const pn_kept *kept,
                               int64_t recorded_unix_s, int64_t *id,
                               pn_error *err) {
    nb_version v = {PN_FACT_KEPT, 0, 0, recorded_unix_s};
    nb_kept item = {.kept = kept};
    int64_t made = 0;
    pn_status status = check_kept(nb, &item, err);
    if (status != PN_OK) {
        return status;
    }
    status = rests_on(nb, &item, err);
    if (status == PN_OK) {
        status = nb_put(nb, v, &item, &made, err);
    }
    status = nb_end_change(nb, status, err);
    if (status == PN_OK && id != NULL) {
        *id = made;
    }
    return status;
}

pn_status pn_notebook_correct_kept(pn_notebook *nb, int64_t row,
                                   const pn_kept *kept, int64_t recorded_unix_s,
                                   pn_error *err) {
    nb_version v = {PN_FACT_KEPT, 0, row, recorded_unix_s};
    nb_kept item = {.kept = kept};
    int64_t made = 0;
    pn_status status = check_kept(nb, &item, err);
    if (status != PN_OK) {
        return status;
    }
    status = nb_origin_of(nb, PN_FACT_KEPT, row, &v.origin, err);
    if (status == PN_OK) {
        status = rested_on(nb, row, &item, err);
    }
    if (status == PN_OK) {
        status = nb_put(nb, v, &item, &made, err);
    }
    return nb_end_change(nb, status, err);
}

/* ---- reviews ------------------------------------------------------------ */

/* Judged against the find as it is at this moment. */
static pn_status judge(pn_notebook *nb, nb_review *item, pn_error *err) {
    int64_t state[3] = {0};
    pn_status status = ask(nb, NB_KEPT_STATE, item->review->kept, state, err);
    item->find_row = state[0];
    item->find_stood = state[1] != 0;
    return status == PN_ENOTFOUND
               ? pn_fail(err, status, "there is nothing kept of number %lld",
                         (long long)item->review->kept)
               : status;
}

pn_status pn_notebook_add_review(pn_notebook *nb, const pn_review *review,
                                 int64_t recorded_unix_s, int64_t *id,
                                 pn_error *err) {
    nb_version v = {PN_FACT_REVIEW, 0, 0, recorded_unix_s};
    nb_review item = {.review = review};
    int64_t made = 0;
    pn_status status = nb_begin_change(nb, err);
    if (status != PN_OK) {
        return status;
    }
    status = judge(nb, &item, err);
    if (status == PN_OK) {
        status = nb_put(nb, v, &item, &made, err);
    }
    status = nb_end_change(nb, status, err);
    if (status == PN_OK && id != NULL) {
        *id = made;
    }
    return status;
}

/* Corrected in its words; what it was judged against stays, else a slip of the
 * pen put right would settle a newer doubt. */
static pn_status judged(pn_notebook *nb, int64_t row, nb_review *item,
                        pn_error *err) {
    int64_t was[3] = {0};
    pn_status status = ask(nb, NB_REVIEW_ROW, row, was, err);
    item->find_row = was[1];
    item->find_stood = was[2] != 0;
    if (status == PN_OK && was[0] != item->review->kept) {
        return pn_fail(err, PN_EDOMAIN,
                       "a review stays with what it is of: take it back and "
                       "write another");
    }
    return status;
}

pn_status pn_notebook_correct_review(pn_notebook *nb, int64_t row,
                                     const pn_review *review,
                                     int64_t recorded_unix_s, pn_error *err) {
    nb_version v = {PN_FACT_REVIEW, 0, row, recorded_unix_s};
    nb_review item = {.review = review};
    int64_t made = 0;
    pn_status status = nb_begin_change(nb, err);
    if (status != PN_OK) {
        return status;
    }
    status = nb_origin_of(nb, PN_FACT_REVIEW, row, &v.origin, err);
    if (status == PN_OK) {
        status = judged(nb, row, &item, err);
    }
    if (status == PN_OK) {
        status = nb_put(nb, v, &item, &made, err);
    }
    return nb_end_change(nb, status, err);
}
