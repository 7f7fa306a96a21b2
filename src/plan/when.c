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
    MULCH_LEAD_D = 42,  /* a mulch gives its nitrogen over weeks */
    STAYS_MOST = 32,    /* plantings of a bed that are looked at */
    SLOTS_MOST = 64
};

int bt_first_day(const struct bt_garden *g)
{
    return g->as_of < g->season_start ? g->season_start : g->as_of + 1;
}

/* Sand and loamy sand: what is given at once is soon washed out. */
static bool is_coarse(const struct bt_bed *bed)
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

/* One planting that can still be fed: from when to when it stands, and until when it takes
 * up enough for quick nitrogen to be worth it. */
struct stay {
    const struct bt_planting *planting;
    int from, to, fed_until;
};

struct list {
    size_t n, n_stays;
    struct bt_slot *slot;
    struct stay *stay;
};

static void add(struct list *l, struct bt_slot s)
{
    if (l->n < SLOTS_MOST)
        l->slot[l->n++] = s;
}

/* ---- until when a planting is fed ---- */

static const struct bt_line *need_of(const struct bt_budget *b, const struct bt_planting *p)
{
    const struct bt_account *account = &b->account[BT_N];
    for (size_t k = 0; k < account->n_lines; k++)
        if (account->line[k].side == BT_DEMAND && account->line[k].planting == p)
            return &account->line[k];
    return NULL;
}

/* The day by which `share` of the season's need of a planting is taken up; `otherwise`
 * where the account has no such day. Straight between the dates of the account. */
static int taken_up_by(const struct bt_budget *b, const struct bt_planting *p, double share,
                       int otherwise)
{
    const struct bt_account *account = &b->account[BT_N];
    const struct bt_line *need = need_of(b, p);
    const double end =
        need && account->n_dates > 0 ? need->by_date[account->n_dates - 1] : 0;
    for (size_t t = 1; end > 0 && t < account->n_dates; t++) {
        const double before = need->by_date[t - 1] / end, now = need->by_date[t] / end;
        if (now < share)
            continue;
        const int days = account->date[t] - account->date[t - 1];
        const double part = now > before ? (share - before) / (now - before) : 0;
        return account->date[t - 1] + (int)(part > 0 ? part * days : 0);
    }
    return otherwise;
}

static int fed_until(const struct bt_handbook *h, const struct bt_budget *b,
                     const struct stay *s)
{
    const double share = bt_row_likely(h, "soils", "any", "feed_until");
    const int last = s->to - TOO_LATE_D;
    const int day = isfinite(share) ? taken_up_by(b, s->planting, share, last) : last;
    return day < last ? day : last;
}

static void list_stays(struct list *l, const struct bt_handbook *h,
                       const struct bt_budget *b)
{
    for (size_t i = 0; i < b->n_plantings && l->n_stays < STAYS_MOST; i++) {
        struct stay s = {.planting = b->planting[i].planting};
        bt_stay_of(h, b->garden, s.planting, &s.from, &s.to);
        s.fed_until = fed_until(h, b, &s);
        l->stay[l->n_stays++] = s;
    }
}

/* ---- days ---- */

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
                          const struct stay *s)
{
    const struct bt_planting *p = s->planting;
    const double again[] = {side_dress_at(h, p->crop),
                            bt_row_likely(h, "crops", p->crop, "sidedress_day_2")};
    for (size_t k = 0; k < sizeof again / sizeof *again; k++) {
        const int day = s->from + (int)lround(again[k] * (s->to - s->from));
        if (isfinite(again[k]) && day <= s->fed_until)
            add(l, (struct bt_slot){
                       .day = day,
                       .stage = bt_arena_format(a, "side-dressing of %s", p->written),
                       .planting = p,
                       .for_quick = true});
    }
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

/* Something stands there that still takes up nitrogen. */
static bool feeds(const struct list *l, int day)
{
    for (size_t i = 0; i < l->n_stays; i++)
        if (l->stay[i].from <= day && day <= l->stay[i].fed_until)
            return true;
    return false;
}

static void split(struct list *l, const struct bt_bed *bed, int last)
{
    const int step_d = is_coarse(bed) ? SPLIT_COARSE_D : SPLIT_D;
    const size_t n = l->n;
    for (size_t i = 0; i < n; i++) {
        const struct bt_slot from = l->slot[i];
        const int until = i + 1 < n ? l->slot[i + 1].day - TOO_NEAR_D : last;
        for (int day = from.day + step_d; from.for_quick && day <= until; day += step_d)
            if (feeds(l, day))
                add(l, (struct bt_slot){.day = day,
                                        .stage = "split dose",
                                        .planting = from.planting,
                                        .for_quick = true});
    }
    qsort(l->slot, l->n, sizeof *l->slot, by_day);
}

/* ---- what stands ---- */

static void note_what_stands(struct list *l, int wait_d)
{
    for (size_t k = 0; k < l->n; k++)
        for (size_t i = 0; i < l->n_stays; i++) {
            const struct stay *s = &l->stay[i];
            const int day = l->slot[k].day;
            if (s->from >= day || day > s->to)
                continue;
            l->slot[k].stands = true;
            l->slot[k].seedlings |= day < s->from + wait_d;
        }
}

/* Mulch lies on no seedbed: it waits until everything that is sown or planted this season
 * stands; where that is too late for it to feed anything there is no such day. Never moved
 * to an earlier day. */
static void add_mulch_day(struct list *l, int first, int last, int wait_d)
{
    int day = first;
    for (size_t i = 0; i < l->n_stays; i++)
        if (l->stay[i].to >= first && l->stay[i].from + wait_d > day)
            day = l->stay[i].from + wait_d;
    if (day + MULCH_LEAD_D > last)
        return;
    for (size_t k = 0; k < l->n; k++)
        if (l->slot[k].day >= day && l->slot[k].day < day + TOO_NEAR_D) {
            l->slot[k].for_mulch = true;
            return;
        }
    add(l,
        (struct bt_slot){.day = day, .stage = "once the crop stands", .for_mulch = true});
    qsort(l->slot, l->n, sizeof *l->slot, by_day);
}

size_t bt_slots(struct bt_arena *a, const struct bt_handbook *h, const struct bt_budget *b,
                bool often, struct bt_slot **out)
{
    const int first = bt_first_day(b->garden);
    struct list l = {.slot = bt_arena_alloc(a, SLOTS_MOST * sizeof *l.slot),
                     .stay = bt_arena_alloc(a, STAYS_MOST * sizeof *l.stay)};
    int last = first - 1;
    bool stands = false;
    const double wait = bt_row_likely(h, "soils", "any", "mulch_wait");
    const int wait_d = isfinite(wait) ? (int)lround(wait) : 0;
    list_stays(&l, h, b);
    for (size_t i = 0; i < l.n_stays; i++) {
        const struct stay *s = &l.stay[i];
        if (s->fed_until < first)
            continue;
        last = s->fed_until > last ? s->fed_until : last;
        stands |= s->from <= first + TOO_NEAR_D;
        if (s->from > first)
            add(&l, (struct bt_slot){.day = s->from,
                                     .stage = bt_arena_format(a, "when %s goes in",
                                                              s->planting->written),
                                     .planting = s->planting,
                                     .for_quick = true});
        add_dressings(a, &l, h, s);
    }
    if (last >= first)
        add(&l, (struct bt_slot){.day = first,
                                 .stage = stands ? "now" : "before planting",
                                 .for_early = true,
                                 .for_quick = stands});
    tidy(&l, first, last);
    if (often)
        split(&l, b->bed, last);
    add_mulch_day(&l, first, last, wait_d);
    note_what_stands(&l, wait_d);
    *out = l.slot;
    return l.n;
}
