// SPDX-License-Identifier: MIT
#include "pannage/sky.h"

#include <math.h>

#include "sky_internal.h"

/* [FAO56] solar constant as eq. 21 has it, MJ m-2 min-1 */
static const double solar_constant = 0.0820;
/* [FAO56] Stefan-Boltzmann constant as eq. 39 has it, MJ K-4 m-2 d-1 */
static const double stefan_boltzmann = 4.903e-9;
/* No place gets more at the top of the air in a day, MJ/m2. */
static const double most_mj_m2 = 50.0;

static bool is_day_of_year(int day_of_year) {
    return day_of_year >= 1 && day_of_year <= 366;
}

static double year_angle_rad(int day_of_year) {
    return 2.0 * pi * day_of_year / 365.0;
}

double pn_sky_inverse_distance(int day_of_year) {
    if (!is_day_of_year(day_of_year)) {
        return NAN;
    }
    return 1.0 + 0.033 * cos(year_angle_rad(day_of_year));
}

double pn_sky_declination_rad(int day_of_year) {
    if (!is_day_of_year(day_of_year)) {
        return NAN;
    }
    return 0.409 * sin(year_angle_rad(day_of_year) - 1.39);
}

double pn_sky_sunset_angle_rad(double latitude_rad, int day_of_year) {
    double decl_rad = pn_sky_declination_rad(day_of_year);
    if (!within(latitude_rad, -pi / 2.0, pi / 2.0) || isnan(decl_rad)) {
        return NAN;
    }
    /* beyond +-1 the sun does not set or does not rise */
    return acos(held(-tan(latitude_rad) * tan(decl_rad), -1.0, 1.0));
}

double pn_sky_extraterrestrial_mj_m2(double latitude_rad, int day_of_year) {
    double dr = pn_sky_inverse_distance(day_of_year);
    double decl_rad = pn_sky_declination_rad(day_of_year);
    double ws = pn_sky_sunset_angle_rad(latitude_rad, day_of_year);
    double height = ws * sin(latitude_rad) * sin(decl_rad) +
                    cos(latitude_rad) * cos(decl_rad) * sin(ws);
    return 24.0 * 60.0 / pi * solar_constant * dr * height;
}

double pn_sky_daylight_h(double latitude_rad, int day_of_year) {
    return 24.0 / pi * pn_sky_sunset_angle_rad(latitude_rad, day_of_year);
}

double pn_sky_solar_from_sunshine_mj_m2(double sunshine_h, double daylight_h,
                                        double extraterrestrial_mj_m2) {
    if (!(within(sunshine_h, 0.0, 24.0) && within(daylight_h, 0.0, 24.0) &&
          daylight_h > 0.0 &&
          within(extraterrestrial_mj_m2, 0.0, most_mj_m2))) {
        return NAN;
    }
    double share = fmin(sunshine_h / daylight_h, 1.0);
    return (0.25 + 0.50 * share) * extraterrestrial_mj_m2;
}

double pn_sky_solar_from_range_mj_m2(double tmin_degc, double tmax_degc,
                                     double k, double extraterrestrial_mj_m2) {
    if (!(tmin_degc <= tmax_degc && within(tmin_degc, -90.0, 60.0) &&
          within(tmax_degc, -90.0, 60.0) && within(k, 0.10, 0.25) &&
          within(extraterrestrial_mj_m2, 0.0, most_mj_m2))) {
        return NAN;
    }
    return k * sqrt(tmax_degc - tmin_degc) * extraterrestrial_mj_m2;
}

double pn_sky_clear_sky_mj_m2(double elevation_m,
                              double extraterrestrial_mj_m2) {
    if (!within(elevation_m, -430.0, 9000.0) ||
        !within(extraterrestrial_mj_m2, 0.0, most_mj_m2)) {
        return NAN;
    }
    return (0.75 + 2e-5 * elevation_m) * extraterrestrial_mj_m2;
}

double pn_sky_net_shortwave_mj_m2(double solar_mj_m2) {
    if (!within(solar_mj_m2, 0.0, most_mj_m2)) {
        return NAN;
    }
    return 0.77 * solar_mj_m2;
}

double pn_sky_net_longwave_mj_m2(double tmin_degc, double tmax_degc,
                                 double vapour_kpa, double clearness_frac) {
    if (!(tmin_degc <= tmax_degc && within(tmin_degc, -90.0, 60.0) &&
          within(tmax_degc, -90.0, 60.0) && within(vapour_kpa, 0.0, 20.0) &&
          within(clearness_frac, 0.3, 1.0))) {
        return NAN;
    }
    double body =
        stefan_boltzmann *
        (pow(tmax_degc + 273.16, 4.0) + pow(tmin_degc + 273.16, 4.0)) / 2.0;
    double air = 0.34 - 0.14 * sqrt(vapour_kpa);
    return body * air * (1.35 * clearness_frac - 0.35);
}

static double ground_heat(double start_degc, double end_degc, double c) {
    if (!within(start_degc, -90.0, 60.0) || !within(end_degc, -90.0, 60.0)) {
        return NAN;
    }
    return c * (end_degc - start_degc);
}

double pn_sky_ground_heat_around_mj_m2(double before_degc, double after_degc) {
    return ground_heat(before_degc, after_degc, 0.07);
}

double pn_sky_ground_heat_since_mj_m2(double before_degc, double month_degc) {
    return ground_heat(before_degc, month_degc, 0.14);
}
