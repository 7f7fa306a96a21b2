/* Do the beans feed the corn? What the legumes of the garden pass to their neighbours while
 * they grow, against what those need, in sentences that say no more than the numbers. */
#ifndef BT_REPORT_VERDICT_H
#define BT_REPORT_VERDICT_H

#include "report/number.h"

struct bt_verdict;
struct bt_verdict *bt_verdict_new(struct bt_arena *kept);
void bt_verdict_add(struct bt_verdict *v, const struct bt_finding *f);
/* One sentence or two for each kind of legume; none when there is no legume. In `w->arena`.
 */
size_t bt_verdict_sentences(const struct bt_verdict *v, const struct bt_show *w,
                            char ***out_sentences);

/* "No.", "Do not count on it." ... for the k-th sentence; "" for a legume that stands
 * alone. */
const char *bt_verdict_word(const struct bt_verdict *v, size_t k);

/* Whether the range of what legumes pass on begins at nothing. The law of such a range has
 * 0 as its lower end, which no percentile of the draws shows, so the sentences say it. */
bool bt_may_pass_nothing(const struct bt_sheet *s);

/* The likely share of its neighbours' need that a legume meets while it grows, as tables
 * and sentences say it; 0 for one without neighbours. */
double bt_met_share(const struct bt_finding *f, size_t planting);

#endif
