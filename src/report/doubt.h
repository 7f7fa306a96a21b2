/* What the doubt of a garden comes from: what could be measured to narrow it, and what was
 * assumed. From the drivers of each bed, weighted by how uncertain the bed is. */
#ifndef BT_REPORT_DOUBT_H
#define BT_REPORT_DOUBT_H

#include "report/number.h"

/* "sweet corn: what is picked, weighed" for a leaf that a test or a count can narrow, else
 * NULL. In `a`. */
char *bt_measure_text(struct bt_arena *a, const struct bt_leaf *leaf);

struct bt_doubt;
struct bt_doubt *bt_doubt_new(struct bt_arena *kept);
void bt_doubt_add(struct bt_doubt *d, const struct bt_show *w, const struct bt_finding *f);

/* The k-th largest of each kind, with the share of the doubt over all beds that hang on it
 * (those with more than enough do not) that measuring is expected to take away, or that the
 * assumption carries; false when there are no more. `bed` is where it
 * matters most, `n_beds` in how many it appears. Texts live as long as the doubt. */
struct bt_doubt_part {
    const char *text;
    const char *bed;
    size_t n_beds;
    double share_frac;
};
bool bt_doubt_measure(const struct bt_doubt *d, size_t k, struct bt_doubt_part *out);
bool bt_doubt_assumed(const struct bt_doubt *d, size_t k, struct bt_doubt_part *out);

#endif
