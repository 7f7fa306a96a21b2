#include "input/quantity.h"

#include <math.h>
#include <string.h>

#include "base/figures.h"
#include "base/text.h"
#include "input/cell_read.h"
#include "input/unit_text.h"

#define WIDE                                                                               \
    4.0 /* two positive ends further apart than this have their middle as a ratio */

/* One cell being read. */
struct reading {
    struct bt_reader *r;
    const struct bt_cell *cell;
    const struct bt_accept *accept;
    const char *plain;
    struct bt_quantity *out;
};

static bool refuse(const struct reading *q, const char *hint)
{
    return bt_cell_refuse(q->r, q->cell, q->accept->column,
                          bt_cell_expected(q->r, q->accept), hint);
}

static void note(const struct reading *q, const char *what)
{
    (void)bt_cell_note(q->r, q->cell, q->accept->column, what);
}

/* --- before the number --- */

static bool take_word(const struct reading *q)
{
    for (size_t i = 0; i < q->accept->n_words && !q->out->word; i++)
        if (strcmp(bt_text_key(q->r->arena, q->plain),
                   bt_text_key(q->r->arena, q->accept->words[i])) == 0)
            q->out->word = q->accept->words[i];
    if (q->out->word)
        q->out->presence = BT_GIVEN;
    return q->out->word != NULL;
}

/* Sets what is known from a word in place of a number; false when there is none. */
static bool take_stand_in(const struct reading *q)
{
    if (bt_cell_presence(q->r, q->cell, q->accept->column, q->plain, &q->out->presence))
        return true;
    if (bt_cell_stand_in(q->r->arena, q->plain) != BT_STANDS_NOT_DETECTED)
        return false;
    q->out->presence = BT_GIVEN;
    q->out->bound = BT_NOT_DETECTED;
    q->out->range = bt_range_exact(0);
    if (q->accept->n_dims)
        q->out->unit.dim = q->accept->dims[0];
    return true;
}

static enum bt_bound drop_bound(const char **text)
{
    static const struct {
        const char *sign;
        enum bt_bound bound;
    } signs[] = {
        {">=",         BT_ABOVE},
        {">",          BT_ABOVE},
        {"more than ", BT_ABOVE},
        {"over ",      BT_ABOVE},
        {"above ",     BT_ABOVE},
        {"at least ",  BT_ABOVE},
        {"<=",         BT_BELOW},
        {"<",          BT_BELOW},
        {"less than ", BT_BELOW},
        {"under ",     BT_BELOW},
        {"below ",     BT_BELOW},
        {"at most ",   BT_BELOW},
    };
    for (size_t i = 0; i < sizeof signs / sizeof *signs; i++)
        if (bt_cell_drop(text, signs[i].sign))
            return signs[i].bound;
    return BT_EXACTLY;
}

static bool cut_end(struct bt_arena *a, const char **text, const char *end)
{
    const size_t n = strlen(*text), m = strlen(end);
    if (n <= m || !bt_text_is(*text + n - m, end))
        return false;
    *text = bt_plain(a, bt_arena_text_n(a, *text, n - m));
    return true;
}

/* A sign of money before or behind, and brackets around what is owed: `($15.00)`. Where a
 * price in words such as USD has letters, none of them is a unit. */
static void drop_money(const struct reading *q, const char **text)
{
    static const char *const money[] = {"$",   "\xE2\x82\xAC", "\xC2\xA3", "US$",
                                        "USD", "EUR",          "GBP",      "CAD",
                                        "AUD", "NZD",          "CHF",      "Fr."};
    struct bt_arena *a = q->r->arena;
    const bool owed = **text == '(' && cut_end(a, text, ")");
    if (owed)
        (*text)++;
    for (size_t i = 0; i < sizeof money / sizeof *money; i++)
        if (bt_cell_drop(text, money[i]) || cut_end(a, text, money[i]))
            break;
    if (owed)
        *text = bt_arena_format(a, "-%s", *text);
}

/* `OM 6.7%` under a column of organic matter: the name again before the number. */
static void drop_label(const struct reading *q, const char **text)
{
    static const struct {
        const char *column, *label;
    } labels[] = {
        {"organic_matter", "OM"   },
        {"organic_matter", "SOM"  },
        {"ph",             "pH"   },
        {"nitrate_n",      "NO3-N"},
        {"phosphorus",     "P"    },
        {"potassium",      "K"    },
        {"n",              "N"    },
        {"p2o5",           "P2O5" },
        {"k2o",            "K2O"  },
        {"moisture",       "H2O"  },
    };
    for (size_t i = 0; i < sizeof labels / sizeof *labels; i++) {
        const size_t n = strlen(labels[i].label);
        if (strcmp(q->accept->column, labels[i].column) != 0 ||
            !bt_text_starts(*text, labels[i].label) || (*text)[n] == '\0' ||
            !strchr(" :=", (*text)[n]))
            continue;
        const char *rest = *text + n + strspn(*text + n, " :=");
        if (*rest == '\0' || (!bt_is_digit(*rest) && !strchr("<>~.", *rest)))
            continue;
        *text = rest;
        note(q, "the name before the number is passed over");
        bt_cell_fix(q->r, q->cell, rest, "a name before a number");
        return;
    }
}

/* A price may have its sign of money, and any cell the apostrophe that makes text in a
 * spreadsheet. */
static void drop_marks(const struct reading *q, const char **text)
{
    if (**text == '\'' && (bt_is_digit((*text)[1]) || (*text)[1] == '.'))
        (*text)++;
    if (q->accept->n_dims == 0)
        drop_money(q, text);
    drop_label(q, text);
}

/* --- the unit --- */

/* A bare number: the header's unit, percent or nothing, as the column has it. */
static bool bare_unit(const struct reading *q, const struct bt_scan *s, struct bt_unit *out)
{
    const struct bt_accept *accept = q->accept;
    *out = (struct bt_unit){.factor = 1, .text = ""};
    if (accept->bare_percent) {
        out->factor = 0.01;
        return true;
    }
    if (accept->bare_number || accept->n_dims == 0)
        return true;
    /* Zero is zero in any unit, save where the scale has no zero of its own. */
    if (s->value[0] == 0 && s->value[s->n - 1] == 0 && accept->dims[0].k == 0) {
        out->dim = accept->dims[0];
        return true;
    }
    return refuse(q, "write the unit in the cell, or in the header as in \"length (ft)\"");
}

static bool dim_accepted(const struct bt_accept *accept, struct bt_dim dim)
{
    for (size_t i = 0; i < accept->n_dims; i++)
        if (bt_dim_same(accept->dims[i], dim))
            return true;
    return false;
}

/* `2 yards` of compost are cubic ones; nobody spreads it three feet deep. */
static bool is_yard_of_volume(const struct bt_accept *accept, const struct bt_unit *unit)
{
    const bool anything = dim_accepted(accept, BT_AREA); /* what is only converted */
    return dim_accepted(accept, BT_VOLUME) && !anything && !unit->per && !unit->measure &&
           bt_dim_same(unit->dim, BT_LENGTH) && bt_text_starts(unit->text, "y");
}

/* With a measure the dimension shows only when the measure is known: `2 bags`, `1 bag/100
 * sq ft`, `24 lb/bucket` in a column of densities. */
static bool unit_fits(const struct reading *q, const struct bt_unit *unit)
{
    const struct bt_accept *accept = q->accept;
    const bool amounts = dim_accepted(accept, BT_MASS) || dim_accepted(accept, BT_VOLUME);
    if (is_yard_of_volume(accept, unit))
        return false;
    if (unit->measure)
        return bt_dim_same(unit->dim, BT_FRACTION) ||
               dim_accepted(accept, bt_dim_mul(unit->dim, BT_MASS)) ||
               dim_accepted(accept, bt_dim_mul(unit->dim, BT_VOLUME));
    if (!unit->per)
        return dim_accepted(accept, unit->dim);
    if (bt_unit_word(q->r->arena, unit->per, accept->n_measures, accept->measures) &&
        dim_accepted(accept, bt_dim_div(unit->dim, BT_VOLUME)))
        return true;
    return amounts && dim_accepted(accept, unit->dim);
}

/* `1 500 g` must not become 500 g: a unit that begins with a number is a measure or `1/d`.
 */
static bool begins_with_number(const struct bt_unit *unit, const char *text)
{
    const bool once_per = strncmp(text, "1/", 2) == 0 && bt_is_letter(text[2]);
    return bt_is_digit(*text) && !once_per && !unit->measure;
}

/* Characters that were UTF-8 and were read as something older, or that a web page spelled
 * out; NULL for none. */
static const char *garbled_hint(const char *text)
{
    const char *entity = strchr(text, '&');
    if (strstr(text, "\xC3\x82") || strstr(text, "\xC3\xA2\xE2\x82\xAC"))
        return "a character was garbled when the file was saved in another encoding; type "
               "the cell again";
    return entity && strchr(entity, ';') ? "a web page's spelling of a character; type the "
                                           "cell again"
                                         : NULL;
}

static bool find_unit(const struct reading *q, const struct bt_scan *s, struct bt_unit *out)
{
    const struct bt_accept *accept = q->accept;
    struct bt_arena *a = q->r->arena;
    const char *text = s->unit[0] ? s->unit : accept->header_unit;
    if (!text || !*text)
        return bare_unit(q, s, out);
    const bool read =
        bt_units_read(q->r->units, a, text, accept->n_measures, accept->measures, out);
    if (begins_with_number(out, s->unit))
        return refuse(q, "two numbers stand side by side");
    if (!read) {
        const char *garbled = garbled_hint(q->cell->text);
        return refuse(q, garbled ? garbled
                                 : bt_unit_unknown_hint(q->r, accept, s->value[0], text));
    }
    if (accept->n_dims == 0)
        return refuse(q, NULL);
    return unit_fits(q, out) || refuse(q, bt_unit_misfit_hint(a, accept, out));
}

/* --- the value --- */

static struct bt_range range_of(const struct bt_scan *s, const struct bt_unit *unit)
{
    double v[3] = {0, 0, 0};
    for (size_t i = 0; i < s->n; i++)
        v[i] = s->value[i] * unit->factor + unit->offset;
    if (s->n == 1)
        return bt_range_exact(v[0]);
    if (s->n == 3)
        return bt_range_of(v[0], v[1], v[2], BT_P05_P95);
    const bool as_ratio = v[0] > 0 && v[1] > WIDE * v[0];
    return (struct bt_range){.low = v[0],
                             .likely = as_ratio ? sqrt(v[0] * v[1]) : (v[0] + v[1]) / 2,
                             .high = v[1],
                             .ends = BT_P05_P95,
                             .form = BT_FORM_AUTO};
}

/* A limit in the unit that was typed: "0 lb". */
static const char *typed(struct bt_arena *a, double limit, const struct bt_unit *unit)
{
    const double value = (limit - unit->offset) / unit->factor;
    return bt_arena_format(a, "%s%s%s", bt_figures_short(a, value, 4),
                           *unit->text ? " " : "", unit->text);
}

static bool within_limits(const struct reading *q)
{
    struct bt_arena *a = q->r->arena;
    const struct bt_quantity *out = q->out;
    const double low = q->accept->lowest, high = q->accept->highest;
    if (out->range.low >= low && out->range.high <= high)
        return true;
    const char *lowest = typed(a, low, &out->unit), *highest = typed(a, high, &out->unit);
    const char *expected = !isfinite(high) ? bt_arena_format(a, "%s or more", lowest)
                           : !isfinite(low)
                               ? bt_arena_format(a, "%s or less", highest)
                               : bt_arena_format(a, "%s to %s", lowest, highest);
    return bt_cell_refuse(q->r, q->cell, q->accept->column, expected, NULL);
}

/* "ton" as a word of the unit, and not a metric or short one. */
static bool says_ton(struct bt_arena *a, const char *unit)
{
    const char *key = bt_text_key(a, unit);
    for (const char *p = strstr(key, "ton"); p; p = strstr(p + 3, "ton")) {
        const bool begins = p == key || !bt_is_letter(p[-1]);
        const bool ends = !bt_is_letter(p[3]) || (p[3] == 's' && !bt_is_letter(p[4]));
        if (begins && ends)
            return !strstr(key, "metric") && !strstr(key, "short");
    }
    return false;
}

/* "quart" or "pint" where what a bag holds is typed, and not a dry one. */
static bool says_liquid_measure(const struct reading *q)
{
    static const char *const names[] = {"qt", "quart", "quarts", "pt", "pint", "pints"};
    const char *const column = q->accept->column;
    const char *key = bt_text_key(q->r->arena, q->out->unit.text);
    if (strcmp(column, "package") != 0 && strcmp(column, "bag") != 0)
        return false;
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (strcmp(key, names[i]) == 0)
            return true;
    return false;
}

/* The text with each `from` between two digits made `to`. */
static const char *between_digits(struct bt_arena *a, const char *text, char from, char to)
{
    char *s = bt_arena_text(a, text);
    size_t n = 0;
    for (size_t i = 0; s[i]; i++) {
        const bool there =
            s[i] == from && i > 0 && bt_is_digit(s[i - 1]) && bt_is_digit(s[i + 1]);
        if (!there || to)
            s[n++] = there ? to : s[i];
    }
    s[n] = '\0';
    return s;
}

/* `text` is the cell without what was dropped before and behind its number. */
static void say_how_read(const struct reading *q, const struct bt_scan *s, bool about,
                         const char *text)
{
    struct bt_arena *a = q->r->arena;
    const char *plainer = s->thousands ? between_digits(a, text, ',', '\0') : text;
    if (s->hyphen)
        plainer = between_digits(a, plainer, '-', ' ');
    if (s->thousands)
        note(q, bt_arena_format(a, "read as %s", bt_figures_short(a, s->value[0], 10)));
    if (s->hyphen)
        note(q, bt_arena_format(a, "read as %s; a range is written low..high",
                                bt_figures_short(a, s->value[s->n - 1], 10)));
    if (about && s->n == 1)
        note(q,
             bt_arena_format(a, "read as %s; a range, low..high, would say how sure it is",
                             bt_figures_short(a, s->value[0], 10)));
    /* which hyphen of several joined a fraction is not known here any more */
    if (s->hyphen ? s->n == 1 : s->thousands || (about && s->n == 1))
        bt_cell_fix(q->r, q->cell, plainer, "a number written plainly");
    if (says_ton(a, q->out->unit.text))
        note(q, "a ton is read as the short ton, 2,000 lb; the metric one is t");
    if (says_liquid_measure(q))
        note(q,
             "quarts and pints are read as the liquid ones; a US bag of soil, compost or "
             "mulch is labelled in dry quarts, a sixth larger: dry qt");
}

/* "triangular", "bounds" and the like behind the figure: how a range is to be read. */
struct manner {
    enum bt_form form;
    enum bt_ends ends;
    bool is_said;
};

static struct manner drop_manner(const struct reading *q, const char **text)
{
    struct manner m = {BT_FORM_AUTO, BT_P05_P95, false};
    const size_t left = bt_range_words(*text, &m.form, &m.ends);
    m.is_said = left < strlen(*text);
    if (m.is_said)
        *text = bt_arena_text_n(q->r->arena, *text, left);
    return m;
}

static void apply_manner(const struct reading *q, struct manner m)
{
    struct bt_range *range = &q->out->range;
    if (!m.is_said)
        return;
    range->ends = m.ends;
    *range = bt_range_shaped(*range, m.form);
    if (m.form == BT_FORM_LOGNORMAL && !(range->low > 0))
        note(q, "a lognormal has both ends above 0; read without that word");
}

static bool take_number(const struct reading *q)
{
    struct bt_scan s;
    const char *text = q->plain;
    drop_marks(q, &text);
    const struct manner manner = drop_manner(q, &text);
    const bool about = bt_cell_drop_about(q->r->arena, &text);
    if (!bt_cell_packs(q->r, q->cell, q->accept, &text))
        return false;
    const char *number = text;
    const enum bt_bound bound = drop_bound(&text);
    if (!bt_scan(q->r, text, &s)) {
        const char *hint = bt_scan_hint(q->r->arena, text, &s);
        if (!hint && q->accept->n_dims)
            hint = bt_unit_words_hint(q->r->arena, text);
        return refuse(q, hint ? hint : garbled_hint(q->cell->text));
    }
    if (bound != BT_EXACTLY && s.n > 1)
        return refuse(q, "a bound takes one number");
    if (manner.is_said && s.n < 2)
        return refuse(q, "a shape is that of a range, low..high");
    if (!find_unit(q, &s, &q->out->unit))
        return false;
    if (q->accept->bare_percent && !*s.unit && strpbrk(number, "eE"))
        return refuse(q,
                      bt_arena_format(q->r->arena,
                                      "a spreadsheet wrote it so: is %s %% or %s %% "
                                      "meant?",
                                      bt_figures_short(q->r->arena, s.value[0], 6),
                                      bt_figures_short(q->r->arena, 100 * s.value[0], 6)));
    q->out->bound = bound;
    q->out->range = range_of(&s, &q->out->unit);
    apply_manner(q, manner);
    if (!isfinite(q->out->range.low) || !isfinite(q->out->range.high))
        return refuse(q, "the number is too long or too large");
    if (!within_limits(q))
        return false;
    say_how_read(q, &s, about, number);
    q->out->presence = BT_GIVEN;
    return true;
}

bool bt_read_quantity(struct bt_reader *r, const struct bt_cell *cell,
                      const struct bt_accept *accept, struct bt_quantity *out)
{
    const struct bt_quantity blank = {
        .presence = BT_BLANK, .unit = {.factor = 1, .text = ""},
             .cell = *cell
    };
    *out = blank;
    const struct reading q = {r, cell, accept, bt_cell_plain(r, cell, accept->column), out};
    if (!q.plain)
        return false;
    if (take_word(&q) || take_stand_in(&q) ||
        bt_cell_is_sheet_error(r, cell, accept->column, q.plain))
        return true;
    const char *expected = bt_cell_expected(r, accept);
    if (bt_cell_is_typed(r, cell, accept->column, expected) &&
        bt_cell_is_no_date(r, cell, accept->column, expected, q.plain) && take_number(&q))
        return true;
    *out = blank;
    return false;
}
