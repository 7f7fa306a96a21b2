/* Soil: organic matter, tests to mass by depth, irrigation water. The equations are those
 * of src/model/soil.c. */
#include <stdlib.h>
#include <string.h>

#include "model/soil.h"
#include "plan/desk.h"
#include "plan/product.h"
#include "plan/sum_list.h"

#define PART (BT_TAKES_SHARE | BT_TAKES_PERCENT)

/* ---- organic-matter ---- */

static const struct bt_sum_key organic_keys[] = {
    {"organic_matter", PART | BT_NEEDED, NULL,                  "as tested"                                          },
    {"warmth",         BT_TAKES_WORD,    "cool|temperate|warm", "the budget's rule, for this summer"                 },
    {"release",        BT_TAKES_RATE,    NULL,                  "or N released for each 1 % (`20 lb/ac`)"            },
    {"soil_mass",      BT_TAKES_RATE,    NULL,                  "or the soil's mass per area (`2000000 lb/ac`)"      },
    {"density",        BT_TAKES_DENSITY, NULL,                  "bulk density, with depth in place of soil_mass"     },
    {"depth",          BT_TAKES_LENGTH,  NULL,                  "depth of the layer"                                 },
    {"n",              PART,             NULL,                  "N of organic matter (the handbook's)"               },
    {"yearly",         PART,             NULL,                  "share of that N released in a year (the handbook's)"},
    {"area",           BT_TAKES_AREA,    NULL,                  "ground"                                             },
    {NULL,             0,                NULL,                  NULL                                                 }
};

static void by_percent(struct bt_desk *w, struct bt_node om)
{
    const char *warmth = bt_desk_word(w, "warmth");
    const struct bt_node release =
        bt_desk_or_book(w, "release", "soils", warmth ? warmth : "temperate", "om_release");
    const struct bt_node held = bt_organic_matter_held(
        w->sheet, om,
        bt_desk_book(w, "soils", "any", "om_limit", "most organic matter that counts"));
    struct bt_node density = bt_share(w->sheet, 1), depth = bt_share(w->sheet, 1);
    if (bt_desk_has(w, "density"))
        density =
            bt_desk_named(w, "bulk density against the rule's",
                          bt_div(w->sheet, bt_desk_node(w, "density"),
                                 bt_desk_book(w, "soils", "any", "reference_bulk_density",
                                              "bulk density of the rule")));
    if (bt_desk_has(w, "depth"))
        depth = bt_desk_named(w, "depth against the rule's",
                              bt_min(w->sheet,
                                     bt_div(w->sheet, bt_desk_node(w, "depth"),
                                            bt_desk_book(w, "soils", "any", "plow_depth",
                                                         "depth of the rule")),
                                     bt_share(w->sheet, 1)));
    if (!w->failed)
        bt_desk_put(w, "N released",
                    bt_organic_matter_release(w->sheet, held, release, density, depth));
    if (bt_likely(w->sheet, om) > bt_likely(w->sheet, held))
        bt_desk_note(w, "the rule is for mineral soils: no more organic matter counts than "
                        "its limit");
}

/* Mass, N of it and yearly share: the textbook's way. */
static void by_mass(struct bt_desk *w, struct bt_node om)
{
    const struct bt_node one = bt_share(w->sheet, 1);
    const bool layered = bt_desk_has(w, "density") && bt_desk_has(w, "depth");
    const struct bt_node soil =
        layered ? bt_desk_named(w, "soil per area",
                                bt_in_layer(w->sheet, one, bt_desk_node(w, "density"),
                                            bt_desk_node(w, "depth")))
                : bt_desk_or_book(w, "soil_mass", "soils", "any", "plow_layer_mass");
    const struct bt_node matter =
        bt_desk_named(w, "organic matter per area", bt_mul(w->sheet, soil, om));
    const struct bt_node n = bt_desk_named(
        w, "N in it per area",
        bt_mul(w->sheet, matter, bt_desk_or_book(w, "n", "soils", "any", "om_nitrogen")));
    bt_desk_put(w, "organic matter", matter);
    bt_desk_put(w, "N in it", n);
    bt_desk_put(w, "N released",
                bt_mul(w->sheet, n,
                       bt_desk_or_book(w, "yearly", "soils", "any", "om_release_share")));
}

static void build_organic(struct bt_desk *w)
{
    const struct bt_node om = bt_desk_node(w, "organic_matter");
    const bool by_rule = bt_desk_has(w, "warmth") || bt_desk_has(w, "release");
    const bool textbook =
        bt_desk_has(w, "soil_mass") || bt_desk_has(w, "n") || bt_desk_has(w, "yearly");
    if (by_rule && textbook) {
        bt_desk_refuse(w, "warmth", "either the rule for 1 % or mass, n and yearly share",
                       NULL);
        return;
    }
    if (textbook)
        by_mass(w, om);
    else
        by_percent(w, om);
}

const struct bt_sum bt_sum_organic = {
    "organic-matter",
    "nitrogen that soil organic matter releases",
    "The budget's rule: percents that count times the release of 1 % in this warmth, for "
    "the "
    "layer there is. Or the textbook's: soil mass, organic matter, its N, yearly share.",
    "arithmetic",
    organic_keys,
    "organic_matter='2.5 %' warmth=temperate area='100 sq ft'",
    build_organic};

/* ---- soil-nitrate ---- */

static const struct bt_sum_key nitrate_keys[] = {
    {"nitrate", BT_TAKES_SHARE | BT_NEEDED,  NULL,
     "the reading: `18 ppm NO3-N` or `18 ppm NO3`, which must be said"      },
    {"depth",   BT_TAKES_LENGTH | BT_NEEDED, NULL,    "of the layer sampled"},
    {"density", BT_TAKES_DENSITY,            NULL,    "bulk density"        },
    {"texture", BT_TAKES_NAME,               "soils",
     "or the soil's texture, for the handbook's density"                    },
    {"area",    BT_TAKES_AREA,               NULL,    "ground"              },
    {NULL,      0,                           NULL,    NULL                  }
};

static bool says_species(struct bt_desk *w, const char *key)
{
    const struct bt_sum_given *g = bt_desk_nth(w, key, 1);
    if (g->species || bt_likely(w->sheet, g->node) == 0)
        return true;
    bt_desk_refuse(w, key, "NO3-N or NO3 after the unit",
                   "nitrate holds little more than a fifth of its mass as nitrogen: the "
                   "laboratory's sheet says which is meant");
    return false;
}

static struct bt_node density_of(struct bt_desk *w)
{
    const char *texture = bt_desk_word(w, "texture");
    return bt_desk_or_book(w, "density", "soils", texture ? texture : "unknown texture",
                           "bulk_density");
}

static void build_nitrate(struct bt_desk *w)
{
    if (!says_species(w, "nitrate"))
        return;
    const struct bt_node n = bt_desk_as(w, bt_desk_nth(w, "nitrate", 1), "N");
    if (w->failed)
        return;
    if (n.i != bt_desk_node(w, "nitrate").i)
        bt_desk_result(w, "reading as NO3-N", n, "ppm");
    const struct bt_node density = density_of(w);
    if (!w->failed)
        bt_desk_put(w, "nitrate N",
                    bt_in_layer(w->sheet, n, density, bt_desk_node(w, "depth")));
}

const struct bt_sum bt_sum_soil_nitrate = {
    "soil-nitrate",
    "a nitrate reading as mass in the layer sampled",
    "Reading times bulk density times depth.",
    "arithmetic",
    nitrate_keys,
    "nitrate='18 ppm NO3-N' depth='12 in' texture=loam area='4 x 8 ft'",
    build_nitrate};

/* ---- soil-test ---- */

static const struct bt_sum_key test_keys[] = {
    {"reading", BT_TAKES_SHARE | BT_TAKES_RATE | BT_NEEDED, NULL,
     "with its form: `140 ppm K`, `280 lb K/ac`"                                                         },
    {"target",  BT_TAKES_SHARE | BT_TAKES_RATE,             NULL, "what it should be, in the same way"   },
    {"depth",   BT_TAKES_LENGTH,                            NULL, "of the layer sampled (the plow layer)"},
    {"density", BT_TAKES_DENSITY,                           NULL, "bulk density (the plow layer's)"      },
    {"area",    BT_TAKES_AREA,                              NULL, "ground"                               },
    {NULL,      0,                                          NULL, NULL                                   }
};

/* Soil per area: typed layer, or the slice behind the ppm times two of laboratories. */
static struct bt_node layer_mass(struct bt_desk *w)
{
    if (!bt_desk_has(w, "depth") && !bt_desk_has(w, "density"))
        return bt_desk_book(w, "soils", "any", "plow_layer_mass", "mass of the plow layer");
    const struct bt_node depth = bt_desk_or_book(w, "depth", "soils", "any", "plow_depth");
    const struct bt_node density =
        bt_desk_or_book(w, "density", "soils", "any", "reference_bulk_density");
    return bt_desk_named(w, "mass of the layer",
                         bt_in_layer(w->sheet, bt_share(w->sheet, 1), density, depth));
}

static const char *other_form(const char *form)
{
    static const char *const pair[][2] = {
        {"P",   "P2O5"},
        {"K",   "K2O" },
        {"NO3", "N"   }
    };
    for (size_t i = 0; form && i < 3; i++)
        for (int k = 0; k < 2; k++)
            if (strcmp(form, pair[i][k]) == 0)
                return pair[i][1 - k];
    return NULL;
}

/* The same as a mass per area and as a share of the soil. */
static struct bt_node put_reading(struct bt_desk *w, const char *name, struct bt_node n,
                                  struct bt_node soil)
{
    const bool is_share = bt_desk_dim(w, n, BT_FRACTION);
    const struct bt_node per_area =
        is_share ? bt_desk_named(w, bt_desk_text(w, "%s per area", name),
                                 bt_mul(w->sheet, n, soil))
                 : n;
    bt_desk_put(w, name, per_area);
    bt_desk_result(w, bt_desk_text(w, "%s in the soil", name),
                   is_share ? n : bt_div(w->sheet, n, soil), "ppm");
    return per_area;
}

static void build_test(struct bt_desk *w)
{
    const struct bt_sum_given *g = bt_desk_nth(w, "reading", 1),
                              *target = bt_desk_nth(w, "target", 1);
    const char *form = g->species, *other = other_form(form);
    const struct bt_node soil = layer_mass(w);
    if (w->failed)
        return;
    if (!form)
        bt_desk_note(w,
                     "no form was given (P, P2O5, K, K2O ...): elements and oxides cannot "
                     "be told apart");
    const char *name = form ? form : "reading";
    const struct bt_node has = put_reading(w, name, g->node, soil);
    if (!target) {
        if (other)
            bt_desk_put(w, bt_desk_text(w, "as %s", other),
                        bt_desk_form(w, has, form, other));
        return;
    }
    if ((target->species || form) &&
        (!target->species || !form || strcmp(target->species, form) != 0)) {
        bt_desk_refuse(w, "target", "the form of the reading",
                       "P and P2O5 are not the same");
        return;
    }
    struct bt_node want = target->node;
    if (bt_desk_dim(w, want, BT_FRACTION))
        want = bt_desk_named(w, "target per area", bt_mul(w->sheet, want, soil));
    const struct bt_node gap = bt_desk_named(w, bt_desk_text(w, "%s short per area", name),
                                             bt_still_needed(w->sheet, want, has));
    bt_desk_put(w, bt_desk_text(w, "%s short", name), gap);
    const struct bt_node above =
        bt_desk_named(w, bt_desk_text(w, "%s above per area", name),
                      bt_still_needed(w->sheet, has, want));
    bt_desk_put(w, bt_desk_text(w, "%s above", name), above);
    if (!other)
        return;
    bt_desk_put(w, bt_desk_text(w, "short, as %s", other),
                bt_desk_form(w, gap, form, other));
    bt_desk_put(w, bt_desk_text(w, "above, as %s", other),
                bt_desk_form(w, above, form, other));
}

const struct bt_sum bt_sum_soil_test = {
    "soil-test",
    "a soil test as mass, against a target, as element and oxide",
    "Reading times the soil's mass per area; target less reading, never below 0; times or "
    "over "
    "the ratio of oxide to element.",
    "arithmetic",
    test_keys,
    "reading='280 lb K/ac' target='340 lb K/ac' area='2160 sq ft'",
    build_test};

/* ---- irrigation ---- */

static const struct bt_sum_key irrigation_keys[] = {
    {"nitrate", BT_TAKES_SHARE | BT_TAKES_DENSITY | BT_NEEDED, NULL,
     "`20 ppm NO3-N` or `45 mg/L NO3`, which must be said"                                         },
    {"depth",   BT_TAKES_LENGTH,                               NULL, "of water over the ground"    },
    {"water",   BT_TAKES_VOLUME,                               NULL, "or its volume, with the area"},
    {"used",    PART,                                          NULL, "share the crop uses (all)"   },
    {"area",    BT_TAKES_AREA,                                 NULL, "ground"                      },
    {NULL,      0,                                             NULL, NULL                          }
};

/* ppm of water is mg/L. */
static struct bt_node per_litre(struct bt_desk *w, struct bt_node n)
{
    if (!bt_desk_dim(w, n, BT_FRACTION))
        return n;
    const struct bt_node water = bt_constant_named(
        w->sheet, bt_desk_factor(w, "kg/L"), BT_DENSITY, "density of water", NULL, NULL);
    return bt_desk_named(w, "nitrate N in the water", bt_mul(w->sheet, n, water));
}

static void warn_drinking(struct bt_desk *w, struct bt_node n)
{
    const struct bt_caution *c;
    const size_t n_cautions = bt_handbook_cautions(w->book, &c);
    for (size_t i = 0; i < n_cautions; i++) {
        const bool is_it = strcmp(c[i].when, "water nitrate") == 0 && *c[i].number;
        if (is_it && bt_likely(w->sheet, n) >
                         strtod(c[i].number, NULL) * bt_desk_factor(w, c[i].unit))
            bt_desk_note(w, "%s (%s)", c[i].rule, c[i].source);
    }
}

static void build_irrigation(struct bt_desk *w)
{
    if (!says_species(w, "nitrate"))
        return;
    const struct bt_sum_given *g = bt_desk_nth(w, "nitrate", 1);
    const bool has_volume = bt_desk_has(w, "water");
    if (bt_desk_has(w, "depth") == has_volume || (has_volume && !bt_desk_has(w, "area"))) {
        bt_desk_refuse(w, "depth", "a depth, or a volume of water and its area", NULL);
        return;
    }
    const struct bt_node n = per_litre(w, bt_desk_as(w, g, "N"));
    if (w->failed)
        return;
    struct bt_node depth = has_volume
                               ? bt_desk_named(w, "depth of water",
                                               bt_div(w->sheet, bt_desk_node(w, "water"),
                                                      bt_desk_node(w, "area")))
                               : bt_desk_node(w, "depth");
    if (bt_desk_has(w, "used"))
        depth = bt_desk_named(w, "depth the crop uses",
                              bt_mul(w->sheet, depth, bt_desk_node(w, "used")));
    const struct bt_node given = bt_water_nitrogen(w->sheet, depth, n);
    if (!bt_desk_guard_figure(w, "nitrate", given, "highest_rate_n", "N from water"))
        return;
    bt_desk_result(w, "nitrate N in the water", n, "mg/L");
    bt_desk_put(w, "N from water", given);
    if (!has_volume && bt_desk_has(w, "area"))
        bt_desk_result(w, "water",
                       bt_mul(w->sheet, bt_desk_node(w, "depth"), bt_desk_node(w, "area")),
                       w->us_units ? "gal" : "L");
    warn_drinking(w, n);
}

const struct bt_sum bt_sum_irrigation = {
    "irrigation",
    "nitrogen in irrigation water",
    "Depth the crop uses times nitrate N of the water.",
    "arithmetic",
    irrigation_keys,
    "nitrate='20 ppm NO3-N' depth='24 in' area='4 x 8 ft'",
    build_irrigation};
