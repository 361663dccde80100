#include "pannage/base.h"

#include <math.h>

static uint64_t splitmix64(uint64_t *state) {
    uint64_t z = (*state += 0x9e3779b97f4a7c15U);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9U;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebU;
    return z ^ (z >> 31);
}

pn_random pn_random_seeded(uint64_t seed) {
    pn_random random;
    for (int i = 0; i < 4; i++) {
        random.s[i] = splitmix64(&seed);
    }
    return random;
}

static uint64_t rotate_left(uint64_t x, int k) {
    return (x << k) | (x >> (64 - k));
}

uint64_t pn_random_u64(pn_random *random) {
    uint64_t *s = random->s;
    uint64_t result = rotate_left(s[1] * 5, 7) * 9;
    uint64_t t = s[1] << 17;
    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= t;
    s[3] = rotate_left(s[3], 45);
    return result;
}

double pn_random_uniform(pn_random *random) {
    return (double)(pn_random_u64(random) >> 11) * 0x1p-53;
}

double pn_random_normal(pn_random *random) {
    /* half a step inside (0, 1), so that the inverse stays finite */
    return pn_normal_quantile(pn_random_uniform(random) + 0x1p-54);
}

double pn_random_gamma(pn_random *random, double shape, double scale) {
    if (!(shape > 0.0 && scale > 0.0 && isfinite(shape) && isfinite(scale))) {
        return NAN;
    }
    double boost = 1.0;
    if (shape < 1.0) { /* Marsaglia & Tsang 2000, section 6 */
        boost = pow(pn_random_uniform(random) + 0x1p-54, 1.0 / shape);
        shape += 1.0;
    }
    double d = shape - 1.0 / 3.0;
    double c = 1.0 / sqrt(9.0 * d);
    for (int tries = 0; tries < 1000; tries++) {
        double x = pn_random_normal(random);
        double v = 1.0 + c * x;
        if (v <= 0.0) {
            continue;
        }
        v = v * v * v;
        double u = pn_random_uniform(random) + 0x1p-54;
        if (log(u) < 0.5 * x * x + d - d * v + d * log(v)) {
            return boost * d * v * scale;
        }
    }
    return boost * d * scale; /* accepted within a few tries in practice */
}

int64_t pn_random_poisson(pn_random *random, double mean) {
    if (!(mean >= 0.0 && mean <= 1e6)) {
        return -1;
    }
    /* A Poisson of a large mean is the sum of smaller ones. */
    int64_t count = 0;
    while (mean > 30.0) {
        double part = fmin(mean, 30.0);
        count += pn_random_poisson(random, part);
        mean -= part;
    }
    double limit = exp(-mean);
    double product = pn_random_uniform(random);
    while (product > limit) {
        count++;
        product *= pn_random_uniform(random);
    }
    return count;
}
