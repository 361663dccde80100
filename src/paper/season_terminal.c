/* The season at a patch, drawn with characters.
 *
 * The plot is a grid of cells. The expected line is drawn in braille, two
 * dots across and four down to a cell; cells inside the band and off the line
 * are shaded; what was found on which day stands in a row of its own, so that
 * no mark can hide the line. Seven-bit terminals get one character a cell. */
#include "paper_internal.h"

#include <math.h>

enum {
    DAYS_MAX = 1100,
    COLUMNS_MIN = 40,
    COLUMNS_MAX = 200,
    ROWS_MIN = 4,
    ROWS_MAX = 40,
    DOTS_ACROSS = 2,
    DOTS_DOWN = 4,
    BRAILLE_FIRST = 0x2800
};

typedef struct glyphs {
    const char *band, *today, *axis, *corner, *tick, *month, *found, *blank,
        *line_sample;
} glyphs;

static const glyphs unicode_glyphs = {"\u2591", "\u250A", "\u2500",
                                      "\u2514", "\u2524", "\u252C",
                                      "\u25CF", "\u25CB", "\u2812\u2812"};
static const glyphs ascii_glyphs = {":", "|", "-", "+", "|",
                                    "+", "@", "o", "**"};

typedef struct cell {
    uint8_t dots; /* braille pattern; anything but 0 is "line" in ASCII */
    bool band;
} cell;

typedef struct grid {
    const pn_paper_season_opts *opts;
    pn_buffer *out;
    glyphs glyph;
    paper_scale scale;
    size_t gutter; /* columns left of the plot */
    size_t across, down;
    cell *cells;          /* down rows of across */
    int64_t today_column; /* -1: not shown */
} grid;

/* ---- colour ------------------------------------------------------------ */

typedef enum tint { PLAIN, FAINT, GREEN, RED, BOLD } tint;

static const char *tint_code(tint wanted) {
    static const char *const codes[] = {[PLAIN] = "\033[0m",
                                        [FAINT] = "\033[2m",
                                        [GREEN] = "\033[32m",
                                        [RED] = "\033[31m",
                                        [BOLD] = "\033[1m"};
    return codes[wanted];
}

static void add_tinted(const grid *g, tint wanted, const char *text) {
    bool colour = g->opts->colour && wanted != PLAIN;
    pn_buffer_add(g->out, pn_text_of(colour ? tint_code(wanted) : ""));
    pn_buffer_add(g->out, pn_text_of(text));
    pn_buffer_add(g->out, pn_text_of(colour ? tint_code(PLAIN) : ""));
}

/* ---- the grid ---------------------------------------------------------- */

static cell *cell_at(const grid *g, size_t row, size_t column) {
    return &g->cells[row * g->across + column];
}

/* The days that a half-column (a column of dots) stands for. */
static void days_of(const grid *g, size_t half, size_t *first, size_t *end) {
    size_t halves = g->across * DOTS_ACROSS;
    size_t days = g->opts->day_count;
    *first = half * days / halves;
    *end = (half + 1) * days / halves;
    *end = *end > *first ? *end : *first + 1;
}

static double largest(const grid *g, const double *values, size_t half) {
    size_t first = 0;
    size_t end = 0;
    days_of(g, half, &first, &end);
    paper_range range = paper_range_empty();
    paper_range_take_all(&range, values + first, end - first);
    return paper_range_is_empty(&range) ? NAN : range.high;
}

static double smallest(const grid *g, const double *values, size_t half) {
    size_t first = 0;
    size_t end = 0;
    days_of(g, half, &first, &end);
    paper_range range = paper_range_empty();
    paper_range_take_all(&range, values + first, end - first);
    return paper_range_is_empty(&range) ? NAN : range.low;
}

/* 0 at the foot of the axis, 1 at its top. */
static double share_of(const grid *g, double value) {
    return (value - g->scale.low) / (g->scale.step * g->scale.intervals);
}

/* Row of dots from the top, within the plot. */
static long dot_row(const grid *g, double value) {
    double rows = (double)(g->down * DOTS_DOWN);
    double row = floor((1.0 - share_of(g, value)) * rows);
    return (long)fmin(fmax(row, 0.0), rows - 1.0);
}

static void set_dot(const grid *g, size_t half, size_t row) {
    static const uint8_t bit[DOTS_DOWN][DOTS_ACROSS] = {
        {0x01, 0x08}, {0x02, 0x10}, {0x04, 0x20}, {0x40, 0x80}};
    cell *here = cell_at(g, row / DOTS_DOWN, half / DOTS_ACROSS);
    here->dots =
        (uint8_t)(here->dots | bit[row % DOTS_DOWN][half % DOTS_ACROSS]);
}

/* Upright strokes join the dots of neighbours, so that steep lines hold. */
static void draw_line(const grid *g) {
    long before = -1;
    for (size_t half = 0; half < g->across * DOTS_ACROSS; half++) {
        double value = largest(g, g->opts->expected, half);
        if (!isfinite(value)) {
            before = -1;
            continue;
        }
        long here = dot_row(g, value);
        long from = before < 0 || before == here ? here
                    : before < here              ? before + 1
                                                 : before - 1;
        long low = from < here ? from : here;
        long high = from < here ? here : from;
        for (long row = low; row <= high; row++) {
            set_dot(g, half, (size_t)row);
        }
        before = here;
    }
}

static void draw_band(const grid *g) {
    if (g->opts->low == NULL || g->opts->high == NULL) {
        return;
    }
    for (size_t column = 0; column < g->across; column++) {
        double low = smallest(g, g->opts->low, column * DOTS_ACROSS);
        double high = largest(g, g->opts->high, column * DOTS_ACROSS);
        if (!isfinite(low) || !isfinite(high)) {
            continue;
        }
        long top = dot_row(g, high) / DOTS_DOWN;
        long foot = dot_row(g, low) / DOTS_DOWN;
        for (long row = top; row <= foot; row++) {
            cell_at(g, (size_t)row, column)->band = true;
        }
    }
}

/* ---- the plot, row by row ---------------------------------------------- */

static void add_braille(pn_buffer *out, uint8_t dots) {
    unsigned code = BRAILLE_FIRST + dots;
    char utf8[4] = {(char)(0xE0U | code >> 12U),
                    (char)(0x80U | (code >> 6U & 0x3FU)),
                    (char)(0x80U | (code & 0x3FU)), '\0'};
    pn_buffer_add(out, (pn_text){utf8, 3});
}

static void add_cell(const grid *g, size_t row, size_t column) {
    const cell *here = cell_at(g, row, column);
    if (here->dots != 0 && g->opts->ascii) {
        add_tinted(g, GREEN, "*");
    } else if (here->dots != 0) {
        pn_buffer_add(g->out,
                      pn_text_of(g->opts->colour ? tint_code(GREEN) : ""));
        add_braille(g->out, here->dots);
        pn_buffer_add(g->out,
                      pn_text_of(g->opts->colour ? tint_code(PLAIN) : ""));
    } else if ((int64_t)column == g->today_column) {
        add_tinted(g, BOLD, g->glyph.today);
    } else if (here->band) {
        add_tinted(g, FAINT, g->glyph.band);
    } else {
        pn_buffer_add(g->out, pn_text_of(" "));
    }
}

/* The tick whose height falls in this row, or -1. */
static int tick_in(const grid *g, size_t row) {
    for (int i = 0; i <= g->scale.intervals; i++) {
        double value = g->scale.low + i * g->scale.step;
        if (dot_row(g, value) / DOTS_DOWN == (long)row) {
            return i;
        }
    }
    return -1;
}

/* Adds the text at the right end of a field. */
static void add_right(pn_buffer *out, size_t width, size_t start) {
    if (out->failed) {
        return;
    }
    pn_text text = {out->text + start, out->len - start};
    size_t used = pn_text_columns(text);
    size_t pad = used < width ? width - used : 0;
    size_t bytes = text.len;
    paper_add_times(out, " ", pad);
    for (size_t i = bytes; !out->failed && i-- > 0;) {
        out->text[start + pad + i] = out->text[start + i];
    }
    for (size_t i = 0; !out->failed && i < pad; i++) {
        out->text[start + i] = ' ';
    }
}

static void add_row(const grid *g, size_t row) {
    size_t start = g->out->len;
    int tick = tick_in(g, row);
    if (tick >= 0) {
        paper_add_tick(g->out, &g->scale, tick, g->opts->ascii);
    }
    add_right(g->out, g->gutter - 2, start);
    pn_buffer_add(g->out, pn_text_of(" "));
    pn_buffer_add(g->out, pn_text_of(tick >= 0        ? g->glyph.tick
                                     : g->opts->ascii ? "|"
                                                      : "\u2502"));
    for (size_t column = 0; column < g->across; column++) {
        add_cell(g, row, column);
    }
    paper_trim_line(g->out, start);
    pn_buffer_add(g->out, pn_text_of("\n"));
}

/* ---- dates ------------------------------------------------------------- */

static int64_t column_of(const grid *g, int32_t epoch_day) {
    int64_t day = (int64_t)epoch_day - g->opts->first_epoch_day;
    if (day < 0 || day >= (int64_t)g->opts->day_count) {
        return -1;
    }
    return day * (int64_t)g->across / (int64_t)g->opts->day_count;
}

static bool month_starts_in(const grid *g, size_t column, int *month) {
    size_t days = g->opts->day_count;
    size_t first = (column * days + g->across - 1) / g->across;
    size_t end = ((column + 1) * days + g->across - 1) / g->across;
    for (size_t day = first; day < end && day < days; day++) {
        pn_date date =
            pn_date_from_epoch_day(g->opts->first_epoch_day + (int32_t)day);
        if (date.day == 1) {
            *month = date.month;
            return true;
        }
    }
    return false;
}

static void add_axis(const grid *g) {
    paper_add_times(g->out, " ", g->gutter - 1);
    pn_buffer_add(g->out, pn_text_of(g->glyph.corner));
    int month = 0;
    for (size_t column = 0; column < g->across; column++) {
        bool tick = month_starts_in(g, column, &month);
        pn_buffer_add(g->out,
                      pn_text_of(tick ? g->glyph.month : g->glyph.axis));
    }
    pn_buffer_add(g->out, pn_text_of("\n"));
}

/* Columns until the next month starts. */
static size_t room_after(const grid *g, size_t column) {
    int month = 0;
    size_t next = column + 1;
    while (next < g->across && !month_starts_in(g, next, &month)) {
        next++;
    }
    return next - column;
}

static void add_months(const grid *g) {
    size_t start = g->out->len;
    paper_add_times(g->out, " ", g->gutter);
    for (size_t column = 0; column < g->across;) {
        int month = pn_date_from_epoch_day(g->opts->first_epoch_day).month;
        bool named = month_starts_in(g, column, &month) || column == 0;
        size_t room = room_after(g, column);
        size_t letters = !named || room < 2 ? 0 : room < 4 ? 1 : 3;
        pn_buffer_add(g->out, (pn_text){pn_month_name(month), letters});
        paper_add_times(g->out, " ", room - letters);
        column += room;
    }
    paper_trim_line(g->out, start);
    pn_buffer_add(g->out, pn_text_of("\n"));
}

/* ---- what happened ----------------------------------------------------- */

/* 0 nothing, 1 a blank visit, 2 found; finding outranks a blank. */
static int happened_in(const grid *g, size_t column) {
    int happened = 0;
    for (size_t i = 0; i < g->opts->mark_count; i++) {
        const pn_paper_mark *mark = &g->opts->marks[i];
        if (column_of(g, mark->epoch_day) == (int64_t)column) {
            int this_one = mark->filled ? 2 : 1;
            happened = this_one > happened ? this_one : happened;
        }
    }
    return happened;
}

static bool shows_visits(const grid *g) {
    for (size_t i = 0; i < g->opts->mark_count; i++) {
        if (column_of(g, g->opts->marks[i].epoch_day) >= 0) {
            return true;
        }
    }
    return false;
}

static void add_visits(const grid *g) {
    if (!shows_visits(g)) {
        return;
    }
    size_t start = g->out->len;
    pn_buffer_add(g->out, pn_text_of("visits"));
    paper_add_times(g->out, " ", g->gutter - 6);
    for (size_t column = 0; column < g->across; column++) {
        int happened = happened_in(g, column);
        if (happened == 0) {
            pn_buffer_add(g->out, pn_text_of(" "));
        } else {
            add_tinted(g, happened == 2 ? RED : PLAIN,
                       happened == 2 ? g->glyph.found : g->glyph.blank);
        }
    }
    paper_trim_line(g->out, start);
    pn_buffer_add(g->out, pn_text_of("\n"));
}

/* ---- words ------------------------------------------------------------- */

static void add_title(const grid *g) {
    pn_text rest = pn_text_of(g->opts->title);
    while (rest.len > 0) {
        pn_text line = paper_take_line(&rest, (size_t)g->opts->columns);
        pn_buffer_add(g->out,
                      pn_text_of(g->opts->colour ? tint_code(BOLD) : ""));
        paper_add_clean(g->out, line);
        pn_buffer_add(g->out,
                      pn_text_of(g->opts->colour ? tint_code(PLAIN) : ""));
        pn_buffer_add(g->out, pn_text_of("\n"));
    }
}

typedef struct legend {
    const grid *g;
    size_t used; /* columns of the line so far */
} legend;

static void add_entry(legend *at, tint wanted, const char *sample,
                      const char *name) {
    const grid *g = at->g;
    size_t needs =
        paper_columns(pn_text_of(sample)) + 1 + paper_columns(pn_text_of(name));
    bool first = at->used == 0;
    if (!first && at->used + 3 + needs > (size_t)g->opts->columns) {
        pn_buffer_add(g->out, pn_text_of("\n"));
        at->used = 0;
        first = true;
    }
    paper_add_times(g->out, " ", first ? 0 : 3);
    at->used += (first ? 0 : 3) + needs;
    add_tinted(g, wanted, sample);
    pn_buffer_add(g->out, pn_text_of(" "));
    size_t room = (size_t)g->opts->columns - 4;
    paper_add_clean(g->out, paper_head(pn_text_of(name), room));
}

static const char *name_or(const char *name, const char *otherwise) {
    return name != NULL ? name : otherwise;
}

static void add_legend(const grid *g) {
    legend at = {.g = g};
    char named[96];
    pn_str expected = pn_str_in(named, sizeof named);
    pn_str_addf(&expected, "%s", name_or(g->opts->expected_name, "expected"));
    if (g->opts->unit != NULL) {
        pn_str_addf(&expected, ", %s", g->opts->unit);
    }
    add_entry(&at, GREEN, g->glyph.line_sample, named);
    if (g->opts->low != NULL && g->opts->high != NULL) {
        add_entry(&at, FAINT, g->glyph.band,
                  name_or(g->opts->band_name, "80 % range"));
    }
    if (shows_visits(g)) {
        add_entry(&at, RED, g->glyph.found, "found");
        add_entry(&at, PLAIN, g->glyph.blank, "blank visit");
    }
    if (g->today_column >= 0) {
        char human[PN_DATE_HUMAN_SIZE];
        char today[PN_DATE_HUMAN_SIZE + 8];
        pn_str text = pn_str_in(today, sizeof today);
        pn_str_addf(&text, "today, %s",
                    pn_date_human(g->opts->today_epoch_day, human));
        add_entry(&at, BOLD, g->glyph.today, today);
    }
    pn_buffer_add(g->out, pn_text_of("\n"));
}

/* ---- all of it --------------------------------------------------------- */

static pn_status check(const pn_paper_season_opts *opts, pn_error *err) {
    if (opts->day_count < 2 || opts->day_count > DAYS_MAX) {
        return pn_fail(err, PN_EDOMAIN, "a season of %zu days: expected 2..%d",
                       opts->day_count, DAYS_MAX);
    }
    if (opts->columns < COLUMNS_MIN || opts->columns > COLUMNS_MAX) {
        return pn_fail(err, PN_EDOMAIN, "%d columns: expected %d..%d",
                       opts->columns, COLUMNS_MIN, COLUMNS_MAX);
    }
    if (opts->rows < ROWS_MIN || opts->rows > ROWS_MAX) {
        return pn_fail(err, PN_EDOMAIN, "%d rows: expected %d..%d", opts->rows,
                       ROWS_MIN, ROWS_MAX);
    }
    return PN_OK;
}

static paper_range range_of(const pn_paper_season_opts *opts) {
    paper_range range = paper_range_empty();
    paper_range_take(&range, 0.0);
    paper_range_take_all(&range, opts->expected, opts->day_count);
    if (opts->low != NULL && opts->high != NULL) {
        paper_range_take_all(&range, opts->low, opts->day_count);
        paper_range_take_all(&range, opts->high, opts->day_count);
    }
    return range;
}

/* Columns of the widest tick, at least those of the word "visits". */
static size_t gutter_of(const grid *g) {
    size_t widest = 5;
    for (int i = 0; i <= g->scale.intervals; i++) {
        size_t start = g->out->len;
        paper_add_tick(g->out, &g->scale, i, g->opts->ascii);
        size_t columns = g->out->len - start; /* bytes: on the wide side */
        paper_drop_since(g->out, start);
        widest = columns > widest ? columns : widest;
    }
    return widest + 2;
}

static void write_season(grid *g) {
    draw_band(g);
    draw_line(g);
    add_title(g);
    for (size_t row = 0; row < g->down; row++) {
        add_row(g, row);
    }
    add_axis(g);
    add_months(g);
    add_visits(g);
    add_legend(g);
}

pn_status pn_paper_season_terminal(const pn_paper_season_opts *opts,
                                   pn_buffer *buffer, pn_error *err) {
    pn_status status = check(opts, err);
    if (status != PN_OK) {
        return status;
    }
    size_t start = buffer->len;
    paper_range range = range_of(opts);
    if (range.high > 1e9 || range.low < -1e9) {
        return pn_fail(err, PN_EDOMAIN, "a value beyond 1e9");
    }
    grid g = {.opts = opts,
              .out = buffer,
              .glyph = opts->ascii ? ascii_glyphs : unicode_glyphs,
              .scale = paper_scale_for(range.low, range.high, opts->rows / 2)};
    g.gutter = gutter_of(&g);
    g.across = (size_t)opts->columns - g.gutter;
    g.down = (size_t)opts->rows;
    g.cells =
        pn_alloc_zeroed(&buffer->alloc, g.across * g.down, sizeof *g.cells);
    if (g.cells == NULL) {
        return pn_fail(err, PN_ENOMEM, "out of memory");
    }
    g.today_column =
        opts->has_today ? column_of(&g, opts->today_epoch_day) : -1;
    write_season(&g);
    pn_alloc_free(&buffer->alloc, g.cells);
    status = pn_buffer_status(buffer, err);
    if (status != PN_OK) {
        paper_drop_since(buffer, start);
    }
    return status;
}
