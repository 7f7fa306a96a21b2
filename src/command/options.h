/* Options of the command line: one table says which there are, what they take and what help
 * says about them. All mistakes of a line are reported, not the first alone. */
#ifndef BT_COMMAND_OPTIONS_H
#define BT_COMMAND_OPTIONS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/date.h"
#include "base/diag.h"
#include "base/out.h"

enum bt_option_bit {
    BT_OPT_FROM = 1 << 0,
    BT_OPT_BED = 1 << 1,
    BT_OPT_ALL = 1 << 2,
    BT_OPT_PLAN = 1 << 3,
    BT_OPT_SEASON = 1 << 4,
    BT_OPT_ON = 1 << 5,
    BT_OPT_ENOUGH = 1 << 6,
    BT_OPT_SAMPLES = 1 << 7,
    BT_OPT_SEED = 1 << 8,
    BT_OPT_UNITS = 1 << 9,
    BT_OPT_FORMAT = 1 << 10,
    BT_OPT_TABLES = 1 << 11,
    BT_OPT_THREADS = 1 << 12,
    BT_OPT_HELP = 1 << 13,
    BT_OPT_GARDEN = 1 << 14,
    BT_OPT_SEARCH = 1 << 15,
    BT_OPT_OUT = 1 << 20,
    BT_OPT_FROM_HANDBOOK = 1 << 21,
    BT_OPT_IF = 1 << 22,
    BT_OPT_AS = 1 << 23,
    BT_OPT_FOR = 1 << 24,
    BT_OPT_FORCE = 1 << 25,
    BT_OPT_FIX = 1 << 26,
    BT_OPT_WITH = 1 << 27,
    BT_OPT_AGAINST = 1 << 28,
    BT_OPT_FORMAT_TEXT_JSON = 1 << 29
};

enum bt_format { BT_FORMAT_TEXT, BT_FORMAT_CSV, BT_FORMAT_JSON };

#define BT_MOST_ARGS 40

struct bt_options {
    size_t n_args;
    const char *arg[BT_MOST_ARGS]; /* what is no option, in order */
    const char *from;              /* NULL when not given, as all texts */
    const char *bed;
    bool all;
    const char *plan;
    int season; /* 0: the garden's own */
    struct bt_date on;
    double enough; /* unit-free: 0..1; 0 when not given */
    size_t samples;
    uint64_t seed;
    int units;  /* -1 the garden's own, 0 metric, 1 US */
    int format; /* enum bt_format */
    const char *tables;
    const char *garden; /* folder whose own tables count */
    const char *search;
    const char *out; /* file to be written */
    bool from_handbook;
    const char *changed; /* --if: one thing about a legume that is changed */
    int as;              /* --as: enum bt_doc_format; -1 when not given */
    int reader;          /* --for: funder, file, sign, volunteers; -1 when not given */
    bool force;
    const char *with;       /* --with: parts of a report, parted by commas */
    const char *against;    /* --against: folder of another version of the garden */
    int threads;            /* 0: as many as there are processors */
    const char *fix;        /* folder for a cleaned copy */
    struct bt_fixes *fixes; /* not typed: what `check` gathers for it */
    bool help;
};

struct bt_command;

/* Reads what follows the command's name. False, with messages in `d`, when the line is not
 * right; with --help nothing is missed. Texts stay where argv has them. */
bool bt_options_read(struct bt_arena *a, struct bt_diag *d, const struct bt_command *c,
                     int argc, char **argv, struct bt_options *out);

/* A line each for the options of `bits`. */
void bt_options_help(struct bt_arena *a, struct bt_out *o, unsigned bits);

#endif
