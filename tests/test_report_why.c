/* The working: pages word for word, brackets where they are needed, figures that multiply
 * out, and never more than 13 lines. */
#include "test_report_fixture.h"

#include "report/page.h"
#include "report/why_page.h"
#include "report/working.h"

static const struct bt_unit G_M2 = {
    {1, -2, 0, 0},
    1, 0, "g/m2", NULL, NULL, NULL
};
static const struct bt_unit SHARE = {
    {0, 0, 0, 0},
    1, 0, "", NULL, NULL, NULL
};

static struct bt_node mass(struct fixture *f, const char *name, double value)
{
    return leaf_of(f, name, name, bt_range_exact(value), G_M2, "stated", false);
}

static struct bt_node part(struct fixture *f, const char *name, double value)
{
    return leaf_of(f, name, name, bt_range_exact(value), SHARE, "INVENTED-1", false);
}

static const char *page_of(struct fixture *f, const char *name)
{
    size_t n;
    struct bt_node *node;
    assert_true(bt_report_why_nodes(&f->show, &f->budget, name, &n, &node));
    struct bt_spread *spread = bt_arena_alloc(f->arena, n * sizeof *spread);
    for (size_t k = 0; k < n; k++)
        spread[k] = spread_of(bt_likely(f->sheet, node[k]),
                              0.25 * fabs(bt_likely(f->sheet, node[k])));
    const struct bt_why y = {.budget = &f->budget, .n = n, .node = node, .spread = spread};
    assert_true(bt_report_why_page(&f->out, &f->show, &y, name));
    return written(f);
}

static void a_page_stops_at_names(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(true, false);
    assert_string_equal(
        page_of(f, "need of sweet corn"),
        "need of sweet corn: 15.6 g/m2 (9 times in 10 between 11.7 and 19.5), or 1.64 oz "
        "on this bed\n"
        "  = (uptake of sweet corn - nitrogen passed on by pole bean) / share the roots "
        "catch of\n"
        "    sweet corn\n"
        "  = (12 - 0.3) / 0.75\n"
        "      uptake of sweet corn                 12 g/m2   9 to 15          >\n"
        "      nitrogen passed on by pole bean      0.3 g/m2  0.0981 to 0.641  INVENTED-2, "
        "read\n"
        "      share the roots catch of sweet corn  0.75      0.604 to 0.849   INVENTED-2, "
        "read\n"
        "    > has a page of its own: bedtally why 'my garden' A1 NAME\n");
    fixture_free(f);
}

static void a_page_is_found_by_id_and_by_a_beginning(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(false, false);
    static const char want[] =
        "uptake of sweet corn: 12 g/m2 (9 times in 10 between 9 and 15), or 35.7 g on this "
        "bed\n"
        "  = yield of sweet corn x uptake per harvest of sweet corn\n"
        "  = 1.5 x 8\n"
        "      yield of sweet corn               1.5 kg/m2  1.19 to 1.81  INVENTED-1, "
        "read, assumed\n"
        "      uptake per harvest of sweet corn  8 g/kg     7.38 to 8.62  INVENTED-1, "
        "read\n";
    assert_string_equal(page_of(f, "uptake/A1/sweet corn"), want);
    fixture_free(f);
    f = fixture_new(false, false);
    assert_string_equal(page_of(f, "Uptake of"), want);
    fixture_free(f);
}

static void what_was_stated_says_where(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(false, false);
    assert_string_equal(page_of(f, "amount of dairy compost"),
                        "amount of dairy compost: 1.5 g/m2, or 4.46 g on this bed\n"
                        "  = stated (plantings.csv:2)\n");
    fixture_free(f);
}

static void a_second_name_is_looked_through(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(false, false);
    bt_named(f->sheet, "again", "corn by another name", f->facts[0].uptake);
    assert_string_equal(page_of(f, "again"),
                        "corn by another name: 12 g/m2 (9 times in 10 between 9 and 15), "
                        "or 35.7 g on this bed\n"
                        "  = yield of sweet corn x uptake per harvest of sweet corn\n"
                        "  = 1.5 x 8\n"
                        "      yield of sweet corn               1.5 kg/m2  1.19 to 1.81  "
                        "INVENTED-1, read, assumed\n"
                        "      uptake per harvest of sweet corn  8 g/kg     7.38 to 8.62  "
                        "INVENTED-1, read\n");
    fixture_free(f);
}

static void a_constant_brings_its_sentence(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(false, false);
    const struct bt_node g =
        bt_constant_named(f->sheet, 0.62, BT_FRACTION, "share released by 14 July",
                          "0.62 = released by 14 July at 0.046 a day", NULL);
    const struct bt_node straw = mass(f, "nitrogen in straw", 4);
    bt_named(f->sheet, "r", "release from straw", bt_mul(f->sheet, straw, g));
    assert_string_equal(
        page_of(f, "release from straw"),
        "release from straw: 2.48 g/m2 (9 times in 10 between 1.86 and 3.1), or 7.37 g on "
        "this bed\n"
        "  = nitrogen in straw x share released by 14 July\n"
        "  = 4 x 0.62\n"
        "      nitrogen in straw          4 g/m2  stated (plantings.csv:2)\n"
        "      share released by 14 July  0.62    0.62 = released by 14 July at 0.046 a "
        "day\n");
    fixture_free(f);
}

static void a_curve_shows_its_points(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(false, false);
    const struct bt_node gain = part(f, "mixing gain", 1.2);
    const double x[] = {1, 1.4, 1.6}, y[] = {0.5, 0.7, 0.7};
    bt_named(f->sheet, NULL, "relative yield",
             bt_curve(f->sheet, gain, (struct bt_knots){3, x, y}, BT_FRACTION, NULL));
    assert_string_equal(page_of(f, "relative yield"),
                        "relative yield: 0.6 (9 times in 10 between 0.45 and 0.75)\n"
                        "  = read off straight lines between points, at mixing gain\n"
                        "    1 gives 0.5, 1.4 gives 0.7, 1.6 gives 0.7\n"
                        "      mixing gain  1.2  INVENTED-1, read\n");
    fixture_free(f);
}

/* ---- brackets ---- */

static void brackets_stand_where_they_are_needed(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(false, false);
    struct bt_sheet *s = f->sheet;
    const struct bt_node a = part(f, "a", 0.5), b = part(f, "b", 0.25),
                         c = part(f, "c", 0.8);
    const struct {
        struct bt_node node;
        const char *names, *figures;
    } rows[] = {
        {bt_mul(s,  bt_add(s, a,         b),  c),                             "(a + b) x c",      "(0.5 + 0.25) x 0.8"},
        {bt_sub(s,  a,        bt_sub(s,  b,   c)),                            "a - (b - c)",      "0.5 - (0.25 - 0.8)"},
        {bt_sub(s,  bt_sub(s, a,         b),  c),                             "a - b - c",        "0.5 - 0.25 - 0.8"  },
        {bt_div(s,  a,        bt_mul(s,  b,   c)),                            "a / (b x c)",      "0.5 / (0.25 x 0.8)"},
        {bt_mul(s,  bt_div(s, a,         b),  c),                             "a / b x c",        "0.5 / 0.25 x 0.8"  },
        {bt_mul(s,  a,        bt_rest(s, b)), "a x (1 - b)",                  "0.5 x (1 - 0.25)"},
        {bt_min(s,        a, bt_mul(s,         b, c)),    "the lesser of a and b x c",
         "the lesser of 0.5 and 0.25 x 0.8"                    },
        {bt_mul(s, bt_max(s,        a,        b),  c), "(the greater of a and b) x c",
         "(the greater of 0.5 and 0.25) x 0.8"                                                     },
        {bt_sub(s,        a, bt_min(s,         b, c)),  "a - (the lesser of b and c)",
         "0.5 - (the lesser of 0.25 and 0.8)"                 },
    };
    for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++) {
        const struct bt_equation e = bt_equation(&f->show, s, rows[k].node);
        assert_string_equal(e.names, rows[k].names);
        assert_string_equal(e.figures, rows[k].figures);
    }
    fixture_free(f);
}

static void a_nought_is_not_written(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(false, false);
    struct bt_sheet *s = f->sheet;
    const struct bt_node a = mass(f, "a", 0.5), b = part(f, "b", 0.25);
    const struct bt_node nought = bt_constant(s, 0, BT_MASS_PER_AREA);
    const struct bt_node both = bt_mul(s, bt_sub(s, bt_add(s, nought, a), nought), b);
    assert_string_equal(bt_equation(&f->show, s, both).names, "a x b");
    assert_string_equal(bt_equation(&f->show, s, bt_sub(s, nought, a)).names, "0 - a");
    fixture_free(f);
}

/* A sum without a name inside a rule: its terms stand below, and their pages are found. */
static void a_sum_inside_is_spelled_out(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(false, false);
    struct bt_sheet *s = f->sheet;
    const struct bt_node term[] = {mass(f, "a", 4), mass(f, "b", 2), mass(f, "c", 1),
                                   f->facts[0].uptake, mass(f, "e", 1)};
    const struct bt_node inside = bt_sum(s, 5, term, BT_MASS_PER_AREA);
    bt_named(s, NULL, "pool", bt_max(s, inside, bt_constant(s, 0, BT_MASS_PER_AREA)));
    assert_string_equal(
        page_of(f, "pool"),
        "pool: 20 g/m2 (9 times in 10 between 15 and 25), or 59.5 g on this bed\n"
        "  = the greater of sum of 5 terms and 0\n"
        "  = the greater of 20 and 0\n"
        "      sum of 5 terms  20 g/m2  15 to 25\n"
        "    sum of 5 terms\n"
        "      a                     4.00           stated (plantings.csv:2)\n"
        "      b                     2.00           stated (plantings.csv:2)\n"
        "      c                     1.00           stated (plantings.csv:2)\n"
        "      uptake of sweet corn  12.0  9 to 15  >\n"
        "      e                     1.00           stated (plantings.csv:2)\n"
        "    > has a page of its own: bedtally why 'my garden' A1 NAME\n");
    fixture_free(f);
}

static void printed_figures_multiply_out(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(false, false);
    struct bt_sheet *s = f->sheet;
    /* 1.2349 x 1.8149 = 2.2412: three figures each would give 1.23 x 1.81 = 2.2263 */
    const struct bt_equation e =
        bt_equation(&f->show, s, bt_mul(s, part(f, "a", 1.2349), part(f, "b", 1.8149)));
    double a = 0, b = 0;
    assert_int_equal(sscanf(e.figures, "%lf x %lf", &a, &b), 2);
    check_close(a * b, 2.24, 0.005 / 2.24, "half the last of three figures");
    assert_string_equal(e.figures, "1.235 x 1.815");
    /* a percentage is written as one and counts as a hundredth */
    const struct bt_unit percent = {BT_FRACTION, 0.01, 0, "%", NULL, NULL, NULL};
    const struct bt_node om =
        leaf_of(f, "om", "om", bt_range_exact(0.02), percent, "stated", false);
    assert_string_equal(bt_equation(&f->show, s, bt_mul(s, om, mass(f, "c", 50))).figures,
                        "2 % x 50");
    /* units that do not multiply out are all turned into grams, metres and days */
    const struct bt_unit mg_kg = {BT_FRACTION, 1e-6, 0, "mg/kg", NULL, NULL, NULL};
    const struct bt_node ppm =
        leaf_of(f, "ppm", "ppm", bt_range_exact(8e-6), mg_kg, "stated", false);
    const struct bt_equation inside =
        bt_equation(&f->show, s, bt_mul(s, ppm, mass(f, "soil", 345000)));
    assert_true(inside.inside);
    assert_string_equal(inside.figures, "0.000008 x 345000");
    fixture_free(f);
}

/* ---- sums and length ---- */

static struct bt_node long_sum(struct fixture *f, size_t n)
{
    struct bt_node *term = bt_arena_alloc(f->arena, n * sizeof *term);
    for (size_t k = 0; k < n; k++)
        term[k] = mass(f, bt_arena_format(f->arena, "part %zu", k + 1), (double)(k + 1));
    return bt_named(f->sheet, NULL, "a long sum",
                    bt_sum(f->sheet, n, term, BT_MASS_PER_AREA));
}

static size_t lines_in(const char *text)
{
    size_t n = 0;
    for (; *text; text++)
        n += *text == '\n';
    return n;
}

static void a_sum_is_a_column(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(false, false);
    long_sum(f, 10);
    const char *ten = page_of(f, "a long sum");
    assert_int_equal(lines_in(ten), 12);
    assert_non_null(strstr(ten, "  = the sum of\n      part 1   1.00  stated"));
    fixture_free(f);
    f = fixture_new(false, false);
    long_sum(f, 20);
    const char *twenty = page_of(f, "a long sum");
    assert_int_equal(lines_in(twenty), 12);
    assert_non_null(
        strstr(twenty, "  = the sum of, largest first\n      part 20  20.0  stated"));
    assert_non_null(strstr(twenty, "      and 11 more, together 66\n"));
    fixture_free(f);
}

static void weights_and_signs_stand_in_the_column(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(false, false);
    struct bt_sheet *s = f->sheet;
    const struct bt_node term[] = {mass(f, "a", 4), mass(f, "b", 2)};
    const double weight[] = {0.5, -0.25};
    const struct bt_node w = bt_weighted(s, 2, term, weight, BT_MASS_PER_AREA);
    bt_named(s, NULL, "weighed", bt_sub(s, bt_add(s, w, mass(f, "c", 1)), mass(f, "d", 3)));
    const char *page = page_of(f, "weighed");
    assert_non_null(strstr(page,
                           "      0.5 x a          2.00  stated (plantings.csv:2)\n"
                           "      less 0.25 x b  -0.500  stated (plantings.csv:2)\n"
                           "      c                1.00  stated (plantings.csv:2)\n"
                           "      less d          -3.00  stated (plantings.csv:2)\n"));
    fixture_free(f);
}

/* A product of many quantities with long names, over two lines each. */
static void no_page_is_longer_than_thirteen_lines(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(true, true);
    struct bt_node product = mass(f, "first", 1);
    for (size_t k = 0; k < 20; k++) {
        char *name =
            bt_arena_format(f->arena, "share number %zu of something with a long name", k);
        product = bt_mul(f->sheet, product, part(f, name, 0.9));
    }
    const struct bt_node page = bt_named(f->sheet, NULL, "a long product", product);
    bt_remark(f->sheet, page, "a remark that no longer fits");
    long_sum(f, 40);
    assert_true(lines_in(page_of(f, "a long product")) <= BT_WHY_LINES);
    fixture_free(f);
    f = fixture_new(true, true);
    const struct bt_why y = {.budget = &f->budget};
    for (uint32_t i = 0; i < bt_sheet_size(f->sheet); i++) {
        char **line;
        assert_in_range(bt_why_page_lines(&f->show, &y, (struct bt_node){i}, &line), 1,
                        BT_WHY_LINES);
    }
    fixture_free(f);
}

static void all_pages_show_each_name_once(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(true, false);
    const struct bt_why y = {.budget = &f->budget};
    assert_true(bt_report_why_page(&f->out, &f->show, &y, NULL));
    const char *all = written(f);
    static const char *const heads[] = {"balance: ",
                                        "supply: ",
                                        "required: ",
                                        "soil organic matter: ",
                                        "need of sweet corn: ",
                                        "uptake of sweet corn: ",
                                        "left in the soil: "};
    for (size_t k = 0; k < sizeof heads / sizeof heads[0]; k++) {
        char *head = bt_arena_format(f->arena, "\n%s", heads[k]);
        const char *first = k == 0 ? all : strstr(all, head);
        assert_non_null(first);
        assert_null(strstr(first + 1, head));
    }
    fixture_free(f);
}

static void an_unknown_name_gets_the_nearest(void **state)
{
    (void)state;
    struct fixture *f = fixture_new(true, false);
    size_t n;
    struct bt_node *node;
    assert_false(bt_report_why_nodes(&f->show, &f->budget, "ned of sweet corn", &n, &node));
    assert_false(bt_report_why_nodes(&f->show, &f->budget, "need of", &n, &node));
    bt_report_why_unknown(&f->out, &f->show, &f->budget, "need of");
    assert_string_equal(
        written(f), "bedtally why: 2 names begin with \"need of\": \"need of sweet corn\", "
                    "\"need of pole bean\"\n"
                    "All lines: bedtally why 'my garden' A1; every quantity: add --all\n");
    fixture_free(f);
    f = fixture_new(true, false);
    bt_report_why_unknown(&f->out, &f->show, &f->budget, "need of sweat corn\033[2J");
    assert_non_null(strstr(written(f),
                           "nothing in bed A1 is called \"need of sweat corn?[2J\"; near "
                           "it: \"need of sweet"));
    fixture_free(f);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_page_stops_at_names),
        cmocka_unit_test(a_page_is_found_by_id_and_by_a_beginning),
        cmocka_unit_test(what_was_stated_says_where),
        cmocka_unit_test(a_second_name_is_looked_through),
        cmocka_unit_test(a_constant_brings_its_sentence),
        cmocka_unit_test(a_curve_shows_its_points),
        cmocka_unit_test(brackets_stand_where_they_are_needed),
        cmocka_unit_test(a_nought_is_not_written),
        cmocka_unit_test(a_sum_inside_is_spelled_out),
        cmocka_unit_test(printed_figures_multiply_out),
        cmocka_unit_test(a_sum_is_a_column),
        cmocka_unit_test(weights_and_signs_stand_in_the_column),
        cmocka_unit_test(no_page_is_longer_than_thirteen_lines),
        cmocka_unit_test(all_pages_show_each_name_once),
        cmocka_unit_test(an_unknown_name_gets_the_nearest),
    };
    return cmocka_run_group_tests_name("report: the working", tests, NULL, NULL) != 0;
}
