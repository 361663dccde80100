// SPDX-License-Identifier: MIT
/* A plain CSV of daily weather whose header names variables and units. */
#include <math.h>
#include <string.h>

#include "exchange_internal.h"

enum { NO_FIELD = PX_FIELD_MAX, HEADING_SIZE = 48 };

typedef struct column {
    size_t field; /* NO_FIELD: the table lacks the variable */
    px_heading heading;
    char name[HEADING_SIZE]; /* as the file spells it, for messages */
} column;

typedef struct table {
    px_reading *reading;
    size_t field_count;
    size_t date_field;
    bool date_dmy;
    column columns[PN_SKY_VAR_COUNT];
} table;

static px_place place_of(const table *t, size_t line, size_t field,
                         pn_text column_name, pn_text value) {
    return (px_place){.file = t->reading->lines->source->name,
                      .line = line,
                      .column = column_name,
                      .field = field,
                      .value = value};
}

static pn_status take_var(table *t, size_t field, size_t line, pn_text text,
                          const px_heading *heading, pn_error *err) {
    column *c = &t->columns[heading->var];
    px_place place = place_of(t, line, field, text, text);
    double height_m = heading->wind_height_m;
    if (height_m < 0.5 || height_m > 200.0) {
        return px_fail_at(&place, err,
                          "a wind sensor stands 0.5 to 200 m above the ground: "
                          "correct the header");
    }
    if (c->field != NO_FIELD) {
        return px_fail_at(&place, err,
                          "field %zu is this variable too: delete one of the "
                          "columns",
                          c->field + 1);
    }
    c->field = field;
    c->heading = *heading;
    px_shown(text, c->name);
    return PN_OK;
}

static pn_status take_date(table *t, size_t field, size_t line, pn_text text,
                           bool dmy, pn_error *err) {
    if (t->date_field != NO_FIELD) {
        px_place place = place_of(t, line, field, text, text);
        return px_fail_at(&place, err, "a second date column: delete one");
    }
    t->date_field = field;
    t->date_dmy = dmy;
    return PN_OK;
}

static pn_status take_heading(table *t, size_t field, size_t line, pn_text text,
                              pn_error *err) {
    char shown[PX_VALUE_SIZE];
    px_heading heading = px_heading_of(text);
    px_place place = place_of(t, line, field, text, text);
    switch (heading.kind) {
    case PX_HEADING_DATE_ISO:
        return take_date(t, field, line, text, false, err);
    case PX_HEADING_DATE_DMY:
        return take_date(t, field, line, text, true, err);
    case PX_HEADING_VAR:
        return take_var(t, field, line, text, &heading, err);
    case PX_HEADING_NO_UNIT:
        return px_fail_at(&place, err, "no unit: write %s in the header",
                          px_heading_example(heading.var));
    case PX_HEADING_BAD_UNIT:
        return px_fail_at(&place, err, "unit not known: write %s in the header",
                          px_heading_example(heading.var));
    case PX_HEADING_UNKNOWN:
        break;
    }
    px_note(t->reading->report,
            "column \"%s\" (field %zu) ignored: not a variable pannage uses",
            px_shown(text, shown), field + 1);
    return PN_OK;
}

static bool has_other_separator(const px_fields *header) {
    pn_text text = header->at[0];
    return header->count == 1 && text.len > 0 &&
           (memchr(text.at, ';', text.len) != NULL ||
            memchr(text.at, '\t', text.len) != NULL);
}

static pn_status take_header(table *t, const px_fields *header, size_t line,
                             pn_error *err) {
    size_t understood = 0;
    t->field_count = header->count;
    t->date_field = NO_FIELD;
    if (has_other_separator(header)) {
        return px_fail_line(t->reading->lines, line, err,
                            "columns separated by semicolons or tabs: save "
                            "the file with commas and decimal points");
    }
    for (size_t v = 0; v < PN_SKY_VAR_COUNT; v++) {
        t->columns[v].field = NO_FIELD;
    }
    for (size_t i = 0; i < header->count; i++) {
        pn_status status =
            take_heading(t, i, line, pn_text_trim(header->at[i]), err);
        if (status != PN_OK) {
            return status;
        }
    }
    for (size_t v = 0; v < PN_SKY_VAR_COUNT; v++) {
        understood += t->columns[v].field != NO_FIELD;
    }
    if (t->date_field == NO_FIELD || understood == 0) {
        return px_fail_line(t->reading->lines, line, err,
                            "%s in the header: the first line must name the "
                            "columns, as in: date,tmin (degC),tmax (degC),"
                            "rain (mm)",
                            t->date_field == NO_FIELD ? "no column \"date\""
                                                      : "no weather variable");
    }
    return PN_OK;
}

/* DD/MM/YYYY, exactly ten bytes. */
static bool parse_dmy(pn_text text, int32_t *epoch_day) {
    if (text.len != 10 || text.at[2] != '/' || text.at[5] != '/') {
        return false;
    }
    char iso[10];
    memcpy(iso, text.at + 6, 4);
    iso[4] = '-';
    memcpy(iso + 5, text.at + 3, 2);
    iso[7] = '-';
    memcpy(iso + 8, text.at, 2);
    return pn_date_parse_iso((pn_text){iso, 10}, epoch_day);
}

static pn_status take_row_date(const table *t, size_t line, pn_text text,
                               int32_t *epoch_day, pn_error *err) {
    bool good = t->date_dmy ? parse_dmy(text, epoch_day)
                            : pn_date_parse_iso(text, epoch_day);
    if (good) {
        return PN_OK;
    }
    px_place place = place_of(t, line, t->date_field, pn_text_of("date"), text);
    return px_fail_at(&place, err,
                      t->date_dmy
                          ? "expected a date that exists as DD/MM/YYYY, as the "
                            "header says"
                          : "expected a date that exists as YYYY-MM-DD; if the "
                            "file has DD/MM/YYYY, name the column \"date "
                            "(DD/MM/YYYY)\"");
}

static pn_status not_a_number(const px_place *place, pn_sky_var var,
                              pn_error *err) {
    double low = 0.0;
    double high = 0.0;
    (void)pn_sky_var_plausible(var, 0.0, &low, &high);
    return px_fail_at(place, err,
                      "expected a number (%s from %g to %g); leave it empty or "
                      "write NA if it was not measured",
                      pn_sky_var_name(var), low, high);
}

static double to_our_unit(const table *t, const column *c, double given) {
    double value = given * c->heading.unit.scale + c->heading.unit.offset;
    if (c->heading.var != PN_SKY_WIND_M_S) {
        return value;
    }
    double height_m = isnan(c->heading.wind_height_m)
                          ? t->reading->opts->wind_height_m
                          : c->heading.wind_height_m;
    return pn_sky_wind_at_2m_m_s(value, height_m);
}

/* NaN for a missing value. */
static pn_status take_value(const table *t, size_t line, const column *c,
                            pn_text text, double *out, pn_error *err) {
    *out = NAN;
    if (px_is_missing(text)) {
        return PN_OK;
    }
    pn_sky_var var = c->heading.var;
    px_place place = place_of(t, line, c->field, pn_text_of(c->name), text);
    double given = 0.0;
    if (!pn_text_to_double(text, &given)) {
        return not_a_number(&place, var, err);
    }
    double value = to_our_unit(t, c, given);
    double low = 0.0;
    double high = 0.0;
    if (!pn_sky_var_plausible(var, value, &low, &high)) {
        return px_fail_at(&place, err,
                          "no weather can be so (%s must lie from %g to %g): "
                          "correct it or its unit in the header, or leave it "
                          "empty",
                          pn_sky_var_name(var), low, high);
    }
    *out = value;
    return PN_OK;
}

static pn_status check_range(const table *t, size_t line,
                             const px_fields *fields, const double *values,
                             pn_error *err) {
    if (!(values[PN_SKY_TMIN_DEGC] > values[PN_SKY_TMAX_DEGC])) {
        return PN_OK; /* also when one is missing */
    }
    const column *low = &t->columns[PN_SKY_TMIN_DEGC];
    const column *high = &t->columns[PN_SKY_TMAX_DEGC];
    char shown[PX_VALUE_SIZE];
    px_place place = place_of(t, line, low->field, pn_text_of(low->name),
                              pn_text_trim(fields->at[low->field]));
    return px_fail_at(&place, err,
                      "the minimum is above the maximum ('%s', field %zu): "
                      "correct one, or leave both empty",
                      px_shown(pn_text_trim(fields->at[high->field]), shown),
                      high->field + 1);
}

static pn_status add_row(const table *t, size_t line, int32_t epoch_day,
                         const double *values, pn_error *err) {
    px_obs obs = {.epoch_day = epoch_day,
                  .line = (uint32_t)line,
                  .source = t->reading->source,
                  .var = PX_VAR_ROW,
                  .slot = PX_SLOT_DAY};
    pn_status status = px_obs_add(t->reading->list, &obs, err);
    for (size_t v = 0; v < PN_SKY_VAR_COUNT && status == PN_OK; v++) {
        if (isnan(values[v])) {
            continue;
        }
        obs.var = (uint8_t)v;
        obs.value = values[v];
        status = px_obs_add(t->reading->list, &obs, err);
    }
    return status;
}

static pn_status take_row(const table *t, size_t line, const px_fields *fields,
                          pn_error *err) {
    int32_t epoch_day = 0;
    double values[PN_SKY_VAR_COUNT];
    pn_status status = take_row_date(
        t, line, pn_text_trim(fields->at[t->date_field]), &epoch_day, err);
    for (size_t v = 0; v < PN_SKY_VAR_COUNT && status == PN_OK; v++) {
        const column *c = &t->columns[v];
        values[v] = NAN;
        if (c->field != NO_FIELD) {
            status = take_value(t, line, c, pn_text_trim(fields->at[c->field]),
                                &values[v], err);
        }
    }
    if (status == PN_OK) {
        status = check_range(t, line, fields, values, err);
    }
    return status != PN_OK ? status : add_row(t, line, epoch_day, values, err);
}

static void note_wind(const table *t) {
    const column *c = &t->columns[PN_SKY_WIND_M_S];
    if (c->field != NO_FIELD && isnan(c->heading.wind_height_m)) {
        px_note(t->reading->report,
                "wind taken as measured at %g m and brought to 2 m; write "
                "\"wind 2 m (m/s)\" in the header if it is otherwise",
                t->reading->opts->wind_height_m);
    }
}

pn_status px_read_csv(px_reading *reading, px_fields *fields,
                      size_t header_line, pn_error *err) {
    table t = {.reading = reading};
    pn_status status = take_header(&t, fields, header_line, err);
    size_t rows = 0;
    bool complete = true;
    while (status == PN_OK) {
        px_record record;
        status = px_next(reading->lines, &record, err);
        if (status != PN_OK || record.at == NULL) {
            break;
        }
        rows++;
        complete = record.complete;
        status = px_split(reading->lines, &record, fields, err);
        if (status == PN_OK) {
            status = px_check_count(reading->lines, &record, fields,
                                    t.field_count, err);
        }
        if (status == PN_OK) {
            status = take_row(&t, record.line, fields, err);
        }
    }
    if (status == PN_OK && rows == 0) {
        return px_fail_line(reading->lines, header_line, err,
                            "no rows under the header: it looks truncated; "
                            "copy it again");
    }
    if (status == PN_OK && !complete) {
        px_note(reading->report, "the last line has no line end: check that "
                                 "its last value is whole");
    }
    reading->report->row_count += rows;
    note_wind(&t);
    return status;
}
