/* Plantings of a bed: when they stand, how densely, in whose company; from that yield and
 * uptake. */
#include <assert.h>
#include <math.h>
#include <string.h>

#include "base/figures.h"
#include "base/text.h"
#include "model/demand.h"
#include "model/season_bind.h"

/* ---- time ---- */

static bool is_word(struct bt_binding *b, const char *crop, const char *quantity,
                    const char *word)
{
    const char *w = bt_bind_word(b, "crops", crop, quantity);
    return w && bt_text_is(w, word);
}

static bool yield_is_stated(const struct bt_planting *p)
{
    return bt_given(&p->weighed) || bt_given(&p->expected) || bt_given(&p->fresh);
}

/* Pulled well before its usual time and with no yield on record: it took only part of its
 * uptake. */
static const double EARLY = 0.85; /* of the usual days; judgement */

void bt_bind_stay(struct bt_binding *b, const struct bt_planting *x, int *out_from,
                  int *out_to)
{
    const struct bt_garden *g = b->garden;
    const int days = (int)lround(bt_bind_likely(b, "crops", x->crop, "days"));
    *out_from = x->in_ground.known ? x->in_ground.day : g->season_start;
    *out_to = *out_from + days;
    if (bt_handbook_follow(b->book, "crops", x->crop, "recycled"))
        *out_to = g->season_end + 3650;
    if (x->ended.known)
        *out_to = x->ended.day;
}

/* The day by which so many warm days have passed since `from` (a year and a half at most).
 */
static int warm_by(const struct bt_binding *b, int from, double warm_d)
{
    enum { LONGEST_D = 550 };
    int day = from;
    while (day - from < LONGEST_D && bt_clock_between(&b->clock, from, day) < warm_d)
        day++;
    return day;
}

/* A cover is a full stand when it had the warmth of one, not when it was dug in. */
static void set_cover_time(struct bt_binding *b, struct bt_plot *p)
{
    const struct bt_row *row =
        bt_handbook_follow(b->book, "crops", p->planting->crop, "stand_warmth");
    if (!row || yield_is_stated(p->planting))
        return;
    const int full = warm_by(b, p->in_ground, row->range.likely);
    p->by_warmth = true;
    if (full > p->ended)
        p->full_end = full;
}

static void set_time(struct bt_binding *b, struct bt_plot *p)
{
    const struct bt_planting *x = p->planting;
    const struct bt_garden *g = b->garden;
    const int days = (int)lround(bt_bind_likely(b, "crops", x->crop, "days"));
    p->midpoint = bt_bind_likely(b, "crops", x->crop, "uptake_midpoint");
    p->steepness = bt_bind_likely(b, "crops", x->crop, "uptake_steepness");
    p->perennial = bt_handbook_follow(b->book, "crops", x->crop, "recycled") != NULL;
    p->is_cover = is_word(b, x->crop, "form", "cover");
    bt_bind_stay(b, x, &p->in_ground, &p->ended);
    p->early_share = 1;
    p->full_end = p->perennial ? g->season_end : p->ended;
    if (p->perennial)
        return;
    if (p->is_cover)
        set_cover_time(b, p);
    else if (x->ended.known && !yield_is_stated(x) &&
             p->ended - p->in_ground < EARLY * days)
        p->full_end = p->in_ground + days;
    p->by_warmth = p->by_warmth ||
                   bt_season_of(g, p->in_ground) < bt_season_of(g, p->full_end) ||
                   p->full_end - p->in_ground > 300;
    if (p->full_end > p->ended)
        p->early_share = bt_plot_share(b, p, p->ended);
}

double bt_plot_share(const struct bt_binding *b, const struct bt_plot *p, int day)
{
    const struct bt_garden *g = b->garden;
    const int t = day < p->ended ? day : p->ended;
    int from = p->in_ground, to = p->full_end;
    if (p->perennial) {
        from = p->in_ground > g->season_start ? p->in_ground : g->season_start;
        to = g->season_end;
    }
    if (t <= from || to <= from)
        return t <= from ? 0 : 1;
    double tau = (double)(t - from) / (double)(to - from);
    if (p->by_warmth && !p->perennial) /* no growth in the cold: time counts by warmth */
        tau = bt_clock_between(&b->clock, from, t) / bt_clock_between(&b->clock, from, to);
    const double share = bt_uptake_share(tau, p->midpoint, p->steepness);
    return p->early_share < 1 ? share / p->early_share : share;
}

bool bt_plot_stands(const struct bt_plot *p, int day)
{
    return p->in_ground <= day && day < p->ended;
}

bool bt_plots_meet(const struct bt_plot *a, const struct bt_plot *b)
{
    return a->in_ground < b->ended && b->in_ground < a->ended;
}

/* ---- density and company ---- */

static double counted(struct bt_binding *b, const struct bt_plot *p)
{
    const struct bt_planting *x = p->planting;
    if (x->plants.presence == BT_GIVEN)
        return x->plants.groups * x->plants.each;
    if (x->rows.presence != BT_GIVEN)
        return 0;
    const double in_row_m = bt_given(&x->spacing)
                                ? x->spacing.range.likely
                                : bt_bind_likely(b, "crops", x->crop, "in_row");
    return x->rows.rows * x->rows.length_m / in_row_m;
}

static void set_density(struct bt_binding *b, struct bt_plot *p)
{
    const struct bt_planting *x = p->planting;
    const double stand_per_m2 = bt_bind_likely(b, "crops", x->crop, "stand");
    const double thinning = bt_bind_likely(b, "intercrops", "any", "thinning");
    p->weight = bt_bind_likely(b, "crops", x->crop, "competitive_weight");
    p->count = counted(b, p);
    if (b->bed->kind == BT_POTS) { /* each plant has its pot, of area_m2 / pots */
        const double in_pot =
            x->plants.group && bt_text_is(x->plants.group, "pot") ? x->plants.each : 1;
        const double pot_m2 = b->bed->area_m2 / (b->bed->pots > 0 ? b->bed->pots : 1);
        p->density = in_pot / (pot_m2 * stand_per_m2);
        p->ceiling = bt_thinned_ceiling(p->density, thinning);
        return;
    }
    if (p->count > 0) {
        p->density = p->count / (b->bed->area_m2 * stand_per_m2);
        p->ceiling = bt_thinned_ceiling(p->density, thinning);
        return;
    }
    const bool none = x->plants.presence == BT_NONE; /* `0` or `none`: none came up */
    p->density = none ? 0 : bt_given(&x->share) ? x->share.range.likely : 1;
    p->ceiling = p->density;
    if (!none && !bt_given(&x->share))
        bt_bind_assumed(b,
                        bt_bind_text(b, "%s: a full stand, as no plants or share are given",
                                     p->subject));
}

/* The company of a planting: who stands on the most crowded date of the middle of its
 * uptake. */
struct company {
    size_t n;
    size_t who[64];
    struct bt_stand stand[64];
    size_t self;
    double ceilings;
};

static struct company company_on(const struct bt_binding *b, size_t i, int day)
{
    struct company c = {0};
    for (size_t j = 0; j < b->n_plots && c.n < 64; j++) {
        const struct bt_plot *p = &b->plot[j];
        if (j != i && (!bt_plot_stands(p, day) || b->bed->kind == BT_POTS))
            continue;
        if (j == i)
            c.self = c.n;
        c.who[c.n] = j;
        c.stand[c.n++] = (struct bt_stand){p->density, p->weight, p->ceiling};
        c.ceilings += p->ceiling;
    }
    return c;
}

static struct company company_of(const struct bt_binding *b, size_t i)
{
    const struct bt_plot *p = &b->plot[i];
    const int middle = p->in_ground + (p->full_end - p->in_ground) / 2;
    struct company best = company_on(b, i, middle < p->ended ? middle : p->in_ground);
    for (size_t j = 0; j < b->n_plots; j++) {
        const int day = b->plot[j].in_ground;
        const double done = bt_plot_share(b, p, day);
        if (!bt_plot_stands(p, day) || done < 0.1 || done > 0.9)
            continue;
        const struct company c = company_on(b, i, day);
        if (c.ceilings > best.ceilings)
            best = c;
    }
    return best;
}

/* Which row of `intercrops` speaks of this company; NULL for one kind alone. */
static const char *mixing_key(struct bt_binding *b, const struct company *c)
{
    bool several = false, legume = false, other = false, vine = false;
    const char *first = b->plot[c->who[0]].planting->crop;
    for (size_t k = 0; k < c->n; k++) {
        const struct bt_planting *x = b->plot[c->who[k]].planting;
        several |= !bt_text_is(x->crop, first);
        legume |= x->legume != NULL;
        other |= x->legume == NULL;
        vine |= is_word(b, x->crop, "form", "vine");
    }
    if (!several)
        return NULL;
    return legume && other ? "with legume" : vine ? "with vine" : "other";
}

static struct bt_node relative_yield(struct bt_binding *b, size_t i)
{
    struct bt_plot *p = &b->plot[i];
    const struct company c = company_of(b, i);
    const char *label = bt_bind_text(b, "share of a full stand's yield of %s", p->subject);
    const char *key = mixing_key(b, &c);
    if (c.ceilings <= 1 || b->bed->kind == BT_POTS || !key) {
        double alone[64];
        bt_relative_yields(c.n, c.stand, b->bed->kind == BT_POTS ? HUGE_VAL : 1, alone);
        const char *remark = bt_bind_text(b, "%s of a full stand by count or share",
                                          bt_figures_short(b->arena, p->density, 2));
        return bt_constant_named(b->sheet, alone[c.self], BT_FRACTION, label, remark, NULL);
    }
    const char *what = bt_bind_text(b, "most that mixing gains, %s", key);
    const struct bt_node gain =
        bt_bind_handbook(b, "intercrops", key, "mixing_gain", what, NULL);
    const struct bt_node node = bt_relative_yield(b->sheet, gain, c.n, c.stand, c.self);
    const char *remark =
        bt_bind_text(b,
                     "%s of a full stand among %zu kinds that fill the bed "
                     "%s times",
                     bt_figures_short(b->arena, p->density, 2), c.n,
                     bt_figures_short(b->arena, c.ceilings, 2));
    const struct bt_node named = bt_named(b->sheet, NULL, label, node);
    bt_remark(b->sheet, named, remark);
    return named;
}

/* ---- yield and uptake ---- */

static struct bt_node stated_yield(struct bt_binding *b, struct bt_plot *p,
                                   const struct bt_quantity *q, const char *quantity)
{
    const char *id = bt_bind_text(b, "plantings/%s/%s", p->id, quantity);
    const char *label = bt_bind_text(b, "harvest of %s", p->subject);
    const struct bt_node node = bt_bind_stated(b, q, id, label);
    if (bt_dim_same(q->unit.dim, BT_MASS_PER_AREA))
        return node;
    return bt_div(b->sheet, node,
                  bt_constant_named(b->sheet, b->bed->area_m2, BT_AREA, "area of the bed",
                                    b->bed->area_working, NULL));
}

/* Covers are not picked unless somebody says so. */
static bool picks_nothing(const struct bt_plot *p)
{
    const unsigned picked = p->planting->picked;
    return (picked & BT_PICKED_NOTHING) || (p->is_cover && picked == BT_PICKED_UNKNOWN);
}

static struct bt_node full_yield(struct bt_binding *b, struct bt_plot *p)
{
    const struct bt_planting *x = p->planting;
    const char *word = x->expected.word;
    const char *quantity = word && bt_text_is(word, "poor")   ? "yield_poor"
                           : word && bt_text_is(word, "good") ? "yield_good"
                                                              : "yield";
    const struct bt_row *row = bt_bind_row(b, "crops", x->crop, quantity);
    const char *what = picks_nothing(p) ? "growth" : "yield";
    what = word ? bt_bind_text(b, "%s %s of a full stand", word, what)
                : bt_bind_text(b, "%s of a full stand", what);
    const struct bt_node full = bt_bind_leaf_of(b, row, what, p->subject, !word);
    return bt_mul(b->sheet, full, p->relative_yield);
}

static void note_growth(struct bt_binding *b, const struct bt_plot *p)
{
    static const double AS_GOOD_AS_FULL = 0.95;
    if (!p->is_cover || p->early_share > AS_GOOD_AS_FULL)
        return;
    const double percent = 100 * p->early_share;
    const char *share = percent < 1 ? "less than 1 %"
                                    : bt_bind_text(b, "about %s %%",
                                                   bt_figures_short(b->arena, percent, 2));
    bt_bind_understood(
        b,
        bt_bind_text(b,
                     "%s: the warmth from %s to %s lets it grow to %s of a full stand; "
                     "tops weighed in a frame (fresh, frame) would take the place of this.",
                     p->subject, bt_date_words(b->arena, p->in_ground),
                     bt_date_words(b->arena, p->ended), share));
}

/* A perennial that was put in for this season is not an old one yet. */
static struct bt_node first_season(struct bt_binding *b, const struct bt_plot *p,
                                   struct bt_node uptake)
{
    const struct bt_planting *x = p->planting;
    const struct bt_row *row =
        bt_handbook_follow(b->book, "crops", x->crop, "first_season");
    if (!row || !x->in_ground.known || yield_is_stated(x) ||
        bt_season_of(b->garden, x->in_ground.day) != b->garden->season)
        return uptake;
    bt_bind_understood(
        b,
        bt_bind_text(b, "%s: in its first season, counted as a young plant.", p->subject));
    return bt_mul(b->sheet, uptake,
                  bt_bind_leaf_of(b, row, "share of an old plant in its first season",
                                  p->subject, true));
}

static struct bt_node early(struct bt_binding *b, struct bt_plot *p, struct bt_node uptake)
{
    if (p->perennial)
        return first_season(b, p, uptake);
    if (p->early_share >= 1)
        return uptake;
    const char *label =
        p->is_cover
            ? bt_bind_text(b, "share of a full stand that %s had grown when it ended",
                           p->subject)
            : bt_bind_text(b, "share of its uptake that %s had done when pulled",
                           p->subject);
    return bt_mul(b->sheet, uptake,
                  bt_constant_named(b->sheet, p->early_share, BT_FRACTION, label,
                                    "from its dates and uptake curve", NULL));
}

/* Nitrogen of tops cut from a frame: fresh . dry matter . N content / frame. */
static struct bt_node sampled_uptake(struct bt_binding *b, struct bt_plot *p)
{
    const struct bt_planting *x = p->planting;
    struct bt_sheet *s = b->sheet;
    const struct bt_node fresh =
        bt_bind_stated(b, &x->fresh, bt_bind_text(b, "plantings/%s/fresh", p->id),
                       bt_bind_text(b, "fresh weight in the frame of %s", p->subject));
    const struct bt_node frame = bt_constant_named(
        s, x->frame.range.likely, BT_AREA, bt_bind_text(b, "frame of %s", p->subject),
        x->frame.cell.text, NULL);
    struct bt_node dry;
    if (bt_given(&x->dry_matter))
        dry = bt_bind_stated(b, &x->dry_matter,
                             bt_bind_text(b, "plantings/%s/dry_matter", p->id),
                             bt_bind_text(b, "dry matter of %s", p->subject));
    else
        dry = bt_bind_handbook(b, "residues", "green residue", "dry_matter", "dry matter",
                               "fresh green tops");
    struct bt_node n;
    if (bt_given(&x->n_percent))
        n = bt_bind_stated(b, &x->n_percent,
                           bt_bind_text(b, "plantings/%s/n_percent", p->id),
                           bt_bind_text(b, "nitrogen in dry matter of %s", p->subject));
    else
        n = bt_bind_handbook(b, x->legume ? "legumes" : "crops",
                             x->legume ? x->legume : x->crop, "residue_n",
                             "nitrogen in dry matter", p->name);
    const struct bt_node tops = bt_named(
        s, NULL, bt_bind_text(b, "fresh tops of %s", p->subject), bt_div(s, fresh, frame));
    return bt_mul(s, bt_mul(s, tops, dry), n);
}

static bool harvest_is_stated(const struct bt_planting *x)
{
    return bt_given(&x->weighed) || bt_given(&x->expected);
}

static void set_yield(struct bt_binding *b, struct bt_plot *p)
{
    const struct bt_planting *x = p->planting;
    if (harvest_is_stated(x))
        p->yield = bt_given(&x->weighed) ? stated_yield(b, p, &x->weighed, "weighed")
                                         : stated_yield(b, p, &x->expected, "expected");
    else
        p->yield = full_yield(b, p);
    p->yield =
        bt_named(b->sheet, NULL, bt_bind_text(b, "yield of %s", p->subject), p->yield);
}

static void set_uptake(struct bt_binding *b, struct bt_plot *p)
{
    const struct bt_planting *x = p->planting;
    struct bt_sheet *s = b->sheet;
    const char *label = bt_bind_text(b, "uptake of %s", p->subject);
    note_growth(b, p);
    struct bt_node uptake;
    if (bt_given(&x->fresh) && bt_given(&x->frame)) {
        uptake = sampled_uptake(b, p);
    } else if (x->legume && !harvest_is_stated(x)) {
        const struct bt_node shoot = bt_bind_handbook(
            b, "legumes", x->legume, "shoot_n", "shoot nitrogen of a full stand", p->name);
        uptake = early(b, p, bt_mul(s, shoot, p->relative_yield));
    } else {
        const struct bt_node content = bt_bind_handbook(b, "crops", x->crop, "n_uptake",
                                                        "uptake per harvest", p->name);
        uptake = early(b, p, bt_uptake(s, p->yield, content));
    }
    p->uptake = bt_named(s, bt_bind_text(b, "uptake/%s", p->id), label, uptake);
}

/* ---- harvest, residue, recovery ---- */

static struct bt_node legume_harvest_index(struct bt_binding *b, const struct bt_plot *p)
{
    const struct bt_planting *x = p->planting;
    const struct bt_row *green =
        bt_handbook_follow(b->book, "legumes", x->legume, "harvest_index_green");
    const struct bt_row *dry =
        bt_handbook_follow(b->book, "legumes", x->legume, "harvest_index_dry");
    if (picks_nothing(p) || (!green && !dry))
        return bt_share(b->sheet, 0);
    const bool use_dry = dry && ((x->picked & BT_PICKED_DRY) || !green);
    if (x->picked == BT_PICKED_UNKNOWN)
        bt_bind_assumed(
            b, bt_bind_text(b, "%s: picked %s", p->subject, use_dry ? "dry" : "green"));
    return bt_bind_leaf_of(b, use_dry ? dry : green, "share of shoot nitrogen harvested",
                           p->name, x->picked == BT_PICKED_UNKNOWN);
}

/* What is carried off, fresh: the yield, cut short when pulled early; nothing of covers and
 * of what is not picked. */
static void set_harvest(struct bt_binding *b, struct bt_plot *p)
{
    p->is_picked = !picks_nothing(p);
    p->harvest = p->is_picked ? early(b, p, p->yield) : p->yield;
}

static void set_removed(struct bt_binding *b, struct bt_plot *p)
{
    const struct bt_planting *x = p->planting;
    struct bt_sheet *s = b->sheet;
    struct bt_node removed = bt_constant(s, 0, BT_MASS_PER_AREA);
    if (x->legume)
        removed = bt_mul(s, p->uptake, legume_harvest_index(b, p));
    else if (p->is_picked)
        removed = bt_min(s, p->uptake,
                         bt_mul(s, p->harvest,
                                bt_bind_handbook(b, "crops", x->crop, "n_removed",
                                                 "nitrogen in the harvest", p->name)));
    struct bt_node taken;
    if (bt_bind_taken_out(b, p, &taken))
        removed = bt_min(s, p->uptake, bt_add(s, removed, taken));
    p->removed = bt_named(
        s, NULL, bt_bind_text(b, "nitrogen that leaves with the harvest of %s", p->subject),
        removed);
    p->residue_n =
        bt_named(s, NULL, bt_bind_text(b, "nitrogen in the residue of %s", p->subject),
                 bt_sub(s, p->uptake, p->removed));
}

static void set_recovery(struct bt_binding *b, struct bt_plot *p)
{
    const struct bt_row *row = bt_bind_row(b, "crops", p->planting->crop, "recovery");
    if (!row)
        return;
    const char *roots = bt_bind_word(b, "crops", p->planting->crop, "roots");
    const char *label = bt_bind_text(b, "share the roots of %s catch%s%s", p->subject,
                                     roots ? ", " : "", roots ? roots : "");
    p->recovery = bt_named(b->sheet, NULL, label, bt_recovery(b->sheet, b->shift, row));
}

static void set_account(struct bt_binding *b, struct bt_plot *p)
{
    p->taken_before = bt_plot_share(b, p, b->start);
    p->taken_by_end = bt_plot_share(b, p, b->end);
    p->in_account = p->density > 0 && p->ended > b->start && p->in_ground < b->end &&
                    p->taken_by_end - p->taken_before > 1e-4;
}

/* Residues older than this have nothing left to give. */
enum { SEASONS_THAT_MATTER = 3 };

static const char *name_of(struct bt_binding *b, const struct bt_planting *x,
                           const char *joint)
{
    if (x->n_same < 2)
        return x->written;
    return bt_bind_text(b, "%s%s%u", x->written, joint, x->ordinal);
}

void bt_bind_plots(struct bt_binding *b)
{
    const struct bt_garden *g = b->garden;
    b->plot = bt_arena_zero(b->arena, (g->n_plantings + 1) * sizeof *b->plot);
    for (size_t i = 0; i < g->n_plantings; i++) {
        const struct bt_planting *x = &g->planting[i];
        if (x->bed_index != b->bed_index)
            continue;
        struct bt_plot *p = &b->plot[b->n_plots++];
        p->planting = x;
        p->subject = name_of(b, x, " ");
        p->name = x->written;
        p->id = bt_bind_text(b, "%s/%s", b->bed->id, p->subject);
        set_time(b, p);
        set_density(b, p);
    }
    if (b->failed)
        return;
    const struct bt_leaf shift = {.id = bt_bind_text(b, "beds/%s/season", b->bed->id),
                                  .label = "luck of rain and watering (-1 poor, 1 good)",
                                  .range = bt_range_of(-1, 0, 1, BT_P05_P95),
                                  .limit_low = -HUGE_VAL,
                                  .limit_high = HUGE_VAL,
                                  .unit = "",
                                  .source = "JUDGEMENT",
                                  .seen = BT_JUDGEMENT,
                                  .at = b->bed->at};
    b->shift = bt_leaf(b->sheet, &shift);
    for (size_t i = 0; i < b->n_plots; i++) {
        struct bt_plot *p = &b->plot[i];
        set_account(b, p);
        const int age = b->season - bt_season_of(g, p->ended);
        if (p->density <= 0 || (!p->in_account && p->in_ground >= b->end))
            continue;
        p->relative_yield = relative_yield(b, i);
        set_yield(b, p);
        set_harvest(b, p);
        if (!p->in_account && age > SEASONS_THAT_MATTER)
            continue;
        p->has_nodes = true;
        set_uptake(b, p);
        set_removed(b, p);
        set_recovery(b, p);
    }
}
