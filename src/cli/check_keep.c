/* Keep a session of the check in the notebook, with its find and photos. */
#include "check_cli.h"

#include <string.h>

/* ---- before the first question ------------------------------------------ */

static int read_photos(const cli_ctx *cli, check_keep *keep) {
    int at = 0;
    int code = CLI_OK;
    keep->photos =
        pn_arena_array(cli->arena, CLI_VALUES_MAX, sizeof *keep->photos);
    if (keep->photos == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    for (const char *path = NULL;
         code == CLI_OK && (path = cli_each(keep->args, "photo", &at)) != NULL;
         keep->photo_count++) {
        code = cli_read_photo(cli, path, &keep->photos[keep->photo_count]);
    }
    return code;
}

int check_keep_prepare(const cli_ctx *cli, const cli_args *args,
                       const pn_check_context *context, check_keep *out) {
    pn_notebook *notebook = NULL;
    *out = (check_keep){
        .wanted = cli_flag(args, "keep"), .args = args, .context = context};
    if (!out->wanted) {
        return cli_flag(args, "find") || cli_flag(args, "photo")
                   ? cli_fail(CLI_USAGE, "--find and --photo say what to keep "
                                         "the session with: give --keep too")
                   : CLI_OK;
    }
    int code = cli_open_notebook(cli, PN_NOTEBOOK_WRITE, &notebook);
    if (code == CLI_OK) {
        code = cli_find_number(args, notebook, cli, &out->find);
    }
    pn_notebook_close(notebook); /* not held while somebody looks and thinks */
    return code == CLI_OK ? read_photos(cli, out) : code;
}

/* ---- after the last answer ---------------------------------------------- */

static void add_answers(const cli_ctx *cli, const check_view *view,
                        pn_buffer *out) {
    size_t count = 0;
    const pn_answer *answers = pn_check_answers(view->session, &count);
    for (size_t i = 0; i < count; i++) {
        pn_buffer_addf(out, "%s=%s\n",
                       view->guide->features[answers[i].feature].id,
                       check_answer_text(cli, view->guide, &answers[i]));
    }
}

static void add_dangers(const check_view *view, pn_buffer *out) {
    for (size_t i = 0; i < view->danger_count; i++) {
        pn_buffer_addf(out, "%s\n",
                       view->guide->sheets[view->dangers[i].sheet].id);
    }
}

static pn_text id_of(const check_view *view, size_t sheet) {
    return pn_text_of(sheet != PN_GUIDE_NONE ? view->guide->sheets[sheet].id
                                             : "");
}

static pn_text text_or_none(const char *text) {
    return pn_text_of(text != NULL ? text : "");
}

static pn_status write_all(const cli_ctx *cli, const check_keep *keep,
                           const pn_check_record *record, int64_t *id,
                           pn_error *err) {
    pn_notebook *notebook = NULL;
    pn_status status = pn_notebook_open(&cli->alloc, cli->notebook_path,
                                        PN_NOTEBOOK_WRITE, &notebook, err);
    if (status == PN_OK) {
        status = pn_notebook_begin(notebook, err);
    }
    if (status == PN_OK) {
        status =
            pn_notebook_add_check(notebook, record, cli->now_unix_s, id, err);
    }
    for (size_t i = 0; status == PN_OK && i < keep->photo_count; i++) {
        pn_photo photo = keep->photos[i];
        photo.find = keep->find;
        photo.check = *id;
        status =
            pn_notebook_add_photo(notebook, &photo, cli->now_unix_s, NULL, err);
    }
    if (status == PN_OK) {
        status = pn_notebook_commit(notebook, err);
    }
    pn_notebook_close(notebook);
    return status;
}

int check_keep_write(const cli_ctx *cli, const check_keep *keep,
                     check_view *view) {
    pn_buffer answers;
    pn_buffer dangers;
    pn_error err = {0};
    int64_t id = 0;
    const char *guide = cli_guide_print(cli, keep->args);
    if (guide == NULL) {
        return CLI_SYSTEM;
    }
    pn_buffer_init(&answers, &cli->alloc);
    pn_buffer_init(&dangers, &cli->alloc);
    add_answers(cli, view, &answers);
    add_dangers(view, &dangers);
    pn_status status = pn_buffer_status(&answers, &err);
    if (status == PN_OK) {
        status = pn_buffer_status(&dangers, &err);
    }
    if (status == PN_OK) {
        pn_check_record record = {
            .find = keep->find,
            .epoch_day = cli->today_epoch_day,
            .kind = id_of(view, view->focus),
            .tried = id_of(view, view->kind),
            .month = keep->context->month,
            .habitat = text_or_none(keep->context->habitat),
            .host = text_or_none(keep->context->host),
            .expert = !keep->context->beginner,
            .answers = {pn_buffer_text(&answers), answers.len},
            .open_count = (int64_t)view->open_count,
            .not_ruled_out = {pn_buffer_text(&dangers), dangers.len},
            .guide = pn_text_of(guide),
        };
        status = write_all(cli, keep, &record, &id, &err);
    }
    pn_buffer_deinit(&answers);
    pn_buffer_deinit(&dangers);
    if (status != PN_OK) {
        return cli_fail(cli_fail_error(&err), "the session was not kept");
    }
    view->kept = id;
    return CLI_OK;
}
