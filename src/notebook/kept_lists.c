// SPDX-License-Identifier: MIT
/* Reading sessions of the check, photos, what was kept, and what is up for
 * review. */
#include "notebook_internal.h"

#include <string.h>

/* The name's number; the last, "other", for one that a damaged file holds. */
static int number_of(pn_text name, const char *(*name_of)(int), int count) {
    for (int i = 0; i < count; i++) {
        if (pn_text_equal(name, pn_text_of(name_of(i)))) {
            return i;
        }
    }
    return count - 1;
}

static const char *sort_name(int sort) {
    return pn_kept_sort_name((pn_kept_sort)sort);
}

static const char *outcome_name(int outcome) {
    return pn_review_outcome_name((pn_review_outcome)outcome);
}

static pn_text borrowed_text(sqlite3_stmt *stmt, int at) {
    const char *text = (const char *)sqlite3_column_text(stmt, at);
    return (pn_text){text,
                     text != NULL ? (size_t)sqlite3_column_bytes(stmt, at) : 0};
}

static pn_kept_sort column_sort(sqlite3_stmt *stmt, int at) {
    return (pn_kept_sort)number_of(borrowed_text(stmt, at), sort_name,
                                   PN_KEPT_SORT_COUNT);
}

static bool column_texts(sqlite3_stmt *stmt, int at, pn_arena *arena,
                         pn_text *const *texts, size_t count) {
    for (size_t i = 0; i < count; i++) {
        if (!nb_column_text(stmt, at + (int)i, arena, texts[i])) {
            return false;
        }
    }
    return true;
}

/* ---- sessions ----------------------------------------------------------- */

static bool read_check(sqlite3_stmt *stmt, pn_arena *arena, void *item) {
    pn_check_record *check = item;
    int at = NB_COLUMN_OWN;
    check->fact = nb_column_fact(stmt);
    check->find = sqlite3_column_int64(stmt, at++);
    check->epoch_day = nb_column_day(stmt, at++);
    check->month = sqlite3_column_int(stmt, at++);
    check->expert = sqlite3_column_int(stmt, at++) != 0;
    check->open_count = sqlite3_column_int64(stmt, at++);
    pn_text *const texts[] = {
        &check->kind,    &check->tried, &check->habitat,       &check->host,
        &check->answers, &check->guide, &check->not_ruled_out, &check->note};
    return column_texts(stmt, at, arena, texts, sizeof texts / sizeof texts[0]);
}

pn_status pn_notebook_list_checks(pn_notebook *nb,
                                  const pn_notebook_filter *filter,
                                  pn_arena *arena, pn_check_record_list *out,
                                  pn_error *err) {
    static const nb_list_plan plan = {
        "SELECT " NB_FACT_COLUMNS(
            "check_session") ", f.find, f.day, f.month, f.expert, "
                             "f.open_count, f.kind, f.tried, f.habitat, "
                             "f.host, f.answers, f.guide, f.not_ruled_out, "
                             "f.note",
        sizeof(pn_check_record), read_check};
    const pn_notebook_filter *by = filter != NULL ? filter : &nb_everything;
    char buf[NB_SQL_SIZE];
    pn_str sql = pn_str_in(buf, sizeof buf);
    nb_list_items items = {0};
    pn_str_addf(&sql, "%s FROM %s AS f WHERE 1", plan.select,
                by->every_version ? "check_session" : "check_session_now");
    nb_add_if(&sql, by->fact != 0, " AND f.origin = :fact");
    nb_add_if(&sql, by->find != 0, " AND f.find = :find");
    nb_add_if(&sql, nb_has_days(by), " AND f.day BETWEEN :first AND :last");
    pn_str_addf(&sql, " ORDER BY f.day, f.origin, f.id");
    pn_status status =
        nb_run_list(nb, (nb_list_query){by, &plan, buf}, arena, &items, err);
    if (status == PN_OK) {
        *out = (pn_check_record_list){(void *)items.at, items.count};
    }
    return status;
}

/* ---- photos ------------------------------------------------------------- */

static bool read_photo(sqlite3_stmt *stmt, pn_arena *arena, void *item) {
    pn_photo *photo = item;
    int at = NB_COLUMN_OWN;
    photo->fact = nb_column_fact(stmt);
    photo->find = sqlite3_column_int64(stmt, at++);
    photo->check = sqlite3_column_int64(stmt, at++);
    photo->size_bytes = (size_t)sqlite3_column_int64(stmt, at++);
    const void *sha256 = sqlite3_column_blob(stmt, at);
    if (sqlite3_column_bytes(stmt, at++) == PN_SHA256_BYTES && sha256 != NULL) {
        memcpy(photo->sha256, sha256, PN_SHA256_BYTES);
    }
    pn_text *const texts[] = {&photo->file_name, &photo->media_type,
                              &photo->note};
    return column_texts(stmt, at, arena, texts, sizeof texts / sizeof texts[0]);
}

pn_status pn_notebook_list_photos(pn_notebook *nb,
                                  const pn_notebook_filter *filter,
                                  pn_arena *arena, pn_photo_list *out,
                                  pn_error *err) {
    static const nb_list_plan plan = {
        "SELECT " NB_FACT_COLUMNS(
            "photo") ", f.find, f.check_session, (SELECT length(b.bytes) FROM "
                     "photo_bytes AS b WHERE b.sha256 = f.sha256), f.sha256, "
                     "f.file_name, f.media_type, f.note",
        sizeof(pn_photo), read_photo};
    const pn_notebook_filter *by = filter != NULL ? filter : &nb_everything;
    char buf[NB_SQL_SIZE];
    pn_str sql = pn_str_in(buf, sizeof buf);
    nb_list_items items = {0};
    pn_str_addf(&sql, "%s FROM %s AS f WHERE 1", plan.select,
                by->every_version ? "photo" : "photo_now");
    nb_add_if(&sql, by->fact != 0, " AND f.origin = :fact");
    nb_add_if(&sql, by->check != 0, " AND f.check_session = :check");
    nb_add_if(&sql, by->find != 0,
              " AND (f.find = :find OR EXISTS (SELECT 1 FROM check_session_now"
              " AS c WHERE c.origin = f.check_session AND c.find = :find))");
    pn_str_addf(&sql, " ORDER BY f.origin, f.id");
    pn_status status =
        nb_run_list(nb, (nb_list_query){by, &plan, buf}, arena, &items, err);
    if (status == PN_OK) {
        *out = (pn_photo_list){(void *)items.at, items.count};
    }
    return status;
}

/* ---- what was kept ------------------------------------------------------ */

static bool read_kept(sqlite3_stmt *stmt, pn_arena *arena, void *item) {
    pn_kept *kept = item;
    int at = NB_COLUMN_OWN;
    kept->fact = nb_column_fact(stmt);
    kept->sort = column_sort(stmt, at++);
    kept->find = sqlite3_column_int64(stmt, at++);
    kept->source = sqlite3_column_int64(stmt, at++);
    kept->epoch_day = nb_column_day(stmt, at++);
    kept->root_find = sqlite3_column_int64(stmt, at++);
    pn_text *const texts[] = {&kept->name, &kept->eaters, &kept->note};
    return column_texts(stmt, at, arena, texts, sizeof texts / sizeof texts[0]);
}

pn_status pn_notebook_list_kept(pn_notebook *nb,
                                const pn_notebook_filter *filter,
                                pn_arena *arena, pn_kept_list *out,
                                pn_error *err) {
    static const nb_list_plan plan = {
        "SELECT " NB_FACT_COLUMNS(
            "kept") ", f.sort, f.find, f.source, f.day, r.find, f.name, "
                    "f.eaters, f.note",
        sizeof(pn_kept), read_kept};
    const pn_notebook_filter *by = filter != NULL ? filter : &nb_everything;
    char buf[NB_SQL_SIZE];
    pn_str sql = pn_str_in(buf, sizeof buf);
    nb_list_items items = {0};
    pn_str_addf(&sql,
                "%s FROM %s AS f LEFT JOIN kept_root AS r ON r.kept = f.origin "
                "WHERE 1",
                plan.select, by->every_version ? "kept" : "kept_now");
    nb_add_if(&sql, by->fact != 0, " AND f.origin = :fact");
    nb_add_if(&sql, by->find != 0, " AND r.find = :find");
    nb_add_if(&sql, nb_has_days(by), " AND f.day BETWEEN :first AND :last");
    pn_str_addf(&sql, " ORDER BY f.day, f.origin, f.id");
    pn_status status =
        nb_run_list(nb, (nb_list_query){by, &plan, buf}, arena, &items, err);
    if (status == PN_OK) {
        *out = (pn_kept_list){(void *)items.at, items.count};
    }
    return status;
}

/* ---- reviews ------------------------------------------------------------ */

static bool read_review(sqlite3_stmt *stmt, pn_arena *arena, void *item) {
    pn_review *review = item;
    int at = NB_COLUMN_OWN;
    review->fact = nb_column_fact(stmt);
    review->kept = sqlite3_column_int64(stmt, at++);
    review->find_row = sqlite3_column_int64(stmt, at++);
    review->find_stood = sqlite3_column_int(stmt, at++) != 0;
    review->outcome = (pn_review_outcome)number_of(
        borrowed_text(stmt, at), outcome_name, PN_REVIEW_OUTCOME_COUNT);
    return nb_column_text(stmt, at + 1, arena, &review->note);
}

pn_status pn_notebook_list_reviews(pn_notebook *nb,
                                   const pn_notebook_filter *filter,
                                   pn_arena *arena, pn_review_list *out,
                                   pn_error *err) {
    static const nb_list_plan plan = {
        "SELECT " NB_FACT_COLUMNS("review") ", f.kept, f.find_row, "
                                            "f.find_stood, f.outcome, f.note",
        sizeof(pn_review), read_review};
    const pn_notebook_filter *by = filter != NULL ? filter : &nb_everything;
    char buf[NB_SQL_SIZE];
    pn_str sql = pn_str_in(buf, sizeof buf);
    nb_list_items items = {0};
    pn_str_addf(&sql, "%s FROM %s AS f WHERE 1", plan.select,
                by->every_version ? "review" : "review_now");
    nb_add_if(&sql, by->fact != 0, " AND f.origin = :fact");
    nb_add_if(&sql, by->kept != 0, " AND f.kept = :kept");
    pn_str_addf(&sql, " ORDER BY f.origin, f.id");
    pn_status status =
        nb_run_list(nb, (nb_list_query){by, &plan, buf}, arena, &items, err);
    if (status == PN_OK) {
        *out = (pn_review_list){(void *)items.at, items.count};
    }
    return status;
}

static bool read_doubt(sqlite3_stmt *stmt, pn_arena *arena, void *item) {
    pn_doubt *doubt = item;
    int at = 0;
    doubt->kept = sqlite3_column_int64(stmt, at++);
    doubt->sort = column_sort(stmt, at++);
    doubt->epoch_day = nb_column_day(stmt, at++);
    doubt->find = sqlite3_column_int64(stmt, at++);
    doubt->find_stands = sqlite3_column_int(stmt, at++) != 0;
    pn_text *const texts[] = {&doubt->name, &doubt->eaters, &doubt->kind_then,
                              &doubt->kind_now};
    return column_texts(stmt, at, arena, texts, sizeof texts / sizeof texts[0]);
}

pn_status pn_notebook_list_doubts(pn_notebook *nb,
                                  const pn_notebook_filter *filter,
                                  pn_arena *arena, pn_doubt_list *out,
                                  pn_error *err) {
    static const nb_list_plan plan = {
        "SELECT d.kept, k.sort, k.day, d.find, d.stands, k.name, k.eaters,"
        " d.kind_then, l.kind FROM review_due AS d"
        " JOIN kept_now AS k ON k.origin = d.kept"
        " JOIN find AS l ON l.id = d.last_row WHERE 1",
        sizeof(pn_doubt), read_doubt};
    const pn_notebook_filter *by = filter != NULL ? filter : &nb_everything;
    char buf[NB_SQL_SIZE];
    pn_str sql = pn_str_in(buf, sizeof buf);
    nb_list_items items = {0};
    pn_str_addf(&sql, "%s", plan.select);
    nb_add_if(&sql, by->fact != 0, " AND d.kept = :fact");
    nb_add_if(&sql, by->find != 0, " AND d.find = :find");
    nb_add_if(&sql, by->visit != 0, " AND l.visit = :visit");
    nb_add_if(&sql, by->patch != 0,
              " AND EXISTS (SELECT 1 FROM visit_last AS v"
              " WHERE v.origin = l.visit AND v.patch = :patch)");
    pn_str_addf(&sql, " ORDER BY k.sort <> 'meal', d.kept");
    pn_status status =
        nb_run_list(nb, (nb_list_query){by, &plan, buf}, arena, &items, err);
    if (status == PN_OK) {
        *out = (pn_doubt_list){(void *)items.at, items.count};
    }
    return status;
}
