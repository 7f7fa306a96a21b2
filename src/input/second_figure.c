/* An amount with a second figure in brackets: `50 cu ft (17 cu yd)`, `2 in (3 bags)`,
 * `1018 lb (808 lb dry)`. Both are read and held against each other; the first counts when
 * they agree. */
#include "input/garden_read.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

#include "base/text.h"

static const double ROUNDING = 0.05; /* of figures that people round */

/* The two texts, tidied; false when no bracket with a figure ends the cell. */
static bool split(struct bt_gr *g, const char *text, const char **first,
                  const char **second)
{
    const char *tidy = bt_gr_tidy(g->arena, text);
    const size_t n = strlen(tidy);
    const char *open = strrchr(tidy, '(');
    if (!open || open == tidy || tidy[n - 1] != ')')
        return false;
    const char *inside = open + 1 + strspn(open + 1, "~= ");
    if (bt_text_starts(inside, "about "))
        inside += 6;
    if (!isdigit((unsigned char)*inside) && *inside != '.')
        return false;
    *first = bt_gr_tidy(g->arena, bt_arena_text_n(g->arena, tidy, (size_t)(open - tidy)));
    *second = bt_gr_tidy(
        g->arena, bt_arena_text_n(g->arena, inside, (size_t)(tidy + n - 1 - inside)));
    return **first != '\0';
}

static bool cut_word(struct bt_gr *g, const char **text, const char *word)
{
    const size_t n = strlen(*text), m = strlen(word);
    if (n <= m || !bt_text_is(*text + n - m, word))
        return false;
    *text = bt_gr_tidy(g->arena, bt_arena_text_n(g->arena, *text, n - m));
    return true;
}

/* Water of the material, as a fraction; false when nothing says it. */
static bool water_of(const struct bt_gr *g, const struct bt_beside *beside,
                     struct bt_range *out)
{
    if (beside->own && beside->own->moisture.presence == BT_GIVEN) {
        *out = beside->own->moisture.range;
        return true;
    }
    const struct bt_row *row =
        beside->key ? bt_handbook_follow(g->handbook, "materials", beside->key, "moisture")
                    : NULL;
    if (row)
        *out = row->range;
    return row != NULL;
}

/* The first figure as the second counts it, and in words by what: " over 100 sq ft". False
 * when the two cannot be compared. */
static bool convert(struct bt_gr *g, const struct bt_beside *beside, bool dry,
                    const struct bt_quantity *second, struct bt_quantity *first,
                    const char **by)
{
    const struct bt_dim a = first->unit.dim, b = second->unit.dim;
    const double sq_ft = bt_units_factor_to(g->units, g->arena, "sq ft");
    const char *over = bt_arena_format(g->arena, " over %.4g sq ft (%.3g m2)",
                                       beside->area_m2 * sq_ft, beside->area_m2);
    const char *p = first->unit.per, *q = second->unit.per;
    struct bt_range water;
    *by = "";
    if ((p || q) && !(p && q && strcmp(p, q) == 0))
        return false;
    if (dry) {
        if (!bt_dim_same(a, b) || !bt_dim_same(a, BT_MASS) || !water_of(g, beside, &water))
            return false;
        *by = bt_arena_format(g->arena, " at %.3g %% water", 100 * water.likely);
        first->range.low *= 1 - water.high;
        first->range.likely *= 1 - water.likely;
        first->range.high *= 1 - water.low;
        return true;
    }
    if (bt_dim_same(a, b))
        return true;
    if (p || !(beside->area_m2 > 0))
        return false;
    *by = over;
    if (bt_dim_same(bt_dim_mul(a, BT_AREA), b))
        first->range = bt_range_scaled(first->range, beside->area_m2);
    else if (bt_dim_same(bt_dim_mul(b, BT_AREA), a))
        first->range = bt_range_scaled(first->range, 1 / beside->area_m2);
    else
        return false;
    return true;
}

static bool agree(const struct bt_range *x, const struct bt_range *y)
{
    return x->low * (1 - ROUNDING) <= y->high && y->low * (1 - ROUNDING) <= x->high;
}

static bool refuse(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                   const char *hint, struct bt_quantity *out)
{
    out->presence = BT_BLANK;
    return bt_gr_error(g, cell, column, "one figure, or two that agree", hint);
}

bool bt_gr_amount(struct bt_gr *g, const struct bt_cell *cell,
                  const struct bt_accept *accept, const struct bt_beside *beside,
                  struct bt_quantity *out)
{
    const char *one, *two, *by;
    struct bt_quantity second, first;
    if (!split(g, cell->text, &one, &two))
        return bt_gr_quantity(g, cell, accept, out);
    const bool dry = cut_word(g, &two, " dry") || cut_word(g, &two, " dry weight") ||
                     cut_word(g, &two, " dry matter");
    if (dry)
        (void)cut_word(g, &one, " wet");
    const struct bt_cell a = {one, cell->at}, b = {two, cell->at};
    if (!bt_gr_quantity(g, &a, accept, out) || out->presence != BT_GIVEN)
        return false;
    first = *out;
    out->presence = BT_BLANK;
    if (!bt_gr_quantity(g, &b, accept, &second) || second.presence != BT_GIVEN)
        return false;
    const double typed = second.range.likely / second.unit.factor;
    const char *unit = second.unit.text;
    if (!bt_gr_measure(g, &second, accept->column, beside->written, beside->key, &by))
        return false;
    const struct bt_quantity as_read = first;
    if (!bt_gr_measure(g, &first, accept->column, beside->written, beside->key, &by))
        return false;
    if (!convert(g, beside, dry, &second, &first, &by) || !(second.range.likely > 0))
        return refuse(g, cell, accept->column,
                      "these two cannot be held against each other here: write one figure "
                      "in a cell",
                      out);
    if (!agree(&first.range, &second.range))
        return refuse(g, cell, accept->column,
                      bt_arena_format(
                          g->arena, "the two figures disagree: %s%s is %.3g %s%s, not %.4g",
                          one, by, typed * first.range.likely / second.range.likely, unit,
                          dry ? " dry" : "", typed),
                      out);
    *out = as_read;
    bt_gr_note(g, cell->at,
               bt_arena_format(g->arena, "%s: %s is read; the figure in brackets agrees",
                               accept->column, one));
    return true;
}
