/* First-order shares of the variance against functions whose shares are known exactly. */
#include "hand.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_math.h>

#include "chance/drivers.h"

enum { DRAWS = 1 << 17, MOST_INPUTS = 25 };

/* What 40 bins of 131,072 draws are off by; the check values allow 0.004 at 100,000. */
static const double WITHIN = 0.004;

struct shares {
    double mean, sd;
    double of[MOST_INPUTS];
};

/* The shares of f over the leaves, one set of sums each, for `of` keeps only the largest.
 */
static struct shares shares_of(struct hand *h, size_t n, const struct bt_node *input,
                               struct bt_node wanted,
                               void (*f)(const struct bt_sampler *s, double *out))
{
    struct bt_arena *a = h->arena;
    struct bt_sampler s = bt_sampler_new(a, NULL, bt_shapes_new(a), h->sheet, 1,
                                         (struct bt_nodes){1, &wanted});
    struct bt_driver_bins bins = bt_driver_bins_new(a, &s);
    struct bt_driver_sums sums[MOST_INPUTS];
    struct shares out = {0};
    double *y = bt_arena_alloc(a, DRAWS * sizeof *y);
    const double *column = bt_program_column(s.program, wanted);
    bins.bin = bt_arena_alloc(a, s.n_leaves * sizeof *bins.bin);
    assert_int_equal(s.n_leaves, n);
    for (size_t k = 0; k < n; k++)
        sums[k] = bt_driver_sums_new(a, &s, h->sheet, 1, &input[k], 0);
    for (size_t first = 0; first < DRAWS; first += BT_BLOCK) {
        bt_sampler_block(&s, first);
        if (f)
            f(&s, y + first);
        else
            memcpy(y + first, column, BT_BLOCK * sizeof *y);
        bt_driver_bins_block(&bins, &s);
        for (size_t k = 0; k < n; k++)
            bt_driver_sums_block(&sums[k], &bins, y + first);
    }
    const struct bt_spread whole = bt_spread_of(bt_summary_room_new(a, DRAWS), DRAWS, y, 0);
    out.mean = whole.mean;
    out.sd = whole.sd;
    for (size_t k = 0; k < n; k++) {
        struct bt_driver d;
        if (bt_drivers_finish(&sums[k], &bins, &s, DRAWS, &whole, &d) > 0)
            out.of[k] = d.share_of_variance; /* left out when not above 0 */
    }
    return out;
}

/* ---- Ishigami ----------------------------------------------------------------------- */

/* sin x1 + 7 sin^2 x2 + 0.1 x3^4 sin x1 */
static void ishigami_of(const struct bt_sampler *s, double *out)
{
    for (int i = 0; i < BT_BLOCK; i++) {
        const double x1 = s->leaf[0].x[i], x2 = s->leaf[1].x[i], x3 = s->leaf[2].x[i];
        out[i] = sin(x1) + 7 * sin(x2) * sin(x2) + 0.1 * pow(x3, 4) * sin(x1);
    }
}

static void ishigami(void **state)
{
    struct hand *h = hand_new(*state, 1);
    const struct bt_node x[3] = {uniform(h, "x1", -M_PI, M_PI),
                                 uniform(h, "x2", -M_PI, M_PI),
                                 uniform(h, "x3", -M_PI, M_PI)};
    const struct shares got =
        shares_of(h, 3, x, bt_sum(h->sheet, 3, x, BT_FRACTION), ishigami_of);
    near(got.mean, 3.5, 5 * 3.72 / sqrt(DRAWS), "ISHI-V, formula read");
    near(got.sd, sqrt(13.8445879407), 0.05, "ISHI-V, formula read");
    near(got.of[0], 0.313905191, WITHIN, "ISHI-S, read as 0.3139");
    near(got.of[1], 0.442411145, WITHIN, "ISHI-S, read as 0.4424");
    near(got.of[2], 0, WITHIN, "ISHI-S: x3 does nothing alone");
}

/* ---- Sobol g ------------------------------------------------------------------------ */

/* product of (|4 x - 2| + a) / (1 + a) */
static void g_of(const struct bt_sampler *s, double *out)
{
    static const double a[8] = {0, 1, 4.5, 9, 99, 99, 99, 99};
    for (int i = 0; i < BT_BLOCK; i++) {
        out[i] = 1;
        for (int k = 0; k < 8; k++)
            out[i] *= (fabs(4 * s->leaf[k].x[i] - 2) + a[k]) / (1 + a[k]);
    }
}

static void sobol_g(void **state)
{
    static const double want[8] = {0.716192, 0.179048, 0.023676, 0.007162,
                                   0.000072, 0.000072, 0.000072, 0.000072};
    struct hand *h = hand_new(*state, 1);
    struct bt_node x[8];
    for (int k = 0; k < 8; k++)
        x[k] = uniform(h, bt_arena_format(*state, "x%d", k), 0, 1);
    const struct shares got = shares_of(h, 8, x, bt_sum(h->sheet, 8, x, BT_FRACTION), g_of);
    near(got.sd * got.sd, 0.46542443, 0.01, "G8-V, formula read");
    near(got.mean, 1, 5 * 0.682 / sqrt(DRAWS), "each factor has mean 1");
    for (int k = 0; k < 8; k++)
        near(got.of[k], want[k], 2 * WITHIN, "G8-S, formula read; strong interactions");
}

/* ---- products, budgets -------------------------------------------------------------- */

static void three_lognormals(void **state)
{
    static const double sigma[3] = {0.2, 0.3, 0.5};
    static const double want[3] = {0.0882806, 0.2037150, 0.6143952};
    struct hand *h = hand_new(*state, 1);
    struct bt_node x[3];
    for (int k = 0; k < 3; k++)
        x[k] = lognormal(h, bt_arena_format(*state, "x%d", k), 1, exp(sigma[k]));
    const struct shares got = shares_of(h, 3, x, product(h, 3, x), NULL);
    for (int k = 0; k < 3; k++) /* heavy tails: further off */
        near(got.of[k], want[k], 2.5 * WITHIN, "PLN-S, derived");
    near(got.mean, 1.2092496, 5 * 0.822 / sqrt(DRAWS), "PLN-Q, derived");
}

/* The budget of 25 inputs: all exact shares. */
static void budget_of_25(void **state)
{
    static const double want[25] = {
        0.13113, 0.09634, 0.04870, 0.01996, 0.02285, 0.01319, 0.00423, 0.00205, 0.14797,
        0.15731, 0.01430, 0.03222, 0.00935, 0.00611, 0.04099, 0.05366, 0.01311, 0.02415,
        0.06716, 0.00724, 0.00093, 0.00331, 0.01577, 0.00389, 0.01712};
    struct hand *h = hand_new(*state, 1);
    twenty_five_lines(h);
    struct bt_node x[25];
    for (size_t i = 0, n = bt_sheet_size(h->sheet); i < n; i++) {
        const struct bt_node node = {(uint32_t)i};
        const struct bt_leaf *leaf = bt_sheet_node(h->sheet, node)->leaf;
        if (leaf)
            x[atoi(leaf->id) - 1] = node;
    }
    const struct bt_node balance =
        bt_sub(h->sheet, side_sum(h, BT_SUPPLY), side_sum(h, BT_DEMAND));
    const struct shares got = shares_of(h, 25, x, balance, NULL);
    near(got.mean, -0.6916598146, 5 * 2.758 / sqrt(DRAWS) + 0.02,
         "B25-MEAN, exact; PERT modes rounded to 1/256");
    near(got.sd, 2.7584552405, 0.03, "B25-SD, exact; PERT modes rounded to 1/256");
    for (int k = 0; k < 25; k++)
        near(got.of[k], want[k], WITHIN, "B25-S1, exact");
}

/* ---- a figure that is known --------------------------------------------------------- */

static double share_of(const struct bt_account_finding *f, const struct bt_sheet *sheet,
                       const char *id)
{
    for (size_t k = 0; k < f->n_drivers; k++)
        if (strcmp(bt_sheet_node(sheet, f->driver[k].leaf)->leaf->id, id) == 0)
            return f->driver[k].share_of_variance;
    return 0;
}

static const struct bt_account_finding *two_supplies(struct bt_arena *a, bool is_known,
                                                     struct hand **out)
{
    struct hand *h = *out = hand_new(a, 1);
    hand_line(h, BT_SUPPLY, is_known ? number(h, 5) : normal(h, "compost", 5, 2));
    hand_line(h, BT_SUPPLY, normal(h, "soil", 5, 1));
    hand_line(h, BT_DEMAND, normal(h, "corn", 11, 1));
    return hand_finding(h);
}

static void a_known_figure_carries_nothing(void **state)
{
    struct hand *h;
    const struct bt_account_finding *before = two_supplies(*state, false, &h);
    near(share_of(before, h->sheet, "compost"), 4 / 6.0, WITHIN * 2, "variance of a sum");
    near(share_of(before, h->sheet, "soil"), 1 / 6.0, WITHIN * 2, "variance of a sum");
    const struct bt_account_finding *after = two_supplies(*state, true, &h);
    near(share_of(after, h->sheet, "compost"), 0, 0, "it does not vary");
    near(share_of(after, h->sheet, "soil"), 1 / 2.0, WITHIN * 2, "variance of a sum");
    near(after->tightest.sd, sqrt(2), 0.03, "variance of a sum");
}

#define IN_ARENA(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        IN_ARENA(ishigami),
        IN_ARENA(sobol_g),
        IN_ARENA(three_lognormals),
        IN_ARENA(budget_of_25),
        IN_ARENA(a_known_figure_carries_nothing),
    };
    return cmocka_run_group_tests_name("shares of the variance", tests, NULL, NULL) != 0;
}
