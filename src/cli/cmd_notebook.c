#include "cli.h"

#include <errno.h>
#include <string.h>
#include <sys/stat.h>

/* The folders on the way to the default notebook, as mkdir -p makes them. */
static int make_folders(const cli_ctx *cli) {
    char path[4096];
    pn_str str = pn_str_in(path, sizeof path);
    pn_str_addf(&str, "%s", cli->notebook_path);
    for (char *at = strchr(path + 1, '/'); at != NULL;
         at = strchr(at + 1, '/')) {
        *at = '\0';
        if (mkdir(path, 0755) != 0 && errno != EEXIST) {
            return cli_fail(CLI_SYSTEM, "%s: %s", path, strerror(errno));
        }
        *at = '/';
    }
    return CLI_OK;
}

int cmd_notebook_init(cli_ctx *cli, const cli_args *args) {
    (void)args;
    pn_notebook *notebook = NULL;
    pn_error err = {0};
    int code = make_folders(cli);
    if (code != CLI_OK) {
        return code;
    }
    if (pn_notebook_create(&cli->alloc, cli->notebook_path, &notebook, &err) !=
        PN_OK) {
        return cli_fail_error(&err);
    }
    pn_notebook_close(notebook);
    if (cli->json) {
        return cli_print_json(cli, json_pack("{s:s, s:i}", "notebook",
                                             cli->notebook_path, "version",
                                             PN_NOTEBOOK_VERSION));
    }
    printf("%s is ready.\n", cli->notebook_path);
    return CLI_OK;
}

typedef struct totals {
    pn_place_list places;
    pn_patch_list patches;
    pn_visit_list visits;
    pn_find_list finds;
    pn_weather_source_list sources;
    pn_check_record_list checks;
    pn_photo_list photos;
    pn_kept_list kept;
    pn_doubt_list doubts;
} totals;

static pn_status count_kept(const cli_ctx *cli, pn_notebook *notebook,
                            totals *out, pn_error *err) {
    pn_status status =
        pn_notebook_list_checks(notebook, NULL, cli->arena, &out->checks, err);
    if (status == PN_OK) {
        status = pn_notebook_list_photos(notebook, NULL, cli->arena,
                                         &out->photos, err);
    }
    if (status == PN_OK) {
        status =
            pn_notebook_list_kept(notebook, NULL, cli->arena, &out->kept, err);
    }
    if (status == PN_OK) {
        status = pn_notebook_list_doubts(notebook, NULL, cli->arena,
                                         &out->doubts, err);
    }
    return status;
}

static pn_status count_all(const cli_ctx *cli, pn_notebook *notebook,
                           totals *out, pn_error *err) {
    pn_status status =
        pn_notebook_list_places(notebook, NULL, cli->arena, &out->places, err);
    if (status == PN_OK) {
        status = pn_notebook_list_patches(notebook, NULL, cli->arena,
                                          &out->patches, err);
    }
    if (status == PN_OK) {
        status = pn_notebook_list_visits(notebook, NULL, cli->arena,
                                         &out->visits, err);
    }
    if (status == PN_OK) {
        status = pn_notebook_list_finds(notebook, NULL, cli->arena, &out->finds,
                                        err);
    }
    if (status == PN_OK) {
        status = pn_notebook_list_weather_sources(notebook, NULL, cli->arena,
                                                  &out->sources, err);
    }
    return status == PN_OK ? count_kept(cli, notebook, out, err) : status;
}

static int totals_json(const cli_ctx *cli, const totals *all) {
    return cli_print_json(
        cli,
        json_pack("{s:s, s:i, s:I, s:I, s:I, s:I, s:I, s:I, s:I, s:I, s:I}",
                  "notebook", cli->notebook_path, "version",
                  PN_NOTEBOOK_VERSION, "places", (json_int_t)all->places.count,
                  "patches", (json_int_t)all->patches.count, "visits",
                  (json_int_t)all->visits.count, "finds",
                  (json_int_t)all->finds.count, "weather_sources",
                  (json_int_t)all->sources.count, "kept_sessions",
                  (json_int_t)all->checks.count, "photos",
                  (json_int_t)all->photos.count, "kept",
                  (json_int_t)all->kept.count, "up_for_review",
                  (json_int_t)all->doubts.count));
}

int cmd_notebook_info(cli_ctx *cli, const cli_args *args) {
    (void)args;
    pn_notebook *notebook = NULL;
    pn_error err = {0};
    totals all = {0};
    int code = cli_open_notebook(cli, PN_NOTEBOOK_READ, &notebook);
    if (code != CLI_OK) {
        return code;
    }
    pn_status status = count_all(cli, notebook, &all, &err);
    pn_notebook_close(notebook);
    if (status != PN_OK) {
        return cli_fail_error(&err);
    }
    if (cli->json) {
        return totals_json(cli, &all);
    }
    printf("%s, version %d\n"
           "%zu places, %zu patches, %zu visits, %zu finds, %zu weather "
           "sources\n",
           cli->notebook_path, PN_NOTEBOOK_VERSION, all.places.count,
           all.patches.count, all.visits.count, all.finds.count,
           all.sources.count);
    printf("%zu kept sessions, %zu photos, %zu jars and meals\n",
           all.checks.count, all.photos.count, all.kept.count);
    if (all.doubts.count > 0) {
        putchar('\n');
        return cli_print_doubts(cli, &all.doubts);
    }
    return CLI_OK;
}

static json_t *problems_json(const pn_notebook_report *report) {
    json_t *list = json_array();
    for (size_t i = 0; i < report->count; i++) {
        json_array_append_new(list, json_string(report->at[i]));
    }
    return json_pack("{s:b, s:o}", "sound", report->count == 0, "problems",
                     list);
}

int cmd_notebook_verify(cli_ctx *cli, const cli_args *args) {
    (void)args;
    pn_notebook *notebook = NULL;
    pn_error err = {0};
    pn_notebook_report report = {0};
    int code = cli_open_notebook(cli, PN_NOTEBOOK_READ, &notebook);
    if (code != CLI_OK) {
        return code;
    }
    pn_status status = pn_notebook_verify(notebook, cli->arena, &report, &err);
    pn_notebook_close(notebook);
    if (status != PN_OK) {
        return cli_fail_error(&err);
    }
    if (cli->json) {
        code = cli_print_json(cli, problems_json(&report));
    } else if (report.count == 0) {
        printf("%s is sound.\n", cli->notebook_path);
    } else {
        for (size_t i = 0; i < report.count; i++) {
            printf("%s\n", report.at[i]);
        }
        cli_say(cli,
                "%zu problems. Keep this file as it is, and go back to the "
                "last backup that verifies.",
                report.count);
    }
    return code != CLI_OK ? code : report.count == 0 ? CLI_OK : CLI_NO;
}

int cmd_notebook_backup(cli_ctx *cli, const cli_args *args) {
    pn_notebook *notebook = NULL;
    pn_error err = {0};
    int code = cli_open_notebook(cli, PN_NOTEBOOK_READ, &notebook);
    if (code != CLI_OK) {
        return code;
    }
    pn_status status = pn_notebook_backup(notebook, args->positional[0], &err);
    pn_notebook_close(notebook);
    if (status != PN_OK) {
        return cli_fail_error(&err);
    }
    if (cli->json) {
        return cli_print_json(
            cli, json_pack("{s:s}", "backup", args->positional[0]));
    }
    printf("Copied to %s.\n", args->positional[0]);
    return CLI_OK;
}

int cmd_notebook_upgrade(cli_ctx *cli, const cli_args *args) {
    (void)args;
    char backup[PN_NOTEBOOK_PATH_SIZE];
    pn_error err = {0};
    if (pn_notebook_upgrade(&cli->alloc, cli->notebook_path, backup, &err) !=
        PN_OK) {
        return cli_fail_error(&err);
    }
    if (cli->json) {
        return cli_print_json(cli,
                              json_pack("{s:i, s:s}", "version",
                                        PN_NOTEBOOK_VERSION, "backup", backup));
    }
    if (backup[0] == '\0') {
        printf("%s is up to date.\n", cli->notebook_path);
    } else {
        printf("%s is now version %d; the file as it was is %s.\n",
               cli->notebook_path, PN_NOTEBOOK_VERSION, backup);
    }
    return CLI_OK;
}
