/* What the front doors share: exit statuses, a command's entry in the table of commands,
 * and the commands themselves. Each command is thin: options -> run -> a writer of the
 * report room. */
#ifndef BT_COMMAND_COMMAND_H
#define BT_COMMAND_COMMAND_H

#include "base/arena.h"
#include "command/options.h"

enum bt_status_code {
    BT_DONE_WELL = 0,
    BT_DATA_HAS_PROBLEMS = 1, /* all of them listed on stderr */
    BT_WRONG_USE = 2,
    BT_MACHINE_FAILED = 3 /* no memory, disk full */
};

/* One row of the table of commands: dispatch and help are made from it. */
struct bt_command {
    const char *name;
    const char *args;    /* "DIR BED [LINE]" */
    const char *summary; /* one line, for the list */
    const char *about;   /* a paragraph, for its own page */
    const char *example; /* a line to try, and what it does */
    unsigned options;    /* enum bt_option_bit, or-ed */
    size_t least_args;
    size_t most_args;
    /* Returns the exit status. `a` is freed by the caller. */
    enum bt_status_code (*run)(struct bt_arena *a, const struct bt_options *o);
};

enum bt_status_code bt_command_new(struct bt_arena *a, const struct bt_options *o);
enum bt_status_code bt_command_check(struct bt_arena *a, const struct bt_options *o);
enum bt_status_code bt_command_budget(struct bt_arena *a, const struct bt_options *o);
enum bt_status_code bt_command_legumes(struct bt_arena *a, const struct bt_options *o);
enum bt_status_code bt_command_compare(struct bt_arena *a, const struct bt_options *o);
enum bt_status_code bt_command_why(struct bt_arena *a, const struct bt_options *o);
/* With --help and a name it shows that sum's own page. */
enum bt_status_code bt_command_sum(struct bt_arena *a, const struct bt_options *o);
enum bt_status_code bt_command_amend(struct bt_arena *a, const struct bt_options *o);
enum bt_status_code bt_command_report(struct bt_arena *a, const struct bt_options *o);
enum bt_status_code bt_command_handbook(struct bt_arena *a, const struct bt_options *o);

#endif
