#include "model/change.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "model/time.h"

/* Contents of nitrate at which the handbook's rule is shown [mg/kg]. */
static const int READING_MG_KG[] = {20, 50, 90};
static const double PER_MG_KG = 1e-6;

/* ---- which changes ---- */

struct changes {
    struct bt_arena *arena;
    size_t legume;
    size_t n, capacity;
    struct bt_change *list;
};

static struct bt_change *add(struct changes *c, enum bt_change_kind kind, const char *name)
{
    c->list = bt_arena_grow(c->arena, c->list, &c->capacity, c->n, sizeof *c->list);
    c->list[c->n] = (struct bt_change){.kind = kind, .legume = c->legume, .name = name};
    return &c->list[c->n++];
}

static bool is_cover(const struct bt_handbook *h, const struct bt_planting *x)
{
    const char *form = bt_handbook_word(h, "crops", x->crop, "form");
    return form && bt_text_is(form, "cover");
}

/* Whether anything is picked of it, as the model takes it. */
static bool is_harvested(const struct bt_handbook *h, const struct bt_planting *x)
{
    if (x->picked & BT_PICKED_NOTHING)
        return false;
    return x->picked != BT_PICKED_UNKNOWN || !is_cover(h, x);
}

static void add_picked(struct changes *c, const struct bt_handbook *h,
                       const struct bt_planting *x)
{
    const bool green =
        bt_handbook_follow(h, "legumes", x->legume, "harvest_index_green") != NULL;
    const bool dry =
        bt_handbook_follow(h, "legumes", x->legume, "harvest_index_dry") != NULL;
    if (!is_harvested(h, x))
        return;
    const bool is_dry = dry && ((x->picked & BT_PICKED_DRY) || !green);
    if (is_dry && green)
        add(c, BT_CHANGE_PICKED_GREEN, "picked green");
    if (!is_dry && dry)
        add(c, BT_CHANGE_PICKED_DRY, "picked dry");
}

static void add_residue(struct changes *c, const struct bt_handbook *h,
                        const struct bt_planting *x)
{
    const bool stays = x->rest == BT_REST_LEFT || x->rest == BT_REST_DUG_IN ||
                       (x->rest == BT_REST_UNKNOWN && is_cover(h, x));
    if (stays)
        add(c, BT_CHANGE_RESIDUE_REMOVED, "residue removed");
    else
        add(c, BT_CHANGE_RESIDUE_LEFT, "residue left");
}

static const struct bt_planting *largest_neighbour(const struct bt_budget *b,
                                                   const struct bt_legume_facts *l)
{
    const struct bt_planting *best = NULL;
    double most = 0;
    for (size_t i = 0; i < l->n_neighbours; i++) {
        const double need = bt_likely(b->sheet, l->neighbour[i].whole_need);
        const bool host = l->planting->among &&
                          bt_text_is(l->planting->among, l->neighbour[i].planting->written);
        if (host)
            return l->neighbour[i].planting;
        if (need > most) {
            most = need;
            best = l->neighbour[i].planting;
        }
    }
    return best;
}

size_t bt_changes_of(struct bt_arena *a, const struct bt_handbook *h,
                     const struct bt_budget *b, size_t legume, struct bt_change **out)
{
    struct changes c = {.arena = a, .legume = legume};
    const struct bt_legume_facts *l = &b->legume[legume];
    const struct bt_planting *x = l->planting;
    if (x->inoculated == 1)
        add(&c, BT_CHANGE_NOT_INOCULATED, "not inoculated");
    else
        add(&c, BT_CHANGE_INOCULATED, "inoculated");
    for (size_t k = 0; k < sizeof READING_MG_KG / sizeof *READING_MG_KG; k++)
        add(&c, BT_CHANGE_NITRATE, bt_arena_format(a, "nitrate %d ppm", READING_MG_KG[k]))
            ->amount = READING_MG_KG[k] * PER_MG_KG;
    add_picked(&c, h, x);
    add_residue(&c, h, x);
    if (is_harvested(h, x))
        add(&c, BT_CHANGE_TURNED_IN, "turned in at flower");
    add(&c, BT_CHANGE_TIMES, "x 0.5")->amount = 0.5;
    add(&c, BT_CHANGE_TIMES, "x 2")->amount = 2;
    const struct bt_planting *instead = largest_neighbour(b, l);
    if (instead)
        add(&c, BT_CHANGE_INSTEAD, bt_arena_format(a, "%s instead", instead->written))
            ->instead = instead;
    if (instead)
        add(&c, BT_CHANGE_LEFT_OUT, "left out");
    *out = c.list;
    return c.n;
}

/* ---- as written ---- */

static const char *subject_of(struct bt_arena *a, const struct bt_planting *x)
{
    return x->n_same < 2 ? x->written : bt_arena_format(a, "%s %u", x->written, x->ordinal);
}

/* "x 2.5" or "on 40 % of the planting"; a number and nothing behind it. */
static bool read_amount(struct bt_arena *a, const char *written, struct bt_change *out)
{
    double amount = 0;
    int end = 0;
    out->name = bt_arena_text(a, written);
    if (sscanf(written, "x %lf%n", &amount, &end) == 1 && !written[end]) {
        out->kind = BT_CHANGE_TIMES;
        out->amount = amount;
        return amount > 0 && amount <= 1000;
    }
    end = 0;
    if (sscanf(written, "on %lf %% of the planting%n", &amount, &end) == 1 && end > 0 &&
        !written[end]) {
        out->kind = BT_CHANGE_PART;
        out->amount = amount / 100;
        return amount > 0 && amount < 100;
    }
    return false;
}

static bool read_for(struct bt_arena *a, const struct bt_handbook *h,
                     const struct bt_budget *b, size_t legume, const char *written,
                     struct bt_change *out)
{
    struct bt_change *list;
    const size_t n = bt_changes_of(a, h, b, legume, &list);
    for (size_t k = 0; k < n; k++)
        if (bt_text_is(list[k].name, written)) {
            *out = list[k];
            return true;
        }
    *out = (struct bt_change){.legume = legume};
    return read_amount(a, written, out);
}

bool bt_change_read(struct bt_arena *a, const struct bt_handbook *h,
                    const struct bt_budget *b, const char *written, struct bt_change *out)
{
    for (size_t i = 0; i < b->n_legumes; i++) {
        const char *who = subject_of(a, b->legume[i].planting);
        const size_t n = strlen(who);
        if (bt_text_starts(written, who) && written[n] == ':')
            return read_for(a, h, b, i, written + n + 1 + strspn(written + n + 1, " "),
                            out);
    }
    return b->n_legumes == 1 && read_for(a, h, b, 0, written, out);
}

/* ---- the copy ---- */

static void scale_quantity(struct bt_quantity *q, double factor)
{
    if (q->presence == BT_GIVEN && !q->word)
        q->range = bt_range_scaled(q->range, factor);
}

/* So many times the plants. A yield that somebody stated goes with them. */
static void scale(struct bt_planting *x, double factor)
{
    scale_quantity(&x->expected, factor);
    scale_quantity(&x->weighed, factor);
    scale_quantity(&x->fresh, factor);
    if (x->plants.presence == BT_GIVEN) {
        x->plants.each *= factor;
    } else if (x->rows.presence == BT_GIVEN) {
        x->rows.rows *= factor;
    } else {
        const double share =
            x->share.presence == BT_GIVEN ? x->share.range.likely : 1; /* a full stand */
        x->share.presence = BT_GIVEN;
        x->share.word = NULL;
        x->share.range = bt_range_exact(share * factor);
    }
}

static void take_out(struct bt_planting *x)
{
    x->plants = (struct bt_count){.presence = BT_NONE, .cell = x->plants.cell};
    x->rows.presence = BT_BLANK;
}

/* At the middle of its uptake, with nothing picked. A stated yield is that of a whole
 * season, of which it has then made this part. */
static void turn_in(struct bt_planting *x, const struct bt_handbook *h, int season_start)
{
    const struct bt_row *days = bt_handbook_follow(h, "crops", x->crop, "days");
    const struct bt_row *middle =
        bt_handbook_follow(h, "crops", x->crop, "uptake_midpoint");
    const struct bt_row *steep =
        bt_handbook_follow(h, "crops", x->crop, "uptake_steepness");
    if (!days || !middle || !steep)
        return;
    const double tau = middle->range.likely;
    const int from = x->in_ground.known ? x->in_ground.day : season_start;
    const double days_d = x->ended.known && x->ended.day - from > days->range.likely
                              ? x->ended.day - from
                              : days->range.likely;
    const double done = bt_uptake_share(tau, tau, steep->range.likely);
    x->ended = (struct bt_date){.known = true, .day = from + (int)lround(tau * days_d)};
    scale_quantity(&x->expected, done);
    scale_quantity(&x->weighed, done);
    x->picked = BT_PICKED_NOTHING;
    x->rest = BT_REST_DUG_IN;
}

static bool names_bed(const struct bt_soil_test *t, size_t bed)
{
    for (size_t k = 0; k < t->n_beds; k++)
        if (t->bed[k] == bed)
            return true;
    return false;
}

/* A reading at sowing in the place of all others of this bed. */
static void read_nitrate(struct bt_arena *a, struct bt_garden *g,
                         const struct bt_planting *x, const struct bt_change *c)
{
    struct bt_soil_test *test = bt_arena_zero(a, (g->n_tests + 1) * sizeof *test);
    size_t *bed = bt_arena_alloc(a, sizeof *bed);
    *bed = x->bed_index;
    for (size_t i = 0; i < g->n_tests; i++) {
        test[i] = g->test[i];
        if (names_bed(&test[i], x->bed_index))
            test[i].nitrate_n.presence = BT_BLANK;
    }
    const int sown = x->in_ground.known ? x->in_ground.day : g->season_start;
    const bool inside = sown >= g->season_start && sown < g->season_end;
    test[g->n_tests] = (struct bt_soil_test){
        .sample = c->name,
        .date = {.known = true,                                                      .day = inside ? sown : g->season_start},
        .n_beds = 1,
        .bed = bed,
        .nitrate_n = { .presence = BT_GIVEN,
                 .range = bt_range_exact(c->amount),
                 .unit = {.dim = BT_FRACTION, .factor = PER_MG_KG, .text = "mg/kg"},
                 .cell = {.text = c->name, .at = x->at}},
        .at = x->at
    };
    g->test = test;
    g->n_tests++;
}

/* The legume makes up this part of all plants, by full stands; those beside it the rest. */
static void share_out(struct bt_garden *g, const struct bt_garden *old,
                      const struct bt_legume_facts *l, const struct bt_budget *b,
                      double part)
{
    double others = 0;
    for (size_t i = 0; i < b->n_plantings; i++)
        for (size_t k = 0; k < l->n_neighbours; k++)
            if (b->planting[i].planting == l->neighbour[k].planting)
                others += b->planting[i].density;
    const double all = others + l->density;
    if (!(others > 0) || !(l->density > 0))
        return;
    scale(&g->planting[l->planting - old->planting], part * all / l->density);
    for (size_t k = 0; k < l->n_neighbours; k++)
        scale(&g->planting[l->neighbour[k].planting - old->planting],
              (1 - part) * all / others);
}

static double density_of(const struct bt_budget *b, const struct bt_planting *x)
{
    for (size_t i = 0; i < b->n_plantings; i++)
        if (b->planting[i].planting == x)
            return b->planting[i].density;
    return 0;
}

static void replace(struct bt_garden *g, const struct bt_garden *old,
                    const struct bt_budget *b, const struct bt_change *c)
{
    const struct bt_legume_facts *l = &b->legume[c->legume];
    const double density = density_of(b, c->instead);
    take_out(&g->planting[l->planting - old->planting]);
    if (density > 0)
        scale(&g->planting[c->instead - old->planting], (density + l->density) / density);
}

struct bt_garden *bt_garden_changed(struct bt_arena *a, const struct bt_handbook *h,
                                    const struct bt_budget *b, const struct bt_change *c)
{
    const struct bt_garden *old = b->garden;
    struct bt_garden *g = bt_arena_alloc(a, sizeof *g);
    *g = *old;
    g->planting = bt_arena_alloc(a, (old->n_plantings + 1) * sizeof *g->planting);
    if (old->n_plantings)
        memcpy(g->planting, old->planting, old->n_plantings * sizeof *g->planting);
    const struct bt_legume_facts *l = &b->legume[c->legume];
    struct bt_planting *x = &g->planting[l->planting - old->planting];
    switch (c->kind) {
    case BT_CHANGE_INOCULATED: x->inoculated = 1; break;
    case BT_CHANGE_NOT_INOCULATED: x->inoculated = 0; break;
    case BT_CHANGE_NITRATE: read_nitrate(a, g, x, c); break;
    case BT_CHANGE_PICKED_GREEN: x->picked = BT_PICKED_GREEN; break;
    case BT_CHANGE_PICKED_DRY: x->picked = BT_PICKED_DRY; break;
    case BT_CHANGE_RESIDUE_LEFT: x->rest = BT_REST_LEFT; break;
    case BT_CHANGE_RESIDUE_REMOVED: x->rest = BT_REST_COMPOST; break;
    case BT_CHANGE_TURNED_IN: turn_in(x, h, g->season_start); break;
    case BT_CHANGE_TIMES: scale(x, c->amount); break;
    case BT_CHANGE_PART: share_out(g, old, l, b, c->amount); break;
    case BT_CHANGE_INSTEAD: replace(g, old, b, c); break;
    case BT_CHANGE_LEFT_OUT: take_out(x); break;
    }
    return g;
}

const struct bt_legume_facts *bt_changed_legume(const struct bt_budget *before,
                                                const struct bt_change *c,
                                                const struct bt_budget *after)
{
    const ptrdiff_t at = before->legume[c->legume].planting - before->garden->planting;
    for (size_t i = 0; i < after->n_legumes; i++)
        if (after->legume[i].planting - after->garden->planting == at)
            return &after->legume[i];
    return NULL;
}
