/* Two versions of a bed on the same draws: what differs, by how much, and which figures
 * that went in are not the same. */
#ifndef BT_CHANCE_COMPARE_H
#define BT_CHANCE_COMPARE_H

#include "chance/chance.h"

/* One version of a bed. */
struct bt_version {
    const struct bt_handbook *handbook;
    const struct bt_garden *garden;
    size_t bed;
};

/* Second less first [g/m2]. */
struct bt_account_difference {
    enum bt_nutrient nutrient;
    bool known; /* both needs are known; else only the supply can be compared */
    bool has_left;
    struct bt_spread required, supply, tightest, balance, left;
    double chance_second_better; /* its shortfall on the leanest date is the smaller */
    double
        chance_first_better; /* the other way round; else both fall equally short, or not */
    double chance_less_left; /* in the second */
    double chance_short[2];  /* of a shortfall that shows, in each */
};

enum bt_input_where { BT_IN_BOTH, BT_IN_FIRST, BT_IN_SECOND };

/* A figure that went in and is not the same. */
struct bt_input_difference {
    enum bt_input_where where;
    bool follows; /* worked out from dates, counts or areas, not stated as a figure */
    const char *label;
    struct bt_node node[2]; /* in the sheet of either budget that has it */
    double value[2][3];     /* low, likely, high, inside units; equal for exact ones */
};

/* A planting that is not the same, or stands in one alone (the other NULL). */
struct bt_planting_difference {
    const struct bt_planting *planting[2];
    double count[2]; /* plants; 0 where they are not counted */
};

struct bt_comparison {
    const struct bt_budget *budget[2];
    size_t n_accounts;
    struct bt_account_difference account[BT_NUTRIENTS];
    size_t n_plantings;
    struct bt_planting_difference *planting;
    size_t n_inputs;
    struct bt_input_difference *input;
};

/* Everything is allocated in `a`, which the caller may release afterwards. False, with
 * messages in `d`, when a worksheet cannot be built. */
bool bt_compare_bed(struct bt_arena *a, struct bt_diag *d, struct bt_shapes *shapes,
                    const struct bt_version version[2], const struct bt_chance_options *o,
                    struct bt_comparison *out);

#endif
