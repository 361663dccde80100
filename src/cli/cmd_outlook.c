#include "cli.h"

#include <math.h>
#include <string.h>

enum { TOP_DEFAULT = 12 };

/* ---- words ----------------------------------------------------------------
 */

static const char *percent(const cli_ctx *cli, double prob) {
    if (isnan(prob)) {
        return "?";
    }
    if (prob < 0.01) {
        return "<1 %";
    }
    return prob > 0.99 ? ">99 %" : cli_textf(cli, "%.0f %%", 100.0 * prob);
}

static const char *weight(const cli_ctx *cli, double kg) {
    if (isnan(kg)) {
        return "?";
    }
    return cli_textf(cli, kg < 9.95 ? "%.1f" : "%.0f", kg);
}

static const char *when(const cli_ctx *cli, const pn_outlook_row *row,
                        int32_t issue) {
    char day[PN_DATE_HUMAN_SIZE];
    return row->best_day < 0
               ? "?"
               : cli_textf(cli, "%s",
                           pn_date_human(issue + row->best_day, day));
}

static const char *join_reasons(const cli_ctx *cli,
                                const pn_outlook_reasons *why) {
    char buf[PN_OUTLOOK_REASONS_MAX * PN_OUTLOOK_REASON_SIZE];
    pn_str str = pn_str_in(buf, sizeof buf);
    for (size_t i = 0; i < why->count; i++) {
        pn_str_addf(&str, "%s%s", i > 0 ? "; " : "", why->text[i]);
    }
    return cli_plain(cli, cli_textf(cli, "%s", buf));
}

/* One sign a day, so that the fortnight is seen without reading numbers. */
static const char *fortnight(const cli_ctx *cli, const pn_outlook_row *row,
                             int days) {
    static const char *const blocks[] = {"·", "▁", "▂", "▃", "▄",
                                         "▅", "▆", "▇", "█"};
    static const char plain[] = ".123456789";
    char buf[4 * PN_OUTLOOK_HORIZON_MAX + 1];
    pn_str str = pn_str_in(buf, sizeof buf);
    for (int h = 0; h < days; h++) {
        double prob = row->day[h].chance_prob;
        int step = isnan(prob) || prob < 0.01 ? 0 : 1 + (int)(prob * 7.99);
        if (cli->ascii) {
            pn_str_addf(&str, "%c", plain[step]);
        } else {
            pn_str_addf(&str, "%s", blocks[step]);
        }
    }
    return cli_textf(cli, "%s", buf);
}

const char *cli_made_line(const cli_ctx *cli, const cli_outlook_data *data,
                          const pn_outlook *outlook) {
    pn_outlook_made made = pn_outlook_how_made(outlook);
    char first[PN_DATE_ISO_SIZE];
    char last[PN_DATE_ISO_SIZE];
    char buf[900];
    pn_str str = pn_str_in(buf, sizeof buf);
    pn_str_addf(&str,
                "A planning aid, not a promise, and never a word on what is "
                "safe to eat. Made from %.*s %s to %s",
                (int)data->source.name.len, data->source.name.at,
                pn_date_iso(made.record_first, first),
                pn_date_iso(made.record_last, last));
    if (made.filled_days > 0) {
        pn_str_addf(&str, " (%zu day%s with a gap filled)", made.filled_days,
                    made.filled_days == 1 ? "" : "s");
    }
    for (int m = 0; m < PN_SKY_ET0_UNKNOWN; m++) {
        if (made.et0_days[m] > 0) {
            pn_str_addf(&str, ", %s %zu day%s",
                        pn_sky_et0_method_name((pn_sky_et0_method)m),
                        made.et0_days[m], made.et0_days[m] == 1 ? "" : "s");
        }
    }
    pn_str_addf(&str, "; ");
    if (made.forecast_days > 0) {
        pn_str_addf(&str, "%d day%s of forecast", made.forecast_days,
                    made.forecast_days == 1 ? "" : "s");
    } else {
        pn_str_addf(&str, "no forecast");
    }
    if (made.forecast_days < data->input.horizon_days) {
        pn_str_addf(&str, ", then the same weeks of ");
        if (made.other_years > 0) {
            pn_str_addf(&str, "%d other year%s", made.other_years,
                        made.other_years == 1 ? "" : "s");
        } else {
            pn_str_addf(&str, "no other year (none on record: the weeks just "
                              "past stand in)");
        }
    }
    pn_str_addf(&str, "; %zu visit%s%s.", data->visits.count,
                data->visits.count == 1 ? "" : "s",
                made.short_record ? "; the record is too short to trust yet"
                                  : "");
    return cli_textf(cli, "%s", buf);
}

/* ---- table -----------------------------------------------------------------
 */

enum { ROW_COLUMNS = 7, WHY_INDENT = 4 };

static const char **fill_cells(const cli_ctx *cli, const cli_outlook_data *data,
                               const pn_outlook_row *rows, size_t count) {
    int32_t issue = data->input.issue_epoch_day;
    const char **cells =
        pn_arena_array(cli->arena, count * ROW_COLUMNS, sizeof *cells);
    for (size_t r = 0; cells != NULL && r < count; r++) {
        const pn_outlook_row *row = &rows[r];
        const pn_outlook_day *best =
            row->best_day < 0 ? NULL : &row->day[row->best_day];
        const char *line[ROW_COLUMNS] = {
            row->rank > 0 ? cli_textf(cli, "%d", row->rank) : "",
            row->kind->english,
            data->input.patches[row->patch].name,
            when(cli, row, issue),
            percent(cli, best != NULL ? best->chance_prob : NAN),
            best == NULL
                ? "?"
                : cli_textf(cli, "%s (%s%s%s)", weight(cli, best->kg),
                            weight(cli, best->kg_low), cli->ascii ? "-" : "–",
                            weight(cli, best->kg_high)),
            fortnight(cli, row, data->input.horizon_days)};
        memcpy(&cells[r * ROW_COLUMNS], line, sizeof line);
    }
    return cells;
}

/* Signs of a UTF-8 text; a sign of the East counts as one and may crowd. */
static size_t signs(const char *text) {
    size_t count = 0;
    for (; *text != '\0'; text++) {
        count += ((unsigned char)*text & 0xc0U) != 0x80U;
    }
    return count;
}

static size_t table_width(const pn_paper_column *columns,
                          const char *const *cells, size_t rows) {
    enum { GAP = 2 };
    size_t width = 0;
    for (size_t c = 0; c < ROW_COLUMNS; c++) {
        size_t widest = signs(columns[c].header);
        for (size_t r = 0; r < rows; r++) {
            size_t needs = signs(cells[r * ROW_COLUMNS + c]);
            widest = needs > widest ? needs : widest;
        }
        width += widest + (c > 0 ? GAP : 0);
    }
    return width;
}

/* On a terminal too narrow for it the last column, day by day, is left out:
 * rows stay rows. Returns how many columns remain. */
static size_t drop_last_column(const char **cells, size_t rows) {
    for (size_t r = 0; r < rows; r++) {
        memmove(&cells[r * (ROW_COLUMNS - 1)], &cells[r * ROW_COLUMNS],
                (ROW_COLUMNS - 1) * sizeof *cells);
    }
    return ROW_COLUMNS - 1;
}

static int print_why(const cli_ctx *cli, const pn_outlook *outlook,
                     const pn_outlook_row *row) {
    pn_outlook_reasons why;
    pn_error err = {0};
    if (pn_outlook_why(outlook, row, &why, &err) != PN_OK) {
        return cli_fail_error(&err);
    }
    cli_print_paragraph(cli, WHY_INDENT, join_reasons(cli, &why));
    cli_print_paragraph(cli, WHY_INDENT, cli_plain(cli, row->kind->caution));
    return CLI_OK;
}

/* The table's lines, each row's reasons under it. */
static int interleave(const cli_ctx *cli, const pn_outlook *outlook,
                      const pn_outlook_row *rows, const char *table) {
    enum { HEADER_LINES = 2 };
    int code = CLI_OK;
    pn_text rest = pn_text_of(table);
    for (size_t line = 0; code == CLI_OK && rest.len > 0; line++) {
        pn_text one = pn_text_cut(rest, '\n', &rest);
        bool row = line >= HEADER_LINES;
        printf("%s%.*s%s\n", row && cli->colour ? "\033[1m" : "", (int)one.len,
               one.at, row && cli->colour ? "\033[0m" : "");
        if (row) {
            code = print_why(cli, outlook, &rows[line - HEADER_LINES]);
        }
    }
    return code;
}

static int print_rows(const cli_ctx *cli, const cli_outlook_data *data,
                      const pn_outlook *outlook, const pn_outlook_row *rows,
                      size_t count) {
    static const pn_paper_column columns[ROW_COLUMNS] = {
        {"", PN_PAPER_RIGHT},         {"kind", PN_PAPER_LEFT},
        {"patch", PN_PAPER_LEFT},     {"best day", PN_PAPER_LEFT},
        {"chance", PN_PAPER_RIGHT},   {"kg (80 %)", PN_PAPER_RIGHT},
        {"day by day", PN_PAPER_LEFT}};
    pn_buffer buffer;
    pn_error err = {0};
    const char **cells = fill_cells(cli, data, rows, count);
    size_t column_count = ROW_COLUMNS;
    if (cells != NULL && cli->columns > 0 &&
        table_width(columns, cells, count) > (size_t)cli->columns) {
        column_count = drop_last_column(cells, count);
    }
    pn_buffer_init(&buffer, &cli->alloc);
    const pn_paper_table_opts opts = {
        .columns = columns,
        .column_count = column_count,
        .cells = cells,
        .row_count = count,
        .ascii = cli->ascii,
    };
    int code = opts.cells == NULL ? cli_fail(CLI_SYSTEM, "out of memory")
               : pn_paper_table(&opts, &buffer, &err) != PN_OK
                   ? cli_fail_error(&err)
                   : interleave(cli, outlook, rows, pn_buffer_text(&buffer));
    pn_buffer_deinit(&buffer);
    return code;
}

/* ---- the command ------------------------------------------------------- */

/* Rows worth a line: all that are asked for by name, else the best. */
static size_t rows_to_show(const cli_args *args, const pn_outlook_row *rows,
                           size_t count, int64_t top) {
    bool everything = cli_flag(args, "all");
    size_t shown = 0;
    while (shown < count && (everything || (int64_t)shown < top)) {
        if (!everything &&
            (rows[shown].rank == 0 ||
             rows[shown].day[rows[shown].best_day].chance_prob < 0.01)) {
            break;
        }
        shown++;
    }
    return shown;
}

static void print_not_forecast(const cli_ctx *cli,
                               const cli_outlook_data *data) {
    for (size_t i = 0; i < data->input.pair_count; i++) {
        const pn_outlook_pair *pair = &data->input.pairs[i];
        if (pair->kind->model == PN_SEASON_NOT_FORECAST) {
            cli_print_paragraph(cli, 0,
                                cli_textf(cli, "%s at %s: %s.",
                                          pair->kind->english,
                                          data->input.patches[pair->patch].name,
                                          pair->kind->not_forecast_why));
            cli_print_paragraph(cli, WHY_INDENT,
                                cli_plain(cli, pair->kind->caution));
        }
    }
}

static int print_outlook(cli_ctx *cli, const cli_args *args,
                         const cli_outlook_data *data,
                         const pn_outlook *outlook, int64_t top) {
    size_t count = 0;
    const pn_outlook_row *rows = pn_outlook_rows(outlook, &count);
    size_t shown = rows_to_show(args, rows, count, top);
    int32_t issue = data->input.issue_epoch_day;
    int32_t last = issue + data->input.horizon_days - 1;
    char from[PN_DATE_HUMAN_SIZE];
    char to[PN_DATE_HUMAN_SIZE];
    if (cli->json) {
        return cli_outlook_json(cli, args, data, outlook, rows, shown);
    }
    int year = pn_date_from_epoch_day(issue).year;
    int last_year = pn_date_from_epoch_day(last).year;
    printf("Outlook for %s%s to %s %d\n"
           "chance: of a find worth the walk, on the best day and day by "
           "day\n\n",
           pn_date_human(issue, from),
           year == last_year ? "" : cli_textf(cli, " %d", year),
           pn_date_human(last, to), last_year);
    int code = CLI_OK;
    if (shown == 0) {
        printf("Nothing looked for is likely to be up in these days.\n");
    } else {
        code = print_rows(cli, data, outlook, rows, shown);
    }
    for (size_t r = 0; code == CLI_OK && cli_flag(args, "explain") && r < shown;
         r++) {
        code = cli_explain_row(data, outlook, &rows[r]);
    }
    print_not_forecast(cli, data);
    putchar('\n');
    cli_print_paragraph(cli, 0, cli_made_line(cli, data, outlook));
    return code != CLI_OK ? code : shown > 0 ? CLI_OK : CLI_NO;
}

int cmd_outlook(cli_ctx *cli, const cli_args *args) {
    cli_outlook_data data;
    pn_outlook *outlook = NULL;
    pn_error err = {0};
    int32_t issue = cli->today_epoch_day;
    int64_t top = TOP_DEFAULT;
    int64_t days = 14;
    int code = cli_date_value(cli, args, "date", &issue);
    if (code == CLI_OK) {
        code = cli_int_value(args, "top", 1, 100000, &top);
    }
    if (code == CLI_OK) {
        code = cli_int_value(args, "days", 1, PN_OUTLOOK_HORIZON_MAX, &days);
    }
    if (code != CLI_OK) {
        return code;
    }
    code = cli_outlook_load(cli, args, issue, &data);
    data.input.horizon_days = (int)days;
    if (code == CLI_OK &&
        pn_outlook_run(&cli->alloc, &data.input, &outlook, &err) != PN_OK) {
        code = cli_fail_error(&err);
    }
    if (code == CLI_OK) {
        code = print_outlook(cli, args, &data, outlook, top);
    }
    pn_outlook_free(outlook);
    cli_outlook_release(&data);
    return code;
}
