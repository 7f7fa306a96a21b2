/* With what an answer was worked out: version, draws, seed, tables. Equal ones and an equal
 * garden give equal figures, so every output says them. */
#ifndef BT_REPORT_MADE_WITH_H
#define BT_REPORT_MADE_WITH_H

#include <jansson.h>

#include "report/report.h"

/* "Bedtally 0.1.0; 16384 draws, seed 1; tables 0f3c...": the last is a checksum over those
 * of all tables, local rows included. In w->arena. */
char *bt_made_with_text(const struct bt_show *w);
/* The last of it, for a handbook. `a` holds it while it is worked out. */
uint64_t bt_made_with_sum(struct bt_arena *a, const struct bt_handbook *h);
/* The checksum of each table by its name. The caller owns it. */
json_t *bt_made_with_tables(struct bt_arena *a, const struct bt_handbook *h);
/* Puts `version`, `tables`, `samples` and `seed` into an object. */
void bt_made_with_set(json_t *object, const struct bt_show *w);

/* The closing line of an answer about two folders: both sums where their tables differ. */
void bt_report_made_with_two(struct bt_out *o, const struct bt_show *w,
                             const struct bt_handbook *second);

#endif
