// SPDX-License-Identifier: MIT
/* The national archive's open files in BADC-CSV: one kind of observation and
 * one year a file, a header of key lines, "data", the column names, the rows,
 * "end data". What the columns mean is said in each file's own header; the
 * attribution of readings to days and the quality codes are told in
 * badc_rules.c and badc_resolve.c. */
#include <math.h>
#include <string.h>

#include "badc_internal.h"

enum { HEADER_LINES_MAX = 10000 };

/* Column names and units as the archive publishes them. */
static const struct {
    const char *name;
    const char *unit;
} columns[PX_BADC_ROLE_COUNT] = {
    [PX_BADC_END_TIME] = {"ob_end_time", NULL},
    [PX_BADC_DATE] = {"ob_date", NULL},
    [PX_BADC_ID] = {"id", NULL},
    [PX_BADC_VERSION] = {"version_num", NULL},
    [PX_BADC_DOMAIN] = {"met_domain_name", NULL},
    [PX_BADC_HOURS] = {"ob_hour_count", NULL},
    [PX_BADC_DAYS] = {"ob_day_cnt", NULL},
    [PX_BADC_END_CLOCK] = {"ob_end_ctime", NULL},
    [PX_BADC_STATION] = {"src_id", NULL},
    [PX_BADC_TMAX] = {"max_air_temp", "degC"},
    [PX_BADC_TMAX_Q] = {"max_air_temp_q", NULL},
    [PX_BADC_TMIN] = {"min_air_temp", "degC"},
    [PX_BADC_TMIN_Q] = {"min_air_temp_q", NULL},
    [PX_BADC_RAIN] = {"prcp_amt", "mm"},
    [PX_BADC_RAIN_Q] = {"prcp_amt_q", NULL},
    [PX_BADC_WIND] = {"mean_wind_speed", "knots"},
    [PX_BADC_WIND_Q] = {"mean_wind_speed_q", NULL},
    [PX_BADC_SOLAR] = {"glbl_irad_amt", "KJ/m2"},
    [PX_BADC_SOLAR_Q] = {"glbl_irad_amt_q", NULL},
};

px_place px_badc_place(const px_badc *b, size_t line, size_t field,
                       pn_text value) {
    px_badc_role role = PX_BADC_END_TIME;
    while (role < PX_BADC_ROLE_COUNT && b->field[role] != field) {
        role = (px_badc_role)(role + 1);
    }
    return (px_place){.file = b->reading->lines->source->name,
                      .line = line,
                      .column = pn_text_of(
                          role < PX_BADC_ROLE_COUNT ? columns[role].name : ""),
                      .field = field,
                      .value = value};
}

static bool is(pn_text text, const char *word) {
    return pn_text_equal(pn_text_trim(text), pn_text_of(word));
}

static pn_status bad_header(const px_badc *b, size_t line, pn_text value,
                            const char *want, pn_error *err) {
    char shown[PX_VALUE_SIZE];
    return px_fail_line(b->reading->lines, line, err,
                        "header value '%s': expected %s; the file may be "
                        "damaged: copy it again",
                        px_shown(value, shown), want);
}

static pn_status header_number(const px_badc *b, size_t line, pn_text text,
                               double limit, double *out, pn_error *err) {
    double value = 0.0;
    if (!pn_text_to_double(pn_text_trim(text), &value) || fabs(value) > limit) {
        return bad_header(b, line, text, "a number in range", err);
    }
    *out = value;
    return PN_OK;
}

/* "location,G,51.39,-0.786" */
static pn_status take_location(px_badc *b, const px_fields *fields, size_t line,
                               pn_error *err) {
    if (fields->count < 4) {
        return bad_header(b, line, pn_text_of("location"),
                          "latitude and longitude after it", err);
    }
    pn_status status = header_number(b, line, fields->at[2], 90.0,
                                     &b->reading->latitude_deg, err);
    if (status == PN_OK) {
        status = header_number(b, line, fields->at[3], 180.0,
                               &b->reading->longitude_deg, err);
    }
    return status;
}

/* "long_name,prcp_amt,Precipitation amount,mm": a unit other than the
 * archive's would be read wrongly, so it is refused. */
static pn_status check_unit(const px_badc *b, const px_fields *fields,
                            size_t line, pn_error *err) {
    for (size_t role = 0; role < PX_BADC_ROLE_COUNT; role++) {
        const char *unit = columns[role].unit;
        if (unit == NULL || !is(fields->at[1], columns[role].name)) {
            continue;
        }
        pn_text got = pn_text_trim(fields->at[3]);
        if (!pn_text_equal_nocase(got, pn_text_of(unit))) {
            return bad_header(b, line, got, unit, err);
        }
    }
    return PN_OK;
}

static pn_status take_key_line(px_badc *b, const px_fields *fields, size_t line,
                               pn_error *err) {
    pn_text key = pn_text_trim(fields->at[0]);
    if (fields->count < 3) {
        return PN_OK;
    }
    if (is(key, "location")) {
        return take_location(b, fields, line, err);
    }
    if (is(key, "height")) {
        return header_number(b, line, fields->at[2], 9000.0,
                             &b->reading->elevation_m, err);
    }
    if (is(key, "observation_station")) {
        char shown[PX_VALUE_SIZE];
        pn_str station = pn_str_in(b->reading->report->station,
                                   sizeof b->reading->report->station);
        pn_str_addf(&station, "%s", px_shown(fields->at[2], shown));
    } else if (is(key, "title")) {
        px_shown(fields->at[2], b->title);
    } else if (is(key, "missing_value") && !is(fields->at[2], "NA")) {
        return bad_header(b, line, fields->at[2], "NA", err);
    } else if (is(key, "long_name") && fields->count >= 4) {
        return check_unit(b, fields, line, err);
    }
    return PN_OK;
}

/* The next record and its fields; the end of the file is told as such. */
static pn_status next_fields(const px_badc *b, px_record *record,
                             px_fields *fields, pn_error *err) {
    pn_status status = px_next(b->reading->lines, record, err);
    if (status != PN_OK) {
        return status;
    }
    if (record->at == NULL) {
        return px_fail_line(b->reading->lines, record->line, err,
                            "the file ends without \"end data\": it looks "
                            "truncated; copy it again");
    }
    return px_split(b->reading->lines, record, fields, err);
}

/* The key lines up to and including "data". */
static pn_status take_header(px_badc *b, px_fields *fields, pn_error *err) {
    px_record record = {0};
    for (size_t i = 0; i < HEADER_LINES_MAX; i++) {
        pn_status status = next_fields(b, &record, fields, err);
        if (status != PN_OK) {
            return status;
        }
        if (fields->count == 1 && is(fields->at[0], "data")) {
            return PN_OK;
        }
        status = take_key_line(b, fields, record.line, err);
        if (status != PN_OK) {
            return status;
        }
    }
    return px_fail_line(b->reading->lines, record.line, err,
                        "no line \"data\" after %d lines: not the archive's "
                        "BADC-CSV; check that it is the right file",
                        HEADER_LINES_MAX);
}

static pn_status take_columns(px_badc *b, const px_fields *fields, size_t line,
                              pn_error *err) {
    for (size_t role = 0; role < PX_BADC_ROLE_COUNT; role++) {
        b->field[role] = PX_BADC_NONE;
        for (size_t i = 0; i < fields->count; i++) {
            if (!is(fields->at[i], columns[role].name)) {
                continue;
            }
            if (b->field[role] != PX_BADC_NONE) {
                px_place place = px_badc_place(b, line, i, fields->at[i]);
                place.column = pn_text_trim(fields->at[i]);
                return px_fail_at(&place, err,
                                  "this column stands twice: copy the file "
                                  "again");
            }
            b->field[role] = i;
        }
    }
    b->field_count = fields->count;
    return PN_OK;
}

static bool has(const px_badc *b, px_badc_role role) {
    return b->field[role] != PX_BADC_NONE;
}

/* What kind of file it is follows from its columns. */
static pn_status find_kind(px_badc *b, size_t line, pn_error *err) {
    bool dated = has(b, PX_BADC_END_TIME);
    b->is_temperature = has(b, PX_BADC_TMAX) || has(b, PX_BADC_TMIN);
    b->is_rain = has(b, PX_BADC_RAIN);
    b->is_hourly = has(b, PX_BADC_WIND) || has(b, PX_BADC_SOLAR);
    bool timed = b->is_temperature || b->is_hourly;
    if ((timed && !(dated && has(b, PX_BADC_HOURS))) ||
        (b->is_rain && !has(b, PX_BADC_DATE))) {
        return px_fail_line(b->reading->lines, line, err,
                            "the columns ob_end_time and ob_hour_count (rain: "
                            "ob_date) are missing: not an observation file of "
                            "the archive as published in 2019");
    }
    if (!timed && !b->is_rain) {
        px_note(b->reading->report,
                "%s ignored: no air temperature, rain, wind or radiation in it",
                b->title[0] != '\0' ? b->title : "a file");
    }
    return PN_OK;
}

static pn_status take_rows(px_badc *b, px_fields *fields, pn_error *err) {
    for (;;) {
        px_record record;
        pn_status status = next_fields(b, &record, fields, err);
        if (status != PN_OK) {
            return status;
        }
        if (fields->count == 1 && is(fields->at[0], "end data")) {
            return PN_OK;
        }
        status = px_check_count(b->reading->lines, &record, fields,
                                b->field_count, err);
        if (status == PN_OK) {
            status = px_badc_take_row(b, fields, record.line, err);
        }
        if (status != PN_OK) {
            return status;
        }
        b->reading->report->row_count++;
    }
}

static pn_status check_nothing_follows(const px_badc *b, pn_error *err) {
    px_record record;
    pn_status status = px_next(b->reading->lines, &record, err);
    if (status == PN_OK && record.at != NULL) {
        return px_fail_line(b->reading->lines, record.line, err,
                            "text after \"end data\": give each of the "
                            "archive's files by itself");
    }
    return status;
}

pn_status px_read_badc(px_reading *reading, px_fields *fields, pn_error *err) {
    px_badc b = {.reading = reading};
    px_record record;
    pn_status status = take_header(&b, fields, err);
    if (status == PN_OK) {
        status = next_fields(&b, &record, fields, err);
    }
    if (status == PN_OK) {
        status = take_columns(&b, fields, record.line, err);
    }
    if (status == PN_OK) {
        status = find_kind(&b, record.line, err);
    }
    if (status == PN_OK) {
        status = take_rows(&b, fields, err);
    }
    if (status == PN_OK) {
        status = check_nothing_follows(&b, err);
    }
    if (status == PN_OK && has(&b, PX_BADC_WIND)) {
        px_note(reading->report,
                "wind taken as measured at %g m (the file does not say) and "
                "brought to 2 m",
                reading->opts->wind_height_m);
    }
    return status;
}
