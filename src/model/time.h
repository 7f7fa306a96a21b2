/* When things happen: shares of a season's release or uptake by a date. Plain numbers:
 * dates are not sampled, so these are constants of the worksheet. docs/model.md, "Time". */
#ifndef BT_MODEL_TIME_H
#define BT_MODEL_TIME_H

#include <stddef.h>

#include "base/arena.h"

/* Soil temperature as an annual wave damped with depth, and the speed of mineralisation in
 * it. */
struct bt_climate {
    double mean_degc, half_range_degc; /* of the air */
    double soil_above_air_degc;        /* by how much the soil's mean is the warmer */
    double depth_m, damping_depth_m, coldest_day;
    double response_a, response_b; /* log10 k = a - b / (T + 273.15) */
    double zero_below_degc, linear_to_degc, highest_degc;
};

/* T(z,t) = soil's mean + half range . exp(-z/d) . sin(2 pi (t - t0)/365 - z/d - pi/2)
 * [degrees C] */
double bt_soil_temperature_degc(const struct bt_climate *c, double day_of_year);

/* Sums of f(T) since a first day, so that the sum between two days is one subtraction. */
struct bt_clock {
    int first_day;
    size_t n;
    const double *sum; /* sum[k]: days of 25 C from first_day to first_day + k */
};

struct bt_clock bt_clock_new(struct bt_arena *a, const struct bt_climate *c, int first_day,
                             int last_day);
/* 25 C days between two days; 0 when `to` is not after `from`. Days outside the clock are
 * held. */
double bt_clock_between(const struct bt_clock *k, int from, int to);

/* F: share of a planting's uptake done when the share `tau` of its time has passed.
 *   F = L(tau) / L(1),  L(tau) = 1 / (1 + exp(-steepness (tau - midpoint))),  0 at tau <= 0
 */
double bt_uptake_share(double tau, double midpoint, double steepness);

/* Share of a pool that a first-order release at rate k [1/d] has given after so many days.
 */
double bt_released_share(double rate_per_d, double days);

#endif
