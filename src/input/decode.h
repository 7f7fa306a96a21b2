/* What a file's bytes say, whatever program wrote them: UTF-8 with or without its mark,
 * UTF-16, Windows-1252. Internal to the CSV reader. */
#ifndef BT_INPUT_DECODE_H
#define BT_INPUT_DECODE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/diag.h"

/* Turns *bytes (*n of them) into UTF-8 without a byte order mark, in the arena where they
 * must change. Whatever was not plain UTF-8 is noted. False, with a message that names the
 * place, for what cannot be told: characters cut off, halves of pairs, bytes that no
 * encoding of these has, UTF-8 and something else in one file, NUL bytes, over 64 MB. */
bool bt_decode(struct bt_arena *a, struct bt_diag *d, const char *shown_as,
               const char **bytes, size_t *n);

/* Bytes of the UTF-8 character at `s` (n bytes are there); 0 when it is not one. */
size_t bt_utf8_length(const char *s, size_t n);

#endif
