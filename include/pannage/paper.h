/** @file paper.h
 * What leaves the program to be looked at: charts as SVG text, the season on
 * a terminal, and tables whose columns line up. Pure functions: they write
 * into a buffer that grows; they open nothing and print nothing.
 *
 * All strings are NUL-terminated UTF-8. Control characters and bytes that are
 * not UTF-8 come out as U+FFFD, so no input can break the XML or send a
 * command to a terminal. Dates are days since 1970-01-01 (base.h).
 */
#ifndef PN_PAPER_H
#define PN_PAPER_H

#include "pannage/base.h"

/* ---- text that grows --------------------------------------------------- */

/** Text that grows on the heap; always NUL-terminated once something was
 *  added. When memory is out, everything added later is dropped and `failed`
 *  stays set, so a writer checks once, at the end. */
typedef struct pn_buffer {
    pn_alloc alloc;
    char *text; /**< NULL while empty; pn_buffer_text() is never NULL */
    size_t len;
    size_t cap;
    bool failed;
} pn_buffer;

/** Empty; takes no memory yet. The caller ends it with pn_buffer_deinit(). */
void pn_buffer_init(pn_buffer *buffer, const pn_alloc *alloc);
/** Frees the text; the buffer is empty and usable again. */
void pn_buffer_deinit(pn_buffer *buffer);
/** Forgets the text, keeps the memory. */
void pn_buffer_clear(pn_buffer *buffer);
/** The bytes as they are. */
void pn_buffer_add(pn_buffer *buffer, pn_text text);
void pn_buffer_addf(pn_buffer *buffer, const char *fmt, ...) PN_PRINTF(2, 3);
/** Borrowed until the buffer changes; "" while it is empty. */
const char *pn_buffer_text(const pn_buffer *buffer);
/** @return PN_OK, or PN_ENOMEM if anything was dropped */
PN_MUST_CHECK pn_status pn_buffer_status(const pn_buffer *buffer,
                                         pn_error *err);

/* ---- line charts over dates, as SVG ------------------------------------ */

/** The almanac's printing inks; each has a light and a dark form. */
typedef enum pn_paper_ink {
    PN_PAPER_INK,
    PN_PAPER_MOSS,
    PN_PAPER_RUST,
    PN_PAPER_SLATE,
    PN_PAPER_OCHRE,
    PN_PAPER_PLUM,
    PN_PAPER_INK_COUNT
} pn_paper_ink;

/** How a series is drawn. Two series of one panel never share a line, so
 *  that a chart reads without colour. */
typedef enum pn_paper_line {
    PN_PAPER_SOLID,
    PN_PAPER_DASHED,
    PN_PAPER_DOTTED,
    PN_PAPER_DASH_DOT,
    PN_PAPER_LONG_DASH,
    PN_PAPER_BARS, /**< one bar a day, up from 0 */
    PN_PAPER_LINE_COUNT
} pn_paper_line;

/** One value a day of the chart; NaN leaves a gap. */
typedef struct pn_paper_series {
    const char *name;
    const double *value; /**< day_count of the chart */
    pn_paper_ink ink;
    pn_paper_line line;
    bool on_right; /**< measured on the right-hand axis */
} pn_paper_series;

/** A shaded range, behind the lines; NaN in either leaves a gap. */
typedef struct pn_paper_band {
    const char *name;
    const double *low;  /**< day_count of the chart */
    const double *high; /**< day_count of the chart */
    pn_paper_ink ink;
} pn_paper_band;

/** One thing that happened on a day: something found (filled) or a visit
 *  that found nothing (hollow). value NaN puts it on the foot of the panel.
 *  Days outside the chart are not drawn. */
typedef struct pn_paper_mark {
    int32_t epoch_day;
    double value;
    bool filled;
} pn_paper_mark;

enum { PN_PAPER_SERIES_MAX = 6, PN_PAPER_PANELS_MAX = 6 };

/** One chart of the stack. */
typedef struct pn_paper_panel {
    const char *title;      /**< "Soil at 10 cm and air"; NULL for none */
    const char *unit;       /**< left axis: "kg", "°C"; NULL for none */
    const char *unit_right; /**< right axis; used if a series is on_right */
    const pn_paper_series *series;
    size_t series_count;       /**< 0 .. PN_PAPER_SERIES_MAX */
    const pn_paper_band *band; /**< on the left axis; NULL for none */
    const pn_paper_mark *marks;
    size_t mark_count;
    const char *mark_filled_name; /**< legend; NULL: "found" */
    const char *mark_hollow_name; /**< legend; NULL: "visit, nothing found" */
    bool from_zero;               /**< the left axis shows 0 */
    double low, high;             /**< left axis at least this wide; 0, 0: as
                                       the values need */
    double height;                /**< share of the height; 0 means 1 */
} pn_paper_panel;

typedef struct pn_paper_chart_opts {
    const char *title;
    const char *subtitle; /**< NULL for none */
    /** One or two sentences saying what the chart shows, for a person who
     *  cannot see it; becomes <desc>. NULL: title and dates only. */
    const char *description;
    const char *footnote; /**< NULL for none; wraps */
    int32_t first_epoch_day;
    size_t day_count; /**< 2 .. 11000 (30 years) */
    const pn_paper_panel *panels;
    size_t panel_count; /**< 1 .. PN_PAPER_PANELS_MAX */
    bool has_today;
    int32_t today_epoch_day; /**< a rule labelled "today" */
    int width_px;            /**< 300 .. 1600; type and margins are laid out
                                  for it: 900 for a page, 360 for a phone */
} pn_paper_chart_opts;

#define PN_PAPER_CHART_OPTS_INIT                                               \
    { .width_px = 900 }

/** Add a complete, well-formed SVG document: title and description for screen
 *  readers, light and dark by the reader's own setting, no script, nothing
 *  fetched. Same input, same bytes. Records longer than the chart is wide are
 *  drawn as the lowest and highest value of each pixel column.
 *  @return PN_OK, PN_EDOMAIN (a count or width outside its range, a value
 *          beyond 1e12, two series of a panel with the same line),
 *          PN_ENOMEM. On failure the buffer holds what it held before. */
PN_MUST_CHECK pn_status pn_paper_line_chart_svg(const pn_paper_chart_opts *opts,
                                                pn_buffer *buffer,
                                                pn_error *err);

/* ---- the season at a patch, on a terminal ------------------------------ */

typedef struct pn_paper_season_opts {
    const char *title;
    const char *unit; /**< of the values: "kg a visit"; may be NULL */
    int32_t first_epoch_day;
    size_t day_count;           /**< 2 .. 1100 */
    const double *expected;     /**< day_count values; NaN leaves a gap */
    const double *low;          /**< NULL (with high): no band */
    const double *high;         /**< NULL (with low): no band */
    const char *expected_name;  /**< legend; NULL: "expected" */
    const char *band_name;      /**< legend; NULL: "80 % range" */
    const pn_paper_mark *marks; /**< value is not used */
    size_t mark_count;
    bool has_today;
    int32_t today_epoch_day;
    int columns; /**< 40 .. 200; no line is wider */
    int rows;    /**< 4 .. 40, height of the plot itself */
    bool ascii;  /**< drawn with 7-bit characters; names stay as given */
    bool colour; /**< ANSI colours, on top of shapes, never instead */
} pn_paper_season_opts;

#define PN_PAPER_SEASON_OPTS_INIT                                              \
    { .columns = 80, .rows = 9 }

/** Add the chart: title, plot with band and line, a row of visits, a month
 *  ruler, and the legend. Every line ends in '\n'; none has trailing blanks.
 *  @return PN_OK, PN_EDOMAIN (counts or sizes outside their range),
 *          PN_ENOMEM. On failure the buffer holds what it held before. */
PN_MUST_CHECK pn_status pn_paper_season_terminal(
    const pn_paper_season_opts *opts, pn_buffer *buffer, pn_error *err);

/* ---- tables ------------------------------------------------------------ */

typedef enum pn_paper_align { PN_PAPER_LEFT, PN_PAPER_RIGHT } pn_paper_align;

typedef struct pn_paper_column {
    const char *header;
    pn_paper_align align;
} pn_paper_column;

enum { PN_PAPER_COLUMNS_MAX = 24 };

typedef struct pn_paper_table_opts {
    const pn_paper_column *columns;
    size_t column_count;      /**< 1 .. PN_PAPER_COLUMNS_MAX */
    const char *const *cells; /**< row after row; NULL is an empty cell */
    size_t row_count;
    size_t width;     /**< no line is wider, by the last column giving way (but
                           it keeps 12 columns); 0: as wide as it needs */
    size_t indent;    /**< blanks before every line */
    bool wrap;        /**< the last column wraps at blanks; else it is cut and
                           ends in an ellipsis */
    bool ascii;       /**< rule and ellipsis in 7-bit characters */
    bool bold_header; /**< ANSI bold: only for a terminal */
    bool no_header;
} pn_paper_table_opts;

/** Add a header, a rule and the rows, two blanks between columns. Every line
 *  ends in '\n'; none has trailing blanks.
 *  @return PN_OK, PN_EDOMAIN (column_count), PN_ENOMEM. On failure the buffer
 *          holds what it held before. */
PN_MUST_CHECK pn_status pn_paper_table(const pn_paper_table_opts *opts,
                                       pn_buffer *buffer, pn_error *err);

#endif
