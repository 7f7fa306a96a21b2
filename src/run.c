/* The main path, one screen: read, then bed by bed build, draw and hand over. */
#include "run.h"

#include <string.h>

#include "base/crew.h"
#include "base/text.h"
#include "chance/sampler.h"
#include "input/garden_view.h"
#include "model/season.h"

enum { BATCH = 8 }; /* beds built at a time, most; memory does not grow beyond them */

bool bt_run_open(struct bt_arena *a, const struct bt_run_options *o, struct bt_run *run)
{
    *run = (struct bt_run){.arena = a, .diag = bt_diag_new(a), .chance = o->chance};
    if (run->chance.samples != BT_SAMPLES_AUTO)
        run->chance.samples = bt_sample_count(&o->chance);
    size_t n;
    const char *units = bt_embedded_table("units", &n);
    run->units = bt_units_new(a, run->diag, units, n);
    if (!run->units)
        return false;
    const char *own = bt_arena_format(a, "%s/tables", o->folder);
    run->handbook = bt_handbook_load(a, run->diag, run->units, o->tables_dir, own);
    if (!run->handbook)
        return false;
    run->garden =
        bt_garden_load(a, run->diag, run->units, run->handbook, o->folder, &o->garden);
    return run->garden && bt_diag_count(run->diag, BT_ERROR) == 0;
}

void bt_run_close(struct bt_run *run)
{
    if (run->units)
        bt_units_free(run->units);
    run->units = NULL;
}

/* The numbers of the beds asked for; an unknown --bed is an error. */
static size_t beds_asked(struct bt_run *run, const struct bt_run_options *o, size_t **out)
{
    const struct bt_garden *g = run->garden;
    size_t *bed = bt_arena_alloc(run->arena, (g->n_beds + 1) * sizeof *bed);
    const struct bt_bed *only = o->bed ? bt_garden_bed_named(run->arena, g, o->bed) : NULL;
    size_t n = 0;
    for (size_t i = 0; i < g->n_beds; i++)
        if (!o->bed || only == &g->bed[i])
            bed[n++] = i;
    if (o->bed && !only)
        bt_diag_add(run->diag,
                    (struct bt_message){.weight = BT_ERROR,
                                        .at = {.file = bt_arena_format(
                                                   run->arena, "%s/beds.csv", g->folder)},
                                        .field = "--bed",
                                        .expected = "a bed of beds.csv",
                                        .found = o->bed});
    *out = bed;
    return n;
}

bool bt_run_check(struct bt_run *run, const struct bt_run_options *o,
                  const struct bt_check_sink *sink)
{
    size_t *bed;
    const size_t n = beds_asked(run, o, &bed);
    struct bt_arena *beds = bt_arena_beside(run->arena);
    const struct bt_garden_index *index = bt_garden_index_new(run->arena, run->garden);
    struct bt_shapes *shapes = bt_shapes_new(run->arena);
    for (size_t i = 0; i < n; i++) {
        struct bt_budget budget;
        const struct bt_mark mark = bt_arena_mark(beds);
        const struct bt_garden *view = bt_garden_view(beds, index, bed[i]);
        const bool built =
            bt_season_build(beds, run->diag, run->handbook, view, bed[i], &budget);
        if (built)
            bt_fit_notes(beds, run->diag, shapes, budget.sheet);
        if (built && sink)
            sink->bed(sink->context, run, &budget);
        bt_arena_release(beds, mark);
    }
    return bt_diag_count(run->diag, BT_ERROR) == 0;
}

static int threads_of(const struct bt_run_options *o, size_t n_beds)
{
    const int wanted = o->threads > 0 ? o->threads : bt_crew_processors();
    const int n = wanted < BT_CREW_MOST ? wanted : BT_CREW_MOST;
    return n_beds < (size_t)n ? (int)n_beds : n;
}

/* What building the worksheets of a run needs beside the run. */
struct works {
    struct bt_arena *beds; /* of the beds at hand; messages and totals outlive them */
    struct bt_shapes *shapes;
    const struct bt_garden_index *index;
};

/* Builds the worksheets of some beds, one after the other: all of them, so that every
 * problem is named. False when one could not be built. */
static bool build(struct bt_run *run, const struct works *w, size_t n, const size_t *bed,
                  struct bt_job **job)
{
    bool ok = true;
    for (size_t i = 0; i < n; i++) {
        struct bt_budget *budget = bt_arena_alloc(w->beds, sizeof *budget);
        const struct bt_garden *view = bt_garden_view(w->beds, w->index, bed[i]);
        ok &= bt_season_build(w->beds, run->diag, run->handbook, view, bed[i], budget);
        if (ok)
            job[i] = bt_job_new(w->beds, run->diag, w->shapes, budget, &run->chance);
    }
    return ok;
}

/* ---- drawing ---- */

struct drawing {
    struct bt_job *const *job;
    int threads;
    struct bt_arena *places; /* holds the workspaces and nothing else */
    struct bt_mark empty;
    struct bt_workspace *workspace[BT_CREW_MOST]; /* one a thread */
    struct bt_totals *totals;
};

static void draw_bed(void *context, size_t i, int thread)
{
    struct drawing *d = context;
    bt_job_run_in(d->job[i], d->workspace[thread]);
}

static void add_bed(void *context, size_t i)
{
    struct drawing *d = context;
    if (d->totals)
        bt_totals_add(d->totals, d->job[i]);
}

static void draw(struct drawing *d, size_t n, struct bt_job *const *job)
{
    const struct bt_crew_work work = {draw_bed, add_bed, d};
    d->job = job;
    if (!d->workspace[0] || !bt_workspace_fits(d->workspace[0], n, job)) {
        bt_arena_release(d->places, d->empty);
        for (int k = 0; k < d->threads; k++)
            d->workspace[k] = bt_workspace_new(d->places, n, job);
    }
    bt_crew(d->threads, n, &work);
}

/* Builds, draws and hands over the given beds, some at a time. */
static bool go_through(struct bt_run *run, const struct works *w, struct drawing *d,
                       size_t n, const size_t *bed, const struct bt_bed_sink *sink)
{
    bool ok = true;
    for (size_t done = 0; done < n; done += BATCH) {
        const size_t now = n - done < BATCH ? n - done : BATCH;
        const struct bt_mark mark = bt_arena_mark(w->beds);
        struct bt_job *job[BATCH];
        ok &= build(run, w, now, bed + done, job);
        if (ok)
            draw(d, now, job);
        for (size_t i = 0; i < now && ok && sink; i++)
            sink->bed(sink->context, run, bt_job_finding(job[i]));
        bt_arena_release(w->beds, mark);
    }
    bt_arena_release(d->places, d->empty);
    d->workspace[0] = NULL;
    return ok;
}

static struct works works_new(struct bt_run *run)
{
    return (struct works){bt_arena_beside(run->arena), bt_shapes_new(run->arena),
                          bt_garden_index_new(run->arena, run->garden)};
}

static struct drawing drawing_new(struct bt_run *run, int threads)
{
    struct drawing d = {.threads = threads, .places = bt_arena_beside(run->arena)};
    d.empty = bt_arena_mark(d.places);
    return d;
}

bool bt_run_budget(struct bt_run *run, const struct bt_run_options *o,
                   const struct bt_bed_sink *sink)
{
    size_t *bed;
    const size_t n = beds_asked(run, o, &bed);
    const struct works w = works_new(run);
    struct drawing d = drawing_new(run, threads_of(o, n));
    d.totals = bt_totals_new(run->arena, &run->chance);
    const bool ok = go_through(run, &w, &d, n, bed, sink) && n > 0;
    bt_totals_finish(d.totals, run->total);
    return ok && bt_diag_count(run->diag, BT_ERROR) == 0;
}

/* ---- as many draws as it takes ---- */

static const double CLOSE = 0.01; /* of the range, twice the sampling error */

struct settling {
    size_t n_open;
    size_t *open; /* beds that are not close enough yet */
    size_t now;   /* the bed that is shown next, of those tried */
    const size_t *tried;
    double worst;
};

static double worst_error(const struct bt_account_finding *f)
{
    const double range = f->tightest.p95 - f->tightest.p05;
    const struct bt_error *e = &f->tightest_error;
    double worst = e->mean > e->p05 ? e->mean : e->p05;
    worst = worst > e->p95 ? worst : e->p95;
    return range > 0 ? 2 * worst / range : 0;
}

static void look_at(void *context, const struct bt_run *run, const struct bt_finding *f)
{
    struct settling *s = context;
    double worst = 0;
    (void)run;
    for (size_t k = 0; k < f->budget->n_accounts; k++) {
        const double error = worst_error(&f->account[k]);
        worst = error > worst ? error : worst;
    }
    if (worst >= CLOSE)
        s->open[s->n_open++] = s->tried[s->now];
    s->now++;
    s->worst = worst > s->worst ? worst : s->worst;
}

void bt_run_settle(struct bt_run *run, const struct bt_run_options *o, double *out_worst)
{
    struct bt_diag *said = run->diag;
    size_t *bed, *next;
    size_t n = beds_asked(run, o, &bed);
    const struct works w = works_new(run);
    struct drawing d = drawing_new(run, threads_of(o, n));
    const struct bt_bed_sink sink = {look_at, &(struct settling){0}};
    struct settling *s = sink.context;
    next = bt_arena_alloc(run->arena, (n + 1) * sizeof *next);
    run->diag = bt_diag_new(run->arena); /* the answer itself will say it all */
    run->chance.samples = BT_SAMPLES_USUAL;
    for (;;) {
        *s = (struct settling){.open = next, .tried = bed};
        const bool ok = go_through(run, &w, &d, n, bed, &sink);
        if (!ok || s->n_open == 0 || run->chance.samples == BT_SAMPLES_MOST)
            break;
        run->chance.samples *= 2;
        n = s->n_open;
        next = bed;
        bed = s->open;
    }
    run->diag = said;
    *out_worst = s->worst;
}
