/* Spore sizes as written down: every way of writing, every fault by line. */
#include <string.h>

#include "pannage/check.h"
#include "support/check.h"

enum { ROOM = 4 };

typedef struct row {
    const char *name;
    const char *text;
    const char *fault; /* NULL: none */
    size_t count;
    double last_length, last_width;
} row;

static const row rows[] = {
    {"x", "8.1 x 5.2\n7.9x5\n", NULL, 2, 7.9, 5.0},
    {"times sign",
     "8.1\xC3\x97"
     "5.2\n8.0 \xC3\x97 5.1",
     NULL, 2, 8.0, 5.1},
    {"comma, semicolon, tab", "8.1,5.2\n8;5\n7\t4\r\n", NULL, 3, 7.0, 4.0},
    {"length alone, remarks", "# from a print\n\n8.1\n 8.3 \n", NULL, 2, 8.3,
     0.0},
    {"nothing", "", "0 spores", 0, 0, 0},
    {"one", "8.1 x 5.2\n", "1 spore:", 0, 0, 0},
    {"a word", "8.1 x 5.2\nround\n", "line 2: write one spore a line", 0, 0, 0},
    {"three sizes", "8.1 x 5.2 x 4\n", "line 1:", 0, 0, 0},
    {"a width that is missing", "8.1 x 5\n8.1\n", "line 2: give a width", 0, 0,
     0},
    {"turned round", "# a\n5.2 x 8.1\n", "line 2: the length comes first", 0, 0,
     0},
    {"negative", "-8 x 5\n", "line 1:", 0, 0, 0},
    {"not a size", "inf x 5\n", "line 1:", 0, 0, 0},
    {"a millimetre", "8000 x 5\n", "line 1:", 0, 0, 0},
    {"decimal comma", "8,1 x 5,2\n", "line 1:", 0, 0, 0},
    {"no end", "8 x", "line 1:", 0, 0, 0},
    {"too many", "8\n8\n8\n8\n8\n", "line 5: more than 4", 0, 0, 0},
};

static void every_row(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const row *r = &rows[i];
        double length[ROOM], width[ROOM];
        pn_spore_sizes sizes = {length, width, ROOM, 0, false};
        pn_error err = {PN_OK, ""};
        pn_status status = pn_spores_read(pn_text_of(r->text), &sizes, &err);
        if ((status == PN_OK) != (r->fault == NULL) ||
            (r->fault != NULL && strstr(err.message, r->fault) == NULL)) {
            fail_msg("%s: '%s'", r->name, err.message);
        }
        if (r->fault == NULL) {
            assert_int_equal(sizes.count, r->count);
            assert_near(r->name, length[r->count - 1], r->last_length, 1e-12);
            assert_near(r->name, width[r->count - 1], r->last_width, 1e-12);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_row)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
