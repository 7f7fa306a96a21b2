/* The first screen: for a grower with two minutes. */
#include <stdlib.h>
#include <string.h>

#include "report/alert.h"
#include "report/answer.h"
#include "report/doubt.h"
#include "report/fertility.h"
#include "report/page.h"
#include "report/verdict.h"

enum { ASSUMPTIONS = 3, PLANNED_NAMED = 6 };

/* Below this share nobody asks which part of the supply is only planned. */
static const double MENTION_PLANNED = 0.1; /* unit-free */

/* What is kept of a bed once its finding is gone. */
struct headline {
    size_t ordinal;
    enum bt_word word;
    double chance;       /* of a visible shortfall */
    double planned_frac; /* of the supply */
    bool has_pk;
    enum bt_pk_word p, k;
    const char *title;
    const char *action;
};

struct mind { /* what can hurt */
    enum bt_alert_kind kind;
    const char *bed, *text;
};

struct bt_screen {
    struct bt_arena *kept;
    size_t n_minds, mind_capacity;
    struct mind *mind;
    size_t n, capacity;
    struct headline *headline;
    struct bt_verdict *verdict;
    struct bt_doubt *doubt;
    struct bt_fertility *fertility;
};

struct bt_screen *bt_report_screen_new(struct bt_arena *kept)
{
    struct bt_screen *s = bt_arena_zero(kept, sizeof *s);
    s->kept = kept;
    s->verdict = bt_verdict_new(kept);
    s->doubt = bt_doubt_new(kept);
    s->fertility = bt_fertility_new(kept);
    return s;
}

static void keep_alerts(struct bt_screen *s, const struct bt_show *w,
                        const struct bt_budget *b)
{
    for (size_t k = 0; k < b->n_alerts; k++) {
        s->mind =
            bt_arena_grow(s->kept, s->mind, &s->mind_capacity, s->n_minds, sizeof *s->mind);
        s->mind[s->n_minds++] = (struct mind){
            b->alert[k].kind, bt_arena_text(s->kept, bt_bed_title(w->arena, b->bed)),
            bt_arena_text(s->kept, b->alert[k].brief)};
    }
}

void bt_report_screen_add(struct bt_screen *s, const struct bt_show *w,
                          const struct bt_finding *f)
{
    const struct bt_account_finding *x = bt_account_of(f, BT_N);
    if (!x)
        return;
    s->headline =
        bt_arena_grow(s->kept, s->headline, &s->capacity, s->n, sizeof *s->headline);
    s->headline[s->n] = (struct headline){
        .ordinal = s->n,
        .word = x->word,
        .chance = x->chance_of_visible_shortfall,
        .planned_frac = bt_planned_share(x),
        .title = bt_arena_text(s->kept, bt_bed_title(w->arena, f->budget->bed)),
        .action = bt_arena_text(s->kept, bt_action_text(w, f, x, BT_FIGURES_FIRST))};
    const struct bt_account_finding *p = bt_account_of(f, BT_P2O5);
    const struct bt_account_finding *k = bt_account_of(f, BT_K2O);
    if (p && k) {
        s->headline[s->n].has_pk = true;
        s->headline[s->n].p = bt_pk_word_of(p);
        s->headline[s->n].k = bt_pk_word_of(k);
    }
    s->n++;
    keep_alerts(s, w, f->budget);
    bt_fertility_add(s->fertility, w, f);
    bt_verdict_add(s->verdict, f);
    bt_doubt_add(s->doubt, w, f);
}

/* Worst first; where nothing can be said stands between short and enough. */
static int badness(enum bt_word word)
{
    static const int rank[] = {
        [BT_SHORT] = 0,  [BT_PROBABLY_SHORT] = 1,   [BT_CANT_SAY] = 2,
        [BT_ENOUGH] = 3, [BT_MORE_THAN_ENOUGH] = 4, [BT_NO_CROP] = 5};
    return rank[word];
}

static int worse(const void *left, const void *right)
{
    const struct headline *a = left;
    const struct headline *b = right;
    if (a->word != b->word)
        return badness(a->word) - badness(b->word);
    if (a->chance > b->chance || a->chance < b->chance)
        return a->chance > b->chance ? -1 : 1;
    return a->ordinal < b->ordinal ? -1 : a->ordinal > b->ordinal;
}

static void put_beds(struct bt_out *o, const struct bt_show *w, const struct bt_screen *s)
{
    struct headline *sorted = bt_arena_alloc(w->arena, (s->n + 1) * sizeof *sorted);
    if (s->n)
        memcpy(sorted, s->headline, s->n * sizeof *sorted);
    qsort(sorted, s->n, sizeof *sorted, worse);
    const bool has_pk = s->n > 0 && s->headline[0].has_pk; /* all beds or none */
    struct bt_grid grid = bt_grid_new(w->arena, has_pk ? 5 : 3, 0);
    const char *const with_pk[] = {"Bed", "Nitrogen", "P", "K", "What next"};
    const char *const without[] = {"Bed", "Nitrogen", "What next"};
    bt_grid_row(&grid, has_pk ? with_pk : without);
    for (size_t k = 0; k < s->n; k++) {
        const struct headline *x = &sorted[k];
        const char *row[5] = {x->title, bt_word_painted(w, x->word), x->action};
        if (has_pk) {
            row[2] = bt_pk_word_painted(w, x->p);
            row[3] = bt_pk_word_painted(w, x->k);
            row[4] = x->action;
        }
        bt_grid_row(&grid, row);
    }
    bt_grid_write(o, &grid, 2);
}

/* Above the table: whoever reads one line only reads this one. */
static void put_alerts(struct bt_out *o, const struct bt_show *w, const struct bt_screen *s)
{
    struct bt_arena *a = w->arena;
    if (s->n_minds == 0)
        return;
    bt_put(o, "  %s:\n", bt_alert_title);
    for (int kind = BT_ALERT_PICKING; kind <= BT_ALERT_DOSE; kind++)
        for (size_t k = 0; k < s->n_minds; k++)
            if (s->mind[k].kind == (enum bt_alert_kind)kind)
                bt_put_wrapped(o, a, "  ! ",
                               bt_arena_format(a, "%s: %s.", s->mind[k].bed,
                                               bt_text_shown(a, s->mind[k].text)));
    bt_put_wrapped(o, a, "    ",
                   "Where a local rule says otherwise, that holds. In full: --bed BED.");
    bt_put(o, "\n");
}

static void put_planned(struct bt_out *o, const struct bt_show *w,
                        const struct bt_screen *s)
{
    size_t n = 0;
    char *beds = bt_arena_text(w->arena, "");
    for (size_t k = 0; k < s->n; k++) {
        if (s->headline[k].planned_frac < MENTION_PLANNED)
            continue;
        if (n < PLANNED_NAMED)
            beds = bt_arena_format(w->arena, "%s%s%s (%s)", beds, n ? "; " : "",
                                   s->headline[k].title,
                                   bt_percent_text(w->arena, s->headline[k].planned_frac));
        n++;
    }
    if (n == 0)
        return;
    if (n > PLANNED_NAMED)
        beds = bt_arena_format(w->arena, "%s and %zu more", beds, n - PLANNED_NAMED);
    bt_put(o, "\n");
    bt_put_wrapped(
        o, w->arena, "  ",
        bt_arena_format(w->arena, "Part of the supply is only planned so far: %s.", beds));
}

static void put_verdict(struct bt_out *o, const struct bt_show *w,
                        const struct bt_screen *s)
{
    char **sentence;
    const size_t n = bt_verdict_sentences(s->verdict, w, &sentence);
    if (n == 0)
        return;
    bt_put_title(o, w, "The legumes");
    for (size_t k = 0; k < n; k++)
        bt_put_wrapped(o, w->arena, "  ", sentence[k]);
}

static const char *capital(struct bt_arena *a, const char *text)
{
    char *copy = bt_arena_text(a, text);
    if (copy[0] >= 'a' && copy[0] <= 'z')
        copy[0] = (char)(copy[0] - 'a' + 'A');
    return copy;
}

static void put_doubt(struct bt_out *o, const struct bt_show *w, const struct bt_screen *s)
{
    struct bt_doubt_part part;
    if (bt_doubt_measure(s->doubt, 0, &part)) {
        bt_put_title(o, w, "The best thing to measure");
        const char *where =
            s->n == 1 ? "" : bt_arena_format(w->arena, ", most of all in %s", part.bed);
        bt_put_wrapped(o, w->arena, "  ",
                       bt_arena_format(w->arena,
                                       "%s%s. It would take away about %s of the doubt.",
                                       capital(w->arena, part.text), where,
                                       bt_percent_text(w->arena, part.share_frac)));
    }
    if (!bt_doubt_assumed(s->doubt, 0, &part))
        return;
    bt_put_title(o, w, "What was assumed and matters most");
    for (size_t k = 0; k < ASSUMPTIONS && bt_doubt_assumed(s->doubt, k, &part); k++) {
        const char *where = "";
        if (s->n > 1)
            where = part.n_beds == 1
                        ? bt_arena_format(w->arena, " in %s", part.bed)
                        : bt_arena_format(w->arena, " in %zu beds", part.n_beds);
        bt_put_wrapped(o, w->arena, bt_arena_format(w->arena, "  %zu. ", k + 1),
                       bt_arena_format(w->arena, "%s%s (%s of the doubt)", part.text, where,
                                       bt_percent_text(w->arena, part.share_frac)));
    }
}

void bt_report_screen_write(struct bt_out *o, const struct bt_show *w,
                            const struct bt_screen *s, const struct bt_garden *g)
{
    const char *name =
        g->name && *g->name ? bt_text_shown(w->arena, g->name) : "The garden";
    bt_put(o,
           w->colour ? "\033[1m%s, %s: nitrogen, worst bed first\033[0m\n\n"
                     : "%s, %s: nitrogen, worst bed first\n\n",
           name, bt_garden_season_name(w->arena, g));
    put_alerts(o, w, s);
    put_beds(o, w, s);
    put_planned(o, w, s);
    bt_fertility_write(o, w, s->fertility);
    put_verdict(o, w, s);
    put_doubt(o, w, s);
    if (s->n == 0)
        return;
    const char *folder = bt_shell_word(w->arena, g->folder);
    bt_put(o, "\n  A bed opened: bedtally budget %s --bed BED\n", folder);
    bt_put(o, "  A figure explained: bedtally why %s BED\n", folder);
}
