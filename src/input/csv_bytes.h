/* The bytes of a file before they are text. Internal to the CSV reader. */
#ifndef BT_INPUT_CSV_BYTES_H
#define BT_INPUT_CSV_BYTES_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/diag.h"

#define BT_CSV_MOST_BYTES ((size_t)64 << 20)

/* The whole file at `path`, into the arena. False, with a message, when it cannot be read,
 * is a folder, or is larger than 64 MB. */
bool bt_bytes_read(struct bt_arena *a, struct bt_diag *d, const char *path,
                   const char *shown_as, const char **out_bytes, size_t *out_n);

/* The message for a file over 64 MB; false. */
bool bt_bytes_too_large(struct bt_diag *d, const char *shown_as);

#endif
