/** @file sky_support.h
 * Dates by year, month and day, and a record filled by rule.
 */
#ifndef PN_TESTS_SKY_SUPPORT_H
#define PN_TESTS_SKY_SUPPORT_H

#include "support/check.h"
#include "support/failing.h"

#include "pannage/sky.h"

static inline int32_t day_of(int year, int month, int day) {
    return pn_date_to_epoch_day((pn_date){year, month, day});
}

/** tmin = day number, tmax = 10 more, rain = 2 mm on even days; the others
 *  missing. At 51.5 N, 100 m. */
static inline pn_weather *plain_record(int32_t first_epoch_day, size_t days) {
    pn_weather *weather = NULL;
    pn_status status =
        pn_weather_new(&pn_alloc_libc, first_epoch_day, days, &weather, NULL);
    assert_int_equal(status, PN_OK);
    weather->latitude_rad = 51.5 * acos(-1.0) / 180.0;
    weather->longitude_rad = 0.0;
    weather->elevation_m = 100.0;
    for (size_t i = 0; i < days; i++) {
        weather->value[PN_SKY_TMIN_DEGC][i] = (double)i;
        weather->value[PN_SKY_TMAX_DEGC][i] = (double)i + 10.0;
        weather->value[PN_SKY_RAIN_MM][i] = i % 2 == 0 ? 2.0 : 0.0;
    }
    return weather;
}

#endif
