/* What the draws say about the legumes of one bed: where their nitrogen goes, what their
 * neighbours get, how many plants it would take, and what changes the answer. Worksheets
 * are built again from changed copies of the garden and compared on the same draws. */
#ifndef BT_CHANCE_LEGUMES_H
#define BT_CHANCE_LEGUMES_H

#include "chance/chance.h"
#include "model/change.h"

/* Parts of a need of which the chances are given. */
enum { BT_PARTS = 3 };
extern const double bt_part_frac[BT_PARTS]; /* a tenth, half, all of it */

struct bt_neighbour_finding {
    const struct bt_neighbour_facts *facts;
    struct bt_spread whole_need, met, met_share;
    double chance[BT_PARTS]; /* that the part is met at least */
};

/* One thing changed: what each quantity is then less what it is now, on the same draws. */
enum bt_changed {
    BT_CHANGED_FIXED,
    BT_CHANGED_PASSED_ON,
    BT_CHANGED_LATER,
    BT_CHANGED_NET,
    BT_CHANGED_REQUIRED, /* of the whole bed */
    BT_CHANGEDS
};
struct bt_change_finding {
    struct bt_change change;
    struct bt_spread difference[BT_CHANGEDS]; /* g/m2 */
    bool has[BT_CHANGEDS];                    /* false: the two cannot be compared */
};

/* How much of the bed under the legume would meet a part of its neighbours' need. */
struct bt_stand_finding {
    double part_frac;   /* the wished part of the need */
    bool in_place;      /* it takes the place of the others; else it is added to them */
    bool exists;        /* at the likely values */
    double stand;       /* likely: share of a full sole stand (added), or of all plants */
    double times;       /* ... its plants, so many times as now */
    double chance_none; /* in which part of the draws no share does */
    double low, high;   /* P5 and P95 of the others; NaN when there are too few of them */
};

struct bt_legume_finding {
    const struct bt_legume_facts *facts;
    double count; /* plants now; 0 where they are not counted */
    struct bt_spread spread[BT_LEGUME_QUANTITIES];
    struct bt_neighbour_finding *neighbour;
    double chance[BT_PARTS]; /* of all neighbours together */
    size_t n_stands;
    struct bt_stand_finding *stand;
    size_t n_changes;
    struct bt_change_finding *change;
    const struct bt_leaf
        *transfer;        /* the figure that what is passed on hangs on, or NULL */
    bool transfer_is_own; /* from the garden's own tables */
};

struct bt_legumes_finding {
    const struct bt_budget *budget;
    size_t n;
    struct bt_legume_finding *legume;
};

struct bt_legumes_question {
    const struct bt_handbook *handbook;
    const struct bt_budget *budget;
    size_t bed; /* its number in the garden */
    struct bt_shapes *shapes;
    struct bt_chance_options chance;
};

/* Everything is allocated in `a`. A change whose copy cannot be built is left out. */
struct bt_legumes_finding bt_legumes_find(struct bt_arena *a,
                                          const struct bt_legumes_question *q);

#endif
