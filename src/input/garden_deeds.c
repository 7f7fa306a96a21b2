/* What an addition is called on a bed: its material and day, and a number where the same
 * material was put there more than once that day. */
#include <string.h>

#include "base/text.h"
#include "input/garden.h"

const char *bt_deed_label(const struct bt_application *x)
{
    return x->own ? x->own->name : x->written;
}

/* Put on the bed, or cut there. */
static bool is_on(const struct bt_application *x, size_t bed)
{
    if (x->taken_from && x->taken_from_index == bed)
        return true;
    for (size_t k = 0; k < x->n_beds; k++)
        if (x->bed[k] == bed)
            return true;
    return false;
}

static bool is_same(const struct bt_application *x, const struct bt_application *y)
{
    return x == y || (x->ordinal == y->ordinal && x->part == y->part);
}

size_t bt_deeds_alike(const struct bt_garden *g, size_t bed, const char *label, int day,
                      const struct bt_application *upto, size_t *out_place)
{
    size_t n = 0;
    for (size_t i = 0; i < g->n_applications; i++) {
        const struct bt_application *y = &g->application[i];
        if (y->date.day != day || !is_on(y, bed) || !bt_text_is(bt_deed_label(y), label))
            continue;
        n++;
        if (upto && is_same(upto, y))
            *out_place = n;
    }
    return n;
}

const char *bt_deed_name_on(struct bt_arena *a, const struct bt_garden *g, size_t bed,
                            const struct bt_application *x)
{
    size_t place = 0;
    const char *label = bt_deed_label(x);
    return bt_deeds_alike(g, bed, label, x->date.day, x, &place) > 1 && place > 0
               ? bt_arena_format(a, "%s %zu", label, place)
               : label;
}

const char *bt_deed_subject(struct bt_arena *a, const struct bt_garden *g, size_t bed,
                            const struct bt_application *x)
{
    return bt_arena_format(a, "%s, %s", bt_deed_name_on(a, g, bed, x),
                           bt_garden_day(a, g, x->date.day));
}
