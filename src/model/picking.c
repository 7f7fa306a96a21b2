#include "model/picking.h"

#include <math.h>

#include "base/date.h"
#include "base/text.h"

static const struct bt_row *number_row(const struct bt_handbook *h, const char *table,
                                       const char *key, const char *quantity)
{
    const struct bt_row *row = bt_handbook_follow(h, table, key, quantity);
    return row && !row->word ? row : NULL;
}

static double likely(const struct bt_handbook *h, const char *quantity)
{
    const struct bt_row *row = number_row(h, "soils", "any", quantity);
    return row ? row->range.likely : 0;
}

static bool is_eaten(const struct bt_handbook *h, const struct bt_planting *p,
                     const char *eaten)
{
    const char *form = bt_handbook_word(h, "crops", p->crop, "form");
    if (p->picked & BT_PICKED_NOTHING)
        return false;
    if (p->picked != BT_PICKED_UNKNOWN)
        return true;
    if (eaten)
        return !bt_text_is(eaten, "not-eaten");
    return !form || !(bt_text_is(form, "cover") || bt_text_is(form, "flower"));
}

/* A perennial: its season of picking, in the garden's year. */
static void by_day_of_year(const struct bt_handbook *h, const struct bt_garden *g,
                           const struct bt_planting *p, struct bt_picking *x)
{
    const struct bt_row *from = number_row(h, "crops", p->crop, "picked_from");
    const struct bt_row *to = number_row(h, "crops", p->crop, "picked_to");
    const int before_new_year = bt_day(g->season, 1, 1) - 1;
    x->first = from ? before_new_year + (int)floor(from->range.low) : g->season_start;
    x->last = to ? before_new_year + (int)ceil(to->range.high) : g->season_end;
    if (p->in_ground.known && p->in_ground.day > x->first)
        x->first = p->in_ground.day;
}

static void by_age(const struct bt_handbook *h, const struct bt_garden *g,
                   const struct bt_planting *p, struct bt_picking *x)
{
    const struct bt_row *pick = number_row(h, "crops", p->crop, "first_pick");
    const struct bt_row *days = number_row(h, "crops", p->crop, "days");
    const int from =
        p->in_ground.known ? p->in_ground.day - p->in_ground.width_d / 2 : g->season_start;
    double age_d = 0;
    if (pick)
        age_d = pick->range.low;
    else if (days)
        age_d = days->range.low * likely(h, "first_pick_share");
    x->first = from + (int)floor(age_d);
    x->last =
        days ? from + p->in_ground.width_d + (int)ceil(days->range.high) : g->season_end;
}

/* What was weighed tells when it was picked. */
static void by_harvests(const struct bt_garden *g, size_t number, struct bt_picking *x)
{
    for (size_t i = 0; i < g->n_harvests; i++) {
        const struct bt_harvest *e = &g->harvest[i];
        int year, month, dom;
        if (e->planting != number || !e->date.known)
            continue;
        bt_civil(e->date.day, &year, &month, &dom);
        if (year != g->season)
            continue;
        x->first = e->date.day < x->first ? e->date.day : x->first;
        x->last = e->date.day > x->last ? e->date.day : x->last;
    }
}

struct bt_picking bt_picking_of(const struct bt_handbook *h, const struct bt_garden *g,
                                size_t number)
{
    const struct bt_planting *p = &g->planting[number];
    const char *eaten = bt_handbook_word(h, "crops", p->crop, "eaten");
    struct bt_picking x = {.is_eaten = is_eaten(h, p, eaten)};
    if (!x.is_eaten)
        return x;
    x.off_ground = eaten && bt_text_is(eaten, "off-ground");
    x.wait_d = (int)likely(h, x.off_ground ? "manure_wait_off_ground" : "manure_wait");
    const char *form = bt_handbook_word(h, "crops", p->crop, "form");
    if (form && bt_text_is(form, "perennial"))
        by_day_of_year(h, g, p, &x);
    else
        by_age(h, g, p, &x);
    if (p->ended.known) {
        const int ended = p->ended.day + p->ended.width_d / 2;
        x.last = ended;
        x.first = x.first < ended ? x.first : ended;
    }
    by_harvests(g, number, &x);
    return x;
}

bool bt_picked_too_soon(const struct bt_picking *p, int day)
{
    return p->is_eaten && day <= p->last && day + p->wait_d > p->first;
}
