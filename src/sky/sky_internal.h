/** @file sky_internal.h
 * What the files of this capability share.
 */
#ifndef PN_SKY_INTERNAL_H
#define PN_SKY_INTERNAL_H

#include <math.h>
#include <stdbool.h>

static const double pi = 3.14159265358979323846;

/* Julian day of the epoch that both solar theories count from. */
static const double j2000 = 2451545.0;

/** False for NaN too. */
static inline bool within(double value, double low, double high) {
    return value >= low && value <= high;
}

/** Value held to the nearer end of low..high; NaN stays NaN. */
static inline double held(double value, double low, double high) {
    if (value < low) {
        return low;
    }
    return value > high ? high : value;
}

static inline double rad_of_deg(double deg) {
    return deg * (pi / 180.0);
}

static inline double deg_of_rad(double rad) {
    return rad * (180.0 / pi);
}

/** Into 0 .. 2 pi. */
static inline double wrapped_rad(double rad) {
    double wrapped = remainder(rad, 2.0 * pi);
    return wrapped < 0.0 ? wrapped + 2.0 * pi : wrapped;
}

#endif
