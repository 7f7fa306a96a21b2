/* Mixed ground: how the full-stand yields of crops that share a bed add up. docs/model.md,
 * "Mixed ground". Densities, weights and thinning are constants; only the gain of mixing is
 * uncertain. */
#ifndef BT_MODEL_MIXED_H
#define BT_MODEL_MIXED_H

#include "worksheet/sheet.h"

/* One kind of plant in the company: d, its density as a share of a full sole stand; w, its
 * weight in the competition for light; its ceiling, the relative yield it could reach
 * alone. */
struct bt_stand {
    double density; /* unit-free */
    double weight;
    double ceiling;
};

/* Ceiling of plants counted over the bed: thinned plants grow larger, d / (k + (1 - k) d).
 */
double bt_thinned_ceiling(double density, double thinning);

/* Relative yields at a given gain of mixing: RY_i = Lm w_i d_i / sum w_j d_j, none above
 * its ceiling, the excess shared among the rest; Lm = min(sum of ceilings, gain). `out` has
 * n places. */
void bt_relative_yields(size_t n, const struct bt_stand *stand, double gain, double *out);

/* The same for stand `i` as a node: straight lines in the gain. */
struct bt_node bt_relative_yield(struct bt_sheet *s, struct bt_node gain, size_t n,
                                 const struct bt_stand *stand, size_t i);

#endif
