/* Layers, measures, moisture, spacing. */
#include "plan/desk.h"
#include "plan/ground.h"
#include "plan/sum_list.h"

#include "model/amendment.h"

#define PART (BT_TAKES_SHARE | BT_TAKES_PERCENT)

/* ---- layer ---- */

static const struct bt_sum_key layer_keys[] = {
    {"area",        BT_TAKES_AREA,                   NULL,        "ground (two of area, depth and volume)"        },
    {"depth",       BT_TAKES_LENGTH,                 NULL,        "how deep it lies"                              },
    {"volume",      BT_TAKES_VOLUME,                 NULL,        "how much there is (`1 cu yd`, `3 buckets`)"    },
    {"density",     BT_TAKES_DENSITY,                NULL,
     "to know its mass (`25 lb/bucket`, `1000 lb/cu yd`)"                                                         },
    {"like",        BT_TAKES_NAME,                   "materials", "or a material of the handbook, for its density"},
    {"bucket",      BT_TAKES_VOLUME,                 NULL,        "what your bucket holds (the handbook's)"       },
    {"wheelbarrow", BT_TAKES_VOLUME,                 NULL,        "what your wheelbarrow holds (the handbook's)"  },
    {"bag",         BT_TAKES_VOLUME,                 NULL,        "what a bag holds (`1 cu ft`, `16 dry qt`)"     },
    {"load",        BT_TAKES_VOLUME | BT_TAKES_MASS, NULL,        "what a load brings"                            },
    {NULL,          0,                               NULL,        NULL                                            }
};

/* Volume, with the third of area, depth and volume worked out; false with a message. */
static bool lie(struct bt_desk *w, struct bt_node *volume)
{
    const bool area = bt_desk_has(w, "area"), depth = bt_desk_has(w, "depth"),
               amount = bt_desk_has(w, "volume");
    if (area + depth + amount == 3 || (area + depth + amount < 2 && !amount)) {
        bt_desk_refuse(w, NULL, "two of area, depth and volume", NULL);
        return false;
    }
    if (!amount) {
        *volume = bt_desk_named(
            w, "volume",
            bt_layer_volume(w->sheet, bt_desk_node(w, "area"), bt_desk_node(w, "depth")));
        return true;
    }
    *volume = bt_desk_node(w, "volume");
    if (depth)
        bt_desk_result(w, "area it covers",
                       bt_div(w->sheet, *volume, bt_desk_node(w, "depth")), NULL);
    if (area)
        bt_desk_result(w, "depth it lies",
                       bt_div(w->sheet, *volume, bt_desk_node(w, "area")), NULL);
    return true;
}

static void measure(struct bt_desk *w, const char *name, struct bt_node amount,
                    struct bt_node one)
{
    bt_desk_result(w, name, bt_div(w->sheet, amount, one), "");
}

static void build_layer(struct bt_desk *w)
{
    struct bt_node volume;
    if (!lie(w, &volume))
        return;
    bt_desk_result(w, "volume", volume, NULL);
    bt_desk_result(w, w->us_units ? "in cubic yards" : "in litres", volume,
                   w->us_units ? "cu yd" : "L");
    measure(w, "buckets", volume,
            bt_desk_or_book(w, "bucket", "measures", "bucket", "volume"));
    measure(w, "wheelbarrows", volume,
            bt_desk_or_book(w, "wheelbarrow", "measures", "wheelbarrow", "volume"));
    if (bt_desk_has(w, "bag"))
        measure(w, "bags", volume, bt_desk_node(w, "bag"));
    const char *material = bt_desk_word(w, "like");
    const bool has_mass = bt_desk_has(w, "density") || material;
    struct bt_node mass = volume;
    if (has_mass) {
        mass = bt_desk_named(
            w, "mass",
            bt_layer_mass(w->sheet, volume,
                          bt_desk_or_book(w, "density", "materials", material, "density")));
        bt_desk_result(w, "mass", mass, NULL);
        if (bt_desk_has(w, "area"))
            bt_desk_result(w, "mass per area",
                           bt_div(w->sheet, mass, bt_desk_node(w, "area")), NULL);
    }
    if (!bt_desk_has(w, "load"))
        return;
    const struct bt_node load = bt_desk_node(w, "load");
    const bool by_mass = bt_desk_dim(w, load, BT_MASS);
    if (by_mass && !has_mass)
        bt_desk_refuse(w, "load", "a volume, or the density too", NULL);
    else
        measure(w, "loads", by_mass ? mass : volume, load);
}

const struct bt_sum bt_sum_layer = {
    "layer",
    "a depth on an area: volume, mass, buckets, wheelbarrows, loads",
    "Volume is area times depth; mass is volume times density; counts are over what one "
    "measure holds, level full.",
    "arithmetic",
    layer_keys,
    "area='10 x 10 ft' depth='1 in' density='25 lb/bucket'",
    build_layer};

/* ---- basis ---- */

static const struct bt_sum_key basis_keys[] = {
    {"moisture",   PART | BT_NEEDED,              NULL,        "water in it, of the whole"           },
    {"content",    PART,                          NULL,        "what it holds (1.53 %, 742 mg/kg)"   },
    {"from",       BT_TAKES_WORD,                 "as-is|dry", "what the content is of: must be said"},
    {"amount",     BT_TAKES_MASS | BT_TAKES_RATE, NULL,        "of it, as it is"                     },
    {"dry_amount", BT_TAKES_MASS | BT_TAKES_RATE, NULL,        "or of its dry matter"                },
    {NULL,         0,                             NULL,        NULL                                  }
};

static void build_basis(struct bt_desk *w)
{
    const struct bt_node moisture = bt_desk_node(w, "moisture");
    const bool from_dry = bt_desk_is(w, "from", "dry");
    if (bt_desk_has(w, "content") && !bt_desk_word(w, "from")) {
        bt_desk_refuse(w, "from", "as-is or dry",
                       "a laboratory marks its lines `dw`, `dry` or `as received`");
        return;
    }
    if (!bt_desk_has(w, "content") && !bt_desk_has(w, "amount") &&
        !bt_desk_has(w, "dry_amount")) {
        bt_desk_refuse(w, "content", "a content or an amount", NULL);
        return;
    }
    if (bt_desk_has(w, "content")) {
        const struct bt_node content = bt_desk_node(w, "content");
        bt_desk_result(w, from_dry ? "content as it is" : "content of dry matter",
                       from_dry ? bt_dry_matter(w->sheet, content, moisture)
                                : bt_div(w->sheet, content, bt_rest(w->sheet, moisture)),
                       NULL);
    }
    if (bt_desk_has(w, "amount")) {
        const struct bt_node amount = bt_desk_node(w, "amount");
        bt_desk_result(w, "dry matter", bt_dry_matter(w->sheet, amount, moisture), NULL);
        bt_desk_result(w, "water", bt_mul(w->sheet, amount, moisture), NULL);
    }
    if (bt_desk_has(w, "dry_amount"))
        bt_desk_result(
            w, "amount as it is",
            bt_div(w->sheet, bt_desk_node(w, "dry_amount"), bt_rest(w->sheet, moisture)),
            NULL);
}

const struct bt_sum bt_sum_basis = {
    "basis",
    "as it is to dry matter, and back",
    "As it is = of dry matter times (1 - moisture); and back.",
    "arithmetic",
    basis_keys,
    "content='1.53 %' from=dry moisture='30..50 %'",
    build_basis};

/* ---- plants ---- */

static const struct bt_sum_key plants_keys[] = {
    {"area",        BT_TAKES_AREA | BT_NEEDED, NULL,    "ground"                                    },
    {"in_row",      BT_TAKES_LENGTH,           NULL,    "from plant to plant"                       },
    {"row_spacing", BT_TAKES_LENGTH,           NULL,    "from row to row (as in the row)"           },
    {"plants",      BT_TAKES_NUMBER,           NULL,    "or how many there are"                     },
    {"crop",        BT_TAKES_NAME,             "crops", "to see the share of a full stand"          },
    {"stand",       BT_TAKES_NUMBER,           NULL,    "or plants per square metre of a full stand"},
    {NULL,          0,                         NULL,    NULL                                        }
};

static void put_share(struct bt_desk *w, struct bt_node plants, struct bt_node area)
{
    const char *crop = bt_desk_word(w, "crop");
    struct bt_node stand;
    if (bt_desk_has(w, "stand")) {
        const struct bt_node m2 =
            bt_constant_named(w->sheet, 1, BT_AREA, "1 m2", NULL, NULL);
        stand = bt_desk_named(w, "plants per area of a full stand",
                              bt_div(w->sheet, bt_desk_node(w, "stand"), m2));
    } else if (crop) {
        stand = bt_desk_book(w, "crops", crop, "stand",
                             bt_desk_text(w, "full stand of %s", crop));
    } else {
        return;
    }
    if (w->failed)
        return;
    const struct bt_node share = bt_desk_named(
        w, "share of a full stand", bt_stand_share(w->sheet, plants, area, stand));
    bt_desk_result(w, "share of a full stand", share, "%");
    bt_desk_result(w, "ground they count for", bt_mul(w->sheet, share, area), NULL);
}

static void build_plants(struct bt_desk *w)
{
    const struct bt_node area = bt_desk_node(w, "area");
    if (bt_desk_has(w, "plants") == bt_desk_has(w, "in_row")) {
        bt_desk_refuse(w, "in_row", "either a spacing or how many plants", NULL);
        return;
    }
    struct bt_node plants;
    if (bt_desk_has(w, "plants")) {
        plants = bt_desk_node(w, "plants");
        bt_desk_result(w, "ground for each", bt_div(w->sheet, area, plants), NULL);
    } else {
        const struct bt_node in_row = bt_desk_node(w, "in_row");
        const struct bt_node between =
            bt_desk_has(w, "row_spacing") ? bt_desk_node(w, "row_spacing") : in_row;
        plants = bt_desk_named(w, "plants", bt_plants_at(w->sheet, area, in_row, between));
        bt_desk_result(w, "plants", plants, "");
    }
    put_share(w, plants, area);
}

const struct bt_sum bt_sum_plants = {
    "plants",
    "plants from a spacing, and the share of a bed they fill",
    "Plants = area over the ground of one; share = plants over those of a full stand at "
    "usual "
    "spacing.",
    "arithmetic",
    plants_keys,
    "area='4 x 8 ft' in_row='9 in' row_spacing='30 in' crop='sweet corn'",
    build_plants};

/* ---- land-ratio ---- */

static const struct bt_sum_key land_keys[] = {
    {"mixed", BT_TAKES_RATE | BT_TAKES_NUMBER | BT_TAKES_MANY | BT_NEEDED, NULL,
     "yield of a crop in the mixture, per whole area"                                },
    {"sole",  BT_TAKES_RATE | BT_TAKES_NUMBER | BT_TAKES_MANY | BT_NEEDED, NULL,
     "yield of the same crop alone"                                                  },
    {NULL,    0,                                                           NULL, NULL}
};

static void build_land(struct bt_desk *w)
{
    struct bt_node part[BT_MOST_NTH];
    size_t n = 0;
    for (int i = 1; i <= BT_MOST_NTH; i++) {
        const struct bt_sum_given *mixed = bt_desk_nth(w, "mixed", i),
                                  *sole = bt_desk_nth(w, "sole", i);
        if (!mixed && !sole)
            continue;
        if (!mixed || !sole ||
            !bt_desk_dim(w, mixed->node, bt_sheet_node(w->sheet, sole->node)->dim)) {
            bt_desk_refuse(w, "sole", "for each mixed yield the sole one, in the same unit",
                           NULL);
            return;
        }
        part[n] = bt_desk_named(w, bt_desk_text(w, "relative yield of crop %d", i),
                                bt_div(w->sheet, mixed->node, sole->node));
        bt_desk_result(w, bt_desk_text(w, "relative yield of crop %d", i), part[n], "");
        n++;
    }
    bt_desk_result(w, "land equivalent ratio", bt_sum(w->sheet, n, part, BT_FRACTION), "");
}

const struct bt_sum bt_sum_land_ratio = {
    "land-ratio",
    "land equivalent ratio of a mixture",
    "The sum of each crop's yield in the mixture over its yield alone.",
    "arithmetic",
    land_keys,
    "mixed1='0.7 t/ha' sole1='1 t/ha' mixed2='1.8 t/ha' sole2='2 t/ha'",
    build_land};
