/* Amounts in measures that people own, rounded to what can be measured. */
#ifndef BT_PLAN_ROUND_H
#define BT_PLAN_ROUND_H

#include "plan/candidate.h"

struct bt_measured {
    double mass_g;        /* as rounded, at the likely density */
    double volume_m3;     /* NaN when the density is not known */
    int way;              /* which of the ways to measure it */
    double rounding_frac; /* rounded less asked for, as a share of what was asked for */
    const char *text;     /* "2 1/2 cups (13 oz)" */
    const char *amount;   /* as a cell of a plan file: "13 oz", "94.5 L" */
};

struct bt_rounding {
    const struct bt_garden *garden;
    const struct bt_handbook *handbook;
    bool us_units;
};

/* `asked_g` of a material on one bed (for pots: in all of them), rounded to the nearest
 * that can be measured but not above `most_g` (HUGE_VAL for no end). */
struct bt_measured bt_measure_out(struct bt_arena *a, const struct bt_rounding *r,
                                  const struct bt_candidate *c, double asked_g,
                                  double most_g);
/* The next that can be measured above or below it: `up` one step more, else one step less;
 * in a smaller measure where that is too far from `asked_g`, and itself where no step up is
 * near enough. */
struct bt_measured bt_measure_step(struct bt_arena *a, const struct bt_rounding *r,
                                   const struct bt_candidate *c, double asked_g,
                                   const struct bt_measured *from, bool up);

/* The same amount by area, by length of row, by plant, mound or pot, as far as the bed and
 * the planting it feeds (NULL for the whole bed) have them: "5.1 oz per 100 sq ft; 0.3 oz a
 * plant". A pot's share, too little for a kitchen scale, in spoons or mL as well. */
const char *bt_measure_rates(struct bt_arena *a, const struct bt_rounding *r,
                             const struct bt_candidate *c, const struct bt_bed *bed,
                             const struct bt_planting *planting, double mass_g);
/* "13 oz", "1.4 lb"; "370 g", "1.4 kg". */
const char *bt_weight_text(struct bt_arena *a, bool us_units, double mass_g);
/* What one package holds, as it stands on the bag where that was typed: "16 dry qt". */
const char *bt_package_text(struct bt_arena *a, bool us_units,
                            const struct bt_candidate *c);

#endif
