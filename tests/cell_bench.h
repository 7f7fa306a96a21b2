/* What the tests of cells stand on: a reader with the embedded units, a cell at a known
 * place, and the messages as text. */
#ifndef BT_TESTS_CELL_BENCH_H
#define BT_TESTS_CELL_BENCH_H

#include <stdio.h>
#include <string.h>

#include "check.h"
#include "input/handbook.h"
#include "input/quantity.h"

#define LENGTH_UNITS "ft, in, yd, m, cm, mm"
/* clang-format off */
#define WRITE_UNIT        "write the unit in the cell, or in the header as in \"length (ft)\""
#define FORMULA           "a formula that was not worked out; save the sheet with its values"
#define SHEET_ERROR       "an error of the spreadsheet; correct the cell there, or leave it blank when it is not known"
#define MADE_A_DATE(what) "a spreadsheet seems to have made a date of this; it was probably " what \
                          ": set the cell to text and type it again"
/* clang-format on */

struct bench {
    struct bt_arena *arena;
    struct bt_diag *diag;
    struct bt_units *units;
    struct bt_reader reader;
};

static inline int open_bench(void **state)
{
    struct bt_arena *a = bt_arena_new(1 << 16, NULL, NULL);
    struct bench *b = bt_arena_zero(a, sizeof *b);
    size_t n = 0;
    const char *table = bt_embedded_table("units", &n);
    b->arena = a;
    b->diag = bt_diag_new(a);
    b->units = bt_units_new(a, b->diag, table, n);
    *state = b;
    return b->units ? 0 : -1;
}

static inline int close_bench(void **state)
{
    struct bench *b = *state;
    bt_units_free(b->units);
    bt_arena_free(b->arena);
    return 0;
}

/* A reader with no messages and no dates seen yet. */
static inline struct bt_reader *fresh(struct bench *b)
{
    b->diag = bt_diag_new(b->arena);
    b->reader = (struct bt_reader){.arena = b->arena, .diag = b->diag, .units = b->units};
    return &b->reader;
}

static inline struct bt_cell cell_of(const char *text)
{
    return (struct bt_cell){
        text, {"t.csv", 3, 5, 3, 2}
    };
}

static inline const char *messages(const struct bench *b)
{
    const char *s = "";
    for (size_t i = 0; i < bt_diag_kept(b->diag); i++)
        s = bt_arena_format(b->arena, "%s%s\n", s,
                            bt_message_text(b->arena, bt_diag_get(b->diag, i)));
    return s;
}

static inline const char *error_text(const struct bench *b, const char *column,
                                     const char *expected, const char *found,
                                     const char *hint)
{
    return bt_arena_format(
        b->arena, "t.csv:3:5: error: %s: expected %s, found \"%s\" (row 3, column B)%s%s\n",
        column, expected, found, hint ? "\n  hint: " : "", hint ? hint : "");
}

static inline const char *note_text(const struct bench *b, const char *column,
                                    const char *found, const char *what)
{
    return what ? bt_arena_format(
                      b->arena,
                      "t.csv:3:5: note: %s: found \"%s\" (row 3, column B)\n  hint: %s\n",
                      column, found, what)
                : "";
}

#endif
