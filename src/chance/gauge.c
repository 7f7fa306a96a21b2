#include "chance/gauge.h"

#include <string.h>

#include "base/text.h"

/* By the parts of the leaf's id, "table/.../quantity/..."; `table` NULL: whatever the
 * table. `error` is the key of test_error in the handbook's soils; NULL: known for good. */
static const struct way {
    const char *table, *quantity;
    enum bt_gauge gauge;
    const char *error;
} ways[] = {
    {"water",        "nitrate",                 BT_GAUGE_WATER_NITRATE,      "water test"         },
    {"water",        "nitrate_n",               BT_GAUGE_WATER_NITRATE,      "water test"         },
    {"water",        "amount",                  BT_GAUGE_WATER_USED,         "water meter"        },
    {"soils",        "nitrate_default",         BT_GAUGE_SOIL_NITRATE,       "nitrate test"       },
    {"soils",        "nitrate_default_covered", BT_GAUGE_SOIL_NITRATE,       "nitrate test"       },
    {"soil_tests",   "nitrate_n",               BT_GAUGE_SOIL_NITRATE_AGAIN, "nitrate test"       },
    {NULL,           "organic_matter",          BT_GAUGE_ORGANIC_MATTER,     "organic matter test"},
    {"materials",    "n",                       BT_GAUGE_ANALYSIS,           "analysis"           },
    {"materials",    "ammonium_n",              BT_GAUGE_ANALYSIS,           "analysis"           },
    {"materials",    "nitrate_n",               BT_GAUGE_ANALYSIS,           "analysis"           },
    {"materials",    "c_n",                     BT_GAUGE_ANALYSIS,           "analysis"           },
    {"materials",    "n_available_1",           BT_GAUGE_ANALYSIS,           "analysis, release"  },
    {"materials",    "n_available_2",           BT_GAUGE_ANALYSIS,           "analysis, release"  },
    {"materials",    "n_available_3",           BT_GAUGE_ANALYSIS,           "analysis, release"  },
    {"materials",    "moisture",                BT_GAUGE_MOISTURE,           "weighing"           },
    {"materials",    "density",                 BT_GAUGE_DENSITY,            "weighing"           },
    {"applications", "amount",                  BT_GAUGE_AMOUNT,             "weighing"           },
    {NULL,           "yield",                   BT_GAUGE_HARVEST,            "weighing"           },
    {NULL,           "yield_poor",              BT_GAUGE_HARVEST,            "weighing"           },
    {NULL,           "yield_good",              BT_GAUGE_HARVEST,            "weighing"           },
    {NULL,           "expected",                BT_GAUGE_HARVEST,            "weighing"           },
    {NULL,           "weighed",                 BT_GAUGE_HARVEST,            "weighing"           },
    {"plantings",    "plants",                  BT_GAUGE_PLANTS,             "count"              },
    {"plantings",    "share",                   BT_GAUGE_SHARE,              "count"              },
    {NULL,           "residue_n",               BT_GAUGE_RESIDUE_N,          "analysis"           },
    {NULL,           "n_percent",               BT_GAUGE_RESIDUE_N,          "analysis"           },
    {NULL,           "fresh",                   BT_GAUGE_GROWTH,             "frame"              },
    {NULL,           "shoot_n",                 BT_GAUGE_GROWTH,             "frame"              },
    {NULL,           "dry_matter",              BT_GAUGE_DRY_MATTER,         "weighing"           },
    {NULL,           "uninoculated_factor",     BT_GAUGE_INOCULATED,         NULL                 },
};

/* Whether one of the parts of "a/b/c/d" from the third on is the quantity. */
static bool has_part(const char *id, const char *quantity)
{
    const size_t length = strlen(quantity);
    const char *part = strchr(id, '/');
    part = part ? strchr(part + 1, '/') : NULL;
    for (; part; part = strchr(part + 1, '/'))
        if (strncmp(part + 1, quantity, length) == 0 &&
            (part[1 + length] == '\0' || part[1 + length] == '/'))
            return true;
    return false;
}

static const struct way *way_of(const struct bt_leaf *leaf)
{
    for (size_t k = 0; k < sizeof ways / sizeof ways[0]; k++) {
        const char *table = ways[k].table;
        const bool in_table =
            !table || (bt_text_starts(leaf->id, table) && leaf->id[strlen(table)] == '/');
        if (in_table && has_part(leaf->id, ways[k].quantity))
            return &ways[k];
    }
    return NULL;
}

enum bt_gauge bt_gauge_of(const struct bt_leaf *leaf)
{
    const struct way *way = way_of(leaf);
    return way ? way->gauge : BT_GAUGE_NONE;
}

static void error_rows(const struct bt_handbook *h, const struct way *way,
                       const struct bt_row *out[2])
{
    out[0] = h ? bt_handbook_row(h, "soils", way->error, "test_error") : NULL;
    out[1] = h ? bt_handbook_row(h, "soils", way->error, "test_error_least") : NULL;
}

bool bt_gauge_error(const struct bt_handbook *h, const struct bt_leaf *leaf,
                    struct bt_gauge_error *out)
{
    const struct way *way = way_of(leaf);
    *out = (struct bt_gauge_error){0, 0};
    if (!way || !way->error)
        return way != NULL;
    const struct bt_row *row[2];
    error_rows(h, way, row);
    out->frac = row[0] ? row[0]->range.likely : 0;
    out->least = row[1] ? row[1]->range.likely : 0;
    return row[0] != NULL;
}

size_t bt_gauge_rows(const struct bt_handbook *h, const struct bt_leaf *leaf,
                     const struct bt_row *out[2])
{
    const struct way *way = way_of(leaf);
    const struct bt_row *row[2] = {NULL, NULL};
    size_t n = 0;
    if (way && way->error)
        error_rows(h, way, row);
    for (int i = 0; i < 2; i++)
        if (row[i])
            out[n++] = row[i];
    return n;
}

/* "materials/yard compost" of "materials/yard compost/n". */
static size_t length_of_subject(const char *id)
{
    const char *slash = strchr(id, '/');
    slash = slash ? strchr(slash + 1, '/') : NULL;
    return slash ? (size_t)(slash - id) : strlen(id);
}

bool bt_gauge_same(const struct bt_leaf *a, const struct bt_leaf *b)
{
    const size_t length = length_of_subject(a->id);
    return bt_gauge_of(a) == bt_gauge_of(b) && length == length_of_subject(b->id) &&
           strncmp(a->id, b->id, length) == 0;
}
