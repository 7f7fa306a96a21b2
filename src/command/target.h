/* Where an answer is to be written, looked at before the work: every command says what is
 * wrong with it in the same words and with the same status, and no file that the answer is
 * made from is ever written over, nor one put where it would be read as such. */
#ifndef BT_COMMAND_TARGET_H
#define BT_COMMAND_TARGET_H

#include "command/command.h"

struct bt_target {
    const char *option; /* "-o", as messages name it */
    const char *path;
    bool folder;      /* a new folder, else a file */
    bool may_replace; /* whether --force is one of the command's options */
};

/* BT_DONE_WELL, or BT_WRONG_USE with a message when `path` is a file of the garden, of the
 * one it is compared with, of their tables or those of --tables, or the plan; bears the
 * name of one in its folder; lies in no folder; or is there already (unless o->force). */
enum bt_status_code bt_target_look(struct bt_arena *a, const struct bt_options *o,
                                   const struct bt_target *t);

/* A message on the command line, at once; BT_WRONG_USE. */
enum bt_status_code bt_refuse(struct bt_arena *a, const char *option, const char *expected,
                              const char *found, const char *hint);

#endif
