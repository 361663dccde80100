/* Spores measured at the bench: their statistics, and as evidence. */
#include <string.h>

#include "cli.h"

enum { SPORES_MAX = 2000 };
static const cli_read_limit text_limit = {(1 << 16) - 1,
                                          "more than 65536 bytes"};

/* Fewer than so many are told as "probably". Common practice, no source. */
enum { ENOUGH = 20 };

int cli_read_spores(const cli_ctx *cli, const char *path, cli_spores *out) {
    pn_spore_sizes sizes = {
        .length_um =
            pn_arena_array(cli->arena, SPORES_MAX, sizeof *sizes.length_um),
        .width_um =
            pn_arena_array(cli->arena, SPORES_MAX, sizeof *sizes.width_um),
        .room = SPORES_MAX};
    double *q = pn_arena_array(cli->arena, SPORES_MAX, sizeof *q);
    pn_buffer text;
    pn_error err = {0};
    if (sizes.length_um == NULL || sizes.width_um == NULL || q == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    pn_status status = cli_read_file(cli, path, &text_limit, &text, &err);
    int code = status == PN_OK ? CLI_OK : cli_fail_error(&err);
    if (code == CLI_OK &&
        pn_spores_read((pn_text){pn_buffer_text(&text), text.len}, &sizes,
                       &err) != PN_OK) {
        code = cli_fail(CLI_INPUT, "%s: %s", path, err.message);
    }
    pn_buffer_deinit(&text);
    if (code != CLI_OK) {
        return code;
    }
    for (size_t i = 0; sizes.has_width && i < sizes.count; i++) {
        q[i] = sizes.length_um[i] / sizes.width_um[i];
    }
    *out = (cli_spores){.has_width = sizes.has_width};
    out->length = pn_spores_of(sizes.length_um, sizes.count);
    if (sizes.has_width) {
        out->width = pn_spores_of(sizes.width_um, sizes.count);
        out->q = pn_spores_of(q, sizes.count);
    }
    return CLI_OK;
}

const char *cli_spore_answer(const cli_ctx *cli, const char *feature,
                             const pn_spores *spores) {
    return cli_textf(cli, "%s=%.2f%s", feature, spores->mean,
                     spores->count < ENOUGH ? "?" : "");
}

/* ---- the command -----------------------------------------------------------
 */

static json_t *one_json(const pn_spores *s, int decimals) {
    char buf[80];
    pn_str str = pn_str_in(buf, sizeof buf);
    pn_spores_notation(s, decimals, &str);
    return json_pack(
        "{s:I, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:s}", "count",
        (json_int_t)s->count, "mean", cli_json_number(s->mean, 4), "sd",
        cli_json_number(s->sd, 4), "p5", cli_json_number(s->low, 4), "p95",
        cli_json_number(s->high, 4), "least", cli_json_number(s->least, 4),
        "most", cli_json_number(s->most, 4), "mean_low",
        cli_json_number(s->mean_low, 4), "mean_high",
        cli_json_number(s->mean_high, 4), "notation", buf);
}

static void print_one(const char *name, const char *unit, int decimals,
                      const pn_spores *s) {
    char buf[80];
    pn_str str = pn_str_in(buf, sizeof buf);
    pn_spores_notation(s, decimals, &str);
    printf("%-7s %s%s, mean %.2f (95 %% interval %.2f to %.2f), n = %zu\n",
           name, buf, unit, s->mean, s->mean_low, s->mean_high, s->count);
}

static int print_spores(const cli_ctx *cli, const cli_spores *spores) {
    if (cli->json) {
        json_t *object =
            json_pack("{s:o}", "length_um", one_json(&spores->length, 1));
        if (object != NULL && spores->has_width) {
            json_object_set_new(object, "width_um",
                                one_json(&spores->width, 1));
            json_object_set_new(object, "q", one_json(&spores->q, 2));
        }
        return cli_print_json(cli, object);
    }
    const char *unit = cli->ascii ? " um" : " µm";
    print_one("length", unit, 1, &spores->length);
    if (spores->has_width) {
        print_one("width", unit, 1, &spores->width);
        print_one("Q", "", 2, &spores->q);
    }
    if (spores->length.count < ENOUGH) {
        printf("Fewer than %d: the check takes them as \"probably\".\n",
               ENOUGH);
    }
    return CLI_OK;
}

int cmd_spores(cli_ctx *cli, const cli_args *args) {
    cli_spores spores = {.has_width = false};
    int code = cli_read_spores(cli, args->positional[0], &spores);
    return code == CLI_OK ? print_spores(cli, &spores) : code;
}
