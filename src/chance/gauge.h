/* What a grower can test, weigh or count, and how far off such a figure usually is. Which
 * leaf is narrowed by what stands here and nowhere else; the words stand in
 * report/doubt.c. */
#ifndef BT_CHANCE_GAUGE_H
#define BT_CHANCE_GAUGE_H

#include "input/handbook.h"
#include "worksheet/sheet.h"

enum bt_gauge {
    BT_GAUGE_NONE,
    BT_GAUGE_WATER_NITRATE,
    BT_GAUGE_WATER_USED,
    BT_GAUGE_SOIL_NITRATE,
    BT_GAUGE_SOIL_NITRATE_AGAIN,
    BT_GAUGE_ORGANIC_MATTER,
    BT_GAUGE_ANALYSIS, /* one paper from the laboratory narrows several leaves */
    BT_GAUGE_MOISTURE,
    BT_GAUGE_DENSITY,
    BT_GAUGE_AMOUNT,
    BT_GAUGE_HARVEST,
    BT_GAUGE_PLANTS,
    BT_GAUGE_SHARE,
    BT_GAUGE_RESIDUE_N,
    BT_GAUGE_GROWTH,
    BT_GAUGE_DRY_MATTER,
    BT_GAUGE_INOCULATED,
    BT_GAUGES
};

/* By the leaf's id; NONE for what nobody can measure in a garden. */
enum bt_gauge bt_gauge_of(const struct bt_leaf *leaf);
/* Usual standard error of such a figure: a share of it, but never below `least`, which is
 * in inside units (handbook, soils, test_error and test_error_least). Both 0 for what is
 * then simply known. False for what cannot be measured, or when the handbook does not say.
 */
struct bt_gauge_error {
    double frac;
    double least; /* unit of the leaf */
};
bool bt_gauge_error(const struct bt_handbook *h, const struct bt_leaf *leaf,
                    struct bt_gauge_error *out);
/* The rows that the error is taken from, up to two. */
size_t bt_gauge_rows(const struct bt_handbook *h, const struct bt_leaf *leaf,
                     const struct bt_row *out[2]);
/* Whether one and the same paper, weighing or count narrows both. */
bool bt_gauge_same(const struct bt_leaf *a, const struct bt_leaf *b);

#endif
