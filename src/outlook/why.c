/* The reasons in words: what the weather did, where the soil stands, what
 * holds the kind back, and what the patch has given before. */
#include "outlook_internal.h"

#include <math.h>

enum {
    EXPLAIN_DAYS = 450, /* enough for any kind to forget what came before */
    RAIN_LOOKBACK = 28, /* days before the issue day in which a spell counts */
    SPELL_MAX = 7,      /* longest spell named as one */
    SOIL_LOOKBACK = 14, /* over which the soil's course is told */
};
static const double WET_DAY_MM = 1.0;
static const double SPELL_WORTH_MM = 15.0;
static const double DRY_SPELL_MM = 10.0;
static const double SOIL_STEADY_K = 1.0;
static const double SOME_CHANCE = 0.01; /* below, it is not up */
static const double HOLDS_BACK = 0.35;  /* a factor below this is named */

static void add(pn_outlook_reasons *out, const char *text) {
    if (out->count < PN_OUTLOOK_REASONS_MAX && text[0] != '\0') {
        pn_str str = pn_str_in(out->text[out->count], PN_OUTLOOK_REASON_SIZE);
        pn_str_addf(&str, "%s", text);
        out->count++;
    }
}

/* ---- one patch's days, past then the middle future ----------------------- */

typedef struct patch_column {
    outlook_grid grid; /**< one cell */
    size_t issue_at;   /**< index of the outlook's first day */
} patch_column;

/* The future whose N on the row's best day is nearest to the mean is not
 * worth a search: the first member stands for all where a single one must. */
enum { MIDDLE_MEMBER = 0 };

static void copy_cell(const outlook_grid *from, size_t from_day, size_t cell,
                      outlook_grid *to, size_t to_day) {
    size_t at = outlook_at(from, from_day, cell);
    to->epoch_day[to_day] = from->epoch_day[from_day];
    to->day_length_h[to_day] = from->day_length_h[at];
    to->water_frac[to_day] = from->water_frac[at];
    to->soil_degc[to_day] = from->soil_degc[at];
    to->tmin_degc[to_day] = from->tmin_degc[at];
    to->tmax_degc[to_day] = from->tmax_degc[at];
}

static pn_status column_new(const pn_outlook *outlook, size_t patch,
                            size_t past_days, patch_column *out,
                            pn_error *err) {
    const outlook_grid *past = &outlook->past;
    const outlook_grid *future = &outlook->future;
    size_t skipped = past->day_count - past_days;
    *out = (patch_column){.issue_at = past_days};
    out->grid.cell_count = 1;
    out->grid.day_count = past_days + future->day_count;
    pn_status status = outlook_grid_new(&outlook->alloc, &out->grid, err);
    if (status != PN_OK) {
        return status;
    }
    for (size_t d = 0; d < past_days; d++) {
        copy_cell(past, skipped + d, patch, &out->grid, d);
    }
    for (size_t h = 0; h < future->day_count; h++) {
        size_t cell = MIDDLE_MEMBER * outlook->in.patch_count + patch;
        copy_cell(future, h, cell, &out->grid, past_days + h);
    }
    return PN_OK;
}

static size_t at_most(size_t count, size_t limit) {
    return count < limit ? count : limit;
}

static pn_status factors_on(const pn_outlook_row *row,
                            const patch_column *column, size_t day,
                            pn_season_factors *out, pn_error *err) {
    double params[PN_SEASON_PARAM_COUNT];
    pn_season_params_median(row->kind, params);
    pn_season_drivers drivers = outlook_drivers(&column->grid);
    return pn_season_explain(params, row->kind->model, &drivers, NULL,
                             (pn_season_query){.day_index = day, .cell = 0},
                             out, err);
}

/* ---- rain ------------------------------------------------------------------
 */

typedef struct spell {
    size_t first, last;
    double mm;
} spell;

/* The wettest run of at most SPELL_MAX days, trimmed of dry days at its ends,
 * in the weeks before the issue day. */
static spell wettest_spell(const double *rain_mm, size_t days) {
    spell best = {0};
    size_t from = days > RAIN_LOOKBACK ? days - RAIN_LOOKBACK : 0;
    for (size_t first = from; first < days; first++) {
        double sum = 0.0;
        for (size_t last = first; last < days && last < first + SPELL_MAX;
             last++) {
            sum += rain_mm[last];
            if (rain_mm[first] >= WET_DAY_MM && rain_mm[last] >= WET_DAY_MM &&
                sum > best.mm) {
                best = (spell){first, last, sum};
            }
        }
    }
    return best;
}

static double rain_over(const double *rain_mm, size_t days, size_t lookback) {
    double sum = 0.0;
    for (size_t d = days - at_most(days, lookback); d < days; d++) {
        sum += rain_mm[d];
    }
    return sum;
}

static void add_dates(pn_str *str, int32_t first, int32_t last) {
    pn_date a = pn_date_from_epoch_day(first);
    pn_date b = pn_date_from_epoch_day(last);
    if (first == last) {
        pn_str_addf(str, "on %d %s", a.day, pn_month_name(a.month));
    } else if (a.month == b.month) {
        pn_str_addf(str, "%d–%d %s", a.day, b.day, pn_month_name(b.month));
    } else {
        pn_str_addf(str, "%d %s–%d %s", a.day, pn_month_name(a.month), b.day,
                    pn_month_name(b.month));
    }
}

static void say_rain(const pn_outlook *outlook, pn_outlook_reasons *out) {
    char buf[PN_OUTLOOK_REASON_SIZE];
    pn_str str = pn_str_in(buf, sizeof buf);
    size_t days = outlook->past.day_count;
    int32_t first = outlook->past.epoch_day[0];
    spell wet = wettest_spell(outlook->rain_mm, days);
    if (wet.mm >= SPELL_WORTH_MM) {
        pn_str_addf(&str, "%.0f mm fell ", wet.mm);
        add_dates(&str, first + (int32_t)wet.first, first + (int32_t)wet.last);
    } else {
        size_t span = at_most(days, RAIN_LOOKBACK);
        double total = rain_over(outlook->rain_mm, days, span);
        pn_str_addf(&str, "%s%.0f mm fell in the last %zu days",
                    total < DRY_SPELL_MM ? "only " : "", total, span);
    }
    add(out, buf);
}

/* ---- soil -------------------------------------------------------------- */

static void say_soil(const pn_outlook *outlook, size_t patch, bool water,
                     pn_outlook_reasons *out) {
    char buf[PN_OUTLOOK_REASON_SIZE];
    pn_str str = pn_str_in(buf, sizeof buf);
    const outlook_grid *past = &outlook->past;
    size_t now = past->day_count - 1;
    size_t then = now - at_most(now, SOIL_LOOKBACK);
    double degc = past->soil_degc[outlook_at(past, now, patch)];
    double before = past->soil_degc[outlook_at(past, then, patch)];
    double held = past->water_frac[outlook_at(past, now, patch)];
    if (fabs(degc - before) < SOIL_STEADY_K) {
        pn_str_addf(&str, "soil at 10 cm steady at %.0f °C", degc);
    } else {
        pn_str_addf(&str, "soil at 10 cm %s from %.0f to %.0f °C",
                    degc < before ? "down" : "up", before, degc);
    }
    if (water) {
        pn_str_addf(&str, ", %.0f %% of its water left", 100.0 * held);
    }
    add(out, buf);
}

/* ---- what holds it back ------------------------------------------------ */

static double days_apart(double day_of_year, double other) {
    return fabs(remainder(day_of_year - other, 365.25));
}

/* Few fruit bodies begin; but what began earlier may well be standing, and
 * then "out of its season" would belie the chance beside it. */
static const char *season_words(const pn_outlook_row *row,
                                const patch_column *column) {
    const pn_outlook_day *best = &row->day[row->best_day];
    const pn_season_prior *prior = row->kind->prior;
    double day = pn_date_day_of_year(
        column->grid.epoch_day[column->issue_at + (size_t)row->best_day]);
    if (best->chance_prob < SOME_CHANCE) {
        return "out of its season";
    }
    return days_apart(day, prior[PN_SEASON_GATE_START_DOY].median) <
                   days_apart(day, prior[PN_SEASON_GATE_END_DOY].median)
               ? "early in its season"
               : "late in its season: few new ones start";
}

/* The weakest factor over the days in which the best day's fruit bodies
 * began: some weeks before it. */
static pn_status weakest_factor(const pn_outlook_row *row,
                                const patch_column *column,
                                const char **weakest, pn_error *err) {
    const char *const names[] = {
        season_words(row, column), "the soil is too dry for it to start",
        "the soil is too cold or too warm for it",
        "the turn of temperature that starts it has not come"};
    double sums[4] = {0.0};
    int days = 0;
    size_t best = column->issue_at + (size_t)row->best_day;
    *weakest = NULL;
    for (size_t back = 4; back <= 20 && back <= best; back += 2) {
        pn_season_factors f;
        pn_status status = factors_on(row, column, best - back, &f, err);
        if (status != PN_OK) {
            return status;
        }
        double each[] = {f.gate, f.water, f.temperature, f.trigger};
        for (int i = 0; i < 4; i++) {
            sums[i] += isnan(each[i]) ? 1.0 : each[i];
        }
        days++;
    }
    int low = 0;
    for (int i = 1; i < 4; i++) {
        low = sums[i] < sums[low] ? i : low;
    }
    if (days > 0 && sums[low] < HOLDS_BACK * days) {
        *weakest = names[low];
    }
    return PN_OK;
}

static void say_course(const pn_outlook_row *row, int horizon,
                       pn_outlook_reasons *out) {
    double now = row->day[0].density;
    double best = row->day[row->best_day].density;
    double end = row->day[horizon - 1].density;
    if (!(row->day[row->best_day].chance_prob >= SOME_CHANCE)) {
        return; /* the course of next to nothing is no news */
    }
    if (best > 1.3 * now && row->best_day > 2) {
        add(out, "building up");
    } else if (end < 0.6 * now && now > 0.02) {
        add(out, "going over");
    }
}

static pn_status say_fungus(const pn_outlook *outlook,
                            const pn_outlook_row *row,
                            const patch_column *column, pn_outlook_reasons *out,
                            pn_error *err) {
    const char *weakest = NULL;
    pn_status status = weakest_factor(row, column, &weakest, err);
    if (status != PN_OK) {
        return status;
    }
    if (weakest != NULL) {
        add(out, weakest);
    }
    say_rain(outlook, out);
    say_soil(outlook, row->patch, false, out);
    return PN_OK;
}

/* The day from which the plant's warmth is counted; its year is none. */
static pn_date year_start(const pn_kind *kind) {
    double from = kind->prior[PN_SEASON_START_DOY].median;
    return pn_date_from_epoch_day(pn_date_to_epoch_day((pn_date){2001, 1, 1}) +
                                  (int32_t)from - 1);
}

static pn_status say_plant(const pn_outlook_row *row,
                           const patch_column *column, pn_outlook_reasons *out,
                           pn_error *err) {
    pn_season_factors f;
    char buf[PN_OUTLOOK_REASON_SIZE];
    pn_str str = pn_str_in(buf, sizeof buf);
    size_t best = column->issue_at + (size_t)row->best_day;
    pn_status status = factors_on(row, column, best, &f, err);
    if (status != PN_OK) {
        return status;
    }
    double start = row->kind->prior[PN_SEASON_STAGE_START_DD].median;
    pn_date since = year_start(row->kind);
    double usable = f.reached_frac * (1.0 - f.passed_frac);
    if (f.reached_frac > 0.5 && f.passed_frac > 0.5) {
        pn_str_addf(&str, "%.0f %% past its stage: ", 100.0 * f.passed_frac);
    } else {
        pn_str_addf(&str, "%.0f %% at its stage: ", 100.0 * usable);
    }
    pn_str_addf(
        &str, "%.0f degree-days since %d %s, half of it is ready by %.0f",
        f.thermal_time_dd, since.day, pn_month_name(since.month), start);
    add(out, buf);
    return PN_OK;
}

/* ---- what the patch has given ------------------------------------------ */

static void say_memory(const pn_outlook_row *row, pn_outlook_reasons *out) {
    char buf[PN_OUTLOOK_REASON_SIZE];
    pn_str str = pn_str_in(buf, sizeof buf);
    const pn_outlook_memory *m = &row->memory;
    if (m->recent > 0) {
        if (m->recent == 1) {
            pn_str_addf(&str, "your one visit in its season found %s",
                        m->recent_found > 0 ? "it" : "none");
        } else {
            pn_str_addf(&str,
                        "%d of your last %d visits in its season found "
                        "it",
                        m->recent_found, m->recent);
        }
        if (m->recent_found > 0) {
            pn_str_addf(&str,
                        m->recent_mean < 9.95 ? " (%.1f %s a visit)"
                                              : " (%.0f %s a visit)",
                        m->recent_mean, row->kind->item_plural);
        }
    } else if (m->visits > 0) {
        pn_str_addf(&str, "no visit yet when it should have been up");
    } else {
        pn_str_addf(&str, "no visit yet: a usual patch is assumed");
    }
    add(out, buf);
    if (m->found == 0 && m->last_found > INT32_MIN) {
        add(out, "you found it when it was not expected");
    }
}

static void say_not_known(const pn_outlook_row *row, pn_outlook_reasons *out) {
    char buf[PN_OUTLOOK_REASON_SIZE];
    pn_str str = pn_str_in(buf, sizeof buf);
    pn_str_addf(&str, "not known: the weather record begins too late");
    if (row->kind->model == PN_SEASON_PLANT) {
        pn_date since = year_start(row->kind);
        pn_str_addf(&str, "; its warmth is counted from %d %s on", since.day,
                    pn_month_name(since.month));
    }
    add(out, buf);
}

pn_status pn_outlook_why(const pn_outlook *outlook, const pn_outlook_row *row,
                         pn_outlook_reasons *out, pn_error *err) {
    *out = (pn_outlook_reasons){.count = 0};
    if (row->best_day < 0) {
        say_not_known(row, out);
        return PN_OK;
    }
    patch_column column;
    size_t days = at_most(outlook->past.day_count, EXPLAIN_DAYS);
    pn_status status = column_new(outlook, row->patch, days, &column, err);
    if (status == PN_OK) {
        status = row->kind->model == PN_SEASON_FUNGUS
                     ? say_fungus(outlook, row, &column, out, err)
                     : say_plant(row, &column, out, err);
    }
    if (status == PN_OK) {
        say_memory(row, out);
        say_course(row, outlook->in.horizon_days, out);
    }
    outlook_grid_free(&outlook->alloc, &column.grid);
    return status;
}

pn_status pn_outlook_explain(const pn_outlook *outlook,
                             const pn_outlook_row *row, int day_index,
                             pn_outlook_factors *out, pn_error *err) {
    if (day_index < 0 || day_index >= outlook->in.horizon_days) {
        return pn_fail(err, PN_EDOMAIN, "day %d is not in the outlook",
                       day_index);
    }
    patch_column column;
    size_t days = at_most(outlook->past.day_count, EXPLAIN_DAYS);
    pn_status status = column_new(outlook, row->patch, days, &column, err);
    size_t at = column.issue_at + (size_t)day_index;
    if (status == PN_OK) {
        status = factors_on(row, &column, at, &out->season, err);
    }
    if (status == PN_OK) {
        double sigma = row->kind->density_log_sd;
        double cv = row->day[day_index].density_cv;
        out->water_frac = column.grid.water_frac[at];
        out->soil_degc = column.grid.soil_degc[at];
        out->rain_30d_mm =
            rain_over(outlook->rain_mm, outlook->past.day_count, 30);
        out->lambda_mean = row->memory.shape / row->memory.rate_per_n;
        out->spread_patch = 1.0 / row->memory.shape;
        out->spread_visit = row->kind->visit_dispersion;
        out->spread_model = expm1(sigma * sigma);
        out->spread_weather = cv * cv;
    }
    outlook_grid_free(&outlook->alloc, &column.grid);
    return status;
}
