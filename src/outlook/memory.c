#include "pannage/outlook.h"

#include <math.h>

/* Own choices, stated in the header; season learning will judge them. */
static const double YEARLY_WEIGHT = 0.85;
static const double DENSITY_FLOOR = 0.05;
static const double SEARCH_TIME_MIN = 20.0;
static const double USUAL_SEARCH_MIN = 30.0;
static const double FIXED_POINT_TOL = 1e-10;
enum { FIXED_POINT_MAX = 200 };

double pn_outlook_effort(double minutes) {
    if (isnan(minutes)) {
        return 1.0;
    }
    if (!(minutes > 0.0)) {
        return NAN;
    }
    return (1.0 - exp(-minutes / SEARCH_TIME_MIN)) /
           (1.0 - exp(-USUAL_SEARCH_MIN / SEARCH_TIME_MIN));
}

/* Relative variance of a count around lambda N: the day's chance and the
 * error of the model of N. */
static double visit_variance(const pn_kind *kind) {
    double sigma = kind->density_log_sd;
    return kind->visit_dispersion + expm1(sigma * sigma);
}

static double prior_mean_of(const pn_kind *kind, double productivity) {
    return kind->rate_mean * (productivity > 0.0 ? productivity : 1.0);
}

void pn_outlook_remember(const pn_kind *kind, double productivity,
                         const pn_outlook_exposure *exposures, size_t count,
                         pn_outlook_memory *memory) {
    double mean0 = prior_mean_of(kind, productivity);
    double variance = visit_variance(kind);
    double mean = mean0;
    memory->prior_mean = mean0;
    for (int i = 0; i < FIXED_POINT_MAX; i++) {
        double shape = kind->rate_shape;
        double rate = kind->rate_shape / mean0;
        for (size_t v = 0; v < count; v++) {
            double exposure =
                exposures[v].effort * (exposures[v].density + DENSITY_FLOOR);
            double weight = pow(YEARLY_WEIGHT, exposures[v].years) /
                            (1.0 + variance * mean * exposure);
            shape += weight * (double)exposures[v].count;
            rate += weight * exposure;
        }
        memory->shape = shape;
        memory->rate_per_n = rate;
        double next = shape / rate;
        bool settled = fabs(next - mean) <= FIXED_POINT_TOL * next;
        /* halfway steps: the map can swing around its fixed point */
        mean = 0.5 * (mean + next);
        if (settled) {
            return;
        }
    }
}

void pn_outlook_predict(const pn_kind *kind, const pn_outlook_memory *memory,
                        double density, double density_cv,
                        pn_outlook_day *out) {
    double mean = memory->shape / memory->rate_per_n * density;
    double relative =
        1.0 / memory->shape + visit_variance(kind) + density_cv * density_cv;
    *out = (pn_outlook_day){
        .density = density,
        .density_cv = density_cv,
        .count_mean = mean,
        .chance_prob = NAN,
        .kg = NAN,
        .kg_low = NAN,
        .kg_high = NAN,
    };
    if (!isfinite(mean)) {
        return;
    }
    double size = 1.0 / relative;
    out->chance_prob =
        1.0 - pn_negbin_cdf(kind->worthwhile_count - 1, mean, size);
    /* Items differ in weight: for the weight's spread, the variance of a mean
     * item is added to that of the count. */
    double cv = kind->item_cv;
    double kg_size = 1.0 / (relative + cv * cv / fmax(mean, 1.0));
    double item_kg = kind->item_g / 1000.0;
    out->kg = item_kg * mean;
    out->kg_low = item_kg * (double)pn_negbin_quantile(0.1, mean, kg_size);
    out->kg_high = item_kg * (double)pn_negbin_quantile(0.9, mean, kg_size);
}
