/* The columns of the garden files, the settings of garden.csv and the words that columns
 * accept: the one place where they are spelled. */
#include "input/garden_read.h"

#include <assert.h>

#include "base/text.h"

#define N(a) (sizeof(a) / sizeof *(a))

static const char *const garden[] = {"setting", "value"};
static const char *const beds[] = {"bed",   "name",       "group", "length",  "width",
                                   "shape", "area",       "less",  "planted", "kind",
                                   "pots",  "pot_volume", "depth", "texture"};
static const char *const plantings[] = {
    "bed",        "crop",      "like",       "variety", "role",      "plants",
    "rows",       "spacing",   "share",      "among",   "in_ground", "ended",
    "expected",   "weighed",   "picked",     "rest",    "frame",     "fresh",
    "dry_matter", "n_percent", "inoculated", "status"};
static const char *const soil_tests[] = {"sample",
                                         "date",
                                         "beds",
                                         "depth",
                                         "organic_matter",
                                         "ph",
                                         "nitrate_n",
                                         "phosphorus",
                                         "phosphorus_method",
                                         "phosphorus_rating",
                                         "potassium",
                                         "potassium_method",
                                         "potassium_rating",
                                         "advised",
                                         "advised_n",
                                         "advised_p2o5",
                                         "advised_k2o",
                                         "lead",
                                         "arsenic",
                                         "cadmium"};
static const char *const water[] = {"source", "date", "nitrate", "beds",
                                    "amount", "from", "to"};
static const char *const materials[] = {
    "material", "like",  "label",   "n",         "ammonium_n",     "nitrate_n", "p2o5",
    "k2o",      "p",     "k",       "basis",     "moisture",       "c_n",       "density",
    "package",  "price", "on_hand", "made_here", "allowed_organic"};
static const char *const applications[] = {"date",   "beds",      "material",
                                           "amount", "placement", "taken_from",
                                           "every",  "until",     "status"};
static const char *const measures[] = {"measure", "amount"};
static const char *const harvests[] = {"date", "bed", "crop", "amount", "to"};
static const char *const purchases[] = {"date",   "supplier", "receipt",  "material",
                                        "amount", "paid",     "delivery", "donated_value"};
static const char *const settings[] = {
    "name",    "units",  "season",     "season_start",     "season_end",
    "as_of",   "place",  "warmth",     "mean_temperature", "temperature_half_range",
    "allowed", "enough", "left_limit", "currency",         "prepared_by",
    "grant",   "funder"};

static_assert(N(garden) == BT_GARDEN_COLS, "garden.csv");
static_assert(N(beds) == BT_BED_COLS, "beds.csv");
static_assert(N(plantings) == BT_PL_COLS, "plantings.csv");
static_assert(N(soil_tests) == BT_ST_COLS, "soil_tests.csv");
static_assert(N(water) == BT_WA_COLS, "water.csv");
static_assert(N(materials) == BT_MA_COLS, "materials.csv");
static_assert(N(applications) == BT_AP_COLS, "applications.csv");
static_assert(N(harvests) == BT_HA_COLS, "harvests.csv");
static_assert(N(purchases) == BT_PU_COLS, "purchases.csv");
static_assert(N(measures) == BT_ME_COLS, "measures.csv");
static_assert(N(settings) == BT_SET_COUNT, "settings");

static const char *const shape_words[] = {"rectangle", "round"};
static const char *const kind_words[] = {"ground", "mix", "pots"};
static const char *const yield_words[] = {"poor", "usual", "good"};
static const char *const picked_words[] = {"green", "dry",   "leaf",
                                           "root",  "fruit", "nothing"};
static const char *const rest_words[] = {"left", "dug-in", "compost", "off-site",
                                         "standing"};
static const char *const yes_no_words[] = {"no", "yes"};
static const char *const status_words[] = {"done", "planned"};
static const char *const placement_words[] = {"dug-in", "surface", "hole",
                                              "mound",  "watered", "filling"};
static const char *const basis_words[] = {"as-is", "dry"};
static const char *const units_words[] = {"metric", "us"};
static const char *const warmth_words[] = {"cool", "temperate", "warm"};
static const char *const allowed_words[] = {"any", "organic"};

const struct bt_words bt_words_shape = {N(shape_words), shape_words};
const struct bt_words bt_words_kind = {N(kind_words), kind_words};
const struct bt_words bt_words_yield = {N(yield_words), yield_words};
const struct bt_words bt_words_picked = {N(picked_words), picked_words};
const struct bt_words bt_words_rest = {N(rest_words), rest_words};
const struct bt_words bt_words_yes_no = {N(yes_no_words), yes_no_words};
const struct bt_words bt_words_status = {N(status_words), status_words};
const struct bt_words bt_words_placement = {N(placement_words), placement_words};
const struct bt_words bt_words_basis = {N(basis_words), basis_words};
const struct bt_words bt_words_units = {N(units_words), units_words};
const struct bt_words bt_words_warmth = {N(warmth_words), warmth_words};
const struct bt_words bt_words_allowed = {N(allowed_words), allowed_words};

static const struct file {
    const char *name;
    size_t n;
    const char *const *column;
} files[] = {
    {"garden",       N(garden),       garden      },
    {"beds",         N(beds),         beds        },
    {"plantings",    N(plantings),    plantings   },
    {"soil_tests",   N(soil_tests),   soil_tests  },
    {"water",        N(water),        water       },
    {"materials",    N(materials),    materials   },
    {"applications", N(applications), applications},
    {"measures",     N(measures),     measures    },
    {"harvests",     N(harvests),     harvests    },
    {"purchases",    N(purchases),    purchases   },
};

/* Which words a column of a file takes; a setting counts as a column of `garden`. */
static const struct wordy {
    const char *file, *column;
    const struct bt_words *words;
} wordy[] = {
    {"beds",         "shape",           &bt_words_shape    },
    {"beds",         "kind",            &bt_words_kind     },
    {"plantings",    "expected",        &bt_words_yield    },
    {"plantings",    "picked",          &bt_words_picked   },
    {"plantings",    "rest",            &bt_words_rest     },
    {"plantings",    "inoculated",      &bt_words_yes_no   },
    {"plantings",    "status",          &bt_words_status   },
    {"materials",    "basis",           &bt_words_basis    },
    {"materials",    "made_here",       &bt_words_yes_no   },
    {"materials",    "allowed_organic", &bt_words_yes_no   },
    {"applications", "placement",       &bt_words_placement},
    {"applications", "status",          &bt_words_status   },
    {"garden",       "units",           &bt_words_units    },
    {"garden",       "warmth",          &bt_words_warmth   },
    {"garden",       "allowed",         &bt_words_allowed  },
};

size_t bt_garden_columns(const char *file, const char *const **out)
{
    for (size_t i = 0; i < N(files); i++)
        if (bt_text_is(files[i].name, file)) {
            *out = files[i].column;
            return files[i].n;
        }
    *out = NULL;
    return 0;
}

size_t bt_garden_settings(const char *const **out)
{
    *out = settings;
    return N(settings);
}

size_t bt_garden_words(const char *file, const char *column, const char *const **out)
{
    for (size_t i = 0; i < N(wordy); i++)
        if (bt_text_is(wordy[i].file, file) && bt_text_is(wordy[i].column, column)) {
            *out = wordy[i].words->word;
            return wordy[i].words->n;
        }
    *out = NULL;
    return 0;
}
