/* What one unit of each material does at each time: the bed's own worksheet is built with a
 * trace of every one of them in it, and the lines they make are read off. */
#include <math.h>
#include <string.h>

#include "model/season.h"
#include "plan/amend_work.h"

enum { ABOVE_ALL = 1000000 };

static const double TRACE = 1e-4; /* so little that nothing else of the bed notices */

const struct bt_candidate *bt_work_candidate(const struct bt_work *w, size_t column)
{
    return &w->m->candidate[w->column[column].candidate];
}

enum bt_placement bt_work_placement(const struct bt_work *w, size_t column)
{
    const struct bt_candidate *c = bt_work_candidate(w, column);
    if (c->placement != BT_DUG_IN || !w->slot[w->column[column].slot].stands)
        return c->placement;
    return c->by_volume ? BT_SURFACE : BT_WATERED;
}

const char *bt_work_subject(const struct bt_work *w, struct bt_arena *a, size_t column)
{
    const int day = w->slot[w->column[column].slot].day;
    const char *name = bt_work_candidate(w, column)->name,
               *on = bt_garden_day(a, w->m->garden, day);
    const size_t there = bt_deeds_alike(w->m->garden, w->bed_index, name, day, NULL, NULL);
    return there ? bt_arena_format(a, "%s %zu, %s", name, there + 1, on)
                 : bt_arena_format(a, "%s, %s", name, on);
}

/* ---- a garden with a plan in it ---- */

static struct bt_application row_of(const struct bt_work *w, struct bt_arena *a,
                                    size_t column, double units)
{
    const struct bt_column *u = &w->column[column];
    const struct bt_candidate *c = bt_work_candidate(w, column);
    const double mass_g = units * u->unit_g_m2 * w->bed->area_m2;
    struct bt_application x = {
        .date = {.known = true, .day = w->slot[u->slot].day},
        .n_beds = 1,
        .bed = &w->bed_index,
        .written = c->name,
        .id = bt_arena_format(a, "%s/%s, advised %zu", w->bed->id, c->name, column),
        .material = c->key,
        .own = c->own,
        .placement = bt_work_placement(w, column),
        .ordinal = ABOVE_ALL + (unsigned)column, /* never that of a row of the garden */
        .part = 1,
        .n_parts = 1,
        .status = BT_PLANNED,
        .is_advice = true,
        .at = {.file = "the plan"            },
    };
    x.amount = (struct bt_quantity){
        .presence = BT_GIVEN,
        .bound = BT_EXACTLY,
        .cell = {.at = {.file = "the plan"}, .text = ""}
    };
    x.amount.range = bt_range_exact(c->by_volume ? mass_g / c->density_g_m3 : mass_g);
    x.amount.unit = (struct bt_unit){.dim = c->by_volume ? BT_VOLUME : BT_MASS,
                                     .factor = 1,
                                     .text = c->by_volume ? "m3" : "g"};
    return x;
}

struct bt_garden *bt_work_garden(const struct bt_work *w, struct bt_arena *a,
                                 const double *x)
{
    const struct bt_garden *g = w->m->garden;
    struct bt_garden *copy = bt_arena_alloc(a, sizeof *copy);
    *copy = *g;
    copy->application = bt_arena_alloc(a, (g->n_applications + w->n_columns + 1) *
                                              sizeof *copy->application);
    if (g->n_applications > 0)
        memcpy(copy->application, g->application,
               g->n_applications * sizeof *copy->application);
    for (size_t j = 0; x && j < w->n_columns; j++)
        if (x[j] > 0)
            copy->application[copy->n_applications++] = row_of(w, a, j, x[j]);
    return copy;
}

struct bt_cover bt_work_cover(const struct bt_work *w, const double *x, size_t part)
{
    struct bt_arena *a = w->m->beside;
    const struct bt_mark mark = bt_arena_mark(a);
    struct bt_budget b;
    struct bt_cover c = {.samples = 0};
    const struct bt_garden *g = bt_work_garden(w, a, x);
    if (bt_season_build(a, bt_diag_new(a), w->m->book, g, w->bed_index, &b)) {
        struct bt_cover_options o = {
            .shapes = w->m->shapes, .chance = w->m->options.chance, .from = w->from};
        o.chance.samples /= part;
        c = bt_cover_of(a, &b, BT_N, &o);
    }
    bt_arena_release(a, mark);
    return c;
}

double bt_work_chance(const struct bt_work *w, const struct bt_cover *c)
{
    return w->too_late ? c->chance_from : c->chance;
}

/* ---- columns ---- */

static double at_least(double x, double least)
{
    return x > least ? x : least;
}

/* Slow things once and early, mulch once the crops stand; quick ones where something takes
 * them up soon; ash never on seedlings. */
static bool fits(const struct bt_candidate *c, const struct bt_slot *s)
{
    if (c->is_early && c->placement == BT_SURFACE)
        return s->for_mulch;
    if (strstr(c->key, "wood ash") && s->seedlings)
        return false;
    return c->is_early ? s->for_early : s->for_quick;
}

static void add_column(struct bt_work *w, size_t candidate, size_t slot)
{
    const struct bt_candidate *c = &w->m->candidate[candidate];
    const double most = at_least(c->n_frac, at_least(c->p2o5_frac, c->k2o_frac));
    struct bt_column *u = &w->column[w->n_columns++];
    u->candidate = candidate;
    u->slot = slot;
    u->unit_g_m2 = 1 / (c->n_frac > 0 ? c->n_frac : most);
    u->p2o5_g_m2 = u->unit_g_m2 * c->p2o5_frac;
    u->k2o_g_m2 = u->unit_g_m2 * c->k2o_frac;
}

/* In order of date, so that plans read like a calendar. */
static void list_columns(struct bt_work *w)
{
    const size_t most = w->m->n_candidates * w->n_slots;
    w->column = bt_arena_zero(w->arena, (most + 1) * sizeof *w->column);
    w->n_columns = 0;
    for (size_t s = 0; s < w->n_slots; s++)
        for (size_t i = 0; i < w->m->n_candidates; i++)
            if (!w->m->candidate[i].no && !w->bed_no[i] &&
                fits(&w->m->candidate[i], &w->slot[s]))
                add_column(w, i, s);
}

/* Adds to `out` what the lines of one column give by each date, at the likely values. */
static void read_effect(const struct bt_budget *b, const char *subject, double *out)
{
    const struct bt_account *account = &b->account[BT_N];
    const size_t length = strlen(subject);
    for (size_t k = 0; k < account->n_lines; k++) {
        const struct bt_line *line = &account->line[k];
        if (line->side != BT_SUPPLY || !line->advised ||
            strncmp(line->label, subject, length) != 0)
            continue;
        const double likely = bt_likely(b->sheet, line->node);
        for (size_t t = 0; t < account->n_dates; t++)
            out[t] += likely * line->by_date[t];
    }
}

/* Dates of a worksheet with additions in it are more than those of the base: read at the
 * base's dates. */
static void to_base_dates(const struct bt_work *w, const struct bt_budget *b,
                          const double *effect, double *out)
{
    const struct bt_account *from = &b->account[BT_N], *to = &w->base.account[BT_N];
    size_t k = 0;
    for (size_t t = 0; t < to->n_dates; t++) {
        while (k + 1 < from->n_dates && from->date[k + 1] <= to->date[t])
            k++;
        out[t] = effect[k] / TRACE;
    }
}

static void measure_units(struct bt_work *w)
{
    struct bt_arena *a = w->m->beside;
    const size_t n_dates = w->base.account[BT_N].n_dates;
    const struct bt_mark mark = bt_arena_mark(a);
    double *trace = bt_arena_alloc(a, (w->n_columns + 1) * sizeof *trace);
    struct bt_budget b;
    for (size_t j = 0; j < w->n_columns; j++)
        trace[j] = TRACE;
    const struct bt_garden *g = bt_work_garden(w, a, trace);
    const bool built = bt_season_build(a, bt_diag_new(a), w->m->book, g, w->bed_index, &b);
    for (size_t j = 0; j < w->n_columns; j++) {
        double *out = bt_arena_zero(w->arena, (n_dates + 1) * sizeof *out);
        w->column[j].n_g_m2 = out;
        if (!built)
            continue;
        double *effect = bt_arena_zero(a, (b.account[BT_N].n_dates + 1) * sizeof *effect);
        read_effect(&b, bt_work_subject(w, a, j), effect);
        to_base_dates(w, &b, effect, out);
        w->column[j].available_g_m2 = n_dates > 0 ? out[n_dates - 1] : 0;
    }
    bt_arena_release(a, mark);
}

void bt_work_columns(struct bt_work *w)
{
    w->n_slots = bt_slots(w->arena, w->m->book, &w->base, w->often, &w->slot);
    list_columns(w);
    measure_units(w);
}
