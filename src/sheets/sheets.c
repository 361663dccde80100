#include <string.h>

#include "sheets/sheets_internal.h"

struct pn_sheets {
    pn_arena *arena;
    pn_guide guide;
};

/* What becomes of faults: without a listener the first one ends it. */
typedef struct ear {
    const pn_sheets_listener *listener;
    size_t fault_count;
} ear;

/* The files of a guide. */
typedef struct guide_files {
    const pn_sheets_file *features;
    const pn_sheets_file *sheets;
    size_t sheet_count;
} guide_files;

pn_guide sheets_guide_of(const sheets_reader *r) {
    return (pn_guide){.features = r->features,
                      .feature_count = r->feature_count,
                      .organ_count = r->organ_count,
                      .sheets = r->sheets,
                      .sheet_count = r->sheet_count};
}

/* Go on after a fault of the text, if somebody listens. */
static void tell_fault(sheets_reader *r, ear *to) {
    bool can_go_on = r->status == PN_EPARSE || r->status == PN_EDOMAIN;
    if (can_go_on && to->listener != NULL) {
        to->listener->tell(to->listener->ctx, r->err);
        to->fault_count++;
        r->status = PN_OK;
    }
}

/* ---- dangers that must be there ---------------------------------------------
 */

static void check_required(sheets_reader *r, const sheets_node *node) {
    const char *id = sheets_id(r, node);
    size_t k = 0;
    while (k < r->sheet_count && strcmp(r->sheets[k].id, id) != 0) {
        k++;
    }
    if (k == r->sheet_count) {
        sheets_fail(r, node,
                    "there is no sheet of '%.40s', a danger that no guide may "
                    "be without; bring guide/sheets/%.40s.yaml back",
                    id, id);
    } else if (r->drafts[k].tree != NULL &&
               !pn_guide_is_danger(r->sheets[k].status)) {
        sheets_fail(r, node,
                    "'%.40s' is a danger, but its sheet calls it %s; it must "
                    "be harmful or deadly",
                    id, pn_guide_status_name(r->sheets[k].status));
    }
}

/* What stands on no list could go missing without a word. */
static void check_listed(sheets_reader *r, size_t k) {
    const sheets_node *e = r->required->first;
    while (e != NULL && strcmp(e->text.at, r->sheets[k].id) != 0) {
        e = e->next;
    }
    if (e == NULL && r->drafts[k].tree != NULL &&
        pn_guide_is_danger(r->sheets[k].status)) {
        sheets_fail(r, r->required,
                    "%s is %s; add it to 'required', so that it can never be "
                    "missing unnoticed",
                    r->sheets[k].id, pn_guide_status_name(r->sheets[k].status));
    }
}

static void check_all_required(sheets_reader *r, const char *file, ear *to) {
    r->file = file;
    if (r->status == PN_OK && r->required->count == 0) {
        sheets_fail(r, r->required,
                    "'required' names no danger; a check that knows of none "
                    "rules nothing out");
        tell_fault(r, to);
    }
    const sheets_node *e = r->required == NULL ? NULL : r->required->first;
    for (; e != NULL && r->status == PN_OK; e = e->next) {
        check_required(r, e);
        tell_fault(r, to);
    }
    for (size_t k = 0; k < r->sheet_count && r->status == PN_OK; k++) {
        check_listed(r, k);
        tell_fault(r, to);
    }
}

/* ---- the whole
 * ----------------------------------------------------------------- */

static void read_sheets(sheets_reader *r, const guide_files *files, ear *to) {
    size_t count = files->sheet_count;
    r->sheets = sheets_array(r, r->keep, count, sizeof *r->sheets);
    r->drafts = sheets_array(r, r->scratch, count, sizeof *r->drafts);
    for (size_t k = 0; k < count && r->status == PN_OK; k++) {
        r->sheet_count = k + 1;
        sheets_read_sheet(r, &files->sheets[k], k);
        tell_fault(r, to);
    }
    check_all_required(r, files->features->name, to);
    for (size_t k = 0; k < count && r->status == PN_OK; k++) {
        sheets_read_lookalikes(r, k);
        tell_fault(r, to);
    }
}

static void check_pairs(sheets_reader *r, ear *to) {
    for (size_t k = 0; k < r->sheet_count; k++) {
        for (size_t i = 0; i < r->sheets[k].lookalike_count; i++) {
            if (r->status == PN_OK) {
                sheets_check_pair(r, k, i);
                tell_fault(r, to);
            }
        }
    }
}

/* The guide lives in r->keep, which the caller frees whatever comes of it. */
static pn_status read_guide(const pn_alloc *alloc, const guide_files *files,
                            ear *to, sheets_reader *r) {
    pn_status status = pn_arena_new(alloc, &r->scratch, r->err);
    if (status != PN_OK) {
        return status;
    }
    sheets_read_features(r, files->features);
    if (r->status == PN_OK) {
        read_sheets(r, files, to);
        check_pairs(r, to);
    }
    pn_guide guide = sheets_guide_of(r);
    if (r->status == PN_OK && to->fault_count == 0) {
        r->status = pn_guide_check(&guide, r->err);
    }
    pn_arena_free(r->scratch);
    return r->status;
}

pn_status pn_sheets_read(const pn_alloc *alloc, const pn_sheets_file *features,
                         const pn_sheets_file *sheets, size_t sheet_count,
                         pn_sheets **out, pn_error *err) {
    pn_error spare;
    ear nobody = {.listener = NULL};
    sheets_reader r = {.err = err != NULL ? err : &spare};
    pn_status status = pn_arena_new(alloc, &r.keep, r.err);
    if (status != PN_OK) {
        return status;
    }
    guide_files files = {features, sheets, sheet_count};
    status = read_guide(alloc, &files, &nobody, &r);
    pn_sheets *made = NULL;
    if (status == PN_OK) {
        made = sheets_array(&r, r.keep, 1, sizeof *made);
        status = r.status;
    }
    if (made == NULL) {
        pn_arena_free(r.keep);
        return status;
    }
    *made = (pn_sheets){.arena = r.keep, .guide = sheets_guide_of(&r)};
    *out = made;
    return PN_OK;
}

const pn_guide *pn_sheets_guide(const pn_sheets *sheets) {
    return &sheets->guide;
}

void pn_sheets_free(pn_sheets *sheets) {
    if (sheets != NULL) {
        pn_arena_free(sheets->arena);
    }
}

pn_status pn_sheets_lint(const pn_alloc *alloc, const pn_sheets_file *features,
                         const pn_sheets_file *sheets, size_t sheet_count,
                         const pn_sheets_listener *listener, pn_error *err) {
    pn_error fault;
    ear to = {.listener = listener};
    sheets_reader r = {.err = &fault};
    pn_status status = pn_arena_new(alloc, &r.keep, err);
    if (status != PN_OK) {
        return status;
    }
    guide_files files = {features, sheets, sheet_count};
    status = read_guide(alloc, &files, &to, &r);
    pn_arena_free(r.keep);
    if (status == PN_ENOMEM) {
        return pn_fail(err, status, "%s", fault.message);
    }
    /* what stops even the lint: nothing can be read without features.yaml */
    r.status = status;
    tell_fault(&r, &to);
    return to.fault_count == 0
               ? PN_OK
               : pn_fail(err, PN_EDOMAIN, "the guide has %zu fault%s",
                         to.fault_count, to.fault_count == 1 ? "" : "s");
}
