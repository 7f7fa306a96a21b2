/* What a garden's season is called and which year its sums go by. A season over New Year
 * bears two years, whichever of them was typed. */
#include "input/garden.h"

static int year_of(int day)
{
    int year, month, dom;
    bt_civil(day, &year, &month, &dom);
    return year;
}

int bt_garden_season_year(const struct bt_garden *g)
{
    return year_of(g->season_end);
}

int bt_season_of(const struct bt_garden *g, int day)
{
    int year, month, dom, end_month, end_dom, unused;
    bt_civil(day, &year, &month, &dom);
    bt_civil(g->season_end, &unused, &end_month, &end_dom);
    return month > end_month || (month == end_month && dom > end_dom) ? year + 1 : year;
}

bool bt_garden_over_new_year(const struct bt_garden *g)
{
    return year_of(g->season_start) < year_of(g->season_end);
}

const char *bt_garden_season_name(struct bt_arena *a, const struct bt_garden *g)
{
    return bt_garden_over_new_year(g)
               ? bt_arena_format(a, "%d/%02d", year_of(g->season_start),
                                 year_of(g->season_end) % 100)
               : bt_arena_format(a, "%d", g->season);
}

const char *bt_garden_day(struct bt_arena *a, const struct bt_garden *g, int day)
{
    const char *words = bt_date_words(a, day);
    const bool plain =
        year_of(day) == bt_garden_season_year(g) && !bt_garden_over_new_year(g);
    return plain ? words : bt_arena_format(a, "%s %d", words, year_of(day));
}

const char *bt_garden_period(struct bt_arena *a, const struct bt_garden *g)
{
    const char *first = bt_date_words(a, g->season_start);
    const char *last = bt_date_words(a, g->season_end);
    return bt_garden_over_new_year(g)
               ? bt_arena_format(a, "%s %d to %s %d", first, year_of(g->season_start), last,
                                 year_of(g->season_end))
               : bt_arena_format(a, "%s to %s %d", first, last, year_of(g->season_end));
}
