#include "chance/legumes.h"

#include "command/front.h"
#include "report/legumes.h"

struct legumes_page {
    struct bt_front *front;
    enum bt_format format;
    struct bt_shapes *shapes;
    size_t n_beds, n_shown;
};

static void show(struct legumes_page *p, const struct bt_legumes_page *page)
{
    struct bt_front *f = p->front;
    switch (p->format) {
    case BT_FORMAT_JSON:
        bt_report_legumes_json_bed(&f->out, &f->show, page, p->n_beds == 0);
        break;
    case BT_FORMAT_CSV: bt_report_legumes_csv_bed(&f->out, &f->show, page); break;
    case BT_FORMAT_TEXT:
        p->n_shown += bt_report_legumes_bed(&f->out, &f->show, page);
        break;
    }
    p->n_beds++;
}

static void show_bed(void *context, const struct bt_run *run,
                     const struct bt_finding *finding)
{
    struct legumes_page *p = context;
    struct bt_front *f = p->front;
    const struct bt_mark page = bt_arena_mark(f->page), kept = bt_arena_mark(f->kept);
    const struct bt_legumes_question question = {
        .handbook = run->handbook,
        .budget = finding->budget,
        .bed = (size_t)(finding->budget->bed - run->garden->bed),
        .shapes = p->shapes,
        .chance = run->chance};
    const struct bt_legumes_finding legumes = bt_legumes_find(f->kept, &question);
    show(p, &(struct bt_legumes_page){finding, &legumes, f->options.bed != NULL});
    bt_arena_release(f->kept, kept);
    bt_arena_release(f->page, page);
}

enum bt_status_code bt_command_legumes(struct bt_arena *a, const struct bt_options *o)
{
    struct bt_front f;
    enum bt_status_code status = bt_front_open(a, o, o->bed, &f);
    if (status != BT_DONE_WELL)
        return bt_front_close(&f, status, BT_WARNING);
    struct legumes_page p = {
        .front = &f, .format = (enum bt_format)o->format, .shapes = bt_shapes_new(a)};
    const struct bt_bed_sink sink = {show_bed, &p};
    if (p.format == BT_FORMAT_JSON)
        bt_report_legumes_json_begin(&f.out, &f.show, f.run.garden);
    if (p.format == BT_FORMAT_CSV)
        bt_report_legumes_csv_begin(&f.out);
    const bool ok = bt_run_budget(&f.run, &f.options, &sink);
    if (p.format == BT_FORMAT_JSON)
        bt_report_legumes_json_end(&f.out);
    if (p.format == BT_FORMAT_TEXT && ok)
        bt_report_legumes_end(&f.out, &f.show, f.run.garden, p.n_shown);
    return bt_front_close(&f, ok ? BT_DONE_WELL : BT_DATA_HAS_PROBLEMS, BT_WARNING);
}
