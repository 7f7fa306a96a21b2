/* Evaluation of a sheet for a block of draws: one column a node, plain loops, no branch on
 * data. */
#ifndef BT_WORKSHEET_EVALUATE_H
#define BT_WORKSHEET_EVALUATE_H

#include "worksheet/sheet.h"

#define BT_BLOCK 256 /* draws evaluated at a time */

/* A sheet made ready for many blocks: only what the wanted nodes rest on, and only what
 * differs from draw to draw. A node that rests on no leaf that varies keeps its likely
 * value in every row. */
struct bt_program;

/* `n` wanted nodes. `varies` tells of a leaf whether it has more than one value. Everything
 * is allocated in `a`. */
struct bt_program *bt_program_new(struct bt_arena *a, const struct bt_sheet *s, size_t n,
                                  const struct bt_node *wanted,
                                  bool (*varies)(const struct bt_leaf *leaf));
/* The leaves to be filled before each run, in order of node, and their columns. */
size_t bt_program_leaves(const struct bt_program *p);
struct bt_node bt_program_leaf(const struct bt_program *p, size_t i, double **out_column);
/* The column of a wanted node, or of one that a wanted node rests on; NULL for any other.
 */
const double *bt_program_column(const struct bt_program *p, struct bt_node n);
/* False for a node that has the same value in every draw. */
bool bt_program_varies(const struct bt_program *p, struct bt_node n);
/* How many operations a run does for each draw; a sum of k nodes counts as k - 1. */
size_t bt_program_operations(const struct bt_program *p);
/* Computes all columns from those of the leaves. No allocation, no error. */
void bt_program_run(struct bt_program *p);

#endif
