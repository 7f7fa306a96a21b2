/* Which test, weighing or count would narrow an account most. A second look at the draws of
 * the few leaves that carry the doubt and can be measured: they are made again, which costs
 * a nanosecond or two each, rather than kept. */
#include <math.h>

#include "chance/job.h"

/* With fewer draws the bins hold too few to tell a cut from chance. */
enum { FEWEST = 4096 };
/* A cut below this is not told from none; a leaf with less than twice that share of the
 * variance cannot bring it. */
static const double NOT_WORTH = 0.01;

static const struct bt_sampler_leaf *leaf_of(const struct bt_sampler *s, struct bt_node n)
{
    for (size_t i = 0; i < s->n_leaves; i++)
        if (s->leaf[i].node.i == n.i)
            return &s->leaf[i];
    return NULL;
}

static struct bt_worth_answer worth_of(struct bt_job *j, size_t account,
                                       const struct bt_sampler_leaf *leaf,
                                       struct bt_gauge_error error)
{
    const struct bt_account_finding *f = &j->finding.account[account];
    const double *tightest = j->account[account].tightest;
    bt_worth_begin(j->at->worth, &f->tightest, &f->shortfall);
    for (size_t first = 0; first < j->samples; first += BT_BLOCK) {
        bt_drawer_fill(&leaf->drawer, first, leaf->u, leaf->x);
        bt_worth_block(j->at->worth, leaf->u, leaf->x, tightest + first);
    }
    return bt_worth_finish(j->at->worth, error, j->budget->garden->enough);
}

/* Shares of the variance add up; standard deviations do not. */
static double both_cuts(double a_frac, double b_frac)
{
    const double left = (1 - a_frac) * (1 - a_frac) + (1 - b_frac) * (1 - b_frac) - 1;
    return 1 - sqrt(left > 0 ? left : 0);
}

static void add_gauge(const struct bt_sheet *sheet, struct bt_account_finding *f,
                      struct bt_gauge_finding m)
{
    const struct bt_leaf *leaf = bt_sheet_node(sheet, m.leaf)->leaf;
    for (size_t k = 0; k < f->n_gauges; k++) {
        struct bt_gauge_finding *old = &f->gauge[k];
        if (!bt_gauge_same(bt_sheet_node(sheet, old->leaf)->leaf, leaf))
            continue;
        old->spread_cut_frac = both_cuts(old->spread_cut_frac, m.spread_cut_frac);
        old->loss_avoided += m.loss_avoided;
        return;
    }
    f->gauge[f->n_gauges++] = m;
}

static void sort_gauges(struct bt_account_finding *f)
{
    for (size_t i = 1; i < f->n_gauges; i++)
        for (size_t k = i;
             k > 0 && f->gauge[k - 1].spread_cut_frac < f->gauge[k].spread_cut_frac; k--) {
            const struct bt_gauge_finding larger = f->gauge[k];
            f->gauge[k] = f->gauge[k - 1];
            f->gauge[k - 1] = larger;
        }
}

void bt_find_gauges(struct bt_job *j, size_t account)
{
    struct bt_account_finding *f = &j->finding.account[account];
    const struct bt_sheet *sheet = j->budget->sheet;
    for (size_t k = 0; k < f->n_drivers && j->samples >= FEWEST; k++) {
        const struct bt_node node = f->driver[k].leaf;
        const struct bt_leaf *leaf = bt_sheet_node(sheet, node)->leaf;
        struct bt_gauge_error error;
        if (f->driver[k].share_of_variance < 2 * NOT_WORTH ||
            !bt_gauge_error(j->budget->handbook, leaf, &error))
            continue;
        const struct bt_worth_answer a =
            worth_of(j, account, leaf_of(&j->sampler, node), error);
        add_gauge(sheet, f,
                  (struct bt_gauge_finding){bt_gauge_of(leaf), node, a.spread_cut_frac,
                                            a.loss_avoided});
    }
    sort_gauges(f);
    while (f->n_gauges && f->gauge[f->n_gauges - 1].spread_cut_frac < NOT_WORTH)
        f->n_gauges--;
}
