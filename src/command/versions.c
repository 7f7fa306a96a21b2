#include "command/versions.h"

#include "base/text.h"
#include "chance/compare.h"

bool bt_versions_open(struct bt_arena *a, const struct bt_front *first, const char *folder,
                      struct bt_run *second)
{
    struct bt_run_options of_second = first->options;
    of_second.folder = folder;
    return bt_run_open(a, &of_second, second);
}

static const struct bt_bed *same_bed(const struct bt_garden *g, const struct bt_bed *bed)
{
    for (size_t i = 0; i < g->n_beds; i++)
        if (bt_text_is(g->bed[i].id, bed->id))
            return &g->bed[i];
    return NULL;
}

static bool is_asked(const struct bt_versions *p, const struct bt_bed *bed)
{
    return !p->bed || bt_text_is(p->bed, bed->id);
}

static bool both(const struct bt_versions *p, struct bt_shapes *shapes,
                 const struct bt_bed *first, const struct bt_bed *second)
{
    struct bt_front *f = p->first;
    struct bt_run *s = p->second;
    const struct bt_mark page = bt_arena_mark(f->page);
    struct bt_arena *work = bt_front_arena(1u << 18);
    const struct bt_version version[2] = {
        {f->run.handbook, f->run.garden, (size_t)(first - f->run.garden->bed)},
        {s->handbook,     s->garden,     (size_t)(second - s->garden->bed)   }
    };
    struct bt_comparison c;
    const bool ok = bt_compare_bed(work, f->run.diag, shapes, version, &f->run.chance, &c);
    if (ok)
        p->put(p->context, &(struct bt_compared_bed){first, &c, BT_IN_BOTH});
    bt_arena_free(work);
    bt_arena_release(f->page, page);
    return ok;
}

bool bt_versions_each(const struct bt_versions *p)
{
    const struct bt_garden *x = p->first->run.garden, *y = p->second->garden;
    struct bt_shapes *shapes = bt_shapes_new(p->first->run.arena);
    bool ok = true;
    for (size_t i = 0; i < x->n_beds && ok; i++) {
        const struct bt_bed *other = same_bed(y, &x->bed[i]);
        if (!is_asked(p, &x->bed[i]))
            continue;
        if (other)
            ok = both(p, shapes, &x->bed[i], other);
        else
            p->put(p->context, &(struct bt_compared_bed){&x->bed[i], NULL, BT_IN_FIRST});
    }
    for (size_t i = 0; i < y->n_beds && ok; i++)
        if (is_asked(p, &y->bed[i]) && !same_bed(x, &y->bed[i]))
            p->put(p->context, &(struct bt_compared_bed){&y->bed[i], NULL, BT_IN_SECOND});
    return ok;
}
