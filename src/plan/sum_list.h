/* The sums, each defined with its keys beside its builder in sums_*.c. */
#ifndef BT_PLAN_SUM_LIST_H
#define BT_PLAN_SUM_LIST_H

#include "plan/sum.h"

/* sums_product.c */
extern const struct bt_sum bt_sum_product, bt_sum_carried, bt_sum_plan, bt_sum_substitute;
/* sums_unit.c */
extern const struct bt_sum bt_sum_spread, bt_sum_convert, bt_sum_cost, bt_sum_oxide;
/* sums_layer.c */
extern const struct bt_sum bt_sum_layer, bt_sum_basis, bt_sum_plants, bt_sum_land_ratio;
/* sums_material.c */
extern const struct bt_sum bt_sum_compost, bt_sum_manure;
/* sums_residue.c */
extern const struct bt_sum bt_sum_mix, bt_sum_tie_up, bt_sum_cover;
/* sums_legume.c */
extern const struct bt_sum bt_sum_fixed;
/* sums_soil.c */
extern const struct bt_sum bt_sum_organic, bt_sum_soil_nitrate, bt_sum_soil_test,
    bt_sum_irrigation;
/* sums_advice.c */
extern const struct bt_sum bt_sum_sidedress, bt_sum_lime, bt_sum_acid_lime, bt_sum_demand,
    bt_sum_balance;

#endif
