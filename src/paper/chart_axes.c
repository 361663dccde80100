/* The rules and labels a reader measures against. */
#include "paper_internal.h"

#include <math.h>

/* How the date axis is labelled, by the room there is. */
typedef enum date_labels { WEEKS, MONTHS, INITIALS, YEARS } date_labels;

enum { DAYS_IN_WEEK = 7 };
static const double mean_month_days = 30.44;

static date_labels labels_of(const paper_sheet *sheet) {
    double month_px = sheet->px_per_day * mean_month_days;
    if (sheet->px_per_day * DAYS_IN_WEEK > 3.8 * sheet->type_px) {
        return WEEKS;
    }
    if (month_px > 2.1 * sheet->type_px) {
        return MONTHS;
    }
    return month_px > 0.95 * sheet->type_px ? INITIALS : YEARS;
}

static double x_of_start(const paper_sheet *sheet, int32_t epoch_day) {
    return sheet->left +
           (epoch_day - sheet->opts->first_epoch_day) * sheet->px_per_day;
}

static int32_t last_day(const paper_sheet *sheet) {
    return sheet->opts->first_epoch_day + (int32_t)sheet->opts->day_count - 1;
}

static int32_t month_start(int32_t epoch_day, int months_on) {
    pn_date date = pn_date_from_epoch_day(epoch_day);
    int month = date.month - 1 + months_on;
    return pn_date_to_epoch_day(
        (pn_date){date.year + month / 12, month % 12 + 1, 1});
}

static int32_t year_start(int32_t epoch_day, int years_on) {
    pn_date date = pn_date_from_epoch_day(epoch_day);
    return pn_date_to_epoch_day((pn_date){date.year + years_on, 1, 1});
}

static void add_rule(pn_buffer *out, const char *css, const double from[2],
                     const double to[2]) {
    pn_buffer_addf(out, "<path class=\"%s\" d=\"M", css);
    paper_add_px(out, from[0]);
    pn_buffer_addf(out, " ");
    paper_add_px(out, from[1]);
    pn_buffer_addf(out, "L");
    paper_add_px(out, to[0]);
    pn_buffer_addf(out, " ");
    paper_add_px(out, to[1]);
    pn_buffer_addf(out, "\"/>\n");
}

void paper_draw_date_rules(const paper_sheet *sheet, const paper_frame *frame) {
    bool years_only = labels_of(sheet) == YEARS;
    int32_t day = month_start(sheet->opts->first_epoch_day, 1);
    for (; day <= last_day(sheet); day = month_start(day, 1)) {
        bool january = pn_date_from_epoch_day(day).month == 1;
        if (january || !years_only) {
            double x = x_of_start(sheet, day);
            add_rule(sheet->out, january ? "y" : "g", (double[]){x, frame->top},
                     (double[]){x, frame->bottom});
        }
    }
}

static void add_month(const paper_sheet *sheet, paper_label label, int month,
                      date_labels labels) {
    const char *name = pn_month_name(month);
    paper_label_begin(sheet->out, label);
    pn_buffer_add(sheet->out, (pn_text){name, labels == INITIALS ? 1 : 3});
    paper_label_end(sheet->out);
}

static void draw_months(const paper_sheet *sheet, double y,
                        date_labels labels) {
    int32_t end = last_day(sheet) + 1;
    double needs = (labels == INITIALS ? 0.9 : 2.0) * sheet->type_px;
    for (int32_t day = sheet->opts->first_epoch_day; day < end;) {
        int32_t next = month_start(day, 1);
        double from = x_of_start(sheet, day);
        double to = x_of_start(sheet, next < end ? next : end);
        if (to - from >= needs) {
            paper_label label = {0.5 * (from + to), y, "a", "middle"};
            add_month(sheet, label, pn_date_from_epoch_day(day).month, labels);
        }
        day = next;
    }
}

static void draw_weeks(const paper_sheet *sheet, double y) {
    for (int32_t day = sheet->opts->first_epoch_day; day <= last_day(sheet);
         day++) {
        pn_date date = pn_date_from_epoch_day(day);
        double x = x_of_start(sheet, day) + 0.5 * sheet->px_per_day;
        bool wanted = date.day % DAYS_IN_WEEK == 1 && date.day < 29;
        bool inside = x < sheet->right - sheet->type_px;
        if (wanted && inside) {
            paper_label_begin(sheet->out, (paper_label){x, y, "a", "middle"});
            pn_buffer_addf(sheet->out, "%d %s", date.day,
                           pn_month_name(date.month));
            paper_label_end(sheet->out);
        }
    }
}

static void draw_years(const paper_sheet *sheet, double y) {
    int32_t end = last_day(sheet) + 1;
    for (int32_t day = sheet->opts->first_epoch_day; day < end;) {
        int32_t next = year_start(day, 1);
        double from = x_of_start(sheet, day);
        double to = x_of_start(sheet, next < end ? next : end);
        if (to - from >= 2.4 * sheet->type_px) {
            paper_label_begin(sheet->out, (paper_label){0.5 * (from + to), y,
                                                        "a n", "middle"});
            pn_buffer_addf(sheet->out, "%d", pn_date_from_epoch_day(day).year);
            paper_label_end(sheet->out);
        }
        day = next;
    }
}

double paper_date_labels_px(const paper_sheet *sheet) {
    return (labels_of(sheet) == YEARS ? 1.6 : 3.0) * sheet->type_px;
}

void paper_draw_date_labels(const paper_sheet *sheet, double y) {
    date_labels labels = labels_of(sheet);
    double first_line = y + 1.35 * sheet->type_px;
    if (labels == WEEKS) {
        draw_weeks(sheet, first_line);
    } else if (labels != YEARS) {
        draw_months(sheet, first_line, labels);
    }
    draw_years(sheet, labels == YEARS ? first_line
                                      : first_line + 1.4 * sheet->type_px);
}

static void draw_ticks(const paper_sheet *sheet, const paper_frame *frame,
                       const paper_scale *scale, paper_label label) {
    double height = frame->bottom - frame->top;
    for (int i = 0; i <= scale->intervals; i++) {
        label.y = frame->bottom - height * i / scale->intervals +
                  0.35 * sheet->type_px;
        paper_label_begin(sheet->out, label);
        paper_add_tick(sheet->out, scale, i, false);
        paper_label_end(sheet->out);
    }
}

void paper_draw_value_axes(const paper_sheet *sheet, const paper_frame *frame) {
    const paper_scale *scale = frame->has_left ? &frame->left : &frame->right;
    double height = frame->bottom - frame->top;
    for (int i = 1; !frame->empty && i <= scale->intervals; i++) {
        double y = frame->bottom - height * i / scale->intervals;
        bool is_zero = fabs(scale->low + i * scale->step) < 0.5 * scale->step;
        add_rule(sheet->out, is_zero ? "y" : "g", (double[]){sheet->left, y},
                 (double[]){sheet->right, y});
    }
    add_rule(sheet->out, "x", (double[]){sheet->left, frame->bottom},
             (double[]){sheet->right, frame->bottom});
    if (frame->has_left) {
        draw_ticks(
            sheet, frame, &frame->left,
            (paper_label){sheet->left - 0.6 * sheet->type_px, 0.0, "a", "end"});
    }
    if (frame->has_right) {
        draw_ticks(sheet, frame, &frame->right,
                   (paper_label){sheet->right + 0.6 * sheet->type_px, 0.0, "a",
                                 "start"});
    }
}
