/* What the commands about a garden have in common: opening the run and the page, and
 * closing both; and how any command asks for memory and hands its answer over. */
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

/* Says that there is no memory and ends the program with BT_MACHINE_FAILED. */
void bt_front_no_memory(void *context);
/* Makes the libraries below do the same, once, before anything else (memory.c). */
void bt_front_mind_memory(void);

/* Opens the garden of o->arg[0]. `bed` names a bed that must be there, or is NULL. Whatever
 * comes back, bt_front_close must follow; a garden with problems may still be there to be
 * shown (f->run.garden, else NULL). */
enum bt_status_code bt_front_open(struct bt_arena *a, const struct bt_options *o,
                                  const char *bed, struct bt_front *f);
/* Prints the messages of weight `least` and heavier, asks whether the answer arrived,
 * closes. Takes how it went so far and returns the exit status. */
enum bt_status_code bt_front_close(struct bt_front *f, enum bt_status_code status,
                                   enum bt_weight least);

/* Says that the garden has no such bed, and which come near. */
void bt_front_no_bed(struct bt_arena *a, struct bt_diag *d, const struct bt_garden *g,
                     const char *bed);

/* Colour is for people alone: standard output is a terminal that has it, and NO_COLOR is
 * not set. */
bool bt_front_colour(void);

/* Asks whether what was written to standard output arrived, and says when not. */
enum bt_status_code bt_front_written(struct bt_out *o);

#endif
