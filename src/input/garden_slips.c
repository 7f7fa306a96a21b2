/* Slips that are found in print and get typed in: a rate per square foot for one per 100
 * square feet, an element for its oxide, cubic feet for cubic yards, urea with the label of
 * another salt. Each shows in a figure that no handbook gives; the message names the slip.
 */
#include "input/garden_read.h"

#include <math.h>
#include <string.h>

#include "base/figures.h"
#include "base/text.h"
#include "input/number.h"
#include "input/ratings.h"

static const struct bt_row *figure_of(const struct bt_gr *g, const char *quantity)
{
    return bt_handbook_row(g->handbook, "soils", "any", quantity);
}

/* ---- rates ---- */

/* What is mixed up, by the unit as typed. */
struct slip {
    const char *in_unit; /* part of the unit's right side */
    const char *text;
};

static const struct slip slips[] = {
    {"1000",  "per 1,000 square feet where per acre was meant?"                         },
    {"1,000", "per 1,000 square feet where per acre was meant?"                         },
    {"100",   "per 100 square feet where per 1,000 was meant?"                          },
    {"ft",    "per square foot where per 100 (or 1,000) square feet was meant?"         },
    {"foot",  "per square foot where per 100 (or 1,000) square feet was meant?"         },
    {"feet",  "per square foot where per 100 (or 1,000) square feet was meant?"         },
    {"m2",    "per square metre where per 100 was meant, or kilograms where grams were?"},
    {"met",   "per square metre where per 100 was meant, or kilograms where grams were?"},
    {"ac",    "the weight of the bag where that of the nutrient was meant?"             },
    {"ha",    "the weight of the bag where that of the nutrient was meant?"             },
};

static const char *slip_in(struct bt_gr *g, const char *unit)
{
    const char *plain = bt_plain(g->arena, unit);
    const char *right = strchr(plain, '/');
    if (!right)
        right = strstr(plain, " per ");
    for (size_t i = 0; right && i < sizeof slips / sizeof *slips; i++)
        if (strstr(right, slips[i].in_unit))
            return slips[i].text;
    return "look at the weight and at the area";
}

/* Three figures, without an exponent. */
static const char *figures(struct bt_gr *g, double x)
{
    return bt_arena_format(g->arena, fabs(x) < 1000 ? "%.3g" : "%.0f", x);
}

const char *bt_gr_rate_text(struct bt_gr *g, double rate_g_m2)
{
    const double lb = bt_units_factor_to(g->units, g->arena, "lb/1000 sq ft");
    return bt_arena_format(g->arena, "%s g/m2, %s lb/1000 sq ft", figures(g, rate_g_m2),
                           figures(g, rate_g_m2 * lb));
}

bool bt_gr_rate_is_possible(struct bt_gr *g, const struct bt_quantity *q,
                            const char *column, const char *nutrient, const char *highest)
{
    const struct bt_row *limit = figure_of(g, highest);
    if (q->presence != BT_GIVEN || q->word || !limit ||
        !(q->range.likely > limit->range.likely))
        return true;
    const char *slip =
        slip_in(g, q->unit.text && *q->unit.text ? q->unit.text : q->cell.text);
    bt_gr_error(g, &q->cell, column,
                bt_arena_format(g->arena, "at most %s of %s; no guide gives half of that",
                                bt_gr_rate_text(g, limit->range.likely), nutrient),
                bt_arena_format(g->arena, "this comes to %s of %s: %s",
                                bt_gr_rate_text(g, q->range.likely), nutrient, slip));
    return false;
}

/* ---- additions ---- */

/* The share that works in the first season, so that rock powders and composts are not
 * doubted. */
static double working_share(const struct bt_gr *g, const struct bt_application *x,
                            const char *available)
{
    const struct bt_row *row =
        available ? bt_handbook_follow(g->handbook, "materials", x->material, available)
                  : NULL;
    return row ? row->range.likely : available && available[0] == 'n' ? 0 : 1;
}

/* What may be wrong with an amount, by what was typed. */
static const char *amount_slip(struct bt_gr *g, const struct bt_application *x)
{
    const struct bt_dim dim = x->amount.unit.dim;
    if (x->amount.unit.per)
        return bt_arena_format(g->arena, "look at the amount for one %s",
                               x->amount.unit.per);
    if (bt_dim_same(dim, BT_MASS_PER_AREA))
        return slip_in(g, x->amount.unit.text);
    if (bt_dim_same(dim, BT_MASS) && !x->measure_working)
        return "look at the weight (ten or a thousand times too much?) and at the area of "
               "the bed";
    return "look at the amount, its unit and the area of the bed";
}

/* True when nothing is wrong with it. `n_available`: the row that says which share of its
 * nitrogen counts, NULL for all. */
static bool dose(struct bt_gr *g, const struct bt_application *x, const char *n_available)
{
    const struct {
        const char *quantity, *available, *nutrient, *highest;
    } part[] = {
        {"n",    n_available,      "nitrogen",  "highest_rate_n"   },
        {"p2o5", "p2o5_available", "phosphate", "highest_rate_p2o5"},
        {"k2o",  "k2o_available",  "potash",    "highest_rate_k2o" }
    };
    const struct bt_quantity *own[] = {NULL, x->own ? &x->own->p2o5 : NULL,
                                       x->own ? &x->own->k2o : NULL};
    const size_t n = n_available ? 1 : 3; /* of a compost phosphate is no slip */
    for (size_t i = 0; i < n; i++) {
        const struct bt_row *limit = figure_of(g, part[i].highest);
        const double total =
            i == 0 ? x->n_g_m2
                   : x->spread_g_m2 * bt_gr_content(g, x, own[i], part[i].quantity);
        const double rate = total * working_share(g, x, part[i].available);
        if (!limit || !(rate > limit->range.likely))
            continue;
        bt_gr_warn(g, &x->amount.cell, "amount",
                   bt_arena_format(g->arena, "at most %s of %s in one dose of %s",
                                   bt_gr_rate_text(g, limit->range.likely),
                                   part[i].nutrient, x->written),
                   bt_arena_format(
                       g->arena, "this comes to %s%s: %s", bt_gr_rate_text(g, rate),
                       n_available ? " that works this season" : "", amount_slip(g, x)));
        return false;
    }
    return true;
}

/* True when nothing is wrong with it. */
static bool layer(struct bt_gr *g, const struct bt_application *x)
{
    static const double CM = 100;
    const struct bt_row *deepest = figure_of(g, "deepest_layer");
    const double depth_m = x->depth_m;
    if (!deepest || x->placement == BT_FILLING || !(depth_m > deepest->range.likely))
        return true;
    const double yard = bt_units_factor_to(g->units, g->arena, "cu yd");
    const bool in_yards = bt_dim_same(x->amount.unit.dim, BT_VOLUME) &&
                          fabs(x->amount.unit.factor * yard - 1) < 1e-6;
    const bool is_depth = bt_dim_same(x->amount.unit.dim, BT_LENGTH);
    bt_gr_warn(
        g, &x->amount.cell, "amount",
        bt_arena_format(g->arena, "a layer of at most %s cm where nothing is filled",
                        bt_figures_short(g->arena, CM * deepest->range.likely, 3)),
        bt_arena_format(g->arena, "this lies %.0f cm (%.0f in) deep on %s%s", CM * depth_m,
                        depth_m / BT_M_PER_INCH, g->garden->bed[x->bed[0]].id,
                        in_yards   ? "; a cubic yard is 27 cubic feet, not 3"
                        : is_depth ? "; is that a depth? Was the bed filled with it "
                                     "(placement filling)?"
                                   : "; look at the amount, or was the bed filled with "
                                     "it (placement filling)?"));
    return false;
}

/* `2 oz/plant` on a day when none is counted there. */
static void nobody_there(struct bt_gr *g, const struct bt_application *x)
{
    const char *each = x->amount.unit.per;
    const char *beds = g->garden->bed[x->bed[0]].id;
    if (x->n_beds > 1)
        beds = bt_arena_format(g->arena, "%s and %zu more", beds, x->n_beds - 1);
    bt_gr_warn(g, &x->amount.cell, "amount",
               bt_arena_format(g->arena, "counted %ss in %s on %s", each, beds,
                               bt_date_iso(g->arena, x->date.day)),
               bt_arena_format(g->arena,
                               "none stands there on that day, so nothing is counted: look "
                               "at the date, at in_ground and at %s of the plantings",
                               bt_text_is(each, "pot") ? "the pots" : "the plants"));
}

static void check_application(struct bt_gr *g, const struct bt_application *x)
{
    const char *kind = x->material
                           ? bt_handbook_word(g->handbook, "materials", x->material, "kind")
                           : NULL;
    const bool counts = x->amount.presence == BT_GIVEN && !x->amount.word;
    const bool again = x->part > 1 && (x[-1].counted > 0) == (x->counted > 0);
    if (!counts || again)
        return;
    if (x->amount.unit.per && !(x->counted > 0)) {
        nobody_there(g, x);
        return;
    }
    const bool quick = kind && (bt_text_is(kind, "mineral") || bt_text_is(kind, "meal"));
    const bool slow = kind && (bt_text_is(kind, "compost") || bt_text_is(kind, "manure"));
    const bool filled = x->placement == BT_FILLING;
    if (quick && !dose(g, x, NULL))
        return;
    if (kind && layer(g, x) && slow && !filled)
        (void)dose(g, x, "n_available_1");
}

/* ---- harvests ---- */

/* The ground that so many plants can use: thinned ones grow larger (docs/model.md). */
static double ground_of(const struct bt_gr *g, const struct bt_planting *p)
{
    const struct bt_row *stand = bt_handbook_follow(g->handbook, "crops", p->crop, "stand");
    const struct bt_row *thinning =
        bt_handbook_row(g->handbook, "intercrops", "any", "thinning");
    const double count = bt_planting_count(g->handbook, p), area_m2 = p->bed->area_m2;
    const double k = thinning ? thinning->range.low : 1;
    if (!(count > 0) || !stand || !(stand->range.likely > 0))
        return area_m2;
    const double d = count / (area_m2 * stand->range.likely);
    return area_m2 * (d > 1 ? d : d / (k + (1 - k) * d));
}

static void check_yield(struct bt_gr *g, const struct bt_planting *p,
                        const struct bt_quantity *q, const char *column)
{
    const struct bt_row *times = figure_of(g, "highest_yield");
    const struct bt_row *good =
        bt_handbook_follow(g->handbook, "crops", p->crop, "yield_good");
    if (!good)
        good = bt_handbook_follow(g->handbook, "crops", p->crop, "yield");
    if (q->presence != BT_GIVEN || q->word || !good || !times)
        return;
    const double ground_m2 = ground_of(g, p);
    const double typed_g = bt_dim_same(q->unit.dim, BT_MASS)
                               ? q->range.likely
                               : q->range.likely * p->bed->area_m2;
    const double most_g = good->range.high * ground_m2;
    if (!(typed_g > times->range.likely * most_g))
        return;
    const bool us = g->garden->us_units;
    const double unit = bt_units_factor_to(g->units, g->arena, us ? "lb" : "kg");
    bt_gr_warn(
        g, &q->cell, column,
        bt_arena_format(g->arena, "about %s %s, a good harvest of so much %s",
                        figures(g, most_g * unit), us ? "lb" : "kg", p->written),
        bt_arena_format(g->arena,
                        "this is %s times that: look at the weight, its unit, the number "
                        "of plants and the area of %s",
                        figures(g, typed_g / most_g), p->bed->id));
}

/* ---- materials ---- */

/* A salt has one composition, whatever a list says of it. */
static bool is_salt(const struct bt_gr *g, const char *key)
{
    const char *kind = bt_handbook_word(g->handbook, "materials", key, "kind");
    return kind && bt_text_is(kind, "mineral") && !strstr(key, "fertiliser");
}

/* Which salt it is that holds so much nitrogen, "" for none. */
static const char *salt_with(struct bt_gr *g, double n_frac)
{
    const char *const *key;
    const size_t n = bt_handbook_keys(g->handbook, "materials", &key);
    for (size_t i = 0; i < n; i++) {
        const struct bt_row *row = bt_handbook_row(g->handbook, "materials", key[i], "n");
        if (row && row->range.likely > 0 && is_salt(g, key[i]) &&
            fabs(row->range.likely - n_frac) < 0.006)
            return bt_arena_format(g->arena, "; %.0f %% is %s", 100 * n_frac, key[i]);
    }
    return "";
}

static void check_salt(struct bt_gr *g, const struct bt_material *m)
{
    static const double ROUNDING = 0.06; /* of a label */
    if (!m->like || !is_salt(g, m->like) || m->n.presence != BT_GIVEN || m->n.word)
        return;
    const struct bt_row *row = bt_handbook_row(g->handbook, "materials", m->like, "n");
    const double typed = m->n.range.likely;
    if (!row || (typed >= row->range.low * (1 - ROUNDING) &&
                 typed <= row->range.high * (1 + ROUNDING)))
        return;
    bt_gr_warn(
        g, &m->n.cell, "n",
        bt_arena_format(g->arena, "%s %% nitrogen, which is what %s holds",
                        bt_figures_short(g->arena, 100 * row->range.likely, 3), m->like),
        bt_arena_format(g->arena, "%s %% was typed%s",
                        bt_figures_short(g->arena, 100 * typed, 3), salt_with(g, typed)));
}

void bt_gr_check_label(struct bt_gr *g, const struct bt_cell *label,
                       const struct bt_quantity *own, double label_frac, double factor,
                       const char *oxide)
{
    static const double ROUNDING = 0.1;
    if (own->presence != BT_GIVEN || own->word || !(label_frac > 0) ||
        own->cell.at.field == label->at.field)
        return;
    const double typed = own->range.likely;
    if (fabs(typed - label_frac) <= ROUNDING * label_frac)
        return;
    const bool as_element = fabs(typed / factor - label_frac) <= ROUNDING * label_frac;
    bt_gr_warn(g, label, "label",
               bt_arena_format(g->arena, "the %s of its own column, %s %%", oxide,
                               bt_figures_short(g->arena, 100 * typed, 3)),
               as_element ? bt_arena_format(
                                g->arena,
                                "this label counts the element: %s is %.4f times as much. "
                                "The column counts, the label does not",
                                oxide, factor)
                          : "the column counts, the label does not");
}

/* ---- measures ---- */

void bt_gr_check_measure(struct bt_gr *g, const struct bt_measure *m,
                         const struct bt_cell *cell)
{
    static const char *const yards[] = {"yard", "yd", "cubic yard", "cu yd"};
    static const double ROUNDING = 0.05;
    const double yard_m3 = 1 / bt_units_factor_to(g->units, g->arena, "cu yd");
    for (size_t i = 0; i < sizeof yards / sizeof *yards; i++)
        if (bt_text_is(m->name, yards[i]) && m->volume_m3 > 0 &&
            fabs(m->volume_m3 - yard_m3) > ROUNDING * yard_m3)
            bt_gr_warn(g, cell, "amount", "27 cu ft in a cubic yard",
                       "three feet each way: 3 x 3 x 3");
}

void bt_garden_check_slips(struct bt_gr *g)
{
    const struct bt_garden *b = g->garden;
    for (size_t i = 0; i < b->n_materials; i++)
        check_salt(g, &b->material[i]);
    for (size_t i = 0; i < b->n_applications; i++)
        check_application(g, &b->application[i]);
    for (size_t i = 0; i < b->n_plantings; i++) {
        check_yield(g, &b->planting[i], &b->planting[i].expected, "expected");
        check_yield(g, &b->planting[i], &b->planting[i].weighed, "weighed");
    }
}
