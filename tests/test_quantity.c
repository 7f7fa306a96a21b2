/* Cells read as quantities: what each spelling means, and the exact text of each refusal
 * and note. Expected values are plain arithmetic on exact definitions (1 ft = 0.3048 m, 1
 * in = 0.0254 m, 1 lb = 453.59237 g, 1 gal = 231 in3). */
#include "cell_bench.h"

#define LB  453.59237
#define IN  0.0254
#define FT  0.3048
#define GAL (231 * IN * IN * IN)

static const char *const measures[] = {"bucket", "wheelbarrow", "5-gal bucket"};
static const char *const ratings[] = {"VL", "L", "M", "H", "VH"};
static const char *const yields[] = {"poor", "usual", "good"};

#define SHARE_UNITS "%, ppm, mg/kg, g/kg, lb/ton"
#define MASS_UNITS  "lb, oz, kg, g"
#define AREA_RATES  "lb/100 sq ft, lb/1000 sq ft, lb/ac, oz/sq yd, g/m2, kg/ha"

/* The columns that the cells stand in. */
enum kind { LENGTH, AMOUNT, PERCENT, TEST, PH, PRICE, YIELD, WARMTH, DENSITY, FEET, KINDS };

/* clang-format off */
static struct bt_accept accept_of(enum kind kind)
{
    const struct bt_accept all[KINDS] = {
        [LENGTH] = {.column = "length", .n_dims = 1, .dims = {BT_LENGTH}, .highest = 1000},
        [AMOUNT] = {.column = "amount", .n_dims = 4,
                    .dims = {BT_MASS, BT_VOLUME, BT_LENGTH, BT_MASS_PER_AREA},
                    .highest = HUGE_VAL, .n_measures = 3, .measures = measures},
        [PERCENT] = {.column = "n", .n_dims = 1, .dims = {BT_FRACTION}, .bare_percent = true,
                     .highest = 1},
        [TEST] = {.column = "phosphorus", .n_dims = 1, .dims = {BT_FRACTION}, .highest = 1,
                  .n_words = 5, .words = ratings},
        [PH] = {.column = "ph", .bare_number = true, .lowest = 2, .highest = 12},
        [PRICE] = {.column = "price", .bare_number = true, .lowest = -HUGE_VAL, .highest = 1e6},
        [YIELD] = {.column = "expected", .n_dims = 2, .dims = {BT_MASS, BT_MASS_PER_AREA},
                   .highest = HUGE_VAL, .n_words = 3, .words = yields},
        [WARMTH] = {.column = "mean_temperature", .n_dims = 1, .dims = {BT_TEMPERATURE},
                    .lowest = -30, .highest = 40},
        [DENSITY] = {.column = "density", .n_dims = 1, .dims = {BT_DENSITY}, .highest = HUGE_VAL,
                     .n_measures = 3, .measures = measures},
        [FEET] = {.column = "length", .n_dims = 1, .dims = {BT_LENGTH}, .header_unit = "ft",
                  .highest = 1000},
    };
    return all[kind];
}
/* clang-format on */

/* --- quantities that are read --- */

/* clang-format off */
static const struct good {
    enum kind kind;
    const char *cell;
    double low, likely, high; /* likely 0: two ends */
    enum bt_bound bound;
    const char *note;
} good[] = {
    /* plain numbers and units */
    {LENGTH, "12 ft", 12 * FT, 12 * FT, 12 * FT, BT_EXACTLY, NULL},
    {LENGTH, "12ft", 12 * FT, 12 * FT, 12 * FT, BT_EXACTLY, NULL},
    {LENGTH, "  12   feet ", 12 * FT, 12 * FT, 12 * FT, BT_EXACTLY, NULL},
    {LENGTH, "0.5 in", 0.5 * IN, 0.5 * IN, 0.5 * IN, BT_EXACTLY, NULL},
    {LENGTH, ".5 in.", 0.5 * IN, 0.5 * IN, 0.5 * IN, BT_EXACTLY, NULL},
    {LENGTH, "1.2 m", 1.2, 1.2, 1.2, BT_EXACTLY, NULL},
    {LENGTH, "75 cm", 0.75, 0.75, 0.75, BT_EXACTLY, NULL},
    {LENGTH, "1.2e1 m", 12, 12, 12, BT_EXACTLY, NULL},
    {LENGTH, "0", 0, 0, 0, BT_EXACTLY, NULL},
    {FEET, "12", 12 * FT, 12 * FT, 12 * FT, BT_EXACTLY, NULL},
    {FEET, "1.5 m", 1.5, 1.5, 1.5, BT_EXACTLY, NULL},
    {FEET, "4'6\"", 4.5 * FT, 4.5 * FT, 4.5 * FT, BT_EXACTLY, NULL},
    {AMOUNT, "40 lb", 40 * LB, 40 * LB, 40 * LB, BT_EXACTLY, NULL},
    {AMOUNT, "3 bu", 3 * 2150.42 * IN * IN * IN, 3 * 2150.42 * IN * IN * IN, 3 * 2150.42 * IN * IN * IN, BT_EXACTLY, NULL},
    {AMOUNT, "2 lb/100 sq ft", 2 * LB / 100 / FT / FT, 2 * LB / 100 / FT / FT, 2 * LB / 100 / FT / FT, BT_EXACTLY, NULL},
    {AMOUNT, "70 g/m\xC2\xB2", 70, 70, 70, BT_EXACTLY, NULL},
    {AMOUNT, "1 in", IN, IN, IN, BT_EXACTLY, NULL},
    {AMOUNT, "2 wheelbarrows", 2, 2, 2, BT_EXACTLY, NULL},
    {AMOUNT, "3 5-gal buckets", 3, 3, 3, BT_EXACTLY, NULL},
    {AMOUNT, "1 bucket/100 sq ft", 0.01 / FT / FT, 0.01 / FT / FT, 0.01 / FT / FT, BT_EXACTLY, NULL},
    {AMOUNT, "1/2 cup/plant", GAL / 32, GAL / 32, GAL / 32, BT_EXACTLY, NULL},
    {AMOUNT, "1 ton/ac", 2000 * LB / 43560 / FT / FT, 2000 * LB / 43560 / FT / FT, 2000 * LB / 43560 / FT / FT, BT_EXACTLY,
     "a ton is read as the short ton, 2,000 lb; the metric one is t"},
    {AMOUNT, "1 metric ton", 1e6, 1e6, 1e6, BT_EXACTLY, NULL},
    {DENSITY, "24 lb/bucket", 24 * LB, 24 * LB, 24 * LB, BT_EXACTLY, NULL},
    {DENSITY, "600 kg/m3", 6e5, 6e5, 6e5, BT_EXACTLY, NULL},
    {TEST, "28 ppm", 28e-6, 28e-6, 28e-6, BT_EXACTLY, NULL},
    {TEST, "57 mg/kg", 57e-6, 57e-6, 57e-6, BT_EXACTLY, NULL},
    {TEST, "35 mg/100g P2O5", 35e-5, 35e-5, 35e-5, BT_EXACTLY, NULL},
    {TEST, "3.8%", 0.038, 0.038, 0.038, BT_EXACTLY, NULL},
    {PERCENT, "3.8", 0.038, 0.038, 0.038, BT_EXACTLY, NULL},
    {PERCENT, "3.8 %", 0.038, 0.038, 0.038, BT_EXACTLY, NULL},
    {PERCENT, "12 g/kg", 0.012, 0.012, 0.012, BT_EXACTLY, NULL},
    {PH, "6.4", 6.4, 6.4, 6.4, BT_EXACTLY, NULL},
    {PRICE, "4.99", 4.99, 4.99, 4.99, BT_EXACTLY, NULL},
    {PRICE, "$42.50", 42.5, 42.5, 42.5, BT_EXACTLY, NULL},
    {PRICE, "\xE2\x82\xAC 1.50", 1.5, 1.5, 1.5, BT_EXACTLY, NULL},
    {PRICE, "-15", -15, -15, -15, BT_EXACTLY, NULL},
    {WARMTH, "50 F", 10, 10, 10, BT_EXACTLY, NULL},
    {WARMTH, "50\xC2\xB0 F", 10, 10, 10, BT_EXACTLY, NULL},
    {WARMTH, "11.5 \xC2\xB0" "C", 11.5, 11.5, 11.5, BT_EXACTLY, NULL},
    {WARMTH, "-4 C", -4, -4, -4, BT_EXACTLY, NULL},
    /* fractions */
    {AMOUNT, "3/4 cup", GAL / 16 * 0.75, GAL / 16 * 0.75, GAL / 16 * 0.75, BT_EXACTLY, NULL},
    {AMOUNT, "1 1/2 lb", 1.5 * LB, 1.5 * LB, 1.5 * LB, BT_EXACTLY, NULL},
    {AMOUNT, "\xC2\xBD lb", 0.5 * LB, 0.5 * LB, 0.5 * LB, BT_EXACTLY, NULL},
    {AMOUNT, "1\xC2\xBD lb", 1.5 * LB, 1.5 * LB, 1.5 * LB, BT_EXACTLY, NULL},
    {AMOUNT, "1 \xC2\xBE lb", 1.75 * LB, 1.75 * LB, 1.75 * LB, BT_EXACTLY, NULL},
    {AMOUNT, "1\xE2\x81\x84" "2 cup", GAL / 32, GAL / 32, GAL / 32, BT_EXACTLY, NULL},
    {AMOUNT, "2-1/2 lb", 2.5 * LB, 2.5 * LB, 2.5 * LB, BT_EXACTLY, "read as 2.5; a range is written low..high"},
    {AMOUNT, "'1/4 lb", 0.25 * LB, 0.25 * LB, 0.25 * LB, BT_EXACTLY, NULL},
    /* thousands, guesses */
    {AMOUNT, "1,200 g", 1200, 1200, 1200, BT_EXACTLY, "read as 1200"},
    {AMOUNT, "12,345.5 g", 12345.5, 12345.5, 12345.5, BT_EXACTLY, "read as 12345.5"},
    {PERCENT, "~8.9 %", 0.089, 0.089, 0.089, BT_EXACTLY, "read as 8.9; a range, low..high, would say how sure it is"},
    {AMOUNT, "about 3 lb", 3 * LB, 3 * LB, 3 * LB, BT_EXACTLY, "read as 3; a range, low..high, would say how sure it is"},
    {AMOUNT, "approx. 3 lb", 3 * LB, 3 * LB, 3 * LB, BT_EXACTLY, "read as 3; a range, low..high, would say how sure it is"},
    {PERCENT, "0.5 (guess)", 0.005, 0.005, 0.005, BT_EXACTLY, "read as 0.5; a range, low..high, would say how sure it is"},
    {AMOUNT, "3 lb ?", 3 * LB, 3 * LB, 3 * LB, BT_EXACTLY, "read as 3; a range, low..high, would say how sure it is"},
    /* ranges */
    {AMOUNT, "2..4 lb", 2 * LB, 0, 4 * LB, BT_EXACTLY, NULL},
    {AMOUNT, "2...4 lb", 2 * LB, 0, 4 * LB, BT_EXACTLY, NULL},
    {AMOUNT, "2 \xE2\x80\xA6 4 lb", 2 * LB, 0, 4 * LB, BT_EXACTLY, NULL},
    {AMOUNT, "2..3..4 lb", 2 * LB, 3 * LB, 4 * LB, BT_EXACTLY, NULL},
    {AMOUNT, "2 to 4 lb", 2 * LB, 0, 4 * LB, BT_EXACTLY, NULL},
    {AMOUNT, "2 lb to 4 lb", 2 * LB, 0, 4 * LB, BT_EXACTLY, NULL},
    {AMOUNT, "2-4 lb", 2 * LB, 0, 4 * LB, BT_EXACTLY, NULL},
    {AMOUNT, "2\xE2\x80\x93" "4 lb", 2 * LB, 0, 4 * LB, BT_EXACTLY, NULL},
    {AMOUNT, "2 - 4 lb", 2 * LB, 0, 4 * LB, BT_EXACTLY, NULL},
    {AMOUNT, "1/2 to 3/4 lb", 0.5 * LB, 0, 0.75 * LB, BT_EXACTLY, NULL},
    {AMOUNT, "1/2-3/4 lb", 0.5 * LB, 0, 0.75 * LB, BT_EXACTLY, NULL},
    {AMOUNT, "0-1/2 lb", 0, 0, 0.5 * LB, BT_EXACTLY, NULL},
    {AMOUNT, "0..2 lb", 0, 0, 2 * LB, BT_EXACTLY, NULL},
    {AMOUNT, "2 to 3 wheelbarrows", 2, 0, 3, BT_EXACTLY, NULL},
    {AMOUNT, "2-3 5-gal buckets", 2, 0, 3, BT_EXACTLY, NULL},
    {PERCENT, "12-13", 0.12, 0, 0.13, BT_EXACTLY, NULL},
    {PERCENT, "1\xC2\xB1" "0.2", 0.008, 0.01, 0.012, BT_EXACTLY, NULL},
    {PERCENT, "1 +/- 0.2 %", 0.008, 0.01, 0.012, BT_EXACTLY, NULL},
    {PRICE, "-2..3..6", -2, 3, 6, BT_EXACTLY, NULL},
    {PRICE, "-6 to -2", -6, 0, -2, BT_EXACTLY, NULL},
    {WARMTH, "41..50..59 F", 5, 10, 15, BT_EXACTLY, NULL},
    {AMOUNT, "about 2 to 3 lb", 2 * LB, 0, 3 * LB, BT_EXACTLY, NULL},
    {LENGTH, "4' to 5'", 4 * FT, 0, 5 * FT, BT_EXACTLY, NULL},
    {LENGTH, "4'-5'", 4 * FT, 0, 5 * FT, BT_EXACTLY, NULL},
    {LENGTH, "4'6\" to 5'6\"", 4.5 * FT, 0, 5.5 * FT, BT_EXACTLY, NULL},
    /* feet and inches, pounds and ounces */
    {LENGTH, "4'6\"", 4.5 * FT, 4.5 * FT, 4.5 * FT, BT_EXACTLY, NULL},
    {LENGTH, "4' 6\"", 4.5 * FT, 4.5 * FT, 4.5 * FT, BT_EXACTLY, NULL},
    {LENGTH, "4' 6 1/2\"", 54.5 * IN, 54.5 * IN, 54.5 * IN, BT_EXACTLY, NULL},
    {LENGTH, "4'6", 4.5 * FT, 4.5 * FT, 4.5 * FT, BT_EXACTLY, NULL},
    {LENGTH, "2'0\"", 2 * FT, 2 * FT, 2 * FT, BT_EXACTLY, NULL},
    {LENGTH, "10\"", 10 * IN, 10 * IN, 10 * IN, BT_EXACTLY, NULL},
    {LENGTH, "4.5'", 4.5 * FT, 4.5 * FT, 4.5 * FT, BT_EXACTLY, NULL},
    {LENGTH, "4 ft 6 in", 4.5 * FT, 4.5 * FT, 4.5 * FT, BT_EXACTLY, NULL},
    {LENGTH, "4 ft. 6 in.", 4.5 * FT, 4.5 * FT, 4.5 * FT, BT_EXACTLY, NULL},
    {LENGTH, "4\xE2\x80\x99" "6\xE2\x80\x9D", 4.5 * FT, 4.5 * FT, 4.5 * FT, BT_EXACTLY, NULL},
    {LENGTH, "6\xE2\x80\xB2" "3\xE2\x80\xB3", 6.25 * FT, 6.25 * FT, 6.25 * FT, BT_EXACTLY, NULL},
    {LENGTH, "1 m 20 cm", 1.2, 1.2, 1.2, BT_EXACTLY, NULL},
    {AMOUNT, "2 lb 4 oz", 2.25 * LB, 2.25 * LB, 2.25 * LB, BT_EXACTLY, NULL},
    /* bounds */
    {TEST, ">100 ppm", 100e-6, 100e-6, 100e-6, BT_ABOVE, NULL},
    {TEST, "> 100 ppm", 100e-6, 100e-6, 100e-6, BT_ABOVE, NULL},
    {TEST, "at least 100 ppm", 100e-6, 100e-6, 100e-6, BT_ABOVE, NULL},
    {TEST, "<1 ppm", 1e-6, 1e-6, 1e-6, BT_BELOW, NULL},
    {TEST, "\xE2\x89\xA4 1 ppm", 1e-6, 1e-6, 1e-6, BT_BELOW, NULL},
    {TEST, "less than 1 ppm", 1e-6, 1e-6, 1e-6, BT_BELOW, NULL},
    {TEST, "ND", 0, 0, 0, BT_NOT_DETECTED, NULL},
    {TEST, "n.d.", 0, 0, 0, BT_NOT_DETECTED, NULL},
    {TEST, "BDL", 0, 0, 0, BT_NOT_DETECTED, NULL},
    {TEST, "trace", 0, 0, 0, BT_NOT_DETECTED, NULL},
};

/* Cells without a number. */
static const struct {
    enum kind kind;
    const char *cell;
    enum bt_presence presence;
    const char *word, *note;
} wordy[] = {
    {AMOUNT, "", BT_BLANK, NULL, NULL},
    {AMOUNT, " \xC2\xA0 ", BT_BLANK, NULL, NULL},
    {AMOUNT, "none", BT_NONE, NULL, NULL},
    {AMOUNT, "Not recorded", BT_NOT_RECORDED, NULL, NULL},
    {AMOUNT, "n/a", BT_BLANK, NULL, "taken as not known"},
    {AMOUNT, "?", BT_BLANK, NULL, "taken as not known"},
    {AMOUNT, "-", BT_BLANK, NULL, "taken as not known"},
    {AMOUNT, "\xE2\x80\x94", BT_BLANK, NULL, "taken as not known"},
    {AMOUNT, "not tested", BT_BLANK, NULL, "taken as not known"},
    {TEST, "VH", BT_GIVEN, "VH", NULL},
    {TEST, "vh", BT_GIVEN, "VH", NULL},
    {YIELD, " Usual ", BT_GIVEN, "usual", NULL},
};

#define NOT_A_UNIT(u)     "\"" u "\" is not a unit known here"
#define NOT_A_MEASURE(u)                                                                   \
    NOT_A_UNIT(u) ": say in measures.csv what one holds, or write its weight or volume"
#define SOMETHING_ELSE(u) u " is a unit of something else"
#define IS_A(u, kind)     u " is " kind
#define UPWARDS           "a range runs upwards: low..high, or low..likely..high"
#define NO_GAP            "a number is written without a gap or mark inside, as in 1500"
#define SIDE_BY_SIDE      "two numbers stand side by side"

static const struct bad {
    enum kind kind;
    const char *cell;
    const char *expected; /* NULL: what the column takes */
    const char *hint;
} bad[] = {
    /* units */
    {LENGTH, "12", NULL, WRITE_UNIT},
    {LENGTH, "12 cubits", NULL, NOT_A_UNIT("cubits")},
    {LENGTH, "12 kg", NULL, IS_A("kg", "a weight")},
    {LENGTH, "4 ft/plant", NULL, SOMETHING_ELSE("ft/plant")},
    {FEET, "12 lb", NULL, IS_A("lb", "a weight")},
    {AMOUNT, "2 bags", NULL, NOT_A_MEASURE("bags")},
    {AMOUNT, "2 m2", NULL, IS_A("m2", "an area")},
    {YIELD, "2 yards", NULL, IS_A("yards", "a length")},
    {AMOUNT, "2 g/m2 per 1 %", NULL, NOT_A_UNIT("g/m2 per 1 %")},
    {TEST, "3.8", NULL, WRITE_UNIT},
    {TEST, "28 lb", NULL, IS_A("lb", "a weight")},
    {WARMTH, "0", NULL, WRITE_UNIT},
    {PH, "6.4 %", NULL, NULL},
    {DENSITY, "24 lb/plant", NULL, SOMETHING_ELSE("lb/plant")},
    /* not numbers */
    {LENGTH, "long", NULL, NULL},
    {LENGTH, "ft 12", NULL, NULL},
    {LENGTH, "0x10 ft", NULL, NOT_A_UNIT("x10 ft")},
    {LENGTH, "nan ft", NULL, NULL},
    {LENGTH, "inf", NULL, NULL},
    {LENGTH, "1e999 m", NULL, "the number is too long or too large"},
    {LENGTH, "9999999999999999999999999999999999999999999999999999999999999999 m", NULL, "the number is too long or too large"},
    {LENGTH, "1/0 m", NULL, "a number is divided by 0"},
    {LENGTH, "1 1/0 m", NULL, "a number is divided by 0"},
    {LENGTH, "12 ft\xE2\x82\xAC", NULL, NOT_A_UNIT("ft\xE2\x82\xAC")},
    {LENGTH, "5..", NULL, NOT_A_UNIT("..")},
    {LENGTH, "+5 m", NULL, NULL},
    {LENGTH, "5 m 6", NULL, NOT_A_UNIT("m 6")},
    {PH, "about", NULL, NULL},
    {TEST, "very high", NULL, NULL},
    /* marks inside numbers */
    {AMOUNT, "1,20,000 g", NULL, "numbers take a decimal point, and no mark or a comma for thousands"},
    {AMOUNT, "1 500 g", NULL, NO_GAP},
    {AMOUNT, "2 50 lb", NULL, SIDE_BY_SIDE},
    {AMOUNT, "2 3/2 lb", NULL, SIDE_BY_SIDE},
    {AMOUNT, "0.5 1/2 lb", NULL, SIDE_BY_SIDE},
    /* ranges and bounds */
    {AMOUNT, "4..2 lb", NULL, UPWARDS},
    {AMOUNT, "2..5..4 lb", NULL, UPWARDS},
    {AMOUNT, "1..2..3..4 lb", NULL, UPWARDS},
    {AMOUNT, "2-3-4 lb", NULL, "three values are written low..likely..high, as in 2..3..4"},
    {AMOUNT, "2 lb to 3 kg", NULL, "the numbers of a range take one unit"},
    {LENGTH, "4'14\"", NULL, "the second figure must be less than one of the first unit"},
    {TEST, ">2..3 ppm", NULL, "a bound takes one number"},
    /* limits */
    {AMOUNT, "-3 lb", "0 lb or more", NULL},
    {PERCENT, "120", "0 to 100", NULL},
    {PERCENT, "-0.24", "0 to 100", NULL},
    {PH, "64", "2 to 12", NULL},
    {PRICE, "10000000", "1000000 or less", NULL},
    {LENGTH, "3 cm to 2000 m", NULL, "the numbers of a range take one unit"},
    {LENGTH, "2000 m", "0 m to 1000 m", NULL},
    {WARMTH, "120 F", "-22 F to 104 F", NULL},
    /* what spreadsheets do */
    {AMOUNT, "=2*3", NULL, FORMULA},
    {AMOUNT, "=B8*D8", NULL, FORMULA},
    {AMOUNT, "#####", NULL, "the spreadsheet's column was too narrow; widen it and save again"},
    {AMOUNT, "2-Jan", NULL, MADE_A_DATE("1/2 or 1-2")},
    {AMOUNT, "10-May", NULL, MADE_A_DATE("5/10 or 5-10")},
    {AMOUNT, "Jan-15", NULL, MADE_A_DATE("1/15 or 1-15")},
    {AMOUNT, "1-Mar-2025", NULL, MADE_A_DATE("3/1 or 1-3")},
    {AMOUNT, "May-2025", NULL, MADE_A_DATE("5-25")},
    {AMOUNT, "5/10/2025", NULL, MADE_A_DATE("5/10 or 5-10")},
    {AMOUNT, "2025-05-10", NULL, MADE_A_DATE("5/10 or 5-10")},
    {AMOUNT, "2025-05-10 00:00:00", NULL, MADE_A_DATE("5/10 or 5-10")},
};
/* clang-format on */

static const char *const wanted[KINDS] = {
    [LENGTH] = "a number and its unit (" LENGTH_UNITS ")",
    [AMOUNT] = "a number and its unit (" MASS_UNITS
               "; gal, quart, cup, cu ft, cu yd, bu, L, m3; " LENGTH_UNITS "; " AREA_RATES
               ") or a measure (bucket, wheelbarrow, 5-gal bucket)",
    [PERCENT] = "a number in percent, or with its unit (" SHARE_UNITS ")",
    [TEST] = "a number and its unit (" SHARE_UNITS "), or VL, L, M, H, VH",
    [PH] = "a number without a unit",
    [PRICE] = "a number without a unit",
    [YIELD] =
        "a number and its unit (" MASS_UNITS "; " AREA_RATES "), or poor, usual, good",
    [WARMTH] = "a number and its unit (F, C)",
    [DENSITY] =
        "a number and its unit (mg/L, g/L, kg/m3, g/cm3, lb/cu ft, lb/cu yd) or a measure "
        "(bucket, wheelbarrow, 5-gal bucket)",
    [FEET] = "a number, alone or with its unit (" LENGTH_UNITS ")",
};

static void quantities(void **state)
{
    struct bench *b = *state;
    for (size_t i = 0; i < sizeof good / sizeof *good; i++) {
        const struct good *g = &good[i];
        const struct bt_accept accept = accept_of(g->kind);
        const struct bt_cell cell = cell_of(g->cell);
        struct bt_quantity q;
        const bool ok = bt_read_quantity(fresh(b), &cell, &accept, &q);
        assert_string_equal(messages(b), note_text(b, accept.column, g->cell, g->note));
        assert_true(ok);
        assert_int_equal(q.presence, BT_GIVEN);
        assert_int_equal(q.bound, g->bound);
        assert_null(q.word);
        assert_string_equal(q.cell.text, g->cell);
        check_close(q.range.low, g->low, 1e-12, g->cell);
        check_close(q.range.high, g->high, 1e-12, g->cell);
        const bool two_ends = g->likely == 0 && g->high > g->low;
        assert_int_equal(q.range.has_likely, !two_ends);
        if (!two_ends)
            check_close(q.range.likely, g->likely, 1e-12, g->cell);
        assert_int_equal(bt_range_is_exact(&q.range), g->low == g->high);
        if (g->low != g->high)
            assert_int_equal(q.range.ends, BT_P05_P95);
    }
}

static void words(void **state)
{
    struct bench *b = *state;
    for (size_t i = 0; i < sizeof wordy / sizeof *wordy; i++) {
        const struct bt_accept accept = accept_of(wordy[i].kind);
        const struct bt_cell cell = cell_of(wordy[i].cell);
        struct bt_quantity q;
        assert_true(bt_read_quantity(fresh(b), &cell, &accept, &q));
        assert_string_equal(messages(b),
                            note_text(b, accept.column, wordy[i].cell, wordy[i].note));
        assert_int_equal(q.presence, wordy[i].presence);
        assert_string_equal(q.word ? q.word : "", wordy[i].word ? wordy[i].word : "");
    }
}

static void refusals(void **state)
{
    struct bench *b = *state;
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        const struct bad *g = &bad[i];
        const struct bt_accept accept = accept_of(g->kind);
        const struct bt_cell cell = cell_of(g->cell);
        const char *expected = g->expected ? g->expected : wanted[g->kind];
        struct bt_quantity q;
        const bool ok = bt_read_quantity(fresh(b), &cell, &accept, &q);
        assert_string_equal(messages(b),
                            error_text(b, accept.column, expected, g->cell, g->hint));
        assert_false(ok);
        assert_int_equal(q.presence, BT_BLANK);
        assert_string_equal(q.cell.text, g->cell);
    }
}

/* What a rate counts, its species and its measure come along. */
static void details(void **state)
{
    struct bench *b = *state;
    struct bt_quantity q;
    struct bt_accept accept = accept_of(AMOUNT);
    struct bt_cell cell = cell_of("1/2 cup/plant");
    assert_true(bt_read_quantity(fresh(b), &cell, &accept, &q));
    assert_string_equal(q.unit.per, "plant");
    assert_string_equal(q.unit.text, "cup/plant");
    cell = cell_of("2 wheelbarrows");
    assert_true(bt_read_quantity(fresh(b), &cell, &accept, &q));
    assert_string_equal(q.unit.measure, "wheelbarrow");
    accept = accept_of(DENSITY);
    cell = cell_of("24 lb/bucket");
    assert_true(bt_read_quantity(fresh(b), &cell, &accept, &q));
    assert_string_equal(q.unit.per, "bucket");
    assert_true(bt_dim_same(q.unit.dim, BT_MASS));
    accept = accept_of(TEST);
    cell = cell_of("3 ppm NO3");
    assert_true(bt_read_quantity(fresh(b), &cell, &accept, &q));
    assert_string_equal(q.unit.species, "NO3");
    accept = accept_of(PERCENT);
    cell = cell_of("3.8");
    assert_true(bt_read_quantity(fresh(b), &cell, &accept, &q));
    assert_string_equal(q.unit.text, "");
    assert_true(bt_dim_same(q.unit.dim, BT_FRACTION));
}

/* Two ends alone: the middle, as a ratio when they are more than four times apart. */
static void middles(void **state)
{
    struct bench *b = *state;
    const struct bt_accept accept = accept_of(PH), price = accept_of(PRICE);
    struct bt_quantity q;
    struct bt_cell cell = cell_of("5..7");
    assert_true(bt_read_quantity(fresh(b), &cell, &accept, &q));
    check_close(q.range.likely, 6, 1e-15, "arithmetic");
    cell = cell_of("2..18");
    assert_true(bt_read_quantity(fresh(b), &cell, &price, &q));
    check_close(q.range.likely, 6, 1e-15, "arithmetic: sqrt(2 . 18)");
    cell = cell_of("0..18");
    assert_true(bt_read_quantity(fresh(b), &cell, &price, &q));
    check_close(q.range.likely, 9, 1e-15, "arithmetic");
}

/* One complete message as the user sees it. */
/* A chosen shape, and ends that are never passed. */
static void shapes(void **state)
{
    static const struct {
        const char *text;
        enum bt_form form;
        enum bt_ends ends;
        double likely;
    } row[] = {
        {"2..3..4 lb triangular",         BT_FORM_TRIANGULAR,       BT_P05_P95, 3 * LB},
        {"2..4 lb Uniform",               BT_FORM_UNIFORM,          BT_P05_P95, 3 * LB},
        {"2 to 4 lb normal",              BT_FORM_TRUNCATED_NORMAL, BT_P05_P95, 3 * LB},
        {"4..9 lb lognormal",             BT_FORM_LOGNORMAL,        BT_P05_P95, 6 * LB},
        {"2..3..4 lb bounds",             BT_FORM_AUTO,             BT_BOUNDS,  3 * LB},
        {"2..3..4 lb triangular, bounds", BT_FORM_AUTO,             BT_P05_P95, 0     },
        {"2..3..4 lb bounds pert",        BT_FORM_PERT,             BT_BOUNDS,  3 * LB},
        {"3 lb triangular",               BT_FORM_AUTO,             BT_P05_P95, 0     },
        {">3 lb bounds",                  BT_FORM_AUTO,             BT_P05_P95, 0     },
        {"2..3..4 lb square",             BT_FORM_AUTO,             BT_P05_P95, 0     },
        {"triangular",                    BT_FORM_AUTO,             BT_P05_P95, 0     },
    };
    struct bench *b = *state;
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        struct bt_quantity q;
        const struct bt_accept accept = accept_of(AMOUNT);
        const struct bt_cell cell = cell_of(row[i].text);
        const bool ok = bt_read_quantity(fresh(b), &cell, &accept, &q);
        assert_int_equal(ok, row[i].likely > 0);
        if (!ok)
            continue;
        assert_int_equal(q.range.form, row[i].form);
        assert_int_equal(q.range.ends, row[i].ends);
        check_close(q.range.likely, row[i].likely, 1e-12, row[i].text);
    }
}

static void a_whole_message(void **state)
{
    struct bench *b = *state;
    const struct bt_accept accept = accept_of(LENGTH);
    const struct bt_cell cell = cell_of("12");
    struct bt_quantity q;
    assert_false(bt_read_quantity(fresh(b), &cell, &accept, &q));
    assert_string_equal(
        messages(b),
        "t.csv:3:5: error: length: expected a number and its unit (ft, in, yd, m, "
        "cm, mm), found \"12\" (row 3, column B)\n"
        "  hint: write the unit in the cell, or in the header as in \"length "
        "(ft)\"\n");
}

/* --- anything at all --- */

/* No text may crash a reader; what is taken is finite, ordered and inside the limits, and
 * what is not taken has exactly one error. A fixed walk over texts made of telling pieces.
 */
static void any_text(void **state)
{
    static const char *const piece[] = {
        "1",    "0.5", "12", " ",        "/",  "-",  "..", ",", "'",   "\"",   "lb",
        " to ", "%",   "e9", "\xC2\xBD", "ft", "+-", "x",  "<", "May", "2025", "."};
    const size_t n = sizeof piece / sizeof *piece;
    struct bench *b = *state;
    for (size_t code = 0; code < n * n * n * 5; code++) {
        const struct bt_mark mark = bt_arena_mark(b->arena);
        const char *text =
            bt_arena_format(b->arena, "%s%s%s%s", piece[code % n], piece[code / n % n],
                            piece[code / n / n % n], piece[code * 7 % n]);
        const struct bt_accept accept = accept_of((enum kind)(code % KINDS));
        const struct bt_cell cell = cell_of(text);
        struct bt_quantity q;
        const bool ok = bt_read_quantity(fresh(b), &cell, &accept, &q);
        assert_int_equal(bt_diag_count(b->diag, BT_ERROR), !ok);
        if (ok && q.presence == BT_GIVEN && !q.word) {
            assert_true(isfinite(q.range.low) && isfinite(q.range.high));
            assert_true(q.range.low <= q.range.likely && q.range.likely <= q.range.high);
            assert_true(q.range.low >= accept.lowest && q.range.high <= accept.highest);
        }
        struct bt_count c;
        const bool counted = bt_read_count(fresh(b), &cell, "plants", &c);
        assert_int_equal(bt_diag_count(b->diag, BT_ERROR), !counted);
        struct bt_date date;
        const bool dated = bt_read_date(fresh(b), &cell, "date", &date);
        assert_int_equal(bt_diag_count(b->diag, BT_ERROR), !dated);
        bt_arena_release(b->arena, mark);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(quantities), cmocka_unit_test(words),
        cmocka_unit_test(refusals),   cmocka_unit_test(details),
        cmocka_unit_test(middles),    cmocka_unit_test(a_whole_message),
        cmocka_unit_test(shapes),     cmocka_unit_test(any_text),
    };
    return cmocka_run_group_tests_name("quantity", tests, open_bench, close_bench) != 0;
}
