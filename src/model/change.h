/* A garden with one thing about a legume changed, to see by how much that changes the
 * answer: the worksheet is built again from the changed copy, and equal leaves have equal
 * draws, so the difference of the two is the change alone. */
#ifndef BT_MODEL_CHANGE_H
#define BT_MODEL_CHANGE_H

#include "model/budget.h"

enum bt_change_kind {
    BT_CHANGE_INOCULATED,
    BT_CHANGE_NOT_INOCULATED,
    BT_CHANGE_NITRATE, /* amount: content of nitrate N in the top layer at sowing, g/g */
    BT_CHANGE_PICKED_GREEN,
    BT_CHANGE_PICKED_DRY,
    BT_CHANGE_RESIDUE_LEFT,
    BT_CHANGE_RESIDUE_REMOVED,
    BT_CHANGE_TURNED_IN, /* at flower, nothing picked */
    BT_CHANGE_TIMES,     /* amount: so many times its plants, the others stay */
    BT_CHANGE_PART,    /* amount: the part of all plants that it makes up, 0 .. 1; it takes
                          the place of the others */
    BT_CHANGE_INSTEAD, /* another takes its ground */
    BT_CHANGE_LEFT_OUT /* it is not there, the others stay */
};

struct bt_change {
    enum bt_change_kind kind;
    size_t legume; /* in the budget's legumes */
    double amount; /* unit-free or g/g, as the kind says */
    const struct bt_planting *instead;
    const char *name; /* "picked dry": what `why --if` takes */
};

/* The changes worth showing for a legume: those that would make a difference to how it is
 * grown. All in `a`. */
size_t bt_changes_of(struct bt_arena *a, const struct bt_handbook *h,
                     const struct bt_budget *b, size_t legume, struct bt_change **out);

/* A change as somebody wrote it: "picked dry", with the legume before it where there are
 * several ("pole bean: picked dry"). Beside those of bt_changes_of: "x 2.5" and "on 40 % of
 * the planting". False when it is none for this bed. */
bool bt_change_read(struct bt_arena *a, const struct bt_handbook *h,
                    const struct bt_budget *b, const char *written, struct bt_change *out);

/* The changed copy, for building this bed only. What a grower states of a harvest grows
 * with the plants. All in `a`; the garden itself is not touched. */
struct bt_garden *bt_garden_changed(struct bt_arena *a, const struct bt_handbook *h,
                                    const struct bt_budget *b, const struct bt_change *c);

/* The legume of a changed garden's budget that the change is about, NULL when it is gone.
 */
const struct bt_legume_facts *bt_changed_legume(const struct bt_budget *before,
                                                const struct bt_change *c,
                                                const struct bt_budget *after);

#endif
