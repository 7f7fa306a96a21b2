#include "input/cell_read.h"

#include <string.h>

#include "base/text.h"

/* What stands between two numbers. */
enum joint { NO_JOINT, DOTS, TO, HYPHEN, PLUS_MINUS };

struct part {
    double value;
    const char *unit; /* "" when none */
    enum joint joint; /* to the next part */
};

static const char *past_blanks(const char *s)
{
    while (*s == ' ')
        s++;
    return s;
}

static bool number_begins(const char *s)
{
    return bt_is_digit(*s) || (*s == '.' && bt_is_digit(s[1]));
}

/* The joint at `s`; *after is where the next number begins. `close`: nothing but blanks
 * stands between it and the number before. A hyphen may also belong to a unit, so beyond
 * that it needs a blank or a foot or inch mark before it. */
static enum joint joint_at(const char *text, const char *s, bool close, const char **after)
{
    enum joint joint = NO_JOINT;
    size_t n = 0;
    const char before = s > text ? s[-1] : ' ';
    if (s[0] == '.' && s[1] == '.') {
        joint = DOTS;
        n = s[2] == '.' ? 3 : 2;
    } else if (bt_text_starts(s, "to ") && (close || before == ' ')) {
        joint = TO;
        n = 2;
    } else if (strncmp(s, "+-", 2) == 0 || strncmp(s, "+/-", 3) == 0) {
        joint = PLUS_MINUS;
        n = s[1] == '/' ? 3 : 2;
    } else if (*s == '-' && (close || before == '\'' || before == '"' ||
                             (before == ' ' && s[1] == ' '))) {
        joint = HYPHEN;
        n = 1;
    }
    *after = past_blanks(s + n);
    const bool sign = joint != HYPHEN && joint != PLUS_MINUS && **after == '-';
    return joint && number_begins(*after + sign) ? joint : NO_JOINT;
}

static const char *trimmed(struct bt_arena *a, const char *from, const char *end)
{
    from = past_blanks(from);
    while (end > from && end[-1] == ' ')
        end--;
    return bt_arena_text_n(a, from, end > from ? (size_t)(end - from) : 0);
}

/* The unit text at *s up to the next joint, or to the end. */
static void read_unit(struct bt_arena *a, const char **s, struct part *out)
{
    const char *text = *s, *after = text;
    const char *p = past_blanks(text);
    const char *first = p;
    out->joint = NO_JOINT;
    for (; *p; p++) {
        out->joint = joint_at(text, p, p == first, &after);
        if (out->joint)
            break;
    }
    out->unit = trimmed(a, text, p);
    *s = out->joint ? after : p;
}

/* Where a second number begins in `ft 6 in`, NULL when there is none. */
static const char *second_number(const char *unit)
{
    for (const char *p = unit; *p; p++)
        if (p > unit && number_begins(p) && (p[-1] == ' ' || p[-1] == '\''))
            return p;
    return NULL;
}

/* `4 ft 6 in` arrives as 4 and "ft 6 in": adds the second part, in the first unit. False
 * when it is such a pair and cannot be right. */
static bool add_second(struct bt_reader *r, struct part *p)
{
    const char *second = second_number(p->unit);
    struct bt_unit large, small;
    enum bt_number_fault fault = BT_NUMBER_FINE;
    double more = 0;
    if (!second)
        return true;
    const char *name = trimmed(r->arena, p->unit, second);
    if (!bt_units_read(r->units, r->arena, name, 0, NULL, &large) ||
        !bt_number(&second, &more, &fault))
        return true;
    second = past_blanks(second);
    if (*second == '\0' && strcmp(name, "'") == 0)
        second = "\""; /* `4'6` */
    if (!bt_units_read(r->units, r->arena, second, 0, NULL, &small) ||
        !bt_dim_same(large.dim, small.dim) || bt_dim_same(large.dim, BT_FRACTION))
        return true;
    if (p->value < 0 || more * small.factor >= large.factor * (1 - 1e-9))
        return false;
    p->value += more * small.factor / large.factor;
    p->unit = name;
    return true;
}

static bool faulty(struct bt_scan *out, enum bt_scan_fault is)
{
    out->fault = is;
    return false;
}

static bool scan_parts(struct bt_reader *r, const char *s, struct part part[3],
                       struct bt_scan *out)
{
    do {
        if (out->n == 3)
            return faulty(out, BT_SCAN_ORDER);
        struct part *p = &part[out->n++];
        if (!bt_number(&s, &p->value, &out->number))
            return faulty(out, BT_SCAN_NUMBER);
        out->thousands |= out->number == BT_NUMBER_THOUSANDS;
        out->hyphen |= out->number == BT_NUMBER_HYPHEN;
        read_unit(r->arena, &s, p);
        if (!add_second(r, p))
            return faulty(out, BT_SCAN_COMPOUND);
    } while (part[out->n - 1].joint);
    return true;
}

/* One unit for all: each part has the same, or only one of them has any. */
static bool one_unit(struct bt_reader *r, const struct part part[3], struct bt_scan *out)
{
    out->unit = "";
    for (size_t i = 0; i < out->n; i++) {
        if (!part[i].unit[0])
            continue;
        if (out->unit[0] && strcmp(bt_text_key(r->arena, out->unit),
                                   bt_text_key(r->arena, part[i].unit)) != 0)
            return faulty(out, BT_SCAN_UNITS);
        out->unit = part[i].unit;
    }
    return true;
}

bool bt_scan(struct bt_reader *r, const char *plain, struct bt_scan *out)
{
    const struct part none = {0, "", NO_JOINT};
    struct part part[3] = {none, none, none};
    *out = (struct bt_scan){.unit = ""};
    if (!scan_parts(r, plain, part, out) || !one_unit(r, part, out))
        return false;
    const bool plus_minus = out->n > 1 && part[0].joint == PLUS_MINUS;
    if (out->n == 3 && (part[0].joint == HYPHEN || part[1].joint == HYPHEN))
        return faulty(out, BT_SCAN_HYPHENS);
    if (out->n == 3 && (plus_minus || part[1].joint == PLUS_MINUS))
        return faulty(out, BT_SCAN_ORDER);
    for (size_t i = 0; i < out->n; i++)
        out->value[i] = part[i].value;
    if (plus_minus) {
        out->n = 3;
        out->value[0] = part[0].value - part[1].value;
        out->value[1] = part[0].value;
        out->value[2] = part[0].value + part[1].value;
    }
    for (size_t i = 1; i < out->n; i++)
        if (out->value[i] < out->value[i - 1])
            return faulty(out, BT_SCAN_ORDER);
    return true;
}

/* `4,5 lb` with its comma made a point. */
static const char *comma_hint(struct bt_arena *a, const char *plain)
{
    const char *comma = strchr(plain, ',');
    if (!comma || strchr(comma + 1, ',') || strchr(plain, '.'))
        return "numbers take a decimal point, and no mark or a comma for thousands";
    return bt_arena_format(a, "numbers take a decimal point: %.*s.%s", (int)(comma - plain),
                           plain, comma + 1);
}

const char *bt_scan_hint(struct bt_arena *a, const char *plain, const struct bt_scan *scan)
{
    switch (scan->fault) {
    case BT_SCAN_UNITS: return "the numbers of a range take one unit";
    case BT_SCAN_COMPOUND:
        return "the second figure must be less than one of the first unit";
    case BT_SCAN_HYPHENS:
        return "three values are written low..likely..high, as in 2..3..4";
    case BT_SCAN_ORDER: return "a range runs upwards: low..high, or low..likely..high";
    case BT_SCAN_FINE: return NULL;
    case BT_SCAN_NUMBER: break;
    }
    switch (scan->number) {
    case BT_NUMBER_COMMA: return comma_hint(a, plain);
    case BT_NUMBER_GROUPS:
        return "a number is written without a gap or mark inside, as in 1500";
    case BT_NUMBER_ZERO: return "a number is divided by 0";
    case BT_NUMBER_HUGE: return "the number is too long or too large";
    default: return NULL;
    }
}
