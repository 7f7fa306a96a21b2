/* Residues: carbon to nitrogen of a mix, what rotting ties up, a cover crop that was cut
 * and weighed. */
#include <math.h>

#include "model/amendment.h"
#include "model/residue.h"
#include "plan/desk.h"
#include "plan/ground.h"
#include "plan/sum_list.h"

#define PART (BT_TAKES_SHARE | BT_TAKES_PERCENT)

/* ---- mix ---- */

static const struct bt_sum_key mix_keys[] = {
    {"amount",   BT_TAKES_MASS | BT_TAKES_VOLUME | BT_TAKES_MANY | BT_NEEDED, NULL,
     "of each ingredient"                                                                                                               },
    {"like",     BT_TAKES_NAME | BT_TAKES_MANY,                               "materials",
     "a material of the handbook, for what is not given"                                                                                },
    {"c",        PART | BT_TAKES_MANY,                                        NULL,        "carbon in it, of what was weighed"          },
    {"n",        PART | BT_TAKES_MANY,                                        NULL,        "nitrogen in it"                             },
    {"c_n",      BT_TAKES_NUMBER | BT_TAKES_MANY,                             NULL,        "or its C:N"                                 },
    {"moisture", PART | BT_TAKES_MANY,                                        NULL,        "water in it, when c and n are of dry matter"},
    {"density",  BT_TAKES_DENSITY | BT_TAKES_MANY,                            NULL,        "for an amount by volume"                    },
    {NULL,       0,                                                           NULL,        NULL                                         }
};

static const char *nth_text(struct bt_desk *w, const char *what, int nth)
{
    return bt_desk_text(w, "%s of ingredient %d", what, nth);
}

/* A figure of an ingredient: typed, or the handbook's; false when neither is there. */
static bool figure(struct bt_desk *w, const char *key, int nth, struct bt_node *out)
{
    const struct bt_sum_given *g = bt_desk_nth(w, key, nth),
                              *like = bt_desk_nth(w, "like", nth);
    if (g) {
        *out = g->node;
        return true;
    }
    const struct bt_row *row =
        like ? bt_handbook_follow(w->book, "materials", like->word, key) : NULL;
    if (row)
        *out = bt_desk_leaf(w, row, bt_desk_text(w, "%s of %s", key, like->word));
    return row != NULL;
}

/* What was weighed, dry where moisture is known. */
static bool mass_of(struct bt_desk *w, int nth, struct bt_node *out)
{
    struct bt_node density, moisture;
    *out = bt_desk_node_nth(w, "amount", nth);
    if (bt_desk_dim(w, *out, BT_VOLUME)) {
        if (!figure(w, "density", nth, &density)) {
            bt_desk_refuse(w, "density", "its density, for an amount by volume", NULL);
            return false;
        }
        *out = bt_desk_named(w, nth_text(w, "mass", nth), bt_mul(w->sheet, *out, density));
    }
    if (figure(w, "moisture", nth, &moisture))
        *out = bt_desk_named(w, nth_text(w, "dry matter", nth),
                             bt_dry_matter(w->sheet, *out, moisture));
    return true;
}

static bool ingredient(struct bt_desk *w, int nth, struct bt_node *carbon,
                       struct bt_node *nitrogen)
{
    struct bt_node mass, n, c_n;
    if (!mass_of(w, nth, &mass))
        return false;
    const bool has_c = bt_desk_nth(w, "c", nth) != NULL;
    const bool has_n = figure(w, "n", nth, &n), has_ratio = figure(w, "c_n", nth, &c_n);
    if (has_c + has_n + has_ratio < 2) {
        bt_desk_refuse(
            w, "n",
            bt_desk_text(w, "two of c%d, n%d and c_n%d, or like%d", nth, nth, nth, nth),
            NULL);
        return false;
    }
    if (has_c)
        *carbon = bt_mul(w->sheet, mass, bt_desk_node_nth(w, "c", nth));
    if (has_n)
        *nitrogen = bt_mul(w->sheet, mass, n);
    if (!has_n)
        *nitrogen =
            bt_div(w->sheet, bt_desk_named(w, nth_text(w, "carbon", nth), *carbon), c_n);
    if (!has_c)
        *carbon = bt_mul(w->sheet,
                         bt_desk_named(w, nth_text(w, "nitrogen", nth), *nitrogen), c_n);
    *carbon = bt_desk_named(w, nth_text(w, "carbon", nth), *carbon);
    *nitrogen = bt_desk_named(w, nth_text(w, "nitrogen", nth), *nitrogen);
    return true;
}

static void build_mix(struct bt_desk *w)
{
    struct bt_node carbon[BT_MOST_NTH], nitrogen[BT_MOST_NTH];
    size_t n = 0;
    for (int i = 1; i <= BT_MOST_NTH; i++)
        if (bt_desk_nth(w, "amount", i)) {
            if (!ingredient(w, i, &carbon[n], &nitrogen[n]))
                return;
            n++;
        }
    const struct bt_node c =
        bt_desk_named(w, "total carbon", bt_sum(w->sheet, n, carbon, BT_MASS));
    const struct bt_node total =
        bt_desk_named(w, "total nitrogen", bt_sum(w->sheet, n, nitrogen, BT_MASS));
    bt_desk_result(w, "total carbon", c, NULL);
    bt_desk_result(w, "total nitrogen", total, NULL);
    bt_desk_result(w, "C:N of the mix", bt_div(w->sheet, c, total), "");
}

const struct bt_sum bt_sum_mix = {
    "mix",
    "carbon to nitrogen of a mix",
    "The sum of the carbon of all over the sum of their nitrogen; never the mean of "
    "ratios.",
    "arithmetic",
    mix_keys,
    "amount1='50 lb' c1=40 n1=1 amount2='10 lb' c2=10 n2=1 amount3='2 lb' c3=25 n3=1",
    build_mix};

/* ---- tie-up ---- */

static const struct bt_sum_key tie_keys[] = {
    {"amount",      BT_TAKES_MASS | BT_TAKES_RATE | BT_TAKES_VOLUME | BT_NEEDED, NULL,
     "of the residue that is dug in"                                                                                                             },
    {"area",        BT_TAKES_AREA,                                               NULL, "ground it is dug into"                                   },
    {"moisture",    PART,                                                        NULL, "water in it, when the figures are of dry matter"         },
    {"density",     BT_TAKES_DENSITY,                                            NULL, "for an amount by volume"                                 },
    {"c",           PART,                                                        NULL, "carbon in it"                                            },
    {"n",           PART,                                                        NULL, "nitrogen in it"                                          },
    {"c_n",         BT_TAKES_NUMBER,                                             NULL, "or its C:N"                                              },
    {"decomposed",  PART,                                                        NULL, "share that rots in the time looked at"                   },
    {"carbon_use",  PART,                                                        NULL, "share of that carbon that becomes microbe"               },
    {"microbe_c_n", BT_TAKES_NUMBER,                                             NULL, "C:N of the microbes"                                     },
    {"takes",       PART,                                                        NULL, "or nitrogen it ties up for each of its mass (`0.8 kg/t`)"},
    {NULL,          0,                                                           NULL, NULL                                                      }
};

static struct bt_node residue_mass(struct bt_desk *w)
{
    struct bt_node mass = bt_desk_node(w, "amount");
    if (bt_desk_dim(w, mass, BT_VOLUME)) {
        if (!bt_desk_has(w, "density"))
            bt_desk_refuse(w, "density", "its density, for an amount by volume", NULL);
        else
            mass = bt_desk_named(w, "mass",
                                 bt_mul(w->sheet, mass, bt_desk_node(w, "density")));
    }
    if (!w->failed && bt_desk_has(w, "moisture"))
        mass = bt_desk_named(w, "dry matter",
                             bt_dry_matter(w->sheet, mass, bt_desk_node(w, "moisture")));
    return mass;
}

static void put_short(struct bt_desk *w, const char *name, struct bt_node n)
{
    const struct bt_node area = bt_desk_has(w, "area") ? bt_desk_node(w, "area") : n;
    bt_desk_result_both(w, name, n, bt_desk_has(w, "area") ? &area : NULL);
}

static void build_tie_up(struct bt_desk *w)
{
    const struct bt_node mass = residue_mass(w);
    if (w->failed)
        return;
    if (bt_desk_has(w, "takes")) {
        put_short(w, "N tied up", bt_mul(w->sheet, mass, bt_desk_node(w, "takes")));
        return;
    }
    const bool has_c = bt_desk_has(w, "c"), has_n = bt_desk_has(w, "n"),
               has_ratio = bt_desk_has(w, "c_n");
    if (has_c + has_n + has_ratio < 2) {
        bt_desk_refuse(w, "c", "two of c, n and c_n, or takes", NULL);
        return;
    }
    const struct bt_node ratio =
        has_ratio
            ? bt_desk_node(w, "c_n")
            : bt_desk_named(w, "C:N",
                            bt_div(w->sheet, bt_desk_node(w, "c"), bt_desk_node(w, "n")));
    const struct bt_node c =
        has_c ? bt_mul(w->sheet, mass, bt_desk_node(w, "c"))
              : bt_mul(w->sheet, bt_mul(w->sheet, mass, bt_desk_node(w, "n")), ratio);
    const struct bt_node carbon = bt_desk_named(w, "carbon", c);
    const struct bt_node nitrogen =
        bt_desk_named(w, "nitrogen",
                      has_n ? bt_mul(w->sheet, mass, bt_desk_node(w, "n"))
                            : bt_div(w->sheet, carbon, ratio));
    const struct bt_rot rot = {
        bt_desk_or_book(w, "decomposed", "residues", "microbes", "decomposed"),
        bt_desk_or_book(w, "carbon_use", "residues", "microbes", "carbon_use"),
        bt_desk_or_book(w, "microbe_c_n", "residues", "microbes", "microbe_c_n")};
    const struct bt_rotted r = bt_rotting(w->sheet, carbon, nitrogen, &rot);
    bt_desk_result(w, "carbon in what rots", r.carbon, NULL);
    bt_desk_result(w, "nitrogen in what rots", r.nitrogen, NULL);
    bt_desk_result(w, "carbon that becomes microbe", r.microbe_carbon, NULL);
    bt_desk_result(w, "nitrogen the microbes need", r.need, NULL);
    put_short(w, "N tied up", r.short_of);
    bt_desk_note(w, "below 0 it is given off, not tied up");
}

const struct bt_sum bt_sum_tie_up = {
    "tie-up",
    "nitrogen that a raw residue ties up when it is dug in",
    "Carbon that rots, times the share microbes keep, over their C:N, is the nitrogen they "
    "need; less what the residue brings.",
    "arithmetic",
    tie_keys,
    "amount='100 lb' c=40 c_n=100 decomposed='50 %' area='100 sq ft'",
    build_tie_up};

/* ---- cover ---- */

static const struct bt_sum_key cover_keys[] = {
    {"frame",      BT_TAKES_AREA,   NULL,             "area of one frame (`2 x 2 ft`)"                          },
    {"frames",     BT_TAKES_NUMBER, NULL,             "how many were cut (1)"                                   },
    {"fresh",      BT_TAKES_MASS,   NULL,             "fresh weight of all that was cut"                        },
    {"dry",        BT_TAKES_MASS,   NULL,             "or its dry weight"                                       },
    {"biomass",    BT_TAKES_RATE,   NULL,             "or dry matter per area, if it is known"                  },
    {"dry_matter", PART,            NULL,             "dry matter of the fresh (the handbook's)"                },
    {"n",          PART,            NULL,             "nitrogen of the dry matter"                              },
    {"available",  PART,            NULL,             "share of it that counts (else the line by its N content)"},
    {"placement",  BT_TAKES_WORD,   "dug-in|surface", "where it goes (dug-in)"                                  },
    {"area",       BT_TAKES_AREA,   NULL,             "ground it stood on"                                      },
    {NULL,         0,               NULL,             NULL                                                      }
};

/* Dry matter per area; false with a message. */
static bool biomass_of(struct bt_desk *w, struct bt_node *out)
{
    const bool fresh = bt_desk_has(w, "fresh"), dry = bt_desk_has(w, "dry");
    if (bt_desk_has(w, "biomass")) {
        *out = bt_desk_node(w, "biomass");
        return true;
    }
    if (!bt_desk_has(w, "frame") || fresh == dry) {
        bt_desk_refuse(w, "frame",
                       "a frame and the fresh or dry weight from it, or biomass", NULL);
        return false;
    }
    struct bt_node mass = bt_desk_node(w, dry ? "dry" : "fresh");
    if (fresh)
        mass = bt_desk_named(w, "dry weight",
                             bt_mul(w->sheet, mass,
                                    bt_desk_or_book(w, "dry_matter", "residues",
                                                    "green residue", "dry_matter")));
    *out = bt_desk_named(w, "dry matter per area",
                         bt_sampled(w->sheet, mass, bt_desk_or_share(w, "frames", 1),
                                    bt_desk_node(w, "frame")));
    return !w->failed;
}

static struct bt_node by_line(struct bt_desk *w, struct bt_node n_g_m2, struct bt_node n)
{
    static const char key[] = "green residue";
    const struct bt_row *slope = bt_desk_row(w, "residues", key, "pan_slope"),
                        *even = bt_desk_row(w, "residues", key, "break_even_n"),
                        *least = bt_desk_row(w, "residues", key, "pan_floor"),
                        *cap = bt_desk_row(w, "residues", key, "pan_cap");
    if (w->failed)
        return n_g_m2;
    const struct bt_pan_line line = {.slope = slope->range.likely,
                                     .break_even_frac = even->range.likely,
                                     .floor_frac = least->range.likely,
                                     .cap_frac = cap->range.likely,
                                     .row = slope};
    const struct bt_node pan = bt_desk_named(w, "available per dry matter",
                                             bt_pan_per_dry_matter(w->sheet, n, &line));
    return bt_residue_available(w->sheet, "the cover", n_g_m2, n, pan);
}

static struct bt_node on_surface(struct bt_desk *w, struct bt_node if_dug_in)
{
    static const char key[] = "green residue";
    const struct bt_surface x = {
        .subject = "the cover",
        .given_share = bt_desk_book(w, "residues", key, "surface_factor",
                                    "share given from the surface"),
        .taken_share = bt_desk_book(w, "residues", key, "tie_up_surface",
                                    "share of tie-up from the surface"),
        .most_g_m2 = bt_desk_book(w, "residues", key, "tie_up_surface_most",
                                  "most that a mulch on top ties up")};
    return bt_on_surface(w->sheet, if_dug_in, &x);
}

static void build_cover(struct bt_desk *w)
{
    struct bt_node biomass;
    if (!biomass_of(w, &biomass))
        return;
    const struct bt_node area = bt_desk_has(w, "area") ? bt_desk_node(w, "area") : biomass;
    const struct bt_node *ground = bt_desk_has(w, "area") ? &area : NULL;
    bt_desk_result_both(w, "dry matter", biomass, ground);
    if (!bt_desk_has(w, "n")) {
        bt_desk_note(w, "give n, the nitrogen of the dry matter, to see its nitrogen");
        return;
    }
    const struct bt_node n = bt_desk_node(w, "n");
    const struct bt_node held =
        bt_desk_named(w, "N in the cover per area", bt_mul(w->sheet, biomass, n));
    const char *key = bt_desk_has(w, "biomass") ? "biomass" : "frame";
    if (!bt_desk_guard_figure(w, key, held, "highest_rate_n", "N in the cover"))
        return;
    bt_desk_result_both(w, "N in the cover", held, ground);
    const bool typed = bt_desk_has(w, "available");
    struct bt_node counts =
        typed ? bt_mul(w->sheet, held, bt_desk_node(w, "available")) : by_line(w, held, n);
    if (!typed && bt_desk_is(w, "placement", "surface"))
        counts = on_surface(w, bt_desk_named(w, "available N if dug in", counts));
    if (!w->failed)
        bt_desk_result_both(w, "available N", counts, ground);
}

const struct bt_sum bt_sum_cover = {
    "cover",
    "a cover crop cut from frames: dry matter, nitrogen, what counts",
    "Dry weight over the area of the frames; times its N; times the share that counts, or "
    "by "
    "the line of available N against N content.",
    "arithmetic",
    cover_keys,
    "frame='2 x 2 ft' frames=2 dry='1.2 lb' n=4 available=50",
    build_cover};
