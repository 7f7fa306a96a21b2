/* Rows of spreads that several screens show: a line with its likely value, range, band and
 * the part that is in time. */
#ifndef BT_REPORT_SPREAD_H
#define BT_REPORT_SPREAD_H

#include "report/number.h"
#include "report/page.h"

/* The lines of an account as a table: supply, all supply, need, all need, balance; per bed
 * in the garden's unit. `bands` draws the ranges. */
void bt_put_lines(struct bt_out *o, const struct bt_show *w, const struct bt_finding *f,
                  const struct bt_account_finding *x, bool bands);

#endif
