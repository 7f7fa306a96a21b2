/* What the engine costs: nanoseconds a draw by law, an operation, a summarised value, a
 * driver. Processor time, best of several runs, one thread. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include <gsl/gsl_errno.h>

#include "base/text.h"
#include "chance/draws.h"
#include "chance/drivers.h"
#include "chance/sampler.h"
#include "chance/summary.h"

enum { SAMPLES = 16384, BLOCKS = SAMPLES / BT_BLOCK, LEAVES = 72, RUNS = 20 };

static void out_of_memory(void *context)
{
    (void)context;
    abort();
}

static double seconds(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* Nanoseconds a piece of `work(context)`, which does `pieces` of them. */
static double best(void (*work)(void *context), void *context, double pieces)
{
    double least = 1e9;
    for (int run = 0; run < RUNS; run++) {
        const double start = seconds();
        work(context);
        const double took = seconds() - start;
        least = took < least ? took : least;
    }
    return 1e9 * least / pieces;
}

/* ---- draws -------------------------------------------------------------------------- */

struct draw_task {
    struct bt_drawer drawer;
    double u[BT_BLOCK], x[BT_BLOCK];
    double sink;
};

static void draw(void *context)
{
    struct draw_task *t = context;
    for (uint64_t i = 0; i < BLOCKS * 16; i++) {
        bt_drawer_fill(&t->drawer, i * BT_BLOCK, t->u, t->x);
        t->sink += t->x[i % BT_BLOCK];
    }
}

static void bench_draws(struct bt_shapes *shapes)
{
    static const struct {
        const char *name;
        enum bt_form form;
        const char *parent;
    } row[] = {
        {"uniform",            BT_FORM_UNIFORM,          NULL    },
        {"triangular",         BT_FORM_TRIANGULAR,       NULL    },
        {"PERT",               BT_FORM_PERT,             NULL    },
        {"lognormal",          BT_FORM_LOGNORMAL,        NULL    },
        {"truncated normal",   BT_FORM_TRUNCATED_NORMAL, NULL    },
        {"PERT with a parent", BT_FORM_PERT,             "parent"},
    };
    for (size_t k = 0; k < sizeof row / sizeof row[0]; k++) {
        struct bt_range r = bt_range_of(10, 20, 40, BT_P05_P95);
        struct bt_law law;
        enum bt_fit_note note;
        r.form = row[k].form;
        bt_law_fit(&r, 0, HUGE_VAL, &law, &note);
        struct draw_task task = {
            .drawer = bt_drawer_new(shapes, &law, 1, "leaf", row[k].parent, -0.4)};
        printf("draw, %-24s %6.2f ns\n", row[k].name,
               best(draw, &task, (double)SAMPLES * 16));
    }
}

/* ---- a bed's worth of worksheet ----------------------------------------------------- */

static struct bt_node leaf_named(struct bt_sheet *s, int k)
{
    struct bt_arena *a = bt_sheet_arena(s);
    const char *name = bt_arena_format(a, "bench/leaf %d", k);
    const struct bt_leaf leaf = {.id = name,
                                 .label = name,
                                 .range = bt_range_of(1, 1.5 + 0.01 * k, 3, BT_P05_P95),
                                 .limit_low = 0,
                                 .limit_high = HUGE_VAL};
    return bt_leaf(s, &leaf);
}

/* 72 leaves in 36 products, folded by sums, differences, quotients, least and most. */
static struct bt_node worksheet(struct bt_sheet *s)
{
    struct bt_node term[LEAVES / 2];
    for (int k = 0; k < LEAVES / 2; k++) {
        struct bt_node a = leaf_named(s, 2 * k), b = leaf_named(s, 2 * k + 1);
        struct bt_node x = bt_mul(s, a, b);
        x = bt_add(s, x, bt_min(s, a, b));
        x = bt_sub(s, x, bt_max(s, a, b));
        term[k] = bt_div(s, x, b);
    }
    return bt_sum(s, LEAVES / 2, term, BT_FRACTION);
}

struct sheet_task {
    struct bt_sampler sampler;
    struct bt_driver_bins bins;
    struct bt_driver_sums sums;
    const double *outcome;
};

static void run_program(void *context)
{
    struct sheet_task *t = context;
    for (int i = 0; i < BLOCKS; i++)
        bt_program_run(t->sampler.program);
}

static void run_drivers(void *context)
{
    struct sheet_task *t = context;
    for (uint64_t i = 0; i < BLOCKS; i++) {
        bt_driver_bins_block(&t->bins, &t->sampler);
        bt_driver_sums_block(&t->sums, &t->bins, t->outcome);
    }
}

static void run_sampler(void *context)
{
    struct sheet_task *t = context;
    for (uint64_t i = 0; i < BLOCKS; i++)
        bt_sampler_block(&t->sampler, i * BT_BLOCK);
}

static void bench_sheet(struct bt_arena *a, struct bt_shapes *shapes)
{
    struct bt_sheet *s = bt_sheet_new(a);
    const struct bt_node result = worksheet(s);
    struct sheet_task t = {
        .sampler = bt_sampler_new(a, NULL, shapes, s, 1, (struct bt_nodes){1, &result})};
    t.bins = bt_driver_bins_new(a, &t.sampler);
    t.bins.bin = bt_arena_alloc(a, t.bins.n_leaves * sizeof *t.bins.bin);
    t.sums = bt_driver_sums_new(a, &t.sampler, s, 1, &result, 0);
    t.outcome = bt_program_column(t.sampler.program, result);
    const double operations = (double)bt_program_operations(t.sampler.program);
    printf("draw in a worksheet of %d leaves  %6.2f ns\n", LEAVES,
           best(run_sampler, &t, (double)SAMPLES * LEAVES) -
               best(run_program, &t, (double)SAMPLES * LEAVES));
    printf("operation, of %.0f               %6.2f ns\n", operations,
           best(run_program, &t, (double)SAMPLES * operations));
    printf("driver, a leaf and draw          %6.2f ns\n",
           best(run_drivers, &t, (double)SAMPLES * LEAVES));
}

/* ---- summaries ---------------------------------------------------------------------- */

struct summary_task {
    struct bt_summary_room *room;
    const double *x;
    double sink;
};

static void moments(void *context)
{
    struct summary_task *t = context;
    t->sink += bt_moments_of(SAMPLES, t->x).sd;
}

static void summarise(void *context)
{
    struct summary_task *t = context;
    t->sink += bt_spread_of(t->room, SAMPLES, t->x, 0).p50;
}

static void bench_summaries(struct bt_arena *a, struct bt_shapes *shapes)
{
    double *x = bt_arena_alloc(a, SAMPLES * sizeof *x);
    double u[BT_BLOCK];
    struct summary_task t = {.room = bt_summary_room_new(a, SAMPLES), .x = x};
    static const enum bt_form form[] = {BT_FORM_PERT, BT_FORM_LOGNORMAL};
    static const char *const name[] = {"PERT column", "lognormal column"};
    for (int k = 0; k < 2; k++) {
        struct bt_range r = bt_range_of(1, 3, 9, BT_P05_P95);
        struct bt_law law;
        enum bt_fit_note note;
        r.form = form[k];
        bt_law_fit(&r, 0, HUGE_VAL, &law, &note);
        const struct bt_drawer d = bt_drawer_new(shapes, &law, 1, "summary", NULL, 0);
        for (uint64_t i = 0; i < SAMPLES; i += BT_BLOCK)
            bt_drawer_fill(&d, i, u, x + i);
        printf("moments of a %-18s  %6.2f ns a value\n", name[k],
               best(moments, &t, SAMPLES));
        printf("summary of a %-18s  %6.2f ns a value\n", name[k],
               best(summarise, &t, SAMPLES));
    }
}

/* ---- shapes and fits ---------------------------------------------------------------- */

struct shape_task {
    struct bt_arena *arena;
    struct bt_shapes *shapes;
};

static void make_shapes(void *context)
{
    struct shape_task *t = context;
    const struct bt_mark mark = bt_arena_mark(t->arena);
    struct bt_shapes *shapes = bt_shapes_new(t->arena);
    for (unsigned mode = 20; mode < 236; mode += 8)
        (void)bt_shapes_pert(shapes, mode);
    bt_arena_release(t->arena, mark);
}

static void fit(void *context)
{
    (void)context;
    for (int k = 0; k < 100; k++) {
        const struct bt_range r = bt_range_of(1, 1.2 + 0.01 * k, 3, BT_P05_P95);
        struct bt_law law;
        enum bt_fit_note note;
        bt_law_fit(&r, 0, HUGE_VAL, &law, &note);
    }
}

static void fit_again(void *context)
{
    struct shape_task *t = context;
    for (int k = 0; k < 100; k++) {
        const struct bt_range r = bt_range_of(1, 1.2 + 0.01 * k, 3, BT_P05_P95);
        struct bt_law law;
        enum bt_fit_note note;
        bt_shapes_law(t->shapes, &r, 0, HUGE_VAL, &law, &note);
    }
}

int main(void)
{
    gsl_set_error_handler_off();
    struct bt_arena *a = bt_arena_new((size_t)1 << 20, out_of_memory, NULL);
    if (!a)
        return 3;
    struct bt_shapes *shapes = bt_shapes_new(a);
    struct shape_task task = {a, shapes};
    bench_draws(shapes);
    bench_sheet(a, shapes);
    bench_summaries(a, shapes);
    printf("standard PERT shape              %6.1f us\n",
           best(make_shapes, &task, 27) / 1000);
    printf("fit of a PERT to P5 and P95      %6.1f us\n", best(fit, NULL, 100) / 1000);
    printf("the same, remembered             %6.2f us\n",
           best(fit_again, &task, 100) / 1000);
    bt_arena_free(a);
    return 0;
}
