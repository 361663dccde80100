/* Visits from a table: rows of one day, patch and observer are one visit. */
#include "cli.h"

#include <math.h>
#include <string.h>

#include "pannage/exchange.h"

typedef struct visit_columns {
    size_t date, patch, minutes, kind, count, grams, stage, note, observer;
} visit_columns;

typedef struct visit_row {
    pn_visit visit;
    pn_find find;
    bool has_find;
} visit_row;

static pn_status find_columns(const pn_exchange_table *table,
                              visit_columns *out, pn_error *err) {
    *out = (visit_columns){
        .minutes = pn_exchange_table_column(table, "minutes"),
        .kind = pn_exchange_table_column(table, "kind"),
        .count = pn_exchange_table_column(table, "count"),
        .grams = pn_exchange_table_column(table, "fresh_g"),
        .stage = pn_exchange_table_column(table, "stage"),
        .note = pn_exchange_table_column(table, "note"),
        .observer = pn_exchange_table_column(table, "observer"),
    };
    pn_status status =
        pn_exchange_table_need_column(table, "date", &out->date, err);
    if (status == PN_OK) {
        status =
            pn_exchange_table_need_column(table, "patch", &out->patch, err);
    }
    return status;
}

static pn_status read_find(const pn_exchange_table *table, size_t row,
                           const visit_columns *columns, visit_row *out,
                           pn_error *err) {
    static const pn_exchange_range grams = {0.0, 1e6, "g, fresh"};
    pn_exchange_cell kind = {row, columns->kind};
    bool counted = false;
    out->find = (pn_find){.count = -1, .fresh_g = NAN};
    out->has_find = !pn_exchange_table_is_missing(table, kind);
    if (!out->has_find) {
        return PN_OK;
    }
    const pn_kind *known = pn_kind_find(pn_exchange_table_text(table, kind));
    if (known == NULL) {
        return pn_exchange_table_fail(
            table, kind, err,
            "there is no such kind; 'pannage kinds' lists them");
    }
    out->find.kind = pn_text_of(known->id);
    out->find.stage =
        pn_exchange_table_text(table, (pn_exchange_cell){row, columns->stage});
    pn_status status =
        pn_exchange_table_count(table, (pn_exchange_cell){row, columns->count},
                                1000000, &counted, &out->find.count, err);
    if (status == PN_OK) {
        status = pn_exchange_table_number(
            table, (pn_exchange_cell){row, columns->grams}, &grams,
            &out->find.fresh_g, err);
    }
    out->find.count = counted ? out->find.count : -1;
    return status;
}

static pn_status read_row(const cli_ctx *cli, const pn_exchange_table *table,
                          size_t row, const visit_columns *columns,
                          const pn_patch_list *patches, visit_row *out,
                          pn_error *err) {
    static const pn_exchange_range minutes = {0.5, 1440.0, "minutes"};
    pn_exchange_cell date = {row, columns->date};
    pn_exchange_cell patch = {row, columns->patch};
    bool given = false;
    *out = (visit_row){.visit = {.looked_for = PN_LOOKED_ALL}};
    pn_visit *visit = &out->visit;
    visit->observer = pn_exchange_table_text(
        table, (pn_exchange_cell){row, columns->observer});
    visit->note =
        pn_exchange_table_text(table, (pn_exchange_cell){row, columns->note});
    pn_status status =
        pn_exchange_table_date(table, date, &given, &visit->epoch_day, err);
    if (status != PN_OK) {
        return status;
    }
    if (!given || visit->epoch_day > cli->today_epoch_day) {
        return pn_exchange_table_fail(
            table, date, err,
            "expected the day of a visit already made, as 2026-09-14");
    }
    for (size_t i = 0; i < patches->count; i++) {
        if (pn_text_equal_nocase(patches->at[i].name,
                                 pn_exchange_table_text(table, patch))) {
            visit->patch = patches->at[i].fact.id;
        }
    }
    if (visit->patch == 0) {
        return pn_exchange_table_fail(
            table, patch, err,
            "there is no such patch; add it first ('pannage patch add')");
    }
    status = pn_exchange_table_number(table,
                                      (pn_exchange_cell){row, columns->minutes},
                                      &minutes, &visit->minutes, err);
    return status == PN_OK ? read_find(table, row, columns, out, err) : status;
}

static bool same_visit(const pn_visit *a, const pn_visit *b) {
    return a->patch == b->patch && a->epoch_day == b->epoch_day &&
           pn_text_equal(a->observer, b->observer);
}

typedef struct import_tally {
    size_t visits;
    size_t finds;
} import_tally;

/* Rows from `first` on that belong to one visit; *next is the row after. */
static pn_status import_visit(cli_ctx *cli, pn_notebook *notebook,
                              const visit_row *rows, size_t count, size_t *next,
                              import_tally *tally, pn_error *err) {
    size_t first = *next;
    pn_find_list finds = {
        .at = pn_arena_array(cli->arena, CLI_VALUES_MAX, sizeof(pn_find))};
    if (finds.at == NULL) {
        return pn_fail(err, PN_ENOMEM, "out of memory");
    }
    while (*next < count && finds.count < CLI_VALUES_MAX &&
           same_visit(&rows[first].visit, &rows[*next].visit)) {
        if (rows[*next].has_find) {
            finds.at[finds.count++] = rows[*next].find;
        }
        (*next)++;
    }
    tally->visits++;
    tally->finds += finds.count;
    return pn_notebook_add_visit(notebook, &rows[first].visit, finds,
                                 cli->now_unix_s, NULL, err);
}

static pn_status import_visits(cli_ctx *cli, pn_notebook *notebook,
                               const pn_exchange_table *table,
                               import_tally *tally, pn_error *err) {
    visit_columns columns;
    pn_patch_list patches = {0};
    size_t count = pn_exchange_table_row_count(table);
    visit_row *rows = pn_arena_array(cli->arena, count + 1, sizeof *rows);
    pn_status status = find_columns(table, &columns, err);
    if (status == PN_OK) {
        status =
            pn_notebook_list_patches(notebook, NULL, cli->arena, &patches, err);
    }
    if (status == PN_OK && rows == NULL) {
        status = pn_fail(err, PN_ENOMEM, "out of memory: %zu rows", count);
    }
    for (size_t row = 0; status == PN_OK && row < count; row++) {
        status = read_row(cli, table, row, &columns, &patches, &rows[row], err);
    }
    for (size_t next = 0; status == PN_OK && next < count;) {
        status = import_visit(cli, notebook, rows, count, &next, tally, err);
        cli_progress(cli, "visits", next, count);
    }
    return status;
}

int cmd_visit_import(cli_ctx *cli, const cli_args *args) {
    pn_exchange_source source = {0};
    pn_exchange_table *table = NULL;
    pn_notebook *notebook = NULL;
    pn_error err = {0};
    import_tally tally = {0};
    bool dry_run = cli_flag(args, "dry-run");
    int code = cli_open_notebook(cli, PN_NOTEBOOK_WRITE, &notebook);
    if (code != CLI_OK) {
        return code;
    }
    pn_status status =
        pn_exchange_open_file(args->positional[0], &source, &err);
    if (status == PN_OK) {
        status = pn_exchange_table_read(&cli->alloc, &source, &table, &err);
    }
    if (status == PN_OK) {
        status = pn_notebook_begin(notebook, &err);
    }
    if (status == PN_OK) {
        status = import_visits(cli, notebook, table, &tally, &err);
    }
    if (status == PN_OK && !dry_run) {
        status = pn_notebook_commit(notebook, &err);
    }
    pn_exchange_table_free(table);
    pn_exchange_close_file(&source);
    pn_notebook_close(notebook);
    if (status != PN_OK) {
        return cli_fail_error(&err);
    }
    if (cli->json) {
        return cli_print_json(cli, json_pack("{s:I, s:I, s:b}", "visits",
                                             (json_int_t)tally.visits, "finds",
                                             (json_int_t)tally.finds, "dry_run",
                                             dry_run));
    }
    printf(dry_run ? "%zu visits with %zu finds are right; nothing was "
                     "written.\n"
                   : "%zu visits with %zu finds added.\n",
           tally.visits, tally.finds);
    return CLI_OK;
}
