/* The garden's totals, formed draw by draw before anything is summarised: quantiles do not
 * add, draws do. Beds share leaves by name, so they move together and the totals get the
 * right spread. */
#include "chance/job.h"

enum quantity { REQUIRED, SUPPLY, BALANCE, SHORTFALL, SURPLUS, LEFT, QUANTITIES };

struct nutrient_total {
    double area_m2;
    double likely_g[QUANTITIES];
    double *sum_g[QUANTITIES]; /* all samples */
};

struct bt_totals {
    size_t samples;
    struct bt_summary_room *room;
    struct nutrient_total of[BT_NUTRIENTS];
};

struct bt_totals *bt_totals_new(struct bt_arena *a, const struct bt_chance_options *o)
{
    struct bt_totals *t = bt_arena_zero(a, sizeof *t);
    t->samples = bt_sample_count(o);
    t->room = bt_summary_room_new(a, t->samples);
    double *column =
        bt_arena_zero(a, BT_NUTRIENTS * QUANTITIES * t->samples * sizeof *column);
    for (int nutrient = 0; nutrient < BT_NUTRIENTS; nutrient++)
        for (int q = 0; q < QUANTITIES; q++, column += t->samples)
            t->of[nutrient].sum_g[q] = column;
    return t;
}

static void add_kept(size_t n, double *restrict sum_g, double area_m2,
                     const struct bt_kept *x)
{
    if (x->whole)
        for (size_t i = 0; i < n; i++)
            sum_g[i] += area_m2 * x->whole[i];
    else
        for (size_t i = 0; i < n; i++)
            sum_g[i] += area_m2 * x->likely;
}

static void add_positive(size_t n, double *restrict sum_g, double factor, const double *x)
{
    for (size_t i = 0; i < n; i++) {
        const double v = factor * x[i];
        sum_g[i] += v > 0 ? v : 0;
    }
}

static void add_surplus(size_t n, double *restrict sum_g, double area_m2,
                        const struct bt_kept *balance)
{
    if (balance->whole) {
        add_positive(n, sum_g, area_m2, balance->whole);
    } else {
        const double surplus = balance->likely > 0 ? balance->likely : 0;
        for (size_t i = 0; i < n; i++)
            sum_g[i] += area_m2 * surplus;
    }
}

static void add_account(struct bt_totals *t, const struct bt_job *j, size_t i)
{
    const struct bt_account *account = &j->budget->account[i];
    const struct bt_account_job *work = &j->account[i];
    const struct bt_account_finding *f = &j->finding.account[i];
    struct nutrient_total *to = &t->of[account->nutrient];
    const double area_m2 = j->budget->bed->area_m2;
    const size_t n = t->samples;
    const struct bt_kept *balance = bt_keeper_get(&j->keeper, account->balance);
    const double likely[QUANTITIES] = {f->required.likely, f->supply.likely,
                                       f->balance.likely,  f->shortfall.likely,
                                       f->surplus.likely,  f->left.likely};
    to->area_m2 += area_m2;
    for (int q = 0; q < QUANTITIES; q++)
        to->likely_g[q] += area_m2 * likely[q];
    add_kept(n, to->sum_g[REQUIRED], area_m2, bt_keeper_get(&j->keeper, account->required));
    add_kept(n, to->sum_g[SUPPLY], area_m2, bt_keeper_get(&j->keeper, account->supply));
    add_kept(n, to->sum_g[BALANCE], area_m2, balance);
    add_surplus(n, to->sum_g[SURPLUS], area_m2, balance);
    if (!work->needs_nothing)
        add_positive(n, to->sum_g[SHORTFALL], -area_m2, work->tightest);
    if (work->left)
        add_kept(n, to->sum_g[LEFT], area_m2, bt_keeper_get(&j->keeper, account->left));
}

void bt_totals_add(struct bt_totals *t, const struct bt_job *j)
{
    for (size_t i = 0; i < j->budget->n_accounts; i++)
        if (j->account[i].is_drawn)
            add_account(t, j, i);
}

void bt_totals_finish(struct bt_totals *t, struct bt_total_finding out[BT_NUTRIENTS])
{
    for (int nutrient = 0; nutrient < BT_NUTRIENTS; nutrient++) {
        struct nutrient_total *from = &t->of[nutrient];
        struct bt_spread s[QUANTITIES] = {{0}};
        for (int q = 0; q < QUANTITIES && from->area_m2 > 0; q++)
            s[q] = bt_spread_of(t->room, t->samples, from->sum_g[q], from->likely_g[q]);
        out[nutrient] =
            (struct bt_total_finding){from->area_m2, s[REQUIRED], s[SUPPLY], s[BALANCE],
                                      s[SHORTFALL],  s[SURPLUS],  s[LEFT]};
    }
}
