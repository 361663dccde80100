/* Two kinds side by side, what decides first. */
#include "cli.h"

#include <stdlib.h>
#include <string.h>

/* Shares of overlap: below the first a feature decides, above the second the
 * two are alike in it. */
static const double decides = 0.06;
static const double alike = 0.5;

typedef struct aspect {
    size_t feature;
    double overlap;
    bool named; /* deciding in the look-alike entry of one of the two */
} aspect;

typedef struct pair {
    const pn_guide *guide;
    const pn_sheet *sheets[2];
    const pn_lookalike *look; /* NULL: neither names the other */
    aspect *sides;
    size_t count;
} pair;

static const pn_lookalike *lookalike_of(const pn_guide *guide,
                                        const pn_sheet *sheet,
                                        const pn_sheet *other) {
    for (size_t i = 0; i < sheet->lookalike_count; i++) {
        if (&guide->sheets[sheet->lookalikes[i].sheet] == other) {
            return &sheet->lookalikes[i];
        }
    }
    return NULL;
}

static bool is_named(const pn_lookalike *look, size_t feature) {
    for (size_t i = 0; look != NULL && i < look->deciding_count; i++) {
        if (look->deciding[i] == feature) {
            return true;
        }
    }
    return false;
}

static int apart_first(const void *a, const void *b) {
    const aspect *x = a;
    const aspect *y = b;
    bool decides_x = x->named || x->overlap <= decides;
    bool decides_y = y->named || y->overlap <= decides;
    if (decides_x != decides_y) {
        return decides_x ? -1 : 1;
    }
    if (x->overlap < y->overlap || x->overlap > y->overlap) {
        return x->overlap < y->overlap ? -1 : 1;
    }
    return (x->feature > y->feature) - (x->feature < y->feature);
}

static void find_sides(pair *p) {
    const pn_sheet *a = p->sheets[0];
    const pn_sheet *b = p->sheets[1];
    for (size_t f = 0; f < p->guide->feature_count; f++) {
        if (pn_sheet_trait(a, f) != NULL || pn_sheet_trait(b, f) != NULL) {
            p->sides[p->count++] =
                (aspect){.feature = f,
                         .overlap = pn_guide_overlap(p->guide, a, b, f),
                         .named = is_named(p->look, f)};
        }
    }
    if (p->count > 0) {
        qsort(p->sides, p->count, sizeof *p->sides, apart_first);
    }
}

static const char *mark_of(const aspect *side) {
    return side->named || side->overlap <= decides ? "decides"
           : side->overlap <= alike                ? "helps"
                                                   : "alike";
}

static const char *side_text(const cli_ctx *cli, const pair *p, size_t which,
                             size_t feature) {
    const pn_sheet *sheet = p->sheets[which];
    const pn_trait *trait = pn_sheet_trait(sheet, feature);
    if (!pn_sheet_applies(p->guide, sheet, feature)) {
        return "has none";
    }
    return trait != NULL ? cli_trait_text(cli, p->guide, trait) : "not said";
}

/* ---- for a person ----------------------------------------------------------
 */

static void print_side(const cli_ctx *cli, const pair *p, const aspect *s) {
    const pn_feature *f = &p->guide->features[s->feature];
    printf("\n%s%s%s (%s): %s\n", cli->colour ? "\033[1m" : "",
           cli_words(cli, f->id), cli->colour ? "\033[0m" : "",
           pn_effort_name(f->effort), mark_of(s));
    for (size_t which = 0; which < 2; which++) {
        cli_print_paragraph(cli, 2,
                            cli_textf(cli, "%s: %s", p->sheets[which]->english,
                                      side_text(cli, p, which, s->feature)));
    }
}

static void print_alike(const cli_ctx *cli, const pair *p) {
    char buf[1200];
    pn_str str = pn_str_in(buf, sizeof buf);
    size_t count = 0;
    for (size_t i = 0; i < p->count; i++) {
        if (strcmp(mark_of(&p->sides[i]), "alike") == 0) {
            pn_str_addf(
                &str, "%s %s", count > 0 ? "," : "Alike, or not said of both:",
                cli_words(cli, p->guide->features[p->sides[i].feature].id));
            count++;
        }
    }
    if (count > 0) {
        pn_str_addf(&str, ".");
        putchar('\n');
        cli_print_paragraph(cli, 0, buf);
    }
}

static void print_pair(const cli_ctx *cli, const pair *p) {
    const pn_sheet *a = p->sheets[0];
    const pn_sheet *b = p->sheets[1];
    printf("%s (%s) beside %s (%s)\n", a->english,
           pn_guide_status_name(a->status), b->english,
           pn_guide_status_name(b->status));
    if (p->look != NULL) {
        cli_print_paragraph(cli, 0, p->look->words);
    }
    if (p->look != NULL && p->look->inseparable) {
        cli_print_paragraph(cli, 0,
                            "NOTHING that can be seen in the field tells the "
                            "two surely apart. Leave both.");
    }
    for (size_t i = 0; i < p->count; i++) {
        if (strcmp(mark_of(&p->sides[i]), "alike") != 0) {
            print_side(cli, p, &p->sides[i]);
        }
    }
    print_alike(cli, p);
    cli_print_check_caution(cli);
}

/* ---- for a machine ---------------------------------------------------------
 */

static json_t *pair_json(const cli_ctx *cli, const pair *p) {
    json_t *list = json_array();
    for (size_t i = 0; i < p->count; i++) {
        const aspect *s = &p->sides[i];
        json_array_append_new(
            list,
            json_pack("{s:s, s:s, s:o, s:s, s:s, s:s}", "feature",
                      p->guide->features[s->feature].id, "mark", mark_of(s),
                      "overlap", cli_json_number(s->overlap, 4), "effort",
                      pn_effort_name(p->guide->features[s->feature].effort),
                      "a", side_text(cli, p, 0, s->feature), "b",
                      side_text(cli, p, 1, s->feature)));
    }
    return json_pack(
        "{s:s, s:s, s:s, s:b, s:o, s:s, s:s}", "a", p->sheets[0]->id, "b",
        p->sheets[1]->id, "words", p->look != NULL ? p->look->words : "",
        "inseparable", p->look != NULL && p->look->inseparable, "features",
        list, "caution", cli_check_caution, "eaten", cli_eaten_something);
}

static int compare(const cli_ctx *cli, const cli_args *args,
                   const pn_guide *guide) {
    size_t at[2] = {0, 0};
    int code = CLI_OK;
    for (int i = 0; code == CLI_OK && i < 2; i++) {
        code = cli_find_sheet(guide, args->positional[i], &at[i]);
    }
    if (code != CLI_OK) {
        return code;
    }
    pair p = {.guide = guide,
              .sheets = {&guide->sheets[at[0]], &guide->sheets[at[1]]}};
    p.look = lookalike_of(guide, p.sheets[0], p.sheets[1]);
    p.look =
        p.look != NULL ? p.look : lookalike_of(guide, p.sheets[1], p.sheets[0]);
    p.sides =
        pn_arena_array(cli->arena, guide->feature_count + 1, sizeof *p.sides);
    if (p.sides == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    find_sides(&p);
    if (cli->json) {
        return cli_print_json(cli, pair_json(cli, &p));
    }
    print_pair(cli, &p);
    return CLI_OK;
}

int cmd_guide_compare(cli_ctx *cli, const cli_args *args) {
    pn_sheets *sheets = NULL;
    int code = cli_load_guide(cli, args, &sheets);
    if (code == CLI_OK) {
        code = compare(cli, args, pn_sheets_guide(sheets));
    }
    pn_sheets_free(sheets);
    return code;
}
