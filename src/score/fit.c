// SPDX-License-Identifier: MIT
#include <math.h>
#include <nlopt.h>

#include "score_internal.h"

static const double z_max = 3.5;

double pn_score_at(const pn_score_prior *prior, double z) {
    switch (prior->scale) {
    case PN_SCORE_LOG:
        return prior->median * exp(prior->sd * z);
    case PN_SCORE_LOGIT:
        return pn_logistic(log(prior->median / (1 - prior->median)) +
                           prior->sd * z);
    case PN_SCORE_LINEAR:
        break;
    }
    return prior->median + prior->sd * z;
}

static void run_model(const pn_score_problem *problem, const double *z,
                      double *out) {
    double value[PN_SCORE_FIT_MAX];
    for (size_t k = 0; k < problem->parameter_count; k++) {
        value[k] = pn_score_at(&problem->prior[k], z[k]);
    }
    problem->model(problem->ctx, value, problem->end, out);
}

/* Minus log posterior density, times 2. */
static double objective(unsigned n, const double *z, double *gradient,
                        void *ctx) {
    (void)gradient; /* the method asks for none */
    const pn_score_problem *problem = ctx;
    double *got = problem->scratch;
    run_model(problem, z, got);
    double sum = 0;
    for (size_t i = problem->first; i < problem->end; i++) {
        double error = (got[i] - problem->observed[i]) / problem->error_sd;
        sum += isnan(problem->observed[i]) ? 0 : error * error;
    }
    for (unsigned k = 0; k < n && problem->prior_counts; k++) {
        sum += z[k] * z[k];
    }
    return isfinite(sum) ? sum : 1e30;
}

/* One search from z with first steps of `step`; z becomes the best found. */
static pn_status search(pn_score_problem *problem, double step, double *z,
                        pn_error *err) {
    unsigned n = (unsigned)problem->parameter_count;
    nlopt_opt opt =
        nlopt_create(n > 1 ? NLOPT_LN_BOBYQA : NLOPT_LN_NELDERMEAD, n);
    if (opt == NULL) {
        return pn_fail(err, PN_ENOMEM, "fit of %u parameters", n);
    }
    pn_status status = PN_OK;
    double least = 0;
    bool is_set =
        nlopt_set_min_objective(opt, objective, problem) == NLOPT_SUCCESS &&
        nlopt_set_lower_bounds1(opt, -z_max) == NLOPT_SUCCESS &&
        nlopt_set_upper_bounds1(opt, z_max) == NLOPT_SUCCESS &&
        nlopt_set_initial_step1(opt, step) == NLOPT_SUCCESS &&
        nlopt_set_xtol_abs1(opt, 1e-5) == NLOPT_SUCCESS &&
        nlopt_set_maxeval(opt, 3000) == NLOPT_SUCCESS;
    nlopt_result result =
        is_set ? nlopt_optimize(opt, z, &least) : NLOPT_FAILURE;
    /* "limited by rounding" still leaves the best point found */
    if (result < 0 && result != NLOPT_ROUNDOFF_LIMITED) {
        bool is_memory = result == NLOPT_OUT_OF_MEMORY;
        status = pn_fail(err, is_memory ? PN_ENOMEM : PN_ENOCONV,
                         "fit of %s: the search gave up (NLopt result %d)",
                         problem->prior[0].name, (int)result);
    }
    nlopt_destroy(opt);
    return status;
}

/* From the prior medians, then afresh from where that ended, because the
 * surface has folds. */
static pn_status minimise(const pn_score_problem *problem, double *z,
                          pn_error *err) {
    pn_score_problem copy = *problem;
    pn_status status = search(&copy, 0.5, z, err);
    return status == PN_OK ? search(&copy, 0.25, z, err) : status;
}

/* ---- how sure --------------------------------------------------------- */

/* Gauss-Newton: J'J / error_sd^2, plus 1 a parameter for the prior. Column k
 * of J is the model's answer to a step in z[k]. */
typedef struct square {
    double at[PN_SCORE_FIT_MAX][PN_SCORE_FIT_MAX];
} square;

static void add_products(const pn_score_problem *problem, const double *a,
                         const double *b, double scale, double *sum) {
    for (size_t i = problem->first; i < problem->end; i++) {
        if (!isnan(problem->observed[i])) {
            *sum += a[i] * b[i] * scale;
        }
    }
}

static void slope_of(const pn_score_problem *problem, const double *z, size_t k,
                     double *out) {
    static const double step = 1e-3;
    double moved[PN_SCORE_FIT_MAX];
    double *base = problem->scratch;
    for (size_t j = 0; j < problem->parameter_count; j++) {
        moved[j] = z[j];
    }
    moved[k] = z[k] + step;
    run_model(problem, moved, out);
    moved[k] = z[k] - step;
    run_model(problem, moved, base);
    for (size_t i = 0; i < problem->end; i++) {
        out[i] = (out[i] - base[i]) / (2 * step);
    }
}

/* Cholesky; diagonal of the inverse. The matrix is symmetric with at least 1
 * on the diagonal. */
static void inverse_diagonal(square *m, size_t n, double *out) {
    for (size_t j = 0; j < n; j++) {
        for (size_t k = 0; k < j; k++) {
            for (size_t i = j; i < n; i++) {
                m->at[i][j] -= m->at[i][k] * m->at[j][k];
            }
        }
        double root = sqrt(fmax(m->at[j][j], 1e-12));
        for (size_t i = j; i < n; i++) {
            m->at[i][j] /= root;
        }
    }
    for (size_t c = 0; c < n; c++) { /* |L^-1 e_c|^2 = (A^-1)_cc */
        double x[PN_SCORE_FIT_MAX] = {0};
        out[c] = 0;
        for (size_t i = c; i < n; i++) {
            double sum = i == c ? 1 : 0;
            for (size_t k = c; k < i; k++) {
                sum -= m->at[i][k] * x[k];
            }
            x[i] = sum / m->at[i][i];
            out[c] += x[i] * x[i];
        }
    }
}

static void spread(const pn_score_problem *problem, const double *z,
                   double *sd) {
    size_t n = problem->parameter_count, end = problem->end;
    square information = {.at = {{0}}};
    double scale = 1 / (problem->error_sd * problem->error_sd);
    double *rows = problem->scratch + end; /* n slopes of end values */
    for (size_t k = 0; k < n; k++) {
        slope_of(problem, z, k, rows + k * end);
        for (size_t j = 0; j <= k; j++) {
            double sum = j == k ? 1 : 0;
            add_products(problem, rows + k * end, rows + j * end, scale, &sum);
            information.at[k][j] = sum;
            information.at[j][k] = sum;
        }
    }
    inverse_diagonal(&information, n, sd);
    for (size_t k = 0; k < n; k++) {
        sd[k] = sqrt(sd[k]);
    }
}

static void fill_fit(const pn_score_problem *problem, const double *z,
                     const double *sd, pn_score_fit *out) {
    for (size_t k = 0; k < problem->parameter_count; k++) {
        const pn_score_prior *prior = &problem->prior[k];
        out->value[k] = pn_score_at(prior, z[k]);
        out->low[k] = pn_score_at(prior, z[k] - sd[k]);
        out->high[k] = pn_score_at(prior, z[k] + sd[k]);
    }
}

pn_status pn_score_fit_map(const pn_score_problem *problem, pn_score_fit *out,
                           pn_error *err) {
    double z[PN_SCORE_FIT_MAX] = {0}, sd[PN_SCORE_FIT_MAX] = {0};
    pn_status status = minimise(problem, z, err);
    if (status != PN_OK) {
        return status;
    }
    spread(problem, z, sd);
    fill_fit(problem, z, sd, out);
    return PN_OK;
}

void pn_score_fit_prior(const pn_score_problem *problem, pn_score_fit *out) {
    double z[PN_SCORE_FIT_MAX] = {0}, sd[PN_SCORE_FIT_MAX];
    for (size_t k = 0; k < PN_SCORE_FIT_MAX; k++) {
        sd[k] = 1;
    }
    fill_fit(problem, z, sd, out);
}
