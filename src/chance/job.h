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

struct bt_job {
    const struct bt_budget *budget;
    size_t samples;
    struct bt_sampler sampler;
    struct bt_keeper keeper;
    struct bt_driver_bins bins;
    struct bt_summary_room *room;
    struct bt_worth *worth;
    struct bt_account_job account[BT_NUTRIENTS];
    struct bt_finding finding;
};

/* Fills the measures of an account whose drivers are found. */
void bt_find_gauges(struct bt_job *j, size_t account);

#endif
