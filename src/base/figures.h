/* Numbers as people write them: so many figures, and never with an exponent. */
#ifndef BT_BASE_FIGURES_H
#define BT_BASE_FIGURES_H

#include "base/arena.h"

/* `value` to so many significant figures, without exponent: "1.28", "0.0127", "12300", "0".
 * A number that is not finite is "not known". */
char *bt_figures(struct bt_arena *a, double value, int figures);
/* The same without zeros at the end of the decimals: "0.7" where bt_figures says "0.700".
 */
char *bt_figures_short(struct bt_arena *a, double value, int figures);
/* The value that bt_figures prints. */
double bt_rounded(double value, int figures);

#endif
