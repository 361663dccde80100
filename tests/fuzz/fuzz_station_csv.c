// SPDX-License-Identifier: MIT
/* Any bytes as a station table: parsed, then scored. What comes out must be
 * NaN or plausible, and a failure must say something. */
#include <math.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include "pannage/score.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check_station(const pn_score_station *station) {
    for (int c = 0; c < PN_SCORE_COLUMN_COUNT; c++) {
        for (size_t i = 0; i < station->day_count; i++) {
            double value = station->value[c][i];
            if (!isnan(value) && fabs(value) > 1000) {
                abort();
            }
        }
    }
}

static void score(pn_text csv) {
    pn_score_soil_opts opts = PN_SCORE_SOIL_OPTS_INIT;
    opts.csv = csv;
    opts.fit_first_year = 2017;
    opts.fit_last_year = 2017;
    opts.judge_first_year = 2018;
    opts.judge_last_year = 2019;
    pn_score_soil *out = NULL;
    pn_error err = {0};
    pn_status status = pn_score_soil_run(&pn_alloc_libc, &opts, &out, &err);
    if ((status == PN_OK) != (out != NULL) ||
        (status != PN_OK && err.message[0] == '\0')) {
        abort();
    }
    pn_score_soil_free(out);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    char *copy = malloc(size > 0 ? size : 1);
    if (copy == NULL) {
        return 0;
    }
    for (size_t i = 0; i < size; i++) {
        copy[i] = (char)data[i];
    }
    pn_text csv = {copy, size};
    pn_score_station *station = NULL;
    pn_error err = {0};
    pn_status status =
        pn_score_station_parse(&pn_alloc_libc, csv, "fuzz", &station, &err);
    if (status == PN_OK) {
        check_station(station);
        if (station->day_count < 1500) { /* keep each run short */
            score(csv);
        }
    } else if (err.message[0] == '\0' || station != NULL) {
        abort();
    }
    pn_score_station_free(station);
    free(copy);
    return 0;
}
