// SPDX-License-Identifier: MIT
/* Reading facts: a query put together from constant pieces, with named
 * parameters for whatever the filter gives. */
#include "notebook_internal.h"

/* ---- places ----------------------------------------------------------- */

static bool read_place(sqlite3_stmt *stmt, pn_arena *arena, void *item) {
    pn_place *place = item;
    int at = NB_COLUMN_OWN;
    place->fact = nb_column_fact(stmt);
    bool copied = nb_column_text(stmt, at++, arena, &place->name);
    place->latitude_deg = nb_column_real(stmt, at++);
    place->longitude_deg = nb_column_real(stmt, at++);
    place->elevation_m = nb_column_real(stmt, at++);
    return copied && nb_column_text(stmt, at++, arena, &place->note);
}

pn_status pn_notebook_list_places(pn_notebook *nb,
                                  const pn_notebook_filter *filter,
                                  pn_arena *arena, pn_place_list *out,
                                  pn_error *err) {
    static const nb_list_plan plan = {
        "SELECT " NB_FACT_COLUMNS(
            "place") ", f.name, f.latitude_deg,"
                     " f.longitude_deg, f.elevation_m, f.note",
        sizeof(pn_place), read_place};
    const pn_notebook_filter *by = filter != NULL ? filter : &nb_everything;
    char buf[NB_SQL_SIZE];
    pn_str sql = pn_str_in(buf, sizeof buf);
    nb_list_items items = {0};
    pn_str_addf(&sql, "%s FROM %s AS f WHERE 1", plan.select,
                by->every_version ? "place" : "place_now");
    nb_add_if(&sql, by->fact != 0, " AND f.origin = :fact");
    pn_str_addf(&sql, " ORDER BY f.origin, f.id");
    pn_status status =
        nb_run_list(nb, (nb_list_query){by, &plan, buf}, arena, &items, err);
    if (status == PN_OK) {
        *out = (pn_place_list){(void *)items.at, items.count};
    }
    return status;
}

/* ---- patches ---------------------------------------------------------- */

static bool read_patch(sqlite3_stmt *stmt, pn_arena *arena, void *item) {
    pn_patch *patch = item;
    int at = NB_COLUMN_OWN;
    patch->fact = nb_column_fact(stmt);
    patch->place = sqlite3_column_int64(stmt, at++);
    bool copied = nb_column_text(stmt, at++, arena, &patch->name);
    patch->latitude_deg = nb_column_real(stmt, at++);
    patch->longitude_deg = nb_column_real(stmt, at++);
    patch->elevation_m = nb_column_real(stmt, at++);
    patch->area_m2 = nb_column_real(stmt, at++);
    pn_text *texts[] = {&patch->texture, &patch->cover, &patch->hosts,
                        &patch->access, &patch->note};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        copied = copied && nb_column_text(stmt, at++, arena, texts[i]);
    }
    return copied;
}

pn_status pn_notebook_list_patches(pn_notebook *nb,
                                   const pn_notebook_filter *filter,
                                   pn_arena *arena, pn_patch_list *out,
                                   pn_error *err) {
    static const nb_list_plan plan = {
        "SELECT " NB_FACT_COLUMNS("patch") ", f.place, f.name, f.latitude_deg,"
                                           " f.longitude_deg, f.elevation_m, "
                                           "f.area_m2, f.texture, f.cover,"
                                           " f.hosts, f.access, f.note",
        sizeof(pn_patch), read_patch};
    const pn_notebook_filter *by = filter != NULL ? filter : &nb_everything;
    char buf[NB_SQL_SIZE];
    pn_str sql = pn_str_in(buf, sizeof buf);
    nb_list_items items = {0};
    pn_str_addf(&sql, "%s FROM %s AS f WHERE 1", plan.select,
                by->every_version ? "patch" : "patch_now");
    nb_add_if(&sql, by->fact != 0, " AND f.origin = :fact");
    nb_add_if(&sql, by->place != 0, " AND f.place = :place");
    pn_str_addf(&sql, " ORDER BY f.origin, f.id");
    pn_status status =
        nb_run_list(nb, (nb_list_query){by, &plan, buf}, arena, &items, err);
    if (status == PN_OK) {
        *out = (pn_patch_list){(void *)items.at, items.count};
    }
    return status;
}

static bool read_patch_kind(sqlite3_stmt *stmt, pn_arena *arena, void *item) {
    pn_patch_kind *kind = item;
    int at = NB_COLUMN_OWN;
    kind->fact = nb_column_fact(stmt);
    kind->patch = sqlite3_column_int64(stmt, at++);
    bool copied = nb_column_text(stmt, at++, arena, &kind->kind);
    kind->productivity = nb_column_real(stmt, at++);
    return copied && nb_column_text(stmt, at++, arena, &kind->note);
}

pn_status pn_notebook_list_patch_kinds(pn_notebook *nb,
                                       const pn_notebook_filter *filter,
                                       pn_arena *arena, pn_patch_kind_list *out,
                                       pn_error *err) {
    static const nb_list_plan plan = {
        "SELECT " NB_FACT_COLUMNS("patch_kind") ", f.patch, f.kind,"
                                                " f.productivity, f.note",
        sizeof(pn_patch_kind), read_patch_kind};
    const pn_notebook_filter *by = filter != NULL ? filter : &nb_everything;
    char buf[NB_SQL_SIZE];
    pn_str sql = pn_str_in(buf, sizeof buf);
    nb_list_items items = {0};
    pn_str_addf(&sql, "%s FROM %s AS f WHERE 1", plan.select,
                by->every_version ? "patch_kind" : "patch_kind_now");
    nb_add_if(&sql, by->fact != 0, " AND f.origin = :fact");
    nb_add_if(&sql, by->patch != 0, " AND f.patch = :patch");
    nb_add_if(&sql, by->kind.len != 0, " AND f.kind = :kind");
    pn_str_addf(&sql, " ORDER BY f.origin, f.id");
    pn_status status =
        nb_run_list(nb, (nb_list_query){by, &plan, buf}, arena, &items, err);
    if (status == PN_OK) {
        *out = (pn_patch_kind_list){(void *)items.at, items.count};
    }
    return status;
}

/* ---- visits and finds ------------------------------------------------- */

/* As visit_now has it, but all standing patches are looked up once instead of
 * one for each visit: long lists are a quarter faster. */
#define STANDS(visit)                                                          \
    " AND " visit ".retracted = 0 AND " visit                                  \
    ".patch IN (SELECT origin FROM patch_now)"

static bool read_visit(sqlite3_stmt *stmt, pn_arena *arena, void *item) {
    pn_visit *visit = item;
    int at = NB_COLUMN_OWN;
    visit->fact = nb_column_fact(stmt);
    visit->patch = sqlite3_column_int64(stmt, at++);
    visit->epoch_day = nb_column_day(stmt, at++);
    visit->minutes = nb_column_real(stmt, at++);
    visit->looked_for =
        sqlite3_column_int(stmt, at++) != 0 ? PN_LOOKED_ALL : PN_LOOKED_LISTED;
    return nb_column_text(stmt, at, arena, &visit->observer) &&
           nb_column_text(stmt, at + 1, arena, &visit->note);
}

pn_status pn_notebook_list_visits(pn_notebook *nb,
                                  const pn_notebook_filter *filter,
                                  pn_arena *arena, pn_visit_list *out,
                                  pn_error *err) {
    static const nb_list_plan plan = {
        "SELECT " NB_FACT_COLUMNS(
            "visit") ", f.patch, f.day, f.minutes, f.looked_for = 'all', "
                     "f.observer, f.note",
        sizeof(pn_visit), read_visit};
    const pn_notebook_filter *by = filter != NULL ? filter : &nb_everything;
    char buf[NB_SQL_SIZE];
    pn_str sql = pn_str_in(buf, sizeof buf);
    nb_list_items items = {0};
    pn_str_addf(&sql, "%s FROM %s AS f WHERE 1", plan.select,
                by->every_version ? "visit" : "visit_last");
    nb_add_if(&sql, !by->every_version, STANDS("f"));
    nb_add_if(&sql, by->fact != 0, " AND f.origin = :fact");
    nb_add_if(&sql, by->patch != 0, " AND f.patch = :patch");
    nb_add_if(&sql, nb_has_days(by), " AND f.day BETWEEN :first AND :last");
    nb_add_if(&sql, by->kind.len != 0,
              " AND EXISTS (SELECT 1 FROM find_now AS d WHERE d.kind = :kind"
              " AND d.visit = f.origin)");
    pn_str_addf(&sql, " ORDER BY f.day, f.origin, f.id");
    pn_status status =
        nb_run_list(nb, (nb_list_query){by, &plan, buf}, arena, &items, err);
    if (status == PN_OK) {
        *out = (pn_visit_list){(void *)items.at, items.count};
    }
    return status;
}

static bool read_find(sqlite3_stmt *stmt, pn_arena *arena, void *item) {
    pn_find *find = item;
    int at = NB_COLUMN_OWN;
    find->fact = nb_column_fact(stmt);
    find->visit = sqlite3_column_int64(stmt, at++);
    bool copied = nb_column_text(stmt, at++, arena, &find->kind);
    bool counted = sqlite3_column_type(stmt, at) != SQLITE_NULL;
    find->count = counted ? sqlite3_column_int64(stmt, at) : -1;
    at++;
    find->fresh_g = nb_column_real(stmt, at++);
    pn_text *texts[] = {&find->stage, &find->part, &find->note};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        copied = copied && nb_column_text(stmt, at++, arena, texts[i]);
    }
    find->epoch_day = nb_column_day(stmt, at++);
    find->patch = sqlite3_column_int64(stmt, at++);
    return copied;
}

/* Which side is read first decides the speed: from the visits of a patch to
 * their finds, but from the finds of a kind to their visits. The day and the
 * patch are those of the visit's latest version. */
static void add_find_tables(pn_str *sql, const pn_notebook_filter *by) {
    bool kind_first = by->kind.len != 0 && by->patch == 0 && by->visit == 0;
    bool find_first = by->fact != 0 || kind_first;
    pn_str_addf(sql, "%s ON f.visit = v.origin WHERE 1",
                find_first ? " FROM find AS f CROSS JOIN visit_last AS v"
                           : " FROM visit_last AS v CROSS JOIN find AS f");
    nb_add_if(sql, !by->every_version, STANDS("v"));
    nb_add_if(sql, !by->every_version,
              " AND f.retracted = 0 AND NOT EXISTS (SELECT 1 FROM find AS n"
              " WHERE n.corrects = f.id)");
}

pn_status pn_notebook_list_finds(pn_notebook *nb,
                                 const pn_notebook_filter *filter,
                                 pn_arena *arena, pn_find_list *out,
                                 pn_error *err) {
    static const nb_list_plan plan = {
        "SELECT " NB_FACT_COLUMNS(
            "find") ", f.visit, f.kind, f.count,"
                    " f.fresh_g, f.stage, f.part, f.note, v.day, v.patch",
        sizeof(pn_find), read_find};
    const pn_notebook_filter *by = filter != NULL ? filter : &nb_everything;
    char buf[NB_SQL_SIZE];
    pn_str sql = pn_str_in(buf, sizeof buf);
    nb_list_items items = {0};
    pn_str_addf(&sql, "%s", plan.select);
    add_find_tables(&sql, by);
    nb_add_if(&sql, by->fact != 0,
              " AND (f.id = :fact OR"
              " (f.corrects IS NOT NULL AND f.origin = :fact))"
              " AND f.origin = :fact");
    nb_add_if(&sql, by->visit != 0, " AND v.origin = :visit");
    nb_add_if(&sql, by->patch != 0, " AND v.patch = :patch");
    nb_add_if(&sql, by->kind.len != 0, " AND f.kind = :kind");
    nb_add_if(&sql, nb_has_days(by), " AND v.day BETWEEN :first AND :last");
    pn_str_addf(&sql, " ORDER BY v.day, v.origin, f.origin, f.id");
    pn_status status =
        nb_run_list(nb, (nb_list_query){by, &plan, buf}, arena, &items, err);
    if (status == PN_OK) {
        *out = (pn_find_list){(void *)items.at, items.count};
    }
    return status;
}

/* ---- weather sources -------------------------------------------------- */

static bool read_source(sqlite3_stmt *stmt, pn_arena *arena, void *item) {
    pn_weather_source *source = item;
    int at = NB_COLUMN_OWN;
    source->fact = nb_column_fact(stmt);
    bool copied = nb_column_text(stmt, at++, arena, &source->name);
    source->latitude_deg = nb_column_real(stmt, at++);
    source->longitude_deg = nb_column_real(stmt, at++);
    source->elevation_m = nb_column_real(stmt, at++);
    copied = copied && nb_column_text(stmt, at++, arena, &source->licence) &&
             nb_column_text(stmt, at++, arena, &source->note);
    return copied;
}

static pn_status add_spans(pn_notebook *nb, pn_weather_source_list list,
                           pn_error *err) {
    for (size_t i = 0; i < list.count; i++) {
        pn_weather_source *source = &list.at[i];
        nb_days measured = {0};
        nb_days forecast = {0};
        pn_status status =
            nb_source_days(nb, source->fact.id, false, &measured, err);
        if (status == PN_OK) {
            status = nb_source_days(nb, source->fact.id, true, &forecast, err);
        }
        if (status != PN_OK) {
            return status;
        }
        source->first_epoch_day = measured.first_epoch_day;
        source->last_epoch_day = measured.last_epoch_day;
        source->last_forecast_epoch_day = forecast.last_epoch_day;
    }
    return PN_OK;
}

pn_status pn_notebook_list_weather_sources(pn_notebook *nb,
                                           const pn_notebook_filter *filter,
                                           pn_arena *arena,
                                           pn_weather_source_list *out,
                                           pn_error *err) {
    static const nb_list_plan plan = {
        "SELECT " NB_FACT_COLUMNS(
            "weather_source") ", f.name, f.latitude_deg,"
                              " f.longitude_deg, f.elevation_m, f.licence, "
                              "f.note",
        sizeof(pn_weather_source), read_source};
    const pn_notebook_filter *by = filter != NULL ? filter : &nb_everything;
    char buf[NB_SQL_SIZE];
    pn_str sql = pn_str_in(buf, sizeof buf);
    nb_list_items items = {0};
    pn_str_addf(&sql, "%s FROM %s AS f WHERE 1", plan.select,
                by->every_version ? "weather_source" : "weather_source_now");
    nb_add_if(&sql, by->fact != 0, " AND f.origin = :fact");
    pn_str_addf(&sql, " ORDER BY f.origin, f.id");
    pn_status status =
        nb_run_list(nb, (nb_list_query){by, &plan, buf}, arena, &items, err);
    if (status == PN_OK) {
        *out = (pn_weather_source_list){(void *)items.at, items.count};
        status = add_spans(nb, *out, err);
    }
    return status;
}
