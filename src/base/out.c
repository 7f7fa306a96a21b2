#include "base/out.h"

#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { MOST_LINKS = 40 }; /* in a row, as the system itself follows */

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

/* A new file that nobody else has. mkstemp would make it readable to its owner only. */
static FILE *open_new(const char *path)
{
    const int fd = open(path, O_WRONLY | O_CREAT | O_EXCL, 0666);
    if (fd < 0)
        return NULL;
    FILE *f = fdopen(fd, "wb");
    if (!f) {
        const int error = errno;
        (void)close(fd);
        (void)unlink(path);
        errno = error;
    }
    return f;
}

struct bt_out bt_out_file(struct bt_arena *a, const char *target, bool force)
{
    struct bt_out o = {.target = target};
    struct stat there;
    const bool exists = stat(target, &there) == 0;
    if (exists && !S_ISREG(there.st_mode)) {
        o.f = fopen(target, "wb"); /* a device or pipe is written to, never replaced */
    } else if (exists && !force) {
        errno = EEXIST;
    } else {
        o.temporary = bt_arena_format(a, "%s.%ld.part", target, (long)getpid());
        o.f = open_new(o.temporary);
    }
    if (!o.f) {
        fail(&o, errno);
        o.temporary = NULL;
    }
    return o;
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
    if (o->temporary && !o->failed && rename(o->temporary, o->target) != 0)
        fail(o, errno);
    if (o->temporary && o->failed)
        (void)unlink(o->temporary);
    if (o->target)
        o->f = NULL;
    o->temporary = NULL;
    return !o->failed;
}
