#include "cli.h"

#include <string.h>

#include "pannage/ground.h"

int cli_open_notebook(const cli_ctx *cli, pn_notebook_mode mode,
                      pn_notebook **out) {
    pn_error err = {0};
    pn_status status =
        pn_notebook_open(&cli->alloc, cli->notebook_path, mode, out, &err);
    if (status == PN_ENOTFOUND) {
        return cli_fail(CLI_INPUT,
                        "there is no notebook at %s; 'pannage notebook init' "
                        "makes one there, --notebook names another",
                        cli->notebook_path);
    }
    return status == PN_OK ? CLI_OK : cli_fail_error(&err);
}

int cli_find_patch(const cli_ctx *cli, pn_notebook *notebook, const char *name,
                   pn_patch *out) {
    pn_patch_list list = {0};
    pn_error err = {0};
    if (pn_notebook_list_patches(notebook, NULL, cli->arena, &list, &err) !=
        PN_OK) {
        return cli_fail_error(&err);
    }
    int64_t number = 0;
    bool is_number = pn_text_to_int(pn_text_of(name), &number);
    for (size_t i = 0; i < list.count; i++) {
        if (pn_text_equal_nocase(list.at[i].name, pn_text_of(name)) ||
            (is_number && list.at[i].fact.id == number)) {
            *out = list.at[i];
            return CLI_OK;
        }
    }
    return cli_fail(CLI_INPUT,
                    "there is no patch '%s'; 'pannage patch list' shows those "
                    "there are",
                    name);
}

/* Letters the two names share in order: enough to guess a slip. */
static size_t likeness(const char *a, const char *b) {
    size_t same = 0;
    for (; *a != '\0'; a++) {
        const char *found = strchr(b, *a);
        if (found != NULL) {
            same++;
            b = found + 1;
        }
    }
    return same;
}

int cli_find_kind(const char *name, const pn_kind **out) {
    *out = pn_kind_find(pn_text_of(name));
    if (*out != NULL) {
        return CLI_OK;
    }
    const pn_kind *nearest = pn_kind_at(0);
    for (size_t i = 0; i < pn_kind_count(); i++) {
        const pn_kind *kind = pn_kind_at(i);
        if (likeness(name, kind->id) > likeness(name, nearest->id)) {
            nearest = kind;
        }
    }
    return cli_fail(CLI_INPUT,
                    "there is no kind '%s' (did you mean %s?); 'pannage kinds' "
                    "lists them",
                    name, nearest->id);
}

int cli_find_source(const cli_ctx *cli, pn_notebook *notebook, const char *name,
                    pn_weather_source *out) {
    pn_weather_source_list list = {0};
    pn_error err = {0};
    if (pn_notebook_list_weather_sources(notebook, NULL, cli->arena, &list,
                                         &err) != PN_OK) {
        return cli_fail_error(&err);
    }
    if (list.count == 0) {
        return cli_fail(CLI_INPUT, "the notebook holds no weather yet; "
                                   "'pannage weather import FILE' brings some");
    }
    if (name == NULL && list.count == 1) {
        *out = list.at[0];
        return CLI_OK;
    }
    for (size_t i = 0; name != NULL && i < list.count; i++) {
        if (pn_text_equal_nocase(list.at[i].name, pn_text_of(name))) {
            *out = list.at[i];
            return CLI_OK;
        }
    }
    return name == NULL ? cli_fail(CLI_INPUT,
                                   "the notebook holds %zu weather sources; "
                                   "say which with --source ('pannage "
                                   "weather list' shows them)",
                                   list.count)
                        : cli_fail(CLI_INPUT,
                                   "there is no weather source '%s'; "
                                   "'pannage weather list' shows them",
                                   name);
}

int cli_fact_number(const cli_args *args, int operand, const char *what,
                    int64_t *out) {
    const char *text = args->positional[operand];
    if (pn_text_to_int(pn_text_of(text), out) && *out > 0) {
        return CLI_OK;
    }
    return cli_fail(CLI_USAGE, "'%s' is not the number of a %s", text, what);
}

const char *cli_grid_text(const cli_ctx *cli, double latitude_deg,
                          double longitude_deg) {
    char text[PN_GRID_TEXT_SIZE];
    pn_latlon at;
    pn_grid grid;
    if (pn_latlon_from_degrees(latitude_deg, longitude_deg, &at, NULL) ==
            PN_OK &&
        pn_grid_from_latlon(at, &grid, NULL) == PN_OK &&
        pn_grid_format(grid, 6, text, NULL) == PN_OK) {
        return cli_textf(cli, "%s", text);
    }
    return cli_textf(cli, "%.4f, %.4f", latitude_deg, longitude_deg);
}

int cli_position_value(const cli_args *args, double *latitude_deg,
                       double *longitude_deg) {
    const char *text = cli_value(args, "at");
    pn_latlon at;
    pn_error err = {0};
    if (text == NULL) {
        return cli_fail(CLI_USAGE,
                        "where is it? give --at \"SU 852 664\" or --at "
                        "\"51.39, -0.78\"");
    }
    if (pn_position_parse(pn_text_of(text), &at, NULL, &err) != PN_OK) {
        return cli_fail(CLI_USAGE, "--at: %s", err.message);
    }
    *latitude_deg = pn_degrees(at.latitude_rad);
    *longitude_deg = pn_degrees(at.longitude_rad);
    return CLI_OK;
}
