/* In which unit a result is shown: as somebody typed it for that dimension, else by its
 * size in the units of the land. */
#include "plan/desk.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "input/number.h"

double bt_desk_factor(const struct bt_desk *w, const char *unit)
{
    struct bt_unit read;
    if (!*unit || !bt_units_read(w->means->units, w->arena, unit, 0, NULL, &read))
        return 1;
    return read.factor;
}

/* ---- US or metric ---- */

static bool is_us_word(const char *text, size_t n)
{
    static const char *const words[] = {
        "lb",     "lbs",    "oz",   "ft",   "in",     "yd",      "ac",    "gal",   "cup",
        "cups",   "tbsp",   "tsp",  "bu",   "qt",     "pt",      "ton",   "tons",  "inch",
        "inches", "foot",   "feet", "yard", "yards",  "acre",    "acres", "pound", "pounds",
        "ounce",  "ounces", "sqft", "ft2",  "gallon", "gallons", "quart", "quarts"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (strlen(words[i]) == n && strncmp(words[i], text, n) == 0)
            return true;
    return false;
}

static bool has_us_word(const char *unit)
{
    for (const char *p = unit; *p;) {
        size_t n = 0;
        while (bt_is_letter(p[n]) || (n > 0 && bt_is_digit(p[n])))
            n++;
        if ((n && is_us_word(p, n)) || *p == '\'' || *p == '"')
            return true;
        p += n ? n : 1;
    }
    return false;
}

bool bt_desk_typed_us(const struct bt_desk *w)
{
    bool any_unit = false;
    for (size_t i = 0; i < w->n_given; i++) {
        const char *unit = w->given[i].unit.text;
        if (!unit || !*unit || strchr(unit, '%') || bt_text_starts(unit, "ppm"))
            continue;
        any_unit = true;
        if (has_us_word(unit))
            return true;
    }
    return !any_unit;
}

/* ---- by dimension ---- */

/* The plain spelling of a rate or content that somebody typed with its species and count:
 * "lb N/1000 sq ft" is "lb/1000 sq ft". NULL when nothing of that dimension was typed, or
 * `size` is next to nothing in it (grams of nitrogen where kilograms of yield were typed).
 */
static const char *as_typed(const struct bt_desk *w, struct bt_dim dim, double size)
{
    static const double LEAST = 0.05; /* of the unit */
    static const char *const plain[] = {
        "lb/1000 sq ft", "lb/100 sq ft", "lb/sq ft",    "lb/ac",     "oz/sq yd",
        "oz/100 sq ft",  "oz/sq ft",     "ton/ac",      "g/m2",      "kg/ha",
        "t/ha",          "kg/100 m2",    "kg/m2",       "lb/ton",    "kg/t",
        "g/kg",          "mg/kg",        "lb/cu yd",    "lb/cu ft",  "kg/m3",
        "g/L",           "mg/L",         "lb/1000 gal", "kg/1000 L", "g/cm3",
        "lb/gal",        "lb/100 ft",    "oz/100 ft",   "g/m",       "kg/100 m"};
    for (size_t i = 0; i < w->n_given; i++) {
        const struct bt_unit *u = &w->given[i].unit;
        if (!w->given[i].has_node || !u->text || !bt_dim_same(u->dim, dim) || u->measure ||
            u->per)
            continue;
        for (size_t k = 0; k < sizeof plain / sizeof *plain; k++) {
            struct bt_unit read;
            if (bt_units_read(w->means->units, w->arena, plain[k], 0, NULL, &read) &&
                bt_dim_same(read.dim, dim) &&
                fabs(read.factor - u->factor) <= 1e-9 * read.factor)
                return size == 0 || size >= LEAST * read.factor ? plain[k] : NULL;
        }
    }
    return NULL;
}

/* Units of a dimension by size: the last whose `least` (inside) the value reaches. */
static const struct ladder {
    struct bt_dim dim;
    bool us;
    double least;
    const char *unit;
} ladder[] = {
    {{1, 0, 0, 0},  true,  0,    "oz"           },
    {{1, 0, 0, 0},  true,  453,  "lb"           },
    {{1, 0, 0, 0},  false, 0,    "g"            },
    {{1, 0, 0, 0},  false, 1e3,  "kg"           },
    {{1, 0, 0, 0},  false, 1e6,  "t"            },
    {{1, -2, 0, 0}, true,  0,    "lb/1000 sq ft"},
    {{1, -2, 0, 0}, true,  500,  "lb/100 sq ft" },
    {{1, -2, 0, 0}, false, 0,    "g/m2"         },
    {{1, -2, 0, 0}, false, 1e3,  "kg/m2"        },
    {{1, -3, 0, 0}, true,  0,    "mg/L"         },
    {{1, -3, 0, 0}, true,  1e3,  "lb/cu yd"     },
    {{1, -3, 0, 0}, false, 0,    "mg/L"         },
    {{1, -3, 0, 0}, false, 1e3,  "kg/m3"        },
    {{1, -1, 0, 0}, true,  0,    "lb/100 ft"    },
    {{1, -1, 0, 0}, false, 0,    "g/m"          },
    {{0, 1, 0, 0},  true,  0,    "in"           },
    {{0, 1, 0, 0},  true,  1,    "ft"           },
    {{0, 1, 0, 0},  false, 0,    "cm"           },
    {{0, 1, 0, 0},  false, 1,    "m"            },
    {{0, 2, 0, 0},  true,  0,    "sq ft"        },
    {{0, 2, 0, 0},  true,  8e3,  "ac"           },
    {{0, 2, 0, 0},  false, 0,    "m2"           },
    {{0, 2, 0, 0},  false, 1e4,  "ha"           },
    {{0, 3, 0, 0},  true,  0,    "tbsp"         },
    {{0, 3, 0, 0},  true,  6e-5, "cup"          },
    {{0, 3, 0, 0},  true,  5e-3, "cu ft"        },
    {{0, 3, 0, 0},  true,  0.38, "cu yd"        },
    {{0, 3, 0, 0},  false, 0,    "mL"           },
    {{0, 3, 0, 0},  false, 1e-3, "L"            },
    {{0, 3, 0, 0},  false, 1,    "m3"           },
    {{-1, 0, 0, 0}, true,  0,    "1/lb"         },
    {{-1, 0, 0, 0}, false, 0,    "1/kg"         },
    {{0, -2, 0, 0}, true,  0,    "plants/sq ft" },
    {{0, -2, 0, 0}, false, 0,    "plants/m2"    },
    {{0, 0, 0, 0},  true,  0,    "ppm"          },
    {{0, 0, 0, 0},  true,  1e-4, "%"            },
    {{0, 0, 0, 0},  false, 0,    "ppm"          },
    {{0, 0, 0, 0},  false, 1e-4, "%"            },
};

const char *bt_desk_unit(const struct bt_desk *w, struct bt_node n)
{
    const struct bt_node_info *x = bt_sheet_node(w->sheet, n);
    const bool by_size = x->dim.g != 1 || x->dim.m == 0;
    const char *unit =
        by_size && x->dim.g != 0 ? NULL : as_typed(w, x->dim, fabs(x->likely));
    if (unit)
        return unit;
    const double size = fabs(x->likely);
    unit = "";
    for (size_t i = 0; i < sizeof ladder / sizeof *ladder; i++)
        if (bt_dim_same(ladder[i].dim, x->dim) && ladder[i].us == w->us_units &&
            (size >= ladder[i].least || (size == 0 && ladder[i].least <= 453)))
            unit = ladder[i].unit;
    return unit;
}
