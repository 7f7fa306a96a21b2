/* What a stand of legumes fixes and where it goes, by the equations of src/model/legume.c.
 */
#include "model/legume.h"
#include "plan/desk.h"
#include "plan/sum_list.h"

#define PART (BT_TAKES_SHARE | BT_TAKES_PERCENT)

static const struct bt_sum_key fixed_keys[] = {
    {"legume",               BT_TAKES_NAME,   "legumes", "a legume of the handbook, for what is not given"},
    {"share",                PART,            NULL,      "share of a full stand (all of it)"              },
    {"shoot_n",              BT_TAKES_RATE,   NULL,      "N in the shoots of a full stand"                },
    {"dry_matter",           BT_TAKES_RATE,   NULL,      "or dry matter of the shoots, per area"          },
    {"n",                    PART,            NULL,      "and its N"                                      },
    {"below_ground_factor",  BT_TAKES_NUMBER, NULL,      "plant N for each shoot N"                       },
    {"ndfa",                 PART,            NULL,      "share of plant N that comes from the air"       },
    {"fixed_per_dry_matter", BT_TAKES_SHARE,  NULL,
     "or N fixed for each dry matter (`20 kg/t`)"                                                         },
    {"harvested",            BT_TAKES_RATE,   NULL,      "N that leaves with the harvest, per area"       },
    {"harvest_share",        PART,            NULL,      "or share of plant N that leaves"                },
    {"companions",           BT_TAKES_RATE,   NULL,      "N that the plants beside it take up, per area"  },
    {"transfer",             PART,            NULL,      "share of their uptake that it passes on"        },
    {"area",                 BT_TAKES_AREA,   NULL,      "ground it is on"                                },
    {NULL,                   0,               NULL,      NULL                                             }
};

/* Shoot N of this stand; false with a message. */
static bool shoot_of(struct bt_desk *w, const char *legume, struct bt_node *out)
{
    if (bt_desk_has(w, "shoot_n"))
        *out = bt_desk_node(w, "shoot_n");
    else if (bt_desk_has(w, "dry_matter") && bt_desk_has(w, "n"))
        *out = bt_desk_named(
            w, "shoot N",
            bt_mul(w->sheet, bt_desk_node(w, "dry_matter"), bt_desk_node(w, "n")));
    else if (legume)
        *out = bt_desk_book(w, "legumes", legume, "shoot_n", "shoot N of a full stand");
    else
        bt_desk_refuse(w, "legume", "a legume, its shoot N, or dry matter and n", NULL);
    if (w->failed)
        return false;
    if (bt_desk_has(w, "share"))
        *out = bt_desk_named(w, "shoot N of this stand",
                             bt_mul(w->sheet, *out, bt_desk_node(w, "share")));
    return true;
}

static struct bt_node factor_of(struct bt_desk *w, const char *key, const char *legume,
                                double otherwise)
{
    if (bt_desk_has(w, key) || !legume)
        return bt_desk_or_share(w, key, otherwise);
    return bt_desk_or_book(w, key, "legumes", legume, key);
}

static struct bt_node harvested_of(struct bt_desk *w, const struct bt_node *plant_n)
{
    if (bt_desk_has(w, "harvested"))
        return bt_desk_node(w, "harvested");
    if (bt_desk_has(w, "harvest_share"))
        return bt_desk_named(w, "N out with the harvest",
                             bt_mul(w->sheet, *plant_n, bt_desk_node(w, "harvest_share")));
    return bt_constant_named(w->sheet, 0, BT_MASS_PER_AREA, "N out with the harvest",
                             "no harvest was given", NULL);
}

static void put_fates(struct bt_desk *w, const char *subject, struct bt_node shoot,
                      struct bt_node factor, struct bt_node ndfa)
{
    const struct bt_node plant = bt_mul(w->sheet, shoot, factor);
    struct bt_legume_ledger l =
        bt_legume_fates(w->sheet, subject, shoot, factor, ndfa, harvested_of(w, &plant));
    const bool has_company = bt_desk_has(w, "companions");
    struct bt_node passed = bt_constant_named(w->sheet, 0, BT_MASS_PER_AREA, "passed on",
                                              "no companions were given", NULL);
    if (has_company)
        passed = bt_desk_named(
            w, "N passed on while growing",
            bt_passed_on(w->sheet,
                         bt_desk_or_book(w, "transfer", "intercrops", "any", "transfer"),
                         bt_desk_node(w, "companions"),
                         bt_desk_book(w, "intercrops", "any", "transfer_limit",
                                      "most of it that is passed on"),
                         l.fixed));
    bt_legume_pass_on(w->sheet, subject, &l, passed);
    bt_desk_put(w, "plant N", l.plant_n);
    bt_desk_put(w, "N fixed", l.fixed);
    bt_desk_put(w, "fixed N out with the harvest", l.fixed_harvested);
    if (has_company)
        bt_desk_put(w, "fixed N passed on", l.passed_on);
    bt_desk_put(w, "fixed N left in residue and roots", l.fixed_left);
    bt_desk_put(w, "N left in residue and roots", l.left);
}

static void build_fixed(struct bt_desk *w)
{
    const char *legume = bt_desk_word(w, "legume");
    struct bt_node shoot = {0};
    if (bt_desk_has(w, "fixed_per_dry_matter")) {
        if (!bt_desk_has(w, "dry_matter")) {
            bt_desk_refuse(w, "dry_matter", "the dry matter, per area", NULL);
            return;
        }
        struct bt_node dry = bt_desk_node(w, "dry_matter");
        if (bt_desk_has(w, "share"))
            dry = bt_desk_named(w, "dry matter of this stand",
                                bt_mul(w->sheet, dry, bt_desk_node(w, "share")));
        bt_desk_put(w, "N fixed",
                    bt_mul(w->sheet, dry, bt_desk_node(w, "fixed_per_dry_matter")));
        return;
    }
    if (!shoot_of(w, legume, &shoot))
        return;
    const struct bt_node factor = factor_of(w, "below_ground_factor", legume, 1);
    if (!bt_desk_has(w, "ndfa") && !legume) {
        bt_desk_refuse(w, "ndfa", "the share of plant N from the air, or a legume", NULL);
        return;
    }
    const struct bt_node ndfa = factor_of(w, "ndfa", legume, 1);
    if (!w->failed)
        put_fates(w, legume ? legume : "the legume", shoot, factor, ndfa);
}

const struct bt_sum bt_sum_fixed = {
    "fixed",
    "what a stand of legumes fixes, and where that goes",
    "Shoot N times plant N for each shoot N times the share from the air; it leaves with "
    "the "
    "harvest, is passed on while growing, or stays in residue and roots: the three add up.",
    "arithmetic",
    fixed_keys,
    "legume='pole bean' share=40 harvest_share='30..50 %' companions='12 g/m2' area='4 x 8 "
    "ft'",
    build_fixed};
