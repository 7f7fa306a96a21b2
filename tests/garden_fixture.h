/* What the tests of the garden readers share: an arena, the units, an invented handbook,
 * and gardens made of files in a folder of their own. */
#ifndef BT_TESTS_GARDEN_FIXTURE_H
#define BT_TESTS_GARDEN_FIXTURE_H

#include "check.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "input/garden.h"

struct fixture {
    struct bt_arena *arena;
    struct bt_diag *diag;
    struct bt_units *units;
    struct bt_handbook *handbook;
};

static inline void fixture_no_memory(void *context)
{
    (void)context;
    abort();
}

static inline const char *fixture_no_table(const char *name, size_t *out_n)
{
    (void)name;
    *out_n = 0;
    return NULL;
}

static inline struct fixture fixture_new(void)
{
    struct fixture x = {.arena = bt_arena_new(65536, fixture_no_memory, NULL)};
    size_t n;
    const char *units = bt_embedded_table("units", &n);
    assert_non_null(x.arena);
    x.diag = bt_diag_new(x.arena);
    x.units = bt_units_new(x.arena, x.diag, units, n);
    assert_non_null(x.units);
    x.handbook = bt_handbook_load_from(x.arena, x.diag, x.units, fixture_no_table,
                                       "tests/garden/tables", NULL);
    if (!x.handbook)
        bt_diag_print(stderr, x.diag, BT_NOTE);
    assert_non_null(x.handbook);
    return x;
}

static inline void fixture_free(struct fixture *x)
{
    bt_units_free(x->units);
    bt_arena_free(x->arena);
}

static inline void fixture_write(struct fixture *x, const char *folder, const char *file,
                                 const char *text)
{
    FILE *f = fopen(bt_arena_format(x->arena, "%s/%s", folder, file), "wb");
    assert_non_null(f);
    fputs(text, f);
    assert_int_equal(fclose(f), 0);
}

/* Copies the files of one folder into another, over those of the same name. */
static inline void fixture_copy(struct fixture *x, const char *from, const char *to)
{
    DIR *folder = opendir(from);
    assert_non_null(folder);
    for (struct dirent *e = readdir(folder); e; e = readdir(folder)) {
        if (e->d_name[0] == '.')
            continue;
        FILE *in = fopen(bt_arena_format(x->arena, "%s/%s", from, e->d_name), "rb");
        FILE *out = fopen(bt_arena_format(x->arena, "%s/%s", to, e->d_name), "wb");
        assert_non_null(in);
        assert_non_null(out);
        for (int c = getc(in); c != EOF; c = getc(in))
            putc(c, out);
        fclose(in);
        fclose(out);
    }
    closedir(folder);
}

/* Removes the files of a folder, and the folder. */
static inline void fixture_remove(struct fixture *x, const char *folder)
{
    DIR *d = opendir(folder);
    assert_non_null(d);
    for (struct dirent *e = readdir(d); e; e = readdir(d))
        if (e->d_name[0] != '.')
            remove(bt_arena_format(x->arena, "%s/%s", folder, e->d_name));
    closedir(d);
    rmdir(folder);
}

#endif
