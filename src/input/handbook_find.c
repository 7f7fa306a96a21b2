/* What readers of the handbook ask beside single rows: spellings, stand-ins, all sources,
 * the row behind a leaf. */
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "input/handbook_book.h"

size_t bt_handbook_sources(const struct bt_handbook *h, const struct bt_source **out)
{
    *out = h->source;
    return h->n_sources;
}

static int by_text(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

size_t bt_handbook_spellings(const struct bt_handbook *h, struct bt_arena *a,
                             const char *table, const char *key, const char ***out)
{
    const struct bt_book_table *t = bt_book_table(h, table);
    const size_t k = t ? bt_names_get(&t->exact, key) : BT_NO_NAME;
    size_t n = 0, capacity = 0;
    *out = NULL;
    for (size_t i = 0; k != BT_NO_NAME && i < t->tidy.n_slots; i++) {
        const struct bt_name_slot *s = &t->tidy.slot[i];
        if (!s->text || s->value != k || strcmp(s->text, t->key[k].tidy) == 0)
            continue;
        *out = bt_arena_grow(a, *out, &capacity, n, sizeof **out);
        (*out)[n++] = s->text;
    }
    if (n)
        qsort(*out, n, sizeof **out, by_text);
    return n;
}

const char *bt_handbook_stand_in(const struct bt_handbook *h, const char *table,
                                 const char *key)
{
    const struct bt_book_table *t = bt_book_table(h, table);
    const size_t k = t ? bt_names_get(&t->exact, key) : BT_NO_NAME;
    const size_t other = k == BT_NO_NAME ? BT_NO_NAME : t->key[k].follows;
    return other == BT_NO_NAME ? NULL : t->key[other].name;
}

/* No key holds a slash: tests/test_tables.c sees to it for ours, and a key that did would
 * only not be found here. */
const struct bt_row *bt_handbook_row_of(const struct bt_handbook *h, const char *leaf_id)
{
    const char *key = leaf_id ? strchr(leaf_id, '/') : NULL;
    const char *quantity = key ? strchr(key + 1, '/') : NULL;
    if (!quantity)
        return NULL;
    for (size_t i = 0; i < BT_ROW_TABLES; i++) {
        const struct bt_book_table *t = &h->table[i];
        const size_t n = strlen(t->name);
        if (strncmp(t->name, leaf_id, n) != 0 || leaf_id + n != key)
            continue;
        for (size_t r = 0; r < t->n_rows; r++) {
            const struct bt_row *row = t->row[r];
            const size_t of_key = (size_t)(quantity - key) - 1;
            const size_t of_quantity = strcspn(quantity + 1, "/");
            if (strlen(row->key) == of_key && strncmp(row->key, key + 1, of_key) == 0 &&
                strlen(row->quantity) == of_quantity &&
                strncmp(row->quantity, quantity + 1, of_quantity) == 0)
                return row;
        }
    }
    return NULL;
}
