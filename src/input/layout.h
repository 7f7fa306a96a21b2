/* A file as people keep it, made the table it stands for: title lines above the header and
 * notes below it taken off, a line of units joined to the names, totals and repeated
 * headers left out, merged cells filled down. Everything that is done is said. */
#ifndef BT_INPUT_LAYOUT_H
#define BT_INPUT_LAYOUT_H

#include "input/csv.h"
#include "input/fixes.h"
#include "input/heading.h"

struct bt_layout {
    struct bt_known_file file;
    const struct bt_units *units;
    struct bt_fixes *fixes; /* NULL when nobody asks for a cleaned copy */
};

/* Reads the file at `path`; afterwards out->header has the names of the known columns as
 * they are spelled here, with their units in brackets. False, with a message, when it
 * cannot be read. */
bool bt_layout_read(struct bt_arena *a, struct bt_diag *d, const struct bt_layout *how,
                    const char *path, struct bt_csv *out);
/* The same of records that are there already. */
bool bt_layout_apply(struct bt_arena *a, struct bt_diag *d, const struct bt_layout *how,
                     struct bt_csv *csv);

/* --- between layout.c and the other files of that name --- */

struct bt_laying {
    struct bt_arena *arena;
    struct bt_diag *diag;
    const struct bt_layout *how;
    struct bt_csv *csv;
    struct bt_heading *heading; /* of each header cell */
};

/* A note or warning on a row that is not one of the table; leaves its removal to others. */
void bt_laying_leave_out(struct bt_laying *l, enum bt_weight weight,
                         const struct bt_row_cells *row, const char *what);
/* A cell taken as another. */
void bt_laying_change(struct bt_laying *l, enum bt_weight weight, struct bt_cell *cell,
                      const char *to, const char *what);
/* The place of a known column in the header, by its name; -1 when it is not there. */
int bt_laying_place(const struct bt_laying *l, const char *column);

/* layout_rows.c: units under the header, totals, headers again, notes below. */
void bt_laying_take_units(struct bt_laying *l);
void bt_laying_drop_rows(struct bt_laying *l);
void bt_laying_say_twins(struct bt_laying *l);
/* layout_columns.c: names, units in a column of their own, cells merged downwards. */
void bt_laying_read_headings(struct bt_laying *l);
void bt_laying_name_columns(struct bt_laying *l);
void bt_laying_join_columns(struct bt_laying *l);
void bt_laying_fill_down(struct bt_laying *l);
/* layout_money.c: do amount, unit cost and total agree? */
void bt_laying_check_money(struct bt_laying *l);

#endif
