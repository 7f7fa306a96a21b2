/* Draws of one leaf. Draw i is a pure function of (seed, leaf id, i): a counter is mixed to
 * a uniform number, and the law's quantile function is a closed form or a table. No library
 * call a draw. */
#ifndef BT_CHANCE_DRAWS_H
#define BT_CHANCE_DRAWS_H

#include <stdint.h>

#include "shape/range.h"
#include "worksheet/evaluate.h"

/* Key of a leaf's stream. */
uint64_t bt_draw_key(uint64_t seed, const char *leaf_id);
/* 64 mixed bits for a place in a stream (SplitMix64, its state being the counter). */
uint64_t bt_draw_bits(uint64_t key, uint64_t i);
/* 0 < u < 1: the upper 52 of those bits, in the middle of their cell. */
double bt_draw_uniform(uint64_t key, uint64_t i);

/* One leaf made ready to be drawn. */
struct bt_drawer {
    struct bt_law law;
    uint64_t key;
    bool has_parent; /* then u follows the parent's u by a Gaussian copula */
    uint64_t parent_key;
    double follow, own;        /* r and sqrt(1 - r^2), r = 2 sin(pi rho / 6) */
    double cut_low, cut_width; /* a law that is cut: the part of 0 .. 1 that is inside */
    const double (*pert)[4];
    const double (*normal)[4];
    const double (*normal_cdf)[4];
};

/* `parent_id` is NULL for an independent leaf. A parent must itself have none: its draws
 * are recomputed from its id, whether it is in the sheet or not. */
struct bt_drawer bt_drawer_new(struct bt_shapes *shapes, const struct bt_law *law,
                               uint64_t seed, const char *id, const char *parent_id,
                               double rank_correlation);

/* Draws first .. first + BT_BLOCK - 1: the uniform numbers and the values. */
void bt_drawer_fill(const struct bt_drawer *d, uint64_t first, double *restrict u,
                    double *restrict x);

#endif
