/* Whole columns of the nodes that are summarised; everything else is forgotten block by
 * block. A node that is asked for twice, or under a second name, is kept once. */
#ifndef BT_CHANCE_KEEPER_H
#define BT_CHANCE_KEEPER_H

#include "chance/sampler.h"
#include "chance/summary.h"

struct bt_kept {
    const double *block; /* the program's column */
    double likely;
    bool varies;
    double *whole; /* all samples; NULL where the node has one value: the likely one */
    struct bt_spread spread;
};

struct bt_keeper {
    const struct bt_sheet *sheet;
    size_t samples;
    size_t n;
    size_t n_columns; /* that are kept whole */
    struct bt_kept *kept;
    size_t *place; /* by node: index + 1, 0 for none */
};

/* For `n` nodes, all of them wanted by the sampler. */
struct bt_keeper bt_keeper_new(struct bt_arena *a, const struct bt_sheet *sheet,
                               const struct bt_sampler *s, size_t samples, size_t n,
                               const struct bt_node *wanted);
/* Where the whole columns lie: n_columns times `samples` values. */
void bt_keeper_use(struct bt_keeper *k, double *columns);
/* Copies the block at hand to rows first .. first + BT_BLOCK - 1. */
void bt_keeper_block(struct bt_keeper *k, size_t first);
/* All spreads, once all blocks are there. */
void bt_keeper_finish(struct bt_keeper *k, struct bt_summary_room *room);
const struct bt_kept *bt_keeper_get(const struct bt_keeper *k, struct bt_node n);

#endif
