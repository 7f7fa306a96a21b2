/* The bytes of a file before they are CSV: read whole, and looked at for what no CSV file
 * holds. Internal to the CSV reader. */
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

/* Takes a UTF-8 byte order mark off, and refuses, with a message, what is not UTF-8 text:
 * UTF-16 (by its mark or its NUL bytes), other encodings, files over 64 MB. */
bool bt_bytes_are_text(struct bt_diag *d, const char *shown_as, const char **bytes,
                       size_t *n);

/* Bytes of the UTF-8 character at `s` (n bytes are there); 0 when it is not one. */
size_t bt_utf8_length(const char *s, size_t n);

#endif
