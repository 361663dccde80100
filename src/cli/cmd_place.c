/* Places: the woods and lanes that patches belong to. */
#include "cli.h"

#include <math.h>
#include <string.h>

static pn_status check_place_name(const cli_ctx *cli, pn_notebook *notebook,
                                  pn_text name, pn_error *err) {
    pn_place_list list = {0};
    pn_status status = cli_check_name(cli, name, "place", err);
    if (status == PN_OK) {
        status =
            pn_notebook_list_places(notebook, NULL, cli->arena, &list, err);
    }
    for (size_t i = 0; status == PN_OK && i < list.count; i++) {
        if (pn_text_equal_nocase(list.at[i].name, name)) {
            return pn_fail(err, PN_EEXISTS,
                           "there is already a place \"%.*s\" (%lld)",
                           (int)list.at[i].name.len, list.at[i].name.at,
                           (long long)list.at[i].fact.id);
        }
    }
    return status;
}

int cmd_place_add(cli_ctx *cli, const cli_args *args) {
    pn_place place = {.name = cli_text_value(args, "name", ""),
                      .elevation_m = NAN,
                      .note = cli_text_value(args, "note", "")};
    int code =
        cli_position_value(args, &place.latitude_deg, &place.longitude_deg);
    if (code == CLI_OK) {
        code = cli_double_value(args, "elevation", -20.0, 1400.0,
                                &place.elevation_m);
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
    pn_status status = check_place_name(cli, notebook, place.name, &err);
    if (status == PN_OK) {
        status =
            pn_notebook_add_place(notebook, &place, cli->now_unix_s, &id, &err);
    }
    pn_notebook_close(notebook);
    if (status != PN_OK) {
        return cli_fail_error(&err);
    }
    if (cli->json) {
        return cli_print_json(cli, json_pack("{s:I}", "place", (json_int_t)id));
    }
    printf("Place %lld, %.*s.\n", (long long)id, (int)place.name.len,
           place.name.at);
    return CLI_OK;
}

int cmd_place_list(cli_ctx *cli, const cli_args *args) {
    (void)args;
    static const pn_paper_column columns[] = {{"no.", PN_PAPER_RIGHT},
                                              {"place", PN_PAPER_LEFT},
                                              {"grid", PN_PAPER_LEFT},
                                              {"note", PN_PAPER_LEFT}};
    enum { COLUMNS = sizeof columns / sizeof *columns };
    pn_notebook *notebook = NULL;
    pn_place_list places = {0};
    pn_error err = {0};
    int code = cli_open_notebook(cli, PN_NOTEBOOK_READ, &notebook);
    if (code != CLI_OK) {
        return code;
    }
    pn_status status =
        pn_notebook_list_places(notebook, NULL, cli->arena, &places, &err);
    pn_notebook_close(notebook);
    if (status != PN_OK) {
        return cli_fail_error(&err);
    }
    json_t *list = json_array();
    const char **cells =
        pn_arena_array(cli->arena, places.count * COLUMNS + 1, sizeof *cells);
    for (size_t i = 0; cells != NULL && i < places.count; i++) {
        const pn_place *p = &places.at[i];
        const char *row[COLUMNS] = {
            cli_textf(cli, "%lld", (long long)p->fact.id),
            cli_cell_text(cli, p->name),
            cli_grid_text(cli, p->latitude_deg, p->longitude_deg),
            cli_cell_text(cli, p->note)};
        memcpy(&cells[i * COLUMNS], row, sizeof row);
        json_array_append_new(
            list,
            json_pack("{s:I, s:o, s:o, s:o, s:s, s:o}", "place",
                      (json_int_t)p->fact.id, "name", cli_json_text(p->name),
                      "lat_deg", cli_json_number(p->latitude_deg, 7), "lon_deg",
                      cli_json_number(p->longitude_deg, 7), "grid", row[2],
                      "note", cli_json_text(p->note)));
    }
    if (cli->json) {
        return cli_print_json(cli, json_pack("{s:o}", "places", list));
    }
    json_decref(list);
    return cells == NULL
               ? cli_fail(CLI_SYSTEM, "out of memory")
               : cli_print_table(cli, columns, COLUMNS, cells, places.count);
}
