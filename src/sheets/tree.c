#include <string.h>
#include <yaml.h>

#include "sheets/sheets_internal.h"

/* No sheet comes near these; they bound what a hostile file can cost. */
enum {
    TEXT_BYTES_MAX = 1 << 20,
    DEPTH_MAX = 12,
    ENTRIES_MAX = 1000,
};

/* Where the next node goes. */
typedef struct composer {
    sheets_node *root;
    sheets_node *open; /* the list or map being filled; NULL: none */
    size_t depth;
    bool has_key; /* a map's key has come, its value has not */
    sheets_node key;
} composer;

/* Only its line, for a failure. */
static sheets_node place(const yaml_mark_t *mark) {
    return (sheets_node){.line = mark->line + 1};
}

static size_t lines_before(pn_text text, size_t offset) {
    size_t lines = 0;
    for (size_t i = 0; i < offset && i < text.len; i++) {
        lines += text.at[i] == '\n';
    }
    return lines;
}

static void fail_syntax(sheets_reader *r, const yaml_parser_t *parser,
                        pn_text text) {
    if (parser->error == YAML_MEMORY_ERROR) {
        r->status = pn_fail(r->err, PN_ENOMEM, "out of memory");
        return;
    }
    sheets_node at = place(&parser->problem_mark);
    if (parser->error == YAML_READER_ERROR) {
        at.line = lines_before(text, parser->problem_offset) + 1;
    }
    sheets_fail(r, &at, "not YAML: %s; mend it, or put the text in quotes",
                parser->problem != NULL ? parser->problem : "unknown fault");
}

/* NUL and other controls could cut or garble what is shown. */
static bool has_controls(pn_text text) {
    for (size_t i = 0; i < text.len; i++) {
        unsigned char c = (unsigned char)text.at[i];
        bool c1 = c == 0xC2 && i + 1 < text.len &&
                  (unsigned char)text.at[i + 1] < 0xA0;
        if (c < 0x20 || c == 0x7F || c1) {
            return true;
        }
    }
    return false;
}

static sheets_node scalar_of(sheets_reader *r, const yaml_event_t *event) {
    sheets_node node = place(&event->start_mark);
    const char *at = (const char *)event->data.scalar.value;
    size_t len = event->data.scalar.length;
    if (has_controls((pn_text){at, len})) {
        sheets_fail(r, &node,
                    "a text with a line break or control character in it; "
                    "write one paragraph, after >- if it is long");
        return node;
    }
    node.text.at = pn_arena_copy(r->keep, at, len);
    node.text.len = len;
    node.is_plain = event->data.scalar.style == YAML_PLAIN_SCALAR_STYLE;
    if (node.text.at == NULL) {
        r->status = pn_fail(r->err, PN_ENOMEM, "out of memory");
    }
    return node;
}

static void take_key(sheets_reader *r, composer *c, const sheets_node *node) {
    if (node->kind != SHEETS_SCALAR || node->text.len == 0) {
        sheets_fail(r, node, "a key must be one word");
        return;
    }
    if (sheets_entry(c->open, node->text.at) != NULL) {
        sheets_fail(r, node, "'%.60s' stands here twice; keep one",
                    node->text.at);
        return;
    }
    c->key = *node;
    c->has_key = true;
}

/* Hang a copy of the node in the tree. */
static sheets_node *hang(sheets_reader *r, composer *c, sheets_node node) {
    sheets_node *at = sheets_array(r, r->scratch, 1, sizeof *at);
    if (at == NULL) {
        return NULL;
    }
    *at = node;
    at->parent = c->open;
    if (c->open == NULL) {
        c->root = at;
        return at;
    }
    if (c->has_key) {
        at->key = c->key.text;
        c->has_key = false;
    }
    *(c->open->last == NULL ? &c->open->first : &c->open->last->next) = at;
    c->open->last = at;
    c->open->count++;
    return at;
}

static void take_node(sheets_reader *r, composer *c, sheets_node node) {
    if (r->status != PN_OK) {
        return;
    }
    if (c->open != NULL && c->open->kind == SHEETS_MAP && !c->has_key) {
        take_key(r, c, &node);
        return;
    }
    if (c->depth >= DEPTH_MAX ||
        (c->open != NULL && c->open->count >= ENTRIES_MAX)) {
        sheets_fail(r, &node, "too deep or too long for a sheet");
        return;
    }
    sheets_node *at = hang(r, c, node);
    if (at != NULL && node.kind != SHEETS_SCALAR) {
        c->open = at;
        c->depth++;
    }
}

static void take_end(composer *c) {
    if (c->open != NULL) {
        c->open = c->open->parent;
        c->depth--;
    }
}

/* Anchors and tags change what a text means; sheets have no use for them. */
static void refuse_extras(sheets_reader *r, const yaml_event_t *event) {
    const yaml_char_t *anchor = NULL;
    const yaml_char_t *tag = NULL;
    if (event->type == YAML_SCALAR_EVENT) {
        anchor = event->data.scalar.anchor;
        tag = event->data.scalar.tag;
    } else if (event->type == YAML_SEQUENCE_START_EVENT) {
        anchor = event->data.sequence_start.anchor;
        tag = event->data.sequence_start.tag;
    } else if (event->type == YAML_MAPPING_START_EVENT) {
        anchor = event->data.mapping_start.anchor;
        tag = event->data.mapping_start.tag;
    }
    if (anchor != NULL || tag != NULL || event->type == YAML_ALIAS_EVENT) {
        sheets_node at = place(&event->start_mark);
        sheets_fail(r, &at, "a sheet has no %s; write the thing out",
                    tag != NULL ? "tags (!)" : "anchors or aliases (&, *)");
    }
}

static void take_event(sheets_reader *r, composer *c,
                       const yaml_event_t *event) {
    sheets_node node = place(&event->start_mark);
    refuse_extras(r, event);
    if (r->status != PN_OK) {
        return;
    }
    switch (event->type) {
    case YAML_DOCUMENT_START_EVENT:
        if (c->root != NULL) {
            sheets_fail(r, &node, "a second document; one file, one sheet");
        }
        break;
    case YAML_SCALAR_EVENT:
        take_node(r, c, scalar_of(r, event));
        break;
    case YAML_SEQUENCE_START_EVENT:
        node.kind = SHEETS_LIST;
        take_node(r, c, node);
        break;
    case YAML_MAPPING_START_EVENT:
        node.kind = SHEETS_MAP;
        take_node(r, c, node);
        break;
    case YAML_SEQUENCE_END_EVENT:
    case YAML_MAPPING_END_EVENT:
        take_end(c);
        break;
    case YAML_NO_EVENT:
    case YAML_STREAM_START_EVENT:
    case YAML_STREAM_END_EVENT:
    case YAML_DOCUMENT_END_EVENT:
    case YAML_ALIAS_EVENT:
        break;
    }
}

static void compose(sheets_reader *r, yaml_parser_t *parser, pn_text text,
                    composer *c) {
    bool ended = false;
    while (!ended && r->status == PN_OK) {
        yaml_event_t event;
        if (!yaml_parser_parse(parser, &event)) {
            fail_syntax(r, parser, text);
            return;
        }
        take_event(r, c, &event);
        ended = event.type == YAML_STREAM_END_EVENT;
        yaml_event_delete(&event);
    }
}

/* Some editors put a byte order mark before a UTF-8 text. */
static pn_text without_mark(pn_text text) {
    static const char mark[3] = "\xEF\xBB\xBF";
    bool has_mark =
        text.len >= sizeof mark && memcmp(text.at, mark, sizeof mark) == 0;
    size_t skip = has_mark ? sizeof mark : 0;
    return (pn_text){text.at + skip, text.len - skip};
}

sheets_node *sheets_tree(sheets_reader *r, const pn_sheets_file *file) {
    composer c = {.root = NULL};
    sheets_node top = {.line = 1};
    yaml_parser_t parser;
    r->file = file->name;
    if (r->status != PN_OK) {
        return NULL;
    }
    if (file->text.at == NULL || file->text.len > TEXT_BYTES_MAX) {
        sheets_fail(r, &top, "no text, or more than %d bytes", TEXT_BYTES_MAX);
        return NULL;
    }
    if (!yaml_parser_initialize(&parser)) {
        r->status = pn_fail(r->err, PN_ENOMEM, "out of memory");
        return NULL;
    }
    pn_text text = without_mark(file->text);
    yaml_parser_set_encoding(&parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&parser, (const unsigned char *)text.at,
                                 text.len);
    compose(r, &parser, text, &c);
    yaml_parser_delete(&parser);
    if (r->status == PN_OK && (c.root == NULL || c.root->kind != SHEETS_MAP)) {
        sheets_fail(r, &top,
                    "an empty file, or not 'key: value' at the top; "
                    "see docs/guide-format.md");
    }
    return r->status == PN_OK ? c.root : NULL;
}
