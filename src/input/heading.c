#include "input/heading.h"

#include <string.h>

#include "base/text.h"
#include "input/number.h"

/* Other spellings, as bt_text_key leaves them, with what they say of the unit. Only those
 * that mean one thing: `nitrate` alone may be of N or of NO3. */
static const struct spelling {
    const char *file, *spelling, *column, *species;
} spellings[] = {
    {"beds",         "plot",                "bed",            NULL  },
    {"beds",         "bed id",              "bed",            NULL  },
    {"beds",         "bed #",               "bed",            NULL  },
    {"beds",         "bed no",              "bed",            NULL  },
    {"beds",         "bed no.",             "bed",            NULL  },
    {"beds",         "bed number",          "bed",            NULL  },
    {"beds",         "bed name",            "bed",            NULL  },
    {"beds",         "beet",                "bed",            NULL  },
    {"beds",         "l\xC3\xA4nge",        "length",         NULL  },
    {"beds",         "breite",              "width",          NULL  },
    {"beds",         "tiefe",               "depth",          NULL  },
    {"beds",
     "fl\xC3\xA4"
     "che",                                 "area",           NULL  },
    {"beds",         "size",                "area",           NULL  },
    {"plantings",    "plot",                "bed",            NULL  },
    {"plantings",    "bed #",               "bed",            NULL  },
    {"plantings",    "bed no",              "bed",            NULL  },
    {"plantings",    "bed no.",             "bed",            NULL  },
    {"plantings",    "bed number",          "bed",            NULL  },
    {"plantings",    "beet",                "bed",            NULL  },
    {"plantings",    "kultur",              "crop",           NULL  },
    {"plantings",    "plant",               "crop",           NULL  },
    {"plantings",    "vegetable",           "crop",           NULL  },
    {"plantings",    "cultivar",            "variety",        NULL  },
    {"plantings",    "sorte",               "variety",        NULL  },
    {"plantings",    "number of plants",    "plants",         NULL  },
    {"plantings",    "no. of plants",       "plants",         NULL  },
    {"plantings",    "plant count",         "plants",         NULL  },
    {"plantings",    "planted",             "in_ground",      NULL  },
    {"plantings",    "date planted",        "in_ground",      NULL  },
    {"plantings",    "planting date",       "in_ground",      NULL  },
    {"plantings",    "sown",                "in_ground",      NULL  },
    {"plantings",    "transplanted",        "in_ground",      NULL  },
    {"plantings",    "removed",             "ended",          NULL  },
    {"plantings",    "pulled",              "ended",          NULL  },
    {"soil_tests",   "sample id",           "sample",         NULL  },
    {"soil_tests",   "sample name",         "sample",         NULL  },
    {"soil_tests",   "beet",                "sample",         NULL  },
    {"soil_tests",   "bed",                 "beds",           NULL  },
    {"soil_tests",   "sample date",         "date",           NULL  },
    {"soil_tests",   "date sampled",        "date",           NULL  },
    {"soil_tests",   "sample depth",        "depth",          NULL  },
    {"soil_tests",   "om",                  "organic_matter", NULL  },
    {"soil_tests",   "som",                 "organic_matter", NULL  },
    {"soil_tests",   "soil organic matter", "organic_matter", NULL  },
    {"soil_tests",   "humus",               "organic_matter", NULL  },
    {"soil_tests",   "soil ph",             "ph",             NULL  },
    {"soil_tests",   "no3 n",               "nitrate_n",      NULL  },
    {"soil_tests",   "nitrate nitrogen",    "nitrate_n",      NULL  },
    {"soil_tests",   "p",                   "phosphorus",     NULL  },
    {"soil_tests",   "k",                   "potassium",      NULL  },
    {"soil_tests",   "p2o5",                "phosphorus",     "P2O5"},
    {"soil_tests",   "k2o",                 "potassium",      "K2O" },
    {"soil_tests",   "pb",                  "lead",           NULL  },
    {"soil_tests",   "as",                  "arsenic",        NULL  },
    {"soil_tests",   "cd",                  "cadmium",        NULL  },
    {"materials",    "item",                "material",       NULL  },
    {"materials",    "product",             "material",       NULL  },
    {"materials",    "nitrogen",            "n",              NULL  },
    {"materials",    "total n",             "n",              NULL  },
    {"materials",    "phosphate",           "p2o5",           NULL  },
    {"materials",    "potash",              "k2o",            NULL  },
    {"materials",    "c:n",                 "c_n",            NULL  },
    {"materials",    "c/n",                 "c_n",            NULL  },
    {"materials",    "c to n",              "c_n",            NULL  },
    {"materials",    "amount",              "on_hand",        NULL  },
    {"materials",    "quantity",            "on_hand",        NULL  },
    {"materials",    "unit cost",           "price",          NULL  },
    {"materials",    "unit price",          "price",          NULL  },
    {"applications", "bed",                 "beds",           NULL  },
    {"applications", "bed #",               "beds",           NULL  },
    {"applications", "bed no",              "beds",           NULL  },
    {"applications", "bed no.",             "beds",           NULL  },
    {"applications", "product",             "material",       NULL  },
    {"applications", "item",                "material",       NULL  },
    {"applications", "quantity",            "amount",         NULL  },
    {"purchases",    "item",                "material",       NULL  },
    {"purchases",    "product",             "material",       NULL  },
    {"purchases",    "quantity",            "amount",         NULL  },
    {"purchases",    "total",               "paid",           NULL  },
    {"purchases",    "vendor",              "supplier",       NULL  },
    {"water",        "bed",                 "beds",           NULL  },
};

/* How phosphorus and potassium were drawn out, as a header spells it; the longest first. */
static const struct method {
    const char *spelling, *method;
} methods[] = {
    {"modified morgan",  "modified Morgan" },
    {"ammonium acetate", "ammonium acetate"},
    {"mehlich 3",        "Mehlich-3"       },
    {"mehlich 1",        "Mehlich-1"       },
    {"bray p1",          "Bray P1"         },
    {"bray 1",           "Bray P1"         },
    {"olsen",            "Olsen"           },
    {"morgan",           "Morgan"          },
    {"loi",              NULL              }, /* of organic matter: loss on ignition */
};

/* Units that laboratories print for what no column of ours takes. */
static const char *const strange_units[] = {
    "1:1",       "1:2",     "1:5",  "% of cec", "% cec",     "% sat", "meq/100g",
    "meq/100 g", "cmol/kg", "ds/m", "mmhos/cm", "std units", "s.u.",  "none"};

#define N(a) (sizeof(a) / sizeof *(a))

static int column_named(struct bt_arena *a, const struct bt_known_file *file,
                        const char *key)
{
    for (size_t c = 0; c < file->n_columns; c++)
        if (strcmp(key, bt_text_key(a, file->column[c])) == 0)
            return (int)c;
    return -1;
}

static int column_spelled(struct bt_arena *a, const struct bt_known_file *file,
                          const char *key, const char **species)
{
    for (size_t i = 0; i < N(spellings); i++)
        if (strcmp(spellings[i].file, file->name) == 0 &&
            strcmp(spellings[i].spelling, key) == 0) {
            *species = spellings[i].species;
            return column_named(a, file, bt_text_key(a, spellings[i].column));
        }
    return -1;
}

static int find(struct bt_arena *a, const struct bt_known_file *file, const char *text,
                const char **species)
{
    const char *key = bt_text_key(a, text);
    const int named = column_named(a, file, key);
    *species = NULL;
    return named >= 0 ? named : column_spelled(a, file, key, species);
}

/* ---- units ---- */

static bool is_unit(struct bt_arena *a, const struct bt_units *units, const char *text)
{
    struct bt_unit unit;
    return *text && !bt_is_digit(*text) && bt_units_read(units, a, text, 0, NULL, &unit);
}

bool bt_heading_is_unit(struct bt_arena *a, const struct bt_units *units, const char *text,
                        bool *out_known)
{
    const char *plain = bt_plain(a, text);
    *out_known = is_unit(a, units, plain);
    if (*out_known)
        return true;
    for (size_t i = 0; i < N(strange_units); i++)
        if (bt_text_is(plain, strange_units[i]))
            return true;
    return false;
}

/* ---- words of a header ---- */

enum { MOST_WORDS = 12 };
struct words {
    size_t n;
    const char *word[MOST_WORDS];
};

/* At blanks, underscores and commas. */
static struct words split(struct bt_arena *a, const char *text)
{
    struct words w = {0};
    const char *s = text;
    while (*s && w.n < MOST_WORDS) {
        const size_t n = strcspn(s, " _,");
        if (n > 0)
            w.word[w.n++] = bt_arena_text_n(a, s, n);
        s += n + (s[n] != '\0');
    }
    if (*s) /* too long to be a name and a unit */
        w.n = 0;
    return w;
}

static const char *joined(struct bt_arena *a, const struct words *w, size_t from, size_t to)
{
    const char *s = "";
    for (size_t i = from; i < to; i++)
        s = bt_arena_format(a, "%s%s%s", s, i > from ? " " : "", w->word[i]);
    return s;
}

static void cut_words(struct words *w, size_t from, size_t n)
{
    for (size_t i = from; i + n < w->n; i++)
        w->word[i] = w->word[i + n];
    w->n -= n;
}

/* Takes a method out of the words; NULL when there is none. */
static const char *cut_method(struct bt_arena *a, struct words *w)
{
    for (size_t m = 0; m < N(methods); m++)
        for (size_t from = 0; from < w->n; from++)
            for (size_t n = 1; n <= 2 && from + n <= w->n; n++)
                if (w->n > n && strcmp(bt_text_key(a, joined(a, w, from, from + n)),
                                       methods[m].spelling) == 0) {
                    cut_words(w, from, n);
                    return methods[m].method;
                }
    return NULL;
}

/* `mg je 100g` is `mg/100g`, `pct` is `%`. */
static const char *unit_of(struct bt_arena *a, const struct words *w, size_t from)
{
    const char *s = "";
    for (size_t i = from; i < w->n; i++) {
        const char *x = w->word[i];
        const bool per = i > from && (bt_text_is(x, "je") || bt_text_is(x, "pro") ||
                                      bt_text_is(x, "per"));
        const char *glue = i == from || per || s[strlen(s) - 1] == '/' ? "" : " ";
        x = per ? "/" : bt_text_is(x, "pct") || bt_text_is(x, "percent") ? "%" : x;
        s = bt_arena_format(a, "%s%s%s", s, glue, x);
    }
    return s;
}

static const char *with_species(struct bt_arena *a, const char *unit, const char *species)
{
    return species && *unit ? bt_arena_format(a, "%s %s", unit, species) : unit;
}

/* A name, then its unit: `length_ft`, `P Mehlich-3 ppm`, `Olsen P ppm`. */
static void read_words(struct bt_arena *a, const struct bt_known_file *file,
                       const struct bt_units *units, const char *text,
                       struct bt_heading *out)
{
    struct words w = split(a, bt_plain(a, text));
    out->method = cut_method(a, &w);
    for (size_t k = w.n; k > 0; k--) {
        const char *species;
        const int column = find(a, file, joined(a, &w, 0, k), &species);
        const char *unit = unit_of(a, &w, k);
        if (column < 0 || (species && !*unit) ||
            (*unit && (!units || !is_unit(a, units, unit))))
            continue;
        out->column = column;
        out->unit = *unit ? with_species(a, unit, species) : NULL;
        return;
    }
    out->method = NULL;
}

/* `length (ft)`, `length [ft]`: the name before the bracket and the unit inside it. */
static bool split_bracket(struct bt_arena *a, const char *text, const char **out_name,
                          const char **out_unit)
{
    const size_t n = strlen(text);
    const char closing = n ? text[n - 1] : '\0';
    if (closing != ')' && closing != ']')
        return false;
    const char *open = strrchr(text, closing == ')' ? '(' : '[');
    if (!open || open == text || open + 2 >= text + n)
        return false;
    *out_name = bt_arena_text_n(a, text, (size_t)(open - text));
    *out_unit = bt_arena_text_n(a, open + 1, (size_t)(text + n - open) - 2);
    return true;
}

void bt_heading_read(struct bt_arena *a, const struct bt_known_file *file,
                     const struct bt_units *units, const char *text, struct bt_heading *out)
{
    const char *name = text, *unit = NULL, *species;
    const bool bracket = split_bracket(a, text, &name, &unit);
    *out = (struct bt_heading){.column = column_named(a, file, bt_text_key(a, name))};
    out->exact = out->column >= 0 && (!bracket || strchr(text, '(') != NULL);
    species = NULL;
    if (out->column < 0)
        out->column = find(a, file, name, &species);
    if (species && !unit) /* which form a cell has that says no unit is not known */
        out->column = -1;
    if (out->column >= 0) {
        out->unit = unit ? with_species(a, unit, species) : NULL;
        return;
    }
    read_words(a, file, units, name, out);
    if (unit && out->column >= 0)
        out->unit = unit;
}
