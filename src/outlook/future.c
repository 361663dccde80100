/* Which weather stands in for the days that nobody has forecast: the same
 * weeks of every other year of the record; where there are few, also a week
 * earlier and later; where there are none, the weeks just past. */
#include "outlook_internal.h"

#include <math.h>

enum { FEW_YEARS = 5, SHIFT_DAYS = 7, RECENT_BLOCKS = 6 };

static bool day_is_whole(const pn_weather *weather, int32_t day) {
    int64_t at = (int64_t)day - weather->first_epoch_day;
    return at >= 0 && at < (int64_t)weather->day_count &&
           isfinite(weather->value[PN_SKY_TMIN_DEGC][at]) &&
           isfinite(weather->value[PN_SKY_TMAX_DEGC][at]) &&
           isfinite(weather->value[PN_SKY_RAIN_MM][at]);
}

/* All days of the stand-in were measured before the issue day. */
static bool usable(const pn_outlook *outlook, int32_t start, int days) {
    if (start + days > outlook->in.issue_epoch_day) {
        return false;
    }
    for (int i = 0; i < days; i++) {
        if (!day_is_whole(outlook->in.record, start + i)) {
            return false;
        }
    }
    return true;
}

static void offer(pn_outlook *outlook, int32_t start, int days) {
    if (outlook->member_count < PN_OUTLOOK_MEMBERS_MAX &&
        usable(outlook, start, days)) {
        outlook->members[outlook->member_count++].start_epoch_day = start;
    }
}

/* The same calendar day `back` years earlier; 29 February becomes the 28th. */
static int32_t years_earlier(int32_t epoch_day, int back) {
    pn_date date = pn_date_from_epoch_day(epoch_day);
    date.year -= back;
    if (!pn_date_exists(date.year, date.month, date.day)) {
        date.day = 28;
    }
    return pn_date_to_epoch_day(date);
}

static void offer_other_years(pn_outlook *outlook, int32_t first, int days,
                              int32_t shift) {
    pn_date record_first =
        pn_date_from_epoch_day(outlook->in.record->first_epoch_day);
    int years = pn_date_from_epoch_day(first).year - record_first.year;
    for (int back = 1; back <= years; back++) {
        offer(outlook, years_earlier(first, back) + shift, days);
    }
}

static int count_forecast_days(const pn_outlook *outlook) {
    const pn_weather *forecast = outlook->in.forecast;
    int days = 0;
    while (forecast != NULL && days < outlook->in.horizon_days &&
           day_is_whole(forecast, outlook->in.issue_epoch_day + days)) {
        days++;
    }
    return days;
}

pn_status outlook_choose_futures(pn_outlook *outlook, pn_error *err) {
    int forecast_days = count_forecast_days(outlook);
    int days = outlook->in.horizon_days - forecast_days;
    int32_t first = outlook->in.issue_epoch_day + forecast_days;
    pn_outlook_basis basis = PN_OUTLOOK_CLIMATOLOGY;
    outlook->made.forecast_days = forecast_days;
    offer_other_years(outlook, first, days, 0);
    outlook->made.other_years = (int)outlook->member_count;
    if (days > 0 && outlook->member_count > 0 &&
        outlook->member_count < FEW_YEARS) {
        offer_other_years(outlook, first, days, -SHIFT_DAYS);
        offer_other_years(outlook, first, days, SHIFT_DAYS);
    }
    if (days == 0) {
        outlook->member_count = 1; /* the forecast is the only future */
        outlook->made.other_years = 0;
    } else if (outlook->member_count == 0) {
        basis = PN_OUTLOOK_RECENT;
        for (int i = 0; i < RECENT_BLOCKS; i++) {
            offer(outlook, outlook->in.issue_epoch_day - days - i * SHIFT_DAYS,
                  days);
        }
    }
    if (outlook->member_count == 0) {
        return pn_fail(err, PN_EDOMAIN,
                       "the weather record holds fewer than %d whole days "
                       "before the day asked; import more of it, or give a "
                       "forecast that covers all %d days",
                       days, outlook->in.horizon_days);
    }
    for (int h = 0; h < outlook->in.horizon_days; h++) {
        outlook->basis[h] = h < forecast_days ? PN_OUTLOOK_FORECAST : basis;
    }
    outlook->made.member_count = (int)outlook->member_count;
    return PN_OK;
}
