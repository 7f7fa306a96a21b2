/* The rows of the program: needs by date, and the limits that a plan may not pass. */
#include <limits.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_statistics_double.h>

#include "base/date.h"
#include "base/figures.h"
#include "base/text.h"
#include "model/picking.h"
#include "plan/amend_work.h"

/* Of costs when nothing has a price: a gram of total N weighs as much as a milligram of
 * P2O5 too much, so that among equals the lesser heap is taken. */
static const double PER_G_N = 1e-3;
/* Shortages of phosphate and potash beside those of nitrogen: they never stand in its way.
 */
static const double AFTER_N = 1e-3;
/* Something with less phosphate or potash than this part of its nitrogen is no source of
 * it: nobody feeds blood meal for its potash. */
static const double SOURCE = 0.2;
/* What a plan with fewer materials may fall behind what is asked for by the dates, for the
 * aim is raised until the draws say that it is enough; and of the lesser needs. */
static const double LET_OFF = 0.05, LET_OFF_LESSER = 0.1;

/* ---- what is known of the bed ---- */

static double soil_limit(const struct bt_work *w, const char *quantity)
{
    const double own = w->bed->texture
                           ? bt_row_likely(w->m->book, "soils", w->bed->texture, quantity)
                           : (double)NAN;
    return isfinite(own) ? own : bt_row_likely(w->m->book, "soils", "any", quantity);
}

static double dose_limit(const struct bt_work *w)
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

/* A test says that the soil has less phosphate than crops use. */
static bool is_short_of_p(const struct bt_work *w)
{
    const struct bt_stock *stock =
        w->base.n_accounts > BT_P2O5 ? w->base.account[BT_P2O5].stock : NULL;
    return stock && w->base.account[BT_P2O5].known && stock->is_below;
}

static double layer_limit_m(const struct bt_work *w, bool is_mulch)
{
    return soil_limit(w, is_mulch           ? "mulch_depth_limit"
                         : is_short_of_p(w) ? "compost_depth_limit"
                                            : "compost_depth_usual");
}

static bool is_layer(const struct bt_candidate *c, bool is_mulch)
{
    const bool mulch = bt_text_is(c->kind, "mulch") || bt_text_is(c->kind, "residue");
    return c->by_volume && mulch == is_mulch;
}

const char *bt_work_rate_text(const struct bt_work *w, double g_m2)
{
    static const double G_M2_OF_LB_PER_100_SQUARE_FEET =
        BT_G_PER_LB / (100 * BT_M2_PER_SQUARE_FOOT);
    return w->m->options.us_units
               ? bt_arena_format(
                     w->arena, "%s lb per 100 sq ft",
                     bt_figures_short(w->arena, g_m2 / G_M2_OF_LB_PER_100_SQUARE_FEET, 2))
               : bt_arena_format(w->arena, "%s g/m2", bt_figures_short(w->arena, g_m2, 2));
}

static const char *depth_text(const struct bt_work *w, double m)
{
    const double inches = m / BT_M_PER_INCH;
    return w->m->options.us_units
               ? bt_arena_format(w->arena, "%s inch%s",
                                 bt_figures_short(w->arena, inches, 2),
                                 inches > 1.04 ? "es" : "")
               : bt_arena_format(w->arena, "%s cm", bt_figures_short(w->arena, m * 100, 2));
}

void bt_work_aims(struct bt_work *w)
{
    const double times = soil_limit(w, "build_up_limit");
    for (int k = BT_P2O5; k <= BT_K2O; k++) {
        const struct bt_account *account = &w->base.account[k];
        if (w->base.n_accounts <= (size_t)k || !account->known ||
            bt_work_is_full(w, (enum bt_nutrient)k))
            continue;
        const double lack = -bt_likely(w->base.sheet, account->balance);
        const double need = bt_likely(w->base.sheet, account->required);
        const struct bt_stock *stock = account->stock;
        w->open_g_m2[k] = w->aim_g_m2[k] = lack > 0 ? lack : 0;
        if (!stock || !stock->has[BT_REMOVAL] || stock->need_by == BT_BY_ADVICE ||
            !isfinite(times))
            continue;
        const double most = times * bt_likely(w->base.sheet, stock->node[BT_REMOVAL]);
        const double aim = (need < most ? need : most) - (need - lack);
        w->aim_g_m2[k] = aim > 0 ? aim : 0;
    }
}

/* Only legumes stand there on a day; where nothing does, only they go in next. In
 * `out_until` the last day before something else stands. */
static bool legumes_alone(const struct bt_work *w, int day, int *out_until)
{
    int next = INT_MAX, other = INT_MAX;
    bool legume_next = false, legume = false;
    for (size_t i = 0; i < w->base.n_plantings; i++) {
        const struct bt_planting_facts *f = &w->base.planting[i];
        int from, to;
        bt_stay_of(w->m->book, w->m->garden, f->planting, &from, &to);
        if (to < day)
            continue;
        if (!f->is_legume && from < other)
            other = from;
        legume |= f->is_legume && from <= day;
        if (from > day && from < next) {
            next = from;
            legume_next = f->is_legume;
        }
    }
    *out_until = other < INT_MAX ? other - 1 : w->m->garden->season_end;
    return other > day && (legume || (legume_next && other > next));
}

/* ---- refusals on this bed ---- */

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
                                 "wood ash raises pH, and this bed has pH %s already",
                                 bt_figures_short(w->arena, test->ph.range.likely, 2));
}

/* Raw manure lies long enough before the first picking of all that is still to be picked.
 */
static const char *manure_refusal(const struct bt_work *w)
{
    const struct bt_garden *g = w->m->garden;
    const int first = bt_first_day(g);
    const struct bt_planting *soonest = NULL;
    struct bt_picking at = {0};
    for (size_t i = 0; i < g->n_plantings; i++) {
        const struct bt_planting *p = &g->planting[i];
        if (p->bed_index != w->bed_index || !p->crop)
            continue;
        const struct bt_picking x = bt_picking_of(w->m->book, g, i);
        if (!bt_picked_too_soon(&x, first) ||
            (soonest && x.first - x.wait_d >= at.first - at.wait_d))
            continue;
        soonest = p;
        at = x;
    }
    if (!soonest)
        return NULL;
    const int days = at.first - first;
    const char *when = days > 0 ? bt_arena_format(w->arena, "may be picked in %d days (%s)",
                                                  days, bt_date_words(w->arena, at.first))
                                : "is being picked or may be at any time";
    return bt_arena_format(
        w->arena, "raw manure must lie %d days before what %s is picked, and %s %s",
        at.wait_d, at.off_ground ? "grows off the ground" : "touches soil or splash",
        soonest->written, when);
}

/* A bed that has had its layer this year gets no more of it. */
static const char *layer_refusal(const struct bt_work *w, bool is_mulch)
{
    const double most_m = layer_limit_m(w, is_mulch);
    const double there_m = bt_work_depth_there(w, is_mulch);
    if (!isfinite(most_m) || there_m < 0.9 * most_m)
        return NULL;
    return bt_arena_format(
        w->arena, "%s of %s lie there from this season already, and %s a year is %s",
        depth_text(w, there_m), is_mulch ? "mulch" : "compost or manure",
        depth_text(w, most_m),
        is_mulch || is_short_of_p(w) ? "plenty"
                                     : "plenty where no soil test asks for phosphate");
}

/* Where the soil is full of phosphate no more of it is spread: neither compost and manure
 * nor a fertiliser that is made for it. */
static const char *phosphate_refusal(const struct bt_work *w, const struct bt_candidate *c)
{
    if (!bt_work_is_full(w, BT_P2O5) || !(c->p2o5_frac > 0))
        return NULL;
    if (is_layer(c, false) || bt_text_is(c->kind, "compost") ||
        bt_text_is(c->kind, "manure"))
        return "brings phosphate, which is full already: compost and manure stay off";
    return bt_text_is(c->kind, "mineral") || c->p2o5_frac >= c->n_frac
               ? "brings phosphate, which is full already"
               : NULL;
}

const char *bt_work_refusal(const struct bt_work *w, const struct bt_candidate *c)
{
    const char *phosphate = phosphate_refusal(w, c);
    if (phosphate)
        return phosphate;
    const bool is_mulch = is_layer(c, true);
    const char *layer = is_mulch || is_layer(c, false) ? layer_refusal(w, is_mulch) : NULL;
    if (layer)
        return layer;
    if (strstr(c->key, "wood ash"))
        return ash_refusal(w);
    return bt_text_is(c->kind, "manure") ? manure_refusal(w) : NULL;
}

/* ---- rows ---- */

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
    r->row[r->n++] = (struct bt_choice_row){name, kind, bound, dear, gives, 1};
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

double bt_work_available(const struct bt_work *w, size_t j, enum bt_nutrient nutrient)
{
    const struct bt_candidate *c = bt_work_candidate(w, j);
    return p_or_k(w, j, nutrient) *
           (nutrient == BT_P2O5 ? c->p2o5_available_frac : c->k2o_available_frac);
}

/* Phosphate or potash: the need where a test says there is one; never more than the harvest
 * removes where the soil is full; and whatever is over is dear. */
static void p_or_k_rows(struct rows *r, enum bt_nutrient nutrient, double dear)
{
    const struct bt_work *w = r->w;
    const char *name = nutrient == BT_P2O5 ? "P2O5" : "K2O";
    const double need = w->aim_g_m2[nutrient];
    if (need > 0) {
        double *gives =
            add_row(r, bt_arena_format(r->a, "%s need", name), BT_CHOICE_NEED, need, 0);
        for (size_t j = 0; j < w->n_columns; j++)
            if (p_or_k(w, j, nutrient) >=
                SOURCE * w->column[j].unit_g_m2 * bt_work_candidate(w, j)->n_frac)
                gives[j] = bt_work_available(w, j, nutrient);
        r->row[r->n - 1].weight = AFTER_N;
    }
    if (bt_work_is_full(w, nutrient)) {
        const double removed =
            nutrient == BT_P2O5 ? w->removed_p2o5_g_m2 : w->removed_k2o_g_m2;
        double *gives = add_row(
            r,
            bt_arena_format(r->a,
                            "%s is full already: no more than the harvest takes away "
                            "(%s)",
                            name, bt_work_rate_text(w, removed)),
            BT_CHOICE_LIMIT, removed, 0);
        for (size_t j = 0; j < w->n_columns; j++)
            gives[j] = p_or_k(w, j, nutrient);
    }
    double *over = add_row(r, bt_arena_format(r->a, "%s beyond need", name), BT_CHOICE_SOFT,
                           need, dear);
    for (size_t j = 0; j < w->n_columns; j++)
        over[j] = p_or_k(w, j, nutrient);
}

static double not_below_0(double x)
{
    return x > 0 ? x : 0;
}

/* Nitrogen that is there by a day from one unit of a column. */
static double given_by(const struct bt_work *w, size_t j, int day)
{
    const struct bt_account *account = &w->base.account[BT_N];
    double given = 0;
    for (size_t t = 0; t < account->n_dates && account->date[t] <= day; t++)
        given = w->column[j].n_g_m2[t];
    return given;
}

/* While only legumes stand: what is given then and is there before anything else stands. */
static void starter_row(struct rows *r, double starter)
{
    const struct bt_work *w = r->w;
    double *gives = NULL;
    for (size_t j = 0; j < w->n_columns; j++) {
        int until;
        if (!legumes_alone(w, w->slot[w->column[j].slot].day, &until))
            continue;
        if (!gives)
            gives = add_row(
                r,
                bt_arena_format(r->a,
                                "while legumes stand alone: a starter of %s at most, or "
                                "they fix less",
                                bt_work_rate_text(w, starter)),
                BT_CHOICE_LIMIT, starter, 0);
        gives[j] = given_by(w, j, until);
    }
}

/* Quick nitrogen, dose by dose. */
static void dose_rows(struct rows *r)
{
    const struct bt_work *w = r->w;
    const double most = dose_limit(w);
    const double starter = caution_number(w, "bean N", "g/m2");
    for (size_t s = 0; isfinite(most) && s < w->n_slots; s++) {
        double *gives = add_row(
            r,
            bt_arena_format(r->a, "a single dose of quick nitrogen (at most %s), %s",
                            bt_work_rate_text(w, most),
                            bt_date_words(r->a, w->slot[s].day)),
            BT_CHOICE_LIMIT, not_below_0(most - bt_work_dose_there(w, w->slot[s].day)), 0);
        for (size_t j = 0; j < w->n_columns; j++)
            if (w->column[j].slot == s && bt_work_candidate(w, j)->is_quick)
                gives[j] = w->column[j].available_g_m2;
    }
    if (isfinite(starter))
        starter_row(r, starter);
}

/* A layer that a user would accept; a bed that no test calls short of phosphate gets a thin
 * one. */
static void layer_row(struct rows *r, bool is_mulch)
{
    const struct bt_work *w = r->w;
    const double most_m = layer_limit_m(w, is_mulch);
    const double there_m = bt_work_depth_there(w, is_mulch);
    const char *why =
        is_mulch || is_short_of_p(w) ? "" : ", where no soil test asks for phosphate";
    const char *there =
        there_m > 0 ? bt_arena_format(r->a, "; %s lie there", depth_text(w, there_m)) : "";
    if (!isfinite(most_m))
        return;
    double *gives = add_row(r,
                            bt_arena_format(r->a, "a layer of %s (at most %s a year%s%s)",
                                            is_mulch ? "mulch" : "compost or manure",
                                            depth_text(w, most_m), why, there),
                            BT_CHOICE_LIMIT, not_below_0(most_m - there_m), 0);
    for (size_t j = 0; j < w->n_columns; j++)
        if (is_layer(bt_work_candidate(w, j), is_mulch))
            gives[j] = w->column[j].unit_g_m2 / bt_work_candidate(w, j)->density_g_m3;
}

/* So many times what the harvest takes away, or what the soil test asks for. Without a test
 * compost and manure have their thin layer instead. */
static void harvest_row(struct rows *r, enum bt_nutrient nutrient)
{
    const struct bt_work *w = r->w;
    const bool with_compost = nutrient == BT_P2O5 && w->base.n_accounts > BT_P2O5 &&
                              w->base.account[BT_P2O5].known;
    const double removed = nutrient == BT_P2O5 ? w->removed_p2o5_g_m2 : w->removed_k2o_g_m2;
    const double most_g_m2 = soil_limit(w, "build_up_limit") * removed;
    const double aim_g_m2 = w->aim_g_m2[nutrient];
    const char *of =
        bt_arena_format(r->a, "%s%s", nutrient == BT_P2O5 ? "P2O5" : "K2O",
                        with_compost ? "" : " from all but compost and manure");
    if (!(most_g_m2 > 0) || bt_work_is_full(w, nutrient))
        return;
    const char *name =
        aim_g_m2 > most_g_m2
            ? bt_arena_format(r->a, "%s: no more than the soil test asks for (%s)", of,
                              bt_work_rate_text(w, aim_g_m2))
            : bt_arena_format(r->a,
                              "%s: at most %s times what the season's harvest takes away "
                              "(%s)",
                              of, bt_figures_short(r->a, most_g_m2 / removed, 2),
                              bt_work_rate_text(w, most_g_m2));
    double *gives =
        add_row(r, name, BT_CHOICE_LIMIT, aim_g_m2 > most_g_m2 ? aim_g_m2 : most_g_m2, 0);
    for (size_t j = 0; j < w->n_columns; j++)
        if (with_compost || !is_layer(bt_work_candidate(w, j), false))
            gives[j] = bt_work_available(w, j, nutrient);
}

static void ash_row(struct rows *r)
{
    const struct bt_work *w = r->w;
    const double ash = caution_number(w, "wood ash", "g/m2");
    double *gives = add_row(r,
                            bt_arena_format(r->a, "wood ash (at most %s a year)",
                                            bt_work_rate_text(w, isfinite(ash) ? ash : 0)),
                            BT_CHOICE_LIMIT, isfinite(ash) ? ash : 0, 0);
    for (size_t j = 0; j < w->n_columns; j++)
        if (strstr(bt_work_candidate(w, j)->key, "wood ash"))
            gives[j] = w->column[j].unit_g_m2;
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

/* ---- costs ---- */

static double money_of(const struct bt_work *w, size_t j)
{
    const struct bt_column *u = &w->column[j];
    const struct bt_candidate *c = &w->m->candidate[u->candidate];
    if (isfinite(w->m->on_hand_g[u->candidate]) && c->price_per_g > 0)
        return 0; /* counted above what is on hand */
    return c->price_per_g * u->unit_g_m2 * w->bed->area_m2;
}

/* Of two days that do as well the earlier one, once half of what is needed is taken up:
 * late nitrogen makes leaves, and waits for the winter rain. Never before that, for what is
 * given long before it is used may be washed out. */
static double dear_if_late(const struct bt_work *w, size_t j)
{
    static const double HALF = 0.5, LATE = 0.04;
    const struct bt_account *account = &w->base.account[BT_N];
    const int day = w->slot[w->column[j].slot].day;
    double needed = 0, end = 0;
    for (size_t k = 0; k < account->n_lines; k++) {
        const struct bt_line *line = &account->line[k];
        if (line->side != BT_DEMAND || account->n_dates == 0)
            continue;
        size_t t = 0;
        while (t + 1 < account->n_dates && account->date[t + 1] <= day)
            t++;
        const double likely = bt_likely(w->base.sheet, line->node);
        needed += likely * line->by_date[t];
        end += likely * line->by_date[account->n_dates - 1];
    }
    const double done = end > 0 ? needed / end : 0;
    return done > HALF ? 1 + LATE * (done - HALF) : 1;
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
        cost[j] *= dear_if_late(w, j);
        dearest = cost[j] > dearest ? cost[j] : dearest;
    }
    need_rows(&r, enough);
    /* Beside money, P2O5 and K2O too many decide among equals only. */
    const double dear = !w->by_cost ? 1 : dearest > 0 ? dearest * PER_G_N : 1;
    p_or_k_rows(&r, BT_P2O5, dear);
    p_or_k_rows(&r, BT_K2O, dear);
    harvest_row(&r, BT_P2O5);
    harvest_row(&r, BT_K2O);
    dose_rows(&r);
    layer_row(&r, false);
    layer_row(&r, true);
    ash_row(&r);
    stock_rows(&r);
    return (struct bt_choice_model){.n_columns = w->n_columns,
                                    .name = name,
                                    .cost = cost,
                                    .most = most,
                                    .group = group,
                                    .n_rows = r.n,
                                    .let_off = LET_OFF,
                                    .let_off_lesser = LET_OFF_LESSER,
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
