/* The single formulas, and the constants the daily step is made of. */
#include "season/season_internal.h"

#define YEAR_D 365.2425 /* mean Gregorian year */

static double bounded_exp(double exponent) {
    return pn_vexp(pn_vclamp(exponent, -150.0, 150.0));
}

double pn_season_gate_frac(double day_of_year, double start_doy, double end_doy,
                           double scale_d) {
    if (!(day_of_year >= 1.0 && day_of_year <= 366.0 && start_doy >= -366.0 &&
          start_doy <= 732.0 && end_doy >= -366.0 && end_doy <= 732.0 &&
          scale_d > 0.0)) {
        return NAN;
    }
    double length = fmod(end_doy - start_doy + 4.0 * YEAR_D, YEAR_D);
    double x = remainder(day_of_year - (start_doy + 0.5 * length), YEAR_D);
    double open = 1.0 + bounded_exp(-(x + 0.5 * length) / scale_d);
    double shut = 1.0 + bounded_exp((x - 0.5 * length) / scale_d);
    return 1.0 / (open * shut);
}

double season_gate(const double p[PN_SEASON_PARAM_COUNT], int32_t epoch_day) {
    return pn_season_gate_frac(
        pn_date_day_of_year(epoch_day), p[PN_SEASON_GATE_START_DOY],
        p[PN_SEASON_GATE_END_DOY], p[PN_SEASON_GATE_SCALE_D]);
}

static void cardinal_consts(fungus_consts *c, double min_degc, double best_degc,
                            double max_degc) {
    c->soil_min = min_degc;
    c->soil_max = max_degc;
    c->inv_rise = 1.0 / (best_degc - min_degc);
    c->inv_fall = 1.0 / (max_degc - best_degc);
    c->power = (best_degc - min_degc) / (max_degc - best_degc);
}

double pn_season_cardinal_frac(double degc, double min_degc, double best_degc,
                               double max_degc) {
    if (!(degc >= -60.0 && degc <= 70.0 && min_degc < best_degc &&
          best_degc < max_degc)) {
        return NAN;
    }
    fungus_consts c = {0};
    cardinal_consts(&c, min_degc, best_degc, max_degc);
    return cardinal(degc, &c);
}

double pn_season_degree_days(double tmin_degc, double tmax_degc,
                             double base_degc, double upper_degc) {
    if (!(tmin_degc >= -90.0 && tmin_degc <= tmax_degc && tmax_degc <= 60.0 &&
          base_degc < upper_degc)) {
        return NAN;
    }
    return single_sine(tmin_degc, tmax_degc, base_degc, upper_degc);
}

/* The exponent of 1/(1 + 2^(a + b x)), rising in x through half. */
static void rising(double half, double scale, double *a, double *b) {
    *a = LOG2_E * half / scale;
    *b = -LOG2_E / scale;
}

static void trigger_consts(const double *p, fungus_consts *c) {
    double direction = p[PN_SEASON_TRIGGER_DIRECTION];
    c->direction = direction;
    if (!(direction > 0.0 || direction < 0.0)) {
        return;
    }
    /* rising in -u: u at or below direction * trigger_degc */
    rising(-direction * p[PN_SEASON_TRIGGER_DEGC], p[PN_SEASON_TRIGGER_SCALE_K],
           &c->trigger_a, &c->trigger_b);
    c->trigger_b = -c->trigger_b;
    rising(p[PN_SEASON_TRIGGER_CHANGE_K], p[PN_SEASON_TRIGGER_CHANGE_SCALE_K],
           &c->change_a, &c->change_b);
}

/* falling in x: cold loses */
static void frost_consts(const double *p, double *a, double *b) {
    rising(-p[PN_SEASON_FROST_DEGC], p[PN_SEASON_FROST_SCALE_K], a, b);
    *b = -*b;
}

fungus_consts season_fungus_consts(const double p[PN_SEASON_PARAM_COUNT]) {
    fungus_consts c = {0};
    cardinal_consts(&c, p[PN_SEASON_SOIL_MIN_DEGC], p[PN_SEASON_SOIL_BEST_DEGC],
                    p[PN_SEASON_SOIL_MAX_DEGC]);
    rising(p[PN_SEASON_WATER_HALF_FRAC], p[PN_SEASON_WATER_SCALE_FRAC],
           &c.water_a, &c.water_b);
    trigger_consts(p, &c);
    double soaked = 1.0 + bounded_exp2(c.water_a + c.water_b); /* 1/g(1) */
    c.start_rate = soaked / p[PN_SEASON_LIFE_D];
    c.ripen_base = p[PN_SEASON_RIPEN_BASE_DEGC];
    c.ripen_rate = (double)STAGES / p[PN_SEASON_RIPEN_DD];
    c.wear_rate = 1.0 / p[PN_SEASON_LIFE_D];
    c.wear_b = log2(p[PN_SEASON_LIFE_Q10]) / 10.0;
    c.wear_a = -c.wear_b * p[PN_SEASON_SOIL_BEST_DEGC];
    c.drought = p[PN_SEASON_LIFE_DROUGHT];
    c.frost_rate = p[PN_SEASON_FROST_RATE_PER_D];
    frost_consts(p, &c.frost_a, &c.frost_b);
    return c;
}

bool season_needs_day_length(pn_season_model model,
                             const double p[PN_SEASON_PARAM_COUNT]) {
    double direction = p[PN_SEASON_PHOTO_DIRECTION];
    return model == PN_SEASON_PLANT && (direction > 0.0 || direction < 0.0);
}

plant_consts season_plant_consts(const double p[PN_SEASON_PARAM_COUNT]) {
    plant_consts c = {0};
    c.base_degc = p[PN_SEASON_BASE_DEGC];
    c.upper_degc = p[PN_SEASON_UPPER_DEGC];
    rising(p[PN_SEASON_STAGE_START_DD], p[PN_SEASON_STAGE_START_SPREAD_DD],
           &c.reach_a, &c.reach_b);
    rising(p[PN_SEASON_STAGE_END_DD], p[PN_SEASON_STAGE_END_SPREAD_DD],
           &c.pass_a, &c.pass_b);
    if (season_needs_day_length(PN_SEASON_PLANT, p)) {
        double direction = p[PN_SEASON_PHOTO_DIRECTION];
        double scale = p[PN_SEASON_PHOTO_SCALE_H];
        c.photo_a = -LOG2_E * direction * p[PN_SEASON_PHOTO_H] / scale;
        c.photo_b = LOG2_E * direction / scale;
    }
    c.wear_rate = 1.0 / p[PN_SEASON_LIFE_D];
    c.frost_rate = p[PN_SEASON_FROST_RATE_PER_D];
    frost_consts(p, &c.frost_a, &c.frost_b);
    return c;
}
