/* CSV by RFC 4180 on libcsv, with the position of every field. First the bytes are decoded,
 * then the delimiter is found, then they are parsed. After a broken record reading goes on
 * at the next physical line; what was lost is reported, never dropped in silence. */
#ifndef BT_INPUT_CSV_H
#define BT_INPUT_CSV_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/diag.h"

#define BT_CSV_MOST_CELLS ((size_t)16000000)

struct bt_cell {
    const char *text; /* never NULL; "" when empty; outer blanks gone */
    struct bt_pos at;
};

struct bt_row_cells {
    size_t n;
    struct bt_cell *cell;
    struct bt_pos at;  /* of the record's first character */
    struct bt_pos end; /* of its line end */
};

struct bt_csv {
    const char *file;
    struct bt_row_cells header;
    size_t n_rows;
    struct bt_row_cells *row;
    char delimiter;               /* comma, semicolon or tab; what a line `sep=` names */
    bool decimal_comma;           /* not a comma between the cells, but inside numbers */
    size_t n_lost, lost_capacity; /* lines that could not be read, each with its error */
    struct bt_lost_line {
        unsigned line;
        const char *text;
    } * lost;
};

/* Reads a whole file (64 MB, 1 million rows, 1,000 bytes a cell at most). `shown_as` is the
 * name in messages. The first row that is not empty is the header. False, with a message,
 * when the file cannot be read at all; broken records alone do not make it false, but each
 * has its error. Rows with nothing in them are left out. An encoding other than UTF-8 and a
 * delimiter other than the comma are noted. */
bool bt_csv_read_file(struct bt_arena *a, struct bt_diag *d, const char *path,
                      const char *shown_as, struct bt_csv *out);
/* The same from memory (embedded tables, tests). */
bool bt_csv_read_bytes(struct bt_arena *a, struct bt_diag *d, const char *bytes, size_t n,
                       const char *shown_as, struct bt_csv *out);

/* The same in two steps, for whoever looks for the header further down: all records as they
 * are, each of its own length, in out->row (out->header is empty) ... */
bool bt_csv_records(struct bt_arena *a, struct bt_diag *d, const char *bytes, size_t n,
                    const char *shown_as, struct bt_csv *out);
/* ... and row `header` made the header, the rows before it forgotten, those behind it made
 * as long as it is: filled up with empty cells, or cut where nothing stands. False, with a
 * message, when that makes too many cells. */
bool bt_csv_set_header(struct bt_arena *a, struct bt_diag *d, struct bt_csv *csv,
                       size_t header);

#endif
