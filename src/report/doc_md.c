/* Markdown with tables, as common hosts and pandoc read it. */
#include <ctype.h>
#include <string.h>

#include "report/doc.h"
#include "report/page.h"

/* Everything that could begin markup is escaped, line ends become blanks. */
static void put_text(struct bt_out *o, struct bt_arena *a, const char *text)
{
    const char *shown = bt_text_shown(a, text);
    /* "1. x", "- x", "+ x" begin lists where they begin a line */
    const size_t digits = strspn(shown, "0123456789");
    if (*shown && strchr("-+=", *shown) && shown[1] == ' ')
        bt_put(o, "\\");
    for (size_t i = 0; shown[i]; i++) {
        const char c = shown[i];
        if (strchr("\\`*_{}[]<>#|~$&", c) ||
            (digits && i == digits && strchr(".)", c) && shown[i + 1] == ' '))
            bt_put(o, "\\");
        bt_put(o, "%c", c == '\n' || c == '\t' ? ' ' : c);
    }
}

static void put_line(struct bt_out *o, const struct bt_doc *d, const char *before,
                     const char *text)
{
    bt_put(o, "%s", before);
    put_text(o, d->arena, text);
    bt_put(o, "\n");
}

static void put_cell(struct bt_out *o, const struct bt_doc *d, const struct bt_doc_cell *c,
                     bool strong)
{
    const char *mark = strong && *c->text ? "**" : "";
    bt_put(o, " %s", mark);
    put_text(o, d->arena, c->text);
    bt_put(o, "%s |", mark);
}

static void put_table(struct bt_out *o, const struct bt_doc *d,
                      const struct bt_doc_table *t)
{
    if (*t->caption) {
        bt_put(o, "**");
        put_text(o, d->arena, t->caption);
        bt_put(o, "**\n\n");
    }
    bt_put(o, "|");
    for (size_t k = 0; k < t->n_columns; k++) {
        const struct bt_doc_column *c = &t->column[k];
        bt_put(o, " ");
        put_text(o, d->arena, c->name);
        if (*c->unit) {
            bt_put(o, " (");
            put_text(o, d->arena, c->unit);
            bt_put(o, ")");
        }
        bt_put(o, " |");
    }
    bt_put(o, "\n|");
    for (size_t k = 0; k < t->n_columns; k++)
        bt_put(o, t->column[k].is_number ? " ---: |" : " --- |");
    bt_put(o, "\n");
    for (size_t r = 0; r < t->n_rows; r++) {
        bt_put(o, "|");
        for (size_t k = 0; k < t->n_columns; k++)
            put_cell(o, d, &t->cell[r * t->n_columns + k], t->is_sum[r]);
        bt_put(o, "\n");
    }
}

static void put_chart(struct bt_out *o, const struct bt_doc *d,
                      const struct bt_doc_chart *c)
{
    bt_put(o, "**");
    put_text(o, d->arena, c->title);
    bt_put(o, "**\n\n");
    put_line(o, d, "", c->description);
    bt_put(o, "\n");
    for (size_t b = 0; b < c->n_bars; b++) {
        bt_put(o, "- ");
        put_text(o, d->arena, c->bar[b].label);
        bt_put(o, ": ");
        put_text(o, d->arena, c->bar[b].text);
        bt_put(o, "\n");
        for (size_t s = 0; s < c->bar[b].n_segments; s++) {
            bt_put(o, "    - ");
            put_text(o, d->arena, c->bar[b].segment[s].label);
            bt_put(o, ": ");
            put_text(o, d->arena, c->bar[b].segment[s].text);
            bt_put(o, "\n");
        }
    }
}

static void put_items(struct bt_out *o, const struct bt_doc *d, const struct bt_block *b)
{
    for (size_t k = 0; k < b->n_items; k++) {
        bt_put(o, b->kind == BT_BLOCK_TICKS ? "- [ ] " : "- ");
        put_text(o, d->arena, b->item[k]);
        bt_put(o, b->kind == BT_BLOCK_BLANKS ? ": \\_\\_\\_\\_\\_\\_\\_\\_\\_\\_\\_\\_\n"
                                             : "\n");
    }
}

void bt_doc_markdown(struct bt_out *o, const struct bt_doc *d)
{
    for (size_t i = 0; i < d->n; i++) {
        const struct bt_block *b = &d->block[i];
        if (i)
            bt_put(o, "\n");
        switch (b->kind) {
        case BT_BLOCK_HEADING:
            put_line(o, d, &"#### "[4 - (b->level < 4 ? b->level : 4)], b -> text);
            break;
        case BT_BLOCK_PARAGRAPH: put_line(o, d, "", b->text); break;
        case BT_BLOCK_NOTE: put_line(o, d, "> ", b->text); break;
        case BT_BLOCK_LIST:
        case BT_BLOCK_TICKS:
        case BT_BLOCK_BLANKS: put_items(o, d, b); break;
        case BT_BLOCK_TABLE: put_table(o, d, b->table); break;
        case BT_BLOCK_CHART: put_chart(o, d, b->chart); break;
        case BT_BLOCK_PAGE: bt_put(o, "---\n"); break;
        }
    }
}
