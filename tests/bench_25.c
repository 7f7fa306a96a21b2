/* One budget of 25 uncertain inputs, so that other programs can be set beside this one
 * (tests/peers/): nanoseconds a draw of the whole model, one thread, best of several runs;
 * our engine, the same draws with the arithmetic written out by hand in one loop, and GSL's
 * scalar samplers. Each prints mean, sd, P5 and P95, which must agree. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>

#include "chance/sampler.h"
#include "chance/summary.h"
#include "shape/kernel.h"

enum { INPUTS = 25, DRAWS = 1 << 17, RUNS = 7 };

/* T, P: least, likely, most; U: least, most; N: mean, sd; L: middle, geometric sd.
 * Invented.
 */
static const struct input {
    char law;
    double a, b, c;
} input[INPUTS] = {
    {'P', 2,     4,    7   },
    {'T', 1.5,   2.5,  4   },
    {'P', 1,     2,    3.5 },
    {'T', 3,     4,    6   },
    {'P', 1.5,   3,    5   },
    {'T', 2,     3,    4.5 },
    {'P', 0.5,   1.2,  2   },
    {'T', 4,     6,    9   },
    {'U', 0.02,  0.05, 0   },
    {'P', 0.005, 0.01, 0.02},
    {'N', 1.3,   0.1,  0   },
    {'U', 0.12,  0.18, 0   },
    {'T', 1.5,   2,    2.8 },
    {'P', 0.4,   0.55, 0.7 },
    {'L', 15,    1.3,  0   },
    {'P', 0.05,  0.1,  0.25},
    {'P', 0.3,   0.6,  1.2 },
    {'L', 12,    1.4,  0   },
    {'U', 0,     0.3,  0   },
    {'P', 0.1,   0.25, 0.5 },
    {'N', 30,    3,    0   },
    {'P', 0.3,   0.6,  0.9 },
    {'U', 0.05,  0.3,  0   },
    {'T', 100,   200,  350 },
    {'L', 3,     1.6,  0   },
};

static double seconds(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void out_of_memory(void *context)
{
    (void)context;
    abort();
}

/* ---- the same model three times ----------------------------------------------------- */

static double shortfall(const double *x)
{
    const double demand =
        0.4 * x[0] * x[1] + 0.3 * x[2] * x[3] + 0.2 * x[4] * x[5] + 0.1 * x[6] * x[7];
    const double soil = 1e6 * 0.058 * x[8] * x[9] * x[10] * x[11];
    const double compost = x[12] * x[13] * x[14] * x[15];
    const double mulch = x[16] * x[17] * x[18];
    const double legume = x[19] * x[20] * x[21] * x[22];
    return demand - (soil + compost + mulch + legume + 1e-3 * x[23] * x[24]);
}

static struct bt_range range_of(const struct input *in)
{
    const double reach = gsl_cdf_ugaussian_Pinv(0.95);
    struct bt_range r = bt_range_of(in->a, in->b, in->c, BT_BOUNDS);
    switch (in->law) {
    case 'T': r.form = BT_FORM_TRIANGULAR; break;
    case 'U': r = bt_range_two(in->a, in->b, BT_BOUNDS); break;
    case 'N':
        r = bt_range_of(in->a - reach * in->b, in->a, in->a + reach * in->b, BT_P05_P95);
        r.form = BT_FORM_TRUNCATED_NORMAL;
        break;
    case 'L':
        r = bt_range_of(in->a / pow(in->b, reach), in->a, in->a * pow(in->b, reach),
                        BT_P05_P95);
        r.form = BT_FORM_LOGNORMAL;
        break;
    default: break;
    }
    return r;
}

static struct bt_node product(struct bt_sheet *s, double factor, int n,
                              const struct bt_node *x)
{
    struct bt_node all = bt_mul(s, bt_share(s, factor), x[0]);
    for (int k = 1; k < n; k++)
        all = bt_mul(s, all, x[k]);
    return all;
}

static struct bt_node worksheet(struct bt_sheet *s)
{
    struct bt_node x[INPUTS];
    for (int k = 0; k < INPUTS; k++) {
        const char *id = bt_arena_format(bt_sheet_arena(s), "input %d", k + 1);
        const struct bt_leaf leaf = {.id = id,
                                     .label = id,
                                     .range = range_of(&input[k]),
                                     .limit_low = -HUGE_VAL,
                                     .limit_high = HUGE_VAL};
        x[k] = bt_leaf(s, &leaf);
    }
    const struct bt_node demand[] = {product(s, 0.4, 2, x), product(s, 0.3, 2, x + 2),
                                     product(s, 0.2, 2, x + 4), product(s, 0.1, 2, x + 6)};
    const struct bt_node supply[] = {product(s, 1e6 * 0.058, 4, x + 8),
                                     product(s, 1, 4, x + 12), product(s, 1, 3, x + 16),
                                     product(s, 1, 4, x + 19), product(s, 1e-3, 2, x + 23)};
    return bt_sub(s, bt_sum(s, 4, demand, BT_FRACTION), bt_sum(s, 5, supply, BT_FRACTION));
}

struct task {
    struct bt_sampler sampler;
    const double *column;
    const gsl_rng_type *type;
    struct bt_summary_room *room;
    double *y;
};

static void by_engine(struct task *t)
{
    for (size_t first = 0; first < DRAWS; first += BT_BLOCK) {
        bt_sampler_block(&t->sampler, first);
        memcpy(t->y + first, t->column, BT_BLOCK * sizeof *t->y);
    }
}

/* The arithmetic fused into one loop that compilers turn into vectors. */
BT_KERNEL static void fused(const double (*restrict x)[BT_BLOCK], double *restrict y)
{
    for (int i = 0; i < BT_BLOCK; i++) {
        const double demand = 0.4 * x[0][i] * x[1][i] + 0.3 * x[2][i] * x[3][i] +
                              0.2 * x[4][i] * x[5][i] + 0.1 * x[6][i] * x[7][i];
        const double soil = 1e6 * 0.058 * x[8][i] * x[9][i] * x[10][i] * x[11][i];
        const double compost = x[12][i] * x[13][i] * x[14][i] * x[15][i];
        const double mulch = x[16][i] * x[17][i] * x[18][i];
        const double legume = x[19][i] * x[20][i] * x[21][i] * x[22][i];
        y[i] = demand - (soil + compost + mulch + legume + 1e-3 * x[23][i] * x[24][i]);
    }
}

static void by_hand(struct task *t)
{
    double u[BT_BLOCK], x[INPUTS][BT_BLOCK];
    for (size_t first = 0; first < DRAWS; first += BT_BLOCK) {
        for (int k = 0; k < INPUTS; k++)
            bt_drawer_fill(&t->sampler.leaf[k].drawer, first, u, x[k]);
        fused((const double(*)[BT_BLOCK])x, t->y + first);
    }
}

static double gsl_draw(const gsl_rng *rng, const struct input *in)
{
    const double wide = in->c - in->a, mode = (in->b - in->a) / wide;
    double u;
    switch (in->law) {
    case 'T':
        u = gsl_rng_uniform(rng);
        return u < mode ? in->a + wide * sqrt(u * mode)
                        : in->c - wide * sqrt((1 - u) * (1 - mode));
    case 'P': return in->a + wide * gsl_ran_beta(rng, 1 + 4 * mode, 1 + 4 * (1 - mode));
    case 'U': return in->a + (in->b - in->a) * gsl_rng_uniform(rng);
    case 'N': return in->a + gsl_ran_gaussian_ziggurat(rng, in->b);
    default: return exp(log(in->a) + gsl_ran_gaussian_ziggurat(rng, log(in->b)));
    }
}

static void by_gsl(struct task *t)
{
    gsl_rng *rng = gsl_rng_alloc(t->type);
    if (!rng)
        abort();
    gsl_rng_set(rng, 1);
    for (size_t i = 0; i < DRAWS; i++) {
        double x[INPUTS];
        for (int k = 0; k < INPUTS; k++)
            x[k] = gsl_draw(rng, &input[k]);
        t->y[i] = shortfall(x);
    }
    gsl_rng_free(rng);
}

static void by_summary(struct task *t)
{
    (void)bt_spread_of(t->room, DRAWS, t->y, 0);
}

static double best(void (*work)(struct task *t), struct task *t)
{
    double least = 1e9;
    for (int run = 0; run < RUNS; run++) {
        const double start = seconds();
        work(t);
        const double took = seconds() - start;
        least = took < least ? took : least;
    }
    return 1e9 * least / DRAWS;
}

static void report(const char *name, void (*work)(struct task *t), struct task *t)
{
    const double ns = best(work, t);
    const struct bt_spread s = bt_spread_of(t->room, DRAWS, t->y, 0);
    printf("%-34s %8.1f  %7.3f %6.3f %7.3f %6.3f\n", name, ns, s.mean, s.sd, s.p05, s.p95);
}

int main(void)
{
    gsl_set_error_handler_off();
    struct bt_arena *a = bt_arena_new((size_t)1 << 20, out_of_memory, NULL);
    if (!a)
        return 3;
    struct bt_sheet *s = bt_sheet_new(a);
    const struct bt_node result = worksheet(s);
    struct task t = {.sampler = bt_sampler_new(a, NULL, bt_shapes_new(a), s, 1,
                                               (struct bt_nodes){1, &result})};
    t.column = bt_program_column(t.sampler.program, result);
    t.room = bt_summary_room_new(a, DRAWS);
    t.y = bt_arena_alloc(a, DRAWS * sizeof *t.y);
    printf("%-34s %8s  %7s %6s %7s %6s\n", "25 inputs, 131072 draws", "ns/draw", "mean",
           "sd", "P5", "P95");
    report("bedtally, worksheet", by_engine, &t);
    report("the same draws, C by hand", by_hand, &t);
    t.type = gsl_rng_taus2;
    report("GSL samplers, taus2", by_gsl, &t);
    t.type = gsl_rng_mt19937;
    report("GSL samplers, mt19937", by_gsl, &t);
    printf("%-34s %8.1f\n", "bedtally, mean, sd and 5 quantiles", best(by_summary, &t));
    bt_arena_free(a);
    return 0;
}
