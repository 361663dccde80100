/* Headings: which variable in which unit. */
#include "exchange/exchange_internal.h"
#include "unit/exchange/exchange_support.h"

static void understands_variable_and_unit(void **state) {
    (void)state;
    static const struct {
        const char *text;
        pn_sky_var var;
        double given;
        double want;
    } rows[] = {
        {"tmin (degC)", PN_SKY_TMIN_DEGC, -3.5, -3.5},
        {"tmin_c", PN_SKY_TMIN_DEGC, 4.0, 4.0},
        {"tmin_degc", PN_SKY_TMIN_DEGC, 4.0, 4.0},
        {"TMAX [\xC2\xB0"
         "C]",
         PN_SKY_TMAX_DEGC, 20.0, 20.0},
        {"tmax_f", PN_SKY_TMAX_DEGC, 50.0, 10.0},
        {"Max temp (\xC2\xB0"
         "F)",
         PN_SKY_TMAX_DEGC, 32.0, 0.0},
        {"t_max (K)", PN_SKY_TMAX_DEGC, 273.15, 0.0},
        {"minimum temperature (deg C)", PN_SKY_TMIN_DEGC, 1.0, 1.0},
        {"rain (mm)", PN_SKY_RAIN_MM, 2.5, 2.5},
        {"rain_in", PN_SKY_RAIN_MM, 1.0, 25.4},
        {"Precipitation [cm]", PN_SKY_RAIN_MM, 1.0, 10.0},
        {"humidity (%)", PN_SKY_HUMIDITY_FRAC, 83.0, 0.83},
        {"rh (frac)", PN_SKY_HUMIDITY_FRAC, 0.5, 0.5},
        {"wind_kn", PN_SKY_WIND_M_S, 3600.0, 1852.0},
        {"wind (mph)", PN_SKY_WIND_M_S, 100.0, 44.704},
        {"wind speed (km/h)", PN_SKY_WIND_M_S, 36.0, 10.0},
        {"wind_m_s", PN_SKY_WIND_M_S, 3.0, 3.0},
        {"wind (m s-1)", PN_SKY_WIND_M_S, 3.0, 3.0},
        {"sun (h)", PN_SKY_SUNSHINE_H, 7.0, 7.0},
        {"sunshine_min", PN_SKY_SUNSHINE_H, 90.0, 1.5},
        {"radiation (MJ/m2)", PN_SKY_SOLAR_MJ_M2, 12.0, 12.0},
        {"radiation (MJ/m\xC2\xB2)", PN_SKY_SOLAR_MJ_M2, 12.0, 12.0},
        {"radiation (kJ/m2)", PN_SKY_SOLAR_MJ_M2, 1500.0, 1.5},
        {"radiation (W/m2 mean)", PN_SKY_SOLAR_MJ_M2, 100.0, 8.64},
        {"solar (kWh/m2)", PN_SKY_SOLAR_MJ_M2, 1.0, 3.6},
        {"solar_mj_m2", PN_SKY_SOLAR_MJ_M2, 9.0, 9.0},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        px_heading h = px_heading_of(pn_text_of(rows[i].text));
        if (h.kind != PX_HEADING_VAR || h.var != rows[i].var) {
            print_error("%s: not understood\n", rows[i].text);
        }
        assert_int_equal(h.kind, PX_HEADING_VAR);
        assert_int_equal(h.var, rows[i].var);
        assert_near(rows[i].text, rows[i].given * h.unit.scale + h.unit.offset,
                    rows[i].want, 1e-12 * fabs(rows[i].want) + 1e-12);
    }
}

static void tells_other_headings_apart(void **state) {
    (void)state;
    static const struct {
        const char *text;
        px_heading_kind want;
    } rows[] = {
        {"date", PX_HEADING_DATE_ISO},
        {"Date (YYYY-MM-DD)", PX_HEADING_DATE_ISO},
        {"date (dd/mm/yyyy)", PX_HEADING_DATE_DMY},
        {"date (MM/DD/YYYY)", PX_HEADING_UNKNOWN},
        {"tmin", PX_HEADING_NO_UNIT},
        {"rain ()", PX_HEADING_NO_UNIT},
        {"wind at 10 m", PX_HEADING_NO_UNIT},
        {"rain (furlong)", PX_HEADING_BAD_UNIT},
        {"wind (mm)", PX_HEADING_BAD_UNIT},
        {"tmin_x", PX_HEADING_BAD_UNIT},
        {"rain gauge (mm)", PX_HEADING_UNKNOWN},
        {"rainbow (mm)", PX_HEADING_UNKNOWN},
        {"tavg (degC)", PX_HEADING_UNKNOWN},
        {"tmin (degC", PX_HEADING_UNKNOWN},
        {"", PX_HEADING_UNKNOWN},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        px_heading h = px_heading_of(pn_text_of(rows[i].text));
        if (h.kind != rows[i].want) {
            print_error("'%s': kind %d\n", rows[i].text, (int)h.kind);
        }
        assert_int_equal(h.kind, rows[i].want);
    }
}

static void reads_the_height_of_the_wind_sensor(void **state) {
    (void)state;
    static const struct {
        const char *text;
        double want_m;
    } rows[] = {
        {"wind (m/s)", NAN},      {"wind_2m (m/s)", 2.0},
        {"wind 10 m (kn)", 10.0}, {"wind at 3 m (m/s)", 3.0},
        {"wind_10m_kn", 10.0},
    };
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        px_heading h = px_heading_of(pn_text_of(rows[i].text));
        assert_int_equal(h.kind, PX_HEADING_VAR);
        assert_near(rows[i].text, h.wind_height_m, rows[i].want_m, 0.0);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(understands_variable_and_unit),
        cmocka_unit_test(tells_other_headings_apart),
        cmocka_unit_test(reads_the_height_of_the_wind_sensor),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
