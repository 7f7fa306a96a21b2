#include <stdio.h>

#include "command/front.h"

static void show_bed(void *context, const struct bt_run *run,
                     const struct bt_budget *budget)
{
    struct bt_front *f = context;
    (void)run;
    const struct bt_mark mark = bt_arena_mark(f->page);
    bt_report_check_bed(&f->out, &f->show, budget);
    bt_arena_release(f->page, mark);
}

enum bt_status_code bt_command_check(struct bt_arena *a, const struct bt_options *o)
{
    struct bt_front f;
    const enum bt_status_code opened = bt_front_open(a, o, o->bed, &f);
    if (opened != BT_DONE_WELL)
        return opened;
    const struct bt_check_sink sink = {show_bed, &f};
    bt_report_check_begin(&f.out, &f.show, f.run.garden);
    const bool ok = bt_run_check(&f.run, &f.options, &sink);
    bt_report_check_end(&f.out, f.run.diag);
    return bt_front_close(&f, ok, BT_NOTE);
}
