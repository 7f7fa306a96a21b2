/* The handbook's lists: sources, other spellings, cautions; and the marks of rows. */
#include <string.h>

#include "base/text.h"
#include "input/handbook_book.h"

static const char *const seen_words[] = {"read",    "memory",    "practice",
                                         "derived", "judgement", NULL};

const char *bt_seen_word(enum bt_seen seen)
{
    return seen_words[seen];
}

bool bt_book_read_seen(struct bt_book_run *run, const struct bt_book_file *f, size_t row,
                       size_t column, enum bt_seen *out)
{
    const struct bt_cell cell = bt_book_cell(f, row, column);
    for (size_t i = 0; seen_words[i]; i++)
        if (strcmp(cell.text, seen_words[i]) == 0) {
            *out = (enum bt_seen)i;
            return true;
        }
    return bt_book_refuse(
        run, f, row, column,
        (struct bt_message){.expected = bt_book_listed(run->arena, seen_words)});
}

bool bt_book_read_source(struct bt_book_run *run, const struct bt_book_file *f, size_t row,
                         size_t column, const char **out)
{
    const struct bt_handbook *h = run->book;
    const struct bt_cell cell = bt_book_cell(f, row, column);
    const size_t place = bt_names_get(&h->source_place, cell.text);
    if (place != BT_NO_NAME && (run->layer > 0 || strcmp(cell.text, "local") != 0)) {
        *out = h->source[place].id;
        return true;
    }
    const char **id = bt_arena_alloc(run->arena, h->n_sources * sizeof *id);
    for (size_t i = 0; i < h->n_sources; i++)
        id[i] = h->source[i].id;
    struct bt_message m = {.expected = "an id listed in sources.csv"};
    if (run->layer > 0)
        m.expected = "an id listed in sources.csv, or local";
    if (*cell.text)
        m.hint = bt_text_nearest(run->arena, cell.text, h->n_sources, id);
    return bt_book_refuse(run, f, row, column, m);
}

static void read_source(struct bt_book_run *run, const struct bt_book_file *f, size_t row)
{
    struct bt_handbook *h = run->book;
    const bool named = bt_book_filled(run, f, row, BT_SRC_ID, "a short id, each its own");
    if (!bt_book_filled(run, f, row, BT_SRC_TITLE, "what the source is called") || !named)
        return;
    const struct bt_source s = {
        bt_book_cell(f, row, BT_SRC_ID).text, bt_book_cell(f, row, BT_SRC_AUTHORS).text,
        bt_book_cell(f, row, BT_SRC_TITLE).text, bt_book_cell(f, row, BT_SRC_YEAR).text,
        bt_book_cell(f, row, BT_SRC_ADDRESS).text};
    const size_t old = bt_names_get(&h->source_place, s.id);
    if (strcmp(s.id, "local") == 0 ||
        (old != BT_NO_NAME && h->source_layer[old] == run->layer)) {
        bt_book_refuse(run, f, row, BT_SRC_ID,
                       (struct bt_message){.expected = "an id that no other source has"});
        return;
    }
    const size_t place = old == BT_NO_NAME ? h->n_sources++ : old;
    h->source = bt_arena_grow(run->arena, h->source, &h->source_capacity, place, sizeof s);
    h->source_layer = bt_arena_grow(run->arena, h->source_layer, &h->source_layer_capacity,
                                    place, sizeof *h->source_layer);
    h->source[place] = s;
    h->source_layer[place] = run->layer;
    bt_names_set(run->arena, &h->source_place, s.id, place);
}

void bt_book_read_sources(struct bt_book_run *run, const struct bt_book_file *f)
{
    for (size_t i = 0; i < f->csv.n_rows; i++)
        read_source(run, f, i);
}

static struct bt_book_table *table_named(struct bt_book_run *run,
                                         const struct bt_book_file *f, size_t row)
{
    const char *name[BT_ROW_TABLES + 1] = {NULL};
    const struct bt_cell cell = bt_book_cell(f, row, BT_AL_TABLE);
    for (size_t i = 0; i < BT_ROW_TABLES; i++) {
        name[i] = run->book->table[i].name;
        if (strcmp(name[i], cell.text) == 0)
            return &run->book->table[i];
    }
    bt_book_refuse(run, f, row, BT_AL_TABLE,
                   (struct bt_message){.expected = bt_book_listed(run->arena, name)});
    return NULL;
}

/* A spelling that is itself a key may only mean that key, and none may stand twice in a
 * file. */
static bool alias_is_free(struct bt_book_run *run, const struct bt_book_file *f, size_t row,
                          const struct bt_book_table *t, const char *tidy, size_t meant)
{
    const size_t same = bt_names_get(&t->tidy, tidy);
    if (same != BT_NO_NAME && same != meant && strcmp(t->key[same].tidy, tidy) == 0)
        return bt_book_refuse(run, f, row, BT_AL_ALIAS,
                              (struct bt_message){.expected =
                                                      "a spelling that is not itself "
                                                      "a key of the table"});
    const size_t old = bt_names_get(&t->alias_place, tidy);
    if (old == BT_NO_NAME || t->alias[old].layer != run->layer)
        return true;
    return bt_book_refuse(
        run, f, row, BT_AL_ALIAS,
        (struct bt_message){.expected = "each spelling once in a table",
                            .hint =
                                bt_arena_format(run->arena, "it stands in line %u already",
                                                t->alias[old].at.line)});
}

static void read_alias(struct bt_book_run *run, const struct bt_book_file *f, size_t row)
{
    struct bt_book_table *t = table_named(run, f, row);
    if (!bt_book_filled(run, f, row, BT_AL_ALIAS, "what people write") || !t)
        return;
    const char *tidy = bt_text_key(run->arena, bt_book_cell(f, row, BT_AL_ALIAS).text);
    const struct bt_cell key = bt_book_cell(f, row, BT_AL_KEY);
    const size_t meant = bt_names_get(&t->exact, key.text);
    const bool is_free = alias_is_free(run, f, row, t, tidy, meant);
    if (meant == BT_NO_NAME) {
        struct bt_message m = {
            .expected = bt_arena_format(run->arena, "a key of %s.csv", t->name),
            .hint = bt_text_nearest(run->arena, key.text, t->n_keys, t->key_name)};
        bt_book_refuse(run, f, row, BT_AL_KEY, m);
        return;
    }
    if (!is_free)
        return;
    t->alias = bt_arena_grow(run->arena, t->alias, &t->alias_capacity, t->n_aliases,
                             sizeof *t->alias);
    t->alias[t->n_aliases] = (struct bt_book_alias){run->layer, f->csv.row[row].at};
    bt_names_set(run->arena, &t->alias_place, tidy, t->n_aliases++);
    bt_names_set(run->arena, &t->tidy, tidy, meant);
}

void bt_book_read_aliases(struct bt_book_run *run, const struct bt_book_file *f)
{
    for (size_t i = 0; i < f->csv.n_rows; i++)
        read_alias(run, f, i);
}

static bool caution_is_new(struct bt_book_run *run, const struct bt_book_file *f,
                           size_t row, const struct bt_caution *c)
{
    const struct bt_handbook *h = run->book;
    for (size_t i = 0; i < h->n_cautions; i++)
        if (strcmp(h->caution[i].when, c->when) == 0 &&
            strcmp(h->caution[i].rule, c->rule) == 0)
            return bt_book_refuse(
                run, f, row, BT_CA_RULE,
                (struct bt_message){
                    .expected = "each rule once",
                    .hint = bt_arena_format(run->arena, "it stands in %s, line %u already",
                                            h->caution_at[i].file, h->caution_at[i].line)});
    return true;
}

/* Blank is the bed. */
static bool read_caution_scope(struct bt_book_run *run, const struct bt_book_file *f,
                               size_t row, bool *out_of_garden)
{
    const char *scope = bt_book_cell(f, row, BT_CA_SCOPE).text;
    *out_of_garden = bt_text_is(scope, "garden");
    return *out_of_garden || !*scope || bt_text_is(scope, "bed") ||
           bt_book_refuse(run, f, row, BT_CA_SCOPE,
                          (struct bt_message){.expected = "garden, bed or nothing"});
}

static void read_caution(struct bt_book_run *run, const struct bt_book_file *f, size_t row)
{
    struct bt_handbook *h = run->book;
    struct bt_caution c = {.topic = bt_book_cell(f, row, BT_CA_TOPIC).text,
                           .when = bt_book_cell(f, row, BT_CA_WHEN).text,
                           .rule = bt_book_cell(f, row, BT_CA_RULE).text,
                           .number = bt_book_cell(f, row, BT_CA_NUMBER).text,
                           .unit = bt_book_cell(f, row, BT_CA_UNIT).text,
                           .jurisdiction = bt_book_cell(f, row, BT_CA_JURISDICTION).text,
                           .notes = bt_book_cell(f, row, BT_CA_NOTES).text};
    bool ok = bt_book_filled(run, f, row, BT_CA_WHEN, "the word for when it applies");
    ok = bt_book_filled(run, f, row, BT_CA_RULE, "the rule, as a sentence") && ok;
    ok = bt_book_read_source(run, f, row, BT_CA_SOURCE, &c.source) && ok;
    ok = bt_book_read_seen(run, f, row, BT_CA_SEEN, &c.seen) && ok;
    ok = read_caution_scope(run, f, row, &c.of_garden) && ok;
    if (!ok || !caution_is_new(run, f, row, &c))
        return;
    h->caution = bt_arena_grow(run->arena, h->caution, &h->caution_capacity, h->n_cautions,
                               sizeof c);
    h->caution_at = bt_arena_grow(run->arena, h->caution_at, &h->caution_at_capacity,
                                  h->n_cautions, sizeof *h->caution_at);
    h->caution_at[h->n_cautions] = f->csv.row[row].at;
    h->caution[h->n_cautions++] = c;
}

void bt_book_read_cautions(struct bt_book_run *run, const struct bt_book_file *f)
{
    for (size_t i = 0; i < f->csv.n_rows; i++)
        read_caution(run, f, i);
}
