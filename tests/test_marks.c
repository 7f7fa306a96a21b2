/* Cells as people and programs leave them: what each is read as, what is said of it, and
 * how a cleaned copy would have it. Sixty and more, all our own invention; expected values
 * are plain arithmetic on exact definitions. */
#include "cell_bench.h"

#define LB  453.59237
#define IN  0.0254
#define FT  0.3048
#define CUP (231 * IN * IN * IN / 16)

static const char *const measures[] = {"bucket", "wheelbarrow"};

#define NOT_WORKED_OUT                                                                     \
    "w an error of the spreadsheet: taken as not known; the figure may be on the sheet "   \
    "it was worked out from"
#define NOTHING ((double)NAN)

enum kind { LENGTH, AMOUNT, PERCENT, TEST, OM, PH, PRICE, LENGTH_IN, KINDS };

/* clang-format off */
static struct bt_accept accept_of(enum kind kind)
{
    const struct bt_accept all[KINDS] = {
        [LENGTH] = {.column = "length", .n_dims = 1, .dims = {BT_LENGTH}, .highest = 1e4},
        [AMOUNT] = {.column = "amount", .n_dims = 2, .dims = {BT_MASS, BT_VOLUME},
                    .highest = HUGE_VAL, .n_measures = 2, .measures = measures},
        [PERCENT] = {.column = "n", .n_dims = 1, .dims = {BT_FRACTION}, .bare_percent = true,
                     .highest = 1},
        [TEST] = {.column = "phosphorus", .n_dims = 1, .dims = {BT_FRACTION}, .highest = 1},
        [OM] = {.column = "organic_matter", .n_dims = 1, .dims = {BT_FRACTION},
                .bare_percent = true, .highest = 1},
        [PH] = {.column = "ph", .bare_number = true, .highest = 14},
        [LENGTH_IN] = {.column = "spacing", .n_dims = 1, .dims = {BT_LENGTH}, .header_unit = "in",
                       .highest = 1e4},
        [PRICE] = {.column = "price", .bare_number = true, .lowest = -HUGE_VAL, .highest = 1e9},
    };
    return all[kind];
}

#define SURE     "; a range, low..high, would say how sure it is"
#define COMMA(n) "w the comma is taken for a decimal sign: read as " n
#define KNOWN    "n taken as not known"

/* `says`: a weight (n, w) and the hint of each message, one a line; "" for none.
 * `clean`: the cell of a cleaned copy; NULL when it stays as it is. */
static const struct row {
    enum kind kind;
    bool decimal_comma;
    const char *cell;
    double low, high; /* NAN: blank */
    enum bt_bound bound;
    const char *says, *clean;
} rows[] = {
    /* what a spreadsheet could not work out */
    {AMOUNT, 0, "#DIV/0!", NOTHING, NOTHING, BT_EXACTLY, NOT_WORKED_OUT, ""},
    {AMOUNT, 0, " #N/A ", NOTHING, NOTHING, BT_EXACTLY, NOT_WORKED_OUT, ""},
    {TEST, 0, "#WERT!", NOTHING, NOTHING, BT_EXACTLY, NOT_WORKED_OUT, ""},
    {OM, 1, "#NAME?", NOTHING, NOTHING, BT_EXACTLY, NOT_WORKED_OUT, ""},
    {PERCENT, 0, "#NV", NOTHING, NOTHING, BT_EXACTLY, NOT_WORKED_OUT, ""},
    /* decimal commas in a file of points: taken, with a warning */
    {LENGTH, 0, "4,5 m", 4.5, 4.5, BT_EXACTLY, COMMA("4.5"), "4.5 m"},
    {PERCENT, 0, "4,0", 0.04, 0.04, BT_EXACTLY, COMMA("4.0"), "4.0"},
    {AMOUNT, 0, "0,500 g", 0.5, 0.5, BT_EXACTLY, COMMA("0.500"), "0.500 g"},
    {AMOUNT, 0, "1,2000 g", 1.2, 1.2, BT_EXACTLY, COMMA("1.2000"), "1.2000 g"},
    {AMOUNT, 0, "1.250,5 g", 1250.5, 1250.5, BT_EXACTLY, COMMA("1250.5"), "1250.5 g"},
    {AMOUNT, 0, "1.250.000 g", 1.25e6, 1.25e6, BT_EXACTLY, COMMA("1250000"), "1250000 g"},
    {LENGTH, 0, "2,5..3,5 m", 2.5, 3.5, BT_EXACTLY, COMMA("2.5") "\n" COMMA("3.5"), "2.5..3.5 m"},
    {TEST, 0, "<2,5 ppm", 2.5e-6, 2.5e-6, BT_BELOW, COMMA("2.5"), "<2.5 ppm"},
    /* the same in a file of decimal commas: as it is meant, without a word */
    {LENGTH, 1, "5,00 m", 5, 5, BT_EXACTLY, "", "5.00 m"},
    {LENGTH, 1, "0,75 m", 0.75, 0.75, BT_EXACTLY, "", "0.75 m"},
    {AMOUNT, 1, "1,250 kg", 1250, 1250, BT_EXACTLY, "", "1.250 kg"},
    {AMOUNT, 1, "1.250,5 g", 1250.5, 1250.5, BT_EXACTLY, "", "1250.5 g"},
    {AMOUNT, 1, "1.250.000 g", 1.25e6, 1.25e6, BT_EXACTLY, "", "1250000 g"},
    {PERCENT, 1, "28,5 %", 0.285, 0.285, BT_EXACTLY, "", "28.5 %"},
    {PERCENT, 1, "0.5", 0.005, 0.005, BT_EXACTLY, "", NULL},
    {LENGTH, 1, "6.4 m", 6.4, 6.4, BT_EXACTLY, "", NULL},
    {LENGTH, 1, "1,2-1,5 m", 1.2, 1.5, BT_EXACTLY, "", "1.2-1.5 m"},
    {TEST, 1, ">99,5 ppm", 99.5e-6, 99.5e-6, BT_ABOVE, "", ">99.5 ppm"},
    /* thousands */
    {AMOUNT, 0, "1,200 g", 1200, 1200, BT_EXACTLY, "n read as 1200", "1200 g"},
    {AMOUNT, 0, "12,345,678.5 g", 12345678.5, 12345678.5, BT_EXACTLY, "n read as 12345678.5", "12345678.5 g"},
    {AMOUNT, 0, "1\xC2\xA0" "500 g", 1500, 1500, BT_EXACTLY, "n read as 1500", "1500 g"},
    {AMOUNT, 0, "1\xE2\x80\xAF" "250 g", 1250, 1250, BT_EXACTLY, "n read as 1250", "1250 g"},
    {AMOUNT, 0, "1\xE2\x80\x89" "250\xE2\x80\x89" "000 g", 1.25e6, 1.25e6, BT_EXACTLY, "n read as 1250000", "1250000 g"},
    {AMOUNT, 0, "1'000 g", 1000, 1000, BT_EXACTLY, "n read as 1000", "1000 g"},
    {AMOUNT, 0, "1\xE2\x80\x99" "000 g", 1000, 1000, BT_EXACTLY, "n read as 1000", "1000 g"},
    {AMOUNT, 0, "1'234.5 g", 1234.5, 1234.5, BT_EXACTLY, "n read as 1234.5", "1234.5 g"},
    {AMOUNT, 0, "1\xC2\xA0" "234,5 g", 1234.5, 1234.5, BT_EXACTLY, "n read as 1234.5", "1234.5 g"},
    {AMOUNT, 1, "1\xC2\xA0" "234,5 g", 1234.5, 1234.5, BT_EXACTLY, "n read as 1234.5", "1234.5 g"},
    {AMOUNT, 0, "250\xC2\xA0g", 250, 250, BT_EXACTLY, "", NULL},
    {LENGTH, 0, "4'6\"", 4.5 * FT, 4.5 * FT, BT_EXACTLY, "", NULL},
    /* money */
    {PRICE, 0, "$42.50", 42.5, 42.5, BT_EXACTLY, "", NULL},
    {PRICE, 0, "\xE2\x82\xAC\xC2\xA0" "0.0012", 0.0012, 0.0012, BT_EXACTLY, "", NULL},
    {PRICE, 0, "1.50 \xE2\x82\xAC", 1.5, 1.5, BT_EXACTLY, "", NULL},
    {PRICE, 0, "USD 15", 15, 15, BT_EXACTLY, "", NULL},
    {PRICE, 0, "105.00 USD", 105, 105, BT_EXACTLY, "", NULL},
    {PRICE, 0, "CHF 3.20", 3.2, 3.2, BT_EXACTLY, "", NULL},
    {PRICE, 0, "\xC2\xA3" "12", 12, 12, BT_EXACTLY, "", NULL},
    {PRICE, 0, "($15.00)", -15, -15, BT_EXACTLY, "", NULL},
    {PRICE, 0, "(15)", -15, -15, BT_EXACTLY, "", NULL},
    {PRICE, 0, "$1,250", 1250, 1250, BT_EXACTLY, "n read as 1250", "1250"},
    {PRICE, 0, "12,50 EUR", 12.5, 12.5, BT_EXACTLY, COMMA("12.50"), "12.50 EUR"},
    {PRICE, 1, "12,50 \xE2\x82\xAC", 12.5, 12.5, BT_EXACTLY, "", "12.50 \xE2\x82\xAC"},
    /* fractions in every spelling */
    {AMOUNT, 0, "\xC2\xBD cup", CUP / 2, CUP / 2, BT_EXACTLY, "", NULL},
    {AMOUNT, 0, "1\xC2\xBD lb", 1.5 * LB, 1.5 * LB, BT_EXACTLY, "", NULL},
    {AMOUNT, 0, "1\xE2\x81\x84" "2 cup", CUP / 2, CUP / 2, BT_EXACTLY, "", NULL},
    {AMOUNT, 0, "2 \xE2\x85\x94 cup", CUP * 8 / 3, CUP * 8 / 3, BT_EXACTLY, "", NULL},
    {AMOUNT, 0, "\xE2\x85\x9B lb", LB / 8, LB / 8, BT_EXACTLY, "", NULL},
    {AMOUNT, 0, "\xE2\x85\x99 lb", LB / 6, LB / 6, BT_EXACTLY, "", NULL},
    {AMOUNT, 0, "1 1/2 lb", 1.5 * LB, 1.5 * LB, BT_EXACTLY, "", NULL},
    {AMOUNT, 0, "'1/4 lb", LB / 4, LB / 4, BT_EXACTLY, "", NULL},
    {AMOUNT, 0, "2-1/2 lb", 2.5 * LB, 2.5 * LB, BT_EXACTLY, "n read as 2.5; a range is written low..high", "2 1/2 lb"},
    {LENGTH_IN, 0, "1 3/16", 19 * IN / 16, 19 * IN / 16, BT_EXACTLY, "", NULL}, /* no date; found by fuzzing */
    /* feet and inches with every mark */
    {LENGTH, 0, "4\xE2\x80\x99" "6\xE2\x80\x9D", 4.5 * FT, 4.5 * FT, BT_EXACTLY, "", NULL},
    {LENGTH, 0, "6\xE2\x80\xB2" "3\xE2\x80\xB3", 6.25 * FT, 6.25 * FT, BT_EXACTLY, "", NULL},
    {LENGTH, 0, "10\xE2\x80\xB3", 10 * IN, 10 * IN, BT_EXACTLY, "", NULL},
    {LENGTH, 0, "4' 6\xC2\xBD\"", 54.5 * IN, 54.5 * IN, BT_EXACTLY, "", NULL},
    {LENGTH, 0, "4.5'", 4.5 * FT, 4.5 * FT, BT_EXACTLY, "", NULL},
    /* about, ranges, bounds */
    {PERCENT, 0, "~8.9 %", 0.089, 0.089, BT_EXACTLY, "n read as 8.9" SURE, "8.9 %"},
    {PERCENT, 0, "0.5 (guess)", 0.005, 0.005, BT_EXACTLY, "n read as 0.5" SURE, "0.5"},
    {AMOUNT, 0, "about 3 buckets", 3, 3, BT_EXACTLY, "n read as 3" SURE, "3 buckets"},
    {PERCENT, 0, "1\xC2\xB1" "0.2", 0.008, 0.012, BT_EXACTLY, "", NULL},
    {AMOUNT, 0, "2\xE2\x80\x93" "3 wheelbarrows", 2, 3, BT_EXACTLY, "", NULL},
    {TEST, 0, ">100 ppm", 100e-6, 100e-6, BT_ABOVE, "", NULL},
    {TEST, 0, "<LOD", 0, 0, BT_NOT_DETECTED, "", NULL},
    {TEST, 0, "b.d.l.", 0, 0, BT_NOT_DETECTED, "", NULL},
    {TEST, 0, "tr.", 0, 0, BT_NOT_DETECTED, "", NULL},
    {TEST, 0, "n.b.", NOTHING, NOTHING, BT_EXACTLY, KNOWN, ""},
    {TEST, 0, "not determined", NOTHING, NOTHING, BT_EXACTLY, KNOWN, ""},
    {TEST, 0, "\xE2\x80\x94", NOTHING, NOTHING, BT_EXACTLY, KNOWN, ""},
    {TEST, 0, "NaN", NOTHING, NOTHING, BT_EXACTLY, KNOWN, ""},
    /* a name before the number, scientific numbers */
    {OM, 0, "OM 6.7%", 0.067, 0.067, BT_EXACTLY, "n the name before the number is passed over", "6.7%"},
    {PH, 0, "pH: 6.4", 6.4, 6.4, BT_EXACTLY, "n the name before the number is passed over", "6.4"},
    {TEST, 0, "P = 28 ppm", 28e-6, 28e-6, BT_EXACTLY, "n the name before the number is passed over", "28 ppm"},
    {AMOUNT, 0, "1.2E+03 g", 1200, 1200, BT_EXACTLY, "", NULL},
    {AMOUNT, 1, "1,2E+03 g", 1200, 1200, BT_EXACTLY, "", "1.2E+03 g"},
};

/* Refused, with the likely meaning. */
static const struct {
    enum kind kind;
    bool decimal_comma;
    const char *cell, *hint;
} refused[] = {
    {AMOUNT, 1, "1.250 g", "1.250 may be 1250 or 1,250: write which"},
    {AMOUNT, 0, "1 500 g", "a number is written without a gap or mark inside, as in 1500"},
    {AMOUNT, 0, "1,20,000 g", "numbers take a decimal point, and no mark or a comma for thousands"},
    {AMOUNT, 0, "=SUM(1,5)", FORMULA},
    {AMOUNT, 0, "=2*3", FORMULA},
    {AMOUNT, 0, "# 12", SHEET_ERROR},
    {AMOUNT, 0, "2-Jan", MADE_A_DATE("1/2 or 1-2")},
    {AMOUNT, 0, "1-Mar", MADE_A_DATE("3/1 or 1-3")},
    {AMOUNT, 0, "10-May", MADE_A_DATE("5/10 or 5-10")},
    {AMOUNT, 0, "Jan-15", MADE_A_DATE("1/15 or 1-15")},
    {AMOUNT, 0, "4,5,6 g", "numbers take a decimal point, and no mark or a comma for thousands"},
};
/* clang-format on */

/* "n HINT" or "w HINT", a line each. */
static const char *said(const struct bench *b)
{
    const char *s = "";
    for (size_t i = 0; i < bt_diag_kept(b->diag); i++) {
        const struct bt_message *m = bt_diag_get(b->diag, i);
        s = bt_arena_format(b->arena, "%s%s%c %s", s, i ? "\n" : "",
                            m->weight == BT_NOTE      ? 'n'
                            : m->weight == BT_WARNING ? 'w'
                                                      : 'e',
                            m->hint ? m->hint : "");
    }
    return s;
}

static void readings(void **state)
{
    struct bench *b = *state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct row *x = &rows[i];
        const struct bt_accept accept = accept_of(x->kind);
        const struct bt_cell cell = cell_of(x->cell);
        struct bt_fixes fixes = {.arena = b->arena};
        struct bt_reader *r = fresh(b);
        struct bt_quantity q;
        r->decimal_comma = x->decimal_comma;
        r->fixes = &fixes;
        const bool ok = bt_read_quantity(r, &cell, &accept, &q);
        assert_string_equal(said(b), x->says);
        assert_true(ok);
        assert_int_equal(q.presence, isnan(x->low) ? BT_BLANK : BT_GIVEN);
        if (!isnan(x->low)) {
            check_close(q.range.low, x->low, 1e-12, x->cell);
            check_close(q.range.high, x->high, 1e-12, x->cell);
        }
        assert_int_equal(q.bound, x->bound);
        assert_int_equal(fixes.n, x->clean != NULL);
        if (x->clean)
            assert_string_equal(fixes.fix[0].to, x->clean);
    }
}

/* What a cleaned cell says is the same, without a message. */
static void cleaned_cells_say_the_same(void **state)
{
    struct bench *b = *state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct row *x = &rows[i];
        if (!x->clean)
            continue;
        const struct bt_accept accept = accept_of(x->kind);
        const struct bt_cell cell = cell_of(x->clean);
        struct bt_quantity q;
        assert_true(bt_read_quantity(fresh(b), &cell, &accept, &q));
        assert_string_equal(said(b), "");
        if (isnan(x->low)) {
            assert_int_equal(q.presence, BT_BLANK);
            continue;
        }
        check_close(q.range.low, x->low, 1e-12, x->clean);
        check_close(q.range.high, x->high, 1e-12, x->clean);
        assert_int_equal(q.bound, x->bound);
    }
}

static void refusals(void **state)
{
    struct bench *b = *state;
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++) {
        const struct bt_accept accept = accept_of(refused[i].kind);
        const struct bt_cell cell = cell_of(refused[i].cell);
        struct bt_reader *r = fresh(b);
        struct bt_quantity q;
        r->decimal_comma = refused[i].decimal_comma;
        assert_false(bt_read_quantity(r, &cell, &accept, &q));
        assert_string_equal(said(b), bt_arena_format(b->arena, "e %s", refused[i].hint));
        assert_int_equal(q.presence, BT_BLANK);
    }
}

static void counts(void **state)
{
    static const struct {
        const char *cell;
        bool decimal_comma;
        double each;
        const char *says, *clean;
    } count[] = {
        {"1,200",        false, 1200,  "n read as 1200 plants in all", "1200"},
        {"1\xC2\xA0"
         "200", false, 1200,  "n read as 1200",               "1200"},
        {"~40",          false, 40,    "n read as 40 plants in all",   "40"  },
        {"40",           true,  40,    "",                             NULL  },
        {"1.200.000",    true,  1.2e6, NULL,                           NULL  },
    };
    struct bench *b = *state;
    for (size_t i = 0; i < sizeof count / sizeof *count; i++) {
        const struct bt_cell cell = cell_of(count[i].cell);
        struct bt_fixes fixes = {.arena = b->arena};
        struct bt_reader *r = fresh(b);
        struct bt_count c;
        r->decimal_comma = count[i].decimal_comma;
        r->fixes = &fixes;
        const bool ok = bt_read_count(r, &cell, "plants", &c);
        assert_int_equal(ok, count[i].says != NULL); /* a million and more is a slip */
        if (!ok)
            continue;
        assert_string_equal(said(b), count[i].says);
        check_close(c.groups * c.each, count[i].each, 0, count[i].cell);
        assert_int_equal(fixes.n, count[i].clean != NULL);
        if (count[i].clean)
            assert_string_equal(fixes.fix[0].to, count[i].clean);
    }
}

static void dates(void **state)
{
    static const struct {
        const char *cell, *iso, *says, *clean;
    } date[] = {
        {"45783",               "2025-05-06", "w a spreadsheet's number for a day, read as 2025-05-06",
         "2025-05-06"                                                                                               },
        {"5/6/2025",            "2025-05-06", "",                                                       "2025-05-06"},
        {"13.5.2025",           "2025-05-13", "",                                                       "2025-05-13"},
        {"20250410",            "2025-04-10", "",                                                       "2025-04-10"},
        {"6 May 2025",          "2025-05-06", "",                                                       "2025-05-06"},
        {"May 6, 2025",         "2025-05-06", "",                                                       "2025-05-06"},
        {"2025-05-06 00:00:00", "2025-05-06", "",                                                       "2025-05-06"},
        {"2025-05-06",          "2025-05-06", "",                                                       NULL        },
        {"mid April 2025",      "2025-04-16", "",                                                       NULL        },
        {"mid April",           NULL,         "e the year is missing",                                  NULL        },
        {"6-May",               NULL,         "e the year is missing",                                  NULL        },
        {"2025-02-30",          NULL,         "e there is no such day",                                 NULL        },
        {"20250230",            NULL,         "e there is no such day",                                 NULL        },
        {"77250410",            NULL,         "e ",                                                     NULL        }, /* found by fuzzing: years no cell may have */
        {"73573",               NULL,         "e ",                                                     NULL        },
        {"99999",               NULL,         "e ",                                                     NULL        },
    };
    struct bench *b = *state;
    for (size_t i = 0; i < sizeof date / sizeof *date; i++) {
        const struct bt_cell cell = cell_of(date[i].cell);
        struct bt_fixes fixes = {.arena = b->arena};
        struct bt_reader *r = fresh(b);
        struct bt_date d;
        r->month_first = true;
        r->fixes = &fixes;
        assert_int_equal(bt_read_date(r, &cell, "date", &d), date[i].iso != NULL);
        assert_string_equal(said(b), date[i].says);
        if (date[i].iso)
            assert_string_equal(bt_date_iso(b->arena, d.day), date[i].iso);
        assert_int_equal(fixes.n, date[i].clean != NULL);
        if (date[i].clean)
            assert_string_equal(fixes.fix[0].to, date[i].clean);
    }
}

int main(void)
{
    const struct CMUnitTest t[] = {
        cmocka_unit_test(readings), cmocka_unit_test(cleaned_cells_say_the_same),
        cmocka_unit_test(refusals), cmocka_unit_test(counts),
        cmocka_unit_test(dates),
    };
    return cmocka_run_group_tests_name("marks", t, open_bench, close_bench) != 0;
}
