/* Calendar days as whole numbers, so that dates add and compare like numbers. */
#ifndef BT_BASE_DATE_H
#define BT_BASE_DATE_H

#include <stdbool.h>

#include "base/arena.h"

/* Days since 1970-01-01 in the proleptic Gregorian calendar. */
int bt_day(int year, int month, int day_of_month);
void bt_civil(int day, int *year, int *month, int *day_of_month);
bool bt_civil_is_real(int year, int month, int day_of_month);
int bt_day_of_year(int day); /* 1..366 */

/* "2026-06-12"; "12 June"; both in the arena. */
char *bt_date_iso(struct bt_arena *a, int day);
char *bt_date_words(struct bt_arena *a, int day);

/* A date as somebody wrote it: the middle day and how wide it is. `2021` is the middle of
 * that year, 365 days wide; `spring 2022` about 90; a day is 0 wide. */
struct bt_date {
    bool known;
    int day;
    int width_d;
};

#endif
