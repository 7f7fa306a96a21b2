/* Reasons: what was not chosen and why, warnings, the cautions that apply. */
#include <math.h>
#include <string.h>

#include "base/figures.h"
#include "base/text.h"
#include "model/caution.h"
#include "plan/amend_work.h"

/* ---- materials ---- */

/* The column of a material that gives most available nitrogen; n_columns for none. */
static size_t best_column(const struct bt_work *w, size_t candidate)
{
    size_t best = w->n_columns;
    for (size_t j = 0; j < w->n_columns; j++)
        if (w->column[j].candidate == candidate &&
            (best == w->n_columns ||
             w->column[j].available_g_m2 > w->column[best].available_g_m2))
            best = j;
    return best;
}

static double cost_per_kg_n(const struct bt_work *w, size_t candidate)
{
    const size_t j = best_column(w, candidate);
    if (j == w->n_columns || !(w->column[j].available_g_m2 > 0))
        return (double)NAN;
    return 1000 * w->m->candidate[candidate].price_per_g * w->column[j].unit_g_m2 /
           w->column[j].available_g_m2;
}

static bool is_chosen(const struct bt_plan *p, const struct bt_candidate *c)
{
    for (size_t i = 0; i < p->n_additions; i++)
        if (p->addition[i].material == c)
            return true;
    return false;
}

static double extra_of(const struct bt_column *u)
{
    return (u->p2o5_g_m2 + u->k2o_g_m2) / u->available_g_m2;
}

/* What the chosen materials bring along with each gram of available nitrogen, the most of
 * them. */
static double extra_of_chosen(const struct bt_work *w, const struct bt_plan *p)
{
    double most = 0;
    for (size_t i = 0; i < p->n_additions; i++) {
        const size_t k = (size_t)(p->addition[i].material - w->m->candidate);
        const size_t j = best_column(w, k);
        if (j < w->n_columns && w->column[j].available_g_m2 > 0 &&
            extra_of(&w->column[j]) > most)
            most = extra_of(&w->column[j]);
    }
    return most;
}

static const char *reason_of(const struct bt_work *w, const struct bt_bed_plan *p, size_t i)
{
    const struct bt_candidate *c = &w->m->candidate[i];
    if (c->no)
        return c->no;
    if (w->bed_no[i])
        return w->bed_no[i];
    const struct bt_plan *plan = p->n_plans > 0 ? &p->plan[p->wished] : NULL;
    if (!plan || (plan->n_additions == 0 && plan->feasible))
        return "nothing is needed";
    const size_t j = best_column(w, i);
    if (j == w->n_columns)
        return "cannot be given at a time when it would still help";
    if (isfinite(w->m->on_hand_g[i]) && !(w->m->on_hand_g[i] > 0) && c->only_on_hand)
        return "none is left on hand";
    if (!(w->column[j].available_g_m2 > 0))
        return "brings no nitrogen";
    if (plan->n_additions == 0)
        return "the limits leave room for too little of it to help";
    if (!plan->feasible)
        return "with more of it, within the limits, no likelier plan was found";
    if (w->by_cost && c->price_per_g > 0)
        return "dearer for what it gives here";
    if (extra_of(&w->column[j]) <= 1.05 * extra_of_chosen(w, plan) + 0.05)
        return "would do as well; what was chosen needs fewer materials or doses";
    return bt_work_is_full(w, BT_P2O5) && w->column[j].p2o5_g_m2 > 0
               ? "brings phosphate, which is full already"
               : "brings more phosphate and potash with its nitrogen than what was chosen";
}

static void list_materials(const struct bt_work *w, struct bt_bed_plan *out)
{
    struct bt_why_not *list =
        bt_arena_zero(w->arena, (w->m->n_candidates + 1) * sizeof *list);
    for (size_t i = 0; i < w->m->n_candidates; i++) {
        list[i].material = &w->m->candidate[i];
        list[i].cost_per_kg_n = cost_per_kg_n(w, i);
        list[i].p2o5_per_n = list[i].k2o_per_n = (double)NAN;
        const size_t j = best_column(w, i);
        if (j < w->n_columns && w->column[j].available_g_m2 > 0) {
            list[i].p2o5_per_n = w->column[j].p2o5_g_m2 / w->column[j].available_g_m2;
            list[i].k2o_per_n = w->column[j].k2o_g_m2 / w->column[j].available_g_m2;
        }
        if (out->n_plans == 0 || !is_chosen(&out->plan[out->wished], list[i].material))
            list[i].reason = reason_of(w, out, i);
    }
    out->material = list;
    out->n_materials = w->m->n_candidates;
}

/* ---- warnings ---- */

enum { WARNINGS_MOST = 8 };

struct texts {
    size_t n;
    const char **text;
};

static void say(struct texts *t, size_t most, const char *text)
{
    for (size_t i = 0; i < t->n; i++)
        if (strcmp(t->text[i], text) == 0)
            return;
    if (t->n < most)
        t->text[t->n++] = text;
}

static void warn_of_sum(const struct bt_work *w, const struct bt_plan *p, struct texts *t)
{
    const double yearly = bt_row_likely(w->m->book, "soils", "any", "yearly_dose_limit");
    double quick = 0;
    for (size_t i = 0; i < p->n_additions; i++)
        if (p->addition[i].material->is_quick)
            quick += p->addition[i].n_available.likely;
    if (isfinite(yearly) && quick > yearly)
        say(t, WARNINGS_MOST,
            bt_arena_format(w->arena,
                            "%s of quick nitrogen in one season is above what one state "
                            "calls its standard for a garden (%s): test the soil first, "
                            "split it, and stop when the crop stands well.",
                            bt_work_rate_text(w, quick), bt_work_rate_text(w, yearly)));
}

/* Far above what guides print: the wish may ask for too much. */
static void warn_of_guide(const struct bt_work *w, const struct bt_plan *p, struct texts *t)
{
    const double times = bt_row_likely(w->m->book, "soils", "any", "guide_excess");
    const double guide_g_m2 = w->base.guide_rate_g_m2;
    if (guide_g_m2 > 0 && isfinite(times) && p->n_g_m2 > times * guide_g_m2)
        say(t, WARNINGS_MOST,
            bt_arena_format(w->arena,
                            "The plan gives %s times the nitrogen that guides advise for "
                            "these crops on ordinary soil (%s): give the first half, look "
                            "at the crop or test the soil, and be content with a smaller "
                            "chance before you give it all.",
                            bt_figures_short(w->arena, p->n_g_m2 / guide_g_m2, 2),
                            bt_work_rate_text(w, guide_g_m2)));
}

static void warn_of_test(const struct bt_work *w, const struct bt_plan *p, struct texts *t)
{
    const bool known = w->base.n_accounts > BT_P2O5 && w->base.account[BT_P2O5].known;
    if (!known && p->p2o5_g_m2 > 0)
        say(t, WARNINGS_MOST,
            "Phosphate and potash are not tested here, so nothing is added for their sake; "
            "what comes along is kept low.");
}

/* Phosphate that the harvest does not take away again; nitrogen for the winter rain. */
static void warn_of_load(const struct bt_work *w, const struct bt_plan *p, struct texts *t)
{
    const double removed = w->removed_p2o5_g_m2;
    if (removed > 0 && p->p2o5_g_m2 > 2 * removed && p->p2o5_g_m2 > 1 &&
        p->p2o5_g_m2 > 1.5 * w->open_g_m2[BT_P2O5])
        say(t, WARNINGS_MOST,
            bt_arena_format(w->arena,
                            "The plan brings %s of P2O5, %s times what the harvest "
                            "takes away: done every year it builds up.",
                            bt_work_rate_text(w, p->p2o5_g_m2),
                            bt_figures_short(w->arena, p->p2o5_g_m2 / removed, 2)));
    if (p->n_additions > 0 && p->chance_left_over_limit >= 0.5 &&
        bt_work_chance(w, &w->cover) < p->enough)
        say(t, WARNINGS_MOST,
            bt_arena_format(
                w->arena,
                "With it more nitrogen than the limit is left at the end in %.0f in "
                "100: sow a catch crop after the harvest, or be content with a "
                "smaller chance.",
                100 * p->chance_left_over_limit));
    for (size_t i = 0; i < p->n_lacking; i++)
        say(t, WARNINGS_MOST, bt_arena_format(w->arena, "%s.", p->lacking[i]));
    if (!p->feasible && !w->m->options.from_handbook)
        say(t, WARNINGS_MOST,
            "A material that is not in materials.csv may do better: --from-handbook tries "
            "those "
            "of the handbook.");
}

static void warn_of_prices(const struct bt_work *w, const struct bt_bed_plan *out,
                           struct texts *t)
{
    const char *missing = NULL;
    size_t n = 0;
    if (out->by_cost)
        return;
    for (size_t i = 0; i < w->m->n_candidates; i++) {
        const struct bt_candidate *c = &w->m->candidate[i];
        if (c->no || w->bed_no[i] || isfinite(c->price_per_g) || !c->own)
            continue;
        missing = missing ? bt_arena_format(w->arena, "%s, %s", missing, c->name) : c->name;
        n++;
    }
    if (n > 0)
        say(t, WARNINGS_MOST,
            bt_arena_format(
                w->arena,
                "No price (with its package) is known for %s: so the plan goes by "
                "the least phosphate and potash too many, not by cost.",
                missing));
}

/* ---- cautions ---- */

/* By the same rule as the budget: what is chosen, what grows, what was tested. Doses are
 * held to their limit by the plan itself. */
static void list_cautions(const struct bt_work *w, const struct bt_plan *p,
                          struct bt_bed_plan *out)
{
    struct bt_caution_words words = {.arena = w->arena};
    const struct bt_handbook *h = w->m->book;
    for (size_t i = 0; i < p->n_additions; i++)
        bt_caution_words_of(&words, h, "materials", p->addition[i].material->key);
    bt_caution_words_of_bed(&words, h, w->m->garden, w->bed_index);
    if (p->n_additions > 0)
        bt_caution_word(&words, "near water");
    for (size_t i = 0; i < w->base.n_plantings && p->n_additions > 0; i++)
        if (w->base.planting[i].is_legume)
            bt_caution_word(&words, "bean nitrogen");
    if (bt_work_is_full(w, BT_P2O5))
        bt_caution_word(&words, "high phosphorus");
    out->caution = bt_cautions_that_apply(&words, h, &out->n_cautions);
}

void bt_work_reasons(const struct bt_work *w, struct bt_bed_plan *out)
{
    struct texts warnings = {
        0, bt_arena_alloc(w->arena, WARNINGS_MOST * sizeof *warnings.text)};
    const struct bt_plan none = {0};
    const struct bt_plan *p = out->n_plans > 0 ? &out->plan[out->wished] : &none;
    list_materials(w, out);
    if (out->n_plans > 0) {
        warn_of_sum(w, p, &warnings);
        warn_of_guide(w, p, &warnings);
        warn_of_test(w, p, &warnings);
        warn_of_load(w, p, &warnings);
        if (p->n_additions > 0)
            warn_of_prices(w, out, &warnings);
    }
    out->warning = warnings.text;
    out->n_warnings = warnings.n;
    list_cautions(w, p, out);
}
