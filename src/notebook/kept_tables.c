// SPDX-License-Identifier: MIT
/* What is particular to sessions of the check, photos, what was kept, and
 * reviews: values, what they point to, and which value goes where. */
#include "notebook_internal.h"

#include <string.h>

static const nb_number_rule day_rule = {"day (days since 1970)", -25567, 84005,
                                        false};

static void bind_id(sqlite3_stmt *stmt, int at, int64_t id) {
    if (id != 0) {
        sqlite3_bind_int64(stmt, at, id);
    } else {
        sqlite3_bind_null(stmt, at);
    }
}

/* A find that was ever written down: sessions and photos may also be of one
 * that has been taken back. */
static pn_status must_be_a_find(pn_notebook *nb, int64_t find, pn_error *err) {
    sqlite3_stmt *stmt = NULL;
    pn_status status = nb_query_statement(nb, NB_FIND_STATE, &stmt, err);
    if (status != PN_OK) {
        return status;
    }
    bool there = false;
    sqlite3_bind_int64(stmt, 1, find);
    status = nb_row(nb, stmt, &there, err);
    nb_reset(stmt);
    if (status == PN_OK && !there) {
        return pn_fail(err, PN_ENOTFOUND, "there is no find %lld",
                       (long long)find);
    }
    return status;
}

/* ---- sessions of the check --------------------------------------------- */

/* Lines of "feature=state", and no other sign that steers. */
static pn_status check_answers(pn_text answers, pn_error *err) {
    for (size_t i = 0; i < answers.len; i++) {
        unsigned char sign = (unsigned char)answers.at[i];
        if ((sign < 0x20 && sign != '\n') || sign == 0x7f) {
            return pn_fail(err, PN_EDOMAIN,
                           "the answers of a session hold a sign that is none "
                           "of a text");
        }
    }
    for (size_t line = 1; answers.len > 0; line++) {
        pn_text one = pn_text_cut(answers, '\n', &answers);
        if (one.len > 0 && memchr(one.at, '=', one.len) == NULL) {
            return pn_fail(err, PN_EDOMAIN,
                           "line %zu of the answers is not feature=state",
                           line);
        }
    }
    return PN_OK;
}

pn_status nb_check_session_values(const void *item, pn_error *err) {
    const pn_check_record *check = item;
    static const nb_number_rule month = {"month", 0, 12, false};
    static const nb_number_rule open = {"number of open items", 0, 1e9, false};
    const nb_checked_text texts[] = {
        {check->kind, {"kind in mind", 0, 60}},
        {check->tried, {"kind tried", 0, 60}},
        {check->habitat, {"habitat", 0, 60}},
        {check->host, {"host", 0, 60}},
        {check->answers, {"text of the answers", 0, PN_CHECK_TEXT_MAX}},
        {check->not_ruled_out,
         {"list of what is not ruled out", 0, PN_CHECK_TEXT_MAX}},
        {check->guide, {"name of the guide", 0, 200}},
        {check->note, {"note of a session", 0, 10000}},
    };
    pn_status status = nb_check_texts(texts, sizeof texts / sizeof *texts, err);
    if (status == PN_OK) {
        status = check_answers(check->answers, err);
    }
    if (status == PN_OK) {
        status = nb_check_number(check->epoch_day, day_rule, err);
    }
    if (status == PN_OK) {
        status = nb_check_number(check->month, month, err);
    }
    return status == PN_OK
               ? nb_check_number((double)check->open_count, open, err)
               : status;
}

pn_status nb_session_fits(pn_notebook *nb, const void *item, int64_t own_id,
                          pn_error *err) {
    const pn_check_record *check = item;
    (void)own_id;
    return check->find != 0 ? must_be_a_find(nb, check->find, err) : PN_OK;
}

void nb_bind_session(sqlite3_stmt *stmt, const void *item) {
    const pn_check_record *check = item;
    int at = NB_FIRST_COLUMN;
    bind_id(stmt, at++, check->find);
    sqlite3_bind_int64(stmt, at++, check->epoch_day);
    nb_bind_text(stmt, at++, check->kind);
    nb_bind_text(stmt, at++, check->tried);
    bind_id(stmt, at++, check->month);
    nb_bind_text(stmt, at++, check->habitat);
    nb_bind_text(stmt, at++, check->host);
    sqlite3_bind_int64(stmt, at++, check->expert ? 1 : 0);
    nb_bind_text(stmt, at++, check->answers);
    sqlite3_bind_int64(stmt, at++, check->open_count);
    nb_bind_text(stmt, at++, check->not_ruled_out);
    nb_bind_text(stmt, at++, check->guide);
    nb_bind_text(stmt, at++, check->note);
}

/* ---- photos ------------------------------------------------------------- */

static bool begins_with(pn_text bytes, const char *sign, size_t len) {
    return bytes.len >= len && memcmp(bytes.at, sign, len) == 0;
}

/* JPEG: start of image and the next marker's first byte [T.81 B.1.1.2]; PNG:
 * its signature [RFC2083 3.1]; WebP: a RIFF chunk of that name [RFC9649
 * 2.4]. */
const char *pn_photo_media_type(pn_text bytes) {
    if (begins_with(bytes, "\xff\xd8\xff", 3)) {
        return "image/jpeg";
    }
    if (begins_with(bytes, "\x89PNG\r\n\x1a\n", 8)) {
        return "image/png";
    }
    if (begins_with(bytes, "RIFF", 4) && bytes.len >= 12 &&
        memcmp(bytes.at + 8, "WEBP", 4) == 0) {
        return "image/webp";
    }
    return NULL;
}

pn_status nb_check_photo_values(const void *item, pn_error *err) {
    const nb_photo *photo = item;
    const nb_checked_text texts[] = {
        {photo->photo->file_name, {"file name of a photo", 1, 255}},
        {photo->photo->note, {"note of a photo", 0, 10000}},
    };
    if (photo->photo->find == 0 && photo->photo->check == 0) {
        return pn_fail(err, PN_EDOMAIN,
                       "a photo is of a find, or of a session of the check");
    }
    return nb_check_texts(texts, sizeof texts / sizeof *texts, err);
}

pn_status nb_photo_fits(pn_notebook *nb, const void *item, int64_t own_id,
                        pn_error *err) {
    const nb_photo *photo = item;
    pn_status status = PN_OK;
    (void)own_id;
    if (photo->photo->find != 0) {
        status = must_be_a_find(nb, photo->photo->find, err);
    }
    if (status == PN_OK && photo->photo->check != 0) {
        status = nb_must_be_current(nb, PN_FACT_CHECK_SESSION,
                                    photo->photo->check, err);
    }
    return status;
}

void nb_bind_photo(sqlite3_stmt *stmt, const void *item) {
    const nb_photo *photo = item;
    int at = NB_FIRST_COLUMN;
    bind_id(stmt, at++, photo->photo->find);
    bind_id(stmt, at++, photo->photo->check);
    nb_bind_text(stmt, at++, photo->photo->file_name);
    nb_bind_text(stmt, at++, pn_text_of(photo->media_type));
    (void)sqlite3_bind_blob(stmt, at++, photo->sha256, PN_SHA256_BYTES,
                            SQLITE_STATIC);
    nb_bind_text(stmt, at++, photo->photo->note);
}

/* ---- what was kept ------------------------------------------------------ */

const char *pn_kept_sort_name(pn_kept_sort sort) {
    static const char *const names[] = {"jar", "meal", "other"};
    return (size_t)sort < PN_KEPT_SORT_COUNT ? names[sort] : "?";
}

pn_status nb_check_kept_values(const void *item, pn_error *err) {
    const pn_kept *kept = ((const nb_kept *)item)->kept;
    const nb_checked_text texts[] = {
        {kept->name, {"name of what was kept", 1, 200}},
        {kept->eaters, {"list of eaters", 0, 1000}},
        {kept->note, {"note of what was kept", 0, 10000}},
    };
    if ((size_t)kept->sort >= PN_KEPT_SORT_COUNT) {
        return pn_fail(err, PN_EDOMAIN, "no such sort of thing is kept");
    }
    if ((kept->find == 0) == (kept->source == 0)) {
        return pn_fail(err, PN_EDOMAIN,
                       "what is kept comes from a find or from something kept "
                       "before, and from one of the two");
    }
    pn_status status = nb_check_texts(texts, sizeof texts / sizeof *texts, err);
    return status == PN_OK ? nb_check_number(kept->epoch_day, day_rule, err)
                           : status;
}

/* A chain that led back to itself would lead to no find. */
static pn_status must_not_reach(pn_notebook *nb, int64_t source, int64_t own_id,
                                pn_error *err) {
    sqlite3_stmt *stmt = NULL;
    pn_status status = nb_query_statement(nb, NB_KEPT_REACHES, &stmt, err);
    if (status != PN_OK) {
        return status;
    }
    bool reaches = false;
    sqlite3_bind_int64(stmt, 1, source);
    sqlite3_bind_int64(stmt, 2, own_id);
    status = nb_row(nb, stmt, &reaches, err);
    nb_reset(stmt);
    if (status == PN_OK && reaches) {
        return pn_fail(err, PN_EDOMAIN, "%lld cannot come from itself",
                       (long long)own_id);
    }
    return status;
}

/* Whether its find stands was asked with the version it rests on. */
pn_status nb_kept_fits(pn_notebook *nb, const void *item, int64_t own_id,
                       pn_error *err) {
    const pn_kept *kept = ((const nb_kept *)item)->kept;
    return kept->source != 0 && own_id != 0
               ? must_not_reach(nb, kept->source, own_id, err)
               : PN_OK;
}

void nb_bind_kept(sqlite3_stmt *stmt, const void *item) {
    const nb_kept *rests = item;
    const pn_kept *kept = rests->kept;
    int at = NB_FIRST_COLUMN;
    nb_bind_text(stmt, at++, pn_text_of(pn_kept_sort_name(kept->sort)));
    bind_id(stmt, at++, kept->find);
    bind_id(stmt, at++, kept->source);
    sqlite3_bind_int64(stmt, at++, rests->find_row);
    nb_bind_text(stmt, at++, kept->name);
    sqlite3_bind_int64(stmt, at++, kept->epoch_day);
    nb_bind_text(stmt, at++, kept->eaters);
    nb_bind_text(stmt, at++, kept->note);
}

/* ---- reviews ------------------------------------------------------------ */

const char *pn_review_outcome_name(pn_review_outcome outcome) {
    static const char *const names[] = {"still_right", "thrown_away",
                                        "nobody_ill", "ill", "other"};
    return (size_t)outcome < PN_REVIEW_OUTCOME_COUNT ? names[outcome] : "?";
}

pn_status nb_check_review_values(const void *item, pn_error *err) {
    const pn_review *review = ((const nb_review *)item)->review;
    const nb_checked_text texts[] = {
        {review->note, {"note of a review", 0, 10000}}};
    if ((size_t)review->outcome >= PN_REVIEW_OUTCOME_COUNT) {
        return pn_fail(err, PN_EDOMAIN, "no such outcome of a review");
    }
    return nb_check_texts(texts, 1, err);
}

pn_status nb_review_fits(pn_notebook *nb, const void *item, int64_t own_id,
                         pn_error *err) {
    const pn_review *review = ((const nb_review *)item)->review;
    (void)own_id;
    return nb_must_be_current(nb, PN_FACT_KEPT, review->kept, err);
}

void nb_bind_review(sqlite3_stmt *stmt, const void *item) {
    const nb_review *judged = item;
    int at = NB_FIRST_COLUMN;
    sqlite3_bind_int64(stmt, at++, judged->review->kept);
    sqlite3_bind_int64(stmt, at++, judged->find_row);
    sqlite3_bind_int64(stmt, at++, judged->find_stood ? 1 : 0);
    nb_bind_text(stmt, at++,
                 pn_text_of(pn_review_outcome_name(judged->review->outcome)));
    nb_bind_text(stmt, at++, judged->review->note);
}
