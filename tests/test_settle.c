/* `--samples auto`: enough draws and not too many, and the same answer as when that number
 * is asked for. */
#include "check.h"

#include <gsl/gsl_errno.h>
#include <stdlib.h>
#include <string.h>

#include "run.h"

static const char garden[] = "worked-examples/three-sisters";

static void out_of_memory(void *context)
{
    (void)context;
    abort();
}

/* The largest of twice the errors, as a share of the range, and the bytes of a headline. */
struct reached {
    double worst;
    struct bt_spread tightest;
    struct bt_error error;
};

static void look(void *context, const struct bt_run *run, const struct bt_finding *f)
{
    struct reached *r = context;
    (void)run;
    for (size_t k = 0; k < f->budget->n_accounts; k++) {
        const struct bt_account_finding *x = &f->account[k];
        const double range = x->tightest.p95 - x->tightest.p05;
        const double of[] = {x->tightest_error.mean, x->tightest_error.p05,
                             x->tightest_error.p95};
        for (int i = 0; i < 3 && range > 0; i++)
            r->worst = 2 * of[i] / range > r->worst ? 2 * of[i] / range : r->worst;
    }
    r->tightest = f->account[BT_N].tightest;
    r->error = f->account[BT_N].tightest_error;
}

static struct reached answer(size_t samples, size_t *out_used, double *out_said)
{
    struct bt_arena *a = bt_arena_new((size_t)1 << 18, out_of_memory, NULL);
    const struct bt_run_options o = {
        .folder = garden, .garden = {.units = -1},
             .chance = { samples,          1},
             .threads = 2
    };
    struct bt_run run;
    struct reached r = {0};
    const struct bt_bed_sink sink = {look, &r};
    assert_true(bt_run_open(a, &o, &run));
    if (samples == BT_SAMPLES_AUTO)
        bt_run_settle(&run, &o, out_said);
    *out_used = run.chance.samples;
    assert_true(bt_run_budget(&run, &o, &sink));
    bt_run_close(&run);
    bt_arena_free(a);
    return r;
}

static void as_many_as_it_takes(void **state)
{
    (void)state;
    size_t used, half, whole;
    double said = 0;
    const struct reached r = answer(BT_SAMPLES_AUTO, &used, &said);
    assert_true(used >= BT_SAMPLES_USUAL && used < BT_SAMPLES_MOST);
    assert_true((used & (used - 1)) == 0);
    assert_true(r.worst < 0.01);
    check_close(said, r.worst, 1e-12, "what is said is what was reached");
    const struct reached same = answer(used, &whole, NULL);
    assert_int_equal(whole, used);
    assert_memory_equal(&same.tightest, &r.tightest, sizeof r.tightest);
    if (used > BT_SAMPLES_USUAL)
        assert_true(answer(used / 2, &half, NULL).worst >= 0.01);
}

/* Another seed gives another sample: the answers lie within five errors of each other. */
static void errors_are_honest(void **state)
{
    (void)state;
    size_t used;
    const struct reached few = answer(4096, &used, NULL);
    const struct reached many = answer(1 << 17, &used, NULL);
    check_between(few.tightest.mean, many.tightest.mean - 5 * few.error.mean,
                  many.tightest.mean + 5 * few.error.mean, "five standard errors");
    check_between(few.tightest.p05, many.tightest.p05 - 5 * few.error.p05,
                  many.tightest.p05 + 5 * few.error.p05, "five standard errors");
    check_between(few.tightest.p95, many.tightest.p95 - 5 * few.error.p95,
                  many.tightest.p95 + 5 * few.error.p95, "five standard errors");
    check_between(few.error.p05 / many.error.p05, sqrt(32) / 2, sqrt(32) * 2,
                  "errors fall with the root of the draws");
}

static void rounded_up_to_blocks(void **state)
{
    (void)state;
    size_t used;
    (void)answer(1000, &used, NULL);
    assert_int_equal(used, 1024);
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(as_many_as_it_takes),
        cmocka_unit_test(errors_are_honest),
        cmocka_unit_test(rounded_up_to_blocks),
    };
    return cmocka_run_group_tests_name("as many draws as it takes", tests, NULL, NULL) != 0;
}
