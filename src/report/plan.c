/* What to add, for people. */
#include "report/plan.h"

#include <math.h>
#include <string.h>

#include "report/alert.h"
#include "report/answer.h"
#include "report/page.h"

enum { MUCH_MORE = 4 }; /* times the phosphate that the harvest takes away */
enum { MANY = 60 };     /* lines of a list that nobody reads to the end */

/* ---- small texts ---- */

static const struct bt_plan *wished(const struct bt_bed_plan *p)
{
    return p->n_plans > 0 ? &p->plan[p->wished] : NULL;
}

static const char *money_text(struct bt_arena *a, const struct bt_garden *g, double money)
{
    const char *currency = g->currency ? g->currency : "";
    if (strlen(currency) == 1 || strncmp(currency, "US$", 3) == 0)
        return bt_arena_format(a, "%s%.2f", currency, money);
    return bt_arena_format(a, "%.2f%s%s", money, *currency ? " " : "", currency);
}

static const char *mass_text(const struct bt_show *w, double mass_g)
{
    return bt_weight_text(w->arena, w->us_units, mass_g);
}

/* "2 1/2 cups (about 13 oz) of feather meal" */
static const char *what_text(const struct bt_show *w, const struct bt_addition *x)
{
    return bt_arena_format(w->arena, "%s of %s", x->measured.text,
                           bt_text_shown(w->arena, x->material->name));
}

static const char *placement_text(const struct bt_addition *x)
{
    switch (x->placement) {
    case BT_SURFACE: return "laid on top";
    case BT_WATERED: return "watered in";
    default: return "dug in";
    }
}

static const char *chance_words(const struct bt_show *w, const struct bt_bed_plan *p)
{
    if (!p->too_late)
        return "on every date";
    return bt_arena_format(w->arena, "on every date from %s on",
                           bt_date_words(w->arena, p->from));
}

/* ---- a bed in a few lines ---- */

static void put_additions(struct bt_out *o, const struct bt_show *w,
                          const struct bt_bed *bed, const struct bt_plan *plan,
                          bool in_full)
{
    for (size_t i = 0; i < plan->n_additions; i++) {
        const struct bt_addition *x = &plan->addition[i];
        bt_put_wrapped(o, w->arena, "  ",
                       bt_arena_format(w->arena, "%s: %s%s, %s (%s).",
                                       bt_date_words(w->arena, x->day), what_text(w, x),
                                       bt_all_pots(w->arena, bed), placement_text(x),
                                       bt_text_shown(w->arena, x->stage)));
        if (in_full || bed->kind == BT_POTS)
            bt_put_wrapped(o, w->arena, "      ",
                           bt_arena_format(w->arena, "That is %s.",
                                           bt_text_shown(w->arena, x->rates)));
    }
}

static void put_head(struct bt_out *o, const struct bt_show *w, const struct bt_bed_plan *p,
                     bool in_full)
{
    struct bt_arena *a = w->arena;
    const struct bt_plan *plan = wished(p);
    bt_put_title(o, w, bt_text_shown(a, bt_bed_title(a, p->bed)));
    if (p->verdict)
        bt_put_wrapped(o, a, "  ", p->verdict);
    else if (plan && plan->n_additions == 0)
        bt_put_wrapped(o, a, "  ",
                       plan->n_stopped_by > 0
                           ? "No plan: what the limits leave room for would hardly help."
                           : "No plan: nothing that may be used here would help in time.");
    if (plan && !p->verdict && !plan->feasible && plan->n_additions > 0)
        bt_put_wrapped(o, a, "  ",
                       "No plan within the limits reaches the wish; this is the nearest "
                       "that was found:");
    if (plan)
        put_additions(o, w, p->bed, plan, in_full);
    if (plan && plan->n_additions > 0)
        bt_put_wrapped(
            o, a, "  ",
            bt_arena_format(
                a, "Need covered %s: %s as things stand, %s with it (wished: %s).",
                chance_words(w, p), bt_chance_text(a, p->chance_without),
                bt_chance_text(a, plan->chance), bt_chance_text(a, plan->enough)));
    else if (!p->verdict || p->n_plans == 0)
        bt_put_wrapped(o, a, "  ",
                       bt_arena_format(a, "Need covered %s: %s as things stand.",
                                       chance_words(w, p),
                                       bt_chance_text(a, p->chance_without)));
    if (plan && plan->n_additions > 0 && p->guide_rate_g_m2 > 0)
        bt_put_wrapped(
            o, a, "  ",
            bt_arena_format(
                a,
                "It gives about %s; guides would advise about %s as fertiliser for these "
                "crops on ordinary soil.",
                bt_mass_text(w, p->bed, plan->n_g_m2, "N", BT_FIGURES_FIRST),
                bt_mass_text(w, p->bed, p->guide_rate_g_m2, "N", BT_FIGURES_FIRST)));
    if (p->purpose && plan && plan->n_additions > 0)
        bt_put_wrapped(o, a, "  ", p->purpose);
    if (p->aside)
        bt_put_wrapped(o, a, "  ", p->aside);
}

static void put_stops(struct bt_out *o, const struct bt_show *w,
                      const struct bt_plan *plan);
static void put_reasons(struct bt_out *o, const struct bt_show *w,
                        const struct bt_bed_plan *p);

/* What nobody should miss who reads no further. */
static void put_notes(struct bt_out *o, const struct bt_show *w,
                      const struct bt_bed_plan *p, const struct bt_plan *plan)
{
    struct bt_arena *a = w->arena;
    const double times = plan->p2o5_g_m2 / p->removed_p2o5_g_m2;
    if (!plan->feasible)
        put_stops(o, w, plan);
    if (p->removed_p2o5_g_m2 > 0 && times > MUCH_MORE &&
        plan->p2o5_g_m2 > 1.5 * p->open_p2o5_g_m2)
        bt_put_wrapped(
            o, a, "  ",
            bt_arena_format(a,
                            "It brings %s times the phosphate that the harvest takes "
                            "away: not every year.",
                            bt_figures(a, times, 2)));
    if (!plan->feasible && !p->from_handbook)
        bt_put_wrapped(o, a, "  ",
                       "A material that is not in materials.csv may do better: try "
                       "--from-handbook.");
}

void bt_report_plan_line(struct bt_out *o, const struct bt_show *w,
                         const struct bt_bed_plan *p)
{
    const struct bt_plan *plan = wished(p);
    put_head(o, w, p, false);
    if (plan && plan->n_additions > 0)
        put_notes(o, w, p, plan);
    else if (p->n_materials > 0 && p->chance_without < p->garden->enough)
        put_reasons(o, w, p);
}

/* ---- a bed in full ---- */

static void put_sureness(struct bt_out *o, const struct bt_show *w,
                         const struct bt_bed_plan *p, const struct bt_plan *plan)
{
    struct bt_arena *a = w->arena;
    bt_put_wrapped(
        o, a, "  ",
        bt_arena_format(a, "The chance is good to about %.1f in 100 either way.",
                        200 * plan->chance_error < 0.1 ? 0.1 : 200 * plan->chance_error));
    if (p->too_late)
        bt_put_wrapped(
            o, a, "  ",
            bt_arena_format(
                a,
                "Up to then the need was covered in %s: nothing added now changes "
                "that, and what crops that are gone by then went without is not made up "
                "for. Over the whole season it is %s with the plan, as budget "
                "--plan shows.",
                bt_chance_text(a, p->chance_before),
                bt_chance_text(a, plan->chance_season)));
}

static void put_stops(struct bt_out *o, const struct bt_show *w, const struct bt_plan *plan)
{
    for (size_t i = 0; i < plan->n_stopped_by; i++)
        bt_put_wrapped(o, w->arena, plan->feasible ? "  Held by: " : "  Stopped by: ",
                       bt_text_shown(w->arena, plan->stopped_by[i]));
}

/* What rounding to measures makes of a material in all. */
static void put_rounding(struct bt_out *o, const struct bt_show *w,
                         const struct bt_plan *plan)
{
    for (size_t i = 0; i < plan->n_additions; i++) {
        const struct bt_candidate *c = plan->addition[i].material;
        double rounded_g = 0, asked_g = 0;
        bool before = false;
        for (size_t k = 0; k < plan->n_additions; k++) {
            const struct bt_measured *m = &plan->addition[k].measured;
            if (plan->addition[k].material != c)
                continue;
            before |= k < i;
            rounded_g += m->mass_g;
            asked_g += m->mass_g / (1 + m->rounding_frac);
        }
        const double frac = asked_g > 0 ? rounded_g / asked_g - 1 : 0;
        if (!before && fabs(frac) >= 0.005)
            bt_put_wrapped(
                o, w->arena, "  ",
                bt_arena_format(w->arena,
                                "Rounded to measures: %.0f %% %s %s than worked out.",
                                100 * fabs(frac), frac > 0 ? "more" : "less",
                                bt_text_shown(w->arena, c->name)));
    }
}

static void put_brings(struct bt_out *o, const struct bt_show *w,
                       const struct bt_bed_plan *p, const struct bt_plan *plan)
{
    struct bt_arena *a = w->arena;
    const struct bt_on_bed on = bt_on_bed(w, p->bed);
    bt_put_title(o, w, "What it gives, and what comes along");
    struct bt_grid grid = bt_grid_new(a, 7, 1u << 2 | 1u << 4 | 1u << 5 | 1u << 6);
    const char *const head[] = {bt_arena_format(a, "%s %s", on.unit, on.where),
                                NULL,
                                "N this season",
                                "9 times in 10",
                                "P2O5",
                                "K2O",
                                "N next season"};
    bt_grid_row(&grid, head);
    for (size_t i = 0; i < plan->n_additions; i++) {
        const struct bt_addition *x = &plan->addition[i];
        const double per = on.per_g_m2;
        const char *const row[] = {
            bt_text_shown(a, x->material->name),
            bt_date_words(a, x->day),
            bt_figures(a, x->n_available.likely * per, 2),
            bt_ends_text(a, x->n_available.p05 * per, x->n_available.p95 * per, 2),
            bt_figures(a, x->p2o5_g_m2 * per, 2),
            bt_figures(a, x->k2o_g_m2 * per, 2),
            bt_figures(a, x->next_n_g_m2 * per, 2)};
        bt_grid_row(&grid, row);
    }
    bt_grid_write(o, &grid, 2);
    bt_put_wrapped(
        o, a, "  ",
        bt_arena_format(
            a,
            "Left over at the end: %s of nitrogen on average, something in %s; more "
            "than the limit for winter rain to wash out in %s.",
            bt_on_bed_text(w, p->bed, plan->surplus_g_m2, 2),
            bt_chance_text(a, plan->chance_surplus),
            bt_chance_text(a, plan->chance_left_over_limit)));
}

/* ---- side by side ---- */

static const char *short_text(const struct bt_show *w, const struct bt_plan *plan)
{
    const char *text = NULL;
    struct bt_arena *a = w->arena;
    if (plan->n_additions == 0)
        return plan->feasible ? "nothing" : "nothing that helps";
    for (size_t i = 0; i < plan->n_additions; i++) {
        const struct bt_addition *x = &plan->addition[i];
        double mass_g = 0;
        bool before = false;
        for (size_t k = 0; k < plan->n_additions; k++)
            if (plan->addition[k].material == x->material) {
                before |= k < i;
                mass_g += plan->addition[k].measured.mass_g;
            }
        if (before)
            continue;
        const char *one = bt_arena_format(a, "%s %s", mass_text(w, mass_g),
                                          bt_text_shown(a, x->material->name));
        text = text ? bt_arena_format(a, "%s, %s", text, one) : one;
    }
    return text;
}

static void put_levels(struct bt_out *o, const struct bt_show *w,
                       const struct bt_bed_plan *p)
{
    struct bt_arena *a = w->arena;
    if (p->n_plans == 0)
        return;
    bt_put_title(o, w, "What it takes to be surer");
    struct bt_grid grid = bt_grid_new(a, 5, 1u << 0 | 1u << 1 | 1u << 2 | 1u << 3);
    const char *const head[] = {"wished", "reached", "too much left", "cost", "in all"};
    bt_grid_row(&grid, head);
    for (size_t i = 0; i < p->n_plans; i++) {
        const struct bt_plan *x = &p->plan[i];
        const char *cost = x->n_unpriced > 0     ? "no price"
                           : x->n_additions == 0 ? ""
                                                 : money_text(a, p->garden, x->cost);
        const char *const row[] = {
            bt_percent_text(a, x->enough), bt_percent_text(a, x->chance),
            x->n_additions > 0 ? bt_percent_text(a, x->chance_left_over_limit) : "", cost,
            short_text(w, x)};
        bt_grid_row(&grid, row);
    }
    bt_grid_write(o, &grid, 2);
}

static bool same_reason(const struct bt_why_not *a, const struct bt_why_not *b)
{
    return a->reason && b->reason && strcmp(a->reason, b->reason) == 0;
}

/* "dairy compost (10 and 14)" where the reason is what comes along. */
static const char *named(const struct bt_show *w, const struct bt_why_not *m)
{
    struct bt_arena *a = w->arena;
    const char *name = bt_text_shown(a, m->material->name);
    if (!strstr(m->reason, "phosphate") || !isfinite(m->p2o5_per_n))
        return name;
    return bt_arena_format(a, "%s (%s and %s)", name, bt_figures_short(a, m->p2o5_per_n, 2),
                           bt_figures_short(a, m->k2o_per_n, 2));
}

static void put_reasons(struct bt_out *o, const struct bt_show *w,
                        const struct bt_bed_plan *p)
{
    struct bt_arena *a = w->arena;
    bool ratios = false;
    for (size_t i = 0; i < p->n_materials; i++) {
        const struct bt_why_not *m = &p->material[i];
        bool said = !m->reason;
        for (size_t k = 0; k < i && !said; k++)
            said = same_reason(&p->material[k], m);
        if (said)
            continue;
        const char *names = named(w, m);
        for (size_t k = i + 1; k < p->n_materials; k++)
            if (same_reason(&p->material[k], m))
                names = bt_arena_format(a, "%s, %s", names, named(w, &p->material[k]));
        ratios |= strchr(names, '(') != NULL;
        bt_put_wrapped(o, a, "  ",
                       bt_arena_format(a, "%s: %s.", names, bt_text_shown(a, m->reason)));
    }
    if (ratios)
        bt_put_wrapped(o, a, "  ",
                       "In brackets: grams of P2O5 and of K2O with each gram of available "
                       "nitrogen.");
}

static void put_costs(struct bt_out *o, const struct bt_show *w,
                      const struct bt_bed_plan *p)
{
    struct bt_arena *a = w->arena;
    const double unit_kg = w->us_units ? BT_G_PER_LB / 1000 : 1;
    bool any = false;
    for (size_t i = 0; i < p->n_materials; i++) {
        const double money = p->material[i].cost_per_kg_n;
        if (!isfinite(money) || !(money > 0))
            continue;
        if (!any)
            bt_put_title(o, w,
                         bt_arena_format(a, "What a %s of available nitrogen costs here",
                                         w->us_units ? "pound" : "kilogram"));
        any = true;
        bt_put_wrapped(o, a, "  ",
                       bt_arena_format(a, "%s: %s",
                                       bt_text_shown(a, p->material[i].material->name),
                                       money_text(a, p->garden, money * unit_kg)));
    }
}

static void put_materials(struct bt_out *o, const struct bt_show *w,
                          const struct bt_bed_plan *p)
{
    bool any = false;
    for (size_t i = 0; i < p->n_materials; i++)
        any |= p->material[i].reason != NULL;
    if (any) {
        bt_put_title(o, w, "Not chosen, and why");
        put_reasons(o, w, p);
    }
    put_costs(o, w, p);
}

static void put_cautions(struct bt_out *o, const struct bt_show *w,
                         const struct bt_bed_plan *p)
{
    struct bt_arena *a = w->arena;
    size_t n = 0;
    for (size_t i = 0; i < p->n_warnings; i++) {
        if (n++ == 0)
            bt_put_title(o, w, "Careful");
        bt_put_wrapped(o, a, "  - ", bt_text_shown(a, p->warning[i]));
    }
    for (size_t i = 0; i < p->n_cautions; i++) {
        const struct bt_caution *c = p->caution[i];
        if (bt_was_said(w, c))
            continue;
        if (n++ == 0)
            bt_put_title(o, w, "Careful");
        bt_put_wrapped(
            o, a, "  - ",
            bt_arena_format(a, "%s [%s, %s]", c->rule, c->source, bt_seen_word(c->seen)));
    }
}

void bt_report_plan_bed(struct bt_out *o, const struct bt_show *w,
                        const struct bt_bed_plan *p)
{
    const struct bt_plan *plan = wished(p);
    put_head(o, w, p, true);
    if (plan && plan->n_additions > 0) {
        put_sureness(o, w, p, plan);
        put_rounding(o, w, plan);
        put_stops(o, w, plan);
        put_brings(o, w, p, plan);
    } else if (plan) {
        put_stops(o, w, plan);
    }
    put_levels(o, w, p);
    put_materials(o, w, p);
    put_cautions(o, w, p);
}

/* ---- the garden ---- */

void bt_report_plan_begin(struct bt_out *o, const struct bt_show *w,
                          const struct bt_garden *g)
{
    struct bt_arena *a = w->arena;
    bt_put(o, "%s, %s: what to add\n", bt_text_shown(a, g->name ? g->name : "The garden"),
           bt_garden_season_name(a, g));
    bt_put_wrapped(
        o, a, "",
        bt_arena_format(a,
                        "So that the need for nitrogen is covered with a chance of "
                        "%s; from %s on.",
                        bt_chance_text(a, g->enough), bt_date_words(a, bt_first_day(g))));
}

static const char *packages_text(struct bt_arena *a, const struct bt_show *w,
                                 const struct bt_shopping_line *l)
{
    if (!(l->buy_g > 0))
        return "nothing to buy";
    if (!(l->packages > 0))
        return bt_arena_format(a, "%s (no package known)", mass_text(w, l->buy_g));
    return bt_arena_format(
        a, "%.0f package%s of %s", l->packages, l->packages > 1 ? "s" : "",
        bt_text_shown(w->arena, bt_package_text(w->arena, w->us_units, l->material)));
}

static void put_shopping(struct bt_out *o, const struct bt_show *w,
                         const struct bt_garden *g, size_t n,
                         const struct bt_shopping_line *line)
{
    struct bt_arena *a = w->arena;
    double money = 0;
    size_t n_unpriced = 0;
    bt_put_title(o, w, "Shopping list");
    struct bt_grid grid = bt_grid_new(a, 5, 1u << 1 | 1u << 2 | 1u << 4);
    const char *const head[] = {"", "for the beds", "on hand", "buy", "cost"};
    bt_grid_row(&grid, head);
    for (size_t i = 0; i < n; i++) {
        const bool priced = isfinite(line[i].cost);
        const char *const row[] = {
            bt_text_shown(a, line[i].material->name), mass_text(w, line[i].wanted_g),
            line[i].on_hand_g > 0 ? mass_text(w, line[i].on_hand_g) : "",
            packages_text(a, w, &line[i]),
            priced ? money_text(a, g, line[i].cost) : "no price given"};
        bt_grid_row(&grid, row);
        money += priced ? line[i].cost : 0;
        n_unpriced += !priced;
    }
    bt_grid_write(o, &grid, 2);
    if (money > 0)
        bt_put_wrapped(
            o, a, "  ",
            bt_arena_format(a, "In all %s%s.", money_text(a, g, money),
                            n_unpriced > 0 ? ", and what has no price yet" : ""));
}

void bt_report_plan_end(struct bt_out *o, const struct bt_show *w,
                        const struct bt_garden *g, size_t n,
                        const struct bt_shopping_line *line, bool opened)
{
    struct bt_arena *a = w->arena;
    if (n > 0)
        put_shopping(o, w, g, n, line);
    bt_put(o, "\n");
    if (!opened)
        bt_put_wrapped(
            o, a, "",
            "Reasons, limits, what it takes to be surer and cautions: --bed B, or --all. "
            "Keep the plan with -o plan.csv and look at it with budget --plan "
            "plan.csv.");
    bt_put_wrapped(o, a, "",
                   "This is no soil-test advice: where your laboratory, extension service, "
                   "local law or a licensed planner says otherwise, they are right.");
}
