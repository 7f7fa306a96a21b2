/* What an addition comes to on the ground it lies on, whatever unit it was typed in: the
 * weight and the depth that the checks hold against what is possible, and that `check`
 * shows. At likely values; src/model/season_amounts.c has the ranges. */
#include "input/garden_read.h"

#include <limits.h>
#include <math.h>

#include "base/text.h"

double bt_gr_content(const struct bt_gr *g, const struct bt_application *x,
                     const struct bt_quantity *own, const char *quantity)
{
    if (x->own && own && own->presence == BT_GIVEN && !own->word)
        return own->range.likely;
    const struct bt_row *row =
        x->material ? bt_handbook_follow(g->handbook, "materials", x->material, quantity)
                    : NULL;
    return row ? row->range.likely : 0;
}

static int last_day(const struct bt_gr *g, const struct bt_planting *p, int from)
{
    const struct bt_row *days = bt_handbook_follow(g->handbook, "crops", p->crop, "days");
    if (p->ended.known)
        return p->ended.day;
    if (bt_handbook_follow(g->handbook, "crops", p->crop, "recycled"))
        return INT_MAX;
    return from + (days ? (int)lround(days->range.likely) : 0);
}

/* Plants (or mounds) put into the bed that day, else all that stand. */
static double plants_on(const struct bt_gr *g, size_t bed, int day, bool groups)
{
    const struct bt_garden *b = g->garden;
    double put_in = 0, standing = 0;
    for (size_t i = 0; i < b->n_plantings; i++) {
        const struct bt_planting *p = &b->planting[i];
        if (p->bed_index != bed || !p->crop)
            continue;
        const double count = bt_planting_count(g->handbook, p);
        const double n = groups && count > 0 ? p->plants.groups : count;
        const int from = p->in_ground.known ? p->in_ground.day : b->season_start;
        if (from == day)
            put_in += n;
        if (from <= day && day < last_day(g, p, from))
            standing += n;
    }
    return put_in > 0 ? put_in : standing;
}

static double how_many(const struct bt_gr *g, const struct bt_application *x)
{
    const char *each = x->amount.unit.per;
    double n = 0;
    for (size_t k = 0; k < x->n_beds; k++)
        n += bt_text_is(each, "pot")
                 ? g->garden->bed[x->bed[k]].pots
                 : plants_on(g, x->bed[k], x->date.day, !bt_text_is(each, "plant"));
    return n;
}

static void weigh(struct bt_gr *g, struct bt_application *x)
{
    const struct bt_dim dim = x->amount.unit.dim;
    double area_m2 = 0, amount = x->amount.range.likely;
    for (size_t k = 0; k < x->n_beds; k++)
        area_m2 += g->garden->bed[x->bed[k]].area_m2;
    if (x->amount.presence != BT_GIVEN || x->amount.word || !(area_m2 > 0))
        return;
    if (x->amount.unit.per) {
        x->counted = how_many(g, x);
        amount *= x->counted;
    }
    if (bt_dim_same(dim, BT_MASS) || bt_dim_same(dim, BT_VOLUME))
        amount /= area_m2;
    const double density = bt_gr_content(g, x, x->own ? &x->own->density : NULL, "density");
    if (bt_dim_same(dim, BT_MASS) || bt_dim_same(dim, BT_MASS_PER_AREA)) {
        x->spread_g_m2 = amount;
        x->depth_m = density > 0 ? amount / density : 0;
    } else { /* a depth, or a volume by now over its area */
        x->depth_m = amount;
        x->spread_g_m2 = amount * density;
    }
}

/* Total nitrogen in it: of what is dry, where the analysis counts dry matter. */
static double nitrogen(const struct bt_gr *g, const struct bt_application *x)
{
    const bool own = x->own && x->own->n.presence == BT_GIVEN;
    const struct bt_row *row =
        x->material ? bt_handbook_follow(g->handbook, "materials", x->material, "n") : NULL;
    const bool dry = own ? x->own->dry_basis : row && bt_text_is(row->basis, "dry");
    const double moisture =
        dry ? bt_gr_content(g, x, x->own ? &x->own->moisture : NULL, "moisture") : 0;
    return x->spread_g_m2 * (1 - moisture) *
           bt_gr_content(g, x, x->own ? &x->own->n : NULL, "n");
}

void bt_garden_weigh(struct bt_gr *g)
{
    struct bt_garden *b = g->garden;
    for (size_t i = 0; i < b->n_applications; i++) {
        weigh(g, &b->application[i]);
        b->application[i].n_g_m2 = nitrogen(g, &b->application[i]);
    }
}
