/* A cell with a second figure in brackets: `50 cu ft (1.85 cu yd)`, `1 acre (43,560 sq
 * ft)`, `2 in (3 bags)`, `1018 lb (662 lb dry)`. Both are read and held against each other;
 * the first counts when they agree. */
#include "input/garden_read.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

#include "base/figures.h"
#include "base/text.h"
#include "input/ratings.h"

static const double ROUNDING = 0.05; /* of figures that people round */
static const double HALF_DEGREE = 0.6;
static const double PACKING =
    0.5; /* heaps are looser or denser than a range of densities */

/* ---- the two texts ---- */

bool bt_gr_two_figures(struct bt_gr *g, const char *text, const char **out_first,
                       const char **out_second)
{
    if (!strchr(text, '('))
        return false;
    const char *tidy = bt_gr_tidy(g->arena, text);
    const size_t n = strlen(tidy);
    const char *open = strrchr(tidy, '(');
    if (open == tidy || tidy[n - 1] != ')')
        return false;
    const char *inside = open + 1 + strspn(open + 1, "~= ");
    if (bt_text_starts(inside, "about "))
        inside += 6;
    if (!isdigit((unsigned char)*inside) && *inside != '.')
        return false;
    *out_first =
        bt_gr_tidy(g->arena, bt_arena_text_n(g->arena, tidy, (size_t)(open - tidy)));
    *out_second = bt_gr_tidy(
        g->arena, bt_arena_text_n(g->arena, inside, (size_t)(tidy + n - 1 - inside)));
    return **out_first != '\0';
}

static bool cut_word(struct bt_gr *g, const char **text, const char *word)
{
    const size_t n = strlen(*text), m = strlen(word);
    if (n <= m || !bt_text_is(*text + n - m, word))
        return false;
    *text = bt_gr_tidy(g->arena, bt_arena_text_n(g->arena, *text, n - m));
    return true;
}

/* ---- messages ---- */

static bool refuse(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                   const char *hint)
{
    return bt_gr_error(g, cell, column, "one figure, or two that agree", hint);
}

static bool refuse_pair(struct bt_gr *g, const struct bt_cell *cell, const char *column)
{
    return refuse(g, cell, column,
                  "these two cannot be held against each other here: write one figure in a "
                  "cell");
}

static bool refuse_unweighed(struct bt_gr *g, const struct bt_cell *cell,
                             const char *column)
{
    return refuse(g, cell, column,
                  "a weight and a volume: give the material's density in materials.csv, or "
                  "write one figure in a cell");
}

static bool say_agreed(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                       const char *first)
{
    return bt_gr_note(g, cell->at,
                      bt_arena_format(g->arena,
                                      "%s: %s is read; the figure in brackets agrees",
                                      column, first));
}

/* "1.85", "43560" */
static const char *figure_text(struct bt_gr *g, double x)
{
    return bt_arena_format(g->arena, fabs(x) < 1000 ? "%.3g" : "%.0f", x);
}

static const char *span_text(struct bt_gr *g, double low, double high)
{
    const char *l = figure_text(g, low), *h = figure_text(g, high);
    return strcmp(l, h) == 0 ? l : bt_arena_format(g->arena, "%s to %s", l, h);
}

/* ---- from the first to the second ---- */

/* How the first is brought to what the second counts, and in words by what: " over 100 sq
 * ft". Powers of the beds' area and of the material's density. */
struct way {
    int area, density;
    const char *by;
};

/* A property of the material: its own, else the handbook's. False when nothing says it. */
static bool property(const struct bt_gr *g, const struct bt_beside *beside,
                     const struct bt_quantity *own, const char *quantity,
                     struct bt_range *out)
{
    if (own && own->presence == BT_GIVEN) {
        *out = own->range;
        return true;
    }
    const struct bt_row *row =
        beside->key ? bt_handbook_follow(g->handbook, "materials", beside->key, quantity)
                    : NULL;
    if (row)
        *out = row->range;
    return row != NULL;
}

static struct bt_dim stepped(struct bt_dim dim, struct bt_dim by, int power)
{
    return power > 0 ? bt_dim_mul(dim, by) : power < 0 ? bt_dim_div(dim, by) : dim;
}

static bool find_way(struct bt_dim first, struct bt_dim second, struct way *out)
{
    for (out->area = -1; out->area <= 1; out->area++)
        for (out->density = -1; out->density <= 1; out->density++)
            if (bt_dim_same(
                    stepped(stepped(first, BT_AREA, out->area), BT_DENSITY, out->density),
                    second))
                return true;
    return false;
}

static bool dry_out(struct bt_gr *g, const struct bt_beside *beside, struct bt_range *r,
                    struct way *way)
{
    const struct bt_quantity *own = beside->own ? &beside->own->moisture : NULL;
    struct bt_range water;
    if (!property(g, beside, own, "moisture", &water))
        return false;
    way->by = bt_arena_format(g->arena, " at %s %% water",
                              bt_figures_short(g->arena, 100 * water.likely, 3));
    r->low *= 1 - water.high;
    r->likely *= 1 - water.likely;
    r->high *= 1 - water.low;
    return true;
}

static bool spread(struct bt_gr *g, const struct bt_beside *beside, struct bt_range *r,
                   struct way *way)
{
    if (!(beside->area_m2 > 0))
        return false;
    way->by = bt_arena_format(
        g->arena, " over %s sq ft (%s m2)",
        bt_figures_short(
            g->arena, beside->area_m2 * bt_units_factor_to(g->units, g->arena, "sq ft"), 4),
        bt_figures_short(g->arena, beside->area_m2, 3));
    *r = bt_range_scaled(*r, way->area > 0 ? beside->area_m2 : 1 / beside->area_m2);
    return true;
}

static bool weigh(struct bt_gr *g, const struct bt_beside *beside, struct bt_range *r,
                  struct way *way)
{
    const struct bt_quantity *own = beside->own ? &beside->own->density : NULL;
    const double lb_cu_ft = bt_units_factor_to(g->units, g->arena, "lb/cu ft");
    const double kg_m3 = bt_units_factor_to(g->units, g->arena, "kg/m3");
    struct bt_range d;
    if (!property(g, beside, own, "density", &d) || !(d.low > 0))
        return false;
    way->by = bt_arena_format(g->arena, "%s at %s kg/m3 (%s lb/cu ft)", way->by,
                              span_text(g, d.low * kg_m3, d.high * kg_m3),
                              span_text(g, d.low * lb_cu_ft, d.high * lb_cu_ft));
    const bool to_mass = way->density > 0;
    r->low *= to_mass ? d.low : 1 / d.high;
    r->likely *= to_mass ? d.likely : 1 / d.likely;
    r->high *= to_mass ? d.high : 1 / d.low;
    return true;
}

/* Brings the first to what the second counts; false when nothing here can. */
static bool convert(struct bt_gr *g, const struct bt_beside *beside,
                    const struct bt_pair *pair, struct bt_quantity *first, struct way *way)
{
    const struct bt_unit *a = &first->unit, *b = &pair->second.unit;
    *way = (struct way){.by = ""};
    if ((a->per || b->per) && !(a->per && b->per && strcmp(a->per, b->per) == 0))
        return false;
    if (pair->dry)
        return bt_dim_same(a->dim, b->dim) && bt_dim_same(a->dim, BT_MASS) &&
               dry_out(g, beside, &first->range, way);
    if (!find_way(a->dim, b->dim, way) || (way->area && a->per))
        return false;
    return (!way->area || spread(g, beside, &first->range, way)) &&
           (!way->density || weigh(g, beside, &first->range, way));
}

/* ---- agreement ---- */

static bool agree(const struct bt_range *x, const struct bt_range *y, double slack)
{
    return x->low * (1 - slack) <= y->high && y->low <= x->high * (1 + slack);
}

static bool agree_as(const struct bt_quantity *x, const struct bt_quantity *y)
{
    if (bt_dim_same(x->unit.dim, BT_TEMPERATURE))
        return x->range.low - HALF_DEGREE <= y->range.high &&
               y->range.low <= x->range.high + HALF_DEGREE;
    return x->range.low * (1 - ROUNDING) <= y->range.high &&
           y->range.low * (1 - ROUNDING) <= x->range.high;
}

/* `44 ppm NO3 (10 ppm NO3-N)`: as the element, where both say what they count. */
static void to_element(struct bt_quantity *q)
{
    static const struct {
        const char *form;
        double per_element;
    } forms[] = {
        {"NO3",  BT_NO3_PER_N },
        {"P2O5", BT_P2O5_PER_P},
        {"K2O",  BT_K2O_PER_K }
    };
    for (size_t i = 0; i < sizeof forms / sizeof *forms; i++)
        if (strcmp(q->unit.species, forms[i].form) == 0)
            q->range = bt_range_scaled(q->range, 1 / forms[i].per_element);
}

/* "1 acre is 43560 sq ft, not 4840". `each` is what one of the second's unit comes to. */
static const char *difference(struct bt_gr *g, const struct bt_pair *pair,
                              const struct bt_range *first, const char *by, double each)
{
    const struct bt_unit *unit = &pair->second.unit;
    const double typed = (pair->second.range.likely - unit->offset) / unit->factor;
    const bool wide = first->high > first->low * (1 + ROUNDING) && *by;
    const double low = wide ? first->low : first->likely;
    const double high = wide ? first->high : first->likely;
    const char *is =
        span_text(g, (low - unit->offset) / each, (high - unit->offset) / each);
    return bt_arena_format(g->arena, "%s%s is %s%s%s%s, not %s", pair->text, by, is,
                           *unit->text ? " " : "", unit->text, pair->dry ? " dry" : "",
                           figure_text(g, typed));
}

bool bt_gr_pair(struct bt_gr *g, const struct bt_cell *cell, const struct bt_accept *accept,
                struct bt_pair *out)
{
    const char *one, *two;
    *out = (struct bt_pair){.text = cell->text, .cell = *cell};
    if (!bt_gr_two_figures(g, cell->text, &one, &two))
        return bt_gr_one_figure(g, cell, accept, &out->first);
    out->dry = cut_word(g, &two, " dry") || cut_word(g, &two, " dry weight") ||
               cut_word(g, &two, " dry matter");
    if (out->dry)
        (void)cut_word(g, &one, " wet");
    const struct bt_cell a = {one, cell->at}, b = {two, cell->at};
    out->text = one;
    out->two = true;
    const bool ok = bt_gr_one_figure(g, &a, accept, &out->first) &&
                    bt_gr_one_figure(g, &b, accept, &out->second);
    const bool figures = out->first.presence == BT_GIVEN && !out->first.word &&
                         out->second.presence == BT_GIVEN && !out->second.word;
    if (ok && figures)
        return true;
    out->first.presence = BT_BLANK;
    return ok && refuse_pair(g, cell, accept->column);
}

static bool is_measured(struct bt_gr *g, struct bt_quantity *q, const char *column,
                        const struct bt_beside *beside)
{
    return !q->unit.measure ||
           bt_gr_measure(g, q, column, beside->written, beside->key, NULL);
}

bool bt_gr_pair_agrees(struct bt_gr *g, struct bt_pair *pair, const char *column,
                       const struct bt_beside *beside)
{
    struct bt_quantity first = pair->first;
    struct bt_pair p = *pair;
    struct way way;
    if (!pair->two || pair->first.presence != BT_GIVEN)
        return true;
    pair->first.presence = BT_BLANK;
    const double typed =
        (p.second.range.likely - p.second.unit.offset) / p.second.unit.factor;
    if (!is_measured(g, &p.second, column, beside) ||
        !is_measured(g, &first, column, beside))
        return false;
    if (first.unit.species && p.second.unit.species &&
        strcmp(first.unit.species, p.second.unit.species) != 0) {
        to_element(&first);
        to_element(&p.second);
    }
    if (!convert(g, beside, &p, &first, &way))
        return way.density ? refuse_unweighed(g, &p.cell, column)
                           : refuse_pair(g, &p.cell, column);
    const double each =
        typed > 0 || typed < 0 ? (p.second.range.likely - p.second.unit.offset) / typed : 1;
    if (way.density && !agree(&first.range, &p.second.range, PACKING)) {
        pair->first.presence = BT_GIVEN;
        bt_gr_warn(g, &p.cell, column, "two figures that go together",
                   bt_arena_format(g->arena, "%s; %s is read",
                                   difference(g, pair, &first.range, way.by, each),
                                   p.text));
        return true;
    }
    if (!way.density && !agree_as(&first, &p.second))
        return refuse(g, &p.cell, column,
                      bt_arena_format(g->arena, "the two figures disagree: %s",
                                      difference(g, pair, &first.range, way.by, each)));
    pair->first.presence = BT_GIVEN;
    say_agreed(g, &p.cell, column, p.text);
    return true;
}

bool bt_gr_amount(struct bt_gr *g, const struct bt_cell *cell,
                  const struct bt_accept *accept, const struct bt_beside *beside,
                  struct bt_quantity *out)
{
    struct bt_pair pair;
    const bool ok = bt_gr_pair(g, cell, accept, &pair) &&
                    bt_gr_pair_agrees(g, &pair, accept->column, beside);
    *out = pair.first;
    return ok;
}

bool bt_gr_quantity(struct bt_gr *g, const struct bt_cell *cell,
                    const struct bt_accept *accept, struct bt_quantity *out)
{
    static const struct bt_beside nothing = {0};
    return bt_gr_amount(g, cell, accept, &nothing, out);
}

/* ---- cells of another make ---- */

/* The note or error for two figures that a reader of its own has compared; returns `same`.
 */
static bool same_figures(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                         const char *first, bool same)
{
    if (same)
        return say_agreed(g, cell, column, first);
    return refuse(g, cell, column, "the two figures disagree");
}

static bool near(double a, double b)
{
    return a * (1 - ROUNDING) <= b && b * (1 - ROUNDING) <= a;
}

bool bt_gr_count(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                 struct bt_count *out)
{
    const char *one, *two;
    struct bt_count second;
    if (!bt_gr_two_figures(g, cell->text, &one, &two))
        return bt_read_count(&g->cells, cell, column, out);
    const struct bt_cell a = {one, cell->at}, b = {two, cell->at};
    const bool ok = bt_read_count(&g->cells, &a, column, out) &&
                    bt_read_count(&g->cells, &b, column, &second);
    if (ok &&
        same_figures(g, cell, column, one,
                     fabs(out->groups * out->each - second.groups * second.each) < 0.5))
        return true;
    *out = (struct bt_count){.presence = BT_BLANK, .cell = *cell};
    return false;
}

bool bt_gr_rows(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                struct bt_rows *out)
{
    const char *one, *two;
    struct bt_rows second;
    if (!bt_gr_two_figures(g, cell->text, &one, &two))
        return bt_read_rows(&g->cells, cell, column, out);
    const struct bt_cell a = {one, cell->at}, b = {two, cell->at};
    const bool ok = bt_read_rows(&g->cells, &a, column, out) &&
                    bt_read_rows(&g->cells, &b, column, &second);
    if (ok && same_figures(g, cell, column, one,
                           near(out->rows * out->length_m, second.rows * second.length_m)))
        return true;
    *out = (struct bt_rows){.presence = BT_BLANK, .cell = *cell};
    return false;
}

bool bt_gr_layer(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                 const char *header_unit, struct bt_layer *out)
{
    const char *one, *two;
    struct bt_layer second;
    if (!bt_gr_two_figures(g, cell->text, &one, &two))
        return bt_read_layer_in(&g->cells, cell, column, header_unit, out);
    const struct bt_cell a = {one, cell->at}, b = {two, cell->at};
    const bool ok = bt_read_layer_in(&g->cells, &a, column, header_unit, out) &&
                    bt_read_layer_in(&g->cells, &b, column, header_unit, &second);
    if (ok && same_figures(g, cell, column, one,
                           near(out->top_m, second.top_m) &&
                               near(out->bottom_m, second.bottom_m)))
        return true;
    *out = (struct bt_layer){.presence = BT_BLANK, .cell = *cell};
    return false;
}
