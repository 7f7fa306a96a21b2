/* Shapes that somebody chose: fits, and the words behind a range. */
#include "check.h"

#include <gsl/gsl_errno.h>

#include "shape/range.h"

static void near(double got, double want, double abs, const char *source)
{
    check_between(got, want - abs, want + abs, source);
}

/* Ends read as P5 and P95 are met by every form; bounds are never passed. */
static struct chosen_row {
    const char *name;
    double low, likely, high, limit_low, limit_high;
    enum bt_form wanted, got;
} chosen_rows[] = {
    {"triangular",                   2,   3,   4,    0,         HUGE_VAL, BT_FORM_TRIANGULAR,       BT_FORM_TRIANGULAR},
    {"PERT",                         2,   3,   4,    0,         HUGE_VAL, BT_FORM_PERT,             BT_FORM_PERT      },
    {"uniform",                      2,   3,   4,    0,         HUGE_VAL, BT_FORM_UNIFORM,          BT_FORM_UNIFORM   },
    {"lognormal",                    2,   3,   9,    0,         HUGE_VAL, BT_FORM_LOGNORMAL,        BT_FORM_LOGNORMAL },
    {"lognormal of shares",          0.1, 0.2, 0.4,  0,         1,        BT_FORM_LOGNORMAL,        BT_FORM_LOGNORMAL },
    {"normal",                       2,   3,   4,    -HUGE_VAL, HUGE_VAL, BT_FORM_TRUNCATED_NORMAL,
     BT_FORM_TRUNCATED_NORMAL                                                                                         },
    {"normal far from 0",            8,   10,  12,   0,         HUGE_VAL, BT_FORM_TRUNCATED_NORMAL,
     BT_FORM_TRUNCATED_NORMAL                                                                                         },
    {"normal cut by 0",              0.9, 5,   12,   0,         HUGE_VAL, BT_FORM_TRUNCATED_NORMAL,
     BT_FORM_TRUNCATED_NORMAL                                                                                         },
    {"normal cut by 0 and 1",        0.1, 0.5, 0.8,  0,         1,        BT_FORM_TRUNCATED_NORMAL,
     BT_FORM_TRUNCATED_NORMAL                                                                                         },
    {"no normal: as good as an end", 0.1, 5,   20,   0,         HUGE_VAL, BT_FORM_TRUNCATED_NORMAL,
     BT_FORM_PERT                                                                                                     },
    {"no lognormal: from 0",         0,   3,   9,    0,         HUGE_VAL, BT_FORM_LOGNORMAL,        BT_FORM_PERT      },
    {"no lognormal: beyond 1",       0.2, 0.5, 0.98, 0,         1,        BT_FORM_LOGNORMAL,        BT_FORM_PERT      },
};

static void chosen_row(void **state)
{
    const struct chosen_row *row = *state;
    for (int ends = 0; ends < 2; ends++) {
        struct bt_range r =
            bt_range_of(row->low, row->likely, row->high, ends ? BT_BOUNDS : BT_P05_P95);
        struct bt_law law;
        enum bt_fit_note note;
        r = bt_range_shaped(r, row->wanted);
        assert_true(bt_law_fit(&r, row->limit_low, row->limit_high, &law, &note));
        if (ends) {
            near(bt_law_quantile(&law, 1e-12), row->low, (row->high - row->low) / 100,
                 "bounds are the ends");
            assert_true(bt_law_quantile(&law, 1e-12) >= row->low);
            assert_true(bt_law_quantile(&law, 1 - 1e-12) <= row->high);
            continue;
        }
        assert_int_equal(law.form, row->got);
        if (row->got != row->wanted)
            continue;
        near(bt_law_quantile(&law, 0.05), row->low, 1e-9 * row->high, "P5 as stated");
        near(bt_law_quantile(&law, 0.95), row->high, 1e-9 * row->high, "P95 as stated");
    }
}

/* A lognormal between bounds: the same normal score, cut; by numerical integration of the
 * density over 10 .. 40. */
static void lognormal_between_bounds(void **state)
{
    (void)state;
    struct bt_range r = bt_range_of(10, 20, 40, BT_BOUNDS);
    struct bt_law law;
    enum bt_fit_note note;
    r = bt_range_shaped(r, BT_FORM_LOGNORMAL);
    assert_true(bt_law_fit(&r, 0, HUGE_VAL, &law, &note));
    assert_int_equal(law.form, BT_FORM_LOGNORMAL);
    double n = 0, sum = 0, square = 0;
    enum { STEPS = 1 << 16 };
    for (int i = 0; i < STEPS; i++) {
        const double x = 10 + 30 * (i + 0.5) / STEPS;
        const double z = (log(x) - log(20)) / law.sigma;
        const double density = exp(-z * z / 2) / x;
        n += density;
        sum += density * x;
        square += density * x * x;
    }
    near(bt_law_mean(&law), sum / n, 1e-7, "integration, derived");
    near(bt_law_sd(&law), sqrt(square / n - sum / n * (sum / n)), 1e-7,
         "integration, derived");
    near(bt_law_quantile(&law, 0.5), 20, 1e-9, "symmetric in the logarithm");
}

static void normal_from_a_limit(void **state)
{
    (void)state;
    struct bt_range r = bt_range_of(0, 2, 9, BT_P05_P95);
    struct bt_law law;
    enum bt_fit_note note;
    r = bt_range_shaped(r, BT_FORM_TRUNCATED_NORMAL);
    assert_true(bt_law_fit(&r, 0, HUGE_VAL, &law, &note));
    assert_int_equal(law.form, BT_FORM_TRUNCATED_NORMAL);
    assert_int_equal(note, BT_FIT_END_ON_LIMIT);
    near(law.mu, 2, 0, "the likely value takes the place of the end");
    near(bt_law_quantile(&law, 0.95), 9, 1e-9, "the other end is P95");
}

static void words(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        size_t left;
        enum bt_form form;
        enum bt_ends ends;
    } row[] = {
        {"2..3..4 kg triangular",  10, BT_FORM_TRIANGULAR,       BT_P05_P95},
        {"2..4 kg Bounds UNIFORM", 7,  BT_FORM_UNIFORM,          BT_BOUNDS },
        {"2..4 normal bounds",     4,  BT_FORM_TRUNCATED_NORMAL, BT_BOUNDS },
        {"2..4 lognormal",         4,  BT_FORM_LOGNORMAL,        BT_P05_P95},
        {"2..4 pert",              4,  BT_FORM_PERT,             BT_P05_P95},
        {"bounds",                 0,  BT_FORM_AUTO,             BT_BOUNDS },
        {"2..4 uniform normal",    12, BT_FORM_TRUNCATED_NORMAL, BT_P05_P95},
        {"2..4 abnormal",          13, BT_FORM_AUTO,             BT_P05_P95},
        {"",                       0,  BT_FORM_AUTO,             BT_P05_P95},
    };
    for (size_t k = 0; k < sizeof row / sizeof row[0]; k++) {
        enum bt_form form = BT_FORM_AUTO;
        enum bt_ends ends = BT_P05_P95;
        assert_int_equal(bt_range_words(row[k].text, &form, &ends), row[k].left);
        assert_int_equal(form, row[k].form);
        assert_int_equal(ends, row[k].ends);
    }
    assert_string_equal(bt_form_word(BT_FORM_LOGNORMAL), "lognormal");
    assert_string_equal(bt_form_word(BT_FORM_AUTO), "");
    struct bt_range r = bt_range_shaped(bt_range_two(1, 9, BT_P05_P95), BT_FORM_TRIANGULAR);
    near(r.likely, 5, 0, "the arithmetic middle");
    r = bt_range_shaped(bt_range_two(4, 9, BT_P05_P95), BT_FORM_LOGNORMAL);
    near(r.likely, 6, 1e-15, "the geometric middle");
}

#define COUNT(rows) (sizeof(rows) / sizeof(rows)[0])

int main(void)
{
    gsl_set_error_handler_off();
    struct CMUnitTest chosen[COUNT(chosen_rows)];
    for (size_t i = 0; i < COUNT(chosen_rows); i++)
        chosen[i] = (struct CMUnitTest){chosen_rows[i].name, chosen_row, NULL, NULL,
                                        &chosen_rows[i]};
    const struct CMUnitTest rest[] = {
        cmocka_unit_test(lognormal_between_bounds),
        cmocka_unit_test(normal_from_a_limit),
        cmocka_unit_test(words),
    };
    int failed = cmocka_run_group_tests_name("chosen shapes", chosen, NULL, NULL);
    failed += cmocka_run_group_tests_name("cut laws and words", rest, NULL, NULL);
    return failed != 0;
}
