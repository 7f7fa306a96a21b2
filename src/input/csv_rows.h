/* Internal to the CSV reader: what is known of a file once its records are there. */
#ifndef BT_INPUT_CSV_ROWS_H
#define BT_INPUT_CSV_ROWS_H

#include "input/csv.h"

/* Do its numbers have decimal commas? Never where commas stand between the cells. */
bool bt_csv_has_decimal_commas(const struct bt_csv *csv);
/* The note on a delimiter that is no comma. */
void bt_csv_say_delimiter(struct bt_arena *a, struct bt_diag *d, const struct bt_csv *csv);

#endif
