#include <stdio.h>

#include "command/versions.h"

struct compare_page {
    struct bt_front *first;
    struct bt_run *second;
    enum bt_format format;
    const char *bed; /* id of the one asked for, or NULL */
    size_t n_shown;
};

static void put(void *context, const struct bt_compared_bed *b)
{
    struct compare_page *p = context;
    struct bt_front *f = p->first;
    if (p->format == BT_FORMAT_JSON)
        bt_report_compare_json_bed(&f->out, &f->show, b, p->n_shown == 0);
    else
        bt_report_compare_bed(&f->out, &f->show, b);
    p->n_shown++;
}

static enum bt_status_code compare(struct compare_page *p, const struct bt_options *o)
{
    struct bt_front *f = p->first;
    if (p->format == BT_FORMAT_JSON)
        bt_report_compare_json_begin(&f->out, &f->show, f->run.garden, p->second->garden,
                                     p->second->handbook);
    else
        bt_report_compare_begin(&f->out, &f->show, o->arg[0], o->arg[1]);
    const bool ok = bt_versions_each(&(struct bt_versions){f, p->second, p->bed, put, p});
    if (p->format == BT_FORMAT_JSON)
        bt_report_compare_json_end(&f->out);
    else if (ok)
        bt_report_compare_end(&f->out, &f->show, p->second->handbook);
    return ok ? BT_DONE_WELL : BT_DATA_HAS_PROBLEMS;
}

/* The bed that is meant, in whichever garden has it. */
static enum bt_status_code choose(struct compare_page *p, const char *written)
{
    struct bt_front *f = p->first;
    const struct bt_bed *bed = bt_garden_bed_named(f->kept, f->run.garden, written);
    if (!bed)
        bed = bt_garden_bed_named(f->kept, p->second->garden, written);
    if (!bed) {
        bt_front_no_bed(f->kept, f->run.diag, f->run.garden, written);
        return BT_WRONG_USE;
    }
    p->bed = bed->id;
    return BT_DONE_WELL;
}

enum bt_status_code bt_command_compare(struct bt_arena *a, const struct bt_options *o)
{
    struct bt_front f;
    enum bt_status_code status = bt_front_open(a, o, NULL, &f);
    struct bt_run second = {0};
    if (status == BT_DONE_WELL && !bt_versions_open(a, &f, o->arg[1], &second))
        status = BT_DATA_HAS_PROBLEMS;
    if (status == BT_DONE_WELL) {
        struct compare_page p = {
            .first = &f, .second = &second, .format = (enum bt_format)o->format};
        if (o->bed)
            status = choose(&p, o->bed);
        if (status == BT_DONE_WELL)
            status = compare(&p, o);
    }
    if (second.diag)
        bt_diag_print(stderr, second.diag, BT_WARNING);
    bt_run_close(&second);
    return bt_front_close(&f, status, BT_WARNING);
}
