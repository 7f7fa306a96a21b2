/* The arithmetic of one node as a reader would write it: names, then figures that multiply
 * out, then what each name stands for. Printing stops at named quantities. */
#ifndef BT_REPORT_WORKING_H
#define BT_REPORT_WORKING_H

#include "report/number.h"

/* A node as it is shown: SAME without a name looked through. */
struct bt_node bt_seen_through(const struct bt_sheet *s, struct bt_node n);
/* Named, a leaf, or a constant with a name: where printing stops. */
bool bt_is_quantity(const struct bt_node_info *x);
/* A named quantity that is arithmetic and so has a page of its own. */
bool bt_has_page(const struct bt_sheet *s, struct bt_node n);
/* The arithmetic behind a page's name. */
struct bt_node bt_behind(const struct bt_sheet *s, struct bt_node n);

/* How a number of a node is shown: shown = inside . per_inside. */
struct bt_as {
    double per_inside; /* unit-free */
    const char *unit;  /* "g/m2", "%", "" */
};
struct bt_as bt_shown_as(const struct bt_sheet *s, struct bt_node n);

/* One term of a sum. */
struct bt_term {
    struct bt_node node;
    double factor; /* unit-free: the weight, -1 for what is taken off, else 1 */
};
/* True when the node is a sum of more than two terms or a weighted one: to be shown as a
 * column. */
bool bt_terms(struct bt_arena *a, const struct bt_sheet *s, struct bt_node n, size_t *out_n,
              struct bt_term **out_term);

/* "soil draw of pole bean / share the roots catch" and "0.897 / 0.7", and the quantities in
 * it, in the order of their appearance. The figures are as few as give the result as it is
 * printed. */
struct bt_equation {
    const char *names, *figures;
    bool inside; /* figures are in grams, metres and days, since the shown units do not
                    multiply out */
    const char *with_units; /* the figures as they are shown, each with its unit */
    size_t n_operands;
    struct bt_node *operand;
};
struct bt_equation bt_equation(const struct bt_show *w, const struct bt_sheet *s,
                               struct bt_node n);

/* A sum of many terms or a curve without a name of its own inside an expression: its parts
 * stand below. */
bool bt_is_spelled_out_below(const struct bt_node_info *x);

/* Nodes that the page of `n` names, for collecting. */
size_t bt_operands(struct bt_arena *a, const struct bt_sheet *s, struct bt_node n,
                   struct bt_node **out);

#endif
