// SPDX-License-Identifier: MIT
/* The heap of observations, and the weather record made from it. */
#include <math.h>
#include <string.h>

#include "exchange_internal.h"

enum {
    FIRST_CAPACITY = 1024,
    LONGEST_DAYS = 73050, /* 200 years, the longest record there can be */
    OBS_COUNT_MAX = 200000000
};

pn_status px_obs_add(px_obs_list *list, const px_obs *obs, pn_error *err) {
    if (list->count == list->capacity) {
        size_t grown =
            list->capacity == 0 ? FIRST_CAPACITY : list->capacity * 2;
        px_obs *bigger =
            grown > OBS_COUNT_MAX
                ? NULL
                : pn_alloc_array(&list->alloc, list->at, grown, sizeof *bigger);
        if (bigger == NULL) {
            return pn_fail(err, PN_ENOMEM, "weather file of %zu readings",
                           list->count);
        }
        list->at = bigger;
        list->capacity = grown;
    }
    list->at[list->count++] = *obs;
    return PN_OK;
}

void px_obs_deinit(px_obs_list *list) {
    pn_alloc_free(&list->alloc, list->at);
    *list = (px_obs_list){.alloc = list->alloc};
}

static pn_status too_far_apart(const px_obs *first, const px_obs *last,
                               const pn_exchange_source *sources,
                               pn_error *err) {
    char names[2][PX_NAME_SIZE];
    char dates[2][PN_DATE_ISO_SIZE];
    return pn_fail(err, PN_EPARSE,
                   "%s:%u: dates run from %s to %s (%s:%u): more than 200 "
                   "years; correct whichever is wrong",
                   px_shown_name(sources[first->source].name, names[0]),
                   first->line, pn_date_iso(first->epoch_day, dates[0]),
                   pn_date_iso(last->epoch_day, dates[1]),
                   px_shown_name(sources[last->source].name, names[1]),
                   last->line);
}

static pn_status twice(const px_obs *first, const px_obs *second,
                       const pn_exchange_source *sources, pn_error *err) {
    char names[2][PX_NAME_SIZE];
    char date[PN_DATE_ISO_SIZE];
    pn_date_iso(second->epoch_day, date);
    const char *column = second->var == PX_VAR_ROW
                             ? "date"
                             : pn_sky_var_name((pn_sky_var)second->var);
    return pn_fail(err, PN_EPARSE,
                   "%s:%u: column \"%s\": value '%s': this date stands already "
                   "in %s:%u; delete one of the two",
                   px_shown_name(sources[second->source].name, names[0]),
                   second->line, column, date,
                   px_shown_name(sources[first->source].name, names[1]),
                   first->line);
}

/* Puts every observation on its day. owner[var][day] is the number (from 1)
 * of the observation that stands there. */
static pn_status place_all(const px_obs_list *list,
                           const pn_exchange_source *sources, uint32_t *owner,
                           pn_weather *weather, pn_error *err) {
    for (size_t i = 0; i < list->count; i++) {
        const px_obs *obs = &list->at[i];
        size_t day = (size_t)(obs->epoch_day - weather->first_epoch_day);
        uint32_t *own = &owner[obs->var * weather->day_count + day];
        if (*own != 0) {
            return twice(&list->at[*own - 1], obs, sources, err);
        }
        *own = (uint32_t)(i + 1);
        if (obs->var != PX_VAR_ROW) {
            weather->value[obs->var][day] = obs->value;
            weather->quality[obs->var][day] = obs->flags;
        }
    }
    return PN_OK;
}

pn_status px_obs_to_weather(const px_obs_list *list,
                            const pn_exchange_source *sources, pn_weather **out,
                            pn_error *err) {
    const px_obs *first = list->at;
    const px_obs *last = list->at;
    for (size_t i = 1; i < list->count; i++) {
        const px_obs *obs = &list->at[i];
        first = obs->epoch_day < first->epoch_day ? obs : first;
        last = obs->epoch_day > last->epoch_day ? obs : last;
    }
    int64_t days = (int64_t)last->epoch_day - first->epoch_day + 1;
    if (days > LONGEST_DAYS) {
        return too_far_apart(first, last, sources, err);
    }
    pn_weather *weather = NULL;
    uint32_t *owner = NULL;
    pn_status status = pn_weather_new(&list->alloc, first->epoch_day,
                                      (size_t)days, &weather, err);
    if (status != PN_OK) {
        goto done;
    }
    owner = pn_alloc_zeroed(&list->alloc, (size_t)days * (PX_VAR_ROW + 1),
                            sizeof *owner);
    if (owner == NULL) {
        status =
            pn_fail(err, PN_ENOMEM, "weather record of %d days", (int)days);
        goto done;
    }
    status = place_all(list, sources, owner, weather, err);
    if (status != PN_OK) {
        goto done;
    }
    *out = weather;
    weather = NULL;
done:
    pn_weather_free(weather);
    pn_alloc_free(&list->alloc, owner);
    return status;
}

size_t px_drop_inverted(pn_weather *weather) {
    size_t count = 0;
    double *tmin = weather->value[PN_SKY_TMIN_DEGC];
    double *tmax = weather->value[PN_SKY_TMAX_DEGC];
    for (size_t i = 0; i < weather->day_count; i++) {
        if (tmin[i] > tmax[i]) {
            tmin[i] = NAN;
            tmax[i] = NAN;
            weather->quality[PN_SKY_TMIN_DEGC][i] = 0;
            weather->quality[PN_SKY_TMAX_DEGC][i] = 0;
            count++;
        }
    }
    return count;
}

static void count_var(const pn_weather *weather, size_t var,
                      pn_exchange_report *report) {
    size_t run = 0;
    for (size_t i = 0; i < weather->day_count; i++) {
        uint8_t quality = weather->quality[var][i];
        bool missing = isnan(weather->value[var][i]);
        run = missing ? run + 1 : 0;
        report->missing_count[var] += missing;
        if (run > report->longest_missing_days[var]) {
            report->longest_missing_days[var] = run;
        }
        report->suspect_count += (quality & PN_SKY_SUSPECT) != 0;
        report->estimated_count += (quality & PN_SKY_ESTIMATED) != 0;
    }
    report->understood[var] = report->missing_count[var] < weather->day_count;
}

static bool is_empty_day(const pn_weather *weather, size_t day) {
    for (size_t v = 0; v < PN_SKY_VAR_COUNT; v++) {
        if (!isnan(weather->value[v][day])) {
            return false;
        }
    }
    return true;
}

void px_report_weather(const pn_weather *weather, pn_exchange_report *report) {
    report->first_epoch_day = weather->first_epoch_day;
    report->day_count = weather->day_count;
    report->last_epoch_day =
        weather->first_epoch_day + (int32_t)weather->day_count - 1;
    for (size_t v = 0; v < PN_SKY_VAR_COUNT; v++) {
        count_var(weather, v, report);
    }
    size_t run = 0;
    for (size_t i = 0; i < weather->day_count; i++) {
        bool empty = is_empty_day(weather, i);
        run = empty ? run + 1 : 0;
        report->empty_day_count += empty;
        if (run > report->longest_empty_days) {
            report->longest_empty_days = run;
        }
    }
}
