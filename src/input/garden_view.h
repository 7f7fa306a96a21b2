/* A garden as one bed sees it: with the plantings and additions that concern the bed alone,
 * so that the work of a bed does not grow with the garden. */
#ifndef BT_INPUT_GARDEN_VIEW_H
#define BT_INPUT_GARDEN_VIEW_H

#include "input/garden.h"

struct bt_garden_index;

/* Made once a garden; refers to it. */
struct bt_garden_index *bt_garden_index_new(struct bt_arena *a, const struct bt_garden *g);

/* A copy of the garden whose plantings, applications and soil tests are those of bed number
 * `bed`, in file order: what grows there, what was spread there or taken from there, and
 * what grows where that went by the plant. Everything else is shared with the garden. */
const struct bt_garden *bt_garden_view(struct bt_arena *a,
                                       const struct bt_garden_index *index, size_t bed);

#endif
