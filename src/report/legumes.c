/* The page of a bed's legumes, in words and columns. */
#include "report/legumes_page.h"

#include <math.h>
#include <string.h>

#include "base/date.h"
#include "base/text.h"
#include "report/answer.h"
#include "report/page.h"
#include "report/verdict.h"

enum { SHARE_BAR = 20 };

const char *bt_planting_subject(struct bt_arena *a, const struct bt_planting *x)
{
    const char *name = bt_text_shown(a, x->written);
    return x->n_same < 2 ? name : bt_arena_format(a, "%s %u", name, x->ordinal);
}

bool bt_is_carried(const struct bt_garden *g, const struct bt_line *line)
{
    int year, month, dom;
    if (!line->origin || line->side != BT_SUPPLY)
        return false;
    if (bt_garden_over_new_year(g))
        return bt_season_of(g, line->came) < bt_garden_season_year(g);
    bt_civil(line->came, &year, &month, &dom);
    return year < g->season;
}

/* What a difference of equal numbers leaves behind is nothing. */
static char *percent(const struct bt_legume_page *p, double share)
{
    static const double ROUNDING = 1e-9; /* unit-free */
    return bt_percent_text(p->w->arena, fabs(share) < ROUNDING ? 0 : share);
}

static char *percent_ends(const struct bt_legume_page *p, const struct bt_spread *s)
{
    return bt_arena_format(p->w->arena, "%s to %s", percent(p, s->p05), percent(p, s->p95));
}

/* "about 0.13 oz N on this bed (9 times in 10 between -0.9 and 0.8)" */
static char *with_range(const struct bt_legume_page *p, const struct bt_spread *s)
{
    struct bt_arena *a = p->w->arena;
    const double k = p->on.per_g_m2; /* unit-free */
    const char *low = bt_figures_short(a, s->p05 * k, BT_FIGURES_FIRST);
    const char *high = bt_figures_short(a, s->p95 * k, BT_FIGURES_FIRST);
    const char *range =
        strcmp(low, high) == 0
            ? ""
            : bt_arena_format(a, " (9 times in 10 between %s and %s)", low, high);
    return bt_arena_format(a, "about %s %s N %s%s",
                           bt_figures_short(a, s->p50 * k, BT_FIGURES_FIRST), p->on.unit,
                           p->on.where, range);
}

/* ---- the ways of the nitrogen ---- */

/* `from_nothing`: the range begins at nothing, which no percentile of the draws shows. */
static void put_row(const struct bt_legume_page *p, struct bt_grid *g, const char *label,
                    const struct bt_spread *s, const struct bt_spread *share,
                    bool from_nothing)
{
    struct bt_spread mass_of = *s, share_of = share ? *share : (struct bt_spread){0};
    if (from_nothing)
        mass_of.p05 = share_of.p05 = 0;
    const char *const row[] = {label,
                               bt_legume_mass(p, s->likely),
                               bt_legume_ends(p, &mass_of),
                               share ? percent(p, share->likely) : "",
                               share ? percent_ends(p, &share_of) : "",
                               share ? bt_bar(p->w, share->likely, SHARE_BAR) : ""};
    bt_grid_row(g, row);
}

static void say_share(const struct bt_legume_page *p, const struct bt_spread *share,
                      bool from_nothing)
{
    struct bt_arena *a = p->w->arena;
    bt_legume_say(p, bt_arena_format(
                         a,
                         "It takes %s of its nitrogen from the air (9 times in 10 between "
                         "%s and %s), the rest from the soil.%s",
                         bt_percent_text(a, share->likely), bt_percent_text(a, share->p05),
                         bt_percent_text(a, share->p95),
                         from_nothing ? " What goes to the neighbours may be nothing at "
                                        "all: that range begins at 0 and holds 19 times in "
                                        "20."
                                      : ""));
}

static void put_ways(const struct bt_legume_page *p, const struct bt_legume_finding *f,
                     const char *name)
{
    struct bt_arena *a = p->w->arena;
    const struct bt_spread *s = f->spread;
    const bool has_company = f->facts->n_neighbours > 0;
    const bool from_nothing = p->from_nothing && has_company;
    bt_put_title(p->o, p->w, bt_arena_format(a, "Where the nitrogen of the %s goes", name));
    struct bt_grid g = bt_grid_new(a, 6, 1u << 1 | 1u << 3);
    const char *const head[] = {bt_arena_format(a, "%s N %s", p->on.unit, p->on.where),
                                "likely",
                                "9 times in 10 between",
                                "",
                                "of what it fixes",
                                ""};
    bt_grid_row(&g, head);
    put_row(p, &g, "in the whole plant", &s[BT_LEGUME_PLANT_N], NULL, false);
    put_row(p, &g, "fixed from the air", &s[BT_LEGUME_FIXED], NULL, false);
    put_row(p, &g, "  out with the harvest", &s[BT_LEGUME_OUT], &s[BT_LEGUME_OUT_SHARE],
            false);
    if (has_company)
        put_row(p, &g, "  to the neighbours while it grows", &s[BT_LEGUME_PASSED_ON],
                &s[BT_LEGUME_PASSED_SHARE], from_nothing);
    put_row(p, &g, "  left in residue and roots", &s[BT_LEGUME_LEFT],
            &s[BT_LEGUME_LEFT_SHARE], false);
    put_row(p, &g, "taken from the ground it shares", &s[BT_LEGUME_DRAW], NULL, false);
    bt_grid_write(p->o, &g, 2);
    say_share(p, &s[BT_LEGUME_SHARE_FIXED], from_nothing);
}

/* ---- the neighbours ---- */

/* Short enough for three columns. */
static const char *short_chance(struct bt_arena *a, double chance)
{
    if (chance < 0.01)
        return "under 1 %";
    return chance > 0.99 ? "over 99 %" : bt_percent_text(a, chance);
}

static void put_neighbour(const struct bt_legume_page *p, struct bt_grid *g,
                          const char *name, const char *need, const struct bt_spread *share,
                          const double *chance)
{
    struct bt_arena *a = p->w->arena;
    const char *low = p->from_nothing ? "nothing" : bt_small_percent_text(a, share->p05);
    const char *const row[] = {
        name,
        need,
        bt_small_percent_text(a, share->likely),
        bt_arena_format(a, "%s to %s", low, bt_small_percent_text(a, share->p95)),
        short_chance(a, chance[0]),
        short_chance(a, chance[1]),
        short_chance(a, chance[2])};
    bt_grid_row(g, row);
}

static void put_transfer(const struct bt_legume_page *p, const struct bt_legume_finding *f)
{
    struct bt_arena *a = p->w->arena;
    const struct bt_leaf *t = f->transfer;
    const char *own =
        bt_arena_format(a, "%s/tables/intercrops.csv",
                        bt_shell_word(a, p->p->finding->budget->garden->folder));
    if (!t)
        return;
    if (f->transfer_is_own) {
        bt_legume_say(
            p, bt_arena_format(
                   a,
                   "What legumes pass on is a figure of your own here, %s to %s of "
                   "the neighbours' uptake (%s, %s).",
                   bt_percent_text(a, t->range.low), bt_percent_text(a, t->range.high),
                   t->source, bt_seen_word(t->seen)));
        return;
    }
    const struct bt_row *limit =
        p->w->handbook
            ? bt_handbook_row(p->w->handbook, "intercrops", "any", "transfer_limit")
            : NULL;
    const char *most = limit ? bt_arena_format(a, ", at most %s of what is fixed,",
                                               bt_percent_text(a, limit->range.likely))
                             : "";
    const char *low = t->range.low > 0 ? bt_percent_text(a, t->range.low) : "nothing";
    bt_legume_say(
        p,
        bt_arena_format(
            a,
            "How much a legume passes to a neighbour while both grow is thinly published, "
            "and for bean beside corn no measured figure was found. The range used here, "
            "%s to %s of the neighbours' uptake%s is %s, not measurement. A figure of your "
            "own goes into %s and takes its place (docs/legumes.md).",
            low, bt_percent_text(a, t->range.high), most, bt_seen_word(t->seen), own));
}

static void put_neighbours(const struct bt_legume_page *p,
                           const struct bt_legume_finding *f)
{
    struct bt_arena *a = p->w->arena;
    const size_t n = f->facts->n_neighbours;
    if (n == 0)
        return;
    bt_put_title(p->o, p->w, "What the neighbours get of it this season");
    struct bt_grid g = bt_grid_new(a, 7, 1u << 1 | 1u << 2);
    const char *const head[] = {"",
                                bt_arena_format(a, "needs, %s", p->on.unit),
                                "part met",
                                p->from_nothing ? "19 times in 20" : "9 times in 10",
                                "chance of a tenth",
                                "of half",
                                "of all"};
    bt_grid_row(&g, head);
    for (size_t k = 0; k < n; k++)
        put_neighbour(p, &g, bt_planting_subject(a, f->facts->neighbour[k].planting),
                      bt_legume_mass(p, f->neighbour[k].whole_need.likely),
                      &f->neighbour[k].met_share, f->neighbour[k].chance);
    if (n > 1)
        put_neighbour(p, &g, "all together", "", &f->spread[BT_LEGUME_MET], f->chance);
    bt_grid_write(p->o, &g, 2);
    put_transfer(p, f);
}

/* ---- spared, swapped ---- */

static const struct bt_change_finding *change_of(const struct bt_legume_finding *f,
                                                 enum bt_change_kind kind)
{
    for (size_t k = 0; k < f->n_changes; k++)
        if (f->change[k].change.kind == kind)
            return &f->change[k];
    return NULL;
}

/* "about 0.5 oz more (9 times in 10 between 0.1 oz less and 1.2 oz more)" */
static char *more_or_less(const struct bt_legume_page *p, const struct bt_spread *s)
{
    struct bt_arena *a = p->w->arena;
    const double at[] = {s->p50, s->p05, s->p95};
    char *said[3];
    for (size_t k = 0; k < 3; k++) {
        const double shown = at[k] * p->on.per_g_m2; /* unit-free */
        said[k] = bt_arena_format(a, "%s %s %s",
                                  bt_figures_short(a, fabs(shown), BT_FIGURES_FIRST),
                                  p->on.unit, shown < 0 ? "less" : "more");
    }
    return bt_arena_format(a, "about %s (9 times in 10 between %s and %s)", said[0],
                           said[1], said[2]);
}

static void put_swaps(const struct bt_legume_page *p, const struct bt_legume_finding *f,
                      const char *name)
{
    struct bt_arena *a = p->w->arena;
    if (!f->facts->has[BT_LEGUME_SPARED])
        return;
    bt_put_title(p->o, p->w, "What it spares, and what else could stand there");
    bt_legume_say(
        p,
        bt_arena_format(a,
                        "Spared, because in company it takes more from the air than alone: "
                        "%s. It is in the figures above already and is not added to them.",
                        with_range(p, &f->spread[BT_LEGUME_SPARED])));
    bt_legume_say(
        p,
        bt_arena_format(
            a,
            "A substitution, not a gift: with a plant of equal uptake that fixes nothing "
            "in place of the %s the bed would need %s.",
            name, more_or_less(p, &f->spread[BT_LEGUME_NON_FIXER])));
    const struct bt_change_finding *c = change_of(f, BT_CHANGE_INSTEAD);
    if (c)
        bt_legume_say(p,
                      bt_arena_format(
                          a,
                          "Another substitution: with more %s on its ground the bed would "
                          "need %s.",
                          bt_planting_subject(a, c->change.instead),
                          more_or_less(p, &c->difference[BT_CHANGED_REQUIRED])));
}

/* ---- what it leaves ---- */

static void put_left(const struct bt_legume_page *p, const struct bt_legume_finding *f)
{
    struct bt_arena *a = p->w->arena;
    const struct bt_legume_facts *l = f->facts;
    const struct bt_spread *net = &f->spread[BT_LEGUME_NET];
    bt_put_title(p->o, p->w, "What it leaves");
    const char *sign = net->p95 < 0   ? "The bed loses nitrogen by it"
                       : net->p05 > 0 ? "The bed gains nitrogen by it"
                                      : "The bed may gain or lose nitrogen by it";
    bt_legume_say(
        p, bt_arena_format(a, "%s: fixed less harvested, %s.", sign, with_range(p, net)));
    if (l->has[BT_LEGUME_NET_CLEARED])
        bt_legume_say(p, bt_arena_format(a, "With its residue cleared off too: %s.",
                                         with_range(p, &f->spread[BT_LEGUME_NET_CLEARED])));
    if (l->has[BT_LEGUME_RESIDUE_NOW])
        bt_legume_say(
            p, bt_arena_format(a, "Once cut, its residue still gives %s this season.",
                               with_range(p, &f->spread[BT_LEGUME_RESIDUE_NOW])));
    if (l->has[BT_LEGUME_NEXT_SEASON])
        bt_legume_say(
            p, bt_arena_format(a, "Next season's planting is likely to get %s of it.",
                               with_range(p, &f->spread[BT_LEGUME_NEXT_SEASON])));
    else
        bt_legume_say(
            p,
            "Next season's planting gets nothing to speak of: its residue leaves the bed.");
}

/* ---- the page ---- */

static void put_verdict(const struct bt_legume_page *p)
{
    struct bt_verdict *v = bt_verdict_new(p->w->arena);
    bt_verdict_add(v, p->p->finding);
    char **sentence;
    const size_t n = bt_verdict_sentences(v, p->w, &sentence);
    for (size_t k = 0; k < n; k++) {
        const char *word = bt_verdict_word(v, k);
        bt_legume_say(
            p, bt_arena_format(p->w->arena, "%s%s%s", word, *word ? " " : "", sentence[k]));
    }
}

static void put_legume(const struct bt_legume_page *p, const struct bt_legume_finding *f)
{
    const char *name = bt_planting_subject(p->w->arena, f->facts->planting);
    put_ways(p, f, name);
    put_neighbours(p, f);
    put_swaps(p, f, name);
    put_left(p, f);
    bt_put_legume_stands(p, f);
    bt_put_legume_changes(p, f);
}

static bool has_carried(const struct bt_legumes_page *page)
{
    const struct bt_account_finding *x = bt_account_of(page->finding, BT_N);
    for (size_t k = 0; x && k < x->n_lines; k++)
        if (bt_is_carried(page->finding->budget->garden, x->line[k].line))
            return true;
    return false;
}

bool bt_report_legumes_bed(struct bt_out *o, const struct bt_show *w,
                           const struct bt_legumes_page *page)
{
    const struct bt_budget *b = page->finding->budget;
    struct bt_legume_page p = {.o = o,
                               .w = w,
                               .p = page,
                               .on = bt_on_bed(w, b->bed),
                               .from_nothing = bt_may_pass_nothing(b->sheet)};
    if (page->legumes->n == 0 && !has_carried(page))
        return false;
    bt_put(o, w->colour ? "\033[1m%s, %s\033[0m\n\n" : "%s, %s\n\n",
           bt_bed_title(w->arena, b->bed), bt_area_text(w, b->bed->area_m2));
    if (page->legumes->n == 0)
        bt_legume_say(&p, "No legume stands in this bed this season.");
    put_verdict(&p);
    for (size_t i = 0; i < page->legumes->n; i++)
        put_legume(&p, &page->legumes->legume[i]);
    bt_put_legume_carried(&p);
    if (page->legumes->n > 0)
        bt_put_legume_names(&p);
    bt_put(o, "\n");
    return true;
}

void bt_report_legumes_end(struct bt_out *o, const struct bt_show *w,
                           const struct bt_garden *g, size_t n_beds)
{
    const char *name =
        g->name && *g->name ? bt_text_shown(w->arena, g->name) : "The garden";
    const char *season = bt_garden_season_name(w->arena, g);
    if (n_beds == 0)
        bt_put(o,
               "%s, %s: no legume stands in it this season, and nothing of earlier years "
               "gives nitrogen.\n",
               name, season);
    else
        bt_put(o, "%s, %s.\n", name, season);
    bt_report_made_with(o, w);
}
