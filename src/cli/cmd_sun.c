#include "cli.h"

#include <math.h>
#include <time.h>

#include "pannage/ground.h"

/* "07:43" in the machine's own time zone, from hours UTC of a date. */
static const char *clock_text(const cli_ctx *cli, int32_t day,
                              double hour_utc) {
    if (isnan(hour_utc)) {
        return "-";
    }
    time_t seconds = (time_t)day * 86400 + (time_t)lround(hour_utc * 60.0) * 60;
    struct tm tm;
    if (localtime_r(&seconds, &tm) == NULL) {
        return "?";
    }
    return cli_textf(cli, "%02d:%02d", tm.tm_hour, tm.tm_min);
}

static const char *outcome_text(const pn_sky_passage *passage) {
    switch (passage->outcome) {
    case PN_SKY_RISES_AND_SETS:
        return "";
    case PN_SKY_NEVER_RISES:
        return "  (stays below all day)";
    case PN_SKY_NEVER_SETS:
        return "  (lasts all night)";
    default:
        return "";
    }
}

static json_t *passage_json(const pn_sky_passage *passage) {
    return json_pack(
        "{s:o, s:o, s:s}", "from_utc_h", cli_json_number(passage->rise_h, 4),
        "to_utc_h", cli_json_number(passage->set_h, 4), "outcome",
        passage->outcome == PN_SKY_RISES_AND_SETS ? "rises and sets"
        : passage->outcome == PN_SKY_NEVER_RISES  ? "never rises"
                                                  : "never sets");
}

static int where_is_it(const cli_ctx *cli, const cli_args *args,
                       double *latitude_deg, double *longitude_deg) {
    const char *name = cli_value(args, "patch");
    if (name == NULL) {
        return cli_position_value(args, latitude_deg, longitude_deg);
    }
    pn_notebook *notebook = NULL;
    pn_patch patch;
    int code = cli_open_notebook(cli, PN_NOTEBOOK_READ, &notebook);
    if (code == CLI_OK) {
        code = cli_find_patch(cli, notebook, name, &patch);
    }
    if (code == CLI_OK) {
        *latitude_deg = patch.latitude_deg;
        *longitude_deg = patch.longitude_deg;
    }
    pn_notebook_close(notebook);
    return code;
}

int cmd_sun(cli_ctx *cli, const cli_args *args) {
    double latitude_deg = NAN;
    double longitude_deg = NAN;
    int32_t day = cli->today_epoch_day;
    pn_sky_sun_times sun;
    int code = cli_date_value(cli, args, "date", &day);
    if (code == CLI_OK) {
        code = where_is_it(cli, args, &latitude_deg, &longitude_deg);
    }
    if (code != CLI_OK) {
        return code;
    }
    if (!pn_sky_sun_times_of(day, pn_radians(latitude_deg),
                             pn_radians(longitude_deg), &sun)) {
        return cli_fail(CLI_INPUT, "the sun is known for 1800 to 2200 only");
    }
    if (cli->json) {
        return cli_print_json(
            cli, json_pack("{s:o, s:o, s:o, s:o}", "date", cli_json_date(day),
                           "sun", passage_json(&sun.day), "civil_twilight",
                           passage_json(&sun.civil), "noon_utc_h",
                           cli_json_number(sun.noon_h, 4)));
    }
    char human[PN_DATE_HUMAN_SIZE];
    printf("%s at %s, local time\n", pn_date_human(day, human),
           cli_grid_text(cli, latitude_deg, longitude_deg));
    printf("  light enough to walk  %s to %s%s\n",
           clock_text(cli, day, sun.civil.rise_h),
           clock_text(cli, day, sun.civil.set_h), outcome_text(&sun.civil));
    printf("  sun up                %s to %s%s\n",
           clock_text(cli, day, sun.day.rise_h),
           clock_text(cli, day, sun.day.set_h), outcome_text(&sun.day));
    printf("  highest               %s\n", clock_text(cli, day, sun.noon_h));
    return CLI_OK;
}
