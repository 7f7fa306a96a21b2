/* What each column and setting of the garden files holds, in a line, for the README.txt of
 * a new folder. Which columns there are, and which words they take, the input room says. */
#ifndef BT_COMMAND_COLUMNS_H
#define BT_COMMAND_COLUMNS_H

#include "base/out.h"
#include "input/handbook.h"

/* The files of a garden in the order in which they are read, names without .csv; NULL at
 * the end. */
extern const char *const bt_column_files[];
const char *bt_column_file_meaning(const char *file);
/* A sentence, or NULL when the column is not described. A setting is a column of
 * "settings". */
const char *bt_column_meaning(const char *file, const char *column);

/* The README.txt of a garden folder. `handbook` gives the names that may be typed. */
void bt_columns_readme(struct bt_out *o, const struct bt_handbook *handbook);

#endif
