/* Units as gardeners, labs and handbooks write them, by udunits2 over our own table of
 * units (tables/units.csv). What a person typed never reaches udunits' own parser. */
#ifndef BT_INPUT_UNITS_H
#define BT_INPUT_UNITS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/diag.h"
#include "base/dim.h"

/* US measures that amounts are rounded to and written in, for code without a garden's units
 * at hand; tests/test_units.c holds them to tables/units.csv. */
#define BT_G_PER_LB            453.59237
#define BT_G_PER_OZ            (BT_G_PER_LB / 16)
#define BT_M_PER_INCH          0.0254
#define BT_M_PER_FOOT          (12 * BT_M_PER_INCH)
#define BT_M2_PER_SQUARE_FOOT  (BT_M_PER_FOOT * BT_M_PER_FOOT)
#define BT_M3_PER_CUBIC_FOOT   (BT_M2_PER_SQUARE_FOOT * BT_M_PER_FOOT)
#define BT_M3_PER_CUP          (BT_M3_PER_CUBIC_FOOT / 1728 * 231 / 16)
#define BT_TABLESPOONS_PER_CUP 16

struct bt_units;

/* A unit that was read: value inside = value typed * factor + offset (offset only for
 * degrees). */
struct bt_unit {
    struct bt_dim dim;
    double factor;
    double offset;
    const char *text;    /* as typed, tidied */
    const char *species; /* "N", "NO3-N", "NO3", "P2O5", "P", "K2O", "K" or NULL */
    const char
        *per; /* "plant", "mound", "pot", "week" ... what a rate counts; NULL for none */
    const char
        *measure; /* a household or package measure ("wheelbarrow", "bag"); NULL for none */
};

/* `table` is the text of tables/units.csv (name,meaning,symbol). NULL, with messages, on a
 * bad row. */
struct bt_units *bt_units_new(struct bt_arena *a, struct bt_diag *d, const char *table,
                              size_t n);
void bt_units_free(struct bt_units *u); /* releases udunits' own memory */

/* Reads a unit text: tidied, split at the one `/`, each side an optional count and a name
 * looked up whole, symbols (case kept) before names (any case). Species and per-words are
 * taken off first. `measures` (n names) are words that count as measures here, e.g.
 * "bucket". False: not a unit. */
bool bt_units_read(const struct bt_units *u, struct bt_arena *a, const char *text,
                   size_t n_measures, const char *const *measures, struct bt_unit *out);

/* Factor from the inner unit (g, m, d) to the unit named, for writers: 1 g/m2 = factor *
 * unit. The text must be one that bt_units_read takes. */
double bt_units_factor_to(const struct bt_units *u, struct bt_arena *a, const char *text);

/* "lb, oz, kg, g ..." : what may be typed for a dimension, for messages. */
const char *bt_units_accepted(struct bt_arena *a, struct bt_dim dim);

#endif
