#include "command/examples.h"

#include <dirent.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static bool is_folder(const char *path)
{
    struct stat s;
    return stat(path, &s) == 0 && S_ISDIR(s.st_mode);
}

static bool is_file(const char *path)
{
    struct stat s;
    return stat(path, &s) == 0 && S_ISREG(s.st_mode);
}

/* The folder in which the running program lies, links followed. NULL where the system
 * cannot say. */
static char *own_folder(struct bt_arena *a)
{
    char path[4096];
    const ssize_t n = readlink("/proc/self/exe", path, sizeof path - 1);
    if (n <= 0)
        return NULL;
    path[n] = '\0';
    char *slash = strrchr(path, '/');
    return slash ? bt_arena_text_n(a, path, (size_t)(slash - path)) : NULL;
}

char *bt_examples_folder(struct bt_arena *a)
{
    static const char *const from_here[] = {"../share/bedtally/examples",
                                            "../../worked-examples"};
    const char *set = getenv("BEDTALLY_EXAMPLES");
    if (set && *set)
        return is_folder(set) ? bt_arena_text(a, set) : NULL;
    const char *own = own_folder(a);
    for (size_t i = 0; own && i < sizeof from_here / sizeof *from_here; i++) {
        char *path = bt_arena_format(a, "%s/%s", own, from_here[i]);
        if (is_folder(path))
            return path;
    }
    return NULL;
}

static int by_name(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

static bool holds_garden(struct bt_arena *a, const char *folder, const char *name)
{
    return is_file(bt_arena_format(a, "%s/%s/garden.csv", folder, name));
}

static bool is_csv(struct bt_arena *a, const char *folder, const char *name)
{
    const size_t n = strlen(name);
    return n > 4 && strcmp(name + n - 4, ".csv") == 0 &&
           is_file(bt_arena_format(a, "%s/%s", folder, name));
}

static size_t list(struct bt_arena *a, const char *folder,
                   bool (*wanted)(struct bt_arena *, const char *, const char *),
                   char ***out)
{
    char **name = NULL;
    size_t n = 0, capacity = 0;
    DIR *d = opendir(folder);
    for (const struct dirent *e = d ? readdir(d) : NULL; e; e = readdir(d)) {
        if (e->d_name[0] == '.' || !wanted(a, folder, e->d_name))
            continue;
        name = bt_arena_grow(a, name, &capacity, n, sizeof *name);
        name[n++] = bt_arena_text(a, e->d_name);
    }
    if (d)
        closedir(d);
    if (n)
        qsort(name, n, sizeof *name, by_name);
    *out = name;
    return n;
}

size_t bt_examples_list(struct bt_arena *a, const char *folder, char ***out_names)
{
    return list(a, folder, holds_garden, out_names);
}

size_t bt_examples_csv(struct bt_arena *a, const char *folder, char ***out_names)
{
    return list(a, folder, is_csv, out_names);
}
