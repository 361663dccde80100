/** @file paper_internal.h
 * What the writers of this folder share: clean text, wrapped lines, round
 * axis limits, and the sheet an SVG chart is laid out on.
 */
#ifndef PN_PAPER_INTERNAL_H
#define PN_PAPER_INTERNAL_H

#include "pannage/paper.h"

/* ---- text -------------------------------------------------------------- */

/** Adds the text with U+FFFD for every control character and every byte that
 *  is not UTF-8, so that each code point of the result is one column. */
void paper_add_clean(pn_buffer *buffer, pn_text text);
/** As paper_add_clean(), with & < > " escaped. */
void paper_add_xml(pn_buffer *buffer, pn_text text);
void paper_add_xml_string(pn_buffer *buffer, const char *text);
/** count copies of one string. */
void paper_add_times(pn_buffer *buffer, const char *text, size_t count);
/** Columns of the text as paper_add_clean() prints it. */
size_t paper_columns(pn_text text);
/** The longest head of at most `columns` columns. */
pn_text paper_head(pn_text text, size_t columns);
/** Takes one line of at most `columns` (>= 1) off *rest, breaking at blanks;
 *  a word longer than the line is broken anywhere. */
pn_text paper_take_line(pn_text *rest, size_t columns);
/** Cuts off the trailing blanks of what was added since `start`. */
void paper_trim_line(pn_buffer *buffer, size_t start);
/** Removes everything added since `start`. */
void paper_drop_since(pn_buffer *buffer, size_t start);

/* ---- axes -------------------------------------------------------------- */

/** Limits and step that are round: 1, 2, 2.5 or 5 times a power of ten. */
typedef struct paper_scale {
    double low;
    double step;
    int intervals; /**< high = low + intervals * step */
    int decimals;  /**< digits that show every tick apart */
} paper_scale;

/** low <= high, both within +-1e12; about `wanted` intervals. */
paper_scale paper_scale_for(double low, double high, int wanted);
/** With exactly this many intervals (>= 2), to share the rules of another axis.
 */
paper_scale paper_scale_with(double low, double high, int intervals);
double paper_scale_high(const paper_scale *scale);
/** Adds the label of tick i (0 .. intervals), with a real minus sign unless
 *  ascii. */
void paper_add_tick(pn_buffer *buffer, const paper_scale *scale, int tick,
                    bool ascii);

/** Smallest and largest finite value met; low > high while empty. */
typedef struct paper_range {
    double low, high;
} paper_range;

paper_range paper_range_empty(void);
void paper_range_take(paper_range *range, double value);
void paper_range_take_all(paper_range *range, const double *values,
                          size_t count);
bool paper_range_is_empty(const paper_range *range);

/* ---- the sheet of an SVG chart ----------------------------------------- */

typedef struct paper_sheet {
    const pn_paper_chart_opts *opts;
    pn_buffer *out;
    double left, right; /**< plot area, px */
    double px_per_day;
    bool narrow; /**< laid out for a phone */
    double type_px;
} paper_sheet;

typedef struct paper_frame {
    const pn_paper_panel *panel;
    double top, bottom; /**< plot area, px */
    paper_scale left, right;
    bool has_left, has_right, empty;
} paper_frame;

/** Width of an average letter; measured on the widest serif face in common
 *  use, so that no line runs over. */
#define PAPER_EM_PER_LETTER 0.56

/** A coordinate in px with at most one decimal, whatever the locale. */
void paper_add_px(pn_buffer *out, double px);
/** ` name="px"` */
void paper_add_attr(pn_buffer *out, const char *name, double px);

typedef struct paper_label {
    double x, y;
    const char *css;    /**< class names */
    const char *anchor; /**< "start", "middle", "end" */
} paper_label;

/** Opens <text ...>; paper_label_end() closes it. */
void paper_label_begin(pn_buffer *out, paper_label label);
void paper_label_end(pn_buffer *out);
/** About the width of a line of serif type; errs on the wide side. */
double paper_words_px(const char *words, double type_px);
/** A paragraph in lines; returns the y after its last line. With out NULL it
 *  only measures. */
double paper_add_paragraph(pn_buffer *out, paper_label label, const char *text,
                           size_t columns, double line_px);

/** Rules and labels of the value axes of one panel. */
void paper_draw_value_axes(const paper_sheet *sheet, const paper_frame *frame);
/** Month or year rules behind one panel. */
void paper_draw_date_rules(const paper_sheet *sheet, const paper_frame *frame);
/** Labels under the last panel. */
void paper_draw_date_labels(const paper_sheet *sheet, double y);
double paper_date_labels_px(const paper_sheet *sheet);

void paper_draw_band(const paper_sheet *sheet, const paper_frame *frame);
void paper_draw_series(const paper_sheet *sheet, const paper_frame *frame,
                       const pn_paper_series *series);
void paper_draw_marks(const paper_sheet *sheet, const paper_frame *frame);

/** Draws the legend from y on, or only measures (draw false); returns the y
 *  after it. */
double paper_draw_legend(const paper_sheet *sheet, const pn_paper_panel *panel,
                         double y, bool draw);

#endif
