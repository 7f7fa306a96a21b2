/* Phosphate and potash: the need by the laboratory's advice, its word or its figure; what
 * the season's additions give; what harvests carry off; loads over the seasons. No dates:
 * the soil holds both. */
#include "model/season_pk.h"

#include <math.h>
#include <string.h>

#include "base/figures.h"
#include "base/text.h"
#include "input/ratings.h"
#include "model/phosphate.h"

struct pk {
    enum bt_nutrient nutrient;
    const char *oxide, *word, *element; /* "P2O5", "phosphate", "phosphorus" */
    const struct bt_rated *rated;
    const char *content, *available, *removed, *advised; /* names of quantities */
    double oxide_per_element;                            /* unit-free */
};

static const struct pk phosphate = {.nutrient = BT_P2O5,
                                    .oxide = "P2O5",
                                    .word = "phosphate",
                                    .element = "phosphorus",
                                    .rated = &bt_rated_p,
                                    .content = "p2o5",
                                    .available = "p2o5_available",
                                    .removed = "p2o5_removed",
                                    .advised = "advised_p2o5",
                                    .oxide_per_element = BT_P2O5_PER_P};
static const struct pk potash = {.nutrient = BT_K2O,
                                 .oxide = "K2O",
                                 .word = "potash",
                                 .element = "potassium",
                                 .rated = &bt_rated_k,
                                 .content = "k2o",
                                 .available = "k2o_available",
                                 .removed = "k2o_removed",
                                 .advised = "advised_k2o",
                                 .oxide_per_element = BT_K2O_PER_K};

static bool is_phosphate(const struct pk *n)
{
    return n->nutrient == BT_P2O5;
}

/* ---- the soil test ---- */

static bool tells_content(const struct bt_quantity *q)
{
    return q->presence == BT_GIVEN && !q->word;
}

static bool tells_of_p(const struct bt_soil_test *t)
{
    return tells_content(&t->phosphorus) || t->phosphorus_rating ||
           bt_given(&t->advised_p2o5);
}

static bool tells_of_k(const struct bt_soil_test *t)
{
    return tells_content(&t->potassium) || t->potassium_rating || bt_given(&t->advised_k2o);
}

static bool speaks_for(const struct bt_binding *b, const struct bt_soil_test *t)
{
    for (size_t k = 0; k < t->n_beds; k++)
        if (t->bed[k] == b->bed_index)
            return true;
    return false;
}

const struct bt_soil_test *bt_bind_newest(const struct bt_binding *b, bt_test_tells *tells)
{
    const struct bt_garden *g = b->garden;
    const struct bt_soil_test *best = NULL;
    for (size_t i = 0; i < g->n_tests; i++) {
        const struct bt_soil_test *t = &g->test[i];
        if (!speaks_for(b, t) || !tells(t) || (t->date.known && t->date.day >= b->end))
            continue;
        if (!best || !best->date.known || (t->date.known && t->date.day >= best->date.day))
            best = t;
    }
    return best;
}

/* All that a test says of the need. */
struct evidence {
    const struct bt_soil_test *test;
    const struct bt_quantity *content, *advised; /* of the test, NULL when it has none */
    const char *rating;                          /* the laboratory's word */
    const char *extractant;
    const char *class_of_word, *class_of_content; /* keys of ratings, or NULL */
};

/* What stands for a figure when it is looked up: a bound is just beyond its own figure. */
static double content_frac(const struct bt_quantity *q)
{
    static const double BEYOND = 1e-6;
    const double x = q->range.likely;
    if (q->bound == BT_NOT_DETECTED)
        return 0;
    return q->bound == BT_ABOVE   ? x * (1 + BEYOND)
           : q->bound == BT_BELOW ? x * (1 - BEYOND)
                                  : x;
}

static void read_limits(struct bt_binding *b, const struct pk *n, const char *extractant)
{
    enum { MOST = 12 };
    const struct bt_row *limit[MOST];
    const size_t found = bt_class_limits(b->book, extractant, n->rated, MOST, limit);
    for (size_t i = 0; i < found; i++)
        bt_bind_read(b, limit[i]);
}

static struct evidence evidence_of(struct bt_binding *b, const struct pk *n)
{
    const struct bt_soil_test *t =
        bt_bind_newest(b, is_phosphate(n) ? tells_of_p : tells_of_k);
    struct evidence e = {.test = t};
    if (!t)
        return e;
    const struct bt_quantity *content = is_phosphate(n) ? &t->phosphorus : &t->potassium;
    const struct bt_quantity *advised =
        is_phosphate(n) ? &t->advised_p2o5 : &t->advised_k2o;
    const char *method = is_phosphate(n) ? t->phosphorus_method : t->potassium_method;
    e.rating = is_phosphate(n) ? t->phosphorus_rating : t->potassium_rating;
    e.content = tells_content(content) ? content : NULL;
    e.advised = bt_given(advised) ? advised : NULL;
    e.extractant = method ? bt_extractant(b->arena, b->book, method) : NULL;
    if (e.rating)
        e.class_of_word =
            bt_class_of_word(b->arena, b->book, e.extractant, n->rated, e.rating);
    if (e.content && e.extractant) {
        e.class_of_content =
            bt_class_of_content(b->book, e.extractant, n->rated, content_frac(e.content));
        read_limits(b, n, e.extractant);
    }
    const char *class = e.class_of_word ? e.class_of_word : e.class_of_content;
    if (class) /* that nothing is needed is said by the class too */
        bt_bind_read(b, bt_handbook_row(b->book, "ratings", class, n->rated->need));
    return e;
}

static enum bt_need_by need_by(const struct evidence *e)
{
    if (e->advised)
        return BT_BY_ADVICE;
    if (e->class_of_word)
        return BT_BY_WORD;
    return e->class_of_content ? BT_BY_CONTENT : BT_BY_NOTHING;
}

static const char *category_of(const struct evidence *e)
{
    const char *key = e->class_of_word ? e->class_of_word : e->class_of_content;
    return key ? bt_class_category(key) : NULL;
}

/* Everything the test says, and which of it counts. */
static void say_evidence(struct bt_binding *b, const struct pk *n, const struct evidence *e)
{
    static const char *const counts[] = {
        [BT_BY_NOTHING] = "No need can be read from that",
        [BT_BY_ADVICE] = "The need is the laboratory's advice",
        [BT_BY_WORD] = "The need is that of the laboratory's word",
        [BT_BY_CONTENT] = "The need is that of the figure"};
    const char *says = "";
    if (e->advised)
        says = bt_bind_text(b, "; advised \"%s\"", e->advised->cell.text);
    if (e->rating)
        says = bt_bind_text(b, "%s; rated %s", says, e->rating);
    if (e->content)
        says = bt_bind_text(b, "%s; %s%s ppm of %s", says,
                            e->content->bound == BT_ABOVE   ? "above "
                            : e->content->bound == BT_BELOW ? "below "
                                                            : "",
                            bt_figures_short(b->arena, 1e6 * e->content->range.likely, 3),
                            n->element);
    if (e->class_of_content)
        says = bt_bind_text(b, "%s, by %s %s", says, e->extractant,
                            bt_class_category(e->class_of_content));
    bt_bind_understood(b, bt_bind_text(b, "%c%s (%s): %s. %s.", *n->word - 'a' + 'A',
                                       n->word + 1, e->test->sample,
                                       *says ? says + 2 : says, counts[need_by(e)]));
}

static struct bt_node need_node(struct bt_binding *b, const struct pk *n,
                                const struct evidence *e)
{
    const enum bt_need_by by = need_by(e);
    struct bt_node node;
    if (by == BT_BY_ADVICE) {
        node = bt_bind_stated(
            b, e->advised, bt_bind_text(b, "soil_tests/%s/%s", e->test->sample, n->advised),
            bt_bind_text(b, "%s advised by the laboratory", n->word));
    } else {
        const char *key = by == BT_BY_WORD ? e->class_of_word : e->class_of_content;
        node = bt_bind_rate(b, key, n->rated, n->word);
    }
    return bt_named(b->sheet, bt_bind_text(b, "need/%s/%s", b->bed->id, n->oxide),
                    bt_bind_text(b, "need of %s", n->word), node);
}

/* ---- additions ---- */

/* Total oxide that an addition brings, g/m2 over `area_m2`; false when there is none to
 * know. */
static bool total_of(struct bt_binding *b, const struct pk *n,
                     const struct bt_application *x, double area_m2, struct bt_node *out)
{
    const struct bt_quantity *own = NULL;
    if (x->own)
        own = is_phosphate(n) ? &x->own->p2o5 : &x->own->k2o;
    if (!x->material ||
        (!(own && bt_given(own)) &&
         !bt_handbook_follow(b->book, "materials", x->material, n->content)))
        return false;
    const struct bt_content content = {n->content, bt_bind_text(b, "%s content", n->word),
                                       bt_bind_text(b, "total %s", n->word), own};
    struct bt_node dry;
    return bt_bind_application_of(b, x, area_m2, &content, &dry, out) &&
           bt_likely(b->sheet, *out) > 0;
}

/* What lay in the soil when the sample was taken is in the sample's figure. */
static bool seen_by_test(const struct bt_application *x, const struct evidence *e)
{
    return need_by(e) != BT_BY_NOTHING && e->test->date.known &&
           x->date.day <= e->test->date.day;
}

struct lines {
    size_t n, capacity;
    struct bt_line *line;
};

static void add_line(struct bt_binding *b, struct lines *l, struct bt_line line)
{
    double *by_date = bt_arena_alloc(b->arena, sizeof *by_date);
    *by_date = 1;
    line.by_date = by_date;
    l->line = bt_arena_grow(b->arena, l->line, &l->capacity, l->n, sizeof *l->line);
    l->line[l->n++] = line;
}

static void add_supply(struct bt_binding *b, const struct pk *n, struct lines *l,
                       const struct bt_application *x)
{
    struct bt_node total;
    if (!total_of(b, n, x, bt_bind_spread_area_m2(b, x), &total))
        return;
    const struct bt_row *row =
        bt_handbook_follow(b->book, "materials", x->material, n->available);
    if (!row)
        return;
    const char *name = x->own ? x->own->name : x->written;
    const char *subject = bt_deed_subject(b->arena, b->garden, b->bed_index, x);
    const struct bt_node share = bt_bind_leaf_of(
        b, row, bt_bind_text(b, "share of %s available in the first season", n->word), name,
        true);
    const char *id = bt_bind_text(b, "supply/%s/%s/%s", b->bed->id, n->oxide, subject);
    const char *label = bt_bind_text(b, "%s of %s", n->word, subject);
    add_line(b, l,
             (struct bt_line){.id = id,
                              .label = label,
                              .side = BT_SUPPLY,
                              .node = bt_named(b->sheet, id, label,
                                               bt_first_season(b->sheet, total, share)),
                              .planned = x->status == BT_PLANNED,
                              .advised = x->is_advice,
                              .origin = subject,
                              .came = x->date.day,
                              .addition = x});
}

static void add_supplies(struct bt_binding *b, const struct pk *n, struct lines *l,
                         const struct evidence *e)
{
    const struct bt_garden *g = b->garden;
    for (size_t i = 0; i < g->n_applications; i++) {
        const struct bt_application *x = &g->application[i];
        if (!bt_bind_is_on_bed(b, x) || x->date.day >= b->end ||
            bt_season_of(g, x->date.day) != b->season)
            continue;
        if (seen_by_test(x, e))
            bt_bind_understood(
                b, bt_bind_text(b,
                                "%s, %s: spread before the soil was sampled, so its %s is "
                                "in the test already.",
                                x->own ? x->own->name : x->written, bt_bind_day(b, x),
                                n->word));
        else
            add_supply(b, n, l, x);
    }
}

/* ---- what is carried off, and loads ---- */

struct sum {
    size_t n, capacity;
    struct bt_node *arg;
};

static void add_to(struct bt_binding *b, struct sum *s, struct bt_node node)
{
    s->arg = bt_arena_grow(b->arena, s->arg, &s->capacity, s->n, sizeof *s->arg);
    s->arg[s->n++] = node;
}

static struct bt_node sum_named(struct bt_binding *b, const struct pk *n,
                                const struct sum *s, const char *id, const char *label)
{
    return bt_named(b->sheet, bt_bind_text(b, "%s/%s/%s", id, b->bed->id, n->oxide),
                    bt_bind_text(b, "%s %s", n->word, label),
                    bt_sum(b->sheet, s->n, s->arg, BT_MASS_PER_AREA));
}

/* Over the seasons, and this season's part. */
struct ledger {
    struct sum removal, added, removed;
    int first_season;
};

static void on_record(struct ledger *l, int season)
{
    if (season < l->first_season)
        l->first_season = season;
}

/* Seasons in which a planting was picked: of a perennial each that it stood in. */
static int seasons_of(const struct bt_garden *g, const struct bt_plot *p, int *out_last)
{
    const int first = bt_season_of(g, p->in_ground);
    const int end = bt_season_of(g, p->ended);
    const int now = bt_garden_season_year(g);
    *out_last = end < now ? end : now;
    return p->perennial && *out_last > first ? *out_last - first + 1 : 1;
}

static void add_harvest(struct bt_binding *b, const struct pk *n, struct ledger *l,
                        const struct bt_plot *p)
{
    const struct bt_row *row =
        bt_handbook_follow(b->book, "crops", p->planting->crop, n->removed);
    int last;
    const int seasons = seasons_of(b->garden, p, &last);
    on_record(l, last - seasons + 1);
    if (!row || !p->is_picked || (b->bed->kind == BT_POTS && !p->in_account))
        return;
    const struct bt_node content = bt_bind_leaf_of(
        b, row, bt_bind_text(b, "%s in the harvest", n->word), p->name, false);
    const struct bt_node once = bt_named(
        b->sheet, NULL,
        bt_bind_text(b, "%s that leaves with the harvest of %s", n->word, p->subject),
        bt_oxide_in(b->sheet, p->harvest, content));
    if (last == b->season)
        add_to(b, &l->removal, once);
    const char *label = bt_bind_text(b, "seasons of %s on record", p->subject);
    add_to(b, &l->removed,
           seasons == 1 ? once
                        : bt_mul(b->sheet, once,
                                 bt_constant_named(b->sheet, seasons, BT_FRACTION, label,
                                                   "counted", NULL)));
}

static void add_harvests(struct bt_binding *b, const struct pk *n, struct ledger *l)
{
    for (size_t i = 0; i < b->n_plots; i++)
        if (b->plot[i].density > 0 && b->plot[i].in_ground < b->end)
            add_harvest(b, n, l, &b->plot[i]);
}

static void add_load(struct bt_binding *b, const struct pk *n, struct ledger *l,
                     const struct bt_application *x)
{
    const int season = bt_season_of(b->garden, x->date.day);
    const bool arrives = bt_bind_is_on_bed(b, x), leaves = x->taken_from == b->bed;
    struct bt_node total;
    if (season > b->season || x->date.day >= b->end)
        return;
    if (arrives || leaves)
        on_record(l, season);
    if (arrives && total_of(b, n, x, bt_bind_spread_area_m2(b, x), &total))
        add_to(b, &l->added, total);
    if (leaves && total_of(b, n, x, b->bed->area_m2, &total)) {
        add_to(b, &l->removed, total);
        if (season == b->season)
            add_to(b, &l->removal, total);
    }
}

static void keep(struct bt_stock *s, enum bt_beside which, struct bt_node node)
{
    s->has[which] = true;
    s->node[which] = node;
}

static void bind_loads(struct bt_binding *b, const struct pk *n, struct bt_stock *s)
{
    struct ledger l = {.first_season = b->season};
    add_harvests(b, n, &l);
    for (size_t i = 0; i < b->garden->n_applications; i++)
        add_load(b, n, &l, &b->garden->application[i]);
    s->first_season = l.first_season;
    s->last_season = b->season;
    keep(s, BT_REMOVAL, sum_named(b, n, &l.removal, "removal", "carried off this season"));
    keep(s, BT_LOAD_ADDED,
         sum_named(b, n, &l.added, "added", "added over the seasons on record"));
    keep(s, BT_LOAD_REMOVED,
         sum_named(b, n, &l.removed, "removed", "carried off over the seasons on record"));
}

/* ---- years in stock ---- */

static struct bt_node sampled_depth(struct bt_binding *b, const struct bt_soil_test *t)
{
    if (t->depth.presence != BT_GIVEN)
        return bt_bind_handbook(b, "soils", "any", "plow_depth", "depth behind the rule",
                                NULL);
    return bt_constant_named(b->sheet, t->depth.bottom_m - t->depth.top_m, BT_LENGTH,
                             "depth of the soil sample", t->depth.cell.text, NULL);
}

static void years(struct bt_binding *b, const struct pk *n, struct bt_stock *s,
                  enum bt_beside which, const char *id, struct bt_node node)
{
    static const char *const how[] = {[BT_YEARS_BY_REMOVAL] = "what harvests carry off",
                                      [BT_YEARS_BY_FALL] = "the yearly fall of tests",
                                      [BT_YEARS_BY_DECLINE] =
                                          "the yearly fall of tests in percent"};
    keep(s, which,
         bt_named(b->sheet, bt_bind_text(b, "years/%s/%s/%s", b->bed->id, n->oxide, id),
                  bt_bind_text(b, "years of %s in stock by %s", n->word, how[which]),
                  node));
}

/* Only a figure above the line says how much is in stock; a word alone does not. */
static void bind_years(struct bt_binding *b, const struct pk *n, const struct evidence *e,
                       struct bt_stock *s)
{
    static const double LEAST_HARVEST = 0.1; /* of the likely one; else years are endless */
    const struct bt_row *row =
        e->class_of_content ? bt_rating_line(b->book, e->extractant, n->rated) : NULL;
    if (!row || !(e->content->range.likely > row->range.likely))
        return;
    struct bt_sheet *sheet = b->sheet;
    s->line_frac = row->range.likely;
    const struct bt_node test = bt_bind_stated(
        b, e->content, bt_bind_text(b, "soil_tests/%s/%s", e->test->sample, n->element),
        bt_bind_text(b, "%s of the soil, tested", n->element));
    const struct bt_node line =
        bt_constant_named(sheet, s->line_frac, BT_FRACTION,
                          bt_bind_text(b, "%s above which nothing is needed", n->element),
                          bt_bind_text(b, "%s, %s", row->key, row->source), row);
    const struct bt_excess excess = {
        test, line, b->bulk_density, sampled_depth(b, e->test),
        bt_constant_named(sheet, n->oxide_per_element, BT_FRACTION,
                          bt_bind_text(b, "%s per %s", n->word, n->element),
                          "atomic masses", NULL)};
    const struct bt_node over =
        bt_named(sheet, bt_bind_text(b, "excess/%s/%s", b->bed->id, n->oxide),
                 bt_bind_text(b, "%s in the sampled layer above the line", n->word),
                 bt_excess_oxide(sheet, &excess));
    const double removal_g_m2 = bt_likely(sheet, s->node[BT_REMOVAL]);
    if (removal_g_m2 > 0)
        years(b, n, s, BT_YEARS_BY_REMOVAL, "removal",
              bt_years_by_removal(sheet, over, s->node[BT_REMOVAL],
                                  LEAST_HARVEST * removal_g_m2));
    if (!is_phosphate(n))
        return; /* nobody has published how tests of potash fall */
    years(b, n, s, BT_YEARS_BY_FALL, "fall",
          bt_years_by_fall(sheet, test, line,
                           bt_bind_handbook(b, "soils", "any", "p_fall",
                                            "fall of tests in a year", NULL)));
    years(
        b, n, s, BT_YEARS_BY_DECLINE, "decline",
        bt_years_by_decline(sheet, e->content->range.likely, s->line_frac,
                            bt_bind_handbook(b, "soils", "any", "p_fall_share",
                                             "fall of tests in a year, as a share", NULL)));
}

/* ---- the account ---- */

static const struct bt_stock *stock_of(struct bt_binding *b, const struct pk *n,
                                       const struct evidence *e, bool needs_nothing)
{
    struct bt_stock *s = bt_arena_zero(b->arena, sizeof *s);
    const double HIGH = bt_category_rank("high"), OPTIMUM = bt_category_rank("optimum");
    const double VERY_HIGH = bt_category_rank("very high"); /* whatever is advised */
    s->need_by = need_by(e);
    s->rating = category_of(e);
    const double rank = s->rating ? bt_category_rank(s->rating) : -1;
    s->is_full = rank >= VERY_HIGH || (needs_nothing && (rank < 0 || rank >= HIGH));
    s->is_below = s->need_by != BT_BY_NOTHING && !needs_nothing && rank < OPTIMUM;
    if (is_phosphate(n) && s->is_full)
        bt_bind_caution(b, "high phosphorus");
    bind_loads(b, n, s);
    if (s->need_by != BT_BY_NOTHING)
        bind_years(b, n, e, s);
    return s;
}

static struct bt_account account_of(struct bt_binding *b, const struct pk *n)
{
    const struct evidence e = evidence_of(b, n);
    struct bt_account a = {.nutrient = n->nutrient,
                           .known = need_by(&e) != BT_BY_NOTHING,
                           .n_dates = 1,
                           .date = &b->date[b->n_dates - 1]};
    struct lines l = {0};
    bool needs_nothing = false;
    if (e.test)
        say_evidence(b, n, &e);
    add_supplies(b, n, &l, &e);
    struct bt_node *arg = bt_arena_alloc(b->arena, (l.n + 1) * sizeof *arg);
    for (size_t i = 0; i < l.n; i++)
        arg[i] = l.line[i].node;
    a.supply = bt_named(b->sheet, bt_bind_text(b, "supply/%s/%s", b->bed->id, n->oxide),
                        bt_bind_text(b, "%s supply", n->word),
                        bt_sum(b->sheet, l.n, arg, BT_MASS_PER_AREA));
    if (a.known) {
        const struct bt_node need = need_node(b, n, &e);
        const struct bt_node_info *x = bt_sheet_node(b->sheet, need);
        add_line(b, &l,
                 (struct bt_line){
                     .id = x->id, .label = x->label, .side = BT_DEMAND, .node = need});
        a.required = need;
        a.balance = bt_named(
            b->sheet, bt_bind_text(b, "balance/%s/%s", b->bed->id, n->oxide),
            bt_bind_text(b, "%s balance", n->word), bt_sub(b->sheet, a.supply, need));
        const struct bt_leaf *leaf = bt_sheet_node(b->sheet, need)->leaf;
        needs_nothing = !leaf && !(bt_likely(b->sheet, need) > 0);
    }
    a.n_lines = l.n;
    a.line = l.line;
    a.stock = stock_of(b, n, &e, needs_nothing);
    return a;
}

bool bt_pk_matters(const struct bt_account *a)
{
    return a->known && !a->stock->is_full;
}

void bt_bind_pk(struct bt_binding *b, struct bt_budget *out)
{
    out->account[BT_P2O5] = account_of(b, &phosphate);
    out->account[BT_K2O] = account_of(b, &potash);
    out->n_accounts = BT_NUTRIENTS;
    bt_bind_ph_and_lead(b);
}
