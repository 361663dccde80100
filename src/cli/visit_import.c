/* Visits from a table: rows of one day, patch and observer are one visit. */
#include "cli.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "pannage/exchange.h"

typedef struct visit_columns {
    size_t date, patch, minutes, kind, count, grams, stage, note, observer;
} visit_columns;

typedef struct visit_row {
    pn_visit visit;
    pn_find find;
    bool has_find;
    size_t row, column; /**< of the table: where its day stands */
} visit_row;

static const char *const visit_column_names[] = {
    "date",    "patch", "minutes", "kind",     "count",
    "fresh_g", "stage", "note",    "observer", NULL};

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
    *out = (visit_row){.visit = {.looked_for = PN_LOOKED_ALL},
                       .row = row,
                       .column = columns->date};
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

static int compare_text(pn_text a, pn_text b) {
    size_t shorter = a.len < b.len ? a.len : b.len;
    int order = shorter > 0 ? memcmp(a.at, b.at, shorter) : 0;
    return order != 0 ? order : (a.len > b.len) - (a.len < b.len);
}

static int compare_visits(const pn_visit *a, const pn_visit *b) {
    if (a->epoch_day != b->epoch_day) {
        return a->epoch_day < b->epoch_day ? -1 : 1;
    }
    if (a->patch != b->patch) {
        return a->patch < b->patch ? -1 : 1;
    }
    return compare_text(a->observer, b->observer);
}

/* By visit, in the order of the file within one. */
static int by_visit(const void *a, const void *b) {
    const visit_row *x = a;
    const visit_row *y = b;
    int order = compare_visits(&x->visit, &y->visit);
    return order != 0 ? order : (x->row > y->row) - (x->row < y->row);
}

static bool same_number(double a, double b) {
    return (isnan(a) && isnan(b)) || fabs(a - b) < 1e-6;
}

static bool same_find(const pn_find *a, const pn_find *b) {
    return a->count == b->count && same_number(a->fresh_g, b->fresh_g) &&
           pn_text_equal(a->kind, b->kind) && pn_text_equal(a->stage, b->stage);
}

/* What the notebook held before the import; visits and finds are in one
 * order, by day and then by visit. */
typedef struct old_visits {
    pn_visit_list visits;
    pn_find_list finds;
    size_t *first_find; /**< [visits + 1] */
    size_t from;        /**< visits before it are of earlier days */
} old_visits;

static pn_status read_old(const cli_ctx *cli, pn_notebook *notebook,
                          old_visits *out, pn_error *err) {
    pn_status status =
        pn_notebook_list_visits(notebook, NULL, cli->arena, &out->visits, err);
    if (status == PN_OK) {
        status = pn_notebook_list_finds(notebook, NULL, cli->arena, &out->finds,
                                        err);
    }
    size_t count = out->visits.count;
    out->first_find =
        pn_arena_array(cli->arena, count + 1, sizeof *out->first_find);
    if (status != PN_OK || out->first_find == NULL) {
        return status != PN_OK ? status
                               : pn_fail(err, PN_ENOMEM, "out of memory");
    }
    size_t f = 0;
    for (size_t v = 0; v < count; v++) {
        out->first_find[v] = f;
        while (f < out->finds.count &&
               out->finds.at[f].visit == out->visits.at[v].fact.id) {
            f++;
        }
    }
    out->first_find[count] = f;
    return PN_OK;
}

static bool same_finds(const old_visits *old, size_t v,
                       const pn_find_list *finds) {
    size_t first = old->first_find[v];
    if (old->first_find[v + 1] - first != finds->count) {
        return false;
    }
    for (size_t f = 0; f < finds->count; f++) {
        if (!same_find(&old->finds.at[first + f], &finds->at[f])) {
            return false;
        }
    }
    return true;
}

/* The same file brought in again must not count every visit twice. Visits are
 * asked for in the order of their days. *other: a visit of that day, patch and
 * observer which tells something else, or 0. */
static bool is_known(old_visits *old, const pn_visit *visit,
                     const pn_find_list *finds, int64_t *other) {
    const pn_visit *all = old->visits.at;
    *other = 0;
    size_t count = old->visits.count;
    while (old->from < count && all[old->from].epoch_day < visit->epoch_day) {
        old->from++;
    }
    for (size_t v = old->from;
         v < count && all[v].epoch_day == visit->epoch_day; v++) {
        if (compare_visits(&all[v], visit) != 0) {
            continue;
        }
        if (same_number(all[v].minutes, visit->minutes) &&
            same_finds(old, v, finds)) {
            return true;
        }
        *other = all[v].fact.id;
    }
    return false;
}

typedef struct import_tally {
    size_t visits;
    size_t finds;
    size_t known; /**< visits that were in the notebook already */
} import_tally;

typedef struct row_run {
    const visit_row *at;
    size_t count;
} row_run;

/* The sorted rows of the visit that the first of `rest` belongs to. */
static row_run rows_of_one_visit(row_run rest) {
    row_run run = {rest.at, 0};
    while (run.count < rest.count &&
           compare_visits(&rest.at[0].visit, &rest.at[run.count].visit) == 0) {
        run.count++;
    }
    return run;
}

/* What the first row leaves open, a later one may say. */
static pn_status gather_visit(const cli_ctx *cli, row_run rows, pn_visit *visit,
                              pn_find_list *finds, pn_error *err) {
    *visit = rows.at[0].visit;
    finds->at = pn_arena_array(cli->arena, rows.count, sizeof *finds->at);
    if (finds->at == NULL) {
        return pn_fail(err, PN_ENOMEM, "out of memory");
    }
    for (size_t i = 0; i < rows.count; i++) {
        const visit_row *row = &rows.at[i];
        if (isnan(visit->minutes)) {
            visit->minutes = row->visit.minutes;
        }
        if (visit->note.len == 0) {
            visit->note = row->visit.note;
        }
        if (row->has_find) {
            finds->at[finds->count++] = row->find;
        }
    }
    return PN_OK;
}

typedef struct importing {
    cli_ctx *cli;
    pn_notebook *notebook;
    const pn_exchange_table *table;
    import_tally *tally;
    old_visits old;
} importing;

static pn_status add_visit(importing *in, row_run rows, pn_error *err) {
    pn_visit visit;
    pn_find_list finds = {0};
    int64_t other = 0;
    pn_status status = gather_visit(in->cli, rows, &visit, &finds, err);
    if (status != PN_OK) {
        return status;
    }
    if (is_known(&in->old, &visit, &finds, &other)) {
        in->tally->known++;
        return PN_OK;
    }
    if (other != 0) {
        return pn_exchange_table_fail(
            in->table, (pn_exchange_cell){rows.at[0].row, rows.at[0].column},
            err,
            "visit %lld of that day and patch tells otherwise; put it right "
            "('pannage visit correct', 'find correct') or retract it first",
            (long long)other);
    }
    in->tally->visits++;
    in->tally->finds += finds.count;
    return pn_notebook_add_visit(in->notebook, &visit, finds,
                                 in->cli->now_unix_s, NULL, err);
}

static pn_status add_visits(importing *in, row_run rows, pn_error *err) {
    pn_status status = read_old(in->cli, in->notebook, &in->old, err);
    for (size_t done = 0; status == PN_OK && done < rows.count;) {
        row_run rest = {rows.at + done, rows.count - done};
        row_run one = rows_of_one_visit(rest);
        status = add_visit(in, one, err);
        done += one.count;
        cli_progress(in->cli, "visits", done, rows.count);
    }
    return status;
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
    if (status != PN_OK || rows == NULL) {
        return status;
    }
    qsort(rows, count, sizeof *rows, by_visit);
    importing in = {
        .cli = cli, .notebook = notebook, .table = table, .tally = tally};
    return add_visits(&in, (row_run){rows, count}, err);
}

static int print_tally(const cli_ctx *cli, const import_tally *tally,
                       bool dry_run) {
    if (cli->json) {
        return cli_print_json(
            cli, json_pack("{s:I, s:I, s:I, s:b}", "visits",
                           (json_int_t)tally->visits, "finds",
                           (json_int_t)tally->finds, "already_there",
                           (json_int_t)tally->known, "dry_run", dry_run));
    }
    printf("%zu visit%s with %zu find%s %s", tally->visits,
           tally->visits == 1 ? "" : "s", tally->finds,
           tally->finds == 1 ? "" : "s",
           dry_run ? "read and checked; nothing was written" : "added");
    if (tally->known > 0) {
        printf("; %zu more %s in the notebook already", tally->known,
               tally->known == 1 ? "is" : "are");
    }
    printf(".\n");
    return CLI_OK;
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
    if (status == PN_OK) {
        cli_say_ignored(cli, table, visit_column_names);
    }
    pn_exchange_table_free(table);
    pn_exchange_close_file(&source);
    pn_notebook_close(notebook);
    if (status != PN_OK) {
        return cli_fail_error(&err);
    }
    return print_tally(cli, &tally, dry_run);
}
