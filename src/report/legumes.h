/* What `bedtally legumes` shows: do the legumes feed their neighbours, where their nitrogen
 * goes, what would change that, and what earlier seasons give this one. */
#ifndef BT_REPORT_LEGUMES_H
#define BT_REPORT_LEGUMES_H

#include "chance/legumes.h"
#include "report/number.h"

/* One bed: its finding (for the verdict and the lines) and that of its legumes. */
struct bt_legumes_page {
    const struct bt_finding *finding;
    const struct bt_legumes_finding *legumes;
    bool names; /* list the names by which `why` opens the figures */
};

/* Text. A bed without legumes in the account shows what earlier seasons give it, if
 * anything does; false when it has nothing to show. */
bool bt_report_legumes_bed(struct bt_out *o, const struct bt_show *w,
                           const struct bt_legumes_page *p);
void bt_report_legumes_end(struct bt_out *o, const struct bt_show *w,
                           const struct bt_garden *g, size_t n_beds);

/* JSON, schema bedtally-legumes-1 (docs/legumes.md): begin, each bed, end. */
void bt_report_legumes_json_begin(struct bt_out *o, const struct bt_show *w,
                                  const struct bt_garden *g);
void bt_report_legumes_json_bed(struct bt_out *o, const struct bt_show *w,
                                const struct bt_legumes_page *p, bool first);
void bt_report_legumes_json_end(struct bt_out *o);

/* CSV: one row a figure; g/m2 and shares. */
void bt_report_legumes_csv_begin(struct bt_out *o);
void bt_report_legumes_csv_bed(struct bt_out *o, const struct bt_show *w,
                               const struct bt_legumes_page *p);

/* ---- shared by the writers ---- */

/* "pole bean", "pole bean 2" where there are several. */
const char *bt_planting_subject(struct bt_arena *a, const struct bt_planting *x);
/* Whether a line of the account comes from what was sown or spread in an earlier year. */
bool bt_is_carried(const struct bt_garden *g, const struct bt_line *line);

#endif
