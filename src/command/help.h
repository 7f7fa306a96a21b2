/* The pages that --help prints, made from the table of commands. */
#ifndef BT_COMMAND_HELP_H
#define BT_COMMAND_HELP_H

#include "base/out.h"
#include "command/command.h"

void bt_help_program(struct bt_out *o, size_t n, const struct bt_command *commands);
void bt_help_command(struct bt_arena *a, struct bt_out *o, const struct bt_command *c);

#endif
