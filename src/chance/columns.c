#include "chance/columns.h"

#include "chance/keeper.h"

struct bt_columns bt_columns_of(struct bt_arena *a, struct bt_shapes *shapes,
                                const struct bt_sheet *sheet,
                                const struct bt_chance_options *o, size_t n,
                                const struct bt_node *node)
{
    struct bt_columns c = {.samples = bt_sample_count(o), .n = n};
    c.x = bt_arena_alloc(a, (n + 1) * sizeof *c.x);
    c.likely = bt_arena_alloc(a, (n + 1) * sizeof *c.likely);
    struct bt_sampler sampler =
        bt_sampler_new(a, NULL, shapes, sheet, o->seed, (struct bt_nodes){n, node});
    struct bt_keeper keeper = bt_keeper_new(a, sheet, &sampler, c.samples, n, node);
    bt_keeper_use(&keeper,
                  bt_arena_alloc(a, keeper.n_columns * c.samples * sizeof(double)));
    for (size_t first = 0; first < c.samples; first += BT_BLOCK) {
        bt_sampler_block(&sampler, first);
        bt_keeper_block(&keeper, first);
    }
    for (size_t k = 0; k < n; k++) {
        const struct bt_kept *kept = bt_keeper_get(&keeper, node[k]);
        c.likely[k] = kept->likely;
        c.x[k] = kept->whole;
        if (kept->whole)
            continue;
        c.x[k] = bt_arena_alloc(a, c.samples * sizeof *c.x[k]);
        for (size_t i = 0; i < c.samples; i++)
            c.x[k][i] = kept->likely;
    }
    return c;
}

struct bt_spread bt_column_spread(struct bt_summary_room *room, const struct bt_columns *c,
                                  size_t k)
{
    return bt_spread_of(room, c->samples, c->x[k], c->likely[k]);
}

struct bt_spread bt_column_difference(struct bt_summary_room *room,
                                      const struct bt_columns *left,
                                      const struct bt_columns *right, size_t k,
                                      double *work)
{
    for (size_t i = 0; i < left->samples; i++)
        work[i] = left->x[k][i] - right->x[k][i];
    return bt_spread_of(room, left->samples, work, left->likely[k] - right->likely[k]);
}

double bt_column_chance(const struct bt_columns *c, size_t k, double at_least)
{
    size_t n = 0;
    for (size_t i = 0; i < c->samples; i++)
        n += c->x[k][i] >= at_least;
    return (double)n / (double)c->samples;
}
