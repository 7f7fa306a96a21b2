/* Where the time of an answer goes, room by room: processor time of one garden read, built,
 * made ready, drawn, added up and written, one thread, best of several runs.
 *   bench_rooms [GARDEN]      (the demonstration garden) */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include <gsl/gsl_errno.h>

#include "input/garden_view.h"
#include "model/season.h"
#include "report/report.h"
#include "run.h"

enum { RUNS = 9 };
enum part { OPEN, BUILD, READY, DRAW, TOTAL, WRITE, PARTS };

static const char *const name[PARTS] = {"once: input, tables and garden read",
                                        "model, worksheets built",
                                        "chance, laws fitted and programs ready",
                                        "chance, drawn, summed up, drivers, tests",
                                        "chance, totals added",
                                        "report, JSON written"};

static double seconds(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void out_of_memory(void *context)
{
    (void)context;
    abort();
}

static void lap(double *clock, double *part)
{
    const double now = seconds();
    *part += now - *clock;
    *clock = now;
}

/* One garden from folder to JSON; adds each part's seconds. False when it cannot be read.
 */
static bool answer(const char *folder, FILE *sink, double part[PARTS], size_t *out_beds)
{
    struct bt_arena *a = bt_arena_new((size_t)1 << 18, out_of_memory, NULL);
    const struct bt_run_options o = {
        .folder = folder, .garden = {.units = -1},
             .chance = { BT_SAMPLES_USUAL,          1}
    };
    struct bt_run run;
    double clock = seconds();
    if (!bt_run_open(a, &o, &run))
        return false;
    struct bt_shapes *shapes = bt_shapes_new(a);
    struct bt_totals *totals = bt_totals_new(a, &run.chance);
    struct bt_arena *beds = bt_arena_beside(a);
    struct bt_out out = bt_out_stream(sink);
    struct bt_workspace *w = NULL;
    const struct bt_show show = {
        .arena = beds, .units = run.units, .handbook = run.handbook};
    const struct bt_garden_index *index = bt_garden_index_new(a, run.garden);
    lap(&clock, &part[OPEN]);
    for (size_t i = 0; i < run.garden->n_beds; i++) {
        const struct bt_mark mark = bt_arena_mark(beds);
        struct bt_budget budget;
        const struct bt_garden *view = bt_garden_view(beds, index, i);
        if (!bt_season_build(beds, run.diag, run.handbook, view, i, &budget))
            return false;
        lap(&clock, &part[BUILD]);
        struct bt_job *job = bt_job_new(beds, run.diag, shapes, &budget, &run.chance);
        lap(&clock, &part[READY]);
        if (!w || !bt_workspace_fits(w, 1, &job))
            w = bt_workspace_new(a, 1, &job);
        bt_job_run_in(job, w);
        lap(&clock, &part[DRAW]);
        bt_totals_add(totals, job);
        lap(&clock, &part[TOTAL]);
        bt_report_json_bed(&out, &show, bt_job_finding(job), i == 0);
        lap(&clock, &part[WRITE]);
        bt_arena_release(beds, mark);
    }
    bt_totals_finish(totals, run.total);
    lap(&clock, &part[TOTAL]);
    *out_beds = run.garden->n_beds;
    bt_run_close(&run);
    bt_arena_free(a);
    return true;
}

int main(int argc, char **argv)
{
    const char *folder = argc > 1 ? argv[1] : "worked-examples/demonstration-garden";
    double best[PARTS] = {0}, least = 1e9;
    size_t n_beds = 0;
    FILE *sink = fopen("/dev/null", "w");
    gsl_set_error_handler_off();
    if (!sink)
        return 3;
    for (int run = 0; run < RUNS; run++) {
        double part[PARTS] = {0}, all = 0;
        if (!answer(folder, sink, part, &n_beds)) {
            fprintf(stderr, "bench_rooms: %s cannot be answered\n", folder);
            return 1;
        }
        for (int k = 0; k < PARTS; k++)
            all += part[k];
        if (all >= least)
            continue;
        least = all;
        for (int k = 0; k < PARTS; k++)
            best[k] = part[k];
    }
    fclose(sink);
    printf("%zu beds, %d draws: %.1f ms in all, %.2f ms once, %.2f ms a bed\n", n_beds,
           BT_SAMPLES_USUAL, 1e3 * least, 1e3 * best[OPEN],
           1e3 * (least - best[OPEN]) / (double)n_beds);
    for (int k = 0; k < PARTS; k++)
        printf("  %-42s %6.2f ms%s %5.1f %%\n", name[k],
               1e3 * best[k] / (k == OPEN ? 1 : (double)n_beds),
               k == OPEN ? "      " : " a bed", 100 * best[k] / least);
    return 0;
}
