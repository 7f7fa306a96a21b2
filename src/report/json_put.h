/* The pieces that all JSON of this program is made of: null for what is unknown, ten
 * figures, written as it comes. */
#ifndef BT_REPORT_JSON_PUT_H
#define BT_REPORT_JSON_PUT_H

#include <jansson.h>

#include "base/out.h"
#include "chance/summary.h"

/* Null for what is not finite; never -0. */
json_t *bt_json_number(double value);
/* Null for no text; also for bytes that are no UTF-8, which the reader of cells does not
 * let in. */
json_t *bt_json_text(const char *value);
json_t *bt_json_texts(size_t n, const char *const *value);
/* Puts likely, mean, p05, p50 and p95, times `factor`, into an object; and one of these
 * alone. */
void bt_json_set_spread(json_t *object, const struct bt_spread *s, double factor);
json_t *bt_json_spread(const struct bt_spread *s, double factor);
/* Writes on one line and forgets. */
void bt_json_put(struct bt_out *o, json_t *value);
/* The head of an answer bed by bed, open for its beds: {..., "beds":[ */
void bt_json_put_head(struct bt_out *o, json_t *head);

#endif
