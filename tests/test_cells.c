/* Cells read as counts, rows of a length, layers, words and dates: what each spelling
 * means, and the exact text of each refusal and note. Lengths are arithmetic on 1 ft =
 * 0.3048 m, 1 in = 0.0254 m. */
#include "cell_bench.h"

#define IN 0.0254
#define FT 0.3048

/* --- counts, rows, layers, words --- */

#define COUNT "a count such as 40 or 8 mounds x 5"
#define ROWS  "rows and their length, such as 2 x 20 ft or 20 ft"
#define LAYER "a layer such as 0-6 in or 6 in"

/* clang-format off */
static const struct {
    const char *cell;
    enum bt_presence presence;
    double groups, each;
    const char *group, *note; /* a note; for a refusal (groups -1) the hint */
} counts[] = {
    {"40", BT_GIVEN, 1, 40, NULL, NULL},
    {"40 plants", BT_GIVEN, 1, 40, NULL, NULL},
    {"8 mounds x 5", BT_GIVEN, 8, 5, "mound", NULL},
    {"8 mounds x 5 plants", BT_GIVEN, 8, 5, "mound", NULL},
    {"8 hills of 5", BT_GIVEN, 8, 5, "mound", NULL},
    {"5 x 8 mounds", BT_GIVEN, 8, 5, "mound", NULL},
    {"8 x 5", BT_GIVEN, 8, 5, NULL, NULL},
    {"8x5", BT_GIVEN, 8, 5, NULL, NULL},
    {"8 \xC3\x97 5", BT_GIVEN, 8, 5, NULL, NULL},
    {"2 rows x 12", BT_GIVEN, 2, 12, "row", NULL},
    {"6 pots", BT_GIVEN, 6, 1, "pot", NULL},
    {"6 pots x 3 each", BT_GIVEN, 6, 3, "pot", NULL},
    {"about 40", BT_GIVEN, 1, 40, NULL, "read as 40 plants in all"},
    {"1,200", BT_GIVEN, 1, 1200, NULL, "read as 1200 plants in all"},
    {"", BT_BLANK, 0, 0, NULL, NULL},
    {"none", BT_NONE, 0, 0, NULL, NULL},
    {"0", BT_NONE, 0, 0, NULL, NULL},
    {"not recorded", BT_NOT_RECORDED, 0, 0, NULL, NULL},
    {"?", BT_BLANK, 0, 0, NULL, "taken as not known"},
    {"8 mounds", BT_BLANK, -1, 0, NULL, "write how many plants there are in each, as in 8 mounds x 5"},
    {"many", BT_BLANK, -1, 0, NULL, NULL},
    {"40-50", BT_BLANK, -1, 0, NULL, "write one number, the likeliest, such as 45"},
    {"4.5", BT_BLANK, -1, 0, NULL, NULL},
    {"-4", BT_BLANK, -1, 0, NULL, NULL},
    {"8 mounds x 2 rows", BT_BLANK, -1, 0, NULL, NULL},
    {"8 mounds x 5 x 2", BT_BLANK, -1, 0, NULL, NULL},
    {"40 lb", BT_BLANK, -1, 0, NULL, NULL},
    {"2000000", BT_BLANK, -1, 0, NULL, NULL},
    {"8-May", BT_BLANK, -1, 0, NULL, MADE_A_DATE("5/8 or 5-8")},
    {"=4*6", BT_BLANK, -1, 0, NULL, FORMULA},
};

static const struct {
    const char *cell;
    double rows, length_m; /* rows -1: refused */
    const char *expected, *found, *hint;
} row_cells[] = {
    {"2 x 20 ft", 2, 20 * FT, NULL, NULL, NULL},
    {"2 rows x 20 ft", 2, 20 * FT, NULL, NULL, NULL},
    {"2 rows of 20 ft", 2, 20 * FT, NULL, NULL, NULL},
    {"20 ft", 1, 20 * FT, NULL, NULL, NULL},
    {"3 x 4'6\"", 3, 4.5 * FT, NULL, NULL, NULL},
    {"2x6m", 2, 6, NULL, NULL, NULL},
    {"2 x 20", -1, 0, "a number and its unit (" LENGTH_UNITS ")", "20", WRITE_UNIT},
    {"2 mounds x 20 ft", -1, 0, ROWS, "2 mounds x 20 ft", NULL},
    {"2.5 x 20 ft", -1, 0, ROWS, "2.5 x 20 ft", NULL},
    {"2 x 10..20 ft", -1, 0, ROWS, "2 x 10..20 ft", NULL},
    {"2 x 0 ft", -1, 0, ROWS, "2 x 0 ft", NULL},
};

static const struct {
    const char *cell, *header_unit;
    double top_m, bottom_m; /* bottom -1: refused */
    const char *expected, *hint;
} layers[] = {
    {"0-6 in", NULL, 0, 6 * IN, NULL, NULL},
    {"0..30 cm", NULL, 0, 0.3, NULL, NULL},
    {"6-12 in", NULL, 6 * IN, 12 * IN, NULL, NULL},
    {"0\"-6\"", NULL, 0, 6 * IN, NULL, NULL},
    {"0 to 6 inches", NULL, 0, 6 * IN, NULL, NULL},
    {"6 in", NULL, 0, 6 * IN, NULL, NULL},
    {"top 6 in", NULL, 0, 6 * IN, NULL, NULL},
    {"0-6", "in", 0, 6 * IN, NULL, NULL},
    {"0 - 6 in", NULL, 0, 6 * IN, NULL, NULL},
    {"0-6", NULL, 0, -1, "a number and its unit (" LENGTH_UNITS ")", WRITE_UNIT},
    {"0..3..6 in", NULL, 0, -1, LAYER, NULL},
    {"0 in", NULL, 0, -1, LAYER, NULL},
    {">6 in", NULL, 0, -1, LAYER, NULL},
    {"6-Dec", NULL, 0, -1, "a number and its unit (" LENGTH_UNITS ")", MADE_A_DATE("12/6 or 6-12")},
    {"deep", NULL, 0, -1, "a number and its unit (" LENGTH_UNITS ")", NULL},
};
/* clang-format on */

static void count_cells(void **state)
{
    struct bench *b = *state;
    for (size_t i = 0; i < sizeof counts / sizeof *counts; i++) {
        const struct bt_cell cell = cell_of(counts[i].cell);
        const bool refused = counts[i].groups < 0;
        struct bt_count c;
        const bool ok = bt_read_count(fresh(b), &cell, "plants", &c);
        assert_string_equal(
            messages(b), refused ? error_text(b, "plants", COUNT, cell.text, counts[i].note)
                                 : note_text(b, "plants", cell.text, counts[i].note));
        assert_int_equal(ok, !refused);
        assert_int_equal(c.presence, counts[i].presence);
        if (c.presence != BT_GIVEN)
            continue;
        assert_true(c.groups == counts[i].groups && c.each == counts[i].each);
        assert_string_equal(c.group ? c.group : "", counts[i].group ? counts[i].group : "");
    }
}

static void rows_of_a_length(void **state)
{
    struct bench *b = *state;
    struct bt_rows r;
    for (size_t i = 0; i < sizeof row_cells / sizeof *row_cells; i++) {
        const struct bt_cell cell = cell_of(row_cells[i].cell);
        const bool refused = row_cells[i].rows < 0;
        const bool ok = bt_read_rows(fresh(b), &cell, "rows", &r);
        assert_string_equal(messages(b),
                            refused ? error_text(b, "rows", row_cells[i].expected,
                                                 row_cells[i].found, row_cells[i].hint)
                                    : "");
        assert_int_equal(ok, !refused);
        assert_int_equal(r.presence, refused ? BT_BLANK : BT_GIVEN);
        if (refused)
            continue;
        assert_true(r.rows == row_cells[i].rows);
        check_close(r.length_m, row_cells[i].length_m, 1e-12, cell.text);
    }
    const struct bt_cell blank = cell_of("");
    assert_true(bt_read_rows(fresh(b), &blank, "rows", &r) && r.presence == BT_BLANK);
}

static void layer_cells(void **state)
{
    struct bench *b = *state;
    struct bt_layer l;
    for (size_t i = 0; i < sizeof layers / sizeof *layers; i++) {
        const struct bt_cell cell = cell_of(layers[i].cell);
        const bool refused = layers[i].bottom_m < 0;
        const bool ok =
            bt_read_layer_in(fresh(b), &cell, "depth", layers[i].header_unit, &l);
        assert_string_equal(messages(b), refused
                                             ? error_text(b, "depth", layers[i].expected,
                                                          cell.text, layers[i].hint)
                                             : "");
        assert_int_equal(ok, !refused);
        assert_int_equal(l.presence, refused ? BT_BLANK : BT_GIVEN);
        if (refused)
            continue;
        check_close(l.top_m, layers[i].top_m, 1e-12, cell.text);
        check_close(l.bottom_m, layers[i].bottom_m, 1e-12, cell.text);
    }
    const struct bt_cell blank = cell_of("");
    assert_true(bt_read_layer(fresh(b), &blank, "depth", &l) && l.presence == BT_BLANK);
}

static void word_cells(void **state)
{
    static const char *const rest[] = {"left", "dug-in", "compost", "off-site"};
    struct bench *b = *state;
    static const struct {
        const char *cell;
        int place;
        const char *text;
    } rows[] = {
        {"left",      0,  ""                                             },
        {" Dug in ",  1,  ""                                             },
        {"OFF-SITE",  3,  ""                                             },
        {"",          -1, ""                                             },
        {"?",         -1,
         "t.csv:3:5: note: rest: found \"?\" (row 3, column B)\n  hint: taken as not "
         "known\n"                                                       },
        {"composted", -2,
         "t.csv:3:5: error: rest: expected one of left, dug-in, compost, off-site, found "
         "\"composted\" (row 3, column B)\n  hint: perhaps \"compost\"\n"},
        {"burnt",     -2,
         "t.csv:3:5: error: rest: expected one of left, dug-in, compost, off-site, found "
         "\"burnt\" (row 3, column B)\n"                                 },
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct bt_cell cell = cell_of(rows[i].cell);
        int place = 7;
        assert_int_equal(bt_read_word(fresh(b), &cell, "rest", 4, rest, &place),
                         rows[i].place != -2);
        assert_string_equal(messages(b), rows[i].text);
        assert_int_equal(place, rows[i].place == -2 ? -1 : rows[i].place);
    }
}

/* --- dates --- */

#define DATE      "a date such as 2026-06-12, May 2024, spring 2022 or 2021"
#define FULL_YEAR "write the year with four digits"
#define NO_SUCH   "there is no such day"
#define YEARLESS  "the year is missing"

/* clang-format off */
static const struct {
    const char *cell;
    bool month_first;
    const char *iso; /* NULL: refused, with the hint */
    int width_d;
    const char *hint;
} dates[] = {
    {"2026-06-12", false, "2026-06-12", 0, NULL},
    {"2026/6/12", false, "2026-06-12", 0, NULL},
    {"20250410", false, "2025-04-10", 0, NULL},
    {"2025-03-14 00:00:00", false, "2025-03-14", 0, NULL},
    {"2025-03-14T10:30", false, "2025-03-14", 0, NULL},
    {"2024-02-29", false, "2024-02-29", 0, NULL},
    {"6/12/2026", true, "2026-06-12", 0, NULL},
    {"6/12/2026", false, "2026-12-06", 0, NULL},
    {"6.12.2026", false, "2026-12-06", 0, NULL},
    {"13/6/2026", true, "2026-06-13", 0, NULL},
    {"6/13/2026", false, "2026-06-13", 0, NULL},
    {"5/5/2026", true, "2026-05-05", 0, NULL},
    {"12 June 2026", false, "2026-06-12", 0, NULL},
    {"12th June 2026", false, "2026-06-12", 0, NULL},
    {"June 12, 2026", false, "2026-06-12", 0, NULL},
    {"Jun 12 2026", false, "2026-06-12", 0, NULL},
    {"12-Jun-2026", false, "2026-06-12", 0, NULL},
    {"2026 June 12", false, "2026-06-12", 0, NULL},
    {"12. Sept. 2026", false, "2026-09-12", 0, NULL},
    {"May 2024", false, "2024-05-16", 31, NULL},
    {"2024-05", false, "2024-05-16", 31, NULL},
    {"5/2024", false, "2024-05-16", 31, NULL},
    {"2021", false, "2021-07-02", 365, NULL},
    {"2024", false, "2024-07-02", 366, NULL},
    {"spring 2022", false, "2022-04-16", 92, NULL},
    {"Summer 2022", false, "2022-07-17", 92, NULL},
    {"fall 2022", false, "2022-10-16", 91, NULL},
    {"autumn 2022", false, "2022-10-16", 91, NULL},
    {"winter 2022", false, "2022-01-15", 90, NULL},
    {"winter 2021/22", false, "2022-01-15", 90, NULL},
    {"early May 2025", false, "2025-05-06", 10, NULL},
    {"mid April 2025", false, "2025-04-16", 10, NULL},
    {"late spring 2025", false, "2025-05-16", 31, NULL},
    {"6/12/26", true, NULL, 0, FULL_YEAR},
    {"12 June 26", false, NULL, 0, FULL_YEAR},
    {"12-Jun-26", false, NULL, 0, FULL_YEAR},
    {"26", false, NULL, 0, FULL_YEAR},
    {"12 June", false, NULL, 0, YEARLESS},
    {"June 12", false, NULL, 0, YEARLESS},
    {"mid April", false, NULL, 0, "the year is missing"},
    {"2026-02-30", false, NULL, 0, NO_SUCH},
    {"2025-02-29", false, NULL, 0, NO_SUCH},
    {"13/13/2026", true, NULL, 0, NO_SUCH},
    {"0/5/2026", true, NULL, 0, NO_SUCH},
    {"32 June 2026", true, NULL, 0, NO_SUCH},
    {"2026-13", false, NULL, 0, NULL},
    {"last week", false, NULL, 0, NULL},
    {"12 Juny 2026", false, NULL, 0, NULL},
    {"1850", false, NULL, 0, NULL},
    {"6/12-2026", false, NULL, 0, NULL},
    {"2026-06-12 to 2026-07-01", false, NULL, 0, NULL},
    {"=TODAY()", false, NULL, 0, FORMULA},
    {"#VALUE!", false, NULL, 0, SHEET_ERROR},
};
/* clang-format on */

static void date_cells(void **state)
{
    struct bench *b = *state;
    for (size_t i = 0; i < sizeof dates / sizeof *dates; i++) {
        const struct bt_cell cell = cell_of(dates[i].cell);
        struct bt_date date;
        struct bt_reader *r = fresh(b);
        r->month_first = dates[i].month_first;
        const bool ok = bt_read_date(r, &cell, "date", &date);
        assert_string_equal(
            messages(b),
            dates[i].iso ? "" : error_text(b, "date", DATE, cell.text, dates[i].hint));
        assert_int_equal(ok, dates[i].iso != NULL);
        assert_int_equal(date.known, ok);
        if (!ok)
            continue;
        assert_string_equal(bt_date_iso(b->arena, date.day), dates[i].iso);
        assert_int_equal(date.width_d, dates[i].width_d);
    }
    struct bt_date date;
    const struct bt_cell blank = cell_of(" "), unknown = cell_of("?");
    assert_true(bt_read_date(fresh(b), &blank, "date", &date) && !date.known);
    assert_true(bt_read_date(fresh(b), &unknown, "date", &date) && !date.known);
    assert_string_equal(messages(b), note_text(b, "date", "?", "taken as not known"));
}

/* Reads dates line by line with one reader. */
static void in_one_file(struct bench *b, bool month_first, size_t n,
                        const char *const *text, const char *want)
{
    struct bt_reader *r = fresh(b);
    r->month_first = month_first;
    for (size_t i = 0; i < n; i++) {
        const struct bt_cell cell = {
            text[i], {"t.csv", (unsigned)i + 2, 1, (unsigned)i + 2, 1}
        };
        struct bt_date date;
        (void)bt_read_date(r, &cell, "date", &date);
    }
    assert_string_equal(messages(b), want);
}

static void one_order_a_file(void **state)
{
    struct bench *b = *state;
    static const char *const us[] = {"5/6/2025", "6/13/2025", "7/7/2025", "2025-08-20"};
    static const char *const then_day[] = {"5/6/2025", "2025-06-01", "13/6/2025"};
    static const char *const day_before[] = {"13/6/2025", "5/6/2025"};
    static const char *const both_told[] = {"6/13/2025", "13/6/2025"};
    in_one_file(b, true, 4, us, "");
    in_one_file(b, false, 2, day_before, "");
    in_one_file(
        b, true, 3, then_day,
        "t.csv:4:1: error: date: expected dates in one order through the file, found "
        "\"13/6/2025\" (row 4, column A)\n  hint: line 2 has the month first, line 4 the "
        "day; write 2025-06-13\n");
    in_one_file(
        b, true, 2, day_before,
        "t.csv:3:1: error: date: expected dates in one order through the file, found "
        "\"5/6/2025\" (row 3, column A)\n  hint: line 2 has the day first, line 3 the "
        "month; write 2025-05-06 or 2025-06-05\n");
    in_one_file(
        b, true, 2, both_told,
        "t.csv:3:1: error: date: expected dates in one order through the file, found "
        "\"13/6/2025\" (row 3, column A)\n  hint: line 2 has the month first, line 3 the "
        "day; write 2025-06-13\n");
}

static void several_dates(void **state)
{
    struct bench *b = *state;
    struct bt_date *date = NULL;
    size_t n = 0;
    static const char *const years[] = {"2019..2024", "2019-2024", "2019 to 2024",
                                        "2019\342\200\2232024", "2019; 2020..2023; 2024"};
    for (size_t i = 0; i < sizeof years / sizeof *years; i++) {
        const struct bt_cell cell = cell_of(years[i]);
        assert_true(bt_read_dates(fresh(b), &cell, "date", &n, &date));
        assert_string_equal(messages(b), "");
        assert_int_equal(n, 6);
        assert_string_equal(bt_date_iso(b->arena, date[0].day), "2019-07-02");
        assert_int_equal(date[5].day, bt_day(2024, 7, 2));
        assert_int_equal(date[5].width_d, 366);
    }
    const struct bt_cell one = cell_of("May 2024"), blank = cell_of(""),
                         down = cell_of("2024..2019"), bad_date = cell_of("2019; soon");
    assert_true(bt_read_dates(fresh(b), &one, "date", &n, &date) && n == 1);
    assert_true(bt_read_dates(fresh(b), &blank, "date", &n, &date) && n == 0);
    assert_false(bt_read_dates(fresh(b), &down, "date", &n, &date));
    assert_int_equal(n, 0);
    assert_string_equal(
        messages(b), error_text(b, "date", "years such as 2019..2024", "2024..2019", NULL));
    assert_false(bt_read_dates(fresh(b), &bad_date, "date", &n, &date));
    assert_string_equal(messages(b), error_text(b, "date", DATE, "2019; soon", NULL));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(count_cells),   cmocka_unit_test(rows_of_a_length),
        cmocka_unit_test(layer_cells),   cmocka_unit_test(word_cells),
        cmocka_unit_test(date_cells),    cmocka_unit_test(one_order_a_file),
        cmocka_unit_test(several_dates),
    };
    return cmocka_run_group_tests_name("cells", tests, open_bench, close_bench) != 0;
}
