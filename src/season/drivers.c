/* Is the weather that a run is given fit to run on? Told before anything is
 * changed, with the driver, the day and the cell. */
#include "season/season_internal.h"

typedef struct column {
    const char *name;
    const double *values;
    double low, high;
} column;

enum { COLUMNS_MAX = 3 };

typedef struct columns {
    column at[COLUMNS_MAX];
    size_t count;
} columns;

static columns columns_of(pn_season_model model,
                          const pn_season_drivers *drivers,
                          bool needs_day_length) {
    const column tmin = {"tmin_degc", drivers->tmin_degc, AIR_LOW, AIR_HIGH};
    if (model == PN_SEASON_FUNGUS) {
        return (columns){
            {{"water_frac", drivers->water_frac, WATER_LOW, WATER_HIGH},
             {"soil_degc", drivers->soil_degc, SOIL_LOW, SOIL_HIGH},
             tmin},
            3};
    }
    return (columns){{tmin,
                      {"tmax_degc", drivers->tmax_degc, AIR_LOW, AIR_HIGH},
                      {"day_length_h", drivers->day_length_h, 0.0, DAY_HIGH}},
                     needs_day_length ? 3 : 2};
}

static pn_status column_check(const column *col,
                              const pn_season_drivers *drivers, pn_error *err) {
    size_t count = drivers->day_count * drivers->cell_count;
    for (size_t i = 0; i < count; i++) {
        double value = col->values[i];
        if (value >= col->low && value <= col->high) {
            continue;
        }
        char day[PN_DATE_ISO_SIZE];
        return pn_fail(
            err, PN_EDOMAIN,
            "season: %s is %g on %s in cell %zu, expected %g .. %g", col->name,
            value,
            pn_date_iso(drivers->epoch_day[i / drivers->cell_count], day),
            i % drivers->cell_count, col->low, col->high);
    }
    return PN_OK;
}

static pn_status range_order_check(const pn_season_drivers *drivers,
                                   pn_error *err) {
    size_t count = drivers->day_count * drivers->cell_count;
    for (size_t i = 0; i < count; i++) {
        if (drivers->tmin_degc[i] <= drivers->tmax_degc[i]) {
            continue;
        }
        char day[PN_DATE_ISO_SIZE];
        return pn_fail(
            err, PN_EDOMAIN,
            "season: tmin_degc %g is above tmax_degc %g on %s in cell %zu",
            drivers->tmin_degc[i], drivers->tmax_degc[i],
            pn_date_iso(drivers->epoch_day[i / drivers->cell_count], day),
            i % drivers->cell_count);
    }
    return PN_OK;
}

static pn_status days_check(const pn_season_drivers *drivers, pn_error *err) {
    char day[PN_DATE_ISO_SIZE];
    if (drivers->cell_count > 0 &&
        drivers->day_count > SIZE_MAX / sizeof(double) / drivers->cell_count) {
        return pn_fail(err, PN_EDOMAIN,
                       "season: %zu days of %zu cells are more than memory",
                       drivers->day_count, drivers->cell_count);
    }
    if (drivers->day_count > 0 && drivers->epoch_day == NULL) {
        return pn_fail(err, PN_EDOMAIN, "season: the days have no dates");
    }
    for (size_t d = 1; d < drivers->day_count; d++) {
        int64_t step =
            (int64_t)drivers->epoch_day[d] - drivers->epoch_day[d - 1];
        if (step != 1) {
            return pn_fail(err, PN_EDOMAIN,
                           "season: the day after %s is missing",
                           pn_date_iso(drivers->epoch_day[d - 1], day));
        }
    }
    return PN_OK;
}

pn_status season_shape_check(pn_season_model model,
                             const pn_season_drivers *drivers,
                             bool needs_day_length, pn_error *err) {
    pn_status status = days_check(drivers, err);
    if (status != PN_OK || drivers->day_count == 0) {
        return status;
    }
    columns cols = columns_of(model, drivers, needs_day_length);
    for (size_t i = 0; i < cols.count; i++) {
        if (cols.at[i].values == NULL) {
            return pn_fail(err, PN_EDOMAIN,
                           "season: this model needs %s, and none was given",
                           cols.at[i].name);
        }
    }
    return PN_OK;
}

pn_status season_values_check(pn_season_model model,
                              const pn_season_drivers *drivers,
                              bool needs_day_length, pn_error *err) {
    columns cols = columns_of(model, drivers, needs_day_length);
    for (size_t i = 0; i < cols.count; i++) {
        pn_status status = column_check(&cols.at[i], drivers, err);
        if (status != PN_OK) {
            return status;
        }
    }
    return model == PN_SEASON_PLANT ? range_order_check(drivers, err) : PN_OK;
}
