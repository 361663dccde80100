/** @file exchange.h
 * What the world gives: weather files and tables. Everything is read from a
 * byte source, checked, and either taken whole or refused with one line that
 * names file, line, column, value and remedy. Nothing half-read comes out.
 */
#ifndef PN_EXCHANGE_H
#define PN_EXCHANGE_H

#include "pannage/base.h"
#include "pannage/sky.h"

/* ---- where bytes come from -------------------------------------------- */

/** A run of bytes, read once from front to back. */
typedef struct pn_exchange_source {
    /** Up to size bytes into buf. @return bytes read, 0 at the end, -1 when
     *  the operating system refuses (errno says why) */
    ptrdiff_t (*read)(void *ctx, char *buf, size_t size);
    void *ctx;
    const char *name; /**< for messages; borrowed */
} pn_exchange_source;

/** A file; close with pn_exchange_close_file().
 *  @return PN_OK, PN_ENOTFOUND (no such file), PN_EIO */
PN_MUST_CHECK pn_status pn_exchange_open_file(const char *path,
                                              pn_exchange_source *out,
                                              pn_error *err);
/** Only for sources from pn_exchange_open_file(); a second call does nothing,
 *  nor does a zeroed source. */
void pn_exchange_close_file(pn_exchange_source *source);

/** Bytes already in memory; borrowed. */
typedef struct pn_exchange_memory {
    const char *data;
    size_t size;
    size_t at; /**< read so far */
} pn_exchange_memory;

pn_exchange_source pn_exchange_memory_source(pn_exchange_memory *memory,
                                             const char *name);

/* ---- daily weather ---------------------------------------------------- */

typedef enum pn_exchange_format {
    PN_EXCHANGE_CSV,      /**< plain CSV, header naming variable and unit */
    PN_EXCHANGE_BADC,     /**< the national archive's open files, BADC-CSV */
    PN_EXCHANGE_GHCN_DLY, /**< GHCN-Daily, fixed width */
    PN_EXCHANGE_GHCN_CSV, /**< GHCN-Daily, by station, comma-separated */
    PN_EXCHANGE_FORMAT_COUNT
} pn_exchange_format;

/** "plain CSV", ...; never NULL. */
const char *pn_exchange_format_name(pn_exchange_format format);

typedef struct pn_exchange_weather_opts {
    /** Where the record was made; NaN: as the file says, else unknown (NaN in
     *  the record). A place given here wins over the file's. */
    double latitude_deg;
    double longitude_deg;
    double elevation_m;
    /** Height of the wind sensor where the file does not say it. */
    double wind_height_m;
    /** Flag every value PN_SKY_FORECAST. */
    bool forecast;
} pn_exchange_weather_opts;

/* NaN without math.h, in a form clang 14 takes under -Wconversion. */
#define PN_EXCHANGE_WEATHER_OPTS_INIT                                          \
    {                                                                          \
        .latitude_deg = __builtin_nan(""), .longitude_deg = __builtin_nan(""), \
        .elevation_m = __builtin_nan(""), .wind_height_m = 10.0                \
    }

enum { PN_EXCHANGE_NOTE_MAX = 24, PN_EXCHANGE_NOTE_SIZE = 200 };

/** What was read, what was passed over and why. */
typedef struct pn_exchange_report {
    pn_exchange_format format;
    char station[64]; /**< as the file names it; "" if it does not */
    size_t source_count;
    size_t row_count; /**< data rows read, used or not */
    int32_t first_epoch_day;
    int32_t last_epoch_day;
    size_t day_count;          /**< first to last, both included */
    size_t empty_day_count;    /**< of those, without any value */
    size_t longest_empty_days; /**< longest run of such days */
    bool understood[PN_SKY_VAR_COUNT];
    size_t missing_count[PN_SKY_VAR_COUNT]; /**< days without a value */
    size_t longest_missing_days[PN_SKY_VAR_COUNT];
    size_t duplicate_count; /**< readings passed over for a better one */
    size_t dropped_count;   /**< readings the archive's checks or ours failed */
    size_t skipped_count;   /**< readings over a period we cannot use */
    size_t suspect_count;   /**< values kept and flagged PN_SKY_SUSPECT */
    size_t estimated_count; /**< values kept and flagged PN_SKY_ESTIMATED */
    size_t unchecked_count; /**< readings the archive has not checked yet */
    size_t note_count;
    size_t notes_lost; /**< notes for which there was no room */
    char note[PN_EXCHANGE_NOTE_MAX][PN_EXCHANGE_NOTE_SIZE];
} pn_exchange_report;

/** Read one station's daily weather from one or more sources of one format,
 *  found from the content, never from the name. docs: exchange.md.
 *
 *  Dates may come in any order; a date with no row becomes a missing day and
 *  is counted; a date given twice is an error naming both lines (in the
 *  national archive, where several reports of one day are usual, the better
 *  is chosen by stated rules). Every value that comes out is NaN or
 *  plausible, and tmin <= tmax. Wind is taken to 2 m by [FAO56] Eq. 47.
 *
 *  @param[in,out] sources  read to their end; not closed
 *  @param[out] out     new record, caller frees with pn_weather_free();
 *                      untouched on failure
 *  @param[out] report  may be NULL; untouched on failure
 *  @return PN_OK, PN_EPARSE, PN_EDOMAIN (opts out of range, no source), PN_EIO,
 *          PN_ENOMEM */
PN_MUST_CHECK pn_status pn_exchange_weather_read(
    const pn_alloc *alloc, pn_exchange_source *sources, size_t source_count,
    const pn_exchange_weather_opts *opts, pn_weather **out,
    pn_exchange_report *report, pn_error *err);

/* ---- tables ----------------------------------------------------------- */

/** A small CSV table in memory: a header line and rows of text. */
typedef struct pn_exchange_table pn_exchange_table;

/** One field of a table. */
typedef struct pn_exchange_cell {
    size_t row;    /**< 0 = first row under the header */
    size_t column; /**< PN_EXCHANGE_NO_COLUMN: the table lacks it */
} pn_exchange_cell;

#define PN_EXCHANGE_NO_COLUMN SIZE_MAX

/** RFC 4180, UTF-8; lines above the header that start with '#' and empty
 *  lines are passed over. Header names must differ and not be empty.
 *  @param[out] out  caller frees with pn_exchange_table_free(); untouched on
 *                   failure
 *  @return PN_OK, PN_EPARSE, PN_EIO, PN_ENOMEM */
PN_MUST_CHECK pn_status pn_exchange_table_read(const pn_alloc *alloc,
                                               pn_exchange_source *source,
                                               pn_exchange_table **out,
                                               pn_error *err);
/** NULL is fine. */
void pn_exchange_table_free(pn_exchange_table *table);

size_t pn_exchange_table_row_count(const pn_exchange_table *table);
size_t pn_exchange_table_column_count(const pn_exchange_table *table);
/** Borrowed; empty outside the table. */
pn_text pn_exchange_table_column_name(const pn_exchange_table *table,
                                      size_t column);
/** Column of that name (case, and space against '_', make no difference), or
 *  PN_EXCHANGE_NO_COLUMN. */
size_t pn_exchange_table_column(const pn_exchange_table *table,
                                const char *name);
/** As above, but its absence is an error.
 *  @return PN_OK, PN_EPARSE (naming file, header line and columns there are) */
PN_MUST_CHECK pn_status
pn_exchange_table_need_column(const pn_exchange_table *table, const char *name,
                              size_t *column, pn_error *err);
/** Line of the file where the row begins; 0 outside the table. */
size_t pn_exchange_table_line(const pn_exchange_table *table, size_t row);

/** Trimmed; empty for a missing column or outside the table. Borrowed until
 *  pn_exchange_table_free(). Undoes the writer's guard against formulas. */
pn_text pn_exchange_table_text(const pn_exchange_table *table,
                               pn_exchange_cell cell);
/** True for a missing column, an empty field and "NA". */
bool pn_exchange_table_is_missing(const pn_exchange_table *table,
                                  pn_exchange_cell cell);

/** Fail at a field: "FILE:LINE: column "x" (field 3): value 'v': " and the
 *  rest from fmt, which says what was expected and the remedy. */
pn_status pn_exchange_table_fail(const pn_exchange_table *table,
                                 pn_exchange_cell cell, pn_error *err,
                                 const char *fmt, ...) PN_PRINTF(4, 5);

/** What a number in a field must be. */
typedef struct pn_exchange_range {
    double low;
    double high;
    const char *what; /**< "minutes", "m above the sea", ... */
} pn_exchange_range;

/** The getters below give PN_EPARSE for a field that is not what is asked for,
 *  and leave *out alone then. A missing field gives NaN, false in *given, an
 *  empty text: whether it may be missing is the caller's business. */
PN_MUST_CHECK pn_status pn_exchange_table_number(const pn_exchange_table *table,
                                                 pn_exchange_cell cell,
                                                 const pn_exchange_range *range,
                                                 double *out, pn_error *err);
PN_MUST_CHECK pn_status pn_exchange_table_count(const pn_exchange_table *table,
                                                pn_exchange_cell cell,
                                                int64_t high, bool *given,
                                                int64_t *out, pn_error *err);
PN_MUST_CHECK pn_status pn_exchange_table_date(const pn_exchange_table *table,
                                               pn_exchange_cell cell,
                                               bool *given, int32_t *epoch_day,
                                               pn_error *err);
/** One of count words, case making no difference; *out is its index, or count
 *  for a missing field. The failure lists the words. */
PN_MUST_CHECK pn_status pn_exchange_table_choice(const pn_exchange_table *table,
                                                 pn_exchange_cell cell,
                                                 const char *const *words,
                                                 size_t count, size_t *out,
                                                 pn_error *err);
/** A text that must be there. */
PN_MUST_CHECK pn_status
pn_exchange_table_need_text(const pn_exchange_table *table,
                            pn_exchange_cell cell, pn_text *out, pn_error *err);

/* ---- writing CSV ------------------------------------------------------ */

/** Where bytes go. */
typedef struct pn_exchange_sink {
    bool (*write)(void *ctx, const char *data, size_t size);
    void *ctx;
} pn_exchange_sink;

/** Writes RFC 4180 records with CRLF line ends. Open data; zero it but for
 *  the sink. A write that fails makes all later ones do nothing; ask at the
 *  end with pn_exchange_csv_finish(). */
typedef struct pn_exchange_csv {
    pn_exchange_sink sink;
    bool in_record;
    bool failed;
} pn_exchange_csv;

/** Quoted where RFC 4180 asks for it. A spreadsheet runs a text that begins
 *  with = + - @ tab or CR as a formula; such a text (also with apostrophes
 *  and spaces before it) gets one apostrophe more in front, which
 *  pn_exchange_table_text() takes away again. Nothing is lost but
 *  spaces and tabs at the ends, which tables trim. */
void pn_exchange_csv_text(pn_exchange_csv *csv, pn_text text);
/** The shortest decimal that reads back as the same double; empty for NaN. */
void pn_exchange_csv_number(pn_exchange_csv *csv, double value);
void pn_exchange_csv_int(pn_exchange_csv *csv, int64_t value);
void pn_exchange_csv_date(pn_exchange_csv *csv, int32_t epoch_day);
void pn_exchange_csv_end_record(pn_exchange_csv *csv);
/** @return PN_OK, PN_EIO if any write failed */
PN_MUST_CHECK pn_status pn_exchange_csv_finish(const pn_exchange_csv *csv,
                                               pn_error *err);

#endif
