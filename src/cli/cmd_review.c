/* What a correction has put in doubt: listed, and closed one by one. */
#include "cli.h"

#include <string.h>

static int load_doubts(const cli_ctx *cli, pn_notebook *notebook, int64_t kept,
                       pn_doubt_list *out) {
    pn_notebook_filter by = PN_NOTEBOOK_FILTER_INIT;
    pn_error err = {0};
    by.fact = kept;
    return pn_notebook_list_doubts(notebook, &by, cli->arena, out, &err) ==
                   PN_OK
               ? CLI_OK
               : cli_fail_error(&err);
}

int cmd_review(cli_ctx *cli, const cli_args *args) {
    pn_notebook *notebook = NULL;
    pn_doubt_list doubts = {0};
    (void)args;
    int code = cli_open_notebook(cli, PN_NOTEBOOK_READ, &notebook);
    if (code == CLI_OK) {
        code = load_doubts(cli, notebook, 0, &doubts);
    }
    pn_notebook_close(notebook);
    if (code != CLI_OK) {
        return code;
    }
    if (cli->json) {
        code = cli_print_json(cli, json_pack("{s:o, s:s}", "up_for_review",
                                             cli_doubts_json(&doubts), "eaten",
                                             cli_eaten_something));
    } else if (doubts.count == 0) {
        printf("Nothing is up for review.\n");
    } else {
        code = cli_print_doubts(cli, &doubts);
    }
    return code != CLI_OK ? code : doubts.count == 0 ? CLI_OK : CLI_NO;
}

/* ---- closing ------------------------------------------------------------ */

static int read_outcome(const cli_args *args, pn_review_outcome *out) {
    const char *word = cli_value(args, "outcome");
    for (int i = 0; word != NULL && i < PN_REVIEW_OUTCOME_COUNT; i++) {
        if (strcmp(word, pn_review_outcome_name((pn_review_outcome)i)) == 0) {
            *out = (pn_review_outcome)i;
            return CLI_OK;
        }
    }
    return word == NULL
               ? cli_fail(CLI_USAGE, "what came of it? give --outcome: "
                                     "still_right, thrown_away, nobody_ill, "
                                     "ill or other")
               : cli_fail(CLI_USAGE,
                          "--outcome: '%s' is not still_right, thrown_away, "
                          "nobody_ill, ill or other",
                          word);
}

/* "Still right" of something that the notebook calls dangerous cannot be. */
static int may_be_right(const cli_ctx *cli, const pn_doubt *doubt) {
    static const cli_args no_args = {.given_count = 0};
    pn_sheets *sheets = NULL;
    int code = cli_load_guide(cli, &no_args, &sheets);
    if (code != CLI_OK) {
        return code;
    }
    cli_kind_words now =
        cli_words_of_kind(cli, pn_sheets_guide(sheets), doubt->kind_now);
    pn_sheets_free(sheets);
    return now.dangerous
               ? cli_fail(CLI_INPUT,
                          "find %lld is now %s: a %s of it cannot be still "
                          "right. If the find itself is wrong, put it right "
                          "first ('pannage find correct %lld')",
                          (long long)doubt->find, now.text,
                          pn_kept_sort_name(doubt->sort),
                          (long long)doubt->find)
               : CLI_OK;
}

static int say_closed(const cli_ctx *cli, pn_notebook *notebook,
                      const pn_doubt *doubt, const pn_review *review) {
    pn_doubt_list left = {0};
    bool eaten = doubt->sort == PN_KEPT_MEAL || doubt->eaters.len > 0 ||
                 review->outcome == PN_REVIEW_ILL;
    bool health = eaten && review->outcome != PN_REVIEW_STILL_RIGHT;
    int code = load_doubts(cli, notebook, 0, &left);
    if (code != CLI_OK) {
        return code;
    }
    if (cli->json) {
        return cli_print_json(cli,
                              json_pack("{s:I, s:s, s:o, s:s}", "kept",
                                        (json_int_t)review->kept, "outcome",
                                        pn_review_outcome_name(review->outcome),
                                        "up_for_review", cli_doubts_json(&left),
                                        "eaten", cli_eaten_something));
    }
    if (health) {
        cli_print_paragraph(cli, 0, cli_eaten_something);
        cli_print_paragraph(cli, 0,
                            "Some poisons are felt only after days: go on "
                            "watching, also where nobody is ill yet.");
        putchar('\n');
    }
    printf("Number %lld, %.*s: %s. %zu still up for review.\n",
           (long long)review->kept, (int)doubt->name.len, doubt->name.at,
           cli_words(cli, pn_review_outcome_name(review->outcome)), left.count);
    return CLI_OK;
}

static int close_one(const cli_ctx *cli, pn_notebook *notebook,
                     const pn_review *review, const pn_doubt_list *doubts) {
    pn_error err = {0};
    if (doubts->count == 0) {
        return cli_fail(CLI_INPUT,
                        "number %lld is not up for review; 'pannage review' "
                        "shows what is",
                        (long long)review->kept);
    }
    int code = review->outcome == PN_REVIEW_STILL_RIGHT
                   ? may_be_right(cli, &doubts->at[0])
                   : CLI_OK;
    if (code != CLI_OK) {
        return code;
    }
    return pn_notebook_add_review(notebook, review, cli->now_unix_s, NULL,
                                  &err) == PN_OK
               ? say_closed(cli, notebook, &doubts->at[0], review)
               : cli_fail_error(&err);
}

int cmd_review_close(cli_ctx *cli, const cli_args *args) {
    pn_notebook *notebook = NULL;
    pn_doubt_list doubts = {0};
    pn_review review = {.note = cli_text_value(args, "note", "")};
    int code = cli_fact_number(args, 0, "jar or meal", &review.kept);
    if (code == CLI_OK) {
        code = read_outcome(args, &review.outcome);
    }
    if (code == CLI_OK) {
        code = cli_open_notebook(cli, PN_NOTEBOOK_WRITE, &notebook);
    }
    if (code == CLI_OK) {
        code = load_doubts(cli, notebook, review.kept, &doubts);
    }
    if (code == CLI_OK) {
        code = close_one(cli, notebook, &review, &doubts);
    }
    pn_notebook_close(notebook);
    return code;
}
