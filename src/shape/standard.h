/* Inside this room: the standard forms on [0, 1], which laws place and stretch. */
#ifndef BT_SHAPE_STANDARD_H
#define BT_SHAPE_STANDARD_H

#include "shape/range.h"

/* Quantile at 0 <= p <= 1 and density at 0 <= z <= 1 of the standard form. */
double bt_pert_quantile(double mode, double p);
double bt_pert_density(double mode, double z);

/* Quantile of a standard form with ends 0 and 1: UNIFORM, TRIANGULAR or PERT. */
double bt_standard_quantile(enum bt_form form, double mode, double p);
/* Integral of z^power times the density from 0 to z; power 0, 1 or 2. Power 0 is the
 * distribution function. */
double bt_standard_partial(enum bt_form form, double mode, int power, double z);

#endif
