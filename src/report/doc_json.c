/* A document as JSON, by docs/schema/report.json. */
#include <jansson.h>
#include <math.h>

#include "report/doc.h"
#include "report/page.h"

static json_t *text(const struct bt_doc *d, const char *value)
{
    json_t *made = json_string(bt_text_shown(d->arena, value));
    return made ? made : json_null();
}

/* Ten figures, as everywhere. */
static const size_t DUMP = JSON_INDENT(1) | JSON_REAL_PRECISION(10);

static json_t *number(double value)
{
    return isfinite(value) ? json_real(value == 0 ? 0 : value) : json_null();
}

static json_t *cell(const struct bt_doc *d, const struct bt_doc_cell *c)
{
    json_t *o;
    switch (c->kind) {
    case BT_CELL_NUMBER:
        o = json_object();
        json_object_set_new(o, "value", number(c->value));
        json_object_set_new(o, "text", text(d, c->text));
        return o;
    case BT_CELL_BLANK: return json_null();
    case BT_CELL_TEXT: break;
    }
    return text(d, c->text);
}

static json_t *table(const struct bt_doc *d, const struct bt_doc_table *t)
{
    json_t *o = json_object();
    json_t *columns = json_array(), *rows = json_array();
    for (size_t k = 0; k < t->n_columns; k++) {
        json_t *column = json_object();
        json_object_set_new(column, "name", text(d, t->column[k].name));
        json_object_set_new(column, "unit", text(d, t->column[k].unit));
        json_array_append_new(columns, column);
    }
    for (size_t r = 0; r < t->n_rows; r++) {
        json_t *row = json_array();
        for (size_t k = 0; k < t->n_columns; k++)
            json_array_append_new(row, cell(d, &t->cell[r * t->n_columns + k]));
        json_array_append_new(rows, row);
    }
    json_object_set_new(o, "caption", text(d, t->caption));
    json_object_set_new(o, "columns", columns);
    json_object_set_new(o, "rows", rows);
    return o;
}

static json_t *bar(const struct bt_doc *d, const struct bt_doc_bar *b)
{
    json_t *o = json_object(), *parts = json_array();
    for (size_t s = 0; s < b->n_segments; s++) {
        json_t *part = json_object();
        json_object_set_new(part, "label", text(d, b->segment[s].label));
        json_object_set_new(part, "value", number(b->segment[s].value));
        json_array_append_new(parts, part);
    }
    json_object_set_new(o, "label", text(d, b->label));
    json_object_set_new(o, "text", text(d, b->text));
    json_object_set_new(o, "p05", b->has_range ? number(b->low) : json_null());
    json_object_set_new(o, "p95", b->has_range ? number(b->high) : json_null());
    json_object_set_new(o, "parts", parts);
    return o;
}

static json_t *chart(const struct bt_doc *d, const struct bt_doc_chart *c)
{
    json_t *o = json_object(), *bars = json_array();
    for (size_t b = 0; b < c->n_bars; b++)
        json_array_append_new(bars, bar(d, &c->bar[b]));
    json_object_set_new(o, "title", text(d, c->title));
    json_object_set_new(o, "description", text(d, c->description));
    json_object_set_new(o, "unit", text(d, c->unit));
    json_object_set_new(o, "bars", bars);
    return o;
}

static json_t *items(const struct bt_doc *d, const struct bt_block *b)
{
    json_t *array = json_array();
    for (size_t k = 0; k < b->n_items; k++)
        json_array_append_new(array, text(d, b->item[k]));
    return array;
}

static json_t *block(const struct bt_doc *d, const struct bt_block *b)
{
    static const char *const kind[] = {
        [BT_BLOCK_HEADING] = "heading", [BT_BLOCK_PARAGRAPH] = "paragraph",
        [BT_BLOCK_NOTE] = "note",       [BT_BLOCK_LIST] = "list",
        [BT_BLOCK_TICKS] = "to do",     [BT_BLOCK_BLANKS] = "to fill in",
        [BT_BLOCK_TABLE] = "table",     [BT_BLOCK_CHART] = "chart",
        [BT_BLOCK_PAGE] = "page"};
    json_t *o = b->kind == BT_BLOCK_TABLE   ? table(d, b->table)
                : b->kind == BT_BLOCK_CHART ? chart(d, b->chart)
                                            : json_object();
    json_object_set_new(o, "kind", json_string(kind[b->kind]));
    if (b->kind == BT_BLOCK_HEADING)
        json_object_set_new(o, "level", json_integer((json_int_t)b->level));
    if (b->kind <= BT_BLOCK_NOTE)
        json_object_set_new(o, "text", text(d, b->text));
    if (b->n_items)
        json_object_set_new(o, "items", items(d, b));
    return o;
}

static int put_piece(const char *bytes, size_t n, void *out)
{
    bt_put_bytes(out, bytes, n);
    return 0;
}

void bt_doc_json(struct bt_out *o, const struct bt_doc *d)
{
    json_t *root = json_object(), *blocks = json_array();
    for (size_t i = 0; i < d->n; i++)
        json_array_append_new(blocks, block(d, &d->block[i]));
    json_object_set_new(root, "schema", json_string("bedtally-report-1"));
    json_object_set_new(root, "version", text(d, d->version));
    json_object_set_new(root, "for", text(d, d->audience));
    json_object_set_new(root, "title", text(d, d->title));
    json_object_set_new(root, "blocks", blocks);
    if (json_dump_callback(root, put_piece, o, DUMP) != 0)
        o->failed = true;
    json_decref(root);
    bt_put(o, "\n");
}
