/* Where a bed's nitrogen comes from, and what was there before anything was brought in:
 * named nodes, so that `why` opens what the funder's table says. */
#ifndef BT_REPORT_ORIGIN_H
#define BT_REPORT_ORIGIN_H

#include "model/budget.h"

/* Where a supply comes from. */
enum bt_origin {
    BT_FROM_SOIL,    /* organic matter, nitrate */
    BT_FROM_WATER,   /* water, rain and dust */
    BT_FROM_LEGUMES, /* residues and roots of legumes that grew on the bed */
    BT_FROM_GROWTH,  /* ... of other plants */
    BT_FROM_BEFORE,  /* brought in for an earlier season */
    BT_FROM_INSIDE,  /* moved or made inside the garden */
    BT_FROM_BOUGHT,  /* brought in from outside for this one, bought or given */
    BT_ORIGINS
};

/* Whether an addition was taken from a bed or made in the garden for the most part. */
bool bt_deed_is_inside(const struct bt_application *x);
/* Whether a row falls into the season: after the last one's end. */
bool bt_deed_in_season(const struct bt_garden *g, const struct bt_application *x);
/* The addition that a supply line comes from, or NULL. */
const struct bt_application *bt_line_addition(const struct bt_budget *b,
                                              const struct bt_line *line);
enum bt_origin bt_line_origin(const struct bt_budget *b, const struct bt_line *line);

/* Nitrogen [g/m2], nodes in the budget's sheet: what there is of each origin without what
 * additions are only planned (`of`, BT_ORIGINS nodes), all of it but what was brought in
 * ("already there before anything was brought in"), and the need less that ("gap before
 * anything was brought in"). False when the account or its need is not known. */
struct bt_gap {
    struct bt_node of[BT_ORIGINS], already, gap;
};
bool bt_gap_nodes(const struct bt_budget *b, struct bt_gap *out);

#endif
