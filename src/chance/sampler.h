/* A worksheet made ready to be drawn: its program, and a drawer for each leaf that varies.
 */
#ifndef BT_CHANCE_SAMPLER_H
#define BT_CHANCE_SAMPLER_H

#include "chance/chance.h"
#include "chance/draws.h"
#include "worksheet/evaluate.h"

struct bt_sampler_leaf {
    struct bt_node node;
    struct bt_drawer drawer;
    double *u; /* BT_BLOCK uniform numbers of the block at hand */
    double *x; /* ... and the values */
};

struct bt_sampler {
    struct bt_program *program;
    size_t n_leaves;
    struct bt_sampler_leaf *leaf;
};

struct bt_nodes {
    size_t n;
    const struct bt_node *node;
};

/* For the wanted nodes. Notes about fits go to `d` once a run (NULL for none); a leaf whose
 * range is not a range, which the readers prevent, is an error there and is held at its
 * likely value. */
struct bt_sampler bt_sampler_new(struct bt_arena *a, struct bt_diag *d,
                                 struct bt_shapes *shapes, const struct bt_sheet *sheet,
                                 uint64_t seed, struct bt_nodes wanted);
/* The notes about fits alone, of all leaves of a sheet: for those who draw nothing. */
void bt_fit_notes(struct bt_arena *a, struct bt_diag *d, struct bt_shapes *shapes,
                  const struct bt_sheet *sheet);
/* Fills the leaves' columns with draws first .. first + BT_BLOCK - 1 and computes all
 * others. */
void bt_sampler_block(struct bt_sampler *s, uint64_t first);

/* `samples` rounded up to whole blocks, at least one and at most BT_SAMPLES_MOST draws. */
size_t bt_sample_count(const struct bt_chance_options *o);

#endif
