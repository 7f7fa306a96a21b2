/* Numbers with the marks of other countries and programs, made plain: decimal commas,
 * thousands set apart by points, apostrophes and narrow blanks. */
#include <string.h>

#include "base/text.h"
#include "input/cell_read.h"

/* One cell on its way. */
struct marking {
    struct bt_reader *r;
    const struct bt_cell *cell;
    const char *column;
    char *out; /* what the cell says without the marks */
    size_t n;
    bool refused;
};

static size_t run_of_digits(const char *s)
{
    size_t n = 0;
    while (bt_is_digit(s[n]))
        n++;
    return n;
}

static void put(struct marking *m, const char *s, size_t n)
{
    memcpy(m->out + m->n, s, n);
    m->n += n;
}

static void say(struct marking *m, enum bt_weight weight, const char *what)
{
    (void)bt_diag_add(m->r->diag, (struct bt_message){weight, m->cell->at, m->column, NULL,
                                                      m->cell->text, what});
}

/* The bytes of a mark that sets thousands apart and is typed for nothing else: blanks that
 * do not break, apostrophes; 0 for none. A plain blank may stand between two numbers. */
static size_t mark_length(const char *s)
{
    static const char *const marks[] = {"\xC2\xA0",     "\xE2\x80\xAF", "\xE2\x80\x89",
                                        "\xE2\x80\x87", "\xE2\x80\x99", "'"};
    for (size_t i = 0; i < sizeof marks / sizeof *marks; i++)
        if (strncmp(s, marks[i], strlen(marks[i])) == 0)
            return strlen(marks[i]);
    return 0;
}

/* Bytes of a mark and three digits, and no more digits: not `4'006"`, which has inches. */
static size_t group_length(const char *s)
{
    const size_t mark = mark_length(s);
    const char *after = s + mark + 3;
    if (mark == 0 || run_of_digits(s + mark) != 3 || *after == '"' || *after == '/' ||
        strncmp(after, "\xE2\x80\xB3", 3) == 0 || strncmp(after, "\xE2\x80\x9D", 3) == 0)
        return 0;
    return mark + 3;
}

/* `1 500` with blanks that do not break. False when there is none. */
static bool take_groups(struct marking *m, const char **s)
{
    const char *from = *s;
    const size_t first = run_of_digits(from);
    if (first == 0 || first > 3 || from[0] == '0' || group_length(from + first) == 0)
        return false;
    const size_t began = m->n;
    put(m, from, first);
    from += first;
    for (size_t k = group_length(from); k; k = group_length(from)) {
        put(m, from + k - 3, 3);
        from += k;
    }
    /* with thousands set apart by such a mark, a comma can only be the decimal sign */
    if ((*from == ',' || *from == '.') && bt_is_digit(from[1])) {
        const size_t more = run_of_digits(from + 1);
        put(m, ".", 1);
        put(m, from + 1, more);
        from += 1 + more;
    }
    *s = from;
    say(m, BT_NOTE,
        bt_arena_format(m->r->arena, "read as %.*s", (int)(m->n - began), m->out + began));
    return true;
}

/* A number as its parts: digits, signs between them. */
struct parts {
    size_t n; /* of digit runs */
    size_t commas, points;
    size_t groups;  /* runs after the first that have three digits */
    size_t last;    /* digits of the last run */
    char last_sign; /* before the last run */
    size_t length;  /* bytes in all */
    size_t first;   /* digits of the first run */
};

static struct parts parts_of(const char *s)
{
    struct parts p = {.n = 1, .first = run_of_digits(s)};
    p.length = p.last = p.first;
    while ((s[p.length] == ',' || s[p.length] == '.') && bt_is_digit(s[p.length + 1])) {
        p.last_sign = s[p.length];
        p.commas += p.last_sign == ',';
        p.points += p.last_sign == '.';
        p.last = run_of_digits(s + p.length + 1);
        p.groups += p.last == 3;
        p.length += 1 + p.last;
        p.n++;
    }
    return p;
}

/* Digits with the commas made points and the points left out. */
static void put_european(struct marking *m, const char *s, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (s[i] != '.')
            m->out[m->n++] = (char)(s[i] == ',' ? '.' : s[i]);
}

/* `1.250,5`, `1.250.000`, `4,5`: true when the number can only be read with a decimal comma
 * and points for thousands. */
static bool is_european(const struct parts *p, bool starts_with_zero)
{
    const bool points_group = p->first <= 3 && !starts_with_zero;
    if (p->commas == 1 && p->last_sign == ',')
        return p->points == 0 ? p->last != 3 || !points_group
                              : points_group && p->groups - (p->last == 3) == p->points;
    return p->commas == 0 && p->points > 1 && points_group && p->groups == p->points;
}

/* In a file of decimal commas. */
static void take_in_comma_file(struct marking *m, const char *s, const struct parts *p)
{
    const bool zero = s[0] == '0';
    if (p->points == 1 && p->commas == 0 && p->last == 3 && p->first <= 3 && !zero) {
        m->refused = true;
        (void)bt_cell_refuse(
            m->r, m->cell, m->column, "a number that can be read in one way",
            bt_arena_format(m->r->arena, "%.*s may be %.*s%.*s or %.*s,%.*s: write which",
                            (int)p->length, s, (int)p->first, s, 3, s + p->first + 1,
                            (int)p->first, s, 3, s + p->first + 1));
    } else if ((p->commas == 1 && p->last_sign == ',') ||
               (p->commas == 0 && p->points > 1 && p->groups == p->points)) {
        put_european(m, s, p->length);
    } else {
        put(m, s, p->length);
    }
}

/* The number at *s, which begins with a digit. */
static void take_number(struct marking *m, const char **s)
{
    if (take_groups(m, s))
        return;
    const struct parts p = parts_of(*s);
    const size_t began = m->n;
    if (m->r->decimal_comma) {
        take_in_comma_file(m, *s, &p);
    } else if (is_european(&p, **s == '0')) {
        put_european(m, *s, p.length);
        say(m, BT_WARNING,
            bt_arena_format(m->r->arena,
                            "the comma is taken for a decimal sign: read as %.*s",
                            (int)(m->n - began), m->out + began));
    } else {
        put(m, *s, p.length);
    }
    *s += p.length;
}

/* Digits that belong to a word or to a number further left are none of ours. */
static bool begins_number(const char *text, const char *s)
{
    const char before = s > text ? s[-1] : ' ';
    const bool behind_point = before == '.' && !(s - text > 1 && s[-2] == '.'); /* `..3` */
    return bt_is_digit(*s) && !bt_is_letter(before) && !behind_point && before != ',' &&
           before != '/' && before != '_';
}

const char *bt_cell_plain(struct bt_reader *r, const struct bt_cell *cell,
                          const char *column)
{
    const char *text = cell->text;
    struct marking m = {.r = r, .cell = cell, .column = column};
    if (*text == '=' || *text == '#' || !text[strcspn(text, ",.'\xC2\xE2")])
        return bt_plain(r->arena, text);
    m.out = bt_arena_alloc(r->arena, strlen(text) + 1);
    for (const char *s = text; *s && !m.refused;) {
        if (begins_number(text, s))
            take_number(&m, &s);
        else
            m.out[m.n++] = *s++;
    }
    m.out[m.n] = '\0';
    if (m.refused)
        return NULL;
    bt_cell_fix(r, cell, m.out, "a number written plainly");
    return bt_plain(r->arena, m.out);
}
