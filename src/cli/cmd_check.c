#include "check_cli.h"

#include <string.h>
#include <unistd.h>

#include "pannage/sheets.h"

/* ---- answers given in advance
 * -------------------------------------------------- */

static int take_text(pn_check_session *session, const pn_check *check,
                     pn_text text, const char *where) {
    pn_answer answer;
    pn_error err = {0};
    if (pn_check_answer_parse(check, text, &answer, &err) != PN_OK ||
        pn_check_answer(session, &answer, &err) != PN_OK) {
        return cli_fail(CLI_INPUT, "%s: %s", where, err.message);
    }
    return CLI_OK;
}

static int take_observed(pn_check_session *session, const pn_check *check,
                         const cli_args *args) {
    int at = 0;
    int code = CLI_OK;
    for (const char *text = NULL;
         code == CLI_OK && (text = cli_each(args, "observe", &at)) != NULL;) {
        code = take_text(session, check, pn_text_of(text), "--observe");
    }
    return code;
}

static int take_spores(const cli_ctx *cli, pn_check_session *session,
                       const pn_check *check, const char *path) {
    cli_spores spores = {.has_width = false};
    int code = cli_read_spores(cli, path, &spores);
    if (code == CLI_OK) {
        code = take_text(
            session, check,
            pn_text_of(cli_spore_answer(cli, "spore_length", &spores.length)),
            path);
    }
    if (code == CLI_OK && spores.has_width) {
        code = take_text(
            session, check,
            pn_text_of(cli_spore_answer(cli, "spore_width", &spores.width)),
            path);
    }
    return code;
}

/* A file that 'check --session' wrote. A missing one is an empty one: the first
 * time there is nothing to resume. */
static int take_saved(const cli_ctx *cli, pn_check_session *session,
                      const pn_check *check, const char *path) {
    static const cli_read_limit limit = {
        (1 << 16) - 1, "more than 64 KiB; this is no file of answers"};
    pn_buffer text;
    pn_error err = {0};
    pn_status status = cli_read_file(cli, path, &limit, &text, &err);
    int code = status == PN_OK || status == PN_ENOTFOUND ? CLI_OK
                                                         : cli_fail_error(&err);
    pn_text rest = {pn_buffer_text(&text), status == PN_OK ? text.len : 0};
    for (size_t line = 1; code == CLI_OK && rest.len > 0; line++) {
        pn_text one = pn_text_trim(pn_text_cut(rest, '\n', &rest));
        if (one.len > 0 && one.at[0] != '#') {
            code = take_text(session, check, one,
                             cli_textf(cli, "%s:%zu", path, line));
        }
    }
    pn_buffer_deinit(&text);
    return code;
}

/* ---- the command
 * ------------------------------------------------------------------ */

static int read_context(const cli_ctx *cli, const cli_args *args,
                        pn_check_context *out) {
    int64_t month = pn_date_from_epoch_day(cli->today_epoch_day).month;
    *out = (pn_check_context)PN_CHECK_CONTEXT_INIT;
    int code = cli_int_value(args, "month", 1, 12, &month);
    out->month = (int)month;
    out->habitat = cli_value(args, "habitat");
    out->host = cli_value(args, "host");
    out->beginner = !cli_flag(args, "expert");
    return code;
}

static const pn_guide_names *places_of(const pn_sheet *sheet, bool hosts) {
    return hosts ? &sheet->hosts : &sheet->habitats;
}

/* Whether some sheet names it before the i-th word of the k-th one. */
static bool is_named_before(const pn_guide *guide, const char *word, bool hosts,
                            size_t k, size_t i) {
    for (size_t sheet = 0; sheet <= k && sheet < guide->sheet_count; sheet++) {
        const pn_guide_names *names = places_of(&guide->sheets[sheet], hosts);
        size_t end = sheet < k ? names->count : i;
        for (size_t n = 0; n < end; n++) {
            if (strcmp(names->at[n], word) == 0) {
                return true;
            }
        }
    }
    return false;
}

/* A word that no sheet knows would count against every kind. */
static int check_place(const pn_guide *guide, const char *word, bool hosts) {
    char known[900];
    pn_str str = pn_str_in(known, sizeof known);
    if (word == NULL ||
        is_named_before(guide, word, hosts, guide->sheet_count, 0)) {
        return CLI_OK;
    }
    for (size_t k = 0; k < guide->sheet_count; k++) {
        const pn_guide_names *names = places_of(&guide->sheets[k], hosts);
        for (size_t i = 0; i < names->count; i++) {
            if (!is_named_before(guide, names->at[i], hosts, k, i)) {
                pn_str_addf(&str, "%s%s", str.len > 0 ? ", " : "",
                            names->at[i]);
            }
        }
    }
    return cli_fail(CLI_USAGE, "--%s: the guide knows no '%s'; it knows %s",
                    hosts ? "host" : "habitat", word, known);
}

static int check_places(const pn_guide *guide,
                        const pn_check_context *context) {
    int code = check_place(guide, context->habitat, false);
    return code == CLI_OK ? check_place(guide, context->host, true) : code;
}

static int report(const cli_ctx *cli, const pn_check_session *session,
                  const pn_guide *guide, size_t focus, const check_keep *keep) {
    check_view view;
    int code = check_look(cli, session, guide, focus, &view);
    if (code != CLI_OK) {
        return code;
    }
    int failed = keep->wanted ? check_keep_write(cli, keep, &view) : CLI_OK;
    if (cli->json) {
        code = check_print_json(cli, &view);
    } else {
        check_print_report(cli, &view);
    }
    if (code == CLI_OK && view.kept != 0 && !cli->json) {
        printf("\nKept as session %lld ('pannage check show %lld').\n",
               (long long)view.kept, (long long)view.kept);
    }
    if (code == CLI_OK) {
        code = failed;
    }
    return code != CLI_OK ? code : view.open_count == 0 ? CLI_OK : CLI_NO;
}

static int run_check(cli_ctx *cli, const check_keep *keep,
                     const pn_check *check, pn_check_session *session,
                     size_t focus) {
    const cli_args *args = keep->args;
    const pn_guide *guide = pn_check_guide(check);
    const char *file = cli_value(args, "session");
    int code = file != NULL ? take_saved(cli, session, check, file) : CLI_OK;
    if (code == CLI_OK) {
        code = take_observed(session, check, args);
    }
    const char *spores = cli_value(args, "spores");
    if (code == CLI_OK && spores != NULL) {
        code = take_spores(cli, session, check, spores);
    }
    bool talk = !cli->json &&
                (cli_flag(args, "ask") || (cli_value(args, "observe") == NULL &&
                                           isatty(STDIN_FILENO) == 1));
    cli->typed = cli_flag(args, "typed");
    if (code == CLI_OK && talk) {
        code = check_ask(cli, session, check, focus, file);
    } else if (code == CLI_OK && file != NULL) {
        code = check_save(cli, session, guide, file);
    }
    return code == CLI_OK ? report(cli, session, guide, focus, keep) : code;
}

int cmd_check(cli_ctx *cli, const cli_args *args) {
    pn_sheets *sheets = NULL;
    pn_check *check = NULL;
    pn_check_session *session = NULL;
    pn_check_context context;
    pn_error err = {0};
    size_t focus = PN_GUIDE_NONE;
    check_keep keep;
    int code = read_context(cli, args, &context);
    if (code == CLI_OK) {
        code = check_keep_prepare(cli, args, &context, &keep);
    }
    if (code == CLI_OK) {
        code = cli_load_guide(cli, args, &sheets);
    }
    if (code == CLI_OK) {
        code = check_places(pn_sheets_guide(sheets), &context);
    }
    if (code == CLI_OK && args->positional_count > 0) {
        code = cli_find_sheet(pn_sheets_guide(sheets), args->positional[0],
                              &focus);
    }
    if (code == CLI_OK &&
        (pn_check_new(&cli->alloc, pn_sheets_guide(sheets), &check, &err) !=
             PN_OK ||
         pn_check_session_new(check, &context, &session, &err) != PN_OK)) {
        code = cli_fail_error(&err);
    }
    if (code == CLI_OK) {
        code = run_check(cli, &keep, check, session, focus);
    }
    pn_check_session_free(session);
    pn_check_free(check);
    pn_sheets_free(sheets);
    return code;
}
