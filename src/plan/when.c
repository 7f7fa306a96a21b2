#include "plan/when.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "plan/candidate.h"

enum {
    TOO_NEAR_D = 7,     /* two days of work that are one */
    SPLIT_D = 14,       /* between doses of a split */
    SPLIT_COARSE_D = 7, /* ... on coarse soil */
    TOO_LATE_D = 14,    /* before the end of a crop nothing is fed any more */
    SLOTS_MOST = 48
};

int bt_first_day(const struct bt_garden *g)
{
    return g->as_of < g->season_start ? g->season_start : g->as_of + 1;
}

bool bt_is_coarse(const struct bt_bed *bed)
{
    return bed->texture &&
           (bt_text_is(bed->texture, "sand") || bt_text_is(bed->texture, "loamy sand"));
}

void bt_stay_of(const struct bt_handbook *h, const struct bt_garden *g,
                const struct bt_planting *p, int *out_from, int *out_to)
{
    const double days = bt_row_likely(h, "crops", p->crop, "days");
    *out_from = p->in_ground.known ? p->in_ground.day : g->season_start;
    *out_to = g->season_end;
    if (p->ended.known)
        *out_to = p->ended.day;
    else if (isfinite(days))
        *out_to = *out_from + (int)lround(days);
    const char *form = bt_handbook_word(h, "crops", p->crop, "form");
    if (!p->ended.known && form && bt_text_is(form, "perennial"))
        *out_to = g->season_end;
    *out_to = *out_to < g->season_end ? *out_to : g->season_end;
}

struct list {
    size_t n;
    struct bt_slot *slot;
};

static void add(struct list *l, struct bt_slot s)
{
    if (l->n < SLOTS_MOST)
        l->slot[l->n++] = s;
}

/* Just before the rapid phase: by the handbook's stage of this crop, else the day by which
 * a tenth of the uptake is done. As a share of its time. */
static double side_dress_at(const struct bt_handbook *h, const char *crop)
{
    const double stage_frac = bt_row_likely(h, "crops", crop, "sidedress_day");
    const double midpoint = bt_row_likely(h, "crops", crop, "uptake_midpoint");
    const double steepness = bt_row_likely(h, "crops", crop, "uptake_steepness");
    if (isfinite(stage_frac))
        return stage_frac;
    if (!isfinite(midpoint) || !(steepness > 0))
        return (double)NAN;
    const double early = midpoint - log(9) / steepness;
    return early > 0 ? early : 0;
}

static void add_dressings(struct bt_arena *a, struct list *l, const struct bt_handbook *h,
                          const struct bt_planting *p, int from, int to)
{
    const double again[] = {side_dress_at(h, p->crop),
                            bt_row_likely(h, "crops", p->crop, "sidedress_day_2")};
    for (size_t k = 0; k < sizeof again / sizeof *again; k++)
        if (isfinite(again[k]))
            add(l, (struct bt_slot){
                       .day = from + (int)lround(again[k] * (to - from)),
                       .stage = bt_arena_format(a, "side-dressing of %s", p->written),
                       .planting = p,
                       .for_quick = true});
}

static int by_day(const void *x, const void *y)
{
    const struct bt_slot *a = x, *b = y;
    if (a->day != b->day)
        return a->day > b->day ? 1 : -1;
    return b->for_early - a->for_early; /* what is early names the day */
}

/* Sorted; days too near each other become the first of them. */
static void tidy(struct list *l, int first, int last)
{
    size_t n = 0;
    qsort(l->slot, l->n, sizeof *l->slot, by_day);
    for (size_t i = 0; i < l->n; i++) {
        const struct bt_slot *s = &l->slot[i];
        if (s->day < first || s->day > last)
            continue;
        if (n > 0 && s->day - l->slot[n - 1].day < TOO_NEAR_D) {
            l->slot[n - 1].for_early |= s->for_early;
            l->slot[n - 1].for_quick |= s->for_quick;
            continue;
        }
        l->slot[n++] = *s;
    }
    l->n = n;
}

static void split(struct list *l, const struct bt_bed *bed, int last)
{
    const int step_d = bt_is_coarse(bed) ? SPLIT_COARSE_D : SPLIT_D;
    const size_t n = l->n;
    for (size_t i = 0; i < n; i++) {
        const struct bt_slot from = l->slot[i];
        const int until = i + 1 < n ? l->slot[i + 1].day - TOO_NEAR_D : last;
        for (int day = from.day + step_d; from.for_quick && day <= until; day += step_d)
            add(l, (struct bt_slot){.day = day,
                                    .stage = "split dose",
                                    .planting = from.planting,
                                    .for_quick = true});
    }
    qsort(l->slot, l->n, sizeof *l->slot, by_day);
}

size_t bt_slots(struct bt_arena *a, const struct bt_handbook *h, const struct bt_budget *b,
                bool often, struct bt_slot **out)
{
    const struct bt_garden *g = b->garden;
    const int first = bt_first_day(g);
    struct list l = {0, bt_arena_alloc(a, SLOTS_MOST * sizeof *l.slot)};
    int last = first - 1;
    bool stands = false;
    for (size_t i = 0; i < b->n_plantings; i++) {
        const struct bt_planting *p = b->planting[i].planting;
        int from, to;
        bt_stay_of(h, g, p, &from, &to);
        if (to - TOO_LATE_D < first)
            continue;
        last = to - TOO_LATE_D > last ? to - TOO_LATE_D : last;
        stands |= from <= first + TOO_NEAR_D;
        if (from > first)
            add(&l,
                (struct bt_slot){.day = from,
                                 .stage = bt_arena_format(a, "when %s goes in", p->written),
                                 .planting = p,
                                 .for_quick = true});
        add_dressings(a, &l, h, p, from, to);
    }
    if (last >= first)
        add(&l, (struct bt_slot){.day = first,
                                 .stage = stands ? "now" : "before planting",
                                 .for_early = true,
                                 .for_quick = stands});
    tidy(&l, first, last);
    if (often)
        split(&l, b->bed, last);
    *out = l.slot;
    return l.n;
}
