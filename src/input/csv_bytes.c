#include "input/csv_bytes.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

#define CHUNK ((size_t)64 << 10)

static bool refuse(struct bt_diag *d, struct bt_pos at, const char *expected,
                   const char *found, const char *hint)
{
    return bt_diag_add(d, (struct bt_message){BT_ERROR, at, "file", expected, found, hint});
}

bool bt_bytes_too_large(struct bt_diag *d, const char *shown_as)
{
    return refuse(d, (struct bt_pos){.file = shown_as}, "at most 64 MB", NULL,
                  "split the file, or move what is not needed elsewhere");
}

/* Why the system would not give the file, in words where we have them. */
static bool unreadable(struct bt_diag *d, const char *shown_as, int error)
{
    const char *found = strerror(error);
    const char *hint = NULL;
    if (error == ENOENT) {
        found = "no such file";
    } else if (error == EACCES) {
        found = "no permission to read it";
    } else if (error == EISDIR) {
        found = "a folder";
        hint = "name the CSV file itself";
    }
    return refuse(d, (struct bt_pos){.file = shown_as}, "a CSV file that can be read",
                  found, hint);
}

/* Reads on until the end, an error (errno) or too much. */
static int read_all(struct bt_arena *a, FILE *f, char **bytes, size_t *n)
{
    size_t capacity = 0;
    for (;;) {
        *bytes = bt_arena_grow(a, *bytes, &capacity, *n + CHUNK, 1);
        errno = 0;
        const size_t got = fread(*bytes + *n, 1, CHUNK, f);
        *n += got;
        if (got < CHUNK && ferror(f))
            return errno ? errno : EIO;
        if (feof(f) || *n > BT_CSV_MOST_BYTES)
            return 0;
    }
}

/* Was the file written to between the two looks? */
static bool changed(const struct stat *before, const struct stat *after)
{
    return S_ISREG(before->st_mode) && (before->st_size != after->st_size ||
                                        before->st_mtim.tv_sec != after->st_mtim.tv_sec ||
                                        before->st_mtim.tv_nsec != after->st_mtim.tv_nsec);
}

bool bt_bytes_read(struct bt_arena *a, struct bt_diag *d, const char *path,
                   const char *shown_as, const char **out_bytes, size_t *out_n)
{
    struct stat before, after;
    char *bytes = NULL;
    size_t n = 0;
    /* Opening a pipe that nobody writes to would wait for ever; those under /dev are from a
     * shell that does. */
    if (strncmp(path, "/dev/", 5) != 0 && stat(path, &before) == 0 &&
        S_ISFIFO(before.st_mode))
        return refuse(d, (struct bt_pos){.file = shown_as}, "a CSV file that can be read",
                      "a pipe", NULL);
    FILE *f = fopen(path, "rb");
    if (!f)
        return unreadable(d, shown_as, errno);
    int error = fstat(fileno(f), &before) != 0 ? errno : 0;
    const bool large =
        !error && S_ISREG(before.st_mode) && before.st_size > (off_t)BT_CSV_MOST_BYTES;
    if (!error && !large)
        error = read_all(a, f, &bytes, &n);
    if (!error && fstat(fileno(f), &after) != 0)
        error = errno;
    if (fclose(f) != 0 && !error)
        error = errno;
    if (error)
        return unreadable(d, shown_as, error);
    if (large || n > BT_CSV_MOST_BYTES)
        return bt_bytes_too_large(d, shown_as);
    if (changed(&before, &after))
        return refuse(d, (struct bt_pos){.file = shown_as}, "a file that holds still", NULL,
                      "it was written to while it was read: try again when it is saved");
    *out_bytes = bytes;
    *out_n = n;
    return true;
}
