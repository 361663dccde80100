// SPDX-License-Identifier: MIT
#include "pannage/soil.h"

#include <math.h>

static bool within(double x, double low, double high) {
    return x >= low && x <= high; /* false for NaN */
}

double pn_soil_taw_mm(double theta_fc_frac, double theta_wp_frac,
                      double root_depth_m) {
    if (!within(theta_fc_frac, 0, 1) ||
        !within(theta_wp_frac, 0, theta_fc_frac) ||
        !within(root_depth_m, 0, 10)) {
        return NAN;
    }
    return 1000 * (theta_fc_frac - theta_wp_frac) * root_depth_m;
}

double pn_soil_raw_mm(double taw_mm, double depletion_frac) {
    if (!(taw_mm >= 0) || !within(depletion_frac, 0, 1)) {
        return NAN;
    }
    return depletion_frac * taw_mm;
}

double pn_soil_stress_frac(double depletion_mm, double taw_mm,
                           double depletion_frac) {
    if (!(taw_mm > 0) || !within(depletion_mm, 0, taw_mm) ||
        !(depletion_frac >= 0 && depletion_frac < 1)) {
        return NAN;
    }
    return fmin(1, (taw_mm - depletion_mm) / ((1 - depletion_frac) * taw_mm));
}

double pn_soil_depletion_frac(double table_frac, double etc_mm) {
    if (!within(table_frac, 0, 1) || !within(etc_mm, 0, 20)) {
        return NAN;
    }
    return fmin(fmax(table_frac + 0.04 * (5 - etc_mm), 0.1), 0.8);
}

pn_soil_balance pn_soil_balance_step(double depletion_mm, double taw_mm,
                                     double inflow_mm, double et_mm) {
    if (!within(depletion_mm, 0, taw_mm) || !(inflow_mm >= 0) ||
        !(et_mm >= 0)) {
        return (pn_soil_balance){NAN, NAN};
    }
    double drainage = fmax(0, inflow_mm - et_mm - depletion_mm); /* Eq. 88 */
    double after = depletion_mm - inflow_mm + et_mm + drainage;  /* Eq. 85 */
    return (pn_soil_balance){fmin(fmax(after, 0), taw_mm), drainage};
}

double pn_soil_interception_mm(double rain_mm, double cover_frac,
                               double storage_mm) {
    if (!(rain_mm >= 0) || !within(cover_frac, 0, 1) || !(storage_mm > 0)) {
        return NAN;
    }
    return cover_frac * storage_mm * -expm1(-rain_mm / storage_mm);
}

double pn_soil_runoff_mm(double rain_mm, double curve_number) {
    if (!(rain_mm >= 0) || !within(curve_number, 1, 100)) {
        return NAN;
    }
    double S = 25400 / curve_number - 254;
    double over = rain_mm - 0.2 * S;
    return over > 0 ? over * over / (rain_mm + 0.8 * S) : 0;
}

double pn_soil_katterer_andren_degc(double soil_degc, double air_degc,
                                    double depth_cm, double green_area_index) {
    if (!within(soil_degc, -60, 60) || !within(air_degc, -60, 60) ||
        !within(depth_cm, 0, 300) || !within(green_area_index, 0, 15)) {
        return NAN;
    }
    double LAI = 0.8 * green_area_index;
    double surface = air_degc < 0
                         ? 0.20 * air_degc
                         : air_degc * (0.95 + 0.05 * exp(-0.4 * (LAI - 3)));
    return soil_degc + (surface - soil_degc) * 0.24 * exp(-0.017 * depth_cm) *
                           exp(-0.15 * green_area_index);
}

double pn_soil_damping_depth_m(double diffusivity_m2_s, double period_s) {
    if (!within(diffusivity_m2_s, 1e-9, 1e-4) || !(period_s > 0)) {
        return NAN;
    }
    const double pi = 3.14159265358979323846;
    return sqrt(diffusivity_m2_s * period_s / pi); /* 2 kappa / omega */
}
