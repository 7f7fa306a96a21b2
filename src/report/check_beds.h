/* The beds of the check page: what is the same for several of them is said once. */
#ifndef BT_REPORT_CHECK_BEDS_H
#define BT_REPORT_CHECK_BEDS_H

#include "report/report.h"

/* The plantings of a bed and what was understood of them. */
void bt_check_head(struct bt_out *o, const struct bt_show *w, const struct bt_budget *b);
/* `32 sq ft = 8 ft x 4 ft`. */
const char *bt_check_size(const struct bt_show *w, const struct bt_bed *bed);

/* The beds seen so far, in an arena that outlives the page of each. */
struct bt_check_beds;
struct bt_check_beds *bt_check_beds_new(struct bt_arena *kept);
void bt_check_beds_add(struct bt_check_beds *c, const struct bt_show *w,
                       const struct bt_budget *b);
/* Equal beds as one, and what is assumed in all of them once. */
void bt_check_beds_write(struct bt_out *o, const struct bt_show *w,
                         const struct bt_check_beds *c);

#endif
