#include <stdio.h>

#include "chance/chance.h"
#include "command/front.h"
#include "command/target.h"
#include "model/change.h"
#include "model/season.h"
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
        why.node = node;
        why.spread = bt_chance_nodes(f->kept, bt_shapes_new(f->kept), b, &f->run.chance,
                                     why.n, node);
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

static void refuse_change(struct bt_front *f, const struct bt_budget *b,
                          const char *written)
{
    char *names = bt_arena_text(f->kept, "");
    for (size_t i = 0; i < b->n_legumes; i++) {
        struct bt_change *list;
        const size_t n = bt_changes_of(f->kept, f->run.handbook, b, i, &list);
        for (size_t k = 0; k < n; k++)
            names = bt_arena_format(f->kept, "%s%s%s%s%s", names, *names ? ", " : "",
                                    b->n_legumes > 1 ? b->legume[i].planting->written : "",
                                    b->n_legumes > 1 ? ": " : "", list[k].name);
    }
    bt_diag_add(f->run.diag,
                (struct bt_message){.weight = BT_ERROR,
                                    .field = "--if",
                                    .expected = "a change of a legume in this bed",
                                    .found = bt_arena_text(f->run.arena, written),
                                    .hint = *names ? bt_arena_text(f->run.arena, names)
                                                   : "no legume stands in it"});
}

/* The garden as if one thing were changed. */
static enum bt_status_code change(struct bt_front *f, const char *written)
{
    struct bt_garden *g = f->run.garden;
    struct bt_budget b;
    struct bt_change c;
    const struct bt_bed *own = bt_garden_bed_named(f->kept, g, f->options.bed);
    const size_t bed = (size_t)(own - g->bed);
    if (!bt_season_build(f->run.arena, bt_diag_new(f->kept), f->run.handbook, g, bed, &b))
        return BT_DONE_WELL; /* the run itself will say why */
    if (!bt_change_read(f->run.arena, f->run.handbook, &b, written, &c)) {
        refuse_change(f, &b, written);
        return BT_WRONG_USE;
    }
    f->run.garden = bt_garden_changed(f->run.arena, f->run.handbook, &b, &c);
    bt_put(&f->out, "As if: %s\n\n", c.name);
    return BT_DONE_WELL;
}

enum bt_status_code bt_command_why(struct bt_arena *a, const struct bt_options *o)
{
    struct bt_front f;
    if (o->all && o->arg[2])
        return bt_refuse(a, "--all", "no LINE beside it: it shows the pages of all lines",
                         o->arg[2], NULL);
    enum bt_status_code status = bt_front_open(a, o, o->arg[1], &f);
    struct why_page p = {.front = &f, .line = o->arg[2], .all = o->all, .found = true};
    const struct bt_bed_sink sink = {show, &p};
    if (status == BT_DONE_WELL && o->changed)
        status = change(&f, o->changed);
    if (status == BT_DONE_WELL && !bt_run_budget(&f.run, &f.options, &sink))
        status = BT_DATA_HAS_PROBLEMS;
    else if (status == BT_DONE_WELL && !p.found)
        status = BT_WRONG_USE;
    if (status == BT_DONE_WELL) {
        bt_report_local(&f.out, &f.show, o->arg[0]);
        bt_report_made_with(&f.out, &f.show);
    }
    return bt_front_close(&f, status, BT_ERROR);
}
