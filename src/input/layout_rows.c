/* Rows of a sheet that are none of its table: units, totals, the header again, notes. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/figures.h"
#include "base/text.h"
#include "input/handbook_names.h"
#include "input/layout.h"
#include "input/number.h"

#define N(a)      (sizeof(a) / sizeof *(a))
#define AGREE     0.005 /* of a total: rounding in the cells */
#define FEW_CELLS ((size_t)3)

static bool is_settings(const struct bt_laying *l)
{
    return strcmp(l->how->file.name, "garden") == 0;
}

/* The place of the first cell that holds something; row->n when none does. */
static size_t first_filled(const struct bt_row_cells *row)
{
    size_t i = 0;
    while (i < row->n && !*row->cell[i].text)
        i++;
    return i;
}

static size_t n_filled(const struct bt_row_cells *row)
{
    size_t n = 0;
    for (size_t i = 0; i < row->n; i++)
        n += *row->cell[i].text != '\0';
    return n;
}

/* ---- units under the header ---- */

static bool is_unit_row(struct bt_laying *l, const struct bt_row_cells *row)
{
    size_t known = 0;
    for (size_t i = 0; i < row->n; i++) {
        bool is_known;
        if (!*row->cell[i].text)
            continue;
        if (!bt_heading_is_unit(l->arena, l->how->units, row->cell[i].text, &is_known))
            return false;
        known += is_known;
    }
    return known > 0 && (!*row->cell[0].text || n_filled(row) == row->n);
}

void bt_laying_take_units(struct bt_laying *l)
{
    struct bt_csv *csv = l->csv;
    if (is_settings(l) || csv->n_rows == 0 || !is_unit_row(l, &csv->row[0]))
        return;
    const struct bt_row_cells *row = &csv->row[0];
    for (size_t i = 0; i < row->n; i++) {
        struct bt_heading *h = &l->heading[i];
        bool known = false;
        if (!*row->cell[i].text)
            continue;
        (void)bt_heading_is_unit(l->arena, l->how->units, row->cell[i].text, &known);
        if (known && !h->unit)
            h->unit = row->cell[i].text;
        else if (!known && !h->exact)
            h->column = -1; /* `K` in % of the exchange capacity is another thing */
    }
    bt_laying_leave_out(l, BT_NOTE, row, "a line of units, joined to the names above it");
    csv->row++;
    csv->n_rows--;
}

/* ---- totals ---- */

static const struct total {
    const char *word; /* as bt_text_key leaves it */
    bool sum;
    bool average;
    bool of_samples; /* in soil_tests only: beds may bear such a name, as Max */
} totals[] = {
    {"total",        true,  false, false},
    {"totals",       true,  false, false},
    {"sum",          true,  false, false},
    {"subtotal",     false, false, false},
    {"grand total",  true,  false, false},
    {"summe",        true,  false, false},
    {"gesamt",       true,  false, false},
    {"average",      false, true,  false},
    {"avg",          false, true,  false},
    {"durchschnitt", false, true,  false},
    {"mean",         false, true,  true },
    {"mittel",       false, true,  true },
    {"median",       false, false, true },
    {"minimum",      false, false, true },
    {"maximum",      false, false, true },
    {"min",          false, false, true },
    {"max",          false, false, true },
    {"count",        false, false, true },
    {"std dev",      false, false, true },
};

static const struct total *total_of(struct bt_laying *l, const struct bt_row_cells *row)
{
    const size_t first = first_filled(row);
    const bool samples = strcmp(l->how->file.name, "soil_tests") == 0;
    if (first >= row->n)
        return NULL;
    char *key = bt_text_key(l->arena, row->cell[first].text);
    const size_t n = strlen(key);
    if (n > 0 && key[n - 1] == ':')
        key[n - 1] = '\0';
    for (size_t i = 0; i < N(totals); i++)
        if (strcmp(key, totals[i].word) == 0 && (samples || !totals[i].of_samples))
            return &totals[i];
    return NULL;
}

/* A bare number in a cell; a unit may follow. */
static bool figure(const struct bt_laying *l, const char *text, double *out)
{
    char *plain = bt_plain(l->arena, text);
    for (char *c = plain; l->csv->decimal_comma && *c; c++)
        *c = *c == ',' ? '.' : *c;
    const char *s = plain;
    return bt_decimal(&s, true, out) && (*s == '\0' || *s == ' ' || *s == '%');
}

/* Sum over the rows kept so far; false when a cell is no figure. */
static bool sum_above(const struct bt_laying *l, size_t n_rows, size_t column, double *sum,
                      size_t *n)
{
    *sum = 0;
    *n = 0;
    for (size_t r = 0; r < n_rows; r++) {
        const char *text = l->csv->row[r].cell[column].text;
        double v;
        if (!*text)
            continue;
        if (!figure(l, text, &v))
            return false;
        *sum += v;
        ++*n;
    }
    return *n > 0;
}

/* What the rows make where a total says something else; NULL when all agree. */
static const char *disagreement(struct bt_laying *l, const struct total *t, size_t n_rows,
                                const struct bt_row_cells *row)
{
    for (size_t i = first_filled(row) + 1; i < row->n; i++) {
        double says, makes;
        size_t n;
        if (!(t->sum || t->average) || !*row->cell[i].text ||
            !figure(l, row->cell[i].text, &says) || !sum_above(l, n_rows, i, &makes, &n))
            continue;
        makes = t->average ? makes / (double)n : makes;
        const double room = AGREE * fabs(makes) + (t->average ? 0.05 : 0.005 * (double)n);
        if (fabs(says - makes) > room)
            return bt_arena_format(l->arena, "of %s it says %s, the rows make %s",
                                   l->csv->header.cell[i].text, row->cell[i].text,
                                   bt_figures_short(l->arena, makes, 6));
    }
    return NULL;
}

/* ---- the header again, notes below ---- */

static bool is_header_again(const struct bt_laying *l, const struct bt_row_cells *row)
{
    for (size_t i = 0; i < row->n; i++)
        if (strcmp(row->cell[i].text, l->csv->header.cell[i].text) != 0)
            return false;
    return row->n > 1;
}

static bool is_footnote(const struct bt_laying *l, const struct bt_row_cells *row)
{
    static const char *const begins[] = {
        "*",     "\xE2\x80\xA0", "\xE2\x80\xA1", "note",      "footnote",
        "page ", "source:",      "legend",       "exported ", "printed "};
    const size_t first = first_filled(row);
    if (l->csv->header.n < FEW_CELLS || n_filled(row) != 1 || first > 1)
        return false;
    for (size_t i = 0; i < N(begins); i++)
        if (bt_text_starts(row->cell[first].text, begins[i]))
            return true;
    return false;
}

/* A note that may change what figures mean: it speaks of a method or of units. */
static bool bears_on_figures(const char *text)
{
    static const char *const words[] = {"olsen", "bray", "mehlich", "morgan", "dry basis",
                                        "as is", "ppm",  "lb/",     "kg/",    "mg/"};
    for (const char *s = text; *s; s++)
        for (size_t i = 0; i < N(words); i++)
            if (bt_text_starts(s, words[i]))
                return true;
    return false;
}

static void say_footnote(struct bt_laying *l, const struct bt_row_cells *row)
{
    const bool heavy = bears_on_figures(row->cell[first_filled(row)].text);
    bt_laying_leave_out(l, heavy ? BT_WARNING : BT_NOTE, row,
                        heavy ? "a note below the table that bears on its figures, not read"
                              : "a note below the table, not read");
}

/* False when the row is not kept. */
static bool keep_row(struct bt_laying *l, size_t n_kept, const struct bt_row_cells *row)
{
    const struct total *t = n_kept > 0 ? total_of(l, row) : NULL;
    if (t) {
        const char *other = disagreement(l, t, n_kept, row);
        bt_laying_leave_out(
            l, other ? BT_WARNING : BT_NOTE, row,
            other ? bt_arena_format(l->arena, "a line of totals, not read (%s)", other)
                  : "a line of totals, not read");
        return false;
    }
    if (is_header_again(l, row)) {
        bt_laying_leave_out(l, BT_NOTE, row, "the header again, not read");
        return false;
    }
    if (is_footnote(l, row)) {
        say_footnote(l, row);
        return false;
    }
    return true;
}

void bt_laying_drop_rows(struct bt_laying *l)
{
    struct bt_csv *csv = l->csv;
    size_t n = 0;
    if (is_settings(l))
        return;
    for (size_t r = 0; r < csv->n_rows; r++) {
        const struct bt_mark mark = bt_arena_mark(l->arena);
        const size_t before = bt_diag_kept(l->diag);
        const bool keep = keep_row(l, n, &csv->row[r]);
        if (keep)
            csv->row[n++] = csv->row[r];
        if (keep && bt_diag_kept(l->diag) == before)
            bt_arena_release(l->arena, mark);
    }
    csv->n_rows = n;
}

/* ---- rows that are there twice ---- */

static const char *row_key(struct bt_laying *l, const struct bt_row_cells *row)
{
    size_t room = 1;
    for (size_t i = 0; i < row->n; i++)
        room += strlen(row->cell[i].text) + 1;
    char *key = bt_arena_alloc(l->arena, room), *to = key;
    for (size_t i = 0; i < row->n; i++) {
        for (const char *s = row->cell[i].text; *s; s++)
            *to++ = (char)(*s >= 'A' && *s <= 'Z' ? *s + ('a' - 'A') : *s);
        *to++ = '\x1F';
    }
    *to = '\0';
    return key;
}

void bt_laying_say_twins(struct bt_laying *l)
{
    struct bt_names seen = {0};
    const struct bt_csv *csv = l->csv;
    /* the other files ask themselves whether a name stands twice */
    const char *name = l->how->file.name;
    const bool asked = strcmp(name, "applications") == 0 || strcmp(name, "water") == 0 ||
                       strcmp(name, "soil_tests") == 0;
    for (size_t r = 0; r < csv->n_rows && asked; r++) {
        const char *key = row_key(l, &csv->row[r]);
        const size_t twin = bt_names_get(&seen, key);
        if (twin == BT_NO_NAME) {
            bt_names_set(l->arena, &seen, key, r);
            continue;
        }
        (void)bt_diag_add(
            l->diag,
            (struct bt_message){
                .weight = BT_WARNING,
                .at = csv->row[r].at,
                .field = bt_arena_format(l->arena, "the same as line %u; both are counted",
                                         csv->row[twin].at.line)});
    }
}
