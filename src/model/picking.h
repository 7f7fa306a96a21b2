/* When a planting is first and last picked, and how long raw manure has to lie before that
 * (docs/model.md, "Raw manure and picking"). */
#ifndef BT_MODEL_PICKING_H
#define BT_MODEL_PICKING_H

#include "input/garden.h"

struct bt_picking {
    bool is_eaten;   /* false: covers, flowers and what nobody picks; the rest is not set */
    bool off_ground; /* the eaten part touches neither soil nor splash */
    int first, last; /* days: the earliest and the latest that are to be expected */
    int wait_d;      /* from raw manure to the first picking */
};

/* By the garden's own dates and weighings, else table crops: `first_pick` from sowing or
 * planting, `picked_from` and `picked_to` of perennials (days of the year), always the end
 * of the range that is on the safe side. `number` is the planting's in the garden. */
struct bt_picking bt_picking_of(const struct bt_handbook *h, const struct bt_garden *g,
                                size_t number);

/* Whether something spread on `day` lies too short before that picking: not when the
 * picking is over by then. */
bool bt_picked_too_soon(const struct bt_picking *p, int day);

#endif
