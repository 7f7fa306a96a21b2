/* The kernels of drawing: 1 to 2 ns a draw where gcc may use wide vectors. All of them are
 * single expressions over a block, so they give the same bits whatever the vector width. */
#include "chance/draws.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_math.h>

#include "base/text.h"
#include "shape/kernel.h"

#define GOLDEN UINT64_C(0x9E3779B97F4A7C15)

static inline uint64_t mix(uint64_t x)
{
    x = (x ^ (x >> 30)) * UINT64_C(0xBF58476D1CE4E5B9);
    x = (x ^ (x >> 27)) * UINT64_C(0x94D049BB133111EB);
    return x ^ (x >> 31);
}

static inline double as_double(uint64_t bits)
{
    double x;
    memcpy(&x, &bits, sizeof x);
    return x;
}

static inline uint64_t as_bits(double x)
{
    uint64_t bits;
    memcpy(&bits, &x, sizeof bits);
    return bits;
}

/* 52 bits become the fraction of a double in 1 .. 2; half a cell more and 1 less is inside
 * 0 .. 1. */
static inline double uniform_of(uint64_t bits)
{
    return as_double(UINT64_C(0x3FF0000000000000) | bits >> 12) - (1 - 0x1p-53);
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
    if (law->form == BT_FORM_TRUNCATED_NORMAL) {
        d.cut_low = gsl_cdf_gaussian_P(law->clamp_low - law->mu, law->sigma);
        d.cut_width =
            1 - d.cut_low - gsl_cdf_gaussian_Q(law->clamp_high - law->mu, law->sigma);
    }
    if (parent_id) {
        d.has_parent = true;
        d.parent_key = bt_draw_key(seed, parent_id);
        d.normal_cdf = bt_shapes_normal_cdf(shapes);
        d.follow = 2 * sin(M_PI * rank_correlation / 6);
        d.own = sqrt(1 - d.follow * d.follow);
    }
    return d;
}

/* A quantile table on the square-root grid. */
static inline double table_at(const double (*c)[4], double cells, double u)
{
    const double half = u < 0.5 ? u : 1 - u;
    const double from_end = sqrt(0.5 * half);
    const double t = (u < 0.5 ? from_end : 1 - from_end) * cells;
    const int cell = (int)t;
    const double x = t - cell;
    return c[cell][0] + x * (c[cell][1] + x * (c[cell][2] + x * c[cell][3]));
}

static inline double clamp(const struct bt_law *law, double x)
{
    x = x > law->clamp_low ? x : law->clamp_low;
    return x < law->clamp_high ? x : law->clamp_high;
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
    return y * as_double((as_bits(shifted) + 1023) << 52);
}

BT_KERNEL static void fill_uniform(uint64_t key, uint64_t first, double *restrict u)
{
    const uint64_t start = key + (first + 1) * GOLDEN;
    for (uint64_t i = 0; i < BT_BLOCK; i++)
        u[i] = uniform_of(mix(start + i * GOLDEN));
}

/* u follows the parent's p: both go to normal scores, are mixed, and come back. */
BT_KERNEL static void follow_parent(const struct bt_drawer *d, const double *restrict p,
                                    double *restrict u)
{
    const double(*normal)[4] = d->normal;
    const double(*cdf)[4] = d->normal_cdf;
    const double follow = d->follow, own = d->own;
    for (int i = 0; i < BT_BLOCK; i++) {
        const double z = follow * table_at(normal, BT_NORMAL_CELLS, p[i]) +
                         own * table_at(normal, BT_NORMAL_CELLS, u[i]);
        const double at =
            (z + BT_CDF_CELLS / (2.0 * BT_CDF_CELLS_PER_SD)) * BT_CDF_CELLS_PER_SD;
        const double low = at > 0 ? at : 0;
        const double inside = low < BT_CDF_CELLS ? low : BT_CDF_CELLS - 0x1p-20;
        const int cell = (int)inside;
        const double x = inside - cell;
        const double *c = cdf[cell];
        const double chance = c[0] + x * (c[1] + x * (c[2] + x * c[3]));
        const double above_0 = chance > 0x1p-53 ? chance : 0x1p-53;
        u[i] = above_0 < 1 - 0x1p-53 ? above_0 : 1 - 0x1p-53;
    }
}

BT_KERNEL static void fill_pert(const struct bt_drawer *d, const double *restrict u,
                                double *restrict x)
{
    const struct bt_law law = d->law;
    const double(*table)[4] = d->pert;
    for (int i = 0; i < BT_BLOCK; i++)
        x[i] = clamp(&law, law.low + law.width * table_at(table, BT_PERT_CELLS, u[i]));
}

BT_KERNEL static void fill_triangular(const struct bt_drawer *d, const double *restrict u,
                                      double *restrict x)
{
    const struct bt_law law = d->law;
    for (int i = 0; i < BT_BLOCK; i++) {
        const bool rises = u[i] < law.mode;
        const double root = sqrt(rises ? u[i] * law.mode : (1 - u[i]) * (1 - law.mode));
        x[i] = clamp(&law, law.low + law.width * (rises ? root : 1 - root));
    }
}

BT_KERNEL static void fill_uniform_law(const struct bt_drawer *d, const double *restrict u,
                                       double *restrict x)
{
    const struct bt_law law = d->law;
    for (int i = 0; i < BT_BLOCK; i++)
        x[i] = clamp(&law, law.low + law.width * u[i]);
}

BT_KERNEL static void fill_lognormal(const struct bt_drawer *d, const double *restrict u,
                                     double *restrict x)
{
    const struct bt_law law = d->law;
    const double(*normal)[4] = d->normal;
    for (int i = 0; i < BT_BLOCK; i++) {
        const double z = table_at(normal, BT_NORMAL_CELLS, u[i]);
        x[i] = clamp(&law, exp_of(law.mu + law.sigma * z));
    }
}

BT_KERNEL static void fill_truncated(const struct bt_drawer *d, const double *restrict u,
                                     double *restrict x)
{
    const struct bt_law law = d->law;
    const double(*normal)[4] = d->normal;
    for (int i = 0; i < BT_BLOCK; i++) {
        const double chance = d->cut_low + d->cut_width * u[i];
        const double inside = chance < 1 - 0x1p-53 ? chance : 1 - 0x1p-53;
        const double z = table_at(normal, BT_NORMAL_CELLS, inside);
        x[i] = clamp(&law, law.mu + law.sigma * z);
    }
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
    case BT_FORM_TRIANGULAR: fill_triangular(d, u, x); break;
    case BT_FORM_UNIFORM: fill_uniform_law(d, u, x); break;
    case BT_FORM_LOGNORMAL: fill_lognormal(d, u, x); break;
    case BT_FORM_TRUNCATED_NORMAL: fill_truncated(d, u, x); break;
    case BT_FORM_AUTO:
    case BT_FORM_CONSTANT:
        for (int i = 0; i < BT_BLOCK; i++)
            x[i] = d->law.low;
        break;
    }
}
