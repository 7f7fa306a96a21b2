#include <errno.h>
#include <stdio.h>
#include <string.h>

#include "command/front.h"
#include "command/target.h"
#include "report/plan.h"

struct amend_page {
    struct bt_front *front;
    struct bt_shopping *shopping;
    enum bt_format format;
    bool opened;
    struct bt_out *plan_file; /* NULL for none */
    size_t n_beds;
};

static void show_bed(void *context, const struct bt_bed_plan *plan)
{
    struct amend_page *p = context;
    struct bt_front *f = p->front;
    const struct bt_mark mark = bt_arena_mark(f->page);
    bt_shopping_add(p->shopping, plan);
    if (p->plan_file)
        bt_report_plan_csv_bed(p->plan_file, &f->show, plan);
    switch (p->format) {
    case BT_FORMAT_JSON:
        bt_report_plan_json_bed(&f->out, &f->show, plan, p->n_beds == 0);
        break;
    case BT_FORMAT_CSV: bt_report_plan_csv_bed(&f->out, &f->show, plan); break;
    case BT_FORMAT_TEXT:
        if (p->opened)
            bt_report_plan_bed(&f->out, &f->show, plan);
        else
            bt_report_plan_line(&f->out, &f->show, plan);
        break;
    }
    p->n_beds++;
    bt_arena_release(f->page, mark);
}

static void begin(struct amend_page *p)
{
    struct bt_front *f = p->front;
    switch (p->format) {
    case BT_FORMAT_JSON: bt_report_plan_json_begin(&f->out, &f->show, f->run.garden); break;
    case BT_FORMAT_CSV: bt_report_plan_csv_begin(&f->out); break;
    case BT_FORMAT_TEXT: bt_report_plan_begin(&f->out, &f->show, f->run.garden); break;
    }
    if (p->plan_file)
        bt_report_plan_csv_begin(p->plan_file);
}

static void end(struct amend_page *p)
{
    struct bt_front *f = p->front;
    const struct bt_shopping_line *line;
    const size_t n = bt_shopping_list(f->kept, p->shopping, &line);
    if (p->format == BT_FORMAT_JSON)
        bt_report_plan_json_end(&f->out, n, line);
    else if (p->format == BT_FORMAT_TEXT)
        bt_report_plan_end(&f->out, &f->show, f->run.garden, n, line, p->opened);
    if (p->format == BT_FORMAT_TEXT)
        bt_report_made_with(&f->out, &f->show);
}

static bool run(struct amend_page *p, const struct bt_options *o)
{
    struct bt_front *f = p->front;
    const struct bt_amend_options how = {.from_handbook = o->from_handbook,
                                         .us_units = f->show.us_units,
                                         .chance = f->run.chance};
    struct bt_amend *m = bt_amend_new(f->run.arena, f->run.handbook, f->run.garden, &how);
    const struct bt_plan_sink sink = {show_bed, p};
    p->shopping = bt_shopping_new(f->run.arena, m);
    begin(p);
    const bool ok = bt_amend_garden(m, f->run.arena, f->run.diag, f->options.bed, &sink);
    end(p);
    return ok;
}

/* A plan file is written whole or not at all, and never over another file. */
static enum bt_status_code keep_plan(struct bt_out *file, bool ok)
{
    if (!ok)
        file->failed = true;
    if (bt_out_done(file))
        return BT_DONE_WELL;
    if (!ok)
        return BT_DATA_HAS_PROBLEMS;
    fprintf(stderr, "bedtally: cannot write %s: %s%s\n", file->target,
            strerror(file->error),
            file->error == EEXIST ? " (give another name: no file is written over)" : "");
    return BT_MACHINE_FAILED;
}

static enum bt_status_code look_ahead(struct bt_arena *a, const struct bt_options *o)
{
    if (strcmp(o->out, "-") == 0)
        return bt_refuse(a, "-o", "a file that is not there yet", o->out,
                         "--format csv writes the plan to the screen");
    return bt_target_look(a, o, &(struct bt_target){"-o", o->out, false, false});
}

enum bt_status_code bt_command_amend(struct bt_arena *a, const struct bt_options *o)
{
    struct bt_front f;
    enum bt_status_code status = o->out ? look_ahead(a, o) : BT_DONE_WELL;
    if (status != BT_DONE_WELL)
        return status;
    status = bt_front_open(a, o, o->bed, &f);
    if (status != BT_DONE_WELL)
        return bt_front_close(&f, status, BT_WARNING);
    struct amend_page p = {
        .front = &f, .format = (enum bt_format)o->format, .opened = o->bed || o->all};
    struct bt_out file;
    if (o->out) {
        file = bt_out_file(a, o->out, false);
        p.plan_file = &file;
    }
    const bool ok = run(&p, o);
    status = ok ? BT_DONE_WELL : BT_DATA_HAS_PROBLEMS;
    if (o->out)
        status = keep_plan(&file, ok);
    return bt_front_close(&f, status, BT_WARNING);
}
