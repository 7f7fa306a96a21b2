/* Amounts that can be measured: to the nearest, down where a limit would be passed, then up
 * until the wish is met again. */
#include <math.h>

#include "plan/amend_work.h"

enum { ROUNDS_MOST = 12 };

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

/* To the nearest that can be measured; down where a limit would be passed. */
static void to_nearest(struct rounding *r)
{
    const size_t n = r->w->n_columns;
    for (size_t j = 0; j < n; j++)
        if (r->asked[j] > 0)
            put(r, j,
                bt_measure_out(r->w->arena, &r->how, bt_work_candidate(r->w, j),
                               grams(r->w, j, r->asked[j]), HUGE_VAL));
    for (size_t j = 0; j < n && !bt_work_keeps_limits(r->m, r->x); j++)
        if (r->x[j] > r->asked[j])
            step(r, j, false);
}

/* Then up until the wish is met again or nothing more goes. */
static void up_to(struct rounding *r, double wish)
{
    const size_t n = r->w->n_columns;
    bool *stuck = bt_arena_zero(r->w->arena, (n + 1) * sizeof *stuck);
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

/* A small part of the plan in all that it brings. */
static bool is_crumb(const struct rounding *r, size_t j)
{
    static const double CRUMB = 0.05;
    double n = 0, p2o5 = 0, k2o = 0;
    const struct bt_column *u = &r->w->column[j];
    for (size_t i = 0; i < r->w->n_columns; i++) {
        n += r->x[i] * r->w->column[i].available_g_m2;
        p2o5 += r->x[i] * r->w->column[i].p2o5_g_m2;
        k2o += r->x[i] * r->w->column[i].k2o_g_m2;
    }
    return r->x[j] > 0 && r->x[j] * u->available_g_m2 < CRUMB * n &&
           (!(r->w->aim_g_m2[BT_P2O5] > 0) || r->x[j] * u->p2o5_g_m2 <= CRUMB * p2o5) &&
           (!(r->w->aim_g_m2[BT_K2O] > 0) || r->x[j] * u->k2o_g_m2 <= CRUMB * k2o);
}

/* Many small items make no plan: what changes next to nothing is left out. */
static void drop_crumbs(struct rounding *r, double wish)
{
    for (size_t j = 0; j < r->w->n_columns; j++) {
        const double before = r->x[j];
        if (!is_crumb(r, j))
            continue;
        r->x[j] = 0;
        const struct bt_cover c = bt_work_cover(r->w, r->x, 1);
        if (bt_work_chance(r->w, &c) < wish)
            r->x[j] = before;
    }
}

struct bt_rounded bt_work_round(const struct bt_work *w, const struct bt_choice_model *m,
                                const double *asked, double wish)
{
    struct rounding r = {
        .w = w,
        .m = m,
        .how = {w->m->garden, w->m->book, w->m->options.us_units},
        .asked = asked,
        .x = bt_arena_zero(w->arena, (w->n_columns + 1) * sizeof(double)),
        .measured =
            bt_arena_zero(w->arena, (w->n_columns + 1) * sizeof(struct bt_measured))
    };
    to_nearest(&r);
    up_to(&r, wish);
    drop_crumbs(&r, wish);
    return (struct bt_rounded){r.asked, r.x, r.measured};
}

bool bt_work_no_step_left(const struct bt_work *w, const struct bt_choice_model *m,
                          size_t row, const struct bt_rounded *r)
{
    const struct bt_rounding how = {w->m->garden, w->m->book, w->m->options.us_units};
    double sum = 0, least = HUGE_VAL;
    for (size_t j = 0; j < w->n_columns; j++) {
        if (!(r->x[j] > 0) || !(m->row[row].gives[j] > 0))
            continue;
        const struct bt_measured up =
            bt_measure_step(w->arena, &how, bt_work_candidate(w, j),
                            grams(w, j, r->asked[j]), &r->measured[j], true);
        const double one = (up.mass_g / grams(w, j, 1) - r->x[j]) * m->row[row].gives[j];
        sum += r->x[j] * m->row[row].gives[j];
        least = one < least ? one : least;
    }
    return sum > 0 && sum + least > m->row[row].bound * (1 + 1e-6);
}

/* The most of a column within each limit by itself. */
static double most_alone(const struct bt_choice_model *m, size_t j)
{
    double most = m->most[j];
    for (size_t i = 0; i < m->n_rows; i++) {
        const double each = m->row[i].gives[j];
        if (m->row[i].kind == BT_CHOICE_LIMIT && each > 0 && m->row[i].bound / each < most)
            most = m->row[i].bound / each;
    }
    return most;
}

/* A limit of one day that each material by itself falls short of, for being measured,
 * leaves no sliver to another. */
static struct bt_choice_row without_sliver(const struct bt_work *w,
                                           const struct bt_choice_model *m,
                                           const double *most, size_t row)
{
    struct bt_choice_row r = m->row[row];
    size_t slot = w->n_slots;
    double full = 0;
    for (size_t j = 0; j < m->n_columns; j++) {
        if (!(r.gives[j] > 0))
            continue;
        if (slot != w->n_slots && slot != w->column[j].slot)
            return r;
        slot = w->column[j].slot;
        full = r.gives[j] * most[j] > full ? r.gives[j] * most[j] : full;
    }
    if (r.kind == BT_CHOICE_LIMIT && full > 0 && full < r.bound)
        r.bound = full;
    return r;
}

struct bt_choice_model bt_work_measurable(const struct bt_work *w,
                                          const struct bt_choice_model *m)
{
    const struct bt_rounding how = {w->m->garden, w->m->book, w->m->options.us_units};
    struct bt_choice_model out = *m;
    double *most = bt_arena_alloc(w->arena, (w->n_columns + 1) * sizeof *most);
    struct bt_choice_row *row = bt_arena_alloc(w->arena, (m->n_rows + 1) * sizeof *row);
    for (size_t j = 0; j < w->n_columns; j++) {
        most[j] = most_alone(m, j);
        if (!isfinite(most[j]) || !(most[j] > 0))
            continue;
        const double most_g = grams(w, j, most[j]);
        const struct bt_measured full =
            bt_measure_out(w->arena, &how, bt_work_candidate(w, j), most_g, most_g);
        if (full.mass_g > 0)
            most[j] = full.mass_g / grams(w, j, 1);
    }
    for (size_t i = 0; i < m->n_rows; i++)
        row[i] = without_sliver(w, m, most, i);
    out.most = most;
    out.row = row;
    return out;
}
