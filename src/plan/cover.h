/* How well a bed's nitrogen need is covered, draw by draw: what the plan is aimed at and
 * checked with. The draws are those of the budget itself. */
#ifndef BT_PLAN_COVER_H
#define BT_PLAN_COVER_H

#include "chance/chance.h"

struct bt_cover_options {
    struct bt_shapes *shapes;
    struct bt_chance_options chance;
    int from;         /* day from which an addition can still help */
    bool wants_lacks; /* also what is lacking, date by date */
};

struct bt_cover {
    size_t samples;
    double chance; /* that the need is covered on every date; 1 where nothing is needed */
    /* ... on every date from `from` on; what crops that were gone by then went without is
     * not made up for */
    double chance_from;
    double chance_before; /* ... on every date before it: nothing can be done about these */
    double chance_over;   /* unit-free: that something is over on the last date */
    /* By date of the account, of need - have [g/m2]; NULL unless asked for. */
    double **lack; /* samples values each, in order of the draws */
    double *lack_mean, *lack_sd;
};

/* For the account of `nutrient`. Everything is allocated in `a`. */
struct bt_cover bt_cover_of(struct bt_arena *a, const struct bt_budget *b,
                            enum bt_nutrient nutrient, const struct bt_cover_options *o);

/* Standard error of a chance from so many draws; never 0. */
double bt_chance_error(double chance, size_t samples);

#endif
