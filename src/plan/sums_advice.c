/* Side-dressing by a nitrate test, lime, what a crop must find, and a balance of credits.
 */
#include <string.h>

#include "model/demand.h"
#include "model/soil.h"
#include "plan/desk.h"
#include "plan/product.h"
#include "plan/sum_list.h"

#define PART (BT_TAKES_SHARE | BT_TAKES_PERCENT)

/* ---- sidedress ---- */

static const struct bt_sum_key sidedress_keys[] = {
    {"nitrate",         BT_TAKES_SHARE | BT_NEEDED, NULL,
     "reading of the top foot: `18 ppm NO3-N` or `18 ppm NO3`, which must be said"                                            },
    {"form",            BT_TAKES_WORD | BT_NEEDED,  "line|steps|refill|yield",
     "line (Iowa), steps (Rutgers table for sweet corn), refill (Texas: up to the critical "
     "reading and no more), yield (Pennsylvania, corn)"                                                                       },
    {"critical",        BT_TAKES_SHARE,             NULL,
     "reading above which nothing is gained (line, refill)"                                                                   },
    {"per_ppm",         BT_TAKES_RATE,              NULL,                          "N for each ppm below it (line; `8 lb/ac`)"},
    {"manured",         BT_TAKES_WORD,              "no|yes",
     "steps: manured soil; yield: manure since the last harvest"                                                              },
    {"manured_earlier", BT_TAKES_WORD,              "no|yes",                      "yield: manure in the three years before"  },
    {"after",           BT_TAKES_WORD,              "other|soybean|forage legume", "yield: the crop before"                   },
    {"yield",           BT_TAKES_LENGTH,            NULL,
     "yield: grain expected, as volume per area (`120 bu/ac`)"                                                                },
    {"depth",           BT_TAKES_LENGTH,            NULL,                          "refill: of the sample (12 in or 30 cm)"   },
    {"density",         BT_TAKES_DENSITY,           NULL,                          "refill: bulk density"                     },
    {"area",            BT_TAKES_AREA,              NULL,                          "ground"                                   },
    {NULL,              0,                          NULL,                          NULL                                       }
};

static struct bt_node critical_of(struct bt_desk *w)
{
    return bt_desk_or_book(w, "critical", "ratings", "side-dressing, line", "critical_n");
}

static struct bt_node by_steps(struct bt_desk *w, struct bt_node reading)
{
    enum { CLASSES = 5 };
    double limit[CLASSES], rate[CLASSES];
    const char *who = bt_desk_is(w, "manured", "yes") ? "manured" : "not manured";
    const struct bt_row *row = NULL;
    for (int i = 0; i < CLASSES && !w->failed; i++) {
        const char *key = bt_desk_text(w, "side-dressing, %s, class %d", who, i + 1);
        const struct bt_row *need = bt_desk_row(w, "ratings", key, "n_need");
        const struct bt_row *end =
            i + 1 < CLASSES ? bt_desk_row(w, "ratings", key, "limit_n") : need;
        if (w->failed)
            return reading;
        row = need;
        rate[i] = need->range.likely;
        limit[i] = end->range.likely;
    }
    return bt_side_dress_steps(w->sheet, reading, CLASSES, limit, rate, row);
}

static struct bt_node by_refill(struct bt_desk *w, struct bt_node reading)
{
    const struct bt_node gap =
        bt_desk_named(w, "reading below the critical one",
                      bt_still_needed(w->sheet, critical_of(w), reading));
    return bt_in_layer(
        w->sheet, gap,
        bt_desk_or_book(w, "density", "soils", "any", "reference_bulk_density"),
        bt_desk_or_book(w, "depth", "soils", "any", "nitrate_depth"));
}

/* Pennsylvania's: yield . factor - history . reading, nothing from the limit up. */
static struct bt_node by_yield(struct bt_desk *w, struct bt_node reading)
{
    static const char key[] = "side-dressing, Pennsylvania";
    const char *after = bt_desk_word(w, "after");
    struct bt_node history[3];
    size_t n = 0;
    if (!bt_desk_has(w, "yield")) {
        bt_desk_refuse(w, "yield", "the grain yield expected (`120 bu/ac`)", NULL);
        return reading;
    }
    history[n++] = bt_desk_book(
        w, "ratings",
        bt_desk_text(w, "%s, %s", key,
                     bt_desk_is(w, "manured", "yes") ? "manured" : "not manured"),
        "n_per_ppm", "history factor, manure since harvest");
    if (bt_desk_is(w, "manured_earlier", "yes"))
        history[n++] = bt_desk_book(w, "ratings", bt_desk_text(w, "%s, earlier", key),
                                    "n_per_ppm", "history factor, earlier manure");
    if (after && strcmp(after, "other") != 0)
        history[n++] =
            bt_desk_book(w, "ratings", bt_desk_text(w, "%s, after %s", key, after),
                         "n_per_ppm", "history factor, crop before");
    const struct bt_node factor = bt_desk_named(
        w, "history factor for each ppm", bt_sum(w->sheet, n, history, BT_MASS_PER_AREA));
    const struct bt_node credit = bt_desk_named(w, "credit for the reading",
                                                bt_for_each_ppm(w->sheet, reading, factor));
    const struct bt_node for_yield = bt_desk_named(
        w, "N for the yield",
        bt_mul(w->sheet, bt_desk_node(w, "yield"),
               bt_desk_book(w, "ratings", key, "n_per_yield", "N for each bushel")));
    const struct bt_row *limit = bt_desk_row(w, "ratings", key, "critical_n");
    if (w->failed)
        return reading;
    const double x[] = {limit->range.likely * (1 - 1e-9), limit->range.likely};
    const double y[] = {1, 0};
    const struct bt_node below = bt_desk_named(
        w, "1 below the critical reading, 0 from it up",
        bt_curve(w->sheet, reading, (struct bt_knots){2, x, y}, BT_FRACTION, limit));
    return bt_mul(w->sheet,
                  bt_desk_named(w, "N for the yield less the credit",
                                bt_still_needed(w->sheet, for_yield, credit)),
                  below);
}

static void build_sidedress(struct bt_desk *w)
{
    const struct bt_sum_given *g = bt_desk_nth(w, "nitrate", 1);
    if (!g->species) {
        bt_desk_refuse(w, "nitrate", "NO3-N or NO3 after the unit", NULL);
        return;
    }
    const struct bt_node reading = bt_desk_as(w, g, "N");
    struct bt_node rate;
    if (w->failed)
        return;
    if (bt_desk_is(w, "form", "line"))
        rate = bt_side_dress_line(
            w->sheet, critical_of(w), reading,
            bt_desk_or_book(w, "per_ppm", "ratings", "side-dressing, line", "n_per_ppm"));
    else if (bt_desk_is(w, "form", "steps"))
        rate = by_steps(w, reading);
    else if (bt_desk_is(w, "form", "refill"))
        rate = by_refill(w, reading);
    else
        rate = by_yield(w, reading);
    if (w->failed)
        return;
    bt_desk_put(w, "N to side-dress", rate);
    if (bt_desk_is(w, "form", "line") || bt_desk_is(w, "form", "steps"))
        bt_desk_note(w,
                     "a fertiliser rate: it counts on what the soil will still release; do "
                     "not credit that again");
}

const struct bt_sum bt_sum_sidedress = {
    "sidedress",
    "nitrogen to side-dress by a pre-sidedress nitrate test",
    "line: (critical - reading) times a rate for each ppm. steps: the class the reading "
    "falls "
    "in. refill: what brings the layer up to the critical reading. yield: grain yield "
    "times a "
    "factor, less a history factor times the reading.",
    "arithmetic",
    sidedress_keys,
    "nitrate='18 ppm NO3-N' form=steps manured=no",
    build_sidedress};

/* ---- lime ---- */

static const struct bt_sum_key lime_keys[] = {
    {"rate",       BT_TAKES_RATE | BT_TAKES_MASS | BT_NEEDED,     NULL,
     "the laboratory's, for pure calcium carbonate"                                                     },
    {"equivalent", BT_TAKES_SHARE | BT_TAKES_PERCENT | BT_NEEDED, NULL,
     "calcium carbonate equivalent on the bag (hydrated lime is above 100 %)"                           },
    {"fine",       PART,                                          NULL, "share fine enough to act (all)"},
    {"moisture",   PART,                                          NULL, "water in it (none)"            },
    {"area",       BT_TAKES_AREA,                                 NULL, "ground"                        },
    {NULL,         0,                                             NULL, NULL                            }
};

static void build_lime(struct bt_desk *w)
{
    const struct bt_node equivalent = bt_desk_node(w, "equivalent");
    if (!(bt_likely(w->sheet, equivalent) > 0)) {
        bt_desk_refuse(w, "equivalent", "more than 0", NULL);
        return;
    }
    const struct bt_node lime = bt_lime_of_material(
        w->sheet, bt_desk_node(w, "rate"), equivalent, bt_desk_or_share(w, "fine", 1),
        bt_desk_or_share(w, "moisture", 0));
    if (!bt_desk_guard_figure(w, "rate", lime, "highest_rate_lime", "lime"))
        return;
    if (bt_desk_dim(w, lime, BT_MASS))
        bt_desk_result(w, "lime", lime, NULL);
    else
        bt_desk_put(w, "lime", lime);
}

const struct bt_sum bt_sum_lime = {"lime",
                                   "a laboratory's lime rate, for the material at hand",
                                   "Rate over equivalent, share fine enough and dry share.",
                                   "arithmetic",
                                   lime_keys,
                                   "rate='5 lb/100 sq ft' equivalent=70",
                                   build_lime};

/* ---- acid-lime ---- */

static const struct bt_sum_key acid_keys[] = {
    {"acidity", BT_TAKES_NUMBER | BT_NEEDED, NULL,
     "exchangeable acidity of the report, meq/100 cm3, read as tons per acre"             },
    {"ph",      BT_TAKES_NUMBER | BT_NEEDED, NULL, "tested"                               },
    {"target",  BT_TAKES_NUMBER | BT_NEEDED, NULL, "wanted"                               },
    {"limit",   BT_TAKES_NUMBER,             NULL,
     "pH at which the acidity is gone (the laboratory's 6.6)"                             },
    {"credit",  BT_TAKES_RATE,               NULL, "lime of earlier years that still acts"},
    {"area",    BT_TAKES_AREA,               NULL, "ground"                               },
    {NULL,      0,                           NULL, NULL                                   }
};

static void build_acid(struct bt_desk *w)
{
    const struct bt_node ph = bt_desk_node(w, "ph"), target = bt_desk_node(w, "target"),
                         limit = bt_desk_or_book(w, "limit", "soils", "any", "lime_ph");
    if (w->failed)
        return;
    const struct bt_range *p = &bt_sheet_node(w->sheet, ph)->leaf->range;
    if (!(p->high < bt_likely(w->sheet, limit)) ||
        !(bt_likely(w->sheet, target) <= bt_likely(w->sheet, limit))) {
        bt_desk_refuse(w, "ph", "a pH below the limit, and a target up to it", NULL);
        return;
    }
    const struct bt_node ton = bt_constant_named(
        w->sheet, bt_desk_factor(w, "ton/ac"), BT_MASS_PER_AREA, "1 ton per acre",
        "lime for each meq/100 cm3, by the laboratory's formula", NULL);
    const struct bt_node acidity = bt_desk_named(
        w, "lime for all the acidity", bt_mul(w->sheet, bt_desk_node(w, "acidity"), ton));
    const struct bt_node none =
        bt_constant_named(w->sheet, 0, BT_MASS_PER_AREA, "credit", "none was given", NULL);
    const struct bt_node lime =
        bt_lime_for_acidity(w->sheet, acidity, ph, target, limit,
                            bt_desk_has(w, "credit") ? bt_desk_node(w, "credit") : none);
    bt_desk_result(
        w, "share of the acidity to be neutralised",
        bt_div(w->sheet, bt_sub(w->sheet, target, ph), bt_sub(w->sheet, limit, ph)), "");
    bt_desk_result(w, w->us_units ? "lime in tons per acre" : "lime in kg/m2", lime,
                   w->us_units ? "ton/ac" : "kg/m2");
    bt_desk_put(w, "lime", lime);
}

const struct bt_sum bt_sum_acid_lime = {
    "acid-lime",
    "lime from pH, target and exchangeable acidity",
    "Acidity times (target - pH) over (limit - pH), less what earlier lime still does.",
    "arithmetic",
    acid_keys,
    "acidity=1.2 ph=5.0 target=6.0",
    build_acid};

/* ---- demand ---- */

static const struct bt_sum_key demand_keys[] = {
    {"crop",      BT_TAKES_NAME,  "crops", "a crop of the handbook, for what is not given"},
    {"yield",     BT_TAKES_RATE,  NULL,    "harvest per area"                             },
    {"uptake",    BT_TAKES_SHARE, NULL,    "taken up for each mass harvested (`4 g/kg`)"  },
    {"harvested", BT_TAKES_RATE,  NULL,    "or nutrient in the harvest, per area"         },
    {"stays",     BT_TAKES_RATE,  NULL,    "and in what stays, per area"                  },
    {"passed_on", BT_TAKES_RATE,  NULL,    "passed on by legumes beside it"               },
    {"recovery",  PART,           NULL,
     "share the roots catch (the handbook's, for nitrogen of a crop)"                     },
    {"area",      BT_TAKES_AREA,  NULL,    "ground"                                       },
    {NULL,        0,              NULL,    NULL                                           }
};

static bool uptake_of(struct bt_desk *w, const char *crop, struct bt_node *out)
{
    const bool has_yield =
        bt_desk_has(w, "yield") || (crop && !bt_desk_has(w, "harvested"));
    if (has_yield && (bt_desk_has(w, "uptake") || crop)) {
        *out = bt_uptake(w->sheet, bt_desk_or_book(w, "yield", "crops", crop, "yield"),
                         bt_desk_or_book(w, "uptake", "crops", crop, "n_uptake"));
        return !w->failed;
    }
    if (!bt_desk_has(w, "harvested")) {
        bt_desk_refuse(w, "crop", "a crop, yield and uptake, or harvested and stays", NULL);
        return false;
    }
    *out = bt_desk_node(w, "harvested");
    if (bt_desk_has(w, "stays"))
        *out = bt_add(w->sheet, *out, bt_desk_node(w, "stays"));
    return true;
}

static void build_demand(struct bt_desk *w)
{
    const char *crop = bt_desk_word(w, "crop");
    struct bt_node uptake;
    if (!uptake_of(w, crop, &uptake))
        return;
    uptake = bt_desk_named(w, "uptake per area", uptake);
    const char *key = bt_desk_has(w, "yield") ? "yield" : "harvested";
    if (!bt_desk_guard_figure(w, key, uptake, "highest_rate_k2o", "uptake"))
        return;
    bt_desk_put(w, "uptake", uptake);
    if (!bt_desk_has(w, "recovery") && !crop)
        return;
    const struct bt_node none = bt_constant_named(w->sheet, 0, BT_MASS_PER_AREA,
                                                  "passed on", "nothing was given", NULL);
    const struct bt_node recovery =
        bt_desk_or_book(w, "recovery", "crops", crop, "recovery");
    if (!w->failed)
        bt_desk_put(
            w, "must find",
            bt_need(w->sheet, uptake,
                    bt_desk_has(w, "passed_on") ? bt_desk_node(w, "passed_on") : none,
                    recovery));
}

const struct bt_sum bt_sum_demand = {"demand",
                                     "what a crop takes up, and what it must find for that",
                                     "Yield times uptake for each mass harvested (or "
                                     "harvest plus what stays), less what legumes "
                                     "pass on, over the share the roots catch.",
                                     "arithmetic",
                                     demand_keys,
                                     "crop='sweet corn' yield='1.2 kg/m2' area='4 x 8 ft'",
                                     build_demand};

/* ---- balance ---- */

#define NEED (BT_TAKES_RATE | BT_TAKES_MASS)

static const struct bt_sum_key balance_keys[] = {
    {"need",    NEED | BT_NEEDED,                                  NULL, "recommended or required, per area or in all"},
    {"credit",  NEED | BT_TAKES_MANY,                              NULL, "what is there already, of the same nutrient"},
    {"spread",  NEED | BT_TAKES_MANY,                              NULL, "or an amount spread ..."                    },
    {"holds",   BT_TAKES_SHARE | BT_TAKES_PERCENT | BT_TAKES_MANY, NULL,
     "... and what it holds (`10 lb/ton`)"                                                                            },
    {"counted", BT_TAKES_SHARE | BT_TAKES_PERCENT | BT_TAKES_MANY, NULL,
     "share of it that counts (all)"                                                                                  },
    {NULL,      0,                                                 NULL, NULL                                         }
};

static bool credit_of(struct bt_desk *w, int nth, struct bt_node need, struct bt_node *out)
{
    const struct bt_sum_given *credit = bt_desk_nth(w, "credit", nth),
                              *spread = bt_desk_nth(w, "spread", nth),
                              *holds = bt_desk_nth(w, "holds", nth),
                              *counted = bt_desk_nth(w, "counted", nth);
    if (credit)
        *out = credit->node;
    else if (spread && holds)
        *out = bt_desk_named(w, bt_desk_text(w, "nutrient in spread %d", nth),
                             bt_carried_by(w->sheet, spread->node, holds->node));
    else
        bt_desk_refuse(w, "credit",
                       bt_desk_text(w, "credit%d, or spread%d and holds%d", nth, nth, nth),
                       NULL);
    if (!w->failed && !bt_desk_dim(w, *out, bt_sheet_node(w->sheet, need)->dim))
        bt_desk_refuse(w, "credit", "the same kind of figure as the need", NULL);
    if (!w->failed && counted)
        *out = bt_mul(w->sheet, *out, counted->node);
    return !w->failed;
}

static void build_balance(struct bt_desk *w)
{
    static const char *const keys[] = {"credit", "spread", "holds", "counted"};
    const struct bt_node need = bt_desk_node(w, "need");
    if (!bt_desk_guard_figure(w, "need", need, "highest_rate_k2o", "a need"))
        return;
    struct bt_node credit[BT_MOST_NTH];
    size_t n = 0;
    for (int i = 1; i <= BT_MOST_NTH; i++) {
        bool any = false;
        for (size_t k = 0; k < sizeof keys / sizeof *keys; k++)
            any |= bt_desk_nth(w, keys[k], i) != NULL;
        if (!any)
            continue;
        if (!credit_of(w, i, need, &credit[n]))
            return;
        credit[n] =
            bt_desk_named(w, bt_desk_text(w, "credit %d that counts", i), credit[n]);
        bt_desk_result(w, bt_desk_text(w, "credit %d that counts", i), credit[n], NULL);
        n++;
    }
    const struct bt_node all = bt_desk_named(
        w, "all credits", bt_sum(w->sheet, n, credit, bt_sheet_node(w->sheet, need)->dim));
    bt_desk_result(w, "all credits", all, NULL);
    bt_desk_result(w, "still needed", bt_still_needed(w->sheet, need, all), NULL);
    bt_desk_result(w, "over", bt_still_needed(w->sheet, all, need), NULL);
}

const struct bt_sum bt_sum_balance = {
    "balance",
    "a recommendation less what is there already",
    "Need less the sum of credits, each times the share of it that counts.",
    "arithmetic",
    balance_keys,
    "need='120 lb/ac' spread1='10 ton/ac' holds1='10 lb/ton' counted1=60 credit2='50 "
    "lb/ac'",
    build_balance};
