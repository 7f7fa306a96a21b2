/* Whole columns of draws of any nodes of a worksheet, for what is compared draw by draw
 * with another worksheet: equal leaves have equal draws, so the difference is that of the
 * two. */
#ifndef BT_CHANCE_COLUMNS_H
#define BT_CHANCE_COLUMNS_H

#include "chance/chance.h"
#include "chance/summary.h"

struct bt_columns {
    size_t samples;
    size_t n;
    double **x;     /* n columns of `samples` draws, in the order asked for */
    double *likely; /* at the likely values */
};

/* Everything is allocated in `a`. */
struct bt_columns bt_columns_of(struct bt_arena *a, struct bt_shapes *shapes,
                                const struct bt_sheet *sheet,
                                const struct bt_chance_options *o, size_t n,
                                const struct bt_node *node);

/* Spread of column k; of `left` k less `right` k, draw by draw. `work`: room for a column.
 */
struct bt_spread bt_column_spread(struct bt_summary_room *room, const struct bt_columns *c,
                                  size_t k);
struct bt_spread bt_column_difference(struct bt_summary_room *room,
                                      const struct bt_columns *left,
                                      const struct bt_columns *right, size_t k,
                                      double *work);
/* In which part of the draws column k is at least `at_least`. */
double bt_column_chance(const struct bt_columns *c, size_t k, double at_least);

#endif
