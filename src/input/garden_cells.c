/* Cells that mean more than one quantity: shares, sides of an area, dates whose order must
 * be known, labels of three figures. */
#include "input/garden_read.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/figures.h"
#include "base/text.h"

/* ---- dates ---- */

bool bt_gr_date(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                struct bt_date *out)
{
    const struct bt_scratch s = bt_gr_scratch(g);
    *out = (struct bt_date){0};
    const bool ok = bt_read_date(&g->cells, cell, column, out);
    bt_gr_release(g, &s);
    return ok;
}

static bool has_unit(const char *text)
{
    return strpbrk(text, "'\"%abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ") ||
           strstr(text, "\xE2\x80\xB2") || strstr(text, "\xE2\x80\xB3") ||
           strstr(text, "\xE2\x80\x99") || strstr(text, "\xE2\x80\x9D");
}

/* ---- shares ---- */

/* A bare number up to 1 is a part of one, from 5 on it is in percent; between them either
 * could be meant. */
static bool settle_bare_share(struct bt_gr *g, const char *column, struct bt_quantity *q)
{
    const double top = q->range.high > q->range.likely ? q->range.high : q->range.likely;
    if (top <= 1)
        return true;
    if (top < 5)
        return bt_gr_error(g, &q->cell, column, "a share such as 40 % or 0.4",
                           bt_arena_format(g->arena,
                                           "say whether %s %% or %s times the whole is "
                                           "meant: write it with %%",
                                           q->cell.text, q->cell.text));
    q->range = bt_range_scaled(q->range, 0.01);
    return true;
}

bool bt_gr_share(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                 const char *header_unit, struct bt_quantity *out)
{
    struct bt_accept a = bt_accept_dims(1, &BT_FRACTION, 0, HUGE_VAL);
    a.column = column;
    a.header_unit = header_unit;
    a.bare_number = true;
    *out = (struct bt_quantity){.presence = BT_BLANK, .cell = *cell};
    if (!bt_gr_quantity(g, cell, &a, out))
        return false;
    if (out->presence != BT_GIVEN || (out->unit.text && *out->unit.text))
        return true;
    if (settle_bare_share(g, column, out))
        return true;
    out->presence = BT_BLANK;
    return false;
}

bool bt_gfile_share(struct bt_gr *g, const struct bt_gfile *f, size_t row, int column,
                    struct bt_quantity *out)
{
    const struct bt_cell cell = bt_gfile_cell(f, row, column);
    return bt_gr_share(g, &cell, f->column[column], f->header_unit[column], out);
}

bool bt_gfile_part(struct bt_gr *g, const struct bt_gfile *f, size_t row, int column,
                   struct bt_quantity *out)
{
    const struct bt_cell cell = bt_gfile_cell(f, row, column);
    const struct bt_dim dims[] = {BT_FRACTION, BT_AREA};
    struct bt_accept a = bt_accept_dims(2, dims, 0, HUGE_VAL);
    a.bare_number = true;
    *out = (struct bt_quantity){.presence = BT_BLANK, .cell = cell};
    if (!bt_gfile_quantity(g, f, row, column, a, out))
        return false;
    if (out->presence != BT_GIVEN || (out->unit.text && *out->unit.text))
        return true;
    if (settle_bare_share(g, f->column[column], out))
        return true;
    out->presence = BT_BLANK;
    return false;
}

const char *bt_gr_typed(struct bt_gr *g, const struct bt_gfile *f, int column,
                        const struct bt_quantity *q)
{
    const char *unit = f->header_unit[column];
    const char *text = bt_gr_tidy(g->arena, q->cell.text);
    return unit && !has_unit(text) ? bt_arena_format(g->arena, "%s %s", text, unit) : text;
}

/* A bare 0.04 in a column of percent: 4 % as a share of one, or 0.04 %? */
void bt_gr_doubt_percent(struct bt_gr *g, const struct bt_quantity *q, const char *column,
                         const struct bt_row *usual)
{
    static const double FAR_BELOW = 0.1; /* of the least that the handbook gives */
    const double typed = q->range.likely;
    const double least = !usual                 ? 0
                         : usual->range.low > 0 ? usual->range.low
                                                : usual->range.likely;
    if (q->presence != BT_GIVEN || q->word || q->bound != BT_EXACTLY || !(typed > 0) ||
        !(typed < FAR_BELOW * least) || has_unit(q->cell.text))
        return;
    bt_gr_warn(
        g, &q->cell, column,
        bt_arena_format(g->arena, "a figure in percent; the handbook's begin at %s %%",
                        bt_figures_short(g->arena, 100 * least, 2)),
        bt_arena_format(g->arena,
                        "this is read as %s %%: if a hundred times as much is meant, "
                        "write %s %%; if not, write %s %%",
                        bt_figures_short(g->arena, 100 * typed, 3),
                        bt_figures_short(g->arena, 1e4 * typed, 3),
                        bt_figures_short(g->arena, 100 * typed, 3)));
}

/* ---- two figures with an x between ---- */

/* Length of an x or a multiplication sign at `t`, 0 for none. */
static size_t times_sign(const char *t)
{
    if (strncmp(t, "\xC3\x97", 2) == 0)
        return 2;
    return *t == 'x' || *t == 'X' ? 1 : 0;
}

/* An x between a blank, digit, quote mark or unit and a blank, digit or point: not one in a
 * word. */
static bool stands_free(const char *text, const char *x, size_t n)
{
    if (x == text || !x[n])
        return false;
    const unsigned char before = (unsigned char)x[-1], after = (unsigned char)x[n];
    return !(isalpha(before) && isalpha(after)) &&
           (isspace(after) || isdigit(after) || after == '.');
}

bool bt_gr_split_by_x(struct bt_gr *g, const char *text, const char **out_first,
                      const char **out_second)
{
    for (const char *t = text; *t; t++) {
        const size_t n = times_sign(t);
        if (n == 0 || !stands_free(text, t, n))
            continue;
        *out_first =
            bt_gr_tidy(g->arena, bt_arena_text_n(g->arena, text, (size_t)(t - text)));
        *out_second = bt_gr_tidy(g->arena, t + n);
        return true;
    }
    return false;
}

/* `10 x 30 in`: the unit at the end is that of both. */
const char *bt_gr_lend_unit(struct bt_gr *g, const char *first, const char *second)
{
    if (has_unit(first) || !has_unit(second))
        return first;
    const char *unit =
        second + strcspn(second, "'\"abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRS"
                                 "TUVWXYZ");
    return bt_arena_format(g->arena, "%s %s", first, unit);
}

/* One figure: an area or two sides. */
static bool read_area(struct bt_gr *g, const struct bt_gfile *f, int column,
                      struct bt_cell cell, struct bt_quantity *out)
{
    const char *first, *second;
    const bool sides = bt_gr_split_by_x(g, cell.text, &first, &second);
    struct bt_accept side = bt_accept_dims(1, sides ? &BT_LENGTH : &BT_AREA, 0, HUGE_VAL);
    side.column = f->column[column];
    *out = (struct bt_quantity){.presence = BT_BLANK, .cell = cell};
    if (!sides) {
        side.header_unit = f->header_unit[column];
        return bt_gr_quantity(g, &cell, &side, out);
    }
    const struct bt_cell a = {bt_gr_lend_unit(g, first, second), cell.at};
    const struct bt_cell b = {second, cell.at};
    struct bt_quantity qa, qb;
    const bool ok_a = bt_gr_quantity(g, &a, &side, &qa);
    const bool ok_b = bt_gr_quantity(g, &b, &side, &qb);
    if (!ok_a || !ok_b)
        return false;
    *out = qa;
    out->cell = cell;
    out->unit = (struct bt_unit){.dim = BT_AREA, .factor = 1, .text = "m2"};
    out->range = bt_range_exact(qa.range.likely * qb.range.likely);
    return true;
}

bool bt_gfile_area(struct bt_gr *g, const struct bt_gfile *f, size_t row, int column,
                   struct bt_quantity *out)
{
    const struct bt_cell cell = bt_gfile_cell(f, row, column);
    struct bt_pair pair = {.cell = cell, .two = true};
    const char *second;
    if (!bt_gr_two_figures(g, cell.text, &pair.text, &second))
        return read_area(g, f, column, cell, out);
    const struct bt_cell a = {pair.text, cell.at}, b = {second, cell.at};
    const struct bt_beside nothing = {0};
    const bool ok = read_area(g, f, column, a, &pair.first) &&
                    read_area(g, f, column, b, &pair.second) &&
                    bt_gr_pair_agrees(g, &pair, f->column[column], &nothing);
    *out = pair.first;
    out->cell = cell;
    return ok;
}

/* ---- labels ---- */

static bool looks_like_date(const char *text)
{
    int a, b, c, end = 0;
    char month[4];
    if (sscanf(text, "%4d/%2d/%4d%n", &a, &b, &c, &end) == 3 && !text[end])
        return true;
    if (sscanf(text, "%2d-%3[A-Za-z]-%4d%n", &a, month, &c, &end) == 3 && !text[end])
        return true;
    return sscanf(text, "%4d-%2d-%2d%n", &a, &b, &c, &end) == 3 && !text[end] && a >= 1900;
}

bool bt_gr_label(struct bt_gr *g, const struct bt_cell *cell, const char *column,
                 double out_fraction[3])
{
    static const char *const expected =
        "three figures in percent, N-P2O5-K2O, such as 3-4-4";
    double v[3];
    int end = 0;
    if (looks_like_date(cell->text))
        return bt_gr_error(
            g, cell, column, expected,
            "a spreadsheet made a date of the label: set the cell to text and type it "
            "again, or fill n, p2o5 and k2o");
    const bool three =
        sscanf(cell->text, "%7lf -%7lf -%7lf%n", &v[0], &v[1], &v[2], &end) == 3 &&
        !cell->text[end];
    if (!three || v[0] < 0 || v[1] < 0 || v[2] < 0)
        return bt_gr_error(g, cell, column, expected, NULL);
    if (v[0] + v[1] + v[2] > 100)
        return bt_gr_error(
            g, cell, column, expected,
            "the numbers of a label are parts of 100: together they cannot come to more");
    for (int i = 0; i < 3; i++)
        out_fraction[i] = v[i] / 100;
    return true;
}
