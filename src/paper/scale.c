/* Round limits for an axis. */
#include "paper_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* 1, 2, 2.5 or 5 times a power of ten. */
static double round_step(double at_least) {
    double ten = pow(10.0, floor(log10(at_least)));
    double share = at_least / ten;
    /* 1e-9: a step of exactly 2 must not become 5 by one rounding */
    double slack = 1.0 + 1e-9;
    if (share <= 1.0 * slack) {
        return ten;
    }
    if (share <= 2.0 * slack) {
        return 2.0 * ten;
    }
    if (share <= 2.5 * slack) {
        return 2.5 * ten;
    }
    return share <= 5.0 * slack ? 5.0 * ten : 10.0 * ten;
}

static int decimals_of(double step) {
    double scaled = step;
    for (int digits = 0; digits < 9; digits++) {
        if (scaled > 0.5 && fabs(scaled - round(scaled)) < 1e-6 * scaled) {
            return digits;
        }
        scaled *= 10.0;
    }
    return 9;
}

/* A line needs an axis of some height even if it is level. */
static double height_of(double low, double high) {
    double least = fmax(1e-6, 1e-6 * fmax(fabs(low), fabs(high)));
    return fmax(high - low, least);
}

static paper_scale from_step(double low, double high, double step) {
    double first = floor(low / step + 1e-9);
    double last = ceil(high / step - 1e-9);
    last = last <= first ? first + 1.0 : last;
    return (paper_scale){.low = first * step,
                         .step = step,
                         .intervals = (int)(last - first),
                         .decimals = decimals_of(step)};
}

paper_scale paper_scale_for(double low, double high, int wanted) {
    double step = round_step(height_of(low, high) / wanted);
    return from_step(low, high, step);
}

paper_scale paper_scale_with(double low, double high, int intervals) {
    double step = round_step(height_of(low, high) / intervals);
    paper_scale scale = from_step(low, high, step);
    /* Each turn makes the step at least a quarter longer; the first limit moves
     * down by less than a step, so four turns are always enough. */
    for (int turn = 0; scale.intervals > intervals && turn < 8; turn++) {
        step = round_step(step * 1.01);
        scale = from_step(low, high, step);
    }
    scale.intervals = intervals;
    return scale;
}

double paper_scale_high(const paper_scale *scale) {
    return scale->low + scale->intervals * scale->step;
}

void paper_add_tick(pn_buffer *buffer, const paper_scale *scale, int tick,
                    bool ascii) {
    double value = scale->low + tick * scale->step;
    bool is_zero = fabs(value) < 0.5 * scale->step;
    if (value < 0.0 && !is_zero) {
        pn_buffer_add(buffer, pn_text_of(ascii ? "-" : "\u2212"));
    }
    pn_buffer_addf(buffer, "%.*f", scale->decimals,
                   is_zero ? 0.0 : fabs(value));
}

paper_range paper_range_empty(void) {
    return (paper_range){.low = INFINITY, .high = -INFINITY};
}

void paper_range_take(paper_range *range, double value) {
    if (isfinite(value)) {
        range->low = fmin(range->low, value);
        range->high = fmax(range->high, value);
    }
}

void paper_range_take_all(paper_range *range, const double *values,
                          size_t count) {
    for (size_t i = 0; i < count; i++) {
        paper_range_take(range, values[i]);
    }
}

bool paper_range_is_empty(const paper_range *range) {
    return range->low > range->high;
}
