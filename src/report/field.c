#include "report/field.h"

#include <math.h>
#include <string.h>

#include "report/number.h"
#include "report/page.h"

/* Units of the field, the larger first: the first in which the figure is at least `least`
 * is taken. */
static const struct field_unit {
    struct bt_dim dim;
    bool us;
    const char *unit;
    double least; /* unit-free: in this unit */
} units[] = {
    {{1, 0, 0, 0},  true,  "lb",            1   },
    {{1, 0, 0, 0},  true,  "oz",            0   },
    {{1, 0, 0, 0},  false, "kg",            1   },
    {{1, 0, 0, 0},  false, "g",             0   },
    {{1, -2, 0, 0}, true,  "lb/100 sq ft",  2   }, /* what is picked and put on */
    {{1, -2, 0, 0}, true,  "lb/1000 sq ft", 0   }, /* nutrients */
    {{1, -2, 0, 0}, false, "kg/m2",         0.1 },
    {{1, -2, 0, 0}, false, "g/m2",          0   },
    {{1, -3, 0, 0}, true,  "lb/cu yd",      0   },
    {{1, -3, 0, 0}, false, "kg/m3",         0   },
    {{0, 1, 0, 0},  true,  "ft",            10  },
    {{0, 1, 0, 0},  true,  "in",            0   },
    {{0, 1, 0, 0},  false, "m",             1   },
    {{0, 1, 0, 0},  false, "cm",            0   },
    {{0, 2, 0, 0},  true,  "sq ft",         0   },
    {{0, 2, 0, 0},  false, "m2",            0   },
    {{0, 3, 0, 0},  true,  "cu yd",         1   },
    {{0, 3, 0, 0},  true,  "cu ft",         1   },
    {{0, 3, 0, 0},  true,  "gal",           0   },
    {{0, 3, 0, 0},  false, "m3",            1   },
    {{0, 3, 0, 0},  false, "L",             0   },
    {{0, -2, 0, 0}, true,  "plants/sq ft",  0   },
    {{0, -2, 0, 0}, false, "plants/m2",     0   },
    {{0, -1, 0, 0}, true,  "plants/ft",     0   },
    {{0, -1, 0, 0}, false, "plants/m",      0   },
    {{0, 0, 1, 0},  true,  "days",          0   },
    {{0, 0, 1, 0},  false, "days",          0   },
    {{0, 0, -1, 0}, true,  "per day",       0   },
    {{0, 0, -1, 0}, false, "per day",       0   },
    {{0, 0, 0, 0},  true,  "%",             0.05}, /* contents; see bt_in_field */
    {{0, 0, 0, 0},  true,  "ppm",           0   },
    {{0, 0, 0, 0},  false, "%",             0.05},
    {{0, 0, 0, 0},  false, "mg/kg",         0   },
};

struct bt_as bt_in_field(const struct bt_show *w, struct bt_dim dim, double most,
                         struct bt_as own)
{
    const bool is_share = bt_dim_same(dim, BT_FRACTION);
    if (is_share && (!*own.unit || strcmp(own.unit, "%") == 0))
        return own;
    for (size_t k = 0; k < sizeof units / sizeof *units; k++) {
        const struct field_unit *u = &units[k];
        if (u->us != w->us_units || !bt_dim_same(u->dim, dim))
            continue;
        const double per_inside = bt_units_factor_to(w->units, w->arena, u->unit);
        if (fabs(most) * per_inside >= u->least)
            return (struct bt_as){per_inside, u->unit};
    }
    return own;
}

int bt_field_figures(struct bt_as as, struct bt_as own)
{
    const double ratio = log10(as.per_inside / own.per_inside);
    return fabs(ratio - round(ratio)) < 1e-9 ? BT_FIGURES : BT_FIGURES_FIRST;
}

char *bt_leaf_range_text(const struct bt_show *w, const struct bt_leaf *leaf)
{
    struct bt_arena *a = w->arena;
    const struct bt_range *r = &leaf->range;
    const struct bt_as own = {leaf->unit_factor > 0 ? 1 / leaf->unit_factor : 1,
                              leaf->unit ? leaf->unit : ""};
    const struct bt_as as =
        bt_in_field(w, leaf->dim, fmax(fabs(r->low), fabs(r->high)), own);
    const int figures = bt_field_figures(as, own);
    const char *text =
        bt_ends_text(a, r->low * as.per_inside, r->high * as.per_inside, figures);
    if (!*text)
        text = bt_figures_short(a, r->likely * as.per_inside, figures);
    return bt_arena_format(a, "%s%s%s", text, *as.unit ? " " : "", as.unit);
}

const char *const *bt_assumed_texts(const struct bt_show *w, const struct bt_budget *b)
{
    struct bt_arena *a = w->arena;
    const char **text = bt_arena_alloc(a, (b->n_assumed + 1) * sizeof *text);
    for (size_t k = 0; k < b->n_assumed; k++) {
        const struct bt_leaf *leaf = b->assumed[k].leaf;
        text[k] =
            leaf ? bt_arena_format(a, "%s: %s (%s)", leaf->label,
                                   bt_leaf_range_text(w, leaf), bt_seen_word(leaf->seen))
                 : b->assumed[k].sentence;
    }
    return text;
}

const char *bt_rate_check_text(const struct bt_show *w, const struct bt_budget *b)
{
    struct bt_arena *a = w->arena;
    const double most = fmax(b->guide_rate_g_m2, b->beyond_soil_g_m2);
    const struct bt_as as =
        bt_in_field(w, BT_MASS_PER_AREA, most, (struct bt_as){1, "g/m2"});
    if (!(b->guide_rate_g_m2 > 0))
        return NULL;
    return bt_arena_format(
        a,
        "Guides would advise about %s %s of nitrogen as fertiliser for these crops on "
        "ordinary soil; here they need about %s %s beyond what this soil gives.",
        bt_figures_short(a, b->guide_rate_g_m2 * as.per_inside, BT_FIGURES_FIRST), as.unit,
        bt_figures_short(a, b->beyond_soil_g_m2 * as.per_inside, BT_FIGURES_FIRST),
        as.unit);
}
