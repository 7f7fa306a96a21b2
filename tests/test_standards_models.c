/* Whole models against what is known of them: the invented budget of 25 inputs, products,
 * gardens that share a figure, correlation, and how far off a sample is. All values are
 * derived unless a row says otherwise; rows are those of docs/uncertainty-checks.md. */
#include "standards.h"

#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>

/* ---- rank correlation --------------------------------------------------------------- */

enum { PAIRS = 391 * BT_BLOCK }; /* 100,096 */

static double *ranks_of(struct bt_arena *a, size_t n, const double *x)
{
    size_t *order = bt_arena_alloc(a, n * sizeof *order);
    double *rank = bt_arena_alloc(a, n * sizeof *rank);
    gsl_sort_index(order, x, 1, n);
    for (size_t i = 0; i < n; i++)
        rank[order[i]] = (double)i;
    return rank;
}

static double spearman(struct bt_arena *a, size_t n, const double *x, const double *y)
{
    return gsl_stats_correlation(ranks_of(a, n, x), 1, ranks_of(a, n, y), 1, n);
}

/* ---- 25 inputs ---------------------------------------------------------------------- */

static struct bt_node shortfall_of_25(struct hand *h)
{
    twenty_five_lines(h);
    return bt_sub(h->sheet, side_sum(h, BT_DEMAND), side_sum(h, BT_SUPPLY));
}

/* PERT modes in 256ths of the width move the budget by less than this; 0.4 % of its sd. */
static const double ROUNDING = 0.01;

static double part_above_0(size_t n, const double *x)
{
    size_t k = 0;
    for (size_t i = 0; i < n; i++)
        k += x[i] > 0;
    return (double)k / (double)n;
}

static void budget_of_25(void **state)
{
    struct hand *h = hand_new(*state, 1);
    const double *y = draws_of(h, shortfall_of_25(h), TRIALS, 1);
    const struct bt_spread s =
        bt_spread_of(bt_summary_room_new(*state, TRIALS), TRIALS, y, 0);
    near(s.mean, 0.6916598146, 5 * 2.758 / sqrt(TRIALS) + ROUNDING, "B25-MEAN, exact");
    near(s.sd, 2.7584552405, 0.01 + ROUNDING, "B25-SD, exact");
    near(s.p05, -4.0134, 0.03 + ROUNDING, "B25-P5, three programs");
    near(s.p50, 0.7930, 0.015 + ROUNDING, "B25-P50, three programs");
    near(s.p95, 5.0517, 0.026 + ROUNDING, "B25-P95, three programs");
    near(part_above_0(TRIALS, y), 0.61373, 0.0025 + 0.15 * ROUNDING, "B25-PSHORT");
}

static void terms_of_25(void **state)
{
    struct hand *h = hand_new(*state, 1);
    (void)shortfall_of_25(h);
    const struct {
        const char *name;
        struct bt_node node;
        double mean;
    } row[] = {
        {"B25-TERMS, demand", side_sum(h, BT_DEMAND),                  9.876111},
        {"B25-TERMS, soil",                   h->line[4].node,             4.288375      },
        {"B25-TERMS, compost",                   h->line[5].node,          2.092027},
        {"B25-TERMS, mulch",                   h->line[6].node,            1.238140        },
        {"B25-TERMS, legume",                   h->line[7].node,           0.840000},
        {"B25-TERMS, irrigation",                   h->line[8].node,       0.725909    },
    };
    for (size_t k = 0; k < COUNT(row); k++) {
        const double *y = draws_of(h, row[k].node, TRIALS, 1);
        const struct bt_moments m = bt_moments_of(TRIALS, y);
        near(m.mean, row[k].mean, 5 * m.sd / sqrt(TRIALS) + ROUNDING, row[k].name);
    }
}

static void ranks_of_25(void **state)
{
    static const double want[25] = {
        0.3562,  0.3036,  0.2165,  0.1378,  0.1482,  0.1122,  0.0638,  0.0443,  -0.3806,
        -0.3846, -0.1123, -0.1736, -0.0931, -0.0755, -0.1889, -0.2234, -0.1093, -0.1411,
        -0.2555, -0.0830, -0.0292, -0.0562, -0.1242, -0.0606, -0.1168};
    struct hand *h = hand_new(*state, 1);
    const double *y = ranks_of(*state, PAIRS, draws_of(h, shortfall_of_25(h), PAIRS, 1));
    for (size_t i = 0, n = bt_sheet_size(h->sheet); i < n; i++) {
        const struct bt_node node = {(uint32_t)i};
        const struct bt_leaf *leaf = bt_sheet_node(h->sheet, node)->leaf;
        if (!leaf)
            continue;
        const double *x = ranks_of(*state, PAIRS, draws_of(h, node, PAIRS, 1));
        near(gsl_stats_correlation(x, 1, y, 1, PAIRS), want[atoi(leaf->id) - 1], 0.016,
             "B25-RHO, simulated elsewhere");
    }
}

/* ---- products ----------------------------------------------------------------------- */

static void three_lognormals(void **state)
{
    static const double sigma[3] = {0.2, 0.3, 0.5};
    static const double rho[3] = {0.3111953, 0.4694430, 0.7975273};
    struct hand *h = hand_new(*state, 1);
    struct bt_node x[3];
    for (int k = 0; k < 3; k++)
        x[k] = lognormal(h, bt_arena_format(*state, "x%d", k), 1, exp(sigma[k]));
    const struct bt_node node = product(h, 3, x);
    const double *y = draws_of(h, node, TRIALS, 1);
    const struct bt_spread s =
        bt_spread_of(bt_summary_room_new(*state, TRIALS), TRIALS, y, 0);
    const double se = 1 / sqrt(TRIALS), whole = sqrt(0.38),
                 end = sqrt(0.05 * 0.95) / 0.10314;
    near(s.mean, 1.2092496, 5 * 0.8221871 * se, "PLN-Q, closed form");
    near(s.sd, 0.8221871, 5 * 0.8221871 * 2 * se, "PLN-Q, closed form");
    near(s.p05, 0.3627810, 5 * end * whole * 0.3627810 * se, "PLN-Q, closed form");
    near(s.p50, 1, 5 * 1.2533 * whole * se, "PLN-Q, closed form");
    near(s.p95, 2.7564838, 5 * end * whole * 2.7564838 * se, "PLN-Q, closed form");
    for (int k = 0; k < 3; k++)
        near(spearman(*state, PAIRS, draws_of(h, x[k], PAIRS, 1), y), rho[k], 0.015,
             "PLN-RHO: 6 / pi asin(r / 2)");
}

/* ---- beds that share a figure ------------------------------------------------------- */

/* Each bed has a worksheet of its own: that a figure is shared lies in its name alone. */
static const double *of_bed(struct bt_arena *a, int bed)
{
    struct hand *h = hand_new(a, 1);
    const char *own = bt_arena_format(a, "B%d", bed);
    return draws_of(
        h, bt_mul(h->sheet, lognormal(h, "A", 1, exp(0.3)), lognormal(h, own, 1, exp(0.4))),
        TRIALS, 1);
}

static void two_beds(void **state)
{
    const double *one = of_bed(*state, 1), *two = of_bed(*state, 2);
    near(gsl_stats_correlation(one, 1, two, 1, TRIALS), 0.33156992, 0.006,
         "SHARE-CORR, closed form");
    near(spearman(*state, PAIRS, one, two), 0.34565866, 0.006 * sqrt(1e6 / PAIRS),
         "SHARE-CORR, closed form");
}

/* The total of four equal beds whose factor, of a CV of 0.30, is shared to a part. */
static double cv_of_four(struct bt_arena *a, double shared)
{
    double *total = bt_arena_zero(a, PAIRS * sizeof *total);
    for (int bed = 0; bed < 4; bed++) {
        struct hand *h = hand_new(a, 1);
        const char *own = bt_arena_format(a, "own %d", bed);
        const struct bt_node x = bt_add(h->sheet, normal(h, "common", 5, 3 * sqrt(shared)),
                                        normal(h, own, 5, 3 * sqrt(1 - shared)));
        const double *y = draws_of(h, x, PAIRS, 1);
        for (size_t i = 0; i < PAIRS; i++)
            total[i] += y[i];
    }
    const struct bt_moments m = bt_moments_of(PAIRS, total);
    return m.sd / m.mean;
}

static void four_beds(void **state)
{
    const double within = 5 / sqrt(2.0 * PAIRS);
    near(cv_of_four(*state, 1), 0.30, 0.30 * within, "SHARE-CV, closed form");
    near(cv_of_four(*state, 0), 0.15, 0.15 * within, "SHARE-CV, closed form");
    near(cv_of_four(*state, 0.5), 0.23717082, 0.24 * within, "SHARE-CV, closed form");
}

/* Two figures that follow one: what was asked for, and what follows between the two. */
static void two_that_follow(void **state)
{
    struct bt_shapes *shapes = bt_shapes_new(*state);
    static const struct {
        const char *id;
        enum bt_form form;
        double rho;
    } of[3] = {
        {"first",  BT_FORM_PERT,      0   },
        {"second", BT_FORM_LOGNORMAL, 0.7 },
        {"third",  BT_FORM_UNIFORM,   -0.4},
    };
    double *x[3], u[BT_BLOCK];
    for (int k = 0; k < 3; k++) {
        struct bt_range range =
            bt_range_shaped(bt_range_of(1, 3, 9, BT_P05_P95), of[k].form);
        struct bt_law law;
        enum bt_fit_note note;
        assert_true(bt_law_fit(&range, -HUGE_VAL, HUGE_VAL, &law, &note));
        const struct bt_drawer d =
            bt_drawer_new(shapes, &law, 1, of[k].id, k ? of[0].id : NULL, of[k].rho);
        x[k] = bt_arena_alloc(*state, PAIRS * sizeof *x[k]);
        for (size_t i = 0; i < PAIRS; i += BT_BLOCK)
            bt_drawer_fill(&d, i, u, x[k] + i);
    }
    near(spearman(*state, PAIRS, x[0], x[1]), 0.7, 0.016, "COP-3");
    near(spearman(*state, PAIRS, x[0], x[2]), -0.4, 0.016, "COP-3");
    const double product_of = -4 * sin(M_PI * 0.7 / 6) * sin(M_PI * 0.4 / 6);
    near(spearman(*state, PAIRS, x[1], x[2]), 6 / M_PI * asin(product_of / 2), 0.016,
         "one parent: r of its followers is the product of theirs");
}

/* ---- how far off a sample is -------------------------------------------------------- */

enum { TIMES = 200, EACH = 40 * BT_BLOCK }; /* 10,240 draws each */

static const double AT_10000 = 1.0119288512538813; /* sqrt(10240 / 10000) */

/* Root mean squares over the times; the last is the mean of the errors that are stated. */
struct off {
    double p05, p50, p95, above_0, stated_p05, stated_p95;
};

static struct off off_by(struct bt_arena *a, const double *x,
                         const struct bt_spread *true_of, double above_0)
{
    struct bt_summary_room *room = bt_summary_room_new(a, EACH);
    struct off sum = {0};
    for (int k = 0; k < TIMES; k++) {
        const double *part = x + k * EACH;
        const struct bt_spread s = bt_spread_of(room, EACH, part, 0);
        const struct bt_error e = bt_error_of(room, EACH, part, &s);
        sum.p05 += gsl_pow_2(s.p05 - true_of->p05) / TIMES;
        sum.p50 += gsl_pow_2(s.p50 - true_of->p50) / TIMES;
        sum.p95 += gsl_pow_2(s.p95 - true_of->p95) / TIMES;
        sum.above_0 += gsl_pow_2(part_above_0(EACH, part) - above_0) / TIMES;
        sum.stated_p05 += e.p05 / TIMES;
        sum.stated_p95 += e.p95 / TIMES;
    }
    return (struct off){AT_10000 * sqrt(sum.p05),  AT_10000 * sqrt(sum.p50),
                        AT_10000 * sqrt(sum.p95),  AT_10000 * sqrt(sum.above_0),
                        AT_10000 * sum.stated_p05, AT_10000 * sum.stated_p95};
}

static void normals_are_off(void **state)
{
    struct hand *h = hand_new(*state, 1);
    const double *x = draws_of(h, normal(h, "x", 0, 1), TIMES * EACH, 1);
    const struct bt_spread exact = {.p05 = -1.6448536, .p50 = 0, .p95 = 1.6448536};
    const struct off off = off_by(*state, x, &exact, 0.5);
    check_close(off.p50, 0.01253, 0.15, "SE-Q, 200 times");
    check_close(off.p95, 0.02113, 0.15, "SE-Q, 200 times");
    check_close(off.stated_p05, 0.02113, 0.02, "SE-Q, mean of what is stated");
    check_close(off.stated_p95, 0.02113, 0.02, "SE-Q, mean of what is stated");
}

static void budgets_are_off(void **state)
{
    struct hand *h = hand_new(*state, 1);
    const double *x = draws_of(h, shortfall_of_25(h), TIMES * EACH, 1);
    const struct bt_spread known = {.p05 = -4.0134, .p50 = 0.7930, .p95 = 5.0517};
    const struct off off = off_by(*state, x, &known, 0.61373);
    check_close(off.p05, 0.0632, 0.15, "RMSE-MC-1E4");
    check_close(off.p50, 0.0340, 0.15, "RMSE-MC-1E4");
    check_close(off.p95, 0.0551, 0.15, "RMSE-MC-1E4");
    check_close(off.above_0, 0.00478, 0.15, "RMSE-MC-1E4");
    check_close(off.stated_p05, 0.0632, 0.15, "what is stated is what is so");
    check_close(off.stated_p95, 0.0551, 0.15, "what is stated is what is so");
}

/* In a column of ranks an error is a number of ranks; 1.96 of them on either side span the
 * 95 % interval of order statistics. */
static void ranks_around_p5(void **state)
{
    static const struct {
        size_t n;
        double low, high;
    } row[] = {
        {1000,   37,   64  },
        {10000,  458,  543 },
        {100000, 4865, 5136},
    };
    for (size_t k = 0; k < COUNT(row); k++) {
        double *x = bt_arena_alloc(*state, row[k].n * sizeof *x);
        for (size_t i = 0; i < row[k].n; i++)
            x[i] = (double)(i + 1);
        struct bt_summary_room *room = bt_summary_room_new(*state, row[k].n);
        const struct bt_spread s = bt_spread_of(room, row[k].n, x, 0);
        const struct bt_error e = bt_error_of(room, row[k].n, x, &s);
        near(s.p05 - 1.96 * e.p05, row[k].low, 1.5, "ORD-CI, binomial");
        near(s.p05 + 1.96 * e.p05, row[k].high, 1.5, "ORD-CI, binomial");
    }
}

static void chances_are_off(void **state)
{
    static const double p[] = {0.5, 0.05}, want[] = {0.00158, 0.00069};
    for (int k = 0; k < 2; k++) {
        struct hand *h = hand_new(*state, 1); /* seen to be short below nine tenths */
        hand_line(h, BT_SUPPLY, normal(h, "x", 9 - gsl_cdf_ugaussian_Pinv(p[k]), 1));
        hand_line(h, BT_DEMAND, number(h, 10));
        const struct bt_account_finding *f = hand_finding(h);
        near(f->chance_of_visible_shortfall, p[k], 5 * want[k] * sqrt(1e5 / SAMPLES),
             "SE-P");
        near(f->chance_error * sqrt(SAMPLES / 1e5), want[k], 3e-5,
             "SE-P; the chance is a sample's");
    }
}

/* 32 bits repeat themselves some 116 times in a million draws; ours have 52. */
static void no_draw_twice(void **state)
{
    struct hand *h = hand_new(*state, 1);
    double *u = draws_of(h, uniform(h, "u", 0, 1), TRIALS, 1);
    qsort(u, TRIALS, sizeof *u, rising);
    for (size_t i = 1; i < TRIALS; i++)
        assert_true(u[i] > u[i - 1]);
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        IN_ARENA(budget_of_25),     IN_ARENA(terms_of_25),     IN_ARENA(ranks_of_25),
        IN_ARENA(three_lognormals), IN_ARENA(two_beds),        IN_ARENA(four_beds),
        IN_ARENA(two_that_follow),  IN_ARENA(normals_are_off), IN_ARENA(budgets_are_off),
        IN_ARENA(ranks_around_p5),  IN_ARENA(chances_are_off), IN_ARENA(no_draw_twice),
    };
    return cmocka_run_group_tests_name("whole models", tests, NULL, NULL) != 0;
}
