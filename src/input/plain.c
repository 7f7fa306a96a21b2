#include "input/number.h"

#include <string.h>

#include "input/decode.h"

/* What characters beyond ASCII stand for. `after`: 'a' only after a letter, 0 anywhere. */
static const struct plain {
    const char *utf8, *plain;
    char after;
} table[] = {
    {"\xC2\xA0",     " ",     0  },
    {"\xE2\x80\x82", " ",     0  },
    {"\xE2\x80\x83", " ",     0  },
    {"\xE2\x80\x87", " ",     0  },
    {"\xE2\x80\x89", " ",     0  },
    {"\xE2\x80\x8A", " ",     0  },
    {"\xE2\x80\xAF", " ",     0  },
    {"\xE2\x80\x90", "-",     0  },
    {"\xE2\x80\x91", "-",     0  },
    {"\xE2\x80\x92", "-",     0  },
    {"\xE2\x80\x93", "-",     0  },
    {"\xE2\x80\x94", "-",     0  },
    {"\xE2\x88\x92", "-",     0  },
    {"\xE2\x80\x98", "'",     0  },
    {"\xE2\x80\x99", "'",     0  },
    {"\xE2\x80\xB2", "'",     0  },
    {"\xE2\x80\x9C", "\"",    0  },
    {"\xE2\x80\x9D", "\"",    0  },
    {"\xE2\x80\xB3", "\"",    0  },
    {"\xE2\x81\x84", "/",     0  },
    {"\xE2\x88\x95", "/",     0  },
    {"\xE2\x80\xA6", "..",    0  },
    {"\xC2\xB1",     "+-",    0  },
    {"\xC3\x97",     " x ",   0  },
    {"\xC2\xB0",     "deg",   0  },
    {"\xC2\xB5",     "u",     0  },
    {"\xCE\xBC",     "u",     0  },
    {"\xE2\x89\x88", "~",     0  },
    {"\xE2\x89\xA4", "<=",    0  },
    {"\xE2\x89\xA5", ">=",    0  },
    {"\xEF\xBB\xBF", "",      0  },
    {"\xEF\xBC\x90", "0",     0  },
    {"\xEF\xBC\x91", "1",     0  },
    {"\xEF\xBC\x92", "2",     0  },
    {"\xEF\xBC\x93", "3",     0  },
    {"\xEF\xBC\x94", "4",     0  },
    {"\xEF\xBC\x95", "5",     0  },
    {"\xEF\xBC\x96", "6",     0  },
    {"\xEF\xBC\x97", "7",     0  },
    {"\xEF\xBC\x98", "8",     0  },
    {"\xEF\xBC\x99", "9",     0  },
    {"\xC2\xBC",     " 1/4",  0  },
    {"\xC2\xBD",     " 1/2",  0  },
    {"\xC2\xBE",     " 3/4",  0  },
    {"\xE2\x85\x93", " 1/3",  0  },
    {"\xE2\x85\x94", " 2/3",  0  },
    {"\xE2\x85\x90", " 1/7",  0  },
    {"\xE2\x85\x91", " 1/9",  0  },
    {"\xE2\x85\x92", " 1/10", 0  },
    {"\xE2\x85\x95", " 1/5",  0  },
    {"\xE2\x85\x96", " 2/5",  0  },
    {"\xE2\x85\x97", " 3/5",  0  },
    {"\xE2\x85\x98", " 4/5",  0  },
    {"\xE2\x85\x99", " 1/6",  0  },
    {"\xE2\x85\x9A", " 5/6",  0  },
    {"\xE2\x85\x9B", " 1/8",  0  },
    {"\xE2\x85\x9C", " 3/8",  0  },
    {"\xE2\x85\x9D", " 5/8",  0  },
    {"\xE2\x85\x9E", " 7/8",  0  },
    {"\xC2\xB9",     "1",     'a'},
    {"\xC2\xB2",     "2",     'a'},
    {"\xC2\xB3",     "3",     'a'},
    {"\xE2\x82\x82", "2",     'a'},
    {"\xE2\x82\x83", "3",     'a'},
    {"\xE2\x82\x84", "4",     'a'},
    {"\xE2\x82\x85", "5",     'a'},
};

bool bt_is_digit(char c)
{
    return c >= '0' && c <= '9';
}

bool bt_is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

static const char *plain_of(const char *s, size_t n, char last)
{
    for (size_t i = 0; i < sizeof table / sizeof *table; i++)
        if (strlen(table[i].utf8) == n && memcmp(s, table[i].utf8, n) == 0)
            return table[i].after == 'a' && !bt_is_letter(last) ? NULL : table[i].plain;
    return NULL;
}

/* Appends to `out`, runs of blanks as one and none at the beginning. */
static size_t put(char *out, size_t n, const char *s, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        const bool blank = s[i] == ' ' || (s[i] >= '\t' && s[i] <= '\r');
        if (!blank)
            out[n++] = s[i];
        else if (n > 0 && out[n - 1] != ' ')
            out[n++] = ' ';
    }
    return n;
}

/* `6''`, two single marks behind a figure, are the inch mark. */
static size_t join_inch_marks(char *s, size_t n)
{
    size_t m = 0;
    for (size_t i = 0; i < n; i++) {
        const bool inches =
            i > 0 && i + 1 < n && s[i] == '\'' && s[i + 1] == '\'' && bt_is_digit(s[i - 1]);
        s[m++] = inches ? '"' : s[i];
        i += inches;
    }
    return m;
}

char *bt_plain(struct bt_arena *a, const char *text)
{
    size_t left = strlen(text);
    char *out = bt_arena_alloc(a, 2 * left + 1); /* nothing grows to more than twice */
    size_t n = 0;
    while (left > 0) {
        size_t length = bt_utf8_length(text, left);
        length = length ? length : 1;
        const char *plain =
            length > 1 ? plain_of(text, length, n ? out[n - 1] : ' ') : NULL;
        n = plain ? put(out, n, plain, strlen(plain)) : put(out, n, text, length);
        text += length;
        left -= length;
    }
    while (n > 0 && out[n - 1] == ' ')
        n--;
    out[join_inch_marks(out, n)] = '\0';
    return out;
}
