/* Small budgets built by hand, for the tests of findings: one account of N in a bed of 2
 * m2, with lines made of leaves whose laws are known. */
#ifndef BT_TESTS_HAND_H
#define BT_TESTS_HAND_H

#include "check.h"

#include <gsl/gsl_cdf.h>
#include <stdlib.h>
#include <string.h>

#include "chance/chance.h"

enum { SAMPLES = 1 << 16, MOST_LINES = 16, MOST_DATES = 4 };

static inline void out_of_memory(void *context)
{
    (void)context;
    abort();
}

static inline int set_up(void **state)
{
    *state = bt_arena_new((size_t)1 << 20, out_of_memory, NULL);
    return *state ? 0 : -1;
}

static inline int tear_down(void **state)
{
    bt_arena_free(*state);
    return 0;
}

static inline void near(double got, double want, double abs, const char *source)
{
    check_between(got, want - abs, want + abs, source);
}

/* ---- a budget by hand --------------------------------------------------------------- */

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

static inline struct hand *hand_new(struct bt_arena *a, size_t n_dates)
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
static inline double *hand_line(struct hand *h, enum bt_side side, struct bt_node node)
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

static inline struct bt_node side_sum(struct hand *h, enum bt_side side)
{
    struct bt_node of_side[MOST_LINES];
    size_t n = 0;
    for (size_t k = 0; k < h->budget.account[0].n_lines; k++)
        if (h->line[k].side == side)
            of_side[n++] = h->line[k].node;
    return bt_sum(h->sheet, n, of_side, BT_FRACTION);
}

static inline const struct bt_job *hand_run(struct hand *h, struct bt_shapes *shapes,
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

static inline const struct bt_account_finding *hand_finding(struct hand *h)
{
    return &bt_job_finding(hand_run(h, bt_shapes_new(h->arena), 1))->account[0];
}

static inline struct bt_node leaf(struct hand *h, const char *id, struct bt_range range)
{
    const struct bt_leaf l = {.id = id,
                              .label = id,
                              .range = range,
                              .limit_low = -HUGE_VAL,
                              .limit_high = HUGE_VAL};
    return bt_leaf(h->sheet, &l);
}

static inline struct bt_node uniform(struct hand *h, const char *id, double low,
                                     double high)
{
    return leaf(h, id, bt_range_two(low, high, BT_BOUNDS));
}

static inline struct bt_node normal(struct hand *h, const char *id, double mean, double sd)
{
    const double reach = sd * gsl_cdf_ugaussian_Pinv(0.95);
    struct bt_range r = bt_range_of(mean - reach, mean, mean + reach, BT_P05_P95);
    r.form = BT_FORM_TRUNCATED_NORMAL;
    return leaf(h, id, r);
}

static inline struct bt_node lognormal(struct hand *h, const char *id, double middle,
                                       double gsd)
{
    const double reach = pow(gsd, gsl_cdf_ugaussian_Pinv(0.95));
    struct bt_range r = bt_range_of(middle / reach, middle, middle * reach, BT_P05_P95);
    r.form = BT_FORM_LOGNORMAL;
    return leaf(h, id, r);
}

static inline struct bt_node pert(struct hand *h, const char *id, double low, double likely,
                                  double high)
{
    return leaf(h, id, bt_range_of(low, likely, high, BT_BOUNDS));
}

static inline struct bt_node triangular(struct hand *h, const char *id, double low,
                                        double likely, double high)
{
    struct bt_range r = bt_range_of(low, likely, high, BT_BOUNDS);
    r.form = BT_FORM_TRIANGULAR;
    return leaf(h, id, r);
}

static inline struct bt_node number(struct hand *h, double value)
{
    return bt_share(h->sheet, value);
}

/* ---- 25 inputs ---------------------------------------------------------------------- */

/* The invented budget of docs/uncertainty-checks.md, whose mean, spread and drivers are
 * known. */
static inline struct bt_node product(struct hand *h, size_t n, const struct bt_node *of)
{
    struct bt_node x = of[0];
    for (size_t k = 1; k < n; k++)
        x = bt_mul(h->sheet, x, of[k]);
    return x;
}

#define PRODUCT(h, ...)                                                                    \
    product(h, sizeof((struct bt_node[]){__VA_ARGS__}) / sizeof(struct bt_node),           \
            (struct bt_node[]){__VA_ARGS__})

static inline void twenty_five_lines(struct hand *h)
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

#endif
