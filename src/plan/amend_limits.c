/* The rows of the program: needs by date, and the limits that a plan may not pass. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_statistics_double.h>

#include "base/text.h"
#include "plan/amend_work.h"

/* Of costs when nothing has a price: a gram of total N weighs as much as a milligram of
 * P2O5 too much, so that among equals the lesser heap is taken. */
static const double PER_G_N = 1e-3;

/* ---- what is known of the bed -----------------------------------------------------------
 */

static double soil_limit(const struct bt_work *w, const char *quantity)
{
    const double own = w->bed->texture
                           ? bt_row_likely(w->m->book, "soils", w->bed->texture, quantity)
                           : (double)NAN;
    return isfinite(own) ? own : bt_row_likely(w->m->book, "soils", "any", quantity);
}

double bt_work_dose_limit(const struct bt_work *w)
{
    return soil_limit(w, "single_dose_limit");
}

bool bt_work_is_full(const struct bt_work *w, enum bt_nutrient nutrient)
{
    const struct bt_stock *stock =
        w->base.n_accounts > (size_t)nutrient ? w->base.account[nutrient].stock : NULL;
    return stock && stock->is_full;
}

/* The number of a caution of the table, NaN when it is not there. */
static double caution_number(const struct bt_work *w, const char *topic, const char *unit)
{
    const struct bt_caution *all;
    const size_t n = bt_handbook_cautions(w->m->book, &all);
    for (size_t i = 0; i < n; i++)
        if (bt_text_is(all[i].topic, topic) && bt_text_is(all[i].unit, unit) &&
            *all[i].number)
            return strtod(all[i].number, NULL);
    return (double)NAN;
}

static bool all_legumes(const struct bt_work *w)
{
    for (size_t i = 0; i < w->base.n_plantings; i++)
        if (!w->base.planting[i].is_legume)
            return false;
    return w->base.n_plantings > 0;
}

/* ---- refusals on this bed ---------------------------------------------------------------
 */

static const struct bt_soil_test *newest_ph(const struct bt_work *w)
{
    const struct bt_garden *g = w->m->garden;
    const struct bt_soil_test *best = NULL;
    for (size_t i = 0; i < g->n_tests; i++)
        for (size_t k = 0; k < g->test[i].n_beds; k++)
            if (g->test[i].bed[k] == w->bed_index && bt_is_number(&g->test[i].ph) &&
                (!best || g->test[i].date.day >= best->date.day))
                best = &g->test[i];
    return best;
}

static const char *ash_refusal(const struct bt_work *w)
{
    const struct bt_soil_test *test = newest_ph(w);
    const double most = bt_row_likely(w->m->book, "soils", "any", "ash_ph_limit");
    if (!test)
        return "wood ash raises pH, and the pH of this bed is not known";
    return test->ph.range.likely < most
               ? NULL
               : bt_arena_format(w->arena,
                                 "wood ash raises pH, and this bed has pH %.2g already",
                                 test->ph.range.likely);
}

/* Raw manure goes in before the season, so long before the harvest. */
static const char *manure_refusal(const struct bt_work *w)
{
    const double wait_d = caution_number(w, "raw manure", "d");
    const int first = bt_first_day(w->m->garden);
    int harvest = w->m->garden->season_end;
    for (size_t i = 0; i < w->base.n_plantings; i++) {
        int from, to;
        bt_stay_of(w->m->book, w->m->garden, w->base.planting[i].planting, &from, &to);
        harvest = to < harvest ? to : harvest;
    }
    if (!isfinite(wait_d) || harvest - first >= (int)wait_d)
        return NULL;
    return bt_arena_format(w->arena,
                           "raw manure must wait %.0f days for the harvest, and the first "
                           "crop is due in %d",
                           wait_d, harvest - first);
}

/* A bed that has had its layer this year gets no more of it. */
static const char *layer_refusal(const struct bt_work *w)
{
    const double most_m = soil_limit(w, "compost_depth_limit");
    const double there_m = bt_work_depth_there(w);
    if (!isfinite(most_m) || there_m < 0.9 * most_m)
        return NULL;
    return bt_arena_format(
        w->arena,
        "%.2g cm of compost or manure lie there from this season already, "
        "and %.2g cm a year is plenty",
        there_m * 100, most_m * 100);
}

const char *bt_work_refusal(const struct bt_work *w, const struct bt_candidate *c)
{
    const bool compost = bt_text_is(c->kind, "compost"),
               manure = bt_text_is(c->kind, "manure");
    const char *layer = compost || manure ? layer_refusal(w) : NULL;
    if (layer)
        return layer;
    if (strstr(c->key, "wood ash"))
        return ash_refusal(w);
    return bt_text_is(c->kind, "manure") ? manure_refusal(w) : NULL;
}

/* ---- rows -------------------------------------------------------------------------------
 */

struct rows {
    const struct bt_work *w;
    struct bt_arena *a;
    size_t n;
    struct bt_choice_row *row;
};

static double *add_row(struct rows *r, const char *name, enum bt_choice_row_kind kind,
                       double bound, double dear)
{
    double *gives = bt_arena_zero(r->a, (r->w->n_columns + 1) * sizeof *gives);
    r->row[r->n++] = (struct bt_choice_row){name, kind, bound, dear, gives};
    return gives;
}

/* A quantile of what is lacking at one date. */
static double lacking(struct rows *r, const struct bt_cover *c, size_t t, double enough)
{
    struct bt_arena *beside = r->w->m->beside;
    const struct bt_mark mark = bt_arena_mark(beside);
    double *copy = bt_arena_alloc(beside, c->samples * sizeof *copy);
    memcpy(copy, c->lack[t], c->samples * sizeof *copy);
    const size_t rank = (size_t)(enough * (double)(c->samples - 1));
    const double lack = gsl_stats_select(copy, 1, c->samples, rank);
    bt_arena_release(beside, mark);
    return lack;
}

static void need_rows(struct rows *r, double enough)
{
    const struct bt_work *w = r->w;
    const struct bt_account *account = &w->base.account[BT_N];
    for (size_t t = 0; t < account->n_dates; t++) {
        if (account->date[t] < w->from)
            continue;
        const double bound = lacking(r, &w->cover, t, enough);
        double *gives = add_row(
            r, bt_arena_format(r->a, "N by %s", bt_date_words(r->a, account->date[t])),
            BT_CHOICE_NEED, bound, 0);
        for (size_t j = 0; j < w->n_columns; j++)
            gives[j] = w->column[j].n_g_m2[t];
    }
}

static double p_or_k(const struct bt_work *w, size_t j, enum bt_nutrient nutrient)
{
    return nutrient == BT_P2O5 ? w->column[j].p2o5_g_m2 : w->column[j].k2o_g_m2;
}

static double p_or_k_available(const struct bt_work *w, size_t j, enum bt_nutrient nutrient)
{
    const struct bt_candidate *c = bt_work_candidate(w, j);
    return p_or_k(w, j, nutrient) *
           (nutrient == BT_P2O5 ? c->p2o5_available_frac : c->k2o_available_frac);
}

/* Phosphate or potash: the need where a test says there is one; never more than the harvest
 * removes where the soil is full; and whatever is over is dear. */
static void p_or_k_rows(struct rows *r, enum bt_nutrient nutrient, double enough,
                        double dear)
{
    const struct bt_work *w = r->w;
    const char *name = nutrient == BT_P2O5 ? "P2O5" : "K2O";
    const bool known =
        w->base.n_accounts > (size_t)nutrient && w->base.account[nutrient].known;
    double need = 0;
    if (known && w->cover_p[nutrient].lack)
        need = lacking(r, &w->cover_p[nutrient], w->base.account[nutrient].n_dates - 1,
                       enough);
    if (need > 0) {
        double *gives =
            add_row(r, bt_arena_format(r->a, "%s need", name), BT_CHOICE_NEED, need, 0);
        for (size_t j = 0; j < w->n_columns; j++)
            gives[j] = p_or_k_available(w, j, nutrient);
    }
    if (bt_work_is_full(w, nutrient)) {
        const double removed =
            nutrient == BT_P2O5 ? w->removed_p2o5_g_m2 : w->removed_k2o_g_m2;
        double *gives = add_row(
            r,
            bt_arena_format(r->a,
                            "%s is full already: no more than the harvest takes away "
                            "(%.2g g/m2)",
                            name, removed),
            BT_CHOICE_LIMIT, removed, 0);
        for (size_t j = 0; j < w->n_columns; j++)
            gives[j] = p_or_k(w, j, nutrient);
    }
    double *over = add_row(r, bt_arena_format(r->a, "%s beyond need", name), BT_CHOICE_SOFT,
                           need > 0 ? need : 0, dear);
    for (size_t j = 0; j < w->n_columns; j++)
        over[j] = p_or_k(w, j, nutrient);
}

static double not_below_0(double x)
{
    return x > 0 ? x : 0;
}

/* Quick nitrogen, dose by dose. */
static void dose_rows(struct rows *r)
{
    const struct bt_work *w = r->w;
    const double most = bt_work_dose_limit(w);
    const double starter = caution_number(w, "bean N", "g/m2");
    for (size_t s = 0; isfinite(most) && s < w->n_slots; s++) {
        double *gives = add_row(
            r,
            bt_arena_format(r->a, "a single dose of quick nitrogen (at most %.2g g/m2), %s",
                            most, bt_date_words(r->a, w->slot[s].day)),
            BT_CHOICE_LIMIT, not_below_0(most - bt_work_dose_there(w, w->slot[s].day)), 0);
        for (size_t j = 0; j < w->n_columns; j++)
            if (w->column[j].slot == s && bt_work_candidate(w, j)->is_quick)
                gives[j] = w->column[j].available_g_m2;
    }
    if (!all_legumes(w) || !isfinite(starter))
        return;
    double *gives =
        add_row(r,
                bt_arena_format(r->a,
                                "legumes alone: a starter of %.2g g/m2 at most, "
                                "or they fix less",
                                starter),
                BT_CHOICE_LIMIT, starter, 0);
    for (size_t j = 0; j < w->n_columns; j++)
        gives[j] = w->column[j].available_g_m2;
}

static void depth_and_ash_rows(struct rows *r)
{
    const struct bt_work *w = r->w;
    const double depth_m = soil_limit(w, "compost_depth_limit");
    const double ash = caution_number(w, "wood ash", "g/m2");
    double *deep =
        add_row(r,
                bt_arena_format(
                    r->a, "a layer of compost, manure or mulch (at most %.2g cm a year)",
                    depth_m * 100),
                BT_CHOICE_LIMIT,
                isfinite(depth_m) ? not_below_0(depth_m - bt_work_depth_there(w)) : 0, 0);
    double *ashes =
        add_row(r, bt_arena_format(r->a, "wood ash (at most %.0f g/m2 a year)", ash),
                BT_CHOICE_LIMIT, isfinite(ash) ? ash : 0, 0);
    for (size_t j = 0; j < w->n_columns; j++) {
        const struct bt_candidate *c = bt_work_candidate(w, j);
        if (c->by_volume)
            deep[j] = w->column[j].unit_g_m2 / c->density_g_m3;
        if (strstr(c->key, "wood ash"))
            ashes[j] = w->column[j].unit_g_m2;
    }
}

/* What is on hand: the end of it, or what costs nothing more. */
static void stock_rows(struct rows *r)
{
    const struct bt_work *w = r->w;
    for (size_t i = 0; i < w->m->n_candidates; i++) {
        const struct bt_candidate *c = &w->m->candidate[i];
        const double left_g_m2 = w->m->on_hand_g[i] / w->bed->area_m2;
        if (c->no || w->bed_no[i] || !isfinite(left_g_m2))
            continue;
        if (!c->only_on_hand && !(w->by_cost && c->price_per_g > 0))
            continue;
        const double money = c->price_per_g * w->bed->area_m2; /* for 1 g/m2 of it */
        double *gives = add_row(r, bt_arena_format(r->a, "what is on hand of %s", c->name),
                                c->only_on_hand ? BT_CHOICE_LIMIT : BT_CHOICE_SOFT,
                                left_g_m2 > 0 ? left_g_m2 : 0, c->only_on_hand ? 0 : money);
        for (size_t j = 0; j < w->n_columns; j++)
            if (w->column[j].candidate == i)
                gives[j] = w->column[j].unit_g_m2;
    }
}

/* ---- costs
 * -------------------------------------------------------------------------------- */

static double money_of(const struct bt_work *w, size_t j)
{
    const struct bt_column *u = &w->column[j];
    const struct bt_candidate *c = &w->m->candidate[u->candidate];
    if (isfinite(w->m->on_hand_g[u->candidate]) && c->price_per_g > 0)
        return 0; /* counted above what is on hand */
    return c->price_per_g * u->unit_g_m2 * w->bed->area_m2;
}

struct bt_choice_model bt_work_model(const struct bt_work *w, double enough)
{
    struct bt_arena *a = w->arena;
    const size_t most_rows =
        w->base.account[BT_N].n_dates + w->n_slots + w->m->n_candidates + 16;
    struct rows r = {w, a, 0, bt_arena_alloc(a, most_rows * sizeof *r.row)};
    double *cost = bt_arena_alloc(a, (w->n_columns + 1) * sizeof *cost);
    double *most = bt_arena_alloc(a, (w->n_columns + 1) * sizeof *most);
    size_t *group = bt_arena_alloc(a, (w->n_columns + 1) * sizeof *group);
    const char **name = bt_arena_alloc(a, (w->n_columns + 1) * sizeof *name);
    double dearest = 0;
    for (size_t j = 0; j < w->n_columns; j++) {
        name[j] = bt_work_subject(w, a, j);
        group[j] = w->column[j].candidate;
        most[j] = HUGE_VAL;
        cost[j] = w->by_cost
                      ? money_of(w, j)
                      : PER_G_N * w->column[j].unit_g_m2 * bt_work_candidate(w, j)->n_frac;
        dearest = cost[j] > dearest ? cost[j] : dearest;
    }
    need_rows(&r, enough);
    /* Beside money, P2O5 and K2O too many decide among equals only. */
    const double dear = !w->by_cost ? 1 : dearest > 0 ? dearest * PER_G_N : 1;
    p_or_k_rows(&r, BT_P2O5, enough, dear);
    p_or_k_rows(&r, BT_K2O, enough, dear);
    dose_rows(&r);
    depth_and_ash_rows(&r);
    stock_rows(&r);
    return (struct bt_choice_model){.n_columns = w->n_columns,
                                    .name = name,
                                    .cost = cost,
                                    .most = most,
                                    .group = group,
                                    .n_rows = r.n,
                                    .row = r.row};
}

struct bt_choice_model bt_work_raised(const struct bt_work *w,
                                      const struct bt_choice_model *m,
                                      struct bt_choice_row *row, double more)
{
    const struct bt_account *account = &w->base.account[BT_N];
    struct bt_choice_model raised = *m;
    size_t i = 0; /* the nitrogen rows come first, in order of date */
    memcpy(row, m->row, m->n_rows * sizeof *row);
    for (size_t t = 0; t < account->n_dates; t++)
        if (account->date[t] >= w->from)
            row[i++].bound += more * w->cover.lack_sd[t];
    raised.row = row;
    return raised;
}

bool bt_work_keeps_limits(const struct bt_choice_model *m, const double *x)
{
    for (size_t i = 0; i < m->n_rows; i++) {
        double sum = 0;
        for (size_t j = 0; j < m->n_columns; j++)
            sum += m->row[i].gives[j] * x[j];
        if (m->row[i].kind == BT_CHOICE_LIMIT && sum > m->row[i].bound * (1 + 1e-6) + 1e-9)
            return false;
    }
    return true;
}
