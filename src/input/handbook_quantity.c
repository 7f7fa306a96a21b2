#include "input/handbook_quantity.h"

#include <string.h>

#define N(a)   (sizeof(a) / sizeof *(a))
#define BIT(i) (1U << (i))

static const char *const row_columns[BT_HB_COLS] = {
    "key",   "quantity", "low",    "likely",           "high",   "unit", "ends",
    "basis", "scope",    "parent", "rank_correlation", "source", "seen", "notes"};
static const char *const source_columns[BT_SRC_COLS] = {"id", "authors", "title", "year",
                                                        "address"};
static const char *const alias_columns[BT_AL_COLS] = {"table", "alias", "key"};
static const char *const caution_columns[BT_CA_COLS] = {
    "topic",        "when",   "rule", "number", "unit",
    "jurisdiction", "source", "seen", "notes",  "scope"};

#define ROW_NEEDS                                                                          \
    (BIT(BT_HB_KEY) | BIT(BT_HB_QUANTITY) | BIT(BT_HB_SCOPE) | BIT(BT_HB_SOURCE) |         \
     BIT(BT_HB_SEEN))
#define ROWS(name)                                                                         \
    {                                                                                      \
        name, BT_HB_COLS, row_columns, ROW_NEEDS                                           \
    }

static const struct bt_book_layout layouts[BT_BOOK_FILES] = {
    ROWS("crops"),
    ROWS("legumes"),
    ROWS("intercrops"),
    ROWS("materials"),
    ROWS("residues"),
    ROWS("soils"),
    ROWS("ratings"),
    ROWS("measures"),
    {"sources",  BT_SRC_COLS, source_columns,  BIT(BT_SRC_ID) | BIT(BT_SRC_TITLE)},
    {"aliases",  BT_AL_COLS,  alias_columns,
                  BIT(BT_AL_TABLE) | BIT(BT_AL_ALIAS) | BIT(BT_AL_KEY)                        },
    {"cautions", BT_CA_COLS,  caution_columns,
                  BIT(BT_CA_WHEN) | BIT(BT_CA_RULE) | BIT(BT_CA_SOURCE) | BIT(BT_CA_SEEN)     },
};

const struct bt_book_layout *bt_book_layout(size_t file)
{
    return &layouts[file];
}

/* Dimensions as g, m, d, K. */
#define SHARE                                                                              \
    {                                                                                      \
        0, 0, 0, 0                                                                         \
    }
#define G                                                                                  \
    {                                                                                      \
        1, 0, 0, 0                                                                         \
    }
#define G_M2                                                                               \
    {                                                                                      \
        1, -2, 0, 0                                                                        \
    }
#define G_M3                                                                               \
    {                                                                                      \
        1, -3, 0, 0                                                                        \
    }
#define M                                                                                  \
    {                                                                                      \
        0, 1, 0, 0                                                                         \
    }
#define M3                                                                                 \
    {                                                                                      \
        0, 3, 0, 0                                                                         \
    }
#define PER_M2                                                                             \
    {                                                                                      \
        0, -2, 0, 0                                                                        \
    }
#define DAYS                                                                               \
    {                                                                                      \
        0, 0, 1, 0                                                                         \
    }
#define PER_DAY                                                                            \
    {                                                                                      \
        0, 0, -1, 0                                                                        \
    }
#define TEMPERATURE                                                                        \
    {                                                                                      \
        0, 0, 0, 1                                                                         \
    }

#define NUMBER(name, dim)                                                                  \
    {                                                                                      \
        name, dim, BT_BASIS_NONE, false, false, NULL                                       \
    }
#define EITHER(name, dim)                                                                  \
    {                                                                                      \
        name, dim, BT_BASIS_NONE, true, false, NULL                                        \
    }
#define DIFFERENCE(name)                                                                   \
    {                                                                                      \
        name, TEMPERATURE, BT_BASIS_NONE, false, true, NULL                                \
    }
#define AVAILABLE(name)                                                                    \
    {                                                                                      \
        name, SHARE, BT_BASIS_AVAILABILITY, false, false, NULL                             \
    }
#define ANALYSIS(name)                                                                     \
    {                                                                                      \
        name, SHARE, BT_BASIS_ANALYSIS, false, false, NULL                                 \
    }
#define WORD(name, words)                                                                  \
    {                                                                                      \
        name, SHARE, BT_BASIS_WORD, false, false, words                                    \
    }

static const char *const form_words[] = {"tall",   "climbing",  "bush",     "vine",
                                         "leafy",  "root",      "fruiting", "herb",
                                         "flower", "perennial", "cover",    NULL};
static const char *const eaten_words[] = {"near-ground", "off-ground", "not-eaten", NULL};
static const char *const feeder_words[] = {"light", "medium", "heavy", NULL};
static const char *const roots_words[] = {"deep", "medium", "shallow", "perennial", NULL};
static const char *const kind_words[] = {"compost", "manure",  "mulch", "residue",
                                         "meal",    "mineral", "other", NULL};
static const char *const placement_words[] = {"dug-in",  "surface", "hole", "mound",
                                              "watered", "filling", NULL};
static const char *const availability_words[] = {"of_total", "of_organic", "mineral",
                                                 "in_crop", NULL};
static const char *const analysis_words[] = {"dry", "as-is", NULL};

static const struct bt_book_quantity crops[] = {
    NUMBER("yield", G_M2),
    NUMBER("yield_poor", G_M2),
    NUMBER("yield_good", G_M2),
    NUMBER("n_uptake", SHARE),
    NUMBER("n_removed", SHARE),
    NUMBER("p2o5_removed", SHARE),
    NUMBER("k2o_removed", SHARE),
    NUMBER("stand", PER_M2),
    NUMBER("in_row", M),
    NUMBER("recovery", SHARE),
    NUMBER("recycled", SHARE),
    NUMBER("first_season", SHARE),
    NUMBER("competitive_weight", SHARE),
    NUMBER("days", DAYS),
    NUMBER("first_pick", DAYS),
    NUMBER("picked_from", DAYS),
    NUMBER("picked_to", DAYS),
    NUMBER("stand_warmth", DAYS),
    NUMBER("uptake_midpoint", SHARE),
    NUMBER("uptake_steepness", SHARE),
    NUMBER("sidedress_day", SHARE),
    NUMBER("sidedress_day_2", SHARE),
    NUMBER("residue_n", SHARE),
    NUMBER("n_rate_advised", G_M2),
    NUMBER("ph", SHARE),
    WORD("form", form_words),
    WORD("feeder", feeder_words),
    WORD("roots", roots_words),
    WORD("eaten", eaten_words),
    WORD("cautions", NULL),
    WORD("follows", NULL),
};
static const struct bt_book_quantity legumes[] = {
    NUMBER("shoot_n", G_M2),
    NUMBER("below_ground_factor", SHARE),
    NUMBER("ndfa", SHARE),
    NUMBER("harvest_index_green", SHARE),
    NUMBER("harvest_index_dry", SHARE),
    NUMBER("residue_n", SHARE),
    NUMBER("uninoculated_factor", SHARE),
    NUMBER("company_factor", SHARE),
    NUMBER("nitrate_zero", G_M2),
    NUMBER("nitrate_reference", G_M2),
    NUMBER("ndfa_limit", SHARE),
    WORD("follows", NULL),
};
static const struct bt_book_quantity intercrops[] = {
    NUMBER("mixing_gain", SHARE),    NUMBER("thinning", SHARE),
    NUMBER("transfer", SHARE),       NUMBER("transfer_limit", SHARE),
    NUMBER("company_factor", SHARE),
};
static const struct bt_book_quantity materials[] = {
    WORD("kind", kind_words),
    WORD("placement", placement_words),
    WORD("cautions", NULL),
    WORD("follows", NULL),
    NUMBER("moisture", SHARE),
    ANALYSIS("n"),
    ANALYSIS("ammonium_n"),
    ANALYSIS("nitrate_n"),
    ANALYSIS("p2o5"),
    ANALYSIS("k2o"),
    NUMBER("c_n", SHARE),
    NUMBER("density", G_M3),
    AVAILABLE("n_available_1"),
    AVAILABLE("n_available_2"),
    AVAILABLE("n_available_3"),
    AVAILABLE("p2o5_available"),
    AVAILABLE("k2o_available"),
    NUMBER("surface_factor", SHARE),
    NUMBER("release_rate", PER_DAY),
    NUMBER("net_n", SHARE),
    NUMBER("ammonium_kept", SHARE),
    NUMBER("ammonium_kept_surface", SHARE),
    NUMBER("salt_index", SHARE),
};
static const struct bt_book_quantity residues[] = {
    NUMBER("pan_slope", SHARE),      NUMBER("break_even_n", SHARE),
    NUMBER("pan_cap", SHARE),        NUMBER("pan_floor", SHARE),
    NUMBER("release_rate", PER_DAY), NUMBER("slow_release", SHARE),
    NUMBER("surface_factor", SHARE), NUMBER("tie_up_surface", SHARE),
    NUMBER("payback", SHARE),        NUMBER("haulm_over_winter", SHARE),
    NUMBER("winter_kept", SHARE),    NUMBER("dry_matter", SHARE),
    NUMBER("decomposed", SHARE),     NUMBER("carbon_use", SHARE),
    NUMBER("microbe_c_n", SHARE),    NUMBER("tie_up_surface_most", G_M2),
};
static const struct bt_book_quantity soils[] = {
    NUMBER("bulk_density", G_M3),
    NUMBER("om_factor", SHARE),
    NUMBER("om_release", G_M2),
    NUMBER("mean_temperature", TEMPERATURE),
    DIFFERENCE("temperature_half_range"),
    DIFFERENCE("soil_above_air"),
    NUMBER("response_a", SHARE),
    EITHER("response_b", TEMPERATURE),
    NUMBER("damping_depth", M),
    NUMBER("depth", M),
    EITHER("coldest_day", DAYS),
    NUMBER("highest", TEMPERATURE),
    NUMBER("zero_below", TEMPERATURE),
    NUMBER("linear_to", TEMPERATURE),
    NUMBER("om_limit", SHARE),
    NUMBER("bulk_density_om", SHARE),
    NUMBER("organic_density", G_M3),
    NUMBER("mineral_density", G_M3),
    NUMBER("organic_matter", SHARE),
    NUMBER("om_release_share", SHARE),
    NUMBER("plow_layer_mass", G_M2),
    NUMBER("plow_depth", M),
    NUMBER("reference_bulk_density", G_M3),
    NUMBER("nitrate_default", SHARE),
    NUMBER("nitrate_default_covered", SHARE),
    NUMBER("deposition", G_M2),
    NUMBER("left_limit", G_M2),
    NUMBER("single_dose_limit", G_M2),
    NUMBER("yearly_dose_limit", G_M2),
    NUMBER("compost_depth_limit", M),
    NUMBER("compost_depth_usual", M),
    NUMBER("mulch_depth_limit", M),
    NUMBER("build_up_limit", SHARE),
    NUMBER("feed_until", SHARE),
    NUMBER("guide_excess", SHARE),
    NUMBER("mulch_wait", DAYS),
    NUMBER("rounding_limit", SHARE),
    NUMBER("ash_ph_limit", SHARE),
    NUMBER("compost_mineral_share", SHARE),
    NUMBER("compost_organic_matter", SHARE),
    NUMBER("nitrate_depth", M),
    NUMBER("ph", SHARE),
    NUMBER("ph_legume", SHARE),
    NUMBER("ph_fixation", SHARE),
    NUMBER("p_fall", SHARE),
    NUMBER("p_fall_share", SHARE),
    NUMBER("lead_watch", SHARE),
    NUMBER("lead_limit", SHARE),
    NUMBER("lead_watch_extract", SHARE),
    NUMBER("arsenic_watch", SHARE),
    NUMBER("cadmium_watch", SHARE),
    NUMBER("manure_wait", DAYS),
    NUMBER("manure_wait_off_ground", DAYS),
    NUMBER("first_pick_share", SHARE),
    NUMBER("om_nitrogen", SHARE),
    NUMBER("p2o5_of_p", SHARE),
    NUMBER("k2o_of_k", SHARE),
    NUMBER("no3_of_n", SHARE),
    NUMBER("lime_ph", SHARE),
    NUMBER("highest_rate_n", G_M2),
    NUMBER("highest_rate_p2o5", G_M2),
    NUMBER("highest_rate_k2o", G_M2),
    NUMBER("highest_rate_lime", G_M2),
    NUMBER("deepest_layer", M),
    NUMBER("highest_yield", SHARE),
    NUMBER("test_error", SHARE),
    NUMBER("test_error_least", SHARE),
};
static const struct bt_book_quantity ratings[] = {
    NUMBER("limit_p", SHARE),        NUMBER("limit_k", SHARE),
    NUMBER("p2o5_need", G_M2),       NUMBER("k2o_need", G_M2),
    NUMBER("p2o5_need_light", G_M2), NUMBER("p2o5_need_heavy", G_M2),
    NUMBER("k2o_need_light", G_M2),  NUMBER("k2o_need_heavy", G_M2),
    NUMBER("limit_n", SHARE),        NUMBER("critical_n", SHARE),
    NUMBER("n_need", G_M2),          NUMBER("n_per_ppm", G_M2),
    NUMBER("n_per_yield", G_M3),
};
static const struct bt_book_quantity measures[] = {NUMBER("volume", M3), NUMBER("mass", G)};

static const struct {
    size_t n;
    const struct bt_book_quantity *quantity;
} known[BT_ROW_TABLES] = {
    {N(crops),      crops     },
    {N(legumes),    legumes   },
    {N(intercrops), intercrops},
    {N(materials),  materials },
    {N(residues),   residues  },
    {N(soils),      soils     },
    {N(ratings),    ratings   },
    {N(measures),   measures  },
};

const struct bt_book_quantity *bt_book_quantity(size_t table, const char *name)
{
    for (size_t i = 0; i < known[table].n; i++)
        if (strcmp(known[table].quantity[i].name, name) == 0)
            return &known[table].quantity[i];
    return NULL;
}

size_t bt_book_quantity_names(size_t table, size_t room, const char **out)
{
    const size_t n = known[table].n < room ? known[table].n : room;
    for (size_t i = 0; i < n; i++)
        out[i] = known[table].quantity[i].name;
    return n;
}

const char *bt_book_oxide(const char *quantity)
{
    static const struct {
        const char *element, *oxide;
    } pair[] = {
        {"p",           "p2o5"          },
        {"k",           "k2o"           },
        {"p_removed",   "p2o5_removed"  },
        {"k_removed",   "k2o_removed"   },
        {"p_available", "p2o5_available"},
        {"k_available", "k2o_available" },
        {"p_need",      "p2o5_need"     },
        {"k_need",      "k2o_need"      }
    };
    for (size_t i = 0; i < N(pair); i++)
        if (strcmp(pair[i].element, quantity) == 0)
            return pair[i].oxide;
    return NULL;
}

const char *const *bt_book_basis_words(const struct bt_book_quantity *q)
{
    if (q->basis == BT_BASIS_AVAILABILITY)
        return availability_words;
    return q->basis == BT_BASIS_ANALYSIS ? analysis_words : q->word;
}
