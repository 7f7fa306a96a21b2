/* Summaries: exact quantiles against sorting, moments against GSL's; standard errors. */
#include "check.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>
#include <stdlib.h>
#include <string.h>

#include "chance/draws.h"
#include "chance/summary.h"

enum { MOST = 20000 };

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

/* ---- moments ------------------------------------------------------------------------ */

static void moments_of_any_length(void **state)
{
    (void)state;
    double x[40];
    for (size_t i = 0; i < 40; i++)
        x[i] = 1e6 + bt_draw_uniform(5, i);
    for (size_t n = 2; n <= 40; n++) {
        const struct bt_moments m = bt_moments_of(n, x);
        check_close(m.mean, gsl_stats_mean(x, 1, n), 1e-15, "gsl_stats_mean");
        check_close(m.sd, gsl_stats_sd(x, 1, n), 1e-9, "gsl_stats_sd");
        assert_true(m.lowest == gsl_stats_min(x, 1, n) &&
                    m.highest == gsl_stats_max(x, 1, n));
    }
    assert_true(bt_moments_of(1, x).sd == 0);
}

/* ---- quantiles ---------------------------------------------------------------------- */

static double normal(uint64_t key, size_t i) /* by the polar form: no table of ours */
{
    return sqrt(-2 * log(bt_draw_uniform(key, 2 * i))) *
           cos(6.283185307179586 * bt_draw_uniform(key, 2 * i + 1));
}

static double of_normal(size_t i)
{
    return 3 + normal(1, i);
}
static double of_lognormal(size_t i)
{
    return exp(0.5 * normal(2, i));
}
static double of_wide_lognormal(size_t i)
{
    return exp(3 * normal(3, i));
}
static double of_product(size_t i)
{
    return normal(4, i) * normal(5, i) * normal(6, i);
}
static double of_half_zero(size_t i)
{
    const double z = normal(7, i);
    return z > 0 ? z : 0;
}
static double of_reciprocal(size_t i)
{
    return 1 / normal(8, i);
}
static double of_outlier(size_t i)
{
    return i == 77 ? 1e9 : normal(9, i);
}
static double of_two_values(size_t i)
{
    return i % 3 ? 1 : -1;
}
static double of_few_values(size_t i)
{
    return floor(3 * normal(10, i));
}
static double of_mostly_equal(size_t i)
{
    return i % 100 ? 5 : normal(11, i);
}
static double of_rising(size_t i)
{
    return (double)i;
}
static double of_far_from_0(size_t i)
{
    return 1e12 + normal(12, i);
}
static double of_tiny(size_t i)
{
    return 1e-310 * normal(13, i);
}
static double of_nearly_equal(size_t i)
{
    return i == 5 ? 1 + 2.220446049250313e-16 : 1;
}
static double of_huge(size_t i)
{
    return 1e300 * normal(14, i);
}

static struct column_row {
    const char *name;
    double (*at)(size_t i);
} column_rows[] = {
    {"normal",           of_normal        },
    {"lognormal",        of_lognormal     },
    {"wide lognormal",   of_wide_lognormal},
    {"product",          of_product       },
    {"half of it 0",     of_half_zero     },
    {"reciprocal",       of_reciprocal    },
    {"one outlier",      of_outlier       },
    {"two values",       of_two_values    },
    {"few values",       of_few_values    },
    {"mostly equal",     of_mostly_equal  },
    {"rising",           of_rising        },
    {"far from 0",       of_far_from_0    },
    {"denormal",         of_tiny          },
    {"a last bit apart", of_nearly_equal  },
};

static void as_sorted(struct bt_arena *a, size_t n, double (*at)(size_t i))
{
    struct bt_summary_room *room = bt_summary_room_new(a, n);
    double *x = bt_arena_alloc(a, n * sizeof *x);
    double *sorted = bt_arena_alloc(a, n * sizeof *sorted);
    for (size_t i = 0; i < n; i++)
        x[i] = sorted[i] = at(i);
    const struct bt_spread s = bt_spread_of(room, n, x, 42);
    gsl_sort(sorted, 1, n);
    static const double p[] = {0.05, 0.25, 0.50, 0.75, 0.95};
    const double got[] = {s.p05, s.p25, s.p50, s.p75, s.p95};
    for (int k = 0; k < 5; k++) {
        const double want = gsl_stats_quantile_from_sorted_data(sorted, 1, n, p[k]);
        if (got[k] != want) /* the same bits, not nearly */
            print_error("n %zu, P%.0f: got %.17g, want %.17g\n", n, 100 * p[k], got[k],
                        want);
        assert_true(got[k] == want);
    }
    assert_true(s.likely == 42);
    for (size_t i = 0; i < n; i++) /* nothing was moved */
        assert_true(x[i] == at(i));
}

static void column_row(void **state)
{
    const struct column_row *row = *state;
    void *arena = NULL;
    assert_int_equal(set_up(&arena), 0);
    static const size_t length[] = {1, 2, 3, 4, 5, 6, 7, 17, 255, 256, 1000, 16384, MOST};
    for (size_t k = 0; k < sizeof length / sizeof length[0]; k++)
        as_sorted(arena, length[k], row->at);
    tear_down(&arena);
}

/* Standard errors by ranks against sqrt(p (1 - p) / n) / density. */
static void errors(void **state)
{
    enum { N = 10000 };
    double *x = bt_arena_alloc(*state, N * sizeof *x);
    for (size_t i = 0; i < N; i++)
        x[i] = of_normal(i);
    struct bt_summary_room *room = bt_summary_room_new(*state, N);
    const struct bt_spread s = bt_spread_of(room, N, x, 0);
    const struct bt_error e = bt_error_of(room, N, x, &s);
    const char *const source =
        "uncertainty-checks SE-Q, asymptotic; ranks are a sample too";
    check_close(e.mean, 0.01, 0.03, "1 / sqrt(n)");
    check_close(e.p95, 0.02113, 0.25, source);
    check_close(e.p05, 0.02113, 0.25, source);
    for (size_t i = 0; i < N; i++)
        x[i] = 5;
    const struct bt_spread same = bt_spread_of(room, N, x, 0);
    assert_true(bt_error_of(room, N, x, &same).p05 == 0);
}

/* Which of the nine common quantiles: type 7, and GSL's, which all are held to. */
static void type_seven(void **state)
{
    const double x[] = {1, 2, 3, 4, 10};
    const struct bt_spread s = bt_spread_of(bt_summary_room_new(*state, 5), 5, x, 0);
    check_close(s.p05, 1.2, 1e-12, "by hand");
    check_close(s.p25, 2, 1e-12, "by hand");
    check_close(s.p95, 8.8, 1e-12, "by hand");
    check_close(gsl_stats_quantile_from_sorted_data(x, 1, 5, 0.1), 1.4, 1e-12, "GSL-Q7");
    check_close(gsl_stats_quantile_from_sorted_data(x, 1, 5, 0.9), 7.6, 1e-12, "GSL-Q7");
}

static void all_equal(void **state)
{
    double x[256];
    for (size_t i = 0; i < 256; i++)
        x[i] = 0.1;
    const struct bt_spread s = bt_spread_of(bt_summary_room_new(*state, 256), 256, x, 0.1);
    assert_true(s.mean == 0.1 && s.sd == 0 && s.p05 == 0.1 && s.p50 == 0.1 && s.p95 == 0.1);
    const struct bt_spread exact = bt_spread_exact(0.1);
    assert_memory_equal(&s, &exact, sizeof s);
}

static void not_finite(void **state)
{
    double x[256];
    for (size_t i = 0; i < 256; i++)
        x[i] = (double)i;
    struct bt_summary_room *room = bt_summary_room_new(*state, 256);
    const double bad[] = {(double)NAN, HUGE_VAL, -HUGE_VAL};
    for (int k = 0; k < 3; k++)
        for (size_t at = 0; at < 256; at += 85) {
            const double kept = x[at];
            x[at] = bad[k];
            const struct bt_spread s = bt_spread_of(room, 256, x, 1);
            assert_true(isnan(s.mean) && isnan(s.p05) && isnan(s.p95) && s.likely == 1);
            assert_true(isnan(bt_spread_positive(&s, 256, x, 1).p50));
            x[at] = kept;
        }
    for (size_t i = 0; i < 256; i++)
        x[i] = of_huge(i); /* squares overflow: said, not guessed */
    assert_true(isnan(bt_spread_of(room, 256, x, 1).sd));
}

static void positive_parts(void **state)
{
    enum { N = 16384 };
    double *x = bt_arena_alloc(*state, N * sizeof *x);
    double *part = bt_arena_alloc(*state, N * sizeof *part);
    struct bt_summary_room *room = bt_summary_room_new(*state, N);
    for (size_t i = 0; i < N; i++)
        x[i] = 1 + 2 * normal(21, i);
    const struct bt_spread of = bt_spread_of(room, N, x, 0.5);
    for (double sign = -1; sign <= 1; sign += 2) {
        for (size_t i = 0; i < N; i++)
            part[i] = sign * x[i] > 0 ? sign * x[i] : 0;
        const struct bt_spread want = bt_spread_of(room, N, part, sign > 0 ? 0.5 : 0);
        const struct bt_spread got = bt_spread_positive(&of, N, x, sign);
        check_close(got.likely, want.likely, 0, "by definition");
        check_close(got.mean, want.mean, 1e-13, "the column itself");
        check_close(got.sd, want.sd, 1e-13, "the column itself");
        check_close(got.p05, want.p05, 1e-12, "the column itself");
        check_close(got.p25, want.p25, 1e-12, "the column itself");
        check_close(got.p50, want.p50, 1e-12, "the column itself");
        check_close(got.p75, want.p75, 1e-12, "the column itself");
        check_close(got.p95, want.p95, 1e-12, "the column itself");
    }
    check_between(bt_spread_positive(&of, N, x, 1).mean, 1.3955931148 - 0.008 * 7.82,
                  1.3955931148 + 0.008 * 7.82, "uncertainty-checks NORM-SHORT, derived");
}

#define COUNT(rows) (sizeof(rows) / sizeof(rows)[0])

int main(void)
{
    gsl_set_error_handler_off();
    struct CMUnitTest columns[COUNT(column_rows)];
    for (size_t i = 0; i < COUNT(column_rows); i++)
        columns[i] = (struct CMUnitTest){column_rows[i].name, column_row, NULL, NULL,
                                         &column_rows[i]};
    const struct CMUnitTest rest[] = {
        cmocka_unit_test(moments_of_any_length),
        cmocka_unit_test_setup_teardown(type_seven, set_up, tear_down),
        cmocka_unit_test_setup_teardown(all_equal, set_up, tear_down),
        cmocka_unit_test_setup_teardown(errors, set_up, tear_down),
        cmocka_unit_test_setup_teardown(not_finite, set_up, tear_down),
        cmocka_unit_test_setup_teardown(positive_parts, set_up, tear_down),
    };
    int failed =
        cmocka_run_group_tests_name("columns against sorting", columns, NULL, NULL);
    failed += cmocka_run_group_tests_name("summaries", rest, NULL, NULL);
    return failed != 0;
}
