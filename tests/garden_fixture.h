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

#define SETTINGS                                                                           \
    "setting,value\nunits,us\nseason,2026\nseason_start,2026-05-01\n"                      \
    "season_end,2026-09-30\nas_of,2026-06-15\n"
#define BEDS                                                                               \
    "bed,name,group,length,width,depth,texture\nA1,Corn,north,8 ft,4 ft,10 in,loam\n"      \
    "A2,,north,8 ft,4 ft,10 in,\nB1,,south,10 ft,4 ft,,\n"
#define PLANTINGS "bed,crop,plants,in_ground\nA1,sweet corn,12,2026-05-10\n"

/* A garden of these files; NULL leaves the plain ones above. */
struct files {
    const char *garden, *beds, *plantings, *soil_tests, *water, *materials, *applications,
        *measures, *plan, *harvests, *purchases;
    struct bt_date on;
    int season;
};

struct loaded {
    struct fixture x;
    struct bt_garden *g;
};

static inline void put(struct fixture *x, const char *folder, const char *file,
                       const char *text, const char *otherwise)
{
    if (text || otherwise)
        fixture_write(x, folder, file, text ? text : otherwise);
}

static inline struct loaded load(struct files f)
{
    struct loaded l = {.x = fixture_new()};
    char folder[] = "/tmp/bedtally-test-XXXXXX";
    assert_non_null(mkdtemp(folder));
    put(&l.x, folder, "garden.csv", f.garden, SETTINGS);
    put(&l.x, folder, "beds.csv", f.beds, BEDS);
    put(&l.x, folder, "plantings.csv", f.plantings, PLANTINGS);
    put(&l.x, folder, "soil_tests.csv", f.soil_tests, NULL);
    put(&l.x, folder, "water.csv", f.water, NULL);
    put(&l.x, folder, "materials.csv", f.materials, NULL);
    put(&l.x, folder, "applications.csv", f.applications, NULL);
    put(&l.x, folder, "measures.csv", f.measures, NULL);
    put(&l.x, folder, "plan.csv", f.plan, NULL);
    put(&l.x, folder, "harvests.csv", f.harvests, NULL);
    put(&l.x, folder, "purchases.csv", f.purchases, NULL);
    const struct bt_garden_options o = {
        .units = -1,
        .season = f.season,
        .on = f.on,
        .plan = f.plan ? bt_arena_format(l.x.arena, "%s/plan.csv", folder) : NULL};
    l.g = bt_garden_load(l.x.arena, l.x.diag, l.x.units, l.x.handbook, folder, &o);
    fixture_remove(&l.x, folder);
    assert_non_null(l.g);
    if (bt_diag_count(l.x.diag, BT_ERROR))
        bt_diag_print(stderr, l.x.diag, BT_ERROR);
    assert_int_equal(bt_diag_count(l.x.diag, BT_ERROR), 0);
    return l;
}

/* ---- lists of tests: `t` and `n` are main's ---- */

#define COUNT(rows) (sizeof(rows) / sizeof *(rows))
#define PLAIN(test)                                                                        \
    t[n++] = (struct CMUnitTest)                                                           \
    {                                                                                      \
#test, test, NULL, NULL, NULL                                                      \
    }
#define ROWS(rows, test, title)                                                            \
    for (size_t i = 0; i < COUNT(rows); i++) {                                             \
        t[n++] =                                                                           \
            (struct CMUnitTest){(rows)[i].title, test, NULL, NULL, row_of(&(rows)[i])};    \
    }

/* cmocka hands rows on as void *; they are only read. */
static inline void *row_of(const void *row)
{
    union {
        const void *in;
        void *out;
    } u = {row};
    return u.out;
}

#endif
