/* Every factor and parameter behind a row of the outlook. */
#include "cli.h"

#include <math.h>

static void print_factor(const char *name, double value, const char *meaning) {
    if (!isnan(value)) {
        printf("    %-22s %9.4g   %s\n", name, value, meaning);
    }
}

static void print_season_factors(const pn_season_factors *f) {
    print_factor("season gate", f->gate, "0 .. 1, S(day of year)");
    print_factor("soil water", f->water, "0 .. 1, g(w)");
    print_factor("soil temperature", f->temperature, "0 .. 1, h(T)");
    print_factor("trigger", f->trigger, "0 .. 1, the turn of temperature");
    print_factor("  smoothed soil", f->smoothed_degc, "degC");
    print_factor("  recent extreme", f->recent_degc, "degC");
    print_factor("initiation", f->initiation, "share of the best crop a day");
    print_factor("ripening", f->ripening_dd, "K d gained that day");
    print_factor("not yet usable", f->primordia, "as N");
    print_factor("usable life", f->life_d, "days");
    print_factor("lost to frost", f->frost_loss, "share that day");
    print_factor("thermal time", f->thermal_time_dd, "K d since its start");
    print_factor("weight of day length", f->photoperiod, "0 .. 1");
    print_factor("at its stage", f->reached_frac, "share");
    print_factor("past it", f->passed_frac, "share");
    print_factor("N, usable density", f->density, "1 = steady ideal days");
}

static void print_parameters(const pn_kind *kind) {
    for (int p = 0; p < PN_SEASON_PARAM_COUNT; p++) {
        pn_season_param param = (pn_season_param)p;
        if (pn_season_param_used(kind->model, param)) {
            printf("    %-26s %9.4g %-12s spread %.3g%s; %s\n",
                   pn_season_param_name(param), kind->prior[p].median,
                   pn_season_param_unit(param), kind->prior[p].spread,
                   pn_season_param_scale(param) == PN_SEASON_SCALE_LOG
                       ? " (log)"
                       : "",
                   kind->prior[p].source);
        }
    }
}

static void print_ground(const pn_outlook *outlook) {
    int futures = pn_outlook_how_made(outlook).member_count;
    if (futures == 1) {
        printf("  the ground\n");
    } else {
        printf("  the ground, in one of the %d futures\n", futures);
    }
}

int cli_explain_row(const cli_outlook_data *data, const pn_outlook *outlook,
                    const pn_outlook_row *row) {
    pn_outlook_factors f;
    pn_error err = {0};
    char day[PN_DATE_HUMAN_SIZE];
    const pn_outlook_memory *m = &row->memory;
    if (row->best_day < 0) {
        return CLI_OK;
    }
    if (pn_outlook_explain(outlook, row, row->best_day, &f, &err) != PN_OK) {
        return cli_fail_error(&err);
    }
    const pn_outlook_day *best = &row->day[row->best_day];
    printf("\n%s at %s, %s (weather of that day: %s)\n", row->kind->english,
           data->input.patches[row->patch].name,
           pn_date_human(data->input.issue_epoch_day + row->best_day, day),
           pn_outlook_basis_name(pn_outlook_bases(outlook)[row->best_day]));
    printf("  %s\n", row->kind->caution);
    print_ground(outlook);
    print_factor("rain, last 30 days", f.rain_30d_mm, "mm");
    print_factor("water left", f.water_frac, "share of the top soil's water");
    print_factor("soil at 10 cm", f.soil_degc, "degC");
    printf("  the kind\n");
    print_season_factors(&f.season);
    printf("  the patch: %d visit%s, %d in season, %d of them found it\n",
           m->visits, m->visits == 1 ? "" : "s", m->in_season, m->found);
    print_factor("lambda before visits", m->prior_mean, row->kind->item_plural);
    print_factor("lambda now", f.lambda_mean, "items standing at N = 1");
    print_factor("Gamma shape", m->shape, "");
    print_factor("Gamma rate", m->rate_per_n, "");
    printf("  the day: N over all futures %.4g, so %.3g %s are expected;\n"
           "    %lld make it worthwhile (chance %.3f)\n",
           best->density, best->count_mean, row->kind->item_plural,
           (long long)row->kind->worthwhile_count, best->chance_prob);
    printf("  relative variance: the patch %.3g + the day's chance %.3g + the "
           "model %.3g\n    + weather not yet known %.3g\n",
           f.spread_patch, f.spread_visit, f.spread_model, f.spread_weather);
    printf("  parameters (prior medians; nothing is learned from visits yet "
           "but lambda)\n");
    print_parameters(row->kind);
    return CLI_OK;
}
