/* One file of tables/: its bytes, its header, its cells. */
#include "input/handbook_book.h"

#include <string.h>

#include "base/text.h"

static size_t column_of(const struct bt_book_layout *layout, const char *name)
{
    for (size_t i = 0; i < layout->n_columns; i++)
        if (strcmp(layout->column[i], name) == 0)
            return i;
    return SIZE_MAX;
}

static void find_column(struct bt_book_run *run, struct bt_book_file *f, size_t place)
{
    const struct bt_book_layout *layout = bt_book_layout(f->which);
    const struct bt_cell *cell = &f->csv.header.cell[place];
    const size_t column = column_of(layout, cell->text);
    struct bt_message m = {
        .weight = BT_ERROR, .at = cell->at, .field = "header", .found = cell->text};
    if (column == SIZE_MAX) {
        m.expected = bt_arena_format(run->arena, "a column of %s.csv", layout->name);
        m.hint = bt_text_nearest(run->arena, cell->text, layout->n_columns, layout->column);
        bt_diag_add(run->diag, m);
    } else if (f->place[column] != SIZE_MAX) {
        m.expected = "each column once";
        bt_diag_add(run->diag, m);
    } else {
        f->place[column] = place;
    }
}

bool bt_book_open(struct bt_book_run *run, struct bt_book_file *out, const char *bytes,
                  size_t n, const char *shown_as)
{
    const struct bt_book_layout *layout = bt_book_layout(out->which);
    if (!bt_csv_read_bytes(run->arena, run->diag, bytes, n, shown_as, &out->csv))
        return false;
    for (size_t i = 0; i < BT_HB_COLS; i++)
        out->place[i] = SIZE_MAX;
    for (size_t i = 0; i < out->csv.header.n; i++)
        find_column(run, out, i);
    bool ok = true;
    for (size_t i = 0; i < layout->n_columns; i++)
        if ((layout->needed >> i & 1U) && out->place[i] == SIZE_MAX)
            ok = bt_diag_add(
                run->diag,
                (struct bt_message){.weight = BT_ERROR,
                                    .at = out->csv.header.at,
                                    .field = "header",
                                    .expected = bt_arena_format(
                                        run->arena, "a column \"%s\"", layout->column[i])});
    return ok;
}

struct bt_cell bt_book_cell(const struct bt_book_file *f, size_t row, size_t column)
{
    const struct bt_row_cells *r = &f->csv.row[row];
    const size_t place = f->place[column];
    return place < r->n ? r->cell[place] : (struct bt_cell){"", r->at};
}

bool bt_book_refuse(struct bt_book_run *run, const struct bt_book_file *f, size_t row,
                    size_t column, struct bt_message m)
{
    const struct bt_cell cell = bt_book_cell(f, row, column);
    m.at = cell.at;
    m.field = bt_book_layout(f->which)->column[column];
    if (!m.found && *cell.text)
        m.found = cell.text;
    return bt_diag_add(run->diag, m);
}

bool bt_book_filled(struct bt_book_run *run, const struct bt_book_file *f, size_t row,
                    size_t column, const char *expected)
{
    return *bt_book_cell(f, row, column).text ||
           bt_book_refuse(run, f, row, column, (struct bt_message){.expected = expected});
}

const char *bt_book_listed(struct bt_arena *a, const char *const *word)
{
    const char *list = "";
    for (size_t i = 0; word[i]; i++)
        list = bt_arena_format(a, "%s%s%s", list,
                               i == 0        ? ""
                               : word[i + 1] ? ", "
                                             : " or ",
                               word[i]);
    return list;
}
