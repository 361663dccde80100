/** @file vmath.h
 * Exponential, logarithm and arcsine without branches, tables or library
 * calls, so that a loop over them becomes SIMD.
 *
 * Only +, -, *, /, sqrt, comparisons and integer shifts of IEEE 754 doubles
 * are used, in one fixed order. With contraction off (-ffp-contract=off) every
 * compiler, vector width and processor therefore gives the same bits.
 * Rounding must be to nearest. NaN gives NaN.
 *
 * The polynomials interpolate at Chebyshev nodes and were found for this file
 * in 60-digit decimal arithmetic; the error each leaves is noted beside it.
 */
#ifndef PN_VMATH_H
#define PN_VMATH_H

#include <math.h>
#include <stdint.h>
#include <string.h>

#if defined(__GNUC__)
#define PN_INLINE static inline __attribute__((always_inline, unused))
#else
#define PN_INLINE static inline
#endif

PN_INLINE uint64_t pn_vbits(double x) {
    uint64_t bits = 0;
    memcpy(&bits, &x, sizeof bits);
    return bits;
}

PN_INLINE double pn_vfrom_bits(uint64_t bits) {
    double x = 0.0;
    memcpy(&x, &bits, sizeof x);
    return x;
}

/** The nearer bound outside low .. high; NaN stays NaN. */
PN_INLINE double pn_vclamp(double x, double low, double high) {
    double y = x < low ? low : x;
    return y > high ? high : y;
}

/** e^x for -708 <= x <= 709; outside it the result is meaningless.
 *  x = n ln 2 + r, |r| <= ln(2)/2;   e^x = 2^n (1 + r + r^2 Q(r)),
 *  n rounded by adding 1.5 * 2^52, whose low bits then hold n + 1023.
 *  @param x  see above           @return e^x, about 3e-308 .. 8e307
 *  Source:   own; the reduction is textbook [MULLER2016] 11.1
 *  Validity: the stated range, and NaN; for loops whose range is proved
 *  Accuracy: 1.1 ulp measured against the C library's long double; see test
 *  Checked:  tests/unit/season/test_vmath.c */
PN_INLINE double pn_vexp_inside(double x) {
    const double magic = 0x1.8p52 + 1023.0;
    const double ln2_hi = 0x1.62e42feep-1; /* 21 low bits zero: n hi exact */
    const double ln2_lo = 0x1.a39ef35793c76p-33;
    double shifted = x * 0x1.71547652b82fep+0 + magic; /* 1 / ln 2 */
    double n = shifted - magic;
    double r = (x - n * ln2_hi) - n * ln2_lo;
    /* Q by Estrin's scheme; left over 1.3e-17 of e^r */
    double r2 = r * r;
    double r4 = r2 * r2;
    double q01 = 0.5 + 0x1.5555555555556p-3 * r;
    double q23 = 0x1.5555555553d5ap-5 + 0x1.11111111109b0p-7 * r;
    double q45 = 0x1.6c16c1788f756p-10 + 0x1.a01a01a7c6560p-13 * r;
    double q67 = 0x1.a019b8ff24c9bp-16 + 0x1.71de0da5c30dbp-19 * r;
    double q89 = 0x1.2891960d969fep-22 + 0x1.af38be34c9e9cp-26 * r;
    double q = (q01 + q23 * r2) + r4 * ((q45 + q67 * r2) + r4 * q89);
    double power = pn_vfrom_bits(pn_vbits(shifted) << 52);
    return (1.0 + (r + r2 * q)) * power;
}

/** e^x for any x: beyond -708 .. 709 it counts as that bound, so that the
 *  result is always a normal number; NaN gives NaN. Otherwise as
 *  pn_vexp_inside(). */
PN_INLINE double pn_vexp(double x) {
    return pn_vexp_inside(pn_vclamp(x, -708.0, 709.0));
}

/** log x for positive normal x; otherwise the result is meaningless.
 *  x = 2^n m, m in [sqrt(1/2), sqrt 2);   f = (m - 1)/(m + 1);
 *  log x = n ln 2 + 2 f + f^3 P(f^2).
 *  @param x  2.3e-308 .. 1.7e308                       @return log x
 *  Source:   own; the reduction is textbook [MULLER2016] 11.2
 *  Validity: the stated range; for loops whose range is proved
 *  Accuracy: 0.9 ulp measured against the C library's long double; see test
 *  Checked:  tests/unit/season/test_vmath.c */
PN_INLINE double pn_vlog_inside(double x) {
    const double ln2_hi = 0x1.62e42feep-1;
    const double ln2_lo = 0x1.a39ef35793c76p-33;
    const uint64_t half_root = UINT64_C(0x3fe6a09e667f3bcd); /* sqrt(1/2) */
    uint64_t offset = pn_vbits(x) - half_root;
    /* the exponent of x / sqrt(1/2) as a double, from its bits: 2^52 + k */
    uint64_t biased = (offset >> 52) ^ UINT64_C(0x800);
    double n = pn_vfrom_bits(biased | UINT64_C(0x4330000000000000)) -
               (0x1p52 + 2048.0);
    double m =
        pn_vfrom_bits((offset & UINT64_C(0x000fffffffffffff)) + half_root);
    double d = m - 1.0;
    double f = d / (2.0 + d);
    double z = f * f;
    double z2 = z * z;
    /* P; left over 6e-19 of log m */
    double p01 = 0x1.5555555555555p-1 + 0x1.9999999999a39p-2 * z;
    double p23 = 0x1.2492492476a1ap-2 + 0x1.c71c7201a55d7p-3 * z;
    double p45 = 0x1.745cf8e4bba1bp-3 + 0x1.3b1c3c1c81c8fp-3 * z;
    double p67 = 0x1.0fbde0f4ad17bp-3 + 0x1.0c0aff044a970p-3 * z;
    double p = (p01 + p23 * z2) + (z2 * z2) * (p45 + p67 * z2);
    /* 2 f = d - f d, so d carries the leading digits without rounding */
    double tail = n * ln2_lo + f * (z * p - d);
    return n * ln2_hi + (d + tail);
}

/** log x for any x: NaN unless x is a positive normal number. Otherwise as
 *  pn_vlog_inside(). */
PN_INLINE double pn_vlog(double x) {
    double y = pn_vlog_inside(x);
    y = x >= 0x1p-1022 ? y : NAN; /* two selects: GCC 12 cannot turn && */
    return x <= 0x1.fffffffffffffp+1023 ? y : NAN; /* into SIMD here */
}

/** 2^x to twelve digits, for models that need no more.
 *  x = n + f, |f| <= 1/2;   2^x = 2^n (1 + f P(f)).
 *  @param x  -1022 .. 1023; outside it the result is meaningless
 *  Source:   own
 *  Validity: the stated range, and NaN; exact at whole numbers
 *  Accuracy: 2.5e-12 relative; see test
 *  Checked:  tests/unit/season/test_vmath.c */
PN_INLINE double pn_vexp2_quick(double x) {
    const double magic = 0x1.8p52 + 1023.0;
    double shifted = x + magic;
    double f = x - (shifted - magic);
    double f2 = f * f;
    double p01 = 0x1.62e42fef9cc3cp-1 + 0x1.ebfbdff82a727p-3 * f;
    double p23 = 0x1.c6b08da71da60p-5 + 0x1.3b2ab70ad7014p-7 * f;
    double p45 = 0x1.5d87757c238f2p-10 + 0x1.4308c708aee31p-13 * f;
    double p67 = 0x1.00c0fb54e0f1cp-16 + 0x1.63b2f07a28632p-20 * f;
    double p = (p01 + p23 * f2) + (f2 * f2) * (p45 + p67 * f2);
    double power = pn_vfrom_bits(pn_vbits(shifted) << 52);
    return (1.0 + f * p) * power;
}

/** log2 x to twelve digits.   x = 2^n m;  f = (m - 1)/(m + 1);
 *  log2 x = n + f P(f^2).
 *  @param x  positive and normal; otherwise the result is meaningless
 *  Source:   own
 *  Validity: the stated range; exact at powers of two
 *  Accuracy: 2e-14 absolute beside the rounding of n; see test
 *  Checked:  tests/unit/season/test_vmath.c */
PN_INLINE double pn_vlog2_quick(double x) {
    const uint64_t half_root = UINT64_C(0x3fe6a09e667f3bcd);
    uint64_t offset = pn_vbits(x) - half_root;
    uint64_t biased = (offset >> 52) ^ UINT64_C(0x800);
    double n = pn_vfrom_bits(biased | UINT64_C(0x4330000000000000)) -
               (0x1p52 + 2048.0);
    double m =
        pn_vfrom_bits((offset & UINT64_C(0x000fffffffffffff)) + half_root);
    double f = (m - 1.0) / (m + 1.0);
    double z = f * f;
    double p01 = 0x1.71547652b8251p+1 + 0x1.ec709dc53bfcfp-1 * z;
    double p23 = 0x1.2776c2935a8c1p-1 + 0x1.a61a2ef4051f3p-2 * z;
    double p45 = 0x1.4795463b406c3p-2 + 0x1.21b245a850e1dp-2 * z;
    double z2 = z * z;
    return n + f * ((p01 + p23 * z2) + (z2 * z2) * p45);
}

/** arcsin x.   |x| <= 1/2: s = |x|, else s = sqrt((1 - |x|)/2) and
 *  arcsin |x| = pi/2 - 2 arcsin s;   arcsin s = s + s^3 P(s^2).
 *  @param x  -1 .. 1; anything else gives NaN       @return -pi/2 .. pi/2 rad
 *  Source:   own; the reduction is textbook
 *  Validity: the whole range
 *  Accuracy: 2.2 ulp measured against the C library's long double; see test
 *  Checked:  tests/unit/season/test_vmath.c */
PN_INLINE double pn_vasin(double x) {
    const double half_pi_hi = 0x1.921fb54442d18p+0;
    const double half_pi_lo = 0x1.1a62633145c07p-54;
    double a = fabs(x);
    double far_z = (1.0 - a) * 0.5;
    double z = a > 0.5 ? far_z : a * a;
    double root = sqrt(far_z);
    double s = a > 0.5 ? root : a;
    double z2 = z * z;
    double z4 = z2 * z2;
    /* P; left over 6e-18 of arcsin s */
    double p01 = 0x1.5555555555556p-3 + 0x1.3333333332ec4p-4 * z;
    double p23 = 0x1.6db6db6e3292ep-5 + 0x1.f1c71c1d4aa0dp-6 * z;
    double p45 = 0x1.6e8bb1d89492bp-6 + 0x1.1c4d343fa57f6p-6 * z;
    double p67 = 0x1.c9cf3759fd8ffp-7 + 0x1.78246f32d075cp-7 * z;
    double p89 = 0x1.524ea8b3aad31p-7 + 0x1.653a8f8cfd43ap-8 * z;
    double pab = 0x1.1d661531b222fp-6 + -0x1.e7a24f548c9a2p-7 * z;
    double high = (p89 + pab * z2) + z4 * 0x1.d78189767524fp-6;
    double p = (p01 + p23 * z2) + z4 * ((p45 + p67 * z2) + z4 * high);
    double y = s + s * (z * p);
    double far = half_pi_hi - (2.0 * y - half_pi_lo);
    double size = a > 0.5 ? far : y;
    return x < 0.0 ? -size : size;
}

#endif
