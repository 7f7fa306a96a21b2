/* `bedtally handbook`: what the tables say, where it is from, and what may be typed. */
#include "report/handbook.h"

#include <dirent.h>
#include <errno.h>
#include <langinfo.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "command/front.h"

/* What was asked, with `TABLE/KEY/QUANTITY` (how the worksheet names a figure) taken apart.
 */
struct asked {
    const char *word[BT_MOST_ARGS]; /* NULL: not given */
};

static struct asked words_of(struct bt_arena *a, const struct bt_options *o)
{
    struct asked x = {{NULL}};
    for (size_t i = 0; i < o->n_args; i++)
        x.word[i] = o->arg[i];
    if (o->n_args != 1 || !strchr(o->arg[0], '/'))
        return x;
    char **part = NULL;
    const size_t n = bt_text_split(a, o->arg[0], '/', &part);
    for (size_t i = 0; i < n && i < BT_MOST_ARGS; i++)
        x.word[i] = part[i];
    return x;
}

/* The table called so, `crops` or `crop`; NULL for none. */
static const char *table_named(const struct bt_handbook *h, struct bt_arena *a,
                               const char *word)
{
    const struct bt_table *t = NULL;
    const size_t n = bt_handbook_tables(h, &t);
    for (size_t i = 0; word && i < n; i++)
        if (bt_text_is(t[i].name, word) ||
            bt_text_is(t[i].name, bt_arena_format(a, "%ss", word)))
            return t[i].name;
    return NULL;
}

static enum bt_status_code nothing(struct bt_arena *a, struct bt_diag *d, const char *field,
                                   const char *expected, const char *found,
                                   const char *near)
{
    bt_diag_add(d, (struct bt_message){
                       .weight = BT_ERROR,
                       .field = field,
                       .expected = expected,
                       .found = found,
                       .hint = near ? bt_arena_format(a, "did you mean %s?", near)
                                    : "bedtally handbook --search WORD looks everywhere"});
    return BT_WRONG_USE;
}

static enum bt_status_code show_words(struct bt_arena *a, struct bt_diag *d,
                                      const struct bt_book_out *to, const struct asked *x)
{
    if (bt_report_book_words(to, x->word[1], x->word[2]))
        return BT_DONE_WELL;
    return nothing(a, d, "words", "a garden file and one of its columns that takes words",
                   x->word[2] ? x->word[2] : x->word[1], NULL);
}

static enum bt_status_code search(struct bt_arena *a, struct bt_diag *d,
                                  const struct bt_book_out *to, const char *table,
                                  const char *words)
{
    if (bt_report_book_search(to, table, words))
        return BT_DONE_WELL;
    return nothing(a, d, "--search", "a word that occurs in the handbook", words,
                   bt_book_nearest(to->w, table, words));
}

/* With a table first: the table, a key, one quantity of it. */
static enum bt_status_code show_table(struct bt_arena *a, struct bt_diag *d,
                                      const struct bt_book_out *to, const char *table,
                                      const struct asked *x)
{
    if (!x->word[1])
        return bt_report_book_table(to, table) ? BT_DONE_WELL : BT_WRONG_USE;
    if (bt_report_book_key(to, table, x->word[1], x->word[2]))
        return BT_DONE_WELL;
    const char *known = bt_handbook_key(to->w->handbook, table, x->word[1]);
    if (known && x->word[2])
        return nothing(a, d, "QUANTITY", bt_arena_format(a, "a quantity of %s", known),
                       x->word[2], NULL);
    return nothing(a, d, "KEY", bt_arena_format(a, "a key of %s", table), x->word[1],
                   bt_book_nearest(to->w, table, x->word[1]));
}

static enum bt_status_code show(struct bt_arena *a, struct bt_diag *d,
                                const struct bt_book_out *to, const struct bt_options *o)
{
    const struct asked x = words_of(a, o);
    const char *table = table_named(to->w->handbook, a, x.word[0]);
    if (o->search && (!x.word[0] || table))
        return search(a, d, to, table, o->search);
    if (!x.word[0]) {
        bt_report_book_tables(to);
        return BT_DONE_WELL;
    }
    if (bt_text_is(x.word[0], "words"))
        return show_words(a, d, to, &x);
    if (bt_text_is(x.word[0], "local") && x.word[1])
        return nothing(a, d, "local", "nothing behind it", x.word[1], NULL);
    if (bt_text_is(x.word[0], "local")) {
        bt_report_book_local(to);
        return BT_DONE_WELL;
    }
    if (table)
        return show_table(a, d, to, table, &x);
    if (!o->search && bt_report_book_key(to, NULL, x.word[0], x.word[1]))
        return BT_DONE_WELL;
    return nothing(a, d, "TABLE", "a table, a key, a source, words or local", x.word[0],
                   bt_book_nearest(to->w, NULL, x.word[0]));
}

/* The folder of the garden's own tables; NULL, with a message, when there is no such
 * garden. */
static const char *tables_of_garden(struct bt_arena *a, struct bt_diag *d,
                                    const char *garden)
{
    DIR *folder = opendir(garden);
    if (folder) {
        closedir(folder);
        return bt_arena_format(a, "%s/tables", garden);
    }
    bt_diag_add(d, (struct bt_message){.weight = BT_ERROR,
                                       .at.file = garden,
                                       .field = "--garden",
                                       .expected = "the folder of a garden",
                                       .found = strerror(errno)});
    return NULL;
}

/* The handbook with its local rows; NULL with messages. */
static const struct bt_handbook *load(struct bt_arena *a, struct bt_diag *d,
                                      const struct bt_units *units,
                                      const struct bt_options *o)
{
    const char *own = o->garden ? tables_of_garden(a, d, o->garden) : NULL;
    if (o->garden && !own)
        return NULL;
    return bt_handbook_load(a, d, units, o->tables, own);
}

enum bt_status_code bt_command_handbook(struct bt_arena *a, const struct bt_options *o)
{
    struct bt_diag *d = bt_diag_new(a);
    struct bt_out out = bt_out_stream(stdout);
    size_t n = 0;
    const char *table = bt_embedded_table("units", &n);
    struct bt_units *units = bt_units_new(a, d, table, n);
    const struct bt_handbook *h = units ? load(a, d, units, o) : NULL;
    enum bt_status_code status = BT_DATA_HAS_PROBLEMS;
    if (h) {
        const struct bt_show w = {.arena = bt_arena_beside(a),
                                  .units = units,
                                  .handbook = h,
                                  .unicode = strcmp(nl_langinfo(CODESET), "UTF-8") == 0,
                                  .colour = bt_front_colour()};
        static const enum bt_book_format format[] = {[BT_FORMAT_TEXT] = BT_BOOK_TEXT,
                                                     [BT_FORMAT_CSV] = BT_BOOK_CSV,
                                                     [BT_FORMAT_JSON] = BT_BOOK_JSON};
        const struct bt_book_out to = {&out, &w, format[o->format]};
        status = show(a, d, &to, o);
    }
    const enum bt_status_code written = bt_front_written(&out);
    bt_diag_print(stderr, d, BT_WARNING);
    if (units)
        bt_units_free(units);
    return written == BT_DONE_WELL ? status : written;
}
