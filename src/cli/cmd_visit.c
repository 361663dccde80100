/* The visits so far: listed, put right, taken back. */
#include "cli.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- lists ------------------------------------------------------------- */

static const char *find_text(const cli_ctx *cli, const pn_find *find) {
    char buf[300];
    pn_str str = pn_str_in(buf, sizeof buf);
    if (find->count > 0) {
        pn_str_addf(&str, "%lld ", (long long)find->count);
    } else if (find->count == 0) {
        pn_str_addf(&str, "no ");
    }
    pn_str_addf(&str, "%.*s", (int)find->kind.len, find->kind.at);
    if (!isnan(find->fresh_g) && find->count != 0) {
        pn_str_addf(&str, " %.0f g", find->fresh_g);
    }
    if (find->stage.len > 0) {
        pn_str_addf(&str, " (%.*s)", (int)find->stage.len, find->stage.at);
    }
    return cli_textf(cli, "%s", buf);
}

static const char *finds_of(const cli_ctx *cli, const pn_find_list *finds,
                            const pn_visit *visit) {
    char buf[1500];
    pn_str str = pn_str_in(buf, sizeof buf);
    for (size_t i = 0; i < finds->count; i++) {
        if (finds->at[i].visit == visit->fact.id) {
            pn_str_addf(&str, "%s%s", str.len > 0 ? "; " : "",
                        find_text(cli, &finds->at[i]));
        }
    }
    if (str.len == 0) {
        pn_str_addf(&str, visit->looked_for == PN_LOOKED_ALL
                              ? "blank"
                              : "looked for nothing in particular");
    }
    return cli_textf(cli, "%s", buf);
}

static json_t *find_json(const pn_find *find) {
    return json_pack(
        "{s:I, s:o, s:o, s:o, s:o, s:o}", "find", (json_int_t)find->fact.id,
        "kind", cli_json_text(find->kind), "count",
        find->count >= 0 ? json_integer(find->count) : json_null(), "fresh_g",
        cli_json_number(find->fresh_g, 1), "stage", cli_json_text(find->stage),
        "note", cli_json_text(find->note));
}

static pn_text patch_name(const pn_patch_list *patches, int64_t id) {
    for (size_t i = 0; i < patches->count; i++) {
        if (patches->at[i].fact.id == id) {
            return patches->at[i].name;
        }
    }
    return pn_text_of("?");
}

typedef struct visit_book {
    pn_patch_list patches;
    pn_visit_list visits;
    pn_find_list finds;
} visit_book;

static int visits_json(const cli_ctx *cli, const visit_book *book) {
    json_t *list = json_array();
    for (size_t i = 0; i < book->visits.count; i++) {
        const pn_visit *v = &book->visits.at[i];
        json_t *finds = json_array();
        for (size_t f = 0; f < book->finds.count; f++) {
            if (book->finds.at[f].visit == v->fact.id) {
                json_array_append_new(finds, find_json(&book->finds.at[f]));
            }
        }
        json_array_append_new(
            list,
            json_pack(
                "{s:I, s:I, s:o, s:o, s:o, s:o, s:b, s:o, s:o, s:b, "
                "s:b, s:o}",
                "visit", (json_int_t)v->fact.id, "row", (json_int_t)v->fact.row,
                "date", cli_json_date(v->epoch_day), "patch",
                cli_json_text(patch_name(&book->patches, v->patch)), "minutes",
                cli_json_number(v->minutes, 1), "observer",
                cli_json_text(v->observer), "looked_for_all",
                v->looked_for == PN_LOOKED_ALL, "note", cli_json_text(v->note),
                "recorded_unix_s", json_integer(v->fact.recorded_unix_s),
                "retracted", (int)v->fact.retracted, "superseded",
                (int)v->fact.superseded, "finds", finds));
    }
    return cli_print_json(cli, json_pack("{s:o}", "visits", list));
}

static int print_visits(const cli_ctx *cli, const visit_book *book) {
    static const pn_paper_column columns[] = {
        {"no.", PN_PAPER_RIGHT},
        {"date", PN_PAPER_LEFT},
        {"patch", PN_PAPER_LEFT},
        {"min", PN_PAPER_RIGHT},
        {"what came of it", PN_PAPER_LEFT}};
    enum { COLUMNS = sizeof columns / sizeof *columns };
    size_t count = book->visits.count;
    const char **cells =
        pn_arena_array(cli->arena, count * COLUMNS, sizeof *cells);
    if (cells == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    for (size_t i = 0; i < count; i++) {
        const pn_visit *v = &book->visits.at[i];
        char iso[PN_DATE_ISO_SIZE];
        const char **row = &cells[i * COLUMNS];
        row[0] = cli_textf(cli, "%lld", (long long)v->fact.id);
        row[1] = cli_textf(cli, "%s", pn_date_iso(v->epoch_day, iso));
        row[2] = cli_cell_text(cli, patch_name(&book->patches, v->patch));
        row[3] = isnan(v->minutes) ? "" : cli_textf(cli, "%.0f", v->minutes);
        row[4] = finds_of(cli, &book->finds, v);
    }
    return cli_print_table(cli, columns, COLUMNS, cells, count);
}

static pn_status read_book(const cli_ctx *cli, pn_notebook *notebook,
                           const pn_notebook_filter *filter, visit_book *book,
                           pn_error *err) {
    pn_notebook_filter finds = *filter;
    finds.fact = 0;
    finds.visit = filter->fact;
    finds.kind = (pn_text){NULL, 0};
    pn_status status = pn_notebook_list_patches(notebook, NULL, cli->arena,
                                                &book->patches, err);
    if (status == PN_OK) {
        status = pn_notebook_list_visits(notebook, filter, cli->arena,
                                         &book->visits, err);
    }
    if (status == PN_OK) {
        status = pn_notebook_list_finds(notebook, &finds, cli->arena,
                                        &book->finds, err);
    }
    return status;
}

int cmd_visit_list(cli_ctx *cli, const cli_args *args) {
    pn_notebook_filter filter = PN_NOTEBOOK_FILTER_INIT;
    const char *kind = NULL;
    pn_patch patch = {.area_m2 = NAN};
    visit_book book = {0};
    pn_notebook *notebook = NULL;
    int code = cli_date_value(cli, args, "since", &filter.first_epoch_day);
    if (code == CLI_OK) {
        code = cli_date_value(cli, args, "until", &filter.last_epoch_day);
    }
    if (code == CLI_OK && cli_value(args, "kind") != NULL) {
        kind = cli_find_any_kind(cli, cli_value(args, "kind"));
        code = kind != NULL ? CLI_OK : CLI_INPUT;
    }
    if (code == CLI_OK) {
        code = cli_open_notebook(cli, PN_NOTEBOOK_READ, &notebook);
    }
    if (code == CLI_OK && cli_value(args, "patch") != NULL) {
        code = cli_find_patch(cli, notebook, cli_value(args, "patch"), &patch);
    }
    if (code == CLI_OK) {
        pn_error err = {0};
        filter.patch = patch.fact.id;
        filter.kind = kind != NULL ? pn_text_of(kind) : filter.kind;
        code = read_book(cli, notebook, &filter, &book, &err) == PN_OK
                   ? CLI_OK
                   : cli_fail_error(&err);
    }
    pn_notebook_close(notebook);
    if (code != CLI_OK) {
        return code;
    }
    if (cli->json) {
        return visits_json(cli, &book);
    }
    if (book.visits.count == 0) {
        cli_say(cli, "No such visit.");
        return CLI_NO;
    }
    return print_visits(cli, &book);
}

/* ---- corrections ------------------------------------------------------- */

static int current_visit(const cli_ctx *cli, pn_notebook *notebook,
                         const cli_args *args, pn_visit *out) {
    pn_notebook_filter filter = PN_NOTEBOOK_FILTER_INIT;
    pn_visit_list list = {0};
    pn_error err = {0};
    int code = cli_fact_number(args, 0, "visit", &filter.fact);
    if (code != CLI_OK) {
        return code;
    }
    if (pn_notebook_list_visits(notebook, &filter, cli->arena, &list, &err) !=
        PN_OK) {
        return cli_fail_error(&err);
    }
    if (list.count == 0) {
        return cli_fail(CLI_INPUT,
                        "there is no visit %s; 'pannage visit "
                        "list' shows their numbers",
                        args->positional[0]);
    }
    *out = list.at[0];
    return CLI_OK;
}

static int current_find(const cli_ctx *cli, pn_notebook *notebook,
                        const cli_args *args, pn_find *out) {
    pn_notebook_filter filter = PN_NOTEBOOK_FILTER_INIT;
    pn_find_list list = {0};
    pn_error err = {0};
    int code = cli_fact_number(args, 0, "find", &filter.fact);
    if (code != CLI_OK) {
        return code;
    }
    if (pn_notebook_list_finds(notebook, &filter, cli->arena, &list, &err) !=
        PN_OK) {
        return cli_fail_error(&err);
    }
    if (list.count == 0) {
        return cli_fail(CLI_INPUT,
                        "there is no find %s; 'pannage visit "
                        "history' shows their numbers",
                        args->positional[0]);
    }
    *out = list.at[0];
    return CLI_OK;
}

/* What is written, and at once what it puts in doubt. */
static int done(const cli_ctx *cli, pn_notebook *notebook, const char *what,
                int64_t id) {
    pn_notebook_filter affected = PN_NOTEBOOK_FILTER_INIT;
    const cli_written written = {what, id,
                                 "Written; what stood there before is kept "
                                 "('pannage visit history').\n"};
    if (strcmp(what, "find") == 0) {
        affected.find = id;
    } else {
        affected.visit = id;
    }
    return cli_say_written(cli, notebook, &written, &affected);
}

int cmd_visit_correct(cli_ctx *cli, const cli_args *args) {
    pn_notebook *notebook = NULL;
    pn_visit visit = {.minutes = NAN};
    pn_error err = {0};
    int code = cli_need_a_change(args);
    if (code == CLI_OK) {
        code = cli_open_notebook(cli, PN_NOTEBOOK_WRITE, &notebook);
    }
    if (code == CLI_OK) {
        code = current_visit(cli, notebook, args, &visit);
    }
    if (code == CLI_OK) {
        code = cli_date_value(cli, args, "date", &visit.epoch_day);
    }
    if (code == CLI_OK && visit.epoch_day > cli->today_epoch_day) {
        code = cli_fail(CLI_USAGE, "--date: that day has not come yet");
    }
    if (code == CLI_OK) {
        code = cli_double_value(args, "minutes", 0.5, 1440.0, &visit.minutes);
    }
    if (code == CLI_OK && cli_value(args, "patch") != NULL) {
        pn_patch patch;
        code = cli_find_patch(cli, notebook, cli_value(args, "patch"), &patch);
        visit.patch = code == CLI_OK ? patch.fact.id : visit.patch;
    }
    if (code == CLI_OK) {
        visit.note = cli_value(args, "note") != NULL
                         ? cli_text_value(args, "note", "")
                         : visit.note;
        pn_status status = pn_notebook_correct_visit(
            notebook, visit.fact.row, &visit, cli->now_unix_s, &err);
        code = status == PN_OK ? done(cli, notebook, "visit", visit.fact.id)
                               : cli_fail_error(&err);
    }
    pn_notebook_close(notebook);
    return code;
}

int cmd_find_correct(cli_ctx *cli, const cli_args *args) {
    pn_notebook *notebook = NULL;
    pn_find find = {.fresh_g = NAN};
    const char *kind = NULL;
    pn_error err = {0};
    int code = cli_need_a_change(args);
    if (code == CLI_OK) {
        code = cli_open_notebook(cli, PN_NOTEBOOK_WRITE, &notebook);
    }
    if (code == CLI_OK) {
        code = current_find(cli, notebook, args, &find);
    }
    if (code == CLI_OK) {
        code = cli_int_value(args, "count", 0, 1000000, &find.count);
    }
    if (code == CLI_OK) {
        code = cli_double_value(args, "grams", 0.1, 1e6, &find.fresh_g);
    }
    if (code == CLI_OK && cli_value(args, "kind") != NULL) {
        kind = cli_find_any_kind(cli, cli_value(args, "kind"));
        code = kind != NULL ? CLI_OK : CLI_INPUT;
    }
    if (code == CLI_OK) {
        find.kind = kind != NULL ? pn_text_of(kind) : find.kind;
        find.stage = cli_value(args, "stage") != NULL
                         ? cli_text_value(args, "stage", "")
                         : find.stage;
        find.fresh_g = find.count == 0 ? NAN : find.fresh_g;
        pn_status status = pn_notebook_correct_find(
            notebook, find.fact.row, &find, cli->now_unix_s, &err);
        code = status == PN_OK ? done(cli, notebook, "find", find.fact.id)
                               : cli_fail_error(&err);
    }
    pn_notebook_close(notebook);
    return code;
}

int cmd_visit_retract(cli_ctx *cli, const cli_args *args) {
    pn_notebook *notebook = NULL;
    pn_visit visit = {.minutes = NAN};
    int code = cli_open_notebook(cli, PN_NOTEBOOK_WRITE, &notebook);
    if (code == CLI_OK) {
        code = current_visit(cli, notebook, args, &visit);
    }
    if (code == CLI_OK) {
        pn_error err = {0};
        pn_status status = pn_notebook_retract(
            notebook, PN_FACT_VISIT, visit.fact.row, cli->now_unix_s, &err);
        code = status == PN_OK ? done(cli, notebook, "visit", visit.fact.id)
                               : cli_fail_error(&err);
    }
    pn_notebook_close(notebook);
    return code;
}

int cmd_find_retract(cli_ctx *cli, const cli_args *args) {
    pn_notebook *notebook = NULL;
    pn_find find = {.fresh_g = NAN};
    int code = cli_open_notebook(cli, PN_NOTEBOOK_WRITE, &notebook);
    if (code == CLI_OK) {
        code = current_find(cli, notebook, args, &find);
    }
    if (code == CLI_OK) {
        pn_error err = {0};
        pn_status status = pn_notebook_retract(
            notebook, PN_FACT_FIND, find.fact.row, cli->now_unix_s, &err);
        code = status == PN_OK ? done(cli, notebook, "find", find.fact.id)
                               : cli_fail_error(&err);
    }
    pn_notebook_close(notebook);
    return code;
}

/* ---- history ----------------------------------------------------------- */

static int by_visit_row(const void *a, const void *b) {
    const pn_visit *x = a;
    const pn_visit *y = b;
    return (x->fact.row > y->fact.row) - (x->fact.row < y->fact.row);
}

static const char *standing(const pn_fact *fact) {
    if (fact->superseded) {
        return "corrected since";
    }
    return fact->retracted ? "retracted" : "stands";
}

static int print_history(const cli_ctx *cli, const visit_book *book) {
    static const pn_paper_column columns[] = {{"row", PN_PAPER_RIGHT},
                                              {"fact", PN_PAPER_LEFT},
                                              {"written", PN_PAPER_LEFT},
                                              {"now", PN_PAPER_LEFT},
                                              {"content", PN_PAPER_LEFT}};
    enum { COLUMNS = sizeof columns / sizeof *columns };
    size_t count = book->visits.count + book->finds.count;
    const char **cells =
        pn_arena_array(cli->arena, count * COLUMNS, sizeof *cells);
    if (cells == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    for (size_t i = 0; i < count; i++) {
        bool is_visit = i < book->visits.count;
        const pn_visit *v = &book->visits.at[is_visit ? i : 0];
        const pn_find *f =
            is_visit ? NULL : &book->finds.at[i - book->visits.count];
        const pn_fact *fact = is_visit ? &v->fact : &f->fact;
        char iso[PN_DATE_ISO_SIZE];
        const char **row = &cells[i * COLUMNS];
        row[0] = cli_textf(cli, "%lld", (long long)fact->row);
        row[1] = cli_textf(cli, "%s %lld", is_visit ? "visit" : "find",
                           (long long)fact->id);
        row[2] = cli_textf(
            cli, "%s",
            pn_date_iso((int32_t)(fact->recorded_unix_s / 86400), iso));
        row[3] = standing(fact);
        row[4] = is_visit
                     ? cli_textf(cli, "%s, %.*s%s%.*s",
                                 pn_date_iso(v->epoch_day, iso),
                                 (int)patch_name(&book->patches, v->patch).len,
                                 patch_name(&book->patches, v->patch).at,
                                 v->note.len > 0 ? ": " : "", (int)v->note.len,
                                 v->note.len > 0 ? v->note.at : "")
                     : find_text(cli, f);
    }
    return cli_print_table(cli, columns, COLUMNS, cells, count);
}

int cmd_visit_history(cli_ctx *cli, const cli_args *args) {
    pn_notebook_filter filter = PN_NOTEBOOK_FILTER_INIT;
    visit_book book = {0};
    pn_notebook *notebook = NULL;
    int code = cli_fact_number(args, 0, "visit", &filter.fact);
    if (code == CLI_OK) {
        code = cli_open_notebook(cli, PN_NOTEBOOK_READ, &notebook);
    }
    if (code == CLI_OK) {
        pn_error err = {0};
        filter.every_version = true;
        code = read_book(cli, notebook, &filter, &book, &err) == PN_OK
                   ? CLI_OK
                   : cli_fail_error(&err);
    }
    pn_notebook_close(notebook);
    if (code != CLI_OK) {
        return code;
    }
    if (book.visits.count == 0) {
        return cli_fail(CLI_INPUT, "there is no visit %s", args->positional[0]);
    }
    /* as they were written, not by the day they tell of */
    qsort(book.visits.at, book.visits.count, sizeof *book.visits.at,
          by_visit_row);
    return cli->json ? visits_json(cli, &book) : print_history(cli, &book);
}
