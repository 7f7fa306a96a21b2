/* CSV by RFC 4180 on libcsv, with the position of every field. After a broken record
 * reading goes on at the next physical line; what was lost is reported, never dropped in
 * silence. */
#ifndef BT_INPUT_CSV_H
#define BT_INPUT_CSV_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/diag.h"

struct bt_cell {
    const char *text; /* never NULL; "" when empty; outer blanks gone */
    struct bt_pos at;
};

struct bt_row_cells {
    size_t n;
    struct bt_cell *cell;
    struct bt_pos at; /* of the record's first character */
};

struct bt_csv {
    const char *file;
    struct bt_row_cells header;
    size_t n_rows;
    struct bt_row_cells *row;
};

/* Reads a whole file (64 MB, 1 million rows, 1,000 bytes a cell at most). `shown_as` is the
 * name in messages. False, with a message, when the file cannot be read at all; broken
 * records alone do not make it false, but each has its error. Rows with nothing in them are
 * left out. */
bool bt_csv_read_file(struct bt_arena *a, struct bt_diag *d, const char *path,
                      const char *shown_as, struct bt_csv *out);
/* The same from memory (embedded tables, tests). */
bool bt_csv_read_bytes(struct bt_arena *a, struct bt_diag *d, const char *bytes, size_t n,
                       const char *shown_as, struct bt_csv *out);

#endif
