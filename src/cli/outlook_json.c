/* The outlook for a machine. */
#include "cli.h"

static json_t *days_json(const cli_outlook_data *data,
                         const pn_outlook *outlook, const pn_outlook_row *row) {
    json_t *days = json_array();
    for (int h = 0; h < data->input.horizon_days; h++) {
        const pn_outlook_day *d = &row->day[h];
        json_array_append_new(
            days,
            json_pack("{s:o, s:o, s:o, s:o, s:o, s:o, s:s}", "date",
                      cli_json_date(data->input.issue_epoch_day + h), "chance",
                      cli_json_number(d->chance_prob, 4), "kg",
                      cli_json_number(d->kg, 3), "kg_low",
                      cli_json_number(d->kg_low, 3), "kg_high",
                      cli_json_number(d->kg_high, 3), "density",
                      cli_json_number(d->density, 6), "basis",
                      pn_outlook_basis_name(pn_outlook_bases(outlook)[h])));
    }
    return days;
}

static json_t *factors_json(const pn_outlook *outlook,
                            const pn_outlook_row *row) {
    pn_outlook_factors f;
    if (row->best_day < 0 ||
        pn_outlook_explain(outlook, row, row->best_day, &f, NULL) != PN_OK) {
        return json_null();
    }
    const pn_season_factors *s = &f.season;
    const struct {
        const char *name;
        double value;
    } all[] = {
        {"rain_30d_mm", f.rain_30d_mm},
        {"water_frac", f.water_frac},
        {"soil_degc", f.soil_degc},
        {"gate", s->gate},
        {"water", s->water},
        {"temperature", s->temperature},
        {"trigger", s->trigger},
        {"smoothed_degc", s->smoothed_degc},
        {"recent_degc", s->recent_degc},
        {"initiation", s->initiation},
        {"ripening_dd", s->ripening_dd},
        {"primordia", s->primordia},
        {"life_d", s->life_d},
        {"frost_loss", s->frost_loss},
        {"thermal_time_dd", s->thermal_time_dd},
        {"photoperiod", s->photoperiod},
        {"reached_frac", s->reached_frac},
        {"passed_frac", s->passed_frac},
        {"density", s->density},
        {"lambda_mean", f.lambda_mean},
        {"spread_patch", f.spread_patch},
        {"spread_visit", f.spread_visit},
        {"spread_model", f.spread_model},
        {"spread_weather", f.spread_weather},
    };
    json_t *object = json_object();
    for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
        json_object_set_new(object, all[i].name,
                            cli_json_number(all[i].value, 6));
    }
    return object;
}

static json_t *row_json(const cli_outlook_data *data, const pn_outlook *outlook,
                        const pn_outlook_row *row, bool explain) {
    pn_outlook_reasons why = {.count = 0};
    json_t *reasons = json_array();
    const pn_outlook_memory *m = &row->memory;
    if (pn_outlook_why(outlook, row, &why, NULL) == PN_OK) {
        for (size_t i = 0; i < why.count; i++) {
            json_array_append_new(reasons, json_string(why.text[i]));
        }
    }
    json_t *object = json_pack(
        "{s:i, s:s, s:s, s:s, s:s, s:o, s:o, s:{s:i, s:i, s:i, s:o, s:o}, s:o, "
        "s:s}",
        "rank", row->rank, "patch", data->input.patches[row->patch].name,
        "kind", row->kind->id, "english", row->kind->english, "scientific",
        row->kind->scientific, "best_date",
        row->best_day < 0
            ? json_null()
            : cli_json_date(data->input.issue_epoch_day + row->best_day),
        "days", days_json(data, outlook, row), "memory", "visits", m->visits,
        "in_season", m->in_season, "found", m->found, "lambda_shape",
        cli_json_number(m->shape, 6), "lambda_rate",
        cli_json_number(m->rate_per_n, 6), "reasons", reasons, "caution",
        row->kind->caution);
    if (explain) {
        json_object_set_new(object, "factors", factors_json(outlook, row));
    }
    return object;
}

int cli_outlook_json(const cli_ctx *cli, const cli_args *args,
                     const cli_outlook_data *data, const pn_outlook *outlook,
                     const pn_outlook_row *rows, size_t count) {
    json_t *list = json_array();
    json_t *not_forecast = json_array();
    for (size_t r = 0; r < count; r++) {
        json_array_append_new(
            list, row_json(data, outlook, &rows[r], cli_flag(args, "explain")));
    }
    for (size_t i = 0; i < data->input.pair_count; i++) {
        const pn_outlook_pair *pair = &data->input.pairs[i];
        if (pair->kind->model == PN_SEASON_NOT_FORECAST) {
            json_array_append_new(
                not_forecast,
                json_pack("{s:s, s:s, s:s, s:s}", "kind", pair->kind->id,
                          "patch", data->input.patches[pair->patch].name, "why",
                          pair->kind->not_forecast_why, "caution",
                          pair->kind->caution));
        }
    }
    return cli_print_json(cli,
                          json_pack("{s:o, s:i, s:o, s:o, s:s}", "issued",
                                    cli_json_date(data->input.issue_epoch_day),
                                    "days", data->input.horizon_days, "rows",
                                    list, "not_forecast", not_forecast, "made",
                                    cli_made_line(cli, data, outlook)));
}
