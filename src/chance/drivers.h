/* What the doubt comes from: first-order shares of the variance of one outcome, from the
 * sample at hand. Draws are sorted into forty equally likely bins of each leaf, the first
 * and the last of them halved five times towards the end, where a law with a tail varies
 * most; two of the forty are a twentieth.
 *   S = (SSB - (M - 1) MSW) / SST     SSB between bins, MSW within, M bins that hold a draw
 * Correlated leaves share their doubt: each shows what goes with it. */
#ifndef BT_CHANCE_DRIVERS_H
#define BT_CHANCE_DRIVERS_H

#include "chance/sampler.h"
#include "chance/summary.h"

enum { BT_DRIVER_HALVINGS = 5, BT_DRIVER_BINS = 40 + 2 * BT_DRIVER_HALVINGS };
enum { BT_DRIVERS_KEPT = 12 };

/* Which bin each draw of each leaf falls in: the same for all outcomes. */
struct bt_driver_bins {
    size_t n_leaves;
    uint8_t (*bin)[BT_BLOCK];          /* of the block at hand; n_leaves, set by the user */
    uint32_t (*count)[BT_DRIVER_BINS]; /* so far */
};

/* One outcome: sums of it over the bins of the leaves it rests on. */
struct bt_driver_sums {
    size_t n;
    size_t *leaf;                  /* index in the sampler */
    double (*sum)[BT_DRIVER_BINS]; /* of outcome - shift */
    double shift;
};

struct bt_driver_bins bt_driver_bins_new(struct bt_arena *a, const struct bt_sampler *s);
void bt_driver_bins_block(struct bt_driver_bins *b, const struct bt_sampler *s);

/* For an outcome that rests on the `n` given nodes. `shift` is a value near its middle. */
struct bt_driver_sums bt_driver_sums_new(struct bt_arena *a, const struct bt_sampler *s,
                                         const struct bt_sheet *sheet, size_t n,
                                         const struct bt_node *on, double shift);
void bt_driver_sums_block(struct bt_driver_sums *d, const struct bt_driver_bins *b,
                          const double *outcome);
/* Fills at most BT_DRIVERS_KEPT drivers, the largest share first, and returns how many;
 * leaves whose share is not above 0 are left out. */
size_t bt_drivers_finish(const struct bt_driver_sums *d, const struct bt_driver_bins *b,
                         const struct bt_sampler *s, size_t samples,
                         const struct bt_spread *outcome, struct bt_driver *out);

#endif
