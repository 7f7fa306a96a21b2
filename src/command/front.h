/* What check, budget and why have in common: opening the run and the page, and closing
 * both. */
#ifndef BT_COMMAND_FRONT_H
#define BT_COMMAND_FRONT_H

#include "base/out.h"
#include "command/command.h"
#include "report/report.h"
#include "run.h"

struct bt_front {
    struct bt_run_options options;
    struct bt_run run;
    struct bt_arena *page; /* texts on their way out; released after each bed */
    struct bt_arena *kept; /* what is shown only at the end */
    struct bt_show show;
    struct bt_out out; /* standard output */
};

/* The program's arena; its handler says so and ends the program with BT_MACHINE_FAILED. */
struct bt_arena *bt_front_arena(size_t chunk_size);

/* Opens the garden of o->arg[0]. On any other status than BT_DONE_WELL everything was said
 * and closed. `bed` names a bed that must be there, or is NULL. */
enum bt_status_code bt_front_open(struct bt_arena *a, const struct bt_options *o,
                                  const char *bed, struct bt_front *f);
/* Prints the messages of weight `least` and heavier, asks whether the answer arrived,
 * closes. */
enum bt_status_code bt_front_close(struct bt_front *f, bool ok, enum bt_weight least);

/* Asks whether what was written to standard output arrived, and says when not. */
enum bt_status_code bt_front_written(struct bt_out *o);

#endif
