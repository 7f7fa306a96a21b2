#include <stdio.h>

#include "command/clean.h"
#include "command/front.h"
#include "command/target.h"
#include "report/check_beds.h"
#include "report/handbook.h"

#define MANY_BEDS 8 /* from which on equal beds are shown as one */

struct check_page {
    struct bt_front *front;
    struct bt_check_beds *beds; /* NULL: each bed by itself, as it comes */
};

static void show_bed(void *context, const struct bt_run *run,
                     const struct bt_budget *budget)
{
    struct check_page *p = context;
    struct bt_front *f = p->front;
    (void)run;
    const struct bt_mark mark = bt_arena_mark(f->page);
    if (p->beds)
        bt_check_beds_add(p->beds, &f->show, budget);
    else
        bt_report_check_bed(&f->out, &f->show, budget);
    bt_arena_release(f->page, mark);
}

/* A garden with problems is shown as far as its files can be read; its beds are not, for
 * what stands in them may not be what was meant. */
enum bt_status_code bt_command_check(struct bt_arena *a, const struct bt_options *o)
{
    struct bt_front f;
    struct bt_fixes fixes = {.arena = bt_arena_beside(a)};
    struct bt_options with = *o;
    with.fixes = o->fix ? &fixes : NULL;
    const struct bt_target copy = {"--fix", o->fix, true, false};
    enum bt_status_code status = o->fix ? bt_target_look(a, o, &copy) : BT_DONE_WELL;
    if (status != BT_DONE_WELL)
        return status;
    status = bt_front_open(a, &with, o->bed, &f);
    struct check_page page = {&f, NULL};
    const struct bt_check_sink sink = {show_bed, &page};
    if (f.run.garden && !o->all && !o->bed && f.run.garden->n_beds > MANY_BEDS)
        page.beds = bt_check_beds_new(f.kept);
    if (f.run.garden) {
        bt_report_check_begin(&f.out, &f.show, f.run.garden);
        bt_report_check_additions(&f.out, &f.show, f.run.garden, f.options.bed);
    }
    if (status == BT_DONE_WELL && !bt_run_check(&f.run, &f.options, &sink))
        status = BT_DATA_HAS_PROBLEMS;
    if (page.beds)
        bt_check_beds_write(&f.out, &f.show, page.beds);
    if (f.run.garden)
        bt_report_local(&f.out, &f.show, o->arg[0]);
    if (f.run.garden)
        bt_report_check_end(&f.out, f.run.diag);
    const enum bt_status_code cleaned =
        o->fix ? bt_clean_write(fixes.arena, &fixes, f.run.diag, o->arg[0], o->fix, &f.out)
               : BT_DONE_WELL;
    return bt_front_close(&f, cleaned == BT_DONE_WELL ? status : cleaned, BT_NOTE);
}
