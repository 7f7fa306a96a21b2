/* A rate on an area, a figure in other units, elements and oxides, prices. */
#include <string.h>

#include "plan/desk.h"
#include "plan/product.h"
#include "plan/sum_list.h"

#define PART (BT_TAKES_SHARE | BT_TAKES_PERCENT)

/* ---- spread ---- */

static const struct bt_sum_key spread_keys[] = {
    {"rate",   BT_TAKES_RATE,             NULL, "of anything, per area"        },
    {"amount", BT_TAKES_MASS,             NULL, "or an amount, to see its rate"},
    {"area",   BT_TAKES_AREA | BT_NEEDED, NULL, "ground"                       },
    {NULL,     0,                         NULL, NULL                           }
};

/* The node in each unit of a list that ends in NULL. */
static void in_units(struct bt_desk *w, struct bt_node n, const char *const *unit)
{
    for (size_t i = 0; unit[i]; i++)
        bt_desk_result(w, bt_desk_text(w, "in %s", unit[i]), n, unit[i]);
}

static const char *const rate_units[] = {
    "lb/ac", "lb/1000 sq ft", "lb/100 sq ft", "oz/sq yd", "g/m2", "kg/ha", NULL};

static void build_spread(struct bt_desk *w)
{
    const struct bt_node area = bt_desk_node(w, "area");
    if (bt_desk_has(w, "rate") == bt_desk_has(w, "amount")) {
        bt_desk_refuse(w, "rate", "either a rate or an amount", NULL);
        return;
    }
    if (bt_desk_has(w, "rate")) {
        const struct bt_sum_given *g = bt_desk_nth(w, "rate", 1);
        const int form = bt_form_of(g->species);
        if (form >= 0 && !bt_desk_guard(w, g, bt_desk_as(w, g, bt_form_name[form]), form))
            return;
        const struct bt_node amount =
            bt_desk_named(w, "amount", bt_mul(w->sheet, g->node, area));
        bt_desk_result(w, "amount", amount, NULL);
        in_units(w, amount, (const char *const[]){"lb", "oz", "kg", "g", NULL});
        in_units(w, g->node, rate_units);
        return;
    }
    const struct bt_node rate =
        bt_desk_named(w, "rate", bt_div(w->sheet, bt_desk_node(w, "amount"), area));
    bt_desk_result(w, "rate", rate, NULL);
    in_units(w, rate, rate_units);
}

const struct bt_sum bt_sum_spread = {"spread",
                                     "a rate on an area, or the rate of an amount",
                                     "Rate times area; or amount over area.",
                                     "arithmetic",
                                     spread_keys,
                                     "rate='100 lb/ac' area='100 sq ft'",
                                     build_spread};

/* ---- convert ---- */

static const struct bt_sum_key convert_keys[] = {
    {"value",
     BT_TAKES_MASS | BT_TAKES_RATE | BT_TAKES_DENSITY | BT_TAKES_LENGTH | BT_TAKES_AREA |
         BT_TAKES_VOLUME | BT_NEEDED,
     NULL,                                  "any figure with its unit"},
    {NULL,    0,                      NULL, NULL                      }
};

static void build_convert(struct bt_desk *w)
{
    static const struct {
        struct bt_dim dim;
        const char *unit[10];
    } kinds[] = {
        {{1, 0, 0, 0},  {"lb", "oz", "ton", "kg", "g", "t", NULL}                         },
        {{1, -2, 0, 0},
         {"lb/ac", "lb/1000 sq ft", "lb/100 sq ft", "oz/sq yd", "ton/ac", "g/m2", "kg/ha",
          "t/ha", NULL}                                                                   },
        {{1, -3, 0, 0}, {"lb/cu ft", "lb/cu yd", "lb/cup", "kg/m3", "g/cm3", "mg/L", NULL}},
        {{0, 1, 0, 0},  {"in", "ft", "yd", "cm", "m", NULL}                               },
        {{0, 2, 0, 0},  {"sq ft", "sq yd", "ac", "m2", "ha", NULL}                        },
        {{0, 3, 0, 0},
         {"cup", "gal", "cu in", "cu ft", "cu yd", "bu", "L", "m3", "acre in", NULL}      },
    };
    const struct bt_node n = bt_desk_node(w, "value");
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (bt_desk_dim(w, n, kinds[i].dim))
            in_units(w, n, kinds[i].unit);
}

const struct bt_sum bt_sum_convert = {"convert",
                                      "a figure in other units",
                                      "The same quantity in each unit of its kind.",
                                      "arithmetic",
                                      convert_keys,
                                      "value='3 1/2 oz'",
                                      build_convert};

/* ---- cost ---- */

static const struct bt_sum_key cost_keys[] = {
    {"price",     BT_TAKES_NUMBER | BT_NEEDED,                                 NULL,              "of a package, in any money (`$22`)"              },
    {"package",   BT_TAKES_MASS | BT_TAKES_VOLUME | BT_TAKES_AREA | BT_NEEDED, NULL,
     "what the price is for: `50 lb`, `2 cu yd` or ground, `2000 sq ft`"                                                                            },
    {"density",   BT_TAKES_DENSITY,                                            NULL,              "for a nutrient in a package by volume"           },
    {"nutrient",  BT_TAKES_WORD,                                               "N|P2O5|K2O",      "which one (N)"                                   },
    {"grade",     BT_TAKES_LABEL,                                              NULL,              "the bag's three numbers"                         },
    {"content",   PART,                                                        NULL,              "or what it holds of that nutrient"               },
    {"like",      BT_TAKES_NAME,                                               "materials",       "or a material of the handbook"                   },
    {"labelled",  BT_TAKES_WORD,                                               "oxides|elements", "what the bag counts (oxides)"                    },
    {"available", PART,                                                        NULL,              "share that counts this season (all)"             },
    {"others",    BT_TAKES_NUMBER,                                             NULL,              "worth of what else is in the package"            },
    {"n_price",   BT_TAKES_NUMBER,                                             NULL,              "or the price of a pound (us) or kg (metric) of N"},
    {"amount",    BT_TAKES_MASS | BT_TAKES_RATE,                               NULL,              "of the nutrient, to be priced"                   },
    {NULL,        0,                                                           NULL,              NULL                                              }
};

/* What the package is to pay for the nutrient asked for. */
static struct bt_node price_left(struct bt_desk *w, const struct bt_contents *c,
                                 struct bt_node package, int form)
{
    struct bt_node price = bt_desk_node(w, "price");
    if (bt_desk_has(w, "others"))
        price = bt_sub(w->sheet, price, bt_desk_node(w, "others"));
    if (!bt_desk_has(w, "n_price") || form == 0 || !c->has[0])
        return price;
    const char *unit = w->us_units ? "lb" : "kg";
    const struct bt_node one = bt_constant_named(w->sheet, bt_desk_factor(w, unit), BT_MASS,
                                                 bt_desk_text(w, "1 %s", unit), NULL, NULL);
    const struct bt_node n =
        bt_desk_named(w, "N in the package", bt_mul(w->sheet, package, c->share[0]));
    const struct bt_node worth = bt_desk_named(
        w, "worth of that N",
        bt_mul(w->sheet, bt_div(w->sheet, n, one), bt_desk_node(w, "n_price")));
    bt_desk_result(w, "N in the package", n, NULL);
    bt_desk_result(w, "worth of that N", worth, "");
    const struct bt_node left =
        bt_desk_named(w, "price left for the nutrient", bt_sub(w->sheet, price, worth));
    bt_desk_result(w, "price left for the nutrient", left, "");
    return left;
}

/* The price of the stuff itself, by weight, volume or ground. */
static void cost_of_package(struct bt_desk *w)
{
    static const struct {
        struct bt_dim dim;
        const char *us[3], *metric[3];
    } kinds[] = {
        {{1, 0, 0, 0}, {"1/lb", "1/ton"},           {"1/kg", "1/t"}},
        {{0, 3, 0, 0}, {"1/cu yd", "1/cu ft"},      {"1/m3", "1/L"}},
        {{0, 2, 0, 0}, {"1/sq ft", "1/1000 sq ft"}, {"1/m2"}       },
    };
    const struct bt_node package = bt_desk_node(w, "package");
    const struct bt_node price = bt_div(w->sheet, bt_desk_node(w, "price"), package);
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        if (!bt_desk_dim(w, package, kinds[i].dim))
            continue;
        const char *const *unit = w->us_units ? kinds[i].us : kinds[i].metric;
        bt_desk_result(w, "unit price", price, unit[0]);
        const struct bt_node first = w->result[w->n_results - 1].node;
        for (size_t k = 1; unit[k]; k++)
            bt_desk_result(w, bt_desk_text(w, "per %s", unit[k] + 2), first, unit[k]);
    }
}

/* The mass in the package; false, with a message, when it cannot be told. */
static bool mass_of_package(struct bt_desk *w, struct bt_node *out)
{
    *out = bt_desk_node(w, "package");
    if (bt_desk_dim(w, *out, BT_MASS))
        return true;
    const bool is_volume = bt_desk_dim(w, *out, BT_VOLUME);
    if (is_volume && bt_desk_has(w, "density")) {
        *out = bt_desk_named(w, "mass in the package",
                             bt_mul(w->sheet, *out, bt_desk_node(w, "density")));
        return true;
    }
    bt_desk_refuse(w, is_volume ? "density" : "package",
                   is_volume ? "the density of what is sold by volume (`1000 lb/cu yd`)"
                             : "a mass or a volume that holds the nutrient",
                   "leave out what it holds to see the price of the stuff itself");
    return false;
}

static bool asks_for_nutrient(const struct bt_desk *w)
{
    static const char *const key[] = {"grade",     "content", "like",    "nutrient",
                                      "available", "others",  "n_price", "amount"};
    for (size_t i = 0; i < sizeof key / sizeof *key; i++)
        if (bt_desk_has(w, key[i]))
            return true;
    return false;
}

static void build_cost(struct bt_desk *w)
{
    int form = 0;
    for (int i = 0; i < BT_FORMS; i++)
        if (bt_desk_is(w, "nutrient", bt_form_name[i]))
            form = i;
    if (!asks_for_nutrient(w)) {
        cost_of_package(w);
        return;
    }
    const struct bt_contents c = bt_desk_contents(w, "");
    if (w->failed || (!bt_desk_has(w, "content") && !c.has[form])) {
        if (!w->failed)
            bt_desk_refuse(w, "grade", "a grade, a content or a material (like)", NULL);
        return;
    }
    struct bt_node package;
    if (!mass_of_package(w, &package))
        return;
    struct bt_node content =
        bt_desk_has(w, "content") ? bt_desk_node(w, "content") : c.share[form];
    if (!(bt_likely(w->sheet, content) > 0)) {
        bt_desk_refuse(w, "grade",
                       bt_desk_text(w, "a product that holds %s", bt_form_name[form]),
                       NULL);
        return;
    }
    if (bt_desk_has(w, "available"))
        content =
            bt_desk_named(w, bt_desk_text(w, "%s that counts in it", bt_form_name[form]),
                          bt_mul(w->sheet, content, bt_desk_node(w, "available")));
    const struct bt_node left = price_left(w, &c, package, form);
    const struct bt_node price = bt_desk_named(
        w, "price of the nutrient", bt_nutrient_price(w->sheet, left, package, content));
    bt_desk_result(w, bt_desk_text(w, "%s that counts in the package", bt_form_name[form]),
                   bt_mul(w->sheet, package, content), NULL);
    bt_desk_result(w, "price of the nutrient", price, NULL);
    if (bt_desk_has(w, "amount")) {
        const struct bt_node cost = bt_mul(w->sheet, bt_desk_node(w, "amount"), price);
        const bool is_all = bt_desk_dim(w, cost, BT_FRACTION);
        bt_desk_result(w, is_all ? "cost" : "cost per area", cost,
                       is_all        ? ""
                       : w->us_units ? "1/1000 sq ft"
                                     : "1/m2");
    }
}

const struct bt_sum bt_sum_cost = {
    "cost",
    "what a unit of available nutrient costs, or of the stuff itself",
    "Price, less the worth of what else is in the package, over the mass of the nutrient "
    "that counts; or, when no nutrient is named, over what the package holds.",
    "arithmetic",
    cost_keys,
    "price='$22' package='50 lb' grade=13-1-1 available='55..75 %'",
    build_cost};

/* ---- oxide ---- */

static const struct bt_sum_key oxide_keys[] = {
    {"value",    BT_TAKES_MASS | BT_TAKES_RATE | BT_TAKES_SHARE | BT_TAKES_DENSITY, NULL,
     "a figure with its form: `5 % P2O5`, `280 lb K/ac`, `45 ppm NO3`"                                                                 },
    {"label",    BT_TAKES_LABEL,                                                    NULL,              "or the three numbers of a bag" },
    {"labelled", BT_TAKES_WORD,                                                     "oxides|elements", "what those count: must be said"},
    {NULL,       0,                                                                 NULL,              NULL                            }
};

static void both_ways(struct bt_desk *w)
{
    const struct bt_sum_given *g = bt_desk_nth(w, "value", 1);
    static const char *const pair[][2] = {
        {"P", "P2O5"},
        {"K", "K2O" },
        {"N", "NO3" }
    };
    const char *form = g->species;
    if (form && (strcmp(form, "NO3-N") == 0))
        form = "N";
    for (size_t i = 0; form && i < 3; i++)
        for (int k = 0; k < 2; k++)
            if (strcmp(pair[i][k], form) == 0) {
                const char *other = pair[i][1 - k];
                other = strcmp(other, "N") == 0 ? "NO3-N" : other;
                bt_desk_result(w, bt_desk_text(w, "as %s", other),
                               bt_desk_form(w, g->node, form, pair[i][1 - k]), NULL);
                return;
            }
    bt_desk_refuse(w, "value", "a figure of P, P2O5, K, K2O, NO3 or NO3-N",
                   "write the form after the unit: 5 % P2O5");
}

static void label_both(struct bt_desk *w)
{
    static const char *const element[] = {"N", "P", "K"};
    const struct bt_sum_given *g = bt_desk_nth(w, "label", 1);
    if (!bt_desk_word(w, "labelled")) {
        bt_desk_refuse(
            w, "labelled", "oxides or elements",
            "oxides in most countries; Australia's bags, for one, count elements");
        return;
    }
    const bool elements = bt_desk_is(w, "labelled", "elements");
    for (int i = 0; i < BT_FORMS; i++) {
        const char *from = elements ? element[i] : bt_form_name[i];
        const char *to = elements ? bt_form_name[i] : element[i];
        const struct bt_leaf leaf = {.id = bt_desk_text(w, "given/label/%s", from),
                                     .label = bt_desk_text(w, "%s in %s", from, g->text),
                                     .dim = BT_FRACTION,
                                     .range = bt_range_exact(g->label[i]),
                                     .limit_high = 1,
                                     .unit = "%",
                                     .unit_factor = 0.01,
                                     .source = "stated"};
        bt_desk_result(w, bt_desk_text(w, "%s", to),
                       bt_desk_form(w, bt_leaf(w->sheet, &leaf), from, to), "%");
    }
}

static void build_oxide(struct bt_desk *w)
{
    if (bt_desk_has(w, "value") == bt_desk_has(w, "label"))
        bt_desk_refuse(w, "value", "either a value or a label", NULL);
    else if (bt_desk_has(w, "value"))
        both_ways(w);
    else
        label_both(w);
}

const struct bt_sum bt_sum_oxide = {
    "oxide",
    "element to oxide and back, nitrate to its nitrogen and back",
    "Times or over the ratio of the masses of the molecule and of the atom in it.",
    "arithmetic",
    oxide_keys,
    "label=12-5-14 labelled=elements",
    build_oxide};
