/* A sheet, beside a sound one and a sound features.yaml; or, when the first
 * byte is '!', features.yaml itself. Any bytes are refused with one line that
 * names the file, or give a guide that holds. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "pannage/sheets.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const char features_text[] =
    "source: own\n"
    "required: [red_bell]\n"
    "features:\n"
    "  - {id: form, organ: form, effort: look, ask: \"What?\", slip: 0.01,\n"
    "     slip_near: 0.04, states: [gilled, pored], near: [[gilled, pored]]}\n"
    "  - {id: gills, organ: gills, effort: look, ask: \"Gills?\", slip: 0.02,\n"
    "     slip_near: 0.1, needs: {form: [gilled]}, states: [white, rust]}\n"
    "  - {id: width, organ: size, effort: look, kind: range, unit: cm,\n"
    "     ask: \"How wide?\", error_frac: 0.1}\n"
    "  - {id: smell, organ: smell, effort: smell, ask: \"Smell?\", slip: "
    "0.02,\n"
    "     slip_near: 0.1, states: [mild, foul]}\n";

static const char sheet_text[] = "id: red_bell\n"
                                 "english: Red bell\n"
                                 "scientific: Rubra campanula\n"
                                 "author: L.\n"
                                 "names: {welsh: [], gaelic: [], other: []}\n"
                                 "group: gilled fungus\n"
                                 "status: deadly\n"
                                 "expert_only: false\n"
                                 "source: from memory\n"
                                 "about: \"A made-up kind.\"\n"
                                 "season: [9, 11]\n"
                                 "habitats: [park]\n"
                                 "hosts: []\n"
                                 "features:\n"
                                 "  form: {states: {gilled: 1}}\n"
                                 "  gills: {states: {rust: 1}}\n"
                                 "  smell: {states: {foul: 1}}\n"
                                 "must_see: []\n"
                                 "lookalikes: []\n"
                                 "stages: []\n"
                                 "parts: []\n"
                                 "cautions: []\n"
                                 "law: []\n"
                                 "keeps: {fresh_days: 2, words: \"To show.\"}\n"
                                 "take: \"None.\"\n"
                                 "harm: \"Death in a day.\"\n";

/* Everything that others rely on without asking again. */
static void check_guide(const pn_guide *guide, bool has_danger) {
    pn_error err;
    if (pn_guide_check(guide, &err) != PN_OK) {
        abort();
    }
    size_t red = pn_guide_sheet(guide, pn_text_of("red_bell"));
    if (has_danger && (red == PN_GUIDE_NONE ||
                       !pn_guide_is_danger(guide->sheets[red].status))) {
        abort();
    }
    for (size_t f = 0; f < guide->feature_count; f++) {
        const pn_feature *feature = &guide->features[f];
        for (size_t s = 0; s < feature->state_count; s++) {
            double sum = 0.0;
            for (size_t a = 0; a < feature->state_count; a++) {
                double slip = feature->slip[s * PN_GUIDE_STATES_MAX + a];
                if (!(slip >= 0.0 && slip <= 1.0)) {
                    abort();
                }
                sum += slip;
            }
            if (!(sum > 0.999999 && sum < 1.000001)) {
                abort();
            }
        }
    }
}

static void read_guide(const pn_sheets_file *features,
                       const pn_sheets_file *sheets, size_t count) {
    pn_sheets *read = NULL;
    pn_error err = {PN_OK, ""};
    pn_status status =
        pn_sheets_read(&pn_alloc_libc, features, sheets, count, &read, &err);
    if ((status == PN_OK) != (read != NULL)) {
        abort();
    }
    if (status == PN_OK) {
        check_guide(pn_sheets_guide(read), features->text.at == features_text);
    } else if (strncmp(err.message, "guide/", 6) != 0 ||
               strchr(err.message, '\n') != NULL) {
        abort();
    }
    pn_sheets_free(read);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    char *text = malloc(size + 1);
    if (text == NULL) {
        return 0;
    }
    if (size > 0) {
        memcpy(text, data, size);
    }
    pn_sheets_file features = {"guide/features.yaml",
                               pn_text_of(features_text)};
    pn_sheets_file sheets[] = {
        {"guide/sheets/red_bell.yaml", pn_text_of(sheet_text)},
        {"guide/sheets/white_bell.yaml", {text, size}}};
    if (size > 0 && text[0] == '!') {
        features.text = (pn_text){text + 1, size - 1};
        read_guide(&features, sheets, 1);
    } else {
        read_guide(&features, sheets, 2);
    }
    free(text);
    return 0;
}
