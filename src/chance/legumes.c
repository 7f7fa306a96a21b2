#include "chance/legumes.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "chance/columns.h"
#include "chance/sampler.h"
#include "chance/stand.h"
#include "model/season.h"

const double bt_part_frac[BT_PARTS] = {0.1, 0.5, 1};

struct work {
    struct bt_arena *arena;  /* of the answer */
    struct bt_arena *beside; /* of what is built and forgotten */
    const struct bt_legumes_question *q;
    struct bt_summary_room *room;
    double *column;
};

/* ---- as it stands ---- */

static void find_quantities(struct work *w, struct bt_legume_finding *f)
{
    struct bt_node node[BT_LEGUME_QUANTITIES];
    int which[BT_LEGUME_QUANTITIES] = {0};
    size_t n = 0;
    for (int k = 0; k < BT_LEGUME_QUANTITIES; k++)
        if (f->facts->has[k]) {
            which[n] = k;
            node[n++] = f->facts->node[k];
        }
    const struct bt_mark mark = bt_arena_mark(w->beside);
    const struct bt_columns c =
        bt_columns_of(w->beside, w->q->shapes, w->q->budget->sheet, &w->q->chance, n, node);
    for (size_t k = 0; k < n; k++) {
        f->spread[which[k]] = bt_column_spread(w->room, &c, k);
        for (int p = 0; which[k] == BT_LEGUME_MET && p < BT_PARTS; p++)
            f->chance[p] = bt_column_chance(&c, k, bt_part_frac[p]);
    }
    bt_arena_release(w->beside, mark);
}

static void find_neighbour(struct work *w, const struct bt_neighbour_facts *facts,
                           struct bt_neighbour_finding *f)
{
    const struct bt_node node[] = {facts->whole_need, facts->met, facts->met_share};
    const struct bt_mark mark = bt_arena_mark(w->beside);
    const struct bt_columns c =
        bt_columns_of(w->beside, w->q->shapes, w->q->budget->sheet, &w->q->chance, 3, node);
    *f = (struct bt_neighbour_finding){.facts = facts,
                                       .whole_need = bt_column_spread(w->room, &c, 0),
                                       .met = bt_column_spread(w->room, &c, 1),
                                       .met_share = bt_column_spread(w->room, &c, 2)};
    for (int p = 0; p < BT_PARTS; p++)
        f->chance[p] = bt_column_chance(&c, 2, bt_part_frac[p]);
    bt_arena_release(w->beside, mark);
}

static void find_transfer(const struct work *w, struct bt_legume_finding *f)
{
    struct bt_node n;
    if (f->facts->n_neighbours == 0 ||
        !bt_sheet_find(w->q->budget->sheet, "intercrops/any/transfer", &n))
        return;
    const struct bt_row *row =
        bt_handbook_row(w->q->handbook, "intercrops", "any", "transfer");
    f->transfer = bt_sheet_node(w->q->budget->sheet, n)->leaf;
    f->transfer_is_own = row && row->local;
}

/* ---- changed ---- */

static const enum bt_legume_quantity quantity_of[] = {
    [BT_CHANGED_FIXED] = BT_LEGUME_FIXED,
    [BT_CHANGED_PASSED_ON] = BT_LEGUME_PASSED_ON,
    [BT_CHANGED_LATER] = BT_LEGUME_LATER,
    [BT_CHANGED_NET] = BT_LEGUME_NET,
};

/* Columns of what is compared; nothing of a legume that is not there. */
static struct bt_columns compared(struct work *w, const struct bt_budget *b,
                                  const struct bt_legume_facts *l)
{
    struct bt_node node[BT_CHANGEDS];
    const struct bt_node none = bt_constant(b->sheet, 0, BT_MASS_PER_AREA);
    for (int k = 0; k < BT_CHANGED_REQUIRED; k++)
        node[k] = l ? l->node[quantity_of[k]] : none;
    node[BT_CHANGED_REQUIRED] = b->account[BT_N].required;
    return bt_columns_of(w->beside, w->q->shapes, b->sheet, &w->q->chance, BT_CHANGEDS,
                         node);
}

static bool find_change(struct work *w, const struct bt_columns *now,
                        const struct bt_change *c, struct bt_change_finding *f)
{
    const struct bt_legumes_question *q = w->q;
    const struct bt_mark mark = bt_arena_mark(w->beside);
    struct bt_garden *g = bt_garden_changed(w->beside, q->handbook, q->budget, c);
    struct bt_budget then;
    const bool built =
        bt_season_build(w->beside, bt_diag_new(w->beside), q->handbook, g, q->bed, &then);
    *f = (struct bt_change_finding){.change = *c};
    if (built) {
        const struct bt_legume_facts *l = bt_changed_legume(q->budget, c, &then);
        const struct bt_columns x = compared(w, &then, l);
        for (int k = 0; k < BT_CHANGEDS; k++) {
            /* A reading starts the account anew, so that needs are of different times. */
            f->has[k] = k != BT_CHANGED_REQUIRED || c->kind != BT_CHANGE_NITRATE;
            f->difference[k] = bt_column_difference(w->room, &x, now, (size_t)k, w->column);
        }
    }
    bt_arena_release(w->beside, mark);
    return built;
}

static void find_changes(struct work *w, size_t legume, struct bt_legume_finding *f)
{
    struct bt_change *list;
    const size_t n = bt_changes_of(w->arena, w->q->handbook, w->q->budget, legume, &list);
    f->change = bt_arena_zero(w->arena, (n + 1) * sizeof *f->change);
    const struct bt_mark mark = bt_arena_mark(w->beside);
    const struct bt_columns now = compared(w, w->q->budget, f->facts);
    for (size_t k = 0; k < n; k++)
        if (find_change(w, &now, &list[k], &f->change[f->n_changes]))
            f->n_changes++;
    bt_arena_release(w->beside, mark);
}

/* ---- all ---- */

static void find_stands(struct work *w, size_t legume, struct bt_legume_finding *f)
{
    if (f->facts->n_neighbours == 0)
        return;
    f->stand = bt_arena_zero(w->arena, 2 * BT_PARTS * sizeof *f->stand);
    for (int in_place = 0; in_place < 2; in_place++)
        bt_stand_find(w->beside, w->q, legume, in_place != 0,
                      f->stand + in_place * BT_PARTS);
    f->n_stands = 2 * BT_PARTS;
}

static void find_legume(struct work *w, size_t i, struct bt_legume_finding *f)
{
    const struct bt_legume_facts *facts = &w->q->budget->legume[i];
    *f = (struct bt_legume_finding){
        .facts = facts, .count = bt_planting_count(w->q->handbook, facts->planting)};
    find_quantities(w, f);
    f->neighbour =
        bt_arena_zero(w->arena, (facts->n_neighbours + 1) * sizeof *f->neighbour);
    for (size_t k = 0; k < facts->n_neighbours; k++)
        find_neighbour(w, &facts->neighbour[k], &f->neighbour[k]);
    find_transfer(w, f);
    find_changes(w, i, f);
    find_stands(w, i, f);
}

struct bt_legumes_finding bt_legumes_find(struct bt_arena *a,
                                          const struct bt_legumes_question *q)
{
    const size_t samples = bt_sample_count(&q->chance);
    struct work w = {.arena = a, .beside = bt_arena_beside(a), .q = q};
    w.room = bt_summary_room_new(a, samples);
    w.column = bt_arena_alloc(a, samples * sizeof *w.column);
    struct bt_legumes_finding f = {.budget = q->budget, .n = q->budget->n_legumes};
    f.legume = bt_arena_zero(a, (f.n + 1) * sizeof *f.legume);
    for (size_t i = 0; i < f.n; i++)
        find_legume(&w, i, &f.legume[i]);
    return f;
}
