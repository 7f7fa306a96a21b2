/* The handbook's tables, a table and a key, for people; other formats go to
 * handbook_data.c. */
#include <string.h>

#include "base/text.h"
#include "report/handbook.h"
#include "report/number.h"

#define N(a) (sizeof(a) / sizeof *(a))

enum { MARKS = BT_JUDGEMENT + 1, MOST_MAIN = 6 };

static size_t tables_of(const struct bt_show *w, const struct bt_table **out)
{
    return bt_handbook_tables(w->handbook, out);
}

static bool is_row_table(const struct bt_table *t)
{
    return t->n_rows > 0;
}

/* ---- what stands in the handbook ---- */

static const char *count_text(struct bt_arena *a, size_t n)
{
    return bt_arena_format(a, "%zu", n);
}

static void count_row(struct bt_grid *g, const char *name, size_t keys,
                      const size_t mark[MARKS], size_t local)
{
    struct bt_arena *a = g->arena;
    size_t all = 0;
    const char *cell[4 + MARKS] = {name, count_text(a, keys)};
    for (size_t k = 0; k < MARKS; k++) {
        all += mark[k];
        cell[3 + k] = count_text(a, mark[k]);
    }
    cell[2] = count_text(a, all);
    cell[3 + MARKS] = local ? count_text(a, local) : "";
    bt_grid_row(g, cell);
}

struct bt_grid bt_book_counts(const struct bt_show *w)
{
    const struct bt_table *t = NULL;
    const struct bt_caution *caution = NULL;
    const size_t n = tables_of(w, &t),
                 n_cautions = bt_handbook_cautions(w->handbook, &caution);
    struct bt_grid g = bt_grid_new(w->arena, 4 + MARKS, 0x1FEu);
    const char *head[4 + MARKS] = {"table", "keys", "rows"};
    for (size_t k = 0; k < MARKS; k++)
        head[3 + k] = bt_seen_word((enum bt_seen)k);
    head[3 + MARKS] = "local";
    bt_grid_row(&g, head);
    size_t all[MARKS] = {0}, all_keys = 0, all_local = 0;
    for (size_t i = 0; i < n; i++) {
        const bool cautions = strcmp(t[i].name, "cautions") == 0;
        size_t mark[MARKS] = {0}, local = 0;
        if (!is_row_table(&t[i]) && !cautions)
            continue;
        for (size_t k = 0; k < t[i].n_rows; k++) {
            mark[t[i].row[k]->seen]++;
            local += t[i].row[k]->local;
        }
        for (size_t k = 0; cautions && k < n_cautions; k++)
            mark[caution[k].seen]++;
        const char *const *key = NULL;
        const size_t keys =
            cautions ? n_cautions : bt_handbook_keys(w->handbook, t[i].name, &key);
        count_row(&g, t[i].name, keys, mark, local);
        for (size_t k = 0; k < MARKS; k++)
            all[k] += mark[k];
        all_keys += keys;
        all_local += local;
    }
    count_row(&g, "all", all_keys, all, all_local);
    return g;
}

void bt_report_book_tables(const struct bt_book_out *to)
{
    const struct bt_show *w = to->w;
    const struct bt_table *t = NULL;
    const size_t n = tables_of(w, &t);
    const struct bt_grid counts = bt_book_counts(w);
    if (to->format != BT_BOOK_TEXT) {
        bt_book_list_write(to, &counts, "tables");
        return;
    }
    bt_put(to->out, "The handbook: how many rows, and how each figure is known\n\n");
    bt_grid_write(to->out, &counts, 2);
    bt_put(to->out, "\n");
    struct bt_grid about = bt_grid_new(w->arena, 2, 0);
    for (size_t i = 0; i < n; i++) {
        const char *const row[] = {t[i].name, bt_book_table_meaning(t[i].name)};
        bt_grid_row(&about, row);
    }
    bt_grid_write(to->out, &about, 2);
    bt_put(to->out,
           "\n"
           "  read: in the source; memory: recalled, not looked up; practice: common,\n"
           "  no source; derived: worked out from figures that the notes name;\n"
           "  judgement: this project's own.\n\n"
           "  A table: bedtally handbook crops    A key: bedtally handbook crops tomato\n"
           "  Any word: bedtally handbook --search straw\n"
           "  What garden files may say: bedtally handbook words\n");
}

/* ---- a table ---- */

/* What a table's keys are shown with. */
static const struct main_quantities {
    const char *table;
    const char *quantity[MOST_MAIN + 1];
} mains[] = {
    {"crops",     {"form", "yield", "n_uptake", "n_removed", "stand", "days"}    },
    {"legumes",   {"shoot_n", "ndfa", "harvest_index_green", "harvest_index_dry"}},
    {"materials", {"kind", "n", "moisture", "n_available_1", "net_n"}            },
    {"ratings",   {"limit_p", "limit_k", "p2o5_need", "k2o_need"}                },
    {"measures",  {"volume", "mass"}                                             },
};

static const char *const *mains_of(const char *table)
{
    for (size_t i = 0; i < N(mains); i++)
        if (strcmp(mains[i].table, table) == 0)
            return mains[i].quantity;
    return NULL;
}

/* The likeliest figure with its unit; the middle where there are two ends alone. */
static const char *main_cell(const struct bt_show *w, const char *table, const char *key,
                             const char *quantity)
{
    struct bt_arena *a = w->arena;
    const struct bt_row *r = bt_handbook_follow(w->handbook, table, key, quantity);
    if (!r || r->word)
        return r ? r->word : "";
    const char *unit = r->unit.text ? r->unit.text : "";
    return bt_arena_format(a, "%s%s%s",
                           bt_figures_short(a, bt_book_in_unit(r, r->range.likely), 4),
                           *unit ? " " : "", unit);
}

static void put_mains(const struct bt_book_out *to, const char *table,
                      const char *const *quantity)
{
    const struct bt_show *w = to->w;
    const char *const *key = NULL;
    const size_t n = bt_handbook_keys(w->handbook, table, &key);
    const char *cell[2 + MOST_MAIN] = {table};
    size_t k = 0;
    while (quantity[k]) {
        cell[1 + k] = quantity[k];
        k++;
    }
    struct bt_grid g = bt_grid_new(w->arena, k + 2, 0);
    cell[1 + k] = "stand-in";
    bt_grid_row(&g, cell);
    for (size_t i = 0; i < n; i++) {
        cell[0] = key[i];
        for (size_t q = 0; q < k; q++)
            cell[1 + q] = main_cell(w, table, key[i], quantity[q]);
        cell[1 + k] = bt_handbook_stand_in(w->handbook, table, key[i]);
        bt_grid_row(&g, cell);
    }
    bt_grid_write(to->out, &g, 2);
}

static void put_all_rows(const struct bt_book_out *to, const struct bt_table *t)
{
    struct bt_grid g = bt_grid_new(to->w->arena, 4, 0);
    const char *const head[] = {t->name, "quantity", "low .. likely .. high", "source"};
    bt_grid_row(&g, head);
    for (size_t i = 0; i < t->n_rows; i++) {
        const struct bt_row *r = t->row[i];
        const char *const row[] = {
            r->key, r->quantity, bt_book_value_text(to->w->arena, r),
            bt_arena_format(to->w->arena, "%s, %s", r->source, bt_seen_word(r->seen))};
        bt_grid_row(&g, row);
    }
    bt_grid_write(to->out, &g, 2);
}

static struct bt_grid sources_grid(const struct bt_show *w)
{
    const struct bt_source *s = NULL;
    const size_t n = bt_handbook_sources(w->handbook, &s);
    struct bt_grid g = bt_grid_new(w->arena, 5, 0);
    const char *const head[] = {"id", "authors", "title", "year", "address"};
    bt_grid_row(&g, head);
    for (size_t i = 0; i < n; i++) {
        const char *const row[] = {s[i].id, s[i].authors, s[i].title, s[i].year,
                                   s[i].address};
        bt_grid_row(&g, row);
    }
    return g;
}

static struct bt_grid aliases_grid(const struct bt_show *w)
{
    const struct bt_table *t = NULL;
    const size_t n = tables_of(w, &t);
    struct bt_grid g = bt_grid_new(w->arena, 3, 0);
    const char *const head[] = {"table", "alias", "key"};
    bt_grid_row(&g, head);
    for (size_t i = 0; i < n; i++) {
        const char *const *key = NULL;
        const size_t keys = bt_handbook_keys(w->handbook, t[i].name, &key);
        for (size_t k = 0; k < keys; k++) {
            const char **also = NULL;
            const size_t m =
                bt_handbook_spellings(w->handbook, w->arena, t[i].name, key[k], &also);
            for (size_t j = 0; j < m; j++) {
                const char *const row[] = {t[i].name, also[j], key[k]};
                bt_grid_row(&g, row);
            }
        }
    }
    return g;
}

static struct bt_grid cautions_grid(const struct bt_show *w)
{
    const struct bt_caution *c = NULL;
    const size_t n = bt_handbook_cautions(w->handbook, &c);
    struct bt_grid g = bt_grid_new(w->arena, 9, 0);
    const char *const head[] = {"topic",        "when",   "rule", "number", "unit",
                                "jurisdiction", "source", "seen", "notes"};
    bt_grid_row(&g, head);
    for (size_t i = 0; i < n; i++) {
        const char *const row[] = {
            c[i].topic, c[i].when,         c[i].rule,   c[i].number,
            c[i].unit,  c[i].jurisdiction, c[i].source, bt_seen_word(c[i].seen),
            c[i].notes};
        bt_grid_row(&g, row);
    }
    return g;
}

static void put_source(const struct bt_book_out *to, const struct bt_source *s)
{
    bt_put_wrapped(to->out, to->w->arena, bt_arena_format(to->w->arena, "  %s  ", s->id),
                   bt_text_shown(to->w->arena, bt_book_source_text(to->w, s->id)));
}

static void put_caution(const struct bt_book_out *to, const struct bt_caution *c)
{
    struct bt_arena *a = to->w->arena;
    bt_put_wrapped(to->out, a, bt_arena_format(a, "  %s: ", c->topic),
                   bt_text_shown(a, c->rule));
    bt_put_wrapped(
        to->out, a, "    ",
        bt_text_shown(a, bt_arena_format(a, "when: %s; holds: %s. %s, %s%s%s", c->when,
                                         *c->jurisdiction ? c->jurisdiction : "anywhere",
                                         c->source, bt_seen_word(c->seen),
                                         *c->notes ? ". " : "", c->notes)));
}

/* Tables that are lists, not rows; false for others. */
static bool put_list(const struct bt_book_out *to, const char *table)
{
    const struct bt_show *w = to->w;
    const bool text = to->format == BT_BOOK_TEXT;
    if (strcmp(table, "aliases") == 0) {
        const struct bt_grid g = aliases_grid(w);
        bt_book_list_write(to, &g, table);
    } else if (strcmp(table, "sources") == 0 && text) {
        const struct bt_source *s = NULL;
        const size_t n = bt_handbook_sources(w->handbook, &s);
        for (size_t i = 0; i < n; i++)
            put_source(to, &s[i]);
    } else if (strcmp(table, "sources") == 0) {
        const struct bt_grid g = sources_grid(w);
        bt_book_list_write(to, &g, table);
    } else if (strcmp(table, "cautions") == 0 && text) {
        const struct bt_caution *c = NULL;
        const size_t n = bt_handbook_cautions(w->handbook, &c);
        for (size_t i = 0; i < n; i++)
            put_caution(to, &c[i]);
    } else if (strcmp(table, "cautions") == 0) {
        const struct bt_grid g = cautions_grid(w);
        bt_book_list_write(to, &g, table);
    } else {
        return false;
    }
    return true;
}

bool bt_report_book_table(const struct bt_book_out *to, const char *table)
{
    const struct bt_table *t = NULL;
    const size_t n = tables_of(to->w, &t);
    size_t i = 0;
    while (i < n && strcmp(t[i].name, table) != 0)
        i++;
    if (i == n)
        return false;
    if (put_list(to, table))
        return true;
    if (to->format != BT_BOOK_TEXT) {
        struct bt_book_rows rows = {0};
        for (size_t k = 0; k < t[i].n_rows; k++)
            bt_book_rows_add(&rows, to->w->arena, t[i].row[k], t[i].row[k]->key);
        bt_book_rows_write(to, &rows, false);
        return true;
    }
    const char *const *quantity = mains_of(table);
    bt_put(to->out, "%s: %s\n\n", table, bt_book_table_meaning(table));
    if (quantity)
        put_mains(to, table, quantity);
    else
        put_all_rows(to, &t[i]);
    bt_put(to->out, "\n  %sa key with all its figures: bedtally handbook %s KEY\n",
           quantity ? "likeliest figures; " : "", table);
    return true;
}

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
            bt_book_ends_text(r),
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
            put_source(to, s);
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
    const size_t n = bt_handbook_sources(to->w->handbook, &all), m = tables_of(to->w, &t);
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
    put_source(to, s);
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
        if (!bt_text_is(c[i].topic, word) && !bt_text_is(c[i].when, word))
            continue;
        put_caution(to, &c[i]);
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
    const size_t n = tables_of(to->w, &t);
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
