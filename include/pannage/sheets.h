/** @file sheets.h
 * The guide's YAML sheets, read into a pn_guide or refused as a whole.
 *
 * The loader is strict, because what it drops could kill: an unknown or
 * missing key, a word outside the vocabulary, shares that do not add up, a
 * look-alike without a sheet, a danger that ought to be there and is not: each
 * stops it with "guide/sheets/x.yaml:12: what, and what to do about it".
 * docs/guide-format.md describes the format.
 */
#ifndef PN_SHEETS_H
#define PN_SHEETS_H

#include "pannage/base.h"
#include "pannage/guide.h"

/** One file; the name is how errors call it. */
typedef struct pn_sheets_file {
    const char *name; /**< "guide/sheets/death_cap.yaml" */
    pn_text text;
} pn_sheets_file;

typedef struct pn_sheets pn_sheets; /* a guide and the memory it lives in */

/** Read a guide; it has passed pn_guide_check(), and holds every kind that
 *  features.yaml lists as required. libyaml's own short-lived buffers do not
 *  go through alloc.
 *  @param features  features.yaml: what sheets may say, and which dangers must
 *                   be among them
 *  @param[out] out  caller frees with pn_sheets_free(); untouched on failure
 *  @return PN_OK, PN_EPARSE or PN_EDOMAIN naming file and line, PN_ENOMEM */
PN_MUST_CHECK pn_status pn_sheets_read(const pn_alloc *alloc,
                                       const pn_sheets_file *features,
                                       const pn_sheets_file *sheets,
                                       size_t sheet_count, pn_sheets **out,
                                       pn_error *err);
/** Borrowed until pn_sheets_free(). */
const pn_guide *pn_sheets_guide(const pn_sheets *sheets);
/** NULL is fine. */
void pn_sheets_free(pn_sheets *sheets);

/** Somebody who is told of every fault in turn. */
typedef struct pn_sheets_listener {
    void (*tell)(void *ctx, const pn_error *fault);
    void *ctx;
} pn_sheets_listener;

/** Look for faults as pn_sheets_read() does, but go on after each: at most one
 *  fault in the writing of each sheet, one in its look-alikes, then one for
 *  every look-alike that is not told apart.
 *  @return PN_OK when there was none, PN_EDOMAIN with their number,
 *          PN_ENOMEM */
PN_MUST_CHECK pn_status pn_sheets_lint(const pn_alloc *alloc,
                                       const pn_sheets_file *features,
                                       const pn_sheets_file *sheets,
                                       size_t sheet_count,
                                       const pn_sheets_listener *listener,
                                       pn_error *err);

/** The guide that was built in (library pn_guide_data); static, never NULL. */
const pn_sheets_file *pn_sheets_embedded_features(void);
const pn_sheets_file *pn_sheets_embedded(size_t *sheet_count);

#endif
