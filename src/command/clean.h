/* `check --fix`: cleaned copies of a garden's files in a new folder, and a list of every
 * change. */
#ifndef BT_COMMAND_CLEAN_H
#define BT_COMMAND_CLEAN_H

#include "base/diag.h"
#include "command/command.h"
#include "input/fixes.h"

/* Writes the garden folder `from` as it was read into the new folder `out`: each file that
 * was read as UTF-8 with commas, one header and plain numbers and dates, every other CSV
 * file as it is, and CHANGES.txt. `from` is only read. Adds a line to `o`. */
enum bt_status_code bt_clean_write(struct bt_arena *a, struct bt_fixes *fixes,
                                   const struct bt_diag *diag, const char *from,
                                   const char *out, struct bt_out *o);

#endif
