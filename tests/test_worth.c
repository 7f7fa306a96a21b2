/* What a test is worth before it is made: against closed forms of normal laws, and through
 * whole findings with the handbook's own errors. */
#include <gsl/gsl_errno.h>
#include <gsl/gsl_randist.h>

#include "hand.h"

#include "chance/worth.h"
#include "input/units.h"

/* ---- closed forms ------------------------------------------------------------------- */

enum { DRAWS = 1 << 18, PARTS = 3 };
static const double SD[PARTS] = {3, 2, 1};

/* What is missing is 20 and a few normal parts about 0; leaf k is 100 plus part k. */
static struct bt_worth_answer of_parts(struct bt_arena *a, int n, const double *sd_of,
                                       int k, struct bt_gauge_error error, double enough)
{
    struct bt_shapes *shapes = bt_shapes_new(a);
    struct bt_drawer drawer[PARTS];
    double variance = 0;
    for (int p = 0; p < n; p++) {
        variance += sd_of[p] * sd_of[p];
        const struct bt_law law = {.form = BT_FORM_TRUNCATED_NORMAL,
                                   .mu = 100,
                                   .sigma = sd_of[p],
                                   .clamp_low = -HUGE_VAL,
                                   .clamp_high = HUGE_VAL};
        drawer[p] = bt_drawer_new(shapes, &law, 1, bt_arena_format(a, "%d", p), NULL, 0);
    }
    const double sd = sqrt(variance);
    const struct bt_spread balance = {.mean = -20, .sd = sd},
                           shortfall = {.mean = 20, .sd = sd};
    struct bt_worth *w = bt_arena_alloc(a, sizeof *w);
    bt_worth_begin(w, &balance, &shortfall);
    for (uint64_t first = 0; first < DRAWS; first += BT_BLOCK) {
        double u[PARTS][BT_BLOCK], x[PARTS][BT_BLOCK], y[BT_BLOCK];
        for (int i = 0; i < BT_BLOCK; i++)
            y[i] = -20 + 100 * n;
        for (int p = 0; p < n; p++) {
            bt_drawer_fill(&drawer[p], first, u[p], x[p]);
            for (int i = 0; i < BT_BLOCK; i++)
                y[i] -= x[p][i];
        }
        bt_worth_block(w, u[k], x[k], y);
    }
    return bt_worth_finish(w, error, enough);
}

static struct bt_worth_answer of_normals(struct bt_arena *a, int k,
                                         struct bt_gauge_error error, double enough)
{
    return of_parts(a, PARTS, SD, k, error, enough);
}

static const char *const EVPPI =
    "uncertainty-checks VOI-EVPI, derived: 4 phi(z) (S - sqrt(S^2 - s^2)); binned 0.03";

static void known_for_good(void **state)
{
    static const double want[PARTS] = {1.913764169, 0.736453215, 0.173005334};
    for (int k = 0; k < PARTS; k++) {
        const struct bt_worth_answer a =
            of_normals(*state, k, (struct bt_gauge_error){0, 0}, 0.75);
        near(a.loss_avoided, want[k], 0.03, EVPPI);
        near(a.spread_cut_frac, 1 - sqrt(1 - SD[k] * SD[k] / 14), 0.005,
             "variance of a sum; 40 bins");
    }
}

/* One part that is all the doubt there is, and a test that does not err: the most that
 * forty bins can miss, a fourteenth. */
static void known_altogether(void **state)
{
    const double whole = sqrt(14);
    const struct bt_worth_answer a =
        of_parts(*state, 1, &whole, 0, (struct bt_gauge_error){0, 0}, 0.75);
    check_between(a.loss_avoided, 4.756044242 * 13 / 14, 4.756044242,
                  "VOI-EVPI, derived: 4 phi(z) S");
}

/* With an error as large as the part's own spread a test explains half its variance. */
static void off_by_an_error(void **state)
{
    static const double error[] = {0.5, 1, 2, 10};
    for (size_t i = 0; i < sizeof error / sizeof error[0]; i++)
        for (int k = 0; k < PARTS; k++) {
            const double off = error[i] * SD[k];
            const double seen = SD[k] * SD[k] / (1 + error[i] * error[i]);
            const double z = gsl_cdf_ugaussian_Pinv(0.75);
            const double avoided =
                4 * gsl_ran_ugaussian_pdf(z) * (sqrt(14) - sqrt(14 - seen));
            const struct bt_worth_answer by_share =
                of_normals(*state, k, (struct bt_gauge_error){off / 100, 0}, 0.75);
            const struct bt_worth_answer by_least =
                of_normals(*state, k, (struct bt_gauge_error){0, off}, 0.75);
            near(by_share.spread_cut_frac, 1 - sqrt(1 - seen / 14), 0.008,
                 "normal theory: what is seen is s^2 / (s^2 + error^2) of s^2");
            near(by_least.spread_cut_frac, 1 - sqrt(1 - seen / 14), 0.008, "the same");
            near(by_share.loss_avoided, avoided, 0.03, EVPPI);
        }
}

static void better_tests_are_worth_more(void **state)
{
    double before = 1;
    for (double error = 0; error < 0.5; error += 0.02) {
        const struct bt_worth_answer a =
            of_normals(*state, 0, (struct bt_gauge_error){error, 0}, 0.8);
        assert_true(a.spread_cut_frac >= 0 && a.spread_cut_frac <= before);
        assert_true(a.loss_avoided >= 0);
        before = a.spread_cut_frac;
    }
}

/* ---- through findings --------------------------------------------------------------- */

static struct bt_handbook *book(struct hand *h, struct bt_units **out_units)
{
    struct bt_diag *d = bt_diag_new(h->arena);
    size_t n;
    const char *text = bt_embedded_table("units", &n);
    *out_units = bt_units_new(h->arena, d, text, n);
    struct bt_handbook *b = bt_handbook_load(h->arena, d, *out_units, NULL, NULL);
    assert_non_null(b);
    return b;
}

/* Soil nitrate of 5..15 and a need that nobody measures; a compost with two analysed
 * figures counts as one analysis. */
static void a_nitrate_test(void **state)
{
    struct hand *h = hand_new(*state, 1);
    struct bt_units *units;
    h->budget.handbook = book(h, &units);
    hand_line(h, BT_SUPPLY, normal(h, "soils/any/nitrate_default/A1", 10, 2));
    hand_line(h, BT_SUPPLY, normal(h, "materials/yard compost/n", 10, 1));
    hand_line(h, BT_SUPPLY, normal(h, "materials/yard compost/n_available_1", 10, 0.9));
    hand_line(h, BT_SUPPLY, normal(h, "materials/other/n", 1, 0.01));
    hand_line(h, BT_DEMAND, normal(h, "beds/A1/season", 36, 1));
    const struct bt_account_finding *f = hand_finding(h);
    const double variance = 4 + 1 + 0.81 + 1e-4 + 1;
    /* errors: 20 % of 10; 15 % of 10; 30 % of 10 */
    const double nitrate = 4 * 4 / (4 + 4.16), analysis = 1 / 3.27,
                 available = 0.6561 / 9.93;
    const double both = (analysis + available) / variance;
    assert_int_equal(f->n_gauges, 2);
    assert_int_equal(f->gauge[0].gauge, BT_GAUGE_SOIL_NITRATE);
    near(f->gauge[0].spread_cut_frac, 1 - sqrt(1 - nitrate / variance), 0.015,
         "normal theory; the error varies with the reading");
    assert_int_equal(f->gauge[1].gauge, BT_GAUGE_ANALYSIS);
    near(f->gauge[1].spread_cut_frac, 1 - sqrt(1 - both), 0.01, "normal theory");
    assert_true(f->gauge[0].loss_avoided > f->gauge[1].loss_avoided);
    assert_true(f->gauge[1].loss_avoided > 0);
    bt_units_free(units);
}

static void nothing_to_tell(void **state)
{
    struct hand *h = hand_new(*state, 1);
    hand_line(h, BT_SUPPLY, normal(h, "soils/any/nitrate_default/A1", 10, 2));
    hand_line(h, BT_DEMAND, number(h, 9));
    assert_int_equal(hand_finding(h)->n_gauges, 0); /* no handbook, no error known */
    struct bt_units *units;
    h->budget.handbook = book(h, &units);
    const struct bt_account_finding *f = hand_finding(h);
    assert_int_equal(f->n_gauges, 1);
    assert_true(f->gauge[0].loss_avoided > 0);
    const struct bt_chance_options few = {2048, 1};
    struct bt_job *j = bt_job_new(h->arena, bt_diag_new(h->arena), bt_shapes_new(h->arena),
                                  &h->budget, &few);
    bt_job_run(j);
    assert_int_equal(bt_job_finding(j)->account[0].n_gauges, 0);
    bt_units_free(units);
}

/* Far more than is needed: a test still narrows, but saves nothing. */
static void enough_saves_nothing(void **state)
{
    struct hand *h = hand_new(*state, 1);
    struct bt_units *units;
    h->budget.handbook = book(h, &units);
    hand_line(h, BT_SUPPLY, normal(h, "soils/any/nitrate_default/A1", 100, 20));
    hand_line(h, BT_DEMAND, number(h, 5));
    const struct bt_account_finding *f = hand_finding(h);
    assert_int_equal(f->n_gauges, 1);
    assert_true(f->gauge[0].spread_cut_frac > 0.2);
    near(f->gauge[0].loss_avoided, 0, 0.001, "nothing is missing");
    bt_units_free(units);
}

/* ---- what can be measured ----------------------------------------------------------- */

static void gauges(void **state)
{
    (void)state;
    static const struct {
        const char *id;
        enum bt_gauge gauge;
    } row[] = {
        {"soils/any/nitrate_default/A1",       BT_GAUGE_SOIL_NITRATE      },
        {"soil_tests/S1/nitrate_n",            BT_GAUGE_SOIL_NITRATE_AGAIN},
        {"soils/any/organic_matter/A1",        BT_GAUGE_ORGANIC_MATTER    },
        {"materials/yard compost/n",           BT_GAUGE_ANALYSIS          },
        {"materials/yard compost/moisture/A1", BT_GAUGE_MOISTURE          },
        {"water/well/nitrate",                 BT_GAUGE_WATER_NITRATE     },
        {"crops/kale/yield/A1",                BT_GAUGE_HARVEST           },
        {"plantings/A1/kale 1/plants",         BT_GAUGE_PLANTS            },
        {"crops/kale/recovery",                BT_GAUGE_NONE              },
        {"beds/A1/season",                     BT_GAUGE_NONE              },
        {"n",                                  BT_GAUGE_NONE              },
    };
    for (size_t k = 0; k < sizeof row / sizeof row[0]; k++)
        assert_int_equal(bt_gauge_of(&(struct bt_leaf){.id = row[k].id}), row[k].gauge);
    const struct bt_leaf n = {.id = "materials/yard compost/n"};
    const struct bt_leaf c_n = {.id = "materials/yard compost/c_n"};
    const struct bt_leaf other = {.id = "materials/yard/n"};
    assert_true(bt_gauge_same(&n, &c_n));
    assert_false(bt_gauge_same(&n, &other));
}

#define IN_ARENA(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        IN_ARENA(known_for_good),
        IN_ARENA(known_altogether),
        IN_ARENA(off_by_an_error),
        IN_ARENA(a_nitrate_test),
        IN_ARENA(better_tests_are_worth_more),
        IN_ARENA(nothing_to_tell),
        IN_ARENA(enough_saves_nothing),
        cmocka_unit_test(gauges),
    };
    return cmocka_run_group_tests_name("what a test is worth", tests, NULL, NULL) != 0;
}
