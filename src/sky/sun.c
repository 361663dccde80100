// SPDX-License-Identifier: MIT
/* Where the sun is, by the low-accuracy series of [Meeus98]. */
#include "pannage/sky.h"

#include <math.h>

#include "sky_internal.h"

static const double epoch_julian_day = 2440587.5; /* 1970-01-01 0 h */

/* What a century t since j2000 gives, degrees unless said. */
struct low_series {
    double mean_longitude;
    double true_longitude;
    double apparent_longitude;
    double obliquity_rad; /* with the large nutation term */
    double nutation;      /* in longitude, large term */
    double distance_au;
};

double pn_sky_julian_day(int32_t epoch_day) {
    return epoch_julian_day + epoch_day;
}

/* [Meeus98] eq. 25.2 to 25.5 and the corrections that follow them. */
static struct low_series low_series_at(double t) {
    struct low_series s;
    double m = rad_of_deg(357.52911 + t * (35999.05029 - t * 0.0001537));
    double e = 0.016708634 - t * (0.000042037 + t * 0.0000001267);
    double centre = (1.914602 - t * (0.004817 + t * 0.000014)) * sin(m) +
                    (0.019993 - t * 0.000101) * sin(2.0 * m) +
                    0.000289 * sin(3.0 * m);
    double omega = rad_of_deg(125.04 - 1934.136 * t);
    double seconds = 21.448 - t * (46.8150 + t * (0.00059 - t * 0.001813));
    s.mean_longitude = 280.46646 + t * (36000.76983 + t * 0.0003032);
    s.true_longitude = s.mean_longitude + centre;
    s.nutation = -0.00478 * sin(omega);
    s.apparent_longitude = s.true_longitude - 0.00569 + s.nutation;
    s.obliquity_rad = rad_of_deg(23.0 + (26.0 + seconds / 60.0) / 60.0 +
                                 0.00256 * cos(omega));
    s.distance_au =
        1.000001018 * (1.0 - e * e) / (1.0 + e * cos(m + rad_of_deg(centre)));
    return s;
}

static bool is_in_years(double julian_day) {
    return within(julian_day, 2378496.5, 2524593.5);
}

pn_sky_sun pn_sky_sun_at(double julian_day) {
    if (!is_in_years(julian_day)) {
        return (pn_sky_sun){NAN, NAN, NAN, NAN};
    }
    struct low_series s = low_series_at((julian_day - j2000) / 36525.0);
    double lambda = rad_of_deg(s.apparent_longitude);
    double epsilon = s.obliquity_rad;
    pn_sky_sun sun;
    sun.right_ascension_rad =
        wrapped_rad(atan2(cos(epsilon) * sin(lambda), cos(lambda)));
    sun.declination_rad = asin(sin(epsilon) * sin(lambda));
    sun.distance_au = s.distance_au;
    /* [Meeus98] eq. 28.1 */
    sun.equation_of_time_rad = remainder(
        rad_of_deg(s.mean_longitude - 0.0057183 + s.nutation * cos(epsilon)) -
            sun.right_ascension_rad,
        2.0 * pi);
    return sun;
}

/* Local hour angle, west positive; [Meeus98] eq. 12.4. */
static double hour_angle_rad(double julian_day_ut, double longitude_rad,
                             const pn_sky_sun *sun) {
    double days = julian_day_ut - j2000;
    double t = days / 36525.0;
    double sidereal_deg = 280.46061837 + 360.98564736629 * days +
                          t * t * (0.000387933 - t / 38710000.0);
    struct low_series s = low_series_at(t);
    sidereal_deg += s.nutation * cos(s.obliquity_rad);
    return remainder(rad_of_deg(sidereal_deg) + longitude_rad -
                         sun->right_ascension_rad,
                     2.0 * pi);
}

static bool is_place(double latitude_rad, double longitude_rad) {
    return within(latitude_rad, -pi / 2.0, pi / 2.0) &&
           within(longitude_rad, -pi, pi);
}

double pn_sky_sun_altitude_rad(double julian_day_ut, double latitude_rad,
                               double longitude_rad) {
    if (!is_in_years(julian_day_ut) || !is_place(latitude_rad, longitude_rad)) {
        return NAN;
    }
    pn_sky_sun sun = pn_sky_sun_at(julian_day_ut);
    double h = hour_angle_rad(julian_day_ut, longitude_rad, &sun);
    double sine = sin(latitude_rad) * sin(sun.declination_rad) +
                  cos(latitude_rad) * cos(sun.declination_rad) * cos(h);
    return asin(held(sine, -1.0, 1.0));
}

double pn_sky_sun_azimuth_rad(double julian_day_ut, double latitude_rad,
                              double longitude_rad) {
    if (!is_in_years(julian_day_ut) || !is_place(latitude_rad, longitude_rad)) {
        return NAN;
    }
    pn_sky_sun sun = pn_sky_sun_at(julian_day_ut);
    double h = hour_angle_rad(julian_day_ut, longitude_rad, &sun);
    double from_south =
        atan2(sin(h), cos(h) * sin(latitude_rad) -
                          tan(sun.declination_rad) * cos(latitude_rad));
    return wrapped_rad(from_south + pi);
}

/* [Forsythe95] eq. 1 to 3. */
double pn_sky_day_length_h(double latitude_rad, int day_of_year,
                           double below_horizon_deg) {
    if (!is_place(latitude_rad, 0.0) || day_of_year < 1 || day_of_year > 366 ||
        !within(below_horizon_deg, 0.0, 18.0)) {
        return NAN;
    }
    double theta =
        0.2163108 + 2.0 * atan(0.9671396 * tan(0.00860 * (day_of_year - 186)));
    double decl = asin(0.39795 * cos(theta));
    double cosine =
        (sin(rad_of_deg(below_horizon_deg)) + sin(latitude_rad) * sin(decl)) /
        (cos(latitude_rad) * cos(decl));
    return 24.0 - 24.0 / pi * acos(held(cosine, -1.0, 1.0));
}
