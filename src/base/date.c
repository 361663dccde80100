#include "pannage/base.h"

#include <stdio.h>

/* The civil-from-days arithmetic counts years from 1 March, so that the leap
 * day is the last of a year, and eras of 400 years (146097 days). It is the
 * standard proleptic Gregorian computation, from memory. */
enum { ERA_DAYS = 146097, DAYS_0000_03_01_TO_EPOCH = 719468 };

static bool is_leap(int year) {
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

static int days_in_month(int year, int month) {
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    return days[month - 1] + (month == 2 && is_leap(year));
}

bool pn_date_exists(int year, int month, int day) {
    return year >= 1583 && year <= 9999 && month >= 1 && month <= 12 &&
           day >= 1 && day <= days_in_month(year, month);
}

int32_t pn_date_to_epoch_day(pn_date date) {
    int year = date.month <= 2 ? date.year - 1 : date.year;
    int era = year / 400;
    int year_of_era = year - era * 400;
    int month_from_march = (date.month + 9) % 12;
    int day_of_year = (153 * month_from_march + 2) / 5 + date.day - 1;
    int day_of_era =
        year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year;
    return era * ERA_DAYS + day_of_era - DAYS_0000_03_01_TO_EPOCH;
}

pn_date pn_date_from_epoch_day(int32_t epoch_day) {
    int32_t days = epoch_day + DAYS_0000_03_01_TO_EPOCH;
    int32_t era = (days >= 0 ? days : days - (ERA_DAYS - 1)) / ERA_DAYS;
    int32_t day_of_era = days - era * ERA_DAYS;
    int32_t year_of_era = (day_of_era - day_of_era / 1460 + day_of_era / 36524 -
                           day_of_era / 146096) /
                          365;
    int32_t day_of_year =
        day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    int32_t month_from_march = (5 * day_of_year + 2) / 153;
    pn_date date;
    date.day = day_of_year - (153 * month_from_march + 2) / 5 + 1;
    date.month =
        month_from_march < 10 ? month_from_march + 3 : month_from_march - 9;
    date.year = year_of_era + era * 400 + (date.month <= 2);
    return date;
}

int pn_date_day_of_year(int32_t epoch_day) {
    pn_date date = pn_date_from_epoch_day(epoch_day);
    pn_date first = {date.year, 1, 1};
    return epoch_day - pn_date_to_epoch_day(first) + 1;
}

int pn_date_weekday(int32_t epoch_day) {
    int32_t since_monday = (epoch_day + 3) % 7; /* 1970-01-01: a Thursday */
    return since_monday < 0 ? since_monday + 7 : since_monday;
}

bool pn_date_parse_iso(pn_text text, int32_t *epoch_day) {
    int64_t part[3] = {0};
    if (text.len != 10 || text.at[4] != '-' || text.at[7] != '-') {
        return false;
    }
    pn_text pieces[] = {{text.at, 4}, {text.at + 5, 2}, {text.at + 8, 2}};
    for (size_t i = 0; i < 3; i++) {
        if (pieces[i].at[0] < '0' || !pn_text_to_int(pieces[i], &part[i])) {
            return false;
        }
    }
    if (!pn_date_exists((int)part[0], (int)part[1], (int)part[2])) {
        return false;
    }
    *epoch_day = pn_date_to_epoch_day(
        (pn_date){(int)part[0], (int)part[1], (int)part[2]});
    return true;
}

const char *pn_month_name(int month) {
    static const char names[][4] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                    "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    return month >= 1 && month <= 12 ? names[month - 1] : "???";
}

char *pn_date_iso(int32_t epoch_day, char buf[PN_DATE_ISO_SIZE]) {
    pn_date date = pn_date_from_epoch_day(epoch_day);
    if (!pn_date_exists(date.year, date.month, date.day)) {
        snprintf(buf, PN_DATE_ISO_SIZE, "no date");
        return buf;
    }
    /* pn_date_exists() bounds the parts; % tells the compiler so. */
    snprintf(buf, PN_DATE_ISO_SIZE, "%04u-%02u-%02u",
             (unsigned)date.year % 10000U, (unsigned)date.month % 100U,
             (unsigned)date.day % 100U);
    return buf;
}

char *pn_date_human(int32_t epoch_day, char buf[PN_DATE_HUMAN_SIZE]) {
    static const char names[][4] = {"Mon", "Tue", "Wed", "Thu",
                                    "Fri", "Sat", "Sun"};
    pn_date date = pn_date_from_epoch_day(epoch_day);
    snprintf(buf, PN_DATE_HUMAN_SIZE, "%s %d %s",
             names[pn_date_weekday(epoch_day)], date.day,
             pn_month_name(date.month));
    return buf;
}
