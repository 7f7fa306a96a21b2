#include "base/date.h"

/* Counted from 1 March of year 0, so that the leap day is the last of its year; a cycle of
 * 400 years has 146,097 days and 1 March 0000 lies 719,468 days before 1970-01-01.
 * (Arithmetic.) */
#define DAYS_OF_CYCLE 146097
#define DAYS_TO_1970  719468

static int floor_div(int a, int b)
{
    return a / b - (a % b < 0);
}

static bool is_leap(int year)
{
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

int bt_day(int year, int month, int day_of_month)
{
    const int y = month <= 2 ? year - 1 : year;
    const int cycle = floor_div(y, 400);
    const int year_of_cycle = y - 400 * cycle;
    const int month_from_march = (month + 9) % 12;
    /* Months from March on have 31 30 31 30 31 days, over and over: 153 days in five. */
    const int day_of_year = (153 * month_from_march + 2) / 5 + day_of_month - 1;
    const int day_of_cycle =
        365 * year_of_cycle + year_of_cycle / 4 - year_of_cycle / 100 + day_of_year;
    return DAYS_OF_CYCLE * cycle + day_of_cycle - DAYS_TO_1970;
}

void bt_civil(int day, int *year, int *month, int *day_of_month)
{
    const int cycle = floor_div(day + DAYS_TO_1970, DAYS_OF_CYCLE);
    const int of_cycle = day + DAYS_TO_1970 - DAYS_OF_CYCLE * cycle;
    /* Leap days taken out (one in 1,461 days, none in 36,524, one in 146,096), years are
     * equal. */
    const int year_of_cycle =
        (of_cycle - of_cycle / 1460 + of_cycle / 36524 - of_cycle / 146096) / 365;
    const int of_year =
        of_cycle - (365 * year_of_cycle + year_of_cycle / 4 - year_of_cycle / 100);
    const int month_from_march = (5 * of_year + 2) / 153;
    *day_of_month = of_year - (153 * month_from_march + 2) / 5 + 1;
    *month = month_from_march < 10 ? month_from_march + 3 : month_from_march - 9;
    *year = 400 * cycle + year_of_cycle + (*month <= 2);
}

bool bt_civil_is_real(int year, int month, int day_of_month)
{
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    if (year < 1 || year > 9999 || month < 1 || month > 12 || day_of_month < 1)
        return false;
    return day_of_month <= days[month - 1] + (month == 2 && is_leap(year));
}

int bt_day_of_year(int day)
{
    int year, month, day_of_month;
    bt_civil(day, &year, &month, &day_of_month);
    return day - bt_day(year, 1, 1) + 1;
}

char *bt_date_iso(struct bt_arena *a, int day)
{
    int year, month, day_of_month;
    bt_civil(day, &year, &month, &day_of_month);
    return bt_arena_format(a, "%04d-%02d-%02d", year, month, day_of_month);
}

char *bt_date_words(struct bt_arena *a, int day)
{
    static const char *const name[] = {"January",   "February", "March",    "April",
                                       "May",       "June",     "July",     "August",
                                       "September", "October",  "November", "December"};
    int year, month, day_of_month;
    bt_civil(day, &year, &month, &day_of_month);
    return bt_arena_format(a, "%d %s", day_of_month, name[month - 1]);
}
