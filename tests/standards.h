/* Models of published standards, drawn through the program's own sampler, and the coverage
 * intervals that the standards state their results in. */
#ifndef BT_TESTS_STANDARDS_H
#define BT_TESTS_STANDARDS_H

#include "hand.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_math.h>

#include "chance/sampler.h"
#include "chance/summary.h"

enum { TRIALS = 3907 * BT_BLOCK }; /* 1,000,192: a million in whole blocks */

/* ---- drawing a model ---------------------------------------------------------------- */

/* What a worksheet has no operation for (a logarithm, a sine), of one block of leaves, in
 * the order they were made. */
typedef void block_function(const struct bt_sampler *s, double *out);

/* n draws of y; with `f`, of f over the leaves that y rests on. */
static inline double *draws_by(struct hand *h, struct bt_node y, size_t n, uint64_t seed,
                               block_function *f)
{
    struct bt_sampler s = bt_sampler_new(h->arena, NULL, bt_shapes_new(h->arena), h->sheet,
                                         seed, (struct bt_nodes){1, &y});
    const double *block = bt_program_column(s.program, y);
    double *all = bt_arena_alloc(h->arena, n * sizeof *all);
    for (size_t first = 0; first < n; first += BT_BLOCK) {
        bt_sampler_block(&s, first);
        if (f)
            f(&s, all + first);
        else
            memcpy(all + first, block, BT_BLOCK * sizeof *all);
    }
    return all;
}

static inline double *draws_of(struct hand *h, struct bt_node y, size_t n, uint64_t seed)
{
    return draws_by(h, y, n, seed, NULL);
}

static inline int rising(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* ---- coverage intervals, JCGM 101 clause 7.7 ---------------------------------------- */

struct interval {
    double low, high;
};

/* How many of m sorted values a coverage interval spans. */
static inline size_t spanned(size_t m, double p)
{
    return (size_t)floor(p * (double)m + 0.5);
}

static inline struct interval symmetric(size_t m, const double *sorted, double p)
{
    const size_t q = spanned(m, p), r = (m - q + 1) / 2;
    return (struct interval){sorted[r - 1], sorted[r + q - 1]};
}

static inline struct interval shortest(size_t m, const double *sorted, double p)
{
    const size_t q = spanned(m, p);
    size_t best = 1;
    for (size_t r = 2; r <= m - q; r++)
        if (sorted[r + q - 1] - sorted[r - 1] < sorted[best + q - 1] - sorted[best - 1])
            best = r;
    return (struct interval){sorted[best - 1], sorted[best + q - 1]};
}

struct outcome {
    struct bt_moments moments;
    struct interval symmetric, shortest;
};

/* Of a million draws of y (or of f over its leaves), with a coverage of p. */
static inline struct outcome outcome_by(struct hand *h, struct bt_node y, double p,
                                        block_function *f)
{
    double *x = draws_by(h, y, TRIALS, 1, f);
    struct outcome o = {.moments = bt_moments_of(TRIALS, x)};
    qsort(x, TRIALS, sizeof *x, rising);
    o.symmetric = symmetric(TRIALS, x, p);
    o.shortest = shortest(TRIALS, x, p);
    return o;
}

static inline struct outcome outcome_of(struct hand *h, struct bt_node y)
{
    return outcome_by(h, y, 0.95, NULL);
}

#define COUNT(rows)    (sizeof(rows) / sizeof(rows)[0])
#define IN_ARENA(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)

#endif
