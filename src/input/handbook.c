/* Loads the tables, layer upon layer, and answers what stands in them. */
#include "input/handbook.h"

#include <dirent.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "input/csv_bytes.h"
#include "input/handbook_book.h"

/* Sources before the rows that name them, keys before the spellings that mean them. */
static const size_t reading_order[BT_BOOK_FILES] = {
    BT_BOOK_SOURCES, 0, 1, 2, 3, 4, 5, 6, 7, BT_BOOK_ALIASES, BT_BOOK_CAUTIONS};

static void add_checksum(struct bt_book_run *run, size_t file, const char *bytes, size_t n)
{
    uint64_t *sum = &run->book->shown[file].checksum;
    const uint64_t own = bt_bytes_hash(bytes, n);
    *sum = *sum == 0 ? own
                     : bt_text_hash(bt_arena_format(run->arena, "%016llx %016llx",
                                                    (unsigned long long)*sum,
                                                    (unsigned long long)own));
}

static void read_file(struct bt_book_run *run, size_t file, const char *bytes, size_t n,
                      const char *shown_as)
{
    struct bt_book_file f = {.which = file};
    add_checksum(run, file, bytes, n);
    if (!bt_book_open(run, &f, bytes, n, shown_as))
        return;
    if (file < BT_ROW_TABLES)
        bt_book_read_rows(run, &f);
    else if (file == BT_BOOK_SOURCES)
        bt_book_read_sources(run, &f);
    else if (file == BT_BOOK_ALIASES)
        bt_book_read_aliases(run, &f);
    else
        bt_book_read_cautions(run, &f);
}

static void read_built_in(struct bt_book_run *run, bt_table_finder *find)
{
    for (size_t i = 0; i < BT_BOOK_FILES; i++) {
        size_t n = 0;
        const char *name = bt_book_layout(reading_order[i])->name;
        const char *bytes = find(name, &n);
        if (bytes)
            read_file(run, reading_order[i], bytes, n,
                      bt_arena_format(run->arena, "tables/%s.csv", name));
    }
}

/* ---- folders ---- */

static int by_name(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* The CSV files of a folder by name, sorted. False when it cannot be opened (errno says
 * why). */
static bool list_folder(struct bt_arena *a, const char *folder, size_t *out_n,
                        const char ***out)
{
    DIR *dir = opendir(folder);
    if (!dir)
        return false;
    size_t capacity = 0;
    *out_n = 0;
    *out = NULL;
    for (const struct dirent *e = readdir(dir); e; e = readdir(dir)) {
        const size_t n = strlen(e->d_name);
        if (e->d_name[0] == '.' || n < 5 || !bt_text_is(e->d_name + n - 4, ".csv"))
            continue;
        *out = bt_arena_grow(a, *out, &capacity, *out_n, sizeof **out);
        (*out)[(*out_n)++] = bt_arena_text(a, e->d_name);
    }
    closedir(dir);
    if (*out_n)
        qsort(*out, *out_n, sizeof **out, by_name);
    return true;
}

/* A copy of the units is no harm; another file is a mistake that should not pass unseen. */
static void warn_of_file(struct bt_book_run *run, const char *folder, const char *name)
{
    const char *known[BT_BOOK_FILES];
    for (size_t i = 0; i < BT_BOOK_FILES; i++)
        known[i] = bt_arena_format(run->arena, "%s.csv", bt_book_layout(i)->name);
    const bool units = strcmp(name, "units.csv") == 0;
    bt_diag_add(run->diag,
                (struct bt_message){
                    .weight = BT_WARNING,
                    .at.file = bt_arena_format(run->arena, "%s/%s", folder, name),
                    .field = "file",
                    .expected = "the name of a table; this file is not read",
                    .found = name,
                    .hint = units
                                ? "the units are built in and cannot be changed here"
                                : bt_text_nearest(run->arena, name, BT_BOOK_FILES, known)});
}

static bool is_table(const char *file_name, size_t which)
{
    const char *name = bt_book_layout(which)->name;
    const size_t n = strlen(name);
    return strncmp(file_name, name, n) == 0 && strcmp(file_name + n, ".csv") == 0;
}

static void read_in_order(struct bt_book_run *run, const char *folder, size_t n,
                          const char *const *name)
{
    for (size_t i = 0; i < BT_BOOK_FILES; i++)
        for (size_t k = 0; k < n; k++) {
            if (!is_table(name[k], reading_order[i]))
                continue;
            const char *path = bt_arena_format(run->arena, "%s/%s", folder, name[k]);
            const char *bytes = NULL;
            size_t size = 0;
            if (bt_bytes_read(run->arena, run->diag, path, path, &bytes, &size))
                read_file(run, reading_order[i], bytes, size, path);
        }
}

static void read_folder(struct bt_book_run *run, const char *folder, bool may_be_missing)
{
    size_t n = 0;
    const char **name = NULL;
    if (!list_folder(run->arena, folder, &n, &name)) {
        if (errno != ENOENT || !may_be_missing)
            bt_diag_add(run->diag, (struct bt_message){.weight = BT_ERROR,
                                                       .at.file = folder,
                                                       .field = "tables",
                                                       .expected = "a folder with tables",
                                                       .found = strerror(errno)});
        return;
    }
    for (size_t k = 0; k < n; k++) {
        bool known = false;
        for (size_t i = 0; i < BT_BOOK_FILES && !known; i++)
            known = is_table(name[k], i);
        if (!known)
            warn_of_file(run, folder, name[k]);
    }
    read_in_order(run, folder, n, name);
}

/* ---- loading ---- */

static struct bt_handbook *empty_book(struct bt_arena *a)
{
    struct bt_handbook *h = bt_arena_zero(a, sizeof *h);
    h->arena = a;
    for (size_t i = 0; i < BT_BOOK_FILES; i++) {
        h->shown[i].name = bt_book_layout(i)->name;
        if (i < BT_ROW_TABLES)
            h->table[i].name = h->shown[i].name;
    }
    return h;
}

/* The source that a garden's own rows may name without listing it. */
static void add_local_source(struct bt_handbook *h)
{
    h->source =
        bt_arena_grow(h->arena, h->source, &h->source_capacity, 0, sizeof *h->source);
    h->source_layer = bt_arena_grow(h->arena, h->source_layer, &h->source_layer_capacity, 0,
                                    sizeof *h->source_layer);
    h->source[0] = (struct bt_source){"local", "", "The garden's own tables", "", ""};
    h->source_layer[0] = 0;
    h->n_sources = 1;
    bt_names_set(h->arena, &h->source_place, "local", 0);
}

struct bt_handbook *bt_handbook_load_from(struct bt_arena *a, struct bt_diag *d,
                                          const struct bt_units *units,
                                          bt_table_finder *find, const char *tables_dir,
                                          const char *garden_tables_dir)
{
    const size_t errors = bt_diag_count(d, BT_ERROR);
    struct bt_handbook *h = empty_book(a);
    struct bt_book_run run = {.arena = a, .diag = d, .units = units, .book = h};
    add_local_source(h);
    read_built_in(&run, find);
    run.layer = 1;
    if (tables_dir)
        read_folder(&run, tables_dir, false);
    run.layer = 2;
    if (garden_tables_dir)
        read_folder(&run, garden_tables_dir, true);
    bt_book_link(&run);
    for (size_t i = 0; i < BT_ROW_TABLES; i++) {
        h->shown[i].n_rows = h->table[i].n_rows;
        h->shown[i].row = h->table[i].row;
    }
    return bt_diag_count(d, BT_ERROR) == errors ? h : NULL;
}

struct bt_handbook *bt_handbook_load(struct bt_arena *a, struct bt_diag *d,
                                     const struct bt_units *units, const char *tables_dir,
                                     const char *garden_tables_dir)
{
    return bt_handbook_load_from(a, d, units, bt_embedded_table, tables_dir,
                                 garden_tables_dir);
}

/* ---- looking up ---- */

size_t bt_book_find_key(struct bt_arena *scratch, const struct bt_book_table *t,
                        const char *written)
{
    const size_t exact = bt_names_get(&t->exact, written);
    if (exact != BT_NO_NAME)
        return exact;
    const struct bt_mark mark = bt_arena_mark(scratch);
    const size_t meant =
        bt_names_find_any_number(scratch, &t->tidy, bt_text_key(scratch, written));
    bt_arena_release(scratch, mark);
    return meant;
}

size_t bt_book_find_row(const struct bt_book_table *t, size_t key, const char *quantity)
{
    const struct bt_book_key *k = &t->key[key];
    for (size_t i = 0; i < k->n_rows; i++)
        if (strcmp(t->row[k->row[i]]->quantity, quantity) == 0)
            return k->row[i];
    return BT_NO_NAME;
}

const struct bt_book_table *bt_book_table(const struct bt_handbook *h, const char *name)
{
    for (size_t i = 0; i < BT_ROW_TABLES; i++)
        if (strcmp(h->table[i].name, name) == 0)
            return &h->table[i];
    return NULL;
}

/* The row of the key or, when `follow` is set, of the first of its stand-ins that has one.
 */
static const struct bt_row *find(const struct bt_handbook *h, const char *table,
                                 const char *key, const char *quantity, bool follow)
{
    const struct bt_book_table *t = bt_book_table(h, table);
    size_t k = t && key ? bt_book_find_key(h->arena, t, key) : BT_NO_NAME;
    while (k != BT_NO_NAME) {
        const size_t place = bt_book_find_row(t, k, quantity);
        if (place != BT_NO_NAME)
            return t->row[place];
        k = follow ? t->key[k].follows : BT_NO_NAME;
    }
    return NULL;
}

const struct bt_row *bt_handbook_row(const struct bt_handbook *h, const char *table,
                                     const char *key, const char *quantity)
{
    return find(h, table, key, quantity, false);
}

const struct bt_row *bt_handbook_follow(const struct bt_handbook *h, const char *table,
                                        const char *key, const char *quantity)
{
    return find(h, table, key, quantity, true);
}

const char *bt_handbook_word(const struct bt_handbook *h, const char *table,
                             const char *key, const char *quantity)
{
    const struct bt_row *row = find(h, table, key, quantity, true);
    return row ? row->word : NULL;
}

const char *bt_handbook_key(const struct bt_handbook *h, const char *table,
                            const char *written)
{
    const struct bt_book_table *t = bt_book_table(h, table);
    const size_t key = t && written ? bt_book_find_key(h->arena, t, written) : BT_NO_NAME;
    return key == BT_NO_NAME ? NULL : t->key[key].name;
}

size_t bt_handbook_keys(const struct bt_handbook *h, const char *table,
                        const char *const **out_keys)
{
    const struct bt_book_table *t = bt_book_table(h, table);
    *out_keys = t ? t->key_name : NULL;
    return t ? t->n_keys : 0;
}

size_t bt_handbook_tables(const struct bt_handbook *h, const struct bt_table **out)
{
    *out = h->shown;
    return BT_BOOK_FILES;
}

const struct bt_source *bt_handbook_source(const struct bt_handbook *h, const char *id)
{
    const size_t place = id ? bt_names_get(&h->source_place, id) : BT_NO_NAME;
    return place == BT_NO_NAME ? NULL : &h->source[place];
}

size_t bt_handbook_cautions(const struct bt_handbook *h, const struct bt_caution **out)
{
    *out = h->caution;
    return h->n_cautions;
}
