/* The worksheet: a directed acyclic graph of named quantities. Leaves are numbers that
 * somebody stated; inner nodes are arithmetic. Nodes only refer to earlier nodes, so
 * building is the proof that there is no ring. Equal nodes are one node. Every node knows
 * its dimension and its value at the likely values, so a sheet is evaluated for n = 1 by
 * being built. */
#ifndef BT_WORKSHEET_SHEET_H
#define BT_WORKSHEET_SHEET_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/diag.h"
#include "base/dim.h"
#include "input/handbook.h"
#include "shape/range.h"

struct bt_sheet;

struct bt_node {
    uint32_t i;
};

enum bt_op {
    BT_OP_CONSTANT,
    BT_OP_LEAF,
    BT_OP_ADD,
    BT_OP_SUB,
    BT_OP_MUL,
    BT_OP_DIV,
    BT_OP_MIN,
    BT_OP_MAX,
    BT_OP_SUM,      /* n-ary */
    BT_OP_WEIGHTED, /* sum of weight[k] . arg[k], weights are constants (of dates) */
    BT_OP_CURVE,    /* straight lines between knots, held flat outside them */
    BT_OP_SAME      /* a second name for a node */
};

/* A number that somebody stated. */
struct bt_leaf {
    const char *id; /* "crops/sweet corn/yield", "plantings/A1/sweet corn 1/expected": the
                       key of its draws; never a row number, a date or an amount */
    const char *label; /* "yield of sweet corn" */
    struct bt_dim dim;
    struct bt_range range;        /* inside units */
    double limit_low, limit_high; /* physical limits */
    const char *unit;   /* in which it is shown; "" for a share or a plain number */
    double unit_factor; /* value inside = value shown * unit_factor; 0 counts as 1 */
    const char *source; /* id in sources.csv; or "stated" for the user's own figure */
    enum bt_seen seen;  /* of handbook figures */
    const char *notes;  /* of the handbook row, or NULL */
    struct bt_pos at;   /* cell or table row */
    bool assumed;       /* stands in for something the user left blank */
    const char *parent; /* id of the leaf it is correlated with, or NULL */
    double rank_correlation;
};

/* Everything about a node, for those who walk the graph (evaluation, why, drivers). */
struct bt_node_info {
    enum bt_op op;
    struct bt_dim dim;
    double likely;
    size_t n_args;
    const struct bt_node *arg;
    const double *weight; /* WEIGHTED: n_args; CURVE: n_knots x, then n_knots y */
    size_t n_knots;
    const struct bt_leaf *leaf; /* LEAF only */
    const char *id;    /* of a named node ("need/A1/sweet corn"), of a leaf, else NULL */
    const char *label; /* "need of sweet corn", NULL for anonymous arithmetic */
    const char
        *remark; /* a sentence for `why` ("0.62 = released by 14 July at 0.046 a day") */
    const struct bt_row
        *row; /* CURVE or CONSTANT made from a handbook row: where it comes from */
    const char
        *unit; /* in which an inner node is shown; NULL: as its dimension usually is */
    double unit_factor; /* value inside = value shown * unit_factor */
};

struct bt_sheet *bt_sheet_new(struct bt_arena *a);
struct bt_arena *bt_sheet_arena(struct bt_sheet *s);
size_t bt_sheet_size(const struct bt_sheet *s);
const struct bt_node_info *bt_sheet_node(const struct bt_sheet *s, struct bt_node n);
double bt_likely(const struct bt_sheet *s, struct bt_node n);
/* The named node or leaf with this id, label or unique beginning of either; false when
 * none. */
bool bt_sheet_find(const struct bt_sheet *s, const char *name, struct bt_node *out);

/* Leaves with the same id are one node. The strings must outlive the sheet. */
struct bt_node bt_leaf(struct bt_sheet *s, const struct bt_leaf *leaf);
struct bt_node bt_constant(struct bt_sheet *s, double value, struct bt_dim dim);
/* A constant with a name and a sentence of how it came about. */
struct bt_node bt_constant_named(struct bt_sheet *s, double value, struct bt_dim dim,
                                 const char *label, const char *remark,
                                 const struct bt_row *row);
struct bt_node bt_share(struct bt_sheet *s, double value); /* constant without dimension */

/* Arithmetic. A wrong dimension is a programming mistake and stops the program (assert). */
struct bt_node bt_add(struct bt_sheet *s, struct bt_node a, struct bt_node b);
struct bt_node bt_sub(struct bt_sheet *s, struct bt_node a, struct bt_node b);
struct bt_node bt_mul(struct bt_sheet *s, struct bt_node a, struct bt_node b);
/* A part of nothing is nothing: 0 / 0 is 0 (the share of a crop that did not grow). */
struct bt_node bt_div(struct bt_sheet *s, struct bt_node a, struct bt_node b);
struct bt_node bt_min(struct bt_sheet *s, struct bt_node a, struct bt_node b);
struct bt_node bt_max(struct bt_sheet *s, struct bt_node a, struct bt_node b);
/* 1 - a, for shares. */
struct bt_node bt_rest(struct bt_sheet *s, struct bt_node a);
struct bt_node bt_sum(struct bt_sheet *s, size_t n, const struct bt_node *arg,
                      struct bt_dim dim);
struct bt_node bt_weighted(struct bt_sheet *s, size_t n, const struct bt_node *arg,
                           const double *weight, struct bt_dim dim);
/* y(x): straight between (x[k], y[k]), k = 0 .. n-1, x rising; y[0] and y[n-1] outside.
 * `row` may be NULL. */
struct bt_knots {
    size_t n; /* at least 1 */
    const double *x, *y;
};
struct bt_node bt_curve(struct bt_sheet *s, struct bt_node x, struct bt_knots knots,
                        struct bt_dim dim, const struct bt_row *row);

/* Gives a node its name: "<quantity> of <subject>". A node that has another name already
 * gets a second node (SAME). Strings must outlive the sheet. */
struct bt_node bt_named(struct bt_sheet *s, const char *id, const char *label,
                        struct bt_node n);
void bt_remark(struct bt_sheet *s, struct bt_node n, const char *sentence);
/* In which unit a node is shown, for pages that speak in somebody's own units. A leaf keeps
 * its own. */
void bt_shown_in(struct bt_sheet *s, struct bt_node n, const char *unit,
                 double unit_factor);

#endif
