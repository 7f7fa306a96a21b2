#include "input/decode.h"

#include <errno.h>
#include <iconv.h>
#include <stdint.h>
#include <string.h>

#include "input/csv_bytes.h"

#define LOOKED_AT ((size_t)512) /* bytes by which UTF-16 without a mark is known */
#define PER_UNIT  3             /* most bytes of UTF-8 that a byte or half turns into */

static const char save[] = "save the file again as CSV UTF-8";

static bool refuse(struct bt_diag *d, struct bt_pos at, const char *found, const char *hint)
{
    return bt_diag_add(
        d, (struct bt_message){BT_ERROR, at, "file", "text in UTF-8", found, hint});
}

static bool follows(const char *s, size_t i)
{
    return ((unsigned char)s[i] & 0xC0U) == 0x80U;
}

/* Bytes that a character beginning with `c` has; 0 for none. */
static size_t announced(unsigned char c)
{
    return c < 0x80                ? 1
           : c >= 0xC2 && c < 0xE0 ? 2
           : c >= 0xE0 && c < 0xF0 ? 3
           : c >= 0xF0 && c < 0xF5 ? 4
                                   : 0;
}

size_t bt_utf8_length(const char *s, size_t n)
{
    const unsigned char c = (unsigned char)s[0];
    const size_t length = announced(c);
    if (length == 0 || length > n)
        return 0;
    for (size_t i = 1; i < length; i++)
        if (!follows(s, i))
            return 0;
    if (length == 1)
        return 1;
    const unsigned char second = (unsigned char)s[1];
    const bool overlong = (c == 0xE0 && second < 0xA0) || (c == 0xF0 && second < 0x90);
    const bool surrogate = c == 0xED && second >= 0xA0;
    const bool beyond = c == 0xF4 && second >= 0x90;
    return overlong || surrogate || beyond ? 0 : length;
}

/* Eight bytes from 0x01 to 0x7F. */
static bool all_ascii(const char *s)
{
    static const uint64_t low = 0x0101010101010101U, high = 0x8080808080808080U;
    uint64_t v;
    memcpy(&v, s, sizeof v);
    return ((v | ((v - low) & ~v)) & high) == 0;
}

/* Where the first byte stands that is no UTF-8 text; n when there is none. */
static size_t first_bad(const char *s, size_t n)
{
    size_t i = 0;
    while (i < n) {
        if (n - i >= 8 && all_ascii(s + i)) {
            i += 8;
            continue;
        }
        const size_t length = s[i] == '\0' ? 0 : bt_utf8_length(s + i, n - i);
        if (length == 0)
            return i;
        i += length;
    }
    return n;
}

/* Line and column of the byte at `end` of UTF-8 text. */
static struct bt_pos place_of(const char *shown_as, const char *s, size_t end)
{
    struct bt_pos at = {.file = shown_as, .line = 1, .column = 1};
    for (size_t i = 0; i < end; i++) {
        if (s[i] == '\n' || (s[i] == '\r' && (i + 1 == end || s[i + 1] != '\n'))) {
            at.line++;
            at.column = 1;
        } else if (!follows(s, i)) {
            at.column++;
        }
    }
    return at;
}

static bool has_wide(const char *s, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if ((unsigned char)s[i] >= 0x80)
            return true;
    return false;
}

/* The name of the byte, as "the byte 0xBD". */
static const char *byte_named(struct bt_arena *a, char c)
{
    return bt_arena_format(a, "the byte 0x%02X", (unsigned)(unsigned char)c);
}

/* --- by iconv --- */

struct conversion {
    const char *from; /* as iconv calls it */
    size_t unit;      /* bytes */
    const char *fault;
};

/* Converts the whole. False with a message at the character that could not be. */
static bool convert(struct bt_arena *a, struct bt_diag *d, const char *shown_as,
                    const struct conversion *c, const char **bytes, size_t *n)
{
    const iconv_t cd = iconv_open("UTF-8", c->from);
    if (cd == (iconv_t)-1) /* NOLINT(performance-no-int-to-ptr): iconv says it so */
        return refuse(d, (struct bt_pos){.file = shown_as}, c->from, save);
    /* iconv takes its input as char *; it does not write to it */
    char *in = bt_arena_alloc(a, *n + 1);
    memcpy(in, *bytes, *n);
    const size_t room = PER_UNIT * (*n / c->unit + 1);
    char *out = bt_arena_alloc(a, room + 1);
    char *to = out;
    size_t left = *n, free_bytes = room;
    const bool ok = iconv(cd, &in, &left, &to, &free_bytes) != (size_t)-1;
    const bool cut_off = !ok && errno == EINVAL;
    (void)iconv_close(cd);
    const size_t made = room - free_bytes;
    out[made] = '\0';
    if (!ok)
        return refuse(d, place_of(shown_as, out, made),
                      cut_off        ? "a character cut off at the end"
                      : c->unit == 1 ? byte_named(a, (*bytes)[*n - left])
                                     : c->fault,
                      save);
    *bytes = out;
    *n = made;
    return true;
}

/* --- UTF-16 --- */

/* Which half of each pair is mostly nothing, as in text of the western world. */
static bool mostly_nul(const char *s, size_t n, size_t first)
{
    size_t nuls = 0, seen = 0;
    for (size_t i = first; i < n && i < LOOKED_AT; i += 2, seen++)
        nuls += s[i] == '\0';
    return seen >= 2 && nuls > seen / 2;
}

/* "UTF-16LE", "UTF-16BE" or NULL; *mark gets the bytes of its mark. */
static const char *utf16(const char *s, size_t n, size_t *mark)
{
    *mark = 2;
    if (n >= 2 && memcmp(s, "\xFF\xFE", 2) == 0)
        return "UTF-16LE";
    if (n >= 2 && memcmp(s, "\xFE\xFF", 2) == 0)
        return "UTF-16BE";
    *mark = 0;
    if (n >= 4 && s[0] && mostly_nul(s, n, 1))
        return "UTF-16LE";
    return n >= 4 && s[1] && mostly_nul(s, n, 0) ? "UTF-16BE" : NULL;
}

/* `name` as utf16() gave it; the mark is taken off already. */
static bool from_utf16(struct bt_arena *a, struct bt_diag *d, const char *shown_as,
                       const char *name, const char **bytes, size_t *n)
{
    const struct conversion c = {name, 2, "half a character of UTF-16"};
    return convert(a, d, shown_as, &c, bytes, n);
}

static void say_utf16(struct bt_diag *d, const char *shown_as, bool marked)
{
    const char *how = marked ? "read as UTF-16 (\"Unicode text\")"
                             : "read as UTF-16 (\"Unicode text\"), though it has no mark";
    (void)bt_diag_add(
        d, (struct bt_message){
               .weight = BT_NOTE, .at = {.file = shown_as, .line = 1},
                    .field = how
    });
}

/* --- Windows-1252 --- */

static bool from_1252(struct bt_arena *a, struct bt_diag *d, const char *shown_as,
                      size_t bad, const char **bytes, size_t *n)
{
    static const struct conversion c = {"WINDOWS-1252", 1, NULL};
    const char *s = *bytes;
    const bool cut_off = announced((unsigned char)s[bad]) > *n - bad;
    /* A file whose other characters are UTF-8 is not in the older encoding throughout. */
    if (has_wide(s, bad) || cut_off)
        return refuse(d, place_of(shown_as, s, bad),
                      cut_off ? "a character cut off at the end" : byte_named(a, s[bad]),
                      cut_off ? "the file is not whole"
                              : "the file has characters in UTF-8 and in another encoding; "
                                "look at this one and save the file again as CSV UTF-8");
    if (!convert(a, d, shown_as, &c, bytes, n))
        return false;
    s = *bytes + bad; /* all before it is ASCII, and so stands where it stood */
    return bt_diag_add(
        d, (struct bt_message){
               .weight = BT_NOTE,
               .at = place_of(shown_as, *bytes, bad),
               .field = bt_arena_format(
                   a, "read as Windows-1252 (\"ANSI\"); this is its first character: %.*s",
                   (int)bt_utf8_length(s, *n - bad), s)});
}

static bool has_nul(const char *s, size_t n)
{
    return memchr(s, '\0', n) != NULL;
}

bool bt_decode(struct bt_arena *a, struct bt_diag *d, const char *shown_as,
               const char **bytes, size_t *n)
{
    static const char not_text[] = "this is not text; save the table again as CSV UTF-8";
    size_t mark = 0;
    if (*n > BT_CSV_MOST_BYTES)
        return bt_bytes_too_large(d, shown_as);
    const char *wide = utf16(*bytes, *n, &mark);
    *bytes += mark;
    *n -= mark;
    if (wide) {
        if (!from_utf16(a, d, shown_as, wide, bytes, n))
            return false;
        say_utf16(d, shown_as, mark > 0);
    }
    if (*n >= 3 && memcmp(*bytes, "\xEF\xBB\xBF", 3) == 0) {
        *bytes += 3;
        *n -= 3;
    }
    const char *s = *bytes;
    const size_t bad = first_bad(s, *n);
    if (bad == *n)
        return true;
    if (has_nul(s, *n)) {
        const size_t nul = (size_t)((const char *)memchr(s, '\0', *n) - s);
        return refuse(d, place_of(shown_as, s, nul), "a NUL byte", not_text);
    }
    return from_1252(a, d, shown_as, bad, bytes, n);
}
