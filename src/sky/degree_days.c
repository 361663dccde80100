// SPDX-License-Identifier: MIT
#include "pannage/sky.h"

#include <math.h>

#include "sky_internal.h"

/* One curve between two extremes and the two thresholds. */
struct band {
    double low;
    double high;
    double lower;
    double upper;
};

/* Mean height of a sine above a threshold inside its swing: the curve cut
 * below, [BaskervilleEmin69]. */
static double sine_above(double mean, double amplitude, double threshold) {
    double angle = asin(held((threshold - mean) / amplitude, -1.0, 1.0));
    return ((mean - threshold) * (pi / 2.0 - angle) + amplitude * cos(angle)) /
           pi;
}

static double triangle_above(const struct band *band, double threshold) {
    double top = band->high - threshold;
    return top * top / (2.0 * (band->high - band->low));
}

/* Mean height of the curve above one threshold, wherever that lies. */
static double above(const struct band *band, bool is_sine, double threshold) {
    double mean = 0.5 * (band->low + band->high);
    if (threshold >= band->high) {
        return 0.0;
    }
    if (threshold <= band->low) {
        return mean - threshold;
    }
    return is_sine ? sine_above(mean, 0.5 * (band->high - band->low), threshold)
                   : triangle_above(band, threshold);
}

/* What lies between the thresholds is what lies above the lower less what
 * lies above the upper: this joins the six cases of the tables. */
static double between(const struct band *band, bool is_sine) {
    double area =
        above(band, is_sine, band->lower) - above(band, is_sine, band->upper);
    return fmax(area, 0.0); /* rounding may leave -1e-16 */
}

static double half_swing(double a, double b, const struct band *thresholds,
                         bool is_sine) {
    struct band band = *thresholds;
    band.low = fmin(a, b);
    band.high = fmax(a, b);
    return between(&band, is_sine);
}

double pn_sky_degree_days(pn_sky_degree_method method, pn_sky_swing swing,
                          double lower, double upper) {
    bool is_sine = method == PN_SKY_SINGLE_SINE || method == PN_SKY_DOUBLE_SINE;
    bool is_double =
        method == PN_SKY_DOUBLE_TRIANGLE || method == PN_SKY_DOUBLE_SINE;
    if (!(isfinite(swing.tmin_degc) && isfinite(swing.tmax_degc) &&
          swing.tmin_degc <= swing.tmax_degc && isfinite(lower) &&
          lower <= upper) ||
        (is_double && !isfinite(swing.next_tmin_degc))) {
        return NAN;
    }
    struct band thresholds = {.lower = lower, .upper = upper};
    double up =
        half_swing(swing.tmin_degc, swing.tmax_degc, &thresholds, is_sine);
    if (!is_double) {
        return up;
    }
    double down =
        half_swing(swing.tmax_degc, swing.next_tmin_degc, &thresholds, is_sine);
    return 0.5 * (up + down);
}

static bool extremes_are_stated(double tmin_degc, double tmax_degc,
                                double base_degc) {
    return isfinite(tmin_degc) && isfinite(tmax_degc) && isfinite(base_degc) &&
           tmin_degc <= tmax_degc;
}

double pn_sky_degree_days_of_mean(double tmin_degc, double tmax_degc,
                                  double base_degc) {
    if (!extremes_are_stated(tmin_degc, tmax_degc, base_degc)) {
        return NAN;
    }
    return fmax(0.5 * (tmin_degc + tmax_degc) - base_degc, 0.0);
}

double pn_sky_degree_days_of_raised(double tmin_degc, double tmax_degc,
                                    double base_degc) {
    if (!extremes_are_stated(tmin_degc, tmax_degc, base_degc)) {
        return NAN;
    }
    return 0.5 * (fmax(tmin_degc, base_degc) + fmax(tmax_degc, base_degc)) -
           base_degc;
}
