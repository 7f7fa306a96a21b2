/* Figures with words that people put around them, where they can mean one thing only: `2 x
 * 40 lb`, `36 lb bag`, `two` of a kind with their size (`3 40-lb bags`), `1/2 inch deep`.
 */
#include <stdlib.h>
#include <string.h>

#include "base/figures.h"
#include "base/text.h"
#include "input/cell_read.h"

static const char *const containers[] = {"bag",    "sack",    "bucket",    "pail",
                                         "tub",    "jug",     "box",       "bale",
                                         "bottle", "package", "container", "pot"};

/* Amounts, and not what is only converted. */
static bool is_amount(const struct bt_accept *accept)
{
    return (bt_accepts(accept, BT_MASS) || bt_accepts(accept, BT_VOLUME)) &&
           !bt_accepts(accept, BT_AREA);
}

static const char *past_joint(const char *s)
{
    while (*s == ' ' || *s == '-')
        s++;
    return s;
}

/* One figure and the text behind it. */
struct figure {
    double value;
    const char *unit;
};

static bool read_figure(const char *s, struct figure *out)
{
    enum bt_number_fault fault = BT_NUMBER_FINE;
    if (!bt_is_digit(*s) && *s != '.')
        return false;
    if (!bt_number(&s, &out->value, &fault))
        return false;
    out->unit = past_joint(s);
    return true;
}

/* `2 x `, `2 * ` or, where a container ends the cell, `2 ` before another figure: moved
 * past. 0 for none. */
static int take_times(const char **text, bool container)
{
    const char *s = *text;
    const size_t n = strspn(s, "0123456789");
    if (n == 0 || n > 4)
        return 0;
    const char *after = past_joint(s + n);
    const bool sign = *after == 'x' || *after == 'X' || *after == '*';
    const char *next = sign ? past_joint(after + 1) : after;
    const size_t m = strspn(next, "0123456789");
    /* `2 1/2 lb` and `1 500 g` are one number, or may be */
    if (!sign && (!container || s[n] != ' ' || after != s + n + 1 || m == 0 || m == 3 ||
                  next[m] == '/'))
        return 0;
    if (!bt_is_digit(*next) && *next != '.')
        return 0;
    *text = next;
    return atoi(s);
}

/* Cuts "bag" or "bags" off; 1 or 2 (a plural), 0 when none ends the text. */
static int cut_container(struct bt_arena *a, const char **text)
{
    const char *blank = strrchr(*text, ' ');
    for (size_t i = 0; blank && i < sizeof containers / sizeof *containers; i++) {
        const size_t n = strlen(containers[i]);
        const char *end = blank + 1 + n;
        if (!bt_text_starts(blank + 1, containers[i]))
            continue;
        const bool plural = bt_text_is(end, "s") || bt_text_is(end, "es");
        if (*end && !plural)
            continue;
        *text = bt_plain(a, bt_arena_text_n(a, *text, (size_t)(blank - *text)));
        return plural ? 2 : 1;
    }
    return 0;
}

static bool fits(struct bt_reader *r, const struct bt_accept *accept, const char *unit,
                 bool with_measures)
{
    struct bt_unit u;
    const size_t n = with_measures ? accept->n_measures : 0;
    if (!*unit || !bt_units_read(r->units, r->arena, unit, n, accept->measures, &u) ||
        u.per)
        return false;
    const bool amount = bt_dim_same(u.dim, BT_MASS) || bt_dim_same(u.dim, BT_VOLUME);
    return u.measure || (amount && bt_accepts(accept, u.dim));
}

static bool refuse_plural(struct bt_reader *r, const struct bt_cell *cell,
                          const struct bt_accept *accept, const struct figure *f)
{
    return bt_cell_refuse(
        r, cell, accept->column, bt_cell_expected(r, accept),
        bt_arena_format(r->arena, "how many of them? Write it as 3 x %s %s",
                        bt_figures_short(r->arena, f->value, 10), f->unit));
}

static void drop_deep(struct bt_arena *a, const struct bt_accept *accept, const char **text)
{
    static const char *const words[] = {" deep", " thick"};
    const size_t n = strlen(*text);
    for (size_t i = 0; i < 2 && bt_accepts(accept, BT_LENGTH); i++) {
        const size_t m = strlen(words[i]);
        if (n > m && bt_text_is(*text + n - m, words[i]) && bt_is_digit(**text))
            *text = bt_arena_text_n(a, *text, n - m);
    }
}

bool bt_cell_packs(struct bt_reader *r, const struct bt_cell *cell,
                   const struct bt_accept *accept, const char **text)
{
    struct bt_arena *a = r->arena;
    struct figure f, whole;
    drop_deep(a, accept, text);
    const char *inner = *text;
    if (!is_amount(accept))
        return true;
    const int container = cut_container(a, &inner);
    const int times = take_times(&inner, container > 0);
    if ((!container && !times) || !read_figure(inner, &f) ||
        !fits(r, accept, f.unit, !container))
        return true;
    /* "5-gal bucket" may be a measure's name */
    if (container && read_figure(*text, &whole) && fits(r, accept, whole.unit, true))
        return true;
    const bool each =
        strcmp(accept->column, "package") == 0 || strcmp(accept->column, "pot_volume") == 0;
    if (container == 2 && !times && !each)
        return refuse_plural(r, cell, accept, &f);
    *text = bt_arena_format(a, "%s %s",
                            bt_figures_short(a, (times ? times : 1) * f.value, 10), f.unit);
    (void)bt_cell_note(r, cell, accept->column, bt_arena_format(a, "read as %s", *text));
    bt_cell_fix(r, cell, *text, "an amount written plainly");
    return true;
}
