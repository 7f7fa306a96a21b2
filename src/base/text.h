/* Small questions about text: equal whatever the case, nearest name, tidied blanks. */
#ifndef BT_BASE_TEXT_H
#define BT_BASE_TEXT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

bool bt_text_is(const char *a, const char *b); /* equal; ASCII case ignored */
bool bt_text_starts(const char *text, const char *beginning); /* ASCII case ignored */
bool bt_text_blank(const char *text); /* NULL, "" or white space only */

/* Lower case (ASCII), outer blanks gone, inner runs of blanks, no-break spaces, `_` and `-`
 * made one blank: the form in which names are compared. */
char *bt_text_key(struct bt_arena *a, const char *text);

/* The up to three names of `names` nearest to `text` (edit distance at most a third of its
 * length, or one beginning with the other), as `"sweet corn", "field corn"`; NULL when none
 * is near. */
char *bt_text_nearest(struct bt_arena *a, const char *text, size_t n,
                      const char *const *names);

/* "html, md or csv": the words up to a NULL, empty ones left out. */
char *bt_text_listed(struct bt_arena *a, const char *const *words);

/* Words of a list: `a; b ;c` gives 3 texts, trimmed; empty ones left out. */
size_t bt_text_split(struct bt_arena *a, const char *text, char separator,
                     char ***out_parts);

/* 64-bit key of a name: equal names, equal keys, on every machine (FNV-1a, then a final
 * mix). */
uint64_t bt_text_hash(const char *text);
/* The same over bytes, for checksums of tables. */
uint64_t bt_bytes_hash(const void *bytes, size_t n);

#endif
