/* What a check says: the dangers not ruled out first, always. */
#include "cli.h"

#include <math.h>
#include <string.h>

#include "check_cli.h"

enum { SUSPECTS_SHOWN = 5, OPEN_SHOWN = 12, DANGERS_SHOWN = 8, NEXT_SHOWN = 3 };

const char *check_answer_text(const cli_ctx *cli, const pn_guide *guide,
                              const pn_answer *answer) {
    const pn_feature *f = &guide->features[answer->feature];
    const char *mark = answer->certainty == PN_PROBABLE ? "?" : "";
    if (answer->certainty == PN_UNSURE) {
        return "unsure";
    }
    return f->is_range ? cli_textf(cli, "%g%s", answer->value, mark)
                       : cli_textf(cli, "%s%s", f->states[answer->state], mark);
}

/* The kind the gate is tried on: the one in mind, else the likeliest that is
 * gathered at all. */
size_t check_kind_in_mind(const check_view *view) {
    if (view->focus != PN_GUIDE_NONE) {
        return view->focus;
    }
    for (size_t i = 0; i < view->suspect_count; i++) {
        size_t k = view->suspects[i].sheet;
        if (k != PN_GUIDE_NONE &&
            (view->guide->sheets[k].status == PN_GUIDE_GATHERED ||
             view->guide->sheets[k].status == PN_GUIDE_CAUTION)) {
            return k;
        }
    }
    return PN_GUIDE_NONE;
}

int check_look(const cli_ctx *cli, const pn_check_session *session,
               const pn_guide *guide, size_t focus, check_view *out) {
    *out = (check_view){.session = session, .guide = guide, .focus = focus};
    out->suspects = pn_arena_array(cli->arena, guide->sheet_count + 1,
                                   sizeof *out->suspects);
    out->open =
        pn_arena_array(cli->arena, guide->sheet_count + 64, sizeof *out->open);
    if (out->suspects == NULL || out->open == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    out->suspect_count = pn_check_suspects(session, out->suspects);
    out->kind = check_kind_in_mind(out);
    out->open_count =
        pn_check_gate(session, out->kind, out->open, guide->sheet_count + 64);
    out->danger = pn_check_danger(session);
    out->next_count = pn_check_next(session, out->kind, out->next,
                                    sizeof out->next / sizeof *out->next);
    return CLI_OK;
}

/* ---- dangers
 * ------------------------------------------------------------------ */

static bool still_possible(const check_view *view, const pn_suspect *suspect) {
    return suspect->sheet != PN_GUIDE_NONE &&
           pn_guide_is_danger(view->guide->sheets[suspect->sheet].status) &&
           suspect->contradicted < 2;
}

size_t check_count_dangers(const check_view *view) {
    size_t count = 0;
    for (size_t i = 0; i < view->suspect_count; i++) {
        count += still_possible(view, &view->suspects[i]);
    }
    return count;
}

void check_print_dangers(const cli_ctx *cli, const check_view *view,
                         size_t most) {
    char buf[1600];
    pn_str str = pn_str_in(buf, sizeof buf);
    size_t count = check_count_dangers(view);
    size_t shown = 0;
    pn_str_addf(&str, "NOT RULED OUT: %zu dangerous kind%s", count,
                count == 1 ? "" : "s");
    for (size_t i = 0; i < view->suspect_count && shown < most; i++) {
        const pn_suspect *s = &view->suspects[i];
        if (still_possible(view, s)) {
            pn_str_addf(&str, "%s%s%s", shown == 0 ? ": " : ", ",
                        view->guide->sheets[s->sheet].english,
                        view->guide->sheets[s->sheet].status == PN_GUIDE_DEADLY
                            ? " (deadly)"
                            : "");
            shown++;
        }
    }
    if (count > shown) {
        pn_str_addf(&str, " and %zu more", count - shown);
    }
    pn_str_addf(&str, ". Something that is in no guide: always possible.");
    cli_print_paragraph(cli, 0, cli_plain(cli, buf));
}

/* ---- the gate
 * -------------------------------------------------------------------- */

static const char *open_text(const cli_ctx *cli, const check_view *view,
                             const pn_gate_open *open) {
    const pn_guide *guide = view->guide;
    switch (open->reason) {
    case PN_GATE_NOT_GATHERED:
        return "this is no kind to gather";
    case PN_GATE_EXPERT_ONLY:
        return "this kind is for experts only: leave it, or show it to one";
    case PN_GATE_INSEPARABLE:
        return cli_textf(cli,
                         "nothing that can be seen in the field tells it "
                         "surely from %s: leave it",
                         guide->sheets[open->sheet].english);
    case PN_GATE_DISAGREES:
        return cli_textf(cli, "what you saw speaks against it: %s",
                         cli_words(cli, guide->features[open->feature].id));
    case PN_GATE_MUST_SEE:
        return cli_textf(cli, "still to be seen, and surely: %s (%s)",
                         cli_words(cli, guide->features[open->feature].id),
                         pn_effort_name(guide->features[open->feature].effort));
    case PN_GATE_NOT_TYPICAL:
        return "too many things about it are unusual at once";
    case PN_GATE_NOT_RULED_OUT:
        return cli_textf(cli, "not ruled out: %s",
                         guide->sheets[open->sheet].english);
    case PN_GATE_DANGER_LEFT:
        return cli_textf(cli, "danger left: %.1f %%", 100.0 * view->danger);
    default:
        return "open";
    }
}

static void print_gate(const cli_ctx *cli, const check_view *view) {
    if (view->kind == PN_GUIDE_NONE) {
        printf("No kind that is gathered fits. Leave it.\n");
        return;
    }
    const pn_sheet *sheet = &view->guide->sheets[view->kind];
    if (view->open_count == 0) {
        cli_print_paragraph(
            cli, 0,
            cli_textf(cli,
                      "Consistent with %s: no listed check fails. That is all "
                      "this can say; it is not permission to eat. The look "
                      "of every single one, a competent person on the spot and "
                      "the cautions of its sheet ('pannage guide %s') come "
                      "first.",
                      sheet->english, sheet->id));
        return;
    }
    printf("Leave it. As %s it is open in %zu way%s:\n", sheet->english,
           view->open_count, view->open_count == 1 ? "" : "s");
    for (size_t i = 0; i < view->open_count && i < OPEN_SHOWN; i++) {
        cli_print_paragraph(cli, 2, open_text(cli, view, &view->open[i]));
    }
    if (view->open_count > OPEN_SHOWN) {
        printf("  and %zu more\n", view->open_count - OPEN_SHOWN);
    }
}

static void print_suspects(const cli_ctx *cli, const check_view *view) {
    printf("Likeliest so far (of what the guide knows):\n");
    for (size_t i = 0; i < view->suspect_count && i < SUSPECTS_SHOWN; i++) {
        const pn_suspect *s = &view->suspects[i];
        const char *name = s->sheet == PN_GUIDE_NONE
                               ? "something not in the guide"
                               : view->guide->sheets[s->sheet].english;
        const char *status =
            s->sheet == PN_GUIDE_NONE
                ? "counts as dangerous"
                : pn_guide_status_name(view->guide->sheets[s->sheet].status);
        printf("  %5.1f %%  %s (%s)\n", 100.0 * s->posterior, name, status);
    }
    (void)cli;
}

void check_print_report(const cli_ctx *cli, const check_view *view) {
    check_print_dangers(cli, view, DANGERS_SHOWN);
    putchar('\n');
    print_gate(cli, view);
    putchar('\n');
    print_suspects(cli, view);
    if (view->next_count > 0) {
        printf("\nWhat to look at next:\n");
    }
    for (size_t i = 0; i < view->next_count && i < NEXT_SHOWN; i++) {
        const pn_feature *f = &view->guide->features[view->next[i].feature];
        cli_print_paragraph(cli, 2,
                            cli_textf(cli, "%s (%s): %s", cli_words(cli, f->id),
                                      pn_effort_name(f->effort), f->ask));
    }
    cli_print_check_caution(cli);
}

/* ---- JSON
 * ------------------------------------------------------------------------ */

static json_t *open_json(const cli_ctx *cli, const check_view *view) {
    json_t *list = json_array();
    for (size_t i = 0; i < view->open_count; i++) {
        const pn_gate_open *open = &view->open[i];
        json_t *object =
            json_pack("{s:s, s:s}", "reason", pn_gate_reason_name(open->reason),
                      "words", open_text(cli, view, open));
        if (open->feature != PN_GUIDE_NONE) {
            json_object_set_new(
                object, "feature",
                json_string(view->guide->features[open->feature].id));
        }
        if (open->sheet != PN_GUIDE_NONE) {
            json_object_set_new(
                object, "kind",
                json_string(view->guide->sheets[open->sheet].id));
        }
        json_array_append_new(list, object);
    }
    return list;
}

static json_t *suspects_json(const check_view *view) {
    json_t *list = json_array();
    for (size_t i = 0; i < view->suspect_count; i++) {
        const pn_suspect *s = &view->suspects[i];
        bool known = s->sheet != PN_GUIDE_NONE;
        json_array_append_new(
            list,
            json_pack("{s:s?, s:s, s:o, s:i}", "kind",
                      known ? view->guide->sheets[s->sheet].id : NULL, "status",
                      known ? pn_guide_status_name(
                                  view->guide->sheets[s->sheet].status)
                            : "not in the guide",
                      "posterior", cli_json_number(s->posterior, 6),
                      "contradicted", s->contradicted));
    }
    return list;
}

static json_t *answers_json(const cli_ctx *cli, const check_view *view) {
    size_t count = 0;
    const pn_answer *answers = pn_check_answers(view->session, &count);
    json_t *object = json_object();
    for (size_t i = 0; i < count; i++) {
        json_object_set_new(
            object, view->guide->features[answers[i].feature].id,
            json_string(check_answer_text(cli, view->guide, &answers[i])));
    }
    return object;
}

int check_print_json(const cli_ctx *cli, const check_view *view) {
    json_t *dangers = json_array();
    json_t *next = json_array();
    for (size_t i = 0; i < view->suspect_count; i++) {
        if (still_possible(view, &view->suspects[i])) {
            json_array_append_new(
                dangers,
                json_string(view->guide->sheets[view->suspects[i].sheet].id));
        }
    }
    for (size_t i = 0; i < view->next_count; i++) {
        json_array_append_new(
            next,
            json_pack("{s:s, s:s}", "feature",
                      view->guide->features[view->next[i].feature].id, "ask",
                      view->guide->features[view->next[i].feature].ask));
    }
    return cli_print_json(
        cli, json_pack("{s:s?, s:b, s:o, s:o, s:o, s:o, s:o, s:o, s:s, s:s}",
                       "kind_in_mind",
                       view->kind != PN_GUIDE_NONE
                           ? view->guide->sheets[view->kind].id
                           : NULL,
                       "no_listed_check_fails", view->open_count == 0, "open",
                       open_json(cli, view), "not_ruled_out", dangers, "danger",
                       cli_json_number(view->danger, 6), "suspects",
                       suspects_json(view), "answers", answers_json(cli, view),
                       "next", next, "caution", cli_check_caution, "eaten",
                       cli_eaten_something));
}
