/* Findings: small budgets whose answers are known in closed form, a budget of 25 inputs
 * whose mean, spread and drivers are, and the laws that results must obey. */
#include "check.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "chance/chance.h"
#include "chance/sampler.h"

enum { SAMPLES = 1 << 16, MOST_LINES = 16, MOST_DATES = 4 };

static void out_of_memory(void *context)
{
    (void)context;
    abort();
}

static int set_up(void **state)
{
    *state = bt_arena_new((size_t)1 << 20, out_of_memory, NULL);
    return *state ? 0 : -1;
}

static int tear_down(void **state)
{
    bt_arena_free(*state);
    return 0;
}

static void near(double got, double want, double abs, const char *source)
{
    check_between(got, want - abs, want + abs, source);
}

/* ---- a budget by hand
 * ---------------------------------------------------------------------- */

struct hand {
    struct bt_arena *arena;
    struct bt_sheet *sheet;
    struct bt_garden garden;
    struct bt_bed bed;
    struct bt_budget budget;
    struct bt_line line[MOST_LINES];
    double by_date[MOST_LINES][MOST_DATES];
    int date[MOST_DATES];
};

static struct hand *hand_new(struct bt_arena *a, size_t n_dates)
{
    struct hand *h = bt_arena_zero(a, sizeof *h);
    h->arena = a;
    h->sheet = bt_sheet_new(a);
    h->garden.enough = 0.8;
    h->bed.area_m2 = 2;
    for (int t = 0; t < MOST_DATES; t++)
        h->date[t] = 20000 + 10 * t;
    h->budget = (struct bt_budget){
        .garden = &h->garden, .bed = &h->bed, .sheet = h->sheet, .n_accounts = 1};
    h->budget.account[0] = (struct bt_account){.nutrient = BT_N,
                                               .known = true,
                                               .n_dates = n_dates,
                                               .date = h->date,
                                               .line = h->line,
                                               .left_limit_g_m2 = 1e9};
    return h;
}

/* A line that is there from the first date on, unless its shares are changed. */
static double *hand_line(struct hand *h, enum bt_side side, struct bt_node node)
{
    struct bt_account *account = &h->budget.account[0];
    const size_t k = account->n_lines++;
    assert_true(k < MOST_LINES);
    for (int t = 0; t < MOST_DATES; t++)
        h->by_date[k][t] = 1;
    h->line[k] = (struct bt_line){.id = "line",
                                  .label = "line",
                                  .side = side,
                                  .node = node,
                                  .by_date = h->by_date[k]};
    return h->by_date[k];
}

static struct bt_node side_sum(struct hand *h, enum bt_side side)
{
    struct bt_node of_side[MOST_LINES];
    size_t n = 0;
    for (size_t k = 0; k < h->budget.account[0].n_lines; k++)
        if (h->line[k].side == side)
            of_side[n++] = h->line[k].node;
    return bt_sum(h->sheet, n, of_side, BT_FRACTION);
}

static const struct bt_job *hand_run(struct hand *h, struct bt_shapes *shapes,
                                     uint64_t seed)
{
    struct bt_account *account = &h->budget.account[0];
    account->required = side_sum(h, BT_DEMAND);
    account->supply = side_sum(h, BT_SUPPLY);
    account->balance = bt_sub(h->sheet, account->supply, account->required);
    account->left = account->balance;
    const struct bt_chance_options o = {SAMPLES - 100,
                                        seed}; /* rounded up to whole blocks */
    struct bt_job *j = bt_job_new(h->arena, bt_diag_new(h->arena), shapes, &h->budget, &o);
    bt_job_run(j);
    return j;
}

static const struct bt_account_finding *hand_finding(struct hand *h)
{
    return &bt_job_finding(hand_run(h, bt_shapes_new(h->arena), 1))->account[0];
}

static struct bt_node leaf(struct hand *h, const char *id, struct bt_range range)
{
    const struct bt_leaf l = {.id = id,
                              .label = id,
                              .range = range,
                              .limit_low = -HUGE_VAL,
                              .limit_high = HUGE_VAL};
    return bt_leaf(h->sheet, &l);
}

static struct bt_node uniform(struct hand *h, const char *id, double low, double high)
{
    return leaf(h, id, bt_range_two(low, high, BT_BOUNDS));
}

static struct bt_node normal(struct hand *h, const char *id, double mean, double sd)
{
    const double reach = sd * gsl_cdf_ugaussian_Pinv(0.95);
    struct bt_range r = bt_range_of(mean - reach, mean, mean + reach, BT_P05_P95);
    r.form = BT_FORM_TRUNCATED_NORMAL;
    return leaf(h, id, r);
}

static struct bt_node lognormal(struct hand *h, const char *id, double middle, double gsd)
{
    const double reach = pow(gsd, gsl_cdf_ugaussian_Pinv(0.95));
    struct bt_range r = bt_range_of(middle / reach, middle, middle * reach, BT_P05_P95);
    r.form = BT_FORM_LOGNORMAL;
    return leaf(h, id, r);
}

static struct bt_node pert(struct hand *h, const char *id, double low, double likely,
                           double high)
{
    return leaf(h, id, bt_range_of(low, likely, high, BT_BOUNDS));
}

static struct bt_node triangular(struct hand *h, const char *id, double low, double likely,
                                 double high)
{
    struct bt_range r = bt_range_of(low, likely, high, BT_BOUNDS);
    r.form = BT_FORM_TRIANGULAR;
    return leaf(h, id, r);
}

static struct bt_node number(struct hand *h, double value)
{
    return bt_share(h->sheet, value);
}

/* ---- closed forms
 * -------------------------------------------------------------------------- */

static void one_normal_balance(void **state)
{
    struct hand *h = hand_new(*state, 1);
    hand_line(h, BT_SUPPLY, normal(h, "supply", 11, 2));
    hand_line(h, BT_DEMAND, number(h, 10));
    h->budget.account[0].left_limit_g_m2 = 2;
    const struct bt_account_finding *f = hand_finding(h);
    const double se = 1 / sqrt(SAMPLES);
    near(f->balance.mean, 1, 5 * 2 * se, "closed form");
    near(f->balance.sd, 2, 5 * 2 * se, "closed form");
    near(f->chance_of_shortfall, 1 - 0.6914624613, 5 * 0.5 * se,
         "uncertainty-checks NORM-SHORT, derived");
    near(f->surplus.mean, 1.3955931148, 5 * 2 * se,
         "uncertainty-checks NORM-SHORT, derived");
    near(f->shortfall.mean, 1.3955931148 - 1, 5 * 2 * se, "closed form");
    near(f->chance_of_visible_shortfall, gsl_cdf_ugaussian_P(-1), 5 * 0.5 * se,
         "closed form");
    near(f->chance_left_over_limit, gsl_cdf_ugaussian_Q(0.5), 5 * 0.5 * se, "closed form");
    near(f->chance_error, sqrt(0.1587 * 0.8413 / SAMPLES), 2e-5, "binomial");
    near(f->required.p05, 10, 0, "a constant");
    near(f->required.sd, 0, 0, "a constant");
    near(f->balance.likely, 1, 1e-12, "at the likely values");
    near(f->tightest.likely, 1, 1e-12, "at the likely values");
    near(f->shortfall.likely, 0, 0, "at the likely values");
    assert_memory_equal(&f->tightest, &f->balance, sizeof f->tightest);
    assert_memory_equal(&f->left, &f->balance, sizeof f->left);
    assert_int_equal(f->n_lines, 2);
    near(f->line[0].total.mean, 11, 5 * 2 * se, "closed form");
    near(f->line[1].total.mean, 10, 0, "a constant");
    near(f->have[0], f->supply.mean, 0, "by definition");
    near(f->need[0], 10, 0, "by definition");
}

/* Supply A (uniform 0..2) is there at once, B (uniform 0..1) at the end; need is 1 at first
 * and 1.5 at the end. First date lowest where B > 0.5. */
static void lowest_of_two_dates(void **state)
{
    struct hand *h = hand_new(*state, 2);
    hand_line(h, BT_SUPPLY, uniform(h, "A", 0, 2));
    hand_line(h, BT_SUPPLY, uniform(h, "B", 0, 1))[0] = 0;
    hand_line(h, BT_DEMAND, number(h, 2.5))[0] = 0.4;
    h->by_date[2][1] = 0.6;
    const struct bt_account_finding *f = hand_finding(h);
    const double se = 1 / sqrt(SAMPLES);
    /* tightest = A - 1 + min(0, B - 0.5): mean 1 - 1 - 1/8 */
    near(f->tightest.mean, -0.125, 5 * 0.61 * se, "closed form");
    near(f->tightest_date_chance, 0.5, 5 * 0.5 * se, "closed form");
    near(f->chance_of_shortfall, 0.5 + 0.125 / 2, 5 * 0.5 * se, "closed form");
    near(f->have[0], 1, 5 * 0.58 * se, "closed form");
    near(f->have[1], 1.5, 5 * 0.65 * se, "closed form");
    near(f->need[0], 1, 1e-15, "closed form");
    near(f->need[1], 1.5, 1e-15, "closed form");
    near(f->tightest.likely, 0, 1e-15, "at the likely values");
    const bool is_first = f->tightest_date == h->date[0];
    assert_true(is_first || f->tightest_date == h->date[1]);
    near(f->line[2].in_time_share, is_first ? 0.4 : 0.6, 0, "of that date");
}

static void equal_dates_give_the_first(void **state)
{
    struct hand *h = hand_new(*state, 3);
    hand_line(h, BT_SUPPLY, uniform(h, "A", 0, 2));
    hand_line(h, BT_DEMAND, number(h, 1));
    const struct bt_account_finding *f = hand_finding(h);
    assert_int_equal(f->tightest_date, h->date[0]);
    near(f->tightest_date_chance, 1, 0, "by definition");
}

static void nothing_varies(void **state)
{
    struct hand *h = hand_new(*state, 2);
    hand_line(h, BT_SUPPLY, number(h, 3))[0] = 0.5;
    hand_line(h, BT_DEMAND, number(h, 2))[0] = 0.9;
    const struct bt_account_finding *f = hand_finding(h);
    near(f->tightest.mean, 1.5 - 1.8, 1e-15, "by hand");
    near(f->tightest.sd, 0, 0, "by hand");
    near(f->shortfall.p50, 0.3, 1e-15, "by hand");
    near(f->surplus.p95, 1, 1e-15, "by hand");
    near(f->chance_of_shortfall, 1, 0, "by hand");
    assert_int_equal(f->n_drivers, 0);
    assert_int_equal(f->word, BT_SHORT);
}

/* ---- drivers
 * ------------------------------------------------------------------------------- */

static void shares_of_a_sum(void **state)
{
    struct hand *h = hand_new(*state, 1);
    hand_line(h, BT_SUPPLY, normal(h, "three", 5, 3));
    hand_line(h, BT_SUPPLY, uniform(h, "two", 0, 2 * sqrt(12)));
    hand_line(h, BT_DEMAND, normal(h, "one", 5, 1));
    hand_line(h, BT_DEMAND, pert(h, "nearly nothing", 1, 1.01, 1.02));
    const struct bt_account_finding *f = hand_finding(h);
    assert_true(f->n_drivers >= 3);
    const double want[] = {9 / 14.0, 4 / 14.0, 1 / 14.0};
    const char *const name[] = {"three", "two", "one"};
    for (int k = 0; k < 3; k++) {
        near(f->driver[k].share_of_variance, want[k], 5 * 0.0037 / sqrt(SAMPLES / 1e4),
             "variance shares; uncertainty.md 6 measured RMSE 0.0037 at 10,000");
        assert_string_equal(bt_sheet_node(h->sheet, f->driver[k].leaf)->leaf->id, name[k]);
    }
    /* Mean of a normal below its P5, in sd: -phi(z)/0.05 = -2.0627. */
    const double se = sqrt(14 / (0.05 * SAMPLES));
    near(f->driver[0].low_effect, -3 * 2.062713, 5 * se, "closed form");
    near(f->driver[0].high_effect, 3 * 2.062713, 5 * se, "closed form");
    near(f->driver[1].low_effect, -2 * sqrt(3) * 0.95, 5 * se, "closed form");
    near(f->driver[2].low_effect, 2.062713, 5 * se, "closed form: a need");
    near(f->driver[2].high_effect, -2.062713, 5 * se, "closed form: a need");
}

static void twelve_drivers_are_kept(void **state)
{
    struct hand *h = hand_new(*state, 1);
    for (int k = 0; k < 15; k++)
        hand_line(h, BT_SUPPLY,
                  normal(h, bt_arena_format(*state, "leaf %d", k), 5, 1 + (k * 7 % 15)));
    const struct bt_account_finding *f = hand_finding(h);
    assert_int_equal(f->n_drivers, 12);
    for (int k = 0; k < 12; k++) { /* sd 15, 14 ... 4 */
        const double sd = 15 - k;
        near(f->driver[k].share_of_variance, sd * sd / 1240, 0.01, "variance shares");
        assert_true(k == 0 ||
                    f->driver[k].share_of_variance <= f->driver[k - 1].share_of_variance);
    }
}

/* ---- the budget of 25 inputs
 * ---------------------------------------------------------------- */

static struct bt_node product(struct hand *h, size_t n, const struct bt_node *of)
{
    struct bt_node x = of[0];
    for (size_t k = 1; k < n; k++)
        x = bt_mul(h->sheet, x, of[k]);
    return x;
}

#define PRODUCT(h, ...)                                                                    \
    product(h, sizeof((struct bt_node[]){__VA_ARGS__}) / sizeof(struct bt_node),           \
            (struct bt_node[]){__VA_ARGS__})

static void twenty_five_lines(struct hand *h)
{
    hand_line(
        h, BT_DEMAND,
        PRODUCT(h, number(h, 0.4), pert(h, "1", 2, 4, 7), triangular(h, "2", 1.5, 2.5, 4)));
    hand_line(
        h, BT_DEMAND,
        PRODUCT(h, number(h, 0.3), pert(h, "3", 1, 2, 3.5), triangular(h, "4", 3, 4, 6)));
    hand_line(
        h, BT_DEMAND,
        PRODUCT(h, number(h, 0.2), pert(h, "5", 1.5, 3, 5), triangular(h, "6", 2, 3, 4.5)));
    hand_line(
        h, BT_DEMAND,
        PRODUCT(h, number(h, 0.1), pert(h, "7", 0.5, 1.2, 2), triangular(h, "8", 4, 6, 9)));
    hand_line(h, BT_SUPPLY,
              PRODUCT(h, number(h, 1e6 * 0.058), uniform(h, "9", 0.02, 0.05),
                      pert(h, "10", 0.005, 0.01, 0.02), normal(h, "11", 1.3, 0.1),
                      uniform(h, "12", 0.12, 0.18)));
    hand_line(h, BT_SUPPLY,
              PRODUCT(h, triangular(h, "13", 1.5, 2, 2.8), pert(h, "14", 0.4, 0.55, 0.7),
                      lognormal(h, "15", 15, 1.3), pert(h, "16", 0.05, 0.1, 0.25)));
    hand_line(h, BT_SUPPLY,
              PRODUCT(h, pert(h, "17", 0.3, 0.6, 1.2), lognormal(h, "18", 12, 1.4),
                      uniform(h, "19", 0, 0.3)));
    hand_line(h, BT_SUPPLY,
              PRODUCT(h, pert(h, "20", 0.1, 0.25, 0.5), normal(h, "21", 30, 3),
                      pert(h, "22", 0.3, 0.6, 0.9), uniform(h, "23", 0.05, 0.3)));
    hand_line(h, BT_SUPPLY,
              PRODUCT(h, number(h, 1e-3), triangular(h, "24", 100, 200, 350),
                      lognormal(h, "25", 3, 1.6)));
}

static void budget_of_25_inputs(void **state)
{
    static const double first_order[25] = {
        0.13113, 0.09634, 0.04870, 0.01996, 0.02285, 0.01319, 0.00423, 0.00205, 0.14797,
        0.15731, 0.01430, 0.03222, 0.00935, 0.00611, 0.04099, 0.05366, 0.01311, 0.02415,
        0.06716, 0.00724, 0.00093, 0.00331, 0.01577, 0.00389, 0.01712};
    struct hand *h = hand_new(*state, 1);
    twenty_five_lines(h);
    const struct bt_account_finding *f = hand_finding(h);
    const double se = 2.7584552405 / sqrt(SAMPLES);
    const char *const source =
        "uncertainty-checks B25, derived; PERT modes rounded to 1/256";
    const double rounding = 0.02; /* 0.7 % of an sd at most */
    near(f->balance.mean, -0.6916598146, 5 * se + rounding, source);
    near(f->balance.sd, 2.7584552405, 5 * 0.01 * sqrt(1e6 / SAMPLES) / 5 + rounding,
         source);
    near(f->balance.p95, 4.0134, 0.03 * sqrt(1e6 / SAMPLES) + rounding, source);
    near(f->balance.p50, -0.7930, 0.015 * sqrt(1e6 / SAMPLES) + rounding, source);
    near(f->balance.p05, -5.0517, 0.026 * sqrt(1e6 / SAMPLES) + rounding, source);
    near(f->chance_of_shortfall, 0.61373, 0.0025 * sqrt(1e6 / SAMPLES) + 0.002, source);
    near(f->required.mean, 9.876111, 0.05, source);
    near(f->line[4].total.mean, 4.288375, 0.05, source);
    near(f->line[5].total.mean, 2.092027, 0.03, source);
    near(f->line[8].total.mean, 0.725909, 0.02, source);
    for (size_t k = 0; k < f->n_drivers; k++) {
        const int input = atoi(bt_sheet_node(h->sheet, f->driver[k].leaf)->leaf->id);
        near(f->driver[k].share_of_variance, first_order[input - 1], 0.012, source);
    }
    assert_int_equal(f->n_drivers, 12);
    near(f->driver[0].share_of_variance, 0.15731, 0.012, source); /* input 10 */
}

/* ---- words
 * --------------------------------------------------------------------------------- */

/* Supply uniform 0..10 against a need of 10 / 1.1 . c and more: the chance of a visible
 * shortfall, supply < 0.9 need, is 0.09 need. */
static struct word_row {
    const char *name;
    double need, enough, left_limit;
    enum bt_word word;
} word_rows[] = {
    {"85 in 100 short",                0.85 / 0.09, 0.8, 1e9, BT_SHORT           },
    {"75 in 100 short",                0.75 / 0.09, 0.8, 1e9, BT_PROBABLY_SHORT  },
    {"55 in 100 short",                0.55 / 0.09, 0.8, 1e9, BT_PROBABLY_SHORT  },
    {"45 in 100 short",                0.45 / 0.09, 0.8, 1e9, BT_CANT_SAY        },
    {"25 in 100 short",                0.25 / 0.09, 0.8, 1e9, BT_CANT_SAY        },
    {"15 in 100 short",                0.15 / 0.09, 0.8, 1e9, BT_ENOUGH          },
    {"15 in 100 short, 9 in 10 asked", 0.15 / 0.09, 0.9, 1e9, BT_CANT_SAY        },
    {"85 in 100 short, 9 in 10 asked", 0.85 / 0.09, 0.9, 1e9, BT_PROBABLY_SHORT  },
    {"much left",                      0.15 / 0.09, 0.8, 1,   BT_MORE_THAN_ENOUGH},
    {"some left",                      0.15 / 0.09, 0.8, 6,   BT_ENOUGH          },
    {"short and much left",            0.45 / 0.09, 0.8, 0.1, BT_CANT_SAY        },
    {"no need at all",                 0,           0.8, 1e9, BT_ENOUGH          },
};

static void word_row(void **state)
{
    const struct word_row *row = *state;
    void *arena = NULL;
    assert_int_equal(set_up(&arena), 0);
    struct hand *h = hand_new(arena, 1);
    hand_line(h, BT_SUPPLY, uniform(h, "supply", 0, 10));
    hand_line(h, BT_DEMAND, number(h, row->need));
    h->garden.enough = row->enough;
    h->budget.account[0].left_limit_g_m2 = row->left_limit;
    const struct bt_account_finding *f = hand_finding(h);
    near(f->chance_of_visible_shortfall, 0.09 * row->need, 5 * 0.5 / sqrt(SAMPLES),
         "closed form");
    assert_int_equal(f->word, row->word);
    tear_down(&arena);
}

/* Tie-up makes the supply negative, but nobody needs it. */
static void no_need_is_not_short(void **state)
{
    struct hand *h = hand_new(*state, 2);
    hand_line(h, BT_SUPPLY, uniform(h, "tie-up", -3, -1));
    const struct bt_account_finding *f = hand_finding(h);
    near(f->chance_of_shortfall, 0, 0, "by definition");
    near(f->chance_of_visible_shortfall, 0, 0, "by definition");
    near(f->shortfall.mean, 0, 0, "by definition");
    assert_true(f->tightest.p95 < 0);
    assert_true(f->chance_error > 0 && f->chance_error < 1e-3);
    assert_int_equal(f->word, BT_ENOUGH);
}

static void unknown_need(void **state)
{
    struct hand *h = hand_new(*state, 2);
    hand_line(h, BT_SUPPLY, uniform(h, "supply", 1, 3));
    h->budget.account[0].nutrient = BT_K2O;
    h->budget.account[0].known = false;
    struct bt_shapes *shapes = bt_shapes_new(*state);
    const struct bt_job *j = hand_run(h, shapes, 1);
    const struct bt_account_finding *f = &bt_job_finding(j)->account[0];
    near(f->supply.mean, 2, 5 * 0.58 / sqrt(SAMPLES), "closed form");
    near(f->line[0].total.p50, 2, 5 * 1.0 / sqrt(SAMPLES), "closed form");
    near(f->chance_of_shortfall, 0, 0, "not known");
    assert_int_equal(f->n_drivers, 0);
    struct bt_totals *t = bt_totals_new(*state, &(struct bt_chance_options){SAMPLES, 1});
    struct bt_total_finding total[BT_NUTRIENTS];
    bt_totals_add(t, j);
    bt_totals_finish(t, total);
    near(total[BT_K2O].area_m2, 0, 0, "what is not known is in no total");
}

/* ---- laws
 * ---------------------------------------------------------------------------------- */

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
    struct bt_sampler s =
        bt_sampler_new(*state, NULL, bt_shapes_new(*state), h->sheet, 1, 1, &all);
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
    struct bt_spread got[5];
    bt_chance_nodes(*state, shapes, &h->budget, &(struct bt_chance_options){SAMPLES, 1}, 5,
                    asked, got);
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
    const struct bt_node n[] = {bt_add(s, a, b),
                                bt_sub(s, a, b),
                                bt_div(s, a, b),
                                bt_min(s, a, b),
                                bt_max(s, a, b),
                                bt_rest(s, a),
                                bt_sum(s, 5, five, BT_FRACTION),
                                bt_weighted(s, 5, five, weight, BT_FRACTION),
                                bt_curve(s, a, 3, at, value, BT_FRACTION, NULL),
                                a,
                                b};
    enum { N = sizeof n / sizeof n[0] };
    struct bt_sampler sampler =
        bt_sampler_new(*state, NULL, bt_shapes_new(*state), s, 1, N, n);
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

/* ---- totals and plantings
 * ------------------------------------------------------------------ */

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
    struct hand *h = hand_new(*state, 1);
    struct bt_shapes *shapes = bt_shapes_new(*state);
    struct bt_diag *d = bt_diag_new(*state);
    const struct bt_leaf far_off = {.id = "x",
                                    .label = "share of x",
                                    .range = bt_range_of(0.02, 0.4, 0.7, BT_P05_P95),
                                    .limit_low = 0,
                                    .limit_high = 1};
    const struct bt_node n = bt_leaf(h->sheet, &far_off);
    for (int bed = 0; bed < 3; bed++)
        (void)bt_sampler_new(*state, d, shapes, h->sheet, 1, 1, &n);
    assert_int_equal(bt_diag_count(d, BT_NOTE), 1); /* once a run, not once a bed */
    assert_int_equal(bt_diag_count(d, BT_ERROR), 0);
    assert_string_equal(bt_diag_get(d, 0)->field, "share of x");
}

#define COUNT(rows)    (sizeof(rows) / sizeof(rows)[0])
#define IN_ARENA(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)

int main(void)
{
    gsl_set_error_handler_off();
    struct CMUnitTest words[COUNT(word_rows)];
    for (size_t i = 0; i < COUNT(word_rows); i++)
        words[i] =
            (struct CMUnitTest){word_rows[i].name, word_row, NULL, NULL, &word_rows[i]};
    const struct CMUnitTest rest[] = {
        IN_ARENA(one_normal_balance),
        IN_ARENA(lowest_of_two_dates),
        IN_ARENA(equal_dates_give_the_first),
        IN_ARENA(nothing_varies),
        IN_ARENA(shares_of_a_sum),
        IN_ARENA(twelve_drivers_are_kept),
        IN_ARENA(budget_of_25_inputs),
        IN_ARENA(no_need_is_not_short),
        IN_ARENA(unknown_need),
        IN_ARENA(same_seed_same_bytes),
        IN_ARENA(another_leaf_changes_no_other),
        IN_ARENA(blocks_in_any_order),
        IN_ARENA(nodes_for_the_working),
        IN_ARENA(operations),
        IN_ARENA(totals_draw_by_draw),
        IN_ARENA(plantings),
        IN_ARENA(notes_of_fits),
    };
    int failed = cmocka_run_group_tests_name("the five words", words, NULL, NULL);
    failed += cmocka_run_group_tests_name("findings", rest, NULL, NULL);
    return failed != 0;
}
