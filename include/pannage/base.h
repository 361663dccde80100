/** @file base.h
 * What every other part stands on: how failure is told, the one door to the
 * heap, text and numbers without a locale, civil dates, random numbers and
 * the few statistics the models use.
 */
#ifndef PN_BASE_H
#define PN_BASE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define PN_MUST_CHECK __attribute__((warn_unused_result))
#define PN_PRINTF(fmt, args) __attribute__((format(printf, fmt, args)))

/* ---- failure ---------------------------------------------------------- */

typedef enum pn_status {
    PN_OK = 0,
    PN_EDOMAIN,   /**< argument outside the model's stated range */
    PN_EPARSE,    /**< input text or file is malformed */
    PN_ENOTFOUND, /**< the thing asked for does not exist */
    PN_EEXISTS,   /**< the thing to be made is already there */
    PN_ENOMEM,    /**< allocation failed or its size would overflow */
    PN_EIO,       /**< the operating system refused; message says why */
    PN_ENOCONV,   /**< iteration limit reached before the tolerance */
    PN_STATUS_COUNT
} pn_status;

/** One failure, told once, at the place that knows most about it: what and
 *  where in the input, and what to do about it. */
typedef struct pn_error {
    pn_status status;
    char message[480]; /**< one line, no trailing newline */
} pn_error;

/** Static, never NULL: "ok", "domain", ... */
const char *pn_status_name(pn_status status);

/** Record a failure and hand its status back, so that the failing line reads
 *  `return pn_fail(err, PN_EPARSE, "line %zu: ...", n);`. err may be NULL.
 *  Control characters in the result become '?', so that a message stays one
 *  line whatever the input held. */
pn_status pn_fail(pn_error *err, pn_status status, const char *fmt, ...)
    PN_PRINTF(3, 4);

/* ---- memory ----------------------------------------------------------- */

/** Whoever creates an object chooses the allocator; tests pass one that
 *  fails on the n-th call. */
typedef struct pn_alloc {
    /** As realloc; new_size 0 frees and returns NULL. */
    void *(*resize)(void *ctx, void *block, size_t new_size);
    void *ctx;
} pn_alloc;

/** malloc/realloc/free. */
extern const pn_alloc pn_alloc_libc;

/** Grow to count items of item_size. NULL if that overflows or fails (the
 *  old block then still stands), or if count or item_size is 0. */
void *pn_alloc_array(const pn_alloc *alloc, void *block, size_t count,
                     size_t item_size);

/** As pn_alloc_array() for a new block, filled with zero bytes. */
void *pn_alloc_zeroed(const pn_alloc *alloc, size_t count, size_t item_size);

/** NULL is fine. */
void pn_alloc_free(const pn_alloc *alloc, void *block);

/** Many small things that die together: one per command or request. */
typedef struct pn_arena pn_arena;

PN_MUST_CHECK pn_status pn_arena_new(const pn_alloc *alloc, pn_arena **out,
                                     pn_error *err);
/** Zeroed, aligned for any type; NULL when memory is out. */
void *pn_arena_array(pn_arena *arena, size_t count, size_t item_size);
/** NUL-terminated copy; NULL when memory is out. */
char *pn_arena_copy(pn_arena *arena, const char *text, size_t text_len);
/** An allocator whose blocks all die with the arena. */
pn_alloc pn_arena_alloc(pn_arena *arena);
/** NULL is fine. */
void pn_arena_free(pn_arena *arena);

/* ---- text ------------------------------------------------------------- */

/** Borrowed bytes, not NUL-terminated. */
typedef struct pn_text {
    const char *at;
    size_t len;
} pn_text;

/** A view of a NUL-terminated string. */
pn_text pn_text_of(const char *string);
bool pn_text_equal(pn_text a, pn_text b);
/** Letters A-Z are the same as a-z. */
bool pn_text_equal_nocase(pn_text a, pn_text b);
/** Without spaces and tabs at either end. */
pn_text pn_text_trim(pn_text text);
/** The part before the first separator; *rest becomes what follows it, or an
 *  empty view with at == NULL when there was no separator. */
pn_text pn_text_cut(pn_text text, char separator, pn_text *rest);

/** The whole text as a decimal number: [+-]digits[.digits][e[+-]digits], at
 *  most 400 bytes, '.' whatever the locale, correctly rounded.
 *  @return false for anything else, among them "", "nan", "inf", "1,5",
 *          hexadecimal and numbers beyond the range of a double */
PN_MUST_CHECK bool pn_text_to_double(pn_text text, double *out);
/** The whole text as [+-]digits within int64. */
PN_MUST_CHECK bool pn_text_to_int(pn_text text, int64_t *out);

/** Text that grows in a fixed buffer; what does not fit is cut at a UTF-8
 *  character and `cut` is set. Always NUL-terminated. */
typedef struct pn_str {
    char *buf;
    size_t size;
    size_t len;
    bool cut;
} pn_str;

pn_str pn_str_in(char *buf, size_t size);
void pn_str_addf(pn_str *str, const char *fmt, ...) PN_PRINTF(2, 3);

/** Columns a terminal needs for the text: one per code point, none for
 *  combining marks in U+0300..U+036F. Bytes that are not UTF-8 count one. */
size_t pn_text_columns(pn_text text);

/* ---- digests ---------------------------------------------------------- */

enum { PN_SHA256_BYTES = 32, PN_SHA256_HEX_SIZE = 65 };

/** SHA-256 of bytes that come in pieces: names them, and shows whether one
 *  has changed. The state is the caller's.
 *  Source:  [FIPS180-4] section 6.2
 *  Checked: tests/unit/base/test_sha256.c, against another implementation */
typedef struct pn_sha256 {
    uint32_t h[8];
    unsigned char block[64];
    uint64_t len; /**< bytes so far */
} pn_sha256;

pn_sha256 pn_sha256_begin(void);
void pn_sha256_add(pn_sha256 *digest, const void *bytes, size_t len);
/** What it comes to; digest must be begun anew before it is used again. */
void pn_sha256_end(pn_sha256 *digest, unsigned char out[PN_SHA256_BYTES]);
/** 64 lower-case letters; buf holds PN_SHA256_HEX_SIZE bytes; returns buf. */
char *pn_sha256_hex(const unsigned char sha256[PN_SHA256_BYTES],
                    char buf[PN_SHA256_HEX_SIZE]);

/* ---- civil dates (proleptic Gregorian) -------------------------------- */

typedef struct pn_date {
    int year;  /**< 1583 .. 9999 */
    int month; /**< 1 .. 12 */
    int day;   /**< 1 .. 31 */
} pn_date;

/** Days since 1970-01-01. The date must exist: see pn_date_exists(). */
int32_t pn_date_to_epoch_day(pn_date date);
pn_date pn_date_from_epoch_day(int32_t epoch_day);
bool pn_date_exists(int year, int month, int day);
/** 1 .. 366 */
int pn_date_day_of_year(int32_t epoch_day);
/** 0 = Monday .. 6 = Sunday */
int pn_date_weekday(int32_t epoch_day);
/** YYYY-MM-DD (exactly ten bytes) to days since 1970-01-01. */
PN_MUST_CHECK bool pn_date_parse_iso(pn_text text, int32_t *epoch_day);

enum { PN_DATE_ISO_SIZE = 11, PN_DATE_HUMAN_SIZE = 24 };
/** "2026-09-14"; buf holds PN_DATE_ISO_SIZE bytes; returns buf. */
char *pn_date_iso(int32_t epoch_day, char buf[PN_DATE_ISO_SIZE]);
/** "Mon 14 Sep"; buf holds PN_DATE_HUMAN_SIZE bytes; returns buf. */
char *pn_date_human(int32_t epoch_day, char buf[PN_DATE_HUMAN_SIZE]);
/** "Jan" .. "Dec" for 1 .. 12. */
const char *pn_month_name(int month);

/* ---- random numbers --------------------------------------------------- */

/** xoshiro256** 1.0 (Blackman & Vigna 2021), seeded through splitmix64. The
 *  state is the caller's: the same seed gives the same numbers everywhere. */
typedef struct pn_random {
    uint64_t s[4];
} pn_random;

pn_random pn_random_seeded(uint64_t seed);
uint64_t pn_random_u64(pn_random *random);
/** Uniform in [0, 1), 53 bits. */
double pn_random_uniform(pn_random *random);
/** Mean 0, variance 1; inverse-transform, one draw a number. */
double pn_random_normal(pn_random *random);
/** shape > 0, scale > 0, else NaN (Marsaglia & Tsang 2000). */
double pn_random_gamma(pn_random *random, double shape, double scale);
/** mean in 0 .. 1e6, else -1. */
int64_t pn_random_poisson(pn_random *random, double mean);

/* ---- statistics ------------------------------------------------------- */

/** 1 / (1 + exp(-x)), without overflow. */
double pn_logistic(double x);
/** log(sum(exp(x_i))), without overflow; -INFINITY for count 0. */
double pn_log_sum_exp(const double *x, size_t count);
/** Standard normal distribution function; absolute error < 1e-15. */
double pn_normal_cdf(double z);
/** Its inverse, p in (0, 1) else NaN (Wichura 1988, AS 241, 1 part in 1e15). */
double pn_normal_quantile(double p);
/** log Gamma(x), x > 0 else NaN; reentrant; absolute error < 1e-14 for x < 20,
 *  relative beyond. */
double pn_log_gamma(double x);

/** Negative binomial by mean and size r: variance = mean + mean^2 / r.
 *  mean >= 0, size > 0 (size INFINITY: Poisson), count >= 0; else NaN. */
double pn_negbin_log_pmf(int64_t count, double mean, double size);
/** P(X <= count). */
double pn_negbin_cdf(int64_t count, double mean, double size);
/** Smallest n with P(X <= n) >= p, p in [0, 1); -1 outside the domain. */
int64_t pn_negbin_quantile(double p, double mean, double size);

/** Over finite pairs only; NaN when fewer than 2 (or no variance). Shapes:
 *  both arrays hold count values. */
double pn_rmse(const double *got, const double *want, size_t count);
double pn_bias(const double *got, const double *want, size_t count);
double pn_pearson(const double *a, const double *b, size_t count);
/** Nash-Sutcliffe efficiency of got against want: 1 perfect, 0 no better than
 *  the mean of want. */
double pn_nse(const double *got, const double *want, size_t count);
/** Quantile, Hyndman & Fan type 7, of values that the function sorts in
 *  place; NaN for count 0 or p outside [0, 1]. */
double pn_quantile(double *values, size_t count, double p);

#endif
