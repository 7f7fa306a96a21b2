/* A document as CSV by RFC 4180: a row a line of text, a table's head and rows as they are;
 * the first two columns say under which heading and what it is. */

#include "report/csv_put.h"
#include "report/doc.h"
#include "report/page.h"

struct csv_page {
    struct bt_out *out;
    const struct bt_doc *doc;
    size_t n_cells; /* after the first two */
    const char *section;
};

static void put_field(const struct csv_page *p, const char *text, bool first)
{
    bt_put_bytes(p->out, first ? "" : ",", first ? 0 : 1);
    bt_csv_put(p->out, p->doc->arena, bt_text_shown(p->doc->arena, text));
}

/* A number is written by us and stays one, whatever its sign. */
static void put_number(const struct csv_page *p, const char *text)
{
    bt_put(p->out, ",");
    bt_csv_put_quoted(p->out, p->doc->arena, text);
}

static void begin(const struct csv_page *p, const char *what)
{
    put_field(p, p->section, true);
    put_field(p, what, false);
}

static void end(const struct csv_page *p, size_t cells)
{
    for (size_t k = cells; k < p->n_cells; k++)
        put_field(p, "", false);
    bt_put(p->out, "\r\n");
}

static void line(const struct csv_page *p, const char *what, const char *text)
{
    begin(p, what);
    put_field(p, text, false);
    end(p, 1);
}

static void put_table(const struct csv_page *p, const struct bt_doc_table *t)
{
    struct bt_arena *a = p->doc->arena;
    if (*t->caption)
        line(p, "table", t->caption);
    begin(p, "head");
    for (size_t k = 0; k < t->n_columns; k++) {
        const struct bt_doc_column *c = &t->column[k];
        put_field(p, *c->unit ? bt_arena_format(a, "%s (%s)", c->name, c->unit) : c->name,
                  false);
    }
    end(p, t->n_columns);
    for (size_t r = 0; r < t->n_rows; r++) {
        begin(p, t->is_sum[r] ? "total" : t->for_writing ? "to fill in" : "row");
        for (size_t k = 0; k < t->n_columns; k++) {
            const struct bt_doc_cell *c = &t->cell[r * t->n_columns + k];
            if (c->kind == BT_CELL_NUMBER)
                put_number(p, c->text);
            else
                put_field(p, c->text, false);
        }
        end(p, t->n_columns);
    }
}

static void put_chart(const struct csv_page *p, const struct bt_doc_chart *c)
{
    line(p, "chart", c->title);
    for (size_t b = 0; b < c->n_bars; b++) {
        begin(p, "bar");
        put_field(p, c->bar[b].label, false);
        put_field(p, c->bar[b].text, false);
        end(p, 2);
        for (size_t s = 0; s < c->bar[b].n_segments; s++) {
            begin(p, "part");
            put_field(p, c->bar[b].segment[s].label, false);
            put_field(p, c->bar[b].segment[s].text, false);
            end(p, 2);
        }
    }
}

static size_t widest(const struct bt_doc *d)
{
    size_t most = 2;
    for (size_t i = 0; i < d->n; i++)
        if (d->block[i].kind == BT_BLOCK_TABLE && d->block[i].table->n_columns > most)
            most = d->block[i].table->n_columns;
    return most;
}

void bt_doc_csv(struct bt_out *o, const struct bt_doc *d)
{
    static const char *const item[] = {[BT_BLOCK_LIST] = "item",
                                       [BT_BLOCK_TICKS] = "to do",
                                       [BT_BLOCK_BLANKS] = "to fill in"};
    struct csv_page p = {o, d, widest(d), ""};
    for (size_t i = 0; i < d->n; i++) {
        const struct bt_block *b = &d->block[i];
        switch (b->kind) {
        case BT_BLOCK_HEADING:
            p.section = b->text;
            line(&p, "heading", b->text);
            break;
        case BT_BLOCK_PARAGRAPH: line(&p, "text", b->text); break;
        case BT_BLOCK_NOTE: line(&p, "note", b->text); break;
        case BT_BLOCK_LIST:
        case BT_BLOCK_TICKS:
        case BT_BLOCK_BLANKS:
            for (size_t k = 0; k < b->n_items; k++)
                line(&p, item[b->kind], b->item[k]);
            break;
        case BT_BLOCK_TABLE: put_table(&p, b->table); break;
        case BT_BLOCK_CHART: put_chart(&p, b->chart); break;
        case BT_BLOCK_PAGE: break;
        }
    }
}
