/* The handbook for machines and spreadsheets: rows and lists as CSV and JSON. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "report/csv_put.h"
#include "report/handbook.h"
#include "report/json_put.h"

static const char SCHEMA[] = "bedtally-handbook-1";
/* ---- rows ---- */

void bt_book_rows_add(struct bt_book_rows *rows, struct bt_arena *a,
                      const struct bt_row *row, const char *of)
{
    rows->row =
        bt_arena_grow(a, rows->row, &rows->row_capacity, rows->n, sizeof *rows->row);
    rows->of = bt_arena_grow(a, rows->of, &rows->of_capacity, rows->n, sizeof *rows->of);
    rows->row[rows->n] = row;
    rows->of[rows->n++] = of;
}

static bool has(const struct bt_book_rows *rows, size_t from, const char *quantity)
{
    for (size_t i = from; i < rows->n; i++)
        if (strcmp(rows->row[i]->quantity, quantity) == 0)
            return true;
    return false;
}

static const struct bt_table *table_of(const struct bt_show *w, const char *name)
{
    const struct bt_table *t = NULL;
    const size_t n = bt_handbook_tables(w->handbook, &t);
    for (size_t i = 0; i < n; i++)
        if (strcmp(t[i].name, name) == 0)
            return &t[i];
    return NULL;
}

void bt_book_rows_of(struct bt_book_rows *rows, const struct bt_show *w, const char *table,
                     const char *key, const char *quantity)
{
    const struct bt_table *t = table_of(w, table);
    const size_t from = rows->n;
    for (const char *at = key; at; at = bt_handbook_stand_in(w->handbook, table, at)) {
        const size_t before = rows->n;
        for (size_t i = 0; i < t->n_rows; i++) {
            const struct bt_row *row = t->row[i];
            const bool asked = !quantity || strcmp(row->quantity, quantity) == 0;
            struct bt_book_rows earlier = *rows;
            earlier.n = before;
            if (asked && strcmp(row->key, at) == 0 && !has(&earlier, from, row->quantity))
                bt_book_rows_add(rows, w->arena, row, key);
        }
    }
}

void bt_book_rows_local(struct bt_book_rows *rows, const struct bt_show *w)
{
    const struct bt_table *t = NULL;
    const size_t n = w->handbook ? bt_handbook_tables(w->handbook, &t) : 0;
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < t[i].n_rows; k++)
            if (t[i].row[k]->local)
                bt_book_rows_add(rows, w->arena, t[i].row[k], t[i].row[k]->key);
}

/* ---- CSV ---- */

static bool is_number(const char *text)
{
    char *end = NULL;
    const double v = strtod(text, &end);
    return end != text && *end == '\0' && isfinite(v);
}

/* Quoted only where it must be, as the tables themselves are. */
static void put_cell(const struct bt_book_out *to, const char *text, bool last)
{
    struct bt_arena *a = to->w->arena;
    const char *shown = text && is_number(text) ? text : bt_csv_guarded(a, text);
    if (strpbrk(shown, ",\"\r\n") || (*shown && strchr(" '", *shown)))
        bt_csv_put_quoted(to->out, a, shown);
    else
        bt_put(to->out, "%s", shown);
    bt_put(to->out, last ? "\r\n" : ",");
}

static const char *figure(struct bt_arena *a, double value)
{
    return bt_arena_format(a, "%.10g", value == 0 ? 0 : value);
}

enum { COLUMNS = 14 };

/* "bounds", "p05-p95 triangular". */
static const char *ends_of(struct bt_arena *a, const struct bt_range *x)
{
    const char *form = bt_form_word(x->form);
    return bt_arena_format(a, "%s%s%s", x->ends == BT_BOUNDS ? "bounds" : "p05-p95",
                           *form ? " " : "", form);
}

/* As the table has them. */
static void cells_of(struct bt_arena *a, const struct bt_row *r, const char *cell[COLUMNS])
{
    const struct bt_range *x = &r->range;
    const bool range = !r->word && !bt_range_is_exact(x);
    const bool likely = !r->word && (!range || x->has_likely);
    const char *const all[COLUMNS] = {r->key,
                                      r->quantity,
                                      range ? figure(a, bt_book_in_unit(r, x->low)) : "",
                                      likely ? figure(a, bt_book_in_unit(r, x->likely))
                                             : "",
                                      range ? figure(a, bt_book_in_unit(r, x->high)) : "",
                                      r->unit.text ? r->unit.text : "",
                                      range ? ends_of(a, x) : "",
                                      r->word ? r->word : r->basis,
                                      r->scope == BT_SCOPE_BED ? "bed" : "garden",
                                      r->parent ? r->parent : "",
                                      r->parent ? figure(a, r->rank_correlation) : "",
                                      r->source,
                                      bt_seen_word(r->seen),
                                      r->notes};
    memcpy(cell, all, sizeof all);
}

static void rows_csv(const struct bt_book_out *to, const struct bt_book_rows *rows,
                     bool with_table)
{
    bt_put(to->out,
           "%skey,quantity,low,likely,high,unit,ends,basis,scope,parent,"
           "rank_correlation,source,seen,notes\r\n",
           with_table ? "table," : "");
    for (size_t i = 0; i < rows->n; i++) {
        const char *cell[COLUMNS];
        cells_of(to->w->arena, rows->row[i], cell);
        if (with_table)
            put_cell(to, rows->row[i]->table, false);
        for (size_t k = 0; k < COLUMNS; k++)
            put_cell(to, cell[k], k + 1 == COLUMNS);
    }
}

static json_t *source_object(const struct bt_show *w, const char *id)
{
    const struct bt_source *s = bt_handbook_source(w->handbook, id);
    json_t *o = json_object();
    json_object_set_new(o, "id", bt_json_text(id));
    if (!s)
        return o;
    json_object_set_new(o, "authors", bt_json_text(s->authors));
    json_object_set_new(o, "title", bt_json_text(s->title));
    json_object_set_new(o, "year", bt_json_text(s->year));
    json_object_set_new(o, "address", bt_json_text(s->address));
    return o;
}

json_t *bt_book_row_json(const struct bt_show *w, const struct bt_row *r, const char *of)
{
    json_t *o = json_object();
    const struct bt_range *x = &r->range;
    json_object_set_new(o, "table", bt_json_text(r->table));
    json_object_set_new(o, "key", bt_json_text(of));
    if (strcmp(of, r->key) != 0)
        json_object_set_new(o, "stand_in", bt_json_text(r->key));
    json_object_set_new(o, "quantity", bt_json_text(r->quantity));
    if (r->word) {
        json_object_set_new(o, "word", bt_json_text(r->word));
    } else {
        const bool likely = x->has_likely || bt_range_is_exact(x);
        json_object_set_new(o, "low", bt_json_number(bt_book_in_unit(r, x->low)));
        json_object_set_new(o, "likely",
                            likely ? bt_json_number(bt_book_in_unit(r, x->likely))
                                   : json_null());
        json_object_set_new(o, "high", bt_json_number(bt_book_in_unit(r, x->high)));
        json_object_set_new(o, "unit", bt_json_text(r->unit.text));
        json_object_set_new(o, "ends", bt_json_text(bt_book_ends_text(w->arena, r)));
        json_object_set_new(o, "basis", bt_json_text(r->basis));
    }
    json_object_set_new(o, "scope",
                        bt_json_text(r->scope == BT_SCOPE_BED ? "bed" : "garden"));
    if (r->parent) {
        json_object_set_new(o, "parent", bt_json_text(r->parent));
        json_object_set_new(o, "rank_correlation", bt_json_number(r->rank_correlation));
    }
    json_object_set_new(o, "source", source_object(w, r->source));
    json_object_set_new(o, "seen", bt_json_text(bt_seen_word(r->seen)));
    json_object_set_new(o, "notes", bt_json_text(r->notes));
    json_object_set_new(o, "local", json_boolean(r->local));
    json_object_set_new(o, "file", bt_json_text(r->at.file));
    json_object_set_new(o, "row", json_integer((json_int_t)r->at.line));
    return o;
}

/* { "schema", "version of the tables", name: [ ... ] }, an object a line. */
static void json_begin(const struct bt_book_out *to, const char *name)
{
    bt_put(to->out, "{\"schema\":\"%s\",\"%s\":[", SCHEMA, name);
}

static void json_item(const struct bt_book_out *to, json_t *item, bool first)
{
    bt_put(to->out, first ? "\n" : ",\n");
    bt_json_put(to->out, item);
}

static void rows_json(const struct bt_book_out *to, const struct bt_book_rows *rows)
{
    json_begin(to, "rows");
    for (size_t i = 0; i < rows->n; i++)
        json_item(to, bt_book_row_json(to->w, rows->row[i], rows->of[i]), i == 0);
    bt_put(to->out, "\n]}\n");
}

void bt_book_rows_write(const struct bt_book_out *to, const struct bt_book_rows *rows,
                        bool with_table)
{
    if (to->format == BT_BOOK_JSON)
        rows_json(to, rows);
    else
        rows_csv(to, rows, with_table);
}

/* ---- lists ---- */

static const char *grid_cell(const struct bt_grid *g, size_t row, size_t column)
{
    return g->cell[row * g->n_columns + column];
}

void bt_book_list_write(const struct bt_book_out *to, const struct bt_grid *grid,
                        const char *name)
{
    if (to->format == BT_BOOK_TEXT) {
        bt_grid_write(to->out, grid, 2);
        return;
    }
    if (to->format == BT_BOOK_CSV) {
        for (size_t r = 0; r < grid->n_rows; r++)
            for (size_t k = 0; k < grid->n_columns; k++)
                put_cell(to, grid_cell(grid, r, k), k + 1 == grid->n_columns);
        return;
    }
    json_begin(to, name);
    for (size_t r = 1; r < grid->n_rows; r++) {
        json_t *o = json_object();
        for (size_t k = 0; k < grid->n_columns; k++)
            json_object_set_new(o, grid_cell(grid, 0, k),
                                bt_json_text(grid_cell(grid, r, k)));
        json_item(to, o, r == 1);
    }
    bt_put(to->out, "\n]}\n");
}
