/* Names to numbers: an open hash over texts, for the keys and spellings of the handbook. */
#ifndef BT_INPUT_HANDBOOK_NAMES_H
#define BT_INPUT_HANDBOOK_NAMES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

#define BT_NO_NAME SIZE_MAX

struct bt_name_slot {
    const char *text; /* NULL: free */
    uint64_t hash;
    size_t value;
};

/* Zeroed is empty. Texts are kept by pointer and must outlive it. */
struct bt_names {
    size_t n;
    size_t n_slots; /* a power of two */
    struct bt_name_slot *slot;
};

/* The number kept under `text`, byte for byte; BT_NO_NAME when there is none. */
size_t bt_names_get(const struct bt_names *names, const char *text);
/* Keeps `value` under `text`, in place of what was there. */
void bt_names_set(struct bt_arena *a, struct bt_names *names, const char *text,
                  size_t value);

/* What a gardener may have meant: `tidy` (by bt_text_key) itself, else its singular or
 * plural
 * (`tomatoes`, `pansies`, `wood chip` for wood chips, `bales of straw`) when just one of
 * those is there. BT_NO_NAME otherwise. */
size_t bt_names_find_any_number(struct bt_arena *scratch, const struct bt_names *names,
                                const char *tidy);

#endif
