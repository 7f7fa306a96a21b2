/* What only shows when rows are looked at together: beds that are too full, company that is
 * not there, plantings of unknown size, dates far from the season. */
#include "input/garden_read.h"

#include <limits.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/figures.h"
#include "base/text.h"

/* How full a bed may be on one day. */
#define SHARES_DOUBTED 1.05 /* rounding of shares that were meant to make one bed */
#define SHARES_REFUSED 1.5
#define STANDS_DOUBTED                                                                     \
    2.0 /* full stands, counted plants, where the crop stands far apart */
#define STANDS_CLOSE   3.0 /* where it is set as close each way as in the row */
#define STANDS_REFUSED 4.0
#define MOST_ALONE     5 /* notes on plantings that are taken as a full stand */
#define FAR_D          800 /* days behind the season from where on a date is a slip of the year */
#define LONG_AGO_D     14600 /* and days before it: 40 years; few beds have older records */

/* A planting with its days in the ground; what is vague is taken at its shortest. */
struct stay {
    const struct bt_planting *planting;
    int from, to;  /* to: the first day without it */
    double stands; /* full stands by count, 0 when not counted */
    double crowd;  /* the same as a part of what makes one doubt the count */
    double share;  /* typed and used (nothing is counted), else 0 */
    bool is_among;
};

/* ---- days in the ground ---- */

static int shortest_days(const struct bt_handbook *h, const char *crop)
{
    const struct bt_row *row = bt_handbook_follow(h, "crops", crop, "days");
    return row ? (int)row->range.low : 0;
}

/* How many full stands gardens do plant: a stand is that of rows with paths between them;
 * in a bed the distance in the row is often kept each way. */
static double stands_doubted(const struct bt_handbook *h, const char *crop, double stand)
{
    const struct bt_row *in_row = bt_handbook_follow(h, "crops", crop, "in_row");
    const double apart_m = in_row ? in_row->range.likely : 0;
    const double close = apart_m > 0 ? 1 / (apart_m * apart_m * stand) : 0;
    return close < STANDS_DOUBTED ? STANDS_DOUBTED
           : close > STANDS_CLOSE ? STANDS_CLOSE
                                  : close;
}

static struct stay stay_of(const struct bt_gr *g, const struct bt_planting *p)
{
    const struct bt_garden *b = g->garden;
    const struct bt_row *stand = bt_handbook_follow(g->handbook, "crops", p->crop, "stand");
    const double count = bt_planting_count(g->handbook, p);
    struct stay s = {.planting = p, .is_among = p->among != NULL};
    s.from =
        p->in_ground.known ? p->in_ground.day + p->in_ground.width_d / 2 : b->season_start;
    if (p->ended.known)
        s.to = p->ended.day - p->ended.width_d / 2;
    else if (bt_handbook_follow(g->handbook, "crops", p->crop, "recycled"))
        s.to = INT_MAX; /* a perennial stays */
    else
        s.to = s.from + shortest_days(g->handbook, p->crop);
    if (count > 0 && stand && stand->range.likely > 0) {
        s.stands = count / (p->bed->area_m2 * stand->range.likely);
        s.crowd = s.stands / stands_doubted(g->handbook, p->crop, stand->range.likely);
    } else if (count <= 0 && p->share.presence == BT_GIVEN)
        s.share = p->share.range.likely;
    return s;
}

static bool stands_on(const struct stay *s, int day)
{
    return s->from <= day && day < s->to;
}

/* ---- too full ---- */

/* The fullest day: sums over those that stand on the day one of them comes in. */
struct fullest {
    double sum;
    int day;
    const struct stay *newest;
};

enum what { COUNTED, CROWDED, SHARED, SHARED_AMONG };

static double part(const struct stay *s, enum what what)
{
    if (what == COUNTED)
        return s->stands;
    if (what == CROWDED)
        return s->crowd;
    return s->is_among == (what == SHARED_AMONG) ? s->share : 0;
}

static struct fullest fullest_day(size_t n, const struct stay *stay, enum what what)
{
    struct fullest f = {0};
    for (size_t i = 0; i < n; i++) {
        double sum = 0;
        if (!(part(&stay[i], what) > 0))
            continue;
        for (size_t j = 0; j < n; j++)
            if (j == i || stands_on(&stay[j], stay[i].from))
                sum += part(&stay[j], what);
        if (sum > f.sum)
            f = (struct fullest){sum, stay[i].from, &stay[i]};
    }
    return f;
}

/* `sweet corn 0.9, pumpkin 0.8`: who fills it. */
static const char *who(struct bt_gr *g, size_t n, const struct stay *stay,
                       const struct fullest *f, enum what what)
{
    const char *list = "";
    for (size_t i = 0; i < n; i++) {
        const double p = part(&stay[i], what);
        if (!(p > 0) || (&stay[i] != f->newest && !stands_on(&stay[i], f->day)))
            continue;
        const char *amount =
            what == COUNTED
                ? bt_arena_format(g->arena, "%s", bt_figures_short(g->arena, p, 2))
                : bt_arena_format(g->arena, "%s %%",
                                  bt_figures_short(g->arena, 100 * p, 3));
        list = bt_arena_format(g->arena, "%s%s%s %s", list, *list ? ", " : "",
                               stay[i].planting->written, amount);
    }
    return list;
}

/* Where the planting's size is typed. */
static struct bt_pos size_at(const struct bt_planting *p, enum what what)
{
    if (what != COUNTED)
        return p->share.cell.at;
    return p->plants.presence == BT_GIVEN ? p->plants.cell.at : p->rows.cell.at;
}

static void say_full(struct bt_gr *g, const struct fullest *f, enum what what,
                     bool is_error, const char *expected, const char *hint)
{
    const struct bt_cell cell = {
        what == COUNTED ? bt_arena_format(g->arena, "%s times full",
                                          bt_figures_short(g->arena, f->sum, 2))
                        : bt_arena_format(g->arena, "%s %%",
                                          bt_figures_short(g->arena, 100 * f->sum, 3)),
        size_at(f->newest->planting, what)};
    const char *column = what == COUNTED ? "plants" : "share";
    if (is_error)
        bt_gr_error(g, &cell, column, expected, hint);
    else
        bt_gr_warn(g, &cell, column, expected, hint);
}

static void too_many(struct bt_gr *g, size_t n, const struct stay *stay)
{
    const struct fullest all = fullest_day(n, stay, COUNTED);
    struct fullest f = fullest_day(n, stay, CROWDED);
    const bool is_error = all.newest && all.sum > STANDS_REFUSED * (1 + 1e-9);
    double limit = STANDS_REFUSED;
    if (!is_error && (!f.newest || !(f.sum > 1 + 1e-9)))
        return;
    if (is_error) {
        f = all;
    } else { /* the doubted day, in full stands */
        const double crowd = f.sum;
        f.sum = 0;
        for (size_t i = 0; i < n; i++)
            if (&stay[i] == f.newest || stands_on(&stay[i], f.day))
                f.sum += stay[i].stands;
        limit = f.sum / crowd;
    }
    say_full(g, &f, COUNTED, is_error,
             bt_arena_format(g->arena, "plants for at most %s full stands in %s on %s",
                             bt_figures_short(g->arena, limit, 2),
                             f.newest->planting->bed->id, bt_date_iso(g->arena, f.day)),
             bt_arena_format(g->arena,
                             "%s: look at the count (seeds or plants?), at the size of the "
                             "bed and at when the crop before ended",
                             who(g, n, stay, &f, COUNTED)));
}

static void too_full(struct bt_gr *g, size_t n, const struct stay *stay, enum what what)
{
    const struct fullest f = fullest_day(n, stay, what);
    if (!f.newest || !(f.sum > SHARES_DOUBTED * (1 + 1e-9)))
        return;
    const bool is_error = f.sum > SHARES_REFUSED * (1 + 1e-9);
    say_full(g, &f, what, is_error,
             bt_arena_format(
                 g->arena, "shares of at most %s %% together in %s on %s",
                 bt_figures_short(g->arena,
                                  100 * (is_error ? SHARES_REFUSED : SHARES_DOUBTED), 6),
                 f.newest->planting->bed->id, bt_date_iso(g->arena, f.day)),
             bt_arena_format(g->arena,
                             "%s: look at the shares and at when the crop before ended",
                             who(g, n, stay, &f, what)));
}

/* ---- of unknown size, in unknown company ---- */

static const struct stay *companion(size_t n, const struct stay *stay, size_t i)
{
    for (size_t j = 0; j < n; j++)
        if (j != i && stay[i].from < stay[j].to && stay[j].from < stay[i].to)
            return &stay[j];
    return NULL;
}

static void without_size(struct bt_gr *g, size_t n, const struct stay *stay, size_t i)
{
    const struct bt_planting *p = stay[i].planting;
    const struct bt_cell cell = {p->written, p->at};
    const struct stay *other = companion(n, stay, i);
    if (stay[i].stands > 0 || p->size_refused || p->share.presence == BT_GIVEN ||
        p->plants.presence == BT_GIVEN || p->rows.presence == BT_GIVEN)
        return;
    if (p->among && !g->stands_lost)
        bt_gr_error(g, &cell, "among",
                    "plants, rows or share of what grows among another crop",
                    bt_arena_format(g->arena, "how many %s are there among the %s in %s?",
                                    p->written, p->among, p->bed->id));
    else if (other && g->stands_lost)
        return; /* the column that would say it is not understood */
    else if (other)
        bt_gr_error(g, &cell, "plants",
                    "plants, rows or share where several crops share a bed",
                    bt_arena_format(g->arena, "how much of %s has %s, beside %s?",
                                    p->bed->id, p->written, other->planting->written));
    else if (++g->n_alone <= MOST_ALONE)
        bt_gr_note(g, p->at,
                   bt_arena_format(g->arena,
                                   "%s in %s stands alone without plants, rows or share: a "
                                   "full stand",
                                   p->written, p->bed->id));
}

/* The crop named in `among`: one of this bed, by the name as typed or by its entry. */
static void among_whom(struct bt_gr *g, size_t n, const struct stay *stay, size_t i)
{
    const struct bt_planting *p = stay[i].planting;
    const char *list = NULL;
    if (!p->among)
        return;
    const char *name = bt_text_key(g->arena, p->among);
    const char *key = bt_handbook_key(g->handbook, "crops", p->among);
    for (size_t j = 0; j < n; j++) {
        const struct bt_planting *q = stay[j].planting;
        if (j == i)
            continue;
        if (strcmp(name, bt_text_key(g->arena, q->written)) == 0 ||
            (key && strcmp(key, q->crop) == 0))
            return;
        if (!list || !strstr(list, q->written))
            list = bt_arena_format(g->arena, "%s%s%s", list ? list : "", list ? ", " : "",
                                   q->written);
    }
    const struct bt_cell cell = {p->among, p->among_at};
    bt_gr_error(
        g, &cell, "among", bt_arena_format(g->arena, "another crop of %s", p->bed->id),
        list ? bt_arena_format(g->arena, "there: %s", list) : "nothing else grows there");
}

static bool same_text(const char *a, const char *b)
{
    return bt_text_is(a ? a : "", b ? b : "");
}

static bool same_row(const struct bt_planting *p, const struct bt_planting *q)
{
    return p->ordinal != q->ordinal && bt_text_is(p->written, q->written) &&
           p->in_ground.known == q->in_ground.known &&
           p->in_ground.day == q->in_ground.day && p->plants.groups == q->plants.groups &&
           p->plants.each == q->plants.each && same_text(p->variety, q->variety) &&
           same_text(p->role, q->role) && p->share.range.likely == q->share.range.likely;
}

static void twice(struct bt_gr *g, size_t n, const struct stay *stay, size_t i)
{
    const struct bt_planting *p = stay[i].planting;
    const struct bt_cell cell = {p->written, p->at};
    for (size_t j = 0; j < i && j < n; j++)
        if (p->plants.presence == BT_GIVEN && same_row(stay[j].planting, p)) {
            bt_gr_warn(g, &cell, "crop", "each planting once",
                       bt_arena_format(g->arena, "line %u says the same; both are counted",
                                       stay[j].planting->at.line));
            return;
        }
}

/* ---- the whole ---- */

static void check_bed(struct bt_gr *g, size_t n, const struct stay *stay)
{
    for (size_t i = 0; i < n; i++) {
        among_whom(g, n, stay, i);
        without_size(g, n, stay, i);
        twice(g, n, stay, i);
    }
    if (n == 0)
        return;
    const struct bt_bed *bed = stay[0].planting->bed;
    if (bed->kind != BT_POTS && *bed->area_working) /* in pots each plant has its own */
        too_many(g, n, stay);
    too_full(g, n, stay, SHARED);
    too_full(g, n, stay, SHARED_AMONG);
}

static void far_date(struct bt_gr *g, const struct bt_date *d, struct bt_pos at,
                     const char *column)
{
    const struct bt_garden *b = g->garden;
    if (!d->known || b->season == 0 ||
        (d->day <= b->season_end + FAR_D && d->day >= b->season_start - LONG_AGO_D))
        return;
    at.column = 0; /* the row; its date is named */
    at.field = 0;
    const struct bt_cell cell = {bt_date_iso(g->arena, d->day), at};
    bt_gr_warn(g, &cell, column,
               bt_arena_format(g->arena, "a day near the season %d", b->season),
               "look at the year");
}

void bt_garden_check(struct bt_gr *g)
{
    const struct bt_garden *b = g->garden;
    /* Plantings by bed, in file order: counted, then placed. */
    size_t *first = bt_arena_zero(g->arena, (b->n_beds + 2) * sizeof *first);
    struct stay *stay = bt_arena_zero(g->arena, (b->n_plantings + 1) * sizeof *stay);
    for (size_t i = 0; i < b->n_plantings; i++)
        first[b->planting[i].bed_index + 2]++;
    for (size_t k = 2; k < b->n_beds + 2; k++)
        first[k] += first[k - 1];
    for (size_t i = 0; i < b->n_plantings; i++)
        stay[first[b->planting[i].bed_index + 1]++] = stay_of(g, &b->planting[i]);
    for (size_t k = 0; k < b->n_beds; k++) {
        const struct bt_scratch s = bt_gr_scratch(g);
        check_bed(g, first[k + 1] - first[k], &stay[first[k]]);
        bt_gr_release(g, &s);
    }
    if (g->n_alone > MOST_ALONE)
        bt_gr_note(g, (struct bt_pos){.file = b->planting[0].at.file},
                   bt_arena_format(g->arena,
                                   "%zu plantings more stand alone without plants, rows or "
                                   "share: full stands too",
                                   g->n_alone - MOST_ALONE));
    for (size_t i = 0; i < b->n_plantings; i++)
        far_date(g, &b->planting[i].in_ground, b->planting[i].at, "in_ground");
    for (size_t i = 0; i < b->n_plantings; i++)
        far_date(g, &b->planting[i].ended, b->planting[i].at, "ended");
    for (size_t i = 0; i < b->n_applications; i++)
        far_date(g, &b->application[i].date, b->application[i].at, "date");
    for (size_t i = 0; i < b->n_tests; i++)
        far_date(g, &b->test[i].date, b->test[i].at, "date");
    for (size_t i = 0; i < b->n_waters; i++)
        far_date(g, &b->water[i].date, b->water[i].at, "date");
    for (size_t i = 0; i < b->n_harvests; i++)
        far_date(g, &b->harvest[i].date, b->harvest[i].at, "date");
    for (size_t i = 0; i < b->n_purchases; i++)
        far_date(g, &b->purchase[i].date, b->purchase[i].at, "date");
    bt_garden_check_slips(g);
}
