// SPDX-License-Identifier: MIT
/* Solar position algorithm, [Reda04]; the equation numbers are its own. */
#include "pannage/sky.h"

#include <math.h>

#include "sky_internal.h"
#include "spa_tables.h"

#define COUNT_OF(a) (sizeof(a) / sizeof((a)[0]))

struct series {
    const struct earth_term *term;
    size_t count;
};

static const struct series longitude_series[] = {
    {l0, COUNT_OF(l0)}, {l1, COUNT_OF(l1)}, {l2, COUNT_OF(l2)},
    {l3, COUNT_OF(l3)}, {l4, COUNT_OF(l4)}, {l5, COUNT_OF(l5)},
};
static const struct series latitude_series[] = {
    {b0, COUNT_OF(b0)},
    {b1, COUNT_OF(b1)},
};
static const struct series distance_series[] = {
    {r0, COUNT_OF(r0)}, {r1, COUNT_OF(r1)}, {r2, COUNT_OF(r2)},
    {r3, COUNT_OF(r3)}, {r4, COUNT_OF(r4)},
};

/* Polynomial with c[0] the constant. */
static double polynomial(const double *c, size_t count, double x) {
    double sum = 0.0;
    for (size_t i = count; i > 0; i--) {
        sum = sum * x + c[i - 1];
    }
    return sum;
}

/* eq. 9 to 12: a polynomial in millennia whose coefficients are sums. */
static double earth_sum(const struct series *series, size_t count, double jme) {
    double coefficient[6] = {0};
    for (size_t s = 0; s < count; s++) {
        for (size_t i = 0; i < series[s].count; i++) {
            const struct earth_term *t = &series[s].term[i];
            coefficient[s] += t->a * cos(t->b + t->c * jme);
        }
    }
    return polynomial(coefficient, count, jme) / 1e8;
}

/* eq. 15 to 23. */
static void nutation(double jce, double *longitude_rad, double *obliquity_rad) {
    static const double x_deg[5][4] = {
        {297.85036, 445267.111480, -0.0019142, 1.0 / 189474.0},
        {357.52772, 35999.050340, -0.0001603, -1.0 / 300000.0},
        {134.96298, 477198.867398, 0.0086972, 1.0 / 56250.0},
        {93.27191, 483202.017538, -0.0036825, 1.0 / 327270.0},
        {125.04452, -1934.136261, 0.0020708, 1.0 / 450000.0},
    };
    double x_rad[5];
    for (size_t j = 0; j < 5; j++) {
        x_rad[j] = rad_of_deg(polynomial(x_deg[j], 4, jce));
    }
    double psi = 0.0;
    double eps = 0.0;
    for (size_t i = 0; i < COUNT_OF(nutation_terms); i++) {
        const struct nutation_term *t = &nutation_terms[i];
        double angle = 0.0;
        for (size_t j = 0; j < 5; j++) {
            angle += x_rad[j] * t->y[j];
        }
        psi += (t->a + t->b * jce) * sin(angle);
        eps += (t->c + t->d * jce) * cos(angle);
    }
    *longitude_rad = rad_of_deg(psi / 36e6);
    *obliquity_rad = rad_of_deg(eps / 36e6);
}

/* eq. 24, arc seconds. */
static double mean_obliquity_rad(double jme) {
    static const double seconds[] = {84381.448, -4680.93, -1.55,  1999.25,
                                     -51.38,    -249.67,  -39.05, 7.12,
                                     27.87,     5.79,     2.45};
    return rad_of_deg(polynomial(seconds, COUNT_OF(seconds), jme / 10.0) /
                      3600.0);
}

/* eq. 28 and 29. */
static double sidereal_rad(double julian_day_ut, const pn_sky_spa *spa) {
    double days = julian_day_ut - j2000;
    double t = days / 36525.0;
    double mean_deg = 280.46061837 + 360.98564736629 * days +
                      t * t * (0.000387933 - t / 38710000.0);
    return wrapped_rad(rad_of_deg(mean_deg) +
                       spa->nutation_longitude_rad * cos(spa->obliquity_rad));
}

/* appendix A.1 */
static double equation_of_time_rad(double jme, const pn_sky_spa *spa) {
    static const double mean_deg[] = {280.4664567,    360007.6982779,
                                      0.03032028,     1.0 / 49931.0,
                                      -1.0 / 15300.0, -1.0 / 2000000.0};
    double mean = polynomial(mean_deg, COUNT_OF(mean_deg), jme);
    return remainder(rad_of_deg(mean - 0.0057183) - spa->right_ascension_rad +
                         spa->nutation_longitude_rad * cos(spa->obliquity_rad),
                     2.0 * pi);
}

/* sections 3.2 to 3.9 and A.1: from the centre of the earth. */
static void geocentric(const pn_sky_spa_in *in, pn_sky_spa *spa) {
    double jde = in->julian_day_ut + in->delta_t_s / 86400.0;
    double jce = (jde - j2000) / 36525.0;
    double jme = jce / 10.0;
    spa->earth_longitude_rad = wrapped_rad(
        earth_sum(longitude_series, COUNT_OF(longitude_series), jme));
    spa->earth_latitude_rad =
        earth_sum(latitude_series, COUNT_OF(latitude_series), jme);
    spa->distance_au =
        earth_sum(distance_series, COUNT_OF(distance_series), jme);
    nutation(jce, &spa->nutation_longitude_rad, &spa->nutation_obliquity_rad);
    spa->obliquity_rad = mean_obliquity_rad(jme) + spa->nutation_obliquity_rad;
    double beta = -spa->earth_latitude_rad;
    double aberration = rad_of_deg(-20.4898 / (3600.0 * spa->distance_au));
    double lambda = wrapped_rad(spa->earth_longitude_rad + pi +
                                spa->nutation_longitude_rad + aberration);
    double epsilon = spa->obliquity_rad;
    spa->apparent_longitude_rad = lambda;
    spa->sidereal_rad = sidereal_rad(in->julian_day_ut, spa);
    spa->right_ascension_rad = wrapped_rad(atan2(
        sin(lambda) * cos(epsilon) - tan(beta) * sin(epsilon), cos(lambda)));
    spa->declination_rad =
        asin(sin(beta) * cos(epsilon) + cos(beta) * sin(epsilon) * sin(lambda));
    spa->equation_of_time_rad = equation_of_time_rad(jme, spa);
}

/* sections 3.11 to 3.13: parallax moves the sun a little. */
static void topocentric(const pn_sky_spa_in *in, pn_sky_spa *spa) {
    double phi = in->latitude_rad;
    double delta = spa->declination_rad;
    double h = wrapped_rad(spa->sidereal_rad + in->longitude_rad -
                           spa->right_ascension_rad);
    double xi = rad_of_deg(8.794 / (3600.0 * spa->distance_au));
    double u = atan(0.99664719 * tan(phi));
    double x = cos(u) + in->elevation_m / 6378140.0 * cos(phi);
    double y = 0.99664719 * sin(u) + in->elevation_m / 6378140.0 * sin(phi);
    double below = cos(delta) - x * sin(xi) * cos(h);
    double shift = atan2(-x * sin(xi) * sin(h), below);
    spa->hour_angle_rad = h;
    spa->local_right_ascension_rad = spa->right_ascension_rad + shift;
    spa->local_declination_rad =
        atan2((sin(delta) - y * sin(xi)) * cos(shift), below);
    spa->local_hour_angle_rad = h - shift;
}

/* eq. 42; none when the whole disc is below the horizon. */
static double refraction_rad(const pn_sky_spa_in *in, double altitude_deg) {
    if (altitude_deg < -(0.26667 + 0.5667)) {
        return 0.0;
    }
    double angle = altitude_deg + 10.3 / (altitude_deg + 5.11);
    return rad_of_deg(in->pressure_hpa / 1010.0 *
                      (283.0 / (273.0 + in->air_degc)) * 1.02 /
                      (60.0 * tan(rad_of_deg(angle))));
}

/* section 3.14 */
static void horizontal(const pn_sky_spa_in *in, pn_sky_spa *spa) {
    double phi = in->latitude_rad;
    double delta = spa->local_declination_rad;
    double h = spa->local_hour_angle_rad;
    double sine = sin(phi) * sin(delta) + cos(phi) * cos(delta) * cos(h);
    spa->true_altitude_rad = asin(held(sine, -1.0, 1.0));
    spa->zenith_rad = pi / 2.0 - spa->true_altitude_rad -
                      refraction_rad(in, deg_of_rad(spa->true_altitude_rad));
    spa->azimuth_rad = wrapped_rad(
        atan2(sin(h), cos(h) * sin(phi) - tan(delta) * cos(phi)) + pi);
}

static bool is_stated(const pn_sky_spa_in *in) {
    return within(in->julian_day_ut, 990557.5, 3912880.5) &&
           within(in->delta_t_s, -100.0, 60000.0) &&
           within(in->latitude_rad, -pi / 2.0, pi / 2.0) &&
           within(in->longitude_rad, -pi, pi) &&
           within(in->elevation_m, -430.0, 9000.0) &&
           within(in->pressure_hpa, 0.0, 1100.0) &&
           within(in->air_degc, -90.0, 60.0);
}

bool pn_sky_spa_at(const pn_sky_spa_in *in, pn_sky_spa *out) {
    if (!is_stated(in)) {
        *out = (pn_sky_spa){NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN,
                            NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN};
        return false;
    }
    geocentric(in, out);
    topocentric(in, out);
    horizontal(in, out);
    return true;
}

double pn_sky_incidence_rad(double zenith_rad, double azimuth_rad,
                            double slope_rad, double aspect_rad) {
    if (!(within(zenith_rad, 0.0, pi) && within(slope_rad, 0.0, pi) &&
          isfinite(azimuth_rad) && isfinite(aspect_rad))) {
        return NAN;
    }
    double cosine =
        cos(zenith_rad) * cos(slope_rad) +
        sin(slope_rad) * sin(zenith_rad) * cos(azimuth_rad - aspect_rad);
    return acos(held(cosine, -1.0, 1.0));
}
