#include "chance/stand.h"

#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>

#include "chance/columns.h"
#include "chance/sampler.h"
#include "model/season.h"

/* Shares that are tried for the draws; between them lines are straight. */
static const double GRID[] = {0.02, 0.05, 0.1, 0.2, 0.35, 0.5, 0.65, 0.8, 0.9, 0.98};
enum { SHARES = sizeof GRID / sizeof *GRID, MOST_STEPS = 60, FEWEST_DRAWS = 40 };
static const double CLOSE_ENOUGH = 1e-4; /* of a share of the bed */

struct stand {
    struct bt_arena *beside;
    const struct bt_legumes_question *q;
    size_t legume;
    bool in_place;
    double wished_frac;
};

/* The share `x` of the bed under the legume as a change of the garden: of a full sole stand
 * when it is added, of all plants when it takes the place of others. */
static struct bt_change change_to(const struct stand *s, double x)
{
    const struct bt_legume_facts *l = &s->q->budget->legume[s->legume];
    if (s->in_place)
        return (struct bt_change){
            .kind = BT_CHANGE_PART, .legume = s->legume, .amount = x, .name = "part"};
    return (struct bt_change){.kind = BT_CHANGE_TIMES,
                              .legume = s->legume,
                              .amount = x / l->density,
                              .name = "times"};
}

/* The worksheet at the share x, and its legume; NULL when it cannot be built. */
static const struct bt_legume_facts *build(const struct stand *s, double x,
                                           struct bt_budget *out)
{
    const struct bt_change c = change_to(s, x);
    struct bt_garden *g = bt_garden_changed(s->beside, s->q->handbook, s->q->budget, &c);
    if (!bt_season_build(s->beside, bt_diag_new(s->beside), s->q->handbook, g, s->q->bed,
                         out))
        return NULL;
    const struct bt_legume_facts *l = bt_changed_legume(s->q->budget, &c, out);
    return l && l->has[BT_LEGUME_MET] ? l : NULL;
}

/* Share of the neighbours' need met at the likely values, less the wished part. */
static double over_wish(double x, void *context)
{
    const struct stand *s = context;
    const struct bt_mark mark = bt_arena_mark(s->beside);
    struct bt_budget b;
    const struct bt_legume_facts *l = build(s, x, &b);
    const double met = l ? bt_likely(b.sheet, l->node[BT_LEGUME_MET]) : 0;
    bt_arena_release(s->beside, mark);
    return met - s->wished_frac;
}

static bool likely_share(struct stand *s, double *out)
{
    double low = GRID[0], high = GRID[SHARES - 1];
    *out = low;
    if (over_wish(low, s) >= 0)
        return true;
    if (!(over_wish(high, s) > 0))
        return false;
    gsl_function f = {.function = over_wish, .params = s};
    gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    if (!solver)
        return false;
    int status = gsl_root_fsolver_set(solver, &f, low, high);
    for (int k = 0; status == GSL_SUCCESS && k < MOST_STEPS; k++) {
        status = gsl_root_fsolver_iterate(solver);
        low = gsl_root_fsolver_x_lower(solver);
        high = gsl_root_fsolver_x_upper(solver);
        if (gsl_root_test_interval(low, high, CLOSE_ENOUGH, 0) == GSL_SUCCESS)
            break;
    }
    *out = gsl_root_fsolver_root(solver);
    gsl_root_fsolver_free(solver);
    return status == GSL_SUCCESS;
}

/* ---- the draws ---- */

/* Met shares at each share of the grid, draw by draw; false when a worksheet fails. */
static bool met_on_grid(const struct stand *s, double *met[SHARES])
{
    for (size_t k = 0; k < SHARES; k++) {
        struct bt_budget b;
        const struct bt_legume_facts *l = build(s, GRID[k], &b);
        if (!l)
            return false;
        const struct bt_columns c = bt_columns_of(
            s->beside, s->q->shapes, b.sheet, &s->q->chance, 1, &l->node[BT_LEGUME_MET]);
        met[k] = c.x[0];
    }
    return true;
}

/* The least share of draw i that does it; NaN when none does. */
static double least_share(double *const met[SHARES], size_t i, double wished_frac)
{
    if (met[0][i] >= wished_frac)
        return GRID[0];
    for (size_t k = 1; k < SHARES; k++)
        if (met[k][i] >= wished_frac)
            return GRID[k - 1] + (GRID[k] - GRID[k - 1]) * (wished_frac - met[k - 1][i]) /
                                     (met[k][i] - met[k - 1][i]);
    return (double)NAN;
}

static void range_of(const struct stand *s, double *const met[SHARES], double *work,
                     struct bt_stand_finding *out)
{
    const size_t samples = bt_sample_count(&s->q->chance);
    size_t n = 0;
    for (size_t i = 0; i < samples; i++) {
        const double x = least_share(met, i, s->wished_frac);
        if (!isnan(x))
            work[n++] = x;
    }
    out->chance_none = 1 - (double)n / (double)samples;
    out->low = out->high = (double)NAN;
    if (n < FEWEST_DRAWS)
        return;
    const struct bt_spread x = bt_spread_of(bt_summary_room_new(s->beside, n), n, work, 0);
    out->low = x.p05;
    out->high = x.p95;
}

void bt_stand_find(struct bt_arena *beside, const struct bt_legumes_question *q,
                   size_t legume, bool in_place, struct bt_stand_finding *out)
{
    struct stand s = {.beside = beside, .q = q, .legume = legume, .in_place = in_place};
    const struct bt_legume_facts *l = &q->budget->legume[legume];
    const struct bt_mark mark = bt_arena_mark(beside);
    double *met[SHARES];
    const bool has_draws = met_on_grid(&s, met);
    double *work = bt_arena_alloc(beside, bt_sample_count(&q->chance) * sizeof *work);
    for (int p = 0; p < BT_PARTS; p++) {
        out[p] = (struct bt_stand_finding){.part_frac = bt_part_frac[p],
                                           .in_place = in_place,
                                           .chance_none = 1,
                                           .low = (double)NAN,
                                           .high = (double)NAN};
        s.wished_frac = bt_part_frac[p];
        out[p].exists = likely_share(&s, &out[p].stand);
        if (out[p].exists)
            out[p].times = change_to(&s, out[p].stand).amount;
        if (has_draws)
            range_of(&s, met, work, &out[p]);
    }
    if (in_place) { /* the part of all plants as plants of its own */
        double others = 0;
        for (size_t i = 0; i < q->budget->n_plantings; i++)
            for (size_t k = 0; k < l->n_neighbours; k++)
                if (q->budget->planting[i].planting == l->neighbour[k].planting)
                    others += q->budget->planting[i].density;
        for (int p = 0; p < BT_PARTS; p++)
            out[p].times = out[p].stand * (others + l->density) / l->density;
    }
    bt_arena_release(beside, mark);
}
