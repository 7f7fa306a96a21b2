/* What `report` puts in beside the beds: --with plan,legumes and --against DIR. */
#ifndef BT_COMMAND_REPORT_PARTS_H
#define BT_COMMAND_REPORT_PARTS_H

#include "command/front.h"
#include "report/record_parts.h"

struct bt_report_parts {
    bool plan, legumes;
    const char *against; /* folder, or NULL */
    bool deeds_alone;    /* what is only planned counts nowhere */
};

/* False, with a message on stderr, when a word is not known or this reader gets no such
 * part. */
bool bt_report_parts_read(struct bt_arena *a, const struct bt_options *o,
                          enum bt_audience audience, struct bt_report_parts *out);
/* A record tells of deeds: takes what is only planned out of the garden. */
void bt_report_leave_plans_out(struct bt_garden *g);

void bt_report_legumes_part(struct bt_front *f, struct bt_record *r,
                            const struct bt_run *run, const struct bt_finding *finding);
bool bt_report_plan_part(struct bt_front *f, struct bt_record *r, bool from_handbook);
bool bt_report_compare_part(struct bt_front *f, struct bt_record *r,
                            const struct bt_report_parts *parts, const char *first);

#endif
