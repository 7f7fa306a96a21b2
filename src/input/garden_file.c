/* A garden file opened: its columns found among the known ones, and its cells by column. */
#include "input/garden_read.h"

#include <math.h>
#include <string.h>
#include <unistd.h>

#include "base/text.h"
#include "input/layout.h"

/* ---- messages ---- */

static bool say(struct bt_gr *g, enum bt_weight weight, const struct bt_cell *cell,
                struct bt_message m)
{
    m.weight = weight;
    m.at = cell->at;
    m.found = *cell->text ? cell->text : NULL;
    return bt_diag_add(g->diag, m);
}

bool bt_gr_error(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                 const char *expected, const char *hint)
{
    return say(g, BT_ERROR, cell,
               (struct bt_message){.field = column, .expected = expected, .hint = hint});
}

bool bt_gr_warn(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                const char *expected, const char *hint)
{
    return say(g, BT_WARNING, cell,
               (struct bt_message){.field = column, .expected = expected, .hint = hint});
}

bool bt_gr_note(struct bt_gr *g, struct bt_pos at, const char *sentence)
{
    return bt_diag_add(g->diag,
                       (struct bt_message){.weight = BT_NOTE, .at = at, .field = sentence});
}

bool bt_gfile_open_path(struct bt_gr *g, const char *name, const char *path,
                        struct bt_gfile *out)
{
    *out = (struct bt_gfile){.name = name};
    out->n_columns = bt_garden_columns(name, &out->column);
    const struct bt_layout how = {
        {name, out->n_columns, out->column},
        g->units, g->options->fixes
    };
    if (!bt_layout_read(g->arena, g->diag, &how, path, &out->csv))
        return false;
    bt_gfile_place_columns(g, out);
    g->cells.decimal_comma = out->csv.decimal_comma;
    g->cells.fixes = g->options->fixes;
    g->cells.saw_month_first = 0;
    g->cells.saw_day_first = 0;
    return true;
}

bool bt_gfile_open(struct bt_gr *g, const char *name, struct bt_gfile *out, bool *out_there)
{
    const char *path = bt_arena_format(g->arena, "%s/%s.csv", g->folder, name);
    *out_there = access(path, F_OK) == 0;
    *out = (struct bt_gfile){.name = name};
    return *out_there && bt_gfile_open_path(g, name, path, out);
}

/* ---- cells ---- */

/* The apostrophe before =, +, - or @ keeps a spreadsheet from working the cell out; it is
 * no part of the text. A plan file of ours has it too. */
static struct bt_cell without_guard(struct bt_cell cell)
{
    if (cell.text[0] == '\'' && cell.text[1] && strchr("=+-@", cell.text[1]))
        cell.text++;
    return cell;
}

struct bt_cell bt_gfile_cell(const struct bt_gfile *f, size_t row, int column)
{
    const struct bt_row_cells *r = &f->csv.row[row];
    const int i = f->place[column];
    if (i < 0 || (size_t)i >= r->n)
        return (struct bt_cell){"", r->at};
    return without_guard(r->cell[i]);
}

bool bt_gfile_row_blank(const struct bt_gfile *f, size_t row)
{
    for (size_t c = 0; c < f->n_columns; c++)
        if (*bt_gfile_cell(f, row, (int)c).text)
            return false;
    return true;
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\r' || c == '\n';
}

/* Nothing but single spaces between words. */
static bool is_tidy(const char *text)
{
    for (const char *t = text; *t; t++)
        if (is_blank(*t) && (*t != ' ' || t == text || !t[1] || is_blank(t[1])))
            return false;
    return true;
}

const char *bt_gr_tidy(struct bt_arena *a, const char *text)
{
    if (is_tidy(text))
        return text;
    char *tidy = bt_arena_alloc(a, strlen(text) + 1);
    size_t n = 0;
    for (const char *t = text; *t; t++) {
        if (is_blank(*t) && (n == 0 || tidy[n - 1] == ' '))
            continue;
        tidy[n++] = is_blank(*t) ? ' ' : *t;
    }
    while (n > 0 && tidy[n - 1] == ' ')
        n--;
    tidy[n] = '\0';
    return tidy;
}

const char *bt_gfile_text(struct bt_gr *g, const struct bt_gfile *f, size_t row, int column)
{
    const struct bt_cell cell = bt_gfile_cell(f, row, column);
    return *cell.text ? bt_gr_tidy(g->arena, cell.text) : NULL;
}

struct bt_accept bt_accept_dims(size_t n, const struct bt_dim *dims, double lowest,
                                double highest)
{
    struct bt_accept a = {.n_dims = n, .lowest = lowest, .highest = highest};
    for (size_t i = 0; i < n; i++)
        a.dims[i] = dims[i];
    return a;
}

bool bt_gfile_quantity(struct bt_gr *g, const struct bt_gfile *f, size_t row, int column,
                       struct bt_accept accept, struct bt_quantity *out)
{
    const struct bt_cell cell = bt_gfile_cell(f, row, column);
    accept.column = f->column[column];
    accept.header_unit = f->header_unit[column];
    *out = (struct bt_quantity){.presence = BT_BLANK, .cell = cell};
    return bt_gr_quantity(g, &cell, &accept, out);
}

bool bt_gfile_percent(struct bt_gr *g, const struct bt_gfile *f, size_t row, int column,
                      double highest, struct bt_quantity *out)
{
    struct bt_accept a = bt_accept_dims(1, &BT_FRACTION, 0, highest);
    a.bare_percent = true;
    return bt_gfile_quantity(g, f, row, column, a, out);
}

bool bt_gfile_date(struct bt_gr *g, const struct bt_gfile *f, size_t row, int column,
                   struct bt_date *out)
{
    const struct bt_cell cell = bt_gfile_cell(f, row, column);
    return bt_gr_date(g, &cell, f->column[column], out);
}

int bt_gfile_word(struct bt_gr *g, const struct bt_gfile *f, size_t row, int column,
                  const struct bt_words *words)
{
    const struct bt_cell cell = bt_gfile_cell(f, row, column);
    const struct bt_scratch s = bt_gr_scratch(g);
    int place = -1;
    bt_read_word(&g->cells, &cell, f->column[column], words->n, words->word, &place);
    bt_gr_release(g, &s);
    return place;
}
