/* Inside this room: fits of the laws with tails, used by fit.c. Each returns false when the
 * law cannot meet the range; the caller then takes a PERT. */
#ifndef BT_SHAPE_FIT_H
#define BT_SHAPE_FIT_H

#include "shape/range.h"

#define BT_TAIL      0.05 /* an end of a usual range cuts off this chance */
#define BT_MAY_CLAMP 0.02 /* of the draws may be clamped at a limit */

bool bt_fit_lognormal(const struct bt_range *r, struct bt_law *law, enum bt_fit_note *note);
bool bt_fit_truncated_normal(const struct bt_range *r, struct bt_law *law,
                             enum bt_fit_note *note);

#endif
