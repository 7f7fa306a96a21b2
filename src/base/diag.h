/* Messages about what the user wrote: one list a run, each with a weight and a position.
 * Only errors make the exit status 1; warnings and notes say what was understood or
 * assumed. */
#ifndef BT_BASE_DIAG_H
#define BT_BASE_DIAG_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "base/arena.h"

enum bt_weight { BT_ERROR, BT_WARNING, BT_NOTE };

/* Where something stands. Lines and columns count from 1; the column counts characters of
 * the decoded text and is that of the field's start. 0 means "the whole file" or "the whole
 * line". */
struct bt_pos {
    const char *file;
    unsigned line;
    unsigned column;
    unsigned row;   /* spreadsheet row, 1 for the header; 0 when it has none */
    unsigned field; /* spreadsheet column, 1 for A; 0 when it has none */
};

struct bt_message {
    enum bt_weight weight;
    struct bt_pos at;
    const char *field;    /* column, setting or option, e.g. "organic_matter" */
    const char *expected; /* what would have been right, or NULL */
    const char *found;    /* the cell as written, or NULL */
    const char *hint;     /* what to write instead, or NULL */
};

struct bt_diag;

/* The list lives in `a` and grows there: no mark of `a` taken before a message was added
 * may be released while the list is in use. (Beds are built in an arena of their own.) */
struct bt_diag *bt_diag_new(struct bt_arena *a);

/* Keeps a copy (texts too). The first 1,000 of each weight are kept, so that notes never
 * crowd an error out; the rest are counted. Always returns false for an error and true
 * otherwise, so that a check can be `return bt_diag_add(...)`. */
bool bt_diag_add(struct bt_diag *d, struct bt_message message);

size_t bt_diag_count(const struct bt_diag *d, enum bt_weight weight); /* all, kept or not */
size_t bt_diag_kept(const struct bt_diag *d);
const struct bt_message *bt_diag_get(const struct bt_diag *d, size_t i);

/* One message, in the form editors jump to:
 *   FILE:LINE:COL: error: FIELD: expected EXPECTED, found "FOUND" (row 3, column B)
 *     hint: HINT
 * Parts that are not there are left out. The writers call this; the library itself never
 * prints. */
char *bt_message_text(struct bt_arena *a, const struct bt_message *m);
/* All messages of the given weight and heavier, in order; then "N more not shown" if any
 * were not kept. */
void bt_diag_print(FILE *out, const struct bt_diag *d, enum bt_weight least);

#endif
