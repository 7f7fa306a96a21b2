/* Rounding, words for shares and chances, widths in characters, columns, bars. */
#include "test_report_fixture.h"

#include "report/field.h"
#include "report/number.h"
#include "report/page.h"

static const struct figure {
    double value;
    int figures;
    const char *text, *brief;
} figures[] = {
    {1.2849,      3, "1.28",       "1.28"     },
    {0.7,         3, "0.700",      "0.7"      },
    {9.996,       3, "10.0",       "10"       },
    {0.09996,     3, "0.100",      "0.1"      },
    {99.96,       2, "100",        "100"      },
    {12345,       3, "12300",      "12300"    },
    {0.0127449,   3, "0.0127",     "0.0127"   },
    {8e-6,        3, "0.00000800", "0.000008" },
    {-1.05,       2, "-1.1",       "-1.1"     },
    {-0.0,        3, "0",          "0"        },
    {1e-15,       3, "0",          "0"        },
    {(double)NAN, 3, "not known",  "not known"},
    {HUGE_VAL,    2, "not known",  "not known"},
};

static void figures_are_as_many_as_asked(void **state)
{
    (void)state;
    struct bt_arena *a = bt_arena_new(4096, no_memory, NULL);
    for (size_t k = 0; k < sizeof figures / sizeof figures[0]; k++) {
        const struct figure *f = &figures[k];
        assert_string_equal(bt_figures(a, f->value, f->figures), f->text);
        assert_string_equal(bt_figures_short(a, f->value, f->figures), f->brief);
        if (isfinite(f->value) && fabs(f->value) > 1e-12)
            check_close(bt_rounded(f->value, f->figures), atof(f->text), 1e-12,
                        "by definition");
    }
    bt_arena_free(a);
}

static void shares_are_never_more_sure_than_they_are(void **state)
{
    (void)state;
    struct bt_arena *a = bt_arena_new(4096, no_memory, NULL);
    assert_string_equal(bt_percent_text(a, 0.343), "34 %");
    assert_string_equal(bt_percent_text(a, 0), "0 %");
    assert_string_equal(bt_percent_text(a, 0.001), "less than 1 %");
    assert_string_equal(bt_percent_text(a, 0.9999), "more than 99 %");
    assert_string_equal(bt_percent_text(a, (double)NAN), "not known");
    assert_string_equal(bt_small_percent_text(a, 0.0042), "0.4 %");
    assert_string_equal(bt_small_percent_text(a, 0.0096), "1 %");
    assert_string_equal(bt_chance_text(a, 0.812), "81 in 100");
    assert_string_equal(bt_chance_text(a, 0), "less than 1 in 100");
    assert_string_equal(bt_chance_text(a, 1), "more than 99 in 100");
    assert_string_equal(bt_ends_text(a, 0.9, 1.7349, 3), "0.9 to 1.73");
    assert_string_equal(bt_ends_text(a, 2, 2, 3), "");
    assert_string_equal(bt_ends_text(a, (double)NAN, 2, 3), "");
    bt_arena_free(a);
}

static void masses_are_in_the_growers_unit(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(true, true);
    assert_string_equal(bt_mass_text(&f->show, &f->bed, 10, "N", 3),
                        "1.05 oz N on this bed");
    assert_string_equal(bt_area_text(&f->show, AREA_M2), "32 sq ft");
    assert_string_equal(bt_garden_mass_text(&f->show, 28.349523125, 3), "1 oz");
    assert_string_equal(bt_garden_mass_text(&f->show, 4535.9237, 3), "10 lb");
    assert_string_equal(bt_on_bed_text(&f->show, &f->bed, 10, 3), "1.05 oz on this bed");
    assert_string_equal(bt_on_bed_text(&f->show, &f->bed, 2000, 3), "13.1 lb on this bed");
    f->bed.kind = BT_POTS;
    f->bed.pots = 10;
    assert_string_equal(bt_mass_text(&f->show, &f->bed, 10, "N", 2),
                        "0.1 oz N in each pot");
    f->show.us_units = false;
    assert_string_equal(bt_mass_text(&f->show, &f->bed, 10, "N", 3),
                        "2.97 g N in each pot");
    assert_string_equal(bt_garden_mass_text(&f->show, 2345, 2), "2.3 kg");
    fixture_free(f);
}

static void widths_are_counted_in_characters(void **state)
{
    (void)state;
    assert_int_equal(bt_text_width("bean"), 4);
    assert_int_equal(bt_text_width("frijol ñandú"), 12);
    assert_int_equal(bt_text_width("e\u0301"), 1); /* e and a combining acute */
    assert_int_equal(bt_text_width("\u8C46"), 2);  /* a wide character */
    assert_int_equal(bt_text_width("\u05E9\u05E2\u05D5\u05E2"),
                     4); /* Hebrew, right to left */
    assert_int_equal(bt_text_width("\033[1;31mshort\033[0m"), 5);
    assert_int_equal(bt_text_width("\xFF\xC3"), 2); /* stray bytes */
}

static void names_cannot_turn_the_terminal(void **state)
{
    (void)state;
    struct bt_arena *a = bt_arena_new(4096, no_memory, NULL);
    assert_string_equal(bt_text_shown(a, "\"quoted\" 'bed' <b>"), "\"quoted\" 'bed' <b>");
    assert_string_equal(bt_text_shown(a, "\033[31mred\a\n"), "?[31mred??");
    assert_string_equal(bt_text_shown(a, "a\u202Eb\u2066c"), "a?b?c");
    assert_string_equal(bt_text_shown(a, "\u05E9\u05E2"), "\u05E9\u05E2");
    assert_string_equal(bt_text_shown(a, "x\x80y"), "x?y");
    assert_string_equal(bt_shell_word(a, "garden-1/a.b"), "garden-1/a.b");
    assert_string_equal(bt_shell_word(a, "my garden"), "'my garden'");
    assert_string_equal(bt_shell_word(a, "Bob's $(bed)"), "'Bob'\\''s $(bed)'");
    assert_string_equal(bt_shell_word(a, ""), "''");
    bt_arena_free(a);
}

static void columns_stand_under_each_other(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(true, true);
    struct bt_grid grid = bt_grid_new(f->arena, 3, 1u << 1);
    const char *const rows[][3] = {
        {"\u8C46", "1.5", "x"   },
        {"maïs",  "10",  NULL  },
        {"a",      NULL,  "long"},
        {NULL,     NULL,  NULL  }
    };
    for (size_t k = 0; k < 4; k++)
        bt_grid_row(&grid, rows[k]);
    bt_grid_write(&f->out, &grid, 1);
    assert_string_equal(written(f), " \u8C46    1.5  x\n"
                                    " maïs   10\n"
                                    " a          long\n"
                                    " \n");
    fixture_free(f);
}

static void sentences_break_at_blanks(void **state)
{
    (void)state;
    struct bt_arena *a = bt_arena_new(4096, no_memory, NULL);
    char **line;
    const char *text = "forty characters are written here, just "
                       "forty characters are written here, just "
                       "forty characters are written here, just.";
    assert_int_equal(bt_wrapped(a, "- ", text, &line), 2);
    assert_int_equal(bt_text_width(line[0]), 87); /* the next word would make it 98 */
    assert_string_equal(line[1], "  characters are written here, just.");
    assert_int_equal(bt_wrapped(a, "- ", "", &line), 1);
    bt_arena_free(a);
}

static void bars_have_an_ascii_form(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(true, true);
    const struct bt_axis axis = {-10, 10};
    assert_string_equal(bt_bar(&f->show, 0.5, 4), "\u2588\u2588");
    assert_string_equal(bt_bar(&f->show, 0.53125, 4), "\u2588\u2588\u258F");
    assert_string_equal(bt_bar(&f->show, 7, 2), "\u2588\u2588");
    assert_string_equal(bt_bar(&f->show, (double)NAN, 4), "");
    assert_string_equal(bt_band(&f->show, axis, 0, 4, 8, 10),
                        "     \u2591\u2591\u2588\u2591\u2591");
    f->show.unicode = false;
    assert_string_equal(bt_bar(&f->show, 0.5, 4), "##");
    assert_string_equal(bt_band(&f->show, axis, 0, 4, 8, 10), "     --#--");
    assert_string_equal(bt_band(&f->show, axis, -10, -10, 10, 10), "#---------");
    assert_string_equal(bt_band(&f->show, axis, (double)NAN, 0, 1, 10), "");
    assert_string_equal(bt_band(&f->show, (struct bt_axis){0, 0}, 0, 0, 0, 10), "");
    fixture_free(f);
}

/* One conversion by dimension and size; shares, ratios and percents stay. */
static void ranges_are_in_the_gardens_units(void **state)
{
    (void)state;
    static const struct {
        struct bt_dim dim;
        double low, high, factor;
        const char *unit, *us, *metric;
    } rows[] = {
        {{1, -2, 0, 0}, 1000,   2000, 1000, "kg/m2", "20 to 41 lb/100 sq ft", "1 to 2 kg/m2"   },
        {{1, -2, 0, 0},
         0.1,                   0.6,
         1,                                 "g/m2",
         "0.02 to 0.12 lb/1000 sq ft",                                        "0.1 to 0.6 g/m2"},
        {{0, 0, 0, 0},  0.007,  0.01, 1e-3, "g/kg",  "0.7 to 1 %",            "0.7 to 1 %"     },
        {{0, 0, 0, 0},  -5e-3,  0,    1e-3, "g/kg",  "-0.5 to 0 %",           "-0.5 to 0 %"    },
        {{0, 0, 0, 0},  1.5e-6, 8e-6, 1e-6, "mg/kg", "1.5 to 8 ppm",          "1.5 to 8 mg/kg" },
        {{0, 0, 0, 0},  0.02,   0.08, 0.01, "%",     "2 to 8 %",              "2 to 8 %"       },
        {{0, 0, 0, 0},  0.5,    1,    1,    "",      "0.5 to 1",              "0.5 to 1"       },
        {{1, -3, 0, 0}, 3e4,    9e4,  1e3,  "kg/m3", "51 to 150 lb/cu yd",    "30 to 90 kg/m3" },
        {{0, 1, 0, 0},  0.3,    0.3,  0.01, "cm",    "12 in",                 "30 cm"          },
    };
    for (int us = 0; us < 2; us++) {
        struct fixture *f = fixture_new(us != 0, true);
        for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++) {
            const struct bt_leaf leaf = {
                .label = "x",
                .dim = rows[k].dim,
                .range = rows[k].low < rows[k].high
                             ? bt_range_of(rows[k].low, (rows[k].low + rows[k].high) / 2,
                                           rows[k].high, BT_BOUNDS)
                             : bt_range_exact(rows[k].low),
                .unit = rows[k].unit,
                .unit_factor = rows[k].factor};
            assert_string_equal(bt_leaf_range_text(&f->show, &leaf),
                                us ? rows[k].us : rows[k].metric);
        }
        fixture_free(f);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(figures_are_as_many_as_asked),
        cmocka_unit_test(shares_are_never_more_sure_than_they_are),
        cmocka_unit_test(masses_are_in_the_growers_unit),
        cmocka_unit_test(widths_are_counted_in_characters),
        cmocka_unit_test(names_cannot_turn_the_terminal),
        cmocka_unit_test(columns_stand_under_each_other),
        cmocka_unit_test(sentences_break_at_blanks),
        cmocka_unit_test(bars_have_an_ascii_form),
        cmocka_unit_test(ranges_are_in_the_gardens_units),
    };
    return cmocka_run_group_tests_name("report: numbers and page", tests, NULL, NULL) != 0;
}
