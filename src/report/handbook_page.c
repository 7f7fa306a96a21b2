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

static void put_aliases(const struct bt_show *w, struct bt_grid *g, const char *table,
                        const char *key)
{
    const char **also = NULL;
    const size_t n = bt_handbook_spellings(w->handbook, w->arena, table, key, &also);
    for (size_t j = 0; j < n; j++) {
        const char *const row[] = {table, also[j], key};
        bt_grid_row(g, row);
    }
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
        for (size_t k = 0; k < keys; k++)
            put_aliases(w, &g, t[i].name, key[k]);
    }
    return g;
}

static struct bt_grid cautions_grid(const struct bt_show *w)
{
    const struct bt_caution *c = NULL;
    const size_t n = bt_handbook_cautions(w->handbook, &c);
    struct bt_grid g = bt_grid_new(w->arena, 10, 0);
    const char *const head[] = {"topic",        "when",   "rule", "number", "unit",
                                "jurisdiction", "source", "seen", "notes",  "scope"};
    bt_grid_row(&g, head);
    for (size_t i = 0; i < n; i++) {
        const char *const row[] = {c[i].topic,  c[i].when,
                                   c[i].rule,   c[i].number,
                                   c[i].unit,   c[i].jurisdiction,
                                   c[i].source, bt_seen_word(c[i].seen),
                                   c[i].notes,  c[i].of_garden ? "garden" : "bed"};
        bt_grid_row(&g, row);
    }
    return g;
}

void bt_book_put_source(const struct bt_book_out *to, const struct bt_source *s)
{
    bt_put_wrapped(to->out, to->w->arena, bt_arena_format(to->w->arena, "  %s  ", s->id),
                   bt_text_shown(to->w->arena, bt_book_source_text(to->w, s->id)));
}

void bt_book_put_caution(const struct bt_book_out *to, const struct bt_caution *c)
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
            bt_book_put_source(to, &s[i]);
    } else if (strcmp(table, "sources") == 0) {
        const struct bt_grid g = sources_grid(w);
        bt_book_list_write(to, &g, table);
    } else if (strcmp(table, "cautions") == 0 && text) {
        const struct bt_caution *c = NULL;
        const size_t n = bt_handbook_cautions(w->handbook, &c);
        for (size_t i = 0; i < n; i++)
            bt_book_put_caution(to, &c[i]);
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
