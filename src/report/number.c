#include "report/number.h"

#include <math.h>
#include <string.h>

char *bt_ends_text(struct bt_arena *a, double low, double high, int figures)
{
    if (!isfinite(low) || !isfinite(high) || !(low < high))
        return bt_arena_text(a, "");
    return bt_arena_format(a, "%s to %s", bt_figures_short(a, low, figures),
                           bt_figures_short(a, high, figures));
}

static char *of_hundred(struct bt_arena *a, double share, bool is_sampled, const char *unit)
{
    if (!isfinite(share))
        return bt_arena_text(a, "not known");
    const double hundredths = round(100 * share);
    /* no sample shows that something never or always happens */
    if (hundredths < 1 && (share > 0 || is_sampled))
        return bt_arena_format(a, "less than 1%s", unit);
    if (hundredths > 99 && (share < 1 || is_sampled))
        return bt_arena_format(a, "more than 99%s", unit);
    return bt_arena_format(a, "%.0f%s", hundredths, unit);
}

char *bt_percent_text(struct bt_arena *a, double share)
{
    return of_hundred(a, share, false, " %");
}

char *bt_small_percent_text(struct bt_arena *a, double share)
{
    if (share >= 0.0095 || !(share > 0))
        return bt_percent_text(a, share);
    return bt_arena_format(a, "%s %%", bt_figures_short(a, 100 * share, 1));
}

char *bt_chance_text(struct bt_arena *a, double chance)
{
    return of_hundred(a, chance, true, " in 100");
}

/* ---- masses and areas ---- */

struct bt_on_bed bt_on_bed(const struct bt_show *w, const struct bt_bed *bed)
{
    const bool is_pot = bed->kind == BT_POTS && bed->pots > 0;
    const double area_m2 = is_pot ? bed->area_m2 / bed->pots : bed->area_m2;
    const double per_g =
        w->us_units ? bt_units_factor_to(w->units, w->arena, "oz") : 1; /* unit-free */
    return (struct bt_on_bed){.per_g_m2 = area_m2 * per_g,
                              .unit = w->us_units ? "oz" : "g",
                              .where = is_pot ? "in each pot" : "on this bed"};
}

char *bt_on_bed_text(const struct bt_show *w, const struct bt_bed *bed, double mass_g_m2,
                     int figures)
{
    const struct bt_on_bed on = bt_on_bed(w, bed);
    const double shown = mass_g_m2 * on.per_g_m2;
    const double heavy = w->us_units ? 160 : 10000; /* in ounces or grams: 10 lb, 10 kg */
    const char *unit = w->us_units ? "lb" : "kg";
    if (fabs(shown) < heavy)
        return bt_arena_format(w->arena, "%s %s %s",
                               bt_figures_short(w->arena, shown, figures), on.unit,
                               on.where);
    const double per_light =
        bt_units_factor_to(w->units, w->arena, unit) /
        bt_units_factor_to(w->units, w->arena, on.unit); /* unit-free */
    return bt_arena_format(w->arena, "%s %s %s",
                           bt_figures_short(w->arena, shown * per_light, figures), unit,
                           on.where);
}

char *bt_mass_text(const struct bt_show *w, const struct bt_bed *bed, double mass_g_m2,
                   const char *nutrient, int figures)
{
    const struct bt_on_bed on = bt_on_bed(w, bed);
    return bt_arena_format(w->arena, "%s %s %s %s",
                           bt_figures_short(w->arena, mass_g_m2 * on.per_g_m2, figures),
                           on.unit, nutrient, on.where);
}

struct bt_garden_unit bt_garden_unit(const struct bt_show *w, double largest_g)
{
    const char *unit = "g";
    if (w->us_units) {
        const double pound_g = 1 / bt_units_factor_to(w->units, w->arena, "lb");
        unit = fabs(largest_g) >= 2 * pound_g ? "lb" : "oz";
    } else if (fabs(largest_g) >= 1000) {
        unit = "kg";
    }
    return (struct bt_garden_unit){bt_units_factor_to(w->units, w->arena, unit), unit};
}

char *bt_garden_mass_text(const struct bt_show *w, double mass_g, int figures)
{
    const struct bt_garden_unit in = bt_garden_unit(w, mass_g);
    return bt_arena_format(w->arena, "%s %s",
                           bt_figures_short(w->arena, mass_g * in.per_g, figures), in.unit);
}

char *bt_area_text(const struct bt_show *w, double area_m2)
{
    const double shown =
        w->us_units ? area_m2 * bt_units_factor_to(w->units, w->arena, "sq ft") : area_m2;
    return bt_arena_format(w->arena, "%s %s", bt_figures_short(w->arena, shown, BT_FIGURES),
                           w->us_units ? "sq ft" : "m2");
}
