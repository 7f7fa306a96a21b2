/* Two gardens on the same draws: equal ones differ by exactly nothing, one changed thing is
 * seen alone, and the second against the first is the first against the second with its
 * sign turned. */
#include "law_garden.h"

#include <gsl/gsl_errno.h>

#include "chance/compare.h"

static const char BEDS[] = "bed,length,width,texture\nA,8 ft,4 ft,loam\n";
static const char PLANTS[] = "bed,crop,plants,in_ground,ended,picked,rest,inoculated\n"
                             "A,sweet corn,12,2026-05-10,2026-08-05,fruit,compost,\n"
                             "A,pole bean,16,2026-05-24,2026-09-05,green,left,\n";

struct side {
    struct bt_run run;
};

static struct side read_garden(struct law *l, const struct law_text *t)
{
    struct side s;
    law_write_all(l, t);
    const struct bt_run_options o = law_options(l, t, 2048, 1);
    law_must(bt_run_open(l->arena, &o, &s.run), &s.run);
    return s;
}

static struct bt_comparison compared(struct law *l, const struct law_text *first,
                                     const struct law_text *second)
{
    struct side s[2] = {read_garden(l, first), read_garden(l, second)};
    const struct bt_version version[2] = {
        {s[0].run.handbook, s[0].run.garden, 0},
        {s[1].run.handbook, s[1].run.garden, 0}
    };
    const struct bt_chance_options o = {.samples = 2048, .seed = 1};
    struct bt_comparison c;
    assert_true(
        bt_compare_bed(l->arena, s[0].run.diag, bt_shapes_new(l->arena), version, &o, &c));
    bt_run_close(&s[0].run);
    bt_run_close(&s[1].run);
    return c;
}

static void is_nothing(const struct bt_spread *s, const char *what)
{
    check_close(s->likely, 0, 0, what);
    check_close(s->mean, 0, 0, what);
    check_close(s->sd, 0, 0, what);
    check_close(s->p05, 0, 0, what);
    check_close(s->p50, 0, 0, what);
    check_close(s->p95, 0, 0, what);
}

static void equal_gardens_differ_by_nothing(void **state)
{
    struct law *l = *state;
    const struct law_text t = {
        .beds = BEDS,
        .plantings = PLANTS,
        .soil_tests = "sample,date,beds,depth,organic_matter,phosphorus,phosphorus_method\n"
                      "S,2026-04-01,A,0-15 cm,4 %,30 ppm,Mehlich-3\n",
        .applications = "date,beds,material,amount,placement\n"
                        "2026-05-01,A,dairy compost,1 in,dug-in\n"};
    const struct bt_comparison c = compared(l, &t, &t);
    assert_true(c.n_accounts >= 1);
    for (size_t k = 0; k < c.n_accounts; k++) {
        const struct bt_account_difference *x = &c.account[k];
        is_nothing(&x->supply, "supply");
        is_nothing(&x->required, "required");
        is_nothing(&x->tightest, "tightest");
        is_nothing(&x->balance, "balance");
        is_nothing(&x->left, "left");
        check_close(x->chance_second_better, 0, 0, "neither is better");
        check_close(x->chance_first_better, 0, 0, "neither is better");
        check_close(x->chance_less_left, 0, 0, "neither leaves less");
        check_close(x->chance_short[0], x->chance_short[1], 0, "as short");
    }
    assert_int_equal(c.n_inputs, 0);
    assert_int_equal(c.n_plantings, 0);
}

static bool has_input(const struct bt_comparison *c, const char *label,
                      enum bt_input_where where)
{
    for (size_t k = 0; k < c->n_inputs; k++)
        if (strstr(c->input[k].label, label) && c->input[k].where == where)
            return true;
    return false;
}

/* A meal at once: the supply rises by its line alone, in every draw, and never is the bed
 * the shorter for it. */
static void one_addition_is_seen_alone(void **state)
{
    struct law *l = *state;
    const struct law_text plain = {.beds = BEDS, .plantings = PLANTS};
    struct law_text fed = plain;
    fed.applications = "date,beds,material,amount,placement\n"
                       "2026-05-25,A,urea,20 g/m2,dug-in\n";
    const struct law_answer alone = law_run(l, &fed);
    const double line = law_likely(&alone.bed[0], "urea");
    const struct bt_comparison c = compared(l, &plain, &fed);
    const struct bt_account_difference *x = &c.account[0];
    check_close(x->supply.likely, line, 1e-12, "the line");
    is_nothing(&x->required, "required"); /* spread after sowing: fixation is as it was */
    assert_true(x->supply.p05 > 0 && x->supply.p95 >= x->supply.p05);
    check_close(x->chance_first_better, 0, 0, "never the shorter for it");
    assert_true(x->chance_second_better > 0.5);
    assert_true(x->chance_short[1] <= x->chance_short[0]);
    assert_true(has_input(&c, "urea", BT_IN_SECOND));
    assert_int_equal(c.n_plantings, 0);
}

static void the_other_way_round(void **state)
{
    struct law *l = *state;
    const struct law_text x = {.beds = BEDS, .plantings = PLANTS};
    struct law_text y = x;
    y.plantings = "bed,crop,plants,in_ground,ended,picked,rest,inoculated\n"
                  "A,sweet corn,12,2026-05-10,2026-08-05,fruit,compost,\n"
                  "A,pole bean,32,2026-05-24,2026-09-05,green,left,yes\n";
    y.soil_tests = "sample,date,beds,depth,organic_matter\nS,2026-04-01,A,0-15 cm,4 %\n";
    const struct bt_comparison a = compared(l, &x, &y), b = compared(l, &y, &x);
    const struct bt_account_difference *p = &a.account[0], *q = &b.account[0];
    check_close(p->required.likely, -q->required.likely, 1e-12, "likely");
    check_close(p->required.mean, -q->required.mean, 1e-9, "mean");
    check_close(p->tightest.p05, -q->tightest.p95, 1e-9, "ends change places");
    check_close(p->chance_second_better, q->chance_first_better, 0, "chances too");
    check_close(p->chance_first_better, q->chance_second_better, 0, "chances too");
    assert_true(p->chance_first_better + p->chance_second_better <= 1);
    assert_int_equal(a.n_inputs, b.n_inputs);
    assert_true(has_input(&a, "organic matter of the soil", BT_IN_FIRST) ||
                has_input(&a, "organic matter of the soil", BT_IN_SECOND));
    assert_int_equal(a.n_plantings, 1);
    check_close(a.planting[0].count[0], 16, 0, "plants, first");
    check_close(a.planting[0].count[1], 32, 0, "plants, second");
}

/* A row of the garden's own table is a figure that is not the same; a planting in one alone
 * is named; a longer bed changes what follows from its area. */
static void what_is_not_the_same_is_named(void **state)
{
    struct law *l = *state;
    const struct law_text x = {.beds = BEDS, .plantings = PLANTS};
    struct law_text y = x;
    y.own_table = "intercrops.csv";
    y.own_rows =
        "key,quantity,low,likely,high,unit,ends,basis,scope,parent,rank_correlation,"
        "source,seen,notes\n"
        "any,transfer,0.02,0.05,0.2,,p05-p95,,garden,,,JUDGEMENT,judgement,invented\n";
    const struct bt_comparison c = compared(l, &x, &y);
    assert_int_equal(c.n_inputs, 1);
    assert_int_equal(c.input[0].where, BT_IN_BOTH);
    assert_false(c.input[0].follows);
    check_close(c.input[0].value[0][2], 0.15, 1e-12, "ours");
    check_close(c.input[0].value[1][2], 0.2, 1e-12, "theirs");
    struct law_text z = x;
    z.plantings = "bed,crop,plants,in_ground,ended,picked,rest,inoculated\n"
                  "A,sweet corn,12,2026-05-10,2026-08-05,fruit,compost,\n";
    const struct bt_comparison gone = compared(l, &x, &z);
    assert_int_equal(gone.n_plantings, 1);
    assert_string_equal(gone.planting[0].planting[0]->written, "pole bean");
    assert_null(gone.planting[0].planting[1]);
    assert_true(has_input(&gone, "shoot nitrogen", BT_IN_FIRST));
}

int main(void)
{
    const struct CMUnitTest t[] = {
        LAW_TEST(equal_gardens_differ_by_nothing),
        LAW_TEST(one_addition_is_seen_alone),
        LAW_TEST(the_other_way_round),
        LAW_TEST(what_is_not_the_same_is_named),
    };
    gsl_set_error_handler_off();
    return cmocka_run_group_tests_name("compare", t, NULL, NULL) != 0;
}
