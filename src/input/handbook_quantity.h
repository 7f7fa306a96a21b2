/* What the tables of the handbook may hold: their names and columns, and which quantities a
 * row table knows, with the dimension and the basis that each must have. */
#ifndef BT_INPUT_HANDBOOK_QUANTITY_H
#define BT_INPUT_HANDBOOK_QUANTITY_H

#include <stdbool.h>
#include <stddef.h>

#include "base/dim.h"

enum { BT_ROW_TABLES = 8, BT_BOOK_FILES = 11 };
enum { BT_BOOK_SOURCES = BT_ROW_TABLES, BT_BOOK_ALIASES, BT_BOOK_CAUTIONS };

/* Columns, in the order of the lists. */
enum {
    BT_HB_KEY,
    BT_HB_QUANTITY,
    BT_HB_LOW,
    BT_HB_LIKELY,
    BT_HB_HIGH,
    BT_HB_UNIT,
    BT_HB_ENDS,
    BT_HB_BASIS,
    BT_HB_SCOPE,
    BT_HB_PARENT,
    BT_HB_RANK_CORRELATION,
    BT_HB_SOURCE,
    BT_HB_SEEN,
    BT_HB_NOTES,
    BT_HB_COLS
};
enum { BT_SRC_ID, BT_SRC_AUTHORS, BT_SRC_TITLE, BT_SRC_YEAR, BT_SRC_ADDRESS, BT_SRC_COLS };
enum { BT_AL_TABLE, BT_AL_ALIAS, BT_AL_KEY, BT_AL_COLS };
enum {
    BT_CA_TOPIC,
    BT_CA_WHEN,
    BT_CA_RULE,
    BT_CA_NUMBER,
    BT_CA_UNIT,
    BT_CA_JURISDICTION,
    BT_CA_SOURCE,
    BT_CA_SEEN,
    BT_CA_NOTES,
    BT_CA_SCOPE,
    BT_CA_COLS
};

/* A file of tables/: "crops", and the columns it has. The first BT_ROW_TABLES are row
 * tables. */
struct bt_book_layout {
    const char *name;
    size_t n_columns;
    const char *const *column;
    unsigned needed; /* bit i: column i must be there */
};
const struct bt_book_layout *bt_book_layout(size_t file);

enum bt_basis_kind {
    BT_BASIS_NONE,         /* the cell stays empty */
    BT_BASIS_AVAILABILITY, /* of_total, of_organic, mineral, in_crop */
    BT_BASIS_ANALYSIS,     /* dry, as-is */
    BT_BASIS_WORD          /* one of `word`; any key of the table when there are none */
};

struct bt_book_quantity {
    const char *name;
    struct bt_dim dim;
    enum bt_basis_kind basis;
    bool or_number;  /* may also stand without a unit */
    bool difference; /* a difference of temperatures: no zero point */
    const char *const *word;
};

/* The quantity of a row table (0 .. BT_ROW_TABLES - 1), or NULL. */
const struct bt_book_quantity *bt_book_quantity(size_t table, const char *name);
/* Their names, for messages; at most `room`. */
size_t bt_book_quantity_names(size_t table, size_t room, const char **out);
/* A nutrient given as the element (`k_removed`): the oxide's name to write, or NULL. */
const char *bt_book_oxide(const char *quantity);
/* The words that a basis may be, ended by NULL; NULL for none or any. */
const char *const *bt_book_basis_words(const struct bt_book_quantity *q);

#endif
