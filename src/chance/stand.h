/* How much of a bed would have to stand under a legume for what it passes on to meet a part
 * of its neighbours' need. Private to the room. */
#ifndef BT_CHANCE_STAND_H
#define BT_CHANCE_STAND_H

#include "chance/legumes.h"

/* Fills BT_PARTS findings, one for each of bt_part_frac. The worksheet is built again for
 * each share that is tried: the likely share by root finding (Brent, GSL), the range from
 * the draws on a grid of shares. `beside` is where worksheets come and go. */
void bt_stand_find(struct bt_arena *beside, const struct bt_legumes_question *q,
                   size_t legume, bool in_place, struct bt_stand_finding *out);

#endif
