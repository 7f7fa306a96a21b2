/* Dates as people write them, each a span of days: a day, a month, a season, a year. */
#include <string.h>

#include "base/text.h"
#include "input/cell_read.h"
#include "input/date_text.h"
#include "input/quantity.h"

static const char expected_date[] =
    "a date such as 2026-06-12, May 2024, spring 2022 or 2021";
static const char whole_year[] = "write the year with four digits";

struct span {
    int first, last; /* days, both of it */
};

/* A date being read; `hint` says what was wrong. */
struct dating {
    struct bt_reader *r;
    const struct bt_cell *cell;
    const char *column;
    const char *hint;
    bool silent; /* the message was given */
};

static bool wrong(struct dating *d, const char *hint)
{
    d->hint = hint;
    return false;
}

static bool is_word(const struct bt_date_token *t, const char *word)
{
    return t->word && t->n == strlen(word) && bt_text_starts(t->word, word);
}

/* The months from..to of years that may differ. */
static struct span months(int year, int month, int last_year, int last_month)
{
    const int after_year = last_month == 12 ? last_year + 1 : last_year;
    const int after_month = last_month == 12 ? 1 : last_month + 1;
    return (struct span){bt_day(year, month, 1), bt_day(after_year, after_month, 1) - 1};
}

static bool one_day(struct dating *d, int year, int month, int day, struct span *out)
{
    if (!bt_civil_is_real(year, month, day))
        return wrong(d, "there is no such day");
    out->first = out->last = bt_day(year, month, day);
    return true;
}

/* Seasons by whole months, as in the north. A winter bears the year in which it ends. */
static bool season(const struct bt_date_token *t, int year, struct span *out)
{
    if (is_word(t, "spring"))
        *out = months(year, 3, year, 5);
    else if (is_word(t, "summer"))
        *out = months(year, 6, year, 8);
    else if (is_word(t, "autumn") || is_word(t, "fall"))
        *out = months(year, 9, year, 11);
    else if (is_word(t, "winter"))
        *out = months(year - 1, 12, year, 2);
    else
        return false;
    return true;
}

/* The day as typed, in the one way or the two in which it can be read. */
static const char *ways_to_write(struct bt_arena *a, int first, int second, int year)
{
    const char *with_month_first = bt_arena_format(a, "%d-%02d-%02d", year, first, second);
    const char *with_day_first = bt_arena_format(a, "%d-%02d-%02d", year, second, first);
    if (!bt_civil_is_real(year, first, second))
        return with_day_first;
    if (!bt_civil_is_real(year, second, first))
        return with_month_first;
    return bt_arena_format(a, "%s or %s", with_month_first, with_day_first);
}

/* A file keeps to one order; both places are named when it does not. */
static bool in_one_order(struct dating *d, int a, int b, int year, bool month_first)
{
    struct bt_reader *r = d->r;
    const int other = month_first ? r->saw_day_first : r->saw_month_first;
    int *same = month_first ? &r->saw_month_first : &r->saw_day_first;
    if (!*same && !other)
        *same = (int)d->cell->at.line;
    if (!other)
        return true;
    d->silent = true;
    return bt_diag_add(
        r->diag,
        (struct bt_message){
            BT_ERROR, d->cell->at, d->column, "dates in one order through the file",
            d->cell->text,
            bt_arena_format(r->arena, "line %d has the %s first, line %u the %s; write %s",
                            other, month_first ? "day" : "month", d->cell->at.line,
                            month_first ? "month" : "day",
                            ways_to_write(r->arena, a, b, year))});
}

/* A day and a month that can be told apart by no rule, as the garden has no order. */
static bool without_order(struct dating *d, int a, int b, int year)
{
    struct bt_reader *r = d->r;
    d->silent = true;
    if (r->order_excused)
        return false;
    return bt_cell_refuse(
        r, d->cell, d->column,
        bt_arena_format(r->arena, "a date that can be read in one way: %s",
                        ways_to_write(r->arena, a, b, year)),
        "or set units in garden.csv: us reads the month first, metric the day");
}

/* Which of two numbers is the month. */
static bool ordered(struct dating *d, int a, int b, int year, struct span *out)
{
    struct bt_reader *r = d->r;
    const bool told = a > 12 || b > 12;
    const bool month_first = told ? a <= 12 : r->month_first;
    if (!one_day(d, year, month_first ? a : b, month_first ? b : a, out))
        return false;
    if (a == b)
        return true;
    if (!told && r->order_unknown)
        return without_order(d, a, b, year);
    if (!in_one_order(d, a, b, year, month_first))
        return false;
    if (!told && !r->by_order.text) {
        r->by_order = *d->cell;
        r->by_order_day = out->first;
    }
    return true;
}

/* `2021`, `20250410`, or the number that a spreadsheet keeps for a day. */
static bool one_number(struct dating *d, const struct bt_date_token *t, struct span *out)
{
    if (bt_date_is_year(t)) {
        *out = months(t->number, 1, t->number, 12);
        return true;
    }
    if (t->n == 8 && t->number >= 19000101 && t->number <= 21001231)
        return one_day(d, t->number / 10000, t->number / 100 % 100, t->number % 100, out);
    if (t->n == 5 && t->number >= 20000 && t->number <= 73415) {
        /* spreadsheets count days from 1899-12-30; the last one is in 2100 */
        out->first = out->last = bt_day(1899, 12, 30) + t->number;
        return bt_diag_add(
            d->r->diag,
            (struct bt_message){
                BT_WARNING, d->cell->at, d->column, NULL, d->cell->text,
                bt_arena_format(d->r->arena, "a spreadsheet's number for a day, read as %s",
                                bt_date_iso(d->r->arena, out->first))});
    }
    if (is_word(t, "today") || is_word(t, "yesterday") || is_word(t, "tomorrow") ||
        is_word(t, "now"))
        return wrong(d, "write the day itself: which day such a word means changes daily");
    return wrong(d, t->n == 2 ? whole_year : NULL);
}

/* `5/20`, `20.5.`: a day and a month, in either order. */
static bool is_day_and_month(const struct bt_date_token *t)
{
    return !t[0].word && !t[1].word && t[0].n <= 2 && t[1].n <= 2 && t[0].number >= 1 &&
           t[1].number >= 1 && t[0].number <= 31 && t[1].number <= 31 &&
           (t[0].number <= 12 || t[1].number <= 12);
}

static bool two_parts(struct dating *d, const struct bt_date_token *t, struct span *out)
{
    if (bt_date_is_year(&t[1]) && season(&t[0], t[1].number, out))
        return true;
    const bool year_first = bt_date_is_year(&t[0]);
    const struct bt_date_token *year = year_first ? &t[0] : &t[1],
                               *other = year_first ? &t[1] : &t[0];
    const int month = other->word     ? bt_date_month(other)
                      : other->n <= 2 ? other->number
                                      : 0;
    if (bt_date_is_year(year) && month >= 1 && month <= 12) {
        *out = months(year->number, month, year->number, month);
        return true;
    }
    const bool third =
        is_word(&t[0], "early") || is_word(&t[0], "mid") || is_word(&t[0], "late");
    if ((bt_date_month(&t[0]) && !t[1].word) ||
        (bt_date_month(&t[1]) && (!t[0].word || third)) || is_day_and_month(t))
        return wrong(d, "the year is missing");
    return wrong(d, NULL);
}

/* `winter 2021/22`, `mid April 2025`: a part of a span. */
static bool worded(struct dating *d, const struct bt_date_token *t, struct span *out)
{
    if (is_word(&t[0], "winter") && bt_date_is_year(&t[1]) && !t[2].word &&
        t[2].number % 100 == (t[1].number + 1) % 100)
        return season(&t[0], t[1].number + 1, out);
    const int third = is_word(&t[0], "early") ? 0 : is_word(&t[0], "mid") ? 1 : 2;
    if ((third == 2 && !is_word(&t[0], "late")) || !two_parts(d, t + 1, out))
        return wrong(d, d->hint);
    const int days = out->last - out->first + 1, first = out->first;
    out->first = first + days * third / 3;
    out->last = first + days * (third + 1) / 3 - 1;
    return true;
}

static bool three_parts(struct dating *d, const struct bt_date_token *t, struct span *out)
{
    if (bt_date_is_year(&t[0]) && !t[2].word && (bt_date_month(&t[1]) || !t[1].word))
        return one_day(d, t[0].number, t[1].word ? bt_date_month(&t[1]) : t[1].number,
                       t[2].number, out);
    const bool has_day = !t[0].word || !t[1].word;
    const int month = bt_date_month(&t[0]) ? bt_date_month(&t[0]) : bt_date_month(&t[1]);
    if ((t[0].word && !bt_date_month(&t[0])) || (t[0].word && t[1].word))
        return worded(d, t, out);
    if (has_day && !t[2].word && t[2].n == 2)
        return wrong(d, whole_year);
    if (!bt_date_is_year(&t[2]) || (t[1].word && !month))
        return wrong(d, NULL);
    if (month)
        return one_day(d, t[2].number, month, t[0].word ? t[1].number : t[0].number, out);
    if (t[1].joint != t[2].joint || t[1].joint == ' ')
        return wrong(d, NULL);
    return ordered(d, t[0].number, t[1].number, t[2].number, out);
}

static bool read_span(struct dating *d, const char *plain, struct span *out)
{
    struct bt_date_token t[BT_DATE_TOKENS];
    switch (bt_date_tokens(plain, t)) {
    case 1: return one_number(d, &t[0], out);
    case 2: return two_parts(d, t, out);
    case 3: return three_parts(d, t, out);
    default: return wrong(d, NULL);
    }
}

static bool read_plain(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                       const char *plain, struct bt_date *out)
{
    struct dating d = {.r = r, .cell = cell, .column = column};
    struct span span = {0, 0};
    if (!bt_cell_is_typed(r, cell, column, expected_date))
        return false;
    if (!read_span(&d, plain, &span)) {
        r->date_missed = true;
        return !d.silent && bt_cell_refuse(r, cell, column, expected_date, d.hint);
    }
    const int days = span.last - span.first + 1;
    *out = (struct bt_date){true, span.first + days / 2, days > 1 ? days : 0};
    if (days == 1) {
        const struct bt_cell part = {plain, cell->at};
        bt_cell_fix(r, strcmp(plain, bt_plain(r->arena, cell->text)) == 0 ? cell : &part,
                    bt_date_iso(r->arena, span.first), "a date written year-month-day");
    }
    return true;
}

bool bt_read_date(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                  struct bt_date *out)
{
    enum bt_presence presence;
    const char *plain = bt_plain(r->arena, cell->text);
    *out = (struct bt_date){false, 0, 0};
    return bt_cell_presence(r, cell, column, plain, &presence) ||
           read_plain(r, cell, column, plain, out);
}

/* --- several --- */

/* A year of four digits at *s, and the blank after it. */
static bool take_year(const char **s, int *out)
{
    if (strspn(*s, "0123456789") != 4)
        return false;
    *out = 0;
    for (size_t i = 0; i < 4; i++)
        *out = 10 * *out + (*(*s)++ - '0');
    *s += **s == ' ';
    return true;
}

/* `2019..2024`, `2019-2024`, `2019 to 2024`. */
static bool are_years(const char *s, int year[2])
{
    if (!take_year(&s, &year[0]))
        return false;
    const bool two = strncmp(s, "..", 2) == 0 || bt_text_starts(s, "to ");
    if (!two && *s != '-')
        return false;
    s += two ? 2 : 1;
    s += *s == ' ';
    return take_year(&s, &year[1]) && *s == '\0';
}

struct dates {
    size_t n, capacity;
    struct bt_date *date;
};

static void add(struct bt_reader *r, struct dates *all, struct bt_date date)
{
    all->date = bt_arena_grow(r->arena, all->date, &all->capacity, all->n, sizeof date);
    all->date[all->n++] = date;
}

static bool add_years(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                      const int year[2], struct dates *all)
{
    if (year[0] > year[1] || year[0] < 1900 || year[1] > 2100)
        return bt_cell_refuse(r, cell, column, "years such as 2019..2024", NULL);
    for (int y = year[0]; y <= year[1]; y++) {
        const struct span span = months(y, 1, y, 12);
        const int days = span.last - span.first + 1;
        add(r, all, (struct bt_date){true, span.first + days / 2, days});
    }
    return true;
}

bool bt_read_dates(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                   size_t *out_n, struct bt_date **out)
{
    enum bt_presence presence;
    struct dates all = {0};
    char **part = NULL;
    const char *plain = bt_plain(r->arena, cell->text);
    *out_n = 0;
    *out = NULL;
    if (bt_cell_presence(r, cell, column, plain, &presence))
        return true;
    const size_t n = bt_text_split(r->arena, plain, ';', &part);
    for (size_t i = 0; i < n; i++) {
        int year[2];
        struct bt_date date;
        if (are_years(part[i], year)) {
            if (!add_years(r, cell, column, year, &all))
                return false;
        } else if (read_plain(r, cell, column, part[i], &date)) {
            add(r, &all, date);
        } else {
            return false;
        }
    }
    *out_n = all.n;
    *out = all.date;
    return true;
}
