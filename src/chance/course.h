/* The course of one account's season: have - need at its dates for a block of draws, the
 * lowest of them, and which date that is. */
#ifndef BT_CHANCE_COURSE_H
#define BT_CHANCE_COURSE_H

#include "chance/sampler.h"
#include "model/budget.h"

struct bt_course_date {
    double fixed; /* what the lines that do not vary add */
    size_t n;     /* lines that vary and are there, or needed, by this date */
    const double **column;
    double *weight; /* by_date, negative for demand */
    double likely;
};

struct bt_course {
    size_t n_dates;
    struct bt_course_date *date;
    size_t *times_lowest; /* by date: in how many draws so far */
    size_t *times_short;  /* ... and short */
    double likely;        /* the lowest at the likely values */
};

struct bt_course bt_course_new(struct bt_arena *a, const struct bt_sheet *sheet,
                               const struct bt_sampler *s,
                               const struct bt_account *account);
/* out_lowest: BT_BLOCK values. The first of equal dates counts as the lowest. */
void bt_course_block(struct bt_course *c, double *out_lowest);
/* The date most often the lowest, the first of equals: among the draws that fall short when
 * at least one in twenty does (that is the date to act by), else among all. `out_share`:
 * how often it is. */
size_t bt_course_tightest(const struct bt_course *c, double *out_share);

#endif
