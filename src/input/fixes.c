#include "input/fixes.h"

#include <string.h>

#define STEPS_BACK ((size_t)16)

static void add(struct bt_fixes *f, struct bt_fix fix)
{
    if (!f)
        return;
    fix.at.file = bt_arena_text(f->arena, fix.at.file ? fix.at.file : "");
    fix.from = bt_arena_text(f->arena, fix.from);
    fix.to = fix.to ? bt_arena_text(f->arena, fix.to) : NULL;
    fix.why = bt_arena_text(f->arena, fix.why);
    f->fix = bt_arena_grow(f->arena, f->fix, &f->capacity, f->n, sizeof *f->fix);
    f->fix[f->n++] = fix;
}

void bt_fixes_add(struct bt_fixes *f, struct bt_pos at, const char *from, const char *to,
                  const char *why)
{
    if (!f || strcmp(from, to) == 0)
        return;
    /* a cell is read in steps, and each step knows what those before it made of it */
    for (size_t i = f->n; i-- > 0 && f->n - i < STEPS_BACK;) {
        struct bt_fix *x = &f->fix[i];
        if (!x->in_table && x->at.row == at.row && x->at.field == at.field &&
            strcmp(x->at.file, at.file) == 0 && strcmp(x->from, from) == 0) {
            x->to = bt_arena_text(f->arena, to);
            return;
        }
    }
    add(f, (struct bt_fix){at, from, to, why, false});
}

void bt_fixes_add_laid(struct bt_fixes *f, struct bt_pos at, const char *from,
                       const char *to, const char *why)
{
    add(f, (struct bt_fix){at, from, to, why, true});
}

void bt_fixes_unread(struct bt_fixes *f, struct bt_unread unread)
{
    if (!f)
        return;
    unread.at.file = bt_arena_text(f->arena, unread.at.file);
    unread.name = bt_arena_text(f->arena, unread.name);
    unread.hint = bt_arena_text(f->arena, unread.hint);
    f->unread = bt_arena_grow(f->arena, f->unread, &f->unread_capacity, f->n_unread,
                              sizeof *f->unread);
    f->unread[f->n_unread++] = unread;
}

void bt_fixes_keep(struct bt_fixes *f, const char *name, const struct bt_csv *csv)
{
    if (!f)
        return;
    f->file =
        bt_arena_grow(f->arena, f->file, &f->file_capacity, f->n_files, sizeof *f->file);
    f->file[f->n_files++] = (struct bt_fixed_file){bt_arena_text(f->arena, name), *csv};
}

/* ---- applying ---- */

static struct bt_row_cells *row_at(struct bt_csv *csv, unsigned row)
{
    size_t low = 0, high = csv->n_rows;
    if (csv->header.at.row == row)
        return &csv->header;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        if (csv->row[middle].at.row < row)
            low = middle + 1;
        else
            high = middle;
    }
    return low < csv->n_rows && csv->row[low].at.row == row ? &csv->row[low] : NULL;
}

static struct bt_cell *cell_at(struct bt_row_cells *row, unsigned field)
{
    for (size_t i = 0; row && i < row->n; i++)
        if (row->cell[i].at.field == field)
            return &row->cell[i];
    return NULL;
}

/* The text with its part `from` replaced. */
static const char *replaced(struct bt_arena *a, const char *text, const char *from,
                            const char *to)
{
    const char *part = strstr(text, from);
    return part ? bt_arena_format(a, "%.*s%s%s", (int)(part - text), text, to,
                                  part + strlen(from))
                : text;
}

void bt_fixes_apply(struct bt_fixes *f)
{
    for (size_t i = 0; i < f->n; i++)
        for (size_t k = 0; k < f->n_files && !f->fix[i].in_table; k++) {
            const struct bt_fix *x = &f->fix[i];
            struct bt_csv *csv = &f->file[k].csv;
            if (strcmp(csv->file, x->at.file) != 0)
                continue;
            struct bt_cell *cell = cell_at(row_at(csv, x->at.row), x->at.field);
            if (cell)
                cell->text = replaced(f->arena, cell->text, x->from, x->to);
        }
}
