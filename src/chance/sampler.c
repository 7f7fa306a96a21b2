#include "chance/sampler.h"

#include <assert.h>

#include "base/figures.h"
#include "base/text.h"

static bool leaf_varies(const struct bt_leaf *leaf)
{
    return !bt_range_is_exact(&leaf->range);
}

/* About a range, in the unit it was stated in. */
static void tell(struct bt_arena *a, struct bt_diag *d, const struct bt_leaf *leaf,
                 enum bt_weight weight, const char *what)
{
    const struct bt_range *r = &leaf->range;
    const double unit = leaf->unit_factor > 0 ? leaf->unit_factor : 1;
    const char *likely =
        r->has_likely ? bt_arena_format(a, "%s..", bt_figures_short(a, r->likely / unit, 4))
                      : "";
    bt_diag_add(d, (struct bt_message){.weight = weight,
                                       .at = leaf->at,
                                       .field = bt_arena_format(
                                           a, "%s, %s..%s%s%s%s: %s", leaf->label,
                                           bt_figures_short(a, r->low / unit, 4), likely,
                                           bt_figures_short(a, r->high / unit, 4),
                                           leaf->unit && *leaf->unit ? " " : "",
                                           leaf->unit ? leaf->unit : "", what)});
}

/* One row or cell is spoken of once, though every bed has a leaf of its own for it. */
static uint64_t note_key(struct bt_arena *a, const struct bt_leaf *leaf)
{
    return bt_text_hash(leaf->at.file ? bt_arena_format(a, "%s:%u:%u", leaf->at.file,
                                                        leaf->at.line, leaf->at.column)
                                      : leaf->id);
}

static void tell_fit(struct bt_arena *a, struct bt_diag *d, const struct bt_leaf *leaf,
                     const struct bt_law *law, enum bt_fit_note note)
{
    const struct bt_range *r = &leaf->range;
    const double unit = leaf->unit_factor > 0 ? leaf->unit_factor : 1;
    const bool is_moved = note == BT_FIT_END_MOVED;
    const bool is_low = is_moved ? r->low > leaf->limit_low && law->low <= leaf->limit_low
                                 : r->likely - r->low > r->high - r->likely;
    const char *limit = bt_arena_format(
        a, "%s",
        bt_figures_short(a, (is_low ? leaf->limit_low : leaf->limit_high) / unit, 4));
    const char *side = is_low ? "low" : "high";
    tell(a, d, leaf, BT_NOTE,
         is_moved
             ? bt_arena_format(a,
                               "nine times in ten between these would reach beyond "
                               "%s, which cannot be, so %s is taken as the %s end",
                               limit, limit, side)
             : bt_arena_format(a,
                               "the %s end is the last possible value, and so far from "
                               "the likely one that it is seldom come near to",
                               side));
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
             "expected low, likely and high in rising order, inside what is possible");
    const enum bt_form chosen = leaf->range.form;
    if (fits && d && chosen != BT_FORM_AUTO && law.form != chosen &&
        bt_shapes_first_time(shapes, note_key(a, leaf)))
        tell(a, d, leaf, BT_NOTE,
             bt_arena_format(a,
                             "no %s law has these ends inside what is possible, so a %s "
                             "takes its place",
                             bt_form_word(chosen), bt_form_word(law.form)));
    if (fits && d && (note == BT_FIT_END_MOVED || note == BT_FIT_LIFTED) &&
        bt_shapes_first_time(shapes, note_key(a, leaf)))
        tell_fit(a, d, leaf, &law, note);
    return law;
}

void bt_fit_notes(struct bt_arena *a, struct bt_diag *d, struct bt_shapes *shapes,
                  const struct bt_sheet *sheet)
{
    for (size_t i = 0, n = bt_sheet_size(sheet); i < n; i++) {
        const struct bt_leaf *leaf =
            bt_sheet_node(sheet, (struct bt_node){(uint32_t)i})->leaf;
        if (leaf && leaf_varies(leaf))
            (void)law_of(a, d, shapes, leaf);
    }
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
    const size_t n = o->samples < BT_SAMPLES_MOST ? o->samples : BT_SAMPLES_MOST;
    const size_t blocks = (n + BT_BLOCK - 1) / BT_BLOCK;
    return (blocks ? blocks : 1) * BT_BLOCK;
}
