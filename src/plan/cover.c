#include "plan/cover.h"

#include <math.h>

#include "chance/add_columns.h"
#include "chance/sampler.h"
#include "chance/summary.h"
#include "shape/kernel.h"

double bt_chance_error(double chance, size_t samples)
{
    const double n = (double)samples;
    const double p = (chance * n + 0.5) / (n + 1);
    return sqrt(p * (1 - p) / n);
}

/* What varies at one date: columns and weights, and the sum of what does not. */
struct at_date {
    double fixed;
    size_t n;
    const double **column;
    double *weight;
};

/* The lines of one account and what each is worth by each date. */
struct course {
    const struct bt_account *account;
    const double **column; /* by line; NULL where it has one value in every draw */
    double *fixed;         /* by line: that value */
    const double *required;
    double required_fixed;
    struct at_date *date;
    /* What crops that are gone before `from` needed, and the dates on which one of them
     * still stood: 0 .. n_gone - 1. */
    struct at_date gone;
    size_t n_gone;
};

static struct course course_of(struct bt_arena *a, const struct bt_budget *b,
                               const struct bt_account *account, const struct bt_sampler *s)
{
    struct course c = {.account = account};
    c.column = bt_arena_alloc(a, (account->n_lines + 1) * sizeof *c.column);
    c.fixed = bt_arena_alloc(a, (account->n_lines + 1) * sizeof *c.fixed);
    for (size_t k = 0; k < account->n_lines; k++) {
        const struct bt_node node = account->line[k].node;
        c.fixed[k] = bt_likely(b->sheet, node);
        c.column[k] = bt_program_varies(s->program, node)
                          ? bt_program_column(s->program, node)
                          : NULL;
    }
    c.required_fixed = bt_likely(b->sheet, account->required);
    c.required = bt_program_varies(s->program, account->required)
                     ? bt_program_column(s->program, account->required)
                     : NULL;
    return c;
}

static struct at_date at_date_of(struct bt_arena *a, const struct course *c, size_t date)
{
    const struct bt_account *account = c->account;
    struct at_date d = {0, 0, bt_arena_alloc(a, (account->n_lines + 1) * sizeof *d.column),
                        bt_arena_alloc(a, (account->n_lines + 1) * sizeof *d.weight)};
    for (size_t k = 0; k < account->n_lines; k++) {
        const struct bt_line *line = &account->line[k];
        const double share = line->by_date[date];
        const double weight = line->side == BT_DEMAND ? share : -share;
        if (!c->column[k]) {
            d.fixed += weight * c->fixed[k];
        } else if (share != 0) {
            d.column[d.n] = c->column[k];
            d.weight[d.n++] = weight;
        }
    }
    return d;
}

/* Demand that is at its end by date `last`: the crop is gone. */
static bool is_gone(const struct bt_account *account, const struct bt_line *line,
                    size_t last)
{
    static const double ALL = 1 - 1e-9;
    const double end = line->by_date[account->n_dates - 1];
    return line->side == BT_DEMAND && end > 0 && line->by_date[last] >= ALL * end;
}

static void note_gone(struct bt_arena *a, struct course *c, int from)
{
    const struct bt_account *account = c->account;
    size_t n_before = 0;
    while (n_before < account->n_dates && account->date[n_before] < from)
        n_before++;
    c->gone.column = bt_arena_alloc(a, (account->n_lines + 1) * sizeof *c->gone.column);
    c->gone.weight = bt_arena_alloc(a, (account->n_lines + 1) * sizeof *c->gone.weight);
    for (size_t k = 0; n_before > 0 && k < account->n_lines; k++) {
        const struct bt_line *line = &account->line[k];
        if (!is_gone(account, line, n_before - 1))
            continue;
        size_t until = n_before;
        while (until > 1 && is_gone(account, line, until - 2))
            until--;
        c->n_gone = until > c->n_gone ? until : c->n_gone;
        const double end = line->by_date[account->n_dates - 1];
        if (c->column[k]) {
            c->gone.column[c->gone.n] = c->column[k];
            c->gone.weight[c->gone.n++] = end;
        } else
            c->gone.fixed += end * c->fixed[k];
    }
}

/* need - have at one date. */
BT_KERNEL static void lack_at(const struct at_date *d, double *restrict out)
{
    bt_add_columns(d->fixed, d->n, d->column, d->weight, out);
}

BT_KERNEL static void keep_most(double *restrict most, const double *restrict lack)
{
    for (int i = 0; i < BT_BLOCK; i++)
        most[i] = lack[i] > most[i] ? lack[i] : most[i];
}

/* What crops that are gone went without: they are not fed any more, and what is given now
 * need not make up for it. Never more than they needed. */
static void forgive(const struct course *c, const double *debt, double *restrict out)
{
    double needed[BT_BLOCK];
    lack_at(&c->gone, needed);
    for (int i = 0; i < BT_BLOCK; i++) {
        const double least = debt[i] < needed[i] ? debt[i] : needed[i];
        out[i] = least > 0 ? least : 0;
    }
}

struct counts {
    size_t all, before, from, over;
};

static void count(const struct course *c, const double *before, const double *from,
                  struct counts *n)
{
    for (int i = 0; i < BT_BLOCK; i++) {
        const double need = c->required ? c->required[i] : c->required_fixed;
        const bool none = !(need > 0); /* nothing needed: nothing can be short */
        n->before += none || before[i] <= 0;
        n->from += none || from[i] <= 0;
        n->all += none || (before[i] <= 0 && from[i] <= 0);
    }
}

static void cover_block(const struct course *c, const struct bt_cover_options *o,
                        size_t first, struct bt_cover *out, struct counts *n)
{
    double before[BT_BLOCK], from[BT_BLOCK], at[BT_BLOCK] = {0};
    double debt[BT_BLOCK], forgiven[BT_BLOCK] = {0};
    for (int i = 0; i < BT_BLOCK; i++)
        before[i] = from[i] = debt[i] = -HUGE_VAL;
    for (size_t t = 0; t < c->account->n_dates; t++) {
        double *lack = out->lack ? out->lack[t] + first : at;
        double *most = c->account->date[t] < o->from ? before : from;
        lack_at(&c->date[t], lack);
        if (most == from && c->n_gone > 0)
            for (int i = 0; i < BT_BLOCK; i++)
                lack[i] -= forgiven[i];
        keep_most(most, lack);
        if (t < c->n_gone)
            keep_most(debt, lack);
        if (t + 1 == c->n_gone)
            forgive(c, debt, forgiven);
    }
    count(c, before, from, n);
    const size_t n_dates = c->account->n_dates;
    const double *end = !n_dates ? NULL : out->lack ? out->lack[n_dates - 1] + first : at;
    for (int i = 0; end && i < BT_BLOCK; i++)
        n->over += end[i] < 0;
}

struct bt_cover bt_cover_of(struct bt_arena *a, const struct bt_budget *b,
                            enum bt_nutrient nutrient, const struct bt_cover_options *o)
{
    const struct bt_account *account = &b->account[nutrient];
    struct bt_cover out = {.samples = bt_sample_count(&o->chance)};
    const size_t n_wanted = account->n_lines + 1;
    struct bt_node *wanted = bt_arena_alloc(a, n_wanted * sizeof *wanted);
    for (size_t k = 0; k < account->n_lines; k++)
        wanted[k] = account->line[k].node;
    wanted[account->n_lines] = account->required;
    struct bt_sampler s = bt_sampler_new(a, NULL, o->shapes, b->sheet, o->chance.seed,
                                         (struct bt_nodes){n_wanted, wanted});
    struct course c = course_of(a, b, account, &s);
    c.date = bt_arena_alloc(a, (account->n_dates + 1) * sizeof *c.date);
    for (size_t t = 0; t < account->n_dates; t++)
        c.date[t] = at_date_of(a, &c, t);
    note_gone(a, &c, o->from);
    if (o->wants_lacks) {
        out.lack = bt_arena_alloc(a, (account->n_dates + 1) * sizeof *out.lack);
        for (size_t t = 0; t < account->n_dates; t++)
            out.lack[t] = bt_arena_alloc(a, out.samples * sizeof **out.lack);
    }
    struct counts n = {0, 0, 0, 0};
    for (size_t first = 0; first < out.samples; first += BT_BLOCK) {
        bt_sampler_block(&s, first);
        cover_block(&c, o, first, &out, &n);
    }
    out.chance = (double)n.all / (double)out.samples;
    out.chance_before = (double)n.before / (double)out.samples;
    out.chance_from = (double)n.from / (double)out.samples;
    out.chance_over = (double)n.over / (double)out.samples;
    if (!o->wants_lacks)
        return out;
    out.lack_mean = bt_arena_alloc(a, (account->n_dates + 1) * sizeof *out.lack_mean);
    out.lack_sd = bt_arena_alloc(a, (account->n_dates + 1) * sizeof *out.lack_sd);
    for (size_t t = 0; t < account->n_dates; t++) {
        const struct bt_moments m = bt_moments_of(out.samples, out.lack[t]);
        out.lack_mean[t] = m.mean;
        out.lack_sd[t] = m.sd;
    }
    return out;
}
