/* The dates of a bed's account, the nitrate test that may start it, and the clock of soil
 * warmth. */
#include <math.h>
#include <stdlib.h>

#include "model/season_bind.h"

enum {
    RESET_BEFORE_SEASON_D =
        60,          /* a test at most this long before the season is of this season */
    SEASONS_BACK = 4 /* older deeds have nothing left to give */
};

size_t bt_date_index(const struct bt_binding *b, int day)
{
    size_t k = 0;
    while (k + 1 < b->n_dates && b->date[k + 1] <= day)
        k++;
    return k;
}

double bt_released(const struct bt_binding *b, const struct bt_release *r, int day)
{
    if (day < r->from)
        return 0;
    double share =
        r->at_once + r->by_rate * bt_released_share(r->rate_per_d, day - r->from);
    if (r->by_warmth != 0) {
        const double warm = bt_clock_between(&b->clock, r->from, day) / b->full_season;
        share += r->by_warmth * (warm < 1 ? warm : 1);
    }
    if (r->evenly != 0)
        share +=
            r->evenly *
            (day >= r->until ? 1 : (double)(day - r->from) / (double)(r->until - r->from));
    return share;
}

static double given_or(struct bt_binding *b, const struct bt_quantity *q,
                       const char *quantity)
{
    if (bt_given(q))
        return q->range.likely;
    return bt_bind_likely(b, "soils", b->garden->warmth, quantity);
}

static void wind_clock(struct bt_binding *b)
{
    const struct bt_garden *g = b->garden;
    const struct bt_climate climate = {
        .mean_degc = given_or(b, &g->mean_temperature, "mean_temperature"),
        .half_range_degc =
            given_or(b, &g->temperature_half_range, "temperature_half_range"),
        .soil_above_air_degc = bt_bind_likely(b, "soils", "temperature", "soil_above_air"),
        .depth_m = bt_bind_likely(b, "soils", "temperature", "depth"),
        .damping_depth_m = bt_bind_likely(b, "soils", "temperature", "damping_depth"),
        .coldest_day = bt_bind_likely(b, "soils", "temperature", "coldest_day"),
        .response_a = bt_bind_likely(b, "soils", "temperature", "response_a"),
        .response_b = bt_bind_likely(b, "soils", "temperature", "response_b"),
        .zero_below_degc = bt_bind_likely(b, "soils", "temperature", "zero_below"),
        .linear_to_degc = bt_bind_likely(b, "soils", "temperature", "linear_to"),
        .highest_degc = bt_bind_likely(b, "soils", "temperature", "highest")};
    b->clock = bt_clock_new(b->arena, &climate, bt_day(b->season - SEASONS_BACK, 1, 1),
                            bt_day(b->season + 1, 12, 31));
    /* The growing season that the rules of thumb are rates of; a longer season of the
     * garden spreads the same release, a shorter one gets its part. */
    const double usual =
        bt_clock_between(&b->clock, bt_day(b->season, 5, 1), bt_day(b->season, 10, 1));
    const double own = bt_clock_between(&b->clock, g->season_start, g->season_end);
    b->full_season = own > usual ? own : usual;
}

static bool of_this_bed(const struct bt_binding *b, size_t n, const size_t *bed)
{
    for (size_t i = 0; i < n; i++)
        if (bed[i] == b->bed_index)
            return true;
    return false;
}

static void find_tests(struct bt_binding *b)
{
    const struct bt_garden *g = b->garden;
    for (size_t i = 0; i < g->n_tests; i++) {
        const struct bt_soil_test *t = &g->test[i];
        if (!of_this_bed(b, t->n_beds, t->bed))
            continue;
        const int day = t->date.known ? t->date.day : g->season_start - 1;
        if (bt_given(&t->organic_matter) && day <= g->season_end &&
            (!b->om_test || !b->om_test->date.known || day >= b->om_test->date.day))
            b->om_test = t;
        if (!bt_given(&t->nitrate_n))
            continue;
        if (!t->date.known || day > g->season_end ||
            day < g->season_start - RESET_BEFORE_SEASON_D) {
            bt_bind_understood(
                b, bt_bind_text(
                       b, "The nitrate test %s is not of this season and is not used.",
                       t->sample));
            continue;
        }
        if (!b->reset || day >= b->reset->date.day)
            b->reset = t;
    }
}

static void add_date(struct bt_binding *b, int day)
{
    if (day > b->start && day < b->end)
        b->date[b->n_dates++] = day;
}

static int by_day(const void *x, const void *y)
{
    const int a = *(const int *)x, b = *(const int *)y;
    return (a > b) - (a < b);
}

/* Start, end, every date of the bed's rows, the day before each addition, the 1st and 15th
 * between. */
static void lay_dates(struct bt_binding *b)
{
    const struct bt_garden *g = b->garden;
    const size_t most = 2 + 2 * g->n_plantings + 2 * g->n_applications + g->n_tests +
                        2 * g->n_waters + (size_t)(b->end - b->start) / 14 + 4;
    b->date = bt_arena_alloc(b->arena, most * sizeof *b->date);
    b->n_dates = 0;
    for (size_t i = 0; i < g->n_plantings; i++)
        if (g->planting[i].bed_index == b->bed_index) {
            add_date(b, g->planting[i].in_ground.day);
            if (g->planting[i].ended.known)
                add_date(b, g->planting[i].ended.day);
        }
    for (size_t i = 0; i < g->n_applications; i++)
        if (of_this_bed(b, g->application[i].n_beds, g->application[i].bed)) {
            add_date(b, g->application[i].date.day);
            add_date(b, g->application[i].date.day - 1);
        }
    for (int day = b->start; day < b->end; day++) {
        int year, month, dom;
        bt_civil(day, &year, &month, &dom);
        if (dom == 1 || dom == 15)
            add_date(b, day);
    }
    b->date[b->n_dates++] = b->start;
    b->date[b->n_dates++] = b->end;
    qsort(b->date, b->n_dates, sizeof *b->date, by_day);
    size_t n = 0;
    for (size_t k = 0; k < b->n_dates; k++)
        if (n == 0 || b->date[k] != b->date[n - 1])
            b->date[n++] = b->date[k];
    b->n_dates = n;
}

bool bt_bind_time(struct bt_binding *b)
{
    const struct bt_garden *g = b->garden;
    int month, dom;
    b->season = bt_garden_season_year(g);
    bt_civil(g->season_start, &b->winter_year, &month, &dom);
    wind_clock(b);
    find_tests(b);
    b->end = g->season_end;
    b->start = b->reset ? b->reset->date.day : g->season_start;
    if (b->start >= b->end)
        b->start = b->end - 1;
    lay_dates(b);
    if (b->reset)
        bt_bind_understood(
            b, bt_bind_text(
                   b,
                   "The nitrate test of %s starts the account: what was there or taken up "
                   "before it is in the reading.",
                   bt_date_words(b->arena, b->reset->date.day)));
    return !b->failed;
}
