#include "chance/keeper.h"

#include <assert.h>
#include <string.h>

/* The node that a second name stands for. */
static struct bt_node origin(const struct bt_sheet *sheet, struct bt_node n)
{
    const struct bt_node_info *x = bt_sheet_node(sheet, n);
    while (x->op == BT_OP_SAME) {
        n = x->arg[0];
        x = bt_sheet_node(sheet, n);
    }
    return n;
}

struct bt_keeper bt_keeper_new(struct bt_arena *a, const struct bt_sheet *sheet,
                               const struct bt_sampler *s, size_t samples, size_t n,
                               const struct bt_node *wanted)
{
    struct bt_keeper k = {.sheet = sheet, .samples = samples};
    k.kept = bt_arena_alloc(a, n * sizeof *k.kept);
    k.place = bt_arena_zero(a, bt_sheet_size(sheet) * sizeof *k.place);
    for (size_t i = 0; i < n; i++) {
        const struct bt_node node = origin(sheet, wanted[i]);
        if (k.place[node.i])
            continue;
        struct bt_kept *kept = &k.kept[k.n++];
        *kept = (struct bt_kept){.block = bt_program_column(s->program, node),
                                 .likely = bt_likely(sheet, node),
                                 .varies = bt_program_varies(s->program, node)};
        k.n_columns += kept->varies;
        k.place[node.i] = k.n;
    }
    return k;
}

void bt_keeper_use(struct bt_keeper *k, double *columns)
{
    for (size_t i = 0; i < k->n; i++) {
        if (!k->kept[i].varies)
            continue;
        k->kept[i].whole = columns;
        columns += k->samples;
    }
}

void bt_keeper_block(struct bt_keeper *k, size_t first)
{
    for (size_t i = 0; i < k->n; i++)
        if (k->kept[i].whole)
            memcpy(k->kept[i].whole + first, k->kept[i].block, BT_BLOCK * sizeof(double));
}

void bt_keeper_finish(struct bt_keeper *k, struct bt_summary_room *room)
{
    for (size_t i = 0; i < k->n; i++) {
        struct bt_kept *kept = &k->kept[i];
        kept->spread = kept->whole
                           ? bt_spread_of(room, k->samples, kept->whole, kept->likely)
                           : bt_spread_exact(kept->likely);
    }
}

const struct bt_kept *bt_keeper_get(const struct bt_keeper *k, struct bt_node n)
{
    const size_t place = k->place[origin(k->sheet, n).i];
    assert(place > 0);
    return &k->kept[place - 1];
}
