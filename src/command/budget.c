#include <errno.h>
#include <stdio.h>
#include <string.h>

#include "command/front.h"
#include "report/handbook.h"

/* A bed is gone after its callback, yet the first screen stands before the opened beds:
 * their pages wait in `pages` so that memory does not grow with the beds. */
struct budget_page {
    struct bt_front *front;
    struct bt_out pages;  /* the file in which opened beds wait */
    struct bt_out *lines; /* where opened beds go: that, or standard output */
    struct bt_screen *screen;
    enum bt_format format;
    bool opened;
    size_t n_beds;
};

static void show_bed(void *context, const struct bt_run *run,
                     const struct bt_finding *finding)
{
    struct budget_page *p = context;
    struct bt_front *f = p->front;
    (void)run;
    const struct bt_mark mark = bt_arena_mark(f->page);
    switch (p->format) {
    case BT_FORMAT_JSON:
        bt_report_json_bed(&f->out, &f->show, finding, p->n_beds == 0);
        break;
    case BT_FORMAT_CSV: bt_report_csv_bed(&f->out, &f->show, finding); break;
    case BT_FORMAT_TEXT:
        if (p->screen)
            bt_report_screen_add(p->screen, &f->show, finding);
        if (p->opened)
            bt_report_bed(p->lines, &f->show, finding);
        break;
    }
    p->n_beds++;
    bt_arena_release(f->page, mark);
}

static void copy_pages(struct bt_out *to, FILE *from)
{
    char block[4096];
    size_t n = 0;
    rewind(from);
    while ((n = fread(block, 1, sizeof block, from)) > 0)
        bt_put_bytes(to, block, n);
}

static bool run(struct bt_front *f, struct budget_page *p)
{
    const struct bt_bed_sink sink = {show_bed, p};
    return bt_run_budget(&f->run, &f->options, &sink);
}

static void fail(struct bt_out *o, int error)
{
    o->failed = true;
    o->error = error;
}

/* The first screen, then every bed, then the garden. */
static bool all_opened(struct bt_front *f, struct budget_page *p)
{
    FILE *waiting = tmpfile();
    if (!waiting) {
        fail(&f->out, errno);
        return true; /* the data is not to blame */
    }
    p->pages = bt_out_stream(waiting);
    p->lines = &p->pages;
    const bool ok = run(f, p);
    if (!bt_out_done(&p->pages))
        fail(&f->out, p->pages.error);
    if (ok) {
        bt_report_screen_write(&f->out, &f->show, p->screen, f->run.garden);
        copy_pages(&f->out, waiting);
        bt_report_total(&f->out, &f->show, f->run.garden, f->run.total);
    }
    fclose(waiting);
    return ok;
}

static bool text(struct bt_front *f, struct budget_page *p, const struct bt_options *o)
{
    p->opened = o->bed || o->all;
    p->lines = &f->out;
    if (o->bed)
        return run(f, p);
    p->screen = bt_report_screen_new(f->kept);
    if (o->all)
        return all_opened(f, p);
    const bool ok = run(f, p);
    if (ok)
        bt_report_screen_write(&f->out, &f->show, p->screen, f->run.garden);
    return ok;
}

static bool csv(struct bt_front *f, struct budget_page *p)
{
    bt_report_csv_begin(&f->out);
    return run(f, p);
}

static bool json(struct bt_front *f, struct budget_page *p)
{
    bt_report_json_begin(&f->out, &f->show, f->run.garden);
    const bool ok = run(f, p);
    bt_report_json_end(&f->out, f->run.total);
    return ok;
}

enum bt_status_code bt_command_budget(struct bt_arena *a, const struct bt_options *o)
{
    struct bt_front f;
    enum bt_status_code status = bt_front_open(a, o, o->bed, &f);
    if (status != BT_DONE_WELL)
        return bt_front_close(&f, status, BT_WARNING);
    struct budget_page p = {.front = &f, .format = (enum bt_format)o->format};
    bool ok = false;
    switch (p.format) {
    case BT_FORMAT_JSON: ok = json(&f, &p); break;
    case BT_FORMAT_CSV: ok = csv(&f, &p); break;
    case BT_FORMAT_TEXT:
        ok = text(&f, &p, o);
        if (ok) {
            bt_report_local(&f.out, &f.show, o->arg[0]);
            bt_report_made_with(&f.out, &f.show);
        }
        break;
    }
    return bt_front_close(&f, ok ? BT_DONE_WELL : BT_DATA_HAS_PROBLEMS, BT_WARNING);
}
