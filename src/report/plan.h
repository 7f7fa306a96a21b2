/* What to add, on its way to readers: the screen of all beds, an opened bed, the shopping
 * list; JSON; and the plan file, which has the columns of applications. */
#ifndef BT_REPORT_PLAN_H
#define BT_REPORT_PLAN_H

#include "plan/amend.h"
#include "plan/shopping.h"
#include "report/report.h"

/* ---- text ---- */

/* A bed in a few lines: what, how much, when, with what chance; or why nothing. */
void bt_report_plan_line(struct bt_out *o, const struct bt_show *w,
                         const struct bt_bed_plan *p);
/* A bed in full: also how sure, at what cost, what binds, what comes along, what was not
 * chosen and why, cautions with their sources. */
void bt_report_plan_bed(struct bt_out *o, const struct bt_show *w,
                        const struct bt_bed_plan *p);
void bt_report_plan_begin(struct bt_out *o, const struct bt_show *w,
                          const struct bt_garden *g);
/* The shopping list and what holds for every plan. `opened`: beds were shown in full. */
void bt_report_plan_end(struct bt_out *o, const struct bt_show *w,
                        const struct bt_garden *g, size_t n,
                        const struct bt_shopping_line *line, bool opened);

/* ---- for machines ---- */

void bt_report_plan_json_begin(struct bt_out *o, const struct bt_show *w,
                               const struct bt_garden *g);
void bt_report_plan_json_bed(struct bt_out *o, const struct bt_show *w,
                             const struct bt_bed_plan *p, bool first);
void bt_report_plan_json_end(struct bt_out *o, size_t n,
                             const struct bt_shopping_line *line);

/* The plan file, for `budget --plan`. */
void bt_report_plan_csv_begin(struct bt_out *o);
void bt_report_plan_csv_bed(struct bt_out *o, const struct bt_show *w,
                            const struct bt_bed_plan *p);

#endif
