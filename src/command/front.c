#include "command/front.h"

#include <langinfo.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/text.h"

void bt_front_no_memory(void *context)
{
    (void)context;
    fputs("bedtally: out of memory\n", stderr);
    exit(BT_MACHINE_FAILED);
}

struct bt_arena *bt_front_arena(size_t chunk_size)
{
    struct bt_arena *a = bt_arena_new(chunk_size, bt_front_no_memory, NULL);
    if (!a)
        bt_front_no_memory(NULL);
    return a;
}

enum bt_status_code bt_front_written(struct bt_out *o)
{
    if (bt_out_done(o))
        return BT_DONE_WELL;
    fprintf(stderr, "bedtally: cannot write the answer: %s\n",
            o->error ? strerror(o->error) : "out of memory");
    return BT_MACHINE_FAILED;
}

bool bt_front_colour(void)
{
    const char *no = getenv("NO_COLOR");
    const char *term = getenv("TERM");
    return isatty(STDOUT_FILENO) && !(no && *no) && term && strcmp(term, "dumb") != 0;
}

static struct bt_run_options run_options(const struct bt_options *o, const char *bed)
{
    return (struct bt_run_options){
        .folder = o->arg[0],
        .tables_dir = o->tables,
        .bed = bed,
        .garden = {.season = o->season,
                   .on = o->on,
                   .plan = o->plan,
                   .units = o->units,
                   .fixes = o->fixes},
        .chance = {.samples = o->samples,   .seed = o->seed},
        .threads = o->threads,
    };
}

void bt_front_no_bed(struct bt_arena *a, struct bt_diag *d, const struct bt_garden *g,
                     const char *bed)
{
    const char **name = bt_arena_alloc(a, (g->n_beds + 1) * sizeof *name);
    for (size_t i = 0; i < g->n_beds; i++)
        name[i] = g->bed[i].id;
    bt_diag_add(d, (struct bt_message){.weight = BT_ERROR,
                                       .field = "bed",
                                       .expected = "a bed of beds.csv",
                                       .found = bed,
                                       .hint = bt_text_nearest(a, bed, g->n_beds, name)});
}

/* --samples auto: finds how many it takes, and says what was reached. */
static void settle(struct bt_front *f)
{
    double worst_frac;
    bt_run_settle(&f->run, &f->options, &worst_frac);
    fprintf(stderr,
            "bedtally: %zu draws; twice the sampling error is %.2g %% of the range of the "
            "leanest balance%s\n",
            f->run.chance.samples, 100 * worst_frac,
            f->options.bed ? "" : ", in the worst bed");
}

enum bt_status_code bt_front_open(struct bt_arena *a, const struct bt_options *o,
                                  const char *bed, struct bt_front *f)
{
    *f = (struct bt_front){.options = run_options(o, bed), .out = bt_out_stream(stdout)};
    f->page = bt_arena_beside(a);
    f->kept = bt_arena_beside(a);
    const bool ok = bt_run_open(a, &f->options, &f->run);
    struct bt_garden *g = f->run.garden;
    f->show = (struct bt_show){
        .arena = f->page,
        .units = f->run.units,
        .handbook = f->run.handbook,
        .us_units = g && g->us_units,
        .unicode = strcmp(nl_langinfo(CODESET), "UTF-8") == 0,
        .colour = bt_front_colour(),
        .version = BT_VERSION,
    };
    const struct bt_caution *caution;
    if (f->run.handbook)
        f->show.said = bt_arena_zero(
            f->kept, (bt_handbook_cautions(f->run.handbook, &caution) + 1) * sizeof(bool));
    if (!ok || !g)
        return BT_DATA_HAS_PROBLEMS;
    if (o->enough > 0)
        g->enough = o->enough;
    const struct bt_bed *meant = bed ? bt_garden_bed_named(a, g, bed) : NULL;
    if (bed && !meant) {
        bt_front_no_bed(a, f->run.diag, g, bed);
        return BT_WRONG_USE;
    }
    f->options.bed = meant ? meant->id : NULL;
    if (o->samples == BT_SAMPLES_AUTO)
        settle(f);
    f->show.samples = f->run.chance.samples;
    f->show.seed = f->run.chance.seed;
    return BT_DONE_WELL;
}

enum bt_status_code bt_front_close(struct bt_front *f, enum bt_status_code status,
                                   enum bt_weight least)
{
    const enum bt_status_code written = bt_front_written(&f->out);
    bt_diag_print(stderr, f->run.diag, least);
    if (status == BT_DONE_WELL && bt_diag_count(f->run.diag, BT_ERROR) > 0)
        status = BT_DATA_HAS_PROBLEMS;
    bt_run_close(&f->run);
    return written == BT_DONE_WELL ? status : written;
}
