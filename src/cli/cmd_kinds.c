#include "cli.h"

#include <math.h>
#include <string.h>

static const char *forecast_word(const pn_kind *kind) {
    return kind->model == PN_SEASON_NOT_FORECAST ? "not forecast" : "yes";
}

static json_t *prior_json(const pn_kind *kind, pn_season_param param) {
    const pn_season_prior *prior = &kind->prior[param];
    return json_pack(
        "{s:s, s:s, s:o, s:o, s:s}", "name", pn_season_param_name(param),
        "unit", pn_season_param_unit(param), "median",
        cli_json_number(prior->median, 6), "spread",
        cli_json_number(prior->spread, 6), "source", prior->source);
}

static json_t *kind_json(const pn_kind *kind) {
    json_t *params = json_array();
    for (int p = 0; p < PN_SEASON_PARAM_COUNT; p++) {
        if (pn_season_param_used(kind->model, (pn_season_param)p)) {
            json_array_append_new(params, prior_json(kind, (pn_season_param)p));
        }
    }
    return json_pack(
        "{s:s, s:s, s:s, s:s, s:s, s:b, s:s, s:f, s:I, s:s, s:o}", "id",
        kind->id, "english", kind->english, "scientific", kind->scientific,
        "group", kind->group, "where", kind->where, "forecast",
        kind->model != PN_SEASON_NOT_FORECAST, "item", kind->item, "item_g",
        kind->item_g, "worthwhile_count", (json_int_t)kind->worthwhile_count,
        "caution", kind->caution, "parameters", params);
}

static int list_kinds(const cli_ctx *cli) {
    static const pn_paper_column columns[] = {
        {"id", PN_PAPER_LEFT},         {"name", PN_PAPER_LEFT},
        {"scientific", PN_PAPER_LEFT}, {"group", PN_PAPER_LEFT},
        {"forecast", PN_PAPER_LEFT},   {"where", PN_PAPER_LEFT}};
    enum { COLUMNS = sizeof columns / sizeof *columns };
    size_t count = pn_kind_count();
    const char **cells =
        pn_arena_array(cli->arena, count * COLUMNS, sizeof *cells);
    if (cells == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    for (size_t i = 0; i < count; i++) {
        const pn_kind *kind = pn_kind_at(i);
        const char *row[COLUMNS] = {
            kind->id,    kind->english,       kind->scientific,
            kind->group, forecast_word(kind), kind->where};
        memcpy(&cells[i * COLUMNS], row, sizeof row);
    }
    return cli_print_table(cli, columns, COLUMNS, cells, count);
}

static int list_kinds_json(const cli_ctx *cli) {
    json_t *list = json_array();
    for (size_t i = 0; i < pn_kind_count(); i++) {
        json_array_append_new(list, kind_json(pn_kind_at(i)));
    }
    return cli_print_json(cli, json_pack("{s:o}", "kinds", list));
}

static int print_params(const cli_ctx *cli, const pn_kind *kind) {
    static const pn_paper_column columns[] = {{"parameter", PN_PAPER_LEFT},
                                              {"median", PN_PAPER_RIGHT},
                                              {"spread", PN_PAPER_RIGHT},
                                              {"unit", PN_PAPER_LEFT},
                                              {"source", PN_PAPER_LEFT}};
    enum { COLUMNS = sizeof columns / sizeof *columns };
    const char *cells[PN_SEASON_PARAM_COUNT * COLUMNS];
    size_t rows = 0;
    for (int p = 0; p < PN_SEASON_PARAM_COUNT; p++) {
        pn_season_param param = (pn_season_param)p;
        if (!pn_season_param_used(kind->model, param)) {
            continue;
        }
        const pn_season_prior *prior = &kind->prior[p];
        const char **row = &cells[rows++ * COLUMNS];
        row[0] = pn_season_param_name(param);
        row[1] = cli_textf(cli, "%g", prior->median);
        row[2] = cli_textf(cli, "%g%s", prior->spread,
                           pn_season_param_scale(param) == PN_SEASON_SCALE_LOG
                               ? " (log)"
                               : "");
        row[3] = pn_season_param_unit(param);
        row[4] = prior->source;
    }
    return rows == 0 ? CLI_OK
                     : cli_print_table(cli, columns, COLUMNS, cells, rows);
}

static int show_kind(const cli_ctx *cli, const pn_kind *kind) {
    printf("%s (%s), %s\nwhere: %s\n", kind->english, kind->scientific,
           kind->group, kind->where);
    printf("%s\n", kind->caution);
    if (kind->model == PN_SEASON_NOT_FORECAST) {
        printf("%s\n", kind->not_forecast_why);
        return CLI_OK;
    }
    printf("counted in: %s of about %.3g g; a walk is worth it for %lld\n"
           "a usual patch holds about %.3g of them at its best\n\n",
           kind->item_plural, kind->item_g, (long long)kind->worthwhile_count,
           kind->rate_mean);
    return print_params(cli, kind);
}

int cmd_kinds(cli_ctx *cli, const cli_args *args) {
    if (args->positional_count == 0) {
        return cli->json ? list_kinds_json(cli) : list_kinds(cli);
    }
    const pn_kind *kind = NULL;
    int code = cli_find_kind(args->positional[0], &kind);
    if (code != CLI_OK) {
        return code;
    }
    return cli->json ? cli_print_json(cli, kind_json(kind))
                     : show_kind(cli, kind);
}
