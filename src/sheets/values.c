#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "sheets/sheets_internal.h"

void sheets_fail(sheets_reader *r, const sheets_node *node, const char *fmt,
                 ...) {
    char text[sizeof r->err->message];
    va_list args;
    if (r->status != PN_OK) {
        return;
    }
    va_start(args, fmt);
    (void)vsnprintf(text, sizeof text, fmt, args);
    va_end(args);
    r->status =
        pn_fail(r->err, PN_EPARSE, "%s:%zu: %s", r->file, node->line, text);
}

void *sheets_array(sheets_reader *r, pn_arena *arena, size_t count,
                   size_t item_size) {
    void *array = NULL;
    if (r->status == PN_OK) {
        array = pn_arena_array(arena, count > 0 ? count : 1, item_size);
        if (array == NULL) {
            r->status = pn_fail(r->err, PN_ENOMEM, "out of memory");
        }
    }
    return array;
}

/* ---- maps and lists ------------------------------------------------------ */

const sheets_node *sheets_entry(const sheets_node *map, const char *key) {
    pn_text name = pn_text_of(key);
    const sheets_node *entry = map == NULL ? NULL : map->first;
    while (entry != NULL && !pn_text_equal(entry->key, name)) {
        entry = entry->next;
    }
    return entry;
}

static void fail_key(sheets_reader *r, const sheets_node *entry,
                     const sheets_key *keys, size_t key_count) {
    char buf[300];
    pn_str list = pn_str_in(buf, sizeof buf);
    for (size_t i = 0; i < key_count; i++) {
        pn_str_addf(&list, "%s%s", i > 0 ? ", " : "", keys[i].name);
    }
    sheets_fail(r, entry, "unknown key '%.40s'; known here: %s", entry->key.at,
                buf);
}

static bool is_known(pn_text key, const sheets_key *keys, size_t key_count) {
    for (size_t i = 0; i < key_count; i++) {
        if (pn_text_equal(key, pn_text_of(keys[i].name))) {
            return true;
        }
    }
    return false;
}

/* "'author'", or where it stands when it has no key. */
static const char *name_of(const sheets_node *node) {
    return node->key.len > 0 ? node->key.at : "this";
}

bool sheets_map(sheets_reader *r, const sheets_node *node,
                const sheets_key *keys, size_t key_count) {
    if (node == NULL || r->status != PN_OK) {
        return false;
    }
    if (node->kind != SHEETS_MAP) {
        sheets_fail(r, node, "'%.40s' must be {key: value, ...}",
                    name_of(node));
        return false;
    }
    for (const sheets_node *e = node->first; e != NULL; e = e->next) {
        if (!is_known(e->key, keys, key_count)) {
            fail_key(r, e, keys, key_count);
        }
    }
    for (size_t i = 0; i < key_count; i++) {
        if (keys[i].needed && sheets_entry(node, keys[i].name) == NULL) {
            sheets_fail(r, node, "'%s' is missing; add it", keys[i].name);
        }
    }
    return r->status == PN_OK;
}

bool sheets_list(sheets_reader *r, const sheets_node *node) {
    if (node == NULL || r->status != PN_OK) {
        return false;
    }
    if (node->kind != SHEETS_LIST) {
        sheets_fail(r, node, "'%.40s' must be a list: [a, b], or [] for none",
                    name_of(node));
    }
    return r->status == PN_OK;
}

/* ---- scalars --------------------------------------------------------------
 */

static bool is_scalar(sheets_reader *r, const sheets_node *node,
                      const char *wanted) {
    if (node == NULL || r->status != PN_OK) {
        return false;
    }
    if (node->kind != SHEETS_SCALAR) {
        sheets_fail(r, node, "'%.40s' must be %s", name_of(node), wanted);
    }
    return r->status == PN_OK;
}

static bool is_word_of(pn_text text, const char *const *words, size_t count) {
    for (size_t i = 0; i < count; i++) {
        if (pn_text_equal(text, pn_text_of(words[i]))) {
            return true;
        }
    }
    return false;
}

/* What YAML takes for a number, a truth value or nothing at all. */
static bool is_other_type(const sheets_node *node) {
    static const char *const words[] = {"~",     "null", "Null", "NULL",
                                        "true",  "True", "TRUE", "false",
                                        "False", "FALSE"};
    double number = 0.0;
    return node->is_plain &&
           (is_word_of(node->text, words, sizeof words / sizeof *words) ||
            pn_text_to_double(node->text, &number));
}

const char *sheets_prose(sheets_reader *r, const sheets_node *node) {
    if (!is_scalar(r, node, "a text")) {
        return "";
    }
    if (pn_text_trim(node->text).len == 0 || is_other_type(node)) {
        sheets_fail(r, node,
                    "'%.40s' must be a text; write one, in quotes if it looks "
                    "like a number",
                    name_of(node));
        return "";
    }
    return node->text.at;
}

static bool is_id(pn_text text) {
    static const char letters[] = "abcdefghijklmnopqrstuvwxyz0123456789_";
    return text.len > 0 && text.at[0] >= 'a' && text.at[0] <= 'z' &&
           strspn(text.at, letters) == text.len;
}

const char *sheets_id(sheets_reader *r, const sheets_node *node) {
    const char *id = sheets_prose(r, node);
    if (node != NULL && r->status == PN_OK && !is_id(node->text)) {
        sheets_fail(r, node, "'%.40s' is no id: use a-z, 0-9 and _", id);
        return "";
    }
    return id;
}

double sheets_number(sheets_reader *r, const sheets_node *node, double low,
                     double high) {
    double number = 0.0;
    if (!is_scalar(r, node, "a number")) {
        return 0.0;
    }
    bool is_number = node->is_plain && pn_text_to_double(node->text, &number);
    if (!is_number || number < low || number > high) {
        sheets_fail(r, node,
                    "'%.40s' must be a number from %g to %g, not '%.40s'",
                    name_of(node), low, high, node->text.at);
        return 0.0;
    }
    return number;
}

int sheets_month(sheets_reader *r, const sheets_node *node) {
    int64_t month = 0;
    if (!is_scalar(r, node, "a month")) {
        return 0;
    }
    if (!node->is_plain || !pn_text_to_int(node->text, &month) || month < 1 ||
        month > 12) {
        sheets_fail(r, node, "'%.40s' is no month: use 1 to 12", node->text.at);
        return 0;
    }
    return (int)month;
}

bool sheets_bool(sheets_reader *r, const sheets_node *node) {
    if (!is_scalar(r, node, "true or false")) {
        return false;
    }
    bool is_true = pn_text_equal(node->text, pn_text_of("true"));
    bool is_false = pn_text_equal(node->text, pn_text_of("false"));
    if (!node->is_plain || !(is_true || is_false)) {
        sheets_fail(r, node, "'%.40s' must be true or false, not '%.40s'",
                    name_of(node), node->text.at);
    }
    return is_true;
}

/* ---- words ----------------------------------------------------------------
 */

size_t sheets_find(const sheets_words *words, pn_text text) {
    for (size_t i = 0; i < words->count; i++) {
        if (pn_text_equal(text, pn_text_of(words->at[i]))) {
            return i;
        }
    }
    return PN_GUIDE_NONE;
}

size_t sheets_word(sheets_reader *r, const sheets_node *node,
                   const sheets_words *words) {
    if (!is_scalar(r, node, words->what)) {
        return 0;
    }
    size_t found = sheets_find(words, node->text);
    if (found != PN_GUIDE_NONE) {
        return found;
    }
    char buf[400];
    pn_str list = pn_str_in(buf, sizeof buf);
    for (size_t i = 0; i < words->count; i++) {
        pn_str_addf(&list, "%s%s", i > 0 ? ", " : "", words->at[i]);
    }
    sheets_fail(r, node, "'%.40s' is not %s; known: %s", node->text.at,
                words->what, buf);
    return 0;
}

pn_guide_names sheets_names(sheets_reader *r, const sheets_node *node,
                            const sheets_words *words) {
    pn_guide_names names = {NULL, 0};
    if (!sheets_list(r, node)) {
        return names;
    }
    const char **at = sheets_array(r, r->keep, node->count, sizeof *at);
    for (const sheets_node *e = node->first; e != NULL && at != NULL;
         e = e->next) {
        const char *name = words == NULL ? sheets_prose(r, e)
                                         : words->at[sheets_word(r, e, words)];
        if (is_word_of(pn_text_of(name), at, names.count)) {
            sheets_fail(r, e, "'%.40s' stands here twice; keep one", name);
        }
        at[names.count++] = name;
    }
    names.at = at;
    return names;
}
