#include "plan/candidate.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "model/caution.h"

enum { FORTNIGHT_D = 14 };

double bt_row_likely(const struct bt_handbook *h, const char *table, const char *key,
                     const char *quantity)
{
    const struct bt_row *row = bt_handbook_follow(h, table, key, quantity);
    return row && !row->word ? row->range.likely : (double)NAN;
}

bool bt_is_number(const struct bt_quantity *q)
{
    return q->presence == BT_GIVEN && !q->word && q->bound != BT_NOT_DETECTED;
}

static double or_zero(double x)
{
    return isfinite(x) ? x : 0;
}

static double or_one(double x)
{
    return isfinite(x) ? x : 1;
}

/* ---- analysis ------------------------------------------------------------------------ */

static double dry_frac(const struct bt_handbook *h, const struct bt_candidate *c)
{
    if (c->own && bt_is_number(&c->own->moisture))
        return 1 - c->own->moisture.range.likely;
    return 1 - or_zero(bt_row_likely(h, "materials", c->key, "moisture"));
}

/* Share of what is spread: the garden's own figure, else the handbook's. */
static double content(const struct bt_handbook *h, const struct bt_candidate *c,
                      const struct bt_quantity *own, const char *quantity)
{
    if (own && bt_is_number(own))
        return own->range.likely * (c->own->dry_basis ? dry_frac(h, c) : 1);
    const struct bt_row *row = bt_handbook_follow(h, "materials", c->key, quantity);
    if (!row || row->word)
        return 0;
    return row->range.likely * (bt_text_is(row->basis, "dry") ? dry_frac(h, c) : 1);
}

static void analyse(const struct bt_handbook *h, struct bt_candidate *c)
{
    const struct bt_material *own = c->own;
    c->n_frac = content(h, c, own ? &own->n : NULL, "n");
    c->p2o5_frac = content(h, c, own ? &own->p2o5 : NULL, "p2o5");
    c->k2o_frac = content(h, c, own ? &own->k2o : NULL, "k2o");
    c->available_frac = bt_row_likely(h, "materials", c->key, "n_available_1");
    c->next_frac = or_zero(bt_row_likely(h, "materials", c->key, "n_available_2"));
    c->p2o5_available_frac =
        or_one(bt_row_likely(h, "materials", c->key, "p2o5_available"));
    c->k2o_available_frac = or_one(bt_row_likely(h, "materials", c->key, "k2o_available"));
    c->density_g_m3 = own && bt_is_number(&own->density)
                          ? own->density.range.likely
                          : bt_row_likely(h, "materials", c->key, "density");
}

/* ---- how it is used ---- */

static bool kind_is(const struct bt_candidate *c, const char *kind)
{
    return bt_text_is(c->kind, kind);
}

bool bt_is_quick(const struct bt_handbook *h, const char *key)
{
    const char *kind = bt_handbook_word(h, "materials", key, "kind");
    const double rate_per_d = bt_row_likely(h, "materials", key, "release_rate");
    if (!kind || !(bt_text_is(kind, "meal") || bt_text_is(kind, "mineral")))
        return false;
    return !isfinite(rate_per_d) || 1 - exp(-rate_per_d * FORTNIGHT_D) >= 0.5;
}

static void describe_use(const struct bt_handbook *h, struct bt_candidate *c)
{
    const bool bulky = kind_is(c, "compost") || kind_is(c, "manure") ||
                       kind_is(c, "mulch") || kind_is(c, "residue");
    const char *usual = bt_handbook_word(h, "materials", c->key, "placement");
    c->by_volume = bulky && isfinite(c->density_g_m3) && c->density_g_m3 > 0;
    c->is_early = bulky;
    c->is_quick = c->n_frac > 0 && bt_is_quick(h, c->key);
    c->placement = usual && bt_text_is(usual, "surface") ? BT_SURFACE : BT_DUG_IN;
    if (usual && bt_text_is(usual, "watered"))
        c->placement = BT_WATERED;
}

/* ---- money and stock ---- */

/* Grams of an amount in g or m3; NaN when it cannot be known. */
static double grams(const struct bt_candidate *c, const struct bt_quantity *q)
{
    if (!bt_is_number(q))
        return (double)NAN;
    if (bt_dim_same(q->unit.dim, BT_MASS))
        return q->range.likely;
    return bt_dim_same(q->unit.dim, BT_VOLUME) ? q->range.likely * c->density_g_m3
                                               : (double)NAN;
}

static void price(struct bt_candidate *c)
{
    c->price_per_g = c->package_g = c->on_hand_g = (double)NAN;
    if (!c->own)
        return;
    const struct bt_material *m = c->own;
    c->package_g = grams(c, &m->package);
    c->on_hand_g = m->on_hand.presence == BT_NONE ? 0 : grams(c, &m->on_hand);
    if (bt_is_number(&m->price) && c->package_g > 0)
        c->price_per_g = m->price.range.likely / c->package_g;
    else if (m->price.presence == BT_NONE || m->made_here)
        c->price_per_g = 0; /* nothing is paid for it */
    c->only_on_hand = isfinite(c->on_hand_g) && m->price.presence != BT_GIVEN &&
                      m->package.presence != BT_GIVEN;
}

/* ---- may it be used? ---- */

static const char *organic_refusal(struct bt_arena *a, const struct bt_handbook *h,
                                   const struct bt_candidate *c)
{
    const int said = c->own ? c->own->allowed_organic : -1;
    if (said == 1)
        return NULL;
    if (said == 0)
        return "not allowed in organic growing by materials.csv, and this garden is "
               "organic";
    if (bt_calls_for(a, h, "materials", c->key, "biosolids"))
        return "biosolids are not allowed in organic growing";
    if (kind_is(c, "mineral"))
        return "a mineral fertiliser, and this garden is organic (where your certifier "
               "lists "
               "it, say yes in allowed_organic)";
    return NULL;
}

static const char *refusal(struct bt_arena *a, const struct bt_handbook *h,
                           const struct bt_garden *g, const struct bt_candidate *c)
{
    if (!c->key)
        return "the handbook does not know it: say in `like` which material it follows";
    if (kind_is(c, "other"))
        return "no fertiliser: it brings nothing that is counted here";
    if (c->n_frac <= 0 && c->p2o5_frac <= 0 && c->k2o_frac <= 0)
        return "brings no nutrient by its analysis";
    if (c->only_on_hand && !(c->on_hand_g > 0))
        return "none on hand, and no package or price to buy it by";
    return g->organic_only ? organic_refusal(a, h, c) : NULL;
}

static void complete(struct bt_arena *a, const struct bt_handbook *h,
                     const struct bt_garden *g, struct bt_candidate *c)
{
    const char *kind = c->key ? bt_handbook_word(h, "materials", c->key, "kind") : NULL;
    c->kind = kind ? kind : "other";
    if (c->key) {
        analyse(h, c);
        describe_use(h, c);
        price(c);
    }
    c->no = refusal(a, h, g, c);
}

/* ---- the list ---- */

/* Stand-ins for what a gardener does not know better, not things on a shelf. */
static bool is_stand_in(const char *key)
{
    static const char *const general[] = {
        "compost",           "home compost",       "organic fertiliser",
        "raised-bed mix",    "mineral fertiliser", "quick organic fertiliser",
        "topsoil",           "leached wood ash",   "liquid organic fertiliser",
        "coated fertiliser", "soluble fertiliser", "biosolids compost",
        "leaf mould",        "wood ash",           "sewage sludge pellets",
        "corn gluten meal" /* keeps seeds from sprouting */};
    for (size_t i = 0; i < sizeof general / sizeof *general; i++)
        if (strcmp(key, general[i]) == 0)
            return true;
    return false;
}

static bool is_bought(const struct bt_handbook *h, const char *key)
{
    const char *kind = bt_handbook_word(h, "materials", key, "kind");
    return kind && !is_stand_in(key) &&
           (bt_text_is(kind, "compost") || bt_text_is(kind, "meal") ||
            bt_text_is(kind, "mineral"));
}

static bool is_own(const struct bt_garden *g, const char *key)
{
    for (size_t i = 0; i < g->n_materials; i++)
        if ((g->material[i].like && bt_text_is(g->material[i].like, key)) ||
            bt_text_is(g->material[i].name, key))
            return true;
    return false;
}

size_t bt_candidates(struct bt_arena *a, const struct bt_handbook *h,
                     const struct bt_garden *g, bool from_handbook,
                     struct bt_candidate **out)
{
    const char *const *key = NULL;
    const size_t n_keys = from_handbook ? bt_handbook_keys(h, "materials", &key) : 0;
    const size_t most = g->n_materials + n_keys;
    struct bt_candidate *c = bt_arena_zero(a, (most + 1) * sizeof *c);
    size_t n = 0;
    for (size_t i = 0; i < g->n_materials; i++) {
        c[n].name = g->material[i].name;
        c[n].key = g->material[i].like;
        c[n].own = &g->material[i];
        complete(a, h, g, &c[n++]);
    }
    for (size_t i = 0; i < n_keys; i++) {
        if (!is_bought(h, key[i]) || is_own(g, key[i]))
            continue;
        c[n].name = c[n].key = key[i];
        complete(a, h, g, &c[n++]);
    }
    *out = c;
    return n;
}
