/** @file sky_table.h
 * Reads reference tables whose rows begin with words and go on with numbers.
 */
#ifndef PN_TESTS_SKY_TABLE_H
#define PN_TESTS_SKY_TABLE_H

#include "support/check.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { ROW_WORDS = 3, ROW_NUMBERS = 16 };

typedef struct table_row {
    char line[256];
    char word[ROW_WORDS][64];
    double number[ROW_NUMBERS]; /**< an empty field is NaN */
    size_t number_count;
} table_row;

/* The next line that is no comment, without its end; false at the end. */
static inline bool read_data_line(FILE *f, char line[256]) {
    while (fgets(line, 256, f) != NULL) {
        line[strcspn(line, "\r\n")] = '\0';
        if (line[0] != '#' && line[0] != '\0') {
            return true;
        }
    }
    return false;
}

/* Splits at commas: first the words, then numbers; false at the file's end. A
 * field that is neither empty nor a number fails the test. */
static inline bool read_named_row(FILE *f, size_t words, table_row *row) {
    if (!read_data_line(f, row->line)) {
        return false;
    }
    const char *at = row->line;
    row->number_count = 0;
    for (size_t field = 0; at != NULL; field++) {
        size_t len = strcspn(at, ",");
        if (field < words) {
            assert_true(len < sizeof row->word[field]);
            memcpy(row->word[field], at, len);
            row->word[field][len] = '\0';
        } else {
            char *end = NULL;
            assert_true(row->number_count < ROW_NUMBERS);
            double value = strtod(at, &end);
            if (end != at + len) {
                fail_msg("not a number in: %s", row->line);
            }
            row->number[row->number_count++] = len == 0 ? NAN : value;
        }
        at = at[len] == ',' ? at + len + 1 : NULL;
    }
    return true;
}

static inline FILE *open_table(const char *path) {
    FILE *f = fopen(path, "r");
    if (f == NULL) {
        fail_msg("cannot open %s", path);
    }
    return f;
}

#endif
