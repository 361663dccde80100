/* Sessions that were kept: listed, corrected, and played again with the guide
 * of today. */
#include "check_cli.h"

#include <string.h>

/* ---- lists of names, one a line -------------------------------------------
 */

static size_t line_count(pn_text lines) {
    size_t count = 0;
    while (lines.len > 0) {
        count += pn_text_cut(lines, '\n', &lines).len > 0;
    }
    return count;
}

static bool has_line(pn_text lines, const char *name) {
    while (lines.len > 0) {
        if (pn_text_equal(pn_text_cut(lines, '\n', &lines), pn_text_of(name))) {
            return true;
        }
    }
    return false;
}

static json_t *lines_json(pn_text lines) {
    json_t *list = json_array();
    while (lines.len > 0) {
        pn_text one = pn_text_cut(lines, '\n', &lines);
        if (one.len > 0) {
            json_array_append_new(list, cli_json_text(one));
        }
    }
    return list;
}

/* ---- finding them ------------------------------------------------------- */

static int load_sessions(const cli_ctx *cli, pn_notebook *notebook,
                         const pn_notebook_filter *by,
                         pn_check_record_list *out, pn_photo_list *photos) {
    pn_error err = {0};
    return pn_notebook_list_checks(notebook, by, cli->arena, out, &err) ==
                       PN_OK &&
                   pn_notebook_list_photos(notebook, NULL, cli->arena, photos,
                                           &err) == PN_OK
               ? CLI_OK
               : cli_fail_error(&err);
}

static int load_one(const cli_ctx *cli, pn_notebook *notebook,
                    const cli_args *args, pn_check_record *out,
                    pn_photo_list *photos) {
    pn_notebook_filter by = PN_NOTEBOOK_FILTER_INIT;
    pn_check_record_list list = {0};
    int code = cli_fact_number(args, 0, "kept session", &by.fact);
    if (code == CLI_OK) {
        code = load_sessions(cli, notebook, &by, &list, photos);
    }
    if (code == CLI_OK && list.count == 0) {
        return cli_fail(CLI_INPUT,
                        "there is no kept session %s; 'pannage check kept' "
                        "shows those there are",
                        args->positional[0]);
    }
    *out = code == CLI_OK ? list.at[0] : *out;
    return code;
}

static size_t photo_count(const pn_photo_list *photos, int64_t check) {
    size_t count = 0;
    for (size_t i = 0; i < photos->count; i++) {
        count += photos->at[i].check == check;
    }
    return count;
}

/* ---- check kept --------------------------------------------------------- */

static json_t *session_json(const pn_check_record *check, size_t photos) {
    return json_pack(
        "{s:I, s:o, s:o, s:o, s:o, s:I, s:o, s:o, s:I, s:o}", "check",
        (json_int_t)check->fact.id, "date", cli_json_date(check->epoch_day),
        "find", check->find != 0 ? json_integer(check->find) : json_null(),
        "kind_in_mind", cli_json_text(check->kind), "tried",
        cli_json_text(check->tried), "open", (json_int_t)check->open_count,
        "not_ruled_out", lines_json(check->not_ruled_out), "guide",
        cli_json_text(check->guide), "photos", (json_int_t)photos, "note",
        cli_json_text(check->note));
}

static int sessions_json(const cli_ctx *cli, const pn_check_record_list *list,
                         const pn_photo_list *photos) {
    json_t *array = json_array();
    for (size_t i = 0; i < list->count; i++) {
        json_array_append_new(
            array, session_json(&list->at[i],
                                photo_count(photos, list->at[i].fact.id)));
    }
    return cli_print_json(cli, json_pack("{s:o, s:s}", "sessions", array,
                                         "caution", cli_check_caution));
}

static int print_sessions(const cli_ctx *cli, const pn_check_record_list *list,
                          const pn_photo_list *photos) {
    static const pn_paper_column columns[] = {
        {"no.", PN_PAPER_RIGHT},           {"date", PN_PAPER_LEFT},
        {"find", PN_PAPER_RIGHT},          {"tried as", PN_PAPER_LEFT},
        {"answers", PN_PAPER_RIGHT},       {"open then", PN_PAPER_RIGHT},
        {"not ruled out", PN_PAPER_RIGHT}, {"photos", PN_PAPER_RIGHT}};
    enum { COLUMNS = sizeof columns / sizeof *columns };
    const char **cells =
        pn_arena_array(cli->arena, list->count * COLUMNS, sizeof *cells);
    if (cells == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    for (size_t i = 0; i < list->count; i++) {
        const pn_check_record *c = &list->at[i];
        char iso[PN_DATE_ISO_SIZE];
        const char **row = &cells[i * COLUMNS];
        row[0] = cli_textf(cli, "%lld", (long long)c->fact.id);
        row[1] = cli_textf(cli, "%s", pn_date_iso(c->epoch_day, iso));
        row[2] = c->find != 0 ? cli_textf(cli, "%lld", (long long)c->find) : "";
        row[3] = cli_words(cli, cli_cell_text(cli, c->tried));
        row[4] = cli_textf(cli, "%zu", line_count(c->answers));
        row[5] = cli_textf(cli, "%lld", (long long)c->open_count);
        row[6] = cli_textf(cli, "%zu", line_count(c->not_ruled_out));
        row[7] = cli_textf(cli, "%zu", photo_count(photos, c->fact.id));
    }
    int code = cli_print_table(cli, columns, COLUMNS, cells, list->count);
    cli_print_check_caution(cli);
    return code;
}

int cmd_check_kept(cli_ctx *cli, const cli_args *args) {
    pn_notebook_filter by = PN_NOTEBOOK_FILTER_INIT;
    pn_check_record_list list = {0};
    pn_photo_list photos = {0};
    pn_notebook *notebook = NULL;
    int code = cli_int_value(args, "find", 1, INT64_MAX, &by.find);
    if (code == CLI_OK) {
        code = cli_open_notebook(cli, PN_NOTEBOOK_READ, &notebook);
    }
    if (code == CLI_OK) {
        code = load_sessions(cli, notebook, &by, &list, &photos);
    }
    pn_notebook_close(notebook);
    if (code != CLI_OK || cli->json) {
        return code != CLI_OK ? code : sessions_json(cli, &list, &photos);
    }
    if (list.count == 0) {
        cli_say(cli, "No session was kept.");
        return CLI_NO;
    }
    return print_sessions(cli, &list, &photos);
}

/* ---- check correct ------------------------------------------------------ */

int cmd_check_correct(cli_ctx *cli, const cli_args *args) {
    pn_notebook *notebook = NULL;
    pn_check_record check = {.epoch_day = 0};
    pn_photo_list photos = {0};
    pn_error err = {0};
    int code = cli_need_a_change(args);
    if (code == CLI_OK) {
        code = cli_open_notebook(cli, PN_NOTEBOOK_WRITE, &notebook);
    }
    if (code == CLI_OK) {
        code = load_one(cli, notebook, args, &check, &photos);
    }
    if (code == CLI_OK) {
        code = cli_find_number(args, notebook, cli, &check.find);
    }
    if (code == CLI_OK) {
        check.note = cli_value(args, "note") != NULL
                         ? cli_text_value(args, "note", "")
                         : check.note;
        code = pn_notebook_correct_check(notebook, check.fact.row, &check,
                                         cli->now_unix_s, &err) == PN_OK
                   ? CLI_OK
                   : cli_fail_error(&err);
    }
    pn_notebook_close(notebook);
    if (code != CLI_OK) {
        return code;
    }
    if (cli->json) {
        return cli_print_json(
            cli, json_pack("{s:I}", "check", (json_int_t)check.fact.id));
    }
    printf("Session %lld put right; what stood there before is kept.\n",
           (long long)check.fact.id);
    return CLI_OK;
}

/* ---- check show --------------------------------------------------------- */

/* The session of that day with the guide of this one. */
typedef struct replay {
    pn_check_record then;
    const char *guide_now;
    size_t photos;
    check_view view;
} replay;

/* An answer that the guide no longer knows must not be passed over: without
 * it the session would say something else than was seen. */
static int take_again(const replay *r, const pn_check *check,
                      pn_check_session *session) {
    pn_text rest = r->then.answers;
    for (size_t line = 1; rest.len > 0; line++) {
        pn_text one = pn_text_cut(rest, '\n', &rest);
        pn_answer answer;
        pn_error err = {0};
        if (one.len > 0 &&
            (pn_check_answer_parse(check, one, &answer, &err) != PN_OK ||
             pn_check_answer(session, &answer, &err) != PN_OK)) {
            return cli_fail(CLI_INPUT,
                            "session %lld, answer %zu, '%.*s', cannot be "
                            "played with this guide: %s",
                            (long long)r->then.fact.id, line, (int)one.len,
                            one.at, err.message);
        }
    }
    return CLI_OK;
}

static int find_focus(const pn_guide *guide, const pn_check_record *then,
                      size_t *focus) {
    *focus =
        then->kind.len > 0 ? pn_guide_sheet(guide, then->kind) : PN_GUIDE_NONE;
    return then->kind.len == 0 || *focus != PN_GUIDE_NONE
               ? CLI_OK
               : cli_fail(CLI_INPUT,
                          "session %lld had '%.*s' in mind, of which this "
                          "guide has no sheet",
                          (long long)then->fact.id, (int)then->kind.len,
                          then->kind.at);
}

static const char *or_null(pn_text text) {
    return text.len > 0 ? text.at : NULL; /* lists end their texts in '\0' */
}

static json_t *dangers_json(const replay *r, bool new_ones) {
    json_t *list = json_array();
    for (size_t i = 0; i < r->view.danger_count; i++) {
        const char *id = r->view.guide->sheets[r->view.dangers[i].sheet].id;
        if (!new_ones || !has_line(r->then.not_ruled_out, id)) {
            json_array_append_new(list, json_string(id));
        }
    }
    return list;
}

static bool is_danger_now(const check_view *view, pn_text id) {
    for (size_t i = 0; i < view->danger_count; i++) {
        const char *now = view->guide->sheets[view->dangers[i].sheet].id;
        if (pn_text_equal(id, pn_text_of(now))) {
            return true;
        }
    }
    return false;
}

/* Not ruled out then; today it is, or the guide no longer holds it for a
 * danger. */
static json_t *gone_json(const replay *r) {
    json_t *list = json_array();
    pn_text rest = r->then.not_ruled_out;
    while (rest.len > 0) {
        pn_text one = pn_text_cut(rest, '\n', &rest);
        if (one.len > 0 && !is_danger_now(&r->view, one)) {
            json_array_append_new(list, cli_json_text(one));
        }
    }
    return list;
}

static const char *tried_now(const check_view *view) {
    return view->kind != PN_GUIDE_NONE ? view->guide->sheets[view->kind].id
                                       : "";
}

static int show_json(const cli_ctx *cli, const replay *r) {
    json_t *document = json_pack(
        "{s:o, s:o, s:o}", "then", session_json(&r->then, r->photos), "answers",
        lines_json(r->then.answers), "today",
        json_pack("{s:s, s:I, s:o, s:s}", "tried", tried_now(&r->view), "open",
                  (json_int_t)r->view.open_count, "not_ruled_out",
                  dangers_json(r, false), "guide", r->guide_now));
    if (document != NULL) {
        json_object_set_new(document, "newly_not_ruled_out",
                            dangers_json(r, true));
        json_object_set_new(document, "no_longer_not_ruled_out", gone_json(r));
        json_object_set_new(document, "caution",
                            json_string(cli_check_caution));
        json_object_set_new(document, "eaten",
                            json_string(cli_eaten_something));
    }
    return cli_print_json(cli, document);
}

static void print_names(const cli_ctx *cli, const char *head, json_t *names) {
    char buf[1600];
    pn_str str = pn_str_in(buf, sizeof buf);
    size_t count = json_array_size(names);
    pn_str_addf(&str, "%s %zu:", head, count);
    for (size_t i = 0; i < count; i++) {
        const char *name = json_string_value(json_array_get(names, i));
        pn_str_addf(&str, "%s %s", i > 0 ? "," : "", cli_words(cli, name));
    }
    if (count > 0) {
        cli_print_paragraph(cli, 0, cli_plain(cli, buf));
    }
    json_decref(names);
}

static void print_change(const cli_ctx *cli, const replay *r) {
    const pn_check_record *then = &r->then;
    const check_view *now = &r->view;
    const char *tried = cli_cell_text(cli, then->tried);
    bool same_guide = pn_text_equal(then->guide, pn_text_of(r->guide_now));
    cli_print_paragraph(
        cli, 0,
        cli_textf(cli,
                  "Then: open in %lld ways as %s; %zu dangerous kinds not "
                  "ruled out (%s).",
                  (long long)then->open_count,
                  then->tried.len > 0 ? cli_words(cli, tried) : "no kind",
                  line_count(then->not_ruled_out),
                  cli_cell_text(cli, then->guide)));
    cli_print_paragraph(
        cli, 0,
        cli_textf(cli,
                  "Today: open in %zu ways as %s; %zu dangerous kinds not "
                  "ruled out (%s).",
                  now->open_count,
                  now->kind != PN_GUIDE_NONE ? cli_words(cli, tried_now(now))
                                             : "no kind",
                  now->danger_count,
                  same_guide ? "the same guide" : r->guide_now));
    print_names(cli, "New among them,", dangers_json(r, true));
    print_names(cli, "No longer among them,", gone_json(r));
    putchar('\n');
}

static int show(const cli_ctx *cli, const replay *r) {
    char iso[PN_DATE_ISO_SIZE];
    if (cli->json) {
        return show_json(cli, r);
    }
    printf("Session %lld, %s", (long long)r->then.fact.id,
           pn_date_iso(r->then.epoch_day, iso));
    if (r->then.find != 0) {
        printf(", of find %lld", (long long)r->then.find);
    }
    printf(", %zu photo%s\n", r->photos, r->photos == 1 ? "" : "s");
    if (r->then.note.len > 0) {
        cli_print_paragraph(cli, 0, cli_cell_text(cli, r->then.note));
    }
    print_change(cli, r);
    check_print_report(cli, &r->view);
    return CLI_OK;
}

static int play(const cli_ctx *cli, replay *r, const pn_guide *guide) {
    pn_check *check = NULL;
    pn_check_session *session = NULL;
    pn_error err = {0};
    size_t focus = PN_GUIDE_NONE;
    pn_check_context context = {.month = r->then.month,
                                .habitat = or_null(r->then.habitat),
                                .host = or_null(r->then.host),
                                .beginner = !r->then.expert};
    int code = find_focus(guide, &r->then, &focus);
    if (code == CLI_OK &&
        (pn_check_new(&cli->alloc, guide, &check, &err) != PN_OK ||
         pn_check_session_new(check, &context, &session, &err) != PN_OK)) {
        code = cli_fail_error(&err);
    }
    if (code == CLI_OK) {
        code = take_again(r, check, session);
    }
    if (code == CLI_OK) {
        code = check_look(cli, session, guide, focus, &r->view);
    }
    if (code == CLI_OK) {
        code = show(cli, r);
    }
    pn_check_session_free(session);
    pn_check_free(check);
    return code;
}

int cmd_check_show(cli_ctx *cli, const cli_args *args) {
    pn_notebook *notebook = NULL;
    pn_photo_list photos = {0};
    pn_sheets *sheets = NULL;
    replay r = {.photos = 0};
    int code = cli_open_notebook(cli, PN_NOTEBOOK_READ, &notebook);
    if (code == CLI_OK) {
        code = load_one(cli, notebook, args, &r.then, &photos);
    }
    pn_notebook_close(notebook);
    if (code == CLI_OK) {
        r.photos = photo_count(&photos, r.then.fact.id);
        code = cli_load_guide(cli, args, &sheets);
    }
    if (code == CLI_OK) {
        r.guide_now = cli_guide_print(cli, args);
        code = r.guide_now == NULL ? CLI_SYSTEM
                                   : play(cli, &r, pn_sheets_guide(sheets));
    }
    pn_sheets_free(sheets);
    return code != CLI_OK ? code : r.view.open_count == 0 ? CLI_OK : CLI_NO;
}
