/* The linear program against sums done by hand, against a published optimum of our own
 * research (another solver agreed with it), and against GLPK's own program on the same
 * model written out. */
#include "check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "plan/choose.h"

static void no_memory(void *context)
{
    (void)context;
    abort();
}

static int setup(void **state)
{
    *state = bt_arena_new(1 << 16, no_memory, NULL);
    return *state ? 0 : -1;
}

static int teardown(void **state)
{
    bt_arena_free(*state);
    return 0;
}

static const double FREE[] = {HUGE_VAL, HUGE_VAL, HUGE_VAL, HUGE_VAL};
static const char *const NAMES[] = {"a", "b", "c", "d"};

/* ---- by hand ------------------------------------------------------------------------- */

/* OC-16: needs N 3.5, P2O5 1.75, K2O 3.5 lb; bags 21-22-4, 32-0-4, 0-0-60. */
static void three_bags(void **state)
{
    static const char *const source =
        "OC-16, Ask Extension 603771, read; 7.95, 5.72 and 4.92 lb are arithmetic on it";
    const double n[] = {0.21, 0.32, 0}, p[] = {0.22, 0, 0}, k[] = {0.04, 0.04, 0.60};
    const struct bt_choice_row row[] = {
        {"N",    BT_CHOICE_NEED, 3.5,  0, n, 0},
        {"P2O5", BT_CHOICE_NEED, 1.75, 0, p, 0},
        {"K2O",  BT_CHOICE_NEED, 3.5,  0, k, 0},
    };
    const double cost[] = {1, 1, 1};
    const struct bt_choice_model m = {3, NAMES, cost, FREE, NULL, 3, row, 0, 0};
    struct bt_choice c;
    assert_true(bt_choose(*state, &m, &c));
    check_close(c.x[0], 7.95, 0.01 / 7.95, source);
    check_close(c.x[1], 5.72, 0.01 / 5.72, source);
    check_close(c.x[2], 4.92, 0.01 / 4.92, source);
    check_close(c.x[0] * n[0], 1.67, 0.01, source);
    check_close(c.x[0], 8, 0.06, "OC-16, the expert's own rounding: about 8");
    check_close(c.x[1], 5.6, 0.03, "OC-16, the expert's own rounding: 5.6");
    assert_true(c.short_sum == 0);
}

/* OX-04: phosphate first, then the rest of the nitrogen. */
static void phosphate_first(void **state)
{
    static const char *const source =
        "OX-04, Backyard Gardener, read; one decimal, carried";
    const double n[] = {0.11, 0.21}, p[] = {0.55, 0};
    const struct bt_choice_row row[] = {
        {"N",    BT_CHOICE_NEED, 3, 0, n, 0},
        {"P2O5", BT_CHOICE_NEED, 1, 0, p, 0},
    };
    const double cost[] = {1, 1};
    const struct bt_choice_model m = {2, NAMES, cost, FREE, NULL, 2, row, 0, 0};
    struct bt_choice c;
    assert_true(bt_choose(*state, &m, &c));
    check_close(c.x[0], 1.8, 0.05 / 1.8, source);
    check_close(c.x[1], 13.3, 0.1 / 13.3, source);
}

/* OC-08: 0.3 lb N for 100 sq ft by the lab's equivalents, no synthetics; the dearest in
 * mass is not taken when the mass is what costs. */
static void labs_equivalents(void **state)
{
    static const char *const source =
        "OC-08, lab letter of 2018, read: per 0.1 lb N 3/4 lb "
        "blood meal, 1 lb corn gluten, 5 lb alfalfa";
    const double n[] = {0.1 / 0.75, 0.1 / 1, 0.1 / 5};
    const struct bt_choice_row row[] = {
        {"N", BT_CHOICE_NEED, 0.3, 0, n, 0}
    };
    const double cost[] = {1, 1, 1}, no_blood[] = {0, HUGE_VAL, HUGE_VAL},
                 only_alfalfa[] = {0, 0, HUGE_VAL};
    struct bt_choice_model m = {3, NAMES, cost, FREE, NULL, 1, row, 0, 0};
    struct bt_choice c;
    assert_true(bt_choose(*state, &m, &c));
    check_close(c.x[0], 2.25, 1e-9, source);
    m.most = no_blood;
    assert_true(bt_choose(*state, &m, &c));
    check_close(c.x[1], 3, 1e-9, source);
    m.most = only_alfalfa;
    assert_true(bt_choose(*state, &m, &c));
    check_close(c.x[2], 15, 1e-9, source);
}

/* Two materials, by the corner: a gives 1, b gives 2, at most 3 of b; need 10, then a = 4.
 * The price of one more unit of the need is that of a. */
static void corner(void **state)
{
    const double n[] = {1, 2}, cost[] = {5, 1}, most[] = {HUGE_VAL, 3};
    const struct bt_choice_row row[] = {
        {"N", BT_CHOICE_NEED, 10, 0, n, 0}
    };
    const struct bt_choice_model m = {2, NAMES, cost, most, NULL, 1, row, 0, 0};
    struct bt_choice c;
    assert_true(bt_choose(*state, &m, &c));
    check_close(c.x[0], 4, 1e-9, "by hand");
    check_close(c.x[1], 3, 1e-9, "by hand");
    check_close(c.cost, 23, 1e-9, "by hand");
    check_close(c.price[0], 5, 1e-9, "by hand");
    assert_true(c.binds[0]);
}

/* A limit that fights with the need: the shortage is least, and the limit is named. */
static void limit_fights(void **state)
{
    const double n[] = {1, 0.5}, heavy[] = {1, 1}, idle[] = {1, 0};
    const double cost[] = {1, 1};
    const struct bt_choice_row row[] = {
        {"N",       BT_CHOICE_NEED,  10, 0, n,     0},
        {"dose",    BT_CHOICE_LIMIT, 6,  0, heavy, 0},
        {"another", BT_CHOICE_LIMIT, 99, 0, idle,  0},
    };
    const struct bt_choice_model m = {2, NAMES, cost, FREE, NULL, 3, row, 0, 0};
    struct bt_choice c;
    assert_true(bt_choose(*state, &m, &c));
    check_close(c.short_sum, 4, 1e-6, "by hand: 6 of the better one gives 6 of 10");
    check_close(c.x[0], 6, 1e-6, "by hand");
    assert_true(c.fights[1]);
    assert_false(c.fights[2]);
}

/* What is beyond a soft limit is paid for; a dearer column without it wins. */
static void soft_limit(void **state)
{
    const double n[] = {1, 1}, p[] = {2, 0}, cost[] = {1, 2.5};
    const struct bt_choice_row row[] = {
        {"N",      BT_CHOICE_NEED, 10, 0, n, 0},
        {"beyond", BT_CHOICE_SOFT, 4,  1, p, 0},
    };
    const struct bt_choice_model m = {2, NAMES, cost, FREE, NULL, 2, row, 0, 0};
    struct bt_choice c;
    assert_true(bt_choose(*state, &m, &c));
    check_close(c.x[0], 2, 1e-9, "by hand: a until the soft limit, b after it");
    check_close(c.x[1], 8, 1e-9, "by hand");
    check_close(c.cost, 22, 1e-9, "by hand");
}

/* Two materials cost 10.2 together; one alone costs 10.5, five in a hundred more at most.
 */
static void fewer_materials(void **state)
{
    const double n[] = {1, 1}, p[] = {1, 0}, cost[] = {1, 1.05};
    const struct bt_choice_row row[] = {
        {"N", BT_CHOICE_NEED,  10, 0, n, 0},
        {"P", BT_CHOICE_LIMIT, 6,  0, p, 0},
    };
    const struct bt_choice_model m = {2, NAMES, cost, FREE, NULL, 2, row, 0, 0};
    struct bt_choice c;
    assert_true(bt_choose(*state, &m, &c));
    check_close(c.cost, 10.2, 1e-9, "by hand");
    assert_true(bt_choose_fewest(*state, &m, 0.05, 0, &c));
    check_close(c.x[0], 0, 1e-9, "by hand");
    check_close(c.x[1], 10, 1e-9, "by hand");
    assert_true(bt_choose_fewest(*state, &m, 0.01, 0, &c));
    check_close(c.x[0], 6, 1e-9, "by hand: a material less would be too dear");
}

/* ---- packages ---- */

static void packages(void **state)
{
    const double size[] = {5, 25}, price[] = {12, 38};
    double count[2];
    assert_true(bt_choose_packages(*state, 2, size, price, 3, count));
    check_close(count[0], 1, 0, "by hand: one small bag");
    check_close(count[1], 0, 0, "by hand");
    assert_true(bt_choose_packages(*state, 2, size, price, 27, count));
    check_close(count[0], 1, 0, "by hand: 38 + 12 is less than 76");
    check_close(count[1], 1, 0, "by hand");
    assert_true(bt_choose_packages(*state, 2, size, price, 17, count));
    check_close(count[1], 1, 0, "by hand: one large, not four small");
    assert_true(bt_choose_packages(*state, 2, size, price, 0, count));
    check_close(count[0] + count[1], 0, 0, "nothing wanted");
    assert_false(bt_choose_packages(*state, 0, size, price, 1, count));
}

/* OC-16: one bag of 4 lb of potash is not enough for 4.92 lb. */
static void potash_bags(void **state)
{
    const double size[] = {4}, price[] = {9};
    double count[1];
    assert_true(bt_choose_packages(*state, 1, size, price, 4.92, count));
    check_close(count[0], 2, 0, "OC-16: more than one 4 lb bag (1.23)");
}

/* ---- what is no model ---- */

static void refused(void **state)
{
    const double n[] = {1}, bad[] = {(double)NAN}, cost[] = {1}, below[] = {-1};
    struct bt_choice_row row[] = {
        {"N", BT_CHOICE_NEED, 10, 0, n, 0}
    };
    struct bt_choice_model m = {1, NAMES, cost, FREE, NULL, 1, row, 0, 0};
    struct bt_choice c;
    assert_true(bt_choose(*state, &m, &c));
    row[0].gives = bad;
    assert_false(bt_choose(*state, &m, &c));
    row[0].gives = n;
    row[0].bound = HUGE_VAL;
    assert_false(bt_choose(*state, &m, &c));
    row[0].bound = 10;
    m.cost = bad;
    assert_false(bt_choose(*state, &m, &c));
    m.cost = cost;
    m.most = below;
    assert_false(bt_choose(*state, &m, &c));
    m.most = FREE;
    m.n_columns = 0;
    assert_true(bt_choose(*state, &m, &c));
    check_close(c.short_sum, 10, 1e-12, "nothing to choose from: all of it is short");
}

/* ---- against glpsol ---- */

/* The objective as glpsol prints it: "Objective:  cost = 4.64 (MINimum)". */
static double objective_of(const char *report)
{
    char line[512];
    double value = (double)NAN;
    FILE *f = fopen(report, "rb");
    assert_non_null(f);
    while (fgets(line, sizeof line, f))
        if (strncmp(line, "Objective:", 10) == 0)
            value = strtod(strchr(line, '=') + 1, NULL);
    fclose(f);
    return value;
}

static double solved_elsewhere(struct bt_arena *a, const struct bt_choice_model *m)
{
    const char *tmp = getenv("TMPDIR");
    char *folder = bt_arena_format(a, "%s/bedtally-lp-XXXXXX", tmp ? tmp : "/tmp");
    assert_non_null(mkdtemp(folder));
    const char *model = bt_arena_format(a, "%s/model.lp", folder);
    const char *report = bt_arena_format(a, "%s/report.txt", folder);
    assert_true(bt_choose_write(a, m, model));
    const char *command =
        bt_arena_format(a, "glpsol --lp '%s' -o '%s' >/dev/null 2>&1", model, report);
    if (system(command) != 0)
        fail_msg("glpsol (package glpk-utils) is not there or failed");
    const double value = objective_of(report);
    remove(model);
    remove(report);
    rmdir(folder);
    return value;
}

static void known_optimum(void **state)
{
    static const char *const source =
        "uncertainty-checks GLPK-LP, computed with GLPK 5.0 and with HiGHS of scipy";
    const double cost[] = {4, 3, 2.5, 0.2}, most[] = {HUGE_VAL, HUGE_VAL, HUGE_VAL, 8};
    const double n[] = {120, 30, 0, 4}, p[] = {0, 150, 0, 5}, k[] = {0, 0, 220, 10};
    const struct bt_choice_row row[] = {
        {"N",      BT_CHOICE_NEED,  120, 0, n, 0},
        {"P",      BT_CHOICE_NEED,  40,  0, p, 0},
        {"K",      BT_CHOICE_NEED,  90,  0, k, 0},
        {"P most", BT_CHOICE_LIMIT, 80,  0, p, 0},
    };
    const struct bt_choice_model m = {4, NAMES, cost, most, NULL, 4, row, 0, 0};
    struct bt_choice c;
    assert_true(bt_choose(*state, &m, &c));
    check_close(c.cost, 4.646969697, 1e-8, source);
    check_close(c.x[0], 0.733333333, 1e-8, source);
    check_close(c.x[2], 0.045454545, 1e-7, source);
    check_close(c.x[3], 8, 1e-9, source);
    check_close(c.price[0], 0.033333333, 1e-7, source);
    check_close(c.price[2], 0.011363636, 1e-7, source);
    check_close(solved_elsewhere(*state, &m), 4.646969697, 1e-5, "glpsol, six figures");
}

/* Models of the shape that gardens make, from a fixed sequence. */
static double next_number(uint64_t *seed)
{
    *seed = *seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
    return (double)(*seed >> 40) / (double)(1 << 24);
}

static void random_models(void **state)
{
    enum { COLUMNS = 12, ROWS = 14, MODELS = 12 };
    uint64_t seed = 20260612;
    for (int model = 0; model < MODELS; model++) {
        static const char *const names[COLUMNS] = {"c1", "c2", "c3", "c4",  "c5",  "c6",
                                                   "c7", "c8", "c9", "c10", "c11", "c12"};
        double cost[COLUMNS], most[COLUMNS], gives[ROWS][COLUMNS];
        struct bt_choice_row row[ROWS];
        for (int j = 0; j < COLUMNS; j++) {
            cost[j] = next_number(&seed);
            most[j] = j % 3 == 0 ? 2 + 5 * next_number(&seed) : HUGE_VAL;
        }
        for (int i = 0; i < ROWS; i++) {
            const enum bt_choice_row_kind kind = i < 7    ? BT_CHOICE_NEED
                                                 : i < 12 ? BT_CHOICE_LIMIT
                                                          : BT_CHOICE_SOFT;
            for (int j = 0; j < COLUMNS; j++)
                gives[i][j] = next_number(&seed) < 0.5 ? 0 : next_number(&seed);
            row[i] =
                (struct bt_choice_row){bt_arena_format(*state, "r%d", i),
                                       kind,
                                       kind == BT_CHOICE_NEED ? 8 * next_number(&seed)
                                                              : 6 + 6 * next_number(&seed),
                                       kind == BT_CHOICE_SOFT ? 1 : 0,
                                       gives[i],
                                       0};
        }
        const struct bt_choice_model m = {COLUMNS, names, cost, most, NULL,
                                          ROWS,    row,   0,    0};
        struct bt_choice c;
        assert_true(bt_choose(*state, &m, &c));
        check_close(solved_elsewhere(*state, &m), c.cost, 1e-4,
                    "glpsol on the same model written out, six figures");
        for (int i = 7; i < 12; i++) {
            double sum = 0;
            for (int j = 0; j < COLUMNS; j++)
                sum += gives[i][j] * c.x[j];
            assert_true(sum <= row[i].bound * (1 + 1e-9) + 1e-9);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(three_bags),       cmocka_unit_test(phosphate_first),
        cmocka_unit_test(labs_equivalents), cmocka_unit_test(corner),
        cmocka_unit_test(limit_fights),     cmocka_unit_test(soft_limit),
        cmocka_unit_test(fewer_materials),  cmocka_unit_test(packages),
        cmocka_unit_test(potash_bags),      cmocka_unit_test(refused),
        cmocka_unit_test(known_optimum),    cmocka_unit_test(random_models),
    };
    return cmocka_run_group_tests_name("amend_choose", tests, setup, teardown) != 0;
}
