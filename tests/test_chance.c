/* Findings: small budgets whose answers are known in closed form, a budget of 25 inputs
 * whose mean, spread and drivers are, and the five words. */
#include <gsl/gsl_errno.h>

#include "hand.h"

/* ---- closed forms ------------------------------------------------------------------- */

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
    near(f->chance_of_shortfall, 0.5 + 0.125 / 2, 5 * 0.5 * se, "closed form");
    /* Short in 1/4 of the draws with the first date the lowest, in 5/16 with the end. */
    assert_int_equal(f->tightest_date, h->date[1]);
    near(f->tightest_date_chance, 5.0 / 9, 5 * 0.5 * se / sqrt(9.0 / 16), "closed form");
    near(f->have[0], 1, 5 * 0.58 * se, "closed form");
    near(f->have[1], 1.5, 5 * 0.65 * se, "closed form");
    near(f->need[0], 1, 1e-15, "closed form");
    near(f->need[1], 1.5, 1e-15, "closed form");
    near(f->tightest.likely, 0, 1e-15, "at the likely values");
    near(f->line[2].in_time_share, 0.6, 0, "of that date");
}

/* Need is 1 at first and 1.4 at the end, B comes between: the first date is the lowest in 3
 * of 5 draws, but short only at the end. A from 1 to 2 makes 8 in 100 draws short, A from
 * 1.2 to 3.2 one in 100: seldom, so the date is taken among all draws. */
static struct date_row {
    const char *name;
    double low, high; /* of A */
    double short_chance;
    size_t date;
    double date_chance;
} date_rows[] = {
    {"date of the draws that fall short", 1,   2,   0.08, 1, 1  },
    {"date of all draws, seldom short",   1.2, 3.2, 0.01, 0, 0.6},
    {"date of all draws, never short",    2,   3,   0,    0, 0.6},
};

static void date_row(void **state)
{
    const struct date_row *row = *state;
    void *arena = NULL;
    assert_int_equal(set_up(&arena), 0);
    struct hand *h = hand_new(arena, 2);
    hand_line(h, BT_SUPPLY, uniform(h, "A", row->low, row->high));
    hand_line(h, BT_SUPPLY, uniform(h, "B", 0, 1))[0] = 0;
    hand_line(h, BT_DEMAND, number(h, 1.4))[0] = 1 / 1.4;
    const struct bt_account_finding *f = hand_finding(h);
    const double se = 1 / sqrt(SAMPLES);
    near(f->chance_of_shortfall, row->short_chance, 5 * 0.3 * se, "closed form");
    assert_int_equal(f->tightest_date, h->date[row->date]);
    near(f->tightest_date_chance, row->date_chance, 5 * 0.5 * se, "closed form");
    tear_down(&arena);
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

/* ---- drivers ------------------------------------------------------------------------ */

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
             "variance shares; root mean square 0.0037 measured at 10,000");
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

/* ---- the budget of 25 inputs -------------------------------------------------------- */

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

/* ---- words -------------------------------------------------------------------------- */

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
    assert_int_equal(f->word, BT_NO_CROP);
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

#define COUNT(rows)    (sizeof(rows) / sizeof(rows)[0])
#define IN_ARENA(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)

int main(void)
{
    gsl_set_error_handler_off();
    struct CMUnitTest words[COUNT(word_rows)];
    for (size_t i = 0; i < COUNT(word_rows); i++)
        words[i] =
            (struct CMUnitTest){word_rows[i].name, word_row, NULL, NULL, &word_rows[i]};
    struct CMUnitTest dates[COUNT(date_rows)];
    for (size_t i = 0; i < COUNT(date_rows); i++)
        dates[i] =
            (struct CMUnitTest){date_rows[i].name, date_row, NULL, NULL, &date_rows[i]};
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
    };
    int failed = cmocka_run_group_tests_name("the five words", words, NULL, NULL);
    failed += cmocka_run_group_tests_name("the tightest date", dates, NULL, NULL);
    failed += cmocka_run_group_tests_name("findings", rest, NULL, NULL);
    return failed != 0;
}
