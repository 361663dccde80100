// SPDX-License-Identifier: MIT
/* Weather: whole records in, merged records out. */
#include "notebook_internal.h"

#include <assert.h>
#include <math.h>

enum {
    STORED_QUALITY = PN_SKY_SUSPECT | PN_SKY_ESTIMATED,
    MADE_UP = PN_SKY_FILLED | PN_SKY_CLIMATOLOGY,
    PROGRESS_DAYS = 1024
};

/* ---- what there is ---------------------------------------------------- */

pn_status nb_source_days(pn_notebook *nb, int64_t source, bool forecast,
                         nb_days *out, pn_error *err) {
    sqlite3_stmt *stmt = NULL;
    bool row = false;
    *out = (nb_days){.first_epoch_day = INT32_MAX, .last_epoch_day = INT32_MIN};
    pn_status status = nb_query_statement(nb, NB_SOURCE_SPAN, &stmt, err);
    if (status != PN_OK) {
        return status;
    }
    sqlite3_bind_int64(stmt, 1, source);
    sqlite3_bind_int(stmt, 2, forecast);
    status = nb_row(nb, stmt, &row, err);
    if (row && sqlite3_column_type(stmt, 0) != SQLITE_NULL) {
        out->first_epoch_day = nb_column_day(stmt, 0);
        out->last_epoch_day = nb_column_day(stmt, 1);
    }
    nb_reset(stmt);
    return status;
}

static pn_status read_place_of(pn_notebook *nb, int64_t source,
                               pn_weather *weather, pn_error *err) {
    sqlite3_stmt *stmt = NULL;
    bool row = false;
    pn_status status = nb_query_statement(nb, NB_SOURCE_PLACE, &stmt, err);
    if (status != PN_OK) {
        return status;
    }
    const double rad_per_deg = 3.14159265358979323846 / 180.0;
    sqlite3_bind_int64(stmt, 1, source);
    status = nb_row(nb, stmt, &row, err);
    if (row) {
        /* The analyser does not know that a failure is never PN_OK. */
        /* NOLINTNEXTLINE(clang-analyzer-core.NullDereference) */
        weather->latitude_rad = nb_column_real(stmt, 0) * rad_per_deg;
        weather->longitude_rad = nb_column_real(stmt, 1) * rad_per_deg;
        weather->elevation_m = nb_column_real(stmt, 2);
    }
    nb_reset(stmt);
    return status;
}

/* ---- out -------------------------------------------------------------- */

/* Columns 1 .. 7 are values, 8 .. 14 their qualities. A value that cannot be
 * weather was not put there by us. */
static pn_status take_day(sqlite3_stmt *stmt, pn_weather *weather,
                          uint8_t extra_quality, pn_error *err) {
    int64_t offset =
        sqlite3_column_int64(stmt, 0) - (int64_t)weather->first_epoch_day;
    if (offset < 0 || (uint64_t)offset >= weather->day_count) {
        return PN_OK;
    }
    for (int v = 0; v < PN_SKY_VAR_COUNT; v++) {
        double value = nb_column_real(stmt, 1 + v);
        if (isnan(value)) {
            continue;
        }
        if (!pn_sky_var_plausible((pn_sky_var)v, value, NULL, NULL)) {
            char day[PN_DATE_ISO_SIZE];
            int32_t at = weather->first_epoch_day + (int32_t)offset;
            return pn_fail(err, PN_EPARSE,
                           "the notebook holds an impossible %s, %g, on %s: "
                           "the file is damaged; work on from a backup",
                           pn_sky_var_name((pn_sky_var)v), value,
                           pn_date_iso(at, day));
        }
        int quality = sqlite3_column_int(stmt, 1 + PN_SKY_VAR_COUNT + v);
        weather->value[v][offset] = value;
        weather->quality[v][offset] =
            (uint8_t)((quality & STORED_QUALITY) | extra_quality);
    }
    return PN_OK;
}

/* Later imports come later, so that each value ends as the latest. */
static pn_status take_days(pn_notebook *nb, int64_t source, bool forecast,
                           pn_weather *weather, pn_error *err) {
    sqlite3_stmt *stmt = NULL;
    pn_status status = nb_query_statement(nb, NB_SELECT_DAYS, &stmt, err);
    if (status != PN_OK) {
        return status;
    }
    int64_t first = weather->first_epoch_day;
    sqlite3_bind_int64(stmt, 1, source);
    sqlite3_bind_int(stmt, 2, forecast);
    sqlite3_bind_int64(stmt, 3, first);
    sqlite3_bind_int64(stmt, 4, first + (int64_t)weather->day_count - 1);
    uint8_t extra = forecast ? PN_SKY_FORECAST : 0;
    for (bool row = true; status == PN_OK && row;) {
        status = nb_row(nb, stmt, &row, err);
        if (status == PN_OK && row) {
            status = take_day(stmt, weather, extra, err);
        }
    }
    nb_reset(stmt);
    return status;
}

/* Fill the open ends of the query from what is stored. */
static pn_status settle_range(pn_notebook *nb, const pn_weather_query *query,
                              nb_days *out, pn_error *err) {
    nb_days stored = {0};
    nb_days forecast = {.first_epoch_day = INT32_MAX,
                        .last_epoch_day = INT32_MIN};
    pn_status status = nb_source_days(nb, query->source, false, &stored, err);
    if (status == PN_OK && query->with_forecast) {
        status = nb_source_days(nb, query->source, true, &forecast, err);
    }
    if (status != PN_OK) {
        return status;
    }
    if (forecast.first_epoch_day < stored.first_epoch_day) {
        stored.first_epoch_day = forecast.first_epoch_day;
    }
    if (forecast.last_epoch_day > stored.last_epoch_day) {
        stored.last_epoch_day = forecast.last_epoch_day;
    }
    bool open_start = query->first_epoch_day == INT32_MIN;
    bool open_end = query->last_epoch_day == INT32_MAX;
    if ((open_start || open_end) &&
        stored.first_epoch_day > stored.last_epoch_day) {
        return pn_fail(err, PN_ENOTFOUND,
                       "weather source %lld has no weather yet: import some",
                       (long long)query->source);
    }
    out->first_epoch_day =
        open_start ? stored.first_epoch_day : query->first_epoch_day;
    out->last_epoch_day =
        open_end ? stored.last_epoch_day : query->last_epoch_day;
    return PN_OK;
}

static pn_status new_weather(const pn_alloc *alloc, nb_days days,
                             pn_weather **out, pn_error *err) {
    int64_t count =
        (int64_t)days.last_epoch_day - (int64_t)days.first_epoch_day + 1;
    if (count < 1) {
        char first[PN_DATE_ISO_SIZE];
        char last[PN_DATE_ISO_SIZE];
        return pn_fail(err, PN_EDOMAIN,
                       "no weather from %s to %s: the last day comes before "
                       "the first",
                       pn_date_iso(days.first_epoch_day, first),
                       pn_date_iso(days.last_epoch_day, last));
    }
    return pn_weather_new(alloc, days.first_epoch_day, (size_t)count, out, err);
}

static pn_status load(pn_notebook *nb, const pn_weather_query *query,
                      const pn_alloc *alloc, pn_weather **out, pn_error *err) {
    nb_days days = {0};
    pn_weather *weather = NULL;
    pn_status status =
        nb_must_be_current(nb, PN_FACT_WEATHER_SOURCE, query->source, err);
    if (status == PN_OK) {
        status = settle_range(nb, query, &days, err);
    }
    if (status == PN_OK) {
        status = new_weather(alloc, days, &weather, err);
    }
    if (status == PN_OK) {
        assert(weather != NULL); /* which the analyser cannot see */
        status = read_place_of(nb, query->source, weather, err);
    }
    if (status == PN_OK && query->with_forecast) {
        status = take_days(nb, query->source, true, weather, err);
    }
    if (status == PN_OK) {
        status = take_days(nb, query->source, false, weather, err);
    }
    if (status != PN_OK) {
        pn_weather_free(weather);
        return status;
    }
    *out = weather;
    return PN_OK;
}

pn_status pn_notebook_load_weather(pn_notebook *nb,
                                   const pn_weather_query *query,
                                   const pn_alloc *alloc, pn_weather **out,
                                   pn_error *err) {
    /* one view of the file for all the reading */
    pn_status status =
        nb_exec(nb->db, "SAVEPOINT reading", "reading the notebook", err);
    if (status != PN_OK) {
        return status;
    }
    status = load(nb, query, alloc, out, err);
    nb_exec_quietly(nb->db, "RELEASE reading");
    return status;
}

/* ---- in --------------------------------------------------------------- */

/* The value that is to be stored: NaN for what nobody measured. */
static double value_to_store(const pn_weather *weather, size_t v, size_t i) {
    bool made_up = (weather->quality[v][i] & MADE_UP) != 0;
    return made_up ? NAN : weather->value[v][i];
}

static pn_status check_values(const pn_weather *weather, pn_error *err) {
    for (size_t v = 0; v < PN_SKY_VAR_COUNT; v++) {
        pn_sky_var var = (pn_sky_var)v;
        for (size_t i = 0; i < weather->day_count; i++) {
            double value = value_to_store(weather, v, i);
            if (isnan(value) || pn_sky_var_plausible(var, value, NULL, NULL)) {
                continue;
            }
            char day[PN_DATE_ISO_SIZE];
            int32_t at = weather->first_epoch_day + (int32_t)i;
            return pn_fail(err, PN_EDOMAIN, "%s: %s of %g is impossible",
                           pn_date_iso(at, day), pn_sky_var_name(var), value);
        }
    }
    return PN_OK;
}

/* What the notebook knows of a day, beside what is to be stored. */
typedef struct day_news {
    bool any_known;
    bool any_different;
} day_news;

static day_news compare_day(const pn_weather *known, const pn_weather *fresh,
                            size_t i) {
    day_news news = {0};
    for (size_t v = 0; v < PN_SKY_VAR_COUNT; v++) {
        double old = known->value[v][i];
        double now = value_to_store(fresh, v, i);
        news.any_known |= !isnan(old);
        if (isnan(now)) {
            continue;
        }
        bool same_value = !(now < old) && !(now > old) && !isnan(old);
        bool same_quality = ((known->quality[v][i] ^ fresh->quality[v][i]) &
                             STORED_QUALITY) == 0;
        news.any_different |= !same_value || !same_quality;
    }
    return news;
}

static pn_status insert_import(pn_notebook *nb, const pn_weather_import *import,
                               int64_t *id, pn_error *err) {
    sqlite3_stmt *stmt = NULL;
    bool row = false;
    pn_status status = nb_query_statement(nb, NB_NEXT_IMPORT, &stmt, err);
    if (status != PN_OK) {
        return status;
    }
    status = nb_row(nb, stmt, &row, err);
    *id = row ? sqlite3_column_int64(stmt, 0) : 0;
    nb_reset(stmt);
    if (status == PN_OK) {
        status = nb_query_statement(nb, NB_INSERT_IMPORT, &stmt, err);
    }
    if (status != PN_OK) {
        return status;
    }
    sqlite3_bind_int64(stmt, 1, *id);
    sqlite3_bind_int64(stmt, 2, import->source);
    sqlite3_bind_int64(stmt, 3, import->recorded_unix_s);
    nb_bind_text(stmt, 4, import->file_names);
    nb_bind_text(stmt, 5, import->report);
    sqlite3_bind_int(stmt, 6, import->forecast);
    return nb_run(nb, stmt, "saving an import", err);
}

static pn_status insert_day(pn_notebook *nb, int64_t import,
                            const pn_weather *weather, size_t i,
                            pn_error *err) {
    sqlite3_stmt *stmt = NULL;
    pn_status status = nb_query_statement(nb, NB_INSERT_DAY, &stmt, err);
    if (status != PN_OK) {
        return status;
    }
    sqlite3_bind_int64(stmt, 1, import);
    sqlite3_bind_int64(stmt, 2, weather->first_epoch_day + (int64_t)i);
    for (int v = 0; v < PN_SKY_VAR_COUNT; v++) {
        double value = value_to_store(weather, (size_t)v, i);
        int quality = isnan(value) ? 0 : weather->quality[v][i];
        nb_bind_real(stmt, 3 + v, value);
        sqlite3_bind_int(stmt, 3 + PN_SKY_VAR_COUNT + v,
                         quality & STORED_QUALITY);
    }
    return nb_run(nb, stmt, "saving weather", err);
}

static void count_day(pn_weather_import_result *result, day_news news) {
    if (!news.any_different) {
        result->days_unchanged++;
    } else if (news.any_known) {
        result->days_changed++;
    } else {
        result->days_new++;
    }
}

static pn_status store_days(pn_notebook *nb, const pn_weather_import *import,
                            const pn_weather *weather, const pn_weather *known,
                            pn_weather_import_result *result, pn_error *err) {
    pn_status status = PN_OK;
    for (size_t i = 0; i < weather->day_count && status == PN_OK; i++) {
        day_news news = compare_day(known, weather, i);
        count_day(result, news);
        if (news.any_different && result->import == 0) {
            status = insert_import(nb, import, &result->import, err);
        }
        if (news.any_different && status == PN_OK) {
            status = insert_day(nb, result->import, weather, i, err);
        }
        if (import->progress != NULL && (i + 1) % PROGRESS_DAYS == 0) {
            import->progress(import->progress_ctx, i + 1, weather->day_count);
        }
    }
    if (import->progress != NULL && status == PN_OK) {
        import->progress(import->progress_ctx, weather->day_count,
                         weather->day_count);
    }
    return status;
}

static pn_status store(pn_notebook *nb, const pn_weather_import *import,
                       const pn_weather *weather,
                       pn_weather_import_result *result, pn_error *err) {
    pn_weather *known = NULL;
    pn_status status =
        nb_must_be_current(nb, PN_FACT_WEATHER_SOURCE, import->source, err);
    if (status == PN_OK) {
        status = pn_weather_new(&nb->alloc, weather->first_epoch_day,
                                weather->day_count, &known, err);
    }
    if (status == PN_OK) {
        status = take_days(nb, import->source, import->forecast, known, err);
    }
    if (status == PN_OK) {
        status = store_days(nb, import, weather, known, result, err);
    }
    pn_weather_free(known);
    return status;
}

pn_status pn_notebook_import_weather(pn_notebook *nb,
                                     const pn_weather_import *import,
                                     const pn_weather *weather,
                                     pn_weather_import_result *out,
                                     pn_error *err) {
    pn_weather_import_result result = {0};
    pn_status status = nb_check_import(import, err);
    if (status == PN_OK) {
        status = check_values(weather, err);
    }
    if (status == PN_OK) {
        status = nb_begin_change(nb, err);
    }
    if (status != PN_OK) {
        return status;
    }
    status = store(nb, import, weather, &result, err);
    status = nb_end_change(nb, status, err);
    if (status == PN_OK) {
        *out = result;
    }
    return status;
}
