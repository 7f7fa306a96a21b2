/* What the tests of the handbook share: a small handbook of their own, and folders for rows
 * that override it. */
#ifndef BT_TESTS_TEST_HANDBOOK_H
#define BT_TESTS_TEST_HANDBOOK_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/diag.h"
#include "input/handbook.h"
#include "input/units.h"

#include "check.h"

#define ROW_HEADER                                                                         \
    "key,quantity,low,likely,high,unit,ends,basis,scope,parent,rank_correlation,source,"   \
    "seen,notes\n"

/* The end of a row from `scope` on. */
#define BEDS "bed,,,TEST-1,read,\n"

/* clang-format off */
static const struct {
    const char *name, *text;
} small[] = {
    {"sources", "id,authors,title,year,address\n"
                "TEST-1,A. Nobody,A bulletin,1999,\n"
                "TEST-2,,Another,,\n"},
    {"crops", ROW_HEADER "sweet corn,yield,1.0,1.5,2.0,kg/m2,,,bed,,,TEST-1,read,\n"
                         "sweet corn,n_uptake,4,5,7,g/kg,bounds,,garden,sweet corn/yield,-0.4,"
                         "TEST-1,derived,\"from 3, 4\"\n"
                         "sweet corn,stand,,4,,plants/m2,,,bed,,,TEST-2,practice,\n"
                         "sweet corn,days,70,,90,d,,,garden,,,TEST-2,memory,\n"
                         "sweet corn,form,,,,,,tall,garden,,,TEST-2,judgement,\n"
                         "flour corn,follows,,,,,,sweet corn,garden,,,TEST-2,judgement,\n"
                         "flour corn,yield,,0.5,,kg/m2,,,bed,,,TEST-2,read,\n"
                         "blue corn,follows,,,,,,flour corn,garden,,,TEST-2,judgement,\n"
                         "tomato,yield,,9,,kg/m2,,,bed,,,TEST-2,read,\n"
                         "grass,yield,,1,,kg/m2,,,bed,,,TEST-2,read,\n"
                         "mas,yield,,1,,kg/m2,,,bed,,,TEST-2,read,\n"
                         "mass,yield,,1,,kg/m2,,,bed,,,TEST-2,read,\n"},
    {"materials", ROW_HEADER "wood chips,n,,0.2,,%,,dry,garden,,,TEST-1,read,\n"
                             "compost,n_available_1,5,10,15,%,,of_total,garden,compost/n,0.5,"
                             "TEST-1,read,\n"
                             "compost,n,1,,2,%,,dry,garden,,,TEST-1,read,\n"
                             "compost,kind,,,,,,compost,garden,,,TEST-1,read,\n"
                             "compost,density,,500,,kg/m3,,,garden,,,TEST-1,read,\n"},
    {"soils", ROW_HEADER "warm,mean_temperature,,62.6,,degF,,,garden,,,TEST-1,read,\n"
                         "warm,temperature_half_range,,18,,degF,,,garden,,,TEST-1,read,\n"},
    {"measures", ROW_HEADER "bale of straw,mass,,20,,kg,,,bed,,,TEST-1,practice,\n"},
    {"aliases", "table,alias,key\ncrops,maize,sweet corn\ncrops,Corn-on-the-cob,sweet corn\n"},
    {"cautions", "topic,when,rule,number,unit,jurisdiction,source,seen,notes\n"
                 "pathogens,manure,Wait before picking.,120,d,US,TEST-1,read,\n"},
};
/* clang-format on */

static inline const char *find_small(const char *name, size_t *out_n)
{
    for (size_t i = 0; i < sizeof small / sizeof *small; i++)
        if (strcmp(small[i].name, name) == 0) {
            *out_n = strlen(small[i].text);
            return small[i].text;
        }
    *out_n = 0;
    return NULL;
}

static inline void no_memory(void *context)
{
    (void)context;
    abort();
}

struct bench {
    struct bt_arena *arena;
    struct bt_diag *diag;
    struct bt_units *units;
};

static inline struct bench *new_bench(void)
{
    struct bench *b = malloc(sizeof *b);
    size_t n = 0;
    assert_non_null(b);
    b->arena = bt_arena_new(1 << 16, no_memory, NULL);
    assert_non_null(b->arena);
    b->diag = bt_diag_new(b->arena);
    const char *table = bt_embedded_table("units", &n);
    assert_non_null(table);
    b->units = bt_units_new(b->arena, b->diag, table, n);
    assert_non_null(b->units);
    return b;
}

static inline void free_bench(struct bench *b)
{
    bt_units_free(b->units);
    bt_arena_free(b->arena);
    free(b);
}

static inline struct bt_handbook *load(struct bench *b, const char *dir,
                                       const char *garden_dir)
{
    return bt_handbook_load_from(b->arena, b->diag, b->units, find_small, dir, garden_dir);
}

/* All messages, each ended by a line end. */
static inline const char *messages(struct bench *b)
{
    const char *all = "";
    for (size_t i = 0; i < bt_diag_kept(b->diag); i++)
        all = bt_arena_format(b->arena, "%s%s\n", all,
                              bt_message_text(b->arena, bt_diag_get(b->diag, i)));
    return all;
}

/* ---- folders of a test ---- */

static inline void write_file(const char *path, const char *text)
{
    FILE *f = fopen(path, "wb");
    assert_non_null(f);
    assert_true(fputs(text, f) >= 0);
    assert_int_equal(fclose(f), 0);
}

/* A folder of its own to work in, in TMPDIR or here; its files are removed by name. */
static inline int enter_folder(void **state)
{
    static char name[] = "bt-handbook-XXXXXX";
    const char *base = getenv("TMPDIR");
    memcpy(name, "bt-handbook-XXXXXX", sizeof name);
    *state = name;
    return (!base || chdir(base) == 0) && mkdtemp(name) && chdir(name) == 0 &&
                   mkdir("t", 0700) == 0 && mkdir("g", 0700) == 0
               ? 0
               : -1;
}

static inline int leave_folder(void **state)
{
    static const char *const made[] = {"t/crops.csv",    "t/materials.csv",
                                       "t/aliases.csv",  "t/sources.csv",
                                       "t/cautions.csv", "t/crop.csv",
                                       "t/units.csv",    "g/crops.csv",
                                       "g/aliases.csv",  NULL};
    for (size_t i = 0; made[i]; i++)
        unlink(made[i]);
    rmdir("t");
    rmdir("g");
    return chdir("..") == 0 && rmdir(*state) == 0 ? 0 : -1;
}

#endif
