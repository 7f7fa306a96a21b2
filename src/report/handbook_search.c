/* What a search of the handbook finds, and what a mistyped word may have meant. */
#include <string.h>

#include "base/text.h"
#include "report/handbook.h"

struct search {
    const struct bt_book_out *to;
    const char *table; /* NULL: all */
    size_t n_words;
    char **word; /* lower case */
};

/* Every word occurs in the text; upper and lower case, `_` and `-` do not matter. */
static bool fits(const struct search *s, const char *text)
{
    const struct bt_mark mark = bt_arena_mark(s->to->w->arena);
    const char *tidy = bt_text_key(s->to->w->arena, text);
    bool all = true;
    for (size_t i = 0; i < s->n_words && all; i++)
        all = strstr(tidy, s->word[i]) != NULL;
    bt_arena_release(s->to->w->arena, mark);
    return all;
}

static bool asked(const struct search *s, const char *table)
{
    return !s->table || strcmp(s->table, table) == 0;
}

/* ---- keys and their spellings ---- */

static const char *spelling_that_fits(const struct search *s, const char *table,
                                      const char *key)
{
    struct bt_arena *a = s->to->w->arena;
    const char **also = NULL;
    const size_t n = bt_handbook_spellings(s->to->w->handbook, a, table, key, &also);
    for (size_t i = 0; i < n; i++)
        if (fits(s, also[i]))
            return also[i];
    return NULL;
}

static size_t find_keys(const struct search *s, struct bt_grid *g)
{
    const struct bt_table *t = NULL;
    const size_t n = bt_handbook_tables(s->to->w->handbook, &t);
    size_t found = 0;
    for (size_t i = 0; i < n; i++) {
        const char *const *key = NULL;
        const size_t keys = bt_handbook_keys(s->to->w->handbook, t[i].name, &key);
        for (size_t k = 0; asked(s, t[i].name) && k < keys; k++) {
            const char *also =
                fits(s, key[k]) ? "" : spelling_that_fits(s, t[i].name, key[k]);
            if (!also)
                continue;
            const char *const cell[] = {
                t[i].name, key[k],
                *also ? bt_arena_format(g->arena, "also written %s", also) : ""};
            bt_grid_row(g, cell);
            found++;
        }
    }
    return found;
}

/* ---- rows ---- */

/* Quantity, notes, word and source of a row, as one text. */
static bool row_fits(const struct search *s, const struct bt_row *r)
{
    const struct bt_show *w = s->to->w;
    const char *what = bt_book_quantity_meaning(r->quantity);
    const struct bt_mark mark = bt_arena_mark(w->arena);
    const bool found =
        fits(s, bt_arena_format(w->arena, "%s %s %s %s %s %s %s", r->key, r->quantity,
                                what ? what : "", r->word ? r->word : "", r->notes,
                                r->source, bt_book_source_text(w, r->source)));
    bt_arena_release(w->arena, mark);
    return found;
}

static void find_rows(const struct search *s, struct bt_book_rows *rows)
{
    const struct bt_table *t = NULL;
    const size_t n = bt_handbook_tables(s->to->w->handbook, &t);
    struct bt_arena *kept = s->to->w->arena;
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; asked(s, t[i].name) && k < t[i].n_rows; k++)
            if (row_fits(s, t[i].row[k]))
                bt_book_rows_add(rows, kept, t[i].row[k], t[i].row[k]->key);
}

/* The table, key, quantity and figure of each row, and its notes where they are what was
 * found. */
static void put_rows(const struct search *s, const struct bt_book_rows *rows)
{
    struct bt_arena *a = s->to->w->arena;
    struct bt_grid g = bt_grid_new(a, 5, 0);
    for (size_t i = 0; i < rows->n; i++) {
        const struct bt_row *r = rows->row[i];
        const char *const cell[] = {
            r->table, r->key, r->quantity, bt_book_value_text(a, r),
            bt_arena_format(a, "%s, %s", r->source, bt_seen_word(r->seen))};
        bt_grid_row(&g, cell);
    }
    for (size_t i = 0; i < rows->n; i++) {
        bt_put(s->to->out, "%s\n", bt_grid_line(&g, i, 2));
        if (*rows->row[i]->notes && fits(s, rows->row[i]->notes))
            bt_put_wrapped(s->to->out, a,
                           "      note: ", bt_text_shown(a, rows->row[i]->notes));
    }
}

/* ---- sources and cautions ---- */

static size_t put_sources(const struct search *s)
{
    struct bt_arena *a = s->to->w->arena;
    const struct bt_source *all = NULL;
    const size_t n = bt_handbook_sources(s->to->w->handbook, &all);
    size_t found = 0;
    for (size_t i = 0; asked(s, "sources") && i < n; i++) {
        const char *text = bt_book_source_text(s->to->w, all[i].id);
        if (!fits(s, bt_arena_format(a, "%s %s", all[i].id, text)))
            continue;
        if (found++ == 0)
            bt_put_title(s->to->out, s->to->w, "Sources");
        bt_put_wrapped(s->to->out, a, bt_arena_format(a, "  %s  ", all[i].id),
                       bt_text_shown(a, text));
    }
    return found;
}

static size_t put_cautions(const struct search *s)
{
    struct bt_arena *a = s->to->w->arena;
    const struct bt_caution *c = NULL;
    const size_t n = bt_handbook_cautions(s->to->w->handbook, &c);
    size_t found = 0;
    for (size_t i = 0; asked(s, "cautions") && i < n; i++) {
        if (!fits(s, bt_arena_format(a, "%s %s %s %s", c[i].topic, c[i].when, c[i].rule,
                                     c[i].notes)))
            continue;
        if (found++ == 0)
            bt_put_title(s->to->out, s->to->w, "Cautions");
        bt_put_wrapped(s->to->out, a, bt_arena_format(a, "  %s: ", c[i].topic),
                       bt_text_shown(a, c[i].rule));
    }
    return found;
}

bool bt_report_book_search(const struct bt_book_out *to, const char *table,
                           const char *words)
{
    struct bt_arena *a = to->w->arena;
    struct search s = {.to = to, .table = table};
    s.n_words = bt_text_split(a, bt_text_key(a, words), ' ', &s.word);
    if (s.n_words == 0)
        return false;
    struct bt_book_rows rows = {0};
    find_rows(&s, &rows);
    struct bt_grid keys = bt_grid_new(a, 3, 0);
    const size_t n_keys = find_keys(&s, &keys);
    if (to->format != BT_BOOK_TEXT) {
        bt_book_rows_write(to, &rows, true);
        return rows.n + n_keys > 0;
    }
    if (n_keys) {
        bt_put_title(to->out, to->w, "Names");
        bt_grid_write(to->out, &keys, 2);
    }
    if (rows.n) {
        bt_put_title(to->out, to->w, "Figures");
        put_rows(&s, &rows);
    }
    const size_t n_sources = put_sources(&s);
    return put_cautions(&s) + n_sources + n_keys + rows.n > 0;
}

/* ---- nearest ---- */

struct name_list {
    struct bt_arena *arena;
    size_t n, capacity;
    const char **name;
};

static void add(struct name_list *l, const char *name)
{
    l->name = bt_arena_grow(l->arena, l->name, &l->capacity, l->n, sizeof *l->name);
    l->name[l->n++] = name;
}

static void add_keys(struct name_list *l, const struct bt_handbook *h, const char *table)
{
    const char *const *key = NULL;
    const size_t n = bt_handbook_keys(h, table, &key);
    for (size_t k = 0; k < n; k++) {
        const char **also = NULL;
        const size_t m = bt_handbook_spellings(h, l->arena, table, key[k], &also);
        add(l, key[k]);
        for (size_t j = 0; j < m; j++)
            add(l, also[j]);
    }
}

static void add_sources(struct name_list *l, const struct bt_handbook *h)
{
    const struct bt_source *s = NULL;
    const size_t n = bt_handbook_sources(h, &s);
    for (size_t i = 0; i < n; i++)
        add(l, s[i].id);
}

static void add_topics(struct name_list *l, const struct bt_handbook *h)
{
    const struct bt_caution *c = NULL;
    const size_t n = bt_handbook_cautions(h, &c);
    for (size_t i = 0; i < n; i++) {
        bool old = false;
        for (size_t k = 0; k < i && !old; k++)
            old = strcmp(c[k].when, c[i].when) == 0;
        if (!old)
            add(l, c[i].when);
    }
}

const char *bt_book_nearest(const struct bt_show *w, const char *table, const char *word)
{
    const struct bt_table *t = NULL;
    const size_t n = bt_handbook_tables(w->handbook, &t);
    struct name_list l = {.arena = w->arena};
    if (!table) {
        for (size_t i = 0; i < n; i++)
            add(&l, t[i].name);
        add(&l, "words");
        add(&l, "local");
    }
    for (size_t i = 0; i < n; i++)
        if (!table || strcmp(table, t[i].name) == 0)
            add_keys(&l, w->handbook, t[i].name);
    if (!table || strcmp(table, "sources") == 0)
        add_sources(&l, w->handbook);
    if (table && strcmp(table, "cautions") == 0)
        add_topics(&l, w->handbook);
    return bt_text_nearest(w->arena, word, l.n, l.name);
}
