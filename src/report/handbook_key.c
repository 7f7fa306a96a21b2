/* A key of the handbook with all its figures, a source with what rests on it, the rules of
 * a topic; for people, other formats go to handbook_data.c. */
#include <string.h>

#include "base/text.h"
#include "model/caution.h"
#include "report/handbook.h"

/* ---- a key ---- */

static void put_names(const struct bt_book_out *to, const char *table, const char *key)
{
    struct bt_arena *a = to->w->arena;
    const char **also = NULL;
    const size_t n = bt_handbook_spellings(to->w->handbook, a, table, key, &also);
    const char *text = "";
    for (size_t i = 0; i < n; i++)
        text = bt_arena_format(a, "%s%s%s", text, i ? ", " : "", also[i]);
    if (n)
        bt_put_wrapped(to->out, a, "  also written: ", bt_text_shown(a, text));
}

static bool is_own(const struct bt_book_rows *rows, size_t i)
{
    return strcmp(rows->row[i]->key, rows->of[i]) == 0;
}

/* One line a row, in columns. */
static struct bt_grid rows_grid(const struct bt_show *w, const struct bt_book_rows *rows)
{
    struct bt_grid g = bt_grid_new(w->arena, 4, 0);
    for (size_t i = 0; i < rows->n; i++) {
        const struct bt_row *r = rows->row[i];
        const char *const cell[] = {
            r->quantity,
            bt_arena_format(w->arena, "%s%s%s", bt_book_value_text(w->arena, r),
                            *r->basis ? ", " : "", r->basis),
            bt_book_ends_text(w->arena, r),
            bt_arena_format(w->arena, "%s, %s", r->source, bt_seen_word(r->seen))};
        bt_grid_row(&g, cell);
    }
    return g;
}

static void put_row_notes(const struct bt_book_out *to, const struct bt_row *r)
{
    struct bt_arena *a = to->w->arena;
    const char *what = bt_book_quantity_meaning(r->quantity);
    const char *shared = r->word                    ? ""
                         : r->scope == BT_SCOPE_BED ? "; each bed its own"
                                                    : "; one for all beds";
    const char *with =
        r->parent ? bt_arena_format(a, "; goes %s with %s",
                                    r->rank_correlation < 0 ? "down" : "up", r->parent)
                  : "";
    bt_put_wrapped(
        to->out, a, "      ",
        bt_text_shown(a, bt_arena_format(a, "%s%s%s", what ? what : "", shared, with)));
    if (*r->notes)
        bt_put_wrapped(to->out, a, "      note: ", bt_text_shown(a, r->notes));
    const char *local = bt_book_local_text(a, r);
    if (local)
        bt_put_wrapped(to->out, a, "      ", bt_text_shown(a, local));
}

static void put_sources(const struct bt_book_out *to, const struct bt_book_rows *rows)
{
    bt_put(to->out, "\n  Sources\n");
    for (size_t i = 0; i < rows->n; i++) {
        bool seen = false;
        for (size_t k = 0; k < i && !seen; k++)
            seen = strcmp(rows->row[k]->source, rows->row[i]->source) == 0;
        const struct bt_source *s =
            bt_handbook_source(to->w->handbook, rows->row[i]->source);
        if (!seen && s)
            bt_book_put_source(to, s);
    }
}

static void put_key(const struct bt_book_out *to, const struct bt_book_rows *rows,
                    const char *table, const char *key)
{
    const struct bt_show *w = to->w;
    const char *stand_in = bt_handbook_stand_in(w->handbook, table, key);
    bt_put(to->out, w->colour ? "\033[1m%s\033[0m, in %s\n" : "%s, in %s\n", key, table);
    put_names(to, table, key);
    if (stand_in)
        bt_put(to->out, "  what it has not is taken from: %s\n", stand_in);
    const struct bt_grid g = rows_grid(w, rows);
    const char *of = key;
    for (size_t i = 0; i < rows->n; i++) {
        if (!is_own(rows, i) && strcmp(rows->row[i]->key, of) != 0) {
            of = rows->row[i]->key;
            bt_put(to->out, "\n  From %s\n", of);
        }
        bt_put(to->out, "%s\n", bt_grid_line(&g, i, 2));
        put_row_notes(to, rows->row[i]);
    }
    put_sources(to, rows);
}

/* A source with the rows that rest on it. */
static bool put_source_id(const struct bt_book_out *to, const char *id)
{
    const struct bt_source *all = NULL, *s = NULL;
    const struct bt_table *t = NULL;
    const size_t n = bt_handbook_sources(to->w->handbook, &all),
                 m = bt_handbook_tables(to->w->handbook, &t);
    for (size_t i = 0; i < n && !s; i++)
        s = bt_text_is(all[i].id, id) ? &all[i] : NULL;
    if (!s)
        return false;
    struct bt_book_rows rows = {0};
    for (size_t i = 0; i < m; i++)
        for (size_t k = 0; k < t[i].n_rows; k++)
            if (strcmp(t[i].row[k]->source, s->id) == 0)
                bt_book_rows_add(&rows, to->w->arena, t[i].row[k], t[i].row[k]->key);
    if (to->format != BT_BOOK_TEXT) {
        bt_book_rows_write(to, &rows, true);
        return true;
    }
    bt_book_put_source(to, s);
    bt_put(to->out, "\n  What rests on it: %zu row%s\n", rows.n, rows.n == 1 ? "" : "s");
    struct bt_grid g = bt_grid_new(to->w->arena, 5, 0);
    for (size_t i = 0; i < rows.n; i++) {
        const struct bt_row *r = rows.row[i];
        const char *const cell[] = {r->table, r->key, r->quantity,
                                    bt_book_value_text(to->w->arena, r),
                                    bt_seen_word(r->seen)};
        bt_grid_row(&g, cell);
    }
    bt_grid_write(to->out, &g, 2);
    return true;
}

static bool put_caution_topic(const struct bt_book_out *to, const char *word)
{
    const struct bt_caution *c = NULL;
    const size_t n = bt_handbook_cautions(to->w->handbook, &c);
    bool any = false;
    for (size_t i = 0; i < n; i++) {
        if (!bt_text_is(c[i].topic, word) && !bt_text_is(c[i].when, word) &&
            !bt_is_word_of(to->w->arena, c[i].when, word))
            continue;
        bt_book_put_caution(to, &c[i]);
        any = true;
    }
    return any;
}

/* Legumes have the keys of crops, and spellings stand with the crops. */
static const char *known_key(const struct bt_handbook *h, const char *table,
                             const char *key)
{
    const char *known = bt_handbook_key(h, table, key);
    const char *crop =
        strcmp(table, "legumes") == 0 ? bt_handbook_key(h, "crops", key) : NULL;
    return known || !crop ? known : bt_handbook_key(h, table, crop);
}

static bool put_in_table(const struct bt_book_out *to, struct bt_book_rows *all,
                         const char *table, const char *key, const char *quantity)
{
    const char *known = known_key(to->w->handbook, table, key);
    struct bt_book_rows rows = {0};
    if (known)
        bt_book_rows_of(&rows, to->w, table, known, quantity);
    for (size_t i = 0; i < rows.n; i++)
        bt_book_rows_add(all, to->w->arena, rows.row[i], rows.of[i]);
    if (rows.n == 0 || to->format != BT_BOOK_TEXT)
        return rows.n > 0;
    if (all->n > rows.n)
        bt_put(to->out, "\n");
    put_key(to, &rows, table, known);
    return true;
}

bool bt_report_book_key(const struct bt_book_out *to, const char *table, const char *key,
                        const char *quantity)
{
    const struct bt_table *t = NULL;
    const size_t n = bt_handbook_tables(to->w->handbook, &t);
    if (table && strcmp(table, "sources") == 0)
        return put_source_id(to, key);
    if (table && strcmp(table, "cautions") == 0)
        return put_caution_topic(to, key);
    struct bt_book_rows all = {0};
    bool any = false;
    for (size_t i = 0; i < n; i++)
        if (!table || strcmp(table, t[i].name) == 0)
            any = put_in_table(to, &all, t[i].name, key, quantity) || any;
    if (!any && !table)
        return put_source_id(to, key);
    if (any && to->format != BT_BOOK_TEXT)
        bt_book_rows_write(to, &all, !table);
    return any;
}
