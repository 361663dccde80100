#include "paper_support.h"

#include "support/failing.h"

typedef struct chart {
    season season;
    pn_paper_series find[1], weather[2];
    pn_paper_band band;
    pn_paper_panel panels[2];
    pn_paper_chart_opts opts;
} chart;

static void chart_fill(chart *c) {
    season_fill(&c->season);
    c->find[0] = (pn_paper_series){"expected", c->season.expected,
                                   PN_PAPER_MOSS, PN_PAPER_SOLID, false};
    c->weather[0] = (pn_paper_series){"rain", c->season.rain, PN_PAPER_SLATE,
                                      PN_PAPER_BARS, false};
    c->weather[1] = (pn_paper_series){"soil water", c->season.low,
                                      PN_PAPER_OCHRE, PN_PAPER_DASHED, true};
    c->band = (pn_paper_band){"80 % range", c->season.low, c->season.high,
                              PN_PAPER_MOSS};
    c->panels[0] = (pn_paper_panel){.title = "What to expect",
                                    .unit = "kg",
                                    .series = c->find,
                                    .series_count = 1,
                                    .band = &c->band,
                                    .marks = c->season.marks,
                                    .mark_count = 4,
                                    .from_zero = true};
    c->panels[1] = (pn_paper_panel){.title = "Weather",
                                    .unit = "mm",
                                    .unit_right = "share",
                                    .series = c->weather,
                                    .series_count = 2,
                                    .height = 0.8};
    c->opts = (pn_paper_chart_opts)PN_PAPER_CHART_OPTS_INIT;
    c->opts.title = "Tom & Ann's <wood>";
    c->opts.subtitle = "\"the season\" \033";
    c->opts.footnote = "A planning aid, not a promise.";
    c->opts.first_epoch_day = SEASON_FIRST;
    c->opts.day_count = SEASON_DAYS;
    c->opts.panels = c->panels;
    c->opts.panel_count = 2;
    c->opts.has_today = true;
    c->opts.today_epoch_day = SEASON_FIRST + 74;
}

static void draw(const chart *c, pn_buffer *buffer) {
    pn_error err = {0};
    pn_buffer_init(buffer, &pn_alloc_libc);
    pn_status status = pn_paper_line_chart_svg(&c->opts, buffer, &err);
    assert_string_equal(err.message, "");
    assert_int_equal(status, PN_OK);
}

/* Every tag closes the one opened last: what an XML reader asks first. The
 * names of the open elements are kept in a small stack. */
static void assert_tags_balance(const char *text) {
    const char *open[16];
    size_t depth = 0;
    for (const char *at = strchr(text, '<'); at != NULL;
         at = strchr(at + 1, '<')) {
        const char *end = strchr(at, '>');
        assert_non_null(end);
        if (at[1] == '/') {
            assert_true(depth > 0);
            depth--;
            size_t len = (size_t)(end - at) - 2;
            assert_memory_equal(open[depth], at + 2, len);
            assert_non_null(strchr(" >", open[depth][len]));
        } else if (end[-1] != '/') {
            assert_true(depth < COUNT_OF(open));
            open[depth++] = at + 1;
        }
    }
    assert_int_equal(depth, 0);
}

static void is_well_formed_at_any_width(void **state) {
    (void)state;
    chart c;
    chart_fill(&c);
    for (int width = 300; width <= 1600; width += 25) {
        pn_buffer buffer;
        c.opts.width_px = width;
        draw(&c, &buffer);
        assert_tags_balance(pn_buffer_text(&buffer));
        assert_null(strstr(pn_buffer_text(&buffer), "nan"));
        assert_null(strstr(pn_buffer_text(&buffer), "inf"));
        assert_null(strstr(pn_buffer_text(&buffer), "-0\""));
        assert_true(buffer.len < 60000);
        pn_buffer_deinit(&buffer);
    }
}

static void says_what_it_shows(void **state) {
    (void)state;
    chart c;
    chart_fill(&c);
    c.opts.description = "Peaks at 1.9 kg.";
    pn_buffer buffer;
    draw(&c, &buffer);
    const char *text = pn_buffer_text(&buffer);
    assert_non_null(strstr(text, "role=\"img\""));
    assert_non_null(
        strstr(text, "<title>Tom &amp; Ann's &lt;wood&gt;</title>\n"
                     "<desc>Peaks at 1.9 kg. From 2026-07-02 to 2026-10-31."
                     "</desc>"));
    assert_non_null(strstr(text, "&quot;the season&quot; \xEF\xBF\xBD<"));
    assert_non_null(strstr(text, ">today, Mon 14 Sep<"));
    assert_non_null(strstr(text, ">Aug<"));
    assert_non_null(strstr(text, "prefers-color-scheme:dark"));
    pn_buffer_deinit(&buffer);
}

static void draws_gaps_marks_and_band(void **state) {
    (void)state;
    chart c;
    chart_fill(&c);
    pn_buffer buffer;
    draw(&c, &buffer);
    const char *text = pn_buffer_text(&buffer);
    /* one filled, two hollow, the fourth lies outside; one each in the legend
     */
    assert_int_equal(count_of(text, "class=\"mf\""), 2);
    assert_int_equal(count_of(text, "class=\"mh\""), 3);
    const char *line = strstr(text, "<path class=\"k1 l0\" d=\"M72 ");
    assert_non_null(line); /* the legend's sample */
    line = strstr(line + 1, "<path class=\"k1 l0\" d=\"");
    assert_non_null(line);
    char path[8192] = {0};
    size_t len = strcspn(line, ">");
    assert_true(len < sizeof path);
    memcpy(path, line, len);
    assert_int_equal(count_of(path, "M"), 2); /* broken once, by the NaN */
    const char *band = strstr(text, "class=\"f1 s\" d=\"");
    assert_non_null(band);
    len = strcspn(band, ">");
    assert_true(len < sizeof path);
    memset(path, 0, sizeof path);
    memcpy(path, band, len);
    assert_int_equal(count_of(path, "z"), 2);
    /* 25 days of rain are 25 bars */
    const char *bars = strstr(text, "<path class=\"k3 b\" stroke-width=\"4\"");
    assert_non_null(bars);
    bars = strstr(bars + 1, "<path class=\"k3 b\"");
    assert_non_null(bars);
    len = strcspn(bars, ">");
    assert_true(len < sizeof path);
    memset(path, 0, sizeof path);
    memcpy(path, bars, len);
    assert_int_equal(count_of(path, "V"), 25);
    pn_buffer_deinit(&buffer);
}

/* A day's value lands where the axis says: 1.9 kg on an axis of 0 .. 4 with
 * the plot 168 px high stands 79.8 px above the foot. */
static void a_value_stands_at_its_height(void **state) {
    (void)state;
    chart c;
    chart_fill(&c);
    double values[3] = {0.0, 1.9, 4.0};
    c.find[0].value = values;
    c.panels[0] = (pn_paper_panel){
        .series = c.find, .series_count = 1, .from_zero = true};
    c.panels[1] = c.panels[0];
    c.opts.day_count = 3;
    c.opts.has_today = false;
    pn_buffer buffer;
    draw(&c, &buffer);
    const char *line = strstr(pn_buffer_text(&buffer), "k1 l0\" d=\"M204 ");
    assert_non_null(line); /* 72 + (900 - 36 - 72) / 6: the first of 3 days */
    line += strlen("k1 l0\" d=\"M204 ");
    assert_non_null(strstr(line, "l264-79.8l264-88.2\"/>"));
    pn_buffer_deinit(&buffer);
}

static void same_input_same_bytes(void **state) {
    (void)state;
    chart c;
    chart_fill(&c);
    pn_buffer first;
    pn_buffer second;
    draw(&c, &first);
    draw(&c, &second);
    assert_string_equal(pn_buffer_text(&first), pn_buffer_text(&second));
    pn_buffer_deinit(&first);
    pn_buffer_deinit(&second);
}

/* 30 years keep their highest day, in a file that stays small. */
static void long_records_keep_their_extremes(void **state) {
    (void)state;
    enum { DAYS = 11000 };
    static double values[DAYS];
    for (size_t i = 0; i < DAYS; i++) {
        values[i] = (double)(i % 7);
    }
    values[5003] = 40.0;
    chart c;
    chart_fill(&c);
    c.find[0].value = values;
    c.panels[0] = (pn_paper_panel){.series = c.find, .series_count = 1};
    c.opts.panel_count = 1;
    c.opts.day_count = DAYS;
    pn_buffer buffer;
    draw(&c, &buffer);
    assert_true(buffer.len < 30000);
    assert_tags_balance(pn_buffer_text(&buffer));
    /* 40 on an axis of 0 .. 40 is as high as the plot, 168 * 1.7 px */
    bool tall = false;
    for (const char *at = strstr(pn_buffer_text(&buffer), "k1 l0");
         at != NULL && !tall; at = strchr(at + 1, '-')) {
        double rise = strtod(at, NULL);
        tall = rise < -235.0 && rise > -286.0;
    }
    assert_true(tall);
    pn_buffer_deinit(&buffer);
}

static void an_empty_panel_says_so(void **state) {
    (void)state;
    chart c;
    chart_fill(&c);
    double none[] = {NAN, NAN};
    c.find[0].value = none;
    c.panels[0] = (pn_paper_panel){.series = c.find, .series_count = 1};
    c.opts.panel_count = 1;
    c.opts.day_count = 2;
    pn_buffer buffer;
    draw(&c, &buffer);
    assert_non_null(strstr(pn_buffer_text(&buffer), ">nothing recorded<"));
    assert_tags_balance(pn_buffer_text(&buffer));
    pn_buffer_deinit(&buffer);
}

typedef void spoil_fn(chart *c);
static void one_day(chart *c) {
    c->opts.day_count = 1;
}
static void many_days(chart *c) {
    c->opts.day_count = 11001;
}
static void far_future(chart *c) {
    c->opts.first_epoch_day = INT32_MAX;
}
static void no_panel(chart *c) {
    c->opts.panel_count = 0;
}
static void too_narrow(chart *c) {
    c->opts.width_px = 299;
}
static void same_line(chart *c) {
    c->weather[1].line = PN_PAPER_BARS;
}
static void no_such_ink(chart *c) {
    c->weather[1].ink = PN_PAPER_INK_COUNT;
}
static void too_large(chart *c) {
    c->season.rain[4] = 1e13;
}
static void bad_height(chart *c) {
    c->panels[1].height = NAN;
}
static void large_mark(chart *c) {
    c->season.marks[0].value = -1e13;
}
static void large_band(chart *c) {
    c->season.high[0] = 1e13;
}
static void seven_series(chart *c) {
    c->panels[1].series_count = 7;
}

static void impossible_charts_are_refused(void **state) {
    (void)state;
    static const struct {
        spoil_fn *spoil;
        const char *want;
    } cases[] = {
        {one_day, "a chart of 1 days: expected 2..11000"},
        {many_days, "a chart of 11001 days: expected 2..11000"},
        {far_future, "a chart from day 2147483647: expected -141000..2890000"},
        {no_panel, "a chart of 0 panels: expected 1..6"},
        {too_narrow, "a chart 299 px wide: expected 300..1600"},
        {same_line, "series 'soil water': give each series of a panel a line "
                    "of its own"},
        {no_such_ink, "series 'soil water': no such line or ink"},
        {too_large, "series 'rain': a value beyond 1e12"},
        {bad_height, "panel height nan: expected 0..10"},
        {large_mark, "a mark's value beyond 1e12"},
        {large_band, "band '80 % range': no such ink, or a value beyond 1e12"},
        {seven_series, "a panel of 7 series: at most 6"},
    };
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        chart c;
        chart_fill(&c);
        cases[i].spoil(&c);
        pn_buffer buffer;
        pn_buffer_init(&buffer, &pn_alloc_libc);
        pn_error err = {0};
        assert_int_equal(pn_paper_line_chart_svg(&c.opts, &buffer, &err),
                         PN_EDOMAIN);
        assert_string_equal(err.message, cases[i].want);
        assert_int_equal(buffer.len, 0);
        pn_buffer_deinit(&buffer);
    }
}

static void survives_every_failed_allocation(void **state) {
    (void)state;
    chart c;
    chart_fill(&c);
    pn_status status = PN_ENOMEM;
    int permitted = 0;
    for (; status == PN_ENOMEM; permitted++) {
        failing limit = {.calls_left = permitted};
        pn_alloc alloc = failing_alloc(&limit);
        pn_buffer buffer;
        pn_buffer_init(&buffer, &alloc);
        status = pn_paper_line_chart_svg(&c.opts, &buffer, NULL);
        assert_int_equal(buffer.len > 0, status == PN_OK);
        pn_buffer_deinit(&buffer);
    }
    assert_int_equal(status, PN_OK);
    assert_true(permitted > 5);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(is_well_formed_at_any_width),
        cmocka_unit_test(says_what_it_shows),
        cmocka_unit_test(draws_gaps_marks_and_band),
        cmocka_unit_test(a_value_stands_at_its_height),
        cmocka_unit_test(same_input_same_bytes),
        cmocka_unit_test(long_records_keep_their_extremes),
        cmocka_unit_test(an_empty_panel_says_so),
        cmocka_unit_test(impossible_charts_are_refused),
        cmocka_unit_test(survives_every_failed_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
