/** @file ground.h
 * Where a place is: WGS84 latitude and longitude inside, British National
 * Grid at the edge, and the distance between two places.
 *
 * The datum shift is the one 7-parameter transformation the Ordnance Survey
 * publishes for the whole of Great Britain. It is good to about 3.5 m (95 %);
 * a door that prints a grid reference finer than 10 m says so.
 */
#ifndef PN_GROUND_H
#define PN_GROUND_H

#include "pannage/base.h"

/** WGS84 (ETRS89 is taken to be the same). */
typedef struct pn_latlon {
    double latitude_rad;  /**< -pi/2 .. pi/2, north positive */
    double longitude_rad; /**< -pi .. pi, east positive */
} pn_latlon;

/** British National Grid: metres east and north of the false origin. */
typedef struct pn_grid {
    double easting_m;  /**< 0 <= e < 700 000 */
    double northing_m; /**< 0 <= n < 1 300 000 */
} pn_grid;

/** A grid reference names a square, not a point. */
typedef struct pn_grid_square {
    pn_grid south_west;
    double side_m; /**< 100 000, 10 000, 1000, 100, 10 or 1 */
} pn_grid_square;

/** 95 % of points lie within this distance of the exact transformation. */
#define PN_GRID_ACCURACY_M 3.5

double pn_degrees(double rad);
double pn_radians(double deg);

/** From degrees, as people and files write them.
 *  @return PN_OK, PN_EDOMAIN (not finite, or outside +-90 / +-180) */
PN_MUST_CHECK pn_status pn_latlon_from_degrees(double latitude_deg,
                                               double longitude_deg,
                                               pn_latlon *out, pn_error *err);

/** WGS84 to the National Grid.
 *  Source:   [OSGUIDE] section 6.6 (transformation), annexe C (projection)
 *  Validity: the rectangle of the grid, 0-700 km east, 0-1300 km north
 *  Accuracy: +- 3.5 m (95 %, as published); of the 40 official test points,
 *            many at the edges, 36 lie within it, the worst 4.94 m off
 *  Checked:  tests/ref/ground/ostn15_points.csv
 *  @return PN_OK, PN_EDOMAIN (not finite, or off the grid) */
PN_MUST_CHECK pn_status pn_grid_from_latlon(pn_latlon at, pn_grid *out,
                                            pn_error *err);
/** The inverse; same source, validity, accuracy and check. */
PN_MUST_CHECK pn_status pn_grid_to_latlon(pn_grid grid, pn_latlon *out,
                                          pn_error *err);

/** The projection alone: OSGB36 (Airy 1830) latitude and longitude to grid.
 *  Source:   [OSGUIDE] annexe C (Redfearn's series)
 *  Validity: within about 5 degrees of the central meridian, 2 degrees west
 *  Accuracy: the worked example (Caister water tower) to its last digit, mm
 *  Checked:  tests/ref/ground/projection.csv
 *  @return PN_OK, PN_EDOMAIN (not finite, or off the grid) */
PN_MUST_CHECK pn_status pn_grid_project(pn_latlon osgb36, pn_grid *out,
                                        pn_error *err);
/** The inverse, iterated until the northing agrees to 1e-5 m.
 *  @return PN_OK, PN_EDOMAIN, PN_ENOCONV */
PN_MUST_CHECK pn_status pn_grid_unproject(pn_grid grid, pn_latlon *out,
                                          pn_error *err);

/** "SU", "SU 1 2", "su1234", "SU 123 456", "SU 12345 67890": two letters and
 *  0, 2, 4, 6, 8 or 10 digits, in two halves of equal length; spaces free.
 *  @return PN_OK, PN_EPARSE (message says what a reference looks like),
 *          PN_EDOMAIN (a square that is not on the grid) */
PN_MUST_CHECK pn_status pn_grid_parse(pn_text text, pn_grid_square *out,
                                      pn_error *err);

enum { PN_GRID_TEXT_SIZE = 16 };
/** "SU 123 456" with digits = 6; the coordinates are cut, not rounded, as the
 *  reference names the square that holds the point.
 *  @param digits  0, 2, 4, 6, 8 or 10, both halves together
 *  @param buf     PN_GRID_TEXT_SIZE bytes; untouched on failure
 *  @return PN_OK, PN_EDOMAIN (off the grid, or another count of digits) */
PN_MUST_CHECK pn_status pn_grid_format(pn_grid grid, int digits,
                                       char buf[PN_GRID_TEXT_SIZE],
                                       pn_error *err);

/** A place as a person types it: a grid reference (the middle of its square)
 *  or "52.1234, -1.2345" (latitude, longitude in degrees, comma or space).
 *  @param[out] side_m  NULL, or the side of the square; 0 for degrees
 *  @return PN_OK, PN_EPARSE, PN_EDOMAIN */
PN_MUST_CHECK pn_status pn_position_parse(pn_text text, pn_latlon *out,
                                          double *side_m, pn_error *err);

/** Great-circle distance.   d = 2 R asin sqrt(hav dlat + cos cos hav dlon)
 *  @return metres; NaN in, NaN out
 *  Source:   [SINNOTT84]; R = 6 371 008.8 m, the mean radius of [GRS80]
 *  Validity: anywhere; no loss of digits for near points
 *  Accuracy: the Earth as a sphere: within 0.6 % of the ellipsoid
 *  Checked:  tests/ref/ground/distance.csv */
double pn_distance_m(pn_latlon a, pn_latlon b);

#endif
