/* Which quantities of a worksheet its results rest on, and which of them are worth a page
 * of working. */
#ifndef BT_PLAN_SUM_PAGES_H
#define BT_PLAN_SUM_PAGES_H

#include "worksheet/sheet.h"

struct bt_sum_pages {
    size_t n_used; /* every node the results rest on, themselves included */
    const struct bt_node *used;
    size_t n_pages; /* named arithmetic, in the order in which the results ask for it */
    const struct bt_node *page;
};

struct bt_sum_pages bt_sum_pages_of(struct bt_arena *a, const struct bt_sheet *s, size_t n,
                                    const struct bt_node *result);

#endif
