#include "input/date_text.h"

#include <string.h>

#include "base/text.h"
#include "input/cell_read.h"

static size_t run_of(const char *s, bool (*is)(char))
{
    size_t n = 0;
    while (is(s[n]))
        n++;
    return n;
}

/* `12th`, `1st`: letters behind a number that are no word of their own. */
static size_t ordinal_letters(const char *s)
{
    static const char *const ends[] = {"st", "nd", "rd", "th"};
    for (size_t i = 0; i < 4; i++)
        if (bt_text_starts(s, ends[i]) && !bt_is_letter(s[2]))
            return 2;
    return 0;
}

/* ` 10:30`, `T00:00:00`: a time of day, up to the end. */
static bool is_time(const char *s)
{
    if (*s != ' ' && *s != 'T')
        return false;
    const size_t n = run_of(s + 1, bt_is_digit);
    return n >= 1 && n <= 2 && s[1 + n] == ':' &&
           s[strspn(s + 1, "0123456789:.Z") + 1] == '\0';
}

size_t bt_date_tokens(const char *plain, struct bt_date_token token[BT_DATE_TOKENS])
{
    size_t n = 0;
    char joint = 0;
    for (const char *s = plain; *s && !is_time(s);) {
        const size_t digits = run_of(s, bt_is_digit), letters = run_of(s, bt_is_letter);
        if ((digits == 0 && letters == 0) || digits > 8 || n == BT_DATE_TOKENS)
            return 0;
        struct bt_date_token *t = &token[n++];
        *t = (struct bt_date_token){letters ? s : NULL, digits + letters, 0, joint};
        for (size_t i = 0; i < digits; i++)
            t->number = 10 * t->number + (s[i] - '0');
        s += digits + letters;
        s += digits ? ordinal_letters(s) : 0;
        joint = *s && !is_time(s) ? *s : '\0';
        if (joint && !strchr("-/., ", joint))
            return 0;
        s += joint != '\0';
        if (joint == '.' || joint == ',')
            while (*s == ' ')
                s++;
    }
    return n;
}

int bt_month(const char *text, size_t n)
{
    static const char *const names[] = {"january",   "february", "march",    "april",
                                        "may",       "june",     "july",     "august",
                                        "september", "october",  "november", "december"};
    char word[12];
    if (n < 3 || n >= sizeof word)
        return 0;
    memcpy(word, text, n);
    word[n] = '\0';
    for (int i = 0; i < 12; i++)
        if (bt_text_starts(names[i], word))
            return i + 1;
    return 0;
}

int bt_date_month(const struct bt_date_token *t)
{
    return t->word ? bt_month(t->word, t->n) : 0;
}

static bool is_day(const struct bt_date_token *t)
{
    return !t->word && t->n <= 2 && t->number >= 1 && t->number <= 31;
}

bool bt_date_is_year(const struct bt_date_token *t)
{
    return !t->word && t->n == 4 && t->number >= 1900 && t->number <= 2100;
}

/* What was typed before a spreadsheet saw a month and a day in it: a fraction as it stands,
 * or a range, which runs upwards. */
static const char *was(struct bt_arena *a, int month, int day)
{
    return bt_arena_format(a, "%d/%d or %d-%d", month, day, month < day ? month : day,
                           month < day ? day : month);
}

const char *bt_cell_was(struct bt_arena *a, const char *plain)
{
    struct bt_date_token t[BT_DATE_TOKENS];
    const size_t n = bt_date_tokens(plain, t);
    if (n < 2 || n > 3 || (n == 3 && t[2].word))
        return NULL;
    if (is_day(&t[0]) && bt_date_month(&t[1]))
        return was(a, bt_date_month(&t[1]), t[0].number);
    if (bt_date_month(&t[0]) && is_day(&t[1]))
        return was(a, bt_date_month(&t[0]), t[1].number);
    if (n == 2)
        return bt_date_month(&t[0]) && bt_date_is_year(&t[1])
                   ? bt_arena_format(a, "%d-%d", bt_date_month(&t[0]), t[1].number % 100)
                   : NULL;
    if (bt_date_is_year(&t[0]) && is_day(&t[1]) && is_day(&t[2]) &&
        t[1].joint == t[2].joint)
        return was(a, t[1].number, t[2].number);
    /* `2-3-4` may be three figures; with strokes, or a year of four digits, it is a date */
    if (is_day(&t[0]) && is_day(&t[1]) && t[1].joint == t[2].joint &&
        (t[2].n == 4 || (t[2].n == 2 && t[2].joint == '/')))
        return was(a, t[0].number, t[1].number);
    return NULL;
}

bool bt_cell_is_no_date(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                        const char *expected, const char *plain)
{
    const char *likely = bt_cell_was(r->arena, plain);
    if (!likely)
        return true;
    return bt_cell_refuse(
        r, cell, column, expected,
        bt_arena_format(r->arena,
                        "a spreadsheet seems to have made a date of this; it was "
                        "probably %s: set the cell to text and type it again",
                        likely));
}
