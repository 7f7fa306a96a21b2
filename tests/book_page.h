/* What the tests of the handbook share: the handbook as built in, published figures from
 * tests/published, and blocks of pages in docs/ that are made by a test and kept in step
 * (a run with BEDTALLY_UPDATE=1 writes them anew). */
#ifndef BT_TESTS_BOOK_PAGE_H
#define BT_TESTS_BOOK_PAGE_H

#include "check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "input/csv.h"
#include "input/handbook.h"

struct book_desk {
    struct bt_arena *arena;
    struct bt_diag *diag;
    struct bt_units *units;
    struct bt_handbook *book;
};

static inline void book_no_memory(void *context)
{
    (void)context;
    abort();
}

static inline struct book_desk book_open(const char *tables, const char *own)
{
    struct book_desk k = {.arena = bt_arena_new(1 << 18, book_no_memory, NULL)};
    size_t n;
    const char *units = bt_embedded_table("units", &n);
    k.diag = bt_diag_new(k.arena);
    k.units = bt_units_new(k.arena, k.diag, units, n);
    assert_non_null(k.units);
    k.book = bt_handbook_load(k.arena, k.diag, k.units, tables, own);
    return k;
}

static inline void book_close(struct book_desk *k)
{
    bt_units_free(k->units);
    bt_arena_free(k->arena);
}

/* The likely figure of a key or its stand-in, inside units. */
static inline const struct bt_row *book_row(const struct bt_handbook *h, const char *table,
                                            const char *key, const char *quantity)
{
    const struct bt_row *row = bt_handbook_follow(h, table, key, quantity);
    if (!row)
        fail_msg("no %s of %s in %s", quantity, key, table);
    return row;
}

/* A file of published figures; its columns must be those named, ended by NULL. */
static inline struct bt_csv book_published(struct bt_arena *a, const char *file,
                                           const char *const *column)
{
    struct bt_csv csv;
    struct bt_diag *d = bt_diag_new(a);
    const char *path = bt_arena_format(a, "tests/published/%s", file);
    if (!bt_csv_read_file(a, d, path, path, &csv) || bt_diag_count(d, BT_ERROR))
        fail_msg("%s cannot be read", path);
    size_t n = 0;
    while (column[n]) {
        assert_true(n < csv.header.n);
        assert_string_equal(csv.header.cell[n].text, column[n]);
        n++;
    }
    assert_int_equal(csv.header.n, n);
    assert_true(csv.n_rows > 0);
    return csv;
}

static inline double book_number(const struct bt_csv *csv, size_t row, size_t column)
{
    char *end = NULL;
    const char *text = csv->row[row].cell[column].text;
    const double value = strtod(text, &end);
    if (end == text || *end)
        fail_msg("%s:%u: %s is no number", csv->file, csv->row[row].at.line, text);
    return value;
}

static inline char *book_whole_file(struct bt_arena *a, const char *path)
{
    FILE *f = fopen(path, "rb");
    if (!f)
        fail_msg("no %s", path);
    char *text = NULL;
    size_t n = 0, capacity = 0, got = 1;
    while (got > 0) {
        text = bt_arena_grow(a, text, &capacity, n + 4096, 1);
        got = fread(text + n, 1, 4096, f);
        n += got;
    }
    fclose(f);
    text[n] = '\0';
    return text;
}

/* The block of the page between `<!-- NAME: made by MAKER -->` and `<!-- end of NAME -->`
 * is `text`. */
static inline void book_in_step(struct bt_arena *a, const char *path, const char *name,
                                const char *maker, const char *text)
{
    char *page = book_whole_file(a, path);
    const char *from = bt_arena_format(a, "<!-- %s: made by %s -->\n", name, maker);
    const char *to = bt_arena_format(a, "<!-- end of %s -->\n", name);
    char *begin = strstr(page, from);
    char *end = begin ? strstr(begin, to) : NULL;
    if (!end)
        fail_msg("%s has no block %s", path, name);
    begin += strlen(from);
    const size_t n = (size_t)(end - begin);
    if (n == strlen(text) && memcmp(begin, text, n) == 0)
        return;
    if (!getenv("BEDTALLY_UPDATE"))
        fail_msg("block %s of %s is not that of today (BEDTALLY_UPDATE=1 writes it):\n%s",
                 name, path, text);
    const char *whole =
        bt_arena_format(a, "%.*s%s%s", (int)(begin - page), page, text, end);
    FILE *f = fopen(path, "wb");
    assert_non_null(f);
    fputs(whole, f);
    assert_int_equal(fclose(f), 0);
}

#endif
