/** @file notebook.h
 * The notebook: one SQLite file that remembers places, patches, visits,
 * finds, sessions of the check, photos, what came of a find, and weather. The
 * only SQL of the project is behind this header.
 *
 * What was written down is a *fact*: its rows are never rewritten or removed
 * (the file itself refuses). A correction is a new row that names the row it
 * supersedes; a retraction is a correction that says "this never was". Lists
 * show the latest version unless the filter asks for every version.
 *
 * The library has no clock: the caller says when a fact was recorded.
 * Numbers not known are NaN; text not known is empty.
 *
 * One handle belongs to one thread. Several handles, also of several
 * processes, may share a file: writers wait for one another for at most
 * 5 seconds (then PN_EIO), and a correction of a row that somebody else has
 * corrected meanwhile fails (PN_EEXISTS), so no change is ever lost unseen.
 *
 * Every function with an err returns, besides what it names, PN_EIO when the
 * file cannot be read or written (disk full, permission, locked), PN_EPARSE
 * when the file is damaged, PN_ENOMEM. After a failure nothing of the call
 * is in the notebook.
 */
#ifndef PN_NOTEBOOK_H
#define PN_NOTEBOOK_H

#include "pannage/base.h"
#include "pannage/sky.h"

typedef struct pn_notebook pn_notebook; /* opaque: owns the open file */

enum { PN_NOTEBOOK_VERSION = 3 }; /**< of the schema this code reads */

/* ---- the file --------------------------------------------------------- */

typedef enum pn_notebook_mode {
    PN_NOTEBOOK_READ,  /**< nothing can be changed through this handle */
    PN_NOTEBOOK_WRITE, /**< read and write; the file must exist */
} pn_notebook_mode;

/** @return PN_OK, PN_ENOTFOUND (no such file), PN_EPARSE (not a notebook, or
 *          damaged), PN_EDOMAIN (of an older version: upgrade it first; or of
 *          a newer one than this program knows) */
PN_MUST_CHECK pn_status pn_notebook_open(const pn_alloc *alloc,
                                         const char *path,
                                         pn_notebook_mode mode,
                                         pn_notebook **out, pn_error *err);
/** Make an empty notebook and open it for writing.
 *  @return PN_OK, PN_EEXISTS (anything is there, also a dangling link) */
PN_MUST_CHECK pn_status pn_notebook_create(const pn_alloc *alloc,
                                           const char *path, pn_notebook **out,
                                           pn_error *err);
/** NULL is fine. What was begun and not committed is rolled back. */
void pn_notebook_close(pn_notebook *nb);

enum { PN_NOTEBOOK_PATH_SIZE = 1024 };
/** Bring an older file up to PN_NOTEBOOK_VERSION. A copy is made beside it
 *  first; all the steps are one transaction.
 *  @param[out] backup  PN_NOTEBOOK_PATH_SIZE bytes: path of the copy, or ""
 *                      when the file was up to date and nothing was done
 *  @return PN_OK, PN_ENOTFOUND, PN_EPARSE, PN_EDOMAIN (newer than known) */
PN_MUST_CHECK pn_status pn_notebook_upgrade(const pn_alloc *alloc,
                                            const char *path, char *backup,
                                            pn_error *err);
/** A complete copy while the notebook is in use, under a name that does not
 *  exist yet; it appears under that name only when it is whole.
 *  @return PN_OK, PN_EEXISTS (the name is taken, or a change is begun) */
PN_MUST_CHECK pn_status pn_notebook_backup(pn_notebook *nb, const char *path,
                                           pn_error *err);

/** Texts in the arena, one line each, in the order found. */
typedef struct pn_notebook_report {
    const char **at;
    size_t count; /**< 0: the notebook is sound */
} pn_notebook_report;

/** Check everything that can be checked: the pages of the file, every rule
 *  of the schema, that the guards against rewriting are in place, that every
 *  chain of corrections is one line, that nothing points nowhere, and that
 *  every value is inside its range. At most 100 problems are listed.
 *  @return PN_OK also when problems were found */
PN_MUST_CHECK pn_status pn_notebook_verify(pn_notebook *nb, pn_arena *arena,
                                           pn_notebook_report *out,
                                           pn_error *err);

/** Many changes as one: either all of them last or none. Not nested.
 *  @return PN_OK, PN_EEXISTS (already begun) */
PN_MUST_CHECK pn_status pn_notebook_begin(pn_notebook *nb, pn_error *err);
/** @return PN_OK, PN_ENOTFOUND (nothing was begun, or a failure such as a
 *          full disk has already undone it) */
PN_MUST_CHECK pn_status pn_notebook_commit(pn_notebook *nb, pn_error *err);
/** Nothing begun is fine. */
void pn_notebook_rollback(pn_notebook *nb);

/* ---- facts ------------------------------------------------------------ */

/** What every fact carries; set by lists, ignored by add and correct. */
typedef struct pn_fact {
    int64_t id;              /**< the fact's lasting number in its table, >= 1;
                                  other facts point to it */
    int64_t row;             /**< this version of it; correct and retract
                                  take this number */
    int64_t corrects;        /**< the row this one supersedes; 0 = first */
    int64_t recorded_unix_s; /**< as the caller said */
    bool retracted;
    bool superseded; /**< a later version exists */
} pn_fact;

typedef enum pn_fact_table {
    PN_FACT_PLACE,
    PN_FACT_PATCH,
    PN_FACT_PATCH_KIND,
    PN_FACT_VISIT,
    PN_FACT_FIND,
    PN_FACT_WEATHER_SOURCE,
    PN_FACT_CHECK_SESSION,
    PN_FACT_PHOTO,
    PN_FACT_KEPT,
    PN_FACT_REVIEW,
    PN_FACT_TABLE_COUNT
} pn_fact_table;

/** Somewhere one goes: a wood, a common, a lane. */
typedef struct pn_place {
    pn_fact fact;
    pn_text name; /**< 1 .. 200 bytes; no two current places share it */
    double latitude_deg;
    double longitude_deg;
    double elevation_m; /**< -430 .. 9000, or NaN */
    pn_text note;
} pn_place;

/** A spot of a place where something grows. */
typedef struct pn_patch {
    pn_fact fact;
    int64_t place; /**< fact id */
    pn_text name;  /**< 1 .. 200 bytes; no two current patches share it */
    double latitude_deg;
    double longitude_deg;
    double elevation_m; /**< or NaN */
    double area_m2;     /**< > 0, or NaN */
    pn_text texture;    /**< of the soil: a word of the soil part, or "" */
    pn_text cover;      /**< "open", "wood", ...: a word of the soil part */
    pn_text hosts;      /**< host trees, comma-separated */
    pn_text access;     /**< whose ground, which permission */
    pn_text note;
} pn_patch;

/** A kind one looks for at a patch. */
typedef struct pn_patch_kind {
    pn_fact fact;
    int64_t patch;       /**< fact id */
    pn_text kind;        /**< the kind's short name, 1 .. 60 bytes */
    double productivity; /**< > 0, the gatherer's own guess, 1 = as usual for
                              the kind; or NaN */
    pn_text note;
} pn_patch_kind;

typedef enum pn_looked_for {
    PN_LOOKED_LISTED, /**< only for the kinds among the visit's finds */
    PN_LOOKED_ALL,    /**< for every kind of the patch: one that is not among
                           the finds was looked for and not found */
} pn_looked_for;

typedef struct pn_visit {
    pn_fact fact;
    int64_t patch;     /**< fact id */
    int32_t epoch_day; /**< 1900-01-01 .. 2199-12-31 */
    double minutes;    /**< > 0 .. 1440, or NaN */
    pn_looked_for looked_for;
    pn_text observer;
    pn_text note;
} pn_visit;

typedef struct pn_find {
    pn_fact fact;
    int64_t visit;  /**< fact id; ignored by pn_notebook_add_visit() */
    pn_text kind;   /**< 1 .. 60 bytes */
    int64_t count;  /**< 0: looked for and not found; -1: found, uncounted */
    double fresh_g; /**< >= 0, or NaN; not > 0 when count is 0 */
    pn_text stage;
    pn_text part;
    pn_text note;
    int32_t epoch_day; /**< of the visit; set by lists */
    int64_t patch;     /**< of the visit; set by lists */
} pn_find;

/** add: writes the fact's new id to *id (id may be NULL).
 *  @return PN_OK, PN_EDOMAIN (a value outside its range; the message names
 *          it), PN_EEXISTS (the name is taken), PN_ENOTFOUND (what it points
 *          to does not exist or is retracted)
 *  correct: row is the version being corrected (fact.row as listed), the
 *  struct holds the whole new content; correcting a retracted row brings the
 *  fact back.
 *  @return also PN_ENOTFOUND (no such row), PN_EEXISTS (the row has been
 *          corrected meanwhile: list again and decide anew) */
PN_MUST_CHECK pn_status pn_notebook_add_place(pn_notebook *nb,
                                              const pn_place *place,
                                              int64_t recorded_unix_s,
                                              int64_t *id, pn_error *err);
PN_MUST_CHECK pn_status pn_notebook_correct_place(pn_notebook *nb, int64_t row,
                                                  const pn_place *place,
                                                  int64_t recorded_unix_s,
                                                  pn_error *err);
PN_MUST_CHECK pn_status pn_notebook_add_patch(pn_notebook *nb,
                                              const pn_patch *patch,
                                              int64_t recorded_unix_s,
                                              int64_t *id, pn_error *err);
PN_MUST_CHECK pn_status pn_notebook_correct_patch(pn_notebook *nb, int64_t row,
                                                  const pn_patch *patch,
                                                  int64_t recorded_unix_s,
                                                  pn_error *err);
PN_MUST_CHECK pn_status pn_notebook_add_patch_kind(pn_notebook *nb,
                                                   const pn_patch_kind *kind,
                                                   int64_t recorded_unix_s,
                                                   int64_t *id, pn_error *err);
PN_MUST_CHECK pn_status pn_notebook_correct_patch_kind(
    pn_notebook *nb, int64_t row, const pn_patch_kind *kind,
    int64_t recorded_unix_s, pn_error *err);

/** What came of one visit: a visit without finds (count 0) is a blank one if
 *  looked_for says so. */
typedef struct pn_find_list {
    pn_find *at;
    size_t count;
} pn_find_list;

/** The visit and all its finds, or nothing. */
PN_MUST_CHECK pn_status pn_notebook_add_visit(pn_notebook *nb,
                                              const pn_visit *visit,
                                              pn_find_list finds,
                                              int64_t recorded_unix_s,
                                              int64_t *id, pn_error *err);
PN_MUST_CHECK pn_status pn_notebook_correct_visit(pn_notebook *nb, int64_t row,
                                                  const pn_visit *visit,
                                                  int64_t recorded_unix_s,
                                                  pn_error *err);
/** One more find of a visit already there. */
PN_MUST_CHECK pn_status pn_notebook_add_find(pn_notebook *nb,
                                             const pn_find *find,
                                             int64_t recorded_unix_s,
                                             int64_t *id, pn_error *err);
PN_MUST_CHECK pn_status pn_notebook_correct_find(pn_notebook *nb, int64_t row,
                                                 const pn_find *find,
                                                 int64_t recorded_unix_s,
                                                 pn_error *err);

/** "This never was": the fact, and what points to it, leaves the lists (its
 *  name is free again); every row stays in the file. Correcting the retracted
 * row brings it back.
 *  @return PN_OK, PN_ENOTFOUND, PN_EEXISTS (corrected meanwhile, or already
 *          retracted) */
PN_MUST_CHECK pn_status pn_notebook_retract(pn_notebook *nb,
                                            pn_fact_table table, int64_t row,
                                            int64_t recorded_unix_s,
                                            pn_error *err);

/* ---- lists ------------------------------------------------------------ */

/** 0 and empty mean any. A member that a table does not have is ignored. */
typedef struct pn_notebook_filter {
    int64_t fact;  /**< this fact only */
    int64_t place; /**< patches of this place */
    int64_t patch; /**< kinds, visits and finds of this patch */
    int64_t visit; /**< finds of this visit */
    pn_text kind;  /**< kinds and finds of this kind; visits with such a find */
    int32_t first_epoch_day; /**< visits and finds from this day ... */
    int32_t last_epoch_day;  /**< ... to this day */
    bool every_version;      /**< also superseded and retracted rows, and rows
                                  that hang on retracted ones */
    int64_t find;  /**< sessions, photos and what was kept of this find, also
                        through jars */
    int64_t check; /**< photos of this session */
    int64_t kept;  /**< reviews of this record */
} pn_notebook_filter;

#define PN_NOTEBOOK_FILTER_INIT                                                \
    { .first_epoch_day = INT32_MIN, .last_epoch_day = INT32_MAX }

typedef struct pn_place_list {
    pn_place *at;
    size_t count;
} pn_place_list;
typedef struct pn_patch_list {
    pn_patch *at;
    size_t count;
} pn_patch_list;
typedef struct pn_patch_kind_list {
    pn_patch_kind *at;
    size_t count;
} pn_patch_kind_list;
typedef struct pn_visit_list {
    pn_visit *at;
    size_t count;
} pn_visit_list;

/** Rows and their texts (NUL-terminated too) live in the arena. Order: by
 *  fact id then row; visits and finds by day first. filter NULL: everything
 *  current. */
PN_MUST_CHECK pn_status
pn_notebook_list_places(pn_notebook *nb, const pn_notebook_filter *filter,
                        pn_arena *arena, pn_place_list *out, pn_error *err);
PN_MUST_CHECK pn_status
pn_notebook_list_patches(pn_notebook *nb, const pn_notebook_filter *filter,
                         pn_arena *arena, pn_patch_list *out, pn_error *err);
PN_MUST_CHECK pn_status pn_notebook_list_patch_kinds(
    pn_notebook *nb, const pn_notebook_filter *filter, pn_arena *arena,
    pn_patch_kind_list *out, pn_error *err);
PN_MUST_CHECK pn_status
pn_notebook_list_visits(pn_notebook *nb, const pn_notebook_filter *filter,
                        pn_arena *arena, pn_visit_list *out, pn_error *err);
PN_MUST_CHECK pn_status pn_notebook_list_finds(pn_notebook *nb,
                                               const pn_notebook_filter *filter,
                                               pn_arena *arena,
                                               pn_find_list *out,
                                               pn_error *err);

/* ---- sessions of the check, and photos --------------------------------- */

enum {
    PN_CHECK_TEXT_MAX = 1 << 16, /**< bytes of answers, and of dangers */
    PN_PHOTO_BYTES_MAX = 1 << 24
};

/** What a session of the check saw, and what was open on that day. */
typedef struct pn_check_record {
    pn_fact fact;
    int64_t find;      /**< fact id; 0: no find is written down yet */
    int32_t epoch_day; /**< 1900-01-01 .. 2199-12-31 */
    pn_text kind;      /**< the kind in mind, or "" */
    pn_text tried;     /**< the kind the gate was tried on, or "" */
    int month;         /**< 1 .. 12; 0: not known */
    pn_text habitat;
    pn_text host;
    bool expert;
    pn_text answers;       /**< "feature=state" lines, <= PN_CHECK_TEXT_MAX */
    int64_t open_count;    /**< gate items that were open */
    pn_text not_ruled_out; /**< dangerous kinds that could be it, one a line */
    pn_text guide;         /**< program and guide that said so */
    pn_text note;
} pn_check_record;

typedef struct pn_check_record_list {
    pn_check_record *at;
    size_t count;
} pn_check_record_list;

/** As the other tables: see pn_notebook_add_place(). */
PN_MUST_CHECK pn_status pn_notebook_add_check(pn_notebook *nb,
                                              const pn_check_record *check,
                                              int64_t recorded_unix_s,
                                              int64_t *id, pn_error *err);
PN_MUST_CHECK pn_status pn_notebook_correct_check(pn_notebook *nb, int64_t row,
                                                  const pn_check_record *check,
                                                  int64_t recorded_unix_s,
                                                  pn_error *err);
/** In the order of days. A session stays when its find is taken back. */
PN_MUST_CHECK pn_status pn_notebook_list_checks(
    pn_notebook *nb, const pn_notebook_filter *filter, pn_arena *arena,
    pn_check_record_list *out, pn_error *err);

typedef struct pn_photo {
    pn_fact fact;
    int64_t find;      /**< fact id or 0; one of the two must be there */
    int64_t check;     /**< fact id of a session, or 0 */
    pn_text file_name; /**< 1 .. 255 bytes, without folders */
    pn_text note;
    pn_text bytes;      /**< add: the photo; lists leave it empty; a correction
                             ignores it: other bytes are another photo */
    pn_text media_type; /**< "image/jpeg", ...; set by lists */
    size_t size_bytes;  /**< set by lists */
    unsigned char sha256[PN_SHA256_BYTES]; /**< of the bytes; set by lists */
} pn_photo;

typedef struct pn_photo_list {
    pn_photo *at;
    size_t count;
} pn_photo_list;

/** "image/jpeg", "image/png" or "image/webp" by the first bytes; NULL: none
 *  of them. Static. */
const char *pn_photo_media_type(pn_text bytes);

/** The bytes are kept as they came, position and time inside them included;
 *  the same bytes twice are stored once.
 *  @return also PN_EDOMAIN (no JPEG, PNG or WebP; larger than
 *          PN_PHOTO_BYTES_MAX) */
PN_MUST_CHECK pn_status pn_notebook_add_photo(pn_notebook *nb,
                                              const pn_photo *photo,
                                              int64_t recorded_unix_s,
                                              int64_t *id, pn_error *err);
/** Of what it shows, its name and its note. */
PN_MUST_CHECK pn_status pn_notebook_correct_photo(pn_notebook *nb, int64_t row,
                                                  const pn_photo *photo,
                                                  int64_t recorded_unix_s,
                                                  pn_error *err);
PN_MUST_CHECK pn_status
pn_notebook_list_photos(pn_notebook *nb, const pn_notebook_filter *filter,
                        pn_arena *arena, pn_photo_list *out, pn_error *err);
/** The bytes as they came.
 *  @return PN_OK, PN_ENOTFOUND, PN_EPARSE (they have changed in the file) */
PN_MUST_CHECK pn_status pn_notebook_load_photo(pn_notebook *nb, int64_t id,
                                               pn_arena *arena, pn_text *out,
                                               pn_error *err);

/* ---- what came of a find ------------------------------------------------ */

typedef enum pn_kept_sort {
    PN_KEPT_JAR,
    PN_KEPT_MEAL,
    PN_KEPT_OTHER,
    PN_KEPT_SORT_COUNT
} pn_kept_sort;

/** "jar", "meal", "other"; never NULL. */
const char *pn_kept_sort_name(pn_kept_sort sort);

/** What came of a find, or of something kept before: a meal from a jar. */
typedef struct pn_kept {
    pn_fact fact;
    pn_kept_sort sort;
    int64_t find;   /**< fact id, or 0; exactly one of the two must be there */
    int64_t source; /**< fact id of something kept, or 0 */
    pn_text name;   /**< 1 .. 200 bytes */
    int32_t epoch_day;
    pn_text eaters; /**< who ate of it; "" not known, or nobody */
    pn_text note;
    int64_t root_find; /**< the find it came from, through jars; set by lists */
} pn_kept;

typedef struct pn_kept_list {
    pn_kept *at;
    size_t count;
} pn_kept_list;

/** A new record must be of a find that stands; one from a jar may also be of
 *  a jar whose find is in doubt, and is then in doubt itself.
 *  @return also PN_EDOMAIN (neither or both of find and source; a source that
 *          came from the record itself) */
PN_MUST_CHECK pn_status pn_notebook_add_kept(pn_notebook *nb,
                                             const pn_kept *kept,
                                             int64_t recorded_unix_s,
                                             int64_t *id, pn_error *err);
/** A correction never settles a doubt: only a review does. */
PN_MUST_CHECK pn_status pn_notebook_correct_kept(pn_notebook *nb, int64_t row,
                                                 const pn_kept *kept,
                                                 int64_t recorded_unix_s,
                                                 pn_error *err);
PN_MUST_CHECK pn_status pn_notebook_list_kept(pn_notebook *nb,
                                              const pn_notebook_filter *filter,
                                              pn_arena *arena,
                                              pn_kept_list *out, pn_error *err);

/* ---- reviews ------------------------------------------------------------ */

typedef enum pn_review_outcome {
    PN_REVIEW_STILL_RIGHT, /**< it was what it was kept as, all the same */
    PN_REVIEW_THROWN_AWAY,
    PN_REVIEW_NOBODY_ILL,
    PN_REVIEW_ILL,
    PN_REVIEW_OTHER,
    PN_REVIEW_OUTCOME_COUNT
} pn_review_outcome;

/** "still_right", "thrown_away", ...; never NULL. */
const char *pn_review_outcome_name(pn_review_outcome outcome);

/** Somebody looked at a kept record again, knowing what its find is now. */
typedef struct pn_review {
    pn_fact fact;
    int64_t kept; /**< fact id */
    pn_review_outcome outcome;
    pn_text note;
    int64_t find_row; /**< version of the find it was judged against: the
                           latest when it is written down; set by lists */
    bool find_stood;  /**< the find was not taken back then; set by lists */
} pn_review;

typedef struct pn_review_list {
    pn_review *at;
    size_t count;
} pn_review_list;

PN_MUST_CHECK pn_status pn_notebook_add_review(pn_notebook *nb,
                                               const pn_review *review,
                                               int64_t recorded_unix_s,
                                               int64_t *id, pn_error *err);
/** Of outcome and note; it is judged against the find as it is now. */
PN_MUST_CHECK pn_status pn_notebook_correct_review(pn_notebook *nb, int64_t row,
                                                   const pn_review *review,
                                                   int64_t recorded_unix_s,
                                                   pn_error *err);
PN_MUST_CHECK pn_status
pn_notebook_list_reviews(pn_notebook *nb, const pn_notebook_filter *filter,
                         pn_arena *arena, pn_review_list *out, pn_error *err);

/** Something kept whose find became another kind, was taken back or brought
 *  back, after the version that the record rests on. */
typedef struct pn_doubt {
    int64_t kept;
    pn_kept_sort sort;
    pn_text name;
    int32_t epoch_day;
    pn_text eaters;
    int64_t find; /**< through jars */
    pn_text kind_then;
    pn_text kind_now;
    bool find_stands; /**< false: the find was taken back */
} pn_doubt;

typedef struct pn_doubt_list {
    pn_doubt *at;
    size_t count;
} pn_doubt_list;

/** What is up for review: computed at each call, never stored. Meals first,
 *  then by fact id. The filter's fact, find, visit and patch count. */
PN_MUST_CHECK pn_status
pn_notebook_list_doubts(pn_notebook *nb, const pn_notebook_filter *filter,
                        pn_arena *arena, pn_doubt_list *out, pn_error *err);

/* ---- weather ---------------------------------------------------------- */

/** Where a weather record was measured, or what a forecast is for. */
typedef struct pn_weather_source {
    pn_fact fact;
    pn_text name; /**< 1 .. 200 bytes; no two current sources share it */
    double latitude_deg;
    double longitude_deg;
    double elevation_m;
    pn_text licence; /**< the attribution its licence asks for */
    pn_text note;
    int32_t first_epoch_day;         /**< measured days stored; set by lists */
    int32_t last_epoch_day;          /**< first > last: none yet */
    int32_t last_forecast_epoch_day; /**< INT32_MIN: no forecast */
} pn_weather_source;

typedef struct pn_weather_source_list {
    pn_weather_source *at;
    size_t count;
} pn_weather_source_list;

PN_MUST_CHECK pn_status pn_notebook_add_weather_source(
    pn_notebook *nb, const pn_weather_source *source, int64_t recorded_unix_s,
    int64_t *id, pn_error *err);
PN_MUST_CHECK pn_status pn_notebook_correct_weather_source(
    pn_notebook *nb, int64_t row, const pn_weather_source *source,
    int64_t recorded_unix_s, pn_error *err);
PN_MUST_CHECK pn_status pn_notebook_list_weather_sources(
    pn_notebook *nb, const pn_notebook_filter *filter, pn_arena *arena,
    pn_weather_source_list *out, pn_error *err);

/** One reading-in of files. */
typedef struct pn_weather_import {
    int64_t source; /**< fact id */
    int64_t recorded_unix_s;
    bool forecast;      /**< kept apart from what was measured */
    pn_text file_names; /**< newline-separated */
    pn_text report;     /**< what the reader of the files said */
    /** NULL, or called now and then while storing. */
    void (*progress)(void *ctx, size_t days_done, size_t days);
    void *progress_ctx;
} pn_weather_import;

typedef struct pn_weather_import_result {
    int64_t import;        /**< number of this import; 0: nothing was new */
    size_t days_new;       /**< nothing was known of these days */
    size_t days_changed;   /**< at least one value added or different */
    size_t days_unchanged; /**< the notebook knew all of it; not stored again */
} pn_weather_import_result;

/** Store the whole record in one transaction. Older values of the same days
 *  stay in the file and are superseded one by one; a missing value supersedes
 *  nothing. Values that the gap filler or climatology made
 *  (PN_SKY_FILLED, PN_SKY_CLIMATOLOGY) are not stored.
 *  @return PN_OK, PN_ENOTFOUND (source), PN_EDOMAIN (an implausible value;
 *          the message names day and variable) */
PN_MUST_CHECK pn_status pn_notebook_import_weather(
    pn_notebook *nb, const pn_weather_import *import, const pn_weather *weather,
    pn_weather_import_result *out, pn_error *err);

typedef struct pn_weather_query {
    int64_t source;
    int32_t first_epoch_day; /**< INT32_MIN: from the first day stored */
    int32_t last_epoch_day;  /**< INT32_MAX: to the last day stored */
    bool with_forecast; /**< the latest forecast where nothing was measured,
                             with PN_SKY_FORECAST set */
} pn_weather_query;

#define PN_WEATHER_QUERY_INIT                                                  \
    { .first_epoch_day = INT32_MIN, .last_epoch_day = INT32_MAX }

/** The latest import wins, value by value; days without any are missing.
 *  Latitude, longitude and elevation are the source's.
 *  @param[out] out  freed by the caller with pn_weather_free()
 *  @return PN_OK, PN_ENOTFOUND (no such source, or no day stored and the
 *          query has an open end), PN_EDOMAIN (last before first) */
PN_MUST_CHECK pn_status pn_notebook_load_weather(pn_notebook *nb,
                                                 const pn_weather_query *query,
                                                 const pn_alloc *alloc,
                                                 pn_weather **out,
                                                 pn_error *err);

#endif
