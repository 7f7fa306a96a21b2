/* What to write in place of a unit that is not read: advice that works when it is typed. */
#include <string.h>

#include "base/figures.h"
#include "base/text.h"
#include "input/cell_read.h"

/* ---- a unit of another kind ---- */

static const char *kind_of(struct bt_dim dim)
{
    static const struct {
        struct bt_dim dim;
        const char *name;
    } kinds[] = {
        {{1, 0, 0, 0},  "a weight"         },
        {{0, 1, 0, 0},  "a length"         },
        {{0, 2, 0, 0},  "an area"          },
        {{0, 3, 0, 0},  "a volume"         },
        {{1, -2, 0, 0}, "a weight per area"},
        {{0, 0, 1, 0},  "a time"           },
        {{0, 0, 0, 1},  "a temperature"    },
    };
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (bt_dim_same(kinds[i].dim, dim))
            return kinds[i].name;
    return NULL;
}

const char *bt_unit_misfit_hint(struct bt_arena *a, const struct bt_accept *accept,
                                const struct bt_unit *unit)
{
    const bool volume = bt_accepts(accept, BT_VOLUME);
    const char *kind = unit->per || unit->measure ? NULL : kind_of(unit->dim);
    if (volume && !unit->per && bt_dim_same(unit->dim, BT_LENGTH) &&
        bt_text_starts(unit->text, "y"))
        return "a yard of compost is 1 cu yd";
    if (volume && bt_dim_same(unit->dim, BT_MASS) && bt_text_starts(unit->text, "o"))
        return "oz is a mass; a volume is fl oz";
    if (accept->n_dims && bt_dim_same(accept->dims[0], BT_FRACTION) &&
        bt_dim_same(unit->dim, BT_DENSITY) && bt_text_starts(unit->text, "mg/L"))
        return "a reading of water, or of an extract of soil: ask what it is in ppm of the "
               "soil";
    if (bt_accepts(accept, BT_MASS) && !volume && bt_dim_same(unit->dim, BT_VOLUME))
        return bt_arena_format(a,
                               "%s is a volume, and what it weighs hangs on what is in it: "
                               "weigh one and write the weight",
                               unit->text);
    if (kind)
        return bt_arena_format(a, "%s is %s", unit->text, kind);
    return bt_arena_format(a, "%s is a unit of something else", unit->text);
}

/* ---- no unit at all ---- */

/* `12x4 ft` arrives as 12 and "x4 ft". */
static const char *two_sides(struct bt_reader *r, const struct bt_accept *accept,
                             double first, const char *text)
{
    enum bt_number_fault fault = BT_NUMBER_FINE;
    double second = 0;
    if (!(first > 0) || !bt_accepts(accept, BT_LENGTH) ||
        (*text != 'x' && *text != 'X' && *text != '*'))
        return NULL;
    for (text++; *text == ' ';)
        text++;
    if (!bt_is_digit(*text) || !bt_number(&text, &second, &fault))
        return NULL;
    while (*text == ' ')
        text++;
    if (accept->n_dims == 1 && !*text)
        return bt_arena_format(r->arena,
                               "one side a column, and each with its unit: length %s ft, "
                               "width %s ft, if feet are meant",
                               bt_figures_short(r->arena, first, 10),
                               bt_figures_short(r->arena, second, 10));
    if (accept->n_dims == 1)
        return bt_arena_format(r->arena, "one side a column: length %s %s, width %s %s",
                               bt_figures_short(r->arena, first, 10), text,
                               bt_figures_short(r->arena, second, 10), text);
    return "a count stands before a weight or volume only, as in 2 x 40 lb";
}

const char *bt_unit_unknown_hint(struct bt_reader *r, const struct bt_accept *accept,
                                 double value, const char *text)
{
    struct bt_arena *a = r->arena;
    const char *sides = two_sides(r, accept, value, text);
    if (sides)
        return sides;
    if (text[0] == '#' && bt_accepts(accept, BT_MASS))
        return bt_arena_format(a,
                               "# stands for pounds and for other things: write %s lb if "
                               "pounds are meant",
                               bt_figures_short(a, value, 10));
    if (accept->n_measures && !strpbrk(text, "/0123456789"))
        return bt_arena_format(a,
                               "\"%s\" is not a unit known here: say in measures.csv what "
                               "one holds, or write its weight or volume",
                               text);
    return bt_arena_format(a, "\"%s\" is not a unit known here", text);
}

/* ---- no number ---- */

const char *bt_unit_words_hint(struct bt_arena *a, const char *plain)
{
    static const struct {
        const char *words, *figure;
    } figures[] = {
        {"half a ",    "0.5" },
        {"half an ",   "0.5" },
        {"a half ",    "0.5" },
        {"half ",      "0.5" },
        {"a quarter ", "0.25"},
        {"quarter ",   "0.25"},
        {"one ",       "1"   },
        {"two ",       "2"   },
        {"three ",     "3"   },
        {"four ",      "4"   },
        {"five ",      "5"   },
        {"six ",       "6"   },
        {"ten ",       "10"  },
        {"an ",        "1"   },
        {"a ",         "1"   },
    };
    for (size_t i = 0; i < sizeof figures / sizeof *figures; i++) {
        const char *rest = plain;
        if (!bt_cell_drop(&rest, figures[i].words) || !*rest)
            continue;
        (void)bt_cell_drop(&rest, "of ");
        (void)bt_cell_drop(&rest, "a ");
        return bt_arena_format(a, "write the number in figures: %s %s", figures[i].figure,
                               rest);
    }
    return NULL;
}
