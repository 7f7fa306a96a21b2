/* The engine against the calibration of a gauge block, as JCGM 101:2008 9.5 draws it and
 * JCGM 100:2008 H.1 expands it; against H.2, quantities measured side by side; and against
 * a logarithm of NPL DEM-ES-011. Rows are those of docs/uncertainty-checks.md. Lengths in
 * nm. */
#include "standards.h"

static const double NOMINAL = 5e7, STANDARD = 50000623;

/* ---- JCGM 101 9.5 ------------------------------------------------------------------- */

/* Student's t laws, an arcsine law and trapezoids with vague ends are none of ours, so they
 * are formed as the standard says, from our normal and uniform draws. */
enum { OF_CHI = 4, CHIS = 9 + 12 + 2 + 4, GAUGE_LEAVES = OF_CHI + 1 + CHIS + 7 };

/* t with `pairs` times two (and, with an extra normal, one) degrees of freedom: a chi
 * squared of two is -2 ln u. */
static double student(double z, int pairs, const struct bt_sampler_leaf *u, int i,
                      double extra)
{
    double product = 1;
    for (int k = 0; k < pairs; k++)
        product *= u[k].x[i];
    const double degrees = 2 * pairs + (extra != 0);
    return z / sqrt((extra * extra - 2 * log(product)) / degrees);
}

/* Uniform between ends that are themselves known to `vague` only, JCGM 101 6.4.3. */
static double trapezoid(double half, double vague, double u, double v)
{
    const double low = -half - vague + 2 * vague * u;
    return low - 2 * low * v;
}

static void gauge_of(const struct bt_sampler *s, double *out)
{
    const struct bt_sampler_leaf *z = s->leaf, *u = z + OF_CHI + 1, *last = u + CHIS;
    assert_int_equal(s->n_leaves, GAUGE_LEAVES);
    for (int i = 0; i < BT_BLOCK; i++) {
        const double length = STANDARD - NOMINAL + 25 * student(z[0].x[i], 9, u, i, 0);
        const double difference = 215 + 6 * student(z[1].x[i], 12, u + 9, i, 0) +
                                  4 * student(z[2].x[i], 2, u + 21, i, z[4].x[i]) +
                                  7 * student(z[3].x[i], 4, u + 23, i, 0);
        const double expansion = last[0].x[i];
        const double swing = 0.5 * sin(2 * M_PI * last[1].x[i]);
        const double warmth = last[6].x[i] + swing;
        const double apart = trapezoid(1e-6, 0.1e-6, last[2].x[i], last[3].x[i]);
        const double cooler = trapezoid(0.05, 0.025, last[4].x[i], last[5].x[i]);
        out[i] = length + difference -
                 (NOMINAL + length) * (apart * warmth + expansion * cooler);
    }
}

static void gauge_block(void **state)
{
    struct hand *h = hand_new(*state, 1);
    struct bt_node leaf_of[GAUGE_LEAVES];
    int n = 0;
    for (; n < OF_CHI + 1; n++)
        leaf_of[n] = normal(h, bt_arena_format(*state, "z%d", n), 0, 1);
    for (; n < OF_CHI + 1 + CHIS; n++)
        leaf_of[n] = uniform(h, bt_arena_format(*state, "u%d", n), 0, 1);
    leaf_of[n++] = uniform(h, "expansion", 9.5e-6, 13.5e-6);
    for (; n < GAUGE_LEAVES - 1; n++)
        leaf_of[n] = uniform(h, bt_arena_format(*state, "u%d", n), 0, 1);
    leaf_of[n++] = normal(h, "mean deviation", -0.1, 0.2);
    assert_int_equal(n, GAUGE_LEAVES);
    const struct outcome o =
        outcome_by(h, bt_sum(h->sheet, GAUGE_LEAVES, leaf_of, BT_FRACTION), 0.99, gauge_of);
    near(o.moments.mean, 838, 0.2, "S1-GAUGE-MEAN, table 11, read where it is quoted");
    near(o.moments.sd, 35.81, 0.15, "S1-GAUGE-U; 36 read where it is quoted");
    near(o.symmetric.low, 744.37, 0.7, "S1-GAUGE-LO99; prints 745, recalled");
    near(o.symmetric.high, 931.67, 0.7, "S1-GAUGE-HI99; prints 932, recalled");
}

/* ---- JCGM 100 H.1 ------------------------------------------------------------------- */

/* l = ls + d - ls (da th + as dt), all inputs normal: what draws say is what the second
 * order of the expansion says, for the model has no third. With da's and dt's factors held
 * at their estimates it is what the first order says. */
static struct bt_node end_gauge(struct hand *h, bool is_linear)
{
    struct bt_sheet *s = h->sheet;
    const struct bt_node standard = normal(h, "ls", STANDARD, 25);
    const struct bt_node held = number(h, STANDARD);
    const struct bt_node warmth = is_linear ? number(h, -0.1) : normal(h, "th", -0.1, 0.41);
    const struct bt_node expansion =
        is_linear ? number(h, 11.5e-6) : normal(h, "as", 11.5e-6, 1.2e-6);
    const struct bt_node strain = bt_add(s, bt_mul(s, normal(h, "da", 0, 0.58e-6), warmth),
                                         bt_mul(s, expansion, normal(h, "dt", 0, 0.029)));
    return bt_sub(s, bt_add(s, standard, normal(h, "d", 215, 9.7)),
                  bt_mul(s, is_linear ? held : standard, strain));
}

static void end_gauge_expanded(void **state)
{
    struct hand *h = hand_new(*state, 1);
    const struct outcome whole = outcome_of(h, end_gauge(h, false));
    const struct outcome linear = outcome_of(h, end_gauge(h, true));
    const double se = 32 / sqrt(TRIALS);
    near(whole.moments.mean, 50000838, 0.5, "GUM-H1-L, read");
    near(whole.moments.sd, 33.91115, 5 * se, "GUM-H1-U2, prints 34, read");
    near(linear.moments.mean, 50000838, 0.5, "GUM-H1-L, read");
    near(linear.moments.sd, 31.7106, 5 * se, "GUM-H1-UC, prints 32, read");
}

/* ---- JCGM 100 H.2 ------------------------------------------------------------------- */

/* Five times a voltage, a current and a phase: resistance, reactance and impedance of each
 * time have the correlation in them. The second of the two ways that H.2 shows. */
static void side_by_side(void **state)
{
    (void)state;
    enum { TIMES = 5 };
    static const double volt[TIMES] = {5.007, 4.994, 5.005, 4.990, 4.999};
    static const double milliampere[TIMES] = {19.663, 19.639, 19.640, 19.685, 19.678};
    static const double phase[TIMES] = {1.0456, 1.0438, 1.0468, 1.0428, 1.0433};
    static const struct {
        const char *name;
        double value, u;
    } want[3] = {
        {"GUM-H2-R, table H.3 prints 127.732 and 0.071, read", 127.732170, 0.071071},
        {"GUM-H2-X, table H.3 prints 219.847 and 0.295, read", 219.846512, 0.295582},
        {"GUM-H2-Z, table H.3 prints 254.260 and 0.236, read", 254.259702, 0.236336},
    };
    double ohm[3][TIMES];
    for (int k = 0; k < TIMES; k++) {
        ohm[2][k] = 1e3 * volt[k] / milliampere[k];
        ohm[0][k] = ohm[2][k] * cos(phase[k]);
        ohm[1][k] = ohm[2][k] * sin(phase[k]);
    }
    for (int q = 0; q < 3; q++) { /* both ways agree to what is printed, not further */
        const struct bt_moments m = bt_moments_of(TIMES, ohm[q]);
        near(m.mean, want[q].value, 0.001, want[q].name);
        near(m.sd / sqrt(TIMES), want[q].u, 0.0005, want[q].name);
    }
}

/* ---- NPL ---------------------------------------------------------------------------- */

static void logarithm_of(const struct bt_sampler *s, double *out)
{
    for (int i = 0; i < BT_BLOCK; i++)
        out[i] = log(s->leaf[0].x[i]);
}

static void logarithm(void **state)
{
    struct hand *h = hand_new(*state, 1);
    const struct outcome o = outcome_by(h, uniform(h, "x", 0.1, 1.1), 0.95, logarithm_of);
    const char *const source =
        "NPL-LOG: table 9.2 prints -0.665, 0.606, -1.895 and 0.095, read; exact";
    near(o.moments.mean, -0.664900, 0.003, source);
    near(o.moments.sd, 0.606227, 0.002, source);
    near(o.shortest.low, -1.897120, 0.01, source);
    near(o.shortest.high, 0.095310, 0.001, source);
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        IN_ARENA(gauge_block),
        IN_ARENA(end_gauge_expanded),
        cmocka_unit_test(side_by_side),
        IN_ARENA(logarithm),
    };
    return cmocka_run_group_tests_name("gauge blocks, H.2, NPL", tests, NULL, NULL) != 0;
}
