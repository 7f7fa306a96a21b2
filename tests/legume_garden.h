/* What the tests of the legumes share: one bed of a small garden opened, its worksheet, its
 * finding and that of its legumes, kept until the test ends. */
#ifndef BT_TESTS_LEGUME_GARDEN_H
#define BT_TESTS_LEGUME_GARDEN_H

#include "law_garden.h"

#include "chance/legumes.h"
#include "model/season.h"

struct opened {
    struct law *law;
    struct bt_run run;
    struct bt_budget budget;
    struct bt_shapes *shapes;
    struct bt_chance_options chance;
};

/* The first bed of the garden. bt_run_close when done. */
static inline struct opened open_bed(struct law *l, const struct law_text *t,
                                     size_t samples)
{
    struct opened o = {
        .law = l, .chance = {.samples = samples, .seed = 1}
    };
    law_write_all(l, t);
    const struct bt_run_options options = law_options(l, t, samples, 1);
    law_must(bt_run_open(l->arena, &options, &o.run), &o.run);
    o.shapes = bt_shapes_new(l->arena);
    law_must(
        bt_season_build(l->arena, o.run.diag, o.run.handbook, o.run.garden, 0, &o.budget),
        &o.run);
    return o;
}

static inline struct bt_legumes_finding legumes_of(const struct opened *o)
{
    const struct bt_legumes_question q = {.handbook = o->run.handbook,
                                          .budget = &o->budget,
                                          .bed = 0,
                                          .shapes = o->shapes,
                                          .chance = o->chance};
    return bt_legumes_find(o->law->arena, &q);
}

static inline const struct bt_legume_finding *legume_of(const struct bt_legumes_finding *f,
                                                        const char *crop)
{
    for (size_t i = 0; i < f->n; i++)
        if (strcmp(f->legume[i].facts->planting->written, crop) == 0)
            return &f->legume[i];
    fail_msg("no legume %s", crop);
    return NULL;
}

static inline const struct bt_change_finding *
change_named(const struct bt_legume_finding *f, const char *name)
{
    for (size_t i = 0; i < f->n_changes; i++)
        if (strcmp(f->change[i].change.name, name) == 0)
            return &f->change[i];
    fail_msg("no change \"%s\"", name);
    return NULL;
}

/* The likely value of a named node of the bed. */
static inline double likely_of(const struct bt_budget *b, const char *name)
{
    struct bt_node n;
    if (!bt_sheet_find(b->sheet, name, &n))
        fail_msg("no node \"%s\"", name);
    return bt_likely(b->sheet, n);
}

#endif
