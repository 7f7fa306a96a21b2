/* What a test would be worth before it is made, from the sample at hand: no extra runs of
 * the model. Draws are sorted into bins of one leaf; a test that is off by its usual error
 * says, with known chances, in which cell the leaf lies; what is left is averaged over all
 * it may say. Handbook for the method: docs/uncertainty.md, "What to measure". */
#ifndef BT_CHANCE_WORTH_H
#define BT_CHANCE_WORTH_H

#include "chance/draws.h"
#include "chance/finding.h"
#include "chance/gauge.h"

enum { BT_WORTH_BINS = 40, BT_WORTH_CELLS = 64 };

/* Sums of one outcome over the bins of one leaf. */
struct bt_worth {
    double middle;    /* of the outcome; sums are of what it differs from it */
    double cell_g_m2; /* width of a cell of the shortfall; 0 when there is none */
    double n[BT_WORTH_BINS];
    double x[BT_WORTH_BINS]; /* sum of the leaf */
    double y[BT_WORTH_BINS], y_square[BT_WORTH_BINS];
    uint32_t count[BT_WORTH_BINS][BT_WORTH_CELLS]; /* of the shortfall, max(0, -outcome) */
    double short_g_m2[BT_WORTH_BINS][BT_WORTH_CELLS];
};

/* Room for one leaf at a time; zeroed by bt_worth_begin. `outcome` is the spread of the
 * balance, `shortfall` that of what is missing. */
void bt_worth_begin(struct bt_worth *w, const struct bt_spread *outcome,
                    const struct bt_spread *shortfall);
/* A block of draws: the leaf's uniform numbers and values, and the outcome. */
void bt_worth_block(struct bt_worth *w, const double *u, const double *x,
                    const double *outcome);

struct bt_worth_answer {
    double spread_cut_frac; /* expected fall of the outcome's standard deviation */
    double loss_avoided;    /* g/m2, see below */
};

/* A test whose result is off by `error` (one standard error, normal). The loss:
 * whoever adds `a` g/m2 loses 1 for each g/m2 too much and enough / (1 - enough) for each
 * g/m2 that is missing, so that the best `a` without a test covers the need with the chance
 * `enough`. */
struct bt_worth_answer bt_worth_finish(const struct bt_worth *w,
                                       struct bt_gauge_error error, double enough);

#endif
