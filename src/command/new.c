#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>

#include "base/text.h"
#include "command/columns.h"
#include "command/examples.h"
#include "command/front.h"
#include "command/target.h"
#include "input/garden.h"
#include "report/page.h"

#define N(a) (sizeof(a) / sizeof *(a))

/* The cells of the filled rows. YEAR stands for the season. */
static const struct sample {
    const char *file;
    int row;
    const char *column, *us, *metric;
} samples[] = {
    {"beds",      0, "bed",       "A1",          "A1"         },
    {"beds",      0, "name",      "by the gate", "by the gate"},
    {"beds",      0, "length",    "8 ft",        "2.4 m"      },
    {"beds",      0, "width",     "4 ft",        "1.2 m"      },
    {"beds",      0, "kind",      "ground",      "ground"     },
    {"beds",      1, "bed",       "A2",          "A2"         },
    {"beds",      1, "name",      "by the shed", "by the shed"},
    {"beds",      1, "length",    "12 ft",       "3.6 m"      },
    {"beds",      1, "width",     "4 ft",        "1.2 m"      },
    {"beds",      1, "kind",      "ground",      "ground"     },
    {"plantings", 0, "bed",       "A1",          "A1"         },
    {"plantings", 0, "crop",      "sweet corn",  "sweet corn" },
    {"plantings", 0, "plants",    "12",          "12"         },
    {"plantings", 0, "in_ground", "YEAR-05-20",  "YEAR-05-20" },
    {"plantings", 0, "expected",  "usual",       "usual"      },
    {"plantings", 1, "bed",       "A2",          "A2"         },
    {"plantings", 1, "crop",      "snap bean",   "snap bean"  },
    {"plantings", 1, "rows",      "2 x 12 ft",   "2 x 3.6 m"  },
    {"plantings", 1, "in_ground", "YEAR-05-25",  "YEAR-05-25" },
    {"plantings", 1, "expected",  "usual",       "usual"      },
};

struct folder {
    struct bt_arena *arena;
    const char *path;
    bool us;
    int year;
    int error; /* errno of the first file that could not be written, 0 */
    const char *failed;
};

static struct bt_out open_file(struct folder *f, const char *name)
{
    return bt_out_file(f->arena, bt_arena_format(f->arena, "%s/%s", f->path, name), false);
}

static void close_file(struct folder *f, struct bt_out *o, const char *name)
{
    if (bt_out_done(o) || f->error)
        return;
    f->error = o->error;
    f->failed = name;
}

static const char *cell_of(const struct folder *f, const char *file, int row,
                           const char *column)
{
    for (size_t i = 0; i < N(samples); i++) {
        const struct sample *s = &samples[i];
        if (s->row != row || strcmp(s->file, file) != 0 || strcmp(s->column, column) != 0)
            continue;
        const char *text = f->us ? s->us : s->metric;
        return bt_text_starts(text, "YEAR")
                   ? bt_arena_format(f->arena, "%d%s", f->year, text + 4)
                   : text;
    }
    return "";
}

static void write_file(struct folder *f, const char *file)
{
    const char *const *column = NULL;
    const size_t n = bt_garden_columns(file, &column);
    const char *name = bt_arena_format(f->arena, "%s.csv", file);
    struct bt_out o = open_file(f, name);
    for (size_t i = 0; i < n; i++)
        bt_put(&o, "%s%s", i ? "," : "", column[i]);
    bt_put(&o, "\n");
    for (int row = 0; *cell_of(f, file, row, column[0]); row++) {
        for (size_t i = 0; i < n; i++)
            bt_put(&o, "%s%s", i ? "," : "", cell_of(f, file, row, column[i]));
        bt_put(&o, "\n");
    }
    close_file(f, &o, name);
}

static void write_settings(struct folder *f)
{
    struct bt_out o = open_file(f, "garden.csv");
    bt_put(&o, "setting,value\nname,our garden\nunits,%s\nseason,%d\nwarmth,temperate\n",
           f->us ? "us" : "metric", f->year);
    close_file(f, &o, "garden.csv");
}

/* The handbook as built in, for the names in README.txt. NULL, with messages, when it is
 * broken. */
static const struct bt_handbook *built_in(struct bt_arena *a, struct bt_diag *d,
                                          struct bt_units **out_units)
{
    size_t n = 0;
    const char *table = bt_embedded_table("units", &n);
    *out_units = table ? bt_units_new(a, d, table, n) : NULL;
    return *out_units ? bt_handbook_load(a, d, *out_units, NULL, NULL) : NULL;
}

static bool write_readme(struct folder *f)
{
    struct bt_diag *d = bt_diag_new(f->arena);
    struct bt_units *units = NULL;
    const struct bt_handbook *h = built_in(f->arena, d, &units);
    if (h) {
        struct bt_out o = open_file(f, "README.txt");
        bt_columns_readme(&o, h);
        close_file(f, &o, "README.txt");
    } else {
        bt_diag_print(stderr, d, BT_ERROR);
    }
    if (units)
        bt_units_free(units);
    return h != NULL;
}

static void copy_file(struct folder *f, const char *from, const char *name)
{
    FILE *in = fopen(bt_arena_format(f->arena, "%s/%s", from, name), "rb");
    if (!in) {
        f->error = f->error ? f->error : errno;
        f->failed = f->failed ? f->failed : name;
        return;
    }
    struct bt_out o = open_file(f, name);
    char block[4096];
    size_t n = 0;
    while ((n = fread(block, 1, sizeof block, in)) > 0)
        bt_put_bytes(&o, block, n);
    if (ferror(in) && !o.failed) { /* half a copy is no copy */
        o.failed = true;
        o.error = EIO;
    }
    fclose(in);
    close_file(f, &o, name);
}

/* The folder of the example called `name`; NULL, with a message, when there is none such.
 */
static char *example(struct bt_arena *a, const char *name)
{
    char **known = NULL;
    const char *folder = bt_examples_folder(a);
    const size_t n = folder ? bt_examples_list(a, folder, &known) : 0;
    const char *all = NULL;
    for (size_t i = 0; i < n; i++) {
        if (bt_text_is(known[i], name))
            return bt_arena_format(a, "%s/%s", folder, known[i]);
        all = bt_arena_format(a, "%s%s%s", all ? all : "", all ? ", " : "", known[i]);
    }
    (void)bt_refuse(
        a, "--from",
        all ? bt_arena_format(a, "one of %s", all) : "the name of a worked example", name,
        all ? bt_text_nearest(a, name, n, (const char *const *)known)
            : "no worked examples were found; BEDTALLY_EXAMPLES may name their folder");
    return NULL;
}

/* Makes the folder, or takes it when it is there and empty. Else false, with a message. */
static bool make_folder(const char *path, enum bt_status_code *out_status)
{
    if (mkdir(path, 0777) == 0)
        return true;
    int why = errno;
    DIR *d = why == EEXIST ? opendir(path) : NULL;
    if (d) {
        size_t n = 0;
        for (const struct dirent *e = readdir(d); e; e = readdir(d))
            n += strcmp(e->d_name, ".") != 0 && strcmp(e->d_name, "..") != 0;
        closedir(d);
        if (n == 0)
            return true;
        why = ENOTEMPTY;
    }
    *out_status = why == ENOTEMPTY || why == EEXIST || why == ENOENT ? BT_WRONG_USE
                                                                     : BT_MACHINE_FAILED;
    fprintf(stderr, "bedtally: cannot start a garden in %s: %s\n", path, strerror(why));
    return false;
}

static int this_year(void)
{
    const time_t now = time(NULL);
    struct tm local;
    return localtime_r(&now, &local) ? local.tm_year + 1900 : 1970;
}

enum bt_status_code bt_command_new(struct bt_arena *a, const struct bt_options *o)
{
    struct folder f = {
        .arena = a, .path = o->arg[0], .us = o->units != 0, .year = this_year()};
    if (o->from && o->units >= 0)
        return bt_refuse(a, "--units",
                         "no --from beside it: an example keeps its own units", NULL, NULL);
    const char *from = o->from ? example(a, o->from) : NULL;
    enum bt_status_code status = BT_WRONG_USE;
    if ((o->from && !from) || !make_folder(f.path, &status))
        return status;
    char **name = NULL;
    const size_t n = from ? bt_examples_csv(a, from, &name) : 0;
    for (size_t i = 0; i < n; i++)
        copy_file(&f, from, name[i]);
    if (!from) {
        write_settings(&f);
        for (size_t i = 1; bt_column_files[i]; i++)
            write_file(&f, bt_column_files[i]);
    }
    if (!write_readme(&f))
        return BT_MACHINE_FAILED;
    if (f.error) {
        fprintf(stderr, "bedtally: cannot write %s/%s: %s\n", f.path, f.failed,
                strerror(f.error));
        return BT_MACHINE_FAILED;
    }
    struct bt_out out = bt_out_stream(stdout);
    bt_put(&out,
           "A garden was started in %s; README.txt there says what goes where.\n"
           "Next: bedtally check %s\n",
           f.path, bt_shell_word(a, f.path));
    return bt_front_written(&out);
}
