/* What sessions, jars and reviews share: kinds in words, the name of the
 * guide, and what is up for review, told with health first. */
#include "cli.h"

#include <string.h>

/* ---- the guide ---------------------------------------------------------- */

static void add_file(pn_sha256 *digest, const pn_sheets_file *file) {
    unsigned char len[8];
    for (int i = 0; i < 8; i++) {
        len[i] = (unsigned char)((uint64_t)file->text.len >> (8 * i));
    }
    pn_sha256_add(digest, len, sizeof len);
    pn_sha256_add(digest, file->text.at, file->text.len);
}

const char *cli_guide_print(const cli_ctx *cli, const cli_args *args) {
    enum { LETTERS = 16 };
    unsigned char sha256[PN_SHA256_BYTES];
    char hex[PN_SHA256_HEX_SIZE];
    cli_guide_files files = {.sheet_count = 0};
    if (cli_read_guide(cli, args, &files) != CLI_OK) {
        return NULL;
    }
    pn_sha256 digest = pn_sha256_begin();
    add_file(&digest, &files.features);
    for (size_t i = 0; i < files.sheet_count; i++) {
        add_file(&digest, &files.sheets[i]);
    }
    pn_sha256_end(&digest, sha256);
    return cli_textf(cli, "pannage %s, guide %.*s", PN_VERSION, LETTERS,
                     pn_sha256_hex(sha256, hex));
}

/* ---- kinds -------------------------------------------------------------- */

const char *cli_find_any_kind(const cli_ctx *cli, const char *name) {
    static const cli_args no_args = {.given_count = 0};
    const pn_kind *forecast = pn_kind_find(pn_text_of(name));
    pn_sheets *sheets = NULL;
    const char *id = NULL;
    size_t sheet = PN_GUIDE_NONE;
    if (forecast != NULL) {
        return forecast->id;
    }
    if (strcmp(name, "unknown") == 0) {
        return "unknown";
    }
    if (cli_load_guide(cli, &no_args, &sheets) == CLI_OK &&
        cli_find_sheet(pn_sheets_guide(sheets), name, &sheet) == CLI_OK) {
        id = cli_textf(cli, "%s", pn_sheets_guide(sheets)->sheets[sheet].id);
    }
    pn_sheets_free(sheets);
    return id;
}

cli_kind_words cli_words_of_kind(const cli_ctx *cli, const pn_guide *guide,
                                 pn_text kind) {
    const pn_kind *forecast = pn_kind_find(kind);
    size_t at = pn_guide_sheet(guide, kind);
    if (at != PN_GUIDE_NONE) {
        const pn_sheet *sheet = &guide->sheets[at];
        bool danger = pn_guide_is_danger(sheet->status);
        return (cli_kind_words){
            .text = danger ? cli_textf(cli, "%s (%s)", sheet->english,
                                       pn_guide_status_name(sheet->status))
                           : cli_textf(cli, "%s", sheet->english),
            .dangerous = danger,
            .deadly = sheet->status == PN_GUIDE_DEADLY};
    }
    return (cli_kind_words){.text = forecast != NULL ? forecast->english
                                                     : cli_cell_text(cli, kind),
                            .dangerous = forecast == NULL};
}

/* ---- doubts ------------------------------------------------------------- */

json_t *cli_doubts_json(const pn_doubt_list *doubts) {
    json_t *list = json_array();
    for (size_t i = 0; i < doubts->count; i++) {
        const pn_doubt *d = &doubts->at[i];
        json_array_append_new(
            list,
            json_pack("{s:I, s:s, s:o, s:o, s:o, s:I, s:o, s:o, s:b}", "kept",
                      (json_int_t)d->kept, "sort", pn_kept_sort_name(d->sort),
                      "name", cli_json_text(d->name), "date",
                      cli_json_date(d->epoch_day), "eaters",
                      cli_json_text(d->eaters), "find", (json_int_t)d->find,
                      "kept_as", cli_json_text(d->kind_then), "kind_now",
                      cli_json_text(d->kind_now), "find_taken_back",
                      !d->find_stands));
    }
    return list;
}

typedef struct doubt_sum {
    bool eaten; /**< a meal, or somebody is named */
    bool deadly;
} doubt_sum;

static const char *now_words(const cli_ctx *cli, const pn_guide *guide,
                             const pn_doubt *doubt, doubt_sum *sum) {
    cli_kind_words now = cli_words_of_kind(cli, guide, doubt->kind_now);
    sum->deadly = sum->deadly || now.deadly;
    sum->eaten = sum->eaten || doubt->sort == PN_KEPT_MEAL ||
                 pn_text_trim(doubt->eaters).len > 0;
    return doubt->find_stands ? now.text
                              : cli_textf(cli, "%s, taken back", now.text);
}

static const char **fill_cells(const cli_ctx *cli, const pn_guide *guide,
                               const pn_doubt_list *doubts, size_t columns,
                               doubt_sum *sum) {
    const char **cells =
        pn_arena_array(cli->arena, doubts->count * columns, sizeof *cells);
    for (size_t i = 0; cells != NULL && i < doubts->count; i++) {
        const pn_doubt *d = &doubts->at[i];
        char iso[PN_DATE_ISO_SIZE];
        const char **row = &cells[i * columns];
        row[0] = cli_textf(cli, "%lld", (long long)d->kept);
        row[1] = pn_kept_sort_name(d->sort);
        row[2] = cli_textf(cli, "%s", pn_date_iso(d->epoch_day, iso));
        row[3] = cli_cell_text(cli, d->name);
        row[4] = cli_cell_text(cli, d->eaters);
        row[5] = cli_textf(cli, "%lld", (long long)d->find);
        row[6] = cli_words_of_kind(cli, guide, d->kind_then).text;
        row[7] = now_words(cli, guide, d, sum);
    }
    return cells;
}

static void print_health(const cli_ctx *cli, const pn_doubt_list *doubts,
                         doubt_sum sum) {
    cli_print_paragraph(
        cli, 0,
        cli_textf(cli, "UP FOR REVIEW: %zu kept thing%s of a find that %s.%s",
                  doubts->count, doubts->count == 1 ? "" : "s",
                  "was put right or taken back since",
                  sum.eaten ? " Somebody ate of it." : ""));
    if (sum.deadly) {
        cli_print_paragraph(cli, 0,
                            sum.eaten ? "It is now taken for something deadly: "
                                        "do not wait."
                                      : "It is now taken for something deadly: "
                                        "let nobody eat of it.");
    }
    cli_print_paragraph(cli, 0, cli_eaten_something);
}

static int print_doubts(const cli_ctx *cli, const pn_guide *guide,
                        const pn_doubt_list *doubts) {
    static const pn_paper_column columns[] = {
        {"no.", PN_PAPER_RIGHT},     {"what", PN_PAPER_LEFT},
        {"date", PN_PAPER_LEFT},     {"name", PN_PAPER_LEFT},
        {"eaten by", PN_PAPER_LEFT}, {"find", PN_PAPER_RIGHT},
        {"kept as", PN_PAPER_LEFT},  {"now", PN_PAPER_LEFT}};
    enum { COLUMNS = sizeof columns / sizeof *columns };
    doubt_sum sum = {false, false};
    const char **cells = fill_cells(cli, guide, doubts, COLUMNS, &sum);
    if (cells == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    print_health(cli, doubts, sum);
    putchar('\n');
    int code = cli_print_table(cli, columns, COLUMNS, cells, doubts->count);
    putchar('\n');
    cli_print_paragraph(cli, 0,
                        "Eat nothing more of it. 'pannage review close NUMBER "
                        "--outcome ...' when it has been looked at.");
    return code;
}

int cli_print_doubts(const cli_ctx *cli, const pn_doubt_list *doubts) {
    static const cli_args no_args = {.given_count = 0};
    pn_sheets *sheets = NULL;
    if (doubts->count == 0) {
        return CLI_OK;
    }
    int code = cli_load_guide(cli, &no_args, &sheets);
    if (code == CLI_OK) {
        code = print_doubts(cli, pn_sheets_guide(sheets), doubts);
    }
    pn_sheets_free(sheets);
    return code;
}

int cli_say_written(const cli_ctx *cli, pn_notebook *notebook,
                    const cli_written *written,
                    const pn_notebook_filter *affected) {
    pn_doubt_list doubts = {0};
    pn_error err = {0};
    if (pn_notebook_list_doubts(notebook, affected, cli->arena, &doubts,
                                &err) != PN_OK) {
        return cli_fail_error(&err);
    }
    if (cli->json) {
        return cli_print_json(
            cli, json_pack("{s:I, s:o}", written->what, (json_int_t)written->id,
                           "up_for_review", cli_doubts_json(&doubts)));
    }
    printf("%s", written->line);
    if (doubts.count > 0) {
        putchar('\n');
    }
    return cli_print_doubts(cli, &doubts);
}
