/* Building of a worksheet. A node is looked for before it is made, so equal nodes are one;
 * its likely value and dimension are worked out on the way. Typical size: a few hundred
 * nodes a bed. */
#include "worksheet/sheet.h"

#include <assert.h>
#include <string.h>

#include "base/text.h"

enum { PAGE = 64 };

struct bt_sheet {
    struct bt_arena *arena;
    size_t n;
    size_t n_pages, pages_cap;
    struct bt_node_info **page; /* pages never move, so pointers to nodes stay good */
    size_t n_slots;             /* a power of two */
    uint32_t *slot;             /* node + 1; 0 is free */
    uint64_t *slot_hash;
};

struct bt_sheet *bt_sheet_new(struct bt_arena *a)
{
    struct bt_sheet *s = bt_arena_zero(a, sizeof *s);
    s->arena = a;
    return s;
}

struct bt_arena *bt_sheet_arena(struct bt_sheet *s)
{
    return s->arena;
}

size_t bt_sheet_size(const struct bt_sheet *s)
{
    return s->n;
}

static struct bt_node_info *at(const struct bt_sheet *s, size_t i)
{
    assert(i < s->n);
    return &s->page[i / PAGE][i % PAGE];
}

const struct bt_node_info *bt_sheet_node(const struct bt_sheet *s, struct bt_node n)
{
    return at(s, n.i);
}

double bt_likely(const struct bt_sheet *s, struct bt_node n)
{
    return at(s, n.i)->likely;
}

/* ---- finding equal nodes ---- */

static uint64_t mixed(uint64_t h, const void *bytes, size_t n)
{
    return (h ^ bt_bytes_hash(bytes, n)) * UINT64_C(0x9E3779B97F4A7C15);
}

static size_t n_weights(const struct bt_node_info *x)
{
    return x->op == BT_OP_CURVE ? 2 * x->n_knots : x->op == BT_OP_WEIGHTED ? x->n_args : 0;
}

static uint64_t hash_of(const struct bt_node_info *x)
{
    uint64_t h = mixed((uint64_t)x->op, &x->dim, sizeof x->dim);
    if (x->op == BT_OP_CONSTANT)
        h = mixed(h, &x->likely, sizeof x->likely);
    if (x->leaf)
        h = mixed(h, x->leaf->id, strlen(x->leaf->id));
    if (x->n_args)
        h = mixed(h, x->arg, x->n_args * sizeof *x->arg);
    if (n_weights(x))
        h = mixed(h, x->weight, n_weights(x) * sizeof *x->weight);
    if ((x->op == BT_OP_CONSTANT || x->op == BT_OP_SAME) &&
        x->label) /* told apart by name */
        h = mixed(h, x->label, strlen(x->label));
    return h;
}

static bool same_text(const char *a, const char *b)
{
    return a == b || (a && b && strcmp(a, b) == 0);
}

static bool equal(const struct bt_node_info *x, const struct bt_node_info *y)
{
    if (x->op != y->op || !bt_dim_same(x->dim, y->dim) || x->n_args != y->n_args ||
        x->n_knots != y->n_knots)
        return false;
    if (x->op == BT_OP_LEAF)
        return strcmp(x->leaf->id, y->leaf->id) == 0;
    if (x->op == BT_OP_CONSTANT)
        return memcmp(&x->likely, &y->likely, sizeof x->likely) == 0 &&
               same_text(x->label, y->label);
    if (x->op == BT_OP_SAME && !(same_text(x->label, y->label) && same_text(x->id, y->id)))
        return false;
    return memcmp(x->arg, y->arg, x->n_args * sizeof *x->arg) == 0 &&
           (n_weights(x) == 0 ||
            memcmp(x->weight, y->weight, n_weights(x) * sizeof *x->weight) == 0);
}

static void slot_put(struct bt_sheet *s, uint64_t h, uint32_t node)
{
    size_t k = h & (s->n_slots - 1);
    while (s->slot[k])
        k = (k + 1) & (s->n_slots - 1);
    s->slot[k] = node + 1;
    s->slot_hash[k] = h;
}

static void slots_grow(struct bt_sheet *s)
{
    const size_t old_n = s->n_slots;
    const uint32_t *old = s->slot;
    const uint64_t *old_hash = s->slot_hash;
    s->n_slots = old_n ? 2 * old_n : 512;
    s->slot = bt_arena_zero(s->arena, s->n_slots * sizeof *s->slot);
    s->slot_hash = bt_arena_zero(s->arena, s->n_slots * sizeof *s->slot_hash);
    for (size_t k = 0; k < old_n; k++)
        if (old[k])
            slot_put(s, old_hash[k], old[k] - 1);
}

/* The node equal to *x, made if there is none. `x` may point to the caller's arrays; they
 * are copied only for a new node. */
static struct bt_node put(struct bt_sheet *s, const struct bt_node_info *x)
{
    if (2 * (s->n + 1) > s->n_slots)
        slots_grow(s);
    const uint64_t h = hash_of(x);
    for (size_t k = h & (s->n_slots - 1); s->slot[k]; k = (k + 1) & (s->n_slots - 1))
        if (s->slot_hash[k] == h && equal(at(s, s->slot[k] - 1), x))
            return (struct bt_node){s->slot[k] - 1};
    if (s->n == s->n_pages * PAGE) {
        s->page =
            bt_arena_grow(s->arena, s->page, &s->pages_cap, s->n_pages, sizeof(void *));
        s->page[s->n_pages++] = bt_arena_zero(s->arena, PAGE * sizeof **s->page);
    }
    const uint32_t node = (uint32_t)s->n++;
    struct bt_node_info *made = at(s, node);
    *made = *x;
    if (x->n_args) {
        struct bt_node *args = bt_arena_alloc(s->arena, x->n_args * sizeof *args);
        memcpy(args, x->arg, x->n_args * sizeof *args);
        made->arg = args;
    }
    if (n_weights(x)) {
        double *weights = bt_arena_alloc(s->arena, n_weights(x) * sizeof *weights);
        memcpy(weights, x->weight, n_weights(x) * sizeof *weights);
        made->weight = weights;
    }
    slot_put(s, h, node);
    return (struct bt_node){node};
}

/* ---- leaves and constants ---- */

struct bt_node bt_leaf(struct bt_sheet *s, const struct bt_leaf *leaf)
{
    struct bt_leaf *copy = bt_arena_alloc(s->arena, sizeof *copy);
    *copy = *leaf;
    return put(s, &(struct bt_node_info){.op = BT_OP_LEAF,
                                         .dim = leaf->dim,
                                         .likely = leaf->range.likely,
                                         .leaf = copy,
                                         .id = leaf->id,
                                         .label = leaf->label});
}

struct bt_node bt_constant(struct bt_sheet *s, double value, struct bt_dim dim)
{
    return put(s,
               &(struct bt_node_info){.op = BT_OP_CONSTANT, .dim = dim, .likely = value});
}

struct bt_node bt_constant_named(struct bt_sheet *s, double value, struct bt_dim dim,
                                 const char *label, const char *remark,
                                 const struct bt_row *row)
{
    return put(s, &(struct bt_node_info){.op = BT_OP_CONSTANT,
                                         .dim = dim,
                                         .likely = value,
                                         .id = label,
                                         .label = label,
                                         .remark = remark,
                                         .row = row});
}

struct bt_node bt_share(struct bt_sheet *s, double value)
{
    return bt_constant(s, value, BT_FRACTION);
}

/* ---- arithmetic ---- */

static struct bt_node two(struct bt_sheet *s, enum bt_op op, struct bt_node a,
                          struct bt_node b, double likely)
{
    const struct bt_dim da = at(s, a.i)->dim;
    const struct bt_dim db = at(s, b.i)->dim;
    struct bt_dim dim = da;
    if (op == BT_OP_MUL)
        dim = bt_dim_mul(da, db);
    else if (op == BT_OP_DIV)
        dim = bt_dim_div(da, db);
    else
        assert(bt_dim_same(da, db));
    const struct bt_node arg[2] = {a, b};
    return put(s, &(struct bt_node_info){
                      .op = op, .dim = dim, .likely = likely, .n_args = 2, .arg = arg});
}

struct bt_node bt_add(struct bt_sheet *s, struct bt_node a, struct bt_node b)
{
    return two(s, BT_OP_ADD, a, b, bt_likely(s, a) + bt_likely(s, b));
}

struct bt_node bt_sub(struct bt_sheet *s, struct bt_node a, struct bt_node b)
{
    return two(s, BT_OP_SUB, a, b, bt_likely(s, a) - bt_likely(s, b));
}

struct bt_node bt_mul(struct bt_sheet *s, struct bt_node a, struct bt_node b)
{
    return two(s, BT_OP_MUL, a, b, bt_likely(s, a) * bt_likely(s, b));
}

struct bt_node bt_div(struct bt_sheet *s, struct bt_node a, struct bt_node b)
{
    const double x = bt_likely(s, a);
    return two(s, BT_OP_DIV, a, b, x == 0 ? 0 : x / bt_likely(s, b));
}

struct bt_node bt_min(struct bt_sheet *s, struct bt_node a, struct bt_node b)
{
    const double x = bt_likely(s, a), y = bt_likely(s, b);
    return two(s, BT_OP_MIN, a, b, x < y ? x : y);
}

struct bt_node bt_max(struct bt_sheet *s, struct bt_node a, struct bt_node b)
{
    const double x = bt_likely(s, a), y = bt_likely(s, b);
    return two(s, BT_OP_MAX, a, b, x > y ? x : y);
}

struct bt_node bt_rest(struct bt_sheet *s, struct bt_node a)
{
    return bt_sub(s, bt_share(s, 1), a);
}

struct bt_node bt_sum(struct bt_sheet *s, size_t n, const struct bt_node *arg,
                      struct bt_dim dim)
{
    double likely = 0;
    for (size_t k = 0; k < n; k++) {
        assert(bt_dim_same(at(s, arg[k].i)->dim, dim));
        likely += bt_likely(s, arg[k]);
    }
    if (n == 0)
        return bt_constant(s, 0, dim);
    if (n == 1)
        return arg[0];
    return put(s,
               &(struct bt_node_info){
                   .op = BT_OP_SUM, .dim = dim, .likely = likely, .n_args = n, .arg = arg});
}

struct bt_node bt_weighted(struct bt_sheet *s, size_t n, const struct bt_node *arg,
                           const double *weight, struct bt_dim dim)
{
    double likely = 0;
    for (size_t k = 0; k < n; k++) {
        assert(bt_dim_same(at(s, arg[k].i)->dim, dim));
        likely += weight[k] * bt_likely(s, arg[k]);
    }
    if (n == 0)
        return bt_constant(s, 0, dim);
    return put(s, &(struct bt_node_info){.op = BT_OP_WEIGHTED,
                                         .dim = dim,
                                         .likely = likely,
                                         .n_args = n,
                                         .arg = arg,
                                         .weight = weight});
}

static double on_curve(double x, size_t n, const double *xs, const double *ys)
{
    if (x <= xs[0])
        return ys[0];
    for (size_t k = 1; k < n; k++)
        if (x <= xs[k])
            return ys[k - 1] +
                   (x - xs[k - 1]) * ((ys[k] - ys[k - 1]) / (xs[k] - xs[k - 1]));
    return ys[n - 1];
}

struct bt_node bt_curve(struct bt_sheet *s, struct bt_node x, struct bt_knots knots,
                        struct bt_dim dim, const struct bt_row *row)
{
    const size_t n = knots.n;
    assert(n >= 1);
    double *kept = bt_arena_alloc(s->arena, 2 * n * sizeof *kept);
    for (size_t k = 0; k < n; k++) {
        assert(k == 0 || knots.x[k] > knots.x[k - 1]);
        kept[k] = knots.x[k];
        kept[n + k] = knots.y[k];
    }
    return put(
        s, &(struct bt_node_info){.op = BT_OP_CURVE,
                                  .dim = dim,
                                  .likely = on_curve(bt_likely(s, x), n, knots.x, knots.y),
                                  .n_args = 1,
                                  .arg = &x,
                                  .weight = kept,
                                  .n_knots = n,
                                  .row = row});
}

/* ---- names ---- */

struct bt_node bt_named(struct bt_sheet *s, const char *id, const char *label,
                        struct bt_node n)
{
    struct bt_node_info *x = at(s, n.i);
    const bool has_it = x->label && strcmp(x->label, label) == 0;
    if (has_it && (!id || same_text(x->id, id)))
        return n;
    if (has_it && x->op != BT_OP_LEAF && same_text(x->id, x->label)) {
        x->id = id; /* the same name, now with an id of its own */
        return n;
    }
    if (x->label || x->op == BT_OP_CONSTANT) {
        const struct bt_node again = put(s, &(struct bt_node_info){.op = BT_OP_SAME,
                                                                   .dim = x->dim,
                                                                   .likely = x->likely,
                                                                   .n_args = 1,
                                                                   .arg = &n,
                                                                   .id = id ? id : label,
                                                                   .label = label});
        x = at(s, again.i);
        n = again;
    }
    x->id = id ? id : label;
    x->label = label;
    return n;
}

void bt_remark(struct bt_sheet *s, struct bt_node n, const char *sentence)
{
    at(s, n.i)->remark = sentence;
}

void bt_shown_in(struct bt_sheet *s, struct bt_node n, const char *unit, double unit_factor)
{
    struct bt_node_info *x = at(s, n.i);
    x->unit = unit;
    x->unit_factor = unit_factor;
}

bool bt_sheet_find(const struct bt_sheet *s, const char *name, struct bt_node *out)
{
    size_t n_found = 0;
    for (size_t i = 0; i < s->n; i++) {
        const struct bt_node_info *x = at(s, i);
        if (!x->label)
            continue;
        if (bt_text_is(x->label, name) || bt_text_is(x->id, name)) {
            *out = (struct bt_node){(uint32_t)i};
            return true;
        }
        if (bt_text_starts(x->label, name) || bt_text_starts(x->id, name)) {
            *out = (struct bt_node){(uint32_t)i};
            n_found++;
        }
    }
    return n_found == 1;
}
