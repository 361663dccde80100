// SPDX-License-Identifier: MIT
/** @file exchange_internal.h
 * What the readers share: records of a CSV file, failures that name their
 * place, header names with units, and the heap of observations from which a
 * weather record is made.
 */
#ifndef PN_EXCHANGE_INTERNAL_H
#define PN_EXCHANGE_INTERNAL_H

#include "pannage/exchange.h"

/* ---- records ---------------------------------------------------------- */

enum {
    PX_RECORD_MAX = 65536, /**< bytes; a longer line is no data */
    PX_FIELD_MAX = 512
};

/** Reads a source record by record, never holding more than a window. */
typedef struct px_lines {
    pn_alloc alloc;
    pn_exchange_source *source;
    char *buf;
    size_t begin; /**< unread bytes are buf[begin..end) */
    size_t end;
    size_t line; /**< of the record that begins at begin, from 1 */
    bool started;
    bool at_end;
} px_lines;

/** One record: a line, or several when a quoted field holds line ends. */
typedef struct px_record {
    char *at; /**< in the window: good until the next record; NULL: no more */
    size_t len;
    size_t line;   /**< where it begins */
    bool complete; /**< its line end was there */
} px_record;

PN_MUST_CHECK pn_status px_lines_init(const pn_alloc *alloc,
                                      pn_exchange_source *source, px_lines *out,
                                      pn_error *err);
void px_lines_deinit(px_lines *lines);
/** The next record that is not empty. */
PN_MUST_CHECK pn_status px_next(px_lines *lines, px_record *out, pn_error *err);

/** The fields of one record, unquoted in place. */
typedef struct px_fields {
    pn_text at[PX_FIELD_MAX];
    size_t count;
} px_fields;

PN_MUST_CHECK pn_status px_split(const px_lines *lines, px_record *record,
                                 px_fields *out, pn_error *err);
/** Fails unless the record has as many fields as the header; a short last
 *  line without a line end is told as a truncated file. */
PN_MUST_CHECK pn_status px_check_count(const px_lines *lines,
                                       const px_record *record,
                                       const px_fields *fields, size_t want,
                                       pn_error *err);
/** Fails: the file stops too early. */
pn_status px_truncated(const px_lines *lines, size_t line, pn_error *err);
/** Fails at a line: "FILE:LINE: ...". */
pn_status px_fail_line(const px_lines *lines, size_t line, pn_error *err,
                       const char *fmt, ...) PN_PRINTF(4, 5);

/* ---- failures that name their place ----------------------------------- */

enum { PX_NAME_SIZE = 121, PX_VALUE_SIZE = 48 };

/** A short printable copy: at most 40 bytes and "...", whole UTF-8
 *  characters, other bytes as '?'. Returns buf. */
char *px_shown(pn_text text, char buf[PX_VALUE_SIZE]);
/** The end of a long file name, which tells most. Returns buf. */
char *px_shown_name(const char *name, char buf[PX_NAME_SIZE]);
bool px_is_utf8(pn_text text);

typedef struct px_place {
    const char *file;
    size_t line;
    pn_text column;
    size_t field; /**< from 0 */
    pn_text value;
} px_place;

pn_status px_fail_at(const px_place *place, pn_error *err, const char *fmt, ...)
    PN_PRINTF(3, 4);

/** Empty or "NA", after trimming. */
bool px_is_missing(pn_text text);

/* ---- header names with units ------------------------------------------ */

typedef struct px_unit {
    double scale; /**< value in our unit = given * scale + offset */
    double offset;
} px_unit;

typedef enum px_heading_kind {
    PX_HEADING_DATE_ISO,
    PX_HEADING_DATE_DMY,
    PX_HEADING_VAR,
    PX_HEADING_NO_UNIT,  /**< a variable we know, without its unit */
    PX_HEADING_BAD_UNIT, /**< ... with a unit we do not know */
    PX_HEADING_UNKNOWN
} px_heading_kind;

typedef struct px_heading {
    px_heading_kind kind;
    pn_sky_var var;
    px_unit unit;
    double wind_height_m; /**< NaN: the heading does not say */
} px_heading;

px_heading px_heading_of(pn_text text);
/** "tmin (degC) or tmin (degF)": how the heading should be written. */
const char *px_heading_example(pn_sky_var var);
/** A unit by its name for that variable; false when it is not one. */
bool px_unit_of(pn_sky_var var, pn_text name, px_unit *out);

/* ---- observations ----------------------------------------------------- */

/** Slots of one day, beside the hours 0 .. 23 of hourly readings. */
enum { PX_SLOT_DAY = 24, PX_SLOT_LIGHT_HALF, PX_SLOT_DARK_HALF };
enum { PX_VAR_ROW = PN_SKY_VAR_COUNT }; /**< "this date had a row" */

typedef struct px_obs {
    double value;
    int32_t epoch_day;
    uint32_t line;
    uint32_t source;
    uint32_t rank; /**< lower is better */
    uint8_t var;
    uint8_t slot;
    uint8_t flags;
} px_obs;

typedef struct px_obs_list {
    pn_alloc alloc;
    px_obs *at;
    size_t count;
    size_t capacity;
} px_obs_list;

PN_MUST_CHECK pn_status px_obs_add(px_obs_list *list, const px_obs *obs,
                                   pn_error *err);
void px_obs_deinit(px_obs_list *list);

/** What a reader needs while it runs. */
typedef struct px_reading {
    px_lines *lines;
    uint32_t source;
    const pn_exchange_weather_opts *opts;
    px_obs_list *list;
    pn_exchange_report *report;
    double latitude_deg; /**< as found in the files; NaN: not found */
    double longitude_deg;
    double elevation_m;
    int64_t station_id; /**< the archive's number; -1: not seen yet */
} px_reading;

void px_note(pn_exchange_report *report, const char *fmt, ...) PN_PRINTF(2, 3);

/** From at most one observation for each variable and day to a record.
 *  Two for the same day fail, naming both lines. */
PN_MUST_CHECK pn_status px_obs_to_weather(const px_obs_list *list,
                                          const pn_exchange_source *sources,
                                          pn_weather **out, pn_error *err);
/** Clears both temperatures of days with tmin above tmax; returns how many
 *  such days there were. */
size_t px_drop_inverted(pn_weather *weather);
/** Fills in what the report says of the record. */
void px_report_weather(const pn_weather *weather, pn_exchange_report *report);

/* ---- tables ----------------------------------------------------------- */

/** A spreadsheet may take the text for a formula: it begins with = + - @ tab
 *  or CR, perhaps behind spaces and apostrophes. */
bool px_runs_as_formula(pn_text text);
const char *px_table_name(const pn_exchange_table *table);

/* ---- the readers ------------------------------------------------------ */

/** Each goes on from its first record, which has been read and split. */
PN_MUST_CHECK pn_status px_read_csv(px_reading *reading, px_fields *header,
                                    size_t header_line, pn_error *err);
PN_MUST_CHECK pn_status px_read_badc(px_reading *reading, px_fields *fields,
                                     pn_error *err);
PN_MUST_CHECK pn_status px_read_dly(px_reading *reading, px_record *first,
                                    pn_error *err);
PN_MUST_CHECK pn_status px_read_ghcn_csv(px_reading *reading, px_record *first,
                                         px_fields *fields, pn_error *err);
/** Chooses among rival readings and turns hours and half days into days. */
PN_MUST_CHECK pn_status px_badc_resolve(px_obs_list *list,
                                        pn_exchange_report *report,
                                        pn_error *err);

#endif
