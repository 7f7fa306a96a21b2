/* Inside this room: what a job holds, for those who run it and those who add jobs up. */
#ifndef BT_CHANCE_JOB_H
#define BT_CHANCE_JOB_H

#include "chance/chance.h"
#include "chance/course.h"
#include "chance/drivers.h"
#include "chance/keeper.h"
#include "chance/worth.h"

struct bt_account_job {
    bool is_drawn; /* need known and at least one date */
    struct bt_course course;
    struct bt_driver_sums drivers;
    double *tightest; /* all samples */
    size_t n_short, n_visibly_short, n_left_over_limit;
    bool needs_nothing; /* in every draw: then nothing can be short */
    const double *required,
        *left; /* the program's columns; left NULL where there is none */
};

/* What only one running job needs at a time. */
struct bt_workspace {
    size_t values, leaves, samples; /* how much fits */
    double
        *columns; /* whole: what is summarised, and the tightest balance of each account */
    uint8_t (*bin)[BT_BLOCK];
    struct bt_summary_room *room;
    struct bt_worth *worth;
};

struct bt_job {
    struct bt_arena *arena;
    const struct bt_budget *budget;
    size_t samples;
    struct bt_sampler sampler;
    struct bt_keeper keeper;
    struct bt_driver_bins bins;
    struct bt_workspace *at; /* while it runs */
    struct bt_account_job account[BT_NUTRIENTS];
    struct bt_finding finding;
};

/* Fills the measures of an account whose drivers are found. */
void bt_find_gauges(struct bt_job *j, size_t account);

#endif
