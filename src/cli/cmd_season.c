/* The season of one kind at one patch, to be looked at. */
#include "cli.h"

#include <math.h>
#include <string.h>

/* Visits that looked for the kind, as marks on the chart. */
static size_t visit_marks(const cli_ctx *cli, const cli_outlook_data *data,
                          pn_paper_mark **out) {
    size_t count = data->input.visit_count;
    pn_paper_mark *marks = pn_arena_array(cli->arena, count + 1, sizeof *marks);
    *out = marks;
    for (size_t i = 0; marks != NULL && i < count; i++) {
        const pn_outlook_visit *v = &data->input.visits[i];
        double kg = (double)v->count * v->kind->item_g / 1000.0;
        marks[i] = (pn_paper_mark){.epoch_day = v->epoch_day,
                                   .value = v->count > 0 ? kg : NAN,
                                   .filled = v->count > 0};
    }
    return marks != NULL ? count : 0;
}

static pn_status draw_svg(const cli_ctx *cli, const cli_outlook_data *data,
                          const pn_kind *kind, const pn_outlook_season *s,
                          const char *footnote, pn_buffer *buffer,
                          pn_error *err) {
    pn_paper_mark *marks = NULL;
    size_t mark_count = visit_marks(cli, data, &marks);
    const pn_paper_band band = {"80 % range", s->kg_low, s->kg_high,
                                PN_PAPER_MOSS};
    const pn_paper_series kg[] = {{"expected at a visit, mean", s->kg,
                                   PN_PAPER_MOSS, PN_PAPER_SOLID, false}};
    const pn_paper_series degc[] = {
        {"soil at 10 cm", s->soil_degc, PN_PAPER_RUST, PN_PAPER_SOLID, false},
        {"air", s->air_degc, PN_PAPER_SLATE, PN_PAPER_DOTTED, false}};
    const pn_paper_series water[] = {
        {"rain", s->rain_mm, PN_PAPER_SLATE, PN_PAPER_BARS, false},
        {"water in the top soil, share of what roots can draw", s->water_frac,
         PN_PAPER_INK, PN_PAPER_DASHED, true}};
    const pn_paper_panel panels[] = {
        {.title = "What a visit would find",
         .unit = "kg",
         .series = kg,
         .series_count = 1,
         .band = &band,
         .marks = marks,
         .mark_count = mark_count,
         .from_zero = true,
         .height = 1.6},
        {.title = "Soil and air",
         .unit = "°C",
         .series = degc,
         .series_count = 2},
        {.title = "Rain and soil water",
         .unit = "mm",
         .unit_right = "share",
         .series = water,
         .series_count = 2,
         .from_zero = true},
    };
    const char *patch = data->input.patches[0].name;
    pn_paper_chart_opts opts = PN_PAPER_CHART_OPTS_INIT;
    opts.title = cli_textf(cli, "%s at %s", kind->english, patch);
    opts.subtitle = cli_textf(cli, "%s. %s", kind->scientific, kind->caution);
    opts.description =
        cli_textf(cli,
                  "Weight of %s expected at a visit to %s, day by day, with "
                  "its 80 %% range, the visits made, soil and air temperature, "
                  "rain and soil water.",
                  kind->english, patch);
    opts.footnote = footnote;
    opts.first_epoch_day = s->first_epoch_day;
    opts.day_count = s->day_count;
    opts.panels = panels;
    opts.panel_count = sizeof panels / sizeof *panels;
    opts.has_today = true;
    opts.today_epoch_day = data->input.issue_epoch_day;
    return pn_paper_line_chart_svg(&opts, buffer, err);
}

static pn_status draw_terminal(const cli_ctx *cli, const cli_outlook_data *data,
                               const pn_kind *kind, const pn_outlook_season *s,
                               pn_buffer *buffer, pn_error *err) {
    pn_paper_mark *marks = NULL;
    size_t mark_count = visit_marks(cli, data, &marks);
    pn_paper_season_opts opts = PN_PAPER_SEASON_OPTS_INIT;
    opts.title =
        cli_textf(cli, "%s at %s", kind->english, data->input.patches[0].name);
    opts.unit = "kg";
    opts.first_epoch_day = s->first_epoch_day;
    opts.day_count = s->day_count;
    opts.expected = s->kg;
    opts.low = s->kg_low;
    opts.high = s->kg_high;
    opts.marks = marks;
    opts.mark_count = mark_count;
    opts.has_today = true;
    opts.today_epoch_day = data->input.issue_epoch_day;
    opts.columns = cli->columns > 0 ? cli->columns : 80;
    opts.ascii = cli->ascii;
    opts.colour = cli->colour;
    return pn_paper_season_terminal(&opts, buffer, err);
}

static int print_season_json(const cli_ctx *cli, const cli_outlook_data *data,
                             const pn_kind *kind, const pn_outlook_season *s) {
    json_t *days = json_array();
    for (size_t d = 0; d < s->day_count; d++) {
        json_array_append_new(
            days,
            json_pack("{s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o}", "date",
                      cli_json_date(s->first_epoch_day + (int32_t)d), "kg",
                      cli_json_number(s->kg[d], 3), "kg_low",
                      cli_json_number(s->kg_low[d], 3), "kg_high",
                      cli_json_number(s->kg_high[d], 3), "chance",
                      cli_json_number(s->chance_prob[d], 4), "soil_degc",
                      cli_json_number(s->soil_degc[d], 2), "air_degc",
                      cli_json_number(s->air_degc[d], 2), "water_frac",
                      cli_json_number(s->water_frac[d], 4), "rain_mm",
                      cli_json_number(s->rain_mm[d], 1)));
    }
    return cli_print_json(
        cli,
        json_pack("{s:s, s:s, s:o, s:o}", "kind", kind->id, "patch",
                  data->input.patches[0].name, "issued",
                  cli_json_date(data->input.issue_epoch_day), "days", days));
}

static int print_season(cli_ctx *cli, const cli_args *args,
                        const cli_outlook_data *data, const pn_kind *kind,
                        const pn_outlook_season *season) {
    pn_buffer buffer;
    pn_error err = {0};
    const char *path = cli_value(args, "svg");
    if (cli->json) {
        return print_season_json(cli, data, kind, season);
    }
    pn_buffer_init(&buffer, &cli->alloc);
    if (path == NULL) {
        return draw_terminal(cli, data, kind, season, &buffer, &err) == PN_OK
                   ? cli_print_buffer(&buffer)
                   : cli_fail_error(&err);
    }
    const char *note = cli_textf(
        cli,
        "A planning aid, not a promise, and never a word on what is safe "
        "to eat. Weather: %.*s. Days right of the rule are the outlook.",
        (int)data->source.name.len, data->source.name.at);
    int code =
        draw_svg(cli, data, kind, season, note, &buffer, &err) == PN_OK
            ? cli_write_file(cli, path, pn_buffer_text(&buffer), buffer.len)
            : cli_fail_error(&err);
    pn_buffer_deinit(&buffer);
    if (code == CLI_OK) {
        printf("The season chart of %s is %s.\n", kind->english, path);
    }
    return code;
}

static int check_one_pair(const cli_args *args) {
    if (cli_value(args, "patch") == NULL || cli_value(args, "kind") == NULL) {
        return cli_fail(CLI_USAGE, "of what, and where? give --patch and "
                                   "--kind");
    }
    return CLI_OK;
}

int cmd_season(cli_ctx *cli, const cli_args *args) {
    cli_outlook_data data = {.input = PN_OUTLOOK_INPUT_INIT};
    pn_outlook *outlook = NULL;
    pn_outlook_season season = {.day_count = 0};
    pn_error err = {0};
    int32_t issue = cli->today_epoch_day;
    int code = check_one_pair(args);
    if (code == CLI_OK) {
        code = cli_date_value(cli, args, "date", &issue);
    }
    if (code != CLI_OK) {
        return code;
    }
    int32_t since = issue - 240;
    code = cli_date_value(cli, args, "since", &since);
    if (code == CLI_OK) {
        code = cli_outlook_load(cli, args, issue, &data);
    }
    size_t rows = 0;
    if (code == CLI_OK) {
        pn_status status =
            pn_outlook_run(&cli->alloc, &data.input, &outlook, &err);
        if (status == PN_OK) {
            const pn_outlook_row *row = pn_outlook_rows(outlook, &rows);
            status =
                rows == 0
                    ? pn_fail(&err, PN_EDOMAIN, "%s: %s",
                              data.input.pairs[0].kind->english,
                              data.input.pairs[0].kind->not_forecast_why)
                    : pn_outlook_season_of(outlook, row, since, &season, &err);
        }
        code = status == PN_OK ? print_season(cli, args, &data,
                                              data.input.pairs[0].kind, &season)
                               : cli_fail_error(&err);
    }
    pn_outlook_season_deinit(&season);
    pn_outlook_free(outlook);
    cli_outlook_release(&data);
    return code;
}
