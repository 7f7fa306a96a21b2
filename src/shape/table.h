/* The tables that draws read: quantile functions as cubic pieces on a grid that follows the
 * exponent of the number. With v the distance of u from the nearer end of 0 .. 1, each
 * octave of v is cut into four cells, so cells are finest at the ends, where quantile
 * functions bend most; which cell v lies in and how far along is read off its bits, without
 * a root or a search. Inline, because it is the hot path. */
#ifndef BT_SHAPE_TABLE_H
#define BT_SHAPE_TABLE_H

#include <math.h>
#include <stdint.h>
#include <string.h>

enum {
    BT_TABLE_OCTAVES = 20,   /* from 2^-21 to 1/2 */
    BT_TABLE_PARTS_LOG2 = 2, /* cells of an octave, as a power of 2 */
    BT_TABLE_PARTS = 1 << BT_TABLE_PARTS_LOG2,
    /* One cell for all below, one for the middle itself. */
    BT_TABLE_HALF = BT_TABLE_OCTAVES * BT_TABLE_PARTS + 2,
    BT_TABLE_CELLS = 2 * BT_TABLE_HALF /* the upper half after the lower */
};

static inline uint64_t bt_bits_of(double x)
{
    uint64_t bits;
    memcpy(&bits, &x, sizeof bits);
    return bits;
}

static inline double bt_double_of(uint64_t bits)
{
    double x;
    memcpy(&x, &bits, sizeof x);
    return x;
}

/* The cubic of a cell at the fraction `x` of its width. `c` is a table seen flat, four
 * coefficients a cell, which lets gcc gather them. */
static inline double bt_cubic(const double *c, int cell, double x)
{
    const int at = 4 * cell;
    return c[at] + x * (c[at + 1] + x * (c[at + 2] + x * c[at + 3]));
}

static inline double bt_table_at(const double *c, double u)
{
    const double side = u - 0.5;
    const double off = 0.5 - fabs(side);
    const double v = off > 0 ? off : 0;
    const uint64_t bits = bt_bits_of(v);
    /* Exponent and two bits of the mantissa, counted from the first octave; the other bits
     * moved up are the fraction of the cell. */
    const int at = (int)(bits >> (52 - BT_TABLE_PARTS_LOG2)) -
                   ((1022 - BT_TABLE_OCTAVES) << BT_TABLE_PARTS_LOG2) + 1;
    const double along =
        bt_double_of((bits << BT_TABLE_PARTS_LOG2 & UINT64_C(0xFFFFFFFFFFFFF)) |
                     UINT64_C(0x3FF0000000000000)) -
        1;
    const int cell = at > 0 ? at : 0;
    const double x = at > 0 ? along : v * (2 << BT_TABLE_OCTAVES);
    return bt_cubic(c, cell + (side > 0 ? BT_TABLE_HALF : 0), x);
}

#endif
