/* One cell of CSV by RFC 4180 that a spreadsheet does not run as a formula. */
#ifndef BT_REPORT_CSV_PUT_H
#define BT_REPORT_CSV_PUT_H

#include "base/arena.h"
#include "base/out.h"

/* A text that begins like a formula gets an apostrophe before it, which spreadsheets show
 * as text. NULL is empty. */
const char *bt_csv_guarded(struct bt_arena *a, const char *text);
/* In quotes; `a` holds it while it is written. */
void bt_csv_put_quoted(struct bt_out *o, struct bt_arena *a, const char *text);
/* Guarded and in quotes: any text that is not a number of ours. */
void bt_csv_put(struct bt_out *o, struct bt_arena *a, const char *text);

#endif
