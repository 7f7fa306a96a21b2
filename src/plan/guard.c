/* Rates that no handbook knows. A rate per 100 sq ft that was meant per 1000, or of an
 * element that was meant of its oxide, is a plain number to arithmetic; only what guides
 * advise shows it. */
#include "plan/desk.h"

#include <math.h>
#include <string.h>

#include "base/figures.h"
#include "base/text.h"
#include "input/unit_text.h"

/* The highest end of a quantity in a table. */
static double highest(const struct bt_desk *w, const char *table, const char *quantity)
{
    const struct bt_table *t;
    const size_t n = bt_handbook_tables(w->book, &t);
    double most = 0;
    for (size_t i = 0; i < n; i++) {
        if (strcmp(t[i].name, table) != 0)
            continue;
        for (size_t k = 0; k < t[i].n_rows; k++)
            if (strcmp(t[i].row[k]->quantity, quantity) == 0 &&
                t[i].row[k]->range.high > most)
                most = t[i].row[k]->range.high;
    }
    return most;
}

static double guide_g_m2(const struct bt_desk *w, int form)
{
    static const char *const table[] = {"crops", "ratings", "ratings"};
    static const char *const quantity[] = {"n_rate_advised", "p2o5_need", "k2o_need"};
    return highest(w, table[form], quantity[form]);
}

/* Area, in m2, that the unit of a rate counts. */
static bool counted_area(const struct bt_desk *w, const struct bt_unit *unit,
                         double *out_m2)
{
    struct bt_unit_text parts;
    struct bt_unit mass;
    if (!unit->text || !bt_unit_text_read(w->arena, unit->text, &parts) || !parts.has_right)
        return false;
    if (!bt_units_read(w->means->units, w->arena, parts.left.whole, 0, NULL, &mass))
        return false;
    *out_m2 = mass.factor / unit->factor;
    return true;
}

/* Is a rate one that guides advise? Not more than the highest, nor next to nothing. */
static bool is_usual(double rate_g_m2, double guide_g_m2)
{
    static const double LEAST_FRAC = 0.02; /* of the highest guide rate */
    return rate_g_m2 <= guide_g_m2 && rate_g_m2 >= LEAST_FRAC * guide_g_m2;
}

/* "146" and "14600", never with a power of ten. */
static const char *figure_text(struct bt_desk *w, double figure)
{
    double step = 1;
    while (figure / step >= 1000)
        step *= 10;
    return step > 1 ? bt_desk_text(w, "%.0f", round(figure / step) * step)
                    : bt_desk_text(w, "%s", bt_figures_short(w->arena, figure, 3));
}

/* "9.76 g/m2", for those who typed US units with theirs beside it. */
static const char *rate_text(struct bt_desk *w, double g_m2)
{
    if (!bt_desk_typed_us(w))
        return bt_desk_text(w, "%s g/m2", bt_figures_short(w->arena, g_m2, 3));
    return bt_desk_text(
        w, "%s g/m2 (%s lb/1000 sq ft)", bt_figures_short(w->arena, g_m2, 3),
        bt_figures_short(w->arena, g_m2 / bt_desk_factor(w, "lb/1000 sq ft"), 3));
}

/* A larger area, or a smaller weight, that the rate was likely meant in: of those that give
 * a usual rate the one nearest to the middle of the guides. NULL for none. `so` says what
 * such a rate is. */
static const char *meant_in(struct bt_desk *w, const struct bt_sum_given *g,
                            double rate_g_m2, double guide_g_m2, const char *so)
{
    static const double MIDDLE = 0.4; /* of the highest guide rate */
    static const double FAR = 1.4;    /* a factor of four: areas are mixed up oftener */
    static const char *const areas[] = {"100 sq ft", "1000 sq ft", "ac", "100 m2", "ha"};
    double m2, best = HUGE_VAL;
    const char *slip = NULL;
    if (!counted_area(w, &g->unit, &m2))
        return NULL;
    const bool us = bt_desk_typed_us(w);
    for (size_t i = us ? 0 : 3; i < (us ? 3 : sizeof areas / sizeof *areas); i++) {
        const double area_m2 = bt_desk_factor(w, areas[i]),
                     meant = rate_g_m2 * m2 / area_m2,
                     off = fabs(log(meant / (MIDDLE * guide_g_m2)));
        if (area_m2 <= m2 * 1.01 || !is_usual(meant, guide_g_m2) || off >= best)
            continue;
        best = off;
        slip = bt_desk_text(w, "per %s? that would be %s, %s", areas[i],
                            rate_text(w, meant), so);
    }
    const char *heavy = us ? "lb" : "kg", *light = us ? "oz" : "g";
    const double meant = rate_g_m2 * bt_desk_factor(w, light) / bt_desk_factor(w, heavy);
    const bool is_nearer = best > FAR && fabs(log(meant / (MIDDLE * guide_g_m2))) < best;
    if (!bt_text_starts(g->unit.text, heavy) || !is_usual(meant, guide_g_m2) || !is_nearer)
        return slip;
    return bt_desk_text(w, "%s, not %s? that would be %s, %s", light, heavy,
                        rate_text(w, meant), so);
}

/* An element typed where its oxide was meant, or NULL. */
static const char *meant_oxide(struct bt_desk *w, const struct bt_sum_given *g,
                               double most_g_m2)
{
    const bool is_element =
        g->species && (strcmp(g->species, "P") == 0 || strcmp(g->species, "K") == 0);
    const double typed = bt_likely(w->sheet, g->node);
    if (!is_element || !bt_desk_dim(w, g->node, BT_MASS_PER_AREA) || typed > most_g_m2)
        return NULL;
    return bt_desk_text(w,
                        "perhaps of the oxide: bags and advice count %s, and %s g/m2 of "
                        "that is nothing unheard of",
                        strcmp(g->species, "P") == 0 ? "P2O5" : "K2O",
                        bt_figures_short(w->arena, typed, 3));
}

bool bt_desk_guard(struct bt_desk *w, const struct bt_sum_given *g, struct bt_node n,
                   int form)
{
    static const char *const quantity[] = {"highest_rate_n", "highest_rate_p2o5",
                                           "highest_rate_k2o"};
    const struct bt_row *limit = bt_desk_row(w, "soils", "any", quantity[form]);
    if (!limit || !bt_desk_dim(w, n, BT_MASS_PER_AREA))
        return !w->failed;
    const double rate = bt_sheet_node(w->sheet, n)->likely;
    const double guide = guide_g_m2(w, form), most = limit->range.likely;
    if (rate <= guide)
        return true;
    if (rate <= most) {
        bt_desk_note(w,
                     "%s=%s comes to %.3g g %s/m2, above every rate that the handbook's "
                     "guides advise (%.3g)",
                     g->name, g->text, rate, bt_form_name[form], guide);
        return true;
    }
    const char *slip = meant_oxide(w, g, most);
    if (!slip)
        slip = meant_in(w, g, rate, guide, "which guides do advise");
    const char *of = strcmp(g->key->name, "rate") == 0 ? "" : "with it, ";
    bt_desk_refuse(w, g->key->name,
                   bt_desk_text(w,
                                "%sat most %s g %s/m2 (no guide rate of the handbook is "
                                "above %s; this is %s)",
                                of, bt_figures_short(w->arena, most, 3), bt_form_name[form],
                                bt_figures_short(w->arena, guide, 3), figure_text(w, rate)),
                   slip);
    return false;
}

bool bt_desk_guard_figure(struct bt_desk *w, const char *key, struct bt_node n,
                          const char *quantity, const char *what)
{
    const struct bt_row *limit = bt_desk_row(w, "soils", "any", quantity);
    if (!limit || !bt_desk_dim(w, n, BT_MASS_PER_AREA))
        return !w->failed;
    const double figure = bt_likely(w->sheet, n), most = limit->range.likely;
    if (figure <= most)
        return true;
    static const double OFTEN_ADVISED = 0.5; /* of what nobody advises */
    const struct bt_sum_given *g = bt_desk_nth(w, key, 1);
    const char *slip = g && g->has_node && bt_dim_same(g->unit.dim, BT_MASS_PER_AREA)
                           ? meant_in(w, g, figure, OFTEN_ADVISED * most, "as is usual")
                           : NULL;
    bt_desk_refuse(w, key,
                   bt_desk_text(w, "%s of at most %s g/m2 (this comes to %s)", what,
                                bt_figures_short(w->arena, most, 4),
                                figure_text(w, figure)),
                   slip ? slip : "look at the units and at the decimal point");
    return false;
}
