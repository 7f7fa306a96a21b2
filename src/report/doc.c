#include "report/doc.h"

#include <math.h>
#include <string.h>

#include "base/text.h"

struct bt_doc *bt_doc_new(struct bt_arena *a, const char *title, const char *audience,
                          const char *version)
{
    struct bt_doc *d = bt_arena_zero(a, sizeof *d);
    d->arena = a;
    d->title = title;
    d->audience = audience;
    d->version = version;
    return d;
}

static struct bt_block *add(struct bt_doc *d, enum bt_block_kind kind)
{
    d->block = bt_arena_grow(d->arena, d->block, &d->capacity, d->n, sizeof *d->block);
    struct bt_block *b = &d->block[d->n++];
    *b = (struct bt_block){.kind = kind, .text = ""};
    return b;
}

void bt_doc_heading(struct bt_doc *d, unsigned level, const char *text)
{
    struct bt_block *b = add(d, BT_BLOCK_HEADING);
    b->level = level;
    b->text = text;
}

void bt_doc_paragraph(struct bt_doc *d, const char *text)
{
    add(d, BT_BLOCK_PARAGRAPH)->text = text;
}

void bt_doc_note(struct bt_doc *d, const char *text)
{
    add(d, BT_BLOCK_NOTE)->text = text;
}

void bt_doc_page(struct bt_doc *d)
{
    add(d, BT_BLOCK_PAGE);
}

static void item(struct bt_doc *d, enum bt_block_kind kind, const char *text)
{
    struct bt_block *b =
        d->n && d->block[d->n - 1].kind == kind ? &d->block[d->n - 1] : add(d, kind);
    b->item = bt_arena_grow(d->arena, b->item, &b->capacity, b->n_items, sizeof *b->item);
    b->item[b->n_items++] = text;
}

void bt_doc_item(struct bt_doc *d, const char *text)
{
    item(d, BT_BLOCK_LIST, text);
}

void bt_doc_tick(struct bt_doc *d, const char *text)
{
    item(d, BT_BLOCK_TICKS, text);
}

void bt_doc_blank(struct bt_doc *d, const char *label)
{
    item(d, BT_BLOCK_BLANKS, label);
}

void bt_doc_chart(struct bt_doc *d, const struct bt_doc_chart *chart)
{
    add(d, BT_BLOCK_CHART)->chart = chart;
}

void bt_doc_append(struct bt_doc *d, const struct bt_doc *part)
{
    for (size_t k = 0; k < part->n; k++) {
        const struct bt_block *b = &part->block[k];
        if (b->kind == BT_BLOCK_TABLE && b->table->n_rows == 0)
            continue;
        *add(d, b->kind) = *b;
    }
}

struct bt_doc_table *bt_doc_table(struct bt_doc *d, const char *caption, size_t n_columns,
                                  const struct bt_doc_column *column)
{
    struct bt_doc_table *t = bt_arena_zero(d->arena, sizeof *t);
    t->caption = caption;
    t->n_columns = n_columns;
    struct bt_doc_column *copy = bt_arena_alloc(d->arena, n_columns * sizeof *copy);
    memcpy(copy, column, n_columns * sizeof *copy);
    t->column = copy;
    add(d, BT_BLOCK_TABLE)->table = t;
    return t;
}

static void row(struct bt_doc *d, struct bt_doc_table *t, const struct bt_doc_cell *cells,
                bool is_sum)
{
    t->is_sum = bt_arena_grow(d->arena, t->is_sum, &t->sum_capacity, t->n_rows, 1);
    t->is_sum[t->n_rows] = is_sum;
    for (size_t k = 0; k < t->n_columns; k++) {
        const size_t at = t->n_rows * t->n_columns + k;
        t->cell = bt_arena_grow(d->arena, t->cell, &t->capacity, at, sizeof *t->cell);
        t->cell[at] = cells[k];
    }
    t->n_rows++;
}

void bt_doc_row(struct bt_doc *d, struct bt_doc_table *t, const struct bt_doc_cell *cells)
{
    row(d, t, cells, false);
}

void bt_doc_sum(struct bt_doc *d, struct bt_doc_table *t, const struct bt_doc_cell *cells)
{
    row(d, t, cells, true);
}

struct bt_doc_cell bt_cell_text(const char *text)
{
    return (struct bt_doc_cell){BT_CELL_TEXT, text ? text : "", (double)NAN};
}

struct bt_doc_cell bt_cell_number(const char *text, double value)
{
    return (struct bt_doc_cell){BT_CELL_NUMBER, text ? text : "", value};
}

struct bt_doc_cell bt_cell_blank(void)
{
    return (struct bt_doc_cell){BT_CELL_BLANK, "", (double)NAN};
}

/* ---- writers ---- */

const char *const bt_doc_words[BT_DOC_FORMATS + 1] = {[BT_DOC_HTML] = "html",
                                                      [BT_DOC_MARKDOWN] = "md",
                                                      [BT_DOC_CSV] = "csv",
                                                      [BT_DOC_JSON] = "json"};

static void (*const writers[BT_DOC_FORMATS])(struct bt_out *o, const struct bt_doc *d) = {
    [BT_DOC_HTML] = bt_doc_html,
    [BT_DOC_MARKDOWN] = bt_doc_markdown,
    [BT_DOC_CSV] = bt_doc_csv,
    [BT_DOC_JSON] = bt_doc_json};

bool bt_doc_format_of(const char *name, enum bt_doc_format *out)
{
    const char *dot = strrchr(name, '.');
    const char *ending = dot ? dot + 1 : name;
    for (int k = 0; k < BT_DOC_FORMATS; k++)
        if (bt_text_is(bt_doc_words[k], ending)) {
            *out = (enum bt_doc_format)k;
            return true;
        }
    return false;
}

char *bt_doc_endings(struct bt_arena *a)
{
    const char *ending[BT_DOC_FORMATS + 1] = {NULL};
    for (int k = 0; k < BT_DOC_FORMATS; k++)
        ending[k] = bt_arena_format(a, ".%s", bt_doc_words[k]);
    return bt_text_listed(a, ending);
}

void bt_doc_write(struct bt_out *o, const struct bt_doc *d, enum bt_doc_format format)
{
    writers[format](o, d);
}
