// SPDX-License-Identifier: MIT
/* Finds what kind of weather file it is, has it read, and makes the record. */
#include <math.h>
#include <string.h>

#include "exchange_internal.h"

static const double RAD_PER_DEG = 3.14159265358979323846 / 180.0;

const char *pn_exchange_format_name(pn_exchange_format format) {
    static const char *const names[PN_EXCHANGE_FORMAT_COUNT] = {
        [PN_EXCHANGE_CSV] = "plain CSV",
        [PN_EXCHANGE_BADC] = "BADC-CSV",
        [PN_EXCHANGE_GHCN_DLY] = "GHCN-Daily .dly",
        [PN_EXCHANGE_GHCN_CSV] = "GHCN-Daily CSV",
    };
    return (size_t)format < PN_EXCHANGE_FORMAT_COUNT ? names[format]
                                                     : "unknown";
}

static bool all_digits(pn_text text) {
    for (size_t i = 0; i < text.len; i++) {
        if (text.at[i] < '0' || text.at[i] > '9') {
            return false;
        }
    }
    return text.len > 0;
}

static bool all_capitals(pn_text text) {
    for (size_t i = 0; i < text.len; i++) {
        bool capital = text.at[i] >= 'A' && text.at[i] <= 'Z';
        bool digit = text.at[i] >= '0' && text.at[i] <= '9';
        if (!capital && !digit) {
            return false;
        }
    }
    return text.len > 0;
}

static bool looks_like_dly(const px_record *record) {
    return record->len >= 26 && memchr(record->at, ',', record->len) == NULL &&
           all_digits((pn_text){record->at + 11, 6}) &&
           all_capitals((pn_text){record->at + 17, 4});
}

static bool is(const px_fields *fields, size_t i, const char *word) {
    return pn_text_equal_nocase(pn_text_trim(fields->at[i]), pn_text_of(word));
}

static bool looks_like_ghcn_csv(const px_fields *fields) {
    if (fields->count < 7 || fields->count > 8) {
        return false;
    }
    pn_text date = pn_text_trim(fields->at[1]);
    bool header = is(fields, 0, "ID") && is(fields, 1, "DATE") &&
                  is(fields, 2, "ELEMENT");
    return header || (date.len == 8 && all_digits(date) &&
                      fields->at[2].len == 4 && all_capitals(fields->at[2]));
}

/* From the first record; *fields holds it taken apart, except for .dly. */
static pn_status find_format(const px_lines *lines, px_record *first,
                             px_fields *fields, pn_exchange_format *format,
                             pn_error *err) {
    if (looks_like_dly(first)) {
        *format = PN_EXCHANGE_GHCN_DLY;
        return PN_OK;
    }
    pn_status status = px_split(lines, first, fields, err);
    if (status != PN_OK) {
        return status;
    }
    bool badc = fields->count >= 3 && is(fields, 0, "Conventions") &&
                is(fields, 2, "BADC-CSV");
    *format = badc                          ? PN_EXCHANGE_BADC
              : looks_like_ghcn_csv(fields) ? PN_EXCHANGE_GHCN_CSV
                                            : PN_EXCHANGE_CSV;
    return PN_OK;
}

/* The first record that is not a remark ("# ..."). */
static pn_status first_record(px_lines *lines, px_record *first,
                              pn_error *err) {
    do {
        pn_status status = px_next(lines, first, err);
        if (status != PN_OK) {
            return status;
        }
    } while (first->at != NULL && first->at[0] == '#');
    return first->at != NULL ? PN_OK
                             : px_fail_line(lines, first->line, err,
                                            "the file is empty: copy it again");
}

static pn_status check_format(const px_reading *reading,
                              pn_exchange_format format, pn_error *err) {
    pn_exchange_format before = reading->report->format;
    if (reading->source == 0 || format == before) {
        return PN_OK;
    }
    return px_fail_line(reading->lines, 1, err,
                        "this is %s, the file before it %s: import one kind "
                        "at a time",
                        pn_exchange_format_name(format),
                        pn_exchange_format_name(before));
}

static pn_status read_by_format(px_reading *reading, px_record *first,
                                px_fields *fields, pn_error *err) {
    switch (reading->report->format) {
    case PN_EXCHANGE_CSV:
        return px_read_csv(reading, fields, first->line, err);
    case PN_EXCHANGE_BADC:
        return px_read_badc(reading, fields, err);
    case PN_EXCHANGE_GHCN_DLY:
        return px_read_dly(reading, first, err);
    case PN_EXCHANGE_GHCN_CSV:
        return px_read_ghcn_csv(reading, first, fields, err);
    case PN_EXCHANGE_FORMAT_COUNT:
        break;
    }
    return PN_EPARSE;
}

static pn_status read_source(px_reading *reading, pn_exchange_source *source,
                             px_fields *fields, pn_error *err) {
    px_lines lines;
    px_record first;
    pn_exchange_format format = PN_EXCHANGE_CSV;
    pn_status status =
        px_lines_init(&reading->list->alloc, source, &lines, err);
    if (status != PN_OK) {
        return status;
    }
    reading->lines = &lines;
    status = first_record(&lines, &first, err);
    if (status == PN_OK) {
        status = find_format(&lines, &first, fields, &format, err);
    }
    if (status == PN_OK) {
        status = check_format(reading, format, err);
    }
    if (status == PN_OK) {
        reading->report->format = format;
        status = read_by_format(reading, &first, fields, err);
    }
    px_lines_deinit(&lines);
    reading->lines = NULL;
    return status;
}

static pn_status check_opts(const pn_exchange_weather_opts *opts,
                            size_t source_count, pn_error *err) {
    if (source_count == 0) {
        return pn_fail(err, PN_EDOMAIN, "no weather file was given");
    }
    if (!(opts->wind_height_m >= 0.5 && opts->wind_height_m <= 200.0)) {
        return pn_fail(err, PN_EDOMAIN,
                       "height of the wind sensor %g m: must be 0.5 to 200 m",
                       opts->wind_height_m);
    }
    if (fabs(opts->latitude_deg) > 90.0 || fabs(opts->longitude_deg) > 180.0 ||
        fabs(opts->elevation_m) > 9000.0) {
        return pn_fail(err, PN_EDOMAIN,
                       "place of the weather record: latitude must be -90 to "
                       "90, longitude -180 to 180, height within 9000 m");
    }
    return PN_OK;
}

static double either(double given, double found) {
    return isnan(given) ? found : given;
}

static void set_place(const px_reading *reading, pn_weather *weather) {
    const pn_exchange_weather_opts *opts = reading->opts;
    weather->latitude_rad =
        either(opts->latitude_deg, reading->latitude_deg) * RAD_PER_DEG;
    weather->longitude_rad =
        either(opts->longitude_deg, reading->longitude_deg) * RAD_PER_DEG;
    weather->elevation_m = either(opts->elevation_m, reading->elevation_m);
}

static void flag_forecast(pn_weather *weather) {
    for (size_t v = 0; v < PN_SKY_VAR_COUNT; v++) {
        for (size_t i = 0; i < weather->day_count; i++) {
            if (!isnan(weather->value[v][i])) {
                weather->quality[v][i] |= PN_SKY_FORECAST;
            }
        }
    }
}

static bool has_values(const px_obs_list *list) {
    for (size_t i = 0; i < list->count; i++) {
        if (list->at[i].var != PX_VAR_ROW) {
            return true;
        }
    }
    return false;
}

/* From what all sources gave to the finished record and report. */
static pn_status finish(px_reading *reading, const pn_exchange_source *sources,
                        pn_weather **out, pn_error *err) {
    pn_exchange_report *report = reading->report;
    pn_weather *weather = NULL;
    pn_status status = PN_OK;
    if (report->format == PN_EXCHANGE_BADC) {
        status = px_badc_resolve(reading->list, report, err);
    }
    if (status == PN_OK && !has_values(reading->list)) {
        char name[PX_NAME_SIZE];
        return pn_fail(err, PN_EPARSE,
                       "%s: no usable weather in it: temperature, rain, wind, "
                       "radiation, humidity or sunshine was expected",
                       px_shown_name(sources[0].name, name));
    }
    if (status == PN_OK) {
        status = px_obs_to_weather(reading->list, sources, &weather, err);
    }
    if (status != PN_OK) {
        return status;
    }
    size_t inverted = px_drop_inverted(weather);
    if (inverted > 0) {
        report->dropped_count += 2 * inverted;
        px_note(report,
                "%zu days had their minimum above their maximum: both dropped",
                inverted);
    }
    set_place(reading, weather);
    px_report_weather(weather, report);
    if (reading->opts->forecast) {
        flag_forecast(weather);
    }
    *out = weather;
    return PN_OK;
}

/* What one call needs and is too large for the stack of a small thread. */
typedef struct workspace {
    pn_exchange_report report;
    px_fields fields;
} workspace;

pn_status pn_exchange_weather_read(const pn_alloc *alloc,
                                   pn_exchange_source *sources,
                                   size_t source_count,
                                   const pn_exchange_weather_opts *opts,
                                   pn_weather **out, pn_exchange_report *report,
                                   pn_error *err) {
    pn_status status = check_opts(opts, source_count, err);
    if (status != PN_OK) {
        return status;
    }
    workspace *work = pn_alloc_zeroed(alloc, 1, sizeof *work);
    if (work == NULL) {
        return pn_fail(err, PN_ENOMEM, "reading %s", sources[0].name);
    }
    px_obs_list list = {.alloc = *alloc};
    px_reading reading = {.opts = opts,
                          .list = &list,
                          .report = &work->report,
                          .latitude_deg = NAN,
                          .longitude_deg = NAN,
                          .elevation_m = NAN,
                          .station_id = -1};
    work->report.source_count = source_count;
    for (size_t i = 0; i < source_count && status == PN_OK; i++) {
        reading.source = (uint32_t)i;
        status = read_source(&reading, &sources[i], &work->fields, err);
    }
    if (status == PN_OK) {
        status = finish(&reading, sources, out, err);
    }
    if (status == PN_OK && report != NULL) {
        *report = work->report;
    }
    px_obs_deinit(&list);
    pn_alloc_free(alloc, work);
    return status;
}
