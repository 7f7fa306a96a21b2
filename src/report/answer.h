/* A finding in words: the words, the next action, the chances. */
#ifndef BT_REPORT_ANSWER_H
#define BT_REPORT_ANSWER_H

#include "report/number.h"

const char *bt_word_text(enum bt_word word); /* "probably short" */
const char *bt_word_painted(const struct bt_show *w, enum bt_word word);
const char *bt_nutrient_text(enum bt_nutrient nutrient);  /* "N", as in JSON */
const char *bt_nutrient_title(enum bt_nutrient nutrient); /* "Nitrogen" */

/* "A1", or "A1, the long bed" when it has a name. */
const char *bt_bed_title(struct bt_arena *a, const struct bt_bed *bed);
/* " for all 6 pots" behind an amount for a bed of them, else "": nobody should give each
 * the whole. */
const char *bt_all_pots(struct bt_arena *a, const struct bt_bed *bed);

/* The account of the finding, or NULL when the budget has none. */
const struct bt_account_finding *bt_account_of(const struct bt_finding *f,
                                               enum bt_nutrient nutrient);

/* What to do next, with a date and an amount: "short by about 1.2 oz N on this bed by 7
 * August; feed before 1 July". Amounts are the middle of the sample. */
char *bt_action_text(const struct bt_show *w, const struct bt_finding *f,
                     const struct bt_account_finding *x, int figures);

/* Share of the likely supply that rests on additions that are only planned (or advised),
 * 0..1. */
double bt_planned_share(const struct bt_account_finding *x);

#endif
