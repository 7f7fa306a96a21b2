#include "command/target.h"

#include <dirent.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

#include "base/out.h"
#include "base/text.h"
#include "input/garden.h"

enum bt_status_code bt_refuse(struct bt_arena *a, const char *option, const char *expected,
                              const char *found, const char *hint)
{
    const struct bt_message m = {.weight = BT_ERROR,
                                 .field = option,
                                 .expected = expected,
                                 .found = found,
                                 .hint = hint};
    fprintf(stderr, "%s\n", bt_message_text(a, &m));
    return BT_WRONG_USE;
}

static bool is_same(const struct stat *x, const struct stat *y)
{
    return x->st_dev == y->st_dev && x->st_ino == y->st_ino;
}

/* A path as the folder it lies in and its name there. */
struct place {
    const char *folder, *name;
};

static struct place place_of(struct bt_arena *a, const char *path)
{
    size_t n = strlen(path);
    while (n > 1 && path[n - 1] == '/')
        n--;
    const char *own = bt_arena_text_n(a, path, n);
    const char *slash = strrchr(own, '/');
    if (!slash)
        return (struct place){".", own};
    const size_t before = (size_t)(slash - own);
    return (struct place){before ? bt_arena_text_n(a, own, before) : "/", slash + 1};
}

/* ---- what is read ---- */

/* A folder from which files are read. */
struct source {
    const char *folder;
    bool tables; /* handbook tables: every CSV file is looked at; else the garden's files */
};

enum { SOURCES = 5 };

static size_t sources(struct bt_arena *a, const struct bt_options *o,
                      struct source out[SOURCES])
{
    const char *const garden[] = {o->arg[0], o->against};
    size_t n = 0;
    for (size_t i = 0; i < 2; i++) {
        if (!garden[i])
            continue;
        out[n++] = (struct source){garden[i], false};
        out[n++] = (struct source){bt_arena_format(a, "%s/tables", garden[i]), true};
    }
    if (o->tables)
        out[n++] = (struct source){o->tables, true};
    return n;
}

/* Whether a file of that name would be read there. The case of letters does not matter on
 * every disk, so it matters nowhere. */
static bool is_name_of(struct bt_arena *a, const struct source *s, const char *name)
{
    const char *const *column;
    const size_t n = strlen(name);
    if (!s->tables && bt_text_is(name, "tables"))
        return true;
    if (n <= 4 || !bt_text_is(name + n - 4, ".csv"))
        return false;
    return s->tables || bt_garden_columns(bt_arena_text_n(a, name, n - 4), &column) > 0;
}

static bool would_be_read(struct bt_arena *a, const struct source *s, const char *path)
{
    const struct place p = place_of(a, path);
    struct stat here, there;
    return is_name_of(a, s, p.name) && stat(s->folder, &here) == 0 &&
           stat(p.folder, &there) == 0 && is_same(&here, &there);
}

/* Whether a file is one of those that are read there, by whatever other name or link. */
static bool is_read(struct bt_arena *a, const struct source *s, const struct stat *file)
{
    DIR *folder = opendir(s->folder);
    bool found = false;
    for (const struct dirent *e = folder ? readdir(folder) : NULL; e && !found;
         e = readdir(folder)) {
        struct stat own;
        found = is_name_of(a, s, e->d_name) &&
                stat(bt_arena_format(a, "%s/%s", s->folder, e->d_name), &own) == 0 &&
                is_same(&own, file);
    }
    if (folder)
        (void)closedir(folder);
    return found;
}

/* ---- the look ---- */

static bool is_input(struct bt_arena *a, const struct bt_options *o, const char *path,
                     const struct stat *there)
{
    struct source source[SOURCES];
    const size_t n = sources(a, o, source);
    const char *behind = bt_out_behind(a, path);
    for (size_t i = 0; i < n; i++)
        if (would_be_read(a, &source[i], path) || would_be_read(a, &source[i], behind) ||
            (there && is_read(a, &source[i], there)))
            return true;
    return false;
}

enum bt_status_code bt_target_look(struct bt_arena *a, const struct bt_options *o,
                                   const struct bt_target *t)
{
    struct stat there, plan, above;
    const bool is_there = stat(t->path, &there) == 0;
    const struct place p = place_of(a, bt_out_behind(a, t->path));
    const char *what = t->folder ? "folder" : "file";
    if (is_input(a, o, t->path, is_there ? &there : NULL))
        return bt_refuse(a, t->option,
                         bt_arena_format(a, "a %s that is none of the garden's own", what),
                         t->path, "another name, or another folder");
    if (is_there && o->plan && stat(o->plan, &plan) == 0 && is_same(&there, &plan))
        return bt_refuse(a, t->option, "a file other than the plan that is read", t->path,
                         "another name");
    if (is_there && (t->folder || S_ISDIR(there.st_mode)))
        return bt_refuse(a, t->option,
                         bt_arena_format(a, "a %s that is not there yet", what), t->path,
                         "another name");
    if (is_there && S_ISREG(there.st_mode) && !o->force)
        return bt_refuse(a, t->option, "a file that is not there yet", t->path,
                         t->may_replace ? "another name, or --force to replace it"
                                        : "another name");
    if (!is_there && (stat(p.folder, &above) != 0 || !S_ISDIR(above.st_mode)))
        return bt_refuse(a, t->option,
                         bt_arena_format(a, "a %s in a folder that is there", what),
                         t->path, bt_arena_format(a, "there is no folder %s", p.folder));
    return BT_DONE_WELL;
}
