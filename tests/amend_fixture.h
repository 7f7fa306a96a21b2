/* What the tests of the amendment plan share: a garden given as text, with the real
 * handbook, and the plan of one of its beds. */
#ifndef BT_TESTS_AMEND_FIXTURE_H
#define BT_TESTS_AMEND_FIXTURE_H

#include "law_garden.h"

#include "plan/amend.h"
#include "plan/shopping.h"

enum { AMEND_SAMPLES = 4096 };

struct amended {
    struct bt_run run;
    struct bt_amend *amend;
    size_t n_beds;
    struct bt_bed_plan bed[8];
};

/* Plans all beds, as of a day; close with amended_close. */
static inline struct amended amended_of(struct law *l, const struct law_text *t, int as_of,
                                        bool from_handbook)
{
    struct amended x = {.n_beds = 0};
    law_write_all(l, t);
    const struct bt_run_options o = law_options(l, t, AMEND_SAMPLES, 1);
    law_must(bt_run_open(l->arena, &o, &x.run), &x.run);
    x.run.garden->as_of = as_of;
    const struct bt_amend_options how = {.from_handbook = from_handbook,
                                         .us_units = x.run.garden->us_units,
                                         .chance = x.run.chance};
    x.amend = bt_amend_new(l->arena, x.run.handbook, x.run.garden, &how);
    for (size_t i = 0; i < x.run.garden->n_beds && i < 8; i++)
        law_must(bt_amend_bed(x.amend, l->arena, x.run.diag, i, &x.bed[x.n_beds++]),
                 &x.run);
    return x;
}

static inline void amended_close(struct amended *x)
{
    bt_run_close(&x->run);
}

static inline const struct bt_plan *wished_plan(const struct bt_bed_plan *p)
{
    assert_true(p->n_plans > 0);
    return &p->plan[p->wished];
}

/* Why a material was not taken; "" when it was. */
static inline const char *reason_for(const struct bt_bed_plan *p, const char *material)
{
    for (size_t i = 0; i < p->n_materials; i++)
        if (strcmp(p->material[i].material->name, material) == 0)
            return p->material[i].reason ? p->material[i].reason : "";
    fail_msg("no material %s", material);
    return "";
}

static inline void must_say(const char *text, const char *part)
{
    if (!text || !strstr(text, part))
        fail_msg("expected \"%s\" in \"%s\"", part, text ? text : "(nothing)");
}

#endif
