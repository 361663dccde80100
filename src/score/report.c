// SPDX-License-Identifier: MIT
#include <math.h>
#include <stdio.h>

#include "score_internal.h"

static const char *target_name(pn_score_target target) {
    return target == PN_SCORE_WATER ? "soil water" : "soil temperature";
}

static const char *target_unit(pn_score_target target) {
    return target == PN_SCORE_WATER ? "m3/m3" : "°C";
}

enum {
    CELL_SIZE = 48,
    YEARS_SIZE = 24,
    METHOD_COLUMNS = 8,
    PARAMETER_COLUMNS = 5
};

static void put_number(char *cell, double value, int decimals) {
    if (!isfinite(value)) {
        (void)snprintf(cell, CELL_SIZE, "-");
    } else {
        (void)snprintf(cell, CELL_SIZE, "%.*f", decimals, value);
    }
}

/* ---- plain text ------------------------------------------------------- */

static void method_row(const pn_score_method *m,
                       char cell[METHOD_COLUMNS][CELL_SIZE]) {
    int decimals = m->target == PN_SCORE_WATER ? 4 : 2;
    (void)snprintf(cell[0], CELL_SIZE, "%s", m->name);
    (void)snprintf(cell[1], CELL_SIZE, "%zu", m->parameter_count);
    put_number(cell[2], m->fit.rmse, decimals);
    (void)snprintf(cell[3], CELL_SIZE, "%zu", m->judge.day_count);
    put_number(cell[4], m->judge.rmse, decimals);
    put_number(cell[5], m->judge.bias, decimals);
    put_number(cell[6], m->judge.pearson, 3);
    put_number(cell[7], m->judge.nse, 3);
}

static pn_status method_table(const pn_score_soil *score,
                              pn_score_target target, pn_buffer *buffer,
                              pn_error *err) {
    static const pn_paper_column columns[METHOD_COLUMNS] = {
        {"method", PN_PAPER_LEFT},    {"fitted", PN_PAPER_RIGHT},
        {"fit RMSE", PN_PAPER_RIGHT}, {"days", PN_PAPER_RIGHT},
        {"RMSE", PN_PAPER_RIGHT},     {"bias", PN_PAPER_RIGHT},
        {"r", PN_PAPER_RIGHT},        {"NSE", PN_PAPER_RIGHT},
    };
    char text[PN_SCORE_METHODS_MAX][METHOD_COLUMNS][CELL_SIZE];
    const char *cells[PN_SCORE_METHODS_MAX * METHOD_COLUMNS];
    size_t rows = 0;
    for (size_t i = 0; i < score->method_count; i++) {
        if (score->methods[i].target != target) {
            continue;
        }
        method_row(&score->methods[i], text[rows]);
        for (size_t k = 0; k < METHOD_COLUMNS; k++) {
            cells[rows * METHOD_COLUMNS + k] = text[rows][k];
        }
        rows++;
    }
    pn_paper_table_opts table = {.columns = columns,
                                 .column_count = METHOD_COLUMNS,
                                 .cells = cells,
                                 .row_count = rows};
    return pn_paper_table(&table, buffer, err);
}

static pn_status parameter_table(const pn_score_soil *score, pn_buffer *buffer,
                                 pn_error *err) {
    static const pn_paper_column columns[PARAMETER_COLUMNS] = {
        {"parameter", PN_PAPER_LEFT}, {"prior", PN_PAPER_RIGHT},
        {"1 sd", PN_PAPER_RIGHT},     {"fitted", PN_PAPER_RIGHT},
        {"1 sd", PN_PAPER_RIGHT},
    };
    char text[PN_SCORE_PARAMETERS_MAX][PARAMETER_COLUMNS][CELL_SIZE];
    const char *cells[PN_SCORE_PARAMETERS_MAX * PARAMETER_COLUMNS];
    for (size_t i = 0; i < score->parameter_count; i++) {
        const pn_score_parameter *p = &score->parameters[i];
        (void)snprintf(text[i][0], CELL_SIZE, "%s", p->name);
        (void)snprintf(text[i][1], CELL_SIZE, "%.3f", p->prior);
        (void)snprintf(text[i][2], CELL_SIZE, "%.3f-%.3f", p->prior_low,
                       p->prior_high);
        (void)snprintf(text[i][3], CELL_SIZE, "%.3f", p->fitted);
        (void)snprintf(text[i][4], CELL_SIZE, "%.3f-%.3f", p->fitted_low,
                       p->fitted_high);
        for (size_t k = 0; k < PARAMETER_COLUMNS; k++) {
            cells[i * PARAMETER_COLUMNS + k] = text[i][k];
        }
    }
    pn_paper_table_opts table = {.columns = columns,
                                 .column_count = PARAMETER_COLUMNS,
                                 .cells = cells,
                                 .row_count = score->parameter_count};
    return pn_paper_table(&table, buffer, err);
}

static void put_years(char *out, int first, int last) {
    if (first == last) {
        (void)snprintf(out, YEARS_SIZE, "%d", first);
    } else {
        (void)snprintf(out, YEARS_SIZE, "%d-%d", first, last);
    }
}

static void add_rain_known(const pn_score_soil *score, pn_buffer *buffer) {
    for (size_t i = 0; i < score->method_count; i++) {
        const pn_score_method *m = &score->methods[i];
        bool differs = m->judge_rain_known.day_count != m->judge.day_count;
        if (m->is_ours && m->parameter_count > 0 && differs &&
            m->judge_rain_known.day_count > 0) {
            char rmse[CELL_SIZE], nse[CELL_SIZE];
            put_number(rmse, m->judge_rain_known.rmse,
                       m->target == PN_SCORE_WATER ? 4 : 2);
            put_number(nse, m->judge_rain_known.nse, 3);
            pn_buffer_addf(buffer,
                           "%s, %s: without the stretches of unmeasured rain "
                           "(%zu days left) RMSE %s, NSE %s\n",
                           m->name, target_name(m->target),
                           m->judge_rain_known.day_count, rmse, nse);
        }
    }
}

static void add_notes(const pn_score_soil *score, pn_buffer *buffer) {
    static const pn_sky_et0_method methods[] = {
        PN_SKY_ET0_PENMAN_MONTEITH, PN_SKY_ET0_PENMAN_MONTEITH_ESTIMATED,
        PN_SKY_ET0_HARGREAVES};
    for (size_t i = 0; i < sizeof methods / sizeof methods[0]; i++) {
        size_t days = score->et0_days[methods[i]];
        if (days > 0) {
            pn_buffer_addf(buffer,
                           "judged days with evapotranspiration by %s: %zu\n",
                           pn_sky_et0_method_name(methods[i]), days);
        }
    }
    for (size_t i = 0; i < score->note_count; i++) {
        pn_buffer_addf(buffer, "note: %s\n", score->notes[i]);
    }
}

pn_status pn_score_soil_text(const pn_score_soil *score, pn_buffer *buffer,
                             pn_error *err) {
    char fit_years[YEARS_SIZE], judge_years[YEARS_SIZE];
    put_years(fit_years, score->fit_first_year, score->fit_last_year);
    put_years(judge_years, score->judge_first_year, score->judge_last_year);
    pn_buffer_addf(buffer, "%s: fitted on %s, judged on %s\n", score->csv_name,
                   fit_years, judge_years);
    for (int t = 0; t < PN_SCORE_TARGET_COUNT; t++) {
        pn_score_target target = (pn_score_target)t;
        pn_buffer_addf(buffer, "\n%s (%s)\n", target_name(target),
                       target_unit(target));
        pn_status status = method_table(score, target, buffer, err);
        if (status != PN_OK) {
            return status;
        }
    }
    pn_buffer_addf(buffer, "\n");
    pn_status status = parameter_table(score, buffer, err);
    if (status != PN_OK) {
        return status;
    }
    pn_buffer_addf(buffer, "\n");
    add_rain_known(score, buffer);
    add_notes(score, buffer);
    return pn_buffer_status(buffer, err);
}

/* ---- JSON ------------------------------------------------------------- */

static void json_number(pn_buffer *buffer, const char *key, double value) {
    if (isfinite(value)) {
        pn_buffer_addf(buffer, "\"%s\":%.9g", key, value);
    } else {
        pn_buffer_addf(buffer, "\"%s\":null", key);
    }
}

/* Quoted; names and notes are ours, the table's name is not. */
static void json_string(pn_buffer *buffer, const char *text) {
    pn_buffer_addf(buffer, "\"");
    for (const char *at = text; *at != '\0'; at++) {
        unsigned char c = (unsigned char)*at;
        if (c == '"' || c == '\\') {
            pn_buffer_addf(buffer, "\\%c", c);
        } else if (c < 0x20 || c >= 0x7f) {
            pn_buffer_addf(buffer, "?");
        } else {
            pn_buffer_addf(buffer, "%c", c);
        }
    }
    pn_buffer_addf(buffer, "\"");
}

static void json_skill(pn_buffer *buffer, const char *key,
                       const pn_score_skill *skill) {
    pn_buffer_addf(buffer, ",\"%s\":{\"days\":%zu,", key, skill->day_count);
    json_number(buffer, "rmse", skill->rmse);
    pn_buffer_addf(buffer, ",");
    json_number(buffer, "bias", skill->bias);
    pn_buffer_addf(buffer, ",");
    json_number(buffer, "r", skill->pearson);
    pn_buffer_addf(buffer, ",");
    json_number(buffer, "nse", skill->nse);
    pn_buffer_addf(buffer, "}");
}

static void json_methods(const pn_score_soil *score, pn_buffer *buffer) {
    for (size_t i = 0; i < score->method_count; i++) {
        const pn_score_method *m = &score->methods[i];
        pn_buffer_addf(buffer, "%s{\"name\":", i > 0 ? "," : "");
        json_string(buffer, m->name);
        pn_buffer_addf(buffer, ",\"target\":\"%s\",\"unit\":\"%s\"",
                       target_name(m->target),
                       m->target == PN_SCORE_WATER ? "m3/m3" : "degC");
        pn_buffer_addf(buffer, ",\"ours\":%s,\"fitted_parameters\":%zu",
                       m->is_ours ? "true" : "false", m->parameter_count);
        json_skill(buffer, "fit", &m->fit);
        json_skill(buffer, "judge", &m->judge);
        json_skill(buffer, "judge_rain_known", &m->judge_rain_known);
        pn_buffer_addf(buffer, "}");
    }
}

static void json_parameters(const pn_score_soil *score, pn_buffer *buffer) {
    for (size_t i = 0; i < score->parameter_count; i++) {
        const pn_score_parameter *p = &score->parameters[i];
        pn_buffer_addf(buffer, "%s{\"name\":", i > 0 ? "," : "");
        json_string(buffer, p->name);
        pn_buffer_addf(buffer, ",\"target\":\"%s\",", target_name(p->target));
        json_number(buffer, "prior", p->prior);
        pn_buffer_addf(buffer, ",");
        json_number(buffer, "prior_low", p->prior_low);
        pn_buffer_addf(buffer, ",");
        json_number(buffer, "prior_high", p->prior_high);
        pn_buffer_addf(buffer, ",");
        json_number(buffer, "fitted", p->fitted);
        pn_buffer_addf(buffer, ",");
        json_number(buffer, "fitted_low", p->fitted_low);
        pn_buffer_addf(buffer, ",");
        json_number(buffer, "fitted_high", p->fitted_high);
        pn_buffer_addf(buffer, "}");
    }
}

pn_status pn_score_soil_json(const pn_score_soil *score, pn_buffer *buffer,
                             pn_error *err) {
    pn_buffer_addf(buffer, "{\"table\":");
    json_string(buffer, score->csv_name);
    pn_buffer_addf(buffer,
                   ",\"fit_years\":[%d,%d],\"judge_years\":[%d,%d],"
                   "\"methods\":[",
                   score->fit_first_year, score->fit_last_year,
                   score->judge_first_year, score->judge_last_year);
    json_methods(score, buffer);
    pn_buffer_addf(buffer, "],\"parameters\":[");
    json_parameters(score, buffer);
    pn_buffer_addf(buffer, "],\"notes\":[");
    for (size_t i = 0; i < score->note_count; i++) {
        pn_buffer_addf(buffer, "%s", i > 0 ? "," : "");
        json_string(buffer, score->notes[i]);
    }
    pn_buffer_addf(buffer, "]}\n");
    return pn_buffer_status(buffer, err);
}

/* ---- the chart -------------------------------------------------------- */

static const pn_score_method *fitted_method(const pn_score_soil *score,
                                            pn_score_target target) {
    for (size_t i = 0; i < score->method_count; i++) {
        const pn_score_method *m = &score->methods[i];
        if (m->is_ours && m->parameter_count > 0 && m->target == target) {
            return m;
        }
    }
    return &score->methods[0];
}

static bool any_finite(const double *value, size_t count) {
    for (size_t i = 0; i < count; i++) {
        if (isfinite(value[i])) {
            return true;
        }
    }
    return false;
}

/* One panel of the chart and what its pointers point to. */
typedef struct target_panel {
    char title[160];
    pn_paper_series series[2];
} target_panel;

static pn_paper_panel panel_of(const pn_score_soil *score,
                               pn_score_target target, target_panel *store) {
    const pn_score_method *m = fitted_method(score, target);
    bool is_water = target == PN_SCORE_WATER;
    char rmse[CELL_SIZE], nse[CELL_SIZE];
    put_number(rmse, m->judge.rmse, is_water ? 3 : 2);
    put_number(nse, m->judge.nse, 2);
    (void)snprintf(
        store->title, sizeof store->title, "%s: judged RMSE %s, NSE %s",
        is_water ? "Soil water" : "Soil temperature at 10 cm", rmse, nse);
    store->series[0] = (pn_paper_series){.name = "observed",
                                         .value = score->observed[target],
                                         .ink = PN_PAPER_INK,
                                         .line = PN_PAPER_SOLID};
    store->series[1] =
        (pn_paper_series){.name = "modelled",
                          .value = score->modelled[target],
                          .ink = is_water ? PN_PAPER_SLATE : PN_PAPER_RUST,
                          .line = PN_PAPER_DASHED};
    return (pn_paper_panel){.title = store->title,
                            .unit = is_water ? "m³/m³" : "°C",
                            .series = store->series,
                            .series_count = 2};
}

pn_status pn_score_soil_svg(const pn_score_soil *score, pn_buffer *buffer,
                            pn_error *err) {
    char title[160], subtitle[96];
    (void)snprintf(title, sizeof title, "Soil water and temperature, %s",
                   score->csv_name);
    char fit_years[YEARS_SIZE], judge_years[YEARS_SIZE];
    put_years(fit_years, score->fit_first_year, score->fit_last_year);
    put_years(judge_years, score->judge_first_year, score->judge_last_year);
    (void)snprintf(subtitle, sizeof subtitle, "fitted on %s, judged on %s",
                   fit_years, judge_years);
    const pn_paper_series rain = {.name = "rain",
                                  .value = score->rain_mm,
                                  .ink = PN_PAPER_MOSS,
                                  .line = PN_PAPER_BARS};
    pn_paper_panel panels[3];
    target_panel store[PN_SCORE_TARGET_COUNT];
    size_t count = 0;
    for (int t = 0; t < PN_SCORE_TARGET_COUNT; t++) {
        if (any_finite(score->observed[t], score->day_count)) {
            panels[count++] = panel_of(score, (pn_score_target)t, &store[t]);
        }
    }
    panels[count++] = (pn_paper_panel){.title = "Rain",
                                       .unit = "mm",
                                       .series = &rain,
                                       .series_count = 1,
                                       .from_zero = true,
                                       .height = 0.4};
    pn_paper_chart_opts opts = PN_PAPER_CHART_OPTS_INIT;
    opts.title = title;
    opts.subtitle = subtitle;
    opts.description = "Daily soil water and soil temperature, observed and "
                       "modelled, and the rain.";
    opts.footnote = "Rain where it was not measured is filled; see the notes "
                    "of the score.";
    opts.first_epoch_day = score->first_epoch_day;
    opts.day_count = score->day_count;
    opts.panels = panels;
    opts.panel_count = count;
    return pn_paper_line_chart_svg(&opts, buffer, err);
}
