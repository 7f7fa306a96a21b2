#include <errno.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "command/report_parts.h"
#include "command/target.h"

struct report_page {
    struct bt_front *front;
    struct bt_record *record;
    const struct bt_report_parts *parts;
};

static void keep_bed(void *context, const struct bt_run *run,
                     const struct bt_finding *finding)
{
    struct report_page *p = context;
    const struct bt_mark mark = bt_arena_mark(p->front->page);
    bt_record_add(p->record, &p->front->show, finding);
    if (p->parts->legumes)
        bt_report_legumes_part(p->front, p->record, run, finding);
    bt_arena_release(p->front->page, mark);
}

static bool is_standard_output(const char *file)
{
    return strcmp(file, "-") == 0;
}

/* Which format, and whether the file may be written at all: before the work, not after. */
static enum bt_status_code look_ahead(struct bt_arena *a, const struct bt_options *o,
                                      enum bt_doc_format *out_format)
{
    const char *endings = bt_doc_endings(a);
    if (!o->out)
        return bt_refuse(a, "-o",
                         bt_arena_format(a, "the file to write, ending in %s", endings),
                         NULL, "bedtally report DIR -o report.html");
    if (o->as >= 0)
        *out_format = (enum bt_doc_format)o->as;
    else if (is_standard_output(o->out) || !bt_doc_format_of(o->out, out_format))
        return bt_refuse(
            a, "-o", bt_arena_format(a, "a name that ends in %s", endings), o->out,
            bt_arena_format(a, "or say --as %s", bt_text_listed(a, bt_doc_words)));
    if (is_standard_output(o->out))
        return BT_DONE_WELL;
    return bt_target_look(a, o, &(struct bt_target){"-o", o->out, false, true});
}

static enum bt_status_code write_file(struct bt_front *f, const struct bt_options *o,
                                      const struct bt_doc *doc, enum bt_doc_format format)
{
    if (is_standard_output(o->out)) {
        bt_doc_write(&f->out, doc, format);
        return BT_DONE_WELL; /* asked when the front closes */
    }
    struct bt_out file = bt_out_file(f->kept, o->out, o->force);
    bt_doc_write(&file, doc, format);
    if (bt_out_done(&file))
        return BT_DONE_WELL;
    fprintf(stderr, "bedtally: cannot write %s: %s\n", o->out,
            strerror(file.error ? file.error : EIO));
    return BT_MACHINE_FAILED;
}

/* The record in its two passes: the beds, then what stands beside them. */
static bool gather(struct report_page *p, const struct bt_options *o)
{
    struct bt_front *f = p->front;
    const struct bt_bed_sink sink = {keep_bed, p};
    if (!bt_run_budget(&f->run, &f->options, &sink))
        return false;
    memcpy(p->record->total, f->run.total, sizeof p->record->total);
    if (p->parts->plan && !bt_report_plan_part(f, p->record, o->from_handbook))
        return false;
    return !p->parts->against || bt_report_compare_part(f, p->record, p->parts, o->arg[0]);
}

enum bt_status_code bt_command_report(struct bt_arena *a, const struct bt_options *o)
{
    struct bt_front f;
    enum bt_doc_format format = BT_DOC_HTML;
    struct bt_report_parts parts;
    const enum bt_audience audience =
        o->reader >= 0 ? (enum bt_audience)(o->reader + 1) : BT_FOR_RECORD;
    enum bt_status_code status = look_ahead(a, o, &format);
    if (status == BT_DONE_WELL && !bt_report_parts_read(a, o, audience, &parts))
        status = BT_WRONG_USE;
    if (status != BT_DONE_WELL)
        return status;
    status = bt_front_open(a, o, NULL, &f);
    if (status != BT_DONE_WELL)
        return bt_front_close(&f, status, BT_WARNING);
    struct report_page p = {
        &f,
        bt_record_new(f.kept, f.run.garden, f.run.handbook, &f.run.chance, f.show.version),
        &parts};
    if (parts.deeds_alone)
        bt_report_leave_plans_out(f.run.garden);
    if (!gather(&p, o))
        return bt_front_close(&f, BT_DATA_HAS_PROBLEMS, BT_WARNING);
    status = write_file(&f, o, bt_record_document(p.record, &f.show, audience), format);
    return bt_front_close(&f, status, BT_WARNING);
}
