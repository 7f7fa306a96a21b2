/* What was spread on a bed: composts, manures, mulches, residues brought in, meals,
 * fertilisers. */
#include <math.h>
#include <string.h>

#include "base/figures.h"
#include "base/text.h"
#include "model/amendment.h"
#include "model/residue.h"
#include "model/season_bind.h"

enum {
    TOO_YOUNG_FOR_A_TEST_D = 21, /* its N is not nitrate yet (docs/model.md) */
    FORTNIGHT_D = 14             /* what comes in it is quick (docs/amend.md) */
};

/* One application as this bed sees it. */
struct addition {
    const struct bt_application *x;
    const char *key;     /* row of table materials */
    const char *kind;    /* compost, manure, mulch, residue, meal, mineral, other */
    const char *subject; /* "dairy compost", "dairy compost, 12 May" */
    enum bt_placement placement;
    int age;            /* seasons: 0 this one */
    bool before_winter; /* of this season, but spread before the turn of the year */
    struct bt_node dry, n;
};

/* ---- what becomes available, by kind ---- */

static struct bt_node available_share(struct bt_binding *b, const struct addition *a,
                                      int season)
{
    const char *quantity = bt_bind_text(b, "n_available_%d", season < 3 ? season : 3);
    const struct bt_row *row = bt_bind_row(b, "materials", a->key, quantity);
    return bt_bind_leaf_of(b, row, bt_bind_text(b, "share available in season %d", season),
                           bt_bind_material_label(a->x), true);
}

static struct bt_pool pool_of(const struct addition *a, struct bt_node node)
{
    return (struct bt_pool){.id = a->subject,
                            .label = a->subject,
                            .node = node,
                            .release = {.from = a->x->date.day},
                            .status = a->x->status,
                            .is_advice = a->x->is_advice,
                            .origin = a->subject,
                            .came = a->x->date.day,
                            .addition = a->x};
}

static bool seen_by_sample(const struct bt_binding *b, int day)
{
    return b->has_om_line &&
           (!b->om_test || !b->om_test->date.known || day <= b->om_test->date.day);
}

/* An earlier season's compost or manure: the decay series, less what organic matter pays
 * already. */
static void bind_later(struct bt_binding *b, const struct addition *a)
{
    struct bt_sheet *s = b->sheet;
    const int season = a->age + 1;
    struct bt_node share = available_share(b, a, season);
    if (season > 3) { /* beyond the table: halved each season (judgement) */
        const double halved = ldexp(1, 3 - season);
        share = bt_mul(s, share, bt_share(s, halved));
    }
    const struct bt_node already =
        seen_by_sample(b, a->x->date.day) ? b->om_already : bt_share(s, 0);
    struct bt_pool p = pool_of(a, bt_later_available(s, a->n, share, already));
    p.release = (struct bt_release){.from = b->start, .by_warmth = 1};
    p.label = bt_bind_text(b, "%s (season %d after spreading)", a->subject, season);
    bt_bind_supply(b, &p);
}

/* Its mineral part is there at once, the rest as the soil warms. */
static void bind_compost(struct bt_binding *b, const struct addition *a)
{
    struct bt_sheet *s = b->sheet;
    const double mu = bt_bind_likely(b, "soils", "any", "compost_mineral_share");
    const struct bt_node share = available_share(b, a, 1);
    const double a1 = bt_likely(s, share);
    const struct bt_material *own = a->x->own;
    struct bt_node node = bt_compost_available(s, a->n, share);
    double at_once = a1 > mu ? mu / a1 : 1;
    if (own && bt_given(&own->c_n) && own->c_n.range.likely > 30) {
        node =
            bt_mul(s, a->n, bt_share(s, 0)); /* raw: nothing to give in the first season */
        bt_bind_understood(
            b, bt_bind_text(b, "%s: C:N above 30, no nitrogen counted this season.",
                            a->subject));
    } else if (own && (bt_given(&own->ammonium_n) || bt_given(&own->nitrate_n))) {
        bool dry_basis = own->dry_basis;
        struct bt_node mineral = bt_share(s, 0);
        if (bt_given(&own->ammonium_n))
            mineral = bt_add(s, mineral,
                             bt_bind_own_or_table(b, a->x, &own->ammonium_n, "ammonium_n",
                                                  "ammonium nitrogen", &dry_basis));
        if (bt_given(&own->nitrate_n))
            mineral = bt_add(s, mineral,
                             bt_bind_own_or_table(b, a->x, &own->nitrate_n, "nitrate_n",
                                                  "nitrate nitrogen", &dry_basis));
        const struct bt_node ratio = bt_div(
            s, mineral,
            bt_bind_own_or_table(b, a->x, &own->n, "n", "nitrogen content", &dry_basis));
        const struct bt_node mineral_n =
            bt_named(s, NULL, bt_bind_text(b, "mineral nitrogen of %s", a->subject),
                     bt_mul(s, a->n, ratio));
        const struct bt_node mu_node =
            bt_bind_handbook(b, "soils", "any", "compost_mineral_share",
                             "mineral share behind the table", NULL);
        node = bt_compost_analysed(s, a->n, mineral_n, share, mu_node);
        const double likely = bt_likely(s, node);
        at_once = likely > 0 ? fmin(1, bt_likely(s, mineral_n) / likely) : 1;
    }
    struct bt_pool p = pool_of(a, node);
    p.release.at_once = at_once;
    p.release.by_warmth = 1 - at_once;
    const struct bt_node kept =
        a->before_winter ? bt_bind_winter_kept(b, NULL, b->winter_year) : bt_share(s, 1);
    if (a->before_winter)
        p.kept = &kept;
    const double low =
        bt_sheet_node(s, share)->leaf ? bt_sheet_node(s, share)->leaf->range.low : a1;
    if (low < 0)
        bt_bind_tie_up(b, &p);
    else
        bt_bind_supply(b, &p);
}

static const char *rate_words(struct bt_binding *b, double g_m2)
{
    static const double G_M2_OF_LB_PER_100_SQUARE_FEET = 48.8242764;
    return b->garden->us_units
               ? bt_bind_text(
                     b, "%s lb per 100 sq ft",
                     bt_figures_short(b->arena, g_m2 / G_M2_OF_LB_PER_100_SQUARE_FEET, 2))
               : bt_bind_text(b, "%s g/m2", bt_figures_short(b->arena, g_m2, 2));
}

/* Quick nitrogen above a single dose gets its caution; above what is the standard of a
 * whole year, or several times what is needed, it can burn and is said before all else. */
static void mind_dose(struct bt_binding *b, const struct addition *a, double quick_g_m2,
                      const char *word)
{
    const double year_g_m2 = bt_bind_likely(b, "soils", "any", "yearly_dose_limit");
    if (quick_g_m2 <= bt_bind_likely(b, "soils", "any", "single_dose_limit"))
        return;
    bt_bind_caution(b, word);
    if (quick_g_m2 <= year_g_m2)
        return;
    bt_bind_caution(b, "over-application");
    const char *brief = bt_bind_text(
        b,
        "%s: %s times the quick nitrogen that is a garden's standard for a year, in one "
        "dose; it can burn roots and seedlings",
        a->subject, bt_figures_short(b->arena, quick_g_m2 / year_g_m2, 2));
    bt_bind_alert(
        b,
        (struct bt_alert){
            .kind = BT_ALERT_DOSE,
            .brief = brief,
            .text = bt_bind_text(
                b,
                "%s. About %s of its nitrogen is there at once or within a fortnight; one "
                "state's standard is %s a year. Wait some weeks with sowing, give nothing "
                "more, and expect nitrate to wash out.",
                brief, rate_words(b, quick_g_m2), rate_words(b, year_g_m2))});
}

static void bind_manure(struct bt_binding *b, const struct addition *a)
{
    struct bt_sheet *s = b->sheet;
    bool dry_n = false, dry_nh4 = false;
    const struct bt_material *own = a->x->own;
    const struct bt_node content = bt_bind_own_or_table(b, a->x, own ? &own->n : NULL, "n",
                                                        "nitrogen content", &dry_n);
    const struct bt_node nh4 =
        bt_bind_own_or_table(b, a->x, own ? &own->ammonium_n : NULL, "ammonium_n",
                             "ammonium nitrogen", &dry_nh4);
    const char *when =
        a->placement == BT_SURFACE ? "ammonium_kept_surface" : "ammonium_kept";
    const struct bt_node kept =
        bt_bind_leaf_of(b, bt_bind_row(b, "materials", a->key, when), "ammonium kept",
                        bt_bind_material_label(a->x), true);
    const struct bt_node ammonium =
        bt_named(s, NULL, bt_bind_text(b, "ammonium nitrogen of %s", a->subject),
                 bt_mul(s, a->n, bt_div(s, nh4, content)));
    const struct bt_node organic =
        bt_named(s, NULL, bt_bind_text(b, "organic nitrogen of %s", a->subject),
                 bt_sub(s, a->n, ammonium));
    const struct bt_node node =
        bt_manure_available(s, ammonium, kept, organic, available_share(b, a, 1));
    const double quick = bt_likely(s, ammonium) * bt_likely(s, kept);
    struct bt_pool p = pool_of(a, node);
    p.release.at_once = bt_likely(s, node) > 0 ? quick / bt_likely(s, node) : 1;
    p.release.by_warmth = 1 - p.release.at_once;
    const struct bt_node winter =
        a->before_winter ? bt_bind_winter_kept(b, NULL, b->winter_year) : bt_share(s, 1);
    if (a->before_winter)
        p.kept = &winter;
    bt_bind_supply(b, &p);
    mind_dose(b, a, quick, "heavy manure");
}

/* Available per dry matter when dug in: the table's own net figure, or the line of the N
 * content. */
static struct bt_node net_when_dug_in(struct bt_binding *b, const struct addition *a)
{
    const struct bt_material *own = a->x->own;
    const struct bt_row *net = bt_handbook_follow(b->book, "materials", a->key, "net_n");
    const bool own_n = own && bt_given(&own->n);
    if (net && !own_n)
        return bt_mul(b->sheet, a->dry,
                      bt_bind_leaf_of(b, net, "net nitrogen when dug in",
                                      bt_bind_material_label(a->x), true));
    bool unused = false;
    const struct bt_node content = bt_bind_own_or_table(b, a->x, own ? &own->n : NULL, "n",
                                                        "nitrogen content", &unused);
    const struct bt_pan_line line = bt_bind_pan_line(b);
    return bt_mul(b->sheet, a->dry,
                  bt_named(b->sheet, NULL,
                           bt_bind_text(b, "available per dry matter of %s",
                                        bt_bind_material_label(a->x)),
                           bt_pan_per_dry_matter(b->sheet, content, &line)));
}

/* Net nitrogen of a mulch or residue where it lies, in the weeks after it was laid. */
static struct bt_node net_where_it_lies(struct bt_binding *b, const struct addition *a)
{
    const struct bt_node net = net_when_dug_in(b, a);
    if (a->placement != BT_SURFACE)
        return net;
    const struct bt_row *row =
        bt_handbook_follow(b->book, "materials", a->key, "surface_factor");
    const struct bt_node given =
        row ? bt_bind_leaf_of(b, row, "share given from the surface",
                              bt_bind_material_label(a->x), true)
            : bt_bind_handbook(b, "residues", "green residue", "surface_factor",
                               "share given from the surface", "green residue");
    return bt_bind_on_surface(
        b, a->subject,
        bt_named(b->sheet, NULL,
                 bt_bind_text(b, "net nitrogen of %s if dug in", a->subject), net),
        given, &b->surface_tied[a->age > 0]);
}

static struct bt_release residue_release(struct bt_binding *b, const struct addition *a)
{
    const struct bt_row *rate =
        bt_handbook_follow(b->book, "materials", a->key, "release_rate");
    return (struct bt_release){
        .from = a->x->date.day,
        .by_rate = 1,
        .rate_per_d = rate
                          ? rate->range.likely
                          : bt_bind_likely(b, "residues", "green residue", "release_rate")};
}

static void bind_residue(struct bt_binding *b, const struct addition *a)
{
    struct bt_pool p = pool_of(a, net_where_it_lies(b, a));
    p.release = residue_release(b, a);
    if (a->before_winter && bt_likely(b->sheet, p.node) >= 0) {
        const struct bt_node kept = bt_bind_winter_kept(b, NULL, b->garden->season);
        p.kept = &kept;
        bt_bind_supply(b, &p);
        return;
    }
    bt_bind_tie_up(b, &p);
}

/* Nitrogen at or above the break-even: it gives; below it ties up. */
static bool gives_nitrogen(struct bt_binding *b, const struct addition *a)
{
    bool unused = false;
    const struct bt_material *own = a->x->own;
    const struct bt_node content = bt_bind_own_or_table(b, a->x, own ? &own->n : NULL, "n",
                                                        "nitrogen content", &unused);
    return bt_likely(b->sheet, content) >= bt_bind_pan_line(b).break_even_frac;
}

/* Laid so late that part of its quick nitrogen came, or comes, after last season's end. */
static void bind_rest_of_quick(struct bt_binding *b, const struct addition *a)
{
    static const double WORTH_A_LINE = 0.02;
    int year, month, dom;
    bt_civil(b->garden->season_end, &year, &month, &dom);
    const int last_end = bt_day(year - 1, month, dom);
    const struct bt_release release = residue_release(b, a);
    if (1 - bt_released(b, &release, last_end) < WORTH_A_LINE)
        return;
    const struct bt_node net = net_where_it_lies(b, a);
    if (bt_likely(b->sheet, net) <= 0)
        return;
    const struct bt_node kept = bt_bind_winter_kept(b, NULL, b->garden->season);
    struct bt_pool p = pool_of(a, net);
    p.release = release;
    p.kept = &kept;
    p.kept_from = last_end;
    bt_bind_supply(b, &p);
}

/* A mulch or residue of an earlier season that gives nitrogen: as a crop's residue does, a
 * slow share of all it held, halved each season, less what the organic-matter line pays. A
 * soil sample leaves out what still lies on top. */
static void bind_slow(struct bt_binding *b, const struct addition *a)
{
    struct bt_sheet *s = b->sheet;
    if (a->age == 1)
        bind_rest_of_quick(b, a);
    const struct bt_node share =
        bt_bind_handbook(b, "residues", "green residue", "slow_release",
                         "share of residue nitrogen a season later", NULL);
    const bool seen =
        seen_by_sample(b, a->x->date.day) && (a->age > 1 || a->placement != BT_SURFACE);
    const struct bt_node already = seen ? b->om_already : bt_share(s, 0);
    struct bt_pool p =
        pool_of(a, bt_slow_release(s, a->n, share, (unsigned)a->age, already));
    p.id = p.label = bt_bind_text(b, "slow release of %s", a->subject);
    p.release = (struct bt_release){.from = b->start, .by_warmth = 1};
    bt_bind_supply(b, &p);
}

/* Tie-up of last season is paid back in part, wherever the material lies. */
static void bind_payback(struct bt_binding *b, const struct addition *a)
{
    if (a->age != 1)
        return;
    struct bt_node net = net_where_it_lies(b, a);
    const struct bt_node zero = bt_constant(b->sheet, 0, BT_MASS_PER_AREA);
    if (bt_likely(b->sheet, net) >= 0)
        return;
    const struct bt_node share = bt_bind_handbook(b, "residues", "green residue", "payback",
                                                  "share of tie-up paid back", NULL);
    /* Last year's pool is not known; a soil that holds so much now held about that then. */
    net = bt_tie_up_held(b->sheet, bt_min(b->sheet, net, zero), b->start_nitrate);
    struct bt_pool p = pool_of(a, bt_mul(b->sheet, bt_sub(b->sheet, zero, net), share));
    p.label = bt_bind_text(b, "tied up by %s, paid back", a->subject);
    p.release = (struct bt_release){.from = b->start, .by_warmth = 1};
    bt_bind_supply(b, &p);
    bt_bind_understood(
        b, bt_bind_text(b,
                        "%s: %.0f %% of the nitrogen that it tied up last season, dug in "
                        "or on top, is taken to come back in this one (a judgement).",
                        a->subject, 100 * bt_likely(b->sheet, share)));
}

static void bind_quick(struct bt_binding *b, const struct addition *a)
{
    struct bt_node node = bt_mul(b->sheet, a->n, available_share(b, a, 1));
    struct bt_pool p = pool_of(a, node);
    const struct bt_row *rate =
        bt_handbook_follow(b->book, "materials", a->key, "release_rate");
    p.release.by_rate = rate ? 1 : 0;
    p.release.at_once = rate ? 0 : 1;
    p.release.rate_per_d = rate ? rate->range.likely : 0;
    p.keep_before_reset = b->reset && a->x->date.day <= b->start &&
                          b->start - a->x->date.day <= TOO_YOUNG_FOR_A_TEST_D;
    if (p.keep_before_reset)
        bt_bind_understood(
            b, bt_bind_text(b,
                            "%s lay in the soil less than three weeks when the nitrate "
                            "was tested: counted in full beside the reading.",
                            a->subject));
    const struct bt_node winter = a->before_winter
                                      ? bt_bind_winter_kept(b, NULL, b->winter_year)
                                      : bt_share(b->sheet, 1);
    if (a->before_winter)
        p.kept = &winter;
    bt_bind_supply(b, &p);
    const double quick_frac =
        rate ? 1 - exp(-p.release.rate_per_d * FORTNIGHT_D) : p.release.at_once;
    mind_dose(b, a, bt_likely(b->sheet, node) * quick_frac, "over-application");
}

/* ---- the list of additions ---- */

static enum bt_placement placement_of(struct bt_binding *b, const struct bt_application *x)
{
    if (x->placement != BT_PLACE_UNKNOWN)
        return x->placement;
    const char *usual = bt_bind_word(b, "materials", x->material, "placement");
    const bool surface = usual && bt_text_is(usual, "surface");
    bt_bind_assumed(b, bt_bind_text(b, "%s: %s", bt_bind_material_label(x),
                                    surface ? "laid on the surface" : "dug in"));
    return surface ? BT_SURFACE : BT_DUG_IN;
}

static bool describe(struct bt_binding *b, const struct bt_application *x,
                     struct addition *out)
{
    const struct bt_garden *g = b->garden;
    const int season = bt_season_of(g, x->date.day);
    if (!x->material || x->date.day >= b->end || season > b->season ||
        b->season - season > 3)
        return false;
    int year, month, dom;
    bt_civil(x->date.day, &year, &month, &dom);
    const char *kind = bt_bind_word(b, "materials", x->material, "kind");
    *out = (struct addition){.x = x,
                             .key = x->material,
                             .kind = kind ? kind : "other",
                             .age = b->season - season,
                             .before_winter = season == b->season && year < b->winter_year,
                             .placement = placement_of(b, x)};
    out->subject = bt_deed_subject(b->arena, g, b->bed_index, x);
    if (bt_text_is(out->kind, "other"))
        return false;
    if (bt_bind_application_n(b, x, bt_bind_spread_area_m2(b, x), &out->dry, &out->n))
        return true;
    if (x->amount.presence != BT_NONE)
        bt_bind_assumed(
            b, bt_bind_text(b, "amount of %s: not known, nothing counted", out->subject));
    return false;
}

static void bind_one(struct bt_binding *b, const struct addition *a)
{
    const bool compost = bt_text_is(a->kind, "compost"),
               manure = bt_text_is(a->kind, "manure");
    const bool plant = bt_text_is(a->kind, "mulch") || bt_text_is(a->kind, "residue");
    if (a->age > 0) {
        if (compost || manure)
            bind_later(b, a);
        else if (plant && gives_nitrogen(b, a))
            bind_slow(b, a);
        else if (plant)
            bind_payback(b, a);
    } else if (compost) {
        bind_compost(b, a);
    } else if (manure) {
        bind_manure(b, a);
    } else if (plant) {
        bind_residue(b, a);
    } else {
        bind_quick(b, a);
    }
}

void bt_bind_additions(struct bt_binding *b)
{
    const struct bt_garden *g = b->garden;
    for (size_t i = 0; i < g->n_applications; i++) {
        struct addition a;
        if (bt_bind_is_on_bed(b, &g->application[i]) && describe(b, &g->application[i], &a))
            bind_one(b, &a);
    }
}

/* Compost of this season that the organic-matter sample has seen is in its figure already.
 */
void bt_bind_additions_before_sample(struct bt_binding *b)
{
    const struct bt_garden *g = b->garden;
    b->compost_om = bt_constant(b->sheet, 0, BT_MASS_PER_AREA);
    if (!b->om_test || !b->om_test->date.known)
        return;
    for (size_t i = 0; i < g->n_applications; i++) {
        struct addition a;
        const struct bt_application *x = &g->application[i];
        if (!bt_bind_is_on_bed(b, x) || x->date.day > b->om_test->date.day ||
            !describe(b, x, &a))
            continue;
        if (a.age != 0 || !(bt_text_is(a.kind, "compost") || bt_text_is(a.kind, "manure")))
            continue;
        const struct bt_node share =
            bt_bind_handbook(b, "soils", "any", "compost_organic_matter",
                             "organic matter in dry compost", NULL);
        const struct bt_node om =
            bt_named(b->sheet, NULL, bt_bind_text(b, "organic matter of %s", a.subject),
                     bt_mul(b->sheet, a.dry, share));
        b->compost_om = bt_add(b->sheet, b->compost_om, om);
    }
    if (bt_likely(b->sheet, b->compost_om) > 0)
        b->compost_om =
            bt_named(b->sheet, NULL, "organic matter of compost spread before the sample",
                     b->compost_om);
}
