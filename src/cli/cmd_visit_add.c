/* Write down a visit and what it found. */
#include "cli.h"

#include <math.h>
#include <string.h>

/* ---- "penny_bun:4:620g:young" ----------------------------------------------
 */

static bool parse_grams(pn_text text, double *out) {
    double scale = 1.0;
    if (text.len > 2 && memcmp(text.at + text.len - 2, "kg", 2) == 0) {
        scale = 1000.0;
        text.len -= 2;
    } else if (text.len > 1 && text.at[text.len - 1] == 'g') {
        text.len--;
    } else {
        return false;
    }
    double value = 0.0;
    if (!pn_text_to_double(text, &value) || value <= 0.0 || value > 1e3) {
        return false;
    }
    *out = value * scale;
    return true;
}

/* A stage is a word: "1.5" or "0g" there is a slip in a count or a weight. */
static bool begins_like_a_number(pn_text text) {
    return text.len > 0 && strchr("0123456789.,+-", text.at[0]) != NULL;
}

static int parse_part(pn_text part, pn_find *out) {
    int64_t count = 0;
    if (pn_text_to_int(part, &count)) {
        if (count < 0 || count > 1000000) {
            return cli_fail(CLI_USAGE, "--find: a count of %lld cannot be",
                            (long long)count);
        }
        out->count = count;
    } else if (begins_like_a_number(part)) {
        if (!parse_grams(part, &out->fresh_g)) {
            return cli_fail(CLI_USAGE,
                            "--find: '%.*s' is neither a whole count nor a "
                            "weight above 0 such as 620g or 1.5kg",
                            (int)part.len, part.at);
        }
    } else {
        out->stage = part;
    }
    return CLI_OK;
}

static int parse_find(const char *text, pn_find *out) {
    pn_text rest = {NULL, 0};
    pn_text name = pn_text_cut(pn_text_of(text), ':', &rest);
    const pn_kind *kind = pn_kind_find(name);
    *out = (pn_find){.count = -1, .fresh_g = NAN};
    if (kind == NULL) {
        return cli_fail(CLI_INPUT,
                        "--find: there is no kind '%.*s'; 'pannage "
                        "kinds' lists them",
                        (int)name.len, name.at);
    }
    out->kind = pn_text_of(kind->id);
    int code = CLI_OK;
    while (code == CLI_OK && rest.at != NULL) {
        code = parse_part(pn_text_cut(rest, ':', &rest), out);
    }
    return code;
}

static int parse_finds(const cli_ctx *cli, const cli_args *args,
                       pn_find_list *out) {
    out->at = pn_arena_array(cli->arena, CLI_VALUES_MAX, sizeof *out->at);
    out->count = 0;
    if (out->at == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    int at = 0;
    for (const char *text = NULL;
         (text = cli_each(args, "find", &at)) != NULL;) {
        int code = parse_find(text, &out->at[out->count++]);
        if (code != CLI_OK) {
            return code;
        }
    }
    return CLI_OK;
}

int cmd_visit_add(cli_ctx *cli, const cli_args *args) {
    pn_visit visit = {.epoch_day = cli->today_epoch_day,
                      .minutes = NAN,
                      .looked_for = cli_flag(args, "only") ? PN_LOOKED_LISTED
                                                           : PN_LOOKED_ALL,
                      .observer = cli_text_value(args, "observer", ""),
                      .note = cli_text_value(args, "note", "")};
    pn_find_list finds = {0};
    pn_notebook *notebook = NULL;
    pn_patch patch = {.area_m2 = NAN};
    int code = cli_date_value(cli, args, "date", &visit.epoch_day);
    if (code == CLI_OK) {
        code = cli_double_value(args, "minutes", 0.5, 1440.0, &visit.minutes);
    }
    if (code == CLI_OK && visit.epoch_day > cli->today_epoch_day) {
        code = cli_fail(CLI_USAGE, "--date: that day has not come yet");
    }
    if (code == CLI_OK && cli_value(args, "patch") == NULL) {
        code = cli_fail(CLI_USAGE, "which patch? give --patch");
    }
    if (code == CLI_OK) {
        code = parse_finds(cli, args, &finds);
    }
    if (code == CLI_OK) {
        code = cli_open_notebook(cli, PN_NOTEBOOK_WRITE, &notebook);
    }
    if (code == CLI_OK) {
        code = cli_find_patch(cli, notebook, cli_value(args, "patch"), &patch);
    }
    if (code == CLI_OK) {
        pn_error err = {0};
        int64_t id = 0;
        visit.patch = patch.fact.id;
        pn_status status = pn_notebook_add_visit(notebook, &visit, finds,
                                                 cli->now_unix_s, &id, &err);
        char day[PN_DATE_HUMAN_SIZE];
        if (status != PN_OK) {
            code = cli_fail_error(&err);
        } else if (cli->json) {
            code = cli_print_json(cli,
                                  json_pack("{s:I}", "visit", (json_int_t)id));
        } else {
            printf("Visit %lld to %.*s, %s: %s.\n", (long long)id,
                   (int)patch.name.len, patch.name.at,
                   pn_date_human(visit.epoch_day, day),
                   finds.count == 0 ? "a blank one"
                   : finds.count == 1
                       ? "1 find"
                       : cli_textf(cli, "%zu finds", finds.count));
        }
    }
    pn_notebook_close(notebook);
    return code;
}
