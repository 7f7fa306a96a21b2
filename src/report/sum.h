/* What the front doors show of single sums: the list, a sum's own page, an answer with its
 * working, and docs/sums.md. */
#ifndef BT_REPORT_SUM_H
#define BT_REPORT_SUM_H

#include "plan/sum.h"
#include "report/report.h"

/* `bedtally sum`: a line each. */
void bt_report_sums(struct bt_out *o);
/* `bedtally sum NAME --help`: what it is, its keys, what each takes and means, an example.
 */
void bt_report_sum_help(struct bt_out *o, const struct bt_show *w,
                        const struct bt_sum *sum);
/* The page docs/sums.md, from the same table. */
void bt_report_sums_docs(struct bt_out *o, const struct bt_show *w);

/* An answer: results, what was taken, then a page of working for each named quantity. */
void bt_report_sum(struct bt_out *o, const struct bt_show *w,
                   const struct bt_sum_answer *answer);
/* One object, schema bedtally-sum-1. */
void bt_report_sum_json(struct bt_out *o, const struct bt_show *w,
                        const struct bt_sum_answer *answer);
/* A header, then a row a result. */
void bt_report_sum_csv(struct bt_out *o, const struct bt_show *w,
                       const struct bt_sum_answer *answer);

#endif
