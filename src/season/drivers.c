/* Is the weather that a run is given fit to run on? Told before anything is
 * changed, with the driver, the day and the cell. */
#include "season/season_internal.h"

typedef struct column {
    const char *name;
    const double *values;
    double low, high;
} column;

static bool all_within(const double *values, size_t count, double low,
                       double high) {
    uint64_t bad = 0;
    for (size_t i = 0; i < count; i++) {
        bad |= (uint64_t) !(values[i] >= low && values[i] <= high);
    }
    return bad == 0;
}

static pn_status column_check(const column *col,
                              const pn_season_drivers *drivers, pn_error *err) {
    if (col->values == NULL) {
        return pn_fail(err, PN_EDOMAIN,
                       "season: this model needs %s, and none was given",
                       col->name);
    }
    size_t count = drivers->day_count * drivers->cell_count;
    if (all_within(col->values, count, col->low, col->high)) {
        return PN_OK;
    }
    size_t i = 0;
    while (col->values[i] >= col->low && col->values[i] <= col->high) {
        i++;
    }
    char day[PN_DATE_ISO_SIZE];
    return pn_fail(
        err, PN_EDOMAIN,
        "season: %s is %g on %s in cell %zu, expected %g .. %g", col->name,
        col->values[i],
        pn_date_iso(drivers->epoch_day[i / drivers->cell_count], day),
        i % drivers->cell_count, col->low, col->high);
}

static pn_status range_order_check(const pn_season_drivers *drivers,
                                   pn_error *err) {
    size_t count = drivers->day_count * drivers->cell_count;
    for (size_t i = 0; i < count; i++) {
        if (drivers->tmin_degc[i] > drivers->tmax_degc[i]) {
            char day[PN_DATE_ISO_SIZE];
            return pn_fail(
                err, PN_EDOMAIN,
                "season: tmin_degc %g is above tmax_degc %g on %s in cell %zu",
                drivers->tmin_degc[i], drivers->tmax_degc[i],
                pn_date_iso(drivers->epoch_day[i / drivers->cell_count], day),
                i % drivers->cell_count);
        }
    }
    return PN_OK;
}

static pn_status days_check(const pn_season_drivers *drivers, pn_error *err) {
    char day[PN_DATE_ISO_SIZE];
    if (drivers->cell_count > 0 &&
        drivers->day_count > SIZE_MAX / sizeof(double) / drivers->cell_count) {
        return pn_fail(err, PN_EDOMAIN, "season: %zu days of %zu cells",
                       drivers->day_count, drivers->cell_count);
    }
    if (drivers->day_count > 0 && drivers->epoch_day == NULL) {
        return pn_fail(err, PN_EDOMAIN, "season: the days have no dates");
    }
    for (size_t d = 1; d < drivers->day_count; d++) {
        if (drivers->epoch_day[d] - drivers->epoch_day[d - 1] != 1) {
            return pn_fail(err, PN_EDOMAIN,
                           "season: the day after %s is missing",
                           pn_date_iso(drivers->epoch_day[d - 1], day));
        }
    }
    return PN_OK;
}

static pn_status columns_check(const column *columns, size_t count,
                               const pn_season_drivers *drivers,
                               pn_error *err) {
    for (size_t i = 0; i < count; i++) {
        pn_status status = column_check(&columns[i], drivers, err);
        if (status != PN_OK) {
            return status;
        }
    }
    return PN_OK;
}

pn_status season_drivers_check(pn_season_model model,
                               const pn_season_drivers *drivers,
                               bool needs_day_length, pn_error *err) {
    pn_status status = days_check(drivers, err);
    if (status != PN_OK || drivers->day_count == 0) {
        return status;
    }
    const column tmin = {"tmin_degc", drivers->tmin_degc, -90.0, 60.0};
    if (model == PN_SEASON_FUNGUS) {
        /* a hair beyond 0 .. 1 is a soil model's rounding */
        const column columns[] = {
            {"water_frac", drivers->water_frac, -1e-9, 1.0 + 1e-9},
            {"soil_degc", drivers->soil_degc, -60.0, 70.0},
            tmin};
        return columns_check(columns, 3, drivers, err);
    }
    const column columns[] = {
        tmin,
        {"tmax_degc", drivers->tmax_degc, -90.0, 60.0},
        {"day_length_h", drivers->day_length_h, 0.0, 24.0}};
    status = columns_check(columns, needs_day_length ? 3 : 2, drivers, err);
    return status == PN_OK ? range_order_check(drivers, err) : status;
}
