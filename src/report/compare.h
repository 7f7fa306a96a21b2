/* What `bedtally compare` shows. */
#ifndef BT_REPORT_COMPARE_H
#define BT_REPORT_COMPARE_H

#include "chance/compare.h"
#include "report/number.h"

/* A bed that both gardens have, or that one has alone (`comparison` NULL). */
struct bt_compared_bed {
    const struct bt_bed *bed;
    const struct bt_comparison *comparison;
    enum bt_input_where where;
};

/* "first" and "second" name the folders. */
void bt_report_compare_begin(struct bt_out *o, const struct bt_show *w, const char *first,
                             const char *second);
void bt_report_compare_bed(struct bt_out *o, const struct bt_show *w,
                           const struct bt_compared_bed *b);
/* `second`: the handbook of the second folder, local rows included. */
void bt_report_compare_end(struct bt_out *o, const struct bt_show *w,
                           const struct bt_handbook *second);

/* What went in, "-" where one version has none: "4 (3 to 5) lb"; "64 plants, from 24 May to
 * 10 September"; the planting's name and what else about it is not the same. */
char *bt_compare_input_text(const struct bt_show *w, const struct bt_comparison *c,
                            const struct bt_input_difference *d, int side);
char *bt_compare_planting_text(const struct bt_show *w, const struct bt_planting *x,
                               double count);
char *bt_compare_planting_name(const struct bt_show *w,
                               const struct bt_planting_difference *d);

/* JSON, schema bedtally-compare-1 (docs/legumes.md). */
void bt_report_compare_json_begin(struct bt_out *o, const struct bt_show *w,
                                  const struct bt_garden *first,
                                  const struct bt_garden *second,
                                  const struct bt_handbook *second_book);
void bt_report_compare_json_bed(struct bt_out *o, const struct bt_show *w,
                                const struct bt_compared_bed *b, bool first);
void bt_report_compare_json_end(struct bt_out *o);

#endif
