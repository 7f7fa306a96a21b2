/* The kernels of drawing: some 1 to 2 ns a draw where gcc may use wide vectors. Each pass
 * over a block treats every draw alike, so they give the same bits whatever the width. */
#include "chance/draws.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_cdf.h>

#include "base/pi.h"
#include "base/text.h"
#include "shape/kernel.h"
#include "shape/table.h"

#define GOLDEN UINT64_C(0x9E3779B97F4A7C15)

static inline uint64_t mix(uint64_t x)
{
    x = (x ^ (x >> 30)) * UINT64_C(0xBF58476D1CE4E5B9);
    x = (x ^ (x >> 27)) * UINT64_C(0x94D049BB133111EB);
    return x ^ (x >> 31);
}

/* 52 bits become the fraction of a double in 1 .. 2; half a cell more and 1 less is inside
 * 0 .. 1. */
static inline double uniform_of(uint64_t bits)
{
    return bt_double_of(UINT64_C(0x3FF0000000000000) | bits >> 12) - (1 - 0x1p-53);
}

uint64_t bt_draw_key(uint64_t seed, const char *leaf_id)
{
    return mix(bt_text_hash(leaf_id) ^ mix(seed + GOLDEN));
}

uint64_t bt_draw_bits(uint64_t key, uint64_t i)
{
    return mix(key + (i + 1) * GOLDEN);
}

double bt_draw_uniform(uint64_t key, uint64_t i)
{
    return uniform_of(bt_draw_bits(key, i));
}

/* The part of 0 .. 1 in which the parent normal lies inside the limits. */
static void find_cut(struct bt_drawer *d)
{
    const struct bt_law *law = &d->law;
    const bool logarithms = law->form == BT_FORM_LOGNORMAL;
    const double low = logarithms ? log(law->clamp_low) : law->clamp_low;
    const double high = logarithms ? log(law->clamp_high) : law->clamp_high;
    d->cut_low = gsl_cdf_gaussian_P(low - law->mu, law->sigma);
    d->cut_width = 1 - d->cut_low - gsl_cdf_gaussian_Q(high - law->mu, law->sigma);
}

struct bt_drawer bt_drawer_new(struct bt_shapes *shapes, const struct bt_law *law,
                               uint64_t seed, const char *id, const char *parent_id,
                               double rank_correlation)
{
    struct bt_drawer d = {.law = *law, .key = bt_draw_key(seed, id)};
    if (law->form == BT_FORM_PERT)
        d.pert = bt_shapes_pert(shapes, law->mode_256);
    if (law->form == BT_FORM_LOGNORMAL || law->form == BT_FORM_TRUNCATED_NORMAL ||
        parent_id)
        d.normal = bt_shapes_normal(shapes);
    if (law->form == BT_FORM_TRUNCATED_NORMAL || law->is_cut)
        find_cut(&d);
    if (parent_id) {
        d.has_parent = true;
        d.parent_key = bt_draw_key(seed, parent_id);
        d.normal_cdf = bt_shapes_normal_cdf(shapes);
        d.follow = 2 * sin(BT_PI * rank_correlation / 6);
        d.own = sqrt(1 - d.follow * d.follow);
    }
    return d;
}

struct limits {
    double low, high;
};

static inline double clamp(struct limits limits, double x)
{
    x = x > limits.low ? x : limits.low;
    return x < limits.high ? x : limits.high;
}

static inline struct limits limits_of(const struct bt_law *law)
{
    return (struct limits){law->clamp_low, law->clamp_high};
}

/* e to the x for |x| < 700, to about 2e-16: 2^k times a Taylor polynomial on |r| <= ln 2
 * / 2. The same bits on every machine, which libm does not promise. */
static inline double exp_of(double x)
{
    const double shift = 0x1.8p52; /* adding it rounds to a whole number */
    const double shifted = x * 0x1.71547652b82fep0 + shift;
    const double k = shifted - shift;
    const double r = (x - k * 0x1.62e42fefa0000p-1) - k * 0x1.cf79abc9e3b3ap-40;
    double y = 1 / 479001600.0; /* 1/12! and so on */
    y = y * r + 1 / 39916800.0;
    y = y * r + 1 / 3628800.0;
    y = y * r + 1 / 362880.0;
    y = y * r + 1 / 40320.0;
    y = y * r + 1 / 5040.0;
    y = y * r + 1 / 720.0;
    y = y * r + 1 / 120.0;
    y = y * r + 1 / 24.0;
    y = y * r + 1 / 6.0;
    y = y * r + 0.5;
    y = y * r + 1;
    y = y * r + 1;
    return y * bt_double_of((bt_bits_of(shifted) + 1023) << 52);
}

BT_KERNEL static void fill_uniform(uint64_t key, uint64_t first, double *restrict u)
{
    const uint64_t start = key + (first + 1) * GOLDEN;
    for (uint64_t i = 0; i < BT_BLOCK; i++)
        u[i] = uniform_of(mix(start + i * GOLDEN));
}

/* What a table says for a block of numbers, in three passes: where each number lies, its
 * cell copied whole, the cubics in step. Gathering the coefficients one by one takes longer
 * (docs/decisions/020-tabled-quantiles.md). Tables end at finite values, so mixed normal
 * scores stay inside the 8 sd of the CDF's. */
struct places {
    int cell[BT_BLOCK];
    double along[BT_BLOCK];
};

BT_KERNEL static void read_cells(const double (*restrict table)[4],
                                 const struct places *restrict at, double *restrict y)
{
    double cell[BT_BLOCK][4];
#pragma GCC unroll 8
    for (int i = 0; i < BT_BLOCK; i++)
        memcpy(cell[i], table[at->cell[i]], sizeof cell[i]);
    for (int i = 0; i < BT_BLOCK; i++)
        y[i] = bt_cubic(cell[i], at->along[i]);
}

BT_KERNEL static void read_table(const double (*restrict table)[4],
                                 const double *restrict u, double *restrict y)
{
    struct places at;
    for (int i = 0; i < BT_BLOCK; i++)
        at.cell[i] = bt_table_cell(u[i], &at.along[i]);
    read_cells(table, &at, y);
}

/* u follows the parent's p: both go to normal scores, are mixed, and come back. */
BT_KERNEL static void follow_parent(const struct bt_drawer *d, const double *restrict p,
                                    double *restrict u)
{
    const double follow = d->follow, own = d->own;
    double parent[BT_BLOCK], self[BT_BLOCK];
    read_table(d->normal, p, parent);
    read_table(d->normal, u, self);
    struct places at;
    for (int i = 0; i < BT_BLOCK; i++) {
        const double z = follow * parent[i] + own * self[i];
        const double place = z * BT_CDF_CELLS_PER_SD + BT_CDF_CELLS / 2.0;
        at.cell[i] = (int)place;
        at.along[i] = place - at.cell[i];
    }
    read_cells(d->normal_cdf, &at, u);
}

BT_KERNEL static void fill_pert(const struct bt_drawer *d, const double *restrict u,
                                double *restrict x)
{
    const struct limits limits = limits_of(&d->law);
    const double low = d->law.low, width = d->law.width;
    read_table(d->pert, u, x);
    for (int i = 0; i < BT_BLOCK; i++)
        x[i] = clamp(limits, low + width * x[i]);
}

/* Rising side: sqrt(u mode); falling side: 1 - sqrt((1 - u) (1 - mode)). */
BT_KERNEL static void fill_triangular(const struct bt_law *law, const double *restrict u,
                                      double *restrict x)
{
    const struct limits limits = limits_of(law);
    const double low = law->low, width = law->width, mode = law->mode;
    for (int i = 0; i < BT_BLOCK; i++) {
        const double rising = sqrt(u[i] * mode);
        const double falling = 1 - sqrt((1 - u[i]) * (1 - mode));
        x[i] = clamp(limits, low + width * (u[i] < mode ? rising : falling));
    }
}

BT_KERNEL static void fill_uniform_law(const struct bt_law *law, const double *restrict u,
                                       double *restrict x)
{
    const struct limits limits = limits_of(law);
    const double low = law->low, width = law->width;
    for (int i = 0; i < BT_BLOCK; i++)
        x[i] = clamp(limits, low + width * u[i]);
}

BT_KERNEL static void fill_lognormal(const struct bt_drawer *d, const double *restrict u,
                                     double *restrict x)
{
    const struct limits limits = limits_of(&d->law);
    const double mu = d->law.mu, sigma = d->law.sigma;
    read_table(d->normal, u, x);
    for (int i = 0; i < BT_BLOCK; i++)
        x[i] = clamp(limits, exp_of(mu + sigma * x[i]));
}

/* u has been moved into the part of 0 .. 1 that is not cut off. */
BT_KERNEL static void fill_normal(const struct bt_drawer *d, const double *restrict u,
                                  double *restrict x)
{
    const struct limits limits = limits_of(&d->law);
    const double mu = d->law.mu, sigma = d->law.sigma;
    read_table(d->normal, u, x);
    for (int i = 0; i < BT_BLOCK; i++)
        x[i] = clamp(limits, mu + sigma * x[i]);
}

static void fill_cut(const struct bt_drawer *d, const double *u, double *x)
{
    double inside[BT_BLOCK];
    for (int i = 0; i < BT_BLOCK; i++)
        inside[i] = d->cut_low + d->cut_width * u[i];
    if (d->law.form == BT_FORM_LOGNORMAL)
        fill_lognormal(d, inside, x);
    else
        fill_normal(d, inside, x);
}

void bt_drawer_fill(const struct bt_drawer *d, uint64_t first, double *restrict u,
                    double *restrict x)
{
    fill_uniform(d->key, first, u);
    if (d->has_parent) {
        double p[BT_BLOCK];
        fill_uniform(d->parent_key, first, p);
        follow_parent(d, p, u);
    }
    switch (d->law.form) {
    case BT_FORM_PERT: fill_pert(d, u, x); break;
    case BT_FORM_TRIANGULAR: fill_triangular(&d->law, u, x); break;
    case BT_FORM_UNIFORM: fill_uniform_law(&d->law, u, x); break;
    case BT_FORM_LOGNORMAL:
        if (d->law.is_cut)
            fill_cut(d, u, x);
        else
            fill_lognormal(d, u, x);
        break;
    case BT_FORM_TRUNCATED_NORMAL: fill_cut(d, u, x); break;
    case BT_FORM_AUTO:
    case BT_FORM_CONSTANT:
        for (int i = 0; i < BT_BLOCK; i++)
            x[i] = d->law.low;
        break;
    }
}
