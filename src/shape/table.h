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

/* The cubic of a cell at the fraction `x` of its width. */
static inline double bt_cubic(const double c[static 4], double x)
{
    return c[0] + x * (c[1] + x * (c[2] + x * c[3]));
}

/* The cell that u lies in, and in `along` the fraction of its width. */
static inline int bt_table_cell(double u, double *along)
{
    const double side = u - 0.5;
    const double off = 0.5 - fabs(side);
    const double v = off > 0 ? off : 0;
    const uint64_t bits = bt_bits_of(v);
    /* Exponent and two bits of the mantissa, counted from the first octave; the other bits
     * moved up are the fraction of the cell. */
    const int at = (int)(bits >> (52 - BT_TABLE_PARTS_LOG2)) -
                   ((1022 - BT_TABLE_OCTAVES) << BT_TABLE_PARTS_LOG2) + 1;
    const double within =
        bt_double_of((bits << BT_TABLE_PARTS_LOG2 & UINT64_C(0xFFFFFFFFFFFFF)) |
                     UINT64_C(0x3FF0000000000000)) -
        1;
    *along = at > 0 ? within : v * (2 << BT_TABLE_OCTAVES);
    return (at > 0 ? at : 0) + (side > 0 ? BT_TABLE_HALF : 0);
}

static inline double bt_table_at(const double (*table)[4], double u)
{
    double along;
    const int cell = bt_table_cell(u, &along);
    return bt_cubic(table[cell], along);
}

#endif
