/* What binds rows to each other: stand-ins and parents. */
#include <string.h>

#include "input/handbook_book.h"

#include "base/text.h"

static bool refuse(struct bt_book_run *run, const struct bt_row *row, const char *field,
                   struct bt_message m)
{
    m.at = row->at;
    m.field = field;
    return bt_diag_add(run->diag, m);
}

static size_t find(struct bt_book_run *run, const struct bt_book_table *t, const char *key)
{
    return bt_book_find_key(run->arena, t, key);
}

static void bind_stand_in(struct bt_book_run *run, struct bt_book_table *t, size_t key)
{
    const size_t place = bt_book_find_row(t, key, "follows");
    if (place == BT_NO_NAME)
        return;
    const struct bt_row *row = t->row[place];
    const size_t other = find(run, t, row->word);
    if (other != BT_NO_NAME && other != key) {
        t->key[key].follows = other;
        return;
    }
    refuse(run, row, "follows",
           (struct bt_message){
               .expected = bt_arena_format(run->arena, "another key of %s.csv", t->name),
               .found = row->word,
               .hint = bt_text_nearest(run->arena, row->word, t->n_keys, t->key_name)});
}

/* A chain of stand-ins longer than there are keys goes in a ring; it is cut, so that nobody
 * who follows it is caught. */
static void cut_ring(struct bt_book_run *run, struct bt_book_table *t, size_t key)
{
    size_t at = t->key[key].follows;
    for (size_t step = 0; at != BT_NO_NAME && step < t->n_keys; step++)
        at = t->key[at].follows;
    if (at == BT_NO_NAME)
        return;
    const struct bt_row *row = t->row[bt_book_find_row(t, key, "follows")];
    t->key[key].follows = BT_NO_NAME;
    refuse(run, row, "follows",
           (struct bt_message){.expected =
                                   "stand-ins that do not lead back to where they began",
                               .found = row->word});
}

static const struct bt_row *parent_row(struct bt_book_run *run,
                                       const struct bt_book_table *t, const char *parent)
{
    const char *slash = strrchr(parent, '/');
    if (!slash)
        return NULL;
    const size_t key =
        find(run, t, bt_arena_text_n(run->arena, parent, (size_t)(slash - parent)));
    const size_t place =
        key == BT_NO_NAME ? BT_NO_NAME : bt_book_find_row(t, key, slash + 1);
    return place == BT_NO_NAME ? NULL : t->row[place];
}

/* Leaves are named by the table's own spelling, so a parent is spelled so too. */
static void bind_parent(struct bt_book_run *run, struct bt_book_table *t, size_t place)
{
    const struct bt_row *row = t->row[place];
    if (!row->parent)
        return;
    const struct bt_row *parent = parent_row(run, t, row->parent);
    if (!parent || parent == row || parent->word) {
        refuse(run, row, "parent",
               (struct bt_message){.expected = "key/quantity of another row of this table",
                                   .found = row->parent});
        return;
    }
    struct bt_row *bound = bt_arena_alloc(run->arena, sizeof *bound);
    *bound = *row;
    bound->parent = bt_arena_format(run->arena, "%s/%s", parent->key, parent->quantity);
    t->row[place] = bound;
}

/* Draws follow a parent's own draws, so a parent can have none itself. A garden's row is
 * blamed rather than ours. */
static void refuse_chain(struct bt_book_run *run, const struct bt_row *row,
                         const struct bt_row *parent)
{
    if (row->local || !parent->local)
        refuse(run, row, "parent",
               (struct bt_message){.expected = "a row that follows no other itself",
                                   .found = row->parent});
    else
        refuse(run, parent, "parent",
               (struct bt_message){
                   .expected = bt_arena_format(run->arena,
                                               "nothing, because %s/%s follows this row",
                                               row->key, row->quantity),
                   .found = parent->parent});
}

/* Parents one step up: no ring, and no chain. */
static void check_parents(struct bt_book_run *run, const struct bt_book_table *t,
                          const struct bt_row *row)
{
    const struct bt_row *at = row;
    size_t step = 0;
    for (; at && at->parent; step++) {
        if (step > 0 && at == row) {
            refuse(
                run, row, "parent",
                (struct bt_message){.expected = "parents that do not lead back to the row",
                                    .found = row->parent});
            return;
        }
        if (step > t->n_rows) /* a ring that begins further on has its own message */
            return;
        at = parent_row(run, t, at->parent);
    }
    if (at && step > 1)
        refuse_chain(run, row, parent_row(run, t, row->parent));
}

void bt_book_link(struct bt_book_run *run)
{
    for (size_t i = 0; i < BT_ROW_TABLES; i++) {
        struct bt_book_table *t = &run->book->table[i];
        for (size_t k = 0; k < t->n_keys; k++)
            bind_stand_in(run, t, k);
        for (size_t k = 0; k < t->n_keys; k++)
            cut_ring(run, t, k);
        for (size_t k = 0; k < t->n_rows; k++)
            bind_parent(run, t, k);
        for (size_t k = 0; k < t->n_rows; k++)
            check_parents(run, t, t->row[k]);
    }
}
