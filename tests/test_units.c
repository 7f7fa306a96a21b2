/* Units: what every spelling means in g, m, d and K, what is refused, and the table itself.
 * Factors of US units are worked out here from the exact definitions (NIST Handbook 44,
 * appendix C; recalled): 1 lb = 453.59237 g, 1 in = 0.0254 m, 1 gal = 231 in3, 1 bu =
 * 2150.42 in3. */
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "check.h"
#include "input/handbook.h"
#include "input/units.h"

#define LB   453.59237
#define IN   0.0254
#define FT   (12 * IN)
#define YD   (36 * IN)
#define ACRE (43560 * FT * FT)
#define GAL  (231 * IN * IN * IN)
#define BU   (2150.42 * IN * IN * IN)

/* clang-format off */
/* The dimensions of base/dim.h as plain initialisers, which static tables need. */
#define FRACTION      {0, 0, 0, 0}
#define MASS          {1, 0, 0, 0}
#define MASS_PER_AREA {1, -2, 0, 0}
#define DENSITY       {1, -3, 0, 0}
#define LENGTH        {0, 1, 0, 0}
#define AREA          {0, 2, 0, 0}
#define VOLUME        {0, 3, 0, 0}
#define PER_AREA      {0, -2, 0, 0}
#define PER_LENGTH    {0, -1, 0, 0}
#define TIME          {0, 0, 1, 0}
#define PER_TIME      {0, 0, -1, 0}
#define TEMPERATURE   {0, 0, 0, 1}
/* clang-format on */

static const char *const measures[] = {"bucket", "wheelbarrow", "5-gal bucket", "tray",
                                       "box"};
enum { N_MEASURES = sizeof measures / sizeof *measures };

struct shared {
    struct bt_arena *arena;
    struct bt_units *units;
};

static struct shared shared_new(void)
{
    struct shared s = {bt_arena_new(1 << 16, NULL, NULL), NULL};
    size_t n = 0;
    const char *table = bt_embedded_table("units", &n);
    struct bt_diag *d = bt_diag_new(s.arena);
    assert_non_null(table);
    s.units = bt_units_new(s.arena, d, table, n);
    bt_diag_print(stderr, d, BT_NOTE);
    assert_non_null(s.units);
    return s;
}

static void shared_free(struct shared s)
{
    bt_units_free(s.units);
    bt_arena_free(s.arena);
}

/* clang-format off */
static const struct row {
    const char *text;
    struct bt_dim dim;
    double factor;
    const char *species, *per, *measure;
} rows[] = {
    /* mass */
    {"g", MASS, 1, NULL, NULL, NULL},
    {"kg", MASS, 1000, NULL, NULL, NULL},
    {"KG", MASS, 1000, NULL, NULL, NULL},
    {"kilos", MASS, 1000, NULL, NULL, NULL},
    {"mg", MASS, 1e-3, NULL, NULL, NULL},
    {"Mg", MASS, 1e6, NULL, NULL, NULL},
    {"t", MASS, 1e6, NULL, NULL, NULL},
    {"metric tons", MASS, 1e6, NULL, NULL, NULL},
    {"lb", MASS, LB, NULL, NULL, NULL},
    {"lbs.", MASS, LB, NULL, NULL, NULL},
    {"Pounds", MASS, LB, NULL, NULL, NULL},
    {"oz", MASS, LB / 16, NULL, NULL, NULL},
    {"ton", MASS, 2000 * LB, NULL, NULL, NULL},
    {"short tons", MASS, 2000 * LB, NULL, NULL, NULL},
    /* length and area */
    {"ft", LENGTH, FT, NULL, NULL, NULL},
    {"feet", LENGTH, FT, NULL, NULL, NULL},
    {"'", LENGTH, FT, NULL, NULL, NULL},
    {"\xE2\x80\xB2", LENGTH, FT, NULL, NULL, NULL},
    {"\"", LENGTH, IN, NULL, NULL, NULL},
    {"\xE2\x80\x9D", LENGTH, IN, NULL, NULL, NULL},
    {"in.", LENGTH, IN, NULL, NULL, NULL},
    {"inches", LENGTH, IN, NULL, NULL, NULL},
    {"yd", LENGTH, YD, NULL, NULL, NULL},
    {"cm", LENGTH, 0.01, NULL, NULL, NULL},
    {"mm", LENGTH, 0.001, NULL, NULL, NULL},
    {"m", LENGTH, 1, NULL, NULL, NULL},
    {"sq ft", AREA, FT * FT, NULL, NULL, NULL},
    {"sq. ft.", AREA, FT * FT, NULL, NULL, NULL},
    {"sq.ft", AREA, FT * FT, NULL, NULL, NULL},
    {"ft2", AREA, FT * FT, NULL, NULL, NULL},
    {"ft\xC2\xB2", AREA, FT * FT, NULL, NULL, NULL},
    {"ft^2", AREA, FT * FT, NULL, NULL, NULL},
    {"Square Feet", AREA, FT * FT, NULL, NULL, NULL},
    {"sq yd", AREA, YD * YD, NULL, NULL, NULL},
    {"acres", AREA, ACRE, NULL, NULL, NULL},
    {"A", AREA, ACRE, NULL, NULL, NULL},
    {"ha", AREA, 1e4, NULL, NULL, NULL},
    {"100 sq ft", AREA, 100 * FT * FT, NULL, NULL, NULL},
    {"sf", AREA, FT * FT, NULL, NULL, NULL},
    /* volume */
    {"CY", VOLUME, YD * YD * YD, NULL, NULL, NULL},
    {"cuyd", VOLUME, YD * YD * YD, NULL, NULL, NULL},
    {"cf", VOLUME, FT * FT * FT, NULL, NULL, NULL},
    {"cuft", VOLUME, FT * FT * FT, NULL, NULL, NULL},
    {"cu. ft.", VOLUME, FT * FT * FT, NULL, NULL, NULL},
    {"gal", VOLUME, GAL, NULL, NULL, NULL},
    {"gallons", VOLUME, GAL, NULL, NULL, NULL},
    {"quart", VOLUME, GAL / 4, NULL, NULL, NULL},
    {"pt", VOLUME, GAL / 8, NULL, NULL, NULL},
    {"cups", VOLUME, GAL / 16, NULL, NULL, NULL},
    {"fl. oz.", VOLUME, GAL / 128, NULL, NULL, NULL},
    {"fl-oz", VOLUME, GAL / 128, NULL, NULL, NULL},
    {"tbsp", VOLUME, GAL / 256, NULL, NULL, NULL},
    {"teaspoons", VOLUME, GAL / 768, NULL, NULL, NULL},
    {"bu", VOLUME, BU, NULL, NULL, NULL},
    {"peck", VOLUME, BU / 4, NULL, NULL, NULL},
    /* NIST Handbook 44, appendix C: a bushel is 2150.42 cubic inches (read), a dry quart 67.200625 of them (derived) */
    {"dry qt", VOLUME, 67.200625 * IN * IN * IN, NULL, NULL, NULL},
    {"dry quarts", VOLUME, 67.200625 * IN * IN * IN, NULL, NULL, NULL},
    {"Dry Quart", VOLUME, BU / 32, NULL, NULL, NULL},
    {"dry pint", VOLUME, BU / 64, NULL, NULL, NULL},
    {"cu yd", VOLUME, YD * YD * YD, NULL, NULL, NULL},
    {"cu. yd.", VOLUME, YD * YD * YD, NULL, NULL, NULL},
    {"yd\xC2\xB3", VOLUME, YD * YD * YD, NULL, NULL, NULL},
    {"cubic yards", VOLUME, YD * YD * YD, NULL, NULL, NULL},
    {"cu ft", VOLUME, FT * FT * FT, NULL, NULL, NULL},
    {"acre-in", VOLUME, ACRE * IN, NULL, NULL, NULL},
    {"ac-ft", VOLUME, ACRE * FT, NULL, NULL, NULL},
    {"L", VOLUME, 1e-3, NULL, NULL, NULL},
    {"mL", VOLUME, 1e-6, NULL, NULL, NULL},
    {"m3", VOLUME, 1, NULL, NULL, NULL},
    {"5 gal", VOLUME, 5 * GAL, NULL, NULL, NULL},
    /* mass per area */
    {"g/m2", MASS_PER_AREA, 1, NULL, NULL, NULL},
    {"kg/ha", MASS_PER_AREA, 0.1, NULL, NULL, NULL},
    {"kg/1000 m2", MASS_PER_AREA, 1, NULL, NULL, NULL},
    {"g/100 m2", MASS_PER_AREA, 0.01, NULL, NULL, NULL},
    {"lb/1000 sq ft", MASS_PER_AREA, LB / 1000 / (FT * FT), NULL, NULL, NULL},
    {"lb/1,000 sq ft", MASS_PER_AREA, LB / 1000 / (FT * FT), NULL, NULL, NULL},
    {"lb per 100 sq. ft.", MASS_PER_AREA, LB / 100 / (FT * FT), NULL, NULL, NULL},
    {"lb/100ft2", MASS_PER_AREA, LB / 100 / (FT * FT), NULL, NULL, NULL},
    {"lb\xC2\xA0/\xC2\xA0" "100\xE2\x80\xAFsq\xC2\xA0" "ft", MASS_PER_AREA, LB / 100 / (FT * FT), NULL, NULL, NULL},
    {"lb/ac", MASS_PER_AREA, LB / ACRE, NULL, NULL, NULL},
    {"LBS/AC", MASS_PER_AREA, LB / ACRE, NULL, NULL, NULL},
    {"lb/A", MASS_PER_AREA, LB / ACRE, NULL, NULL, NULL},
    {"oz/yd2", MASS_PER_AREA, LB / 16 / (YD * YD), NULL, NULL, NULL},
    {"tons/acre", MASS_PER_AREA, 2000 * LB / ACRE, NULL, NULL, NULL},
    {"t/ha", MASS_PER_AREA, 100, NULL, NULL, NULL},
    {"lb/100 ft of row", {1, -1, 0, 0}, LB / 100 / FT, NULL, NULL, NULL},
    /* shares */
    {"%", FRACTION, 0.01, NULL, NULL, NULL},
    {"percent", FRACTION, 0.01, NULL, NULL, NULL},
    {"ppm", FRACTION, 1e-6, NULL, NULL, NULL},
    {"ppb", FRACTION, 1e-9, NULL, NULL, NULL},
    {"mg/kg", FRACTION, 1e-6, NULL, NULL, NULL},
    {"\xC2\xB5g/g", FRACTION, 1e-6, NULL, NULL, NULL},
    {"g/kg", FRACTION, 1e-3, NULL, NULL, NULL},
    {"kg/t", FRACTION, 1e-3, NULL, NULL, NULL},
    {"mg/100 g", FRACTION, 1e-5, NULL, NULL, NULL},
    {"mg/100g", FRACTION, 1e-5, NULL, NULL, NULL},
    {"lb/ton", FRACTION, 1.0 / 2000, NULL, NULL, NULL},
    {"plants", FRACTION, 1, NULL, NULL, NULL},
    /* density and the rest */
    {"mg/L", DENSITY, 1, NULL, NULL, NULL},
    {"g/L", DENSITY, 1000, NULL, NULL, NULL},
    {"kg/m3", DENSITY, 1000, NULL, NULL, NULL},
    {"g/cm3", DENSITY, 1e6, NULL, NULL, NULL},
    {"lb/cu yd", DENSITY, LB / (YD * YD * YD), NULL, NULL, NULL},
    {"1/d", PER_TIME, 1, NULL, NULL, NULL},
    {"/day", PER_TIME, 1, NULL, NULL, NULL},
    {"per day", PER_TIME, 1, NULL, NULL, NULL},
    {"per week", PER_TIME, 1.0 / 7, NULL, NULL, NULL},
    {"days", TIME, 1, NULL, NULL, NULL},
    {"weeks", TIME, 7, NULL, NULL, NULL},
    {"months", TIME, 365.2425 / 12, NULL, NULL, NULL},
    {"in/week", {0, 1, -1, 0}, IN / 7, NULL, NULL, NULL},
    {"plants/m2", PER_AREA, 1, NULL, NULL, NULL},
    {"plants/sq ft", PER_AREA, 1 / (FT * FT), NULL, NULL, NULL},
    {"plants per foot", PER_LENGTH, 1 / FT, NULL, NULL, NULL},
    {"C", TEMPERATURE, 1, NULL, NULL, NULL},
    {"\xC2\xB0" "C", TEMPERATURE, 1, NULL, NULL, NULL},
    {"K", TEMPERATURE, 1, NULL, NULL, NULL},
    /* species */
    {"ppm NO3-N", FRACTION, 1e-6, "NO3-N", NULL, NULL},
    {"ppm nitrate-N", FRACTION, 1e-6, "NO3-N", NULL, NULL},
    {"ppm nitrate nitrogen", FRACTION, 1e-6, "NO3-N", NULL, NULL},
    {"mg/kg NO3", FRACTION, 1e-6, "NO3", NULL, NULL},
    {"mg/L NO3", DENSITY, 1, "NO3", NULL, NULL},
    {"mg/L as N", DENSITY, 1, "N", NULL, NULL},
    {"mg/L NO\xE2\x82\x83-N", DENSITY, 1, "NO3-N", NULL, NULL},
    {"lb N/ac", MASS_PER_AREA, LB / ACRE, "N", NULL, NULL},
    {"lb of N per acre", MASS_PER_AREA, LB / ACRE, "N", NULL, NULL},
    {"lb P2O5/1000 sq ft", MASS_PER_AREA, LB / 1000 / (FT * FT), "P2O5", NULL, NULL},
    {"mg/100 g P2O5", FRACTION, 1e-5, "P2O5", NULL, NULL},
    {"mg/100g P\xE2\x82\x82O\xE2\x82\x85", FRACTION, 1e-5, "P2O5", NULL, NULL},
    {"% K2O", FRACTION, 0.01, "K2O", NULL, NULL},
    {"ppm K", FRACTION, 1e-6, "K", NULL, NULL},
    {"mg P/kg", FRACTION, 1e-6, "P", NULL, NULL},
    {"% NH4-N", FRACTION, 0.01, "NH4-N", NULL, NULL},
    /* per words and measures */
    {"cup/plant", VOLUME, GAL / 16, NULL, "plant", NULL},
    {"cups per plant", VOLUME, GAL / 16, NULL, "plant", NULL},
    {"lb/100 plants", MASS, LB / 100, NULL, "plant", NULL},
    {"tbsp/mound", VOLUME, GAL / 256, NULL, "mound", NULL},
    {"tbsp per hill", VOLUME, GAL / 256, NULL, "mound", NULL},
    {"oz/pot", MASS, LB / 16, NULL, "pot", NULL},
    {"lb/row", MASS, LB, NULL, "row", NULL},
    {"in/season", LENGTH, IN, NULL, "season", NULL},
    {"bucket", FRACTION, 1, NULL, NULL, "bucket"},
    {"Wheelbarrows", FRACTION, 1, NULL, NULL, "wheelbarrow"},
    {"5-gal buckets", FRACTION, 1, NULL, NULL, "5-gal bucket"},
    {"boxes", FRACTION, 1, NULL, NULL, "box"},
    {"lb/bucket", MASS, LB, NULL, "bucket", NULL},
    {"wheelbarrows/100 sq ft", PER_AREA, 1 / (100 * FT * FT), NULL, NULL, "wheelbarrow"},
    {"bucket/plant", FRACTION, 1, NULL, "plant", "bucket"},
};

static const char *const refused[] = {
    "", " ", "a", "mt", "Gm", "G", "T", "MG", "M", "ML", "k", "N", "P2O5", "cubits", "bag", "5", "lb/",
    "lb/1000", "g/m2 per 1 %", "lb/ac/year", "g/m2/d", "/", "1/0 m", "lb/0 sq ft", "g m2", "lb N/ac P",
    "c", "f", "0x10 g", "nan g", "lb/-5 m2", "inf", "sq", "per", "per per", "lb per", "season",
};
/* clang-format on */

static void same_text(const char *got, const char *want)
{
    if (!want)
        assert_null(got);
    else
        assert_string_equal(got ? got : "(none)", want);
}

static void spellings(void **state)
{
    (void)state;
    struct shared s = shared_new();
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bt_unit unit;
        const bool read =
            bt_units_read(s.units, s.arena, rows[i].text, N_MEASURES, measures, &unit);
        if (!read || !bt_dim_same(unit.dim, rows[i].dim))
            print_error("unit \"%s\": g%d m%d d%d K%d\n", rows[i].text, unit.dim.g,
                        unit.dim.m, unit.dim.d, unit.dim.k);
        assert_true(read);
        assert_true(bt_dim_same(unit.dim, rows[i].dim));
        check_close(unit.factor, rows[i].factor, 1e-13, rows[i].text);
        assert_true(unit.offset == 0);
        same_text(unit.species, rows[i].species);
        same_text(unit.per, rows[i].per);
        same_text(unit.measure, rows[i].measure);
    }
    shared_free(s);
}

static void refusals(void **state)
{
    (void)state;
    struct shared s = shared_new();
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++) {
        struct bt_unit unit;
        const bool read =
            bt_units_read(s.units, s.arena, refused[i], N_MEASURES, measures, &unit);
        if (read)
            print_error("unit \"%s\" was taken\n", refused[i]);
        assert_false(read);
    }
    shared_free(s);
}

/* Degrees have a zero of their own: 32 F is 0 C, 212 F is 100 C. */
static void degrees(void **state)
{
    (void)state;
    static const char *const spelt[] = {"F",         "degF",       "deg F",
                                        "\302\260F", "\302\260 F", "degrees F"};
    struct shared s = shared_new();
    for (size_t i = 0; i < sizeof spelt / sizeof *spelt; i++) {
        struct bt_unit unit;
        assert_true(bt_units_read(s.units, s.arena, spelt[i], 0, NULL, &unit));
        assert_true(bt_dim_same(unit.dim, BT_TEMPERATURE));
        check_close(32 * unit.factor + unit.offset, 0, 1e-12, "by definition");
        check_close(212 * unit.factor + unit.offset, 100, 1e-13, "by definition");
    }
    shared_free(s);
}

/* Rates agree with the figures of handbook/soil (read there) and of plain arithmetic. */
static void rates(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        double per_g_m2, rel;
        const char *source;
    } known[] = {
        {"kg/ha",         10,     1e-13, "arithmetic"                        },
        {"lb/ac",         8.92,   5e-4,  "design section 3, rounded; derived"},
        {"lb/1000 sq ft", 0.205,  5e-3,  "design section 3, rounded; derived"},
        {"lb/100 sq ft",  0.0205, 5e-3,  "design section 3, rounded; derived"},
    };
    struct shared s = shared_new();
    for (size_t i = 0; i < sizeof known / sizeof *known; i++)
        check_close(bt_units_factor_to(s.units, s.arena, known[i].text), known[i].per_g_m2,
                    known[i].rel, known[i].source);
    shared_free(s);
}

/* A word of the garden is the garden's, even where our table has it too. */
static void own_measure(void **state)
{
    (void)state;
    static const char *const own[] = {"cup"};
    struct shared s = shared_new();
    struct bt_unit unit;
    assert_true(bt_units_read(s.units, s.arena, "cups/plant", 1, own, &unit));
    assert_string_equal(unit.measure, "cup");
    assert_string_equal(unit.per, "plant");
    assert_true(bt_dim_same(unit.dim, BT_FRACTION));
    shared_free(s);
}

/* Every unit of "lb, oz, kg" is taken and has the dimension; how many there are. */
static size_t all_taken(const struct shared *s, char *list, struct bt_dim dim)
{
    char **unit_text = NULL;
    const size_t n = bt_text_split(s->arena, list, ',', &unit_text);
    for (size_t i = 0; i < n; i++) {
        struct bt_unit unit;
        const bool read = bt_units_read(s->units, s->arena, unit_text[i], 0, NULL, &unit);
        if (!read || !bt_dim_same(unit.dim, dim))
            print_error("\"%s\" is proposed and not taken\n", unit_text[i]);
        assert_true(read && bt_dim_same(unit.dim, dim));
    }
    return n;
}

/* What a message proposes can be typed, and has the dimension that was asked for. */
static void accepted(void **state)
{
    (void)state;
    static const struct bt_dim dims[] = {
        FRACTION, MASS,        MASS_PER_AREA, DENSITY,      LENGTH,
        AREA,     VOLUME,      PER_AREA,      PER_LENGTH,   TIME,
        PER_TIME, TEMPERATURE, {0, 1,  -1, 0},
          {1, -1, 0,  0}
    };
    struct shared s = shared_new();
    for (size_t i = 0; i < sizeof dims / sizeof *dims; i++) {
        char *list = bt_arena_text(s.arena, bt_units_accepted(s.arena, dims[i]));
        assert_true(all_taken(&s, list, dims[i]) >= 2);
    }
    assert_string_equal(bt_units_accepted(s.arena, (struct bt_dim){1, 0, -2, 0}),
                        "g^1 m^0 d^-2 K^0");
    shared_free(s);
}

/* clang-format off */
static const struct bad {
    const char *table, *message;
} bad[] = {
    {"name,meaning\nlb,453 g\n",
     "tables/units.csv:1:1: error: header: expected the columns name, meaning, symbol (row 1)"},
    {"name,meaning,symbol\nlb,453 gram,no\n",
     "tables/units.csv:2:4: error: meaning: expected a number and g, m, d, K or a unit of a row above, "
     "as in \"12 in\", found \"453 gram\" (row 2, column B)"},
    {"name,meaning,symbol\nlb,453 g,maybe\n",
     "tables/units.csv:2:10: error: symbol: expected yes or no, found \"maybe\" (row 2, column C)"},
    {"name,meaning,symbol\nlb,453 g,no\nLB,454 g,no\n",
     "tables/units.csv:3:1: error: name: expected a name that no row above has, found \"LB\" (row 3, column A)"},
    {"name,meaning,symbol\n,453 g,no\n",
     "tables/units.csv:2:1: error: name: expected the name of a unit, found \"\" (row 2, column A)"},
    {"name,meaning,symbol\nx,g^9,no\n",
     "tables/units.csv:2:3: error: meaning: expected a number and g, m, d, K or a unit of a row above, "
     "as in \"12 in\", found \"g^9\" (row 2, column B)"},
    {"name,meaning,symbol\nx,0 g,no\n",
     "tables/units.csv:2:3: error: meaning: expected a number and g, m, d, K or a unit of a row above, "
     "as in \"12 in\", found \"0 g\" (row 2, column B)"},
    {"name,meaning,symbol\nx,g/yard,no\n",
     "tables/units.csv:2:3: error: meaning: expected a number and g, m, d, K or a unit of a row above, "
     "as in \"12 in\", found \"g/yard\" (row 2, column B)"},
    {"name,meaning,symbol\nx,K @ warm,no\n",
     "tables/units.csv:2:3: error: meaning: expected a number and g, m, d, K or a unit of a row above, "
     "as in \"12 in\", found \"K @ warm\" (row 2, column B)"},
};
/* clang-format on */

static void bad_tables(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        struct bt_arena *a = bt_arena_new(64, NULL, NULL);
        struct bt_diag *d = bt_diag_new(a);
        assert_null(bt_units_new(a, d, bad[i].table, strlen(bad[i].table)));
        assert_int_equal(bt_diag_kept(d), 1);
        assert_string_equal(bt_message_text(a, bt_diag_get(d, 0)), bad[i].message);
        bt_arena_free(a);
    }
    bt_units_free(NULL);
}

/* What units.h defines for code without units at hand is what the table says. */
static void defined(void **state)
{
    static const struct {
        const char *unit;
        double inside;
    } sizes[] = {
        {"lb",    BT_G_PER_LB                           },
        {"oz",    BT_G_PER_OZ                           },
        {"in",    BT_M_PER_INCH                         },
        {"ft",    BT_M_PER_FOOT                         },
        {"sq ft", BT_M2_PER_SQUARE_FOOT                 },
        {"cu ft", BT_M3_PER_CUBIC_FOOT                  },
        {"cup",   BT_M3_PER_CUP                         },
        {"tbsp",  BT_M3_PER_CUP / BT_TABLESPOONS_PER_CUP},
    };
    struct shared s = shared_new();
    (void)state;
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++)
        check_close(1 / bt_units_factor_to(s.units, s.arena, sizes[i].unit),
                    sizes[i].inside, 1e-12, sizes[i].unit);
    shared_free(s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(spellings),   cmocka_unit_test(refusals),
        cmocka_unit_test(degrees),     cmocka_unit_test(rates),
        cmocka_unit_test(own_measure), cmocka_unit_test(accepted),
        cmocka_unit_test(bad_tables),  cmocka_unit_test(defined),
    };
    return cmocka_run_group_tests_name("units", tests, NULL, NULL) != 0;
}
