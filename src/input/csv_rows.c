/* Records made a table: which sign is the decimal one, which row the header, and all rows
 * as long as it is. */
#include <string.h>

#include "input/csv_rows.h"
#include "input/delimiter.h"
#include "input/number.h"

/* ---- decimal commas ---- */

/* Digits, one sign, digits, and no more signs: `5,00 m`. */
static bool has_decimal(const char *s, char sign)
{
    while (*s && !bt_is_digit(*s))
        s++;
    while (bt_is_digit(*s))
        s++;
    if (*s != sign || !bt_is_digit(s[1]))
        return false;
    for (s++; bt_is_digit(*s);)
        s++;
    return *s != ',' && *s != '.';
}

bool bt_csv_has_decimal_commas(const struct bt_csv *csv)
{
    size_t commas = 0, points = 0;
    if (csv->delimiter == ',')
        return false;
    for (size_t r = 0; r < csv->n_rows; r++)
        for (size_t i = 0; i < csv->row[r].n; i++) {
            commas += has_decimal(csv->row[r].cell[i].text, ',');
            points += has_decimal(csv->row[r].cell[i].text, '.');
        }
    return commas > points;
}

void bt_csv_say_delimiter(struct bt_arena *a, struct bt_diag *d, const struct bt_csv *csv)
{
    if (csv->delimiter == ',')
        return;
    (void)bt_diag_add(
        d, (struct bt_message){
               .weight = BT_NOTE,
               .at = {.file = csv->file, .line = csv->row[0].at.line},
               .field = bt_arena_format(
                   a, "read with %s between the cells%s", bt_delimiter_name(csv->delimiter),
                   csv->decimal_comma ? ", and with decimal commas" : "")
    });
}

/* ---- the header ---- */

/* Something beyond the header would be lost in silence. */
static void refuse_long(struct bt_arena *a, struct bt_diag *d, const struct bt_csv *csv,
                        const struct bt_row_cells *row)
{
    const size_t wanted = csv->header.n;
    for (size_t i = wanted; i < row->n; i++) {
        if (!row->cell[i].text[0])
            continue;
        const char *expected = bt_arena_format(a, "%zu cell%s, as in the header", wanted,
                                               wanted == 1 ? "" : "s");
        const char *hint =
            bt_arena_format(a, "a cell that holds a %s must stand in double quotes",
                            csv->delimiter == ','   ? "comma"
                            : csv->delimiter == ';' ? "semicolon"
                                                    : "tab");
        (void)bt_diag_add(d, (struct bt_message){BT_ERROR, row->cell[i].at, "row", expected,
                                                 row->cell[i].text, hint});
        return;
    }
}

static void fill_up(struct bt_arena *a, struct bt_row_cells *row, size_t wanted)
{
    struct bt_cell *cell = bt_arena_alloc(a, wanted * sizeof *cell);
    memcpy(cell, row->cell, row->n * sizeof *cell);
    for (size_t i = row->n; i < wanted; i++) {
        cell[i] = (struct bt_cell){"", row->end};
        cell[i].at.field = (unsigned)i + 1;
    }
    row->cell = cell;
}

bool bt_csv_set_header(struct bt_arena *a, struct bt_diag *d, struct bt_csv *csv,
                       size_t header)
{
    struct bt_row_cells *head = &csv->header;
    *head = csv->row[header];
    /* Names of trailing columns that have none are no columns. */
    while (head->n > 0 && head->cell[head->n - 1].text[0] == '\0')
        head->n--;
    csv->row += header + 1;
    csv->n_rows -= header + 1;
    if (csv->n_rows > BT_CSV_MOST_CELLS / (head->n + 1))
        return bt_diag_add(d,
                           (struct bt_message){.weight = BT_ERROR,
                                               .at = head->at,
                                               .field = "file",
                                               .expected = "at most 1 million rows and 16 "
                                                           "million cells"});
    for (size_t r = 0; r < csv->n_rows; r++) {
        refuse_long(a, d, csv, &csv->row[r]);
        if (csv->row[r].n < head->n)
            fill_up(a, &csv->row[r], head->n);
        csv->row[r].n = head->n;
    }
    return true;
}
