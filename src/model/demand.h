/* What crops must find: uptake over the share their roots catch. docs/model.md, "Demand".
 */
#ifndef BT_MODEL_DEMAND_H
#define BT_MODEL_DEMAND_H

#include "worksheet/sheet.h"

/* Whole-plant uptake [g/m2 of bed] = yield of the bed [g/m2] . uptake per mass harvested
 * [g/g]. */
struct bt_node bt_uptake(struct bt_sheet *s, struct bt_node yield_g_m2,
                         struct bt_node uptake_frac);

/* E: the share that roots catch of available nitrogen. One shift a bed moves all its crops:
 * the curve through (-1, low), (0, likely), (1, high), carried on at the same slopes and
 * held in 0.05..0.95. */
struct bt_node bt_recovery(struct bt_sheet *s, struct bt_node shift,
                           const struct bt_row *recovery);

/* Required supply [g/m2] = (uptake - passed on by legumes) / recovery. */
struct bt_node bt_need(struct bt_sheet *s, struct bt_node uptake_g_m2,
                       struct bt_node passed_on_g_m2, struct bt_node recovery_frac);

struct bt_perennial {
    const char *subject;
    struct bt_node uptake_g_m2, removed_g_m2, recycled_frac;
};

/* A perennial recycles: what it must find is between
 *   (removed + (1 - recycled)(uptake - removed)) / recovery   and   uptake / recovery,
 * `lean` says where: 0 the first, 1 the second. */
struct bt_node bt_perennial_need(struct bt_sheet *s, const struct bt_perennial *p,
                                 struct bt_node recovery_frac, struct bt_node lean_frac);

#endif
