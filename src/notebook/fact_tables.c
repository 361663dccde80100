// SPDX-License-Identifier: MIT
/* What is particular to each table of facts: are the values possible, does
 * the fact fit what is there, and which value goes into which column. */
#include "notebook_internal.h"

#include <math.h>

/* ---- positions --------------------------------------------------------- */

typedef struct position {
    double latitude_deg;
    double longitude_deg;
    double elevation_m;
} position;

static pn_status check_position(position at, bool elevation_may_be_unknown,
                                pn_error *err) {
    static const nb_number_rule latitude = {"latitude", -90, 90, false};
    static const nb_number_rule longitude = {"longitude", -180, 180, false};
    nb_number_rule elevation = {"elevation in metres", -430, 9000,
                                elevation_may_be_unknown};
    pn_status status = nb_check_number(at.latitude_deg, latitude, err);
    if (status == PN_OK) {
        status = nb_check_number(at.longitude_deg, longitude, err);
    }
    if (status == PN_OK) {
        status = nb_check_number(at.elevation_m, elevation, err);
    }
    return status;
}

/* ---- what is there already -------------------------------------------- */

pn_status nb_must_be_current(pn_notebook *nb, pn_fact_table table, int64_t id,
                             pn_error *err) {
    sqlite3_stmt *stmt = NULL;
    pn_status status = nb_op_statement(nb, table, NB_IS_CURRENT, &stmt, err);
    if (status != PN_OK) {
        return status;
    }
    bool there = false;
    sqlite3_bind_int64(stmt, 1, id);
    status = nb_row(nb, stmt, &there, err);
    nb_reset(stmt);
    if (status == PN_OK && !there) {
        return pn_fail(err, PN_ENOTFOUND, "there is no %s %lld",
                       nb_tables[table].label, (long long)id);
    }
    return status;
}

typedef struct taken_name {
    nb_query query;
    const char *what; /**< "place" */
    pn_text name;
    int64_t own_id; /**< 0: a new fact */
    int64_t patch;  /**< NB_KIND_AT_PATCH only */
} taken_name;

static pn_status must_be_free(pn_notebook *nb, taken_name wanted,
                              pn_error *err) {
    sqlite3_stmt *stmt = NULL;
    pn_status status = nb_query_statement(nb, wanted.query, &stmt, err);
    if (status != PN_OK) {
        return status;
    }
    bool taken = false;
    nb_bind_text(stmt, 1, wanted.name);
    sqlite3_bind_int64(stmt, 2, wanted.own_id);
    if (wanted.query == NB_KIND_AT_PATCH) {
        sqlite3_bind_int64(stmt, 3, wanted.patch);
    }
    status = nb_row(nb, stmt, &taken, err);
    int64_t owner = taken ? sqlite3_column_int64(stmt, 0) : 0;
    nb_reset(stmt);
    if (status == PN_OK && taken) {
        return pn_fail(err, PN_EEXISTS, "there is already a %s \"%.*s\" (%lld)",
                       wanted.what, (int)wanted.name.len, wanted.name.at,
                       (long long)owner);
    }
    return status;
}

/* ---- the tables ------------------------------------------------------- */

static pn_status check_place(const void *item, pn_error *err) {
    const pn_place *place = item;
    const nb_checked_text texts[] = {
        {place->name, {"name of a place", 1, 200}},
        {place->note, {"note of a place", 0, 10000}},
    };
    position at = {place->latitude_deg, place->longitude_deg,
                   place->elevation_m};
    pn_status status = nb_check_texts(texts, sizeof texts / sizeof *texts, err);
    return status == PN_OK ? check_position(at, true, err) : status;
}

static pn_status place_fits(pn_notebook *nb, const void *item, int64_t own_id,
                            pn_error *err) {
    const pn_place *place = item;
    taken_name name = {NB_PLACE_NAMED, "place", place->name, own_id, 0};
    return must_be_free(nb, name, err);
}

static void bind_place(sqlite3_stmt *stmt, const void *item) {
    const pn_place *place = item;
    int at = NB_FIRST_COLUMN;
    nb_bind_text(stmt, at++, place->name);
    nb_bind_real(stmt, at++, place->latitude_deg);
    nb_bind_real(stmt, at++, place->longitude_deg);
    nb_bind_real(stmt, at++, place->elevation_m);
    nb_bind_text(stmt, at++, place->note);
}

static pn_status check_patch(const void *item, pn_error *err) {
    const pn_patch *patch = item;
    static const nb_number_rule area = {"area in square metres", NB_ABOVE_ZERO,
                                        1e12, true};
    const nb_checked_text texts[] = {
        {patch->name, {"name of a patch", 1, 200}},
        {patch->texture, {"texture of a patch", 0, 60}},
        {patch->cover, {"cover of a patch", 0, 60}},
        {patch->hosts, {"host trees of a patch", 0, 200}},
        {patch->access, {"access to a patch", 0, 1000}},
        {patch->note, {"note of a patch", 0, 10000}},
    };
    position at = {patch->latitude_deg, patch->longitude_deg,
                   patch->elevation_m};
    pn_status status = nb_check_texts(texts, sizeof texts / sizeof *texts, err);
    if (status == PN_OK) {
        status = check_position(at, true, err);
    }
    return status == PN_OK ? nb_check_number(patch->area_m2, area, err)
                           : status;
}

static pn_status patch_fits(pn_notebook *nb, const void *item, int64_t own_id,
                            pn_error *err) {
    const pn_patch *patch = item;
    taken_name name = {NB_PATCH_NAMED, "patch", patch->name, own_id, 0};
    pn_status status = nb_must_be_current(nb, PN_FACT_PLACE, patch->place, err);
    return status == PN_OK ? must_be_free(nb, name, err) : status;
}

static void bind_patch(sqlite3_stmt *stmt, const void *item) {
    const pn_patch *patch = item;
    int at = NB_FIRST_COLUMN;
    sqlite3_bind_int64(stmt, at++, patch->place);
    nb_bind_text(stmt, at++, patch->name);
    nb_bind_real(stmt, at++, patch->latitude_deg);
    nb_bind_real(stmt, at++, patch->longitude_deg);
    nb_bind_real(stmt, at++, patch->elevation_m);
    nb_bind_real(stmt, at++, patch->area_m2);
    nb_bind_text(stmt, at++, patch->texture);
    nb_bind_text(stmt, at++, patch->cover);
    nb_bind_text(stmt, at++, patch->hosts);
    nb_bind_text(stmt, at++, patch->access);
    nb_bind_text(stmt, at++, patch->note);
}

static pn_status check_patch_kind(const void *item, pn_error *err) {
    const pn_patch_kind *kind = item;
    static const nb_number_rule productivity = {"productivity", NB_ABOVE_ZERO,
                                                1e6, true};
    const nb_checked_text texts[] = {
        {kind->kind, {"kind", 1, 60}},
        {kind->note, {"note of a kind", 0, 10000}},
    };
    pn_status status = nb_check_texts(texts, sizeof texts / sizeof *texts, err);
    return status == PN_OK
               ? nb_check_number(kind->productivity, productivity, err)
               : status;
}

static pn_status patch_kind_fits(pn_notebook *nb, const void *item,
                                 int64_t own_id, pn_error *err) {
    const pn_patch_kind *kind = item;
    taken_name name = {NB_KIND_AT_PATCH, "kind", kind->kind, own_id,
                       kind->patch};
    pn_status status = nb_must_be_current(nb, PN_FACT_PATCH, kind->patch, err);
    return status == PN_OK ? must_be_free(nb, name, err) : status;
}

static void bind_patch_kind(sqlite3_stmt *stmt, const void *item) {
    const pn_patch_kind *kind = item;
    int at = NB_FIRST_COLUMN;
    sqlite3_bind_int64(stmt, at++, kind->patch);
    nb_bind_text(stmt, at++, kind->kind);
    nb_bind_real(stmt, at++, kind->productivity);
    nb_bind_text(stmt, at++, kind->note);
}

static pn_status check_visit(const void *item, pn_error *err) {
    const pn_visit *visit = item;
    static const nb_number_rule day = {"day of a visit (days since 1970)",
                                       -25567, 84005, false};
    static const nb_number_rule minutes = {"minutes of a visit", NB_ABOVE_ZERO,
                                           1440, true};
    const nb_checked_text texts[] = {
        {visit->observer, {"observer of a visit", 0, 200}},
        {visit->note, {"note of a visit", 0, 10000}},
    };
    pn_status status = nb_check_texts(texts, sizeof texts / sizeof *texts, err);
    if (status == PN_OK) {
        status = nb_check_number(visit->epoch_day, day, err);
    }
    if (status == PN_OK) {
        status = nb_check_number(visit->minutes, minutes, err);
    }
    if (status == PN_OK && visit->looked_for != PN_LOOKED_LISTED &&
        visit->looked_for != PN_LOOKED_ALL) {
        return pn_fail(err, PN_EDOMAIN, "what a visit looked for is not known");
    }
    return status;
}

static pn_status visit_fits(pn_notebook *nb, const void *item, int64_t own_id,
                            pn_error *err) {
    const pn_visit *visit = item;
    (void)own_id;
    return nb_must_be_current(nb, PN_FACT_PATCH, visit->patch, err);
}

static void bind_visit(sqlite3_stmt *stmt, const void *item) {
    const pn_visit *visit = item;
    int at = NB_FIRST_COLUMN;
    sqlite3_bind_int64(stmt, at++, visit->patch);
    sqlite3_bind_int64(stmt, at++, visit->epoch_day);
    nb_bind_real(stmt, at++, visit->minutes);
    nb_bind_text(
        stmt, at++,
        pn_text_of(visit->looked_for == PN_LOOKED_ALL ? "all" : "listed"));
    nb_bind_text(stmt, at++, visit->observer);
    nb_bind_text(stmt, at++, visit->note);
}

static pn_status check_find(const void *item, pn_error *err) {
    const pn_find *find = item;
    static const nb_number_rule count = {"count of a find", -1, 1e9, false};
    static const nb_number_rule fresh = {"fresh weight in grams", 0, 1e9, true};
    const nb_checked_text texts[] = {
        {find->kind, {"kind of a find", 1, 60}},
        {find->stage, {"stage of a find", 0, 60}},
        {find->part, {"part of a find", 0, 60}},
        {find->note, {"note of a find", 0, 10000}},
    };
    pn_status status = nb_check_texts(texts, sizeof texts / sizeof *texts, err);
    if (status == PN_OK) {
        status = nb_check_number((double)find->count, count, err);
    }
    if (status == PN_OK) {
        status = nb_check_number(find->fresh_g, fresh, err);
    }
    if (status == PN_OK && find->count == 0 && find->fresh_g > 0.0) {
        return pn_fail(err, PN_EDOMAIN,
                       "a find of count 0 (looked for and not found) cannot "
                       "weigh %g g",
                       find->fresh_g);
    }
    return status;
}

static pn_status find_fits(pn_notebook *nb, const void *item, int64_t own_id,
                           pn_error *err) {
    const pn_find *find = item;
    (void)own_id;
    return nb_must_be_current(nb, PN_FACT_VISIT, find->visit, err);
}

static void bind_find(sqlite3_stmt *stmt, const void *item) {
    const pn_find *find = item;
    int at = NB_FIRST_COLUMN;
    sqlite3_bind_int64(stmt, at++, find->visit);
    nb_bind_text(stmt, at++, find->kind);
    if (find->count >= 0) {
        sqlite3_bind_int64(stmt, at++, find->count);
    } else {
        sqlite3_bind_null(stmt, at++);
    }
    nb_bind_real(stmt, at++, find->fresh_g);
    nb_bind_text(stmt, at++, find->stage);
    nb_bind_text(stmt, at++, find->part);
    nb_bind_text(stmt, at++, find->note);
}

static pn_status check_source(const void *item, pn_error *err) {
    const pn_weather_source *source = item;
    const nb_checked_text texts[] = {
        {source->name, {"name of a weather source", 1, 200}},
        {source->licence, {"licence of a weather source", 0, 1000}},
        {source->note, {"note of a weather source", 0, 10000}},
    };
    position at = {source->latitude_deg, source->longitude_deg,
                   source->elevation_m};
    pn_status status = nb_check_texts(texts, sizeof texts / sizeof *texts, err);
    return status == PN_OK ? check_position(at, false, err) : status;
}

static pn_status source_fits(pn_notebook *nb, const void *item, int64_t own_id,
                             pn_error *err) {
    const pn_weather_source *source = item;
    taken_name name = {NB_SOURCE_NAMED, "weather source", source->name, own_id,
                       0};
    return must_be_free(nb, name, err);
}

static void bind_source(sqlite3_stmt *stmt, const void *item) {
    const pn_weather_source *source = item;
    int at = NB_FIRST_COLUMN;
    nb_bind_text(stmt, at++, source->name);
    nb_bind_real(stmt, at++, source->latitude_deg);
    nb_bind_real(stmt, at++, source->longitude_deg);
    nb_bind_real(stmt, at++, source->elevation_m);
    nb_bind_text(stmt, at++, source->licence);
    nb_bind_text(stmt, at++, source->note);
}

const nb_writer nb_writers[PN_FACT_TABLE_COUNT] = {
    [PN_FACT_PLACE] = {check_place, place_fits, bind_place},
    [PN_FACT_PATCH] = {check_patch, patch_fits, bind_patch},
    [PN_FACT_PATCH_KIND] = {check_patch_kind, patch_kind_fits, bind_patch_kind},
    [PN_FACT_VISIT] = {check_visit, visit_fits, bind_visit},
    [PN_FACT_FIND] = {check_find, find_fits, bind_find},
    [PN_FACT_WEATHER_SOURCE] = {check_source, source_fits, bind_source},
    [PN_FACT_CHECK_SESSION] = {nb_check_session_values, nb_session_fits,
                               nb_bind_session},
    [PN_FACT_PHOTO] = {nb_check_photo_values, nb_photo_fits, nb_bind_photo},
    [PN_FACT_KEPT] = {nb_check_kept_values, nb_kept_fits, nb_bind_kept},
    [PN_FACT_REVIEW] = {nb_check_review_values, nb_review_fits, nb_bind_review},
};

pn_status nb_check_import(const pn_weather_import *import, pn_error *err) {
    const nb_checked_text texts[] = {
        {import->file_names, {"names of the files", 0, 100000}},
        {import->report, {"report of the import", 0, 1000000}},
    };
    pn_status status = nb_check_time(import->recorded_unix_s, err);
    if (status != PN_OK) {
        return status;
    }
    return nb_check_texts(texts, sizeof texts / sizeof *texts, err);
}
