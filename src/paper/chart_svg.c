/* A line chart over dates as one SVG document: checked, measured, drawn. */
#include "paper_internal.h"

#include <math.h>

enum {
    DAYS_MAX = 11000,
    WIDTH_MIN_PX = 300,
    WIDTH_MAX_PX = 1600,
    NARROW_PX = 560,
    FIRST_DAY_MIN = -141000, /* the year 1584 */
    FIRST_DAY_MAX = 2890000  /* the year 9882 */
};
static const double value_max = 1e12;

/* ---- the caller's mistakes --------------------------------------------- */

static bool is_too_large(const double *values, size_t count) {
    for (size_t i = 0; i < count; i++) {
        if (isfinite(values[i]) && fabs(values[i]) > value_max) {
            return true;
        }
    }
    return false;
}

static pn_status check_series(const pn_paper_chart_opts *opts,
                              const pn_paper_panel *panel, pn_error *err) {
    unsigned lines_seen = 0;
    for (size_t i = 0; i < panel->series_count; i++) {
        const pn_paper_series *series = &panel->series[i];
        if ((unsigned)series->line >= PN_PAPER_LINE_COUNT ||
            (unsigned)series->ink >= PN_PAPER_INK_COUNT) {
            return pn_fail(err, PN_EDOMAIN, "series '%s': no such line or ink",
                           series->name);
        }
        unsigned bit = 1U << (unsigned)series->line;
        if ((lines_seen & bit) != 0) {
            return pn_fail(err, PN_EDOMAIN,
                           "series '%s': give each series of a panel a line "
                           "of its own",
                           series->name);
        }
        lines_seen |= bit;
        if (is_too_large(series->value, opts->day_count)) {
            return pn_fail(err, PN_EDOMAIN, "series '%s': a value beyond 1e12",
                           series->name);
        }
    }
    return PN_OK;
}

static pn_status check_panel(const pn_paper_chart_opts *opts,
                             const pn_paper_panel *panel, pn_error *err) {
    if (panel->series_count > PN_PAPER_SERIES_MAX) {
        return pn_fail(err, PN_EDOMAIN, "a panel of %zu series: at most %d",
                       panel->series_count, PN_PAPER_SERIES_MAX);
    }
    if (!(panel->height >= 0.0 && panel->height <= 10.0)) {
        return pn_fail(err, PN_EDOMAIN, "panel height %g: expected 0..10",
                       panel->height);
    }
    const pn_paper_band *band = panel->band;
    if (band != NULL && ((unsigned)band->ink >= PN_PAPER_INK_COUNT ||
                         is_too_large(band->low, opts->day_count) ||
                         is_too_large(band->high, opts->day_count))) {
        return pn_fail(err, PN_EDOMAIN,
                       "band '%s': no such ink, or a value beyond 1e12",
                       band->name);
    }
    for (size_t i = 0; i < panel->mark_count; i++) {
        if (is_too_large(&panel->marks[i].value, 1)) {
            return pn_fail(err, PN_EDOMAIN, "a mark's value beyond 1e12");
        }
    }
    if (is_too_large(&panel->low, 1) || is_too_large(&panel->high, 1)) {
        return pn_fail(err, PN_EDOMAIN, "an axis limit beyond 1e12");
    }
    return check_series(opts, panel, err);
}

static pn_status check(const pn_paper_chart_opts *opts, pn_error *err) {
    if (opts->day_count < 2 || opts->day_count > DAYS_MAX) {
        return pn_fail(err, PN_EDOMAIN, "a chart of %zu days: expected 2..%d",
                       opts->day_count, DAYS_MAX);
    }
    if (opts->first_epoch_day < FIRST_DAY_MIN ||
        opts->first_epoch_day > FIRST_DAY_MAX) {
        return pn_fail(err, PN_EDOMAIN, "a chart from day %d: expected %d..%d",
                       (int)opts->first_epoch_day, FIRST_DAY_MIN,
                       FIRST_DAY_MAX);
    }
    if (opts->panel_count < 1 || opts->panel_count > PN_PAPER_PANELS_MAX) {
        return pn_fail(err, PN_EDOMAIN, "a chart of %zu panels: expected 1..%d",
                       opts->panel_count, PN_PAPER_PANELS_MAX);
    }
    if (opts->width_px < WIDTH_MIN_PX || opts->width_px > WIDTH_MAX_PX) {
        return pn_fail(err, PN_EDOMAIN, "a chart %d px wide: expected %d..%d",
                       opts->width_px, WIDTH_MIN_PX, WIDTH_MAX_PX);
    }
    for (size_t i = 0; i < opts->panel_count; i++) {
        pn_status status = check_panel(opts, &opts->panels[i], err);
        if (status != PN_OK) {
            return status;
        }
    }
    return PN_OK;
}

/* ---- measuring --------------------------------------------------------- */

static bool has_right_axis(const pn_paper_chart_opts *opts) {
    for (size_t i = 0; i < opts->panel_count; i++) {
        for (size_t s = 0; s < opts->panels[i].series_count; s++) {
            if (opts->panels[i].series[s].on_right) {
                return true;
            }
        }
    }
    return false;
}

static paper_sheet lay_sheet(const pn_paper_chart_opts *opts, pn_buffer *out) {
    paper_sheet sheet = {.opts = opts, .out = out};
    sheet.narrow = opts->width_px < NARROW_PX;
    sheet.type_px = sheet.narrow ? 12.0 : 14.0;
    double plain_margin = sheet.narrow ? 16.0 : 36.0;
    sheet.left = sheet.narrow ? 42.0 : 72.0;
    sheet.right =
        opts->width_px - (has_right_axis(opts) ? sheet.left : plain_margin);
    sheet.px_per_day = (sheet.right - sheet.left) / (double)opts->day_count;
    return sheet;
}

static paper_range range_of(const pn_paper_panel *panel, size_t days,
                            bool right) {
    paper_range range = paper_range_empty();
    for (size_t i = 0; i < panel->series_count; i++) {
        const pn_paper_series *series = &panel->series[i];
        if (series->on_right == right) {
            paper_range_take_all(&range, series->value, days);
            paper_range_take(&range, series->line == PN_PAPER_BARS ? 0.0 : NAN);
        }
    }
    if (right) {
        return range;
    }
    if (panel->band != NULL) {
        paper_range_take_all(&range, panel->band->low, days);
        paper_range_take_all(&range, panel->band->high, days);
    }
    for (size_t i = 0; i < panel->mark_count; i++) {
        paper_range_take(&range, panel->marks[i].value);
    }
    paper_range_take(&range, panel->from_zero ? 0.0 : NAN);
    if (panel->low < panel->high) {
        paper_range_take(&range, panel->low);
        paper_range_take(&range, panel->high);
    }
    return range;
}

static paper_frame lay_axes(const paper_sheet *sheet,
                            const pn_paper_panel *panel) {
    paper_frame frame = {.panel = panel};
    size_t days = sheet->opts->day_count;
    paper_range left = range_of(panel, days, false);
    paper_range right = range_of(panel, days, true);
    frame.has_left = !paper_range_is_empty(&left);
    frame.has_right = !paper_range_is_empty(&right);
    frame.empty = !frame.has_left && !frame.has_right;
    int intervals = sheet->narrow ? 3 : 4;
    if (frame.has_left) {
        frame.left = paper_scale_for(left.low, left.high, intervals);
        intervals = frame.left.intervals;
    }
    if (frame.has_right) {
        frame.right = frame.has_left
                          ? paper_scale_with(right.low, right.high, intervals)
                          : paper_scale_for(right.low, right.high, intervals);
    }
    return frame;
}

static double plot_height_px(const paper_sheet *sheet,
                             const pn_paper_panel *panel) {
    bool alone = sheet->opts->panel_count == 1;
    double share = panel->height > 0.0 ? panel->height : 1.0;
    double height = sheet->narrow ? 132.0 : 168.0;
    return share * height * (alone ? 1.7 : 1.0);
}

/* ---- drawing ----------------------------------------------------------- */

/* Inks on paper keep at least 4.5:1, the rules are meant to be faint. */
static const char style_light[] =
    ".pn{font-family:Georgia,'Iowan Old Style','Palatino Linotype',Palatino,"
    "'Book Antiqua',serif}\n"
    ".p{fill:#fbf7ec}.o{fill:none;stroke:#cfc5ad}\n"
    "text{fill:#2a2822}.h{font-weight:bold}.u,.a{fill:#5d5646}\n"
    ".u{font-style:italic}.w{font-weight:normal}.n{letter-spacing:.08em}\n"
    ".g{fill:none;stroke:#e4dcc7}.y{fill:none;stroke:#bdb297}\n"
    ".x{fill:none;stroke:#5d5646}\n"
    ".d{fill:none;stroke:#2a2822;stroke-width:1.2;stroke-dasharray:2 3}\n"
    ".k0{stroke:#2a2822}.k1{stroke:#4c6a2c}.k2{stroke:#a2431b}\n"
    ".k3{stroke:#3f5f80}.k4{stroke:#8a6108}.k5{stroke:#704063}\n"
    ".f0{fill:#2a2822}.f1{fill:#4c6a2c}.f2{fill:#a2431b}\n"
    ".f3{fill:#3f5f80}.f4{fill:#8a6108}.f5{fill:#704063}\n"
    ".s{fill-opacity:.2}\n"
    ".l0,.l1,.l2,.l3,.l4{fill:none;stroke-width:1.9;stroke-linejoin:round}\n"
    ".l0{stroke-linecap:round}.l1{stroke-dasharray:6 4}\n"
    ".l2{stroke-dasharray:0 4.2;stroke-linecap:round;stroke-width:2.3}\n"
    ".l3{stroke-dasharray:8 3 2 3}.l4{stroke-dasharray:14 5}\n"
    ".q .l0,.q .l1,.q .l3,.q .l4{stroke-width:1.4}.q .l2{stroke-width:1.7}\n"
    ".b{fill:none}.mf{fill:#a2431b;stroke:#fbf7ec;stroke-width:1.2}\n"
    ".mh{fill:#fbf7ec;stroke:#2a2822;stroke-width:1.6}\n";

static const char style_dark[] =
    "@media (prefers-color-scheme:dark){\n"
    ".p{fill:#1c1b17}.o{stroke:#4a463b}\n"
    "text{fill:#ece5d2}.u,.a{fill:#b9b19b}\n"
    ".g{stroke:#34312a}.y{stroke:#5b5647}.x{stroke:#b9b19b}\n"
    ".d{stroke:#ece5d2}\n"
    ".k0{stroke:#ece5d2}.k1{stroke:#a6c27c}.k2{stroke:#e58f63}\n"
    ".k3{stroke:#94b6d4}.k4{stroke:#dcb659}.k5{stroke:#cf9fc1}\n"
    ".f0{fill:#ece5d2}.f1{fill:#a6c27c}.f2{fill:#e58f63}\n"
    ".f3{fill:#94b6d4}.f4{fill:#dcb659}.f5{fill:#cf9fc1}\n"
    ".mf{fill:#e58f63;stroke:#1c1b17}.mh{fill:#1c1b17;stroke:#ece5d2}\n"
    "}\n";

static void add_description(const paper_sheet *sheet) {
    const pn_paper_chart_opts *opts = sheet->opts;
    int32_t last = opts->first_epoch_day + (int32_t)opts->day_count - 1;
    char from[PN_DATE_ISO_SIZE];
    char to[PN_DATE_ISO_SIZE];
    pn_buffer_addf(sheet->out, "<title>");
    paper_add_xml_string(sheet->out, opts->title);
    pn_buffer_addf(sheet->out, "</title>\n<desc>");
    if (opts->description != NULL) {
        paper_add_xml_string(sheet->out, opts->description);
        pn_buffer_addf(sheet->out, " ");
    }
    pn_buffer_addf(sheet->out, "From %s to %s.</desc>\n",
                   pn_date_iso(opts->first_epoch_day, from),
                   pn_date_iso(last, to));
}

static void add_head(const paper_sheet *sheet, double height) {
    int width = sheet->opts->width_px;
    pn_buffer_addf(sheet->out,
                   "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" "
                   "class=\"pn%s\" viewBox=\"0 0 %d %d\" width=\"%d\" "
                   "height=\"%d\" font-size=\"%d\">\n",
                   sheet->px_per_day < 1.4 ? " q" : "", width, (int)height,
                   width, (int)height, (int)sheet->type_px);
    add_description(sheet);
    pn_buffer_addf(sheet->out, "<style>\n%s%s</style>\n", style_light,
                   style_dark);
    pn_buffer_addf(sheet->out,
                   "<rect class=\"p\" width=\"%d\" height=\"%d\"/>\n", width,
                   (int)height);
    pn_buffer_addf(sheet->out,
                   "<rect class=\"o\" x=\"6.5\" y=\"6.5\" width=\"%d\" "
                   "height=\"%d\"/>\n",
                   width - 13, (int)height - 13);
}

static size_t columns_for(const paper_sheet *sheet, double x, double type_px) {
    double room = sheet->opts->width_px - x - (sheet->narrow ? 14.0 : 30.0);
    return (size_t)fmax(room / (PAPER_EM_PER_LETTER * type_px), 8.0);
}

/* Title and subtitle; with draw false only measured. Returns the y below. */
static double draw_heading(const paper_sheet *sheet, bool draw) {
    const pn_paper_chart_opts *opts = sheet->opts;
    pn_buffer *out = draw ? sheet->out : NULL;
    double x = sheet->narrow ? 18.0 : 36.0;
    double title_px = sheet->narrow ? 18.0 : 25.0;
    paper_label label = {x, sheet->narrow ? 36.0 : 54.0, "h", "start"};
    if (draw) {
        pn_buffer_addf(out, "<g font-size=\"%d\">\n", (int)title_px);
    }
    /* 1.12: bold letters are wider */
    label.y = paper_add_paragraph(out, label, opts->title,
                                  columns_for(sheet, x, 1.12 * title_px),
                                  1.2 * title_px);
    if (draw) {
        pn_buffer_addf(out, "</g>\n");
    }
    label.css = "u";
    label.y += sheet->narrow ? -3.0 : -5.0;
    if (opts->subtitle != NULL) {
        label.y = paper_add_paragraph(out, label, opts->subtitle,
                                      columns_for(sheet, x, sheet->type_px),
                                      1.4 * sheet->type_px);
    }
    return label.y;
}

static const char *or_empty(const char *text) {
    return text != NULL ? text : "";
}

/* Title and unit from the left; the right-hand unit at the right, on the
 * same line if there is room. Returns the y of the last line. */
static double draw_panel_title(const paper_sheet *sheet,
                               const paper_frame *frame, double y, bool draw) {
    pn_buffer *out = sheet->out;
    const pn_paper_panel *panel = frame->panel;
    if (draw) {
        paper_label_begin(out, (paper_label){sheet->left, y, "h", "start"});
        paper_add_xml_string(out, or_empty(panel->title));
        pn_buffer_addf(out, "<tspan class=\"u w\">%s",
                       panel->title != NULL && panel->unit != NULL ? ", " : "");
        paper_add_xml_string(out, or_empty(panel->unit));
        pn_buffer_addf(out, "</tspan>");
        paper_label_end(out);
    }
    if (panel->unit_right == NULL || !frame->has_right) {
        return y;
    }
    double em = sheet->type_px;
    double used = paper_words_px(or_empty(panel->title), 1.1 * em) +
                  paper_words_px(or_empty(panel->unit), em) +
                  paper_words_px(panel->unit_right, em) + 3.0 * em;
    y += used > sheet->right - sheet->left ? 1.4 * em : 0.0;
    if (draw) {
        paper_label_begin(out, (paper_label){sheet->right, y, "u", "end"});
        paper_add_xml_string(out, panel->unit_right);
        paper_label_end(out);
    }
    return y;
}

/* ---- today ------------------------------------------------------------- */

static bool shows_today(const pn_paper_chart_opts *opts) {
    int64_t day = (int64_t)opts->today_epoch_day - opts->first_epoch_day;
    return opts->has_today && day >= 0 && day < (int64_t)opts->day_count;
}

static double today_x(const paper_sheet *sheet) {
    double day = sheet->opts->today_epoch_day - sheet->opts->first_epoch_day;
    return sheet->left + (day + 0.5) * sheet->px_per_day;
}

static void draw_today(const paper_sheet *sheet, const paper_frame *frame) {
    if (!shows_today(sheet->opts)) {
        return;
    }
    pn_buffer_addf(sheet->out, "<path class=\"d\" d=\"M");
    paper_add_px(sheet->out, today_x(sheet));
    pn_buffer_addf(sheet->out, " ");
    paper_add_px(sheet->out, frame->top - 4.0);
    pn_buffer_addf(sheet->out, "V");
    paper_add_px(sheet->out, frame->bottom);
    pn_buffer_addf(sheet->out, "\"/>\n");
}

/* On a line of its own above the first plot, kept inside the sheet. */
static double draw_today_label(const paper_sheet *sheet, double y, bool draw) {
    if (!shows_today(sheet->opts)) {
        return y;
    }
    if (draw) {
        char human[PN_DATE_HUMAN_SIZE];
        pn_date_human(sheet->opts->today_epoch_day, human);
        double half = 0.5 * paper_words_px("today, Mon 14 Sep", sheet->type_px);
        double x =
            fmin(fmax(today_x(sheet), sheet->left + half), sheet->right - half);
        paper_label_begin(sheet->out, (paper_label){x, y, "h", "middle"});
        pn_buffer_addf(sheet->out, "today, %s", human);
        paper_label_end(sheet->out);
    }
    return y + 1.1 * sheet->type_px;
}

/* ---- panels ------------------------------------------------------------ */

static void draw_plot(const paper_sheet *sheet, const paper_frame *frame) {
    paper_draw_date_rules(sheet, frame);
    paper_draw_value_axes(sheet, frame);
    paper_draw_band(sheet, frame);
    draw_today(sheet, frame);
    const pn_paper_panel *panel = frame->panel;
    for (size_t i = panel->series_count; i-- > 0;) {
        paper_draw_series(sheet, frame, &panel->series[i]);
    }
    if (frame->has_left) {
        paper_draw_marks(sheet, frame);
    }
    if (frame->empty) {
        paper_label_begin(sheet->out,
                          (paper_label){0.5 * (sheet->left + sheet->right),
                                        0.5 * (frame->top + frame->bottom), "u",
                                        "middle"});
        pn_buffer_addf(sheet->out, "nothing recorded");
        paper_label_end(sheet->out);
    }
}

/* One panel from y on; returns the y of its foot. */
static double draw_panel(const paper_sheet *sheet, const pn_paper_panel *panel,
                         double y, bool draw) {
    paper_frame frame = lay_axes(sheet, panel);
    double em = sheet->type_px;
    if (panel->title != NULL || panel->unit != NULL) {
        y = draw_panel_title(sheet, &frame, y + 1.5 * em, draw);
    }
    y = paper_draw_legend(sheet, panel, y + 1.5 * em, draw);
    if (panel == sheet->opts->panels) {
        y = draw_today_label(sheet, y, draw);
    }
    frame.top = y;
    frame.bottom = y + plot_height_px(sheet, panel);
    if (draw) {
        draw_plot(sheet, &frame);
    }
    return frame.bottom;
}

/* The whole sheet; with draw false it only measures. Returns its height. */
static double draw_sheet(const paper_sheet *sheet, bool draw) {
    const pn_paper_chart_opts *opts = sheet->opts;
    double em = sheet->type_px;
    double y = draw_heading(sheet, draw) - 0.4 * em;
    for (size_t i = 0; i < opts->panel_count; i++) {
        y = draw_panel(sheet, &opts->panels[i], y + (i > 0 ? 1.2 * em : 0.0),
                       draw);
    }
    if (draw) {
        paper_draw_date_labels(sheet, y);
    }
    y += paper_date_labels_px(sheet);
    if (opts->footnote != NULL) {
        double x = sheet->narrow ? 18.0 : 36.0;
        y = paper_add_paragraph(draw ? sheet->out : NULL,
                                (paper_label){x, y + 1.8 * em, "u", "start"},
                                opts->footnote, columns_for(sheet, x, em),
                                1.4 * em) -
            1.4 * em;
    }
    return ceil(y + (sheet->narrow ? 22.0 : 30.0));
}

pn_status pn_paper_line_chart_svg(const pn_paper_chart_opts *opts,
                                  pn_buffer *buffer, pn_error *err) {
    pn_status status = check(opts, err);
    if (status != PN_OK) {
        return status;
    }
    size_t start = buffer->len;
    paper_sheet sheet = lay_sheet(opts, buffer);
    double height = draw_sheet(&sheet, false);
    add_head(&sheet, height);
    draw_sheet(&sheet, true);
    pn_buffer_addf(buffer, "</svg>\n");
    status = pn_buffer_status(buffer, err);
    if (status != PN_OK) {
        paper_drop_since(buffer, start);
    }
    return status;
}
