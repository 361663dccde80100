/* The trade's dates, the handbooks' months and two published findings, against
 * sixty invented years at four real stations. */
#include "season/season_years.h"

typedef struct context {
    station stations[STATIONS];
} context;

static int set_up(void **state) {
    context *ctx = calloc(1, sizeof *ctx);
    for (int s = 0; s < STATIONS && ctx != NULL; s++) {
        ctx->stations[s] =
            station_years(station_names[s], 20260901u + (uint64_t)s);
    }
    *state = ctx;
    return ctx == NULL ? -1 : 0;
}

static int tear_down(void **state) {
    context *ctx = *state;
    for (int s = 0; s < STATIONS; s++) {
        station_free(&ctx->stations[s]);
    }
    free(ctx);
    return 0;
}

static const station *station_at(const context *ctx, const char *name) {
    for (int s = 0; s < STATIONS; s++) {
        if (strcmp(ctx->stations[s].name, name) == 0) {
            return &ctx->stations[s];
        }
    }
    fail_msg("no station %s", name);
    return NULL;
}

static const pn_kind *kind_named(const char *id) {
    const pn_kind *kind = pn_kind_find(pn_text_of(id));
    if (kind == NULL) {
        fail_msg("no kind %s", id);
    }
    return kind;
}

static int cover_of(const pn_kind *kind) {
    bool wood = strcmp(kind->group, "wood fungus") == 0 ||
                strcmp(kind->id, "beech_nuts") == 0;
    return wood ? 1 : 0;
}

static FILE *table(const char *name) {
    char path[512];
    snprintf(path, sizeof path, "%s/ref/season/%s", PN_TEST_DATA, name);
    FILE *f = fopen(path, "r");
    assert_non_null(f);
    return f;
}

/* ---- common practice, no source ---------------------------------------- */

typedef struct trade_row {
    char kind[40], station[16], statistic[16], from[8], to[8];
    double tolerance_d;
} trade_row;

/* how many days outside the window; 0 within */
static double days_outside(const trade_row *row, double doy) {
    double early = days_between(doy, doy_of(row->from));
    double late = days_between(doy_of(row->to), doy);
    return fmax(0.0, fmax(early, late));
}

static void the_trade_finds_its_dates(void **state) {
    const context *ctx = *state;
    FILE *f = table("trade_checks.csv");
    char line[256];
    int rows = 0;
    int wrong = 0;
    while (fgets(line, sizeof line, f) != NULL) {
        trade_row row;
        if (line[0] == '#') {
            continue;
        }
        assert_int_equal(sscanf(line,
                                "%39[^,],%15[^,],%15[^,],%7[^,],%7[^,],%lf",
                                row.kind, row.station, row.statistic, row.from,
                                row.to, &row.tolerance_d),
                         6);
        const pn_kind *kind = kind_named(row.kind);
        season_years years = seasons_of(station_at(ctx, row.station), kind,
                                        cover_of(kind), doy_of(row.from));
        bool onset = strcmp(row.statistic, "onset") == 0;
        double doy =
            season_doy(&years, median_of(onset ? years.onset : years.peak));
        double outside = days_outside(&row, doy);
        if (outside > row.tolerance_d) {
            print_error("%s at %s: %s on day %.0f, %.0f days outside\n",
                        row.kind, row.station, row.statistic, doy, outside);
            wrong++;
        }
        rows++;
    }
    fclose(f);
    assert_true(rows >= 10);
    assert_int_equal(wrong, 0);
}

/* "the first big flush starts in the north and moves south as it cools" */
static void the_flush_moves_south(void **state) {
    const context *ctx = *state;
    const pn_kind *kind = kind_named("penny_bun");
    double onset[STATIONS];
    double peak[STATIONS];
    for (int s = 0; s < STATIONS; s++) {
        season_years years = seasons_of(&ctx->stations[s], kind, 1, 270);
        onset[s] = median_of(years.onset);
        peak[s] = median_of(years.peak);
        print_message("%s: onset day %.0f, peak day %.0f, highest %.2f\n",
                      ctx->stations[s].name, season_doy(&years, onset[s]),
                      season_doy(&years, peak[s]), median_of(years.highest));
    }
    /* lerwick, durham, oxford, cardiff */
    assert_true(onset[0] < onset[1]);
    assert_true(onset[1] + 5.0 <= onset[2]);
    assert_true(onset[1] + 2.0 <= onset[3]);
    assert_true(peak[1] < peak[2] && peak[1] < peak[3]);
}

static double sd_of(const double *values) {
    double mean = 0.0;
    double square = 0.0;
    for (int i = 0; i < YEARS; i++) {
        mean += values[i] / YEARS;
    }
    for (int i = 0; i < YEARS; i++) {
        square += (values[i] - mean) * (values[i] - mean) / (YEARS - 1);
    }
    return sqrt(square);
}

static double season_mean(const double *daily, const station *at,
                          const season_years *years, int year, int from_doy,
                          int to_doy) {
    double sum = 0.0;
    int count = 0;
    for (size_t i = years->first_day[year];
         i < years->first_day[year] + SEASON_DAYS; i++) {
        int doy = pn_date_day_of_year(at->epoch_day[i]);
        if (doy >= from_doy && doy <= to_doy) {
            sum += daily[i];
            count++;
        }
    }
    return sum / count;
}

/* Common practice: the years differ with temperature and rain. Published:
 * [STRAATSMA2001] productivity goes with June-October rain, the time of
 * appearance with July-August temperature (warmer: later). Signs only. */
static void years_differ_with_rain_and_warmth(void **state) {
    const context *ctx = *state;
    static const char *const places[] = {"durham", "oxford", "cardiff"};
    for (size_t k = 0; k < COUNT_OF(places); k++) {
        const station *at = station_at(ctx, places[k]);
        season_years years = seasons_of(at, kind_named("penny_bun"), 1, 270);
        double rain[YEARS];
        double warmth[YEARS];
        for (int y = 0; y < YEARS; y++) {
            rain[y] = season_mean(at->rain, at, &years, y, 152, 304);
            warmth[y] = season_mean(at->soil[1], at, &years, y, 182, 243);
        }
        double by_rain = pn_pearson(years.total, rain, YEARS);
        double by_warmth = pn_pearson(years.onset, warmth, YEARS);
        double spread_d = sd_of(years.onset);
        print_message("%s: onset sd %.1f d, r(total, rain) %.2f, "
                      "r(onset, warmth) %.2f\n",
                      places[k], spread_d, by_rain, by_warmth);
        assert_true(spread_d > 4.0 && spread_d < 40.0);
        assert_true(by_rain > 0.2);
        assert_true(by_warmth > 0.15);
    }
}

/* the order of the year, common practice, no source */
static void the_year_comes_in_its_order(void **state) {
    const context *ctx = *state;
    static const char *const order[] = {
        "wild_garlic_leaves", "nettle_tops",    "hop_shoots", "lime_leaves",
        "elderflower",        "bilberry",       "bramble",    "elderberry",
        "beech_nuts",         "sweet_chestnuts"};
    for (int s = 1; s < STATIONS; s++) {
        double last = 0.0;
        for (size_t k = 0; k < COUNT_OF(order); k++) {
            const pn_kind *kind = kind_named(order[k]);
            season_years years = seasons_of(&ctx->stations[s], kind, 0, 183);
            double onset = season_doy(&years, median_of(years.onset));
            if (onset <= last) {
                print_error("%s comes on day %.0f at %s, before its turn\n",
                            order[k], onset, ctx->stations[s].name);
                fail();
            }
            last = onset;
        }
    }
}

/* ---- handbooks, from memory ---------------------------------------------- */

typedef struct handbook_row {
    char kind[40], cover[16], first[8], last[8];
    int margin_d, shetland;
} handbook_row;

/* later_d: how much later than the handbook the place is known to be */
static bool outside_season(const handbook_row *row, double later_d,
                           double doy) {
    double first = doy_of(row->first) - row->margin_d;
    double last = doy_of(row->last) + row->margin_d + later_d;
    double length = fmod(last - first + 730.0, 365.0);
    return fmod(doy - first + 730.0, 365.0) > length;
}

typedef struct stray {
    double density, doy;
} stray;

static stray worst_stray(const handbook_row *row, const season_years *years,
                         double later_d) {
    stray worst = {0.0, 0.0};
    for (size_t d = 0; d < SEASON_DAYS; d++) {
        double doy = season_doy(years, (double)d);
        if (outside_season(row, later_d, doy) &&
            years->mean[d] > worst.density) {
            worst = (stray){years->mean[d], doy};
        }
    }
    return worst;
}

static int months_broken(const handbook_row *row, const season_years *years,
                         const station *at) {
    bool lerwick = strcmp(at->name, "lerwick") == 0;
    if (lerwick && row->shetland == 0) {
        return 0;
    }
    stray worst = worst_stray(row, years, lerwick ? 40.0 : 0.0);
    handbook_row inside = *row;
    inside.margin_d = 15; /* the months are no sharper than that */
    double peak = season_doy(years, median_of(years->peak));
    double highest = median_of(years->highest);
    bool worth =
        lerwick || (highest >= 0.2 && !outside_season(&inside, 0.0, peak));
    if (worst.density < 0.01 && worth) {
        return 0;
    }
    print_error("%s at %s: %.3f on day %.0f; highest %.2f, peak day %.0f\n",
                row->kind, at->name, worst.density, worst.doy, highest, peak);
    return 1;
}

/* well outside its months N is nothing; inside it is worth going */
static void kinds_keep_to_their_months(void **state) {
    const context *ctx = *state;
    FILE *f = table("handbook_seasons.csv");
    char line[256];
    int rows = 0;
    int wrong = 0;
    while (fgets(line, sizeof line, f) != NULL) {
        handbook_row row;
        if (line[0] == '#') {
            continue;
        }
        assert_int_equal(sscanf(line, "%39[^,],%15[^,],%7[^,],%7[^,],%d,%d",
                                row.kind, row.cover, row.first, row.last,
                                &row.margin_d, &row.shetland),
                         6);
        const pn_kind *kind = kind_named(row.kind);
        int cover = strcmp(row.cover, "broadleaf") == 0 ? 1 : 0;
        int first = doy_of(row.first);
        int length = (doy_of(row.last) - first + 365) % 365;
        int middle = (first + length / 2 - 1) % 365 + 1;
        for (int s = 0; s < STATIONS; s++) {
            season_years years =
                seasons_of(&ctx->stations[s], kind, cover, middle);
            wrong += months_broken(&row, &years, &ctx->stations[s]);
        }
        rows++;
    }
    fclose(f);
    assert_true(rows >= 30);
    assert_int_equal(wrong, 0);
}

/* ---- published numbers ----------------------------------------------------
 */

static void single_sine_matches_the_leaflet(void **state) {
    (void)state;
    FILE *f = table("zalom_single_sine.csv");
    char line[256];
    int rows = 0;
    while (fgets(line, sizeof line, f) != NULL) {
        double low = 0.0;
        double high = 0.0;
        double want = 0.0;
        if (line[0] == '#') {
            continue;
        }
        assert_int_equal(sscanf(line, "%lf,%lf,%lf", &low, &high, &want), 3);
        double got = 1.8 * pn_season_degree_days(
                               (low - 32.0) / 1.8, (high - 32.0) / 1.8,
                               (55.0 - 32.0) / 1.8, (90.0 - 32.0) / 1.8);
        assert_near(line, got, want, 0.0051);
        rows++;
    }
    fclose(f);
    assert_int_equal(rows, 12);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_trade_finds_its_dates),
        cmocka_unit_test(the_flush_moves_south),
        cmocka_unit_test(years_differ_with_rain_and_warmth),
        cmocka_unit_test(the_year_comes_in_its_order),
        cmocka_unit_test(kinds_keep_to_their_months),
        cmocka_unit_test(single_sine_matches_the_leaflet),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
