/* What stands between the cells of a file. Internal to the CSV reader. */
#ifndef BT_INPUT_DELIMITER_H
#define BT_INPUT_DELIMITER_H

#include <stddef.h>

struct bt_delimiter {
    char sign;   /* comma, semicolon or tab; with `sep=` also a stroke */
    size_t skip; /* bytes of a first line `sep=;`, its line end included; else 0 */
};

/* By a first line `sep=;`, else by which of comma, semicolon and tab stands most evenly in
 * the first lines; the comma when nothing tells. */
struct bt_delimiter bt_delimiter_of(const char *text, size_t n);

/* "semicolons" */
const char *bt_delimiter_name(char sign);

#endif
