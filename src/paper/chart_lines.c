/* Lines, bars, bands and marks of one panel.
 *
 * Days are gathered into slots of at least one pixel; each slot shows its
 * lowest and highest value in the order they came, so that a long record
 * keeps its extremes and the file stays small. */
#include "paper_internal.h"

#include <math.h>

typedef struct slot {
    size_t first, end; /* days */
} slot;

static size_t slot_count(const paper_sheet *sheet) {
    size_t room = (size_t)fmax(sheet->right - sheet->left, 1.0);
    size_t days = sheet->opts->day_count;
    return days < room ? days : room;
}

static slot slot_at(const paper_sheet *sheet, size_t index) {
    size_t count = slot_count(sheet);
    size_t days = sheet->opts->day_count;
    return (slot){index * days / count, (index + 1) * days / count};
}

/* False if no day of the slot has a value. */
static bool extremes(const double *value, slot days, size_t *low,
                     size_t *high) {
    bool found = false;
    for (size_t day = days.first; day < days.end; day++) {
        if (!isfinite(value[day])) {
            continue;
        }
        *low = !found || value[day] < value[*low] ? day : *low;
        *high = !found || value[day] > value[*high] ? day : *high;
        found = true;
    }
    return found;
}

static double x_of_day(const paper_sheet *sheet, size_t day) {
    return sheet->left + ((double)day + 0.5) * sheet->px_per_day;
}

static double y_of(const paper_frame *frame, const paper_scale *scale,
                   double value) {
    double height = frame->bottom - frame->top;
    double share = (value - scale->low) / (scale->step * scale->intervals);
    return frame->bottom - share * height;
}

/* ---- a path, in whole tenths of a pixel -------------------------------- */

typedef struct pen {
    pn_buffer *out;
    long x, y;
    bool down;
} pen;

static void add_tenths(pn_buffer *out, long tenths, bool separate) {
    const char *sign = tenths < 0 ? "-" : separate ? " " : "";
    long size = tenths < 0 ? -tenths : tenths;
    if (size % 10 == 0) {
        pn_buffer_addf(out, "%s%ld", sign, size / 10);
    } else {
        pn_buffer_addf(out, "%s%ld.%ld", sign, size / 10, size % 10);
    }
}

/* The first point moves, the next draw, relative to the point before. */
static void pen_to(pen *p, double x_px, double y_px) {
    long x = lround(x_px * 10.0);
    long y = lround(y_px * 10.0);
    pn_buffer_addf(p->out, "%s", p->down ? "l" : "M");
    add_tenths(p->out, p->down ? x - p->x : x, false);
    add_tenths(p->out, p->down ? y - p->y : y, true);
    *p = (pen){p->out, x, y, true};
}

static const char *line_css(pn_paper_line line) {
    static const char *const names[PN_PAPER_LINE_COUNT] = {
        [PN_PAPER_SOLID] = "l0",     [PN_PAPER_DASHED] = "l1",
        [PN_PAPER_DOTTED] = "l2",    [PN_PAPER_DASH_DOT] = "l3",
        [PN_PAPER_LONG_DASH] = "l4", [PN_PAPER_BARS] = "b"};
    return names[line];
}

static void begin_path(const paper_sheet *sheet,
                       const pn_paper_series *series) {
    pn_buffer_addf(sheet->out, "<path class=\"k%d %s\"", (int)series->ink,
                   line_css(series->line));
    if (series->line == PN_PAPER_BARS) {
        double day_px =
            (sheet->right - sheet->left) / (double)slot_count(sheet);
        paper_add_attr(sheet->out, "stroke-width", fmax(0.66 * day_px, 0.8));
    }
    pn_buffer_addf(sheet->out, " d=\"");
}

static void draw_line(const paper_sheet *sheet, const paper_frame *frame,
                      const pn_paper_series *series, const paper_scale *scale) {
    pen p = {.out = sheet->out};
    size_t points = 0; /* since the pen went down */
    for (size_t i = 0; i < slot_count(sheet); i++) {
        size_t low = 0;
        size_t high = 0;
        if (!extremes(series->value, slot_at(sheet, i), &low, &high)) {
            pn_buffer_addf(sheet->out, "%s", points == 1 ? "h0" : "");
            p.down = false;
            points = 0;
            continue;
        }
        size_t first = low < high ? low : high;
        size_t second = low < high ? high : low;
        pen_to(&p, x_of_day(sheet, first),
               y_of(frame, scale, series->value[first]));
        points++;
        if (second != first) {
            pen_to(&p, x_of_day(sheet, second),
                   y_of(frame, scale, series->value[second]));
            points++;
        }
    }
    pn_buffer_addf(sheet->out, "%s", points == 1 ? "h0" : "");
}

static void draw_bars(const paper_sheet *sheet, const paper_frame *frame,
                      const pn_paper_series *series, const paper_scale *scale) {
    double foot = y_of(frame, scale, 0.0);
    for (size_t i = 0; i < slot_count(sheet); i++) {
        size_t low = 0;
        size_t high = 0;
        slot days = slot_at(sheet, i);
        if (!extremes(series->value, days, &low, &high)) {
            continue;
        }
        double value = series->value[high] > 0.0 ? series->value[high]
                                                 : series->value[low];
        double top = y_of(frame, scale, value);
        if (fabs(top - foot) >= 0.1) {
            pen p = {.out = sheet->out};
            double x = 0.5 * (x_of_day(sheet, days.first) +
                              x_of_day(sheet, days.end - 1));
            pen_to(&p, x, foot);
            pn_buffer_addf(sheet->out, "V");
            paper_add_px(sheet->out, top);
        }
    }
}

void paper_draw_series(const paper_sheet *sheet, const paper_frame *frame,
                       const pn_paper_series *series) {
    const paper_scale *scale = series->on_right ? &frame->right : &frame->left;
    size_t low = 0;
    size_t high = 0;
    if (!extremes(series->value, (slot){0, sheet->opts->day_count}, &low,
                  &high)) {
        return;
    }
    begin_path(sheet, series);
    if (series->line == PN_PAPER_BARS) {
        draw_bars(sheet, frame, series, scale);
    } else {
        draw_line(sheet, frame, series, scale);
    }
    pn_buffer_addf(sheet->out, "\"/>\n");
}

/* ---- band -------------------------------------------------------------- */

static bool band_slot(const paper_sheet *sheet, const pn_paper_band *band,
                      size_t index, size_t day[2]) {
    size_t unused = 0;
    slot days = slot_at(sheet, index);
    return extremes(band->low, days, &day[0], &unused) &&
           extremes(band->high, days, &unused, &day[1]);
}

static double slot_x(const paper_sheet *sheet, size_t index) {
    slot days = slot_at(sheet, index);
    return 0.5 * (x_of_day(sheet, days.first) + x_of_day(sheet, days.end - 1));
}

/* One closed outline over the slots first .. end - 1: out along the top, back
 * along the foot. A lone slot is drawn one pixel wide. */
static void draw_outline(const paper_sheet *sheet, const paper_frame *frame,
                         slot run) {
    const pn_paper_band *band = frame->panel->band;
    double half_px = run.end - run.first == 1 ? 0.5 : 0.0;
    size_t day[2] = {0, 0};
    pen p = {.out = sheet->out};
    for (size_t i = run.first; i < run.end; i++) {
        band_slot(sheet, band, i, day);
        pen_to(&p, slot_x(sheet, i) - half_px,
               y_of(frame, &frame->left, band->high[day[1]]));
    }
    for (size_t i = run.end; i-- > run.first;) {
        band_slot(sheet, band, i, day);
        pen_to(&p, slot_x(sheet, i) + half_px,
               y_of(frame, &frame->left, band->low[day[0]]));
    }
    pn_buffer_addf(sheet->out, "z");
}

void paper_draw_band(const paper_sheet *sheet, const paper_frame *frame) {
    const pn_paper_band *band = frame->panel->band;
    if (band == NULL || frame->empty) {
        return;
    }
    pn_buffer_addf(sheet->out, "<path class=\"f%d s\" d=\"M0 0",
                   (int)band->ink);
    size_t count = slot_count(sheet);
    size_t day[2] = {0, 0};
    size_t first = 0;
    for (size_t i = 0; i <= count; i++) {
        bool here = i < count && band_slot(sheet, band, i, day);
        if (here) {
            continue;
        }
        if (i > first) {
            draw_outline(sheet, frame, (slot){first, i});
        }
        first = i + 1;
    }
    pn_buffer_addf(sheet->out, "\"/>\n");
}

/* ---- marks ------------------------------------------------------------- */

static void draw_mark(const paper_sheet *sheet, const paper_frame *frame,
                      const pn_paper_mark *mark, size_t day) {
    double y = isfinite(mark->value) ? y_of(frame, &frame->left, mark->value)
                                     : frame->bottom;
    pn_buffer_addf(sheet->out, "<circle class=\"%s\"",
                   mark->filled ? "mf" : "mh");
    paper_add_attr(sheet->out, "cx", x_of_day(sheet, day));
    paper_add_attr(sheet->out, "cy", y);
    paper_add_attr(sheet->out, "r", sheet->narrow ? 3.6 : 4.4);
    pn_buffer_addf(sheet->out, "/>\n");
}

void paper_draw_marks(const paper_sheet *sheet, const paper_frame *frame) {
    for (size_t i = 0; i < frame->panel->mark_count; i++) {
        const pn_paper_mark *mark = &frame->panel->marks[i];
        int64_t day = (int64_t)mark->epoch_day - sheet->opts->first_epoch_day;
        if (day >= 0 && day < (int64_t)sheet->opts->day_count) {
            draw_mark(sheet, frame, mark, (size_t)day);
        }
    }
}
