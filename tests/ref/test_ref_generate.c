// SPDX-License-Identifier: MIT
/* Generated weather gives its normals back: the real ones of four stations
 * from Shetland to Wales. */
#include "sky/sky_table.h"

#include "pannage/sky.h"

enum { STATIONS = 4, YEARS = 199, SEEDS = 4 };

struct station {
    char name[64];
    pn_sky_generate_opts opts;
    pn_sky_normals normals;
};

static double rad(double deg) {
    return deg * acos(-1.0) / 180.0;
}

static void read_stations(struct station stations[STATIONS]) {
    FILE *f = open_table(PN_TEST_DATA "/ref/sky/normals_1991_2020.csv");
    table_row row;
    size_t rows = 0;
    for (; read_named_row(f, 1, &row); rows++) {
        assert_true(rows < 12 * STATIONS);
        assert_int_equal(row.number_count, 8);
        struct station *station = &stations[rows / 12];
        size_t month = rows % 12;
        memcpy(station->name, row.word[0], sizeof station->name);
        station->opts = (pn_sky_generate_opts){
            .latitude_rad = rad(row.number[0]),
            .longitude_rad = rad(row.number[1]),
            .elevation_m = row.number[2],
            .first_epoch_day = pn_date_to_epoch_day((pn_date){1801, 1, 1}),
            .day_count = YEARS * 365 + 48,
        };
        assert_near(row.line, row.number[3], (double)month + 1.0, 0.0);
        station->normals.tmax_degc[month] = row.number[4];
        station->normals.tmin_degc[month] = row.number[5];
        station->normals.rain_mm[month] = row.number[6];
        station->normals.sun_h[month] = row.number[7];
        station->normals.wet_day_frac[month] = NAN;
    }
    fclose(f);
    assert_int_equal(rows, 12 * STATIONS);
}

static void add_months(const pn_weather *weather, double sum[12][4],
                       double days[12]) {
    static const pn_sky_var vars[] = {PN_SKY_TMAX_DEGC, PN_SKY_TMIN_DEGC,
                                      PN_SKY_RAIN_MM, PN_SKY_SUNSHINE_H};
    for (size_t i = 0; i < weather->day_count; i++) {
        pn_date date =
            pn_date_from_epoch_day(weather->first_epoch_day + (int32_t)i);
        days[date.month - 1] += 1.0;
        for (size_t v = 0; v < COUNT_OF(vars); v++) {
            sum[date.month - 1][v] += weather->value[vars[v]][i];
        }
    }
}

/* A month of days with AR(1) weather scatters by about 1.3 K and 50 % of its
 * rain, so one run of 30 years cannot be asked for less than 0.25 K and 9 %:
 * the standard errors. Over 4 x 199 years they are 0.05 K and 2 %. */
static void months_return_their_normals(void **state) {
    (void)state;
    static struct station stations[STATIONS];
    read_stations(stations);
    for (size_t s = 0; s < STATIONS; s++) {
        double sum[12][4] = {{0}};
        double days[12] = {0};
        for (uint64_t seed = 1; seed <= SEEDS; seed++) {
            pn_weather *weather = NULL;
            stations[s].opts.seed = seed;
            assert_int_equal(
                pn_weather_generate(&pn_alloc_libc, &stations[s].normals,
                                    &stations[s].opts, &weather, NULL),
                PN_OK);
            add_months(weather, sum, days);
            pn_weather_free(weather);
        }
        for (int m = 0; m < 12; m++) {
            const pn_sky_normals *want = &stations[s].normals;
            double per_month = (double)(SEEDS * YEARS);
            const char *name = stations[s].name;
            assert_near(name, sum[m][0] / days[m], want->tmax_degc[m], 0.2);
            assert_near(name, sum[m][1] / days[m], want->tmin_degc[m], 0.2);
            assert_near(name, sum[m][2] / per_month, want->rain_mm[m],
                        0.06 * want->rain_mm[m]);
            assert_near(name, sum[m][3] / per_month, want->sun_h[m],
                        0.03 * want->sun_h[m]);
        }
    }
}

/* A single run of 30 years: the year's mean within 0.25 K and its rain within
 * 6 %, every month within 4 standard errors (1.0 K; 40 % of its rain). */
static void thirty_years_come_close(void **state) {
    (void)state;
    static struct station stations[STATIONS];
    read_stations(stations);
    for (size_t s = 0; s < STATIONS; s++) {
        const pn_sky_normals *want = &stations[s].normals;
        double sum[12][4] = {{0}};
        double days[12] = {0};
        pn_weather *weather = NULL;
        stations[s].opts.day_count = 30 * 365 + 7;
        stations[s].opts.seed = 1991;
        assert_int_equal(pn_weather_generate(&pn_alloc_libc, want,
                                             &stations[s].opts, &weather, NULL),
                         PN_OK);
        add_months(weather, sum, days);
        pn_weather_free(weather);
        double off_k = 0.0;
        double rain_mm = 0.0;
        double want_mm = 0.0;
        for (int m = 0; m < 12; m++) {
            double month_off_k = sum[m][0] / days[m] - want->tmax_degc[m];
            double month_mm = sum[m][2] / 30.0;
            assert_near(stations[s].name, month_off_k, 0.0, 1.0);
            assert_near(stations[s].name, month_mm, want->rain_mm[m],
                        0.4 * want->rain_mm[m]);
            off_k += month_off_k / 12.0;
            rain_mm += month_mm;
            want_mm += want->rain_mm[m];
        }
        assert_near(stations[s].name, off_k, 0.0, 0.25);
        assert_near(stations[s].name, rain_mm, want_mm, 0.06 * want_mm);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(months_return_their_normals),
        cmocka_unit_test(thirty_years_come_close),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
