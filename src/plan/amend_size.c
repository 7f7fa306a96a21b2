/* How much: the mix that was chosen in amounts that can be measured; the budget with it has
 * the last word. */
#include <math.h>
#include <string.h>

#include "model/season.h"
#include "plan/amend_work.h"

static const double NEAR = 0.002; /* of a chance: near enough to the wish */

/* ---- the plan ---- */

static double cost_of(const struct bt_candidate *c, double mass_g)
{
    return c->price_per_g * mass_g;
}

static struct bt_addition addition_of(const struct bt_work *w, const struct bt_rounded *r,
                                      size_t j)
{
    const struct bt_rounding how = {w->m->garden, w->m->book, w->m->options.us_units};
    const struct bt_candidate *c = bt_work_candidate(w, j);
    const struct bt_slot *s = &w->slot[w->column[j].slot];
    const double mass_g = r->measured[j].mass_g;
    const double mass_g_m2 = mass_g / w->bed->area_m2;
    return (struct bt_addition){
        .material = c,
        .day = s->day,
        .stage = s->stage,
        .planting = s->planting,
        .placement = bt_work_placement(w, j),
        .measured = r->measured[j],
        .rates = bt_measure_rates(w->arena, &how, c, w->bed, s->planting, mass_g),
        .n_g_m2 = mass_g_m2 * c->n_frac,
        .p2o5_g_m2 = mass_g_m2 * c->p2o5_frac,
        .k2o_g_m2 = mass_g_m2 * c->k2o_frac,
        .next_n_g_m2 = mass_g_m2 * c->n_frac * c->next_frac,
        .cost = cost_of(c, mass_g)};
}

static void add_up(struct bt_plan *p)
{
    for (size_t i = 0; i < p->n_additions; i++) {
        const struct bt_addition *x = &p->addition[i];
        p->p2o5_g_m2 += x->p2o5_g_m2;
        p->k2o_g_m2 += x->k2o_g_m2;
        p->next_n_g_m2 += x->next_n_g_m2;
        p->n_g_m2 += x->n_available.likely;
        if (isfinite(x->cost))
            p->cost += x->cost;
        else
            p->n_unpriced++;
    }
}

static struct bt_spread line_of(const struct bt_account_finding *f, const char *subject)
{
    struct bt_spread none = {0};
    for (size_t k = 0; k < f->n_lines; k++)
        if (f->line[k].line->advised &&
            strncmp(f->line[k].line->label, subject, strlen(subject)) == 0)
            return f->line[k].total;
    return none;
}

/* The budget of garden and plan, as `budget --plan` will show it. */
static void last_word(const struct bt_work *w, const struct bt_rounded *r,
                      struct bt_plan *p)
{
    struct bt_arena *a = w->m->beside;
    const struct bt_mark mark = bt_arena_mark(a);
    struct bt_budget b;
    const struct bt_garden *g = bt_work_garden(w, a, r->x);
    if (bt_season_build(a, bt_diag_new(a), w->m->book, g, w->bed_index, &b)) {
        struct bt_job *job = bt_job_new(a, NULL, w->m->shapes, &b, &w->m->options.chance);
        bt_job_run(job);
        const struct bt_account_finding *f = &bt_job_finding(job)->account[BT_N];
        p->chance_season = 1 - f->chance_of_shortfall;
        p->surplus_g_m2 = f->surplus.mean;
        p->chance_left_over_limit = f->chance_left_over_limit;
        size_t i = 0;
        for (size_t j = 0; j < w->n_columns; j++)
            if (r->x[j] > 0)
                p->addition[i++].n_available = line_of(f, bt_work_subject(w, a, j));
    }
    bt_arena_release(a, mark);
    const struct bt_cover c = bt_work_cover(w, r->x, 1);
    p->chance = bt_work_chance(w, &c);
    p->chance_error = bt_chance_error(p->chance, c.samples);
    p->chance_surplus = c.chance_over;
}

/* A limit that differs from the one before only in its date is said with it. */
static size_t add_limit(struct bt_arena *a, const char **by, size_t n, const char *name)
{
    const char *date = strrchr(name, ',');
    const size_t length = date ? (size_t)(date - name) : 0;
    if (n > 0 && date && strncmp(by[n - 1], name, length + 1) == 0) {
        by[n - 1] = bt_arena_format(a, "%s;%s", by[n - 1], date + 1);
        return n;
    }
    by[n] = name;
    return n + 1;
}

/* Limits that the plan fills; where it fills none and is not what was wished, those that
 * kept the program from more. */
static void note_limits(const struct bt_work *w, const struct bt_choice_model *m,
                        const struct bt_choice *c, const struct bt_rounded *r,
                        struct bt_plan *p)
{
    const char **by = bt_arena_alloc(w->arena, (m->n_rows + 1) * sizeof *by);
    for (size_t i = 0; i < m->n_rows; i++) {
        if (m->row[i].kind == BT_CHOICE_LIMIT && bt_work_no_step_left(w, m, i, r))
            p->n_stopped_by = add_limit(w->arena, by, p->n_stopped_by, m->row[i].name);
    }
    for (size_t i = 0; i < m->n_rows && !p->feasible && p->n_stopped_by == 0; i++)
        if (m->row[i].kind == BT_CHOICE_LIMIT && c->fights[i])
            p->n_stopped_by = add_limit(w->arena, by, 0, m->row[i].name);
    p->stopped_by = by;
}

/* Needs of phosphate and potash that no material on the list covers. */
static void note_lacks(const struct bt_work *w, const struct bt_choice_model *m,
                       const double *x, struct bt_plan *p)
{
    enum { OF_EACH = 2 };
    const char **lacking = bt_arena_alloc(w->arena, OF_EACH * sizeof *lacking);
    for (size_t i = 0; i < m->n_rows && p->n_lacking < OF_EACH; i++) {
        double sum = 0;
        if (m->row[i].kind != BT_CHOICE_NEED || !strstr(m->row[i].name, " need"))
            continue;
        for (size_t j = 0; j < m->n_columns; j++)
            sum +=
                x[j] * bt_work_available(w, j, *m->row[i].name == 'P' ? BT_P2O5 : BT_K2O);
        if (sum < 0.9 * m->row[i].bound)
            lacking[p->n_lacking++] = bt_arena_format(
                w->arena, "%s: %s, of which the plan brings %s", m->row[i].name,
                bt_work_rate_text(w, m->row[i].bound), bt_work_rate_text(w, sum));
    }
    p->lacking = lacking;
}

static struct bt_plan planned(const struct bt_work *w, const struct bt_choice_model *m,
                              const struct bt_mix *mix, double enough)
{
    struct bt_plan p = {.enough = enough, .out_of_reach = !mix->met};
    const struct bt_rounded r =
        bt_work_round(w, m, mix->x, (mix->met ? enough : mix->chance) - NEAR);
    p.addition = bt_arena_zero(w->arena, (w->n_columns + 1) * sizeof *p.addition);
    for (size_t j = 0; j < w->n_columns; j++)
        if (r.x[j] > 0)
            p.addition[p.n_additions++] = addition_of(w, &r, j);
    last_word(w, &r, &p);
    p.feasible = p.chance >= p.enough - NEAR;
    add_up(&p);
    note_limits(w, m, &mix->last, &r, &p);
    note_lacks(w, m, r.x, &p);
    return p;
}

/* What rounding down has cost is asked for beside the wish. */
struct bt_plan bt_work_plan(const struct bt_work *w, double enough)
{
    enum { TRIES = 3 };
    const struct bt_choice_model all = bt_work_model(w, enough);
    const struct bt_choice_model measurable = bt_work_measurable(w, &all);
    struct bt_plan best = {.chance = -1};
    double wish = enough - NEAR;
    for (int i = 0; i < TRIES && wish < 1; i++) {
        const struct bt_mix mix = bt_work_mix(w, &measurable, wish);
        const struct bt_plan p = planned(w, &all, &mix, enough);
        const bool was_met = i > 0 && !best.out_of_reach;
        if (p.chance > best.chance)
            best = p;
        best.out_of_reach = !was_met && !mix.met;
        if (best.feasible || !mix.met)
            break;
        wish += enough - p.chance + NEAR;
    }
    return best;
}
