/* Draws: the generator against known answers, every law against its exact quantiles and
 * moments, correlation by a parent, and the GSL's own samplers run on our generator. "Five
 * standard errors" is meant each time a sample is compared. */
#include "check.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "chance/draws.h"
#include "chance/summary.h"

enum { SAMPLES = 1 << 17 };

struct room {
    struct bt_arena *arena;
    struct bt_shapes *shapes;
    double *u, *x, *y; /* SAMPLES each */
};

static void out_of_memory(void *context)
{
    (void)context;
    abort();
}

static int set_up(void **state)
{
    struct bt_arena *a = bt_arena_new((size_t)1 << 20, out_of_memory, NULL);
    if (!a)
        return -1;
    struct room *r = bt_arena_alloc(a, sizeof *r);
    *r = (struct room){.arena = a, .shapes = bt_shapes_new(a)};
    r->u = bt_arena_alloc(a, SAMPLES * sizeof *r->u);
    r->x = bt_arena_alloc(a, SAMPLES * sizeof *r->x);
    r->y = bt_arena_alloc(a, SAMPLES * sizeof *r->y);
    *state = r;
    return 0;
}

static int tear_down(void **state)
{
    bt_arena_free(((struct room *)*state)->arena);
    return 0;
}

static void near(double got, double want, double abs, const char *source)
{
    check_between(got, want - abs, want + abs, source);
}

static void fill(const struct bt_drawer *d, double *u, double *x)
{
    for (uint64_t i = 0; i < SAMPLES; i += BT_BLOCK)
        bt_drawer_fill(d, i, u + i, x + i);
}

static struct bt_drawer drawer_of(struct room *r, enum bt_form form, double low,
                                  double likely, double high)
{
    struct bt_range range = bt_range_of(low, likely, high, BT_P05_P95);
    struct bt_law law;
    enum bt_fit_note note;
    range.form = form;
    assert_true(bt_law_fit(&range, -HUGE_VAL, HUGE_VAL, &law, &note));
    return bt_drawer_new(r->shapes, &law, 7, "leaf", NULL, 0);
}

/* ---- the generator ------------------------------------------------------------------ */

static void known_answers(void **state)
{
    (void)state;
    const uint64_t want[] = {UINT64_C(6457827717110365317), UINT64_C(3203168211198807973),
                             UINT64_C(9817491932198370423), UINT64_C(4593380528125082431),
                             UINT64_C(16408922859458223821)};
    for (uint64_t i = 0; i < 5;
         i++) /* RNG-SPLITMIX: its outputs for seed 1234567, recalled */
        assert_true(bt_draw_bits(1234567, i) == want[i]);
    assert_true(bt_draw_bits(0, 0) == UINT64_C(16294208416658607535));
}

static void uniform_numbers(void **state)
{
    struct room *r = *state;
    const struct bt_drawer d = drawer_of(r, BT_FORM_UNIFORM, 1, 2, 3);
    fill(&d, r->u, r->x);
    double least = 1, most = 0;
    for (size_t i = 0; i < SAMPLES; i++) {
        assert_true(r->u[i] > 0 && r->u[i] < 1);
        assert_true(r->u[i] == bt_draw_uniform(d.key, i)); /* whatever the block */
        least = r->u[i] < least ? r->u[i] : least;
        most = r->u[i] > most ? r->u[i] : most;
    }
    const struct bt_moments m = bt_moments_of(SAMPLES, r->u);
    near(m.mean, 0.5, 5 * sqrt(1 / 12.0 / SAMPLES), "closed form");
    near(m.sd * m.sd, 1 / 12.0, 5 * sqrt(1 / 180.0 / SAMPLES), "closed form");
    check_between(least, 0, 20.0 / SAMPLES, "closed form");
    check_between(most, 1 - 20.0 / SAMPLES, 1, "closed form");
    double lag = 0;
    for (size_t i = 1; i < SAMPLES; i++)
        lag += (r->u[i] - 0.5) * (r->u[i - 1] - 0.5) * 12 / SAMPLES;
    near(lag, 0, 5 / sqrt(SAMPLES), "no correlation with the draw before");
    /* Integer arithmetic only, so these bytes are the same on every machine. */
    assert_true(bt_bytes_hash(r->u, 1024 * sizeof *r->u) == UINT64_C(0xB983C63B34E2524));
}

static void same_seed_same_bytes(void **state)
{
    struct room *r = *state;
    const enum bt_form form[] = {BT_FORM_UNIFORM, BT_FORM_TRIANGULAR, BT_FORM_PERT,
                                 BT_FORM_LOGNORMAL, BT_FORM_TRUNCATED_NORMAL};
    for (size_t k = 0; k < 5; k++) {
        const struct bt_drawer d = drawer_of(r, form[k], 10, 20, 40);
        fill(&d, r->u, r->x);
        for (uint64_t i = SAMPLES; i > 0; i -= BT_BLOCK) /* backwards */
            bt_drawer_fill(&d, i - BT_BLOCK, r->u, r->y + i - BT_BLOCK);
        assert_memory_equal(r->x, r->y, SAMPLES * sizeof *r->x);
    }
    assert_true(bt_draw_key(1, "a") != bt_draw_key(2, "a"));
    assert_true(bt_draw_key(1, "a") != bt_draw_key(1, "b"));
    assert_true(bt_draw_key(0, "a") != 0);
}

static void streams_are_independent(void **state)
{
    struct room *r = *state;
    struct bt_drawer d = drawer_of(r, BT_FORM_UNIFORM, 0, 0.5, 1);
    fill(&d, r->u, r->x);
    const char *const other[] = {"leaf ", "leaf/1", "leag", "Leaf2"};
    for (int k = 0; k < 8; k++) {
        d.key = k < 4 ? bt_draw_key(7, other[k]) : bt_draw_key((uint64_t)k, "leaf");
        if (k == 7)
            d.key++; /* seed 7 itself is the same stream; a neighbouring key is not */
        fill(&d, r->u, r->y);
        near(gsl_stats_correlation(r->x, 1, r->y, 1, SAMPLES), 0, 5 / sqrt(SAMPLES),
             "closed form");
    }
}

/* ---- laws --------------------------------------------------------------------------- */

static struct law_row {
    const char *name;
    enum bt_form form;
    double low, likely, high;
} law_rows[] = {
    {"uniform",                      BT_FORM_UNIFORM,          10,  20, 40},
    {"triangular",                   BT_FORM_TRIANGULAR,       10,  20, 40},
    {"PERT",                         BT_FORM_PERT,             10,  20, 40},
    {"PERT, likely on the low end",  BT_FORM_PERT,             1,   1,  5 },
    {"PERT, likely on the high end", BT_FORM_PERT,             1,   5,  5 },
    {"PERT across 0",                BT_FORM_PERT,             -3,  1,  2 },
    {"lognormal",                    BT_FORM_LOGNORMAL,        1,   3,  9 },
    {"lognormal, wide",              BT_FORM_LOGNORMAL,        0.1, 3,  90},
    {"normal",                       BT_FORM_TRUNCATED_NORMAL, -2,  1,  4 },
};

/* Each draw is the law's quantile at its uniform number; the sample has the law's mean and
 * sd. */
static void law_row(void **state)
{
    const struct law_row *row = *state;
    void *held = NULL;
    assert_int_equal(set_up(&held), 0);
    struct room *r = held;
    const struct bt_drawer d = drawer_of(r, row->form, row->low, row->likely, row->high);
    const double sd = bt_law_sd(&d.law);
    const bool logarithms = row->form == BT_FORM_LOGNORMAL;
    fill(&d, r->u, r->x);
    for (size_t i = 0; i < SAMPLES; i += 17) {
        if (r->u[i] < 0.001 || r->u[i] > 0.999)
            continue;
        const double exact = bt_law_quantile(&d.law, r->u[i]);
        /* 2e-5 sd of the parent normal becomes a share of a lognormal's value. */
        const double share = logarithms ? 2e-5 * d.law.sigma * exact : 0;
        near(r->x[i], exact, share > 1e-4 * sd ? share : 1e-4 * sd, "exact quantile (GSL)");
    }
    /* A lognormal's own spread is ruled by its rarest draws: its logarithms are looked at.
     */
    const double mean = logarithms ? d.law.mu : bt_law_mean(&d.law);
    const double spread = logarithms ? d.law.sigma : sd;
    for (size_t i = 0; i < SAMPLES && logarithms; i++)
        r->x[i] = log(r->x[i]);
    double fourth = 0;
    const struct bt_moments m = bt_moments_of(SAMPLES, r->x);
    for (size_t i = 0; i < SAMPLES; i++)
        fourth += pow((r->x[i] - m.mean) / spread, 4) / SAMPLES;
    near(m.mean, mean, 5 * spread / sqrt(SAMPLES), "closed form");
    near(m.sd, spread, 5 * spread * sqrt((fourth - 1) / 4 / SAMPLES), "closed form");
    tear_down(&held);
}

static void own_exponential(void **state)
{
    struct room *r = *state;
    for (double mu = -690; mu < 690; mu += 0.731) {
        const struct bt_law law = {.form = BT_FORM_LOGNORMAL,
                                   .mu = mu,
                                   .clamp_low = -HUGE_VAL,
                                   .clamp_high = HUGE_VAL};
        const struct bt_drawer d = bt_drawer_new(r->shapes, &law, 3, "exp", NULL, 0);
        bt_drawer_fill(&d, 0, r->u, r->x);
        check_close(r->x[0], exp(mu), 5e-16, "libm");
    }
}

static void clamps_hold(void **state)
{
    struct room *r = *state;
    const struct bt_range range = bt_range_of(1, 4, 9, BT_P05_P95);
    struct bt_law law;
    enum bt_fit_note note;
    assert_true(bt_law_fit(&range, 0, 10, &law, &note));
    const struct bt_drawer d = bt_drawer_new(r->shapes, &law, 7, "clamped", NULL, 0);
    fill(&d, r->u, r->x);
    const struct bt_moments m = bt_moments_of(SAMPLES, r->x);
    assert_true(m.lowest >= 0 && m.highest <= 10);
    near(m.mean, bt_law_mean(&law), 5 * m.sd / sqrt(SAMPLES), "closed form, clamped");
    near(m.sd, bt_law_sd(&law), 5 * m.sd / sqrt(SAMPLES), "closed form, clamped");
}

/* ---- correlation -------------------------------------------------------------------- */

/* Lognormal and normal between bounds: cut, not heaped on them. */
static void cut_laws(void **state)
{
    struct room *r = *state;
    static const enum bt_form form[] = {BT_FORM_LOGNORMAL, BT_FORM_TRUNCATED_NORMAL};
    for (int k = 0; k < 2; k++) {
        struct bt_range range =
            bt_range_shaped(bt_range_of(10, 20, 40, BT_BOUNDS), form[k]);
        struct bt_law law;
        enum bt_fit_note note;
        assert_true(bt_law_fit(&range, 0, HUGE_VAL, &law, &note));
        const struct bt_drawer d = bt_drawer_new(r->shapes, &law, 7, "leaf", NULL, 0);
        fill(&d, r->u, r->x);
        const struct bt_moments m = bt_moments_of(SAMPLES, r->x);
        near(m.mean, bt_law_mean(&law), 5 * bt_law_sd(&law) / sqrt(SAMPLES), "closed form");
        near(m.sd, bt_law_sd(&law), 5 * bt_law_sd(&law) / sqrt(SAMPLES), "closed form");
        size_t on_bounds = 0;
        for (size_t i = 0; i < SAMPLES; i++)
            on_bounds += r->x[i] <= 10 || r->x[i] >= 40;
        assert_true(on_bounds < 5);
    }
}

static void parents(void **state)
{
    struct room *r = *state;
    static const double rho[] = {0.3, 0.5, 0.8, 0.9, -0.4, 0, 1, -1};
    static const double follow[] = {0.31286893, 0.51763809, 0.81347329, 0.90798100};
    double *work = bt_arena_alloc(r->arena, 2 * SAMPLES * sizeof *work);
    const struct bt_drawer parent = drawer_of(r, BT_FORM_PERT, 10, 20, 40);
    for (size_t k = 0; k < sizeof rho / sizeof rho[0]; k++) {
        struct bt_range range = bt_range_two(1, 9, BT_P05_P95);
        struct bt_law law;
        enum bt_fit_note note;
        assert_true(bt_law_fit(&range, 0, HUGE_VAL, &law, &note));
        const struct bt_drawer child =
            bt_drawer_new(r->shapes, &law, 7, "child", "leaf", rho[k]);
        if (k < 4)
            near(child.follow, follow[k], 1e-8, "COP-RS, derived");
        fill(&parent, r->u, r->x);
        fill(&child, r->u, r->y);
        near(gsl_stats_spearman(r->x, 1, r->y, 1, SAMPLES, work), rho[k], 5 / sqrt(SAMPLES),
             "what was asked for");
        const struct bt_moments u = bt_moments_of(SAMPLES, r->u);
        near(u.mean, 0.5, 5 * sqrt(1 / 12.0 / SAMPLES), "still uniform");
        near(u.sd * u.sd, 1 / 12.0, 5 * sqrt(1 / 180.0 / SAMPLES), "still uniform");
        assert_true(u.lowest > 0 && u.highest < 1);
        const struct bt_moments m = bt_moments_of(SAMPLES, r->y);
        near(m.mean, bt_law_mean(&law), 5 * bt_law_sd(&law) / sqrt(SAMPLES), "same law");
    }
}

/* ---- GSL's samplers on our generator ------------------------------------------------ */

struct stream {
    uint64_t key, i;
};

static void stream_set(void *state, unsigned long seed)
{
    *(struct stream *)state = (struct stream){bt_draw_key(seed, "gsl"), 0};
}

static unsigned long stream_get(void *state)
{
    struct stream *s = state;
    return (unsigned long)(bt_draw_bits(s->key, s->i++) >> 32);
}

static double stream_get_double(void *state)
{
    struct stream *s = state;
    return bt_draw_uniform(s->key, s->i++);
}

static const gsl_rng_type stream_type = {
    "bedtally", 0xFFFFFFFFUL,     0, sizeof(struct stream), stream_set,
    stream_get, stream_get_double};

static void same_sample(struct room *r, const struct bt_law *law, const char *source)
{
    struct bt_summary_room *room = bt_summary_room_new(r->arena, SAMPLES);
    const struct bt_drawer d = bt_drawer_new(r->shapes, law, 7, "leaf", NULL, 0);
    fill(&d, r->u, r->x);
    const struct bt_spread ours = bt_spread_of(room, SAMPLES, r->x, 0);
    const struct bt_spread gsls = bt_spread_of(room, SAMPLES, r->y, 0);
    const double sd = bt_law_sd(law);
    const double se = sd / sqrt(SAMPLES);
    near(gsls.mean, bt_law_mean(law), 5 * se, source);
    near(ours.mean, gsls.mean, 5 * sqrt(2) * se, source);
    near(ours.sd, gsls.sd, 10 * sqrt(2) * se, source);
    /* sqrt(p (1 - p)) / f is below 4 sd at P5 and P95 of these laws, below 2 sd inside. */
    near(ours.p05, gsls.p05, 4 * 5 * sqrt(2) * se, source);
    near(ours.p50, gsls.p50, 2 * 5 * sqrt(2) * se, source);
    near(ours.p95, gsls.p95, 4 * 5 * sqrt(2) * se, source);
    assert_memory_not_equal(r->x, r->y, SAMPLES * sizeof *r->x);
}

static void gsl_samplers(void **state)
{
    struct room *r = *state;
    gsl_rng *rng = gsl_rng_alloc(&stream_type);
    assert_non_null(rng);
    gsl_rng_set(rng, 11);
    struct bt_law law = drawer_of(r, BT_FORM_PERT, 10, 20, 40).law;
    for (size_t i = 0; i < SAMPLES; i++)
        r->y[i] = law.low +
                  law.width * gsl_ran_beta(rng, 1 + 4 * law.mode, 1 + 4 * (1 - law.mode));
    same_sample(r, &law, "gsl_ran_beta on our generator");
    law = drawer_of(r, BT_FORM_LOGNORMAL, 10, 20, 40).law;
    for (size_t i = 0; i < SAMPLES; i++)
        r->y[i] = gsl_ran_lognormal(rng, law.mu, law.sigma);
    same_sample(r, &law, "gsl_ran_lognormal on our generator");
    law = drawer_of(r, BT_FORM_TRUNCATED_NORMAL, -2, 1, 4).law;
    for (size_t i = 0; i < SAMPLES; i++)
        r->y[i] = law.mu + gsl_ran_gaussian_ziggurat(rng, law.sigma);
    same_sample(r, &law, "gsl_ran_gaussian_ziggurat on our generator");
    law = drawer_of(r, BT_FORM_UNIFORM, 10, 20, 40).law;
    for (size_t i = 0; i < SAMPLES; i++)
        r->y[i] = gsl_ran_flat(rng, law.low, law.low + law.width);
    same_sample(r, &law, "gsl_ran_flat on our generator");
    gsl_rng_free(rng);
}

#define COUNT(rows)   (sizeof(rows) / sizeof(rows)[0])
#define IN_ROOM(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)

int main(void)
{
    gsl_set_error_handler_off();
    struct CMUnitTest laws[COUNT(law_rows)];
    for (size_t i = 0; i < COUNT(law_rows); i++)
        laws[i] = (struct CMUnitTest){law_rows[i].name, law_row, NULL, NULL, &law_rows[i]};
    const struct CMUnitTest rest[] = {
        cmocka_unit_test(known_answers),
        IN_ROOM(uniform_numbers),
        IN_ROOM(same_seed_same_bytes),
        IN_ROOM(streams_are_independent),
        IN_ROOM(own_exponential),
        IN_ROOM(clamps_hold),
        IN_ROOM(cut_laws),
        IN_ROOM(parents),
        IN_ROOM(gsl_samplers),
    };
    int failed = cmocka_run_group_tests_name("laws drawn", laws, NULL, NULL);
    failed += cmocka_run_group_tests_name("draws", rest, NULL, NULL);
    return failed != 0;
}
