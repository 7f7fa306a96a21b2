/* A document as one page of HTML that is XML as well, nothing fetched from anywhere. */
#include <math.h>
#include <string.h>

#include "report/doc_markup.h"

enum { CONTENTS_FROM = 4 }; /* so many headings are worth a list of them */
enum { MANY_COLUMNS = 8 };  /* set smaller on paper */
enum { LONGEST_WORD = 28 }; /* bytes; a longer one is broken where the line ends */

/* A failure is kept in the output itself; told of it, libxml2 would print a line of its
 * own.
 */
static int put_piece(void *out, const char *bytes, int n)
{
    bt_put_bytes(out, bytes, (size_t)n);
    return n;
}

static int keep_open(void *out)
{
    (void)out;
    return 0;
}

static void put_head(struct bt_markup *m, const struct bt_doc *d)
{
    bt_markup_open(m, "head", NULL);
    bt_markup_void(m, "meta", "charset", "utf-8", NULL);
    bt_markup_void(m, "meta", "name", "viewport", "content",
                   "width=device-width, initial-scale=1", NULL);
    bt_markup_leaf(m, "title", d->title, NULL);
    bt_markup_open(m, "style", NULL);
    for (size_t k = 0; bt_doc_style[k]; k++)
        xmlTextWriterWriteRaw(m->writer, (const xmlChar *)bt_doc_style[k]);
    bt_markup_close(m);
    bt_markup_close(m);
}

static const char *id_of(struct bt_markup *m, size_t block)
{
    return bt_arena_format(m->arena, "s%zu", block);
}

static bool begins_section(const struct bt_block *b)
{
    return b->kind == BT_BLOCK_HEADING && b->level == 2;
}

static void put_contents(struct bt_markup *m, const struct bt_doc *d)
{
    size_t n = 0;
    for (size_t i = 0; i < d->n; i++)
        n += begins_section(&d->block[i]);
    if (n < CONTENTS_FROM)
        return;
    bt_markup_open(m, "nav", "aria-label", "On this page", NULL);
    bt_markup_open(m, "ul", NULL);
    for (size_t i = 0; i < d->n; i++) {
        if (!begins_section(&d->block[i]))
            continue;
        bt_markup_open(m, "li", NULL);
        bt_markup_leaf(m, "a", d->block[i].text, "href",
                       bt_arena_format(m->arena, "#s%zu", i), NULL);
        bt_markup_close(m);
    }
    bt_markup_close(m);
    bt_markup_close(m);
}

static void put_heading(struct bt_markup *m, const struct bt_block *b, size_t i, bool page)
{
    static const char *const element[] = {"h1", "h2", "h3", "h4"};
    bt_markup_leaf(m,
                   element[b->level < 1   ? 0
                           : b->level > 4 ? 3
                                          : b->level - 1],
                   b->text, "id", id_of(m, i), "class", page ? "page" : NULL, "dir",
                   bt_markup_direction(b->text), NULL);
}

static size_t longest_word(const char *text)
{
    size_t longest = 0;
    while (*text) {
        const size_t n = strcspn(text, " ");
        longest = n > longest ? n : longest;
        text += n + (text[n] != '\0');
    }
    return longest;
}

/* About the letters that a column should have room for: a text of some length may take
 * several lines, a word may not. */
static double room_for(const char *text)
{
    const double whole = (double)strlen(text), word = (double)longest_word(text);
    const double least = word < LONGEST_WORD ? word : LONGEST_WORD;
    return fmax(least, whole < 12 ? whole : 12 + sqrt(whole - 12));
}

/* Shares of the width for programs that do not lay tables out by themselves (word
 * processors); the style sheet tells browsers not to mind. */
static void put_widths(struct bt_markup *m, const struct bt_doc_table *t)
{
    double *room = bt_arena_zero(m->arena, t->n_columns * sizeof *room), all = 0;
    for (size_t k = 0; k < t->n_columns; k++) {
        room[k] = fmax(room_for(t->column[k].name), (double)strlen(t->column[k].unit));
        for (size_t r = 0; r < t->n_rows; r++)
            if (!t->is_sum[r])
                room[k] = fmax(room[k], room_for(t->cell[r * t->n_columns + k].text));
        all += room[k] + 4;
    }
    bt_markup_open(m, "colgroup", NULL);
    for (size_t k = 0; k < t->n_columns; k++)
        bt_markup_void(m, "col", "width",
                       bt_arena_format(m->arena, "%.0f%%", 100 * (room[k] + 4) / all),
                       NULL);
    bt_markup_close(m);
}

static void put_columns(struct bt_markup *m, const struct bt_doc_table *t)
{
    bt_markup_open(m, "thead", NULL);
    bt_markup_open(m, "tr", NULL);
    for (size_t k = 0; k < t->n_columns; k++) {
        const struct bt_doc_column *c = &t->column[k];
        bt_markup_open(m, "th", "scope", "col", "class", c->is_number ? "n" : NULL, NULL);
        bt_markup_text(m, c->name);
        if (*c->unit) {
            bt_markup_text(m, " ");
            bt_markup_leaf(m, "span", c->unit, "class", "unit", NULL);
        }
        bt_markup_close(m);
    }
    bt_markup_close(m);
    bt_markup_close(m);
}

static bool is_date(const char *text)
{
    return strspn(text, "0123456789-") == 10 && strlen(text) == 10 && text[4] == '-' &&
           text[7] == '-';
}

static void put_cell(struct bt_markup *m, const struct bt_doc_table *t, size_t r, size_t k)
{
    const struct bt_doc_cell *c = &t->cell[r * t->n_columns + k];
    const char *text = c->text;
    const char *class = t->column[k].is_number              ? "n"
                        : is_date(text)                     ? "d"
                        : longest_word(text) > LONGEST_WORD ? "long"
                                                            : NULL;
    const char *direction = bt_markup_direction(text);
    if (k == 0 && *text && !t->for_writing)
        bt_markup_leaf(m, "th", text, "scope", "row", "class", class, "dir", direction,
                       NULL);
    else
        bt_markup_leaf(m, "td", text, "class", class, "dir", direction, NULL);
}

static void put_row(struct bt_markup *m, const struct bt_doc_table *t, size_t r)
{
    bt_markup_open(m, "tr", "class", t->is_sum[r] ? "sum" : NULL, NULL);
    for (size_t k = 0; k < t->n_columns; k++)
        put_cell(m, t, r, k);
    bt_markup_close(m);
}

/* `nth` makes its name one of its own among the regions of the page. */
static void put_table(struct bt_markup *m, const struct bt_doc_table *t, size_t nth)
{
    bt_markup_open(m, "div", "class", "scroll", "role", "region", "tabindex", "0",
                   "aria-label",
                   bt_arena_format(m->arena, "Table %zu: %s", nth, t->caption), NULL);
    bt_markup_open(m, "table", "class",
                   t->for_writing                 ? "write"
                   : t->n_columns >= MANY_COLUMNS ? "wide"
                                                  : NULL,
                   "width", "100%", NULL);
    if (*t->caption)
        bt_markup_leaf(m, "caption", t->caption, "dir", bt_markup_direction(t->caption),
                       NULL);
    put_widths(m, t);
    put_columns(m, t);
    bt_markup_open(m, "tbody", NULL);
    for (size_t r = 0; r < t->n_rows; r++)
        put_row(m, t, r);
    bt_markup_close(m);
    bt_markup_close(m);
    bt_markup_close(m);
}

static void put_item(struct bt_markup *m, const struct bt_block *b, size_t k)
{
    bt_markup_open(m, "li", "dir", bt_markup_direction(b->item[k]), NULL);
    if (b->kind == BT_BLOCK_TICKS) {
        bt_markup_open(m, "label", NULL);
        bt_markup_void(m, "input", "type", "checkbox", NULL);
        bt_markup_leaf(m, "span", b->item[k], NULL);
        bt_markup_close(m);
    } else {
        bt_markup_text(m, b->item[k]);
    }
    if (b->kind == BT_BLOCK_BLANKS)
        bt_markup_leaf(m, "span", "", "class", "line", NULL);
    bt_markup_close(m);
}

static void put_items(struct bt_markup *m, const struct bt_block *b)
{
    const char *class = b->kind == BT_BLOCK_TICKS    ? "ticks"
                        : b->kind == BT_BLOCK_BLANKS ? "blanks"
                                                     : NULL;
    bt_markup_open(m, "ul", "class", class, NULL);
    for (size_t k = 0; k < b->n_items; k++)
        put_item(m, b, k);
    bt_markup_close(m);
}

static void put_paragraph(struct bt_markup *m, const char *text, const char *class)
{
    bt_markup_leaf(m, "p", text, "class", class, "dir", bt_markup_direction(text), NULL);
}

static void put_block(struct bt_markup *m, const struct bt_doc *d, size_t i)
{
    const struct bt_block *b = &d->block[i];
    const bool page = i > 0 && d->block[i - 1].kind == BT_BLOCK_PAGE;
    switch (b->kind) {
    case BT_BLOCK_HEADING: put_heading(m, b, i, page); break;
    case BT_BLOCK_PARAGRAPH: put_paragraph(m, b->text, NULL); break;
    case BT_BLOCK_NOTE: put_paragraph(m, b->text, "note"); break;
    case BT_BLOCK_LIST:
    case BT_BLOCK_TICKS:
    case BT_BLOCK_BLANKS: put_items(m, b); break;
    case BT_BLOCK_TABLE: put_table(m, b->table, i); break;
    case BT_BLOCK_CHART: bt_markup_chart(m, b->chart, i); break;
    case BT_BLOCK_PAGE: break; /* the heading after it says so */
    }
    xmlTextWriterWriteRaw(m->writer, (const xmlChar *)"\n");
}

static void put_body(struct bt_markup *m, const struct bt_doc *d)
{
    bool in_section = false;
    bt_markup_open(m, "body", "class", d->audience, NULL);
    size_t i = 0;
    bt_markup_open(m, "main", NULL);
    for (; i < d->n && !begins_section(&d->block[i]); i++)
        put_block(m, d, i);
    put_contents(m, d);
    for (; i < d->n; i++) {
        if (begins_section(&d->block[i])) {
            if (in_section)
                bt_markup_close(m);
            bt_markup_open(m, "section", "aria-labelledby", id_of(m, i), NULL);
            in_section = true;
        }
        put_block(m, d, i);
    }
    if (in_section)
        bt_markup_close(m);
    bt_markup_close(m);
    bt_markup_leaf(m, "footer",
                   bt_arena_format(m->arena, "Made with bedtally %s.", d->version), NULL);
    bt_markup_close(m);
}

void bt_doc_html(struct bt_out *o, const struct bt_doc *d)
{
    xmlOutputBufferPtr buffer = xmlOutputBufferCreateIO(put_piece, keep_open, o, NULL);
    struct bt_markup m = {buffer ? xmlNewTextWriter(buffer) : NULL, d->arena, o};
    if (!m.writer) {
        if (buffer)
            xmlOutputBufferClose(buffer);
        o->failed = true;
        return;
    }
    xmlTextWriterWriteRaw(m.writer, (const xmlChar *)"<!DOCTYPE html>\n");
    bt_markup_open(&m, "html", "lang", "en", NULL);
    put_head(&m, d);
    put_body(&m, d);
    bt_markup_close(&m);
    xmlTextWriterWriteRaw(m.writer, (const xmlChar *)"\n");
    if (xmlTextWriterFlush(m.writer) < 0)
        o->failed = true;
    xmlFreeTextWriter(m.writer);
}
