/* A column of draws as a spread: shifted moments, exact order statistics. */
#ifndef BT_CHANCE_SUMMARY_H
#define BT_CHANCE_SUMMARY_H

#include "base/arena.h"
#include "chance/finding.h"

/* Room to summarise columns of up to n draws; one for each thread. */
struct bt_summary_room;
struct bt_summary_room *bt_summary_room_new(struct bt_arena *a, size_t n);

struct bt_moments {
    double mean, sd; /* sd with n - 1; 0 for one value */
    double lowest, highest;
};
/* n >= 1 finite values. Sums run in eight lanes, so their order, and the result, never
 * changes. */
struct bt_moments bt_moments_of(size_t n, const double *x);

/* Quantiles of type 7: the same bits as sorting would give. All fields are NaN when a value
 * is not finite. */
struct bt_spread bt_spread_of(struct bt_summary_room *room, size_t n, const double *x,
                              double likely);
/* Of a value that is the same in every draw. */
struct bt_spread bt_spread_exact(double value);
/* Of a column whose spread is `of`. */
struct bt_error bt_error_of(struct bt_summary_room *room, size_t n, const double *x,
                            const struct bt_spread *of);
/* Spread of max(0, sign . x), from the spread `of` of x: quantiles need no selection. sign
 * is 1 or -1. */
struct bt_spread bt_spread_positive(const struct bt_spread *of, size_t n, const double *x,
                                    double sign);

#endif
