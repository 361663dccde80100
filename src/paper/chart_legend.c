/* The legend of a panel: a sample of each line, and its name. */
#include "paper_internal.h"

#include <string.h>

/* A place in the running lines of the legend. */
typedef struct legend {
    const paper_sheet *sheet;
    double x, y;
    bool draw;
} legend;

static const double sample_px = 30.0;
static const double mark_px = 12.0;

/* Moves to where the next entry starts, on a new line if it must; returns
 * false when nothing is to be drawn. */
static bool place(legend *at, const char *name, double sample, double *x) {
    const paper_sheet *sheet = at->sheet;
    double needs = sample + 6.0 + paper_words_px(name, sheet->type_px);
    bool is_first = at->x <= sheet->left;
    if (!is_first && at->x + needs > sheet->right) {
        at->x = sheet->left;
        at->y += 1.5 * sheet->type_px;
    }
    *x = at->x;
    at->x += needs + 1.1 * sheet->type_px;
    return at->draw;
}

static void add_name(const legend *at, const char *name, double x) {
    paper_label_begin(at->sheet->out, (paper_label){x, at->y, "a", "start"});
    paper_add_xml_string(at->sheet->out, name);
    paper_label_end(at->sheet->out);
}

static double middle(const legend *at) {
    return at->y - 0.33 * at->sheet->type_px;
}

static void add_bars_sample(const legend *at, double x, int ink) {
    static const double heights_px[] = {4.0, 9.0, 6.0, 2.0};
    pn_buffer *out = at->sheet->out;
    pn_buffer_addf(out, "<path class=\"k%d b\" stroke-width=\"4\" d=\"", ink);
    for (size_t i = 0; i < sizeof heights_px / sizeof heights_px[0]; i++) {
        pn_buffer_addf(out, "M");
        paper_add_px(out, x + 5.0 + 6.5 * (double)i);
        pn_buffer_addf(out, " ");
        paper_add_px(out, at->y);
        pn_buffer_addf(out, "v-");
        paper_add_px(out, heights_px[i]);
    }
    pn_buffer_addf(out, "\"/>\n");
}

static void add_series(legend *at, const pn_paper_series *series) {
    double x = 0.0;
    if (!place(at, series->name, sample_px, &x)) {
        return;
    }
    pn_buffer *out = at->sheet->out;
    if (series->line == PN_PAPER_BARS) {
        add_bars_sample(at, x, (int)series->ink);
    } else {
        pn_buffer_addf(out, "<path class=\"k%d l%d\" d=\"M", (int)series->ink,
                       (int)series->line);
        paper_add_px(out, x);
        pn_buffer_addf(out, " ");
        paper_add_px(out, middle(at));
        pn_buffer_addf(out, "h");
        paper_add_px(out, sample_px);
        pn_buffer_addf(out, "\"/>\n");
    }
    add_name(at, series->name, x + sample_px + 6.0);
}

static void add_band(legend *at, const pn_paper_band *band) {
    double x = 0.0;
    if (!place(at, band->name, sample_px, &x)) {
        return;
    }
    pn_buffer *out = at->sheet->out;
    pn_buffer_addf(out, "<rect class=\"f%d s\"", (int)band->ink);
    paper_add_attr(out, "x", x);
    paper_add_attr(out, "y", at->y - 0.75 * at->sheet->type_px);
    paper_add_attr(out, "width", sample_px);
    paper_add_attr(out, "height", 0.85 * at->sheet->type_px);
    pn_buffer_addf(out, "/>\n");
    add_name(at, band->name, x + sample_px + 6.0);
}

static void add_mark(legend *at, const char *name, const char *css) {
    double x = 0.0;
    if (!place(at, name, mark_px, &x)) {
        return;
    }
    pn_buffer *out = at->sheet->out;
    pn_buffer_addf(out, "<circle class=\"%s\"", css);
    paper_add_attr(out, "cx", x + 0.5 * mark_px);
    paper_add_attr(out, "cy", middle(at));
    paper_add_attr(out, "r", at->sheet->narrow ? 3.6 : 4.4);
    pn_buffer_addf(out, "/>\n");
    add_name(at, name, x + mark_px + 6.0);
}

/* Is there one to see? */
static bool has_mark(const paper_sheet *sheet, const pn_paper_panel *panel,
                     bool filled) {
    for (size_t i = 0; i < panel->mark_count; i++) {
        int64_t day =
            (int64_t)panel->marks[i].epoch_day - sheet->opts->first_epoch_day;
        bool inside = day >= 0 && day < (int64_t)sheet->opts->day_count;
        if (inside && panel->marks[i].filled == filled) {
            return true;
        }
    }
    return false;
}

double paper_draw_legend(const paper_sheet *sheet, const pn_paper_panel *panel,
                         double y, bool draw) {
    legend at = {sheet, sheet->left, y, draw};
    for (size_t i = 0; i < panel->series_count; i++) {
        add_series(&at, &panel->series[i]);
    }
    if (panel->band != NULL) {
        add_band(&at, panel->band);
    }
    if (has_mark(sheet, panel, true)) {
        add_mark(&at,
                 panel->mark_filled_name != NULL ? panel->mark_filled_name
                                                 : "found",
                 "mf");
    }
    if (has_mark(sheet, panel, false)) {
        add_mark(&at,
                 panel->mark_hollow_name != NULL ? panel->mark_hollow_name
                                                 : "visit, nothing found",
                 "mh");
    }
    bool is_empty = at.x <= sheet->left;
    return is_empty ? y : at.y + 1.5 * sheet->type_px;
}
