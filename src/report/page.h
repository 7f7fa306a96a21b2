/* Characters on a page: widths counted in characters, columns, wrapped sentences, bars. */
#ifndef BT_REPORT_PAGE_H
#define BT_REPORT_PAGE_H

#include "report/report.h"

enum { BT_PAGE_WIDTH = 92 }; /* characters */

/* Columns that a text takes on a terminal: combining marks none, wide characters two, our
 * own colour sequences none. */
size_t bt_text_width(const char *text);

/* A name as somebody typed it, made safe for a terminal: control characters and marks that
 * turn the direction of writing become `?`; letters of every script stay. */
const char *bt_text_shown(struct bt_arena *a, const char *text);

/* A word as a shell takes it: shown as above, quoted where it must be. */
const char *bt_shell_word(struct bt_arena *a, const char *text);

/* A table whose columns are as wide as their widest cell. Cells are not copied. */
struct bt_grid {
    struct bt_arena *arena;
    size_t n_columns;
    unsigned right; /* bit k: column k is set to the right */
    size_t n_rows, capacity;
    const char **cell;
};
struct bt_grid bt_grid_new(struct bt_arena *a, size_t n_columns, unsigned right);
/* n_columns texts; NULL is an empty cell. */
void bt_grid_row(struct bt_grid *g, const char *const *cells);
void bt_grid_write(struct bt_out *o, const struct bt_grid *g, size_t indent);
/* Row `row` as one text, set in the grid's columns. */
char *bt_grid_line(const struct bt_grid *g, size_t row, size_t indent);

/* A sentence broken at blanks: the first line begins with `first`, the others with as many
 * blanks. */
void bt_put_wrapped(struct bt_out *o, struct bt_arena *a, const char *first,
                    const char *text);
/* The same as lines. */
size_t bt_wrapped(struct bt_arena *a, const char *first, const char *text,
                  char ***out_lines);

/* A bar `share` of `width` long; and a band over [low, high] with a mark at `likely` on an
 * axis from `axis_low` to `axis_high`. */
char *bt_bar(const struct bt_show *w, double share, size_t width);
struct bt_axis {
    double low;  /* unit-free: in the unit of what is drawn */
    double high; /* unit-free */
};
char *bt_band(const struct bt_show *w, struct bt_axis axis, double low, double likely,
              double high, size_t width);

void bt_put_title(struct bt_out *o, const struct bt_show *w, const char *title);

#endif
