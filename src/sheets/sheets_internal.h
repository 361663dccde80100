/** @file sheets_internal.h
 * A file becomes a tree of nodes, the tree becomes sheets. The reader keeps
 * the first failure; after it every reading function returns an empty value
 * and does nothing, so that callers need to look only once, at the end.
 */
#ifndef PN_SHEETS_INTERNAL_H
#define PN_SHEETS_INTERNAL_H

#include "pannage/sheets.h"

/* ---- trees ------------------------------------------------------------- */

typedef enum sheets_kind {
    SHEETS_SCALAR,
    SHEETS_LIST,
    SHEETS_MAP,
} sheets_kind;

/** Texts are NUL-terminated and hold no NUL. */
typedef struct sheets_node {
    sheets_kind kind;
    size_t line;
    bool is_plain; /**< a scalar without quotes */
    pn_text key;   /**< of an entry of a map */
    pn_text text;  /**< of a scalar */
    size_t count;  /**< of entries */
    struct sheets_node *first, *last, *next, *parent;
} sheets_node;

/** A sheet while it is being read. */
typedef struct sheets_draft {
    const sheets_node *tree; /**< NULL: it failed */
    const char *file;
} sheets_draft;

typedef struct sheets_reader {
    pn_arena *keep;    /**< what the guide points to */
    pn_arena *scratch; /**< what may go once it is read */
    const char *file;  /**< being read */
    pn_feature *features;
    size_t feature_count;
    const char **organs;
    size_t organ_count;
    pn_sheet *sheets;
    sheets_draft *drafts; /**< [sheet_count] */
    size_t sheet_count;
    const sheets_node *required; /**< list of ids that must be there */
    pn_status status;
    pn_error *err;
} sheets_reader;

/** Keep a failure, unless one is kept already. */
void sheets_fail(sheets_reader *r, const sheets_node *node, const char *fmt,
                 ...) PN_PRINTF(3, 4);
/** Zeroed; NULL when memory is out, which is then the failure. */
void *sheets_array(sheets_reader *r, pn_arena *arena, size_t count,
                   size_t item_size);
/** What the reader has so far, as a guide. */
pn_guide sheets_guide_of(const sheets_reader *r);

/** The only document of the file: a map. NULL after a failure. */
sheets_node *sheets_tree(sheets_reader *r, const pn_sheets_file *file);

/* ---- values ------------------------------------------------------------ */

typedef struct sheets_key {
    const char *name;
    bool needed;
} sheets_key;

/** False, and a failure, unless the node is a map of these keys. */
bool sheets_map(sheets_reader *r, const sheets_node *node,
                const sheets_key *keys, size_t key_count);
bool sheets_list(sheets_reader *r, const sheets_node *node);
/** NULL when there is none. */
const sheets_node *sheets_entry(const sheets_node *map, const char *key);

/** NULL nodes give the empty value: "", 0, false. */
const char *sheets_prose(sheets_reader *r, const sheets_node *node);
/** a-z, 0-9 and _, starting with a letter. */
const char *sheets_id(sheets_reader *r, const sheets_node *node);
/** Checked to be low .. high, both included. */
double sheets_number(sheets_reader *r, const sheets_node *node, double low,
                     double high);
int sheets_month(sheets_reader *r, const sheets_node *node);
bool sheets_bool(sheets_reader *r, const sheets_node *node);

typedef struct sheets_words {
    const char *what; /**< "a group" */
    const char *const *at;
    size_t count;
} sheets_words;

/** PN_GUIDE_NONE when it is none of them, without a failure. */
size_t sheets_find(const sheets_words *words, pn_text text);
/** Index among the words. */
size_t sheets_word(sheets_reader *r, const sheets_node *node,
                   const sheets_words *words);
/** A list of different words; any prose where words is NULL. */
pn_guide_names sheets_names(sheets_reader *r, const sheets_node *node,
                            const sheets_words *words);

/* ---- the vocabulary ------------------------------------------------------ */

typedef enum sheets_vocabulary {
    SHEETS_GROUPS,
    SHEETS_STATUSES, /**< in the order of pn_guide_status */
    SHEETS_HABITATS,
    SHEETS_HOSTS,
    SHEETS_PARTS,
    SHEETS_USES,
    SHEETS_STAGES, /**< in the order of pn_guide_stage */
    SHEETS_TAKES,
    SHEETS_ABOUTS,
    SHEETS_LAWS,
    SHEETS_EFFORTS, /**< in the order of pn_effort */
    SHEETS_VOCABULARY_COUNT
} sheets_vocabulary;

const sheets_words *sheets_vocabulary_of(sheets_vocabulary which);

/* ---- features.yaml and sheets -------------------------------------------- */

void sheets_read_features(sheets_reader *r, const pn_sheets_file *file);
/** PN_GUIDE_NONE, and a failure, when the guide has no such feature. */
size_t sheets_feature(sheets_reader *r, const sheets_node *node, pn_text id);
/** PN_GUIDE_NONE, and a failure, when it has no such state. */
size_t sheets_state(sheets_reader *r, const sheets_node *node,
                    const pn_feature *feature, pn_text name);

/** Everything but the look-alikes, which need all sheets. */
void sheets_read_sheet(sheets_reader *r, const pn_sheets_file *file, size_t k);
void sheets_read_traits(sheets_reader *r, const sheets_node *map,
                        pn_sheet *sheet);
/** Features that the sheet describes; at most PN_GUIDE_LIST_MAX. */
size_t sheets_read_feature_list(sheets_reader *r, const sheets_node *list,
                                size_t *out);
void sheets_read_lookalikes(sheets_reader *r, size_t k);
/** Is look-alike i of sheet k told apart as pn_guide_check() wants it? */
void sheets_check_pair(sheets_reader *r, size_t k, size_t i);

#endif
