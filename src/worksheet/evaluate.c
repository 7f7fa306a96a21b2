/* The arithmetic of a sheet over columns of draws. `apply` holds the only loops; a step is
 * a node with its columns looked up. Typical size: a few hundred steps a bed, 0.15 ns a
 * step and draw. */
#include "worksheet/evaluate.h"

#include <assert.h>

#include "shape/kernel.h"

struct step {
    enum bt_op op;
    size_t n_args;
    const double *const *arg;
    const double *weight;
    size_t n_knots;
    double *out;
};

/* out = sum of weight . arg, four columns a pass; a NULL weight is 1 for all. */
static inline void add_up(const struct step *step)
{
    double *restrict out = step->out;
    const double *w = step->weight;
    for (int i = 0; i < BT_BLOCK; i++)
        out[i] = 0;
    size_t k = 0;
    for (; k + 4 <= step->n_args; k += 4) {
        const double *a = step->arg[k], *b = step->arg[k + 1];
        const double *c = step->arg[k + 2], *d = step->arg[k + 3];
        const double wa = w ? w[k] : 1, wb = w ? w[k + 1] : 1;
        const double wc = w ? w[k + 2] : 1, wd = w ? w[k + 3] : 1;
        for (int i = 0; i < BT_BLOCK; i++)
            out[i] = out[i] + wa * a[i] + wb * b[i] + wc * c[i] + wd * d[i];
    }
    for (; k < step->n_args; k++) {
        const double *a = step->arg[k];
        const double wa = w ? w[k] : 1;
        for (int i = 0; i < BT_BLOCK; i++)
            out[i] = out[i] + wa * a[i];
    }
}

/* y(x) as the first value plus what each straight piece adds: no search, no branch. */
static inline void follow_curve(const struct step *step)
{
    const double *x = step->arg[0];
    const double *at = step->weight;
    const double *value = step->weight + step->n_knots;
    double *restrict out = step->out;
    for (int i = 0; i < BT_BLOCK; i++)
        out[i] = value[0];
    for (size_t k = 1; k < step->n_knots; k++) {
        const double from = at[k - 1], to = at[k];
        const double slope = (value[k] - value[k - 1]) / (to - from);
        for (int i = 0; i < BT_BLOCK; i++) {
            const double past = x[i] > from ? x[i] : from;
            const double held = past < to ? past : to;
            out[i] = out[i] + (held - from) * slope;
        }
    }
}

static inline void apply_two(enum bt_op op, const double *a, const double *b,
                             double *restrict out)
{
    switch (op) {
    case BT_OP_ADD:
        for (int i = 0; i < BT_BLOCK; i++)
            out[i] = a[i] + b[i];
        break;
    case BT_OP_SUB:
        for (int i = 0; i < BT_BLOCK; i++)
            out[i] = a[i] - b[i];
        break;
    case BT_OP_MUL:
        for (int i = 0; i < BT_BLOCK; i++)
            out[i] = a[i] * b[i];
        break;
    case BT_OP_DIV:
        for (int i = 0; i < BT_BLOCK; i++)
            out[i] = a[i] == 0 ? 0 : a[i] / b[i];
        break;
    case BT_OP_MIN:
        for (int i = 0; i < BT_BLOCK; i++)
            out[i] = a[i] < b[i] ? a[i] : b[i];
        break;
    default: /* BT_OP_MAX */
        for (int i = 0; i < BT_BLOCK; i++)
            out[i] = a[i] > b[i] ? a[i] : b[i];
        break;
    }
}

BT_KERNEL static void apply(size_t n, const struct step *steps)
{
    for (size_t k = 0; k < n; k++) {
        const struct step *step = &steps[k];
        switch (step->op) {
        case BT_OP_LEAF:     /* filled by the draws */
        case BT_OP_CONSTANT: /* filled once */
        case BT_OP_SAME: /* has the column of its node */ break;
        case BT_OP_SUM:
        case BT_OP_WEIGHTED: add_up(step); break;
        case BT_OP_CURVE: follow_curve(step); break;
        case BT_OP_ADD:
        case BT_OP_SUB:
        case BT_OP_MUL:
        case BT_OP_DIV:
        case BT_OP_MIN:
        case BT_OP_MAX: apply_two(step->op, step->arg[0], step->arg[1], step->out); break;
        }
    }
}

static struct step step_of(const struct bt_node_info *x, const double *const *arg,
                           double *out)
{
    return (struct step){.op = x->op,
                         .n_args = x->n_args,
                         .arg = arg,
                         .weight = x->weight,
                         .n_knots = x->n_knots,
                         .out = out};
}

/* ---- programs ----------------------------------------------------------------------- */

struct node_state {
    bool is_used, varies;
    double *column;
};

struct bt_program {
    size_t n_nodes;
    struct node_state *node;
    size_t n_leaves;
    struct bt_node *leaf;
    size_t n_steps, n_operations;
    struct step *step;
};

static struct bt_node nth(size_t i)
{
    return (struct bt_node){(uint32_t)i};
}

/* Arguments come before their node, so one way down finds what is used and one way up what
 * varies. */
static void find_used(const struct bt_sheet *s, struct node_state *node, size_t n)
{
    for (size_t i = n; i-- > 0;) {
        const struct bt_node_info *x = bt_sheet_node(s, nth(i));
        for (size_t k = 0; k < x->n_args && node[i].is_used; k++)
            node[x->arg[k].i].is_used = true;
    }
}

static void find_varying(const struct bt_sheet *s, struct node_state *node, size_t n,
                         bool (*varies)(const struct bt_leaf *leaf))
{
    for (size_t i = 0; i < n; i++) {
        const struct bt_node_info *x = bt_sheet_node(s, nth(i));
        node[i].varies = x->op == BT_OP_LEAF && varies(x->leaf);
        for (size_t k = 0; k < x->n_args; k++)
            node[i].varies = node[i].varies || node[x->arg[k].i].varies;
    }
}

static void add_step(struct bt_arena *a, struct bt_program *p, const struct bt_node_info *x,
                     double *out)
{
    const double **arg = bt_arena_alloc(a, (x->n_args + 1) * sizeof *arg);
    for (size_t k = 0; k < x->n_args; k++)
        arg[k] = p->node[x->arg[k].i].column;
    p->step[p->n_steps++] = step_of(x, arg, out);
    if (x->op == BT_OP_CURVE)
        p->n_operations += x->n_knots - 1;
    else if (x->op == BT_OP_WEIGHTED)
        p->n_operations += x->n_args;
    else
        p->n_operations += x->n_args - 1;
}

struct bt_program *bt_program_new(struct bt_arena *a, const struct bt_sheet *s, size_t n,
                                  const struct bt_node *wanted,
                                  bool (*varies)(const struct bt_leaf *leaf))
{
    struct bt_program *p = bt_arena_zero(a, sizeof *p);
    p->n_nodes = bt_sheet_size(s);
    p->node = bt_arena_zero(a, (p->n_nodes + 1) * sizeof *p->node);
    p->leaf = bt_arena_alloc(a, (p->n_nodes + 1) * sizeof *p->leaf);
    p->step = bt_arena_alloc(a, (p->n_nodes + 1) * sizeof *p->step);
    for (size_t k = 0; k < n; k++)
        p->node[wanted[k].i].is_used = true;
    find_used(s, p->node, p->n_nodes);
    find_varying(s, p->node, p->n_nodes, varies);
    for (size_t i = 0; i < p->n_nodes; i++) {
        const struct bt_node_info *x = bt_sheet_node(s, nth(i));
        struct node_state *node = &p->node[i];
        if (!node->is_used)
            continue;
        if (x->op == BT_OP_SAME) { /* only a second name */
            node->column = p->node[x->arg[0].i].column;
            continue;
        }
        node->column = bt_arena_alloc(a, BT_BLOCK * sizeof *node->column);
        for (int j = 0; j < BT_BLOCK; j++)
            node->column[j] = x->likely;
        if (node->varies && x->op == BT_OP_LEAF)
            p->leaf[p->n_leaves++] = nth(i);
        else if (node->varies)
            add_step(a, p, x, node->column);
    }
    return p;
}

size_t bt_program_leaves(const struct bt_program *p)
{
    return p->n_leaves;
}

struct bt_node bt_program_leaf(const struct bt_program *p, size_t i, double **out_column)
{
    assert(i < p->n_leaves);
    *out_column = p->node[p->leaf[i].i].column;
    return p->leaf[i];
}

const double *bt_program_column(const struct bt_program *p, struct bt_node n)
{
    assert(n.i < p->n_nodes);
    return p->node[n.i].column;
}

bool bt_program_varies(const struct bt_program *p, struct bt_node n)
{
    return p->node[n.i].varies;
}

size_t bt_program_operations(const struct bt_program *p)
{
    return p->n_operations;
}

void bt_program_run(struct bt_program *p)
{
    apply(p->n_steps, p->step);
}
