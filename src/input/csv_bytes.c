#include "input/csv_bytes.h"

#include <errno.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#define CHUNK ((size_t)64 << 10)

static bool refuse(struct bt_diag *d, struct bt_pos at, const char *expected,
                   const char *found, const char *hint)
{
    return bt_diag_add(d, (struct bt_message){BT_ERROR, at, "file", expected, found, hint});
}

static bool too_large(struct bt_diag *d, const char *shown_as)
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

bool bt_bytes_read(struct bt_arena *a, struct bt_diag *d, const char *path,
                   const char *shown_as, const char **out_bytes, size_t *out_n)
{
    FILE *f = fopen(path, "rb");
    if (!f)
        return unreadable(d, shown_as, errno);
    size_t n = 0, capacity = 0;
    char *bytes = NULL;
    bool ended = false, large = false;
    int error = 0;
    while (!ended && !large && !error) {
        bytes = bt_arena_grow(a, bytes, &capacity, n + CHUNK, 1);
        errno = 0;
        const size_t got = fread(bytes + n, 1, CHUNK, f);
        if (got < CHUNK && ferror(f))
            error = errno ? errno : EIO;
        n += got;
        ended = feof(f) != 0;
        large = n > BT_CSV_MOST_BYTES;
    }
    if (fclose(f) != 0 && !error)
        error = errno;
    if (error)
        return unreadable(d, shown_as, error);
    if (large)
        return too_large(d, shown_as);
    *out_bytes = bytes;
    *out_n = n;
    return true;
}

static bool follows(const char *s, size_t i)
{
    return ((unsigned char)s[i] & 0xC0U) == 0x80U;
}

size_t bt_utf8_length(const char *s, size_t n)
{
    const unsigned char c = (unsigned char)s[0];
    if (c < 0x80)
        return 1;
    const size_t length = c >= 0xC2 && c < 0xE0   ? 2
                          : c >= 0xE0 && c < 0xF0 ? 3
                          : c >= 0xF0 && c < 0xF5 ? 4
                                                  : 0;
    if (length == 0 || length > n)
        return 0;
    for (size_t i = 1; i < length; i++)
        if (!follows(s, i))
            return 0;
    const unsigned char second = (unsigned char)s[1];
    const bool overlong = (c == 0xE0 && second < 0xA0) || (c == 0xF0 && second < 0x90);
    const bool surrogate = c == 0xED && second >= 0xA0;
    const bool beyond = c == 0xF4 && second >= 0x90;
    return overlong || surrogate || beyond ? 0 : length;
}

/* The first byte that is not text, with its line and column; n when there is none. */
static size_t first_bad(const char *s, size_t n, struct bt_pos *at)
{
    size_t i = 0;
    while (i < n) {
        const size_t length = s[i] == '\0' ? 0 : bt_utf8_length(s + i, n - i);
        if (length == 0)
            return i;
        if (s[i] == '\n' || (s[i] == '\r' && (i + 1 == n || s[i + 1] != '\n'))) {
            at->line++;
            at->column = 1;
        } else {
            at->column++;
        }
        i += length;
    }
    return n;
}

bool bt_bytes_are_text(struct bt_diag *d, const char *shown_as, const char **bytes,
                       size_t *n)
{
    static const char save[] = "save the file again as CSV UTF-8";
    const char *s = *bytes;
    struct bt_pos at = {.file = shown_as};
    if (*n > BT_CSV_MOST_BYTES)
        return too_large(d, shown_as);
    if (*n >= 2 && (memcmp(s, "\xFF\xFE", 2) == 0 || memcmp(s, "\xFE\xFF", 2) == 0))
        return refuse(d, at, "text in UTF-8", "UTF-16 (\"Unicode text\")", save);
    if (*n >= 3 && memcmp(s, "\xEF\xBB\xBF", 3) == 0) {
        s += 3;
        *n -= 3;
        *bytes = s;
    }
    at.line = at.column = 1;
    const size_t bad = first_bad(s, *n, &at);
    if (bad == *n)
        return true;
    if (s[bad] == '\0')
        return refuse(d, at, "text in UTF-8", "a NUL byte",
                      "this is not text, or UTF-16 text; save the file again as CSV UTF-8");
    char found[] = "the byte 0x00";
    static const char digit[] = "0123456789ABCDEF";
    found[sizeof found - 3] = digit[(unsigned char)s[bad] >> 4];
    found[sizeof found - 2] = digit[(unsigned char)s[bad] & 15U];
    return refuse(d, at, "text in UTF-8", found,
                  "the file is in an older encoding such as Windows-1252; save it again as "
                  "CSV UTF-8");
}
