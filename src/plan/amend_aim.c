/* Which mix: the program chooses for a target that a root finder moves until the sample
 * says that the need is covered with the wished chance, with the fewest materials and
 * doses. */
#include <math.h>
#include <string.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>

#include "plan/amend_work.h"

enum { STEPS_MOST = 12, WIDER_MOST = 7 };

static const double WIDER = 1.7;  /* each step of the search than the one before */
static const double NEAR = 0.002; /* of a chance: near enough above the wish */
static const double NEAR_BEST =
    0.01;                          /* of the best chance there is, when the wish is not */
static const double HARDLY = 0.05; /* of a chance: no guide to what is too much */
static const double DEARER = 0.05; /* a material less may cost so much more, */
static const double DEARER_G_M2 = 0.3; /* and so many g/m2 of P2O5 and K2O */

/* ---- aiming ---- */

struct aim {
    const struct bt_work *w;
    size_t part; /* of the draws that are looked at: all of them, or one in so many */
    const struct bt_choice_model *model;
    struct bt_choice_row *row;
    double wish;
    /* The smallest plan so far that meets the wish, and the best one that does not. */
    double *met, *best;
    double met_chance, best_chance, met_more, best_more;
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
        t->best_more = more;
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

/* ---- the mix ---- */

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

/* ---- meeting a wish ---- */

/* With the fewest materials that do where the target lies `more` standard deviations
 * higher. */
static bool meet_with_few(const struct bt_work *w, const struct bt_choice_model *all,
                          double more, double wish, struct aim *out)
{
    struct bt_choice_model *few = bt_arena_alloc(w->arena, sizeof *few);
    *out = aim_at(w, all, wish);
    *few = fewest(w, all, out->row, more);
    out->model = few;
    return meet(out);
}

static struct bt_mix mix_of(const struct aim *t, bool met)
{
    return (struct bt_mix){.x = met ? t->met : t->best,
                           .met = met,
                           .chance = met ? t->met_chance : t->best_chance,
                           .last = t->last};
}

/* The best chance that was found, and not more than comes near it. */
static struct bt_mix nearest(const struct bt_work *w, const struct bt_choice_model *all,
                             const struct aim *best)
{
    const double wish = best->best_chance - NEAR_BEST;
    struct aim near;
    if (meet_with_few(w, all, best->best_more, wish, &near))
        return mix_of(&near, true);
    near = aim_at(w, all, wish);
    return meet(&near) ? mix_of(&near, true) : mix_of(best, false);
}

struct bt_mix bt_work_mix(const struct bt_work *w, const struct bt_choice_model *all,
                          double wish)
{
    /* First with the fewest materials and doses; all of them only where those do not do,
     * and then of these the fewest that reach so far. */
    struct aim few, more;
    if (meet_with_few(w, all, 0, wish, &few))
        return mix_of(&few, true);
    more = aim_at(w, all, wish);
    if (meet(&more)) {
        struct aim fewer;
        return mix_of(meet_with_few(w, all, more.met_more, wish, &fewer) ? &fewer : &more,
                      true);
    }
    if (more.best_chance < bt_work_chance(w, &w->cover) + HARDLY)
        return mix_of(&more, false);
    struct bt_mix mix = nearest(w, all, more.best_chance > few.best_chance ? &more : &few);
    mix.met = false;
    return mix;
}
