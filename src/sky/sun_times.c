// SPDX-License-Identifier: MIT
/* When the sun passes a zenith distance. */
#include "pannage/sky.h"

#include <math.h>

#include "sky_internal.h"

/* Half a day halved 26 times is less than a millisecond. */
enum { HALVINGS = 26 };

/* Almanac convention: 34' of refraction and 16' of semidiameter. */
static const double rise_zenith_deg = 90.0 + 50.0 / 60.0;

struct place {
    double midnight_jd; /* 0 h UTC of the date */
    double latitude_rad;
    double longitude_rad;
};

static double altitude_rad(const struct place *place, double hour) {
    return pn_sky_sun_altitude_rad(place->midnight_jd + hour / 24.0,
                                   place->latitude_rad, place->longitude_rad);
}

/* When the sun is on the meridian: mean noon of the place less the equation of
 * time, which is itself asked at that time. */
static double noon_h(const struct place *place) {
    double mean_noon_h = 12.0 - place->longitude_rad * 12.0 / pi;
    double hour = mean_noon_h;
    for (int round = 0; round < 3; round++) {
        pn_sky_sun sun = pn_sky_sun_at(place->midnight_jd + hour / 24.0);
        hour = mean_noon_h - sun.equation_of_time_rad * 12.0 / pi;
    }
    return hour;
}

/* Between an hour at night and noon the altitude only grows, so halving the
 * span finds the one passage. The caller made sure there is one. */
static double passage_h(const struct place *place, double night_h, double day_h,
                        double altitude) {
    double below_h = night_h;
    double above_h = day_h;
    for (int i = 0; i < HALVINGS; i++) {
        double middle_h = 0.5 * (below_h + above_h);
        if (altitude_rad(place, middle_h) < altitude) {
            below_h = middle_h;
        } else {
            above_h = middle_h;
        }
    }
    return 0.5 * (below_h + above_h);
}

static pn_sky_passage passage(const struct place *place, double noon,
                              double zenith_deg) {
    pn_sky_passage out = {PN_SKY_RISES_AND_SETS, NAN, NAN};
    double altitude = rad_of_deg(90.0 - zenith_deg);
    double before_h = noon - 12.0;
    double after_h = noon + 12.0;
    if (altitude_rad(place, noon) < altitude) {
        out.outcome = PN_SKY_NEVER_RISES;
    } else if (altitude_rad(place, before_h) >= altitude ||
               altitude_rad(place, after_h) >= altitude) {
        out.outcome = PN_SKY_NEVER_SETS;
    } else {
        out.rise_h = passage_h(place, before_h, noon, altitude);
        out.set_h = passage_h(place, after_h, noon, altitude);
    }
    return out;
}

static const pn_sky_passage unknown = {PN_SKY_NEVER_RISES, NAN, NAN};

bool pn_sky_sun_times_of(int32_t epoch_day, double latitude_rad,
                         double longitude_rad, pn_sky_sun_times *out) {
    struct place place = {pn_sky_julian_day(epoch_day), latitude_rad,
                          longitude_rad};
    *out = (pn_sky_sun_times){NAN, unknown, unknown, unknown, unknown};
    /* two days of room inside the years of the series */
    bool is_known =
        !isnan(pn_sky_sun_at(place.midnight_jd - 2.0).distance_au) &&
        !isnan(pn_sky_sun_at(place.midnight_jd + 2.0).distance_au);
    if (!is_known || isnan(altitude_rad(&place, 12.0))) {
        return false;
    }
    double noon = noon_h(&place);
    out->noon_h = noon;
    out->day = passage(&place, noon, rise_zenith_deg);
    out->civil = passage(&place, noon, 96.0);
    out->nautical = passage(&place, noon, 102.0);
    out->astronomical = passage(&place, noon, 108.0);
    return true;
}
