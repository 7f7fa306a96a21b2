/* Inside this room: fits of the laws with tails, used by fit.c. Each returns false when the
 * law cannot meet the range; the caller then takes a PERT. */
#ifndef BT_SHAPE_FIT_H
#define BT_SHAPE_FIT_H

#include "shape/range.h"

bool bt_fit_lognormal(const struct bt_range *r, struct bt_law *law, enum bt_fit_note *note);
bool bt_fit_truncated_normal(const struct bt_range *r, struct bt_law *law,
                             enum bt_fit_note *note);

#endif
