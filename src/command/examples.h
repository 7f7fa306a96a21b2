/* The worked examples that come with the program. */
#ifndef BT_COMMAND_EXAMPLES_H
#define BT_COMMAND_EXAMPLES_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

/* The folder of examples: BEDTALLY_EXAMPLES when it is set; else, seen from the program
 * itself, the installed ../share/bedtally/examples or the source tree's
 * ../../worked-examples. NULL when there is none. */
char *bt_examples_folder(struct bt_arena *a);

/* Names in a folder, sorted: sub-folders that hold a garden.csv, or files that end in .csv.
 */
size_t bt_examples_list(struct bt_arena *a, const char *folder, char ***out_names);
size_t bt_examples_csv(struct bt_arena *a, const char *folder, char ***out_names);

#endif
