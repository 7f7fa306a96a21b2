/* Private to the amend*.c files: what they share while one bed is planned. */
#ifndef BT_PLAN_AMEND_WORK_H
#define BT_PLAN_AMEND_WORK_H

#include "plan/amend.h"
#include "plan/choose.h"
#include "plan/cover.h"

struct bt_amend {
    const struct bt_handbook *book;
    const struct bt_garden *garden;
    struct bt_amend_options options;
    struct bt_shapes *shapes;
    struct bt_arena *beside; /* what an evaluation needs and nobody keeps */
    size_t n_candidates;
    struct bt_candidate *candidate;
    double *on_hand_g; /* by candidate: what is left; NaN where nothing is said */
};

/* One material at one time. Amounts are in units that bring about 1 g/m2 of the nutrient it
 * is mostly given for, so that all numbers of the program are of one size. */
struct bt_column {
    size_t candidate, slot;
    double unit_g_m2;      /* mass of one unit */
    const double *n_g_m2;  /* by date of the account: N there by then from one unit */
    double available_g_m2; /* ... by the end */
    double p2o5_g_m2;      /* in all */
    double k2o_g_m2;
};

struct bt_work {
    struct bt_amend *m;
    struct bt_arena *arena;
    size_t bed_index;
    const struct bt_bed *bed;
    struct bt_budget base;
    struct bt_cover cover; /* of the base: with what is lacking by date */
    bool often;            /* split further */
    size_t n_slots;
    struct bt_slot *slot;
    size_t n_columns;
    struct bt_column *column;
    const char **bed_no; /* by candidate: why not on this bed, NULL when it may */
    int from;
    bool too_late, by_cost;
    double removed_p2o5_g_m2, removed_k2o_g_m2; /* with the harvest, likely */
    /* P2O5 and K2O: what the soil test leaves open; what a season's plan goes for. */
    double open_g_m2[BT_NUTRIENTS], aim_g_m2[BT_NUTRIENTS];
};

/* ---- amend_unit.c: what one unit does ---- */
/* Fills slots and columns. */
void bt_work_columns(struct bt_work *w);
/* A garden like the run's with the additions of `x` (units by column; NULL for none), as
 * rows of a plan. */
struct bt_garden *bt_work_garden(const struct bt_work *w, struct bt_arena *a,
                                 const double *x);
/* The chance that the need is covered with `x`, from the first of so many parts of the
 * draws. */
struct bt_cover bt_work_cover(const struct bt_work *w, const double *x, size_t part);
/* The chance that counts: of the whole season, or of what can still be helped. */
double bt_work_chance(const struct bt_work *w, const struct bt_cover *c);
const struct bt_candidate *bt_work_candidate(const struct bt_work *w, size_t column);
/* How it is put there: what is dug in on bare ground is watered in, or laid on top, where
 * something stands. */
enum bt_placement bt_work_placement(const struct bt_work *w, size_t column);
/* The line of the budget that this column's addition makes. */
const char *bt_work_subject(const struct bt_work *w, struct bt_arena *a, size_t column);

/* ---- amend_limits.c: rows of the program ---- */
/* The program for needs at the quantile `enough` of what is lacking on each date. */
struct bt_choice_model bt_work_model(const struct bt_work *w, double enough);
/* The same needs, so many of their standard deviations higher: writes them over `row`,
 * which holds m->n_rows rows. */
struct bt_choice_model bt_work_raised(const struct bt_work *w,
                                      const struct bt_choice_model *m,
                                      struct bt_choice_row *row, double more);
/* Fills open_g_m2 and aim_g_m2. The need of a laboratory's own advice is met in full; that
 * of a class of the handbook is held to so many times what the harvest takes away. */
void bt_work_aims(struct bt_work *w);
/* A rate or a depth as the garden's people say it. */
const char *bt_work_rate_text(const struct bt_work *w, double g_m2);
/* Why a material may not go on this bed; NULL when it may. */
const char *bt_work_refusal(const struct bt_work *w, const struct bt_candidate *c);
/* What the garden itself has put, or will put, on this bed: available nitrogen of quick
 * things within a week of a day [g/m2]; compost and manure, or mulch, of this season [m].
 */
double bt_work_dose_there(const struct bt_work *w, int day);
double bt_work_depth_there(const struct bt_work *w, bool is_mulch);
/* P2O5 or K2O of one unit that is available this season, g/m2. */
double bt_work_available(const struct bt_work *w, size_t column, enum bt_nutrient nutrient);
/* True when `x` keeps all hard limits of the model. */
bool bt_work_keeps_limits(const struct bt_choice_model *m, const double *x);
/* True where a test says that no more of a nutrient is needed. */
bool bt_work_is_full(const struct bt_work *w, enum bt_nutrient nutrient);

/* ---- amend_aim.c: which mix ---- */
struct bt_mix {
    const double *x; /* units by column */
    bool met;        /* the wish; else it is the nearest that was found */
    double chance;   /* before amounts are rounded, 0..1 */
    struct bt_choice last;
};
struct bt_mix bt_work_mix(const struct bt_work *w, const struct bt_choice_model *all,
                          double wish);

/* ---- amend_round.c: what can be measured ---- */
struct bt_rounded {
    const double *asked, *x; /* units by column: as worked out, as measured */
    const struct bt_measured *measured;
};
struct bt_rounded bt_work_round(const struct bt_work *w, const struct bt_choice_model *m,
                                const double *asked, double wish);
/* True when a limit leaves no room for the next measure of what the plan has of it. */
bool bt_work_no_step_left(const struct bt_work *w, const struct bt_choice_model *m,
                          size_t row, const struct bt_rounded *r);
/* The model with each column bounded by the most that can be measured within its own
 * limits, and no slivers of them left to others, so that rounding takes nothing off a full
 * dose. */
struct bt_choice_model bt_work_measurable(const struct bt_work *w,
                                          const struct bt_choice_model *m);

/* ---- amend_size.c: how much ---- */
/* The plan of one wished chance. */
struct bt_plan bt_work_plan(const struct bt_work *w, double enough);

/* ---- amend_words.c: reasons ---- */
void bt_work_reasons(const struct bt_work *w, struct bt_bed_plan *out);

#endif
