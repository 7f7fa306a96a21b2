/* Amount, money for one and money in all side by side: two of them make the third. */
#include <math.h>
#include <string.h>

#include "base/figures.h"
#include "base/text.h"
#include "input/cell_read.h"
#include "input/layout.h"

#define AGREE 0.005 /* of the product: rounding in the cells */
#define CENT  0.01

/* The figure of a cell, whatever money or unit stands beside it. */
static bool figure(const struct bt_laying *l, const struct bt_cell *cell, double *out)
{
    struct bt_reader r = {.arena = l->arena,
                          .diag = bt_diag_new(l->arena),
                          .units = l->how->units,
                          .decimal_comma = l->csv->decimal_comma};
    const char *s = *cell->text == '=' ? NULL : bt_cell_plain(&r, cell, "");
    enum bt_number_fault fault;
    if (!s || !*s)
        return false;
    const bool owed = *s == '(' || *s == '-';
    s += strcspn(s, "0123456789.");
    if (!bt_number(&s, out, &fault) || strpbrk(s, "0123456789"))
        return false;
    *out = owed ? -*out : *out;
    return true;
}

static int spelled(const struct bt_laying *l, const char *name)
{
    for (size_t i = 0; i < l->csv->header.n; i++)
        if (strcmp(bt_text_key(l->arena, l->csv->header.cell[i].text), name) == 0)
            return (int)i;
    return -1;
}

static void check(struct bt_laying *l, size_t amount, size_t each, size_t total)
{
    for (size_t r = 0; r < l->csv->n_rows; r++) {
        const struct bt_cell *cell = l->csv->row[r].cell;
        double n, one, all;
        if (!figure(l, &cell[amount], &n) || !figure(l, &cell[each], &one) ||
            !figure(l, &cell[total], &all))
            continue;
        if (fabs(fabs(n * one) - fabs(all)) <= AGREE * fabs(all) + CENT)
            continue;
        (void)bt_diag_add(
            l->diag,
            (struct bt_message){BT_WARNING, cell[total].at, l->csv->header.cell[total].text,
                                bt_arena_format(l->arena, "%s x %s = %s",
                                                bt_figures_short(l->arena, n, 10),
                                                bt_figures_short(l->arena, one, 10),
                                                bt_figures_short(l->arena, n * one, 10)),
                                cell[total].text, "one of the three is a slip"});
    }
}

static void free_column(struct bt_laying *l, size_t place, const char *name)
{
    bt_laying_change(l, BT_NOTE, &l->csv->header.cell[place], name,
                     "this column serves to check the others and is not read");
    l->heading[place].column = -1;
}

void bt_laying_check_money(struct bt_laying *l)
{
    const bool bought = strcmp(l->how->file.name, "purchases") == 0;
    const bool kept = strcmp(l->how->file.name, "materials") == 0;
    if (!bought && !kept)
        return;
    const int amount = bt_laying_place(l, bought ? "amount" : "on_hand");
    const int each =
        spelled(l, "unit cost") >= 0 ? spelled(l, "unit cost") : spelled(l, "unit price");
    const int total = bought ? bt_laying_place(l, "paid") : spelled(l, "total");
    if (amount < 0 || each < 0 || total < 0)
        return;
    check(l, (size_t)amount, (size_t)each, (size_t)total);
    free_column(l, (size_t)(bought ? each : total),
                bought ? "note_unit_cost" : "note_total");
}
