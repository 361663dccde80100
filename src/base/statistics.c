#include "pannage/base.h"

#include <math.h>
#include <stdlib.h>

double pn_logistic(double x) {
    if (x >= 0.0) {
        return 1.0 / (1.0 + exp(-x));
    }
    double e = exp(x);
    return e / (1.0 + e);
}

double pn_log_sum_exp(const double *x, size_t count) {
    double top = -INFINITY;
    for (size_t i = 0; i < count; i++) {
        top = fmax(top, x[i]);
    }
    if (!isfinite(top)) {
        return top;
    }
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        sum += exp(x[i] - top);
    }
    return top + log(sum);
}

double pn_normal_cdf(double z) {
    return 0.5 * erfc(-z * 0.70710678118654752440);
}

static double ratio8(const double p[8], const double q[8], double r) {
    double top = p[7];
    double bottom = q[7];
    for (int i = 6; i >= 0; i--) {
        top = top * r + p[i];
        bottom = bottom * r + q[i];
    }
    return top / bottom;
}

double pn_normal_quantile(double p) {
    /* [AS241] PPND16 */
    static const double a[8] = {
        3.3871328727963666080e0,  1.3314166789178437745e+2,
        1.9715909503065514427e+3, 1.3731693765509461125e+4,
        4.5921953931549871457e+4, 6.7265770927008700853e+4,
        3.3430575583588128105e+4, 2.5090809287301226727e+3};
    static const double b[8] = {1.0,
                                4.2313330701600911252e+1,
                                6.8718700749205790830e+2,
                                5.3941960214247511077e+3,
                                2.1213794301586595867e+4,
                                3.9307895800092710610e+4,
                                2.8729085735721942674e+4,
                                5.2264952788528545610e+3};
    static const double c[8] = {
        1.42343711074968357734e0,  4.63033784615654529590e0,
        5.76949722146069140550e0,  3.64784832476320460504e0,
        1.27045825245236838258e0,  2.41780725177450611770e-1,
        2.27238449892691845833e-2, 7.74545014278341407640e-4};
    static const double d[8] = {1.0,
                                2.05319162663775882187e0,
                                1.67638483018380384940e0,
                                6.89767334985100004550e-1,
                                1.48103976427480074590e-1,
                                1.51986665636164571966e-2,
                                5.47593808499534494600e-4,
                                1.05075007164441684324e-9};
    static const double e[8] = {
        6.65790464350110377720e0,  5.46378491116411436990e0,
        1.78482653991729133580e0,  2.96560571828504891230e-1,
        2.65321895265761230930e-2, 1.24266094738807843860e-3,
        2.71155556874348757815e-5, 2.01033439929228813265e-7};
    static const double f[8] = {1.0,
                                5.99832206555887937690e-1,
                                1.36929880922735805310e-1,
                                1.48753612908506148525e-2,
                                7.86869131145613259100e-4,
                                1.84631831751005468180e-5,
                                1.42151175831644588870e-7,
                                2.04426310338993978564e-15};
    if (!(p > 0.0 && p < 1.0)) {
        return NAN;
    }
    double q = p - 0.5;
    if (fabs(q) <= 0.425) {
        return q * ratio8(a, b, 0.180625 - q * q);
    }
    double r = sqrt(-log(q < 0.0 ? p : 1.0 - p));
    double z = r <= 5.0 ? ratio8(c, d, r - 1.6) : ratio8(e, f, r - 5.0);
    return q < 0.0 ? -z : z;
}

double pn_log_gamma(double x) {
    /* Stirling's series ([AS65] 6.1.41) after shifting x to 12 or more, where
     * its next term is below 1e-17. lgamma() of the C library writes a
     * global, so it is not used. */
    if (!(x > 0.0)) {
        return NAN;
    }
    if (isinf(x)) {
        return x;
    }
    double shift = 1.0;
    while (x < 12.0) {
        shift *= x;
        x += 1.0;
    }
    double z = 1.0 / (x * x);
    double series =
        (1.0 / 12.0 -
         z * (1.0 / 360.0 -
              z * (1.0 / 1260.0 -
                   z * (1.0 / 1680.0 -
                        z * (1.0 / 1188.0 - z * (691.0 / 360360.0)))))) /
        x;
    return (x - 0.5) * log(x) - x + 0.91893853320467274178 + series -
           log(shift);
}

static bool negbin_domain(double mean, double size) {
    return mean >= 0.0 && isfinite(mean) && size > 0.0;
}

double pn_negbin_log_pmf(int64_t count, double mean, double size) {
    if (!negbin_domain(mean, size) || count < 0) {
        return NAN;
    }
    double n = (double)count;
    if (mean <= 0.0) {
        return count == 0 ? 0.0 : -INFINITY;
    }
    if (isinf(size)) {
        return n * log(mean) - mean - pn_log_gamma(n + 1.0);
    }
    double log_choose =
        pn_log_gamma(n + size) - pn_log_gamma(size) - pn_log_gamma(n + 1.0);
    return log_choose - size * log1p(mean / size) +
           n * log(mean / (mean + size));
}

/* Walks the probabilities upwards by their recurrence until the count
 * `stop_count` or the sum `stop_sum` is reached; returns the count there. It
 * sets out 20 standard deviations below the mean: what lies lower is less
 * than a rounding error, and exp() of it would be 0. */
static int64_t negbin_walk(double mean, double size, int64_t stop_count,
                           double stop_sum, double *sum) {
    double odds = isinf(size) ? mean : mean / (mean + size);
    double sd = sqrt(mean + mean * mean / size);
    int64_t n = mean > 20.0 * sd ? (int64_t)(mean - 20.0 * sd) : 0;
    double pmf = exp(pn_negbin_log_pmf(n, mean, size));
    *sum = n > stop_count ? 0.0 : pmf;
    while (n < stop_count && *sum < stop_sum) {
        double factor = isinf(size) ? 1.0 : size + (double)n;
        n++;
        pmf *= odds * factor / (double)n;
        *sum += pmf;
        if (pmf < 1e-300 && (double)n > mean) {
            break; /* the tail adds nothing any more */
        }
    }
    return n;
}

double pn_negbin_cdf(int64_t count, double mean, double size) {
    if (!negbin_domain(mean, size) || mean > 1e5) {
        return NAN;
    }
    if (count < 0) {
        return 0.0;
    }
    double sum = 0.0;
    negbin_walk(mean, size, count, INFINITY, &sum);
    return fmin(sum, 1.0);
}

int64_t pn_negbin_quantile(double p, double mean, double size) {
    if (!negbin_domain(mean, size) || mean > 1e5 || !(p >= 0.0 && p < 1.0)) {
        return -1;
    }
    double sum = 0.0;
    return negbin_walk(mean, size, INT64_MAX, p, &sum);
}

/* Sums over the pairs in which both values are finite. */
typedef struct pair_sums {
    double n, a, b, aa, bb, ab, dd;
} pair_sums;

static pair_sums sum_pairs(const double *a, const double *b, size_t count) {
    pair_sums s = {0};
    double a0 = 0.0;
    double b0 = 0.0;
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(a[i]) || !isfinite(b[i])) {
            continue;
        }
        if (s.n < 0.5) { /* shift by the first pair: less cancellation */
            a0 = a[i];
            b0 = b[i];
        }
        double x = a[i] - a0;
        double y = b[i] - b0;
        double d = a[i] - b[i];
        s.n += 1.0;
        s.a += x;
        s.b += y;
        s.aa += x * x;
        s.bb += y * y;
        s.ab += x * y;
        s.dd += d * d;
    }
    return s;
}

double pn_rmse(const double *got, const double *want, size_t count) {
    pair_sums s = sum_pairs(got, want, count);
    return s.n >= 2.0 ? sqrt(s.dd / s.n) : NAN;
}

double pn_bias(const double *got, const double *want, size_t count) {
    double sum = 0.0;
    double n = 0.0;
    for (size_t i = 0; i < count; i++) {
        if (isfinite(got[i]) && isfinite(want[i])) {
            sum += got[i] - want[i];
            n += 1.0;
        }
    }
    return n >= 2.0 ? sum / n : NAN;
}

double pn_pearson(const double *a, const double *b, size_t count) {
    pair_sums s = sum_pairs(a, b, count);
    double var_a = s.aa - s.a * s.a / s.n;
    double var_b = s.bb - s.b * s.b / s.n;
    if (!(s.n >= 2.0 && var_a > 0.0 && var_b > 0.0)) {
        return NAN;
    }
    return (s.ab - s.a * s.b / s.n) / sqrt(var_a * var_b);
}

double pn_nse(const double *got, const double *want, size_t count) {
    pair_sums s = sum_pairs(got, want, count);
    double var_want = s.bb - s.b * s.b / s.n;
    if (!(s.n >= 2.0 && var_want > 0.0)) {
        return NAN;
    }
    return 1.0 - s.dd / var_want;
}

static int by_value(const void *a, const void *b) {
    double x = *(const double *)a;
    double y = *(const double *)b;
    return (x > y) - (x < y);
}

double pn_quantile(double *values, size_t count, double p) {
    if (count == 0 || !(p >= 0.0 && p <= 1.0)) {
        return NAN;
    }
    qsort(values, count, sizeof *values, by_value);
    double at = p * (double)(count - 1);
    size_t below = (size_t)at;
    size_t above = below + 1 < count ? below + 1 : below;
    return values[below] +
           (at - (double)below) * (values[above] - values[below]);
}
