#include "input/layout.h"

#include <string.h>

#include "base/text.h"
#include "input/csv_bytes.h"

#define HEADER_WITHIN ((size_t)40) /* rows in which a header is looked for */
#define MOST_SHOWN    60           /* bytes of a row that a message shows */

/* The first figures of a row in one line, for messages. */
static const char *row_text(struct bt_laying *l, const struct bt_row_cells *row)
{
    const char *s = "";
    for (size_t i = 0; i < row->n && strlen(s) < MOST_SHOWN; i++)
        if (*row->cell[i].text)
            s = bt_arena_format(l->arena, "%s%s%s", s, *s ? ", " : "", row->cell[i].text);
    size_t n = strlen(s);
    if (n <= MOST_SHOWN)
        return s;
    for (n = MOST_SHOWN; ((unsigned char)s[n] & 0xC0U) == 0x80U;)
        n--;
    return bt_arena_format(l->arena, "%.*s...", (int)n, s);
}

void bt_laying_leave_out(struct bt_laying *l, enum bt_weight weight,
                         const struct bt_row_cells *row, const char *what)
{
    const char *text = row_text(l, row);
    (void)bt_diag_add(l->diag, (struct bt_message){.weight = weight,
                                                   .at = row->at,
                                                   .field = bt_arena_format(
                                                       l->arena, "%s: %s", what, text)});
    bt_fixes_add_laid(l->how->fixes, row->at, text, NULL, what);
}

void bt_laying_change(struct bt_laying *l, enum bt_weight weight, struct bt_cell *cell,
                      const char *to, const char *what)
{
    (void)bt_diag_add(l->diag, (struct bt_message){weight, cell->at, what, NULL,
                                                   *cell->text ? cell->text : NULL, NULL});
    bt_fixes_add_laid(l->how->fixes, cell->at, cell->text, to, what);
    cell->text = to;
}

int bt_laying_place(const struct bt_laying *l, const char *column)
{
    for (size_t i = 0; i < l->csv->header.n; i++) {
        const int c = l->heading[i].column;
        if (c >= 0 && strcmp(l->how->file.column[c], column) == 0)
            return (int)i;
    }
    return -1;
}

/* ---- the header ---- */

/* How many of the row's cells name a column. */
static size_t names_in(struct bt_laying *l, const struct bt_row_cells *row)
{
    size_t n = 0;
    for (size_t i = 0; i < row->n; i++) {
        struct bt_heading h;
        const struct bt_mark mark = bt_arena_mark(l->arena);
        bt_heading_read(l->arena, &l->how->file, l->how->units, row->cell[i].text, &h);
        n += h.column >= 0;
        bt_arena_release(l->arena, mark);
    }
    return n;
}

/* The row with the most names, the first of equals; a later one than the first needs two,
 * for a name alone may be a title. */
static size_t header_row(struct bt_laying *l)
{
    size_t best = 0;
    size_t most = names_in(l, &l->csv->row[0]);
    if (most > 1)
        return 0;
    for (size_t r = 1; r < l->csv->n_rows && r < HEADER_WITHIN; r++) {
        const size_t n = names_in(l, &l->csv->row[r]);
        if (n > most && n >= 2) {
            best = r;
            most = n;
        }
    }
    return best;
}

static bool lay_out(struct bt_laying *l)
{
    const size_t header = header_row(l);
    for (size_t r = 0; r < header; r++)
        bt_laying_leave_out(l, BT_NOTE, &l->csv->row[r],
                            "a line above the header, not read");
    if (!bt_csv_set_header(l->arena, l->diag, l->csv, header))
        return false;
    bt_laying_read_headings(l);
    bt_laying_take_units(l);
    bt_laying_drop_rows(l);
    bt_laying_check_money(l);
    bt_laying_join_columns(l);
    bt_laying_name_columns(l);
    bt_laying_fill_down(l);
    bt_laying_say_twins(l);
    bt_fixes_keep(l->how->fixes, l->how->file.name, l->csv);
    return true;
}

bool bt_layout_apply(struct bt_arena *a, struct bt_diag *d, const struct bt_layout *how,
                     struct bt_csv *csv)
{
    struct bt_laying l = {.arena = a, .diag = d, .how = how, .csv = csv};
    return lay_out(&l);
}

bool bt_layout_read(struct bt_arena *a, struct bt_diag *d, const struct bt_layout *how,
                    const char *path, struct bt_csv *out)
{
    const char *bytes = NULL;
    size_t n = 0;
    *out = (struct bt_csv){.file = path};
    return bt_bytes_read(a, d, path, path, &bytes, &n) &&
           bt_csv_records(a, d, bytes, n, path, out) && bt_layout_apply(a, d, how, out);
}
