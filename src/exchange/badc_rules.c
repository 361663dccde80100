// SPDX-License-Identifier: MIT
/* What one row of the national archive says of which day.
 *
 * Days. A climate day runs from 09:00 to 09:00 UTC and is read in the morning
 * it ends. The highest temperature of the 24 hours before a morning reading
 * fell, as a rule, on the afternoon before, the lowest in the night just past:
 * so the maximum is credited to the day before the reading, the minimum to the
 * day of the reading, the rain to the day before (British practice, from
 * memory). That ob_date of a rain row is the date of the reading, not the day
 * already thrown back, was found from the 1991 Bracknell files: its rain goes
 * with the daily rain of the region on ob_date - 1 (r 0.66; r 0.21 on
 * ob_date), and against the radiation of ob_date - 1 (r -0.29; -0.08).
 *
 * Quality codes. Five digits, from memory of the archive's documentation, most
 * significant first: special value (1: a trace of rain), failed consistency
 * check, estimated, level of doubt, stage of checking (0: not checked yet,
 * 9: all checks done). Read with caution: whatever is not plainly good is
 * flagged. A value that no weather can have is dropped if it is flagged so,
 * else it is an error. */
#include <math.h>
#include <string.h>

#include "badc_internal.h"

enum {
    NOON_MINUTE = 720,
    DAY_COUNT_MAX = 366,
    UNCHECKED = 0,
    ID_BITS = 26,
    ID_MAX = (1 << ID_BITS) - 1
};

/* Bounds of hourly readings, wide of any record: 200 kn; the sun above the
 * air gives 4.9 MJ/m2 in an hour; a cold sensor may read a little below 0 at
 * night. */
static const double WIND_HIGH_KN = 200.0;
static const double SOLAR_LOW_KJ = -100.0;
static const double SOLAR_HIGH_KJ = 5000.0;
static const double M_S_PER_KNOT = 1852.0 / 3600.0;

uint8_t px_badc_quality(int64_t code) {
    int64_t stage = code % 10;
    int64_t doubt = code / 10 % 10;
    int64_t estimated = code / 100 % 10;
    int64_t failed = code / 1000 % 10;
    int64_t special = code / 10000;
    unsigned flags = estimated != 0 ? PN_SKY_ESTIMATED : 0U;
    bool part_checked = stage != UNCHECKED && stage != 9;
    if (part_checked || doubt != 0 || failed != 0 || special > 1) {
        flags |= PN_SKY_SUSPECT;
    }
    return (uint8_t)flags;
}

int32_t px_badc_day_of_max(px_badc_time end) {
    return end.minute <= NOON_MINUTE ? end.epoch_day - 1 : end.epoch_day;
}

int32_t px_badc_day_of_min(px_badc_time end) {
    return end.minute == 0 ? end.epoch_day - 1 : end.epoch_day;
}

/* One row while it is read. */
typedef struct row {
    const px_badc *b;
    const px_fields *fields;
    size_t line;
    uint32_t rank; /* of the row; that of a value adds its quality */
} row;

static pn_text text_of(const row *r, px_badc_role role) {
    size_t field = r->b->field[role];
    return field == PX_BADC_NONE ? (pn_text){NULL, 0}
                                 : pn_text_trim(r->fields->at[field]);
}

static pn_status fail_at(const row *r, px_badc_role role, const char *want,
                         pn_error *err) {
    px_place place =
        px_badc_place(r->b, r->line, r->b->field[role], text_of(r, role));
    return px_fail_at(&place, err,
                      "expected %s; the file may be damaged: copy it again",
                      want);
}

/* A whole number 0 .. high, or the fallback where there is none. */
static pn_status take_int(const row *r, px_badc_role role, int64_t high,
                          int64_t *value, pn_error *err) {
    pn_text text = text_of(r, role);
    int64_t got = 0;
    if (px_is_missing(text)) {
        return PN_OK; /* *value keeps the fallback */
    }
    if (!pn_text_to_int(text, &got) || got < 0 || got > high) {
        return fail_at(r, role, "a whole number in range", err);
    }
    *value = got;
    return PN_OK;
}

/* "YYYY-MM-DD HH:MM[:SS]" or a date alone. */
static bool parse_time(pn_text text, px_badc_time *out) {
    pn_text clock;
    pn_text date = pn_text_cut(text, ' ', &clock);
    if (!pn_date_parse_iso(date, &out->epoch_day)) {
        return false;
    }
    out->minute = 0;
    if (clock.at == NULL) {
        return true;
    }
    int64_t hour = 0;
    int64_t minute = 0;
    bool shaped = (clock.len == 5 || clock.len == 8) && clock.at[2] == ':' &&
                  pn_text_to_int((pn_text){clock.at, 2}, &hour) &&
                  pn_text_to_int((pn_text){clock.at + 3, 2}, &minute);
    if (!shaped || hour < 0 || hour > 23 || minute < 0 || minute > 59) {
        return false;
    }
    out->minute = (int)(hour * 60 + minute);
    return true;
}

static pn_status take_time(const row *r, px_badc_role role, px_badc_time *out,
                           pn_error *err) {
    return parse_time(text_of(r, role), out)
               ? PN_OK
               : fail_at(r, role, "a time as YYYY-MM-DD HH:MM:SS", err);
}

/* Which of two rows for one time is preferred: the checked version before the
 * message as received; then (in add()) the better quality code; then the
 * climate return (NCM), read by an observer to 0.1 mm, before automatic
 * messages, whose gauges step in 0.2 mm; then the lower station identifier;
 * then the earlier row. The order of messages is a judgement, no source. */
static pn_status rank_row(row *r, pn_error *err) {
    int64_t version = 0;
    int64_t id = ID_MAX;
    int64_t given = ID_MAX;
    pn_status status = take_int(r, PX_BADC_VERSION, 99, &version, err);
    if (status != PN_OK) {
        return status;
    }
    if (pn_text_to_int(text_of(r, PX_BADC_ID), &given) && given >= 0) {
        id = given < ID_MAX ? given : ID_MAX;
    }
    bool climate = pn_text_equal(text_of(r, PX_BADC_DOMAIN), pn_text_of("NCM"));
    r->rank = (uint32_t)id;
    r->rank |= climate ? 0U : 1U << ID_BITS;
    r->rank |= version == 1 ? 0U : 1U << (ID_BITS + 3);
    return PN_OK;
}

static pn_status check_station(const row *r, pn_error *err) {
    px_reading *reading = r->b->reading;
    int64_t id = -1;
    pn_status status =
        take_int(r, PX_BADC_STATION, INT64_C(1000000000), &id, err);
    if (status != PN_OK || id < 0) {
        return status;
    }
    if (reading->station_id >= 0 && reading->station_id != id) {
        px_place place =
            px_badc_place(r->b, r->line, r->b->field[PX_BADC_STATION],
                          text_of(r, PX_BADC_STATION));
        return px_fail_at(&place, err,
                          "another station (%lld came before): import one "
                          "station at a time",
                          (long long)reading->station_id);
    }
    reading->station_id = id;
    return PN_OK;
}

/* One value of a row with what its quality code says. */
typedef struct measure {
    px_badc_role role;
    double low;
    double high;
    const char *want;
    double value;
    uint8_t flags;
    bool usable;
} measure;

/* Reads r->value; usable stays false for one that is missing or dropped. */
static pn_status take_reading(const row *r, measure *v, pn_error *err) {
    pn_text text = text_of(r, v->role);
    int64_t code = 0;
    v->usable = false;
    if (px_is_missing(text)) {
        return PN_OK;
    }
    pn_status status =
        take_int(r, (px_badc_role)(v->role + 1), 99999, &code, err);
    if (status != PN_OK) {
        return status;
    }
    v->flags = px_badc_quality(code);
    bool number = pn_text_to_double(text, &v->value);
    bool in_range = number && v->value >= v->low && v->value <= v->high;
    if (number && !in_range && (v->flags & PN_SKY_SUSPECT) != 0) {
        r->b->reading->report->dropped_count++;
        return PN_OK;
    }
    if (!in_range) {
        return fail_at(r, v->role, v->want, err);
    }
    r->b->reading->report->unchecked_count += code % 10 == UNCHECKED;
    v->usable = true;
    return PN_OK;
}

/* Suspect weighs more than estimated. */
static pn_status add(const row *r, const measure *v, const px_obs *what,
                     pn_error *err) {
    px_obs obs = *what;
    uint32_t penalty = (v->flags & PN_SKY_SUSPECT) != 0 ? 2U : 0U;
    penalty += (v->flags & PN_SKY_ESTIMATED) != 0 ? 1U : 0U;
    obs.rank = r->rank | penalty << (ID_BITS + 1);
    obs.flags = v->flags;
    obs.line = (uint32_t)r->line;
    obs.source = r->b->reading->source;
    return px_obs_add(r->b->reading->list, &obs, err);
}

/* Twelve-hour reports: the half ending in the evening holds, as a rule, the
 * maximum, the half ending in the morning the minimum; both belong to the
 * climate day in which they lie. */
static bool half_of(px_badc_time end, uint8_t *slot) {
    if (end.minute >= 360 && end.minute <= NOON_MINUTE) {
        *slot = PX_SLOT_DARK_HALF;
        return true;
    }
    *slot = PX_SLOT_LIGHT_HALF;
    return end.minute >= 1080;
}

static pn_status take_temperature(const row *r, px_badc_time end, int64_t hours,
                                  pn_error *err) {
    uint8_t slot = PX_SLOT_DAY;
    if (hours != 24 && !(hours == 12 && half_of(end, &slot))) {
        r->b->reading->report->skipped_count++;
        return PN_OK;
    }
    measure high = {.role = PX_BADC_TMAX, .want = "-90 to 60 degC"};
    measure low = {.role = PX_BADC_TMIN, .want = "-90 to 60 degC"};
    (void)pn_sky_var_plausible(PN_SKY_TMAX_DEGC, 0.0, &high.low, &high.high);
    (void)pn_sky_var_plausible(PN_SKY_TMIN_DEGC, 0.0, &low.low, &low.high);
    pn_status status = take_reading(r, &high, err);
    if (status == PN_OK) {
        status = take_reading(r, &low, err);
    }
    if (status == PN_OK && high.usable) {
        px_obs obs = {.value = high.value,
                      .epoch_day = px_badc_day_of_max(end),
                      .var = PN_SKY_TMAX_DEGC,
                      .slot = slot};
        status = add(r, &high, &obs, err);
    }
    if (status == PN_OK && low.usable) {
        px_obs obs = {.value = low.value,
                      .epoch_day = px_badc_day_of_min(end) +
                                   (slot == PX_SLOT_LIGHT_HALF ? 1 : 0),
                      .var = PN_SKY_TMIN_DEGC,
                      .slot = slot};
        status = add(r, &low, &obs, err);
    }
    return status;
}

/* An amount over several days is spread evenly over them and said to be
 * estimated, so that a gauge read on its own day wins. */
static pn_status take_rain(const row *r, pn_error *err) {
    px_badc_time end = {0};
    int64_t days = 1;
    int64_t clock = 900;
    measure v = {.role = PX_BADC_RAIN, .want = "0 to 1900 mm"};
    (void)pn_sky_var_plausible(PN_SKY_RAIN_MM, 0.0, &v.low, &v.high);
    pn_status status = take_time(r, PX_BADC_DATE, &end, err);
    if (status == PN_OK) {
        status = take_int(r, PX_BADC_DAYS, DAY_COUNT_MAX, &days, err);
    }
    if (status == PN_OK) {
        status = take_int(r, PX_BADC_END_CLOCK, 2400, &clock, err);
    }
    if (status == PN_OK) {
        v.high *= (double)(days > 0 ? days : 1);
        status = take_reading(r, &v, err);
    }
    if (status != PN_OK || !v.usable) {
        return status;
    }
    if (days == 0 || clock % 100 > 59) {
        r->b->reading->report->skipped_count++;
        return PN_OK;
    }
    end.minute = (int)(clock / 100 * 60 + clock % 100);
    v.flags |= days > 1 ? PN_SKY_ESTIMATED : 0;
    for (int32_t back = 0; back < (int32_t)days && status == PN_OK; back++) {
        px_obs obs = {.value = v.value / (double)days,
                      .epoch_day = px_badc_day_of_max(end) - back,
                      .var = PN_SKY_RAIN_MM,
                      .slot = PX_SLOT_DAY};
        status = add(r, &v, &obs, err);
    }
    return status;
}

static pn_status add_hour(const row *r, px_badc_time end, const measure *v,
                          const px_obs *what, pn_error *err) {
    px_obs obs = *what;
    bool midnight = end.minute == 0;
    obs.epoch_day = midnight ? end.epoch_day - 1 : end.epoch_day;
    obs.slot = (uint8_t)(midnight ? 23 : end.minute / 60 - 1);
    return add(r, v, &obs, err);
}

static pn_status take_wind(const row *r, px_badc_time end, pn_error *err) {
    measure v = {
        .role = PX_BADC_WIND, .high = WIND_HIGH_KN, .want = "0 to 200 knots"};
    pn_status status = take_reading(r, &v, err);
    if (status != PN_OK || !v.usable) {
        return status;
    }
    px_obs obs = {.var = PN_SKY_WIND_M_S};
    obs.value = pn_sky_wind_at_2m_m_s(v.value * M_S_PER_KNOT,
                                      r->b->reading->opts->wind_height_m);
    return add_hour(r, end, &v, &obs, err);
}

static pn_status take_solar(const row *r, px_badc_time end, pn_error *err) {
    measure v = {.role = PX_BADC_SOLAR,
                 .low = SOLAR_LOW_KJ,
                 .high = SOLAR_HIGH_KJ,
                 .want = "-100 to 5000 kJ/m2"};
    pn_status status = take_reading(r, &v, err);
    if (status != PN_OK || !v.usable) {
        return status;
    }
    if (v.value < 0.0) { /* the sensor's zero, not the sun */
        v.value = 0.0;
        v.flags |= PN_SKY_ESTIMATED;
    }
    px_obs obs = {.value = v.value / 1000.0, .var = PN_SKY_SOLAR_MJ_M2};
    return add_hour(r, end, &v, &obs, err);
}

static pn_status take_hourly(const row *r, px_badc_time end, int64_t hours,
                             pn_error *err) {
    if (hours != 1 || end.minute % 60 != 0) {
        r->b->reading->report->skipped_count++;
        return PN_OK;
    }
    pn_status status = take_wind(r, end, err);
    return status != PN_OK ? status : take_solar(r, end, err);
}

pn_status px_badc_take_row(const px_badc *b, const px_fields *fields,
                           size_t line, pn_error *err) {
    row r = {.b = b, .fields = fields, .line = line};
    px_badc_time end = {0};
    int64_t hours = 0;
    pn_status status = check_station(&r, err);
    if (status == PN_OK) {
        status = rank_row(&r, err);
    }
    if (status != PN_OK || !(b->is_temperature || b->is_rain || b->is_hourly)) {
        return status;
    }
    if (b->is_rain) {
        return take_rain(&r, err);
    }
    status = take_time(&r, PX_BADC_END_TIME, &end, err);
    if (status == PN_OK) {
        status = take_int(&r, PX_BADC_HOURS, 9999, &hours, err);
    }
    if (status == PN_OK && b->is_temperature) {
        status = take_temperature(&r, end, hours, err);
    }
    if (status == PN_OK && b->is_hourly) {
        status = take_hourly(&r, end, hours, err);
    }
    return status;
}
