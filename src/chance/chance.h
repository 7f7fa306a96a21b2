/* From a built budget to what its draws say. Draw i of a leaf is a pure function of (seed,
 * leaf id, i): results depend neither on threads nor on which beds there are. */
#ifndef BT_CHANCE_CHANCE_H
#define BT_CHANCE_CHANCE_H

#include <stdint.h>

#include "chance/finding.h"
#include "shape/range.h"

/* As many as it takes: bt_run_settle finds the number, between these two. */
enum { BT_SAMPLES_AUTO = 0, BT_SAMPLES_USUAL = 16384, BT_SAMPLES_MOST = 1048576 };

struct bt_chance_options {
    size_t samples; /* rounded up to a multiple of 256 */
    uint64_t seed;
};

/* One bed made ready: laws fitted, memory allocated. Serial. Adds the notes of fits to `d`.
 */
struct bt_job;
struct bt_job *bt_job_new(struct bt_arena *a, struct bt_diag *d, struct bt_shapes *shapes,
                          const struct bt_budget *b, const struct bt_chance_options *o);
/* Draws, evaluates and summarises, in memory taken from the job's arena. */
void bt_job_run(struct bt_job *j);
/* The same in a workspace that fits every one of the given jobs: no allocation, no error,
 * so that jobs may run in parallel, each thread in a workspace of its own. What
 * bt_totals_add reads is there until the workspace is used again; the finding stays. */
struct bt_workspace;
struct bt_workspace *bt_workspace_new(struct bt_arena *a, size_t n,
                                      struct bt_job *const *job);
bool bt_workspace_fits(const struct bt_workspace *w, size_t n, struct bt_job *const *job);
void bt_job_run_in(struct bt_job *j, struct bt_workspace *w);
/* What came out; points into the job's memory. */
const struct bt_finding *bt_job_finding(const struct bt_job *j);

/* Totals of the garden over jobs, added in the order of the calls. bt_totals_add does not
 * allocate. */
struct bt_totals;
struct bt_totals *bt_totals_new(struct bt_arena *a, const struct bt_chance_options *o);
void bt_totals_add(struct bt_totals *t, const struct bt_job *j);
/* One a nutrient; area 0 where no bed has that account. */
void bt_totals_finish(struct bt_totals *t, struct bt_total_finding out[BT_NUTRIENTS]);

/* Spreads of any n nodes of one budget, for `why`; in `a`. */
const struct bt_spread *bt_chance_nodes(struct bt_arena *a, struct bt_shapes *shapes,
                                        const struct bt_budget *b,
                                        const struct bt_chance_options *o, size_t n,
                                        const struct bt_node *node);

#endif
