#include "input/garden_view.h"

/* Numbers of things by bed: those of bed i are item[start[i]] .. item[start[i + 1]] - 1. */
struct by_bed {
    size_t *start;
    size_t *item;
};

struct bt_garden_index {
    const struct bt_garden *garden;
    struct by_bed plantings, applications, tests;
};

/* The beds that an application concerns, one after the other; false when there are no more.
 */
static bool concerned(const struct bt_application *x, size_t k, size_t *out_bed)
{
    if (k < x->n_beds) {
        *out_bed = x->bed[k];
        return true;
    }
    if (k > x->n_beds || !x->taken_from)
        return false;
    *out_bed = x->taken_from_index;
    for (size_t j = 0; j < x->n_beds;
         j++) /* taken from a bed it also lies on: named once */
        if (x->bed[j] == x->taken_from_index)
            return false;
    return true;
}

static size_t *counted(struct bt_arena *a, const struct bt_garden *g)
{
    return bt_arena_zero(a, (g->n_beds + 2) * sizeof(size_t));
}

/* From counts (of bed i in start[i + 1]) to starts; returns how many there are in all. */
static size_t add_up(size_t n_beds, size_t *start)
{
    for (size_t i = 0; i < n_beds; i++)
        start[i + 1] += start[i];
    return start[n_beds];
}

static struct by_bed plantings_by_bed(struct bt_arena *a, const struct bt_garden *g)
{
    struct by_bed x = {.start = counted(a, g)};
    for (size_t i = 0; i < g->n_plantings; i++)
        x.start[g->planting[i].bed_index + 1]++;
    x.item = bt_arena_alloc(a, (add_up(g->n_beds, x.start) + 1) * sizeof *x.item);
    size_t *next = counted(a, g);
    for (size_t i = 0; i < g->n_plantings; i++) {
        const size_t bed = g->planting[i].bed_index;
        x.item[x.start[bed] + next[bed]++] = i;
    }
    return x;
}

static struct by_bed applications_by_bed(struct bt_arena *a, const struct bt_garden *g)
{
    struct by_bed x = {.start = counted(a, g)};
    size_t bed;
    for (size_t i = 0; i < g->n_applications; i++)
        for (size_t k = 0; concerned(&g->application[i], k, &bed); k++)
            x.start[bed + 1]++;
    x.item = bt_arena_alloc(a, (add_up(g->n_beds, x.start) + 1) * sizeof *x.item);
    size_t *next = counted(a, g);
    for (size_t i = 0; i < g->n_applications; i++)
        for (size_t k = 0; concerned(&g->application[i], k, &bed); k++)
            x.item[x.start[bed] + next[bed]++] = i;
    return x;
}

static struct by_bed tests_by_bed(struct bt_arena *a, const struct bt_garden *g)
{
    struct by_bed x = {.start = counted(a, g)};
    for (size_t i = 0; i < g->n_tests; i++)
        for (size_t k = 0; k < g->test[i].n_beds; k++)
            x.start[g->test[i].bed[k] + 1]++;
    x.item = bt_arena_alloc(a, (add_up(g->n_beds, x.start) + 1) * sizeof *x.item);
    size_t *next = counted(a, g);
    for (size_t i = 0; i < g->n_tests; i++)
        for (size_t k = 0; k < g->test[i].n_beds; k++) {
            const size_t bed = g->test[i].bed[k];
            x.item[x.start[bed] + next[bed]++] = i;
        }
    return x;
}

struct bt_garden_index *bt_garden_index_new(struct bt_arena *a, const struct bt_garden *g)
{
    struct bt_garden_index *x = bt_arena_alloc(a, sizeof *x);
    *x = (struct bt_garden_index){g, plantings_by_bed(a, g), applications_by_bed(a, g),
                                  tests_by_bed(a, g)};
    return x;
}

/* Whether bed number `other` grows what an addition taken from `bed` was given to by the
 * plant. */
static bool gets_by_the_plant(const struct bt_garden_index *x, size_t bed, size_t other)
{
    const struct by_bed *list = &x->applications;
    for (size_t i = list->start[bed]; i < list->start[bed + 1]; i++) {
        const struct bt_application *y = &x->garden->application[list->item[i]];
        if (!y->taken_from || y->taken_from_index != bed || !y->amount.unit.per)
            continue;
        for (size_t k = 0; k < y->n_beds; k++)
            if (y->bed[k] == other)
                return true;
    }
    return false;
}

static size_t copy_plantings(const struct bt_garden_index *x, size_t bed,
                             struct bt_planting *to)
{
    const struct by_bed *list = &x->plantings;
    for (size_t i = list->start[bed]; i < list->start[bed + 1]; i++)
        *to++ = x->garden->planting[list->item[i]];
    return list->start[bed + 1] - list->start[bed];
}

static void copy_tests(struct bt_arena *a, const struct bt_garden_index *x, size_t bed,
                       struct bt_garden *view)
{
    const size_t *item = x->tests.item + x->tests.start[bed];
    view->n_tests = x->tests.start[bed + 1] - x->tests.start[bed];
    view->test = bt_arena_alloc(a, (view->n_tests + 1) * sizeof *view->test);
    for (size_t i = 0; i < view->n_tests; i++)
        view->test[i] = x->garden->test[item[i]];
}

const struct bt_garden *bt_garden_view(struct bt_arena *a, const struct bt_garden_index *x,
                                       size_t bed)
{
    struct bt_garden *view = bt_arena_alloc(a, sizeof *view);
    *view = *x->garden;
    const struct by_bed *deeds = &x->applications;
    view->n_applications = deeds->start[bed + 1] - deeds->start[bed];
    view->application =
        bt_arena_alloc(a, (view->n_applications + 1) * sizeof *view->application);
    for (size_t i = 0; i < view->n_applications; i++)
        view->application[i] = x->garden->application[deeds->item[deeds->start[bed] + i]];
    copy_tests(a, x, bed, view);
    const struct by_bed *list = &x->plantings;
    size_t n = list->start[bed + 1] - list->start[bed];
    bool any_else = false;
    for (size_t i = 0; i < view->n_applications; i++)
        any_else |= view->application[i].taken_from && view->application[i].amount.unit.per;
    for (size_t other = 0; any_else && other < x->garden->n_beds; other++)
        if (other != bed && gets_by_the_plant(x, bed, other))
            n += list->start[other + 1] - list->start[other];
    view->planting = bt_arena_alloc(a, (n + 1) * sizeof *view->planting);
    view->n_plantings = copy_plantings(x, bed, view->planting);
    for (size_t other = 0; any_else && other < x->garden->n_beds; other++)
        if (other != bed && gets_by_the_plant(x, bed, other))
            view->n_plantings +=
                copy_plantings(x, other, view->planting + view->n_plantings);
    return view;
}
