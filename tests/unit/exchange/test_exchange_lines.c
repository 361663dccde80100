/* Line ends, byte order marks, encodings, long and cut-off lines. */
#include "unit/exchange/exchange_support.h"

#define HEAD "date,tmin (degC),tmax (degC)\n"
#define ROW "2024-05-01,4,12\n"

static void accepts_what_editors_write(void **state) {
    (void)state;
    static const struct {
        const char *name;
        const char *text;
        size_t days;
    } rows[] = {
        {"LF", HEAD ROW, 1},
        {"CRLF", "date,tmin (degC),tmax (degC)\r\n2024-05-01,4,12\r\n", 1},
        {"UTF-8 byte order mark", "\xEF\xBB\xBF" HEAD ROW, 1},
        {"last line without its end", HEAD "2024-05-01,4,12", 1},
        {"file cut between CR and LF", HEAD "2024-05-01,4,12\r", 1},
        {"empty lines are passed over", HEAD "\n" ROW "\r\n\n", 1},
        {"remarks above the header", "# invented\n# weather\n" HEAD ROW, 1},
        {"quoted fields", "\"date\",\"tmin (degC)\",\"tmax (degC)\"\n" ROW, 1},
        {"quoted comma, doubled quote, line end in quotes",
         "date,tmin (degC),\"a, \"\"b\"\"\nc\"\n2024-05-01,4,x\n", 1},
        {"spaces around fields", "date , tmin (degC)\n 2024-05-01 ,\t4 \n", 1},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        got g = read_text(rows[i].text);
        if (g.status != PN_OK) {
            print_error("%s: %s\n", rows[i].name, g.err.message);
        }
        assert_int_equal(g.status, PN_OK);
        assert_int_equal(g.report.day_count, rows[i].days);
        assert_near(rows[i].name,
                    value_on(g.weather, PN_SKY_TMIN_DEGC, "2024-05-01"), 4.0,
                    0.0);
        got_free(&g);
    }
}

static void refuses_what_is_no_table(void **state) {
    (void)state;
    static const refusal rows[] = {
        {"empty file", "", {"w.csv:1: ", "empty", "copy it again"}},
        {"only line ends", "\n\r\n\n", {"w.csv:4: ", "empty"}},
        {"lone CR",
         "date,tmin (degC)\r2024-05-01,4\r",
         {"w.csv:1: ", "carriage return", "LF or CRLF"}},
        {"Latin-1 degree sign",
         "date,tmin (\xB0"
         "C)\n2024-05-01,4\n",
         {"w.csv:1: ", "not UTF-8", "'date,tmin (?C)'", "save the file"}},
        {"bytes that are not UTF-8 in a number",
         HEAD ROW "2024-05-02,\xFF\xFE,1\n",
         {"w.csv:3: ", "not UTF-8"}},
        {"overlong UTF-8",
         HEAD "2024-05-02,\xC0\xB1,1\n",
         {"w.csv:2: ", "not UTF-8"}},
        {"surrogate in UTF-8",
         HEAD "2024-05-02,\xED\xA0\x80,1\n",
         {"w.csv:2: ", "not UTF-8"}},
        {"quote never closed",
         HEAD "2024-05-01,\"4,12\n" ROW ROW,
         {"w.csv:2: ", "never closed"}},
        {"quote never closed on a later line",
         HEAD ROW "2024-05-02,\"4\n5\",\"12\n" ROW,
         {"w.csv:4: ", "never closed"}},
        {"quote inside a plain field",
         HEAD "2024-05-01,4\",\"12\n",
         {"w.csv:2: ", "field 2", "quotation mark"}},
        {"text after a closing quote",
         HEAD "2024-05-01,\"4\"x,12\n",
         {"w.csv:2: ", "field 2", "quotation mark"}},
        {"cut in mid-line",
         HEAD ROW "2024-05-02,5",
         {"w.csv:3: ", "ends in the middle of line 3", "truncated",
          "copy it again"}},
        {"too few fields",
         HEAD "2024-05-01,4\n" ROW,
         {"w.csv:2: ", "2 fields", "header has 3"}},
        {"too many fields",
         HEAD "2024-05-01,4,12,1\n",
         {"w.csv:2: ", "4 fields", "header has 3"}},
        {"header only", HEAD, {"w.csv:1: ", "no rows"}},
    };
    check_refusals(rows, COUNT_OF(rows));
}

static void refuses_utf16_and_nul(void **state) {
    (void)state;
    static const struct {
        const char *name;
        const char *data;
        size_t size;
    } rows[] = {
        {"little-endian mark",
         "\xFF\xFE"
         "d\0a\0",
         6},
        {"big-endian mark", "\xFE\xFF\0d\0a", 6},
        {"little-endian, no mark", "d\0a\0t\0e\0", 8},
        {"big-endian, no mark", "\0d\0a\0t\0e", 8},
        {"NUL in a number", "date,tmin (degC)\n2024-05-01,4\0\n", 31},
    };
    pn_exchange_weather_opts opts = PN_EXCHANGE_WEATHER_OPTS_INIT;
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        got g = read_bytes(&pn_alloc_libc, rows[i].data, rows[i].size, &opts);
        assert_int_equal(g.status, PN_EPARSE);
        const char *const pieces[5] = {"w.csv:", "UTF-16", "CSV UTF-8"};
        check_pieces(rows[i].name, &g.err, pieces);
    }
}

/* A file of one endless line, which counts what is asked of it. */
typedef struct endless {
    const char *head;
    char filler;
    size_t given;
} endless;

static ptrdiff_t read_endless(void *ctx, char *buf, size_t size) {
    endless *e = ctx;
    size_t head = strlen(e->head);
    for (size_t i = 0; i < size; i++) {
        size_t at = e->given + i;
        buf[i] = at < head ? e->head[at] : e->filler;
    }
    e->given += size;
    return (ptrdiff_t)size;
}

static void an_endless_line_costs_nothing(void **state) {
    (void)state;
    static const struct {
        const char *name;
        const char *head;
        char filler;
        const char *pieces[5];
    } rows[] = {
        {"first line", "", 'x', {"w.csv:1: ", "65536 bytes"}},
        {"third line", HEAD ROW, '1', {"w.csv:3: ", "65536 bytes"}},
        {"in quotes",
         HEAD "2024-05-01,\"",
         '\n',
         {"w.csv:2: ", "never closed"}},
        {"old line ends", "a\rb", '\r', {"w.csv:1: ", "carriage return"}},
    };
    pn_exchange_weather_opts opts = PN_EXCHANGE_WEATHER_OPTS_INIT;
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        endless e = {rows[i].head, rows[i].filler, 0};
        pn_exchange_source source = {read_endless, &e, "w.csv"};
        pn_weather *weather = NULL;
        pn_error err = {PN_OK, ""};
        assert_int_equal(pn_exchange_weather_read(&pn_alloc_libc, &source, 1,
                                                  &opts, &weather, NULL, &err),
                         PN_EPARSE);
        check_pieces(rows[i].name, &err, rows[i].pieces);
        assert_true(e.given <= 4 * 65536);
    }
}

/* The longest line allowed, its line end included, and one byte more. */
static void the_limit_of_a_line_is_exact(void **state) {
    (void)state;
    static char text[2 * 65536];
    pn_exchange_weather_opts opts = PN_EXCHANGE_WEATHER_OPTS_INIT;
    for (size_t over = 0; over < 2; over++) {
        size_t head = (size_t)snprintf(text, sizeof text,
                                       "date,rain_mm,note\n"
                                       "2024-05-01,1,");
        size_t line = strlen("2024-05-01,1,");
        size_t len = head - line + 65536 + over;
        memset(text + head, 'x', len - head);
        text[len - 1] = '\n';
        got g = read_bytes(&pn_alloc_libc, text, len, &opts);
        assert_int_equal(g.status, over == 0 ? PN_OK : PN_EPARSE);
        got_free(&g);
    }
}

/* Hands out the text in pieces of one to a few bytes. */
typedef struct dribble {
    const char *text;
    size_t at;
} dribble;

static ptrdiff_t read_dribble(void *ctx, char *buf, size_t size) {
    dribble *d = ctx;
    size_t left = strlen(d->text + d->at);
    size_t take = 1 + d->at % 3;
    take = take < left ? take : left;
    take = take < size ? take : size;
    memcpy(buf, d->text + d->at, take);
    d->at += take;
    return (ptrdiff_t)take;
}

static void short_reads_make_no_difference(void **state) {
    (void)state;
    dribble d = {"\xEF\xBB\xBF" HEAD ROW "2024-05-02,\"5\",\"13\"\r\n", 0};
    pn_exchange_source source = {read_dribble, &d, "slow"};
    pn_exchange_weather_opts opts = PN_EXCHANGE_WEATHER_OPTS_INIT;
    pn_weather *weather = NULL;
    assert_int_equal(pn_exchange_weather_read(&pn_alloc_libc, &source, 1, &opts,
                                              &weather, NULL, NULL),
                     PN_OK);
    assert_near("second row", value_on(weather, PN_SKY_TMAX_DEGC, "2024-05-02"),
                13.0, 0.0);
    pn_weather_free(weather);
}

static ptrdiff_t read_broken(void *ctx, char *buf, size_t size) {
    (void)ctx;
    (void)buf;
    (void)size;
    return -1;
}

static void a_disk_fault_is_told(void **state) {
    (void)state;
    pn_exchange_source source = {read_broken, NULL, "bad.csv"};
    pn_exchange_weather_opts opts = PN_EXCHANGE_WEATHER_OPTS_INIT;
    pn_weather *weather = NULL;
    pn_error err;
    assert_int_equal(pn_exchange_weather_read(&pn_alloc_libc, &source, 1, &opts,
                                              &weather, NULL, &err),
                     PN_EIO);
    assert_non_null(strstr(err.message, "bad.csv:1: cannot be read"));
    assert_int_equal(
        pn_exchange_open_file("/nowhere/at/all.csv", &source, &err),
        PN_ENOTFOUND);
    assert_non_null(strstr(err.message, "/nowhere/at/all.csv: cannot be "
                                        "opened: No such file"));
}

static void a_directory_is_refused(void **state) {
    (void)state;
    pn_exchange_source source;
    pn_exchange_weather_opts opts = PN_EXCHANGE_WEATHER_OPTS_INIT;
    pn_weather *weather = NULL;
    assert_int_equal(pn_exchange_open_file("/", &source, NULL), PN_OK);
    assert_int_equal(pn_exchange_weather_read(&pn_alloc_libc, &source, 1, &opts,
                                              &weather, NULL, NULL),
                     PN_EIO);
    pn_exchange_close_file(&source);
    pn_exchange_close_file(&source);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(accepts_what_editors_write),
        cmocka_unit_test(refuses_what_is_no_table),
        cmocka_unit_test(refuses_utf16_and_nul),
        cmocka_unit_test(an_endless_line_costs_nothing),
        cmocka_unit_test(the_limit_of_a_line_is_exact),
        cmocka_unit_test(short_reads_make_no_difference),
        cmocka_unit_test(a_disk_fault_is_told),
        cmocka_unit_test(a_directory_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
