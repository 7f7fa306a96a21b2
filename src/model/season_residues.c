/* What crops and covers leave in their bed: released by the date they are cut or dug in. */
#include <math.h>

#include "base/text.h"
#include "model/season_bind.h"

struct bt_pan_line bt_bind_pan_line(struct bt_binding *b)
{
    const struct bt_row *slope = bt_bind_row(b, "residues", "green residue", "pan_slope");
    return (struct bt_pan_line){
        .slope = slope ? slope->range.likely : (double)NAN,
        .break_even_frac = bt_bind_likely(b, "residues", "green residue", "break_even_n"),
        .floor_frac = bt_bind_likely(b, "residues", "green residue", "pan_floor"),
        .cap_frac = bt_bind_likely(b, "residues", "green residue", "pan_cap"),
        .row = slope};
}

enum bt_rest bt_plot_rest(const struct bt_plot *p)
{
    if (p->planting->rest != BT_REST_UNKNOWN)
        return p->planting->rest;
    if (p->perennial)
        return BT_REST_STANDING;
    return p->is_cover ? BT_REST_DUG_IN : BT_REST_COMPOST;
}

/* left or dug in */
static bool stays_on_bed(const struct bt_plot *p)
{
    const enum bt_rest rest = bt_plot_rest(p);
    return rest == BT_REST_LEFT || rest == BT_REST_DUG_IN;
}

static void note_fate(struct bt_binding *b, const struct bt_plot *p)
{
    if (p->planting->rest == BT_REST_UNKNOWN && !p->perennial)
        bt_bind_assumed(b, bt_bind_text(b, "residue of %s: %s", p->subject,
                                        p->is_cover ? "dug in" : "cleared off the bed"));
}

static struct bt_node content_of(struct bt_binding *b, const struct bt_plot *p)
{
    const struct bt_planting *x = p->planting;
    if (bt_given(&x->n_percent))
        return bt_bind_stated(b, &x->n_percent,
                              bt_bind_text(b, "plantings/%s/n_percent", p->id),
                              bt_bind_text(b, "nitrogen in dry matter of %s", p->subject));
    const struct bt_row *row = bt_bind_row(b, x->legume ? "legumes" : "crops",
                                           x->legume ? x->legume : x->crop, "residue_n");
    return bt_bind_leaf_of(b, row, "nitrogen in dry matter", p->name, true);
}

static struct bt_pool pool_of(struct bt_binding *b, const struct bt_plot *p,
                              const char *what, struct bt_node node)
{
    const char *label = bt_bind_text(b, "%s of %s", what, p->subject);
    const char *origin =
        bt_bind_text(b, "%s, %s %s", p->planting->written,
                     bt_plot_rest(p) == BT_REST_DUG_IN ? "turned in" : "cut",
                     bt_garden_day(b->arena, b->garden, p->ended));
    return (struct bt_pool){.id = label,
                            .label = label,
                            .node = node,
                            .release = {.from = p->ended},
                            .status = p->ended <= b->garden->as_of ? BT_DONE : BT_PLANNED,
                            .origin = origin,
                            .came = p->in_ground,
                            .from = p->planting};
}

static struct bt_node with_roots(struct bt_binding *b, const struct bt_plot *p)
{
    if (!p->planting->legume)
        return p->residue_n;
    const struct bt_node factor =
        bt_bind_handbook(b, "legumes", p->planting->legume, "below_ground_factor",
                         "plant nitrogen per shoot nitrogen", p->name);
    const struct bt_node roots =
        bt_mul(b->sheet, p->uptake, bt_sub(b->sheet, factor, bt_share(b->sheet, 1)));
    return bt_named(b->sheet, NULL,
                    bt_bind_text(b, "nitrogen in residue and roots of %s", p->subject),
                    bt_add(b->sheet, p->residue_n, roots));
}

/* `year`: of the winter's first of January. */
struct bt_node bt_bind_winter_kept(struct bt_binding *b, const struct bt_plot *but,
                                   int year)
{
    bool covered = false;
    const int mid_winter = bt_day(year, 1, 1);
    for (size_t i = 0; i < b->n_plots; i++)
        covered |= &b->plot[i] != but && bt_plot_stands(&b->plot[i], mid_winter);
    const bool sand = b->bed->texture && bt_text_starts(b->bed->texture, "sand");
    return bt_bind_handbook(b, "residues",
                            covered ? "winter, covered"
                            : sand  ? "winter, bare sand"
                                    : "winter, bare loam",
                            "winter_kept", "share that survives the winter", NULL);
}

/* The same day so many years on. */
static int years_on(int day, int years)
{
    int year, month, dom;
    bt_civil(day, &year, &month, &dom);
    return bt_day(year + years, month, dom);
}

/* Until when the crops of the season that ended on `last_end` took what a residue cut in it
 * released: what came while something grew fed that, and a bed cleared before the middle of
 * a season was planted again, on record or not. Covers stand for the winter and count
 * there.
 */
static int fed_until(const struct bt_binding *b, const struct bt_plot *p, int last_end)
{
    const struct bt_garden *g = b->garden;
    if (p->ended < last_end - (g->season_end - g->season_start) / 2)
        return last_end;
    int until = p->ended;
    for (size_t i = 0; i < b->n_plots; i++) {
        const struct bt_plot *q = &b->plot[i];
        const int ended = q->ended < last_end ? q->ended : last_end;
        if (q != p && !q->is_cover && q->density > 0 && q->in_ground < last_end &&
            ended > until)
            until = ended;
    }
    return until;
}

struct bt_node bt_bind_on_surface(struct bt_binding *b, const char *subject,
                                  struct bt_node net, struct bt_node given_share,
                                  struct bt_tied *tied)
{
    struct bt_sheet *s = b->sheet;
    const struct bt_node zero = bt_constant(s, 0, BT_MASS_PER_AREA);
    struct bt_surface x = {
        .subject = subject,
        .given_share = given_share,
        .taken_share = bt_bind_handbook(b, "residues", "green residue", "tie_up_surface",
                                        "share of tie-up from the surface", NULL),
        .most_g_m2 = bt_bind_handbook(b, "residues", "green residue", "tie_up_surface_most",
                                      "most that a mulch on top ties up", NULL)};
    if (tied && tied->any)
        x.most_g_m2 = bt_named(s, NULL, "what another mulch on top can still tie up",
                               bt_add(s, x.most_g_m2, tied->sum));
    const struct bt_node from_top = bt_on_surface(s, net, &x);
    if (tied && bt_likely(s, net) < 0) {
        const struct bt_node taken = bt_min(s, from_top, zero);
        tied->sum = tied->any ? bt_add(s, tied->sum, taken) : taken;
        tied->any = true;
    }
    return from_top;
}

/* What a residue gives (or takes) in the weeks after it is cut, by its nitrogen content. */
static struct bt_node fresh_net(struct bt_binding *b, const struct bt_plot *p,
                                struct bt_node content, struct bt_tied *tied)
{
    struct bt_sheet *s = b->sheet;
    const struct bt_pan_line line = bt_bind_pan_line(b);
    const struct bt_node pan =
        bt_named(s, NULL, bt_bind_text(b, "available per dry matter of %s", p->subject),
                 bt_pan_per_dry_matter(s, content, &line));
    struct bt_node net = bt_residue_available(
        s, bt_bind_text(b, "the residue of %s", p->subject), p->residue_n, content, pan);
    if (bt_plot_rest(p) != BT_REST_LEFT)
        return net;
    net = bt_named(s, NULL,
                   bt_bind_text(b, "net nitrogen of residue of %s if dug in", p->subject),
                   net);
    return bt_bind_on_surface(
        b, bt_bind_text(b, "residue of %s", p->subject), net,
        bt_bind_handbook(b, "residues", "green residue", "surface_factor",
                         "share given from the surface", "green residue"),
        tied);
}

static struct bt_release fresh_release(struct bt_binding *b, const struct bt_plot *p)
{
    return (struct bt_release){
        .from = p->ended,
        .by_rate = 1,
        .rate_per_d = bt_bind_likely(b, "residues", "green residue", "release_rate")};
}

/* Cut this season, or since the last one ended: the line of its nitrogen content, fast. */
static void bind_fresh(struct bt_binding *b, const struct bt_plot *p, bool over_winter)
{
    struct bt_sheet *s = b->sheet;
    const struct bt_node content = content_of(b, p);
    struct bt_tied *tied = over_winter ? NULL : &b->surface_tied[0];
    struct bt_pool pool = pool_of(b, p, "residue", fresh_net(b, p, content, tied));
    pool.release = fresh_release(b, p);
    const struct bt_node kept =
        over_winter ? bt_bind_winter_kept(b, p, b->winter_year) : bt_share(s, 1);
    if (over_winter) {
        pool.kept = &kept;
        pool.kept_from = fed_until(b, p, years_on(b->garden->season_end, -1));
    }
    const struct bt_node_info *n = bt_sheet_node(s, content);
    const double least = n->leaf ? n->leaf->range.low : n->likely;
    if (least < bt_bind_pan_line(b).break_even_frac && !over_winter)
        bt_bind_tie_up(b, &pool);
    else
        bt_bind_supply(b, &pool);
}

static struct bt_node haulm_share(struct bt_binding *b)
{
    return bt_bind_handbook(b, "residues", "green residue", "haulm_over_winter",
                            "share of haulm nitrogen mineral by next season", NULL);
}

/* Dry haulm left over winter: one published share of its nitrogen instead of the line;
 * never both. */
static void bind_haulm(struct bt_binding *b, const struct bt_plot *p)
{
    struct bt_pool pool =
        pool_of(b, p, "residue", bt_mul(b->sheet, p->residue_n, haulm_share(b)));
    pool.release.from = b->start;
    pool.release.at_once = 1;
    bt_bind_supply(b, &pool);
}

static void bind_slow(struct bt_binding *b, const struct bt_plot *p, unsigned age)
{
    struct bt_sheet *s = b->sheet;
    const struct bt_node share =
        bt_bind_handbook(b, "residues", "green residue", "slow_release",
                         "share of residue nitrogen a season later", NULL);
    const bool seen = b->has_om_line && (!b->om_test || !b->om_test->date.known ||
                                         p->ended <= b->om_test->date.day);
    const struct bt_node already = seen && age > 1 ? b->om_already : bt_share(s, 0);
    struct bt_pool pool =
        pool_of(b, p, "slow release of the residue",
                bt_slow_release(s, with_roots(b, p), share, age, already));
    pool.release = (struct bt_release){.from = b->start, .by_warmth = 1};
    bt_bind_supply(b, &pool);
}

/* On the ground for five months or more by `day`. */
static bool counts_as_haulm(const struct bt_plot *p, int day)
{
    enum { MONTHS_5_D = 150 };
    return p->planting->legume && (p->planting->picked & BT_PICKED_DRY) &&
           day - p->ended >= MONTHS_5_D;
}

/* What bind_fresh and bind_slow will make of it in next season's account. */
static struct bt_node next_season(struct bt_binding *b, const struct bt_plot *p)
{
    const struct bt_garden *g = b->garden;
    struct bt_sheet *s = b->sheet;
    const int start = years_on(g->season_start, 1), end = years_on(g->season_end, 1);
    if (counts_as_haulm(p, start))
        return bt_mul(s, p->residue_n, haulm_share(b));
    const struct bt_release r = fresh_release(b, p);
    const double before = bt_released(b, &r, start), by_end = bt_released(b, &r, end);
    const double gone = bt_released(b, &r, fed_until(b, p, g->season_end));
    const struct bt_node net = bt_named(
        s, NULL, bt_bind_text(b, "nitrogen the residue of %s has to give", p->subject),
        fresh_net(b, p, content_of(b, p), NULL));
    const struct bt_node winter = bt_mul(
        s,
        bt_constant_named(
            s, before > gone ? before - gone : 0, BT_FRACTION,
            bt_bind_text(b, "share of it that nothing took before winter, %s", p->subject),
            "from the dates and the rate of release", NULL),
        bt_bind_winter_kept(b, p, b->winter_year + 1));
    const struct bt_node fast =
        bt_mul(s, net, bt_add(s, winter, bt_share(s, by_end - before)));
    const struct bt_node share =
        bt_bind_handbook(b, "residues", "green residue", "slow_release",
                         "share of residue nitrogen a season later", NULL);
    return bt_add(
        s,
        bt_named(s, NULL,
                 bt_bind_text(b, "residue of %s, quick part, next season", p->subject),
                 fast),
        bt_named(s, NULL,
                 bt_bind_text(b, "residue of %s, slow part, next season", p->subject),
                 bt_slow_release(s, with_roots(b, p), share, 1, bt_share(s, 0))));
}

bool bt_bind_next_season(struct bt_binding *b, const struct bt_plot *p, struct bt_node *out)
{
    if (p->perennial || !stays_on_bed(p) ||
        p->ended >= years_on(b->garden->season_start, 1))
        return false;
    *out = bt_named(b->sheet, bt_bind_text(b, "next season/%s", p->id),
                    bt_bind_text(b, "what the residue of %s gives next season", p->subject),
                    next_season(b, p));
    return true;
}

void bt_bind_residues(struct bt_binding *b)
{
    const struct bt_garden *g = b->garden;
    for (size_t i = 0; i < b->n_plots; i++) {
        const struct bt_plot *p = &b->plot[i];
        if (!p->has_nodes || p->perennial || p->ended >= b->end)
            continue;
        note_fate(b, p);
        if (!stays_on_bed(p))
            continue;
        /* Seasons here are by the turn of the year: what is cut in autumn is a season old
         * in spring. One that runs over New Year goes by its own bounds. */
        int year, month, dom;
        bt_civil(p->ended, &year, &month, &dom);
        const int age =
            b->season - (bt_garden_over_new_year(g) ? bt_season_of(g, p->ended) : year);
        if (age == 0) {
            bind_fresh(b, p, false);
        } else if (age == 1 && counts_as_haulm(p, g->season_start)) {
            bind_haulm(b, p);
        } else {
            if (age == 1)
                bind_fresh(b, p, true);
            bind_slow(b, p, (unsigned)age);
        }
    }
}
