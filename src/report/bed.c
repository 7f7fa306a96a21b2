/* The opened bed: lines, chances, the course of the season, legumes, plantings, assumptions
 * and what the doubt comes from. */
#include <limits.h>
#include <math.h>

#include "base/date.h"
#include "base/figures.h"
#include "report/alert.h"
#include "report/answer.h"
#include "report/doubt.h"
#include "report/fertility.h"
#include "report/field.h"
#include "report/page.h"
#include "report/spread.h"
#include "report/verdict.h"

enum { COURSE_BAR = 22, DRIVER_BAR = 20, DRIVERS = 8, GAUGES = 4, COURSE_DATES = 14 };

static const double LEAST_SPARED_G = 0.1; /* less is not spoken of */

/* ---- chances ---- */

static void put_chances(struct bt_out *o, const struct bt_show *w,
                        const struct bt_finding *f, const struct bt_account_finding *x)
{
    struct bt_arena *a = w->arena;
    const struct bt_bed *bed = f->budget->bed;
    const char *nutrient = bt_nutrient_text(x->account->nutrient);
    bt_put_wrapped(
        o, a, "  ",
        bt_arena_format(
            a,
            "Chance of a shortfall on some date: %s; of one that shows in the crop (over a "
            "tenth of the need): %s.",
            bt_chance_text(a, x->chance_of_shortfall),
            bt_chance_text(a, x->chance_of_visible_shortfall)));
    bt_put_wrapped(o, a, "  ",
                   bt_arena_format(a, "The leanest date is most often %s (%s).",
                                   bt_date_words(a, x->tightest_date),
                                   bt_chance_text(a, x->tightest_date_chance)));
    if (x->shortfall.p95 > 0)
        bt_put_wrapped(
            o, a, "  ",
            bt_arena_format(a, "If it falls short, then seldom by more than %s.",
                            bt_mass_text(w, bed, x->shortfall.p95, nutrient, BT_FIGURES)));
    if (x->account->nutrient == BT_N && x->account->left_limit_g_m2 > 0)
        bt_put_wrapped(
            o, a, "  ",
            bt_arena_format(
                a, "Chance that more than %s is left for the winter rain to wash out: %s.",
                bt_mass_text(w, bed, x->account->left_limit_g_m2, nutrient, BT_FIGURES),
                bt_chance_text(a, x->chance_left_over_limit)));
    const double planned_frac = bt_planned_share(x);
    if (planned_frac > 0)
        bt_put_wrapped(
            o, a, "  ",
            bt_arena_format(a, "%s of the supply rests on what is only planned so far.",
                            bt_percent_text(a, planned_frac)));
    if (f->budget->nitrate_note && x->account->nutrient == BT_N)
        bt_put_wrapped(o, a, "  ",
                       bt_arena_format(a, "Soil nitrate: %s.",
                                       bt_text_shown(a, f->budget->nitrate_note)));
}

/* ---- the course of the season ---- */

/* A date is shown when it is an end, the leanest, or the next after enough days. */
static bool is_shown(const struct bt_account_finding *x, size_t t, int last_shown,
                     int step_d)
{
    const struct bt_account *account = x->account;
    if (t == 0 || t + 1 == account->n_dates || account->date[t] == x->tightest_date)
        return true;
    return account->date[t] - last_shown >= step_d;
}

static void put_course(struct bt_out *o, const struct bt_show *w,
                       const struct bt_finding *f, const struct bt_account_finding *x)
{
    struct bt_arena *a = w->arena;
    const struct bt_account *account = x->account;
    const struct bt_on_bed on = bt_on_bed(w, f->budget->bed);
    double most_g_m2 = 0;
    for (size_t t = 0; t < account->n_dates; t++) {
        most_g_m2 = x->have[t] > most_g_m2 ? x->have[t] : most_g_m2;
        most_g_m2 = x->need[t] > most_g_m2 ? x->need[t] : most_g_m2;
    }
    if (account->n_dates < 2 || !(most_g_m2 > 0))
        return;
    bt_put_title(o, w,
                 "The season, on average: what there has been to have, what was needed");
    struct bt_grid grid = bt_grid_new(a, 6, 1u << 1 | 1u << 3);
    const char *const head[] = {on.unit, "to have", NULL, "needed", NULL, NULL};
    bt_grid_row(&grid, head);
    const int step_d =
        (account->date[account->n_dates - 1] - account->date[0]) / COURSE_DATES;
    int last_shown = INT_MIN / 2;
    for (size_t t = 0; t < account->n_dates; t++) {
        if (!is_shown(x, t, last_shown, step_d))
            continue;
        last_shown = account->date[t];
        const char *const row[] = {bt_date_words(a, account->date[t]),
                                   bt_figures(a, x->have[t] * on.per_g_m2, BT_FIGURES),
                                   bt_bar(w, x->have[t] / most_g_m2, COURSE_BAR),
                                   bt_figures(a, x->need[t] * on.per_g_m2, BT_FIGURES),
                                   bt_bar(w, x->need[t] / most_g_m2, COURSE_BAR),
                                   x->have[t] < x->need[t]                ? "short"
                                   : account->date[t] == x->tightest_date ? "leanest"
                                                                          : ""};
        bt_grid_row(&grid, row);
    }
    bt_grid_write(o, &grid, 2);
}

/* ---- legumes and plantings ---- */

static void legume_row(struct bt_grid *g, const struct bt_show *w, const struct bt_bed *bed,
                       const char *label, const struct bt_spread *s)
{
    const struct bt_on_bed on = bt_on_bed(w, bed);
    const char *const row[] = {
        label, bt_figures(w->arena, s->likely * on.per_g_m2, BT_FIGURES),
        bt_ends_text(w->arena, s->p05 * on.per_g_m2, s->p95 * on.per_g_m2, BT_FIGURES)};
    bt_grid_row(g, row);
}

static void put_legume(struct bt_out *o, const struct bt_show *w,
                       const struct bt_finding *f, size_t i)
{
    struct bt_arena *a = w->arena;
    const struct bt_bed *bed = f->budget->bed;
    const struct bt_planting_spread *x = &f->planting[i];
    const struct bt_on_bed on = bt_on_bed(w, bed);
    const char *name = bt_text_shown(a, f->budget->planting[i].planting->written);
    bt_put_title(o, w, bt_arena_format(a, "Nitrogen of the %s", name));
    struct bt_grid grid = bt_grid_new(a, 3, 1u << 1);
    const char *const head[] = {bt_arena_format(a, "%s N %s", on.unit, on.where), "likely",
                                "9 times in 10 between"};
    bt_grid_row(&grid, head);
    legume_row(&grid, w, bed, "in the whole plant", &x->plant_n);
    legume_row(&grid, w, bed, "fixed from the air", &x->fixed);
    legume_row(&grid, w, bed, "  of that, out with the harvest", &x->harvested);
    legume_row(&grid, w, bed, "  of that, passed on while growing", &x->transfer);
    legume_row(&grid, w, bed, "  of that, left in residue and roots", &x->residue);
    legume_row(&grid, w, bed, "taken from the ground it shares", &x->draw);
    bt_grid_write(o, &grid, 2);
    const double met_frac = bt_met_share(f, i);
    const char *meets =
        met_frac > 0 ? bt_arena_format(a, " and meets about %s of its neighbours' need",
                                       bt_small_percent_text(a, met_frac))
                     : "";
    bt_put_wrapped(
        o, a, "  ",
        bt_arena_format(a,
                        "It takes %s of its nitrogen from the air (9 times in 10 "
                        "between %s and %s)%s.",
                        bt_percent_text(a, x->ndfa.likely), bt_percent_text(a, x->ndfa.p05),
                        bt_percent_text(a, x->ndfa.p95), meets));
}

static void put_plantings(struct bt_out *o, const struct bt_show *w,
                          const struct bt_finding *f)
{
    struct bt_arena *a = w->arena;
    const struct bt_budget *b = f->budget;
    if (b->n_plantings == 0)
        return;
    bt_put_title(o, w, "Plantings");
    struct bt_grid grid = bt_grid_new(a, 3, 0);
    for (size_t i = 0; i < b->n_plantings; i++) {
        const struct bt_planting_facts *p = &b->planting[i];
        const double yield_frac = bt_likely(b->sheet, p->relative_yield);
        const char *const row[] = {bt_text_shown(a, p->planting->written),
                                   bt_arena_format(a, "counts as %s of a full stand",
                                                   bt_area_text(w, p->stand_area_m2)),
                                   bt_arena_format(a, "%s of a full stand's yield",
                                                   bt_percent_text(a, yield_frac))};
        bt_grid_row(&grid, row);
    }
    bt_grid_write(o, &grid, 2);
}

/* ---- notes ---- */

static void put_sentences(struct bt_out *o, const struct bt_show *w, const char *title,
                          size_t n, const char *const *sentence)
{
    if (n == 0)
        return;
    bt_put_title(o, w, title);
    for (size_t k = 0; k < n; k++)
        bt_put_wrapped(o, w->arena, "  - ", bt_text_shown(w->arena, sentence[k]));
}

static void put_cautions(struct bt_out *o, const struct bt_show *w,
                         const struct bt_budget *b)
{
    size_t any = 0;
    for (size_t k = 0; k < b->n_cautions; k++) {
        const struct bt_caution *c = b->caution[k];
        if (bt_was_said(w, c))
            continue;
        if (!any++)
            bt_put_title(o, w, "Mind");
        const char *where = c->jurisdiction && *c->jurisdiction
                                ? bt_arena_format(w->arena, "%s; ", c->jurisdiction)
                                : "";
        bt_put_wrapped(o, w->arena, "  - ",
                       bt_arena_format(w->arena, "%s (%s%s, %s)", c->rule, where, c->source,
                                       bt_seen_word(c->seen)));
    }
}

static const char *moved_text(struct bt_arena *a, double value)
{
    return bt_arena_format(a, "%s%s", value > 0 ? "+" : "",
                           bt_figures_short(a, value, BT_FIGURES_FIRST));
}

static void put_drivers(struct bt_out *o, const struct bt_show *w,
                        const struct bt_finding *f, const struct bt_account_finding *x)
{
    if (x->n_drivers == 0)
        return;
    struct bt_arena *a = w->arena;
    const struct bt_on_bed on = bt_on_bed(w, f->budget->bed);
    bt_put_title(o, w, "What the doubt comes from");
    struct bt_grid grid = bt_grid_new(a, 6, 1u << 1 | 1u << 3 | 1u << 4);
    const char *const head[] = {NULL, "share", NULL, "if low", "if high", NULL};
    bt_grid_row(&grid, head);
    for (size_t k = 0; k < x->n_drivers && k < DRIVERS; k++) {
        const struct bt_driver *d = &x->driver[k];
        if (!(d->share_of_variance > 0))
            break;
        const struct bt_node_info *node = bt_sheet_node(f->budget->sheet, d->leaf);
        const char *const row[] = {bt_text_shown(a, node->label ? node->label : node->id),
                                   bt_percent_text(a, d->share_of_variance),
                                   bt_bar(w, d->share_of_variance, DRIVER_BAR),
                                   moved_text(a, d->low_effect * on.per_g_m2),
                                   moved_text(a, d->high_effect * on.per_g_m2),
                                   node->leaf && node->leaf->assumed ? "assumed" : ""};
        bt_grid_row(&grid, row);
    }
    bt_grid_write(o, &grid, 2);
    bt_put_wrapped(
        o, a, "  ",
        bt_arena_format(
            a,
            "If low, if high: what the leanest balance moves by when that figure lies in "
            "its lowest or highest twentieth, %s %s %s.",
            on.unit, bt_nutrient_text(x->account->nutrient), on.where));
}

static void put_gauges(struct bt_out *o, const struct bt_show *w,
                       const struct bt_finding *f, const struct bt_account_finding *x)
{
    if (x->n_gauges == 0)
        return;
    struct bt_arena *a = w->arena;
    const struct bt_bed *bed = f->budget->bed;
    const char *nutrient = bt_nutrient_text(x->account->nutrient);
    bt_put_title(o, w, "What to measure");
    bool any_spares = false;
    for (size_t k = 0; k < x->n_gauges && k < GAUGES; k++) {
        const struct bt_gauge_finding *g = &x->gauge[k];
        const struct bt_leaf *leaf = bt_sheet_node(f->budget->sheet, g->leaf)->leaf;
        const bool does_spare = g->loss_avoided * bed->area_m2 >= LEAST_SPARED_G;
        const char *spares = does_spare
                                 ? bt_arena_format(a, " and spare about %s",
                                                   bt_mass_text(w, bed, g->loss_avoided,
                                                                nutrient, BT_FIGURES_FIRST))
                                 : "";
        bt_put_wrapped(o, a, "  - ",
                       bt_arena_format(a, "%s. It would cut the range by about %s%s.",
                                       bt_measure_text(a, leaf),
                                       bt_percent_text(a, g->spread_cut_frac), spares));
        any_spares |= does_spare;
    }
    const double enough = f->budget->garden->enough;
    const char *spared =
        any_spares
            ? bt_arena_format(a,
                              " Spared is what would else be added for nothing; what "
                              "is missing counts %s times as much.",
                              bt_figures_short(a, enough / (1 - enough), 2))
            : "";
    bt_put_wrapped(
        o, a, "  ",
        bt_arena_format(
            a, "Expected before it is done, with the usual error of such a figure.%s",
            spared));
}

/* ---- the bed ---- */

static void put_account(struct bt_out *o, const struct bt_show *w,
                        const struct bt_finding *f, const struct bt_account_finding *x)
{
    struct bt_arena *a = w->arena;
    const char *title = bt_nutrient_title(x->account->nutrient);
    if (x->account->stock) {
        bt_put_fertility(o, w, f, x);
        return;
    }
    if (!x->account->known) {
        bt_put(o, "\n%s: no test, so no need can be stated\n", title);
        return;
    }
    bt_put(o, "\n%s: %s\n", title, bt_word_painted(w, x->word));
    bt_put_wrapped(o, a, "  ", bt_action_text(w, f, x, BT_FIGURES));
    bt_put(o, "\n");
    bt_put_lines(o, w, f, x, true);
    bt_put(o, "\n");
    put_chances(o, w, f, x);
    put_course(o, w, f, x);
    put_drivers(o, w, f, x);
    put_gauges(o, w, f, x);
}

void bt_report_bed(struct bt_out *o, const struct bt_show *w, const struct bt_finding *f)
{
    struct bt_arena *a = w->arena;
    const struct bt_budget *b = f->budget;
    const char *working =
        b->bed->area_working && *b->bed->area_working
            ? bt_arena_format(a, " (%s)", bt_text_shown(a, b->bed->area_working))
            : "";
    bt_put(o, w->colour ? "\033[1m%s\033[0m, %s%s\n" : "%s, %s%s\n",
           bt_bed_title(a, b->bed), bt_area_text(w, b->bed->area_m2), working);
    bt_put_alerts(o, w, b);
    for (size_t k = 0; k < b->n_accounts; k++)
        put_account(o, w, f, &f->account[k]);
    for (size_t i = 0; f->planting && i < b->n_plantings; i++)
        if (b->planting[i].is_legume)
            put_legume(o, w, f, i);
    put_plantings(o, w, f);
    put_sentences(o, w, "Understood", b->n_understood, b->understood);
    put_sentences(o, w, "What was assumed", b->n_assumed, bt_assumed_texts(w, b));
    const char *check = bt_rate_check_text(w, b);
    put_sentences(o, w, "Does it look right?", check != NULL, &check);
    put_cautions(o, w, b);
    bt_put(o, "\n");
}

/* ---- totals ---- */

static void total_row(struct bt_grid *g, struct bt_arena *a, struct bt_garden_unit in,
                      const char *label, const struct bt_spread *s)
{
    const char *const row[] = {
        label, bt_figures(a, s->likely * in.per_g, BT_FIGURES),
        bt_ends_text(a, s->p05 * in.per_g, s->p95 * in.per_g, BT_FIGURES)};
    bt_grid_row(g, row);
}

/* As on the page of a bed: what has no likely value that adds up is shown by its middle. */
static struct bt_spread by_middle(const struct bt_spread *s)
{
    struct bt_spread middle = *s;
    middle.likely = s->p50;
    return middle;
}

static void put_total(struct bt_out *o, const struct bt_show *w, enum bt_nutrient nutrient,
                      const struct bt_total_finding *t)
{
    struct bt_arena *a = w->arena;
    const double largest_g =
        t->required.likely > t->supply.likely ? t->required.likely : t->supply.likely;
    const struct bt_garden_unit in = bt_garden_unit(w, largest_g);
    const struct bt_spread balance = by_middle(&t->balance),
                           short_of = by_middle(&t->shortfall);
    const struct bt_spread over = by_middle(&t->surplus), left = by_middle(&t->left);
    struct bt_grid grid = bt_grid_new(a, 3, 1u << 1);
    const char *const head[] = {
        bt_arena_format(a, "%s %s", in.unit, bt_nutrient_text(nutrient)), "likely",
        "9 times in 10 between"};
    bt_grid_row(&grid, head);
    total_row(&grid, a, in, "to have", &t->supply);
    total_row(&grid, a, in, "needed", &t->required);
    const char *const middle[] = {"middle of all draws", NULL, NULL};
    bt_grid_row(&grid, middle);
    total_row(&grid, a, in, "  over at the season's end", &balance);
    total_row(&grid, a, in, "  short, beds added up", &short_of);
    total_row(&grid, a, in, "  over, beds added up", &over);
    if (nutrient == BT_N)
        total_row(&grid, a, in, "  left in the soil", &left);
    bt_grid_write(o, &grid, 2);
    bt_put(o, "\n");
}

void bt_report_total(struct bt_out *o, const struct bt_show *w, const struct bt_garden *g,
                     const struct bt_total_finding total[BT_NUTRIENTS])
{
    const char *name =
        g->name && *g->name ? bt_text_shown(w->arena, g->name) : "The garden";
    for (int k = 0; k < BT_NUTRIENTS; k++) {
        const struct bt_total_finding *t = &total[k];
        if (!(t->area_m2 > 0))
            continue;
        bt_put(o, "%s, all beds, %s\n", name, bt_area_text(w, t->area_m2));
        put_total(o, w, (enum bt_nutrient)k, t);
    }
}
