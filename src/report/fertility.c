#include "report/fertility.h"

#include <string.h>

#include "report/answer.h"
#include "report/page.h"
#include "report/spread.h"

static const double LIKELIER_THAN_NOT = 0.5; /* unit-free */

/* ---- the words ---- */

enum bt_pk_word bt_pk_word_of(const struct bt_account_finding *x)
{
    const struct bt_stock *s = x->account->stock;
    if (!x->account->known)
        return BT_PK_NO_TEST;
    if (s && s->is_full)
        return BT_PK_FULL;
    return s && s->is_below && x->chance_of_visible_shortfall >= LIKELIER_THAN_NOT
               ? BT_PK_LOW
               : BT_PK_OK;
}

const char *bt_pk_word_text(enum bt_pk_word word)
{
    static const char *const text[] = {[BT_PK_LOW] = "low",
                                       [BT_PK_OK] = "ok",
                                       [BT_PK_FULL] = "FULL",
                                       [BT_PK_NO_TEST] = "no test"};
    return text[word];
}

const char *bt_pk_word_painted(const struct bt_show *w, enum bt_pk_word word)
{
    static const int colour[] = {
        [BT_PK_LOW] = 33, [BT_PK_OK] = 32, [BT_PK_FULL] = 34, [BT_PK_NO_TEST] = 35};
    if (!w->colour)
        return bt_pk_word_text(word);
    return bt_arena_format(w->arena, "\033[1;%dm%s\033[0m", colour[word],
                           bt_pk_word_text(word));
}

/* The laboratory advises some of it. */
static bool is_advised(const struct bt_finding *f, const struct bt_account_finding *x)
{
    return x->account->stock && x->account->stock->need_by == BT_BY_ADVICE &&
           bt_likely(f->budget->sheet, x->account->required) > 0;
}

/* What to do, in words: "nothing to add", "short by about 1.2 oz P2O5 on this bed". */
static char *pk_action_text(const struct bt_show *w, const struct bt_finding *f,
                            const struct bt_account_finding *x, int figures)
{
    struct bt_arena *a = w->arena;
    const struct bt_bed *bed = f->budget->bed;
    const char *nutrient = bt_nutrient_text(x->account->nutrient);
    const bool is_short = x->chance_of_visible_shortfall >= LIKELIER_THAN_NOT;
    switch (bt_pk_word_of(x)) {
    case BT_PK_NO_TEST:
        return bt_arena_text(
            a, "no test tells how much there is, so no need can be stated and "
               "nothing is advised");
    case BT_PK_FULL:
        return bt_arena_format(a, "nothing to add%s%s",
                               x->account->nutrient == BT_P2O5
                                   ? "; feed nitrogen from sources without phosphate, and "
                                     "leave compost and manure off"
                                   : "",
                               is_advised(f, x) ? "; the laboratory advises some all the "
                                                  "same: ask the laboratory why"
                                                : "");
    case BT_PK_LOW:
        return bt_arena_format(a, "short by about %s",
                               bt_mass_text(w, bed, x->shortfall.p50, nutrient, figures));
    case BT_PK_OK: break;
    }
    if (is_short)
        return bt_arena_format(
            a, "enough is there; about %s would make up for what crops take",
            bt_mass_text(w, bed, x->shortfall.p50, nutrient, figures));
    return bt_arena_text(a, "nothing more to add");
}

/* ---- the opened bed ---- */

const char *bt_beside_key(enum bt_beside which)
{
    static const char *const key[] = {[BT_REMOVAL] = "removal",
                                      [BT_LOAD_ADDED] = "added",
                                      [BT_LOAD_REMOVED] = "removed",
                                      [BT_YEARS_BY_REMOVAL] = "by_removal",
                                      [BT_YEARS_BY_FALL] = "by_fall",
                                      [BT_YEARS_BY_DECLINE] = "by_decline",
                                      [BT_BESIDES] = NULL};
    return key[which];
}

int bt_longest_stock(const struct bt_account_finding *x)
{
    const struct bt_stock *s = x->account->stock;
    int longest = -1;
    for (int k = BT_YEARS_BY_REMOVAL; s && k < BT_BESIDES; k++)
        if (s->has[k] && (longest < 0 || x->beside[k].likely > x->beside[longest].likely))
            longest = k;
    return longest;
}

static char *years_text(struct bt_arena *a, const struct bt_spread *s)
{
    const char *ends = bt_ends_text(a, s->p05, s->p95, BT_FIGURES_FIRST);
    return bt_arena_format(a, "%s",
                           *ends ? ends : bt_figures_short(a, s->likely, BT_FIGURES_FIRST));
}

static void put_years(struct bt_out *o, const struct bt_show *w,
                      const struct bt_account_finding *x)
{
    static const char *const how[] = {
        [BT_YEARS_BY_REMOVAL] = "%s by what this season's harvests carry off",
        [BT_YEARS_BY_FALL] = "%s by the yearly fall of tests seen in fields",
        [BT_YEARS_BY_DECLINE] = "%s by such a fall in percent"};
    static const double PPM = 1e6;
    struct bt_arena *a = w->arena;
    const struct bt_stock *s = x->account->stock;
    const int longest = bt_longest_stock(x);
    const char *list = "";
    if (longest < 0)
        return;
    for (int k = BT_YEARS_BY_REMOVAL; k < BT_BESIDES; k++) {
        if (!s->has[k])
            continue;
        const char *hole = how[k] + 2; /* behind its %s */
        list = bt_arena_format(a, "%s%s%s%s", list, *list ? ", " : "",
                               years_text(a, &x->beside[k]), hole);
    }
    const char *count_on = "";
    if (s->has[BT_YEARS_BY_FALL])
        count_on = bt_arena_format(a, " Count on the longest: %s years.",
                                   years_text(a, &x->beside[longest]));
    bt_put_wrapped(
        o, a, "  ",
        bt_arena_format(a,
                        "Years in stock above %s ppm, the line above which nothing is "
                        "needed: %s.%s",
                        bt_figures_short(a, s->line_frac * PPM, BT_FIGURES), list,
                        count_on));
}

/* Harvests like this season's that the additions on record would feed; 0 where nothing is
 * carried off. */
static double harvests_added(const struct bt_account_finding *x)
{
    const double removal = x->beside[BT_REMOVAL].likely;
    return removal > 0 ? x->beside[BT_LOAD_ADDED].likely / removal : 0;
}

/* From so many harvests on, what was added is worth a word. */
static const double MANY_HARVESTS = 20; /* unit-free */

static void put_need(struct bt_out *o, const struct bt_show *w,
                     const struct bt_account_finding *x)
{
    static const char *const by[] = {[BT_BY_NOTHING] = "",
                                     [BT_BY_ADVICE] = "the laboratory's advice",
                                     [BT_BY_WORD] = "the laboratory's word",
                                     [BT_BY_CONTENT] = "the figure and its method"};
    struct bt_arena *a = w->arena;
    const struct bt_stock *s = x->account->stock;
    const char *rated = s->rating ? bt_arena_format(a, "Soil rated %s; ", s->rating) : "";
    bt_put_wrapped(o, a, "  ",
                   bt_arena_format(a, "%s%s %s.", rated,
                                   s->rating ? "the need is by" : "The need is by",
                                   by[s->need_by]));
    if (x->required.p95 > 0)
        bt_put_wrapped(o, a, "  ",
                       bt_arena_format(
                           a,
                           "Chance that what is added falls short of the need: %s; by more "
                           "than a tenth of it: %s.",
                           bt_chance_text(a, x->chance_of_shortfall),
                           bt_chance_text(a, x->chance_of_visible_shortfall)));
    const double planned_frac = bt_planned_share(x);
    if (planned_frac > 0)
        bt_put_wrapped(o, a, "  ",
                       bt_arena_format(a, "%s of what is added is only planned so far.",
                                       bt_percent_text(a, planned_frac)));
}

void bt_put_fertility(struct bt_out *o, const struct bt_show *w, const struct bt_finding *f,
                      const struct bt_account_finding *x)
{
    bt_put(o, "\n%s: %s\n", bt_nutrient_title(x->account->nutrient),
           bt_pk_word_painted(w, bt_pk_word_of(x)));
    bt_put_wrapped(o, w->arena, "  ", pk_action_text(w, f, x, BT_FIGURES));
    bt_put(o, "\n");
    bt_put_lines(o, w, f, x, true);
    bt_put(o, "\n");
    if (x->account->known)
        put_need(o, w, x);
    if (harvests_added(x) >= MANY_HARVESTS)
        bt_put_wrapped(
            o, w->arena, "  ",
            bt_arena_format(
                w->arena,
                "What was added on record holds as much %s as about %s harvests like this "
                "season's carry off.",
                x->account->nutrient == BT_P2O5 ? "phosphate" : "potash",
                bt_figures_short(w->arena, harvests_added(x), BT_FIGURES_FIRST)));
    put_years(o, w, x);
}

/* ---- the first screen ---- */

/* Beds with one word for one nutrient. */
struct beds {
    const char *list; /* "A1 (P, K), A2 (K)" */
    size_t n;
};

struct bt_fertility {
    struct bt_arena *kept;
    size_t n_beds;
    struct beds with[BT_PK_NO_TEST + 1];
    double most_harvests; /* unit-free: of phosphate added, in the bed where it is most */
    const char *most_bed;
};

struct bt_fertility *bt_fertility_new(struct bt_arena *kept)
{
    struct bt_fertility *t = bt_arena_zero(kept, sizeof *t);
    t->kept = kept;
    for (int k = 0; k <= BT_PK_NO_TEST; k++)
        t->with[k].list = "";
    return t;
}

enum { NAMED = 12 };

void bt_fertility_add(struct bt_fertility *t, const struct bt_show *w,
                      const struct bt_finding *f)
{
    const struct bt_account_finding *x[] = {bt_account_of(f, BT_P2O5),
                                            bt_account_of(f, BT_K2O)};
    static const char *const letter[] = {"P", "K"};
    if (!x[0] || !x[1])
        return;
    t->n_beds++;
    if (harvests_added(x[0]) > t->most_harvests) {
        t->most_harvests = harvests_added(x[0]);
        t->most_bed = bt_text_shown(t->kept, f->budget->bed->id);
    }
    for (int word = 0; word <= BT_PK_NO_TEST; word++) {
        const char *which = "";
        for (int k = 0; k < 2; k++) {
            if ((int)bt_pk_word_of(x[k]) != word)
                continue;
            const char *what =
                word == BT_PK_LOW
                    ? bt_arena_format(
                          t->kept, "%s, about %s", letter[k],
                          bt_mass_text(w, f->budget->bed, x[k]->shortfall.p50,
                                       bt_nutrient_text(x[k]->account->nutrient),
                                       BT_FIGURES_FIRST))
                    : letter[k];
            which = bt_arena_format(t->kept, "%s%s%s", which, *which ? "; " : "", what);
        }
        struct beds *beds = &t->with[word];
        if (*which && beds->n++ < NAMED)
            beds->list =
                bt_arena_format(t->kept, "%s%s%s (%s)", beds->list, *beds->list ? ", " : "",
                                bt_text_shown(t->kept, f->budget->bed->id), which);
    }
}

static void put_beds(struct bt_out *o, const struct bt_show *w, const char *first,
                     const struct beds *beds, const char *last)
{
    struct bt_arena *a = w->arena;
    if (beds->n == 0)
        return;
    const char *more =
        beds->n > NAMED ? bt_arena_format(a, " and %zu more", beds->n - NAMED) : "";
    bt_put_wrapped(o, a, "  ",
                   bt_arena_format(a, "%s %s%s%s", first, beds->list, more, last));
}

static void put_most(struct bt_out *o, const struct bt_show *w,
                     const struct bt_fertility *t)
{
    if (t->most_harvests < MANY_HARVESTS)
        return;
    bt_put_wrapped(
        o, w->arena, "  ",
        bt_arena_format(w->arena,
                        "What was added to %s on record holds as much phosphate as about "
                        "%s harvests like this season's carry off%s.",
                        t->most_bed,
                        bt_figures_short(w->arena, t->most_harvests, BT_FIGURES_FIRST),
                        t->with[BT_PK_NO_TEST].n > 0
                            ? ": have it tested before more compost or manure goes on"
                            : ""));
}

void bt_fertility_write(struct bt_out *o, const struct bt_show *w,
                        const struct bt_fertility *t)
{
    const size_t n_tested =
        t->with[BT_PK_LOW].n + t->with[BT_PK_OK].n + t->with[BT_PK_FULL].n;
    if (t->n_beds == 0)
        return;
    bt_put_title(o, w, "Phosphate and potash");
    if (n_tested == 0)
        bt_put_wrapped(o, w->arena, "  ",
                       "No soil test tells how much there is, so no need is stated and "
                       "nothing is advised.");
    put_beds(o, w, "Low in", &t->with[BT_PK_LOW], ".");
    put_beds(o, w, "FULL in", &t->with[BT_PK_FULL],
             ": nothing to add. Where P is full, feed nitrogen from sources without "
             "phosphate and leave compost and manure off.");
    put_beds(o, w, "Ok in", &t->with[BT_PK_OK], ".");
    if (n_tested > 0)
        put_beds(o, w, "No test in", &t->with[BT_PK_NO_TEST], ": nothing is advised.");
    put_most(o, w, t);
}
