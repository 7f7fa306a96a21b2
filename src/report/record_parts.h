/* What a record may hold beside its beds: the plan as advice, the legumes in full, another
 * version of the garden. Each is written while its finding is at hand, into a document of
 * its own, and stands in the record where bt_record_document puts it. */
#ifndef BT_REPORT_RECORD_PARTS_H
#define BT_REPORT_RECORD_PARTS_H

#include "plan/shopping.h"
#include "report/compare.h"
#include "report/legumes.h"
#include "report/record.h"

/* The plan: begin, each bed, end. Advice alone; nothing of it enters the deeds. */
void bt_record_plan_begin(struct bt_record *r, const struct bt_show *w);
void bt_record_plan_bed(struct bt_record *r, const struct bt_show *w,
                        const struct bt_bed_plan *p);
void bt_record_plan_end(struct bt_record *r, const struct bt_show *w, size_t n,
                        const struct bt_shopping_line *line);

/* A bed's legumes; a bed without any adds nothing. */
void bt_record_legumes_bed(struct bt_record *r, const struct bt_show *w,
                           const struct bt_legumes_page *p);

/* The other version of the garden: begin, each bed. "first" is this garden. */
void bt_record_compare_begin(struct bt_record *r, const char *first, const char *second,
                             const struct bt_handbook *second_book);
void bt_record_compare_bed(struct bt_record *r, const struct bt_show *w,
                           const struct bt_compared_bed *b);

#endif
