// SPDX-License-Identifier: MIT
/* GHCN-Daily, in its two forms (layout from memory of the published readme):
 *
 * .dly: one element and month a line: station 1-11, year 12-15, month 16-17,
 * element 18-21, then for each of 31 days a value (5), a measurement flag, a
 * quality flag and a source flag (1 each); -9999 is missing.
 * By station, CSV: station, YYYYMMDD, element, value, the three flags and the
 * time of observation; with or without a header.
 *
 * Units: TMAX and TMIN tenths of a degree, PRCP tenths of a millimetre, AWND
 * tenths of m/s, TSUN minutes. A value with any quality flag failed one of the
 * archive's checks and is dropped. A trace of rain is 0. Dates stand as the
 * archive gives them: it does not say when in the day a British station was
 * read. */
#include <math.h>
#include <string.h>

#include "exchange_internal.h"

enum {
    ID_LEN = 11,
    VALUES_AT = 21, /* bytes before the first day */
    DAY_LEN = 8,
    VALUE_LEN = 5,
    MISSING = -9999
};

static const struct {
    char name[5];
    pn_sky_var var;
    double scale;
} elements[] = {
    {"TMAX", PN_SKY_TMAX_DEGC, 0.1},         {"TMIN", PN_SKY_TMIN_DEGC, 0.1},
    {"PRCP", PN_SKY_RAIN_MM, 0.1},           {"AWND", PN_SKY_WIND_M_S, 0.1},
    {"TSUN", PN_SKY_SUNSHINE_H, 1.0 / 60.0},
};

/* Index into elements, or -1. */
static int element_of(pn_text name) {
    for (size_t i = 0; i < sizeof elements / sizeof elements[0]; i++) {
        if (pn_text_equal(name, pn_text_of(elements[i].name))) {
            return (int)i;
        }
    }
    return -1;
}

static pn_status check_station(px_reading *reading, size_t line, pn_text id,
                               pn_error *err) {
    char *known = reading->report->station;
    if (known[0] == '\0') {
        char shown[PX_VALUE_SIZE];
        pn_str station = pn_str_in(known, sizeof reading->report->station);
        pn_str_addf(&station, "%s", px_shown(id, shown));
        return PN_OK;
    }
    if (pn_text_equal(id, pn_text_of(known))) {
        return PN_OK;
    }
    px_place place = {.file = reading->lines->source->name,
                      .line = line,
                      .column = pn_text_of("ID"),
                      .value = id};
    return px_fail_at(&place, err,
                      "another station (%s came before): import one station "
                      "at a time",
                      known);
}

/* One value of one element on one day. */
typedef struct measure {
    int element;
    int32_t epoch_day;
    pn_text value;
    bool failed; /* carries a quality flag */
} measure;

static pn_status take_reading(px_reading *to, const measure *r,
                              const px_place *place, pn_error *err) {
    int64_t given = 0;
    pn_text text = pn_text_trim(r->value);
    if (!pn_text_to_int(text, &given)) {
        return px_fail_at(place, err,
                          "expected a whole number (%d where it is missing): "
                          "the file may be damaged; copy it again",
                          MISSING);
    }
    if (given == MISSING) {
        return PN_OK;
    }
    if (r->failed) {
        to->report->dropped_count++;
        return PN_OK;
    }
    pn_sky_var var = elements[r->element].var;
    double value = (double)given * elements[r->element].scale;
    if (var == PN_SKY_WIND_M_S) {
        value = pn_sky_wind_at_2m_m_s(value, to->opts->wind_height_m);
    } else if (var != PN_SKY_SUNSHINE_H) {
        value = (double)given / 10.0; /* correctly rounded */
    }
    double low = 0.0;
    double high = 0.0;
    if (!pn_sky_var_plausible(var, value, &low, &high)) {
        return px_fail_at(place, err,
                          "no weather can be so (%s must lie from %g to %g): "
                          "the file may be damaged; copy it again",
                          pn_sky_var_name(var), low, high);
    }
    px_obs obs = {.value = value,
                  .epoch_day = r->epoch_day,
                  .line = (uint32_t)place->line,
                  .source = to->source,
                  .var = (uint8_t)var,
                  .slot = PX_SLOT_DAY};
    return px_obs_add(to->list, &obs, err);
}

static void note_element(px_reading *reading, pn_text name, uint64_t *seen) {
    char shown[PX_VALUE_SIZE];
    uint64_t bit = 0; /* a small set: a note that comes twice does no harm */
    for (size_t i = 0; i < name.len; i++) {
        bit = bit * 31 + (unsigned char)name.at[i];
    }
    bit = UINT64_C(1) << (bit % 64);
    if ((*seen & bit) == 0) {
        *seen |= bit;
        px_note(reading->report,
                "element %s ignored: not a variable pannage uses",
                px_shown(name, shown));
    }
}

static void note_wind(const px_reading *reading) {
    for (size_t i = 0; i < reading->list->count; i++) {
        if (reading->list->at[i].var == PN_SKY_WIND_M_S) {
            px_note(reading->report,
                    "wind taken as measured at %g m (the file does not say) "
                    "and brought to 2 m",
                    reading->opts->wind_height_m);
            return;
        }
    }
}

/* ---- fixed width ------------------------------------------------------ */

static pn_text columns(const px_record *record, size_t from, size_t len) {
    return (pn_text){record->at + from, len};
}

/* The days of the line's month: first day, and how many. */
static pn_status take_month(px_reading *reading, const px_record *record,
                            int32_t *first, int *days, pn_error *err) {
    int64_t year = 0;
    int64_t month = 0;
    bool good = pn_text_to_int(columns(record, 11, 4), &year) &&
                pn_text_to_int(columns(record, 15, 2), &month) &&
                year <= 9999 && month <= 12 &&
                pn_date_exists((int)year, (int)month, 1);
    if (!good) {
        px_place place = {.file = reading->lines->source->name,
                          .line = record->line,
                          .column = pn_text_of("YEAR MONTH"),
                          .field = 1,
                          .value = columns(record, 11, 6)};
        return px_fail_at(&place, err,
                          "expected YYYYMM in columns 12-17: the file may be "
                          "damaged; copy it again");
    }
    *first = pn_date_to_epoch_day((pn_date){(int)year, (int)month, 1});
    *days = 31;
    while (!pn_date_exists((int)year, (int)month, *days)) {
        (*days)--;
    }
    return PN_OK;
}

/* Trailing blanks may have been cut, so that the last day lacks flags. */
static bool has_flag(const px_record *record, size_t at) {
    return at < record->len && record->at[at] != ' ';
}

static pn_status take_days(px_reading *reading, const px_record *record,
                           int element, int32_t first, int days,
                           pn_error *err) {
    pn_status status = PN_OK;
    for (int day = 0; day < 31 && status == PN_OK; day++) {
        size_t at = VALUES_AT + (size_t)day * DAY_LEN;
        if (at + VALUE_LEN > record->len) {
            return day >= days
                       ? PN_OK
                       : px_truncated(reading->lines, record->line, err);
        }
        measure r = {.element = element,
                     .epoch_day = first + day,
                     .value = columns(record, at, VALUE_LEN),
                     .failed = has_flag(record, at + 6)};
        px_place place = {.file = reading->lines->source->name,
                          .line = record->line,
                          .column = pn_text_of(elements[element].name),
                          .field = (size_t)day + 3,
                          .value = pn_text_trim(r.value)};
        if (day < days) {
            status = take_reading(reading, &r, &place, err);
        } else if (!pn_text_equal(place.value, pn_text_of("-9999"))) {
            status = px_fail_at(&place, err,
                                "this month has no day %d: the file may be "
                                "damaged; copy it again",
                                day + 1);
        }
    }
    return status;
}

static pn_status take_dly_line(px_reading *reading, const px_record *record,
                               uint64_t *seen, pn_error *err) {
    int32_t first = 0;
    int days = 0;
    if (record->len < VALUES_AT + VALUE_LEN) {
        return px_truncated(reading->lines, record->line, err);
    }
    pn_status status =
        check_station(reading, record->line, columns(record, 0, ID_LEN), err);
    if (status == PN_OK) {
        status = take_month(reading, record, &first, &days, err);
    }
    if (status != PN_OK) {
        return status;
    }
    reading->report->row_count++;
    pn_text name = columns(record, 17, 4);
    int element = element_of(name);
    if (element < 0) {
        note_element(reading, name, seen);
        return PN_OK;
    }
    return take_days(reading, record, element, first, days, err);
}

pn_status px_read_dly(px_reading *reading, px_record *record, pn_error *err) {
    uint64_t seen = 0;
    pn_status status = PN_OK;
    while (status == PN_OK && record->at != NULL) {
        status = take_dly_line(reading, record, &seen, err);
        if (status == PN_OK) {
            status = px_next(reading->lines, record, err);
        }
    }
    if (status == PN_OK) {
        note_wind(reading);
    }
    return status;
}

/* ---- by station, comma-separated -------------------------------------- */

enum { F_ID, F_DATE, F_ELEMENT, F_VALUE, F_MFLAG, F_QFLAG, F_SFLAG, F_TIME };

/* YYYYMMDD or YYYY-MM-DD. */
static bool parse_day(pn_text text, int32_t *epoch_day) {
    if (text.len != 8) {
        return pn_date_parse_iso(text, epoch_day);
    }
    char iso[10] = "0000-00-00";
    memcpy(iso, text.at, 4);
    memcpy(iso + 5, text.at + 4, 2);
    memcpy(iso + 8, text.at + 6, 2);
    return pn_date_parse_iso((pn_text){iso, 10}, epoch_day);
}

static pn_status take_csv_row(px_reading *reading, const px_fields *fields,
                              size_t line, uint64_t *seen, pn_error *err) {
    measure r = {.value = fields->at[F_VALUE]};
    pn_text date = pn_text_trim(fields->at[F_DATE]);
    pn_status status =
        check_station(reading, line, pn_text_trim(fields->at[F_ID]), err);
    if (status != PN_OK) {
        return status;
    }
    px_place place = {.file = reading->lines->source->name, .line = line};
    if (!parse_day(date, &r.epoch_day)) {
        place.column = pn_text_of("DATE");
        place.field = F_DATE;
        place.value = date;
        return px_fail_at(&place, err,
                          "expected a date that exists as YYYYMMDD: the file "
                          "may be damaged; copy it again");
    }
    reading->report->row_count++;
    pn_text name = pn_text_trim(fields->at[F_ELEMENT]);
    r.element = element_of(name);
    if (r.element < 0) {
        note_element(reading, name, seen);
        return PN_OK;
    }
    place.column = pn_text_of(elements[r.element].name);
    place.field = F_VALUE;
    place.value = pn_text_trim(r.value);
    r.failed = pn_text_trim(fields->at[F_QFLAG]).len > 0;
    return take_reading(reading, &r, &place, err);
}

pn_status px_read_ghcn_csv(px_reading *reading, px_record *record,
                           px_fields *fields, pn_error *err) {
    uint64_t seen = 0;
    size_t want = fields->count;
    bool header =
        !(fields->at[F_DATE].len > 0 && fields->at[F_DATE].at[0] >= '0' &&
          fields->at[F_DATE].at[0] <= '9');
    pn_status status = PN_OK;
    while (status == PN_OK && record->at != NULL) {
        status = px_check_count(reading->lines, record, fields, want, err);
        if (status == PN_OK && !header) {
            status = take_csv_row(reading, fields, record->line, &seen, err);
        }
        header = false;
        if (status == PN_OK) {
            status = px_next(reading->lines, record, err);
        }
        if (status == PN_OK && record->at != NULL) {
            status = px_split(reading->lines, record, fields, err);
        }
    }
    if (status == PN_OK) {
        note_wind(reading);
    }
    return status;
}
