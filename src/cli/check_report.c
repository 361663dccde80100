/* What a check says to a person: the dangers not ruled out first, always. */
#include <string.h>

#include "check_cli.h"

enum { SUSPECTS_SHOWN = 5, OPEN_SHOWN = 12, DANGERS_SHOWN = 8, NEXT_SHOWN = 3 };

void check_print_dangers(const cli_ctx *cli, const check_view *view,
                         size_t most) {
    char buf[1600];
    pn_str str = pn_str_in(buf, sizeof buf);
    size_t unopposed = 0;
    if (view->danger_count == 0) {
        cli_print_paragraph(cli, 0,
                            "NOT RULED OUT: something that is in no guide, "
                            "always. Of the guide's dangerous kinds: none.");
        return;
    }
    for (size_t i = 0; i < view->danger_count; i++) {
        unopposed += view->dangers[i].against_count == 0;
    }
    pn_str_addf(&str, "NOT RULED OUT: %zu dangerous kind%s", view->danger_count,
                view->danger_count == 1 ? "" : "s");
    if (unopposed > 0 && unopposed < view->danger_count) {
        pn_str_addf(&str, ", nothing yet speaks against %zu of them",
                    unopposed);
    }
    for (size_t i = 0; i < view->danger_count && i < most; i++) {
        const pn_sheet *s = &view->guide->sheets[view->dangers[i].sheet];
        pn_str_addf(&str, "%s%s%s", i == 0 ? ": " : ", ", s->english,
                    s->status == PN_GUIDE_DEADLY ? " (deadly)" : "");
    }
    if (view->danger_count > most) {
        pn_str_addf(&str, " and %zu more", view->danger_count - most);
    }
    pn_str_addf(&str, ". Something that is in no guide: always possible.");
    cli_print_paragraph(cli, 0, cli_plain(cli, buf));
}

/* ---- the gate --------------------------------------------------------------
 */

static void print_thin(const cli_ctx *cli, const check_view *view) {
    char buf[600];
    pn_str str = pn_str_in(buf, sizeof buf);
    if (view->thin_count == 0) {
        return;
    }
    pn_str_addf(&str, "Ruled out by one thing only, and long odds:");
    for (size_t i = 0; i < view->thin_count && i < DANGERS_SHOWN; i++) {
        pn_str_addf(&str, "%s %s", i > 0 ? "," : "",
                    view->guide->sheets[view->thin[i]].english);
    }
    if (view->thin_count > DANGERS_SHOWN) {
        pn_str_addf(&str, " and %zu more", view->thin_count - DANGERS_SHOWN);
    }
    pn_str_addf(&str, ". Look once more.");
    cli_print_paragraph(cli, 0, cli_plain(cli, buf));
}

static void print_open_gate(const cli_ctx *cli, const check_view *view) {
    const pn_sheet *sheet = &view->guide->sheets[view->kind];
    cli_print_paragraph(
        cli, 0,
        cli_textf(cli,
                  "Consistent with %s: no listed check fails. That is all this "
                  "can say; it is not permission to eat. Look at every single "
                  "one, not at the best of the basket; a competent person on "
                  "the spot and the cautions of its sheet ('pannage guide %s') "
                  "come first.",
                  sheet->english, sheet->id));
    print_thin(cli, view);
}

static bool is_inseparable(const check_view *view, size_t sheet) {
    for (size_t i = 0; i < view->open_count; i++) {
        if (view->open[i].reason == PN_GATE_INSEPARABLE &&
            view->open[i].sheet == sheet) {
            return true;
        }
    }
    return false;
}

/* The sheet's sentences about a stage, or about all of them. */
static void print_words_of(const cli_ctx *cli, const pn_guide_list *list,
                           const char *stage) {
    for (size_t i = 0; i < list->count; i++) {
        const pn_guide_words *w = &list->at[i];
        if (w->stage[0] == '\0' || strcmp(w->stage, stage) == 0) {
            cli_print_paragraph(
                cli, 2,
                cli_textf(cli, "%s%s%s: %s", cli_words(cli, w->about),
                          w->what[0] != '\0' ? ", " : "", w->what, w->words));
        }
    }
}

/* How ripe it is, what the sheet says of that, and its cautions. */
static void print_stage(const cli_ctx *cli, const check_view *view) {
    const pn_sheet *sheet = &view->guide->sheets[view->kind];
    double share[PN_GUIDE_STAGE_COUNT];
    size_t best = 0;
    pn_check_stages(view->session, view->kind, share);
    for (size_t s = 1; s < PN_GUIDE_STAGE_COUNT; s++) {
        best = share[s] > share[best] ? s : best;
    }
    const char *stage = pn_guide_stage_name((pn_guide_stage)best);
    printf("\nIts stage is most likely %s (%.0f %%). Its sheet says:\n", stage,
           100.0 * share[best]);
    print_words_of(cli, &sheet->stages, stage);
    print_words_of(cli, &sheet->parts, stage);
    printf("Cautions:\n");
    print_words_of(cli, &sheet->cautions, stage);
}

static void print_gate(const cli_ctx *cli, const check_view *view) {
    if (view->kind == PN_GUIDE_NONE) {
        printf("No kind that is gathered fits. Leave it.\n");
        return;
    }
    if (view->open_count == 0) {
        print_open_gate(cli, view);
        print_stage(cli, view);
        return;
    }
    printf("Leave it. As %s it is open in %zu way%s:\n",
           view->guide->sheets[view->kind].english, view->open_count,
           view->open_count == 1 ? "" : "s");
    size_t shown = 0;
    for (size_t i = 0; i < view->open_count; i++) {
        if (view->open[i].reason != PN_GATE_NOT_RULED_OUT) {
            cli_print_paragraph(cli, 2,
                                check_open_text(cli, view, &view->open[i]));
            shown++;
        }
    }
    for (size_t i = 0; i < view->danger_count && shown < OPEN_SHOWN; i++) {
        pn_gate_open open = {PN_GATE_NOT_RULED_OUT, PN_GUIDE_NONE,
                             view->dangers[i].sheet};
        if (!is_inseparable(view, open.sheet)) {
            cli_print_paragraph(cli, 2, check_open_text(cli, view, &open));
            shown++;
        }
    }
    if (view->open_count > shown) {
        printf("  and %zu more\n", view->open_count - shown);
    }
}

/* ---- the rest -------------------------------------------------------------
 */

static void print_suspects(const check_view *view) {
    printf("Likeliest so far (of what the guide knows):\n");
    for (size_t i = 0; i < view->suspect_count && i < SUSPECTS_SHOWN; i++) {
        const pn_suspect *s = &view->suspects[i];
        bool known = s->sheet != PN_GUIDE_NONE;
        const pn_sheet *sheet = known ? &view->guide->sheets[s->sheet] : NULL;
        char share[16];
        snprintf(share, sizeof share, "%.1f", 100.0 * s->posterior);
        printf("  %5s %%  %s (%s)\n", s->posterior < 0.0005 ? "< 0.1" : share,
               known ? sheet->english : "something not in the guide",
               known ? pn_guide_status_name(sheet->status)
                     : "counts as dangerous");
    }
}

static void print_answers(const cli_ctx *cli, const check_view *view) {
    char buf[2400];
    pn_str str = pn_str_in(buf, sizeof buf);
    size_t count = 0;
    const pn_answer *answers = pn_check_answers(view->session, &count);
    if (count == 0) {
        return;
    }
    pn_str_addf(&str, "You said:");
    for (size_t i = 0; i < count; i++) {
        const pn_feature *f = &view->guide->features[answers[i].feature];
        pn_str_addf(
            &str, "%s %s %s%s%s", i > 0 ? ";" : "", cli_words(cli, f->id),
            cli_words(cli, check_answer_text(cli, view->guide, &answers[i])),
            f->is_range ? " " : "", f->is_range ? f->unit : "");
    }
    pn_str_addf(&str, ".");
    putchar('\n');
    cli_print_paragraph(cli, 0, cli_plain(cli, buf));
}

void check_print_report(const cli_ctx *cli, const check_view *view) {
    check_print_dangers(cli, view, DANGERS_SHOWN);
    putchar('\n');
    print_gate(cli, view);
    putchar('\n');
    print_suspects(view);
    print_answers(cli, view);
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
