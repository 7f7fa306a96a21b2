#include "base/out.h"

#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { MOST_LINKS = 40 }; /* in a row, as the system itself follows */

/* Lies in the arena: the stream keeps its address, and a bt_out is copied about. */
struct bt_out_waiting {
    char *bytes;
    size_t n;
};

static void fail(struct bt_out *o, int error)
{
    if (!o->failed)
        o->error = error ? error : EIO;
    o->failed = true;
}

struct bt_out bt_out_stream(FILE *f)
{
    return (struct bt_out){.f = f};
}

const char *bt_out_behind(struct bt_arena *a, const char *path)
{
    char target[4096];
    for (int links = 0; links < MOST_LINKS; links++) {
        const ssize_t n = readlink(path, target, sizeof target);
        if (n <= 0 || (size_t)n == sizeof target)
            break;
        const char *slash = *target == '/' ? NULL : strrchr(path, '/');
        path = bt_arena_format(a, "%.*s%.*s", slash ? (int)(slash + 1 - path) : 0, path,
                               (int)n, target);
    }
    return path;
}

/* 0 when a file may be made in the folder of `path`, else errno. */
static int folder_error(struct bt_arena *a, const char *path)
{
    struct stat folder;
    const char *slash = strrchr(path, '/');
    const char *above = !slash         ? "."
                        : slash > path ? bt_arena_text_n(a, path, (size_t)(slash - path))
                                       : "/";
    if (stat(above, &folder) != 0)
        return errno;
    if (!S_ISDIR(folder.st_mode))
        return ENOTDIR;
    return access(above, W_OK | X_OK) == 0 ? 0 : errno;
}

struct bt_out bt_out_file(struct bt_arena *a, const char *target, bool force)
{
    struct bt_out o = {.target = bt_out_behind(a, target), .force = force};
    struct stat there;
    const bool exists = stat(target, &there) == 0;
    if (!exists && errno != ENOENT) {
        fail(&o, errno); /* links in a ring, no permission to look */
    } else if (exists && !S_ISREG(there.st_mode)) {
        o.f = fopen(target, "wb"); /* a device or pipe is written to, never replaced */
    } else if (exists && !force) {
        errno = EEXIST;
    } else if ((errno = folder_error(a, o.target)) == 0) {
        o.temporary = bt_arena_format(a, "%s.%ld.part", o.target, (long)getpid());
        o.waiting = bt_arena_zero(a, sizeof *o.waiting);
        o.f = open_memstream(&o.waiting->bytes, &o.waiting->n);
    }
    if (!o.f) {
        fail(&o, errno);
        o.temporary = NULL;
    }
    return o;
}

/* All bytes into a new file. 0, or errno: then there is none. */
static int write_new(const char *path, mode_t mode, const char *bytes, size_t n)
{
    const int fd = open(path, O_WRONLY | O_CREAT | O_EXCL, mode);
    if (fd < 0)
        return errno;
    int error = 0;
    while (n > 0 && error == 0) {
        const ssize_t done = write(fd, bytes, n);
        if (done > 0) {
            bytes += done;
            n -= (size_t)done;
        } else if (done == 0 || errno != EINTR) {
            error = done == 0 ? EIO : errno;
        }
    }
    if (close(fd) != 0 && error == 0)
        error = errno;
    if (error != 0)
        (void)unlink(path);
    return error;
}

/* Gives a file another name, unless there is one of that name. 0, or errno. */
static int name_new(const char *from, const char *to)
{
    if (link(from, to) == 0)
        return unlink(from) == 0 ? 0 : errno;
    if (errno == EEXIST)
        return EEXIST;
    /* Not every file system has a second name for a file: the name is taken, then the file
     * put there. */
    const int fd = open(to, O_WRONLY | O_CREAT | O_EXCL, 0600);
    if (fd < 0 || close(fd) != 0 || rename(from, to) != 0)
        return errno;
    return 0;
}

/* What waits becomes the target. 0, or errno. */
static int put_in_place(const struct bt_out *o)
{
    struct stat old;
    const bool replaces = o->force && stat(o->target, &old) == 0;
    int error =
        write_new(o->temporary, replaces ? 0600 : 0666, o->waiting->bytes, o->waiting->n);
    if (error != 0)
        return error;
    if (!o->force)
        error = name_new(o->temporary, o->target);
    else if ((replaces && chmod(o->temporary, old.st_mode & 07777) != 0) ||
             rename(o->temporary, o->target) != 0)
        error = errno;
    if (error != 0)
        (void)unlink(o->temporary);
    return error;
}

void bt_put(struct bt_out *o, const char *format, ...)
{
    if (o->failed)
        return; /* sticky: callers need not ask */
    va_list args;
    va_start(args, format);
    errno = 0;
    if (vfprintf(o->f, format, args) < 0)
        fail(o, errno);
    va_end(args);
}

void bt_put_bytes(struct bt_out *o, const void *bytes, size_t n)
{
    if (o->failed || n == 0)
        return;
    errno = 0;
    if (fwrite(bytes, 1, n, o->f) != n)
        fail(o, errno);
}

bool bt_out_done(struct bt_out *o)
{
    if (o->f) {
        errno = 0;
        if (fflush(o->f) != 0 || ferror(o->f))
            fail(o, errno);
        errno = 0;
        if (o->target && fclose(o->f) != 0)
            fail(o, errno);
    }
    if (o->target && o->temporary && !o->failed) {
        const int error = put_in_place(o);
        if (error != 0)
            fail(o, error);
    }
    if (o->waiting)
        free(o->waiting->bytes);
    o->waiting = NULL;
    if (o->target)
        o->f = NULL;
    o->temporary = NULL;
    return !o->failed;
}
