#include "chance/compare.h"

#include <stdio.h>

#include "base/text.h"
#include "command/front.h"
#include "report/compare.h"

struct compare_page {
    struct bt_front *first;
    struct bt_run *second;
    struct bt_shapes *shapes;
    enum bt_format format;
    const char *bed; /* --bed, or NULL */
    size_t n_shown;
};

static const struct bt_bed *same_bed(const struct bt_garden *g, const struct bt_bed *bed)
{
    for (size_t i = 0; i < g->n_beds; i++)
        if (bt_text_is(g->bed[i].id, bed->id))
            return &g->bed[i];
    return NULL;
}

static bool is_asked(const struct compare_page *p, const struct bt_bed *bed)
{
    return !p->bed || bt_text_is(p->bed, bed->id) || bt_text_is(p->bed, bed->name);
}

static void put(struct compare_page *p, const struct bt_compared_bed *b)
{
    struct bt_front *f = p->first;
    if (p->format == BT_FORMAT_JSON)
        bt_report_compare_json_bed(&f->out, &f->show, b, p->n_shown == 0);
    else
        bt_report_compare_bed(&f->out, &f->show, b);
    p->n_shown++;
}

static bool both(struct compare_page *p, const struct bt_bed *first,
                 const struct bt_bed *second)
{
    struct bt_front *f = p->first;
    struct bt_run *s = p->second;
    const struct bt_mark page = bt_arena_mark(f->page), kept = bt_arena_mark(f->kept);
    const struct bt_version version[2] = {
        {f->run.handbook, f->run.garden, (size_t)(first - f->run.garden->bed)},
        {s->handbook,     s->garden,     (size_t)(second - s->garden->bed)   }
    };
    struct bt_comparison c;
    const bool ok =
        bt_compare_bed(f->kept, f->run.diag, p->shapes, version, &f->run.chance, &c);
    if (ok)
        put(p, &(struct bt_compared_bed){first, &c, BT_IN_BOTH});
    bt_arena_release(f->kept, kept);
    bt_arena_release(f->page, page);
    return ok;
}

static bool all_beds(struct compare_page *p)
{
    const struct bt_garden *x = p->first->run.garden, *y = p->second->garden;
    bool ok = true;
    for (size_t i = 0; i < x->n_beds && ok; i++) {
        const struct bt_bed *other = same_bed(y, &x->bed[i]);
        if (!is_asked(p, &x->bed[i]))
            continue;
        if (other)
            ok = both(p, &x->bed[i], other);
        else
            put(p, &(struct bt_compared_bed){&x->bed[i], NULL, BT_IN_FIRST});
    }
    for (size_t i = 0; i < y->n_beds && ok; i++)
        if (is_asked(p, &y->bed[i]) && !same_bed(x, &y->bed[i]))
            put(p, &(struct bt_compared_bed){&y->bed[i], NULL, BT_IN_SECOND});
    return ok;
}

static enum bt_status_code compare(struct compare_page *p, const struct bt_options *o)
{
    struct bt_front *f = p->first;
    const size_t samples = f->run.chance.samples;
    if (p->format == BT_FORMAT_JSON)
        bt_report_compare_json_begin(&f->out, f->run.garden, p->second->garden, samples,
                                     f->run.chance.seed);
    else
        bt_report_compare_begin(&f->out, &f->show, o->arg[0], o->arg[1]);
    const bool ok = all_beds(p);
    if (p->format == BT_FORMAT_JSON)
        bt_report_compare_json_end(&f->out);
    else if (ok)
        bt_report_compare_end(&f->out, samples, f->run.chance.seed);
    if (!ok)
        return BT_DATA_HAS_PROBLEMS;
    if (p->n_shown > 0)
        return BT_DONE_WELL;
    fprintf(stderr, "bedtally: neither garden has a bed \"%s\"\n", p->bed ? p->bed : "");
    return BT_WRONG_USE;
}

enum bt_status_code bt_command_compare(struct bt_arena *a, const struct bt_options *o)
{
    struct bt_front f;
    enum bt_status_code status = bt_front_open(a, o, NULL, &f);
    struct bt_run second = {0};
    struct bt_run_options of_second = f.options;
    of_second.folder = o->arg[1];
    if (o->format == BT_FORMAT_CSV) {
        fputs("--format: expected text or json, found \"csv\"\n", stderr);
        return bt_front_close(&f, BT_WRONG_USE, BT_ERROR);
    }
    if (status == BT_DONE_WELL && !bt_run_open(a, &of_second, &second))
        status = BT_DATA_HAS_PROBLEMS;
    if (status == BT_DONE_WELL) {
        struct compare_page p = {.first = &f,
                                 .second = &second,
                                 .shapes = bt_shapes_new(a),
                                 .format = (enum bt_format)o->format,
                                 .bed = o->bed};
        status = compare(&p, o);
    }
    if (second.diag)
        bt_diag_print(stderr, second.diag, BT_WARNING);
    bt_run_close(&second);
    return bt_front_close(&f, status, BT_WARNING);
}
