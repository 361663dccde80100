#include "cli.h"

#include <string.h>

#include "pannage/sheets.h"

/* ---- one sheet
 * ------------------------------------------------------------------ */

static void print_headed(const cli_ctx *cli, const char *head,
                         const char *text) {
    if (text != NULL && text[0] != '\0') {
        printf("\n%s%s%s\n", cli->colour ? "\033[1m" : "", head,
               cli->colour ? "\033[0m" : "");
        cli_print_paragraph(cli, 2, text);
    }
}

static const char *join_names(const cli_ctx *cli, const pn_guide_names *names) {
    char buf[600];
    pn_str str = pn_str_in(buf, sizeof buf);
    for (size_t i = 0; i < names->count; i++) {
        pn_str_addf(&str, "%s%s", i > 0 ? ", " : "",
                    cli_words(cli, names->at[i]));
    }
    return cli_textf(cli, "%s", buf);
}

static void print_list(const cli_ctx *cli, const char *head,
                       const pn_guide_list *list) {
    if (list->count == 0) {
        return;
    }
    printf("\n%s%s%s\n", cli->colour ? "\033[1m" : "", head,
           cli->colour ? "\033[0m" : "");
    for (size_t i = 0; i < list->count; i++) {
        const pn_guide_words *w = &list->at[i];
        const char *stage = strcmp(w->stage, w->about) == 0 ? "" : w->stage;
        const char *line = cli_textf(
            cli, "%s%s%s%s%s%s%s", cli_words(cli, w->about),
            stage[0] != '\0' ? ", " : "", stage, w->what[0] != '\0' ? ": " : "",
            w->what,
            w->words[0] != '\0' ? (w->what[0] != '\0' ? ". " : ": ") : "",
            w->words);
        cli_print_paragraph(cli, 2, line);
    }
}

static void print_traits(const cli_ctx *cli, const pn_guide *guide,
                         const pn_sheet *sheet) {
    printf("\n%sWhat it shows%s%s\n", cli->colour ? "\033[1m" : "",
           cli->colour ? "\033[0m" : "",
           sheet->must_see_count > 0
               ? " (* must be seen before the check says more than \"open\")"
               : "");
    for (size_t t = 0; t < sheet->trait_count; t++) {
        const pn_trait *trait = &sheet->traits[t];
        const pn_feature *f = &guide->features[trait->feature];
        cli_print_paragraph(
            cli, 2,
            cli_textf(cli, "%s%s (%s): %s",
                      pn_sheet_must_see(sheet, trait->feature) ? "* " : "",
                      cli_words(cli, f->id), pn_effort_name(f->effort),
                      cli_trait_text(cli, guide, trait)));
    }
}

static void print_lookalikes(const cli_ctx *cli, const pn_guide *guide,
                             const pn_sheet *sheet) {
    if (sheet->lookalike_count == 0) {
        return;
    }
    printf("\n%sNot to be taken for%s\n", cli->colour ? "\033[1m" : "",
           cli->colour ? "\033[0m" : "");
    for (size_t i = 0; i < sheet->lookalike_count; i++) {
        const pn_lookalike *look = &sheet->lookalikes[i];
        const pn_sheet *other = &guide->sheets[look->sheet];
        cli_print_paragraph(
            cli, 2,
            cli_textf(cli, "%s (%s, %s): %s%s", other->english,
                      other->scientific, pn_guide_status_name(other->status),
                      look->words,
                      look->inseparable
                          ? " NOTHING in the field tells the two surely apart."
                          : ""));
    }
}

static void print_season(const cli_ctx *cli, const pn_sheet *sheet) {
    const char *peak = sheet->peak_from > 0
                           ? cli_textf(cli, ", most in %s to %s",
                                       pn_month_name(sheet->peak_from),
                                       pn_month_name(sheet->peak_to))
                           : "";
    print_headed(cli, "When and where",
                 cli_textf(cli, "%s to %s%s; %s%s%s",
                           pn_month_name(sheet->season_from),
                           pn_month_name(sheet->season_to), peak,
                           join_names(cli, &sheet->habitats),
                           sheet->hosts.count > 0 ? "; with " : "",
                           join_names(cli, &sheet->hosts)));
}

static void print_sheet(const cli_ctx *cli, const pn_guide *guide,
                        const pn_sheet *sheet) {
    printf("%s%s%s: %s %s; %s; %s%s\n", cli->colour ? "\033[1m" : "",
           sheet->english, cli->colour ? "\033[0m" : "", sheet->scientific,
           sheet->author, sheet->group, pn_guide_status_name(sheet->status),
           sheet->expert_only ? "; for experts only" : "");
    cli_print_paragraph(cli, 0, sheet->about);
    print_headed(cli, "What it does", sheet->harm);
    print_lookalikes(cli, guide, sheet);
    print_list(cli, "Cautions", &sheet->cautions);
    print_season(cli, sheet);
    print_traits(cli, guide, sheet);
    print_list(cli, "Stages", &sheet->stages);
    print_list(cli, "Parts", &sheet->parts);
    print_headed(cli, "Taking", sheet->take);
    print_headed(cli, "Law", join_names(cli, &sheet->law));
    print_headed(cli, "Keeping", sheet->keeps);
    printf("\nSource: %s\n", sheet->source);
    cli_print_check_caution(cli);
}

/* One sheet is an object, several are a list of them. */
static int print_sheets_json(const cli_ctx *cli, const pn_guide *guide,
                             const size_t *at, size_t count) {
    if (count == 1) {
        return cli_print_json(cli, cli_sheet_json(guide, &guide->sheets[*at]));
    }
    json_t *list = json_array();
    for (size_t i = 0; i < count; i++) {
        json_array_append_new(list,
                              cli_sheet_json(guide, &guide->sheets[at[i]]));
    }
    return cli_print_json(cli, json_pack("{s:o}", "sheets", list));
}

static int show_sheets(const cli_ctx *cli, const cli_args *args,
                       const pn_guide *guide) {
    size_t count = (size_t)args->positional_count;
    size_t *at = pn_arena_array(cli->arena, count, sizeof *at);
    if (at == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    for (size_t i = 0; i < count; i++) {
        int code = cli_find_sheet(guide, args->positional[i], &at[i]);
        if (code != CLI_OK) {
            return code;
        }
    }
    if (cli->json) {
        return print_sheets_json(cli, guide, at, count);
    }
    for (size_t i = 0; i < count; i++) {
        if (i > 0) {
            printf("\n\n");
        }
        print_sheet(cli, guide, &guide->sheets[at[i]]);
    }
    return CLI_OK;
}

int cmd_guide(cli_ctx *cli, const cli_args *args) {
    pn_sheets *sheets = NULL;
    int code = cli_load_guide(cli, args, &sheets);
    if (code == CLI_OK) {
        code = show_sheets(cli, args, pn_sheets_guide(sheets));
    }
    pn_sheets_free(sheets);
    return code;
}

/* ---- list
 * -------------------------------------------------------------------- */

static int print_list_of_sheets(const cli_ctx *cli, const pn_guide *guide) {
    static const pn_paper_column columns[] = {{"id", PN_PAPER_LEFT},
                                              {"name", PN_PAPER_LEFT},
                                              {"scientific", PN_PAPER_LEFT},
                                              {"status", PN_PAPER_LEFT},
                                              {"group", PN_PAPER_LEFT}};
    enum { COLUMNS = sizeof columns / sizeof *columns };
    const char **cells =
        pn_arena_array(cli->arena, guide->sheet_count * COLUMNS, sizeof *cells);
    if (cells == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    for (size_t k = 0; k < guide->sheet_count; k++) {
        const pn_sheet *s = &guide->sheets[k];
        const char *row[COLUMNS] = {s->id, s->english, s->scientific,
                                    pn_guide_status_name(s->status), s->group};
        memcpy(&cells[k * COLUMNS], row, sizeof row);
    }
    return cli_print_table(cli, columns, COLUMNS, cells, guide->sheet_count);
}

int cmd_guide_list(cli_ctx *cli, const cli_args *args) {
    pn_sheets *sheets = NULL;
    int code = cli_load_guide(cli, args, &sheets);
    if (code != CLI_OK) {
        return code;
    }
    const pn_guide *guide = pn_sheets_guide(sheets);
    if (cli->json) {
        json_t *list = json_array();
        for (size_t k = 0; k < guide->sheet_count; k++) {
            const pn_sheet *s = &guide->sheets[k];
            json_array_append_new(
                list,
                json_pack("{s:s, s:s, s:s, s:s, s:s, s:b}", "id", s->id,
                          "english", s->english, "scientific", s->scientific,
                          "status", pn_guide_status_name(s->status), "group",
                          s->group, "expert_only", (int)s->expert_only));
        }
        code = cli_print_json(cli, json_pack("{s:o, s:s}", "sheets", list,
                                             "caution", cli_check_caution));
    } else {
        code = print_list_of_sheets(cli, guide);
        cli_print_check_caution(cli);
    }
    pn_sheets_free(sheets);
    return code;
}

/* ---- features, lint
 * ------------------------------------------------------------- */

int cmd_guide_features(cli_ctx *cli, const cli_args *args) {
    pn_sheets *sheets = NULL;
    int code = cli_load_guide(cli, args, &sheets);
    if (code != CLI_OK) {
        return code;
    }
    const pn_guide *guide = pn_sheets_guide(sheets);
    json_t *list = json_array();
    for (size_t f = 0; f < guide->feature_count; f++) {
        const pn_feature *feature = &guide->features[f];
        json_t *states = json_array();
        char buf[500];
        pn_str str = pn_str_in(buf, sizeof buf);
        for (size_t s = 0; s < feature->state_count; s++) {
            json_array_append_new(states, json_string(feature->states[s]));
            pn_str_addf(&str, "%s%s", s > 0 ? ", " : "", feature->states[s]);
        }
        json_array_append_new(
            list, json_pack("{s:s, s:s, s:s, s:o, s:s}", "feature", feature->id,
                            "effort", pn_effort_name(feature->effort), "ask",
                            feature->ask, "states", states, "unit",
                            feature->is_range ? feature->unit : ""));
        if (!cli->json) {
            printf("%s (%s): %s\n", feature->id,
                   pn_effort_name(feature->effort), feature->ask);
            cli_print_paragraph(
                cli, 2,
                feature->is_range
                    ? cli_textf(cli, "a number, in %s", feature->unit)
                    : cli_textf(cli, "%s", buf));
        }
    }
    if (cli->json) {
        code = cli_print_json(cli, json_pack("{s:o}", "features", list));
    } else {
        json_decref(list);
    }
    pn_sheets_free(sheets);
    return code;
}

typedef struct lint_ear {
    const cli_ctx *cli;
    json_t *faults;
} lint_ear;

static void tell_fault(void *ctx, const pn_error *fault) {
    lint_ear *ear = ctx;
    json_array_append_new(ear->faults, json_string(fault->message));
    if (!ear->cli->json) {
        fprintf(stderr, "%s\n", fault->message);
    }
}

static void count_statuses(const pn_guide *guide, json_t *out) {
    size_t by_status[PN_GUIDE_STATUS_COUNT] = {0};
    for (size_t k = 0; k < guide->sheet_count; k++) {
        by_status[guide->sheets[k].status]++;
    }
    for (int s = 0; s < PN_GUIDE_STATUS_COUNT; s++) {
        json_object_set_new(out, pn_guide_status_name((pn_guide_status)s),
                            json_integer((json_int_t)by_status[s]));
    }
}

static int tell_sound(const cli_ctx *cli, const cli_args *args) {
    pn_sheets *sheets = NULL;
    int code = cli_load_guide(cli, args, &sheets);
    if (code != CLI_OK) {
        return code;
    }
    const pn_guide *guide = pn_sheets_guide(sheets);
    json_t *object = json_pack("{s:b, s:I, s:[]}", "sound", 1, "sheets",
                               (json_int_t)guide->sheet_count, "faults");
    count_statuses(guide, object);
    if (cli->json) {
        code = cli_print_json(cli, object);
    } else {
        printf("No fault in %zu sheets:", guide->sheet_count);
        for (int s = 0; s < PN_GUIDE_STATUS_COUNT; s++) {
            const char *name = pn_guide_status_name((pn_guide_status)s);
            printf("%s %" JSON_INTEGER_FORMAT " %s", s > 0 ? "," : "",
                   json_integer_value(json_object_get(object, name)), name);
        }
        printf(".\n");
        json_decref(object);
    }
    pn_sheets_free(sheets);
    return code;
}

int cmd_guide_lint(cli_ctx *cli, const cli_args *args) {
    cli_guide_files files;
    lint_ear ear = {.cli = cli, .faults = json_array()};
    const pn_sheets_listener listener = {tell_fault, &ear};
    pn_error err = {0};
    int code = cli_read_guide(cli, args, &files);
    if (code == CLI_OK &&
        pn_sheets_lint(&cli->alloc, &files.features, files.sheets,
                       files.sheet_count, &listener, &err) == PN_OK) {
        code = tell_sound(cli, args);
    } else if (code == CLI_OK) {
        code = cli_fail_error(&err);
        if (cli->json) {
            (void)cli_print_json(
                cli, json_pack("{s:b, s:O}", "sound", 0, "faults", ear.faults));
        }
    }
    json_decref(ear.faults);
    return code;
}
