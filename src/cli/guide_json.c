/* A sheet of the guide for a machine. */
#include "cli.h"

static json_t *names_json(const pn_guide_names *names) {
    json_t *list = json_array();
    for (size_t i = 0; i < names->count; i++) {
        json_array_append_new(list, json_string(names->at[i]));
    }
    return list;
}

static json_t *shares_json(const pn_feature *f, const double *share) {
    json_t *shares = json_object();
    for (size_t s = 0; s < f->state_count; s++) {
        if (share[s] > 0.0) {
            json_object_set_new(shares, f->states[s],
                                cli_json_number(share[s], 4));
        }
    }
    return shares;
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
    for (size_t stage = 0; stage < PN_GUIDE_STAGE_COUNT; stage++) {
        json_object_set_new(
            object, pn_guide_stage_name((pn_guide_stage)stage),
            shares_json(f, trait->share + stage * PN_GUIDE_STATES_MAX));
    }
    return object;
}

static json_t *lookalike_json(const pn_guide *guide, const pn_lookalike *look) {
    json_t *deciding = json_array();
    for (size_t i = 0; i < look->deciding_count; i++) {
        json_array_append_new(
            deciding, json_string(guide->features[look->deciding[i]].id));
    }
    return json_pack("{s:s, s:s, s:b, s:o, s:s}", "kind",
                     guide->sheets[look->sheet].id, "status",
                     pn_guide_status_name(guide->sheets[look->sheet].status),
                     "inseparable", (int)look->inseparable, "deciding",
                     deciding, "words", look->words);
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

json_t *cli_sheet_json(const pn_guide *guide, const pn_sheet *sheet) {
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
