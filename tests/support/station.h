/** @file station.h
 * The real station table of the score tests, and ways to spoil it.
 */
#ifndef PN_TESTS_STATION_H
#define PN_TESTS_STATION_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "pannage/score.h"

enum { STATION_SIZE = 400000, STATION_FIELDS = 32 };

/** The whole table; NUL-terminated, caller frees. */
static inline char *station_read(void) {
    FILE *file =
        fopen(PN_TEST_DATA "/ref/soil/spen_farm_daily_2016_2019.csv", "rb");
    assert_non_null(file);
    char *text = calloc(STATION_SIZE, 1);
    assert_non_null(text);
    size_t len = fread(text, 1, STATION_SIZE - 1, file);
    assert_int_equal(fclose(file), 0);
    assert_true(len > 100000 && len < STATION_SIZE - 1);
    return text;
}

/** What a test does to one field: `name` its column, `date` its day. Writes
 *  the new field to buf[32]; returns false to drop the whole day. */
typedef bool station_edit(const char *name, const char *date, char *field,
                          void *ctx);

/** A copy with every field but the date passed through `edit`. */
static inline char *station_edited(const char *text, station_edit *edit,
                                   void *ctx) {
    char *out = calloc(STATION_SIZE, 1);
    assert_non_null(out);
    size_t len = 0;
    char names[STATION_FIELDS][64];
    pn_text rest = pn_text_of(text);
    for (size_t line_no = 0; rest.at != NULL && rest.len > 0; line_no++) {
        pn_text line = pn_text_cut(rest, '\n', &rest);
        size_t start = len, k = 0;
        bool keep = true;
        char date[16] = "";
        while (line.at != NULL) {
            pn_text field = pn_text_cut(line, ',', &line);
            char buf[64];
            (void)snprintf(buf, sizeof buf, "%.*s", (int)field.len, field.at);
            if (line_no == 0) {
                (void)snprintf(names[k], sizeof names[k], "%s", buf);
            } else if (k == 0) {
                (void)snprintf(date, sizeof date, "%.10s", buf);
            } else {
                keep = edit(names[k], date, buf, ctx) && keep;
            }
            len += (size_t)snprintf(out + len, STATION_SIZE - len, "%s%s",
                                    k > 0 ? "," : "", buf);
            k++;
        }
        if (keep) {
            out[len++] = '\n';
        } else {
            len = start;
        }
    }
    out[len] = '\0';
    return out;
}

/** Spen Farm fitted on 2017, judged on 2018-19: 53.87 N, 57 m (from memory). */
static inline pn_score_soil_opts station_opts(const char *text) {
    pn_score_soil_opts opts = PN_SCORE_SOIL_OPTS_INIT;
    opts.csv = pn_text_of(text);
    opts.csv_name = "spen.csv";
    opts.fit_first_year = 2017;
    opts.fit_last_year = 2017;
    opts.judge_first_year = 2018;
    opts.judge_last_year = 2019;
    opts.latitude_rad = 53.87 / 180 * 3.14159265358979;
    opts.elevation_m = 57;
    return opts;
}

/** The method of that beginning, or a failed test. */
static inline const pn_score_method *station_method(const pn_score_soil *score,
                                                    pn_score_target target,
                                                    const char *name) {
    for (size_t i = 0; i < score->method_count; i++) {
        const pn_score_method *m = &score->methods[i];
        if (m->target == target && strcmp(m->name, name) == 0) {
            return m;
        }
    }
    fail_msg("no method '%s'", name);
    return NULL;
}

#endif
