#include "cli.h"

#include <string.h>

#include "pannage/exchange.h"
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

/* Letters, not bytes: signs that steer a terminal (below space, DEL, C1), and
 * those that turn the direction of writing round (U+202A..E, U+2066..9). */
static bool steers(const unsigned char *at) {
    if (at[0] < 0x20U || at[0] == 0x7fU) {
        return true;
    }
    if (at[0] == 0xc2U) {
        return at[1] < 0xa0U;
    }
    return at[0] == 0xe2U &&
           ((at[1] == 0x80U && at[2] >= 0xaaU && at[2] <= 0xaeU) ||
            (at[1] == 0x81U && at[2] >= 0xa6U && at[2] <= 0xa9U));
}

pn_status cli_check_name(const cli_ctx *cli, pn_text name, const char *what,
                         pn_error *err) {
    const char *copy = cli_cell_text(cli, name); /* ends in '\0' */
    if (pn_text_trim(name).len == 0) {
        return pn_fail(err, PN_EDOMAIN, "the name of a %s is empty", what);
    }
    for (; *copy != '\0'; copy++) {
        if (steers((const unsigned char *)copy)) {
            return pn_fail(err, PN_EDOMAIN,
                           "the name of a %s holds a line end or another sign "
                           "that cannot be printed",
                           what);
        }
    }
    return PN_OK;
}

const pn_patch *cli_patch_named(const pn_patch_list *list, const char *name) {
    int64_t number = 0;
    for (size_t i = 0; i < list->count; i++) {
        if (pn_text_equal_nocase(list->at[i].name, pn_text_of(name))) {
            return &list->at[i];
        }
    }
    bool is_number = pn_text_to_int(pn_text_of(name), &number);
    for (size_t i = 0; is_number && i < list->count; i++) {
        if (list->at[i].fact.id == number) {
            return &list->at[i];
        }
    }
    return NULL;
}

int cli_find_patch(const cli_ctx *cli, pn_notebook *notebook, const char *name,
                   pn_patch *out) {
    pn_patch_list list = {0};
    pn_error err = {0};
    if (pn_notebook_list_patches(notebook, NULL, cli->arena, &list, &err) !=
        PN_OK) {
        return cli_fail_error(&err);
    }
    const pn_patch *patch = cli_patch_named(&list, name);
    if (patch != NULL) {
        *out = *patch;
        return CLI_OK;
    }
    return cli_fail(CLI_INPUT,
                    "there is no patch '%s'; 'pannage patch list' shows those "
                    "there are",
                    name);
}

/* Share of letters the two names have in common, in order: enough to guess a
 * slip. */
static double likeness(const char *a, const char *b) {
    double letters = (double)(strlen(a) + strlen(b));
    size_t same = 0;
    for (; *a != '\0'; a++) {
        const char *found = strchr(b, *a);
        if (found != NULL) {
            same++;
            b = found + 1;
        }
    }
    return 2.0 * (double)same / letters;
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

static bool column_is_known(const pn_exchange_table *table, size_t column,
                            const char *const *known) {
    for (; *known != NULL; known++) {
        if (pn_exchange_table_column(table, *known) == column) {
            return true;
        }
    }
    return false;
}

void cli_say_ignored(const cli_ctx *cli, const pn_exchange_table *table,
                     const char *const *known) {
    for (size_t c = 0; c < pn_exchange_table_column_count(table); c++) {
        pn_text name = pn_exchange_table_column_name(table, c);
        if (!column_is_known(table, c, known)) {
            const char *text = cli_cell_text(cli, name);
            cli_say(cli, "note: the column '%s' is not read", text);
        }
    }
}
