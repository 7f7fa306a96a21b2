/* Columns of a sheet: their names, units that stand in a column of their own, and cells
 * that were merged over several rows. */
#include <string.h>

#include "base/text.h"
#include "input/cell_read.h"
#include "input/layout.h"

/* ---- names ---- */

/* The first header that is spelled as we spell it has its column; other spellings get what
 * is left, the first of them first. */
void bt_laying_read_headings(struct bt_laying *l)
{
    const struct bt_row_cells *head = &l->csv->header;
    l->heading = bt_arena_alloc(l->arena, (head->n + 1) * sizeof *l->heading);
    for (size_t i = 0; i < head->n; i++)
        bt_heading_read(l->arena, &l->how->file, l->how->units, head->cell[i].text,
                        &l->heading[i]);
}

static int other_claim(const struct bt_laying *l, size_t i)
{
    const int column = l->heading[i].column;
    for (size_t k = 0; k < l->csv->header.n; k++) {
        const bool stronger = l->heading[k].exact || (k < i && !l->heading[i].exact);
        if (k != i && l->heading[k].column == column && stronger)
            return (int)k;
    }
    return -1;
}

static void give_up(struct bt_laying *l, size_t i, int winner)
{
    const struct bt_cell *cell = l->csv->header.cell;
    (void)bt_diag_add(
        l->diag,
        (struct bt_message){BT_WARNING, cell[i].at,
                            bt_arena_format(l->arena,
                                            "this column could be %s too; it is "
                                            "taken from column \"%s\"",
                                            l->how->file.column[l->heading[i].column],
                                            cell[winner].text),
                            NULL, cell[i].text, NULL});
    l->heading[i].column = -1;
}

/* "C" for 3. */
static const char *letters(struct bt_arena *a, unsigned field)
{
    const char *s = "";
    for (; field > 0; field = (field - 1) / 26)
        s = bt_arena_format(a, "%c%s", (char)('A' + (field - 1) % 26), s);
    return s;
}

static void say_same_names(struct bt_laying *l)
{
    const struct bt_row_cells *head = &l->csv->header;
    for (size_t i = 1; i < head->n; i++)
        for (size_t k = 0; k < i; k++) {
            if (l->heading[i].column >= 0 || !*head->cell[i].text ||
                strcmp(head->cell[i].text, head->cell[k].text) != 0)
                continue;
            (void)bt_diag_add(
                l->diag,
                (struct bt_message){
                    BT_WARNING, head->cell[i].at, "column", "each name once",
                    head->cell[i].text,
                    bt_arena_format(l->arena,
                                    "column %s has this name too; this one is not read: "
                                    "say in each what it is",
                                    letters(l->arena, head->cell[k].at.field))});
            break;
        }
}

void bt_laying_name_columns(struct bt_laying *l)
{
    const struct bt_row_cells *head = &l->csv->header;
    say_same_names(l);
    for (size_t i = 0; i < head->n; i++) {
        const struct bt_heading *h = &l->heading[i];
        if (h->column < 0 || h->exact)
            continue;
        const int winner = other_claim(l, i);
        if (winner >= 0)
            give_up(l, i, winner);
    }
    for (size_t i = 0; i < head->n; i++) {
        const struct bt_heading *h = &l->heading[i];
        if (h->column < 0)
            continue;
        const char *name = l->how->file.column[h->column];
        const char *full =
            h->unit ? bt_arena_format(l->arena, "%s (%s)", name, h->unit) : name;
        if (strcmp(full, head->cell[i].text) == 0 || (h->exact && !h->unit))
            continue;
        if (h->exact && strchr(head->cell[i].text, '('))
            continue;
        bt_laying_change(l, BT_NOTE, &head->cell[i], full,
                         bt_arena_format(l->arena, "this column is read as %s", full));
    }
}

/* ---- new and joined columns ---- */

/* A column more at the right end, with the same text in all rows; `what` says why. */
static void add_column(struct bt_laying *l, size_t from, const char *column,
                       const char *text, const char *what)
{
    struct bt_csv *csv = l->csv;
    const size_t n = csv->header.n;
    for (size_t r = 0; r <= csv->n_rows; r++) {
        struct bt_row_cells *row = r ? &csv->row[r - 1] : &csv->header;
        struct bt_cell *cell = bt_arena_alloc(l->arena, (n + 1) * sizeof *cell);
        memcpy(cell, row->cell, n * sizeof *cell);
        cell[n] = (struct bt_cell){r ? text : column, row->cell[from].at};
        row->cell = cell;
        row->n = n + 1;
    }
    struct bt_heading *heading = bt_arena_alloc(l->arena, (n + 2) * sizeof *heading);
    memcpy(heading, l->heading, n * sizeof *heading);
    bt_heading_read(l->arena, &l->how->file, NULL, column, &heading[n]);
    l->heading = heading;
    const struct bt_cell *name = &csv->header.cell[from];
    (void)bt_diag_add(l->diag,
                      (struct bt_message){BT_NOTE, name->at, what, NULL, name->text, NULL});
    bt_fixes_add_laid(l->how->fixes, name->at, name->text,
                      bt_arena_format(l->arena, "%s and a column %s", name->text, column),
                      what);
}

static void add_methods(struct bt_laying *l)
{
    static const char *const of[] = {"phosphorus", "potassium"};
    for (size_t i = 0; i < 2; i++) {
        const char *column = bt_arena_format(l->arena, "%s_method", of[i]);
        const int place = bt_laying_place(l, of[i]);
        if (place >= 0 && l->heading[place].method && bt_laying_place(l, column) < 0)
            add_column(l, (size_t)place, column, l->heading[place].method,
                       bt_arena_format(l->arena, "%s is taken from this name: %s", column,
                                       l->heading[place].method));
    }
}

/* `material,amount,unit`: 3 and lb are 3 lb. */
static void join_units(struct bt_laying *l, const char *column)
{
    struct bt_csv *csv = l->csv;
    const int to = bt_laying_place(l, column);
    int from = -1;
    for (size_t i = 0; i < csv->header.n; i++)
        if (bt_text_is(csv->header.cell[i].text, "unit") ||
            bt_text_is(csv->header.cell[i].text, "units"))
            from = (int)i;
    if (to < 0 || from < 0 || l->heading[to].unit)
        return;
    for (size_t r = 0; r < csv->n_rows; r++) {
        struct bt_cell *cell = &csv->row[r].cell[to];
        const char *unit = csv->row[r].cell[from].text;
        const char c = *cell->text;
        const bool figure =
            *unit && (strpbrk(cell->text, "0123456789") || (unsigned char)c > 0x7F);
        if (figure && c != '=' && c != '#' &&
            !bt_cell_was(l->arena, bt_plain(l->arena, cell->text))) {
            const char *both = bt_arena_format(l->arena, "%s %s", cell->text, unit);
            bt_fixes_add_laid(l->how->fixes, cell->at, cell->text, both,
                              "with the unit beside it");
            cell->text = both;
        }
    }
    const char *what =
        bt_arena_format(l->arena, "the units of %s are taken from this column", column);
    bt_laying_change(l, BT_NOTE, &csv->header.cell[from], "note_unit", what);
}

/* Money for one `unit` is the price of a package that holds one. */
static void price_by_unit(struct bt_laying *l)
{
    struct bt_csv *csv = l->csv;
    const int price = bt_laying_place(l, "price");
    int from = -1;
    for (size_t i = 0; i < csv->header.n; i++)
        if (bt_text_is(csv->header.cell[i].text, "note_unit"))
            from = (int)i;
    if (price < 0 || from < 0 || !bt_text_starts(csv->header.cell[price].text, "unit") ||
        bt_laying_place(l, "package") >= 0)
        return;
    add_column(l, (size_t)price, "package", "",
               "this is taken as the price of a package that holds one unit");
    for (size_t r = 0; r < csv->n_rows; r++) {
        struct bt_row_cells *row = &csv->row[r];
        const char *unit = row->cell[from].text;
        if (*unit && *row->cell[price].text)
            row->cell[row->n - 1].text = bt_arena_format(l->arena, "1 %s", unit);
    }
}

/* A cell with a unit of its own under a name that says P2O5 may mean either. */
static void refuse_bare_species(struct bt_laying *l)
{
    const struct bt_csv *csv = l->csv;
    for (size_t i = 0; i < csv->header.n; i++) {
        const char *unit = l->heading[i].unit;
        const char *species = l->heading[i].column < 0 || l->heading[i].exact || !unit
                                  ? NULL
                              : strstr(unit, " P2O5") ? "P2O5"
                              : strstr(unit, " K2O")  ? "K2O"
                                                      : NULL;
        for (size_t r = 0; species && r < csv->n_rows; r++) {
            struct bt_cell *cell = &csv->row[r].cell[i];
            if (!strpbrk(cell->text, "0123456789") || !strpbrk(cell->text, "%pPmMgGlL/") ||
                strstr(cell->text, "2O"))
                continue;
            (void)bt_diag_add(
                l->diag, (struct bt_message){
                             BT_ERROR, cell->at, csv->header.cell[i].text,
                             bt_arena_format(l->arena, "a number alone, or its unit and %s",
                                             species),
                             cell->text,
                             bt_arena_format(l->arena,
                                             "is it %s %s, as the name of the column says?",
                                             cell->text, species)});
            cell->text = "";
        }
    }
}

/* `dia 36 in`, `round 36 in` as a length: the bed is round. */
static const char *after_round(const char *text)
{
    static const char *const words[] = {"diameter ", "diam. ", "diam ",     "dia. ",
                                        "dia ",      "round ", "\xC3\x98 ", "\xE2\x8C\x80"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (bt_text_starts(text, words[i]))
            return text + strlen(words[i]) + strspn(text + strlen(words[i]), " :");
    return NULL;
}

static void take_diameters(struct bt_laying *l)
{
    struct bt_csv *csv = l->csv;
    const int length = bt_laying_place(l, "length");
    int shape = bt_laying_place(l, "shape");
    for (size_t r = 0; length >= 0 && r < csv->n_rows; r++) {
        const char *rest = after_round(csv->row[r].cell[length].text);
        if (!rest)
            continue;
        if (shape < 0) {
            add_column(l, (size_t)length, "shape", "",
                       "a bed that is round by this column is taken as such");
            shape = bt_laying_place(l, "shape");
        }
        csv->row[r].cell[shape].text = "round";
        bt_laying_change(l, BT_NOTE, &csv->row[r].cell[length], rest,
                         "a round bed, and its diameter");
    }
}

void bt_laying_join_columns(struct bt_laying *l)
{
    if (strcmp(l->how->file.name, "beds") == 0)
        take_diameters(l);
    refuse_bare_species(l);
    if (strcmp(l->how->file.name, "soil_tests") == 0)
        add_methods(l);
    if (strcmp(l->how->file.name, "applications") == 0 ||
        strcmp(l->how->file.name, "purchases") == 0)
        join_units(l, "amount");
    if (strcmp(l->how->file.name, "materials") == 0) {
        join_units(l, "on_hand");
        price_by_unit(l);
    }
}

/* ---- merged cells ---- */

/* May the first column be filled down? Not where each row has a name of its own. */
static bool may_fill(const struct bt_laying *l, enum bt_weight *weight)
{
    static const char *const fillable[][2] = {
        {"plantings",    "bed"  },
        {"applications", "date" },
        {"applications", "beds" },
        {"beds",         "group"},
        {"soil_tests",   "date" }
    };
    const int column = l->heading[0].column;
    *weight = BT_WARNING;
    for (size_t i = 0; column >= 0 && i < sizeof fillable / sizeof *fillable; i++)
        if (strcmp(l->how->file.name, fillable[i][0]) == 0 &&
            strcmp(l->how->file.column[column], fillable[i][1]) == 0)
            return true;
    *weight = BT_NOTE; /* a column that is not read */
    return column < 0 && l->csv->header.n > 1 && l->heading[1].column >= 0;
}

/* Does the first column look merged? It begins filled, a third of it or more is blank,
 * not once alone, and no text stands twice in a row: whoever repeats names has forgotten
 * one. */
static bool looks_merged(const struct bt_csv *csv)
{
    size_t n_blank = 0;
    if (csv->header.n < 2 || csv->n_rows < 2 || !*csv->row[0].cell[0].text)
        return false;
    for (size_t r = 1; r < csv->n_rows; r++) {
        const char *text = csv->row[r].cell[0].text;
        n_blank += *text == '\0';
        if (*text && strcmp(text, csv->row[r - 1].cell[0].text) == 0)
            return false;
    }
    return n_blank > 1 && 3 * n_blank >= csv->n_rows;
}

/* The cells beside the blank ones are filled, or there is nothing to name. */
void bt_laying_fill_down(struct bt_laying *l)
{
    struct bt_csv *csv = l->csv;
    enum bt_weight weight;
    if (!looks_merged(csv) || !may_fill(l, &weight))
        return;
    for (size_t r = 1; r < csv->n_rows; r++) {
        struct bt_cell *cell = &csv->row[r].cell[0];
        if (!*cell->text && *csv->row[r].cell[1].text)
            bt_laying_change(
                l, weight, cell, csv->row[r - 1].cell[0].text,
                bt_arena_format(l->arena, "%s is blank and taken from the line above: %s",
                                csv->header.cell[0].text, csv->row[r - 1].cell[0].text));
    }
}
