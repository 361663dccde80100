// SPDX-License-Identifier: MIT
/* Reading facts: a query put together from constant pieces, with named
 * parameters for whatever the filter gives. */
#include "notebook_internal.h"

#include <string.h>

enum { FIRST_CAPACITY = 64 };

/* The columns every list begins with; f is the fact's table or view. Only a
 * list of every version (:all) can hold a row that is superseded. */
#define FACT_COLUMNS(table)                                                    \
    "f.origin, f.id, coalesce(f.corrects, 0), f.recorded_unix_s, "             \
    "f.retracted, :all AND EXISTS (SELECT 1 FROM " table                       \
    " AS n WHERE n.corrects = f.id)"

enum { COLUMN_OWN = 6 }; /**< where a table's own columns begin */

typedef struct list_plan {
    const char *select; /**< columns */
    size_t item_size;
    /** false: out of memory */
    bool (*read)(sqlite3_stmt *stmt, pn_arena *arena, void *item);
} list_plan;

typedef struct list_items {
    char *at;
    size_t count;
    size_t capacity;
} list_items;

static bool column_text(sqlite3_stmt *stmt, int at, pn_arena *arena,
                        pn_text *out) {
    const char *text = (const char *)sqlite3_column_text(stmt, at);
    size_t len = text != NULL ? (size_t)sqlite3_column_bytes(stmt, at) : 0;
    out->at = pn_arena_copy(arena, text, len);
    out->len = len;
    return out->at != NULL;
}

static pn_fact column_fact(sqlite3_stmt *stmt) {
    return (pn_fact){
        .id = sqlite3_column_int64(stmt, 0),
        .row = sqlite3_column_int64(stmt, 1),
        .corrects = sqlite3_column_int64(stmt, 2),
        .recorded_unix_s = sqlite3_column_int64(stmt, 3),
        .retracted = sqlite3_column_int(stmt, 4) != 0,
        .superseded = sqlite3_column_int(stmt, 5) != 0,
    };
}

/* ---- running a query -------------------------------------------------- */

static void bind_named_int(sqlite3_stmt *stmt, const char *name,
                           int64_t value) {
    int at = sqlite3_bind_parameter_index(stmt, name);
    if (at != 0) {
        sqlite3_bind_int64(stmt, at, value);
    }
}

static void bind_filter(sqlite3_stmt *stmt, const pn_notebook_filter *filter) {
    bind_named_int(stmt, ":all", filter->every_version ? 1 : 0);
    bind_named_int(stmt, ":fact", filter->fact);
    bind_named_int(stmt, ":place", filter->place);
    bind_named_int(stmt, ":patch", filter->patch);
    bind_named_int(stmt, ":visit", filter->visit);
    bind_named_int(stmt, ":first", filter->first_epoch_day);
    bind_named_int(stmt, ":last", filter->last_epoch_day);
    int kind = sqlite3_bind_parameter_index(stmt, ":kind");
    if (kind != 0) {
        nb_bind_text(stmt, kind, filter->kind);
    }
}

static bool add_item(sqlite3_stmt *stmt, const list_plan *plan, pn_arena *arena,
                     list_items *items) {
    if (items->count == items->capacity) {
        size_t grown =
            items->capacity == 0 ? FIRST_CAPACITY : items->capacity * 2;
        char *bigger = pn_arena_array(arena, grown, plan->item_size);
        if (bigger == NULL) {
            return false;
        }
        if (items->count > 0) {
            memcpy(bigger, items->at, items->count * plan->item_size);
        }
        items->at = bigger;
        items->capacity = grown;
    }
    void *item = items->at + items->count * plan->item_size;
    items->count++;
    return plan->read(stmt, arena, item);
}

static pn_status collect(pn_notebook *nb, sqlite3_stmt *stmt,
                         const list_plan *plan, pn_arena *arena,
                         list_items *items) {
    for (;;) {
        int rc = sqlite3_step(stmt);
        if (rc == SQLITE_DONE) {
            return PN_OK;
        }
        if (rc != SQLITE_ROW) {
            return nb_fail(nb->db, rc, "reading the notebook", NULL);
        }
        if (!add_item(stmt, plan, arena, items)) {
            return PN_ENOMEM;
        }
    }
}

typedef struct list_query {
    const pn_notebook_filter *filter;
    const list_plan *plan;
    const char *sql;
} list_query;

static pn_status run_query(pn_notebook *nb, list_query query, pn_arena *arena,
                           list_items *items, pn_error *err) {
    sqlite3_stmt *stmt = NULL;
    int rc = sqlite3_prepare_v2(nb->db, query.sql, -1, &stmt, NULL);
    if (rc != SQLITE_OK) {
        return nb_fail(nb->db, rc, "reading the notebook", err);
    }
    bind_filter(stmt, query.filter);
    pn_status status = collect(nb, stmt, query.plan, arena, items);
    if (status == PN_ENOMEM) {
        pn_fail(err, status, "out of memory");
    } else if (status != PN_OK) {
        nb_fail(nb->db, sqlite3_errcode(nb->db), "reading the notebook", err);
    }
    sqlite3_finalize(stmt);
    return status;
}

/* The piece when it is wanted. */
static void add_if(pn_str *sql, bool wanted, const char *piece) {
    if (wanted) {
        pn_str_addf(sql, "%s", piece);
    }
}

static bool has_days(const pn_notebook_filter *filter) {
    return filter->first_epoch_day != INT32_MIN ||
           filter->last_epoch_day != INT32_MAX;
}

static const pn_notebook_filter everything = PN_NOTEBOOK_FILTER_INIT;

/* ---- places ----------------------------------------------------------- */

static bool read_place(sqlite3_stmt *stmt, pn_arena *arena, void *item) {
    pn_place *place = item;
    int at = COLUMN_OWN;
    place->fact = column_fact(stmt);
    bool copied = column_text(stmt, at++, arena, &place->name);
    place->latitude_deg = nb_column_real(stmt, at++);
    place->longitude_deg = nb_column_real(stmt, at++);
    place->elevation_m = nb_column_real(stmt, at++);
    return copied && column_text(stmt, at++, arena, &place->note);
}

pn_status pn_notebook_list_places(pn_notebook *nb,
                                  const pn_notebook_filter *filter,
                                  pn_arena *arena, pn_place_list *out,
                                  pn_error *err) {
    static const list_plan plan = {
        "SELECT " FACT_COLUMNS(
            "place") ", f.name, f.latitude_deg,"
                     " f.longitude_deg, f.elevation_m, f.note",
        sizeof(pn_place), read_place};
    const pn_notebook_filter *by = filter != NULL ? filter : &everything;
    char buf[NB_SQL_SIZE];
    pn_str sql = pn_str_in(buf, sizeof buf);
    list_items items = {0};
    pn_str_addf(&sql, "%s FROM %s AS f WHERE 1", plan.select,
                by->every_version ? "place" : "place_now");
    add_if(&sql, by->fact != 0, " AND f.origin = :fact");
    pn_str_addf(&sql, " ORDER BY f.origin, f.id");
    pn_status status =
        run_query(nb, (list_query){by, &plan, buf}, arena, &items, err);
    if (status == PN_OK) {
        *out = (pn_place_list){(void *)items.at, items.count};
    }
    return status;
}

/* ---- patches ---------------------------------------------------------- */

static bool read_patch(sqlite3_stmt *stmt, pn_arena *arena, void *item) {
    pn_patch *patch = item;
    int at = COLUMN_OWN;
    patch->fact = column_fact(stmt);
    patch->place = sqlite3_column_int64(stmt, at++);
    bool copied = column_text(stmt, at++, arena, &patch->name);
    patch->latitude_deg = nb_column_real(stmt, at++);
    patch->longitude_deg = nb_column_real(stmt, at++);
    patch->elevation_m = nb_column_real(stmt, at++);
    patch->area_m2 = nb_column_real(stmt, at++);
    pn_text *texts[] = {&patch->texture, &patch->cover, &patch->hosts,
                        &patch->access, &patch->note};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        copied = copied && column_text(stmt, at++, arena, texts[i]);
    }
    return copied;
}

pn_status pn_notebook_list_patches(pn_notebook *nb,
                                   const pn_notebook_filter *filter,
                                   pn_arena *arena, pn_patch_list *out,
                                   pn_error *err) {
    static const list_plan plan = {
        "SELECT " FACT_COLUMNS("patch") ", f.place, f.name, f.latitude_deg,"
                                        " f.longitude_deg, f.elevation_m, "
                                        "f.area_m2, f.texture, f.cover,"
                                        " f.hosts, f.access, f.note",
        sizeof(pn_patch), read_patch};
    const pn_notebook_filter *by = filter != NULL ? filter : &everything;
    char buf[NB_SQL_SIZE];
    pn_str sql = pn_str_in(buf, sizeof buf);
    list_items items = {0};
    pn_str_addf(&sql, "%s FROM %s AS f WHERE 1", plan.select,
                by->every_version ? "patch" : "patch_now");
    add_if(&sql, by->fact != 0, " AND f.origin = :fact");
    add_if(&sql, by->place != 0, " AND f.place = :place");
    pn_str_addf(&sql, " ORDER BY f.origin, f.id");
    pn_status status =
        run_query(nb, (list_query){by, &plan, buf}, arena, &items, err);
    if (status == PN_OK) {
        *out = (pn_patch_list){(void *)items.at, items.count};
    }
    return status;
}

static bool read_patch_kind(sqlite3_stmt *stmt, pn_arena *arena, void *item) {
    pn_patch_kind *kind = item;
    int at = COLUMN_OWN;
    kind->fact = column_fact(stmt);
    kind->patch = sqlite3_column_int64(stmt, at++);
    bool copied = column_text(stmt, at++, arena, &kind->kind);
    kind->productivity = nb_column_real(stmt, at++);
    return copied && column_text(stmt, at++, arena, &kind->note);
}

pn_status pn_notebook_list_patch_kinds(pn_notebook *nb,
                                       const pn_notebook_filter *filter,
                                       pn_arena *arena, pn_patch_kind_list *out,
                                       pn_error *err) {
    static const list_plan plan = {
        "SELECT " FACT_COLUMNS("patch_kind") ", f.patch, f.kind,"
                                             " f.productivity, f.note",
        sizeof(pn_patch_kind), read_patch_kind};
    const pn_notebook_filter *by = filter != NULL ? filter : &everything;
    char buf[NB_SQL_SIZE];
    pn_str sql = pn_str_in(buf, sizeof buf);
    list_items items = {0};
    pn_str_addf(&sql, "%s FROM %s AS f WHERE 1", plan.select,
                by->every_version ? "patch_kind" : "patch_kind_now");
    add_if(&sql, by->fact != 0, " AND f.origin = :fact");
    add_if(&sql, by->patch != 0, " AND f.patch = :patch");
    add_if(&sql, by->kind.len != 0, " AND f.kind = :kind");
    pn_str_addf(&sql, " ORDER BY f.origin, f.id");
    pn_status status =
        run_query(nb, (list_query){by, &plan, buf}, arena, &items, err);
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
    int at = COLUMN_OWN;
    visit->fact = column_fact(stmt);
    visit->patch = sqlite3_column_int64(stmt, at++);
    visit->epoch_day = nb_column_day(stmt, at++);
    visit->minutes = nb_column_real(stmt, at++);
    visit->looked_for =
        sqlite3_column_int(stmt, at++) != 0 ? PN_LOOKED_ALL : PN_LOOKED_LISTED;
    return column_text(stmt, at, arena, &visit->observer) &&
           column_text(stmt, at + 1, arena, &visit->note);
}

pn_status pn_notebook_list_visits(pn_notebook *nb,
                                  const pn_notebook_filter *filter,
                                  pn_arena *arena, pn_visit_list *out,
                                  pn_error *err) {
    static const list_plan plan = {
        "SELECT " FACT_COLUMNS(
            "visit") ", f.patch, f.day, f.minutes, f.looked_for = 'all', "
                     "f.observer, f.note",
        sizeof(pn_visit), read_visit};
    const pn_notebook_filter *by = filter != NULL ? filter : &everything;
    char buf[NB_SQL_SIZE];
    pn_str sql = pn_str_in(buf, sizeof buf);
    list_items items = {0};
    pn_str_addf(&sql, "%s FROM %s AS f WHERE 1", plan.select,
                by->every_version ? "visit" : "visit_last");
    add_if(&sql, !by->every_version, STANDS("f"));
    add_if(&sql, by->fact != 0, " AND f.origin = :fact");
    add_if(&sql, by->patch != 0, " AND f.patch = :patch");
    add_if(&sql, has_days(by), " AND f.day BETWEEN :first AND :last");
    add_if(&sql, by->kind.len != 0,
           " AND EXISTS (SELECT 1 FROM find_now AS d WHERE d.kind = :kind"
           " AND d.visit = f.origin)");
    pn_str_addf(&sql, " ORDER BY f.day, f.origin, f.id");
    pn_status status =
        run_query(nb, (list_query){by, &plan, buf}, arena, &items, err);
    if (status == PN_OK) {
        *out = (pn_visit_list){(void *)items.at, items.count};
    }
    return status;
}

static bool read_find(sqlite3_stmt *stmt, pn_arena *arena, void *item) {
    pn_find *find = item;
    int at = COLUMN_OWN;
    find->fact = column_fact(stmt);
    find->visit = sqlite3_column_int64(stmt, at++);
    bool copied = column_text(stmt, at++, arena, &find->kind);
    bool counted = sqlite3_column_type(stmt, at) != SQLITE_NULL;
    find->count = counted ? sqlite3_column_int64(stmt, at) : -1;
    at++;
    find->fresh_g = nb_column_real(stmt, at++);
    pn_text *texts[] = {&find->stage, &find->part, &find->note};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        copied = copied && column_text(stmt, at++, arena, texts[i]);
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
    add_if(sql, !by->every_version, STANDS("v"));
    add_if(sql, !by->every_version,
           " AND f.retracted = 0 AND NOT EXISTS (SELECT 1 FROM find AS n"
           " WHERE n.corrects = f.id)");
}

pn_status pn_notebook_list_finds(pn_notebook *nb,
                                 const pn_notebook_filter *filter,
                                 pn_arena *arena, pn_find_list *out,
                                 pn_error *err) {
    static const list_plan plan = {
        "SELECT " FACT_COLUMNS(
            "find") ", f.visit, f.kind, f.count,"
                    " f.fresh_g, f.stage, f.part, f.note, v.day, v.patch",
        sizeof(pn_find), read_find};
    const pn_notebook_filter *by = filter != NULL ? filter : &everything;
    char buf[NB_SQL_SIZE];
    pn_str sql = pn_str_in(buf, sizeof buf);
    list_items items = {0};
    pn_str_addf(&sql, "%s", plan.select);
    add_find_tables(&sql, by);
    add_if(&sql, by->fact != 0,
           " AND (f.id = :fact OR"
           " (f.corrects IS NOT NULL AND f.origin = :fact))"
           " AND f.origin = :fact");
    add_if(&sql, by->visit != 0, " AND v.origin = :visit");
    add_if(&sql, by->patch != 0, " AND v.patch = :patch");
    add_if(&sql, by->kind.len != 0, " AND f.kind = :kind");
    add_if(&sql, has_days(by), " AND v.day BETWEEN :first AND :last");
    pn_str_addf(&sql, " ORDER BY v.day, v.origin, f.origin, f.id");
    pn_status status =
        run_query(nb, (list_query){by, &plan, buf}, arena, &items, err);
    if (status == PN_OK) {
        *out = (pn_find_list){(void *)items.at, items.count};
    }
    return status;
}

/* ---- weather sources -------------------------------------------------- */

static bool read_source(sqlite3_stmt *stmt, pn_arena *arena, void *item) {
    pn_weather_source *source = item;
    int at = COLUMN_OWN;
    source->fact = column_fact(stmt);
    bool copied = column_text(stmt, at++, arena, &source->name);
    source->latitude_deg = nb_column_real(stmt, at++);
    source->longitude_deg = nb_column_real(stmt, at++);
    source->elevation_m = nb_column_real(stmt, at++);
    copied = copied && column_text(stmt, at++, arena, &source->licence) &&
             column_text(stmt, at++, arena, &source->note);
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
    static const list_plan plan = {
        "SELECT " FACT_COLUMNS(
            "weather_source") ", f.name, f.latitude_deg,"
                              " f.longitude_deg, f.elevation_m, f.licence, "
                              "f.note",
        sizeof(pn_weather_source), read_source};
    const pn_notebook_filter *by = filter != NULL ? filter : &everything;
    char buf[NB_SQL_SIZE];
    pn_str sql = pn_str_in(buf, sizeof buf);
    list_items items = {0};
    pn_str_addf(&sql, "%s FROM %s AS f WHERE 1", plan.select,
                by->every_version ? "weather_source" : "weather_source_now");
    add_if(&sql, by->fact != 0, " AND f.origin = :fact");
    pn_str_addf(&sql, " ORDER BY f.origin, f.id");
    pn_status status =
        run_query(nb, (list_query){by, &plan, buf}, arena, &items, err);
    if (status == PN_OK) {
        *out = (pn_weather_source_list){(void *)items.at, items.count};
        status = add_spans(nb, *out, err);
    }
    return status;
}
