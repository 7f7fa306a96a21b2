/* The shopping list of a garden: what its plans come to, less what is on hand, in whole
 * packages. */
#ifndef BT_PLAN_SHOPPING_H
#define BT_PLAN_SHOPPING_H

#include "plan/amend.h"

struct bt_shopping_line {
    const struct bt_candidate *material;
    double wanted_g;  /* by the plans */
    double on_hand_g; /* 0 when nothing is said */
    double buy_g;     /* in whole packages where a package is known */
    double packages;  /* unit-free: how many; 0 when no package is known */
    double cost;      /* unit-free: money; NaN when there is no price */
};

struct bt_shopping;
struct bt_shopping *bt_shopping_new(struct bt_arena *a, const struct bt_amend *m);
/* Adds the wished plan of a bed. */
void bt_shopping_add(struct bt_shopping *s, const struct bt_bed_plan *p);
/* Lines in order of the candidates. Rows of materials.csv that are the same thing in
 * packages of different size (same `like`, same analysis) are bought for the fewest money
 * together. */
size_t bt_shopping_list(struct bt_arena *a, const struct bt_shopping *s,
                        const struct bt_shopping_line **out);

#endif
