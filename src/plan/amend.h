/* What to add to a bed, and when, so that its need is covered at every date with the wished
 * chance and nothing is overloaded. A linear program chooses (choose.h), the budget itself
 * says what each gram does, and a root finder makes the plan as large as the full sample
 * asks. */
#ifndef BT_PLAN_AMEND_H
#define BT_PLAN_AMEND_H

#include "chance/chance.h"
#include "plan/candidate.h"
#include "plan/round.h"
#include "plan/when.h"

enum { BT_PLAN_LEVELS = 4 }; /* 50, 80 and 95 %, and the wished one when it is another */

struct bt_amend_options {
    bool from_handbook; /* also materials that stand only in the handbook */
    bool us_units;      /* measures */
    struct bt_chance_options chance;
};

struct bt_addition {
    const struct bt_candidate *material;
    int day;
    const char *stage;                  /* "before planting" */
    const struct bt_planting *planting; /* whom it feeds; NULL for the bed */
    enum bt_placement placement;
    struct bt_measured measured;
    const char *rates;            /* by area, row, plant, mound or pot */
    struct bt_spread n_available; /* g/m2 by the season's end */
    double n_g_m2;                /* in all, likely */
    double p2o5_g_m2;
    double k2o_g_m2;
    double next_n_g_m2; /* for the season after, likely */
    double cost; /* unit-free: money, by the bed's part of a package; NaN: no price */
};

/* A plan for one wished chance. */
struct bt_plan {
    double enough;        /* wished, 0..1 */
    bool feasible;        /* false: the nearest plan */
    bool out_of_reach;    /* no mix within the limits meets it, even before rounding */
    double chance;        /* reached on the dates that can still be helped, 0..1 */
    double chance_error;  /* standard error of it */
    double chance_season; /* that the need is covered on every date of the season, 0..1 */
    size_t n_additions;
    struct bt_addition *addition;
    double cost; /* unit-free: of what has a price */
    size_t n_unpriced;
    double n_g_m2; /* available by the season's end, likely */
    double p2o5_g_m2;
    double k2o_g_m2;
    double next_n_g_m2;
    double surplus_g_m2;   /* mean of what is over at the end */
    double chance_surplus; /* unit-free: that something is over */
    double chance_left_over_limit;
    size_t n_lacking;
    const char *const *lacking; /* needs of phosphate and potash that stay open */
    size_t n_stopped_by;
    const char *const *stopped_by; /* limits that bind, or that fight with the need */
};

struct bt_why_not {
    const struct bt_candidate *material;
    const char *reason; /* NULL: it is chosen */
    double
        p2o5_per_n; /* unit-free: g of P2O5 that come with each gram of available N; NaN */
    double k2o_per_n;     /* unit-free: ... of K2O; where it gives no nitrogen */
    double cost_per_kg_n; /* unit-free: money for a kg of N available here; NaN: no price */
};

struct bt_bed_plan {
    const struct bt_garden *garden;
    const struct bt_bed *bed;
    const char *verdict; /* when there is nothing to plan: "Add nothing: ..." ; else NULL */
    const char *aside;   /* "Stop compost here: ...", or NULL */
    const char *purpose; /* what it is for beside nitrogen, or NULL */
    double chance_without;  /* of the need being covered from `from` on, as things stand */
    int from;               /* first date that an addition can still help */
    double chance_before;   /* that it was covered on every date before that */
    bool too_late;          /* and so the wish holds only from then on */
    bool from_handbook;     /* the handbook's materials were looked at too */
    double guide_rate_g_m2; /* N that guides advise for these crops; 0 where they do not */
    double removed_p2o5_g_m2; /* what the season's harvest takes away, likely; 0 unknown */
    double open_p2o5_g_m2;    /* that a soil test asks for and nothing brings yet */
    bool by_cost;             /* chosen by cost; else by the least P2O5 and K2O too many */
    size_t wished;            /* which of the plans was asked for */
    size_t n_plans;
    struct bt_plan plan[BT_PLAN_LEVELS]; /* by rising chance */
    size_t n_materials;
    const struct bt_why_not *material; /* all candidates; reason NULL for those chosen */
    size_t n_warnings;
    const char *const *warning;
    size_t n_cautions;
    const struct bt_caution *const *caution; /* of what is chosen */
};

struct bt_amend;
/* For a garden: lists its candidates. What is on hand is shared out bed by bed, in the
 * order of the calls. */
struct bt_amend *bt_amend_new(struct bt_arena *a, const struct bt_handbook *h,
                              const struct bt_garden *g, const struct bt_amend_options *o);
size_t bt_amend_candidates(const struct bt_amend *m, const struct bt_candidate **out);

/* The plan of one bed, in `a`. False, with messages in `d`, when its worksheet cannot be
 * built. */
bool bt_amend_bed(struct bt_amend *m, struct bt_arena *a, struct bt_diag *d, size_t bed,
                  struct bt_bed_plan *out);

/* Every bed in the order of beds.csv, or the one with this id (NULL for all). The plan is
 * gone after the call. False when there are errors. */
struct bt_plan_sink {
    void (*bed)(void *context, const struct bt_bed_plan *plan);
    void *context;
};
bool bt_amend_garden(struct bt_amend *m, struct bt_arena *a, struct bt_diag *d,
                     const char *bed, const struct bt_plan_sink *sink);

#endif
