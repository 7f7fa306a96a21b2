/* Binds a bed of a garden and the rows of the handbook to the equations of this room, in
 * the order of docs/model.md. The only file of the room that knows beds and tables. */
#ifndef BT_MODEL_SEASON_H
#define BT_MODEL_SEASON_H

#include "model/budget.h"

/* Builds the worksheet of bed number `bed`. Everything is allocated in `a`. False, with
 * messages in `d`, when a quantity that is needed cannot be had; the budget is then not
 * usable. */
bool bt_season_build(struct bt_arena *a, struct bt_diag *d, const struct bt_handbook *h,
                     const struct bt_garden *g, size_t bed, struct bt_budget *out);

#endif
