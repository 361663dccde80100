#include <math.h>
#include <string.h>

#include "sheets/sheets_internal.h"

#define COUNT(a) (sizeof(a) / sizeof *(a))

enum { MUST_SEE_LEAST = 4, MUST_SEE_MOST = 8 };
static const double FRESH_DAYS_MOST = 3650.0;

static const sheets_key sheet_keys[] = {
    {"id", true},       {"english", true},     {"scientific", true},
    {"author", true},   {"names", true},       {"group", true},
    {"status", true},   {"expert_only", true}, {"source", true},
    {"about", true},    {"season", true},      {"peak", false},
    {"habitats", true}, {"hosts", true},       {"features", true},
    {"must_see", true}, {"lookalikes", true},  {"stages", true},
    {"parts", true},    {"cautions", true},    {"law", true},
    {"keeps", true},    {"take", true},        {"harm", false}};

/* ---- identity --------------------------------------------------------------
 */

/* "guide/sheets/death_cap.yaml" gives "death_cap". */
static pn_text stem_of(const char *file) {
    const char *slash = strrchr(file, '/');
    pn_text stem = pn_text_of(slash == NULL ? file : slash + 1);
    static const char ending[] = ".yaml";
    size_t len = sizeof ending - 1;
    if (stem.len > len && memcmp(stem.at + stem.len - len, ending, len) == 0) {
        stem.len -= len;
    }
    return stem;
}

/* A second kind of the same name could never be looked up. Leaf and nut of one
 * tree may share its scientific name. */
static void check_new_name(sheets_reader *r, const sheets_node *node,
                           size_t k) {
    for (size_t i = 0; i < k && r->status == PN_OK; i++) {
        if (pn_text_equal_nocase(node->text, pn_text_of(r->sheets[i].id)) ||
            pn_text_equal_nocase(node->text,
                                 pn_text_of(r->sheets[i].english))) {
            sheets_fail(r, node,
                        "'%.60s' is taken by %s; each kind has its own",
                        node->text.at, r->drafts[i].file);
        }
    }
}

static void read_identity(sheets_reader *r, const sheets_node *tree, size_t k) {
    pn_sheet *sheet = &r->sheets[k];
    const sheets_node *id = sheets_entry(tree, "id");
    const sheets_node *english = sheets_entry(tree, "english");
    const char *written = sheets_id(r, id);
    if (r->status == PN_OK && strcmp(written, sheet->id) != 0) {
        sheets_fail(r, id, "id '%.40s' in a file for '%.40s'; they must agree",
                    written, sheet->id);
    }
    sheet->english = sheets_prose(r, english);
    sheet->scientific = sheets_prose(r, sheets_entry(tree, "scientific"));
    sheet->author = sheets_prose(r, sheets_entry(tree, "author"));
    check_new_name(r, id, k);
    check_new_name(r, english, k);
}

static void read_other_names(sheets_reader *r, const sheets_node *map,
                             pn_sheet *sheet) {
    static const sheets_key keys[] = {
        {"welsh", true}, {"gaelic", true}, {"other", true}};
    if (sheets_map(r, map, keys, COUNT(keys))) {
        sheet->welsh = sheets_names(r, sheets_entry(map, "welsh"), NULL);
        sheet->gaelic = sheets_names(r, sheets_entry(map, "gaelic"), NULL);
        sheet->other = sheets_names(r, sheets_entry(map, "other"), NULL);
    }
}

static void read_class(sheets_reader *r, const sheets_node *tree,
                       pn_sheet *sheet) {
    const sheets_words *groups = sheets_vocabulary_of(SHEETS_GROUPS);
    sheet->group =
        groups->at[sheets_word(r, sheets_entry(tree, "group"), groups)];
    sheet->status = (pn_guide_status)sheets_word(
        r, sheets_entry(tree, "status"), sheets_vocabulary_of(SHEETS_STATUSES));
    sheet->expert_only = sheets_bool(r, sheets_entry(tree, "expert_only"));
    sheet->source = sheets_prose(r, sheets_entry(tree, "source"));
    sheet->about = sheets_prose(r, sheets_entry(tree, "about"));
    sheet->take = sheets_prose(r, sheets_entry(tree, "take"));
    sheet->harm = sheets_prose(r, sheets_entry(tree, "harm"));
    if (pn_guide_is_danger(sheet->status) && sheet->harm[0] == '\0') {
        sheets_fail(r, tree,
                    "'harm' is missing: a %s kind must say what it "
                    "does, and how soon",
                    pn_guide_status_name(sheet->status));
    }
}

/* ---- when and where
 * ---------------------------------------------------------- */

static void read_months(sheets_reader *r, const sheets_node *list, int *from,
                        int *to) {
    if (!sheets_list(r, list)) {
        return;
    }
    if (list->count != 2) {
        sheets_fail(r, list, "'%s' is two months: [first, last]", list->key.at);
        return;
    }
    *from = sheets_month(r, list->first);
    *to = sheets_month(r, list->last);
}

static void read_when_and_where(sheets_reader *r, const sheets_node *tree,
                                pn_sheet *sheet) {
    const sheets_node *peak = sheets_entry(tree, "peak");
    read_months(r, sheets_entry(tree, "season"), &sheet->season_from,
                &sheet->season_to);
    read_months(r, peak, &sheet->peak_from, &sheet->peak_to);
    if (peak != NULL && r->status == PN_OK &&
        !(pn_sheet_in_season(sheet, sheet->peak_from) &&
          pn_sheet_in_season(sheet, sheet->peak_to))) {
        sheets_fail(r, peak, "'peak' lies outside 'season'; mend one of them");
    }
    sheet->habitats = sheets_names(r, sheets_entry(tree, "habitats"),
                                   sheets_vocabulary_of(SHEETS_HABITATS));
    sheet->hosts = sheets_names(r, sheets_entry(tree, "hosts"),
                                sheets_vocabulary_of(SHEETS_HOSTS));
    sheet->law = sheets_names(r, sheets_entry(tree, "law"),
                              sheets_vocabulary_of(SHEETS_LAWS));
}

/* ---- sentences -------------------------------------------------------------
 */

/* How the sentences of one list are written. */
typedef struct sentence_shape {
    const char *about_key;
    sheets_vocabulary abouts;
    const char *what_key; /* NULL: none */
    sheets_vocabulary whats;
    bool has_stage; /* may say of which stage it speaks */
    bool is_stage;  /* speaks of the stage it is about, once for each */
    const char *words_key;
} sentence_shape;

static const sentence_shape stage_shape = {
    "stage", SHEETS_STAGES, "take", SHEETS_TAKES, false, true, "words"};
static const sentence_shape part_shape = {
    "part", SHEETS_PARTS, "use", SHEETS_USES, true, false, "words"};
static const sentence_shape caution_shape = {
    "about", SHEETS_ABOUTS, NULL, SHEETS_ABOUTS, false, false, "text"};

static const char *word_at(sheets_reader *r, const sheets_node *map,
                           const char *key, sheets_vocabulary which) {
    const sheets_node *node = sheets_entry(map, key);
    const sheets_words *words = sheets_vocabulary_of(which);
    return node == NULL ? "" : words->at[sheets_word(r, node, words)];
}

static void read_sentence(sheets_reader *r, const sheets_node *map,
                          const sentence_shape *shape, pn_guide_words *out) {
    sheets_key keys[5] = {
        {shape->about_key, true}, {shape->words_key, true}, {"source", false}};
    size_t count = 3;
    if (shape->what_key != NULL) {
        keys[count++] = (sheets_key){shape->what_key, true};
    }
    if (shape->has_stage) {
        keys[count++] = (sheets_key){"stage", false};
    }
    if (!sheets_map(r, map, keys, count)) {
        return;
    }
    out->about = word_at(r, map, shape->about_key, shape->abouts);
    out->what = shape->what_key == NULL
                    ? ""
                    : word_at(r, map, shape->what_key, shape->whats);
    out->stage = shape->is_stage    ? out->about
                 : shape->has_stage ? word_at(r, map, "stage", SHEETS_STAGES)
                                    : "";
    out->words = sheets_prose(r, sheets_entry(map, shape->words_key));
    const sheets_node *source = sheets_entry(map, "source");
    if (source != NULL) {
        out->source = sheets_prose(r, source);
    }
}

static void check_new_stage(sheets_reader *r, const sheets_node *node,
                            const pn_guide_words *at, size_t i) {
    for (size_t j = 0; j < i && r->status == PN_OK; j++) {
        if (strcmp(at[j].about, at[i].about) == 0) {
            sheets_fail(r, node, "stage '%s' stands here twice; keep one",
                        at[i].about);
        }
    }
}

static pn_guide_list read_sentences(sheets_reader *r, const sheets_node *list,
                                    const sentence_shape *shape,
                                    const char *source) {
    pn_guide_list out = {NULL, 0};
    if (!sheets_list(r, list)) {
        return out;
    }
    pn_guide_words *at = sheets_array(r, r->keep, list->count, sizeof *at);
    for (const sheets_node *e = list->first; e != NULL && r->status == PN_OK;
         e = e->next) {
        at[out.count].source = source;
        read_sentence(r, e, shape, &at[out.count]);
        if (shape->is_stage) {
            check_new_stage(r, e, at, out.count);
        }
        out.count++;
    }
    out.at = at;
    return out;
}

static void read_keeps(sheets_reader *r, const sheets_node *map,
                       pn_sheet *sheet) {
    static const sheets_key keys[] = {{"fresh_days", false}, {"words", true}};
    if (!sheets_map(r, map, keys, COUNT(keys))) {
        return;
    }
    const sheets_node *days = sheets_entry(map, "fresh_days");
    sheet->fresh_days = days == NULL
                            ? (double)NAN
                            : sheets_number(r, days, 0.0, FRESH_DAYS_MOST);
    sheet->keeps = sheets_prose(r, sheets_entry(map, "words"));
}

/* ---- must-see
 * ---------------------------------------------------------------- */

size_t sheets_read_feature_list(sheets_reader *r, const sheets_node *list,
                                size_t *out) {
    size_t count = 0;
    if (!sheets_list(r, list)) {
        return 0;
    }
    if (list->count > PN_GUIDE_LIST_MAX) {
        sheets_fail(r, list, "more than %d features; keep the telling ones",
                    PN_GUIDE_LIST_MAX);
    }
    for (const sheets_node *e = list->first; e != NULL; e = e->next) {
        const char *id = sheets_id(r, e);
        size_t f = sheets_feature(r, e, pn_text_of(id));
        if (r->status != PN_OK) {
            return 0;
        }
        for (size_t i = 0; i < count; i++) {
            if (out[i] == f) {
                sheets_fail(r, e, "'%s' stands here twice; keep one", id);
            }
        }
        out[count++] = f;
    }
    return count;
}

static void check_must_see(sheets_reader *r, const sheets_node *list,
                           const pn_sheet *sheet) {
    bool gathered = pn_guide_is_gathered(sheet->status);
    if (gathered && (sheet->must_see_count < MUST_SEE_LEAST ||
                     sheet->must_see_count > MUST_SEE_MOST)) {
        sheets_fail(r, list,
                    "%zu must-see features; a kind that is gathered "
                    "has %d to %d",
                    sheet->must_see_count, MUST_SEE_LEAST, MUST_SEE_MOST);
    }
    const sheets_node *e = list->first;
    for (size_t i = 0; i < sheet->must_see_count; i++, e = e->next) {
        const pn_feature *feature = &r->features[sheet->must_see[i]];
        if (pn_sheet_trait(sheet, sheet->must_see[i]) == NULL) {
            sheets_fail(r, e,
                        "must_see names %s, which the sheet does not "
                        "describe; describe it",
                        feature->id);
        }
        if (feature->effort == PN_EFFORT_BENCH) {
            sheets_fail(r, e,
                        "must_see names %s, which the field cannot "
                        "show; take another",
                        feature->id);
        }
    }
}

static void read_must_see(sheets_reader *r, const sheets_node *list,
                          pn_sheet *sheet) {
    sheet->must_see_count = sheets_read_feature_list(r, list, sheet->must_see);
    if (r->status == PN_OK) {
        check_must_see(r, list, sheet);
    }
}

/* ---- the sheet
 * ----------------------------------------------------------------- */

static const sheets_node *open_sheet(sheets_reader *r,
                                     const pn_sheets_file *file, size_t k) {
    pn_text stem = stem_of(file->name);
    r->file = file->name;
    r->drafts[k].file = file->name;
    char *id =
        r->status == PN_OK ? pn_arena_copy(r->keep, stem.at, stem.len) : NULL;
    if (id == NULL) {
        r->status = pn_fail(r->err, PN_ENOMEM, "out of memory");
        return NULL;
    }
    /* the name stands even if the sheet fails: look-alikes may name it */
    r->sheets[k] = (pn_sheet){.id = id, .english = "", .scientific = ""};
    const sheets_node *tree = sheets_tree(r, file);
    return sheets_map(r, tree, sheet_keys, COUNT(sheet_keys)) ? tree : NULL;
}

void sheets_read_sheet(sheets_reader *r, const pn_sheets_file *file, size_t k) {
    pn_sheet *sheet = &r->sheets[k];
    const sheets_node *tree = open_sheet(r, file, k);
    if (tree == NULL) {
        return;
    }
    read_identity(r, tree, k);
    read_other_names(r, sheets_entry(tree, "names"), sheet);
    read_class(r, tree, sheet);
    read_when_and_where(r, tree, sheet);
    read_keeps(r, sheets_entry(tree, "keeps"), sheet);
    sheet->stages = read_sentences(r, sheets_entry(tree, "stages"),
                                   &stage_shape, sheet->source);
    sheet->parts = read_sentences(r, sheets_entry(tree, "parts"), &part_shape,
                                  sheet->source);
    sheet->cautions = read_sentences(r, sheets_entry(tree, "cautions"),
                                     &caution_shape, sheet->source);
    sheets_read_traits(r, sheets_entry(tree, "features"), sheet);
    read_must_see(r, sheets_entry(tree, "must_see"), sheet);
    r->drafts[k].tree = r->status == PN_OK ? tree : NULL;
}
