// SPDX-License-Identifier: MIT
#include "pannage/score.h"

#include <math.h>
#include <string.h>

enum { FIELDS_MAX = 256, NAME_SIZE = 64 };
static const int32_t days_max = 73050; /* 200 years */

/* A name of the table, without _LEVEL2; two sensors of one column are
 * averaged. Values are multiplied by `factor`. */
typedef struct known_name {
    const char *name;
    pn_score_column column;
    double factor, low, high;
} known_name;

static const known_name known_names[] = {
    {"PRECIPITATION_TOTAL", PN_SCORE_RAIN_MM, 1, 0, 400},
    {"TA_MIN", PN_SCORE_TMIN_DEGC, 1, -45, 45},
    {"TA_MAX", PN_SCORE_TMAX_DEGC, 1, -45, 50},
    {"TA_MEAN", PN_SCORE_TMEAN_DEGC, 1, -45, 45},
    {"RH_MEAN", PN_SCORE_HUMIDITY_FRAC, 0.01, 0.01, 1.05},
    {"WS_MEAN", PN_SCORE_WIND_M_S, 1, 0, 60},
    {"RN_TOTAL", PN_SCORE_NET_RADIATION_MJ_M2, 1, -15, 30},
    {"PE", PN_SCORE_PE_MM, 1, -2, 20},
    {"COSMOS_VWC", PN_SCORE_SOIL_WATER_FRAC, 0.01, 0.001, 1},
    {"COSMOS_VWC_1DAY", PN_SCORE_SOIL_WATER_FRAC, 0.01, 0.001, 1},
    {"TDT1_TSOIL_MEAN", PN_SCORE_SOIL_DEGC, 1, -20, 45},
    {"TDT2_TSOIL_MEAN", PN_SCORE_SOIL_DEGC, 1, -20, 45},
    {"TDT1_TSOIL", PN_SCORE_SOIL_DEGC, 1, -20, 45},
    {"TDT2_TSOIL", PN_SCORE_SOIL_DEGC, 1, -20, 45},
};

/* Used only where the table has no cosmic-ray column. */
static const known_name probe_names[] = {
    {"TDT1_VWC_MEAN", PN_SCORE_SOIL_WATER_FRAC, 0.01, 0.001, 1},
    {"TDT2_VWC_MEAN", PN_SCORE_SOIL_WATER_FRAC, 0.01, 0.001, 1},
    {"TDT1_VWC", PN_SCORE_SOIL_WATER_FRAC, 0.01, 0.001, 1},
    {"TDT2_VWC", PN_SCORE_SOIL_WATER_FRAC, 0.01, 0.001, 1},
};

/* Field number -> what it is (NULL: not used); `date` is a field number. */
typedef struct layout {
    const known_name *known[FIELDS_MAX];
    size_t field_count;
    size_t date;
} layout;

static pn_text unquoted(pn_text field) {
    field = pn_text_trim(field);
    if (field.len >= 2 && field.at[0] == '"' &&
        field.at[field.len - 1] == '"') {
        field.at++;
        field.len -= 2;
    }
    return field;
}

/* The next line without its end; false after the last. */
static bool next_line(pn_text *rest, pn_text *line) {
    if (rest->at == NULL || rest->len == 0) {
        return false;
    }
    *line = pn_text_cut(*rest, '\n', rest);
    if (line->len > 0 && line->at[line->len - 1] == '\r') {
        line->len--;
    }
    return true;
}

static const known_name *find_in(const known_name *names, size_t count,
                                 pn_text name) {
    for (size_t i = 0; i < count; i++) {
        if (pn_text_equal_nocase(name, pn_text_of(names[i].name))) {
            return &names[i];
        }
    }
    return NULL;
}

/* Without "_LEVEL2", in `buf`. */
static pn_text plain_name(pn_text name, char buf[NAME_SIZE]) {
    static const char level[] = "_LEVEL2";
    size_t level_len = sizeof level - 1, len = 0;
    for (size_t i = 0; i < name.len && len < NAME_SIZE; i++) {
        if (name.len - i >= level_len &&
            memcmp(name.at + i, level, level_len) == 0) {
            i += level_len - 1;
            continue;
        }
        buf[len++] = name.at[i];
    }
    return (pn_text){buf, len};
}

static pn_status read_names(pn_text line, const char *csv_name, layout *out,
                            pn_score_station *station, pn_error *err) {
    bool has_date = false, has_neutrons = false;
    const known_name *probes[FIELDS_MAX] = {NULL};
    while (line.at != NULL) {
        pn_text field = unquoted(pn_text_cut(line, ',', &line));
        if (out->field_count == FIELDS_MAX) {
            return pn_fail(err, PN_EPARSE,
                           "%s, line 1: more than %d columns; is it a daily "
                           "station table?",
                           csv_name, FIELDS_MAX);
        }
        size_t k = out->field_count++;
        char buf[NAME_SIZE];
        pn_text name = plain_name(field, buf);
        if (pn_text_equal_nocase(name, pn_text_of("DATE_TIME"))) {
            out->date = k;
            has_date = true;
            continue;
        }
        out->known[k] = find_in(known_names,
                                sizeof known_names / sizeof *known_names, name);
        probes[k] = find_in(probe_names,
                            sizeof probe_names / sizeof *probe_names, name);
        has_neutrons |= out->known[k] != NULL &&
                        out->known[k]->column == PN_SCORE_SOIL_WATER_FRAC;
    }
    if (!has_date) {
        return pn_fail(err, PN_EPARSE,
                       "%s, line 1: no column DATE_TIME; the first line must "
                       "hold the names of the columns",
                       csv_name);
    }
    for (size_t k = 0; k < out->field_count; k++) {
        if (!has_neutrons && probes[k] != NULL) {
            out->known[k] = probes[k];
            station->water_from_probes = true;
        }
        if (out->known[k] != NULL) {
            station->has[out->known[k]->column] = true;
        }
    }
    return PN_OK;
}

static bool is_missing(pn_text field) {
    double value;
    return field.len == 0 || pn_text_equal_nocase(field, pn_text_of("nan")) ||
           pn_text_equal_nocase(field, pn_text_of("na")) ||
           (pn_text_to_double(field, &value) && value < -9998.5 &&
            value > -9999.5);
}

static pn_status read_date(pn_text line, const layout *names, size_t line_no,
                           const char *csv_name, int32_t *day, pn_error *err) {
    pn_text field = {NULL, 0};
    for (size_t k = 0; k <= names->date && line.at != NULL; k++) {
        field = unquoted(pn_text_cut(line, ',', &line));
    }
    pn_text date = {field.at, field.len < 10 ? field.len : 10};
    bool clean_end =
        field.len <= 10 || field.at[10] == ' ' || field.at[10] == 'T';
    if (!clean_end || !pn_date_parse_iso(date, day)) {
        return pn_fail(err, PN_EPARSE,
                       "%s, line %zu, column DATE_TIME: '%.*s' is no date; "
                       "write it as 2018-06-30",
                       csv_name, line_no,
                       (int)(field.len < 40 ? field.len : 40),
                       field.at == NULL ? "" : field.at);
    }
    return PN_OK;
}

/* First pass: the span of days. */
static pn_status read_span(pn_text rest, const layout *names,
                           const char *csv_name, pn_score_station *station,
                           pn_error *err) {
    int32_t first = INT32_MAX, last = INT32_MIN;
    pn_text line;
    for (size_t line_no = 2; next_line(&rest, &line); line_no++) {
        if (pn_text_trim(line).len == 0) {
            continue;
        }
        int32_t day = 0;
        pn_status status = read_date(line, names, line_no, csv_name, &day, err);
        if (status != PN_OK) {
            return status;
        }
        first = day < first ? day : first;
        last = day > last ? day : last;
    }
    if (first > last) {
        return pn_fail(err, PN_EPARSE, "%s: no days below the names", csv_name);
    }
    if (last - first >= days_max) {
        return pn_fail(err, PN_EPARSE,
                       "%s: the days span more than 200 years; look for a "
                       "mistyped year",
                       csv_name);
    }
    station->first_epoch_day = first;
    station->day_count = (size_t)((int64_t)last - first) + 1;
    return PN_OK;
}

static pn_status make_room(pn_score_station *station, pn_error *err) {
    for (int c = 0; c < PN_SCORE_COLUMN_COUNT; c++) {
        double *value = pn_alloc_array(&station->alloc, NULL,
                                       station->day_count, sizeof *value);
        if (value == NULL) {
            return pn_fail(err, PN_ENOMEM, "station table of %zu days",
                           station->day_count);
        }
        for (size_t i = 0; i < station->day_count; i++) {
            value[i] = NAN;
        }
        station->value[c] = value;
    }
    return PN_OK;
}

/* One value into its column; a second sensor is averaged with the first. */
static void put(pn_score_station *station, const known_name *known, size_t day,
                double value) {
    double scaled = value * known->factor;
    if (!(scaled >= known->low && scaled <= known->high)) {
        station->implausible_count++;
        return;
    }
    double *at = &station->value[known->column][day];
    *at = isnan(*at) ? scaled : (*at + scaled) / 2;
}

static pn_status read_row(pn_text line, const layout *names, size_t line_no,
                          const char *csv_name, pn_score_station *station,
                          bool *seen, pn_error *err) {
    int32_t epoch_day = 0;
    pn_status status =
        read_date(line, names, line_no, csv_name, &epoch_day, err);
    if (status != PN_OK) {
        return status;
    }
    size_t day = (size_t)(epoch_day - station->first_epoch_day);
    if (seen[day]) {
        char iso[PN_DATE_ISO_SIZE];
        return pn_fail(err, PN_EPARSE,
                       "%s, line %zu, column DATE_TIME: %s stands twice; keep "
                       "one of the two lines",
                       csv_name, line_no, pn_date_iso(epoch_day, iso));
    }
    seen[day] = true;
    size_t k = 0;
    for (; line.at != NULL; k++) {
        pn_text field = unquoted(pn_text_cut(line, ',', &line));
        const known_name *known =
            k < names->field_count ? names->known[k] : NULL;
        double value = 0;
        if (known == NULL || is_missing(field)) {
            continue;
        }
        if (!pn_text_to_double(field, &value)) {
            return pn_fail(err, PN_EPARSE,
                           "%s, line %zu, column %s: '%.*s' is no number; "
                           "write -9999 or nothing for a missing value",
                           csv_name, line_no, known->name,
                           (int)(field.len < 40 ? field.len : 40), field.at);
        }
        put(station, known, day, value);
    }
    if (k != names->field_count) {
        return pn_fail(err, PN_EPARSE,
                       "%s, line %zu: %zu fields under %zu names; is the file "
                       "cut short?",
                       csv_name, line_no, k, names->field_count);
    }
    return PN_OK;
}

static pn_status read_rows(pn_text rest, const layout *names,
                           const char *csv_name, pn_score_station *station,
                           pn_error *err) {
    bool *seen =
        pn_alloc_zeroed(&station->alloc, station->day_count, sizeof *seen);
    if (seen == NULL) {
        return pn_fail(err, PN_ENOMEM, "station table of %zu days",
                       station->day_count);
    }
    pn_status status = PN_OK;
    pn_text line;
    for (size_t line_no = 2; status == PN_OK && next_line(&rest, &line);
         line_no++) {
        if (pn_text_trim(line).len > 0) {
            status =
                read_row(line, names, line_no, csv_name, station, seen, err);
        }
    }
    pn_alloc_free(&station->alloc, seen);
    return status;
}

static pn_status check_encoding(pn_text csv, const char *csv_name,
                                pn_error *err) {
    size_t look = csv.len < 4096 ? csv.len : 4096;
    if (look > 0 && memchr(csv.at, '\0', look) != NULL) {
        return pn_fail(err, PN_EPARSE,
                       "%s: not plain text (UTF-16, or not a table at all); "
                       "save it as UTF-8 CSV",
                       csv_name);
    }
    return PN_OK;
}

pn_status pn_score_station_parse(const pn_alloc *alloc, pn_text csv,
                                 const char *csv_name, pn_score_station **out,
                                 pn_error *err) {
    pn_status status = check_encoding(csv, csv_name, err);
    if (status != PN_OK) {
        return status;
    }
    if (csv.len >= 3 && memcmp(csv.at, "\xEF\xBB\xBF", 3) == 0) {
        csv.at += 3; /* byte order mark */
        csv.len -= 3;
    }
    pn_score_station *station = pn_alloc_zeroed(alloc, 1, sizeof *station);
    if (station == NULL) {
        return pn_fail(err, PN_ENOMEM, "station table");
    }
    station->alloc = *alloc;
    layout names = {.field_count = 0};
    pn_text first_line = {NULL, 0};
    if (!next_line(&csv, &first_line)) {
        status = pn_fail(err, PN_EPARSE, "%s: the file is empty", csv_name);
        goto done;
    }
    status = read_names(first_line, csv_name, &names, station, err);
    if (status != PN_OK) {
        goto done;
    }
    status = read_span(csv, &names, csv_name, station, err);
    if (status != PN_OK) {
        goto done;
    }
    status = make_room(station, err);
    if (status != PN_OK) {
        goto done;
    }
    status = read_rows(csv, &names, csv_name, station, err);
    if (status != PN_OK) {
        goto done;
    }
    *out = station;
    station = NULL;
done:
    pn_score_station_free(station);
    return status;
}

void pn_score_station_free(pn_score_station *station) {
    if (station == NULL) {
        return;
    }
    pn_alloc alloc = station->alloc;
    for (int c = 0; c < PN_SCORE_COLUMN_COUNT; c++) {
        pn_alloc_free(&alloc, station->value[c]);
    }
    pn_alloc_free(&alloc, station);
}
