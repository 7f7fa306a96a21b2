#include "plan/amend.h"

#include <math.h>
#include <string.h>

#include "base/figures.h"
#include "base/text.h"
#include "model/season.h"
#include "plan/amend_work.h"

/* The plans that stand side by side: what it takes to be surer. */
static const double LEVELS[] = {0.5, 0.8, 0.95};
/* When more than a tenth of the doubt that the wish leaves lies before the first date that
 * can be helped, the wish is for the dates after it. */
static const double TENTH = 0.1;
/* A lack of phosphate or potash that nobody would spread for. */
static const double LITTLE_G_M2 = 0.1;
/* A material has begun to work when half of what it gives is there. */
static const double HALF = 0.5;

struct bt_amend *bt_amend_new(struct bt_arena *a, const struct bt_handbook *h,
                              const struct bt_garden *g, const struct bt_amend_options *o)
{
    struct bt_amend *m = bt_arena_zero(a, sizeof *m);
    *m = (struct bt_amend){.book = h,
                           .garden = g,
                           .options = *o,
                           .shapes = bt_shapes_new(a),
                           .beside = bt_arena_beside(a)};
    m->n_candidates = bt_candidates(a, h, g, o->from_handbook, &m->candidate);
    m->on_hand_g = bt_arena_alloc(a, (m->n_candidates + 1) * sizeof *m->on_hand_g);
    for (size_t i = 0; i < m->n_candidates; i++)
        m->on_hand_g[i] = m->candidate[i].key ? m->candidate[i].on_hand_g : (double)NAN;
    return m;
}

size_t bt_amend_candidates(const struct bt_amend *m, const struct bt_candidate **out)
{
    *out = m->candidate;
    return m->n_candidates;
}

/* ---- the bed as it stands ---- */

static double removed(const struct bt_budget *b, enum bt_nutrient nutrient)
{
    const struct bt_stock *stock =
        b->n_accounts > (size_t)nutrient ? b->account[nutrient].stock : NULL;
    return stock && stock->has[BT_REMOVAL] ? bt_likely(b->sheet, stock->node[BT_REMOVAL])
                                           : 0;
}

static bool begin(struct bt_work *w, struct bt_diag *d)
{
    struct bt_amend *m = w->m;
    if (!bt_season_build(w->arena, d, m->book, m->garden, w->bed_index, &w->base))
        return false;
    w->removed_p2o5_g_m2 = removed(&w->base, BT_P2O5);
    w->removed_k2o_g_m2 = removed(&w->base, BT_K2O);
    bt_work_aims(w);
    w->bed_no = bt_arena_zero(w->arena, (m->n_candidates + 1) * sizeof *w->bed_no);
    for (size_t i = 0; i < m->n_candidates; i++)
        if (!m->candidate[i].no)
            w->bed_no[i] = bt_work_refusal(w, &m->candidate[i]);
    return true;
}

/* The first date by which half of what some material gives is there. */
static int first_helped(const struct bt_work *w)
{
    const struct bt_account *account = &w->base.account[BT_N];
    for (size_t t = 0; t < account->n_dates; t++)
        for (size_t j = 0; j < w->n_columns; j++) {
            const struct bt_column *u = &w->column[j];
            if (u->available_g_m2 > 0 && u->n_g_m2[t] >= HALF * u->available_g_m2)
                return account->date[t];
        }
    return bt_first_day(
        w->m->garden); /* nothing gives anything: then all that is to come */
}

/* A test asks for phosphate or potash, and what there is does not cover it. */
static bool wants_p_or_k(const struct bt_work *w)
{
    for (int k = BT_P2O5; k <= BT_K2O; k++)
        if (w->aim_g_m2[k] > LITTLE_G_M2)
            return true;
    return false;
}

/* Materials that give no nitrogen here are left out, unless phosphate or potash is needed.
 */
static void drop_the_useless(struct bt_work *w)
{
    const bool wanted = wants_p_or_k(w);
    size_t n = 0;
    for (size_t j = 0; j < w->n_columns; j++) {
        const struct bt_column *u = &w->column[j];
        const struct bt_candidate *c = bt_work_candidate(w, j);
        const bool gives = u->available_g_m2 > 0;
        if (!gives && !(wanted && u->available_g_m2 >= 0))
            w->bed_no[u->candidate] = c->n_frac > 0
                                          ? "takes nitrogen up this season, or gives "
                                            "none in time"
                                          : "brings no nitrogen";
        else
            w->column[n++] = *u;
    }
    w->n_columns = n;
}

static void look(struct bt_work *w)
{
    struct bt_cover_options o = {.shapes = w->m->shapes,
                                 .chance = w->m->options.chance,
                                 .from = w->from,
                                 .wants_lacks = true};
    w->cover = bt_cover_of(w->arena, &w->base, BT_N, &o);
}

/* By cost when everything that may be used has a price (what is made here costs nothing).
 */
static bool all_priced(const struct bt_work *w)
{
    for (size_t j = 0; j < w->n_columns; j++)
        if (!isfinite(bt_work_candidate(w, j)->price_per_g))
            return false;
    return w->n_columns > 0;
}

/* ---- verdicts ---- */

static bool had_compost(const struct bt_work *w)
{
    const struct bt_garden *g = w->m->garden;
    enum { TWO_SEASONS_D = 730 };
    for (size_t i = 0; i < g->n_applications; i++) {
        const struct bt_application *x = &g->application[i];
        const char *kind =
            x->material ? bt_handbook_word(w->m->book, "materials", x->material, "kind")
                        : NULL;
        if (!kind || !(bt_text_is(kind, "compost") || bt_text_is(kind, "manure")) ||
            g->season_start - x->date.day > TWO_SEASONS_D)
            continue;
        for (size_t k = 0; k < x->n_beds; k++)
            if (x->bed[k] == w->bed_index)
                return true;
    }
    return false;
}

static const char *aside_of(const struct bt_work *w, double wish)
{
    const bool compost = had_compost(w);
    if (bt_work_is_full(w, BT_P2O5))
        return bt_arena_format(
            w->arena,
            "Stop compost and manure here%s: phosphate is %s by the soil "
            "test, and every layer brings more of it than the harvest takes "
            "away (%s a season).",
            compost ? "" : " (none is on record)",
            w->base.account[BT_P2O5].stock->rating ? w->base.account[BT_P2O5].stock->rating
                                                   : "above what crops use",
            bt_work_rate_text(w, w->removed_p2o5_g_m2));
    if (!compost || w->cover.chance < wish)
        return NULL;
    const bool tested = w->base.n_accounts > BT_P2O5 && w->base.account[BT_P2O5].known;
    return bt_arena_format(
        w->arena,
        "No more compost for now: nitrogen is covered without it, and each "
        "layer brings phosphate%s.",
        tested ? "" : ", which is not tested here: test it before the next");
}

static const char *verdict_of(const struct bt_work *w, double wish)
{
    struct bt_arena *a = w->arena;
    const int first = bt_first_day(w->m->garden);
    if (first > w->m->garden->season_end)
        return "Add nothing: the season is over.";
    if (w->base.n_plantings == 0)
        return "Add nothing: nothing grows here this season.";
    if (bt_work_chance(w, &w->cover) >= wish && !wants_p_or_k(w))
        return bt_arena_format(
            a,
            "Add nothing: the need for nitrogen is covered on every date%s "
            "with a chance of %.0f in 100 as things stand.",
            w->too_late ? " that can still be helped" : "",
            100 * bt_work_chance(w, &w->cover));
    if (w->n_slots == 0)
        return "Add nothing: what grows here is too near its end to use it.";
    return NULL;
}

/* "0.05 lb per 100 sq ft of P2O5", of what the test leaves open. */
static const char *aim_text(const struct bt_work *w, enum bt_nutrient k)
{
    const char *name = k == BT_P2O5 ? "P2O5" : "K2O";
    const char *aim = bt_work_rate_text(w, w->aim_g_m2[k]);
    if (w->aim_g_m2[k] > 0.9 * w->open_g_m2[k])
        return bt_arena_format(w->arena, "%s of %s", aim, name);
    return bt_arena_format(w->arena, "%s of %s (the soil's class asks for %s)", aim, name,
                           bt_work_rate_text(w, w->open_g_m2[k]));
}

/* What the plan is for beside nitrogen; NULL when nothing. */
static const char *purpose_of(const struct bt_work *w, double wish)
{
    struct bt_arena *a = w->arena;
    const char *both = NULL;
    bool held = false;
    for (int k = BT_P2O5; k <= BT_K2O; k++) {
        if (w->aim_g_m2[k] <= LITTLE_G_M2)
            continue;
        const char *one = aim_text(w, (enum bt_nutrient)k);
        both = both ? bt_arena_format(a, "%s and %s", both, one) : one;
        held |= w->aim_g_m2[k] <= 0.9 * w->open_g_m2[k];
    }
    if (!both)
        return NULL;
    const char *nitrogen = bt_work_chance(w, &w->cover) >= wish
                               ? "Nitrogen needs nothing here; the plan"
                               : "The plan also";
    if (!held)
        return bt_arena_format(a, "%s goes for %s, which the soil test asks for.", nitrogen,
                               both);
    return bt_arena_format(
        a,
        "%s goes for %s: no more than %s times what the season's "
        "harvest takes away, for a "
        "low soil is built up over years.",
        nitrogen, both,
        bt_figures_short(a, bt_row_likely(w->m->book, "soils", "any", "build_up_limit"),
                         2));
}

static const char *no_material(const struct bt_work *w)
{
    if (w->m->n_candidates == 0)
        return "No plan: materials.csv names no material. List what you can get there, or "
               "ask "
               "with --from-handbook.";
    return "No plan: none of the materials may be used here.";
}

/* ---- a bed ---- */

static void share_stock(struct bt_work *w, const struct bt_plan *p)
{
    for (size_t i = 0; i < p->n_additions; i++) {
        const size_t k = (size_t)(p->addition[i].material - w->m->candidate);
        if (!isfinite(w->m->on_hand_g[k]))
            continue;
        const double left_g = w->m->on_hand_g[k] - p->addition[i].measured.mass_g;
        w->m->on_hand_g[k] = left_g > 0 ? left_g : 0;
    }
}

static void plan_levels(struct bt_work *w, struct bt_bed_plan *out)
{
    const double wish = w->m->garden->enough;
    double level[BT_PLAN_LEVELS];
    size_t n = 0;
    bool put = false;
    for (size_t i = 0; i < sizeof LEVELS / sizeof *LEVELS; i++) {
        if (!put && wish <= LEVELS[i] + 1e-9) {
            out->wished = n;
            level[n++] = wish;
            put = true;
        }
        if (fabs(LEVELS[i] - wish) > 1e-9)
            level[n++] = LEVELS[i];
    }
    if (!put) {
        out->wished = n;
        level[n++] = wish;
    }
    out->n_plans = n;
    for (size_t i = 0; i < n; i++) {
        if (bt_work_chance(w, &w->cover) >= level[i] &&
            !wants_p_or_k(w)) { /* nothing is needed for that */
            const double chance = bt_work_chance(w, &w->cover);
            out->plan[i] =
                (struct bt_plan){.enough = level[i],
                                 .feasible = true,
                                 .chance = chance,
                                 .chance_error = bt_chance_error(chance, w->cover.samples),
                                 .chance_season = w->cover.chance,
                                 .chance_surplus = w->cover.chance_over};
            continue;
        }
        if (i > 0 && out->plan[i - 1].out_of_reach) { /* it stays so */
            out->plan[i] = out->plan[i - 1];
            out->plan[i].enough = level[i];
            continue;
        }
        out->plan[i] = bt_work_plan(w, level[i]);
    }
}

static void split_if_needed(struct bt_work *w, struct bt_bed_plan *out)
{
    if (w->often || out->plan[out->wished].feasible)
        return;
    struct bt_work finer = *w;
    finer.often = true;
    bt_work_columns(&finer);
    drop_the_useless(&finer);
    struct bt_bed_plan again = *out;
    plan_levels(&finer, &again);
    if (again.plan[again.wished].chance > out->plan[out->wished].chance + 0.01) {
        *w = finer;
        *out = again;
    }
}

bool bt_amend_bed(struct bt_amend *m, struct bt_arena *a, struct bt_diag *d, size_t bed,
                  struct bt_bed_plan *out)
{
    struct bt_work w = {.m = m, .arena = a, .bed_index = bed, .bed = &m->garden->bed[bed]};
    const double wish = m->garden->enough;
    if (!begin(&w, d))
        return false;
    bt_work_columns(&w);
    drop_the_useless(&w);
    w.from = first_helped(&w);
    look(&w);
    w.too_late = 1 - w.cover.chance_before > TENTH * (1 - wish);
    w.by_cost = all_priced(&w);
    *out = (struct bt_bed_plan){.garden = m->garden,
                                .bed = w.bed,
                                .aside = aside_of(&w, wish),
                                .from = w.from,
                                .chance_before = w.cover.chance_before,
                                .too_late = w.too_late,
                                .from_handbook = m->options.from_handbook,
                                .guide_rate_g_m2 = w.base.guide_rate_g_m2,
                                .removed_p2o5_g_m2 = w.removed_p2o5_g_m2,
                                .open_p2o5_g_m2 = w.open_g_m2[BT_P2O5],
                                .by_cost = w.by_cost};
    out->chance_without = bt_work_chance(&w, &w.cover);
    out->verdict = verdict_of(&w, wish);
    out->purpose = out->verdict ? NULL : purpose_of(&w, wish);
    if (!out->verdict && w.n_columns == 0)
        out->verdict = no_material(&w);
    else if (w.n_columns > 0) {
        plan_levels(&w, out);
        split_if_needed(&w, out);
        share_stock(&w, &out->plan[out->wished]);
    }
    bt_work_reasons(&w, out);
    return true;
}

bool bt_amend_garden(struct bt_amend *m, struct bt_arena *a, struct bt_diag *d,
                     const char *bed, const struct bt_plan_sink *sink)
{
    struct bt_arena *beds = bt_arena_beside(a); /* messages outlive the beds */
    for (size_t i = 0; i < m->garden->n_beds; i++) {
        if (bed && strcmp(bed, m->garden->bed[i].id) != 0)
            continue;
        const struct bt_mark mark = bt_arena_mark(beds);
        struct bt_bed_plan plan;
        if (bt_amend_bed(m, beds, d, i, &plan))
            sink->bed(sink->context, &plan);
        bt_arena_release(beds, mark);
    }
    return bt_diag_count(d, BT_ERROR) == 0;
}
