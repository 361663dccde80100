#include "cli.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "pannage/sheets.h"

/* ---- one sheet
 * ------------------------------------------------------------------ */

static void print_headed(const cli_ctx *cli, const char *head,
                         const char *text) {
    if (text != NULL && text[0] != '\0') {
        printf("\n%s%s%s\n", cli->colour ? "\033[1m" : "", head,
               cli->colour ? "\033[0m" : "");
        cli_print_paragraph(cli, 2, text);
    }
}

static const char *join_names(const cli_ctx *cli, const pn_guide_names *names) {
    char buf[600];
    pn_str str = pn_str_in(buf, sizeof buf);
    for (size_t i = 0; i < names->count; i++) {
        pn_str_addf(&str, "%s%s", i > 0 ? ", " : "",
                    cli_words(cli, names->at[i]));
    }
    return cli_textf(cli, "%s", buf);
}

static void print_list(const cli_ctx *cli, const char *head,
                       const pn_guide_list *list) {
    if (list->count == 0) {
        return;
    }
    printf("\n%s%s%s\n", cli->colour ? "\033[1m" : "", head,
           cli->colour ? "\033[0m" : "");
    for (size_t i = 0; i < list->count; i++) {
        const pn_guide_words *w = &list->at[i];
        const char *line = cli_textf(
            cli, "%s%s%s%s%s%s%s", cli_words(cli, w->about),
            w->stage[0] != '\0' ? ", " : "", w->stage,
            w->what[0] != '\0' ? ": " : "", w->what,
            w->words[0] != '\0' ? (w->what[0] != '\0' ? ". " : ": ") : "",
            w->words);
        cli_print_paragraph(cli, 2, line);
    }
}

static bool is_must_see(const pn_sheet *sheet, size_t feature) {
    for (size_t i = 0; i < sheet->must_see_count; i++) {
        if (sheet->must_see[i] == feature) {
            return true;
        }
    }
    return false;
}

static int print_traits(const cli_ctx *cli, const pn_guide *guide,
                        const pn_sheet *sheet) {
    static const pn_paper_column columns[] = {{"", PN_PAPER_LEFT},
                                              {"feature", PN_PAPER_LEFT},
                                              {"how", PN_PAPER_LEFT},
                                              {"shows", PN_PAPER_LEFT}};
    enum { COLUMNS = sizeof columns / sizeof *columns };
    const char **cells = pn_arena_array(
        cli->arena, sheet->trait_count * COLUMNS + 1, sizeof *cells);
    if (cells == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    for (size_t t = 0; t < sheet->trait_count; t++) {
        const pn_trait *trait = &sheet->traits[t];
        const pn_feature *f = &guide->features[trait->feature];
        const char *row[COLUMNS] = {
            is_must_see(sheet, trait->feature) ? "*" : "",
            cli_words(cli, f->id), pn_effort_name(f->effort),
            cli_trait_text(cli, guide, trait)};
        memcpy(&cells[t * COLUMNS], row, sizeof row);
    }
    putchar('\n');
    return cli_print_table(cli, columns, COLUMNS, cells, sheet->trait_count);
}

static void print_lookalikes(const cli_ctx *cli, const pn_guide *guide,
                             const pn_sheet *sheet) {
    if (sheet->lookalike_count == 0) {
        return;
    }
    printf("\n%sNot to be taken for%s\n", cli->colour ? "\033[1m" : "",
           cli->colour ? "\033[0m" : "");
    for (size_t i = 0; i < sheet->lookalike_count; i++) {
        const pn_lookalike *look = &sheet->lookalikes[i];
        const pn_sheet *other = &guide->sheets[look->sheet];
        cli_print_paragraph(
            cli, 2,
            cli_textf(cli, "%s (%s, %s): %s", other->english, other->scientific,
                      pn_guide_status_name(other->status), look->words));
    }
}

static void print_season(const cli_ctx *cli, const pn_sheet *sheet) {
    const char *peak = sheet->peak_from > 0
                           ? cli_textf(cli, ", most in %s to %s",
                                       pn_month_name(sheet->peak_from),
                                       pn_month_name(sheet->peak_to))
                           : "";
    print_headed(cli, "When and where",
                 cli_textf(cli, "%s to %s%s; %s%s%s",
                           pn_month_name(sheet->season_from),
                           pn_month_name(sheet->season_to), peak,
                           join_names(cli, &sheet->habitats),
                           sheet->hosts.count > 0 ? "; with " : "",
                           join_names(cli, &sheet->hosts)));
}

static int print_sheet(const cli_ctx *cli, const pn_guide *guide,
                       const pn_sheet *sheet) {
    printf("%s%s%s: %s %s; %s; %s%s\n", cli->colour ? "\033[1m" : "",
           sheet->english, cli->colour ? "\033[0m" : "", sheet->scientific,
           sheet->author, sheet->group, pn_guide_status_name(sheet->status),
           sheet->expert_only ? "; for experts only" : "");
    cli_print_paragraph(cli, 0, sheet->about);
    print_headed(cli, "What it does", sheet->harm);
    print_lookalikes(cli, guide, sheet);
    print_list(cli, "Cautions", &sheet->cautions);
    print_season(cli, sheet);
    int code = print_traits(cli, guide, sheet);
    if (sheet->must_see_count > 0) {
        printf("* must be seen before the check says more than \"open\"\n");
    }
    print_list(cli, "Stages", &sheet->stages);
    print_list(cli, "Parts", &sheet->parts);
    print_headed(cli, "Taking", sheet->take);
    print_headed(cli, "Law", join_names(cli, &sheet->law));
    print_headed(cli, "Keeping", sheet->keeps);
    printf("\nSource: %s\n", sheet->source);
    cli_print_check_caution(cli);
    return code;
}

static json_t *names_json(const pn_guide_names *names) {
    json_t *list = json_array();
    for (size_t i = 0; i < names->count; i++) {
        json_array_append_new(list, json_string(names->at[i]));
    }
    return list;
}

static json_t *trait_json(const pn_guide *guide, const pn_trait *trait) {
    const pn_feature *f = &guide->features[trait->feature];
    json_t *object = json_pack("{s:s, s:s, s:s}", "feature", f->id, "effort",
                               pn_effort_name(f->effort), "source",
                               trait->source != NULL ? trait->source : "");
    if (f->is_range) {
        json_object_set_new(object, "low", cli_json_number(trait->low, 4));
        json_object_set_new(object, "high", cli_json_number(trait->high, 4));
        json_object_set_new(object, "unit", json_string(f->unit));
        return object;
    }
    for (int stage = 0; stage < PN_GUIDE_STAGE_COUNT; stage++) {
        json_t *shares = json_object();
        for (size_t s = 0; s < f->state_count; s++) {
            double share = trait->share[stage * PN_GUIDE_STATES_MAX + (int)s];
            if (share > 0.0) {
                json_object_set_new(shares, f->states[s],
                                    cli_json_number(share, 4));
            }
        }
        json_object_set_new(object, pn_guide_stage_name((pn_guide_stage)stage),
                            shares);
    }
    return object;
}

static json_t *lookalike_json(const pn_guide *guide, const pn_lookalike *look) {
    json_t *deciding = json_array();
    for (size_t i = 0; i < look->deciding_count; i++) {
        json_array_append_new(
            deciding, json_string(guide->features[look->deciding[i]].id));
    }
    return json_pack("{s:s, s:s, s:o, s:s}", "kind",
                     guide->sheets[look->sheet].id, "status",
                     pn_guide_status_name(guide->sheets[look->sheet].status),
                     "deciding", deciding, "words", look->words);
}

static json_t *words_json(const pn_guide_list *list) {
    json_t *all = json_array();
    for (size_t i = 0; i < list->count; i++) {
        const pn_guide_words *w = &list->at[i];
        json_array_append_new(all, json_pack("{s:s, s:s, s:s, s:s}", "about",
                                             w->about, "what", w->what, "stage",
                                             w->stage, "words", w->words));
    }
    return all;
}

static json_t *sheet_json(const pn_guide *guide, const pn_sheet *sheet) {
    json_t *traits = json_array();
    json_t *looks = json_array();
    json_t *must = json_array();
    for (size_t t = 0; t < sheet->trait_count; t++) {
        json_array_append_new(traits, trait_json(guide, &sheet->traits[t]));
    }
    for (size_t i = 0; i < sheet->lookalike_count; i++) {
        json_array_append_new(looks,
                              lookalike_json(guide, &sheet->lookalikes[i]));
    }
    for (size_t i = 0; i < sheet->must_see_count; i++) {
        json_array_append_new(
            must, json_string(guide->features[sheet->must_see[i]].id));
    }
    return json_pack(
        "{s:s, s:s, s:s, s:s, s:s, s:s, s:b, s:s, s:s, s:s, s:[i,i], s:o, "
        "s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:s, s:s}",
        "id", sheet->id, "english", sheet->english, "scientific",
        sheet->scientific, "author", sheet->author, "group", sheet->group,
        "status", pn_guide_status_name(sheet->status), "expert_only",
        (int)sheet->expert_only, "about", sheet->about, "harm", sheet->harm,
        "take", sheet->take, "season", sheet->season_from, sheet->season_to,
        "habitats", names_json(&sheet->habitats), "hosts",
        names_json(&sheet->hosts), "traits", traits, "must_see", must,
        "lookalikes", looks, "stages", words_json(&sheet->stages), "parts",
        words_json(&sheet->parts), "cautions", words_json(&sheet->cautions),
        "law", names_json(&sheet->law), "source", sheet->source, "caution",
        cli_check_caution);
}

int cmd_guide(cli_ctx *cli, const cli_args *args) {
    pn_sheets *sheets = NULL;
    size_t at = 0;
    int code = cli_load_guide(cli, args, &sheets);
    if (code != CLI_OK) {
        return code;
    }
    const pn_guide *guide = pn_sheets_guide(sheets);
    code = cli_find_sheet(guide, args->positional[0], &at);
    if (code == CLI_OK) {
        code = cli->json
                   ? cli_print_json(cli, sheet_json(guide, &guide->sheets[at]))
                   : print_sheet(cli, guide, &guide->sheets[at]);
    }
    pn_sheets_free(sheets);
    return code;
}

/* ---- list
 * -------------------------------------------------------------------- */

static int print_list_of_sheets(const cli_ctx *cli, const pn_guide *guide) {
    static const pn_paper_column columns[] = {{"id", PN_PAPER_LEFT},
                                              {"name", PN_PAPER_LEFT},
                                              {"scientific", PN_PAPER_LEFT},
                                              {"status", PN_PAPER_LEFT},
                                              {"group", PN_PAPER_LEFT}};
    enum { COLUMNS = sizeof columns / sizeof *columns };
    const char **cells =
        pn_arena_array(cli->arena, guide->sheet_count * COLUMNS, sizeof *cells);
    if (cells == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    for (size_t k = 0; k < guide->sheet_count; k++) {
        const pn_sheet *s = &guide->sheets[k];
        const char *row[COLUMNS] = {s->id, s->english, s->scientific,
                                    pn_guide_status_name(s->status), s->group};
        memcpy(&cells[k * COLUMNS], row, sizeof row);
    }
    return cli_print_table(cli, columns, COLUMNS, cells, guide->sheet_count);
}

int cmd_guide_list(cli_ctx *cli, const cli_args *args) {
    pn_sheets *sheets = NULL;
    int code = cli_load_guide(cli, args, &sheets);
    if (code != CLI_OK) {
        return code;
    }
    const pn_guide *guide = pn_sheets_guide(sheets);
    if (cli->json) {
        json_t *list = json_array();
        for (size_t k = 0; k < guide->sheet_count; k++) {
            const pn_sheet *s = &guide->sheets[k];
            json_array_append_new(
                list,
                json_pack("{s:s, s:s, s:s, s:s, s:s, s:b}", "id", s->id,
                          "english", s->english, "scientific", s->scientific,
                          "status", pn_guide_status_name(s->status), "group",
                          s->group, "expert_only", (int)s->expert_only));
        }
        code = cli_print_json(cli, json_pack("{s:o, s:s}", "sheets", list,
                                             "caution", cli_check_caution));
    } else {
        code = print_list_of_sheets(cli, guide);
        cli_print_check_caution(cli);
    }
    pn_sheets_free(sheets);
    return code;
}

/* ---- side by side
 * -------------------------------------------------------------- */

typedef struct side {
    size_t feature;
    double overlap;
} side;

static int apart_first(const void *a, const void *b) {
    const side *x = a;
    const side *y = b;
    if (x->overlap < y->overlap || x->overlap > y->overlap) {
        return x->overlap < y->overlap ? -1 : 1;
    }
    return (x->feature > y->feature) - (x->feature < y->feature);
}

static size_t sides_of(const pn_guide *guide, const pn_sheet *a,
                       const pn_sheet *b, side *out) {
    size_t count = 0;
    for (size_t f = 0; f < guide->feature_count; f++) {
        if (pn_sheet_trait(a, f) != NULL || pn_sheet_trait(b, f) != NULL) {
            out[count++] = (side){f, pn_guide_overlap(guide, a, b, f)};
        }
    }
    qsort(out, count, sizeof *out, apart_first);
    return count;
}

static const char *side_text(const cli_ctx *cli, const pn_guide *guide,
                             const pn_sheet *sheet, size_t feature) {
    const pn_trait *trait = pn_sheet_trait(sheet, feature);
    if (!pn_sheet_applies(guide, sheet, feature)) {
        return "has none";
    }
    return trait != NULL ? cli_trait_text(cli, guide, trait) : "not said";
}

static int print_sides(const cli_ctx *cli, const pn_guide *guide,
                       const pn_sheet *a, const pn_sheet *b, const side *sides,
                       size_t count) {
    for (size_t i = 0; i < count; i++) {
        const pn_feature *f = &guide->features[sides[i].feature];
        const char *mark = sides[i].overlap <= 0.06  ? "decides"
                           : sides[i].overlap <= 0.5 ? "helps"
                                                     : "alike";
        printf("%s%s%s (%s): %s\n", cli->colour ? "\033[1m" : "",
               cli_words(cli, f->id), cli->colour ? "\033[0m" : "",
               pn_effort_name(f->effort), mark);
        cli_print_paragraph(
            cli, 2,
            cli_textf(cli, "%s: %s", a->english,
                      side_text(cli, guide, a, sides[i].feature)));
        cli_print_paragraph(
            cli, 2,
            cli_textf(cli, "%s: %s", b->english,
                      side_text(cli, guide, b, sides[i].feature)));
    }
    return CLI_OK;
}

static int sides_json(const cli_ctx *cli, const pn_guide *guide,
                      const pn_sheet *a, const pn_sheet *b, const side *sides,
                      size_t count) {
    json_t *list = json_array();
    for (size_t i = 0; i < count; i++) {
        size_t f = sides[i].feature;
        json_array_append_new(list,
                              json_pack("{s:s, s:o, s:s, s:s}", "feature",
                                        guide->features[f].id, "overlap",
                                        cli_json_number(sides[i].overlap, 4),
                                        "a", side_text(cli, guide, a, f), "b",
                                        side_text(cli, guide, b, f)));
    }
    return cli_print_json(cli, json_pack("{s:s, s:s, s:o, s:s}", "a", a->id,
                                         "b", b->id, "features", list,
                                         "caution", cli_check_caution));
}

int cmd_guide_compare(cli_ctx *cli, const cli_args *args) {
    pn_sheets *sheets = NULL;
    size_t a = 0;
    size_t b = 0;
    int code = cli_load_guide(cli, args, &sheets);
    if (code != CLI_OK) {
        return code;
    }
    const pn_guide *guide = pn_sheets_guide(sheets);
    code = cli_find_sheet(guide, args->positional[0], &a);
    if (code == CLI_OK) {
        code = cli_find_sheet(guide, args->positional[1], &b);
    }
    side *sides =
        pn_arena_array(cli->arena, guide->feature_count + 1, sizeof *sides);
    if (code == CLI_OK && sides != NULL) {
        const pn_sheet *x = &guide->sheets[a];
        const pn_sheet *y = &guide->sheets[b];
        size_t count = sides_of(guide, x, y, sides);
        if (cli->json) {
            code = sides_json(cli, guide, x, y, sides, count);
        } else {
            printf("%s (%s) beside %s (%s): what tells them apart comes "
                   "first\n\n",
                   x->english, pn_guide_status_name(x->status), y->english,
                   pn_guide_status_name(y->status));
            code = print_sides(cli, guide, x, y, sides, count);
            cli_print_check_caution(cli);
        }
    }
    pn_sheets_free(sheets);
    return code;
}

/* ---- features, lint
 * ------------------------------------------------------------- */

int cmd_guide_features(cli_ctx *cli, const cli_args *args) {
    pn_sheets *sheets = NULL;
    int code = cli_load_guide(cli, args, &sheets);
    if (code != CLI_OK) {
        return code;
    }
    const pn_guide *guide = pn_sheets_guide(sheets);
    json_t *list = json_array();
    for (size_t f = 0; f < guide->feature_count; f++) {
        const pn_feature *feature = &guide->features[f];
        json_t *states = json_array();
        char buf[500];
        pn_str str = pn_str_in(buf, sizeof buf);
        for (size_t s = 0; s < feature->state_count; s++) {
            json_array_append_new(states, json_string(feature->states[s]));
            pn_str_addf(&str, "%s%s", s > 0 ? ", " : "", feature->states[s]);
        }
        json_array_append_new(
            list, json_pack("{s:s, s:s, s:s, s:o, s:s}", "feature", feature->id,
                            "effort", pn_effort_name(feature->effort), "ask",
                            feature->ask, "states", states, "unit",
                            feature->is_range ? feature->unit : ""));
        if (!cli->json) {
            printf("%s (%s): %s\n", feature->id,
                   pn_effort_name(feature->effort), feature->ask);
            cli_print_paragraph(
                cli, 2,
                feature->is_range
                    ? cli_textf(cli, "a number, in %s", feature->unit)
                    : cli_textf(cli, "%s", buf));
        }
    }
    if (cli->json) {
        code = cli_print_json(cli, json_pack("{s:o}", "features", list));
    } else {
        json_decref(list);
    }
    pn_sheets_free(sheets);
    return code;
}

int cmd_guide_lint(cli_ctx *cli, const cli_args *args) {
    pn_sheets *sheets = NULL;
    int code = cli_load_guide(cli, args, &sheets);
    if (code != CLI_OK) {
        return code;
    }
    const pn_guide *guide = pn_sheets_guide(sheets);
    size_t by_status[PN_GUIDE_STATUS_COUNT] = {0};
    for (size_t k = 0; k < guide->sheet_count; k++) {
        by_status[guide->sheets[k].status]++;
    }
    if (cli->json) {
        json_t *object = json_pack("{s:I, s:b}", "sheets",
                                   (json_int_t)guide->sheet_count, "sound", 1);
        for (int s = 0; s < PN_GUIDE_STATUS_COUNT; s++) {
            json_object_set_new(object,
                                pn_guide_status_name((pn_guide_status)s),
                                json_integer((json_int_t)by_status[s]));
        }
        code = cli_print_json(cli, object);
    } else {
        printf("%zu sheets hold:", guide->sheet_count);
        for (int s = 0; s < PN_GUIDE_STATUS_COUNT; s++) {
            printf(" %zu %s%s", by_status[s],
                   pn_guide_status_name((pn_guide_status)s),
                   s + 1 < PN_GUIDE_STATUS_COUNT ? "," : ".\n");
        }
    }
    pn_sheets_free(sheets);
    return code;
}
