/* A unit text taken apart before anything is looked up. Internal to the reader of units. */
#ifndef BT_INPUT_UNIT_TEXT_H
#define BT_INPUT_UNIT_TEXT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

/* One side of a unit: `100 g P2O5` is count 100, name "g", species "P2O5". */
struct bt_unit_side {
    double count;     /* 1 when none is written */
    const char *name; /* to be looked up whole; "" for a bare count */
    const char
        *whole; /* the side with its count, species gone: measures may begin with digits */
    const char *species; /* or NULL */
};

struct bt_unit_text {
    const char *tidy; /* the whole, for messages */
    bool has_right;
    struct bt_unit_side left, right;
};

/* Tidies `text` (blanks, raised digits, points after letters, ` per `) and takes it apart
 * at its one
 * `/`. False for two strokes or an empty right side. */
bool bt_unit_text_read(struct bt_arena *a, const char *text, struct bt_unit_text *out);

/* The word that a rate counts, "plant", "mound", "pot", "row" or "season", or NULL. */
const char *bt_unit_per_word(struct bt_arena *a, const char *name);

/* The one of `words` that `name` is, in any case, singular or plural; NULL when it is none.
 */
const char *bt_unit_word(struct bt_arena *a, const char *name, size_t n,
                         const char *const *words);

#endif
