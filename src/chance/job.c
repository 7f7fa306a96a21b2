/* One bed from worksheet to finding. Blocks of draws stream through the program; only what
 * is summarised is kept whole. Everything is allocated before the first draw. */
#include "chance/job.h"

#include <math.h>

/* A shortfall below this share of the need is not seen in the crop; docs/reading.md.
 */
static const double VISIBLE = 0.1;
static const double EVEN = 0.5; /* likelier than not */

/* ---- making ready ------------------------------------------------------------------- */

static bool has_left(const struct bt_account *account)
{
    return account->nutrient == BT_N && account->known;
}

struct node_list {
    size_t n;
    struct bt_node *node;
};

static void want(struct node_list *list, struct bt_node n)
{
    list->node[list->n++] = n;
}

static void want_account(struct node_list *list, const struct bt_account *account)
{
    for (size_t k = 0; k < account->n_lines; k++)
        want(list, account->line[k].node);
    want(list, account->supply);
    for (int k = 0; account->stock && k < BT_BESIDES; k++)
        if (account->stock->has[k])
            want(list, account->stock->node[k]);
    if (account->known) {
        want(list, account->required);
        want(list, account->balance);
    }
    if (has_left(account))
        want(list, account->left);
}

static void want_planting(struct node_list *list, const struct bt_planting_facts *f)
{
    want(list, f->uptake);
    want(list, f->required);
    if (!f->is_legume)
        return;
    const struct bt_node more[] = {f->plant_n,  f->ndfa,    f->fixed, f->harvested,
                                   f->transfer, f->residue, f->draw};
    for (size_t k = 0; k < sizeof more / sizeof more[0]; k++)
        want(list, more[k]);
}

static struct node_list wanted_of(struct bt_arena *a, const struct bt_budget *b)
{
    enum { BESIDE_LINES = 4 + BT_BESIDES, OF_A_PLANTING = 9 };
    size_t most = b->n_plantings * OF_A_PLANTING;
    for (size_t i = 0; i < b->n_accounts; i++)
        most += b->account[i].n_lines + BESIDE_LINES;
    struct node_list list = {0, bt_arena_alloc(a, most * sizeof *list.node)};
    for (size_t i = 0; i < b->n_accounts; i++)
        want_account(&list, &b->account[i]);
    for (size_t i = 0; i < b->n_plantings; i++)
        want_planting(&list, &b->planting[i]);
    return list;
}

static void account_new(struct bt_arena *a, struct bt_job *j, size_t i)
{
    const struct bt_account *account = &j->budget->account[i];
    const struct bt_sheet *sheet = j->budget->sheet;
    struct bt_account_job *work = &j->account[i];
    struct bt_account_finding *out = &j->finding.account[i];
    *out = (struct bt_account_finding){.account = account, .n_lines = account->n_lines};
    out->line = bt_arena_zero(a, out->n_lines * sizeof *out->line);
    out->have = bt_arena_zero(a, account->n_dates * sizeof *out->have);
    out->need = bt_arena_zero(a, account->n_dates * sizeof *out->need);
    out->driver = bt_arena_zero(a, BT_DRIVERS_KEPT * sizeof *out->driver);
    out->gauge = bt_arena_zero(a, BT_DRIVERS_KEPT * sizeof *out->gauge);
    work->is_drawn = account->known && account->n_dates > 0;
    if (!work->is_drawn)
        return;
    work->course = bt_course_new(a, sheet, &j->sampler, account);
    work->required = bt_program_column(j->sampler.program, account->required);
    work->left =
        has_left(account) ? bt_program_column(j->sampler.program, account->left) : NULL;
    struct bt_node *lines = bt_arena_alloc(a, account->n_lines * sizeof *lines);
    for (size_t k = 0; k < account->n_lines; k++)
        lines[k] = account->line[k].node;
    work->drivers = bt_driver_sums_new(a, &j->sampler, sheet, account->n_lines, lines,
                                       work->course.likely);
}

struct bt_job *bt_job_new(struct bt_arena *a, struct bt_diag *d, struct bt_shapes *shapes,
                          const struct bt_budget *b, const struct bt_chance_options *o)
{
    struct bt_job *j = bt_arena_zero(a, sizeof *j);
    j->arena = a;
    j->budget = b;
    j->samples = bt_sample_count(o);
    const struct node_list list = wanted_of(a, b);
    j->sampler = bt_sampler_new(a, d, shapes, b->sheet, o->seed,
                                (struct bt_nodes){list.n, list.node});
    j->keeper = bt_keeper_new(a, b->sheet, &j->sampler, j->samples, list.n, list.node);
    j->bins = bt_driver_bins_new(a, &j->sampler);
    j->finding.budget = b;
    j->finding.planting = bt_arena_zero(a, b->n_plantings * sizeof *j->finding.planting);
    for (size_t i = 0; i < b->n_accounts; i++)
        account_new(a, j, i);
    return j;
}

/* ---- a place to work in ------------------------------------------------------------- */

static size_t columns_of(const struct bt_job *j)
{
    size_t n = j->keeper.n_columns;
    for (size_t i = 0; i < j->budget->n_accounts; i++)
        n += j->account[i].is_drawn;
    return n;
}

/* How much room the largest of the jobs wants. */
static struct bt_workspace room_for(size_t n, struct bt_job *const *job)
{
    struct bt_workspace w = {0};
    for (size_t i = 0; i < n; i++) {
        const struct bt_job *j = job[i];
        const size_t values = columns_of(j) * j->samples;
        w.values = values > w.values ? values : w.values;
        w.leaves = j->bins.n_leaves > w.leaves ? j->bins.n_leaves : w.leaves;
        w.samples = j->samples > w.samples ? j->samples : w.samples;
    }
    return w;
}

struct bt_workspace *bt_workspace_new(struct bt_arena *a, size_t n,
                                      struct bt_job *const *job)
{
    struct bt_workspace *w = bt_arena_alloc(a, sizeof *w);
    *w = room_for(n, job);
    w->columns = bt_arena_alloc(a, w->values * sizeof *w->columns);
    w->bin = bt_arena_alloc(a, w->leaves * sizeof *w->bin);
    w->room = bt_summary_room_new(a, w->samples);
    w->worth = bt_arena_alloc(a, sizeof *w->worth);
    return w;
}

bool bt_workspace_fits(const struct bt_workspace *w, size_t n, struct bt_job *const *job)
{
    const struct bt_workspace wanted = room_for(n, job);
    return w->values >= wanted.values && w->leaves >= wanted.leaves &&
           w->samples >= wanted.samples;
}

static void move_in(struct bt_job *j, struct bt_workspace *w)
{
    double *columns = w->columns;
    j->at = w;
    j->bins.bin = w->bin;
    bt_keeper_use(&j->keeper, columns);
    columns += j->keeper.n_columns * j->samples;
    for (size_t i = 0; i < j->budget->n_accounts; i++) {
        j->account[i].tightest = columns;
        columns += j->account[i].is_drawn ? j->samples : 0;
    }
}

/* ---- drawing ------------------------------------------------------------------------ */

static void account_block(struct bt_account_job *work, const struct bt_account *account,
                          const struct bt_driver_bins *bins, size_t first)
{
    double *lowest = work->tightest + first;
    bt_course_block(&work->course, lowest);
    bt_driver_sums_block(&work->drivers, bins, lowest);
    size_t n_short = 0, n_visible = 0, n_over = 0;
    for (int i = 0; i < BT_BLOCK; i++) {
        const double need = work->required[i];
        n_short += lowest[i] < 0 && need > 0;
        n_visible += -lowest[i] > VISIBLE * need && need > 0;
    }
    for (int i = 0; work->left && i < BT_BLOCK; i++)
        n_over += work->left[i] > account->left_limit_g_m2;
    work->n_short += n_short;
    work->n_visibly_short += n_visible;
    work->n_left_over_limit += n_over;
}

/* ---- finding ------------------------------------------------------------------------ */

static struct bt_spread spread(const struct bt_job *j, struct bt_node n)
{
    return bt_keeper_get(&j->keeper, n)->spread;
}

static enum bt_word word_of(const struct bt_account_finding *f, double enough)
{
    bool any = false;
    for (size_t k = 0; k < f->account->n_lines; k++)
        any |= f->account->line[k].side == BT_DEMAND;
    if (!any)
        return BT_NO_CROP;
    if (f->chance_of_visible_shortfall >= enough)
        return BT_SHORT;
    if (f->chance_of_visible_shortfall >= EVEN)
        return BT_PROBABLY_SHORT;
    if (f->chance_of_visible_shortfall > 1 - enough)
        return BT_CANT_SAY;
    return f->chance_left_over_limit >= EVEN ? BT_MORE_THAN_ENOUGH : BT_ENOUGH;
}

/* Never 0, because a chance that never came up in N draws is not known to be 0. */
static double standard_error(size_t times, size_t samples)
{
    const double chance = ((double)times + 0.5) / ((double)samples + 1);
    return sqrt(chance * (1 - chance) / (double)samples);
}

static void find_lines(const struct bt_job *j, struct bt_account_finding *f)
{
    const struct bt_account *account = f->account;
    f->supply = spread(j, account->supply);
    for (int k = 0; account->stock && k < BT_BESIDES; k++)
        if (account->stock->has[k])
            f->beside[k] = spread(j, account->stock->node[k]);
    for (size_t k = 0; k < f->n_lines; k++) {
        const struct bt_line *line = &account->line[k];
        f->line[k].line = line;
        f->line[k].total = spread(j, line->node);
        double *mean = line->side == BT_DEMAND ? f->need : f->have;
        for (size_t t = 0; t < account->n_dates; t++)
            mean[t] += f->line[k].total.mean * line->by_date[t];
    }
}

static void find_chances(const struct bt_job *j, struct bt_account_job *work,
                         struct bt_account_finding *f)
{
    const double n = (double)j->samples;
    const size_t tightest = bt_course_tightest(&work->course, &f->tightest_date_chance);
    f->tightest_date = f->account->date[tightest];
    f->chance_of_shortfall = (double)work->n_short / n;
    f->chance_of_visible_shortfall = (double)work->n_visibly_short / n;
    f->chance_error = standard_error(work->n_visibly_short, j->samples);
    f->chance_left_over_limit = (double)work->n_left_over_limit / n;
    for (size_t k = 0; k < f->n_lines; k++)
        f->line[k].in_time_share = f->account->line[k].by_date[tightest];
}

static void find_account(struct bt_job *j, size_t i)
{
    struct bt_account_job *work = &j->account[i];
    struct bt_account_finding *f = &j->finding.account[i];
    find_lines(j, f);
    if (!work->is_drawn)
        return;
    find_chances(j, work, f);
    const struct bt_kept *balance = bt_keeper_get(&j->keeper, f->account->balance);
    f->required = spread(j, f->account->required);
    f->balance = balance->spread;
    f->tightest =
        bt_spread_of(j->at->room, j->samples, work->tightest, work->course.likely);
    f->tightest_error = bt_error_of(j->at->room, j->samples, work->tightest, &f->tightest);
    f->surplus = balance->whole
                     ? bt_spread_positive(&f->balance, j->samples, balance->whole, 1)
                     : bt_spread_exact(balance->likely > 0 ? balance->likely : 0);
    work->needs_nothing = f->required.mean == 0 && f->required.sd == 0;
    f->shortfall = work->needs_nothing
                       ? bt_spread_exact(0)
                       : bt_spread_positive(&f->tightest, j->samples, work->tightest, -1);
    if (work->left)
        f->left = spread(j, f->account->left);
    f->n_drivers = bt_drivers_finish(&work->drivers, &j->bins, &j->sampler, j->samples,
                                     &f->tightest, f->driver);
    bt_find_gauges(j, i);
    f->word = word_of(f, j->budget->garden->enough);
}

/* Companions of a legume: what is no legume and stands in the bed while it does. */
static bool grow_together(const struct bt_planting *a, const struct bt_planting *b)
{
    const bool a_first = a->ended.known && a->ended.day <= b->in_ground.day;
    const bool b_first = b->ended.known && b->ended.day <= a->in_ground.day;
    return !a_first && !b_first;
}

static double share_met(const struct bt_job *j, size_t legume)
{
    const struct bt_planting_facts *facts = j->budget->planting;
    double uptake = 0;
    for (size_t i = 0; i < j->budget->n_plantings; i++)
        if (!facts[i].is_legume && grow_together(facts[i].planting, facts[legume].planting))
            uptake += spread(j, facts[i].uptake).mean;
    return uptake > 0 ? spread(j, facts[legume].transfer).mean / uptake : 0;
}

static void find_planting(struct bt_job *j, size_t i)
{
    const struct bt_planting_facts *f = &j->budget->planting[i];
    struct bt_planting_spread *out = &j->finding.planting[i];
    out->uptake = spread(j, f->uptake);
    out->required = spread(j, f->required);
    if (!f->is_legume)
        return;
    out->plant_n = spread(j, f->plant_n);
    out->ndfa = spread(j, f->ndfa);
    out->fixed = spread(j, f->fixed);
    out->harvested = spread(j, f->harvested);
    out->transfer = spread(j, f->transfer);
    out->residue = spread(j, f->residue);
    out->draw = spread(j, f->draw);
    out->transfer_of_companions = share_met(j, i);
}

void bt_job_run(struct bt_job *j)
{
    bt_job_run_in(j, bt_workspace_new(j->arena, 1, &j));
}

void bt_job_run_in(struct bt_job *j, struct bt_workspace *w)
{
    move_in(j, w);
    for (size_t first = 0; first < j->samples; first += BT_BLOCK) {
        bt_sampler_block(&j->sampler, first);
        bt_driver_bins_block(&j->bins, &j->sampler);
        bt_keeper_block(&j->keeper, first);
        for (size_t i = 0; i < j->budget->n_accounts; i++)
            if (j->account[i].is_drawn)
                account_block(&j->account[i], &j->budget->account[i], &j->bins, first);
    }
    bt_keeper_finish(&j->keeper, j->at->room);
    for (size_t i = 0; i < j->budget->n_accounts; i++)
        find_account(j, i);
    for (size_t i = 0; i < j->budget->n_plantings; i++)
        find_planting(j, i);
}

const struct bt_finding *bt_job_finding(const struct bt_job *j)
{
    return &j->finding;
}

/* ---- any nodes ---------------------------------------------------------------------- */

const struct bt_spread *bt_chance_nodes(struct bt_arena *a, struct bt_shapes *shapes,
                                        const struct bt_budget *b,
                                        const struct bt_chance_options *o, size_t n,
                                        const struct bt_node *node)
{
    struct bt_spread *found = bt_arena_alloc(a, (n + 1) * sizeof *found);
    const size_t samples = bt_sample_count(o);
    struct bt_sampler sampler =
        bt_sampler_new(a, NULL, shapes, b->sheet, o->seed, (struct bt_nodes){n, node});
    struct bt_keeper keeper = bt_keeper_new(a, b->sheet, &sampler, samples, n, node);
    bt_keeper_use(&keeper, bt_arena_alloc(a, keeper.n_columns * samples * sizeof(double)));
    for (size_t first = 0; first < samples; first += BT_BLOCK) {
        bt_sampler_block(&sampler, first);
        bt_keeper_block(&keeper, first);
    }
    bt_keeper_finish(&keeper, bt_summary_room_new(a, samples));
    for (size_t k = 0; k < n; k++)
        found[k] = bt_keeper_get(&keeper, node[k])->spread;
    return found;
}
