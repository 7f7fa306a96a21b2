#include "base/text.h"

#include <string.h>

#define NEAREST 3

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static bool is_space(char c)
{
    return c == ' ' || (c >= '\t' && c <= '\r');
}

bool bt_text_is(const char *a, const char *b)
{
    while (*a && lower(*a) == lower(*b)) {
        a++;
        b++;
    }
    return lower(*a) == lower(*b);
}

bool bt_text_starts(const char *text, const char *beginning)
{
    while (*beginning && lower(*text) == lower(*beginning)) {
        text++;
        beginning++;
    }
    return *beginning == '\0';
}

bool bt_text_blank(const char *text)
{
    while (text && is_space(*text))
        text++;
    return !text || *text == '\0';
}

/* Bytes that stand between words at `t`: 0 for none, 2 for a no-break space in UTF-8. */
static size_t gap(const char *t)
{
    if (is_space(*t) || *t == '_' || *t == '-')
        return 1;
    return t[0] == '\xC2' && t[1] == '\xA0' ? 2 : 0;
}

/* Bytes of a mark of double quotes at `t`, straight or curly; 0 for none. */
static size_t quote_mark(const char *t)
{
    if (*t == '"')
        return 1;
    return t[0] == '\xE2' && t[1] == '\x80' && t[2] >= '\x9C' && t[2] <= '\x9E' ? 3 : 0;
}

/* Where the quotes around a whole text begin and end, or the text as it is. */
static const char *unquoted(const char *text, const char **end)
{
    const size_t n = strlen(text), first = quote_mark(text);
    const size_t last =
        n > 3 && quote_mark(text + n - 3) == 3 ? 3 : n > 1 && text[n - 1] == '"';
    *end = text + n;
    if (first == 0 || last == 0 || n <= first + last)
        return text;
    *end -= last;
    return text + first;
}

char *bt_text_key(struct bt_arena *a, const char *text)
{
    char *key = bt_arena_alloc(a, strlen(text) + 1);
    const char *end;
    size_t n = 0;
    bool pending = false;
    for (const char *t = unquoted(text, &end); t < end;) {
        const size_t skip = gap(t);
        if (skip) {
            pending = n > 0;
            t += skip;
            continue;
        }
        if (pending)
            key[n++] = ' ';
        pending = false;
        const bool apostrophe =
            strncmp(t, "\xE2\x80\x99", 3) == 0 || strncmp(t, "\xE2\x80\x98", 3) == 0;
        key[n++] = apostrophe ? '\'' : lower(*t);
        t += apostrophe ? 3 : 1;
    }
    key[n] = '\0';
    return key;
}

/* Insertions, deletions, changes and swaps of neighbours that turn `a` into `b`. `row`
 * holds three rows of strlen(b) + 1. */
static size_t distance(const char *a, const char *b, size_t *row)
{
    const size_t n = strlen(b) + 1;
    size_t *before = row, *last = row + n, *now = row + 2 * n;
    for (size_t j = 0; j < n; j++)
        last[j] = j;
    for (size_t i = 1; a[i - 1]; i++) {
        now[0] = i;
        for (size_t j = 1; j < n; j++) {
            size_t best = last[j - 1] + (a[i - 1] != b[j - 1]);
            best = last[j] + 1 < best ? last[j] + 1 : best;
            best = now[j - 1] + 1 < best ? now[j - 1] + 1 : best;
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] &&
                before[j - 2] + 1 < best)
                best = before[j - 2] + 1;
            now[j] = best;
        }
        size_t *const oldest = before;
        before = last;
        last = now;
        now = oldest;
    }
    return last[n - 1];
}

struct near {
    const char *name;
    size_t distance;
};

/* Equal, or one is the other with an s. */
static bool is_same_name(const char *a, const char *b)
{
    const size_t n = strlen(a), m = strlen(b), shorter = n < m ? n : m;
    const char *rest = n < m ? b + n : a + m;
    return strncmp(a, b, shorter) == 0 && (*rest == '\0' || strcmp(rest, "s") == 0);
}

/* Keeps the nearest, in order; of equals the earlier name. */
static size_t insert(struct near *best, size_t n, struct near new)
{
    for (size_t i = 0; i < n; i++)
        if (is_same_name(best[i].name, new.name)) {
            if (new.distance < best[i].distance)
                best[i] = new;
            return n;
        }
    size_t i = n < NEAREST ? n : NEAREST;
    while (i > 0 && best[i - 1].distance > new.distance) {
        if (i < NEAREST)
            best[i] = best[i - 1];
        i--;
    }
    if (i < NEAREST)
        best[i] = new;
    return n < NEAREST ? n + 1 : n;
}

char *bt_text_nearest(struct bt_arena *a, const char *text, size_t n,
                      const char *const *names)
{
    struct near best[NEAREST];
    size_t n_best = 0;
    const struct bt_mark mark = bt_arena_mark(a);
    const char *key = bt_text_key(a, text);
    for (size_t i = 0; i < n && *key; i++) {
        const struct bt_mark each = bt_arena_mark(a);
        const char *other = bt_text_key(a, names[i]);
        size_t *rows = bt_arena_alloc(a, 3 * (strlen(other) + 1) * sizeof *rows);
        const size_t d = distance(key, other, rows);
        if (*other && (d <= strlen(key) / 3 || bt_text_starts(key, other) ||
                       bt_text_starts(other, key)))
            n_best = insert(best, n_best, (struct near){names[i], d});
        bt_arena_release(a, each);
    }
    bt_arena_release(a, mark);
    char *list = NULL;
    for (size_t i = 0; i < n_best; i++)
        list = bt_arena_format(a, "%s%s\"%s\"", list ? list : "", list ? ", " : "",
                               best[i].name);
    return list;
}

char *bt_text_listed(struct bt_arena *a, const char *const *words)
{
    char *list = bt_arena_text(a, "");
    size_t last = 0;
    for (size_t i = 0; words[i]; i++)
        if (*words[i])
            last = i;
    for (size_t i = 0; words[i]; i++)
        if (*words[i])
            list = bt_arena_format(a, "%s%s%s", list,
                                   !*list     ? ""
                                   : i < last ? ", "
                                              : " or ",
                                   words[i]);
    return list;
}

size_t bt_text_split(struct bt_arena *a, const char *text, char separator,
                     char ***out_parts)
{
    char **part = NULL;
    size_t n = 0, capacity = 0;
    for (const char *t = text; *t;) {
        const char *end = strchr(t, separator);
        if (!end)
            end = t + strlen(t);
        const char *first = t, *last = end;
        while (first < last && is_space(*first))
            first++;
        while (last > first && is_space(last[-1]))
            last--;
        if (last > first) {
            part = bt_arena_grow(a, part, &capacity, n, sizeof *part);
            part[n++] = bt_arena_text_n(a, first, (size_t)(last - first));
        }
        t = *end ? end + 1 : end;
    }
    *out_parts = part;
    return n;
}

uint64_t bt_bytes_hash(const void *bytes, size_t n)
{
    const unsigned char *b = bytes;
    uint64_t h = UINT64_C(14695981039346656037); /* FNV-1a */
    for (size_t i = 0; i < n; i++)
        h = (h ^ b[i]) * UINT64_C(1099511628211);
    /* FNV's high bits lag behind; mix them as splitmix64 ends. */
    h = (h ^ (h >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    h = (h ^ (h >> 27)) * UINT64_C(0x94d049bb133111eb);
    return h ^ (h >> 31);
}

uint64_t bt_text_hash(const char *text)
{
    return bt_bytes_hash(text, strlen(text));
}
