/* Figures of the handbook in the units of the garden they are used in: sources print kg/m2
 * and g/kg, a gardener in the US thinks in pounds and square feet. By dimension and size,
 * so that a figure of the same kind has the same unit on every page. */
#ifndef BT_REPORT_FIELD_H
#define BT_REPORT_FIELD_H

#include "report/report.h"
#include "report/working.h"

/* How a quantity of this dimension is shown that goes up to `most` (inside units), whose
 * source has it in `own`: "yield", 2000 g/m2 -> "lb/100 sq ft". Counts, ratios and shares
 * without a unit, percents, and dimensions without a field unit stay as they are in the
 * source. */
struct bt_as bt_in_field(const struct bt_show *w, struct bt_dim dim, double most,
                         struct bt_as own);

/* How many figures it is then given: one that was turned into another unit has no more than
 * its source's had. */
int bt_field_figures(struct bt_as as, struct bt_as own);

/* "20 to 41 lb/100 sq ft", "0.5"; in w->arena. */
char *bt_leaf_range_text(const struct bt_show *w, const struct bt_leaf *leaf);

/* What was assumed of a bed, each as a text of a line: "yield of sweet corn: 20 to 41
 * lb/100 sq ft (read)". b->n_assumed texts. */
const char *const *bt_assumed_texts(const struct bt_show *w, const struct bt_budget *b);

/* "Guides would advise about 0.9 lb N/1000 sq ft ...", NULL where they say nothing. */
const char *bt_rate_check_text(const struct bt_show *w, const struct bt_budget *b);

#endif
