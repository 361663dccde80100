#include "cli.h"

#include <math.h>
#include <string.h>

#include "pannage/exchange.h"
#include "pannage/ground.h"

static const char DEFAULT_PLACE[] = "Home ground";

/* ---- one patch with its place and kinds -----------------------------------
 */

typedef struct new_patch {
    pn_patch patch;
    pn_text place;
    pn_text kinds; /**< ids, between commas or semicolons */
} new_patch;

static pn_status find_or_add_place(const cli_ctx *cli, pn_notebook *notebook,
                                   const new_patch *from, int64_t *id,
                                   pn_error *err) {
    pn_place_list list = {0};
    pn_status status =
        pn_notebook_list_places(notebook, NULL, cli->arena, &list, err);
    for (size_t i = 0; status == PN_OK && i < list.count; i++) {
        if (pn_text_equal_nocase(list.at[i].name, from->place)) {
            *id = list.at[i].fact.id;
            return PN_OK;
        }
    }
    pn_place place = {.name = from->place,
                      .latitude_deg = from->patch.latitude_deg,
                      .longitude_deg = from->patch.longitude_deg,
                      .elevation_m = from->patch.elevation_m};
    return status != PN_OK ? status
                           : pn_notebook_add_place(notebook, &place,
                                                   cli->now_unix_s, id, err);
}

/* Inside a transaction of the caller's. */
static pn_status add_patch(const cli_ctx *cli, pn_notebook *notebook,
                           new_patch *from, int64_t *id, pn_error *err) {
    pn_status status = cli_check_ground(&from->patch, err);
    if (status == PN_OK) {
        status = cli_check_patch_name(cli, notebook, &from->patch, err);
    }
    if (status == PN_OK) {
        status = cli_check_name(cli, from->place, "place", err);
    }
    if (status == PN_OK) {
        status =
            find_or_add_place(cli, notebook, from, &from->patch.place, err);
    }
    if (status == PN_OK) {
        status = pn_notebook_add_patch(notebook, &from->patch, cli->now_unix_s,
                                       id, err);
    }
    if (status == PN_OK) {
        status = cli_add_kinds(cli, notebook, from->kinds, *id, err);
    }
    return status;
}

/* ---- patch add --------------------------------------------------------- */

int cmd_patch_add(cli_ctx *cli, const cli_args *args) {
    new_patch from = {
        .patch = {.name = cli_text_value(args, "name", ""),
                  .elevation_m = NAN,
                  .area_m2 = NAN,
                  .texture = cli_text_value(args, "texture", ""),
                  .cover = cli_text_value(args, "cover", ""),
                  .hosts = cli_text_value(args, "hosts", ""),
                  .access = cli_text_value(args, "access", ""),
                  .note = cli_text_value(args, "note", "")},
        .place = cli_text_value(args, "place", DEFAULT_PLACE),
        .kinds = cli_text_value(args, "kinds", ""),
    };
    int code = cli_position_value(args, &from.patch.latitude_deg,
                                  &from.patch.longitude_deg);
    if (code == CLI_OK) {
        code = cli_double_value(args, "elevation", -20.0, 1400.0,
                                &from.patch.elevation_m);
    }
    if (code == CLI_OK) {
        code = cli_double_value(args, "area", 0.1, 1e8, &from.patch.area_m2);
    }
    if (code == CLI_OK && from.patch.name.len == 0) {
        code = cli_fail(CLI_USAGE, "what is it called? give --name");
    }
    pn_notebook *notebook = NULL;
    if (code == CLI_OK) {
        code = cli_open_notebook(cli, PN_NOTEBOOK_WRITE, &notebook);
    }
    if (code != CLI_OK) {
        return code;
    }
    pn_error err = {0};
    int64_t id = 0;
    pn_status status = pn_notebook_begin(notebook, &err);
    if (status == PN_OK) {
        status = add_patch(cli, notebook, &from, &id, &err);
    }
    if (status == PN_OK) {
        status = pn_notebook_commit(notebook, &err);
    }
    pn_notebook_close(notebook);
    if (status != PN_OK) {
        return cli_fail_error(&err);
    }
    const char *grid =
        cli_grid_text(cli, from.patch.latitude_deg, from.patch.longitude_deg);
    if (cli->json) {
        return cli_print_json(
            cli, json_pack("{s:I, s:s#, s:s}", "patch", (json_int_t)id, "name",
                           from.patch.name.at, (int)from.patch.name.len, "grid",
                           grid));
    }
    printf("Patch %lld, %.*s, at %s.\n", (long long)id,
           (int)from.patch.name.len, from.patch.name.at, grid);
    return CLI_OK;
}

/* ---- patch import ------------------------------------------------------ */

typedef struct patch_columns {
    size_t name, place, grid, lat, lon, elevation, area, texture, cover, hosts,
        access, kinds, note;
} patch_columns;

static const char *const patch_column_names[] = {
    "name",        "place",   "grid_ref", "lat_deg", "lon_deg",
    "elevation_m", "area_m2", "texture",  "cover",   "hosts",
    "access",      "kinds",   "note",     NULL};

static patch_columns find_columns(const pn_exchange_table *table) {
    return (patch_columns){
        .name = pn_exchange_table_column(table, "name"),
        .place = pn_exchange_table_column(table, "place"),
        .grid = pn_exchange_table_column(table, "grid_ref"),
        .lat = pn_exchange_table_column(table, "lat_deg"),
        .lon = pn_exchange_table_column(table, "lon_deg"),
        .elevation = pn_exchange_table_column(table, "elevation_m"),
        .area = pn_exchange_table_column(table, "area_m2"),
        .texture = pn_exchange_table_column(table, "texture"),
        .cover = pn_exchange_table_column(table, "cover"),
        .hosts = pn_exchange_table_column(table, "hosts"),
        .access = pn_exchange_table_column(table, "access"),
        .kinds = pn_exchange_table_column(table, "kinds"),
        .note = pn_exchange_table_column(table, "note"),
    };
}

static pn_text field(const pn_exchange_table *table, size_t row,
                     size_t column) {
    return pn_exchange_table_text(table, (pn_exchange_cell){row, column});
}

static pn_status row_position(const pn_exchange_table *table, size_t row,
                              const patch_columns *columns, pn_patch *out,
                              pn_error *err) {
    static const pn_exchange_range lat = {49.0, 61.5, "degrees north"};
    static const pn_exchange_range lon = {-9.5, 2.5, "degrees east"};
    pn_exchange_cell grid = {row, columns->grid};
    if (!pn_exchange_table_is_missing(table, grid)) {
        pn_latlon at;
        pn_error why = {0};
        if (pn_position_parse(pn_exchange_table_text(table, grid), &at, NULL,
                              &why) != PN_OK) {
            return pn_exchange_table_fail(table, grid, err, "%s", why.message);
        }
        out->latitude_deg = pn_degrees(at.latitude_rad);
        out->longitude_deg = pn_degrees(at.longitude_rad);
        return PN_OK;
    }
    pn_status status =
        pn_exchange_table_number(table, (pn_exchange_cell){row, columns->lat},
                                 &lat, &out->latitude_deg, err);
    if (status == PN_OK) {
        status = pn_exchange_table_number(table,
                                          (pn_exchange_cell){row, columns->lon},
                                          &lon, &out->longitude_deg, err);
    }
    if (status == PN_OK &&
        (isnan(out->latitude_deg) || isnan(out->longitude_deg))) {
        return pn_exchange_table_fail(
            table, grid, err,
            "a patch needs a grid_ref such as SU 852 664, or lat_deg and "
            "lon_deg");
    }
    return status;
}

static pn_status read_patch_row(const pn_exchange_table *table, size_t row,
                                const patch_columns *columns, new_patch *out,
                                pn_error *err) {
    static const pn_exchange_range height = {-20.0, 1400.0, "m above the sea"};
    static const pn_exchange_range area = {0.1, 1e8, "m2"};
    *out = (new_patch){.place = field(table, row, columns->place),
                       .kinds = field(table, row, columns->kinds)};
    if (out->place.len == 0) {
        out->place = pn_text_of(DEFAULT_PLACE);
    }
    pn_patch *patch = &out->patch;
    patch->texture = field(table, row, columns->texture);
    patch->cover = field(table, row, columns->cover);
    patch->hosts = field(table, row, columns->hosts);
    patch->access = field(table, row, columns->access);
    patch->note = field(table, row, columns->note);
    pn_status status = pn_exchange_table_need_text(
        table, (pn_exchange_cell){row, columns->name}, &patch->name, err);
    if (status == PN_OK) {
        status = row_position(table, row, columns, patch, err);
    }
    if (status == PN_OK) {
        status = pn_exchange_table_number(
            table, (pn_exchange_cell){row, columns->elevation}, &height,
            &patch->elevation_m, err);
    }
    if (status == PN_OK) {
        status = pn_exchange_table_number(
            table, (pn_exchange_cell){row, columns->area}, &area,
            &patch->area_m2, err);
    }
    return status;
}

static pn_status import_patches(const cli_ctx *cli, pn_notebook *notebook,
                                const pn_exchange_table *table,
                                const char *file, pn_error *err) {
    patch_columns columns = find_columns(table);
    size_t ignored = 0;
    pn_status status =
        pn_exchange_table_need_column(table, "name", &ignored, err);
    for (size_t row = 0;
         status == PN_OK && row < pn_exchange_table_row_count(table); row++) {
        new_patch from;
        int64_t id = 0;
        status = read_patch_row(table, row, &columns, &from, err);
        if (status != PN_OK) {
            break;
        }
        pn_error why = {0};
        status = add_patch(cli, notebook, &from, &id, &why);
        if (status != PN_OK) {
            pn_fail(err, status, "%s:%zu: %s", file,
                    pn_exchange_table_line(table, row), why.message);
        }
    }
    return status;
}

int cmd_patch_import(cli_ctx *cli, const cli_args *args) {
    const char *file = args->positional[0];
    pn_exchange_source source = {0};
    pn_exchange_table *table = NULL;
    pn_notebook *notebook = NULL;
    pn_error err = {0};
    int code = cli_open_notebook(cli, PN_NOTEBOOK_WRITE, &notebook);
    if (code != CLI_OK) {
        return code;
    }
    pn_status status = pn_exchange_open_file(file, &source, &err);
    if (status == PN_OK) {
        status = pn_exchange_table_read(&cli->alloc, &source, &table, &err);
    }
    if (status == PN_OK) {
        status = pn_notebook_begin(notebook, &err);
    }
    if (status == PN_OK) {
        status = import_patches(cli, notebook, table, file, &err);
    }
    if (status == PN_OK && !cli_flag(args, "dry-run")) {
        status = pn_notebook_commit(notebook, &err);
    }
    size_t rows = table != NULL ? pn_exchange_table_row_count(table) : 0;
    if (status == PN_OK) {
        cli_say_ignored(cli, table, patch_column_names);
    }
    pn_exchange_table_free(table);
    pn_exchange_close_file(&source);
    pn_notebook_close(notebook);
    if (status != PN_OK) {
        return cli_fail_error(&err);
    }
    if (cli->json) {
        return cli_print_json(cli, json_pack("{s:I, s:b}", "patches",
                                             (json_int_t)rows, "dry_run",
                                             cli_flag(args, "dry-run")));
    }
    printf("%zu patch%s %s.\n", rows, rows == 1 ? "" : "es",
           cli_flag(args, "dry-run") ? "read and checked; nothing was written"
                                     : "added");
    return CLI_OK;
}

/* ---- lists ------------------------------------------------------------- */

static const char *kinds_of(const cli_ctx *cli, const pn_patch_kind_list *kinds,
                            int64_t patch) {
    char buf[2000];
    pn_str str = pn_str_in(buf, sizeof buf);
    for (size_t i = 0; i < kinds->count; i++) {
        if (kinds->at[i].patch == patch) {
            pn_str_addf(&str, "%s%.*s", str.len > 0 ? ", " : "",
                        (int)kinds->at[i].kind.len, kinds->at[i].kind.at);
        }
    }
    return cli_textf(cli, "%s", buf);
}

static int print_patches(const cli_ctx *cli, const pn_patch_list *patches,
                         const pn_patch_kind_list *kinds) {
    static const pn_paper_column columns[] = {
        {"no.", PN_PAPER_RIGHT},  {"patch", PN_PAPER_LEFT},
        {"grid", PN_PAPER_LEFT},  {"m", PN_PAPER_RIGHT},
        {"cover", PN_PAPER_LEFT}, {"soil", PN_PAPER_LEFT},
        {"kinds", PN_PAPER_LEFT}};
    enum { COLUMNS = sizeof columns / sizeof *columns };
    const char **cells =
        pn_arena_array(cli->arena, patches->count * COLUMNS, sizeof *cells);
    if (cells == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    for (size_t i = 0; i < patches->count; i++) {
        const pn_patch *p = &patches->at[i];
        const char **row = &cells[i * COLUMNS];
        row[0] = cli_textf(cli, "%lld", (long long)p->fact.id);
        row[1] = cli_cell_text(cli, p->name);
        row[2] = cli_grid_text(cli, p->latitude_deg, p->longitude_deg);
        row[3] =
            isnan(p->elevation_m) ? "" : cli_textf(cli, "%.0f", p->elevation_m);
        row[4] = cli_cell_text(cli, p->cover);
        row[5] = cli_cell_text(cli, p->texture);
        row[6] = kinds_of(cli, kinds, p->fact.id);
    }
    return cli_print_table(cli, columns, COLUMNS, cells, patches->count);
}

static json_t *patch_json(const cli_ctx *cli, const pn_patch *p,
                          const pn_patch_kind_list *kinds) {
    json_t *list = json_array();
    for (size_t i = 0; i < kinds->count; i++) {
        if (kinds->at[i].patch == p->fact.id) {
            json_array_append_new(list, cli_json_text(kinds->at[i].kind));
        }
    }
    return json_pack(
        "{s:I, s:o, s:o, s:o, s:s, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o}",
        "patch", (json_int_t)p->fact.id, "name", cli_json_text(p->name),
        "lat_deg", cli_json_number(p->latitude_deg, 7), "lon_deg",
        cli_json_number(p->longitude_deg, 7), "grid",
        cli_grid_text(cli, p->latitude_deg, p->longitude_deg), "elevation_m",
        cli_json_number(p->elevation_m, 1), "area_m2",
        cli_json_number(p->area_m2, 1), "texture", cli_json_text(p->texture),
        "cover", cli_json_text(p->cover), "hosts", cli_json_text(p->hosts),
        "access", cli_json_text(p->access), "note", cli_json_text(p->note),
        "kinds", list);
}

int cmd_patch_list(cli_ctx *cli, const cli_args *args) {
    (void)args;
    pn_notebook *notebook = NULL;
    pn_patch_list patches = {0};
    pn_patch_kind_list kinds = {0};
    pn_error err = {0};
    int code = cli_open_notebook(cli, PN_NOTEBOOK_READ, &notebook);
    if (code != CLI_OK) {
        return code;
    }
    pn_status status =
        pn_notebook_list_patches(notebook, NULL, cli->arena, &patches, &err);
    if (status == PN_OK) {
        status = pn_notebook_list_patch_kinds(notebook, NULL, cli->arena,
                                              &kinds, &err);
    }
    pn_notebook_close(notebook);
    if (status != PN_OK) {
        return cli_fail_error(&err);
    }
    if (cli->json) {
        json_t *list = json_array();
        for (size_t i = 0; i < patches.count; i++) {
            json_array_append_new(list,
                                  patch_json(cli, &patches.at[i], &kinds));
        }
        return cli_print_json(cli, json_pack("{s:o}", "patches", list));
    }
    if (patches.count == 0) {
        cli_say(cli, "No patch yet; 'pannage patch add' makes one.");
        return CLI_NO;
    }
    return print_patches(cli, &patches, &kinds);
}
