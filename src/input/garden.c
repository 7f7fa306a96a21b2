/* A garden folder: which files there are, in which order they are read, what is said of the
 * rest. */
#include "input/garden.h"

#include <dirent.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/text.h"
#include "input/garden_read.h"

/* ---- the folder ---- */

static bool is_folder(const char *path)
{
    struct stat s;
    return stat(path, &s) == 0 && S_ISDIR(s.st_mode);
}

/* "beds/" and "beds" are one folder; messages name it without the stroke. */
static const char *without_stroke(struct bt_arena *a, const char *path)
{
    size_t n = strlen(path);
    while (n > 1 && path[n - 1] == '/')
        n--;
    return bt_arena_text_n(a, path, n);
}

static int by_name(const void *x, const void *y)
{
    return strcmp(*(const char *const *)x, *(const char *const *)y);
}

/* Names of the .csv files in the folder, without the ending, in order. */
static size_t csv_names(struct bt_gr *g, const char ***out)
{
    const char **name = NULL;
    size_t n = 0, capacity = 0;
    DIR *folder = opendir(g->folder);
    for (struct dirent *e = folder ? readdir(folder) : NULL; e; e = readdir(folder)) {
        const size_t length = strlen(e->d_name);
        if (length <= 4 || !bt_text_is(e->d_name + length - 4, ".csv") ||
            e->d_name[0] == '.')
            continue;
        name = bt_arena_grow(g->arena, name, &capacity, n, sizeof *name);
        name[n++] = bt_arena_text_n(g->arena, e->d_name, length - 4);
    }
    if (folder)
        closedir(folder);
    if (n)
        qsort(name, n, sizeof *name, by_name);
    *out = name;
    return n;
}

static const char *const known_files[] = {
    "garden",    "beds",         "plantings", "soil_tests", "water",
    "materials", "applications", "measures",  "harvests",   "purchases"};
enum { KNOWN_FILES = sizeof known_files / sizeof *known_files };

/* What stands in place of NAME.csv: the same name with another ending, other letters or
 * more behind it: `applications.xlsx`, `Soil tests.csv`, `beds (1).csv`. NULL when there is
 * none. Of several the first by name, so that the order of a folder does not matter. */
static const char *in_place_of(struct bt_gr *g, const char *name)
{
    const char *key = bt_gr_squeezed(g->arena, name);
    const char *found = NULL;
    DIR *folder = opendir(g->folder);
    for (struct dirent *e = folder ? readdir(folder) : NULL; e; e = readdir(folder)) {
        const char *other = bt_gr_squeezed(g->arena, e->d_name);
        const size_t n = strlen(key);
        const bool begins = strncmp(other, key, n) == 0 && strchr(".(0123456789", other[n]);
        if (e->d_name[0] == '.' || !begins || (found && strcmp(found, e->d_name) < 0))
            continue;
        found = bt_arena_text(g->arena, e->d_name);
    }
    if (folder)
        closedir(folder);
    return found;
}

static bool is_there(struct bt_gr *g, const char *name)
{
    return access(bt_arena_format(g->arena, "%s/%s.csv", g->folder, name), F_OK) == 0;
}

/* A file that is there under nearly the right name is not read: nobody should wonder where
 * its rows went. */
static void misnamed(struct bt_gr *g)
{
    for (size_t i = 0; i < KNOWN_FILES; i++) {
        const char *found =
            is_there(g, known_files[i]) ? NULL : in_place_of(g, known_files[i]);
        if (!found)
            continue;
        const struct bt_unread x = {
            .at = {.file = bt_arena_format(g->arena, "%s/%s", g->folder, found)},
            .name = found,
            .hint = "it is not read: save it as CSV under that name"};
        bt_fixes_unread(g->options->fixes, x);
        bt_diag_add(g->diag, (struct bt_message){
                                 .weight = BT_WARNING,
                                 .at = x.at,
                                 .field = "file",
                                 .expected = bt_arena_format(
                                     g->arena, "a file named %s.csv", known_files[i]),
                                 .found = found,
                                 .hint = x.hint});
    }
}

static bool missing(struct bt_gr *g, const char *name)
{
    const char **names;
    const size_t n = csv_names(g, &names);
    const char *instead = in_place_of(g, name);
    const char *near = bt_text_nearest(g->arena, name, n, names);
    return bt_diag_add(
        g->diag,
        (struct bt_message){
            .weight = BT_ERROR,
            .at = {.file = bt_arena_format(g->arena, "%s/%s.csv", g->folder, name)},
            .field = "file",
            .expected =
                bt_arena_format(g->arena, "a file %s.csv in the garden folder", name),
            .hint =
                instead ? bt_arena_format(g->arena,
                                          "there is \"%s\": save it as CSV under that name",
                                          instead)
                : near  ? bt_arena_format(g->arena, "there is %s; names end in .csv", near)
                        : NULL});
}

static void note_other_files(struct bt_gr *g)
{
    const char **names;
    const size_t n = csv_names(g, &names);
    for (size_t i = 0; i < n; i++) {
        bool known = false;
        const char *squeezed = bt_gr_squeezed(g->arena, names[i]);
        for (size_t k = 0; k < KNOWN_FILES; k++)
            known |= strcmp(names[i], known_files[k]) == 0 ||
                     (!is_there(g, known_files[k]) &&
                      bt_text_starts(squeezed, bt_gr_squeezed(g->arena, known_files[k])));
        const struct bt_pos at = {
            .file = bt_arena_format(g->arena, "%s/%s.csv", g->folder, names[i])};
        if (!known)
            bt_gr_note(g, at, "this file is not read: it is none of the garden's files");
    }
    misnamed(g);
}

/* ---- the files ---- */

typedef void read_fn(struct bt_gr *g, const struct bt_gfile *f);

/* False only when a required file cannot be read. */
static bool read_file(struct bt_gr *g, const char *name, bool required, read_fn *read)
{
    struct bt_gfile f;
    bool there;
    if (bt_gfile_open(g, name, &f, &there)) {
        read(g, &f);
        return true;
    }
    if (!there && required)
        missing(g, name);
    return !required;
}

static void read_measures(struct bt_gr *g)
{
    struct bt_gfile f;
    bool there;
    bt_garden_read_measures(g, bt_gfile_open(g, "measures", &f, &there) ? &f : NULL);
}

static void read_deeds(struct bt_gr *g, const struct bt_gfile *f)
{
    bt_garden_read_applications(g, f, false);
}

static void read_plan(struct bt_gr *g)
{
    struct bt_gfile f;
    if (g->options->plan && bt_gfile_open_path(g, "applications", g->options->plan, &f))
        bt_garden_read_applications(g, &f, true);
}

static struct bt_gr begin(struct bt_arena *a, struct bt_diag *d,
                          const struct bt_units *units, const struct bt_handbook *h)
{
    struct bt_gr g = {
        .arena = a,
        .diag = d,
        .units = units,
        .handbook = h,
        .cells = {.arena = a, .diag = d, .units = units}
    };
    g.garden = bt_arena_zero(a, sizeof *g.garden);
    g.no_bed = (struct bt_bed){.id = "", .name = "", .area_m2 = 1, .area_working = ""};
    return g;
}

struct bt_garden *bt_garden_load(struct bt_arena *a, struct bt_diag *d,
                                 const struct bt_units *units, const struct bt_handbook *h,
                                 const char *folder,
                                 const struct bt_garden_options *options)
{
    struct bt_gr g = begin(a, d, units, h);
    g.folder = without_stroke(a, folder);
    g.options = options;
    g.garden->folder = g.folder;
    if (!is_folder(folder)) {
        bt_diag_add(d, (struct bt_message){.weight = BT_ERROR,
                                           .at = {.file = folder},
                                           .field = "folder",
                                           .expected = "a garden folder",
                                           .hint = "bedtally new makes one"});
        return NULL;
    }
    const bool settings = read_file(&g, "garden", true, bt_garden_read_settings);
    const bool beds = read_file(&g, "beds", true, bt_garden_read_beds);
    read_measures(&g);
    const bool plantings = read_file(&g, "plantings", true, bt_garden_read_plantings);
    if (!settings || !beds || !plantings)
        return NULL;
    read_file(&g, "soil_tests", false, bt_garden_read_tests);
    read_file(&g, "water", false, bt_garden_read_water);
    read_file(&g, "materials", false, bt_garden_read_materials);
    read_file(&g, "applications", false, read_deeds);
    read_file(&g, "harvests", false, bt_garden_read_harvests);
    read_file(&g, "purchases", false, bt_garden_read_purchases);
    read_plan(&g);
    bt_garden_settle(&g);
    bt_garden_settle_harvests(&g);
    bt_garden_weigh(&g);
    bt_garden_check(&g);
    note_other_files(&g);
    return g.garden;
}
