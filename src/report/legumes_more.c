/* The rest of the page of a bed's legumes: how many plants it would take, what changes the
 * answer, what earlier years give, and by which names the figures open. */
#include "report/legumes_page.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "report/answer.h"
#include "report/page.h"

/* Fewer draws than this in a hundred that no share would do are not worth a word. */
static const double SELDOM = 0.05; /* unit-free */

char *bt_legume_mass(const struct bt_legume_page *p, double mass_g_m2)
{
    return bt_figures(p->w->arena, mass_g_m2 * p->on.per_g_m2, BT_FIGURES);
}

char *bt_legume_ends(const struct bt_legume_page *p, const struct bt_spread *s)
{
    return bt_ends_text(p->w->arena, s->p05 * p->on.per_g_m2, s->p95 * p->on.per_g_m2,
                        BT_FIGURES);
}

void bt_legume_say(const struct bt_legume_page *p, const char *sentence)
{
    bt_put_wrapped(p->o, p->w->arena, "  ", sentence);
}

/* ---- how many plants ---- */

static const char *part_text(double part_frac)
{
    return part_frac < 0.3 ? "a tenth of" : part_frac < 0.8 ? "half of" : "all of";
}

static char *stand_text(const struct bt_legume_page *p, const struct bt_legume_finding *f,
                        const struct bt_stand_finding *s)
{
    struct bt_arena *a = p->w->arena;
    char *plants = bt_arena_format(a, "%s times as many",
                                   bt_figures_short(a, s->times, BT_FIGURES_FIRST));
    if (f->count > 0)
        plants = bt_arena_format(a, "about %.0f plants", ceil(f->count * s->times));
    char *range = bt_arena_text(a, "");
    if (isfinite(s->low))
        range = bt_arena_format(a, "; 9 times in 10 between %s and %s",
                                bt_percent_text(a, s->low), bt_percent_text(a, s->high));
    return bt_arena_format(a, "%s (%s %s%s)", plants, bt_percent_text(a, s->stand),
                           s->in_place ? "of all plants" : "of a full stand", range);
}

static void put_stand(const struct bt_legume_page *p, const struct bt_legume_finding *f,
                      const struct bt_stand_finding *s)
{
    struct bt_arena *a = p->w->arena;
    char *none = bt_arena_text(a, "");
    if (s->exists && s->chance_none > SELDOM)
        none = bt_arena_format(a, "; in %s draws no share does",
                               bt_chance_text(a, s->chance_none));
    if (!s->exists)
        none = bt_arena_format(a, " (in %s draws none does)",
                               bt_chance_text(a, s->chance_none));
    bt_put_wrapped(p->o, a, "    ",
                   s->exists
                       ? bt_arena_format(a, "%s their need: %s%s.", part_text(s->part_frac),
                                         stand_text(p, f, s), none)
                       : bt_arena_format(a, "%s their need: no share does%s.",
                                         part_text(s->part_frac), none));
}

void bt_put_legume_stands(const struct bt_legume_page *p, const struct bt_legume_finding *f)
{
    if (f->n_stands == 0)
        return;
    bt_put_title(p->o, p->w, "How many plants it would take to meet, while it grows,");
    for (size_t k = 0; k < f->n_stands; k++) {
        if (k == 0 || f->stand[k].in_place != f->stand[k - 1].in_place)
            bt_legume_say(p, f->stand[k].in_place ? "in place of the neighbours,"
                                                  : "added, the neighbours staying,");
        put_stand(p, f, &f->stand[k]);
    }
}

/* ---- what changes the answer ---- */

static const enum bt_changed shown[] = {BT_CHANGED_FIXED, BT_CHANGED_PASSED_ON,
                                        BT_CHANGED_LATER, BT_CHANGED_NET,
                                        BT_CHANGED_REQUIRED};
enum { SHOWN = sizeof shown / sizeof *shown };

static char *signed_text(const struct bt_legume_page *p, double mass_g_m2)
{
    struct bt_arena *a = p->w->arena;
    char *text = bt_figures_short(a, mass_g_m2 * p->on.per_g_m2, BT_FIGURES_FIRST);
    return strcmp(text, "0") != 0 && text[0] != '-' ? bt_arena_format(a, "+%s", text)
                                                    : text;
}

static void put_change(const struct bt_legume_page *p, struct bt_grid *g,
                       const struct bt_change_finding *c)
{
    struct bt_arena *a = p->w->arena;
    const char *middle[SHOWN + 1] = {bt_text_shown(a, c->change.name)};
    const char *range[SHOWN + 1] = {""};
    for (size_t k = 0; k < SHOWN; k++) {
        const struct bt_spread *d = &c->difference[shown[k]];
        const bool same = !c->has[shown[k]] || (d->mean == 0 && d->sd == 0);
        middle[k + 1] = !c->has[shown[k]] ? "" : same ? "." : signed_text(p, d->p50);
        range[k + 1] = same ? ""
                            : bt_ends_text(a, d->p05 * p->on.per_g_m2,
                                           d->p95 * p->on.per_g_m2, BT_FIGURES_FIRST);
    }
    bt_grid_row(g, middle);
    bt_grid_row(g, range);
}

void bt_put_legume_changes(const struct bt_legume_page *p,
                           const struct bt_legume_finding *f)
{
    struct bt_arena *a = p->w->arena;
    bt_put_title(p->o, p->w, "What changes the answer, and by how much");
    struct bt_grid g = bt_grid_new(a, SHOWN + 1, 0);
    const char *const head[] = {bt_arena_format(a, "%s N %s", p->on.unit, p->on.where),
                                "fixed",
                                "passed on",
                                "its residue",
                                "fixed less",
                                "need of"};
    const char *const second[] = {"", "", "", "gives later", "harvested", "the bed"};
    bt_grid_row(&g, head);
    bt_grid_row(&g, second);
    for (size_t k = 0; k < f->n_changes; k++)
        put_change(p, &g, &f->change[k]);
    bt_grid_write(p->o, &g, 2);
    bt_legume_say(
        p,
        "Each line is one thing changed, all else as it is, on the same draws: the middle "
        "difference, below it 9 times in 10 between. A point: no difference.");
}

/* ---- earlier seasons ---- */

/* What of the line's label its origin does not say. */
static const char *as_text(struct bt_arena *a, const struct bt_line *line)
{
    const char *label = bt_text_shown(a, line->label);
    const char *origin = bt_text_shown(a, line->origin);
    if (!bt_text_starts(label, origin))
        return label;
    label += strlen(origin) + strspn(label + strlen(origin), " ");
    const size_t n = strlen(label);
    if (n > 1 && label[0] == '(' && label[n - 1] == ')')
        return bt_arena_text_n(a, label + 1, n - 2);
    return label;
}

void bt_put_legume_carried(const struct bt_legume_page *p)
{
    struct bt_arena *a = p->w->arena;
    const struct bt_account_finding *x = bt_account_of(p->p->finding, BT_N);
    const struct bt_garden *garden = p->p->finding->budget->garden;
    struct bt_grid g = bt_grid_new(a, 5, 1u << 2);
    const char *const head[] = {"from", "as", bt_arena_format(a, "likely, %s", p->on.unit),
                                "9 times in 10 between", ""};
    bt_grid_row(&g, head);
    for (size_t k = 0; x && k < x->n_lines; k++) {
        const struct bt_line_finding *line = &x->line[k];
        if (!bt_is_carried(garden, line->line))
            continue;
        const char *const row[] = {
            bt_text_shown(a, line->line->origin), as_text(a, line->line),
            bt_legume_mass(p, line->total.likely), bt_legume_ends(p, &line->total),
            line->line->planned ? "(planned)" : ""};
        bt_grid_row(&g, row);
    }
    if (g.n_rows == 1)
        return;
    bt_put_title(p->o, p->w, "What was sown or spread in earlier years gives this season");
    bt_grid_write(p->o, &g, 2);
    bt_legume_say(
        p, "Each nitrogen is in one line only: no credit for a legume is added to its "
           "residue, "
           "and of composts that the organic-matter sample has seen only what goes beyond "
           "that "
           "line counts.");
}

/* ---- names for `why` ---- */

static char *names_of(struct bt_arena *a, const struct bt_budget *b,
                      const struct bt_legume_finding *f, char *names)
{
    for (int k = 0; k < BT_LEGUME_QUANTITIES; k++)
        if (f->facts->has[k])
            names = bt_arena_format(
                a, "%s%s%s", names, *names ? "; " : "",
                bt_text_shown(a, bt_sheet_node(b->sheet, f->facts->node[k])->label));
    for (size_t k = 0; k < f->facts->n_neighbours; k++)
        names = bt_arena_format(
            a, "%s; %s", names,
            bt_text_shown(
                a, bt_sheet_node(b->sheet, f->facts->neighbour[k].met_share)->label));
    return names;
}

void bt_put_legume_names(const struct bt_legume_page *p)
{
    struct bt_arena *a = p->w->arena;
    const struct bt_budget *b = p->p->finding->budget;
    const struct bt_legumes_finding *l = p->p->legumes;
    const char *why =
        bt_arena_format(a, "bedtally why %s %s", bt_shell_word(a, b->garden->folder),
                        bt_shell_word(a, b->bed->id));
    char *names = bt_arena_text(a, "");
    bt_put_title(p->o, p->w, "Each figure opened");
    if (!p->p->names) {
        bt_legume_say(p, bt_arena_format(
                             a, "%s NAME; `bedtally legumes %s --bed %s` lists the names.",
                             why, bt_shell_word(a, b->garden->folder),
                             bt_shell_word(a, b->bed->id)));
        return;
    }
    for (size_t i = 0; i < l->n; i++)
        names = names_of(a, b, &l->legume[i], names);
    bt_legume_say(p, bt_arena_format(a, "%s NAME, where NAME is one of: %s.", why, names));
    if (l->legume[0].n_changes == 0)
        return;
    const char *change = l->legume[0].change[0].change.name;
    if (l->n > 1)
        change = bt_arena_format(
            a, "%s: %s", bt_planting_subject(a, l->legume[0].facts->planting), change);
    bt_legume_say(p, bt_arena_format(a, "With one thing changed: %s NAME --if %s.", why,
                                     bt_shell_word(a, change)));
}
