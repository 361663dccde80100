/* What came of finds: jars and meals. */
#include "cli.h"

#include <string.h>

/* ---- adding ------------------------------------------------------------- */

static int read_kept(const cli_ctx *cli, const cli_args *args,
                     pn_kept_sort sort, pn_kept *out) {
    pn_error err = {0};
    *out = (pn_kept){.sort = sort,
                     .name = cli_text_value(args, "name", ""),
                     .epoch_day = cli->today_epoch_day,
                     .eaters = cli_text_value(args, "eaters", ""),
                     .note = cli_text_value(args, "note", "")};
    if (out->name.len == 0) {
        return cli_fail(CLI_USAGE, "what do you call it? give --name");
    }
    if (cli_check_name(cli, out->name, pn_kept_sort_name(sort), &err) !=
        PN_OK) {
        return cli_fail_error(&err);
    }
    int code = cli_date_value(cli, args, "date", &out->epoch_day);
    if (code == CLI_OK && out->epoch_day > cli->today_epoch_day) {
        return cli_fail(CLI_USAGE, "--date: that day has not come yet");
    }
    return code;
}

/* Every --find and --from is one record: a jar of two finds is in doubt when
 * either of them is. */
typedef struct kept_batch {
    pn_kept kept[CLI_VALUES_MAX];
    int64_t ids[CLI_VALUES_MAX];
    size_t count;
} kept_batch;

static int add_sources(const cli_args *args, const char *option,
                       const pn_kept *like, kept_batch *batch) {
    int at = 0;
    for (const char *text = NULL;
         (text = cli_each(args, option, &at)) != NULL;) {
        pn_kept *kept = &batch->kept[batch->count++];
        *kept = *like;
        int64_t *number =
            strcmp(option, "find") == 0 ? &kept->find : &kept->source;
        if (!pn_text_to_int(pn_text_of(text), number) || *number < 1) {
            return cli_fail(CLI_USAGE, "--%s: '%s' is not a number of a list",
                            option, text);
        }
    }
    return CLI_OK;
}

static pn_status write_batch(const cli_ctx *cli, pn_notebook *notebook,
                             kept_batch *batch, pn_error *err) {
    pn_status status = pn_notebook_begin(notebook, err);
    for (size_t i = 0; status == PN_OK && i < batch->count; i++) {
        status = pn_notebook_add_kept(notebook, &batch->kept[i],
                                      cli->now_unix_s, &batch->ids[i], err);
    }
    return status == PN_OK ? pn_notebook_commit(notebook, err) : status;
}

/* ---- what it is of ------------------------------------------------------- */

/* The kind that its find is written down as, also when that is a danger from
 * the beginning: then no correction will ever bring it up. */
static int find_kind_of(const cli_ctx *cli, pn_notebook *notebook, int64_t kept,
                        pn_text *out) {
    pn_notebook_filter by = PN_NOTEBOOK_FILTER_INIT;
    pn_kept_list list = {0};
    pn_find_list finds = {0};
    pn_error err = {0};
    by.fact = kept;
    if (pn_notebook_list_kept(notebook, &by, cli->arena, &list, &err) !=
        PN_OK) {
        return cli_fail_error(&err);
    }
    by.fact = list.count > 0 ? list.at[0].root_find : 0;
    by.every_version = true;
    if (pn_notebook_list_finds(notebook, &by, cli->arena, &finds, &err) !=
        PN_OK) {
        return cli_fail_error(&err);
    }
    *out = finds.count > 0 ? finds.at[finds.count - 1].kind : (pn_text){"", 0};
    return CLI_OK;
}

static int warn_of(const cli_ctx *cli, const cli_args *args, pn_text kind) {
    pn_sheets *sheets = NULL;
    int code = cli_load_guide(cli, args, &sheets);
    if (code != CLI_OK) {
        return code;
    }
    cli_kind_words words =
        cli_words_of_kind(cli, pn_sheets_guide(sheets), kind);
    pn_sheets_free(sheets);
    if (words.dangerous && !cli->json) {
        putchar('\n');
        cli_print_paragraph(
            cli, 0,
            cli_textf(cli,
                      "The find is written down as %s. Let nobody eat of "
                      "it.",
                      words.text));
        cli_print_paragraph(cli, 0, cli_eaten_something);
    }
    return code;
}

static int list_doubts(const cli_ctx *cli, pn_notebook *notebook,
                       const kept_batch *batch, pn_doubt_list *out) {
    pn_doubt *all = pn_arena_array(cli->arena, batch->count, sizeof *all);
    *out = (pn_doubt_list){all, 0};
    for (size_t i = 0; all != NULL && i < batch->count; i++) {
        pn_notebook_filter by = PN_NOTEBOOK_FILTER_INIT;
        pn_doubt_list one = {0};
        pn_error err = {0};
        by.fact = batch->ids[i];
        if (pn_notebook_list_doubts(notebook, &by, cli->arena, &one, &err) !=
            PN_OK) {
            return cli_fail_error(&err);
        }
        if (one.count > 0) {
            all[out->count++] = one.at[0];
        }
    }
    return all != NULL ? CLI_OK : cli_fail(CLI_SYSTEM, "out of memory");
}

static int batch_json(const cli_ctx *cli, const kept_batch *batch,
                      const pn_doubt_list *doubts) {
    json_t *list = json_array();
    for (size_t i = 0; i < batch->count; i++) {
        json_array_append_new(list, json_integer(batch->ids[i]));
    }
    return cli_print_json(
        cli, json_pack("{s:o, s:o, s:s}", "kept", list, "up_for_review",
                       cli_doubts_json(doubts), "eaten", cli_eaten_something));
}

static int say_batch(const cli_ctx *cli, const cli_args *args,
                     pn_notebook *notebook, const kept_batch *batch) {
    pn_doubt_list doubts = {0};
    int code = list_doubts(cli, notebook, batch, &doubts);
    if (code != CLI_OK || cli->json) {
        return code != CLI_OK ? code : batch_json(cli, batch, &doubts);
    }
    for (size_t i = 0; i < batch->count; i++) {
        const pn_kept *k = &batch->kept[i];
        printf("Number %lld, a %s of %s %lld: %.*s.\n",
               (long long)batch->ids[i], pn_kept_sort_name(k->sort),
               k->find != 0 ? "find" : "number",
               (long long)(k->find != 0 ? k->find : k->source),
               (int)k->name.len, k->name.at);
    }
    for (size_t i = 0; code == CLI_OK && i < batch->count; i++) {
        pn_text kind = {NULL, 0};
        code = find_kind_of(cli, notebook, batch->ids[i], &kind);
        if (code == CLI_OK && doubts.count == 0) {
            code = warn_of(cli, args, kind);
        }
    }
    if (code == CLI_OK && doubts.count > 0) {
        putchar('\n');
        code = cli_print_doubts(cli, &doubts);
    }
    return code;
}

static int add_kept(const cli_ctx *cli, const cli_args *args,
                    pn_kept_sort sort) {
    pn_notebook *notebook = NULL;
    pn_kept like;
    pn_error err = {0};
    kept_batch *batch = pn_arena_array(cli->arena, 1, sizeof *batch);
    if (batch == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    int code = read_kept(cli, args, sort, &like);
    if (code == CLI_OK) {
        code = add_sources(args, "find", &like, batch);
    }
    if (code == CLI_OK) {
        code = add_sources(args, "from", &like, batch);
    }
    if (code == CLI_OK && batch->count == 0) {
        code = cli_fail(CLI_USAGE,
                        "of what? give --find FIND, or --from a number of "
                        "'pannage kept list'");
    }
    if (code == CLI_OK) {
        code = cli_open_notebook(cli, PN_NOTEBOOK_WRITE, &notebook);
    }
    if (code == CLI_OK) {
        code = write_batch(cli, notebook, batch, &err) == PN_OK
                   ? say_batch(cli, args, notebook, batch)
                   : cli_fail_error(&err);
    }
    pn_notebook_close(notebook);
    return code;
}

int cmd_jar_add(cli_ctx *cli, const cli_args *args) {
    return add_kept(cli, args, PN_KEPT_JAR);
}

int cmd_meal_add(cli_ctx *cli, const cli_args *args) {
    return add_kept(cli, args, PN_KEPT_MEAL);
}

/* ---- putting right ------------------------------------------------------ */

static int change_kept(const cli_ctx *cli, const cli_args *args,
                       pn_kept *kept) {
    pn_error err = {0};
    kept->name =
        cli_flag(args, "name") ? cli_text_value(args, "name", "") : kept->name;
    kept->eaters = cli_flag(args, "eaters") ? cli_text_value(args, "eaters", "")
                                            : kept->eaters;
    kept->note =
        cli_flag(args, "note") ? cli_text_value(args, "note", "") : kept->note;
    if (cli_check_name(cli, kept->name, pn_kept_sort_name(kept->sort), &err) !=
        PN_OK) {
        return cli_fail_error(&err);
    }
    int code = cli_date_value(cli, args, "date", &kept->epoch_day);
    return code == CLI_OK && kept->epoch_day > cli->today_epoch_day
               ? cli_fail(CLI_USAGE, "--date: that day has not come yet")
               : code;
}

int cmd_kept_correct(cli_ctx *cli, const cli_args *args) {
    pn_notebook_filter by = PN_NOTEBOOK_FILTER_INIT;
    pn_notebook *notebook = NULL;
    pn_kept_list list = {0};
    pn_error err = {0};
    int code = cli_need_a_change(args);
    if (code == CLI_OK) {
        code = cli_fact_number(args, 0, "jar or meal", &by.fact);
    }
    if (code == CLI_OK) {
        code = cli_open_notebook(cli, PN_NOTEBOOK_WRITE, &notebook);
    }
    if (code == CLI_OK && pn_notebook_list_kept(notebook, &by, cli->arena,
                                                &list, &err) != PN_OK) {
        code = cli_fail_error(&err);
    }
    if (code == CLI_OK && list.count == 0) {
        code = cli_fail(CLI_INPUT,
                        "there is nothing kept of number %s; 'pannage kept "
                        "list' shows what there is",
                        args->positional[0]);
    }
    if (code == CLI_OK) {
        code = change_kept(cli, args, &list.at[0]);
    }
    if (code == CLI_OK &&
        pn_notebook_correct_kept(notebook, list.at[0].fact.row, &list.at[0],
                                 cli->now_unix_s, &err) != PN_OK) {
        code = cli_fail_error(&err);
    }
    if (code == CLI_OK) {
        const cli_written written = {
            "kept", by.fact,
            "Written; what stood there before is kept in the file.\n"};
        code = cli_say_written(cli, notebook, &written, &by);
    }
    pn_notebook_close(notebook);
    return code;
}

/* ---- listing ------------------------------------------------------------ */

typedef struct kept_book {
    pn_kept_list kept;
    pn_doubt_list doubts;
} kept_book;

static bool is_doubted(const kept_book *book, int64_t kept) {
    for (size_t i = 0; i < book->doubts.count; i++) {
        if (book->doubts.at[i].kept == kept) {
            return true;
        }
    }
    return false;
}

static int kept_json(const cli_ctx *cli, const kept_book *book) {
    json_t *list = json_array();
    for (size_t i = 0; i < book->kept.count; i++) {
        const pn_kept *k = &book->kept.at[i];
        json_array_append_new(
            list,
            json_pack("{s:I, s:s, s:o, s:o, s:o, s:I, s:o, s:o, s:b}", "kept",
                      (json_int_t)k->fact.id, "sort",
                      pn_kept_sort_name(k->sort), "date",
                      cli_json_date(k->epoch_day), "name",
                      cli_json_text(k->name), "from",
                      k->source != 0 ? json_integer(k->source) : json_null(),
                      "find", (json_int_t)k->root_find, "eaters",
                      cli_json_text(k->eaters), "note", cli_json_text(k->note),
                      "up_for_review", is_doubted(book, k->fact.id)));
    }
    return cli_print_json(cli, json_pack("{s:o}", "kept", list));
}

static int print_kept(const cli_ctx *cli, const kept_book *book) {
    static const pn_paper_column columns[] = {
        {"no.", PN_PAPER_RIGHT},     {"what", PN_PAPER_LEFT},
        {"date", PN_PAPER_LEFT},     {"name", PN_PAPER_LEFT},
        {"from", PN_PAPER_RIGHT},    {"find", PN_PAPER_RIGHT},
        {"eaten by", PN_PAPER_LEFT}, {"review", PN_PAPER_LEFT}};
    enum { COLUMNS = sizeof columns / sizeof *columns };
    const char **cells =
        pn_arena_array(cli->arena, book->kept.count * COLUMNS, sizeof *cells);
    if (cells == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    for (size_t i = 0; i < book->kept.count; i++) {
        const pn_kept *k = &book->kept.at[i];
        char iso[PN_DATE_ISO_SIZE];
        const char **row = &cells[i * COLUMNS];
        row[0] = cli_textf(cli, "%lld", (long long)k->fact.id);
        row[1] = pn_kept_sort_name(k->sort);
        row[2] = cli_textf(cli, "%s", pn_date_iso(k->epoch_day, iso));
        row[3] = cli_cell_text(cli, k->name);
        row[4] =
            k->source != 0 ? cli_textf(cli, "%lld", (long long)k->source) : "";
        row[5] = cli_textf(cli, "%lld", (long long)k->root_find);
        row[6] = cli_cell_text(cli, k->eaters);
        row[7] = is_doubted(book, k->fact.id) ? "IN DOUBT" : "";
    }
    return cli_print_table(cli, columns, COLUMNS, cells, book->kept.count);
}

int cmd_kept_list(cli_ctx *cli, const cli_args *args) {
    pn_notebook_filter by = PN_NOTEBOOK_FILTER_INIT;
    pn_notebook *notebook = NULL;
    kept_book book = {.kept = {NULL, 0}};
    pn_error err = {0};
    int code = cli_int_value(args, "find", 1, INT64_MAX, &by.find);
    if (code == CLI_OK) {
        code = cli_open_notebook(cli, PN_NOTEBOOK_READ, &notebook);
    }
    if (code == CLI_OK &&
        (pn_notebook_list_kept(notebook, &by, cli->arena, &book.kept, &err) !=
             PN_OK ||
         pn_notebook_list_doubts(notebook, &by, cli->arena, &book.doubts,
                                 &err) != PN_OK)) {
        code = cli_fail_error(&err);
    }
    pn_notebook_close(notebook);
    if (code != CLI_OK || cli->json) {
        return code != CLI_OK ? code : kept_json(cli, &book);
    }
    if (book.kept.count == 0) {
        cli_say(cli, "Nothing of the sort was kept.");
        return CLI_NO;
    }
    code = print_kept(cli, &book);
    if (code == CLI_OK && book.doubts.count > 0) {
        putchar('\n');
        code = cli_print_doubts(cli, &book.doubts);
    }
    return code;
}
