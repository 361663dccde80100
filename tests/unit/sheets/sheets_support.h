/** @file sheets_support.h
 * A small guide in text, and ways to spoil it.
 */
#ifndef PN_TESTS_SHEETS_SUPPORT_H
#define PN_TESTS_SHEETS_SUPPORT_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "pannage/sheets.h"
#include "support/check.h"
#include "support/failing.h"

static const char small_features[] =
    "source: own\n"
    "required: [red_bell]\n"
    "features:\n"
    "  - {id: form, organ: form, effort: look, ask: \"What?\", slip: 0.01,\n"
    "     slip_near: 0.04, states: [gilled, pored, herb, ball],\n"
    "     near: [[gilled, pored], [pored, ball]]}\n"
    "  - {id: gills, organ: gills, effort: look, ask: \"Gills?\", slip: 0.02,\n"
    "     slip_near: 0.1, needs: {form: [gilled]},\n"
    "     states: [white, pink, rust]}\n"
    "  - {id: width, organ: size, effort: look, kind: range, unit: cm,\n"
    "     ask: \"How wide?\", error_frac: 0.1}\n"
    "  - {id: ring, organ: ring, effort: touch, ask: \"Ring?\", slip: 0.02,\n"
    "     slip_near: 0.1, states: [none, single]}\n"
    "  - {id: smell, organ: smell, effort: smell, ask: \"Smell?\", slip: "
    "0.02,\n"
    "     slip_near: 0.1, states: [mild, foul]}\n"
    "  - {id: iodine, organ: spores, effort: bench, ask: \"Iodine?\",\n"
    "     slip: 0.02, slip_near: 0.1, states: [none, blue]}\n";

static const char small_good[] = /* gathered */
    "id: white_bell\n"
    "english: White bell\n"
    "scientific: Alba campanula\n"
    "author: L.\n"
    "names: {welsh: [cloch wen], gaelic: [], other: [bell]}\n"
    "group: gilled fungus\n"
    "status: gathered\n"
    "expert_only: false\n"
    "source: from memory\n"
    "about: >-\n"
    "  A made-up kind\n"
    "  for tests.\n"
    "season: [11, 2]\n"
    "peak: [12, 1]\n"
    "habitats: [park, edge]\n"
    "hosts: [oak]\n"
    "features:\n"
    "  form:\n"
    "    states: {gilled: 1}\n"
    "    young: {gilled: 0.25, ball: 0.75}\n"
    "  gills: {states: {white: 0.333, pink: 0.666}, source: a book}\n"
    "  width: {low: 3, high: 8.5}\n"
    "  ring: {states: {single: 1}, old: {single: 0.6, none: 0.4}}\n"
    "  smell: {states: {mild: 1}}\n"
    "  iodine: {states: {none: 1}}\n"
    "must_see: [form, gills, ring, smell]\n"
    "lookalikes:\n"
    "  - {kind: red_bell, deciding: [gills, smell], words: \"Rust and "
    "foul.\"}\n"
    "stages:\n"
    "  - {stage: young, take: later, words: \"Wait.\"}\n"
    "  - {stage: old, take: leave, words: \"Leave it.\"}\n"
    "parts:\n"
    "  - {part: cap, stage: mature, use: cook, words: \"Cook.\"}\n"
    "  - {part: stem, use: leave, words: \"Tough.\"}\n"
    "cautions:\n"
    "  - {about: raw, text: \"Not raw.\", source: another book}\n"
    "law: [owner_leave]\n"
    "keeps: {words: \"Not long.\"}\n"
    "take: \"Half.\"\n";

static const char small_bad[] = /* deadly */
    "id: red_bell\n"
    "english: Red bell\n"
    "scientific: Rubra campanula\n"
    "author: L.\n"
    "names: {welsh: [], gaelic: [], other: []}\n"
    "group: gilled fungus\n"
    "status: deadly\n"
    "expert_only: false\n"
    "source: from memory\n"
    "about: \"Another made-up kind.\"\n"
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

enum { SMALL_SHEETS = 2, SMALL_ROOM = 4096 };

/** Texts of a guide that a test may spoil. */
typedef struct small {
    char features[SMALL_ROOM], good[SMALL_ROOM], bad[SMALL_ROOM];
} small;

static inline small small_guide(void) {
    small s;
    memcpy(s.features, small_features, sizeof small_features);
    memcpy(s.good, small_good, sizeof small_good);
    memcpy(s.bad, small_bad, sizeof small_bad);
    return s;
}

static inline pn_status small_read(const pn_alloc *alloc, const small *s,
                                   pn_sheets **out, pn_error *err) {
    pn_sheets_file features = {"guide/features.yaml", pn_text_of(s->features)};
    pn_sheets_file sheets[SMALL_SHEETS] = {
        {"guide/sheets/white_bell.yaml", pn_text_of(s->good)},
        {"guide/sheets/red_bell.yaml", pn_text_of(s->bad)}};
    *err = (pn_error){PN_OK, ""};
    return pn_sheets_read(alloc, &features, sheets, SMALL_SHEETS, out, err);
}

/** The text with `from`, which must be there, replaced; NULL from: the whole.
 */
static inline void small_replace(char *text, const char *from, const char *to) {
    char old[SMALL_ROOM];
    memcpy(old, text, sizeof old);
    const char *at = from == NULL ? old : strstr(old, from);
    assert_non_null(at);
    const char *rest = from == NULL ? "" : at + strlen(from);
    int len =
        snprintf(text, SMALL_ROOM, "%.*s%s%s", (int)(at - old), old, to, rest);
    assert_in_range(len, 0, SMALL_ROOM - 1);
}

#endif
