/* From the notebook to what the outlook wants: the record with its short gaps
 * filled, the patches with their ground, what is looked for, what was found. */
#include "cli.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "pannage/exchange.h"

/* ---- weather ----------------------------------------------------------- */

static bool foretold(const pn_weather *forecast, int32_t epoch_day) {
    int64_t at = (int64_t)epoch_day - forecast->first_epoch_day;
    return at >= 0 && at < (int64_t)forecast->day_count &&
           isfinite(forecast->value[PN_SKY_TMIN_DEGC][at]) &&
           isfinite(forecast->value[PN_SKY_TMAX_DEGC][at]) &&
           isfinite(forecast->value[PN_SKY_RAIN_MM][at]);
}

/* A forecast counts from the outlook's first day on, without a gap: one that
 * says nothing of that day would be passed over, and that must not happen in
 * silence. */
static int check_forecast(const cli_ctx *cli, const pn_weather *forecast,
                          int32_t issue, const char *path) {
    char first[PN_DATE_ISO_SIZE];
    char last[PN_DATE_ISO_SIZE];
    char day[PN_DATE_ISO_SIZE];
    int32_t end = forecast->first_epoch_day + (int32_t)forecast->day_count - 1;
    if (!foretold(forecast, issue)) {
        return cli_fail(
            CLI_INPUT,
            "%s: the forecast runs from %s to %s and does not tell both "
            "temperatures and the rain of %s, the outlook's first day; ask "
            "for another --date or leave --forecast out",
            path, pn_date_iso(forecast->first_epoch_day, first),
            pn_date_iso(end, last), pn_date_iso(issue, day));
    }
    int32_t gap = issue;
    while (foretold(forecast, gap)) {
        gap++;
    }
    if (gap <= end) {
        cli_say(cli,
                "%s: no whole forecast for %s; its later days are not used",
                path, pn_date_iso(gap, day));
    }
    return CLI_OK;
}

static int load_forecast_file(const cli_ctx *cli, const cli_args *args,
                              int32_t issue, cli_outlook_data *data) {
    const char *path = cli_value(args, "forecast");
    if (path == NULL) {
        return CLI_OK;
    }
    pn_exchange_source source = {0};
    pn_exchange_weather_opts opts = PN_EXCHANGE_WEATHER_OPTS_INIT;
    pn_error err = {0};
    opts.forecast = true;
    pn_status status = pn_exchange_open_file(path, &source, &err);
    if (status == PN_OK) {
        status = pn_exchange_weather_read(&cli->alloc, &source, 1, &opts,
                                          &data->forecast, NULL, &err);
    }
    pn_exchange_close_file(&source);
    if (status != PN_OK) {
        return cli_fail_error(&err);
    }
    data->forecast->latitude_rad = data->record->latitude_rad;
    data->forecast->longitude_rad = data->record->longitude_rad;
    data->forecast->elevation_m = data->record->elevation_m;
    return check_forecast(cli, data->forecast, issue, path);
}

static pn_status load_stored_forecast(const cli_ctx *cli, pn_notebook *notebook,
                                      int32_t issue, cli_outlook_data *data,
                                      pn_error *err) {
    pn_weather_query query = PN_WEATHER_QUERY_INIT;
    if (data->forecast != NULL ||
        data->source.last_forecast_epoch_day < issue) {
        return PN_OK;
    }
    query.source = data->source.fact.id;
    query.first_epoch_day = issue;
    query.last_epoch_day = data->source.last_forecast_epoch_day;
    query.with_forecast = true;
    return pn_notebook_load_weather(notebook, &query, &cli->alloc,
                                    &data->forecast, err);
}

static int load_record(const cli_ctx *cli, const cli_args *args,
                       pn_notebook *notebook, int32_t issue,
                       cli_outlook_data *data) {
    pn_weather_query query = PN_WEATHER_QUERY_INIT;
    pn_error err = {0};
    char iso[PN_DATE_ISO_SIZE];
    query.source = data->source.fact.id;
    query.first_epoch_day = data->source.first_epoch_day;
    query.last_epoch_day = issue - 1;
    query.with_forecast = true; /* stands in for days not yet imported */
    int code = cli_date_value(cli, args, "from", &query.first_epoch_day);
    if (code != CLI_OK) {
        return code;
    }
    if (query.first_epoch_day > query.last_epoch_day) {
        return cli_fail(CLI_INPUT,
                        "the weather record begins on %s; an outlook for an "
                        "earlier day needs more of it",
                        pn_date_iso(query.first_epoch_day, iso));
    }
    pn_status status = pn_notebook_load_weather(notebook, &query, &cli->alloc,
                                                &data->record, &err);
    if (status == PN_OK) {
        status = pn_weather_fill_gaps(data->record, query.first_epoch_day,
                                      query.last_epoch_day, &err);
    }
    if (status == PN_EDOMAIN) {
        char last[PN_DATE_ISO_SIZE];
        return cli_fail(
            CLI_INPUT,
            "%s. The record of %.*s runs from %s to %s; import the missing "
            "days, or begin after the gap with --from, or ask for another "
            "--date",
            err.message, (int)data->source.name.len, data->source.name.at,
            pn_date_iso(data->source.first_epoch_day, iso),
            pn_date_iso(data->source.last_epoch_day, last));
    }
    return status == PN_OK ? CLI_OK : cli_fail_error(&err);
}

/* ---- patches and kinds ------------------------------------------------- */

static bool wanted_kind(const cli_args *args, const pn_kind *kind) {
    int at = 0;
    bool any = false;
    for (const char *name = NULL;
         (name = cli_each(args, "kind", &at)) != NULL;) {
        any = true;
        if (pn_kind_find(pn_text_of(name)) == kind) {
            return true;
        }
    }
    return !any;
}

static bool wanted_patch(const cli_args *args, const pn_patch_list *all,
                         const pn_patch *patch) {
    int at = 0;
    bool any = false;
    for (const char *name = NULL;
         (name = cli_each(args, "patch", &at)) != NULL;) {
        any = true;
        if (cli_patch_named(all, name) == patch) {
            return true;
        }
    }
    return !any;
}

static pn_soil_ground ground_of(const pn_patch *patch) {
    pn_soil_texture texture = PN_SOIL_LOAM;
    pn_soil_cover cover = PN_SOIL_OPEN;
    if (!pn_soil_texture_find(patch->texture, &texture)) {
        texture = PN_SOIL_LOAM;
    }
    if (!pn_soil_cover_find(patch->cover, &cover)) {
        cover = PN_SOIL_OPEN;
    }
    return pn_soil_ground_default(texture, cover);
}

static int load_patches(const cli_ctx *cli, const cli_args *args,
                        pn_notebook *notebook, cli_outlook_data *data) {
    pn_error err = {0};
    pn_patch_list all = {0};
    if (pn_notebook_list_patches(notebook, NULL, cli->arena, &all, &err) !=
        PN_OK) {
        return cli_fail_error(&err);
    }
    data->patches.at =
        pn_arena_array(cli->arena, all.count + 1, sizeof *all.at);
    pn_outlook_patch *patches =
        pn_arena_array(cli->arena, all.count + 1, sizeof *patches);
    if (data->patches.at == NULL || patches == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    for (size_t i = 0; i < all.count; i++) {
        if (!wanted_patch(args, &all, &all.at[i])) {
            continue;
        }
        patches[data->patches.count] = (pn_outlook_patch){
            .id = all.at[i].fact.id,
            .name = cli_cell_text(cli, all.at[i].name),
            .ground = ground_of(&all.at[i]),
            .elevation_m = all.at[i].elevation_m,
        };
        data->patches.at[data->patches.count++] = all.at[i];
    }
    data->input.patches = patches;
    data->input.patch_count = data->patches.count;
    return CLI_OK;
}

static bool patch_index(const cli_outlook_data *data, int64_t id,
                        size_t *index) {
    for (size_t i = 0; i < data->patches.count; i++) {
        if (data->patches.at[i].fact.id == id) {
            *index = i;
            return true;
        }
    }
    return false;
}

static int load_pairs(const cli_ctx *cli, const cli_args *args,
                      pn_notebook *notebook, cli_outlook_data *data) {
    pn_error err = {0};
    pn_patch_kind_list all = {0};
    if (pn_notebook_list_patch_kinds(notebook, NULL, cli->arena, &all, &err) !=
        PN_OK) {
        return cli_fail_error(&err);
    }
    pn_outlook_pair *pairs =
        pn_arena_array(cli->arena, all.count + 1, sizeof *pairs);
    int64_t *since = pn_arena_array(cli->arena, all.count + 1, sizeof *since);
    if (pairs == NULL || since == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    for (size_t i = 0; i < all.count; i++) {
        const pn_kind *kind = pn_kind_find(all.at[i].kind);
        size_t patch = 0;
        if (kind != NULL && wanted_kind(args, kind) &&
            patch_index(data, all.at[i].patch, &patch)) {
            since[data->input.pair_count] = all.at[i].fact.recorded_unix_s;
            pairs[data->input.pair_count++] = (pn_outlook_pair){
                .patch = patch,
                .kind = kind,
                .productivity = all.at[i].productivity,
            };
        }
    }
    data->input.pairs = pairs;
    data->looked_since_unix_s = since;
    return data->input.pair_count > 0
               ? CLI_OK
               : cli_fail(CLI_INPUT,
                          "there is no such kind at such a patch to look for; "
                          "'pannage patch list' shows what is looked for "
                          "where");
}

/* ---- visits ------------------------------------------------------------ */

static int64_t count_of(const pn_find *find, const pn_kind *kind) {
    if (find->count >= 0) {
        return find->count;
    }
    double items = isnan(find->fresh_g) ? 1.0 : find->fresh_g / kind->item_g;
    return items < 1.0 ? 1 : (int64_t)(items + 0.5);
}

static int by_visit(const void *a, const void *b) {
    const pn_find *x = a;
    const pn_find *y = b;
    return (x->visit > y->visit) - (x->visit < y->visit);
}

/* The finds of one visit: a run of the list sorted by visit. */
static pn_find_list finds_of(const pn_find_list *sorted, int64_t visit) {
    size_t low = 0;
    size_t high = sorted->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (sorted->at[middle].visit < visit) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    pn_find_list run = {.at = sorted->count > 0 ? sorted->at + low : NULL};
    while (low + run.count < sorted->count &&
           run.at[run.count].visit == visit) {
        run.count++;
    }
    return run;
}

/* What the visit says of a pair's kind; false when it did not look for it. A
 * visit written down before the kind was looked for there is no blank one. */
static bool says_of(const cli_outlook_data *data, const pn_visit *visit,
                    const pn_find_list *finds, size_t pair, int64_t *count) {
    const pn_kind *kind = data->input.pairs[pair].kind;
    bool any = visit->looked_for == PN_LOOKED_ALL &&
               visit->fact.recorded_unix_s >= data->looked_since_unix_s[pair];
    *count = 0;
    for (size_t f = 0; f < finds->count; f++) {
        if (pn_kind_find(finds->at[f].kind) == kind) {
            *count += count_of(&finds->at[f], kind);
            any = true;
        }
    }
    return any;
}

/* Pairs chained by patch: first[patch], next[pair]; SIZE_MAX ends. */
typedef struct pair_chains {
    size_t *first;
    size_t *next;
} pair_chains;

static bool chain_pairs(const cli_ctx *cli, const pn_outlook_input *input,
                        pair_chains *out) {
    out->first =
        pn_arena_array(cli->arena, input->patch_count + 1, sizeof *out->first);
    out->next =
        pn_arena_array(cli->arena, input->pair_count + 1, sizeof *out->next);
    if (out->first == NULL || out->next == NULL) {
        return false;
    }
    for (size_t p = 0; p < input->patch_count; p++) {
        out->first[p] = SIZE_MAX;
    }
    for (size_t i = 0; i < input->pair_count; i++) {
        size_t patch = input->pairs[i].patch;
        out->next[i] = out->first[patch];
        out->first[patch] = i;
    }
    return true;
}

/* Writes to out unless it is NULL; returns how many there are. */
static size_t spread_visits(const cli_outlook_data *data,
                            const pair_chains *chains, pn_outlook_visit *out) {
    size_t total = 0;
    for (size_t v = 0; v < data->visits.count; v++) {
        const pn_visit *visit = &data->visits.at[v];
        size_t patch = 0;
        if (!patch_index(data, visit->patch, &patch)) {
            continue;
        }
        pn_find_list finds = finds_of(&data->finds, visit->fact.id);
        for (size_t i = chains->first[patch]; i != SIZE_MAX;
             i = chains->next[i]) {
            const pn_kind *kind = data->input.pairs[i].kind;
            int64_t count = 0;
            if (!says_of(data, visit, &finds, i, &count)) {
                continue;
            }
            if (out != NULL) {
                out[total] = (pn_outlook_visit){.patch = patch,
                                                .kind = kind,
                                                .epoch_day = visit->epoch_day,
                                                .minutes = visit->minutes,
                                                .count = count};
            }
            total++;
        }
    }
    return total;
}

static int load_visits(const cli_ctx *cli, pn_notebook *notebook, int32_t issue,
                       cli_outlook_data *data) {
    pn_error err = {0};
    pair_chains chains;
    pn_notebook_filter filter = PN_NOTEBOOK_FILTER_INIT;
    filter.last_epoch_day = issue - 1;
    pn_status status = pn_notebook_list_visits(notebook, &filter, cli->arena,
                                               &data->visits, &err);
    if (status == PN_OK) {
        status = pn_notebook_list_finds(notebook, &filter, cli->arena,
                                        &data->finds, &err);
    }
    if (status != PN_OK) {
        return cli_fail_error(&err);
    }
    if (data->finds.count > 0) {
        qsort(data->finds.at, data->finds.count, sizeof *data->finds.at,
              by_visit);
    }
    if (!chain_pairs(cli, &data->input, &chains)) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    size_t count = spread_visits(data, &chains, NULL);
    pn_outlook_visit *visits =
        pn_arena_array(cli->arena, count + 1, sizeof *visits);
    if (visits == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    data->input.visit_count = spread_visits(data, &chains, visits);
    data->input.visits = visits;
    return CLI_OK;
}

/* ---- all of it --------------------------------------------------------- */

static int check_names(const cli_ctx *cli, const cli_args *args,
                       pn_notebook *notebook) {
    int at = 0;
    int code = CLI_OK;
    const pn_kind *kind = NULL;
    pn_patch patch;
    for (const char *name = NULL;
         code == CLI_OK && (name = cli_each(args, "kind", &at)) != NULL;) {
        code = cli_find_kind(name, &kind);
    }
    at = 0;
    for (const char *name = NULL;
         code == CLI_OK && (name = cli_each(args, "patch", &at)) != NULL;) {
        code = cli_find_patch(cli, notebook, name, &patch);
    }
    return code;
}

static int load_all(cli_ctx *cli, const cli_args *args, pn_notebook *notebook,
                    int32_t issue, cli_outlook_data *data) {
    pn_error err = {0};
    int code = check_names(cli, args, notebook);
    if (code == CLI_OK) {
        code = cli_find_source(cli, notebook, cli_value(args, "source"),
                               &data->source);
    }
    if (code == CLI_OK) {
        code = load_record(cli, args, notebook, issue, data);
    }
    if (code == CLI_OK) {
        code = load_forecast_file(cli, args, issue, data);
    }
    if (code == CLI_OK &&
        load_stored_forecast(cli, notebook, issue, data, &err) != PN_OK) {
        code = cli_fail_error(&err);
    }
    if (code == CLI_OK) {
        code = load_patches(cli, args, notebook, data);
    }
    if (code == CLI_OK) {
        code = load_pairs(cli, args, notebook, data);
    }
    if (code == CLI_OK) {
        code = load_visits(cli, notebook, issue, data);
    }
    return code;
}

int cli_outlook_load(cli_ctx *cli, const cli_args *args, int32_t issue,
                     cli_outlook_data *out) {
    pn_notebook *notebook = NULL;
    *out = (cli_outlook_data){.input = PN_OUTLOOK_INPUT_INIT};
    int code = cli_open_notebook(cli, PN_NOTEBOOK_READ, &notebook);
    if (code == CLI_OK) {
        code = load_all(cli, args, notebook, issue, out);
    }
    pn_notebook_close(notebook);
    out->input.record = out->record;
    out->input.forecast = out->forecast;
    out->input.issue_epoch_day = issue;
    out->input.progress = cli_progress;
    out->input.progress_ctx = cli;
    return code;
}

void cli_outlook_release(cli_outlook_data *data) {
    pn_weather_free(data->record);
    pn_weather_free(data->forecast);
}
