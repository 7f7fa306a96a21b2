/* Ranges, fits and standard shapes: against a table of what one range means under each
 * reading, and with a sweep over ranges and limits in which nothing may be refused. Closed
 * forms stand in test_standards_laws.c. */
#include "check.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>

#include "shape/range.h"
#include "shape/standard.h"
#include "shape/table.h"

static void out_of_memory(void *context)
{
    (void)context;
    abort();
}

/* ---- readings of 10, 20, 40 --------------------------------------------------------- */

static void near(double got, double want, double abs, const char *source)
{
    check_between(got, want - abs, want + abs, source);
}

static void five(const struct bt_law *law, const double want[5], double abs,
                 const char *source)
{
    near(bt_law_mean(law), want[0], abs, source);
    near(bt_law_sd(law), want[1], abs, source);
    near(bt_law_quantile(law, 0.05), want[2], abs, source);
    near(bt_law_quantile(law, 0.50), want[3], abs, source);
    near(bt_law_quantile(law, 0.95), want[4], abs, source);
}

static struct reading_row {
    const char *name;
    enum bt_ends ends;
    enum bt_form form;
    double want[5];
    double abs; /* half the last digit printed; PERT: and the mode rounded to 1/256 of the
                   width */
} reading_rows[] = {
    {"uniform, bounds",      BT_BOUNDS,  BT_FORM_UNIFORM,    {25.0, 8.66, 11.5, 25.0, 38.5},     0.0051},
    {"triangular, bounds",
     BT_BOUNDS,                          BT_FORM_TRIANGULAR,
     {23.33, 6.24, 13.87, 22.68, 34.52},
     0.0051                                                                                            },
    {"PERT, bounds",         BT_BOUNDS,  BT_FORM_PERT,       {21.67, 5.53, 13.28, 21.27, 31.40}, 0.05  },
    {"triangular, P5 - P95",
     BT_P05_P95,                         BT_FORM_TRIANGULAR,
     {23.97, 9.03, 10, 23.15, 40},
     0.0051                                                                                            },
    {"PERT, P5 - P95",       BT_P05_P95, BT_FORM_PERT,       {23.56, 9.18, 10, 22.72, 40},       0.05  },
    {"lognormal, P5 - P95",
     BT_P05_P95,                         BT_FORM_LOGNORMAL,
     {21.86, 9.64, 10, 20, 40},
     0.0051                                                                                            },
};

static void reading_row(void **state)
{
    const struct reading_row *row = *state;
    struct bt_range r = bt_range_of(10, 20, 40, row->ends);
    r.form = row->form;
    struct bt_law law;
    enum bt_fit_note note;
    assert_true(bt_law_fit(&r, -HUGE_VAL, HUGE_VAL, &law, &note));
    assert_int_equal(note, BT_FIT_PLAIN);
    five(&law, row->want, row->abs, "closed forms and a root finder, derived");
    if (row->ends ==
        BT_P05_P95) { /* the ends are met exactly, whatever the mode is rounded to */
        near(bt_law_quantile(&law, 0.05), 10, 1e-9, "by definition");
        near(bt_law_quantile(&law, 0.95), 40, 1e-9, "by definition");
    }
}

/* ---- which form --------------------------------------------------------------------- */

static void forms(void **state)
{
    (void)state;
    struct bt_range r = bt_range_two(1, 3, BT_P05_P95);
    assert_int_equal(bt_range_form(&r), BT_FORM_PERT);
    near(r.likely, 2, 0, "by definition");
    r = bt_range_two(1, 9, BT_P05_P95);
    assert_int_equal(bt_range_form(&r), BT_FORM_LOGNORMAL);
    near(r.likely, 3, 1e-15, "geometric middle");
    r = bt_range_two(0, 9, BT_P05_P95); /* 0 is no end of a lognormal */
    assert_int_equal(bt_range_form(&r), BT_FORM_PERT);
    r = bt_range_two(1, 9, BT_BOUNDS);
    assert_int_equal(bt_range_form(&r), BT_FORM_UNIFORM);
    r = bt_range_of(1, 2, 9, BT_BOUNDS);
    assert_int_equal(bt_range_form(&r), BT_FORM_PERT);
    r = bt_range_of(2, 2, 2, BT_P05_P95);
    assert_int_equal(bt_range_form(&r), BT_FORM_CONSTANT);
    assert_true(bt_range_is_exact(&r));
    r = bt_range_exact(7);
    assert_true(bt_range_is_exact(&r));
    r = bt_range_scaled(bt_range_of(1, 2, 4, BT_BOUNDS), -2);
    near(r.low, -8, 0, "by definition");
    near(r.likely, -4, 0, "by definition");
    near(r.high, -2, 0, "by definition");
}

/* ---- limits ------------------------------------------------------------------------- */

#define OPEN ((double)NAN) /* clang takes NAN for a float */

static struct limit_row {
    const char *name;
    double low, likely, high, limit_low, limit_high;
    enum bt_fit_note note;
    double true_low, true_high; /* OPEN where only the sweep's rules hold */
} limit_rows[] = {
    {"far from limits",           2,    4,    9,    0,         HUGE_VAL, BT_FIT_PLAIN,        OPEN, OPEN},
    {"low end is 0",              0,    3,    15,   0,         100,      BT_FIT_END_ON_LIMIT, 0,    OPEN},
    {"low end is 0, shares",      0,    0.1,  0.3,  0,         1,        BT_FIT_END_ON_LIMIT, 0,    OPEN},
    {"high end is 1",             0.85, 0.95, 1,    0,         1,        BT_FIT_END_ON_LIMIT, OPEN, 1   },
    {"both ends are limits",      0,    0.4,  1,    0,         1,        BT_FIT_END_ON_LIMIT, 0,    1   },
    {"likely on the low limit",   0,    0,    5,    0,         HUGE_VAL, BT_FIT_END_ON_LIMIT, 0,    OPEN},
    {"likely on the high limit",  0.5,  1,    1,    0,         1,        BT_FIT_END_ON_LIMIT, OPEN, 1   },
    {"a little beyond 0",         1,    4,    9,    0,         HUGE_VAL, BT_FIT_CLAMPED,      OPEN, OPEN},
    {"far beyond 0",              0.1,  5,    9,    0,         HUGE_VAL, BT_FIT_END_MOVED,    0,    OPEN},
    {"far beyond 1",              0.2,  0.5,  0.98, 0,         1,        BT_FIT_END_MOVED,    OPEN, 1   },
    {"likely far from the limit", 0,    0.9,  1,    0,         HUGE_VAL, BT_FIT_LIFTED,       0,    OPEN},
    {"likely far below 1",        0.1,  0.2,  1,    0,         1,        BT_FIT_LIFTED,       OPEN, 1   },
    {"may be negative",           0,    6,    13,   -HUGE_VAL, HUGE_VAL, BT_FIT_PLAIN,        OPEN, OPEN},
};

static void limit_row(void **state)
{
    const struct limit_row *row = *state;
    const struct bt_range r = bt_range_of(row->low, row->likely, row->high, BT_P05_P95);
    struct bt_law law;
    enum bt_fit_note note;
    assert_true(bt_law_fit(&r, row->limit_low, row->limit_high, &law, &note));
    assert_int_equal(note, row->note);
    if (!isnan(row->true_low))
        near(law.low, row->true_low, 0, "the end is the limit");
    else
        near(bt_law_quantile(&law, 0.05), row->low, 1e-9, "the other end is kept as P5");
    if (!isnan(row->true_high))
        near(law.low + law.width, row->true_high, 1e-12, "the end is the limit");
    else
        near(bt_law_quantile(&law, 0.95), row->high, 1e-9, "the other end is kept as P95");
    near(law.low + law.width * law.mode, row->likely, law.width / 256,
         "the likely value is kept");
}

/* What must hold of every law that was fitted. */
static void sound(const struct bt_range *r, double limit_low, double limit_high)
{
    struct bt_law law;
    enum bt_fit_note note;
    assert_true(bt_law_fit(r, limit_low, limit_high, &law, &note));
    double before = -HUGE_VAL;
    for (int k = 1; k < 20; k++) {
        const double x = bt_law_quantile(&law, k / 20.0);
        assert_true(isfinite(x));
        assert_true(x >= limit_low && x <= limit_high);
        assert_true(x >= before);
        before = x;
    }
    assert_true(isfinite(bt_law_mean(&law)) && isfinite(bt_law_sd(&law)));
    assert_true(bt_law_sd(&law) > 0 || !(r->low < r->high));
    if (law.form != BT_FORM_TRUNCATED_NORMAL && law.form != BT_FORM_LOGNORMAL) {
        const double beyond_low = bt_law_below(&law, limit_low);
        assert_true(beyond_low <= 0.02 + 1e-12);
        assert_true(1 - bt_law_below(&law, limit_high) <= 0.02 + 1e-12);
    }
}

static void nothing_is_refused(void **state)
{
    (void)state;
    const enum bt_form all[] = {BT_FORM_AUTO,       BT_FORM_UNIFORM,
                                BT_FORM_TRIANGULAR, BT_FORM_LOGNORMAL,
                                BT_FORM_PERT,       BT_FORM_TRUNCATED_NORMAL};
    const double limits[][2] = {
        {0,         1       },
        {0,         HUGE_VAL},
        {-HUGE_VAL, HUGE_VAL},
        {-HUGE_VAL, 1       }
    };
    for (int i = 0; i < 6 * 4 * 2 * 2; i++) {
        const double *limit = limits[i / 6 % 4];
        for (int low = 0; low <= 20; low += 2)
            for (int likely = low; likely <= 20; likely += 2)
                for (int high = likely > low ? likely : low + 1; high <= 20; high += 2) {
                    struct bt_range r = bt_range_of(low / 20.0, likely / 20.0, high / 20.0,
                                                    i / 24 % 2 ? BT_BOUNDS : BT_P05_P95);
                    r.form = all[i % 6];
                    r.has_likely = i / 48 % 2;
                    sound(&r, limit[0], limit[1]);
                }
    }
}

static void others_are_refused(void **state)
{
    (void)state;
    struct bt_law law;
    enum bt_fit_note note;
    const double bad[][3] = {
        {2,    1, 3       },
        {1,    4, 3       },
        {3,    3, 1       },
        {OPEN, 1, 2       },
        {0,    1, HUGE_VAL},
        {-1,   1, 2       }
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        const struct bt_range r = bt_range_of(bad[i][0], bad[i][1], bad[i][2], BT_P05_P95);
        assert_false(bt_law_fit(&r, 0, HUGE_VAL, &law, &note));
    }
    /* A rounding error of a change of unit is not "beyond the limit". */
    const struct bt_range r = bt_range_of(0.5, 0.9, 1 + 4e-16, BT_P05_P95);
    assert_true(bt_law_fit(&r, 0, 1, &law, &note));
    assert_int_equal(note, BT_FIT_END_ON_LIMIT);
}

static void clamped_moments(void **state)
{
    (void)state; /* uniform on -0.25 .. 0.75 clamped at 0: a lump of 1/4 at 0 */
    const struct bt_law law = {.form = BT_FORM_UNIFORM,
                               .low = -0.25,
                               .width = 1,
                               .clamp_low = 0,
                               .clamp_high = HUGE_VAL};
    near(bt_law_mean(&law), 0.75 * 0.75 / 2, 1e-15, "by hand");
    near(bt_law_sd(&law), sqrt(0.75 * 0.75 * 0.75 / 3 - 0.28125 * 0.28125), 1e-15,
         "by hand");
    near(bt_law_quantile(&law, 0.2), 0, 0, "by hand");
    near(bt_law_quantile(&law, 0.5), 0.25, 1e-15, "by hand");
}

/* ---- tables ------------------------------------------------------------------------- */

static void every_pert_table(void **state)
{
    struct bt_shapes *shapes = bt_shapes_new(*state);
    double worst_inside = 0, worst_outside = 0, worst_bias = 0;
    for (unsigned mode_256 = 0; mode_256 <= 256; mode_256++) {
        const double mode = mode_256 / 256.0;
        const double(*c)[4] = bt_shapes_pert(shapes, mode_256);
        const struct bt_law law = {.form = BT_FORM_PERT,
                                   .width = 1,
                                   .mode = mode,
                                   .clamp_low = -HUGE_VAL,
                                   .clamp_high = HUGE_VAL};
        const double sd = bt_law_sd(&law);
        double sum = 0;
        enum { STEPS = 4096 };
        double before = 0;
        for (int k = 0; k < STEPS; k++) {
            const double t = (k + 0.5) / STEPS;
            const double u = t < 0.5 ? 2 * t * t : 1 - 2 * (1 - t) * (1 - t);
            const double got = bt_table_at(c, u);
            assert_true(got >= before && got <= 1); /* monotone, inside the ends */
            before = got;
            sum += got * 4 * (t < 0.5 ? t : 1 - t) / STEPS;
            if (k % 16 != 3 || u < 1e-6 || u > 1 - 1e-6) /* exact quantiles are slow */
                continue;
            const double error = fabs(got - bt_pert_quantile(mode, u)) / sd;
            double *worst = u >= 0.001 && u <= 0.999 ? &worst_inside : &worst_outside;
            *worst = error > *worst ? error : *worst;
        }
        const double bias = fabs(sum - bt_law_mean(&law)) / sd;
        worst_bias = bias > worst_bias ? bias : worst_bias;
    }
    print_message(
        "PERT tables, in sd: %.1e inside 0.1..99.9 %%, %.1e to 1e-6 outside, bias %.1e\n",
        worst_inside, worst_outside, worst_bias);
    check_between(worst_inside, 0, 1e-4, "review-engineering.md 6, measured 3e-5");
    check_between(worst_outside, 0, 0.25,
                  "measured: 0.2 with the mode on an end, u near 1e-6");
    check_between(worst_bias, 0, 1e-5, "review-engineering.md 6, measured 3e-6");
}

static void normal_tables(void **state)
{
    struct bt_shapes *shapes = bt_shapes_new(*state);
    const double(*quantile)[4] = bt_shapes_normal(shapes);
    double before = -HUGE_VAL;
    for (int k = 1; k < 100000; k++) {
        const double u = k / 100000.0;
        const double got = bt_table_at(quantile, u);
        assert_true(got > before);
        before = got;
        check_between(fabs(got - gsl_cdf_ugaussian_Pinv(u)), 0,
                      u > 1e-3 && u < 1 - 1e-3 ? 2e-5 : 5e-2, "gsl_cdf_ugaussian_Pinv");
    }
    check_between(bt_table_at(quantile, 1e-12), -9, -4.5, "finite tail");
    const double(*cdf)[4] = bt_shapes_normal_cdf(shapes);
    for (double z = -7.99; z < 8; z += 0.0371) {
        const double at = (z + 8) * BT_CDF_CELLS_PER_SD;
        const double *c = cdf[(int)at];
        const double x = at - floor(at);
        near(c[0] + x * (c[1] + x * (c[2] + x * c[3])), gsl_cdf_ugaussian_P(z), 5e-9,
             "gsl_cdf_ugaussian_P");
    }
}

static void remembered_fits(void **state)
{
    struct bt_shapes *shapes = bt_shapes_new(*state);
    for (int round = 0; round < 2; round++)
        for (int i = 0; i < 3000; i++) { /* more than are remembered */
            const struct bt_range r = bt_range_of(1, 2 + i / 3000.0, 4, BT_P05_P95);
            struct bt_law a, b;
            enum bt_fit_note note_a, note_b;
            assert_true(bt_shapes_law(shapes, &r, 0, HUGE_VAL, &a, &note_a));
            if (i % 100 == 0) {
                assert_true(bt_law_fit(&r, 0, HUGE_VAL, &b, &note_b));
                assert_true(a.low == b.low && a.width == b.width &&
                            a.mode_256 == b.mode_256);
                assert_int_equal(note_a, note_b);
            }
        }
    assert_true(bt_shapes_first_time(shapes, 5));
    assert_false(bt_shapes_first_time(shapes, 5));
    assert_true(bt_shapes_first_time(shapes, 6));
}

static int with_arena(void **state)
{
    *state = bt_arena_new((size_t)1 << 16, out_of_memory, NULL);
    return *state ? 0 : -1;
}

static int without_arena(void **state)
{
    bt_arena_free(*state);
    return 0;
}

#define COUNT(rows) (sizeof(rows) / sizeof(rows)[0])

int main(void)
{
    gsl_set_error_handler_off();
    struct CMUnitTest t[COUNT(reading_rows) + COUNT(limit_rows)];
    size_t n = 0;
    for (size_t i = 0; i < COUNT(reading_rows); i++)
        t[n++] = (struct CMUnitTest){reading_rows[i].name, reading_row, NULL, NULL,
                                     &reading_rows[i]};
    for (size_t i = 0; i < COUNT(limit_rows); i++)
        t[n++] =
            (struct CMUnitTest){limit_rows[i].name, limit_row, NULL, NULL, &limit_rows[i]};
    const struct CMUnitTest whole[] = {
        cmocka_unit_test(forms),
        cmocka_unit_test(nothing_is_refused),
        cmocka_unit_test(others_are_refused),
        cmocka_unit_test(clamped_moments),
        cmocka_unit_test_setup_teardown(every_pert_table, with_arena, without_arena),
        cmocka_unit_test_setup_teardown(normal_tables, with_arena, without_arena),
        cmocka_unit_test_setup_teardown(remembered_fits, with_arena, without_arena),
    };
    int failed = cmocka_run_group_tests_name("readings and limits", t, NULL, NULL);
    failed += cmocka_run_group_tests_name("fits and tables", whole, NULL, NULL);
    return failed != 0;
}
