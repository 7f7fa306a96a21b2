/* The equations of phosphate and potash, the ratings and the conversions against published
 * figures. A point estimate is n = 1: equations are called with constants. Each row prints
 * its source when it fails. */
#include "check.h"

#include <stdlib.h>
#include <string.h>

#include "input/ratings.h"
#include "input/units.h"
#include "model/amendment.h"
#include "model/phosphate.h"
#include "model/soil.h"

struct bench {
    struct bt_arena *a;
    struct bt_sheet *s;
    struct bt_diag *d;
    struct bt_units *units;
    struct bt_handbook *h;
};

static void out_of_memory(void *context)
{
    (void)context;
    abort();
}

static int setup(void **state)
{
    struct bench *b = calloc(1, sizeof *b);
    size_t n;
    b->a = bt_arena_new(1 << 16, out_of_memory, NULL);
    b->s = bt_sheet_new(b->a);
    b->d = bt_diag_new(b->a);
    const char *table = bt_embedded_table("units", &n);
    b->units = bt_units_new(b->a, b->d, table, n);
    b->h = bt_handbook_load(b->a, b->d, b->units, NULL, NULL);
    assert_non_null(b->h);
    *state = b;
    return 0;
}

static int teardown(void **state)
{
    struct bench *b = *state;
    bt_units_free(b->units);
    bt_arena_free(b->a);
    free(b);
    return 0;
}

static const double LB_AC_G_M2 = 0.112085; /* 453.59237 g / 4046.8564 m2 */
static const double IN_M = 0.0254;
static const double PLOW_IN = 6.67; /* 2 million lb/ac at 1.33 g/cm3 */

static struct bt_node area(struct bench *b, double g_m2)
{
    return bt_constant(b->s, g_m2, BT_MASS_PER_AREA);
}

static struct bt_node part(struct bench *b, double share)
{
    return bt_share(b->s, share);
}

#define VALUE(node) bt_likely(b->s, (node))

/* ---- element and oxide ---- */

static void oxides(void **state)
{
    struct bench *b = *state;
    check_close(BT_P2O5_PER_P, (2 * 30.974 + 5 * 15.999) / (2 * 30.974), 5e-5,
                "2.2914; atomic masses, recalled");
    check_close(BT_K2O_PER_K, (2 * 39.098 + 15.999) / (2 * 39.098), 5e-5,
                "1.2046; atomic masses, recalled");
    /* A 60 lb bag of 30-4-4. */
    check_close(60 * 0.04 / BT_P2O5_PER_P, 1.1, 0.05,
                "OX-27d, Minnesota lawn fertilisers: 1.1 lb P; read, one decimal");
    check_close(60 * 0.04 / BT_K2O_PER_K, 2.0, 0.025,
                "OX-27e, Minnesota lawn fertilisers: 2.0 lb K; read, one decimal");
    check_close(VALUE(bt_oxide_of(b->s, part(b, 5), part(b, BT_P2O5_PER_P))), 11.5, 5e-3,
                "OC-11: element label 12-5-14 is 12-11.5-16.9; arithmetic");
    check_close(VALUE(bt_oxide_of(b->s, part(b, 14), part(b, BT_K2O_PER_K))), 16.9, 5e-3,
                "OC-11: element label 12-5-14 is 12-11.5-16.9; arithmetic");
    check_close(51 / BT_P2O5_PER_P, 22.3, 5e-3, "OC-11: 18-51-20 oxide is 22.3 P");
    check_close(20 / BT_K2O_PER_K, 16.6, 5e-3, "OC-11: 18-51-20 oxide is 16.6 K");
    check_close(350 / BT_P2O5_PER_P, 153, 2e-3,
                "OC-10: 35 mg/100 g P2O5 is 153 mg/kg P; arithmetic");
    check_close(200 / BT_K2O_PER_K, 166, 2e-3,
                "OC-10: 20 mg/100 g K2O is 166 mg/kg K; arithmetic");
}

/* ---- by depth and density ---- */

static double layer_lb_ac(struct bench *b, double ppm, double inches)
{
    return VALUE(bt_in_layer(b->s, part(b, ppm * 1e-6),
                             bt_constant(b->s, 1.33e6, BT_DENSITY),
                             bt_constant(b->s, inches * IN_M, BT_LENGTH))) /
           LB_AC_G_M2;
}

static void layers(void **state)
{
    struct bench *b = *state;
    check_close(layer_lb_ac(b, 1, PLOW_IN), 2.0, 0.01, "twice ppm at 6.67 in; Ohio, read");
    check_close(layer_lb_ac(b, 1, 12), 3.6, 0.01, "3.6 times ppm at 12 in; derived");
    check_close(layer_lb_ac(b, 140, PLOW_IN), 280, 0.01,
                "OC-04: 280 lb K/ac is 140 ppm; arithmetic");
    /* An acre taken as 207 x 207 ft, 39,805,752 cm2, 20 cm, 1.2 g/cm3, 454 g a pound. */
    const double g_m2 =
        VALUE(bt_in_layer(b->s, part(b, 1), bt_constant(b->s, 1.2e6, BT_DENSITY),
                          bt_constant(b->s, 0.2, BT_LENGTH)));
    check_close(g_m2 * 3980.5752, 955338040, 1e-6,
                "OX-28b, soil laboratory workbook: 955,338,040 g; read");
    check_close(g_m2 * 3980.5752 / 454, 2104269, 1e-6,
                "OX-28c, soil laboratory workbook: 2,104,269 lb; read");
}

/* Deficit of six tomato rows in a tunnel. */
static void potassium_deficit(void **state)
{
    struct bench *b = *state;
    const double acres = 6 * 90 * 4 / 43560.0;
    /* As tests: ppm by depth and density, so that the deficit comes out in K per area. */
    const struct bt_excess x = {
        part(b, 170e-6), part(b, 140e-6), bt_constant(b->s, 1.33e6, BT_DENSITY),
        bt_constant(b->s, PLOW_IN * IN_M, BT_LENGTH), part(b, BT_K2O_PER_K)};
    const double k2o_lb = VALUE(bt_excess_oxide(b->s, &x)) / LB_AC_G_M2 * acres;
    check_close(k2o_lb / acres / BT_K2O_PER_K, 60, 0.01,
                "OC-04, Iowa State: 340 - 280 = 60 lb K/ac; read");
    check_close(k2o_lb / BT_K2O_PER_K, 2.98, 0.01, "OC-04: 2.98 lb K; arithmetic");
    check_close(k2o_lb, 3.58, 0.01, "OC-04: 3.58 lb K2O; arithmetic");
    check_close(k2o_lb / 0.50, 7.2, 0.015, "OC-04: 7.2 lb of 0-0-50; arithmetic");
}

/* From 133 ppm, the middle of compost-fed community gardens, to 25. */
static struct bt_excess overfed(struct bench *b)
{
    return (struct bt_excess){
        part(b, 133e-6), part(b, 25e-6), bt_constant(b->s, 1.33e6, BT_DENSITY),
        bt_constant(b->s, PLOW_IN * IN_M, BT_LENGTH), part(b, BT_P2O5_PER_P)};
}

static void years_in_stock(void **state)
{
    struct bench *b = *state;
    const struct bt_excess x = overfed(b);
    const struct bt_node over = bt_excess_oxide(b->s, &x);
    check_close(VALUE(over) / LB_AC_G_M2, 495, 0.01,
                "OC-03: 108 ppm over is 216 lb P/ac, 495 lb P2O5/ac; arithmetic");
    static const struct {
        double removed_lb_ac, years;
    } removal[] = {
        {30, 16.5 },
        {20, 24.75}
    };
    for (size_t i = 0; i < 2; i++)
        check_close(VALUE(bt_years_by_removal(
                        b->s, over, area(b, removal[i].removed_lb_ac * LB_AC_G_M2), 0)),
                    removal[i].years, 0.01,
                    "review finding 12: 16-25 years at 20-30 lb/ac; arithmetic");
    check_close(VALUE(bt_years_by_fall(b->s, x.test_frac, x.line_frac, part(b, 4e-6))), 27,
                1e-9, "review finding 12: 27 years by 4 ppm a year (Ohio); read rate");
    check_close(VALUE(bt_years_by_fall(b->s, x.test_frac, x.line_frac, part(b, 2e-6))), 54,
                1e-9, "review finding 12: 54 years by 2 ppm a year (Ohio); read rate");
    check_close(VALUE(bt_years_by_decline(b->s, 108e-6, 50e-6, part(b, 0.082))), 9, 0.05,
                "56 fields (NC-DRAW): 108 to 50 ppm in 9 years at 8.2 %; derived");
    check_close(VALUE(bt_years_by_decline(b->s, 108e-6, 50e-6, part(b, 0.043))), 18, 0.01,
                "56 fields (NC-DRAW): 108 to 50 ppm in 18 years at 4.3 %; derived");
    check_close(VALUE(bt_years_by_decline(b->s, 2, 1, part(b, 0.0825))), 8.4, 1e-3,
                "56 fields (NC-DRAW): halved in 8.4 years at 8.25 %; read");
    check_close(VALUE(bt_years_by_fall(b->s, x.line_frac, x.test_frac, part(b, 2e-6))), 0,
                0, "below the line nothing is in stock; by definition");
    check_close(VALUE(bt_years_by_decline(b->s, 1, 2, part(b, 0.06))), 0, 0,
                "below the line nothing is in stock; by definition");
}

/* One inch of dairy compost, 650 kg/m3, 45 % moisture, 1.5 % P2O5: 136 g/m2. */
static void loads(void **state)
{
    struct bench *b = *state;
    const struct bt_node dry = bt_dry_matter(b->s, area(b, 650e3 * IN_M), part(b, 0.45));
    const struct bt_node p2o5 = bt_oxide_in(b->s, dry, part(b, 0.015));
    check_close(VALUE(p2o5), 136, 2e-3, "review finding 12: 136 g P2O5/m2 in an inch");
    check_between(VALUE(bt_div(b->s, p2o5, area(b, 1.9))), 66, 73,
                  "review finding 12: some 67 years of harvests; derived, rounded there");
    check_close(VALUE(bt_first_season(b->s, p2o5, part(b, 0.7))), 95.3, 2e-3,
                "Alberta guide: 70 % in the first year; read share");
}

/* ---- manures: OX of kind c ---- */

static void manure_rates(void **state)
{
    struct bench *b = *state;
    const double ton = 2000;
    const struct bt_node pan = bt_manure_available(b->s, area(b, 8), part(b, 0.66),
                                                   area(b, 21 - 8), part(b, 0.25));
    check_close(VALUE(pan), 8.53, 1e-9, "OX-12c, Montana State: 8.53 lb PAN/ton; read");
    check_close(160 / VALUE(pan), 18.8, 3e-3, "OX-12d: 18.8 tons/ac; read");
    const struct bt_node p = bt_oxide_in(b->s, area(b, 2.8 * ton), part(b, 18 / ton));
    const struct bt_node k = bt_oxide_in(b->s, area(b, 2.9 * ton), part(b, 26 / ton));
    check_close(VALUE(p), 50, 0.01, "OX-12e: 2.8 tons/ac bring 50 lb P2O5; read");
    check_close(VALUE(k), 75, 0.01, "OX-12f: 2.9 tons/ac bring 75 lb K2O; read");
    check_close(VALUE(bt_later_available(b->s, area(b, 1.7), part(b, 0.12), part(b, 0))),
                0.204, 1e-9, "OX-13c, Alberta: 0.204 kg/1000 L in year 2; read");
    check_close(VALUE(bt_later_available(b->s, area(b, 1.7), part(b, 0.06), part(b, 0))),
                0.102, 1e-9, "OX-13d, Alberta: 0.102 kg/1000 L in year 3; read");
    check_close(VALUE(bt_oxide_in(b->s, area(b, 6.7 * ton), part(b, 15 / ton))), 100, 0.01,
                "OX-14a, Clemson: 6.7 tons/ac of 15 lb/ton for 100 lb/ac; read");
    const double lb_1000_gal_g_m3 = 453.59237 / 3.785411784;
    const struct bt_node lagoon =
        bt_water_nitrogen(b->s, bt_constant(b->s, 1.84 * IN_M, BT_LENGTH),
                          bt_constant(b->s, 2 * lb_1000_gal_g_m3, BT_DENSITY));
    check_close(VALUE(lagoon) / LB_AC_G_M2, 100, 0.005,
                "OX-14c, Clemson: 1.84 in of 2 lb/1000 gal for 100 lb/ac; read");
}

/* ---- rates per area: OX-26 ---- */

static void small_areas(void **state)
{
    struct bench *b = *state;
    static const struct {
        double lb_ac;
        const char *unit;
        double lb, rel;
        const char *source;
    } row[] = {
        {100,  "lb/100 sq ft",  0.23,    3e-3, "OX-26a, New Mexico H-119; read"           },
        {100,  "lb/1000 sq ft", 2.3125,  8e-3, "OX-26c, New Mexico H-119, by ounces; read"},
        {1000, "lb/100 sq ft",  2.3,     3e-3, "OX-26d, New Mexico H-119; read"           },
        {1000, "lb/1000 sq ft", 22.9375, 2e-3, "OX-26e, New Mexico H-119; read"           },
        {2000, "lb/100 sq ft",  4.59,    2e-3, "OX-26f, New Mexico H-119; read"           },
        {2000, "lb/1000 sq ft", 45.9375, 2e-3, "OX-26g, New Mexico H-119; read"           },
    };
    for (size_t i = 0; i < sizeof row / sizeof *row; i++)
        check_close(row[i].lb_ac * LB_AC_G_M2 *
                        bt_units_factor_to(b->units, b->a, row[i].unit),
                    row[i].lb, row[i].rel, row[i].source);
}

/* ---- ratings ---- */

static void limits(void **state)
{
    struct bench *b = *state;
    static const struct {
        const char *method;
        bool is_k;
        double ppm;
        const char *want, *source;
    } row[] = {
        {"Mehlich-3",          false, 22.5, "Mehlich-3, low",                  "Rutgers, 45 lb/ac; read"              },
        {"Mehlich-3",          false, 36,   "Mehlich-3, optimum",              "Rutgers, 36-69 ppm; read"             },
        {"Mehlich-3",          false, 68,   "Mehlich-3, optimum",              "Rutgers, to 68 ppm; read"             },
        {"Mehlich-3",          false, 121,  "Mehlich-3, excessive",            "Ohio, stop above 120; read"           },
        {"Mehlich III",        true,  73,   "Mehlich-3, optimum",              "Rutgers, K 73-138; read"              },
        {"M3",                 true,  138,  "Mehlich-3, optimum",              "Rutgers, K 73-138; read"              },
        {"M3",                 true,  139,  "Mehlich-3, above optimum",        "Rutgers, K 73-138; read"              },
        {"Bray 1",             false, 80,   "Bray P1, optimum",                "Midwest, none needed over 80; read"   },
        {"bray",               false, 81,   "Bray P1, above optimum",          "Midwest, none needed over 80; read"   },
        {"mod. Morgan",        false, 4,    "modified Morgan, low",            "Massachusetts, 4-14; read"            },
        {"modified Morgan",    false, 14,   "modified Morgan, optimum",
         "Massachusetts, 4-14; read"                                                                                  },
        {"modified Morgan",    false, 41.5, "modified Morgan, excessive",
         "garden report, 41; read"                                                                                    },
        {"modified Morgan",    true,  160,  "modified Morgan, optimum",
         "Massachusetts, 100-160; read"                                                                               },
        {"Morgan",             false, 10,   "Morgan, optimum",                 "Ireland, 6.1-10; read"                },
        {"Morgan (mg/L)",      true,  150,  "Morgan, optimum",                 "Ireland, 101-150; read"               },
        {"Olsen",              false, 25,   "Olsen, medium",                   "N. Ireland, index 2, 16-25; read"     },
        {"sodium bicarbonate", false, 26,   "Olsen, optimum",                  "N. Ireland, index 3; read"            },
        {"Mehlich 1",          true,  85,   "Mehlich-1, medium",               "Georgia, 35/85/138; read"             },
        {"ammonium acetate",   true,  100,  "ammonium acetate, low",           "Ontario, to 100; read"                },
        {"NH4OAc",             true,  211,  "ammonium acetate, above optimum", "Ontario, 210; read"                   },
        {"ammonium acetate",   false, 30,   NULL,                              "it draws no phosphorus; by definition"},
    };
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        const char *name = bt_extractant(b->a, b->h, row[i].method);
        assert_non_null(name);
        const char *got = bt_class_of_content(
            b->h, name, row[i].is_k ? &bt_rated_k : &bt_rated_p, row[i].ppm * 1e-6);
        if (!row[i].want ? got != NULL : !got || strcmp(got, row[i].want) != 0)
            fail_msg("%g ppm by %s: %s, not %s [%s]", row[i].ppm, row[i].method,
                     got ? got : "nothing", row[i].want ? row[i].want : "nothing",
                     row[i].source);
    }
    assert_null(bt_extractant(b->a, b->h, "Morgon"));
    assert_null(bt_extractant(b->a, b->h, ""));
}

static double rate(const struct bench *b, const char *key, const char *quantity)
{
    const struct bt_row *row = bt_handbook_row(b->h, "ratings", key, quantity);
    assert_non_null(row);
    return row->range.likely;
}

static void rates(void **state)
{
    struct bench *b = *state;
    static const double LB_1000_G_M2 = 4.88243;
    check_close(rate(b, "any, low", "p2o5_need"), 3.4 * LB_1000_G_M2, 5e-3,
                "garden set, 3.4 lb P2O5 per 1000 sq ft; derived");
    check_close(rate(b, "any, medium", "p2o5_need"), 2.3 * LB_1000_G_M2, 5e-3,
                "garden set, 2.3 lb P2O5 per 1000 sq ft; derived");
    check_close(rate(b, "any, low", "k2o_need"), 4.1 * LB_1000_G_M2, 5e-3,
                "garden set, 4.1 lb K2O per 1000 sq ft; derived");
    check_between(
        200 * LB_AC_G_M2, rate(b, "any, low", "p2o5_need"), 22.45,
        "Delaware, 200 lb P2O5/ac for cole crops on low soil is the high end; read");
    const struct bt_row *line = bt_rating_line(b->h, "Mehlich-3", &bt_rated_p);
    check_close(line->range.likely, 68.5e-6, 1e-9, "Rutgers, 137 lb/ac halved; read");
    assert_int_equal(rate(b, "Mehlich-3, above optimum", "p2o5_need"), 0);
    assert_int_equal(rate(b, "Mehlich-3, excessive", "k2o_need"), 0);
}

static void words(void **state)
{
    struct bench *b = *state;
    static const struct {
        const char *word, *extractant, *want;
    } row[] = {
        {"VL",      NULL,              "any, very low"   },
        {"L",       "Mehlich-3",       "Mehlich-3, low"  },
        {"medium",  "modified Morgan", "any, medium"     },
        {"optimum", "Morgan",          "Morgan, optimum" },
        {"H",       "Mehlich-3",       "any, high"       },
        {"VH",      "Mehlich-3",       "any, very high"  },
        {"full",    "Olsen",           "Olsen, excessive"},
        {"loud",    "Olsen",           NULL              },
    };
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        const char *got =
            bt_class_of_word(b->a, b->h, row[i].extractant, &bt_rated_p, row[i].word);
        if (!row[i].want)
            assert_null(got);
        else
            assert_string_equal(got, row[i].want);
    }
    assert_string_equal(bt_class_category("Bray P1, very low"), "very low");
    assert_true(bt_category_rank("optimum") < bt_category_rank("high"));
    assert_true(bt_category_rank("high") < bt_category_rank("above optimum"));
    assert_true(bt_category_rank("class C") < 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(oxides),
        cmocka_unit_test(layers),
        cmocka_unit_test(potassium_deficit),
        cmocka_unit_test(years_in_stock),
        cmocka_unit_test(loads),
        cmocka_unit_test(manure_rates),
        cmocka_unit_test(small_areas),
        cmocka_unit_test(limits),
        cmocka_unit_test(rates),
        cmocka_unit_test(words),
    };
    return cmocka_run_group_tests_name("phosphate", tests, setup, teardown) != 0;
}
