/* One cell of a garden file or table read as a quantity, a date, a count or a list. The
 * only place where text becomes a number. */
#ifndef BT_INPUT_QUANTITY_H
#define BT_INPUT_QUANTITY_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/date.h"
#include "base/diag.h"
#include "base/dim.h"
#include "input/csv.h"
#include "input/fixes.h"
#include "input/units.h"
#include "shape/range.h"

enum bt_presence {
    BT_BLANK,        /* not known: the handbook's range, listed as assumed */
    BT_NONE,         /* `none`: there is none */
    BT_NOT_RECORDED, /* `not recorded`: there was some */
    BT_GIVEN
};

enum bt_bound { BT_EXACTLY, BT_ABOVE, BT_BELOW, BT_NOT_DETECTED };

struct bt_quantity {
    enum bt_presence presence;
    enum bt_bound bound;
    struct bt_range range; /* inside units: g, m, d */
    struct bt_unit
        unit; /* as typed; dim BT_FRACTION and text "" for a bare number or a share */
    const char *word;    /* a word where words are allowed: `poor`, `VH`, `1 bag` has none;
                            else NULL */
    struct bt_cell cell; /* where it stands and as written */
};

/* What a column accepts. */
struct bt_accept {
    const char *column; /* for messages */
    size_t n_dims;
    struct bt_dim
        dims[6]; /* dimensions that a unit may have; none: a bare number is a count */
    const char *header_unit; /* the unit in the header, `length (ft)`, or NULL */
    bool bare_percent;       /* a bare number counts as percent (columns typed in %) */
    bool bare_number;        /* a bare number is right (counts, pH) */
    double lowest, highest;  /* inside units; -+HUGE_VAL for none */
    size_t n_words;          /* words allowed instead of a number */
    const char *const *words;
    size_t n_measures; /* measures allowed as units */
    const char *const *measures;
};

struct bt_reader {
    struct bt_arena *arena;
    struct bt_diag *diag;
    const struct bt_units *units;
    bool month_first; /* 5/6/2025 is 6 May */
    /* Set by the first ambiguous date of a file; a later date that contradicts is an error.
     */
    int saw_month_first, saw_day_first;
    bool order_unknown;      /* 5/6/2025 is refused; */
    bool order_excused;      /* without a message: what the order hangs on has one */
    bool date_missed;        /* out: a date stood there and could not be read */
    struct bt_cell by_order; /* out: the first date that was read by month_first */
    int by_order_day;
    bool decimal_comma;     /* numbers of this file have one */
    struct bt_fixes *fixes; /* gets what cells would be written as; may be NULL */
};

/* Numbers `1 1/2`, `.09`, ranges `2..4 lb`, `2..3..4`, `2 to 4`, `2-4`, bounds `>100`,
 * `<1`, `ND`, feet and inches `4'6"`. A bare number where a unit is needed is an error
 * naming the units. A cell that a spreadsheet turned into a date is recognised and said so.
 * False: an error was added; out is then BT_BLANK. A blank cell is true and BT_BLANK. */
bool bt_read_quantity(struct bt_reader *r, const struct bt_cell *cell,
                      const struct bt_accept *accept, struct bt_quantity *out);

/* `40`, `8 mounds x 5`, `2 rows x 12`: out_groups 8 (1 when not said), out_each 5, group
 * word or NULL. */
struct bt_count {
    enum bt_presence presence;
    double groups, each;
    const char *group; /* "mound", "pot", "row" or NULL */
    struct bt_cell cell;
};
bool bt_read_count(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                   struct bt_count *out);

/* `2 x 20 ft` of row: total length in m. */
struct bt_rows {
    enum bt_presence presence;
    double rows;
    double length_m; /* of one row */
    struct bt_cell cell;
};
bool bt_read_rows(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                  struct bt_rows *out);

/* ISO `2026-06-12`, `6/12/2026` by r->month_first, `2021`, `spring 2022`, `May 2024`, `12
 * June 2026`. */
bool bt_read_date(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                  struct bt_date *out);
/* `2019..2024`: each year. Also any single date. */
bool bt_read_dates(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                   size_t *out_n, struct bt_date **out);

/* A layer `0-6 in`, `6 in`, `0..30 cm`: top and bottom in m. */
struct bt_layer {
    enum bt_presence presence;
    double top_m, bottom_m;
    struct bt_cell cell;
};
bool bt_read_layer(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                   struct bt_layer *out);
/* The same in a column whose header has the unit, `depth (in)`; NULL for none. */
bool bt_read_layer_in(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                      const char *header_unit, struct bt_layer *out);

/* One of the given words, by its place; an unknown one is an error that lists them. -1
 * blank. */
bool bt_read_word(struct bt_reader *r, const struct bt_cell *cell, const char *column,
                  size_t n, const char *const *words, int *out);

#endif
