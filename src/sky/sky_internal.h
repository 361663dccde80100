/** @file sky_internal.h
 * What the files of this capability share.
 */
#ifndef PN_SKY_INTERNAL_H
#define PN_SKY_INTERNAL_H

#include <stdbool.h>

static const double PI = 3.14159265358979323846;

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
    return deg * (PI / 180.0);
}

static inline double deg_of_rad(double rad) {
    return rad * (180.0 / PI);
}

#endif
