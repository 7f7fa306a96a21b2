#include "report/verdict.h"

#include <limits.h>
#include <string.h>

#include "base/text.h"
#include "report/page.h"

enum { NEIGHBOURS_NAMED = 3 };

/* A share of the neighbours' need that nobody would see in them, one that is most of it,
 * and all but all of it: where the verdict changes its verb (docs/reading.md). */
static const double UNSEEN = 0.10, MOST = 0.5, ALL = 0.9; /* unit-free */

/* What one kind of legume does, over the beds where it grows. */
struct kind {
    const char *name;
    size_t n_beds;
    size_t n_neighbours;
    const char *neighbour[NEIGHBOURS_NAMED + 1];
    double mean_passed_g, companions_need_g;
    double lowest_frac, highest_frac; /* 9 times in 10, over the beds */
    bool from_nothing; /* what is passed on may be nothing at all: the range begins at 0 */
    double likely_met_g, left_g, draw_g;
    int cut_day; /* when it stood into the season for days only, 0 else */
};

struct bt_verdict {
    struct bt_arena *kept;
    size_t n, capacity;
    struct kind *kind;
};

struct bt_verdict *bt_verdict_new(struct bt_arena *kept)
{
    struct bt_verdict *v = bt_arena_zero(kept, sizeof *v);
    v->kept = kept;
    return v;
}

/* Whether two plantings can have stood side by side, by what is known of their dates. */
static bool side_by_side(const struct bt_planting *a, const struct bt_planting *b)
{
    const int a_from = a->in_ground.known ? a->in_ground.day : INT_MIN;
    const int b_from = b->in_ground.known ? b->in_ground.day : INT_MIN;
    const int a_to = a->ended.known ? a->ended.day : INT_MAX;
    const int b_to = b->ended.known ? b->ended.day : INT_MAX;
    return a_from <= b_to && b_from <= a_to;
}

static struct kind *kind_of(struct bt_verdict *v, const char *name)
{
    for (size_t k = 0; k < v->n; k++)
        if (bt_text_is(v->kind[k].name, name))
            return &v->kind[k];
    v->kind = bt_arena_grow(v->kept, v->kind, &v->capacity, v->n, sizeof *v->kind);
    v->kind[v->n] = (struct kind){.name = bt_arena_text(v->kept, name), .lowest_frac = 1};
    return &v->kind[v->n++];
}

static void add_neighbour(struct bt_verdict *v, struct kind *kind, const char *name)
{
    for (size_t k = 0; k < kind->n_neighbours; k++)
        if (bt_text_is(kind->neighbour[k], name))
            return;
    if (kind->n_neighbours <= NEIGHBOURS_NAMED)
        kind->neighbour[kind->n_neighbours++] = bt_arena_text(v->kept, name);
}

bool bt_may_pass_nothing(const struct bt_sheet *s)
{
    struct bt_node n;
    if (!bt_sheet_find(s, "intercrops/any/transfer", &n))
        return false;
    const struct bt_leaf *leaf = bt_sheet_node(s, n)->leaf;
    return leaf && leaf->range.low <= leaf->limit_low;
}

/* The companions' need that a finding's share refers to; what stands beside the legume
 * where the share is 0. */
static double companions_need(const struct bt_finding *f, size_t legume)
{
    const struct bt_planting_spread *x = &f->planting[legume];
    if (x->transfer_of_companions > 0 && x->transfer.mean > 0)
        return x->transfer.mean / x->transfer_of_companions;
    double need_g_m2 = 0;
    for (size_t i = 0; i < f->budget->n_plantings; i++)
        if (!f->budget->planting[i].is_legume &&
            side_by_side(f->budget->planting[i].planting,
                         f->budget->planting[legume].planting))
            need_g_m2 += f->planting[i].required.mean;
    return need_g_m2;
}

enum { ONLY_JUST_D = 14 };

/* The day on which a cover was cut when it was hardly there this season, 0 else. */
static int cut_at_the_start(const struct bt_finding *f, const struct bt_planting *p)
{
    const struct bt_account *account = f->account[BT_N].account;
    const bool over =
        p->ended.known && account && p->ended.day <= account->date[0] + ONLY_JUST_D;
    return over ? p->ended.day : 0;
}

double bt_met_share(const struct bt_finding *f, size_t planting)
{
    const struct bt_budget *b = f->budget;
    for (size_t k = 0; k < b->n_legumes; k++)
        if (b->legume[k].planting == b->planting[planting].planting)
            return b->legume[k].n_neighbours > 0 && b->legume[k].has[BT_LEGUME_MET]
                       ? bt_likely(b->sheet, b->legume[k].node[BT_LEGUME_MET])
                       : 0;
    return f->planting[planting].transfer_of_companions;
}

static void add_legume(struct bt_verdict *v, const struct bt_finding *f, size_t legume)
{
    const struct bt_budget *b = f->budget;
    const struct bt_planting_spread *x = &f->planting[legume];
    const double area_m2 = b->bed->area_m2;
    struct kind *kind = kind_of(v, b->planting[legume].planting->written);
    bool has_neighbours = false;
    const int cut_day = cut_at_the_start(f, b->planting[legume].planting);
    kind->cut_day = kind->n_beds == 0 ? cut_day : kind->cut_day;
    for (size_t i = 0; i < b->n_plantings; i++) {
        if (cut_day || b->planting[i].is_legume ||
            !side_by_side(b->planting[i].planting, b->planting[legume].planting))
            continue;
        add_neighbour(v, kind, b->planting[i].planting->written);
        has_neighbours = true;
    }
    kind->n_beds++;
    kind->left_g += x->residue.likely * area_m2;
    const double need_g_m2 = companions_need(f, legume);
    if (!has_neighbours || !(need_g_m2 > 0))
        return;
    const bool from_nothing = bt_may_pass_nothing(b->sheet);
    kind->from_nothing |= from_nothing;
    const double low = from_nothing ? 0 : x->transfer.p05 / need_g_m2;
    const double high = x->transfer.p95 / need_g_m2;
    kind->lowest_frac = low < kind->lowest_frac ? low : kind->lowest_frac;
    kind->highest_frac = high > kind->highest_frac ? high : kind->highest_frac;
    kind->mean_passed_g += x->transfer.mean * area_m2;
    kind->likely_met_g += bt_met_share(f, legume) * need_g_m2 * area_m2;
    kind->companions_need_g += need_g_m2 * area_m2;
    kind->draw_g += x->draw.likely * area_m2;
}

void bt_verdict_add(struct bt_verdict *v, const struct bt_finding *f)
{
    if (!f->planting)
        return;
    for (size_t i = 0; i < f->budget->n_plantings; i++)
        if (f->budget->planting[i].is_legume && f->budget->planting[i].planting)
            add_legume(v, f, i);
}

/* ---- sentences ---- */

static bool is_plural(const char *name)
{
    const size_t n = strlen(name);
    return n > 1 && (name[n - 1] == 's' || name[n - 1] == 'S') && name[n - 2] != 's';
}

static char *neighbours_text(struct bt_arena *a, const struct kind *k)
{
    if (k->n_neighbours > NEIGHBOURS_NAMED)
        return bt_arena_text(a, "their neighbours");
    char *text = bt_arena_format(a, "the %s", bt_text_shown(a, k->neighbour[0]));
    for (size_t i = 1; i < k->n_neighbours; i++)
        text =
            bt_arena_format(a, "%s%s the %s", text, i + 1 < k->n_neighbours ? "," : " and",
                            bt_text_shown(a, k->neighbour[i]));
    return text;
}

/* The verb by the ends of the range, not by the likely share, wherever that would promise
 * more. */
static char *verb_text(struct bt_arena *a, const struct kind *k, double likely_frac)
{
    const char *to = neighbours_text(a, k);
    const bool plural = is_plural(k->name);
    const char *feed = plural ? "feed" : "feeds";
    if (k->highest_frac < UNSEEN)
        return bt_arena_format(a, "%s not feed %s this season", plural ? "do" : "does", to);
    if (likely_frac < UNSEEN)
        return bt_arena_format(a, "cannot be counted on to feed %s this season", to);
    if (k->lowest_frac >= ALL)
        return bt_arena_format(a, "%s %s this season", feed, to);
    if (k->lowest_frac >= MOST)
        return bt_arena_format(a, "%s %s for the greater part this season", feed, to);
    if (k->lowest_frac < UNSEEN)
        return bt_arena_format(a, "may feed %s in part this season", to);
    return bt_arena_format(a, "%s %s in part this season", feed, to);
}

static char *with_neighbours(const struct bt_show *w, const struct kind *k)
{
    struct bt_arena *a = w->arena;
    const double likely_frac = k->likely_met_g / k->companions_need_g;
    const bool plural = is_plural(k->name);
    const char *it = plural ? "they" : "it";
    const bool one = k->n_neighbours == 1;
    const char *draw = "";
    if (k->draw_g > k->mean_passed_g)
        draw = bt_arena_format(a, ", and %s %s about %s N from the ground %s share%s", it,
                               plural ? "take" : "takes",
                               bt_garden_mass_text(w, k->draw_g, BT_FIGURES_FIRST), it,
                               plural ? "" : "s");
    const char *low =
        k->from_nothing ? "nothing" : bt_small_percent_text(a, k->lowest_frac);
    return bt_arena_format(a,
                           "The %s %s: what %s pass%s on while growing is about %s of what "
                           "%s (%s between %s and %s)%s.",
                           bt_text_shown(a, k->name), verb_text(a, k, likely_frac), it,
                           plural ? "" : "es", bt_small_percent_text(a, likely_frac),
                           one ? "that one needs" : "those need",
                           k->from_nothing ? "19 times in 20" : "9 times in 10", low,
                           bt_small_percent_text(a, k->highest_frac), draw);
}

static char *for_later(const struct bt_show *w, const struct kind *k)
{
    if (!(k->left_g > 0))
        return bt_arena_text(w->arena, "");
    return bt_arena_format(
        w->arena,
        "What %s fixed and left in residue and roots, about %s N, is for what grows after.",
        is_plural(k->name) ? "they" : "it",
        bt_garden_mass_text(w, k->left_g, BT_FIGURES_FIRST));
}

/* The answer in a word, by the same thresholds as the verb. */
const char *bt_verdict_word(const struct bt_verdict *v, size_t i)
{
    const struct kind *k = &v->kind[i];
    if (!(k->companions_need_g > 0))
        return "";
    if (k->highest_frac < UNSEEN)
        return "No.";
    if (k->likely_met_g / k->companions_need_g < UNSEEN)
        return "Do not count on it.";
    if (k->lowest_frac >= ALL)
        return "Yes.";
    if (k->lowest_frac >= MOST)
        return "For the greater part.";
    return k->lowest_frac < UNSEEN ? "Perhaps in part." : "In part.";
}

size_t bt_verdict_sentences(const struct bt_verdict *v, const struct bt_show *w,
                            char ***out_sentences)
{
    struct bt_arena *a = w->arena;
    char **sentence = bt_arena_alloc(a, (v->n + 1) * sizeof *sentence);
    for (size_t k = 0; k < v->n; k++) {
        const struct kind *kind = &v->kind[k];
        if (kind->companions_need_g <= 0 && kind->cut_day)
            sentence[k] =
                bt_arena_format(a, "The %s was cut on %s. %s", bt_text_shown(a, kind->name),
                                bt_date_words(a, kind->cut_day), for_later(w, kind));
        else if (kind->companions_need_g > 0)
            sentence[k] =
                bt_arena_format(a, "%s %s", with_neighbours(w, kind), for_later(w, kind));
        else
            sentence[k] = bt_arena_format(
                a, "The %s stand%s alone and feed%s no neighbour. %s",
                bt_text_shown(a, kind->name), is_plural(kind->name) ? "" : "s",
                is_plural(kind->name) ? "" : "s", for_later(w, kind));
    }
    *out_sentences = sentence;
    return v->n;
}
