#include "model/time.h"

#include <math.h>

#include "base/date.h"
#include "base/pi.h"

double bt_soil_temperature_degc(const struct bt_climate *c, double day_of_year)
{
    const double lag = c->depth_m / c->damping_depth_m;
    return c->mean_degc + c->soil_above_air_degc +
           c->half_range_degc * exp(-lag) *
               sin(2 * BT_PI * (day_of_year - c->coldest_day) / 365 - lag - BT_PI / 2);
}

/* f(T): speed of mineralisation at a soil temperature against that at 25 C. */
static double temperature_response(const struct bt_climate *c, double soil_degc)
{
    if (soil_degc <= c->zero_below_degc)
        return 0;
    if (soil_degc < c->linear_to_degc)
        return temperature_response(c, c->linear_to_degc) *
               (soil_degc - c->zero_below_degc) / (c->linear_to_degc - c->zero_below_degc);
    const double t = soil_degc < c->highest_degc ? soil_degc : c->highest_degc;
    const double at = c->response_a - c->response_b / (t + 273.15);
    const double at_25 = c->response_a - c->response_b / (25 + 273.15);
    return pow(10, at - at_25);
}

struct bt_clock bt_clock_new(struct bt_arena *a, const struct bt_climate *c, int first_day,
                             int last_day)
{
    const size_t n = (size_t)(last_day > first_day ? last_day - first_day : 0);
    double *sum = bt_arena_alloc(a, (n + 1) * sizeof *sum);
    sum[0] = 0;
    for (size_t k = 0; k < n; k++) {
        const double day = bt_day_of_year(first_day + (int)k);
        sum[k + 1] = sum[k] + temperature_response(c, bt_soil_temperature_degc(c, day));
    }
    return (struct bt_clock){first_day, n, sum};
}

static double sum_at(const struct bt_clock *k, int day)
{
    if (day <= k->first_day)
        return 0;
    const size_t i = (size_t)(day - k->first_day);
    return k->sum[i < k->n ? i : k->n];
}

double bt_clock_between(const struct bt_clock *k, int from, int to)
{
    return to > from ? sum_at(k, to) - sum_at(k, from) : 0;
}

static double logistic(double tau, double midpoint, double steepness)
{
    return 1 / (1 + exp(-steepness * (tau - midpoint)));
}

double bt_uptake_share(double tau, double midpoint, double steepness)
{
    if (tau <= 0)
        return 0;
    if (tau >= 1)
        return 1;
    return logistic(tau, midpoint, steepness) / logistic(1, midpoint, steepness);
}

double bt_released_share(double rate_per_d, double days)
{
    return days > 0 ? 1 - exp(-rate_per_d * days) : 0;
}
