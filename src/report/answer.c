#include "report/answer.h"

#include <limits.h>

#include "base/date.h"
#include "report/page.h"

/* More than this chance of too much left, and the screen says what to do about it. */
static const double LIKELIER_THAN_NOT = 0.5; /* unit-free */

const char *bt_word_text(enum bt_word word)
{
    static const char *const text[] = {
        [BT_SHORT] = "short",        [BT_PROBABLY_SHORT] = "probably short",
        [BT_ENOUGH] = "enough",      [BT_MORE_THAN_ENOUGH] = "more than enough",
        [BT_CANT_SAY] = "can't say", [BT_NO_CROP] = "no crop"};
    return text[word];
}

const char *bt_word_painted(const struct bt_show *w, enum bt_word word)
{
    static const int colour[] = {[BT_SHORT] = 31,    [BT_PROBABLY_SHORT] = 33,
                                 [BT_ENOUGH] = 32,   [BT_MORE_THAN_ENOUGH] = 34,
                                 [BT_CANT_SAY] = 35, [BT_NO_CROP] = 0};
    if (!w->colour)
        return bt_word_text(word);
    return bt_arena_format(w->arena, "\033[1;%dm%s\033[0m", colour[word],
                           bt_word_text(word));
}

const char *bt_nutrient_text(enum bt_nutrient nutrient)
{
    static const char *const text[] = {[BT_N] = "N", [BT_P2O5] = "P2O5", [BT_K2O] = "K2O"};
    return text[nutrient];
}

const char *bt_nutrient_title(enum bt_nutrient nutrient)
{
    static const char *const text[] = {
        [BT_N] = "Nitrogen", [BT_P2O5] = "Phosphate", [BT_K2O] = "Potash"};
    return text[nutrient];
}

const char *bt_all_pots(struct bt_arena *a, const struct bt_bed *bed)
{
    return bed->kind == BT_POTS && bed->pots > 1
               ? bt_arena_format(a, " for all %.0f pots", bed->pots)
               : "";
}

const char *bt_bed_title(struct bt_arena *a, const struct bt_bed *bed)
{
    const char *id = bt_text_shown(a, bed->id);
    if (!bed->name || !*bed->name)
        return id;
    return bt_arena_format(a, "%s, %s", id, bt_text_shown(a, bed->name));
}

const struct bt_account_finding *bt_account_of(const struct bt_finding *f,
                                               enum bt_nutrient nutrient)
{
    for (size_t k = 0; k < f->budget->n_accounts; k++)
        if (f->account[k].account && f->account[k].account->nutrient == nutrient)
            return &f->account[k];
    return NULL;
}

/* The first date from which on average less is there than is needed, INT_MAX when there is
 * none. */
static int short_from(const struct bt_account_finding *x)
{
    for (size_t t = 0; t < x->account->n_dates; t++)
        if (x->have[t] < x->need[t])
            return x->account->date[t];
    return INT_MAX;
}

double bt_planned_share(const struct bt_account_finding *x)
{
    double planned = 0, all = 0;
    for (size_t k = 0; k < x->n_lines; k++) {
        const struct bt_line *line = x->line[k].line;
        const double likely_g_m2 = x->line[k].total.likely;
        if (line->side != BT_SUPPLY || likely_g_m2 <= 0)
            continue;
        all += likely_g_m2;
        planned += line->planned || line->advised ? likely_g_m2 : 0;
    }
    return all > 0 ? planned / all : 0;
}

/* ---- the next action ---- */

struct saying {
    const struct bt_show *w;
    const struct bt_bed *bed;
    const char *nutrient;
    const char *by; /* the tightest date in words */
    bool legumes_alone;
    int as_of; /* up to which day deeds are done: what lies before it cannot be mended */
    int figures;
};

static char *mass(const struct saying *s, double mass_g_m2)
{
    return bt_mass_text(s->w, s->bed, mass_g_m2, s->nutrient, s->figures);
}

/* The same without "on this bed", where the line says which bed it is. */
static char *spare(const struct saying *s, double mass_g_m2)
{
    const struct bt_on_bed on = bt_on_bed(s->w, s->bed);
    const bool is_pot = s->bed->kind == BT_POTS;
    return bt_arena_format(
        s->w->arena, "%s %s %s%s%s",
        bt_figures_short(s->w->arena, mass_g_m2 * on.per_g_m2, s->figures), on.unit,
        s->nutrient, is_pot ? " " : "", is_pot ? on.where : "");
}

static char *say_short(const struct saying *s, const struct bt_account_finding *x)
{
    struct bt_arena *a = s->w->arena;
    const int from = short_from(x);
    const char *feed = "";
    if (x->tightest_date < s->as_of)
        feed = ", which has passed";
    else if (from <= s->as_of)
        feed = "; feed now";
    else if (from != INT_MAX)
        feed = from < x->tightest_date
                   ? bt_arena_format(a, "; feed before %s", bt_date_words(a, from))
                   : "; feed before then";
    if (s->legumes_alone && *feed == ';')
        feed = "; legumes fix their own: a small starter at most";
    if (!(x->shortfall.p50 > 0))
        return bt_arena_format(a, "may run short by %s%s", s->by, feed);
    return bt_arena_format(a, "short by about %s by %s%s", mass(s, x->shortfall.p50), s->by,
                           feed);
}

static char *say_more(const struct saying *s, const struct bt_account_finding *x)
{
    struct bt_arena *a = s->w->arena;
    if (x->account->nutrient != BT_N)
        return bt_arena_text(a, "nothing to add");
    return bt_arena_format(
        a, "nothing to add; about %s left at the end%s", spare(s, x->left.p50),
        x->chance_left_over_limit > LIKELIER_THAN_NOT ? ": sow something that takes it up"
                                                      : "");
}

static char *say_no_crop(const struct saying *s, const struct bt_account_finding *x)
{
    struct bt_arena *a = s->w->arena;
    if (!(x->chance_left_over_limit > LIKELIER_THAN_NOT))
        return bt_arena_text(a, "no crop stands in this season");
    return bt_arena_format(a,
                           "no crop stands in this season; about %s left at the end: sow "
                           "something that takes it up",
                           spare(s, x->left.p50));
}

static char *say_enough(const struct saying *s, const struct bt_account_finding *x)
{
    struct bt_arena *a = s->w->arena;
    if (!(x->tightest.p50 > 0))
        return bt_arena_format(a, "nothing to add; it is just met about %s", s->by);
    return bt_arena_format(a, "nothing to add; leanest about %s, about %s to spare", s->by,
                           spare(s, x->tightest.p50));
}

static char *say_unsure(const struct saying *s, const struct bt_account_finding *x)
{
    struct bt_arena *a = s->w->arena;
    const struct bt_on_bed on = bt_on_bed(s->w, s->bed);
    if (!(x->tightest.p05 < 0 && x->tightest.p95 > 0))
        return bt_arena_format(a, "measure first; the leanest date is about %s", s->by);
    const bool is_pot = s->bed->kind == BT_POTS;
    return bt_arena_format(
        a, "measure first: between %s %s N short and %s to spare%s%s by %s",
        bt_figures_short(a, -x->tightest.p05 * on.per_g_m2, s->figures), on.unit,
        bt_figures_short(a, x->tightest.p95 * on.per_g_m2, s->figures), is_pot ? " " : "",
        is_pot ? on.where : "", s->by);
}

static bool legumes_alone(const struct bt_budget *b)
{
    for (size_t i = 0; i < b->n_plantings; i++)
        if (!b->planting[i].is_legume)
            return false;
    return b->n_plantings > 0;
}

char *bt_action_text(const struct bt_show *w, const struct bt_finding *f,
                     const struct bt_account_finding *x, int figures)
{
    const struct saying s = {.w = w,
                             .bed = f->budget->bed,
                             .nutrient = bt_nutrient_text(x->account->nutrient),
                             .by = bt_date_words(w->arena, x->tightest_date),
                             .legumes_alone = legumes_alone(f->budget),
                             .as_of =
                                 f->budget->garden ? f->budget->garden->as_of : INT_MIN,
                             .figures = figures};
    switch (x->word) {
    case BT_SHORT:
    case BT_PROBABLY_SHORT: return say_short(&s, x);
    case BT_ENOUGH: return say_enough(&s, x);
    case BT_MORE_THAN_ENOUGH: return say_more(&s, x);
    case BT_NO_CROP: return say_no_crop(&s, x);
    case BT_CANT_SAY: break;
    }
    return say_unsure(&s, x);
}
