/* What results must obey whatever the garden: same seed, same bytes; nothing depends on
 * order or on what else there is; totals are formed draw by draw. Also every operation
 * against plain arithmetic. */
#include <gsl/gsl_errno.h>

#include "chance/sampler.h"
#include "hand.h"

/* ---- laws --------------------------------------------------------------------------- */

static void same_seed_same_bytes(void **state)
{
    struct bt_spread first[3];
    for (int k = 0; k < 3; k++) {
        struct hand *h = hand_new(*state, 1);
        twenty_five_lines(h);
        const struct bt_job *j = hand_run(h, bt_shapes_new(*state), k == 2 ? 2 : 1);
        first[k] = bt_job_finding(j)->account[0].tightest;
    }
    assert_memory_equal(&first[0], &first[1], sizeof first[0]);
    assert_memory_not_equal(&first[0], &first[2], sizeof first[0]);
}

static void another_leaf_changes_no_other(void **state)
{
    struct hand *plain = hand_new(*state, 1);
    struct hand *more = hand_new(*state, 1);
    hand_line(more, BT_SUPPLY, lognormal(more, "new", 3, 1.5));
    twenty_five_lines(plain);
    twenty_five_lines(more);
    hand_line(more, BT_DEMAND, pert(more, "newer", 1, 2, 3));
    struct bt_shapes *shapes = bt_shapes_new(*state);
    const struct bt_account_finding *a =
        &bt_job_finding(hand_run(plain, shapes, 1))->account[0];
    const struct bt_account_finding *b =
        &bt_job_finding(hand_run(more, shapes, 1))->account[0];
    for (size_t k = 0; k < a->n_lines; k++)
        assert_memory_equal(&a->line[k].total, &b->line[k + 1].total,
                            sizeof a->line[k].total);
}

static void blocks_in_any_order(void **state)
{
    struct hand *h = hand_new(*state, 1);
    twenty_five_lines(h);
    const struct bt_node all = side_sum(h, BT_SUPPLY);
    struct bt_sampler s = bt_sampler_new(*state, NULL, bt_shapes_new(*state), h->sheet, 1,
                                         (struct bt_nodes){1, &all});
    const double *column = bt_program_column(s.program, all);
    double forward[8 * BT_BLOCK], backward[8 * BT_BLOCK];
    for (uint64_t i = 0; i < 8; i++) {
        bt_sampler_block(&s, i * BT_BLOCK);
        memcpy(forward + i * BT_BLOCK, column, BT_BLOCK * sizeof *column);
    }
    for (uint64_t i = 8; i-- > 0;) {
        bt_sampler_block(&s, i * BT_BLOCK);
        memcpy(backward + i * BT_BLOCK, column, BT_BLOCK * sizeof *column);
    }
    assert_memory_equal(forward, backward, sizeof forward);
}

static void nodes_for_the_working(void **state)
{
    struct hand *h = hand_new(*state, 1);
    twenty_five_lines(h);
    struct bt_shapes *shapes = bt_shapes_new(*state);
    const struct bt_job *j = hand_run(h, shapes, 1);
    const struct bt_account_finding *f = &bt_job_finding(j)->account[0];
    const struct bt_node asked[] = {h->line[4].node, h->budget.account[0].balance,
                                    uniform(h, "9", 0.02, 0.05), number(h, 7),
                                    bt_named(h->sheet, "again", "again", h->line[4].node)};
    const struct bt_spread *got = bt_chance_nodes(
        *state, shapes, &h->budget, &(struct bt_chance_options){SAMPLES, 1}, 5, asked);
    assert_memory_equal(&got[0], &f->line[4].total, sizeof got[0]);
    assert_memory_equal(&got[1], &f->balance, sizeof got[1]);
    near(got[2].p05, 0.0215, 5 * 0.03 * 0.22 / sqrt(SAMPLES), "closed form");
    near(got[3].p95, 7, 0, "a constant");
    assert_memory_equal(&got[4], &got[0], sizeof got[4]);
}

/* Every operation against plain arithmetic on the leaves' own draws. */
static void operations(void **state)
{
    struct hand *h = hand_new(*state, 1);
    struct bt_sheet *s = h->sheet;
    const struct bt_node a = uniform(h, "a", -1, 2), b = uniform(h, "b", 1, 3);
    const struct bt_node five[] = {a, b, bt_mul(s, a, a), number(h, 0.5), bt_mul(s, b, b)};
    const double weight[] = {0.5, -1, 2, 3, 0.25};
    const double at[] = {-0.5, 0, 1}, value[] = {3, 1, 2};
    const struct bt_node n[] = {
        bt_add(s, a, b),
        bt_sub(s, a, b),
        bt_div(s, a, b),
        bt_min(s, a, b),
        bt_max(s, a, b),
        bt_rest(s, a),
        bt_sum(s, 5, five, BT_FRACTION),
        bt_weighted(s, 5, five, weight, BT_FRACTION),
        bt_curve(s, a, (struct bt_knots){3, at, value}, BT_FRACTION, NULL),
        a,
        b};
    enum { N = sizeof n / sizeof n[0] };
    struct bt_sampler sampler =
        bt_sampler_new(*state, NULL, bt_shapes_new(*state), s, 1, (struct bt_nodes){N, n});
    bt_sampler_block(&sampler, 0);
    for (int i = 0; i < BT_BLOCK; i++) {
        double got[N];
        for (int k = 0; k < N; k++)
            got[k] = bt_program_column(sampler.program, n[k])[i];
        const double x = got[N - 2], y = got[N - 1];
        const double curve = x < -0.5 ? 3 : x < 0 ? 1 - 4 * x : x < 1 ? 1 + x : 2;
        const double want[] = {x + y,
                               x - y,
                               x / y,
                               x < y ? x : y,
                               x > y ? x : y,
                               1 - x,
                               x + y + x * x + 0.5 + y * y,
                               0.5 * x - y + 2 * x * x + 1.5 + 0.25 * y * y,
                               curve};
        for (int k = 0; k < N - 2; k++)
            near(got[k], want[k], 1e-13, "plain arithmetic");
    }
}

/* ---- totals and plantings ----------------------------------------------------------- */

/* Total of `n` beds of 2 m2 with a supply of CV 0.30 each, on one leaf or on leaves of
 * their own. */
static struct bt_total_finding garden_of(struct bt_arena *a, int n, bool shared)
{
    struct bt_shapes *shapes = bt_shapes_new(a);
    struct bt_totals *t = bt_totals_new(a, &(struct bt_chance_options){SAMPLES, 1});
    struct bt_total_finding total[BT_NUTRIENTS];
    for (int bed = 0; bed < n; bed++) {
        struct hand *h = hand_new(a, 1);
        const char *id = shared ? "factor" : bt_arena_format(a, "factor %d", bed);
        hand_line(h, BT_SUPPLY, normal(h, id, 10, 3));
        hand_line(h, BT_DEMAND, number(h, 8));
        bt_totals_add(t, hand_run(h, shapes, 1));
    }
    bt_totals_finish(t, total);
    near(total[BT_P2O5].area_m2, 0, 0, "no bed has that account");
    return total[BT_N];
}

static void totals_draw_by_draw(void **state)
{
    const struct bt_total_finding shared = garden_of(*state, 4, true);
    const struct bt_total_finding own = garden_of(*state, 4, false);
    const double se = 1 / sqrt(2.0 * SAMPLES);
    near(shared.area_m2, 8, 0, "by definition");
    near(shared.supply.mean, 80, 5 * 24 / sqrt(SAMPLES), "closed form");
    near(shared.supply.sd / shared.supply.mean, 0.30, 5 * 0.3 * se,
         "uncertainty-checks SHARE-CV, derived");
    near(own.supply.sd / own.supply.mean, 0.15, 5 * 0.15 * se,
         "uncertainty-checks SHARE-CV, derived");
    near(shared.required.mean, 64, 1e-9, "a constant");
    near(shared.balance.likely, 16, 1e-9, "at the likely values");
    /* E max(0, 8 - S), S normal(10, 3), times 8 m2 */
    const double z = 2 / 3.0;
    const double want =
        8 * 3 *
        (exp(-z * z / 2) / sqrt(2 * 3.141592653589793) - z * gsl_cdf_ugaussian_Q(z));
    near(shared.shortfall.mean, want, 5 * 12 / sqrt(SAMPLES), "closed form");
    near(own.shortfall.mean, want, 5 * 6 / sqrt(SAMPLES), "closed form");
    near(shared.surplus.mean - shared.shortfall.mean, shared.balance.mean, 1e-9,
         "by definition");
    near(shared.left.mean, shared.balance.mean, 1e-9, "left is the balance here");
}

static void plantings(void **state)
{
    struct hand *h = hand_new(*state, 1);
    const struct bt_node corn = uniform(h, "corn", 5, 15), early = number(h, 4);
    const struct bt_node bean = uniform(h, "bean", 2, 4),
                         transfer = bt_mul(h->sheet, number(h, 0.03), corn);
    struct bt_planting who[3] = {
        {.in_ground = {true, 100, 0}, .ended = {true, 200, 0}},
        {.in_ground = {true, 120, 0}},
        {.in_ground = {true, 50, 0},    .ended = {true, 120, 0}                       }
    };
    const struct bt_planting_facts facts[] = {
        {.planting = &who[0], .uptake = corn, .required = bt_sub(h->sheet, corn, transfer)},
        {.planting = &who[1],
         .uptake = bean,
         .required = bean,
         .is_legume = true,
         .plant_n = bean,
         .ndfa = number(h, 0.5),
         .fixed = bean,
         .harvested = bean,
         .transfer = transfer,
         .residue = bean,
         .draw = bean},
        {.planting = &who[2],    .uptake = early,                   .required = early                                                 }
    };
    h->budget.n_plantings = 3;
    h->budget.planting = facts;
    hand_line(h, BT_SUPPLY, number(h, 10));
    hand_line(h, BT_DEMAND, facts[0].required);
    const struct bt_planting_spread *p =
        bt_job_finding(hand_run(h, bt_shapes_new(*state), 1))->planting;
    near(p[0].uptake.mean, 10, 5 * 2.9 / sqrt(SAMPLES), "closed form");
    near(p[0].required.mean, 0.97 * p[0].uptake.mean, 1e-12, "by definition");
    near(p[1].plant_n.mean, 3, 5 * 0.58 / sqrt(SAMPLES), "closed form");
    near(p[1].ndfa.p50, 0.5, 0, "a constant");
    near(p[1].transfer_of_companions, 0.03, 1e-12,
         "the crop that ended the day the bean came is no companion");
    near(p[2].uptake.mean, 4, 0, "a constant");
    near(p[0].fixed.mean, 0, 0, "no legume");
}

static void notes_of_fits(void **state)
{
    struct bt_shapes *shapes = bt_shapes_new(*state);
    static const struct {
        struct bt_leaf leaf;
        const char *note; /* NULL for none */
    } row[] = {
        {{.id = "a",
          .label = "share of x",
          .range = {0.02, 0.4, 0.7, true, BT_P05_P95, BT_FORM_AUTO},
          .limit_low = 0,
          .limit_high = 1},
         "share of x, 0.02..0.4..0.7: nine times in ten between these would reach beyond "
         "0, "
         "which cannot be, so 0 is taken as the low end"},
        {{.id = "b",
          .label = "yield",
          .range = {0.3, 6, 9, true, BT_P05_P95, BT_FORM_AUTO},
          .limit_low = 0,
          .limit_high = HUGE_VAL,
          .unit = "g/m2",
          .unit_factor = 0.5},
         "yield, 0.6..12..18 g/m2: nine times in ten between these would reach beyond 0, "
         "which cannot be, so 0 is taken as the low end"},
        {{.id = "c",
          .label = "share of y",
          .range = {0.1, 0.2, 1, true, BT_P05_P95, BT_FORM_AUTO},
          .limit_low = 0,
          .limit_high = 1},
         "share of y, 0.1..0.2..1: the high end is the last possible value, and so far "
         "from "
         "the likely one that it is seldom come near to"},
        {{.id = "e",
          .label = "chosen",
          .range = {0, 3, 9, true, BT_P05_P95, BT_FORM_LOGNORMAL},
          .limit_low = 0,
          .limit_high = HUGE_VAL},
         "chosen, 0..3..9: no lognormal law has these ends inside what is possible, so a "
         "pert "
         "takes its place"                              },
        {{.id = "d",
          .label = "plain",
          .range = {2, 3, 4, true, BT_P05_P95, BT_FORM_AUTO},
          .limit_low = 0,
          .limit_high = HUGE_VAL},
         NULL                                           },
    };
    for (size_t k = 0; k < sizeof row / sizeof row[0]; k++) {
        struct bt_diag *d = bt_diag_new(*state);
        const size_t notes = row[k].note ? 1 : 0;
        for (int bed = 0; bed < 3; bed++) { /* once a run, not once a bed */
            struct hand *h = hand_new(*state, 1);
            const struct bt_node n = bt_leaf(h->sheet, &row[k].leaf);
            if (bed == 1) /* whoever draws and whoever does not */
                (void)bt_sampler_new(*state, d, shapes, h->sheet, 1,
                                     (struct bt_nodes){1, &n});
            else
                bt_fit_notes(*state, d, shapes, h->sheet);
        }
        assert_int_equal(bt_diag_count(d, BT_NOTE), notes);
        assert_int_equal(bt_diag_count(d, BT_ERROR), 0);
        if (notes)
            assert_string_equal(bt_diag_get(d, 0)->field, row[k].note);
    }
}

#define IN_ARENA(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        IN_ARENA(same_seed_same_bytes),
        IN_ARENA(another_leaf_changes_no_other),
        IN_ARENA(blocks_in_any_order),
        IN_ARENA(nodes_for_the_working),
        IN_ARENA(operations),
        IN_ARENA(totals_draw_by_draw),
        IN_ARENA(plantings),
        IN_ARENA(notes_of_fits),
    };
    return cmocka_run_group_tests_name("laws of results, totals", tests, NULL, NULL) != 0;
}
