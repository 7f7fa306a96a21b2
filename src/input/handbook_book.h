/* The handbook inside, and what the readers of its files share. Internal to handbook*.c. */
#ifndef BT_INPUT_HANDBOOK_BOOK_H
#define BT_INPUT_HANDBOOK_BOOK_H

#include "input/csv.h"
#include "input/handbook.h"
#include "input/handbook_names.h"
#include "input/handbook_quantity.h"

struct bt_book_key {
    const char *name; /* as the table spells it */
    const char *tidy; /* by bt_text_key */
    size_t n_rows, capacity;
    size_t *row;    /* places in the table's rows */
    size_t follows; /* its stand-in's place among the keys, or BT_NO_NAME */
};

struct bt_book_alias {
    size_t layer;
    struct bt_pos at;
};

struct bt_book_table {
    const char *name;
    uint64_t checksum;
    size_t n_rows, row_capacity, layer_capacity;
    const struct bt_row **row;
    size_t *layer; /* of each row: 0 built in, 1 and 2 the folders */
    size_t n_keys, key_capacity, name_capacity;
    struct bt_book_key *key;
    const char **key_name;
    struct bt_names exact; /* keys as the table spells them */
    struct bt_names tidy;  /* keys and aliases by bt_text_key */
    struct bt_names alias_place;
    size_t n_aliases, alias_capacity;
    struct bt_book_alias *alias;
};

struct bt_handbook {
    struct bt_arena *arena;
    struct bt_book_table table[BT_ROW_TABLES];
    struct bt_table shown[BT_BOOK_FILES];
    struct bt_names source_place;
    size_t n_sources, source_capacity, source_layer_capacity;
    struct bt_source *source;
    size_t *source_layer;
    size_t n_cautions, caution_capacity, caution_at_capacity;
    struct bt_caution *caution;
    struct bt_pos *caution_at;
};

/* One reading of one layer: the tables built in, or a folder. */
struct bt_book_run {
    struct bt_arena *arena;
    struct bt_diag *diag;
    const struct bt_units *units;
    struct bt_handbook *book;
    size_t layer;               /* 0 built in */
    struct bt_names unit_place; /* units read so far: a few, in thousands of rows */
    size_t n_read_units, unit_capacity;
    struct bt_unit *read_unit;
};

struct bt_book_file {
    size_t which; /* BT_BOOK_SOURCES ... or a row table */
    struct bt_csv csv;
    size_t
        place[BT_HB_COLS]; /* of each column in the header; SIZE_MAX when it is not there */
};

/* Reads the bytes and finds the columns; a message for each that is unknown, double or
 * missing. False when the rows cannot be read. */
bool bt_book_open(struct bt_book_run *run, struct bt_book_file *out, const char *bytes,
                  size_t n, const char *shown_as);
/* The cell of a column; one that is empty where there is no such column. */
struct bt_cell bt_book_cell(const struct bt_book_file *f, size_t row, size_t column);
/* An error at the cell, named by its column. Always false. */
bool bt_book_refuse(struct bt_book_run *run, const struct bt_book_file *f, size_t row,
                    size_t column, struct bt_message m);
/* True when something stands in the cell, else an error that says what is expected. */
bool bt_book_filled(struct bt_book_run *run, const struct bt_book_file *f, size_t row,
                    size_t column, const char *expected);

void bt_book_read_rows(struct bt_book_run *run, const struct bt_book_file *f);
void bt_book_read_sources(struct bt_book_run *run, const struct bt_book_file *f);
void bt_book_read_aliases(struct bt_book_run *run, const struct bt_book_file *f);
void bt_book_read_cautions(struct bt_book_run *run, const struct bt_book_file *f);

/* The mark and the source of a row; errors when empty or unknown. */
bool bt_book_read_seen(struct bt_book_run *run, const struct bt_book_file *f, size_t row,
                       size_t column, enum bt_seen *out);
bool bt_book_read_source(struct bt_book_run *run, const struct bt_book_file *f, size_t row,
                         size_t column, const char **out);

/* The table of rows called so; NULL for none. */
const struct bt_book_table *bt_book_table(const struct bt_handbook *h, const char *name);
/* Place of the key that somebody's spelling means, BT_NO_NAME for none. `scratch` is left
 * as it was. */
size_t bt_book_find_key(struct bt_arena *scratch, const struct bt_book_table *t,
                        const char *written);
/* Place of the key's row for a quantity, BT_NO_NAME for none. */
size_t bt_book_find_row(const struct bt_book_table *t, size_t key, const char *quantity);

/* Binds stand-ins and parents once all rows are there; errors for those that do not exist
 * or go in a ring. */
void bt_book_link(struct bt_book_run *run);

/* `one, two or three` of a list ended by NULL. */
const char *bt_book_listed(struct bt_arena *a, const char *const *word);

#endif
