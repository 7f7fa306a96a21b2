/* How much: the program chooses the mix for a target that a root finder moves until the
 * full sample says that the need is covered with the wished chance; then amounts are
 * rounded to what can be measured, and the budget with the plan in it has the last word. */
#include <math.h>
#include <string.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>

#include "model/season.h"
#include "plan/amend_work.h"

enum { STEPS_MOST = 12, WIDER_MOST = 7, ROUNDS_MOST = 12 };

static const double WIDER = 1.7;  /* each step of the search than the one before */
static const double NEAR = 0.002; /* of a chance: near enough above the wish */
static const double NEAR_BEST =
    0.01;                          /* of the best chance there is, when the wish is not */
static const double FULL = 0.97;   /* of a limit: it is what holds the plan */
static const double DEARER = 0.05; /* a material less may cost so much more, */
static const double DEARER_G_M2 = 0.3; /* and so many g/m2 of P2O5 and K2O */

/* ---- aiming
 * ------------------------------------------------------------------------------ */

struct aim {
    const struct bt_work *w;
    size_t part; /* of the draws that are looked at: all of them, or one in so many */
    const struct bt_choice_model *model;
    struct bt_choice_row *row;
    double wish;
    /* The smallest plan so far that meets the wish, and the best one that does not. */
    double *met, *best;
    double met_chance, best_chance, met_more;
    struct bt_choice last;
};

static double try_more(struct aim *t, double more)
{
    const struct bt_choice_model raised = bt_work_raised(t->w, t->model, t->row, more);
    if (!bt_choose(t->w->arena, &raised, &t->last))
        return -t->wish;
    const struct bt_cover c = bt_work_cover(t->w, t->last.x, t->part);
    const double chance = bt_work_chance(t->w, &c);
    if (chance >= t->wish && chance < t->met_chance) {
        t->met_chance = chance;
        t->met = t->last.x;
        t->met_more = more;
    }
    if (chance > t->best_chance) {
        t->best_chance = chance;
        t->best = t->last.x;
    }
    return chance - t->wish;
}

static double of_gsl(double more, void *aim)
{
    return try_more(aim, more);
}

/* Between a target that is too low and one that is not: Brent's method, until near enough.
 */
static void close_in(struct aim *t, double low, double high)
{
    gsl_function f = {of_gsl, t};
    gsl_root_fsolver *s = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    if (!s)
        return; /* the plan that met the wish stands; it is only larger than need be */
    if (gsl_root_fsolver_set(s, &f, low, high) == GSL_SUCCESS)
        for (int i = 0; i < STEPS_MOST && t->met_chance - t->wish > NEAR; i++)
            if (gsl_root_fsolver_iterate(s) != GSL_SUCCESS ||
                gsl_root_test_interval(gsl_root_fsolver_x_lower(s),
                                       gsl_root_fsolver_x_upper(s), 1e-3, 0) == GSL_SUCCESS)
                break;
    gsl_root_fsolver_free(s);
}

/* False when no plan within the limits meets the wish; `best` is then the most there is. */
static bool meet_from(struct aim *t, double start, double step)
{
    double low = start, high = start;
    bool above = try_more(t, start) >= 0, below = !above;
    for (int i = 0; i < WIDER_MOST && !(above && below); i++) {
        if (above) { /* downwards, to where it is too little */
            low = high - step;
            below = try_more(t, low) < 0;
            high = below ? high : low;
        } else {
            high = low + step;
            const double before = t->best_chance;
            above = try_more(t, high) >= 0;
            low = above ? low : high;
            if (!above && i > 1 && t->best_chance <= before)
                break; /* more is asked for and none comes */
        }
        step *= WIDER;
    }
    if (above && below)
        close_in(t, low, high);
    return t->met != NULL;
}

/* Forgets what was tried; from now on one in `part` of the draws is looked at. */
static void look_at_part(struct aim *t, size_t part)
{
    t->part = part;
    t->met = t->best = NULL;
    t->met_chance = 2;
    t->best_chance = -1;
}

/* With a part of the draws to come near, with all of them to be sure. */
static bool meet(struct aim *t)
{
    enum { PART = 8 };
    look_at_part(t, PART);
    if (meet_from(t, 0, 0.5)) {
        const double near_it = t->met_more;
        look_at_part(t, 1);
        return meet_from(t, near_it, 0.05);
    }
    if (t->best_chance < t->wish - 2 * NEAR_BEST)
        return false; /* far from it: no need to look closer */
    look_at_part(t, 1);
    return meet_from(t, 0, 0.5);
}

static struct aim aim_at(const struct bt_work *w, const struct bt_choice_model *m,
                         double wish)
{
    return (struct aim){.w = w,
                        .part = 1,
                        .model = m,
                        .row = bt_arena_alloc(w->arena, (m->n_rows + 1) * sizeof(*m->row)),
                        .wish = wish,
                        .met_chance = 2,
                        .best_chance = -1};
}

/* ---- the mix
 * ------------------------------------------------------------------------------ */

static void keep_to(const struct bt_choice_model *m, const double *x, double *most)
{
    for (size_t j = 0; j < m->n_columns; j++)
        most[j] = x[j] > 0 ? m->most[j] : 0;
}

/* The model with only the fewest materials, and of those only the fewest doses, that do as
 * well. */
static struct bt_choice_model fewest(const struct bt_work *w,
                                     const struct bt_choice_model *m,
                                     struct bt_choice_row *row, double more)
{
    struct bt_arena *a = w->arena;
    struct bt_choice_model few = bt_work_raised(w, m, row, more);
    const double at_least = w->by_cost ? 0 : DEARER_G_M2;
    struct bt_choice c;
    if (!bt_choose_fewest(a, &few, DEARER, at_least, &c))
        return *m;
    double *most = bt_arena_alloc(a, (m->n_columns + 1) * sizeof *most);
    keep_to(m, c.x, most);
    few.most = most;
    few.group = NULL;
    if (bt_choose_fewest(a, &few, DEARER, at_least, &c))
        keep_to(m, c.x, most);
    few = *m;
    few.most = most;
    return few;
}

/* ---- rounding
 * ------------------------------------------------------------------------------ */

struct rounding {
    const struct bt_work *w;
    const struct bt_choice_model *m;
    struct bt_rounding how;
    const double *asked; /* units by column */
    double *x;           /* rounded */
    struct bt_measured *measured;
};

static double grams(const struct bt_work *w, size_t j, double units)
{
    return units * w->column[j].unit_g_m2 * w->bed->area_m2;
}

static void put(struct rounding *r, size_t j, struct bt_measured to)
{
    r->measured[j] = to;
    r->x[j] = to.mass_g / grams(r->w, j, 1);
}

static bool step(struct rounding *r, size_t j, bool up)
{
    const struct bt_measured before = r->measured[j];
    const double before_x = r->x[j];
    put(r, j,
        bt_measure_step(r->w->arena, &r->how, bt_work_candidate(r->w, j),
                        grams(r->w, j, r->asked[j]), &before, up));
    if (up && !bt_work_keeps_limits(r->m, r->x)) {
        r->measured[j] = before;
        r->x[j] = before_x;
        return false;
    }
    return r->x[j] != before_x;
}

/* What one unit of a column costs the program's way, P2O5 and K2O too many with it, for
 * each gram of nitrogen that it gives. */
static double dear_of(const struct rounding *r, size_t j)
{
    double cost = r->m->cost[j];
    for (size_t i = 0; i < r->m->n_rows; i++)
        if (r->m->row[i].kind == BT_CHOICE_SOFT)
            cost += r->m->row[i].dear * r->m->row[i].gives[j];
    const double gives = r->w->column[j].available_g_m2;
    return gives > 0 ? cost / gives : HUGE_VAL;
}

/* The column that is taken a step up: of those that give nitrogen at the least cost the one
 * whose step is smallest, for a gentle correction; n_columns for none. */
static size_t smallest_step(const struct rounding *r, const bool *stuck)
{
    size_t best = r->w->n_columns;
    double least = HUGE_VAL, cheapest = HUGE_VAL;
    for (size_t j = 0; j < r->w->n_columns; j++)
        if (r->asked[j] > 0 && !stuck[j] && dear_of(r, j) < cheapest)
            cheapest = dear_of(r, j);
    for (size_t j = 0; j < r->w->n_columns; j++) {
        if (!(r->asked[j] > 0) || stuck[j] || dear_of(r, j) > 1.05 * cheapest)
            continue;
        const struct bt_measured up =
            bt_measure_step(r->w->arena, &r->how, bt_work_candidate(r->w, j),
                            grams(r->w, j, r->asked[j]), &r->measured[j], true);
        const double change = (up.mass_g / grams(r->w, j, 1) - r->x[j]) *
                              fabs(r->w->column[j].available_g_m2);
        if (change < least) {
            least = change;
            best = j;
        }
    }
    return best;
}

/* To the nearest that can be measured; down where a limit would be passed; then up until
 * the wish is met again or nothing more goes. */
static void round_amounts(struct rounding *r, double wish)
{
    const size_t n = r->w->n_columns;
    bool *stuck = bt_arena_zero(r->w->arena, (n + 1) * sizeof *stuck);
    for (size_t j = 0; j < n; j++)
        if (r->asked[j] > 0)
            put(r, j,
                bt_measure_out(r->w->arena, &r->how, bt_work_candidate(r->w, j),
                               grams(r->w, j, r->asked[j]), HUGE_VAL));
    for (size_t j = 0; j < n && !bt_work_keeps_limits(r->m, r->x); j++)
        if (r->x[j] > r->asked[j])
            step(r, j, false);
    for (int i = 0; i < ROUNDS_MOST; i++) {
        const struct bt_cover c = bt_work_cover(r->w, r->x, 1);
        if (bt_work_chance(r->w, &c) >= wish)
            return;
        size_t j = smallest_step(r, stuck);
        while (j < n && !step(r, j, true)) {
            stuck[j] = true;
            j = smallest_step(r, stuck);
        }
        if (j == n)
            return;
    }
}

/* ---- the plan
 * ------------------------------------------------------------------------------- */

static double cost_of(const struct bt_candidate *c, double mass_g)
{
    return c->price_per_g * mass_g;
}

static struct bt_addition addition_of(const struct rounding *r, size_t j)
{
    const struct bt_work *w = r->w;
    const struct bt_candidate *c = bt_work_candidate(w, j);
    const struct bt_slot *s = &w->slot[w->column[j].slot];
    const double mass_g = r->measured[j].mass_g;
    const double mass_g_m2 = mass_g / w->bed->area_m2;
    return (struct bt_addition){
        .material = c,
        .day = s->day,
        .stage = s->stage,
        .planting = s->planting,
        .measured = r->measured[j],
        .rates = bt_measure_rates(w->arena, &r->how, w->bed, s->planting, mass_g),
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
static void last_word(const struct rounding *r, struct bt_plan *p)
{
    const struct bt_work *w = r->w;
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

/* Of a row, what the plan comes to: as worked out or as rounded, whichever is more. */
static double taken(const struct bt_choice_model *m, size_t row, const struct rounding *r)
{
    double asked = 0, rounded = 0;
    for (size_t j = 0; j < m->n_columns; j++) {
        asked += m->row[row].gives[j] * r->asked[j];
        rounded += m->row[row].gives[j] * r->x[j];
    }
    return rounded > asked ? rounded : asked;
}

/* Limits that the plan fills; where it fills none and is not what was wished, those that
 * kept the program from more. */
static void note_limits(const struct bt_work *w, const struct bt_choice_model *m,
                        const struct bt_choice *c, const struct rounding *r,
                        struct bt_plan *p)
{
    const char **by = bt_arena_alloc(w->arena, (m->n_rows + 1) * sizeof *by);
    for (size_t i = 0; i < m->n_rows; i++) {
        const double sum = taken(m, i, r);
        if (m->row[i].kind == BT_CHOICE_LIMIT && sum > 0 && sum >= FULL * m->row[i].bound)
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
            sum += m->row[i].gives[j] * x[j];
        if (sum < 0.9 * m->row[i].bound)
            lacking[p->n_lacking++] = bt_arena_format(
                w->arena, "%s: %s, of which the plan brings %s", m->row[i].name,
                bt_work_rate_text(w, m->row[i].bound), bt_work_rate_text(w, sum));
    }
    p->lacking = lacking;
}

static struct bt_plan planned(struct bt_work *w, const struct bt_choice_model *m,
                              const double *x, const struct aim *t, bool met)
{
    struct bt_plan p = {.enough = t->wish, .feasible = met};
    struct rounding r = {
        .w = w,
        .m = m,
        .how = {w->m->garden, w->m->book, w->m->options.us_units},
        .asked = x,
        .x = bt_arena_zero(w->arena, (w->n_columns + 1) * sizeof(double)),
        .measured =
            bt_arena_zero(w->arena, (w->n_columns + 1) * sizeof(struct bt_measured))
    };
    round_amounts(&r, met ? t->wish : t->best_chance - NEAR_BEST);
    p.addition = bt_arena_zero(w->arena, (w->n_columns + 1) * sizeof *p.addition);
    for (size_t j = 0; j < w->n_columns; j++)
        if (r.x[j] > 0)
            p.addition[p.n_additions++] = addition_of(&r, j);
    last_word(&r, &p);
    p.feasible = p.chance >= p.enough - NEAR;
    add_up(&p);
    note_limits(w, m, &t->last, &r, &p);
    note_lacks(w, m, r.x, &p);
    return p;
}

struct bt_plan bt_work_plan(struct bt_work *w, double enough)
{
    const struct bt_choice_model all = bt_work_model(w, enough);
    struct aim t = aim_at(w, &all, enough);
    /* First with the fewest materials and doses; all of them only where those do not do. */
    const struct bt_choice_model few = fewest(w, &all, t.row, 0);
    t.model = &few;
    bool met = meet(&t);
    if (!met) {
        const double few_best = t.best_chance;
        double *few_x = t.best;
        t.model = &all;
        met = meet(&t);
        if (!met && t.best_chance < few_best + NEAR_BEST) {
            t.best = few_x; /* more materials do no better */
            t.best_chance = few_best;
        }
    }
    if (!met) { /* the nearest: not more than what comes near the best there is */
        struct aim near = aim_at(w, t.model, t.best_chance - NEAR_BEST);
        if (meet(&near))
            t.best = near.met;
    }
    return planned(w, &all, met ? t.met : t.best, &t, met);
}
