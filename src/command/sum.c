/* `bedtally sum`: single sums, no garden needed. */
#include "report/sum.h"

#include <langinfo.h>
#include <stdio.h>
#include <string.h>

#include "chance/sampler.h"
#include "command/front.h"
#include "command/target.h"

struct sum_front {
    struct bt_diag *diag;
    struct bt_units *units;
    struct bt_handbook *book;
    struct bt_chance_options chance;
    struct bt_show show;
    struct bt_out out;
};

static bool open_book(struct bt_arena *a, const struct bt_options *o, struct sum_front *f)
{
    size_t n;
    const char *table = bt_embedded_table("units", &n);
    f->diag = bt_diag_new(a);
    f->out = bt_out_stream(stdout);
    f->units = bt_units_new(a, f->diag, table, n);
    if (f->units)
        f->book = bt_handbook_load(a, f->diag, f->units, o->tables, NULL);
    f->show = (struct bt_show){.arena = a,
                               .units = f->units,
                               .handbook = f->book,
                               .us_units = o->units != 0,
                               .version = BT_VERSION,
                               .samples = bt_sample_count(&f->chance),
                               .seed = o->seed,
                               .unicode = strcmp(nl_langinfo(CODESET), "UTF-8") == 0};
    return f->book != NULL;
}

static enum bt_status_code answer(struct bt_arena *a, const struct bt_options *o,
                                  const struct bt_sum *sum, struct sum_front *f)
{
    const struct bt_sum_means means = {.arena = a,
                                       .diag = f->diag,
                                       .units = f->units,
                                       .book = f->book,
                                       .chance = f->chance,
                                       .us_units = o->units};
    struct bt_sum_answer x;
    if (!bt_sum_work(&means, sum, o->n_args - 1, o->arg + 1, &x))
        return BT_WRONG_USE;
    if (o->format == BT_FORMAT_JSON)
        bt_report_sum_json(&f->out, &f->show, &x);
    else if (o->format == BT_FORMAT_CSV)
        bt_report_sum_csv(&f->out, &f->show, &x);
    else
        bt_report_sum(&f->out, &f->show, &x);
    if (o->format == BT_FORMAT_TEXT)
        bt_report_made_with(&f->out, &f->show);
    return BT_DONE_WELL;
}

static enum bt_status_code sum_named(struct bt_arena *a, const struct bt_options *o,
                                     struct sum_front *f)
{
    const struct bt_sum *sum = bt_sum_find(a, f->diag, o->arg[0]);
    if (!sum)
        return BT_WRONG_USE;
    if (!o->help)
        return answer(a, o, sum, f);
    bt_report_sum_help(&f->out, &f->show, sum);
    return BT_DONE_WELL;
}

enum bt_status_code bt_command_sum(struct bt_arena *a, const struct bt_options *o)
{
    struct sum_front f = {
        .chance = {.samples = o->samples, .seed = o->seed}
    };
    enum bt_status_code status = BT_DATA_HAS_PROBLEMS;
    if (o->samples == BT_SAMPLES_AUTO)
        return bt_refuse(a, "--samples",
                         "a whole number: auto looks at the beds of a garden", "auto",
                         NULL);
    if (o->n_args == 0 && o->format != BT_FORMAT_TEXT)
        return bt_refuse(a, "--format",
                         "the name of a sum: the list of the sums is text alone", NULL,
                         "bedtally sum NAME KEY=VALUE ... --format json");
    if (open_book(a, o, &f) && o->n_args == 0) {
        bt_report_sums(&f.out);
        status = BT_DONE_WELL;
    } else if (f.book) {
        status = sum_named(a, o, &f);
    }
    const enum bt_status_code written = bt_front_written(&f.out);
    bt_diag_print(stderr, f.diag, BT_WARNING);
    if (f.units)
        bt_units_free(f.units);
    return written == BT_DONE_WELL ? status : written;
}
