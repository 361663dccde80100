#include "cli.h"

#include <math.h>
#include <string.h>

#include "pannage/exchange.h"
#include "pannage/ground.h"

enum { FILES_MAX = 64 };

/* ---- reading files ----------------------------------------------------------
 */

static int read_files(const cli_ctx *cli, const cli_args *args,
                      const pn_exchange_weather_opts *opts, pn_weather **out,
                      pn_exchange_report *report) {
    pn_exchange_source sources[FILES_MAX] = {{0}};
    pn_error err = {0};
    pn_status status = PN_OK;
    int count = args->positional_count;
    for (int i = 0; status == PN_OK && i < count; i++) {
        status = pn_exchange_open_file(args->positional[i], &sources[i], &err);
    }
    if (status == PN_OK) {
        status = pn_exchange_weather_read(&cli->alloc, sources, (size_t)count,
                                          opts, out, report, &err);
    }
    for (int i = 0; i < count; i++) {
        pn_exchange_close_file(&sources[i]);
    }
    return status == PN_OK ? CLI_OK : cli_fail_error(&err);
}

static int read_opts(const cli_args *args, pn_exchange_weather_opts *opts) {
    *opts = (pn_exchange_weather_opts)PN_EXCHANGE_WEATHER_OPTS_INIT;
    opts->forecast = cli_flag(args, "forecast");
    int code =
        cli_double_value(args, "latitude", -90.0, 90.0, &opts->latitude_deg);
    if (code == CLI_OK) {
        code = cli_double_value(args, "longitude", -180.0, 180.0,
                                &opts->longitude_deg);
    }
    if (code == CLI_OK) {
        code = cli_double_value(args, "elevation", -430.0, 9000.0,
                                &opts->elevation_m);
    }
    if (code == CLI_OK) {
        code = cli_double_value(args, "wind-height", 0.5, 200.0,
                                &opts->wind_height_m);
    }
    return code;
}

/* ---- the report -------------------------------------------------------- */

static json_t *report_json(const pn_exchange_report *report) {
    json_t *vars = json_object();
    json_t *notes = json_array();
    for (int v = 0; v < PN_SKY_VAR_COUNT; v++) {
        if (report->understood[v]) {
            json_object_set_new(
                vars, pn_sky_var_name((pn_sky_var)v),
                json_pack("{s:I, s:I}", "missing_days",
                          (json_int_t)report->missing_count[v],
                          "longest_gap_days",
                          (json_int_t)report->longest_missing_days[v]));
        }
    }
    for (size_t i = 0; i < report->note_count; i++) {
        json_array_append_new(notes, json_string(report->note[i]));
    }
    return json_pack(
        "{s:s, s:s, s:I, s:I, s:o, s:o, s:I, s:o, s:I, s:I, s:I, s:I, s:I, "
        "s:o}",
        "format", pn_exchange_format_name(report->format), "station",
        report->station, "files", (json_int_t)report->source_count, "rows",
        (json_int_t)report->row_count, "first",
        cli_json_date(report->first_epoch_day), "last",
        cli_json_date(report->last_epoch_day), "days",
        (json_int_t)report->day_count, "variables", vars, "duplicates",
        (json_int_t)report->duplicate_count, "dropped",
        (json_int_t)report->dropped_count, "skipped",
        (json_int_t)report->skipped_count, "suspect",
        (json_int_t)report->suspect_count, "estimated",
        (json_int_t)report->estimated_count, "notes", notes);
}

static void print_report(const pn_exchange_report *report) {
    char first[PN_DATE_ISO_SIZE];
    char last[PN_DATE_ISO_SIZE];
    printf("%s, %zu file%s, %zu row%s: %zu day%s, %s to %s\n",
           pn_exchange_format_name(report->format), report->source_count,
           report->source_count == 1 ? "" : "s", report->row_count,
           report->row_count == 1 ? "" : "s", report->day_count,
           report->day_count == 1 ? "" : "s",
           pn_date_iso(report->first_epoch_day, first),
           pn_date_iso(report->last_epoch_day, last));
    for (int v = 0; v < PN_SKY_VAR_COUNT; v++) {
        if (!report->understood[v]) {
            continue;
        }
        size_t have = report->day_count - report->missing_count[v];
        size_t gap = report->longest_missing_days[v];
        printf("  %-14s %zu day%s", pn_sky_var_name((pn_sky_var)v), have,
               have == 1 ? "" : "s");
        if (report->missing_count[v] > 0) {
            printf(", %zu missing (longest gap %zu day%s)",
                   report->missing_count[v], gap, gap == 1 ? "" : "s");
        }
        putchar('\n');
    }
    printf("  readings passed over: %zu for a better one, %zu failed checks, "
           "%zu over other periods; kept but doubtful: %zu, estimated: %zu\n",
           report->duplicate_count, report->dropped_count,
           report->skipped_count, report->suspect_count,
           report->estimated_count);
    for (size_t i = 0; i < report->note_count; i++) {
        printf("  note: %s\n", report->note[i]);
    }
}

/* ---- which source it belongs to ---------------------------------------- */

static pn_text source_name(const cli_args *args,
                           const pn_exchange_report *report) {
    const char *given = cli_value(args, "source");
    if (given != NULL) {
        return pn_text_of(given);
    }
    return pn_text_of(report->station[0] != '\0' ? report->station : "weather");
}

static bool find_source(const pn_weather_source_list *list, pn_text name,
                        bool by_name, pn_weather_source *out) {
    if (!by_name && list->count == 1) {
        *out = list->at[0]; /* a nameless file belongs to the only source */
        return true;
    }
    for (size_t i = 0; i < list->count; i++) {
        if (pn_text_equal_nocase(list->at[i].name, name)) {
            *out = list->at[i];
            return true;
        }
    }
    return false;
}

static int new_source(const cli_ctx *cli, const cli_args *args,
                      pn_notebook *notebook, const pn_weather *weather,
                      pn_text name, int64_t *id) {
    pn_error err = {0};
    if (cli_check_name(cli, name, "weather source", &err) != PN_OK) {
        return cli_fail_error(&err);
    }
    if (isnan(weather->latitude_rad) || isnan(weather->elevation_m)) {
        return cli_fail(CLI_INPUT,
                        "the files do not say where the station stands; give "
                        "--latitude, --longitude and --elevation (m)");
    }
    pn_weather_source source = {
        .name = name,
        .latitude_deg = pn_degrees(weather->latitude_rad),
        .longitude_deg = isnan(weather->longitude_rad)
                             ? 0.0
                             : pn_degrees(weather->longitude_rad),
        .elevation_m = weather->elevation_m,
        .licence = cli_text_value(args, "licence", ""),
    };
    return pn_notebook_add_weather_source(notebook, &source, cli->now_unix_s,
                                          id, &err) == PN_OK
               ? CLI_OK
               : cli_fail_error(&err);
}

/* ---- storing ----------------------------------------------------------- */

static void storing(void *ctx, size_t done, size_t total) {
    cli_progress(ctx, "storing days", done, total);
}

static const char *join_names(const cli_ctx *cli, const cli_args *args) {
    char buf[2000];
    pn_str str = pn_str_in(buf, sizeof buf);
    for (int i = 0; i < args->positional_count; i++) {
        pn_str_addf(&str, "%s%s", i > 0 ? "\n" : "", args->positional[i]);
    }
    return cli_textf(cli, "%s", buf);
}

static int store(cli_ctx *cli, const cli_args *args, pn_notebook *notebook,
                 const pn_weather *weather, const pn_exchange_report *report,
                 pn_weather_import_result *result) {
    pn_weather_source_list sources = {0};
    pn_weather_source source = {.elevation_m = NAN};
    pn_error err = {0};
    int64_t id = 0;
    int code = CLI_OK;
    pn_text name = source_name(args, report);
    bool by_name =
        cli_value(args, "source") != NULL || report->station[0] != '\0';
    if (pn_notebook_list_weather_sources(notebook, NULL, cli->arena, &sources,
                                         &err) != PN_OK ||
        pn_notebook_begin(notebook, &err) != PN_OK) {
        return cli_fail_error(&err);
    }
    if (find_source(&sources, name, by_name, &source)) {
        id = source.fact.id;
    } else {
        code = new_source(cli, args, notebook, weather, name, &id);
    }
    if (code != CLI_OK) {
        return code;
    }
    const pn_weather_import import = {
        .source = id,
        .recorded_unix_s = cli->now_unix_s,
        .forecast = cli_flag(args, "forecast"),
        .file_names = pn_text_of(join_names(cli, args)),
        .progress = storing,
        .progress_ctx = cli,
    };
    if (pn_notebook_import_weather(notebook, &import, weather, result, &err) !=
            PN_OK ||
        pn_notebook_commit(notebook, &err) != PN_OK) {
        return cli_fail_error(&err);
    }
    return CLI_OK;
}

int cmd_weather_import(cli_ctx *cli, const cli_args *args) {
    pn_exchange_weather_opts opts;
    pn_exchange_report report = {.format = PN_EXCHANGE_CSV};
    pn_weather_import_result result = {0};
    pn_weather *weather = NULL;
    pn_notebook *notebook = NULL;
    bool dry_run = cli_flag(args, "dry-run");
    int code = read_opts(args, &opts);
    if (code == CLI_OK && !dry_run) {
        code = cli_open_notebook(cli, PN_NOTEBOOK_WRITE, &notebook);
    }
    if (code == CLI_OK) {
        code = read_files(cli, args, &opts, &weather, &report);
    }
    if (code == CLI_OK && !dry_run) {
        code = store(cli, args, notebook, weather, &report, &result);
    }
    pn_weather_free(weather);
    pn_notebook_close(notebook);
    if (code != CLI_OK) {
        return code;
    }
    if (cli->json) {
        return cli_print_json(
            cli, json_pack("{s:o, s:b, s:I, s:I, s:I}", "read",
                           report_json(&report), "dry_run", dry_run, "days_new",
                           (json_int_t)result.days_new, "days_changed",
                           (json_int_t)result.days_changed, "days_unchanged",
                           (json_int_t)result.days_unchanged));
    }
    print_report(&report);
    if (dry_run) {
        printf("Nothing was written.\n");
    } else {
        printf("In the notebook: %zu days new, %zu changed, %zu as they "
               "were.\n",
               result.days_new, result.days_changed, result.days_unchanged);
    }
    return CLI_OK;
}

/* ---- list -------------------------------------------------------------- */

static const char *day_or_none(const cli_ctx *cli, int32_t day, bool any) {
    char iso[PN_DATE_ISO_SIZE];
    return any ? cli_textf(cli, "%s", pn_date_iso(day, iso)) : "";
}

int cmd_weather_list(cli_ctx *cli, const cli_args *args) {
    (void)args;
    static const pn_paper_column columns[] = {
        {"source", PN_PAPER_LEFT}, {"grid", PN_PAPER_LEFT},
        {"m", PN_PAPER_RIGHT},     {"from", PN_PAPER_LEFT},
        {"to", PN_PAPER_LEFT},     {"forecast to", PN_PAPER_LEFT},
        {"licence", PN_PAPER_LEFT}};
    enum { COLUMNS = sizeof columns / sizeof *columns };
    pn_notebook *notebook = NULL;
    pn_weather_source_list list = {0};
    pn_error err = {0};
    int code = cli_open_notebook(cli, PN_NOTEBOOK_READ, &notebook);
    if (code != CLI_OK) {
        return code;
    }
    pn_status status = pn_notebook_list_weather_sources(
        notebook, NULL, cli->arena, &list, &err);
    pn_notebook_close(notebook);
    if (status != PN_OK) {
        return cli_fail_error(&err);
    }
    json_t *documents = json_array();
    const char **cells =
        pn_arena_array(cli->arena, list.count * COLUMNS + 1, sizeof *cells);
    for (size_t i = 0; cells != NULL && i < list.count; i++) {
        const pn_weather_source *s = &list.at[i];
        bool any = s->first_epoch_day <= s->last_epoch_day;
        bool forecast = s->last_forecast_epoch_day != INT32_MIN;
        const char *row[COLUMNS] = {
            cli_cell_text(cli, s->name),
            cli_grid_text(cli, s->latitude_deg, s->longitude_deg),
            cli_textf(cli, "%.0f", s->elevation_m),
            day_or_none(cli, s->first_epoch_day, any),
            day_or_none(cli, s->last_epoch_day, any),
            day_or_none(cli, s->last_forecast_epoch_day, forecast),
            cli_cell_text(cli, s->licence)};
        memcpy(&cells[i * COLUMNS], row, sizeof row);
        json_array_append_new(
            documents,
            json_pack("{s:o, s:o, s:o, s:o, s:s, s:s, s:s, s:o}", "source",
                      cli_json_text(s->name), "lat_deg",
                      cli_json_number(s->latitude_deg, 6), "lon_deg",
                      cli_json_number(s->longitude_deg, 6), "elevation_m",
                      cli_json_number(s->elevation_m, 1), "first", row[3],
                      "last", row[4], "forecast_last", row[5], "licence",
                      cli_json_text(s->licence)));
    }
    if (cli->json) {
        return cli_print_json(cli, json_pack("{s:o}", "sources", documents));
    }
    json_decref(documents);
    if (list.count == 0) {
        cli_say(cli, "No weather yet; 'pannage weather import FILE' brings "
                     "some.");
        return CLI_NO;
    }
    return cells == NULL
               ? cli_fail(CLI_SYSTEM, "out of memory")
               : cli_print_table(cli, columns, COLUMNS, cells, list.count);
}

/* ---- generate ---------------------------------------------------------- */

static pn_status read_month(const pn_exchange_table *table, size_t row,
                            pn_sky_normals *out, bool *seen, pn_error *err) {
    static const pn_exchange_range month = {1.0, 12.0, "the month, 1 to 12"};
    const struct {
        const char *column;
        pn_exchange_range range;
        double *to;
        bool needed;
    } fields[] = {
        {"tmax_degc", {-30.0, 40.0, "°C"}, out->tmax_degc, true},
        {"tmin_degc", {-30.0, 40.0, "°C"}, out->tmin_degc, true},
        {"rain_mm", {0.0, 2000.0, "mm in the month"}, out->rain_mm, true},
        {"sun_h", {0.0, 744.0, "hours in the month"}, out->sun_h, false},
        {"wet_day_frac",
         {0.02, 0.95, "share of days"},
         out->wet_day_frac,
         false},
    };
    pn_exchange_cell cell = {row, pn_exchange_table_column(table, "month")};
    double at = NAN;
    pn_status status = pn_exchange_table_number(table, cell, &month, &at, err);
    if (status == PN_OK && !(at >= 1.0 && !(floor(at) < at))) {
        return pn_exchange_table_fail(table, cell, err,
                                      "expected a column month with 1 to 12");
    }
    for (size_t i = 0; status == PN_OK && i < sizeof fields / sizeof *fields;
         i++) {
        double value = NAN;
        cell.column = pn_exchange_table_column(table, fields[i].column);
        status = pn_exchange_table_number(table, cell, &fields[i].range, &value,
                                          err);
        if (status == PN_OK && fields[i].needed && isnan(value)) {
            return pn_exchange_table_fail(
                table, cell, err, "every month needs %s", fields[i].column);
        }
        if (status == PN_OK) {
            fields[i].to[(int)at - 1] = value;
        }
    }
    if (status == PN_OK) {
        seen[(int)at - 1] = true;
    }
    return status;
}

static pn_status read_normals(const cli_ctx *cli, const char *path,
                              pn_sky_normals *out, pn_error *err) {
    pn_exchange_source source = {0};
    pn_exchange_table *table = NULL;
    bool seen[12] = {false};
    pn_status status = pn_exchange_open_file(path, &source, err);
    if (status == PN_OK) {
        status = pn_exchange_table_read(&cli->alloc, &source, &table, err);
    }
    for (size_t row = 0;
         status == PN_OK && row < pn_exchange_table_row_count(table); row++) {
        status = read_month(table, row, out, seen, err);
    }
    for (int m = 0; status == PN_OK && m < 12; m++) {
        if (!seen[m]) {
            status = pn_fail(err, PN_EPARSE, "%s: there is no row for month %d",
                             path, m + 1);
        }
    }
    pn_exchange_table_free(table);
    pn_exchange_close_file(&source);
    return status;
}

static bool to_stdout(void *ctx, const char *data, size_t size) {
    (void)ctx;
    return fwrite(data, 1, size, stdout) == size;
}

static int print_weather(const pn_weather *weather) {
    static const struct {
        const char *header;
        pn_sky_var var;
        double scale;
    } columns[] = {{"tmin_degc", PN_SKY_TMIN_DEGC, 10.0},
                   {"tmax_degc", PN_SKY_TMAX_DEGC, 10.0},
                   {"rain_mm", PN_SKY_RAIN_MM, 10.0},
                   {"sun_h", PN_SKY_SUNSHINE_H, 10.0}};
    pn_exchange_csv csv = {.sink = {to_stdout, NULL}};
    pn_error err = {0};
    pn_exchange_csv_text(&csv, pn_text_of("date"));
    for (size_t c = 0; c < sizeof columns / sizeof *columns; c++) {
        pn_exchange_csv_text(&csv, pn_text_of(columns[c].header));
    }
    pn_exchange_csv_end_record(&csv);
    for (size_t d = 0; d < weather->day_count; d++) {
        pn_exchange_csv_date(&csv, weather->first_epoch_day + (int32_t)d);
        for (size_t c = 0; c < sizeof columns / sizeof *columns; c++) {
            double value = weather->value[columns[c].var][d];
            pn_exchange_csv_number(&csv, round(value * columns[c].scale) /
                                             columns[c].scale);
        }
        pn_exchange_csv_end_record(&csv);
    }
    return pn_exchange_csv_finish(&csv, &err) == PN_OK ? CLI_OK
                                                       : cli_fail_error(&err);
}

int cmd_weather_generate(cli_ctx *cli, const cli_args *args) {
    pn_sky_normals normals;
    pn_weather *weather = NULL;
    pn_error err = {0};
    double latitude_deg = 52.0;
    double elevation_m = 50.0;
    int64_t seed = 1;
    int32_t first = cli->today_epoch_day - 365;
    int32_t last = cli->today_epoch_day - 1;
    for (int m = 0; m < 12; m++) {
        normals.sun_h[m] = NAN;
        normals.wet_day_frac[m] = NAN;
    }
    int code = cli_date_value(cli, args, "first", &first);
    if (code == CLI_OK) {
        code = cli_date_value(cli, args, "last", &last);
    }
    if (code == CLI_OK) {
        code = cli_int_value(args, "seed", 0, INT64_MAX, &seed);
    }
    if (code == CLI_OK) {
        code = cli_double_value(args, "latitude", -66.0, 66.0, &latitude_deg);
    }
    if (code == CLI_OK) {
        code = cli_double_value(args, "elevation", -20.0, 1400.0, &elevation_m);
    }
    if (code == CLI_OK && last < first) {
        code = cli_fail(CLI_USAGE, "--last is before --first");
    }
    if (code != CLI_OK) {
        return code;
    }
    const pn_sky_generate_opts opts = {
        .latitude_rad = pn_radians(latitude_deg),
        .elevation_m = elevation_m,
        .first_epoch_day = first,
        .day_count = (size_t)(last - first) + 1,
        .seed = (uint64_t)seed,
    };
    pn_status status = read_normals(cli, args->positional[0], &normals, &err);
    if (status == PN_OK) {
        status =
            pn_weather_generate(&cli->alloc, &normals, &opts, &weather, &err);
    }
    code = status == PN_OK ? print_weather(weather) : cli_fail_error(&err);
    pn_weather_free(weather);
    return code;
}
