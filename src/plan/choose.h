/* The choice of what to add, as a linear program over amounts: needs are covered first,
 * then what is left to choose costs the least. Plain arrays in, plain arrays out; GLPK is
 * behind it. first   least weighted sum of shortages          sum_j gives[j] x_j + shortage
 * >= bound (needs) then    least cost . x + sum dear . excess sum_j gives[j] x_j - excess
 * <= bound (soft limits, `dear` > 0 a unit above) sum_j gives[j] x_j          <= bound
 * (hard limits) 0 <= x_j <= most_j */
#ifndef BT_PLAN_CHOOSE_H
#define BT_PLAN_CHOOSE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

enum bt_choice_row_kind { BT_CHOICE_NEED, BT_CHOICE_LIMIT, BT_CHOICE_SOFT };

/* One row; its coefficients in the dense array `gives`, one a column. */
struct bt_choice_row {
    const char *name;
    enum bt_choice_row_kind kind;
    double bound;        /* unit-free: in the unit of the row */
    double dear;         /* unit-free: cost of a unit above a soft limit */
    const double *gives; /* unit-free: by column */
    double weight; /* unit-free: of a unit of its shortage beside others; 0 counts as 1 */
};

struct bt_choice_model {
    size_t n_columns;
    const char *const *name; /* of columns */
    const double *cost;      /* unit-free: of a unit of each column, not negative */
    const double *most;      /* unit-free: most of each column; HUGE_VAL for no end */
    const size_t *group; /* columns of one material have one number; NULL: each its own */
    size_t n_rows;
    const struct bt_choice_row *row;
    /* unit-free: share of what needs ask for that bt_choose_fewest may leave short; of
     * needs that weigh less than 1 */
    double let_off, let_off_lesser;
};

struct bt_choice {
    double *x;        /* unit-free: by column */
    double *shortage; /* unit-free: by row; 0 but for needs that cannot be covered */
    double *price; /* unit-free: by row, what a unit of its bound would change the cost */
    bool *binds;   /* by row: met with nothing to spare */
    bool *fights;  /* by row: a limit that keeps a need from being covered */
    bool
        *column_full; /* by column: at its most, and that keeps a need from being covered */
    double *reduced;  /* unit-free: by column, how far its cost is from being chosen */
    double short_sum; /* unit-free */
    double cost;      /* unit-free */
};

/* False when the model is not one (a number that is not finite, a name missing, a bound of
 * a column below 0): nothing is solved then. A model always has an answer, for needs may
 * stay short. */
bool bt_choose(struct bt_arena *a, const struct bt_choice_model *m, struct bt_choice *out);

/* The same with as few groups as come at no more shortage than `let_off` and at most
 * `slack` (a share) and `at_least` more cost: leaves groups out, those that give least
 * first. */
bool bt_choose_fewest(struct bt_arena *a, const struct bt_choice_model *m, double slack,
                      double at_least, struct bt_choice *out);

/* Writes the second program (needs covered as far as bt_choose could) in CPLEX LP format,
 * so that another solver can be asked. False when it cannot be written. */
bool bt_choose_write(struct bt_arena *a, const struct bt_choice_model *m, const char *file);

/* The fewest money for at least `wanted` of one thing sold in packages of several sizes:
 * how many of each, whole. A mixed-integer program. False when there is no package. */
bool bt_choose_packages(struct bt_arena *a, size_t n, const double *size,
                        const double *price, double wanted, double *out_count);

#endif
