/* What reading made of the files, so that a cleaned copy can be written: the tables as they
 * were laid out, and every text that was taken as another. */
#ifndef BT_INPUT_FIXES_H
#define BT_INPUT_FIXES_H

#include "input/csv.h"

struct bt_fix {
    struct bt_pos at;
    const char *from;
    const char *to; /* NULL: the whole line is left out */
    const char *why;
    bool in_table; /* the table that is kept has it already */
};

struct bt_fixed_file {
    const char *name; /* "beds" */
    struct bt_csv csv;
};

/* A file or a column that nobody reads; `at` without a line is the file. */
struct bt_unread {
    struct bt_pos at;
    const char *name, *hint;
};

/* Zeroed but for the arena, which must outlive the reading, it is empty. The functions take
 * NULL where nobody asked for a cleaned copy. */
struct bt_fixes {
    struct bt_arena *arena;
    size_t n, capacity;
    struct bt_fix *fix;
    size_t n_files, file_capacity;
    struct bt_fixed_file *file;
    size_t n_unread, unread_capacity;
    struct bt_unread *unread;
};

/* A text in a cell that would have been read the same, without a note, as `to`. */
void bt_fixes_add(struct bt_fixes *f, struct bt_pos at, const char *from, const char *to,
                  const char *why);
/* What the layout of a table changed, or (`to` NULL) left out. */
void bt_fixes_add_laid(struct bt_fixes *f, struct bt_pos at, const char *from,
                       const char *to, const char *why);
void bt_fixes_unread(struct bt_fixes *f, struct bt_unread unread);
void bt_fixes_keep(struct bt_fixes *f, const char *name, const struct bt_csv *csv);

/* Puts the changes of cells into the tables that are kept. */
void bt_fixes_apply(struct bt_fixes *f);

#endif
