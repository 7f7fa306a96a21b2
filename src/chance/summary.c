/* Exact quantiles without sorting. For any law P5 and P95 lie within sqrt(0.95/0.05) = 4.36
 * sd of the mean (one-sided Chebyshev), so bins over that span always spread the values
 * that matter; the few bins that hold a wanted rank are gathered and selected from. About 2
 * ns a value. */
#include "chance/summary.h"

#include <math.h>
#include <stdint.h>

#include <gsl/gsl_statistics_double.h>

#include "shape/kernel.h"

enum { LANES = 8, BINS = 2048, QUANTILES = 5, RANKS = 2 * QUANTILES };

/* Rising, as all lists of quantiles here. */
static const double USUAL[QUANTILES] = {0.05, 0.25, 0.50, 0.75, 0.95};

struct bt_summary_room {
    uint16_t *bin;    /* of every value */
    double *gathered; /* values of the wanted bins, bin by bin */
    uint32_t count[BINS];
    uint32_t place[BINS]; /* where the next value of a wanted bin goes; NOT_WANTED */
};

static const uint32_t NOT_WANTED = UINT32_MAX;

struct bt_summary_room *bt_summary_room_new(struct bt_arena *a, size_t n)
{
    struct bt_summary_room *room = bt_arena_alloc(a, sizeof *room);
    room->bin = bt_arena_alloc(a, n * sizeof *room->bin);
    room->gathered = bt_arena_alloc(a, n * sizeof *room->gathered);
    return room;
}

/* ---- moments ------------------------------------------------------------------------ */

static double sum_of_lanes(const double lane[LANES])
{
    return ((lane[0] + lane[1]) + (lane[2] + lane[3])) +
           ((lane[4] + lane[5]) + (lane[6] + lane[7]));
}

/* Sum of x - shift, and the extremes. */
BT_KERNEL static double first_pass(size_t n, const double *x, double shift,
                                   double *out_lowest, double *out_highest)
{
    double sum[LANES] = {0};
    double low[LANES], high[LANES];
    for (int k = 0; k < LANES; k++)
        low[k] = high[k] = x[0];
    const size_t whole = n / LANES * LANES;
    for (size_t i = 0; i < whole; i += LANES)
        for (int k = 0; k < LANES; k++) {
            const double v = x[i + (size_t)k];
            sum[k] += v - shift;
            low[k] = v < low[k] ? v : low[k];
            high[k] = v > high[k] ? v : high[k];
        }
    for (size_t i = whole; i < n; i++) {
        sum[i - whole] += x[i] - shift;
        low[0] = x[i] < low[0] ? x[i] : low[0];
        high[0] = x[i] > high[0] ? x[i] : high[0];
    }
    for (int k = 1; k < LANES; k++) {
        low[0] = low[k] < low[0] ? low[k] : low[0];
        high[0] = high[k] > high[0] ? high[k] : high[0];
    }
    *out_lowest = low[0];
    *out_highest = high[0];
    return sum_of_lanes(sum);
}

/* Sum of squares about the mean, less what rounding of the mean adds. */
BT_KERNEL static double second_pass(size_t n, const double *x, double mean)
{
    double sum[LANES] = {0}, square[LANES] = {0};
    const size_t whole = n / LANES * LANES;
    for (size_t i = 0; i < whole; i += LANES)
        for (int k = 0; k < LANES; k++) {
            const double v = x[i + (size_t)k] - mean;
            sum[k] += v;
            square[k] += v * v;
        }
    for (size_t i = whole; i < n; i++) {
        const double v = x[i] - mean;
        sum[i - whole] += v;
        square[i - whole] += v * v;
    }
    const double rest = sum_of_lanes(sum);
    return sum_of_lanes(square) - rest * rest / (double)n;
}

struct bt_moments bt_moments_of(size_t n, const double *x)
{
    struct bt_moments m;
    const double sum = first_pass(n, x, x[0], &m.lowest, &m.highest);
    m.mean = x[0] + sum / (double)n;
    m.sd = n > 1 ? sqrt(second_pass(n, x, m.mean) / (double)(n - 1)) : 0;
    return m;
}

/* ---- quantiles ---------------------------------------------------------------------- */

/* The bin of a value rises with the value, so ranks can be found bin by bin. Values beyond
 * the span fall into the first or last bin. */
BT_KERNEL static void find_bins(size_t n, const double *restrict x, double low,
                                double bins_per_unit, uint16_t *restrict bin)
{
    for (size_t i = 0; i < n; i++) {
        const double at = (x[i] - low) * bins_per_unit;
        const double above = at > 0 ? at : 0;
        bin[i] = (uint16_t)(int)(above < BINS - 1 ? above : BINS - 1);
    }
}

/* Where each wanted bin begins in `gathered`, and how many values lie below it. */
struct wanted {
    size_t bin, below, start;
};

/* The bin that holds each rank; ranks rise. */
static void find_wanted(struct bt_summary_room *room, int n, const size_t rank[RANKS],
                        struct wanted wanted[RANKS])
{
    size_t below = 0, bin = 0, gathered = 0;
    for (size_t b = 0; b < BINS; b++)
        room->place[b] = NOT_WANTED;
    for (int k = 0; k < n; k++) {
        if (rank[k] < below) /* ranks of neighbouring quantiles cross in tiny samples */
            below = bin = 0;
        while (below + room->count[bin] <= rank[k])
            below += room->count[bin++];
        if (room->place[bin] == NOT_WANTED) {
            room->place[bin] = (uint32_t)gathered;
            gathered += room->count[bin];
        }
        wanted[k] = (struct wanted){bin, below, room->place[bin]};
    }
}

static void gather(struct bt_summary_room *room, size_t n, const double *x)
{
    for (size_t i = 0; i < n; i++)
        if (room->place[room->bin[i]] != NOT_WANTED)
            room->gathered[room->place[room->bin[i]]++] = x[i];
}

struct levels {
    int n; /* at most QUANTILES */
    const double *at;
};

static void quantiles(struct bt_summary_room *room, size_t n, const double *x,
                      const struct bt_moments *m, struct levels level, double *out)
{
    const double reach = sqrt(0.95 / 0.05) * m->sd;
    const double low = m->mean - reach > m->lowest ? m->mean - reach : m->lowest;
    const double high = m->mean + reach < m->highest ? m->mean + reach : m->highest;
    const double bins_per_unit = high > low ? BINS / (high - low) : 0;
    find_bins(n, x, low, isfinite(bins_per_unit) ? bins_per_unit : 0, room->bin);
    for (size_t b = 0; b < BINS; b++)
        room->count[b] = 0;
    for (size_t i = 0; i < n; i++)
        room->count[room->bin[i]]++;
    size_t rank[RANKS];
    struct wanted wanted[RANKS];
    for (int k = 0; k < level.n; k++) {
        rank[2 * k] = (size_t)((double)(n - 1) * level.at[k]);
        rank[2 * k + 1] = rank[2 * k] + 1 < n ? rank[2 * k] + 1 : n - 1;
    }
    find_wanted(room, 2 * level.n, rank, wanted);
    gather(room, n, x);
    for (int k = 0; k < level.n; k++) {
        double value[2];
        for (int j = 0; j < 2; j++) {
            const struct wanted *w = &wanted[2 * k + j];
            value[j] = gsl_stats_select(room->gathered + w->start, 1, room->count[w->bin],
                                        rank[2 * k + j] - w->below);
        }
        const double beyond = (double)(n - 1) * level.at[k] - (double)rank[2 * k];
        out[k] = (1 - beyond) * value[0] + beyond * value[1];
    }
}

struct bt_spread bt_spread_exact(double value)
{
    return (struct bt_spread){value, value, 0, value, value, value, value, value};
}

struct bt_spread bt_spread_of(struct bt_summary_room *room, size_t n, const double *x,
                              double likely)
{
    const struct bt_moments m = bt_moments_of(n, x);
    double q[QUANTILES];
    if (!isfinite(m.mean) || !isfinite(m.sd)) {
        const double none = (double)NAN;
        return (struct bt_spread){likely, none, none, none, none, none, none, none};
    }
    if (!(m.lowest < m.highest)) {
        struct bt_spread all_equal = bt_spread_exact(m.lowest);
        all_equal.likely = likely;
        return all_equal;
    }
    quantiles(room, n, x, &m, (struct levels){QUANTILES, USUAL}, q);
    return (struct bt_spread){likely, m.mean, m.sd, q[0], q[1], q[2], q[3], q[4]};
}

struct bt_error bt_error_of(struct bt_summary_room *room, size_t n, const double *x,
                            const struct bt_spread *of)
{
    const double step = sqrt(0.05 * 0.95 / (double)n);
    const double low = 0.05 - step > 0 ? 0.05 - step : 0;
    const double at[4] = {low, 0.05 + step, 0.95 - step, 1 - low};
    const struct bt_moments m = bt_moments_of(n, x);
    double q[4];
    if (!(of->sd > 0)) /* no value but one, or one that is not finite */
        return (struct bt_error){of->sd, of->sd, of->sd};
    quantiles(room, n, x, &m, (struct levels){4, at}, q);
    return (struct bt_error){of->sd / sqrt((double)n), (q[1] - q[0]) / 2,
                             (q[3] - q[2]) / 2};
}

/* ---- max(0, +-x) -------------------------------------------------------------------- */

BT_KERNEL static void positive_passes(size_t n, const double *x, double sign,
                                      double *out_mean, double *out_squares)
{
    double sum[LANES] = {0};
    const size_t whole = n / LANES * LANES;
    for (size_t i = 0; i < whole; i += LANES)
        for (int k = 0; k < LANES; k++) {
            const double v = sign * x[i + (size_t)k];
            sum[k] += v > 0 ? v : 0;
        }
    for (size_t i = whole; i < n; i++)
        sum[i - whole] += sign * x[i] > 0 ? sign * x[i] : 0;
    const double mean = sum_of_lanes(sum) / (double)n;
    double square[LANES] = {0};
    for (size_t i = 0; i < whole; i += LANES)
        for (int k = 0; k < LANES; k++) {
            const double v = sign * x[i + (size_t)k];
            const double off = (v > 0 ? v : 0) - mean;
            square[k] += off * off;
        }
    for (size_t i = whole; i < n; i++) {
        const double off = (sign * x[i] > 0 ? sign * x[i] : 0) - mean;
        square[i - whole] += off * off;
    }
    *out_mean = mean;
    *out_squares = sum_of_lanes(square);
}

static double positive(double x)
{
    return x > 0 ? x : 0;
}

struct bt_spread bt_spread_positive(const struct bt_spread *of, size_t n, const double *x,
                                    double sign)
{
    double mean, squares;
    if (isnan(of->mean))
        return *of;
    positive_passes(n, x, sign, &mean, &squares);
    const bool up = sign > 0;
    return (struct bt_spread){.likely = positive(sign * of->likely),
                              .mean = mean,
                              .sd = n > 1 ? sqrt(squares / (double)(n - 1)) : 0,
                              .p05 = positive(up ? of->p05 : -of->p95),
                              .p25 = positive(up ? of->p25 : -of->p75),
                              .p50 = positive(sign * of->p50),
                              .p75 = positive(up ? of->p75 : -of->p25),
                              .p95 = positive(up ? of->p95 : -of->p05)};
}
