/* Names are looked up whole in a udunits2 system that holds nothing but our own table;
 * udunits2's parser, which splits `cu yd` into c, u and yd, is not used. */
#include "input/units.h"

#include <assert.h>
#include <errno.h>
#include <math.h>
#include <string.h>
#include <udunits2.h>

#include "base/text.h"
#include "input/csv.h"
#include "input/number.h"
#include "input/unit_text.h"

enum { GRAM, METRE, DAY, KELVIN, N_BASES };
static const char *const base_symbols[N_BASES] = {"g", "m", "d", "K"};

struct bt_units {
    ut_system *system;
    ut_unit *base[N_BASES];
};

/* Keeps the new unit and gives the old one back, so that a chain of steps frees as it goes.
 */
static void replace(ut_unit **unit, ut_unit *with)
{
    ut_free(*unit);
    *unit = with;
}

static ut_unit *one(const struct bt_units *u)
{
    return ut_get_dimensionless_unit_one(u->system);
}

/* Symbols, whose case counts, before names. NULL when it is neither; the caller frees. */
static ut_unit *look_up(const struct bt_units *u, const char *name)
{
    ut_unit *found = ut_get_unit_by_symbol(u->system, name);
    return found ? found : ut_get_unit_by_name(u->system, name);
}

/* --- the table --- */

/* One side of a meaning: an optional number, then an optional name with an optional `^`
 * power. */
static ut_unit *meaning_side(const struct bt_units *u, struct bt_arena *a, const char *text)
{
    double count = 1;
    int power = 1;
    (void)bt_decimal(&text, false, &count);
    while (*text == ' ')
        text++;
    const char *caret = strchr(text, '^');
    size_t n = caret ? (size_t)(caret - text) : strlen(text);
    if (caret) {
        if (caret[1] < '2' || caret[1] > '3' || caret[2] != '\0')
            return NULL;
        power = caret[1] - '0';
    }
    while (n > 0 && text[n - 1] == ' ')
        n--;
    ut_unit *unit = n ? look_up(u, bt_arena_text_n(a, text, n)) : one(u);
    if (unit && power != 1)
        replace(&unit, ut_raise(unit, power));
    if (unit && count != 1)
        replace(&unit, count > 0 ? ut_scale(count, unit) : NULL);
    return unit;
}

/* `453.59237 g`, `lb/16`, `ft^2`, `5 K/9 @ -32` (counted from 32 below zero). NULL when it
 * is none. */
static ut_unit *meaning(const struct bt_units *u, struct bt_arena *a, const char *text)
{
    char *left = bt_arena_text(a, text);
    double origin = 0;
    char *at = strchr(left, '@');
    if (at) {
        const char *number = at + 1 + (at[1] == ' ');
        if (!bt_decimal(&number, true, &origin) || *number)
            return NULL;
        *at = '\0';
    }
    char *stroke = strchr(left, '/');
    if (stroke)
        *stroke = '\0';
    ut_unit *unit = meaning_side(u, a, left);
    if (unit && stroke) {
        ut_unit *under = meaning_side(u, a, stroke + 1);
        replace(&unit, under ? ut_divide(unit, under) : NULL);
        ut_free(under);
    }
    if (unit && at)
        replace(&unit, ut_offset(unit, origin));
    return unit;
}

static bool bad_cell(struct bt_diag *d, const struct bt_cell *cell, const char *column,
                     const char *expected)
{
    return bt_diag_add(
        d, (struct bt_message){BT_ERROR, cell->at, column, expected, cell->text, NULL});
}

/* What failed may have failed for want of memory: then leaves. */
static void mind_memory(struct bt_arena *a)
{
    if (ut_get_status() == UT_OS || errno == ENOMEM)
        bt_arena_leave(a);
}

static bool add_row(struct bt_units *u, struct bt_arena *a, struct bt_diag *d,
                    const struct bt_cell cell[3])
{
    const bool is_symbol = bt_text_is(cell[2].text, "yes");
    if (!is_symbol && !bt_text_is(cell[2].text, "no"))
        return bad_cell(d, &cell[2], "symbol", "yes or no");
    if (!cell[0].text[0])
        return bad_cell(d, &cell[0], "name", "the name of a unit");
    ut_unit *old = is_symbol ? ut_get_unit_by_symbol(u->system, cell[0].text)
                             : ut_get_unit_by_name(u->system, cell[0].text);
    ut_free(old);
    if (old)
        return bad_cell(d, &cell[0], "name", "a name that no row above has");
    errno = 0;
    ut_unit *unit = meaning(u, a, cell[1].text);
    if (!unit) {
        mind_memory(a);
        return bad_cell(
            d, &cell[1], "meaning",
            "a number and g, m, d, K or a unit of a row above, as in \"12 in\"");
    }
    const ut_status status = is_symbol ? ut_map_symbol_to_unit(cell[0].text, UT_UTF8, unit)
                                       : ut_map_name_to_unit(cell[0].text, UT_UTF8, unit);
    if (status != UT_SUCCESS)
        mind_memory(a);
    ut_free(unit);
    return status == UT_SUCCESS || bad_cell(d, &cell[0], "name", "a name that can be kept");
}

static bool add_table(struct bt_units *u, struct bt_arena *a, struct bt_diag *d,
                      const char *table, size_t n)
{
    static const char *const columns[] = {"name", "meaning", "symbol"};
    struct bt_csv csv;
    const size_t errors = bt_diag_count(d, BT_ERROR);
    if (!bt_csv_read_bytes(a, d, table, n, "tables/units.csv", &csv))
        return false;
    bool ok = csv.header.n == 3;
    for (size_t i = 0; ok && i < 3; i++)
        ok = bt_text_is(csv.header.cell[i].text, columns[i]);
    if (!ok)
        return bt_diag_add(d, (struct bt_message){BT_ERROR, csv.header.at, "header",
                                                  "the columns name, meaning, symbol", NULL,
                                                  NULL});
    for (size_t i = 0; i < csv.n_rows; i++)
        (void)add_row(u, a, d, csv.row[i].cell);
    return bt_diag_count(d, BT_ERROR) == errors;
}

static bool add_bases(struct bt_units *u)
{
    u->system = ut_new_system();
    for (size_t i = 0; u->system && i < N_BASES; i++) {
        u->base[i] = ut_new_base_unit(u->system);
        if (!u->base[i] ||
            ut_map_symbol_to_unit(base_symbols[i], UT_UTF8, u->base[i]) != UT_SUCCESS)
            return false;
    }
    return u->system != NULL;
}

struct bt_units *bt_units_new(struct bt_arena *a, struct bt_diag *d, const char *table,
                              size_t n)
{
    struct bt_units *u = bt_arena_zero(a, sizeof *u);
    if (!add_bases(u)) { /* only for want of memory */
        bt_units_free(u);
        bt_arena_leave(a);
    }
    if (add_table(u, a, d, table, n))
        return u;
    bt_units_free(u);
    return NULL;
}

void bt_units_free(struct bt_units *u)
{
    if (!u || !u->system)
        return;
    for (size_t i = 0; i < N_BASES; i++)
        ut_free(u->base[i]);
    ut_free_system(u->system);
    u->system = NULL;
}

/* --- dimension and factor of a unit --- */

struct powers {
    const struct bt_units *units;
    int power[N_BASES];
};

static ut_status on_basic(const ut_unit *unit, void *context)
{
    struct powers *p = context;
    for (size_t i = 0; i < N_BASES; i++)
        if (ut_compare(unit, p->units->base[i]) == 0)
            p->power[i]++;
    return UT_SUCCESS;
}

static ut_status on_product(const ut_unit *unit, int n, const ut_unit *const *basic,
                            const int *power, void *context)
{
    (void)unit;
    struct powers *p = context;
    for (int k = 0; k < n; k++)
        for (size_t i = 0; i < N_BASES; i++)
            if (ut_compare(basic[k], p->units->base[i]) == 0)
                p->power[i] += power[k];
    return UT_SUCCESS;
}

static ut_status on_galilean(const ut_unit *unit, double scale, const ut_unit *under,
                             double offset, void *context);
static ut_status on_timestamp(const ut_unit *unit, const ut_unit *time, double origin,
                              void *context)
{
    (void)unit, (void)time, (void)origin, (void)context;
    return UT_MEANINGLESS; /* the table has none */
}

static ut_status on_logarithm(const ut_unit *unit, double base, const ut_unit *reference,
                              void *context)
{
    (void)unit, (void)base, (void)reference, (void)context;
    return UT_MEANINGLESS; /* the table has none */
}

static const ut_visitor visitor = {on_basic, on_product, on_galilean, on_timestamp,
                                   on_logarithm};

static ut_status on_galilean(const ut_unit *unit, double scale, const ut_unit *under,
                             double offset, void *context)
{
    (void)unit, (void)scale, (void)offset;
    return ut_accept_visitor(under, &visitor, context);
}

/* g^a m^b d^c K^d; NULL when there is no memory. */
static ut_unit *inside_unit(const struct bt_units *u, const int power[N_BASES])
{
    ut_unit *unit = one(u);
    for (size_t i = 0; unit && i < N_BASES; i++) {
        ut_unit *part = ut_raise(u->base[i], power[i]);
        replace(&unit, part ? ut_multiply(unit, part) : NULL);
        ut_free(part);
    }
    return unit;
}

static bool measure_unit(const struct bt_units *u, ut_unit *unit, struct bt_unit *out)
{
    struct powers p = {.units = u};
    if (ut_accept_visitor(unit, &visitor, &p) != UT_SUCCESS)
        return false;
    ut_unit *inside = inside_unit(u, p.power);
    cv_converter *converter = inside ? ut_get_converter(unit, inside) : NULL;
    if (converter) {
        out->dim = (struct bt_dim){(signed char)p.power[GRAM], (signed char)p.power[METRE],
                                   (signed char)p.power[DAY], (signed char)p.power[KELVIN]};
        out->offset = cv_convert_double(converter, 0);
        out->factor = cv_convert_double(converter, 1) - out->offset;
        cv_free(converter);
    }
    ut_free(inside);
    return converter != NULL;
}

/* --- reading --- */

/* What a name is: a measure or a per-word into `out`, or a unit, which is returned.
 * Household words of the garden win over our table. The caller frees. */
static ut_unit *name_unit(const struct bt_units *u, const char *name, const char *word,
                          const char **out_word)
{
    if (word)
        *out_word = word;
    return word || !name[0] ? one(u) : look_up(u, name);
}

struct words {
    size_t n;
    const char *const *word;
};

static ut_unit *side_unit(const struct bt_units *u, struct bt_arena *a,
                          const struct bt_unit_side *side, const struct words *measures,
                          bool is_right, const char **out_word)
{
    const char *word = bt_unit_word(a, side->whole, measures->n, measures->word);
    if (word) /* "5-gal bucket", count and all */
        return name_unit(u, "", word, out_word);
    word = bt_unit_word(a, side->name, measures->n, measures->word);
    if (!word && is_right)
        word = bt_unit_per_word(a, side->name);
    ut_unit *unit = name_unit(u, side->name, word, out_word);
    if (unit && side->count != 1)
        replace(&unit, side->count > 0 && isfinite(side->count)
                           ? ut_scale(side->count, unit)
                           : NULL);
    return unit;
}

static bool same_species(const char *left, const char *right, const char **out)
{
    *out = left ? left : right;
    return !left || !right || strcmp(left, right) == 0;
}

bool bt_units_read(const struct bt_units *u, struct bt_arena *a, const char *text,
                   size_t n_measures, const char *const *measures, struct bt_unit *out)
{
    struct bt_unit_text t;
    const struct words words = {n_measures, measures};
    *out = (struct bt_unit){.factor = 1};
    const bool taken = bt_unit_text_read(a, text, &t);
    out->text = t.tidy;
    if (!taken || !same_species(t.left.species, t.right.species, &out->species))
        return false;
    ut_unit *unit = side_unit(u, a, &t.left, &words, false, &out->measure);
    if (unit && t.has_right) {
        ut_unit *under = side_unit(u, a, &t.right, &words, true, &out->per);
        replace(&unit, under ? ut_divide(unit, under) : NULL);
        ut_free(under);
    }
    const bool ok = unit && measure_unit(u, unit, out);
    ut_free(unit);
    return ok;
}

double bt_units_factor_to(const struct bt_units *u, struct bt_arena *a, const char *text)
{
    struct bt_unit unit;
    const bool ok = bt_units_read(u, a, text, 0, NULL, &unit);
    assert(ok);
    return ok ? 1 / unit.factor : (double)NAN;
}

const char *bt_units_accepted(struct bt_arena *a, struct bt_dim dim)
{
    static const struct {
        struct bt_dim dim;
        const char *units;
    } accepted[] = {
        {{0, 0, 0, 0},  "%, ppm, mg/kg, g/kg, lb/ton"                              },
        {{1, 0, 0, 0},  "lb, oz, kg, g"                                            },
        {{1, -2, 0, 0}, "lb/100 sq ft, lb/1000 sq ft, lb/ac, oz/sq yd, g/m2, kg/ha"},
        {{1, -3, 0, 0}, "mg/L, g/L, kg/m3, g/cm3, lb/cu ft, lb/cu yd"              },
        {{0, 1, 0, 0},  "ft, in, yd, m, cm, mm"                                    },
        {{0, 2, 0, 0},  "sq ft, sq yd, ac, m2, ha"                                 },
        {{0, 3, 0, 0},  "gal, quart, cup, cu ft, cu yd, bu, L, m3"                 },
        {{0, -2, 0, 0}, "plants/sq ft, plants/m2"                                  },
        {{0, -1, 0, 0}, "plants/ft, plants/m"                                      },
        {{0, 0, 1, 0},  "days, weeks, months"                                      },
        {{0, 0, -1, 0}, "per day, per week"                                        },
        {{0, 0, 0, 1},  "F, C"                                                     },
        {{0, 1, -1, 0}, "in/week, mm/day"                                          },
        {{1, -1, 0, 0}, "lb/ft, g/m"                                               },
    };
    for (size_t i = 0; i < sizeof accepted / sizeof *accepted; i++)
        if (bt_dim_same(accepted[i].dim, dim))
            return accepted[i].units;
    return bt_arena_format(a, "g^%d m^%d d^%d K^%d", dim.g, dim.m, dim.d, dim.k);
}
