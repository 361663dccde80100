/* What a check says to a machine: the same, and every suspect. */
#include "check_cli.h"

static json_t *ids_json(const pn_guide *guide, const size_t *features,
                        size_t count) {
    json_t *list = json_array();
    for (size_t i = 0; i < count; i++) {
        json_array_append_new(list,
                              json_string(guide->features[features[i]].id));
    }
    return list;
}

static json_t *open_json(const cli_ctx *cli, const check_view *view) {
    json_t *list = json_array();
    for (size_t i = 0; i < view->open_count; i++) {
        const pn_gate_open *open = &view->open[i];
        json_t *object =
            json_pack("{s:s, s:s}", "reason", pn_gate_reason_name(open->reason),
                      "words", check_open_text(cli, view, open));
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

static json_t *dangers_json(const check_view *view) {
    json_t *list = json_array();
    for (size_t i = 0; i < view->danger_count; i++) {
        const check_danger *d = &view->dangers[i];
        const pn_sheet *sheet = &view->guide->sheets[d->sheet];
        json_array_append_new(
            list,
            json_pack(
                "{s:s, s:s, s:o, s:o, s:o}", "kind", sheet->id, "status",
                pn_guide_status_name(sheet->status), "posterior",
                cli_json_number(d->posterior, 6), "against",
                ids_json(view->guide, d->against, d->against_count),
                "would_tell",
                ids_json(view->guide, d->would_tell, d->would_tell_count)));
    }
    return list;
}

static json_t *thin_json(const check_view *view) {
    json_t *list = json_array();
    for (size_t i = 0; i < view->thin_count; i++) {
        json_array_append_new(
            list, json_string(view->guide->sheets[view->thin[i]].id));
    }
    return list;
}

static json_t *suspects_json(const check_view *view) {
    json_t *list = json_array();
    for (size_t i = 0; i < view->suspect_count; i++) {
        const pn_suspect *s = &view->suspects[i];
        bool known = s->sheet != PN_GUIDE_NONE;
        const pn_sheet *sheet = known ? &view->guide->sheets[s->sheet] : NULL;
        json_array_append_new(
            list, json_pack("{s:s?, s:s, s:o, s:i}", "kind",
                            known ? sheet->id : NULL, "status",
                            known ? pn_guide_status_name(sheet->status)
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

static json_t *next_json(const check_view *view) {
    json_t *list = json_array();
    for (size_t i = 0; i < view->next_count; i++) {
        const pn_feature *f = &view->guide->features[view->next[i].feature];
        json_array_append_new(
            list, json_pack("{s:s, s:s, s:s}", "feature", f->id, "effort",
                            pn_effort_name(f->effort), "ask", f->ask));
    }
    return list;
}

static json_t *stages_json(const check_view *view) {
    double share[PN_GUIDE_STAGE_COUNT];
    json_t *object = json_object();
    if (view->kind == PN_GUIDE_NONE) {
        return object;
    }
    pn_check_stages(view->session, view->kind, share);
    for (size_t s = 0; s < PN_GUIDE_STAGE_COUNT; s++) {
        json_object_set_new(object, pn_guide_stage_name((pn_guide_stage)s),
                            cli_json_number(share[s], 4));
    }
    return object;
}

int check_print_json(const cli_ctx *cli, const check_view *view) {
    json_t *document = json_pack(
        "{s:s?, s:b, s:o, s:o, s:o, s:o}", "kind_in_mind",
        view->kind != PN_GUIDE_NONE ? view->guide->sheets[view->kind].id : NULL,
        "no_listed_check_fails", view->open_count == 0, "open",
        open_json(cli, view), "not_ruled_out", dangers_json(view),
        "ruled_out_thinly", thin_json(view), "danger",
        cli_json_number(view->danger, 6));
    if (document != NULL) {
        json_object_set_new(document, "suspects", suspects_json(view));
        json_object_set_new(document, "stages", stages_json(view));
        json_object_set_new(document, "answers", answers_json(cli, view));
        json_object_set_new(document, "next", next_json(view));
        json_object_set_new(document, "kept",
                            view->kept != 0 ? json_integer(view->kept)
                                            : json_null());
        json_object_set_new(document, "caution",
                            json_string(cli_check_caution));
        json_object_set_new(document, "eaten",
                            json_string(cli_eaten_something));
    }
    return cli_print_json(cli, document);
}
