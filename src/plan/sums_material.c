/* Composts and manures by mass, volume or depth: what they bring this season and later. The
 * equations are those of src/model/amendment.c. */
#include <string.h>

#include "model/amendment.h"
#include "plan/desk.h"
#include "plan/product.h"
#include "plan/sum_list.h"

#define PART (BT_TAKES_SHARE | BT_TAKES_PERCENT)
#define HELD (PART | BT_TAKES_DENSITY)
#define MUCH (BT_TAKES_MASS | BT_TAKES_RATE | BT_TAKES_VOLUME | BT_TAKES_LENGTH)

/* What lies there: fresh and, where contents are of dry matter, dry. */
struct heap {
    const char *material; /* handbook's name, NULL when none was named */
    bool has_amount;
    struct bt_node
        amount; /* mass, mass per area, volume or depth; 1 where none was given */
    bool has_area;
    struct bt_node area;
    struct bt_node base; /* what contents are times of */
    bool by_volume;      /* contents are per volume */
};

static struct bt_node whole(struct bt_desk *w)
{
    return bt_constant_named(w->sheet, 1, BT_FRACTION, "unit of it",
                             "no amount was given: contents are shown", NULL);
}

/* Volume or depth to mass, unless contents are per volume. */
static bool weigh(struct bt_desk *w, struct heap *h, bool content_by_volume)
{
    h->by_volume = content_by_volume;
    const bool is_volume =
        bt_desk_dim(w, h->amount, BT_VOLUME) || bt_desk_dim(w, h->amount, BT_LENGTH);
    h->base = h->amount;
    if (!h->has_amount || content_by_volume == is_volume)
        return true;
    if (content_by_volume) {
        bt_desk_refuse(w, "amount", "a volume or a depth, as the contents are per volume",
                       NULL);
        return false;
    }
    if (!bt_desk_has(w, "density") && !h->material) {
        bt_desk_refuse(w, "density", "the density, or a material (like)", NULL);
        return false;
    }
    h->base = bt_desk_named(
        w, bt_desk_dim(w, h->amount, BT_VOLUME) ? "mass" : "mass per area",
        bt_mul(w->sheet, h->amount,
               bt_desk_or_book(w, "density", "materials", h->material, "density")));
    return !w->failed;
}

static void put(struct bt_desk *w, const struct heap *h, const char *name, struct bt_node n)
{
    const struct bt_dim dim = bt_sheet_node(w->sheet, n)->dim;
    const bool is_mass = bt_dim_same(dim, BT_MASS) || bt_dim_same(dim, BT_MASS_PER_AREA);
    if (is_mass)
        bt_desk_result_both(w, name, n, h->has_area ? &h->area : NULL);
    else
        bt_desk_result(w, name, n, NULL);
}

static bool begin(struct bt_desk *w, struct heap *h, const char *fallback)
{
    const char *material = bt_desk_word(w, "like");
    h->material = material ? material : fallback;
    h->has_amount = bt_desk_has(w, "amount");
    h->amount = h->has_amount ? bt_desk_node(w, "amount") : whole(w);
    h->has_area = bt_desk_has(w, "area");
    h->area = h->has_area ? bt_desk_node(w, "area") : h->amount;
    return !w->failed;
}

/* Is a content of dry matter? As it was said, else as the handbook's row says. */
static bool is_dry(struct bt_desk *w, const struct heap *h, bool typed,
                   const char *quantity)
{
    const char *word = bt_desk_word(w, "basis");
    if (word && typed)
        return strcmp(word, "dry") == 0;
    const struct bt_row *row =
        typed ? NULL : bt_handbook_follow(w->book, "materials", h->material, quantity);
    return row && strcmp(row->basis, "dry") == 0;
}

static struct bt_node dry_base(struct bt_desk *w, const struct heap *h)
{
    const struct bt_node moisture =
        bt_desk_or_book(w, "moisture", "materials", h->material, "moisture");
    return bt_desk_named(w, "dry matter", bt_dry_matter(w->sheet, h->base, moisture));
}

/* A content in the heap, from its key or the handbook; false where neither has it. */
static bool held(struct bt_desk *w, const struct heap *h, const char *key, const char *form,
                 struct bt_node *out)
{
    const struct bt_sum_given *g = bt_desk_nth(w, key, 1);
    const struct bt_row *row =
        h->material && !g && !h->by_volume
            ? bt_handbook_follow(w->book, "materials", h->material, key)
            : NULL;
    if (!g && !row)
        return false;
    if (g && bt_desk_dim(w, g->node, BT_DENSITY) != h->by_volume) {
        bt_desk_refuse(w, key, "all contents per mass, or all per volume", NULL);
        return false;
    }
    const struct bt_node content =
        g ? bt_desk_as(w, g, form)
          : bt_desk_leaf(w, row, bt_desk_text(w, "%s in %s", form, h->material));
    const bool dry = is_dry(w, h, g != NULL, key);
    *out = bt_mul(w->sheet, dry ? dry_base(w, h) : h->base, content);
    return true;
}

/* ---- compost ---- */

static const struct bt_sum_key compost_keys[] = {
    {"amount",      MUCH,             NULL,        "by mass, volume (`3 buckets`), mass per area or depth"},
    {"area",        BT_TAKES_AREA,    NULL,        "ground it is spread on"                               },
    {"like",        BT_TAKES_NAME,    "materials",
     "a compost of the handbook, for what is not given"                                                   },
    {"n",           PART,             NULL,        "total N"                                              },
    {"p2o5",        PART,             NULL,        "P2O5 (`0.6 % P` is turned into it)"                   },
    {"k2o",         PART,             NULL,        "K2O"                                                  },
    {"ammonium_n",  PART,             NULL,        "ammonium N (with it the analysis is used)"            },
    {"nitrate_n",   PART,             NULL,        "nitrate N"                                            },
    {"basis",       BT_TAKES_WORD,    "as-is|dry", "what those are of: must be said"                      },
    {"moisture",    PART,             NULL,        "water in it, of the whole"                            },
    {"density",     BT_TAKES_DENSITY, NULL,        "as it is spread (`25 lb/bucket`)"                     },
    {"available",   PART,             NULL,        "share of total N in the first season"                 },
    {"available_2", PART,             NULL,        "in the second"                                        },
    {"available_3", PART,             NULL,        "in the third"                                         },
    {NULL,          0,                NULL,        NULL                                                   }
};

static struct bt_node compost_first(struct bt_desk *w, const struct heap *h,
                                    struct bt_node n)
{
    struct bt_node mineral[2];
    size_t found = 0;
    const struct bt_node share =
        bt_desk_or_book(w, "available", "materials", h->material, "n_available_1");
    if (bt_desk_has(w, "ammonium_n") && held(w, h, "ammonium_n", "N", &mineral[found]))
        found++;
    if (bt_desk_has(w, "nitrate_n") && held(w, h, "nitrate_n", "N", &mineral[found]))
        found++;
    if (found == 0)
        return bt_compost_available(w->sheet, n, share);
    const struct bt_node all =
        bt_desk_named(w, "mineral N in it",
                      found == 2 ? bt_add(w->sheet, mineral[0], mineral[1]) : mineral[0]);
    put(w, h, "mineral N in it", all);
    return bt_compost_analysed(w->sheet, n, all, share,
                               bt_desk_book(w, "soils", "any", "compost_mineral_share",
                                            "mineral share behind the table"));
}

static void put_later(struct bt_desk *w, const struct heap *h, struct bt_node n,
                      const char *const key[2])
{
    static const char *const quantity[] = {"n_available_2", "n_available_3"};
    static const char *const name[] = {"N of the second season", "N of the third season"};
    const struct bt_node nothing = bt_share(w->sheet, 0);
    for (int i = 0; i < 2; i++) {
        if (!bt_desk_has(w, key[i]) &&
            !(h->material &&
              bt_handbook_follow(w->book, "materials", h->material, quantity[i])))
            continue;
        const struct bt_node share =
            bt_desk_or_book(w, key[i], "materials", h->material, quantity[i]);
        put(w, h, name[i], bt_later_available(w->sheet, n, share, nothing));
    }
}

static void put_oxides(struct bt_desk *w, const struct heap *h)
{
    struct bt_node n;
    if (held(w, h, "p2o5", "P2O5", &n))
        put(w, h, "P2O5", n);
    if (held(w, h, "k2o", "K2O", &n))
        put(w, h, "K2O", n);
}

static bool typed_any(const struct bt_desk *w)
{
    static const char *const key[] = {"n", "p2o5", "k2o", "ammonium_n", "nitrate_n"};
    for (size_t i = 0; i < sizeof key / sizeof *key; i++)
        if (bt_desk_has(w, key[i]))
            return true;
    return false;
}

static void build_compost(struct bt_desk *w)
{
    struct heap h;
    struct bt_node n;
    if (typed_any(w) && !bt_desk_word(w, "basis")) {
        bt_desk_refuse(w, "basis", "as-is or dry",
                       "a laboratory marks its lines `dw`, `dry` or `as received`");
        return;
    }
    if (!begin(w, &h, "compost") || !weigh(w, &h, false))
        return;
    if (h.has_amount)
        put(w, &h, "compost as spread", h.base);
    if (!held(w, &h, "n", "N", &n)) {
        bt_desk_refuse(w, "n", "its nitrogen", NULL);
        return;
    }
    n = bt_desk_named(w, "total N", n);
    put(w, &h, "total N", n);
    put(w, &h, "N of the first season", compost_first(w, &h, n));
    put_later(w, &h, n, (const char *const[]){"available_2", "available_3"});
    put_oxides(w, &h);
}

const struct bt_sum bt_sum_compost = {
    "compost",
    "what a compost brings, this season and later",
    "Total N is mass (dry or as it is) times content; of it a share counts in each season. "
    "With ammonium and nitrate: those, and a share of the rest.",
    "arithmetic",
    compost_keys,
    "amount='1/2 in' area='4 x 8 ft' like='dairy compost'",
    build_compost};

/* ---- manure ---- */

static const struct bt_sum_key manure_keys[] = {
    {"amount",         MUCH,             NULL,             "by mass, volume, mass per area or depth"         },
    {"area",           BT_TAKES_AREA,    NULL,             "ground it is spread on"                          },
    {"like",           BT_TAKES_NAME,    "materials",      "a manure of the handbook, for what is not given" },
    {"n",              HELD,             NULL,             "total N (`21 lb/ton`, `3.5 kg/1000 L`, 0.6 %)"   },
    {"ammonium_n",     HELD,             NULL,             "ammonium N"                                      },
    {"nitrate_n",      HELD,             NULL,             "nitrate N"                                       },
    {"p2o5",           HELD,             NULL,             "P2O5"                                            },
    {"k2o",            HELD,             NULL,             "K2O"                                             },
    {"basis",          BT_TAKES_WORD,    "as-is|dry",      "what those are of (as it is)"                    },
    {"moisture",       PART,             NULL,             "water in it, of the whole"                       },
    {"density",        BT_TAKES_DENSITY, NULL,             "as it is spread"                                 },
    {"kept",           PART,             NULL,             "share of the ammonium that does not fly off"     },
    {"placement",      BT_TAKES_WORD,    "dug-in|surface", "how it is spread, for `kept` (dug-in)"           },
    {"released",       PART,             NULL,             "share of organic N in the first season"          },
    {"released_2",     PART,             NULL,             "in the second"                                   },
    {"released_3",     PART,             NULL,             "in the third"                                    },
    {"available",      PART,             NULL,             "or one share of total N for the first season"    },
    {"p2o5_available", PART,             NULL,             "share of P2O5 that counts (all)"                 },
    {"k2o_available",  PART,             NULL,             "share of K2O that counts (all)"                  },
    {"need_n",         BT_TAKES_RATE,    NULL,             "N wanted per area, to see the rate that gives it"},
    {"need_p2o5",      BT_TAKES_RATE,    NULL,             "P2O5 wanted per area"                            },
    {"need_k2o",       BT_TAKES_RATE,    NULL,             "K2O wanted per area"                             },
    {NULL,             0,                NULL,             NULL                                              }
};

/* Organic N = total - ammonium - nitrate; what counts this season. */
static struct bt_node manure_first(struct bt_desk *w, const struct heap *h,
                                   struct bt_node n, struct bt_node *organic)
{
    struct bt_node ammonium, nitrate;
    *organic = n;
    if (bt_desk_has(w, "available"))
        return bt_compost_available(w->sheet, n, bt_desk_node(w, "available"));
    const struct bt_row *row =
        h->material ? bt_handbook_follow(w->book, "materials", h->material, "n_available_1")
                    : NULL;
    if (row && !bt_desk_has(w, "released") && strcmp(row->basis, "of_total") == 0)
        return bt_compost_available(
            w->sheet, n,
            bt_desk_leaf(w, row,
                         bt_desk_text(w, "share of N that counts of %s", h->material)));
    if (!row && !bt_desk_has(w, "released")) {
        bt_desk_refuse(w, "released", "the share of organic N of the first season",
                       "or a material (like), or available for one share of all of it");
        return n;
    }
    const bool has_ammonium = held(w, h, "ammonium_n", "N", &ammonium);
    const bool has_nitrate =
        bt_desk_has(w, "nitrate_n") && held(w, h, "nitrate_n", "N", &nitrate);
    if (has_ammonium)
        *organic = bt_sub(w->sheet, *organic, ammonium);
    if (has_nitrate)
        *organic = bt_sub(w->sheet, *organic, nitrate);
    *organic = bt_desk_named(w, "organic N", *organic);
    put(w, h, "organic N", *organic);
    const struct bt_node share =
        bt_desk_or_book(w, "released", "materials", h->material, "n_available_1");
    put(w, h, "organic N of the first season", bt_mul(w->sheet, *organic, share));
    if (!has_ammonium)
        ammonium = bt_mul(w->sheet, n, bt_share(w->sheet, 0));
    const char *kept =
        bt_desk_is(w, "placement", "surface") ? "ammonium_kept_surface" : "ammonium_kept";
    const struct bt_node first = bt_manure_available(
        w->sheet, ammonium, bt_desk_or_book(w, "kept", "materials", h->material, kept),
        *organic, share);
    return has_nitrate ? bt_add(w->sheet, first, nitrate) : first;
}

/* The rate that gives a need: need over what counts in a unit of the manure. */
static void put_rate(struct bt_desk *w, const char *key, const char *form,
                     struct bt_node counts)
{
    const struct bt_sum_given *g = bt_desk_nth(w, key, 1);
    if (!g)
        return;
    const struct bt_node need = bt_desk_as(w, g, form);
    if (w->failed || !bt_desk_guard(w, g, need, bt_form_of(form)))
        return;
    if (!(bt_likely(w->sheet, counts) > 0)) {
        bt_desk_refuse(w, key, bt_desk_text(w, "a manure that gives %s", form), NULL);
        return;
    }
    const bool by_volume = bt_desk_dim(w, counts, BT_DENSITY);
    bt_desk_result(w, bt_desk_text(w, "%s by %s", by_volume ? "depth" : "rate", form),
                   bt_div(w->sheet, need, counts),
                   by_volume     ? NULL
                   : w->us_units ? "ton/ac"
                                 : "kg/m2");
}

static bool has_needs(const struct bt_desk *w)
{
    return bt_desk_has(w, "need_n") || bt_desk_has(w, "need_p2o5") ||
           bt_desk_has(w, "need_k2o");
}

static void put_manure_oxide(struct bt_desk *w, const struct heap *h, const char *key,
                             const char *form)
{
    struct bt_node n;
    if (!held(w, h, key, form, &n))
        return;
    put(w, h, form, n);
    const char *available = bt_desk_text(w, "%s_available", key);
    if (bt_desk_has(w, available)) {
        n = bt_desk_named(w, bt_desk_text(w, "%s that counts", form),
                          bt_mul(w->sheet, n, bt_desk_node(w, available)));
        put(w, h, bt_desk_text(w, "%s that counts", form), n);
    }
    if (!h->has_amount)
        put_rate(w, bt_desk_text(w, "need_%s", key), form, n);
}

static void build_manure(struct bt_desk *w)
{
    struct heap h;
    struct bt_node n, organic;
    if (!begin(w, &h, NULL))
        return;
    if (h.has_amount && has_needs(w)) {
        bt_desk_refuse(w, "amount", "either an amount or needs", NULL);
        return;
    }
    const struct bt_sum_given *total = bt_desk_nth(w, "n", 1);
    if (!weigh(w, &h, total && bt_desk_dim(w, total->node, BT_DENSITY)))
        return;
    if (held(w, &h, "n", "N", &n)) {
        n = bt_desk_named(w, "total N", n);
        put(w, &h, "total N", n);
        const struct bt_node first =
            bt_desk_named(w, "N of the first season", manure_first(w, &h, n, &organic));
        put(w, &h, "N of the first season", first);
        put_later(w, &h, organic, (const char *const[]){"released_2", "released_3"});
        if (!h.has_amount)
            put_rate(w, "need_n", "N", first);
    } else if (!bt_desk_has(w, "p2o5") && !bt_desk_has(w, "k2o")) {
        bt_desk_refuse(w, "n", "its nitrogen, or a material (like)", NULL);
    }
    put_manure_oxide(w, &h, "p2o5", "P2O5");
    put_manure_oxide(w, &h, "k2o", "K2O");
}

const struct bt_sum bt_sum_manure = {
    "manure",
    "what a manure brings this season and later, and the rate a need asks for",
    "Ammonium N that is kept, nitrate N, and a share of the organic N (total less those) "
    "in "
    "each season. The rate is the need over what counts in a unit.",
    "arithmetic",
    manure_keys,
    "n='21 lb/ton' ammonium_n='8 lb/ton' kept='66 %' released='25 %' need_n='160 lb/ac'",
    build_manure};
