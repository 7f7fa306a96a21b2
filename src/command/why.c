#include <stdio.h>

#include "chance/chance.h"
#include "command/front.h"
#include "report/handbook.h"

struct why_page {
    struct bt_front *front;
    const char *line; /* NULL: the column of lines, or all pages */
    bool all;
    bool found; /* false: there is no such line */
};

static void show_lines(struct why_page *p, const struct bt_finding *finding)
{
    bt_report_why_lines(&p->front->out, &p->front->show, finding);
}

static void show_page(struct why_page *p, const struct bt_budget *b)
{
    struct bt_front *f = p->front;
    struct bt_why why = {.budget = b};
    struct bt_node *node = NULL;
    p->found = bt_report_why_nodes(&f->show, b, p->line, &why.n, &node);
    if (p->found) {
        struct bt_spread *spread = bt_arena_zero(f->kept, (why.n + 1) * sizeof *spread);
        bt_chance_nodes(f->kept, bt_shapes_new(f->kept), b, &f->run.chance, why.n, node,
                        spread);
        why.node = node;
        why.spread = spread;
        p->found = bt_report_why_page(&f->out, &f->show, &why, p->line);
    }
    if (!p->found) {
        struct bt_out messages = bt_out_stream(stderr);
        bt_report_why_unknown(&messages, &f->show, b, p->line);
        (void)bt_out_done(&messages);
    }
}

static void show(void *context, const struct bt_run *run, const struct bt_finding *finding)
{
    struct why_page *p = context;
    (void)run;
    if (p->line || p->all)
        show_page(p, finding->budget);
    else
        show_lines(p, finding);
}

enum bt_status_code bt_command_why(struct bt_arena *a, const struct bt_options *o)
{
    struct bt_front f;
    enum bt_status_code status = bt_front_open(a, o, o->arg[1], &f);
    struct why_page p = {.front = &f, .line = o->arg[2], .all = o->all, .found = true};
    const struct bt_bed_sink sink = {show, &p};
    if (status == BT_DONE_WELL && !bt_run_budget(&f.run, &f.options, &sink))
        status = BT_DATA_HAS_PROBLEMS;
    else if (status == BT_DONE_WELL && !p.found)
        status = BT_WRONG_USE;
    if (status == BT_DONE_WELL)
        bt_report_local(&f.out, &f.show, o->arg[0]);
    return bt_front_close(&f, status, BT_ERROR);
}
