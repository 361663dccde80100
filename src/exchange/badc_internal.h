// SPDX-License-Identifier: MIT
/** @file badc_internal.h
 * Between the reader of the national archive's files and its rules.
 */
#ifndef PN_BADC_INTERNAL_H
#define PN_BADC_INTERNAL_H

#include "exchange_internal.h"

typedef enum px_badc_role {
    PX_BADC_END_TIME,
    PX_BADC_DATE,
    PX_BADC_ID,
    PX_BADC_VERSION,
    PX_BADC_DOMAIN,
    PX_BADC_HOURS,
    PX_BADC_DAYS,
    PX_BADC_END_CLOCK,
    PX_BADC_STATION,
    PX_BADC_TMAX, /* each value is followed by its quality code */
    PX_BADC_TMAX_Q,
    PX_BADC_TMIN,
    PX_BADC_TMIN_Q,
    PX_BADC_RAIN,
    PX_BADC_RAIN_Q,
    PX_BADC_WIND,
    PX_BADC_WIND_Q,
    PX_BADC_SOLAR,
    PX_BADC_SOLAR_Q,
    PX_BADC_ROLE_COUNT
} px_badc_role;

enum { PX_BADC_NONE = PX_FIELD_MAX };

/** One file being read. */
typedef struct px_badc {
    px_reading *reading;
    size_t field[PX_BADC_ROLE_COUNT]; /**< PX_BADC_NONE: no such column */
    size_t field_count;
    bool is_temperature;
    bool is_rain;
    bool is_hourly;
    char title[PX_VALUE_SIZE];
} px_badc;

px_place px_badc_place(const px_badc *b, size_t line, size_t field,
                       pn_text value);
PN_MUST_CHECK pn_status px_badc_take_row(const px_badc *b,
                                         const px_fields *fields, size_t line,
                                         pn_error *err);

/** The archive's quality code (0 .. 99999) as flags of pn_sky_quality. */
uint8_t px_badc_quality(int64_t code);

/** When a period of observation ended. */
typedef struct px_badc_time {
    int32_t epoch_day;
    int minute; /**< 0 .. 1440 after 00:00 of that day */
} px_badc_time;

/** The day to which the highest (lowest, the rain) of the 24 hours ending
 *  then belongs. */
int32_t px_badc_day_of_max(px_badc_time end);
int32_t px_badc_day_of_min(px_badc_time end);

#endif
