/* The additions as they were understood: a line for each, or for those of one day, material
 * and amount on several beds. */
#include <string.h>

#include "base/date.h"
#include "base/text.h"
#include "report/answer.h"
#include "report/page.h"

enum { BEDS_NAMED = 6 }; /* of one line; more are counted */

static bool is_on(const struct bt_application *x, const struct bt_garden *g,
                  const char *bed)
{
    for (size_t k = 0; k < x->n_beds; k++)
        if (!bed || bt_text_is(g->bed[x->bed[k]].id, bed))
            return true;
    return false;
}

static bool same_number(double x, double y)
{
    const double apart = x > y ? x - y : y - x;
    return apart <= 1e-9 * (x > y ? x : y);
}

/* One line says both: the same but for the bed. */
static bool joins(const struct bt_application *x, const struct bt_application *y)
{
    return x->date.day == y->date.day && x->status == y->status &&
           x->placement == y->placement && x->taken_from == y->taken_from &&
           x->amount.presence == y->amount.presence && x->own == y->own &&
           bt_text_is(x->written, y->written) &&
           bt_text_is(x->amount.cell.text, y->amount.cell.text) &&
           same_number(x->spread_g_m2, y->spread_g_m2);
}

static const char *add_beds(struct bt_arena *a, const struct bt_garden *g, const char *beds,
                            const struct bt_application *x, size_t *n)
{
    for (size_t k = 0; k < x->n_beds; k++)
        if ((*n)++ < BEDS_NAMED)
            beds = bt_arena_format(a, "%s%s%s", beds, *beds ? ", " : "",
                                   bt_text_shown(a, g->bed[x->bed[k]].id));
    return beds;
}

static char *in_unit(const struct bt_show *w, double inside, const char *unit)
{
    struct bt_arena *a = w->arena;
    return bt_arena_format(
        a, "%s %s",
        bt_figures_short(a, inside * bt_units_factor_to(w->units, a, unit), BT_FIGURES),
        unit);
}

/* "1.2 in deep, 68 lb/100 sq ft": without the one that was typed. */
static const char *comes_to(const struct bt_show *w, const struct bt_application *x)
{
    struct bt_arena *a = w->arena;
    const char *text = "";
    if (x->amount.presence == BT_NONE)
        return "none";
    if (x->amount.presence != BT_GIVEN)
        return "not known, nothing counted";
    if (x->amount.unit.per && !(x->counted > 0))
        return bt_arena_format(a, "no %s there, nothing counted", x->amount.unit.per);
    if (x->amount.unit.per)
        text = bt_arena_format(a, "on %s %s%s", bt_figures_short(a, x->counted, BT_FIGURES),
                               x->amount.unit.per, same_number(x->counted, 1) ? "" : "s");
    const bool is_bulky = x->depth_m >= 0.002; /* 2 mm; less is no layer */
    if (is_bulky && !bt_dim_same(x->amount.unit.dim, BT_LENGTH))
        text = bt_arena_format(a, "%s%s%s deep", text, *text ? ", " : "",
                               in_unit(w, x->depth_m, w->us_units ? "in" : "cm"));
    if (!(x->spread_g_m2 > 0))
        return *text ? text : "weight not known";
    const char *unit = w->us_units               ? "lb/100 sq ft"
                       : x->spread_g_m2 < 1000.0 ? "g/m2"
                                                 : "kg/m2";
    return bt_arena_format(a, "%s%s%s", text, *text ? ", " : "",
                           in_unit(w, x->spread_g_m2, unit));
}

static const char *nitrogen(const struct bt_show *w, const struct bt_application *x)
{
    if (!(x->n_g_m2 > 0))
        return "";
    return in_unit(w, x->n_g_m2, w->us_units ? "lb/100 sq ft" : "g/m2");
}

static void put_line(const struct bt_show *w, const struct bt_garden *g,
                     struct bt_grid *grid, size_t i, bool *done)
{
    struct bt_arena *a = w->arena;
    const struct bt_application *x = &g->application[i];
    size_t n = 0;
    const char *beds = "";
    for (size_t j = i; j < g->n_applications; j++)
        if (j == i || (!done[j] && joins(x, &g->application[j]))) {
            done[j] = true;
            beds = add_beds(a, g, beds, &g->application[j], &n);
        }
    if (n > BEDS_NAMED)
        beds = bt_arena_format(a, "%s and %zu more", beds, n - BEDS_NAMED);
    const char *name = bt_text_shown(a, bt_deed_label(x));
    if (x->taken_from)
        name = bt_arena_format(a, "%s from %s", name, bt_text_shown(a, x->taken_from->id));
    const char *day = bt_date_iso(a, x->date.day);
    const char *row[] = {x->date.width_d > 1 ? bt_arena_format(a, "about %s", day) : day,
                         beds,
                         name,
                         bt_text_shown(a, x->amount.cell.text),
                         comes_to(w, x),
                         nitrogen(w, x),
                         x->is_advice              ? "from the plan"
                         : x->status == BT_PLANNED ? "planned"
                                                   : ""};
    bt_grid_row(grid, row);
}

void bt_report_check_additions(struct bt_out *o, const struct bt_show *w,
                               const struct bt_garden *g, const char *bed)
{
    struct bt_arena *a = w->arena;
    bool *done = bt_arena_zero(a, (g->n_applications + 1) * sizeof *done);
    struct bt_grid grid = bt_grid_new(a, 7, 0);
    const char *const head[] = {"addition", "beds",           "material", "as typed",
                                "comes to", "nitrogen in it", NULL};
    size_t n = 0;
    for (size_t i = 0; i < g->n_applications; i++) {
        if (done[i] || !is_on(&g->application[i], g, bed))
            continue;
        if (n++ == 0)
            bt_grid_row(&grid, head);
        put_line(w, g, &grid, i, done);
    }
    if (n > 0) {
        bt_put(o, "\n");
        bt_grid_write(o, &grid, 2);
    }
}
