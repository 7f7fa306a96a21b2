/* What could be added: the materials of materials.csv and, where that is allowed, of the
 * handbook, with what one gram of each brings at its likely analysis. */
#ifndef BT_PLAN_CANDIDATE_H
#define BT_PLAN_CANDIDATE_H

#include "input/garden.h"

struct bt_candidate {
    const char *name; /* as in materials.csv, or the handbook's key */
    const char *key;  /* row of table materials */
    const char *kind; /* compost, manure, mulch, residue, meal, mineral, other */
    const struct bt_material *own; /* NULL: from the handbook */
    enum bt_placement placement;
    bool by_volume;      /* measured by volume, not weighed: composts, manures, mulches */
    bool is_quick;       /* half of its N is there within a fortnight: dose by dose */
    bool is_early;       /* slow: once, as early as can be */
    double density_g_m3; /* likely; NaN when not known */
    double n_frac;       /* of what is spread, likely */
    double p2o5_frac;
    double k2o_frac;
    double available_frac; /* of its N, in the first season; NaN when not simply said */
    double next_frac;      /* of its N, in the second season; 0 when nothing is said */
    double p2o5_available_frac; /* of its P2O5, in the first season */
    double k2o_available_frac;
    double price_per_g; /* unit-free: money; NaN when there is no price */
    double package_g;   /* NaN when not known */
    double on_hand_g;   /* NaN when nothing is said */
    bool only_on_hand;  /* no price and no package: what there is is all there is */
    const char *no;     /* why it cannot be used in this garden, NULL when it can */
};

/* All of them, those that cannot be used too. With `from_handbook` also what the handbook
 * has of composts, meals and mineral fertilisers that can be bought under their own name.
 */
size_t bt_candidates(struct bt_arena *a, const struct bt_handbook *h,
                     const struct bt_garden *g, bool from_handbook,
                     struct bt_candidate **out);

/* The likely value of a handbook row (stand-ins followed), NaN when there is none. */
double bt_row_likely(const struct bt_handbook *h, const char *table, const char *key,
                     const char *quantity);
/* Whether half of what a material gives is there within a fortnight. */
bool bt_is_quick(const struct bt_handbook *h, const char *key);
/* Whether a cell holds a number. */
bool bt_is_number(const struct bt_quantity *q);

#endif
