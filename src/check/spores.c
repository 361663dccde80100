#include "pannage/check.h"

#include <math.h>

/* Student's t, 97.5 %, by degrees of freedom 1 .. 30; beyond, the expansion
 * of Cornish and Fisher about the normal ([AS65] 26.7.5). */
static double student_975(double freedom) {
    static const double small[] = {12.706, 4.303, 3.182, 2.776, 2.571,
                                   2.447,  2.365, 2.306, 2.262, 2.228};
    const double z = 1.959963984540054;
    if (freedom < 11.0) {
        return small[(size_t)(freedom + 0.5) - 1];
    }
    double z3 = z * z * z;
    double z5 = z3 * z * z;
    double z7 = z5 * z * z;
    double first = (z3 + z) / 4.0;
    double second = (5.0 * z5 + 16.0 * z3 + 3.0 * z) / 96.0;
    double third = (3.0 * z7 + 19.0 * z5 + 17.0 * z3 - 15.0 * z) / 384.0;
    return z + (first + (second + third / freedom) / freedom) / freedom;
}

static pn_spores not_known(size_t count) {
    return (pn_spores){.count = count,
                       .mean = NAN,
                       .sd = NAN,
                       .low = NAN,
                       .high = NAN,
                       .least = NAN,
                       .most = NAN,
                       .mean_low = NAN,
                       .mean_high = NAN};
}

pn_spores pn_spores_of(double *values, size_t count) {
    double sum = 0.0;
    double squares = 0.0;
    for (size_t i = 0; i < count; i++) {
        if (!(values[i] > 0.0 && isfinite(values[i]))) {
            return not_known(count);
        }
        sum += values[i];
    }
    if (count < 2) {
        return not_known(count);
    }
    double n = (double)count;
    double mean = sum / n;
    for (size_t i = 0; i < count; i++) {
        squares += (values[i] - mean) * (values[i] - mean);
    }
    double sd = sqrt(squares / (n - 1.0));
    double half = student_975(n - 1.0) * sd / sqrt(n);
    pn_spores out = {.count = count,
                     .mean = mean,
                     .sd = sd,
                     .mean_low = mean - half,
                     .mean_high = mean + half};
    out.low = pn_quantile(values, count, 0.05); /* sorts */
    out.high = pn_quantile(values, count, 0.95);
    out.least = values[0];
    out.most = values[count - 1];
    return out;
}

void pn_spores_notation(const pn_spores *spores, int decimals, pn_str *out) {
    pn_str_addf(out, "(%.*f-) %.*f - %.*f (-%.*f)", decimals, spores->least,
                decimals, spores->low, decimals, spores->high, decimals,
                spores->most);
}

double pn_entropy_bits(const double *counts, size_t count) {
    double total = 0.0;
    double sum = 0.0;
    for (size_t i = 0; i < count; i++) {
        total += counts[i];
    }
    if (!(total > 0.0)) {
        return NAN;
    }
    for (size_t i = 0; i < count; i++) {
        if (counts[i] > 0.0) {
            sum -= counts[i] / total * log2(counts[i] / total);
        }
    }
    return sum;
}

double pn_information_gain_bits(const double *counts, size_t values,
                                size_t classes) {
    double classes_of_all[64] = {0.0};
    double total = 0.0;
    double after = 0.0;
    if (classes > sizeof classes_of_all / sizeof *classes_of_all) {
        return NAN;
    }
    for (size_t v = 0; v < values; v++) {
        double of_value = 0.0;
        for (size_t c = 0; c < classes; c++) {
            of_value += counts[v * classes + c];
            classes_of_all[c] += counts[v * classes + c];
        }
        if (of_value > 0.0) {
            after += of_value * pn_entropy_bits(counts + v * classes, classes);
        }
        total += of_value;
    }
    return pn_entropy_bits(classes_of_all, classes) - after / total;
}
