/* The loop that sums columns of draws for the courses of an account's lines. The worksheet
 * keeps one of its own (worksheet/evaluate.c): there this one costs a tenth more. */
#ifndef BT_CHANCE_ADD_COLUMNS_H
#define BT_CHANCE_ADD_COLUMNS_H

#include <stddef.h>

#include "worksheet/evaluate.h"

/* out = fixed + sum of weight . column over a block of draws, in the order of the columns,
 * four a pass. `out` is none of the columns. Inline, so that it is compiled into each
 * kernel (shape/kernel.h). */
static inline void bt_add_columns(double fixed, size_t n, const double *const *column,
                                  const double *weight, double *restrict out)
{
    for (int i = 0; i < BT_BLOCK; i++)
        out[i] = fixed;
    size_t k = 0;
    for (; k + 4 <= n; k += 4) {
        const double *a = column[k], *b = column[k + 1];
        const double *c = column[k + 2], *d = column[k + 3];
        const double wa = weight[k], wb = weight[k + 1];
        const double wc = weight[k + 2], wd = weight[k + 3];
        for (int i = 0; i < BT_BLOCK; i++)
            out[i] = out[i] + wa * a[i] + wb * b[i] + wc * c[i] + wd * d[i];
    }
    for (; k < n; k++) {
        const double *a = column[k];
        const double wa = weight[k];
        for (int i = 0; i < BT_BLOCK; i++)
            out[i] = out[i] + wa * a[i];
    }
}

#endif
