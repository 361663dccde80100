/* Put a patch right: what it is, and what is looked for there. */
#include "cli.h"

#include <string.h>

static pn_text given_or(const cli_args *args, const char *name,
                        pn_text otherwise) {
    const char *value = cli_value(args, name);
    return value != NULL ? pn_text_of(value) : otherwise;
}

/* The patch as it stands, with what the options say instead. */
static int change_patch(const cli_args *args, pn_patch *patch) {
    int code = CLI_OK;
    patch->name = given_or(args, "name", patch->name);
    patch->texture = given_or(args, "texture", patch->texture);
    patch->cover = given_or(args, "cover", patch->cover);
    patch->hosts = given_or(args, "hosts", patch->hosts);
    patch->access = given_or(args, "access", patch->access);
    patch->note = given_or(args, "note", patch->note);
    if (cli_value(args, "at") != NULL) {
        code = cli_position_value(args, &patch->latitude_deg,
                                  &patch->longitude_deg);
    }
    if (code == CLI_OK) {
        code = cli_double_value(args, "elevation", -20.0, 1400.0,
                                &patch->elevation_m);
    }
    return code == CLI_OK
               ? cli_double_value(args, "area", 0.1, 1e8, &patch->area_m2)
               : code;
}

static bool changes_the_patch(const cli_args *args) {
    static const char *const names[] = {"name",  "at",      "elevation",
                                        "area",  "texture", "cover",
                                        "hosts", "access",  "note"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        if (cli_flag(args, names[i])) {
            return true;
        }
    }
    return false;
}

static pn_status drop_kind(const cli_ctx *cli, pn_notebook *notebook,
                           const pn_patch_kind_list *there, const pn_kind *kind,
                           pn_error *err) {
    for (size_t i = 0; i < there->count; i++) {
        if (pn_kind_find(there->at[i].kind) == kind) {
            return pn_notebook_retract(notebook, PN_FACT_PATCH_KIND,
                                       there->at[i].fact.row, cli->now_unix_s,
                                       err);
        }
    }
    return pn_fail(err, PN_ENOTFOUND, "%s is not looked for there", kind->id);
}

static pn_status drop_kinds(const cli_ctx *cli, pn_notebook *notebook,
                            pn_text kinds, int64_t patch, pn_error *err) {
    pn_notebook_filter filter = PN_NOTEBOOK_FILTER_INIT;
    pn_patch_kind_list there = {0};
    filter.patch = patch;
    pn_status status = pn_notebook_list_patch_kinds(notebook, &filter,
                                                    cli->arena, &there, err);
    for (pn_text word = cli_next_word(&kinds); status == PN_OK && word.len > 0;
         word = cli_next_word(&kinds)) {
        const pn_kind *kind = NULL;
        status = cli_kind_of(word, &kind, err);
        if (status == PN_OK) {
            status = drop_kind(cli, notebook, &there, kind, err);
        }
    }
    return status;
}

/* All of it, or nothing. */
static pn_status write_patch(const cli_ctx *cli, const cli_args *args,
                             pn_notebook *notebook, const pn_patch *patch,
                             pn_error *err) {
    pn_status status = pn_notebook_begin(notebook, err);
    if (status == PN_OK && changes_the_patch(args)) {
        status = cli_check_ground(patch, err);
        if (status == PN_OK) {
            status = cli_check_patch_name(cli, notebook, patch, err);
        }
        if (status == PN_OK) {
            status = pn_notebook_correct_patch(notebook, patch->fact.row, patch,
                                               cli->now_unix_s, err);
        }
    }
    if (status == PN_OK) {
        status = drop_kinds(cli, notebook, cli_text_value(args, "without", ""),
                            patch->fact.id, err);
    }
    if (status == PN_OK) {
        status = cli_add_kinds(cli, notebook, cli_text_value(args, "kinds", ""),
                               patch->fact.id, err);
    }
    return status == PN_OK ? pn_notebook_commit(notebook, err) : status;
}

static int say_done(const cli_ctx *cli, pn_notebook *notebook,
                    const pn_patch *patch, const char *what) {
    pn_notebook_filter affected = PN_NOTEBOOK_FILTER_INIT;
    const cli_written written = {
        "patch", patch->fact.id,
        cli_textf(cli,
                  "Patch %lld, %.*s: %s; what stood there before stays in the "
                  "file.\n",
                  (long long)patch->fact.id, (int)patch->name.len,
                  patch->name.at, what)};
    affected.patch = patch->fact.id;
    return cli_say_written(cli, notebook, &written, &affected);
}

int cmd_patch_correct(cli_ctx *cli, const cli_args *args) {
    pn_notebook *notebook = NULL;
    pn_patch patch = {.name = {NULL, 0}};
    pn_error err = {0};
    int code = cli_need_a_change(args);
    if (code == CLI_OK) {
        code = cli_open_notebook(cli, PN_NOTEBOOK_WRITE, &notebook);
    }
    if (code == CLI_OK) {
        code = cli_find_patch(cli, notebook, args->positional[0], &patch);
    }
    if (code == CLI_OK) {
        code = change_patch(args, &patch);
    }
    if (code == CLI_OK) {
        code = write_patch(cli, args, notebook, &patch, &err) == PN_OK
                   ? say_done(cli, notebook, &patch, "put right")
                   : cli_fail_error(&err);
    }
    pn_notebook_close(notebook);
    return code;
}

int cmd_patch_retract(cli_ctx *cli, const cli_args *args) {
    pn_notebook *notebook = NULL;
    pn_patch patch = {.name = {NULL, 0}};
    pn_error err = {0};
    int code = cli_open_notebook(cli, PN_NOTEBOOK_WRITE, &notebook);
    if (code == CLI_OK) {
        code = cli_find_patch(cli, notebook, args->positional[0], &patch);
    }
    if (code == CLI_OK) {
        code = pn_notebook_retract(notebook, PN_FACT_PATCH, patch.fact.row,
                                   cli->now_unix_s, &err) == PN_OK
                   ? say_done(cli, notebook, &patch, "taken back")
                   : cli_fail_error(&err);
    }
    pn_notebook_close(notebook);
    return code;
}
