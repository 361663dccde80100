// SPDX-License-Identifier: MIT
#include "pannage/sky.h"

#include <math.h>

#include "sky_internal.h"

double pn_sky_pressure_kpa(double elevation_m) {
    if (!within(elevation_m, -430.0, 9000.0)) {
        return NAN;
    }
    return 101.3 * pow((293.0 - 0.0065 * elevation_m) / 293.0, 5.26);
}

double pn_sky_psychrometric_kpa_k(double pressure_kpa) {
    if (!within(pressure_kpa, 20.0, 120.0)) {
        return NAN;
    }
    return 0.665e-3 * pressure_kpa;
}

double pn_sky_saturation_kpa(double air_degc) {
    if (!within(air_degc, -90.0, 60.0)) {
        return NAN;
    }
    return 0.6108 * exp(17.27 * air_degc / (air_degc + 237.3));
}

double pn_sky_saturation_slope_kpa_k(double air_degc) {
    double from_pole_k = air_degc + 237.3;
    return 4098.0 * pn_sky_saturation_kpa(air_degc) /
           (from_pole_k * from_pole_k);
}

double pn_sky_mean_saturation_kpa(double tmin_degc, double tmax_degc) {
    if (!(tmin_degc <= tmax_degc)) {
        return NAN;
    }
    return 0.5 * (pn_sky_saturation_kpa(tmax_degc) +
                  pn_sky_saturation_kpa(tmin_degc));
}

double pn_sky_vapour_psychrometer_kpa(double wet_degc, double dry_degc,
                                      double pressure_kpa) {
    if (!(wet_degc <= dry_degc && within(dry_degc, -90.0, 60.0) &&
          within(pressure_kpa, 20.0, 120.0))) {
        return NAN;
    }
    return pn_sky_saturation_kpa(wet_degc) -
           0.000662 * pressure_kpa * (dry_degc - wet_degc);
}

double pn_sky_vapour_extremes_kpa(double tmin_degc, double tmax_degc,
                                  double humidity_max_frac,
                                  double humidity_min_frac) {
    if (!(tmin_degc <= tmax_degc && within(humidity_min_frac, 0.0, 1.0) &&
          within(humidity_max_frac, humidity_min_frac, 1.0))) {
        return NAN;
    }
    return 0.5 * (pn_sky_saturation_kpa(tmin_degc) * humidity_max_frac +
                  pn_sky_saturation_kpa(tmax_degc) * humidity_min_frac);
}

double pn_sky_vapour_mean_kpa(double tmin_degc, double tmax_degc,
                              double humidity_frac) {
    if (!within(humidity_frac, 0.0, 1.0)) {
        return NAN;
    }
    return humidity_frac * pn_sky_mean_saturation_kpa(tmin_degc, tmax_degc);
}

double pn_sky_wind_at_2m_m_s(double wind_m_s, double height_m) {
    if (!within(wind_m_s, 0.0, 115.0) || !within(height_m, 0.5, 200.0)) {
        return NAN;
    }
    return wind_m_s * 4.87 / log(67.8 * height_m - 5.42);
}
