#include "cli.h"

#include <errno.h>
#include <math.h>
#include <string.h>
#include <sys/stat.h>

#include "pannage/exchange.h"
#include "pannage/ground.h"
#include "pannage/score.h"

static const cli_read_limit table_limit = {
    64 << 20, "more than 64 MB; give one station's daily table"};

/* "2017" or "2018-2019" */
static int years_value(const cli_args *args, const char *name, int *first,
                       int *last) {
    const char *text = cli_value(args, name);
    pn_text rest = {NULL, 0};
    int64_t a = 0;
    int64_t b = 0;
    if (text == NULL) {
        return cli_fail(CLI_USAGE,
                        "which years? give --%s, as 2017 or "
                        "2018-2019",
                        name);
    }
    pn_text one = pn_text_cut(pn_text_of(text), '-', &rest);
    bool good = pn_text_to_int(one, &a) &&
                (rest.at == NULL || pn_text_to_int(rest, &b));
    b = rest.at == NULL ? a : b;
    if (!good || a < 1800 || b > 2200 || b < a) {
        return cli_fail(CLI_USAGE,
                        "--%s: '%s' is not a year or a run of years; write "
                        "2017 or 2018-2019",
                        name, text);
    }
    *first = (int)a;
    *last = (int)b;
    return CLI_OK;
}

static int read_opts(const cli_args *args, pn_score_soil_opts *opts) {
    double latitude_deg = NAN;
    const char *cover = cli_value(args, "cover");
    int code =
        years_value(args, "fit", &opts->fit_first_year, &opts->fit_last_year);
    if (code == CLI_OK) {
        code = years_value(args, "judge", &opts->judge_first_year,
                           &opts->judge_last_year);
    }
    if (code == CLI_OK) {
        code = cli_double_value(args, "latitude", -66.0, 66.0, &latitude_deg);
        opts->latitude_rad = pn_radians(latitude_deg);
    }
    if (code == CLI_OK) {
        code = cli_double_value(args, "elevation", -20.0, 1400.0,
                                &opts->elevation_m);
    }
    if (code == CLI_OK && cover != NULL &&
        !pn_soil_cover_find(pn_text_of(cover), &opts->cover)) {
        code = cli_fail(CLI_USAGE,
                        "--cover: '%s' is not open, broadleaf, "
                        "conifer or edge",
                        cover);
    }
    opts->air_only = cli_flag(args, "air-only");
    return code;
}

/* "spen_farm_daily.csv" -> "FOLDER/spen_farm_daily.svg" */
static int write_chart(const cli_ctx *cli, const char *folder,
                       const pn_score_soil *score) {
    pn_buffer buffer;
    pn_error err = {0};
    const char *dot = strrchr(score->csv_name, '.');
    int stem = dot != NULL ? (int)(dot - score->csv_name)
                           : (int)strlen(score->csv_name);
    const char *path =
        cli_textf(cli, "%s/%.*s.svg", folder, stem, score->csv_name);
    if (mkdir(folder, 0755) != 0 && errno != EEXIST) {
        return cli_fail(CLI_SYSTEM, "%s: %s", folder, strerror(errno));
    }
    pn_buffer_init(&buffer, &cli->alloc);
    int code =
        pn_score_soil_svg(score, &buffer, &err) == PN_OK
            ? cli_write_file(cli, path, pn_buffer_text(&buffer), buffer.len)
            : cli_fail_error(&err);
    pn_buffer_deinit(&buffer);
    if (code == CLI_OK) {
        cli_say(cli, "The chart is %s.", path);
    }
    return code;
}

static int print_score(const cli_ctx *cli, const cli_args *args,
                       const pn_score_soil *score) {
    pn_buffer buffer;
    pn_error err = {0};
    pn_buffer_init(&buffer, &cli->alloc);
    pn_status status = cli->json ? pn_score_soil_json(score, &buffer, &err)
                                 : pn_score_soil_text(score, &buffer, &err);
    if (status != PN_OK) {
        pn_buffer_deinit(&buffer);
        return cli_fail_error(&err);
    }
    int code = cli_print_buffer(&buffer);
    const char *folder = cli_value(args, "svg-dir");
    return code == CLI_OK && folder != NULL ? write_chart(cli, folder, score)
                                            : code;
}

int cmd_score_soil(cli_ctx *cli, const cli_args *args) {
    pn_score_soil_opts opts = PN_SCORE_SOIL_OPTS_INIT;
    pn_score_soil *score = NULL;
    pn_buffer table;
    pn_error err = {0};
    int code = read_opts(args, &opts);
    if (code != CLI_OK) {
        return code;
    }
    pn_status status =
        cli_read_file(cli, args->positional[0], &table_limit, &table, &err);
    if (status == PN_OK) {
        opts.csv = (pn_text){pn_buffer_text(&table), table.len};
        opts.csv_name = args->positional[0];
        if (!cli->quiet && cli->show_progress) {
            cli_say(cli, "Fitting; this takes some seconds.");
        }
        status = pn_score_soil_run(&cli->alloc, &opts, &score, &err);
    }
    code =
        status == PN_OK ? print_score(cli, args, score) : cli_fail_error(&err);
    pn_score_soil_free(score);
    pn_buffer_deinit(&table);
    return code;
}
