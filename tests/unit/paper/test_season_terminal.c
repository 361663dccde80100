#include "paper_support.h"

#include "support/failing.h"

static pn_paper_season_opts season_opts(const season *s) {
    pn_paper_season_opts opts = PN_PAPER_SEASON_OPTS_INIT;
    opts.title = "Penny buns at Larkbarrow Wood, the side that faces north";
    opts.unit = "kg a visit";
    opts.first_epoch_day = SEASON_FIRST;
    opts.day_count = SEASON_DAYS;
    opts.expected = s->expected;
    opts.low = s->low;
    opts.high = s->high;
    opts.marks = s->marks;
    opts.mark_count = COUNT_OF(s->marks);
    opts.has_today = true;
    opts.today_epoch_day = SEASON_FIRST + 74;
    return opts;
}

/* A picture pinned by eye: a level line, one find, one blank, today. */
static void draws_this_picture(void **state) {
    (void)state;
    double level[40];
    for (size_t i = 0; i < COUNT_OF(level); i++) {
        level[i] = i < 20 ? 1.0 : 3.0;
    }
    pn_paper_mark marks[] = {{SEASON_FIRST, NAN, false},
                             {SEASON_FIRST + 39, NAN, true}};
    pn_paper_season_opts opts = PN_PAPER_SEASON_OPTS_INIT;
    opts.title = "A step";
    opts.first_epoch_day = SEASON_FIRST;
    opts.day_count = COUNT_OF(level);
    opts.expected = level;
    opts.marks = marks;
    opts.mark_count = 2;
    opts.has_today = true;
    opts.today_epoch_day = SEASON_FIRST + 10;
    opts.columns = 47;
    opts.rows = 4;
    opts.ascii = true;
    pn_buffer buffer;
    pn_buffer_init(&buffer, &pn_alloc_libc);
    assert_int_equal(pn_paper_season_terminal(&opts, &buffer, NULL), PN_OK);
    assert_string_equal(pn_buffer_text(&buffer),
                        "A step\n"
                        "    4 |          |\n"
                        "      |          |         ********************\n"
                        "    2 |          |         *\n"
                        "    0 |********************\n"
                        "      +------------------------------+---------\n"
                        "       Jul                           Aug\n"
                        "visits o                                      @\n"
                        "** expected   @ found   o blank visit\n"
                        "| today, Sun 12 Jul\n");
    pn_buffer_deinit(&buffer);
}

static void lines_keep_their_width(void **state) {
    (void)state;
    season s;
    season_fill(&s);
    for (int columns = 40; columns <= 200; columns++) {
        pn_paper_season_opts opts = season_opts(&s);
        opts.columns = columns;
        opts.ascii = columns % 2 == 0;
        opts.rows = 4 + columns % 9;
        pn_buffer buffer;
        pn_buffer_init(&buffer, &pn_alloc_libc);
        assert_int_equal(pn_paper_season_terminal(&opts, &buffer, NULL), PN_OK);
        pn_text rest = pn_text_of(pn_buffer_text(&buffer));
        size_t widest = 0;
        pn_text line = next_line(&rest);
        for (; line.at != NULL; line = next_line(&rest)) {
            size_t used = pn_text_columns(line);
            widest = used > widest ? used : widest;
            assert_true(line.len == 0 || line.at[line.len - 1] != ' ');
        }
        assert_int_equal(widest, columns); /* the axis uses all of it */
        pn_buffer_deinit(&buffer);
    }
}

static void shows_band_visits_and_today(void **state) {
    (void)state;
    season s;
    season_fill(&s);
    pn_paper_season_opts opts = season_opts(&s);
    pn_buffer buffer;
    pn_buffer_init(&buffer, &pn_alloc_libc);
    assert_int_equal(pn_paper_season_terminal(&opts, &buffer, NULL), PN_OK);
    const char *text = pn_buffer_text(&buffer);
    /* the find outranks the blank of its day; the mark outside is not drawn;
     * one of each more in the legend */
    assert_int_equal(count_of(text, "\u25CF"), 2);
    assert_int_equal(count_of(text, "\u25CB"), 2);
    assert_true(count_of(text, "\u2591") > 20);
    assert_true(count_of(text, "\u250A") > 4);
    assert_non_null(strstr(text, "today, Mon 14 Sep"));
    assert_non_null(strstr(text, "Aug"));
    assert_null(strchr(text, '\033'));
    pn_buffer_deinit(&buffer);
}

static void visits_of_another_year_take_no_room(void **state) {
    (void)state;
    season s;
    season_fill(&s);
    pn_paper_season_opts opts = season_opts(&s);
    opts.marks = &s.marks[3]; /* the day before */
    opts.mark_count = 1;
    pn_buffer buffer;
    pn_buffer_init(&buffer, &pn_alloc_libc);
    assert_int_equal(pn_paper_season_terminal(&opts, &buffer, NULL), PN_OK);
    assert_null(strstr(pn_buffer_text(&buffer), "visits"));
    assert_null(strstr(pn_buffer_text(&buffer), "found"));
    pn_buffer_deinit(&buffer);
}

static size_t drop_colours(char *text) {
    size_t kept = 0;
    for (size_t i = 0; text[i] != '\0'; i++) {
        if (text[i] == '\033') {
            i += strcspn(text + i, "m");
            continue;
        }
        text[kept++] = text[i];
    }
    text[kept] = '\0';
    return kept;
}

static void colour_adds_nothing_but_colour(void **state) {
    (void)state;
    season s;
    season_fill(&s);
    for (int ascii = 0; ascii < 2; ascii++) {
        pn_buffer plain;
        pn_buffer tinted;
        pn_buffer_init(&plain, &pn_alloc_libc);
        pn_buffer_init(&tinted, &pn_alloc_libc);
        pn_paper_season_opts opts = season_opts(&s);
        opts.ascii = ascii == 1;
        assert_int_equal(pn_paper_season_terminal(&opts, &plain, NULL), PN_OK);
        opts.colour = true;
        assert_int_equal(pn_paper_season_terminal(&opts, &tinted, NULL), PN_OK);
        assert_true(tinted.len > plain.len);
        drop_colours(tinted.text);
        assert_string_equal(tinted.text, plain.text);
        pn_buffer_deinit(&plain);
        pn_buffer_deinit(&tinted);
    }
}

static void ascii_is_seven_bits(void **state) {
    (void)state;
    season s;
    season_fill(&s);
    pn_paper_season_opts opts = season_opts(&s);
    opts.ascii = true;
    s.low[3] = -1.0; /* a minus sign on the axis */
    pn_buffer buffer;
    pn_buffer_init(&buffer, &pn_alloc_libc);
    assert_int_equal(pn_paper_season_terminal(&opts, &buffer, NULL), PN_OK);
    for (size_t i = 0; i < buffer.len; i++) {
        assert_true((unsigned char)buffer.text[i] < 0x80U);
    }
    pn_buffer_deinit(&buffer);
}

static void nothing_known_still_draws(void **state) {
    (void)state;
    double none[] = {NAN, NAN, INFINITY};
    pn_paper_season_opts opts = PN_PAPER_SEASON_OPTS_INIT;
    opts.title = "";
    opts.day_count = 3;
    opts.expected = none;
    pn_buffer buffer;
    pn_buffer_init(&buffer, &pn_alloc_libc);
    assert_int_equal(pn_paper_season_terminal(&opts, &buffer, NULL), PN_OK);
    assert_true(buffer.len > 100);
    pn_buffer_deinit(&buffer);
}

static void impossible_seasons_are_refused(void **state) {
    (void)state;
    season s;
    season_fill(&s);
    double large[] = {0.0, 1e300};
    pn_paper_season_opts cases[5];
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        cases[i] = season_opts(&s);
    }
    cases[0].columns = 39;
    cases[1].rows = 41;
    cases[2].day_count = 1;
    cases[3].day_count = 1101;
    cases[4].expected = large;
    cases[4].low = cases[4].high = NULL;
    cases[4].day_count = 2;
    for (size_t i = 0; i < COUNT_OF(cases); i++) {
        pn_buffer buffer;
        pn_buffer_init(&buffer, &pn_alloc_libc);
        pn_error err = {0};
        assert_int_equal(pn_paper_season_terminal(&cases[i], &buffer, &err),
                         PN_EDOMAIN);
        assert_true(err.message[0] != '\0');
        assert_int_equal(buffer.len, 0);
        pn_buffer_deinit(&buffer);
    }
}

static void survives_every_failed_allocation(void **state) {
    (void)state;
    season s;
    season_fill(&s);
    pn_status status = PN_ENOMEM;
    int permitted = 0;
    for (; status == PN_ENOMEM; permitted++) {
        failing limit = {.calls_left = permitted};
        pn_alloc alloc = failing_alloc(&limit);
        pn_buffer buffer;
        pn_buffer_init(&buffer, &alloc);
        pn_paper_season_opts opts = season_opts(&s);
        status = pn_paper_season_terminal(&opts, &buffer, NULL);
        assert_int_equal(buffer.len > 0, status == PN_OK);
        pn_buffer_deinit(&buffer);
    }
    assert_int_equal(status, PN_OK);
    assert_true(permitted > 3);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(draws_this_picture),
        cmocka_unit_test(lines_keep_their_width),
        cmocka_unit_test(shows_band_visits_and_today),
        cmocka_unit_test(visits_of_another_year_take_no_room),
        cmocka_unit_test(colour_adds_nothing_but_colour),
        cmocka_unit_test(ascii_is_seven_bits),
        cmocka_unit_test(nothing_known_still_draws),
        cmocka_unit_test(impossible_seasons_are_refused),
        cmocka_unit_test(survives_every_failed_allocation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
