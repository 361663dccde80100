// SPDX-License-Identifier: MIT
/* WGS84 <-> British National Grid: a Helmert shift of the datum, then the
 * Transverse Mercator projection by Redfearn's series. Symbols are those of
 * [OSGUIDE]. */
#include "pannage/ground.h"

#include <math.h>

#define PI 3.14159265358979323846

typedef struct ellipsoid {
    double a_m;
    double b_m;
} ellipsoid;

/* [OSGUIDE] annexe A.1 */
static const ellipsoid airy_1830 = {6377563.396, 6356256.909};
static const ellipsoid grs_80 = {6378137.0, 6356752.3141};

/* [OSGUIDE] annexe A.2: the National Grid */
static const double scale_f0 = 0.9996012717;
static const double true_origin_lat_rad = 49.0 * PI / 180.0;
static const double true_origin_lon_rad = -2.0 * PI / 180.0;
static const double true_origin_e_m = 400000.0;
static const double true_origin_n_m = -100000.0;

static const double grid_e_end_m = 700000.0;
static const double grid_n_end_m = 1300000.0;

enum { ITERATION_LIMIT = 50 };

double pn_degrees(double rad) {
    return rad * (180.0 / PI);
}

double pn_radians(double deg) {
    return deg * (PI / 180.0);
}

pn_status pn_latlon_from_degrees(double latitude_deg, double longitude_deg,
                                 pn_latlon *out, pn_error *err) {
    if (!(fabs(latitude_deg) <= 90.0)) {
        return pn_fail(err, PN_EDOMAIN,
                       "latitude %g is not within -90 .. 90 degrees",
                       latitude_deg);
    }
    if (!(fabs(longitude_deg) <= 180.0)) {
        return pn_fail(err, PN_EDOMAIN,
                       "longitude %g is not within -180 .. 180 degrees",
                       longitude_deg);
    }
    *out = (pn_latlon){pn_radians(latitude_deg), pn_radians(longitude_deg)};
    return PN_OK;
}

/* ---- the projection --------------------------------------------------- */

static double eccentricity_squared(const ellipsoid *shape) {
    double ratio = shape->b_m / shape->a_m;
    return 1.0 - ratio * ratio;
}

/* [OSGUIDE] eq. C3: developed arc of the meridian from the true origin */
static double meridian_arc_m(double phi) {
    double a = airy_1830.a_m;
    double b = airy_1830.b_m;
    double n = (a - b) / (a + b);
    double n2 = n * n;
    double n3 = n2 * n;
    double d = phi - true_origin_lat_rad;
    double s = phi + true_origin_lat_rad;
    double m = (1.0 + n + 1.25 * n2 + 1.25 * n3) * d;
    m -= (3.0 * n + 3.0 * n2 + 2.625 * n3) * sin(d) * cos(s);
    m += (1.875 * n2 + 1.875 * n3) * sin(2.0 * d) * cos(2.0 * s);
    m -= 35.0 / 24.0 * n3 * sin(3.0 * d) * cos(3.0 * s);
    return b * scale_f0 * m;
}

/* [OSGUIDE] eq. C2: radii of curvature, scaled */
typedef struct curvature {
    double nu_m;
    double rho_m;
    double eta2;
} curvature;

static curvature curvature_at(double phi) {
    double e2 = eccentricity_squared(&airy_1830);
    double s = sin(phi);
    double w = 1.0 - e2 * s * s;
    double nu = airy_1830.a_m * scale_f0 / sqrt(w);
    double rho = nu * (1.0 - e2) / w;
    return (curvature){nu, rho, nu / rho - 1.0};
}

static bool on_grid(pn_grid grid) {
    return grid.easting_m >= 0.0 && grid.easting_m < grid_e_end_m &&
           grid.northing_m >= 0.0 && grid.northing_m < grid_n_end_m;
}

static pn_status off_grid(pn_grid grid, pn_error *err) {
    return pn_fail(err, PN_EDOMAIN,
                   "%.0f m east, %.0f m north is not on the British National "
                   "Grid (0-700 km east, 0-1300 km north)",
                   grid.easting_m, grid.northing_m);
}

/* The series loses its meaning far from the central meridian, and could then
 * land back inside the grid. */
static bool near_britain(pn_latlon at) {
    return at.latitude_rad > pn_radians(48.0) &&
           at.latitude_rad < pn_radians(62.5) &&
           at.longitude_rad > pn_radians(-12.0) &&
           at.longitude_rad < pn_radians(6.0);
}

static pn_status far_away(pn_latlon at, pn_error *err) {
    return pn_fail(err, PN_EDOMAIN,
                   "%.5f, %.5f is not on the British National Grid",
                   pn_degrees(at.latitude_rad), pn_degrees(at.longitude_rad));
}

/* [OSGUIDE] eq. C1-C5 */
static pn_grid redfearn(pn_latlon at) {
    double phi = at.latitude_rad;
    curvature c = curvature_at(phi);
    double nu = c.nu_m;
    double s = sin(phi);
    double k = cos(phi);
    double k3 = k * k * k;
    double k5 = k3 * k * k;
    double t2 = tan(phi) * tan(phi);
    double t4 = t2 * t2;
    double d = at.longitude_rad - true_origin_lon_rad;
    double d2 = d * d;
    double i = meridian_arc_m(phi) + true_origin_n_m;
    double ii = nu / 2.0 * s * k;
    double iii = nu / 24.0 * s * k3 * (5.0 - t2 + 9.0 * c.eta2);
    double iiia = nu / 720.0 * s * k5 * (61.0 - 58.0 * t2 + t4);
    double iv = nu * k;
    double v = nu / 6.0 * k3 * (nu / c.rho_m - t2);
    double vi = nu / 120.0 * k5 *
                (5.0 - 18.0 * t2 + t4 + 14.0 * c.eta2 - 58.0 * t2 * c.eta2);
    return (pn_grid){
        .easting_m = true_origin_e_m + d * (iv + d2 * (v + d2 * vi)),
        .northing_m = i + d2 * (ii + d2 * (iii + d2 * iiia)),
    };
}

pn_status pn_grid_project(pn_latlon osgb36, pn_grid *out, pn_error *err) {
    if (!near_britain(osgb36)) {
        return far_away(osgb36, err);
    }
    pn_grid grid = redfearn(osgb36);
    if (!on_grid(grid)) {
        return off_grid(grid, err);
    }
    *out = grid;
    return PN_OK;
}

/* [OSGUIDE] eq. C6-C7: the latitude on the central meridian whose arc is the
 * northing; false when the limit is reached. */
static bool footpoint_latitude(double northing_m, double *phi) {
    double step_m = northing_m - true_origin_n_m;
    *phi = true_origin_lat_rad;
    for (int i = 0; i < ITERATION_LIMIT; i++) {
        *phi += step_m / (airy_1830.a_m * scale_f0);
        step_m = northing_m - true_origin_n_m - meridian_arc_m(*phi);
        if (fabs(step_m) < 1e-5) {
            return true;
        }
    }
    return false;
}

/* [OSGUIDE] eq. C8-C9 and the terms VII .. XIIA */
static pn_latlon redfearn_inverse(double phi, double d) {
    curvature c = curvature_at(phi);
    double nu = c.nu_m;
    double nu2 = nu * nu;
    double t = tan(phi);
    double t2 = t * t;
    double t4 = t2 * t2;
    double t6 = t4 * t2;
    double d2 = d * d;
    double north = t / (c.rho_m * nu);
    double vii = north / 2.0;
    double viii =
        north / (24.0 * nu2) * (5.0 + 3.0 * t2 + c.eta2 - 9.0 * t2 * c.eta2);
    double ix = north / (720.0 * nu2 * nu2) * (61.0 + 90.0 * t2 + 45.0 * t4);
    double x = 1.0 / (cos(phi) * nu);
    double xi = x / (6.0 * nu2) * (nu / c.rho_m + 2.0 * t2);
    double xii = x / (120.0 * nu2 * nu2) * (5.0 + 28.0 * t2 + 24.0 * t4);
    double xiia = x / (5040.0 * nu2 * nu2 * nu2) *
                  (61.0 + 662.0 * t2 + 1320.0 * t4 + 720.0 * t6);
    return (pn_latlon){
        .latitude_rad = phi - d2 * (vii - d2 * (viii - d2 * ix)),
        .longitude_rad =
            true_origin_lon_rad + d * (x - d2 * (xi - d2 * (xii - d2 * xiia))),
    };
}

pn_status pn_grid_unproject(pn_grid grid, pn_latlon *out, pn_error *err) {
    if (!on_grid(grid)) {
        return off_grid(grid, err);
    }
    double phi = 0.0;
    if (!footpoint_latitude(grid.northing_m, &phi)) {
        return pn_fail(err, PN_ENOCONV, "no latitude for northing %.3f m",
                       grid.northing_m);
    }
    *out = redfearn_inverse(phi, grid.easting_m - true_origin_e_m);
    return PN_OK;
}

/* ---- the datum -------------------------------------------------------- */

typedef struct cartesian {
    double x_m;
    double y_m;
    double z_m;
} cartesian;

/* [OSGUIDE] annexe B.1, height 0: at Britain's heights the shift sideways
 * that a height makes is below 1 mm per 100 m. */
static cartesian to_cartesian(const ellipsoid *shape, pn_latlon at) {
    double e2 = eccentricity_squared(shape);
    double s = sin(at.latitude_rad);
    double nu = shape->a_m / sqrt(1.0 - e2 * s * s);
    double ring = nu * cos(at.latitude_rad);
    return (cartesian){ring * cos(at.longitude_rad),
                       ring * sin(at.longitude_rad), (1.0 - e2) * nu * s};
}

/* [OSGUIDE] annexe B.2, iterated to 1e-15 rad; near Britain each round gains
 * more than two digits. */
static pn_latlon from_cartesian(const ellipsoid *shape, cartesian at) {
    double e2 = eccentricity_squared(shape);
    double p = hypot(at.x_m, at.y_m);
    double phi = atan2(at.z_m, p * (1.0 - e2));
    for (int i = 0; i < ITERATION_LIMIT; i++) {
        double s = sin(phi);
        double nu = shape->a_m / sqrt(1.0 - e2 * s * s);
        double next = atan2(at.z_m + e2 * nu * s, p);
        bool settled = fabs(next - phi) < 1e-15;
        phi = next;
        if (settled) {
            break;
        }
    }
    return (pn_latlon){phi, atan2(at.y_m, at.x_m)};
}

/* [OSGUIDE] section 6.6: WGS84 to OSGB36, seven parameters */
static cartesian helmert(cartesian in) {
    const double arcsec = PI / 180.0 / 3600.0;
    const double t_x = -446.448;
    const double t_y = 125.157;
    const double t_z = -542.060;
    const double scale = 1.0 + 20.4894e-6;
    const double r_x = -0.1502 * arcsec;
    const double r_y = -0.2470 * arcsec;
    const double r_z = -0.8421 * arcsec;
    return (cartesian){
        t_x + scale * in.x_m - r_z * in.y_m + r_y * in.z_m,
        t_y + r_z * in.x_m + scale * in.y_m - r_x * in.z_m,
        t_z - r_y * in.x_m + r_x * in.y_m + scale * in.z_m,
    };
}

/* By fixed point: the shift itself hardly depends on the place, so each round
 * gains four digits, where negated parameters would be 1 cm wrong. */
static cartesian helmert_inverse(cartesian want) {
    cartesian in = want;
    for (int i = 0; i < 5; i++) {
        cartesian got = helmert(in);
        in.x_m += want.x_m - got.x_m;
        in.y_m += want.y_m - got.y_m;
        in.z_m += want.z_m - got.z_m;
    }
    return in;
}

pn_status pn_grid_from_latlon(pn_latlon at, pn_grid *out, pn_error *err) {
    if (!near_britain(at)) {
        return far_away(at, err);
    }
    cartesian airy = helmert(to_cartesian(&grs_80, at));
    return pn_grid_project(from_cartesian(&airy_1830, airy), out, err);
}

pn_status pn_grid_to_latlon(pn_grid grid, pn_latlon *out, pn_error *err) {
    pn_latlon osgb36 = {0};
    pn_status status = pn_grid_unproject(grid, &osgb36, err);
    if (status != PN_OK) {
        return status;
    }
    cartesian airy = to_cartesian(&airy_1830, osgb36);
    *out = from_cartesian(&grs_80, helmert_inverse(airy));
    return PN_OK;
}

/* ---- distance --------------------------------------------------------- */

double pn_distance_m(pn_latlon a, pn_latlon b) {
    const double mean_radius_m = 6371008.8; /* [GRS80] */
    double s_lat = sin((b.latitude_rad - a.latitude_rad) / 2.0);
    double s_lon = sin((b.longitude_rad - a.longitude_rad) / 2.0);
    double h = s_lat * s_lat +
               cos(a.latitude_rad) * cos(b.latitude_rad) * s_lon * s_lon;
    /* rounding can lift h of opposite points a hair above 1 */
    return 2.0 * mean_radius_m * asin(sqrt(h > 1.0 ? 1.0 : h));
}
