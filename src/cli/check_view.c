/* One look at a session: what is open, what is not ruled out and what would
 * tell. The report, the questions and the JSON all say the same. */
#include "check_cli.h"

#include <string.h>

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

const char *check_feature_list(const cli_ctx *cli, const pn_guide *guide,
                               const size_t *features, size_t count) {
    char buf[600];
    pn_str str = pn_str_in(buf, sizeof buf);
    buf[0] = '\0';
    for (size_t i = 0; i < count; i++) {
        pn_str_addf(&str, "%s%s", i > 0 ? ", " : "",
                    cli_words(cli, guide->features[features[i]].id));
    }
    return cli_textf(cli, "%s", buf);
}

/* The kind the gate is tried on: the one in mind, else the likeliest that is
 * gathered at all. */
static size_t kind_in_mind(const check_view *view) {
    if (view->focus != PN_GUIDE_NONE) {
        return view->focus;
    }
    for (size_t i = 0; i < view->suspect_count; i++) {
        size_t sheet = view->suspects[i].sheet;
        if (sheet != PN_GUIDE_NONE &&
            pn_guide_is_gathered(view->guide->sheets[sheet].status)) {
            return sheet;
        }
    }
    return PN_GUIDE_NONE;
}

/* ---- dangers --------------------------------------------------------------
 */

static bool is_answered(const check_view *view, size_t feature) {
    size_t count = 0;
    const pn_answer *answers = pn_check_answers(view->session, &count);
    for (size_t i = 0; i < count; i++) {
        if (answers[i].feature == feature) {
            return true;
        }
    }
    return false;
}

static void find_evidence(const check_view *view, check_danger *danger) {
    pn_check_evidence evidence[256];
    size_t count = pn_check_compare(view->session, danger->sheet, danger->sheet,
                                    evidence, 256);
    for (size_t i = 0; i < count && danger->against_count < PN_GUIDE_LIST_MAX;
         i++) {
        if (evidence[i].contradicts_a) {
            danger->against[danger->against_count++] = evidence[i].feature;
        }
    }
}

static void would_tell(const check_view *view, check_danger *danger,
                       size_t feature) {
    const size_t most = sizeof danger->would_tell / sizeof *danger->would_tell;
    for (size_t i = 0; i < danger->would_tell_count; i++) {
        if (danger->would_tell[i] == feature) {
            return;
        }
    }
    if (danger->would_tell_count < most && !is_answered(view, feature)) {
        danger->would_tell[danger->would_tell_count++] = feature;
    }
}

/* The look-alike's own deciding features first, then those in which the two
 * sheets hardly overlap. */
static void find_what_would_tell(const check_view *view, check_danger *danger) {
    static const double hardly = 0.06;
    if (view->kind == PN_GUIDE_NONE) {
        return;
    }
    const pn_guide *guide = view->guide;
    const pn_sheet *sheet = &guide->sheets[view->kind];
    for (size_t i = 0; i < sheet->lookalike_count; i++) {
        const pn_lookalike *look = &sheet->lookalikes[i];
        for (size_t d = 0;
             look->sheet == danger->sheet && d < look->deciding_count; d++) {
            would_tell(view, danger, look->deciding[d]);
        }
    }
    for (size_t t = 0; t < sheet->trait_count; t++) {
        size_t f = sheet->traits[t].feature;
        if (guide->features[f].effort != PN_EFFORT_BENCH &&
            pn_guide_overlap(guide, sheet, &guide->sheets[danger->sheet], f) <=
                hardly) {
            would_tell(view, danger, f);
        }
    }
}

static bool is_open(const check_view *view, size_t sheet) {
    for (size_t i = 0; i < view->open_count; i++) {
        if ((view->open[i].reason == PN_GATE_NOT_RULED_OUT ||
             view->open[i].reason == PN_GATE_INSEPARABLE) &&
            view->open[i].sheet == sheet) {
            return true;
        }
    }
    return false;
}

static void sort_dangers(check_view *view) {
    enum { RULED_OUT = 2 };
    for (size_t i = 0; i < view->suspect_count; i++) {
        const pn_suspect *s = &view->suspects[i];
        if (s->sheet == PN_GUIDE_NONE || s->sheet == view->kind ||
            !pn_guide_is_danger(view->guide->sheets[s->sheet].status)) {
            continue;
        }
        bool possible = s->contradicted < RULED_OUT;
        bool open =
            view->kind == PN_GUIDE_NONE ? possible : is_open(view, s->sheet);
        if (open) {
            check_danger *d = &view->dangers[view->danger_count++];
            *d = (check_danger){.sheet = s->sheet, .posterior = s->posterior};
            find_evidence(view, d);
            find_what_would_tell(view, d);
        } else if (possible) {
            view->thin[view->thin_count++] = s->sheet;
        }
    }
}

int check_look(const cli_ctx *cli, const pn_check_session *session,
               const pn_guide *guide, size_t focus, check_view *out) {
    const size_t most = guide->sheet_count + 2 * guide->feature_count + 64;
    *out = (check_view){.session = session, .guide = guide, .focus = focus};
    out->suspects = pn_arena_array(cli->arena, guide->sheet_count + 1,
                                   sizeof *out->suspects);
    out->open = pn_arena_array(cli->arena, most, sizeof *out->open);
    out->dangers =
        pn_arena_array(cli->arena, guide->sheet_count, sizeof *out->dangers);
    out->thin =
        pn_arena_array(cli->arena, guide->sheet_count, sizeof *out->thin);
    if (out->suspects == NULL || out->open == NULL || out->dangers == NULL ||
        out->thin == NULL) {
        return cli_fail(CLI_SYSTEM, "out of memory");
    }
    out->suspect_count = pn_check_suspects(session, out->suspects);
    out->kind = kind_in_mind(out);
    out->open_count = pn_check_gate(session, out->kind, out->open, most);
    if (out->open_count > most) {
        return cli_fail(CLI_SYSTEM, "more is open than can be listed");
    }
    sort_dangers(out);
    out->danger = pn_check_danger(session);
    out->next_count = pn_check_next(session, out->kind, out->next,
                                    sizeof out->next / sizeof *out->next);
    return CLI_OK;
}

/* ---- what is open ---------------------------------------------------------
 */

static const char *not_ruled_out_text(const cli_ctx *cli,
                                      const check_view *view, size_t sheet) {
    const pn_sheet *s = &view->guide->sheets[sheet];
    const char *deadly = s->status == PN_GUIDE_DEADLY ? " (deadly)" : "";
    for (size_t i = 0; i < view->danger_count; i++) {
        const check_danger *d = &view->dangers[i];
        if (d->sheet == sheet && d->would_tell_count > 0) {
            return cli_textf(cli, "not ruled out: %s%s; look at %s", s->english,
                             deadly,
                             check_feature_list(cli, view->guide, d->would_tell,
                                                d->would_tell_count));
        }
    }
    return cli_textf(cli, "not ruled out: %s%s", s->english, deadly);
}

const char *check_open_text(const cli_ctx *cli, const check_view *view,
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
        return not_ruled_out_text(cli, view, open->sheet);
    case PN_GATE_DANGER_LEFT:
        return cli_textf(cli,
                         "%.1f %% of the odds are still with something "
                         "dangerous, or in no guide",
                         100.0 * view->danger);
    default:
        return "open";
    }
}
