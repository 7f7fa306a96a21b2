/* What plans cost: gardens of 1, 20 and 200 beds, each with thirty materials to choose
 * from, at 4,096 and 16,384 draws. Processor seconds, one thread. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include <gsl/gsl_errno.h>

#include "plan/amend.h"
#include "run.h"

static void out_of_memory(void *context)
{
    (void)context;
    abort();
}

static double seconds(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static FILE *open_in(struct bt_arena *a, const char *folder, const char *file)
{
    FILE *f = fopen(bt_arena_format(a, "%s/%s", folder, file), "wb");
    if (!f)
        abort();
    return f;
}

static void write_garden(struct bt_arena *a, const char *folder, int beds)
{
    static const char *const crops[] = {"cabbage", "tomato",    "carrot",     "lettuce",
                                        "onion",   "pole bean", "sweet corn", "kale"};
    static const char *const like[] = {
        "feather meal",     "blood meal",   "alfalfa meal", "fish meal",
        "dairy compost",    "yard compost", "soybean meal", "poultry pellets",
        "corn gluten meal", "bat guano"};
    FILE *f = open_in(a, folder, "garden.csv");
    fputs("setting,value\nname,bench\nunits,metric\nseason,2026\nseason_start,2026-05-01\n"
          "season_end,2026-09-30\nas_of,2026-05-05\n",
          f);
    fclose(f);
    f = open_in(a, folder, "beds.csv");
    FILE *g = open_in(a, folder, "plantings.csv");
    fputs("bed,length,width,depth,texture\n", f);
    fputs("bed,crop,share,in_ground\n", g);
    for (int i = 0; i < beds; i++) {
        fprintf(f, "B%d,5 m,1.2 m,25 cm,loam\n", i);
        fprintf(g, "B%d,%s,0.6,2026-05-%d\nB%d,%s,0.4,2026-05-20\n", i, crops[i % 8],
                10 + i % 15, i, crops[(i + 3) % 8]);
    }
    fclose(f);
    fclose(g);
    f = open_in(a, folder, "materials.csv");
    fputs("material,like,package,price\n", f);
    for (int i = 0; i < 30; i++)
        fprintf(f, "m%d,%s,%d kg,%d\n", i, like[i % 10], 5 + i % 7, 20 + i);
    fclose(f);
}

static void clean(struct bt_arena *a, const char *folder)
{
    static const char *const files[] = {"garden.csv", "beds.csv", "plantings.csv",
                                        "materials.csv"};
    for (size_t i = 0; i < sizeof files / sizeof *files; i++)
        remove(bt_arena_format(a, "%s/%s", folder, files[i]));
    rmdir(folder);
}

struct tally {
    size_t beds, feasible, additions;
};

static void count(void *context, const struct bt_bed_plan *p)
{
    struct tally *t = context;
    t->beds++;
    if (p->n_plans == 0)
        return;
    t->feasible += p->plan[p->wished].feasible;
    t->additions += p->plan[p->wished].n_additions;
}

static void measure(int beds, size_t samples)
{
    struct bt_arena *a = bt_arena_new(1 << 18, out_of_memory, NULL);
    const char *tmp = getenv("TMPDIR");
    char *folder = bt_arena_format(a, "%s/bedtally-bench-XXXXXX", tmp ? tmp : "/tmp");
    if (!mkdtemp(folder))
        abort();
    write_garden(a, folder, beds);
    const struct bt_run_options o = {
        .folder = folder,
        .garden = {.units = -1},
        .chance = { .samples = samples,  .seed = 1}
    };
    struct bt_run run;
    if (!bt_run_open(a, &o, &run))
        abort();
    const struct bt_amend_options how = {.chance = o.chance};
    struct tally t = {0, 0, 0};
    const struct bt_plan_sink sink = {count, &t};
    const double start = seconds();
    struct bt_amend *m = bt_amend_new(a, run.handbook, run.garden, &how);
    const bool ok = bt_amend_garden(m, a, run.diag, NULL, &sink);
    const double took = seconds() - start;
    if (!ok || t.beds != (size_t)beds)
        abort();
    printf("plans of %3d beds, 30 materials, %5zu draws: %6.2f s CPU, %4.0f ms a bed "
           "(%zu within the limits, %zu additions)\n",
           beds, samples, took, 1000 * took / beds, t.feasible, t.additions);
    clean(a, folder);
    bt_run_close(&run);
    bt_arena_free(a);
}

int main(void)
{
    static const int beds[] = {1, 20, 200};
    gsl_set_error_handler_off();
    measure(beds[1], 4096);
    for (size_t i = 0; i < sizeof beds / sizeof *beds; i++)
        measure(beds[i], BT_SAMPLES_USUAL);
    return 0;
}
