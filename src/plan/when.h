/* When something can be added: as early as can be, where something is sown or planted, and
 * at the stages at which crops are side-dressed. */
#ifndef BT_PLAN_WHEN_H
#define BT_PLAN_WHEN_H

#include "model/budget.h"

struct bt_slot {
    int day;
    const char *stage; /* "before planting", "side-dressing of sweet corn" */
    const struct bt_planting *planting; /* whom it feeds, NULL for the bed */
    bool for_early;                     /* composts and other slow things go here */
    bool for_quick;                     /* something takes it up soon */
    bool for_mulch;                     /* all crops of the season stand: mulch may lie */
    bool stands;                        /* a crop stands: nothing is dug in */
    bool seedlings;                     /* ... and one of them not for long */
};

/* From when to when a planting stands: its own dates, else the handbook's days. */
void bt_stay_of(const struct bt_handbook *h, const struct bt_garden *g,
                const struct bt_planting *p, int *out_from, int *out_to);

/* The first day on which anything can still be done; past the season's end when it is over.
 */
int bt_first_day(const struct bt_garden *g);

/* The slots of a bed, by date. With `often` also days between them, for doses that must be
 * split further; on coarse soil twice as often. */
size_t bt_slots(struct bt_arena *a, const struct bt_handbook *h, const struct bt_budget *b,
                bool often, struct bt_slot **out);

#endif
