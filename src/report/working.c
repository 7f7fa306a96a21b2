#include "report/working.h"

#include <math.h>
#include <string.h>

#include "report/page.h"

enum { MOST_FIGURES = 9, TERMS_INLINE = 4 };

/* ---- where printing stops ---- */

struct bt_node bt_seen_through(const struct bt_sheet *s, struct bt_node n)
{
    const struct bt_node_info *x = bt_sheet_node(s, n);
    while (x->op == BT_OP_SAME && !x->label) {
        n = x->arg[0];
        x = bt_sheet_node(s, n);
    }
    return n;
}

bool bt_is_quantity(const struct bt_node_info *x)
{
    return x->label != NULL || x->op == BT_OP_LEAF;
}

struct bt_node bt_behind(const struct bt_sheet *s, struct bt_node n)
{
    const struct bt_node_info *x = bt_sheet_node(s, n);
    while (x->op == BT_OP_SAME) {
        n = x->arg[0];
        x = bt_sheet_node(s, n);
    }
    return n;
}

bool bt_has_page(const struct bt_sheet *s, struct bt_node n)
{
    const struct bt_node_info *x = bt_sheet_node(s, n);
    if (!x->label || x->op == BT_OP_LEAF || x->op == BT_OP_CONSTANT)
        return false;
    const struct bt_node_info *behind = bt_sheet_node(s, bt_behind(s, n));
    return behind->op != BT_OP_CONSTANT || x->op != BT_OP_SAME;
}

struct bt_as bt_shown_as(const struct bt_sheet *s, struct bt_node n)
{
    static const struct {
        struct bt_dim dim;
        struct bt_as as;
    } usual[] = {
        {{0, 0, 0, 0},  {1, ""}        },
        {{1, 0, 0, 0},  {1, "g"}       },
        {{1, -2, 0, 0}, {1, "g/m2"}    },
        {{1, -3, 0, 0}, {1e-3, "kg/m3"}},
        {{0, 1, 0, 0},  {1, "m"}       },
        {{0, 2, 0, 0},  {1, "m2"}      },
        {{0, 3, 0, 0},  {1, "m3"}      },
        {{0, -2, 0, 0}, {1, "per m2"}  },
        {{0, -1, 0, 0}, {1, "per m"}   },
        {{0, 0, 1, 0},  {1, "d"}       },
        {{0, 0, -1, 0}, {1, "per d"}   },
        {{0, 0, 0, 1},  {1, "degC"}    },
    };
    const struct bt_node_info *x = bt_sheet_node(s, n);
    if (x->unit)
        return (struct bt_as){1 / x->unit_factor, x->unit};
    if (x->leaf && x->leaf->unit && *x->leaf->unit && x->leaf->unit_factor > 0)
        return (struct bt_as){1 / x->leaf->unit_factor, x->leaf->unit};
    if (x->op == BT_OP_CONSTANT && x->row && x->row->unit.text && *x->row->unit.text &&
        x->row->unit.factor > 0 && bt_dim_same(x->row->unit.dim, x->dim))
        return (struct bt_as){1 / x->row->unit.factor, x->row->unit.text};
    for (size_t k = 0; k < sizeof usual / sizeof usual[0]; k++)
        if (bt_dim_same(usual[k].dim, x->dim))
            return usual[k].as;
    return (struct bt_as){1, "(g, m, d)"};
}

/* ---- sums ---- */

struct terms {
    struct bt_arena *arena;
    const struct bt_sheet *sheet;
    size_t n, capacity;
    struct bt_term *term;
};

static void add_terms(struct terms *t, struct bt_node n, double factor, bool at_root)
{
    n = bt_seen_through(t->sheet, n);
    const struct bt_node_info *x = bt_sheet_node(t->sheet, n);
    const bool open = at_root || !bt_is_quantity(x);
    if (open && (x->op == BT_OP_ADD || x->op == BT_OP_SUM || x->op == BT_OP_SUB)) {
        for (size_t k = 0; k < x->n_args; k++)
            add_terms(t, x->arg[k], x->op == BT_OP_SUB && k == 1 ? -factor : factor, false);
        return;
    }
    if (open && x->op == BT_OP_WEIGHTED) {
        for (size_t k = 0; k < x->n_args; k++)
            add_terms(t, x->arg[k], factor * x->weight[k], false);
        return;
    }
    t->term = bt_arena_grow(t->arena, t->term, &t->capacity, t->n, sizeof *t->term);
    t->term[t->n++] = (struct bt_term){n, factor};
}

bool bt_terms(struct bt_arena *a, const struct bt_sheet *s, struct bt_node n, size_t *out_n,
              struct bt_term **out_term)
{
    const struct bt_node_info *x = bt_sheet_node(s, n);
    if (x->op != BT_OP_ADD && x->op != BT_OP_SUB && x->op != BT_OP_SUM &&
        x->op != BT_OP_WEIGHTED)
        return false;
    struct terms t = {.arena = a, .sheet = s};
    add_terms(&t, n, 1, true);
    *out_n = t.n;
    *out_term = t.term;
    return t.n > 2 || x->op == BT_OP_WEIGHTED || x->op == BT_OP_SUM;
}

/* ---- one expression ---- */

/* How tightly an operation binds; brackets go round what binds less. */
enum binding { BINDS_WORDS, BINDS_SUM, BINDS_PRODUCT, BINDS_ALL };

struct writing {
    struct bt_arena *arena;
    const struct bt_sheet *sheet;
    const char *times;
    bool figures; /* else names */
    bool inside;  /* figures in inside units */
    bool units;   /* figures as shown, with their units */
    int places;   /* significant figures */
    size_t n, capacity;
    struct bt_node *operand;
};

static bool is_percent(const struct bt_as *as)
{
    return strcmp(as->unit, "%") == 0;
}

/* The figure that stands for a quantity, and the value it stands for in the arithmetic. */
static double figure_value(const struct writing *t, struct bt_node n)
{
    const struct bt_as as = bt_shown_as(t->sheet, n);
    const double inside = bt_likely(t->sheet, n);
    if (t->inside)
        return bt_rounded(inside, t->places);
    const double shown = bt_rounded(inside * as.per_inside, t->places);
    return is_percent(&as) ? shown / as.per_inside : shown;
}

static char *figure_text(const struct writing *t, struct bt_node n)
{
    const struct bt_as as = bt_shown_as(t->sheet, n);
    const double inside = bt_likely(t->sheet, n);
    if (t->inside)
        return bt_figures_short(t->arena, inside, t->places);
    const char *number = bt_figures_short(t->arena, inside * as.per_inside, t->places);
    if (t->units && *as.unit)
        return bt_arena_format(t->arena, "%s %s", number, as.unit);
    return bt_arena_format(t->arena, "%s%s", number, is_percent(&as) ? " %" : "");
}

static void note_operand(struct writing *t, struct bt_node n)
{
    for (size_t k = 0; k < t->n; k++)
        if (t->operand[k].i == n.i)
            return;
    t->operand =
        bt_arena_grow(t->arena, t->operand, &t->capacity, t->n, sizeof *t->operand);
    t->operand[t->n++] = n;
}

/* Anonymous sums of many terms and curves inside an expression are not spelled out. */
static bool is_closed(const struct bt_node_info *x)
{
    return bt_is_quantity(x) || x->op == BT_OP_CURVE || x->op == BT_OP_WEIGHTED ||
           (x->op == BT_OP_SUM && x->n_args > TERMS_INLINE);
}

static const char *closed_name(struct bt_arena *a, const struct bt_node_info *x)
{
    if (x->label)
        return bt_text_shown(a, x->label);
    if (x->id)
        return bt_text_shown(a, x->id);
    if (x->op == BT_OP_CURVE)
        return "value read off a line";
    return bt_arena_format(a, "sum of %zu terms", x->n_args);
}

static double value_of(const struct writing *t, struct bt_node n, bool root);

static double fold(const struct writing *t, const struct bt_node_info *x)
{
    double value = value_of(t, x->arg[0], false);
    for (size_t k = 1; k < x->n_args; k++) {
        const double next = value_of(t, x->arg[k], false);
        switch (x->op) {
        case BT_OP_ADD:
        case BT_OP_SUM: value += next; break;
        case BT_OP_SUB: value -= next; break;
        case BT_OP_MUL: value *= next; break;
        case BT_OP_DIV: value /= next; break;
        case BT_OP_MIN: value = next < value ? next : value; break;
        case BT_OP_MAX: value = next > value ? next : value; break;
        default: break;
        }
    }
    return value;
}

/* What the printed figures come to. */
static double value_of(const struct writing *t, struct bt_node n, bool root)
{
    n = bt_seen_through(t->sheet, n);
    const struct bt_node_info *x = bt_sheet_node(t->sheet, n);
    if (x->op == BT_OP_CONSTANT && !x->label)
        return x->likely;
    if (x->n_args == 0 || x->op == BT_OP_CURVE || x->op == BT_OP_WEIGHTED ||
        (!root && is_closed(x)))
        return figure_value(t, n);
    return fold(t, x);
}

static char *write_node(struct writing *t, struct bt_node n, enum binding outer, bool root);

static enum binding binding_of(enum bt_op op)
{
    switch (op) {
    case BT_OP_ADD:
    case BT_OP_SUB:
    case BT_OP_SUM: return BINDS_SUM;
    case BT_OP_MUL:
    case BT_OP_DIV: return BINDS_PRODUCT;
    default: return BINDS_WORDS;
    }
}

static char *join(struct writing *t, const struct bt_node_info *x)
{
    const enum binding own = binding_of(x->op);
    const bool is_words = own == BINDS_WORDS;
    /* what stands right of a minus or a stroke needs brackets at equal binding */
    const enum binding right =
        x->op == BT_OP_SUB || x->op == BT_OP_DIV ? (enum binding)(own + 1) : own;
    const char *sign = x->op == BT_OP_SUB   ? "-"
                       : x->op == BT_OP_MUL ? t->times
                       : x->op == BT_OP_DIV ? "/"
                       : is_words           ? "and"
                                            : "+";
    const enum binding first = is_words ? BINDS_SUM : own;
    char *text = write_node(t, x->arg[0], first, false);
    for (size_t k = 1; k < x->n_args; k++)
        text =
            bt_arena_format(t->arena, "%s %s %s", text, sign,
                            write_node(t, x->arg[k], is_words ? BINDS_SUM : right, false));
    if (is_words)
        text = bt_arena_format(t->arena, "the %s of %s",
                               x->op == BT_OP_MIN ? "lesser" : "greater", text);
    return text;
}

static bool is_zero(const struct writing *t, struct bt_node n)
{
    const struct bt_node_info *x = bt_sheet_node(t->sheet, bt_seen_through(t->sheet, n));
    return x->op == BT_OP_CONSTANT && !x->label && x->likely == 0;
}

/* The argument that is left when a nought is added or taken off, else NULL. */
static const struct bt_node *without_nought(const struct writing *t,
                                            const struct bt_node_info *x)
{
    if (x->op != BT_OP_ADD && x->op != BT_OP_SUB)
        return NULL;
    if (is_zero(t, x->arg[1]))
        return &x->arg[0];
    return x->op == BT_OP_ADD && is_zero(t, x->arg[0]) ? &x->arg[1] : NULL;
}

static char *write_node(struct writing *t, struct bt_node n, enum binding outer, bool root)
{
    n = bt_seen_through(t->sheet, n);
    const struct bt_node_info *x = bt_sheet_node(t->sheet, n);
    const struct bt_node *left = root || !is_closed(x) ? without_nought(t, x) : NULL;
    if (left)
        return write_node(t, *left, outer, false);
    if (x->op == BT_OP_CONSTANT && !x->label)
        return bt_figures_short(t->arena, x->likely, MOST_FIGURES);
    if (x->n_args == 0 || (!root && is_closed(x))) {
        note_operand(t, n);
        return t->figures ? figure_text(t, n)
                          : bt_arena_format(t->arena, "%s", closed_name(t->arena, x));
    }
    char *text = join(t, x);
    const enum binding own = binding_of(x->op);
    return own < outer ? bt_arena_format(t->arena, "(%s)", text) : text;
}

/* As few figures as give the result as it is printed; all of them if none do. */
static int places_for(struct writing *t, struct bt_node n, double shown_result)
{
    const char *want = bt_figures(t->arena, shown_result, BT_FIGURES);
    for (t->places = BT_FIGURES; t->places < MOST_FIGURES; t->places++)
        if (strcmp(bt_figures(t->arena, value_of(t, n, true), BT_FIGURES), want) == 0)
            break;
    return t->places;
}

struct bt_equation bt_equation(const struct bt_show *w, const struct bt_sheet *s,
                               struct bt_node n)
{
    struct writing t = {.arena = w->arena,
                        .sheet = s,
                        .times = w->unicode ? "\u00D7" : "x",
                        .places = MOST_FIGURES};
    struct bt_equation e = {0};
    e.names = write_node(&t, n, BINDS_WORDS, true);
    e.n_operands = t.n;
    e.operand = t.operand;
    const double inside = bt_likely(s, n);
    const double shown = inside * bt_shown_as(s, n).per_inside;
    const double error = fabs(value_of(&t, n, true) - shown);
    e.inside = !(error <= 1e-6 * fabs(shown) + 1e-12);
    t.inside = e.inside;
    t.places = places_for(&t, n, e.inside ? inside : shown);
    t.figures = true;
    e.figures = write_node(&t, n, BINDS_WORDS, true);
    t.inside = false;
    t.units = true;
    e.with_units = write_node(&t, n, BINDS_WORDS, true);
    return e;
}

/* ---- what a page names ---- */

bool bt_is_spelled_out_below(const struct bt_node_info *x)
{
    return is_closed(x) && !bt_is_quantity(x);
}

/* Writes the node only for the quantities in it. */
static void name_parts(struct writing *t, struct bt_node n, bool root)
{
    const struct bt_node_info *x = bt_sheet_node(t->sheet, n);
    size_t n_terms;
    struct bt_term *term;
    if (x->op == BT_OP_CURVE)
        (void)write_node(t, x->arg[0], BINDS_SUM, false);
    else if (bt_terms(t->arena, t->sheet, n, &n_terms, &term))
        for (size_t k = 0; k < n_terms; k++)
            (void)write_node(t, term[k].node, BINDS_SUM, false);
    else
        (void)write_node(t, n, BINDS_WORDS, root);
}

size_t bt_operands(struct bt_arena *a, const struct bt_sheet *s, struct bt_node n,
                   struct bt_node **out)
{
    struct writing t = {.arena = a, .sheet = s, .times = "x", .places = MOST_FIGURES};
    name_parts(&t, bt_behind(s, n), true);
    for (size_t k = 0; k < t.n; k++) /* grows on the way */
        if (bt_is_spelled_out_below(bt_sheet_node(s, t.operand[k])))
            name_parts(&t, t.operand[k], false);
    *out = t.operand;
    return t.n;
}
