/* What a garden brings to the handbook, and the handbook to a garden: its own rows, and the
 * words that its files take. */
#include <string.h>

#include "base/text.h"
#include "report/handbook.h"

#define N(a) (sizeof(a) / sizeof *(a))

enum { LOCAL_NAMED = 6 };

/* How the ends are read, where it is not the usual way. */
static const char *unusual_ends(struct bt_arena *a, const struct bt_row *r)
{
    const bool is_usual = r->word || bt_range_is_exact(&r->range) ||
                          (r->range.ends == BT_P05_P95 && !*bt_form_word(r->range.form));
    return is_usual ? "" : bt_arena_format(a, ", %s", bt_book_ends_text(a, r));
}

static const char *local_sentence(struct bt_arena *a, const struct bt_row *r)
{
    return bt_text_shown(
        a, bt_arena_format(a, "%s, %s, %s: %s%s (%s, %s); %s", r->table, r->key,
                           r->quantity, bt_book_value_text(a, r), unusual_ends(a, r),
                           r->source, bt_seen_word(r->seen), bt_book_local_text(a, r)));
}

void bt_report_local(struct bt_out *o, const struct bt_show *w, const char *folder)
{
    struct bt_book_rows rows = {0};
    bt_book_rows_local(&rows, w);
    if (rows.n == 0)
        return;
    bt_put_title(o, w, "Local figures, in place of the handbook's");
    for (size_t i = 0; i < rows.n && i < LOCAL_NAMED; i++)
        bt_put_wrapped(o, w->arena, "  ", local_sentence(w->arena, rows.row[i]));
    if (rows.n > LOCAL_NAMED)
        bt_put(o, "  and %zu more: bedtally handbook local --garden %s\n",
               rows.n - LOCAL_NAMED, bt_shell_word(w->arena, folder));
}

void bt_report_book_local(const struct bt_book_out *to)
{
    struct bt_arena *a = to->w->arena;
    struct bt_book_rows rows = {0};
    bt_book_rows_local(&rows, to->w);
    if (to->format != BT_BOOK_TEXT) {
        bt_book_rows_write(to, &rows, true);
        return;
    }
    if (rows.n == 0)
        bt_put(to->out, "No row is local: all figures are the handbook's.\n");
    for (size_t i = 0; i < rows.n; i++)
        bt_put_wrapped(to->out, a, "  ", local_sentence(a, rows.row[i]));
}

/* ---- the words of garden files ---- */

static const char *const files[] = {"garden",   "beds",      "plantings",    "soil_tests",
                                    "water",    "materials", "applications", "measures",
                                    "harvests", "purchases"};

/* Columns that take a name of the handbook. */
static const struct named {
    const char *file, *column, *table, *having;
} named[] = {
    {"beds",         "texture",  "soils",     "bulk_density"},
    {"plantings",    "crop",     "crops",     NULL          },
    {"plantings",    "like",     "crops",     NULL          },
    {"plantings",    "among",    "crops",     NULL          },
    {"materials",    "like",     "materials", NULL          },
    {"applications", "material", "materials", NULL          },
    {"measures",     "measure",  "measures",  NULL          },
    {"harvests",     "crop",     "crops",     NULL          },
    {"purchases",    "material", "materials", NULL          },
};

struct list {
    size_t n, capacity;
    const char **word;
};

static void add(struct list *l, struct bt_arena *a, const char *word)
{
    l->word = bt_arena_grow(a, l->word, &l->capacity, l->n, sizeof *l->word);
    l->word[l->n++] = word;
}

static bool has(const struct list *l, const char *word)
{
    for (size_t i = 0; i < l->n; i++)
        if (strcmp(l->word[i], word) == 0)
            return true;
    return false;
}

static void add_keys(struct list *l, const struct bt_show *w, const struct named *x)
{
    const char *const *key = NULL;
    const size_t n = bt_handbook_keys(w->handbook, x->table, &key);
    for (size_t i = 0; i < n; i++)
        if (!x->having || bt_handbook_row(w->handbook, x->table, key[i], x->having))
            add(l, w->arena, key[i]);
}

/* `Mehlich-3, low`: what is before the comma is a method, what is behind it a rating. */
static void add_of_ratings(struct list *l, const struct bt_show *w, bool method)
{
    const char *const *key = NULL;
    const size_t n = bt_handbook_keys(w->handbook, "ratings", &key);
    for (size_t i = 0; i < n; i++) {
        const char *comma = strstr(key[i], ", ");
        if (!comma)
            continue;
        const char *word = method
                               ? bt_arena_text_n(w->arena, key[i], (size_t)(comma - key[i]))
                               : comma + 2;
        if (!has(l, word) && strcmp(word, "any") != 0)
            add(l, w->arena, word);
    }
}

static bool ends_in(const char *text, const char *end)
{
    const size_t n = strlen(text), m = strlen(end);
    return n >= m && strcmp(text + n - m, end) == 0;
}

static struct list words_of(const struct bt_show *w, const char *file, const char *column)
{
    struct list l = {0};
    const char *const *word = NULL;
    const size_t n = bt_garden_words(file, column, &word);
    for (size_t i = 0; i < n; i++)
        add(&l, w->arena, word[i]);
    for (size_t i = 0; i < N(named); i++)
        if (strcmp(named[i].file, file) == 0 && strcmp(named[i].column, column) == 0)
            add_keys(&l, w, &named[i]);
    if (strcmp(file, "soil_tests") == 0 && ends_in(column, "_method"))
        add_of_ratings(&l, w, true);
    if (strcmp(file, "soil_tests") == 0 && ends_in(column, "_rating"))
        add_of_ratings(&l, w, false);
    return l;
}

struct words_page {
    const struct bt_book_out *to;
    struct bt_grid grid; /* CSV, JSON: file, column, word */
    bool any;
    const char *file;                    /* whose heading was put */
    const struct named *shown[N(named)]; /* whose names were put */
    size_t n_shown;
};

/* The column whose names, spelled out already, this one takes too; NULL for none. */
static const struct named *same_names(struct words_page *p, const char *file,
                                      const char *column)
{
    for (size_t i = 0; i < N(named); i++) {
        if (strcmp(named[i].file, file) != 0 || strcmp(named[i].column, column) != 0)
            continue;
        for (size_t k = 0; k < p->n_shown; k++)
            if (strcmp(p->shown[k]->table, named[i].table) == 0)
                return p->shown[k];
        p->shown[p->n_shown++] = &named[i];
    }
    return NULL;
}

static void put_column(struct words_page *p, const char *file, const char *column)
{
    struct bt_arena *a = p->to->w->arena;
    const struct list l = words_of(p->to->w, file, column);
    const char *text = "";
    if (l.n == 0)
        return;
    p->any = true;
    for (size_t i = 0; i < l.n; i++) {
        const char *const cell[] = {file, column, l.word[i]};
        bt_grid_row(&p->grid, cell);
        text = bt_arena_format(a, "%s%s%s", text, i ? "; " : "", l.word[i]);
    }
    if (p->to->format != BT_BOOK_TEXT)
        return;
    if (!p->file || strcmp(p->file, file) != 0)
        bt_put(p->to->out, "%s%s.csv\n", p->file ? "\n" : "", file);
    p->file = file;
    const struct named *same = same_names(p, file, column);
    if (same)
        text =
            bt_arena_format(a, "the same names as %s of %s.csv", same->column, same->file);
    bt_put_wrapped(p->to->out, a, bt_arena_format(a, "  %-18s ", column),
                   bt_text_shown(a, text));
}

static void put_columns(struct words_page *p, const char *file, const char *column)
{
    const char *const *name = NULL;
    const bool garden = strcmp(file, "garden") == 0;
    const size_t n = garden ? bt_garden_settings(&name) : bt_garden_columns(file, &name);
    for (size_t i = 0; i < n; i++)
        if (!column || strcmp(name[i], column) == 0)
            put_column(p, file, name[i]);
}

bool bt_report_book_words(const struct bt_book_out *to, const char *file,
                          const char *column)
{
    struct words_page p = {.to = to, .grid = bt_grid_new(to->w->arena, 3, 0)};
    const char *const head[] = {"file", "column", "word"};
    bt_grid_row(&p.grid, head);
    for (size_t i = 0; i < N(files); i++)
        if (!file || strcmp(file, files[i]) == 0)
            put_columns(&p, files[i], column);
    if (p.any && to->format != BT_BOOK_TEXT)
        bt_book_list_write(to, &p.grid, "words");
    if (p.any && !file && to->format == BT_BOOK_TEXT)
        bt_put(to->out, "\n  Other spellings of the names are taken too, one or many: "
                        "bedtally handbook aliases\n");
    return p.any;
}
