#include "chance/sampler.h"

#include <assert.h>

#include "base/text.h"

static bool leaf_varies(const struct bt_leaf *leaf)
{
    return !bt_range_is_exact(&leaf->range);
}

static void tell(struct bt_arena *a, struct bt_diag *d, const struct bt_leaf *leaf,
                 enum bt_weight weight, const char *expected)
{
    const struct bt_range *r = &leaf->range;
    bt_diag_add(d,
                (struct bt_message){.weight = weight,
                                    .at = leaf->at,
                                    .field = leaf->label,
                                    .expected = expected,
                                    .found = bt_arena_format(a, "%.4g..%.4g..%.4g", r->low,
                                                             r->likely, r->high)});
}

static struct bt_law law_of(struct bt_arena *a, struct bt_diag *d, struct bt_shapes *shapes,
                            const struct bt_leaf *leaf)
{
    struct bt_law law;
    enum bt_fit_note note;
    const bool fits =
        bt_shapes_law(shapes, &leaf->range, leaf->limit_low, leaf->limit_high, &law, &note);
    if (!fits && d)
        tell(a, d, leaf, BT_ERROR,
             "low, likely and high in rising order, inside what is possible");
    if (note == BT_FIT_END_MOVED && d &&
        bt_shapes_first_time(shapes, bt_text_hash(leaf->id)))
        tell(a, d, leaf, BT_NOTE,
             "ends whose tails stay within what is possible; the nearest possible value is "
             "taken "
             "as the end");
    if (note == BT_FIT_LIFTED && d && bt_shapes_first_time(shapes, bt_text_hash(leaf->id)))
        tell(a, d, leaf, BT_NOTE,
             "a likely value nearer to the end that is the last possible one: as typed, "
             "that end is seldom come near to");
    return law;
}

struct bt_sampler bt_sampler_new(struct bt_arena *a, struct bt_diag *d,
                                 struct bt_shapes *shapes, const struct bt_sheet *sheet,
                                 uint64_t seed, struct bt_nodes wanted)
{
    struct bt_sampler s = {
        .program = bt_program_new(a, sheet, wanted.n, wanted.node, leaf_varies)};
    s.n_leaves = bt_program_leaves(s.program);
    s.leaf = bt_arena_alloc(a, s.n_leaves * sizeof *s.leaf);
    for (size_t i = 0; i < s.n_leaves; i++) {
        struct bt_sampler_leaf *to = &s.leaf[i];
        to->node = bt_program_leaf(s.program, i, &to->x);
        to->u = bt_arena_alloc(a, BT_BLOCK * sizeof *to->u);
        const struct bt_leaf *leaf = bt_sheet_node(sheet, to->node)->leaf;
        const struct bt_law law = law_of(a, d, shapes, leaf);
        to->drawer = bt_drawer_new(shapes, &law, seed, leaf->id, leaf->parent,
                                   leaf->rank_correlation);
    }
    return s;
}

void bt_sampler_block(struct bt_sampler *s, uint64_t first)
{
    for (size_t i = 0; i < s->n_leaves; i++)
        bt_drawer_fill(&s->leaf[i].drawer, first, s->leaf[i].u, s->leaf[i].x);
    bt_program_run(s->program);
}

size_t bt_sample_count(const struct bt_chance_options *o)
{
    const size_t blocks = (o->samples + BT_BLOCK - 1) / BT_BLOCK;
    return (blocks ? blocks : 1) * BT_BLOCK;
}
