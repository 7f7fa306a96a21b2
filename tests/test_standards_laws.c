/* Laws and sums of laws against closed forms and quadrature: each law as it is known
 * exactly and as it is drawn, a million times; ranges read backwards into laws. All values
 * are derived (worked out anew with two other programs); rows are those of
 * docs/uncertainty-checks.md. */
#include "standards.h"

#include "shape/standard.h"

/* ---- seventeen laws ----------------------------------------------------------------- */

#define BETWEEN(law, a, m, b)                                                              \
    {                                                                                      \
        .form = (law), .low = (a), .width = (b) - (a), .mode = ((m) - (a)) / ((b) - (a)),  \
        .clamp_low = -HUGE_VAL, .clamp_high = HUGE_VAL                                     \
    }
/* Of 10 .. 40, z normal scores on either side of the middle; ln 20 and ln 2. */
#define LOGNORMAL(z)                                                                       \
    {                                                                                      \
        .form = BT_FORM_LOGNORMAL, .mu = 2.995732273553991,                                \
        .sigma = 0.6931471805599453 / (z), .clamp_low = -HUGE_VAL, .clamp_high = HUGE_VAL  \
    }
#define CUT(mean, sd, low_end, high_end)                                                   \
    {                                                                                      \
        .form = BT_FORM_TRUNCATED_NORMAL, .mu = (mean), .sigma = (sd),                     \
        .clamp_low = (low_end), .clamp_high = (high_end)                                   \
    }

/* clang-format off */
static struct law_row {
    const char *name;
    struct bt_law law;
    double want[5];   /* mean, sd, P5, P50, P95 */
    double within[5]; /* five standard errors of a million draws */
} law_rows[] = {
    {"TRI-2_4_9", BETWEEN(BT_FORM_TRIANGULAR, 2.0, 4.0, 9.0),
     {5, 1.471960144, 2.836660027, 4.816699867, 7.677124344},
     {0.0074, 0.0088, 0.0091, 0.01, 0.014}},
    {"TRI-10_20_40", BETWEEN(BT_FORM_TRIANGULAR, 10.0, 20.0, 40.0),
     {23.33333333, 6.236095645, 13.87298335, 22.67949192, 34.52277442},
     {0.031, 0.037, 0.042, 0.043, 0.06}},
    {"TRI-0p05_0p1_0p25", BETWEEN(BT_FORM_TRIANGULAR, 0.05, 0.1, 0.25),
     {0.1333333333, 0.04249182928, 0.07236067977, 0.1275255129, 0.2112701665},
     {0.00021, 0.00025, 0.00024, 0.00031, 0.00042}},
    {"TRI-0_1_1", BETWEEN(BT_FORM_TRIANGULAR, 0.0, 1.0, 1.0),
     {0.6666666667, 0.2357022604, 0.2236067977, 0.7071067812, 0.9746794345},
     {0.0012, 0.0014, 0.0024, 0.0018, 0.00056}},
    {"TRI-5_5_20", BETWEEN(BT_FORM_TRIANGULAR, 5.0, 5.0, 20.0),
     {10, 3.535533906, 5.379808483, 9.393398282, 16.64589803},
     {0.018, 0.021, 0.0084, 0.027, 0.037}},
    {"PERT-2_4_9", BETWEEN(BT_FORM_PERT, 2.0, 4.0, 9.0),
     {4.5, 1.267731382, 2.630158653, 4.382588601, 6.773921493},
     {0.0063, 0.0076, 0.007, 0.0088, 0.014}},
    {"PERT-10_20_40", BETWEEN(BT_FORM_PERT, 10.0, 20.0, 40.0),
     {21.66666667, 5.527707984, 13.28497176, 21.27437521, 31.3986216},
     {0.028, 0.033, 0.034, 0.039, 0.057}},
    {"PERT-0p05_0p1_0p25", BETWEEN(BT_FORM_PERT, 0.05, 0.1, 0.25),
     {0.1166666667, 0.03563483225, 0.06528807828, 0.1127620341, 0.1814816636},
     {0.00018, 0.00021, 0.00018, 0.00025, 0.00041}},
    {"PERT-0_1_1", BETWEEN(BT_FORM_PERT, 0.0, 1.0, 1.0),
     {0.8333333333, 0.1408590425, 0.5492802717, 0.8705505633, 0.9897937817},
     {0.0007, 0.00085, 0.0024, 0.00087, 0.00023}},
    {"PERT-5_5_20", BETWEEN(BT_FORM_PERT, 5.0, 5.0, 20.0),
     {7.5, 2.112885637, 5.153093275, 6.941741551, 11.76079593},
     {0.011, 0.013, 0.0034, 0.013, 0.036}},
    {"LOGN-80", LOGNORMAL(1.2815515655446004),
     {23.15012274, 13.49516061, 8.216033079, 20, 48.68529571},
     {0.067, 0.081, 0.047, 0.068, 0.28}},
    {"LOGN-90", LOGNORMAL(1.6448536269514722),
     {21.8570332, 9.635078822, 10, 20, 40},
     {0.048, 0.058, 0.045, 0.053, 0.18}},
    {"LOGN-95", LOGNORMAL(1.959963984540054),
     {21.29063921, 7.771179417, 11.17886366, 20, 35.78181219},
     {0.039, 0.047, 0.042, 0.044, 0.13}},
    {"TNORM-0_1_-1_2", CUT(0, 1, -1, 2),
     {0.2296371791, 0.7209455869, -0.8431045589, 0.171163918, 1.524596683},
     {0.0036, 0.0043, 0.0032, 0.0052, 0.0071}},
    {"TNORM-30_10_0_inf", CUT(30, 10, 0, HUGE_VAL),
     {30.04437839, 9.93311023, 13.67455378, 30.01691847, 46.45508408},
     {0.05, 0.06, 0.1, 0.063, 0.11}},
    {"TNORM-0p6_0p2_0_1", CUT(0.6, 0.2, 0, 1),
     {0.5898434021, 0.1868848458, 0.271309933, 0.5946351135, 0.8928759185},
     {0.00093, 0.0011, 0.0021, 0.0012, 0.0016}},
    {"TNORM-5_4_0_inf", CUT(5, 4, 0, HUGE_VAL),
     {5.816901836, 3.353827994, 0.8605623344, 5.531206717, 11.79354209},
     {0.017, 0.02, 0.017, 0.023, 0.041}},
};
/* clang-format on */

static void known_exactly(const struct law_row *row)
{
    const struct bt_law *law = &row->law;
    check_close(bt_law_mean(law), row->want[0], 1e-9, row->name);
    check_close(bt_law_sd(law), row->want[1], 1e-9, row->name);
    check_close(bt_law_quantile(law, 0.05), row->want[2], 1e-7, row->name);
    check_close(bt_law_quantile(law, 0.50), row->want[3], 1e-7, row->name);
    check_close(bt_law_quantile(law, 0.95), row->want[4], 1e-7, row->name);
    for (double p = 0.05; p < 1; p += 0.05)
        near(bt_law_below(law, bt_law_quantile(law, p)), p, 1e-9, "by definition");
}

static void law_row(void **state)
{
    const struct law_row *row = *state;
    known_exactly(row);
    void *arena = NULL;
    assert_int_equal(set_up(&arena), 0);
    double *x = bt_arena_alloc(arena, TRIALS * sizeof *x), u[BT_BLOCK];
    /* The tables of PERT shapes come in 256ths of the width, which moves a mode, and with
     * it any quantile, by half of that at most. */
    struct bt_law drawn = row->law;
    double rounding = 0;
    if (drawn.form == BT_FORM_PERT) {
        drawn.mode_256 = (unsigned)lrint(256 * drawn.mode);
        rounding = fabs(drawn.mode_256 / 256.0 - drawn.mode) * drawn.width;
        drawn.mode = drawn.mode_256 / 256.0;
    }
    const struct bt_drawer d =
        bt_drawer_new(bt_shapes_new(arena), &drawn, 1, row->name, NULL, 0);
    for (size_t i = 0; i < TRIALS; i += BT_BLOCK)
        bt_drawer_fill(&d, i, u, x + i);
    const struct bt_spread s =
        bt_spread_of(bt_summary_room_new(arena, TRIALS), TRIALS, x, 0);
    const double got[5] = {s.mean, s.sd, s.p05, s.p50, s.p95};
    for (int k = 0; k < 5; k++)
        near(got[k], row->want[k], row->within[k] + rounding, row->name);
    tear_down(&arena);
}

/* ---- 10, 20, 40 read in eight ways -------------------------------------------------- */

/* Laws with a mode of 20 between ends that make 10 and 40 their P5 and P95, or P10 and P90:
 * ends by a root finder elsewhere. */
static const struct backwards {
    const char *name;
    struct bt_law law;
    double p, end_within, sd;
} backwards[] = {
    {"REV-TRI90",  BETWEEN(BT_FORM_TRIANGULAR, 4.1085911,    20, 47.7909342), 0.05, 1e-6,
     9.026227                                                                                     },
    {"REV-TRI80",  BETWEEN(BT_FORM_TRIANGULAR, -0.522562047, 20, 53.429918),  0.10, 1e-6,
     11.117560                                                                                    },
    {"REV-PERT90", BETWEEN(BT_FORM_PERT,       5.38125841,   20, 55.9838677), 0.05, 1e-5, 9.176346},
    {"REV-PERT80", BETWEEN(BT_FORM_PERT,       1.70863113,   20, 63.7772654), 0.10, 1e-5,
     11.281836                                                                                    },
};

static struct bt_law fitted(enum bt_ends ends, enum bt_form form)
{
    struct bt_range r = bt_range_of(10, 20, 40, ends);
    struct bt_law law;
    enum bt_fit_note note;
    r.form = form;
    assert_true(bt_law_fit(&r, -HUGE_VAL, HUGE_VAL, &law, &note));
    return law;
}

static void read_backwards(void **state)
{
    (void)state;
    for (size_t k = 0; k < COUNT(backwards); k++) {
        const struct backwards *b = &backwards[k];
        near(bt_law_quantile(&b->law, b->p), 10, b->end_within, b->name);
        near(bt_law_quantile(&b->law, 1 - b->p), 40, b->end_within, b->name);
        near(bt_law_sd(&b->law), b->sd, 1e-5, "REV-SD");
    }
    const struct bt_law triangular = fitted(BT_P05_P95, BT_FORM_TRIANGULAR);
    near(triangular.low, 4.1085911, 1e-6, "REV-TRI90, our own fit");
    near(triangular.low + triangular.width, 47.7909342, 1e-6, "REV-TRI90, our own fit");
    near(bt_law_sd(&triangular), 9.026227, 1e-5, "REV-SD");
    const struct bt_law pert = fitted(BT_P05_P95, BT_FORM_AUTO);
    near(pert.low, 5.38125841, 0.02, "REV-PERT90, our own fit: mode in 256ths");
    near(pert.low + pert.width, 55.9838677, 0.02, "REV-PERT90, our own fit");
    near(bt_law_sd(&pert), 9.176346, 0.001, "REV-SD, mode in 256ths");
    const struct bt_law between[] = {fitted(BT_BOUNDS, BT_FORM_UNIFORM),
                                     fitted(BT_BOUNDS, BT_FORM_TRIANGULAR)};
    near(bt_law_sd(&between[0]), 8.660254, 1e-5, "REV-SD");
    near(bt_law_sd(&between[1]), 6.236096, 1e-5, "REV-SD");
}

/* Three of a law's quantiles, weighted, give nearly its mean and spread; and a sixth of the
 * width, as it is often said, is not a PERT law's spread. */
static void three_quantiles(void **state)
{
    (void)state;
    const struct bt_law law = BETWEEN(BT_FORM_PERT, 10.0, 20.0, 40.0);
    static const double p[3] = {0.05, 0.50, 0.95}, weight[3] = {0.185, 0.63, 0.185};
    double mean = 0, square = 0;
    for (int k = 0; k < 3; k++) {
        const double x = bt_law_quantile(&law, p[k]);
        mean += weight[k] * x;
        square += weight[k] * x * x;
    }
    near(mean, 21.669321, 1e-5, "EPT, Keefer and Bodily 1983, weights recalled");
    near(sqrt(square - mean * mean), 5.533104, 1e-5, "EPT");
    near(bt_law_sd(&law) - law.width / 6, 0.527707984, 1e-8,
         "PERT-CLASSIC: 5 against 5.527707984, read and derived");
}

/* GSL's beta quantile fails for wild shapes; for those of PERT laws it must not. */
static void quantiles_into_the_tails(void **state)
{
    (void)state;
    for (int mode = 0; mode <= 256; mode += 4)
        for (int sign = -1; sign <= 1; sign += 2) {
            double before = -1;
            for (double v = 1e-14; v < 0.5; v *= 7) {
                const double p = sign > 0 ? v : 1 - v;
                const double z = bt_pert_quantile(mode / 256.0, p);
                check_between(z, 0, 1, "GSL-BETAPINV-PERT");
                assert_true(sign * z >= before);
                before = sign * z;
            }
        }
}

/* ---- sums of uniforms --------------------------------------------------------------- */

static struct sum_row {
    int n;
    double want[4], within[4]; /* P5, P25, P95, P97.5; the latter at a million draws */
} sum_rows[] = {
    {2,
     {0.316227766017, 0.707106781187, 1.68377223398, 1.77639320225},
     {0.0034, 0.0031, 0.0034, 0.0035}},
    {3,
     {0.669432950082, 1.14714018014, 2.33056704992, 2.46867071541},
     {0.0049, 0.0035, 0.0049, 0.0055}},
    {4,
     {1.04663926624, 1.59727335821, 2.95336073376, 3.11988826321},
     {0.0057, 0.004, 0.0057, 0.0069} },
    {12,
     {4.3530281259, 5.31820936329, 7.6469718741, 7.95294921576},
     {0.01, 0.0069, 0.01, 0.013}     },
};

static void sum_row(void **state)
{
    const struct sum_row *row = *state;
    void *arena = NULL;
    assert_int_equal(set_up(&arena), 0);
    struct hand *h = hand_new(arena, 1);
    struct bt_node x[12];
    for (int k = 0; k < row->n; k++)
        x[k] = uniform(h, bt_arena_format(arena, "x%d", k), 0, 1);
    double *y = draws_of(h, bt_sum(h->sheet, (size_t)row->n, x, BT_FRACTION), TRIALS, 3);
    const struct bt_spread s =
        bt_spread_of(bt_summary_room_new(arena, TRIALS), TRIALS, y, 0);
    qsort(y, TRIALS, sizeof *y, rising);
    const double got[4] = {s.p05, s.p25, s.p95, symmetric(TRIALS, y, 0.95).high};
    for (int k = 0; k < 4; k++)
        near(got[k], row->want[k], row->within[k], "IH2 .. IH12 (Irwin-Hall)");
    tear_down(&arena);
}

int main(void)
{
    gsl_set_error_handler_off();
    static const char *const of[] = {"sum of 2", "sum of 3", "sum of 4", "sum of 12"};
    struct CMUnitTest t[COUNT(law_rows) + COUNT(sum_rows)];
    size_t n = 0;
    for (size_t i = 0; i < COUNT(law_rows); i++)
        t[n++] = (struct CMUnitTest){law_rows[i].name, law_row, NULL, NULL, &law_rows[i]};
    for (size_t i = 0; i < COUNT(sum_rows); i++)
        t[n++] = (struct CMUnitTest){of[i], sum_row, NULL, NULL, &sum_rows[i]};
    const struct CMUnitTest rest[] = {
        cmocka_unit_test(read_backwards),
        cmocka_unit_test(three_quantiles),
        cmocka_unit_test(quantiles_into_the_tails),
    };
    int failed = cmocka_run_group_tests_name("laws and sums of laws", t, NULL, NULL);
    failed += cmocka_run_group_tests_name("readings of a range", rest, NULL, NULL);
    return failed != 0;
}
