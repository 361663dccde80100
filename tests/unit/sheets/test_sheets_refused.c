/* Everything that stops the loader, and what it says. */
#include "sheets_support.h"

typedef struct row {
    const char *name;
    const char *from; /* replaced; NULL: the whole text */
    const char *to;
    const char *want; /* part of the message */
} row;

static void check_refused(const row *c, const small *s) {
    pn_sheets *sheets = NULL;
    pn_error err;
    pn_status status = small_read(&pn_alloc_libc, s, &sheets, &err);
    if (status != PN_EPARSE || sheets != NULL || err.status != status ||
        strstr(err.message, c->want) == NULL) {
        fail_msg("%s: got '%s', want '%s'", c->name, err.message, c->want);
    }
}

static void yaml_is_strict(void **state) {
    (void)state;
    static const row cases[] = {
        {"empty", NULL, "", "white_bell.yaml:1: an empty file"},
        {"only a comment", NULL, "# nothing\n", ":1: an empty file"},
        {"a list", NULL, "- a\n", ":1: an empty file, or not 'key: value'"},
        {"a word", NULL, "hello\n", ":1: an empty file, or not 'key: value'"},
        {"broken", "season: [11, 2]", "season: [11, 2", ":14: not YAML"},
        {"tab", "  form:", "\tform:", ":18: not YAML"},
        {"not UTF-8", "Wait.", "\xff", ":30: not YAML"},
        {"key twice", "author: L.", "author: L.\nauthor: L.",
         ":5: 'author' stands here twice"},
        {"inner key twice", "{white: 0.333, pink: 0.666}",
         "{white: 0.5, white: 0.5}", ":21: 'white' stands here twice"},
        {"anchor", "english: White bell", "english: &a White bell",
         ":2: a sheet has no anchors"},
        {"anchor on a list", "hosts: [oak]", "hosts: &a [oak]",
         ":16: a sheet has no anchors"},
        {"alias", "english: White bell", "english: *a",
         ":2: a sheet has no anchors"},
        {"tag", "english: White bell", "english: !!str White bell",
         ":2: a sheet has no tags"},
        {"tag on a map", "keeps: {", "keeps: !x {", ":38: a sheet has no tags"},
        {"two documents", "take: \"Half.\"\n", "take: \"Half.\"\n---\na: b\n",
         ":40: a second document"},
        {"list as key", "author: L.", "[a]: L.", ":4: a key must be one word"},
        {"empty key", "author: L.", "\"\": L.", ":4: a key must be one word"},
        {"NUL", "\"Half.\"", "\"Ha\\0lf.\"", ":39: a text with a line break"},
        {"line break", "\"Half.\"", "\"Ha\\nlf.\"", ":39: a text with a line"},
        {"C1 control", "\"Half.\"", "\"Ha\\x9blf.\"",
         ":39: a text with a line"},
        {"deep", "hosts: [oak]", "hosts: [[[[[[[[[[[[[[oak]]]]]]]]]]]]]]",
         ":16: too deep"},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        small s = small_guide();
        small_replace(s.good, cases[i].from, cases[i].to);
        check_refused(&cases[i], &s);
    }
}

static void keys_and_types_are_strict(void **state) {
    (void)state;
    static const row cases[] = {
        {"unknown key", "author: L.", "autor: L.", ":4: unknown key 'autor'"},
        {"unknown inner key", "{low: 3,", "{least: 3,",
         ":22: unknown key 'least'; known here: low, high, source"},
        {"missing", "author: L.\n", "", ":1: 'author' is missing"},
        {"truncated", "take: \"Half.\"\n", "", ":1: 'take' is missing"},
        {"missing inner", ", words: \"Cook.\"", "", ":33: 'words' is missing"},
        {"number for text", "author: L.", "author: 12",
         ":4: 'author' must be a text"},
        {"null for text", "author: L.", "author: ~",
         ":4: 'author' must be a text"},
        {"nothing for text", "author: L.",
         "author:", ":4: 'author' must be a text"},
        {"blanks for text", "author: L.", "author: \"  \"",
         ":4: 'author' must be a text"},
        {"list for text", "author: L.", "author: [L.]",
         ":4: 'author' must be a text"},
        {"map for text", "author: L.", "author: {L.: 1}",
         ":4: 'author' must be a text"},
        {"text for list", "hosts: [oak]", "hosts: oak",
         ":16: 'hosts' must be a list"},
        {"text for map", "keeps: {words: \"Not long.\"}", "keeps: long",
         ":38: 'keeps' must be {key: value"},
        {"text for sentence",
         "  - {about: raw, text: \"Not raw.\", source: "
         "another book}",
         "  - raw", ":36: 'this' must be {key: value"},
        {"yes for true", "expert_only: false", "expert_only: no",
         ":8: 'expert_only' must be true or false, not 'no'"},
        {"quoted truth", "expert_only: false", "expert_only: \"false\"",
         ":8: 'expert_only' must be true or false"},
        {"empty name", "welsh: [cloch wen]", "welsh: [\"\"]",
         ":5: 'this' must be a text"},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        small s = small_guide();
        small_replace(s.good, cases[i].from, cases[i].to);
        check_refused(&cases[i], &s);
    }
}

static void words_are_known(void **state) {
    (void)state;
    static const row cases[] = {
        {"group", "group: gilled fungus", "group: toadstool",
         ":6: 'toadstool' is not a group; known: gilled fungus, bolete"},
        {"status", "status: gathered", "status: edible",
         ":7: 'edible' is not a status; known: gathered, caution, harmful"},
        {"habitat", "[park, edge]", "[park, moon]",
         ":15: 'moon' is not a habitat"},
        {"habitat twice", "[park, edge]", "[park, park]",
         ":15: 'park' stands here twice"},
        {"host", "hosts: [oak]", "hosts: [baobab]",
         ":16: 'baobab' is not a host"},
        {"feature", "  ring: {", "  collar: {",
         ":23: 'collar' is not a feature; take one of guide/features.yaml"},
        {"state", "{mild: 1}", "{sweet: 1}",
         ":24: 'sweet' is not a state of smell; known: mild, foul"},
        {"case", "{mild: 1}", "{Mild: 1}", ":24: 'Mild' is not a state"},
        {"stage", "stage: old", "stage: ripe", ":31: 'ripe' is not a stage"},
        {"stage twice", "stage: old", "stage: young",
         ":31: stage 'young' stands here twice"},
        {"take", "take: later", "take: never", ":30: 'never' is not what to"},
        {"part", "part: stem", "part: foot", ":34: 'foot' is not a part"},
        {"use", "use: cook", "use: eat", ":33: 'eat' is not a use"},
        {"stage of a part", "stage: mature", "stage: ripe",
         ":33: 'ripe' is not a stage"},
        {"about", "about: raw", "about: taste",
         ":36: 'taste' is not what a caution is about"},
        {"law", "law: [owner_leave]", "law: [none]",
         ":37: 'none' is not a law flag"},
        {"language", "gaelic: []", "manx: []", ":5: unknown key 'manx'"},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        small s = small_guide();
        small_replace(s.good, cases[i].from, cases[i].to);
        check_refused(&cases[i], &s);
    }
}

static void numbers_hold(void **state) {
    (void)state;
    static const row cases[] = {
        {"sum short", "{white: 0.333, pink: 0.666}", "{white: 0.9}",
         ":21: the shares of gills add up to 0.9, not 1"},
        {"sum over", "{white: 0.333, pink: 0.666}", "{white: 0.9, pink: 0.2}",
         ":21: the shares of gills add up to 1.1, not 1"},
        {"sum of a stage", "{single: 0.6, none: 0.4}", "{single: 0.6}",
         ":23: the shares of ring add up to 0.6, not 1"},
        {"negative", "{white: 0.333, pink: 0.666}", "{white: 1.2, pink: -0.2}",
         ":21: 'white' must be a number from 0"},
        {"no number", "{mild: 1}", "{mild: most}",
         ":24: 'mild' must be a number from 0 to 1, not 'most'"},
        {"quoted number", "{mild: 1}", "{mild: \"1\"}",
         ":24: 'mild' must be a number"},
        {"not a number", "{mild: 1}", "{mild: .nan}",
         ":24: 'mild' must be a number"},
        {"no shares", "{mild: 1}", "{}", ":24: smell: shares are written"},
        {"shares in a list", "{mild: 1}", "[mild]",
         ":24: smell: shares are written"},
        {"range turned round", "{low: 3, high: 8.5}", "{low: 9, high: 8.5}",
         ":22: width: low must be below high"},
        {"range from nothing", "low: 3", "low: 0",
         ":22: 'low' must be a number"},
        {"infinite range", "high: 8.5", "high: .inf",
         ":22: 'high' must be a number"},
        {"shares for a range", "{low: 3, high: 8.5}", "{states: {wide: 1}}",
         ":22: unknown key 'states'"},
        {"range for shares", "smell: {states: {mild: 1}}",
         "smell: {low: 1, high: 2}", ":24: unknown key 'low'"},
        {"month", "season: [11, 2]", "season: [11, 13]",
         ":13: '13' is no month"},
        {"month in words", "season: [11, 2]", "season: [Nov, 2]",
         ":13: 'Nov' is no month"},
        {"one month", "season: [11, 2]", "season: [11]",
         ":13: 'season' is two months"},
        {"peak outside", "peak: [12, 1]", "peak: [3, 4]",
         ":14: 'peak' lies outside 'season'"},
        {"fresh days", "keeps: {", "keeps: {fresh_days: -1, ",
         ":38: 'fresh_days' must be a number"},
        {"no features", NULL, NULL, ":17: 'features' must be"},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        small s = small_guide();
        if (cases[i].to != NULL) {
            small_replace(s.good, cases[i].from, cases[i].to);
        } else { /* from the features to what follows them */
            char *features = strstr(s.good, "features:\n");
            char *after = strstr(s.good, "must_see");
            assert_true(features != NULL && after != NULL);
            memmove(features + sizeof "features: []", after, strlen(after) + 1);
            memcpy(features, "features: {}\n", sizeof "features: {}");
        }
        check_refused(&cases[i], &s);
    }
}

static void sheets_hang_together(void **state) {
    (void)state;
    static const row cases[] = {
        {"id of another", "id: white_bell", "id: pale_bell",
         ":1: id 'pale_bell' in a file for 'white_bell'"},
        {"id with capitals", "id: white_bell", "id: White_bell",
         ":1: 'White_bell' is no id"},
        {"must_see twice", "[form, gills, ring, smell]",
         "[form, gills, ring, ring]", ":26: 'ring' stands here twice"},
        {"must_see unknown", "[form, gills, ring, smell]",
         "[form, gills, ring, taste]", ":26: 'taste' is not a feature"},
        {"must_see too few", "[form, gills, ring, smell]",
         "[form, gills, ring]", ":26: 3 must-see features"},
        {"must_see none", "[form, gills, ring, smell]", "[]",
         ":26: 0 must-see features"},
        {"must_see on the bench", "[form, gills, ring, smell]",
         "[form, gills, ring, iodine]",
         ":26: must_see names iodine, which the field cannot show"},
        {"must_see undescribed",
         "  ring: {states: {single: 1}, old: {single: "
         "0.6, none: 0.4}}\n",
         "", ":25: must_see names ring, which the sheet does not describe"},
        {"does not apply", "states: {gilled: 1}\n    young: {gilled: 0.25, ",
         "states: {pored: 1}\n    young: {pored: 0.25, ",
         ":21: gills does not apply to what the sheet says of form"},
        {"look-alike without a sheet", "kind: red_bell", "kind: blue_bell",
         ":28: look-alike 'blue_bell' has no sheet; write "
         "guide/sheets/blue_bell.yaml"},
        {"look-alike of itself", "kind: red_bell", "kind: white_bell",
         ":28: a kind is no look-alike of itself"},
        {"look-alike twice", "stages:\n",
         "  - {kind: red_bell, deciding: [gills], words: "
         "\"Again.\"}\nstages:\n",
         ":29: look-alike 'red_bell' stands here twice"},
        {"deciding unknown", "[gills, smell]", "[gills, taste]",
         ":28: 'taste' is not a feature"},
        {"deciding nothing", "[gills, smell]", "[]",
         ":28: 'deciding' names no feature"},
        {"deciding undescribed", "[gills, smell]", "[gills, ring]",
         ":28: ring cannot decide between white_bell and red_bell: red_bell "
         "does not describe it"},
        {"told apart in one organ", "{white: 0.333, pink: 0.666}", "{rust: 1}",
         ":28: sheet white_bell: nothing tells it from red_bell"},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        small s = small_guide();
        small_replace(s.good, cases[i].from, cases[i].to);
        check_refused(&cases[i], &s);
    }
}

static void dangers_stay(void **state) {
    (void)state;
    static const row cases[] = {
        {"no harm", "harm: \"Death in a day.\"\n", "",
         "red_bell.yaml:1: 'harm' is missing: a deadly kind must say"},
        {"empty", NULL, "", "red_bell.yaml:1: an empty file"},
        {"cut short",
         "law: []\nkeeps: {fresh_days: 2, words: \"To "
         "show.\"}\ntake: \"None.\"\nharm: \"Death in a day.\"\n",
         "", "red_bell.yaml:1: 'law' is missing"},
        {"no danger any more", "status: deadly", "status: protected",
         "features.yaml:2: 'red_bell' is a danger, but its sheet calls it "
         "protected"},
        {"name taken", "english: Red bell", "english: White Bell",
         ":2: 'White Bell' is taken by guide/sheets/white_bell.yaml"},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        small s = small_guide();
        small_replace(s.bad, cases[i].from, cases[i].to);
        check_refused(&cases[i], &s);
    }
    small s = small_guide();
    small_replace(s.features, "[red_bell]", "[red_bell, grey_bell]");
    check_refused(&(row){.name = "required and missing",
                         .want = "features.yaml:2: there is no sheet of "
                                 "'grey_bell', a danger"},
                  &s);
    s = small_guide();
    small_replace(s.good, "status: gathered", "status: harmful");
    small_replace(s.good, "take: \"Half.\"\n",
                  "take: \"Half.\"\nharm: \"Bad.\"\n");
    check_refused(&(row){.name = "a danger on no list",
                         .want = "features.yaml:2: white_bell is harmful; add "
                                 "it to 'required'"},
                  &s);
    s = small_guide();
    small_replace(s.features, "[red_bell]", "[]");
    check_refused(&(row){.name = "no danger at all",
                         .want = "features.yaml:2: 'required' names no danger"},
                  &s);
}

/* What the loader stops at it stops at in every file; a byte order mark and
 * line ends of two bytes are no faults. */
static void other_editors_write_sheets_too(void **state) {
    (void)state;
    static const char mark[] = "\xEF\xBB\xBF";
    for (int way = 0; way < 3; way++) {
        small s = small_guide();
        char text[2 * SMALL_ROOM];
        pn_str out = pn_str_in(text, sizeof text);
        pn_str_addf(&out, "%s", way != 1 ? mark : "");
        for (const char *c = small_bad; *c != '\0'; c++) {
            pn_str_addf(&out, "%s%c", *c == '\n' && way > 0 ? "\r" : "", *c);
        }
        assert_in_range(out.len, 1, SMALL_ROOM - 1);
        memcpy(s.bad, text, out.len + 1);
        pn_sheets *sheets = NULL;
        pn_error err;
        if (small_read(&pn_alloc_libc, &s, &sheets, &err) != PN_OK) {
            fail_msg("way %d: %s", way, err.message);
        }
        const pn_guide *guide = pn_sheets_guide(sheets);
        size_t red = pn_guide_sheet(guide, pn_text_of("red_bell"));
        assert_int_equal(red, 1);
        assert_string_equal(guide->sheets[red].harm, "Death in a day.");
        pn_sheets_free(sheets);
        /* and the line of a fault is still the right one */
        small_replace(s.bad, "status: deadly", "status: dead");
        check_refused(&(row){.name = "with line ends of two bytes",
                             .want = "red_bell.yaml:7: 'dead' is not a status"},
                      &s);
    }
}

static void check_no_text(pn_sheets_file features, pn_sheets_file bad,
                          const char *want) {
    small s = small_guide();
    pn_sheets_file sheets[] = {
        {"guide/sheets/white_bell.yaml", pn_text_of(s.good)}, bad};
    pn_sheets *out = NULL;
    pn_error err = {PN_OK, ""};
    pn_status status =
        pn_sheets_read(&pn_alloc_libc, &features, sheets, 2, &out, &err);
    if (status != PN_EPARSE || out != NULL ||
        strstr(err.message, want) == NULL) {
        fail_msg("got '%s', want '%s'", err.message, want);
    }
}

static void no_text_is_no_sheet(void **state) {
    (void)state;
    static char large[(1 << 20) + 2];
    static const pn_sheets_file features = {
        "guide/features.yaml", {small_features, sizeof small_features - 1}};
    static const pn_sheets_file bad = {"guide/sheets/red_bell.yaml",
                                       {small_bad, sizeof small_bad - 1}};
    static const pn_text texts[] = {
        {NULL, 0}, {"", 0}, {"\xEF\xBB\xBF", 3}, {"\0\0\0", 3}, {"\r\n", 2}};
    for (size_t i = 0; i < COUNT_OF(texts); i++) {
        check_no_text((pn_sheets_file){features.name, texts[i]}, bad,
                      "guide/features.yaml:1:");
        check_no_text(features, (pn_sheets_file){bad.name, texts[i]},
                      "guide/sheets/red_bell.yaml:1:");
    }
    memset(large, '#', sizeof large - 1);
    check_no_text(features,
                  (pn_sheets_file){bad.name, {large, sizeof large - 1}},
                  "red_bell.yaml:1: no text, or more than");
    /* the same file twice: neither is dropped */
    check_no_text(
        features, (pn_sheets_file){"guide/sheets/white_bell.yaml", bad.text},
        "white_bell.yaml:1: id 'red_bell' in a file for 'white_bell'");
}

/* However a sheet is cut short, it is refused: what is missing is needed. The
 * last line of the deadly one is its harm. */
static void no_truncation_passes(void **state) {
    (void)state;
    size_t least = strlen(small_bad) - 1; /* but for the last line break */
    for (size_t len = 0; len < least; len++) {
        small s = small_guide();
        s.bad[len] = '\0';
        pn_sheets *sheets = NULL;
        pn_error err;
        pn_status status = small_read(&pn_alloc_libc, &s, &sheets, &err);
        pn_sheets_free(sheets);
        if (status != PN_EPARSE) {
            fail_msg("cut after %zu bytes: '%s'", len, err.message);
        }
    }
}

static void features_are_strict(void **state) {
    (void)state;
    static const row cases[] = {
        {"empty", NULL, "", "features.yaml:1: an empty file"},
        {"no list of dangers", "required: [red_bell]\n", "",
         ":1: 'required' is missing"},
        {"dangers in a map", "[red_bell]", "{red_bell: 1}",
         ":2: 'required' must be a list"},
        {"no features", NULL, "source: x\nrequired: []\nfeatures: []\n",
         ":3: no features"},
        {"id twice", "id: gills", "id: form", ":7: feature 'form' stands"},
        {"bad id", "id: gills", "id: Gills", ":7: 'Gills' is no id"},
        {"effort", "effort: touch", "effort: lick",
         ":12: 'lick' is not an effort; known: look, smell, touch"},
        {"kind", "kind: range", "kind: number",
         ":10: 'number' is not a kind of feature"},
        {"range without unit", "unit: cm,", "", ":10: 'unit' is missing"},
        {"states without slip", "slip: 0.02,\n     slip_near: 0.1, needs",
         "\n     slip_near: 0.1, needs", ":7: 'slip' is missing"},
        {"slip of nobody", "slip: 0.01", "slip: 0",
         ":4: 'slip' must be a number from 0.0005"},
        {"slip too often", "slip_near: 0.04", "slip_near: 0.9",
         ":5: 'slip_near' must be a number"},
        {"error", "error_frac: 0.1", "error_frac: 2",
         ":11: 'error_frac' must be a number"},
        {"one state", "[none, single]", "[none]", ":13: 1 states"},
        {"33 states", "[none, single]",
         "[a, b, c, d, e, f, g, h, i, j, k, l, m, n, o, p, q, r, s, t, u, v, "
         "w, x, y, z, aa, ab, ac, ad, ae, af, ag]",
         ":13: 33 states; a feature has 2 to 32"},
        {"state twice", "[none, single]", "[none, none]",
         ":13: 'none' stands here twice"},
        {"near unknown", "[pored, ball]]", "[pored, bull]]",
         ":6: 'bull' is not a state of form"},
        {"near itself", "[pored, ball]]", "[pored, pored]]",
         ":6: 'near' pairs pored with pored"},
        {"near twice", "[pored, ball]]", "[pored, gilled]]",
         ":6: 'near' pairs pored with gilled twice"},
        {"near of three", "[pored, ball]]", "[pored, ball, herb]]",
         ":6: 'near' is a list of pairs"},
        {"needs unknown", "{form: [gilled]}", "{shape: [gilled]}",
         ":8: 'shape' is not a feature"},
        {"needs unknown state", "{form: [gilled]}", "{form: [gild]}",
         ":8: 'gild' is not a state of form"},
        {"needs two", "{form: [gilled]}", "{form: [gilled], ring: [none]}",
         ":8: 'needs' names one feature"},
        {"needs no state", "{form: [gilled]}", "{form: []}",
         ":8: 'needs' must list states"},
        {"needs a range", "{form: [gilled]}", "{width: [wide]}",
         ":8: 'needs' must list states"},
        {"needs itself", "{form: [gilled]}", "{gills: [white]}",
         ":7: what gills needs comes back to itself"},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        small s = small_guide();
        small_replace(s.features, cases[i].from, cases[i].to);
        check_refused(&cases[i], &s);
    }
    small s = small_guide();
    small_replace(s.features, "slip_near: 0.1, states: [none, single]",
                  "slip_near: 0.1, needs: {gills: [pink]}, states: [none, "
                  "single]");
    small_replace(s.features, "{form: [gilled]}", "{ring: [none]}");
    check_refused(&(row){.name = "needs in a circle of two",
                         .want = ":7: what gills needs comes back to itself"},
                  &s);
}

static void organs_have_a_limit(void **state) {
    (void)state;
    static char text[64000];
    pn_str out = pn_str_in(text, sizeof text);
    pn_str_addf(&out, "source: x\nrequired: []\nfeatures:\n");
    for (int i = 0; i < 256; i++) {
        pn_str_addf(&out,
                    "  - {id: f%d, organ: o%d, effort: look, ask: \"?x\", "
                    "slip: 0.01, slip_near: 0.01, states: [a, b]}\n",
                    i, i);
    }
    assert_false(out.cut);
    pn_sheets_file features = {"guide/features.yaml", {text, out.len}};
    pn_sheets *sheets = NULL;
    pn_error err;
    assert_int_equal(
        pn_sheets_read(&pn_alloc_libc, &features, NULL, 0, &sheets, &err),
        PN_EPARSE);
    assert_non_null(strstr(err.message, "features.yaml:259: more than 255"));
}

static void features_have_a_limit(void **state) {
    (void)state;
    static char text[64000];
    pn_str out = pn_str_in(text, sizeof text);
    pn_str_addf(&out, "source: x\nrequired: []\nfeatures:\n");
    for (int i = 0; i < 257; i++) {
        pn_str_addf(&out,
                    "  - {id: f%d, organ: o%d, effort: look, ask: \"?x\", "
                    "slip: 0.01, slip_near: 0.01, states: [a, b]}\n",
                    i, i % 9);
    }
    assert_false(out.cut);
    pn_sheets_file features = {"guide/features.yaml", {text, out.len}};
    pn_sheets *sheets = NULL;
    pn_error err;
    assert_int_equal(
        pn_sheets_read(&pn_alloc_libc, &features, NULL, 0, &sheets, &err),
        PN_EPARSE);
    assert_non_null(strstr(err.message, "features.yaml:4: 257 features"));
}

static void a_guide_needs_sheets(void **state) {
    (void)state;
    small s = small_guide();
    pn_sheets_file features = {"guide/features.yaml", pn_text_of(s.features)};
    pn_sheets *sheets = NULL;
    pn_error err;
    assert_int_equal(
        pn_sheets_read(&pn_alloc_libc, &features, NULL, 0, &sheets, &err),
        PN_EPARSE);
    assert_null(sheets);
    assert_non_null(strstr(err.message, "there is no sheet of 'red_bell'"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(yaml_is_strict),
        cmocka_unit_test(keys_and_types_are_strict),
        cmocka_unit_test(words_are_known),
        cmocka_unit_test(numbers_hold),
        cmocka_unit_test(sheets_hang_together),
        cmocka_unit_test(dangers_stay),
        cmocka_unit_test(no_truncation_passes),
        cmocka_unit_test(features_are_strict),
        cmocka_unit_test(organs_have_a_limit),
        cmocka_unit_test(features_have_a_limit),
        cmocka_unit_test(other_editors_write_sheets_too),
        cmocka_unit_test(no_text_is_no_sheet),
        cmocka_unit_test(a_guide_needs_sheets),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
