/* Evaluation of a sheet for a block of draws: one column a node, plain loops, no branch on data. */
#ifndef BT_WORKSHEET_EVALUATE_H
#define BT_WORKSHEET_EVALUATE_H

#include "worksheet/sheet.h"

#define BT_BLOCK 256 /* draws evaluated at a time */

/* column[i] (BT_BLOCK doubles each, 64-byte aligned) of every leaf is filled by the caller; those of all
 * other nodes are written. Constants too. No allocation, no error. */
void bt_sheet_evaluate(const struct bt_sheet *s, double *const *column);

#endif
