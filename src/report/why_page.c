#include "report/why_page.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "report/page.h"

enum { COLUMNS = 4, KNOTS = 6, SUMMANDS = 9 };

struct page {
    const struct bt_show *w;
    const struct bt_why *why;
    const struct bt_sheet *sheet;
    struct bt_node node;
    bool points_on; /* some quantity here has a page of its own */
    size_t n;
    char *line[BT_WHY_LINES];
};

static size_t room(const struct page *p)
{
    return BT_WHY_LINES - p->n;
}

/* Lines that do not fit are left out, so the essential ones are put first. */
static void put_line(struct page *p, char *line)
{
    if (p->n < BT_WHY_LINES)
        p->line[p->n++] = line;
}

static void put_text(struct page *p, const char *first, const char *text)
{
    char **line;
    const size_t n = bt_wrapped(p->w->arena, first, text, &line);
    for (size_t k = 0; k < n; k++)
        put_line(p, line[k]);
}

/* ---- ranges and origins ---- */

/* 9 times in 10 between these, inside units; false when there is nothing between. */
static bool ends_of(const struct page *p, struct bt_node n, double *low, double *high)
{
    const struct bt_leaf *leaf = bt_sheet_node(p->sheet, n)->leaf;
    if (leaf) {
        struct bt_law law;
        enum bt_fit_note note;
        if (bt_range_is_exact(&leaf->range))
            return false;
        *low = leaf->range.low;
        *high = leaf->range.high;
        if (bt_law_fit(&leaf->range, leaf->limit_low, leaf->limit_high, &law, &note)) {
            *low = bt_law_quantile(&law, 0.05);
            *high = bt_law_quantile(&law, 0.95);
        }
        return true;
    }
    for (size_t k = 0; k < p->why->n; k++)
        if (p->why->node[k].i == n.i) {
            *low = p->why->spread[k].p05;
            *high = p->why->spread[k].p95;
            return isfinite(*low) && isfinite(*high) && *low < *high;
        }
    return false;
}

static char *range_text(const struct page *p, struct bt_node n, double factor)
{
    double low, high;
    if (!ends_of(p, n, &low, &high))
        return bt_arena_text(p->w->arena, "");
    const double a = low * factor, b = high * factor;
    return bt_ends_text(p->w->arena, a < b ? a : b, a < b ? b : a, BT_FIGURES);
}

/* A row of the garden's own tables that names a source of ours. */
static const char *local_mark(const struct bt_row *row)
{
    return row && row->local && strcmp(row->source, "local") != 0 ? ", local" : "";
}

static const char *leaf_origin(const struct bt_show *w, const struct bt_leaf *leaf)
{
    struct bt_arena *a = w->arena;
    const struct bt_row *row =
        w->handbook ? bt_handbook_row_of(w->handbook, leaf->id) : NULL;
    const bool is_stated = leaf->source && strcmp(leaf->source, "stated") == 0;
    if (is_stated && !leaf->at.file) /* typed on the command line */
        return "as given";
    if (is_stated)
        return bt_arena_format(a, "stated (%s:%u)", leaf->at.file ? leaf->at.file : "?",
                               leaf->at.line);
    return bt_arena_format(a, "%s, %s%s%s", leaf->source ? leaf->source : "no source",
                           bt_seen_word(leaf->seen), local_mark(row),
                           leaf->assumed ? ", assumed" : "");
}

static const char *origin(struct page *p, struct bt_node n)
{
    struct bt_arena *a = p->w->arena;
    const struct bt_node_info *x = bt_sheet_node(p->sheet, n);
    if (x->leaf)
        return leaf_origin(p->w, x->leaf);
    if (bt_has_page(p->sheet, n)) {
        p->points_on = true;
        return ">";
    }
    const struct bt_node_info *behind = bt_sheet_node(p->sheet, bt_behind(p->sheet, n));
    const struct bt_row *row = x->row ? x->row : behind->row;
    if (x->remark || behind->remark)
        return bt_text_shown(a, x->remark ? x->remark : behind->remark);
    if (row)
        return bt_arena_format(a, "%s, %s%s", row->source, bt_seen_word(row->seen),
                               local_mark(row));
    return "";
}

static const char *value_text(const struct page *p, struct bt_node n)
{
    struct bt_arena *a = p->w->arena;
    const struct bt_as as = bt_shown_as(p->sheet, n);
    return bt_arena_format(
        a, "%s%s%s",
        bt_figures_short(a, bt_likely(p->sheet, n) * as.per_inside, BT_FIGURES),
        *as.unit ? " " : "", as.unit);
}

static const char *name_of(const struct page *p, struct bt_node n)
{
    const struct bt_node_info *x = bt_sheet_node(p->sheet, n);
    if (x->label || x->id)
        return bt_text_shown(p->w->arena, x->label ? x->label : x->id);
    const struct bt_budget *b = p->why->budget;
    for (size_t k = 0; k < b->n_accounts; k++) {
        for (size_t i = 0; i < b->account[k].n_lines; i++)
            if (b->account[k].line[i].node.i == n.i)
                return bt_text_shown(p->w->arena, b->account[k].line[i].label);
    }
    if (x->op == BT_OP_CURVE)
        return "value read off a line";
    return bt_arena_format(p->w->arena, "sum of %zu terms", x->n_args);
}

/* ---- parts of a page ---- */

static void put_heading(struct page *p)
{
    struct bt_arena *a = p->w->arena;
    const struct bt_node_info *x = bt_sheet_node(p->sheet, p->node);
    const struct bt_as as = bt_shown_as(p->sheet, p->node);
    double low, high;
    const char *range = "";
    if (ends_of(p, p->node, &low, &high))
        range = bt_arena_format(a, " (9 times in 10 between %s and %s)",
                                bt_figures_short(a, low * as.per_inside, BT_FIGURES),
                                bt_figures_short(a, high * as.per_inside, BT_FIGURES));
    const char *bed = "";
    if (p->why->budget->bed && bt_dim_same(x->dim, BT_MASS_PER_AREA))
        bed = bt_arena_format(
            a, ", or %s", bt_on_bed_text(p->w, p->why->budget->bed, x->likely, BT_FIGURES));
    put_text(p, "",
             bt_arena_format(a, "%s: %s%s%s", name_of(p, p->node), value_text(p, p->node),
                             range, bed));
}

static void put_below(struct page *p, struct bt_node n);

static void put_operands(struct page *p, size_t n, const struct bt_node *operand,
                         bool inside)
{
    struct bt_arena *a = p->w->arena;
    struct bt_grid grid = bt_grid_new(a, COLUMNS, 0);
    const size_t fit = room(p) > 1 ? room(p) - 1 : 0;
    const size_t shown = n <= fit ? n : fit > 0 ? fit - 1 : 0;
    for (size_t k = 0; k < shown; k++) {
        const struct bt_as as = bt_shown_as(p->sheet, operand[k]);
        const char *value = value_text(p, operand[k]);
        if (inside && (as.per_inside < 1 || as.per_inside > 1))
            value = bt_arena_format(
                a, "%s = %s", value,
                bt_figures_short(a, bt_likely(p->sheet, operand[k]), BT_FIGURES));
        const char *const row[COLUMNS] = {name_of(p, operand[k]), value,
                                          range_text(p, operand[k], as.per_inside),
                                          origin(p, operand[k])};
        bt_grid_row(&grid, row);
    }
    for (size_t k = 0; k < shown; k++)
        put_line(p, bt_grid_line(&grid, k, 6));
    if (shown < n)
        put_line(p, bt_arena_format(a, "      and %zu more", n - shown));
}

static void put_equation(struct page *p, struct bt_node behind)
{
    struct bt_arena *a = p->w->arena;
    const struct bt_equation e = bt_equation(p->w, p->sheet, behind);
    put_text(p, "  = ", e.names);
    const bool is_one_name = e.n_operands == 1 && e.operand[0].i == behind.i;
    const bool with_units = e.inside && p->why->with_units;
    if (!is_one_name)
        put_text(p, "  = ",
                 with_units ? e.with_units
                 : e.inside
                     ? bt_arena_format(a, "%s   in grams, metres and days", e.figures)
                     : e.figures);
    put_operands(p, e.n_operands, e.operand, e.inside && !with_units);
    for (size_t k = 0; k < e.n_operands; k++)
        put_below(p, e.operand[k]);
}

/* The first point of a curve has the units of all. */
static const char *unit_after(struct bt_arena *a, const char *unit)
{
    return *unit ? bt_arena_format(a, " %s", unit) : "";
}

static void put_curve(struct page *p, struct bt_node behind)
{
    struct bt_arena *a = p->w->arena;
    const struct bt_node_info *x = bt_sheet_node(p->sheet, behind);
    const struct bt_as y = bt_shown_as(p->sheet, behind);
    const struct bt_equation at = bt_equation(p->w, p->sheet, x->arg[0]);
    const struct bt_as as = bt_shown_as(p->sheet, x->arg[0]);
    const struct bt_node arg = bt_seen_through(p->sheet, x->arg[0]);
    const bool is_named = bt_is_quantity(bt_sheet_node(p->sheet, arg));
    put_text(p, "  = ",
             bt_arena_format(a, "read off straight lines between points, at %s",
                             is_named ? name_of(p, arg) : at.names));
    char *points = bt_arena_text(a, "");
    for (size_t k = 0; k < x->n_knots && k < KNOTS; k++)
        points = bt_arena_format(
            a, "%s%s%s%s gives %s%s", points, k ? ", " : "",
            bt_figures_short(a, x->weight[k] * as.per_inside, BT_FIGURES),
            k ? "" : unit_after(a, as.unit),
            bt_figures_short(a, x->weight[x->n_knots + k] * y.per_inside, BT_FIGURES),
            k ? "" : unit_after(a, y.unit));
    const char *source =
        x->row ? bt_arena_format(a, " (%s, %s)", x->row->source, bt_seen_word(x->row->seen))
               : "";
    put_text(
        p, "    ",
        bt_arena_format(a, "%s%s%s", points, x->n_knots > KNOTS ? ", ..." : "", source));
    if (is_named)
        put_operands(p, 1, &arg, false);
    else
        put_operands(p, at.n_operands, at.operand, false);
}

/* ---- sums ---- */

struct summand {
    size_t ordinal;
    struct bt_term term;
    double value; /* unit-free: in the page's unit */
};

static int larger(const void *left, const void *right)
{
    const struct summand *a = left;
    const struct summand *b = right;
    if (fabs(a->value) > fabs(b->value) || fabs(a->value) < fabs(b->value))
        return fabs(a->value) > fabs(b->value) ? -1 : 1;
    return a->ordinal < b->ordinal ? -1 : a->ordinal > b->ordinal;
}

static char *summand_name(const struct page *p, const struct bt_term *t)
{
    struct bt_arena *a = p->w->arena;
    const bool named = bt_is_quantity(bt_sheet_node(p->sheet, t->node));
    const char *name =
        named ? name_of(p, t->node) : bt_equation(p->w, p->sheet, t->node).names;
    const double size = fabs(t->factor);
    const char *less = t->factor < 0 ? "less " : "";
    if (size < 1 || size > 1)
        return bt_arena_format(a, "%s%s %s %s", less, bt_figures_short(a, size, BT_FIGURES),
                               p->w->unicode ? "\u00D7" : "x", name);
    return bt_arena_format(a, "%s%s", less, name);
}

/* The terms of `node` as a column under `heading`. */
static void put_sum(struct page *p, struct bt_node node, size_t n,
                    const struct bt_term *term, const char *heading)
{
    struct bt_arena *a = p->w->arena;
    const struct bt_as as = bt_shown_as(p->sheet, node);
    if (room(p) < 3)
        return;
    struct summand *s = bt_arena_alloc(a, (n + 1) * sizeof *s);
    for (size_t k = 0; k < n; k++)
        s[k] = (struct summand){
            k, term[k], term[k].factor * bt_likely(p->sheet, term[k].node) * as.per_inside};
    const size_t fit = room(p) - 2 < SUMMANDS ? room(p) - 2 : SUMMANDS;
    const size_t shown = n <= fit + 1 ? n : fit;
    if (shown < n)
        qsort(s, n, sizeof *s, larger);
    put_line(p, bt_arena_format(a, "%s%s", heading, shown < n ? ", largest first" : ""));
    struct bt_grid grid = bt_grid_new(a, COLUMNS, 1u << 1);
    for (size_t k = 0; k < shown; k++) {
        const bool named = bt_is_quantity(bt_sheet_node(p->sheet, s[k].term.node));
        const char *const row[COLUMNS] = {
            summand_name(p, &s[k].term), bt_figures(a, s[k].value, BT_FIGURES),
            range_text(p, s[k].term.node, s[k].term.factor * as.per_inside),
            named ? origin(p, s[k].term.node) : ""};
        bt_grid_row(&grid, row);
    }
    for (size_t k = 0; k < shown; k++)
        put_line(p, bt_grid_line(&grid, k, 6));
    double rest = 0;
    for (size_t k = shown; k < n; k++)
        rest += s[k].value;
    if (shown < n)
        put_line(p, bt_arena_format(a, "      and %zu more, together %s", n - shown,
                                    bt_figures_short(a, rest, BT_FIGURES)));
}

/* What an operand without a name is made of. */
static void put_below(struct page *p, struct bt_node n)
{
    const struct bt_node_info *x = bt_sheet_node(p->sheet, n);
    size_t n_terms;
    struct bt_term *term;
    if (!bt_is_spelled_out_below(x))
        return;
    if (x->op == BT_OP_CURVE)
        put_curve(p, n);
    else if (bt_terms(p->w->arena, p->sheet, n, &n_terms, &term))
        put_sum(p, n, n_terms, term, bt_arena_format(p->w->arena, "    %s", name_of(p, n)));
}

/* ---- the end of a page ---- */

/* What stands behind a source's id, while there is room for all of it; judgement has no
 * more to say. */
static void put_source(struct page *p, const char *id, enum bt_seen seen)
{
    const struct bt_source *source =
        id && p->w->handbook ? bt_handbook_source(p->w->handbook, id) : NULL;
    if (!source || seen == BT_JUDGEMENT || seen == BT_PRACTICE)
        return;
    char **line;
    const size_t n =
        bt_wrapped(p->w->arena, "    ",
                   bt_arena_format(p->w->arena, "%s: %s%s%s%s%s", source->id,
                                   source->authors, *source->authors ? ", " : "",
                                   source->title, *source->year ? ", " : "", source->year),
                   &line);
    for (size_t k = 0; k < p->n; k++)
        if (strcmp(p->line[k], line[0]) == 0)
            return; /* already there */
    for (size_t k = 0; k < n && n <= room(p) + k; k++)
        put_line(p, line[k]);
}

static void put_sources(struct page *p)
{
    struct bt_node *operand;
    const size_t n = bt_operands(p->w->arena, p->sheet, p->node, &operand);
    for (size_t k = 0; k < n; k++) {
        const struct bt_node_info *x = bt_sheet_node(p->sheet, operand[k]);
        if (x->leaf)
            put_source(p, x->leaf->source, x->leaf->seen);
        else if (x->row)
            put_source(p, x->row->source, x->row->seen);
    }
}

static void put_end(struct page *p)
{
    const struct bt_node_info *x = bt_sheet_node(p->sheet, p->node);
    const struct bt_budget *b = p->why->budget;
    struct bt_arena *a = p->w->arena;
    if (p->points_on && room(p) > 0 && b->garden)
        put_line(p, bt_arena_format(
                        a, "    > has a page of its own: bedtally why %s %s NAME",
                        bt_shell_word(a, b->garden->folder), bt_shell_word(a, b->bed->id)));
    if (x->remark && x->op != BT_OP_CONSTANT)
        put_text(p, "    ", bt_text_shown(a, x->remark));
    put_sources(p);
}

size_t bt_why_page_lines(const struct bt_show *w, const struct bt_why *y,
                         struct bt_node page, char ***out_lines)
{
    struct page *p = bt_arena_zero(w->arena, sizeof *p);
    *p = (struct page){.w = w, .why = y, .sheet = y->budget->sheet, .node = page};
    const struct bt_node behind = bt_behind(p->sheet, page);
    const struct bt_node_info *x = bt_sheet_node(p->sheet, behind);
    size_t n_terms;
    struct bt_term *term;
    put_heading(p);
    if (x->op == BT_OP_LEAF || x->op == BT_OP_CONSTANT)
        put_text(p, "  = ",
                 behind.i == page.i
                     ? origin(p, behind)
                     : bt_arena_format(w->arena, "%s: %s", name_of(p, behind),
                                       origin(p, behind)));
    else if (bt_terms(w->arena, p->sheet, behind, &n_terms, &term))
        put_sum(p, behind, n_terms, term, "  = the sum of");
    else if (x->op == BT_OP_CURVE)
        put_curve(p, behind);
    else
        put_equation(p, behind);
    put_end(p);
    *out_lines = p->line;
    return p->n;
}
